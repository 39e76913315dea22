"""Ices: how much of the water is frozen at which temperature, how sweet and how soft that makes a base, what its crystals do, how long a
scoop stands on the plate.

Not all water freezes. As ice forms, what is left is a stronger syrup that freezes only colder: the curve is the freezing point of the mix
less its ice. What cooks aim at is a share of frozen water, about 65 to 70 %; the temperature follows from the base.
"""
import functools

import numpy as np
from scipy.interpolate import PchipInterpolator

from . import fronts, heat, mixes, solutions, tables
from .mixes import ACIDS, Mix, SUGARS
from .solutions import ICE_POINT
from .tables import Row, row
from .units import OutOfRange, Quantity, boundary, record

FUSION = 333.6e3                                             # J/kg, ice at 0 °C: walstra-2003, appendix I, prints 334
WATER, ICE, SOLIDS = 4180.0, 2060.0, 1550.0                  # J/(kg K)
_WEAK = dict(norrish_factor="", single_sugars="", mineral_mass="g/mol")
_WEAK_VALID = dict(solutions.freezing_point.valid)


def _celsius(kelvin):
    return f"{round(float(np.min(kelvin)) - ICE_POINT, 1) + 0.0:g} °C"


# --- the freezing curve ------------------------------------------------------------------------------------------------------------------
@functools.lru_cache(512)
def curve(mix, norrish_factor=None, single_sugars=None, mineral_mass=None):
    """(temperatures in K falling from the freezing point, share of the water that is ice there) of a mix, as far as its syrup is known.

    Ice is taken out like steam: the freezing point of what is left is the temperature at which that much is frozen (lever rule).
    """
    water, weak = mix.si_total("water"), (norrish_factor, single_sugars, mineral_mass)
    left, at, step = [1.0], [solutions.freezing_point.si(mix, *weak)], 0.8
    if at[0] > ICE_POINT - 1e-6:
        raise OutOfRange("curve: nothing is dissolved in this mix: all of it freezes at 0 °C")
    while step < 0.995 and left[-1] > 1e-3:
        try:
            at.append(solutions.freezing_point.si(mix.boiled(Quantity((1 - left[-1] * step) * water, "kg")), *weak))
            left.append(left[-1] * step)
        except OutOfRange:
            step = step ** 0.5
    return np.array(at), 1 - np.array(left)


def _frozen(mix, weak, temperature):
    """Frozen share of the water at temperatures [K], held where the curve ends; and that end [K]."""
    at, frozen = curve(mix, *weak)
    line = PchipInterpolator(np.log(ICE_POINT - at), np.log(1 - frozen))            # nearly straight: what is left goes as 1 / depression
    inside = np.clip(temperature, at[-1], at[0])
    return np.where(temperature >= at[0], 0.0, 1 - np.exp(line(np.log(ICE_POINT - inside)))), at[-1]


def _exists(who, temperature, end):
    if np.any(temperature < end - 1e-9):
        raise OutOfRange(f"{who}: at {_celsius(temperature)} this syrup is no longer known as a liquid: its curve ends at {_celsius(end)}; "
                         "choose a warmer temperature")


_COLD = {"temperature": (-45, 30), **_WEAK_VALID}


@boundary("percent", mix=Mix, temperature="degC", **_WEAK, valid=_COLD, scalars=_WEAK)
def frozen_share(mix, temperature, norrish_factor=None, single_sugars=None, mineral_mass=None):
    """Share of a base's water that is ice.

    Parameters
    ----------
    mix : with water and something dissolved; as `solutions.water_activity`
    temperature : scalar or array [degC]; 0 % at the freezing point and above
    norrish_factor, single_sugars, mineral_mass : weak values of `solutions.water_activity`; leave them out, or let `solutions.uncertain` move them

    Returns
    -------
    [percent of the water]

    Raises
    ------
    OutOfRange
        Colder than the syrup that is left exists as a liquid, or is known: salt ends at -21 °C, sugars about -45 °C.
    LookupError
        A food whose sugars, salt or alcohol are not known.

    Notes
    -----
    At rest. Sucrose of 25 °Brix: within 0.012 of the mix's mass of what the measured freezing points give. A base just frozen may hold
    less ice, and below about -32 °C a sugar syrup turns to glass and stops.

    Source
    ------
    Lever rule along `solutions.freezing_point`.
    """
    share, end = _frozen(mix, (norrish_factor, single_sugars, mineral_mass), temperature)
    _exists("frozen_share", temperature, end)
    return share[()]


