"""Lesson 31: droplets that rise, acid in the water, the gate, the warm window, garlic, allergens. Four core exercises, the rest further practice.

`known` answers are worked by hand, the arithmetic written out, or stand in a rule or a list that was read.
"""
from ... import cautions, drops, keeping, rules
from ...mixes import Mix
from ...tables import row
from ...units import Q_
from ..exercises import Draw, Exercise, Pick, Slip

YOLK, SAUCE = (row(key, own=False) for key in ("egg yolk", "warm yolk sauce"))
THICKENS = SAUCE.thickens_at
YOLK_WATER = Q_(8.9, "mL")               # in 17 g of yolk


def rises(droplet):
    """Speed of one droplet of oil in water; only ratios of it are asked."""
    return drops.stokes_speed(droplet, Q_(80, "kg/m**3"), Q_(1.0, "mPa*s"))


# --- core --------------------------------------------------------------------------------------------------------------------------
FINER = Exercise(
    key="sauces-01", title="Finer droplets", minutes=3,
    question="A vinaigrette with droplets of {coarse} has creamed after {hours}. You blend it until they are {times} times as fine, nothing else "
             "changed. How long does it take now?",
    givens={"coarse": Draw(20, 60, 4, "µm"), "hours": Draw(4, 24, 2, "hour"), "times": Pick((2, 3, 4))},
    solve=lambda coarse, hours, times: hours * float(rises(coarse) / rises(coarse / times)),
    unit="hour", within=0.02,
    slips=(Slip(lambda hours, times: hours * times, "It is no straight line: the speed goes with the square of the size."),
           Slip(lambda hours, times: hours * times ** 3, "The cube is how many droplets there are. The speed goes with the square of the size."),
           Slip(lambda hours, times: hours / times ** 2, "The wrong way: finer droplets rise slower."),
           Slip(lambda hours: hours, "Finer droplets weigh less against the drag: they do rise slower.")),
    between={"square": lambda times: times ** 2},
    steps=("Speed goes with the square of the diameter: {times} times as fine is {square} times as slow.", "{hours} times {square}: {answer}.",
           "A minute more with the blender is worth more than a colder fridge."),
    known=({"coarse": Q_(40, "µm"), "hours": Q_(8, "hour"), "times": 2}, Q_(32, "hour"), "2 x 2 = 4; 4 x 8 h = 32 h; Stokes' law, droplets alone"))

TABLESPOON = Exercise(
    key="sauces-02", title="A tablespoon to the yolk", minutes=4,
    question="One yolk of 17 g (8.9 mL of water in it), {poured} of vinegar with {strength} of acetic acid, and any amount of oil. What is the pH of "
             "the watery part? Work it in a cell of your own: keeping.sauce_ph(acid in grams, citric acid, water in mL, yolk in grams, row('egg yolk')); "
             "count the vinegar's millilitres as water.",
    givens={"poured": Draw(10, 25, 1, "mL"), "strength": Pick((Q_(40, "g/L"), Q_(50, "g/L"), Q_(60, "g/L")))},
    solve=lambda acid, water: keeping.sauce_ph(acid, Q_(0, "g"), water, Q_(17, "g"), YOLK),
    unit="", within=0.012,
    slips=(Slip(lambda acid, water: keeping.sauce_ph(acid, Q_(0, "g"), water, Q_(0, "g"), YOLK),
                "You left the yolk out. It takes up acid, more than the water thins it."),
           Slip(lambda strength: keeping.sauce_ph(strength * Q_(1, "L"), Q_(0, "g"), Q_(1000, "mL"), Q_(0, "g"), YOLK),
                "That is the vinegar by itself, before it met the yolk."),
           Slip(lambda acid, water: keeping.sauce_ph(acid / 10, Q_(0, "g"), water, Q_(17, "g"), YOLK),
                "A tenth of the acid: 5 % on a vinegar's label is 50 g in a litre.")),
    between={"acid": lambda poured, strength: (poured * strength).to("g"), "water": lambda poured: YOLK_WATER + poured},
    steps=("Acid: {poured} times {strength} is {acid:3 g}.",
           "Water: the yolk's 8.9 mL and the vinegar's, {water:3 mL}. The oil holds no acid and does not count.",
           "Charge balance with the yolk as a buffer: pH {answer}, good to 0.25 either way.",
           "It says nothing of what lived in the egg. Raw egg stays cold at any pH; measure with a calibrated meter."),
    known=({"poured": Q_(15, "mL"), "strength": Q_(50, "g/L")}, 4.26,
           "at pH 4.26 the acid gives 12.49 mmol x 0.242 = 3.02 mmol, the yolk takes 17 x 0.083 x 2.14 = 3.02 mmol: the two agree"))

