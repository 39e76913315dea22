"""Lesson 42: a piece that freezes, cut through; crystals that grow in the store; two scoops, on a cold and on a warm plate.

No amount of nitrogen or dry ice is shown here, only seconds and temperatures: amounts stand with the room, in lesson 41.
"""
import functools

import numpy as np
from matplotlib.collections import EllipseCollection
from matplotlib.patches import Circle, Polygon, Rectangle
from scipy.interpolate import PchipInterpolator

from ... import cautions, cryo, pieces, tables
from ...spread import Spread, of
from ...tables import records, row
from ...units import Q_, plain, si_number
from ..figures import INK, KINDS, SAMPLES, STATES, STILL, THINGS, WALL, above, band, measured, set_band, step_axis, to_scale
from ..panel import Choice, Explorer, Slider, said

ZERO = 273.15
START, MIDDLE, EVEN = Q_(4, "degC"), Q_(-10, "degC"), Q_(-18, "degC")
LONGEST = 1800.0                                             # s, of a rest
SIZES = np.geomspace(3e-3, 40e-3, 7)                         # m: times lie on a smooth curve between them, within 0.5 %
FACTORY = ("nitrogen tunnel", "cold nitrogen gas", "still nitrogen gas")
FOODS = ("strawberry", "raspberry", "blueberry", "green peas", "carrot", "cucumber")
BASES = tuple(line["base"] for line in records("freezing_bases"))
COLDEST = (-25, -50, -100, -210)                             # °C, lower ends of the temperature axis
TOO_COLD = -25                                               # °C, even: well below any serving temperature


@functools.cache
def _base(name):
    return cryo.base(name)


def places():
    """Every cold place with a temperature, the shelf's included, without those of a factory's tunnel."""
    return tuple(key for key in tables.kinds("cold place") if key not in FACTORY and "temperature" in row(key))


def _whole(kelvin):
    """A temperature to whole degrees."""
    return Q_(round(float(kelvin) - ZERO) + 0.0, "degC")


def _field(name, value):
    """The field of a template that says a value to a tenth, without the tenth where it is 0."""
    return f"{{{name}:{len(f'{abs(value.m):.1f}'.removesuffix('.0').replace('.', ''))}}}"


# --- 1. the piece ----------------------------------------------------------------------------------------------------------------
@functools.lru_cache(64)
def times(cold, food, shape):
    """(log of SIZES, logs of the seconds until the middle is at MIDDLE, by the solver and by Plank, and of a dip to an even EVEN or None)."""
    solved = [pieces.freezing_time.si(si_number(START), si_number(MIDDLE), cold, food, shape, size) for size in SIZES]
    quick = [pieces.plank.si(cold, food, shape, size)[0] for size in SIZES]
    dips = (None if cold.temperature >= EVEN else
            np.log([pieces.dip.si(si_number(START), si_number(EVEN), cold, food, shape, size)[0] for size in SIZES]))
    return np.log(SIZES), np.log(solved), np.log(quick), dips


@functools.lru_cache(16)
def half_frozen(food):
    """Kelvin at which half of what can freeze is ice."""
    table, share = pieces.material(food)
    return float(np.interp(0.5, share[::-1], table.potential[::-1])) + ZERO


@functools.lru_cache(256)
def _run(cold, food, shape, size, dip):
    """(row of the lifting, History) of a dip and the longest rest in the still freezer."""
    rest = row("still freezer")
    run = pieces.History(*pieces.history.si(si_number(START), [dip, LONGEST], [at.si("temperature") for at in (cold, rest)],
                                            [at.si("film_coefficient") for at in (cold, rest)], food, shape, size))
    return int(np.searchsorted(run.time, dip + 1e-9)) - 1, run


def _after(lifted, run, rest):
    """(centre, surface, even, inside) some seconds after the piece was lifted, a smooth curve between the solver's rows."""
    clock = np.sqrt(run.time[lifted:] - run.time[lifted])
    apart = np.append(True, np.diff(clock) > 0)
    rows = np.column_stack((run.centre, run.surface, run.even, run.inside))[lifted:]
    centre, surface, even, *inside = PchipInterpolator(clock[apart], rows[apart])(min(rest ** 0.5, clock[-1]))
    return centre, surface, even, np.array(inside)


