"""Lesson 31: the jar over hours, acid and egg with the gate, the warm window against the rule."""
import functools

import numpy as np
from matplotlib.patches import Patch, Rectangle

from ... import cautions, keeping, mixes, rules, tables
from ...emulsions import RANDOM_PACKING
from ...mixes import Mix
from ...spread import Spread
from ...tables import cite, row
from ...units import Q_, plain, si_number
from ..figures import GREY, INK, KINDS, LIMIT, MEASURED, STILL, THINGS, WALL, above, band, set_band, to_scale
from ..panel import Choice, Explorer, Slider
from . import PLACE, place_of
from .oil_in_water import EGGS

OILS = ("sunflower oil", "canola oil", "soybean oil")
YEAR = Q_(365, "day")
JAR, LEFT = 62, (4, 104)                 # width of a jar in the picture and where the two stand, mm
GLASS = 90                               # width of the measuring glass, mm
YOLK_GRAMS = 17                          # of one large hen's egg (usda-sr28)
CLOCKS = {1 / 60: "1 min", 1: "1 h", 24: "1 d", 168: "1 week", 8760: "1 year"}
LAYERS = {"cream": (THINGS["cream"], "//"), "sauce": (THINGS["sauce"], ""), "watery": (THINGS["water"], "--"), "held by flocs": (THINGS["sauce"], "xx")}


def _spoken(time):
    """A time, or a Spread of times, in minutes, hours or days, as one says it; past a year, words."""
    middle = time.mid if isinstance(time, Spread) else time
    if middle > YEAR:
        return "more than a year"
    hours = middle.m_as("hour")
    unit = "min" if hours < 2 else "hour" if hours < 96 else "day"
    return Spread(*(t.to(unit) for t in time)) if isinstance(time, Spread) else time.to(unit)


def _seen(millimetres):
    """A layer as an eye sees it: under a twentieth of a millimetre there is none."""
    return Q_(float(millimetres) if millimetres > 0.05 else 0.0, "mm")


def _layer(axes, left, wide, name):
    color, hatch = LAYERS[name]
    return axes.add_patch(Rectangle((left, 0), wide, 0, facecolor=color, hatch=hatch, edgecolor=INK, linewidth=0.8))


def _small(look):
    return 0.85 * look.style()["font.size"]


# --- 3. the jar over hours -----------------------------------------------------------------------------------------------------------
def _trap(thickener):
    """(where flocs begin, where they begin to hold, where they hold) on the water, percent: the edges of keeping.zone."""
    start, end = (thickener.fact(name).value.m_as("percent") for name in ("floc_from", "network_from"))
    return start, 10 * start, end


def read_jar(oil, share, dose, droplet, height, temperature, time):
    fat, gum = row(oil), row("xanthan")
    start, middle, _ = _trap(gum)
    doses = np.array([0, start * 0.999, *np.geomspace(start * 1.001, middle * 0.999, 14), dose.m_as("percent")])
    where = keeping.zone(dose, gum)
    locked = share.m_as("dimensionless") >= RANDOM_PACKING
    difference = keeping.density_difference(temperature, fat)
    cream = (si_number(droplet), si_number(share), si_number(difference))
    thin = keeping.resting_viscosity.si(0.0, cream[0], cream[2], si_number(temperature), gum)
    reading = {"time": time, "after": _spoken(time), "dose": dose, "droplet": droplet, "height": height, "zone": "locked" if locked else where,
               "network": gum.network_from, "doses": doses[:-1], "curve": None, "cautions": ()}
    if not locked:
        hours = keeping.creamed(droplet, share, Q_(doses, "percent"), height, temperature, fat, gum)
        met = 1 - share.m_as("dimensionless") / RANDOM_PACKING      # the cream comes down to meet the last droplet
        hours = Spread(*(met * h for h in hours))
        reading["curve"] = Spread(*(h.m_as("hour")[:-1] for h in hours))
        none, yours = (Spread(*(h[n] for h in hours)) for n in (0, -1))
        reading |= {"none": _spoken(none), "yours": _spoken(yours), "point": yours.mid.m_as("hour"), "bare": none.mid.m_as("hour")}
        faster = float(hours.mid[0] * gum.floc_size / yours.mid) if where == "flocs" else 1.0

    def layers(clock, viscosity):
        return keeping.layers.si(clock, *cream, viscosity, si_number(temperature), si_number(height))
    clock = si_number(time)
    without = layers(clock, thin)
    if where in ("between", "network") or locked:
        mine = layers(0.0, thin)
    else:
        thick = keeping.resting_viscosity.si(si_number(dose), cream[0], cream[2], si_number(temperature), gum)
        mine = layers(clock * (gum.si("floc_size") if where == "flocs" else 1.0), thick)
    reading["layers"] = tuple(1000 * np.array(one) for one in (without, mine))
    reading |= {f"{name}_{whose}": _seen(mm) for whose, one in zip(("none", "mine"), reading["layers"])
                for name, mm in zip(("watery", "sauce", "cream"), one)}
    reading["sentence"] = _jar_says(where, locked, dose.m > 0, None if locked else faster)
    return reading


