"""In a real browser: key press to painted of every explorer beside plain `interact`; page open to first picture; ten pages; what a machine carries.

Run by hand, with Chromium and its driver:
    python tests/speed/browser_speed.py [WORD]        explorers with WORD in their name (panels, then pages); about 5 minutes for all
    python tests/speed/browser_speed.py --capacity    pages without a browser, as so many phones would ask for them; about 2 minutes

All times are taken inside the browser, by its own clock. What is compared is measured in turns in one run; read the ratios, not the
milliseconds of a busy machine. Nothing passes or fails by time.
"""
import argparse
import asyncio
import html
import importlib.util
import json
import os
import re
import shutil
import statistics
import sys
import sysconfig
import tempfile
import time
import urllib.error
import urllib.request
from pathlib import Path

import nbformat
import numpy as np
import psutil
from jupyter_server.services.kernels.connection.base import serialize_msg_to_ws_v1
from selenium import webdriver
from selenium.webdriver.common.keys import Keys
from tornado.httpclient import HTTPRequest
from tornado.websocket import websocket_connect

from panel_speed import found

from kitchenlib.teaching.panel import Choice

HERE = Path(__file__).resolve().parent
LESSONS = HERE.parents[1] / "lessons"
MOVES, PLAIN, HEATING = 10, 3, 1                             # key presses counted on a panel and on `interact`, and those before that
LATEST = 60.0                                                # s until something that does not come is given up
WATCH = r"""(() => {
  const after = (then) => requestAnimationFrame(() => { const c = new MessageChannel(); c.port1.onmessage = then; c.port2.postMessage(0); });
  const now = () => performance.now();
  window.kSpeed = { pressed: 0, painted: 0, first: 0 };
  document.addEventListener("keydown", () => { if (!kSpeed.pressed) { kSpeed.pressed = now(); kSpeed.painted = 0; } }, true);
  document.addEventListener("load", (event) => {
    if (event.target.tagName === "IMG" && kSpeed.pressed && !kSpeed.painted) after(() => { kSpeed.painted ||= now(); });
  }, true);
  const look = () => {
    const image = document.querySelector(".k-panel img");
    if (image && image.complete && image.naturalWidth && image.getClientRects().length) after(() => { kSpeed.first = now(); });
    else requestAnimationFrame(look);
  };
  requestAnimationFrame(look);
})()"""


def by_path(name, path):
    """A module of the tests by its path: two are called conftest."""
    spec = importlib.util.spec_from_file_location(name, path)
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


Start = by_path("shared_by_tests", HERE.parent / "conftest.py").Start


def browser():
    """A Chromium without a window and with nothing kept, watching its pages."""
    options = webdriver.ChromeOptions()
    for option in by_path("browser_tests", HERE.parent / "browser" / "conftest.py").OPTIONS:
        options.add_argument(option)
    options.binary_location = shutil.which("chromium") or shutil.which("chromium-browser") or shutil.which("google-chrome") or ""
    driver = webdriver.Chrome(options=options, service=webdriver.ChromeService(shutil.which("chromedriver")))
    driver.set_script_timeout(LATEST)
    watch(driver)
    return driver


def watch(driver):
    """Let each page that the present window opens take the times."""
    driver.execute_cdp_cmd("Page.addScriptToEvaluateOnNewDocument", {"source": WATCH})
    driver.execute_cdp_cmd("Emulation.setDeviceMetricsOverride", {"width": 1366, "height": 768, "deviceScaleFactor": 1, "mobile": False})


def until(holds, seconds=LATEST):
    end = time.monotonic() + seconds
    while time.monotonic() < end:
        if got := holds():
            return got
        time.sleep(0.02)
    raise TimeoutError("the page does not come this far")


def first_picture(driver, address):
    """Open an address -> s from the call to the first panel's picture painted."""
    driver.get(address)
    return until(lambda: driver.execute_script("return kSpeed.first")) / 1e3


