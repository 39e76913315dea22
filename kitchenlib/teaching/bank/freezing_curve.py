"""Lesson 40: frozen share, swaps, serving temperature, °Brix, ions, spirit, shortcuts. Four core exercises, the rest further practice.

`known` answers are worked by hand, the arithmetic written out, or come from a table or program that is not ours.
"""
from ... import cryo, solutions
from ...mixes import Mix
from ...tables import row
from ...units import Q_
from ..exercises import Draw, Exercise, Pick, Slip

WATER, SUCROSE, DEXTROSE, SALT = (row(key, own=False) for key in ("water", "sucrose", "glucose", "salt"))
DRY = 1 - row("dextrose", own=False).water.m_as("")          # of trade dextrose, whose crystals hold water
BRIX, COLD = Draw(18, 30, 1, "percent"), Draw(-12, -6, 1, "degC")


def syrup(brix):
    """1 kg of sucrose syrup."""
    return Mix({WATER: Q_(1000, "g") * (1 - brix), SUCROSE: Q_(1000, "g") * brix}, own=False)


def strength(brix, temperature):
    """Share of sugar in what is left between the crystals."""
    return (brix / (1 - cryo.ice_content(syrup(brix), temperature))).to("percent")


def of_water(brix, left):
    """Share of the water that is frozen when the rest has this share of sugar: the lever rule."""
    return (1 - brix / (1 - brix) * (1 - left) / left).to("percent")


def linear_share(brix, temperature):
    return cryo.linear_frozen_share(syrup(brix), temperature)


# --- core --------------------------------------------------------------------------------------------------------------------------
FROZEN_SHARE = Exercise(
    key="freezing-01", title="How much of the water is ice?", minutes=3,
    question="A syrup of {brix} sugar by mass stands at {temperature}. Between its crystals a syrup of {left:3} sugar is left; no sugar is in "
             "the ice. What share of the water is ice?",
    givens={"brix": BRIX, "temperature": COLD},
    solve=lambda brix, temperature: cryo.frozen_share(syrup(brix), temperature),
    unit="percent", within=0.01,
    slips=(Slip(lambda brix, temperature: cryo.ice_content(syrup(brix), temperature),
                "That is ice of the whole mass. The question asks for the share of the water."),
           Slip(lambda brix, left: Q_(100, "percent") - of_water(brix, left), "That much is not frozen."),
           Slip(lambda brix, left: Q_(100, "percent") - (brix / (1 - brix) / left).to("percent"),
                "You read the strength of what is left as per 100 g of water. It is per 100 g of syrup.")),
    between={"left": strength, "sugar": lambda brix: (Q_(1000, "g") * brix).to("g"),
             "water": lambda brix: (Q_(1000, "g") * (1 - brix)).to("g"), "liquid": lambda sugar, left: (sugar * (1 - left) / left).to("g")},
    steps=("Take 1 kg: {sugar} of sugar and {water} of water. The sugar all stays in the syrup.",
           "In what is left {left:3} is sugar, so with {sugar} of it stand only {liquid:3 g} of water.",
           "The rest of the {water} is ice: {answer}."),
    known=({"brix": Q_(25, "percent"), "temperature": Q_(-8, "degC")}, Q_(70.4, "percent"),
           "53.0 % is left at -8 °C (lever rule in another program): 250 x 47.0 / 53.0 = 221.7 g of water; (750 - 221.7) / 750 = 70.4 %"))

