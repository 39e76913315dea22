"""A real browser: Chromium without a window, watched for what it asks of the net."""
import base64
import json
import shutil
import urllib.parse
import urllib.request

import pytest
from axe_core_python.base import AXE_SCRIPT
from selenium import webdriver
from selenium.webdriver.common.keys import Keys
from selenium.webdriver.support.ui import WebDriverWait

OPTIONS = ("--headless=new", "--no-sandbox", "--disable-gpu", "--disable-dev-shm-usage", "--disable-background-networking",
           "--no-first-run", "--disable-component-update", "--disable-sync", "--disable-quic", "--hide-scrollbars")


@pytest.fixture(scope="session")
def chromium():
    """One browser for all tests of the run."""
    options = webdriver.ChromeOptions()
    for option in OPTIONS:
        options.add_argument(option)
    options.binary_location = shutil.which("chromium") or shutil.which("chromium-browser") or shutil.which("google-chrome") or ""
    options.set_capability("goog:loggingPrefs", {"performance": "ALL", "browser": "ALL"})
    driver = webdriver.Chrome(options=options, service=webdriver.ChromeService(shutil.which("chromedriver")))
    driver.set_script_timeout(60)
    yield driver
    driver.quit()


class Browser:
    """What the tests do with a browser."""
    def __init__(self, driver, start, shots):
        self.driver, self.start, self.shots = driver, start, shots

    def open(self, address, size=(1366, 768)):
        self.driver.execute_cdp_cmd("Emulation.setDeviceMetricsOverride", {
            "width": size[0], "height": size[1], "deviceScaleFactor": 1, "mobile": size[0] < 600})
        self.driver.get(address)

    def until(self, holds, seconds=60, message=""):
        """Wait until a function of the driver gives something true, and give that back."""
        return WebDriverWait(self.driver, seconds, poll_frequency=0.1).until(holds, message)

    def all(self, selector):
        return self.driver.find_elements("css selector", selector)

    def one(self, selector, seconds=60):
        return self.until(lambda _: next(iter(self.all(selector)), None), seconds, f"nothing matches {selector}")

    def run(self, script, *arguments):
        return self.driver.execute_script(script, *arguments)

    def scroll_to(self, element):
        self.run("arguments[0].scrollIntoView({block: 'center'})", element)
        return element

    def shot(self, name):
        """Keep a picture of what is to be seen, for people to look at."""
        (self.shots / f"{name}.png").write_bytes(base64.b64decode(self.driver.get_screenshot_as_base64()))

    def axe(self, within=None, **options):
        """What axe-core finds wrong on the page, or within a selector -> lines "rule: place"."""
        self.run(AXE_SCRIPT)
        found = self.driver.execute_async_script(
            "const [within, options, done] = arguments;"
            "axe.run(within || document, options).then(done, error => done({error: String(error)}))",
            within, options)
        assert "error" not in found, found["error"]
        assert found["passes"], "axe looked at nothing"
        return [f"{rule['id']}: {node['html'][:200]}" for rule in found["violations"] for node in rule["nodes"]]

    def tabbed(self, most):
        """Press the Tab key from where the page begins: each stop is further down the page, in sight, and ringed -> the stops' names."""
        places = []
        for _ in range(most):
            self.driver.switch_to.active_element.send_keys(Keys.TAB)
            places.append(self.run("""
                const e = document.activeElement, box = e.getBoundingClientRect(), all = [...document.querySelectorAll("*")];
                const over = document.elementFromPoint(box.x + box.width / 2, box.y + box.height / 2), look = getComputedStyle(e);
                const beside = e.type === "radio" && e.nextElementSibling ? getComputedStyle(e.nextElementSibling) : look;      // a button drawn for it
                const ring = [look, beside].some(one => one.outlineStyle !== "none" && parseFloat(one.outlineWidth) >= 2);
                return {at: all.indexOf(e), name: `${e.tagName} ${e.getAttribute("aria-label") ?? e.textContent.slice(0, 30)} ${e.dataset.name ?? e.id}`, ring,
                        seen: box.bottom > 0 && box.top < innerHeight && (e === over || e.contains(over) || Boolean(over?.contains(e)))}"""))
            if places[-1]["at"] < max(place["at"] for place in places):
                places.pop()
                break
        assert [place["at"] for place in places] == sorted({place["at"] for place in places})
        assert [place["name"] for place in places if not place["ring"]] == [] and [place["name"] for place in places if not place["seen"]] == []
        return [place["name"] for place in places]

    def asked_outside(self):
        """Addresses the browser asked for since the last call that are not of this machine."""
        asked = []
        for entry in self.driver.get_log("performance"):
            message = json.loads(entry["message"])["message"]
            if message["method"] in ("Network.requestWillBeSent", "Network.webSocketCreated"):
                asked.append(message["params"].get("request", message["params"])["url"])
        assert asked, "the browser's log is empty"
        return [url for url in asked if (parts := urllib.parse.urlparse(url)).scheme in ("http", "https", "ws", "wss")
                and parts.hostname not in ("127.0.0.1", "localhost")]

    def kernels(self):
        """Ids of the kernels the server runs."""
        ask = urllib.request.Request(f"{self.start.base}/api/kernels", headers={"Authorization": f"token {self.start.token}"})
        with urllib.request.urlopen(ask, timeout=60) as answer:
            return {kernel["id"] for kernel in json.load(answer)}


@pytest.fixture
def browser(chromium, start, tmp_path):
    chromium.get("about:blank")
    chromium.get_log("performance")
    return Browser(chromium, start, tmp_path)
