"""Weighing: per cent on which base, what to buy, what the scale's step does to a dose, and whether the instruments read right.

Per cent alone says nothing: of the total, of the liquid, of the flour, or grams in a litre. Published refuse is what the peeler takes
off; what the juicer and the sieve keep back comes on top, and only your own weighing knows it.
"""
import math
from typing import NamedTuple

import numpy as np

from .tables import Row
from .units import OutOfRange, Q_, boundary, plain, record, show


# --- per cent of what ----------------------------------------------------------------------------------------------------------------
@boundary("g", dose="percent", total="g", valid={"dose": (0, 100), "total": (0, 1e6)})
def of_total(dose, total):
    """Grams of an ingredient for a dose on the total: dose * total.

    dose [percent of total mass], 0 to 100; total [g], 0 to 1,000,000; returns [g].  Source: arithmetic.
    """
    return dose * total


@boundary("g", dose="percent", liquid="g", valid={"dose": (0, 95), "liquid": (0, 1e6)})
def into_liquid(dose, liquid):
    """Grams to add to a liquid so that they are `dose` of the total: liquid * dose / (1 - dose).

    dose [percent of the total], 0 to 95; liquid [g], 0 to 1,000,000; returns [g].  Source: arithmetic.
    """
    return liquid * dose / (1 - dose)


@boundary("percent", dose="percent", valid={"dose": (0, 1900)})
def on_total(dose):
    """Per cent on the liquid told as per cent of the total: p / (1 + p). 3 % on the liquid are 2.91 % of the total.

    dose [percent of the liquid's mass], 0 to 1,900; returns [percent of the total].  Source: arithmetic.
    """
    return dose / (1 + dose)


@boundary("percent", dose="percent", valid={"dose": (0, 95)})
def on_liquid(dose):
    """Per cent of the total told as per cent on the liquid: p / (1 - p); `on_total` the other way round.

    dose [percent of the total], 0 to 95; returns [percent of the liquid's mass].  Source: arithmetic.
    """
    return dose / (1 - dose)


@boundary("g/L", dose="percent", density="kg/m**3", valid={"dose": (0, 100), "density": (500, 2500)})
def per_litre(dose, density):
    """Per cent of the total told as grams in a litre: dose * density. Ten grams in a litre are 1 % w/v.

    dose [percent of the total mass], 0 to 100; density of the finished mix [kg/m³], 500 to 2,500; returns [g/L].  Source: definition.
    """
    return dose * density


@boundary("percent", concentration="g/L", density="kg/m**3", valid={"concentration": (0, 2500), "density": (500, 2500)})
def from_per_litre(concentration, density):
    """Grams in a litre told as per cent of the total; `per_litre` the other way round. 5 % w/v vinegar is 50 g/L.

    concentration [g/L], 0 to 2,500; density of the finished mix [kg/m³], 500 to 2,500; returns [percent of the total mass].
    Raises OutOfRange where a litre would hold more than it weighs.  Source: definition.
    """
    if np.any(concentration > density * (1 + 1e-12)):
        raise OutOfRange("from_per_litre: a litre cannot hold more grams than it weighs: look at both numbers")
    return concentration / density


@boundary("percent", mass="g", flour="g", valid={"mass": (0, 1e6), "flour": (0.001, 1e6)})
def bakers_percent(mass, flour):
    """Baker's per cent: an ingredient on the flour, which is 100 %. The sum is more than 100 %.

    mass of the ingredient [g], 0 to 1,000,000; flour, all kinds together [g], 0.001 to 1,000,000; returns [percent of the flour].
    Source: arithmetic.
    """
    return mass / flour


@boundary("g", batch="g", formula="percent", valid={"batch": (0, 1e6), "formula": (100, 1000)})
def flour_for(batch, formula):
    """Flour in a batch whose baker's per cents, flour's 100 among them, add up to `formula`: batch / formula.

    batch [g], 0 to 1,000,000; formula: the sum [percent], 100 to 1,000; returns [g].  Source: arithmetic.
    """
    return batch / formula


