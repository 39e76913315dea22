"""Lesson 20: one sphere from drop-in to service; salts against each other; the bath over a service; bubbles while the base rests."""
import functools
import math

import numpy as np
from matplotlib.patches import Circle, Rectangle

from ... import alginate as base
from ... import baths, calcium, cautions, drops, spheres
from ...spread import Spread, spread
from ...tables import kinds, row
from ...units import OutOfRange, Q_, plain, si_number
from ..figures import INK, KINDS, STATES, STILL, THINGS, WALL, above, band, set_band, step_axis, to_scale
from ..panel import Choice, Explorer, Slider

LIFT = Q_(5, "s")                        # on the slotted spoon
CELLS = ((2.4, 1), (5.5, 2), (14, 5), (36, 10))    # widest sphere that a place in the picture holds, and its scale bar, mm
THINNEST = 0.005                         # mm: below, there is no shell to speak of
TALLEST = 0.9                            # of its place, for the widest sphere


def salts():
    """Every calcium salt whose calcium and solubility are known; a name without its hydrate is not among them, the shelf's come last."""
    return tuple(key for key in kinds() if key.startswith("calcium ") and {"calcium", "solubility"} <= set(row(key)) or _own_salt(key))


def _own_salt(key):
    return key not in kinds(own=False) and {"calcium", "solubility"} <= set(row(key))


def alginates():
    """Dry alginate, the powder as it is weighed, and what the shelf has of it, with the factor from a cut sphere."""
    shipped = kinds("sodium alginate", own=False)
    return tuple(key for key in kinds("sodium alginate") if key in ("sodium alginate", "sodium alginate as weighed") or key not in shipped)


def _choking():
    return tuple(text for text in cautions.for_("spheres") if "choke" in text)


# --- spheres cut through, to scale -----------------------------------------------------------------------------------------------------
def stage_cut(axes, look, names):
    """Places for cut spheres beside each other; the scale of all of them jumps, so that the widest fits. Returns what moves."""
    axes.set(xlim=(0, len(names)), ylim=(-0.85, 1.18), aspect="equal", xticks=[], yticks=[])
    axes.axis("off")
    small = 0.85 * look.style()["font.size"]
    for n, name in enumerate(names):
        axes.text(n + 0.5, -0.06, name, ha="center", va="top", fontsize=small)
    axes.text(0.03, 1.17, "cut through, to scale; dotted: shell, in mm", va="top", fontsize=small)
    rims = [axes.add_patch(Circle((n + 0.5, 0.5), 0, facecolor=THINGS["set"], edgecolor=INK, hatch=STATES["set"], linewidth=1.2)) for n in range(len(names))]
    hearts = [axes.add_patch(Circle((n + 0.5, 0.5), 0, facecolor=THINGS["liquid"], edgecolor=INK, linewidth=0.8)) for n in range(len(names))]
    says = [axes.text(n + 0.5, -0.3, "", ha="center", va="top", fontsize=small) for n in range(len(names))]
    return {"rims": rims, "hearts": hearts, "says": says, "bar": axes.plot([], [], color=INK, linewidth=2.5)[0],
            "bar says": axes.text(0, -0.7, "", va="center", fontsize=small)}


def place_cut(moving, outer, inner, shells):
    """Radii and shells in mm, one a place; a sphere without gel is all liquid."""
    cell, bar = next((c for c in CELLS if c[0] >= 2 * max(outer)), CELLS[-1])
    unit = TALLEST / cell
    for rim, heart, says, big, small, shell in zip(moving["rims"], moving["hearts"], moving["says"], outer, inner, shells):
        rim.set_radius(big * unit)
        rim.set_visible(shell > THINNEST)                           # hatching is slow
        heart.set_radius(small * unit)
        says.set_text(plain(shell, 2) if shell > THINNEST else "none")
    moving["bar"].set_data([0.06, 0.06 + bar * unit], [-0.7, -0.7])
    moving["bar says"].set_text(f"{bar} mm")
    moving["bar says"].set_x(0.12 + bar * unit)


