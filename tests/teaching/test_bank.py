"""Rules that every exercise of the bank keeps, in its textbook version and in its variants; and how it stands in its lesson."""
import inspect
import itertools
import json

import nbformat
import pytest

from kitchenlib import files
from kitchenlib.tables import Row
from kitchenlib.teaching import answers, bank
from kitchenlib.teaching.bank import gel_strength as ask
from kitchenlib.teaching.copies import LESSONS
from kitchenlib.teaching.exercises import DRAWN, VARIANTS, Draw
from kitchenlib.teaching.progress import progress
from kitchenlib.units import Quantity

BANK = [exercise for name in bank.names() for exercise in bank.exercises(name).values()]


def numbers(exercise):
    """The textbook version and the variants that the default test solves."""
    return (None, *range(VARIANTS)) if not exercise.heavy else (None, *range(0, VARIANTS, 8))


each = pytest.mark.parametrize("exercise", BANK, ids=lambda exercise: exercise.key)


def test_keys_are_used_once_and_safe_in_a_spreadsheet():
    keys = [exercise.key for exercise in BANK]
    assert len(set(keys)) == len(keys) == len(bank.by_key())
    assert all(key[0].isalpha() and answers.guarded(key) == key and answers.clean(key) == key for key in keys)


@each
def test_solve_agrees_with_the_answer_worked_by_hand(exercise):
    givens, known, source = exercise.known
    assert set(givens) == {name for name, given in exercise.givens.items() if isinstance(given, DRAWN)} and len(source) > 10
    assert exercise.verdict(known).word == "right"
    if not isinstance(known, str):
        by_hand = known.m_as(exercise.unit) if isinstance(known, Quantity) else known
        solved = exercise.solved()
        assert solved.truth == pytest.approx(by_hand, rel=2e-3, abs=solved.tolerance / 5), "worked to 3 digits or more"


@each
def test_the_textbook_s_givens_lie_where_variants_do(exercise):
    for name, given in exercise.givens.items():
        value = exercise.variant()[name]
        if isinstance(given, Draw):
            assert given.choices()[0] <= value <= given.choices()[-1]
        elif isinstance(given, DRAWN):
            assert any(value == choice for choice in given.choices())


def hold_apart(exercise, number):
    """No two of the truth and the slips are so near that one answer could be both; a slip's answer never counts as right."""
    solved = exercise.solved(number)
    values = [(solved.truth, solved.tolerance), *((value, tolerance) for value, tolerance, _ in solved.slips)]
    if isinstance(solved.truth, str):
        assert solved.truth in exercise.unit and {value for value, _, _ in solved.slips} | {solved.truth} == set(exercise.unit)
        return
    for (one, near), (other, far) in itertools.combinations(values, 2):
        assert abs(one - other) > near + far, f"{exercise.put(one)} and {exercise.put(other)} are too near in {exercise.text(number)}"


@each
def test_no_variant_is_degenerate(exercise):
    for number in numbers(exercise):
        hold_apart(exercise, number)


@pytest.mark.slow
def test_no_variant_of_any_exercise_is_degenerate():
    for exercise in BANK:
        for number in range(VARIANTS):
            hold_apart(exercise, number)


@each
def test_variants_differ(exercise):
    variants = {tuple(str(getattr(value, "key", value)) for value in exercise.variant(number).values()) for number in range(VARIANTS)}
    combinations = 1
    for given in exercise.givens.values():
        combinations *= len(given.choices()) if isinstance(given, DRAWN) else 1
    assert len(variants) >= min(VARIANTS, combinations) / 2


@each
def test_every_answer_gets_its_own_verdict(exercise):
    for number in numbers(exercise):
        solved = exercise.solved(number)
        words = isinstance(solved.truth, str)
        assert exercise.verdict(None, number).word == "blank"
        assert exercise.verdict(exercise.put(solved.truth), number).word == "right", "the answer as the steps print it"
        for value, _, hint in solved.slips:
            if value != solved.truth:
                typed = value if words else exercise.put(value) if exercise.put(value) != exercise.put(solved.truth) else value
                assert exercise.verdict(typed, number) == ("slip", hint), (number, typed)
        if not words:
            bare = exercise.verdict(f"{solved.truth:.6g}", number).word
            assert bare == ("right" if exercise.unit in ("", "leaf") else "no unit")
            assert exercise.verdict("3 kg" if exercise.unit != "g" else "3 mm", number).word == "wrong kind"
            assert exercise.verdict(exercise.put(-7.77 * abs(solved.truth) - 1), number).word == "not yet"


@each
def test_question_and_steps_read_well(exercise):
    for number in numbers(exercise):
        solved, question, steps = exercise.solved(number), exercise.text(number), exercise.way(number)
        for said in (question, *steps, *(slip.hint for slip in exercise.slips)):
            assert said[0].isupper() or said[0].isdigit()
            assert "{" not in said and "nan" not in said.split() and "e-0" not in said and "e+" not in said
            assert "<" not in said and "Quantity" not in said and len(said) < 400
        assert exercise.put(solved.truth) in " ".join(steps) and len(steps) >= 2
        for name, given in exercise.givens.items():
            assert "{" + name + "}" in exercise.question or "{" + name + "." in exercise.question, f"{name} is not in the question"


