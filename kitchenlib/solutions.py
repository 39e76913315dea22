"""What a solution does to its water: water activity, freezing and boiling point, osmosis; and syrups by density.

One number carries it: the water activity, the share of free water's vapour that a solution gives off. -ln of it adds over what is dissolved:
the sugars by Norrish's formula, salt and alcohol by their own measured freezing points, acids and minerals by their number.
"""
import functools

import numpy as np
from scipy.constants import R
from scipy.interpolate import PchipInterpolator
from scipy.optimize import brentq

from .mixes import ACIDS, Mix, SUGARS, density
from .spread import Spread, spread
from .tables import Row, records, row
from .units import OutOfRange, boundary, record, si_number

WATER = 0.018015                                             # kg/mol
ICE_POINT = 273.15                                           # K
MELTING, MELTING_SLOPE = 6012.0, 38.1                        # J/mol and J/mol/K: walstra-2003, appendix I
_SHIPPED = functools.partial(row, own=False)


# --- ice, steam and water activity -------------------------------------------------------------------------------------------------------
@boundary("", temperature="degC", valid={"temperature": (-45, 0)})
def ice_activity(temperature):
    """Water activity of a solution that stands beside ice: the colder, the stronger the syrup left between the crystals.

    temperature [degC], -45 to 0; returns a pure number, 1 at 0 °C.
    Source: heat of melting 6012 J/mol and heat capacities 4.218 and 2.101 kJ/kg/K at 0 °C of walstra-2003, integrated.
    """
    t = temperature
    return np.exp(MELTING / R * (1 / ICE_POINT - 1 / t) + MELTING_SLOPE / R * (np.log(t / ICE_POINT) + ICE_POINT / t - 1))


@boundary("degC", activity="", valid={"activity": (0.642, 1)})
def ice_temperature(activity):
    """Temperature at which the first ice forms in a solution of this water activity; `ice_activity` the other way round.

    activity: scalar or array, 0.642 to 1; returns [degC].  Source: as `ice_activity`.
    """
    wanted, t = np.log(activity), ICE_POINT + np.log(activity) * R * ICE_POINT ** 2 / MELTING
    for _ in range(6):                                       # Newton: nearly straight, settled after three
        slope = MELTING / (R * t ** 2) + MELTING_SLOPE / R * (1 / t - ICE_POINT / t ** 2)
        t = t - (np.log(ice_activity.si(t)) - wanted) / slope
    return np.minimum(t, ICE_POINT)


@boundary("", share="percent", solute=Row, valid={"share": (0, 75)})
def norrish(share, solute):
    """Water activity of one sugar or polyol in water: x_w exp(-K x_s**2), with mole fractions x.

    share of the solution's mass [percent], 0 to 75; solute: Row with molar_mass and norrish_constant K; returns a pure number.

    Notes
    -----
    Sucrose with K = 6.47 keeps within 0.0015 of what freezing points say up to 40 %, within 0.003 up to 60 %.

    Source
    ------
    baeza-2010 (form); K: the row.
    """
    x = share / solute.si("molar_mass") / (share / solute.si("molar_mass") + (1 - share) / WATER)
    return (1 - x) * np.exp(-solute.si("norrish_constant") * x ** 2)


# --- a mix's water activity --------------------------------------------------------------------------------------------------------------
@functools.cache
def _molar(key):
    return _SHIPPED(key).si("molar_mass")


@functools.cache
def _measured(key):
    """-ln a_w over molality as a function of molality [mol/kg], and its last molality, from measured freezing points of 1 % and more."""
    points = [record for record in records("solutions_freezing")
              if record["solute"] == key and record["how"] == "read" and record["share"] is not None and record["share"].m >= 1]
    molality = np.array([p["molality"].m for p in points])
    held = -np.log(ice_activity.si(np.array([si_number(p["freezing_point"]) for p in points]))) / molality
    particles = 2 if key == "salt" else 1
    return PchipInterpolator([0, *molality], [particles * WATER, *held]), molality[-1]


