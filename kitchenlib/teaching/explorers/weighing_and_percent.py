"""Lesson 01: what the scale leaves open, in the dose and in the gel; one dose told on four bases."""
import numpy as np
from matplotlib.patches import Polygon, Rectangle

from ... import weighing
from ...tables import kinds, row
from ...units import OutOfRange, Q_, plain, show
from ..figures import INK, KINDS, STATES, STILL, THINGS, WALL, above
from ..panel import Choice, Explorer, Slider
from .gel_strength import display_of

BATCHES = np.geomspace(50, 5000, 41)                                      # g
HALVES = (1, 5, 20, 100, 300)                                             # half width of the picture of the error bars, %
PLATE = {"facecolor": "white", "edgecolor": "none", "pad": 0.5}            # under words that stand on a line
RISE = 0.7                                                                # height of a heap of powder over its radius


# --- 1. the weighing -----------------------------------------------------------------------------------------------------------
def agents():
    """Gelling agents whose firmness follows a power of the dose: agar and gelatin first, the shelf's last."""
    return tuple(sorted((k for k in kinds() if "dose_exponent" in row(k)), key=lambda k: ("agar", "gelatin").index(k) if k in ("agar", "gelatin") else 9))


def read_weigh(agent, dose, batch, step, pot_step, bowl, within):
    mass, exponent = weighing.of_total(dose, batch), row(agent).dose_exponent
    step = Q_(float(step.split()[0]), "g")
    pot = step if pot_step == "the same scale" else Q_(float(pot_step.split()[0]), "g")
    shown = round((mass / step).m_as("")) * step
    enough = weighing.smallest_batch(dose, step, within, bowl)
    common = {"mass": mass, "shown": shown, "step": step, "batch": batch, "enough": enough, "within": within, "cautions": (),
              "curve": _off_by(dose, step, pot, bowl)}
    common["curves"] = common["curve"], exponent * common["curve"]
    if shown.m <= 0:
        return {**common, "ends": None, "heaps": None, "off": None,
                "sentence": "You want {mass:2}, and this scale still shows 0. It doses so within {within:2} from a batch of "
                            "{enough:2}" + _else(common, dose, bowl)}
    got = weighing.dose_weighed(shown, batch, step, pot, bowl)
    meant = (got.dose / dose).m_as("")
    firm = weighing.carried(min(got.relative, Q_(100, "percent")), exponent)
    ends = [100 * meant * (1 + sign * 2 * got.relative.m_as("")) for sign in (-1, 0, 1)]
    firm_ends = [meant ** exponent * part for part in (firm.low.m_as("percent"), 100, firm.high.m_as("percent"))]
    off = 2 * got.relative
    near = off <= within * (1 + 1e-9)
    sentence = (f"You want {{mass:3}}, the scale shows {display_of(shown, step)}: a dose of {{low:4}} to {{high:4}}, off by up to {{off:2}} of itself. "
                f"{agent[:1].upper()}{agent[1:]} then sets {plain(firm_ends[0] / 100, 3)} to {plain(firm_ends[2] / 100, 3)} times as firm as meant. ")
    sentence += "That is within {within:2}." if near else "Not within {within:2}: this scale does that from a batch of {enough:2}" + _else(common, dose, bowl)
    return {**common, "low": got.low, "high": got.high, "off": off, "ends": (np.maximum(ends, 0), firm_ends), "sentence": sentence,
            "heaps": [max(shown.m * (1 + sign * 2 * weighing.uncertainty(step, bowl) / shown).m_as(""), 0) for sign in (-1, 0, 1)]}


def _off_by(dose, step, pot, bowl):
    """Expanded uncertainty of the dose [%] over BATCHES, were each mass just a step of the display."""
    mass = np.maximum(BATCHES * dose.m_as(""), 1e-3)
    u, of_pot = (weighing.uncertainty.si(s.m_as("kg"), bowl) * 1000 for s in (step, pot))
    return 200 * weighing.combined(u / mass, of_pot / BATCHES)


