"""Lesson 11: mixing, cooling, the rule of a place, sheets, fruit, acid, waiting. Four core exercises, the rest further practice.

`known` answers are worked by hand, the arithmetic written out. Slips are the usual ones: the plain mean, the surroundings forgotten, the
stirred sum for a set gel, the whole thickness for the half, the setting temperature taken for the melting one.
"""
import itertools
import math

from ... import conduction, heat, rules, setting
from ...mixes import Mix
from ...units import Q_
from ..exercises import Draw, Exercise, Pick, PickRow, Slip

PLACE = "United States"          # its first step is judged in the bank; another place, another rule
STEP = rules.cooling_step(PLACE, 1)


def kelvin(low, high):
    """Difference of two temperatures."""
    return high.to("kelvin") - low.to("kelvin")


def ratio(a, b):
    """A pure number."""
    return (a / b).m_as("dimensionless")


def like_water(mass):
    """What is said to hold heat like water, as a Mix."""
    return Mix({"water": mass}, own=False)


def mix(base, hot, puree, cold):
    """Mixing temperature of two parts alike."""
    return heat.mixing_temperature(like_water(base), hot, like_water(puree), cold)


def left_over(hot, target, cold):
    """Share of the first difference that is left."""
    return ratio(kelvin(cold, target), kelvin(cold, hot))


def apart(*values, share=0.05):
    """Whether right and wrong ways end far enough from each other to be told apart."""
    return all(abs(a - b) > share * max(abs(a), abs(b)) for a, b in itertools.combinations(values, 2))


# --- core --------------------------------------------------------------------------------------------------------------------------
COLD_PUREE = Exercise(
    key="setting-01", title="Cold purée into the pot", minutes=3,
    question="You stir {puree} of purée at {cold} into {base} of agar base at {hot}. Both hold heat like water. How warm is the mix?",
    givens={"base": Draw(100, 400, 50, "g"), "hot": Draw(85, 95, 5, "degC"), "puree": Draw(100, 500, 50, "g"),
            "cold": Draw(4, 20, 2, "degC")},
    fits=lambda base, hot, puree, cold: apart(mix(base, hot, puree, cold).m, (hot.m + cold.m) / 2, mix(puree, hot, base, cold).m,
                                              ratio(base, base + puree) * hot.m),
    solve=mix,
    unit="degC", within=Q_(0.5, "delta_degC"),
    slips=(Slip(lambda hot, cold: mix(Q_(1, "g"), hot, Q_(1, "g"), cold), "That is the plain mean. Each part counts by its grams."),
           Slip(lambda base, hot, puree, cold: mix(puree, hot, base, cold), "The grams are swapped: which part is there more of?"),
           Slip(lambda hot, share: share * hot.m_as("degC"), "The purée is cold but brings its own degrees too: add its part.")),
    between={"share": lambda base, puree: ratio(base, base + puree), "rest": lambda share: 1 - share},
    steps=("The base is {share} of all the grams, the purée {rest}.",
           "{share} of {hot} and {rest} of {cold} make {answer}.",
           "Agar sets from 39 °C down. Compare: near or below that the mix sets in lumps, and cold streaks set even before."),
    known=({"base": Q_(100, "g"), "hot": Q_(95, "degC"), "puree": Q_(200, "g"), "cold": Q_(8, "degC")}, Q_(37.0, "degC"),
           "(100 x 95 + 200 x 8) / 300 = (9500 + 1600) / 300 = 37.0"))