def _jar_says(where, locked, any_gum, faster):
    if locked:
        return ("At so much oil the droplets are locked and none rises, gum or no gum. It can still weep, or turn to oil. All this is about looks: "
                "how cold and how long it is kept is another question.")
    after = "After {after:2} without gum there are {watery_none:2} of watery layer below and {cream_none:2} of cream on top"
    told = "Droplets of {droplet:2} with no gum: all has risen after {none:2}. "
    if not any_gum:
        return told + after + ". Half the droplet takes four times as long."
    if where == "single":
        return told + "With {dose:1} of xanthan on the water: {yours:2}. " + after + ", {watery_mine:2} and {cream_mine:2} with yours."
    if where == "flocs":
        return (told + "Your {dose:1} of xanthan is in the trap: droplets stick in flocs that rise together, {yours:2}, an order of magnitude. "
                + ("It may well be worse than none. " if faster >= 1 else "") + "Leave it out, or take {network:1} and more. "
                + after + ", {watery_mine:2} and {cream_mine:2} with yours.")
    if where == "between":
        return (told + "At {dose:1} of xanthan flocs begin to hold each other up: it may stand for days and then sink at once, no sum says when. "
                + after + ".")
    return told + "At {dose:1} of xanthan the flocs hold each other up for practical times. " + after + ", with yours it stands."


def stage_jar(look):
    figure, (jars, times) = look.panels(2, (2, 3), (3, 2.6))
    to_scale(jars, 280, 222, 50)
    moving = {}
    for n, (left, words) in enumerate(zip(LEFT, ("no gum", "yours"))):
        for name in LAYERS:
            moving[name, n] = _layer(jars, left, JAR, name)
        moving["glass", n] = jars.plot([], [], color=WALL)[0]
        jars.text(left + JAR / 2, 218, words, ha="center", va="bottom")
    jars.legend(handles=[Patch(facecolor=color, hatch=hatch, edgecolor=INK, label=name) for name, (color, hatch) in LAYERS.items()],
                loc="center left", bbox_to_anchor=(0.63, 0.5), frameon=False, borderaxespad=0, handlelength=1.4)
    start, middle, network = _trap(row("xanthan"))
    times.set_xscale("function", functions=(lambda x: np.sqrt(np.maximum(x, 0)), np.square))
    times.set(xlim=(0, 0.6), ylim=(1 / 120, 3e5), yscale="log", xlabel=look.label("xanthan, of the water", "percent"),
              xticks=[0, 0.01, 0.05, 0.1, 0.2, 0.4, 0.6], yticks=list(CLOCKS))
    times.set_xticklabels(["0", ".01", ".05", ".1", ".2", ".4", ".6"])
    times.set_yticklabels(list(CLOCKS.values()))
    times.minorticks_off()
    times.axvspan(start, middle, facecolor=(LIMIT, 0.12), edgecolor=(LIMIT, 0.25), hatch="\\\\", linewidth=0, label="the trap: flocs rise")
    times.axvspan(middle, network, facecolor=(GREY, 0.3), edgecolor=GREY, hatch="..", linewidth=0, label="may sink at once")
    times.axvspan(network, 0.6, facecolor=KINDS["strength"]["color"], alpha=0.14, label="flocs hold")
    moving["band"] = band(times, KINDS["time"]["color"], label="until all has risen")
    moving["curve"] = times.plot([], [], color=KINDS["time"]["color"])[0]
    moving["none"] = times.plot([], [], color=STILL["color"], linestyle="--", label="with no gum")[0]
    moving["clock"] = times.plot([], [], KINDS["time"]["linestyle"], color=INK, label="the time you look")[0]
    moving["point"] = times.plot([], [], KINDS["time"]["marker"], color=KINDS["time"]["color"], markeredgecolor=INK)[0]
    moving["dose"] = times.plot([], [], color=INK, linewidth=1)[0]
    above(times, look)
    return figure, moving