@each
def test_a_declaration_is_whole(exercise):
    assert len(exercise.slips) >= (2 if isinstance(exercise.unit, str) else len(exercise.unit)), "two slips at least; of words, one each"
    hints = [slip.hint for slip in exercise.slips]
    assert len(set(hints)) == len(hints) and all(hint.endswith((".", "?")) for hint in hints)
    assert isinstance(exercise.unit, tuple) or exercise.within is not None
    have = set(exercise.givens) | set(exercise.between)
    for path in (exercise.solve, *exercise.between.values(), *(slip.path for slip in exercise.slips if callable(slip.path))):
        assert set(inspect.signature(path).parameters) <= have
    assert not any(row.fact(name).how == "yours" for number in (None, 0) for row in exercise.variant(number).values() if isinstance(row, Row)
                   for name in row)


def test_the_library_solves_and_hints_are_not_the_answer():
    for exercise in BANK:
        for number in numbers(exercise)[:6]:
            truth = exercise.solved(number).truth
            if not isinstance(truth, str):
                assert not any(f" {exercise.put(truth)}" in slip.hint for slip in exercise.slips)


@pytest.mark.parametrize("name", [name for name in bank.names() if name != "start_here"])
def test_a_lesson_has_four_core_exercises_and_five_further(name):
    exercises = list(bank.exercises(name).values())
    core = [exercise for exercise in exercises if exercise.minutes]
    assert len(core) == 4 and exercises[:4] == core and len(exercises) >= 9, f"{len(core)} with minutes (four, first), {len(exercises)} in all (nine)"
    assert all(2 <= exercise.minutes <= 4 for exercise in core) and len({e.solve.__code__.co_code for e in exercises}) >= 5


# --- in the lessons ----------------------------------------------------------------------------------------------------------------
def test_every_module_of_the_bank_has_its_lesson_and_answers():
    lessons = bank.lessons()
    without = set(bank.names()) - {bank.module_of(lesson) for lesson in lessons}
    assert not without, f"no lesson of that name: {without}"
    assert not [lesson for lesson in lessons if not (LESSONS / "answers" / f"{lesson}.ipynb").exists()], "these have no answers/"


def page(name):
    return nbformat.from_dict(json.loads((LESSONS / name).read_text(encoding="utf-8")))


def source(cell):
    return "".join(cell.source)


@pytest.mark.parametrize("lesson", bank.lessons())
def test_the_lesson_asks_as_declared_and_stores_it_blank(lesson):
    cells = page(f"{lesson}.ipynb").cells
    found = [(number, cell) for number, cell in enumerate(cells) if "exercise" in cell.metadata.get("tags", ())]
    exercises = bank.exercises(bank.module_of(lesson))
    assert [cell.metadata.tags for _, cell in found] == [["exercise", exercise.key] for exercise in exercises.values()]
    for (number, cell), (name, exercise) in zip(found, exercises.items()):
        assert source(cells[number - 1]).endswith(exercise.markdown()), f"write the question as declared: {exercise.markdown()}"
        assert source(cell) == f"answer = None\nask.{name}.check(answer)"
        assert "".join(cell.outputs[0].text) == f"{exercise.verdict(None)}\n" and cell.execution_count


@pytest.mark.parametrize("lesson", bank.lessons())
def test_the_answers_run_each_exercise_to_right_once(lesson):
    cells = page(f"answers/{lesson}.ipynb").cells
    exercises = {exercise.key: exercise for exercise in bank.exercises(bank.module_of(lesson)).values()}
    found = [cell for cell in cells if "exercise" in cell.metadata.get("tags", ())]
    right = [cell.metadata.tags[1] for cell in found if "".join(cell.outputs[0].text) == "right\n"]
    assert sorted(right) == sorted(exercises) and len(found) == len(right)
    setup = next(cell for cell in cells if "setup" in cell.metadata.get("tags", ()))
    assert "only_textbook()" in source(setup), "worked answers keep nothing and ask the textbook's numbers"


# --- how far a student is ------------------------------------------------------------------------------------------------------------
def test_progress_shows_done_to_do_and_slips(own_folder, monkeypatch):
    monkeypatch.setattr(answers, "_waiting", [])
    fresh = {row[0]: row for row in progress().rows}
    assert list(fresh) == sorted(fresh) and fresh["00 Start here"][1:] == ("0 of 3", "units-01, units-02, units-03", "nowhere")
    files.keep_settings(student="s-017", **{"class": "c4"})
    ask.BOIL_OFF.attempt("1")
    ask.BOIL_OFF.attempt(ask.BOIL_OFF.put(ask.BOIL_OFF.solved(ask.BOIL_OFF.mine()).truth))
    ask.CUBE.attempt("1 g")
    _, done, to_do, slipped = next(row for row in progress().rows if row[0] == "10 Gel strength")
    assert done == "1 of 11" and to_do.startswith("gels-01, gels-03, ") and "gels-02" not in to_do
    assert slipped == ("After the boil: The agar does not boil away; the water does. The same agar now sits in less. "
                       "A cube under a weight: The answer is measured in kPa.")
    assert progress().after.startswith("1 of ") and len(answers.mine()[0]) == 3
