"""How far a student is: done, to do, where they slipped. Read from the answer file; nothing is stored."""
from . import bank
from .copies import name
from .exercises import WRONG
from .lesson import Table


def progress():
    """A Table, a row a lesson: exercises done, those still to do, and the hint behind each slip on the way."""
    rows, done, all_of_them = [], 0, 0
    for lesson, exercises in bank.lessons().items():
        right, todo, slipped = [], [], []
        for exercise in exercises.values():
            verdicts = [exercise.verdict(text, exercise.mine()) for text in exercise.answered()]
            (right if any(v.word == "right" for v in verdicts) else todo).append(exercise)
            wrong = [v for v in verdicts if v.word in WRONG]
            if wrong:
                slipped.append(f"{exercise.title}: {wrong[-1].hint}")
        rows.append((name(lesson), f"{len(right)} of {len(exercises)}",
                     ", ".join(exercise.key for exercise in todo) or "nothing", " ".join(slipped) or "nowhere"))
        done, all_of_them = done + len(right), all_of_them + len(exercises)
    return Table(("lesson", "done", "to do", "where you slipped"), rows, after=f"{done} of {all_of_them} exercises are right.")
