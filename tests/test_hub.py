"""A school on JupyterHub, on loopback: its shipped configuration, real system users, asked through the hub's and the servers' own REST APIs.

The users, their group and their homes are made for the test and removed after it. Other users must be able to read the installation: where
it lies in a closed folder, others may walk through the folders above it for the length of the test.
"""
import concurrent.futures
import contextlib
import http.server
import json
import os
import re
import secrets
import shutil
import socket
import stat
import subprocess
import sys
import threading
import time
import urllib.parse
import urllib.request
from pathlib import Path

import psutil
import pytest
import websocket
from jupyter_client.session import Session
from jupyter_server.services.kernels.connection.base import deserialize_msg_from_ws_v1, serialize_msg_to_ws_v1
from nbformat.v4 import new_code_cell, new_output
from test_network import Phone
from test_start import sample

from kitchenlib.teaching import copies

ROOT = Path(__file__).resolve().parents[1]
CONFIG = ROOT / "kitchenlib" / "teaching" / "hub" / "jupyterhub_config.py"
GROUP, ANNA, BEN, GUEST = "kitchen-test", "kitchen-test-anna", "kitchen-test-ben", "kitchen-test-guest"
pytestmark = [pytest.mark.hub, pytest.mark.skipif(
    sys.platform != "linux" or os.geteuid() != 0, reason="A hub runs servers as other system users, for which it needs Linux and root.")]
PROTOCOL = "v1.kernel.websocket.jupyter.org"


# --- a school for the length of the test -------------------------------------------------------------------------------------------
def run(*words, **more):
    done = subprocess.run(words, capture_output=True, encoding="utf-8", **more)
    assert done.returncode == 0, done.stderr
    return done


def wait_for(what, seconds=120):
    """What `what()` gives as soon as it gives anything."""
    end = time.monotonic() + seconds
    while not (found := what()):
        assert time.monotonic() < end, f"after {seconds} s still not: {what.__name__}"
        time.sleep(0.2)
    return found


def free_port():
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        return taken.getsockname()[1]


@contextlib.contextmanager
def way_through(*paths):
    """Others may walk through the folders above these paths, no more; afterwards all is as it was."""
    were = {}
    try:
        for folder in dict.fromkeys(above for path in paths for real in (Path(path), Path(path).resolve()) for above in (real, *real.parents)):
            mode = stat.S_IMODE(folder.stat().st_mode)
            if folder.is_dir() and not mode & stat.S_IXOTH:
                were[folder] = mode
                folder.chmod(mode | stat.S_IXOTH)
        yield
    finally:
        for folder, mode in were.items():
            folder.chmod(mode)


def processes(name):
    """Of this system user."""
    return [process for process in psutil.process_iter(["username"]) if process.info["username"] == name]


def remove_users():
    """Those of this test, of a run that was killed too."""
    for name in (ANNA, BEN, GUEST):
        for process in processes(name):
            with contextlib.suppress(psutil.NoSuchProcess):
                process.kill()
        if subprocess.run(["id", name], capture_output=True).returncode == 0:
            psutil.wait_procs(processes(name), timeout=10)
            run("userdel", "--remove", name)
    subprocess.run(["groupdel", GROUP], capture_output=True)


@pytest.fixture(scope="module")
def words():
    """{name: password} of the system users: two in the kitchen's group, a guest outside it."""
    remove_users()
    try:
        run("groupadd", GROUP)
        made = {name: secrets.token_urlsafe(9) for name in (ANNA, BEN, GUEST)}
        for name in made:
            run("useradd", "--create-home", "--shell", "/bin/sh", *(("--groups", GROUP) if name != GUEST else ()), name)
            Path("~" + name).expanduser().chmod(0o755)       # as some systems make homes: the lessons' folder must be closed by itself
        run("chpasswd", input="".join(f"{name}:{word}\n" for name, word in made.items()))
        yield made
    finally:
        remove_users()


