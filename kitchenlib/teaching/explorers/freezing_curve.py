"""Lesson 40: the freezing curve of a base with the ice in its syrup; sweetness against softness when one sugar is swapped for another."""
import functools

import numpy as np
from matplotlib.patches import PathPatch, Rectangle
from matplotlib.path import Path
from scipy.spatial import Voronoi

from ... import cautions, cryo, mixes, solutions
from ...mixes import Mix
from ...spread import Spread
from ...tables import records, row
from ...units import OutOfRange, Q_, plain, si_number
from ..figures import INK, KINDS, STILL, THINGS, above, measured
from ..panel import Choice, Explorer, Slider

BASES = {"plain: sugar and water": "", "sweet: raspberry sorbet": "raspberry sorbet", "savoury: carrot ice": "carrot ice",
         "dairy: buttermilk ice": "buttermilk ice"}
LIMIT = {"sugar", "dextrose", "salt"}    # what the sliders add; the rest of a made base is its liquid
COLD_BITE = Q_(-14, "degC")              # colder than this the caution about tongue and lips stands by the picture: our choice, no threshold is known
COLD_END = -20                            # of the picture of the curve, °C


def target():
    """The share of frozen water that scoops well, as SI floats: low, middle, high."""
    fact = row("serving").fact("wanted_frozen_share")
    return [si_number(end) for end in (fact.low, fact.value, fact.high)]


def _liquid(name):
    """A made base without its sugar and salt, 1 kg of it, with the user's own foods where the shelf has them."""
    if not name:
        return Mix({"water": Q_(1, "kg")})
    kept = {row(food.key): Q_(kg, "kg") for food, kg in cryo.base(name).parts.items() if food.key not in LIMIT}
    return Mix(kept).scaled(Q_(1, "kg"))


def _base(liquid, sugars, dextrose, salt, alcohol):
    """1 kg of liquid, sugars to make up the share, salt and alcohol; shares of the whole as floats."""
    own, rest = liquid.si_share("sugars"), 1 - salt - alcohol
    added = max(0.0, (sugars - own * rest) / (1 - own))
    parts = {food: Q_(kg * (rest - added), "kg") for food, kg in liquid.parts.items()}
    more = {"sucrose": added * (1 - dextrose), "glucose": added * dextrose, "salt": salt, "alcohol": alcohol}
    return Mix({**parts, **{row(key): Q_(kg, "kg") for key, kg in more.items() if kg > 0}})


def _left(mix, frozen):
    """The syrup between the crystals when so much of the water is ice."""
    return mix.boiled(Q_(frozen * mix.si_total("water"), "kg"))


def _share(mix, celsius):
    """Frozen share at a temperature as a Spread [percent]: the curve, moved by what the weak constants do to its syrup's freezing point."""
    at = si_number(celsius)
    mid = float(cryo.frozen_share.si(mix, at))
    if mid <= 0:
        return Spread(*(Q_(0, "percent"),) * 3)
    low, _, high = (si_number(t) for t in solutions.uncertain(solutions.freezing_point, _left(mix, mid)))
    ends = np.maximum(cryo.curve(mix)[0][-1], 2 * at - np.array([low, high]))
    return Spread(*(Q_(100 * float(s), "percent") for s in sorted((mid, *cryo.frozen_share.si(mix, ends)))))


def _serving(mix):
    """(temperature for the least, for the greatest share wanted) [degC], None where the base never freezes so far."""
    found = []
    for frozen in target()[::2]:
        try:
            found.append(Q_(float(cryo.serving_temperature.si(mix, frozen)) - solutions.ICE_POINT, "degC"))
        except OutOfRange:
            found.append(None)
    return found


def _area(mix, frozen):
    """Share of the volume, so of a cut's area, that is ice."""
    ice = frozen * mix.si_total("water") / 917
    left = _left(mix, frozen)
    return ice / (ice + left.kg / mixes.density.si(left, solutions.ICE_POINT))