# --- 1. one sphere -------------------------------------------------------------------------------------------------------------------------
STAGES = ("drop-in", "lift", "rinsed", "mid-hold", "service")
LOG_TIMES = ((1, "1 s"), (10, "10 s"), (60, "1 min"), (600, "10 min"), (3600, "1 h"))


def _minutes(seconds):
    """Seconds up to two minutes, minutes past that."""
    return seconds.to("s") if seconds.m_as("s") < 120 else seconds.to("min")


@functools.lru_cache(64)
def _solid(strength, dose, gel):
    """Seconds from which a sphere of 1 mm radius ends solid unless rinsed; in proportion to the radius squared."""
    return Q_(spheres.solid_after.si(0.002, strength, dose, gel)[1], "s")


def read_shell(method, salt, dose, product, alginate, diameter, bath, rinse, hold, hold_in):
    gel, direct = row(product), method == "direct"
    strength = calcium.concentration(dose, row(salt), "w/v")
    got = spheres.reading(diameter=diameter, calcium=strength, dose=alginate, alginate=gel, bath_time=bath, lift=LIFT, rinse=rinse, hold=hold,
                          hold_in=hold_in, method=method)
    ran, seconds = got.history, bath.m_as("s")
    ends = np.cumsum([0, seconds, LIFT.m + rinse.m_as("s"), hold.m_as("s") / 2, hold.m_as("s") / 2])
    shells = np.interp(ends, ran.time.m, ran.shells.m)
    capacity, moves = spheres.binding_capacity.si(si_number(alginate), gel), spheres.diffusivity.si(gel.si("diffusivity_temperature"), gel)
    bathing = np.geomspace(1, seconds, 40)
    flat = (spheres.planar_shell if direct else spheres.reverse_planar).si(bathing, si_number(strength), capacity, moves)
    shortcut = spheres.planar_shortcut.si(bathing, si_number(strength), capacity, moves)
    radius = diameter.m_as("mm") / 2
    reading = {"strength": strength, "ratio": si_number(strength) / capacity, "at_lift": got.at_lift, "shell": got.shell, "core": got.core,
               "loose": Q_(float(np.interp(seconds, ran.time.m, ran.uptakes.m - capacity * (1 - ran.cores.m / 100))), "mmol/L"),
               "flat": Q_(1e3 * flat[-1], "mm"), "shortcut": Q_(1e3 * shortcut[-1], "mm"), "diameter": diameter, "bath": bath, "rinse": rinse,
               "hold": hold, "dose": dose, "ends": ends, "shells": shells, "run": (ran.time.m, ran.shells.m), "direct": direct,
               "bathing": bathing, "flats": 1e3 * flat, "shortcuts": 1e3 * shortcut,
               "outer": np.full(5, radius) if direct else radius + shells, "inner": np.maximum(radius - shells, 0) if direct else np.full(5, radius),
               "cautions": _choking()}
    if direct:
        reading["solid"] = _minutes(_solid(si_number(strength), si_number(alginate), gel) * radius ** 2)
        reading["sentence"] = (
            f"{{dose:2}} of {salt} is {{strength:2}} of calcium, {plain(reading['ratio'], 2)} times what the gel can hold. At the lift the "
            "shell is {at_lift}, with {loose:2} of loose calcium in it. At service it is {shell}, with {core} of the sphere liquid: "
            f"{got.words}. Unrinsed and held long, it gels through from {{solid:2}} in the bath. At the lift the flat rule says {{flat:2}}, "
            "the shortcut {shortcut:2}.")
    else:
        reading["most"] = spheres.reverse_limit(diameter, strength, Q_(capacity, "mmol/L"))
        reading["sentence"] = (
            f"Reverse: {{dose:2}} of {salt} is in the liquid, {{strength:2}} of calcium, and the alginate is the bath. The shell grows outwards: "
            f"{{at_lift}} at the lift, {{shell}} at service, and {{core}} of it all is liquid: {got.words}. "
            + ("It stops when the alginate is rinsed off." if rinse.m > 0 or hold_in != spheres.HOLDS[0] else
               "Never rinsed, it goes on in the alginate that clings.")
            + " With all its calcium used up the shell is at most {most:2}. The flat rule says {flat:2} at the lift.")
    return reading


