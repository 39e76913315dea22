"""Lesson 02: grams for a batch, the careful neighbour, why minutes are not scaled, another salt in the tub. Four core, the rest further.

`known` answers are worked by hand, the arithmetic written out.
"""
import math

from ... import calcium, gels, weighing
from ...tables import row
from ...units import Q_
from ..exercises import Draw, Exercise, Pick, Slip

DIHYDRATE, ANHYDROUS = row("calcium chloride dihydrate", own=False), row("calcium chloride anhydrous", own=False)
WORDS = ("the smaller batch", "the larger batch", "neither: weigh it out")
ROWS = {
    "Hours in the fridge until a tub has set, before it is turned out.": "the larger batch",
    "Minutes after which you look whether the boiled mix is down to 60 °C.": "the smaller batch",
    "Grams of agar.": "neither: weigh it out",
    "Litres of calcium bath to make.": "the larger batch",
    "Minutes for which the base rests until its bubbles are out.": "the larger batch",
    "Grams of oil for the sauce.": "neither: weigh it out"}
ROUNDED = {
    "A bag lasts 58.7 min before it sets.": "down", "The batch takes 1.13 L of liquid nitrogen.": "up", "All spilt, the oxygen falls to 19.09 %.": "down",
    "Stop the bag at 39.2 °C or warmer.": "up", "Weigh 5.12 g of agar on a scale that shows tenths.": "to the nearest",
    "The base rests 2.2 min until its bubbles are out.": "up", "Hold the sauce at 4.6 °C or colder.": "down"}
LEAF, ONE_YOLK, TO_OIL = row("gelatin leaf gold", own=False), Q_(17, "g"), Q_(150, "g")


# --- core --------------------------------------------------------------------------------------------------------------------------
GRAMS = Exercise(
    key="tonight-01", title="Grams for the batch", minutes=2,
    question="A card says {dose} of the finished mix. Your batch is {batch}. How much do you weigh?",
    givens={"dose": Draw(0.4, 1.2, 0.1, "percent"), "batch": Draw(250, 950, 10, "g")},
    solve=lambda dose, batch: weighing.of_total(dose, batch),
    unit="g", within=0.02,
    slips=(Slip(lambda dose, batch: 10 * weighing.of_total(dose, batch), "Ten times too much: one per cent is one gram in a hundred, not in ten."),
           Slip(lambda dose, batch: weighing.of_total(dose, batch) / 10, "Ten times too little: one per cent of a kilogram is ten grams."),
           Slip(lambda dose: weighing.of_total(dose, Q_(100, "g")), "That is for 100 g: now for the whole batch.")),
    steps=("{dose} means so many grams in 100 g of finished mix.", "Your batch is {batch}: times its hundreds, {answer}."),
    known=({"dose": Q_(0.8, "percent"), "batch": Q_(640, "g")}, Q_(5.12, "g"), "0.8 g in 100 g; 640 / 100 = 6.4; 6.4 x 0.8 = 5.12 g"))

NEIGHBOUR = Exercise(
    key="tonight-02", title="Between two rows", minutes=2,
    question="Your batch lies between two rows of the card. Which row counts for this answer? {said}",
    givens={"said": Pick(tuple(ROWS))},
    solve=lambda said: ROWS[said],
    unit=WORDS,
    slips=(Slip(WORDS[0], "Ask what goes wrong if the number is too small: too little time, too little bath. Then the larger one is the careful one."),
           Slip(WORDS[1], "Here the harm comes from being late: look earlier, by the smaller batch."),
           Slip(WORDS[2], "Only what is weighed in gram by gram may be scaled. Minutes, hours and a bath are read from a row.")),
    steps=("Ask which of the two would hurt: too early or too late, too little or too much.", "The other side is the careful one: {answer}."),
    known=({"said": "Grams of agar."}, WORDS[2], "a per cent of the batch holds for every batch"))

