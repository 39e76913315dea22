"""Gas in a room: what liquid nitrogen or dry ice does to the air, ventilation, vessels, and the pressure in a vessel that is shut.

The whole vessel spilt comes first, the planned pour second: `cases`, `dry_ice_cases`, `store` and `shut_space` keep that order. Numbers
are computed as they are and shown rounded to the side of caution (`rounded_down`, `rounded_up`). Perfect mixing is assumed, which is
optimistic. Teaching text: the supplier's sheet, local code and a competent person decide.
"""
import functools
import math
from decimal import ROUND_CEILING, ROUND_FLOOR, Context, Decimal
from typing import NamedTuple

import numpy as np
from scipy.constants import R

from . import tables
from .tables import cite, row
from .units import OutOfRange, Q_, Quantity, boundary, one_of, record, show

OXYGEN = 0.209                                               # of air; guides print 20.9, 20.95 and 21 %: the least is the cautious one
CARBON_DIOXIDE = 0.00043                                     # of fresh air (memory, rounded up); gas flames and people add to it
AGEING = 2                                                   # oxford-s4-03: an old vessel boils off twice what its maker says
COUNTED_HEIGHT = 2.0                                         # m, cryogen-guide-8863179: cold gas lies low, the air under a high ceiling does not help
FANS = ("extract", "supply")
ASSUMED = (
    "Perfect mixing is assumed, which is optimistic: at the pour point and at the floor, where cold gas lies, it is worse than this mean.",
    "An open or propped door is not ventilation: count only a fan that is proved to run, and run the extract before the first pour.",
    "An oxygen monitor, in date, is worn or fixed low: nobody feels oxygen run out.",
    "Teaching sum: the supplier's sheet, local code and a competent person decide.")
ASSUMED_DRY_ICE = (ASSUMED[0], ASSUMED[1], "Carbon dioxide harms before oxygen runs out: a carbon dioxide monitor, in date, is worn or fixed low.",
                   ASSUMED[3])


def shipped(substance, name):
    """SI value of a property as shipped: no shelf may make the gas less."""
    return row(substance, own=False).si(name)


# --- rounding to the side of caution -------------------------------------------------------------------------------------------------
def rounded_down(quantity, digits=3, unit=None):
    """Never above what was computed: for oxygen, for the largest vessel, for standing time. Scalar quantity or number, `unit` converts."""
    return _rounded(quantity, digits, unit, ROUND_FLOOR)


def rounded_up(quantity, digits=3, unit=None):
    """Never below what was computed: for gas, carbon dioxide, nitrogen needed, time to recover, pressure. As `rounded_down`."""
    return _rounded(quantity, digits, unit, ROUND_CEILING)


def _rounded(quantity, digits, unit, way):
    quantity = quantity.to(Q_(1, unit).units) if unit else quantity
    number = float(quantity.magnitude if isinstance(quantity, Quantity) else quantity)
    if math.isfinite(number):
        number = float(Context(prec=digits, rounding=way).plus(Decimal(repr(number))))
    return Quantity(number, quantity.units) if isinstance(quantity, Quantity) else number


def _low(quantity):
    return show(rounded_down(quantity))


def shown_up(quantity):
    """A need as it is told: to three digits, never below what was computed."""
    return show(rounded_up(quantity))


def _given(quantity):
    """What the user said, as it is: 10 L."""
    number, gap, unit = show(quantity, 4).partition(" ")
    return (number.rstrip("0").rstrip(".") if "." in number else number) + gap + unit


def _changes(air_changes):
    return f"{_given(air_changes.to('1/hour')).partition(' ')[0]} air changes an hour"


# --- how much gas --------------------------------------------------------------------------------------------------------------------
_WARM, _PRESSURE = (0, 45), (60, 110)
_LIQUID, _ROOM, _CHANGES = (0, 1e5), (0.5, 1e6), (0, 100)


@boundary("m**3", mass="kg", of=("liquid nitrogen", "dry ice"), temperature="degC", pressure="kPa",
          valid={"mass": (0, 1e5), "temperature": _WARM, "pressure": _PRESSURE})
