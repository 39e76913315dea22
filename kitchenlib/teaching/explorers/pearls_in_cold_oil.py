"""Lesson 12: drops on their way through the oil, to scale; what is dripped before the bag sets or the oil is too warm."""
import functools
import math

import numpy as np
from matplotlib.patches import Circle, Rectangle
from matplotlib.ticker import MaxNLocator

from ... import cautions, drops, heat, pearls, setting
from ...spread import Spread
from ...tables import row
from ...units import OutOfRange, Q_, plain, show, si_number
from ..figures import INK, KINDS, STATES, THINGS, above, step_axis, to_scale
from ..panel import Choice, Explorer, Slider

BAG = Q_(150, "mm")                      # length of the bag in the hand
BORE = 0.75                              # of the tip's outer diameter: a blunt thin-walled tip
HELD = ("piping bag", "cloth around the bag")
OILS = ("canola oil", "sunflower oil", "rapeseed oil")
BEFORE = Q_(20, "degC")                  # the oil before it goes into the fridge
SHOWN = 8000                             # drops drawn at most
ROOMY = 1.2                              # drops that follow each other closer than this many diameters touch
LANE = 200                               # width of the oil in the picture, mm


def sets_range():
    """The range in which agar sets, from its rows: the warm end for the bag, the cold end for the drop."""
    return _sets(row("agar"))


@functools.lru_cache(8)
def _sets(agar):
    return setting.window(agar).sets


def in_hand(start, room, width, held):
    """(film, minutes until the squeezed bag is at the warm end of setting) as SI floats."""
    film = pearls.hand_film.si((start + si_number(sets_range().high)) / 2, room, si_number(BAG), row(held))
    return film, pearls.time_in_hand.si(start, si_number(sets_range().high), room, width, film, row("watery gel"))


@functools.lru_cache(256)
def _in_fridge(mass, fat, pot, fridge):
    return heat.cooling.si(si_number(BEFORE), 281.15, mass, fat, pot, fridge).unstirred


