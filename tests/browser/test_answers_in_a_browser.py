"""Answering in JupyterLab as a student does: a wrong answer and its hint, a reload, a right answer and its steps."""
import json

import pytest
from selenium.common.exceptions import TimeoutException
from selenium.webdriver.common.keys import Keys

from kitchenlib.teaching import answers
from kitchenlib.teaching.bank import start_here as ask

pytestmark = pytest.mark.browser
LESSON = "00_start_here"
QUESTION = ask.MILLILITRES
BOX = f'.k-answer[aria-label="Answer: {QUESTION.title}"]'


def open_and_run(browser):
    """Open the lesson in JupyterLab afresh and run all of it -> the live answer box."""
    browser.open(browser.start.lab(LESSON))
    browser.one(".jp-Notebook .jp-MarkdownOutput h1")
    for patience in (45, 90, 180):                           # a click before the kernel is there runs nothing, and nobody says so
        browser.one(".lm-MenuBar-item[data-command='runmenu'], .lm-MenuBar-item:nth-child(4)").click()
        item = browser.one(".lm-Menu-item[data-command='runmenu:run-all']")
        browser.until(lambda _: item.is_displayed())
        item.click()
        try:
            return browser.scroll_to(browser.one(BOX, patience))
        except TimeoutException:
            continue
    raise AssertionError("the lesson's answer box did not come")


def answer(browser, typed):
    """Type an answer over what stands there, send it by the Enter key, and wait for what is said to it."""
    field = browser.one(f"{BOX} input")
    before = spoken(browser)
    browser.scroll_to(field)
    field.send_keys(Keys.CONTROL, "a")
    field.send_keys(typed, Keys.ENTER)
    return browser.until(lambda _: spoken(browser) not in ("", before) and spoken(browser), 30, f"nothing is said to {typed!r}")


def spoken(browser):
    return browser.one(f"{BOX} [role=status]").text


def steps(browser):
    return [step.text for step in browser.all(f"{BOX} .k-answer-steps li")]


@pytest.fixture
def textbook(start):
    """No student id is set in the running start's folder, and no answers are there, before and after."""
    def forget():
        for path in start.home.glob("*answers-*.csv*"):
            path.unlink()
    forget()
    assert not (start.home / "settings.csv").exists()
    yield start.home / answers.file_name(answers.Who("", ""))
    forget()


def test_wrong_then_reloaded_then_right(browser, textbook):
    value, _, hint = QUESTION.solved().slips[0]
    wrong, right = QUESTION.put(value), QUESTION.put(QUESTION.solved().truth)
    open_and_run(browser)
    assert spoken(browser) == "" and steps(browser) == [] and browser.one(f"{BOX} input").get_attribute("value") == ""

    assert answer(browser, wrong) == f"Slip: {hint}" and steps(browser) == []
    browser.shot("answer_wrong")
    assert browser.axe(BOX) == []

    browser.until(lambda _: textbook.exists() and wrong in textbook.read_text(encoding="utf-8"), 10, "the answer is not kept")
    open_and_run(browser)
    browser.until(lambda _: browser.one(f"{BOX} input").get_attribute("value") == wrong, 30, "the answer has gone with the reload")
    assert spoken(browser) == f"Slip: {hint}" and steps(browser) == []

    assert answer(browser, right) == "Right."
    assert steps(browser) == list(QUESTION.way())
    browser.shot("answer_right")
    assert browser.axe(BOX) == []
    assert [record.answer for record in answers.read(textbook)[0]] == [wrong, right]
    assert browser.asked_outside() == []


def test_what_is_typed_is_text_and_keys_stay_in_the_box(browser, textbook):
    open_and_run(browser)
    cells = len(json.loads((browser.start.home / f"{LESSON}.ipynb").read_text(encoding="utf-8"))["cells"])
    browser.until(lambda _: len(browser.all(".jp-Cell")) == cells, 180, "not all cells are in the page")     # Lab puts them in when idle
    said = answer(browser, "<img src=x onerror=document.title='run'>aabbdd")          # a, b, dd make and delete cells in command mode
    assert said.startswith("Unreadable:") and steps(browser) == [] and not browser.all(f"{BOX} img")
    assert browser.driver.title != "run" and len(browser.all(".jp-Cell")) == cells


