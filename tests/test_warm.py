"""Kernels for pages, made of a warm process: nothing of one page or user is in the next, what fails falls back, and all end together."""
import json
import os
import re
import socket
import subprocess
import sys
import threading
import time
import urllib.request

import nbformat
import psutil
import pytest
from jupyter_client.blocking import BlockingKernelClient
from jupyter_client.connect import write_connection_file
from test_start import get, sample

from kitchenlib.teaching import kernels, warm

ROOMS = "kitchenlib.teaching.warm"


@pytest.fixture(scope="module")
def served(tmp_path_factory, new_start):
    """A start of its own with a page that says in what it runs and leaves something behind."""
    running = new_start(tmp_path_factory.mktemp("warm") / "kitchen-lessons", "--port", "8861")
    code = ("import os, random, sys, numpy, kitchenlib\n"
            "print('found', getattr(kitchenlib, 'left', 'nothing'), os.environ.get('LEFT', 'nothing'), 'x' in dir())\n"
            "kitchenlib.left = os.environ['LEFT'] = 'something'; x = 1\n"
            "print('asked', os.environ['QUERY_STRING'], os.environ['HTTP_USER_AGENT'], os.path.samefile('.', os.environ['KITCHENLIB_HOME']))\n"
            f"print('warm', '{ROOMS}' in ' '.join(__import__('psutil').Process(os.getppid()).cmdline()), 'dice', random.random())")
    nbformat.write(sample([nbformat.v4.new_code_cell(code)]), running.home / "97_seen.ipynb")
    yield running
    running.press_ctrl_c()


def seen(served, query=""):
    """What a new page of it says."""
    ask = urllib.request.Request(f"{served.base}/voila/render/97_seen.ipynb{query}",
                                 headers={"Authorization": f"token {served.token}", "User-Agent": f"phone{query[-1:]}"})
    with urllib.request.urlopen(ask, timeout=60) as answer:
        return answer.read().decode()


def warm_one(served):
    return next(p for p in psutil.Process(served.process.pid).children() if ROOMS in p.cmdline())



def test_each_page_is_a_fresh_one_and_knows_who_asked(served):
    pages = [seen(served, f"?size={n}") for n in (1, 2)]
    for n, page in zip((1, 2), pages):
        assert "found nothing nothing False" in page
        assert f"asked size={n} phone{n} True" in page
        assert f"warm {warm.FORKS}" in page
    assert pages[0].partition("dice")[2][:15] != pages[1].partition("dice")[2][:15]


def test_jupyterlabs_own_kernels_start_cold(served):
    before = set(psutil.Process(served.process.pid).children())
    assert get(served, "/api/kernels", method="POST")[0] == 201
    (new,) = set(psutil.Process(served.process.pid).children()) - before
    assert "ipykernel_launcher" in new.cmdline()


def test_without_the_warm_process_a_page_still_comes(served):
    old = warm_one(served)
    old.kill()
    psutil.wait_procs([old], 10)
    assert "found nothing" in seen(served) and "found nothing" in seen(served)
    assert warm_one(served).pid != old.pid


def test_a_page_whose_kernel_is_killed_gets_another(served):
    page = seen(served)
    kernel = re.search(r'"kernelId": ?"([^"]+)', page)[1]
    forks = warm_one(served).children()
    assert forks if warm.FORKS else True
    said = len(served.said)
    for fork in forks:
        fork.kill()
    end = time.monotonic() + 60
    while warm.FORKS and not [new for new in warm_one(served).children() if new not in forks] and time.monotonic() < end:
        time.sleep(0.3)
    assert time.monotonic() < end and json.loads(get(served, f"/api/kernels/{kernel}")[1])["execution_state"] != "dead"
    assert "Traceback" not in "".join(served.said[said:])


def test_a_server_that_is_killed_takes_all_with_it(served):
    """Last of those that use the server."""
    seen(served)
    all_of_them = psutil.Process(served.process.pid).children(recursive=True)
    assert len(all_of_them) >= 2
    served.process.kill()
    assert not psutil.wait_procs(all_of_them, timeout=20)[1]