def gas_of_mass(mass, of, temperature=None, pressure=None):
    """Volume of gas that a mass of liquid nitrogen or dry ice becomes in the room.

    mass [kg], 0 to 100,000; of: which; temperature of the room, 0 to 45 (our limit), 20 °C where left out; pressure, 60 to 110 kPa, sea
    level where left out: at 1,600 m there is a fifth more; returns [m³].

    Notes
    -----
    Ideal gas law. Up to 45 °C the true volume is a little less, 0.05 % for nitrogen and 0.7 % for carbon dioxide: to the side of caution.

    Source
    ------
    ideal gas law; molar masses in nitrogen.csv.
    """
    temperature, pressure = 293.15 if temperature is None else temperature, 101325.0 if pressure is None else pressure
    return mass * R * temperature / (shipped(of, "molar_mass") * pressure)


@boundary("", temperature="degC", pressure="kPa", valid={"temperature": _WARM, "pressure": _PRESSURE})
def expansion(temperature=None, pressure=None):
    """Volumes of gas in the room from one volume of liquid nitrogen; temperature and pressure as in `gas_of_mass`; returns a pure number.

    Guides print 682 to 700: only the temperature they refer to differs.  Source: `gas_of_mass`; density in nitrogen.csv.
    """
    return gas_of_mass.si(shipped("liquid nitrogen", "density"), "liquid nitrogen", temperature, pressure)


@boundary("m**3", liquid="L", temperature="degC", pressure="kPa", valid={"liquid": _LIQUID, "temperature": _WARM, "pressure": _PRESSURE})
def gas_of_liquid(liquid, temperature=None, pressure=None):
    """Volume of gas from a volume of liquid nitrogen.

    liquid [L], 0 to 100,000; temperature and pressure as in `gas_of_mass`; returns [m³].  Source: as `expansion`.
    """
    return liquid * expansion.si(temperature, pressure)


@boundary("m**3", length="m", width="m", height="m", taken="percent", counted_height="m",
          valid={"length": (0.5, 1000), "width": (0.5, 1000), "height": (0.5, 100), "taken": (0, 90), "counted_height": (0.5, 100)})
def free_volume(length, width, height, taken, counted_height=None):
    """Air in a room that a spill mixes with.

    length, width, height [m]; taken: share filled by furniture and equipment [percent], 0 to 90; counted_height [m]: left out, at most
    2 m count, since cold gas lies low; returns [m³].  Source: cryogen-guide-8863179.
    """
    counted = COUNTED_HEIGHT if counted_height is None else counted_height
    return length * width * np.minimum(height, counted) * (1 - taken)


# --- share of the gas in the room's air, oxygen and carbon dioxide ---------------------------------------------------------------------
def _share(time, gas, duration, room, air_changes, fan):
    """Share of the released gas in the air after a time: one core for spill, pour and recovery; times in s, air_changes in 1/s.

    supply: V dx/dt = R - (Q + R) x. extract: V dx/dt = R - max(Q, R) x, since the fan draws gas too and so brings less fresh air.
    """
    pours, spilt = np.asarray(duration) > 0, np.minimum(gas / room, 1.0) * np.exp(-air_changes * time)
    if not np.any(pours):
        return spilt
    release = gas / room / np.where(pours, duration, 1.0)
    flow = air_changes + release if fan == "supply" else np.maximum(air_changes, release)
    pouring = np.minimum(time, duration)
    turns = flow * pouring
    filled = release * pouring * np.where(turns > 0, -np.expm1(-turns) / np.where(turns > 0, turns, 1.0), 1.0)
    return np.where(pours, filled * np.exp(-air_changes * np.maximum(time - duration, 0.0)), spilt)[()]


def _back(ratio, air_changes):
    """Time for the share of gas to fall to one part in `ratio` by fresh air; endless without, 0 where it is there already."""
    folds = np.log(np.maximum(ratio, 1.0))
    with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
        return np.where(folds > 0, np.divide(folds, air_changes), 0.0)[()]


def _oxygen(share, start):
    return (OXYGEN if start is None else start) * (1 - share)


def _carbon_dioxide(share, start):
    return share + (CARBON_DIOXIDE if start is None else start) * (1 - share)