def stage_shell(look):
    figure, (cut, curve) = look.panels(2, (5.4, 4), (2, 3))
    moving = stage_cut(cut, look, STAGES)
    curve.set(xscale="log", xlim=(1, 4500), ylim=(0, 2), xlabel="time since drop-in", ylabel="shell (mm)")
    curve.set_xticks([t for t, _ in LOG_TIMES], [words for _, words in LOG_TIMES])
    curve.minorticks_off()
    moving |= {"curve": curve,
               "run": curve.plot([], [], linestyle=KINDS["size"]["linestyle"], color=KINDS["size"]["color"], label="this sphere")[0],
               "flat": curve.plot([], [], "-", **STILL, label="flat, exact")[0],
               "shortcut": curve.plot([], [], ":", color=STILL["color"], linewidth=2, label="flat, shortcut")[0],
               "marks": curve.plot([], [], KINDS["time"]["marker"], color=KINDS["time"]["color"], markeredgecolor=INK,
                                   label="lift, rinsed, service")[0],
               "spread": [curve.plot([], [], color=KINDS["size"]["color"], linewidth=1.2, marker="_")[0] for _ in range(2)]}
    above(curve, look)
    return figure, moving


def place_shell(moving, reading, look):
    place_cut(moving, reading["outer"], reading["inner"], reading["shells"])
    time, shells = reading["run"]
    moving["run"].set_data(time, shells)
    moving["flat"].set_data(reading["bathing"], reading["flats"])
    moving["shortcut"].set_data(*((reading["bathing"], reading["shortcuts"]) if reading["direct"] else ([], [])))
    ends, shells = reading["ends"], reading["shells"]
    moving["marks"].set_data(ends[[1, 2, 4]], shells[[1, 2, 4]])
    for line, at, value in zip(moving["spread"], ends[[1, 4]], (reading["at_lift"], reading["shell"])):
        line.set_data([at, at], [value.low.m_as("mm"), value.high.m_as("mm")])
    return step_axis(moving["curve"], "y", max(reading["shell"].high.m_as("mm"), reading["shortcut"].m), (0.5, 1, 2, 4, 8, 16))


SALT = Choice("salt", "calcium salt", salts, "calcium chloride dihydrate")
DOSE = Slider("dose", "salt in the bath", "percent", 0.3, 1.5, 0.5, 0.01)
ALGINATE = Slider("alginate", "sodium alginate", "percent", 0.4, 1.0, 0.5, 0.01)
DIAMETER = Slider("diameter", "sphere, across", "mm", 2, 30, 4, 0.1, log=True)
BATH = Slider("bath", "time in the bath", "s", 5, 300, 60, 1, log=True)

shell = Explorer(
    (Choice("method", "method", ("direct", "reverse"), "direct"),
     SALT,
     Choice("product", "alginate", alginates, "sodium alginate"),
     DOSE, ALGINATE, DIAMETER, BATH,
     Slider("rinse", "rinse in stirred water", "s", 0, 60, 0, 1),
     Slider("hold", "hold until service", "min", 0, 60, 10, 1),
     Choice("hold_in", "meanwhile", spheres.HOLDS, "drained")),
    read_shell, stage_shell, place_shell, title="One sphere, from drop-in to service",
    alt="Left: the sphere cut through, to scale, at drop-in, lift, after the rinse, half-way through the hold and at service; the shell dotted. "
        "Right: thickness of the shell against time, with the exact line for a flat one, the shortcut beside it, and the spread at lift and "
        "service.")


# --- 2. one salt for another ---------------------------------------------------------------------------------------------------------------
WAYS = ("first salt", "same grams", "same calcium")


