"""Bench readings: what the class measures with kitchen gear, under which law, and how to take it.

A `Law` names its columns with units, what has to be given beside them, and what it finds. `read` takes a CSV, `typed` a table typed into,
`readings` typed numbers; `practice` and `protocol` serve who has yet to measure. `fits` says what readings mean.
"""
import functools
import math
from types import MappingProxyType
from typing import NamedTuple

import numpy as np
from scipy.constants import g

from . import cautions, gels, heat, keeping, tables
from .files import DATASETS, read_csv
from .tables import Row
from .units import OutOfRange, Q_, Quantity, TYPED, convert, nearest, one_of, other_kind, outside, read_answer, same_kind, si_unit, within

BENCH = DATASETS / "bench"
SHOWN = 5                                                    # troubles named one by one; the rest are counted


class Column(NamedTuple):
    """A column of readings, or a number given beside them; unit "" is a pure number, "row" a Row of the tables."""
    name: str
    unit: str
    low: float
    high: float
    meaning: str
    shelf: str = ""              # property under which `keep` writes it


class Parameter(NamedTuple):
    """What a fit finds. start: a number in unit, or a function of SI (x, y, **given); expected: what a book says, or its low and high."""
    name: str
    unit: str
    start: object
    low: float
    high: float
    meaning: str
    expected: object = None
    shelf: str = ""


class Law(NamedTuple):
    """y = core(x, *parameters, **given), all in SI. relative: readings scatter by a share of themselves, not by a fixed amount."""
    key: str
    formula: str
    x: Column
    y: Column
    given: tuple
    parameters: tuple
    core: object
    relative: bool
    source: str


class BadReadings(ValueError):
    """Readings that cannot be taken; `troubles` names row and column of each, with the mend."""
    def __init__(self, troubles):
        self.troubles = tuple(troubles)
        more = len(self.troubles) - SHOWN
        super().__init__(" ".join(self.troubles[:SHOWN]) + (f" And {more} more." if more > 0 else ""))


class Readings(NamedTuple):
    """Readings in the law's units; uncertainty of y is None where none was given; where: 'row 3' of each, for sentences."""
    law: Law
    x: object
    y: object
    uncertainty: object
    given: MappingProxyType
    where: tuple
    unused: tuple = ()


# --- laws ----------------------------------------------------------------------------------------------------------------------------
def _scale(core):
    """Start of a first parameter to which the law is proportional: the typical share of y over the law with 1."""
    def start(x, y, **given):
        with np.errstate(all="ignore"):
            share = y / core(x, 1.0, **given)
        return float(np.median(share[np.isfinite(share)])) if np.isfinite(share).any() else 1.0
    return start


def _proportion(x, factor):
    return factor * x


def _line(x, start, slope):
    return start + slope * x


def _approach(x, final, rate):
    return final * -np.expm1(-rate * x)


def _gel_strength(dose, strength, exponent, plunger, reference_dose):
    return gels.power_law_core(dose, strength, reference_dose, exponent) * math.pi * plunger ** 2 / 4 / g


def _plunger(load, modulus, plunger):
    """Turned round: the modulus is force / (8 radius depth)."""
    return gels.plunger_modulus.si(load * g, plunger / 2, 1.0) / modulus


def _shell(time, shell_in_one_minute, exponent):
    return gels.power_law_core(time, shell_in_one_minute, 60.0, exponent)


def _cream(time, droplet, share, density_difference, viscosity, temperature, height):
    return keeping.layers.si(time, droplet, share, density_difference, viscosity, temperature, height)[0]


def _cooling(time, start, time_constant, surroundings):
    return heat.temperature_after.si(time, start, surroundings, time_constant, 1.0, 1.0, 1.0)


def _pot(time, start, factor, batch, food, vessel, surroundings):
    return heat.cooled.si(time, start, batch, food, vessel, surroundings.but(factor=float(factor)))[0]


def _first(x, y, **given):
    """y of the earliest reading."""
    return float(y[np.argmin(x)])


def _slope(x, y, **given):
    return float((y[np.argmax(x)] - y[np.argmin(x)]) / max(np.ptp(x), 1e-12))


def _fold(x, y, surroundings, **given):
    """Time constant from the first and the last reading; of one reading alone, its time."""
    if not np.ptp(x):
        return float(max(x[0], 1.0))
    gap = np.abs(y - np.mean(surroundings)) + 0.01
    return float(np.ptp(x) / max(abs(math.log(gap[np.argmin(x)] / gap[np.argmax(x)])), 0.01))


