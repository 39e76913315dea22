"""A page's life: kernel ended or dead, machine out of reach, keyboard only, and a visitor over the kitchen network."""
import urllib.request

import psutil
import pytest
from selenium.webdriver.common.keys import Keys

from kitchenlib.teaching import answers
from kitchenlib.teaching.bank import start_here as ask
from test_lessons_in_a_browser import LESSON, PANEL, PHONE, open_page, panel_state, shown

pytestmark = pytest.mark.browser
GONE = "#gone:not([hidden])"


def open_live(browser, size=(1366, 768)):
    """The lesson's page with its first panel drawn -> the ids of the kernels it started."""
    before = browser.kernels()
    open_page(browser, LESSON, size)
    browser.until(lambda _: panel_state(browser), 120, "the panel shows no picture")
    return browser.kernels() - before


def says(browser, words, seconds=30):
    bar = browser.one(GONE, seconds)
    assert words in bar.find_element("css selector", "p").text and bar.is_displayed()
    return bar


def reload_by(browser, bar):
    browser.shot("gone")
    assert browser.axe() == []
    bar.find_element("css selector", "button").click()
    browser.until(lambda _: shown(browser) and not browser.all(GONE) and panel_state(browser), 120, "the page does not come back")


def test_a_page_whose_kernel_was_ended_says_so_and_comes_back(browser):
    (kernel,) = open_live(browser, PHONE)
    end = urllib.request.Request(f"{browser.start.base}/api/kernels/{kernel}", method="DELETE",
                                 headers={"Authorization": f"token {browser.start.token}"})
    urllib.request.urlopen(end, timeout=60).close()
    browser.run("document.dispatchEvent(new Event('visibilitychange'))")       # the phone is taken up again
    reload_by(browser, says(browser, "has ended"))


def test_a_page_whose_kernel_died_says_so_when_a_slider_moves(browser):
    before = {child.pid for child in psutil.Process(browser.start.process.pid).children(recursive=True)}
    open_live(browser)
    died = [child for child in psutil.Process(browser.start.process.pid).children(recursive=True) if child.pid not in before]
    assert died
    for child in died:
        child.kill()
    browser.scroll_to(browser.one(f"{PANEL} input[type=range]")).send_keys(Keys.ARROW_RIGHT)
    reload_by(browser, says(browser, "lost its place", 60))


def test_a_phone_that_says_goodbye_in_its_own_way_ends_its_kernel_too(browser):
    (kernel,) = open_live(browser, PHONE)
    browser.run("window.dispatchEvent(new PageTransitionEvent('pagehide', {persisted: true}))")
    browser.run("return fetch(location.href, {method: 'HEAD'}).then(() => 1, () => 1)")
    assert kernel in browser.kernels()                       # only put aside: it may come back
    browser.run("window.dispatchEvent(new PageTransitionEvent('pagehide', {persisted: false}))")
    browser.until(lambda _: kernel not in browser.kernels(), 20, "the kernel still runs")


def test_a_machine_out_of_reach_is_said_and_forgotten_when_it_is_back(browser):
    open_live(browser)
    net = {"latency": 0, "downloadThroughput": -1, "uploadThroughput": -1}
    browser.driver.execute_cdp_cmd("Network.enable", {})
    try:
        browser.driver.execute_cdp_cmd("Network.emulateNetworkConditions", {"offline": True, **net})
        browser.run("document.dispatchEvent(new Event('visibilitychange'))")
        says(browser, "does not answer")
    finally:
        browser.driver.execute_cdp_cmd("Network.emulateNetworkConditions", {"offline": False, **net})
    browser.run("window.dispatchEvent(new Event('online'))")
    browser.until(lambda _: not browser.all(GONE), 20, "the sentence stays")


def test_the_tab_key_goes_through_a_page_in_reading_order_and_is_seen(browser):
    open_live(browser)
    browser.run("document.activeElement.blur(); document.getElementById('rendered_cells').scrollTo(0, 0)")
    assert len(browser.tabbed(60)) > 20


def test_projector_size_is_switched_on_the_page(browser):
    open_live(browser)
    for wanted in (True, False):
        browser.one("#size").click()
        browser.until(lambda _: ("size=projector" in browser.driver.current_url) == wanted and shown(browser) and panel_state(browser), 120)
        browser.until(lambda _: ("k-projector" in browser.one(PANEL).get_attribute("class")) == wanted, 20)
    assert "size=usual" in browser.driver.current_url


