"""Lesson 51: what to make, when to begin, what a slip does, what a swap does to list and diet, cost, hands. Four core exercises, the rest further.

`known` answers are worked by hand, the arithmetic written out, or stand in a list that was read.
"""
import math

from ... import dish, order, service
from ...mixes import Mix
from ...units import Q_
from ..exercises import Draw, Exercise, Pick, PickRow, Slip

ZERO = Q_(0.0, "min")


def apart(*values, by=0.02):
    """Whether wrong ways lie apart: a variant in which two of them meet is drawn again."""
    ordered = sorted(values)
    return all(b - a > by * b for a, b in zip(ordered, ordered[1:]))


def work(key, fixed, each=ZERO, after=()):
    """A row of a dish's steps, most of it empty."""
    return dish.Work(key, "", fixed, each, None, 1, 0, after, ZERO, None, "", ())


def alone(*foods):
    """A dish of one component with these foods."""
    return dish.Dish("x", (dish.Component("x", Mix({food: Q_(1, "g") for food in foods}, own=False), Q_(1, "g"), (), "", ()),), ())


# --- core --------------------------------------------------------------------------------------------------------------------------
TO_MAKE = Exercise(
    key="service-01", title="The order sheet", minutes=3,
    question="{covers} plates with {portion} of emulsion each. {held} stay in the piping bag. Of all that is made the bowl keeps {lost}. How much do you "
             "make?",
    givens={"covers": Draw(16, 40, 2, ""), "portion": Draw(10, 20, 2, "g"), "held": Draw(10, 30, 5, "g"), "lost": Draw(10, 20, 1, "percent")},
    fits=lambda covers, portion, held, lost: apart((covers * portion + held).m / (1 - lost.m / 100), (covers * portion + held).m * (1 + lost.m / 100),
                                                   (covers * portion).m / (1 - lost.m / 100), (covers * portion + held).m, by=0.01),
    solve=lambda portion, covers, held, lost: service.batch_for(portion, covers, held, lost),
    unit="g", within=0.004,
    slips=(Slip(lambda covers, portion, held, lost: (covers * portion + held) * (1 + lost.m_as("")),
                "The bowl keeps its share of what you make, not of what you need: divide by what is left over."),
           Slip(lambda covers, portion, lost: covers * portion / (1 - lost.m_as("")), "The last plates stay empty: the bag keeps some too."),
           Slip(lambda covers, portion, held: covers * portion + held, "The bowl takes its share before the bag is filled.")),
    between={"needed": lambda covers, portion, held: covers * portion + held, "left": lambda lost: Q_(100, "percent") - lost},
    steps=("On the plates and in the bag: {needed}.", "That is {left} of what is made: {needed} over {left} is {answer}."),
    known=({"covers": 24, "portion": Q_(12, "g"), "held": Q_(30, "g"), "lost": Q_(20, "percent")}, Q_(397.5, "g"), "24 x 12 + 30 = 318; 318 / 0.8 = 397.5"))


def chain(boil, cool, freeze, rest, last, emulsion):
    """Plan of an ice that is boiled, cooled, frozen, rested and dressed, with an emulsion beside it; two cooks."""
    steps = [order.Step("boil", boil, 1, 1), order.Step("cool", cool, 0), order.Step("freeze", freeze, 2), order.Step("dress", last),
             order.Step("emulsion", emulsion)]
    links = [order.Link("boil", "cool"), order.Link("cool", "freeze"), order.Link("freeze", "dress", rest), order.Link("emulsion", "dress")]
    return order.plan(steps, links, 2, 1)


LATEST_START = Exercise(
    key="service-02", title="The latest start", minutes=4,
    question="An ice: boil the base {boil}, cool it in ice water {cool}, freeze it {freeze} (two cooks), let it stand for {rest}, then scoop and dress {last}. "
             "A cook who is free makes the emulsion, {emulsion}, before the plates are dressed. How many minutes before the service must work begin "
             "at the latest?",
    givens={"boil": Draw(10, 20, 1, "min"), "cool": Draw(60, 120, 10, "min"), "freeze": Draw(8, 16, 1, "min"), "rest": Draw(5, 8, 1, "min"),
            "last": Draw(12, 24, 2, "min"), "emulsion": Draw(26, 40, 2, "min")},
    solve=lambda boil, cool, freeze, rest, last, emulsion: chain(boil, cool, freeze, rest, last, emulsion).lead,
    unit="min", within=Q_(0.5, "min"),
    slips=(Slip(lambda boil, cool, freeze, rest, last, emulsion: boil + cool + freeze + rest + last + emulsion,
                "The emulsion is made while the ice cools: it does not stand in this chain."),
           Slip(lambda boil, freeze, rest, last: boil + freeze + rest + last, "Cooling holds no hands, but the clock runs."),
           Slip(lambda boil, cool, freeze, last: boil + cool + freeze + last, "The ice stands before it is scooped: that is time too."),
           Slip(lambda cool, freeze, rest, last: cool + freeze + rest + last, "And who boils the base?")),
    between={"cold": lambda boil, cool: boil + cool},
    steps=("The longest chain counts: boil and cool {cold}, then freeze {freeze}, stand {rest}, scoop and dress {last}.",
           "Together {answer}. The emulsion fits beside the cooling, for the first cook's hands are free then."),
    known=({"boil": Q_(15, "min"), "cool": Q_(90, "min"), "freeze": Q_(12, "min"), "rest": Q_(5, "min"), "last": Q_(18, "min"), "emulsion": Q_(30, "min")},
           Q_(140, "min"), "15 + 90 + 12 + 5 + 18 = 140; the emulsion lies beside the 90"))


