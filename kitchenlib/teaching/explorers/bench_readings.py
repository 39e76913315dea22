"""Lesson 50: readings, the law of their lesson fitted to them, what is left over, and the thing on the bench to scale."""
import functools

import numpy as np
from matplotlib.patches import Circle, Rectangle
from matplotlib.ticker import LogLocator, NullLocator

from ... import bench, fits
from ...files import home
from ...units import Q_, plain, show
from ..figures import INK, KINDS, STATES, STILL, THINGS, above
from ..own_readings import HOLD, LAWS as MEASURED, held, own, path_of, told
from ..panel import Choice, Explorer, Slider

LAWS = tuple(key for key in MEASURED if key != "pot")                     # a pot takes half a second to fit: the table says what it gives
WIDE = 120                                                                # mm across the picture of the bench


def _stamp(law):
    path = path_of(law)
    return (home(), path.stat().st_mtime_ns, path.stat().st_size) if path.exists() else None


@functools.lru_cache(64)
def _readings(law, source, stamp):
    """(readings, words about them): the user's own where there are some and they can be read, else the practice ones."""
    if source == "yours" and stamp is None:
        return bench.practice(law), f"There are no readings of yours for {law} yet: type them into the table of this lesson. These are practice ones"
    if source == "yours":
        try:
            return own(law), "Your readings"
        except (ValueError, LookupError, OSError) as error:
            return bench.practice(law), f"Yours could not be read ({str(error).rstrip('.')}). These are practice ones"
    return bench.practice(law), "Practice readings, made up"


@functools.lru_cache(128)
def _fitted(law, source, used, hold, stamp):
    """All numbers of one setting; kept, because a hand comes back."""
    every, words = _readings(law, source, stamp)
    count = min(used, len(every.x))
    some = every._replace(x=every.x[:count], y=every.y[:count], where=every.where[:count],
                          uncertainty=None if every.uncertainty is None else every.uncertainty[:count],
                          given={n: v[:count] if np.ndim(v) and not isinstance(v, str) else v for n, v in every.given.items()})
    known = held(every.law) if hold != HOLD[0] else {}
    made = {"law": law, "every": every, "count": count, "words": words, "key": (law, source, stamp)}
    try:
        fit = fits.fit(some, known)
        said = told(fit)
    except bench.BadReadings as error:
        return {**made, "fit": None, "sentence": f"{words}, {count} of {len(every.x)}: {error}"}
    beside = {n: v if not np.ndim(v) else Q_(float(v[0]), next(c.unit for c in every.law.given if c.name == n)) for n, v in every.given.items() if np.ndim(v)}
    x = np.linspace(*_reach(every), 61)
    low, high = (fits.band(fit, Q_(x, every.law.x.unit), **beside) if all(e is not None for e in fit.errors.values()) else (None, None))
    off = fits.residuals(fit).m
    share = every.law.relative
    here = fits.at(fit, Q_(float(some.x[-1]), every.law.x.unit), **beside).m
    held_words = f" The {', '.join(known)} is held at {', '.join(plain(v, 2) for v in known.values())}." if known else ""
    varied = f" The curve is drawn for {', '.join(n.replace('_', ' ') for n in beside)} of the first row." if beside else ""
    return {**made, "fit": fit, "x": x, "curve": fits.at(fit, Q_(x, every.law.x.unit), **beside).m, "low": None if low is None else low.m,
            "high": None if high is None else high.m, "off": 100 * off / np.maximum(np.abs(some.y), 1e-9) if share else off, "here": here,
            "sentence": f"{words}, {count} of {len(every.x)}.{held_words} {said}{varied}"}


def _reach(every):
    """Where the curve is drawn: from near nothing to a quarter beyond the readings."""
    high = float(every.x.max())
    return max(every.law.x.low, 0.3 * float(every.x.min()), 1e-3 * high), min(1.25 * high, every.law.x.high)


def read_fit(law, source, hold, used, axes):
    made = _fitted(law, source, int(used), hold, _stamp(law) if source == "yours" else None)
    return {**made, "axes": axes if every_positive(made["every"]) else "linear", "cautions": ()}


def every_positive(readings):
    """Whether a log-log picture has a place for them; temperatures have none."""
    return bool((readings.x > 0).all() and (readings.y > 0).all() and readings.law.y.unit != "degC")


def _unit(unit):
    return show(Q_(1, unit)).partition(" ")[2] if unit else ""


