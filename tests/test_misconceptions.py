"""What people get wrong: each wrong idea of the four subjects' lists, and where the course meets it.

A place is a slip (who reckons by the wrong idea hears its hint), a wrong idea told for the student to name, or a sentence: of a lesson, of
its faults, of a worked way, of what an explorer says. Wrong sums are worked here from the givens, never taken from the bank.
"""
import functools
import importlib
import inspect
import math
import re
from typing import Callable, NamedTuple

import nbformat
import pytest

from kitchenlib import nitrogen, pieces
from kitchenlib.tables import row
from kitchenlib.teaching import bank
from kitchenlib.teaching.copies import LESSONS
from kitchenlib.teaching.lesson import faults
from kitchenlib.teaching.exercises import VARIANTS
from kitchenlib.units import Q_, Quantity

G, MIDDLE = Q_(9.80665, "m/s**2"), Q_(-10, "degC")
BERRY, NITROGEN = row("strawberry", own=False), row("nitrogen bath", own=False)


# --- places ------------------------------------------------------------------------------------------------------------------------
def variants(exercise, claim=""):
    """The textbook version and the drawn ones in whose question the claim stands; of a heavy exercise the textbook version."""
    return [n for n in (None, *range(0 if exercise.heavy else VARIANTS)) if claim in exercise.text(n)]


class Slip(NamedTuple):
    """Who answers an exercise by the wrong idea hears a hint with these words, in each variant that the claim is asked in.

    wrong: the wrong word, or a function of the givens and of `right`, the right answer.
    """
    key: str
    wrong: Callable | str
    hint: str
    claim: str = ""

    def hold(self):
        exercise = bank.by_key()[self.key]
        asked = [n for n in variants(exercise, self.claim) if self.wrong != exercise.solved(n).truth]
        assert asked, f"{self.key} never asks {self.claim or self.wrong!r}"
        for number in asked:
            answer = self.wrong
            if callable(answer):
                truth = exercise.solved(number).truth
                known = exercise.variant(number) | {"right": Q_(truth, exercise.unit) if exercise.unit else truth}
                answer = answer(**{name: known[name] for name in inspect.signature(answer).parameters})
            verdict = exercise.verdict(answer.to(exercise.unit) if isinstance(answer, Quantity) else answer, number)
            assert verdict.word == "slip" and self.hint in verdict.hint, f"{self.key}, {answer}: {verdict}"


class Named(NamedTuple):
    """An exercise tells the wrong idea, and the right answer is its name or its judgement."""
    key: str
    claim: str
    name: str

    def hold(self):
        exercise = bank.by_key()[self.key]
        asked = variants(exercise, self.claim)
        assert asked and all(exercise.verdict(self.name, number).word == "right" for number in asked), self


class Said(NamedTuple):
    """A sentence of a lesson, found once; emphasis does not count."""
    lesson: str
    words: str

    def hold(self):
        assert told(self.lesson).count(self.words) == 1, f"lesson {self.lesson} says {self.words!r} not once"


class Fault(NamedTuple):
    """Words in the table of faults that a lesson shows."""
    lesson: str
    words: str

    def hold(self):
        rows = [" ".join(row) for row in faults(self.lesson).rows]
        assert sum(self.words in row for row in rows) == 1, self


class Way(NamedTuple):
    """A step of a worked answer."""
    key: str
    words: str

    def hold(self):
        assert self.words in " ".join(bank.by_key()[self.key].way()), self


class Reads(NamedTuple):
    """What an explorer says at these settings."""
    module: str
    explorer: str
    settings: dict
    words: str

    def hold(self):
        explorer = getattr(importlib.import_module(f"kitchenlib.teaching.explorers.{self.module}"), self.explorer)
        assert self.words in explorer.at(**self.settings)["words"], self


@functools.cache
def told(lesson):
    """All that a lesson's text cells say, without emphasis and line breaks."""
    path, = LESSONS.glob(f"{lesson}_*.ipynb")
    texts = (cell.source for cell in nbformat.read(path, 4).cells if cell.cell_type == "markdown")
    return re.sub(r"\s+", " ", "\n".join(texts).replace("*", ""))


