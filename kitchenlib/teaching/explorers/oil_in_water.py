"""Lesson 30: how much oil goes into a sauce, and how thick it gets; droplets to scale in both."""
import functools
import math

import numpy as np
from matplotlib.patches import PathPatch, Rectangle
from matplotlib.path import Path

from ... import cautions, discs, drops, emulsions, keeping
from ...mixes import Mix
from ...spread import Spread, of, spread
from ...tables import records, row
from ...units import Q_, plain
from ..figures import GREY, INK, KINDS, STILL, THINGS, above, band, measured, set_band, to_scale
from ..panel import Choice, Explorer, Slider

YOLK = Q_(17, "g")                       # of a large egg
EGGS = {"pasteurised": "pasteurized egg yolk", "raw": "egg yolk"}
TOOLS = ("hand whisk", "electric whisk", "stick blender")
TARGET = Q_(80, "percent")               # what a tight sauce is brought down to
BREAKS = Q_(92, "percent")               # soon after 90 % (lowe-experimental-cookery)
THIN = 10                                # times as thick as water: up to here the turbulent law holds
AT_MOST = 97                             # per cent of the area that the packing can fill
BAR = 0.25                               # length of the scale bar, of the window
DISCS = 300                              # in the square that repeats
MARKS = ("thickens", "stiff", "fragile")
STIRRED, ROOM = Q_(1, "1/s"), Q_(20, "degC")


@functools.cache
def edges():
    """The three marks above pouring, as shares by volume [percent]."""
    return tuple(mark["share"] for mark in emulsions.marks()[1:])


# --- droplets to scale ---------------------------------------------------------------------------------------------------------------
@functools.lru_cache(16)
def _tile(share):
    """(outlines, centres, Sauter mean diameter, farthest reach from a centre) of the repeating square of side 1 at an area share [percent]."""
    made = discs.packed(Q_(share, "percent"), DISCS)
    reach = np.abs(made.outline - made.centre[:, None]).max()
    return made.outline, made.centre, 2 * (made.radius ** 3).sum() / (made.radius ** 2).sum(), reach


def in_window(share, droplet, window):
    """Outlines (n, k, 2) in a window of side 1 that is `window` µm wide: the square repeated past its edges, those outside left out."""
    outline, centre, mean, reach = _tile(min(max(share, 1), AT_MOST))
    period = droplet / mean / window
    steps = np.arange(-1, math.ceil(1 / period) + 1) * period
    shift = np.stack(np.meshgrid(steps, steps), axis=-1).reshape(-1, 1, 2)
    where = period * centre + shift
    seen = ((where > -period * reach) & (where < 1 + period * reach)).all(axis=2)
    corners = 1 if seen.sum() < 150 else 2                       # small ones do with half the corners
    return (period * outline[None, :, ::corners] + shift[:, :, None])[seen]


def stage_droplets(axes, look):
    small = 0.8 * look.style()["font.size"]
    label = to_scale(axes, 1, 1, BAR, " ")
    square = axes.add_patch(Rectangle((0, 0), 1, 1, facecolor=THINGS["water"], edgecolor="none"))
    axes.set_ylim(-0.16, 1.32)
    axes.text(0, 1.02, "to scale, oil's share by area:\na plane packs otherwise\nthan space", fontsize=small, va="bottom")
    oil = axes.add_patch(PathPatch(Path([(0, 0)]), facecolor=THINGS["oil"], edgecolor=INK, linewidth=0.7))
    oil.set_clip_path(square)
    return {"oil": oil, "bar": label, "edge": axes.add_patch(Rectangle((0, 0), 1, 1, fill=False, **STILL))}


