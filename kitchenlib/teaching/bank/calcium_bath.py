"""Lesson 20: grams of salt, time and shell, the bath as a budget, what rinsing does, the rest. Four core exercises, the rest further practice.

`known` answers are worked by hand, the arithmetic written out; molar masses as every label or table prints them.
"""
from ... import alginate, baths, calcium, spheres
from ...tables import row
from ...units import Q_
from ..exercises import Draw, Exercise, Pick, PickRow, Slip

DIHYDRATE, HEXAHYDRATE, LACTATE = (row(key, own=False) for key in (
    "calcium chloride dihydrate", "calcium chloride hexahydrate", "calcium lactate pentahydrate"))
ANHYDROUS = row("calcium chloride anhydrous", own=False)
GRAMS = Draw(3, 12, 0.5, "g")
BATH_DOSE = Draw(0.4, 0.8, 0.1, "percent")
RADIUS = Q_(2, "mm")


def share_of_sphere(uptake, capacity):
    """Share of the sphere that ends as gel, per cent, when all calcium in it has found its place."""
    heart = 1 - (spheres.drained_shell(2 * RADIUS, uptake, capacity) / RADIUS).m_as("dimensionless")
    return Q_(100 * (1 - heart ** 3), "percent")


# --- core --------------------------------------------------------------------------------------------------------------------------
DIHYDRATE_TO_LACTATE = Exercise(
    key="spheres-01", title="Lactate in place of chloride", minutes=3,
    question="The recipe's bath takes {grams} of calcium chloride dihydrate (147.0 g/mol) in a litre. You have calcium lactate pentahydrate "
             "(308.3 g/mol). Both bring one calcium a molecule. How much lactate for the same calcium?",
    givens={"grams": GRAMS},
    solve=lambda grams: calcium.equal_mass(grams, DIHYDRATE, LACTATE),
    unit="g", within=0.02,
    slips=(Slip(lambda grams: grams, "Grams for grams leaves you with less than half the calcium: lactate is the heavier molecule."),
           Slip(lambda grams: calcium.equal_mass(grams, LACTATE, DIHYDRATE), "The heavier molecule needs more grams, not fewer: turn the ratio round."),
           Slip(lambda grams: calcium.equal_mass(grams, ANHYDROUS, LACTATE), "You took the chloride without its water, 111.0 g/mol. The tub says dihydrate.")),
    steps=("What counts is the number of calcium ions, so grams over grams per mole must be equal.",
           "{grams} over 147.0 g/mol, times 308.3 g/mol: {answer}.", "A little more than twice the grams. Then taste: lactate is the milder salt."),
    known=({"grams": Q_(5, "g")}, Q_(10.49, "g"), "308.3 / 147.0 = 2.097; 5 g x 2.097 = 10.49 g"))

THICKER_SHELL = Exercise(
    key="spheres-02", title="Time for a thicker shell", minutes=3,
    question="{time} in the bath give the shell that you like on small pearls. For a plate with sauce you want it {factor} times as thick, from "
             "the same bath. How long? Take the rule for a flat gel.",
    givens={"time": Draw(30, 120, 5, "s"), "factor": Pick((1.3, 1.4, 1.5, 1.6, 1.8))},
    solve=lambda time, factor: time * factor ** 2,
    unit="s", within=0.02,
    slips=(Slip(lambda time, factor: time * factor, "Thickness goes with the root of time, so time goes with the square of thickness."),
           Slip(lambda time, factor: time * factor ** 0.5, "You took the root where the square belongs."),
           Slip(lambda time, factor: time * factor ** 3, "That is how a volume grows. What slows the calcium is the thickness it must cross.")),
    between={"square": lambda factor: factor ** 2},
    steps=("Thickness goes with the root of time: the thicker the gel, the longer the way for the next calcium.",
           "{factor} times the thickness is {factor} squared, {square:3} times the time: {answer}.",
           "Twice the time is only 1.41 times the shell. In a small pearl the front closes in on less and less, so it is a little quicker."),
    known=({"time": Q_(60, "s"), "factor": 1.4}, Q_(117.6, "s"), "1.4 x 1.4 = 1.96; 60 s x 1.96 = 117.6 s"))

