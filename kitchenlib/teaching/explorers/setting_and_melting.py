"""Lesson 11: the day of a gel and the minutes left to work it; cooling beside the rule of a place; cold purée into a hot base."""
import functools
import math

import numpy as np
from matplotlib.collections import LineCollection
from matplotlib.patches import Rectangle

from ... import cautions, heat, rules, setting
from ...mixes import Mix
from ...spread import Spread, of
from ...tables import kinds, row
from ...units import OutOfRange, Q_, plain, si_number
from ..figures import INK, KINDS, SAMPLES, STATES, STILL, THINGS, WALL, above, band, set_band, step_axis
from ..panel import Choice, Explorer, Slider
from . import PLACE, place_of

TIMES = np.append(0.0, np.geomspace(5, 4e5, 110))      # s, to four and a half days
POTS = ("steel pot", "steel bowl", "plastic tub", "plastic bowl", "piping bag")
TRAYS = ("steel tray", "plastic tray", "glass dish")
AROUND = ("still fridge", "fan fridge", "counter", "ice bath", "stirred ice bath")
MARGIN = Q_(5, "delta_degC")                             # kept above the setting range while two parts meet
WIDTHS = (160, 320, 640, 1280)                           # mm across, between which a picture to scale jumps
TALL = 0.72                                              # of its width
SET, LIQUID = THINGS["set"], THINGS["liquid"]


def agents(side=("cooling", "heating")):
    """Every agent, grade and product that has a setting temperature: agar and gelatin first."""
    names = [name for name in kinds() if "setting_temperature" in row(name) and setting.gels_on(row(name)) in side]
    return tuple(sorted(names, key=lambda name: ("agar", "gelatin").index(name) if name in ("agar", "gelatin") else 9))


@functools.lru_cache(64)
def window(agent):
    """The window of a row, kept: it does not move with the sliders."""
    return setting.window(agent)


def what_to_heed(agent):
    """Cooling, and for gelatin whom it is for; the burns of the boil stand in the lesson's first box."""
    return cautions.for_("gelatin" if agent.startswith("gelatin") else "cooling")


def falls_to(path, level):
    """Seconds until a falling path [K] over TIMES is down to a level; infinite where it never is."""
    level = si_number(level)
    return math.inf if path[-1] > level else float(np.interp(-level, -path, TIMES))


def lasting(seconds):
    """Seconds as minutes, past three hours as hours."""
    return Q_(seconds / 60, "min") if seconds <= 10800 else Q_(seconds / 3600, "hour")


def scaled(axes):
    """A picture to scale that may jump between scales, with a scale bar that goes along."""
    axes.set(xticks=[], yticks=[], xlim=(0, WIDTHS[0]), aspect="equal")
    axes.grid(False)
    axes.spines[:].set_visible(False)
    made = {"picture": axes, "bar": axes.plot([], [], color=INK, linewidth=3, solid_capstyle="butt")[0],
            "bar length": axes.text(0, 0, "", va="top")}
    _lay_out(made)
    return made


def jump_to(moving, wide):
    """Let the picture jump so that `wide` mm fit; True where it did."""
    jumped = step_axis(moving["picture"], "x", wide, WIDTHS)
    if jumped:
        _lay_out(moving)
    return jumped


def _lay_out(moving):
    whole = moving["picture"].get_xlim()[1]
    moving["picture"].set_ylim(-0.2 * whole, TALL * whole)
    length = next(n for n in (20, 50, 100, 200) if n >= 0.15 * whole)
    moving["bar"].set_data([0.02 * whole, 0.02 * whole + length], [-0.08 * whole] * 2)
    moving["bar length"].set(x=0.05 * whole + length, y=-0.05 * whole, text=f"{length} mm")


def filled(axes):
    """A vessel to scale: its outline, what is in it, the part of it that is in the other state, and words."""
    axes.set_title(" \n ")                                    # room for the words
    return scaled(axes) | {"wall": axes.plot([], [], color=WALL, linewidth=2.5)[0],
                           "filling": axes.add_patch(Rectangle((0, 0), 0, 0, facecolor="none", edgecolor=INK, linewidth=1)),
                           "core": axes.add_patch(Rectangle((0, 0), 0, 0, facecolor="none", edgecolor=INK, linewidth=0.8, linestyle=":")),
                           "words": axes.text(0.5, 1.0, "", transform=axes.transAxes, ha="center", va="bottom")}


