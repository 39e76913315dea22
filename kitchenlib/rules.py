"""Rules that differ by place: holding and cooling food, fish served raw, allergen lists, garlic in oil.

Rows by jurisdiction with source and the day they were seen (datasets/properties/rules_*.csv). Teaching text, never clearance: the
competent authority decides. A row stands only where its text was read or is quoted; what is known from memory is named as not
verified and never used; an unknown place gets the strictest rows known and is told whose they are; where no row can stand in, the
words say 'ask your authority'.
"""
import difflib
import functools
import math
from typing import NamedTuple

import numpy as np

from . import tables
from .tables import cite
from .units import OutOfRange, boundary, one_of, record

VERIFIED = ("read", "second-hand")
COMPARABLE = ("cold hold", "hot hold", "cooling", "from room temperature")   # only of these has 'strictest' one meaning
KINDS = (*COMPARABLE, "reheating", "time as control")
INSTEAD = "Shown instead, the strictest known:"


# --- places ------------------------------------------------------------------------------------------------------------------------
@functools.cache
def _places():
    return {record["place"]: record for record in tables.records("rules_places")}


def known_place(name):
    """The rows' own name of a place ('UK' -> 'United Kingdom'); None where they do not know it."""
    wanted = name.strip().casefold()
    for place, record in _places().items():
        if wanted in (place.casefold(), *(also.strip().casefold() for also in record["also"].split("|") if also)):
            return place
    return None


def _rows(table, place, wanted=lambda row: True):
    """Rows of the place, else of what it is part of, else none."""
    while place:
        rows = tuple(row for row in tables.records(table) if row["place"] == place and wanted(row))
        if rows:
            return rows
        place = _places()[place]["part_of"]
    return ()


def _lead(name, place):
    """Why another place's rows are shown."""
    if place:
        parts = [part for part, record in _places().items() if record["part_of"] == place]
        own = f" Some of its parts have rows of their own: {', '.join(parts)}." if parts else ""
        return f"No verified figure is known for {place}: ask your authority.{own}"
    if not name.strip():
        return "No place is set."
    near = difflib.get_close_matches(name.strip()[:60], tuple(_places()), 1, 0.6)
    return f"The rows do not know {name.strip()[:60]!r}{f': did you mean {near[0]}?' if near else '.'}"


def _who(row):
    quoted = "as quoted" if row["how"] == "second-hand" else ""
    seen = f"seen {row['seen']}" if row["seen"] else ""
    return f"{row['place']}: {', '.join(x for x in (cite(row['source']), row['locator'], quoted, seen) if x)}"


def _said(rows):
    """The rows' texts place by place, each place's source once behind its own."""
    groups = {}
    for row in rows:
        groups.setdefault(row["place"], []).append(row)
    told = [f"{'; '.join(row['text'] for row in group)} ({_who(group[0])})." for group in groups.values()]
    return " ".join([*told[:1], *(text[0].upper() + text[1:] for text in told[1:])])


# --- holding and cooling -----------------------------------------------------------------------------------------------------------
class Standing(NamedTuple):
    """What stands for a place: rows of rules_holding.csv and the sentence to show with them."""
    place: str                   # as the rows call it; empty where they do not know it
    kind: str
    rows: tuple                  # what to draw and to judge by
    borrowed: bool               # they are another place's
    words: str


def _has_figure(row):
    return any(row[name] is not None for name in ("warmer", "colder", "within"))


def _step(row):
    """(from, to, seconds) of a row; an end that the row leaves open is infinite."""
    return tuple(end if row[name] is None else float(row[name].to_base_units().m)
                 for name, end in (("warmer", math.inf), ("colder", -math.inf), ("within", math.inf)))


def _implies(strict, loose):
    """Whether who keeps the first step keeps the second: it starts no colder, ends no warmer and takes no longer."""
    return strict[0] >= loose[0] and strict[1] <= loose[1] and strict[2] <= loose[2]


@functools.cache
def strictest(kind):
    """The verified rows of all places that no other makes needless: who keeps them keeps every verified row of that kind.

    kind: cold hold, hot hold, cooling or from room temperature; of other kinds 'strictest' has no one meaning and none is given.
    """
    rows = [row for row in tables.records("rules_holding") if row["kind"] == kind and row["how"] in VERIFIED and _has_figure(row)]
    if kind not in COMPARABLE or kind == "hot hold":
        return (max(rows, key=lambda row: (row["warmer"], row["how"] == "read")),) if kind == "hot hold" else ()
    steps = [_step(row) for row in rows]
    chained = [(a[0], b[1], a[2] + b[2]) for a in steps for b in steps if b[0] >= a[1] > b[1]]      # one step, then the next
    kept = [row for n, (row, step) in enumerate(zip(rows, steps))
            if not any(_implies(other, step) for other in (*steps[:n], *(s for s in (*steps[n:], *chained) if s != step)))]
    return tuple(sorted(kept, key=_step, reverse=True))