def _litres_to_gas(liquid, ratio):
    return liquid * (expansion.si() if ratio is None else ratio)


_POUR = dict(liquid="L", room="m**3", ratio="", start="percent")
_POUR_VALID = {"liquid": _LIQUID, "room": _ROOM, "ratio": (500, 1300), "start": (15, 25)}
_AIR = dict(time="min", duration="min", air_changes="1/hour", fan=FANS)
_AIR_VALID = {"time": (0, 1e5), "duration": (0, 1e5), "air_changes": _CHANGES}


@boundary("percent", **_POUR, valid=_POUR_VALID)
def oxygen_if_spilt(liquid, room, ratio=None, start=None):
    """Oxygen in the room when all the liquid turns to gas at once and pushes out air only: the worst case, which comes first.

    Parameters
    ----------
    liquid : liquid nitrogen, of all vessels in the room [L], 0 to 100,000
    room : free air volume [m³], 0.5 to 1,000,000
    ratio : volumes of gas to one of liquid, 500 to 1,300; left out: `expansion` at 20 °C
    start : oxygen before [percent], 15 to 25; left out: 20.9

    Returns
    -------
    [percent]; 0 where there is more gas than room

    Notes
    -----
    start * (1 - gas / room). Perfectly mixed afterwards, which is optimistic: after a spill in a closed booth the oxygen differed with
    height (daikankyo-2020).

    Source
    ------
    nottingham-cryo, oxford-s4-03, cryogen-guide-8863179.
    """
    return _oxygen(_share(0.0, _litres_to_gas(liquid, ratio), 0.0, room, 0.0, "extract"), start)


@boundary("percent", **_POUR, valid=_POUR_VALID)
def oxygen_mixed_slowly(liquid, room, ratio=None, start=None):
    """Oxygen when the gas comes slowly, mixes, and as much mixed air leaves: start * exp(-gas / room). Always above `oxygen_if_spilt`.

    Arguments and ranges as in `oxygen_if_spilt`; returns [percent].  Source: mass balance without fresh air.
    """
    return _oxygen(-np.expm1(-_litres_to_gas(liquid, ratio) / room), start)


@boundary("percent", **_POUR, **_AIR, valid={**_POUR_VALID, **_AIR_VALID})
def oxygen_over_time(time, liquid, duration, room, air_changes, fan, ratio=None, start=None):
    """Oxygen in a ventilated, well mixed room, during a release and after it.

    Parameters
    ----------
    time : since the release began, scalar or array [min]
    duration : of the release at a steady rate [min]; 0: all at once, as `oxygen_if_spilt`
    air_changes : fresh air per hour over the volume of the room [1/hour], 0 to 100; a basement about 0.4
    fan : "extract" (a hood: it draws gas too, so less fresh air comes in; the worse) or "supply"
    liquid, room, ratio, start : as in `oxygen_if_spilt`

    Returns
    -------
    same shape as time [percent]

    Source
    ------
    Mass balance, closed form; basement: oxford-s4-03.
    """
    return _oxygen(_share(time, _litres_to_gas(liquid, ratio), duration, room, air_changes, fan), start)


@boundary("min", level="percent", **_POUR, duration="min", air_changes="1/hour", fan=FANS,
          valid={"level": (1, 24), **_POUR_VALID, "duration": (0, 1e5), "air_changes": _CHANGES}, scalars=True)
def time_until(level, liquid, duration, room, air_changes, fan, ratio=None, start=None):
    """When the oxygen falls to a level during a release; endless where it does not.

    level [percent], 1 to 24; duration and the rest as in `oxygen_over_time`; scalars; returns [min].  Source: `oxygen_over_time`,
    solved for time.
    """
    gas, wanted = _litres_to_gas(liquid, ratio), 1 - level / (OXYGEN if start is None else start)
    if wanted <= 0:
        return 0.0
    if _share(duration, gas, duration, room, air_changes, fan) < wanted:
        return math.inf
    if duration == 0:
        return 0.0
    release = gas / room / duration
    flow = air_changes + release if fan == "supply" else max(air_changes, release)
    return min(-math.log1p(-min(wanted * flow / release, 1 - 1e-15)) / flow, duration)