def fill(moving, size):
    """Put a vessel of this size [m] in; returns (left, width, height) in mm and whether the scale jumped."""
    across, tall = 1000 * size.diameter, 1000 * size.height
    jumped = jump_to(moving, max(1.1 * across, 2.6 * tall))
    left, rim = (moving["picture"].get_xlim()[1] - across) / 2, 1.25 * tall
    moving["wall"].set_data([left, left, left + across, left + across], [rim, 0, 0, rim])
    moving["filling"].set(x=left, y=0, width=across, height=tall)
    return (left, across, tall), jumped


# --- 1. the day of a gel -----------------------------------------------------------------------------------------------------------
def read_day(agent, batch, vessel, start, surroundings, stirred, now):
    gel, pot, place, w = row("watery gel"), row(vessel), row(surroundings), window(row(agent))
    t0, mass = si_number(start), si_number(batch)
    path = heat.cooled.si(TIMES, t0, mass, gel, pot, place)
    first, last = (path.stirred, path.stirred) if stirred == "stirred" else (path.coldest, path.warmest)
    other_way = w.gels_on == "heating"
    turns = w.melts if other_way else w.sets                     # what is crossed on the way down
    till, done = falls_to(first, turns.high), falls_to(last, turns.low)
    moment = si_number(now)
    here = {"first": float(np.interp(moment, TIMES, first)), "last": float(np.interp(moment, TIMES, last))}
    reading = {"window": w, "start": start, "now": now, "batch": batch, "size": heat.vessel_size.si(mass, gel, pot), "place": place,
               "first": first, "last": last, "till": lasting(till), "done": lasting(done), "left": lasting(max(till - moment, 0)),
               "till_s": till, "done_s": done, "alone": stirred != "stirred", "other_way": other_way, "turns": turns,
               "at": Q_(here["first"] - 273.15, "degC"), "warm": Q_(here["last"] - 273.15, "degC"), "sets": w.sets,
               "core": None, "cautions": what_to_heed(agent)}
    if w.melts is not None:
        reading["melts"] = w.melts
    if w.hydrate is not None:
        reading["hydrate"] = w.hydrate
    if reading["alone"] and moment > 0:
        places = np.linspace(0, 1, 15)
        lines = heat.profile.si(moment, t0, mass, gel, pot, place, places)
        turn = si_number(turns.mid)
        reading["core"] = tuple(0.0 if line[0] <= turn else float(np.interp(-turn, -line, places)) for line in lines)
    reading["sentence"] = _says_window(agent, w) + (_says_hot_gel(reading) if other_way else _says_work(reading))
    return reading


def _says_window(agent, w):
    name = agent[0].upper() + agent[1:]
    if w.gels_on == "heating":
        return (f"{name} goes the other way round: it dissolves only colder than {{hydrate:2}}, sets on heating at {{sets:2}} and melts "
                "again on cooling at {melts:2}. ")
    dissolves = "dissolves at {hydrate:2}, " if w.hydrate is not None else ""
    return f"{name} {dissolves}sets at {{sets:2}} and " + ("never melts again. " if w.melts is None else "melts again only at {melts:2}. ")


def _says_work(r):
    if r["start"] <= r["sets"].high:
        return "At {start:2} it is already in its setting range: work it hotter. " + _says_done(r)
    if not math.isfinite(r["till_s"]):
        return "Here it never gets down to where it sets: it stays liquid. "
    if r["alone"]:
        left = "{left:2} are left" if r["left"].m > 0 else "none are left"
        return ("Left alone, a skin can form at the wall {till:2} after it leaves the stove at {start:2}, as if nothing flowed inside: "
                f"the cautious end; {left}. " + _says_done(r))
    left = "{left:2} are left" if r["left"].m > 0 else "they are over"
    return f"Stirred, from {{start:2}} you have {{till:2}} to work; {left}. " + _says_done(r)


def _says_done(r):
    if math.isfinite(r["done_s"]):
        return "All of it is cold enough to set after {done:2}."
    return "Here it does not get cold enough to set all through."


def _says_hot_gel(r):
    if r["start"] <= r["sets"].low:
        return "At {start:2} it has not set yet: heat it more."
    if not math.isfinite(r["till_s"]):
        return "Here it never gets cold enough to melt."
    left = "{left:2} are left" if r["left"].m > 0 else "they are over"
    done = " All of it is liquid after {done:2}." if math.isfinite(r["done_s"]) else ""
    return f"Hot at {{start:2}} it is a gel; it begins to melt {{till:2}} after it leaves the heat: serve within them; {left}.{done}"


