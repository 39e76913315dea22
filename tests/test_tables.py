"""Rows and the shelf: what is read, what is refused with its mend, and that nothing of the user's is lost."""
import copy
import csv
import threading
import time
from pathlib import Path

import numpy as np
import pint
import pytest

from kitchenlib import files, tables
from kitchenlib.files import append_row, read_text
from kitchenlib.tables import HOW, SHELF_COLUMNS, add_to_shelf, kinds, records, row, shelf
from kitchenlib.units import Q_, OutOfRange, Quantity

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


@pytest.mark.parametrize("miss, says", [
    (lambda: row("gelatine"), "'gelatine' is not in the tables. Did you mean 'gelatin'"), (lambda: row("Agar"), "Did you mean 'agar'"),
    (lambda: row("qqqqq"), "Add it to your shelf"), (lambda: row(7), "'7' is not in the tables"), (lambda: row(["agar"]),
    "not in the tables"),
    (lambda: kinds("gelatine"), "Did you mean 'gelatin'"), (lambda: row("agar").fact("bloom"),
                                                            "agar has no bloom in the tables. Where you know"),
    (lambda: row("agar").facts("modulos"), "Did you mean 'modulus'"), (lambda: row("agar").si("modulos"), "Did you mean 'modulus'")])
def test_misses_name_the_nearest(miss, says):
    with pytest.raises(LookupError) as caught:
        miss()
    assert says in str(caught.value) and "\n" not in str(caught.value)


def test_a_miss_among_attributes_is_an_attribute_error_in_the_same_words():
    with pytest.raises(AttributeError, match="agar has no bloom in the tables"):
        row("agar").bloom
    assert not hasattr(row("agar"), "bloom") and "bloom" not in row("agar") and "modulus" in row("agar")
    with pytest.raises(AttributeError):
        row("agar")._anything


def test_rows_are_values():
    agar = row("agar", own=False)
    assert agar == row("agar", own=False) and hash(agar) == hash(row("agar", own=False)) and agar != row("gelatin",
        own=False) and agar != "agar"
    assert agar != agar.but(modulus=Q_(9, "kPa")) and agar.key == "agar" and "modulus" in repr(agar) and list(agar)[0] == "modulus"
    assert copy.deepcopy(agar) == agar and copy.copy(agar).modulus == agar.modulus


def test_but_replaces_a_value_and_marks_it():
    agar = row("agar")
    agar.si("modulus")
    own = agar.but(modulus=Q_(9, "kPa"))
    assert own.modulus.m == 9 and own.fact("modulus").how == "yours" and row("agar").modulus.m != 9 and agar.modulus.m != 9
    assert own.si("modulus") == pytest.approx(9000) and own.si("dose_exponent") == agar.si("dose_exponent")
    assert own.fact("modulus").low is None and str(own.fact("modulus")) == "9.00 kPa [yours]"
    assert agar.but(dose_exponent=2).dose_exponent == 2.0 and agar.but(gel_strength=Q_(900, "g_per_cm2")).gel_strength.m == 900
    assert row("gelatin leaf gold").but(bloom=Q_(300, "Bloom")).bloom.m == 300                   # the end of the range belongs to it
    gelatin = row("gelatin", own=False)
    assert gelatin.but(warmth_melts=Q_(104, "degF")).si("warmth_melts") == pytest.approx(313.15)         # 40 °C, the end, in another unit
    sour = agar.but(**{"is": "gelatin"})
    assert getattr(sour, "is") == sour.si("is") == "gelatin"