@boundary("g", water="g", strength="brix", valid={"water": (0, 1e6), "strength": (0, 95)})
def sugar_for(water, strength):
    """Sucrose into pure water for a syrup of so many °Brix, grams in 100 g of syrup: water * B / (1 - B).

    water [g], 0 to 1,000,000; strength [brix], 0 to 95; returns [g].  Source: definition of the degree Brix.
    """
    return water * strength / (1 - strength)


@boundary("g", mass="g", strength="percent", wanted="percent", valid={"mass": (0, 1e6), "strength": (0.001, 100), "wanted": (0.001, 100)})
def water_to_dilute(mass, strength, wanted):
    """Water that thins a syrup, a vinegar or a stock to the wanted strength: mass * (strength / wanted - 1).

    mass [g], 0 to 1,000,000; strength, wanted [percent of total mass, or brix], 0.001 to 100; returns [g].
    Raises OutOfRange where it is weaker than wanted already.  Source: mass balance, c1 m1 = c2 m2.
    """
    if np.any(wanted > strength * (1 + 1e-12)):
        raise OutOfRange(f"water_to_dilute: {plain(100 * np.max(wanted))} % is stronger than what is there: boil it down, or add more of it")
    return mass * np.maximum(strength / wanted - 1, 0.0)


# --- what to buy -----------------------------------------------------------------------------------------------------------------------
def edible(food):
    """Share of a food that is left after trimming, as a pure number: its own `yield` if it has one, else 1 less its published `refuse`.

    Raises LookupError where the row has neither.  Source: the row; usda-sr28 for refuse.
    """
    if "yield" in food:
        return food.si("yield")
    if "refuse" not in food:
        raise LookupError(f"nobody has weighed what trimming {food.key} costs: weigh 1 kg before and after, and put its yield on your shelf")
    return 1 - food.si("refuse")


@boundary("g", wanted="g", food=Row, form=("trimmed", "juice"), valid={"wanted": (0, 1e6)})
def to_buy(wanted, food, form="trimmed"):
    """Produce to buy so that this much is left: wanted / trimmed share, and for juice / juice share as well. Divide, never multiply.

    Parameters
    ----------
    wanted : trimmed food, or strained juice [g], 0 to 1,000,000
    food : Row with refuse or yield; for juice also juice_yield
    form : "trimmed", or "juice": pressed and strained, out of the trimmed food

    Returns
    -------
    [g as bought]

    Raises
    ------
    LookupError
        The food has no yield of that kind in the tables: weigh it and put it on your shelf.

    Source
    ------
    usda-sr28, column refuse; juice_yield from the row, shipped ones are guesses (memory) with a wide spread.
    """
    return wanted / edible(food) / (food.si("juice_yield") if form == "juice" else 1.0)


@boundary("", price="", share="percent", valid={"price": (0, 1e6), "share": (0.1, 100)})
def usable_price(price, share):
    """What a kilogram costs once trimmed: price / share.

    price of a kilogram as bought [your money], 0 to 1,000,000; share left to use [percent], 0.1 to 100; returns the same money.
    Source: arithmetic.
    """
    return price / share


# --- what a step on the display does ---------------------------------------------------------------------------------------------------
_READ = ("tared", "one reading")
_STEP = (1e-4, 100)


@boundary("g", step="g", tared=_READ, repeats="g", calibration="g", valid={"step": _STEP, "repeats": (0, 100), "calibration": (0, 100)})
def uncertainty(step, tared="one reading", repeats=None, calibration=None):
    """Standard uncertainty of a mass: the step as a rectangle, how the scale repeats, how far it may be off, by root-sum-square.

    Parameters
    ----------
    step : the smallest step shown [g], 0.0001 to 100: half-width step / 2, so step / sqrt(12)
    tared : "tared" if a bowl was set to zero first: two readings, each with its step and its repeatability
    repeats : standard deviation of the same thing weighed again and again [g], 0 to 100
    calibration : the scale may be off by so much either way [g], 0 to 100: a rectangle, over sqrt(3)

    Returns
    -------
    [g]

    Source
    ------
    jcgm-100-2008, F.2.2.1, 4.3.7, 5.1.2 equation 10.
    """
    readings = 2 if tared == "tared" else 1
    spread = 0.0 if repeats is None else repeats
    return combined(np.sqrt(readings) * step / math.sqrt(12), np.sqrt(readings) * spread, (0.0 if calibration is None else calibration) / math.sqrt(3))