def place_jar(moving, reading, look):
    tall = reading["height"].m_as("mm")
    held = reading["zone"] in ("between", "network")
    for n, (left, one) in enumerate(zip(LEFT, reading["layers"])):
        bottom = 0.0
        for name, mm in zip(("watery", "sauce", "cream"), one):
            shown = "held by flocs" if name == "sauce" and n and held else name
            if name == "sauce":
                moving["held by flocs" if shown == "sauce" else "sauce", n].set_height(0)
            moving[shown, n].set(y=bottom, height=mm)
            bottom += mm
        moving["glass", n].set_data([left, left, left + JAR, left + JAR], [tall + 12, 0, 0, tall + 12])
    curve = reading["curve"]
    doses = reading["doses"] if curve else np.array([])
    moving["curve"].set_data(doses, curve.mid if curve else [])
    set_band(moving["band"], doses, curve or Spread(doses, doses, doses))
    moving["none"].set_data([0, 0.6], [reading["bare"]] * 2 if curve else [np.nan] * 2)
    moving["clock"].set_data([0, 0.6], [reading["time"].m_as("hour")] * 2)
    dose = reading["dose"].m_as("percent")
    moving["dose"].set_data([dose, dose], [1e-3, 1e6])
    moving["point"].set_data([dose], [reading["point"] if reading["zone"] in ("single", "flocs") else np.nan])


jar = Explorer(
    (Choice("oil", "kind of oil", OILS, "sunflower oil"),
     Slider("share", "oil, by volume", "percent", 5, 70, 30, 1),
     Slider("dose", "xanthan, of the water", "percent", 0, 0.6, 0, 0.01),
     Slider("droplet", "droplet, across", "µm", 1, 500, 20, 1, log=True),
     Slider("height", "height in the jar", "mm", 20, 200, 150, 10),
     Slider("temperature", "temperature", "degC", 2, 25, 5, 1),
     Slider("time", "hours it stands", "hour", 0.1, 1000, 24, 0.1, log=True)),
    read_jar, stage_jar, place_jar, title="The jar over hours",
    alt="Left: two jars to scale after the hours you set, one with no gum and one with yours: watery layer below, sauce, cream on top. Right: time "
        "to cream against the dose of xanthan, with the trap between a hundredth and a tenth of a per cent, where it creams sooner.")


# --- 4. acid and egg -----------------------------------------------------------------------------------------------------------------
SOURS = ("distilled vinegar", "cider vinegar", "lemon juice", "lime juice")
UNMEASURED = 1.0                         # water activity nobody measured: that of water, the table's strictest row
POURED = np.array([0.25, *range(1, 41)])  # mL for each yolk, along the curve
TOO_HIGH = (3.7, 4.1), (0.5, keeping.PH_GOOD_TO)     # from about pH 4 down ours may be more too high: see keeping.mix_ph


