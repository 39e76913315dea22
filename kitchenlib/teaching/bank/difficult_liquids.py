"""Exercises of 21 Difficult liquids: acid and calcium decide; citrate, waters, syrups. The first four are core, the rest further practice.

Charges, thresholds and syrups are checked against the rows of datasets/published (PHREEQC, tables, definitions of hardness).
"""
import math

from ... import acidity, calcium, liquids, solutions
from ...mixes import Mix
from ...tables import row
from ...units import Q_, show
from ..exercises import Draw, Exercise, Pick, PickRow, Slip

CITRIC, ALGINATE, SALT, SUGAR = (row(key, own=False) for key in ("citric acid", "sodium alginate", "trisodium citrate dihydrate", "sugar"))
DOSE = Q_(0.5, "percent")
ACID_MASS, SALT_MASS, CALCIUM_MASS = Q_(192.12, "g/mol"), Q_(294.1, "g/mol"), Q_(40.08, "g/mol")
EXCESS, LIMIT = 1.4, Q_(6, "g/L")


def gives_up(ph, wanted):
    """Hydrogen that a citric acid loses from one pH to another, each."""
    return acidity.charge(CITRIC, wanted) - acidity.charge(CITRIC, ph)


def takes_up(wanted):
    """Hydrogen that a citrate takes up where it ends at this pH, each."""
    return 3 - acidity.charge(CITRIC, wanted)


# --- core ----------------------------------------------------------------------------------------------------------------------------
GRAMS_OF_CITRATE = Exercise(
    key="liquids-01", title="Grams of citrate", minutes=4,
    question="{litres} of raspberry juice at pH {ph} hold {acid} of citric acid (192.12 g/mol), salts included. From there to pH {wanted} each "
             "citric acid gives up {up:3} hydrogens, and each citrate you add takes up {down:3}. How many grams of trisodium citrate "
             "dihydrate (294.1 g/mol) is the whole dose by this sum?",
    givens={"litres": Draw(0.5, 3, 0.5, "L"), "ph": Draw(3.2, 3.5, 0.1, ""), "acid": Draw(12, 20, 1, "g/L"), "wanted": Draw(3.8, 4.2, 0.1, "")},
    between={"up": gives_up, "down": takes_up,
             "acid_moles": lambda litres, acid: (litres * acid / ACID_MASS).to("mmol"),
             "hydrogen": lambda acid_moles, up: acid_moles * up},
    solve=lambda litres, acid, up, down: (litres * acid / ACID_MASS * up / down * SALT_MASS).to("g"),
    unit="g", within=0.03,
    slips=(Slip(lambda litres, ph, wanted: (litres * acidity.citrate_by_ph_alone(ph, wanted, SALT)).to("g"),
                "That counts only the hydrogen that is free already, as if it were a strong acid. The acid holds 60 to 100 times more back."),
           Slip(lambda litres, acid, up: (litres * acid / ACID_MASS * up * SALT_MASS).to("g"),
                "Each citrate takes up more than one hydrogen: divide by the number given."),
           Slip(lambda litres, acid, up, down: litres * acid * up / down,
                "Grams of acid are not grams of citrate: go through the moles, 192.12 and 294.1 g each.")),
    steps=("{litres} times {acid} over 192.12 g/mol is {acid_moles:3} of citric acid.",
           "Times {up:3} it gives up {hydrogen:3} of hydrogen on the way; what is free already adds a few per cent and is left out.",
           "Each citrate takes {down:3}: divide, times 294.1 g/mol: {answer}.",
           "Weigh in two thirds, stir, measure. Real liquids take about 1.4 times the sum."),
    known=({"litres": Q_(1, "L"), "ph": 3.4, "acid": Q_(17, "g/L"), "wanted": 4.0}, Q_(5.70, "g"),
           "Davies at 0.1 mol/L makes the pKa 3.021, 4.440, 5.861; weights 1, 2.393, 0.218, 0.001 give 0.784 at 3.4, and 1, 9.528, 3.459, 0.048 "
           "give 1.182 at 4.0; 88.49 mmol x 0.398 / 1.818 = 19.37 mmol; x 294.1 mg = 5.70 g"))