def test_one_ctrl_c_ends_a_start_in_the_middle_of_a_page(tmp_path, new_start):
    busy = new_start(tmp_path / "kitchen-lessons", "--port", "8862")
    nbformat.write(sample([nbformat.v4.new_code_cell("import time; time.sleep(300)")]), busy.home / "97_busy.ipynb")
    asking = threading.Thread(target=get, args=(busy, "/voila/render/97_busy.ipynb"), daemon=True)
    asking.start()
    children = psutil.Process(busy.process.pid).children
    end = time.monotonic() + 60
    while len(children(recursive=True)) < 2 and time.monotonic() < end:
        time.sleep(0.2)
    time.sleep(2)                                            # the cell has begun
    assert busy.press_ctrl_c() == 0 and "Traceback" not in "".join(busy.said)


# --- without a server --------------------------------------------------------------------------------------------------------------
def test_what_is_warm_has_read_nothing_of_the_users(own_folder):
    for name in ("shelf.csv", "settings.csv", "readings.csv", "answers-k2-s-1.csv"):
        (own_folder / name).write_text("setting,value\nsize,phone\n", encoding="utf-8")
    code = ("import os, sys, threading; opened = []\n"
            "sys.addaudithook(lambda event, given: opened.append(str(given[0])) if event in ('open', 'os.listdir', 'os.scandir') else None)\n"
            "import kitchenlib.teaching.warm as warm; warm.get_warm()\n"
            "print(len(opened) > 100, [path for path in opened if path.startswith(os.environ['KITCHENLIB_HOME'])], threading.active_count(),\n"
            "      len(os.listdir('/proc/self/task')) if warm.FORKS else 1)")
    done = subprocess.run([sys.executable, "-c", code], env={**os.environ, "OPENBLAS_NUM_THREADS": "1"}, capture_output=True, encoding="utf-8")
    assert done.stdout.split("\n")[0] == "True [] 1 1", done.stdout + done.stderr


def until_it_listens(port, seconds=60):
    end = time.monotonic() + seconds
    while time.monotonic() < end:
        with socket.socket() as asked:
            if not asked.connect_ex(("127.0.0.1", port)):
                return
        time.sleep(0.2)
    raise AssertionError("no kernel listens")


@pytest.mark.parametrize("forks", [True, False])
def test_a_kernel_answers_and_ends_either_way(forks, tmp_path, monkeypatch):
    """As on Windows and macOS too, where the warm process itself becomes the kernel."""
    if forks and not warm.FORKS:
        pytest.skip("processes are not forked here")
    monkeypatch.setattr(kernels, "FORKS", forks)
    monkeypatch.setattr(kernels, "COMMAND", [sys.executable, "-c", f"import kitchenlib.teaching.warm as w; w.FORKS = {forks}; w.main()"])
    path, _ = write_connection_file(str(tmp_path / "kernel.json"))
    keeper = kernels.Warm()
    keeper.begin()
    first = keeper.process
    process = keeper.kernel(["-f", path], {**os.environ, "QUERY_STRING": "size=phone"}, str(tmp_path))
    assert (process.pid != first.pid) == forks and process.poll() is None
    client = BlockingKernelClient(connection_file=path)
    client.load_connection_file()
    until_it_listens(client.shell_port)
    client.start_channels()
    client.wait_for_ready(timeout=60)
    heard = []
    client.execute_interactive("import os; print(os.environ['QUERY_STRING'], os.getcwd())", timeout=60, output_hook=heard.append)
    assert any(f"size=phone {tmp_path}" in m["content"].get("text", "") for m in heard)
    client.shutdown()
    client.stop_channels()
    assert not psutil.wait_procs([psutil.Process(process.pid)] if process.poll() is None else [], 20)[1] and process.poll() is not None
    if forks:
        first.stdin.close()                                  # as when the server ends
        assert first.wait(20) == 0


def test_a_warm_process_that_fails_gives_none(monkeypatch):
    monkeypatch.setattr(kernels, "COMMAND", [sys.executable, "-c", "raise SystemExit('nothing to import')"])
    if warm.FORKS:
        assert kernels.Warm().kernel(["-f", "nowhere"], {}, None) is None
