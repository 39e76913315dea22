"""Exercises of lesson 01: per cent of what, what to buy, what a scale's step does, instruments that read right."""
import math

from ... import instruments, solutions, weighing
from ...units import Q_
from ..exercises import Draw, Exercise, Pick, PickRow, Slip

ROOT_12 = math.sqrt(12)
SHARE = Q_(100, "percent")


# --- core --------------------------------------------------------------------------------------------------------------------------
INTO_THE_JUICE = Exercise(
    key="weighing-01", title="Three per cent of the whole", minutes=3,
    question="You have {liquid} of cucumber juice and want {dose} of a powder in it, counted on the total. How many grams go in?",
    givens={"liquid": Draw(300, 1500, 50, "g"), "dose": Draw(2, 10, 0.5, "percent")},
    solve=lambda dose, liquid: weighing.into_liquid(dose, liquid),
    unit="g", within=0.005,
    slips=(Slip(lambda dose, liquid: dose * liquid, "That is per cent on the juice. The powder makes the total larger, so it takes a little more."),
           Slip(lambda dose, liquid: liquid * dose / (1 + dose), "You went from the liquid to the total and once more. Divide by what the juice is of the "
                                                                 "total."),
           Slip(lambda whole: whole, "That is what the whole weighs. How much of it is powder?")),
    between={"juice": lambda dose: (SHARE - dose).to("percent"), "whole": lambda liquid, juice: (liquid / juice).to("g")},
    steps=("If {dose} of the total is powder, {juice} of it is juice: your {liquid}.",
           "So the total is {liquid} over {juice}, which is {whole:5 g}.",
           "The powder is the difference: {answer}. At small doses this hardly matters; at ten per cent it does."),
    known=({"liquid": Q_(400, "g"), "dose": Q_(3, "percent")}, Q_(12.371, "g"), "400 / 0.97 = 412.371; less 400 = 12.371; back: 12.371 / 412.371 = 3.00 %"))

SMALLEST_BATCH = Exercise(
    key="weighing-02", title="How large a batch for this scale?", minutes=4,
    question="A scale shows steps of {step}. You dose {dose} of the total and want it right within {within}: twice the standard uncertainty of one "
             "reading, no bowl tared. How large is the smallest batch?",
    givens={"step": Pick(tuple(Q_(s, "g") for s in (0.01, 0.1, 0.5, 1))), "dose": Draw(0.1, 0.8, 0.1, "percent"), "within": Draw(2, 10, 1, "percent")},
    solve=lambda dose, step, within: weighing.smallest_batch(dose, step, within),
    unit="g", within=0.02,
    slips=(Slip(lambda standard, within, dose: standard / within / dose, "That is one standard uncertainty. The question asks for twice that."),
           Slip(lambda step, within, dose: step / 2 / within / dose, "Half a step is the edge. The step is a rectangle: its standard uncertainty is the step "
                                                                     "over the root of 12, and you want twice that."),
           Slip(lambda least: least, "That is the least load of powder. How large is the batch around it?"),
           Slip(lambda step, within, dose: step / within / dose, "A whole step is more than the display hides: it rounds to the nearest.")),
    between={"standard": lambda step: (step / ROOT_12).to("g"), "least": lambda standard, within: (2 * standard / within).to("g")},
    steps=("A step of {step} hides a rectangle; its standard uncertainty is {step} over the root of 12, which is {standard:3 g}.",
           "Twice that must be no more than {within} of the powder: so at least {least:4 g} of powder.",
           "At {dose} that much belongs in a batch of {answer}.",
           "Less than that: a finer scale, or a stock of which you weigh more."),
    known=({"step": Q_(0.1, "g"), "dose": Q_(0.3, "percent"), "within": Q_(5, "percent")}, Q_(384.9, "g"),
           "0.1 / 3.4641 = 0.028868; twice 0.057735; / 0.05 = 1.1547; / 0.003 = 384.9"))