def plank(size, film, air):
    """Plank for a ball of the lesson's berry, by hand."""
    return (Q_(1000, "kg/m**3") * Q_(307, "kJ/kg") / Q_(-0.8 - air.m, "kelvin") * (size / 6 / film + size ** 2 / 24 / Q_(2, "W/m/kelvin"))).to("min")


def newton(start, target, around, film, thick, food):
    """A slab cooled from both sides as if it were stirred."""
    holds = food.density * food.heat_capacity * thick / 2 / film
    return (holds * math.log((start - around) / (target - around))).to("min")


def by_ph_alone(litres, ph, wanted):
    """Citrate for the free hydrogen only, each citrate taking up 3 less its charge at the end (citric acid's pKa 3.128, 4.761, 6.396)."""
    weights = [1.0]
    for pka in (3.128, 4.761, 6.396):
        weights.append(weights[-1] * 10 ** (wanted - pka))
    charge = sum(n * weight for n, weight in enumerate(weights)) / sum(weights)
    return litres * Q_((10 ** -ph - 10 ** -wanted) / (3 - charge), "mol/L") * Q_(294.1, "g/mol")


def linear(brix, temperature, whole):
    """The linear rule's frozen share of a sucrose syrup; whole: what a kilogram of is counted, as a share of the syrup."""
    return 1 + 1.86 * 1000 * brix.m_as("") / whole / 342.3 / temperature.m


def in_syrup(brix, temperature, right):
    """How far too high the linear rule comes out with the moles counted in a kilogram of syrup."""
    true = linear(brix, temperature, 1 - brix.m_as("")) / (1 + right.m_as(""))
    return Q_(100 * (linear(brix, temperature, 1) / true - 1), "percent")


def given_off(base, heat, bowl, warm, target):
    """Heat of base, steel bowl and tools, and a fifth more."""
    return 1.2 * (base * heat + bowl * Q_(0.50, "kJ/kg/kelvin") * (warm - target))


# --- the lists ---------------------------------------------------------------------------------------------------------------------
LISTS = {"gels": 19, "spheres": 15, "emulsions": 20, "cryo": 19}       # so many lines in each subject's list of what people get wrong