class Hub:
    """`python -m jupyterhub -f ...` as the README says, with this test's group and free ports."""
    def __init__(self, folder):
        port, inner, routes = free_port(), free_port(), free_port()
        self.base, self.said = f"http://127.0.0.1:{port}", folder / "hub.log"
        foreign = re.compile("KITCHENLIB_|JUPYTER|JPY_|IPYTHON|PYTEST|PYTHON|CONFIGPROXY_")
        env = {name: value for name, value in os.environ.items() if not foreign.match(name)}
        with self.said.open("wb") as log:
            self.process = subprocess.Popen(
                [sys.executable, "-m", "jupyterhub", "-f", CONFIG, f"--JupyterHub.bind_url={self.base}", f"--JupyterHub.hub_port={inner}",
                 f"--ConfigurableHTTPProxy.api_url=http://127.0.0.1:{routes}", f"--LocalAuthenticator.allowed_groups={{{GROUP!r}}}"],
                cwd=folder, env=env, stdin=subprocess.DEVNULL, stdout=log, stderr=log, umask=0o077)

    def up(self):
        assert self.process.poll() is None, self.log()
        with contextlib.suppress(OSError):
            return json.load(urllib.request.urlopen(f"{self.base}/hub/api/", timeout=5))["version"]

    def log(self):
        return self.said.read_text(encoding="utf-8")

    def end(self):
        self.process.terminate()
        return self.process.wait(60)


@pytest.fixture(scope="module")
def hub(words, tmp_path_factory):
    folder = tmp_path_factory.mktemp("hub")
    folder.chmod(0o700)
    with way_through(ROOT, sys.executable, sys.prefix, sys.base_prefix):
        import pwd
        anna = pwd.getpwnam(ANNA)
        seen = subprocess.run([sys.executable, "-P", "-c", "import jupyterhub, kitchenlib.teaching.start"], cwd="/", capture_output=True,
                              encoding="utf-8", user=anna.pw_uid, group=anna.pw_gid, extra_groups=[])
        assert seen.returncode == 0, f"other users cannot read this installation: {seen.stderr}"
        running = Hub(folder)
        try:
            wait_for(running.up)
            yield running
        finally:
            running.end()


class Student(Phone):
    """A student's browser, and after log-in a token for the REST APIs."""
    def __init__(self, hub, name):
        super().__init__(hub.base)
        self.name, self.token, self.own = name, "", f"/user/{name}/"

    def log_in(self, word):
        hidden = re.search(r'name="_xsrf" value="([^"]+)"', self.ask("/hub/login")[2])[1]
        form = {"username": self.name, "password": word, "_xsrf": hidden}
        return self.ask("/hub/login?next=%2Fhub%2Fapi%2Fuser", urllib.parse.urlencode(form).encode())

    def get_token(self):
        """As the hub's own page for tokens does, with its cookies."""
        xsrf = next(cookie.value for cookie in self.cookies if cookie.name == "_xsrf")
        asked = urllib.request.Request(f"{self.base}/hub/api/users/{self.name}/tokens", b"{}",
                                       headers={"X-XSRFToken": xsrf, "Content-Type": "application/json"})
        self.token = json.load(self.opener.open(asked, timeout=30))["token"]

    def api(self, path, data=None, method=None):
        """Status and text or what the JSON says, with the token and no cookie."""
        asked = urllib.request.Request(self.base + path, None if data is None else json.dumps(data).encode(), method=method,
                                       headers={"Authorization": f"token {self.token}", "Content-Type": "application/json"})
        try:
            with urllib.request.urlopen(asked, timeout=90) as answer:
                status, text = answer.status, answer.read().decode()
        except urllib.error.HTTPError as error:
            status, text = error.code, error.read().decode()
        try:
            return status, json.loads(text)
        except ValueError:
            return status, text

    def put(self, name, *cells):
        """Save a new notebook through the own server."""
        model = {"type": "notebook", "content": sample(cells)}
        assert self.api(f"{self.own}api/contents/{name}", model, "PUT")[0] == 201

    def run(self, code):
        """What a kernel of the student's prints, asked over its channel as JupyterLab does."""
        kernel = self.api(f"{self.own}api/kernels", {"path": ""})[1]["id"]
        session = Session()
        channel = websocket.create_connection(f"{self.base.replace('http', 'ws')}{self.own}api/kernels/{kernel}/channels", timeout=60,
                                              header={"Authorization": f"token {self.token}"}, subprotocols=[PROTOCOL])
        assert channel.getsubprotocol() == PROTOCOL
        asked = session.msg("execute_request", {"code": code, "silent": False, "store_history": False, "user_expressions": {},
                                                "allow_stdin": False, "stop_on_error": True})
        channel.send_binary(serialize_msg_to_ws_v1(asked, "shell", session.pack))
        said = ""
        while True:
            _, (header, parent, _, content, *_) = deserialize_msg_from_ws_v1(channel.recv())
            if json.loads(parent).get("msg_id") == asked["header"]["msg_id"]:
                content, kind = json.loads(content), json.loads(header)["msg_type"]
                said += content.get("text", "") if kind == "stream" else content["ename"] if kind == "error" else ""
                if content.get("execution_state") == "idle":
                    break
        channel.close()
        assert self.api(f"{self.own}api/kernels/{kernel}", method="DELETE")[0] == 204
        return said


