"""Sheets for a class: amounts by hand, nothing lost between station and shop, cautions first, minutes that add up, data that hang together."""
import re
import shutil
import subprocess

import nbformat
import pypdf
import pytest

from kitchenlib import checks, files, rules, tables
from kitchenlib import __main__ as command
from kitchenlib.mixes import Mix
from kitchenlib.teaching import bank, class_sheet, handout, rubric_sheet, sheet, sheets, tasting_sheet, trust
from kitchenlib.teaching.copies import LESSONS
from kitchenlib.units import Q_, Quantity
from wording import FORBIDDEN, words

FOLDER = files.DATASETS / "class"
LESSON_PAGES = {path.stem[:2]: path for path in sorted(LESSONS.glob("[0-9][0-9]_*.ipynb"))}
AT_NO_BENCH = {"02"}                                         # the cook's page: nothing is cooked in it
PARTS = {"before", "first", "practical", "last", "demonstration", "clean-down", *class_sheet.WITHOUT}
ROOM = class_sheet.group(24, 6)


def lines(name):
    columns, found, troubles = files.read_csv(FOLDER / f"{name}.csv")
    assert not troubles
    return [cells for _, cells in found]


# --- the data --------------------------------------------------------------------------------------------------------------------------
def test_each_lesson_at_a_bench_has_its_sheets():
    assert set(class_sheet.pages()) == set(LESSON_PAGES) - AT_NO_BENCH, "a lesson without lines in datasets/class"
    for number in class_sheet.pages():
        assert len(class_sheet.rows("outcomes", number)) == 3, f"{number}: three outcomes, each shown by something"
        assert [cells["criterion"] for cells in class_sheet.rows("rubric", number)] == ["accuracy", "hygiene", "timing", "texture"]
        own = {cells["part"] for cells in lines("steps") if cells["lesson"] == number}
        assert {"before", "practical", "demonstration", "clean-down"} <= own, f"{number}: steps.csv has only {own}"


def test_lines_say_how_they_are_known_and_are_of_a_kind():
    for name in ("things", "steps", "outcomes", "rubric", "tasting"):
        assert all(cells["how"] in ("common practice", "made", "computed") for cells in lines(name)), name
    for cells in lines("things"):
        assert cells["part"] in class_sheet.KIT + class_sheet.USED and cells["per"] in ("class", "station", "student"), cells
        assert bool(cells["model"]) == (cells["how"] == "computed"), f"{cells}: what the library works out is computed, nothing else"
        assert cells["amount"] or cells["model"] and cells["unit"], cells
    for cells in lines("steps"):
        assert cells["part"] in PARTS and cells["minutes"].isdigit() == (cells["part"] in ("first", "practical", "last")), cells
    for cells in lines("tasting"):
        assert len({cells[step] for step in tasting_sheet.FIVE}) == 5 and all(cells[step] for step in tasting_sheet.FIVE), cells
    told = [cells["outcome"] for cells in lines("outcomes")] + [cells["shown_by"] for cells in lines("outcomes")]
    assert len(set(told)) == len(told) and all(len(one.split()) >= 3 for one in told), "an outcome is shown by something of its own"


@pytest.mark.parametrize("number", class_sheet.pages())
def test_amounts_are_there_and_foods_are_known(number):
    for thing in class_sheet.things(number):
        assert thing.amount > 0 * thing.amount, thing
        assert isinstance(thing.amount, Quantity) == (thing.part in class_sheet.USED), f"{thing}: pieces are kit, amounts are used up"
        assert not thing.food or thing.food in tables.kinds(own=False), f"{thing}: {thing.food} is no food of datasets/properties; leave it empty"


