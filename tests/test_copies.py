"""Lessons in the user's folder: what was not edited follows an upgrade, what was edited stays."""
import json
import os
import stat
import sys

import nbformat
import pytest

from kitchenlib.teaching.copies import RECORD, lay


def notebook(*sources, output=""):
    outputs = [nbformat.v4.new_output("stream", text=output)] if output else []
    cells = [nbformat.v4.new_code_cell(source, outputs=outputs) for source in sources]
    return nbformat.writes(nbformat.v4.new_notebook(cells=cells))


def ship(folder, **files):
    for name, text in files.items():
        (folder / f"{name}.ipynb").write_text(text, encoding="utf-8")


@pytest.fixture
def lessons(tmp_path):
    folder = tmp_path / "shipped"
    (folder / "answers").mkdir(parents=True)
    ship(folder, a10=notebook("first"), b20=notebook("second"))
    (folder / "answers" / "a10.ipynb").write_text(notebook("worked"), encoding="utf-8")
    return folder


@pytest.fixture
def home(tmp_path):
    return tmp_path / "home"


def sources(path):
    return [cell.source for cell in nbformat.read(path, 4).cells]


def files(home):
    return sorted(path.relative_to(home).as_posix() for path in home.rglob("*") if path.is_file() and not path.name.startswith("."))


def test_the_first_start_lays_all_but_answers(lessons, home):
    assert lay(home, lessons=lessons) == []
    assert files(home) == ["a10.ipynb", "b20.ipynb"]


def test_answers_come_where_asked_for(lessons, home):
    lay(home, lessons=lessons)
    said = lay(home, answers=True, lessons=lessons)
    assert "answers/a10.ipynb" in files(home) and "answers/a10.ipynb" in said[0]


def test_a_second_start_changes_nothing(lessons, home):
    lay(home, lessons=lessons)
    before = {name: (home / name).stat().st_mtime_ns for name in files(home)}
    assert lay(home, lessons=lessons) == []
    assert {name: (home / name).stat().st_mtime_ns for name in files(home)} == before


def test_an_upgrade_refreshes_what_was_only_run(lessons, home):
    lay(home, lessons=lessons)
    ship(home, a10=notebook("first", output="my own run"))
    ship(lessons, a10=notebook("first, better"))
    said = lay(home, lessons=lessons)
    assert sources(home / "a10.ipynb") == ["first, better"] and files(home) == ["a10.ipynb", "b20.ipynb"]
    assert len(said) == 1 and "a10.ipynb" in said[0] and "b20" not in said[0]


def test_an_upgrade_of_outputs_alone_arrives_too(lessons, home):
    lay(home, lessons=lessons)
    ship(lessons, a10=notebook("first", output="now 4.2"))
    lay(home, lessons=lessons)
    assert "now 4.2" in (home / "a10.ipynb").read_text(encoding="utf-8")


def test_ones_own_run_stays_while_nothing_is_new(lessons, home):
    lay(home, lessons=lessons)
    ship(home, a10=notebook("first", output="my own run"))
    lay(home, lessons=lessons)
    assert "my own run" in (home / "a10.ipynb").read_text(encoding="utf-8")


def test_an_edited_lesson_stays_and_the_new_one_lies_beside_it_once(lessons, home):
    lay(home, lessons=lessons)
    ship(home, a10=notebook("first", "answer = '1.6 g'"))
    assert lay(home, lessons=lessons) == []                  # nothing new: nothing laid
    ship(lessons, a10=notebook("first, better"))
    said = lay(home, lessons=lessons)
    assert sources(home / "a10.ipynb") == ["first", "answer = '1.6 g'"]
    assert sources(home / "a10.new.ipynb") == ["first, better"]
    assert len(said) == 1 and "a10.new.ipynb" in said[0] and "edited" in said[0]
    (home / "a10.new.ipynb").unlink()
    assert lay(home, lessons=lessons) == [] and not (home / "a10.new.ipynb").exists()


def test_a_newer_version_replaces_the_one_beside_unless_that_was_edited(lessons, home):
    lay(home, lessons=lessons)
    ship(home, a10=notebook("mine"))
    for version in ("second edition", "third edition"):
        ship(lessons, a10=notebook(version))
        lay(home, lessons=lessons)
    assert files(home) == ["a10.ipynb", "a10.new.ipynb", "b20.ipynb"] and sources(home / "a10.new.ipynb") == ["third edition"]
    ship(home, **{"a10.new": notebook("mine too")})
    ship(lessons, a10=notebook("fourth edition"))
    lay(home, lessons=lessons)
    assert sources(home / "a10.new.ipynb") == ["mine too"] and sources(home / "a10.new2.ipynb") == ["fourth edition"]


def test_taking_the_one_beside_makes_it_follow_again(lessons, home):
    lay(home, lessons=lessons)
    ship(home, a10=notebook("mine"))
    ship(lessons, a10=notebook("second edition"))
    lay(home, lessons=lessons)
    os.replace(home / "a10.new.ipynb", home / "a10.ipynb")
    ship(lessons, a10=notebook("third edition"))
    lay(home, lessons=lessons)
    assert files(home) == ["a10.ipynb", "b20.ipynb"] and sources(home / "a10.ipynb") == ["third edition"]