def read_salts(salt, dose, other, volume, alginate, diameter, bath):
    first, second, gel = row(salt), row(other), row("sodium alginate")
    strength, swapped = calcium.concentration(dose, first, "w/v"), calcium.concentration(dose, second, "w/v")
    grams = Q_(10 * dose.m_as("percent") * volume.m_as("L"), "g")
    equal = calcium.equal_mass(grams, first, second)
    try:
        calcium.concentration(Q_(equal.m / volume.m_as("L") / 10, "percent"), second, "w/v")
        dissolves = True
    except OutOfRange:
        dissolves = False
    thick, thin = (1e3 * spheres.history.si(si_number(diameter), si_number(c), si_number(alginate), gel, si_number(bath))[0] for c in (strength, swapped))
    shells = [thick, thin, thick]
    free = calcium.free(strength, second)
    return {"grams": grams, "equal": equal, "strength": strength, "swapped": swapped, "share": (swapped / strength).to("percent"),
            "thin": Q_(thin, "mm"), "shell": Q_(thick, "mm"), "free": free.share, "shells": shells, "radius": diameter.m_as("mm") / 2,
            "contents": [grams.m * calcium.content.si(first), grams.m * calcium.content.si(second), equal.m * calcium.content.si(second)],
            "volume": volume, "bath": bath, "diameter": diameter,
            "cautions": tuple(t for t in cautions.for_("spheres") if t.startswith("Calcium salts")) if "chloride anhydrous" in salt + other else (),
            "sentence":
                f"{{grams:2}} of {salt} in {{volume:2}} of bath bring {{strength:2}} of calcium and a shell of {{shell:2}} in {{bath:2}}. "
                f"The same grams of {other} bring {{swapped:2}}, {{share:2}} of it, and {{thin:2}}. For the same calcium take {{equal:3}}"
                + ("." if dissolves else ": so much does not dissolve at 20 °C, so this salt cannot stand in at this strength.")
                + (" Of its calcium {free:2} is free at a time; its own anion holds the rest and lets go as the gel takes the free." if free.share.m < 99.5
                   else "")}


def stage_salts(look):
    figure, (bars, cut) = look.panels(2, (4, 3.6), (2.6, 2.4))
    bars.set(xlim=(0, 20), ylim=(-0.5, 2.95), yticks=[], xlabel=look.label("salt", "g") + "; hatched: its calcium")
    bars.grid(axis="y", visible=False)
    moving = stage_cut(cut, look, WAYS)
    moving |= {"bars": bars, "salt": [], "calcium": [], "amounts": []}
    for n, words in enumerate(WAYS):
        at = 2 - n
        moving["salt"].append(bars.add_patch(Rectangle((0, at - 0.22), 0, 0.42, facecolor=KINDS["mass"]["color"], alpha=0.35, edgecolor=INK)))
        moving["calcium"].append(bars.add_patch(Rectangle((0, at - 0.22), 0, 0.42, facecolor=KINDS["mass"]["color"], hatch="////", edgecolor="white")))
        bars.text(0, at + 0.26, words, va="bottom")
        moving["amounts"].append(bars.text(1, at + 0.26, "", va="bottom", ha="right", transform=bars.get_yaxis_transform()))
    return figure, moving


def place_salts(moving, reading, look):
    place_cut(moving, [reading["radius"]] * 3, [reading["radius"] - s for s in reading["shells"]], reading["shells"])
    gram = look.number(Q_(1, "g"))
    grams = [look.number(reading[name], "g") for name in ("grams", "grams", "equal")]
    for n, (whole, content, strength) in enumerate(zip(grams, reading["contents"], ("strength", "swapped", "strength"))):
        moving["salt"][n].set_width(whole)
        moving["calcium"][n].set_width(gram * content)
        moving["amounts"][n].set_text(f"{plain(whole, 3)} {look.unit('g')}, {plain(reading[strength].m, 2)} mmol/L")
    return step_axis(moving["bars"], "x", max(grams), tuple(gram * t for t in (4, 10, 30, 100, 300, 1000)))