@pytest.fixture(scope="module")
def students(hub, words):
    """Anna and Ben, logged in, their servers running."""
    both = [Student(hub, name) for name in (ANNA, BEN)]
    for student in both:
        assert student.log_in(words[student.name])[0] == 200
        student.get_token()
        assert student.api(f"/hub/api/users/{student.name}/server", method="POST")[0] in (201, 202), hub.log()
    for student in both:
        def runs():
            return student.api(f"/hub/api/users/{student.name}")[1]["servers"].get("", {}).get("ready")
        wait_for(runs)
    return both


@pytest.fixture(scope="module")
def answered(students):
    """Anna has answered on a page: its text."""
    anna = students[0]
    anna.put("97_answer.ipynb", new_code_cell("from kitchenlib.files import keep_settings; keep_settings(student='S-1', **{'class': 'K2'})"),
             new_code_cell("from kitchenlib.teaching.bank.gel_strength import SWAP_BLOOM; SWAP_BLOOM.check('2.4 %')"))
    return anna.ask(f"{anna.own}voila/render/97_answer.ipynb")


def folder_of(student):
    return Path("~" + student.name).expanduser() / "kitchen-lessons"


# --- who comes in --------------------------------------------------------------------------------------------------------------------
@pytest.mark.parametrize("name, right", [(ANNA, False), (GUEST, True), ("nobody-of-the-school", False)])
def test_a_wrong_password_or_a_user_outside_the_group_opens_nothing(hub, students, words, name, right):
    stranger = Student(hub, name)
    status, where, _ = stranger.log_in(words[name] if right else "wrong-wrong")
    assert status == 403 and where.startswith("/hub/login")
    assert stranger.ask("/hub/api/user")[0] == 403
    for path in (f"/user/{ANNA}/lab", f"/user/{ANNA}/voila/render/10_gel_strength.ipynb", f"/user/{ANNA}/api/contents", "/hub/home"):
        status, where, text = stranger.ask(path)
        assert status == 403 or where.startswith("/hub/login")
        assert "data:image/png" not in text and "jupyter-config-data" not in text and '"content"' not in text


def test_everything_listens_on_this_machine_only(hub, students):
    parts = [psutil.Process(hub.process.pid), *psutil.Process(hub.process.pid).children(recursive=True)]
    listening = {connection.laddr.ip for part in parts for connection in part.net_connections() if connection.status == psutil.CONN_LISTEN}
    assert listening and listening <= {"127.0.0.1", "::1"}