def _core(radius, inside, half):
    """Radius of what is not yet half frozen, share of the whole."""
    frozen = inside < half
    if frozen[0] or not frozen.any():
        return 0.0 if frozen[0] else 1.0
    n = int(frozen.argmax())
    part = (inside[n - 1] - half) / (inside[n - 1] - inside[n])
    return float(radius[n - 1] + part * (radius[n] - radius[n - 1]))


def _verdict(even, half):
    if even > half:
        return "Evened out, most of it is liquid again: too short"
    if even < ZERO + TOO_COLD:
        return f"Evened out it is {_field('even', _whole(even))}: too long, too cold to eat as it is"
    return f"Evened out it is {_field('even', _whole(even))}"


def read_piece(food, shape, size, place, dip, rest):
    cold, what = row(place), _base(food) if food in BASES else row(food)
    logs = times(cold, what, shape)
    thick, half = si_number(size), half_frozen(what)
    solved, quick = (float(np.exp(PchipInterpolator(logs[0], one)(np.log(thick)))) for one in logs[1:3])
    enough = None if logs[3] is None else float(np.exp(PchipInterpolator(logs[0], logs[3])(np.log(thick))))
    share = pieces.plank.si(cold, what, shape, thick)[1]
    lifted, run = _run(cold, what, shape, thick, si_number(dip))
    radius = 1 - run.depths / (thick / 2)
    states = [(run.centre[lifted], run.surface[lifted], run.even[lifted], run.inside[lifted]), _after(lifted, run, si_number(rest))]
    now, later = states
    reading = {
        "size": size, "shape": shape, "at": cold.temperature, "dip": dip, "rest": rest, "solved": Q_(solved / 60, "min"),
        "plank": Q_(quick / 60, "min"), "low": Q_(100 * (1 - quick / solved), "percent"), "film": Q_(100 * share, "percent"),
        "enough": None if enough is None else Q_(enough, "s"), "centre": _whole(now[0]), "skin": _whole(now[1]), "even": _whole(now[2]),
        "middle_then": _whole(later[0]), "skin_then": _whole(later[1]), "depth": 1e3 * thick / 2 * (1 - radius),
        "inside": [state[3] - ZERO for state in states], "core": [_core(radius, state[3], half) for state in states],
        "begins": Q_(pieces.fact(what, "freezing_point") - ZERO, "degC"), "curves": logs,
        "cautions": _cold_cautions(cold.si("temperature") - ZERO)}
    middle = _field("centre", reading["centre"])
    reading["sentence"] = " ".join(part for part in (
        f"{place.capitalize()}, {_field('at', cold.temperature)}: the middle is at {{end:2}} after {{solved:2}}. Plank says {{plank:2}}, {{low:2}} low; "
        "{film:2} of his time is the film's doing.",
        f"Lifted after {round(dip.m)} s: middle {middle}, skin {_field('skin', reading['skin'])}. {_verdict(now[2], half)}.",
        enough and f"It would even out at {{aim:2}} if you lifted it after {'{enough:2}' if enough < 300 else '{enough:2 min}'}.",
        cold.si("temperature") < ZERO - 60 and "First comes lesson 41: the room.") if part)
    if rest.m:
        reading["more"] = (f"After {{rest:2}} in the still freezer: middle {_field('middle_then', reading['middle_then'])}, "
                           f"skin {_field('skin_then', reading['skin_then'])}.")
    reading.update(end=MIDDLE, aim=EVEN)
    return reading


def _cold_cautions(celsius):
    """What to warn of at so cold a place: nitrogen, dry ice, or nothing."""
    return cautions.for_("nitrogen") if celsius < -100 else cautions.for_("dry ice") if celsius < -60 else ()


WHERE, TALL = (24, 74), 40                                    # mm, middles of the two sections and height of a slab in the picture