@functools.lru_cache(64)
def _grams_per_ml(food):
    return mixes.density.si(Mix({food: Q_(1, "g")}), 293.15) / 1000


@functools.lru_cache(32)
def _hold(kind, place, ph):
    return cautions.hold(kind, place, UNMEASURED, ph, within=keeping.PH_GOOD_TO)


def table_b():
    """(pH from which product assessment is asked, all the edges) in table B's row for the wettest food."""
    cells = [cell for cell in tables.records("rules_egg_tcs") if cell["table"] == "B" and cell["activity"] == "> 0.92"]
    edges = sorted({float(word) for cell in cells for word in cell["ph"].replace("-", " ").replace(">", " ").replace("<", " ").split()})
    return next(edge for edge in edges if cautions.designation(UNMEASURED, edge) == "PA"), edges


def _ends(ph):
    """Low and high that a computed pH leaves."""
    return ph - np.interp(ph, *TOO_HIGH), ph + keeping.PH_GOOD_TO


def read_acid(egg, yolks, sour, poured, cream, oil, place):
    yolk, liquid = row(EGGS[egg]), row(sour)
    portions = max(yolks, 1)
    millilitres = poured * portions
    foods = {"egg yolk": (yolk, YOLK_GRAMS * yolks), sour: (liquid, millilitres.m_as("mL") * _grams_per_ml(liquid)),
             "cream": (row("heavy cream"), cream.m_as("g")), "oil": (row("sunflower oil"), oil.m_as("g"))}
    base = Mix({food: Q_(grams or 1e-6, "g") for name, (food, grams) in foods.items() if name == "oil" or grams and name != sour})
    kind = cautions.egg_in(base)
    masses = Q_(np.append(POURED, max(poured.m_as("mL"), 1e-3)) * portions * _grams_per_ml(liquid), "g")
    phs = keeping.ph_with(base, liquid, masses)
    ph, wet = float(phs[-1]), yolks > 0 or cream.m > 0 or poured.m > 0
    low, high = (float(end) for end in _ends(ph))
    held = _hold(kind, place_of(place), round(ph, 3) if wet else 7.0)
    standing = rules.standing(place_of(place), "cold hold").words
    reading = {"ph": ph if wet else np.nan, "low": low, "high": high, "curve": phs[:-1], "poured": poured, "at": held.at, "kind": kind,
               "cold": held.cold, "table": held.table,
               "layers": [(name if name in ("cream", "oil", "egg yolk") else "sour", grams / _grams_per_ml(food)) for name, (food, grams) in foods.items()],
               "pours": millilitres,
               "cautions": (*(cautions.for_("raw egg") if kind == "raw egg" else ()), f"Cold hold. {standing}")}
    if not wet:
        reading["sentence"] = "There is nothing watery in it, so there is no pH: oil takes no part. Keep what is not known at {at:2} or colder."
        return reading
    table = (f"Table B, asked at pH {plain(high)} and for the wettest food since nobody measured it, says {held.table}"
             f"{' (product assessment)' if held.table == 'PA' else ''}")
    gate = {"raw egg": "Raw egg in it: held cold at {at:2} or colder, whatever the table says. Its word is about growth; it takes no Salmonella out of "
                       "an egg. Take pasteurised egg.",
            "pasteurised egg": "Pasteurised egg: still held cold, at {at:2} or colder, once opened or made up. The word is about growth only.",
            "no egg": "No egg in it. The word counts for values that were measured and a recipe that is followed." if not held.cold else
                      "No egg in it: held cold, at {at:2} or colder, until someone competent has assessed it."}[kind]
    reading["sentence"] = (f"{{pours:2}} of {sour} in all: the watery part comes out near pH {plain(ph)} ({plain(low)} to "
                           f"{plain(high)}): measure it. {table}. {gate}")
    return reading


