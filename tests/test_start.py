"""The start as a user meets it: one process, asked over HTTP."""
import http.client
import json
import re
import socket
import subprocess
import sys
import urllib.error
import urllib.request

import nbformat
import psutil
import pytest

from kitchenlib.__main__ import COMMANDS, main
from kitchenlib.teaching import start as module


def get(start, path, token=True, method="GET"):
    """Status and text of an address of the running start."""
    ask = urllib.request.Request(start.base + path, method=method, headers={"Authorization": f"token {start.token}"} if token else {})
    try:
        with urllib.request.urlopen(ask, timeout=60) as answer:
            return answer.status, answer.read().decode()
    except urllib.error.HTTPError as error:
        return error.code, error.read().decode()


def sample(cells, **metadata):
    kernel = {"kernelspec": {"display_name": "Python 3", "language": "python", "name": "python3"}}
    return nbformat.v4.new_notebook(cells=cells, metadata=kernel | metadata)


@pytest.fixture(scope="module")
def page(start):
    """Status and text of a small lesson's page; nobody closes it, so its kernel stays."""
    text, code = nbformat.v4.new_markdown_cell, nbformat.v4.new_code_cell
    nbformat.write(sample([
        text("# Half and half\n\nShare $\\frac{a}{b}$, price \\$3, code `$x$`."), code("print('reached', 6 * 7)"),
        code("raise ValueError('dose = 50 % is outside 0.2 to 2.5 %')"),
        code("import warnings; warnings.warn('for authors'); print('goes on')")]),
        start.home / "97_half.ipynb")
    return get(start, "/voila/render/97_half.ipynb")


# --- the start --------------------------------------------------------------------------------------------------------------------
def test_prints_the_exact_address(start):
    assert get(start, start.address.removeprefix(start.base), token=False)[0] == 200
    assert len(start.token) >= 24


def test_a_taken_port_moves_on_and_is_said(start):
    port = int(start.base.rpartition(":")[2])
    assert port != start.taken
    assert any(f"Port {start.taken} is taken" in line and str(port) in line for line in start.said)


def test_asks_for_the_token(start):
    assert get(start, "/api/contents", token=False)[0] == 403
    assert get(start, "/api/contents")[0] == 200


def test_listens_on_loopback_only(start):
    port = int(start.base.rpartition(":")[2])
    connections = psutil.Process(start.process.pid).net_connections("tcp")
    listening = {c.laddr.ip for c in connections if c.status == psutil.CONN_LISTEN and c.laddr.port == port}
    assert listening == {"127.0.0.1"}


def test_prints_nothing_but_its_own_lines(start):
    assert not re.search(r"\[\w+ \d{4}-|Warning|warning|Traceback", "".join(start.said))


def test_no_news_and_no_update_look_up(start):
    assert json.loads(get(start, "/lab/api/news")[1])["news"] == []
    assert json.loads(get(start, "/lab/api/update")[1])["notification"] is None
    config = json.loads(re.search(r'id="jupyter-config-data"[^>]*>(.*?)</script>', get(start, "/lab")[1], re.DOTALL)[1])
    assert "@jupyterlab/apputils-extension:announcements" in config["disabledExtensions"]


def test_opens_no_browser_without_a_desktop(monkeypatch):
    monkeypatch.setattr(sys, "platform", "linux")
    for name in ("DISPLAY", "WAYLAND_DISPLAY"):
        monkeypatch.delenv(name, raising=False)
    assert not module.desktop()
    monkeypatch.setenv("DISPLAY", ":0")
    assert module.desktop()


# --- pages -------------------------------------------------------------------------------------------------------------------------
def test_a_page_runs_without_code(page):
    status, text = page
    assert status == 200 and "reached 42" in text and "6 * 7" not in text
    assert "<title>Half and half</title>" in text and 'lang="en"' in text


def test_a_page_draws_formulas_without_a_script(page):
    text = page[1]
    assert "<mfrac>" in text and "price $3" in text and "<code>$x$</code>" in text


def test_a_page_loads_nothing_from_elsewhere(page):
    text = page[1]
    loaded = re.findall(r"<(?:link|script|img|iframe)\b[^>]*?(?:href|src)=[\"']([^\"']+)", text)
    loaded += re.findall(r"url\(\s*[\"']?([^)\"']+)", text)
    assert loaded and not [address for address in loaded if re.match(r"(https?:)?//", address)]
    assert "cdn" not in text.lower()


def test_an_error_on_a_page_is_one_sentence_and_the_rest_goes_on(page):
    text = page[1]
    assert "This part could not be worked out: dose = 50 % is outside 0.2 to 2.5 %" in text
    assert "goes on" in text
    for inner in ("Traceback", "ipykernel", "for authors"):
        assert inner not in text


def test_answers_have_no_page_and_are_not_listed(start):
    (start.home / "answers").mkdir(exist_ok=True)
    nbformat.write(sample([nbformat.v4.new_code_cell("print('the ' + 'secret')")]), start.home / "answers" / "97_half.ipynb")
    status, page = get(start, "/voila/render/answers/97_half.ipynb")
    assert status == 404 and "There is no such page" in page and "the secret" not in page
    for path in ("/voila/tree", "/voila/tree/answers"):
        assert "answers" not in get(start, path)[1]


def test_a_page_that_is_not_there_says_so_in_a_sentence(start):
    status, page = get(start, "/voila/render/98_nowhere.ipynb")
    assert status == 404 and "There is no such page" in page and "Traceback" not in page and "cdn" not in page


