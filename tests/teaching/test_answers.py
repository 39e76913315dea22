"""The answer file: nothing earlier is ever lost, whatever happens to it between two answers."""
import csv
import io
import subprocess
import sys
import time
from pathlib import Path

import pytest
from hypothesis import HealthCheck, assume, example, given, settings
from hypothesis import strategies as st

from kitchenlib import files
from kitchenlib.teaching import answers

ME = answers.Who("s-017", "c4")
RUN_BY_SPREADSHEETS = tuple("=+-@＝＋－＠")       # a cell beginning so is run: OWASP's page on CSV injection (memory)


@pytest.fixture
def mine(own_folder, monkeypatch):
    """A student's folder -> the path of the answer file."""
    monkeypatch.setattr(answers, "_waiting", [])
    files.keep_settings(student="S-017", **{"class": "C4"})
    return own_folder / "answers-c4-s-017.csv"


def typed():
    return [record.answer for record in answers.mine()[0]]


def test_an_answer_is_kept_as_it_was_typed(mine):
    assert answers.keep("gels-03", "17", "1,6 g") == ""
    (record,), troubles = answers.mine()
    assert record[1:] == ("s-017", "c4", "gels-03", "17", "1,6 g") and not troubles
    assert record.time[10] == "T" and record.time.endswith("Z")
    first, second = mine.read_text(encoding="utf-8").splitlines()
    assert first == '"time","student","class","exercise","variant","answer"' and second.endswith('"gels-03","17","1,6 g"')


def test_without_id_or_class_the_textbook_is_answered(own_folder):
    for kept in ({}, {"student": "s-017"}, {"class": "C4", "student": ""}):
        files.keep_settings(**kept)
        assert answers.who() == ("", "") and answers.files(answers.who())[0].name == "answers-textbook.csv"


def test_an_id_counts_however_it_is_spelt():
    assert answers.counted("  S-017 ") == answers.counted("s-017") == answers.counted("ｓ-０１７") == "s-017"


@settings(deadline=None)
@given(st.text(max_size=80))
def test_an_id_counted_twice_is_the_same(text):
    assert answers.counted(answers.counted(text)) == answers.counted(text)


@given(st.tuples(st.text(min_size=1, max_size=90), st.text(min_size=1, max_size=90)), st.tuples(st.text(min_size=1), st.text(min_size=1)))
def test_file_names_are_legal_everywhere_and_never_shared(one, other):
    one, other = (answers.Who(*map(answers.counted, who)) for who in (one, other))
    name = answers.file_name(one)
    assert all(c.isascii() and (c.isalnum() or c in "+-_.") for c in name)
    assert len(name) < 180 and name.endswith(".csv") and ".." not in name
    if one != other and all((*one, *other)):
        assert name.casefold() != answers.file_name(other).casefold()


def test_file_names_keep_class_and_id_apart():
    assert answers.file_name(answers.Who("1", "c4-a")) != answers.file_name(answers.Who("a-1", "c4"))
    assert "/" not in answers.file_name(answers.Who("../../etc/passwd", "con"))


# --- cells -------------------------------------------------------------------------------------------------------------------------
@given(st.text())
def test_a_guarded_cell_comes_back_and_runs_nowhere(text):
    assert answers.bare(answers.guarded(text)) == text
    assert not answers.guarded(text).startswith(RUN_BY_SPREADSHEETS)


@pytest.mark.parametrize("text", ["=cmd|' /C calc'!A0", "-5 °C", "+3", "@SUM(A1)", "1,6", "1/2", "10 %", "2e3", "'quoted", "0012"])
def test_what_a_spreadsheet_would_run_or_change_is_guarded(text):
    assert answers.guarded(text) == f"'{text}"


@pytest.mark.parametrize("text", ["1.6 g", "reverse", "61 °F", ""])
def test_plain_answers_stay_plain(text):
    assert answers.guarded(text) == text


@given(st.text(max_size=400))
@example("'" * 70)
@example(" " + "'" * 58 + " '" * 6)
def test_a_cleaned_answer_is_one_short_line_and_stays(text):
    clean = answers.clean(text)
    assert len(clean) <= 61 and clean.isprintable() and clean == clean.strip() and answers.clean(clean) == clean