swap = Explorer(
    (SALT,
     Choice("other", "salt in its place", salts, "calcium lactate pentahydrate"),
     DOSE, ALGINATE,
     Slider("volume", "bath", "L", 0.5, 10, 1, 0.1, log=True),
     DIAMETER, BATH),
    read_salts, stage_salts, place_salts, title="One calcium salt for another",
    alt="Left: grams of the first salt, the same grams of the other, and the grams of the other that bring the same calcium; the calcium in "
        "each hatched. Right: the sphere that each bath gives at the lift, cut through, to scale.")


# --- 3. the bath over a service ------------------------------------------------------------------------------------------------------------
RUN = 60                                 # batches worked out
SPENT = 5                                # per cent: below, `baths.service` only goes on in proportion


@functools.lru_cache(64)
def _served(batch, volume, diameter, strength, alginate, bath, carried):
    """Strengths, shells [mm] and the uptake of the first batch [mol/m³], all SI in."""
    gel = row("sodium alginate", own=False)
    strengths, shells, _ = baths.service.si(RUN, batch, volume, diameter, strength, alginate, gel, bath, carried)
    return strengths, 1e3 * shells, spheres.history.si(diameter, strength, alginate, gel, bath)[2]


def read_bath(salt, dose, alginate, volume, batch, portion, spoon, diameter, bath, batches, left):
    strength, n = calcium.concentration(dose, row(salt), "w/v"), int(batches)
    carried = batch * spoon.m_as("percent") / 100
    strengths, shells, uptake = _served(*(si_number(q) for q in (batch, volume, diameter, strength, alginate, bath, carried)))
    share = 100 * strengths / strengths[0]
    until = float(np.interp(-left.m_as("percent"), -share, np.arange(RUN + 1))) if share[-1] < left.m_as("percent") else None
    spheres_mass = Q_(n * batch.m_as("g"), "g")
    whole = baths.litres_for(spheres_mass, left, strength, Q_(uptake, "mmol/L"), n * carried)
    reading = {"strength": strength, "after": Q_(share[n], "percent"), "first": Q_(shells[0], "mm"), "last": Q_(shells[n - 1], "mm"),
               "used": Q_(1e-3 * uptake * row("calcium chloride dihydrate", own=False).molar_mass.m_as("g/mol"), "g"), "whole": whole,
               "spheres": spheres_mass, "left": left, "volume": volume, "share": share, "batches": n, "until": until, "portion": portion,
               "radius": diameter.m_as("mm") / 2, "cautions": ()}
    plates = n * (batch / portion).m_as("dimensionless")
    times = "batch" if n == 1 else "batches"
    if until is None:
        when = f"Even after {RUN} batches more than {{left:2}} of it is there."
    elif until < 1:
        when = "The very first batch brings it under {left:2}: take more bath, or fewer spheres at once."
    else:
        reading["until_mass"] = Q_(math.floor(until) * batch.m_as("g"), "g")
        plates_until = math.floor(math.floor(until) * (batch / portion).m_as("dimensionless") + 1e-9)
        when = (f"Change it after {math.floor(until)} {'batch' if until < 2 else 'batches'}, {{until_mass:3}} of spheres or "
                f"{plain(plates_until, max(len(str(plates_until)), 1))} portions: then {{left:2}} of it is left.")
    reading["sentence"] = (
        f"A kilogram of such spheres takes as much calcium as {{used:2}} of dihydrate hold. After {n} {times}, "
        f"{{spheres:3}} or about {plain(plates, 2)} portions, the bath is "
        + (f"at {{after:2}} of its strength, and the shell at the lift has gone from {{first:2}} to {{last:2}}. " if share[n] >= SPENT else
           f"spent: less than {SPENT} % of its strength is left, of a shell of {{first:2}} hardly anything. ")
        + f"{when} To serve all that from one bath and keep {{left:2}}, take {{whole:2}} of it.")
    return reading


