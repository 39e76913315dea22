"""Every published value beside what the library gives. One line of datasets/published/*.csv is one check; a test runs them all and
each lesson shows its own."""
import functools
import importlib
import math
import re
from typing import NamedTuple

from . import files, mixes, tables
from .files import read_csv
from .tables import HOW, cite
from .units import Q_, Quantity, TYPED, read_number, show

PUBLISHED = files.DATASETS / "published"
COLUMNS = ("lesson", "model", "inputs", "printed", "unit", "tolerance", "because", "source", "locator", "how")
UNMEASURED = "unmeasured.csv"                                # lesson, sentence: what nobody has measured, as far as we could find


class Check(NamedTuple):
    """One printed value, as it stands in its file.

    lesson : numbers of the lessons that show it, apart by blanks
    model : dotted name below kitchenlib, `:field` for one field of a record or one property of a row
    inputs : `name=value; name=value`, see `read_inputs`
    printed : a number; `30 to 43`, `at least 85`, `at most 0.25` where a limit is printed; a word where unit is `word`
    unit : of printed and tolerance; empty for a pure number
    tolerance : in that unit, or `5 %` of the printed value; empty for a limit or a word
    """
    where: str
    lesson: str
    model: str
    inputs: str
    printed: str
    unit: str
    tolerance: str
    because: str
    source: str
    locator: str
    how: str


class Outcome(NamedTuple):
    """What the library gives beside a printed value; numbers in the check's unit, off is here less printed (0 within a limit)."""
    check: Check
    here: object
    off: float
    allowed: float

    @property
    def agrees(self):
        return abs(self.off) <= self.allowed * (1 + 1e-9)    # 0.2 of a step of 0.2 is no disagreement

    @property
    def share(self):
        """off as a share of the printed value or of the limit that is broken; beside a printed 0 nothing, or endless where it disagrees."""
        beside = abs(self.here - self.off) if self.off else 1.0
        return self.off / beside if beside else 0.0 if self.agrees else math.copysign(math.inf, self.off)

    def __str__(self):
        unit = "" if self.check.unit == "word" else self.check.unit
        here = self.here if isinstance(self.here, str) else show(Q_(self.here, unit) if unit else self.here)
        name = show(Q_(1, unit)).partition(" ")[2] if unit else ""
        return f"{' '.join(filter(None, (self.check.printed, name)))} printed, {here} here"


# --- reading -------------------------------------------------------------------------------------------------------------------------
def shipped(key):
    """The row of a substance without the user's shelf; `checks.shipped:critical_dose` checks a row's own value against print."""
    return tables.row(key, own=False)


def within(key, name, value):
    """'inside' or 'outside' the low and high of a shipped row: for what print gives as one number and the row as a band."""
    fact = shipped(key).fact(name)
    return "inside" if fact.low <= value <= fact.high else "outside"


def read_value(text):
    """'1.5 %' -> quantity, '2' -> pure number, 'row agar' -> shipped row, 'row agar but modulus=9 kPa but dose_exponent=2' -> with
    values of its own, 'water 750 g + sucrose 250 g' -> Mix of shipped rows, anything else -> word."""
    if text.startswith("row "):
        key, *changes = text[4:].split(" but ")
        row = shipped(key.strip())
        return row.but(**read_inputs(";".join(changes))) if changes else row
    found = re.fullmatch(r"([+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?)\s*(.*)", text, re.ASCII | re.DOTALL)
    if not found:
        return mixes.read(text, own=False) if mixes.WRITTEN.fullmatch(text) else text
    number, unit = read_number(found[1]), found[2]
    return Q_(number, TYPED.get(unit, unit)) if unit else number


def read_inputs(text):
    """'dose=1.5 %; grade=row agar' -> {argument: value}. ValueError where a part is no name=value or comes twice."""
    inputs = {}
    for part in text.split(";"):
        name, equals, value = (piece.strip() for piece in part.partition("="))
        if not (equals and value and name.isidentifier()):
            raise ValueError(f"write name=value; name=value, not {part.strip()!r}")
        if name in inputs:
            raise ValueError(f"{name} is given twice")
        inputs[name] = read_value(value)
    return inputs