WARM_PUREE = Exercise(
    key="setting-02", title="How warm must the purée be?", minutes=3,
    question="{base} of agar base stand at {hot}. You will stir in {puree} of purée, and the mix must come to {wanted}. How warm must the "
             "purée be? Both hold heat like water.",
    givens={"base": Draw(100, 300, 50, "g"), "hot": Draw(85, 95, 5, "degC"), "puree": Draw(150, 500, 50, "g"),
            "wanted": Draw(43, 48, 1, "degC")},
    fits=lambda base, hot, puree, wanted: puree > 1.2 * base and 10 < wanted.m - ratio(base, puree) * (hot.m - wanted.m) < 40,
    solve=lambda wanted, base, hot, puree: heat.warm_to(wanted, like_water(base), hot, like_water(puree)),
    unit="degC", within=Q_(0.5, "delta_degC"),
    slips=(Slip(lambda wanted: wanted, "The base is hotter than that and brings heat: the purée can be colder."),
           Slip(lambda wanted, hot: Q_(2 * wanted.m - hot.m, "degC"), "That holds for equal grams only."),
           Slip(lambda wanted, base, hot, puree: Q_(wanted.m - ratio(puree, base) * (hot.m - wanted.m), "degC"),
                "The ratio stands on its head: much purée needs little warming down.")),
    between={"gives": lambda hot, wanted: kelvin(wanted, hot).to("delta_degC"), "ratio": lambda base, puree: ratio(base, puree),
             "takes": lambda gives, ratio: ratio * gives},
    steps=("The base cools from {hot} to {wanted}: it gives {gives}.",
           "There are {ratio} times as many grams of base as of purée, so the purée warms by {ratio} times {gives}: {takes}.",
           "It must start {takes} under {wanted}: at {answer}.",
           "Warm the bowl too: cold steel takes its share."),
    known=({"base": Q_(100, "g"), "hot": Q_(95, "degC"), "puree": Q_(200, "g"), "wanted": Q_(45, "degC")}, Q_(20.0, "degC"),
           "the base gives 100 x 50; over 200 g that is 25 degrees; 45 - 25 = 20; back: (9500 + 4000) / 300 = 45"))

MINUTES_TO_40 = Exercise(
    key="setting-03", title="Minutes to 40 °C", minutes=3,
    question="{mass} of base, which holds {holds}, are stirred and cool from {start} in air of {around}. Wall and top lose heat "
             "through {area} with {film} in all. After how many minutes is it at {target}?",
    givens={"mass": Draw(300, 1500, 100, "g"), "start": Draw(70, 95, 5, "degC"), "around": Draw(2, 22, 2, "degC"),
            "area": Draw(400, 800, 50, "cm**2"), "film": Draw(8, 20, 2, "W/m**2/kelvin"), "target": Q_(40, "degC"),
            "holds": Q_(4000, "J/kg/kelvin")},
    fits=lambda start, around, target: apart(*(f(left_over(start, target, around)) for f in (math.log, math.log10, lambda x: x - 1)),
                                             -math.log(start.m / target.m)),
    solve=lambda start, target, around, mass, holds, area, film: heat.cooling_time(start, target, around, mass, holds, area, film),
    unit="min", within=0.02,
    slips=(Slip(lambda fold, start, target: fold * math.log(start.m / target.m),
                "Count degrees from the surroundings, not from zero: take them off both temperatures."),
           Slip(lambda fold, left: fold * (1 - left), "It does not go on at its first pace: the smaller the difference, the slower "
                                                      "it cools."),
           Slip(lambda fold, left: fold * -math.log10(left), "The natural logarithm is meant, ln; log to the base 10 is 2.3 times "
                                                             "smaller.")),
    between={"fold": lambda mass, holds, area, film: (mass * holds / (film * area)).to("min"),
             "above": lambda start, around: kelvin(around, start).to("delta_degC"),
             "then": lambda target, around: kelvin(around, target).to("delta_degC"), "left": lambda then, above: ratio(then, above),
             "folds": lambda left: -math.log(left)},
    steps=("What it holds over what it loses: {mass} times {holds}, divided by {film} times {area}, is {fold}.",
           "It starts {above} above the surroundings; at {target} there are {then} left.",
           "The natural logarithm, ln, of {above} / {then} is {folds}. Times {fold} it is {answer}."),
    known=({"mass": Q_(500, "g"), "start": Q_(80, "degC"), "around": Q_(4, "degC"), "area": Q_(450, "cm**2"),
            "film": Q_(10, "W/m**2/kelvin")}, Q_(55.35, "min"),
           "0.5 x 4000 / (10 x 0.045) = 4444.4 s; ln(76 / 36) = 0.74721; 3321 s = 55.35 min"))