def stage_bath(look):
    figure, (cut, curve) = look.panels(2, (2.6, 4), (2, 2.6))
    moving = stage_cut(cut, look, ("first batch", "this batch"))
    curve.set(xlim=(0, RUN), ylim=(0, 104), xlabel="batches", ylabel="strength (% of fresh)")
    moving |= {"strength": curve.plot([], [], linestyle=KINDS["dose"]["linestyle"], color=KINDS["dose"]["color"], label="the bath")[0],
               "left": curve.plot([], [], **STILL, linestyle="--", label="change here")[0],
               "now": curve.plot([], [], KINDS["dose"]["marker"], color=KINDS["dose"]["color"], markeredgecolor=INK, label="after these")[0],
               "until": curve.plot([], [], "|", color=INK, markersize=18, markeredgewidth=2)[0]}
    above(curve, look, 3)
    return figure, moving


def place_bath(moving, reading, look):
    shells = [reading["first"].m, reading["last"].m]
    place_cut(moving, [reading["radius"]] * 2, [max(reading["radius"] - s, 0) for s in shells], shells)
    moving["strength"].set_data(np.arange(RUN + 1), reading["share"])
    left = reading["left"].m_as("percent")
    moving["left"].set_data([0, RUN], [left, left])
    moving["now"].set_data([reading["batches"]], [reading["after"].m])
    moving["until"].set_data(*([], []) if reading["until"] is None else ([reading["until"]], [left]))


service = Explorer(
    (SALT, DOSE, ALGINATE,
     Slider("volume", "bath", "L", 0.5, 10, 1, 0.1, log=True),
     Slider("batch", "batch", "g", 20, 400, 100, 10, log=True),
     Slider("portion", "portion", "g", 5, 60, 20, 1),
     Slider("spoon", "liquid on the spoon, of the spheres", "percent", 0, 10, 7, 1),
     Slider("batches", "batches", "", 1, RUN, 10, 1),
     Slider("left", "change the bath when this is left", "percent", 50, 95, 80, 1),
     DIAMETER, BATH),
    read_bath, stage_bath, place_bath, title="The bath over a service",
    alt="Left: a sphere of the first batch and one of this batch at the lift, cut through, to scale. Right: strength of the bath against "
        "batches, with the line at which it is changed.")


# --- 4. the base at rest -------------------------------------------------------------------------------------------------------------------
SEEN = Q_(0.1, "mm")                     # from here the eye sees a bubble, and a pearl floats on it
BUBBLES = np.repeat([0.03, 0.05, 0.1, 0.2, 0.5], (60, 50, 40, 25, 10))        # mm across; made, to watch
PLACES = np.random.default_rng(20).random((2, len(BUBBLES)))
JUG, TALL, DRAWN = 120, 205, 20          # mm; bubbles are drawn so many times too big
WEAK_REST = ("one_percent_viscosity", "viscosity_exponent", "viscosity_per_degree")
RESTS = np.geomspace(1, 1440, 40)        # min


def grades():
    """Alginates by the viscosity of their sheet; the shelf's last."""
    return tuple(key for key in kinds("sodium alginate") if key not in ("sodium alginate", "sodium alginate as weighed"))


@functools.lru_cache(64)
def _thick(dose, temperature, grade):
    return spread(base.viscosity.si, WEAK_REST, dose=dose, temperature=temperature, grade=grade)


def read_rest(grade, dose, depth, temperature, rest):
    thick = _thick(si_number(dose), si_number(temperature), row(grade))
    deep = si_number(depth)
    left = Spread(*(Q_(1e3 * base.bubble_left.si(si_number(rest), deep, eta)[0], "mm") for eta in thick))
    seconds = [base.time_to_clear.si(si_number(SEEN), deep, eta)[0] for eta in thick]
    clear = Spread(*(Q_(s, "s").to("min" if seconds[1] < 7200 else "hour") for s in seconds))
    rise = si_number(rest) * drops.stokes_speed.si(1e-3 * BUBBLES, 1010.0 - 1.2, thick.mid) * 1e3
    height = depth.m_as("mm") * PLACES[1] + rise
    stands = base.hydration(rest.to("hour"), temperature)
    return {"thick": Spread(*(Q_(1e3 * eta, "mPa*s") for eta in thick)), "bubble": left, "clear": clear, "depth": depth, "rest": rest,
            "temperature": temperature, "height": np.where(height < depth.m_as("mm"), height, np.nan), "seen": SEEN,
            "curve": Spread(*(np.sqrt(18 * eta * deep / (1008.8 * 9.80665 * 60 * RESTS)) * 1e3 for eta in thick)), "cautions": (),
            "sentence": "At {temperature:2} this base is {thick} thick. After {rest:2} under {depth:2} the largest bubble still on its way is "
                        "{bubble} across. Those of {seen:1}, the smallest that the eye sees, are out after {clear}; a flat tray, or less "
                        f"depth, is quicker in proportion. Wetted through? {stands[0].upper()}{stands[1:]}."}


