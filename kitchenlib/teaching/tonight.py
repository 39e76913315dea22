"""Tonight's batch, technique by technique: the five answers a cook needs. Cards, wall cards and lesson 02 all ask here.

An answer holds values and how each follows the batch: `weighed` grows gram by gram with it, `fixed` does not know it, `listed` is worked
out anew for every batch (cooling, bubbles, hands) and never scaled by rule of three.
"""
import functools
import math
from typing import NamedTuple

import numpy as np

from .. import alginate as base
from .. import baths, calcium, cautions, cryo, drops, emulsions, gels, heat, nitrogen, pearls, setting, spheres, tables, weighing
from .. import room as rooms
from ..mixes import Mix
from ..spread import of
from ..files import DATASETS, read_csv
from ..tables import kinds, row
from ..units import OutOfRange, Q_, Quantity, plain, show, si_number
from .lesson import Table

BATCHES = (50, 100, 150, 200, 300, 500, 750, 1000, 1500, 2000, 3000, 5000)      # g, those that a card works out one by one
WITHIN = Q_(5, "percent")                # to which a scale must dose; goes to `weighing.smallest_load`
SCALES = (1.0, 0.1, 0.01, 0.001)         # steps of scales in a kitchen, in g
KILOS = ((10_000, 100), (2_000, 10))      # g: from here a mass is told in kg, in such steps
SLACK = 1e-9                             # of a step: what floating point leaves
REDONE = "Worked out anew for each batch"


# --- a value and how it is told ----------------------------------------------------------------------------------------------------
class Value(NamedTuple):
    """A quantity, the side to which it is rounded (near, up, down), and how it follows the batch (weighed, fixed, listed)."""
    quantity: object
    way: str = "near"
    follows: str = "fixed"
    step: object = None          # what it is counted in, where that is neither the scale's step nor the clock's

    @property
    def text(self):
        """As it is told."""
        return told(self)


class Answer(NamedTuple):
    """One of the five: its name, the line in large type with {0}, {1} for the values, a line in small type."""
    label: str
    says: str
    values: tuple
    note: str = ""

    @property
    def text(self):
        return self.says.format(*(value.text for value in self.values))


class Spill(NamedTuple):
    """The gate of the ice card: what a spill of all the nitrogen does to the room, and why no litres are told (empty where they are)."""
    words: str
    withheld: str
    vessel: object               # [L]
    oxygen: object               # [percent]


def stepped(number, step, way):
    """A number in whole steps: near (half goes up), up or down; what floating point leaves counts for nothing."""
    parts = number / step
    parts = {"near": math.floor(parts + 0.5 + SLACK), "up": math.ceil(parts - SLACK), "down": math.floor(parts + SLACK)}[way]
    return parts * step


@functools.cache
def scales():
    """((grams from which it serves, step in g), ...), coarsest first: least loads that each scale weighs to 5 % (expanded)."""
    return tuple((weighing.smallest_load(Q_(step, "g"), WITHIN).m, step) for step in SCALES)


def scale_step(grams):
    """The step of the coarsest of SCALES that doses so many grams to 5 %; the finest where none does."""
    return next((step for least, step in scales() if grams >= least * (1 - SLACK)), SCALES[-1])


def _digits(number, step):
    places = max(0, -math.floor(math.log10(step) + SLACK))
    return f"{stepped(number, step, 'near'):.{places}f}"


def _mass(grams, way, step):
    step = step or scale_step(grams)
    done = stepped(grams, step, way)
    for least, coarse in KILOS:
        if done >= least:
            return f"{_digits(stepped(grams, coarse, way) / 1000, coarse / 1000)} kg"
    return f"{_digits(done, step)} g"


def _time(seconds, way):
    if seconds < 120:
        return f"{stepped(seconds, 1, way):.0f} s"
    if seconds < 3 * 3600:
        return f"{stepped(seconds / 60, 1, way):.0f} min"
    if seconds < 72 * 3600:
        return f"{stepped(seconds / 3600, 0.5, way):g} h"
    return f"{stepped(seconds / 86400, 1, way):.0f} days"