# --- 1. the column ---------------------------------------------------------------------------------------------------------------
def read_column(oil, oil_mass, batch, tip, tips, pace, height, start, cold, room, width, held):
    gel, fat = row("watery gel"), row(oil)
    s = sets_range()
    t0, cold_si, sets_cold = si_number(start), si_number(cold), si_number(s.low)
    outer, tall = si_number(tip), si_number(height)
    if start <= s.high:
        raise OutOfRange(f"a mix at {show(start, 2)} has set before it drips: agar sets from {show(s.high, 2)} down; keep it warmer")
    drop = drops.drop.si(outer, gel.si("surface_tension"), gel.si("density"))
    thin, thick = (drops.drop.si(outer, si_number(gel.fact("surface_tension")[i]), gel.si("density")).diameter for i in (3, 4))
    volume = drop.volume
    flow = pace * volume                                          # of one tip, m³/s
    jet = drops.jet_flow.si(BORE * outer, outer, gel.si("surface_tension"), gel.si("density"))
    chill = drops.chill.si(drop.diameter, t0, sets_cold, cold_si, fat, gel)
    film, bag_seconds = in_hand(t0, si_number(room), si_number(width), held)
    stream = flow * tips * gel.si("density")                      # all tips, kg/s
    before_bag = stream * bag_seconds
    lands_soft = chill.depth > tall                               # set only below the bottom: the oil is too warm as it is
    too_warm = cold_si if lands_soft else pearls.warmest_oil.si(tall, drop.diameter, t0, sets_cold, cold_si, fat, gel)
    before_oil = drops.drops_for.si(si_number(oil_mass), t0, cold_si, max(too_warm - cold_si, 0.1), fat, gel)
    needed = si_number(batch) / before_oil * si_number(oil_mass)
    fridge = _in_fridge(si_number(oil_mass), fat, row("steel pot"), row("still fridge"))
    minutes = si_number(batch) / stream / 60
    least = min(before_bag, before_oil)
    places = max(math.ceil(ROOMY * drop.diameter * pace / max(chill.speed, 1e-6)), 1)
    first = "the bag begins to set" if before_bag < before_oil else "the oil is too warm"
    reading = {
        "drop": Spread(*(Q_(1000 * d, "mm") for d in sorted((thin, drop.diameter, thick)))), "rate": tips * pace,
        "minutes": Q_(minutes, "min"), "before_bag": Q_(1000 * before_bag, "g"), "before_oil": Q_(1000 * before_oil, "g"),
        "needed": Q_(1000 * needed, "g"), "too_warm": Q_(too_warm - 273.15, "degC"), "chill": Q_(chill.time, "s"),
        "depth": Q_(1000 * chill.depth, "mm"), "speed": Q_(1000 * chill.speed, "mm/s"), "fridge": Q_(fridge / 3600, "hour"),
        "pearls": si_number(batch) / (volume * gel.si("density")), "batch": batch, "height": height, "tips": tips, "tip": tip,
        "apart": Q_(1000 * chill.speed / pace, "mm"), "places": places, "diameter": drop.diameter, "film": chill.film, "start": start, "cold": cold,
        "cautions": tuple(text for text in cautions.for_("pearls in oil") if "choke" in text),
        "set": _set_at(drop.diameter, t0, sets_cold, cold_si, chill, tall, gel)}
    enough = least >= si_number(batch)
    reading["sentence"] = (
        f"Drops of {{drop:2}}, {plain(tips * pace, 2)} a second from {tips:.0f} {'tip' if tips == 1 else 'tips'}: "
        f"{{batch:2}} take {{minutes:2}} and make about {plain(reading['pearls'], 2)} pearls. Each is cold enough to set after "
        "{chill:2}, {depth:2} down. The bag lasts for {before_bag:2}, the oil for {before_oil:2} (it may reach {too_warm:2}): "
        + ("this batch fits." if enough else f"{first} first, before the batch is through.")
        + (" At this pace the tip no longer drips: it runs in a jet, and pearls come out in all sizes." if flow > jet else ""))
    reading["more"] = (
        "At the very least this batch wants {needed:2} of oil; what is there takes {fridge:2} from 20 to 8 °C in a still fridge."
        + (f" One above the other they would be {{apart:2}} apart, closer than they are wide: move each tip over {places} places, "
           "or drip slower." if places > 1 else ""))
    return reading


def _set_at(diameter, start, sets, cold, chill, tall, gel):
    """Depths [m] and the share set there, for the cut drops and the hatching."""
    depth = np.minimum(np.array([0, 0.5, 0.7, 0.85, 1.01]) * chill.depth, tall)
    return depth, pearls.set_share.si(np.minimum(depth / chill.speed, 3600.0), diameter, start, sets, cold, chill.film, gel)


def stage_column(look):
    figure, (column, cut, bars) = look.panels(3, (1.1, 1.3, 2.2), (3, 1.6, 2))
    to_scale(column, 260, 420, 50)
    moving = {"oil": column.add_patch(Rectangle((30, 0), 200, 0, facecolor=THINGS["oil"], edgecolor=INK, linewidth=1.5)),
              "drops": column.plot([], [], "o", color=THINGS["liquid"], markeredgecolor=INK, markeredgewidth=0.25)[0],
              "set line": column.plot([], [], color=KINDS["temperature"]["color"], linestyle="--")[0],
              "column": column}
    column.set_title("to scale; dashes: set by here", loc="left", fontsize=0.8 * look.style()["font.size"])
    cut.set(xlim=(-1.5, 2.6), ylim=(-11.4, 2.6), aspect="equal", xticks=[], yticks=[])
    cut.axis("off")
    cut.text(-1.4, 2.5, "a drop cut through, dotted where set", va="top", fontsize=0.8 * look.style()["font.size"])
    moving["cut"] = [(cut.add_patch(Circle((0, -2.5 * k), 1, facecolor=THINGS["set"], edgecolor=INK, hatch=STATES["set"], linewidth=1.2)),
                      cut.add_patch(Circle((0, -2.5 * k), 1, facecolor=THINGS["liquid"], edgecolor=INK, linewidth=0.8)),
                      cut.text(1.25, -2.5 * k, "", va="center", fontsize=0.85 * look.style()["font.size"])) for k in range(5)]
    bars.set(xlim=(0, 400), ylim=(-0.6, 2.9), yticks=[], xlabel=look.label("grams", "g").replace("grams (", "dripped ("))
    bars.grid(axis="y", visible=False)
    for at, words, kind in ((2, "the batch", "mass"), (1, "until the bag sets", "temperature"), (0, "until the oil is too warm", "dose")):
        moving[f"bar {at}"] = bars.add_patch(Rectangle((0, at - 0.25), 0, 0.45, facecolor=KINDS[kind]["color"], alpha=0.6,
                                                       hatch=("", "//", "..")[2 - at], edgecolor=INK))
        bars.text(0, at + 0.26, words, va="bottom")
        moving[f"says {at}"] = bars.text(1, at + 0.26, "", va="bottom", ha="right", transform=bars.get_yaxis_transform())
    moving["bars"] = bars
    return figure, moving