GELS = (
    ("per cent of the water is per cent of the whole",
     Slip("gels-07", lambda liquid, dose: liquid * dose, "per cent of the juice"),
     Slip("units-02", lambda sugar, water: sugar / water, "per cent of the water"), Said("10", "10 g in 100 g of water is 9.1 %, not 10 %")),
    ("a millilitre is a gram",
     Slip("units-01", lambda volume: Q_(volume.m, "g"), "only if it is water"),
     Slip("emulsions-04", lambda right, light: right / light * Q_(1, "g/mL"), "A millilitre of oil weighs less than a gram")),
    ("dose goes inversely with Bloom",
     Slip("gels-01", lambda dose, bloom, other: dose * bloom / other, "the linear rule printed on many packs"),
     Said("10", "By the pack you would use a fifth less gelatin")),
    ("the display says 2 g, so it is 2 g",
     Slip("gels-04", lambda: 1.0, "it hides up to half a step"), Said("10", "From a bit over half to half as much again, and the display never moved")),
    ("twice the agent is twice as firm",
     Slip("gels-03", lambda dose, times: dose * times, "Twice the agar is more than four times as firm")),
    ("boiling off changes nothing",
     Slip("gels-02", lambda: 1.0, "The agar does not boil away"), Said("10", "put the pot back on the scale and top up with hot water")),
    ("Bloom, g/cm² and modulus are one thing; grams are a force; a difference is a temperature",
     Slip("gels-10", "gel strength", "the load per square centimetre at which a gel breaks", "A flat plunger"),
     Slip("gels-10", "Bloom", "it is no load per area", "in g/cm²"),
     Slip("gels-09", lambda load, side, lost: Q_((load / Q_(1, "kg")).m_as("") / side.m_as("m") ** 2 / lost.m_as("") / 3, "Pa"), "Grams are no force"),
     Slip("units-03", lambda drop: Q_(1.8 * drop.m + 32, "delta_degF"), "The 32 belongs to a temperature")),
    ("agar dissolves without boiling; gelatin is boiled",
     Fault("10", "agar swells in hot water but dissolves only at the boil"), Said("10", "Gelatin is soaked cold and melted gently; boiling weakens it")),
    ("what sets at 35 °C melts at 40 °C",
     Said("11", "agar that has set in the bowl does not come back in a warm bath"),
     Way("setting-12", "how far above setting does it melt? Agar has 50 degrees between")),
    ("purée may go cold into hot agar",
     Said("11", "That is inside agar's range: lumps"), Fault("11", "each streak fell below 39 °C and set, though the mean was warmer")),
    ("raw fruit sets in gelatin like any other",
     Said("11", "carry enzymes that cut gelatin, a protein"), Fault("11", "Raw kiwi, pineapple, papaya, fig or ginger digests gelatin")),
    ("acid and sugar may boil along with agar",
     Said("11", "So boil agar in water; sour juice goes in afterwards"), Said("11", "more than 40 % sugar goes in only once the agar has dissolved")),
    ("gelatin is judged after an hour",
     Slip("setting-10", lambda: 1.0, "it goes on stiffening through the night"), Fault("11", "at 10 °C it goes on getting firmer for 15 to 20 hours")),
    ("carrageenan and pectin set by themselves",
     Fault("10", "potassium for kappa, calcium for low-methoxyl pectin, sugar and acid for high-methoxyl pectin")),
    ("methylcellulose sets as it cools",
     Fault("11", "It works the other way round: it sets hot and melts cold"),
     Slip("setting-12", "methylcellulose", "sets on heating and melts as it cools", "melt on the tongue")),
    ("a set gel cools like a stirred pot",
     Slip("setting-05", newton, "That is the sum of a stirred pot"),
     Reads("setting_and_melting", "cooling", {}, "for a set gel the stirred sum is")),
    ("radius for diameter in Stokes; the whole thickness in the Fourier number",
     Slip("pearls-04", lambda diameter, heavier, thick: (diameter / 2) ** 2 * heavier * G / 18 / thick, "four times too slow"),
     Slip("setting-05", lambda right: 4 * right, "counts on the half thickness")),
    ("a leaf is a leaf",
     Slip("gels-05", lambda leaf, other: (other.bloom * other.leaf_mass / leaf.bloom / leaf.leaf_mass).m_as(""), "why a leaf seems to stand for a leaf"),
     Way("gels-05", "a leaf is not quite a leaf")),
    ("a result has all the digits that the sum shows",
     Said("10", "Write two digits of a firmness and no more"), Said("10", "from 306 to 1,707 g/cm²")),
)