JUICE_TO_BUY = Exercise(
    key="weighing-03", title="What to buy for the juice", minutes=4,
    question="You need {wanted} of strained {food} juice. Trimming takes {food.refuse} off what you buy. Your own press and sieve give {pressed} of the "
             "trimmed mass. How much {food} do you buy?",
    givens={"wanted": Draw(500, 2500, 250, "g"), "food": PickRow(("carrot", "celery", "beetroot", "orange")), "pressed": Draw(45, 75, 5, "percent")},
    solve=lambda wanted, food, pressed: weighing.to_buy(wanted, food.but(juice_yield=pressed), "juice"),
    unit="g", within=0.005,
    slips=(Slip(lambda wanted, pressed: wanted / pressed, "That is trimmed {food}. The peel is bought too.".replace("{food}", "produce")),
           Slip(lambda wanted, left: wanted / left, "That is enough trimmed produce. But the sieve keeps a good part of it: published refuse is no juice "
                                                    "yield."),
           Slip(lambda wanted, left, pressed: wanted * left * pressed, "You multiplied: that is the juice out of so much produce. Divide."),
           Slip(lambda wanted, food, pressed: wanted / (pressed - food.refuse), "Losses one after the other do not add: the sieve takes its share of what the "
                                                                                "peeler left.")),
    between={"left": lambda food: (SHARE - food.refuse).to("percent"), "trimmed": lambda wanted, pressed: (wanted / pressed).to("g")},
    steps=("Go backwards. {wanted} of juice are {pressed} of the trimmed mass: {trimmed:5 g} trimmed.",
           "That is {left} of what you bought: {answer}.",
           "The refuse is from a table; the juice yield is yours alone, since nobody has published your sieve."),
    known=({"wanted": Q_(1000, "g"), "food": "carrot", "pressed": Q_(50, "percent")}, Q_(2247.2, "g"), "1000 / 0.5 = 2000; 2000 / 0.89 = 2247.2"))

ON_TO_TEXTURE = Exercise(
    key="weighing-04", title="From the display to the texture", minutes=4,
    question="You tare a cup and weigh {agar} of agar on a scale with steps of {step}. Firmness goes as the square of the dose. What is the standard "
             "uncertainty of the firmness, as a share of it? Only this scale's step counts.",
    givens={"agar": Draw(3, 12, 1, "g"), "step": Pick((Q_(0.5, "g"), Q_(1, "g")))},
    solve=lambda agar, step: weighing.carried(weighing.resolution(agar, step, "tared").relative, 2).relative,
    unit="percent", within=0.02,
    slips=(Slip(lambda single, agar: 2 * single / agar, "That is for one reading. The tare is a reading too."),
           Slip(lambda share: share, "That is the dose. Firmness goes as its square, so it is off by twice that share."),
           Slip(lambda step, agar: 2 * (step / 2) / agar, "Half a step is the edge of what the display hides, not the standard uncertainty."),
           Slip(lambda single, agar: 2 * 2 * single / agar, "Two independent readings do not simply add: take the root of the sum of the squares.")),
    between={"single": lambda step: (step / ROOT_12).to("g"), "both": lambda single: math.sqrt(2) * single,
             "share": lambda both, agar: (both / agar).to("percent")},
    steps=("One reading: {step} over the root of 12, {single:3 g}.",
           "Cup and powder are two readings; their squares add, so it is the root of 2 times that: {both:3 g}.",
           "That is {share:3} of {agar}.",
           "A square doubles a small share: {answer}. Twice that is what you should expect to meet one time in twenty."),
    known=({"agar": Q_(4, "g"), "step": Q_(1, "g")}, Q_(20.41, "percent"), "1 / root 12 = 0.28868; times root 2 = 0.40825; / 4 = 10.206 %; twice 20.41 %"))


# --- further practice --------------------------------------------------------------------------------------------------------------
GRAMS_IN_A_LITRE = Exercise(
    key="weighing-05", title="Sugar in a litre",
    question="A syrup is {strength} sugar by mass and weighs {density:5 g/mL} at 20 °C. How many grams of sugar are in a litre of it?",
    givens={"strength": Draw(20, 60, 5, "percent")},
    solve=lambda strength, density: weighing.per_litre(strength, density),
    unit="g/L", within=0.01,
    slips=(Slip(lambda strength: strength * Q_(1, "kg/L"), "A litre of syrup weighs more than a kilogram."),
           Slip(lambda strength, density: strength * Q_(1, "kg/L") ** 2 / density, "Heavier per litre means more sugar in the litre, not less: multiply."),
           Slip(lambda strength: strength / (1 - strength) * Q_(1, "kg/L"), "That is sugar on a kilogram of water. Ask for the litre of syrup.")),
    between={"density": lambda strength: solutions.syrup_density(Q_(strength.m, "brix")),
             "litre": lambda density: (density * Q_(1, "L")).to("g")},
    steps=("A litre weighs {litre:5}.", "{strength} of that is sugar: {answer}.", "That is what grams in 100 mL, w/v, counts; tenfold for the litre."),
    known=({"strength": Q_(30, "percent")}, Q_(338.1, "g/L"), "the density of 30 % sucrose at 20 °C is 1.1270 g/mL in the tables: 0.3 x 1127.0 = 338.1"))