def stage_rest(look):
    figure, (jug, curve) = look.panels(2, (3, 4), (3, 2.6))
    to_scale(jug, 150, 250, 50)
    jug.plot([15, 15, 15 + JUG, 15 + JUG], [TALL, 0, 0, TALL], color=WALL, linewidth=2)
    jug.text(0, 250, f"to scale; bubbles × {DRAWN}", va="top", fontsize=0.8 * look.style()["font.size"])
    moving = {"base": jug.add_patch(Rectangle((15, 0), JUG, 0, facecolor=THINGS["liquid"], edgecolor=INK)), "jug": jug, "bubbles": [
        jug.plot([], [], "o", markerfacecolor="white", markeredgecolor=WALL, markeredgewidth=0.7)[0] for _ in np.unique(BUBBLES)]}
    curve.set(xscale="log", yscale="log", xlim=(1, 1440), ylim=(0.005, 5), xlabel="rest", ylabel="largest bubble left (mm)")
    curve.set_xticks([1, 15, 60, 480, 1440], ["1 min", "15", "1 h", "8 h", "24 h"])
    curve.set_yticks([0.01, 0.1, 1], ["0.01", "0.1", "1"])
    curve.minorticks_off()
    curve.axvspan(15, 30, facecolor=KINDS["time"]["color"], alpha=0.25, hatch="//", label="15 to 30 min")
    curve.axhline(SEEN.m, **STILL, linestyle="--", label="the eye sees it")
    moving |= {"band": band(curve, KINDS["size"]["color"]), "curve": curve.plot([], [], linestyle=KINDS["size"]["linestyle"], color=KINDS["size"]["color"],
                                                                               label="this base")[0],
               "now": curve.plot([], [], KINDS["size"]["marker"], color=KINDS["size"]["color"], label="this rest")[0]}
    above(curve, look)
    return figure, moving


def place_rest(moving, reading, look):
    jug = moving["jug"]
    moving["base"].set_height(reading["depth"].m_as("mm"))
    pixels = np.diff(jug.transData.transform([(0, 0), (1, 0)])[:, 0])[0]
    for line, size in zip(moving["bubbles"], np.unique(BUBBLES)):
        mine = BUBBLES == size
        line.set_data(18 + (JUG - 6) * PLACES[0][mine], reading["height"][mine])
        line.set_markersize(max(size * DRAWN * pixels * 72 / jug.figure.dpi, 1))
    set_band(moving["band"], RESTS, reading["curve"])
    moving["curve"].set_data(RESTS, reading["curve"].mid)
    moving["now"].set_data([reading["rest"].m_as("min")], [reading["bubble"].mid.m])


rest = Explorer(
    (Choice("grade", "alginate", grades, "sodium alginate food grade"),
     Slider("dose", "sodium alginate", "percent", 0.3, 1.0, 0.5, 0.01),
     Slider("depth", "depth of the base", "mm", 10, 200, 50, 5),
     Slider("temperature", "temperature", "degC", 3, 35, 20, 1),
     Slider("rest", "rest", "min", 1, 1440, 30, 1, log=True)),
    read_rest, stage_rest, place_rest, title="Bubbles while the base rests",
    alt="Left: a jug to scale with the bubbles that are still in it, drawn larger than they are. Right: the largest bubble left against the "
        "time of rest, with the band of 15 to 30 minutes and the size from which the eye sees one.")
