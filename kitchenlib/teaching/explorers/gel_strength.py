"""Lesson 10: strength against dose; swapping gelatin grades; what the scale's step does to a dose."""
import functools

import numpy as np
from matplotlib.collections import LineCollection, PolyCollection
from matplotlib.patches import Rectangle

from ... import gels, weighing
from ...mixes import Mix
from ...spread import Spread, of, spread
from ...tables import kinds, records, row
from ...units import Q_, plain, show
from ..figures import INK, KINDS, SAMPLES, STATES, STILL, THINGS, above, band, measured, set_band, step_axis, to_scale
from ..panel import Choice, Explorer, Slider

SIDE, POT = Q_(25, "mm"), Q_(1, "kg")
WEAK = ("modulus", "modulus_bloom", "dose_exponent", "critical_dose", "threshold_exponent", "warmth_melts", "warmth_shape")
LAID_DOWN = 20                   # per cent of height: past it the small-strain formula no longer holds and most gels break


# --- 1. strength against dose --------------------------------------------------------------------------------------------------
def agents():
    """Every agent, grade and product with a modulus: agar and gelatin first, the shelf's last."""
    names = [name for name in kinds() if "modulus" in row(name)]
    return tuple(sorted(names, key=lambda name: ("agar", "gelatin").index(name) if name in ("agar", "gelatin") else 9))


def shown_doses(agent):
    """The doses over which an agent is used, soft to firm, with a quarter on top."""
    low, high = row(agent).fact("dose_soft").low, row(agent).fact("dose_firm").high
    return low, min(1.25 * high, Q_(9, "percent"))


def stiffness(dose, grade, temperature):
    """Modulus [Pa] of a set gel where it is eaten (SI floats, dose an array); agar and the others have no number for warmth."""
    cold = gels.modulus.si(dose, grade)
    if "warmth_melts" not in grade:
        return cold
    return cold * gels.warmth_factor.si(temperature, grade.si("warmth_melts"), grade.si("warmth_shape"))


def graded(agent, bloom):
    """The row of an agent; plain gelatin gets the Bloom of the slider, a leaf or a product keeps its own."""
    return row(agent).but(bloom=bloom) if agent == "gelatin" else row(agent)


@functools.lru_cache(32)
def _sample(agent, grade, dose, lost, temperature, load):
    """One sample's numbers; kept, because a hand moves one slider of one sample at a time."""
    low, high = shown_doses(agent)
    held = min(max(dose, low), high)
    final = gels.after_boiling(Mix({grade: held * POT, "water": (1 - held) * POT}), grade, lost)
    sweep = np.append(np.geomspace(low.m, high.m, 60), final.m) / 100
    both = Spread(*(Q_(firm, "Pa").to("kPa") for firm in
                    spread(stiffness, weak=WEAK, dose=sweep, grade=grade, temperature=temperature.m_as("kelvin"))))
    firm, curve = (Spread(*(q[part] for q in both)) for part in (-1, slice(-1)))
    return {"weighed": held, "final": final, "firm": firm, "agent": agent, "grade": grade, "melting": "warmth_melts" in grade,
            "kept": "" if held == dose else f" (used from {show(low, 2)} to {show(high, 2)}: shown at {show(held, 2)})",
            "sweep": Q_(100 * sweep[:-1], "percent"), "curve": curve, "given": _given(load, firm)}


def _given(load, firm):
    """Share of the cube's height lost, by the small-strain formula, softest to stiffest; None where nothing has set."""
    if firm.mid.m <= 0.01:
        return None
    return Spread(*(Q_(min(100 * gels.squash.si(load.m_as("kg"), SIDE.m_as("m"), max(g.m_as("Pa"), 10.0))[0], 100.0), "percent")
                    for g in (firm.high, firm.mid, firm.low)))


def _says(name, s, load):
    about = f"{name}: {s['agent']} {show(s['final'], 2)}{s['kept']}"
    if s["given"] is None:
        return f"{about} does not set."
    strain = s["given"].mid
    under = (f"gives {show(strain, 2)} of its height under {show(load, 2)}" if strain.m <= LAID_DOWN
             else f"is flattened or broken under {show(load, 2)}")
    sheet = (f" By the figure on its sheet it breaks near {show(gels.gel_strength(s['final'], s['grade']), 2)}."
             if "gel_strength" in s["grade"] else "")
    return f"{about} has a modulus of {{firm_{name.lower()}:2}} and {under}.{sheet}"