def _verdict(frozen):
    """How it scoops, judged by the share of the water that is ice [percent]."""
    low, _, high = (100 * share for share in target())
    runs, near = row("scoop").keeps_shape_share.m, 5
    return ("nothing of it is frozen" if frozen <= 0 else "it runs" if frozen < runs else "too soft to scoop well" if frozen < low - near else
            "a little soft" if frozen < low else "it scoops well" if frozen <= high else "a little hard" if frozen < high + near else
            "too hard to scoop")


def _cautions(base, temperature, alcohol):
    told = (temperature < COLD_BITE, "very cold food"), ("dairy" in base, "milk ices"), (alcohol, "alcohol ices")
    return cautions.for_(*(name for applies, name in told if applies))


# --- crystals in their syrup ---------------------------------------------------------------------------------------------------------
@functools.cache
def _cells(across=12):
    """(corners, their cell's middle, codes) of irregular cells that fill a unit square; each shrunk about its middle is a crystal."""
    dice = np.random.default_rng(4)
    grid = (np.stack(np.meshgrid(*2 * [np.arange(across)]), -1).reshape(-1, 2) + dice.uniform(0.15, 0.85, (across ** 2, 2))) / across
    mirrored = [grid * (1 - 2 * np.eye(2)[axis]) + 2 * side * np.eye(2)[axis] for axis in (0, 1) for side in (0, 1)]
    drawn = Voronoi(np.concatenate((grid, *mirrored)))
    corners, middles, codes = [], [], []
    for region in drawn.point_region[:len(grid)]:
        cell = drawn.vertices[drawn.regions[region]]
        x, y = cell.T
        cross = x * np.roll(y, -1) - np.roll(x, -1) * y
        middle = ((cell + np.roll(cell, -1, 0)) * cross[:, None]).sum(0) / (3 * cross.sum())
        corners.append(np.concatenate((cell, cell[:1])))
        middles.append(np.broadcast_to(middle, corners[-1].shape))
        codes += [Path.MOVETO, *(Path.LINETO,) * (len(cell) - 1), Path.CLOSEPOLY]
    return np.concatenate(corners), np.concatenate(middles), codes


def _field(axes, left=0.0):
    """A field of syrup from (left, 0) to (left + 1, 1) with its crystals, to be grown by `_grow`."""
    corners, _, codes = _cells()
    axes.add_patch(Rectangle((left, 0), 1, 1, facecolor=THINGS["syrup"], edgecolor=INK, linewidth=1.5))
    return axes.add_patch(PathPatch(Path(corners + (left, 0), list(codes)), facecolor=THINGS["ice"], edgecolor=INK, linewidth=0.7))


def _grow(crystals, area, left=0.0):
    corners, middles, _ = _cells()
    crystals.get_path().vertices = middles + np.sqrt(area) * (corners - middles) + (left, 0)


def _bare(axes):
    axes.set(aspect="equal", xticks=[], yticks=[])
    axes.axis("off")


# --- 1. the curve --------------------------------------------------------------------------------------------------------------------
@functools.cache
def _points(solute):
    """(°C, share of solute) of the measured freezing points of a sugar in water."""
    found = [(p["freezing_point"].m, si_number(p["share"])) for p in records("solutions_freezing") if p["solute"] == solute and p["how"] == "read"]
    return np.array(found).T


def _measured(base, sugars, dextrose, salt, alcohol):
    """Frozen share [percent] from measured freezing points alone, where the base is one sugar in water: what is left has that share."""
    if BASES[base] or salt > 0 or alcohol > 0 or 0 < dextrose < 1:
        return np.empty((2, 0))
    at, share = _points("glucose" if dextrose else "sucrose")
    frozen = 1 - sugars / (1 - sugars) * (1 - share) / share
    return np.array([at, 100 * frozen])[:, frozen >= 0]


def _line(share, mix, begins):
    """(°C, frozen share in per cent) of a curve, from the cold end of the picture to where it begins, closest where it is steep."""
    celsius = np.append(-np.geomspace(-COLD_END, max(-begins, 0.01), 80), 0)
    return celsius, 100 * share(mix, celsius + solutions.ICE_POINT)