CITRATE_OR_REVERSE = Exercise(
    key="liquids-02", title="Raspberry: citrate or reverse?", minutes=3,
    question="Strained raspberry, pH {ph}. The sum with its titrated acid says {dose} of trisodium citrate up to pH 3.7; real liquids take {excess} "
             "times the sum. Citrate is unpleasant from {limit}. Water is no way out. What do you do?",
    givens={"ph": Draw(2.9, 3.5, 0.1, ""), "dose": Draw(2, 8, 0.5, "g/L"), "excess": EXCESS, "limit": LIMIT},
    fits=lambda dose: abs(EXCESS * dose.m / LIMIT.m - 1) > 0.08,
    between={"real": lambda dose, excess: dose * excess},
    solve=lambda real, limit: "reverse" if real > limit else "citrate",
    unit=("direct", "citrate", "reverse"),
    slips=(Slip("direct", "Below pH 3.4 to 3.65 alginate loses its charge and drops out: cloudy lumps, no shell."),
           Slip("citrate", "Multiply first: real liquids take more than the sum, and you would taste it."),
           Slip("reverse", "It would work, but here the real dose of citrate stays under what is tasted. Work it out.")),
    steps=("At pH {ph} alginate drops out: not as it is.", "{dose} times {excess} is {real:3}, against {limit} that the tongue bears.",
           "So: {answer}. With both ways open, try 50 g of each."),
    known=({"ph": 3.4, "dose": Q_(2.5, "g/L")}, "citrate", "2.5 x 1.4 = 3.5 g/L, under 6; common practice: raspberry with citrate or reverse"))

METHODS = ("direct", "citrate first", "reverse for its calcium", "reverse for its acid")
TROUBLED = ("yogurt", "whole milk", "heavy cream", "lemon juice", "apple", "cantaloupe", "carrot", "cucumber", "mango", "green peas")


def method(liquid):
    """One of METHODS by the library's verdict; for reverse its reason is the calcium where the pH alone would let it pass."""
    word = liquids.verdict_of(liquid, DOSE, ALGINATE).word
    sour = float(liquid.fact("ph").value) < liquids.edge()[1]
    return {"direct": METHODS[0], "adjust with citrate": METHODS[1], "reverse": METHODS[3] if sour else METHODS[2]}[word]


WHICH_METHOD = Exercise(
    key="liquids-03", title="Which method, and why?", minutes=3,
    question="Your {liquid}: pH {liquid.ph:2}, {liquid.calcium:3 mg/kg} of calcium, of which about {part} are free; alginate bears 60 mg/L. Citrate up to "
             "pH 3.7, where it is needed: {need}. Which method, and why?",
    givens={"liquid": PickRow(TROUBLED)},
    between={"part": lambda liquid: row(liquid.fact("liquid_kind").value, own=False).free_calcium_share, "need": lambda liquid: _need(liquid)},
    solve=method,
    unit=METHODS,
    slips=(Slip(METHODS[0], "Look at both numbers: pH under 3.65, or free calcium well over 60 mg/L, and it cannot go straight."),
           Slip(METHODS[1], "Citrate mends a little acid, under about 6 g/L. Not for mild liquids, not for a lemon, not against a gram of calcium."),
           Slip(METHODS[2], "Take its calcium times the free share: is that above 60 mg/L? Only then would it set in the blender."),
           Slip(METHODS[3], "Is its pH under 3.65, and its citrate dose beyond taste? Only then is acid the reason.")),
    steps=("First number: pH {liquid.ph:2}, against 3.65.", "Second number: {liquid.calcium:3 mg/kg} times the free share, against 60 mg/L.",
           "So: {answer}."),
    known=({"liquid": "yogurt"}, METHODS[2], "1,210 mg/kg x 0.8 = 968 mg/L, sixteen times 60; pH 4.3 is above 3.65; common practice: yogurt goes reverse"))


def _need(liquid):
    found = liquids.verdict_of(liquid, DOSE, ALGINATE)
    if float(liquid.fact("ph").value) >= liquids.edge()[1]:
        return "none"
    return f"about {show(found.citrate, 2)}" if found.citrate is not None else "far above 10 g/L"


USES = ("all three uses", "bath and rinse", "rinse and alginate", "bath and alginate")