GRAMS_BEFORE_CHANGE = Exercise(
    key="spheres-03", title="How many spheres before the bath is changed?", minutes=4,
    question="Your bath is {volume} with {dose} of calcium chloride dihydrate (per cent of the volume: 10 g in a litre are 1 %). A kilogram of "
             "spheres carries off as much calcium as {used} of it hold. You change the bath when {lost} of its strength is gone. How many "
             "grams of spheres is that? Take it that each batch takes as much as the first.",
    givens={"volume": Draw(1, 4, 0.5, "L"), "dose": BATH_DOSE, "used": Q_(2.0, "g"), "lost": Draw(10, 30, 5, "percent")},
    solve=lambda volume, dose, used, lost: Q_(100, "g") * baths.batches_until(
        1 - lost, calcium.concentration(dose, DIHYDRATE, "w/v"), used / DIHYDRATE.molar_mass / Q_(1, "L"), Q_(100, "g"), volume, way="linear"),
    unit="g", within=0.02,
    slips=(Slip(lambda kilos: kilos, "By then the bath is plain water. You change it long before."),
           Slip(lambda kilos, lost: kilos * (1 - lost.to("dimensionless")), "You counted what stays; what may go is the other part."),
           Slip(lambda kilos, lost: kilos * lost.to("dimensionless") / 10, "One per cent is 10 g in a litre, not 1 g: look at the decimal point.")),
    between={"whole": lambda volume, dose: Q_(10 * dose.m_as("percent") * volume.m_as("L"), "g"),
             "gone": lambda whole, lost: whole * lost.to("dimensionless"),
             "kilos": lambda whole, used: Q_(1000 * whole.m_as("g") / used.m_as("g"), "g")},
    steps=("{dose} of {volume} is {whole:3 g} of salt.", "{lost} of that may go: {gone:3 g}.",
           "A kilogram of spheres takes {used}: divide, {answer}.", "Liquid on the spoon takes some more: change a little earlier."),
    known=({"volume": Q_(1, "L"), "dose": Q_(0.5, "percent"), "lost": Q_(20, "percent")}, Q_(500, "g"),
           "5 g in the bath; 20 % of it is 1.0 g; 1.0 g / 2.0 g per kg = 0.5 kg"))

AFTER_THE_RINSE = Exercise(
    key="spheres-04", title="Does the rinse stop it?", minutes=4,
    question="At the lift a litre of your pearls has {bound} of calcium bound in its shells and {loose} loose on the way. The rinse washes out "
             "{washed} of the loose part; the rest finds a place in time. A litre of full gel binds {capacity}. What share of the pearls is "
             "gel in the end?",
    givens={"bound": Draw(3, 5, 0.25, "mmol"), "loose": Draw(5, 8, 0.25, "mmol"), "washed": Draw(60, 80, 5, "percent"), "capacity": Q_(11.36, "mmol")},
    solve=lambda stays, capacity: share_of_sphere(stays / Q_(1, "L"), capacity / Q_(1, "L")),
    unit="percent", within=0.02,
    slips=(Slip(lambda bound, capacity: (bound / capacity).to("percent"), "The rinse does not stop it at once: what it leaves behind goes on gelling."),
           Slip(lambda bound, loose, capacity: ((bound + loose) / capacity).to("percent"), "That is the pearl that nobody rinsed."),
           Slip(lambda bound, loose, washed, capacity: ((bound + loose * washed) / capacity).to("percent"),
                "You kept what was washed out; the other part stays.")),
    between={"stays": lambda bound, loose, washed: bound + loose * (1 - washed.to("dimensionless"))},
    steps=("Loose and not washed out: {loose} less {washed} of it. With {bound} bound that makes {stays:3 mmol}.",
           "Each place holds fast, so the gel grows until {stays:3 mmol} are bound: over {capacity} that is {answer}.",
           "The rest is your liquid heart. Rinse sooner and longer, and more of it stays."),
    known=({"bound": Q_(5, "mmol"), "loose": Q_(8, "mmol"), "washed": Q_(65, "percent")}, Q_(68.66, "percent"),
           "35 % of 8 is 2.8; 5 + 2.8 = 7.8; 7.8 / 11.36 = 68.66 %"))