# --- sums ------------------------------------------------------------------------------------------------------------------------------
def test_grams_of_agar_for_a_class_by_hand():
    """Lesson 10, seven benches: trays of 500 g at 0.5, 1.0, 1.5 % are 15 g; into 300 g of juice for 1 % go 300 / 99 = 3.0303 g. 126.2 g."""
    bought = dict(class_sheet.to_buy("10", ROOM))
    assert bought["agar"] == "127 g" and bought["carrot juice"] == "2.10 kg" and bought["250 Bloom gelatin"] == "12.0 g"
    agar = sum(thing.amount.m_as("g") for thing in class_sheet.things("10", "ingredient") if thing.what == "agar")
    assert agar == pytest.approx(2.5 + 5 + 7.5 + 300 / 99)


def test_oil_and_salt_by_hand():
    """200 g of mix of 4.18 J/(g K) fall from 55 to 14 °C: 34.3 kJ. 2.2 kg of oil by the lesson. A litre of 34 mmol/L: 147.01 x 0.034 = 5.00 g."""
    oil = next(thing for thing in class_sheet.things("12") if thing.what == "canola oil")
    capacity = {key: tables.row(key, own=False).heat_capacity.m_as("J/g/kelvin") for key in ("watery gel", "canola oil")}
    assert oil.amount.m_as("g") == pytest.approx(200 * capacity["watery gel"] * (55 - 14) / (capacity["canola oil"] * 8))
    salt = next(thing for thing in class_sheet.things("20") if thing.food == "calcium chloride dihydrate")
    assert salt.amount.m_as("g") == pytest.approx(147.01 * 0.034, rel=2e-3)


def test_a_base_stands_as_its_ingredients_and_nothing_is_lost():
    """1 kg of buttermilk ice is 650 + 150 + 140 + 60 g (freezing_bases.csv); 300 g a bench at 7 benches and 1500 g once: 3.6 kg."""
    parts = [thing for thing in class_sheet.things("40") if "buttermilk ice" in thing.note and thing.per == "class"]
    assert {thing.what: round(thing.amount.m_as("g"), 6) for thing in parts} == {"buttermilk": 975, "heavy cream": 225, "sugar": 210, "dextrose": 90}
    assert dict(class_sheet.to_buy("40", ROOM))["buttermilk"] == "2.34 kg"               # 0.65 x 3.6, and not 2.35 by a hair of rounding
    for number in class_sheet.pages():
        for cells in class_sheet.rows("things", number):
            if cells["model"] and isinstance(whole := checks.value(cells["model"], cells["inputs"]), Mix):
                made = [thing for thing in class_sheet.things(number) if thing.note.endswith(f"of {cells['what']}") and thing.per == cells["per"]]
                assert sum(thing.amount.m_as("g") for thing in made) == pytest.approx(float(cells["amount"])) and len(made) == len(list(whole.parts))


@pytest.mark.parametrize("number", class_sheet.pages())
def test_the_shop_gets_what_the_benches_take(number):
    for students, stations in ((24, 6), (1, 1), (2400, 600)):
        who = class_sheet.group(students, stations)
        bought = dict(class_sheet.to_buy(number, who))
        for what, told in bought.items():
            benches = [(stations + 1 if thing.per == "station" else students if thing.per == "student" else 1) * thing.amount
                       for thing in class_sheet.things(number, *class_sheet.USED) if thing.what == what]
            need, said = sum(benches[1:], benches[0]), Q_(float(told.split(" ")[0]), told.split(" ")[1]) if told.count(" ") == 1 else None
            said = said if said is not None else Q_(float(told.rpartition(" ")[0].replace(" ", "").replace("\u202f", "")), told.rpartition(" ")[2])
            assert need.m * (1 - 1e-9) <= said.m_as(need.units) <= need.m * 1.01 + 1e-9, (what, told, need)