@pytest.mark.parametrize("wrong, error, says", [
    ({"modulus": 9}, TypeError, "modulus needs a unit: write Q_(9, 'kPa')"),
    ({"modulus": Q_(9, "g")}, pint.DimensionalityError, "give it in kPa"),
    ({"modulus": Q_(900, "g_per_cm2")}, pint.DimensionalityError, "gel strength and modulus are two things"),
    ({"modulus": "9 kPa"}, TypeError, "Q_("),
    ({"modulus": Q_([1, 2], "kPa")}, TypeError, "one value, not 2"), ({"modulus": Q_(float("nan"), "kPa")}, OutOfRange, "no number"),
    ({"modulus": Q_(float("inf"), "kPa")}, OutOfRange, "endless"),
    ({"modulus": Q_(-1, "kPa")}, OutOfRange, "-1 kPa is outside 0.001 to 10"),
    ({"modulus": Q_(-1, "Pa")}, OutOfRange, "10\xa0000 kPa (1 to 10\xa0000\xa0000 Pa)"),
    ({"modulos": Q_(9, "kPa")}, LookupError, "modulus?"),
    ({"qqqqqqqq": 1}, LookupError, "see tables.properties()"), ({"dose_exponent": Q_(2, "g")}, pint.DimensionalityError, "pure number"),
    ({"dose_exponent": "2"}, TypeError, "is a pure number, not '2'"), ({"dose_exponent": True}, TypeError, "pure number"),
    ({"dose_exponent": 9}, OutOfRange, "9 is outside 1 to 4"),
    ({"warmth_melts": Q_(104.001, "degF")}, OutOfRange, "104.001 °F is outside 22 to 40 °C (71.6 to 104 °F)"),
    ({"bloom": Q_(1, "kg")}, pint.DimensionalityError, "Bloom"),
    ({"is": 3}, TypeError, "is a word, not 3"), ({"is": ""}, TypeError, "is a word"),
    ({"warmth_melts": Q_(30, "delta_degC")}, pint.DimensionalityError, "temperature")])
def test_but_refuses_in_one_sentence(wrong, error, says):
    with pytest.raises(error) as caught:
        row("agar", own=False).but(**wrong)
    assert says in str(caught.value) and str(caught.value).startswith("agar: ") and "\n" not in str(caught.value)


def test_any_spread_of_a_shipped_row_may_stand_in_it():
    for key in kinds(own=False):
        agent = row(key, own=False)
        for name in agent:
            for value in (agent.fact(name).low, agent.fact(name).high):
                assert value is None or agent.but(**{name: value}).fact(name).value == value


def test_a_fact_says_itself():
    fact = row("agar", own=False).fact("critical_dose")
    assert str(fact).startswith("0.140 % (0.100 to 0.250) [computed: ") and fact.locator in str(fact)
    assert str(row("gelatin leaf gold", own=False).fact("is")) == "gelatin leaf [common practice]"
    assert tables.cite("no such key") == "no such key" and " 2003" in tables.cite("walstra-2003")


def test_wide_tables_take_the_unit_from_the_heading():
    points = records("gel_strength_points")
    first = next(p for p in points if p["quantity"] == "shear_modulus")
    assert first["concentration"].units == Q_(1, "percent").units and first["value"].check("[pressure]")
    assert any(p["concentration"] is None for p in points)                     # missing is empty, never 0


# --- the shelf ------------------------------------------------------------------------------------------------------------------------
GOOD = "our agar,is,agar,,,,,\nour agar,gel_strength,900,g/cm²,50,L7,2026-03-12,sheet\n"


@pytest.mark.parametrize("text, encoding", [
    (f"{HEAD}\n{GOOD}", "utf-8"), (f"{HEAD}\n{GOOD}", "utf-8-sig"), (f"{HEAD}\r\n{GOOD}".replace("\n", "\r\n").replace("\r\r", "\r"),
    "utf-8"),
    (f"{HEAD}\n\n{GOOD}\n\n", "utf-8"), (f"{HEAD}\n{GOOD}".replace(",", ";"), "utf-8"), (f"{HEAD}\n{GOOD}", "cp1252"),
    (f"{HEAD}\n{GOOD}".replace(",", ";").replace("900", "900,0"), "utf-8"), (f"{HEAD}\n{GOOD}".replace("900", '"900,0"'), "utf-8")])
def test_shelf_is_read_as_people_save_it(own_home, text, encoding):
    found, troubles = lay(own_home, text, encoding)
    assert not troubles, troubles
    ours = row("our agar")
    assert ours.gel_strength.m_as("g_per_cm2") == pytest.approx(900)
    assert ours.fact("gel_strength").low.m_as("g_per_cm2") == pytest.approx(850)
    assert ours.modulus == row("agar").modulus and "our agar" in kinds("agar") and "our agar" not in kinds("agar", own=False)
    assert ours.fact("gel_strength").how == "yours" and "L7" in str(ours.fact("gel_strength"))


