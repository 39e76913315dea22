"""How long a sauce keeps: droplets that rise, water that is thickened against it, warm sauces, acid and egg.

Drops are given by their diameter, shares of oil by volume, thickener by its dose on the WATER, acid by what is in the WATER: oil holds
neither. Times here are about looks and texture. What may be kept, how cold and how long is a matter of `cautions.hold` and of your authority.
"""
import functools
from typing import NamedTuple

import numpy as np
from scipy.constants import R, g, k as boltzmann

from . import acidity, drops, heat, rules, spread
from .cautions import is_egg
from .emulsions import RANDOM_PACKING
from .mixes import Mix, composition
from .spread import Spread
from .tables import Row
from .units import OutOfRange, Q_, boundary, plain, record, show

PH_GOOD_TO = 0.25                # what one published recipe and one straight line for the yolk are worth
_DROPLET, _SHARE, _DOSE, _COLD = (0.1, 2000), (0, 99), (0, 1), (0, 60)


# --- water, thickened ----------------------------------------------------------------------------------------------------------------
@functools.lru_cache(32)
def _points(facts):
    """(doses, values) of Facts that stand at several doses, rising."""
    points = sorted((float(f.condition.split()[0]) / 100, f.value.to_base_units().m if hasattr(f.value, "m") else f.value)
                    for f in facts if f.condition.endswith(" %"))
    return np.array(points).T


def _by_dose(thickener, name, dose, level=None):
    """A fact of the row that stands at several doses, at this dose: straight lines on logarithms, the outer ones carried on."""
    doses, values = _points(thickener.facts(name)) if name in thickener and len(thickener.facts(name)) > 1 else ((), ())
    if len(doses) < 2:
        raise LookupError(f"{thickener.key} has no {name} at two doses in the tables: take a thickener that has, such as xanthan")
    doses, values = np.log(doses), np.log(values) if level is None else values
    dose = np.log(np.maximum(dose, 1e-9))
    at = np.clip(np.searchsorted(doses, dose) - 1, 0, len(doses) - 2)
    slope = (values[at + 1] - values[at]) / (doses[at + 1] - doses[at])
    found = values[at] + slope * (dose - doses[at])
    return np.exp(found) if level is None else np.clip(found, *level)


_THICK = dict(dose="percent", temperature="degC", thickener=Row)
_THICK_VALID = {"dose": _DOSE, "temperature": _COLD}


def _power_law(dose, thickener):
    """(stress at 1/s, power) with the row's own factor on the stress; no thickener is nothing added."""
    stress = np.where(dose > 0, _by_dose(thickener, "stress_at_one", dose), 0.0)
    return thickener.si("factor") * stress, _by_dose(thickener, "flow_index", dose, level=(0.0, 1.0))


@boundary("mPa*s", rate="1/s", **_THICK, valid={"rate": (0, 1e5), **_THICK_VALID})
def flowing_viscosity(dose, rate, temperature, thickener):
    """Viscosity of thickened water while it is sheared: water + K rate**(n - 1). Thin when poured or stirred, thick at rest.

    Parameters
    ----------
    dose : of thickener on the water [percent], 0 to 1
    rate : of shear [1/s]: 50 to 100 in the mouth, 10 poured, 0.01 and less at rest; 0 to 100,000
    temperature : [degC], 0 to 60; moves the water only, xanthan hardly minds (21-cfr-172-695: 1.02 to 1.45 times from 75 to 150 °F)
    thickener : Row with stress_at_one and flow_index at two doses or more, slowest_rate and factor; "xanthan"

    Returns
    -------
    [mPa·s], good within a factor 2 (the row's factor)

    Notes
    -----
    Below the row's slowest_rate it rises no further: there is no true yield stress (xanthan-rheology-paper). Above 1,000 1/s, our limit, it
    thins no further.

    Source
    ------
    Power law; the row (K and n from memory).
    """
    return heat.water.si(temperature).viscosity + _thickened(rate, *_power_law(dose, thickener), thickener.si("slowest_rate"))


FASTEST = 1000.0                                             # 1/s, our limit: carried on further, the power law makes less gum the thicker


