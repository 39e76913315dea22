"""The first lesson as a user meets it: in JupyterLab, and as a page without code."""
import json
import time
import urllib.parse
from pathlib import Path

import pytest
from selenium.webdriver.common.keys import Keys

WIDE, PHONE = (1366, 768), (390, 844)
ROOT = Path(__file__).resolve().parents[2]
pytestmark = pytest.mark.browser
LESSON = "10_gel_strength"
PANEL = ".k-panel"


def panel_state(browser):
    """Picture and reading of the first panel; None while it is not there."""
    return browser.run("""
        const panel = document.querySelector(arguments[0]), image = panel?.querySelector("img");
        return image?.complete && image.naturalWidth ? [image.src, panel.querySelector("[role=status]").textContent] : null""", PANEL)


def moved(browser, before):
    """Picture and reading of the first panel once both are others than before and have come to rest."""
    seen, since = None, 0.0

    def at_rest(_):
        nonlocal seen, since
        now = panel_state(browser)
        if now != seen:
            seen, since = now, time.monotonic()
        return now and now[0] != before[0] and now[1] != before[1] and time.monotonic() - since > 1 and now
    return browser.until(at_rest, 30, "picture and reading stay as they were")


def check_that_the_panel_moves(browser):
    """By keyboard on the slider, then by the number box."""
    before = browser.until(lambda _: panel_state(browser), 120, "the panel shows no picture")
    slider = browser.scroll_to(browser.one(f"{PANEL} input[type=range][data-name=dose_a]"))        # Bloom alone says nothing of agar
    name = slider.get_attribute("data-name")
    was = float(slider.get_attribute("value"))
    for _ in range(3):
        slider.send_keys(Keys.ARROW_RIGHT)
    after_keys = moved(browser, before)
    assert float(slider.get_attribute("value")) > was
    box = browser.one(f'{PANEL} input[type=number][data-name="{name}"]')
    box.send_keys(Keys.CONTROL, "a")
    box.send_keys(box.get_attribute("min"), Keys.TAB)
    after_box = moved(browser, after_keys)
    assert float(slider.get_attribute("value")) == float(slider.get_attribute("min"))
    assert not [e.text for e in browser.all(f"{PANEL} [role=alert]") if e.text.strip()]
    return after_box


def open_in_lab(browser, name):
    browser.open(browser.start.lab(name))
    browser.one(".jp-Notebook .jp-MarkdownOutput h1")


def shown(browser):
    return browser.run("return document.getElementById('rendered_cells')?.style.display === ''")


def open_page(browser, name, size=WIDE):
    browser.open(browser.start.page(name), size)
    browser.until(lambda _: shown(browser), 120, "the page is not shown")


@pytest.fixture
def explorers():
    """How many explorers the shipped lesson holds."""
    cells = json.loads((ROOT / "lessons" / f"{LESSON}.ipynb").read_text(encoding="utf-8"))["cells"]
    return sum("explorer" in cell["metadata"].get("tags", ()) for cell in cells)


def all_still_pictures(browser, number):
    """The stored pictures, once all are drawn: JupyterLab draws what lies below the screen later, or when scrolled to."""
    browser.run("(document.querySelector('.jp-WindowedPanel-outer') ?? document.querySelector('.jp-Notebook')).scrollBy(0, 600)")
    drawn = [image for image in browser.all(".jp-OutputArea-output img") if image.get_property("naturalWidth")]
    return drawn if len(drawn) >= number else None


# --- JupyterLab ----------------------------------------------------------------------------------------------------------------------
def test_the_printed_address_opens_the_start_page(browser):
    browser.open(browser.start.address)
    browser.one(".jp-Notebook .jp-MarkdownOutput h1")
    browser.shot("lab_start")
    assert "00_start_here" in browser.driver.current_url
    browser.until(lambda _: "Idle" in browser.one(".jp-KernelStatus, .jp-StatusBar-Left, #jp-main-statusbar").text)
    assert not browser.all(".jp-mod-dirty"), "looking at a lesson changes it"
    assert not browser.all(".jp-Dialog, .jp-toast-message, .Toastify__toast")      # no news, no question
    assert browser.asked_outside() == []