def test_quotes_around_an_answer_do_not_count():
    assert answers.clean(' "1.6 g" ') == answers.clean("“1.6 g”") == answers.clean("'1.6 g'") == "1.6 g"


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], max_examples=30, deadline=None)
@given(text=st.text(min_size=1, max_size=70))
def test_whatever_is_typed_comes_back(mine, text):
    text = answers.clean(text)
    assume(text)
    answers.keep("gels-03", "17", text)
    assert typed()[-1] == text


# --- torn, saved by others, damaged --------------------------------------------------------------------------------------------------
def test_a_line_torn_anywhere_costs_itself_only(mine):
    answers.keep("gels-01", "3", "1,6 g")
    before = mine.read_bytes()
    answers.keep("gels-02", "4", answers.clean('12 "approx"; say'))
    whole = mine.read_bytes()
    for end in range(len(before) + 1, len(whole)):
        mine.write_bytes(whole[:end])
        records, troubles = answers.read(mine)
        assert [r.answer for r in records] in (["1,6 g"], ["1,6 g", "12 'approx'; say"])
        assert len(records) + len(troubles) == 2
        answers.keep("gels-03", "5", "7 g")
        assert [r.answer for r in answers.read(mine)[0]] == [*(r.answer for r in records), "7 g"]


def test_a_torn_heading_costs_nothing(mine):
    mine.write_bytes(b'"time","stud')
    assert answers.keep("gels-01", "3", "1 g") == "" and typed() == ["1 g"]


SAVED = {"semicolons, mark and CRLF": lambda rows: "﻿" + "".join(";".join(row) + "\r\n" for row in rows),
         "tabs": lambda rows: "".join("\t".join(row) + "\n" for row in rows),
         "every cell quoted": lambda rows: "".join(",".join(f'"{cell}"' for cell in row) + "\r\n" for row in rows),
         "a column more, no last line end": lambda rows: "\n".join(",".join(row) + ",," for row in rows)}


@pytest.mark.parametrize("saved", SAVED.values(), ids=SAVED)
def test_a_file_saved_by_a_spreadsheet_still_reads_and_grows(mine, saved):
    answers.keep("gels-01", "3", "61 °F")
    answers.keep("gels-02", "4", "-5 g")
    rows = list(csv.reader(io.StringIO(mine.read_text(encoding="utf-8"))))
    mine.write_bytes(saved(rows).encode("utf-8"))
    assert typed() == ["61 °F", "-5 g"]
    assert answers.keep("gels-03", "5", "1,6 g; about") == "" and typed() == ["61 °F", "-5 g", "1,6 g; about"]
    assert len({line.count(";") for line in mine.read_text(encoding="utf-8-sig").splitlines()[:2]}) == 1


def test_the_old_western_code_page_still_reads(mine):
    answers.keep("gels-01", "3", "61 °F")
    mine.write_bytes(mine.read_text(encoding="utf-8").encode("cp1252"))
    answers.keep("gels-01", "3", "62 °F")
    assert typed() == ["61 °F", "62 °F"]


def test_an_id_that_a_spreadsheet_shortened_is_still_this_student(own_folder):
    files.keep_settings(student="0012", **{"class": "C4"})
    answers.keep("gels-01", "3", "1 g")
    path = answers.files(answers.who())[0]
    path.write_text(path.read_text(encoding="utf-8").replace("'0012", "12"), encoding="utf-8")
    assert typed() == ["1 g"]


@given(data=st.binary(max_size=2000))
@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], max_examples=100, deadline=None)
def test_random_bytes_are_read_without_a_word_of_python(tmp_path, data):
    path = tmp_path / "answers-c4-x.csv"
    path.write_bytes(data)
    records, troubles = answers.read(path)
    assert all(isinstance(cell, str) for record in records for cell in record) and all("answers-c4-x.csv" in t for t in troubles)


def test_what_is_no_answer_file_is_named(tmp_path):
    large = tmp_path / "large.csv"
    large.write_bytes(b"a" * (answers.LARGEST + 1))
    (tmp_path / "wide.csv").write_bytes("time;student".encode("utf-16"))
    assert "larger" in answers.read(large)[1][0] and "UTF-16" in answers.read(tmp_path / "wide.csv")[1][0]
    assert "cannot be read" in answers.read(tmp_path)[1][0] and answers.read(tmp_path / "none.csv") == ((), ())


