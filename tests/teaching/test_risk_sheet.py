"""Nitrogen as it is taught: the spill before the plan everywhere, rounding to the side of caution, no word that lets anyone go ahead; the draft
of a risk assessment, what is missing in it left empty."""
import html
import itertools
import json
import re
import shutil
import subprocess

import CoolProp.CoolProp as CP
import pytest

from kitchenlib import __main__ as command
from kitchenlib import nitrogen, room
from kitchenlib.files import DATASETS
from kitchenlib.teaching import bank, risk_sheet, sheet
from kitchenlib.teaching.copies import LESSONS
from kitchenlib.teaching.explorers import nitrogen_and_the_room as explore
from kitchenlib.teaching.panel import Choice
from kitchenlib.units import Q_, OutOfRange
from wording import FORBIDDEN, words

PASSED = re.compile(r"(?<!mean of the )\b(room|sum|lesson 41)('s sum)?\b( has)? pass(es|ed)\b", re.IGNORECASE)     # a room is never cleared by a sum
EXPLORERS = (explore.room, explore.cold, explore.closed)
NAMES = ("room", "cold", "closed")
LESSON = "41_nitrogen_and_the_room"
FULL = dict(room=Q_(40, "m**3"), vessel=Q_(10, "L"), air_changes=Q_(6, "1/hour"), base=Q_(3, "kg"), minutes=Q_(15, "min"),
            container="vented cryogenic dewar")


def ends(control):
    return control.words() if isinstance(control, Choice) else (control.low, control.high)


def settings_of(explorer):
    """The start, each control at each end, and all corners of the amounts that decide about the air."""
    yield {}
    for name, control in explorer.controls.items():
        yield from ({name: value} for value in ends(control))
    names = [name for name in ("base", "room", "vessel", "air_changes", "caught") if name in explorer.controls]
    for corner in itertools.product(*(ends(explorer.controls[name]) for name in names)):
        yield dict(zip(names, corner))


def sums(page):
    """Cells of the table of sums: {row: (spilt, planned)}."""
    table = re.search(r"2 The sums.*?<tbody>(.*?)</tbody>", page, re.S)[1]
    rows = [[html.unescape(cell) for cell in re.findall(r"<td>(.*?)</td>", line)] for line in re.findall(r"<tr>(.*?)</tr>", table)]
    return {name: (spilt, planned) for name, spilt, planned in rows}


# --- words -----------------------------------------------------------------------------------------------------------------------------
@pytest.mark.parametrize("explorer", EXPLORERS, ids=NAMES)
def test_no_word_lets_anyone_go_ahead_at_any_slider_end(explorer):
    for settings in settings_of(explorer):
        assert not FORBIDDEN.search(explorer.at(**settings)["words"]), settings
    assert not FORBIDDEN.search(f"{explorer.title} {explorer.alt} {' '.join(control.label for control in explorer.controls.values())}")


def test_nor_in_the_sheet():
    for names in itertools.chain.from_iterable(itertools.combinations(FULL, n) for n in (0, 1, len(FULL) - 1, len(FULL))):
        made = risk_sheet.draft(**{name: FULL[name] for name in names})
        assert not FORBIDDEN.search(words(made.page)) and not FORBIDDEN.search(repr(made)), names


@pytest.mark.parametrize("name", [f"{LESSON}.ipynb", f"answers/{LESSON}.ipynb"])
def test_nor_in_the_lesson_and_its_answers_as_stored(name):
    for cell in json.loads((LESSONS / name).read_text(encoding="utf-8"))["cells"]:
        said = "".join(cell["source"]) + "".join("".join(output.get("text", output.get("data", {}).get("text/plain", "")))
                                                 for output in cell.get("outputs", ()))
        assert not FORBIDDEN.search(said), said


