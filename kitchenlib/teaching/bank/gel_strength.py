"""Lesson 10: doses that set as firm, another grade, the boil, the scale. Four core exercises, the rest further practice.

`known` answers are worked by hand, the arithmetic written out. Slips are the usual ones: the linear rule, firmness taken for dose,
per cent of the liquid, a leaf for a leaf, a whole step of the scale.
"""
import math

from ... import gels, weighing
from ...mixes import Mix
from ...units import Q_
from ..exercises import Draw, Exercise, Pick, PickRow, Slip

SQUARE = 2                       # firmness as the square of the dose: the square-root rule of gelatin
GRAVITY = Q_(9.80665, "m/s**2")
LEAVES = ("gelatin leaf bronze", "gelatin leaf silver", "gelatin leaf gold", "gelatin leaf platinum")
ON_ITS_HEAD = "The ratio stands on its head: the higher the Bloom, the less you need."
LINEAR = ("That is the linear rule printed on many packs. It over-corrects: firmness goes as Bloom, but as the square of the dose. "
          "Take the root of the ratio.")


def in_pot(mass):
    """Mass as a dose in some pot: ratios of doses are ratios of masses."""
    return (mass / Q_(100, "g")).to("percent")


def unlike(bloom, other):
    """Whether two Blooms are far enough apart for the rules to differ."""
    return abs(math.log((bloom / other).m_as("dimensionless"))) > 0.12


# --- core --------------------------------------------------------------------------------------------------------------------------
SWAP_BLOOM = Exercise(
    key="gels-01", title="Another Bloom", minutes=3,
    question="A recipe sets with {dose} of a {bloom} gelatin. You have one of {other}. By the square-root rule, what dose of yours sets "
             "as firm?",
    givens={"dose": Draw(1.5, 4, 0.5, "percent"), "bloom": Draw(120, 260, 10, "Bloom"), "other": Draw(120, 260, 10, "Bloom")},
    fits=unlike,
    solve=lambda dose, bloom, other: gels.swap_grade(dose, bloom, other, SQUARE),
    unit="percent", within=0.01,
    slips=(Slip(lambda dose, bloom, other: gels.swap_grade(dose, bloom, other, 1), LINEAR),
           Slip(lambda dose, bloom, other: gels.swap_grade(dose, other, bloom, SQUARE), ON_ITS_HEAD),
           Slip(lambda dose: dose, "The same dose of another Bloom sets firmer or softer than meant.")),
    between={"ratio": lambda bloom, other: bloom / other, "root": lambda ratio: ratio ** 0.5},
    steps=("At one dose the gel is as strong as its Bloom; and it goes with the square of the dose. So Bloom times dose squared must stay.",
           "Recipe over yours: {bloom} / {other} = {ratio}. Its square root is {root}.",
           "{dose} times {root} is {answer}. The higher Bloom always takes the smaller dose: compare, and a ratio on its head shows at "
           "once."),
    known=({"dose": Q_(3.0, "percent"), "bloom": Q_(160, "Bloom"), "other": Q_(250, "Bloom")}, Q_(2.4, "percent"),
           "160 / 250 = 0.64, its root is 0.8, and 3 x 0.8 = 2.4; the rule stands on a gelatin producer's page"))

def boiled(dose, lost, agar):
    """The dose in a pot of base after the boil."""
    return gels.after_boiling(Mix({agar: dose * Q_(1, "kg"), "water": (1 - dose) * Q_(1, "kg")}, own=False), agar, lost)


BOIL_OFF = Exercise(
    key="gels-02", title="After the boil", minutes=3,
    question="An agar base was weighed in at {dose}. It boils too long and loses {lost} of its mass. How many times as firm as planned "
             "does it set? Firmness goes as the dose to the power of {agar.dose_exponent}.",
    givens={"dose": Draw(0.7, 1.4, 0.1, "percent"), "lost": Draw(6, 20, 1, "percent"), "agar": PickRow(("agar",))},
    solve=lambda dose, now, agar: gels.strength_ratio(dose, now, agar.dose_exponent),
    unit="", within=0.02,
    slips=(Slip(lambda: 1.0, "The agar does not boil away; the water does. The same agar now sits in less."),
           Slip(lambda rise: rise, "That is how much the dose has risen. Firmness rises faster than the dose."),
           Slip(lambda rise, agar: rise ** -agar.dose_exponent, "Less water, the same agar: is the gel firmer or softer than planned?")),
    between={"left": lambda lost: (1 - lost).to("percent"), "now": boiled, "rise": lambda dose, now: now / dose},
    steps=("Only water leaves the pot. All the agar is still there, in {left} of the mass.",
           "So the dose is now {dose} divided by {left}, which is {now}: {rise} times what it was.",
           "Firmness follows with the power {agar.dose_exponent}: {rise} to that power is {answer}.",
           "At the stove you need no power: weigh the pot again, and top up with hot water to the first weight."),
    known=({"dose": Q_(1.0, "percent"), "lost": Q_(10, "percent"), "agar": "agar"}, 1.261,
           "1 / 0.9 = 1.1111; 2.2 x ln 1.1111 = 2.2 x 0.10536 = 0.2318; e to that is 1.261"))