def standing(place, kind):
    """What stands for a place: its own verified figures; where there are none, the strictest rows known and whose they are.

    Parameters
    ----------
    place : a name as people write it; empty or strange counts as unknown
    kind : cold hold, hot hold, cooling, from room temperature, reheating, time as control

    Returns
    -------
    Standing; without rows where nothing is known and nothing can stand in. A row from memory is named as not verified and never
    stands.

    Source
    ------
    rules_holding.csv, row by row.
    """
    one_of(kind, KINDS, "a kind of rule")
    name = known_place(place)
    own = _rows("rules_holding", name, lambda row: row["kind"] == kind)
    rows = tuple(row for row in own if row["how"] in VERIFIED and _has_figure(row))
    if rows:
        return Standing(name, kind, rows, False, f"{_said(rows)} Your authority decides.")
    aside = "".join(f" {'Its text' if row['how'] in VERIFIED else 'Not verified'}: {row['text']}." for row in own)
    rows = strictest(kind)
    rest = f"{INSTEAD} {_said(rows)} Your authority decides." if rows else "For this no figure of any place is on file here: ask your authority."
    return Standing(name or "", kind, rows, True, f"{_lead(place, name)}{aside} {rest}")


@boundary("degC", place=str, kind=("cold hold", "hot hold"))
def holding_limit(place, kind):
    """The temperature food is held at: at most that for cold, at least that for hot.

    place as people write it; kind "cold hold" or "hot hold"; returns [degC].

    For the sentence with its source: `standing`.  Source: rules_holding.csv.
    """
    return _step(standing(place, kind).rows[0])[1 if kind == "cold hold" else 0]


Step = record("Step", warmer="degC", colder="degC", within="hour")


@boundary(Step, place=str, step="", valid={"step": (1, 4)}, scalars=True)
def cooling_step(place, step):
    """One step of the cooling rule that stands for a place: from `warmer` to `colder` within so long.

    place as people write it; step 1, 2 ...; returns Step. Raises OutOfRange where the rule has no such step.  Source: rules_holding.csv.
    """
    rows = standing(place, "cooling").rows
    if step not in range(1, len(rows) + 1):
        raise OutOfRange(f"cooling_step: there is no step {step:g} in a rule of {len(rows)}")
    return _step(rows[int(step) - 1])


# --- a temperature record against the rule -----------------------------------------------------------------------------------------
Clock = record("Clock", started="min", passed="min", reached="min")


@boundary(Clock, times="min", temperatures="degC", warmer="degC", colder="degC",
          valid={"times": (0, 1e5), "temperatures": (-40, 150), "warmer": (-40, 150), "colder": (-40, 150)},
          scalars=("warmer", "colder"))
def clock(times, temperatures, warmer, colder):
    """When a cooling step began and when it was done, from readings.

    Parameters
    ----------
    times : (n,) [min], rising, two or more
    temperatures : (n,) at the warmest place [degC]
    warmer, colder : the step's two temperatures [degC]

    Returns
    -------
    started : the last reading at or above `warmer` before the record first falls below it [min]
    passed : when it falls below, on a straight line between the two readings [min]
    reached : when it comes down to `colder` for good, on a straight line [min]
        The first reading where the record begins below; infinite where it never gets there.

    Raises
    ------
    OutOfRange
        Times that do not rise, fewer than two, or not as many temperatures.

    Notes
    -----
    A cooling pot runs below the straight line: it passed `warmer` between `started` and `passed`, and was at `colder` by `reached`.

    Source
    ------
    A curve that falls ever more slowly lies below its chords.
    """
    if np.ndim(times) != 1 or np.shape(times) != np.shape(temperatures) or len(times) < 2 or np.any(np.diff(times) <= 0):
        raise OutOfRange("clock: give as many temperatures as times, two or more, the times rising")
    hair = 1e-6                                              # kelvin: 21 °C typed is 21 °C reached
    below, above = np.flatnonzero(temperatures < warmer - hair), np.flatnonzero(temperatures > colder + hair)
    passed = _on_line(times, temperatures, below[0] - 1, warmer) if below.size else math.inf
    started = times[max(below[0] - 1, 0)] if below.size else math.inf
    return started, passed, _on_line(times, temperatures, above[-1] if above.size else -1, colder)


def _on_line(times, temperatures, last, level):
    """When the straight line from reading `last` to the next comes down to `level`; at the first reading where last is -1."""
    if last in (-1, len(times) - 1):
        return times[0] if last == -1 else math.inf
    share = (temperatures[last] - level) / (temperatures[last] - temperatures[last + 1])
    return times[last] + min(max(share, 0.0), 1.0) * (times[last + 1] - times[last])


class Verdict(NamedTuple):
    """One step of a rule against a record."""
    row: object
    met: object                  # True, False, or None where the record does not tell
    due: object                  # min, by the straight line between readings; infinite where the step never began
    reached: object              # min; infinite where it never came
    words: str                   # begins Met, Missed or Not decided


class Judged(NamedTuple):
    steps: tuple                 # of Verdict
    standing: Standing
    words: str

    @property
    def missed(self):
        return tuple(step for step in self.steps if step.met is False)