def _number(name, meaning=""):
    return Column(name, "", -math.inf, math.inf, meaning or "any number")


_PLUNGER = Column("plunger", "mm", 1, 100, "diameter of the flat plunger")
_MINUTES = Column("time", "min", 0, 1e5, "since the start")
_TEMPERATURE = Column("temperature", "degC", -50, 150, "in the middle, stirred")
_ANY = -math.inf, math.inf
LAWS = {law.key: law for law in (
    Law("gel strength", "load = strength (dose / reference dose)^exponent times the plunger's area",
        Column("dose", "percent", 0.01, 20, "of the total mass"), Column("load", "g", 0.1, 50000, "on the plunger when the gel breaks"),
        (_PLUNGER, Column("reference_dose", "percent", 0.05, 20, "dose at which the strength is told", "gel_strength_dose")),
        (Parameter("strength", "g_per_cm2", lambda x, y, plunger, reference_dose:
                   float(np.median(y * g * 4 / (math.pi * plunger ** 2) * (reference_dose / x) ** 2)), 1, 5000,
                   "gel strength at the reference dose", None, "gel_strength"),
         Parameter("exponent", "", 2.0, 0.1, 8, "power of the dose", 2.0, "dose_exponent")), _gel_strength, True, "gels.power_law"),
    Law("plunger", "depth = load g / (8 radius modulus)", Column("load", "g", 0.1, 5000, "laid on the plunger"),
        Column("depth", "mm", 0.05, 20, "how far it sinks in"), (_PLUNGER,),
        (Parameter("modulus", "kPa", lambda x, y, plunger: float(np.median(_plunger(x, 1.0, plunger) / y)), 0.001, 10000, "shear modulus", None,
                   "modulus"),), _plunger, True, "gels.plunger_modulus"),
    Law("shell", "shell = shell after a minute (time / 1 min)^exponent", Column("time", "s", 1, 1e5, "in the bath"),
        Column("shell", "mm", 0.01, 50, "on a sphere cut through its middle"), (),
        (Parameter("shell_in_one_minute", "mm", lambda x, y: float(np.median(y * np.sqrt(60.0 / x))), 0.001, 50, "shell after a minute"),
         Parameter("exponent", "", 0.5, 0.05, 2, "power of the time", 0.5)), _shell, True, "spheres.planar_shell: a flat front goes with the root of time"),
    Law("cream line", "clear layer = creaming speed of the droplets times time, until the cream is packed", _MINUTES,
        Column("clear", "mm", 0, 1000, "height of the clear layer under the cream"),
        (Column("share", "percent", 0.1, 63, "oil by volume"), Column("density_difference", "kg/m**3", 1, 500, "water less oil"),
         Column("viscosity", "mPa*s", 0.1, 1e5, "of the watery part"), Column("temperature", "degC", 0, 60, "of the bottle"),
         Column("height", "mm", 5, 1000, "of the sauce in the bottle")),
        (Parameter("droplet", "µm", 20.0, 0.1, 1000, "diameter of the droplets"),), _cream, False, "keeping.layers"),
    Law("boil-off", "mass = start - rate time", _MINUTES, Column("mass", "g", 0, 1e6, "flask or pot with what is in it"), (),
        (Parameter("start", "g", _first, 0, 1e6, "mass at the start"),
         Parameter("rate", "g/min", lambda x, y: -_slope(x, y), -1e5, 1e5, "lost in a minute")),
        lambda x, start, rate: _line(x, start, -rate), False, "mass balance: a steady loss"),
    Law("cooling", "temperature - around = (start - around) exp(-time / time constant)", _MINUTES, _TEMPERATURE,
        (Column("surroundings", "degC", -200, 100, "air or bath around it"),),
        (Parameter("start", "degC", _first, -50, 150, "temperature at the start"),
         Parameter("time_constant", "min", _fold, 0.01, 1e5, "until 37 % of the difference is left")), _cooling, False, "heat.temperature_after"),
    Law("pot", "temperature by heat.cooled, its natural film times a factor", _MINUTES, _TEMPERATURE,
        (Column("batch", "g", 1, 100000, "in the vessel"), Column("food", "row", 0, 0, "what is in it"), Column("vessel", "row", 0, 0, "what it is in"),
         Column("surroundings", "row", 0, 0, "what stands around it")),
        (Parameter("start", "degC", _first, -50, 150, "temperature at the start"),
         Parameter("factor", "", 1.0, 0.05, 20, "your film over the computed one", (0.8, 1.25), "factor")), _pot, False, "heat.cooled"),
    Law("yield", "left = yield bought", Column("bought", "g", 0.1, 1e6, "as it comes"), Column("left", "g", 0, 1e6, "after trimming"), (),
        (Parameter("yield", "percent", _scale(_proportion), 0.1, 100, "what is left to use", None, "yield"),), _proportion, True, "mass balance"),
    Law("juice", "juice = yield trimmed", Column("trimmed", "g", 0.1, 1e6, "into the press"), Column("juice", "g", 0, 1e6, "out of the sieve"), (),
        (Parameter("juice_yield", "percent", _scale(_proportion), 1, 100, "strained juice", None, "juice_yield"),), _proportion, True,
        "mass balance"),
    Law("proportion", "y = factor x", _number("x"), _number("y"), (),
        (Parameter("factor", "", _scale(_proportion), *_ANY, "y over x"),), _proportion, False, "arithmetic"),
    Law("straight line", "y = start + slope x", _number("x"), _number("y"), (),
        (Parameter("start", "", lambda x, y: float(np.mean(y) - _slope(x, y) * np.mean(x)), *_ANY, "y at 0"),
         Parameter("slope", "", _slope, *_ANY, "rise for one x")), _line, False, "arithmetic"),
    Law("power law", "y = factor x^exponent", _number("x")._replace(low=1e-300), _number("y"), (),
        (Parameter("factor", "", lambda x, y: float(np.median(y / x)), *_ANY, "y at 1"), Parameter("exponent", "", 1.0, -20, 20, "power of x")),
        lambda x, factor, exponent: gels.power_law_core(x, factor, 1.0, exponent), False, "arithmetic"),
    Law("approach", "y = final (1 - exp(-rate x))", _number("x"), _number("y"), (),
        (Parameter("final", "", lambda x, y: 1.2 * float(y[np.argmax(x)]), *_ANY, "y in the end"),
         Parameter("rate", "", lambda x, y: 1.5 / float(np.max(x)), 0, math.inf, "share of what is missing, gained with one x")), _approach, False,
        "arithmetic"))}