# kind of quantity: (unit, step, how it is written)
_PLAIN = (("degC", 1, "{} °C"), ("percent", 1, "{} %"), ("L", 0.1, "{} L"), ("mm", 0.1, "{} mm"))


def told(value):
    """A Value in kitchen writing, rounded to its side: grams to what a scale can show, times to the second, minute or half hour."""
    quantity, way, _, step = value
    if not isinstance(quantity, Quantity):
        return f"{stepped(quantity, step or 1, way):g}"
    if quantity.check("[mass]"):
        return _mass(quantity.m_as("g"), way, step)
    if quantity.check("[time]"):
        return _time(quantity.m_as("s"), way)
    unit, usual, written = next(one for one in _PLAIN if quantity.is_compatible_with(one[0]) and (one[0] != "percent" or quantity.dimensionless))
    number = _digits(stepped(quantity.m_as(unit), step or usual, way), step or usual).replace("-", "\u2212")
    return written.format("0" if number.strip("\u22120.") == "" else number)


def given(quantity):
    """What was set, as one says it: 2 mm, 0.8 %."""
    number, gap, unit = show(quantity).partition(" ")
    return (number.rstrip("0").rstrip(".") if "." in number else number) + gap + unit


def weigh(share, batch, way="near"):
    """Grams of a batch at a share of it [pure number]."""
    return Value(Q_(share * batch.m_as("g"), "g"), way, "weighed")


def listed(quantity, way, step=None):
    return Value(quantity, way, "listed", step)


# --- pearls --------------------------------------------------------------------------------------------------------------------------
FILL, MARGIN = Q_(60, "degC"), Q_(1, "delta_degC")       # the bag is filled at; stop so far above the warm end of setting
BOILING, OIL_AT, OIL_FROM, OIL_WARMS = Q_(98, "degC"), Q_(6, "degC"), Q_(20, "degC"), Q_(8, "delta_degC")
BAG, LENGTH, TIP, TIPS, PACE, WRAP, OIL = Q_(50, "mm"), Q_(150, "mm"), Q_(2, "mm"), 4, 3, "piping bag", "canola oil"


@functools.cache
def usual_strength():
    """Gel strength that a typical agar is taken for, at 1.5 % [g/cm²]: the geometric middle of the shipped grades."""
    graded = [row(key, own=False) for key in kinds("agar", own=False) if "gel_strength" in row(key, own=False)]
    return Q_(float(np.exp(np.mean(np.log([gels.gel_strength(Q_(1.5, "percent"), grade).m for grade in graded])))), "g_per_cm2")


def dose(agent, texture):
    """(dose as a share of the total, what it rests on) of an agent for "soft", "sliceable" or "firm", swapped for its grade.

    Gelatin by its Bloom, agar by the gel strength on its sheet; others as their row says. LookupError where no row gives a dose.
    """
    usual, how = of(agent, f"dose_{texture}").mid, agent.fact(f"dose_{texture}").how
    about = f"{given(usual)} of the finished mix is the typical dose{', unverified' if how == 'memory' else ''}"
    if "bloom" in agent:
        return float(gels.swap_grade.si(si_number(usual), DOSE_BLOOM, agent.si("bloom"), agent.si("dose_exponent"))), \
            f"{about} at {DOSE_BLOOM} Bloom; this one has {plain(agent.si('bloom'))}"
    if "gel_strength" in agent:
        strength = gels.gel_strength(Q_(1.5, "percent"), agent)
        return float(gels.dose_for.si(si_number(usual), float((usual_strength() / strength).m_as("")), agent.si("dose_exponent"))), \
            f"{about}; for the same strength as an agar of {show(usual_strength(), 2)} at 1.5 %, this one having {show(strength, 2)}"
    return float(si_number(usual)), about


DOSE_BLOOM = 225                                         # the middle of the 200 to 250 Bloom for which gelatin's doses are quoted