@pytest.mark.parametrize("name", ["nitrogen_and_the_room", "crystals_and_pieces"])
def test_nor_in_the_exercises(name):
    for exercise in bank.exercises(name).values():
        for number in (None, *range(8)):
            said = " ".join((exercise.title, exercise.text(number), *exercise.way(number), *(slip.hint for slip in exercise.slips)))
            assert not FORBIDDEN.search(said) and not PASSED.search(said), said


def test_no_room_passes_in_lessons_and_faults():
    files = [LESSONS / f"{sub}{name}.ipynb" for sub in ("", "answers/") for name in (LESSON, "42_crystals_and_pieces")]
    told = [path.read_text(encoding="utf-8") for path in (*files, DATASETS / "faults.csv", DATASETS / "cautions.csv")]
    assert PASSED.search("a room that lesson 41 has passed") and PASSED.search("The room has passed the sum") and PASSED.search("Lesson 41's sum passes")
    assert [found[0] for text in told for found in PASSED.finditer(text)] == []


def test_no_exercise_asks_an_amount_without_the_air_it_stands_in():
    """Kilograms or litres of nitrogen that are planned or stored: cubic metres stand in the question, oxygen in the way."""
    for key in ("KILOGRAMS", "LITRES", "TO_ORDER"):
        exercise = bank.exercises("nitrogen_and_the_room")[key]
        for number in (None, *range(8)):
            assert "m³" in exercise.text(number) and "spill sum" in exercise.text(number), key
            assert re.search(r"oxygen (falls )?to \d", " ".join(exercise.way(number))), key


# --- the spill first, rounded to the side of caution ---------------------------------------------------------------------------------------
@pytest.mark.parametrize("explorer", EXPLORERS[:2], ids=NAMES[:2])
def test_spill_then_plan_then_amount_wherever_the_sliders_stand(explorer):
    for settings in settings_of(explorer):
        reading = explorer.at(**settings)
        said, plan = reading["words"], reading["plan"]
        spilt, planned, amount = (said.index(part) for part in ("spilt at once", "As planned", "It takes"))
        assert spilt < planned < amount
        assert "optimistic" in said and "pour point and at the floor" in said and "propped door is not ventilation" in said
        oxygen = [float(found) for found in re.findall(r"oxygen falls to ([\d.]+) %", said)]
        gas = [float(found.replace(" ", "")) for found in re.findall(r"([\d. ]+) m³ of gas; oxygen", said)]
        for shown, of_gas, case in zip(oxygen, gas, plan.cases[:2], strict=True):
            assert shown <= case.oxygen.m_as("percent") and of_gas >= case.gas.m_as("m**3") * (1 - 1e-12)
        liquid = float(re.search(r"that is ([\d.]+) L of liquid", said)[1])
        assert liquid >= plan.need.liquid.m_as("L") * (1 - 1e-12)


def test_the_oxygen_of_the_picture_ends_where_its_words_do():
    for settings in settings_of(explore.room):
        reading = explore.room.at(**settings)
        for what, case in zip(explore.CASES, reading["plan"].cases):
            assert reading["path"][what].min() == pytest.approx(case.oxygen.m_as("percent"), abs=1e-6)
        assert 0 <= reading["layer"] <= explore.HIGH


def test_the_gas_at_the_floor_is_all_of_the_gas():
    """10 L in 40 m³, 2.5 m high: 6.92 m³ over 16 m² of floor, by hand 43 cm deep."""
    reading = explore.room.at(room=40, vessel=10, case="spilt")
    assert reading["layer"] == pytest.approx(0.433, abs=5e-4) and reading["side"] == pytest.approx(4)