def stage_fit(look):
    figure, (curves, left, thing) = look.panels(3, (5, 4, 3), (5, 3, 4))
    color = KINDS["strength"]["color"]
    moving = {"curves": curves, "left": left, "thing": thing,
              "band": curves.fill_between([], [], [], facecolor=color, alpha=0.18, linewidth=0.8, label="the law, 95 %"),
              "curve": curves.plot([], [], "-", color=color, label="the law, fitted")[0],
              "all": curves.plot([], [], "o", markerfacecolor="none", color=STILL["color"], label="left out")[0],
              "some": curves.plot([], [], "o", color=INK, zorder=5, label="readings")[0],
              "stems": left.vlines([], [], [], color=INK),
              "off": left.plot([], [], "o", color=INK, zorder=5)[0]}
    moving["band"].set_zorder(1)
    above(curves, look)
    left.axhline(0, **STILL)
    thing.set(xlim=(0, WIDE), ylim=(-30, 104), aspect="equal", xticks=[], yticks=[])
    thing.grid(False)
    for spine in thing.spines.values():
        spine.set_visible(False)
    for name, face, hatch in (("outer", "white", ""), ("lower", THINGS["water"], ""), ("upper", THINGS["cream"], STATES["flattened"]),
                              ("tool", THINGS["metal"], "")):
        moving[name] = thing.add_patch(Rectangle((0, 0), 0, 0, facecolor=face, edgecolor=INK, linewidth=1.2, hatch=hatch))
    moving["ball"] = thing.add_patch(Circle((60, 50), 0, facecolor=THINGS["set"], edgecolor=INK, linewidth=1.2, hatch=STATES["set"]))
    moving["core"] = thing.add_patch(Circle((60, 50), 0, facecolor=THINGS["liquid"], edgecolor=INK, linewidth=1.2))
    moving["bar"], = thing.plot([], [], "_-", color=INK, markersize=7, linewidth=1.2, clip_on=False)
    moving["says"] = thing.text(60, -3, "", ha="center", va="top")
    return figure, moving


def place_fit(moving, reading, look):
    every, count, fit = reading["every"], reading["count"], reading["fit"]
    law = every.law
    jumped = _axes(moving, reading)
    moving["some"].set_data(every.x[:count], every.y[:count])
    moving["all"].set_data(every.x[count:], every.y[count:])
    x, curve = (reading["x"], reading["curve"]) if fit else ([], [])
    moving["curve"].set_data(x, curve)
    banded = fit and reading["low"] is not None
    floor = max(moving["curves"].get_ylim()[0] * 0.5, 1e-6) if reading["axes"] == "log-log" else -np.inf
    moving["band"].set_data(*((x, np.maximum(reading["low"], floor), reading["high"]) if banded else ([], [], [])))
    off = reading["off"] if fit else np.array([])
    top = moving["left"].get_ylim()[1]
    off = np.clip(off, -top, top)
    at = every.x[:len(off)]
    moving["off"].set_data(at, off)
    moving["stems"].set_segments([[(a, 0), (a, o)] for a, o in zip(at, off)])
    _thing(moving, law.key, every, count, reading["here"] if fit else every.y[count - 1])
    return jumped


def _axes(moving, reading):
    """Axes belong to the readings, not to how many are used: they stand still while that slider moves."""
    every, law, key = reading["every"], reading["every"].law, (reading["key"], reading["axes"])
    if getattr(moving["curves"], "shows", None) == key:
        return False
    curves, left = moving["curves"], moving["left"]
    curves.shows = key
    log = reading["axes"] == "log-log"
    curves.set(xscale="log" if log else "linear", yscale="log" if log else "linear")
    for axis in (curves.xaxis, curves.yaxis) if log else ():
        axis.set_major_locator(LogLocator(subs=(1, 2, 5)))
        axis.set_minor_locator(NullLocator())
        axis.set_major_formatter("{x:g}")
    words = (f"{c.name.replace('_', ' ')} ({_unit(c.unit)})" for c in (law.x, law.y))
    curves.set(**dict(zip(("xlabel", "ylabel"), words)))
    low, high = _reach(every)
    y_low, y_high = float(every.y.min()), float(every.y.max())
    if law.y.unit == "degC":
        y_low, y_high = (y - s * 0.15 * (y_high - y_low) for y, s in ((y_low, 1), (y_high, -1)))
    elif law.key == "boil-off":
        y_low, y_high = y_low - 0.4 * (y_high - y_low), y_high + 0.2 * (y_high - y_low)
    else:
        y_low, y_high = (0.4 * y_low if log else 0), 1.6 * y_high
    curves.set(xlim=(low, high) if log else (0, high), ylim=(y_low, y_high))
    full = _fitted(law.key, reading["key"][1], len(every.x), HOLD[0], reading["key"][2])
    most = 2.5 * float(np.abs(full["off"]).max()) if full["fit"] else 1.0
    left.set(xlabel=curves.get_xlabel(), ylabel=f"off the law ({'%' if law.relative else _unit(law.y.unit)})", xlim=(0, high),
             ylim=(-(most or 1.0), most or 1.0))
    return True