POT_AND_RULE = Exercise(
    key="setting-04", title="Does a 3 L pot meet the cooling rule?", minutes=3,
    question="A 3 L pot cools in air of {around}, stirred. By your thermometer the difference to the surroundings falls to 1/e "
             "every {fold}. "
             "The rule of this exercise (" + PLACE + "): {warmer} to {colder} within {within}. Met or missed?",
    givens={"around": Draw(0, 6, 1, "degC"), "fold": Draw(60, 170, 5, "min"), "warmer": STEP.warmer.to("degC").round(2),
            "colder": STEP.colder.to("degC").round(2), "within": STEP.within.to("hour").round(2)},
    fits=lambda around, fold: abs(fold.m * math.log((57 - around.m) / (21 - around.m)) - 120) > 6,
    solve=lambda takes, within: "met" if takes <= within else "missed",
    unit=("met", "missed"),
    slips=(Slip("met", "Work out ln((57 - around) / (21 - around)) and multiply: it takes longer than the two hours."),
           Slip("missed", "Count from 57 °C, not from the stove, and count degrees from the surroundings: it is through in time.")),
    between={"left": lambda warmer, colder, around: left_over(warmer, colder, around), "folds": lambda left: -math.log(left),
             "takes": lambda fold, folds: folds * fold},
    steps=("The clock starts at {warmer}. From there to {colder} the share {left} of the difference is left.",
           "That takes ln(1 / {left}) = {folds} times {fold}: {takes}.",
           "The rule gives {within}: {answer}. What to do is the same either way: shallow trays, ice bath, stir; and your own authority's "
           "rule decides."),
    known=({"around": Q_(4, "degC"), "fold": Q_(150, "min")}, "missed", "ln(53 / 17) = 1.1371; times 150 is 171 min, over 120"))


# --- further practice --------------------------------------------------------------------------------------------------------------
MIDDLE_OF_A_TRAY = Exercise(
    key="setting-05", title="The middle of a set tray",
    question="A set {food} lies {thick} thick and loses heat on both faces to an ice bath at {around}, {film}. It starts at "
             "{start}. For its "
             "Biot number of {biot} the table gives root {zeta} and factor {factor}. When is its middle at {target}? Its diffusivity is "
             "{diffusivity}.",
    givens={"thick": Pick(tuple(Q_(t, "mm") for t in (15, 20, 25, 30, 40))), "start": Draw(70, 90, 5, "degC"), "around": Q_(0, "degC"),
            "film": Q_(300, "W/m**2/kelvin"), "target": Pick(tuple(Q_(t, "degC") for t in (15, 21, 35))), "food": PickRow(("watery gel",))},
    solve=lambda start, target, around, film, food, thick: conduction.core_time(start, target, around, film, food, "slab", thick),
    unit="min", within=0.02,
    slips=(Slip(lambda fourier, thick, diffusivity: (fourier * thick ** 2 / diffusivity).to("min"),
                "The Fourier number counts on the half thickness: cold comes from both sides. Yours is four times too long."),
           Slip(lambda stirred: stirred, "That is the sum of a stirred pot. A set gel is not stirred: its middle waits for the heat to be "
                                         "conducted out."),
           Slip(lambda left, zeta, half, diffusivity: (-math.log(left) / zeta ** 2 * half ** 2 / diffusivity).to("min"),
                "The factor of the table is missing: the middle holds still for a while before it falls.")),
    between={"half": lambda thick: thick / 2,
             "diffusivity": lambda food: (food.thermal_conductivity / (food.density * food.heat_capacity)).to("mm**2/s"),
             "biot": lambda film, food, thick: conduction.biot(film, food, thick),
             "zeta": lambda biot: conduction.first_root(biot, "slab").root,
             "factor": lambda biot: conduction.first_root(biot, "slab").factor,
             "left": lambda start, target, around: left_over(start, target, around),
             "fourier": lambda left, zeta, factor: math.log(factor / left) / zeta ** 2,
             "stirred": lambda film, food, half, left: (food.density * food.heat_capacity * half / film * -math.log(left)).to("min")},
    steps=("At {target} the share {left} of the difference is left.",
           "{factor} times e to the power of minus {zeta} squared times Fo is {left}: so Fo is {fourier}.",
           "Fo times half the thickness squared over the diffusivity: {fourier} times {half} squared / {diffusivity} is {answer}.",
           "The sum of a stirred pot would say {stirred}."),
    known=({"thick": Q_(20, "mm"), "start": Q_(80, "degC"), "target": Q_(35, "degC"), "food": "watery gel"}, Q_(7.0, "min"),
           "Bi 300 x 0.01 / 0.6 = 5: root 1.3138, factor 1.2402; ln(1.2402 x 80 / 35) / 1.7261 = 1.0419 / 1.7261 = 0.6036; x 0.0001 / "
           "1.4354e-7 = 420.5 s"))

