"""Each card in a real browser, as a phone opens it: every answer at every listed input beside the library, the task timed, bad input."""
import pytest
from conftest import Browser
from selenium.webdriver.common.keys import Keys

from kitchenlib.teaching import cards, tonight
from kitchenlib.teaching.tonight import BATCHES, Value
from kitchenlib.units import Q_

pytestmark = pytest.mark.browser
PHONE = (390, 844)
NAMES = tuple(cards.CARDS)


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    into = tmp_path_factory.mktemp("cards")
    assert cards.main(["all", "--to", str(into)]) == 0
    return into


@pytest.fixture
def phone(chromium, folder, tmp_path):
    """Opens a card from the folder, nothing remembered, no net."""
    chromium.get("about:blank")
    chromium.get_log("performance")
    chromium.get_log("browser")                              # what pages before this one had to say
    chromium.execute_cdp_cmd("Network.enable", {})
    chromium.execute_cdp_cmd("Network.emulateNetworkConditions", {"offline": True, "latency": 0, "downloadThroughput": 0, "uploadThroughput": 0})
    browser = Browser(chromium, None, tmp_path)

    def open_card(name, forget=True, size=PHONE):
        browser.open((folder / f"{name}.html").as_uri(), size)
        if forget:
            browser.run("localStorage.clear()")
            browser.open((folder / f"{name}.html").as_uri(), size)
        return browser
    yield open_card
    chromium.execute_cdp_cmd("Network.emulateNetworkConditions", {"offline": False, "latency": 0, "downloadThroughput": -1, "uploadThroughput": -1})


# what a finger does, in one go for many inputs: set product, condition, batch and read the five answers
READ = """
const [inputs] = arguments, product = document.getElementById("product"), batch = document.getElementById("batch");
const radio = (name, value) => { [...document.querySelectorAll(`input[name="${name}"]`)].find((one) => one.value === value).checked = true; };
return inputs.map(([key, condition, grams]) => {
  product.value = key; radio("condition", condition); batch.value = grams;
  batch.dispatchEvent(new Event("input", { bubbles: true }));
  const spaced = (one) => one.textContent.replace(/(?<=[0-9])\u00a0(?![0-9])/g, " ");         // the space before a unit does not break
  return document.getElementById("trouble").textContent || [...document.querySelectorAll("#answers b")].map(spaced);
});"""


def tap(browser, name, value):
    browser.run("document.activeElement?.blur()")
    found = next(one for one in browser.all(f'input[name="{name}"]') if one.get_attribute("value") == value)
    browser.scroll_to(found.find_element("xpath", "..")).click()


def pass_gate(browser, name, *chosen):
    for n, value in enumerate(chosen or {"sauce": ("pasteurised egg",), "ice": ("10 L", "200 m³")}.get(name, ())):
        tap(browser, f"gate{n}", value)


def wanted(card, key, condition, gate, grams, spill=None):
    """The five answers as the library tells them."""
    found = card.work(Q_(grams, "g"), key, condition, gate)
    return [tonight.litres(one.values[0], spill) if one.label == tonight.NITROGEN else one.text for one in found]


@pytest.mark.parametrize("name, gate", [("pearls", ()), ("spheres", ()), ("sauce", ("raw egg",)), ("sauce", ("pasteurised egg",)), ("gel", ()),
                                        ("ice", ("25 L", "200 m³")), ("ice", ("2 L", "40 m³")), ("ice", ("50 L", "15 m³")), ("ice", ("none",))])
