"""Lesson 41: a room that fills with nitrogen, the whole vessel spilt first; where each kilojoule of cold goes; a vessel shut by mistake."""
import functools
import textwrap

import numpy as np
from matplotlib.patches import Circle, Rectangle

from ... import cautions, cryo, mixes, nitrogen
from ... import room as rooms
from ... import tables
from ...tables import cite
from ...units import Q_, plain, show, si_number
from ..figures import INK, KINDS, LIMIT, STILL, THINGS, WALL, above, step_axis, to_scale
from ..panel import Choice, Explorer, Slider

CASES = ("spilt", "planned")             # in the order in which they are told
START, TARGET, SUGAR = Q_(4, "degC"), Q_(-8, "degC"), 25
EXTRA = Q_(20, "percent")                # mixing and heat from the room: 10 to 30 is usual (our guess)
BOWL_START, STEEL = Q_(20, "degC"), "stainless steel"
POUR = Q_(10, "min")
ROOMS = (4.2, 6.5, 11.3)                 # m, widths of the picture of the room
HIGH = 2.5                               # m, of the room in the picture; its floor follows from the volume
TIMES = np.array([-5, -1e-9, *np.linspace(0, 60, 121)])      # min
GAS = {"facecolor": THINGS["gas"], "edgecolor": KINDS["oxygen"]["color"], "hatch": "//", "alpha": 0.75}
LITRE = 100 * float(rooms.expansion.si() * 1e-3) ** (1 / 3)  # cm, edge of the cube that one litre fills as gas
MARKED = (19.5, 18)                      # lines that carry their number in the picture; the list names all
SHORT = {"osha-2007-04-02": "OSHA 2007", "eiga-44-18": "EIGA 2018", "lab-guide-som036a": "a lab guide", "bcga-as-quoted": "BCGA, as quoted",
         "gas-supplier-oxygen": "a gas supplier", "virginia-tech-144": "Virginia Tech"}


@functools.lru_cache(256)
def base_heat(sugar, start, target):
    """(BaseHeat, share of the base that is ice) of a base of water and sugar [percent]; start and target in degC."""
    mix = mixes.read(f"water {100 - sugar:g} g + sucrose {sugar:g} g")
    ice = float(cryo.frozen_share.si(mix, target + 273.15)) * (1 - sugar / 100)
    return nitrogen.base_heat(Q_(start, "degC"), Q_(target, "degC"), Q_(sugar, "percent"), Q_(100 * ice, "percent")), ice


def _point_size(look, part=0.8):
    return part * look.style()["font.size"]


def told(plan, vessel):
    """(spill, pour, need) in few words, the spill first: `plan.words` without what the pictures show; a warning is never left out."""
    def case(one, begins, meant):
        limits = [line for line in one.passed if line["kind"] != "effect"]
        numbers = list(dict.fromkeys(f"{line['share'].m:g} %" for line in limits))
        says = f"{begins}: {rooms.shown_up(one.gas)} of gas; oxygen falls to {show(rooms.rounded_down(one.oxygen))}"
        if limits and meant:
            numbers[0] += f" ({limits[0]['text']}, {cite(limits[0]['source'])})"
        says += f", below {', '.join(numbers)}." if limits else "; this mean crosses no line, pour point and floor are worse."
        says += "".join(f" Below {line['share'].m:g} %: {line['text']}." for line in one.passed[-1:] if line["kind"] == "effect")
        if one.back is None:
            return says
        return says + (f" The fan needs at least {rooms.shown_up(one.back)} to be back at {limits[0]['share'].m:g} %." if one.back.m <= 1440 else
                       " It stays so for more than a day: leave, and let nobody in.")
    spilt, planned = plan.cases[:2]
    more = "More is planned than is in the room: that counts. " if planned.amount > vessel else ""
    litres = [f"{rooms.rounded_up(one.amount).m:g} L" for one in (spilt, planned)]
    return (case(spilt, f"{more}All {litres[0]} of nitrogen spilt at once", True),
            case(planned, f"As planned, {litres[1]} in {POUR.m:g} min", False),
            " ".join((f"It takes {rooms.shown_up(plan.need.mass)}, that is {rooms.shown_up(plan.need.liquid)} of liquid; order "
                      f"{rooms.shown_up(plan.stock.liquid)}, as if no cold gas were caught, and more to boil off: all in the room counts as spilt.",
                      *plan.words[3:-len(rooms.ASSUMED)])))