SLOWEST_POT = Exercise(
    key="setting-06", title="The slowest pot that meets the rule",
    question="Food must fall from {warmer} to {colder} within {within} in air of {around}. In how many minutes, at most, may the "
             "difference of "
             "a stirred pot fall to 1/e?",
    givens={"around": Draw(3, 8, 1, "degC"), "warmer": STEP.warmer.to("degC").round(2), "colder": STEP.colder.to("degC").round(2),
            "within": Pick(tuple(Q_(h, "hour") for h in (1.5, 2, 3)))},

             fits=lambda around, warmer, colder: apart(*(f(-math.log(left_over(warmer, colder, around))) for f in (
        lambda x: x, lambda x: 1 / x, lambda x: math.log(10) / x)), 1 / math.log(warmer.m / colder.m)),
    solve=lambda within, folds: within / folds,
    unit="min", within=0.02,
    slips=(Slip(lambda within, folds: within * folds, "Turn it round: the rule's time holds so many folds, so one fold is shorter "
                                                      "or longer?"),
           Slip(lambda within, warmer, colder: within / math.log(warmer.m / colder.m), "Take the surroundings off both temperatures "
                                                                                       "first."),
           Slip(lambda within, left: within / -math.log10(left), "The natural logarithm, ln, is meant.")),
    between={"left": lambda warmer, colder, around: left_over(warmer, colder, around), "folds": lambda left: -math.log(left)},
    steps=("From {warmer} to {colder} the share {left} of the difference is left.",
           "So the pot has ln(1 / {left}) = {folds} folds to go.",
           "{within} over {folds} is {answer}. A slower pot must be split, stirred harder or put on ice."),
    known=({"around": Q_(4, "degC"), "within": Q_(2, "hour")}, Q_(105.5, "min"), "ln(53 / 17) = 1.1371; 120 / 1.1371 = 105.5"))

AGAR_FOR_A_SHEET = Exercise(
    key="setting-07", title="A sheet to lift",
    question="A tray of {length} by {width} gets a sheet {thick} thick, with {dose} agar, of a mix of {density}. How many grams of "
             "agar are "
             "in the sheet?",
    givens={"length": Pick(tuple(Q_(x, "cm") for x in (32, 40, 53))), "width": Pick(tuple(Q_(x, "cm") for x in (26, 30, 32))),
            "thick": Draw(1, 4, 0.5, "mm"), "dose": Draw(0.8, 1.5, 0.1, "percent"), "density": Draw(1000, 1060, 20, "kg/m**3")},
    solve=lambda sheet, dose: (sheet * dose).to("g"),
    unit="g", within=0.02,
    slips=(Slip(lambda sheet: sheet, "That is the whole sheet. How much of it is agar?"),
           Slip(lambda length, width, thick, dose: Q_(length.m * width.m * thick.m, "g") * dose, "Thickness in centimetres: 2 mm "
                                                                                                 "are 0.2 cm.")),
    between={"area": lambda length, width: (length * width).to("cm**2"),
             "sheet": lambda area, thick, density: setting.sheet_mass(area, thick, density)},
    steps=("The floor of the tray is {area}.",
           "{area} times {thick} times {density} is {sheet} of mix.",
           "{dose} of that is {answer}. Make a tenth more: pot and ladle keep some. Level the tray first."),
    known=({"length": Q_(53, "cm"), "width": Q_(32, "cm"), "thick": Q_(2, "mm"), "dose": Q_(1.0, "percent"), "density": Q_(1000,
             "kg/m**3")},
           Q_(3.392, "g"), "53 x 32 x 0.2 = 339.2 mL, 339.2 g; 1 % is 3.392 g"))