def test_every_answer_at_every_listed_input(phone, name, gate):
    browser, card = phone(name), cards.CARDS[name]
    pass_gate(browser, name, *gate)
    conditions, egg = card.conditions(), gate[0] if name == "sauce" else None
    vessel, room = (*gate, "15 m³")[:2] if name == "ice" else ("none", "15 m³")
    spill = tonight.spill(Q_(float(room.split()[0]), "m**3"), Q_(float(vessel.replace("none", "0 L").split()[0]), "L")) if name == "ice" else None
    if spill:
        assert browser.one("#gate-words").text == spill.words
    inputs = [(key, condition, str(grams)) for key in card.products() for condition in conditions for grams in BATCHES]
    shown, troubled = browser.run(READ, inputs), 0
    for (key, condition, grams), answers in zip(inputs, shown, strict=True):
        if isinstance(answers, str):
            troubled += 1
            with pytest.raises((LookupError, ValueError)):
                wanted(card, key, conditions[condition], egg, float(grams), spill)
        else:
            assert answers == wanted(card, key, conditions[condition], egg, float(grams), spill), (key, condition, grams)
    assert len(inputs) - troubled >= 9 * len(BATCHES) - 1
    assert browser.asked_outside() == []
    assert not [entry for entry in browser.driver.get_log("browser") if "http://127.0.0.1" not in entry["message"]]     # an earlier page's last word


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("typed, grams", [("640", 640), ("1234", 1234), ("512,5", 512.5), ("999.9 g", 999.9)])
def test_between_two_batches_grams_are_exact_and_the_rest_is_careful(phone, name, typed, grams):
    browser, card = phone(name), cards.CARDS[name]
    pass_gate(browser, name)
    key, condition = card.products()[0], list(card.conditions())[card.usual]
    shown = browser.run(READ, [(key, condition, typed)])[0]
    egg = "pasteurised egg" if name == "sauce" else None
    below, above = max(b for b in BATCHES if b < grams), min(b for b in BATCHES if b > grams)
    one, low, high = (card.work(Q_(b, "g"), key, card.conditions()[condition], egg) for b in (grams, below, above))
    for text, exact, less, more in zip(shown, one, low, high, strict=True):
        values = [value if value.follows != "listed" else (less if value.way == "down" else more).values[n] for n, value in enumerate(exact.values)]
        assert text == exact.says.format(*(value.text for value in values))
    assert "more careful" in browser.one("#which").text and str(above) + " g" in browser.one("#which").text


def test_rounding_in_the_page_is_that_of_the_library(phone):
    """Half a step and its neighbours, through a dose of 0.8 %: by hand 331.25 g * 0.008 = 2.65 g, half goes up."""
    browser = phone("pearls")
    typed = ["331.25", "331.2", "143", "144", "145", "1437.5", "1443", "1444", "62.5", "3125"]
    shown = [answers[0] for answers in browser.run(READ, [("agar", "22 °C", one) for one in typed])]
    assert shown == [Value(Q_(0.008 * float(one), "g")).text for one in typed] and shown[0] == "2.7 g"


@pytest.mark.parametrize("typed, says", [
    ("", "Type the grams"), ("-500", "without the minus"), ("0", "0 g is no batch"), ("1000000000", "ends at 5000 g"), ("1e9", "ends at 5000 g"),
    ("20", "begins at 50 g"), ("abc", "not a number"), ("12,5,5", "not a number"), ("1,200", "could be 1.200 or 1200"), ("5 kg", "not a number"),
    ("<b>5</b>", "not a number"), ("NaN", "not a number"), ("Infinity", "not a number")])
def test_bad_input_is_one_sentence(phone, typed, says):
    browser = phone("gel")
    said = browser.run(READ, [("agar", "sliceable", typed)])[0]
    assert isinstance(said, str) and says in said and said.endswith(".") and not browser.all("#answers b") and not browser.all("#trouble b")


def test_a_product_with_no_row_is_one_sentence(phone):
    browser = phone("pearls")
    assert "put it on your shelf" in browser.run(READ, [("", "22 °C", "500")])[0]
    browser.run("""localStorage.setItem("kitchenlib-card-pearls", JSON.stringify(["500", "an agar of old", "22 °C"]))""")
    phone("pearls", forget=False)
    assert '"an agar of old" has no row in this card any more' in browser.one("#trouble").text
    browser.run("""localStorage.setItem("kitchenlib-card-pearls", "rubbish")""")
    phone("pearls", forget=False)
    assert "Type the grams" in browser.one("#trouble").text