# --- further practice --------------------------------------------------------------------------------------------------------------
POWDER = Exercise(
    key="spheres-05", title="Half a per cent",
    question="Cucumber juice for spheres, {juice} of it, wants {dose} sodium alginate, counted on the juice. How much powder?",
    givens={"juice": Draw(150, 900, 50, "g"), "dose": Draw(0.4, 1.0, 0.05, "percent")},
    solve=lambda juice, dose: (juice * dose).to("g"),
    unit="g", within=0.02,
    slips=(Slip(lambda juice, dose: 10 * (juice * dose).to("g"), "Ten times too much: half a per cent is 5 grams in a kilogram."),
           Slip(lambda juice, dose: (juice * dose).to("g") / 10, "Ten times too little: half a per cent is 5 grams in a kilogram."),
           Slip(lambda dose: Q_(dose.m_as("percent"), "g"), "That is the dose for 100 g.")),
    steps=("Per cent is grams in 100 g.", "{dose} of {juice} is {answer}. Weigh it on a scale that shows hundredths."),
    known=({"juice": Q_(200, "g"), "dose": Q_(0.5, "percent")}, Q_(1.0, "g"), "0.5 g in each 100 g, twice that in 200 g"))

HEXA_FOR_DI = Exercise(
    key="spheres-06", title="Flakes from another tub",
    question="The recipe takes {grams} of calcium chloride dihydrate (147.0 g/mol); the only tub left is hexahydrate (219.1 g/mol). How much?",
    givens={"grams": GRAMS},
    solve=lambda grams: calcium.equal_mass(grams, DIHYDRATE, HEXAHYDRATE),
    unit="g", within=0.02,
    slips=(Slip(lambda grams: grams, "The hexahydrate is half water: the same grams bring a third less calcium."),
           Slip(lambda grams: calcium.equal_mass(grams, HEXAHYDRATE, DIHYDRATE), "More water in the crystal, so more grams of it: turn the ratio round."),
           Slip(lambda grams: calcium.equal_mass(grams, ANHYDROUS, HEXAHYDRATE), "You started from the salt without water. The recipe says dihydrate.")),
    steps=("The same calcium, with more water about it.", "{grams} times 219.1 over 147.0 is {answer}."),
    known=({"grams": Q_(5, "g")}, Q_(7.45, "g"), "219.07 / 147.01 = 1.490; 5 g x 1.490 = 7.45 g"))

STRENGTH = Exercise(
    key="spheres-07", title="The bath in millimoles",
    question="How strong is a bath with {dose} of {salt} (per cent of the volume), in millimoles of calcium a litre? Its molar mass is "
             "{salt.molar_mass}; each molecule brings one calcium.",
    givens={"dose": Draw(0.3, 1.5, 0.05, "percent"), "salt": PickRow((
        "calcium chloride anhydrous", "calcium chloride dihydrate", "calcium chloride hexahydrate"))},
    solve=lambda dose, salt: calcium.concentration(dose, salt, "w/v"),
    unit="mmol/L", within=0.02,
    slips=(Slip(lambda dose, salt: calcium.concentration(dose, salt, "w/v") / 10, "One per cent is 10 g in a litre."),
           Slip(lambda dose, salt: calcium.concentration(dose, DIHYDRATE if salt.key != DIHYDRATE.key else ANHYDROUS, "w/v"),
                "Another hydrate than the one on the label: grams of one are not grams of the other."),
           Slip(lambda grams: grams / Q_(40.08, "g/mol") / Q_(1, "L"),
                "That took grams of salt for grams of calcium: divide by the mass of the whole molecule, chloride and water in it."),
           Slip(lambda dose, salt: 2 * calcium.concentration(dose, salt, "w/v"), "Two chlorides, but one calcium to each.")),
    between={"grams": lambda dose: Q_(10 * dose.m_as("percent"), "g")},
    steps=("{dose} of the volume is {grams:3 g} in a litre.", "Over {salt.molar_mass} that is {answer}."),
    known=({"dose": Q_(0.5, "percent"), "salt": "calcium chloride dihydrate"}, Q_(34.01, "mmol/L"), "5 g / 147.01 g/mol = 0.03401 mol"))

