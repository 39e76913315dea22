"""What a call through the door costs beside the bare core, and what `import kitchenlib.gels` costs. python tests/speed/door_speed.py"""
import subprocess
import sys
import timeit

from kitchenlib import gels
from kitchenlib.units import Q_


def main():
    dose, bloom, other, n = Q_(3, "percent"), Q_(160, "Bloom"), Q_(250, "Bloom"), 2
    door = min(timeit.repeat(lambda: gels.swap_grade(dose, bloom, other, n), number=2000, repeat=5)) / 2000
    core = min(timeit.repeat(lambda: gels.swap_grade.si(0.03, 160.0, 250.0, 2.0), number=20000, repeat=5)) / 20000
    print(f"four arguments through the door: {1e6 * door:.0f} µs, core {1e6 * core:.2f} µs, {door / core:.0f} times")
    code = "import time; t = time.perf_counter(); import {0}; print(time.perf_counter() - t)"
    for name in ("pint", "kitchenlib.gels"):
        took = min(float(subprocess.run([sys.executable, "-c", code.format(name)], capture_output=True, text=True, check=True).stdout) for _ in range(3))
        print(f"import {name}: {1e3 * took:.0f} ms")


if __name__ == "__main__":
    main()