def stage_piece(look):
    figure, (section, inside, sizes) = look.panels(3, (1.7, 1.2, 1.2), (2.1, 2, 2))
    to_scale(section, 98, 56, 20)
    small = 0.85 * look.style()["font.size"]
    for at, words in zip(WHERE, ("lifted out", "after the rest")):
        section.text(at, 55, words, ha="center", va="top", fontsize=small)
    section.set_title("hatched: mostly frozen", fontsize=small)
    ice = {"facecolor": THINGS["ice"], "edgecolor": INK, "hatch": STATES["frozen"], "linewidth": 1.2}
    soft = {"facecolor": THINGS["food"], "edgecolor": INK, "linewidth": 0.8}
    moving = {"ball": [(section.add_patch(Circle((at, 24), 0, **ice)), section.add_patch(Circle((at, 24), 0, **soft))) for at in WHERE],
              "slab": [(section.add_patch(Rectangle((at, 4), 0, TALL, **ice)), section.add_patch(Rectangle((at, 4), 0, TALL, **soft))) for at in WHERE]}
    inside.set(xlabel="below the surface (mm)", ylabel=look.label("temperature", "degC"), xlim=(0, 20))
    inside.set_ylim(*_ends(look, COLDEST[-1]))
    inside.axhline(look.number(EVEN), linestyle=":", **STILL)
    moving["begins"] = inside.plot([], [], "-", **STILL)[0]
    color = KINDS["temperature"]["color"]
    moving["lines"] = [inside.plot([], [], "--", color=color, label="lifted out")[0], inside.plot([], [], "-", color=color, label="after the rest")[0]]
    moving["inside"] = inside
    above(inside, look, 1)
    sizes.set(xlabel="size (mm)", ylabel="time (min)", xscale="log", yscale="log", xlim=(3, 40), ylim=(0.02, 1500), xticks=(3, 5, 10, 20, 40),
              xticklabels=("3", "5", "10", "20", "40"), yticks=(0.1, 1, 10, 100, 1000), yticklabels=("0.1", "1", "10", "100", "1000"))
    sizes.minorticks_off()
    time = KINDS["time"]
    moving["solved"] = sizes.plot([], [], "-", color=time["color"], label=f"middle at {said(MIDDLE, 2, look=look)}, solved")[0]
    moving["plank"] = sizes.plot([], [], "--", color=time["color"], label="by Plank")[0]
    moving["enough"] = sizes.plot([], [], ":", color=time["color"], label=f"an even {said(EVEN, 2, look=look)}; square: yours")[0]
    moving["dots"] = sizes.plot([], [], "o", color=time["color"], zorder=5)[0]
    moving["dip"] = sizes.plot([], [], time["marker"], color=time["color"], zorder=5)[0]
    above(sizes, look, 1)
    return figure, moving


def _ends(look, coldest):
    return tuple(look.number(Q_(t, "degC")) for t in (coldest, 10))


def place_piece(moving, reading, look):
    size = reading["size"].m_as("mm")
    flat = reading["shape"] == "slab"
    for at, ball, slab, core in zip(WHERE, moving["ball"], moving["slab"], reading["core"]):
        for patch, wide in zip(ball, (size, core * size)):
            patch.set_radius(0 if flat else wide / 2)
        for patch, wide in zip(slab, (size, core * size)):
            patch.set(x=at - wide / 2, width=wide if flat else 0, height=TALL if flat and wide else 0)
    for line, inside in zip(moving["lines"], reading["inside"]):
        line.set_data(reading["depth"], look.number(Q_(inside, "degC")))
    moving["begins"].set_data([0, 20], [look.number(reading["begins"])] * 2)
    axes = moving["inside"]
    jumped = step_axis(axes, "x", size / 2, (2, 5, 10, 20), back=1)
    coldest = min(inside[-1] for inside in reading["inside"])
    wanted = _ends(look, next(t for t in COLDEST if t < coldest))
    if abs(axes.get_ylim()[0] - wanted[0]) > 1e-6:
        axes.set_ylim(*wanted)
        jumped = True
    logs, quick, slow, dips = reading["curves"][0], *reading["curves"][1:]
    fine = np.linspace(logs[0], logs[-1], 40)
    for name, line in (("solved", quick), ("plank", slow), ("enough", dips)):
        moving[name].set_data((1e3 * np.exp(fine), np.exp(PchipInterpolator(logs, line)(fine)) / 60) if line is not None else ([], []))
    moving["dots"].set_data([size, size], [reading["solved"].m, reading["plank"].m])
    moving["dip"].set_data([size], [reading["dip"].m_as("min")])
    return jumped