@boundary("percent", mix=Mix, temperature="degC", **_WEAK, valid=_COLD, scalars=_WEAK)
def ice_content(mix, temperature, norrish_factor=None, single_sugars=None, mineral_mass=None):
    """Ice in a base, of its whole mass [percent]: `frozen_share` times its water. Arguments and errors as there.  Source: as there."""
    return frozen_share.si(mix, temperature, norrish_factor, single_sugars, mineral_mass) * mix.si_share("water")


@boundary("degC", mix=Mix, frozen="percent", **_WEAK, valid={"frozen": (0, 99), **_WEAK_VALID}, scalars=_WEAK)
def serving_temperature(mix, frozen, norrish_factor=None, single_sugars=None, mineral_mass=None):
    """Temperature at which this share of the base's water is ice; `frozen_share` the other way round.

    mix, weak values as there; frozen [percent of the water]: about 65 to 70 is scooped well (row `serving`); returns [degC].
    Raises OutOfRange where the curve ends before so much is frozen.  Source: as `frozen_share`; the share: dairyscience-323.
    """
    at, share = curve(mix, norrish_factor, single_sugars, mineral_mass)
    if np.any(frozen > share[-1]):
        raise OutOfRange(f"serving_temperature: at the end of its curve, {_celsius(at[-1])}, {100 * share[-1]:.0f} % of this base's water is ice: "
                         "ask for less")
    line = PchipInterpolator(-np.log(1 - share), np.log(ICE_POINT - at))
    return ICE_POINT - np.exp(line(-np.log(1 - frozen)))[()]


# --- shortcuts, and how wrong they are -----------------------------------------------------------------------------------------------------
@functools.cache
def _molar(key):
    return row(key, own=False).si("molar_mass")


@boundary("mol/kg", mix=Mix)
def particles(mix):
    """Moles of particles in each kilogram of water: sugars, alcohol and acids one by one, salt as two ions, minerals as their row counts them.

    mix; returns [mol/kg of water]. Sugars that a table does not tell apart count half as glucose, half as sucrose.
    Source: definition of molality; molar masses of the rows.
    """
    moles = sum(mix.si_known(name) / _molar(name.replace("_", " ")) for name in (*SUGARS, *ACIDS, "alcohol", "minerals"))
    apart = max(0.0, mix.si_total("sugars") - sum(mix.si_known(name) for name in SUGARS))
    moles += apart / 2 * (1 / _molar("glucose") + 1 / _molar("sucrose")) + 2 * mix.si_total("salt") / _molar("salt")
    return moles / mix.si_total("water")


@boundary("percent", mix=Mix, temperature="degC", valid={"temperature": (-45, 0)})
def linear_frozen_share(mix, temperature):
    """Frozen share by the rule of 1.86 °C a mole: 1 - tf / t. Too high for a sweet base, and the more so the sweeter.

    mix; temperature [degC]; returns [percent of the water].  Source: lever rule along `solutions.linear_freezing_point`.
    """
    depression, below = ICE_POINT - solutions.linear_freezing_point.si(particles.si(mix)), ICE_POINT - np.asarray(temperature, float)
    return np.where(below > 0, np.maximum(0.0, 1 - depression / np.where(below > 0, below, 1.0)), 0.0)[()]


Routes = record("Routes", curve="percent", linear="percent", all="percent", linear_error="percent", all_error="percent")


@boundary(Routes, mix=Mix, temperature="degC", valid={"temperature": (-45, -0.1)})
def routes(mix, temperature):
    """Frozen share three ways: by the curve, by the linear rule, and as if all water froze; and how far the last two are off it.

    mix; temperature [degC], below the freezing point for the errors; returns curve, linear, all [percent of the water],
    linear_error, all_error [percent of the curve's]. Raises OutOfRange where nothing is frozen.  Source: `frozen_share`, `linear_frozen_share`.
    """
    true, linear = frozen_share.si(mix, temperature), linear_frozen_share.si(mix, temperature)
    if np.any(true <= 0):
        raise OutOfRange(f"routes: nothing of this base is frozen: it begins at {_celsius(curve(mix)[0][0])}; choose a colder temperature")
    return true, linear, 1 + 0 * true, linear / true - 1, 1 / true - 1


@boundary("", mix=Mix)
def freezing_power(mix):
    """Freezing power of a base: grams of sucrose that would hold back the water of 100 g of it as much, by the count of molecules.

    mix; returns a pure number, as pastry cooks add it up. Salt with both its ions, alcohol as it is.
    Notes: a balance for the pastry bench, good while weak; the curve knows better.  Source: `particles`, molar mass of sucrose.
    """
    return 100 * particles.si(mix) * mix.si_share("water") * _molar("sucrose")


