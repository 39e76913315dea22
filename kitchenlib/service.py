"""The service: a dish for so many covers as batch sheet, purchase, cost, allergens and diet, order of work and food-safety log.

Teaching text, never clearance: the log says what to measure and against which limit; people decide.
"""
import math
from typing import NamedTuple

import numpy as np

from . import cautions, order, rules, tables, weighing
from .dish import FISH, MOST, known
from .tables import Row, row
from .units import OutOfRange, Q_, boundary, one_of, show

GRADES = ("bloom", "gel_strength", "one_percent_viscosity", "hydrate", "assay")
NO_PURCHASE = ("water", "tap water")


def _covers(covers):
    if isinstance(covers, bool) or not isinstance(covers, (int, np.integer)) or not 1 <= covers <= MOST:
        raise OutOfRange(f"covers is a whole number from 1 to {MOST}, not {str(covers)[:40]!r}")
    return int(covers)


# --- batch sheet -------------------------------------------------------------------------------------------------------------------------
@boundary("g", portion="g", covers="", held_back="g", lost="percent",
          valid={"portion": (1e-3, 1e4), "covers": (1, MOST), "held_back": (0, 1e4), "lost": (0, 90)})
def batch_for(portion, covers, held_back, lost):
    """What to make so that all plates are full: (portion * covers + held back) / (1 - lost).

    portion on one plate [g], 0.001 to 10,000; covers 1 to 2,000; held_back in syringe or bag [g], 0 to 10,000; lost: share that bowl, sieve and
    breakage keep [percent of what is made], 0 to 90; returns [g].  Source: mass balance.
    """
    return (portion * covers + held_back) / (1 - lost)


def batch(component, covers):
    """How much of a component to make [g]. Losses one after the other: what each leaves is multiplied."""
    if component.portion is None:
        return component.mix.mass.to("g")
    records = [known("losses")[word] for word in component.losses]
    held = sum((record["held back"] for record in records if record["held back"] is not None), Q_(0.0, "g"))
    left = math.prod(1 - record["share"].m_as("") for record in records if record["share"] is not None)
    return batch_for(component.portion, _covers(covers), held, Q_(100 * (1 - left), "percent"))


class Scale(NamedTuple):
    """step: the smallest step shown; most: what it carries."""
    step: object
    most: object


SCALES = (Scale(Q_(1.0, "g"), Q_(5000.0, "g")), Scale(Q_(0.01, "g"), Q_(200.0, "g")))          # common practice
WITHIN = Q_(5.0, "percent")                                  # our limit for a weighing, expanded


class Weighing(NamedTuple):
    component: str
    ingredient: str
    wanted: object               # g
    shown: object                # what the scale is to show [g]
    step: object                 # of the scale to take [g]
    within: object               # expanded uncertainty of the mass, tared [percent]
    note: str


def sheet(dish, covers, scales=SCALES, within=WITHIN):
    """Batch sheet: what the scale is to show, on which scale, and how sure that is.

    The coarsest scale at hand that carries it and weighs it to `within` (expanded, tared); where there is none, the finest, and a note.
    Returns a tuple of Weighing, components in the dish's order. Raises OutOfRange for covers, ValueError where there is no scale.
    Source: weighing.resolution (jcgm-100-2008).
    """
    if not scales:
        raise ValueError("a batch sheet needs at least one scale: Scale(Q_(1, 'g'), Q_(5000, 'g'))")
    coarse, lines = sorted(scales, key=lambda scale: -scale.step.m_as("g")), []
    for component in dish.components:
        for food, kg in component.mix.scaled(batch(component, covers)).parts.items():
            wanted = Q_(1000 * kg, "g")
            if not kg:
                continue
            carry = [scale for scale in coarse if wanted <= scale.most]
            good = [scale for scale in carry if wanted >= weighing.smallest_load(scale.step, within, "tared")]
            scale = (good or carry[-1:] or [max(coarse, key=lambda scale: scale.most)])[0]
            step = scale.step.m_as("g")
            shown = Q_(step * round(wanted.m / step), "g")
            off = Q_(200 * weighing.uncertainty(scale.step, "tared").m_as("g") / wanted.m, "percent")
            note = "" if good else f"no scale here weighs it to {show(within, 2)}: make a stock, or a bigger batch" if carry else \
                f"weigh it in parts: the scale carries {show(scale.most)}"
            lines.append(Weighing(component.key, food.key, wanted, shown, scale.step, off, note))
    return tuple(lines)