def read_strength(agent_a, dose_a, bloom_a, lost_a, agent_b, dose_b, bloom_b, lost_b, temperature, load, axes):
    weight = Q_(float(load.split()[0]), "g")
    a = _sample(agent_a, graded(agent_a, bloom_a), dose_a, lost_a, temperature, weight)
    b = _sample(agent_b, graded(agent_b, bloom_b), dose_b, lost_b, temperature, weight)
    sentence = f"{_says('A', a, weight)} {_says('B', b, weight)}"
    if a["given"] is not None and b["given"] is not None:
        sentence += f" B is {plain((b['firm'].mid / a['firm'].mid).m, 2)} times as firm as A."
    if not a["melting"] or not b["melting"]:
        sentence += " What 4 to 25 °C changes in agar and the others has no number here."
    return {"a": a, "b": b, "firm_a": a["firm"], "firm_b": b["firm"], "load": weight, "axes": axes, "sentence": sentence, "cautions": ()}


WEIGHTS = {"10 g": (9, 6), "50 g": (13, 9), "250 g": (20, 14)}        # drawn width and height, mm
CUBES_AT = {"A": 25, "B": 75}                                         # middle of each cube, mm


def stage_strength(look):
    figure, (curves, picture) = look.panels(2, (3, 2), (4, 3))
    curves.set(xlabel="dose (% of the total)", ylabel="shear modulus (kPa)", xlim=(0, 2.5), ylim=(0, 20))
    points = [p for p in records("gel_strength_points") if p["quantity"] == "shear_modulus" and p["how"] != "memory"]
    for agent, words in (("agar", "agar, two laboratories"), ("gelatin", "gelatin, one series")):
        of_one = [p for p in points if p["substance"] == agent and p["concentration"] is not None]
        measured(curves, [p["concentration"].m for p in of_one], [p["value"].m_as("kPa") for p in of_one], words, [_error(p) for p in of_one])
    moving = {"curves": curves}
    for name, style in SAMPLES.items():
        moving[f"band {name}"] = band(curves, style["color"], hatch={"A": "", "B": "///"}[name])
        moving[f"line {name}"], = curves.plot([], [], style["linestyle"], color=style["color"], label=f"sample {name}")
        moving[f"dot {name}"], = curves.plot([], [], style["marker"], color=style["color"], zorder=5)
    above(curves, look)
    to_scale(picture, 100, 52, 25)
    for name, at in CUBES_AT.items():
        picture.add_patch(Rectangle((at - 12.5, 0), 25, 25, fill=False, linestyle=":", **STILL))
        moving[f"cube {name}"] = picture.add_patch(Rectangle((0, 0), 0, 0, facecolor=THINGS["set"], edgecolor=SAMPLES[name]["color"], linewidth=2))
        moving[f"weight {name}"] = picture.add_patch(Rectangle((0, 0), 0, 0, facecolor=THINGS["metal"], edgecolor=INK))
        moving[f"says {name}"] = picture.text(at, 51, "", ha="center", va="top")
    return figure, moving


def _error(point):
    return point["plus_minus"].m_as("kPa") if point["plus_minus"] is not None else 0.0


def place_strength(moving, reading, look):
    jumped = _scale_axes(moving["curves"], reading)
    for name in CUBES_AT:
        sample = reading[name.lower()]
        dose, curve = sample["sweep"].m, look.number(sample["curve"], "kPa")
        moving[f"line {name}"].set_data(dose, curve.mid)
        set_band(moving[f"band {name}"], dose, curve)
        moving[f"dot {name}"].set_data([sample["final"].m], [sample["firm"].mid.m_as("kPa")])
        _place_cube(moving, name, sample, reading["load"], look)
    return jumped


def _scale_axes(axes, reading):
    """Linear axes jump between fixed tops, log axes stand; True where anything changed."""
    if reading["axes"] == "log-log":
        changed = axes.get_xscale() != "log"
        if changed:
            axes.set(xscale="log", yscale="log", xlim=(0.04, 12), ylim=(0.01, 500))
        return changed
    changed = axes.get_xscale() == "log"
    if changed:
        axes.set(xscale="linear", yscale="linear", xlim=(0, 2.5), ylim=(0, 20))
    samples = reading["a"], reading["b"]
    wide = step_axis(axes, "x", max(s["final"].m for s in samples), (2.5, 5.5, 11))
    high = step_axis(axes, "y", max(s["firm"].high.m_as("kPa") for s in samples), (5, 20, 60, 200, 600))
    return wide or high or changed