GATE = Exercise(
    key="sauces-03", title="The gate", minutes=3,
    question="A sauce with {egg}. Its watery part was measured with a calibrated meter: pH {ph}, good to 0.1; water activity 0.96. Nothing is known of the "
             "place. Is it cold-held, or does the table decide?",
    givens={"egg": Pick(cautions.EGGS), "ph": Draw(3.6, 4.8, 0.1, "")},
    solve=lambda egg, ph: "cold-held" if cautions.hold(egg, "", 0.96, ph, within=0.1).cold else "the table decides",
    unit=("cold-held", "the table decides"),
    slips=(Slip("cold-held", "No egg in it, and well below 4.2 with what the meter is good to: here the table may be asked."),
           Slip("the table decides", "First the egg: any egg is cold-held. Without egg, add the 0.1 that the meter may be off: from 4.2 the table asks for an "
                                     "assessment, and until then it is kept cold.")),
    steps=("First question: is there egg in it? Any raw egg is cold-held, whatever pH and table say; made-up pasteurised egg too.",
           "Only without egg: add what the meter is good to, and read table B. Below 4.2 it is Non-TCS, from 4.2 it asks for a product assessment, and "
           "until then the food is kept cold.", "Here: {answer}."),
    known=({"egg": "raw egg", "ph": 3.9}, "cold-held", "raw egg in it: the house's first rule; table B says Non-TCS at 3.9 and speaks of growth only"))

HOT_HOLD = Exercise(
    key="sauces-04", title="Time on the pass", minutes=4,
    question="A warm yolk sauce stands {minutes} at {rule}, where a rule for hot holding begins. How many minutes at 65 °C take the yolk as far? The yolk's "
             "activation energy is 470 kJ/mol, the gas constant 8.314 J/(mol K).",
    givens={"minutes": Draw(30, 120, 10, "min"), "rule": Pick((Q_(57, "degC"), Q_(60, "degC"), Q_(63, "degC")))},
    solve=lambda minutes, rule: keeping.same_heat(minutes, rule, THICKENS, SAUCE),
    unit="min", within=0.03,
    slips=(Slip(lambda minutes, rule: keeping.same_heat(minutes, THICKENS, rule, SAUCE), "The wrong way: hotter takes fewer minutes."),
           Slip(lambda minutes, rule: minutes * 2 ** (-(65 - rule.m_as("degC")) / 10),
                "Twice for every 10 °C is a rule for other things. A yolk near curdling goes many times as fast."),
           Slip(lambda minutes: minutes, "Each degree counts here: ask the exponential.")),
    between={"faster": lambda rule: float(keeping.same_heat(Q_(1, "min"), THICKENS, rule, SAUCE).m_as("min"))},
    steps=("In kelvin: 470,000 / 8.314 times the difference of the two reciprocals; its exponential is {faster}.",
           "So at 65 °C it goes {faster} times as fast: {minutes} at {rule} are {answer} at 65 °C.",
           "A rule at 63 °C all but spends the yolk, one at 57 °C leaves it room. What kitchens do: pasteurised egg, small batches, thrown away by the clock."),
    known=({"minutes": Q_(60, "min"), "rule": Q_(60, "degC")}, Q_(4.88, "min"),
           "1/333.15 - 1/338.15 = 4.4382e-5; x 470,000 / 8.3145 = 2.5088; exp = 12.29; 60 / 12.29 = 4.88"))