piece = Explorer(
    (Choice("food", "food", FOODS + BASES, "strawberry"),
     Choice("shape", "shape", pieces.SHAPES[::-1], "sphere"),
     Slider("size", "size, across", "mm", 3, 40, 25, 1),
     Choice("place", "cold place", places, "nitrogen bath"),
     Slider("dip", "in the cold place for", "s", 0, 120, 60, 1),
     Slider("rest", "then in the still freezer for", "min", 0, 30, 10, 1)),
    read_piece, stage_piece, place_piece, title="A piece freezing, cut through",
    alt="Left: the piece cut through, to scale, when it is lifted out and after the rest, hatched where mostly frozen. Middle: temperature from the "
        "surface inwards at both moments, thin lines where freezing begins and at -18 °C. Right: freezing time against size, solved and by "
        "Plank, and the dip that evens out at -18 °C.")


# --- 2. the store ------------------------------------------------------------------------------------------------------------------
FIELD, ICE_PART = 300, 0.5                                   # µm, side of the field drawn; share of it that is ice (drawn, not measured)
DAYS, BEYOND = np.linspace(0, 28, 57), np.linspace(28, 56, 20)
METHODS = tuple(key for key in tables.kinds("freezing method", own=False) if key != "freezing method")


def crystals_drawn(size):
    """Places (2, n) in a field of FIELD µm where crystals of this size lie: as many as keep the ice, on a grid shaken a little."""
    step = size * (np.pi / (2 * 3 ** 0.5 * ICE_PART)) ** 0.5
    across, up = np.meshgrid(np.arange(-1, FIELD / step + 2), np.arange(-1, FIELD / (0.866 * step) + 2))
    shake = 0.14 * step * np.random.default_rng(4).uniform(-1, 1, (2, *across.shape))
    x, y = step * (across + 0.5 * (up % 2)) + shake[0], 0.866 * step * up + shake[1]
    return x.ravel(), y.ravel()


def read_store(size, temperature, days):
    store, begin = si_number(temperature), si_number(size)
    path = cryo.coarsened.si(86400 * DAYS, store, begin)
    now = Spread(*(Q_(1e6 * float(one), "um") for one in cryo.coarsened.si(si_number(days), store, begin)))
    felt = of(row("ice crystals"), "smooth_below")
    until = Spread(*(Q_(one / 86400, "day") for one in cryo.days_until.si(si_number(felt.mid), store, begin)))
    reading = {"size": size, "at": temperature, "days": days, "now": now, "felt": felt, "until": until, "path": [1e6 * one for one in path],
               "cautions": ()}
    felt_at, known = "{felt_mid:2}, where a tongue begins to feel them,", 28
    when = ("They are felt from the first day." if size >= felt.mid else
            f"By this law {felt_at} are not reached within four weeks." if until.low.m > known else
            f"{felt_at} come after {plain(until.low.m, 2)} days at the soonest, or not within four weeks." if until.mid.m > known else
            f"{felt_at} come after {plain(until.mid.m, 2)} days.")
    reading["felt_mid"] = felt.mid
    reading["sentence"] = ("Crystals of {size:2} on the mean, stored at " + _field("at", temperature)
                           + f", are {{now:2}} after {plain(round(days.m), 2)} {'day' if round(days.m) == 1 else 'days'}. "
                           + when + " The law comes from one frozen dessert with milk, in a store that keeps its temperature.")
    return reading


