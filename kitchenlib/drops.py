"""Drops: off a tip, through a liquid, and cooling on the way. One law for pearls, bubbles and droplets of oil.

What counts is the difference in density, the viscosity and the diameter (whole, never the radius). Down is positive: a drop lighter
than its liquid has a negative speed and rises.
"""
import functools

import numpy as np
from scipy.constants import g

from . import conduction
from .conduction import celsius
from .tables import Row
from .units import OutOfRange, boundary, plain, record

_SIZE = (1e-5, 100)              # mm


@boundary("N/m", temperature="degC", valid={"temperature": (-25, 373.9)})
def water_surface_tension(temperature):
    """Surface tension of pure water against its own vapour.

    temperature : scalar or array [degC], -25 to 373.9; returns [N/m]

    Notes
    -----
    sigma = 0.2358 N/m * tau**1.256 * (1 - 0.625 * tau),  tau = 1 - T / 647.096 K.
    Extrapolated below 0.01 °C (the source allows it). Pure water: sugar hardly changes it, juice, agar, protein and alcohol lower it.

    Source
    ------
    iapws-r1-76-2014, the interpolating equation.
    """
    tau = 1 - temperature / 647.096
    return 0.2358 * tau ** 1.256 * (1 - 0.625 * tau)


# --- off a tip ---------------------------------------------------------------------------------------------------------------------
def hanging_share(ratio):
    """Share of the ideal drop that falls, against ratio = tip radius / cube root of the volume, 0 to 1.2 (Harkins and Brown's correction).

    From 0.35 up 1 / (2 pi F), F = 0.14782 + 0.27896 x - 0.1662 x**2 (heertjes-1971, read in lecture slides); up to 0.25, for thin needles,
    a polynomial (lee-chan-pogaku, memory); the two are within 0.1 % where they meet at 0.3, and are blended in between.
    """
    wide = 1 / (2 * np.pi * (0.14782 + 0.27896 * ratio - 0.1662 * ratio ** 2))
    thin = np.polyval((2.593, -13.58, 27.53, -27.29, 13.38, -2.109, -0.9121, 1), ratio)
    return thin + (wide - thin) * np.clip((ratio - 0.25) / 0.1, 0, 1)


_RATIOS = np.linspace(1e-3, 1.2, 4000)
_TIPS = np.sqrt(2 * np.pi * hanging_share(_RATIOS) * _RATIOS ** 3)       # tip radius over capillary length: rises with the ratio
_DROPS = 2 * np.pi * hanging_share(_RATIOS) * _RATIOS                     # volume**(2/3) over capillary length squared: so does this
Drop = record("Drop", diameter="mm", volume="mm**3", ratio="", share="")
_HANGING = dict(tension="mN/m", density_difference="kg/m**3")
_HANGING_VALID = {"tension": (1, 100), "density_difference": (10, 2000)}


@boundary(Drop, tip="mm", **_HANGING, valid={"tip": (0.1, 20), **_HANGING_VALID})
def drop(tip, tension, density_difference):
    """The drop that falls from a blunt tip: volume = 2 pi r tension / (density difference * g) * share that lets go.

    Parameters
    ----------
    tip : diameter to the rim that the liquid wets, usually the OUTER one [mm], 0.1 to 20
    tension : surface tension in air, interfacial tension for a tip dipped in oil [mN/m], 1 to 100
    density_difference : between drop and what is around it: about 1,000 in air, about 70 in oil [kg/m³], 10 to 2,000

    Returns
    -------
    diameter [mm] and volume [mm³] of the drop; ratio of tip radius to the cube root of the volume; share of the ideal drop

    Raises
    ------
    OutOfRange
        The tip is too wide: the ratio would pass 1.2, the drop hangs from part of the rim.

    Notes
    -----
    Slow dripping of a thin liquid, tip level and clean. The correction is good to about 1.5 %; the tension of a food seldom to 15 %.

    Source
    ------
    harkins-brown-1919; correction as in `hanging_share`.
    """
    capillary = np.sqrt(tension / (density_difference * g))
    if np.any(tip / 2 > _TIPS[-1] * capillary):
        raise OutOfRange(f"drop: a tip of {plain(np.max(tip) * 1000)} mm is too wide for whole drops: at most "
                         f"{plain(np.min(2 * _TIPS[-1] * capillary) * 1000)} mm here; it drips from part of the rim")
    ratio = np.interp(tip / 2 / capillary, _TIPS, _RATIOS)
    volume = (tip / 2 / ratio) ** 3
    return Drop(sphere_diameter.si(volume), volume, ratio, hanging_share(ratio))