# --- further practice --------------------------------------------------------------------------------------------------------------
XANTHAN = Exercise(
    key="sauces-05", title="Gum on the water",
    question="{batch} of dressing are {watery} water by mass, the rest is oil. You want {dose} of xanthan, counted on the water. How much is that?",
    givens={"batch": Draw(400, 2000, 100, "g"), "watery": Draw(30, 45, 5, "percent"), "dose": Draw(0.2, 0.4, 0.05, "percent")},
    solve=lambda batch, watery, dose: Mix({"water": batch * watery, "sunflower oil": batch * (1 - watery)}).total("water") * dose,
    unit="g", within=0.02,
    slips=(Slip(lambda batch, dose: batch * dose, "That is the dose on the whole. The oil does not thicken: count the water only."),
           Slip(lambda batch, watery, dose: batch * (1 - watery) * dose, "You counted the oil. The gum thickens the water."),
           Slip(lambda batch, watery, dose: batch * watery * dose / 10, "The point slipped one place: 0.3 % is 3 g in a kilogram.")),
    between={"water": lambda batch, watery: batch * watery},
    steps=("Water: {batch} times {watery} is {water:3 g}.", "Of that {dose}: {answer}.",
           "Half of it would be in the trap, worse than none. Rub the gum into the oil first, then rain it in: so it makes no lumps."),
    known=({"batch": Q_(500, "g"), "watery": Q_(40, "percent"), "dose": Q_(0.3, "percent")}, Q_(0.6, "g"), "500 x 0.40 = 200 g; 200 x 0.003 = 0.6 g"))

BY_MASS = Exercise(
    key="sauces-06", title="Per volume, per mass",
    question="A citric acid solution holds {strength}; a litre of it weighs {litre:4 g}. You weigh {weighed} of it into a sauce. How much acid is that?",
    givens={"strength": Draw(300, 500, 50, "g/L"), "weighed": Draw(20, 80, 5, "g")},
    solve=lambda weighed, strength, density: weighed * keeping.by_mass(strength, density),
    unit="g", within=0.015,
    slips=(Slip(lambda weighed, strength: weighed * strength / Q_(1000, "g/L"), "That took a litre for a kilogram. This litre weighs more."),
           Slip(lambda weighed, strength, density: weighed * strength * density / Q_(1000, "g/L") ** 2,
                "Divide by the litre's mass, do not multiply: each gram of it holds less than a millilitre does."),
           Slip(lambda weighed, strength: weighed * strength / Q_(10000, "g/L"), "The point slipped: a litre holds a thousand millilitres, not ten thousand.")),
    between={"density": lambda strength: Q_(1000, "g/L") + 0.4 * strength, "litre": lambda density: density * Q_(1, "L"),
             "share": lambda strength, density: keeping.by_mass(strength, density)},
    steps=("By mass: {strength} over {litre:4 g} in a litre is {share:3 percent}.", "Of {weighed}: {answer}.",
           "For vinegar the two differ by half a per cent only, for a strong solution by a fifth: the label must say of what."),
    known=({"strength": Q_(500, "g/L"), "weighed": Q_(60, "g")}, Q_(25.0, "g"), "500 / 1,200 = 41.67 % by mass; 60 x 0.4167 = 25.0 g; the density is made"))

CREAM_THINS = Exercise(
    key="sauces-07", title="A splash of cream",
    question="A yolk sauce has {acid} of acetic acid in {water} of water. You stir in {cream} of heavy cream, of which {watery} is water. How much acid "
             "is in a litre of its water now?",
    givens={"acid": Draw(0.5, 1.5, 0.25, "g"), "water": Draw(20, 40, 5, "mL"), "cream": Draw(30, 100, 10, "g"), "watery": Q_(58, "percent")},
    solve=lambda acid, water, more: acid / (water + more),
    unit="g/L", within=0.02,
    slips=(Slip(lambda acid, water: acid / water, "The cream brings water of its own: the acid is thinned."),
           Slip(lambda acid, water, cream: acid / (water + cream / Q_(1, "g/mL")), "Not all of the cream is water: its fat holds no acid."),
           Slip(lambda acid, more: acid / more, "The water that was there before counts too.")),
    between={"more": lambda cream, watery: cream * watery / Q_(1, "g/mL")},
    steps=("Cream brings {more:3 mL} of water.", "{acid} over {water} and that: {answer}.",
           "The cream takes up acid besides, so that the pH rises more than this says. What was sour enough before may not be after: measure again."),
    known=({"acid": Q_(0.75, "g"), "water": Q_(25, "mL"), "cream": Q_(50, "g")}, Q_(13.89, "g/L"), "50 x 0.58 = 29 mL; 25 + 29 = 54 mL; 0.75 / 0.054 = 13.89"))