def _thing(moving, law, every, count, here):
    """The thing on the bench at the last reading used, by the fitted law; in mm where it has a size, else in proportion."""
    parts = {name: (0, 0, 0, 0) for name in ("outer", "lower", "upper", "tool")}
    ball = core = 0.0
    gel = law in ("gel strength", "plunger")
    moving["lower"].set(facecolor=THINGS["set" if gel else "water"], hatch=STATES["set" if gel else "whole"])
    bar, words, at, first = None, "", float(every.x[count - 1]), float(every.y[0])
    if gel:
        plunger = float(np.ravel(every.given["plunger"])[0])
        scale = min(1.0, 40 / plunger)                       # mm drawn for a mm
        depth = min(float(here), 20) * scale if law == "plunger" else 12 * scale
        parts["lower"] = (15, 0, 90, 55)
        parts["tool"] = (60 - plunger * scale / 2, 55 - depth, plunger * scale, 45 + depth * 0.3)
        bar = 20 * scale
        words = f"{plain(here if law == 'gel strength' else at, 3)} g on {plain(plunger, 2)} mm"
    elif law == "shell":
        ball, core = 45, 45 * max(1 - float(here) / 8, 0)    # a sphere of 16 mm
        bar = 45 / 8 * 2
        words = f"rim {plain(here, 2)} mm on 16 mm"
    elif law == "cream line":
        height = float(np.ravel(every.given["height"])[0])
        clear = 95 * min(max(float(here) / height, 0), 1)
        parts["lower"], parts["upper"] = (40, 0, 40, clear), (40, clear, 40, 95 - clear)
        bar = 95 * 20 / height if height > 25 else 95 * 5 / height
        words = f"clear: {plain(here, 2)} of {plain(height, 3)} mm"
    elif law in ("boil-off", "cooling"):
        parts["outer"] = (20, 0, 80, 90)
        share = float(here) / first if law == "boil-off" else 1
        parts["lower"] = (20, 0, 80, 80 * min(max(share, 0), 1.1))
        if law == "cooling":
            parts["tool"] = (57, 10, 6, 65 * min(max(float(here), 0) / 100, 1))
        words = f"{plain(here, 3)} {_unit(every.law.y.unit)} after {plain(at, 2)} min"
    else:
        parts["upper"], parts["lower"] = (10, 0, 40, 90), (70, 0, 40, 90 * min(float(here) / at, 1.1))
        words = f"{plain(at, 3)} g in, {plain(here, 3)} g out"
    for name, (left, low, wide, high) in parts.items():
        moving[name].set(x=left, y=low, width=wide, height=high)
    moving["ball"].set_radius(ball)
    moving["core"].set_radius(core)
    moving["bar"].set_data(*(([4, 4], [0, bar]) if bar else ([], [])))
    moving["says"].set_text(words + ("" if not bar else f"\nbar: {'2' if law == 'shell' else '20' if law != 'cream line' or height > 25 else '5'} mm"))


fit = Explorer(
    (Choice("law", "what was measured", LAWS, "gel strength"),
     Choice("source", "readings", ("practice", "yours"), "practice"),
     Choice("hold", "kept fixed", HOLD, HOLD[0]),
     Slider("used", "readings used, from the first", "", 1, 20, 20, 1),
     Choice("axes", "axes", ("linear", "log-log"), "linear")),
    read_fit, stage_fit, place_fit, title="Your readings on the law",
    alt="Left: readings as dots on the fitted law with its 95 per cent band. Middle: how far each reading lies off the law. "
        "Right: what stood on the bench at the last reading used, drawn to scale.")