def test_each_kilojoule_is_paid():
    for settings in settings_of(explore.cold):
        reading = explore.cold.at(**settings)
        paid = reading["kilojoules"]
        out = sum(paid[name] for name in ("cooling", "freezing", "bowl", "extra"))
        assert out == pytest.approx(paid["boiling"] + paid["caught"]) and reading["out"].m_as("kJ") == pytest.approx(out)
        mass = reading["plan"].need.mass.m_as("kg")
        target = reading["target"].m_as("kelvin")
        warming = (CP.PropsSI("H", "T", target, "P", 101325, "Nitrogen") - CP.PropsSI("H", "P", 101325, "Q", 1, "Nitrogen")) / 1e3
        assert paid["caught"] + paid["lost"] == pytest.approx(mass * warming, rel=2e-3)


def test_a_shut_bottle_never_shows_less_than_the_equation_of_state():
    for fill in (1, 5, 20, 50, 100):
        said = explore.closed.at(fill=fill)["words"]
        shown = float(re.search(r"come to ([\d. ]+) bar", said)[1].replace(" ", ""))
        density = fill / 100 * CP.PropsSI("D", "P", 101325, "Q", 0, "Nitrogen") + (1 - fill / 100) * CP.PropsSI("D", "P", 101325, "Q", 1, "Nitrogen")
        real = CP.PropsSI("P", "D", density, "T", 293.15, "Nitrogen") / 1e5
        assert real <= shown <= 1.02 * real
        assert "no fill that is small enough" in said.casefold()
    assert explore.ideal(1.0) == pytest.approx(701, abs=1)                     # cold gas law of a full vessel, by hand 806 x 8.314 x 293.15 / 0.028


def test_every_limit_line_of_the_picture_has_a_short_name():
    assert {line["source"] for line in room.limits("oxygen")} == set(explore.SHORT)


def test_figures_of_steam_in_the_lesson():
    """The claim about the pot: 2257 kJ/kg and 1.67 m³/kg at the boil, 2.34 kPa over water at 20 °C."""
    boil = dict(P=101325)
    heat = CP.PropsSI("H", "P", 101325, "Q", 1, "Water") - CP.PropsSI("H", "P", 101325, "Q", 0, "Water")
    assert heat / 1e3 == pytest.approx(2257, abs=1) and 1 / CP.PropsSI("D", "P", boil["P"], "Q", 1, "Water") == pytest.approx(1.67, abs=0.005)
    assert CP.PropsSI("P", "T", 293.15, "Q", 0, "Water") / 1e3 == pytest.approx(2.34, abs=0.005)
    source = (LESSONS / f"{LESSON}.ipynb").read_text(encoding="utf-8")
    assert all(number in source for number in ("2257", "1.67", "2.34"))


# --- the draft ---------------------------------------------------------------------------------------------------------------------------
def test_the_sums_of_the_sheet_by_hand():
    """10 L in 40 m³: 10 x 692.2 L = 6.922 m³, 20.9 (1 - 0.17305) = 17.28 %. 3 kg at 2 kg a kilogram: 6 / 0.806 = 7.443 L."""
    made = risk_sheet.draft(**FULL)
    table = sums(made.page)
    assert table["liquid nitrogen"] == ("10.0 L", "7.45 L")
    assert table["gas at 20 °C and sea level; a warmer or higher room has more"] == ("6.93 m³", "5.16 m³")
    oxygen = table["oxygen, mean of the room, falls to"]
    assert oxygen[0] == "17.2 %" and float(oxygen[1].split()[0]) <= made.planned.oxygen.m_as("percent")
    assert float(oxygen[1].split()[0]) > 17.2                # a smaller amount, over a quarter of an hour, with the fan
    assert table["limit lines crossed"][0].startswith("below 19.5 %") and "18 %" in table["limit lines crossed"][0]
    assert "at least 9.50 min" in table["after the last gas, until the first line is kept again"][0]   # ln(3.617 / 1.4) / 6 h = 9.49 min
    assert "3.87 L" in words(made.page)                      # (1 - 19.5 / 20.9) 40 / 0.6922