TWICE_AS_FIRM = Exercise(
    key="gels-03", title="Twice as firm", minutes=3,
    question="A gel with {dose} agar is too soft to slice. You want it {times} times as firm. What dose do you weigh in? Firmness goes as "
             "the dose to the power of {agar.dose_exponent}.",
    givens={"dose": Draw(0.5, 1.2, 0.1, "percent"), "times": Pick((1.5, 2, 2.5, 3)), "agar": PickRow(("agar",))},
    solve=lambda dose, times, agar: gels.dose_for(dose, times, agar.dose_exponent),
    unit="percent", within=0.01,
    slips=(Slip(lambda dose, times: dose * times, "Twice the agar is more than four times as firm. The dose has to rise far less than the "
                "firmness."),
           Slip(lambda dose, times, agar: dose * times ** agar.dose_exponent, "You went from dose to firmness. The question starts at the "
                "firmness and asks for the dose: take the root, not the power."),
           Slip(lambda dose, root: dose / root, "Firmer needs more agar, not less.")),
    between={"root": lambda times, agar: times ** (1 / agar.dose_exponent)},
    steps=("Firmness is the dose to the power of {agar.dose_exponent}. Going back from firmness to dose takes the root of that order.",
           "{times} to the power of 1/{agar.dose_exponent} is {root}.",
           "{dose} times {root} is {answer}. Small steps: a little more agar is a lot more gel."),
    known=({"dose": Q_(1.0, "percent"), "times": 2, "agar": "agar"}, Q_(1.370, "percent"),
           "ln 2 = 0.6931; divided by 2.2 it is 0.3151; e to that is 1.370"))

WHOLE_GRAM_SCALE = Exercise(
    key="gels-04", title="A scale that shows whole grams", minutes=3,
    question="You weigh {agar} of agar into {batch} on a scale that shows steps of {step}. It shows just {agar}. How many times as firm as "
             "planned can the gel be at most? Firmness goes as the square of the dose.",
    givens={"agar": Draw(2, 6, 1, "g"), "batch": Draw(200, 600, 50, "g"), "step": Q_(1, "g")},
    fits=lambda agar, batch: Q_(0.6, "percent") <= agar / batch <= Q_(1.4, "percent"),
    solve=lambda agar, batch, most: gels.strength_ratio(agar / batch, most / batch, SQUARE),
    unit="", within=0.02,
    slips=(Slip(lambda rise: rise, "That is how far the dose can be off. Firmness goes as its square."),
           Slip(lambda agar, step: ((agar + step) / agar) ** 2, "The display rounds: it is off by half a step at most, not by a whole "
                                                                "one."),
           Slip(lambda agar, step: ((agar - step / 2) / agar) ** 2, "That is the softest it can be. The question asks for the firmest."),
           Slip(lambda: 1.0, "The display says so, but it hides up to half a step of agar.")),
    between={"most": lambda agar, step: weighing.resolution(agar, step).high, "rise": lambda agar, most: most / agar},
    steps=("A display in steps of {step} shows {agar} for anything up to {most}.",
           "So there may be {rise} times the agar that you meant, in the same pot.",
           "Firmness goes as the square: {rise} times {rise} is {answer}.",
           "Make a bigger batch, or weigh small doses on a scale that shows tenths."),
    known=({"agar": Q_(2, "g"), "batch": Q_(200, "g")}, 1.5625, "2.5 / 2 = 1.25, and 1.25 x 1.25 = 1.5625"))


