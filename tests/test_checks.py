"""checks: every printed value is run here; and the reader, the tolerances, the errors and the lesson's summary."""
import math

import pytest

from kitchenlib import checks, tables
from kitchenlib.units import Q_

GOOD = "10,weighing.of_total,dose=10 %; total=50 g,5,g,0.001,by hand,own-derivation,,computed"


@pytest.mark.parametrize("check", checks.published(), ids=lambda check: f"{check.where}: {check.model} {check.printed}")
def test_agrees_with_print(check):
    outcome = checks.run(check)
    assert outcome.agrees, f"{check.where}: {outcome}, allowed {outcome.allowed:g}"


def test_there_are_checks_and_lesson_10_has_its_share():
    assert len(checks.published()) >= 100 and len(checks.outcomes("10")) >= 100
    assert {outcome.check.how for outcome in checks.outcomes("10")} >= {"read", "second-hand", "computed", "common practice", "memory"}
    assert checks.outcomes("1") == ()                        # '10' is a lesson, not a part of a word


# --- reading -------------------------------------------------------------------------------------------------------------------------
@pytest.mark.parametrize("text, value", [
    ("1.5 %", Q_(1.5, "percent")), ("-3 °C", Q_(-3, "degC")), ("900 g/cm²", Q_(900, "g_per_cm2")),
    ("250 gram_force", Q_(250, "gram_force")), (".5 mm", Q_(0.5, "mm")), ("1e-3 N/m", Q_(1e-3, "N/m")),
    ("2", 2.0), ("-0.5", -0.5), ("4.", 4.0), ("one reading", "one reading"),
    ("sphere", "sphere")])
def test_reads_a_value(text, value):
    read = checks.read_value(text)
    assert read == value and type(read) is type(value)


def test_reads_a_row_with_values_of_its_own():
    assert checks.read_value("row agar") == tables.row("agar", own=False)
    grade = checks.read_value("row agar but modulus=9 kPa but dose_exponent=2")
    assert (grade.modulus, grade.dose_exponent, grade.fact("modulus").how) == (Q_(9, "kPa"), 2.0, "yours")
    assert grade.critical_dose == tables.row("agar", own=False).critical_dose
    agar = tables.row("agar", own=False)
    assert checks.read_inputs("dose=1.5 %; grade=row agar ;n=2") == {"dose": Q_(1.5, "percent"), "grade": agar, "n": 2.0}


@pytest.mark.parametrize("text, says", [
    ("dose 1.5 %", "write name=value"), ("dose=", "write name=value"), ("", "write name=value"), ("dose=1 %;;n=2", "write name=value"),
    ("dose=1 %; dose=2 %", "dose is given twice"), ("the dose=1 %", "write name=value"), ("dose=1 grm", "grm"), ("dose=1,5 %", "5 %"),
    ("grade=row agr", "agar"), ("grade=row agar but modulus", "write name=value"), ("dose=1 cup", "cup")])
def test_what_cannot_be_read_is_refused(text, says):
    with pytest.raises((ValueError, LookupError), match=says):
        checks.read_inputs(text)


# --- running -------------------------------------------------------------------------------------------------------------------------
def folder_with(tmp_path, *lines, heading=",".join(checks.COLUMNS)):
    (tmp_path / "made.csv").write_text("\n".join((heading, *lines)) + "\n", encoding="utf-8")
    return tmp_path


def outcome_of(tmp_path, line):
    check, = checks.published(folder_with(tmp_path, line))
    return checks.run(check)


@pytest.mark.parametrize("printed, unit, tolerance, off, agrees", [
    ("5", "g", "0.001", 0, True), ("5.1", "g", "0.1", -0.1, True), ("5.1", "g", "0.09", -0.1, False), ("4.9", "g", "0.09", 0.1, False),
    ("0.005", "kg", "0.00001", 0, True), ("5.2", "g", "4 %", -0.2, True), ("5.2", "g", "3.8 %", -0.2, False),
    ("4.8", "g", "4%", 0.2, False),
    ("at least 4", "g", "", 0, True), ("at least 6", "g", "", -1, False), ("at most 4", "g", "", 1, False), ("at most 6", "g", "", 0, True),
    ("at least 6", "g", "1", -1, True), ("4 to 6", "g", "", 0, True), ("6 to 7", "g", "", -1, False), ("1 to 2", "g", "", 3, False)])
def test_tolerances_and_limits(tmp_path, printed, unit, tolerance, off, agrees):
    inputs = "10,weighing.of_total,dose=10 %; total=50 g"
    outcome = outcome_of(tmp_path, f"{inputs},{printed},{unit},{tolerance},by hand,own-derivation,,computed")
    assert outcome.off == pytest.approx(off) and outcome.agrees is agrees