@pytest.mark.parametrize("line, says", [
    ("our agar,gel_strength,900,,,,,", "unit"), ("our agar,gel_strength,900,furlong,,,,", "furlong"),
    ("our agar,gel_strength,900,Bloom,,,,", "gel_strength"),
    ("our agar,gel_strenght,900,g/cm²,,,,", "gel_strength"), ("our agar,gel_strength,1,600,g/cm²,,,,", "1.6"),
    (",gel_strength,900,g/cm²,,,,", "name"),
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
        begin = time.process_time()
        tables._shelf.cache_clear()
        assert len(shelf()[0]) == lines
        return (time.process_time() - begin) / lines
    assert seconds(2000) < 5 * seconds(500)                                          # grows with the lines, not with their square


# --- what people save -----------------------------------------------------------------------------------------------------------------
@pytest.mark.parametrize("data, troubled", [
    (f"{HEAD}\n{GOOD}".encode("utf-16"), ""), (f"{HEAD}\n{GOOD}".encode("utf-16-be").join((b"\xfe\xff", b"")), ""),
    (f"{HEAD}\n{GOOD}".replace("\n", "\r").encode(), ""), (f"{HEAD}\n{GOOD}".replace(",", "\t").encode(), ""),
    (f"\n,,,\n{HEAD}\n{GOOD}".encode(), ""), (f"{HEAD},,\n{GOOD}".encode(), ""), (f"{HEAD}\n{GOOD}".replace("\n", ",,\n").encode(), ""),
    (f"{HEAD}\n{GOOD}".replace(",lot,", ",lot ,").encode(), ""),
    (f'{HEAD}\n{GOOD}"torn,is,agar,,,,,a no\n'.encode(), "line 4: a quote is open"),                 # a kill in mid-line
    (f"{HEAD}\n{GOOD}torn,bloom,200,g/cm".encode() + "²".encode()[:1], "line 4"),
    (f"{HEAD}\n".encode() + GOOD.encode() + "our l\xe8af,bloom,20,g\n".encode("cp1252"), "line 4"),     # two programs, two encodings
    (f'{HEAD}\n{GOOD}x,is,agar,,,,"a"b,\n'.encode(), "line 4: a quote")])
def test_a_line_that_went_wrong_costs_itself_only(own_home, data, troubled):
    (own_home / "shelf.csv").write_bytes(data)
    found, troubles = shelf()
    assert [troubled in trouble for trouble in troubles] == ([True] if troubled else []), troubles
    assert row("our agar").gel_strength.m_as("g_per_cm2") == pytest.approx(900) and (own_home / "shelf.csv").read_bytes() == data


# --- the shelf, further -----------------------------------------------------------------------------------------------------------------
@pytest.mark.parametrize("line, says", [
    ("our agar,is,agar,,5,,,", "a word has no plus_minus"), ("our agar,is,,,,,,", "no value"),
    ("our agar,is,agarr,,,,,", "Did you mean 'agar'"),
    ("our agar,price,3,g,,,,", "price is a pure number; leave the unit empty"),
    ("our agar,gel_strength,900,g/cm²,-5,,,", "plus_minus is negative"),
    ("our agar,gel_strength,88,kPa,,,,", "is measured in g_per_cm2, not in kPa"),
    ("our agar,bloom,220,g,,,,", "is measured in Bloom, not in g"),
    ("our agar,bloom,2200,Bloom,,,,", "2200 Bloom is outside 50 to 300 Bloom"), ("our agar,gel_strength,,g/cm²,,,,", "no value"),
    ("our agar,gel_strength,-900,g/cm²,,,,", "outside 1 to 5000 g/cm²"), ("our agar,gel_strength,1e999,g/cm²,,,,", "power of ten"),
    ("our agar,gel_strength,900,gr,,,,", "gr is a grain"), ("our agar,qqqqqq,900,g,,,,", "choose one on the start page"),
    ("our agar,gel_strength,900,g/cm²,5 %,,,", "'5 %' is not a number"), ("our agar", "'' is no property"),
    ("our agar,gel_strength,1,6,g/cm²,,,,", "9 cells for 8 columns"),
    ("our agar,price,1,60,,,,,", "A comma inside a number?")])
def test_a_bad_line_says_how_to_mend_it(own_home, line, says):
    troubles = lay(own_home, f"{HEAD}\n{GOOD}{line}\n")[1]
    assert len(troubles) == 1 and says in troubles[0] and troubles[0].startswith("shelf.csv line 4: ") and len(troubles[0]) < 260, troubles
    assert row("our agar").gel_strength.m == 900 and row("our agar").modulus == row("agar", own=False).modulus


def test_troubles_come_in_the_order_of_the_lines(own_home):
    troubles = lay(own_home, f"{HEAD},colour,\nx,bloom,1,mm,,,,\n{GOOD}y,bloom,,,,,,\n1,2,3,4,5,6,7,8,9,10\n")[1]
    assert [t.split()[1] + t.split()[2] for t in troubles] == ["line6:", "column'colour'", "line2:", "line5:"]


def test_a_shelf_without_its_columns_says_which(own_home):
    assert lay(own_home, "") == ({}, (f"shelf.csv has no column 'product': the first line must be {HEAD}",))
    assert "'unit'" in lay(own_home, "product,property,value\n")[1][0]
    (own_home / "shelf.csv").unlink()
    (own_home / "shelf.csv").mkdir()
    assert shelf()[0] == {} and "cannot be read" in shelf()[1][0]


def test_a_product_named_as_a_shipped_one_adds_to_it(own_home):
    lay(own_home, f"{HEAD}\nagar,gel_strength,900,g/cm²,,,,\nagar,critical_dose,0.2,%,,,,\n")
    assert row("agar").gel_strength.m == 900 and row("agar").modulus == row("agar", own=False).modulus
    both = row("agar").facts("critical_dose")
    assert [fact.how for fact in both] == ["yours", "computed"] and row("agar").critical_dose.m == 0.2
    assert row("agar", own=False).critical_dose.m == 0.14 and kinds().count("agar") == 1 and "gel_strength" not in row("agar", own=False)


def test_kinds_in_a_ring_end(own_home):
    lay(own_home, f"{HEAD}\na,is,b,,,,,\nb,is,a,,,,,\nb,bloom,200,Bloom,,,,\nc,is,a,,,,,\n")
    assert row("a").bloom.m == row("c").bloom.m == 200 and set(kinds("a")) == {"a", "b", "c"} and kinds("c") == ("c",)


def test_a_spread_in_degrees_is_a_difference(own_home):
    found, troubles = lay(own_home,
                          f"{HEAD}\nx,warmth_melts,30,°C,2,,,\nx,melting_hysteresis,50,°C,5,,,\nx,price,12,,0.5,,,\nx,is,agar,,,,,\n")
    assert not troubles and [q.m for q in found["x"]["warmth_melts"][0][3:5]] == [28, 32]
    assert str(found["x"]["melting_hysteresis"][0].value.units) == "delta_degree_Celsius" and found["x"]["price"][0].high == 12.5
    assert row("x").si("warmth_melts") == pytest.approx(303.15) and row("x").si("is") == "agar" and row("x").si("price") == 12.0


def test_history_is_kept_newest_first_and_at_most_so_long(own_home):
    found, troubles = lay(own_home, f"{HEAD}\n" + "".join(f"x,bloom,{100 + n},Bloom,,{n},,\n" for n in range(tables.HISTORY + 5)))
    assert not troubles and [f.value.m for f in found["x"]["bloom"]] == [100 + n for n in range(tables.HISTORY + 4, 4, -1)]
    assert found["x"]["bloom"][0].locator == f"lot {tables.HISTORY + 4}" and found["x"]["bloom"][0].source == "your shelf"


def test_many_thousand_lines_are_read_at_a_bounded_price(own_home):
    (own_home / "shelf.csv").write_text(f"{HEAD}\n{GOOD}" + "our agar,gel_strength,800,g/cm²,5,L9,2026-01-01,\n" * 20_000,
                                        encoding="utf-8")
    begin = time.process_time()
    assert shelf()[1] == () and row("our agar").gel_strength.m == 800
    first = time.process_time() - begin
    begin = time.process_time()
    row("our agar"), shelf()
    assert first < 5 and time.process_time() - begin < first / 20                    # the second look costs nothing


# --- adding -----------------------------------------------------------------------------------------------------------------------------
LEAF = {"product": "our lèaf", "property": "leaf_mass", "value": "2,1", "unit": "g", "note": "two\nlines; and, more"}


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "cp1252", "utf-16"])
@pytest.mark.parametrize("separator", [",", ";", "\t"])
def test_adding_speaks_the_files_own_language(own_home, encoding, separator):
    before = f"{HEAD}\n{GOOD}".replace(",", separator).encode(encoding)
    (own_home / "shelf.csv").write_bytes(before)
    add_to_shelf(LEAF)
    after = (own_home / "shelf.csv").read_bytes()
    assert after.startswith(before) and after.decode(encoding)                        # one encoding throughout
    found, troubles = shelf()
    assert not troubles and row("our lèaf").leaf_mass.m == 2.1 and row("our agar").gel_strength.m == 900
    assert found["our lèaf"]["leaf_mass"][0].note == "two lines; and, more"


