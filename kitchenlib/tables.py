"""Reads datasets/ and the user's own folder. A Row never leaves without unit, source and how each value is known."""
import csv
import functools
import io
import os
import re
from pathlib import Path
from types import MappingProxyType
from typing import NamedTuple

import pint

from .units import Q_, Quantity, TYPED, one_of, show

DATASETS = Path(__file__).resolve().parent.parent / "datasets"
HOW = ("read", "second-hand", "computed", "common practice", "memory", "made", "yours")
SHELF_COLUMNS = ("product", "property", "value", "unit", "plus_minus", "lot", "date", "note")
SETTINGS = {"student": "", "class": "", "place": "", "temperature": "°C", "mass": "g", "size": ""}


# --- files -----------------------------------------------------------------------------------------------------------------------
def home():
    """The user's own folder: KITCHENLIB_HOME, or kitchen-lessons in the home folder. Not made here."""
    return Path(os.environ.get("KITCHENLIB_HOME") or Path.home() / "kitchen-lessons").expanduser()


def read_text(path):
    """Text of a file as people save it: UTF-8 with or without byte-order mark, else the old Western code page."""
    data = Path(path).read_bytes()
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError:
        return data.decode("cp1252", errors="replace")


def read_csv(path):
    """Rows of a CSV with commas or semicolons -> (columns, [(line number, {column: text})], troubles).

    A row with too many cells (often an unquoted decimal comma) is left out and named in troubles; blank lines are skipped.
    """
    text = read_text(path)
    head = text.partition("\n")[0]
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=";" if head.count(";") > head.count(",") else ",")
    columns, rows, troubles = [], [], []
    try:
        for cells in reader:
            cells = [cell.strip() for cell in cells]
            if not any(cells):
                continue
            if not columns:
                columns = cells
            elif len(cells) > len(columns) and any(cells[len(columns):]):
                troubles.append(f"line {reader.line_num}: {len(cells)} cells for {len(columns)} columns. "
                                "A comma inside a number? Write 1.6, or put the cell in quotes.")
            else:
                rows.append((reader.line_num, dict(zip(columns, cells + [""] * (len(columns) - len(cells))))))
    except csv.Error as error:
        troubles.append(f"line {reader.line_num}: {error}. The rows before it were read.")
    return columns, rows, troubles


def read_number(text):
    """'1.6', '1,6' -> 1.6. ValueError with the mend for anything else, '1,600' too (1.6 or 1600?)."""
    if re.fullmatch(r"[+-]?\d+,\d{3}", text, re.ASCII) and not text.lstrip("+-").startswith("0"):
        raise ValueError(f"{text!r} could be {text.replace(',', '.')} or {text.replace(',', '')}: write it with a point or with no separator")
    if not re.fullmatch(r"[+-]?(\d+([.,]\d*)?|[.,]\d+)([eE][+-]?\d{1,3})?", text, re.ASCII):
        raise ValueError(f"{text[:40]!r} is not a number: write it like 1.6")
    return float(text.replace(",", "."))


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
    def __init__(self, key, facts):
        self._key, self._facts, self._si = key, MappingProxyType(dict(facts)), {}

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
            try:
                one_of(name, tuple(self._facts), "it")
            except ValueError as error:
                hint = str(error).partition(". ")[2]
                raise LookupError(f"{self._key} has no {name} in the tables{'. ' + hint if hint else ''}. "
                                  "Where you know it, put it on your shelf.") from None
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
        """The same row with some values replaced; they are marked `yours`. The kind of quantity must stay."""
        facts = dict(self._facts)
        for name, value in changed.items():
            old = facts.get(name, (None,))[0]
            if old is not None and isinstance(old.value, Quantity):
                if not isinstance(value, Quantity):
                    raise TypeError(f"{self._key}: {name} needs a unit: write Q_({value!r}, '{old.value.units}')")
                if not value.check(old.value.dimensionality):
                    raise pint.DimensionalityError(value.units, old.value.units, extra_msg=f": {self._key} wants {name} in {old.value.units:~P}")
            facts[name] = (Fact(self._key, name, value, None, None, "", "", "", "yours", ""),)
        made = Row(self._key, facts)
        made._si.update((name, value) for name, value in self._si.items() if name not in changed)
        return made


def _value(text, unit, where):
    if unit == "word":
        return text or None
    if not text:
        return None
    try:
        number = read_number(text)
        return Q_(number, unit) if unit else number
    except ValueError as error:
        raise ValueError(f"{where}: {error}") from None