def _held_back(key, molality):
    """-ln a_w of salt or alcohol alone. OutOfRange past the last measured point."""
    line, last = _measured(key)
    if molality > last * (1 + 1e-9):
        share = last * _molar(key) / (1 + last * _molar(key))
        raise OutOfRange(f"water_activity: more {key} than was measured: at most {100 * share:.3g} % of {key} and water together")
    return molality * float(line(molality))


_WEAK = dict(norrish_factor="", single_sugars="", mineral_mass="g/mol")
_WEAK_VALID = {"norrish_factor": (0, 3), "single_sugars": (0, 1), "mineral_mass": (20, 200)}


@boundary("", mix=Mix, **_WEAK, valid=_WEAK_VALID, scalars=True)
def water_activity(mix, norrish_factor=None, single_sugars=None, mineral_mass=None):
    """Water activity of a mix.

    Parameters
    ----------
    mix : with water in it; sugars, salt and alcohol of every food must be known
    norrish_factor : on the constants of all sugars, 0 to 3; left out: 1
    single_sugars : of the sugars that a table does not tell apart, the share counted as glucose, 0 to 1; the rest counts as sucrose;
        left out: 0.5
    mineral_mass : grams of ash (salt left out) that act as one mole of particles, 20 to 200 [g/mol]; left out: the row `minerals`

    Returns
    -------
    pure number, 1 for pure water; what is measured near 25 °C and at the freezing point differs little

    Raises
    ------
    LookupError
        A food whose sugars, salt or alcohol are not known.
    OutOfRange
        No water; more salt (23 %) or alcohol (40 %) beside the water than was measured.

    Notes
    -----
    Sugars together: x_w exp(-(sum of sqrt(K) x)**2). Acids and minerals count by their number, where a table has them: a fruit's own
    acids that no table gives are left out. Starch, protein and fibre hold back next to nothing at kitchen strengths.

    Source
    ------
    baeza-2010 for the sugars; crc-solutions for salt and alcohol; sum of -ln a_w (Ross 1975, memory).
    """
    kilos = {name: mix.si_total(name) for name in ("water", "sugars", "salt", "alcohol")}
    water, loose = kilos["water"] / WATER, sum(mix.si_known(name) for name in SUGARS)
    if not kilos["water"] > 1e-9 * mix.kg:
        raise OutOfRange("water_activity: there is no water in this mix")
    single = 0.5 if single_sugars is None else single_sugars
    apart = max(0.0, kilos["sugars"] - loose)
    kg = {name: mix.si_known(name) for name in SUGARS}
    kg["glucose"] += single * apart
    kg["sucrose"] += (1 - single) * apart
    moles = {name: mass / _molar(name) for name, mass in kg.items()}
    whole = water + sum(moles.values())
    bend = sum(np.sqrt(_SHIPPED(name).si("norrish_constant")) * n / whole for name, n in moles.items())
    held = -np.log(water / whole) + (1.0 if norrish_factor is None else norrish_factor) * bend ** 2
    held += sum(_held_back(name, kilos[name] / _molar(name) / kilos["water"]) for name in ("salt", "alcohol"))
    small = sum(mix.si_known(name) / _molar(name.replace("_", " ")) for name in ACIDS)
    small += mix.si_known("minerals") / (_molar("minerals") if mineral_mass is None else mineral_mass)
    return float(np.exp(-held - small / water))


def uncertain(model, mix, field=None, **arguments):
    """A model of this room with the spread that Norrish's constants, sugars not told apart and minerals leave.

    model : water_activity, freezing_point, boiling_point, osmotic_pressure; the rest as `spread.spread`.  Returns a Spread.
    """
    constant = _SHIPPED("sucrose").fact("norrish_constant")
    minerals = _SHIPPED("minerals").fact("molar_mass")
    weak = {"norrish_factor": Spread(constant.low / constant.value, 1.0, constant.high / constant.value),
            "single_sugars": Spread(0.0, 0.5, 1.0), "mineral_mass": Spread(minerals.low, minerals.value, minerals.high)}
    return spread(model, field=field, mix=mix, **weak, **arguments)