BANDS = (("hydrate", "dissolves", STILL["color"], ".."), ("melts", "melts", KINDS["strength"]["color"], "xx"),
         ("sets", "sets", KINDS["strength"]["color"], "//"))


def stage_day(look):
    figure, (path, picture) = look.panels(2, (3, 2), (3, 2))
    path.set(xlabel="time since the stove (min)", ylabel=look.label("temperature", "degC"), xlim=(0, 60),
             ylim=tuple(look.number(Q_(t, "degC")) for t in (0, 106)))
    moving = {"path": path}
    for name, words, color, hatch in BANDS:
        moving[name] = path.add_patch(Rectangle((0, 0), 1, 0, transform=path.get_yaxis_transform(), facecolor=color,
                                                edgecolor=color, alpha=0.22, hatch=hatch, label=words))
    style = KINDS["temperature"]
    moving["inside"] = band(path, style["color"], label="left alone: rim to middle")
    moving["first"] = path.plot([], [], style["linestyle"], color=style["color"], label="stirred, or rim")[0]
    moving["last"] = path.plot([], [], "-", color=style["color"], linewidth=0.8)[0]
    moving["stop"] = path.plot([], [], "o", color=INK, markersize=9, markerfacecolor="white", zorder=6, label="stop working here")[0]
    moving["now"] = path.plot([], [], "v", color=INK, zorder=6, label="now")[0]
    above(path, look, 3)
    return figure, moving | filled(picture)


def place_day(moving, reading, look):
    w = reading["window"]
    for name, *_ in BANDS:
        ends = getattr(w, name)
        low, high = (0, 0) if ends is None else (look.number(ends.low), look.number(ends.high))
        moving[name].set(y=low, height=high - low)
    minutes = TIMES / 60
    shown = {name: look.number(Q_(reading[name] - 273.15, "degC")) for name in ("first", "last")}
    for name, line in shown.items():
        moving[name].set_data(minutes, line)
    set_band(moving["inside"], minutes, Spread(shown["first"], None, shown["last"] if reading["alone"] else shown["first"]))
    stops = math.isfinite(reading["till_s"]) and reading["till_s"] > 0
    moving["stop"].set_data([reading["till_s"] / 60] if stops else [], [look.number(reading["turns"].high)] if stops else [])
    moving["now"].set_data([reading["now"].m], [look.number(reading["at"])])
    ends = [s for s in (reading["done_s"], reading["till_s"]) if math.isfinite(s)]
    jumped = step_axis(moving["path"], "x", max([s / 60 for s in ends] + [reading["now"].m, 8]) * 1.15, (15, 60, 360, 1440, 4000))
    (left, across, tall), resized = fill(moving, reading["size"])
    _show_state(moving, reading, left, across, tall, look)
    return resized or jumped


def _show_state(moving, reading, left, across, tall, look):
    """Hatch and words of the filling now: liquid, setting or set; left alone, the core drawn apart from the rim."""
    cold, warm, turns = reading["at"], reading["warm"], reading["turns"]
    cold_state, hot_state = ("liquid", "set") if reading["other_way"] else ("set", "liquid")
    if cold > turns.high:
        rim = core = hot_state
    elif warm < turns.low:
        rim = core = cold_state
    else:
        rim, core = (cold_state, hot_state) if reading["core"] else ("turning", "turning")
    looks = {"liquid": (LIQUID, ""), "set": (SET, STATES["set"]), "turning": (SET, STATES["turning"])}
    moving["filling"].set(facecolor=looks[rim][0], hatch=looks[rim][1])
    wide, high = reading["core"] if reading["core"] and rim != core else (0.0, 0.0)
    from_top = reading["place"].medium == "water"                # in a bath the top stays warmest
    height = tall * high
    moving["core"].set(x=left + across / 2 * (1 - wide), width=across * wide, height=height,
                       y=tall - height if from_top else (tall - height) / 2, facecolor=looks[core][0], hatch=looks[core][1])
    told = {"liquid": "liquid", "set": "set", "turning": "between liquid and set"}
    state = told[rim] if rim == core else f"rim {told[rim]}, inside {told[core]}"
    moving["words"].set_text(f"{reading['now'].m:.0f} min: {state}\nfilled {plain(tall, 2)} mm high")