def _thickened(rate, stress, power, slowest):
    return stress * np.clip(rate, slowest, FASTEST) ** (power - 1)


@boundary("mPa*s", droplet="µm", density_difference="kg/m**3", **_THICK,
          valid={"droplet": _DROPLET, "density_difference": (0.1, 2000), **_THICK_VALID})
def resting_viscosity(dose, droplet, density_difference, temperature, thickener):
    """Viscosity of thickened water as a creeping droplet meets it: at its own rate of shear, density difference * g * droplet / (6 viscosity).

    dose on the water [percent], 0 to 1; droplet [µm], 0.1 to 2,000; density_difference [kg/m³], 0.1 to 2,000; temperature [degC], 0 to 60;
    thickener: Row as in `flowing_viscosity`; returns [mPa·s], thousands of times what pouring shows.

    Source: `flowing_viscosity`; the rate is the droplet's Stokes stress over the viscosity (own-derivation), solved by halving.
    """
    pull = density_difference * g * droplet / 6
    thin, law = heat.water.si(temperature).viscosity, (*_power_law(dose, thickener), thickener.si("slowest_rate"))
    low, high = np.log(thin + 0 * (pull + dose)), np.log(thin + _thickened(0.0, *law) + 0 * pull)
    for _ in range(40):                                      # the thicker it is, the slower it is sheared: one crossing
        middle = (low + high) / 2
        thicker = np.log(thin + _thickened(pull / np.exp(middle), *law)) > middle
        low, high = np.where(thicker, middle, low), np.where(thicker, high, middle)
    return np.exp(high)


ZONES = {"single": "droplets rise one by one",
         "flocs": "too little thickener: droplets stick in flocs, which rise many times as fast as single ones, often faster than with none",
         "between": "flocs begin to hold each other up; it may stand for days and then sink at once",
         "network": "flocs hold each other up for practical times"}


@boundary("", dose="percent", thickener=Row, valid={"dose": _DOSE})
def _zone(dose, thickener):
    """Which of ZONES a dose falls in, by number: dose on the water [percent], 0 to 1; thickener: Row.  Source: the row."""
    middle = thickener.si("floc_from") * 10                  # 0.01 to 0.1 %: the trap
    return np.searchsorted([thickener.si("floc_from"), middle, max(thickener.si("network_from"), middle)], dose, side="right")


def zone(dose, thickener):
    """'single', 'flocs', 'between' or 'network': what a dose of thickener on the water [percent] does to the droplets of a dressing.

    Source: parker-1995: flocs from 0.1 g/L; delays that grow with the 3rd to 4th power of the dose; network_from is the row's.
    """
    return tuple(ZONES)[int(_zone(dose, thickener))]


# --- what holds herbs ----------------------------------------------------------------------------------------------------------------
@boundary("Pa", particle="mm", density_difference="kg/m**3", valid={"particle": (0.001, 20), "density_difference": (0.1, 2000)})
def yield_needed(particle, density_difference):
    """Yield stress that holds a particle up: 0.143 * 2/3 * radius * density difference * g.

    particle: diameter [mm], 0.001 to 20; density_difference between it and the sauce, either way [kg/m³], 0.1 to 2,000; returns [Pa].
    Source: beris-1985 (0.143, abstract).
    """
    return 0.143 * 2 / 3 * particle / 2 * density_difference * g


@boundary("Pa", dose="percent", thickener=Row, valid={"dose": (0.01, 1)})
def apparent_yield(dose, thickener):
    """Stress below which thickened water seems to stand, hours long. dose on the water [percent], 0.01 to 1; thickener: Row; returns [Pa].

    A fitting number: parker-1995 finds no yield stress in the solution itself.  Source: the row (memory, a factor 2).
    """
    return thickener.si("factor") * _by_dose(thickener, "apparent_yield", dose)


@boundary("percent", particle="mm", density_difference="kg/m**3", thickener=Row,
          valid={"particle": (0.001, 20), "density_difference": (0.1, 2000)})