def _limits(check):
    """(low, high, allowed beyond either): one number is both, a side left open is infinite."""
    between = re.fullmatch(r"(\S+) to (\S+)", check.printed)
    side = re.fullmatch(r"at (least|most) (\S+)", check.printed)
    if between:
        low, high = map(read_number, between.groups())
    elif side:
        end = read_number(side[2])
        low, high = (end, math.inf) if side[1] == "least" else (-math.inf, end)
    else:
        low = high = read_number(check.printed)
    if low > high:
        raise ValueError(f"printed {check.printed!r} runs from high to low")
    if not check.tolerance:
        if low == high:
            raise ValueError("a printed number needs a tolerance")
        return low, high, 0.0
    if check.tolerance.endswith("%"):
        if low != high:
            raise ValueError("a tolerance in % needs one printed number")
        return low, high, read_number(check.tolerance[:-1].strip()) / 100 * abs(low)
    return low, high, read_number(check.tolerance)


def published(folder=PUBLISHED):
    """All checks of a folder, in order of file and line. ValueError naming file and line where one cannot be read."""
    found = []
    for path in sorted(folder.glob("*.csv")):
        if path.name == UNMEASURED:
            continue
        columns, rows, troubles = read_csv(path)
        if tuple(columns) != COLUMNS:
            raise ValueError(f"{path.name}: the columns must be {','.join(COLUMNS)}")
        if troubles:
            raise ValueError(f"{path.name}: {troubles[0]}")
        found += [Check(f"{path.name} line {line}", **cells) for line, cells in rows]
    return tuple(found)


# --- running -------------------------------------------------------------------------------------------------------------------------
def _model(name):
    room, _, function = name.rpartition(".")
    return getattr(importlib.import_module(f"{__package__}.{room}"), function)


def value(model, inputs):
    """What a model, `room.function` or `room.function:field`, gives for inputs written as `read_inputs` reads them."""
    name, _, field = model.partition(":")
    here = _model(name)(**read_inputs(inputs))
    return getattr(here, field) if field else here


def run(check):
    """Outcome of one check. ValueError naming its file and line where it cannot be run."""
    try:
        here = value(check.model, check.inputs)
        if check.unit == "word":
            return Outcome(check, here, 0.0 if here == check.printed else math.inf, 0.0)
        if isinstance(here, Quantity):
            here = here.m_as(check.unit or "dimensionless")
        elif check.unit:
            raise ValueError(f"the model gives a pure number, print says {check.unit}")
        low, high, allowed = _limits(check)
        here = float(here)
        return Outcome(check, here, here - min(max(here, low), high), allowed)
    except Exception as error:
        raise ValueError(f"{check.where}: {check.model}: {error}") from error


def outcomes(lesson=None):
    """Outcomes of all checks, or of those that belong to a lesson ('10')."""
    return tuple(run(check) for check in published() if lesson is None or lesson in check.lesson.split())


@functools.cache
def all_outcomes():
    """All outcomes, worked out once: shipped values do not change while a program runs."""
    return outcomes()


@functools.cache
def in_short():
    """One line for the foot of a sheet: how many printed values stand behind it, and how near the library comes."""
    found = published()
    read = [run(check) for check in found if check.how == "read"]          # the others are only counted: a sheet waits for this line
    near = sum(abs(outcome.share) < 0.01 for outcome in read)
    return f"beside {len(found)} printed values: {near} of the {len(read)} read in their source within 1 %; grades and kitchens differ by more"


# --- showing -------------------------------------------------------------------------------------------------------------------------
class LessonTable(NamedTuple):
    columns: tuple
    rows: tuple
    after: str


def unmeasured(lesson):
    """Sentences: what nobody has measured, as far as we could find, and a lesson has to assume."""
    return tuple(cells["sentence"] for _, cells in read_csv(PUBLISHED / UNMEASURED)[1] if lesson in cells["lesson"].split())


def lesson_table(lesson):
    """'Checked against print' of a lesson: for each way of knowing how many values, how far off at worst and which that is; after it
    what nobody has measured."""
    found, rows = outcomes(lesson), []
    for how in HOW:
        known = [outcome for outcome in found if outcome.check.how == how]
        if known:
            worst = max(known, key=lambda outcome: abs(outcome.share))
            seen = f"{cite(worst.check.source) or how}: {worst}; {worst.check.because}"
            seen = seen if abs(worst.share) >= 0.01 else "to the digits printed"
            rows.append((how, str(len(known)), _percent(abs(worst.share)), seen))
    gaps = unmeasured(lesson)
    after = f"Not measured, as far as we could find: {' '.join(gaps)}" if gaps else ""
    return LessonTable(("how it is known", "values", "farthest off", "which that is"), tuple(rows), after)


def _percent(share):
    return "under 1 %" if share < 0.01 else f"{100 * share:.0f} %"