def _else(common, dose, bowl):
    """The other two ways out: a finer scale, a stock."""
    step, batch, within = common["step"], common["batch"], common["within"]
    try:
        finer = weighing.scale_for(max(common["mass"], Q_(1e-3, "g")), within, bowl)
        ways = f"; for this one take steps of {plain(finer.m, 1)} g" if finer < step else "; here it is the batch's scale that is coarse"
    except OutOfRange:
        ways = "; no kitchen scale does it for this one"
    load = weighing.smallest_load(step, within, bowl)
    if load <= batch / 2 and common["mass"] < load:
        stock = weighing.strongest_stock(dose, batch, step, within, bowl)
        ways += f", or weigh {show(load, 2)} of a stock of {plain(stock.m_as('percent'), 2)} %"
    return ways + "."


def stage_weigh(look):
    figure, (curves, bars, heaps) = look.panels(3, (4, 4, 3), (4, 3, 2))
    low, high = (look.number(Q_(float(b), "g")) for b in (50, 5000))
    curves.set(xlabel=look.label("batch", "g"), ylabel="may be off by (± %)", xscale="log", yscale="log", xlim=(low, high), ylim=(0.01, 200))
    for axis in (curves.xaxis, curves.yaxis):
        axis.set_major_formatter("{x:g}")
    moving = {"bars": bars}
    moving["goal"], = curves.plot([], [], **STILL)
    for name in ("dose", "strength"):
        moving[name], = curves.plot([], [], KINDS[name]["linestyle"], color=KINDS[name]["color"], label={"strength": "firmness"}.get(name, name))
        moving[f"{name} dot"], = curves.plot([], [], KINDS[name]["marker"], color=KINDS[name]["color"], zorder=5)
    above(curves, look)
    bars.set(xlabel="of what was meant (%)", xlim=(0, 200), ylim=(-0.6, 1.7), yticks=[])
    bars.grid(axis="y", visible=False)
    bars.axvline(100, **STILL)
    for at, name in ((1, "dose"), (0, "strength")):
        moving[f"{name} bar"], = bars.plot([], [], "|-", color=KINDS[name]["color"], markersize=14)
        moving[f"{name} mid"], = bars.plot([], [], KINDS[name]["marker"], color=KINDS[name]["color"], zorder=5)
        bars.text(0.02, at + 0.24, {"strength": "firmness"}.get(name, name), transform=bars.get_yaxis_transform(), bbox=PLATE)
        moving[f"{name} says"] = bars.text(0.98, at + 0.24, "", ha="right", transform=bars.get_yaxis_transform(), bbox=PLATE)
    heaps.set(xlim=(0, 9.6), ylim=(-1.1, 3), aspect="equal", xticks=[], yticks=[])
    heaps.grid(False)
    for spine in heaps.spines.values():
        spine.set_visible(False)
    heaps.plot([0, 9.6], [0, 0], color=WALL)
    heaps.text(4.8, 2.95, "the powder, to one scale", ha="center", va="top")
    for at, name in zip((1.6, 4.8, 8.0), ("least", "shown", "most")):
        heaps.text(at, -0.12, name, ha="center", va="top")
        moving[name] = heaps.add_patch(Polygon([(at, 0)] * 3, facecolor=THINGS["powder"], edgecolor=KINDS["mass"]["color"], linewidth=1.4))
        moving[name].at = at
    return figure, moving


def place_weigh(moving, reading, look):
    x = look.number(Q_(BATCHES, "g"))
    here = look.number(reading["batch"])
    for name, off in zip(("dose", "strength"), reading["curves"]):
        moving[name].set_data(x, off)
        moving[f"{name} dot"].set_data([here], [np.interp(np.log(reading["batch"].m_as("g")), np.log(BATCHES), off)])
    moving["goal"].set_data(x[[0, -1]], [reading["within"].m_as("percent")] * 2)
    jumped = _widen(moving["bars"], [abs(e - 100) for ends in reading["ends"] or () for e in (ends[0], ends[2])])
    for at, name, ends in zip((1, 0), ("dose", "strength"), reading["ends"] or (None, None)):
        moving[f"{name} bar"].set_data(*(([ends[0], ends[2]], [at, at]) if ends is not None else ([], [])))
        moving[f"{name} mid"].set_data(*(([ends[1]], [at]) if ends is not None else ([], [])))
        moving[f"{name} says"].set_text(f"{plain(ends[0], 3)} to {plain(ends[2], 3)} %" if ends is not None else "the scale shows 0")
    shown = reading["shown"].m
    for name, grams in zip(("least", "shown", "most"), reading["heaps"] or (0, 0, 0)):
        heap = moving[name]
        radius = 1.2 * (grams / shown) ** (1 / 3) if shown else 0.0
        heap.set_xy([(heap.at - radius, 0), (heap.at, RISE * 1.6 * radius), (heap.at + radius, 0)])
    return jumped