def combined(*parts):
    """Independent standard uncertainties of one kind together: the root of the sum of their squares. 3 and 4 make 5.

    parts : quantities or bare SI numbers, each already times its sensitivity.  Source: jcgm-100-2008, 5.1.2 equation 10.
    """
    return np.sqrt(sum(part ** 2 for part in parts))


Weighed = record("Weighed", standard="g", relative="percent", low="g", high="g")


@boundary(Weighed, mass="g", step="g", tared=_READ, valid={"mass": (1e-3, 1e6), "step": _STEP})
def resolution(mass, step, tared="one reading"):
    """What a scale that shows whole steps says about a mass.

    Parameters
    ----------
    mass : the reading [g], 0.001 to 1,000,000
    step : the smallest step the scale shows [g], 0.0001 to 100
    tared : "tared" if a bowl was set to zero first (two readings), else "one reading"

    Returns
    -------
    standard : standard uncertainty u = step / sqrt(12), times sqrt(2) if tared [g]
    relative : u over the mass [percent]
    low, high : the least and greatest mass that shows this reading: half a step either way, a whole step if tared [g]; low not
        below 0

    Notes
    -----
    The floor only: repeatability and calibration come on top (`uncertainty`). Some scales swallow a slow trickle of powder altogether
    (`slow_powder`).

    Source
    ------
    jcgm-100-2008, F.2.2.1 (0.29 of a step), 5.1.2 equation 10.
    """
    standard, off = uncertainty.si(step, tared), step if tared == "tared" else step / 2
    return standard, standard / mass, np.maximum(mass - off, 0.0), mass + off


@boundary("g", step="g", within="percent", tared=_READ, valid={"step": _STEP, "within": (0.1, 100)})
def smallest_load(step, within, tared="one reading"):
    """Least mass that a scale weighs to `within` (expanded, twice the standard uncertainty): 2 u / within, 11.5 steps for 5 %.

    step [g], 0.0001 to 100; within [percent of the mass], 0.1 to 100; tared as in `resolution`; returns [g].
    Source: jcgm-100-2008, F.2.2.1 and 6.2.
    """
    return 2 * uncertainty.si(step, tared) / within


@boundary("g", dose="percent", step="g", within="percent", tared=_READ, valid={"dose": (1e-3, 100), "step": _STEP, "within": (0.1, 100)})
def smallest_batch(dose, step, within, tared="one reading"):
    """Least batch in which this scale doses to `within` (expanded): the smallest load over the dose.

    dose [percent of the total], 0.001 to 100; step [g], 0.0001 to 100; within [percent of the dose], 0.1 to 100; tared as in
    `resolution`; returns the batch [g].  Source: `smallest_load`.
    """
    return smallest_load.si(step, within, tared) / dose


SOLD = (100.0, 50.0, 20.0, 10.0, 5.0, 2.0, 1.0, 0.5, 0.2, 0.1, 0.05, 0.02, 0.01, 0.005, 0.002, 0.001)     # steps of scales, in g


@boundary("g", mass="g", within="percent", tared=_READ, valid={"mass": (1e-3, 1e6), "within": (0.1, 100)})
def scale_for(mass, within, tared="one reading"):
    """The coarsest step of a scale that still weighs this mass to `within` (expanded).

    mass [g], 0.001 to 1,000,000; within [percent of the mass], 0.1 to 100; tared as in `resolution`; returns the step [g], one of those
    that scales are sold with: 1, 2 or 5 times a power of ten, 100 g to 0.001 g.
    Raises OutOfRange where even 0.001 g is too coarse: make a stock (`by_stock`).  Source: `smallest_load`; steps: common practice.
    """
    least = smallest_load.si(np.array(SOLD) / 1000, np.asarray(within)[..., None], tared)
    enough = least <= np.asarray(mass)[..., None] * (1 + 1e-9)
    if not enough.any(axis=-1).all():
        raise OutOfRange("scale_for: no kitchen scale weighs so little so well: make a stock and weigh more of that")
    return np.array(SOLD)[enough.argmax(axis=-1)] / 1000