RULE_OF_THREE = Exercise(
    key="tonight-03", title="The bigger pot", minutes=3,
    question="{small} of mix in a pot takes {time} to come down to 60 °C, stirred. You make {large} in a pot of the same shape, in the same room. The "
             "heat grows with the mass, the surface with its power two thirds; take the film as unchanged. How long does it take now?",
    givens={"small": Draw(200, 500, 100, "g"), "large": Draw(1500, 4000, 500, "g"), "time": Draw(30, 70, 5, "min")},
    solve=lambda small, large, time: time * (large / small).m_as("dimensionless") ** (1 / 3),
    unit="min", within=0.02,
    slips=(Slip(lambda small, large, time: time * (large / small).m_as("dimensionless"),
                "That is the rule of three: it forgets that a bigger pot has more surface."),
           Slip(lambda time: time, "The same time would need as much surface for each gram: a bigger pot has less."),
           Slip(lambda small, large, time: time * (large / small).m_as("dimensionless") ** (2 / 3),
                "The surface grows with the power two thirds; the time goes as mass over surface, the power one third.")),
    between={"times": lambda small, large: (large / small).m_as("dimensionless")},
    steps=("The mass is {times:3} times as much, the surface that to the power two thirds.",
           "Time goes as mass over surface: to the power one third.", "So {time} becomes {answer}."),
    known=({"small": Q_(500, "g"), "large": Q_(4000, "g"), "time": Q_(60, "min")}, Q_(120, "min"),
           "4000 / 500 = 8; the cube root of 8 is 2; 2 x 60 = 120 min"))

ANOTHER_SALT = Exercise(
    key="tonight-04", title="Another salt in the tub", minutes=3,
    question="The card for the dihydrate says {grams} of calcium chloride dihydrate. The tub in your hand is anhydrous calcium chloride. How much of "
             "that brings as much calcium? Molar masses: dihydrate 147.0 g/mol, anhydrous 111.0 g/mol, one calcium in each.",
    givens={"grams": Draw(5, 60, 0.5, "g")},
    solve=lambda grams: calcium.equal_mass(grams, DIHYDRATE, ANHYDROUS),
    unit="g", within=0.02,
    slips=(Slip(lambda grams: grams, "The same grams bring a third too much calcium: the dihydrate is a quarter water."),
           Slip(lambda grams: calcium.equal_mass(grams, ANHYDROUS, DIHYDRATE), "Upside down: without its water the salt is stronger, so it takes less."),
           Slip(lambda grams: grams - calcium.equal_mass(grams, DIHYDRATE, ANHYDROUS), "That is the water in the dihydrate: the rest is what you want.")),
    steps=("One mole of either brings one of calcium.", "So weigh {grams} times 111.0 over 147.0: {answer}.",
           "Better: choose your own salt on the card, and it says the grams."),
    known=({"grams": Q_(10, "g")}, Q_(7.55, "g"), "10 x 111.0 / 147.0 = 7.55 g"))


# --- further practice ----------------------------------------------------------------------------------------------------------------
CAREFUL_SIDE = Exercise(
    key="tonight-05", title="Rounded to which side?",
    question="A card prints fewer digits than the sum gives. To which side is this number rounded? {said}",
    givens={"said": Pick(tuple(ROUNDED))},
    solve=lambda said: ROUNDED[said],
    unit=("up", "down", "to the nearest"),
    slips=(Slip("up", "Ask who is harmed by a larger number: a limit that one must keep below, or a time that runs out, is rounded down."),
           Slip("down", "Ask who is harmed by a smaller number: a need, or a limit that one must stay above, is rounded up."),
           Slip("to the nearest", "Near is for what is weighed. A limit, a need and a time that runs out have a careful side.")),
    steps=("Is it a need, a limit, or something that you weigh?", "So it goes {answer}."),
    known=({"said": "A bag lasts 58.7 min before it sets."}, "down", "58 min: a bag stopped early still flows"))

EGGS = Exercise(
    key="tonight-06", title="Eggs to crack",
    question="One yolk goes to {to_oil} of oil. The batch takes {oil} of oil. How many eggs do you crack, in whole eggs?",
    givens={"oil": Draw(310, 1490, 10, "g"), "to_oil": TO_OIL},
    fits=lambda oil: oil.m % TO_OIL.m != 0,
    solve=lambda oil, to_oil: math.ceil((oil / to_oil).m_as("dimensionless")),
    unit="", within=0.01,
    slips=(Slip(lambda oil, to_oil: math.floor((oil / to_oil).m_as("dimensionless")), "Eggs come whole: one too few leaves oil without a yolk. Go up."),
           Slip(lambda oil, to_oil: (to_oil / oil).m_as("dimensionless"), "Upside down: divide the oil by what one yolk takes."),
           Slip(lambda oil: (oil / ONE_YOLK).m_as("dimensionless"), "You divided by the yolk's own weight: divide by the oil that it takes.")),
    steps=("{oil} over {to_oil} is the number of yolks with its fraction.", "Crack whole eggs and go up: {answer}."),
    known=({"oil": Q_(640, "g")}, 5, "640 / 150 = 4.27, so 5"))

