"""What one check of an answer costs, and its parts. python tests/speed/exercise_speed.py

Aim: a verdict under 1 ms once its variant is solved (marking works out 10,000 students times 60 answers); keeping an answer is on top,
and is as slow as the disk's fsync.
"""
import os
import statistics
import tempfile
import time

os.environ["KITCHENLIB_HOME"] = home = tempfile.mkdtemp(prefix="kitchen-speed-")

from kitchenlib import files                                 # noqa: E402
from kitchenlib.teaching import answers, bank                # noqa: E402


def microseconds(work, times):
    """Median time of one call."""
    took = []
    for turn in range(times):
        start = time.perf_counter()
        work(turn)
        took.append(time.perf_counter() - start)
    return 1e6 * statistics.median(took)


def main():
    exercises = [exercise for name in bank.names() for exercise in bank.exercises(name).values()]
    start = time.perf_counter()
    for exercise in exercises:
        for number in range(40):
            exercise.solved(number)
    print(f"all 40 variants of an exercise, once: {1e3 * (time.perf_counter() - start) / len(exercises):8.1f} ms (mean of {len(exercises)})")
    print("a verdict, its variant solved:")
    for name, typed in (("right", lambda e: e.put(e.solved(7).truth)), ("slip", lambda e: e.put(e.solved(7).slips[-1][0])),
                        ("not yet", lambda e: e.put(-7.7 * abs(e.solved(7).truth) - 1)),
                        ("wrong kind", lambda e: "3 kg" if e.unit != "g" else "3 mm"), ("no unit", lambda e: "1.6"),
                        ("unreadable", lambda e: "9**9**9**9"), ("10,000 signs", lambda e: "x" * 10_000)):
        quantities = [(e, typed(e)) for e in exercises if isinstance(e.unit, str)]
        anew, again = (microseconds(lambda turn: (clear(), [e.verdict(t, 7) for e, t in quantities]), 50) / len(quantities)
                       for clear in (bank.Exercise._judge.cache_clear, lambda: None))
        print(f"    {name:<14}{anew:8.1f} µs, met again {again:6.1f} µs")
    files.keep_settings(student="s-017", **{"class": "C4"})
    exercise = exercises[0]
    print(f"the choice of a student's variant:    {microseconds(lambda turn: exercise.number(f's-{turn}', 'c4'), 2000):8.1f} µs")
    print(f"a check in a lesson, kept on disk:    {microseconds(lambda turn: exercise.attempt(f'{turn} g'), 60) / 1e3:8.1f} ms")
    print(f"a check of the same answer again:     {microseconds(lambda turn: exercise.attempt('59 g'), 60) / 1e3:8.1f} ms")
    path = answers.files(answers.who())[0]
    print(f"reading a file of 60 answers:         {microseconds(lambda turn: answers.read(path), 200):8.1f} µs")


if __name__ == "__main__":
    main()