def _drop(gel):
    return drops.drop.si(si_number(TIP), gel.si("surface_tension"), gel.si("density"))


@functools.lru_cache(256)
def resting(batch, room):
    """Time in which a boiled mix in a covered steel pot, stirred, comes down to the filling temperature.  Source: `heat.cooling`."""
    return heat.cooling(BOILING, FILL, batch, row("watery gel"), row("steel pot"), row("counter").but(temperature=room)).stirred


@functools.lru_cache(256)
def _oil_chill(mass):
    return heat.cooling(OIL_FROM, OIL_AT, mass, row(OIL), row("steel pot"), row("still fridge")).unstirred


def pearls_now(batch, agar, room):
    """Agar pearls in cold oil: batch of finished mix, agar's Row, room [degC] -> five Answers.

    Source: `setting.window`, `heat.cooling`, `pearls.time_in_hand`, `drops.oil_needed`; bag, tip and pace as the notes say.
    """
    gel, oil, w = row("watery gel"), row(OIL), setting.window(agar)
    share, about = dose(agar, "sliceable")
    stop = Q_(stepped(w.sets.high.m_as("degC") + MARGIN.m, 1, "up"), "degC")
    if stop >= FILL:
        raise OutOfRange(f"it sets from {given(w.sets.high)} down; this card fills the bag at {given(FILL)}")
    film = pearls.hand_film((FILL - stop) / 2 + stop, room, LENGTH, row(WRAP))
    bag = pearls.time_in_hand(FILL, stop, room, BAG, film, gel)
    stream = TIPS * PACE * _drop(gel).volume * gel.si("density")
    boil = of(agar, "hydration_time")
    fat = drops.oil_needed(batch, FILL, OIL_AT, OIL_WARMS, oil, gel).to("g")
    return (Answer("Agar", "{0}", (weigh(share, batch),), f"{about}. Boiled-off water is weighed back in."),
            Answer("Boil, then rest", "boil {0}, rest {1}", (Value(boil.low, "up"), listed(resting(batch, room), "down")),
                   f"A real boil, {told(Value(boil.high))} at most. Rest: covered steel pot, stirred, down to {told(Value(FILL))}. Look then. {REDONE}."),
            Answer("Fill and stop", "fill at {0}, stop at {1}", (Value(FILL), Value(stop, "up")),
                   f"It sets from {given(w.sets.high)} down. A bag of {given(BAG)} lasts {told(Value(bag, 'down'))} in this room; a tip that stands still, "
                   "hardly two minutes."),
            Answer("Drip for", "{0}", (listed(Q_(si_number(batch) / stream, "s"), "up"),),
                   f"{TIPS} tips of {given(TIP)}, {PACE} drops a second each. Take several hands, or several bags kept warm, for more than a bag lasts."),
            Answer("Oil", "{0} at {1}, chilled {2}",
                   (Value(fat, "up", "weighed"), Value(OIL_AT, "down"), listed(_oil_chill(fat), "up")),
                   f"So much that it warms by {given(OIL_WARMS)} at most. Hours: from {told(Value(OIL_FROM))} in one pot, in a still fridge; "
                   "split it and it is quicker."))


# --- spheres -------------------------------------------------------------------------------------------------------------------------
STRENGTH_BY, DOSED, ALGINATE = "calcium chloride dihydrate", Q_(0.5, "percent"), Q_(0.5, "percent")
LIFT, RINSE, HOUR, LEFT = Q_(5, "s"), Q_(20, "s"), Q_(60, "min"), Q_(80, "percent")
SPOON = 0.08                                             # liquid that rides on the spoon, of the spheres' mass: 0.05 to 0.1 (memory)
BUBBLE, BATH_LEAST = Q_(0.1, "mm"), Q_(0.5, "L")