# --- 1. the room filling -----------------------------------------------------------------------------------------------------------
def read_room(base, caught, room, air_changes, vessel, case):
    heat, _ = base_heat(SUGAR, START.m, TARGET.m)
    bowl = Q_(max(0.5, base.m_as("kg") / 2), "kg")
    plan = nitrogen.plan(base, heat.total, TARGET, caught.m_as(""), EXTRA, bowl, STEEL, BOWL_START, room, vessel, POUR, air_changes)
    shown = getattr(plan.cases, case)
    volume, fan = si_number(room), si_number(air_changes)
    path = {what: 100 * rooms.oxygen_over_time.si(60 * TIMES.clip(0), si_number(one.amount), 0.0 if what == "spilt" else si_number(POUR), volume,
                                                  fan, "extract") * (TIMES >= 0) + 100 * rooms.OXYGEN * (TIMES < 0)
            for what, one in zip(CASES, plan.cases)}
    floor = volume / HIGH
    first, second, need = told(plan, vessel)
    return {"first": first, "second": second, "need": need, "case": case, "room": room, "plan": plan, "shown": shown,
            "path": path, "side": floor ** 0.5, "layer": min(si_number(shown.gas) / floor, HIGH), "start": START, "target": TARGET, "base": base, "bowl": bowl,
            "sentence": "{first} {second}",
            "more": "{need} Counted: a quarter sugar, {start:2} to {target:2}, steel bowl, a fifth more for mixing.",
            "cautions": (cautions.for_("nitrogen")[0], *rooms.ASSUMED)}


def stage_room(look):
    figure, (place, path, ladder) = look.panels(3, (1.4, 1.4, 2.3), (1.0, 1.5, 2.8))
    small, colour = _point_size(look), KINDS["oxygen"]["color"]
    to_scale(place, ROOMS[0], 4, 1, "1 m")
    place.set_ylim(-0.8, 2.75)
    place.set_title(f"from the side; hatched: gas, unmixed\nsquare: 1 litre as gas, {LITRE:.0f} cm", loc="left", fontsize=small)
    moving = {"place": place, "gas": place.add_patch(Rectangle((0, 0), 0, 0, **GAS)),
              "wall": place.add_patch(Rectangle((0, 0), 0, HIGH, fill=False, edgecolor=INK, linewidth=2))}
    moving["still"] = [place.add_patch(Rectangle((0.25, 0), 0.3, 1.45, facecolor=WALL, zorder=4)),
                       place.add_patch(Circle((0.4, 1.6), 0.13, facecolor=WALL, zorder=4)),
                       place.add_patch(Rectangle((0.8, 0), 0.88, 0.88, fill=False, edgecolor=colour, linewidth=1.6, zorder=4))]
    path.set(xlim=(-5, 60), ylim=(0, 22), xlabel="time (min)", ylabel="oxygen (%)", xticks=[0, 15, 30, 45, 60],
             yticks=[0, 5, 10, 15, 20])
    lines = rooms.limits("oxygen")
    for share in dict.fromkeys(line["share"].m for line in lines if line["kind"] != "effect"):
        path.axhline(share, **STILL)
    for share, side in zip(MARKED, ("bottom", "top")):       # or they touch on a phone
        path.text(61, share, f"{share:g}", va=side, fontsize=small, color=INK)
    moving |= {what: path.plot([], [], color=colour, linestyle=line, label=words)[0]
               for what, line, words in (("spilt", "-", "all spilt"), ("planned", "--", "as planned"))}
    moving["lowest"] = path.plot([], [], KINDS["oxygen"]["marker"], color=colour)[0]
    above(path, look, narrow=2)
    ladder.axis("off")
    size = {"wide": 0.8, "narrow": 0.84, "projector": 0.73}[look.size]
    sources = dict.fromkeys(SHORT.get(line["source"], cite(line["source"])) for line in lines)
    wrapped = [textwrap.wrap(words, 48, subsequent_indent="     ") for words in
               (*(f"{line['share'].m:g} %  {line['text']}" for line in lines), f"From: {', '.join(sources)}")]
    tops = np.cumsum([1.3, *map(len, wrapped)])
    ladder.set(xlim=(0, 1), ylim=(tops[-1] + 0.2, 0))
    ladder.text(0, 0.1, "X: the mean of the room, in the case shown, is below", va="top", fontsize=_point_size(look, size))
    for top, text in zip(tops, wrapped):
        ladder.text(0.045, top, "\n".join(text), va="top", fontsize=_point_size(look, size), linespacing=1.0)
    moving["rows"] = [(line["share"].m, top + 0.45) for line, top in zip(lines, tops)]
    moving["passed"] = ladder.plot([], [], "X", color=LIMIT, markersize=_point_size(look, 0.55), clip_on=False)[0]
    return figure, moving


