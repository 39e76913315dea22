"""Facts of datasets/ and of the user's own shelf. A Row never leaves without unit, source and how each value is known."""
import functools
import math
from types import MappingProxyType
from typing import NamedTuple

import numpy as np

from .files import DATASETS, append_row, home, read_csv, read_text, separated
from .units import OutOfRange, Q_, Quantity, TYPED, convert, nearest, other_kind, outside, read_number, same_kind, show, within

HOW = ("read", "second-hand", "computed", "common practice", "memory", "made", "yours")
DIFFERENCE = {"degC": "delta_degC", "degF": "delta_degF"}     # 2 °C of spread is a difference
HISTORY = 50                                                 # so many lines of one product and property are read, the newest
MEASURED = ("value", "low", "high", "plus_minus")
UNSOURCED = ("common practice", "memory", "made")            # all else names where it stands
SHELF_COLUMNS = ("product", "property", "value", "unit", "plus_minus", "lot", "date", "note")


def _shipped_csv(path):
    """(columns, rows) of a file of ours, in which nothing may be wrong."""
    columns, rows, troubles = read_csv(path)
    if troubles:
        raise ValueError(f"{path.name} {troubles[0]}")
    return columns, rows


# --- facts and rows ----------------------------------------------------------------------------------------------------------------
class Fact(NamedTuple):
    """One value as printed, with all that says how far to trust it."""
    substance: str
    property: str
    value: object                # Quantity, pure number or word
    low: object                  # same kind as value; None where no spread is known
    high: object
    condition: str
    source: str                  # key of sources.csv, or the user's own note
    locator: str
    how: str                     # one of HOW
    note: str

    def __str__(self):
        spread = f" ({_bare(self.low)} to {_bare(self.high)})" if self.low is not None else ""
        where = ", ".join(x for x in (cite(self.source), self.locator) if x)
        return f"{show(self.value) if not isinstance(self.value, str) else self.value}{spread} [{self.how}{': ' + where if where else ''}]"


def _bare(value):
    return show(value).partition(" ")[0]


class Row:
    """What a substance, grade or product is: its facts by property, those of what it is a kind of underneath.

    row.gel_modulus     the value (Quantity, number or word)
    row.fact("bloom")   the Fact: value, low, high, source, how
    row.si("bloom")     SI float, for models
    row.but(bloom=Q_(230, "Bloom"))   the same row with your own value
    """
    made_by = "row('agar')"                                  # the door tells it to who hands in a word

    def __init__(self, key, facts):
        self._key, self._facts, self._si = key, dict(facts), {}

    key = property(lambda self: self._key)

    def __repr__(self):
        return f"<Row {self._key}: {', '.join(self._facts)}>"

    def __eq__(self, other):
        return isinstance(other, Row) and self._key == other._key and dict(self._facts) == dict(other._facts)

    def __hash__(self):
        return hash(self._key)

    def __contains__(self, name):
        return name in self._facts

    def __iter__(self):
        return iter(self._facts)

    def fact(self, name):
        """The preferred Fact of a property. LookupError with the nearest name where the row has none."""
        if name not in self._facts:
            near = nearest(name, self._facts)
            raise LookupError(f"{self._key} has no {name} in the tables. {f'Did you mean {near!r}? ' if near else ''}"
                              "Where you know it, put it on your shelf.")
        return self._facts[name][0]

    def facts(self, name):
        """All Facts of a property, the preferred one first: two sources that disagree are two."""
        self.fact(name)
        return self._facts[name]

    def __getattr__(self, name):
        if name.startswith("_"):
            raise AttributeError(name)
        try:
            return self.fact(name).value
        except LookupError as error:
            raise AttributeError(str(error)) from None

    def si(self, name):
        """Value of a property as SI float."""
        if name not in self._si:
            value = self.fact(name).value
            self._si[name] = float(value.to_base_units().magnitude) if isinstance(value, Quantity) else value
        return self._si[name]

    def but(self, **changed):
        """The same row with some values replaced; they are marked `yours`.

        Raises LookupError for a property that neither the row nor the tables know, TypeError for a bare number or a word in place of a
        quantity, pint.DimensionalityError for another kind of quantity, OutOfRange for no number or one that cannot be.
        """
        facts = dict(self._facts)
        for name, value in changed.items():
            if name not in facts and name not in properties():
                near = nearest(name, (*facts, *properties()))
                raise LookupError(f"{self._key}: {name} is no property" + (f"; {near}?" if near else "; see tables.properties()"))
            value = _fitting(f"{self._key}: {name}", name, value, facts[name][0].value if name in facts else None)
            facts[name] = (Fact(self._key, name, value, None, None, "", "", "", "yours", ""),)
        made = Row(self._key, facts)
        made._si.update((name, value) for name, value in self._si.items() if name not in changed)
        return made