@boundary("mm", diameter="mm", **_HANGING, valid={"diameter": (0.1, 50), **_HANGING_VALID})
def tip_for(diameter, tension, density_difference):
    """The tip (wetted diameter) from which drops of this diameter fall; `drop` the other way round.

    diameter of the drop [mm], 0.1 to 50; tension [mN/m]; density_difference [kg/m³]; returns [mm].
    Raises OutOfRange where no tip gives so large a drop, or the tip would be thinner than 0.1 mm.  Source: as `drop`.
    """
    volume, capillary = sphere_volume.si(diameter), np.sqrt(tension / (density_difference * g))
    if np.any(volume ** (2 / 3) > _DROPS[-1] * capillary ** 2):
        largest = sphere_diameter.si((_DROPS[-1] * np.min(capillary) ** 2) ** 1.5)
        raise OutOfRange(f"tip_for: no blunt tip makes a drop of {plain(np.max(diameter) * 1000)} mm: "
                         f"at most {plain(largest * 1000)} mm here")
    tip = 2 * np.interp(volume ** (2 / 3) / capillary ** 2, _DROPS, _RATIOS) * volume ** (1 / 3)
    if np.any(tip < 1e-4):
        raise OutOfRange(f"tip_for: drops of {plain(np.min(diameter) * 1000)} mm would need a tip of {plain(np.min(tip) * 1000, 1)} mm: "
                         "none is so thin; smaller pearls are not dripped")
    return tip


@boundary("mL/min", bore="mm", tip="mm", tension="mN/m", density="kg/m**3",
          valid={"bore": (0.05, 10), "tip": (0.1, 20), "tension": (1, 100), "density": (500, 2000)})
def jet_flow(bore, tip, tension, density):
    """Flow through one tip at which dripping turns into a jet. An estimate: plus or minus a third, less for a thick mix.

    Parameters
    ----------
    bore, tip : inner and outer diameter [mm]; the bore is the smaller
    tension : surface tension in air [mN/m], 1 to 100
    density : of the mix [kg/m³]

    Returns
    -------
    [mL/min]

    Raises
    ------
    OutOfRange
        The bore is the wider of the two.

    Notes
    -----
    Critical Weber number 4 (Bo' / Bo) (1 + K Bo' Bo - sqrt((1 + K Bo' Bo)**2 - 1))**2, Bo = sqrt(density g bore**2 / (2 tension)),
    Bo' the same of the tip, K = 0.37 for water in air. Viscosity left out: thick or stringy mixes draw threads earlier.

    Source
    ------
    clanet-lasheras-1999: definitions and K read in the abstract, the formula from memory.
    """
    if np.any(np.asarray(bore) > tip):
        raise OutOfRange("jet_flow: the bore is inside the tip: it cannot be the wider of the two")
    inner, outer = (np.sqrt(density * g * x ** 2 / (2 * tension)) for x in (bore, tip))
    pull = 1 + 0.37 * outer * inner
    weber = 4 * outer / inner * (pull - np.sqrt(pull ** 2 - 1)) ** 2
    return np.sqrt(weber * tension / (density * bore)) * np.pi / 4 * bore ** 2


# --- counting ----------------------------------------------------------------------------------------------------------------------
@boundary("mm**3", diameter="mm", valid={"diameter": _SIZE})
def sphere_volume(diameter):
    """Volume of a sphere: pi / 6 * diameter**3.  diameter [mm], 0.00001 to 100; returns [mm³].  Source: geometry."""
    return np.pi / 6 * diameter ** 3


@boundary("mm", volume="mm**3", valid={"volume": (1e-15, 1e6)})
def sphere_diameter(volume):
    """Diameter of a sphere: (6 volume / pi)**(1/3).  volume [mm³]; returns [mm].  Source: geometry."""
    return (6 * volume / np.pi) ** (1 / 3)


@boundary("", mass="g", diameter="mm", density="kg/m**3", valid={"mass": (0, 1e6), "diameter": _SIZE, "density": (500, 2000)})
def pearls_in(mass, diameter, density):
    """How many pearls weigh this much: mass / (density * pi / 6 * diameter**3).  mass [g]; diameter [mm]; density [kg/m³]; a number.  Source: geometry."""
    return mass / (density * sphere_volume.si(diameter))


