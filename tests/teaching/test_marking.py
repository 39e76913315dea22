"""Marking: every verdict anew from the answer file; damage costs a line or a file and is said; totals add up."""
import base64
import csv
import io
import os
import random
import re
import string
import subprocess
import sys

import pandas
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from kitchenlib.teaching import answers, bank, marking
from kitchenlib.units import plain

BLOOM, *REST = [key for key in marking.keys_of(("10",))]


def asked(key):
    return bank.by_key()[key]


def right(student, key, class_code="c4"):
    exercise = asked(key)
    return exercise.put(exercise.solved(exercise.number(student, class_code)).truth)


def slipped(student, key, which=0, class_code="c4"):
    exercise = asked(key)
    solved = exercise.solved(exercise.number(student, class_code))
    return exercise.put([value for value, _, _ in solved.slips if value != solved.truth][which])


def lines(student, *answered, class_code="c4", start=0):
    """Cells of one student's answers: (key, text) or (key, text, variant)."""
    return [(f"2026-11-20T10:00:{start + n:02}.000Z", student, class_code, key,
             more[0] if more else asked(key).label(asked(key).number(student, class_code)), text)
            for n, (key, text, *more) in enumerate(answered)]


def write(folder, name, rows, encoding="utf-8", separator=","):
    made = io.StringIO(newline="")
    csv.writer(made, delimiter=separator, quoting=csv.QUOTE_ALL, lineterminator="\n").writerows([answers.HEADING, *rows])
    folder.mkdir(exist_ok=True)
    (folder / name).write_bytes(made.getvalue().encode(encoding))


def adds_up(marks):
    assert marks.files == len(marks.marked) + len(marks.left_out)
    return marks


def test_right_slip_wrong_and_blank(tmp_path):
    write(tmp_path, "a.csv", lines("ann", (BLOOM, right("ann", BLOOM)), (REST[0], slipped("ann", REST[0])), (REST[1], "9999999 kg")))
    marks = adds_up(marking.mark(tmp_path, "C4", ("10",)))
    words = {key: tried.verdicts[-1].word for key, tried in marks.students["ann"].items()}
    assert words[BLOOM] == "right" and words[REST[0]] == "slip" and words[REST[1]] in ("not yet", "wrong kind")
    heading, (row,) = marks.table()
    assert row[2] == 1 and row[3] == 0 and row[5] == "" and marks.right("ann") == 1 and row[-4:-1] == (1, 3, len(marks.keys))


@pytest.mark.parametrize("policy, counts", [("any", True), ("last", False), ("first", False), (1, False), (2, True)])
def test_policy_for_attempts(tmp_path, policy, counts):
    write(tmp_path, "a.csv", lines("ann", (BLOOM, "1 kg"), (BLOOM, right("ann", BLOOM)), (BLOOM, slipped("ann", BLOOM))))
    assert marking.mark(tmp_path, "c4", ("10",), policy).students["ann"][BLOOM].right(policy) is counts


def test_the_order_is_that_of_time_and_a_text_said_twice_is_one_attempt(tmp_path):
    late = lines("ann", (BLOOM, right("ann", BLOOM)), start=30)
    early = lines("ann", (BLOOM, "1 kg"), (BLOOM, "1 kg"))
    write(tmp_path, "a.csv", late + early)
    assert [v.word == "right" for v in marking.mark(tmp_path, "c4").students["ann"][BLOOM].verdicts] == [False, True]


def test_a_students_files_are_joined(tmp_path):
    write(tmp_path / "one", "answers-c4-ann.csv", lines("ann", (BLOOM, "1 kg")))
    write(tmp_path / "two", "answers-c4-ann.beside.csv", lines("Ann ", (BLOOM, right("ann", BLOOM)), (REST[0], right("ann", REST[0])), start=9))
    marks = adds_up(marking.mark(tmp_path, "c4", ("10",)))
    assert list(marks.students) == ["ann"] and marks.right("ann") == 2 and len(marks.students["ann"][BLOOM].verdicts) == 2