def _fitting(what, name, value, old=None):
    """value, if it can stand for this property: one value, of the kind and within the limits in which the property is declared."""
    unit = properties()[name]["unit"] if name in properties() else "word" if isinstance(old, str) else str(getattr(old, "units", ""))
    if unit == "word":
        if not isinstance(value, str) or not value:
            raise TypeError(f"{what} is a word, not {value!r}")
        return value
    want = _named(unit)
    if not isinstance(value, Quantity):
        if unit or isinstance(value, bool) or not isinstance(value, (int, float, np.number)):
            raise TypeError(f"{what} needs a unit: write Q_({value!r}, {unit!r})" if unit else f"{what} is a pure number, not {value!r}")
        value = Q_(float(value), "")
    if not same_kind(value.units, want):
        raise other_kind(what, value, want)
    if np.ndim(value.magnitude):
        raise TypeError(f"{what} is one value, not {np.size(value.magnitude)}")
    low, high = _limits(name)
    if not within(value.magnitude, value.units, want, low, high):
        raise OutOfRange(outside(what, value.magnitude, value.units, want, low, high))
    return value if unit else float(convert(value.magnitude, value.units, want))


@functools.cache
def _named(unit):
    return Q_(1, unit).units


@functools.cache
def _limits(name):
    """(least, most) that a property can be, in its declared unit; endless where nothing is said."""
    ends = (properties().get(name, {}).get(end, "") for end in ("least", "most"))
    return tuple(read_number(end) if end else open_end for end, open_end in zip(ends, (-math.inf, math.inf)))


def _number(text, where):
    try:
        return read_number(text) if text else None
    except ValueError as error:
        raise ValueError(f"{where}: {error}") from None


def _fact(cells, where, substance="substance", how=None):
    unit, text = cells.get("unit", ""), cells.get("value", "")
    if unit == "word":
        if not text or cells.get("plus_minus"):
            raise ValueError(f"{where}: {'a word has no plus_minus' if text else 'no value'}")
        value, low, high = text, None, None
    else:
        value, low, high, step = (_number(cells.get(name, ""), where) for name in MEASURED)
        if value is None and low is not None and high is not None:
            value = (low + high) / 2
        if value is None:
            raise ValueError(f"{where}: no value")
        if step is not None:
            low, high = value - step, value + step
        if low is None or high is None:
            low = high = None
        elif not low <= value <= high:
            raise ValueError(f"{where}: the value does not lie between low and high, or plus_minus is negative")
        if unit:
            value, low, high = (x if x is None else _quantity(x, unit, where) for x in (value, low, high))
    return Fact(cells[substance], cells["property"], value, low, high, cells.get("condition", ""), cells.get("source", ""),
                cells.get("locator", ""), how or cells.get("how", ""), cells.get("note", ""))


def _quantity(number, unit, where):
    try:
        return Q_(number, unit)
    except ValueError as error:
        raise ValueError(f"{where}: {error}") from None


@functools.cache
def _shipped():
    """{substance: {property: (Fact, ...)}} of all narrow files and tables of foods in datasets/properties, in order of file and line."""
    found = {}
    for path in sorted((DATASETS / "properties").glob("*.csv")):
        first = read_text(path).splitlines()[0].split(",")[:2]
        if first == ["substance", "property"]:
            facts = ((f"{path.name} line {line}", _fact(cells, f"{path.name} line {line}")) for line, cells in _shipped_csv(path)[1])
        elif first[0] == "food":
            facts = _food_facts(path)
        else:
            continue
        for where, fact in facts:
            if fact.how not in HOW or not fact.source and fact.how not in UNSOURCED:
                raise ValueError(f"{where}: {fact.property} does not say how it is known, or where it stands: how is one of {', '.join(HOW)}; "
                                 f"only {', '.join(UNSOURCED)} need no source")
            found.setdefault(fact.substance, {}).setdefault(fact.property, []).append(fact)
    return found


def _food_facts(path):
    """(where, Fact) of each filled cell of a table with one food a line and `water [percent]` in its header; empty is not known."""
    columns, rows = _shipped_csv(path)
    measured = [(column, *column.rstrip("]").split(" [")) for column in columns if " [" in column]
    for line, cells in rows:
        where, said = f"{path.name} line {line}", [cells.get(name, "") for name in ("condition", "source", "locator", "how", "note")]
        for column, name, unit in measured:
            number = _number(cells[column], where)
            if number is not None:
                yield where, Fact(cells["food"], name, _quantity(number, unit, where) if unit else number, None, None, *said)