Dose = record("Dose", dose="percent", standard="percent", relative="percent", low="percent", high="percent")


@boundary(Dose, mass="g", batch="g", step="g", batch_step="g", tared=_READ,
          valid={"mass": (1e-3, 1e6), "batch": (0.01, 1e6), "step": _STEP, "batch_step": _STEP})
def dose_weighed(mass, batch, step, batch_step=None, tared="one reading"):
    """The dose that was weighed, with what two displays leave open.

    Parameters
    ----------
    mass : of the ingredient [g], 0.001 to 1,000,000
    batch : finished, the ingredient in it [g], 0.01 to 1,000,000
    step : of the scale for the ingredient [g], 0.0001 to 100
    batch_step : of the scale for the batch; left out: the same
    tared : "tared" if both stood in a bowl set to zero

    Returns
    -------
    dose : mass / batch [percent]
    standard : its standard uncertainty [percent of the total]
    relative : that over the dose [percent]
    low, high : dose less and plus twice the standard uncertainty [percent]; low not below 0

    Raises OutOfRange where the ingredient weighs more than the batch.

    Source
    ------
    jcgm-100-2008, 5.1.6 equation 12: of a quotient the relative uncertainties add by root-sum-square.
    """
    if np.any(mass > batch):
        raise OutOfRange("dose_weighed: the ingredient weighs more than the finished batch: swap them?")
    dose = mass / batch
    relative = combined(uncertainty.si(step, tared) / mass, uncertainty.si(step if batch_step is None else batch_step, tared) / batch)
    return dose, dose * relative, relative, np.maximum(dose * (1 - 2 * relative), 0.0), dose * (1 + 2 * relative)


Carried = record("Carried", relative="percent", low="percent", high="percent")


@boundary(Carried, relative="percent", sensitivity="", valid={"relative": (0, 100), "sensitivity": (-6, 6)})
def carried(relative, sensitivity):
    """What the weighing does to the texture: a strength that goes as dose ** sensitivity.

    Parameters
    ----------
    relative : standard uncertainty of the dose, of the dose [percent], 0 to 100
    sensitivity : power with which the result follows the dose, -6 to 6: 2 for most gels; below 0 for what falls with the dose

    Returns
    -------
    relative : standard uncertainty of the result, |sensitivity| * relative [percent of it]
    low, high : the result at the dose less and plus twice its uncertainty, as percent of the intended one

    Source
    ------
    jcgm-100-2008, 5.1.3 and 5.1.6 equation 12; low and high are the power law itself, so that they stay above 0.
    """
    ends = [np.maximum(1 + sign * 2 * relative, 0.0) for sign in (-1, 1)]
    if np.any(np.asarray(sensitivity) < 0) and np.any(ends[0] == 0):
        raise OutOfRange("carried: such a dose may be nothing at all, and the result endless: weigh more, or on a finer scale")
    low, high = (end ** sensitivity for end in ends)
    return np.abs(sensitivity) * relative, np.minimum(low, high), np.maximum(low, high)


Stock = record("Stock", portion="g", powder="g", carrier="g", relative="percent")


@boundary(Stock, dose="percent", batch="g", strength="percent", made="g", step="g", tared=_READ,
          valid={"dose": (1e-4, 100), "batch": (1, 1e6), "strength": (0.01, 100), "made": (0.1, 1e5), "step": _STEP})