def dose_to_hold(particle, density_difference, thickener):
    """Dose on the water that seems to hold particles (herbs, pepper, seeds) up; `yield_needed` and `apparent_yield` together.

    particle: diameter [mm], 0.001 to 20; density_difference [kg/m³], 0.1 to 2,000; thickener: Row; returns [percent of the water], never
    below network_from's low end, where a little makes it worse. Raises OutOfRange where 1 % does not hold them.
    Source: `yield_needed`, `apparent_yield`.
    """
    wanted, doses = yield_needed.si(particle, density_difference), np.geomspace(1e-4, 1e-2, 200)
    yields = apparent_yield.si(doses, thickener)
    if np.any(wanted > yields[-1]):
        raise OutOfRange(f"dose_to_hold: {plain(np.max(wanted))} Pa is wanted, 1 % of {thickener.key} seems to hold {plain(yields[-1])} Pa: "
                         "chop finer, or set a soft gel")
    least = float(thickener.fact("network_from").low.m_as("dimensionless"))
    return np.maximum(np.exp(np.interp(np.log(wanted), np.log(yields), np.log(doses))), least)


# --- creaming ------------------------------------------------------------------------------------------------------------------------
@boundary("kg/m**3", temperature="degC", oil=Row, valid={"temperature": _COLD})
def density_difference(temperature, oil):
    """By how much oil is lighter than water.  temperature [degC], 0 to 60 and within the oil's row; oil: Row; returns [kg/m³].

    Raises OutOfRange beyond the oil's range. Salt, sugar and acid make the water heavier: 3 % salt adds some 20.  Source: iapws-sr6-08-2011 and the row.
    """
    return heat.water.si(temperature).density - drops.oil_density.si(temperature, oil)


@boundary("", droplet="µm", density_difference="kg/m**3", temperature="degC",
          valid={"droplet": _DROPLET, "density_difference": (0.1, 2000), "temperature": _COLD})
def hindering_power(droplet, density_difference, temperature):
    """The power n of (1 - share)**n by which droplets hinder each other: 5.6 where heat jostles them, 4.48 where it does not.

    droplet [µm], 0.1 to 2,000; density_difference [kg/m³], 0.1 to 2,000; temperature [degC], 0 to 60; returns a pure number. The switch lies
    at a Péclet number (speed * radius / diffusivity) of 1e8, a droplet of 0.2 mm.  Source: brzinski-durian-2017, abstract (± 0.1, ± 0.04).
    """
    peclet = 4 / 3 * np.pi * (droplet / 2) ** 4 * density_difference * g / (boltzmann * temperature)
    return np.where(peclet < 1e8, 5.6, 4.48)[()]


_CREAM = dict(droplet="µm", share="percent", density_difference="kg/m**3", viscosity="mPa*s", temperature="degC")
_CREAM_VALID = {"droplet": _DROPLET, "share": _SHARE, "density_difference": (0.1, 2000), "viscosity": (0.2, 1e9), "temperature": _COLD}


@boundary("mm/hour", **_CREAM, valid=_CREAM_VALID)
def creaming_speed(droplet, share, density_difference, viscosity, temperature):
    """Speed at which droplets rise in a crowd: that of one alone, times (1 - share)**n; 0 from 64 % up, where they are locked.

    Parameters
    ----------
    droplet : diameter [µm], 0.1 to 2,000
    share : of oil by volume [percent], 0 to 99
    density_difference : water less oil [kg/m³], 0.1 to 2,000
    viscosity : of the watery part at rest [mPa·s], 0.2 to 1e9; see `resting_viscosity`
    temperature : [degC], 0 to 60

    Returns
    -------
    [mm/hour]

    Notes
    -----
    One size, no flocs, a watery part that is as thin for one as for many. Crowding past 50 % is carried on beyond what was measured.

    Source
    ------
    `drops.fall` (Stokes with the drag of larger drops), `hindering_power`.
    """
    alone = -drops.fall.si(droplet, -density_difference, viscosity, heat.water.si(temperature).density).speed
    free = np.where(np.asarray(share) < RANDOM_PACKING, 1 - np.asarray(share), 0.0)
    return (alone * free ** hindering_power.si(droplet, density_difference, temperature))[()]