def place_column(moving, reading, look):
    tall, apart, places, wide = reading["height"].m_as("mm"), reading["apart"].m, reading["places"], reading["drop"].mid.m_as("mm")
    moving["oil"].set(height=tall)
    lane, step = LANE / reading["tips"], min(ROOMY * wide, LANE / reading["tips"] / places)
    nth = np.arange(max(int(tall / apart), 1))
    aside = (nth % places - (places - 1) / 2) * step
    x = 30 + lane * (np.arange(int(reading["tips"]))[:, None] + 0.5) + aside
    y = tall - apart * (nth + 0.5) + 0 * x
    column = moving["column"]
    pixels = np.diff(column.transData.transform([(0, 0), (wide, 0)])[:, 0])[0]
    moving["drops"].set_data(x.T.ravel()[:SHOWN], y.T.ravel()[:SHOWN])
    moving["drops"].set_markersize(pixels * 72 / column.figure.dpi)
    set_at = tall - reading["depth"].m_as("mm")
    moving["set line"].set_data([20, 240], [set_at, set_at] if set_at > 0 else [0, 0])
    for (rim, core, words), depth, share in zip(moving["cut"], *reading["set"]):
        core.set_radius((1 - share) ** (1 / 3))
        words.set_text(f"{plain(look.number(Q_(1000 * depth, 'mm')), 2)} mm: {plain(100 * share, 2)} %")
    values = [look.number(reading[name], "g") for name in ("batch", "before_bag", "before_oil")]
    gram = look.number(Q_(1, "g"))
    for at, value in zip((2, 1, 0), values):
        moving[f"bar {at}"].set_width(min(value, 1e5 * gram))
        moving[f"says {at}"].set_text(f"{plain(value, 2)} {look.unit('g')}")
    return step_axis(moving["bars"], "x", 1.3 * values[0], tuple(gram * t for t in (100, 400, 1300)))


column = Explorer(
    (Choice("oil", "kind of oil", OILS, "canola oil"),
     Slider("batch", "batch", "g", 50, 1000, 200, 10, log=True),
     Slider("oil_mass", "oil", "g", 300, 4000, 1000, 10, log=True),
     Slider("tips", "number of tips", "", 1, 8, 4, 1),
     Slider("pace", "drops a second from each tip", "", 0.5, 8, 3, 0.5),
     Slider("tip", "tip, outside", "mm", 1, 4, 2, 0.1),
     Slider("height", "depth of oil", "mm", 100, 400, 300, 10),
     Slider("width", "bag or bottle, across", "mm", 20, 80, 50, 5),
     Choice("held", "in the hand", HELD, "piping bag"),
     Slider("start", "mix", "degC", 40, 70, 55, 1),
     Slider("cold", "oil at the start", "degC", 4, 25, 6, 1),
     Slider("room", "room", "degC", 15, 35, 22, 1)),
    read_column, stage_column, place_column, title="Drops on their way through cold oil",
    alt="Left: the column of oil with the drops on their way, to scale, and a dashed line where they are cold enough to set. Middle: five "
        "drops cut through at five depths, dotted where set. Right: grams of the batch beside the grams until the bag sets and until the "
        "oil is too warm.")