# --- further practice --------------------------------------------------------------------------------------------------------------
LEAF_FOR_LEAF = Exercise(
    key="gels-05", title="A leaf for a leaf",
    question="A recipe counts in {leaf} ({leaf.bloom}, {leaf.leaf_mass} a leaf). You put in as many of {other} ({other.bloom}, "
             "{other.leaf_mass} a leaf). How many times as firm as meant does it set? Firmness goes as Bloom, and as the square of the "
             "grams.",
    givens={"leaf": PickRow(LEAVES), "other": PickRow(LEAVES)},
    fits=lambda leaf, other: leaf.key != other.key,
    solve=lambda leaf, other, stronger: stronger * gels.strength_ratio(in_pot(leaf.leaf_mass), in_pot(other.leaf_mass), SQUARE),
    unit="", within=0.015,
    slips=(Slip(lambda stronger: stronger, "Bloom is half of it: the leaves do not weigh the same."),
           Slip(lambda stronger, heavier: stronger * heavier, "Bloom times weight is nearly the same for all leaves; that is why a leaf "
                                                              "seems to "
                "stand for a leaf. But firmness goes as the square of the grams."),
           Slip(lambda squared: squared, "That is the grams alone: the Bloom differs too.")),
    between={"stronger": lambda leaf, other: other.bloom / leaf.bloom, "heavier": lambda leaf, other: other.leaf_mass / leaf.leaf_mass,
             "squared": lambda heavier: heavier ** 2},
    steps=("Bloom first: {other.bloom} / {leaf.bloom} = {stronger:5}.",
           "Then the grams: a leaf weighs {other.leaf_mass} where the recipe has {leaf.leaf_mass}, {heavier} times as much. Squared: "
           "{squared:5}.",
           "{stronger:5} times {squared:5} is {answer}.",
           "Makers keep Bloom times weight level from leaf to leaf. That is the linear rule, so a leaf is not quite a leaf: weigh, and "
           "use the Bloom."),
    known=({"leaf": "gelatin leaf silver", "other": "gelatin leaf platinum"}, 0.7225,
           "250 / 160 = 1.5625; 1.7 / 2.5 = 0.68, squared 0.4624; 1.5625 x 0.4624 = 0.7225 (leaf weights are typical, from memory)"))

WATER_BACK = Exercise(
    key="gels-06", title="Water to put back",
    question="{batch} of agar base were weighed in at {dose} and boiled. A test glass sets {times} times as firm as planned. How much "
             "water has boiled away, so how much do you put back? Firmness goes as the dose to the power of {agar.dose_exponent}.",
    givens={"batch": Draw(400, 1200, 100, "g"), "dose": Draw(0.7, 1.4, 0.1, "percent"), "times": Draw(1.15, 1.6, 0.05, ""),
            "agar": PickRow(("agar",))},
    solve=lambda batch, dose, now: batch * (1 - (dose / now).m_as("dimensionless")),
    unit="g", within=0.02,
    slips=(Slip(lambda batch, times: batch * (1 - 1 / times), "You took firmness for dose. First find the dose that sets so firm."),
           Slip(lambda batch, rise: batch * (rise - 1), "That share is counted on what is left in the pot. Count the loss on what was "
                                                        "there "
                "before."),
           Slip(lambda left: left, "That is what is left in the pot. How much is missing?")),
    between={"now": lambda dose, times, agar: gels.dose_for(dose, times, agar.dose_exponent),
             "rise": lambda dose, now: (now / dose).m_as("dimensionless"), "left": lambda batch, rise: batch / rise},
    steps=("Go back from firmness to dose: {times} to the power of 1/{agar.dose_exponent} is {rise}. The dose is now {now} in place of "
           "{dose}.",
           "The agar is all there, so the pot holds {batch} divided by {rise}, which is {left}.",
           "{batch} less {left}: {answer} of water are missing. Put them back hot and boil up once more.",
           "Quicker next time: weigh the pot before and after."),
    known=({"batch": Q_(500, "g"), "dose": Q_(1.0, "percent"), "times": 1.25, "agar": "agar"}, Q_(48.2, "g"),
           "ln 1.25 = 0.22314; divided by 2.2 it is 0.10143; e to minus that is 0.9035; 500 x (1 - 0.9035) = 48.2"))

