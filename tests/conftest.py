"""Shared by all tests: a user's folder of one's own, and a running start."""
import os
import re
import signal
import socket
import subprocess
import sys
import threading
from pathlib import Path

import pytest

pytest.register_assert_rewrite("doors")                     # its assertions then tell what they compared, as a test's do
ROOT = Path(__file__).resolve().parents[1]


@pytest.fixture
def own_folder(tmp_path, monkeypatch):
    """An empty folder that is the user's own for the length of one test."""
    folder = tmp_path / "kitchen-lessons"
    folder.mkdir()
    monkeypatch.setenv("KITCHENLIB_HOME", str(folder))
    return folder


class Start:
    """`python -m kitchenlib --no-browser` in a process of its own, as a user runs it; `clone` holds the module, `more` goes into the environment."""
    def __init__(self, home, *options, clone=ROOT, more=None):
        new_group = {"creationflags": subprocess.CREATE_NEW_PROCESS_GROUP} if sys.platform == "win32" else {"start_new_session": True}
        self.home = home
        self.process = subprocess.Popen([sys.executable, "-m", "kitchenlib", "--no-browser", "--home", str(home), *options], cwd=clone,
                                        env={**os.environ, **(more or {})}, stdin=subprocess.DEVNULL, stdout=subprocess.PIPE,
                                        stderr=subprocess.STDOUT, encoding="utf-8", errors="surrogateescape", **new_group)
        self.said, self.ready = [], threading.Event()
        self.reader = threading.Thread(target=self._read, daemon=True)
        self.reader.start()
        assert self.ready.wait(120) and self.process.poll() is None, "".join(self.said)
        self.address = next(line.strip() for line in self.said if line.strip().startswith("http"))
        self.base, self.token = re.fullmatch(r"(http://127\.0\.0\.1:\d+)(?:/.*\?token=(.+))?", self.address).groups()

    def _read(self):
        for line in self.process.stdout:
            self.said.append(line)
            if "Ctrl-C" in line:
                self.ready.set()
        self.ready.set()

    def page(self, name):
        return f"{self.base}/voila/render/{name}.ipynb?token={self.token}"

    def lab(self, name):
        return f"{self.base}/lab/tree/{name}.ipynb?token={self.token}"

    def press_ctrl_c(self):
        """Interrupt the process as a terminal does -> its exit code."""
        if self.process.poll() is None:
            self.process.send_signal(getattr(signal, "CTRL_BREAK_EVENT", signal.SIGINT))
        code = self.process.wait(60)
        self.reader.join(10)
        return code


@pytest.fixture
def begin():
    """Begins a start with the given folder and options; what still runs at the end of the test is ended."""
    begun = []

    def one_more(home, *options, **more):
        begun.append(Start(home, *options, **more))
        return begun[-1]
    yield one_more
    for running in begun:
        running.press_ctrl_c()


@pytest.fixture(scope="session")
def new_start():
    """The class itself, for a test that starts its own; to import it fails where the browser tests are collected too (two are called conftest)."""
    return Start


@pytest.fixture(scope="session")
def start(tmp_path_factory):
    """A running start with its own folder; port 8888, or whichever is asked first, is taken."""
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        running = Start(tmp_path_factory.mktemp("start") / "kitchen-lessons", "--port", str(taken.getsockname()[1]))
        running.taken = taken.getsockname()[1]
        yield running
        running.press_ctrl_c()


@pytest.fixture(scope="module")
def shared(tmp_path_factory):
    """A running start that shares its pages; on loopback, so that nothing of the tests is on a network."""
    running = Start(tmp_path_factory.mktemp("shared") / "kitchen-lessons", "--share", "127.0.0.1", "--port", "8871")
    running.word = next(line for line in running.said if line.startswith("Password: ")).split()[1]
    yield running
    running.press_ctrl_c()