@pytest.mark.parametrize("number", class_sheet.pages())
def test_minutes_add_up_and_follow_page_and_bank(number):
    path = class_sheet.pages()[number]
    desk, bench = class_sheet.plan(number)
    for steps in (desk, bench):
        assert steps[0][0] == 0 and all(a[1] == b[0] < b[1] for a, b in zip(steps, steps[1:]))
    printed = re.search(r"\*\*(\d+) minutes", nbformat.read(path, 4).cells[0].source)[1]
    core = sum(exercise.minutes for exercise in bank.exercises(bank.module_of(path.stem)).values())
    assert class_sheet.minutes(number)[0] == int(printed) and desk[-1][1] - desk[-1][0] == core < int(printed) and 20 <= bench[-1][1] <= 90


def test_needs_and_leads_to_are_two_sides_of_one_thing():
    table = {row[0][:2]: row for row in class_sheet.course().rows}
    pairs = {(need, number) for number, row in table.items() for need in row[1].split(", ") if need}
    assert pairs == {(number, later) for number, row in table.items() for later in row[2].split(", ") if later}
    assert ("10", "11") in pairs and ("40", "41") in pairs and all(need < later for need, later in pairs)


# --- the sheets ------------------------------------------------------------------------------------------------------------------------
@pytest.mark.parametrize("number", class_sheet.pages())
def test_cautions_come_before_all_else(number):
    box = words(handout.cautions(nbformat.read(class_sheet.pages()[number], 4))).split()
    made = [class_sheet.run_sheet(number, ROOM), rubric_sheet.rubric(number)]
    made += [tasting_sheet.tasting(number)] if number in tasting_sheet.tasted() else []
    for page in made:
        said = " ".join(words(page).split())
        assert " ".join(box) in said and said.index(" ".join(box)) < 300 and "<script" not in page
        assert page.index('class="caution"') < page.index("<table") if box else True


def test_a_run_sheet_holds_its_parts():
    said = words(class_sheet.run_sheet("21", class_sheet.group(24, 6, "C4")))
    for part in ("class C4, 24 students, 6 stations of 4", "To buy", "To lay out", "The day before", "At the desk", "At the bench", "Demonstration",
                 "Plan B", "Without pH meter", "Without stick blender", "Waste and clean-down", "goggles", "eye rinse"):
        assert part in said, part
    assert "some only watch" not in said and "some only watch" in words(class_sheet.run_sheet("21", class_sheet.group(25, 6)))
    assert "Without nitrogen" in words(class_sheet.run_sheet("41", ROOM)) and "Without nitrogen" not in said


def test_no_nitrogen_is_weighed_out_and_nothing_lets_anyone_go_ahead():
    for number in class_sheet.pages():
        assert not any("nitrogen" in thing.what for thing in class_sheet.things(number, "ingredient", "supply"))
    for page in (class_sheet.run_sheet("41", ROOM), rubric_sheet.rubric("41")):
        assert not FORBIDDEN.search(words(page))


def test_the_rubric_has_a_column_for_each_student():
    assert rubric_sheet.rubric("12", 3).count("<th scope=col>") - rubric_sheet.rubric("12", 1).count("<th scope=col>") == 2
    assert "together, of 12" in rubric_sheet.rubric("12")


def test_allergens_by_place_and_what_no_row_knows():
    """Mustard stands in annex II of the European Union and on no list of the United States; egg yolk on both. Facts of the law, row by row."""
    named = lambda place: {row["allergen"] for row in rules.allergens(place).rows}
    assert "mustard" in named("European Union") and "mustard" not in named("United States")
    europe, states = (" ".join(tasting_sheet.declared("30", place)) for place in ("European Union", "United States"))
    assert "eggs: pasteurized egg yolk" in europe and "mustard: yellow mustard" in europe and "soy: soy milk" in europe.replace("soybeans:", "soy:") \
        or "No row speaks of" in europe and "soy milk" in europe
    assert "mustard: yellow mustard (not on this list" in states
    assert "No place is set" in " ".join(tasting_sheet.declared("30")) and "milk: buttermilk" in " ".join(tasting_sheet.declared("40"))
    assert "trisodium citrate dihydrate: read the pack" in " ".join(tasting_sheet.declared("21"))
    assert "not vegan" in " ".join(tasting_sheet.declared("40"))