def read_curve(base, sugars, dextrose, salt, alcohol, temperature):
    liquid, (s, d, n, a) = _liquid(BASES[base]), (si_number(x) for x in (sugars, dextrose, salt, alcohol))
    mix = _base(liquid, s, d, n, a)
    at, frozen, (warm, cold) = cryo.curve(mix)[0], _share(mix, temperature), _serving(mix)
    mid = si_number(frozen.mid)
    linear = 100 * float(cryo.linear_frozen_share.si(mix, si_number(temperature)))
    begins, straight = float(at[0]) - solutions.ICE_POINT, solutions.linear_freezing_point.si(cryo.particles.si(mix))
    reading = {"at": temperature, "frozen": frozen, "begins": Q_(begins, "degC"), "warm": warm, "cold": cold,
               "ice": Q_(100 * mid * mix.si_share("water"), "percent"), "sweet": Q_(100 * cryo.sweetness.si(mix), "percent"),
               "linear": Q_(linear, "percent"), "linear off": linear / mid - 100 if mid > 0 else None, "all off": 100 / mid - 100 if mid > 0 else None,
               "own": Q_(100 * mix.si_share("sugars"), "percent"), "area": _area(mix, mid),
               "curve": _line(cryo.frozen_share.si, mix, begins), "rule": _line(cryo.linear_frozen_share.si, mix, straight - solutions.ICE_POINT),
               "points": _measured(base, s, d, n, a), "cautions": _cautions(base, temperature, a > 0)}
    serve = ("65 to 70 % of its water is ice at {warm:2} to {cold:2}: serve it there." if cold is not None else
             "So much of it never freezes above -45 °C: fewer sugars, less alcohol.")
    reading["sentence"] = (
        f"At {{at:2}}, {{frozen:2}} of its water is ice: {_verdict(100 * mid)}. The first ice comes at {{begins:2}}. {serve} "
        "It is as sweet as {sweet:2} sucrose."
        + (" For this temperature the linear rule says {linear:2}, " + f"{plain(abs(reading['linear off']), 2)} % too "
           f"{'much' if reading['linear off'] >= 0 else 'little'}; that all water freezes is {plain(reading['all off'], 2)} % too much."
           if mid > 0 else "")
        + (" Its liquid alone brings {own:2} of sugars." if mix.si_share("sugars") > s + 5e-4 else ""))
    return reading


def stage_curve(look):
    figure, (field, axes, bars) = look.panels(3, (1.5, 2.2, 1.2), (2.1, 2.6, 1.8))
    field.set(xlim=(-0.02, 1.02), ylim=(-0.02, 1.16))
    _bare(field)
    field.text(0, 1.04, "pale: ice")
    low, _, high = target()
    axes.set(xlabel=look.label("temperature", "degC"), ylabel="ice (% of the water)",
             xlim=tuple(look.number(Q_(t, "degC")) for t in (COLD_END, 0)), ylim=(0, 103))
    axes.locator_params("x", nbins=5)
    axes.axhspan(100 * low, 100 * high, facecolor=KINDS["strength"]["color"], alpha=0.2, hatch="//", label="scoops well")
    style = {name: KINDS["strength"][name] for name in ("color", "linestyle")}
    moving = {"crystals": _field(field), "curve": axes.plot([], [], **style, label="this base")[0],
              "rule": axes.plot([], [], color=STILL["color"], linestyle="--", label="linear rule")[0],
              "serve": axes.plot([], [], color=KINDS["temperature"]["color"], linewidth=5, solid_capstyle="butt", label="serve it here")[0],
              "points": measured(axes, [], [], "pure sugar")[0],
              "at": axes.plot([], [], "o", color=KINDS["temperature"]["color"], markeredgecolor=INK)[0]}
    above(axes, look)
    bars.set(xlim=(0, 100), ylim=(-0.4, 2.9), yticks=[], xlabel="ice (% of the water)")
    bars.grid(axis="y", visible=False)
    for at, words in ((2, "curve"), (1, "linear rule, off by"), (0, "all freezes, off by")):
        colour = KINDS["strength"]["color"] if at == 2 else STILL["color"]
        moving[f"bar {at}"] = bars.add_patch(Rectangle((0, at - 0.3), 0, 0.5, facecolor=colour, alpha=0.4, edgecolor=INK))
        bars.text(0, at + 0.23, words, va="bottom")
        moving[f"says {at}"] = bars.text(2, at - 0.06, "", va="center")
    return figure, moving