SWAP = Exercise(
    key="freezing-02", title="Swap for softness", minutes=3,
    question="100 g of a base hold {sucrose} g of sucrose. You take {swap} g of it out and put {swap} g of dry dextrose in. What is the base's "
             "freezing power now: how many grams of sucrose in 100 g would hold back as much water? Count molecules: 342.3 g/mol for sucrose, "
             "180.2 g/mol for dextrose.",
    givens={"sucrose": Draw(16, 28, 1, ""), "swap": Draw(3, 8, 1, "")},
    solve=lambda sucrose, swap: cryo.freezing_power(Mix({WATER: Q_(100 - sucrose, "g"), SUCROSE: Q_(sucrose - swap, "g"), DEXTROSE: Q_(swap, "g")},
                                                        own=False)),
    unit="", within=0.01,
    slips=(Slip(lambda sucrose: sucrose, "Gram for gram dextrose brings more molecules than sucrose, and molecules are what counts."),
           Slip(lambda sucrose, swap: sucrose - swap + swap * 180.16 / 342.3, "The ratio stands on its head: the lighter molecule is the more numerous."),
           Slip(lambda sucrose, swap: sucrose - swap + 0.75 * swap, "0.75 is how sweet dextrose is. Freezing power goes by molecules.")),
    between={"rest": lambda sucrose, swap: sucrose - swap, "brought": lambda swap: swap * 342.3 / 180.16,
             "sweet": lambda sucrose, swap: sucrose - 0.25 * swap},
    steps=("{rest} g of sucrose stay and count as they are.", "A gram of dextrose counts 342.3 / 180.2 = 1.90: {swap} g make {brought:3}.",
           "Together {answer}: softer. At the same time it is only as sweet as {sweet:3} g of sucrose."),
    known=({"sucrose": 25, "swap": 5}, 29.5, "20 + 5 x 342.3 / 180.2 = 20 + 5 x 1.900 = 29.50"))

SERVE_AT = Exercise(
    key="freezing-03", title="The temperature for a share", minutes=4,
    question="You want {frozen} of the water of a {brix} sucrose base to be ice. At which temperature? Syrup begins to freeze at {t40:2} with 40 % "
             "sugar, {t45:2} with 45 %, {t50:2} with 50 %, {t55:2} with 55 %, {t60:3} with 60 %, {t65:3} with 65 %.",
    givens={"brix": Draw(20, 30, 1, "percent"), "frozen": Draw(64, 72, 1, "percent")},
    solve=lambda brix, frozen: cryo.serving_temperature(syrup(brix), frozen),
    unit="degC", within=Q_(0.2, "delta_degC"),
    slips=(Slip(lambda begins: begins, "That is where the first ice forms. As it forms, the rest grows stronger: work out how strong."),
           Slip(lambda brix, frozen: cryo.serving_temperature(syrup(brix), 1 - frozen), "You let the frozen share stay liquid, and froze the rest."),
           Slip(lambda begins, frozen: Q_(begins.m / (1 - frozen.m_as("")), "degC"),
                "That is the linear rule: twice as strong, twice as cold. Strong syrups fall quicker than that.")),
    between={"begins": lambda brix: solutions.freezing_point(syrup(brix)),
             "left": lambda brix, frozen: (brix / (brix + (1 - brix) * (1 - frozen))).to("percent"),
             "liquid": lambda brix, frozen: (Q_(100, "g") * (1 - brix) * (1 - frozen)).to("g"),
             **{f"t{b}": (lambda b: lambda: solutions.freezing_point(syrup(Q_(b, "percent"))))(b) for b in (40, 45, 50, 55, 60, 65)}},
    steps=("Of 100 g, {liquid:3 g} of water stay liquid, and all the sugar with them.", "So the syrup that is left holds {left:3} sugar.",
           "Between the two nearest lines of the table that syrup stands beside ice at {answer}.",
           "The share was the target; the temperature came out of the base."),
    known=({"brix": Q_(25, "percent"), "frozen": Q_(70, "percent")}, Q_(-7.87, "degC"),
           "22.5 g of water and 25 g of sugar: 1.249 and 0.0730 mol, x = 0.0552; ln a = ln 0.9448 - 6.47 x 0.0552² = -0.0766; ice has -0.0486 "
           "at -5 and -0.0974 at -10 °C (0.9526 and 0.9072 in another program): -5 - 5 x 0.0280 / 0.0488 = -7.87; Leighton's table (memory) has -8.04"))

