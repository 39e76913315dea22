"""Cooling and warming: films of air and water, vessels and what stands around them, stirred pots and set ones, mixing hot with cold.

A stirred pot has one temperature; its film and wall decide. A set gel is not stirred: its middle waits until the heat is conducted
out (`conduction`). `cooling` gives both and how far apart they are; `verdict` says it in words. Nobody needs to know a coefficient:
it follows from the vessel, from what stands around it and from the temperatures.
"""
import numpy as np
from numpy.polynomial import Polynomial
from scipy.constants import g, sigma

from . import conduction, mixes
from .conduction import celsius, share_left
from .mixes import Mix
from .tables import Row
from .units import OutOfRange, boundary, plain, record, show

WEAK = ("temperature", "film_coefficient", "factor", "inside_film", "wall_thickness", "wall_conductivity", "emissivity", "proportion")
Fluid = record("Fluid", density="kg/m**3", heat_capacity="J/kg/kelvin", conductivity="W/m/kelvin", viscosity="mPa*s", expansion="1/kelvin")


# --- what flows around the pot -----------------------------------------------------------------------------------------------------
# IAPWS SR6-08, tables 1 and 4: volume in powers of 10 K / (593 K - T) and of 10 K / (T - 232 K), and twice its like for the heat capacity.
_VOLUME = (Polynomial([0, 0, 0, 0, 6.74458446e3, -2.22521604e5, 0, 1.00231247e8, -1.63552118e9, 8.32299658e9]),
           Polynomial([0, 5.78545292e-3, -1.53195665e-2, 3.11337859e-2, -4.23546241e-2, 3.38713507e-2, -1.19946761e-2]))
_VOLUME_SLOPE = tuple(p.deriv() for p in _VOLUME)
_GIBBS = (Polynomial([0, 0, 0, 0, -1.661470539e5, 2.708781640e6, 0, -1.557191544e8]),
          Polynomial([0, 0, -8.237426256e-1, 1.908956353, -2.017597384, 8.546361348e-1]))
_BENDS = tuple((Polynomial([0, 0, 1]) * p.deriv()).deriv() for p in _GIBBS)         # sum of n (n + 1) c x**n


@boundary(Fluid, temperature="degC", valid={"temperature": (0, 100)})
def water(temperature):
    """Properties of liquid water at 1 bar.

    temperature : scalar or array [degC], 0 to 100 (our limit; the source holds from -20 to 110)
    returns density [kg/m³], heat_capacity [J/kg/K], conductivity [W/m/K], viscosity [mPa·s], expansion [1/K]: below 0 under 4 °C

    Source: iapws-sr6-08-2011, equations 1 to 8.
    """
    up, down, reduced = 10 / (593 - temperature), 10 / (temperature - 232), temperature / 300
    volume = 461.51805e-4 * (1.93763157e-2 + _VOLUME[0](up) + _VOLUME[1](down))
    slope = 461.51805e-5 * (up ** 2 * _VOLUME_SLOPE[0](up) - down ** 2 * _VOLUME_SLOPE[1](down))
    heat = -461.51805 * (-8.983025854 + temperature / 10 * (up ** 2 * _BENDS[0](up) + down ** 2 * _BENDS[1](down)))
    viscosity = 1e-6 * (280.68 * reduced ** -1.9 + 511.45 * reduced ** -7.7 + 61.131 * reduced ** -19.6 + 0.45903 * reduced ** -40)
    conductivity = 1.6630 * reduced ** -1.15 - 1.7781 * reduced ** -3.4 + 1.1567 * reduced ** -6 - 0.432115 * reduced ** -7.6
    return Fluid(1 / volume, heat, conductivity, viscosity, slope / volume)


@boundary(Fluid, temperature="degC", valid={"temperature": (-50, 120)})
def air(temperature):
    """Properties of dry air at sea level.

    temperature : scalar or array [degC], -50 to 120 (our limit)
    returns density [kg/m³], heat_capacity [J/kg/K], conductivity [W/m/K], viscosity [mPa·s], expansion [1/K] (ideal gas)

    Notes
    -----
    Against reference equations: density 0.2 %, heat capacity 0.8 %, viscosity 1 %, conductivity 2 %.

    Source
    ------
    us-standard-atmosphere-1976, equations 33 (gas law), 51 (viscosity), 53 (conductivity), from memory; heat capacity: 1006, fixed.
    """
    root = temperature ** 1.5
    return Fluid(101325 * 0.0289644 / (8.31432 * temperature), 1006 + 0 * temperature,
                 2.64638e-3 * root / (temperature + 245.4 * 10 ** (-12 / temperature)), 1.458e-6 * root / (temperature + 110.4),
                 1 / temperature)


