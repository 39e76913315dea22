"""Hard places: a screen with an old code page, folders with spaces and letters of any script, folders that cannot be written."""
import contextlib
import ctypes
import http.client
import json
import os
import shutil
import subprocess
import sys
import threading
import time
import urllib.request
from pathlib import Path

import nbformat
import psutil
import pytest
from test_start import sample

from kitchenlib import files
from kitchenlib.__main__ import main
from kitchenlib.teaching import answers, refresh
from kitchenlib.teaching.bank import start_here as ask
from kitchenlib.teaching.exercises import AnswerBox
from kitchenlib.teaching.own_things import settings as who_form
from kitchenlib.teaching.own_things import shelf as shelf_form

ROOT = Path(__file__).resolve().parents[1]
SLIP = ask.DEGREES_OF_DIFFERENCE                             # its last hint speaks of °C
QUICK = (["--help"], ["handout", "12", "--text"], ["handout", "12", "--answers"], ["sheet", "class", "12"], ["sheet", "rubric", "12"],
         ["sheet", "tasting", "12"], ["sheet", "pass"], ["sheet", "trust"], ["sheet", "nitrogen"], ["mark", "{home}", "--class", "K2"])
ALL = (*QUICK, ["card", "all"], ["check", "00"], ["refresh", "--check", "01"])
ENDS = {"check": 1}                                          # the slip is found
ONE_BY_ONE = """
import json, os, runpy, sys
for command in json.loads(sys.argv[1]):
    sys.argv[1:] = [word.format(home=os.environ["KITCHENLIB_HOME"]) for word in command]
    try:
        runpy.run_module("kitchenlib", run_name="__main__", alter_sys=True)
    except SystemExit as end:
        print("ended with", end.code or 0, *command[:2], flush=True)
"""
POSIX = {"LC_ALL": "C", "PYTHONUTF8": "0", "PYTHONCOERCECLOCALE": "0"}            # ASCII, and no way round it
WINDOWS = {"PYTHONIOENCODING": "cp1252", "PYTHONUTF8": "0"}


def run(commands, home, where, more=None, clone=ROOT, **process):
    """Run commands one after another in one Python, what they make into the folder `made` -> what they printed, as bytes."""
    environment = {name: value for name, value in os.environ.items() if not name.startswith(("PYTHON", "LC_", "LANG"))}
    environment |= {"KITCHENLIB_HOME": str(home), "PYTHONPATH": str(clone), **(more or {})}
    commands = [[*command, "--to", "made"] if command[0] in ("handout", "card", "sheet", "mark") else command for command in commands]
    done = subprocess.run([sys.executable, "-c", ONE_BY_ONE, json.dumps(commands)], cwd=where, env=environment, stdin=subprocess.DEVNULL,
                          capture_output=True, timeout=300, **process)
    assert (done.returncode, done.stderr) == (0, b""), done.stderr.decode("utf-8", "replace")
    return done.stdout


def sound(said, commands, made):
    """Every command ended as it should, and what was made is whole and not in the screen's code page."""
    ends = [line.split()[2:4] for line in said.splitlines() if line.startswith("ended with ")]
    assert ends == [[str(ENDS.get(command[0], 0)), command[0]] for command in commands], said
    made = {path.name: path.read_text(encoding="utf-8") for path in made.iterdir()}
    assert {name.partition("-")[0].partition(".")[0] for name in made} >= {"handout", "answers", "class", "rubric", "tasting", "service", "trust", "nitrogen",
                                                                           "marks", "questions"}
    assert any("°C" in text for text in made.values()) and not [name for name, text in made.items() if "\ufffd" in text]
    assert "Zoë".casefold() in made["marks-k2.html"] and "<title>" in made["trust.html"]


def student_at(home, monkeypatch):
    """Zoë of class K2, who made a slip, and her answer file -> the folder."""
    home.mkdir(parents=True, exist_ok=True)
    monkeypatch.setenv("KITCHENLIB_HOME", str(home))
    monkeypatch.setattr(answers, "_waiting", [])
    (home / "料理.txt").write_text("", encoding="utf-8")      # which marking names as left out
    files.keep_settings(student="Zoë", **{"class": "K2"})
    number = SLIP.number("zoë", "k2")
    assert answers.keep(SLIP.key, str(number), SLIP.put(SLIP.solved(number).slips[-1][0])) == ""
    return home


def test_commands_on_an_old_windows_screen(tmp_path, monkeypatch):
    home = student_at(tmp_path / "own folder", monkeypatch)
    said = run(QUICK, home, tmp_path, WINDOWS).decode("cp1252")
    assert "1 °C of difference is as large as 1 K" in said and "left out: ??.txt" in said
    sound(said, QUICK, tmp_path / "made")