# --- each in a place of his own ----------------------------------------------------------------------------------------------------
def test_each_server_runs_as_its_student(hub, students):
    import pwd
    for student in students:
        user = pwd.getpwnam(student.name)
        (server,) = [part for part in psutil.Process(hub.process.pid).children() if part.username() == student.name]
        assert set(server.uids()) == {user.pw_uid} and set(server.gids()) == {user.pw_gid}
        groups = re.search(r"^Groups:(.*)$", Path(f"/proc/{server.pid}/status").read_text(encoding="utf-8"), re.MULTILINE)[1].split()
        assert "0" not in groups
        assert student.run("import os; print(os.getuid(), os.geteuid())").split() == [str(user.pw_uid)] * 2


def test_each_has_the_lessons_in_a_closed_folder_and_no_worked_answers(students):
    shipped = {name for name in copies.shipped(copies.LESSONS, answers=False)}
    for student in students:
        listed = {entry["path"] for entry in student.api(f"{student.own}api/contents")[1]["content"]}
        assert shipped <= listed and "10_gel_strength.ipynb" in shipped and not any("answers/" in name for name in shipped)
        folder = folder_of(student)
        assert stat.S_IMODE(folder.stat().st_mode) == 0o700 and folder.owner() == student.name and not (folder / "answers").exists()


def test_a_lesson_is_a_page_below_the_students_address_with_its_picture(students):
    for student in students:
        status, where, text = student.ask(f"{student.own}voila/render/10_gel_strength.ipynb")
        assert status == 200 and where == f"{student.own}voila/render/10_gel_strength.ipynb"       # logged in by cookie: no token in it
        assert f'data-base-url="{student.own}voila/"' in text and f'href="{student.own}lab/tree/10_gel_strength.ipynb"' in text
        assert text.count("data:image/png;base64,") >= 3 and "could not be worked out" not in text
        loaded = re.findall(r"<(?:link|script|img)\b[^>]*?(?:href|src)=[\"'](/[^\"']+)", text)
        assert loaded and all(address.startswith(student.own) for address in loaded)


def test_a_page_asks_after_its_kernel_and_ends_it_as_browsers_do(students):
    """Browsers say how a page asks; a hub then wants the word of its cookie, or refuses, and the page would say that it had ended."""
    anna = students[0]
    anna.put("95_small.ipynb", new_code_cell("1"))
    text = anna.ask(f"{anna.own}voila/render/95_small.ipynb")[2]
    kernel = json.loads(re.search(r'id="jupyter-config-data"[^>]*>(.*?)</script>', text, re.DOTALL)[1])["kernelId"]
    (word,) = [cookie.value for cookie in anna.cookies if cookie.name == "_xsrf" and cookie.path == anna.own]
    by_script = re.search(r"fetch\(`\$\{baseUrl\}api/kernels/\$\{kernelId\}`.*", text)[0]

    def ask(path, data=None, **headers):
        asked = urllib.request.Request(anna.base + anna.own + path, data, headers={"Sec-Fetch-Mode": "cors", "Sec-Fetch-Site": "same-origin", **headers})
        try:
            return anna.opener.open(asked, timeout=30).status
        except urllib.error.HTTPError as error:
            return error.code
    assert ask(f"api/kernels/{kernel}") == 403 and "X-XSRFToken" in by_script
    assert ask(f"api/kernels/{kernel}", **{"X-XSRFToken": word}) == 200
    assert ask(f"voila/api/shutdown/{kernel}", urllib.parse.urlencode({"_xsrf": word}).encode()) in (200, 204)
    assert ask(f"api/kernels/{kernel}", **{"X-XSRFToken": word}) == 404


