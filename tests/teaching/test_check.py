"""The homework check: what counts as a student's answer, what passes and fails, and that nothing of theirs is touched.

One test lets nbval run the small lesson 00 with a blank, a right and a wrong answer at once; the slow ones do so from the command line.
"""
import json
import os
import re
import subprocess
import sys

import pytest

from kitchenlib import files, tables
from kitchenlib.teaching import answers, bank, check
from kitchenlib.teaching.bank import start_here as ask
from kitchenlib.teaching.copies import LESSONS, lay

LESSON = LESSONS / "00_start_here.ipynb"
NAMES = {exercise.key: name for name, exercise in bank.exercises("start_here").items()}
THREE = tuple(NAMES)                             # units-01, units-02, units-03


@pytest.fixture
def mine(own_folder, monkeypatch):
    """The folder of a student with numbers of their own, in which the lessons have been laid -> path of the copy of lesson 00."""
    monkeypatch.setattr(answers, "_waiting", [])
    lay(own_folder)
    files.keep_settings(student="S-017", **{"class": "C4"})
    return own_folder / LESSON.name


def right(exercise):
    return exercise.put(exercise.solved(exercise.mine()).truth)


def slip(exercise, number=0):
    """(a slip's answer, its hint), with this student's numbers."""
    value, _, hint = exercise.solved(exercise.mine()).slips[number]
    return exercise.put(value), hint


def write_into(copy, *, run=False, **typed):
    """Put answers into the cells of a copy, as Python text; with `run` also what the cell says then, as saving a run page does."""
    page = json.loads(copy.read_text(encoding="utf-8"))
    for cell in page["cells"]:
        name = next((n for n in typed if f"ask.{n}.check(" in "".join(cell["source"])), None)
        if name:
            cell["source"] = "".join(cell["source"]).replace("answer = None", f"answer = {typed[name]}")
            if run:
                exercise = getattr(ask, name)
                cell["outputs"][0]["text"] = f"{exercise.verdict(json.loads(typed[name]), exercise.mine())}\n"
    copy.write_text(json.dumps(page), encoding="utf-8")


def everything_in(folder):
    files = (path for path in folder.rglob("*") if path.is_file())
    return {path.relative_to(folder).as_posix(): (path.stat().st_mtime_ns, path.read_bytes()) for path in files}


def counts(copy):
    """({key: what counts}, troubles that let the check fail, notes that do not) of lesson 00."""
    return check.latest(copy, bank.exercises("start_here").values())


# --- what counts -------------------------------------------------------------------------------------------------------------------
def test_nothing_written_is_blank(mine):
    assert counts(mine) == (dict.fromkeys(THREE, ""), [], [])
    mine.unlink()
    assert counts(mine) == (dict.fromkeys(THREE, ""), [], [])


def test_the_last_answer_of_the_file_counts(mine):
    for typed in ("1 g", "2 g"):
        ask.MILLILITRES.attempt(typed)
    assert counts(mine)[0] == {"units-01": "2 g", "units-02": "", "units-03": ""}


def test_what_is_written_and_not_run_yet_counts(mine):
    ask.MILLILITRES.attempt("1 g")
    write_into(mine, MILLILITRES='"3 g"', PER_CENT_OF_TOTAL="9.5", DEGREES_OF_DIFFERENCE="'1,6 °F'")
    assert counts(mine) == ({"units-01": "3 g", "units-02": "9.5", "units-03": "1,6 °F"}, [], [])


def test_an_answer_run_in_the_cell_and_mended_in_the_box_is_mended(mine):
    ask.MILLILITRES.attempt("3 g")
    ask.MILLILITRES.attempt("4 g")
    write_into(mine, MILLILITRES='"3 g"')
    assert counts(mine)[0]["units-01"] == "4 g"


def test_answers_to_other_numbers_do_not_count(mine):
    ask.MILLILITRES.attempt("3 g")
    files.keep_settings(student="")
    assert ask.MILLILITRES.mine() is None and counts(mine)[0]["units-01"] == ""


