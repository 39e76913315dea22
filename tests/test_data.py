"""datasets: every value has its unit, its source and how it is known; missing is empty; one key a substance; nothing contradicts in
silence; no source that nobody cites."""
import re

import pytest

from kitchenlib import checks, files, tables, units
from kitchenlib.units import Q_, Quantity

ROOT = files.DATASETS.parent
NARROW_COLUMNS = ["substance", "property", "value", "unit", "plus_minus", "low", "high", "condition", "source", "locator", "how", "note"]
HOW = tuple(how for how in tables.HOW if how != "yours")     # the shelf's mark never ships
SOURCED = ("read", "second-hand")
FILES = {path.relative_to(files.DATASETS).as_posix(): files.read_csv(path) for path in sorted(files.DATASETS.rglob("*.csv"))}
NARROW = {name: table for name, table in FILES.items() if table[0][:2] == ["substance", "property"]}
WIDE = {name: table for name, table in FILES.items() if name.startswith("properties/") and name not in NARROW}
LINES = [(f"{name} line {line}", cells) for name, (_, rows, _) in NARROW.items() for line, cells in rows]
KEYS = tables.kinds(own=False)
LESSONS = {path.name[:2] for path in (ROOT / "lessons").glob("[0-9][0-9]_*.ipynb")}
FACTS = [fact for key in KEYS for name in tables.row(key, own=False) for fact in tables.row(key, own=False).facts(name)]


def bad(found):
    found = list(found)
    assert not found, "\n".join(map(str, found))


def unsourced(where, cells, known):
    """What a line leaves open about how it is known and where it stands."""
    if cells["how"] not in HOW:
        yield f"{where}: how is one of {', '.join(HOW)}, not {cells['how']!r}"
    if cells["source"] and cells["source"] not in known:
        yield f"{where}: {cells['source']} is no line of sources.csv"
    if cells["how"] in SOURCED and not cells["source"]:
        yield f"{where}: {cells['how']} needs its source"


def test_files_are_plain():
    """UTF-8 without mark, one kind of line end, nothing left over, no cell that a spreadsheet would run, no number torn by a comma."""
    for path in sorted(files.DATASETS.rglob("*")):
        if path.is_file():
            text = path.read_bytes().decode("utf-8")
            assert path.suffix == ".csv" and not text.startswith("\ufeff") and "\r" not in text and text.endswith("\n"), path
    bad([(name, troubles) for name, (_, _, troubles) in FILES.items() if troubles])
    bad([(name, line, cell) for name, (_, rows, _) in FILES.items() for line, cells in rows for cell in cells.values()
         if cell[:1] in "=+@" and cell or cell != cell.strip() or "\n" in cell])
    bad([(name, columns) for name, (columns, _, _) in FILES.items() if len(set(columns)) < len(columns) or "" in columns])


# --- narrow facts ----------------------------------------------------------------------------------------------------------------------
def test_narrow_files_have_the_columns():
    assert {name for name in NARROW} >= {"properties/agar.csv", "properties/gelatin.csv", "properties/other_gelling_agents.csv"}
    bad([(name, columns) for name, (columns, _, _) in NARROW.items() if columns != NARROW_COLUMNS])
    bad([where for where, cells in LINES if not cells["substance"] or not cells["property"]])


def test_every_value_says_how_it_is_known_and_where_from():
    known = tables.sources()
    bad([trouble for where, cells in LINES for trouble in unsourced(where, cells, known)])
    bad([f"{where}: computed from which source, or how (note)?" for where, cells in LINES
         if cells["how"] == "computed" and not (cells["source"] or cells["note"])])
    bad([f"{where}: a locator in which source?" for where, cells in LINES if cells["locator"] and not cells["source"]])


def test_every_property_is_declared_and_measured_in_its_kind_of_unit():
    declared = tables.properties()
    for where, cells in LINES:
        assert cells["property"] in declared, f"{where}: {cells['property']} stands in no line of properties.csv"
        want, have = declared[cells["property"]]["unit"], cells["unit"]
        assert (want == "word") == (have == "word"), where
        if want != "word":
            assert bool(want) == bool(have), f"{where}: {cells['property']} is in {want or 'a pure number'}, not {have or 'a pure number'}"
            assert Q_(1.0, have or "dimensionless").is_compatible_with(Q_(1.0, want or "dimensionless")), where