def test_signs_that_a_screen_lacks_are_spelt_plainly():
    assert "4 °C ± 1, 2 g/cm², 3 µm · 5 Küche".encode("ascii", "kitchenlib-plainly") == b"4 deg C +/- 1, 2 g/cm2, 3 um * 5 Kuche"
    assert os.fsencode("Küche").decode("ascii", "surrogateescape").encode("ascii", "kitchenlib-plainly") == b"Kuche"
    assert "4 °C − 日".encode("cp1252", "kitchenlib-plainly") == "4 °C - ?".encode("cp1252")


@pytest.fixture(scope="module")
def clone(tmp_path_factory):
    """All of the module that is run, in a folder with spaces and letters of two scripts."""
    made = tmp_path_factory.mktemp("far") / "Küche Übung" / "日本 school"
    for name in ("kitchenlib", "lessons", "datasets"):
        shutil.copytree(ROOT / name, made / name, ignore=shutil.ignore_patterns("__pycache__"))
    (made / "tests").mkdir()
    shutil.copy(ROOT / "tests" / "sanitize.cfg", made / "tests")
    return made


@pytest.mark.slow
def test_every_command_in_a_posix_locale_from_a_folder_of_any_letters(clone, monkeypatch):
    home = student_at(clone.parent / "Zoë's own 料理", monkeypatch)
    said = run(ALL, home, clone.parent, POSIX, clone).decode("ascii")        # raises where something else was written
    assert "1 deg C of difference is as large as 1 K" in said and "left out: ??.txt" in said and "01_weighing_and_percent: fresh" in said
    sound(said, ALL, clone.parent / "made")


@pytest.mark.slow
def test_start_and_page_in_a_posix_locale_and_a_folder_of_any_letters(begin, clone, monkeypatch):
    home = student_at(clone.parent / "Zoë's own 料理", monkeypatch)
    running = begin(home, clone=clone, more={"PYTHONPATH": str(clone), **POSIX})
    assert f"Kuche Ubung{os.sep}Zoe's own ??" in "".join(running.said) and "Traceback" not in "".join(running.said)
    with urllib.request.urlopen(running.page("00_start_here"), timeout=120) as page:
        text = page.read().decode("utf-8")
    assert "could not be worked out" not in text and "Traceback" not in text
    assert str(clone) not in text and "of difference is as large as 1 K" in text            # her progress: settings and answers are found
    assert running.press_ctrl_c() == 0


# --- killed in mid-save ------------------------------------------------------------------------------------------------------------
SAVING = """
import os, threading
from kitchenlib.teaching import answers
log = open("said.log", "a", buffering=1, encoding="utf-8")
log.write(f"pid {os.getpid()}\\n")
for n in range(100_000):
    assert answers.keep("gels-01", "3", f"{os.getpid()} {n} g") == ""
    log.write(f"{os.getpid()} {n} g\\n")
"""


def visit(address):
    """Ask for a page that will break off."""
    with contextlib.suppress(OSError, http.client.HTTPException):
        urllib.request.urlopen(address, timeout=120).read()


def begun_saving(running, home):
    """A page whose kernel keeps one answer after another is being opened -> its kernel's process, once it has kept some."""
    log = home / "said.log"
    before = log.read_text(encoding="utf-8") if log.exists() else ""
    threading.Thread(target=visit, args=(running.page("97_saving"),), daemon=True).start()
    for _ in range(1200):
        said = log.read_text(encoding="utf-8").removeprefix(before) if log.exists() else ""
        if said.count("\n") > 20:
            return psutil.Process(int(said.split()[1]))
        time.sleep(0.05)
    raise AssertionError("the page's kernel keeps nothing")


@pytest.mark.slow
def test_kernel_and_server_killed_in_mid_save_lose_nothing(begin, own_folder, monkeypatch):
    """A page's kernel three times, then the server with the page open: all that was said to be kept is there, and the next answer is too."""
    monkeypatch.setattr(answers, "_waiting", [])
    files.keep_settings(student="s-017", **{"class": "k2"})
    running = begin(own_folder)
    nbformat.write(sample([nbformat.v4.new_code_cell(SAVING)]), own_folder / "97_saving.ipynb")
    for _ in range(3):
        kernel = begun_saving(running, own_folder)
        kernel.kill()
    kernel = begun_saving(running, own_folder)
    running.process.kill()
    assert not psutil.wait_procs([kernel], timeout=30)[1], "a kernel outlives its server"
    kept = [line for line in (own_folder / "said.log").read_text(encoding="utf-8").splitlines() if line.endswith(" g")]
    file = own_folder / "answers-k2-s-017.csv"
    records, troubles = answers.read(file)
    found = [record.answer for record in records]
    assert len(kept) > 80 and not set(kept) - set(found) and len(found) - len(kept) <= 4 and len(troubles) <= 4
    assert all(answer.endswith(" g") for answer in found)
    assert answers.keep("gels-01", "3", "7 g") == "" and answers.mine()[0][-1].answer == "7 g"
    assert [record.answer for record in answers.read(file)[0]] == [*found, "7 g"]
    again = begin(own_folder)                                # and the lessons start anew
    assert again.press_ctrl_c() == 0