WATER_FOR_WHICH_USE = Exercise(
    key="liquids-04", title="Water for which use?", minutes=4,
    question="The tap gives {hardness} °dH, all taken as calcium, 7.15 mg/L each. Three uses: the bath (1360 mg/L weighed in), wetting alginate "
             "(well under 25 mg/L, lumps above 60), a short rinse. What is the tap good for?",
    givens={"hardness": Draw(1, 24, 1, "")},
    fits=lambda hardness: not 3 <= hardness <= 9,
    between={"calcium": lambda hardness: calcium.calcium_of_hardness(hardness, "°dH"), "stronger": lambda calcium: 100 * calcium.m / 1360},
    solve=lambda calcium: USES[0] if _wets(calcium) == "wets well" else USES[1],
    unit=USES,
    slips=(Slip(USES[0], "Turn the degrees into milligrams, then look at what alginate bears."),
           Slip(USES[1], "This water is soft enough: work out its milligrams of calcium."),
           Slip(USES[2], "In the bath its calcium only helps: a few per cent stronger."),
           Slip(USES[3], "A short rinse only has to carry the bath away. Hard water does that less well than soft, but it does it.")),
    steps=("{hardness} degrees are {calcium:3} of calcium.", "In the bath that is {stronger:2} % more than weighed in: no harm.",
           "For the alginate it is to be set against 25 and 60 mg/L.", "So: good for {answer}."),
    known=({"hardness": 17}, USES[1], "17 x 7.15 = 122 mg/L, twice the 60 at which it lumps; 122 of 1,360 is 9 %"))


def _wets(amount):
    return calcium.wets(amount, DOSE, ALGINATE)


# --- further practice --------------------------------------------------------------------------------------------------------------------
DEGREES = Exercise(
    key="liquids-05", title="Degrees into milligrams",
    question="The waterworks print {hardness} °dH. One degree is 10 mg of calcium oxide (56.08 g/mol) in a litre, or as much magnesium. A share of "
             "{magnesium} of the hardness is magnesium. How much calcium (40.08 g/mol) is in a litre?",
    givens={"hardness": Draw(6, 24, 1, ""), "magnesium": Draw(15, 25, 5, "percent")},
    solve=lambda hardness, magnesium: calcium.calcium_of_hardness(hardness, "°dH", magnesium),
    unit="mg/L", within=0.02,
    slips=(Slip(lambda hardness: calcium.calcium_of_hardness(hardness, "°dH"), "A part of the hardness is magnesium: it does not set alginate like calcium."),
           Slip(lambda hardness, magnesium: Q_(10 * hardness * (1 - magnesium.m_as("dimensionless")), "mg/L"),
                "That is calcium oxide. Calcium is 40.08 of its 56.08."),
           Slip(lambda hardness, magnesium: Q_(17.85 * hardness * (1 - magnesium.m_as("dimensionless")), "mg/L"),
                "That is calcium carbonate, as the English and American scales count.")),
    between={"all_calcium": lambda hardness: calcium.calcium_of_hardness(hardness, "°dH")},
    steps=("One degree is 10 x 40.08 / 56.08 = 7.15 mg/L, were it all calcium: {all_calcium:4}.", "Take {magnesium} of it off: {answer}."),
    known=({"hardness": 14, "magnesium": Q_(20, "percent")}, Q_(80.05, "mg/L"), "14 x 7.147 = 100.06; x 0.8 = 80.05"))