day = Explorer(
    (Choice("agent", "gelling agent", agents, "agar"),
     Slider("batch", "batch", "g", 100, 5000, 1000, 10, log=True),
     Choice("vessel", "vessel", POTS, "steel pot"),
     Choice("surroundings", "stands in", AROUND, "counter"),
     Slider("start", "leaves the stove at", "degC", 60, 98, 90, 1),
     Choice("stirred", "meanwhile", ("stirred", "left alone"), "stirred"),
     Slider("now", "minutes since then", "min", 0, 240, 0, 1)),
    read_day, stage_day, place_day, title="The day of a gel",
    alt="Left: temperature of the batch against time, across the bands in which the agent dissolves, melts and sets, with the moment to "
        "stop working. Right: the vessel with its filling to scale, dotted where it has set.")


# --- 2. cooling and the rule ---------------------------------------------------------------------------------------------------------
def read_cooling(vessel, batch, depth, start, surroundings, place):
    gel, around = row("watery gel"), row(surroundings)
    pot = row(vessel).but(depth=depth) if vessel in TRAYS else row(vessel)
    t0, mass = si_number(start), si_number(batch)
    path = heat.cooled.si(TIMES, t0, mass, gel, pot, around)
    clock = Q_(TIMES / 60, "min")
    judged = {name: rules.judge(clock, Q_(getattr(path, field) - 273.15, "degC"), place_of(place))
              for name, field in (("stirred", "stirred"), ("set", "warmest"))}
    rule = judged["set"].standing
    sums = heat.cooling(start, Q_(40, "degC"), batch, gel, pot, around)
    told = {name: " ".join(step.words for step in one.steps) for name, one in judged.items()}
    short = {name: ", then ".join(step.words.partition(":")[0].lower() for step in one.steps) for name, one in judged.items()}
    sentence = (f"To 40 °C. {heat.verdict(sums)} The rule{'' if not rule.borrowed else ' (another place, see below)'}, stirred: "
                f"{short['stirred']}; set, in the warmest place: {short['set']}.")
    return {"path": path, "judged": judged, "start": start, "size": heat.vessel_size.si(mass, gel, pot), "biot": sums.biot,
            "time_stirred": sums.stirred, "time_set": sums.unstirred, "too_short": sums.too_short, "batch": batch,
            "sentence": sentence, "more": f"Stirred. {told['stirred']} Set, in the warmest place. {told['set']}",
            "cautions": (*cautions.for_("cooling"), rule.words)}


def stage_cooling(look):
    figure, (path, picture) = look.panels(2, (3, 2), (3, 2))
    path.set(xlabel="time (h)", ylabel=look.label("temperature", "degC"), xlim=(0, 12),
             ylim=tuple(look.number(Q_(t, "degC")) for t in (0, 100)))
    moving = {"path": path}
    for name, style, words in zip(("stirred", "set"), SAMPLES.values(), ("stirred", "set: warmest place")):
        color = style["color"]
        moving[name] = path.plot([], [], linestyle=style["linestyle"], color=color, label=words)[0]
        moving[f"rule {name}"] = path.add_collection(LineCollection([], colors=color, linewidths=3, alpha=0.6))
        moving[f"met {name}"] = path.plot([], [], "o", color=color, markersize=9)[0]
        moving[f"missed {name}"] = path.plot([], [], "X", color=color, markersize=11, markeredgecolor=INK)[0]
    path.plot([], [], "-", color=STILL["color"], linewidth=3, label="to be below here")
    path.plot([], [], "o", color=STILL["color"], label="due, met")
    path.plot([], [], "X", color=STILL["color"], label="due, missed")
    above(path, look, 3)
    return figure, moving | filled(picture)