# --- what is asked of a panel, and of `interact` ----------------------------------------------------------------------------------
BASELINE = '''
import io
from IPython.display import Image, display
from ipywidgets import Button, Dropdown, SelectionSlider, VBox, interactive
from matplotlib import rc_context
from matplotlib.backends.backend_agg import FigureCanvasAgg
from kitchenlib.teaching.figures import Look
from kitchenlib.teaching.panel import Slider, words_of

def plain(explorer, look=Look()):
    # The same reading and figure by `interact`: a new figure each time, drawn whole by the same library at the same size, packed as PNG.
    # A button makes it, as the engine of pages now and then loses its way where a cell does.
    def control(c):
        if not isinstance(c, Slider):
            return Dropdown(options=c.words(), value=c.start)
        stops = c.scale(look)["stops"]
        return SelectionSlider(options=stops, value=min(stops, key=lambda s: abs(s - c.start)))
    def draw(**settings):
        reading = explorer.read(**explorer.settings(look, **settings))
        with rc_context(look.style()):
            figure, moving = explorer.stage(look)
            explorer.place(moving, reading, look)
            made = io.BytesIO()
            FigureCanvasAgg(figure).print_png(made)
        display(Image(made.getvalue()))
        print(words_of(reading, look))
    place, go = VBox(), Button(description="make")
    def make(_):
        place.children = [interactive(draw, **{c.name: control(c) for c in explorer.controls.values()})]
        place.children[0].update()
    go.on_click(make)
    display(go, place)
'''


def notebook(path, cells, title):
    kernel = {"kernelspec": {"display_name": "Python 3", "language": "python", "name": "python3"}, "title": title}
    code = [nbformat.v4.new_code_cell(source) for source in cells]
    nbformat.write(nbformat.v4.new_notebook(cells=[nbformat.v4.new_markdown_cell(f"# {title}"), *code], metadata=kernel), path)


def fetch(name):
    module, _, explorer = name.partition(".")
    return f"from kitchenlib.teaching.explorers import {module}", f"{module}.{explorer}"


def pressed(driver, element, way):
    """ms from this key to the picture that it brings, by the browser's clock; the next key waits a little."""
    driver.execute_script("kSpeed.pressed = kSpeed.painted = 0")
    element.send_keys(Keys.ARROW_RIGHT if way > 0 else Keys.ARROW_LEFT)
    (took,) = until(lambda: driver.execute_script("return kSpeed.painted && [kSpeed.painted - kSpeed.pressed]"), 20)
    time.sleep(0.08)
    return took


def presses(driver, handles, number):
    """Times of key presses on the sliders in turn, each turning round at its ends, after a few that warm up."""
    where = ("const e = arguments[0], at = (name) => Number(e[name] || e.getAttribute(`aria-value${name === 'value' ? 'now' : name}`));"
             "return [at('value'), at('min'), at('max')]")
    ways, times = [1] * len(handles), []
    for n in range(HEATING + number):
        which = n % len(handles)
        value, low, high = driver.execute_script(where, handles[which])
        ways[which] = 1 if value <= low else -1 if value >= high else ways[which]
        times.append(pressed(driver, handles[which], ways[which]))
    return times[HEATING:]


def middle(times):
    return statistics.median(times)


def ninth(times):
    return sorted(times)[min(len(times) - 1, int(0.9 * len(times)))]