def place_droplets(moving, share, droplet, windows):
    """share [percent]; droplet [µm], None where oil and water lie apart; windows ((droplet up to, width of the window), ...) in µm."""
    if droplet is None:
        moving["oil"].set_path(Path([(0, 1 - share / 100), (1, 1 - share / 100), (1, 1), (0, 1)]))
        moving["bar"].set_text("apart")
        return
    window = next((wide for end, wide in windows if droplet <= end), windows[-1][1])
    verts = in_window(share, droplet, window)
    count, corners = verts.shape[:2]
    codes = np.full((count, corners + 1), Path.LINETO, Path.code_type)
    codes[:, 0], codes[:, -1] = Path.MOVETO, Path.CLOSEPOLY
    path = Path(np.concatenate([verts, verts[:, :1]], axis=1).reshape(-1, 2), codes.ravel())
    path.should_simplify = False
    moving["oil"].set_path(path)
    moving["bar"].set_text(f"{plain(BAR * window, 2)} µm")


def spelt(axis, numbers):
    """Label a log axis with these numbers in full."""
    axis.set_ticks(numbers, [plain(number, 1) for number in numbers])


# --- 1. one yolk, how much oil -------------------------------------------------------------------------------------------------------
OIL_WINDOWS = (20, 80), (80, 320), (400, 1600)


@functools.lru_cache(64)
def _tool(tool, thin):
    return emulsions.droplet(row(tool), "thin" if thin else "thick", of(row("egg yolk"), "interfacial_tension").mid)


def _coats(protein, droplet):
    return spread(emulsions.emulsifier_limit, protein=protein, droplet=droplet, load=of(row("egg yolk"), "surface_load"))


def read_oil(egg, yolks, water, oil, tool):
    fat, yolk = row("sunflower oil"), row(EGGS[egg])
    heavy = drops.oil_density(ROOM, fat)
    reading = {"oil": oil, "water": water, "yolks": yolks, "target": TARGET, "cold": cautions.COLDEST_ASKED, "apart": True,
               "mass": (oil / (oil + water + yolks * YOLK)).to("percent"), "poured": (oil / heavy).to("mL"), "cautions": _held(egg, yolks)}
    if not water + yolks * YOLK > 0:
        return reading | {"share": Q_(100, "percent"), "sentence": "{oil:3} of oil and nothing watery: oil alone is no emulsion. Give it a yolk or "
                                                                   "a spoon of water."}
    mix = Mix({fat: oil, yolk: yolks * YOLK, row("water"): water})
    both, strict = emulsions.phases(mix), emulsions.phases(mix, "water only").share
    share = min(both.share, Q_(99, "percent"))
    rooms = tuple(emulsions.room_limit(both.watery, edge) * heavy for edge in edges())
    reading |= {"share": both.share, "strict": strict, "watery": both.watery, "rooms": tuple(Q_(r.m_as("g"), "g") for r in rooms),
                "room": rooms[-1].to("g"), "bring": emulsions.water_to_bring(both.oil, both.watery, TARGET) * Q_(1, "g/mL")}
    if not yolks:
        return reading | {"sentence": "{oil:3} of oil in {water:2} of water is {share:3} oil by volume. No yolk, nothing coats the droplets: shaken "
                                      "hard they run together again and oil floats on water."}
    thin = share.m < 100 * emulsions.share_for.si(THIN, emulsions.RANDOM_PACKING)
    droplet = _tool(tool, thin)
    coats = _coats(both.protein, droplet)
    short = both.oil > coats.mid
    finest = emulsions.finest_droplet(share, row("egg yolk").surface_load, both.protein / both.watery) if short else droplet.mid
    mark = emulsions.state(share)
    reading |= {"apart": False, "droplet": droplet, "drawn": max(finest, droplet.mid),
                "coats": Spread(*((limit * heavy).to("kg") for limit in coats)), "finest": finest}
    first = ("The room bites first." if rooms[-1] <= reading["coats"].low else "The emulsifier bites first." if rooms[-1] > reading["coats"].high else
             "Which of the two bites first is not sure.")
    reading["sentence"] = (
        f"{yolks:.0f} {'yolk' if yolks == 1 else 'yolks'} and {{water:2}} of water and acid: {{watery:2 mL}} that is not oil. With "
        f"{{oil:3}} of oil it is {{share:3}} oil by volume: it {mark['state']}. {mark['look']}. By room it is fragile from {{room:2}} of oil"
        + (f"; the yolk coats {{coats:2}}. {first}" if share <= BREAKS else ".")
        + (" The yolk runs short: droplets stay at {finest:2} or run together." if short else ""))
    reading["more"] = (
        f"By mass it is {{mass:3}}, if only water counts {{strict:3}}; droplets from the {tool}{' in a thin sauce' if thin else ''} are {{droplet:2}}."
        + ("" if share <= TARGET else
           " Tight and greasy? Not split: {bring:2} of water, a spoon at a time, bring it to {target:2}." if share <= BREAKS else
           " Soon after 90 % it usually breaks, and no water mends it then: clean bowl, a new yolk with {bring:2} of water, this beaten in slowly."))
    return reading


