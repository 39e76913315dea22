"""Files as people save them, and settings in the user's folder: nothing that stands there is lost."""
import os

import pytest

from kitchenlib import files
from kitchenlib.files import read_csv, read_text


@pytest.fixture(autouse=True)
def own_home(tmp_path, monkeypatch):
    monkeypatch.setenv("KITCHENLIB_HOME", str(tmp_path))
    return tmp_path


def test_cells_are_read_as_they_stand(own_home):
    path = own_home / "any.csv"
    path.write_text('a,b,c\n 1 ,"x, ""y""",\n\n2\n1,2,3,4\n;;;\n5,,\n', encoding="utf-8")
    columns, rows, troubles = read_csv(path)
    assert columns == ["a", "b", "c"]
    assert rows == [(2, {"a": "1", "b": 'x, "y"', "c": ""}), (4, {"a": "2", "b": "", "c": ""}), (7, {"a": "5", "b": "", "c": ""})]
    assert troubles == ["line 5: 4 cells for 3 columns. A comma inside a number? Write 1.6, or put the cell in quotes."]
    path.write_text("a,a\n1,2\n", encoding="utf-8")
    assert read_csv(path)[1:] == ([(2, {"a": "2"})], ["line 1: two columns have one name. The last of them counts."])
    path.write_bytes(b"")
    assert read_csv(path) == ([], [], [])
    path.write_bytes(b"\xef\xbb\xbfcr\xe8me \x80\n\xc3\xa8")
    assert read_text(path) == "crème €\nè"
    with pytest.raises(FileNotFoundError):
        read_csv(own_home / "none.csv")


# --- settings -------------------------------------------------------------------------------------------------------------------------
def test_settings_are_kept_one_by_one():
    files.keep_settings(student="s-017", temperature="°F")
    files.keep_settings(mass="oz")
    kept = files.settings()
    assert (kept["student"], kept["temperature"], kept["mass"], kept["size"]) == ("s-017", "°F", "oz", "")
    with pytest.raises(ValueError, match="student"):
        files.keep_settings(studnt="x")


def test_broken_settings_are_the_first_ones_again(own_home):
    (own_home / "settings.csv").write_bytes(b"\xff\x00,\n,,,,")
    assert files.settings()["temperature"] in ("°C", "°F")


@pytest.mark.parametrize("wrong, says", [({"temperature": "K"}, "temperature is °C, °F; not 'K'"), ({"mass": "lb"}, "mass is g, oz"),
                                         ({"size": "huge"}, "projector"), ({"studnt": "x"}, "Did you mean 'student'")])
def test_a_setting_that_is_none_is_refused_and_nothing_written(own_home, wrong, says):
    with pytest.raises(ValueError) as caught:
        files.keep_settings(student="s-1", **wrong)
    assert says in str(caught.value) and not (own_home / "settings.csv").exists()


def test_settings_keep_what_others_wrote_and_one_line_each(own_home):
    (own_home / "settings.csv").write_bytes("setting;value\r\ncolour;blue\r\nmass;lb\r\nclass;Küche\r\n".encode("cp1252"))
    assert files.settings() == {**files.SETTINGS, "class": "Küche"}                 # lb is no choice: grams
    files.keep_settings(student=" s\n017 ")
    assert (own_home / "settings.csv").read_text(encoding="utf-8").splitlines() == [
        "setting,value", "colour,blue", "mass,g", "class,Küche", "student,s 017", "place,", "temperature,°C", "size,"]
    assert files.settings() == {**files.SETTINGS, "class": "Küche", "student": "s 017"}


def test_a_kill_in_mid_save_leaves_the_old_file_whole(own_home, monkeypatch):
    files.keep_settings(student="s-017")
    before = (own_home / "settings.csv").read_bytes()
    for step in ("fsync", "replace"):
        with monkeypatch.context() as patch:
            patch.setattr(os, step, lambda *_: (_ for _ in ()).throw(OSError("killed")))
            with pytest.raises(OSError, match="killed"):
                files.keep_settings(student="s-018")
        assert (own_home / "settings.csv").read_bytes() == before
    assert not list(own_home.glob("*.new")) and not list(own_home.glob(".*.new")) and files.settings()["student"] == "s-017"


def test_settings_that_cannot_be_read_are_the_first_ones(own_home):
    assert files.settings() == files.SETTINGS
    (own_home / "settings.csv").mkdir()
    assert files.settings() == files.SETTINGS
    with pytest.raises(OSError):
        files.keep_settings(student="x")