RAW_PINEAPPLE = Exercise(
    key="setting-08", title="Sparing the gelatin",
    question="Juice of {fruit} is held at {at}. There, half of its enzyme is gone every {half}. How many minutes until only {left} "
             "is left?",
    givens={"at": Draw(60, 67, 1, "degC"), "left": Pick(tuple(Q_(x, "percent") for x in (0.5, 1, 2, 5))), "fruit": PickRow(("pineapple",))},
    solve=lambda at, left, fruit: setting.time_to_spare(at, left, fruit),
    unit="min", within=0.02,
    slips=(Slip(lambda half: 2 * half, "After two half-lives a quarter is left, not nothing."),
           Slip(lambda half, natural: half * natural, "That is the natural logarithm. Half-lives are counted with the logarithm to "
                                                      "the base 2: "
                                                      "divide by 0.693.")),
    between={"half": lambda at, fruit: setting.time_to_spare(at, Q_(50, "percent"), fruit),
             "natural": lambda left: -math.log(left.m_as("dimensionless")), "halves": lambda natural: natural / math.log(2)},
    steps=("To {left}: halve again and again, {halves} times (ln(1 / {left}) over ln 2).",
           "{halves} times {half} is {answer}.",
           "Count from when the middle of the pieces is hot. Measured in juice from 55 to 67 °C; for kiwi, papaya, fig and ginger no such "
           "figure was found: boil them, or take agar."),
    known=({"at": Q_(65, "degC"), "left": Q_(1, "percent"), "fruit": "pineapple"}, Q_(7.644, "min"),
           "at 65 °C a tenth is left after D = 3.822 min (from the published constants); a hundredth after twice that, 7.644"))

def kept(lost):
    """Share left of a first-order loss."""
    return Q_(100 * math.exp(-lost), "percent")


BOILED_IN_ACID = Exercise(
    key="setting-09", title="Agar boiled in sour juice",
    question="A mix with {agar} is kept at {at} for {time} in a juice of pH {ph}. By the one supplier's figure it loses strength at "
             "a rate of "
             "{rate} at pH 3.5, "
             "and ten times as fast for each unit that the pH is lower. What share of its strength is left?",
    givens={"at": Q_(95, "degC"), "time": Draw(5, 20, 5, "min"), "ph": Pick((3.0, 3.2, 3.8, 4.0)), "rate": Q_(0.025, "1/min"),
            "agar": PickRow(("agar",))},
    fits=lambda time, ph, rate: apart(*(f((rate * time).m_as("dimensionless"), 10 ** (3.5 - ph)) for f in (
        lambda x, n: math.exp(-x * n), lambda x, n: math.exp(-x), lambda x, n: math.exp(-x / n), lambda x, n: 1 - math.exp(-x * n)))),
    solve=lambda time, ph, at, rate, agar: setting.acid_share_left(time, ph, at, rate, agar.acid_loss_activation),
    unit="percent", within=0.02,
    slips=(Slip(lambda rate, time: kept((rate * time).m_as("dimensionless")), "That is for pH 3.5. How sour is your juice?"),
           Slip(lambda rate, faster, time: kept((rate / faster * time).m_as("dimensionless")), "The lower the pH, the sourer, the faster."),
           Slip(lambda lost: Q_(100, "percent") - kept(lost), "That is what is lost. What is left?")),
    between={"faster": lambda ph: 10 ** (3.5 - ph), "lost": lambda rate, faster, time: (rate * faster * time).m_as("dimensionless")},
    steps=("From pH 3.5 to {ph} the loss goes {faster} times as fast.",
           "{rate} times {faster} times {time} is {lost}; e to minus that leaves {answer}.",
           "A second source gives a tenth of that rate. Nobody has measured it well: so boil agar in water, and put the acid in "
           "afterwards."),
    known=({"time": Q_(10, "min"), "ph": 3.0, "agar": "agar"}, Q_(45.4, "percent"),
           "10 to the power 0.5 = 3.1623; 0.025 x 3.1623 x 10 = 0.79057; e to minus that is 0.4536"))

