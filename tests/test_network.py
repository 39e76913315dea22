"""Pages for the kitchen's phones: password first, lessons only, nothing to edit. On loopback; asked over HTTP as a phone does."""
import asyncio
import http.cookiejar
import json
import re
import socket
import time
import urllib.error
import urllib.parse
import urllib.request

import nbformat
import psutil
import pytest
import tornado.web
from test_start import sample
from traitlets.config import Config

from kitchenlib.teaching import network, start


class Phone:
    """A browser's memory for cookies, and no more."""
    def __init__(self, base):
        self.base, self.cookies = base, http.cookiejar.CookieJar()
        self.opener = urllib.request.build_opener(urllib.request.HTTPCookieProcessor(self.cookies))

    def ask(self, path, data=None, method=None):
        """Status, address where it ended, text."""
        asked = urllib.request.Request(self.base + path, data, method=method)
        try:
            with self.opener.open(asked, timeout=90) as answer:
                return answer.status, answer.url.removeprefix(self.base), answer.read().decode()
        except urllib.error.HTTPError as error:
            return error.code, error.url.removeprefix(self.base), error.read().decode()

    def log_in(self, word):
        hidden = re.search(r'name="_xsrf" value="([^"]+)"', self.ask("/login")[2])[1]
        return self.ask("/login?next=%2Fapi%2Fnothing", urllib.parse.urlencode({"password": word, "_xsrf": hidden}).encode())


@pytest.fixture(scope="module", autouse=True)
def private(shared):
    """What the instructor's folder holds beside the lessons."""
    (shared.home / "answers").mkdir()
    for path in ("answers/10_gel_strength.ipynb", "mine.ipynb"):
        nbformat.write(sample([nbformat.v4.new_code_cell("print('the ' + 'secret')")]), shared.home / path)
    (shared.home / "answers-k2-s-1.csv").write_text("kept", encoding="utf-8")


@pytest.fixture(scope="module")
def guest(shared):
    phone = Phone(shared.base)
    phone.log_in(shared.word)
    return phone


def test_without_the_password_there_is_no_page(shared):
    for path in ("/", "/voila/render/00_start_here.ipynb", "/voila/render/10_gel_strength.ipynb"):
        status, where, text = Phone(shared.base).ask(path)
        assert status == 200 and where.startswith("/login") and "<h1>Lessons</h1>" in text and "Start here" not in text
        assert 'for="password"' in text and "http://" not in text and "cdn" not in text


@pytest.mark.parametrize("word", ["", "password", "wrong-wrong-wrong"])
def test_a_wrong_password_opens_nothing(shared, word):
    phone = Phone(shared.base)
    status, _, text = phone.log_in(word)
    assert status == 401 and "That is not the password" in text
    assert phone.ask("/")[1].startswith("/login")


def test_html_in_password_and_address_stays_text(shared):
    phone = Phone(shared.base)
    status, _, text = phone.log_in('"><script>alert(1)</script>')
    assert status == 401 and "That is not the password" in text and "<script" not in text
    assert "<script" not in phone.ask("/login?next=%22%3E%3Cscript%3Ealert(1)%3C/script%3E")[2]


def test_guessing_gets_slow_and_the_right_password_still_opens(shared):
    def took(word):
        before = time.monotonic()
        assert (Phone(shared.base).log_in(word)[0] == 401) == (word != shared.word)
        return time.monotonic() - before
    took(shared.word)                                        # whatever other tests typed is forgotten
    seconds = [took("wrong-wrong-wrong") for _ in range(network.FREE + 1)]
    assert seconds[-1] > network.wait(network.FREE) > 0.3 + max(seconds[:-1]), seconds
    assert took(shared.word) > network.wait(network.FREE + 1)
    assert took("wrong-wrong-wrong") < network.wait(network.FREE)


def test_the_password_opens_the_lessons(shared, guest):
    nbformat.write(sample([nbformat.v4.new_code_cell("import os; print('for', os.environ['KITCHENLIB_VISITORS'], 6 * 7)")]),
                   shared.home / "97_half.ipynb")
    status, _, text = guest.ask("/voila/render/97_half.ipynb")
    assert status == 200 and "for yes 42" in text
    assert "/lab/tree/" not in text and "with its code" not in text


def test_rubbish_behind_an_address_changes_nothing(guest):
    status, _, text = guest.ask("/voila/render/97_half.ipynb?size=%3Cimg%20src%3Dx%3E&template=reveal&theme=dark&next=%22%3E%3Cscript%3E")
    assert status == 200 and "for yes 42" in text and "<img src=x" not in text and "reveal" not in text