def _own(key, tables):
    """{property: [Fact]} of a key alone: the shelf's facts before the shipped ones."""
    facts = {}
    for table in tables:
        for name, rows in table.get(key, {}).items():
            facts.setdefault(name, []).extend(rows)
    return facts


def _chain(key, tables):
    """key, what it is, what that is, and so on upwards."""
    seen = []
    while key and key not in seen:
        seen.append(key)
        parent = _own(key, tables).get("is")
        key = parent[0].value if parent else ""
    return seen


def _with_kind(key, tables):
    """Facts of key over those of what it `is`, and so on upwards."""
    facts = {}
    for kind in _chain(key, tables):
        for name, rows in _own(kind, tables).items():
            facts.setdefault(name, tuple(rows))
    return facts


def _unknown(key, tables):
    near = nearest(key, dict.fromkeys(k for t in tables for k in t), 0.4)
    mend = f"Did you mean {near!r}?" if near else "Add it to your shelf, or see tables.kinds()."
    return LookupError(f"{str(key)[:60]!r} is not in the tables. {mend}")


def row(key, own=True):
    """The Row of a substance, grade or product: from the shelf where it stands there (unless own=False), else as shipped.

    Raises LookupError naming the nearest key.
    """
    stamp = _stamp() if own else None
    if not isinstance(key, str):
        raise _unknown(key, _layers(stamp))
    return _row(key, stamp)


@functools.lru_cache(1024)
def _row(key, stamp):
    tables = _layers(stamp)
    if not any(key in table for table in tables):
        raise _unknown(key, tables)
    return Row(key, _with_kind(key, tables))


def kinds(of=None, own=True):
    """Keys of all substances, or of those that are a kind of `of` (itself first); the shelf's come last.

    Raises LookupError naming the nearest key.
    """
    return _kinds(of, _stamp() if own else None)


@functools.lru_cache(256)
def _kinds(of, stamp):
    tables = _layers(stamp)
    keys = tuple(dict.fromkeys(k for t in reversed(tables) for k in t))
    if of is not None and of not in keys:
        raise _unknown(of, tables)
    return keys if of is None else tuple(k for k in keys if of in _chain(k, tables))


def _layers(stamp):
    """The tables to look in: the shelf as of this stamp, if any, over what is shipped."""
    return ([_shelf(*stamp)[0]] if stamp else []) + [_shipped()]


@functools.cache
def records(name):
    """Rows of a wide table datasets/properties/NAME.csv as dicts: `mass [g]` in the header makes `mass` a Quantity (None where empty),
    `ratio []` a pure number; a column `unit` makes quantities of value, low, high and plus_minus; all else is text.

    Raises FileNotFoundError naming the nearest table.
    """
    path = DATASETS / "properties" / f"{name}.csv"
    if not path.is_file():
        near = nearest(name, [file.stem for file in path.parent.glob("*.csv")])
        raise FileNotFoundError(f"there is no table {name!r} in datasets/properties" + (f"; {near}?" if near else ""))
    made = []
    for line, cells in _shipped_csv(path)[1]:
        record = {}
        for column, text in cells.items():
            plain, bracket, unit = column.partition(" [")
            unit = unit.rstrip("]") if bracket else cells["unit"] if "unit" in cells and column in MEASURED else "word"
            if unit != "word":
                where = f"{name}.csv line {line}, {column}"
                text = _number(text, where)
                unit = DIFFERENCE.get(unit, unit) if column == "plus_minus" else unit
                text = text if text is None or not unit else _quantity(text, unit, where)
            record[plain] = text
        made.append(MappingProxyType(record))
    return tuple(made)


@functools.cache
def sources():
    """{key: {author, year, title, publisher, address, licence, seen_on}} of datasets/sources.csv."""
    return {cells["key"]: cells for _, cells in _shipped_csv(DATASETS / "sources.csv")[1]}


def cite(key):
    """'Nguyen et al. 2014' for a source key; the text itself where it is no key."""
    source = sources().get(key)
    return f"{source['author']} {source['year']}".strip() if source else key


# --- the user's own shelf -------------------------------------------------------------------------------------------------------------
@functools.cache
def properties():
    """{property: {unit, meaning, shelf, least, most}} that facts and shelf may speak of."""
    return {cells["property"]: cells for _, cells in _shipped_csv(DATASETS / "properties.csv")[1]}