@pytest.mark.parametrize("arguments, said", [
    (["class", "77"], "lesson"), (["class", "10", "--students", "0"], "0 students"), (["class", "10", "--students", "3", "--stations", "4"], "no more"),
    (["class", "10", "--stations", "-1"], "-1 stations"), (["rubric", "10", "--students", "40"], "1 to 12"), (["tasting", "00"], "nothing is tasted"),
    (["tasting", "12", "--samples", "9"], "1 to 6"), (["clas", "10"], "did you mean 'class'")])
def test_bad_input_is_one_sentence_and_nothing_is_written(arguments, said, tmp_path, monkeypatch, capsys):
    monkeypatch.chdir(tmp_path)
    assert command.main(["sheet", *arguments]) == 2
    error = capsys.readouterr().err.strip()
    assert said in error and "\n" not in error and not list(tmp_path.iterdir())


def test_the_commands_write_and_overwrite_nothing_unasked(tmp_path, own_folder, capsys):
    for asked, name in ((["class", "12", "--students", "24", "--stations", "6", "--class", "<b>C4"], "class-12.html"), (["rubric", "12_pearls_in_cold_oil"],
                        "rubric-12.html"), (["tasting", "12", "--place", "Canada"], "tasting-12.html"), (["trust"], "trust.html")):
        asked = ["sheet", *asked, "--to", str(tmp_path)]
        assert command.main(asked) == 0 and capsys.readouterr().out.strip() == str(tmp_path / name)
        (tmp_path / name).write_text("mine", encoding="utf-8")
        assert command.main(asked) == 2 and (tmp_path / name).read_text(encoding="utf-8") == "mine" and "--overwrite" in capsys.readouterr().err
        assert command.main([*asked, "--overwrite"]) == 0
        capsys.readouterr()
    page = (tmp_path / "class-12.html").read_text(encoding="utf-8")
    assert "&lt;b&gt;C4" in page and "<b>C4" not in page
    assert words((tmp_path / "trust.html").read_text(encoding="utf-8")).replace("\u00a0", " ") == words(trust.page()).replace("\u00a0", " ")
    assert re.search("[0-9]\u00a0g<", page)                              # no line ends between a number and its unit


def test_the_place_of_the_start_page_counts(own_folder, tmp_path):
    files.keep_settings(place="Canada")
    assert command.main(["sheet", "tasting", "30", "--to", str(tmp_path)]) == 0
    assert "The list: Canada:" in words((tmp_path / "tasting-30.html").read_text(encoding="utf-8"))


def test_all_kinds_are_named_in_the_help(capsys):
    sheet.main(["--help"])
    said = capsys.readouterr().out
    assert all(f"  {kind} " in said for kind in sheet.KINDS) and set(sheet.KINDS) >= {"class", "rubric", "tasting", "trust", "nitrogen"}


# --- the guide -------------------------------------------------------------------------------------------------------------------------
def test_the_guide_names_commands_that_exist_and_links_that_lead_somewhere():
    path = LESSONS / "answers" / "00_start_here.ipynb"
    text = "\n".join(cell.source for cell in nbformat.read(path, 4).cells if cell.cell_type == "markdown")
    asked = re.findall(r"python -m kitchenlib (\w+)(?: (\w+))?", text)
    assert asked and all(name in command.COMMANDS for name, _ in asked)
    shown = {kind for name, kind in asked if name == "sheet"}
    assert shown == set(sheet.KINDS), f"the guide shows no command for {set(sheet.KINDS) - shown}, or one that is none: {shown - set(sheet.KINDS)}"
    for target in re.findall(r"\]\(([^)]+\.ipynb)\)", text):
        assert (path.parent / target).exists(), target
    for word in ("formative", "secret", "--with-answers", "without this folder"):
        assert word in text, word