@boundary("hour", height="mm", **_CREAM, valid={"height": (1, 2000), **_CREAM_VALID})
def creaming_time(droplet, share, density_difference, viscosity, temperature, height):
    """How long a droplet takes from the bottom of a jar to the top: height / `creaming_speed`; endless where they are locked.

    droplet [µm], 0.1 to 2,000; share [percent by volume], 0 to 99; density_difference [kg/m³]; viscosity at rest [mPa·s]; temperature
    [degC]; height of the sauce [mm], 1 to 2,000; returns [hour]. Raises OutOfRange for a droplet taller than the sauce.
    Source: `creaming_speed`.
    """
    if np.any(np.asarray(droplet) >= height):
        raise OutOfRange("creaming_time: the droplet is taller than the sauce in the jar: look at the units, µm and mm")
    speed = creaming_speed.si(droplet, share, density_difference, viscosity, temperature)
    with np.errstate(divide="ignore"):
        return height / np.asarray(speed, float)[()]


Layers = record("Layers", watery="mm", sauce="mm", cream="mm")


@boundary(Layers, time="hour", height="mm", **_CREAM, valid={"time": (0, 1e6), "height": (1, 2000), **_CREAM_VALID})
def layers(time, droplet, share, density_difference, viscosity, temperature, height):
    """What stands in the jar after a time: a watery layer below, sauce as it was between, cream packed to 64 % on top.

    Parameters
    ----------
    time : [hour], 0 to 1,000,000
    droplet, share, density_difference, viscosity, temperature : as `creaming_speed` [µm, percent, kg/m³, mPa·s, degC]
    height : of the sauce [mm], 1 to 2,000

    Returns
    -------
    watery, sauce, cream [mm], their sum the height

    Notes
    -----
    The watery layer grows with `creaming_speed`; the oil that left it is in the cream. Sharp edges belong to droplets of one size.

    Source
    ------
    Volume balance of oil (own-derivation); kynch's theory of settling without its fans.
    """
    share = np.minimum(share, RANDOM_PACKING)
    end = height * (1 - share / RANDOM_PACKING)
    watery = np.minimum(creaming_speed.si(droplet, share, density_difference, viscosity, temperature) * time, end)
    with np.errstate(invalid="ignore"):
        cream = np.where(watery < end, share * watery / np.maximum(RANDOM_PACKING - share, 1e-12), height - watery)
    cream = np.where(share >= RANDOM_PACKING, 0.0, cream)[()]
    return watery, height - watery - cream, cream


def _spoken(time):
    """A Spread of hours as one says it: in hours up to four days, in days up to a year."""
    if time.mid.m_as("day") > 365:
        return "more than a year"
    return spread.said(time, 2, "hour" if time.mid.m_as("day") < 4 else "day")


class Kept(NamedTuple):
    """How long a sauce stands before it has creamed."""
    time: object                 # Spread of [hour]; None where flocs hold each other up
    zone: str                    # of ZONES
    words: str


def creamed(droplet, share, dose, height, temperature, oil, thickener):
    """Time from the bottom of a jar to its top [hour], a Spread, as the thickener's factor leaves it; in the flocs' zone from flocs to single droplets.

    As `keeps`, which tells where the time counts: dose [percent of the water] may be an array; share below 64 percent.
    Source: `creaming_time`, `resting_viscosity`; flocs: speed * floc_size, a loose floc of fractal dimension 2 (memory).
    """
    difference = density_difference(temperature, oil)

    def single(dose, thickener):
        thick = resting_viscosity(dose, droplet, difference, temperature, thickener)
        return creaming_time(droplet, share, difference, thick, temperature, height)
    time, size, flocs = spread.spread(single, weak="factor", dose=dose, thickener=thickener), thickener.fact("floc_size"), _zone(dose, thickener) == 1
    return Spread(time.low / np.where(flocs, size.high, 1.0), time.mid / np.where(flocs, size.value, 1.0), time.high)