def place_curve(moving, reading, look):
    _grow(moving["crystals"], reading["area"])
    for name in ("curve", "rule"):
        celsius, frozen = reading[name]
        moving[name].set_data(look.number(Q_(celsius, "degC")), frozen)
    warm, cold = reading["warm"], reading["cold"]
    moving["serve"].set_data([look.number(cold), look.number(warm)] if cold is not None else [], [1.5, 1.5] if cold is not None else [])
    at, frozen = reading["points"]
    moving["points"].set_data(look.number(Q_(at, "degC")), frozen)
    mid = reading["frozen"].mid.m
    moving["at"].set_data([look.number(reading["at"])], [mid])
    for at, value, off in ((2, mid, None), (1, reading["linear"].m, reading["linear off"]), (0, 100.0, reading["all off"])):
        moving[f"bar {at}"].set_width(value)
        moving[f"says {at}"].set_text(f"{plain(mid, 2)} %" if at == 2 else "" if off is None else f"{'-' if off < 0 else '+'}{plain(abs(off), 2)} %")


curve = Explorer(
    (Choice("base", "base", tuple(BASES), "plain: sugar and water"),
     Slider("sugars", "sugars in it", "percent", 3, 35, 25, 0.5),
     Slider("dextrose", "of what is added, dextrose (dry)", "percent", 0, 100, 0, 5),
     Slider("salt", "salt added", "percent", 0, 2, 0, 0.1),
     Slider("alcohol", "alcohol by mass", "percent", 0, 10, 0, 0.5),
     Slider("temperature", "temperature", "degC", -20, -2, -8, 0.5)),
    read_curve, stage_curve, place_curve, title="How much of it is ice",
    alt="Left: a field of syrup with its crystals, the share of the area that is ice. Middle: share of the water that is ice against temperature, "
        "with the linear rule, the band that scoops well and measured points. Right: that share by the curve, by the linear rule and if all "
        "water froze.")


# --- 2. sweetness against softness ------------------------------------------------------------------------------------------------------
MADE = {name: base for name, base in BASES.items() if base}
INTO = ("dextrose", "fructose", "invert sugar", "maltose", "sugar", "water", "alcohol")
COLDEST = Q_(-25, "degC")                # the picture ends here


def _swapped(name, out, into, grams, salt):
    """(1 kg of a made base, the same with its sugar taken out and something put in, sugar taken out in kg)."""
    before = cryo.base(name).scaled(Q_(1, "kg"))
    parts = {row(food.key): kg for food, kg in before.parts.items()}
    sugar = row("sugar")
    gone = min(out, parts.get(sugar, 0.0))
    if gone:
        parts[sugar] -= gone
    for key, kg in ((into, grams), ("salt", salt)):
        parts[row(key)] = parts.get(row(key), 0.0) + kg
    return before, Mix({food: Q_(kg, "kg") for food, kg in parts.items()}), gone