def test_a_letter_the_old_code_page_lacks_is_kept_all_the_same(own_home):
    before = f"{HEAD}\n{GOOD}".encode("cp1252")
    (own_home / "shelf.csv").write_bytes(before)
    add_to_shelf({**LEAF, "product": "寒天"})
    assert (own_home / "shelf.csv").read_bytes().startswith(before) and row("寒天").leaf_mass.m == 2.1
    assert row("our agar").gel_strength.m == 900 and not shelf()[1]


@pytest.mark.parametrize("before", [None, b"", b"\n", b"\xef\xbb\xbf", b"\xef\xbb\xbf\r\n"])
def test_an_empty_shelf_gets_its_heading(own_home, before):
    if before is not None:
        (own_home / "shelf.csv").write_bytes(before)
    add_to_shelf(LEAF)
    add_to_shelf({"product": "our lèaf", "property": "is", "value": "gelatin"})
    lines = read_text(own_home / "shelf.csv").split()
    assert lines[0] == HEAD and read_text(own_home / "shelf.csv").count("product,") == 1
    assert not shelf()[1] and row("our lèaf").leaf_mass.m == 2.1 and "our lèaf" in kinds("gelatin")


def test_adding_makes_the_folder(own_home, monkeypatch):
    monkeypatch.setenv("KITCHENLIB_HOME", str(own_home / "deep" / "er"))
    add_to_shelf(LEAF)
    assert row("our lèaf").leaf_mass.m == 2.1 and files.home() == own_home / "deep" / "er"
    monkeypatch.delenv("KITCHENLIB_HOME")
    assert files.home() == Path.home() / "kitchen-lessons"