SPHERES = (
    ("calcium chloride is calcium chloride, and lactate goes in gram for gram",
     Slip("spheres-01", lambda grams: grams, "less than half the calcium"), Slip("spheres-06", lambda grams: grams, "a third less calcium")),
    ("a per cent needs no basis, nor a second look at its point",
     Slip("spheres-05", lambda dose: Q_(dose.m, "g"), "That is the dose for 100 g"),
     Slip("spheres-05", lambda juice, dose: 10 * juice * dose, "Ten times too much"),
     Slip("weighing-01", lambda liquid, dose: liquid * dose, "per cent on the juice"),
     Slip("emulsions-05", lambda strength: Q_(strength.m, "percent"), "do not weigh 100 g")),
    ("a sour liquid takes alginate like any other",
     Slip("liquids-02", "direct", "cloudy lumps, no shell"), Fault("21", "the chains lose their charge and drop out before any calcium comes")),
    ("citrate goes by the pH, the more the better",
     Slip("liquids-01", by_ph_alone, "as if it were a strong acid"),
     Said("21", "the strong-acid mistake"), Fault("21", "Citrate holds calcium too, one for one: it takes it from the shell")),
    ("milk and yogurt may go the direct way",
     Slip("liquids-03", "direct", "it cannot go straight", "yogurt"), Fault("20", "The liquid brings its own calcium")),
    ("any water wets alginate, and chloride is what spoils it",
     Slip("liquids-04", "all three uses", "look at what alginate bears"), Said("21", "It cannot be the chloride")),
    ("spheres may wait in the bath; lifting stops the gelling",
     Slip("spheres-12", "for good", "Loose calcium in the gel goes on", "You lift pearls"),
     Slip("spheres-04", lambda bound, capacity: bound / capacity, "The rinse does not stop it at once"),
     Reads("calcium_bath", "shell", {}, "Unrinsed and held long, it gels through from 41 s in the bath")),
    ("twice the time, or twice the calcium, is twice the shell",
     Slip("spheres-02", lambda time, factor: factor * time, "time goes with the square of thickness"),
     Slip("spheres-09", lambda times: times, "far from twice the shell")),
    ("more alginate makes a thicker shell",
     Slip("spheres-13", "thicker", "the places that wait for it", "More alginate"), Said("20", "Thinner, not thicker")),
    ("the base needs no rest",
     Said("20", "A bubble in a pearl floats it, or leaves a hole where it bursts"),
     Said("20", "Bubbles rise slowly, small ones and in thick base slowest")),
    ("a thin base drips from any height",
     Said("20", "a thin one is pulled to a tear or beaten flat"), Fault("20", "from too high it is beaten flat")),
    ("one bath lasts the service",
     Slip("spheres-03", lambda dose, volume, used: dose.m * Q_(10, "g/L") * volume / used * Q_(1, "kg"), "By then the bath is plain water"),
     Said("20", "Count grams of spheres, not hours")),
    ("spheres keep in water, or in any syrup",
     Fault("21", "Held in plain water: water goes in, taste and sugar come out"), Fault("21", "water leaves through the shell"),
     Slip("liquids-11", "stays", "Brix for Brix", "syrup of equal parts")),
    ("reverse liquid may be lighter than its bath",
     Said("21", "the liquid must be heavier than the bath, or it floats"), Fault("21", "The liquid is lighter than the alginate bath")),
    ("mg in 100 g is mg in a litre; grams of salt are grams of calcium",
     Said("21", "mostly in mg for 100 g: times ten is mg/kg"),
     Slip("spheres-07", lambda dose: dose.m * Q_(10, "g/L") / Q_(40.078, "g/mol"), "took grams of salt for grams of calcium")),
)

EMULSIONS = (
    ("share by mass is share by volume",
     Slip("emulsions-01", lambda oil, watery: oil / (oil + watery), "the share by mass")),
    ("the yolk is the limit",
     Said("30", "The yolk is not used up. The water is."), Fault("30", "the room is used up, not the yolk")),
    ("a yolk brings no room of its own",
     Slip("emulsions-04", lambda acid, mark, light, heavy: acid / heavy * mark / (1 - mark) * light, "Yolks make room too: each is half water")),
    ("a yolk is all water",
     Slip("emulsions-06", lambda oil, yolk, acid, light, heavy: oil / light / (oil / light + (yolk + acid) / heavy), "counts the whole yolk as watery")),
    ("half the droplet takes twice the time",
     Slip("sauces-01", lambda hours, times: hours * times, "the speed goes with the square of the size")),
    ("an emulsifier stops creaming",
     Said("31", "an emulsifier keeps droplets from running together, not from rising")),
    ("a pinch of xanthan never harms",
     Said("31", "A pinch can be worse than none"), Fault("31", "just so little xanthan that they stick in flocs")),
    ("xanthan is counted on the whole",
     Slip("sauces-05", lambda batch, dose: batch * dose, "The oil does not thicken")),
    ("past packing a sauce still has a viscosity",
     Said("30", "Past packing the sum runs to no end, and the sauce does not: it becomes solid-like")),
    ("74 % is a wall",
     Said("30", "So neither mark is a wall: past 74 % the droplets go flat")),
    ("radius and diameter are told by the letter",
     Slip("sauces-08", lambda right: 2 * right, "the diameter where the radius belongs"),
     Slip("spheres-08", lambda right: 4 * right, "the radius into the form for the diameter"),
     Said("30", "is the tension of the skin, $R$ the half width")),
    ("acid is counted on the whole sauce",
     Slip("sauces-07", lambda acid, water, cream: acid / (water + cream / Q_(1, "g/mL")), "its fat holds no acid"),
     Said("31", "Acid is in the water: oil holds none")),
    ("lemon does what vinegar does at the same pH",
     Said("31", "the vinegar recipe and the lemon recipe aim at different pH. A number from one says nothing of the other")),
    ("the fridge makes raw egg safe",
     Said("31", "the fridge takes no Salmonella out of a raw egg"),
     Slip("sauces-09", "says so", "no count of what lives", "In the fridge whatever lived in the egg dies sooner")),
    ("grams in 100 mL are grams in 100 g",
     Slip("sauces-06", lambda strength, weighed: strength * weighed / Q_(1000, "g/L"), "That took a litre for a kilogram")),
    ("HLB speaks of yolk and gum",
     Said("30", "It says nothing of proteins, yolk or gums")),
    ("overrun is the share of gas",
     Slip("emulsions-11", lambda liquid, foam: (liquid - foam) / liquid, "That is the gas in the foam")),
    ("the step is the uncertainty, and the tare costs nothing",
     Slip("weighing-02", lambda step, dose, within: step / within / dose, "A whole step is more than the display hides"),
     Slip("weighing-04", lambda right: right / 2 ** 0.5, "The tare is a reading too")),
    ("per cent on the liquid is per cent of the whole",
     Slip("weighing-01", lambda liquid, dose: liquid * dose, "per cent on the juice"), Said("01", "Two words save the batch")),
    ("what to buy is the need times the yield",
     Slip("weighing-03", lambda wanted, food, pressed: wanted * pressed * (1 - food.refuse), "You multiplied"),
     Said("01", "going back from the juice to the market you divide, never multiply")),
)