def test_an_address_of_an_earlier_start_says_what_to_do(start):
    for path in ("/voila/render/00_start_here.ipynb?token=of-an-earlier-start", "/lab/tree/00_start_here.ipynb?token="):
        status, text = get(start, path, token=False)
        assert status == 200 and "from an earlier start" in text and "token=" in text and 'for="password"' in text
        assert "http://" not in text and "https://" not in text and "jupyter" not in text.lower() and start.token not in text


SCRIPT = "%3Cscript%3Ealert(1)%3C%2Fscript%3E"


@pytest.mark.parametrize("path", [
    "/voila/render/../../secret.ipynb", "/voila/render/%2e%2e%2fsecret.ipynb", "/voila/render/%2e%2e/%2e%2e/secret.ipynb",
    "/voila/render/..%5c..%5csecret.ipynb", "/voila/render/00_start_here.ipynb%00", "/voila/render/%ff.ipynb", "/nowhere", f"/{SCRIPT}",
    f"/voila/render/98_{SCRIPT}.ipynb", f"/login?next={SCRIPT}", "/files/%2e%2e/secret.ipynb", "/files/..%2fsecret.ipynb",
    "/api/contents/..%2fsecret.ipynb", "/voila/templates/..%2fsecret.ipynb", "/voila/static/..%2fsecret.ipynb", "/static/..%2f..%2fsecret.ipynb",
    "/%0d%0aSet-Cookie:%20a=b", "/voila/render/" + "a" * 60_000 + ".ipynb"], ids=lambda path: path[:50])
def test_odd_addresses_leak_nothing(start, path):
    (start.home.parent / "secret.ipynb").write_text(json.dumps(sample([nbformat.v4.new_markdown_cell("the secret words")])), encoding="utf-8")
    for known in (False,) if path.startswith("/login") else (True, False):             # who is known goes on from there, into JupyterLab
        status, text = get(start, path, known)
        assert status >= 400 or "from an earlier start" in text
        assert not [leak for leak in ("secret words", "Traceback", "<script>alert", str(start.home), "site-packages") if leak in text]


def test_rubbish_behind_an_address_changes_nothing(start, page):
    status, text = get(start, "/voila/render/97_half.ipynb?size=%3Cimg%20src=x%3E&template=reveal&voila-template=reveal&%ff=%00&kernel_name=x")
    assert status == 200 and "reached 42" in text and "<img src=x" not in text and "reveal" not in text


def test_an_address_too_long_for_any_server_ends_and_the_next_is_answered(start):
    with pytest.raises((OSError, http.client.HTTPException)):           # the server hangs up
        get(start, "/" + "a" * 200_000)
    assert get(start, "/api/contents")[0] == 200


# --- the end -----------------------------------------------------------------------------------------------------------------------
def test_saving_takes_live_views_out(start):
    view = {"text/plain": ["x"], "application/vnd.jupyter.widget-view+json": {"model_id": "gone"}}
    cell = nbformat.v4.new_code_cell("x", outputs=[nbformat.v4.new_output("display_data", view)])
    model = {"type": "notebook", "format": "json", "content": sample([cell], widgets={"state": {}})}
    ask = urllib.request.Request(start.base + "/api/contents/96_saved.ipynb", json.dumps(model).encode(), method="PUT",
                                 headers={"Authorization": f"token {start.token}", "Content-Type": "application/json"})
    with urllib.request.urlopen(ask, timeout=60) as answer:
        assert answer.status == 201
    saved = (start.home / "96_saved.ipynb").read_text(encoding="utf-8")
    assert "text/plain" in saved and "widget" not in saved


def test_one_ctrl_c_ends_all_cleanly(start, page):
    """Last in this file: it ends the shared start."""
    kernels = psutil.Process(start.process.pid).children(recursive=True)
    assert kernels
    before = len(start.said)
    assert start.press_ctrl_c() == 0
    assert start.said[before:] == ["Ended.\n"]
    gone, alive = psutil.wait_procs(kernels, timeout=10)
    assert not alive


# --- the command line --------------------------------------------------------------------------------------------------------------
def test_help_lists_the_commands_and_imports_none(capsys):
    assert main(["--help"]) == 0
    said = capsys.readouterr().out
    assert all(name in said and about in said for name, (_, about) in COMMANDS.items())
    heavy = ("jupyterlab", "matplotlib", "pandas", "numpy")
    code = f"import sys, kitchenlib.__main__ as m; m.main(['--help']); print([x for x in {heavy} if x in sys.modules])"
    assert subprocess.run([sys.executable, "-c", code], capture_output=True, encoding="utf-8", check=True).stdout.endswith("[]\n")


@pytest.mark.parametrize("typed, hint", [("refesh", "'refresh'"), ("strat", "'start'"), ("xyzzy", "there are start, ")])
def test_an_unknown_command_is_one_sentence_with_the_nearest(capsys, typed, hint):
    assert main([typed]) == 2
    said = capsys.readouterr().err
    assert typed in said and hint in said and said.count("\n") == 1


@pytest.mark.parametrize("port", ["0", "70000", "x", "-1", "8888.5"])
def test_a_bad_port_is_refused_with_the_mend(capsys, port):
    with pytest.raises(SystemExit) as end:
        module.options([f"--port={port}"])
    assert end.value.code == 2 and "such as 8888" in capsys.readouterr().err


def test_a_folder_that_cannot_be_made_is_said(capsys, tmp_path, monkeypatch):
    monkeypatch.setenv("KITCHENLIB_HOME", "")
    (tmp_path / "file").write_text("", encoding="utf-8")
    assert main(["--no-browser", "--home", str(tmp_path / "file" / "below")]) == 1
    said = capsys.readouterr().err
    assert "--home FOLDER" in said and said.count("\n") == 1