@pytest.mark.parametrize("wrong, says", [
    ({"unit": "mm"}, "leaf_mass is measured in g, not in mm"), ({"unit": ""}, "write g in the unit column"),
    ({"value": "2,100"}, "2.100 or 2100"),
    ({"product": " "}, "give the product a name"), ({"property": "leafmass"}, "Did you mean 'leaf_mass'"),
    ({"property": "is", "value": "gelatine"}, "Did you mean 'gelatin'"), ({"value": "1e9"}, "outside 0.5 to 20 g")])
def test_what_would_not_be_read_back_is_not_added(own_home, wrong, says):
    with pytest.raises(ValueError) as caught:
        add_to_shelf({**LEAF, **wrong})
    assert says in str(caught.value) and not (own_home / "shelf.csv").exists()


def test_nothing_typed_is_dropped_for_want_of_a_column(own_home):
    text = "unit,product,value,property\ng/cm²,our agar,900,gel_strength\n"
    lay(own_home, text)
    with pytest.raises(ValueError, match="shelf.csv has no column 'note': write it into the first line"):
        add_to_shelf(LEAF)
    assert (own_home / "shelf.csv").read_text(encoding="utf-8") == text
    add_to_shelf({**LEAF, "note": ""})
    assert row("our lèaf").leaf_mass.m == 2.1 and row("our agar").gel_strength.m == 900
    lay(own_home, "something else\n")
    with pytest.raises(ValueError, match="no column 'product'"):
        add_to_shelf(LEAF)