def test_links_to_pages_lead_to_the_students_own_server(students):
    anna = students[0]
    start = anna.api(f"{anna.own}api/contents/00_start_here.ipynb")[1]["content"]
    links = re.findall(r"\]\(([^)\s]*/voila/render/\d\d_\w+\.ipynb)", "".join(cell["source"] for cell in start["cells"]))
    assert len(links) >= 10 and all(link.startswith(f"{anna.own}voila/render/") for link in links)
    status, where, text = anna.ask(links[0])
    assert (status, where) == (200, links[0]) and "<h1" in text


def test_the_lab_is_set_as_at_home(students):
    anna = students[0]
    lab = anna.ask(f"{anna.own}lab/tree/00_start_here.ipynb")[2]
    config = json.loads(re.search(r'id="jupyter-config-data"[^>]*>(.*?)</script>', lab, re.DOTALL)[1])
    assert "@jupyterlab/apputils-extension:announcements" in config["disabledExtensions"] and not config["terminalsAvailable"]
    view = {"text/plain": "x", "application/vnd.jupyter.widget-view+json": {"model_id": "gone"}}
    anna.put("96_saved.ipynb", new_code_cell("x", outputs=[new_output("display_data", view)]))
    assert "widget" not in (folder_of(anna) / "96_saved.ipynb").read_text(encoding="utf-8")


def test_worked_answers_have_no_page(students):
    anna = students[0]
    assert anna.api(f"{anna.own}api/contents/answers", {"type": "directory"}, "PUT")[0] == 201
    anna.put("answers/97_half.ipynb", new_code_cell("print('the ' + 'secret')"))
    status, _, text = anna.ask(f"{anna.own}voila/render/answers/97_half.ipynb")
    assert status == 404 and "There is no such page" in text and "the secret" not in text


# --- neither reads the other's -----------------------------------------------------------------------------------------------------
def test_an_answer_is_kept_in_its_students_own_home(students, answered):
    anna, ben = map(folder_of, students)
    assert answered[0] == 200 and "could not be worked out" not in answered[2]
    (kept,) = anna.glob("answers-*.csv")
    assert kept.name == "answers-k2-s-1.csv" and "2.4 %" in kept.read_text(encoding="utf-8")
    assert stat.S_IMODE(kept.stat().st_mode) == 0o600 and kept.owner() == ANNA
    assert not [*ben.glob("answers*"), *(ROOT / "lessons").glob("answers-*")]


@pytest.mark.parametrize("path", ["api/contents", "api/contents/answers-k2-s-1.csv", "files/answers-k2-s-1.csv", "api/kernels", "lab",
                                  "voila/render/97_answer.ipynb", "voila/files/answers-k2-s-1.csv"])
def test_ben_opens_nothing_of_annas_server(students, answered, path):
    anna, ben = students
    for status, text in (ben.api(anna.own + path), ben.ask(anna.own + path)[::2]):
        assert status in (403, 404) and "2.4" not in str(text)


def test_ben_cannot_start_stop_or_look_up_annas_server_at_the_hub(students):
    anna, ben = students
    for method in ("POST", "DELETE"):
        assert ben.api(f"/hub/api/users/{anna.name}/server", method=method)[0] in (403, 404)
    assert ben.api(f"/hub/api/users/{anna.name}")[0] in (403, 404) and ben.api("/hub/api/users")[0] == 403
    assert ben.api(f"/hub/api/users/{anna.name}/tokens", {})[0] in (403, 404)
    assert anna.api(f"{anna.own}api/status")[0] == 200


def test_a_kernel_of_bens_reads_nothing_of_annas(students, answered):
    anna, ben = students
    (kept,) = folder_of(anna).glob("answers-*.csv")
    for tried in (f"open({str(kept)!r})", f"open({str(kept)!r}, 'a')", f"import os; os.listdir({str(kept.parent)!r})"):
        assert ben.run(tried) == "PermissionError"
    assert ben.run(f"import os; os.symlink({str(kept)!r}, 'link.csv'); open('link.csv')") == "PermissionError"
    status, said = ben.api(f"{ben.own}api/contents/link.csv")
    assert status >= 400 and "2.4 %" not in str(said)
    assert anna.run(f"print(len(open({str(kept)!r}).read()) > 0)") == "True\n"