def place_room(moving, reading, look):
    for name in ("gas", "wall"):
        moving[name].set_width(reading["side"])
    moving["gas"].set_height(reading["layer"])
    for what in CASES:
        moving[what].set_data(TIMES, reading["path"][what])
        moving[what].set_linewidth(look.style()["lines.linewidth"] * (1.6 if what == reading["case"] else 0.8))
    oxygen = reading["shown"].oxygen.m_as("percent")
    moving["lowest"].set_data([0 if reading["case"] == "spilt" else POUR.m], [oxygen])
    passed = [row for share, row in moving["rows"] if oxygen < share]
    moving["passed"].set_data([0.015] * len(passed), passed)
    return step_axis(moving["place"], "x", reading["side"] + 0.1, ROOMS)


room = Explorer(
    (Slider("base", "base to freeze", "kg", 0.1, 10, 3, 0.1, log=True),
     Slider("vessel", "liquid nitrogen in the room, all vessels", "L", 0, 50, 10, 1),
     Slider("caught", "share of the gas's cold that is caught", "percent", 0, 100, 40, 5),
     Slider("room", "free air in the room", "m**3", 8, 300, 40, 1, log=True),
     Slider("air_changes", "air changes by the fan", "1/hour", 0, 15, 6, 0.5),
     Choice("case", "show", CASES, "spilt")),
    read_room, stage_room, place_room, title="The room filling",
    alt="Left: the room from the side, to scale, with a person, the cube that one litre fills as gas, and the gas lying at the floor. Middle: "
        "oxygen over an hour if everything is spilt, and as planned, with limit lines. Right: the list of limit lines and effects with their "
        "sources; a cross marks those that the mean of the room has crossed.")


# --- 2. where the cold goes ----------------------------------------------------------------------------------------------------------
PARTS = (("cooling", "cools base and ice", "temperature", ""), ("freezing", "freezes its water", "strength", "//"),
         ("bowl", "cools bowl and tools", "size", ".."), ("extra", "mixing, heat of the room", "time", "xx"),
         ("boiling", "paid by boiling", "oxygen", ""), ("caught", "paid by the cold gas", "dose", "//"), ("lost", "lost with cold gas", "mass", ".."))


def read_cold(sugar, base, bowl, material, start, target, bowl_start, caught, extra, room, air_changes, vessel):
    heat, ice = base_heat(sugar.m, start.m, target.m)
    plan = nitrogen.plan(base, heat.total, target, caught.m_as(""), extra, bowl, material, bowl_start, room, vessel, POUR, air_changes)
    need = plan.need
    kilojoules = {"cooling": base.m_as("kg") * heat.cooling.m, "freezing": base.m_as("kg") * heat.freezing.m, "bowl": need.bowl.m, "extra": need.extra.m,
                  "boiling": need.boiling.m, "caught": need.caught.m, "lost": need.lost.m}
    first, second, amount = told(plan, vessel)
    return {"first": first, "second": second, "need": amount, "plan": plan, "kilojoules": kilojoules,
            "out": Q_(need.base.m + need.bowl.m + need.extra.m, "kJ"), "start": start, "target": target, "base": base,
            **{name: Q_(value, "kJ") for name, value in kilojoules.items()},
            "sentence": "{first} {second}",
            "more": "{need} "
                    f"Freezing takes {{freezing:3}} of {{out:3}}: at {{target:2}} {plain(100 * ice, 2)} % of the base is ice, not all its water. "
                    "Boiling pays {boiling:3}, the cold gas {caught:3}; {lost:3} of cold leaves unused.",
            "cautions": (cautions.for_("nitrogen")[0], *rooms.ASSUMED, cautions.for_("nitrogen")[1])}


