"""Handouts: each student's own numbers, cautions first, answers only where asked for, one foot on every sheet."""
import html
import re

import pytest

from kitchenlib import __version__
from kitchenlib.teaching import bank, handout, sheets
from kitchenlib.teaching.copies import LESSONS
from kitchenlib.units import unbroken
from wording import words

LESSON = LESSONS / "12_pearls_in_cold_oil.ipynb"
ANN = handout.Student(" S-01 ", "C4", "Ann Example")


def test_the_numbers_are_the_students_own():
    page = words(handout.handout(LESSON, ANN))
    for exercise in bank.exercises("pearls_in_cold_oil").values():
        assert exercise.text(exercise.number("s-01", "c4")) in page
    assert words(handout.handout(LESSON, handout.Student("s-02", "c4"))) != page


def test_without_a_student_the_textbooks_numbers():
    page = words(handout.handout(LESSON))
    assert all(exercise.text() in page for exercise in bank.exercises("pearls_in_cold_oil").values()) and "the textbook's numbers" in page


def test_cautions_stand_before_everything_else():
    page = words(handout.handout(LESSON, ANN))
    assert page.index("Caution.") < page.index("Exercises") and page.index("Caution.") < page.index("pictures show")
    assert "choke" in page[page.index("Caution."):page.index("Exercises")]


def test_no_answer_leaks_and_the_answers_are_right():
    asked, solved = handout.handout(LESSON, ANN), words(handout.handout(LESSON, ANN, solved=True))
    for exercise in bank.exercises("pearls_in_cold_oil").values():
        number = exercise.number("s-01", "c4")
        answer = exercise.put(exercise.solved(number).truth)
        assert answer in solved and exercise.verdict(answer, number).word == "right"
        assert not any(step in words(asked) for step in exercise.way(number))


def test_pictures_come_with_words_and_the_page_asks_nothing_of_the_net():
    page = handout.handout(LESSON, ANN)
    assert page.count("<img alt=") == page.count("<img ") == 2 and "<script" not in page and not re.search(r"(src|href)=.?https?:", page)


def test_the_foot_names_version_date_shelf_and_class(own_folder):
    page = handout.handout(LESSON, ANN)
    foot = words(re.search(r"<footer>.*?</footer>", page, re.S)[0])
    assert f"kitchenlib {__version__}" in foot and re.search(r"\d{4}-\d\d-\d\d", foot) and "own shelf: empty" in foot and "class c4" in foot
    (own_folder / "shelf.csv").write_text("product,is,property,value,unit\nbin 7 agar,agar,gel_strength,900,g_per_cm2\n", encoding="utf-8")
    assert "bin 7 agar" in sheets.foot()


def test_formulas_are_drawn_without_a_script():
    page = handout.handout(LESSON, ANN, whole=True)
    assert "<math" in page and "$" not in words(page)


def test_ids_alone_unless_names_are_asked_for(tmp_path):
    path = tmp_path / "list.csv"
    path.write_text("student;name\nS-01;Ann Example\n\ns-02;Ben Example\n", encoding="utf-8-sig")
    people = handout.listed(path, "c4")
    assert [p.said() for p in people] == ["class c4 · student s-01", "class c4 · student s-02"]
    assert handout.listed(path, "c4", names=True)[0].said().endswith("Ann Example")


@pytest.mark.parametrize("text, said", [("student\ns-1\nS-1 \n", "line 3: student s-1 stands in line 2"), ("\n\n", "no student"), ("student\n", "no student")])
def test_a_bad_list_is_named(tmp_path, text, said):
    path = tmp_path / "list.csv"
    path.write_text(text, encoding="utf-8")
    with pytest.raises(ValueError, match=said):
        handout.listed(path, "c4")


def test_a_bare_list_of_ids(tmp_path):
    path = tmp_path / "list.txt"
    path.write_text("s-01\ns-02\n", encoding="utf-8")
    assert [p.student for p in handout.listed(path, "c4")] == ["s-01", "s-02"]


def test_a_class_in_one_go_and_nothing_overwritten(tmp_path, monkeypatch, capsys):
    monkeypatch.chdir(tmp_path)
    (tmp_path / "list.csv").write_text("s-01\n<b>\n", encoding="utf-8")
    asked = ["12", "--class", "c4", "--list", "list.csv", "--to", "out"]
    assert handout.main(asked) == 0 and len(list((tmp_path / "out").glob("handout-12-c4-*.html"))) == 2
    pages = [path.read_text(encoding="utf-8") for path in (tmp_path / "out").iterdir()]
    assert any("student &lt;b&gt;" in page for page in pages) and not any("student <b>" in page for page in pages)
    assert handout.main(asked) == 2 and "--overwrite" in capsys.readouterr().err
    assert handout.main([*asked, "--answers"]) == 0 and (tmp_path / "out" / "answers-12-of-all.html").exists()


def test_a_class_in_one_page_to_print(tmp_path, capsys):
    (tmp_path / "list.csv").write_text("s-01\ns-02\n", encoding="utf-8")
    asked = ["12", "--class", "c4", "--list", str(tmp_path / "list.csv"), "--one-file", "--to", str(tmp_path / "out")]
    assert handout.main(asked) == 0 and [path.name for path in (tmp_path / "out").iterdir()] == ["handout-12-to-print.html"]
    page = (tmp_path / "out" / "handout-12-to-print.html").read_text(encoding="utf-8")
    first, second = page.split('<section class="leaf">')[1:]
    for part, student in ((first, "s-01"), (second, "s-02")):
        assert 'class="caution"' in part and all(unbroken(html.escape(exercise.text(exercise.number(student, "c4")))) in part
                                                 for exercise in bank.exercises("pearls_in_cold_oil").values())
    assert handout.main([*asked, "--answers"]) == 0
    assert sorted(path.name for path in (tmp_path / "out").glob("answers*")) == ["answers-12-of-all.html", "answers-12-to-print.html"]


@pytest.mark.parametrize("arguments, said", [(["77"], "no lesson"), (["12", "--student", "s"], "--class"),
                                             (["12", "--class", "c", "--list", "no.csv"], "no.csv")])
def test_the_command_says_what_it_cannot(tmp_path, monkeypatch, capsys, arguments, said):
    monkeypatch.chdir(tmp_path)
    assert handout.main(arguments) == 2 and said in capsys.readouterr().err