def _widen(axes, far):
    """Half the width of the error bars' picture jumps between fixed steps; back only where there is room to spare."""
    have, most = axes.get_xlim()[1] - 100, max(far, default=0)
    half = next((h for h in HALVES if most <= h * (1 if h >= have else 0.85)), HALVES[-1])
    if half == have:
        return False
    axes.set_xlim(max(100 - half, 0), 100 + half)
    return True


weigh = Explorer(
    (Choice("agent", "gelling agent", agents, "agar"),
     Slider("dose", "dose wanted", "percent", 0.05, 10, 1, 0.01, log=True),
     Slider("batch", "batch", "g", 50, 5000, 200, 10, log=True),
     Choice("step", "the scale shows steps of", ("5 g", "1 g", "0.1 g", "0.01 g", "0.001 g"), "1 g"),
     Choice("pot_step", "the batch is weighed on", ("the same scale", "5 g", "1 g"), "1 g"),
     Choice("bowl", "bowl set to zero first", ("one reading", "tared"), "tared"),
     Slider("within", "near enough", "percent", 1, 20, 5, 1)),
    read_weigh, stage_weigh, place_weigh, title="What the scale leaves open",
    alt="Left: by how much dose and firmness may be off, against the batch, with a line for what is near enough. Middle: dose and firmness of this "
        "weighing with their error bars, in per cent of what was meant. Right: three heaps of powder, the least, the shown and the most.")


# --- 2. per cent of what -------------------------------------------------------------------------------------------------------
BASES = ("of the total", "on the liquid", "on the flour", "grams in 100 mL")
NUMBERS = np.linspace(0.1, 60, 60) / 100


def of_total_by(base, number, formula, density):
    """Share of the total behind a number told on a base (SI floats, number and formula as fractions; arrays too)."""
    if base == "of the total":
        return number
    if base == "on the liquid":
        return weighing.on_total.si(number)
    return number / np.maximum(formula, 1 + number) if base == "on the flour" else weighing.from_per_litre.si(1000 * number, density)


def read_percent(number, base, rest, formula, density):
    plain_numbers = number.m_as(""), formula.m_as(""), density.m_as("kg/m**3")
    share = {b: of_total_by(b, *plain_numbers) for b in BASES}
    grams = {b: weighing.into_liquid(Q_(100 * s, "percent"), rest) for b, s in share.items()}
    p = share[base]
    total = Q_(100 * p, "percent")
    sum_ = max(plain_numbers[1], 1 / (1 - p))
    told = {"of the total": total, "on the liquid": weighing.on_liquid(total), "on the flour": sum_ * total,
            "grams in 100 mL": weighing.per_litre(total, density) / 10}
    far = max(BASES, key=lambda b: abs(grams[b] - grams[base]))
    others = ", ".join(f"{show(told[b], 3)} {b}" if b != "grams in 100 mL" else f"{show(told[b] * 10, 3)}" for b in BASES
                       if b != base and (b != "on the flour" or sum_ <= plain_numbers[1] * (1 + 1e-9)))
    said = f"{show(number, 3)} {base}" if base != "grams in 100 mL" else f"{show(number, 3)} as grams in 100 mL"
    sentence = f"{said} is {others}: weigh {{grams:3}} into {{rest:3}} of the rest."
    if abs(grams[far] - grams[base]) > 0.005 * grams[base]:
        sentence += f" Who reads it as {far} weighs {{misread:3}}."
    if base == "on the flour" and sum_ > plain_numbers[1] * (1 + 1e-9):
        sentence += f" The flour's 100 and this make {plain(100 * sum_, 3)}, so that the sum is at least that."
    return {"number": number, "base": base, "share": total, "rest": rest, "grams": grams[base], "misread": grams[far], "all": grams, "sum": sum_,
            "told": told, "formula": formula, "density": density, "sentence": sentence, "cautions": ()}


