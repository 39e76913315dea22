"""Readings of one's own: typed or by a file, refused by row and column, kept, fitted, put on the shelf; and what the explorer of lesson 50 shows of them."""
import numpy as np
import pytest

from kitchenlib import bench, fits, tables
from kitchenlib.teaching import own_readings
from kitchenlib.teaching.explorers import bench_readings as explore
from kitchenlib.units import Q_


@pytest.fixture(autouse=True)
def home(tmp_path, monkeypatch):
    monkeypatch.setenv("KITCHENLIB_HOME", str(tmp_path))
    return tmp_path


def keep(rows=(), law="gel strength", file=""):
    return own_readings.table.keep({"law": law, "file": str(file), "rows": [list(cells) for cells in rows]})


SQUARE = [("0.5", "100", "16", "1"), ("1", "400", "", ""), ("2", "1600", "", ""), ("1,5 %", "0,9 kg", "", "")]      # load goes as the square of the dose


def test_typed_readings_are_kept_and_fitted_with_what_is_the_same_said_once():
    said = keep(SQUARE)
    assert "4 readings kept" in said and "exponent 2.00" in said
    fit = fits.fit(own_readings.own("gel strength"))
    assert fit.values["exponent"] == pytest.approx(2)
    assert fit.values["strength"].m_as("g_per_cm2") == pytest.approx(400 / (np.pi * 0.8 ** 2))       # 400 g on a plunger of 16 mm, by hand


def test_every_law_has_headings_that_read_back():
    for law in own_readings.LAWS:
        shape = bench.law(law)
        names = {bench.read_heading(text)[0] for text in own_readings.headings(law)}
        assert names == {c.name for c in (shape.x, shape.y, *shape.given)}
        practice = bench.BENCH / f"{law.replace(' ', '_').replace('-', '_')}.csv"
        keep(law=law, file=practice)
        assert own_readings.own(law).x == pytest.approx(bench.practice(law).x)


@pytest.mark.parametrize("rows, words", [
    ([("0.5", "100", "16", "1"), (), ("1", "four", "", "")], "Row 3, column 'load"), ([("0.5", "100", "16", "1"), ("1", "", "", "")], "Row 2, column 'load"),
    ([("2 g", "100", "16", "1"), ("1", "400", "", "")], "Row 1, column 'dose"), ([("1", "400", "", "1"), ("2", "9 kg", "", "")], "Row 1, column 'plunger"),
    ([], "no readings yet"), ([("", "", "", "")], "no readings yet")])
def test_refusals_name_row_and_column_and_keep_nothing(rows, words, home):
    with pytest.raises(ValueError, match=words.replace("[", r"\[")):
        keep(rows)
    assert not list(home.glob("bench_*"))


def test_a_file_with_mark_semicolons_and_decimal_commas(tmp_path):
    path = tmp_path / "of ours.csv"
    path.write_bytes("\ufeffbought [kg];left [kg]\r\n\r\n0,5;0,4\r\n1,0;0,8\r\n2,0;1,6\r\n".encode())
    assert "yield is 80.0 %" in (said := keep(law="yield", file=path)) and "to the last digit" in said
    path.write_text("bought;left\n500;400\n600;lots\n", encoding="utf-8")
    with pytest.raises(ValueError, match="Row 3, column 'left'"):                # the line that a spreadsheet shows
        keep(law="yield", file=path)
    assert own_readings.own("yield").x == pytest.approx([500, 1000, 2000])
    with pytest.raises(ValueError, match="cannot be opened"):
        keep(law="yield", file=tmp_path / "none.csv")


def test_earlier_readings_are_not_lost(home):
    keep(SQUARE)
    keep(SQUARE[:3])
    assert len(own_readings._filled(own_readings._lines(home / "bench_gel_strength_before.csv")[1])) == 4
    assert len(own_readings.own("gel strength").x) == 3
    grid = own_readings.table.fields()[2]["grid"]
    assert len(grid["gel strength"]["rows"]) == 3 and grid["shell"]["rows"] == []


def test_one_reading_is_kept_though_it_cannot_be_fitted():
    assert "1 reading kept" in keep(SQUARE[:1]) and "1 of 1" in explore.fit.at(source="yours")["words"]


def shelf(**typed):
    return own_readings.to_shelf.keep({"law": "gel strength", "product": "agar bag 3", "kind": "agar", "lot": "7", "hold": "nothing", **typed})


def test_calibration_reaches_the_shelf_and_leaves_the_shipped_rows_alone():
    shipped = tables.row("agar", own=False).dose_exponent
    with pytest.raises(ValueError, match="Practice readings stay practice"):
        shelf()
    keep(SQUARE)
    assert "stands on the shelf" in shelf()
    assert tables.row("agar bag 3").dose_exponent == pytest.approx(2) and tables.row("agar", own=False).dose_exponent == shipped
    keep(SQUARE[:1])
    shelf(product="agar bag 4", hold="the exponent at the book's")                   # a single cup, the exponent held
    assert tables.row("agar bag 4").gel_strength.m_as("g_per_cm2") == pytest.approx(400 / (np.pi * 0.8 ** 2), rel=1e-4)
    keep([("500", "420"), ("1000", "800"), ("2000", "1620")], law="yield")
    shelf(law="yield", product="carrot", kind="")
    assert tables.row("carrot").fact("yield").value.m_as("percent") == pytest.approx(81.7, abs=0.2)


def test_the_explorer_takes_yours_where_there_are_some_and_says_so_where_not():
    assert "no readings of yours" in explore.fit.at(source="yours")["words"]
    keep(SQUARE)
    assert explore.fit.at(source="yours")["words"].startswith("Your readings, 4 of 4")
    keep(SQUARE[:3])
    assert "3 of 3" in explore.fit.at(source="yours")["words"]                       # what was kept a moment ago
    own_readings.path_of("gel strength").write_text("dose;load\nx;y\n", encoding="utf-8")
    assert "could not be read" in explore.fit.at(source="yours")["words"]


def test_more_readings_narrow_the_law_and_a_held_exponent_too():
    wide = lambda **settings: (lambda made: float(np.max(made["high"] - made["low"])))(explore.fit.at(law="shell", **settings))
    assert wide(used=3) > wide(used=4) > wide(used=6) > wide(used=6, hold="the exponent at the book's")


def test_each_page_of_a_task_has_steps_and_is_turned_to():
    own_readings.protocols.keep({"law": "juice"})
    words = dict(own_readings.protocols.table())
    assert "step 1" in words and "Unplug" in words["caution"]
    own_readings.protocols.keep({"law": own_readings.LAWS[0]})


def test_practice_numbers_come_back():
    """The scatter put into them is known (made), so that the fit can be held to what they were made with: within three standard errors."""
    for law, made in {"gel strength": {"strength": Q_(620, "g_per_cm2"), "exponent": 1.9}, "shell": {"shell_in_one_minute": Q_(0.42, "mm"), "exponent": 0.5},
                      "yield": {"yield": Q_(84, "percent")}}.items():
        fit = fits.fit(bench.practice(law))
        for name, value in made.items():
            assert abs((fit.values[name] - value) / fit.errors[name]) < 3