# --- oil ---------------------------------------------------------------------------------------------------------------------------
@functools.lru_cache(64)
def _walther(oil):
    """A and B of log10(log10(nu + 0.7)) = A - B log10(T), nu in mm²/s, by least squares through the oil's own points."""
    facts = oil.facts("kinematic_viscosity") if "kinematic_viscosity" in oil else ()
    points = [(float(f.condition.split()[0]) + 273.15, f.value.m_as("mm**2/s")) for f in facts if f.condition.endswith("°C")]
    if len({temperature for temperature, _ in points}) < 2:
        raise LookupError(f"{oil.key} has no viscosity at two temperatures in the tables: take an oil that has, such as sunflower oil")
    temperature, viscosity = np.array(points).T
    slope, start = np.polyfit(np.log10(temperature), np.log10(np.log10(viscosity + 0.7)), 1)
    return start, -slope


def _in_use(temperature, oil, who):
    low, high = oil.si("usable_from"), oil.si("usable_to")
    if np.any(temperature < low - 1e-6) or np.any(temperature > high + 1e-6):
        raise OutOfRange(f"{who}: {oil.key} is known from {celsius(low)} to {celsius(high)}; {celsius(temperature)} is outside")


@boundary("mm**2/s", temperature="degC", oil=Row)
def kinematic_viscosity(temperature, oil):
    """Viscosity over density of an oil, by Walther's line through its measured points.

    temperature : scalar or array [degC], within the row's usable_from to usable_to
    oil : Row with kinematic_viscosity at two temperatures or more (condition "4 °C")
    returns [mm²/s]

    Raises OutOfRange outside the row's range, LookupError for an oil with fewer points.
    Source: walther-1931 (memory); the row names where its points are from. An Arrhenius line from hot data is far off in the fridge.
    """
    _in_use(temperature, oil, "kinematic_viscosity")
    start, slope = _walther(oil)
    return (10 ** 10 ** (start - slope * np.log10(temperature)) - 0.7) * 1e-6


@boundary("kg/m**3", temperature="degC", oil=Row)
def oil_density(temperature, oil):
    """Density of an oil: its density at 20 °C and a straight line.

    temperature [degC], within the row's usable_from to usable_to; oil: Row with density (at 20 °C) and density_slope; returns [kg/m³].
    Raises OutOfRange beyond that range.  Source: the row.
    """
    _in_use(temperature, oil, "oil_density")
    return oil.si("density") + oil.si("density_slope") * (temperature - 293.15)


@boundary("mPa*s", temperature="degC", oil=Row)
def oil_viscosity(temperature, oil):
    """Dynamic viscosity of an oil: `kinematic_viscosity` times `oil_density`.  temperature [degC]; oil: Row; returns [mPa·s].

    Raises OutOfRange beyond the row's range.  Source: as theirs.
    """
    return kinematic_viscosity.si(temperature, oil) * oil_density.si(temperature, oil)


# --- through a liquid ----------------------------------------------------------------------------------------------------------------
_MOVES = dict(diameter="mm", density_difference="kg/m**3", viscosity="mPa*s")
_MOVES_VALID = {"diameter": _SIZE, "density_difference": (-2000, 20000), "viscosity": (0.01, 1e7)}
Fall = record("Fall", speed="mm/s", reynolds="", stokes="mm/s")


@boundary("mm/s", **_MOVES, valid=_MOVES_VALID)
def stokes_speed(diameter, density_difference, viscosity):
    """Speed of a slow sphere: diameter**2 * density difference * g / (18 viscosity). Radius for diameter: four times too slow.

    diameter [mm]; density_difference: sphere minus liquid, below 0 it rises [kg/m³]; viscosity of the liquid [mPa·s]; returns [mm/s],
    down positive. About 3 % too fast at Reynolds 0.1 by the drag law of `fall`; past that use `fall`.  Source: stokes-1851.
    """
    return diameter ** 2 * density_difference * g / (18 * viscosity)


