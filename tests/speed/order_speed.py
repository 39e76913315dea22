"""What an order of work costs as it grows: python tests/speed/order_speed.py

Aim: 40 steps planned in under 0.2 s. Steps drawn with hands, burners and windows that can be kept; times of one run, no pass or fail.
"""
import statistics
import sys
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parent.parent))
from test_order import planted                               # noqa: E402
from kitchenlib.order import plan                            # noqa: E402


def main():
    before = None
    for n in (8, 10, 20, 40, 80):
        took, found = [], 0
        for seed in range(6):
            steps, links, _ = planted(seed, n)
            start = time.process_time()
            found += plan(steps, links, 2, 1).found
            took.append(time.process_time() - start)
        middle = statistics.median(took)
        print(f"{n:3} steps: {1e3 * middle:7.1f} ms in the middle, {1e3 * max(took):7.1f} ms at worst, {found} of {len(took)} found"
              + (f", {middle / before:.1f} times the one above" if before else ""))
        before = middle


if __name__ == "__main__":
    main()