def test_pages_of_a_few_words_have_names_and_fit(browser, shared):
    """The log-in, an address of an earlier start, a page that is not there: of the start, and of a shared one."""
    for address, words in ((f"{browser.start.base}/voila/render/00_start_here.ipynb?token=old", "from an earlier start"),
                           (browser.start.page("98_nowhere"), "no such page"), (f"{shared.base}/nowhere", "no such page"), (shared.base, "as your instructor")):
        for size in ((390, 844), (320, 568)):                # the second: 1280 at 400 % zoom (WCAG 2.1, 1.4.10)
            browser.driver.execute_cdp_cmd("Network.clearBrowserCookies", {})
            browser.open(address, size)
            assert words in browser.one("main").text and browser.axe() == []
            assert browser.run("return document.documentElement.scrollWidth <= innerWidth")


# --- the kitchen network -----------------------------------------------------------------------------------------------------------
def test_a_visitor_logs_in_says_who_answers_and_is_known_on_the_next_page(browser, shared):
    browser.open(shared.base, PHONE)
    field = browser.one("input[type=password]")
    browser.shot("login")
    assert browser.axe() == []
    field.send_keys("not the word", Keys.ENTER)
    browser.one("[role=alert]")
    assert browser.axe() == []
    browser.one("input[type=password]").send_keys(shared.word, Keys.ENTER)
    browser.until(lambda _: "/voila/render/00_start_here" in browser.driver.current_url and shown(browser), 120)
    exercise = ask.MILLILITRES
    box = f'.k-answer[aria-label="Answer: {exercise.title}"]'
    who = browser.scroll_to(browser.one(f"{box} .k-answer-who"))
    browser.shot("who_asked")
    assert not [link.get_attribute("href") for link in browser.all("a[href*='/lab/']")]
    student, class_code = who.find_elements("css selector", "input")
    student.send_keys("S-017")
    class_code.send_keys("k2", Keys.ENTER)
    browser.until(lambda _: "Answering as s-017, class k2" in browser.one(box).text, 20, "the box does not know who answers")
    assert all("Answering as s-017" in other.text for other in browser.all(".k-answer"))
    number = exercise.number("s-017", "k2")
    right = exercise.put(exercise.solved(number).truth)
    browser.one(f"{box} form:not(.k-answer-who) input").send_keys(right, Keys.ENTER)
    browser.until(lambda _: "Right" in browser.one(f"{box} [role=status]").text, 20)
    browser.shot("who_known")
    assert browser.axe() == []
    kept, _ = answers.read(shared.home / answers.file_name(answers.Who("s-017", "k2")))
    assert [record.answer for record in kept] == [right]
    browser.driver.get(f"{shared.base}/voila/render/{LESSON}.ipynb")
    browser.until(lambda _: shown(browser) and browser.all(".k-answer"), 120)
    browser.until(lambda _: all("Answering as s-017" in other.text for other in browser.all(".k-answer")), 20, "asked again on the next page")
    browser.driver.get("about:blank")
    server = psutil.Process(shared.process.pid)              # the warm process stays (see `kernels`)
    browser.until(lambda _: len(server.children(recursive=True)) <= 1, 30, "closed pages' kernels still run")


def test_html_as_a_visitors_id_and_answer_stays_text(browser, shared):
    evil = "<img src=x onerror=document.title=1>"
    browser.driver.execute_cdp_cmd("Network.clearBrowserCookies", {})
    browser.open(shared.base, PHONE)
    browser.one("input[type=password]").send_keys(shared.word, Keys.ENTER)
    browser.until(lambda _: "/voila/render/00_start_here" in browser.driver.current_url and shown(browser), 120)
    browser.run("sessionStorage.clear()")                    # who sat here before
    browser.driver.refresh()
    browser.until(lambda _: shown(browser), 120)
    box = f'.k-answer[aria-label="Answer: {ask.MILLILITRES.title}"]'
    student, class_code = browser.scroll_to(browser.one(f"{box} .k-answer-who")).find_elements("css selector", "input")
    student.send_keys(evil)
    class_code.send_keys(evil, Keys.ENTER)
    browser.until(lambda _: f"Answering as {evil}, class {evil}" in browser.one(box).text, 20, "the id is not shown as it was typed")
    browser.one(f"{box} form:not(.k-answer-who) input").send_keys(evil, Keys.ENTER)
    browser.until(lambda _: "Unreadable" in browser.one(f"{box} [role=status]").text, 20)
    assert browser.driver.title != "1" and not browser.all("img[src=x]")
    (kept,) = [path for path in shared.home.glob("answers-*.csv") if answers.read(path)[0][0].student == evil]
    assert answers.read(kept)[0][0].answer == evil and kept.parent == shared.home