@boundary("degC", mix=Mix, **_WEAK, valid=_WEAK_VALID, scalars=True)
def freezing_point(mix, norrish_factor=None, single_sugars=None, mineral_mass=None):
    """Temperature at which the first ice forms in a mix: where ice has the mix's water activity.

    mix and the weak values as in `water_activity`; returns [degC], down to -45. Raises OutOfRange for a stronger mix.

    Notes
    -----
    Sucrose: within 0.05 °C of print to 20 %, 0.2 to 40 %, 0.6 to 64 %. Nothing here says that it freezes when it gets there: syrups
    linger liquid some degrees below.

    Source
    ------
    `water_activity` and `ice_temperature`.
    """
    activity = water_activity.si(mix, norrish_factor, single_sugars, mineral_mass)
    if activity < 0.642:
        raise OutOfRange("freezing_point: so strong a mix forms no ice above -45 °C, where the formula ends")
    return float(ice_temperature.si(activity))


@boundary("degC", molality="mol/kg", valid={"molality": (0, 20)})
def linear_freezing_point(molality):
    """The rule of thumb: 1.86 °C for each mole of particles in one kilogram of water. Good to 3 % below 8 % of sucrose, a fifth short at 40 %.

    molality of particles, ions each for themselves [mol/kg water], 0 to 20; returns [degC].  Source: crc-solutions, cryoscopic constant.
    """
    return ICE_POINT - 1.86 * molality


@boundary("degC", mix=Mix, pressure="kPa", **_WEAK, valid={"pressure": (50, 110), **_WEAK_VALID}, scalars=True)
def boiling_point(mix, pressure=None, norrish_factor=None, single_sugars=None, mineral_mass=None):
    """Temperature at which a mix boils: where its water's vapour reaches the pressure of the air. Not for mixes with alcohol, which boils first.

    mix and the weak values as in `water_activity`; pressure of the air [kPa], 50 to 110; left out: sea level, 101.325. Returns [degC].
    Raises OutOfRange for a mix with more than 0.5 % of alcohol.

    Notes
    -----
    The activity is that of 25 °C; nothing here says how it moves with the heat, so strong syrups are known to half a degree at best.

    Source
    ------
    iapws-sr1-86, equation 1 for the vapour pressure of water, times the water activity.
    """
    if mix.si_total("alcohol") > 0.005 * mix.kg:
        raise OutOfRange("boiling_point: alcohol boils off before the water: not for this mix")
    activity = water_activity.si(mix, norrish_factor, single_sugars, mineral_mass)
    return float(brentq(lambda t: activity * _vapour_pressure(t) - (101325.0 if pressure is None else pressure), 300.0, 600.0))


def _vapour_pressure(t):
    """Vapour pressure of water [Pa] at t [K]."""
    cold = 1 - t / 647.096
    powers = (1, 1.5, 3, 3.5, 4, 7.5)
    signed = (-7.85951783, 1.84408259, -11.7866497, 22.6807411, -15.9618719, 1.80122502)
    return 22.064e6 * np.exp(647.096 / t * sum(a * cold ** power for a, power in zip(signed, powers)))


# --- osmosis -----------------------------------------------------------------------------------------------------------------------------
@boundary("MPa", mix=Mix, temperature="degC", **_WEAK, valid={"temperature": (0, 60), **_WEAK_VALID}, scalars=_WEAK)
def osmotic_pressure(mix, temperature, norrish_factor=None, single_sugars=None, mineral_mass=None):
    """Pressure that would keep pure water out of a mix, behind a wall that lets only water through: -R T ln a_w / V_w.

    mix and the weak values as in `water_activity`; temperature [degC], 0 to 60; returns [MPa]: ten times the pressure of the air is 1 MPa.
    Source: definition, with 18.07 cm³/mol for water (25 °C; 0.3 % off at the ends of the range).
    """
    return -R * temperature * np.log(water_activity.si(mix, norrish_factor, single_sugars, mineral_mass)) / 18.07e-6


Holding = record("Holding", inside="", outside="", outward="MPa", heavier="kg/m**3")