AS_IF_STRONG = Exercise(
    key="liquids-06", title="The strong-acid mistake",
    question="An orange juice at pH {ph} holds {acid} of citric acid (192.12 g/mol). Somebody doses citrate for the free hydrogen alone. "
             "At pH {ph} a litre holds {free:3 mmol} of it free. Up to pH {wanted} each citric acid gives up {up:3} more. How many times too "
             "little is his dose? (What stays free at pH {wanted} is next to nothing.)",
    givens={"ph": Draw(3.3, 3.6, 0.1, ""), "acid": Draw(8, 14, 1, "g/L"), "wanted": 4.5},
    between={"free": lambda ph: Q_(1000 * 10 ** -ph, "mmol"), "up": lambda ph, wanted: acidity.charge(CITRIC, wanted, Q_(0, "mol/L"))
             - acidity.charge(CITRIC, ph, Q_(0, "mol/L")),
             "moles": lambda acid: (Q_(1, "L") * acid / ACID_MASS).to("mmol"), "held": lambda moles, up: moles * up},
    solve=lambda free, held: ((free + held) / free).m_as("dimensionless"),
    unit="", within=0.05,
    slips=(Slip(lambda free, moles: (moles / free).m_as("dimensionless"), "Not every acid gives up one hydrogen on this short way: take the number given."),
           Slip(lambda free, moles: (3 * moles / free).m_as("dimensionless"), "It has three hydrogens, but most of them stay on at this pH."),
           Slip(lambda free, acid, up: acid.m * up / free.m, "Grams over millimoles: turn the acid into moles first.")),
    steps=("{acid} are {moles:3} in a litre; times {up:3} they give up {held:3}.", "Free are only {free:3 mmol}.",
           "All that must be taken up, over what he counted: {answer}.", "A pH meter shows what is free. Only a titration shows what is held back."),
    known=({"ph": 3.6, "acid": Q_(8, "g/L")}, 86.5,
           "41.64 mmol x (1.325 - 0.809) = 21.49; free 0.2512; (21.49 + 0.25) / 0.2512 = 86.5. The doses 3.81 and 0.039 g/L of another solver "
           "are 98 apart: there what stays free at pH 4.5 is taken off"))

TITRATION = Exercise(
    key="liquids-07", title="Titrate it",
    question="{sample} of juice take {base} of lye at 0.1 mol/L until the indicator turns. What is the titratable acidity, told as citric acid "
             "(192.12 g/mol, three hydrogens)?",
    givens={"sample": Pick((Q_(5, "mL"), Q_(10, "mL"), Q_(20, "mL"))), "base": Draw(8, 30, 0.5, "mL")},
    solve=lambda base, sample: acidity.titrated(base, Q_(0.1, "mol/L"), sample, CITRIC),
    unit="g/L", within=0.02,
    slips=(Slip(lambda right: 3 * right, "Citric acid gives three hydrogens: one mole of it takes three of lye."),
           Slip(lambda right: right * 67.04 / 64.04, "67 g is the equivalent of malic acid, for apples. Citric has 64."),
           Slip(lambda base, sample: Q_((sample / base).m_as("dimensionless") * 6.404, "g/L"), "The more lye it takes, the more acid: base over sample.")),
    fits=lambda base, sample: abs(math.log((base / sample).m_as("dimensionless"))) > 0.3,
    between={"moles": lambda base: (base * Q_(0.1, "mol/L")).to("mmol"),
             "right": lambda base, sample: acidity.titrated(base, Q_(0.1, "mol/L"), sample, CITRIC)},
    steps=("{base} at 0.1 mol/L are {moles:3} of lye.", "Each mole takes a third of a mole of citric acid, 64.04 g.", "Over {sample}: {answer}."),
    known=({"sample": Q_(10, "mL"), "base": Q_(20, "mL")}, Q_(12.81, "g/L"), "2.0 mmol x 64.04 mg = 128.1 mg in 10 mL: 12.81 g/L"))

FLOAT_OR_SINK = Exercise(
    key="liquids-08", title="Float or sink?",
    question="A jug of {jug} mL of your sphere's liquid weighs {mass}, the jug taken off. You hold the spheres in syrup of {brix} °Bx. Table of syrups: "
             "0 °Bx 998, 10 °Bx 1038, 20 °Bx 1081, 30 °Bx 1127 kg/m³. Does a sphere float or sink?",
    givens={"jug": 500, "mass": Draw(505, 545, 4, "g"), "brix": Pick((0, 10, 20, 30))},
    fits=lambda mass, brix: abs(mass.m * 2 - solutions.syrup_density(Q_(brix, "brix")).m) > 8,
    between={"density": lambda mass: (mass / Q_(500, "mL")).to("kg/m**3"), "syrup": lambda brix: solutions.syrup_density(Q_(brix, "brix"))},
    solve=lambda density, syrup: "floats" if density < syrup else "sinks",
    unit=("floats", "sinks"),
    slips=(Slip("floats", "It floats only where a litre of it weighs less than a litre of the syrup."),
           Slip("sinks", "It sinks only where a litre of it weighs more than a litre of the syrup.")),
    steps=("{mass} in {jug} mL are {density:4}.", "The syrup has {syrup:4}.", "So it {answer}; what floats dries on top, so lay a paper on it."),
    known=({"mass": Q_(521, "g"), "brix": 20}, "floats", "521 / 0.5 = 1,042 kg/m³, under 1,081: the table of the handbook"))