AFTER_ONE_HOUR = Exercise(
    key="setting-10", title="Gelatin judged too soon",
    question="You press a gelatin gel {early} after it set at 10 °C. From one hour on its stiffness grows by "
             "{gelatin.maturation_per_decade} of its 17-hour value for each tenfold time. How many times as stiff is it at {late}?",
    givens={"early": Pick(tuple(Q_(h, "hour") for h in (1, 1.5, 2))), "late": Pick(tuple(Q_(h, "hour") for h in (17, 20, 24))),
            "gelatin": PickRow(("gelatin",))},
    solve=lambda first, then: then / first,
    unit="", within=0.01,
    slips=(Slip(lambda first, then: first / then, "Does it get stiffer or softer in the fridge?"),
           Slip(lambda: 1.0, "It has set, but it goes on stiffening through the night."),
           Slip(lambda early, late, gelatin: 1 + gelatin.maturation_per_decade * math.log10(ratio(late, early)),
                "The share counts on the 17-hour value, not on what you pressed.")),
    between={"first": lambda early, gelatin: setting.maturation(early, gelatin),
             "then": lambda late, gelatin: setting.maturation(late, gelatin)},
    steps=("At {early} it is at 1 + {gelatin.maturation_per_decade} times log({early} / 17 h) = {first} of its 17-hour value.",
           "At {late} it is at {then} of it.",
           "{then} over {first} is {answer}. Compare gelatin after a night, never after an hour."),
    known=({"early": Q_(1, "hour"), "late": Q_(17, "hour"), "gelatin": "gelatin"}, 1.326,
           "log 17 = 1.23045; 1 - 0.2 x 1.23045 = 0.75391; 1 / 0.75391 = 1.3264"))

WEEPING = Exercise(
    key="setting-11", title="When has it wept?",
    question="Half of all the water that an agar gel will ever weep is out after {half}. After how many hours is {share} of it out? "
             "The share out is k t / (1 + k t).",
    givens={"half": Draw(3, 12, 1, "hour"), "share": Pick(tuple(Q_(p, "percent") for p in (60, 75, 80, 90)))},
    solve=lambda half, odds: half * odds,
    unit="hour", within=0.02,
    slips=(Slip(lambda half, share: half * share.m_as("dimensionless") / 0.5, "It slows down: the second half takes far longer than "
                                                                              "the first."),
           Slip(lambda half, share: half * -math.log2(1 - share.m_as("dimensionless")), "That is a law with half-lives. Weeping "
                                                                                        "slows down more "
                "than that: use the formula given."),
           Slip(lambda half, share: half / share.m_as("dimensionless"), "Set the share equal to k t / (1 + k t) and solve for t.")),
    between={"part": lambda share: share.m_as("dimensionless"), "odds": lambda part: part / (1 - part),
             "proof": lambda half, odds: setting.weeping(half * odds, 1 / half)},
    steps=("Half is out when k t is 1: so k is 1 / {half}.",
           "{part} = k t / (1 + k t), so k t = {part} / (1 - {part}) = {odds}.",
           "{odds} times {half} is {answer}. Put in, the formula gives {proof} again.",
           "At the bench: cut and plate late, and drain on a cloth."),
    known=({"half": Q_(6, "hour"), "share": Q_(80, "percent")}, Q_(24, "hour"), "0.8 / 0.2 = 4; 4 x 6 = 24; k t = 4 gives 4 / 5 = 0.8"))

ON_THE_PLATE = {"Its cubes stand whole in a consommé at 60 °C.": "agar",
                "It sets at 36 °C, but to pour it again you must bring it near the boil.": "agar",
                "Its cubes melt on the tongue.": "gelatin", "Raw kiwi turns it to a drink.": "gelatin",
                "A noodle of it is firm in the hot broth and falls apart as the bowl cools.": "methylcellulose",
                "It dissolves overnight in the fridge and would clump in hot water.": "methylcellulose"}

WHICH_AGENT = Exercise(
    key="setting-12", title="Which agent is it?",
    question="{said} Which of the three is it?",
    givens={"said": Pick(tuple(ON_THE_PLATE))},
    solve=lambda said: ON_THE_PLATE[said],
    unit=("agar", "gelatin", "methylcellulose"),
    slips=(Slip("agar", "Agar sets at 32 to 39 °C and melts only above 80 to 85 °C; no fruit enzyme touches it, and it sets as it cools."),
           Slip("gelatin", "Gelatin melts near 30 °C, and raw fruit cuts it: it is a protein. It stands in no hot broth."),
           Slip("methylcellulose", "Methylcellulose sets on heating and melts as it cools; it dissolves in the cold only.")),
    steps=("Ask first: does it set on cooling or on heating?",
           "Then: how far above setting does it melt? Agar has 50 degrees between, gelatin about ten.",
           "Here it is {answer}."),
    known=({"said": "Its cubes stand whole in a consommé at 60 °C."}, "agar",
           "the pharmacopoeia has agar set at 32 to 39 °C and not melt below 85 °C (USP 29)"))