@boundary("min", oxygen="percent", level="percent", air_changes="1/hour", start="percent",
          valid={"oxygen": (0, 25), "level": (1, 20.8), "air_changes": _CHANGES, "start": (15, 25)})
def recovery_time(oxygen, level, air_changes, start=None):
    """Time for fresh air to bring the oxygen back to a level once no more gas comes: ln((start - oxygen) / (start - level)) / air changes.

    oxygen now [percent], 0 to 25; level wanted, 1 to 20.8; air_changes [1/hour], 0 to 100; start: of fresh air, 15 to 25, 20.9 where
    left out. Returns [min]; endless without fresh air. Raises OutOfRange for a level that fresh air has not.  Source: mass balance, closed form.
    """
    fresh = OXYGEN if start is None else start
    if np.any(level >= fresh):
        raise OutOfRange("recovery_time: the level wanted must be below the oxygen of fresh air")
    return _back((fresh - oxygen) / (fresh - level), air_changes)


@boundary("L", room="m**3", level="percent", ratio="", start="percent",
          valid={"room": _ROOM, "level": (1, 20.8), "ratio": (500, 1300), "start": (15, 25)})
def largest_vessel(room, level, ratio=None, start=None):
    """The most liquid nitrogen that, all spilt, leaves the oxygen at a level; `oxygen_if_spilt` the other way round.

    room [m³]; level [percent], 1 to 20.8; ratio, start as in `oxygen_if_spilt`; returns [L].
    Raises OutOfRange for a level that fresh air has not.  Source: as `oxygen_if_spilt`.
    """
    fresh = OXYGEN if start is None else start
    if np.any(level >= fresh):
        raise OutOfRange("largest_vessel: the level must be below the oxygen of fresh air")
    return (1 - level / fresh) * room / (expansion.si() if ratio is None else ratio)


@boundary("percent", loss="L/day", room="m**3", air_changes="1/hour", fan=FANS, ratio="", start="percent",
          valid={"loss": (0, 1e5), "room": _ROOM, "air_changes": (0.01, 100), "ratio": (500, 1300), "start": (15, 25)})
def steady_oxygen(loss, room, air_changes, fan, ratio=None, start=None):
    """Where the oxygen settles while nitrogen boils off without end; a short release does not get there.

    loss : liquid nitrogen [L/day], 0 to 100,000; room [m³]; air_changes [1/hour], 0.01 to 100: with none there is no level where it stops,
    count the vessel as spilt; fan, ratio, start as in `oxygen_over_time`; returns [percent].  Source: mass balance.
    """
    against = _litres_to_gas(loss, ratio) / (room * air_changes)
    return _oxygen(np.minimum(against, 1.0) if fan == "extract" else against / (1 + against), start)


@boundary("percent", loss="L/day", room="m**3", air_changes="1/hour", ratio="", start="percent",
          valid={"loss": (0, 1e4), "room": _ROOM, "air_changes": (0.01, 100), "ratio": (500, 1300), "start": (15, 25)})
def store_oxygen(loss, room, air_changes, ratio=None, start=None):
    """Oxygen in a store where a dewar stands and boils off; the maker's loss is doubled for its age.

    loss : as the maker says [L/day], 0 to 10,000; the rest as in `steady_oxygen`; returns [percent].  Source: oxford-s4-03.
    """
    return steady_oxygen.si(AGEING * loss, room, air_changes, "extract", ratio, start)


_ICE = dict(mass="kg", room="m**3", start="percent", temperature="degC")
_ICE_VALID = {"mass": (0, 1e4), "room": _ROOM, "start": (0, 5), "temperature": _WARM}


@boundary("percent", **_ICE, valid=_ICE_VALID)
def carbon_dioxide_if_released(mass, room, start=None, temperature=None):
    """Carbon dioxide in the room when all the dry ice turns to gas at once: the worst case, which comes first.

    mass of dry ice in the room [kg], 0 to 10,000; room [m³]; start: carbon dioxide before [percent], 0 to 5, 0.043 where left out;
    temperature as in `gas_of_mass`; returns [percent], 100 where there is more gas than room.  Source: as `oxygen_if_spilt`.
    """
    return _carbon_dioxide(_share(0.0, gas_of_mass.si(mass, "dry ice", temperature), 0.0, room, 0.0, "extract"), start)