@boundary("W/m**2/kelvin", surface="degC", surroundings="degC", height="mm", fluid=("air", "water"),
          valid={"surface": (0, 100), "surroundings": (-30, 100), "height": (2, 500)})
def natural_film(surface, surroundings, height, fluid):
    """Film coefficient of air or water that moves only because the surface warms or cools it.

    Parameters
    ----------
    surface, surroundings : temperature of the surface and of the air or water well away from it [degC]; water from 0
    height : of the upright surface [mm], 2 to 500
    fluid : "air" or "water"

    Returns
    -------
    [W/m²/K], without radiation

    Raises
    ------
    OutOfRange
        Water below 0 °C.

    Notes
    -----
    Nu = (0.825 + 0.387 Ra**(1/6) / (1 + (0.492 / Pr)**(9/16))**(8/27))**2, Ra up to 1e12, properties at the mean temperature.
    Correlations of this kind hold within about 20 %. Close to 4 °C water hardly expands and the film is thin on numbers: wide spread.

    Source
    ------
    churchill-chu-1975 (vertical plate, all Rayleigh numbers).
    """
    if fluid == "water" and np.any(np.asarray(surroundings) < 273.15):
        raise OutOfRange(f"natural_film: surroundings at {celsius(surroundings)} are no water: give 0 °C and above, or air")
    density, heat_capacity, conductivity, viscosity, expansion = (water if fluid == "water" else air).si((surface + surroundings) / 2)
    diffusivity = conductivity / (density * heat_capacity)
    prandtl = viscosity / density / diffusivity
    rayleigh = g * np.abs(expansion * (surface - surroundings)) * height ** 3 / (viscosity / density * diffusivity)
    return (0.825 + 0.387 * rayleigh ** (1 / 6) / (1 + (0.492 / prandtl) ** (9 / 16)) ** (8 / 27)) ** 2 * conductivity / height


@boundary("W/m**2/kelvin", surface="degC", surroundings="degC", emissivity="",
          valid={"surface": (-200, 300), "surroundings": (-200, 300), "emissivity": (0, 1)})
def radiation_film(surface, surroundings, emissivity):
    """What radiation adds to the film: emissivity * sigma * (T1**2 + T2**2) * (T1 + T2).

    surface, surroundings [degC], -200 to 300; emissivity 0 to 1 (wet food, plastic, glass about 0.95; bright steel far less);
    returns [W/m²/K].  Source: Stefan-Boltzmann law, small body in large surroundings (incropera-dewitt, chapter 1).
    """
    return emissivity * sigma * (surface ** 2 + surroundings ** 2) * (surface + surroundings)


# --- vessels -----------------------------------------------------------------------------------------------------------------------
Size = record("Size", diameter="mm", height="mm", wall="cm**2", top="cm**2")


@boundary(Size, batch="g", food=Row, vessel=Row, valid={"batch": (1, 100000)})
def vessel_size(batch, food, vessel):
    """How the batch fills the vessel, taken as an upright cylinder.

    batch [g], 1 to 100,000; food: Row with density; vessel: Row with proportion (height of the filling over its diameter) or depth
    returns diameter, height [mm], wall (side and bottom), top [cm²].  Source: geometry.
    """
    volume = batch / food.si("density")
    height = vessel.si("depth") if "depth" in vessel else (4 * volume * vessel.si("proportion") ** 2 / np.pi) ** (1 / 3)
    top = volume / height
    diameter = np.sqrt(4 * top / np.pi)
    return Size(diameter, height, np.pi * diameter * height + top, top)


def _outer_film(skin, size, surroundings, emissivity):
    """The row's own film where the air or water is driven, else natural convection times the row's factor and, in air, radiation."""
    if "film_coefficient" in surroundings:
        return surroundings.si("film_coefficient") + 0 * skin
    around, tall = surroundings.si("temperature"), max(size.height, size.diameter / 4)      # flat faces scale with area over rim
    film = surroundings.si("factor") * natural_film.si(skin, around, tall, surroundings.si("medium"))
    return film + radiation_film.si(skin, around, emissivity) if surroundings.si("medium") == "air" else film


