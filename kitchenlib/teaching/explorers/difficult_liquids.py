"""Lesson 21: where a liquid lies on the map of acid and calcium; what citrate does to its pH, its taste and the shell; what to hold spheres in."""
import functools

import numpy as np
from matplotlib.patches import Circle, Patch, Polygon, Rectangle
from scipy.ndimage import distance_transform_edt

from ... import acidity, calcium as salts, cautions, liquids, mixes, solutions, spheres
from ...mixes import Mix
from ...spread import Spread, of
from ...tables import kinds, row
from ...units import Q_, plain, show, si_number
from ..figures import GREY, INK, KINDS, SAMPLES, SORTS, STATES, STILL, THINGS, WALL, above, band, set_band, step_axis, to_scale
from ..panel import Choice, Explorer, Slider

COLORS = tuple(face for face, _ in SORTS[:len(liquids.VERDICTS)])
PHS, CALCIUMS = np.linspace(1.8, 7, 80), np.geomspace(3, 3000, 56)
LEFT = ", left end: the table's"
SEEN = (0.008, 10)                                                                  # calcium to one guluronate, as drawn
LITRE = 1.04                                                                        # kg, as in liquids.verdict_of


def _only(*starts):
    return tuple(text for text in cautions.for_("spheres", "serving") if text.startswith(starts))


def foods():
    """Liquids of the tables, and of your shelf, of which pH, calcium and kind are known."""
    names = [name for name in kinds() if all(fact in row(name) for fact in ("liquid_kind", "calcium", "ph"))]
    return tuple(sorted(names))


# --- 5. the map --------------------------------------------------------------------------------------------------------------------
def read_chart(liquid, batch, dose, ph, acidity_told, calcium, alcohol):
    food, alginate = row(liquid), row("sodium alginate")
    known, own = food.fact("ph"), []
    facts = {name: Q_(1000 * LITRE * food.si(f"{name}_acid"), "g/L") for name in acidity.ACIDS if f"{name}_acid" in food}
    facts.update({name: food.fact(column).value for name, column in (("alcohol", "alcohol"), ("sugar", "sugars")) if column in food})
    if ph > PHS[0]:
        own.append("pH")
    at = ph if ph > PHS[0] else float(known.value)
    if acidity_told.m > 0:
        own.append("acid")
        held = {name: facts.pop(name) for name in acidity.ACIDS if name in facts}
        main = max(held, key=lambda name: held[name].m, default="citric")
        as_main = acidity.told_as_another(acidity_told, row("citric acid", own=False), row(f"{main} acid", own=False))
        facts[main] = Q_(min(acidity.acid_behind(as_main, at, row(f"{main} acid", own=False)).m, 1000.0), "g/L")
    if calcium.m > CALCIUMS[0]:
        own.append("calcium")
    total = calcium if calcium.m > CALCIUMS[0] else food.fact("calcium").value.to("mg/kg")
    if alcohol.m > 0:
        own.append("alcohol")
        facts["alcohol"] = alcohol
    kind = row(food.fact("liquid_kind").value)
    more = {**facts, "salt": row("trisodium citrate dihydrate"), "method": row("direct spheres")}
    found = liquids.verdict(at, total, kind, dose, alginate, **more)
    *_, codes = liquids.chart(kind, dose, alginate, PHS, Q_(CALCIUMS, "mg/kg"), **more)
    ratios = [salts.per_guluronate.si(si_number(end), dose.m_as("percent") / 100, alginate) for end in found.free]
    reading = {"liquid": liquid, "batch": batch, "ph": at, "calcium": total, "word": found.word, "codes": codes, "free": found.free,
               "ratios": ratios, "kind": kind.key,
               "spans": (at, at) if "pH" in own or known.low is None else (float(known.low), float(known.high)),
               "cautions": _only("Small firm beads") + (("This one holds an allergen of many lists, " + food.fact("allergen").value
                                                         + ": it stays so inside a sphere. Say it when asked, and before.",)
                                                        if "allergen" in food else ())}
    grams = ""
    if found.citrate is not None:
        reading["grams"] = Q_(1, "L") * si_number(batch) / LITRE * (1 + (found.water or 0.0)) * found.citrate
        grams = " For {batch:2} that is {grams:2} of citrate in all."
    reading["sentence"] = (f"{liquid[0].upper()}{liquid[1:]}, {kind.key}: pH {plain(at, 3)}, {show(total, 2)} of calcium in all"
                           + (f" ({', '.join(own)} as you measured, the rest of the tables)" if own else " (all of the tables: measure yours)")
                           + f". Verdict: {found.word}, since " + found.reason + grams)
    return reading