def keeps(droplet, share, dose, height, temperature, oil, thickener):
    """How long until a jar has creamed, by size, thickener and temperature, and what a little thickener does.

    Parameters
    ----------
    droplet [µm], share [percent by volume], dose on the water [percent], height [mm], temperature [degC]; oil, thickener : Rows

    Returns
    -------
    Kept; its time carries the thickener's factor. In the flocs' zone the time runs from flocs (low) to single droplets (high).

    Source
    ------
    `creamed`, `zone`.
    """
    where = zone(dose, thickener)
    if share.m_as("dimensionless") >= RANDOM_PACKING:
        return Kept(None, where, f"At {show(share)} oil the droplets are locked and none rises. It can still weep or turn to oil.")
    time = creamed(droplet, share, dose, height, temperature, oil, thickener)
    if where == "single":
        return Kept(time, where, f"{ZONES[where].capitalize()}: from bottom to top in {_spoken(time)}.")
    if where == "flocs":
        none = creamed(droplet, share, Q_(0.0, "percent"), height, temperature, oil, thickener)
        return Kept(time, where, f"{ZONES[where].capitalize()}: {_spoken(time)}, an order of magnitude; with none, "
                                 f"{_spoken(none)}. Leave it out, or take {show(thickener.network_from, 1)} of the water.")
    return Kept(None, where, f"{ZONES[where].capitalize()}. Single droplets would take {_spoken(time)}.")


# --- warm sauces ---------------------------------------------------------------------------------------------------------------------
@boundary("min", time="min", temperature="degC", other="degC", egg=Row,
          valid={"time": (0, 1e4), "temperature": (50, 75), "other": (50, 75)})
def same_heat(time, temperature, other, egg):
    """Minutes at another temperature that take an egg yolk as far towards curdling: time * exp(E/R (1/T2 - 1/T1)).

    time [min], 0 to 10,000; temperature, other [degC], 50 to 75 (measured 60 to 70); egg: Row with curdling_activation; returns [min].
    Source: vega-2011, abstract (470 kJ/mol): 12.3 times as fast at 65 as at 60 °C.
    """
    return time * np.exp(egg.si("curdling_activation") / R * (1 / other - 1 / temperature))


@boundary("percent", temperature="degC", fat=Row, valid={"temperature": (0, 60)})
def solid_share(temperature, fat):
    """Share of a fat that is solid. temperature [degC], 0 to 60; fat: Row with solid_share at temperatures and all_liquid; returns [percent].

    Straight lines between the row's points, flat below the coldest.  Source: the row (memory).
    """
    points = sorted((float(f.condition.split()[0]) + 273.15, f.value.m_as("dimensionless")) for f in fat.facts("solid_share"))
    at, solid = zip(*points, (fat.si("all_liquid"), 0.0))
    return np.interp(temperature, at, solid)


class Window(NamedTuple):
    """A warm sauce's window against the rule for hot holding."""
    sets: object                 # below it the fat sets [degC]
    low: object                  # worked from ...
    high: object                 # ... to, where yolk thickens [degC]
    curdles: object              # [degC], the low end of the row's
    hot_hold: object             # [degC] that stands for the place
    room: object                 # degrees between hot hold and `high`; below 0 there is none [delta_degC]
    words: str


def warm_window(place, sauce, fat):
    """Where a warm yolk sauce works, and what the place's rule for hot holding leaves of it.

    place: as people write it; sauce: Row, "warm yolk sauce"; fat: Row, "butter fat"; returns Window. The two pull apart: the words say so and
    say what kitchens do.  Source: the rows; `rules.standing`; kitchens' ways are common practice.
    """
    standing = rules.standing(place, "hot hold")
    hot = rules.holding_limit(place, "hot hold")
    low, high = sauce.fact("works_at").low, sauce.thickens_at
    room = Q_(high.m_as("degC") - hot.m_as("degC"), "delta_degC")
    hour = same_heat(Q_(60.0, "min"), hot, high, sauce)
    left = (f"that leaves {show(room, 2)}, and an hour at {show(hot, 2)} takes the yolk as far as {show(hour, 2)} at {show(high, 2)}"
            if room.m > 0 else "that leaves nothing")
    control = rules.standing(place, "time as control")
    return Window(fat.all_liquid, low, high, sauce.fact("curdles_at").low, hot, room, (
        f"The fat sets below {show(fat.all_liquid, 2)}, the yolk thickens at {show(high, 2)}; the sauce is worked from {show(low, 2)}. Hot holding asks "
        f"for {show(hot, 2)} or hotter: {left}. The two pull apart, and no trick joins them. What kitchens do: pasteurised egg, small batches "
        f"made often, what is left thrown away by the clock. Time as control: {control.words} Hot hold: {standing.words}"))