# --- purchase and cost -------------------------------------------------------------------------------------------------------------------
@boundary("", price="", wanted="g", food=Row, form=("trimmed", "juice"), valid={"price": (0, 1e6), "wanted": (0, 1e6)})
def bought_cost(price, wanted, food, form="trimmed"):
    """What the food behind so much that is trimmed or pressed costs: price * what is bought.

    price of a kilogram as bought [your money], 0 to 1,000,000; wanted [g], 0 to 1,000,000; food, form as weighing.to_buy, which says what it
    raises; returns the same money.  Source: arithmetic.
    """
    return price * weighing.to_buy.si(wanted, food, form)


class Purchase(NamedTuple):
    food: str
    grade: str                   # what the row says of the grade it stands for
    used: object                 # g, trimmed or pressed
    bought: object               # g, as bought
    packs: object                # whole packs; None where no pack is known
    lead_time: object            # day; None where it is not known
    price: object                # of a kilogram, in your money; None where it is missing
    cost: object                 # of what is used up, in your money; None where the price is missing
    how: str                     # how the price is known
    note: str


def purchase(dish, covers, own=True):
    """What to buy, food by food: trimming and pressing put on top, whole packs, lead time, price. Tap water is not bought.

    own: whether the shelf's grades, yields and prices count. Returns a tuple of Purchase. Raises OutOfRange for covers.
    Source: weighing.to_buy; prices and packs from the rows (shipped ones are made).
    """
    used, wanted, shelf = {}, {}, tables.shelf()[0] if own else {}
    for component in dish.components:
        for food, kg in component.mix.scaled(batch(component, covers)).parts.items():
            if kg and food.key not in NO_PURCHASE:
                food = row(food.key) if food.key in shelf else food
                source, form = (row(food.si("pressed_from"), own), "juice") if "pressed_from" in food else (food, "trimmed")
                note, sure = "", source
                if "yield" not in source and "refuse" not in source:
                    note, sure = "bought ready: nothing to trim", source.but(refuse=Q_(0, "percent"))
                kept = used.setdefault(source, [0.0, 0.0, note])
                kept[0] += kg
                kept[1] += weighing.to_buy.si(kg, sure, form)
                wanted[source] = form
    lines = []
    for food, (kg, bought, note) in used.items():
        price, pack, lead = (food.fact(name) if name in food else None for name in ("price", "pack", "lead_time"))
        grade = ", ".join(f"{name.replace('_', ' ')} {food.fact(name)}" for name in GRADES if name in food)
        if wanted[food] == "juice":
            note = f"pressed; juice yield {food.fact('juice_yield')}"
        lines.append(Purchase(food.key, grade, Q_(1000 * kg, "g"), Q_(1000 * bought, "g"),
                              pack and math.ceil(1000 * bought / pack.value.m_as("g") - 1e-9), lead and lead.value,
                              price and float(price.value), None if price is None else float(price.value) * bought, price.how if price else "", note))
    return tuple(lines)


def labour(dish, covers):
    """Minutes of hands: each step's time for all its batches, times the hands it holds [min]."""
    made, _ = work(dish, covers)
    return sum((step.time * step.hands for step in made), Q_(0.0, "min"))


class Cost(NamedTuple):
    """In your money, a portion; None where nothing is known of it. words name what is missing."""
    food: float
    labour: object
    minutes: object              # of hands, a portion
    missing: tuple
    words: str


def cost(dish, covers, wage=None, own=True):
    """What one portion costs: food as bought, and hands at a wage of an hour [your money]; what has no price is named and not counted.

    Raises OutOfRange for covers, or a wage below 0.  Source: arithmetic.
    """
    if wage is not None and not (isinstance(wage, (int, float)) and 0 <= wage < math.inf):
        raise OutOfRange(f"the wage of an hour is a number in your money, 0 and above, not {str(wage)[:40]!r}")
    bought, minutes = purchase(dish, covers, own), labour(dish, covers) / covers
    missing = tuple(line.food for line in bought if line.cost is None) + (() if wage is not None else ("the wage",))
    food = sum(line.cost for line in bought if line.cost is not None) / covers
    hands = None if wage is None else wage * minutes.m_as("hour")
    told = f"A portion costs {'at least ' if missing else ''}{food + (hands or 0):.2f}: food {food:.2f}" + (f", hands {hands:.2f}" if hands is not None else "")
    rest = f" Not counted, for want of a price: {', '.join(missing)}." if missing else ""
    return Cost(food, hands, minutes, missing, f"{told} ({order.minutes(minutes)} of hands).{rest} Rent, power and breakage of plates are not in it.")