def stage_chart(look):
    figure, (chart, beads) = look.panels(2, (3, 1.1), (1.9, 1))
    x, y = (PHS[0], PHS[-1]), tuple(np.log10(CALCIUMS[[0, -1]]))
    ticks = (3, 10, 30, 100, 300, 1000, 3000)
    chart.set(xlim=x, ylim=y, xlabel="pH", ylabel="calcium in all (mg/kg)", yticks=np.log10(ticks), yticklabels=[f"{t:,}" for t in ticks])
    chart.grid(False)
    moving = {"map": chart.imshow(np.zeros((2, 2, 4), np.uint8), extent=(*x, *y), origin="lower", aspect="auto", interpolation="nearest", zorder=1)}
    low, high = liquids.edge()
    moving["edge"] = [chart.axvline(end, color=INK, linestyle=(0, (2, 2)), linewidth=1, zorder=2) for end in (low, high)]
    moving["numbers"] = [chart.text(0, 0, str(n + 1), ha="center", va="center", weight="bold", zorder=3) for n in range(len(COLORS))]
    moving["span"] = chart.plot([], [], color=INK, linewidth=2, zorder=4)[0]
    moving["liquid"] = chart.plot([], [], "o", color=INK, markeredgecolor="white", markeredgewidth=1.5, markersize=10, zorder=5)[0]
    chart.legend(handles=[Patch(facecolor=color, edgecolor=INK, label=f"{n} {word}")
                          for n, (color, word) in enumerate(zip(COLORS, liquids.VERDICTS), 1)],
                 loc="lower left", bbox_to_anchor=(-0.02, 1.0), ncols=2 if look.size == "narrow" else 3, frameon=False, borderaxespad=0.2,
                 columnspacing=1.0, handlelength=1.0, handletextpad=0.4)
    beads.set(xlim=(0, 1), ylim=SEEN, yscale="log", xticks=[], ylabel="calcium per guluronate" if look.size != "narrow" else "Ca per G")
    beads.set_yticks([0.01, 0.1, 1, 10], ["0.01", "0.1", "1", "10"])
    beads.grid(False)
    floor = SEEN[0]
    for (top, words), dark in zip(salts.BANDS, (0, 0.08, 0.2, 0.3)):
        top = min(top, SEEN[1])
        beads.axhspan(floor, top, facecolor=(INK, dark), edgecolor=STILL["color"], linewidth=0.5)
        words = {"thick, lumps of weak gel": "lumps", "a little thicker": "thicker", "sets in the blender": "sets"}.get(words, words)
        beads.text(0.97, np.sqrt(floor * top), words, ha="right", va="center", fontsize=0.8 * look.style()["font.size"])
        floor = top
    moving["free"] = beads.plot([], [], color=KINDS["dose"]["color"], linewidth=5, solid_capstyle="butt")[0]
    moving["mid"] = beads.plot([], [], "o", color=INK, markeredgecolor="white")[0]
    return figure, moving