@pytest.mark.parametrize("path", [
    "/voila/render/answers/10_gel_strength.ipynb", "/voila/render/mine.ipynb", "/voila/render/98_nowhere.ipynb", "/voila/tree",
    "/voila/tree/answers", "/voila/api/contents", "/voila/api/contents/answers", "/voila/files/answers-k2-s-1.csv",
    "/files/answers-k2-s-1.csv", "/answers-k2-s-1.csv", "/api/contents", "/api/contents/answers-k2-s-1.csv", "/api/kernels", "/api/sessions",
    "/api/terminals", "/lab", "/lab/tree/10_gel_strength.ipynb", "/tree", "/edit/settings.csv",
    "/voila/render/..%2F..%2Fsecret.ipynb", "/voila/render/10_gel_strength.ipynb/x", "/voila/render/%2e%2e%2fsettings.csv",
    "/voila/render/..%5csettings.csv", "/voila/render/../../settings.csv", "/voila/render/10_gel_strength.ipynb%00", "/voila/render/%ff.ipynb",
    "/voila/render/10_%3Cscript%3Ealert(1)%3C%2Fscript%3E.ipynb", "/voila/templates/..%2fsettings.csv", "/%0d%0aSet-Cookie:%20a=b",
    "/voila/render/10_" + "a" * 60_000 + ".ipynb"], ids=lambda path: path[:60])
def test_there_is_nothing_else_with_the_password_or_without(guest, shared, path):
    for phone in (guest, Phone(shared.base)):
        status, where, text = phone.ask(path)
        assert status == 404 or where.startswith("/login")
        leaks = ("secret", "kept", "Traceback", "<script>alert", str(shared.home), "site-packages")
        assert not [leak for leak in leaks if leak in text] and "Set-Cookie: a" not in text
    assert guest.ask(path)[0] == 404


@pytest.mark.parametrize("method", ["POST", "PUT", "PATCH", "DELETE"])
def test_nothing_can_be_written(guest, method):
    for path in ("/api/contents/10_gel_strength.ipynb", "/api/kernels", "/voila/api/contents", "/voila/render/10_gel_strength.ipynb"):
        assert guest.ask(path, json.dumps({"type": "file"}).encode(), method)[0] in (403, 404, 405)


def test_a_program_that_speaks_to_a_kernel_as_no_browser_does_is_refused(shared, guest):
    """The engine counts to a garbled number for each picture sent over its older protocol: nobody else's page would answer then."""
    kernel = re.search(r'"kernelId": ?"([^"]+)', guest.ask("/voila/render/97_half.ipynb")[2])[1]
    address, cookies = f"{shared.base}/api/kernels/{kernel}/channels", "; ".join(f"{c.name}={c.value}" for c in guest.cookies)
    line = {"Connection": "Upgrade", "Upgrade": "websocket", "Sec-WebSocket-Version": "13", "Sec-WebSocket-Key": "a2l0Y2hlbi1sZXNzb25zIQ=="}

    def status(more):
        with socket.create_connection(("127.0.0.1", int(shared.base.rpartition(":")[2])), 30) as wire:
            heads = {"Host": shared.base[7:], "Cookie": cookies, **line, **more}
            wire.sendall("\r\n".join([f"GET {address[len(shared.base):]} HTTP/1.1", *map(": ".join, heads.items()), "", ""]).encode())
            return int(wire.recv(40).split()[1])
    assert status({}) == 400 and status({"Sec-WebSocket-Protocol": network.PROTOCOL}) == 101


def test_binds_the_named_address_only(shared):
    port = int(shared.base.rpartition(":")[2])
    connections = psutil.Process(shared.process.pid).net_connections("tcp")
    assert {c.laddr.ip for c in connections if c.status == psutil.CONN_LISTEN and c.laddr.port == port} == {"127.0.0.1"}


def test_says_what_the_instructor_must_know(shared, guest):
    assert guest.ask("/login?next=//nowhere.example/")[1].startswith("/voila/render/00_")         # not there, and no word of it on the screen
    said = "".join(shared.said)
    assert shared.base in said and str(shared.home) in said
    assert [word for word in ("Traceback", "404", "redirect", "session") if word in said] == []
    assert re.fullmatch("[a-z2-9]{4}-[a-z2-9]{4}-[a-z2-9]{4}", shared.word)