REST = Exercise(
    key="spheres-08", title="How long must the base rest?",
    question="A base {thick} thick stands {depth} deep. How long until bubbles of {bubble} across are out, with a stiff skin, by Stokes' law? "
             "A bubble weighs nothing; the base is 1010 kg/m³.",
    givens={"thick": Draw(20, 160, 10, "mPa*s"), "depth": Draw(30, 100, 10, "mm"), "bubble": Pick((Q_(0.1, "mm"), Q_(0.15, "mm"), Q_(0.2, "mm")))},
    solve=lambda bubble, depth, thick: alginate.time_to_clear(bubble, depth, thick).rigid,
    unit="min", within=0.03,
    slips=(Slip(lambda bubble, depth, thick: alginate.time_to_clear(bubble / 2, depth, thick).rigid,
                "You put the radius into the form for the diameter: four times too long."),
           Slip(lambda bubble, depth, thick: alginate.time_to_clear(bubble, depth, thick).clean,
                "That is a skin that slides. In a base with protein or alginate it is stiff, and slower."),
           Slip(lambda bubble, depth, thick: alginate.time_to_clear(bubble, depth, thick).rigid / 18, "The 18 of Stokes' law is missing.")),
    between={"speed": lambda bubble, depth, thick: (depth / alginate.time_to_clear(bubble, depth, thick).rigid).to("mm/s")},
    steps=("Stokes: diameter squared times density times g, over 18 viscosities: {speed:3 mm/s}.", "{depth} at that speed take {answer}.",
           "Half the bubble takes four times as long, half the depth half as long."),
    known=({"thick": Q_(50, "mPa*s"), "depth": Q_(50, "mm"), "bubble": Q_(0.1, "mm")}, Q_(7.57, "min"),
           "1010 x 9.807 x 0.0001² / (18 x 0.05) = 0.0001101 m/s; 0.05 / 0.0001101 = 454 s = 7.57 min"))

MORE_CALCIUM = Exercise(
    key="spheres-09", title="A stronger bath",
    question="A bath has {k} times the calcium that the gel can bind. You make it {times} times as strong. How many times as thick is a flat "
             "shell after the same time? Its constant is {l1:4} before and {l2:4} after.",
    givens={"k": Draw(2, 5, 0.25, ""), "times": Pick((1.5, 2, 2.5, 3))},
    solve=lambda l1, l2: l2 / l1,
    unit="", within=0.02,
    slips=(Slip(lambda times: times, "Twice the calcium is far from twice the shell: what comes in must cross the gel that is there."),
           Slip(lambda times: times ** 0.5, "The root is the shortcut, which leaves out the loose calcium on its way. Here that is most of it."),
           Slip(lambda l1, l2: l1 / l2, "Stronger is thicker: turn the ratio round.")),
    between={"l1": lambda k: spheres.front_constant(k), "l2": lambda k, times: spheres.front_constant(k * times)},
    steps=("After the same time shells stand to each other as their constants.", "{l2:4} over {l1:4} is {answer}."),
    known=({"k": 3.0, "times": 2}, 1.2169, "tables of Neumann's solution: 0.91375 at k = 3, 1.11194 at k = 6; 1.11194 / 0.91375"))

BATH_FOR_SERVICE = Exercise(
    key="spheres-10", title="A bath for the evening",
    question="{portions} portions of {portion} of spheres, one bath, {dose} calcium chloride dihydrate (10 g in a litre are 1 %). A kilogram of "
             "spheres carries off {used} of salt. At the end {left} of the strength shall be left. How many litres?",
    givens={"portions": Draw(20, 80, 5, ""), "portion": Draw(10, 30, 5, "g"), "dose": BATH_DOSE, "used": Q_(2.0, "g"), "left": Draw(75, 90, 5, "percent")},
    solve=lambda total, left, dose, used: baths.litres_for(
        total, left, calcium.concentration(dose, DIHYDRATE, "w/v"), used / DIHYDRATE.molar_mass / Q_(1, "L")),
    unit="L", within=0.02,
    slips=(Slip(lambda all_gone: all_gone, "So much bath would be used up to plain water."),
           Slip(lambda all_gone, left: all_gone / left.to("dimensionless"), "You let the part go that is to stay."),
           Slip(lambda all_gone, left: 10 * all_gone / (1 - left.to("dimensionless")), "Ten times too much: one per cent is 10 g in a litre.")),
    fits=lambda left, dose: dose.m_as("percent") * (1 - left.m_as("dimensionless")) < 0.19,        # or the bath were smaller than its spheres
    between={"total": lambda portions, portion: portions * portion, "salt": lambda total, used: Q_(total.m_as("kg") * used.m_as("g"), "g"),
             "all_gone": lambda salt, dose: Q_(salt.m_as("g") / (10 * dose.m_as("percent")), "L")},
    steps=("{portions} times {portion} is {total:3 g}; they take {salt:3 g} of salt.",
           "A litre may give {dose} less {left} of it. Divide: {answer}."),
    known=({"portions": 40, "portion": Q_(25, "g"), "dose": Q_(0.5, "percent"), "left": Q_(80, "percent")}, Q_(2.0, "L"),
           "1 kg takes 2 g; a litre has 5 g and may give 1 g; 2 L"))