def stage_cold(look):
    figure, (air, parts) = look.panels(2, (2, 3), (1.2, 2.6))
    small = _point_size(look, 0.85)
    air.set(xlim=(0, 22), ylim=(-0.55, 1.9), xticks=[0, 5, 10, 15, 20], yticks=[], xlabel="lowest oxygen, mean of the room (%)")
    air.grid(axis="y", visible=False)
    for share in dict.fromkeys(line["share"].m for line in rooms.limits("oxygen") if line["kind"] != "effect"):
        air.axvline(share, **STILL)
    air.set_title("the room first; lines at 19.5, 19, 18 %", loc="left", fontsize=small)
    moving = {"air": [(air.add_patch(Rectangle((0, y - 0.2), 0, 0.4, facecolor=KINDS["oxygen"]["color"], alpha=0.6, hatch=hatch, edgecolor=INK)),
                       air.text(15.5, y + 0.25, "", va="bottom", ha="right")) for y, hatch in ((1, "//"), (0, ""))]}
    for y, words in ((1, "all spilt"), (0, "as planned")):
        air.text(0.3, y + 0.25, words, va="bottom")
    parts.set(xlim=(0, 1000), ylim=(7.2, -0.7), yticks=[], xlabel="heat (kJ); below the line: what pays")
    parts.grid(axis="y", visible=False)
    parts.axhline(3.5, color=INK, linewidth=1)
    moving["bars"], moving["axis"] = {}, parts
    for y, (name, words, kind, hatch) in zip((0, 1, 2, 3, 4.25, 5.25, 6.25), PARTS):
        moving["bars"][name] = (parts.add_patch(Rectangle((0, y), 0, 0.36, facecolor=KINDS[kind]["color"], alpha=0.6, hatch=hatch, edgecolor=INK)),
                                parts.text(0.99, y - 0.06, "", ha="right", va="bottom", fontsize=small, transform=parts.get_yaxis_transform()))
        parts.text(0.005, y - 0.06, words, va="bottom", fontsize=small, transform=parts.get_yaxis_transform())
    return figure, moving


def place_cold(moving, reading, look):
    for (bar, words), case in zip(moving["air"], reading["plan"].cases):
        bar.set_width(case.oxygen.m_as("percent"))
        words.set_text(show(rooms.rounded_down(case.oxygen)))
    for name, (bar, words) in moving["bars"].items():
        bar.set_width(reading["kilojoules"][name])
        words.set_text(plain(reading["kilojoules"][name], 3))
    return step_axis(moving["axis"], "x", 1.05 * max(reading["kilojoules"].values()), (100, 300, 1000, 3000, 10000, 30000))


cold = Explorer(
    (Choice("material", "bowl of", nitrogen.materials, STEEL),
     Slider("sugar", "sugar in the base", "brix", 10, 35, SUGAR, 1),
     Slider("base", "base to freeze", "kg", 0.1, 10, 3, 0.1, log=True),
     Slider("bowl", "bowl and tools", "kg", 0, 10, 1.5, 0.1),
     Slider("vessel", "liquid nitrogen in the room, all vessels", "L", 0, 50, 10, 1),
     Slider("caught", "share of the gas's cold that is caught", "percent", 0, 100, 40, 5),
     Slider("extra", "more for mixing and the room's heat", "percent", 0, 100, EXTRA.m, 5),
     Slider("room", "free air in the room", "m**3", 8, 300, 40, 1, log=True),
     Slider("air_changes", "air changes by the fan", "1/hour", 0, 15, 6, 0.5),
     Slider("start", "base at the start", "degC", 0, 40, START.m, 1),
     Slider("target", "base at the end", "degC", -20, -4, TARGET.m, 1),
     Slider("bowl_start", "bowl at the start", "degC", -20, 30, BOWL_START.m, 1)),
    read_cold, stage_cold, place_cold, title="Where the cold goes, with the room beside it",
    alt="Left: bars of the lowest oxygen in the room if everything is spilt, and as planned, with limit lines. Right: four bars of the heat taken "
        "out, and below a line three bars of what pays for it: boiling, the cold gas that is caught, the cold that is lost.")


# --- 3. shut by mistake --------------------------------------------------------------------------------------------------------------
FILLS = np.geomspace(1, 100, 60)
COMPARED = (("car tyre", 2.5), ("steel gas cylinder", 200))  # bar, common practice
BOTTLE, TALL = 80, 200                                       # mm, about a litre


def shut_vessels():
    """Names of the vessels that shut."""
    return tuple(line["vessel"] for line in tables.records("rooms_vessels") if line["shut"] == "yes")