def test_one_ctrl_c_ends_all(shared, guest):
    """Last of those that use the shared server."""
    kernels = psutil.Process(shared.process.pid).children(recursive=True)
    assert kernels and shared.press_ctrl_c() == 0
    assert not psutil.wait_procs(kernels, timeout=10)[1]


# --- without a server --------------------------------------------------------------------------------------------------------------
def test_a_page_left_alone_frees_its_kernel(own_folder, tmp_path, monkeypatch):
    for name in ("JUPYTER_CONFIG_PATH", "JUPYTER_PATH", "JUPYTER_CONFIG_DIR", "JUPYTER_DATA_DIR", "JUPYTER_RUNTIME_DIR", "IPYTHONDIR"):
        monkeypatch.setenv(name, "")                         # put back afterwards
    monkeypatch.setattr("signal.signal", lambda *_: None)
    start.only_ours(own_folder)
    config = Config()
    start.for_pages(config)
    made = network.server(own_folder, start.FIRST, 8888, "127.0.0.1", "a password", config)
    made.connection_dir = str(tmp_path)
    kernels = made.init_settings()["kernel_manager"]
    assert kernels.cull_idle_timeout == 1800 and not kernels.cull_connected and kernels.cull_interval == 60
    assert "execute_request" not in kernels.allowed_message_types        # a visitor moves sliders and runs nothing


def test_a_full_machine_begins_no_page(monkeypatch):
    class Memory:
        available = network.ROOM - 1

    class Visit:
        current_user = "somebody"
    monkeypatch.setattr(network.psutil, "virtual_memory", Memory)
    with pytest.raises(tornado.web.HTTPError) as refused:
        asyncio.run(network.Lesson.get(Visit(), "10_gel_strength.ipynb"))
    assert refused.value.status_code == 503 and "full" in refused.value.log_message


def test_waits_grow_end_and_are_each_address_s_own(monkeypatch):
    waits, clock = [], [0.0]

    class Guess:
        current_user, tries = None, {}

        class request:
            remote_ip = "192.0.2.8"

    async def sleep(seconds):
        waits.append(seconds)
    monkeypatch.setattr(network.VoilaLoginHandler, "post", lambda self: None)
    monkeypatch.setattr(network.asyncio, "sleep", sleep)
    monkeypatch.setattr(network.time, "monotonic", lambda: clock[0])
    handler = type("Handler", (Guess, network.Login), {"__init__": lambda self: None})()

    def guess(times=1, address="192.0.2.8"):
        handler.request.remote_ip = address
        del waits[:]
        for _ in range(times):
            asyncio.run(handler.post())
        return list(waits)
    grown = guess(40)
    assert grown == sorted(grown) and grown[:network.FREE] == [0.0] * network.FREE and 0 < grown[network.FREE] < grown[-1]
    assert grown[-1] == network.LONGEST_WAIT <= 5            # nobody is shut out
    assert guess(address="192.0.2.9") == [0.0] and guess() == [network.LONGEST_WAIT]
    clock[0] = network.FORGOTTEN + 1
    assert guess() == [0.0] and set(handler.tries) == {"192.0.2.8"}
    guess(40)
    handler.current_user = "somebody"
    assert guess() == [network.LONGEST_WAIT] and guess() == [0.0]


class Server:
    ip, port = "192.0.2.7", 8888


def test_on_a_network_the_warning_is_printed(capsys):
    network.announce(Server, "/folder", "the-word", False, 8888, [])
    said = capsys.readouterr().out
    assert "NOT encrypted" in said and "http://192.0.2.7:8888" in said and "the-word" not in said


def test_an_address_that_is_not_this_machines_is_refused(capsys, own_folder):
    from kitchenlib.__main__ import main
    assert main(["--share", "192.0.2.7", "--home", str(own_folder)]) == 2
    said = capsys.readouterr().err
    assert "192.0.2.7" in said and "--share 192.168.1.20" in said and said.count("\n") == 1


def test_a_short_password_is_asked_for_again(monkeypatch, capsys):
    class Terminal:
        isatty = staticmethod(lambda: True)
    typed = iter(["short", "long enough"])
    monkeypatch.setattr(network.sys, "stdin", Terminal)
    monkeypatch.setattr(network.getpass, "getpass", lambda _: next(typed))
    assert network.ask_password() == ("long enough", False) and "8 signs" in capsys.readouterr().out
    typed = iter([""])
    word, made_up = network.ask_password()
    assert made_up and len(word) == 14
