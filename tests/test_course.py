"""The course as a whole: every lesson listed where one looks for it, with the minutes it says; links that lead somewhere; honest minutes."""
import base64
import re
from pathlib import Path

import nbformat
import pytest

from kitchenlib.teaching import bank, refresh
from kitchenlib.teaching.copies import name

ROOT = Path(__file__).resolve().parent.parent
LESSONS = sorted((ROOT / "lessons").glob("[0-9][0-9]_*.ipynb"))
PAGES = [*LESSONS, *sorted((ROOT / "lessons" / "answers").glob("*.ipynb"))]
A_MINUTE, AN_EXPLORER = 200, 5           # words read in a minute; minutes to guess, move and talk at an explorer (ours)


def texts(path):
    return [cell.source for cell in nbformat.read(path, 4).cells if cell.cell_type == "markdown"]


def minutes(path):
    return int(re.search(r"\*\*(\d+) minutes", texts(path)[0])[1])


@pytest.mark.parametrize("path", LESSONS, ids=lambda path: path.stem)
def test_minutes_are_those_of_text_explorers_and_core_exercises(path):
    cells, words, further = nbformat.read(path, 4).cells, 0, False
    for cell in cells:
        if cell.cell_type == "markdown":
            further = cell.source.startswith("## Further") or further and not cell.source.startswith("## ")
            if not (further and cell.source.startswith("### ")):
                words += len(re.findall(r"\w+", re.sub(r"\$.*?\$|\(\S*\.ipynb\)", "", cell.source, flags=re.S)))
    explorers = sum("explorer" in cell.metadata.get("tags", ()) for cell in cells)
    module = bank.module_of(path.stem)
    core = sum(exercise.minutes for exercise in bank.exercises(module).values()) if module else 0
    assert -5 <= minutes(path) - (words / A_MINUTE + core + AN_EXPLORER * explorers) <= 12


@pytest.mark.parametrize("path", LESSONS, ids=lambda path: path.stem)
def test_readme_and_start_page_list_the_lesson_with_its_minutes(path):
    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    assert re.search(rf"^\| `{path.stem}` \| {minutes(path)} \|", readme, re.M), f"README.md has no row of {path.stem} with {minutes(path)} minutes"
    if path != LESSONS[0]:
        start = "\n".join(texts(LESSONS[0]))
        assert re.search(rf"\| {minutes(path)} \| \[[^\]]+\]\({path.name}\) \| \[page\]\(/voila/render/{path.name}\) \|", start), "nor has the start page"


@pytest.mark.parametrize("path", PAGES, ids=lambda path: f"{path.parent.name}-{path.stem}")
def test_links_lead_somewhere(path):
    for text in texts(path):
        for target in re.findall(r"\]\(([^)#]+)\)", text):
            if target.startswith("/voila/render/"):
                assert (ROOT / "lessons" / target.removeprefix("/voila/render/")).exists(), target
            elif not target.startswith("http"):
                assert (path.parent / target).exists(), target


OWN = {"shelf.csv", "settings.csv", "ids.csv"}      # the user's, in their own folder


@pytest.mark.parametrize("name", ["README.md", "DEVELOPERS.md"])
def test_what_the_guides_link_and_name_is_there(name):
    text = (ROOT / name).read_text(encoding="utf-8")
    here = [f"/{path.relative_to(ROOT).as_posix()}" for path in ROOT.rglob("*") if path.suffix and ".git" not in path.parts]
    linked = [target for target in re.findall(r"\]\(([^)#]+)", text) if not target.startswith("http")]
    named = re.findall(r"(?<![\w/<>.*-])((?:\w+/)*\w+\.(?:py|csv|ipynb|md|toml|txt|cfg|js|css))\b", text)
    assert linked or named
    assert [target for target in linked if not (ROOT / target).exists()] == []
    assert [file for file in named if file not in OWN and "NN" not in file and not any(path.endswith(f"/{file}") for path in here)] == []


@pytest.mark.parametrize("path", PAGES, ids=lambda path: f"{path.parent.name}-{path.stem}")
def test_the_page_s_title_is_its_heading(path):
    """A lesson begun as a copy of another kept the other's title in the browser's tab."""
    heading = re.match(r"# +(.+?)\s*$", texts(path)[0], re.MULTILINE)[1]
    assert nbformat.read(path, 4).metadata.get("title", f"none: python -m kitchenlib refresh {path.stem}") == heading