def late_after(opens, emulsion, dress, slip):
    """How late the service is when an emulsion, begun as the kitchen opens, takes so much longer [min]."""
    made = order.plan([order.Step("emulsion", emulsion), order.Step("dress", dress)], [order.Link("emulsion", "dress")], 1, 0, opens)
    return order.slip(made, "emulsion", slip, early=True).late


SLIP = Exercise(
    key="service-03", title="A pan that slips", minutes=3,
    question="The emulsion is begun {opens} before the service. It takes {emulsion}, and dressing {dress}. Now it splits, and takes {slip} longer. "
             "How late are the plates?",
    givens={"opens": Draw(40, 60, 5, "min"), "emulsion": Draw(12, 20, 1, "min"), "dress": Draw(16, 26, 1, "min"), "slip": Draw(10, 30, 5, "min")},
    fits=lambda opens, emulsion, dress, slip: apart(slip.m - (opens - emulsion - dress).m, (opens - emulsion - dress).m, slip.m, by=0.2)
    and 2 <= slip.m - (opens - emulsion - dress).m <= 20 and (opens - emulsion - dress).m >= 3,
    solve=lambda opens, emulsion, dress, slip: late_after(opens, emulsion, dress, slip),
    unit="min", within=Q_(0.2, "min"),
    slips=(Slip(lambda slip: slip, "It was begun before it had to be: part of the slip is swallowed."),
           Slip(lambda slack: slack, "That is how long it could wait. What is left of the slip?"),
           Slip(lambda slack, slip: slack + slip, "The time in hand comes off the slip, not on top.")),
    between={"slack": lambda opens, emulsion, dress: opens - emulsion - dress},
    steps=("Time in hand: {opens} less {emulsion} less {dress} is {slack}.", "Of the {slip} that much is swallowed: the plates are {answer} late."),
    known=({"opens": Q_(45, "min"), "emulsion": Q_(15, "min"), "dress": Q_(26, "min"), "slip": Q_(10, "min")}, Q_(6, "min"), "45 - 15 - 26 = 4; 10 - 4 = 6"))

LISTED, OTHERS = "on its list", "not on its list"
LIST_AFTER_SWAP = Exercise(
    key="service-04", title="A swap, and the list", minutes=3,
    question="Cider vinegar leaves a dressing, and {food} comes in. The kitchen is in: {place}. Is what the swap brings in named by that place's "
             "allergen list? Look it up: service.allergens, or cautions.declare([row(...)], place).",
    givens={"food": PickRow(("yellow mustard", "celery", "heavy cream", "egg yolk", "fermented anchovy")),
            "place": Pick(("United States", "Canada", "European Union", "United Kingdom", "Australia"))},
    solve=lambda food, place: LISTED if service.allergens(alone(food), place).rows else OTHERS,
    unit=(LISTED, OTHERS),
    slips=(Slip(LISTED, "It is on other lists. On this one its name does not stand: read the place's own."),
           Slip(OTHERS, "Read the list once more: it stands there.")),
    steps=("The allergen of the food first, then the place's own list: here it is {answer}.",
           "Lists differ by place, guests do not: who asks is told what is in it, whether the list names it or not. Read the pack of this lot too."),
    known=({"food": "yellow mustard", "place": "United States"}, OTHERS,
           "the United States' nine: milk, egg, fish, shellfish, tree nuts, peanuts, wheat, soy, sesame; no mustard"))