BRIX_OF_WATER = Exercise(
    key="freezing-04", title="What °Brix is of", minutes=3,
    question="A syrup must read {brix} °Bx. You have weighed {water} of water. How much sugar goes in?",
    givens={"brix": Draw(15, 35, 1, ""), "water": Draw(400, 1200, 100, "g")},
    solve=lambda brix, water: water * brix / (100 - brix),
    unit="g", within=0.01,
    slips=(Slip(lambda brix, water: water * brix / 100, "A degree Brix is of the syrup, not of the water: yours reads too low and freezes too hard."),
           Slip(lambda brix, water: water * (100 - brix) / brix, "That is water over sugar. It stands on its head."),
           Slip(lambda brix, water: water * brix / (100 + brix), "The sugar is already counted in the 100 g of syrup: take it off, do not add it.")),
    between={"rest": lambda brix: 100 - brix},
    steps=("100 g of syrup at {brix} °Bx are {brix} g of sugar and {rest} g of water.", "So {water} of water want {brix}/{rest} of their weight: {answer}.",
           "Read as per 100 g of water, the base comes out too weak, and hard."),
    known=({"brix": 25, "water": Q_(750, "g")}, Q_(250, "g"), "750 x 25 / 75 = 250; 250 of 1,000 g are 25 %"))


# --- further practice --------------------------------------------------------------------------------------------------------------
SALT_IONS = Exercise(
    key="freezing-05", title="What the salt does",
    question="A savoury base holds {salt} of salt for each kilogram of its water. At what temperature would that salt alone begin to freeze, by "
             "the linear rule: 1.86 °C for each mole of particles in a kilogram of water? Salt weighs 58.44 g/mol.",
    givens={"salt": Draw(4, 16, 0.5, "g")},
    solve=lambda salt: solutions.linear_freezing_point(cryo.particles(Mix({WATER: Q_(1, "kg"), SALT: salt}, own=False))),
    unit="degC", within=0.02,
    slips=(Slip(lambda moles: Q_(-1.86 * moles, "degC"), "In water salt falls apart: each brings two particles, sodium and chloride."),
           Slip(lambda salt: Q_(-1.86 * salt.m / 342.3, "degC"), "You counted the salt like sugar. Gram for gram it does nearly twelve times as much."),
           Slip(lambda salt: Q_(-1.86 * 2 * salt.m / 342.3, "degC"), "Two ions are right, but divide by what salt weighs, 58.44 g/mol, not sugar.")),
    between={"moles": lambda salt: salt.m / 58.44,
             "table": lambda salt: solutions.freezing_point(Mix({WATER: Q_(1, "kg"), SALT: salt}, own=False))},
    steps=("{salt} over 58.44 g/mol is {moles:3} mol.", "Two ions each, times 1.86 °C: {answer}.",
           "The measured table says {table:2}: in company the ions do a little less than two."),
    known=({"salt": Q_(6, "g")}, Q_(-0.3819, "degC"), "6 / 58.44 = 0.10267; x 2 x 1.86 = 0.3819 °C below 0"))

SPIRIT = Exercise(
    key="freezing-06", title="A shot in the sorbet",
    question="{spirit} of vodka go into a sorbet. Its label says 40 % by volume; by mass that is 33.4 %. How much sucrose would hold back as much "
             "water as its alcohol? Alcohol weighs 46.07 g/mol, sucrose 342.3.",
    givens={"spirit": Draw(20, 80, 2.5, "g")},
    solve=lambda mix: (cryo.freezing_power(mix) * mix.mass / 100).to("g"),
    unit="g", within=0.02,
    slips=(Slip(lambda alcohol: alcohol, "You counted alcohol like sugar. Its molecules are seven times as light, so seven times as many."),
           Slip(lambda spirit: spirit * 342.3 / 46.07, "Most of the vodka is water: count its alcohol only."),
           Slip(lambda spirit: 0.4 * spirit * 342.3 / 46.07, "40 % is by volume, and alcohol is light: by mass it is 33.4 %.")),
    between={"alcohol": lambda spirit: 0.334 * spirit,
             "mix": lambda alcohol: Mix({WATER: Q_(1, "kg"), row("alcohol", own=False): alcohol}, own=False)},
    steps=("33.4 % of {spirit} is {alcohol:3 g} of alcohol.", "A gram of it counts 342.3 / 46.07 = 7.43 grams of sucrose: {answer}.",
           "And it sweetens nothing. Alcohol in an ice does not boil off: tell the guest."),
    known=({"spirit": Q_(30, "g")}, Q_(74.4, "g"), "30 x 0.334 = 10.02 g; x 342.3 / 46.07 = 10.02 x 7.430 = 74.45 g"))