def test_missing_is_empty_and_spread_is_said_once():
    for where, cells in LINES:
        one, both = bool(cells["plus_minus"]), (bool(cells["low"]), bool(cells["high"]))
        assert both in ((True, True), (False, False)), f"{where}: low and high come together"
        assert not (one and both[0]), f"{where}: either plus_minus or low and high"
        assert cells["value"] or both[0], f"{where}: no value"
        found_nothing = cells["note"] or cells["unit"] in ("degC", "degF")
        assert cells["value"] != "0" or found_nothing, f"{where}: a 0 needs a note that it was found to be nothing"
        assert not any(cell.lower() in ("n/a", "na", "nan", "none", "null", "-", "?") for cell in cells.values()), where


def test_values_lie_within_their_spread_and_their_propertys_limits():
    declared = tables.properties()
    for fact in FACTS:
        if isinstance(fact.value, str):
            continue
        if fact.low is not None:
            assert fact.low <= fact.value <= fact.high, fact
        unit = declared[fact.property]["unit"]
        limits = (declared[fact.property][end] for end in ("least", "most"))
        least, most = (units.read_number(end) if end else None for end in limits)
        for value in (fact.value, fact.low, fact.high):
            if value is not None:
                number = value.m_as(unit) if isinstance(value, Quantity) else value
                assert (least is None or number >= least * (1 - 1e-12)) and (most is None or number <= most * (1 + 1e-12)), fact


def test_one_key_a_substance():
    """Same letters are same substance: 'Agar', 'agar ' and 'a-gar' would be three."""
    plain = {}
    for key in KEYS:
        plain.setdefault(re.sub(r"[^a-z0-9]", "", key.casefold()), []).append(key)
        assert key == " ".join(key.split()) and not set(key) & set(";=\""), key           # keys stand in `row KEY but name=value; ...`
        assert " but " not in key, key
    bad([keys for keys in plain.values() if len(keys) > 1])


def test_kinds_end_and_exist():
    for key in KEYS:
        seen = [key]
        while "is" in tables.row(key, own=False) and tables.row(key, own=False).fact("is").substance == key:
            key = tables.row(key, own=False).fact("is").value
            assert key in KEYS, f"{seen[-1]} is {key}, which has no rows"
            assert key not in seen, f"{' is '.join([*seen, key])}"
            seen.append(key)


def test_two_rows_for_one_property_say_why():
    seen = {}
    for where, cells in LINES:
        seen.setdefault((cells["substance"], cells["property"]), []).append((where, cells))
    for rows in seen.values():
        said = [(cells["condition"], cells["note"]) for _, cells in rows]
        assert len(rows) == 1 or len(set(said)) == len(rows), f"{[where for where, _ in rows]}: which holds when?"
        assert len({cells["unit"] == "word" for _, cells in rows}) == 1


# --- properties, sources ---------------------------------------------------------------------------------------------------------------
def test_properties_are_declared_once_with_unit_and_meaning():
    columns, rows, _ = FILES["properties.csv"]
    assert columns == ["property", "unit", "meaning", "shelf", "least", "most"]
    names = [cells["property"] for _, cells in rows]
    bad([name for name in set(names) if names.count(name) > 1 or not name.isidentifier()])
    for line, cells in rows:
        assert len(cells["meaning"]) > 9 and cells["shelf"] in ("yes", "no"), line
        if cells["unit"] not in ("", "word"):
            Q_(1.0, cells["unit"])
        least, most = (units.read_number(cells[end]) if cells[end] else None for end in ("least", "most"))
        assert least is None or most is None or least < most, line
        assert cells["unit"] != "word" or (least, most) == (None, None), line
    used = {fact.property for fact in FACTS}
    bad([cells["property"] for _, cells in rows if cells["shelf"] == "no" and cells["property"] not in used])