def _place_cube(moving, name, sample, load, look):
    at, given = CUBES_AT[name], sample["given"]
    cube, weight, says = (moving[f"{part} {name}"] for part in ("cube", "weight", "says"))
    if given is None:
        height, width, hatch, words = 3.0, 44.0, STATES["liquid"], "does not set"
    elif given.mid.m > LAID_DOWN:
        height, width, hatch, words = 7.0, 40.0, STATES["broken"], "flattened\nor broken"
    else:
        height = 25 * (1 - given.mid.m / 100)
        width, hatch, words = 25 * (25 / height) ** 0.5, STATES["whole"], f"gives {show(given.mid, 2)}"
    cube.set(x=at - width / 2, y=0, width=width, height=height, hatch=hatch)
    wide, tall = WEIGHTS[f"{load.m:g} g"]
    weight.set(x=at - wide / 2, y=height, width=0 if given is None else wide, height=tall)
    says.set_text(f"{name}: {words}")


strength = Explorer(
    tuple(control for name, agent, dose in (("a", "agar", 1.0), ("b", "gelatin", 5.0)) for control in (
        Choice(f"agent_{name}", "gelling agent", agents, agent, sample=name.upper()),
        Slider(f"bloom_{name}", "Bloom (plain gelatin only)", "Bloom", 120, 260, 220, 5, sample=name.upper()),
        Slider(f"dose_{name}", "dose as weighed", "percent", 0.05, 9, dose, 0.01, log=True, sample=name.upper()),
        Slider(f"lost_{name}", "boiled off", "percent", 0, 20, 0, 1, sample=name.upper())))
    + (Choice("load", "weight on a 25 mm cube", tuple(WEIGHTS), "50 g"),
       Slider("temperature", "eaten at (gelatin)", "degC", 4, 25, 10, 1),
       Choice("axes", "axes", ("linear", "log-log"), "linear")),
    read_strength, stage_strength, place_strength, title="Strength against dose",
    alt="Left: shear modulus against dose, a curve with its band for each of two samples, measured points between them. "
        "Right: two 25 mm cubes of the samples, to scale, under the chosen weight.")


# --- 2. swapping grades --------------------------------------------------------------------------------------------------------
def leaf_grades():
    """Leaf gelatins, the shelf's included, and loose powder of any Bloom."""
    return tuple(name for name in kinds("gelatin") if "leaf_mass" in row(name)) + ("powder",)


def read_swap(recipe, bloom_a, hand, bloom_b, dose, batch):
    have, want = (Q_(b, "Bloom") if name == "powder" else row(name).bloom for name, b in ((recipe, bloom_a.m), (hand, bloom_b.m)))
    grams = weighing.of_total(dose, batch)
    root, linear = (gels.swap_grade(dose, have, want, n) for n in (2, 1))
    measured_between = spread(gels.swap_grade, dose=dose, bloom=have, other_bloom=want, exponent=of(row("gelatin"), "dose_exponent"))
    by_root, by_pack = (weighing.of_total(d, batch) for d in (root, linear))
    in_leaves = lambda mass, name: "" if name == "powder" else f" = {show(mass / row(name).leaf_mass, 2)} leaves"
    wrong = gels.strength_ratio(root, linear, 2)
    sentence = (f"The recipe's {{grams:2}}{in_leaves(grams, recipe)} of {recipe} ({show(have)}): by the square-root rule {{by_root:2}}"
                f"{in_leaves(by_root, hand)} of {hand} ({show(want)}), by the rule on packs {{by_pack:2}}{in_leaves(by_pack, hand)}. ")
    sentence += ("Same Bloom, same grams." if abs(wrong - 1) < 0.005 else
                 f"The pack's amount would set {plain(wrong, 2)} times as firm as meant.")
    return {"have": have, "want": want, "dose": dose, "root": root, "linear": linear, "between": measured_between, "grams": grams,
            "by_root": by_root, "by_pack": by_pack, "wrong": wrong, "sentence": sentence, "cautions": (),
            "leaves": tuple(None if name == "powder" else (mass / row(name).leaf_mass).m
                            for mass, name in ((grams, recipe), (by_root, hand), (by_pack, hand)))}