def test_a_deleted_lesson_comes_back(lessons, home):
    lay(home, lessons=lessons)
    (home / "a10.ipynb").unlink()
    assert "a10.ipynb" in lay(home, lessons=lessons)[0]
    assert sources(home / "a10.ipynb") == ["first"]


def test_below_a_hub_links_to_pages_carry_the_place_of_the_students_server(lessons, home, monkeypatch):
    link = "[10](a10.ipynb) [page]({}voila/render/a10.ipynb) [a](b.ipynb)"
    ship(lessons, a10=notebook(link.format("/")))
    lay(home, lessons=lessons)
    assert sources(home / "a10.ipynb") == [link.format("/")]
    monkeypatch.setenv("JUPYTERHUB_SERVICE_PREFIX", "/kitchen/user/s-1/")
    lay(home, lessons=lessons)                               # a folder from before the hub follows too
    assert sources(home / "a10.ipynb") == [link.format("/kitchen/user/s-1/")]
    ship(lessons, a10=notebook(link.format("/") + " better"))    # the link does not count as an edit of the student's
    assert "Brought up to date" in lay(home, lessons=lessons)[0]
    assert sources(home / "a10.ipynb") == [link.format("/kitchen/user/s-1/") + " better"]


@pytest.mark.parametrize("torn", ["", "{", '{"cells": 3}', '{"cells": [{"source": null}]}', "[" * 100_000])
def test_a_broken_notebook_is_kept_and_a_whole_one_lies_beside_it(lessons, home, torn):
    lay(home, lessons=lessons)
    ship(home, a10=torn)
    said = lay(home, lessons=lessons)
    assert (home / "a10.ipynb").read_text(encoding="utf-8") == torn and sources(home / "a10.new.ipynb") == ["first"]
    assert len(said) == 1 and "cannot be read" in said[0]
    assert lay(home, lessons=lessons) == []


def test_the_users_own_files_are_left_alone(lessons, home):
    home.mkdir()
    own = {"shelf.csv": b"product\n", "notes.ipynb": b"{", "a10.txt": b"x"}
    for name, data in own.items():
        (home / name).write_bytes(data)
    lay(home, answers=True, lessons=lessons)
    ship(lessons, a10=notebook("better"))
    lay(home, lessons=lessons)
    assert all((home / name).read_bytes() == data for name, data in own.items())


def test_a_folder_where_a_lesson_should_go_is_left_alone(lessons, home):
    (home / "a10.ipynb").mkdir(parents=True)
    assert "a10.new.ipynb" in lay(home, lessons=lessons)[0]
    assert (home / "a10.ipynb").is_dir() and sources(home / "a10.new.ipynb") == ["first"]


@pytest.mark.parametrize("record", [None, "", "{", "[1]", '{"a10.ipynb": 3}'])
def test_a_lost_record_costs_nothing(lessons, home, record):
    lay(home, lessons=lessons)
    ship(home, b20=notebook("mine"))
    (home / RECORD).unlink() if record is None else (home / RECORD).write_text(record, encoding="utf-8")
    lay(home, lessons=lessons)
    assert sources(home / "a10.ipynb") == ["first"] and sources(home / "b20.ipynb") == ["mine"]
    ship(lessons, a10=notebook("better"))
    lay(home, lessons=lessons)
    assert sources(home / "a10.ipynb") == ["better"]


def test_the_record_holds_fingerprints_only(lessons, home):
    lay(home, lessons=lessons)
    record = json.loads((home / RECORD).read_text(encoding="utf-8"))
    assert set(record) == {"a10.ipynb", "b20.ipynb"} and all(len(mark) == 64 for entry in record.values() for mark in entry.values())


def test_a_lesson_no_longer_shipped_stays_and_is_said_once(lessons, home):
    lay(home, lessons=lessons)
    (lessons / "b20.ipynb").unlink()
    assert "b20.ipynb is no longer among the lessons" in lay(home, lessons=lessons)[0]
    assert (home / "b20.ipynb").exists() and lay(home, lessons=lessons) == []


def test_copies_of_read_only_lessons_can_be_edited(lessons, home):
    for path in lessons.rglob("*.ipynb"):
        path.chmod(stat.S_IREAD)
    lay(home, lessons=lessons)
    assert (home / "a10.ipynb").stat().st_mode & stat.S_IWRITE
    if sys.platform == "win32":                              # there a read-only file cannot be deleted with its folder
        for path in lessons.rglob("*.ipynb"):
            path.chmod(stat.S_IWRITE)


def test_nothing_is_laid_onto_the_lessons_themselves(lessons):
    before = files(lessons)
    assert lay(lessons, answers=True, lessons=lessons) == [] and files(lessons) == before and not (lessons / RECORD).exists()


def test_an_empty_shelf_of_lessons_is_no_error(tmp_path, home):
    (tmp_path / "none").mkdir()
    assert lay(home, lessons=tmp_path / "none") == [] and files(home) == []
