"""Slider moves of every explorer, server side, beside a plain replot of the same figure as an `interact` would do it; memory over 1,000 moves.

Run by hand: python tests/speed/panel_speed.py [WORD]. Ratios in one run, interleaved; nothing passes or fails by time.
"""
import importlib
import io
import os
import pkgutil
import random
import statistics
import sys
import time
from pathlib import Path

from matplotlib import rc_context
from matplotlib.backends.backend_agg import FigureCanvasAgg

from kitchenlib.teaching import explorers
from kitchenlib.teaching.figures import Look
from kitchenlib.teaching.panel import Explorer, Slider


def found(word=""):
    for module in pkgutil.iter_modules(explorers.__path__):
        for name, thing in vars(importlib.import_module(f"{explorers.__name__}.{module.name}")).items():
            if isinstance(thing, Explorer) and word in f"{module.name}.{name}":
                yield f"{module.name}.{name}", thing


def walk(explorer, moves, seed=1):
    """Settings as a hand makes them: one slider a time, a small step each."""
    dice, sliders = random.Random(seed), [c for c in explorer.controls.values() if isinstance(c, Slider)]
    values = {c.name: c.start for c in explorer.controls.values()}
    for n in range(moves):
        slider = sliders[(n // 10) % len(sliders)]
        step = (slider.high - slider.low) / 40 * dice.choice((-1, 1, 1))
        values[slider.name] = min(max(values[slider.name] + step, slider.low), slider.high)
        yield dict(values)


def replot(explorer, settings, look=Look()):
    """A new figure each time, drawn whole and packed as PNG: what a plain function under `interact` does."""
    reading = explorer.read(**explorer.settings(look, **settings))
    with rc_context(look.style()):
        figure, moving = explorer.stage(look)
        explorer.place(moving, reading, look)
        FigureCanvasAgg(figure).print_png(io.BytesIO())


def seconds(action):
    begin = time.perf_counter()
    action()
    return time.perf_counter() - begin


def resident():
    """Resident memory in bytes, or None where the system does not tell this way."""
    path = Path("/proc/self/statm")
    return int(path.read_text(encoding="ascii").split()[1]) * os.sysconf("SC_PAGE_SIZE") if path.exists() else None


def main(word=""):
    print(f"{'explorer':42} {'move ms':>8} {'90 %':>6} {'replot ms':>10} {'times':>6} {'MB over 1,000 moves':>20}")
    for name, explorer in found(word):
        explorer.draw()
        moves, plain = [], []
        for settings in walk(explorer, 50):
            moves.append(seconds(lambda: explorer.draw(**settings)))
            if len(plain) < 12:
                plain.append(seconds(lambda: replot(explorer, settings)))
        for settings in walk(explorer, 200, seed=2):
            explorer.draw(**settings)
        before = resident()
        for settings in walk(explorer, 1000, seed=3):
            explorer.draw(**settings)
        grown = f"{(resident() - before) / 1e6:.1f}" if before else "?"
        middle, slow = statistics.median(moves), statistics.median(plain)
        print(f"{name:42} {1e3 * middle:8.1f} {1e3 * sorted(moves)[44]:6.1f} {1e3 * slow:10.1f} {slow / middle:6.1f} {grown:>20}")


if __name__ == "__main__":
    main(*sys.argv[1:2])