def place_chart(moving, reading, look):
    codes = reading["codes"]
    moving["map"].set_data(_paint()[codes])
    for n, words in enumerate(moving["numbers"]):
        inside = np.pad(codes == n, 1)
        words.set_visible(bool(inside.any()))
        if inside.any():
            depth = distance_transform_edt(inside)[1:-1, 1:-1]
            at = np.unravel_index(depth.argmax(), depth.shape)
            words.set_position((PHS[at[1]], np.log10(CALCIUMS[at[0]])))
    height = np.log10(min(max(reading["calcium"].m, CALCIUMS[0]), CALCIUMS[-1]))
    moving["span"].set_data(reading["spans"], [height, height])
    moving["liquid"].set_data([reading["ph"]], [height])
    low, mid, high = (min(max(ratio, SEEN[0] * 1.05), SEEN[1] / 1.05) for ratio in reading["ratios"])
    moving["free"].set_data([0.25, 0.25], [low, high])
    moving["mid"].set_data([0.25], [mid])


@functools.cache
def _paint():
    return np.array([[int(color[i:i + 2], 16) for i in (1, 3, 5)] + [255] for color in COLORS], np.uint8)


chart = Explorer(
    (Choice("liquid", "liquid", foods, "raspberry"),
     Slider("dose", "sodium alginate", "percent", 0.3, 1, 0.5, 0.05),
     Slider("batch", "batch", "g", 50, 5000, 500, 10, log=True),
     Slider("ph", f"pH{LEFT}", "", 1.8, 7, 1.8, 0.05),
     Slider("acidity_told", f"titratable acid, told as citric{LEFT}", "g/L", 0, 60, 0, 0.5),
     Slider("calcium", f"calcium in all{LEFT}", "mg/kg", 3, 3000, 3, 1, log=True),
     Slider("alcohol", f"alcohol by mass{LEFT}", "percent", 0, 40, 0, 1)),
    read_chart, stage_chart, place_chart, title="The map of acid and calcium",
    alt="Left: a map of pH across and calcium up, painted and numbered by verdict, with the liquid as a dot and dashed lines at the pKa of "
        "alginate's two sugar acids. Right: the free calcium for each guluronate, low to high, beside the bands from wets well to sets in the "
        "blender.")


# --- 6. citrate ----------------------------------------------------------------------------------------------------------------------
PEARL = 6.0                                                  # mm, drawn


def _behind(acid, told, at):
    """(pH, acid behind it kg/m³, whether the pH asked for was too sour for so much acid)."""
    pure, asked = row(f"{acid} acid", own=False), at
    while (found := float(acidity.acid_behind.si(told, at, pure))) <= 0 or acidity.ph.si(**{acid: found}) > at:
        at = max(at, float(acidity.ph.si(**{acid: told}))) + 0.01
    return at, found, at > asked