def read_closed(vessel, fill, lid):
    try:
        rooms.accept_vessel(vessel, fill)
    except rooms.Refused as refused:
        why = str(refused)
    pressure = rooms.sealed_pressure(fill)
    push = (pressure - Q_(101.325, "kPa")).to("kPa") * np.pi * lid ** 2 / 4 / Q_(9.80665, "m/s**2")
    return {"why": why[0].upper() + why[1:], "fill": fill, "pressure": pressure, "lid": lid, "push": rooms.rounded_up(push.to("kg"), 2),
            "sentence": "{why} On a lid {lid:2} across that pushes as {push:2} would weigh on it. For comparison, by common practice: a car tyre holds "
                        f"{COMPARED[0][1]:g} bar, a steel gas cylinder {COMPARED[1][1]:g} bar.",
            "cautions": (cautions.for_("nitrogen")[1], "There is no fill that is small enough: it goes into no vessel that shuts, not for a moment.")}


def stage_closed(look):
    figure, (bottle, curve) = look.panels(2, (2, 3.4), (1.5, 2.6))
    to_scale(bottle, 240, 220, 50)
    bottle.set_title("a shut bottle, to scale", loc="left", fontsize=_point_size(look, 0.9))
    moving = {"liquid": bottle.add_patch(Rectangle((30, 0), BOTTLE, 0, **GAS)),
              "words": bottle.text(130, 130, "", va="bottom"), "bottle": bottle}
    bottle.add_patch(Rectangle((30, 0), BOTTLE, TALL, fill=False, edgecolor=INK, linewidth=2))
    bottle.add_patch(Rectangle((45, TALL), 50, 15, facecolor=WALL))
    bottle.text(130, 125, "at 20 °C, if it held;\nhatched: liquid when\nit was shut", va="top", fontsize=_point_size(look, 0.8))
    curve.set(xscale="log", yscale="log", xlim=(1, 100), ylim=(1, 5000), xlabel="filled with liquid when shut (%)", ylabel="pressure (bar)")
    curve.set_xticks([1, 5, 20, 100], ["1", "5", "20", "100"])
    curve.set_yticks([1, 10, 100, 1000], ["1", "10", "100", plain(1000)])
    curve.minorticks_off()
    pressures = 1e-5 * rooms.sealed_pressure.si(FILLS / 100)
    curve.plot(FILLS, pressures, color=KINDS["strength"]["color"], label="nitrogen, equation of state")
    curve.plot(FILLS, ideal(FILLS / 100), color=STILL["color"], linestyle=":", label="ideal gas: too low above 20 %")
    for words, bar in COMPARED:
        curve.axhline(bar, **STILL)
        curve.text(1.06, bar * 1.06, f"{words}, {bar:g} bar", va="bottom", fontsize=_point_size(look, 0.8))
    moving["now"] = curve.plot([], [], "o", color=LIMIT)[0]
    above(curve, look, 1)
    return figure, moving


def ideal(fill):
    """Pressure [bar] by the ideal gas law at 20 °C, of liquid and cold vapour shut in at boiling; fill a share."""
    liquid, vapour = rooms.shipped("liquid nitrogen", "density"), 4.6        # kg/m³; vapour: coolprop-8-0-0
    return 1.01325 * rooms.gas_of_mass.si(fill * liquid + (1 - fill) * vapour, "liquid nitrogen")


def place_closed(moving, reading, look):
    fill = reading["fill"].m_as("percent")
    moving["liquid"].set_height(TALL * fill / 100)
    moving["words"].set_text(show(rooms.rounded_up(reading["pressure"])))
    moving["now"].set_data([fill], [reading["pressure"].m_as("bar")])


closed = Explorer(
    (Slider("fill", "filled with liquid when it is shut", "percent", 1, 100, 5, 1, log=True),
     Choice("vessel", "vessel", shut_vessels, "screw-top bottle or jar"),
     Slider("lid", "lid or stopper, across", "mm", 10, 120, 50, 5)),
    read_closed, stage_closed, place_closed, title="Shut by mistake",
    alt="Left: a shut bottle to scale with the liquid in it and the pressure once it is warm. Right: that pressure against how full the bottle was, "
        "on logarithmic scales, with the ideal gas law below it and the pressures of a car tyre and a steel gas cylinder as lines.")