# --- 2. the bag in the hand --------------------------------------------------------------------------------------------------------
def read_bag(grams, width, held, start, room):
    s, gel = sets_range(), row("watery gel")
    if start <= s.high:
        raise OutOfRange(f"a mix at {show(start, 2)} has set before it drips: agar sets from {show(s.high, 2)} down; keep it warmer")
    t0, air = si_number(start), si_number(room)
    film, seconds = in_hand(t0, air, si_number(width), held)
    bare = pearls.hand_film.si(t0, air, 0.02, row("piping bag"))
    tip = pearls.time_in_hand.si(t0, si_number(s.high), air, 0.003, bare, gel)
    times = np.linspace(0, 120, 61)
    return {"bag": Q_(seconds / 60, "min"), "tip": Q_(tip, "s"), "start": start, "room": room,
            "grams": Q_(grams, "g") * seconds / 60, "pace": grams, "sets": s, "times": times,
            "path": pearls.temperature_in_hand.si(60 * times, t0, air, si_number(width), film, gel) - 273.15,
            "cautions": (),
            "sentence": "From {start:2} the squeezed bag reaches the warm end of setting after {bag:2}: {grams:2} dripped by then at "
                        f"{plain(grams, 2)} g a minute. A 3 mm tip that stands still is there after {{tip:2}}. Stop for longer, and the tip "
                        "is what sets."}


def stage_bag(look):
    figure, (path, bars) = look.panels(2, (3, 2))
    path.set(xlabel="time in the hand (min)", ylabel=look.label("temperature", "degC"), xlim=(0, 120),
             ylim=tuple(look.number(Q_(t, "degC")) for t in (15, 75)))
    s = sets_range()
    path.axhspan(look.number(s.low), look.number(s.high), facecolor=KINDS["strength"]["color"], alpha=0.18, hatch="//", label="agar sets in here")
    moving = {"path": path.plot([], [], KINDS["temperature"]["linestyle"], color=KINDS["temperature"]["color"], label="squeezed bag")[0],
              "stop": path.plot([], [], KINDS["temperature"]["marker"], color=KINDS["temperature"]["color"], label="stop here")[0],
              "tip": path.plot([], [], "D", color=KINDS["temperature"]["color"], label="a still tip is here")[0]}
    above(path, look)
    bars.set(xlim=(0, 1000), ylim=(-0.5, 1), yticks=[], xlabel=look.label("dripped before it sets", "g"))
    bars.grid(axis="y", visible=False)
    bars.xaxis.set_major_locator(MaxNLocator(4))
    moving["bar"] = bars.add_patch(Rectangle((0, -0.2), 0, 0.4, facecolor=KINDS["mass"]["color"], alpha=0.6, hatch="//", edgecolor=INK))
    moving["says"] = bars.text(0, 0.3, "", va="bottom")
    moving["bars"] = bars
    return figure, moving


def place_bag(moving, reading, look):
    moving["path"].set_data(reading["times"], look.number(Q_(reading["path"], "degC")))
    high = look.number(reading["sets"].high)
    moving["stop"].set_data([reading["bag"].m], [high])
    moving["tip"].set_data([reading["tip"].m_as("min")], [high])
    grams, gram = look.number(reading["grams"], "g"), look.number(Q_(1, "g"))
    moving["bar"].set_width(grams)
    moving["says"].set_text(f"{plain(grams, 2)} {look.unit('g')}")
    return step_axis(moving["bars"], "x", grams, tuple(gram * t for t in (300, 1000, 4000, 15000)))


bag = Explorer(
    (Slider("grams", "dripped, grams a minute", "", 1, 60, 8, 1),
     Slider("width", "bag or bottle, across", "mm", 20, 80, 50, 5),
     Choice("held", "in the hand", HELD, "piping bag"),
     Slider("start", "mix", "degC", 40, 70, 55, 1),
     Slider("room", "room", "degC", 15, 35, 22, 1)),
    read_bag, stage_bag, place_bag, title="The bag in the hand",
    alt="Left: temperature of the bag over two hours, with the band in which agar sets, the moment to stop and the moment at which a still "
        "tip sets. Right: the grams dripped by then.")
