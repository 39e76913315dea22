"""Every lesson's page on a phone, a tablet, at 200 % zoom and on a projector: nothing sideways, sliders for a thumb, picture with reading."""
import json
import time

import pytest

from kitchenlib.teaching.copies import LESSONS

pytestmark = pytest.mark.browser
PHONE, TABLET, ZOOMED, PROJECTOR = (390, 844), (820, 1180), (683, 384), (1280, 720)      # ZOOMED: 1366 x 768 at 200 %
THUMB = 44                                                   # CSS px: WCAG 2.1, 2.5.5 (AAA; here for wet fingers)
BACK_ROW = 0.03                                              # of the picture's height a letter's body has to have (common practice; memory)


def at(browser, size):
    """Give the open page another screen, and wait until all panels have come to rest there."""
    touch = size in (PHONE, TABLET)
    browser.driver.execute_cdp_cmd("Emulation.setDeviceMetricsOverride", {
        "width": size[0], "height": size[1], "deviceScaleFactor": 1, "mobile": touch})
    browser.driver.execute_cdp_cmd("Emulation.setTouchEmulationEnabled", {"enabled": touch})
    seen = [None, 0.0]

    def rests(_):
        now = browser.run("""return innerWidth + [...document.querySelectorAll(".k-panel")].map(panel =>
            panel.className + panel.offsetHeight + panel.querySelector("img").src).join()""")
        if now != seen[0]:
            seen[:] = now, time.monotonic()
        return time.monotonic() - seen[1] > 0.8
    low, high = (0, 400) if size == PHONE else (900, 1300)   # CSS px of the figure's forms
    browser.until(lambda _: browser.run("return [...document.querySelectorAll('.k-panel img')].every(i => i.getAttribute('width') > "
                                        "arguments[0] && i.getAttribute('width') < arguments[1])", low, high), 60, "pictures of another form")
    browser.until(rests, 60, "the panels do not come to rest")


def open_at(browser, lesson, size, more=""):
    """Open a lesson's page and wait for all pictures of its explorers."""
    cells = json.loads((LESSONS / f"{lesson}.ipynb").read_text(encoding="utf-8"))["cells"]
    explorers = sum("explorer" in cell["metadata"].get("tags", ()) for cell in cells)
    browser.open(browser.start.page(lesson) + more, size)
    browser.until(lambda _: browser.run("return document.getElementById('rendered_cells')?.style.display === '' && "
                                        "[...document.querySelectorAll('.k-panel img')].filter(i => i.naturalWidth).length") in
                  range(explorers, 99) or None, 180, f"fewer than {explorers} pictures")
    at(browser, size)


def sideways(browser):
    """What sticks out to the right of the page, where anything does; a table may scroll in its own box."""
    return browser.run("""
        const room = document.getElementById("rendered_cells"), page = document.documentElement;
        if (room.scrollWidth <= room.clientWidth && page.scrollWidth <= innerWidth) return [];
        const out = [...room.querySelectorAll("*")].filter(e => e.getBoundingClientRect().right > room.clientWidth + 1);
        return out.slice(0, 5).map(e => `${e.tagName} ${e.className} ${e.textContent.slice(0, 40)}`).concat("wider than the screen");""")


def small(browser):
    """Controls that a thumb misses."""
    return browser.run("""
        return [...document.querySelectorAll("#rendered_cells :is(.k-panel, .k-answer, .k-form) :is(input, select, button, .k-radios label)")]
            .filter(e => e.type !== "radio" && e.offsetParent && e.getBoundingClientRect().height < arguments[0])
            .map(e => `${e.tagName} ${e.type} ${e.getBoundingClientRect().height} ${e.closest("[aria-label]")?.ariaLabel}`)""", THUMB)


def apart(browser):
    """Explorers whose picture and reading do not fit into the window together, with the height of the two."""
    return browser.run("""
        return [...document.querySelectorAll(".k-panel")].flatMap(panel => {
            panel.scrollIntoView({block: "start"});
            const top = panel.querySelector("img").getBoundingClientRect(), words = panel.querySelector(".k-words").getBoundingClientRect();
            const tall = words.bottom - top.top;
            return top.height > 50 && words.height > 10 && tall <= innerHeight && words.top >= top.bottom - 1 ? [] : [`${panel.ariaLabel}: ${tall}`];
        })""")


def first_panels(browser, name, n=2):
    for k, panel in enumerate(browser.all(".k-panel")[:n]):
        browser.run("arguments[0].scrollIntoView({block: 'start'})", panel)
        browser.shot(f"{name}_{k}")


@pytest.mark.parametrize("lesson", sorted(path.stem for path in LESSONS.glob("*.ipynb")))
def test_the_page_fits(browser, lesson):
    open_at(browser, lesson, PHONE)
    assert not browser.all(".k-trouble") and not [e.text for e in browser.all(".k-alert") if e.text]
    assert (sideways(browser), small(browser), apart(browser)) == ([], [], [])
    first_panels(browser, f"{lesson}_phone")
    assert browser.axe() == []
    assert browser.run("return [...document.querySelectorAll('.k-panel')].every(p => p.classList.contains('k-narrow'))")

    at(browser, TABLET)
    assert (sideways(browser), small(browser), apart(browser)) == ([], [], [])
    first_panels(browser, f"{lesson}_tablet", 1)

    at(browser, ZOOMED)
    assert sideways(browser) == []
    first_panels(browser, f"{lesson}_zoomed", 1)
    assert browser.axe() == []

    open_at(browser, lesson, PROJECTOR, "&size=projector")
    assert (sideways(browser), apart(browser)) == ([], [])
    first_panels(browser, f"{lesson}_projector")
    for panel in browser.all(".k-panel"):
        words, shown = browser.run("""const [panel] = arguments, image = panel.querySelector("img");
            return [parseFloat(getComputedStyle(panel.querySelector(".k-words")).fontSize), image.clientWidth / image.width]""", panel)
        assert "k-projector" in panel.get_attribute("class") and words >= BACK_ROW * PROJECTOR[1] and shown > 0.7
    assert browser.asked_outside() == []