def stage_swap(look):
    figure, (curves, bars) = look.panels(2, (1, 1))
    curves.set(xlabel="Bloom of the gelatin at hand", ylabel=look.label("its dose", "percent"), xlim=(115, 265), ylim=(0, 6))
    moving = {"curves": curves, "bars": bars, "between": band(curves, KINDS["dose"]["color"], label="exponent as measured")}
    for name, style, words in (("root", "-", "square-root rule"), ("linear", "--", "rule on packs")):
        moving[name], = curves.plot([], [], style, color=KINDS["dose"]["color"], label=words)
        moving[f"{name} dot"], = curves.plot([], [], "oD"[name == "linear"], color=KINDS["dose"]["color"], zorder=5)
    above(curves, look)
    bars.set(xlabel=look.label("gelatin to weigh", "g"), xlim=(0, look.number(Q_(20, "g"))), ylim=(-0.4, 2.95), yticks=[])
    bars.grid(axis="y", visible=False)
    for at, words in zip((2, 1, 0), ("in the recipe", "square-root rule", "rule on packs")):
        moving[f"pieces {at}"] = bars.add_collection(PolyCollection([], facecolor=THINGS["powder"], edgecolor=INK, linewidth=1.2,
                                                                    hatch="//" if at == 0 else ""))
        moving[f"says {at}"] = bars.text(0, at + 0.24, words, va="bottom")
        moving[f"says {at}"].named = words
    return figure, moving


def place_swap(moving, reading, look):
    blooms = Q_(np.linspace(120, 260, 29), "Bloom")
    swap = lambda n: 100 * gels.swap_grade.si(reading["dose"].m_as("percent") / 100, reading["have"].m, blooms.m, n)
    exponent = of(row("gelatin"), "dose_exponent")
    ends = [swap(n) for n in (exponent.low, exponent.high)]
    set_band(moving["between"], blooms.m, Spread(np.minimum(*ends), swap(exponent.mid), np.maximum(*ends)))
    for name, n in (("root", 2), ("linear", 1)):
        moving[name].set_data(blooms.m, swap(n))
        moving[f"{name} dot"].set_data([reading["want"].m], [reading[name].m])
    jumped = step_axis(moving["curves"], "y", max(swap(1).max(), swap(2).max()), (3, 6, 12, 20))
    masses = [look.number(reading[name], "g") for name in ("grams", "by_root", "by_pack")]
    gram = look.number(Q_(1, "g"))
    jumped = step_axis(moving["bars"], "x", max(masses), tuple(gram * t for t in (5, 20, 60, 200, 600, 1000))) or jumped
    for at, mass, count in zip((2, 1, 0), masses, reading["leaves"]):
        edges = [0, mass] if count is None or count > 60 else [*(mass * k / count for k in range(int(np.ceil(count)))), mass]
        moving[f"pieces {at}"].set_verts([[(a, at - 0.22), (b, at - 0.22), (b, at + 0.22), (a, at + 0.22)] for a, b in zip(edges, edges[1:])])
        words = moving[f"says {at}"]
        words.set_text(f"{words.named}: {plain(mass, 3)} {look.unit('g')}" + ("" if count is None else f" = {plain(count, 2)} leaves"))
    return jumped


swap = Explorer(
    (Choice("recipe", "gelatin in the recipe", leaf_grades, "gelatin leaf silver"),
     Slider("bloom_a", "Bloom in the recipe (powder)", "Bloom", 120, 260, 220, 5),
     Choice("hand", "gelatin at hand", leaf_grades, "gelatin leaf platinum"),
     Slider("bloom_b", "Bloom at hand (powder)", "Bloom", 120, 260, 160, 5),
     Slider("dose", "dose in the recipe", "percent", 0.6, 9, 2.4, 0.1),
     Slider("batch", "batch", "g", 100, 5000, 500, 10, log=True)),
    read_swap, stage_swap, place_swap, title="Swapping gelatin",
    alt="Left: the dose of another gelatin against its Bloom, by the square-root rule and by the rule on packs, with the band that "
        "measured exponents leave. Right: the gelatin to weigh in the recipe and by each rule, cut into leaves.")


# --- 3. dose on this scale -----------------------------------------------------------------------------------------------------
def display_of(mass, step):
    """What stands on the scale: grams, with the decimals of its step."""
    return f"{mass.m_as('g'):.{max(0, round(-np.log10(step.m_as('g'))))}f} g"