# --- acid in the water -----------------------------------------------------------------------------------------------------------------
@boundary("percent", strength="g/L", density="kg/m**3", valid={"strength": (0, 1000), "density": (900, 1600)})
def by_mass(strength, density):
    """Acid by mass for a strength printed per volume: 5 % w/v is 50 g/L and 4.97 % by mass.

    strength [g/L], 0 to 1,000; density of the liquid [kg/m³], 900 to 1,600; returns [percent by mass]. Raises OutOfRange where there is more
    acid than liquid.  Source: mass balance.
    """
    if np.any(np.asarray(strength) > density):
        raise OutOfRange("by_mass: a litre cannot hold more acid than it weighs: give the strength in g/L, 5 % on the label is 50")
    return strength / density


_SOUR = dict(acetic="g", citric="g", water="mL", yolk="g", egg=Row)
_SOUR_VALID = {"acetic": (0, 1e4), "citric": (0, 1e4), "water": (0.1, 1e6), "yolk": (0, 1e5)}


def _buffered(held, water, buffers, strong=0.0):
    """pH of `water` [m³] with acids {name: kg}, [(mass kg, Row)] that take up acid, and strong ions [mol]."""
    if np.any(sum(held.values()) > 1.05e3 * np.asarray(water)):
        raise OutOfRange("sauce_ph: that is more acid than water: give grams of pure acid, and all the water of the sauce")
    slopes = [acidity.buffer_from.si(mass, water, food) for mass, food in buffers]
    slope = sum(slopes, 0.0 * np.asarray(water))
    pull = sum(one * food.si("ph") for one, (_, food) in zip(slopes, buffers))
    centre = np.where(slope > 0, pull / np.maximum(slope, 1e-300), 7.0)
    return acidity.ph.si(**{name: mass / water for name, mass in held.items()}, buffer=slope, buffer_ph=centre,
                         strong_ions=strong / water, ionic_strength=0.0)


@boundary("", **_SOUR, valid=_SOUR_VALID)
def sauce_ph(acetic, citric, water, yolk, egg):
    """pH of a sauce's watery part: acids by charge balance, the yolk as a buffer. Oil takes no part, however much there is.

    Parameters
    ----------
    acetic, citric : acid in the whole sauce [g], 0 to 10,000: mL of vinegar times its g/L
    water : in the whole sauce, that of yolk, vinegar and juice in it [mL], 0.1 to 1,000,000
    yolk : [g], 0 to 100,000; egg : Row with buffer_slope and ph, "egg yolk"

    Returns
    -------
    a pure number, good to 0.25 (`PH_GOOD_TO`): measure with a calibrated meter

    Raises
    ------
    OutOfRange
        more acid than water can hold

    Notes
    -----
    Ideal (ionic strength 0), since the yolk's slope was taken from a published recipe with the ideal balance. Salt lowers, oil and mustard
    raise the pH a little (xiong-2000). A pH says nothing about what lived in the egg before. From ingredients, cream too: `mix_ph`.

    Source
    ------
    `acidity.ph`; xiong-2000.
    """
    return _buffered({"acetic": acetic, "citric": citric}, water, [(yolk, egg)])