DRIPPING = Exercise(
    key="tonight-07", title="How long it drips",
    question="{tips} tips let {pace} drops fall a second each, and a drop weighs {drop}. How long does a batch of {batch} take?",
    givens={"pace": Draw(2, 3.5, 0.5, ""), "drop": Draw(16, 30, 2, "mg"), "batch": Draw(200, 1000, 50, "g"), "tips": 4},
    solve=lambda pace, drop, batch, tips: Q_((batch / drop).m_as("dimensionless") / (tips * pace) / 60, "min"),
    unit="min", within=0.02,
    slips=(Slip(lambda pace, drop, batch: Q_((batch / drop).m_as("dimensionless") / pace / 60, "min"), "That is one tip: four share the work."),
           Slip(lambda pace, drop, batch, tips: Q_((batch / drop).m_as("dimensionless") / (tips * pace), "min"), "Those are seconds: 60 to a minute."),
           Slip(lambda drop, batch, tips: Q_((batch / drop).m_as("dimensionless") / tips / 60, "min"), "Each tip lets more than one drop fall a second.")),
    between={"count": lambda batch, drop: (batch / drop).m_as("dimensionless")},
    steps=("{batch} is {count:3} drops.", "Four tips at {pace} a second share them; 60 seconds to a minute: {answer}.",
           "This number grows with the batch, and hands tire: ask for help, or drip in rounds."),
    known=({"pace": 3, "drop": Q_(24, "mg"), "batch": Q_(500, "g")}, Q_(28.94, "min"),
           "500,000 / 24 = 20,833 drops; 4 x 3 = 12 a second; 1,736 s / 60 = 28.94 min"))

LEAVES = Exercise(
    key="tonight-08", title="Leaves for the batch",
    question="Gelatin is to be {dose} of a batch of {batch}; one leaf weighs {leaf}. How many leaves is that? Tenths will do.",
    givens={"dose": Draw(1, 3, 0.2, "percent"), "batch": Draw(300, 2000, 50, "g"), "leaf": LEAF.leaf_mass},
    solve=lambda dose, batch: gels.leaves(dose, batch, LEAF).m_as("leaf"),
    unit="", within=0.03,
    slips=(Slip(lambda dose, batch: weighing.of_total(dose, batch).m_as("g"), "Those are the grams: now divide by what a leaf weighs."),
           Slip(lambda dose, batch, leaf: weighing.of_total(dose, batch).m_as("g") * leaf.m_as("g"), "You multiplied by the leaf: divide."),
           Slip(lambda dose, batch: 10 * gels.leaves(dose, batch, LEAF).m_as("leaf"), "Ten times too many: one per cent is one gram in a hundred.")),
    between={"grams": lambda dose, batch: weighing.of_total(dose, batch)},
    steps=("{dose} of {batch} is {grams:3}.", "One leaf is {leaf}: divide, {answer}."),
    known=({"dose": Q_(2, "percent"), "batch": Q_(600, "g")}, 6.0, "2 % of 600 g is 12 g; at 2 g a leaf 12 / 2 = 6"))

SALT_FOR_THE_BATH = Exercise(
    key="tonight-09", title="Salt for the bath",
    question="The card says {bath} of bath at {dose}, weight in volume: so many grams in 100 mL. How much salt goes in?",
    givens={"bath": Draw(1.5, 9.5, 0.5, "L"), "dose": Draw(0.4, 0.8, 0.1, "percent")},
    solve=lambda bath, dose: Q_(10 * dose.m_as("percent") * bath.m_as("L"), "g"),
    unit="g", within=0.02,
    slips=(Slip(lambda bath, dose: Q_(dose.m_as("percent") * bath.m_as("L"), "g"), "That would be for 100 mL of each litre: a litre has ten of them."),
           Slip(lambda dose: Q_(10 * dose.m_as("percent"), "g"), "That is for one litre: now for all of them."),
           Slip(lambda bath, dose: Q_(100 * dose.m_as("percent") * bath.m_as("L"), "g"), "Ten times too much: 1 % is 10 g in a litre.")),
    steps=("{dose} weight in volume is ten times as many grams in a litre.", "Times {bath}: {answer}.",
           "Take the litres and the grams from one row of the card: they belong together."),
    known=({"bath": Q_(3.5, "L"), "dose": Q_(0.5, "percent")}, Q_(17.5, "g"), "5 g in a litre; 5 x 3.5 = 17.5 g"))