# --- on paper --------------------------------------------------------------------------------------------------------------------------
def printed(page, paper, folder):
    """[(text, {height above the page's lower edge: text})] of each page, as headless Chromium prints it and pypdf reads it back."""
    browser = shutil.which("chromium") or shutil.which("chromium-browser") or shutil.which("google-chrome")
    assert browser, "Chromium is missing"
    source, made = folder / "sheet.html", folder / "sheet.pdf"
    source.write_text(page.replace("@page {", f"@page {{ size: {paper};"), encoding="utf-8")
    subprocess.run([browser, "--headless", "--no-sandbox", "--disable-gpu", f"--user-data-dir={folder / 'profile'}", "--no-pdf-header-footer",
                    f"--print-to-pdf={made}", source.as_uri()], check=True, capture_output=True, timeout=120)
    found = pypdf.PdfReader(made).pages
    assert float(found[0].mediabox.width) == pytest.approx({"A4": 595, "Letter": 612}[paper], abs=1)
    read = []
    for leaf in found:
        heights = []
        leaf.extract_text(visitor_text=lambda text, cm, tm, font, size: heights.append((tm[5] * cm[3] + cm[5], text.strip())) if text.strip() else None)
        read.append((" ".join(leaf.extract_text().split()), heights))
    return read


@pytest.mark.browser
def test_a_rubric_is_one_leaf_even_under_the_longest_caution(tmp_path):
    longest = max(class_sheet.pages(), key=lambda number: len(handout.cautions(nbformat.read(class_sheet.pages()[number], 4))))
    assert len(printed(rubric_sheet.rubric(longest, 6), "Letter", tmp_path)) == 1


@pytest.mark.browser
@pytest.mark.parametrize("paper", ["A4", "Letter"])
@pytest.mark.parametrize("kind", ["class", "handout", "together", "rubric", "tasting"])
def test_paper_holds_the_words_with_cautions_on_page_one(kind, paper, tmp_path, own_folder):
    path = class_sheet.pages()["12"]
    ann, ben = handout.Student("s-01", "c4"), handout.Student("s-02", "c4")
    page = {"class": lambda: class_sheet.run_sheet("12", class_sheet.group(24, 6, "c4")), "handout": lambda: handout.handout(path, ann),
            "together": lambda: handout.together(path, [ann, ben]), "rubric": lambda: rubric_sheet.rubric("12", 4, "c4"),
            "tasting": lambda: tasting_sheet.tasting("12", "Canada", 3, "c4")}[kind]()
    leaves = printed(page, paper, tmp_path)
    box = " ".join(words(handout.cautions(nbformat.read(path, 4))).split())
    assert box in leaves[0][0] and len(leaves) <= {"class": 4, "rubric": 1, "tasting": 2, "handout": 6, "together": 12}[kind]
    foot = " ".join(sheets.foot("class c4" if kind != "handout" else ann.said()).split())
    for number, (text, heights) in enumerate(leaves, 1):
        assert foot in text, f"page {number}: version, date, shelf and class"
        in_margin = [words_there for y, words_there in heights if y < 54]                 # 20 mm are 56.7 points
        assert in_margin and in_margin[0].startswith("kitchenlib ") and all(words_there in foot for words_there in in_margin), \
            f"page {number}: the foot stands in the margin and covers no line"
    whole = " ".join(text for text, _ in leaves)
    if kind == "class":
        assert "To buy, for the whole class" in whole and "canola oil" in whole and "counted out and counted in" in whole
    if kind in ("handout", "together"):
        for student in (ann, ben) if kind == "together" else (ann,):
            for exercise in bank.exercises("pearls_in_cold_oil").values():
                assert " ".join(exercise.text(student.number(exercise)).split()) in whole
    if kind == "together":
        second = next(n for n, (text, _) in enumerate(leaves) if "student s-02" in text.replace(foot, ""))
        assert box in leaves[second][0] and second > 0, "each student's sheet begins on a leaf of its own, cautions first"