def place_cooling(moving, reading, look):
    hours, latest = TIMES / 3600, 2.0
    for name, field in (("stirred", "stirred"), ("set", "warmest")):
        moving[name].set_data(hours, look.number(Q_(getattr(reading["path"], field) - 273.15, "degC")))
        bars, marks = [], {True: [], False: []}
        for step in reading["judged"][name].steps:
            due = step.due.m_as("hour")
            if not math.isfinite(due):
                continue
            level, began = look.number(step.row["colder"], "degC"), due - step.row["within"].m_as("hour")
            bars.append([(began, level), (due, level)])
            if step.met is not None:
                marks[step.met].append((due, level))
            latest = max(latest, due)
        moving[f"rule {name}"].set_segments(bars)
        for word, met in (("met", True), ("missed", False)):
            moving[f"{word} {name}"].set_data(*(zip(*marks[met]) if marks[met] else ([], [])))
    jumped = step_axis(moving["path"], "x", 1.1 * latest, (8, 16, 24, 48, 110))
    (left, across, tall), resized = fill(moving, reading["size"])
    moving["filling"].set(facecolor=LIQUID, hatch="")
    moving["words"].set_text(f"{plain(across, 2)} mm across\nfilled {plain(tall, 2)} mm high")
    return resized or jumped


cooling = Explorer(
    (Slider("batch", "batch", "g", 300, 10000, 3000, 10, log=True),
     Choice("vessel", "vessel", POTS + TRAYS, "steel pot"),
     Slider("depth", "depth in a tray or dish", "mm", 10, 65, 20, 1),
     Choice("surroundings", "stands in", AROUND, "still fridge"),
     Slider("start", "goes in at", "degC", 60, 98, 90, 1),
     PLACE),
    read_cooling, stage_cooling, place_cooling, title="Cooling a pot or a tray",
    alt="Left: temperature against time of the stirred pot and of the warmest place of a set one, with the lines that the rule of the "
        "place draws and whether each is met or missed. Right: the vessel with its filling to scale.")


# --- 3. cold purée into hot base -----------------------------------------------------------------------------------------------------
def cooling_agents():
    """Agents that set on cooling: cold lumps are theirs."""
    return agents(("cooling",))


def mixed(base, base_at, puree, puree_at):
    """Mix [K] as low, mid, high: heat capacity of the purée as water has it, or lower (SI floats, puree_at a number or an array)."""
    gel = row("watery gel")
    water, least = gel.si("heat_capacity"), si_number(of(gel, "heat_capacity").low)
    one = lambda c: (base * water * base_at + puree * c * puree_at) / (base * water + puree * c)
    alike, other = one(water), one(least)
    return np.minimum(alike, other), alike, np.maximum(alike, other)


def read_puree(agent, base, puree, base_at, puree_at):
    sets = window(row(agent)).sets
    wanted = sets.high + MARGIN
    if base_at <= sets.high:
        return {"lumps": True, "mix": base_at, "sets": sets, "base": base, "base_at": base_at, "puree": puree, "puree_at": puree_at,
                "wanted": wanted, "warm": None, "cautions": (), "state": "set in the pot",
                "sentence": f"At {{base_at:2}} {agent} is already in its setting range ({{sets:2}}): heat the base first."}
    mix = Spread(*(Q_(t - 273.15, "degC") for t in mixed(*map(si_number, (base, base_at, puree, puree_at)))))
    try:
        warm = heat.warm_to(wanted, Mix({"water": base}), base_at, Mix({"water": puree}))
    except OutOfRange:
        warm = None
    reading = {"mix": mix.mid, "between": mix, "sets": sets, "base": base, "base_at": base_at, "puree": puree, "puree_at": puree_at,
               "wanted": wanted, "warm": warm, "lumps": mix.low <= sets.high, "cautions": what_to_heed(agent)}
    reading["state"], told = _state(mix, sets, wanted)
    if warm is not None and warm > puree_at:
        told += " Warm the purée to {warm:2}, and the mix comes to {wanted:2}."
    elif mix.mid < wanted:
        told += " No warm purée saves it at these amounts: heat the base, or take less purée."
    reading["sentence"] = ("{base:3} at {base_at:2} and {puree:3} at {puree_at:2} come to {mix:2}. "
                           f"{agent[0].upper() + agent[1:]} sets at {{sets:2}}: {told}")
    return reading


def _state(mix, sets, wanted):
    if mix.mid <= sets.low:
        return "lumps", "it sets as the two meet, in lumps."
    if mix.low <= sets.high:
        return "lumps", "that is within the range, and lumps form where they meet."
    if mix.mid < wanted:
        return "close", "it stays liquid, but cold streaks set before they are stirred in."
    return "liquid", "it stays liquid. Pour the purée in a thin stream all the same, and stir: a cold streak sets on the way."


BEAKERS = {"base": 0.17, "puree": 0.5, "mix": 0.83}      # where they stand, of the picture's width; each a quarter of it across