def test_spilt_stands_before_planned_and_cautions_before_both():
    page = words(risk_sheet.draft(**FULL).page)
    assert page.index("kills without warning") < page.index("everything spilt at once") < page.index("as planned") < page.index("optimistic")
    assert page.index("no permission") < page.index("1 Room")


@pytest.mark.parametrize("missing", list(FULL))
def test_what_is_missing_stays_empty(missing):
    made = risk_sheet.draft(**{name: value for name, value in FULL.items() if name != missing})
    table = sums(made.page)
    if missing in ("room", "vessel"):
        assert made.spilt is made.planned is None and not any("".join(cells) for cells in table.values())
        assert "gas;" not in repr(made) and "No sum" in repr(made)
    elif missing == "base":
        assert made.planned is None and all(table[name][0] and not table[name][1] for name in table)
    elif missing == "air_changes":
        assert table["after the last gas, until the first line is kept again"][0] == ""
        assert made.planned.oxygen < risk_sheet.draft(**FULL).planned.oxygen           # no fan counts
    elif missing == "minutes":
        at_once = room.oxygen_if_spilt(made.planned.amount, FULL["room"])
        assert made.planned.oxygen.m == pytest.approx(at_once.m) and "no minutes are given" in table["liquid nitrogen"][1]
    label = {"room": "Free air", "vessel": "Liquid nitrogen in the room", "air_changes": "Air changes", "base": "Base to freeze",
             "minutes": "Minutes for", "container": "Kind of vessel"}[missing]
    assert re.search(rf"<td>{label}[^<]*</td><td></td>", made.page) and len(made.empty) >= 1


def test_nothing_given_leaves_no_figure_in_the_sums():
    made = risk_sheet.draft()
    assert not any("".join(cells) for cells in sums(made.page).values()) and len(made.empty) == 7
    facts = re.search(r"1 Room, vessel, plan.*?<tbody>(.*?)</tbody>", made.page, re.S)[1]
    assert set(re.findall(r"<td>[^<]*</td><td>(.*?)</td>", facts)) == {""}


def test_nothing_is_ticked_and_a_competent_person_reads_it():
    page = risk_sheet.draft(**FULL).page
    assert not re.search(r"<input|[☑☒☐✓✔✗]", page) and "<script" not in page
    for blank in ("read by (competent person)", "Monitor number", "Last tested on", "Who pours", "Second trained person", "metres", "Emergency number",
                  "Where outdoors", "Supplier's sheet: date", "Coldest temperature served", "Date, signature", "Extract started before the first pour"):
        assert blank in html.unescape(page)
    for label in ("Monitor number", "Date, signature", "Emergency number", "Alarms at"):
        assert re.search(rf"<td>{label}</td><td></td>", page), label


def test_the_most_used_is_a_bound_on_the_rows_and_on_the_heat_sum():
    per_base, _ = risk_sheet.most_used()
    heat = nitrogen.base_heat(Q_(4, "degC"), Q_(-8, "degC"), Q_(25, "percent"), Q_(52.8, "percent")).total
    need = nitrogen.needed(Q_(3, "kg"), heat, Q_(-8, "degC"), 0, Q_(20, "percent"), Q_(1.5, "kg"), "stainless steel", Q_(20, "degC"))
    assert per_base == 2.0 and 3 * per_base > need.mass.m_as("kg")


def test_own_pour_takes_the_place_of_the_bound():
    made = risk_sheet.draft(**{**FULL, "pour": Q_(4, "L")})
    assert made.planned.amount == Q_(4, "L") and "most on record" not in words(made.page)


def test_more_planned_than_is_said_to_be_there_counts_as_spilt():
    made = risk_sheet.draft(room=Q_(40, "m**3"), vessel=Q_(2, "L"), pour=Q_(6, "L"))
    assert made.spilt.amount == Q_(6, "L") and sums(made.page)["liquid nitrogen"][0] == "6.00 L"