@functools.lru_cache(64)
def _sphere(diameter, shell, strength, gel):
    """(seconds in the bath, uptake, heart at service if rinsed, minutes until an unrinsed heart is half of what it was at the lift)."""
    given = dict(diameter=diameter, calcium=strength, dose=ALGINATE, alginate=gel)
    seconds = spheres.bath_time(shell, **given)
    kept = spheres.history(**given, bath_time=seconds, lift=LIFT, rinse=RINSE, hold=HOUR, hold_in="drained")
    bare = spheres.history(**given, bath_time=seconds, lift=LIFT, hold=HOUR, hold_in="drained")
    at_lift = float(np.interp(seconds.m_as("s"), bare.time.m_as("s"), bare.cores.m))
    late = bare.time.m_as("s")[bare.cores.m <= at_lift / 2]
    half = float(late[0]) - seconds.m_as("s") if len(late) else HOUR.m_as("s")
    return seconds, kept.uptake, kept.core, Q_(min(half, HOUR.m_as("s")), "s"), kept.shell


@functools.lru_cache(256)
def clearing(batch, alginate):
    """Time until bubbles of `BUBBLE` are out of a base that stands in one tub.  Source: `heat.vessel_size`, `alginate.rest`."""
    tub = heat.vessel_size(batch, row("watery gel"), row("plastic tub"))
    return base.rest(BUBBLE, tub.height, ALGINATE, Q_(20, "degC"), row(alginate)).rigid


def spheres_now(batch, salt, diameter, shell, alginate="sodium alginate"):
    """Direct spheres: batch of base, calcium salt's Row, diameter, shell wanted at the lift -> five Answers.

    The bath is as strong as 0.5 % w/v of calcium chloride dihydrate, whichever salt brings it.
    Source: `spheres.bath_time`, `spheres.history`, `baths.litres_for`, `calcium.salt_for`, `alginate.rest`.
    """
    gel = row(alginate)
    strength = calcium.concentration(DOSED, row(STRENGTH_BY, own=False), "w/v")
    seconds, uptake, heart, half, ends = _sphere(diameter, shell, strength, gel)
    litres = max(baths.litres_for(batch, LEFT, strength, uptake, SPOON * batch), BATH_LEAST)
    litres = Q_(stepped(litres.m, 0.5, "up"), "L")
    return (Answer("Alginate", "{0}", (weigh(float(si_number(ALGINATE)), batch),), f"{given(ALGINATE)} of the finished base, {alginate}."),
            Answer("Bath", "{0} with {1} salt", (listed(litres, "up", 0.5), listed(calcium.salt_for(strength, litres, salt), "up")),
                   f"As much calcium as {given(DOSED)} of {STRENGTH_BY}; after this batch {given(LEFT)} of its strength is left. {REDONE}."),
            Answer("In the bath", "{0}, rinse {1}", (Value(seconds), Value(RINSE)),
                   f"Fresh bath, drop {given(diameter)} across: {given(shell)} of shell at the lift, {show(ends, 2)} an hour later."),
            Answer("Rest the base", "{0}", (listed(clearing(batch, alginate), "up"),),
                   f"Until bubbles of {given(BUBBLE)} are out of one tub; a flat tray is quicker, smaller bubbles take far longer. {REDONE}."),
            Answer("Serve", "rinsed: {0} liquid; unrinsed: within {1}", (Value(heart, "down"), Value(half, "down")),
                   "Rinsed, an hour after the lift. Unrinsed, until the liquid heart is half of what it was; an hour at most, for it dries."))


# --- sauce ---------------------------------------------------------------------------------------------------------------------------
YOLK, OIL_A_YOLK = Q_(17, "g"), Q_(150, "g")             # of a large egg; a yolk to so much oil (common practice)
EGGS = {"pasteurised egg": "pasteurized egg yolk", "raw egg": "egg yolk"}


@functools.cache
def _watery(key):
    """mL that a gram of a watery food takes at 20 °C."""
    return emulsions.phases(Mix({row(key): Q_(100, "g")})).watery.m / 100


