"""Rows, the shelf, settings: what is read, what is refused with its mend, and that nothing of the user's is lost."""
import time

import pint
import pytest

from kitchenlib import tables
from kitchenlib.tables import HOW, SHELF_COLUMNS, add_to_shelf, kinds, records, row, shelf
from kitchenlib.units import Q_, OutOfRange, Quantity, read_number

HEAD = ",".join(SHELF_COLUMNS)


@pytest.fixture(autouse=True)
def own_home(tmp_path, monkeypatch):
    monkeypatch.setenv("KITCHENLIB_HOME", str(tmp_path))
    return tmp_path


def lay(home, text, encoding="utf-8"):
    (home / "shelf.csv").write_bytes(text.encode(encoding))
    return shelf()


# --- rows -----------------------------------------------------------------------------------------------------------------------------
def test_a_row_says_value_unit_source_and_how():
    agar = row("agar")
    assert isinstance(agar.modulus, Quantity) and agar.modulus.check("[pressure]")
    fact = agar.fact("critical_dose")
    assert fact.how in HOW and fact.source in tables.sources() and fact.low < fact.value < fact.high
    assert fact.how in str(fact)
    assert agar.si("critical_dose") == pytest.approx(agar.critical_dose.m_as("percent") / 100)


def test_no_shipped_row_is_without_unit_source_or_how():
    for key in kinds(own=False):
        for name in row(key, own=False):
            for fact in row(key, own=False).facts(name):
                assert fact.how in HOW, f"{key} {name}"
                assert fact.source in tables.sources() or fact.how in ("memory", "common practice", "made"), f"{key} {name}"


def test_a_grade_inherits_from_what_it_is():
    gold = row("gelatin leaf gold")
    assert gold.bloom.m == 200 and gold.modulus == row("gelatin").modulus
    assert "gelatin leaf gold" in kinds("gelatin") and "agar" not in kinds("gelatin")


def test_misses_name_the_nearest():
    with pytest.raises(LookupError, match="gelatin"):
        row("gelatine")
    with pytest.raises(LookupError, match="shelf"):
        row("agar").fact("bloom")
    with pytest.raises(AttributeError):
        row("agar").bloom


def test_but_replaces_a_value_and_marks_it():
    own = row("agar").but(modulus=Q_(9, "kPa"))
    assert own.modulus.m == 9 and own.fact("modulus").how == "yours" and row("agar").modulus.m != 9
    assert own.si("modulus") == pytest.approx(9000)
    for bad, error in ((9, TypeError), (Q_(9, "g"), pint.DimensionalityError)):
        with pytest.raises(error, match="modulus"):
            row("agar").but(modulus=bad)


def test_wide_tables_take_the_unit_from_the_heading():
    points = records("gel_strength_points")
    first = next(p for p in points if p["quantity"] == "shear_modulus")
    assert first["concentration"].units == Q_(1, "percent").units and first["value"].check("[pressure]")
    assert any(p["concentration"] is None for p in points)                     # missing is empty, never 0


@pytest.mark.parametrize("text, number", [("1.6", 1.6), ("1,6", 1.6), ("-2", -2.0), ("1e3", 1000.0), (".5", 0.5)])
def test_numbers_are_read(text, number):
    assert read_number(text) == pytest.approx(number)


@pytest.mark.parametrize("text", ["1,600", "abc", "", "nan", "inf", "1e999", "1.2.3", "=1+1", "１"])
def test_what_is_no_number_is_refused_with_the_mend(text):
    with pytest.raises(ValueError) as caught:
        read_number(text)
    assert "\n" not in str(caught.value)


# --- the shelf ------------------------------------------------------------------------------------------------------------------------
GOOD = "our agar,is,agar,,,,,\nour agar,gel_strength,900,g/cm²,50,L7,2026-03-12,sheet\n"


@pytest.mark.parametrize("text, encoding", [
    (f"{HEAD}\n{GOOD}", "utf-8"), (f"{HEAD}\n{GOOD}", "utf-8-sig"), (f"{HEAD}\r\n{GOOD}".replace("\n", "\r\n").replace("\r\r", "\r"), "utf-8"),
    (f"{HEAD}\n\n{GOOD}\n\n", "utf-8"), (f"{HEAD}\n{GOOD}".replace(",", ";"), "utf-8"), (f"{HEAD}\n{GOOD}", "cp1252"),
    (f"{HEAD}\n{GOOD}".replace(",", ";").replace("900", "900,0"), "utf-8"), (f"{HEAD}\n{GOOD}".replace("900", '"900,0"'), "utf-8")])
def test_shelf_is_read_as_people_save_it(own_home, text, encoding):
    found, troubles = lay(own_home, text, encoding)
    assert not troubles, troubles
    ours = row("our agar")
    assert ours.gel_strength.m_as("g_per_cm2") == pytest.approx(900) and ours.fact("gel_strength").low.m_as("g_per_cm2") == pytest.approx(850)
    assert ours.modulus == row("agar").modulus and "our agar" in kinds("agar") and "our agar" not in kinds("agar", own=False)
    assert ours.fact("gel_strength").how == "yours" and "L7" in str(ours.fact("gel_strength"))