@boundary("percent", **_ICE, **_AIR, valid={**_ICE_VALID, **_AIR_VALID})
def carbon_dioxide_over_time(time, mass, duration, room, air_changes, fan, start=None, temperature=None):
    """Carbon dioxide in a ventilated, well mixed room while dry ice turns to gas and after it.

    mass, room, start, temperature as in `carbon_dioxide_if_released`; time, duration, air_changes, fan as in `oxygen_over_time`;
    returns [percent].  Source: mass balance, closed form.
    """
    return _carbon_dioxide(_share(time, gas_of_mass.si(mass, "dry ice", temperature), duration, room, air_changes, fan), start)


@boundary("kg", room="m**3", level="percent", start="percent", temperature="degC",
          valid={"room": _ROOM, "level": (0.1, 10), "start": (0, 5), "temperature": _WARM})
def largest_dry_ice(room, level, start=None, temperature=None):
    """The most dry ice that, all turned to gas, brings the carbon dioxide to a level; `carbon_dioxide_if_released` the other way round.

    room [m³]; level [percent], 0.1 to 10; start, temperature as there; returns [kg]. Raises OutOfRange where the level is there already.
    Source: as there.
    """
    before = CARBON_DIOXIDE if start is None else start
    if np.any(level <= before):
        raise OutOfRange("largest_dry_ice: the level is already there before any dry ice comes in")
    return (level - before) / (1 - before) * room / gas_of_mass.si(1.0, "dry ice", temperature)


# --- limit lines -----------------------------------------------------------------------------------------------------------------------
@functools.cache
def limits(gas="oxygen", kind=None):
    """Rows of rooms_limits.csv for "oxygen" or "carbon dioxide", of a kind (limit, alarm, effect) or of all; the first to be passed first."""
    one_of(gas, ("oxygen", "carbon dioxide"), "a gas")
    found = [line for line in tables.records("rooms_limits") if line["gas"] == gas and kind in (None, line["kind"])]
    if gas == "oxygen":                                      # what nitrogen and dry ice do: it only falls
        return tuple(sorted((line for line in found if line["side"] == "below"), key=lambda line: -line["share"].m))
    return tuple(sorted(found, key=lambda line: line["share"].m))


def passed(level, gas="oxygen"):
    """Rows of the limits that a level [percent quantity] has passed, the first passed first."""
    return tuple(line for line in limits(gas) if (level < line["share"] if line["side"] == "below" else level > line["share"]))


def limit_words(line):
    """'below 19.5 %: oxygen-deficient ... (OSHA 2007)' of a row of `limits`."""
    return f"{line['side']} {line['share'].m:g} %: {line['text']} ({cite(line['source'])})"


def _passed_words(lines):
    """The first line of each gas with its source, the further ones as numbers, and of what it does to people the worst."""
    if not lines:
        return "The mean of the room crosses no limit line of the table; the pour point and the floor are worse."
    said = []
    for gas in ("carbon dioxide", "oxygen"):
        lines_here = [line for line in lines if line["gas"] == gas and line["kind"] != "effect"]
        further = dict.fromkeys(f"{line['share'].m:g} %" for line in lines_here if line["share"] != lines_here[0]["share"])
        said += [f"{gas} {limit_words(lines_here[0])}{', then ' + ', '.join(further) if further else ''}"] if lines_here else []
    worst = [line for line in lines if line["kind"] == "effect"]
    return f"Limit lines crossed: {'; '.join(said)}.{f' What it does, {limit_words(worst[-1])}.' if worst else ''}"


# --- cases: the whole vessel first, what is planned second -----------------------------------------------------------------------------
Released = record("Released", spilt_gas="m**3", spilt="percent", slowly="percent", planned_gas="m**3", planned="percent")
_HELD = dict(room="m**3", planned_time="min", air_changes="1/hour", temperature="degC", pressure="kPa")
_HELD_VALID = {"room": _ROOM, "planned_time": (0.1, 1e5), "air_changes": _CHANGES, "temperature": _WARM, "pressure": _PRESSURE}