def recipe(oil, share, egg):
    """Parts of a gram of sauce (oil, yolk, all other watery things) for a share of oil by volume; yolk as `OIL_A_YOLK` says."""
    heavy = drops.oil_density(Q_(20, "degC"), oil).m_as("g/mL")
    phi = share.m_as("dimensionless")
    yolk_key = EGGS[egg]
    yolk = YOLK / OIL_A_YOLK
    rest = ((1 - phi) / phi / heavy - yolk.m * _watery(yolk_key)) / _watery("water")
    if rest <= 0:
        raise OutOfRange(f"at {given(share)} of oil there is no room beside the yolk: take less oil")
    parts = np.array([1, yolk.m, rest])
    return parts / parts.sum()


def sauce_now(batch, oil, share, egg, place=""):
    """A yolk sauce: batch of finished sauce, oil's Row, share of oil by volume, egg ("raw egg" or "pasteurised egg") -> five Answers.

    Source: `emulsions.phases`, `emulsions.room_limit`, `cautions.hold`; a yolk to 150 g of oil is common practice.
    """
    parts = recipe(oil, share, egg)
    heavy = drops.oil_density(Q_(20, "degC"), oil)
    fragile = emulsions.marks()[-1]["share"]
    watery = Q_((parts[1] * _watery(EGGS[egg]) + parts[2] * _watery("water")) * batch.m_as("g"), "mL")
    most = (emulsions.room_limit(watery, fragile) * heavy).to("g")
    held = cautions.hold(egg, place)
    return (Answer("Oil", "{0}", (weigh(parts[0], batch),), f"{given(share)} oil by volume: it {emulsions.state(share)['state']}."),
            Answer("Yolk", "{0}, eggs: {1}", (weigh(parts[1], batch), listed(parts[1] * batch.m_as("g") / YOLK.m, "up", 1)),
                   f"{egg.partition(' ')[0].capitalize()} yolk; one weighs about {given(YOLK)}. {REDONE}, in whole yolks."),
            Answer("Water, vinegar, juice, mustard", "{0}", (weigh(parts[2], batch),), "Together, counted as water; salt and pepper as you like."),
            Answer("Never more oil than", "{0}", (Value(most, "down", "weighed"),),
                   f"Beside so much yolk and water there is room for no more: near {show(fragile, 2)} by volume it turns fragile. "
                   "Tight and shiny? A spoon of water, not more oil."),
            Answer("Hold", "{0} or colder", (Value(held.at, "down"),), held.words))


# --- ice -----------------------------------------------------------------------------------------------------------------------------
ROOMS, VESSELS = (15, 25, 40, 60, 100, 200), (2, 5, 10, 25, 50)       # m³ of free air, L in all vessels: what the card's gate lists
NITROGEN, NO_NITROGEN = "Liquid nitrogen", "no nitrogen here"
EXTRA, STEEL, BOWL_FROM, BASE_AT = Q_(20, "percent"), "stainless steel", Q_(20, "degC"), Q_(4, "degC")
COOKED, COLD = Q_(65, "degC"), Q_(5, "degC")
SCOOP, PLATE, DINING, DAMP = Q_(40, "g"), Q_(20, "degC"), Q_(22, "degC"), Q_(50, "percent")
STORE = Q_(-18, "degC")


def first_line():
    """The highest limit or alarm for oxygen in rooms_limits.csv: where all is spilt and the mean comes to it, no litres are told."""
    return max((line for line in rooms.limits("oxygen") if line["kind"] != "effect"), key=lambda line: line["share"].m)


def spill(room, vessel):
    """The spill check of a room [m³ of free air] and all liquid nitrogen in it [L]: Spill, rounded to the side of caution.

    Source: `room.cases` with no fan counted; the line: rooms_limits.csv.
    """
    if not vessel.m:
        return Spill("No liquid nitrogen in the room: none is told.", NO_NITROGEN, vessel, Q_(20.9, "percent"))
    case = rooms.cases(room, vessel, Q_(0, "L"), Q_(1, "min"), Q_(0, "1/hour")).spilt
    line = first_line()["share"]
    low = rooms.rounded_down(case.oxygen) <= line
    why = (f"not told: all spilt, this room's air falls to {given(line)} oxygen or below" if low else "")
    return Spill(case.words + (f" No litres are told here: that is at or under the first line of the table, {given(line)}. Less nitrogen, or a larger room."
                               if low else ""), why, vessel, case.oxygen)