LINEAR_ERROR = Exercise(
    key="freezing-07", title="How wrong is the linear rule?",
    question="At {temperature} the curve says that {true:3} of the water of a {brix} sucrose syrup is ice. The linear rule takes the freezing point "
             "as 1.86 °C for each mole in a kilogram of water and the frozen share as 1 less that depression over the depth below 0 °C. By how "
             "many per cent of the curve's value is it too high?",
    givens={"brix": BRIX, "temperature": COLD},
    solve=lambda brix, temperature: cryo.routes(syrup(brix), temperature).linear_error,
    unit="percent", within=0.03, fits=lambda brix, temperature: cryo.routes(syrup(brix), temperature).linear_error.m > 7,
    slips=(Slip(lambda linear, true: linear - true, "That is the difference in points. Divide it by the curve's value."),
           Slip(lambda linear, true: (1 - true / linear).to("percent"), "You divided by the rule's value. The curve's is the measure."),
           Slip(lambda true: (1 / true - 1).to("percent"), "That is the error of 'all water freezes'."),
           Slip(lambda brix, temperature, true: ((1 + 1.86 * 1000 * brix.m_as("") / 342.3 / temperature.m) / true - 1).to("percent"),
                "You counted the moles in a kilogram of syrup. The rule takes a kilogram of water.")),
    between={"true": lambda brix, temperature: cryo.frozen_share(syrup(brix), temperature),
             "linear": linear_share, "moles": lambda brix: cryo.particles(syrup(brix)),
             "begins": lambda brix: solutions.linear_freezing_point(cryo.particles(syrup(brix)))},
    steps=("Sugar over water over 342.3 g/mol: {moles:3} of water. The rule's freezing point is {begins:3}.",
           "One less that over {temperature}: {linear:3}.", "Over the curve's {true:3}, less one: {answer}."),
    known=({"brix": Q_(25, "percent"), "temperature": Q_(-8, "degC")}, Q_(9.9, "percent"),
           "250 / 342.3 / 0.75 = 0.9738; x 1.86 = 1.811; 1 - 1.811 / 8 = 77.36 %; over 70.4 % of the lever rule: 1.0989"))

AS_SWEET = Exercise(
    key="freezing-08", title="As sweet as before",
    question="Gram for gram dry dextrose is 0.75 times as sweet as sucrose. {sucrose} of sucrose are to be replaced so that the base tastes as sweet "
             "as before. How much dry dextrose is that?",
    givens={"sucrose": Draw(30, 150, 5, "g")},
    solve=lambda sucrose: sucrose / DEXTROSE.sweetness,
    unit="g", within=0.01,
    slips=(Slip(lambda sucrose: 0.75 * sucrose, "Less sweet, so it takes more of it, not less."),
           Slip(lambda sucrose: sucrose, "Gram for gram it would taste less sweet."),
           Slip(lambda sucrose: sucrose / 1.9, "1.90 is its freezing power, not its sweetness.")),
    between={"power": lambda sucrose: sucrose / 0.75 * 342.3 / 180.16},
    steps=("Grams times sweetness must stay: divide by 0.75, {answer}.",
           "Its freezing power is then that of {power:3 g} of sucrose: as sweet, and two and a half times as soft. Swap a part only."),
    known=({"sucrose": Q_(50, "g")}, Q_(66.67, "g"), "50 / 0.75 = 66.67"))

TRADE_DEXTROSE = Exercise(
    key="freezing-09", title="The water in the dextrose",
    question="The recipe counts {dry} of dry dextrose. The tub says dextrose monohydrate, one water to each molecule: 180.2 g/mol dry, 198.2 g/mol "
             "as it is. How much do you weigh?",
    givens={"dry": Draw(30, 150, 5, "g")},
    solve=lambda dry: dry / DRY,
    unit="g", within=0.01,
    slips=(Slip(lambda dry: dry, "A part of what you weigh is water: weigh more."),
           Slip(lambda dry: dry * 180.16 / 198.17, "Turned over: what you weigh is more than what is dry in it."),
           Slip(lambda dry: dry * 18.015 / 198.17, "That is a share of water only. How much is to be weighed?")),
    steps=("Of 198.2 g only 180.2 g are dextrose.", "{dry} times 198.2 over 180.2 is {answer}.", "The water it brings belongs to the base's water."),
    known=({"dry": Q_(60, "g")}, Q_(66.0, "g"), "60 x 198.17 / 180.16 = 66.0"))

