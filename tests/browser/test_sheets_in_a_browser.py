"""All that prints, in a real browser: names and words for everything, reflow at 200 % zoom, and what people typed stays text."""
import pytest
from conftest import Browser

from kitchenlib import files, tables
from kitchenlib.__main__ import main
from kitchenlib.teaching import answers
from kitchenlib.teaching.bank import start_here as ask

pytestmark = pytest.mark.browser
ZOOMED = (683, 384)                                          # 1366 x 768 at 200 %
EVIL = "<img src=x onerror=document.title='run'></script><script>document.title='run'</script>"
ID = "<img src=x onerror=document.title=1>"
SHEETS = (["handout", "12", "--text", "--class", ID, "--student", ID], ["handout", "12", "--answers", "--class", ID, "--student", ID],
          ["handout", "12", "--list", "{list}", "--names", "--one-file", "--class", ID], ["handout", "12", "--list", "{list}", "--answers", "--class", ID],
          ["card", "all"], ["sheet", "class", "12", "--class", ID], ["sheet", "rubric", "12", "--class", ID], ["sheet", "tasting", "12", "--class", ID],
          ["sheet", "pass"], ["sheet", "trust"], ["sheet", "nitrogen"], ["mark", "{own}", "--class", ID])
MADE = ("handout", "answers", "pearls", "spheres", "sauce", "ice", "gel", "rescue", "class", "rubric", "tasting", "service", "trust", "nitrogen", "marks")


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    """Every printed page there is, made by someone whose shelf, id, class, list and answers are full of HTML -> {name: path}."""
    own, into = tmp_path_factory.mktemp("own"), tmp_path_factory.mktemp("sheets")
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("KITCHENLIB_HOME", str(own))
        patch.setattr(answers, "_waiting", [])
        files.keep_settings(student=ID, **{"class": ID})
        for name, value, unit in (("is", "agar", ""), ("gel_strength", "900", "g/cm²")):
            tables.add_to_shelf({"product": EVIL, "property": name, "value": value, "unit": unit, "note": EVIL, "lot": EVIL})
        first = ask.MILLILITRES
        for typed in (EVIL[:50], "1 g", EVIL[:40]):
            answers.keep(first.key, str(first.number(answers.counted(ID), answers.counted(ID))), answers.clean(typed))
        listed = own / "list.csv"
        files.write_whole(listed, [("student", "name"), (ID, EVIL), (EVIL, ID)])
        for command in SHEETS:
            assert main([*(word.format(list=listed, own=own) for word in command), "--to", str(into), "--overwrite"]) == 0, command
    made = {path.stem: path for path in into.glob("*.html")}
    assert {stem.partition("-")[0] for stem in made} == set(MADE)
    return made


def test_every_sheet_has_names_reflows_and_runs_nothing(chromium, folder, tmp_path):
    browser = Browser(chromium, None, tmp_path)
    chromium.get("about:blank")
    for stem, path in folder.items():
        browser.open(path.as_uri())
        assert browser.driver.title not in ("run", "1") and not browser.all("img[src=x]"), stem
        text = browser.run("return document.documentElement.textContent")
        assert EVIL in text or ID in text, f"{stem} does not show what was typed"
        assert browser.axe() == [], stem
        browser.shot(stem)
        browser.open(path.as_uri(), ZOOMED)
        wide = browser.run("""const room = document.documentElement.clientWidth;
            return [...document.querySelectorAll("body *")].filter(e => e.getBoundingClientRect().right > room + 1 && !e.closest("table, math"))
                .map(e => `${e.tagName} ${e.textContent.slice(0, 40)}`).slice(0, 4)""")
        assert wide == [], stem