def _held(egg, yolks):
    """What holds of the egg in it; no egg, no word."""
    keep = "keep it at {cold:1} or colder, from making to plate, or as cold as your local code asks."
    if not yolks:
        return ()
    return (*cautions.for_("raw egg"), f"Raw yolk: {keep}") if egg == "raw" else (f"Pasteurised yolk: {keep}",)


def stage_oil(look):
    figure, (picture, scale, amounts) = look.panels(3, (1.25, 1.6, 1.7), (3.2, 2.2, 2.2))
    moving = stage_droplets(picture, look)
    scale.set(xlim=(0, 102), ylim=(-0.5, 5.4), xticks=range(0, 81, 20), yticks=[], xlabel="oil (%)")
    scale.grid(False)
    for edge, name in zip(edges(), MARKS):
        scale.plot([edge.m] * 2, [-0.5, 3], color=KINDS["strength"]["color"], linestyle="--", linewidth=1.2)
        scale.text(edge.m, 3.1, f"{plain(edge.m, 2)} {name}", rotation=90, ha="center", va="bottom", fontsize=0.9 * look.style()["font.size"])
    for at, name, kind, marker in ((2, "volume", "strength", "o"), (1, "only water counts", "dose", "D"), (0, "by mass", "mass", "h")):
        scale.plot([0, 100], [at, at], **STILL)
        scale.text(1, at + 0.22, name, fontsize=0.9 * look.style()["font.size"])
        moving[f"dot {at}"] = scale.plot([], [], marker, color=KINDS[kind]["color"], markersize=8, clip_on=False)[0]
    amounts.set(xscale="log", ylim=(-0.5, 2.8), yticks=[], xlabel=look.label("oil", "g"),
                xlim=tuple(look.number(Q_(grams, "g")) for grams in (10, 1e6)))
    amounts.grid(axis="y", visible=False)
    spelt(amounts.xaxis, (10, 1000, 100_000))
    for at, words, kind in ((2, "in the bowl", "mass"), (0, "yolk coats", "size"),
                            (1, f"room at {', '.join(plain(edge.m, 2) for edge in edges())} %", "strength")):
        moving[f"amount {at}"] = amounts.plot([], [], KINDS[kind]["marker"], color=KINDS[kind]["color"], markersize=9)[0]
        moving[f"reach {at}"] = amounts.plot([], [], color=KINDS[kind]["color"], linestyle="-")[0]
        amounts.text(0.01, at + 0.2, words, transform=amounts.get_yaxis_transform())
        moving[f"says {at}"] = amounts.text(0.99, at + 0.2, "", ha="right", transform=amounts.get_yaxis_transform())
    return figure, moving