STYLES = dict(zip(BASES, ("-", "--", "-.", ":")))
SHORT = dict(zip(BASES, ("total", "liquid", "flour", "w/v")))


def stage_percent(look):
    figure, (curves, bars, jug) = look.panels(3, (4, 4, 3), (4, 3, 3))
    curves.set(xlabel="the number said (%)", ylabel="of the total (%)", xlim=(0, 62), ylim=(0, 62))
    moving = {"dot": curves.plot([], [], KINDS["dose"]["marker"], color=KINDS["dose"]["color"], zorder=5)[0]}
    for base in BASES:
        moving[base], = curves.plot([], [], STYLES[base], color=KINDS["dose"]["color"] if base != "of the total" else STILL["color"], label=SHORT[base])
    above(curves, look)
    bars.set(xlabel="to weigh (% of the right amount)", xlim=(0, 220), ylim=(-0.5, 3.75), yticks=[])
    bars.grid(axis="y", visible=False)
    bars.axvline(100, **STILL)
    for at, base in zip((3, 2, 1, 0), BASES):
        moving[f"bar {base}"] = bars.add_patch(Rectangle((0, at - 0.22), 0, 0.4, facecolor=KINDS["mass"]["color"], alpha=0.5))
        bars.text(3, at + 0.22, {"grams in 100 mL": "in 100 mL"}.get(base, base), va="bottom")
        moving[f"says {base}"] = bars.text(215, at + 0.22, "", va="bottom", ha="right")
    jug.set(xlim=(-4, 102), ylim=(-14, 112), xticks=[], yticks=[])
    jug.grid(False)
    for spine in jug.spines.values():
        spine.set_visible(False)
    moving["liquid"] = jug.add_patch(Rectangle((0, 0), 30, 100, facecolor=THINGS["water"], edgecolor=INK, linewidth=1.4))
    moving["part"] = jug.add_patch(Rectangle((0, 100), 30, 0, facecolor=THINGS["powder"], edgecolor=INK, linewidth=1.4, hatch=STATES["flattened"]))
    jug.text(-2, 103, "100 % is:", va="bottom")
    for at, base in zip((42, 66, 90), BASES[:3]):
        moving[f"span {base}"], = jug.plot([], [], "_-", color=KINDS["dose"]["color"], markersize=12)
        moving[f"span {base}"].at = at
        jug.text(at, -3, SHORT[base], ha="center", va="top")
    return figure, moving


def place_percent(moving, reading, look):
    formula, density = reading["formula"].m_as(""), reading["density"].m_as("kg/m**3")
    for base in BASES:
        moving[base].set_data(100 * NUMBERS, 100 * of_total_by(base, NUMBERS, formula, density))
        moving[base].set_linewidth((2 if base == reading["base"] else 1) * look.style()["lines.linewidth"])
        share = 100 * (reading["all"][base] / reading["grams"]).m_as("")
        moving[f"bar {base}"].set_width(min(share, 230))
        moving[f"says {base}"].set_text(f"{plain(look.number(reading['all'][base], 'g'), 3)} {look.unit('g')}")
    p = reading["share"].m_as("percent")
    moving["dot"].set_data([reading["number"].m_as("percent")], [p])
    moving["liquid"].set_height(100 - p)
    moving["part"].set(y=100 - p, height=p)
    for base, top in zip(BASES[:3], (100, 100 - p, 100 / reading["sum"])):
        span = moving[f"span {base}"]
        span.set_data([span.at] * 2, [0, top])


percent = Explorer(
    (Choice("base", "said as", BASES, "of the total"),
     Slider("number", "the number", "percent", 0.1, 60, 3, 0.1, log=True),
     Slider("rest", "the rest, it not counted", "g", 50, 5000, 400, 10, log=True),
     Slider("formula", "all on the flour, added up", "percent", 120, 260, 170, 1),
     Slider("density", "density of the finished mix", "g/mL", 0.9, 1.4, 1.08, 0.01)),
    read_percent, stage_percent, place_percent, title="Per cent of what?",
    alt="Left: the share of the total behind a number, by the four bases on which it may be said. Middle: what one would weigh by each. "
        "Right: a column of the finished mix with the ingredient on top, and beside it what counts as 100 %.")
