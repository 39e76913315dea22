"""Every lesson's page on a phone, a tablet, at 200 % zoom and on a projector: nothing sideways, sliders for a thumb, picture with reading."""
import importlib
import json
import pkgutil
import time

import pytest
from matplotlib.text import Text

from kitchenlib.teaching import explorers
from kitchenlib.teaching.copies import LESSONS
from kitchenlib.teaching.figures import PIXELS_PER_INCH, Look
from kitchenlib.teaching.panel import Explorer

pytestmark = pytest.mark.browser
PHONE, TABLET, ZOOMED, PROJECTOR = (390, 844), (820, 1180), (683, 384), (1280, 720)      # ZOOMED: 1366 x 768 at 200 %
THUMB = 44                                                   # CSS px: WCAG 2.1, 2.5.5 (AAA; here for wet fingers)
BACK_ROW = 0.03                                              # of the screen's height a letter's body has to have (common practice; memory)
SMALL_PRINT = 0.022                                          # and inside a picture at least (common practice; memory)
ALIVE = 305                                                  # CSS px: a picture narrower than this is a thumbnail on a phone (our own reading)
SMALLER = {"The room filling": 270}                          # a whole vessel spilt in a small room says most, and nothing of that may fold away


def at(browser, size):
    """Give the open page another screen, and wait until all panels have come to rest there."""
    touch = size in (PHONE, TABLET)
    browser.driver.execute_cdp_cmd("Emulation.setDeviceMetricsOverride", {
        "width": size[0], "height": size[1], "deviceScaleFactor": 1, "mobile": touch})
    browser.driver.execute_cdp_cmd("Emulation.setTouchEmulationEnabled", {"enabled": touch})
    low, high = (0, 400) if size == PHONE else (900, 1300)   # CSS px of the figure's forms
    browser.until(lambda _: browser.run("return [...document.querySelectorAll('.k-panel img')].every(i => i.getAttribute('width') > "
                                        "arguments[0] && i.getAttribute('width') < arguments[1])", low, high), 60, "pictures of another form")
    at_rest(browser)


def at_rest(browser):
    """Wait until nothing moves in the panels any more."""
    seen = [None, 0.0]

    def rests(_):
        now = browser.run("""return innerWidth + [...document.querySelectorAll(".k-panel")].map(panel =>
            panel.className + panel.offsetHeight + panel.querySelector("img").src).join()""")
        if now != seen[0]:
            seen[:] = now, time.monotonic()
        return time.monotonic() - seen[1] > 0.8
    browser.until(rests, 60, "the panels do not come to rest")


def open_at(browser, lesson, size, more=""):
    """Open a lesson's page and wait for all pictures of its explorers."""
    cells = json.loads((LESSONS / f"{lesson}.ipynb").read_text(encoding="utf-8"))["cells"]
    expected = sum("explorer" in cell["metadata"].get("tags", ()) for cell in cells)
    browser.open(browser.start.page(lesson) + more, size)
    browser.until(lambda _: browser.run("return document.getElementById('rendered_cells')?.style.display === '' && "
                                        "[...document.querySelectorAll('.k-panel img')].filter(i => i.naturalWidth).length") in
                  range(expected, 99) or None, 180, f"fewer than {expected} pictures")
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


def in_use(browser, which):
    """Explorers whose picture, reading and control in use are not seen together, all controls being at their `which` end."""
    browser.run("""
        for (const control of document.querySelectorAll(".k-panel :is(input[type=range], select)")) {
            if (control.tagName === "SELECT") control.selectedIndex = arguments[0] === "low" ? 0 : control.options.length - 1;
            else control.value = arguments[0] === "low" ? 0 : control.max;
            control.dispatchEvent(new Event(control.tagName === "SELECT" ? "change" : "input", {bubbles: true}));
        }""", which)
    at_rest(browser)
    return browser.run("""
        return [...document.querySelectorAll(".k-panel")].flatMap(panel => [...panel.querySelectorAll(".k-slider")].flatMap(row => {
            const range = row.querySelector("input[type=range]");
            panel.scrollIntoView({block: "start"});
            range.focus({preventScroll: true}); range.scrollIntoView({block: "nearest"});
            const [seen, read, used] = [panel.querySelector("img"), panel.querySelector(".k-words"), row].map(e => e.getBoundingClientRect());
            const together = seen.top > -2 && read.top > seen.bottom - 2 && used.top > read.bottom - 2 && used.bottom <= innerHeight;
            return together ? [] : [`${panel.ariaLabel}, ${range.dataset.name}: ${[seen.top, read.bottom, used.top, used.bottom].map(Math.round)}`];
        }))""")