def law(key):
    """The Law of this name: "gel strength", "plunger", "shell", "cream line", "boil-off", "cooling", "pot", "yield", "juice", and for any two
    columns "proportion", "straight line", "power law", "approach". ValueError names the nearest."""
    return LAWS[one_of(key, tuple(LAWS), "a law")]


def own_factor(unit):
    """Law of a one-point or several-point calibration: measured = factor times computed, both in this unit; kept as `factor`."""
    column = Column("computed", unit, -math.inf, math.inf, "what the library gives")
    return Law("own factor", "measured = factor computed", column, column._replace(name="measured", meaning="what you found"), (),
               (Parameter("factor", "", _scale(_proportion), 0.01, 100, "measured over computed", 1.0, "factor"),), _proportion, True, "arithmetic")


# --- units ---------------------------------------------------------------------------------------------------------------------------
@functools.cache
def _unit(name):
    return Q_(1, name or "dimensionless").units


def to_si(number, unit):
    """A number in a unit by name, in SI; the unit "" is a pure number. Without the door's checks: for numbers that have passed them."""
    return convert(number, _unit(unit), si_unit(_unit(unit)))


def from_si(number, unit):
    """The way back from `to_si`."""
    return convert(number, si_unit(_unit(unit)), _unit(unit))


# --- readings ------------------------------------------------------------------------------------------------------------------------
def in_column(column, value, what):
    """A quantity or pure number as float(s) in the column's unit. TypeError, OtherKind or OutOfRange, all named `what`."""
    if not isinstance(value, Quantity):
        if column.unit:
            raise TypeError(f"{what} needs a unit: write Q_({np.ravel(value)[0] if np.size(value) == 1 else '[...]'}, {column.unit!r})")
        value = Q_(np.asarray(value, float) if np.ndim(value) else float(value), "")
    want = _unit(column.unit)
    if not same_kind(value.units, want):
        raise other_kind(what, value, want)
    number = convert(np.asarray(value.magnitude, float), value.units, want)
    bad = ~((column.low * (1 - 1e-12) <= number) & (number <= column.high * (1 + 1e-12)) & np.isfinite(number))
    if bad.any():
        raise OutOfRange(outside(what, float(np.ravel(value.magnitude)[np.argmax(bad)]), value.units, want, column.low, column.high))
    return number