# --- folders that cannot be written ------------------------------------------------------------------------------------------------
def as_any_user():
    """For a process begun by root: rights of files bind it too. Nothing where the tests' user is another."""
    drop_from_the_bounding_set, override_rights = 24, 1      # PR_CAPBSET_DROP, CAP_DAC_OVERRIDE: linux/prctl.h, linux/capability.h
    ctypes.CDLL(None).prctl(drop_from_the_bounding_set, override_rights, 0, 0, 0)


@pytest.mark.skipif(sys.platform == "win32", reason="there the rights of a folder are no mode bits")
@pytest.mark.parametrize("options", [[], ["--share", "127.0.0.1"], ["--here"]], ids=["start", "share", "here"])
def test_a_start_into_a_read_only_folder_is_one_sentence(tmp_path, options):
    folder = tmp_path / "read only"
    folder.mkdir(mode=0o555)
    done = subprocess.run([sys.executable, "-m", "kitchenlib", "--no-browser", "--home", str(folder), *options], cwd=ROOT, stdin=subprocess.DEVNULL,
                          capture_output=True, encoding="utf-8", timeout=120, preexec_fn=as_any_user if sys.platform == "linux" else None)
    assert done.returncode == 1 and done.stdout == "" and not list(folder.iterdir())
    assert done.stderr == f"The lessons cannot be put into {folder} (Permission denied). Name another folder: --home FOLDER\n"


@pytest.mark.parametrize("command", [*QUICK[1:], ["card", "rescue"]], ids=" ".join)
def test_what_cannot_be_written_is_one_sentence_with_the_mend(own_folder, tmp_path, capsys, command):
    (tmp_path / "a file").write_text("mine", encoding="utf-8")
    assert main([*(word.format(home=own_folder) for word in command), "--to", str(tmp_path / "a file" / "below")]) == 2
    said = capsys.readouterr().err
    assert said.count("\n") == 1 and said.startswith(str(tmp_path / "a file")) and said.endswith(": name another folder, --to FOLDER\n")
    assert (tmp_path / "a file").read_text(encoding="utf-8") == "mine"


def full(*_):
    raise OSError(28, "No space left on device")


def test_a_full_disk_costs_no_earlier_sheet(own_folder, tmp_path, capsys, monkeypatch):
    assert main(["sheet", "trust", "--to", str(tmp_path)]) == 0
    before = {path.name: path.read_bytes() for path in tmp_path.iterdir() if path.is_file()}
    monkeypatch.setattr(os, "fsync", full)
    assert main(["sheet", "trust", "--to", str(tmp_path), "--overwrite"]) == 2
    assert "No space left" in capsys.readouterr().err and {path.name: path.read_bytes() for path in tmp_path.iterdir() if path.is_file()} == before


def test_a_lesson_that_cannot_be_stored_is_one_sentence(monkeypatch, capsys):
    def locked(path):
        raise PermissionError(13, "Permission denied", str(path))
    monkeypatch.setattr(refresh, "refresh", locked)
    assert main(["refresh", "01"]) == 1
    said = capsys.readouterr().out
    assert said.count("not stored") == 2 and said.count("Permission denied") == 2 and "Errno" not in said


@pytest.mark.parametrize("form, values", [(who_form, {"student": "s-1", "class": "k2"}),
                                          (shelf_form, {"product": "bag 3", "property": "is", "value": "agar", "unit": ""})], ids=["who", "shelf"])
def test_a_form_that_cannot_be_kept_says_so_and_keeps_it_when_it_can(tmp_path, monkeypatch, form, values):
    (tmp_path / "a file").write_text("", encoding="utf-8")
    monkeypatch.setenv("KITCHENLIB_HOME", str(tmp_path / "a file" / "below"))
    view = form.view()
    view.sent = {"turn": 1, "values": values}
    assert view.heard == 1 and view.message == "" and view.trouble.startswith("Not kept: ") and "press again" in view.trouble
    assert "Errno" not in view.trouble and str(tmp_path) not in view.trouble
    (tmp_path / "a file").unlink()
    view.sent = {"turn": 2, "values": values}
    assert view.heard == 2 and view.trouble == "" and ("s-1" in view.message or "bag 3" in view.message)


def test_a_visitor_hears_that_nothing_is_kept_but_no_path(tmp_path, monkeypatch):
    (tmp_path / "a file").write_text("", encoding="utf-8")
    monkeypatch.setenv("KITCHENLIB_HOME", str(tmp_path / "a file" / "below"))
    monkeypatch.setenv("KITCHENLIB_VISITORS", "yes")
    monkeypatch.setattr(answers, "_visitor", answers.Who("s-1", "k2"))
    monkeypatch.setattr(answers, "_waiting", [])
    box = AnswerBox(SLIP).view()
    box.sent = {"turn": 1, "text": "1 g"}
    assert "could not be kept" in box.note and box.verdict and str(tmp_path) not in box.note