def stage_store(look):
    figure, (field, growth, methods) = look.panels(3, (1.5, 1.7, 1.1), (1.7, 2.4, 2))
    to_scale(field, 2 * FIELD + 40, FIELD + 50, 100, "100 µm")
    small = 0.85 * look.style()["font.size"]
    moving = {"crystals": []}
    for left, words in ((0, "at first"), (FIELD + 40, "after these days")):
        frame = field.add_patch(Rectangle((left, 0), FIELD, FIELD, facecolor=THINGS["syrup"], edgecolor=WALL, linewidth=1.2))
        dots = field.add_collection(EllipseCollection([], [], [], units="xy", offsets=np.empty((0, 2)), offset_transform=field.transData,
                                                      facecolor=THINGS["ice"], edgecolor=INK, linewidth=0.7), autolim=False)
        dots.set_clip_path(frame)
        moving["crystals"].append((left, dots))
        field.text(left + FIELD / 2, FIELD + 48, words, ha="center", va="top", fontsize=small)
    growth.set(xlabel="time in the store (d)", ylabel="mean size (µm)", xlim=(0, 84), ylim=(0, 160), xticks=(0, 14, 28, 42, 56))
    felt = of(row("ice crystals", own=False), "smooth_below")
    growth.axhspan(felt.low.m, felt.high.m, facecolor=KINDS["strength"]["color"], alpha=0.2, label="a tongue begins to feel")
    for week, note in ((4, "4 weeks"), (8, "8 weeks")):
        points = [p for p in records("freezing_coarsening") if p["series"] == "dairy" and p["time"].m_as("week") == week]
        bars = measured(growth, [7 * week + 0.8 * n for n in (-1, 0, 1, 2)], [p["size"].m for p in points], note, [p["plus_minus"].m for p in points])
        for line in bars[2]:
            line.set(linewidth=0.8, alpha=0.6)
    at = [said(p["temperature"], 3, look=look) for p in points]
    for size, words, side in ((105, at[0], "center"), (78, at[1], "center"), (62, f"{at[2]} and\n{at[3]}", "top")):
        growth.text(60, size, words, va=side, fontsize=small)
    growth.text(83, 3, f"points: {tables.cite('sinclair-2025')}", ha="right", fontsize=small)
    style = KINDS["size"]
    moving["growth"] = growth
    moving["band"] = band(growth, style["color"])
    moving["law"] = growth.plot([], [], "-", color=style["color"], label="law")[0]
    moving["beyond"] = growth.plot([], [], ":", color=style["color"], label="carried on")[0]
    moving["dot"] = growth.plot([], [], style["marker"], color=style["color"], zorder=5)[0]
    above(growth, look, 2)
    methods.set(xlim=(0, 160), ylim=(-0.4, 4.5), yticks=[], xlabel="just frozen (µm)")
    methods.text(158, 4.1, "typical, unverified", ha="right", va="center", fontsize=small)
    methods.grid(axis="y", visible=False)
    for at, name in zip((3, 2, 1, 0), METHODS):
        fact = row(name, own=False).fact("crystal_size")
        methods.add_patch(Rectangle((fact.low.m, at - 0.25), fact.high.m - fact.low.m, 0.4, facecolor=style["color"], alpha=0.45, hatch="//",
                                    edgecolor=INK))
        methods.text(158, at + 0.24, name, va="bottom", ha="right", fontsize=small)
    moving["first"] = methods.plot([], [], "--", color=style["color"])[0]
    return figure, moving


def place_store(moving, reading, look):
    begin, end, (slow, mid, quick) = reading["size"].m_as("um"), reading["now"].mid.m, reading["path"]
    for (left, dots), size in zip(moving["crystals"], (begin, end)):
        x, y = crystals_drawn(size)
        near = (x > -size / 2) & (x < FIELD + size / 2) & (y > -size / 2) & (y < FIELD + size / 2)
        dots.set_offsets(np.column_stack((left + x[near], y[near])))
        dots.set(widths=[size], heights=[size], angles=[0], linewidth=min(0.7, size / 25))
    moving["law"].set_data(DAYS, mid)
    set_band(moving["band"], DAYS, Spread(slow, mid, quick))
    moving["beyond"].set_data(BEYOND, begin + (mid[-1] - begin) * np.cbrt(BEYOND / 28))
    moving["dot"].set_data([reading["days"].m], [end])
    moving["first"].set_data([begin, begin], [-0.4, 3.9])
    return step_axis(moving["growth"], "y", quick[-1], (160, 250))