def read_citrate(acid, acidity_told, ph, to_ph, dose, bath, time):
    salt, alginate = row("trisodium citrate dihydrate"), row("sodium alginate")
    start, grams, sour = _behind(acid, si_number(acidity_told), ph)
    excess, held = of(salt, "citrate_excess"), {acid: grams}
    grid = np.linspace(start, max(6.5, to_ph), 60)
    _, ideal, davies, _ = acidity.citrate_dose.si(start, grid, salt, **held)
    first, ideal_there, davies_there, high = (float(x) for x in acidity.citrate_dose.si(start, to_ph, salt, **held))
    alone = float(acidity.citrate_by_ph_alone.si(start, to_ph, salt))
    likely, own = davies_there * excess.mid, grams / row("citric acid", own=False).si("molar_mass") if acid == "citric" else 0.0
    calcium = salts.concentration.si(bath.m_as("percent") / 100, row("calcium chloride dihydrate"), "w/v")
    alg = dose.m_as("percent") / 100
    least, most = liquids.shell_beside_citrate.si(own + excess.mid * davies / salt.si("molar_mass"), grid, calcium, alg, alginate)
    here = [float(x) for x in liquids.shell_beside_citrate.si(own + likely / salt.si("molar_mass"), to_ph, calcium, alg, alginate)]
    plain_shell = 1000 * spheres.planar_shell.si(si_number(time), calcium, spheres.binding_capacity.si(alg, alginate),
                                                spheres.diffusivity.si(alginate.si("diffusivity_temperature"), alginate))
    noticed, limit = of(salt, "taste_noticed"), of(salt, "taste_limit")
    taste = ("nobody will taste it" if likely < noticed.low.m else "some will taste it" if likely < limit.low.m
             else "most will taste it, and about there it is unpleasant" if likely < limit.high.m
             else "it tastes of citrate and soap: thin it, or go the reverse way")
    reading = {"likely": Spread(*(Q_(davies_there * x, "g/L") for x in excess)), "ideal": Q_(ideal_there, "g/L"), "to_ph": to_ph,
               "davies": Q_(davies_there, "g/L"), "first": Q_(first, "g/L"), "alone": Q_(1000 * alone, "mg/L"), "time": time,
               "times": ideal_there / alone, "grid": grid, "curves": (ideal, davies), "real": Spread(*(davies * x for x in excess)),
               "shell_grid": excess.mid * davies, "shells": Spread(100 * least, 100 * most, 100 * most), "ends": [100 * x for x in here],
               "shell": Q_(plain_shell, "mm"), "thin": Q_(plain_shell * here[0], "mm"), "thick": Q_(plain_shell * here[1], "mm"),
               "start": start, "cautions": _only("Calcium salts")}
    reading["sentence"] = (
        (f"So little {acid} acid is never as sour as pH {plain(ph, 3)}: measure again. Worked from pH {plain(start, 3)}. " if sour else "")
        + f"To pH {plain(to_ph, 3)}: {{likely:2}} of trisodium citrate; the ideal sum says {{ideal:2}}, with Davies {{davies:2}}. Weigh in "
        "{first:2}, then measure.")
    reading["more"] = (f"Going by the pH alone gives {{alone:2}}, {{times:2}} times too little. At the full dose {taste}. Of the {{shell:2}} of shell "
                       "after {time:2} it leaves, with the liquid's own citrate, {thin:2} to {thick:2}.")
    return reading


def stage_citrate(look):
    figure, (curve, shell, pearls) = look.panels(3, (2.6, 1.4, 1.1), (2.4, 1.5, 1.3))
    salt = row("trisodium citrate dihydrate")
    limit, noticed = of(salt, "taste_limit"), of(salt, "taste_noticed")
    dose = "citrate added (g/L)"
    curve.set(xlim=(0, 12), ylim=(2, 6), xlabel=dose, ylabel="pH")
    curve.axhspan(*liquids.edge(), facecolor=GREY, hatch="//", edgecolor=STILL["color"], alpha=0.6, label="alginate drops out")
    curve.axvspan(limit.low.m, limit.high.m, facecolor=KINDS["acidity"]["color"], alpha=0.2, hatch="..", label="unpleasant")
    curve.axvline(noticed.mid.m, **STILL, label="noticed")
    moving = {"real": band(curve, KINDS["dose"]["color"], label="real, low to high"),
              "ideal": curve.plot([], [], color=STILL["color"], linestyle=":", label="ideal: too little")[0],
              "davies": curve.plot([], [], color=STILL["color"], linestyle="--", label="Davies")[0],
              "point": curve.plot([], [], KINDS["dose"]["marker"], color=KINDS["dose"]["color"], markeredgecolor=INK, label="your aim")[0]}
    curve.legend(loc="lower left", bbox_to_anchor=(-0.02, 1.0), ncols=2, frameon=False, borderaxespad=0.2, columnspacing=1.0, handlelength=1.6,
                 fontsize=0.85 * look.style()["font.size"])
    shell.set(xlim=(0, 12), ylim=(0, 105), xlabel=dose, ylabel="shell\n(% of that without)")
    moving["shells"] = band(shell, KINDS["size"]["color"], "//")
    moving["ends"] = shell.plot([], [], "_-", color=INK, markersize=12)[0]
    moving["axes"] = (curve, shell)
    wide = look.size != "narrow"
    to_scale(pearls, *((PEARL + 1.6, 2 * PEARL + 4.8) if wide else (2 * PEARL + 3, PEARL + 2)), 2)
    moving["pearls"] = []
    small = 0.85 * look.style()["font.size"]
    for n, words in enumerate(("without citrate", "with it")):
        x, y = (0.8 + PEARL / 2, PEARL * 1.5 + 2.6 - n * (PEARL + 2.3)) if wide else (PEARL / 2 + 0.5 + n * (PEARL + 1.5), PEARL / 2 + 0.2)
        pearls.add_patch(Circle((x, y), PEARL / 2, facecolor=THINGS["set"], edgecolor=INK, hatch=STATES["set"], linewidth=1.2))
        moving["pearls"].append(pearls.add_patch(Circle((x, y), PEARL / 2, facecolor=THINGS["liquid"], edgecolor=INK, linewidth=0.8)))
        pearls.text(x, y + PEARL / 2 + 0.15, words, ha="center", va="bottom", fontsize=small)
    return figure, moving