# --- further practice --------------------------------------------------------------------------------------------------------------
COST_WITH_YIELD = Exercise(
    key="service-05", title="Cost with yield",
    question="You need {wanted} of trimmed {food}. Of what you buy {food.refuse} goes into the bin. A kilogram costs {price} in the school's money. What does "
             "the trimmed lot cost?",
    givens={"wanted": Draw(2.0, 4.0, 0.2, "kg"), "food": PickRow(("onion", "carrot")), "price": Draw(1.2, 2.4, 0.1, "")},
    solve=lambda price, wanted, food: service.bought_cost(price, wanted, food),
    unit="", within=0.004,
    slips=(Slip(lambda price, wanted: price * wanted.m_as("kg"), "You pay for the peel too: first what you buy, then its price."),
           Slip(lambda price, wanted, food: price * wanted.m_as("kg") * (1 + food.refuse.m_as("")),
                "The waste is a share of what is bought, not of what is wanted: divide by what is left over."),
           Slip(lambda price, wanted, food: price * wanted.m_as("kg") * (1 - food.refuse.m_as("")),
                "Trimmed food is dearer than what was bought, not cheaper.")),
    between={"bought": lambda wanted, food: wanted / (1 - food.refuse.m_as(""))},
    steps=("To buy: {wanted} over what is left after trimming, {bought}.", "At {price} a kilogram: {answer}."),
    known=({"wanted": Q_(2.4, "kg"), "food": "onion", "price": 1.5}, 4.0, "refuse of onion 10 % (USDA): 2.4 / 0.9 = 2.667 kg; x 1.50 = 4.00"))

SCALES = ("with the covers", "not at all", "by batches")
THINGS = {"the agar in the pearls' base": SCALES[0], "the trout to buy": SCALES[0], "the alginate in the spheres' base": SCALES[0],
          "how long a pearl must fall in the oil": SCALES[1], "how long a sphere of one size lies in the bath": SCALES[1],
          "how long the boiled agar must be kept at the boil": SCALES[1],
          "lifting spheres, six covers at a time": SCALES[2], "freezing in a bowl that takes one litre": SCALES[2],
          "cooling in trays that hold 2 kg each": SCALES[2]}
WHAT_SCALES = Exercise(
    key="service-06", title="What does not scale",
    question="From {few} to {many} covers. How does this grow: {thing}?",
    givens={"few": Pick((12, 18)), "many": Pick((24, 36, 48)), "thing": Pick(tuple(THINGS))},
    solve=lambda thing: THINGS[thing],
    unit=SCALES,
    slips=(Slip(SCALES[0], "Grams go with the covers. Is this grams?"),
           Slip(SCALES[1], "It is more work with more plates. Does it come in grams, or in whole batches?"),
           Slip(SCALES[2], "Is there a bowl, a tray or a pair of hands that is full?")),
    steps=("Grams go with the covers. What one piece does in heat, cold or calcium does not. What fills a bowl, a tray or a pair of hands goes by batches.",
           "So: {answer}."),
    known=({"few": 12, "many": 24, "thing": "lifting spheres, six covers at a time"}, "by batches",
           "2 batches become 4: the hands are full at six (common practice)"))

DRIPPING = Exercise(
    key="service-07", title="Dripping for more",
    question="For one batch of pearls the base boils for {boil}, whatever its size. Setting up the tips takes {fixed}, dripping and lifting {each} a "
             "cover. How many minutes of one cook's hands for {covers} covers?",
    givens={"boil": Draw(10, 16, 1, "min"), "fixed": Draw(5, 9, 1, "min"), "each": Draw(0.4, 0.8, 0.1, "min"), "covers": Draw(18, 48, 6, "")},
    solve=lambda boil, fixed, each, covers: service.labour(dish.Dish("x", (), (work("boil", boil), work("drip", fixed, each, after=("boil",)))), round(covers)),
    unit="min", within=0.01,
    slips=(Slip(lambda boil, fixed, each, covers: (boil + fixed + each * 12) * (covers / 12), "Only the dripping goes with the covers: the boil is one boil."),
           Slip(lambda fixed, each, covers: fixed + each * covers, "Somebody stands at the boil too."),
           Slip(lambda boil, each, covers: boil + each * covers, "The tips want setting up first.")),
    between={"drips": lambda each, covers: each * covers},
    fits=lambda boil, fixed, each, covers: apart((boil + fixed).m + each.m * covers, (boil + fixed + each * 12).m * covers / 12, fixed.m + each.m * covers,
                                                 boil.m + each.m * covers, by=0.03),
    steps=("Once, whatever the covers: {boil} and {fixed}. With the covers: {drips}.", "Together {answer}. Twice the covers are less than twice the minutes."),
    known=({"boil": Q_(12, "min"), "fixed": Q_(5, "min"), "each": Q_(0.5, "min"), "covers": 24}, Q_(29, "min"), "12 + 5 + 24 x 0.5 = 29"))


