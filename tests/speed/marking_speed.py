"""Marking: files a second and growth, beside what running one student's notebook costs in the same run.

Run by hand: python tests/speed/marking_speed.py [FILES ...]. Answers are made (seeded): right, slipped, wrong and unreadable ones.
"""
import csv
import random
import statistics
import sys
import tempfile
import time
from pathlib import Path

from panel_speed import resident

from kitchenlib.teaching import answers, bank, marking
from kitchenlib.teaching.check import run
from kitchenlib.teaching.copies import LESSONS

ANSWERS = 60


def typed(exercise, number, dice):
    """What a student may type: mostly right, often a slip, some nonsense."""
    solved, kind = exercise.solved(number), dice.random()
    value = solved.truth if kind < 0.6 else dice.choice(solved.slips)[0] if kind < 0.85 and solved.slips else None
    return dice.choice(("?", "12", "1,6 g", "7 min")) if value is None else exercise.put(value)


def write_class(folder, count, class_code="c4", seed=1):
    dice, exercises = random.Random(seed), list(bank.by_key().values())
    for n in range(count):
        student = f"s-{n:05}"
        rows = [answers.HEADING]
        for k in range(ANSWERS):
            exercise = exercises[k % len(exercises)]
            number = exercise.number(student, class_code)
            rows.append((f"2026-11-2{k % 9}T10:{k % 60:02}:00.000Z", student, class_code, exercise.key, exercise.label(number),
                         answers.guarded(answers.clean(typed(exercise, number, dice)))))
        path = folder / answers.file_name(answers.Who(student, class_code))
        with open(path, "w", encoding="utf-8", newline="") as file:
            csv.writer(file, quoting=csv.QUOTE_ALL, lineterminator="\n").writerows(rows)


def main(counts=(1250, 2500, 5000, 10000)):
    import nbformat
    lesson = LESSONS / "10_gel_strength.ipynb"
    begin = time.perf_counter()
    run(nbformat.read(lesson, 4), lesson.stem)
    notebook = time.perf_counter() - begin
    print(f"one student's notebook run by nbval: {notebook:.1f} s")
    print(f"{'files':>7} {'seconds':>8} {'files a s':>10} {'ms a file':>10} {'a notebook marks':>17} {'MB more':>8}")
    with tempfile.TemporaryDirectory() as place:
        for count in counts:
            folder = Path(place) / str(count)
            folder.mkdir()
            write_class(folder, count)
            before, runs = resident(), []
            for _ in range(3 if count < 3000 else 1):
                begin = time.perf_counter()
                marks = marking.mark(folder, "c4")
                runs.append(time.perf_counter() - begin)
            seconds = statistics.median(runs)
            grown = f"{(resident() - before) / 1e6:.0f}" if before else "?"
            assert len(marks.students) == len(marks.marked) == count
            print(f"{count:7} {seconds:8.2f} {count / seconds:10.0f} {1e3 * seconds / count:10.2f} {notebook / (seconds / count):12.0f} files {grown:>8}")


if __name__ == "__main__":
    main(*([tuple(map(int, sys.argv[1:]))] if sys.argv[1:] else []))