@pytest.mark.parametrize("name, most", [("pearls", 2), ("spheres", 2), ("sauce", 3), ("ice", 4), ("gel", 2)])
def test_the_task_open_choose_type_read(phone, name, most):
    """The gate, the condition, the field: taps and characters counted; five answers and the cautions are in sight without scrolling; painted under a second."""
    browser = phone(name)
    gates = {"sauce": ["raw egg"], "ice": ["5 L", "40 m³"]}.get(name, [])
    assert bool(gates) == (not browser.one("#batch").is_displayed()), "the gate comes first"
    pass_gate(browser, name, *gates)
    tap(browser, "condition", list(cards.CARDS[name].conditions())[-1])
    typed = "640"
    browser.one("#batch").send_keys(typed)               # the tap into the field and the keys
    taps, characters = len(gates) + 2, len(typed)
    assert (taps, characters) <= (most, 3)
    answers = browser.all("#answers b")
    assert len(answers) == 5
    for one in (*answers, browser.one("aside p"), browser.one("#gone")):
        box = one.rect
        assert 0 <= box["y"] and box["y"] + box["height"] <= PHONE[1] + 1, f"{one.text} is out of sight"
    assert min(float(one.value_of_css_property("font-size")[:-2]) for one in answers) >= 17
    browser.shot(name)
    painted = browser.run("return performance.getEntriesByType('paint').map((one) => one.startTime)")
    assert painted and max(painted) < 1000
    for width in (390, 320):
        browser.driver.execute_cdp_cmd("Emulation.setDeviceMetricsOverride", {"width": width, "height": 844, "deviceScaleFactor": 1, "mobile": True})
        assert browser.run("return [...document.querySelectorAll('html, main, aside')].every((one) => one.scrollWidth <= one.clientWidth)")
    browser.one("#gone").click()                        # one tap away
    symptoms = [one.text for one in browser.all("#wrong summary")]
    assert symptoms == [fault["symptom"] for fault in tonight.faults(*cards.CARDS[name].faults)]
    assert browser.one("aside p").is_displayed(), "cautions stay in view"
    browser.one("#back").click()
    assert len(browser.all("#answers b")) == 5
    phone(name, forget=False)                             # inputs are kept, the gate is asked anew
    assert browser.run("return document.getElementById('batch').value") == typed
    assert bool(gates) == (not browser.one("#batch").is_displayed())


@pytest.mark.parametrize("name", (*NAMES, cards.RESCUE))
def test_names_and_words_for_everything(phone, name):
    browser = phone(name)
    if name != cards.RESCUE:
        pass_gate(browser, name)
        browser.one("#batch").send_keys("500", Keys.TAB)
    assert browser.axe() == []
    assert browser.run("return document.documentElement.scrollWidth") <= PHONE[0]


@pytest.mark.parametrize("name", (*NAMES, cards.RESCUE))
def test_the_tab_key_goes_through_a_card_in_reading_order_and_is_seen(phone, name):
    browser = phone(name)
    if name != cards.RESCUE:
        pass_gate(browser, name)
    browser.run("document.activeElement?.blur(); scrollTo(0, 0)")
    assert len(browser.tabbed(30)) >= 3


@pytest.mark.parametrize("name", NAMES)
def test_the_card_on_the_wall(phone, name):
    """Printed: a row for each batch from 100 g to 5 kg with the answers of the page; no litres where no room is chosen; the table on one sheet."""
    browser = phone(name)
    if name == "ice":
        told = browser.run("return [...document.querySelectorAll('#wall tbody tr')].map((row) => row.cells[3].textContent)")
        assert told == ["not told before the room is"] * len(cards.WALL)
    pass_gate(browser, name)
    card, egg = cards.CARDS[name], "pasteurised egg" if name == "sauce" else None
    key, (words, condition) = card.products()[0], list(card.conditions().items())[card.usual]
    browser.run(READ, [(key, words, "500")])
    cells = browser.run("return [...document.querySelectorAll('#wall tbody tr')].map("
                        "(row) => [...row.cells].map((cell) => cell.textContent.replace(/(?<=[0-9])\u00a0(?![0-9])/g, ' ')))")
    spill = tonight.spill(Q_(200, "m**3"), Q_(10, "L"))
    assert cells == [[f"{grams} g", *wanted(card, key, condition, egg, grams, spill)] for grams in cards.WALL]
    browser.driver.execute_cdp_cmd("Emulation.setEmulatedMedia", {"media": "print"})
    browser.driver.execute_cdp_cmd("Emulation.setDeviceMetricsOverride", {"width": 1047, "height": 718, "deviceScaleFactor": 1, "mobile": False})
    try:
        browser.shot(f"{name}_wall")
        wall = browser.run("const box = document.getElementById('wall').getBoundingClientRect(); return [box.top, box.bottom]")
        assert wall[0] >= 0 and wall[1] <= 718, "A4 across less its margins, 277 mm by 190 mm at 96 dots an inch"
    finally:
        browser.driver.execute_cdp_cmd("Emulation.setEmulatedMedia", {"media": ""})