FLOUR_IN_THE_DOUGH = Exercise(
    key="weighing-06", title="Flour in the batch",
    question="A cracker dough has, by baker's per cent, {water} water, 2 % yeast and 2 % salt. How much flour is in a batch of {batch}?",
    givens={"batch": Draw(1000, 4000, 250, "g"), "water": Draw(50, 76, 2, "percent")},
    solve=lambda batch, formula: weighing.flour_for(batch, formula),
    unit="g", within=0.005,
    slips=(Slip(lambda batch, water: batch / (SHARE + water), "Yeast and salt are in the batch too."),
           Slip(lambda batch, water: batch * (SHARE - water), "Baker's per cents are of the flour, not of the batch."),
           Slip(lambda batch, formula, water: batch / formula * water, "That is the water.")),
    between={"formula": lambda water: (SHARE + water + Q_(4, "percent")).to("percent")},
    steps=("The flour counts as 100 %; all together that is {formula}.", "{batch} over {formula} is {answer}."),
    known=({"batch": Q_(2000, "g"), "water": Q_(60, "percent")}, Q_(1219.5, "g"), "2000 / 1.64 = 1219.5"))

BY_STOCK = Exercise(
    key="weighing-07", title="A stock of xanthan",
    question="A sauce of {batch} takes {dose} of xanthan, of the total. You keep a stock of {strength}. How much stock do you weigh in?",
    givens={"batch": Draw(300, 1500, 100, "g"), "dose": Draw(0.05, 0.3, 0.05, "percent"), "strength": Pick(tuple(Q_(s, "percent") for s in (2, 3, 4)))},
    solve=lambda dose, batch, strength: weighing.by_stock(dose, batch, strength, batch, Q_(0.1, "g")).portion,
    unit="g", within=0.005,
    slips=(Slip(lambda powder: powder, "That is the xanthan itself. It sits in the stock: how much of that?"),
           Slip(lambda powder, strength: powder / strength - powder, "That is the water which the stock brings. The question asks for the stock."),
           Slip(lambda powder, strength: powder * strength, "Divide by the strength: the stock is weaker than the powder, so it takes more.")),
    between={"powder": lambda dose, batch: weighing.of_total(dose, batch)},
    steps=("{dose} of {batch} is {powder:3 g} of xanthan.", "{strength} of the stock is xanthan: {powder:3 g} over {strength} is {answer}.",
           "Take its water off the recipe's water. A scale that cannot weigh the powder weighs this well."),
    known=({"batch": Q_(400, "g"), "dose": Q_(0.1, "percent"), "strength": Q_(2, "percent")}, Q_(20.0, "g"), "0.4 g / 0.02 = 20 g"))

ICE_CHECK = Exercise(
    key="weighing-08", title="The probe in the ice",
    question="In stirred ice water a probe shows {ice}. In the custard it shows {shown}. How warm is the custard?",
    givens={"ice": Draw(-0.9, 0.9, 0.1, "degC"), "shown": Draw(60, 84, 1, "degC")},
    fits=lambda ice: abs(ice.m) > 0.25,
    solve=lambda shown, error: shown - error,
    unit="degC", within=Q_(0.05, "delta_degC"),
    slips=(Slip(lambda shown, error: shown + error, "Which way? What the probe shows too much comes off, what it shows too little goes on."),
           Slip(lambda shown: shown, "The probe is not right: the ice says by how much."),
           Slip(lambda ice: ice, "That is what it shows in the ice. Mend the custard's reading by it.")),
    between={"error": lambda ice: instruments.off_in_ice(ice, Q_(0.1, "delta_degC"), Q_(1, "delta_degC")).error},
    steps=("Ice water is 0 °C, so the probe is off by {error:2}.", "Take that off {shown}: {answer}.",
           "One point says nothing of a probe that is off by more where it is hot: check in steam too where it matters."),
    known=({"ice": Q_(0.6, "degC"), "shown": Q_(72, "degC")}, Q_(71.4, "degC"), "72 - 0.6 = 71.4, since ice water is 0 °C"))

