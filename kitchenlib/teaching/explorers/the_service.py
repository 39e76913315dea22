"""Lesson 51: the order of work as a timeline, a row for each pair of hands, and its last half hour; what breaks when one step takes longer.

A plan is worked out once for covers, hands and burners and kept: about 35 ms, up to half a second for the fullest; a slip then moves at once.
"""
import functools

import numpy as np
from matplotlib.collections import PolyCollection
from matplotlib.patches import Rectangle

from ... import dish, order, service
from ...units import Q_
from ..figures import INK, LIMIT, SORTS, STILL, step_axis
from ..panel import Choice, Explorer, Slider

SHORT = {"hot-smoked trout": "trout", "carrot pearls": "pearls", "oil for the pearls": "oil", "cucumber spheres": "spheres", "calcium bath": "bath",
         "mustard emulsion": "emulsion", "buttermilk ice": "ice", "": "plates"}
BEGUN = ("as late as the plan allows", "as early as the plan allows")
HOURS = tuple(f"{hour}:{minute:02d}" for hour in range(11, 23) for minute in (0, 30))
MOST, ROWS = 6, (4, 8, 12, 20, 48)                              # pairs of hands; rows that the picture shows
PLENTY = 100                                                 # hands and burners where nobody waits for any: order.plan's most
LONGEST = 165                                                # min of the timeline
LAST = 30                                                    # min of the close look
ROOM = (9.0, 3.0)                                            # min a bar is long, in whole and in close look, before a number goes on it


def numbered():
    """'7 blend spheres base': the steps of the plate with the numbers that stand on their bars."""
    return tuple(f"{n} {step.key}" for n, step in enumerate(dish.plate().steps, 1))


@functools.lru_cache(256)
def planned(covers, people, burners):
    """The plan of the plate; kept, for the slip moves on it."""
    return service.plan(dish.plate(), covers, people, burners)


@functools.lru_cache(256)
def slipped(covers, people, burners, key, minutes, early):
    return order.slip(planned(covers, people, burners), key, Q_(minutes, "min"), early)


@functools.cache
def _component(key):
    """(number of the step, its component) of 'lift spheres 1 of 4'."""
    step = service.step_of(dish.plate(), key)
    return dish.plate().steps.index(step) + 1, step.component


def read_timeline(covers, people, burners, service_at, step, slip, begun):
    covers, people, burners, slip = round(covers), round(people), round(burners), round(slip.m_as("min"))
    plan, early = planned(covers, people, burners), begun == BEGUN[1]
    drawn = plan if plan.found else planned(covers, PLENTY, PLENTY)
    name = step.partition(" ")[2]
    key = next(made.key for made in plan.steps if service.step_of(dish.plate(), made.key).key == name)
    starts, lengths = drawn.earliest.m if early and plan.found else drawn.latest.m, np.array([made.time.m_as("min") for made in drawn.steps])
    late, extra, breaks = 0.0, np.zeros(len(lengths)), "Let one step take longer and see what breaks."
    if plan.found and slip:
        moved = slipped(covers, people, burners, key, slip, early)
        starts, late = moved.starts.m, moved.late.m
        breaks = _breaks(moved, key, slip, service_at)
        extra = np.array([slip * (made.key == key) for made in drawn.steps])
    ends = starts + lengths + extra
    hands = plan.who if plan.found and not slip else order.rows(starts, ends, [made.hands * (made.time.m > 0) for made in drawn.steps])
    alone = order.rows(starts, ends, [int(made.hands == 0) for made in drawn.steps])
    fire = order.rows(starts, ends, [made.burners for made in drawn.steps])
    bars = [(start, end, 1 + row, *_component(made.key)) for made, start, end, held in zip(drawn.steps, starts, ends, hands) for row in held]
    bars += [(start, end, below - row, *_component(made.key)) for below, which in ((-1, alone), (-3, fire))
             for made, start, end, held in zip(drawn.steps, starts, ends, which) for row in held]
    where = next(n for n, made in enumerate(drawn.steps) if made.key == key)
    rows = 1 + max((row for held in hands for row in held), default=0)
    reading = {"plan": plan, "bars": bars, "late": Q_(late, "min"), "rows": rows, "people": people, "found": plan.found,
               "extra": (starts[where] + lengths[where], ends[where], hands[where] if hands[where] else alone[where], bool(hands[where])),
               "start": order.clock(starts.min(), service_at), "service": service_at, "lead": Q_(-starts.min(), "min"), "cautions": ()}
    pairs = "1 pair of hands" if people == 1 else f"{people} pairs of hands"
    lead = f"{covers} plates at {service_at} with {pairs} and {'1 burner' if burners == 1 else f'{burners} burners'}: "
    if plan.found:
        still = sum(plan.slack.m < 1e-6)
        reading["sentence"] = (f"{lead}begin {drawn.steps[int(starts.argmin())].key} at {reading['start']}, {order.minutes(reading['lead'])} before. "
                               f"{still} of {len(plan.steps)} pieces of work cannot wait at all. {breaks}")
    else:
        reading["sentence"] = (f"{lead}{plan.words[0].lower()}{plan.words[1:]} "
                               "Drawn is what all of it would want with hands enough, each as late as it may be: rows above the line have nobody.")
    return reading