def take_given(law, given, many):
    """The numbers given beside the readings, in their units; rows as they are. TypeError where one is missing or none of the law's."""
    names = {column.name: column for column in law.given}
    for name in given:
        if name not in names:
            near = nearest(name, names)
            raise TypeError(f"{law.key} has no {name}" + (f"; {near}?" if near else f": it takes {', '.join(names) or 'nothing beside its columns'}"))
    taken = {}
    for name, column in names.items():
        if name not in given:
            raise TypeError(f"{law.key} needs {name}: {column.meaning}" + (f", in {column.unit}" if column.unit not in ("", "row") else ""))
        value = given[name]
        if column.unit == "row":
            if not isinstance(value, Row):
                raise TypeError(f"{law.key}: {name} must be a Row, not {value!r}: write {Row.made_by}")
            taken[name] = value
        else:
            number = in_column(column, value, f"{law.key}: {name}")
            if number.ndim and number.shape != (many,):
                raise TypeError(f"{law.key}: {name} is one number, or one for each of the {many} readings")
            taken[name] = number if number.ndim else float(number)
    return MappingProxyType(taken)


def readings(law, uncertainty=None, **numbers):
    """Typed readings: the law's two columns and what it needs beside them, by name.

    law : a Law; uncertainty : standard uncertainty of each y, one or many, in its unit; numbers : `dose=Q_([1, 2], "percent")` ...
    Raises TypeError for a missing or unknown name or a bare number, OtherKind, OutOfRange.
    """
    columns = {}
    for column in (law.x, law.y):
        if column.name not in numbers:
            raise TypeError(f"{law.key} needs {column.name}: {column.meaning}")
        columns[column.name] = np.atleast_1d(in_column(column, numbers.pop(column.name), f"{law.key}: {column.name}"))
    x, y = columns.values()
    if x.shape != y.shape or x.ndim != 1:
        raise TypeError(f"{law.key}: {len(np.ravel(x))} of {law.x.name} and {len(np.ravel(y))} of {law.y.name}: one of each a reading")
    if uncertainty is not None:
        column = law.y._replace(unit=difference(law.y.unit), low=1e-300, high=math.inf)
        uncertainty = np.broadcast_to(in_column(column, uncertainty, f"{law.key}: uncertainty"), y.shape).copy()
    return Readings(law, x, y, uncertainty, take_given(law, numbers, len(x)), tuple(f"row {i}" for i in range(1, len(x) + 1)))


def difference(unit):
    """The unit of a difference between two numbers in this one: delta_degC for degC."""
    return tables.DIFFERENCE.get(unit, unit)


def read_heading(text):
    """'Dose [%]' or 'load (g)' -> ('dose', 'percent'); unit None where none stands."""
    name, bracket, unit = text.replace("(", "[").partition("[")
    unit = unit.strip().rstrip("])").strip()
    name = "_".join(name.casefold().split())
    return "uncertainty" if name in ("±", "plus_minus", "+/-") else name, TYPED.get(unit, unit) if bracket else None


def read(law, path, **given):
    """Readings from a CSV of the user's own: commas, semicolons or tabs, decimal commas, blank lines, as people save them.

    Columns are found by name in the first line: `dose [%]; load [g]`. Without a unit they are in the law's own; a cell may carry one
    (`1,6 g`). A column `uncertainty` is the standard uncertainty of y. What the law needs beside them is a column too, or given here.
    Raises BadReadings, naming row and column of each; OSError where the file cannot be read; TypeError for what is missing.
    """
    columns, rows, troubles = read_csv(path)
    if not columns:
        raise BadReadings([f"{getattr(path, 'name', path)} is empty: the first line names the columns, {law.x.name} and {law.y.name}."])
    return _table(law, columns, [(f"row {line}", cells) for line, cells in rows], [f"{t[:1].upper()}{t[1:]}" for t in troubles], given)


def typed(law, rows, **given):
    """Readings from a table typed into: rows of text, the first of them the headings. As `read`."""
    heading, *body = [[str(cell).strip() for cell in row] for row in rows] or [[]]
    filled = [(f"row {i}", dict(zip(heading, row + [""] * (len(heading) - len(row))))) for i, row in enumerate(body, 1) if any(row)]
    return _table(law, heading, filled, [], given)