def shelf():
    """The user's own products -> ({product: {property: [Fact]}}, troubles).

    Read from shelf.csv in the user's folder, the newest line of a product and property first, HISTORY of them at most. A line that
    cannot be read is left alone in the file and named in troubles, with the mend; the others count.
    """
    stamp = _stamp()
    return _shelf(*stamp) if stamp else ({}, ())


def _stamp():
    """Where the shelf lies and in which state, None where there is none: what was read stays good as long as this does."""
    path = home() / "shelf.csv"
    try:
        found = path.stat()
    except OSError:
        return None
    return path, found.st_mtime_ns, found.st_size


@functools.lru_cache(8)
def _shelf(path, changed, size):
    try:
        columns, rows, troubles = read_csv(path)
    except OSError as error:
        return {}, (f"shelf.csv cannot be read ({error.strerror}). Close it elsewhere, or move it away.",)
    missing = [c for c in SHELF_COLUMNS[:4] if c not in columns]
    if missing:
        return {}, (f"shelf.csv has no column {missing[0]!r}: the first line must be {','.join(SHELF_COLUMNS)}",)
    strange = [c for c in columns if c not in SHELF_COLUMNS]
    if strange:
        troubles.append(f"column {strange[0]!r} is not used: the columns are {', '.join(SHELF_COLUMNS)}")
    found, wrong, keys = {}, [], {*_shipped(), *(cells["product"] for _, cells in rows)}
    for line, cells in reversed(rows):
        if len(found.get(cells["product"], {}).get(cells["property"], ())) == HISTORY:
            continue
        try:
            fact = _own_fact(cells, f"line {line}", keys)
        except ValueError as error:
            wrong.append(str(error))
            continue
        found.setdefault(fact.substance, {}).setdefault(fact.property, []).append(fact)
    troubles += reversed(wrong)
    return found, tuple(f"shelf.csv {trouble}" for trouble in troubles)


def _own_fact(cells, where, keys):
    """A line of the shelf as a Fact marked `yours`; ValueError with the mend. keys: all that a product can be a kind of."""
    if not cells["product"]:
        raise ValueError(f"{where}: give the product a name")
    name = cells["property"]
    if name not in properties():
        near = nearest(name, properties(), 0.4)
        mend = f". Did you mean {near!r}?" if near else ": choose one on the start page"
        raise ValueError(f"{where}: {name[:60]!r} is no property{mend}")
    want = properties()[name]["unit"]
    unit = "word" if want == "word" else TYPED.get(cells["unit"], cells["unit"])
    if want.startswith("delta_"):
        unit = DIFFERENCE.get(unit, unit)
    if want and not unit:
        raise ValueError(f"{where}: {name} has no unit; write {want} in the unit column")
    if unit and not want:
        raise ValueError(f"{where}: {name} is a pure number; leave the unit empty ({properties()[name]['meaning']})")
    fact = _fact({**cells, "unit": unit}, where, substance="product", how="yours")
    try:
        _fitting(f"{where}: {name}", name, fact.value)
    except TypeError:                                        # another kind of quantity is a TypeError too
        raise ValueError(f"{where}: {name} is measured in {want}, not in {cells['unit']}") from None
    if name == "is" and fact.value not in keys:
        raise ValueError(f"{where}: is {_unknown(fact.value, [dict.fromkeys(keys)])}")
    lot = " ".join(x for x in (f"lot {cells['lot']}" if cells.get("lot") else "", cells.get("date", "")) if x)
    return fact._replace(source="your shelf", locator=lot)


def add_to_shelf(cells):
    """Append one line {column: text} to shelf.csv, in that file's own columns and separator; what stands there stays.

    Raises ValueError with the mend where the line would not be read back, OSError where the file cannot be written.
    """
    cells = {name: " ".join(str(cells.get(name, "")).split()) for name in SHELF_COLUMNS}
    _own_fact(cells, "this line", kinds())
    path = home() / "shelf.csv"
    path.parent.mkdir(parents=True, exist_ok=True)
    separator, columns = (separated(path)[0], read_csv(path)[0]) if path.exists() else (",", [])
    lost = [name for name in SHELF_COLUMNS if columns and name not in columns and (cells[name] or name in SHELF_COLUMNS[:4])]
    if lost:
        raise ValueError(f"shelf.csv has no column {lost[0]!r}: write it into the first line, so that this is not lost")
    append_row(path, [cells.get(name, "") for name in columns or SHELF_COLUMNS], separator, SHELF_COLUMNS)