def _released(held, planned, room, planned_time, air_changes):
    held = np.maximum(held, planned)
    return Released(held, _share(0.0, held, 0.0, room, 0.0, "extract"), -np.expm1(-held / room), planned,
                    _share(planned_time, planned, planned_time, room, air_changes, "extract"))


@boundary(Released, vessel="L", planned="L", **_HELD, valid={"vessel": _LIQUID, "planned": _LIQUID, **_HELD_VALID})
def released(room, vessel, planned, planned_time, air_changes, temperature=None, pressure=None):
    """Gas, and its share in the room's air, if all liquid nitrogen in the room is spilt, and at the end of the planned pour.

    Parameters
    ----------
    room : free air volume [m³], 0.5 to 1,000,000, see `free_volume`
    vessel : liquid nitrogen in the room, all vessels together [L]; where more is planned, that counts as spilt
    planned : what is to be poured [L], evenly over planned_time [min], 0.1 to 100,000
    air_changes : fresh air by a fan that is proved to run [1/hour], 0 to 100; 0 where nobody knows
    temperature, pressure : as in `gas_of_mass`

    Returns
    -------
    spilt_gas [m³]; spilt: at once, slowly: mixing as it comes, both without fresh air [percent of the air]; planned_gas [m³]; planned: at
    the end of the pour, the fan taken as an extract, the worse [percent of the air]

    Source
    ------
    As `oxygen_if_spilt`, `oxygen_mixed_slowly`, `oxygen_over_time`.
    """
    ratio = expansion.si(temperature, pressure)
    return _released(vessel * ratio, planned * ratio, room, planned_time, air_changes)


@boundary(Released, held="kg", planned="kg", **_HELD, valid={"held": (0, 1e4), "planned": (0, 1e4), **_HELD_VALID})
def dry_ice_released(room, held, planned, planned_time, air_changes, temperature=None, pressure=None):
    """`released` for dry ice: held, all that is in the room [kg], 0 to 10,000; planned: what is used [kg], gone over planned_time.

    The other arguments and the result as there.  Source: as there.
    """
    gas = gas_of_mass.si(1.0, "dry ice", temperature, pressure)
    return _released(held * gas, planned * gas, room, planned_time, air_changes)


class Case(NamedTuple):
    """One release as computed, unrounded; the words round to the side of caution."""
    what: str                    # spilt, planned or standing
    amount: object               # liquid nitrogen [L], standing [L/day], dry ice [kg]
    gas: object                  # [m³]; None where it stands
    oxygen: object               # lowest [percent]
    carbon_dioxide: object       # highest [percent]; None for nitrogen
    passed: tuple                # rows of `limits`
    back: object                 # from the last gas until the first limit line is kept again [min]; None where it is never passed
    words: str


class Cases(NamedTuple):
    """What happens if all that is in the room is released; only then what is planned."""
    spilt: Case
    planned: Case
    words: tuple                 # in the order in which they are shown

    def __str__(self):
        return " ".join(self.words)


def _case(what, told, amount, gas, share, air_changes, dry_ice=False, slowly=None):
    """A Case from the highest share of released gas in the air; slowly: that share if it mixes as it comes; air_changes None: no recovery."""
    oxygen, bad = _percent(_oxygen(share, None)), _percent(_carbon_dioxide(share, None)) if dry_ice else None
    lines = (passed(bad, "carbon dioxide") if dry_ice else ()) + passed(oxygen)
    first = limits("carbon dioxide" if dry_ice else "oxygen")[0]["share"].m_as("dimensionless")
    allowed = (first - CARBON_DIOXIDE) / (1 - CARBON_DIOXIDE) if dry_ice else 1 - first / OXYGEN
    back = Q_(float(_back(share / allowed, air_changes)) / 60, "min") if air_changes is not None and share > allowed else None
    says = [f"{told}: {f'{shown_up(gas)} of gas; ' if gas is not None else ''}"
            f"{f'carbon dioxide rises to {shown_up(bad)}, ' if dry_ice else ''}oxygen falls to {_low(oxygen)}"
            f"{'' if slowly is None else f' ({_low(_percent(_oxygen(slowly, None)))} if it mixes as it comes)'}."]
    if what == "spilt" and share >= 1:
        says.append("That is more gas than room: the sum stops at no air at all.")
    says.append(_passed_words(lines))
    if back is not None and back.m <= 1440:
        says.append(f"Once no more gas comes, the fan needs at least {shown_up(back)} until the first line is kept again.")
    elif back is not None:
        says.append(f"{'Once no more gas comes, it takes more than a day' if air_changes else 'Without fresh air it stays so'}: "
                    "leave, and let nobody in.")
    return Case(what, amount, gas, oxygen, bad, lines, back, " ".join(says))