def test_many_writers_lose_nothing_and_write_one_heading(own_home):
    def write(writer):
        for n in range(15):
            append_row(own_home / "answers.csv", [writer, n, "a\r\nb"], heading=("writer", "n", "text"))
    writers = [threading.Thread(target=write, args=(w,)) for w in range(4)]
    for writer in writers:
        writer.start()
    for writer in writers:
        writer.join()
    rows = list(csv.reader((own_home / "answers.csv").read_text(encoding="utf-8").splitlines()))
    assert rows[0] == ["writer", "n", "text"] and sorted(rows[1:]) == sorted([str(w), str(n), "a b"] for w in range(4) for n in range(15))


def test_a_torn_last_line_stays_one_bad_line(own_home):
    (own_home / "any.csv").write_bytes(b"a,b\n1,2\n3")
    append_row(own_home / "any.csv", ["4", 'q"'], quoting=csv.QUOTE_ALL)
    assert (own_home / "any.csv").read_bytes() == b'a,b\n1,2\n3\n"4","q"""\n'


# --- shipped files ----------------------------------------------------------------------------------------------------------------------
@pytest.fixture
def own_datasets(tmp_path, monkeypatch):
    """A folder of data of one's own; what was read of the shipped ones is read anew before and after."""
    cached = (tables._shipped, tables.records, tables.properties, tables.sources, tables._row, tables._kinds, tables._limits)
    (tmp_path / "data" / "properties").mkdir(parents=True)
    (tmp_path / "data" / "sources.csv").write_text("key,author,year\nso-1999,So,1999\n", encoding="utf-8")
    (tmp_path / "data" / "properties.csv").write_text("property,unit,meaning,shelf,least,most\nheat,kJ,,yes,,\n", encoding="utf-8")
    monkeypatch.setattr(tables, "DATASETS", tmp_path / "data")
    for read in cached:
        read.cache_clear()
    yield tmp_path / "data" / "properties"
    for read in cached:
        read.cache_clear()


NARROW = "substance,property,value,unit,plus_minus,low,high,condition,source,locator,how,note\n"


@pytest.mark.parametrize("line, says", [
    ("a,heat,1,kJ,,,,,,,read,", "does not say how it is known, or where it stands"), ("a,heat,1,kJ,,,,,,,,", "how it is known"),
    ("a,heat,1,kJ,,,,,key,,heard,", "how it is known"), ("a,heat,,kJ,,,,,,,memory,", "no value"),
    ("a,heat,1,kJ,,2,3,,,,memory,", "between low and high"),
    ("a,heat,4,kJ,,2,3,,,,memory,", "between low and high"), ("a,heat,4,kJ,-1,,,,,,memory,", "negative"),
    ("a,heat,4,kj,,,,,,,memory,", "kJ?"),
    ("a,heat,\"1,600\",kJ,,,,,,,memory,", "1600"), ("a,heat,1,600,kJ,,,,,,,memory,", "13 cells"),
    ("a,heat,,word,,,,,,,memory,", "no value")])
def test_a_wrong_line_of_ours_stops_with_its_place(own_datasets, line, says):
    (own_datasets / "ours.csv").write_text(f"{NARROW}{line}\n", encoding="utf-8")
    with pytest.raises(ValueError, match="ours.csv line 2: ") as caught:
        row("a")
    assert says in str(caught.value)


def test_a_table_of_foods_makes_rows_and_an_empty_cell_is_nothing(own_datasets):
    head = "food,condition,heat [kJ],ratio [],source,locator,how,note\n"
    (own_datasets / "foods.csv").write_text(f"{head}a,raw,1.0,,so-1999,p. 2,read,\nb,,,0,,,memory,none\n", encoding="utf-8")
    (own_datasets / "more.csv").write_text(f"{NARROW}a,heat,3,kJ,,2,4,boiled,,,memory,\n", encoding="utf-8")
    raw, boiled = row("a").facts("heat")
    assert raw[2:] == (Q_(1, "kJ"), None, None, "raw", "so-1999", "p. 2", "read", "") and (boiled.value, boiled.high) == (Q_(3, "kJ"), Q_(4, "kJ"))
    assert "ratio" not in row("a") and "heat" not in row("b") and row("b").ratio == 0 and kinds() == ("a", "b")
    for wrong, says in (("a,raw,1,,so-1999,,heard,", "foods.csv line 2: heat does not say how"), ("a,,1,,,,read,", "where it stands"),
                        ("a,,1 kJ,,,,memory,", "foods.csv line 2.*'1 kJ' is not a number")):
        (own_datasets / "foods.csv").write_text(f"{head}{wrong}\n", encoding="utf-8")
        for read in (tables._shipped, tables._row):
            read.cache_clear()
        with pytest.raises(ValueError, match=says):
            row("a")


