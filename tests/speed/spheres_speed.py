"""What one sphere from drop-in to service costs, and what a slider's move: python tests/speed/spheres_speed.py

100 graded cells beside scipy's LSODA and BDF on the same cells (`fronts_speed`), and its error against 800 cells; then the median of
`spheres.history` and `spheres.reading` while one slider moves. Judge ratios, not milliseconds. Aim: shell within 0.5 %; 25 ms a move.
"""
import statistics
import sys
import time
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))
import fronts_speed                                                                         # noqa: E402
from kitchenlib import fronts, spheres, tables                                             # noqa: E402
from kitchenlib.units import Q_                                                             # noqa: E402

ROW = tables.row("sodium alginate", own=False)
SERVED = {"diameter": Q_(4, "mm"), "calcium": Q_(34.01, "mmol/L"), "dose": Q_(0.5, "percent"), "alginate": ROW, "bath_time": Q_(60, "s"),
          "lift": Q_(5, "s"), "rinse": Q_(30, "s"), "hold": Q_(20, "min")}
MOVES = {"calcium": (30, 70, "mmol/L"), "dose": (0.4, 1, "percent"), "diameter": (2, 30, "mm"), "bath_time": (5, 300, "s"),
         "rinse": (0, 60, "s"), "hold": (0, 60, "min")}


def same_cells():
    k, scale = 34.01 / 11.358, 2e-3 ** 2 / 0.70e-9
    ball = spheres._ball(100, 2 * spheres.front_constant.si(k) * (60 / scale) ** 0.5)
    stages = [(60 / scale, k, np.inf), (5 / scale, 0.0, 0), (30 / scale, 0.0, np.inf), (1200 / scale, 0.0, 0)]
    fronts_speed.compare("4 mm pearl, drop-in to service", ball, fronts.binding(1.0, 1.0, 2 * k), 0.0, stages, k, 5e-3)
    fine, got = spheres.history(**SERVED, cells=800), spheres.history(**SERVED, cells=100)
    print("against 800 cells:", ", ".join(f"{name} {100 * (getattr(got, name) / getattr(fine, name)).m - 100:+.2f} %"
                                          for name in ("at_lift", "after_rinse", "shell", "uptake")))


def moves(count=25):
    for name, (low, high, unit) in MOVES.items():
        found = {}
        for model in (spheres.history, spheres.reading):
            times = []
            for number in np.random.default_rng(len(name)).uniform(low, high, count):
                changed = {**SERVED, name: Q_(float(number) + (0.01 if model is spheres.reading else 0.0), unit)}
                clock = time.perf_counter()
                model(**changed)
                times.append(1e3 * (time.perf_counter() - clock))
            found[model.__name__] = statistics.median(times)
        print(f"{name} moves: " + ", ".join(f"{model} {median:.1f} ms" for model, median in found.items()), flush=True)


if __name__ == "__main__":
    same_cells()
    moves()