def stage_puree(look):
    figure, (curve, picture) = look.panels(2, (1, 1))
    curve.set(xlabel=look.label("purée", "degC"), ylabel=look.label("mix", "degC"),
              xlim=tuple(look.number(Q_(t, "degC")) for t in (0, 70)), ylim=tuple(look.number(Q_(t, "degC")) for t in (0, 100)))
    moving = {"sets": curve.add_patch(Rectangle((0, 0), 1, 0, transform=curve.get_yaxis_transform(), facecolor=KINDS["strength"]["color"],
                                                edgecolor=KINDS["strength"]["color"], alpha=0.22, hatch="//", label="sets in here: lumps")),
              "between": band(curve, KINDS["temperature"]["color"], label="purée holds less heat than water"),
              "curve": curve.plot([], [], KINDS["temperature"]["linestyle"], color=KINDS["temperature"]["color"], label="mix")[0],
              "goal": curve.plot([], [], "o", color=INK, markersize=10, markerfacecolor="white", label="warm the purée to")[0],
              "now": curve.plot([], [], "v", color=INK, label="as set")[0]}
    above(curve, look)
    for name in BEAKERS:
        moving[f"wall {name}"] = picture.plot([], [], color=WALL, linewidth=1.5)[0]
        moving[name] = picture.add_patch(Rectangle((0, 0), 0, 0, edgecolor=INK, linewidth=1))
        moving[f"says {name}"] = picture.text(0, 0, "", ha="center", va="bottom")
    return figure, moving | scaled(picture)


def place_puree(moving, reading, look):
    low, high = (look.number(t) for t in (reading["sets"].low, reading["sets"].high))
    moving["sets"].set(y=low, height=high - low)
    sweep = np.linspace(0, 70, 36)
    ends = mixed(si_number(reading["base"]), si_number(reading["base_at"]), si_number(reading["puree"]), sweep + 273.15)
    across, lines = look.number(Q_(sweep, "degC")), Spread(*(look.number(Q_(t - 273.15, "degC")) for t in ends))
    moving["curve"].set_data(across, lines.mid)
    set_band(moving["between"], across, lines)
    moving["now"].set_data([look.number(reading["puree_at"])], [look.number(reading["mix"])])
    warm = reading["warm"]
    moving["goal"].set_data(*(([look.number(warm)], [look.number(reading["wanted"])]) if warm is not None else ([], [])))
    volumes = {"base": reading["base"].m, "puree": reading["puree"].m}
    volumes["mix"] = sum(volumes.values())
    named = {"base": ("base", reading["base_at"]), "puree": ("purée", reading["puree_at"]), "mix": (reading["state"], reading["mix"])}
    looks = {"base": (LIQUID, ""), "puree": (THINGS["puree"], ""),
             "mix": (SET, "xx") if reading["lumps"] else (LIQUID, "")}
    jumped = jump_to(moving, (volumes["mix"] * 1000 * 4 / math.pi / 0.25 ** 2 / (0.65 * TALL)) ** (1 / 3))
    whole = moving["picture"].get_xlim()[1]
    for name, middle in BEAKERS.items():
        tall, left, right = volumes[name] * 1000 * 4 / math.pi / (0.25 * whole) ** 2, (middle - 0.125) * whole, (middle + 0.125) * whole
        words, at = named[name]
        moving[f"wall {name}"].set_data([left, left, right, right], [0.68 * TALL * whole, 0, 0, 0.68 * TALL * whole])
        moving[name].set(x=left, width=right - left, height=tall, facecolor=looks[name][0], hatch=looks[name][1])
        moving[f"says {name}"].set(x=middle * whole, y=0.7 * TALL * whole, text=f"{words}\n{plain(look.number(at), 2)} {look.unit('degC')}")
    return jumped


puree = Explorer(
    (Choice("agent", "gelling agent", cooling_agents, "agar"),
     Slider("base", "hot base", "g", 50, 2000, 100, 10, log=True),
     Slider("puree", "purée", "g", 50, 2000, 200, 10, log=True),
     Slider("base_at", "base at", "degC", 60, 98, 95, 1),
     Slider("puree_at", "purée at", "degC", 2, 60, 8, 1)),
    read_puree, stage_puree, place_puree, title="Cold purée into a hot base",
    alt="Left: temperature of the mix against that of the purée, with the range in which the agent sets. Right: base, purée and mix in "
        "three beakers to scale, hatched where lumps form.")