HERBS = Exercise(
    key="sauces-08", title="What holds a fleck of herb",
    question="Flecks of herb {size} across are {heavier} denser than the dressing. What yield stress holds them up? It is 0.143 times 2/3 times the radius "
             "times the difference of the densities times g.",
    givens={"size": Draw(1, 4, 0.5, "mm"), "heavier": Draw(30, 80, 10, "kg/m**3")},
    solve=lambda size, heavier: keeping.yield_needed(size, heavier),
    unit="Pa", within=0.03,
    slips=(Slip(lambda right: 2 * right, "You put the diameter where the radius belongs."),
           Slip(lambda right: right / 0.143, "Without 0.143: the sauce around the fleck helps to carry it, much less is enough."),
           Slip(lambda size: keeping.yield_needed(size, Q_(1050, "kg/m**3")), "The dressing carries most of the weight: only the difference pulls.")),
    between={"right": lambda size, heavier: keeping.yield_needed(size, heavier)},
    steps=("Half of {size}, times {heavier}, times 9.81 m/s², times 2/3, times 0.143.", "That is {answer}.",
           "A dressing with 0.25 % of xanthan on the water seems to hold some 0.5 Pa; chopped finer, herbs need less."),
    known=({"size": Q_(2, "mm"), "heavier": Q_(50, "kg/m**3")}, Q_(0.0467, "Pa"), "0.143 x 0.6667 x 0.001 x 50 x 9.80665 = 0.04674 Pa"))

PROVES = {"No Salmonella from the raw egg is alive.": "does not say so",
          "The sauce may stand on the counter, raw egg in it.": "does not say so",
          "In the fridge whatever lived in the egg dies sooner than in the warm.": "does not say so",
          "It will be at this pH still when cream has been stirred in.": "does not say so",
          "The mustard and the oil beside it may go undeclared.": "does not say so",
          "Table B's row for wet food, asked with what the meter is good to, reads Non-TCS.": "says so",
          "The watery part is sourer than that of a sauce at 4.6.": "says so"}
DOES_NOT_PROVE = Exercise(
    key="sauces-09", title="What a pH does not prove",
    question="A calibrated meter, good to 0.1, reads pH 4.0 in a raw-egg mayonnaise. {claim} Does the number say so?",
    givens={"claim": Pick(tuple(PROVES))},
    solve=lambda claim: PROVES[claim],
    unit=("says so", "does not say so"),
    slips=(Slip("says so", "The number is about acid now. It is no count of what lives, no time, no rule, and it changes with the next ingredient."),
           Slip("does not say so", "This one is just the number, read and compared.")),
    steps=("A pH says how sour the water is, now, as well as the meter is good.",
           "Table B speaks of growth, nothing speaks of what came in with the egg, and in the cold that dies more slowly.", "Here it {answer}."),
    known=({"claim": tuple(PROVES)[0]}, "does not say so", "keerthirathne-2019 and zhu-2012: survival for days, longest at 4 °C; raw egg: cold at any pH"))


def stands_as(place, at, hours):
    """Hot-held, by the clock or past it: the place's rows for hot holding and for time as control that ask for no temperature."""
    if at >= rules.holding_limit(place, "hot hold"):
        return "hot-held"
    clocks = [record["within"] for record in rules.standing(place, "time as control").rows if record["warmer"] is None]
    return "by the clock" if hours < max(clocks) else "throw it away"