def test_lab_shows_still_pictures_then_live_panels(browser, explorers):
    open_in_lab(browser, LESSON)
    still = browser.until(lambda _: all_still_pictures(browser, explorers), 60, "not all stored pictures are shown")
    assert all(i.get_attribute("alt") for i in still)
    assert not browser.all(PANEL) and not browser.all(".jp-OutputArea-output[data-mime-type='application/vnd.jupyter.stderr']")
    browser.scroll_to(still[0])
    browser.shot("lab_before")

    browser.one(".lm-MenuBar-item[data-command='runmenu'], .lm-MenuBar-item:nth-child(4)").click()
    item = browser.one(".lm-Menu-item[data-command='runmenu:run-all']")
    browser.until(lambda _: item.is_displayed())
    item.click()
    browser.until(lambda _: len(browser.all(PANEL)) >= explorers, 180, "not all panels came")
    check_that_the_panel_moves(browser)
    browser.shot("lab_moved")
    assert not browser.all(".jp-OutputArea-output:is([data-mime-type$='jupyter.stderr'], [data-mime-type$='jupyter.error'])")
    assert browser.axe(".jp-OutputArea") == []
    assert browser.asked_outside() == []

    browser.run("document.activeElement.blur()")
    browser.driver.find_element("css selector", "body").send_keys(Keys.CONTROL, "s")
    saved = browser.start.home / f"{LESSON}.ipynb"
    before = (ROOT / "lessons" / f"{LESSON}.ipynb").read_text(encoding="utf-8")
    browser.until(lambda _: saved.read_text(encoding="utf-8") != before, 30, "the lesson is not saved")
    text = saved.read_text(encoding="utf-8")
    assert "widget-view" not in text and '"widgets"' not in text and "image/png" in text


# --- pages ---------------------------------------------------------------------------------------------------------------------------
@pytest.mark.parametrize("size", [WIDE, PHONE], ids=["wide", "phone"])
def test_the_lesson_as_a_page(browser, explorers, size):
    before = browser.kernels()
    open_page(browser, LESSON, size)
    browser.until(lambda _: len(browser.all(PANEL)) >= explorers, 180, "not all panels came")
    browser.shot(f"page_top_{size[0]}")
    check_that_the_panel_moves(browser)
    browser.scroll_to(browser.one(PANEL))
    browser.shot(f"page_moved_{size[0]}")
    assert not browser.all(".jp-InputArea-editor") and "import" not in browser.one("#rendered_cells").text.split()
    assert not browser.all(".k-trouble")
    assert browser.run("return document.documentElement.scrollWidth <= innerWidth && "
                       "document.getElementById('rendered_cells').scrollWidth <= innerWidth"), "wider than the screen"
    assert browser.axe() == []
    assert browser.asked_outside() == []
    assert browser.driver.title not in ("", LESSON)
    assert len(browser.kernels() - before) == 1
    browser.driver.get("about:blank")
    browser.until(lambda _: browser.kernels() <= before, 20, "the closed page's kernel still runs")


def test_pages_lead_to_each_other_and_to_the_code(browser):
    open_page(browser, LESSON)
    browser.one(".k-ways a[href='00_start_here.ipynb']").click()
    browser.until(lambda _: "/voila/render/00_start_here" in browser.driver.current_url)
    browser.until(lambda _: shown(browser), 120)
    links = [urllib.parse.unquote(link.get_attribute("href")) for link in browser.all("a[href]")]
    assert any(f"/voila/render/{LESSON}.ipynb" in link for link in links), "the start page leads to no page of the lesson"
    assert browser.axe() == []
    code = browser.one(".k-ways a[href*='/lab/tree/']").get_attribute("href")
    browser.open(code)
    browser.one(".jp-Notebook .jp-MarkdownOutput h1")
    assert browser.asked_outside() == []


def test_the_projector_size_goes_along_to_the_next_page(browser):
    browser.open(browser.start.page("00_start_here") + "&size=projector")
    browser.until(lambda _: shown(browser), 120)
    assert browser.run("return parseFloat(getComputedStyle(document.documentElement).fontSize)") >= 24
    link = browser.one(f"#rendered_cells a[href^='{LESSON}.ipynb']")
    browser.run("arguments[0].addEventListener('click', event => event.preventDefault()); arguments[0].click()", link)
    assert "size=projector" in link.get_attribute("href")