HEAT_OF_ICE = Exercise(
    key="freezing-10", title="Heat for the ice alone",
    question="{batch} of a {brix} sucrose base is brought to {temperature}. {frozen:3} of its water freezes then. How much heat must go for the ice "
             "alone, at 333.6 kJ for each kilogram of ice?",
    givens={"batch": Draw(500, 2000, 250, "g"), "brix": BRIX, "temperature": COLD},
    solve=lambda batch, brix, temperature: (batch * cryo.ice_content(syrup(brix), temperature) * Q_(333.6, "kJ/kg")).to("kJ"),
    unit="kJ", within=0.01, fits=lambda brix, temperature: abs(cryo.frozen_share(syrup(brix), temperature) - 1 + brix) > 0.03,
    slips=(Slip(lambda batch, brix: (batch * (1 - brix) * Q_(333.6, "kJ/kg")).to("kJ"), "That is for all of the water. Not all of it freezes."),
           Slip(lambda batch, frozen: (batch * frozen * Q_(333.6, "kJ/kg")).to("kJ"), "The share is of the water, not of the whole base."),
           Slip(lambda batch: (batch * Q_(333.6, "kJ/kg")).to("kJ"), "A base is not pure water, and not all of its water freezes.")),
    between={"frozen": lambda brix, temperature: cryo.frozen_share(syrup(brix), temperature),
             "ice": lambda batch, brix, frozen: (batch * (1 - brix) * frozen).to("g"),
             "all": lambda batch, brix: (batch * (1 - brix) * Q_(333.6, "kJ/kg")).to("kJ")},
    steps=("{batch} less its sugar, times {frozen:3}: {ice:3 g} of ice.", "Times 333.6 kJ/kg: {answer}.",
           "Had all water frozen: {all:3 kJ}. What is planned by that is planned too big, or waits too long."),
    known=({"batch": Q_(1000, "g"), "brix": Q_(25, "percent"), "temperature": Q_(-8, "degC")}, Q_(176.1, "kJ"),
           "lever rule in another program: 52.8 % of the base is ice; 0.528 x 333.6 = 176.1 kJ"))

DONE = {"A carrot ice stands at -8 °C, 86 % of its water is ice, and the spoon bends. It is to taste of carrot, not of sugar. What do you do?":
            "serve it warmer",
        "A fruit sorbet comes out of the store at -18 °C and cannot be scooped. At -9 °C two thirds of its water would be ice. What do you do?":
            "serve it warmer",
        "A sorbet runs on the spoon at -5 °C. At -9 °C two thirds of its water would be ice, and the freezer can do that. What do you do?":
            "serve it colder",
        "A lemon ice drips off the plate: it was left out until only a third of its water was ice. What do you do?": "serve it colder",
        "The only freezer stands at -12 °C. A savoury ice must be scooped out of it and is four fifths ice there. What do you do?": "change the base",
        "An ice with a tenth of alcohol runs at -12 °C, and nothing in the house is colder. What do you do?": "change the base"}

WHAT_TO_DO = Exercise(
    key="freezing-11", title="Warmer, colder, or another base?",
    question="{said}",
    givens={"said": Pick(tuple(DONE))},
    solve=lambda said: DONE[said],
    unit=("serve it warmer", "serve it colder", "change the base"),
    slips=(Slip("serve it warmer", "Warmer means less ice. Is there too much of it, and is the temperature yours to choose?"),
           Slip("serve it colder", "Colder means more ice. Is there too little of it, and can your freezer do it?"),
           Slip("change the base", "First ask whether the temperature is yours to choose: the base may be right as it is.")),
    steps=("What you want is a share: 65 to 70 % of the water.", "Too hard: more ice than that. It runs: less.",
           "Where the temperature is free, change it; where it is fixed, change sugar, salt or alcohol. Here: {answer}."),
    known=({"said": next(iter(DONE))}, "serve it warmer", "85 % and more of a vegetable base is ice at -8 °C; it wants -3 to -4 °C: common practice"))