def test_the_saved_lesson_holds_no_answer(browser, textbook):
    """What the box shows is not stored: the saved page reads as shipped, so it can be handed on and checked."""
    open_and_run(browser)
    answer(browser, "1234.5 g")
    saved = browser.start.home / f"{LESSON}.ipynb"
    before = saved.stat().st_mtime_ns
    browser.run("document.activeElement.blur()")
    browser.driver.find_element("css selector", "body").send_keys(Keys.CONTROL, "s")
    browser.until(lambda _: saved.stat().st_mtime_ns != before and not browser.all(".jp-mod-dirty"), 30, "the lesson is not saved")
    page = browser.until(lambda _: whole(saved), 10, "the saved lesson is no notebook")
    cell = next(cell for cell in page["cells"] if QUESTION.key in cell["metadata"].get("tags", ()))
    assert "".join(cell["outputs"][0]["text"]) == f"{QUESTION.verdict(None)}\n"
    assert "1234.5" not in json.dumps(page) and "widget-view" not in json.dumps(page)


def test_two_pages_and_jupyterlab_share_one_answer_file(browser, textbook):
    """Nothing of either is lost, and the last one counts, wherever it was typed."""
    driver, first, tabs = browser.driver, browser.driver.current_window_handle, []
    try:
        for where in ("page", "page", "lab"):
            driver.switch_to.new_window("tab")
            tabs.append(driver.current_window_handle)
            if where == "lab":
                open_and_run(browser)
            else:
                browser.open(browser.start.page(LESSON))
                browser.until(lambda _: browser.all(BOX), 120)
        wanted = ["100 g", "101 g", "102 g", "103", "104", "105"]            # without a unit: another sentence than before
        for n, typed in enumerate(wanted):
            driver.switch_to.window(tabs[n % 3])
            answer(browser, typed)
        records, troubles = answers.read(textbook)
        assert [record.answer for record in records] == wanted and troubles == ()
        driver.switch_to.window(tabs[0])                     # its own last one was another
        assert browser.one(f"{BOX} input").get_attribute("value") == wanted[3]
        driver.refresh()
        browser.until(lambda _: browser.all(BOX) and browser.one(f"{BOX} input").get_attribute("value") == wanted[-1], 120, "the last one does not count")
    finally:
        for tab in tabs:
            driver.switch_to.window(tab)
            driver.close()
        driver.switch_to.window(first)


EVIL = "<img src=x onerror=document.title=1>"


def test_html_on_the_shelf_and_in_an_answer_is_shown_as_text(browser, textbook):
    shelf = browser.start.home / "shelf.csv"
    shelf.write_text(f"product,property,value,unit,note\n{EVIL},is,agar,,{EVIL}\n{EVIL},bloom,{EVIL},g,\n", encoding="utf-8")
    try:
        browser.open(browser.start.page(LESSON))
        browser.until(lambda _: browser.all(BOX) and browser.all(".k-form-table td"), 120, "the shelf is not shown")
        assert answer(browser, EVIL).startswith("Unreadable:")
        told = [cell.text for cell in browser.all(".k-form-table td")]
        assert EVIL in told and any(text.startswith("shelf.csv line 3") for text in told)
        browser.open(browser.start.page("10_gel_strength"))
        browser.until(lambda _: EVIL in browser.run("return [...document.querySelectorAll('.k-panel option')].map(o => o.textContent)"), 120)
        assert browser.driver.title != "1" and not browser.all("img[src=x]")
    finally:
        shelf.unlink()


def whole(path):
    """A notebook's content; None while it is being written."""
    try:
        return json.loads(path.read_text(encoding="utf-8"))
    except ValueError:
        return None