def _watery_ph(parts):
    """pH of the watery part of [(food, mass in kg, scalar or array)]; `mix_ph` says how."""
    water = sum(mass * (composition(food)["water"] or 0.0) for food, mass in parts) / heat.water.si(293.15).density
    if np.any(np.asarray(water) <= 0):
        raise OutOfRange("mix_ph: there is no water in it, so there is no pH")
    held = {name: sum(mass * (composition(food)[f"{name}_acid"] or 0.0) for food, mass in parts) for name in acidity.ACIDS}
    strong, buffers = 0.0, []
    for food, mass in parts:
        own = {name: food.si(f"{name}_acid") for name in acidity.ACIDS if f"{name}_acid" in food}
        if "buffer_slope" in food and "ph" in food:
            buffers.append((mass, food))
        elif is_egg(food):
            raise LookupError(f"mix_ph: no row says how much acid {food.key} takes up, and without it the pH comes out far too low: measure it")
        elif any(own.values()) and "ph" in food and "water" in food:
            litre = food.si("water") / 1000.0
            sour = {name: share / litre for name, share in own.items()}
            if food.si("ph") > acidity.ph.si(**sour, ionic_strength=0.0):
                strong = strong + mass * litre * acidity.strong_ions.si(food.si("ph"), **sour, ionic_strength=0.0)
    return _buffered({name: kg for name, kg in held.items() if np.any(kg)}, water, buffers, strong)


@boundary("", mix=Mix)
def mix_ph(mix):
    """pH of a sauce's watery part from its ingredients: all acids known, yolk and cream as buffers, a sour food's own salts by its pH.

    mix; returns a pure number, good to 0.25 at best. What a food table does not say of an acid is left out, and so is the buffering of foods
    without buffer_slope (mustard); below pH 4 the yolk takes up less than its straight line says, and ours is up to half a unit
    too high. So measure with a calibrated meter.
    Raises OutOfRange without water, LookupError for egg whose buffer_slope no row knows (white, whole egg), and where a food's water is not
    known.  Source: as `sauce_ph`; `acidity.strong_ions` for juices and vinegars.
    """
    mix.si_total("water")
    return float(_watery_ph(tuple(mix.parts.items())))


@boundary("", mix=Mix, food=Row, mass="g", valid={"mass": (0, 1e6)})
def ph_with(mix, food, mass):
    """pH of a sauce's watery part as a food is added to it: `mix_ph` of the sauce and so much more of that food.

    mix; food: Row of a vinegar, a juice, cream, a yolk; mass: scalar or array [g], 0 to 1,000,000; returns pure numbers.
    Raises as `mix_ph`.  Source: as there.
    """
    return _watery_ph((*mix.parts.items(), (food, mass)))


@boundary("mL", to_ph="", strength="g/L", acid=Row, water="mL", yolk="g", egg=Row,
          valid={"to_ph": (1.5, 6.3), "strength": (1, 1000), "water": (0, 1e6), "yolk": (0, 1e5)})
def sour_liquid_for(to_ph, strength, acid, water, yolk, egg):
    """Vinegar or juice that brings the watery part of a sauce to a wanted pH; `sauce_ph` the other way round.

    Parameters
    ----------
    to_ph : wanted, 1.5 to 6.3
    strength : of the liquid [g/L], 1 to 1,000: 5 % vinegar is 50
    acid : Row, "acetic acid" or "citric acid"
    water : in the sauce before [mL], 0 to 1,000,000; yolk [g]; egg : Row with buffer_slope and ph

    Returns
    -------
    [mL], good to a third either way

    Raises
    ------
    OutOfRange
        the liquid itself is not so sour, whatever the amount

    Source
    ------
    Charge balance of `acidity.ph` solved for the amount (own-derivation), ideal.
    """
    hydrogen = 10 ** (3 - to_ph) - 10 ** (3 + to_ph - acidity.PKW)
    bound = strength / acid.si("molar_mass") * acidity.charge.si(acid, to_ph, 0.0) - hydrogen
    if np.any(bound <= 0):
        lowest = acidity.ph.si(**{acid.key.split()[0]: strength, "ionic_strength": 0.0})
        raise OutOfRange(f"sour_liquid_for: pH {plain(np.min(to_ph))} is below what this liquid reaches by itself, pH {plain(np.max(lowest))}: "
                         "take a stronger one, or another acid")
    return np.maximum(hydrogen * water + yolk * egg.si("buffer_slope") * (egg.si("ph") - to_ph), 0.0) / bound