# --- allergens and diet --------------------------------------------------------------------------------------------------------------------
def foods(dish):
    """The Rows of all foods of a plate, each once; baths and oils too, for what was in them is on the plate."""
    return tuple(dict.fromkeys(food for component in dish.components for food in component.mix.parts))


def allergens(dish, place):
    """What the plate has to declare at a place, and what only other lists name. Returns rules.Told.  Source: cautions.declare."""
    return cautions.declare(foods(dish), place)


class Diet(NamedTuple):
    """answer: yes, no, ask or unknown; against: the foods that make it so."""
    answer: str
    against: tuple
    words: str


def diet(dish, kind):
    """Whether the plate is vegetarian or vegan, by its foods' rows: one 'no' is no, else one 'ask' asks, else one without a row is unknown."""
    one_of(kind, ("vegetarian", "vegan"), "a diet")
    said = {}
    for food in foods(dish):
        said.setdefault(food.si(kind) if kind in food else "unknown", []).append(food.key)
    answer = next((word for word in ("no", "ask", "unknown") if word in said), "yes")
    against = tuple(said.get(answer, ())) if answer != "yes" else ()
    told = {"yes": f"By its rows the plate is {kind}.", "no": f"Not {kind}: {', '.join(against)}.",
            "ask": f"Perhaps not {kind}: ask the supplier of {', '.join(against)}.",
            "unknown": f"Nobody knows whether it is {kind}: no row speaks of {', '.join(against)}."}[answer]
    return Diet(answer, against, f"{told} Read every pack; shared boards and fryers are not in this.")