@pytest.mark.parametrize("source", ["264 g", "Q_(264, 'g'", "1,6 g", "'264 g"])
def test_a_cell_that_is_no_python_is_said_not_passed_as_blank(mine, source):
    write_into(mine, MILLILITRES=source)
    found, (trouble,), _ = counts(mine)
    assert found["units-01"] == "" and trouble.startswith("units-01") and "quotes" in trouble


@pytest.mark.parametrize("source", ["Q_(264, 'g')", "200 * 1.32", "__import__('os').remove('a')", "9**9**9**9", "open('a', 'w')", "name"])
def test_what_would_have_to_be_run_is_said_not_run(mine, source):
    write_into(mine, MILLILITRES=source)
    before = everything_in(mine.parent)
    found, (trouble,), _ = counts(mine)
    assert found["units-01"] == "" and trouble.startswith("units-01") and "quotes" in trouble and everything_in(mine.parent) == before


@pytest.mark.parametrize("source", ["(" * 5000, "[" * 200 + "]" * 200, "\x00", "-" * 5000 + "1", "9" * 5000, "{}.x", "[1, 2]", "b'1'"])
def test_no_source_stops_the_check(mine, source):
    write_into(mine, MILLILITRES=source)
    assert set(counts(mine)[0]) == set(THREE)


@pytest.mark.parametrize("content", [b"", b"{", b"[]", b"{}", b'{"cells": 3}', b'{"cells": [3]}', b'{"cells": [{"cell_type": "code"}]}',
                                     b"\xff\xfe\x00", b"[" * 100_000, b"null", b'{"cells": [{"cell_type": "code", "source": [1]}]}'])
def test_a_broken_copy_is_said_and_the_answer_file_still_counts(mine, content):
    ask.MILLILITRES.attempt("2 g")
    mine.write_bytes(content)
    found, _, (trouble,) = counts(mine)
    assert found["units-01"] == "2 g" and mine.name in trouble and "cannot be read" in trouble


def test_a_torn_line_of_the_answer_file_is_said(mine):
    ask.MILLILITRES.attempt("2 g")
    path = answers.files(answers.who())[0]
    path.write_bytes(path.read_bytes() + b'"2026-01-01T00:00:00Z","s-0')
    found, _, (trouble,) = counts(mine)
    assert found["units-01"] == "2 g" and "torn" in trouble


def test_an_answer_that_was_run_counts_even_where_its_cell_is_no_plain_text(mine):
    ask.MILLILITRES.attempt("2 g")
    write_into(mine, MILLILITRES="Q_(2, 'g')")
    assert counts(mine)[0]["units-01"] == "2 g" and counts(mine)[1] == []


# --- what passes -------------------------------------------------------------------------------------------------------------------
def test_one_run_blank_and_right_pass_and_a_wrong_answer_fails_with_its_hint(mine):
    """The wrong one has been run and saved in the student's copy, which agrees with itself; the right one is so for this student only."""
    typed, hint = slip(ask.MILLILITRES)
    own = right(ask.PER_CENT_OF_TOTAL)
    assert ask.PER_CENT_OF_TOTAL.verdict(own).word != "right", "choose a student whose answer is not the textbook's"
    ask.MILLILITRES.attempt(typed)
    write_into(mine, run=True, MILLILITRES=json.dumps(typed))
    ask.PER_CENT_OF_TOTAL.attempt(own)
    before = everything_in(mine.parent)
    result = check.check(LESSON)
    assert everything_in(mine.parent) == before
    assert [(line.exercise.key, line.verdict.word, bool(line.said)) for line in result.lines] == [
        ("units-01", "slip", True), ("units-02", "right", False), ("units-03", "blank", False)]
    assert all(line.sound for line in result.lines)
    assert not result.passed and result.troubles == () and hint in str(result)
    assert "student s-017, class c4" in str(result) and str(result).endswith("1 right, 1 to mend, 1 blank.")


def test_a_lesson_without_exercises_is_said(tmp_path):
    (tmp_path / "99_none.ipynb").write_text('{"cells": [], "metadata": {}, "nbformat": 4, "nbformat_minor": 5}', encoding="utf-8")
    assert "no exercises" in str(check.check(tmp_path / "99_none.ipynb"))