def _breaks(moved, key, slip, service_at):
    told = [f"the plates leave {order.minutes(moved.late)} late, at {order.clock(moved.late.m, service_at)}" if moved.late.m > 1e-6 else
            "the plates leave in time"]
    told += [f"{first} waits {order.minutes(time)} too long for {then} ({why.rpartition('(')[2].rstrip(')')})" for first, then, time, why in moved.broken[:2]]
    more = len(moved.broken) - 2
    told += [f"{more} more {'window breaks' if more == 1 else 'windows break'}"] if more > 0 else []
    return f"If {key} takes {slip} min longer, {'; '.join(told)}."


def stage_timeline(look):
    figure, axes = look.panels(2, (1.25, 1), (1.15, 1))
    small, narrow = 0.8 * look.style()["font.size"], look.size == "narrow"
    moving = {"axes": axes, "small": small}
    for at, (ax, words, left) in enumerate(zip(axes, ("time to the service (min): all of it", f"the last {LAST} min"), (-LONGEST, -LAST))):
        ax.set(xlim=(left, 35), ylim=(-4.6, ROWS[0] + 0.6), xlabel=words)
        every = 10 if at else 30
        ticks = range(left + left % every, 31, every)
        ax.set_xticks(ticks, [f"+{tick}" if tick > 0 else str(-tick) for tick in ticks])
        _label(ax, ROWS[0], small)
        ax.axvline(0, **STILL)
        ax.axhline(0.4, **STILL)
        moving[f"nobody {at}"] = ax.add_patch(Rectangle((left, 0), 0, 0, facecolor="white", edgecolor=LIMIT, hatch="///", alpha=0.35, linewidth=0))
        moving[f"line {at}"] = ax.plot([], [], color=LIMIT, linewidth=2)[0]
        moving[f"bars {at}"] = [ax.add_collection(PolyCollection([], facecolor=color, edgecolor=INK, hatch=hatch, linewidth=0.7, label=name, zorder=3))
                                for (color, hatch), name in zip(SORTS, SHORT.values())]
        moving[f"extra {at}"] = ax.add_collection(PolyCollection([], facecolor="none", edgecolor=LIMIT, linewidth=2.2, zorder=4))
        moving[f"late {at}"] = ax.plot([], [], color=LIMIT, linestyle="--", zorder=5)[0]
        moving[f"under {at}"] = ax.plot([], [], "s", color="white", markersize=1.15 * small, markeredgewidth=0, zorder=6)[0]
        moving[f"numbers {at}"] = [ax.plot([], [], linestyle="none", marker=f"$\\mathrm{{{n}}}$", color=INK, markeredgewidth=0,
                                           markersize=(0.6, 1.0)[n > 9] * small, zorder=7)[0] for n in range(1, len(dish.plate().steps) + 1)]
    axes[0].legend(handles=[Rectangle((0, 0), 1, 1, facecolor=color, edgecolor=INK, hatch=hatch, label=name) for (color, hatch), name in
                            zip(SORTS, SHORT.values())], loc="lower left", bbox_to_anchor=(-0.02, 1.0), ncols=4, frameon=False, fontsize=small,
                   borderaxespad=0.2, columnspacing=0.5 if narrow else 1.2, handlelength=1.1 if narrow else 1.8, handletextpad=0.4)
    return figure, moving