def by_stock(dose, batch, strength, made, step, tared="one reading"):
    """A small dose by way of a stock solution, or of a dry premix in sugar: weigh more of something weaker.

    Parameters
    ----------
    dose : wanted in the finished batch [percent of the total], 0.0001 to 100
    batch : finished, the stock in it [g], 1 to 1,000,000
    strength : of the stock [percent of its total], 0.01 to 100
    made : how much stock is made [g], 0.1 to 100,000
    step, tared : of the one scale for all of it, as in `resolution`

    Returns
    -------
    portion : of stock into the batch: dose * batch / strength [g]. Take its water or sugar off the recipe's
    powder, carrier : that make the stock [g]
    relative : standard uncertainty of the dose, of the dose [percent]: powder, stock and portion, each read once

    Raises
    ------
    OutOfRange
        The stock is weaker than the dose wanted, or less of it is made than the batch takes.

    Source
    ------
    Mass balance, c1 m1 = c2 m2; jcgm-100-2008, 5.1.6 equation 12.
    """
    portion, powder = dose * batch / strength, strength * made
    if np.any(portion > batch * (1 + 1e-12)):
        raise OutOfRange("by_stock: the stock is weaker than the dose wanted: make it stronger")
    if np.any(portion > made * (1 + 1e-12)):
        raise OutOfRange(f"by_stock: the batch takes {plain(1000 * np.max(portion))} g of stock: make at least so much")
    read = uncertainty.si(step, tared)
    return portion, powder, made - powder, combined(read / powder, read / made, read / portion)


@boundary("percent", dose="percent", batch="g", step="g", within="percent", tared=_READ,
          valid={"dose": (1e-4, 100), "batch": (1, 1e6), "step": _STEP, "within": (0.1, 100)})
def strongest_stock(dose, batch, step, within, tared="one reading"):
    """The strongest stock of which this scale still weighs the portion to `within`: dose * batch / smallest load, 100 % where none is due.

    dose [percent of the total], 0.0001 to 100; batch [g], 1 to 1,000,000; step [g], 0.0001 to 100; within [percent], 0.1 to 100; tared
    as in `resolution`; returns [percent of the stock].  Source: `smallest_load`, mass balance.
    """
    return np.minimum(dose * batch / smallest_load.si(step, within, tared), 1.0)


# --- does it read right? ---------------------------------------------------------------------------------------------------------------
class Check(NamedTuple):
    """What a check of an instrument says. error: reading less truth; verdict: right, correct or stop; sentence: what to do."""
    error: object
    verdict: str
    sentence: str


OffInIce = record("OffInIce", error="delta_degC", blind="delta_degC", allowed="delta_degC")
OffByWeight = record("OffByWeight", error="g", blind="g", allowed="g")
OffInWater = record("OffInWater", error="brix", blind="brix", allowed="brix")


def _check(off, right, correct, stop):
    """right within what the display cannot tell (blind), correct within what is allowed, else stop."""
    if any(np.ndim(part.magnitude) for part in off):
        raise OutOfRange("a check is one reading at a time")
    size = abs(off.error.magnitude)
    verdict = "right" if size <= off.blind.m * (1 + 1e-9) else "correct" if size <= off.allowed.m * (1 + 1e-9) else "stop"
    return Check(off.error, verdict, {"right": right, "correct": correct, "stop": stop}[verdict])


@boundary(OffInIce, reading="degC", step="delta_degC", allowed="delta_degC", valid={"reading": (-10, 15), "step": (0.001, 5), "allowed": (0.01, 5)})
def off_in_ice(reading, step, allowed):
    """How far a probe is off in ice water: its reading less 0 °C; half a step that it cannot tell; what is allowed.

    reading [degC], -10 to 15: outside, that is no ice water, or no thermometer; step of the display, 0.001 to 5, allowed, 0.01 to 5
    [delta_degC].  Source: the ice point, 0 °C at 1 atm (si-brochure).
    """
    return reading - 273.15, step / 2, np.maximum(allowed, step / 2)