def place_oil(moving, reading, look):
    apart = reading["apart"]
    place_droplets(moving, reading["share"].m, None if apart else reading["drawn"].m_as("µm"), OIL_WINDOWS)
    for at, name in ((2, "share"), (1, "strict"), (0, "mass")):
        moving[f"dot {at}"].set_data(([reading[name].m], [at]) if name in reading else ([], []))
    rows = {2: (reading["oil"],), 1: reading.get("rooms", ()), 0: () if apart else reading["coats"]}
    for at, values in rows.items():
        numbers = [look.number(value, "g") for value in values]
        moving[f"amount {at}"].set_data(numbers[1:2] if at == 0 else numbers, [at] * len(numbers[1:2] if at == 0 else numbers))
        moving[f"reach {at}"].set_data(numbers, [at] * len(numbers))
        shown = (reading["oil"], reading.get("room"), None if apart else reading["coats"].mid)[2 - at]
        moving[f"says {at}"].set_text("" if shown is None else f"{plain(look.number(shown, 'g'), 2)} {look.unit('g')}")


oil = Explorer(
    (Choice("egg", "yolk", tuple(EGGS), "pasteurised"),
     Slider("yolks", "yolks", "", 0, 10, 1, 1),
     Slider("water", "water and acid", "g", 0, 300, 20, 5),
     Slider("oil", "oil", "g", 50, 3000, 200, 10, log=True),
     Choice("tool", "tool", TOOLS, "electric whisk")),
    read_oil, stage_oil, place_oil, title="One yolk, how much oil",
    alt="Left: droplets of oil in water, to scale, round or pressed flat against each other. Middle: the share of oil by volume, with only water "
        "counted, and by mass, on one scale with the marks where a sauce thickens, is stiff and is fragile. Right: grams of oil in the bowl, for "
        "which there is room, and which the yolk can coat.")


# --- 2. how thick --------------------------------------------------------------------------------------------------------------------
THICK_WINDOWS = (10, 40), (60, 200)
POURING = np.append(np.linspace(0, 60, 31), np.linspace(60.5, 63.9, 18)) / 100
STANDING = np.append(np.linspace(64.2, 68, 20), np.linspace(68.5, 96, 28))


def read_thick(share, droplet, dose):
    gum, packed = row("xanthan"), row("packed droplets")
    tension, base = row("egg yolk").interfacial_tension, keeping.flowing_viscosity(dose, STIRRED, ROOM, gum)
    packing = packed.si("packing_share")
    pours = share.m_as("dimensionless") < packing
    mark = emulsions.state(share)
    curve = emulsions.stiffness(Q_(np.append(STANDING, share.m), "percent"), droplet, tension, packed)
    sweep = POURING[POURING < packing]
    reading = {"share": share, "droplet": droplet, "dose": dose, "base": base, "pours": pours, "cautions": (),
               "sweep": 100 * sweep, "flows": base.m_as("mPa*s") * emulsions.relative_viscosity.si(sweep, packing),
               "curve": Spread(*(q.m_as("Pa")[:-1] for q in curve)), "pressure": emulsions.laplace_pressure(droplet, tension)}
    opening = f"At {{share:3}} oil it {mark['state']}. {mark['look']}. "
    if pours:
        times = emulsions.relative_viscosity.si(share.m_as("dimensionless"), packing)
        reading |= {"times": times, "thick": (times * base).to("mPa*s")}
        reading["sentence"] = (opening + f"It is {plain(times, 2)} times as thick as its watery part, which has {{base:2 mPa*s}} when stirred "
                               "slowly" + (" (xanthan: half to double)" if dose.m else "") + ": {thick:2 mPa*s} in all. Below packing the size of "
                               "the droplets hardly counts; what counts is how much room is left between them.")
        return reading
    stiff = Spread(*(Q_(float(q.m_as("Pa")[-1]), "Pa") for q in curve))
    reading |= {"stiff": stiff, "law": stiff.low}
    if stiff.mid.m < 1:
        return reading | {"sentence": opening + "The droplets only just touch: the law gives no stiffness yet. A measured sauce at 65 % had 56 Pa, since "
                                                "real droplets stick."}
    reading["sentence"] = (opening + "It is solid-like: stiffness {stiff:2}. The low end is the bare law, {law:2}; the six measured sauces lie 1 to "
                           "6 times above it, since real droplets stick.")
    reading["more"] = ("Each droplet of {droplet:2} is held round by {pressure:2 kPa}: half the size, twice as stiff."
                       + (" What xanthan adds here has no number." if dose.m else ""))
    return reading