PLAN = Exercise(
    key="sauces-10", title="A plan for the pass",
    question="{place}: a warm sauce of pasteurised yolk stands at {at} on the pass, for the first time, marked with the hour, {hours} so far. What is it by "
             "that place's rows?",
    givens={"place": Pick(("England", "United States", "Australia")), "at": Draw(52, 66, 2, "degC"), "hours": Draw(1, 5, 0.5, "hour")},
    fits=lambda place, at, hours: hours.m not in (2, 4) and (place != "United States" or at >= Q_(57, "degC")),
    solve=stands_as,
    unit=("hot-held", "by the clock", "throw it away"),
    slips=(Slip("hot-held", "It is below that place's hot hold: 57 °C in the United States, 60 °C in Australia, 63 °C in England."),
           Slip("by the clock", "Look at both: is it hot enough to need no clock, or is the clock run out?"),
           Slip("throw it away", "Not yet: hot enough, or still inside that place's hours.")),
    steps=("First the temperature against the place's hot hold: 57, 60 or 63 °C.",
           "Below it only the clock counts: under 2 hours in England, 4 in all in Australia; the United States' row here is for food from the cold.",
           "Here: {answer}. Whether the yolk stands it is the other question; and your authority decides."),
    known=({"place": "England", "at": Q_(58, "degC"), "hours": Q_(1.5, "hour")}, "by the clock",
           "58 is below 63 °C; hot food on display below 63 °C: less than 2 hours, once (rules_holding.csv, as quoted)"))

GARLIC = Exercise(
    key="sauces-11", title="Garlic in oil",
    question="A jar of oil with fresh garlic stands {where}, {days} since it was made. By the shortest time that any authority of the lesson gives, what now?",
    givens={"where": Pick(("in the fridge at 4 °C", "on the shelf by the stove")), "days": Draw(1, 9, 1, "day")},
    solve=lambda where, days: "keep it cold" if where.startswith("in the fridge") and days <= rules.garlic_in_oil().rows[0]["days"] else "throw it away",
    unit=("keep it cold", "throw it away", "taste it first"),
    slips=(Slip("keep it cold", "Authorities say 2 to 10 days in the fridge: keep to the shortest, 2. At room temperature there is no such time at all."),
           Slip("throw it away", "In the fridge and no older than the shortest time given: the day it is used up stands on the label."),
           Slip("taste it first", "Never: the poison of botulism shows in neither look, smell nor taste, and a lick can be too much.")),
    steps=("Oil shuts out air, garlic is low in acid: the two things that botulism asks for.",
           "In the fridge: 2 days by the shortest advice. On the shelf: none.",
           "So: {answer}. Better: make it fresh, or freeze it the same day."),
    known=({"where": "in the fridge at 4 °C", "days": Q_(5, "day")}, "throw it away", "missouri-oil: 2 to 3 days in the fridge, the shortest of five"))

SWAPS = {"the yolk goes, soybean lecithin takes its place.": "soybean lecithin", "the yolk goes, whey protein takes its place.": "whey protein",
         "part of the salt goes, fermented anchovy comes in.": "fermented anchovy", "a spoon of yellow mustard comes in.": "yellow mustard",
         "a spoon of sour cream comes in.": "sour cream", "part of the oil goes, peanut oil comes in.": "peanut oil"}
ALLERGENS = Exercise(
    key="sauces-12", title="A swap and the card",
    question="A mayonnaise of yolk, sunflower oil and distilled vinegar says *eggs* on its card. Now {swap} The place is unknown, so all lists count together. "
             "Which word is new on the card?",
    givens={"swap": Pick(tuple(SWAPS))},
    solve=lambda swap: cautions.declare((row(SWAPS[swap], own=False),), "").rows[0]["allergen"],
    unit=("soy", "milk", "fish", "mustard", "peanuts"),
    slips=(Slip("soy", "Soy comes with soybean lecithin, and with soybean oil where a list does not except it."),
           Slip("milk", "Milk comes with cream, whey protein and caseinate, whatever the label calls them."),
           Slip("fish", "Fish comes with anchovy, and with gelatin made of fish."),
           Slip("mustard", "Mustard is on the lists of Europe and others, not on that of the United States: where the place is unknown, it counts."),
           Slip("peanuts", "Peanuts come with their oil.")),
    steps=("Look at what came in, not at what went out; and what went out must be gone from the card as well.", "Here: {answer}.",
           "Read every pack of this batch; your authority decides."),
    known=({"swap": tuple(SWAPS)[0]}, "soy", "us-falcpa-faster: soy lecithin is labelled as soy; eu-1169-2011, annex II: soybeans"))