def test_who_handed_in_nothing_and_a_mistyped_id_are_named(tmp_path, own_folder, capsys):
    write(tmp_path / "in", "a.csv", lines("s-1", (BLOOM, right("s-1", BLOOM))))
    write(tmp_path / "in", "b.csv", lines("s-22", (BLOOM, right("s-22", BLOOM))))
    marks = adds_up(marking.mark(tmp_path / "in", "c4", ("10",), expected=("S-1", "s-2 ", "s-3")))
    assert [row[0] for row in marks.table()[1]] == ["s-1", "s-2", "s-22", "s-3"] and marks.right("s-2") == 0
    assert "nothing that counts from s-2, s-3." in repr(marks) and re.search(r"not on the list .*: s-22\.", repr(marks))
    (tmp_path / "ids.csv").write_text("s-1\ns-2\n", encoding="utf-8")
    assert marking.main([str(tmp_path / "in"), "--class", "c4", "--list", str(tmp_path / "ids.csv"), "--to", str(tmp_path)]) == 0
    assert "nothing that counts from s-2." in capsys.readouterr().out


def test_the_core_alone_when_asked(tmp_path):
    write(tmp_path, "a.csv", lines("ann", (BLOOM, right("ann", BLOOM)), (REST[-1], right("ann", REST[-1]))))
    marks = marking.mark(tmp_path, "c4", ("10",), core=True)
    assert marks.keys == tuple(key for key in marking.keys_of(("10",)) if asked(key).minutes) and len(marks.keys) == 4
    assert marks.right("ann") == 1 and REST[-1] not in marks.students["ann"]


def test_what_to_teach_again_is_what_went_wrong_at_first(tmp_path):
    """All are right in the end, for the steps are shown; two of three took the slip first: 1/3 at once."""
    for n, student in enumerate(("ann", "ben", "cem")):
        first = () if n == 0 else ((BLOOM, slipped(student, BLOOM)),)
        write(tmp_path, f"{student}.csv", lines(student, *first, (BLOOM, right(student, BLOOM)), (REST[0], right(student, REST[0]))))
    marks = marking.mark(tmp_path, "c4", ("10",))
    assert marks.again() == ((asked(BLOOM).title, pytest.approx(1 / 3), asked(BLOOM).slips[0].hint),)
    assert f"teach again: {asked(BLOOM).title} (33 % right at once). {asked(BLOOM).slips[0].hint}" in repr(marks)


def test_two_students_in_one_file_each_count_for_their_own(tmp_path):
    write(tmp_path, "shared.csv", lines("ann", (BLOOM, right("ann", BLOOM))) + lines("ben", (BLOOM, "1 kg")))
    marks = marking.mark(tmp_path, "c4", ("10",))
    assert (marks.right("ann"), marks.right("ben")) == (1, 0) and any("2 students in one file" in text for text in marks.troubles)


def test_another_students_variant_is_listed_and_does_not_count(tmp_path):
    other = str((asked(BLOOM).number("ann", "c4") + 1) % 40)
    write(tmp_path, "a.csv", lines("ann", (BLOOM, right("ann", BLOOM), other), (BLOOM, right("ann", BLOOM), "textbook"), (REST[0], "1 g")))
    marks = marking.mark(tmp_path, "c4", ("10",))
    assert BLOOM not in marks.students["ann"] and sum("not this student's" in text for text in marks.troubles) == 2


def test_the_same_content_under_two_names_is_listed_and_counted_once(tmp_path):
    rows = lines("ann", (BLOOM, right("ann", BLOOM)))
    write(tmp_path, "a.csv", rows)
    write(tmp_path, "b.csv", rows, encoding="utf-8-sig", separator=";")
    marks = adds_up(marking.mark(tmp_path, "c4", ("10",)))
    assert marks.marked == ("a.csv", "b.csv") and any("the same content in a.csv, b.csv" in text for text in marks.troubles)


def test_another_class_is_left_out_by_name(tmp_path):
    write(tmp_path, "a.csv", lines("ann", (BLOOM, right("ann", BLOOM, "d9")), class_code="d9"))
    marks = adds_up(marking.mark(tmp_path, "c4"))
    assert not marks.students and marks.left_out == (("a.csv", "1 answer of class 'd9'; not counted."),)