def judge(times, temperatures, place=""):
    """A temperature record against the cooling rule that stands for a place: which limit is met or missed, and at what minute.

    times: (n,) quantities, rising; temperatures: (n,) of the warmest place; place: as people write it; returns Judged. Raises as `clock`.
    Source: the rows of rules_holding.csv.
    """
    rule = standing(place, "cooling")
    steps = tuple(_verdict(times, temperatures, row) for row in rule.rows)
    return Judged(steps, rule, " ".join([*(step.words for step in steps), rule.words]))


def _verdict(times, temperatures, row):
    started, passed, reached = clock(times, temperatures, row["warmer"], row["colder"])
    within, ends, first, last = row["within"].to("min"), times[-1].to("min"), temperatures[0], temperatures[-1]
    soonest, due = started + within, passed + within         # the same where a reading fell on the step's first temperature
    came = math.isfinite(reached.m)
    late = first < row["warmer"]                             # how long it was warmer before the record, nobody knows
    if not math.isfinite(started.m):
        met, told = None, f"the record stays at {_degrees(row['warmer'])} or hotter"
    elif came and reached <= soonest:
        met, told = (None if late else True), f"due at {hours(soonest)}, reached at {hours(reached)}"
    elif (reached if came else ends) > due:
        seen = f"reached at {hours(reached)}" if came else f"still {_degrees(last)} at {hours(ends)}"
        met, told = False, f"due at {hours(due)}, {seen}"
    elif came:
        met, told = None, f"due between {hours(soonest)} and {hours(due)}, reached at {hours(reached)}: readings too far apart to tell"
    else:
        met, told = None, f"due at {hours(soonest)}, the record ends at {hours(ends)} with {_degrees(last)}"
    told += f"; the record begins at {_degrees(first)}, the time above is not in it" if late else ""
    verdict = {True: "Met", False: "Missed", None: "Not decided"}[met]
    step = f"{_degrees(row['warmer'])} to {_degrees(row['colder'])} within {row['within'].m_as('hour'):g} h"
    return Verdict(row, met, due, reached, f"{verdict}: {step} ({row['place']}): {told}.")


def _degrees(temperature):
    return f"{round(temperature.m_as('degC'), 1):g} °C"


def hours(time):
    """'2 h 07 min' of a duration, rounded up to the minute."""
    minutes = math.ceil(time.m_as("min") - 1e-6)
    return f"{minutes // 60} h {minutes % 60:02d} min"


# --- fish, allergens, oil ------------------------------------------------------------------------------------------------------------
class Told(NamedTuple):
    """Rows with the sentence to show."""
    rows: tuple
    borrowed: bool               # they are another place's
    words: str


def fish_freezing(place):
    """How fish served raw or nearly so must have been frozen, by place; for an unknown place the longest rule known. Returns Told.

    Source: rules_fish.csv.
    """
    def stands(row):
        return row["how"] in VERIFIED and row["freezer"] is not None
    name = known_place(place)
    borrowed = not any(map(stands, _rows("rules_fish", name)))
    whose = max(filter(stands, tables.records("rules_fish")), key=lambda row: row["time"])["place"] if borrowed else name
    rows = tuple(filter(stands, _rows("rules_fish", whose)))
    lead = f"{_lead(place, name)} {INSTEAD} " if borrowed else ""
    rest = "".join(f" {row['kind'].capitalize()}{'' if row['how'] in VERIFIED else ' (not verified)'}: {row['text']}."
                   for row in _rows("rules_fish", whose) if row["freezer"] is None)
    return Told(rows, borrowed, f"{lead}{_said(rows)}{rest} Your authority decides.")


def allergens(place):
    """The allergens on a place's list; for an unknown place all that any list names. Returns Told.

    The rows' `allergen` is the word shared by all lists, `listed` the list's own.  Source: rules_allergens.csv.
    """
    name = known_place(place)
    own = _rows("rules_allergens", name)
    rows = own or tables.records("rules_allergens")
    lead = f"{name}:" if own else f"{_lead(place, name)} All lists known together:"
    sure = {row["allergen"] for row in rows if row["how"] in VERIFIED}
    names = dict.fromkeys(row["allergen"] + ("" if row["allergen"] in sure else " (not verified)") for row in rows)
    return Told(tuple(rows), not own, f"{lead} {', '.join(names)}. Read every pack of this batch; your authority decides.")


def garlic_in_oil():
    """How many days fresh garlic or herbs in oil are kept in the fridge, by whom: they differ, the shortest is taught. Returns Told.

    Source: rules_garlic_in_oil.csv.
    """
    rows = tuple(sorted(tables.records("rules_garlic_in_oil"), key=lambda row: row["days"]))
    told = "; ".join(f"{row['text']} ({row['whose']})" for row in rows)
    return Told(rows, False, f"Authorities differ: {told}. Keep to the shortest, {rows[0]['days'].m:g} days, or make it fresh.")