# --- order of work -------------------------------------------------------------------------------------------------------------------------
def work(dish, covers):
    """(steps, links) of `order` for so many covers: a step that takes fewer covers at once becomes several, 'lift spheres 2 of 3'.

    Batches of two steps that take equally many follow each other one to one, else each waits for all. What a step keeps, or a meeting lets
    stand, is the window until the next step, or until the service where none follows.
    """
    covers, made, links = _covers(covers), {}, []
    for step in dish.steps:
        size = min(step.at_once or covers, covers)
        sizes = [size] * (covers // size) + ([covers % size] if covers % size else [])
        made[step.key] = [order.Step(step.key if len(sizes) == 1 else f"{step.key} {k} of {len(sizes)}", step.fixed + n * step.each, step.hands, step.burners)
                          for k, n in enumerate(sizes, 1)]
    after = {step.key: [later.key for later in dish.steps if step.key in later.after] for step in dish.steps}
    for step in dish.steps:
        met = known("meetings")[step.meets] if step.meets else None
        windows = [(step.keeps, "it keeps no longer")] * (step.keeps is not None)
        windows += [(met["within"], f"{step.meets}: {met['why']}, {met['how']}")] if met else []
        most, why = min(windows, default=(None, ""), key=lambda window: window[0])
        for then in after[step.key] or [order.SERVICE]:
            batches = made.get(then, [])
            pairs = [(a.key, then) for a in made[step.key]] if not batches else \
                [(a.key, b.key) for a, b in zip(made[step.key], batches)] if len(batches) == len(made[step.key]) else \
                [(a.key, b.key) for a in made[step.key] for b in batches]
            links += [order.Link(a, b, step.rests, most, why) for a, b in pairs]
    return tuple(step for batches in made.values() for step in batches), tuple(links)


def step_of(dish, key):
    """The row of the dish's steps behind 'lift spheres 2 of 4'."""
    names = {step.key: step for step in dish.steps}
    return names.get(key) or names[key.rsplit(" ", 3)[0]]


def plan(dish, covers, people, burners, opens=None):
    """The order of work of a dish. As `order.plan`; ValueError names a circle of steps, OutOfRange bad covers."""
    return order.plan(*work(dish, covers), people, burners, opens)


def most_covers(dish, people, burners, up_to=120):
    """The most covers at one service for which a plan is found with these hands, and what stops one more -> (covers, Plan of one more or None).

    0 where not even one plate works. Halving: a plan for more covers is taken to be no easier.
    """
    good, bad, stopped = 0, _covers(up_to) + 1, None
    while bad - good > 1:
        try_ = (good + bad) // 2
        made = plan(dish, try_, people, burners)
        good, bad, stopped = (try_, bad, stopped) if made.found else (good, try_, made)
    return good, stopped


def bench_tasks(dish):
    """(meeting, minutes, why, how known, task) of each meeting on the plate: its minutes are from memory, so measure your own."""
    return tuple((word, record["within"], record["why"], record["how"], record["bench"])
                 for word in dict.fromkeys(step.meets for step in dish.steps if step.meets) for record in (known("meetings")[word],))


class Pace(NamedTuple):
    step: str
    covers: int                  # a batch
    each: object                 # covers a batch for one pair of hands; None where no hands are held
    time: object                 # of a batch


def pace(dish, covers):
    """Covers in a batch, and for each pair of hands that the batch holds, step by step. Hands do not scale as grams do."""
    covers = _covers(covers)
    sizes = [min(step.at_once or covers, covers) for step in dish.steps]
    return tuple(Pace(step.key, n, n / step.hands if step.hands else None, step.fixed + n * step.each) for step, n in zip(dish.steps, sizes))


# --- food-safety log -----------------------------------------------------------------------------------------------------------------------
class Entry(NamedTuple):
    """One line of the log: what could go wrong at a step, the limit and whose it is, who measures with what, what if it is not met."""
    step: str
    control: str
    hazard: str
    limit: str
    who: str
    measure: str
    otherwise: str


def _state(component):
    """The state of a component's fish; raw where it is not said, '' where there is none."""
    holds = any("allergen" in food and food.si("allergen") == "fish" for food in component.mix.parts)
    return component.fish or ("raw" if holds else "")


def _own_controls(component):
    state, egg = _state(component), cautions.egg_in(component.mix)
    return ((("raw fish",) if state in ("raw", "cold smoked") else ()) + (("listeria",) if state in FISH[1:4] else ())
            + (("egg",) if egg != "no egg" else ()))


def _limit(control, place, component):
    rule = known("controls")[control]["rule"]
    if rule == "fish freezing":
        return rules.fish_freezing(place).words
    if rule == "egg":
        return cautions.hold(cautions.egg_in(component.mix), place).words
    if rule == "coldest":
        at = min(rules.holding_limit(place, "cold hold"), cautions.COLDEST_ASKED)
        return f"As cold as the fridge goes, {show(at, 2)} or colder. The place's own: {rules.standing(place, 'cold hold').words}"
    return rules.standing(place, rule).words if rule else known("controls")[control]["limit"]


def log(dish, place):
    """The food-safety log of a dish at a place: its steps' controls, and what fish and egg in a component ask for, at its first step.

    A fish whose state is not said counts as raw. Returns a tuple of Entry. It lists what to measure; nobody has looked at your kitchen.
    Source: rules and cautions, row by row; who, what with and what if not: common practice.
    """
    parts, met, entries = {component.key: component for component in dish.components}, set(), []

    def enter(step, control, component):
        record = known("controls")[control]
        entries.append(Entry(step, control, record["hazard"], _limit(control, place, component), *(record[name] for name in ("who", "measure", "otherwise"))))
    for step in dish.steps:
        component = parts.get(step.component)
        first = component is not None and component.key not in met and not met.add(component.key)
        for control in dict.fromkeys((*(_own_controls(component) if first else ()), *step.controls)):
            enter(step.key, control, component)
    for component in dish.components:                        # bought ready and worked on in no step of its own
        if component.key not in met:
            for control in _own_controls(component):
                enter(component.key, control, component)
    return tuple(entries)


BLANK = ("date", "time", "lot", "reading", "done instead", "initials")


def record(entries):
    """The log as a table to fill in: heading and rows of text, what is measured on the left and empty cells on the right."""
    return (("step", "hazard", "limit", "who", "measure", "if not", *BLANK),
            *((e.step, e.hazard, e.limit, e.who, e.measure, e.otherwise, *("",) * len(BLANK)) for e in entries))


def warnings(dish):
    """The cautions of all components and of their fish and egg, each once."""
    words = [word for component in dish.components for word in component.cautions]
    states = [_state(component) for component in dish.components]
    words += ["raw fish"] * any(state in ("raw", "cold smoked") for state in states) + ["smoked fish"] * any(state in FISH[1:4] for state in states)
    words += ["raw egg"] * any(cautions.egg_in(component.mix) == "raw egg" for component in dish.components)
    return cautions.for_(*words, "allergens")