def _label(ax, rows, size):
    """Names of the rows; of many only some."""
    each = dict(zip(ROWS, (1, 2, 4, 5, 10)))[rows]
    at, below = range(each, rows + 1, each), {-3: "burners", -1: "by itself"} if rows < ROWS[-1] else {-2: "no hands"}
    ax.set_yticks([*below, *at], [*below.values(), *(f"hands {row}" for row in at)], fontsize=size)


def _box(start, end, row):
    return [(start, row - 0.4), (end, row - 0.4), (end, row + 0.4), (start, row + 0.4)]


def place_timeline(moving, reading, look):
    jumped, names, late = False, tuple(SHORT), reading["late"].m
    for at, ax in enumerate(moving["axes"]):
        if step_axis(ax, "y", reading["rows"] + 0.6, tuple(rows + 0.6 for rows in ROWS), 1):
            jumped = True
            _label(ax, round(ax.get_ylim()[1] - 0.6), moving["small"])
        left, top = ax.get_xlim()[0], ax.get_ylim()[1]
        inside = [bar for bar in reading["bars"] if bar[1] > left and bar[2] < top]
        for name, made in zip(names, moving[f"bars {at}"]):
            made.set_verts([_box(*bar[:3]) for bar in inside if bar[4] == name])
        start, end, rows, hands = reading["extra"]
        made = [_box(start, end, 1 + row if hands else -1 - row) for row in rows] if end > start else []
        moving[f"extra {at}"].set_verts(made)
        people = reading["people"] + 0.5
        moving[f"nobody {at}"].set(xy=(left, people), width=0 if reading["found"] else 35 - left, height=max(top - people, 0))
        moving[f"line {at}"].set_data([left, 35], [people, people])
        moving[f"late {at}"].set_data([late, late] if late > 1e-6 else [], [-4.6, top] if late > 1e-6 else [])
        on = [((max(bar[0], left) + min(bar[1], 35)) / 2, bar[2], bar[3]) for bar in inside
              if top < ROWS[1] + 1 and min(bar[1], 35) - max(bar[0], left) >= ROOM[at]]        # lower rows have no height for a number
        moving[f"under {at}"].set_data([x for x, _, _ in on], [y for _, y, _ in on])
        for n, made in enumerate(moving[f"numbers {at}"], 1):
            made.set_data([x for x, _, number in on if number == n], [y for _, y, number in on if number == n])
    return jumped


timeline = Explorer(
    (Slider("covers", "covers", "", 4, 120, 12, 2),
     Slider("people", "pairs of hands", "", 1, MOST, 2, 1),
     Slider("burners", "burners", "", 1, 4, 2, 1),
     Choice("service_at", "plates leave at", HOURS, "19:30"),
     Choice("step", "the step that slips", numbered(), "14 lift spheres"),
     Slider("slip", "it takes longer by", "min", 0, 30, 0, 1),
     Choice("begun", "work is begun", BEGUN, BEGUN[0])),
    read_timeline, stage_timeline, place_timeline, title="Order of work",
    alt="Two timelines with a row for each pair of hands, and rows for what goes by itself and for burners; bars hatched by component, with the "
        "number of the step. Left all of the work, right the last half hour. A line marks how many pairs of hands there are; above it nobody works.")