def test_a_temperature_is_compared_in_its_own_unit(tmp_path):
    line = "10,units.Q_,value=212; unit=degF,{},degC,0.5,exact,si-brochure,,computed"
    assert outcome_of(tmp_path, line.format(100)).agrees and not outcome_of(tmp_path, line.format(373)).agrees


def test_a_field_a_pure_number_and_a_word(tmp_path):
    assert outcome_of(tmp_path, "10,weighing.resolution:high,mass=2 g; step=1 g,2.5,g,0.001,by hand,,,computed").agrees
    assert outcome_of(tmp_path, "10,gels.strength_ratio,dose=1 %; other_dose=2 %; exponent=2,4,,0.001,by hand,,,computed").agrees
    assert not outcome_of(tmp_path, "10,gels.strength_ratio,dose=1 %; other_dose=2 %; exponent=3,4,,0.001,by hand,,,computed").agrees
    within = "10,checks.within,key=agar; name=dose_exponent; value={},inside,word,,by hand,,,computed"
    assert outcome_of(tmp_path, within.format(2)).agrees and not outcome_of(tmp_path, within.format(3)).agrees
    assert not outcome_of(tmp_path, within.format(1)).agrees
    assert str(outcome_of(tmp_path, within.format(3))) == "inside printed, outside here"


@pytest.mark.parametrize("change, says", [
    (("weighing.of_total", "weighing.of_totl"), "of_totl"), (("weighing.of_total", "wighing.of_total"), "wighing"),
    (("weighing.of_total", "of_total"), "of_total"), (("weighing.of_total", "weighing.of_total:mass"), "mass"),
    (("50 g", "50 mL"), "total"), (("10 %", "200 %"), "outside"), (("dose=10 %; ", ""), "dose"), ((",5,g", ",5,mL"), "mL|volume|length"),
    ((",5,g", ",5,"), "dimensionless"),
    ((",5,g", ",five,g"), "five"), ((",0.001,", ",,"), "needs a tolerance"), ((",5,g", ",6 to 5,g"), "from high to low"),
    ((",5,g,0.001", ",4 to 6,g,5 %"), "one printed number"), ((",5,g", ",at least x,g"), "not a number"),
    (("weighing.of_total,dose=10 %; total=50 g,5,g", "gels.strength_ratio,dose=1 %; other_dose=2 %; exponent=2,4,g"), "pure number")])
def test_a_line_that_errs_names_file_and_line(tmp_path, change, says):
    bad = GOOD.replace(*change)
    assert bad != GOOD
    good, check = checks.published(folder_with(tmp_path, GOOD, bad))
    assert checks.run(good).agrees
    with pytest.raises(ValueError, match=rf"made\.csv line 3: .*(?:{says})"):
        checks.run(check)


def test_a_file_that_cannot_be_read_names_itself(tmp_path):
    with pytest.raises(ValueError, match=r"made\.csv: the columns must be lesson,model"):
        checks.published(folder_with(tmp_path, GOOD, heading="lesson,model"))
    with pytest.raises(ValueError, match=r"made\.csv: line 2: 11 cells"):
        checks.published(folder_with(tmp_path, GOOD.replace("10 %", "10,5 %")))


# --- showing -------------------------------------------------------------------------------------------------------------------------
def test_a_lesson_sees_how_many_how_far_off_and_what_nobody_measured():
    table = checks.lesson_table("10")
    assert table.columns == ("how it is known", "values", "farthest off", "which that is")
    by_how = {row[0]: row for row in table.rows}
    assert list(by_how) == [how for how in tables.HOW if how in by_how]
    found = checks.outcomes("10")
    assert sum(int(row[1]) for row in table.rows) == len(found)
    worst = max((o for o in found if o.check.how == "read"), key=lambda o: abs(o.share))
    assert by_how["read"][2] == f"{100 * abs(worst.share):.0f} %"
    assert by_how["read"][3].startswith(tables.cite(worst.check.source)) and str(worst) in by_how["read"][3]
    assert all(len(row) == 4 for row in table.rows)
    for sentence in checks.unmeasured("10"):
        assert sentence in table.after
    assert len(checks.unmeasured("10")) >= 3


def test_a_lesson_without_checks_says_nothing():
    assert checks.lesson_table("99") == ((("how it is known", "values", "farthest off", "which that is")), (), "")


def test_share_of_what_is_printed(tmp_path):
    line = "10,weighing.of_total,dose=10 %; total=50 g,{},g,{},by hand,own-derivation,,computed"
    assert outcome_of(tmp_path, line.format("4", "2")).share == pytest.approx(0.25)
    assert outcome_of(tmp_path, line.format("at most 4", "")).share == pytest.approx(0.25)
    assert (outcome_of(tmp_path, line.format("0", "9")).share, outcome_of(tmp_path, line.format("0", "4")).share) == (0, math.inf)
    assert str(outcome_of(tmp_path, line.format("5.0", "1"))) == "5.0 g printed, 5.00 g here"
