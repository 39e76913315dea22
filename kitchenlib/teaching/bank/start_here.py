"""Three exercises for the start: a volume is no mass, per cent of what, and a difference is no temperature."""
from ...units import Q_
from ..exercises import Draw, Exercise, Slip

MILLILITRES = Exercise(
    key="units-01", title="Millilitres into grams", minutes=2,
    question="A bottle of syrup says {density}. The card wants {volume} of it. How many grams do you weigh in?",
    givens={"volume": Draw(60, 480, 20, "mL"), "density": Draw(1.20, 1.40, 0.02, "g/mL")},
    solve=lambda volume, density: volume * density,
    unit="g", within=0.01,
    slips=(Slip(lambda volume: volume * Q_(1, "g/mL"), "A millilitre weighs one gram only if it is water near room temperature. What "
                                                       "does one "
                "millilitre of this syrup weigh?"),
           Slip(lambda volume, density: Q_((volume / density).magnitude, "g"), "You divided. Syrup is heavier than water: are there "
                                                                               "more grams "
                "than millilitres, or fewer?")),
    steps=("The label says what one millilitre weighs: {density}.",
           "You want {volume}, each of that weight: {volume} times {density}.",
           "That is {answer}. Syrup is heavier than water, so there must be more grams than millilitres, and there are."),
    known=({"volume": Q_(200, "mL"), "density": Q_(1.32, "g/mL")}, Q_(264, "g"),
           "200 x 1.32 = 264; about what a syrup of 65 % sugar weighs (memory)"))

PER_CENT_OF_TOTAL = Exercise(
    key="units-02", title="Per cent of what?", minutes=2,
    question="You stir {sugar} of sugar into {water} of water. How many per cent of the whole is sugar?",
    givens={"sugar": Draw(10, 60, 5, "g"), "water": Draw(100, 300, 20, "g")},
    solve=lambda sugar, total: sugar / total,
    unit="percent", within=0.01,
    slips=(Slip(lambda sugar, water: sugar / water, "That is per cent of the water. The sugar is in the pot too: what does everything "
                                                    "together "
                "weigh?"),
           Slip(lambda water, total: water / total, "That is the share of the water. The question asks for the sugar's.")),
    between={"total": lambda sugar, water: sugar + water},
    steps=("Everything in the pot counts: {sugar} and {water} make {total}.",
           "The sugar's share is {sugar} of {total}.",
           "{sugar} divided by {total} is {answer}."),
    known=({"sugar": Q_(10, "g"), "water": Q_(100, "g")}, Q_(9.091, "percent"), "10 / 110 = 0.09091; not 10 / 100"))

DEGREES_OF_DIFFERENCE = Exercise(
    key="units-03", title="A difference is no temperature", minutes=2,
    question="The base has cooled by {drop} since it came off the stove. By how many °F has it cooled?",
    givens={"drop": Draw(10, 60, 5, "delta_degC")},
    solve=lambda drop: drop,
    unit="delta_degF", within=0.01,
    slips=(Slip(lambda drop: drop + Q_(32, "delta_degF"), "The 32 belongs to a temperature on the thermometer. A difference starts from "
                                                          "nothing: "
                "no 32."),
           Slip(lambda drop: drop / 1.8 / 1.8, "A degree Fahrenheit is the smaller step. Do you need more of them, or fewer?"),
           Slip(lambda drop: drop / 1.8, "1 °C of difference is as large as 1 K, but it is 1.8 °F.")),
    steps=("From freezing to boiling water are 100 steps in °C and 180 in °F (32 to 212): one °C of difference is 1.8 °F.",
           "{drop} times 1.8 is {answer}.",
           "The 32 of the usual rule is only where the scale begins, so a difference does not have it."),
    known=({"drop": Q_(45, "delta_degC")}, Q_(81, "delta_degF"), "45 x 180 / 100 = 81; on the thermometer: 80 to 35 °C is 176 to 95 °F"))