def litres(value, gate):
    """Litres of nitrogen as they may be told behind the gate."""
    if gate is None:
        return "not told before the room is"
    if gate.withheld:
        return gate.withheld
    if value.quantity.m_as("L") > gate.vessel.m_as("L"):
        return f"not told: more than the {given(gate.vessel)} counted as spilt"
    return told(value)


@functools.lru_cache(64)
def _ice(mix, frozen):
    """(serving temperature, minutes on the plate or None, heat to take out of a kilogram)."""
    serve = cryo.serving_temperature(mix, frozen)
    try:
        stands = cryo.on_plate(mix, serve, DINING, DAMP, SCOOP, row("scoop"), row("porcelain plate"), PLATE).stands
    except OutOfRange:
        stands = Q_(0.0, "min")
    return serve, stands, cryo.heat_out(mix, BASE_AT, serve)


@functools.lru_cache(8)
def _keeps():
    crystals = row("ice crystals")
    return cryo.days_until(of(crystals, "smooth_below").mid, STORE, of(row("batch freezer"), "crystal_size").low).soonest


def nitrogen_for(batch, mix, frozen):
    """Liquid nitrogen that a base takes if no cold gas is caught [L]: to be told behind `spill` only.  Source: `nitrogen.needed`."""
    serve, _, out = _ice(mix, frozen)
    bowl = Q_(max(0.5, batch.m_as("kg") / 2), "kg")
    return nitrogen.needed(batch.to("kg"), out, serve, 0, EXTRA, bowl, STEEL, BOWL_FROM).liquid


@functools.lru_cache(256)
def chilling(batch):
    """Time in which a cooked base, stirred in a steel bowl in stirred iced water, is cold.  Source: `heat.cooling`."""
    return heat.cooling(COOKED, COLD, batch, row("watery gel"), row("steel bowl"), row("stirred ice bath")).stirred


def ice_now(batch, mix, frozen, gate=None):
    """An ice: batch of base, its Mix, share of its water frozen at service, the room's Spill -> five Answers.

    Litres of nitrogen are told behind the gate only, see `litres`.
    Source: `cryo.serving_temperature`, `cryo.on_plate`, `cryo.days_until`, `heat.cooling`, `nitrogen_for`.
    """
    serve, stands, _ = _ice(mix, frozen)
    need = listed(nitrogen_for(batch, mix, frozen), "up")
    said = litres(need, gate)
    return (Answer("Base to the fridge", "{0} in iced water", (listed(chilling(batch), "up"),),
                   f"From {told(Value(COOKED))} to {told(Value(COLD))}, steel bowl, both stirred. {REDONE}."),
            Answer("Serve at", "{0}", (Value(serve, step=0.5),), f"There {given(frozen)} of its water is ice. Computed; measure yours."),
            Answer(NITROGEN, *(("{0}", (need,)) if said == told(need) else (said, ())),
                   f"From {told(Value(BASE_AT))}, no cold gas caught, steel bowl half as heavy as the base, a fifth on top. {REDONE}; the spill comes first."),
            Answer("Stands on the plate", "{0}", (Value(stands, "down"),),
                   f"A scoop of {given(SCOOP)}, plate at {told(Value(PLATE))}, room {told(Value(DINING))}. A cold plate helps."),
            Answer("In the store", "{0}", (Value(_keeps(), "down"),),
                   f"At {told(Value(STORE))} from a batch machine, until a tongue may feel the crystals, the soonest; by one dairy ice."))


# --- gel -----------------------------------------------------------------------------------------------------------------------------
TEXTURES = ("soft", "sliceable", "firm")


def _poured(w):
    return min(max(w.hydrate.mid, w.sets.high + MARGIN), Q_(95, "degC"))