INTO_LIQUID = Exercise(
    key="gels-07", title="Into the juice",
    question="You have {liquid} of juice and want {dose} gelatin, counted on the whole. How many grams of gelatin go in?",
    givens={"liquid": Draw(300, 1500, 100, "g"), "dose": Draw(3, 9, 1, "percent")},
    solve=lambda dose, liquid: weighing.into_liquid(dose, liquid),
    unit="g", within=0.01,
    slips=(Slip(lambda dose, liquid: dose * liquid, "That is per cent of the juice. The gelatin adds to the whole, so it takes a little "
                                                    "more."),
           Slip(lambda whole: whole, "That is what the whole weighs in the end. How much of it is gelatin?")),
    between={"share": lambda dose: (1 - dose).to("percent"), "whole": lambda liquid, dose: liquid / (1 - dose)},
    steps=("If {dose} of the whole is gelatin, the other {share} is juice: your {liquid}.",
           "So the whole is {liquid} divided by {share}, which is {whole:5 g}.",
           "Gelatin is the difference between {whole:5 g} and {liquid}: {answer}."),
    known=({"liquid": Q_(500, "g"), "dose": Q_(4, "percent")}, Q_(20.83, "g"), "500 x 4 / 96 = 2000 / 96 = 20.83; back: 20.83 / 520.83 "
                                                                               "= 4.0 %"))

SMALLEST_BATCH = Exercise(
    key="gels-08", title="How large a batch for this scale?",
    question="Your scale shows steps of {step}. A gel of {dose} agar may set firmer than planned by {firmer}, not more. How large must "
             "the batch be at least? Firmness goes as the square of the dose.",
    givens={"step": Pick(tuple(Q_(s, "g") for s in (0.1, 0.2, 0.5, 1, 2, 5))), "dose": Draw(0.6, 1.4, 0.2, "percent"),
            "firmer": Draw(5, 20, 5, "percent")},
    solve=lambda half, over, dose: half / over / dose,
    unit="g", within=0.05,
    slips=(Slip(lambda half, firmer, dose: half / firmer / dose, "You let the dose be off by as much as the firmness. Firmness is twice as "
                "touchy."),
           Slip(lambda step, over, dose: step / over / dose, "The display is off by half a step at most."),
           Slip(lambda agar: agar, "That is the agar. How large is the batch around it?")),
    between={"half": lambda step: step / 2, "most": lambda dose, firmer: gels.dose_for(dose, 1 + firmer, SQUARE),
             "over": lambda dose, most: ((most - dose) / dose).to("percent"), "agar": lambda half, over: (half / over).to("g")},
    steps=("Firmer by {firmer} at most: the dose may rise by the square root of that, to {most}, which is {over} more.",
           "The display hides up to half a step, {half}. That must be no more than {over} of the agar.",
           "{half} divided by {over} is {agar} of agar.",
           "At a dose of {dose} that much agar belongs in {answer}."),
    known=({"step": Q_(1, "g"), "dose": Q_(1.0, "percent"), "firmer": Q_(10, "percent")}, Q_(1024, "g"),
           "root of 1.1 = 1.04881; 0.5 / 0.04881 = 10.24 g of agar; at 1 % that is 1024 g"))

CUBE = Exercise(
    key="gels-09", title="A cube under a weight",
    question="A cube of {side} gives {lost} of its height when {load} are laid on it. What is its shear modulus by the small-strain "
             "formula?",
    givens={"side": Draw(20, 30, 5, "mm"), "load": Pick(tuple(Q_(m, "g") for m in (20, 50, 100))), "lost": Draw(4, 18, 2, "percent")},
    solve=lambda side, load, lost: Q_(1, "kPa") * (gels.squash(load, side, Q_(1, "kPa")).small / lost),
    unit="kPa", within=0.02,
    slips=(Slip(lambda stiff: stiff, "That is the stiffness in squeezing, three times the shear modulus."),
           Slip(lambda stiff: stiff / 3 / 9.80665, "Grams are no force: a kilogram presses with 9.81 newton."),
           Slip(lambda stress, lost: stress / (1 - lost) / 3, "Divide by what the cube gave, not by what is left of it.")),
    between={"force": lambda load: (load * GRAVITY).to("N"), "stress": lambda force, side: (force / side ** 2).to("kPa"),
             "stiff": lambda stress, lost: (stress / lost).to("kPa")},
    steps=("{load} press with {force} on a top of {side} by {side}: {stress}.",
           "That stress over the share of height given, {stress} / {lost}, is {stiff}: the stiffness in squeezing.",
           "A gel keeps its volume, so it bulges, and squeezing feels three times the shear modulus: divide by 3, which is {answer}.",
           "Read at once. After some seconds water is pressed out, and you measure something else."),
    known=({"side": Q_(25, "mm"), "load": Q_(50, "g"), "lost": Q_(6, "percent")}, Q_(4.358, "kPa"),
           "0.05 x 9.80665 = 0.4903 N; over 0.000625 m² 784.5 Pa; 784.5 / 0.06 = 13076; / 3 = 4358 Pa"))

