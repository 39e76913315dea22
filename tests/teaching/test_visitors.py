"""On the kitchen network all visitors write as one system user: each page asks who answers, and keeps what belongs to whom apart."""
import pytest

from kitchenlib import files, tables
from kitchenlib.teaching import answers
from kitchenlib.teaching.answer_box import AnswerView
from kitchenlib.teaching.bank import start_here as ask
from kitchenlib.teaching.exercises import AnswerBox
from kitchenlib.teaching.own_things import settings, shelf

QUESTION = ask.MILLILITRES


@pytest.fixture
def visited(own_folder, monkeypatch):
    """A page of the kitchen network, fresh; this machine's user has an id of their own."""
    files.keep_settings(student="s-900", **{"class": "k2"})
    monkeypatch.setenv("KITCHENLIB_VISITORS", "yes")
    monkeypatch.setattr(answers, "_visitor", answers.Who("", ""))
    monkeypatch.setattr(answers, "_waiting", [])
    return own_folder


def right(number):
    return QUESTION.put(QUESTION.solved(number).truth)


def test_off_the_network_the_box_asks_nobody(own_folder):
    assert AnswerBox(QUESTION).view().asks_who is False


def test_a_visitor_is_not_the_user_of_the_machine_and_is_forgotten(visited):
    box = AnswerBox(QUESTION).view()
    assert box.asks_who and box.who == [] and box.question == ""
    box.sent = {"turn": 1, "text": right(None)}
    assert box.verdict[0] == "right" and box.heard == 1
    assert not list(visited.glob("answers-*"))


def test_an_id_given_in_one_box_holds_for_the_page(visited):
    one, other = AnswerBox(QUESTION).view(), AnswerBox(QUESTION).view()
    one.said = {"turn": 1, "who": [" S-017 ", "K2"]}
    number = QUESTION.number("s-017", "k2")
    assert one.who == other.who == ["s-017", "k2"] and other.question == QUESTION.text(number)
    other.sent = {"turn": 1, "text": right(number)}
    assert other.verdict[0] == "right"
    kept, _ = answers.read(visited / answers.file_name(answers.Who("s-017", "k2")))
    assert [(record.student, record.variant, record.answer) for record in kept] == [("s-017", str(number), right(number))]


def test_the_next_at_the_same_page_sees_nothing_of_the_last(visited):
    box = AnswerBox(QUESTION).view()
    for student in ("s-017", "s-018"):
        box.said = {"turn": 1, "who": [student, "k2"]}
        assert box.typed == "" and box.verdict == []
        box.sent = {"turn": box.heard + 1, "text": f"{student[-2:]} g"}
    assert len(list(visited.glob("answers-*.csv"))) == 2
    box.said = {"turn": 2, "who": ["s-017", "k2"]}
    assert box.typed == "17 g"


@pytest.mark.parametrize("who", [["", "k2"], ["s-017", " "], ["s" * 41, "k2"], ["s-017"], "s-017", [1, 2, 3]])
def test_half_an_id_is_said_and_changes_nothing(visited, who):
    box = AnswerBox(QUESTION).view()
    box.said = {"turn": 1, "who": who}
    assert box.who_trouble and box.who == []


@pytest.mark.parametrize("form", [settings, shelf])
def test_visitors_set_nothing_on_the_machine(visited, form):
    before = files.settings()
    view = form.view()
    assert view.fields == [] and "kitchen network" in view.message
    view.sent = {"turn": 1, "values": {"student": "x", "class": "y", "product": "z"}}
    assert files.settings() == before and not tables.shelf()[0]


def test_html_in_an_id_stays_text(visited):
    box = AnswerBox(QUESTION).view()
    box.said = {"turn": 1, "who": ["<img src=x>", "../k2"]}
    box.sent = {"turn": 1, "text": "1 g"}
    assert isinstance(box, AnswerView) and [p.parent for p in visited.glob("**/answers-*.csv")] == [visited]