def stage_acid(look):
    figure, (glass, curve) = look.panels(2, (1.6, 3), (2.2, 3))
    to_scale(glass, 175, 215, 50)
    colors = {"egg yolk": (THINGS["yolk"], ""), "sour": (THINGS["sour"], ".."), "cream": (THINGS["cream"], "//"), "oil": (THINGS["oil"], "--")}
    moving = {name: glass.add_patch(Rectangle((5, 0), GLASS, 0, facecolor=color, hatch=hatch, edgecolor=INK, linewidth=0.8, label=name))
              for name, (color, hatch) in colors.items()}
    glass.plot([5, 5, 5 + GLASS, 5 + GLASS], [212, 0, 0, 212], color=WALL)
    glass.legend(loc="upper left", bbox_to_anchor=(0.55, 0.98), frameon=False, borderaxespad=0, handlelength=1.2, reverse=True)
    asked, edges = table_b()
    curve.set(xlim=(0, 40), ylim=(1.8, 7), xlabel="sour liquid for each yolk (mL)", ylabel="pH of the water")
    curve.axhspan(asked, 7, facecolor=(GREY, 0.3), edgecolor=GREY, hatch="..", linewidth=0, label="table B: PA")
    for edge in edges:
        curve.axhline(edge, **STILL)
    curve.text(39.6, 6.9, "raw egg: cold hold at every pH", ha="right", va="top", fontweight="bold",
               bbox={"facecolor": "white", "edgecolor": "none", "alpha": 0.85, "pad": 1})
    moving["band"] = band(curve, KINDS["acidity"]["color"], label="what it may be")
    moving["curve"] = curve.plot([], [], linestyle=KINDS["acidity"]["linestyle"], color=KINDS["acidity"]["color"])[0]
    moving["point"] = curve.plot([], [], KINDS["acidity"]["marker"], color=KINDS["acidity"]["color"], markeredgecolor=INK)[0]
    moving["bar"] = curve.plot([], [], color=KINDS["acidity"]["color"], linewidth=2 * look.style()["lines.linewidth"])[0]
    for x, y, marker, words in ((24, 4.05, "D", f"vinegar: {cite('xiong-2000')}"), (20, 3.30, "s", f"lemon: {cite('lemon-mayonnaise-study')}")):
        curve.plot([x], [y], marker, color=MEASURED, markerfacecolor="white", label=words)     # 20 mL of 6 % are 24 of 5 %
    above(curve, look)
    return figure, moving


def place_acid(moving, reading, look):
    bottom = 0.0
    for name, millilitres in reading["layers"]:
        tall = 1000 * millilitres / (np.pi / 4 * GLASS ** 2)
        moving[name].set(y=bottom, height=tall)
        bottom += tall
    moving["curve"].set_data(POURED, reading["curve"])
    low, high = _ends(reading["curve"])
    set_band(moving["band"], POURED, Spread(low, reading["curve"], high))
    x = reading["poured"].m_as("mL")
    moving["point"].set_data([x], [reading["ph"]])
    moving["bar"].set_data([x, x], [reading["low"], reading["high"]] if np.isfinite(reading["ph"]) else [np.nan] * 2)


acid = Explorer(
    (Choice("egg", "yolk", tuple(EGGS), "pasteurised"),
     Choice("sour", "sour with", SOURS, "distilled vinegar"),
     Slider("yolks", "yolks", "", 0, 10, 1, 1),
     Slider("poured", "sour liquid for each yolk", "mL", 0, 40, 15, 1),
     Slider("cream", "heavy cream", "g", 0, 200, 0, 5),
     Slider("oil", "oil", "g", 0, 500, 200, 10),
     PLACE),
    read_acid, stage_acid, place_acid, title="Acid and egg",
    alt="Left: a measuring glass to scale with yolk, sour liquid, cream and oil one above the other. Right: pH of the watery part against the sour "
        "liquid for each yolk, with the band of what it may be, the edges of table B and two published recipes.")