MEANINGS = {"A flat plunger is pushed 4 mm into a cup of gel, which holds.": "Bloom",
            "A pack of gelatin has it, and the names silver, gold and platinum stand for it.": "Bloom",
            "More and more load is put on one square centimetre until the gel breaks.": "gel strength",
            "A supplier's sheet for agar has it, in g/cm², for a gel of 1.5 %.": "gel strength",
            "A cube gives a little under a light touch and springs back; it is stress over strain, in kPa.": "shear modulus",
            "Hardly any pack has it, but it is what the formula for a cube under a small weight needs.": "shear modulus"}

WHICH_NUMBER = Exercise(
    key="gels-10", title="Which number is it?",
    question="{said} Which of the three numbers is that?",
    givens={"said": Pick(tuple(MEANINGS))},
    solve=lambda said: MEANINGS[said],
    unit=("shear modulus", "gel strength", "Bloom"),
    slips=(Slip("shear modulus", "The shear modulus is the first light touch, stress over strain, in kPa. Nothing breaks, and hardly "
                                 "any pack "
                "prints it."),
           Slip("gel strength", "Gel strength is the load per square centimetre at which a gel breaks. Agar is sold by it."),
           Slip("Bloom", "Bloom is what a flat plunger needs to go 4 mm into a cup of gelatin. Nothing breaks, and it is no load per "
                         "area.")),
    steps=("Ask what is done to the gel: a light touch, a plunger to 4 mm, or a load until it breaks.",
           "Then the unit: kPa, Bloom or g/cm².",
           "Here it is {answer}. The three are never turned into one another."),
    known=({"said": "A flat plunger is pushed 4 mm into a cup of gel, which holds."}, "Bloom",
           "the Bloom test as the pharmacopoeia has it: a plunger of 12.7 mm, 4 mm deep (USP 1081)"))

LEAVES_NEEDED = Exercise(
    key="gels-11", title="From powder to leaves",
    question="{batch} of a cream is to set with {dose} of a {bloom} powder. You have {leaf} ({leaf.bloom}, {leaf.leaf_mass} a leaf). "
             "How many leaves does it take by the square-root rule? Tenths of a leaf count: you have scissors.",
    givens={"batch": Draw(400, 1500, 100, "g"), "dose": Draw(1.0, 2.5, 0.5, "percent"), "bloom": Draw(120, 260, 10, "Bloom"),
            "leaf": PickRow(LEAVES)},
    fits=lambda bloom, leaf: unlike(bloom, leaf.bloom),
    solve=lambda swapped, batch, leaf: gels.leaves(swapped, batch, leaf),
    unit="leaf", within=0.02,
    slips=(Slip(lambda dose, batch, leaf: gels.leaves(dose, batch, leaf), "Right grams of the powder, but the leaves have another Bloom."),
           Slip(lambda dose, bloom, batch, leaf: gels.leaves(gels.swap_grade(dose, bloom, leaf.bloom, 1), batch, leaf), LINEAR),
           Slip(lambda dose, bloom, batch, leaf: gels.leaves(gels.swap_grade(dose, leaf.bloom, bloom, SQUARE), batch, leaf), ON_ITS_HEAD)),
    between={"powder": lambda dose, batch: weighing.of_total(dose, batch), "root": lambda bloom, leaf: (bloom / leaf.bloom) ** 0.5,
             "swapped": lambda dose, bloom, leaf: gels.swap_grade(dose, bloom, leaf.bloom, SQUARE),
             "grams": lambda swapped, batch: weighing.of_total(swapped, batch)},
    steps=("{dose} of {batch} is {powder} of the powder.",
           "The square root of {bloom} / {leaf.bloom} is {root}. So it takes {powder} times {root}, which is {grams} of leaf.",
           "At {leaf.leaf_mass} a leaf that is {answer}. Count the water that soaked leaves carry in as part of the cream."),
    known=({"batch": Q_(500, "g"), "dose": Q_(2.0, "percent"), "bloom": Q_(200, "Bloom"), "leaf": "gelatin leaf platinum"},
           Q_(5.261, "leaf"), "2 % of 500 g is 10 g; root of 200 / 250 = 0.8944; 8.944 g / 1.7 g = 5.261"))