def test_each_lesson_says_what_it_needs_and_leads_on_in_teaching_order():
    for path, after in zip(LESSONS, [*LESSONS[1:], None]):
        first, last = texts(path)[0], texts(path)[-1].splitlines()[-1]
        needs = re.search(r"Needs: (.+)", first)
        assert path == LESSONS[0] or all((ROOT / "lessons" / file).exists() and file < path.name for file in re.findall(r"\((\S+\.ipynb)\)", needs[1]))
        assert f"Next{', in teaching order' * (path == LESSONS[0])}: [{name(after.stem)}]({after.name})" in last if after else "the last one" in last, path.stem
        assert path == LESSONS[0] or "[start page](00_start_here.ipynb)" in last, path.stem


@pytest.mark.parametrize("path", PAGES, ids=lambda path: f"{path.parent.name}-{path.stem}")
def test_a_lesson_goes_by_one_name(path):
    for words, file in re.findall(r"\[(\d\d [^\]]+)\]\((?:\.\./)?(\S+\.ipynb)\)", "\n".join(texts(path))):
        assert words == name(Path(file).stem), words


def test_guess_first_then_move():
    for path in LESSONS:
        cells = nbformat.read(path, 4).cells
        for before, cell in zip(cells, cells[1:]):
            if "explorer" in cell.metadata.get("tags", ()):
                assert "**Guess first" in before.source.split("\n## ")[-1], (path.stem, cell.source)


def test_every_lesson_that_can_hurt_opens_with_its_caution():
    for path in LESSONS:
        assert "> **Caution.**" in texts(path)[0], f"{path.stem}: its first cell has no caution"


def test_the_readmes_pictures_are_those_that_the_lessons_store():
    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    shown = re.findall(r"!\[([^\]]+)\]\((lessons/pictures/\S+\.png)\)", readme)
    assert len(shown) == len(refresh.SHOWN) == 3 and all(len(words.split()) > 8 for words, _ in shown)
    for stem, name in refresh.SHOWN.items():
        file = ROOT / "lessons" / "pictures" / f"{stem[:2]}_{name}.png"
        cells = nbformat.read(ROOT / "lessons" / f"{stem}.ipynb", 4).cells
        stored = next(output.data["image/png"] for cell in cells if cell.source.strip() == f"explore.{name}" for output in cell.outputs)
        assert file.relative_to(ROOT).as_posix() in [path for _, path in shown] and file.read_bytes() == base64.b64decode(stored)


PLAN = ("The question at the bench", "What it means for the hands", "Measure it yourself", "Exercises", "Further practice", "Faults and rescue",
        "What the model leaves out")
ALL_OF_IT_IS = {"50_bench_readings": "Measure it yourself"}      # a whole lesson of it: its pages and tables stand before the hands


@pytest.mark.parametrize("path", LESSONS[1:], ids=lambda path: path.stem)
def test_every_lesson_follows_the_one_plan(path):
    """Setup; question; idea and sums; explorers; hands; bench; exercises, core and further; faults; what is left out, checked, sources, next."""
    cells = nbformat.read(path, 4).cells
    parts = [(n, title) for n, cell in enumerate(cells) if cell.cell_type == "markdown" for title in re.findall(r"^## (.+)$", cell.source, re.M)]
    assert [title for _, title in parts if title in PLAN] == [title for title in PLAN if title != ALL_OF_IT_IS.get(path.stem)]
    assert parts[0][1] == PLAN[0] and parts[-1][1] == PLAN[-1]
    at = {title: n for n, title in parts}
    tagged = {tag: [n for n, cell in enumerate(cells) if tag in cell.metadata.get("tags", ())] for tag in ("setup", "explorer", "exercise")}
    assert tagged["setup"] == [1] and tagged["explorer"] and tagged["exercise"]
    assert max(tagged["explorer"]) < at[PLAN[1]] <= min(tagged["exercise"]) and max(tagged["exercise"]) < at["Faults and rescue"]
    assert all(at["Exercises"] <= n for n in tagged["exercise"]) and cells[-1].cell_type == "markdown"
    for before, cell in zip(cells, cells[1:]):
        assert "markdown" in (before.cell_type, cell.cell_type), f"no text before {cell.source}"