def ice_point(reading, step=Q_(0.1, "delta_degC"), allowed=Q_(1.0, "delta_degC")):
    """A probe in ice water: much crushed ice, little water, stirred, tip in the middle, read after a minute.

    reading, step, allowed as in `off_in_ice`; farther off than allowed it must not be used: 1 °C in California's code.
    Returns a `Check`. It knows only 0 °C: a probe for hot oil wants a second check in steam.
    Source: california-hsc-114159.
    """
    off = off_in_ice(reading, step, allowed)
    high, size = np.ravel(off.error.m)[0] > 0, show(abs(off.error), 2)
    return _check(
        off, f"The probe shows {show(reading)} in ice water: right to its display.",
        f"The probe shows {size} too {'much: take that off' if high else 'little: add that to'} every reading, or set it to 0 °C while it is in the "
        "ice, and write the date on it.",
        f"The probe is off by {size}, more than {show(allowed, 2)}: stir and read again. If it stays, judge no holding, cooking or cooling with it "
        "until it is set or replaced.")


@boundary(OffByWeight, reading="g", weight="g", step="g", within="percent",
          valid={"reading": (0, 1e5), "weight": (0.01, 1e5), "step": _STEP, "within": (0.01, 20)})
def off_by_weight(reading, weight, step, within):
    """How far a scale is off on a known weight: reading less weight; half a step that it cannot tell; what is allowed.

    reading 0 to 100,000, weight 0.01 to 100,000, step 0.0001 to 100 [g]; within: share of the weight, 0.01 to 20 [percent].
    Source: definition of an error (jcgm-100-2008, B.2.19).
    """
    return reading - weight, step / 2, np.maximum(within * weight, step / 2)


def check_weight(reading, weight, step, within=Q_(1.0, "percent")):
    """A known weight in the middle of the pan, near to what you weigh on this scale.

    As `off_by_weight`; off by a larger share than `within` the scale is not used, our limit. Returns a `Check`. One weight says nothing of
    the rest of the range: a second one should show the same share.  Source: common practice.
    """
    off = off_by_weight(reading, weight, step, within)
    share = show((abs(off.error) / weight).to("percent"), 2)
    times = (weight / reading).m_as("") if np.all(reading.m > 0) else 0.0
    return _check(
        off, f"The scale shows {show(reading, 4)} for {show(weight, 4)}: right to its display.",
        f"The scale shows {show(abs(off.error), 2)} too {'much' if np.ravel(off.error.m)[0] > 0 else 'little'} ({share}): level it, set it with its "
        f"own weight, or multiply what it shows by {show(times, 4)}.",
        f"The scale is off by {share}: level, out of the draught, fresh battery, set it again. Until then weigh nothing small on it.")


@boundary(OffByWeight, trickled="g", lifted="g", step="g", valid={"trickled": (0, 1e4), "lifted": (0.001, 1e4), "step": _STEP})
def off_by_trickle(trickled, lifted, step):
    """What a scale did not count while powder trickled in; a step that it cannot tell; what is allowed, 1 % (our limit).

    trickled: shown after the trickle, 0 to 10,000; lifted: shown after lifting the bowl and setting it down again, 0.001 to 10,000; step
    0.0001 to 100 [g]; the error is below 0 where powder was swallowed.  Source: definition.
    """
    return trickled - lifted, step, np.maximum(0.01 * lifted, step)


def slow_powder(trickled, lifted, step):
    """Does the scale swallow slow powder? Trickle it in grain by grain, read, lift the bowl, set it down, read again.

    Many scales take a slow drift for their own and follow it to zero. As `off_by_trickle`; returns a `Check`.  Source: common practice.
    """
    off = off_by_trickle(trickled, lifted, step)
    lost = f"{show(lifted, 3)} lie there, the scale counted {show(trickled, 3)} while they trickled in"
    return _check(
        off, f"{lost}: the same within a step. It counts slow powder.",
        f"{lost}: lift the bowl and set it down before you trust the last grams.",
        f"{lost}: weigh powder into a small cup apart and tip it onto the pan at once, or lift the bowl and set it down for every reading.")


Electrode = record("Electrode", slope="percent", offset="")