def stage_thick(look):
    figure, (picture, flow, stand) = look.panels(3, (1.25, 1.5, 2), (3.2, 2, 3))
    moving = stage_droplets(picture, look)
    flow.set(xlabel="oil (% by volume)", ylabel="viscosity (mPa·s)", yscale="log", xlim=(0, 74), ylim=(0.5, 2e6))
    spelt(flow.yaxis, (1, 100, 10_000, 1_000_000))
    moving["flow"] = flow.plot([], [], KINDS["strength"]["linestyle"], color=KINDS["strength"]["color"])[0]
    moving["at flow"] = flow.plot([], [], KINDS["strength"]["marker"], color=KINDS["strength"]["color"], markersize=10)[0]
    edge = edges()[0].m
    flow.axvspan(edge, 74, facecolor=GREY, hatch="//", edgecolor=STILL["color"], linewidth=0)
    flow.set_title("hatched: no longer pours", fontsize=0.9 * look.style()["font.size"], loc="left")
    stand.set(xlabel="oil (% by volume)", ylabel="stiffness (Pa)", yscale="log", xlim=(62, 97), ylim=(0.1, 1e5))
    spelt(stand.yaxis, (1, 100, 10_000))
    for x, name in zip(edges(), MARKS):
        stand.plot([x.m, x.m], [0.1, 1e5], **STILL)
        stand.text(x.m + 0.4, 0.13, name, rotation=90, fontsize=0.85 * look.style()["font.size"], va="bottom")
    moving["band"] = band(stand, KINDS["strength"]["color"], label="from the bare law to 6 times it")
    moving["stand"] = stand.plot([], [], KINDS["strength"]["linestyle"], color=KINDS["strength"]["color"])[0]
    points = records("emulsions_points")
    measured(stand, [p["share"].m_as("percent") for p in points], [p["modulus"].m_as("Pa") for p in points], "fan-thesis", note="droplets in µm")
    for p in points:
        stand.annotate(plain(p["droplet"].m_as("µm"), 2), (p["share"].m_as("percent"), p["modulus"].m_as("Pa")), xytext=(5, -11 if p["droplet"].m > 40 else 3),
                       textcoords="offset points", fontsize=0.8 * look.style()["font.size"])
    moving["at stand"] = stand.plot([], [], KINDS["strength"]["marker"], color=KINDS["strength"]["color"], markersize=10)[0]
    above(stand, look, 1)
    return figure, moving


def place_thick(moving, reading, look):
    place_droplets(moving, reading["share"].m, reading["droplet"].m_as("µm"), THICK_WINDOWS)
    moving["flow"].set_data(reading["sweep"], reading["flows"])
    moving["stand"].set_data(STANDING, reading["curve"].mid)
    set_band(moving["band"], STANDING, reading["curve"])
    at = reading["share"].m
    moving["at flow"].set_data(([at], [min(reading["thick"].m, 9e5)]) if reading["pours"] else ([], []))
    moving["at stand"].set_data(([], []) if reading["pours"] else ([at], [max(reading["stiff"].mid.m, 1)]))


thick = Explorer(
    (Slider("share", "oil, by volume", "percent", 0, 95, 75, 1),
     Slider("dose", "xanthan, of the water", "percent", 0, 0.6, 0, 0.01),
     Slider("droplet", "droplet, across", "µm", 2, 50, 5, 1, log=True)),
    read_thick, stage_thick, place_thick, title="How thick",
    alt="Left: droplets of oil in water, to scale. Middle: viscosity against the share of oil, climbing until the droplets lock. Right: stiffness "
        "against the share of oil beyond that, with its band, six measured sauces and the marks where it thickens, is stiff and is fragile.")