def _conductance(start, size, surroundings, vessel, stirred):
    """Function of the difference left between food and surroundings, 0 to 1, giving film and wall in series for the side and bottom, and
    the film of the top [W/m²/K]. Tabled by the skin's difference, from which that of the food follows; even steps of its fourth root."""
    around = surroundings.si("temperature")
    resistance = vessel.si("wall_thickness") / vessel.si("wall_conductivity") + (1 / vessel.si("inside_film") if stirred else 0)
    root = np.linspace(0, 1, 257)
    skin = around + (start - around) * root ** 4
    film = _outer_film(skin, size, surroundings, vessel.si("emissivity"))
    top = _outer_film(skin, size, surroundings, 0.95) if surroundings.si("medium") == "air" else 0 * film
    through, food_root = film / (1 + film * resistance), np.maximum.accumulate(root * (1 + film * resistance) ** 0.25)
    return lambda left: (np.interp(left ** 0.25, food_root, through), np.interp(left ** 0.25, root, top))


@boundary("W/m**2/kelvin", temperature="degC", batch="g", food=Row, vessel=Row, surroundings=Row,
          valid={"temperature": (0, 100), "batch": (1, 100000)}, scalars=True)
def wall_coefficient(temperature, batch, food, vessel, surroundings):
    """Overall coefficient from a stirred food to the surroundings, through the vessel's wall: 1 / (1 / inside + wall + 1 / outside).

    temperature of the food [degC], 0 to 100; batch [g]; food, vessel, surroundings: rows; returns [W/m²/K] of side and bottom.
    Source: resistances in series (incropera-dewitt, chapter 3); films as in `natural_film`, or the row's own where something drives it.
    """
    return _conductance(temperature, vessel_size.si(batch, food, vessel), surroundings, vessel, stirred=True)(1.0)[0]


# --- one temperature throughout ------------------------------------------------------------------------------------------------------
_LUMP = dict(mass="g", heat_capacity="J/kg/kelvin", area="cm**2", film="W/m**2/kelvin")
_LUMP_VALID = {"mass": (0.001, 1e6), "heat_capacity": (500, 5000), "area": (0.01, 1e6), "film": (0.1, 1e5)}
_TEMPERATURE = (-200, 150)


@boundary("min", start="degC", target="degC", surroundings="degC", **_LUMP,
          valid={"start": _TEMPERATURE, "target": _TEMPERATURE, "surroundings": _TEMPERATURE, **_LUMP_VALID})
def cooling_time(start, target, surroundings, mass, heat_capacity, area, film):
    """Time for a stirred pot to reach a temperature: m c / (h A) * ln((start - around) / (target - around)).

    Parameters
    ----------
    start, target, surroundings : [degC]; warming works too
    mass [g], heat_capacity [J/kg/K], area that loses heat [cm²], film (with the wall) [W/m²/K]

    Returns
    -------
    [min]

    Raises
    ------
    OutOfRange
        The target is never reached: at or beyond the surroundings, or on the other side of the start.

    Notes
    -----
    One temperature throughout: stirred, or film * (volume / area) / conductivity below 0.1. A set gel is seldom either.

    Source
    ------
    incropera-dewitt, chapter 5, lumped capacitance.
    """
    return -mass * heat_capacity / (film * area) * np.log(share_left(start, target, surroundings, "cooling_time"))


@boundary("degC", time="min", start="degC", surroundings="degC", **_LUMP,
          valid={"time": (0, None), "start": _TEMPERATURE, "surroundings": _TEMPERATURE, **_LUMP_VALID})
def temperature_after(time, start, surroundings, mass, heat_capacity, area, film):
    """Temperature of a stirred pot after a time; `cooling_time` the other way round.

    time [min]; start, surroundings [degC]; mass [g], heat_capacity [J/kg/K], area [cm²], film [W/m²/K]; returns [degC].
    Source: incropera-dewitt, chapter 5, lumped capacitance.
    """
    return surroundings + (start - surroundings) * np.exp(-film * area * time / (mass * heat_capacity))


# --- a vessel in its surroundings ------------------------------------------------------------------------------------------------------
_PLACES, _WEIGHTS = (x / 2 + y for x, y in zip(np.polynomial.legendre.leggauss(12), (0.5, 0)))    # Gauss on 0 to 1
_TYPICAL = np.exp(np.log(0.1) * _PLACES)                 # the films of a set gel are means over the first nine tenths of its cooling
_KITCHEN = dict(start="degC", batch="g", food=Row, vessel=Row, surroundings=Row)
_KITCHEN_VALID = {"start": (0, 100), "batch": (1, 100000)}
Cooling = record("Cooling", stirred="min", unstirred="min", biot="", film="W/m**2/kelvin", too_short="percent")
Cooled = record("Cooled", stirred="degC", warmest="degC", mean="degC", coldest="degC")
Profile = record("Profile", across="degC", up="degC")