def test_damage_costs_the_line_or_the_file_and_is_named(tmp_path):
    write(tmp_path, "good.csv", lines("ann", (BLOOM, right("ann", BLOOM))))
    with open(tmp_path / "good.csv", "ab") as file:
        file.write(b'"2026-11-20T11:00:00.000Z","ann","c4","' + BLOOM.encode())
    (tmp_path / "noise.csv").write_bytes(random.Random(1).randbytes(5000))
    (tmp_path / "empty.csv").write_bytes(b"")
    (tmp_path / "wide.csv").write_bytes("time,student,class\n".encode("utf-16"))
    (tmp_path / "huge.csv").write_bytes(b"x" * (answers.LARGEST + 1))
    (tmp_path / "folder.csv").mkdir()
    (tmp_path / "notes.txt").write_text("x", encoding="utf-8")
    marks = adds_up(marking.mark(tmp_path, "c4", ("10",)))
    assert marks.right("ann") == 1 and any("good.csv line 3 is torn" in text for text in marks.troubles)
    why = dict(marks.left_out)
    assert set(why) == {"noise.csv", "empty.csv", "wide.csv", "huge.csv", "folder.csv", "notes.txt"} and marks.files == 7
    assert "larger than" in why["huge.csv"] and "UTF-16" in why["wide.csv"] and "a folder" in why["folder.csv"] and "no answers" in why["empty.csv"]


def test_links_are_listed_and_not_followed(tmp_path):
    outside, folder = tmp_path / "outside", tmp_path / "in"
    write(outside, "a.csv", lines("ann", (BLOOM, right("ann", BLOOM))))
    folder.mkdir()
    try:
        os.symlink(outside / "a.csv", folder / "a.csv")
        os.symlink(outside, folder / "more")
    except OSError:
        pytest.skip("no links here")
    marks = adds_up(marking.mark(folder, "c4"))
    assert not marks.students and {why for _, why in marks.left_out} == {"a link; links are not followed"}


@pytest.mark.parametrize("text", ["=cmd()", "1e999", "nan", "9**9**9**9", "__import__('os').system('x')", "<script>x</script>", "x" * 10000, "１ g", "-1 g"])
def test_nothing_typed_is_run_or_hurts(tmp_path, text):
    write(tmp_path, "a.csv", lines("ann", (BLOOM, text), (REST[0], right("ann", REST[0]))))
    marks = adds_up(marking.mark(tmp_path, "c4", ("10",)))
    assert marks.right("ann") == 1 and not marks.students["ann"][BLOOM].right("any")


def test_ids_are_neutral_in_the_table_and_escaped_in_the_page(tmp_path):
    for n, name in enumerate(("=cmd()", "<img src=x onerror=alert(1)>", "@sum(a1)", "y" * 10000)):
        write(tmp_path, f"{n}.csv", lines(answers.counted(name), (BLOOM, right(answers.counted(name), BLOOM))))
    marks = adds_up(marking.mark(tmp_path, "c4", ("10",)))
    assert len(marks.students) == 4 and all(marks.right(student) == 1 for student in marks.students)
    cells = [row[0] for row in csv.reader(io.StringIO(marking.as_csv(*marks.table())))]
    assert not any(cell.startswith(tuple("=+-@")) for cell in cells) and "'=cmd()" in cells
    assert "<img src=x" not in marks.page() and "&lt;img src=x" in marks.page()


def test_an_unknown_exercise_and_a_clock_to_come_are_listed(tmp_path):
    rows = lines("ann", (BLOOM, right("ann", BLOOM))) + [("2026-11-20T10:00:00Z", "ann", "c4", "no-such-99", "3", "1 g")]
    write(tmp_path, "a.csv", [(("2999" + row[0][4:]), *row[1:]) for row in rows])
    marks = marking.mark(tmp_path, "c4", ("10",))
    said = " ".join(marks.troubles)
    assert "'no-such-99', which is no exercise here" in said and "a time to come" in said and marks.right("ann") == 1


def made_class(folder, count=30, seed=5):
    """A class with verdicts known beforehand: {student: {key: "right" or not}}."""
    dice, told = random.Random(seed), {}
    for n in range(count):
        student, told_of = f"s{n:02}", {}
        answered = []
        for key in dice.sample((BLOOM, *REST), dice.randint(1, len(REST))):
            good = dice.random() < 0.6
            answered.append((key, right(student, key) if good else slipped(student, key)))
            told_of[key] = good
        write(folder, f"{student}.csv", lines(student, *answered))
        told[student] = told_of
    return told