CRYO = (
    ("all the water freezes",
     Slip("freezing-10", lambda batch, brix: batch * (1 - brix) * Q_(333.6, "kJ/kg"), "Not all of it freezes"),
     Reads("freezing_curve", "curve", {}, "that all water freezes is 42 % too much")),
    ("the gas's cold counts in full, or not at all",
     Slip("nitrogen-03", lambda base, heat, bowl, warm, target: given_off(base, heat, bowl, warm, target) / nitrogen.cold(target, 1), "leaves an open bowl"),
     Said("41", "what it takes up on its way out counts only where it is caught")),
    ("the bowl costs nothing",
     Slip("nitrogen-03", lambda base, heat, boiling: 1.2 * base * heat / boiling, "The bowl and the tools get cold too")),
    ("ten litres of liquid are ten litres in the room",
     Slip("nitrogen-01", lambda fresh, vessel, room: fresh * (1 - vessel / room), "this slip has killed people"),
     Named("nitrogen-08", "stays at 20.89 %", "liquid for gas")),
    ("a litre of nitrogen is a kilogram",
     Slip("nitrogen-05", lambda mass: Q_(mass.m_as("kg"), "L"), "the same for water only"),
     Named("nitrogen-08", "is a litre, like water", "kilograms for litres")),
    ("Brix is beside 100 g of water; moles are counted in the syrup; 10 % of sugar freezes at -1.86 °C",
     Slip("freezing-04", lambda brix, water: water * brix / 100, "A degree Brix is of the syrup, not of the water"),
     Slip("freezing-07", in_syrup, "moles in a kilogram of syrup"),
     Said("40", "web pages that print -1.86 or -3.8 °C are wrong")),
    ("salt and alcohol count like sugar; ions are two at any strength",
     Slip("freezing-05", lambda salt: Q_(-1.86 * salt.m_as("g") / 342.3, "degC"), "You counted the salt like sugar"),
     Slip("freezing-06", lambda spirit: 0.334 * spirit, "You counted alcohol like sugar"), Way("freezing-05", "the ions do a little less than two")),
    ("all sugars soften alike",
     Slip("freezing-02", lambda sucrose: sucrose, "Gram for gram dextrose brings more molecules")),
    ("Plank takes the half thickness, kilojoules and any unit of time",
     Slip("pieces-01", lambda size, film, air: plank(size / 2, film, air), "Plank wants the whole diameter"),
     Slip("pieces-01", lambda size, film, air: plank(size, film, air) / 1000, "a kilojoule is 1000 of them"),
     Said("42", "joules and not kilojoules, metres, a difference in kelvin; then seconds come out")),
    ("formulas for freezers hold in nitrogen",
     Said("42", "holds for air of -15 to -45 °C"), Said("42", "In nitrogen neither counts")),
    ("a dip ends when the middle is frozen",
     Slip("pieces-03", lambda size, start: pieces.freezing_time(start, MIDDLE, NITROGEN, BERRY, "sphere", size), "You waited for the middle"),
     Said("42", "the middle is not frozen at all")),
    ("twice as cold is twice as quick",
     Slip("pieces-07", lambda: (-0.8 + 195.8) / (-0.8 + 35), "the ratio of the differences in temperature alone"),
     Said("42", "wraps it in its own vapour, a blanket")),
    ("fog is harmless; no fog is safe",
     Slip("nitrogen-09", "true", "it shows where cold gas is, and no more", "fog means no danger"),
     Slip("nitrogen-09", "true", "it shows where cold gas is, and no more", "There is no fog"), Fault("41", "No fog proves nothing")),
    ("a short release settles at once; air changes are cubic metres",
     Slip("nitrogen-06", lambda fresh, liquid, ratio, minutes, room, changes: fresh * (
         1 - liquid * ratio / minutes / (room * Q_(changes, "1/hour"))), "That is where it would settle after hours"),
     Named("nitrogen-08", "six air changes an hour: that is 6 m³", "air changes for cubic metres")),
    ("the gas law holds in a full vessel",
     Named("nitrogen-08", "n R T over V gives 701 bar", "ideal gas in a full vessel"), Said("41", "gas as dense as liquid does not keep to it")),
    ("what was frozen fast stays smooth",
     Said("42", "Small crystals do not last"), Fault("42", "Small crystals melt away and large ones grow")),
    ("the smooth line is for radii, or for the mean",
     Said("42", "most of its crystals, measured across, are below 50 µm"), Said("42", "the largest are felt first")),
    ("one shape's factors do for another; a printed number has its point right",
     Slip("pieces-01", lambda size, film, air: 1.5 * plank(size, film, air), "1/4 and 1/16 belong to a long cylinder"),
     Said("42", "carries 2932 for 293.2 kJ/kg and gets ten times the time")),
    ("the enthalpy at freezing is the heat of freezing",
     Said("42", "is the heat from -40 °C up to freezing, not the heat of freezing")),
)