def _fact(cells, where, substance="substance", how=None):
    unit = cells.get("unit", "")
    value, low, high, plus_minus = (_value(cells.get(name, ""), "word" if unit == "word" and name == "value" else unit, where)
                                    for name in ("value", "low", "high", "plus_minus"))
    if plus_minus is not None and value is not None:
        offset = {"degC": "delta_degC", "degF": "delta_degF"}.get(unit)
        step = Q_(plus_minus.magnitude, offset) if offset else plus_minus
        low, high = value - step, value + step
    if value is None and low is not None and high is not None:
        value = Q_((low.magnitude + high.magnitude) / 2, unit) if unit else (low + high) / 2
    if value is None:
        raise ValueError(f"{where}: no value")
    if low is None or high is None:
        low = high = None
    return Fact(cells[substance], cells["property"], value, low, high, cells.get("condition", ""), cells.get("source", ""),
                cells.get("locator", ""), how or cells.get("how", ""), cells.get("note", ""))


@functools.cache
def _shipped():
    """{substance: {property: (Fact, ...)}} of all narrow files in datasets/properties, in order of file and line."""
    found = {}
    for path in sorted((DATASETS / "properties").glob("*.csv")):
        columns, rows, troubles = read_csv(path)
        if columns[:2] != ["substance", "property"]:
            continue
        if troubles:
            raise ValueError(f"{path.name}: {troubles[0]}")
        for line, cells in rows:
            fact = _fact(cells, f"{path.name} line {line}")
            found.setdefault(fact.substance, {}).setdefault(fact.property, []).append(fact)
    return found


def _with_kind(key, tables):
    """Facts of key over those of what it `is`, and so on upwards."""
    facts, seen = {}, []
    while key and key not in seen:
        seen.append(key)
        own = next((t[key] for t in tables if key in t), {})
        for name, rows in own.items():
            facts.setdefault(name, tuple(rows))
        key = own["is"][0].value if "is" in own else ""
    return facts


def row(key, own=True):
    """The Row of a substance, grade or product: from the shelf where it stands there (unless own=False), else as shipped.

    Raises LookupError naming the nearest key.
    """
    return _row(key, _stamp() if own else None)


@functools.lru_cache(1024)
def _row(key, stamp):
    tables = _layers(stamp)
    for table in tables:
        if key in table:
            return Row(key, _with_kind(key, tables))
    try:
        one_of(key, tuple(dict.fromkeys(k for t in tables for k in t)), "the table")
    except ValueError as error:
        hint = str(error).partition(". ")[2]
        raise LookupError(f"{str(key)[:60]!r} is not in the tables. {hint or 'Add it to your shelf, or see tables.kinds().'}".strip()) from None


def kinds(of=None, own=True):
    """Keys of all substances, or of those that are a kind of `of` (itself first); the shelf's come last."""
    return _kinds(of, _stamp() if own else None)


@functools.lru_cache(256)
def _kinds(of, stamp):
    tables = _layers(stamp)

    def chain(key):
        seen = []
        while key and key not in seen:
            seen.append(key)
            facts = next((t[key] for t in tables if key in t), {})
            key = facts["is"][0].value if "is" in facts else ""
        return seen
    keys = tuple(dict.fromkeys(k for t in reversed(tables) for k in t))
    return keys if of is None else tuple(k for k in keys if of in chain(k))


def _layers(stamp):
    """The tables to look in: the shelf as of this stamp, if any, over what is shipped."""
    return ([_shelf(*stamp)[0]] if stamp else []) + [_shipped()]


@functools.cache
def records(name):
    """Rows of a wide table datasets/properties/NAME.csv as dicts: `mass [g]` in the header makes `mass` a Quantity (None where empty);
    columns value, unit, plus_minus make quantities of value and plus_minus."""
    columns, rows, troubles = read_csv(DATASETS / "properties" / f"{name}.csv")
    if troubles:
        raise ValueError(f"{name}.csv: {troubles[0]}")
    made = []
    for line, cells in rows:
        record = {}
        for column, text in cells.items():
            plain, _, unit = column.partition(" [")
            unit = unit.rstrip("]") if unit else cells["unit"] if "unit" in cells and column in ("value", "plus_minus") else "word"
            record[plain] = text if unit == "word" else _value(text, unit, f"{name}.csv line {line}, {column}")
        made.append(MappingProxyType(record))
    return tuple(made)


@functools.cache
def sources():
    """{key: {author, year, title, publisher, address, licence, seen_on}} of datasets/sources.csv."""
    return {cells["key"]: cells for _, cells in read_csv(DATASETS / "sources.csv")[1]}


def cite(key):
    """'Nguyen et al. 2014' for a source key; the text itself where it is no key."""
    source = sources().get(key)
    return f"{source['author']} {source['year']}".strip() if source else key


# --- the user's own folder -----------------------------------------------------------------------------------------------------------
@functools.cache
def properties():
    """{property: {unit, meaning}} that facts and shelf may speak of."""
    return {cells["property"]: cells for _, cells in read_csv(DATASETS / "properties.csv")[1]}