@boundary("percent", mix=Mix)
def sweetness(mix):
    """Sweetness of a base, as the share of sucrose that would taste as sweet, at room temperature: cold dulls it.

    mix; returns [percent of the mass]. Sugars that a table does not tell apart count half as glucose, half as sucrose.
    Source: rows of `sweetness` (emodi-1982), added up.
    """
    taste = {name: row(name, own=False).si("sweetness") for name in SUGARS}
    apart = max(0.0, mix.si_total("sugars") - sum(mix.si_known(name) for name in SUGARS))
    return (sum(taste[name] * mix.si_known(name) for name in SUGARS) + apart * (taste["glucose"] + taste["sucrose"]) / 2) / mix.kg


def base(name):
    """The Mix of a made base of freezing_bases.csv: sweet, savoury, dairy. LookupError with the names."""
    found = {line["base"]: line["mix"] for line in tables.records("freezing_bases")}
    if name not in found:
        raise LookupError(f"bases are {', '.join(found)}; not {str(name)[:40]!r}")
    return mixes.read(found[name], own=False)


# --- heat ----------------------------------------------------------------------------------------------------------------------------------
def sensible(water, ice, celsius):
    """Heat of a base's liquid water, ice and solids against 0 °C [J/kg], from shares of its mass: all its water, and what of it is ice."""
    return ((water - ice) * WATER + ice * ICE + (1 - water) * SOLIDS) * celsius


def enthalpy(mix, temperature):
    """Heat in a kilogram of base [J/kg] at temperatures [K], 0 as a liquid at 0 °C; below the end of its curve the ice stays as it is."""
    water, t = mix.si_share("water"), np.asarray(temperature, float) - ICE_POINT
    ice = water * _frozen(mix, (None,) * 3, np.asarray(temperature, float))[0]
    return sensible(water, ice, t) - FUSION * ice


@boundary("kJ/kg", mix=Mix, start="degC", target="degC", valid={"start": (-45, 60), "target": (-45, 60)})
def heat_out(mix, start, target):
    """Heat to take out of each kilogram of base.

    mix; start, target [degC], inside the curve; returns [kJ/kg], below 0 where it is to be warmed. Raises OutOfRange past the curve's cold end.
    Source: enthalpy of water 4.18, ice 2.06 and solids 1.55 kJ/kg/K with 333.6 kJ/kg of ice, ice by `frozen_share`.
    """
    _exists("heat_out", np.minimum(start, target), curve(mix)[0][-1])
    return (enthalpy(mix, start) - enthalpy(mix, target))[()]


def conductivity(mix, frozen):
    """Thermal conductivity of a base [W/m/K] with these shares of its water frozen, its parts side by side. Source: choi-okos-1986."""
    parts = mixes.bulk(mix)
    volumes = {part: share / mixes.component("density", part, ICE_POINT) for part, share in parts.items()}
    volumes["ice"] = frozen * parts["water"] / mixes.component("density", "ice", ICE_POINT)
    volumes["water"] = (1 - frozen) * volumes["water"]
    flow = sum(volume * mixes.component("conductivity", part, ICE_POINT) for part, volume in volumes.items())
    return flow / sum(volumes.values())


def material(mix, air=0.0):
    """(fronts.Material, share of the water that is ice at its nodes) of a base, -200 to 120 °C; air [share of the volume] conducts nothing
    (Maxwell's bubbles)."""
    at, _ = curve(mix)
    t = np.concatenate((np.linspace(73.15, at[-1], 8)[:-1], ICE_POINT - np.geomspace(ICE_POINT - at[-1], ICE_POINT - at[0], 160), [393.15]))
    t[-2] = at[0]
    frozen = _frozen(mix, (None,) * 3, t)[0]
    content = mixes.density.si(mix, ICE_POINT) * (1 - air) * enthalpy(mix, t)
    return fronts.Material(content, t - ICE_POINT, (1 - air) / (1 + air / 2) * conductivity(mix, frozen)), frozen


# --- on the plate --------------------------------------------------------------------------------------------------------------------------
@boundary("W/m**2/kelvin", surface="degC", surroundings="degC", humidity="percent", height="mm",
          valid={"surface": (-40, 60), "surroundings": (-30, 50), "humidity": (0, 100), "height": (2, 500)})