def _percent(share):
    return Q_(100 * float(share), "percent")


def _pair(found, held, planned, planned_time, air_changes, dry_ice):
    name, unit = ("dry ice", "kg") if dry_ice else ("liquid nitrogen", "L")
    held, planned = held.to(unit), planned.to(unit)
    told = f"If all the {name}, {_given(rounded_up(max(held, planned)))}, {'turns to gas' if dry_ice else 'is spilt'} at once"
    told = f"More is planned than is said to be in the room, so that much counts. {told}" if planned > held else told
    changes = float(air_changes.m_as("1/s"))
    spilt = _case("spilt", told, max(held, planned), found.spilt_gas, found.spilt.m / 100, changes, dry_ice, found.slowly.m / 100)
    told = f"As planned, {_given(rounded_up(planned))} in {_given(planned_time.to('min'))}, {_changes(air_changes)}"
    pour = _case("planned", told, planned, found.planned_gas, found.planned.m / 100, changes, dry_ice)
    return Cases(spilt, pour, (spilt.words, pour.words, *(ASSUMED_DRY_ICE if dry_ice else ASSUMED)))


def cases(room, vessel, planned, planned_time, air_changes, temperature=None, pressure=None):
    """The whole vessel spilt, then the planned pour, in numbers and words: always both, always in this order.

    Arguments, ranges and errors as in `released`; returns Cases.  Source: as `released`; rooms_limits.csv.
    """
    found = released(room, vessel, planned, planned_time, air_changes, temperature, pressure)
    return _pair(found, vessel, planned, planned_time, air_changes, False)


def dry_ice_cases(room, held, planned, planned_time, air_changes, temperature=None, pressure=None):
    """All the dry ice gone at once, then the planned use; carbon dioxide's own limits come before those of oxygen.

    Arguments, ranges and errors as in `dry_ice_released`; returns Cases.  Source: as there; niosh-2005-151 and the rows of rooms_limits.csv.
    """
    found = dry_ice_released(room, held, planned, planned_time, air_changes, temperature, pressure)
    return _pair(found, held, planned, planned_time, air_changes, True)


def store(room, vessel, loss, air_changes):
    """A store with a dewar: all of it spilt first, then what stands in the air while it boils off as it must.

    room [m³]; vessel, all liquid nitrogen kept there [L]; loss as the maker says [L/day], doubled for age; air_changes [1/hour], above 0.
    Returns Cases.  Raises and source as `released` and `store_oxygen`.
    """
    found = released(room, vessel, Q_(0, "L"), Q_(1, "min"), air_changes)
    held, loss = vessel.to("L"), loss.to("L/day") if isinstance(loss, Quantity) else loss
    oxygen = store_oxygen(loss, room, air_changes)
    spilt = _case("spilt", f"If all the liquid nitrogen, {_given(held)}, is spilt at once", held, found.spilt_gas, found.spilt.m / 100,
                  float(air_changes.m_as("1/s")), slowly=found.slowly.m / 100)
    told = f"Standing, it loses {_given(loss)}, counted double for an old vessel, {_changes(air_changes)}"
    standing = _case("standing", told, loss, None, 1 - oxygen.m_as("percent") / 100 / OXYGEN, None)
    return Cases(spilt, standing, (spilt.words, standing.words, *ASSUMED))