@functools.lru_cache(256)
def setting_through(batch, agent):
    """Time in a still fridge until the middle of a deep tub is at the cold end of setting.  Source: `setting.window`, `heat.cooling`."""
    w = setting.window(agent)
    return heat.cooling(_poured(w), w.sets.low, batch, row("watery gel"), row("plastic tub"), row("still fridge")).unstirred


def gel_now(batch, agent, texture):
    """A set gel: batch of finished mix, agent's Row, texture (soft, sliceable, firm) -> five Answers.

    Source: `dose`, `setting.window`, `heat.cooling`; the rows' doses are typical figures of the trade.
    """
    share, about = dose(agent, texture)
    w = setting.window(agent)
    grams = weigh(share, batch)
    count = ("{0}, {1} leaves", (grams, Value(gels.leaves(Q_(100 * share, "percent"), batch, agent).m, "near", "weighed", 0.5))) \
        if "leaf_mass" in agent else ("{0}", (grams,))
    hot = w.gels_on == "heating"
    boil = of(agent, "hydration_time") if "hydration_time" in agent else None
    at, lasts = (w.hydrate.high, boil and boil.high) if hot else (w.hydrate.mid, boil and boil.low)
    heating = (("stir in below {0}, rest {1}" if hot else "{0} for {1}", (Value(at), Value(lasts, "up"))) if boil else
               ("{0}, until no grain is left", (Value(at),)))
    if hot:
        sets = ("sets above {0}", (Value(w.sets.high, "up"),))
        fridge = Answer("Set through", "when hot all through", (), "It sets warm and lets go again in the cold: the fridge does not set it.")
        last = ("eat above {0}", (Value(w.melts.high, "up"),))
    else:
        sets = ("pour above {0}, sets by {1}", (Value(w.sets.high, "up"), Value(w.sets.low, "down")))
        start = _poured(w)
        fridge = Answer("In the fridge", "{0}", (listed(setting_through(batch, agent), "up"),),
                        f"Middle of one deep tub, unstirred, from {told(Value(start))}; shallow trays are far quicker. "
                        f"Gelatin goes on firming overnight. {REDONE}.")
        last = ("melts from {0}", (Value(w.melts.low, "down"),)) if w.melts else ("does not melt again", ())
    wet = (f" Soaked and wrung, a gram of it brings {show(gels.soaking_water(Q_(1, 'g'), agent), 1)} of water: count that as liquid."
           if "soaking_uptake" in agent else "")
    return (Answer(agent.key[0].upper() + agent.key[1:], *count, f"{about}.{wet}"),
            Answer("Dissolve", *heating,
                   f"{agent.hydration_note.rstrip('.')}." if "hydration_note" in agent else "Into cold liquid first; then heat, stirring."),
            Answer("Pour", *sets, "The range of its rows: other makes, salts and doses move it."),
            fridge, Answer("On the plate", *last, "A warm plate and a hot sauce count."))


# --- what each technique asks ----------------------------------------------------------------------------------------------------------
def oils():
    """Oils whose density is known, the shelf's last."""
    return tuple(dict.fromkeys((*(key for key in ("sunflower oil", "canola oil") if key in kinds()),
                                *(key for key in kinds("vegetable oil") if key != "vegetable oil"))))


def bases():
    return tuple(record["base"] for record in tables.records("freezing_bases"))


def rescue(*techniques):
    """The faults across techniques as a Table, symptom first: what to do now and the minutes it costs. All where none is named."""
    return Table(("what you see", "do now", "minutes", "why", "with"),
                 [(f["symptom"], f["rescue"], f["minutes"], f["cause"], f["technique"]) for f in faults(*techniques)])


@functools.cache
def _faults():
    return tuple(cells for _, cells in read_csv(DATASETS / "faults.csv")[1])


def faults(*techniques):
    """Rows of faults.csv of these techniques, all where none is named, in the file's order."""
    return tuple(cells for cells in _faults() if not techniques or cells["technique"] in techniques)