def test_nothing_of_the_hubs_own_is_open_to_a_student(hub, students):
    folder = hub.said.parent
    assert students[1].run(f"import os; os.listdir({str(folder)!r})") == "PermissionError"
    assert {"jupyterhub.sqlite", "jupyterhub_cookie_secret"} <= {path.name for path in folder.iterdir()}


# --- the instructor ----------------------------------------------------------------------------------------------------------------
def test_the_instructor_collects_and_marks_what_is_each_students_own(students, answered, tmp_path):
    anna, ben = students
    (kept,) = folder_of(anna).glob("answers-*.csv")
    ben.run(f"import os; os.symlink({str(kept)!r}, 'answers-k2-s-2.csv'); os.mkfifo('answers-k2-s-3.csv')")
    collect = [sys.executable, "-m", "kitchenlib.teaching.hub.collect", str(tmp_path / "k2")]
    said = run(*collect, "--group", GROUP, cwd=ROOT).stdout
    assert said == f"{ANNA}: 1 answer file\n{BEN}: 1 answer file\n"                               # Ben's pipe, empty
    assert (tmp_path / "k2" / ANNA / kept.name).read_bytes() == kept.read_bytes()
    assert not (tmp_path / "k2" / BEN / "answers-k2-s-2.csv").exists()
    run(sys.executable, "-m", "kitchenlib", "mark", str(tmp_path / "k2"), "--class", "K2", "--lesson", "10", "--to", str(tmp_path), cwd=ROOT)
    (table,) = tmp_path.glob("marks*.csv")
    assert [line.split(",")[0].strip('"') for line in table.read_text(encoding="utf-8-sig").splitlines()[1:]] == ["s-1"]
    wrong = subprocess.run([*collect, "--group", "no-such-group"], cwd=ROOT, capture_output=True, encoding="utf-8")
    assert wrong.returncode == 2 and "--group" in wrong.stderr and wrong.stderr.count("\n") == 1


# --- the proxy ---------------------------------------------------------------------------------------------------------------------
class Slow(http.server.BaseHTTPRequestHandler):
    def do_GET(self):
        time.sleep(2)
        self.send_response(200)
        self.end_headers()
        self.wfile.write(b"late")

    def log_message(self, *_):
        pass


def test_the_proxy_lets_a_whole_class_wait_at_once():
    """Of 50 answers that take 2 s each the stock proxy passes on ten at a time: 10 s."""
    port = free_port()
    with http.server.ThreadingHTTPServer(("127.0.0.1", 0), Slow) as slow:
        threading.Thread(target=slow.serve_forever, daemon=True).start()
        proxy = subprocess.Popen([sys.executable, "-m", "kitchenlib.teaching.hub.proxy", "--ip", "127.0.0.1", "--port", str(port), "--api-ip", "127.0.0.1",
                                  "--api-port", str(free_port()), "--default-target", f"http://127.0.0.1:{slow.server_port}", "--log-level", "error"], cwd=ROOT)

        def ask(_=None):
            return urllib.request.urlopen(f"http://127.0.0.1:{port}/", timeout=30).read()

        def up():
            with contextlib.suppress(OSError):
                return ask()
        try:
            wait_for(up, 30)
            began = time.monotonic()
            with concurrent.futures.ThreadPoolExecutor(50) as many:
                assert set(many.map(ask, range(50))) == {b"late"}
            assert time.monotonic() - began < 8
        finally:
            proxy.terminate()
            proxy.wait(10)
            slow.shutdown()


def test_the_hub_ends_and_with_it_every_server(hub, students):
    """Last: it ends the shared hub."""
    assert all(processes(student.name) for student in students)
    hub.end()
    wait_for(lambda: not any(processes(student.name) for student in students), 20)