def shelf():
    """The user's own products -> ({product: {property: [Fact]}}, troubles).

    Read from shelf.csv in the user's folder, the newest line of a product and property first. A line that cannot be read is left
    alone in the file and named in troubles, with the mend; the others count.
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
    strange = [c for c in columns if c not in SHELF_COLUMNS]
    missing = [c for c in SHELF_COLUMNS[:4] if c not in columns]
    if missing:
        return {}, (f"shelf.csv has no column {missing[0]!r}: the first line must be {','.join(SHELF_COLUMNS)}",)
    if strange:
        troubles.append(f"column {strange[0]!r} is not used: the columns are {', '.join(SHELF_COLUMNS)}")
    found = {}
    for line, cells in rows:
        try:
            fact = _own_fact(cells, f"shelf.csv line {line}")
        except ValueError as error:
            troubles.append(str(error))
            continue
        found.setdefault(fact.substance, {}).setdefault(fact.property, []).insert(0, fact)
    return found, tuple(t if t.startswith("shelf.csv") else f"shelf.csv {t}" for t in troubles)


def _own_fact(cells, where):
    """A line of the shelf as a Fact marked `yours`; ValueError with the mend."""
    if not cells["product"]:
        raise ValueError(f"{where}: give the product a name")
    name = one_of(cells["property"], tuple(properties()), f"{where}: property")
    want = properties()[name]["unit"]
    unit = TYPED.get(cells["unit"], cells["unit"])
    if want not in ("", "word") and not unit:
        raise ValueError(f"{where}: {name} has no unit; write {want} in the unit column")
    if want == "word":
        unit = "word"
    fact = _fact({**cells, "unit": unit}, where, substance="product", how="yours")
    if isinstance(fact.value, Quantity) and not fact.value.check(Q_(1, want or "dimensionless").dimensionality):
        raise ValueError(f"{where}: {name} is measured in {want or 'a pure number'}, not in {cells['unit']}")
    lot = " ".join(x for x in (f"lot {cells['lot']}" if cells.get("lot") else "", cells.get("date", "")) if x)
    return fact._replace(source="your shelf", locator=lot)


def settings():
    """What the user said once: student, class, place, temperature (°C or °F), mass (g or oz), size (projector, phone or empty)."""
    try:
        rows = read_csv(home() / "settings.csv")[1]
    except OSError:
        rows = ()
    return {**SETTINGS, **{cells.get("setting", ""): cells.get("value", "") for _, cells in rows if cells.get("setting", "") in SETTINGS}}


def keep_settings(**changed):
    """Write changed settings into settings.csv of the user's folder; the others stay."""
    for name in changed:
        one_of(name, tuple(SETTINGS), "a setting")
    write_whole(home() / "settings.csv", [("setting", "value"), *{**settings(), **changed}.items()])


def write_whole(path, rows):
    """Write a CSV beside the old one and put it in its place at once, so that a kill leaves the old file or the new."""
    path.parent.mkdir(parents=True, exist_ok=True)
    beside = path.with_name(f".{path.name}.{os.getpid()}.new")
    with open(beside, "w", encoding="utf-8", newline="") as file:
        csv.writer(file, lineterminator="\n").writerows(rows)
        file.flush()
        os.fsync(file.fileno())
    os.replace(beside, path)


def add_to_shelf(cells):
    """Append one line {column: text} to shelf.csv, in that file's own columns and separator; what stands there stays.

    Raises ValueError with the mend where the line would not be read back, OSError where the file cannot be written.
    """
    cells = {name: str(cells.get(name, "")).strip() for name in SHELF_COLUMNS}
    _own_fact(cells, "this line")
    path = home() / "shelf.csv"
    path.parent.mkdir(parents=True, exist_ok=True)
    columns = read_csv(path)[0] if path.exists() else []
    separator = ";" if columns and read_text(path).partition("\n")[0].count(";") else ","
    append_row(path, [cells.get(name, "") for name in columns or SHELF_COLUMNS], separator, () if columns else SHELF_COLUMNS)


def append_row(path, row, separator=",", heading=(), quoting=csv.QUOTE_MINIMAL):
    """Append a row to a CSV so that neither a kill nor a second writer loses an earlier one; no cell keeps a line break."""
    from filelock import FileLock                            # only who writes needs it
    line = io.StringIO(newline="")
    writer = csv.writer(line, delimiter=separator, lineterminator="\n", quoting=quoting)
    writer.writerows(([heading] if heading else []) + [[" ".join(str(cell).split()) for cell in row]])
    data = line.getvalue().encode("utf-8")
    with FileLock(f"{path}.lock", timeout=10), open(path, "ab+") as file:
        end = file.seek(0, os.SEEK_END)
        if end:
            file.seek(end - 1)
            if file.read(1) != b"\n":
                data = b"\n" + data                          # a torn last line stays one bad line
        file.write(data)
        file.flush()
        os.fsync(file.fileno())