def damp_film(surface, surroundings, humidity, height):
    """Film of still room air on something cold: natural convection, radiation, and the dew that settles, counted as heat.

    Parameters
    ----------
    surface, surroundings : [degC]
    humidity : relative, of the room's air [percent]
    height : of the thing [mm]

    Returns
    -------
    [W/m²/K]; what dries off a warmer thing is left out

    Source
    ------
    `heat.natural_film`, `heat.radiation_film` with 0.95; heat and mass transfer alike, Lewis number 0.85 (incropera-dewitt, chapter 6);
    vapour pressure by Magnus (memory).
    """
    dry = heat.natural_film.si(surface, surroundings, height, "air")
    full, own = (610.94 * np.exp(17.625 * (t - ICE_POINT) / (t - 30.11)) for t in (surroundings, surface))
    moist, wet = (0.622 * vapour / (101325 - vapour) for vapour in (humidity * full, own))
    dew = np.maximum(moist - wet, 0.0) * 2.5e6 / (1006 * 0.85 ** (2 / 3))
    gap = surroundings - surface
    return dry * (1 + dew / np.where(np.abs(gap) < 0.1, 0.1, np.abs(gap)) * (gap > 0)) + heat.radiation_film.si(surface, surroundings, 0.95)


Plate = record("Plate", stands="min", time="min", frozen="percent", bottom="percent", plate_at="degC")


@boundary(Plate, scalars=True, mix=Mix, served="degC", room="degC", humidity="percent", mass="g", scoop=Row, plate=Row, plate_start="degC",
          valid={"served": (-40, -0.5), "room": (1, 45), "humidity": (0, 100), "mass": (2, 500), "plate_start": (-40, 80)})
def on_plate(mix, served, room, humidity, mass, scoop, plate, plate_start):
    """How long a scoop keeps its shape on the plate.

    Parameters
    ----------
    mix : the base
    served, room : temperature of the scoop and of the room [degC];  humidity of the room [percent]
    mass : of the scoop [g], taken as half a ball
    scoop : Row with density (air in it) and keeps_shape_share, both weak
    plate : Row with density, heat_capacity, wall_thickness, wall_conductivity;  plate_start : its temperature [degC]

    Returns
    -------
    stands : until its mean frozen share has fallen to keeps_shape_share [min]
    time (rows,) [min]; frozen, bottom (rows,): mean frozen share, and that of its lowest layer [percent of the water]; plate_at (rows,)
        top of the plate under it [degC]

    Raises
    ------
    OutOfRange
        It is too soft to stand even at first; it stands for a day and more.

    Notes
    -----
    One direction: a layer as high as half a ball is on the mean, its film doubled for the dome; the plate under it gives what it holds
    and loses nothing below. What melts stays. The share at which a scoop runs is a typical figure: fat, air and stabiliser move it.

    Source
    ------
    own-derivation: `fronts.march`, `damp_film`, `material`.
    """
    full = mixes.density.si(mix, ICE_POINT)
    air, radius = max(0.0, 1 - scoop.si("density") / full), (1.5 * mass / scoop.si("density") / np.pi) ** (1 / 3)
    table, share = material(mix, air)
    limit, begin = scoop.si("keeps_shape_share"), float(np.interp(served - ICE_POINT, table.potential, share))
    if begin <= limit:
        raise OutOfRange(f"on_plate: at {_celsius(served)} only {100 * begin:.0f} % of this base's water is ice: it does not keep its shape at all. "
                         "Serve it colder")
    thick = plate.si("wall_thickness")
    ware = fronts.conducting(plate.si("wall_conductivity"), plate.si("density") * plate.si("heat_capacity"), -200, 120)
    body, layers = fronts.body("slab", thick, thick + 2 * radius / 3, cells=[10, 40]), [ware, table]
    cells, start = slice(10, 50), [fronts.content_at(ware, plate_start - ICE_POINT), fronts.content_at(table, served - ICE_POINT)]
    skin = np.linspace(-45, 60, 211)
    film = 2 * damp_film.si(skin + ICE_POINT, room, humidity, radius)

    def frozen(content):
        return np.interp(content, table.content, share)
    weight = body.volume[cells] / body.volume[cells].sum()
    run = fronts.march(body, layers, start, [(86400.0, fronts.Surroundings(room - ICE_POINT, lambda surface, around: np.interp(surface, skin, film)),
                                              lambda content: limit - frozen(content[cells]) @ weight)], accuracy=3e-3)
    if run.time[-1] >= 86400.0:
        raise OutOfRange("on_plate: it stands for a day and more: nothing here warms it")
    inside = frozen(run.content[:, cells])
    return run.time[-1], run.time, inside @ weight, inside[:, 0], np.interp(run.content[:, 9], ware.content, ware.potential) + ICE_POINT