def read_scale(agent, batch, dose, step, bowl):
    mass = weighing.of_total(dose, batch)
    step = Q_(float(step.split()[0]), "g")
    shown = max(round((mass / step).m_as("dimensionless")), 0) * step
    n = row(agent).dose_exponent
    if shown.m <= 0:
        return {"mass": mass, "shown": shown, "step": step, "low": Q_(0.0, "percent"), "high": Q_(0.0, "percent"), "least": Q_(0.0, "g"),
                "most": Q_(0.0, "g"), "weak": 0.0, "strong": 0.0, "dose": dose, "exponent": n, "cautions": (),
                "sentence": "You want {mass:2}; this scale still shows 0. Make a bigger batch or take a finer scale."}
    weighed = weighing.resolution(shown, step, bowl)
    low, high = (min(m / batch, Q_(20, "percent")).to("percent") for m in (weighed.low, weighed.high))
    weak, strong = (gels.strength_ratio(dose, max(d, Q_(0.01, "percent")), n) for d in (low, high))
    enough = weighing.smallest_load(step, Q_(10, "percent") / n) / dose
    return {"mass": mass, "shown": shown, "step": step, "low": low, "high": high, "least": weighed.low, "most": weighed.high, "weak": weak,
            "strong": strong, "dose": dose, "exponent": n, "enough": enough.to("g"), "cautions": (),
            "sentence": f"You want {{mass:3}}. The scale shows {display_of(shown, step)} for anything from {{least:4}} to {{most:4}}, a dose of "
                        f"{{low:3}} to {{high:3}}. {agent.capitalize()} then sets {plain(weak, 2)} to "
                        f"{plain(strong, 2)} times as firm as meant. From a batch of {{enough:2}} this scale holds firmness to a tenth."}


def stage_scale(look):
    figure, (shown, firm) = look.panels(2)
    for axes in (shown, firm):
        axes.set(xlim=(0, 200))
    shown.set(xlabel="in the bowl (% of what you want)", ylim=(0, 1), yticks=[])
    firm.set(xlabel="dose (% of what you want)", ylabel="firmness\n(times what was meant)", ylim=(0, 4.5))
    firm.axhline(1, **STILL)
    for axes in (shown, firm):
        axes.axvline(100, **STILL)
    moving = {"steps": shown.add_collection(LineCollection([], color=KINDS["mass"]["color"], linewidth=1.5)),
              "span": shown.add_patch(Rectangle((0, 0.25), 0, 0.35, facecolor=KINDS["mass"]["color"], alpha=0.35)),
              "says": shown.text(100, 0.9, "", ha="center", va="top"),
              "curve": firm.plot([], [], KINDS["strength"]["linestyle"], color=KINDS["strength"]["color"])[0],
              "part": firm.plot([], [], "-", color=KINDS["strength"]["color"], linewidth=7, alpha=0.45, solid_capstyle="butt")[0],
              "ends": firm.plot([], [], KINDS["strength"]["marker"], color=KINDS["strength"]["color"])[0]}
    shown.text(2, 0.02, "lines: what the display can show", va="bottom")
    return figure, moving


def place_scale(moving, reading, look):
    percent = lambda mass: 100 * (mass / reading["mass"]).m_as("dimensionless")
    step = percent(reading["step"])
    at = np.arange(0, min(201 / step, 400) + 1) * step
    moving["steps"].set_segments([[(x, 0.2), (x, 0.65)] for x in at] if step > 1 else [])
    low, high = percent(reading["least"]), percent(reading["most"])
    moving["span"].set(x=low, width=max(high - low, 0.4))
    moving["says"].set_text(f"the scale shows {display_of(reading['shown'], reading['step'])}")
    dose = np.linspace(0, 200, 101)
    n = reading["exponent"]
    moving["curve"].set_data(dose, (dose / 100) ** n)
    part = np.linspace(low, high, 30) if reading["strong"] else np.array([])
    moving["part"].set_data(part, (part / 100) ** n)
    moving["ends"].set_data(part[[0, -1]] if part.size else [], (part[[0, -1]] / 100) ** n if part.size else [])


scale = Explorer(
    (Choice("agent", "gelling agent", ("agar", "gelatin"), "agar"),
     Slider("dose", "dose wanted", "percent", 0.05, 10, 1, 0.01, log=True),
     Slider("batch", "batch", "g", 50, 5000, 200, 10, log=True),
     Choice("step", "the scale shows steps of", ("1 g", "0.1 g", "0.01 g"), "1 g"),
     Choice("bowl", "bowl set to zero first", ("one reading", "tared"), "one reading")),
    read_scale, stage_scale, place_scale, title="Your dose on this scale",
    alt="Left: what may lie in the bowl when the display shows one number, against what you want. Right: what that does to firmness.")