def parted(browser):
    """Numbers whose unit stands on the next line, in all words of the page but code."""
    return browser.run(r"""
        const out = [], walk = document.createTreeWalker(document.getElementById("rendered_cells"), NodeFilter.SHOW_TEXT);
        while (walk.nextNode()) {
            const node = walk.currentNode;
            if (!node.parentElement.offsetParent || node.parentElement.closest("script, style, code, button, select, math")) continue;
            for (const found of node.textContent.matchAll(/\d\s(?:%|°[CF]|[kmµ]?g|m?L|[mµc]?m|s|min|h|d|k?Pa|kJ|bar|oz|minutes|hours)(?![\wé])/g)) {
                const range = document.createRange();
                range.setStart(node, found.index); range.setEnd(node, found.index + found[0].length);
                const tops = [...range.getClientRects()].filter(r => r.width > 1).map(r => r.top);
                if (Math.max(...tops) - Math.min(...tops) > 9) out.push(node.textContent.slice(Math.max(found.index - 20, 0), found.index + 12));
            }
        }
        return out""")


def cut(browser):
    """Choices longer than their box has room for, with 20 px for its arrow."""
    return browser.run("""
        const pen = document.createElement("canvas").getContext("2d");
        return [...document.querySelectorAll("#rendered_cells select")].filter(e => e.offsetParent).flatMap(select => {
            const style = getComputedStyle(select), room = select.clientWidth - parseFloat(style.paddingLeft) - parseFloat(style.paddingRight) - 20;
            pen.font = style.font; pen.letterSpacing = style.letterSpacing === "normal" ? "0px" : style.letterSpacing;
            return [...select.options].filter(o => pen.measureText(o.textContent).width > room).map(o => `${o.textContent}: ${room}`);
        })""")


def small_print():
    """{title of an explorer: CSS px of the smallest type in its picture, made for a projector}."""
    found = {}
    for module in pkgutil.iter_modules(explorers.__path__):
        for thing in vars(importlib.import_module(f"{explorers.__name__}.{module.name}")).values():
            if isinstance(thing, Explorer):
                said = [text for text in thing.picture(Look("projector")).canvas.figure.findobj(Text) if text.get_text().strip()]
                found[thing.title] = min(text.get_fontsize() for text in said) * PIXELS_PER_INCH / 72
    return found


def first_panels(browser, name, n=2):
    for k, panel in enumerate(browser.all(".k-panel")[:n]):
        browser.run("arguments[0].scrollIntoView({block: 'start'})", panel)
        browser.shot(f"{name}_{k}")


@pytest.mark.parametrize("lesson", sorted(path.stem for path in LESSONS.glob("*.ipynb")))
def test_the_page_fits(browser, lesson):
    open_at(browser, lesson, PHONE)
    assert [e.text for e in browser.all(".k-trouble, .k-alert") if e.text] == []
    assert (sideways(browser), small(browser), apart(browser), parted(browser), cut(browser)) == ([], [], [], [], [])
    first_panels(browser, f"{lesson}_phone")
    assert browser.axe() == []
    assert browser.run("return [...document.querySelectorAll('.k-panel')].every(p => p.classList.contains('k-narrow'))")
    for which in ("low", "high"):
        assert in_use(browser, which) == []
        widths = browser.run("return [...document.querySelectorAll('.k-panel')].map(p => [p.ariaLabel, p.querySelector('img').clientWidth])")
        assert [(title, wide) for title, wide in widths if wide < SMALLER.get(title, ALIVE)] == []
        assert (sideways(browser), parted(browser)) == ([], [])

    at(browser, TABLET)
    assert (sideways(browser), small(browser), apart(browser), parted(browser), cut(browser)) == ([], [], [], [], [])
    first_panels(browser, f"{lesson}_tablet", 1)

    at(browser, ZOOMED)
    assert sideways(browser) == []
    first_panels(browser, f"{lesson}_zoomed", 1)
    assert browser.axe() == []

    open_at(browser, lesson, PROJECTOR, "&size=projector")
    assert (sideways(browser), apart(browser), parted(browser), cut(browser)) == ([], [], [], [])
    first_panels(browser, f"{lesson}_projector")
    smallest = small_print()
    for panel in browser.all(".k-panel"):
        words, shown = browser.run("""const [panel] = arguments, image = panel.querySelector("img");
            return [parseFloat(getComputedStyle(panel.querySelector(".k-words")).fontSize), image.clientWidth / image.width]""", panel)
        assert "k-projector" in panel.get_attribute("class") and words >= BACK_ROW * PROJECTOR[1]
        assert shown * smallest[panel.get_attribute("aria-label")] >= SMALL_PRINT * PROJECTOR[1]
    assert browser.asked_outside() == []