def test_narrow_rows_with_low_and_high(own_datasets):
    lines = ("a,heat,,kJ,,2,5,,,,memory,", "a,heat,7,kJ,,,,x,so-1999,p. 1,read,n", "a,t,20,degC,3,,,,,,made,", "a,n,2,,0.5,,,,,,made,",
             "a,w,sour,word,,,,,,,made,", "a,half,1,kJ,,0.5,,,,,made,", "")
    (own_datasets / "ours.csv").write_text(NARROW + "\n".join(lines), encoding="utf-8")
    a = row("a")
    assert [(f.value.m, f.low and f.low.m, f.how) for f in a.facts("heat")] == [(3.5, 2, "memory"), (7, None, "read")]
    assert a.facts("heat")[1][5:] == ("x", "so-1999", "p. 1", "read", "n")
    assert str(a.facts("heat")[1]) == "7.00 kJ [read: So 1999, p. 1]"
    assert (a.fact("t").low.m, a.fact("t").high.m, a.n, a.fact("n").low, a.w, a.fact("half").low) == (17, 23, 2.0, 1.5, "sour", None)
    assert str(a.fact("n")) == "2.00 (1.50 to 2.50) [made]" and a.si("heat") == 3500 and isinstance(a.n, float)
    assert a.but(t=Q_(50, "degF")).si("t") == pytest.approx(283.15) and a.but(n=np.float64(3)).n == 3 and a.but(w="sweet").w == "sweet"
    for wrong, error in (({"t": Q_(3, "delta_degC")}, pint.DimensionalityError), ({"w": 2}, TypeError),
                         ({"n": Q_(2, "kJ")}, pint.DimensionalityError)):
        with pytest.raises(error):
            a.but(**wrong)


def test_wide_tables(own_datasets):
    (own_datasets / "wide.csv").write_text("name,mass [g],ratio [],value,low,high,plus_minus,unit,note\n"
                                           "a,2,0.5,20,18,,2,degC,x\nb,,,sour,,,,word,\nc,1,2,3,,,0.1,,\n", encoding="utf-8")
    a, b, c = records("wide")
    assert a["mass"] == Q_(2, "g") and a["ratio"] == 0.5 and a["value"] == Q_(20, "degC") and a["low"] == Q_(18,
        "degC") and a["high"] is None
    assert a["plus_minus"] == Q_(2, "delta_degC") and a["note"] == "x" and list(a) == ["name", "mass", "ratio", "value", "low", "high",
                                                                                       "plus_minus", "unit", "note"]
    assert b["mass"] is None and b["ratio"] is None and b["value"] == "sour" and c["value"] == 3.0 and c["plus_minus"] == 0.1
    with pytest.raises(TypeError):
        a["mass"] = 3                                                                 # what is read is not changed
    with pytest.raises(FileNotFoundError, match="no table 'wid' in datasets/properties; wide[?]"):
        records("wid")
    (own_datasets / "bad.csv").write_text("name,mass [g]\na,lots\n", encoding="utf-8")
    with pytest.raises(ValueError, match="bad.csv line 2, mass .g.: 'lots' is not a number"):
        records("bad")
    (own_datasets / "bad2.csv").write_text("name,mass [gg]\na,1\n", encoding="utf-8")
    with pytest.raises(ValueError, match="bad2.csv line 2, mass .gg.: 'gg' is not a unit"):
        records("bad2")
    (own_datasets / "torn.csv").write_text('name,mass [g]\n"a,1\n', encoding="utf-8")
    with pytest.raises(ValueError, match="torn.csv line 2: a quote"):
        records("torn")