def _table(law, columns, rows, troubles, given):
    spread = law.y._replace(name="uncertainty", unit=difference(law.y.unit), low=1e-300, high=math.inf)
    known = {column.name: column for column in (law.x, law.y, spread, *(c for c in law.given if c.unit != "row" and c.name not in given))}
    found, unused = {}, []
    for text in columns:
        name, unit = read_heading(text)
        if name in known and name not in found:
            if unit is not None:
                try:
                    if not same_kind(_unit(unit), _unit(known[name].unit)):
                        raise ValueError(f"{known[name].unit or 'a pure number'} is wanted")
                except ValueError as error:
                    raise BadReadings([f"Column {text!r}: {error}."]) from None
            found[name] = text, known[name].unit if unit is None else unit
        else:
            unused.append(text)
    for column in (law.x, law.y):
        if column.name not in found:
            near = nearest(column.name, unused)
            raise BadReadings([f"There is no column {column.name!r} ({column.meaning})" + (f"; is it {near!r}?" if near else
                              f": the first line names {law.x.name} and {law.y.name}") + "."])
    numbers, where, troubles = {name: [] for name in found}, [], list(troubles)
    for place, cells in rows:
        if not any(cells[text] for text, _ in found.values()):
            continue
        line = {}
        for name, (text, unit) in found.items():
            try:
                line[name] = read_cell(cells[text], known[name], unit)
            except ValueError as error:
                troubles.append(f"{place[:1].upper()}{place[1:]}, column {text!r}: {error}.")
        if len(line) == len(found):
            where.append(place)
            for name, number in line.items():
                numbers[name].append(number)
    if troubles:
        raise BadReadings(troubles)
    arrays = {name: np.array(values, float) for name, values in numbers.items()}
    beside = {**given, **{c.name: _same(c, arrays[c.name]) for c in law.given if c.name in arrays}}
    return Readings(law, arrays[law.x.name], arrays[law.y.name], arrays.get("uncertainty"), take_given(law, beside, len(where)), tuple(where), tuple(unused))


def _same(column, numbers):
    """One number where a column says the same in each row."""
    return Q_(float(numbers[0]) if len(numbers) and (numbers == numbers[0]).all() else numbers, column.unit)


@functools.lru_cache(65536)
def read_cell(text, column, unit):
    """A cell in the column's unit. ValueError with the mend."""
    if not text:
        raise ValueError("it is empty: fill it in, or take the row out")
    try:
        number, own = read_answer(text)
    except ValueError as error:
        raise ValueError(f"{text[:40]!r} is no number: {error.args[-1].rstrip('.')}") from None
    if (own or unit) == column.unit and column.low <= number <= column.high:
        return number
    have, want = _unit(own or unit), _unit(column.unit)
    if not same_kind(have, want):
        raise ValueError(str(other_kind(column.name, Q_(number, have), want)))
    if not within(number, have, want, column.low, column.high):
        raise ValueError(outside(column.name, number, have, want, column.low, column.high))
    return float(convert(number, have, want))


@functools.cache
def practice(key):
    """Practice readings of a law, made and shipped for who has no kitchen at hand; ValueError names the nearest law.

    What stands beside them, plunger or oil share, is in their file; rows of the tables are the shipped ones.
    """
    shape = law(key)
    path = BENCH / f"{key.replace(' ', '_').replace('-', '_')}.csv"
    columns, rows, _ = read_csv(path)
    words = {column.name: tables.row(rows[0][1][column.name], own=False) for column in shape.given if column.unit == "row"}
    return read(shape, path, **words)


# --- how to measure --------------------------------------------------------------------------------------------------------------------
class Protocol(NamedTuple):
    """How to measure for a law, on one page."""
    title: str
    question: str
    gear: tuple
    steps: tuple
    cautions: tuple
    minutes: int


def protocol(key):
    """The page for a law: question, kitchen gear, steps, cautions, minutes. ValueError names the nearest law."""
    one_of(key, tuple(_protocols()), "a protocol")
    return _protocols()[key]


@functools.cache
def _protocols():
    def parts(text):
        return tuple(part.strip() for part in text.split("|") if part.strip())
    return {cells["law"]: Protocol(cells["title"], cells["question"], parts(cells["gear"]), parts(cells["steps"]),
                                   (*parts(cells["own_cautions"]), *(cautions.for_(*parts(cells["techniques"])) if cells["techniques"] else ())),
                                   int(cells["minutes"])) for _, cells in read_csv(BENCH / "protocols.csv")[1]}