SUBJECTS = {"gels": GELS, "spheres": SPHERES, "emulsions": EMULSIONS, "cryo": CRYO}
ROWS = [pytest.param(places, id=f"{subject} {number}: {idea}") for subject, rows in SUBJECTS.items() for number, (idea, *places) in enumerate(rows, 1)]


@pytest.mark.parametrize("places", ROWS)
def test_a_wrong_idea_is_met(places):
    assert places
    for place in places:
        place.hold()


@pytest.mark.parametrize("place", [
    Slip("gels-07", lambda liquid, dose: 2 * liquid * dose, "per cent of the juice"), Slip("gels-07", lambda liquid, dose: liquid * dose, "another hint"),
    Slip("spheres-12", "not at all", "", "You lift pearls"), Slip("nitrogen-09", "true", "", "a claim that nobody makes"),
    Named("nitrogen-08", "stays at 20.89 %", "kilograms for litres"), Named("nitrogen-08", "a claim that nobody makes", "liquid for gas"),
    Said("10", "nobody says this"), Said("10", "agar"), Fault("10", "nobody says this"), Fault("41", "agar swells in hot water"),
    Way("gels-05", "nobody says this"),
    Reads("calcium_bath", "shell", {}, "nobody says this")], ids=lambda place: repr(place).partition(" at 0x")[0])
def test_what_is_not_met_is_seen(place):
    with pytest.raises(AssertionError):
        place.hold()


def test_no_line_of_the_lists_is_dropped():
    assert {subject: len(rows) for subject, rows in SUBJECTS.items()} == LISTS
    ideas = [idea for rows in SUBJECTS.values() for idea, *_ in rows]
    assert len(set(ideas)) == len(ideas)