@boundary(Electrode, acid="", neutral="", acid_buffer="", neutral_buffer="",
          valid={"acid": (0, 14), "neutral": (0, 14), "acid_buffer": (1, 6), "neutral_buffer": (6.5, 8)})
def electrode(acid, neutral, acid_buffer=4.01, neutral_buffer=7.00):
    """Slope and offset of a pH meter from its readings in two buffers.

    acid, neutral : what it shows in the two, 0 to 14; acid_buffer, neutral_buffer : what the bottles say at that temperature, 1 to 6 and
    6.5 to 8
    returns slope: the readings' span over the buffers' [percent]; offset: reading less buffer, in the neutral one
    Source: straight line through two points (own-derivation).
    """
    return (neutral - acid) / (neutral_buffer - acid_buffer), neutral - neutral_buffer


@boundary("", reading="", slope="percent", offset="", neutral_buffer="",
          valid={"reading": (0, 14), "slope": (10, 200), "offset": (-7, 7), "neutral_buffer": (6.5, 8)})
def true_ph(reading, slope, offset, neutral_buffer=7.00):
    """The pH behind a reading of a meter whose slope and offset are known: buffer + (reading - offset - buffer) / slope.

    reading 0 to 14; slope [percent], 10 to 200; offset -7 to 7; neutral_buffer 6.5 to 8; a pure number.  Source: `electrode` turned round.
    """
    return neutral_buffer + (reading - offset - neutral_buffer) / slope


def two_point_ph(acid, neutral, acid_buffer=4.01, neutral_buffer=7.00):
    """A pH meter in two fresh buffers, rinsed between, all at one temperature.

    As `electrode`; returns a `Check` whose error is what a meter set in the neutral buffer alone is wrong by in the acid one.
    Source: ph-slope-sheet (slope 85 to 105 %, offset up to 30 mV, half a pH unit), all-about-ph (good: 95 to 102 %).
    """
    slope, offset = electrode(acid, neutral, acid_buffer, neutral_buffer)
    if np.ndim(offset):
        raise OutOfRange("a check is one reading at a time")
    error = (acid - offset) - acid_buffer
    percent, shown = slope.m_as("percent"), f"slope {show(slope, 3)}, offset {plain(offset, 2)}"
    if 95 <= percent <= 102 and abs(offset) <= 0.05:
        return Check(error, "right", f"The meter is right: {shown}.")
    if 85 <= percent <= 105 and abs(offset) <= 0.5:
        return Check(error, "correct", f"Set it in both buffers ({shown}); set in the neutral one alone it is wrong by {plain(abs(error), 1)} near pH "
                                       f"{plain(acid_buffer, 2)}.")
    return Check(error, "stop", f"Do not use it ({shown}): fresh buffers first, and the right bottle; then clean the bulb, soak it, or replace it.")


@boundary(OffInWater, reading="brix", step="brix", allowed="brix", valid={"reading": (-5, 10), "step": (0.01, 5), "allowed": (0.01, 5)})
def off_in_water(reading, step, allowed):
    """How far a refractometer is off on distilled water, which has 0 °Brix; half a step that it cannot tell; what is allowed.

    reading -5 to 10, step of the scale and allowed 0.01 to 5 [brix].  Source: definition of the degree Brix.
    """
    return reading, step / 2, np.maximum(allowed, step / 2)


def refractometer_zero(reading, step=Q_(0.2, "brix"), allowed=Q_(1.0, "brix")):
    """A refractometer on a drop of distilled water at its own temperature, prism clean and dry before.

    As `off_in_water`; returns a `Check`.  Source: common practice; 1 °Brix is our limit.
    """
    off = off_in_water(reading, step, allowed)
    shown = f"It shows {show(reading, 2)} on water"
    return _check(
        off, f"{shown}: right to its scale.", f"{shown}: turn its screw to 0, or take that off every reading.",
        f"{shown}, too far: wipe prism and lid, fresh distilled water, let it come to one temperature, set it to 0. Tap water and dried sugar both "
        "read as Brix.")