@boundary(Holding, sphere=Mix, liquid=Mix, temperature="degC", valid={"temperature": (0, 60)})
def holding(sphere, liquid, temperature):
    """What happens to a sphere that is held in a liquid.

    sphere, liquid : Mix inside and around; temperature [degC], 0 to 60

    Returns
    -------
    inside, outside : water activity
    outward : osmotic pressure that draws water out of the sphere [MPa]; below 0 water goes in
    heavier : density of the sphere over that of the liquid [kg/m³]; below 0 it floats

    Notes
    -----
    Water moves at once; sugar follows through the gel within minutes to hours, so the difference fades. A skin of gel weighs about
    what its liquid weighs.  Source: `osmotic_pressure`, `mixes.density`.
    """
    inside, outside = water_activity.si(sphere), water_activity.si(liquid)
    return Holding(inside, outside, R * temperature * np.log(inside / outside) / 18.07e-6,
                   density.si(sphere, temperature) - density.si(liquid, temperature))


def holding_words(result):
    """A `Holding` in two short sentences: which way the water goes, and whether the sphere floats."""
    outward, heavier = result.outward.m_as("MPa"), result.heavier.m_as("kg/m**3")
    if abs(result.inside - result.outside) < 0.001:
        water = "Even: hardly any water moves."
    elif outward > 0:
        water = "Water leaves the sphere: it shrinks, its skin wrinkles and it sweetens from outside."
    else:
        water = "Water enters the sphere: it swells and its taste thins."
    sinks = "it neither floats nor sinks" if abs(heavier) < 2 else "it sinks" if heavier > 0 else "it floats and dries on top"
    return f"{water} In that liquid {sinks}."


# --- syrups ------------------------------------------------------------------------------------------------------------------------------
@functools.cache
def _syrups():
    """Densities [kg/m³] of sucrose at 20 °C over °Brix as fractions, and the other way round."""
    table = [[si_number(p[name]) for p in records("solutions_density")] for name in ("share", "density")]
    return PchipInterpolator(*table), PchipInterpolator(*table[::-1])


@boundary("kg/m**3", brix="brix", valid={"brix": (0, 70)})
def syrup_density(brix):
    """Density of a sucrose syrup at 20 °C, from the table: what a hydrometer is made by. `mixes.density` adds components instead.

    brix: scalar or array [°Bx], 0 to 70; returns [kg/m³].  Source: crc-solutions, between its points a smooth line that never turns.
    """
    return _syrups()[0](brix)


@boundary("brix", density="kg/m**3", valid={"density": (998.2, 1347.2)})
def floating_brix(density):
    """°Brix of the syrup in which a thing of this density neither floats nor sinks, at 20 °C; `syrup_density` the other way round.

    density [kg/m³], 998.2 to 1,347.2: lighter things float in any syrup; returns [°Bx].  Source: as `syrup_density`.
    """
    return _syrups()[1](density)


@boundary("brix", sugar="", water="", by=("mass", "volume"), loose=Row, valid={"sugar": (0, 100), "water": (0.01, 100)}, scalars=True)
def syrup(sugar, water, by, loose):
    """°Brix of so many parts of sugar and so many of water, weighed or measured by the jug.

    sugar, water : parts, 0 to 100 and 0.01 to 100; by : "mass" or "volume"; loose : Row of the sugar with bulk_density
    returns [°Bx]. Equal parts are 50 °Bx by mass and about 46 by volume, because poured sugar is full of air.
    Raises OutOfRange above what dissolves cold (67 °Bx at 20 °C).  Source: arithmetic; bulk density: the row.
    """
    heavy = loose.si("bulk_density") / 998.2 if by == "volume" else 1.0
    share = sugar * heavy / (sugar * heavy + water)
    if share > 0.67:
        raise OutOfRange(f"syrup: {100 * share:.0f} °Bx is more sugar than stays dissolved at 20 °C (67 °Bx)")
    return share


@boundary("brix", brix="brix", lost="percent", valid={"brix": (0, 80), "lost": (0, 80)})
def simmered(brix, lost):
    """°Brix of a syrup after part of its mass has gone as steam: B / (1 - lost). The sugar stays.

    brix before [°Bx], 0 to 80; lost [percent of the mass before], 0 to 80; returns [°Bx].
    Raises OutOfRange where there is less water than that.  Source: mass balance; of a whole mix: `Mix.boiled`.
    """
    if np.any(lost > 1 - brix):
        raise OutOfRange("simmered: so much cannot boil away: less would be left than there is sugar")
    return brix / (1 - lost)