def place_citrate(moving, reading, look):
    ideal, davies = reading["curves"]
    moving["ideal"].set_data(ideal, reading["grid"])
    moving["davies"].set_data(davies, reading["grid"])
    low, _, high = reading["real"]
    x = np.linspace(0, high[-1], 120)                        # a band over the dose: at each the lowest and the highest pH
    set_band(moving["real"], x, Spread(np.interp(x, high, reading["grid"]), None, np.interp(x, low, reading["grid"])))
    likely = reading["likely"].mid.m
    moving["point"].set_data([likely], [reading["to_ph"]])
    set_band(moving["shells"], reading["shell_grid"], reading["shells"])
    moving["ends"].set_data([likely, likely], reading["ends"])
    for core, shell in zip(moving["pearls"], (reading["shell"], reading["thick"])):
        core.set_radius(max(PEARL / 2 - shell.m, 0))
    curve, beside = moving["axes"]
    tops = (12, 40, 130, 500)
    jumped = step_axis(curve, "x", 1.3 * likely, tops)
    return step_axis(beside, "x", 1.3 * likely, tops) or jumped


citrate = Explorer(
    (Choice("acid", "acid", acidity.ACIDS, "citric"),
     Slider("acidity_told", "titratable acid, told as it", "g/L", 1, 60, 13, 0.5, log=True),
     Slider("ph", "pH as measured", "", 2, 3.65, 3.4, 0.05),
     Slider("to_ph", "wanted pH", "", 3.7, 5.5, 3.7, 0.05),
     Slider("dose", "sodium alginate", "percent", 0.3, 1, 0.5, 0.05),
     Slider("bath", "calcium chloride dihydrate in the bath", "percent", 0.2, 2, 0.5, 0.1),
     Slider("time", "time in the bath", "s", 10, 300, 60, 10)),
    read_citrate, stage_citrate, place_citrate, title="Citrate: pH, taste and shell",
    alt="Left: pH over the citrate added, as an ideal line, a line with Davies' rule and a band of real doses, with the band where alginate "
        "drops out and the doses that are tasted. Middle: the shell that is left, as a band. Right: two cut pearls to scale, without and with "
        "citrate, dotted where set.")


# --- 7. hold it in what ------------------------------------------------------------------------------------------------------------------
HELD, SUGARS, PARTS = ("water", "its own liquid", "syrup"), ("table sugar", "fruit sugars"), ("by the scale", "by the jug")
BOWL, FULL = (80.0, 66.0), 40.0                              # mm


def _sweet(brix, sugars="table sugar"):
    """A Mix of 1 kg of this °Brix as a fraction."""
    parts = {"water": Q_(1 - brix, "kg")}
    parts.update({"sucrose": Q_(brix, "kg")} if sugars == "table sugar" else {name: Q_(brix / 2, "kg") for name in ("glucose", "fructose")})
    return Mix({name: mass for name, mass in parts.items() if mass.m > 0})