def compare(driver, names, place, few=False):
    """Panels and `interact` of these explorers in turns, in the open document -> {name: (panel's times, interact's times)}, printed."""
    got, lessons_met = {}, set()
    for n, name in enumerate(names):
        lesson = name.partition(".")[0]
        if few and lesson in lessons_met:
            continue
        lessons_met.add(lesson)
        try:
            panel, plain = place(n)
            times = presses(driver, panel, MOVES), presses(driver, plain, PLAIN)
        except Exception as error:                           # one that cannot be measured is said, the others go on
            print(f"{name:42} not measured: {type(error).__name__} {str(error).splitlines()[0][:80]}", flush=True)
            continue
        got[name] = times
        own, other = times
        print(f"{name:42} {middle(own):6.0f} {ninth(own):6.0f} {middle(other):9.0f} {ninth(other):6.0f} {middle(other) / middle(own):6.1f}", flush=True)
    if got:
        every = [[t for times in got.values() for t in times[which]] for which in (0, 1)]
        ratios = [middle(other) / middle(own) for own, other in got.values()]
        print(f"{'all':42} {middle(every[0]):6.0f} {ninth(every[0]):6.0f} {middle(every[1]):9.0f} {ninth(every[1]):6.0f} {middle(ratios):6.1f}"
              f"   (ratios from {min(ratios):.1f} to {max(ratios):.1f})")
    return got


HEAD = f"{'':42} {'panel':>6} {'90 %':>6} {'interact':>9} {'90 %':>6} {'times':>6}   ms from key press to painted"


def panels(driver, start, names, few=False):
    """Key press to painted, as a page and in JupyterLab (`few`: one of each lesson there): a notebook of each panel and its `interact` below."""
    cells = ["\n".join(sorted({fetch(name)[0] for name in names})) + BASELINE]
    for name in names:
        cells += [fetch(name)[1], f"plain({fetch(name)[1]})"]
    notebook(start.home / "98_speed.ipynb", cells, "Speed")
    for door, opened in (("As a page", in_page(driver, start, names)), ("In JupyterLab", in_lab(driver, start))):
        area = next(opened)                                  # gives the outputs of a code cell

        def place(n):
            panel, plain = area(1 + 2 * n, ".k-panel"), area(2 + 2 * n, "button.widget-button")
            driver.execute_script("arguments[0].scrollIntoView({block: 'center'}); arguments[0].querySelector('button.widget-button').click()", plain)
            return handles(driver, panel, "input[type=range]"), handles(driver, plain, ".noUi-handle")
        print(f"\n{door}\n{HEAD}")
        compare(driver, names, place, few and door == "In JupyterLab")


def handles(driver, within, selector):
    seen = "return [...arguments[0].querySelectorAll(arguments[1])].filter(e => e.getClientRects().length)"
    return until(lambda: driver.execute_script(seen, within, selector), 20)