# --- 5. the warm window ----------------------------------------------------------------------------------------------------------------
@functools.lru_cache(32)
def _window(place, sauce, butter):
    window = keeping.warm_window(place, sauce, butter)
    return window, rules.standing(place, "hot hold").words, rules.standing(place, "time as control").words


HEATED = {1 / 60: "1 s", 1: "1 min", 60: "1 h", 1440: "1 d"}
COLDEST, HOTTEST = 30, 75                # the slider's ends, °C
YOLK_MOVES = 50                          # colder than this the yolk's sum is no longer asked, °C


def read_warm(place, temperature, minutes):
    sauce, butter = row("warm yolk sauce"), row("butter fat")
    window, rule, control = _window(place_of(place), sauce, butter)
    at = np.linspace(YOLK_MOVES, HOTTEST, 51)
    here = temperature.m_as("degC")
    curve = keeping.same_heat.si(si_number(minutes), at + 273.15, si_number(window.high), sauce) / 60
    same = keeping.same_heat(minutes, max(temperature, Q_(YOLK_MOVES, "degC")), window.high, sauce)
    lasts = keeping.same_heat(Q_(60, "min"), window.hot_hold, window.high, sauce)
    solid = keeping.solid_share(min(temperature, butter.all_liquid), butter)
    hot = temperature >= window.hot_hold
    if temperature < window.sets:
        state = "At {temperature:3} the fat sets: {solid:2} of it is solid, and the sauce stiffens."
    elif temperature < window.low:
        state = "At {temperature:3} the fat is liquid; kitchens work the sauce warmer, from {low:2}."
    elif temperature < window.high:
        state = "At {temperature:3} the sauce can be worked."
    else:
        state = f"At {{temperature:3}} the yolk {'curdles' if temperature >= window.curdles else 'thickens'} within ordinary cooking."
    yolk = (" {minutes:2} here takes the yolk as far as {same:2} at {high:2}." if here >= YOLK_MOVES else " So cool the yolk hardly moves.")
    stands = (" The rule for hot holding, {hot:2} or hotter, is kept; the yolk thickens {left:2} above you." if hot and temperature < window.high else
              " The rule for hot holding, {hot:2} or hotter, is kept, and the sauce is lost." if hot else
              " The rule for hot holding asks for {hot:2} or hotter: {below:2} below it nothing but the clock counts, from the first minute.")
    return {"temperature": temperature, "minutes": minutes, "same": _spoken(same), "solid": solid, "hot": window.hot_hold, "high": window.high,
            "low": window.low, "left": window.high - temperature, "below": window.hot_hold - temperature, "room": window.room, "lasts": lasts,
            "at": at, "curve": curve, "cautions": (f"Time as control. {control}", f"Hot hold. {rule}", *cautions.for_("raw egg")),
            "sentence": state + yolk + stands + " Rule and yolk pull apart: {room:2} lie between, and an hour at the rule's edge is {lasts:2} at {high:2}. "
                        "So kitchens take pasteurised egg, make small batches often, and throw away by the clock."}