def _seconds_per_fold(left, start, batch, food, size, surroundings, vessel):
    """m c / (U A) of a stirred pot at each difference left: the time in which it would fall to 1 / e."""
    wall, top = _conductance(start, size, surroundings, vessel, stirred=True)(left)
    return batch * food.si("heat_capacity") / (wall * size.wall + top * size.top)


def _set_parts(start, food, size, surroundings, vessel):
    """The set contents as cylinder times slab for `conduction`, and the mean film. In a bath the top loses nothing: half a slab."""
    bath, conductance = surroundings.si("medium") == "water", _conductance(start, size, surroundings, vessel, stirred=False)
    parts, films = [], []
    for shape, half in (("cylinder", size.diameter / 2), ("slab", size.height if bath else size.height / 2)):
        share = 1.0                                      # how much of the mean difference is left at the surface
        for _ in range(4):
            wall, top = conductance(share * _TYPICAL)
            film = 1 / np.sum(_WEIGHTS / (wall if bath or shape == "cylinder" else (wall + top) / 2))
            number = film * half / food.si("thermal_conductivity")
            share = conduction.first_root.si(number, shape)[0] ** 2 / (number * (2 if shape == "cylinder" else 1))
        parts.append((number, shape, half ** 2 / conduction.diffusivity(food)))
        films.append(film)
    return parts, sum(films) / 2


@boundary(Cooling, target="degC", **_KITCHEN, valid={"target": (0, 100), **_KITCHEN_VALID}, scalars=("start", "batch"))
def cooling(start, target, batch, food, vessel, surroundings):
    """Time for a vessel of food to reach a temperature, stirred and set, with films from natural convection.

    Parameters
    ----------
    start, target : [degC], 0 to 100; nothing freezes. Warming works too
    batch : [g], 1 to 100,000
    food : Row with density, heat_capacity, thermal_conductivity
    vessel : Row with proportion or depth, wall_thickness, wall_conductivity, emissivity, inside_film
    surroundings : Row with temperature, medium (air or water) and factor (1; your own measurement over the natural film here), or, where
        something drives the air or water, film_coefficient

    Returns
    -------
    stirred : one temperature throughout [min]
    unstirred : the warmest place of a set gel [min]
    biot : film * (volume / cooled area) / conductivity: below 0.1 the two agree
    film : the set gel's mean coefficient, wall included [W/m²/K]
    too_short : by how much the stirred sum falls short of the set one [percent]

    Raises
    ------
    OutOfRange
        The target is never reached.

    Notes
    -----
    The rows' spreads in `WEAK` make the result's: `spread(heat.cooling, heat.WEAK, field="stirred", ...)`.
    Covered: no evaporation, which in truth speeds an open pot while it steams. Upright cylinder; flat trays too. Stirred: the film follows
    the temperature. Set: a mean film over the first nine tenths. In a bath the top is taken to lose nothing. In restaurants
    too the logarithm of the difference falls in a straight line (igo-cooling: 29 foods, R2 above 0.90 in the 21 typical ones).

    Source
    ------
    `natural_film`, `radiation_film`; incropera-dewitt, chapter 5; `conduction.difference_left` with the product rule.
    """
    around, size = surroundings.si("temperature"), vessel_size.si(batch, food, vessel)
    left = share_left(start, target, around, "cooling")
    fold = np.log(left)[..., None]
    pace = _seconds_per_fold(np.exp(fold * _PLACES), start, batch, food, size, surroundings, vessel)
    stirred = -(fold * _WEIGHTS * pace).sum(axis=-1)
    parts, film = _set_parts(start, food, size, surroundings, vessel)
    unstirred = conduction.time_until([(number, shape, 0.0, scale) for number, shape, scale in parts], left)
    cooled = size.wall if surroundings.si("medium") == "water" else size.wall + size.top
    biot = film * batch / food.si("density") / cooled / food.si("thermal_conductivity")
    return Cooling(stirred, unstirred, biot, film, np.where(left < 1, 1 - stirred / np.maximum(unstirred, 1e-9), 0.0)[()])


@boundary(Cooled, time="min", **_KITCHEN, valid={"time": (0, None), **_KITCHEN_VALID}, scalars=("start", "batch"))
def cooled(time, start, batch, food, vessel, surroundings):
    """Temperatures of a vessel of food after a time; `cooling` the other way round.

    time : scalar or array [min]; the rest as in `cooling`; returns stirred; warmest place, mean and coldest place (the rim where wall and
    bottom meet) of a set gel [degC].  Source: as `cooling`.
    """
    around, size = surroundings.si("temperature"), vessel_size.si(batch, food, vessel)
    folds = np.linspace(0, -9, 181)
    pace = _seconds_per_fold(np.exp(folds), start, batch, food, size, surroundings, vessel)
    when = np.concatenate(([0], np.cumsum((pace[1:] + pace[:-1]) / 2 * -np.diff(folds))))
    shares = [np.exp(np.interp(time, when, folds))]
    parts = _set_parts(start, food, size, surroundings, vessel)[0]
    for place in (0.0, "mean", 1.0):
        shares.append(np.prod([conduction.history(number, shape, place)[0](time / scale) for number, shape, scale in parts], axis=0))
    return Cooled(*(around + (start - around) * share for share in shares))