@pytest.mark.parametrize("bad, error", [
    (dict(container="cream siphon"), room.Refused), (dict(container="bucket of gold"), ValueError), (dict(room=Q_(0, "m**3")), OutOfRange),
    (dict(vessel=Q_(-1, "L")), OutOfRange), (dict(air_changes=Q_(-2, "1/hour")), OutOfRange), (dict(room=40), TypeError)])
def test_refusals(bad, error):
    with pytest.raises(error):
        risk_sheet.draft(**bad)


# --- the command -----------------------------------------------------------------------------------------------------------------------
def test_writes_the_page_and_keeps_an_earlier_one(tmp_path, capsys):
    asked = ["sheet", "nitrogen", "--room", "40m3", "--vessel", "10 L", "--air-changes", "6", "--base", "3 kg", "--to", str(tmp_path)]
    assert command.main(asked) == 0
    said = capsys.readouterr().out
    assert said.index("spilt at once") < said.index("As planned") and risk_sheet.NAME in said
    page = (tmp_path / risk_sheet.NAME).read_text(encoding="utf-8")
    (tmp_path / risk_sheet.NAME).write_text("mine", encoding="utf-8")
    assert command.main(asked) == 2 and "there already" in capsys.readouterr().err
    assert (tmp_path / risk_sheet.NAME).read_text(encoding="utf-8") == "mine"
    assert command.main([*asked, "--overwrite"]) == 0 and (tmp_path / risk_sheet.NAME).read_text(encoding="utf-8") == page


@pytest.mark.parametrize("arguments, said", [
    (["--room", "40"], "no unit"), (["--room", "0m3"], "room"), (["--vessel", "8 kg"], "another kind"), (["--base", "3 L"], "another kind"),
    (["--air-changes", "-2"], "air_changes"), (["--room", "big"], "cannot be read"), (["--container", "cream siphon"], "bursts"),
    (["--container", "dewar"], "dewar")])
def test_bad_input_is_one_sentence_and_nothing_is_written(arguments, said, tmp_path, capsys):
    assert command.main(["sheet", "nitrogen", *arguments, "--to", str(tmp_path)]) == 2
    error = capsys.readouterr().err.strip()
    assert said in error and "\n" not in error and "Traceback" not in error and not list(tmp_path.iterdir())


def test_the_kinds_of_sheet_are_named(capsys):
    assert sheet.main(["nitrogne"]) == 2 and "did you mean 'nitrogen'?" in capsys.readouterr().err
    assert sheet.main(["xx"]) == 2 and "nitrogen" in capsys.readouterr().err
    assert sheet.main(["--help"]) == 0 and "nitrogen" in capsys.readouterr().out and sheet.main([]) == 2


@pytest.mark.browser
@pytest.mark.parametrize("given", [FULL, {}, {**FULL, "room": Q_(8, "m**3"), "vessel": Q_(50, "L")}], ids=["full", "empty", "worst"])
@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_prints_on_two_pages(given, paper, tmp_path):
    browser = shutil.which("chromium") or shutil.which("chromium-browser") or shutil.which("google-chrome")
    assert browser, "Chromium is missing"
    page, printed = tmp_path / "sheet.html", tmp_path / "sheet.pdf"
    page.write_text(risk_sheet.draft(**given).page.replace("@page {", f"@page {{ size: {paper};"), encoding="utf-8")
    subprocess.run([browser, "--headless", "--no-sandbox", "--disable-gpu", f"--user-data-dir={tmp_path / 'profile'}", "--no-pdf-header-footer",
                    f"--print-to-pdf={printed}", page.as_uri()], check=True, capture_output=True, timeout=120)
    written = printed.read_bytes()
    assert 1 <= len(re.findall(rb"/Type\s*/Page\b", written)) <= 2
    width = float(re.search(rb"/MediaBox\s*\[\s*0 0 ([\d.]+)", written)[1])
    assert width == pytest.approx({"A4": 595, "Letter": 612}[paper], abs=1)