def test_class_statistics_agree_with_pandas(tmp_path):
    told = pandas.DataFrame(made_class(tmp_path / "in")).T
    marks = adds_up(marking.mark(tmp_path / "in", "c4", ("10",)))
    paths = marking.write(marks, tmp_path / "out")
    table = pandas.read_csv(paths[0], dtype={marking.OURS: str}).set_index(marking.OURS)
    assert len(table) == 30 and (table["right"] == told.sum(axis=1).reindex(table.index)).all()
    assert (table["tried"] == told.notna().sum(axis=1).reindex(table.index)).all()
    questions = pandas.read_csv(paths[1]).set_index(marking.OURS)
    for key in told.columns:
        assert questions.loc[key, "right"] == told[key].eq(True).sum() and questions.loc[key, "answered"] == told[key].notna().sum()
        first_hint = asked(key).slips[0].hint
        if told[key].eq(False).sum() and isinstance(asked(key).unit, str):
            assert questions.loc[key, "commonest slip"] == first_hint and questions.loc[key, "made by"] == told[key].eq(False).sum()
    share = told.eq(True).sum() / told.notna().sum()
    assert marks.again(1)[0][1] == pytest.approx(share.min())


def test_its_own_output_is_never_read(tmp_path):
    made_class(tmp_path, 4)
    first = marking.mark(tmp_path, "c4", ("10",))
    marking.write(first, tmp_path)
    again = marking.mark(tmp_path, "c4", ("10",))
    assert again.files == first.files == 4 and again.table() == first.table() and not again.left_out


def test_nothing_is_overwritten_unasked(tmp_path):
    made_class(tmp_path / "in", 2)
    marks = marking.mark(tmp_path / "in", "c4", ("10",))
    marking.write(marks, tmp_path)
    (tmp_path / "marks-c4.html").unlink()
    (tmp_path / "marks-c4.csv").write_text("mine", encoding="utf-8")
    with pytest.raises(FileExistsError, match="marks-c4.csv.*--overwrite"):
        marking.write(marks, tmp_path)
    assert (tmp_path / "marks-c4.csv").read_text(encoding="utf-8") == "mine" and not (tmp_path / "marks-c4.html").exists()
    marking.write(marks, tmp_path, overwrite=True)
    assert (tmp_path / "marks-c4.html").exists()


def test_the_command_marks_where_it_stands(tmp_path, own_folder):
    made_class(tmp_path, 3)
    for _ in range(2):                           # the second time beside its own outputs
        done = subprocess.run([sys.executable, "-m", "kitchenlib", "mark", ".", "--class", "C4", "--lesson", "10", "--overwrite"],
                              cwd=tmp_path, capture_output=True, encoding="utf-8")
        assert done.returncode == 0, done.stderr
        assert "3 students, 3 files = 3 marked + 0 left out" in done.stdout and (tmp_path / "marks-c4.csv").exists()


@pytest.mark.parametrize("arguments, said", [
    (["nowhere", "--class", "c4"], "is not a folder"), ([".", "--class", " "], "class code"),
    ([".", "--class", "c4", "--lesson", "77"], "no lesson with exercises"), ([".", "--class", "c4", "--attempts", "0"], "no number from 1 up")])
def test_the_command_says_what_it_cannot(tmp_path, monkeypatch, capsys, arguments, said):
    monkeypatch.chdir(tmp_path)
    assert marking.main(arguments) == 2 and said in capsys.readouterr().err


def test_the_picture_says_in_words_what_it_shows(tmp_path):
    made_class(tmp_path, 6)
    marks = marking.mark(tmp_path, "c4", ("10",))
    assert base64.b64decode(re.search(r'base64,([^"]+)', marks.page())[1]) == marks.picture() and marks.picture()[:4] == b"\x89PNG"
    key, title, _, answered, good, *_ = next(row for row in marks.questions()[1] if row[3])
    assert f"{title} {plain(100 * good / answered, 2)} %" in marks.alt()


junk = st.one_of(st.binary(max_size=300), st.text(max_size=200).map(lambda s: s.encode("utf-8", "replace")),
                 st.lists(st.text(string.printable, max_size=30), min_size=6, max_size=7).map(lambda c: ",".join(c).encode()))


@settings(deadline=None, max_examples=120, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.lists(junk, min_size=1, max_size=5))
def test_no_bytes_stop_the_marking_or_lose_a_student(tmp_path, pieces):
    for path in tmp_path.glob("*.csv"):
        path.unlink()
    write(tmp_path, "a.csv", lines("ann", (BLOOM, right("ann", BLOOM))))
    with open(tmp_path / "a.csv", "ab") as file:
        file.write(b"\n" + b"\n".join(pieces))
    (tmp_path / "b.csv").write_bytes(b"".join(pieces))
    marks = adds_up(marking.mark(tmp_path, "c4", ("10",)))
    assert marks.right("ann") == 1
    marking.as_csv(*marks.table()), repr(marks)