@functools.cache
def _lines():
    """°Brix, water activity and density [kg/m³] of sugar syrups."""
    brix = np.linspace(0, 0.75, 31)
    return 100 * brix, [solutions.water_activity.si(_sweet(b)) for b in brix], [mixes.density.si(_sweet(b), 293.15) for b in brix]


def read_hold(inside, sugars, held, syrup, measured, simmered, diameter, temperature):
    own = si_number(inside)
    asked = si_number(syrup)
    parts = asked / (1 - asked)                              # of sugar, to one of water
    got = solutions.syrup.si(parts, 1.0, "mass" if measured == PARTS[0] else "volume", row("sugar"))
    other = solutions.syrup.si(parts, 1.0, "volume" if measured == PARTS[0] else "mass", row("sugar"))
    boiled = solutions.simmered.si(got, si_number(simmered))
    around = {"water": 0.0, "its own liquid": own, "syrup": boiled}[held]
    sphere, liquid = _sweet(own, sugars), _sweet(around, sugars if held == "its own liquid" else "table sugar")
    found = solutions.holding(sphere, liquid, temperature)
    words = solutions.holding_words(found)
    outer = mixes.density.si(liquid, si_number(temperature))
    sunk = min(1.0, 1 + found.heavier.m / outer)             # share of a floating sphere below the surface
    reading = {"inside": inside, "around": Q_(100 * around, "brix"), "found": found, "diameter": diameter, "sunk": sunk, "pressure": abs(found.outward),
               "densities": (outer + found.heavier.m, outer), "cautions": _only("Small firm beads")}
    bowl = {"water": "water", "its own liquid": "its own liquid",
            "syrup": f"syrup of {show(reading['around'], 3)}"}[held]
    told = ""
    if held == "syrup":
        told = (f"One part of water to {plain(parts, 3)} of sugar {measured} is {show(Q_(100 * got, 'brix'), 3)}, "
                f"{PARTS[measured == PARTS[0]]} {show(Q_(100 * other, 'brix'), 3)}"
                + (f"; simmered it is {show(Q_(100 * boiled, 'brix'), 3)}" if simmered.m > 0 else "")
                + (". More sugar than stays dissolved cold: it will crystallise." if boiled > 0.67 else "."))
    reading["sentence"] = (
        f"A sphere of {show(inside, 2)} in {bowl}: water activity {plain(found.inside, 4)} inside, {plain(found.outside, 4)} around. {words}"
        + (" It pulls with {pressure:2} at first." if reading["pressure"].m > 0.05 else "")
        + (" The syrup is no safe store: keep them cold, serve them the same day." if found.outside < 0.97 else ""))
    reading["more"] = told
    return reading


def stage_hold(look):
    figure, (bowl, activity, heavy) = look.panels(3, (1.5, 1.2, 1.2), (1.7, 1.5, 1.5))
    small = 0.85 * look.style()["font.size"]
    to_scale(bowl, *BOWL, 20)
    bowl.add_patch(Rectangle((2, 0), BOWL[0] - 4, FULL, facecolor=THINGS["water"], edgecolor="none"))
    bowl.plot([2, 2, BOWL[0] - 2, BOWL[0] - 2], [FULL + 6, 0, 0, FULL + 6], color=WALL, linewidth=2)
    bowl.plot([2, BOWL[0] - 2], [FULL, FULL], color=WALL, linewidth=1)
    bowl.text(2, BOWL[1], "arrows: the water's way;\ncrossed: dries in the air", va="top", fontsize=small)
    moving = {"sphere": bowl.add_patch(Circle((40, 10), 10, facecolor=THINGS["set"], edgecolor=INK, linewidth=2, zorder=3)),
              "dry": bowl.add_patch(Polygon([(0, 0), (0, 0), (0, 0)], facecolor="white", edgecolor=INK, hatch=STATES["broken"], zorder=4)),
              "arrows": bowl.quiver(*np.zeros((2, 6)), np.ones(6), np.ones(6), color=KINDS["dose"]["color"], angles="xy", scale_units="xy",
                                    scale=1, width=0.012, zorder=5)}
    brix, activities, densities = _lines()
    for axes, values, label, lim in ((activity, activities, "water activity", (0.75, 1.005)), (heavy, densities, "density (kg/m³)", (980, 1400))):
        axes.plot(brix, values, color=STILL["color"], label="sugar in water")
        axes.set(xlim=(0, 75), ylim=lim, xlabel="°Brix", ylabel=label)
    marks = ((SAMPLES["A"]["marker"], SAMPLES["A"]["color"], "the sphere", 7, 4), (SAMPLES["B"]["marker"], SAMPLES["B"]["color"], "around it", 11, 3))
    for name, axes in (("activity", activity), ("heavy", heavy)):
        moving[name] = [axes.plot([], [], mark, color=color, markeredgecolor="white", markersize=size, clip_on=False, zorder=zorder, label=words)[0]
                        for mark, color, words, size, zorder in marks]
    above(activity, look, 1)
    return figure, moving