# --- crystals --------------------------------------------------------------------------------------------------------------------------
@boundary("cm/hour", thickness="mm", time="min", valid={"thickness": (0.5, 500), "time": (0.001, 1e5)})
def pace(thickness, time):
    """How quickly a piece froze: half its thickness over the time, as freezing is classed.

    thickness, or diameter [mm]; time [min]; returns [cm/hour].
    Source: freezing-classes: below 1 is slow, 1 to 5 moderate, above 5 quick. For pork above 0.96 is called rapid (yun-2021).
    """
    return thickness / 2 / time


@boundary("", quicker="", crystals=Row, valid={"quicker": (0.001, 1000)})
def crystal_ratio(quicker, crystals):
    """Size of the crystals over what it was, where the base freezes so many times as quickly: quicker**-n.

    Parameters
    ----------
    quicker : pure number: new pace over old
    crystals : Row with crystal_rate_exponent ("ice crystals"), which is weak

    Returns
    -------
    pure number

    Notes
    -----
    Found where water freezes between polymers and particles that do not move. In a machine that scrapes, pace does less and the scraper
    more; nobody has measured an ice frozen with nitrogen.

    Source
    ------
    freezecasting-data; the exponent is a row, 0.3 to 0.7.
    """
    return quicker ** -crystals.si("crystal_rate_exponent")


DAY = 86400.0
Coarsened = record("Coarsened", slowest="um", size="um", fastest="um")
Days = record("Days", soonest="day", typical="day", latest="day")
_STORE = (-28.9, -12.2)                                      # where sizes were measured


@functools.cache
def coarsening_rates(series="dairy"):
    """(temperatures K rising, growth by the 4-week size, by the 8-week size), growth in m/s**(1/3), from the measured sizes."""
    points = {(point["temperature"].m_as("kelvin"), point["time"].m_as("s")): point["size"].m_as("m")
              for point in tables.records("freezing_coarsening") if point["series"] == series}
    begin, = (size for (_, time), size in points.items() if time == 0)
    times = sorted({time for _, time in points if time})
    at = np.array(sorted({temperature for temperature, time in points if time}))
    return (at, *((np.array([points[temperature, time] for temperature in at]) - begin) / time ** (1 / 3) for time in times))


def _growth(temperature):
    """(least, typical, greatest) growth at a temperature: straight lines of its logarithm between the measured ones."""
    at, four, eight = coarsening_rates()
    return [np.exp(np.interp(temperature, at, np.log(rates))) for rates in (np.minimum(four, eight), four, np.maximum(four, eight))]


@boundary(Coarsened, time="day", temperature="degC", size="um", valid={"time": (0, 28), "temperature": _STORE, "size": (1, 150)})
def coarsened(time, temperature, size):
    """Mean size of the ice crystals after some days in the store: size + k * time**(1/3).

    Parameters
    ----------
    time : scalar or array [day], four weeks at most: later, warm stores level off and cold ones gain more than this law says
    temperature : of the store, steady [degC], where it was measured
    size : mean size to begin with [um]

    Returns
    -------
    slowest, size, fastest [um]: by the lesser, the 4-week and the greater of the growths that sizes after 4 and after 8 weeks give

    Notes
    -----
    k from one dairy-based frozen dessert, 23.7 um at first, its logarithm straight between the four temperatures. Another, without milk,
    grew six times less in the warmest store and not at all in the coldest: measure yours. Between -12 and -6 °C crystals ripen
    faster still (mo-2019); a door that is opened and a defrosting cycle speed it.

    Source
    ------
    The law: donhowe-hartel-1996. Sizes: sinclair-2025, table 3.
    """
    return tuple(size + k * np.cbrt(time) for k in _growth(temperature))


@boundary(Days, limit="um", temperature="degC", size="um", valid={"limit": (1, 150), "temperature": _STORE, "size": (1, 150)})
def days_until(limit, temperature, size):
    """Days in the store until the crystals' mean size has come to a limit, 50 um where a tongue begins to feel them.

    limit, size to begin with [um]; temperature [degC]; returns soonest, typical, latest [day]; beyond 28 days
    read it as 'not within four weeks'. 0 where it is as coarse already.
    Source: `coarsened` the other way round.
    """
    return tuple((np.maximum(limit - size, 0.0) / k) ** 3 for k in reversed(_growth(temperature)))