def test_a_lesson_that_runs_otherwise_than_stored_is_said(mine, monkeypatch):
    monkeypatch.setattr(check, "run", lambda lesson, name: {3: "'21.0 °C'"})
    result = check.check(LESSON)
    assert not result.passed and "cell 4 " in result.troubles[0] and "21.0 °C" in str(result)


def test_a_wrong_answer_that_nbval_lets_pass_is_noticed(mine, monkeypatch):
    ask.MILLILITRES.attempt("1 g")
    monkeypatch.setattr(check, "run", lambda lesson, name: {})
    result = check.check(LESSON)
    assert not result.passed and "units-01 did not run as it should" in str(result)


@pytest.mark.parametrize("code, last", [(4, "ERROR: unknown option"), (1, "no report written"), (2, "Interrupted"), (5, "no tests ran")])
def test_where_nbval_cannot_run_it_is_said(mine, monkeypatch, code, last):
    monkeypatch.setattr(check.subprocess, "run", lambda command, **_: subprocess.CompletedProcess(command, code, f"first\n{last}", ""))
    result = check.check(LESSON)
    assert not result.passed and "could not be run here" in str(result) and last in str(result)


def test_an_unknown_lesson_is_named_with_the_nearest(capsys):
    assert check.main(["00_start_her"]) == 2
    assert "did you mean '00_start_here'?" in capsys.readouterr().err


# --- from the command line -----------------------------------------------------------------------------------------------------------
def command(*lessons):
    """python -m kitchenlib check LESSON, as a student types it -> (exit code, what it printed)."""
    done = subprocess.run([sys.executable, "-m", "kitchenlib", "check", *lessons], cwd=LESSONS.parent, timeout=300,
                          env={**os.environ, "PYTHONIOENCODING": "utf-8"}, capture_output=True, encoding="utf-8")
    assert "Traceback" not in done.stdout + done.stderr, done.stderr
    return done.returncode, done.stdout


@pytest.mark.slow
def test_command_unanswered_passes(mine):
    before = everything_in(mine.parent)
    code, said = command("00")
    assert code == 0 and said.strip().endswith("0 right, 0 to mend, 3 blank.") and everything_in(mine.parent) == before


@pytest.mark.slow
def test_command_all_right_passes_from_file_and_from_cells(mine):
    ask.MILLILITRES.attempt(right(ask.MILLILITRES))
    write_into(mine, **{name: json.dumps(right(getattr(ask, name))) for name in ("PER_CENT_OF_TOTAL", "DEGREES_OF_DIFFERENCE")})
    before = everything_in(mine.parent)
    code, said = command("00_start_here")
    assert code == 0 and said.strip().endswith("3 right, 0 to mend, 0 blank.") and everything_in(mine.parent) == before


@pytest.mark.slow
def test_command_every_wrong_answer_fails_with_its_hint(mine):
    """One wrong from the file, one written in the cell, one run and saved; the textbook's right answer is wrong for this student."""
    hints = []
    for number, name in enumerate(NAMES.values()):
        exercise = getattr(ask, name)
        typed, hint = slip(exercise)
        hints.append(hint)
        if number != 1:
            exercise.attempt(typed)
        if number:
            write_into(mine, run=number == 2, **{name: json.dumps(typed)})
    before = everything_in(mine.parent)
    code, said = command("00")
    assert code == 1 and "0 right, 3 to mend, 0 blank." in said and all(hint in said for hint in hints)
    assert len(re.findall(r"^  slip ", said, re.MULTILINE)) == 3 and everything_in(mine.parent) == before


@pytest.mark.slow
def test_command_without_an_id_takes_the_textbook_s_numbers(mine):
    own = right(ask.PER_CENT_OF_TOTAL)
    files.keep_settings(student="")
    ask.MILLILITRES.attempt("264 g")
    ask.PER_CENT_OF_TOTAL.attempt(own)
    code, said = command("00")
    assert code == 1 and "the textbook's numbers" in said and "1 right, 1 to mend, 1 blank." in said


@pytest.mark.slow
def test_command_units_and_shelf_of_the_student_do_not_change_the_lesson(mine):
    files.keep_settings(temperature="°F", mass="oz")
    tables.add_to_shelf({"product": "agar", "property": "dose_exponent", "value": "3", "unit": ""})
    assert command("00")[0] == 0