def test_sources_are_listed_once_and_cited():
    columns, rows, _ = FILES["sources.csv"]
    assert columns == ["key", "author", "year", "title", "publisher", "address", "licence", "seen_on"]
    keys = [cells["key"] for _, cells in rows]
    bad([key for key in keys if keys.count(key) > 1 or not re.fullmatch(r"[a-z0-9]+(-[a-z0-9]+)*", key)])
    bad([cells["key"] for _, cells in rows
         if not cells["author"] or not any(cells[name] for name in ("year", "title", "publisher", "address"))])
    bad([cells["key"] for _, cells in rows if cells["year"] and not re.fullmatch(r"(18|19|20)\d\d", cells["year"])])
    bad([cells["key"] for _, cells in rows if cells["seen_on"] and not re.fullmatch(r"20\d\d-\d\d-\d\d", cells["seen_on"])])
    places = (("kitchenlib", "*.py"), ("lessons", "*.ipynb"), ("datasets", "*.csv"))
    written = "\n".join(path.read_text(encoding="utf-8") for folder, ending in places
                        for path in (ROOT / folder).rglob(ending) if path.name != "sources.csv")
    bad([f"{key}: cited nowhere" for key in keys if key not in written])


def test_sources_named_in_the_library_exist():
    """A key in a docstring, like joly-duhamel-2002, is a line of sources.csv."""
    known = tables.sources()
    for path in sorted((ROOT / "kitchenlib").rglob("*.py")):
        named = set(re.findall(r"(?<![\w/-])[a-z][a-z0-9]*(?:-[a-z0-9]+)*-(?:19|20)\d\d(?![\w-])", path.read_text(encoding="utf-8")))
        bad([f"{path.name}: {key}" for key in named if key not in known])


# --- wide tables -----------------------------------------------------------------------------------------------------------------------
@pytest.mark.parametrize("name", WIDE)
def test_wide_tables_have_source_and_how_in_every_row(name):
    columns, rows, _ = WIDE[name]
    if not {"source", "how"} & set(columns):                 # a table of names states no fact
        return bad([(name, line, cells) for line, cells in rows if re.search(r"\d", "".join(cells.values()))])
    known = tables.sources()
    for line, cells in rows:
        bad(unsourced(f"{name} line {line}", cells, known))
        assert not any(cell.lower() in ("n/a", "na", "nan", "none", "null", "?") for cell in cells.values()), (name, line)
    for column in columns:
        unit = column.partition(" [")[2].rstrip("]")
        if unit:
            Q_(1.0, unit)
    assert len(tables.records(name.removeprefix("properties/").removesuffix(".csv"))) == len(rows)


@pytest.mark.parametrize("name", WIDE)
def test_wide_tables_speak_of_known_substances(name):
    columns, rows, _ = WIDE[name]
    if "substance" in columns:
        families = {key.rpartition("-")[2] for key in KEYS}  # carrageenan where print does not say which
        bad([(name, line, cells["substance"]) for line, cells in rows if cells["substance"] not in families.union(KEYS)])


@pytest.mark.parametrize("name", [name for name, (columns, _, _) in WIDE.items() if columns[0] == "food"])
def test_tables_of_foods_measure_what_is_declared(name):
    columns, rows, _ = WIDE[name]
    declared = tables.properties()
    for column, unit in (column.rstrip("]").split(" [") for column in columns if " [" in column):
        assert column in declared and bool(unit) == bool(declared[column]["unit"]), f"{name}: {column}"
        assert Q_(1.0, unit or "dimensionless").is_compatible_with(Q_(1.0, declared[column]["unit"] or "dimensionless")), f"{name}: {column}"
    foods = [cells["food"] for _, cells in rows if not cells.get("condition")]
    bad([food for food in foods if foods.count(food) > 1])
    bad([(name, line) for line, cells in rows if not any(cells[column] for column in columns if " [" in column)])