# --- where it cannot be written --------------------------------------------------------------------------------------------------------
def test_a_folder_in_its_place_costs_nothing(mine):
    mine.mkdir()
    note = answers.keep("gels-01", "3", "1 g")
    assert "answers-c4-s-017.beside.csv" in note and typed() == ["1 g"]
    mine.rmdir()
    assert answers.keep("gels-01", "3", "2 g") == "" and typed() == ["1 g", "2 g"]
    assert not mine.with_suffix(".beside.csv").exists() and len(answers.read(mine)[0]) == 2


def test_a_file_open_in_an_office_suite_is_left_alone(mine):
    answers.keep("gels-01", "3", "1 g")
    held = mine.with_name(f".~lock.{mine.name}#")
    held.write_text("", encoding="utf-8")
    before = mine.read_bytes()
    assert "spreadsheet" in answers.keep("gels-01", "3", "2 g")
    assert "spreadsheet" in answers.keep("gels-01", "3", "1 g")
    assert mine.read_bytes() == before and typed() == ["1 g", "2 g", "1 g"]
    held.unlink()
    assert answers.keep("gels-01", "3", "3 g") == "" and typed() == ["1 g", "2 g", "1 g", "3 g"]


def test_a_file_locked_by_another_program_is_written_beside(mine, monkeypatch):
    def append(path, *rest, keep=files.append_row):
        if Path(path) == mine:
            raise PermissionError(13, "Permission denied", str(path))
        return keep(path, *rest)
    monkeypatch.setattr(answers, "append_row", append)
    assert "spreadsheet" in answers.keep("gels-01", "3", "1 g") and typed() == ["1 g"] and not mine.exists()


def test_a_folder_that_cannot_be_written_loses_nothing_while_the_page_lives(mine, monkeypatch, tmp_path):
    (tmp_path / "a file").write_text("", encoding="utf-8")
    real = answers.home()
    monkeypatch.setattr(answers, "home", lambda: tmp_path / "a file" / "below")
    note = answers.keep("gels-01", "3", "1 g")
    assert "could not be kept" in note and str(tmp_path / "a file") in note and typed() == ["1 g"]
    assert answers.keep("gels-01", "3", "2 g") and typed() == ["1 g", "2 g"]
    (tmp_path / "a file").unlink()
    assert answers.keep("gels-01", "3", "3 g") == "" and typed() == ["1 g", "2 g", "3 g"] and real.exists()
    assert len(answers.read(answers.files(answers.who())[0])[0]) == 3


def test_a_notebook_of_worked_answers_keeps_nothing(mine, monkeypatch):
    monkeypatch.setattr(answers, "_textbook", False)
    before = sorted(mine.parent.iterdir())
    answers.only_textbook()
    assert answers.who() == ("", "") and answers.keep("gels-01", "textbook", "1 g") == ""
    assert sorted(mine.parent.iterdir()) == before and typed() == ["1 g"]


# --- two at once, and kills ----------------------------------------------------------------------------------------------------------
WRITER = """
import sys
from kitchenlib.teaching import answers
for n in range(int(sys.argv[2])):
    assert answers.keep("gels-01", "3", f"{sys.argv[1]} {n} g") == ""
    print(n, flush=True)
"""


def writer(name, count):
    return subprocess.Popen([sys.executable, "-c", WRITER, name, str(count)], stdout=subprocess.PIPE, encoding="utf-8")


def test_two_lessons_at_once_lose_nothing_of_each_other(mine):
    both = [writer(name, 25) for name in ("a", "b")]
    for process in both:
        assert process.communicate(timeout=120) and process.returncode == 0
    records, troubles = answers.read(mine)
    assert not troubles and sorted(r.answer for r in records) == sorted(f"{name} {n} g" for name in "ab" for n in range(25))


@pytest.mark.slow
def test_two_hundred_kills_in_mid_save_lose_nothing(mine):
    """What a save has said to be kept is in the file, however often its process is killed while it writes the next."""
    kept = []
    for turn in range(200):
        process = writer(f"turn {turn} of", 10 ** 6)
        said = process.stdout.readline()
        time.sleep(turn % 20 / 1000)
        process.kill()
        said += process.communicate()[0]
        kept += [f"turn {turn} of {n} g" for n in said.split("\n")[:-1]]
    records, troubles = answers.read(mine)
    found = {record.answer for record in records}
    assert len(kept) > 200 and not set(kept) - found
    assert len(troubles) <= 200 and not [record for record in records if not record.answer.endswith(" g")]