store = Explorer(
    (Slider("size", "crystals at first, mean", "um", 5, 120, 24, 1),
     Slider("temperature", "store", "degC", -28.5, -12.5, -15, 0.5),
     Slider("days", "days in the store", "day", 0, 28, 14, 1)),
    read_store, stage_store, place_store, title="Crystals growing in the store",
    alt="Left: two fields of crystals to scale, at first and after the days chosen. Middle: mean size against days, the law with its band, carried "
        "on dotted past four weeks; measured sizes after four and eight weeks at four temperatures; a band where a tongue begins to feel them. "
        "Right: typical sizes just after freezing, method by method.")


# --- 3. on the plate ---------------------------------------------------------------------------------------------------------------
HUMID = Q_(50, "percent")
LEVELS = (60, 50, 40)                                        # per cent: the spread of the share at which a scoop begins to run
SIDES = {"cold": 66, "warm": 194}                            # mm, middles of the two plates in the picture


@functools.lru_cache(1024)                                 # coarse steps of the sliders: a drag back meets what is known
def scoop_on(mix, served, room, mass, scoop, plate, plate_start):
    """(minutes, frozen share, minutes to each of LEVELS) of a scoop down to the last level; SI floats but for what it gives."""
    begin = float(cryo.frozen_share.si(mix, served))
    if begin <= LEVELS[-1] / 100:
        return np.zeros(1), np.array([begin]), (0.0,) * 3
    run = cryo.Plate(*cryo.on_plate.si(mix, served, room, si_number(HUMID), mass, scoop.but(keeps_shape_share=Q_(LEVELS[-1], "percent")), plate,
                                       plate_start))
    stands = tuple(float(np.interp(-level / 100, -run.frozen, run.time)) / 60 for level in LEVELS)
    return run.time / 60, run.frozen, stands


@functools.cache
def _scooped_at(base):
    return _whole(cryo.serving_temperature.si(_base(base), si_number(row("serving", own=False).wanted_frozen_share)))


def read_plate(base, mass, served, cold, warm, room, minutes):
    mix, scoop, ware = _base(base), row("scoop"), row("porcelain plate")
    runs = {side: scoop_on(mix, si_number(served), si_number(room), si_number(mass), scoop, ware, si_number(start))
            for side, start in (("cold", cold), ("warm", warm))}
    begin = Q_(100 * float(cryo.frozen_share.si(mix, si_number(served))), "percent")
    reading = {"begin": begin, "served": served, "minutes": minutes, "runs": runs, "cold_at": _whole(si_number(cold)), "warm_at": _whole(si_number(warm)),
               "radius": 1e3 * (1.5 * si_number(mass) / scoop.si("density") / np.pi) ** (1 / 3), "scooped": _scooped_at(base), "cautions": (),
               "now": {side: float(np.interp(minutes.m_as("min"), *run[:2])) for side, run in runs.items()},
               **{f"on_{side}": Spread(*(Q_(t, "min") for t in run[2])) for side, run in runs.items()}}
    head = f"Served at {_field('served', served)}, {{begin:2}} of the water in {base} is ice. "
    if begin.m <= LEVELS[1]:
        reading["sentence"] = head + f"That does not keep its shape on any plate: this base wants {_field('scooped', reading['scooped'])}."
    else:
        gain = reading["on_cold"].mid - reading["on_warm"].mid
        reading["gain"] = gain
        places = [_field(f"{side}_at", reading[f"{side}_at"]) for side in ("cold", "warm")]
        reading["sentence"] = (head + f"It keeps its shape for {{on_cold:2}} on a plate at {places[0]}, for {{on_warm:2}} on one at {places[1]}: the cold "
                               f"plate buys {{gain:2}}. Two thirds are ice at {_field('scooped', reading['scooped'])}. When a scoop begins to run, at 40 "
                               "to 60 % of ice, is a typical figure: measure yours. The air counts as half as damp as it can be.")
    return reading