EQUAL_PARTS = Exercise(
    key="liquids-09", title="Equal parts by the jug",
    question="A recipe holds spheres in {parts} parts of sugar to one of water. Your cook uses the jug. Poured sugar weighs 845 g a litre, water 998. "
             "How many °Brix has the syrup?",
    givens={"parts": Draw(0.6, 1.5, 0.1, "")},
    solve=lambda parts: solutions.syrup(parts, 1, "volume", SUGAR),
    unit="brix", within=0.02,
    slips=(Slip(lambda parts: solutions.syrup(parts, 1, "mass", SUGAR), "That is by the scale. Nearly half of a jug of sugar is air."),
           Slip(lambda parts: Q_(100 / (1 + 0.845 * parts), "brix"), "That is the water's share."),
           Slip(lambda parts: Q_(84.5 * parts, "brix"), "Brix is sugar in the whole syrup, not beside the water.")),
    fits=lambda parts: not 1.05 < parts < 1.25,
    between={"sugar": lambda parts: Q_(845 * parts, "g"), "whole": lambda sugar: sugar + Q_(998.2, "g")},
    steps=("Take a litre of water, 998 g, and {parts} litres of sugar, {sugar:4}.", "Sugar over the whole, {whole:4}: {answer}."),
    known=({"parts": 1.0}, Q_(45.8, "brix"), "845 / (845 + 998.2) = 0.4584"))

SIMMER = Exercise(
    key="liquids-10", title="Simmered to strength",
    question="You have {mass} of syrup at {brix} and want {wanted}. How many grams must go off as steam?",
    givens={"mass": Draw(500, 1500, 100, "g"), "brix": Draw(30, 45, 5, "brix"), "wanted": Draw(50, 65, 5, "brix")},
    solve=lambda mass, lost: mass * lost,
    unit="g", within=0.02,
    slips=(Slip(lambda mass, brix, wanted: mass * (wanted.m - brix.m) / 100, "The pot gets lighter as it boils: the sugar stays, the whole shrinks."),
           Slip(lambda mass, brix, wanted: mass * brix.m / wanted.m, "That is what is left in the pot."),
           Slip(lambda mass, brix, wanted: mass * (wanted.m / brix.m - 1), "Divide by the end, not by the start.")),
    fits=lambda brix, wanted: min(abs(brix.m / wanted.m - meets) for meets in (0.5, 0.618)) > 0.015,
    between={"lost": lambda brix, wanted: 1 - brix.m / wanted.m, "sugar": lambda mass, brix: mass * brix.m / 100,
             "left": lambda mass, brix, wanted: mass * brix.m / wanted.m},
    steps=("The sugar stays: {sugar:4}.", "At {wanted} that is in {left:4} of syrup.", "The rest has gone: {answer}."),
    known=({"mass": Q_(1000, "g"), "brix": Q_(40, "brix"), "wanted": Q_(50, "brix")}, Q_(200, "g"), "400 g of sugar in 800 g; 200 g have gone"))

WAYS = {"A melon sphere of 10 °Bx lies in plain water.": ("10", "0"), "An apple sphere of 12 °Bx lies in a syrup of equal parts by mass.": ("12", "50"),
        "A sphere of 30 °Bx syrup lies in a juice of 12 °Bx, table sugar both.": ("30", "12"),
        "A sphere of juice lies in its own juice.": ("12", "12"), "A sphere of 8 °Bx lies in a juice of 20 °Bx.": ("8", "20"),
        "A mango sphere of 15 °Bx, made with table sugar, lies in a syrup of the same 15 °Bx.": ("15", "15")}
WAY_WORDS = ("swells", "shrinks", "stays")


def _water(brix):
    return Mix({name: Q_(mass, "g") for name, mass in (("water", 100 - float(brix)), ("sucrose", float(brix))) if mass})