OWN_FACTOR = Exercise(
    key="spheres-11", title="Your own factor",
    question="For your bath and time the model says a shell of {model}. You cut a sphere at the lift and measure {cut}. By what factor must D, "
             "the speed of calcium in your gel, be multiplied? Take the rule for a flat gel.",
    givens={"model": Draw(0.36, 0.44, 0.01, "mm"), "cut": Draw(0.28, 0.56, 0.02, "mm")},
    fits=lambda model, cut: abs((cut / model).m - 1) > 0.1,
    solve=lambda model, cut: (cut / model).m_as("dimensionless") ** 2,
    unit="", within=0.02,
    slips=(Slip(lambda model, cut: (cut / model).m_as("dimensionless"), "The shell goes with the root of D, so D goes with its square."),
           Slip(lambda model, cut: (cut / model).m_as("dimensionless") ** 0.5, "You took the root where the square belongs."),
           Slip(lambda model, cut: (model / cut).m_as("dimensionless") ** 2, "A thicker shell than the model's means a larger D.")),
    steps=("{cut} over {model}, squared: {answer}.", "Keep it on your shelf, with bath, grade and day; the next sphere starts from it."),
    known=({"model": Q_(0.40, "mm"), "cut": Q_(0.48, "mm")}, 1.44, "0.48 / 0.40 = 1.2; 1.2 x 1.2 = 1.44"))

STOPS = {"You lift pearls out of the bath and let them drain. Does that stop the gelling?": "not at all",
         "You leave pearls on the slotted spoon for five minutes, unrinsed. Does that stop the gelling?": "not at all",
         "You rinse direct pearls for half a minute in stirred water. Does that stop the gelling?": "in part",
         "You rinse direct spheres for ten seconds and hold them drained. Does that stop the gelling?": "in part",
         "You rinse the alginate off reverse spheres. Does that stop the gelling?": "for good",
         "You rinse yogurt spheres from an alginate bath and keep them in water. Does that stop the gelling?": "for good"}

RINSING_STOPS = Exercise(
    key="spheres-12", title="What stops it?",
    question="{said}",
    givens={"said": Pick(tuple(STOPS))},
    solve=lambda said: STOPS[said],
    unit=("not at all", "in part", "for good"),
    slips=(Slip("not at all", "A rinse takes away something that gelling needs. What, and all of it?"),
           Slip("in part", "Is anything taken away? And is anything left that could go on?"),
           Slip("for good", "Loose calcium in the gel goes on, if only inwards. It stops for good only where no alginate is left to gel.")),
    steps=("Ask what is still there: loose calcium in the gel, alginate for it to bind.", "How far does that stop it? The answer here: {answer}."),
    known=({"said": tuple(STOPS)[0]}, "not at all", "balance of calcium: nothing leaves on the spoon, all of it binds in the end"))

CHANGES = {"More alginate in the liquid, all else the same.": "thinner", "The hexahydrate in place of the dihydrate, gram for gram.": "thinner",
           "Twice the bath, at the same per cent of salt, for a single sphere.": "the same", "A warmer bath.": "thicker",
           "Ten more batches through the same bath.": "thinner", "The same bath in a taller vessel.": "the same"}

WHAT_CHANGES = Exercise(
    key="spheres-13", title="Thicker or thinner?",
    question="How does the shell at the lift change? {said}",
    givens={"said": Pick(tuple(CHANGES))},
    solve=lambda said: CHANGES[said],
    unit=("thicker", "thinner", "the same"),
    slips=(Slip("thicker", "Count the calcium that arrives against the places that wait for it."),
           Slip("thinner", "Is there less calcium, or are there more places to fill?"),
           Slip("the same", "Something that the front feels has changed: strength, places or how fast calcium moves.")),
    steps=("The front feels three things: the bath's strength, the places in the gel, and D.", "So it comes out {answer}."),
    known=({"said": tuple(CHANGES)[0]}, "thinner", "more places a litre, so k and with it lambda fall; also read: thickness falls with alginate"))