def read_balance(base, out, into, grams, salt, freezer):
    before, after, gone = _swapped(MADE[base], *(x if isinstance(x, str) else si_number(x) for x in (out, into, grams, salt)))
    reading = {"freezer": freezer, "gone": Q_(1000 * gone, "g"), "grams": grams, "salt": salt,
               "cautions": _cautions(base, freezer, into == "alcohol" and grams.m > 0)}
    for name, mix in (("before", before), ("after", after)):
        frozen = float(cryo.frozen_share.si(mix, si_number(freezer)))
        warm, cold = _serving(mix)
        reading |= {f"{name} sweet": Q_(100 * cryo.sweetness.si(mix), "percent"), f"{name} power": float(cryo.freezing_power.si(mix)),
                    f"{name} frozen": Q_(100 * frozen, "percent"), f"{name} warm": warm, f"{name} cold": cold, f"{name} area": _area(mix, frozen)}

    def told(name):
        serve = f"to be served at {{{name} warm:2}} to {{{name} cold:2}}" if reading[f"{name} cold"] is not None else "never two thirds frozen"
        return f"as sweet as {{{name} sweet:2}} sucrose, freezing power {plain(reading[f'{name} power'], 2)}, {serve}"
    short = " There is no more sugar in it to take out." if si_number(out) > gone + 1e-9 else ""
    swap = f"{{gone:2}} of sugar out, {{grams:2}} of {into} in" + (", {salt:2} of salt" if salt.m > 0 else "") + ", for each kilogram."
    reading["sentence"] = (f"{swap}{short} Before: {told('before')}. After: {told('after')}. In a freezer at {{freezer:2}}, {{before frozen:2}} of the "
                           f"water was ice, now {{after frozen:2}}: {_verdict(reading['after frozen'].m)}.")
    return reading


def stage_balance(look):
    figure, (field, axes) = look.panels(2, (1.5, 2), (1.6, 2.6))
    field.set(xlim=(-0.02, 2.14), ylim=(-0.28, 1.16))
    _bare(field)
    moving = {}
    for name, left in (("before", 0.0), ("after", 1.12)):
        moving[f"{name} crystals"] = _field(field, left)
        field.text(left, 1.04, name)
        moving[f"{name} says"] = field.text(left + 1, 1.04, "", ha="right")
    field.text(0, -0.2, "pale: ice, % of the water")
    colour = KINDS["temperature"]["color"]
    axes.set(xlabel="as sweet as so much sucrose (%)", ylabel=look.label("65 to 70 % ice at", "degC"), xlim=(0, 35),
             ylim=tuple(look.number(t) for t in (COLDEST, Q_(0, "degC"))))
    moving["freezer"] = axes.plot([0, 35], [0, 0], color=colour, linestyle="--", label="the freezer")[0]
    moving["before"] = axes.plot([], [], color=STILL["color"], marker="s", markerfacecolor="white", label="before")[0]
    moving["after"] = axes.plot([], [], color=colour, marker="o", label="after")[0]
    moving["swap"] = axes.plot([], [], color=INK, linewidth=1)[0]
    above(axes, look, 3)
    return figure, moving


def place_balance(moving, reading, look):
    freezer, middles = look.number(reading["freezer"]), []
    moving["freezer"].set_ydata([freezer, freezer])
    for name, left in (("before", 0.0), ("after", 1.12)):
        _grow(moving[f"{name} crystals"], reading[f"{name} area"], left)
        moving[f"{name} says"].set_text(f"{plain(reading[f'{name} frozen'].m, 2)} %")
        ends = [] if reading[f"{name} cold"] is None else [look.number(reading[f"{name} {end}"]) for end in ("warm", "cold")]
        sweet = [reading[f"{name} sweet"].m] * len(ends)
        moving[name].set_data(sweet, ends)
        middles += [(sweet[0], sum(ends) / 2)] if ends else []
    moving["swap"].set_data(*(zip(*middles) if len(middles) == 2 else ([], [])))


balance = Explorer(
    (Choice("base", "base", tuple(MADE), "dairy: buttermilk ice"),
     Choice("into", "in the sugar's place", INTO, "dextrose"),
     Slider("out", "sugar out, from 1 kg", "g", 0, 150, 50, 5),
     Slider("grams", "so much put in", "g", 0, 150, 50, 5),
     Slider("salt", "salt put in", "g", 0, 20, 0, 1),
     Slider("freezer", "freezer", "degC", -20, -4, -12, 0.5)),
    read_balance, stage_balance, place_balance, title="Sweetness against softness",
    alt="Left: a field of the base as it was and as it is now, each with its crystals in the freezer. Right: how sweet each is and at which "
        "temperatures 65 to 70 % of its water is ice, with the freezer's temperature as a line.")