def stage_warm(look):
    figure, (ladder, curve) = look.panels(2, (2.2, 3), (3, 2.4))
    window = _window("", row("warm yolk sauce"), row("butter fat"))[0]
    number = lambda degrees: look.number(Q_(degrees, "degC"))
    bottom, top = number(COLDEST), number(HOTTEST + 3)
    ladder.set(xlim=(0, 3), ylim=(bottom, top), xticks=[0.5, 1.5, 2.5], ylabel=look.label("temperature", "degC"))
    ladder.set_xticklabels(["fat", "yolk", "rule"])
    ladder.tick_params(axis="x", length=0)
    ladder.grid(axis="x", visible=False)

    def block(left, low, high, color, hatch, words=""):
        made = ladder.add_patch(Rectangle((left + 0.06, number(low)), 0.88, number(high) - number(low), facecolor=color, hatch=hatch, edgecolor=INK,
                                          linewidth=0.8, alpha=0.9))
        if words:
            ladder.text(left + 0.5, (number(low) + number(high)) / 2, words, ha="center", va="center", fontsize=_small(look),
                        bbox={"facecolor": "white", "edgecolor": "none", "alpha": 0.85, "pad": 1})
        return made
    sets, low, high, curdles = (q.m_as("degC") for q in (window.sets, window.low, window.high, window.curdles))
    block(0, COLDEST, sets, THINGS["cream"], "//", "sets")
    block(0, sets, HOTTEST + 3, THINGS["oil"], "", "liquid")
    block(1, low, high, THINGS["sauce"], "")
    ladder.text(1.5, number(57), "worked", ha="center", va="center", fontsize=_small(look))
    block(1, high, curdles, THINGS["yolk"], "..", "thickens")
    block(1, curdles, HOTTEST + 3, THINGS["curdled"], "xx", "curdles")
    moving = {"clock": block(2, COLDEST, 50, GREY, ".."), "hot": block(2, 50, HOTTEST + 3, KINDS["temperature"]["color"], "\\\\"),
              "line": ladder.plot([], [], color=INK, alpha=0.7)[0]}
    box = {"facecolor": "white", "edgecolor": "none", "alpha": 0.85, "pad": 1}
    moving["words"] = [ladder.text(2.5, number(44), "clock only", ha="center", va="center", fontsize=_small(look), bbox=box),
                       ladder.text(2.5, number(70), "hot hold", ha="center", va="center", fontsize=_small(look), bbox=box)]
    curve.set(xlim=(number(YOLK_MOVES), number(HOTTEST)), ylim=(0.008, 1.5e4), yscale="log", xlabel=look.label("temperature", "degC"),
              yticks=list(HEATED), ylabel=f"as far as so long\nat {number(high):.0f} {look.unit('degC')}")
    curve.set_yticklabels(list(HEATED.values()))
    curve.minorticks_off()
    hot = KINDS["temperature"]["color"]
    moving["allowed"] = curve.add_patch(Rectangle((number(50), 0.001), 1, 1e5, facecolor=(hot, 0.2), edgecolor=(hot, 0.5), hatch="\\\\", linewidth=0,
                                                  label="hot enough for the rule"))
    moving["curdles"] = curve.axvspan(number(curdles), number(HOTTEST), facecolor=(THINGS["curdled"], 0.6), edgecolor=THINGS["curdled"], hatch="xx",
                                      linewidth=0, label="curdles", zorder=1.5)
    moving["curve"] = curve.plot([], [], KINDS["time"]["linestyle"], color=KINDS["time"]["color"], label="your minutes")[0]
    moving["point"] = curve.plot([], [], KINDS["time"]["marker"], color=INK)[0]
    above(curve, look)
    return figure, moving


def place_warm(moving, reading, look):
    hot, here = look.number(reading["hot"], "degC"), look.number(reading["temperature"], "degC")
    bottom, top = look.number(Q_(COLDEST, "degC")), look.number(Q_(HOTTEST + 3, "degC"))
    moving["clock"].set(y=bottom, height=hot - bottom)
    moving["hot"].set(y=hot, height=top - hot)
    moving["line"].set_data([0, 3], [here, here])
    moving["allowed"].set(x=hot, width=look.number(Q_(HOTTEST, "degC")) - hot)
    moving["curve"].set_data(look.number(Q_(reading["at"], "degC")), reading["curve"])
    moving["point"].set_data([here], [max(reading["same"].m_as("min"), 1e-6)])


warm = Explorer(
    (Slider("temperature", "the sauce", "degC", COLDEST, HOTTEST, 60, 0.5),
     Slider("minutes", "held so long", "min", 5, 300, 60, 5),
     PLACE),
    read_warm, stage_warm, place_warm, title="The warm window and the rule",
    alt="Left: a ladder of temperatures with three columns: where the fat sets, where the yolk is worked, thickens and curdles, and from where the "
        "place's rule counts it as hot held. Right: how far the yolk is driven towards curdling, by temperature.")