SPACES = {"lift": "Nobody rides in a lift with it: it goes alone, and someone waits at each floor.",
          "vehicle": "Never in a passenger cabin: a spill there leaves no time to stop."}


def shut_space(kind, space, vessel):
    """What a spill does in a lift or a vehicle, and why nobody is in there with it.

    kind "lift" or "vehicle"; space: its volume [m³]; vessel [L]; returns Case, its words first the spill, then the rule.
    Source: `oxygen_if_spilt`; newcastle-cryogens, lund-cryogens (lift); dchas-2012 (3 L spilt in a car: below 15 %).
    """
    rule = SPACES[one_of(kind, tuple(SPACES), "a shut space")]
    found = released(space, vessel, Q_(0, "L"), Q_(1, "min"), Q_(0, "1/hour"))
    told = f"If {_given(vessel.to('L'))} of liquid nitrogen is spilt in a {kind} of {_given(space.to('m**3'))}"
    case = _case("spilt", told, vessel.to("L"), found.spilt_gas, found.spilt.m / 100, None, slowly=found.slowly.m / 100)
    return case._replace(words=f"{case.words} {rule} {ASSUMED[0]}")


# --- vessels ---------------------------------------------------------------------------------------------------------------------------
class Refused(ValueError):
    """A vessel that must not hold liquid nitrogen; the sentence says why."""


@functools.cache
def _sealed():
    lines = tables.records("nitrogen_sealed")
    return tuple(np.log([line[name].m_as(unit) for line in lines])
                 for name, unit in (("fill", "dimensionless"), ("pressure", "pascal"), ("per_kelvin", "pascal/kelvin")))


@boundary("bar", fill="percent", temperature="degC", valid={"fill": (1, 100), "temperature": (-20, 45)})
def sealed_pressure(fill, temperature=None):
    """Pressure in a vessel shut with liquid nitrogen in it, once it is warm, if it held: it bursts long before.

    fill : share of the vessel filled with liquid when it is shut [percent], 1 to 100 (the table's range)
    temperature : reached [degC], -20 to 45; 20 where left out; below 20 the pressure at 20 is given
    returns [bar], absolute

    Notes
    -----
    Real gas. Between the rows of nitrogen_sealed.csv straight lines of log pressure over log fill, and the tangent in temperature at
    20 °C: both run above the equation of state, by 0.5 % at most. The ideal gas law holds to a fill of about a fifth and is four times
    too low in a full vessel.

    Source
    ------
    coolprop-8-0-0: nitrogen, Span et al. 2000.
    """
    fills, pressures, slopes = _sealed()
    place = np.log(fill)
    warmer = np.maximum((293.15 if temperature is None else temperature) - 293.15, 0.0)
    return np.exp(np.interp(place, fills, pressures)) + np.exp(np.interp(place, fills, slopes)) * warmer


def vessels(holds=None):
    """Names in rooms_vessels.csv: all, those that may hold liquid nitrogen ("yes") or those refused ("no")."""
    return tuple(line["vessel"] for line in tables.records("rooms_vessels") if holds in (None, line["holds"]))


def accept_vessel(name, fill=None):
    """The row of a vessel that may hold liquid nitrogen.

    name : one of `vessels()`; fill [percent], 1 to 100: how full a shut one would be, full where left out

    Raises
    ------
    Refused
        It must not hold any: why, and for a shut one the pressure, rounded up.
    ValueError
        Not on the list; the nearest is named. What is not listed is not used.

    Source
    ------
    rooms_vessels.csv; `sealed_pressure`.
    """
    one_of(name, vessels(), "a vessel")
    line = next(line for line in tables.records("rooms_vessels") if line["vessel"] == name)
    if line["holds"] == "yes":
        return line
    fill = Q_(100, "percent") if fill is None else fill
    pressure = f" Shut {_given(fill.to('percent'))} full it would come to {shown_up(sealed_pressure(fill))} at 20 °C, and it bursts long before." \
        if line["shut"] == "yes" else ""
    raise Refused(f"no liquid nitrogen in a {name}: {line['why']}.{pressure} Use a {' or an '.join(vessels('yes'))}.")