def in_page(driver, start, names):
    driver.get(start.page("98_speed"))
    areas = "return [...document.querySelectorAll('#rendered_cells .jp-OutputArea')].filter(e => e.querySelector(arguments[0]))"
    for selector in (".k-panel img", "button.widget-button"):
        until(lambda: len(driver.execute_script(areas, selector)) >= len(names), 300)
    yield lambda n, selector: driver.execute_script(areas, selector)[(n - 1) // 2]


def in_lab(driver, start):
    driver.get(start.lab("98_speed"))
    until(lambda: driver.find_elements("css selector", ".jp-Notebook .jp-MarkdownOutput h1"))
    idle = lambda: driver.find_elements("css selector", ".jp-Notebook-ExecutionIndicator[data-status='idle']")
    until(idle)                                              # the kernel is there
    until(lambda: driver.find_elements("css selector", ".lm-MenuBar-item:nth-child(4)"))[0].click()
    item = until(lambda: driver.find_elements("css selector", ".lm-Menu-item[data-command='runmenu:run-all']"))[0]
    until(item.is_displayed)
    item.click()
    time.sleep(1)
    until(idle, 300)                                         # JupyterLab follows the running cell with its window
    find = """
        const [index, inside] = arguments, cell = document.querySelector(`.jp-Notebook [data-windowed-list-index="${index}"]`);
        if (cell) { cell.scrollIntoView({block: "center"}); return cell.querySelector(inside) ? cell : null; }
        const list = document.querySelector(".jp-WindowedPanel-outer"), at = list.scrollTop + 0.7 * list.clientHeight;
        list.scrollTop = at < list.scrollHeight - list.clientHeight ? at : 0; return null"""       # what is far from the window is not drawn

    def area(n, selector):
        return until(lambda: driver.execute_script(find, n + 1, selector) or time.sleep(0.4), 60)
    yield area


# --- pages --------------------------------------------------------------------------------------------------------------------------
def forget_files():
    """Put the files of Python and of its packages out of the system's memory, where it lets us -> whether it did."""
    if not hasattr(os, "posix_fadvise"):
        return False
    for top in {sysconfig.get_path("purelib"), sysconfig.get_path("platlib"), sysconfig.get_path("stdlib"), str(LESSONS.parent)}:
        for folder, _, names in os.walk(top):
            for name in names:
                try:
                    with open(os.path.join(folder, name), "rb") as file:
                        os.posix_fadvise(file.fileno(), 0, 0, os.POSIX_FADV_DONTNEED)
                except OSError:
                    pass
    return True


def lessons(word, most=None):
    """Lessons with explorers whose name has the word in it; at most so many, spread over the course."""
    names = [path.stem for path in sorted(LESSONS.glob("??_*.ipynb")) if word in path.stem and '"explorer"' in path.read_text(encoding="utf-8")]
    return names[::max(1, round(len(names) / most))][:most] if most else names


def opened(word):
    """Open to first picture: after the start with nothing in memory, then in turns with and without the warm process; ten at once."""
    names = lessons(word, 5) or lessons("10_gel", 1)
    folder = Path(tempfile.mkdtemp())
    forgot = forget_files()
    driver = browser()
    warm = Start(folder / "lessons", "--port", "8940")
    print(f"\nPage open to first picture, s\n{'first after the start, ' + ('files read anew' if forgot else 'files as they were'):42} "
          f"{first_picture(driver, warm.page(names[0])):6.1f}", flush=True)
    cold = Start(folder / "lessons", "--here", "--port", "8950")        # an author's start, the same but for the warm process
    at_rest(warm)
    times = {warm: [], cold: []}
    for name in names:
        for start in (warm, cold):
            times[start].append(first_picture(driver, start.page(name)))
            driver.get("about:blank")                        # or the next one shares the machine with what ends
            time.sleep(0.5)
    for words, start in (("opened again", warm), ("the same, each kernel started cold", cold)):
        print(f"{words + f', {len(names)} lessons':42} {middle(times[start]):6.1f}  ({min(times[start]):.1f} to {max(times[start]):.1f})")
    print(f"{'times faster by the warm process':42} {middle([c / w for w, c in zip(*times.values())]):6.1f}", flush=True)
    cold.press_ctrl_c()
    begun, last, used = at_once(driver, warm, names[0], 10)
    print(f"{'ten pages at once, the browser on here too':42} {middle(begun):6.1f}  (last {last:.1f}); MB each {used:.0f}", flush=True)
    driver.quit()
    warm.press_ctrl_c()


def at_once(driver, start, name, number):
    """Open a page in so many windows at once -> (s to each first picture, the last, MB of memory each)."""
    windows = []
    for _ in range(number):
        driver.switch_to.new_window("window")                # each is seen: a hidden one would paint nothing
        watch(driver)
        windows.append(driver.current_window_handle)
    begun = time.time()
    for window in windows:
        driver.switch_to.window(window)
        driver.execute_script("setTimeout(() => { location.href = arguments[0] }, 0)".replace("arguments[0]", json.dumps(start.page(name))))
    times = []
    for window in windows:
        driver.switch_to.window(window)
        got = until(lambda: driver.execute_script("return window.kSpeed && kSpeed.first && performance.timeOrigin + kSpeed.first"), 180)
        times.append(got / 1e3 - begun)
    return times, max(times), middle([own_memory(p) for p in kernels(start)])


def kernels(start):
    """The processes of the running pages: what the server has started, without the warm process and the server itself."""
    found = psutil.Process(start.process.pid).children(recursive=True)
    parents = {p.ppid() for p in found}
    return [p for p in found if p.pid not in parents]


def own_memory(process):
    """MB that the system gets back when this process ends."""
    made = process.memory_full_info()
    return getattr(made, "uss", made.rss) / 1e6


# --- what a machine carries: no browser, as the phones have their own ---------------------------------------------------------------
class Phone:
    """A visitor of the shared pages, without a screen."""
    def __init__(self, shared):
        self.shared, self.moved, self.opener = shared, 0, urllib.request.build_opener(urllib.request.HTTPCookieProcessor())
        word = next(line for line in shared.said if line.startswith("Password: ")).split()[1]
        hidden = re.search(r'name="_xsrf" value="([^"]+)"', self.ask("/login"))[1]
        self.ask("/login?next=%2Fnothing", f"password={word}&_xsrf={hidden}".encode())

    def ask(self, path, data=None):
        try:
            with self.opener.open(self.shared.base + path, data, timeout=300) as answer:
                return answer.read().decode()
        except urllib.error.HTTPError as error:
            return error.read().decode()

    def open(self, name):
        """The whole page, its explorers worked out -> s; kernel and first panel are kept."""
        begun = time.perf_counter()
        page = self.ask(f"/voila/render/{name}.ipynb?size=phone")
        self.kernel = re.search(r'"kernelId": ?"([^"]+)', page)[1]
        self.panel = re.search(r'widget-view\+json": ?\{[^}]*"model_id": ?"([0-9a-f]+)', html.unescape(page))[1]
        return time.perf_counter() - begun

    async def move(self, slider, values, until_when):
        """Move a slider to and fro as fast as pictures come -> how many came."""
        cookies = next(h.cookiejar for h in self.opener.handlers if hasattr(h, "cookiejar"))
        address = f"{self.shared.base.replace('http', 'ws')}/api/kernels/{self.kernel}/channels?session_id=s{id(self)}{self.moved}"
        cookies = "; ".join(f"{c.name}={c.value}" for c in cookies)
        socket = await websocket_connect(HTTPRequest(address, headers={"Cookie": cookies}), max_message_size=2 ** 28,
                                         subprotocols=["v1.kernel.websocket.jupyter.org"])
        before = self.moved
        while time.perf_counter() < until_when:
            self.moved = move = self.moved + 1
            asked = {**values, "move": move, "values": {**values["values"], slider[0]: slider[1][move % len(slider[1])]}}
            message = {"header": {"msg_id": f"m{move}", "msg_type": "comm_msg", "username": "", "session": "s", "date": "", "version": "5.3"},
                       "parent_header": {}, "metadata": {},
                       "content": {"comm_id": self.panel, "data": {"method": "update", "state": {"asked": asked}, "buffer_paths": []}}}
            packed = serialize_msg_to_ws_v1(message, "shell", lambda part: json.dumps(part).encode())
            await socket.write_message(packed, binary=True)
            while True:
                came = await socket.read_message()
                if came is None:
                    raise ConnectionError("the page's kernel hung up")
                if b'"shown"' in came and re.search(rb'"move": ?%d\b' % move, came):
                    break
        socket.close()
        return self.moved - before


def spent(start):
    """CPU s used so far: by the server, one process that all pages go through, and by it and all its kernels together."""
    mine = psutil.Process(start.process.pid)
    times = [sum(p.cpu_times()[:2]) for p in (mine, *mine.children(recursive=True))]
    return np.array([times[0], sum(times)])


def at_rest(start):
    """Wait until the warm process has imported all."""
    used = -1.0
    while spent(start)[1] - used > 0.05:
        used = spent(start)[1]
        time.sleep(1)


def capacity():
    """Pages at once and slider moves, as a table; what follows for phones on a machine, worked out from it."""
    from concurrent.futures import ThreadPoolExecutor
    from kitchenlib.teaching.explorers import gel_strength
    name, explorer = "10_gel_strength", gel_strength.strength
    first = next(c for c in explorer.controls.values() if not isinstance(c, Choice))
    look = {"temperature": "°C", "mass": "g", "narrow": True, "fine": 1, "turn": 0,
            "values": {c.name: c.start for c in explorer.controls.values()}}
    stops = first.scale(_look())["stops"]
    near = min(range(len(stops)), key=lambda i: abs(stops[i] - first.start))
    slider = (first.name, stops[max(0, near - 5):near + 5])
    cores = os.cpu_count()
    print(f"\nMeasured on {cores} cores; {psutil.virtual_memory().available / 1e9:.0f} GB free. Lesson {name} at phone size.")
    print(f"{'pages at once':>14} {'MB each':>8} {'page ready, s':>14} {'last, s':>8} {'CPU s each':>11} {'of the server':>14}")
    for number in (1, 10, 30):
        shared = Start(Path(tempfile.mkdtemp()) / "lessons", "--share", "127.0.0.1", "--port", "8960")
        phones = [Phone(shared) for _ in range(number)]
        at_rest(shared)
        free = psutil.virtual_memory().available
        before = spent(shared)
        with ThreadPoolExecutor(number) as pool:
            times = list(pool.map(lambda phone: phone.open(name), phones))
        server, cost = (spent(shared) - before) / number
        taken = (free - psutil.virtual_memory().available) / 1e6 / number
        print(f"{number:14} {middle([own_memory(p) for p in kernels(shared)]):8.0f} {middle(times):14.1f} {max(times):8.1f} {cost:11.2f} {server:14.2f}"
              f"    (the machine's free memory fell by {taken:.0f} MB a page)", flush=True)
        if number == 10:
            pictures(shared, phones, slider, look)
        if number == 1:
            mine = psutil.Process(shared.process.pid)
            print(f"{'':14} the server itself {own_memory(mine):.0f} MB, its warm process {own_memory(mine.children()[0]):.0f} MB")
        shared.press_ctrl_c()


def _look():
    from kitchenlib.teaching.figures import Look
    return Look("narrow")


def pictures(shared, phones, slider, look):
    """Slider moves with one phone and with more, as fast as they come: pictures a second, and CPU of each."""
    for number in (1, 2, 10):
        async def all_move():
            end = time.perf_counter() + 5
            return await asyncio.gather(*(phone.move(slider, look, end) for phone in phones[:number]))
        before, begun = spent(shared), time.perf_counter()
        moves = sum(asyncio.run(all_move()))
        took, (server, cpu) = time.perf_counter() - begun, spent(shared) - before
        print(f"{'':14} sliders moved at once: {number}; {moves / took:.0f} pictures a second in all, {1e3 * cpu / moves:.1f} ms of CPU each "
              f"({1e3 * server / moves:.1f} of the server): {moves / cpu:.0f} a second per core", flush=True)


def main():
    asked = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    asked.add_argument("word", nargs="?", default="", help="only explorers (lessons) with this in their name")
    asked.add_argument("--capacity", action="store_true", help="only what a machine carries, without a browser")
    asked.add_argument("--all", action="store_true", help="all explorers in JupyterLab too, not one of each lesson")
    asked.add_argument("--pages", action="store_true", help="only page open to first picture")
    chosen = asked.parse_args()
    if chosen.capacity:
        capacity()
        return
    if not chosen.pages:
        driver = browser()
        start = Start(Path(tempfile.mkdtemp()) / "lessons", "--port", "8930")
        try:
            panels(driver, start, [name for name, _ in found(chosen.word)], few=not chosen.word and not chosen.all)
        finally:
            driver.quit()
            start.press_ctrl_c()
    opened(chosen.word)


if __name__ == "__main__":
    sys.exit(main())