@boundary(Profile, time="min", places="", **_KITCHEN, valid={"time": (0, None), "places": (0, 1), **_KITCHEN_VALID},
          scalars=("time", "start", "batch"))
def profile(time, start, batch, food, vessel, surroundings, places):
    """Temperatures of a set gel along two lines through its warmest place, after a time.

    time : scalar [min]; places : (n,) 0 at the warmest place, 1 at the wall or the bottom; the rest as in `cooling`
    returns across (to the wall), up (to the bottom) [degC], (n,) each. Elsewhere the shares of the difference multiply. In a bath the
    warmest place is the top, else the middle.  Source: as `cooling`.
    """
    parts = _set_parts(start, food, vessel_size.si(batch, food, vessel), surroundings, vessel)[0]
    middle = [float(conduction.history(number, shape, 0.0)[0](time / scale)) for number, shape, scale in parts]
    lines = [conduction.history(number, shape, places)[0](time / scale) for number, shape, scale in parts]
    around = surroundings.si("temperature")
    return Profile(around + (start - around) * lines[0] * middle[1], around + (start - around) * middle[0] * lines[1])


def verdict(result):
    """A `Cooling` in one or two sentences: which model applies, and how wrong the other would be."""
    times = f"Stirred: {_spoken(result.stirred)}. Set, not stirred: {_spoken(result.unstirred)} in the warmest place."
    if result.biot < 0.1:
        return f"{times} Biot number {plain(result.biot, 2)}: one temperature throughout, either sum will do."
    return (f"{times} Biot number {plain(result.biot, 2)}: the middle lags behind; "
            f"for a set gel the stirred sum is {show(result.too_short, 2)} too short.")


def _spoken(time):
    return show(time, 2, "hour" if time.m_as("min") > 180 else "min")


# --- mixing ------------------------------------------------------------------------------------------------------------------------
def _heats(one, other, about):
    """m c of two mixes, both at one temperature [K], so that mixes alike weigh by their grams."""
    return (mix.kg * mixes.heat_capacity.si(mix, about) for mix in (one, other))


@boundary("degC", base=Mix, temperature="degC", added=Mix, added_temperature="degC",
          valid={"temperature": (0, 120), "added_temperature": (0, 120)})
def mixing_temperature(base, temperature, added, added_temperature):
    """Temperature of two mixes stirred together: sum(m c T) / sum(m c).

    Parameters
    ----------
    base, temperature : Mix in the pot and how warm it is [degC], 0 to 120
    added, added_temperature : Mix that goes in and how warm it is [degC], 0 to 120

    Returns
    -------
    [degC]; a third part goes into `base + added` next

    Notes
    -----
    Heat capacities follow from what is in the mixes, at the mean of the two temperatures. Nothing melts, sets or is lost to the bowl:
    frozen purée must thaw first. Where the mix falls below the setting temperature it sets in lumps; cold streaks do so before the mean
    gets there.

    Source
    ------
    heat balance; `mixes.heat_capacity`.
    """
    heat, added_heat = _heats(base, added, (temperature + added_temperature) / 2)
    return (heat * temperature + added_heat * added_temperature) / (heat + added_heat)


@boundary("degC", wanted="degC", base=Mix, temperature="degC", added=Mix, valid={"wanted": (0, 100), "temperature": (0, 120)})
def warm_to(wanted, base, temperature, added):
    """How warm the purée must be, so that the mix comes out as wanted; `mixing_temperature` the other way round.

    wanted mix [degC], 0 to 100; base: Mix in the pot and its temperature [degC], 0 to 120; added: Mix that goes in; returns [degC].
    Raises OutOfRange where it would have to be frozen or boiling.  Source: heat balance, heat capacities at the wanted temperature.
    """
    heat, added_heat = _heats(base, added, wanted)
    needed = wanted + heat / added_heat * (wanted - temperature)
    if not np.all((needed > 273.15) & (needed < 373.15)):
        raise OutOfRange(f"warm_to: it would have to be at {celsius(needed)}: change the amounts or the temperature of the pot")
    return needed