def place_hold(moving, reading, look):
    r, sunk, floats = reading["diameter"].m / 2, reading["sunk"], reading["found"].heavier.m < -2
    sinks = reading["found"].heavier.m > 2
    depth = _depth(sunk) * 2 * r                             # below the surface
    at = (BOWL[0] / 2, FULL - depth + r if floats else r + 0.5 if sinks else FULL / 2)
    moving["sphere"].set(center=at, radius=r)
    angle = np.arccos(np.clip((depth - r) / r, -1, 1)) if floats else 0.0            # half the angle of the dry cap
    turn = np.pi / 2 + np.linspace(-angle, angle, 24)
    moving["dry"].set_xy(np.column_stack([at[0] + r * np.cos(turn), at[1] + r * np.sin(turn)]))
    pull = reading["found"].outward.m
    even = abs(reading["found"].inside - reading["found"].outside) < 0.001
    moving["arrows"].set_visible(not even)
    length = 0.0 if even else 3 + min(abs(pull), 12) * 0.5
    ways = np.pi * np.array([0.02, 0.98, 1.2, 1.8, 0.2, 0.8])
    ways = ways if not sinks else np.pi * np.array([0.02, 0.98, 0.25, 0.75, 0.5, 0.5])
    unit = np.array([np.cos(ways), np.sin(ways)])
    begin = np.array(at)[:, None] + unit * (r + 1 + (0 if pull > 0 else length))
    moving["arrows"].set_offsets(begin.T)
    moving["arrows"].set_UVC(*(unit * length * np.sign(pull)))
    x = (reading["inside"].m, reading["around"].m)
    for name, values in (("activity", (reading["found"].inside, reading["found"].outside)), ("heavy", reading["densities"])):
        for point, where, value in zip(moving[name], x, values):
            point.set_data([where], [value])


def _depth(sunk):
    """Depth of a floating sphere, of its diameter, where `sunk` of its volume is under water: s = 3 d**2 - 2 d**3."""
    depth = np.linspace(0, 1, 201)
    return float(np.interp(sunk, 3 * depth ** 2 - 2 * depth ** 3, depth))


hold = Explorer(
    (Choice("sugars", "sugar in the sphere", SUGARS, "table sugar"),
     Choice("held", "hold it in", HELD, "syrup"),
     Slider("inside", "the sphere's liquid", "brix", 0, 40, 12, 1),
     Slider("syrup", "syrup, as asked for", "brix", 5, 60, 50, 1),
     Choice("measured", "syrup measured", PARTS, "by the scale"),
     Slider("simmered", "boiled off", "percent", 0, 20, 0, 1),
     Slider("diameter", "sphere, across", "mm", 4, 30, 20, 1),
     Slider("temperature", "temperature", "degC", 2, 30, 5, 1)),
    read_hold, stage_hold, place_hold, title="Hold it in what",
    alt="Left: a bowl to scale with the sphere floating or sunk, arrows that show the way the water goes, and a crossed cap where it dries. "
        "Middle and right: water activity and density over °Brix, with the sphere and what is around it as points.")