def test_measured_gel_strengths_are_all_there():
    """38 measured points, the gelatin series with its plus and minus among them."""
    found = tables.records("gel_strength_points")
    assert len(found) == 38
    series = [(p["concentration"].m, p["value"].m_as("kPa"), p["plus_minus"].m_as("kPa")) for p in found if p["source"] == "nguyen-2014"]
    assert series == [(3, 2.01, 0.26), (4, 3.10, 0.34), (5, 4.18, 0.84), (6, 8.05, 1.00), (7, 10.24, 1.80)]
    strengths = [p["value"].m_as("g_per_cm2") for p in found if p["quantity"].startswith("gel_strength") and p["substance"] == "agar"]
    assert (min(strengths), max(strengths)) == (pytest.approx(306), pytest.approx(1706.8))    # one number 'for agar' does not exist


# --- gels: what their models and lessons read --------------------------------------------------------------------------------------------
@pytest.mark.parametrize("key", [key for key in KEYS if "modulus" in tables.row(key, own=False)])
def test_gelling_agents_have_what_the_models_read(key):
    row = tables.row(key, own=False)
    weak = ("modulus", "dose_exponent", "critical_dose", "dose_soft", "dose_sliceable", "dose_firm")
    for name in weak + ("modulus_dose", "threshold_exponent"):
        assert name in row, name
    for name in weak:
        assert row.fact(name).low is not None, name
    bands = [row.fact(f"dose_{name}") for name in ("soft", "sliceable", "firm")]
    assert all(a.low <= b.low and a.high <= b.high for a, b in zip(bands, bands[1:]))
    assert row.critical_dose <= row.fact("dose_sliceable").low and row.fact("critical_dose").high < row.modulus_dose
    if "bloom" in row:
        assert "modulus_bloom" in row and row.fact("modulus_bloom").low is not None
    if "gel_strength" in row:
        assert "gel_strength_dose" in row


def test_an_assumed_test_dose_says_so():
    for fact in FACTS:
        if fact.property == "gel_strength_dose" and fact.how == "memory":
            assert fact.condition.startswith("assumed"), fact


# --- faults, published checks ------------------------------------------------------------------------------------------------------------
def test_faults_are_whole():
    columns, rows, _ = FILES["faults.csv"]
    assert columns == ["technique", "symptom", "cause", "check", "rescue", "minutes", "prevention", "lesson", "how", "source"]
    known = tables.sources()
    for line, cells in rows:
        bad([f"faults.csv line {line}: {name} is empty" for name in columns[:9] if not cells[name]])
        bad(unsourced(f"faults.csv line {line}", cells, known))
        assert re.fullmatch(r"\d+", cells["minutes"]), f"line {line}: minutes that the rescue costs, a whole number"
        assert set(cells["lesson"].split()) <= LESSONS, f"faults.csv line {line}: {cells['lesson']!r} is no lesson, or not two digits each"
    symptoms = [cells["symptom"] for _, cells in rows]
    assert len(set(symptoms)) == len(symptoms)
    assert len([cells for _, cells in rows if "10" in cells["lesson"].split()]) >= 6


def test_published_checks_say_where_they_are_printed():
    known = tables.sources()
    for check in checks.published():
        assert check.lesson and set(check.lesson.split()) <= LESSONS, f"{check.where}: {check.lesson!r} is no lesson, or not two digits each"
        assert check.how in HOW and check.because, f"{check.where}: how it is known, and why this tolerance?"
        assert check.source in known or not check.source and check.how in ("common practice", "memory"), (
            f"{check.where}: {check.source or 'no source'} is no line of sources.csv")
        if check.how == "memory" and check.tolerance:        # never tested tightly
            wide = 3 if check.unit in ("degC", "kelvin", "delta_degC") else 0.1 * abs(checks.run(check).here)
            assert checks.run(check).allowed >= wide, check
    lines = [(c.model, c.inputs, c.printed, c.source) for c in checks.published()]
    assert len(set(lines)) == len(lines)


def test_unmeasured_names_lesson_and_sentence():
    columns, rows, _ = FILES[f"published/{checks.UNMEASURED}"]
    assert columns == ["lesson", "sentence"]
    for line, cells in rows:
        assert cells["lesson"] and set(cells["lesson"].split()) <= LESSONS and re.fullmatch(r"[A-Z].*\.", cells["sentence"]), line