THIN_THE_SYRUP = Exercise(
    key="weighing-09", title="Thinning a syrup",
    question="{mass} of syrup has {strength}. You want {wanted} for the sorbet. How much water goes in?",
    givens={"mass": Draw(400, 1600, 100, "g"), "strength": Draw(56, 70, 2, "brix"), "wanted": Draw(22, 38, 2, "brix")},
    solve=lambda mass, strength, wanted: weighing.water_to_dilute(mass, strength, wanted),
    unit="g", within=0.005,
    slips=(Slip(lambda whole: whole, "That is what it weighs in the end. How much of it is new water?"),
           Slip(lambda mass, strength, wanted: mass * (1 - (wanted / strength).m_as("")), "You took that share of the syrup. Sugar stays: divide it by the "
                                                            "wanted "
                                                                                          "strength first."),
           Slip(lambda mass, strength, wanted: mass * (strength - wanted).m / 100, "Degrees are no grams of water.")),
    between={"sugar": lambda mass, strength: mass * (strength.m / 100), "whole": lambda sugar, wanted: sugar / (wanted.m / 100)},
    steps=("The sugar stays: {sugar:4 g} of it.", "At {wanted} that much sugar belongs in {whole:5 g}.", "So {answer} of water are added."),
    known=({"mass": Q_(1000, "g"), "strength": Q_(66, "brix"), "wanted": Q_(30, "brix")}, Q_(1200, "g"), "660 g of sugar; 660 / 0.3 = 2200; less 1000"))

STEPS = ("1 g", "0.1 g", "0.01 g")

WHICH_SCALE = Exercise(
    key="weighing-10", title="Which scale is enough?",
    question="You weigh {mass} of citrate and want it right within 5 %, twice the standard uncertainty of one reading. Which is the coarsest step that does?",
    givens={"mass": Pick(tuple(Q_(m, "g") for m in (0.2, 0.3, 0.5, 0.8, 1.0, 1.5, 2.0, 3.0, 5.0, 8.0, 10.0, 13.0, 16.0, 25.0, 40.0)))},
    solve=lambda mass: next(word for word in STEPS if weighing.smallest_load(Q_(float(word.split()[0]), "g"), Q_(5, "percent")) <= mass),
    unit=STEPS,
    slips=(Slip("1 g", "Whole grams weigh from about 11.5 g upwards so well."), Slip("0.1 g", "Tenths are enough from about 1.15 g upwards, up to 11.5 g."),
           Slip("0.01 g", "Hundredths are needed below about 1.15 g only.")),
    steps=("For 5 % the load must be at least 11.5 steps: twice the step over the root of 12, over 0.05.",
           "That is 11.5 g on whole grams, 1.15 g on tenths, 0.115 g on hundredths.", "For {mass} that is a scale of {answer}."),
    known=({"mass": Q_(2.0, "g")}, "0.1 g", "2 g is 2 steps of 1 g and 20 steps of 0.1 g; 11.5 are needed"))

METER_SLOPE = Exercise(
    key="weighing-11", title="A pH meter in two buffers",
    question="In the buffer of pH 7.00 a meter shows {neutral}, in the one of pH 4.01 it shows {acid}. What is its slope?",
    givens={"neutral": Draw(6.95, 7.10, 0.05, ""), "acid": Draw(4.15, 4.45, 0.05, "")},
    solve=lambda acid, neutral: instruments.electrode(acid, neutral).slope,
    unit="percent", within=0.005,
    slips=(Slip(lambda span: 2.99 / span, "Upside down: a tired electrode spans less than the buffers do."),
           Slip(lambda span: span / 7, "Divide by the span of the buffers, not by one of them."),
           Slip(lambda span: span / 4.01, "Divide by the span of the buffers, 7.00 less 4.01, not by the acid one.")),
    between={"span": lambda acid, neutral: neutral - acid},
    steps=("The meter spans {neutral} less {acid}, which is {span:3}.", "The buffers span 2.99. {span:3} over 2.99 is {answer}.",
           "Good is 95 to 102 %; below 85 % it is not used."),
    known=({"neutral": 7.05, "acid": 4.20}, Q_(95.32, "percent"), "2.85 / 2.99 = 0.9532"))

USABLE_PRICE = Exercise(
    key="weighing-12", title="What a usable kilogram costs",
    question="A kilogram of {food} costs {price} in your money. Trimming takes {food.refuse}. What does a usable kilogram cost?",
    givens={"food": PickRow(("potato", "orange", "broccoli", "basil", "lemon")), "price": Draw(1.2, 6.0, 0.2, "")},
    solve=lambda price, left: weighing.usable_price(price, left),
    unit="", within=0.005,
    slips=(Slip(lambda price, left: price * left.m_as(""), "Cheaper than bought? What is thrown away was paid for: divide."),
           Slip(lambda price, food: price * (1 + food.refuse.m_as("")), "Adding the loss is not enough: divide by what is left."),
           Slip(lambda price, food: price * food.refuse.m_as(""), "That is the price of the peelings.")),
    between={"left": lambda food: (SHARE - food.refuse).to("percent")},
    steps=("{left} is left to use.", "{price} over {left} is {answer}.", "Clean trimmings for stock are worth something: then count them off."),
    known=({"food": "potato", "price": 1.8}, 2.4, "1.80 / 0.75 = 2.40"))
