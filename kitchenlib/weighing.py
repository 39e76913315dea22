"""Weighing: per cent on which base, what to buy, what the scale's step does to a dose. Whether it reads right: `instruments`.

Per cent alone says nothing: of the total, of the liquid, of the flour, or grams in a litre. Published refuse is what the peeler takes
off; what the juicer and the sieve keep back comes on top, and only your own weighing knows it.
"""
import math

import numpy as np

from .tables import Row
from .units import OutOfRange, boundary, plain, record


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
STEP = (1e-4, 100)              # g, of a display


@boundary("g", step="g", tared=_READ, repeats="g", calibration="g", valid={"step": STEP, "repeats": (0, 100), "calibration": (0, 100)})
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


@boundary(Weighed, mass="g", step="g", tared=_READ, valid={"mass": (1e-3, 1e6), "step": STEP})
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


@boundary("g", step="g", within="percent", tared=_READ, valid={"step": STEP, "within": (0.1, 100)})
def smallest_load(step, within, tared="one reading"):
    """Least mass that a scale weighs to `within` (expanded, twice the standard uncertainty): 2 u / within, 11.5 steps for 5 %.

    step [g], 0.0001 to 100; within [percent of the mass], 0.1 to 100; tared as in `resolution`; returns [g].
    Source: jcgm-100-2008, F.2.2.1 and 6.2.
    """
    return 2 * uncertainty.si(step, tared) / within


@boundary("g", dose="percent", step="g", within="percent", tared=_READ, valid={"dose": (1e-3, 100), "step": STEP, "within": (0.1, 100)})
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
          valid={"mass": (1e-3, 1e6), "batch": (0.01, 1e6), "step": STEP, "batch_step": STEP})
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
    Raises OutOfRange where the dose may be nothing at all and the result falls with it.

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
          valid={"dose": (1e-4, 100), "batch": (1, 1e6), "strength": (0.01, 100), "made": (0.1, 1e5), "step": STEP})
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
          valid={"dose": (1e-4, 100), "batch": (1, 1e6), "step": STEP, "within": (0.1, 100)})
def strongest_stock(dose, batch, step, within, tared="one reading"):
    """The strongest stock of which this scale still weighs the portion to `within`: dose * batch / smallest load, 100 % where none is due.

    dose [percent of the total], 0.0001 to 100; batch [g], 1 to 1,000,000; step [g], 0.0001 to 100; within [percent], 0.1 to 100; tared
    as in `resolution`; returns [percent of the stock].  Source: `smallest_load`, mass balance.
    """
    return np.minimum(dose * batch / smallest_load.si(step, within, tared), 1.0)