@pytest.mark.parametrize("line, says", [
    ("our agar,gel_strength,900,,,,,", "unit"), ("our agar,gel_strength,900,furlong,,,,", "furlong"), ("our agar,gel_strength,900,Bloom,,,,", "gel_strength"),
    ("our agar,gel_strenght,900,g/cm²,,,,", "gel_strength"), ("our agar,gel_strength,1,600,g/cm²,,,,", "1.6"), (",gel_strength,900,g/cm²,,,,", "name"),
    ("our agar,gel_strength,lots,g/cm²,,,,", "lots"), ("our agar,gel_strength,\"1,600\",g/cm²,,,,", "1,600")])
def test_a_bad_line_is_named_with_its_mend_and_the_others_count(own_home, line, says):
    text = f"{HEAD}\n{GOOD}{line}\n"
    found, troubles = lay(own_home, text)
    assert len(troubles) == 1 and says in troubles[0] and "line" in troubles[0] and "\n" not in troubles[0]
    assert row("our agar").gel_strength.m_as("g_per_cm2") == pytest.approx(900)
    assert (own_home / "shelf.csv").read_bytes().decode("utf-8") == text              # nothing of the user's is rewritten


def test_an_unknown_column_is_said_and_a_missing_one_too(own_home):
    _, troubles = lay(own_home, f"{HEAD},colour\nour agar,is,agar,,,,,,red\n")
    assert any("colour" in t for t in troubles) and "our agar" in kinds("agar")
    _, troubles = lay(own_home, "product,property,value\nour agar,is,agar\n")
    assert any("unit" in t for t in troubles)


def test_the_newest_line_counts(own_home):
    lay(own_home, f"{HEAD}\n{GOOD}our agar,gel_strength,700,g/cm²,,L8,2026-06-01,\n")
    assert row("our agar").gel_strength.m_as("g_per_cm2") == pytest.approx(700)


def test_adding_keeps_what_stands_there(own_home):
    lay(own_home, f"{HEAD}\n{GOOD}rubbish without a comma")
    add_to_shelf({"product": "our leaf", "property": "leaf_mass", "value": "2.1", "unit": "g"})
    text = (own_home / "shelf.csv").read_text(encoding="utf-8")
    assert text.startswith(f"{HEAD}\n{GOOD}rubbish without a comma") and "our leaf" in text
    with pytest.raises((ValueError, OutOfRange)):
        add_to_shelf({"product": "our leaf", "property": "leaf_mass", "value": "2.1", "unit": "mm"})
    assert (own_home / "shelf.csv").read_text(encoding="utf-8") == text


def test_a_shelf_in_a_spreadsheets_semicolons_stays_one(own_home):
    lay(own_home, f"{HEAD}\n{GOOD}".replace(",", ";"))
    add_to_shelf({"product": "our leaf", "property": "leaf_mass", "value": "2.1", "unit": "g"})
    assert (own_home / "shelf.csv").read_text(encoding="utf-8").splitlines()[-1].count(";") == len(SHELF_COLUMNS) - 1
    assert not shelf()[1]


def test_no_shelf_a_folder_and_bytes_are_no_disaster(own_home):
    assert shelf() == ({}, ()) or shelf()[0] == {}
    (own_home / "shelf.csv").write_bytes(bytes(range(256)) * 40)
    assert row("agar").modulus is not None
    (own_home / "shelf.csv").unlink()
    (own_home / "shelf.csv").mkdir()
    assert row("agar").modulus is not None


def test_a_long_shelf_is_read_in_the_time_of_a_short_one_per_line(own_home):
    def seconds(lines):
        lay(own_home, f"{HEAD}\n" + "".join(f"product {n},bloom,200,Bloom,,,,\n" for n in range(lines)))
        (own_home / "shelf.csv").touch()
        begin = time.perf_counter()
        tables._shelf.cache_clear()
        assert len(shelf()[0]) == lines
        return (time.perf_counter() - begin) / lines
    assert seconds(4000) < 5 * seconds(1000)                                          # grows with the lines, not with their square


# --- settings -------------------------------------------------------------------------------------------------------------------------
def test_settings_are_kept_one_by_one():
    tables.keep_settings(student="s-017", temperature="°F")
    tables.keep_settings(mass="oz")
    kept = tables.settings()
    assert (kept["student"], kept["temperature"], kept["mass"], kept["size"]) == ("s-017", "°F", "oz", "")
    with pytest.raises(ValueError, match="student"):
        tables.keep_settings(studnt="x")


def test_broken_settings_are_the_first_ones_again(own_home):
    (own_home / "settings.csv").write_bytes(b"\xff\x00,\n,,,,")
    assert tables.settings()["temperature"] in ("°C", "°F")