COVERS_A_PAIR = Exercise(
    key="service-08", title="Covers for the hands there are",
    question="A pair of hands dresses {at_once} plates at a time, in {batch}. A dressed plate keeps for {keeps}, and all leave together. How many plates can "
             "{people} pairs of hands dress for one service?",
    givens={"at_once": Draw(4, 8, 2, ""), "batch": Draw(3, 5, 0.5, "min"), "keeps": Draw(5, 12, 1, "min"), "people": Draw(2, 3, 1, "")},
    fits=lambda people, batch, keeps: keeps.m / batch.m % 1 > 0.05 and people * (keeps.m // batch.m) != keeps.m // batch.m + 1,
    solve=lambda people, at_once, batches: people * at_once * batches,        # tests/teaching/test_pass_sheet.py asks service.plan too
    unit="", within=0,
    slips=(Slip(lambda people, at_once, batches: people * at_once * (batches - 1), "The last batch needs not wait at all: it is ready as the plates leave."),
           Slip(lambda at_once, batches: at_once * batches, "That is one pair of hands."),
           Slip(lambda people, at_once, batches: people * at_once * (batches + 1),
                "The first batch of those would stand too long: only whole batches that keep count.")),
    between={"batches": lambda batch, keeps: math.floor(keeps.m / batch.m) + 1},
    steps=("The last batch ends as the plates leave. Before it whole batches of {batch} fit into {keeps}: {batches} batches in all for a pair of hands.",
           "{people} pairs of hands, {at_once} plates a batch: {answer}."),
    known=({"at_once": 6, "batch": Q_(4.5, "min"), "keeps": Q_(5, "min"), "people": 3}, 36, "5 / 4.5: one batch before the last; 3 x 2 x 6 = 36"))

DIET_AFTER_SWAP = Exercise(
    key="service-09", title="A swap, and the diet",
    question="The pearls are carrot juice, {sets} and {sweet}. A guest eats {diet}. What do the rows say? They know yes, no, and ask (the supplier). Ask for "
             "service.diet, or read the rows' own word for each food.",
    givens={"sets": PickRow(("agar", "gelatin", "gellan")), "sweet": PickRow(("sugar", "dextrose")), "diet": Pick(("vegetarian", "vegan"))},
    solve=lambda sets, sweet, diet: service.diet(alone("carrot juice", sets, sweet), diet).answer,
    unit=("yes", "no", "ask"),
    slips=(Slip("yes", "One food of it is from an animal, or nobody has asked its maker. Which?"),
           Slip("no", "Nothing of it is surely from an animal."),
           Slip("ask", "Here every row has an answer of its own: the strictest one counts.")),
    steps=("The strictest food decides: gelatin is from animals; cane sugar may be cleared with bone char, so for vegans its maker is asked.", "So: {answer}. "
           "Shared boards and pots are not in it."),
    known=({"sets": "agar", "sweet": "sugar", "diet": "vegan"}, "ask", "agar is a seaweed's; sugar may be cleared over bone char (common practice)"))

CLASH = Exercise(
    key="service-10", title="How many hands for the last minutes",
    question="{covers} covers. Six at a time: lifting spheres takes {lift} a batch, scooping ice {scoop}, dressing {dress}. By their windows all of this falls "
             "into the last {window}. How many pairs of hands at least?",
    givens={"covers": Draw(18, 48, 6, ""), "lift": Draw(4, 5, 0.5, "min"), "scoop": Draw(3, 4, 0.5, "min"), "dress": Draw(4, 5, 0.5, "min"),
            "window": Draw(16, 20, 1, "min")},
    fits=lambda covers, lift, scoop, dress, window: 0.1 < covers / 6 * (lift + scoop + dress).m / window.m % 1 < 0.9
    and covers / 6 - covers / 6 * (lift + scoop + dress).m / window.m > 1,
    solve=lambda wanted, window: math.ceil(wanted.m / window.m),
    unit="", within=0,
    slips=(Slip(lambda wanted, window: math.floor(wanted.m / window.m), "Rounded down, some of the work has nobody: round up."),
           Slip(lambda wanted, window: math.ceil(6 * wanted.m / window.m), "The times are for a batch of six, not for each cover."),
           Slip(lambda covers: covers / 6, "That counts batches. How many minutes of hands are they, and how many has one pair?")),
    between={"wanted": lambda covers, lift, scoop, dress: covers / 6 * (lift + scoop + dress)},
    steps=("Minutes of hands wanted: {wanted}. One pair of hands has {window}.",
           "Rounded up: {answer}. At least: windows and whole batches may ask for one more."),
    known=({"covers": 24, "lift": Q_(4.5, "min"), "scoop": Q_(3.5, "min"), "dress": Q_(4.5, "min"), "window": Q_(19, "min")}, 3,
           "4 x 12.5 = 50; 50 / 19 = 2.6"))