@boundary(Fall, density="kg/m**3", **_MOVES, valid={"density": (500, 2000), **_MOVES_VALID})
def fall(diameter, density_difference, viscosity, density):
    """Steady speed of a sphere falling or rising through a liquid.

    Parameters
    ----------
    diameter : scalar or array [mm], 0.00001 to 100
    density_difference : sphere minus liquid; below 0 it rises [kg/m³], -2,000 to 20,000
    viscosity, density : of the liquid around it [mPa·s, kg/m³]

    Returns
    -------
    speed : down is positive [mm/s]
    reynolds : pure number
    stokes : the speed by Stokes' law, for comparison [mm/s]

    Raises
    ------
    OutOfRange
        Reynolds number above 1,000: another law holds.

    Notes
    -----
    Drag 24 / Re * (1 + 0.15 Re**0.687). A rigid sphere: so behave gelled drops, and drops and small bubbles in food, whose skin
    of protein or fat stops the inside from turning; a clean one goes up to half as fast again: `clean_drop_speed`. Alone and far from
    walls; a Newtonian liquid.

    Source
    ------
    schiller-naumann-1933; clift-grace-weber-1978, table 5.1.
    """
    stokes = stokes_speed.si(diameter, density_difference, viscosity)
    slow = np.maximum(np.abs(stokes) * diameter * density / viscosity, 1e-300)       # the Reynolds number if Stokes were right
    reynolds = slow / (1 + 0.15 * slow ** 0.687) ** 0.6
    for _ in range(6):                                   # Newton on logarithms: slope between 1 and 1.687
        drag = 0.15 * reynolds ** 0.687
        reynolds = reynolds * np.exp(np.log(slow / (reynolds * (1 + drag))) * (1 + drag) / (1 + 1.687 * drag))
    if np.any(reynolds > 1000):
        raise OutOfRange(f"fall: Reynolds number {plain(np.max(reynolds))} is above 1000, where this law ends: "
                         "take a smaller sphere or a thicker liquid")
    return Fall(np.sign(stokes) * reynolds * viscosity / (density * diameter), reynolds, stokes)


@boundary("mm/s", inner_viscosity="mPa*s", **_MOVES, valid={"inner_viscosity": (0.001, 1e7), **_MOVES_VALID})
def clean_drop_speed(diameter, density_difference, viscosity, inner_viscosity):
    """Speed of a slow clean liquid drop or bubble, whose inside turns along: Stokes * 3 (1 + k) / (2 + 3 k), k = inner / outer viscosity.

    diameter [mm]; density_difference: drop minus liquid [kg/m³]; viscosity of the liquid, inner_viscosity of the drop [mPa·s]; returns
    [mm/s], down positive. The upper bound, 1.5 times Stokes: food drops rarely are clean.
    Source: hadamard-1911, rybczynski-1911; clift-grace-weber-1978, equation 3-15.
    """
    ratio = inner_viscosity / viscosity
    return stokes_speed.si(diameter, density_difference, viscosity) * 3 * (1 + ratio) / (2 + 3 * ratio)


# --- cooling on the way ---------------------------------------------------------------------------------------------------------------
LAWS = ("clift", "ranz-marshall", "still")


@boundary("", reynolds="", prandtl="", law=LAWS, valid={"reynolds": (0, 400), "prandtl": (0.5, 1e5)})
def nusselt(reynolds, prandtl, law=None):
    """Film number (film * diameter / conductivity of the liquid) of a sphere on its way.

    reynolds 0 to 400; prandtl 0.5 to 100,000; returns a pure number, 2 for a sphere at rest.
    law : "clift" (when left out): 1 + (1 + Pe)**(1/3), from Re 1 up times Re**0.077, a rigid sphere in slow flow at any Pr, so for oil;
        "ranz-marshall": 2 + 0.6 Re**(1/2) Pr**(1/3), the textbook's, fitted to Pr near 1; "still": 2.
    Source: clift-grace-weber-1978 (memory); ranz-marshall-1952. All three hold for a settled film: a fresh one is thinner and cools faster.
    """
    if law == "still":
        return 2.0 + 0 * reynolds * prandtl
    if law == "ranz-marshall":
        return 2 + 0.6 * np.sqrt(reynolds) * prandtl ** (1 / 3)
    return 1 + (1 + reynolds * prandtl) ** (1 / 3) * np.maximum(reynolds, 1.0) ** 0.077


Chill = record("Chill", time="s", depth="mm", speed="mm/s", reynolds="", nusselt="", film="W/m**2/kelvin", biot="")


@boundary(Chill, diameter="mm", start="degC", sets="degC", temperature="degC", oil=Row, food=Row, law=LAWS,
          valid={"diameter": (0.1, 20), "start": (0, 100), "sets": (0, 100), "temperature": (0, 100)})