def goes(said):
    """Where the water goes, by water activity inside and around."""
    held = solutions.holding(*map(_water, WAYS[said]), Q_(20, "degC"))
    return "stays" if abs(held.inside - held.outside) < 1e-6 else "shrinks" if held.outward.m > 0 else "swells"


WHICH_WAY = Exercise(
    key="liquids-11", title="Swells or shrinks?",
    question="{said} What happens to it within the hour?",
    givens={"said": Pick(tuple(WAYS))},
    solve=goes,
    unit=WAY_WORDS,
    slips=(Slip("swells", "Water goes to where there is more sugar. Is there more inside?"),
           Slip("shrinks", "Water goes to where there is more sugar. Is there more outside?"),
           Slip("stays", "It stays only where both hold the same, Brix for Brix.")),
    steps=("Compare the sugar inside and around.", "Water moves towards the stronger one: the sphere {answer}."),
    known=({"said": tuple(WAYS)[1]}, "shrinks", "50 °Bx around 12 °Bx: water activity 0.935 against 0.993; facts of the trade"))

REVERSE_TIME = Exercise(
    key="liquids-12", title="A thicker reverse shell",
    question="A yogurt sphere with {lactate} of calcium lactate pentahydrate in it has a shell of {first} after {time} in the alginate bath. How long for "
             "{wanted}? The shell grows with the root of the time as long as neither side runs out.",
    givens={"lactate": Q_(2, "percent"), "first": Q_(0.35, "mm"), "time": Q_(60, "s"), "wanted": Draw(0.4, 0.8, 0.05, "mm")},
    solve=lambda time, first, wanted: time * (wanted / first) ** 2,
    unit="s", within=0.03,
    slips=(Slip(lambda time, first, wanted: time * wanted / first, "Twice the shell takes four times as long: calcium has ever farther to go."),
           Slip(lambda time, first, wanted: time * (wanted / first) ** 0.5, "The shell goes with the root of the time, so time with the square of the shell."),
           Slip(lambda time, first, wanted: time * (wanted / first) ** 3, "The square, not the cube: it is a thickness, no volume.")),
    between={"ratio": lambda first, wanted: (wanted / first).m_as("dimensionless")},
    steps=("{wanted} over {first} is {ratio:3}.", "Squared, times {time}: {answer}."),
    known=({"wanted": Q_(0.5, "mm")}, Q_(122.4, "s"), "0.5 / 0.35 = 1.4286; squared 2.0408; x 60 = 122.4 s; the published row has 0.500 mm at 120 s"))

SOFTEN = Exercise(
    key="liquids-13", title="Citrate for hard water",
    question="{water} of tap water hold {hard} of calcium. You want to bind all of it before the alginate goes in, one citrate (294.1 g/mol as trisodium "
             "citrate dihydrate) for one calcium (40.08 g/mol). How many grams?",
    givens={"water": Draw(1, 5, 0.5, "L"), "hard": Draw(60, 140, 10, "mg/L")},
    solve=lambda water, hard: (water * hard * SALT_MASS / CALCIUM_MASS).to("g"),
    unit="g", within=0.02,
    slips=(Slip(lambda water, hard: (water * hard).to("g"), "One for one means molecules, not grams: a citrate weighs seven times as much."),
           Slip(lambda water, hard: (water * hard * SALT_MASS / CALCIUM_MASS * 2).to("g"), "Calcium has two charges, yet one citrate is enough for it."),
           Slip(lambda water, hard: (water * hard * ACID_MASS / CALCIUM_MASS).to("g"), "192 is citric acid. The salt you weigh has 294.1.")),
    between={"all": lambda water, hard: (water * hard).to("mg"), "moles": lambda all: (all / CALCIUM_MASS).to("mmol")},
    steps=("{water} times {hard} is {all:3}, or {moles:3}.", "As many moles of citrate, at 294.1 g/mol: {answer}.",
           "It works near pH 7. In sour juice citrate holds calcium badly."),
    known=({"water": Q_(2, "L"), "hard": Q_(120, "mg/L")}, Q_(1.761, "g"), "240 mg / 40.08 = 5.988 mmol; x 294.1 = 1,761 mg; 7.34 g for each gram"))