def stage_plate(look):
    figure, (picture, curves) = look.panels(2, (1.5, 1.3), (1.3, 2))
    to_scale(picture, 260, 64, 50)
    small = 0.85 * look.style()["font.size"]
    shape = {"facecolor": THINGS["cream"], "edgecolor": INK, "linewidth": 1.3}
    moving = {"scoop": {side: picture.add_patch(Polygon([(at, 5), (at, 5), (at, 5)], **shape)) for side, at in SIDES.items()}, "says": {}}
    for (side, at), color in zip(SIDES.items(), (THINGS["cold"], THINGS["warm"])):
        picture.add_patch(Rectangle((at - 60, 0), 120, 5, facecolor=color, edgecolor=WALL, hatch="" if side == "cold" else "//"))
        moving["says"][side] = picture.text(at, 62, "", ha="center", va="top", fontsize=small)
    curves.set(xlabel="time on the plate (min)", ylabel="ice (% of the water)", xlim=(0, 15), ylim=(35, 100))
    curves.axhspan(LEVELS[2], LEVELS[0], facecolor=KINDS["strength"]["color"], alpha=0.2, hatch="//")
    curves.text(0.98, 57, "begins to run", transform=curves.get_yaxis_transform(), va="center", ha="right", fontsize=small,
                bbox={"facecolor": "white", "edgecolor": "none", "alpha": 0.85, "pad": 1})
    for side, style in zip(("cold", "warm"), SAMPLES.values()):
        moving[f"line {side}"] = curves.plot([], [], style["linestyle"], color=style["color"], label=f"{side} plate")[0]
        moving[f"dot {side}"] = curves.plot([], [], style["marker"], color=style["color"], zorder=5)[0]
    moving["now"] = curves.plot([], [], "-.", **STILL)[0]
    moving["curves"] = curves
    above(curves, look)
    return figure, moving


TURN = np.linspace(0, np.pi, 40)
LOOKS = (("stands", STATES["whole"], 1.0), ("softens", STATES["soft"], 1.0), ("runs", STATES["flattened"], 0.6))


def place_plate(moving, reading, look):
    for side, at in SIDES.items():
        minutes, frozen, stands = reading["runs"][side]
        share = 100 * reading["now"][side]
        word, hatch, high = LOOKS[0 if share > LEVELS[0] else 1 if share > LEVELS[1] else 2]
        wide = reading["radius"] / high ** 0.5
        scoop = moving["scoop"][side]
        scoop.set_xy(np.column_stack((at + wide * np.cos(TURN), 5 + reading["radius"] * high * np.sin(TURN))))
        scoop.set_hatch(hatch)
        moving["says"][side].set_text(f"{plain(look.number(reading[f'{side}_at']), 2)} {look.unit('degC')}: {word}")
        moving[f"line {side}"].set_data(minutes, 100 * frozen)
        moving[f"dot {side}"].set_data([stands[1]], [LEVELS[1] if stands[1] else 100 * frozen[0]])
    now = reading["minutes"].m_as("min")
    moving["now"].set_data([now, now], [35, 100])
    return step_axis(moving["curves"], "x", max(now, *(run[2][1] for run in reading["runs"].values())), (15, 30, 60, 120))


plate = Explorer(
    (Choice("base", "base", BASES, "buttermilk ice"),
     Slider("mass", "scoop", "g", 10, 100, 40, 10),
     Slider("served", "served at", "degC", -20, -3, -11, 1),
     Slider("cold", "cold plate", "degC", -20, 10, -10, 5),
     Slider("warm", "warm plate", "degC", 15, 50, 25, 5),
     Slider("room", "room", "degC", 15, 35, 22, 1),
     Slider("minutes", "minutes after plating", "min", 0, 30, 8, 1)),
    read_plate, stage_plate, place_plate, title="A scoop on a cold and on a warm plate",
    alt="Left: two scoops on their plates, to scale, at the minute chosen: standing, softening or running. Right: share of ice against minutes on "
        "both plates, and the band in which a scoop begins to run.")