def chill(diameter, start, sets, temperature, oil, food, law=None):
    """How long a drop falls through oil until its centre has cooled to the setting temperature, and how deep it is by then.

    Parameters
    ----------
    diameter : of the drop [mm], 0.1 to 20
    start, sets : temperature of the mix and of setting [degC]
    temperature : of the oil [degC]; any of these may be arrays that fit each other
    oil : Row with kinematic_viscosity, density, density_slope, heat_capacity, thermal_conductivity
    food : Row of the drop with density, heat_capacity, thermal_conductivity
    law : as in `nusselt`

    Returns
    -------
    time [s], depth fallen by then [mm, below 0 where it rises], speed [mm/s, down positive], Reynolds
    and Nusselt number, film [W/m²/K], Biot number on the radius

    Raises
    ------
    OutOfRange
        The mix has set before it drips; the oil is too warm to set it; the oil's row does not reach that temperature.

    Notes
    -----
    Reaching the temperature is not yet being set: that takes some seconds more. Oil at its own temperature (the drop's warm skin thins it),
    steady speed and film from the first moment: the true time is shorter.

    Source
    ------
    `fall`, `nusselt`, `conduction.fourier_for`.
    """
    if np.any(np.asarray(temperature) >= sets):
        raise OutOfRange(f"chill: oil at {celsius(temperature)} never sets a drop that sets at {celsius(sets)}: chill the oil")
    if np.any(np.asarray(start) <= sets):
        raise OutOfRange(f"chill: a mix at {celsius(start)} has set before it drips: it sets at {celsius(sets)}; keep it warmer")
    density, viscosity = oil_density.si(temperature, oil), oil_viscosity.si(temperature, oil)
    moving = fall.si(diameter, food.si("density") - density, viscosity, density)
    conductivity = oil.si("thermal_conductivity")
    number = nusselt.si(moving.reynolds, viscosity * oil.si("heat_capacity") / conductivity, law)
    film = number * conductivity / diameter
    biot = film * diameter / 2 / food.si("thermal_conductivity")
    left = (sets - temperature) / (start - temperature)
    time = conduction.fourier_for.si(left, biot, "sphere") * (diameter / 2) ** 2 / conduction.diffusivity(food)
    return Chill(time, moving.speed * time, moving.speed, moving.reynolds, number, film, biot)


_BATCH = dict(start="degC", temperature="degC", oil=Row, food=Row)
_BATCH_VALID = {"start": (0, 100), "temperature": (0, 100)}


@boundary("delta_degC", drops="g", mass="g", leave="degC", **_BATCH,
          valid={"drops": (0, 1e6), "mass": (1, 1e6), "leave": (0, 100), **_BATCH_VALID})
def oil_warming(drops, start, mass, temperature, oil, food, leave=None):
    """By how much a batch of drops warms the oil.

    drops: dripped so far [g]; start: of the mix [degC]; mass and temperature of the oil [g, degC]; oil, food: rows with heat_capacity
    leave : temperature at which the drops are lifted out [degC]; left out: that of the oil at the end
    returns [delta_degC]; nothing lost to the vessel or the room
    Raises OutOfRange where `leave` is not between the oil's temperature and the mix's.

    Source: heat balance.
    """
    drop_heat, oil_heat = drops * food.si("heat_capacity"), mass * oil.si("heat_capacity")
    if leave is None:
        return drop_heat * (start - temperature) / (drop_heat + oil_heat)
    if np.any((leave - start) * (leave - temperature) > 1e-9):
        raise OutOfRange(f"oil_warming: drops that come at {celsius(start)} do not leave oil at {celsius(temperature)} at {celsius(leave)}: "
                         "give a temperature between the two")
    return drop_heat * (start - leave) / oil_heat


@boundary("g", drops="g", warming="delta_degC", **_BATCH, valid={"drops": (0, 1e6), "warming": (0.1, 80), **_BATCH_VALID})
def oil_needed(drops, start, temperature, warming, oil, food):
    """Oil for a batch of drops that stay in it, so that it warms by no more than this; `oil_warming` the other way round.

    drops [g]; start of the mix and temperature of the oil [degC]; warming [delta_degC], 0.1 to 80; returns [g].
    Raises OutOfRange where the mix is not that much warmer than the oil.  Source: heat balance.
    """
    return drops * food.si("heat_capacity") * _spare(start, temperature, warming, "oil_needed") / (oil.si("heat_capacity") * warming)


@boundary("g", mass="g", warming="delta_degC", **_BATCH, valid={"mass": (1, 1e6), "warming": (0.1, 80), **_BATCH_VALID})
def drops_for(mass, start, temperature, warming, oil, food):
    """Grams that may be dripped into this oil before it has warmed so far; `oil_needed` the other way round.

    mass of the oil [g]; start of the mix and temperature of the oil [degC]; warming [delta_degC], 0.1 to 80; returns [g].
    Raises OutOfRange where the mix is not so warm.  Source: heat balance.
    """
    return mass * oil.si("heat_capacity") * warming / (food.si("heat_capacity") * _spare(start, temperature, warming, "drops_for"))


def _spare(start, temperature, warming, who):
    spare = start - temperature - warming
    if not np.all(spare > 0):
        raise OutOfRange(f"{who}: a mix at {celsius(start)} cannot warm oil at {celsius(temperature)} by {plain(np.ravel(warming)[0])} °C")
    return spare
