"""Lesson 30: oil by mass and by volume, the room for it, tight or split, droplets and their skin, thickness, foam. Four core exercises, the
rest further practice.

`known` answers are worked by hand, the arithmetic written out; words stand in the lesson.
"""
from ... import emulsions
from ...units import Q_
from ..exercises import Draw, Exercise, Pick, Slip

OIL, WATERY = Q_(920, "kg/m**3"), Q_(1000, "kg/m**3")
YOLK = Q_(17, "g")
PACKING, FRAGILE = Q_(64, "percent"), Q_(88, "percent")


def volume(mass, density):
    """Volume of a mass, in mL."""
    return (mass / density).to("mL")


# --- core --------------------------------------------------------------------------------------------------------------------------
MASS_TO_VOLUME = Exercise(
    key="emulsions-01", title="Per cent of what?", minutes=3,
    question="{oil} of oil are beaten into {watery} of everything else. What share of the VOLUME is oil? Densities: oil {light}, the rest {heavy}.",
    givens={"oil": Draw(120, 300, 20, "g"), "watery": Draw(40, 80, 5, "g"), "light": OIL, "heavy": WATERY},
    fits=lambda oil, watery: Q_(0.6, "") < oil / (oil + watery) < Q_(0.87, ""),
    solve=lambda oil, watery, light, heavy: emulsions.oil_share(oil, watery, light, heavy),
    unit="percent", within=0.004,
    slips=(Slip(lambda oil, watery: (oil / (oil + watery)).to("percent"),
                "That is the share by mass. Oil is lighter than water, so of the volume it takes more: divide each mass by its density first."),
           Slip(lambda oil, watery, light, heavy: (oil / heavy / (oil / heavy + watery / light)).to("percent"),
                "The two densities have changed places: the lighter one belongs to the oil."),
           Slip(lambda oil_volume, watery_volume: (oil_volume / watery_volume).to("percent"), "That is oil over water. A share is oil over both.")),
    between={"oil_volume": lambda oil, light: volume(oil, light), "watery_volume": lambda watery, heavy: volume(watery, heavy),
             "mass": lambda oil, watery: (oil / (oil + watery)).to("percent")},
    steps=("By mass it is {mass:3 percent}; the droplets do not weigh themselves, they take room.",
           "{oil} of oil are {oil_volume:4 mL}, the rest {watery_volume:4 mL}.",
           "Oil over both: {answer}."),
    known=({"oil": Q_(200, "g"), "watery": Q_(50, "g")}, Q_(81.30, "percent"), "80 % by mass; 200 / 0.92 = 217.39 mL; 217.39 / 267.39 = 0.8130"))

WATER_TO_BRING = Exercise(
    key="emulsions-02", title="A spoon of water", minutes=4,
    question="{sauce} of sauce are {now} oil by volume: tight, greasy, about to go. How much water brings it down to {wanted}?",
    givens={"sauce": Draw(250, 1000, 50, "mL"), "now": Draw(88, 93, 1, "percent"), "wanted": Draw(76, 82, 2, "percent")},
    solve=lambda oil, watery, wanted: emulsions.water_to_bring(oil, watery, wanted),
    unit="mL", within=0.02,
    slips=(Slip(lambda sauce, now, wanted: (sauce * (now - wanted)).to("mL"),
                "The water makes the bowl fuller: the share you want is one of the larger volume, not of the old one."),
           Slip(lambda oil, wanted: (oil * (1 - wanted) / wanted).to("mL"), "That is all the watery part at the end. Some of it is in there already."),
           Slip(lambda oil, watery, wanted: (oil * (1 - wanted) - watery).to("mL"),
                "You took the water as a share of the oil. It is a share of oil and water together.")),
    between={"oil": lambda sauce, now: (sauce * now).to("mL"), "watery": lambda sauce, now: (sauce * (1 - now)).to("mL"),
             "whole": lambda oil, wanted: (oil / wanted).to("mL")},
    steps=("The oil stays: {oil:4 mL}; the watery part is {watery:3 mL}.",
           "If those {oil:4 mL} are to be {wanted} of the whole, the whole is {whole:4 mL}.",
           "What is missing is water: {answer}, beaten in a spoon at a time."),
    known=({"sauce": Q_(500, "mL"), "now": Q_(91, "percent"), "wanted": Q_(80, "percent")}, Q_(68.75, "mL"),
           "oil 455 mL, watery 45 mL; 455 / 0.80 = 568.75 mL; less 500 mL is 68.75 mL"))

LOOKS = {"The sauce is stiff and shines greasy, the whisk leaves deep tracks, but it is one mass.": "tight",
         "The last oil no longer goes in: it slides over a sauce that stands like butter, still smooth.": "tight",
         "A spoonful stands like a wall; pressed with the spoon it sweats a little oil at the rim, and is one mass.": "tight",
         "You added the oil in one go: thin yellow liquid, with grains and pools of oil.": "split",
         "Overnight in the cold the oil froze; thawed, it stands on top of a thin liquid.": "split",
         "It went loose all at once, and now it looks curdled; whisking only moves the oil about.": "split"}

TIGHT_OR_SPLIT = Exercise(
    key="emulsions-03", title="Tight or split?", minutes=2,
    question="{seen} Tight or split?",
    givens={"seen": Pick(tuple(LOOKS))},
    solve=lambda seen: LOOKS[seen],
    unit=("tight", "split"),
    slips=(Slip("tight", "Tight is still one sauce, only too full. Here the droplets have run together: water alone mends nothing."),
           Slip("split", "Nothing has run together yet: there is only too little water between the droplets. Do not start again.")),
    steps=("Is it one mass, or are there two liquids?", "Here it is {answer}.",
           "Tight: a spoon of water. Split: clean bowl, new watery base with emulsifier, the broken sauce in slowly."),
    known=({"seen": tuple(LOOKS)[0]}, "tight", "common practice: one mass, greasy shine, too little water"))

OIL_FOR_YOLKS = Exercise(
    key="emulsions-04", title="Oil for the yolks", minutes=4,
    question="{yolks} yolks of {yolk} each and {acid} of vinegar stand in the bowl. How many grams of oil go in before the sauce is fragile, at {mark} "
             "oil by volume? Count the whole yolk as watery; densities: oil {light}, the rest {heavy}.",
    givens={"yolks": Draw(2, 6, 1, ""), "yolk": YOLK, "acid": Draw(20, 60, 5, "g"), "mark": FRAGILE, "light": OIL, "heavy": WATERY},
    solve=lambda room, light: room * light,
    unit="g", within=0.02,
    slips=(Slip(lambda room, heavy: room * heavy, "That is the oil's volume. A millilitre of oil weighs less than a gram."),
           Slip(lambda watery, mark, light: (watery * mark * light).to("g"),
                "88 % of the watery part is far too little: the oil is 88 of 100 parts, the watery part the other 12."),
           Slip(lambda yolks, yolk, mark, light, heavy: emulsions.room_limit(volume(yolks * yolk, heavy), mark) * light,
                "Vinegar makes room too: all that is watery counts, not the yolk alone."),
           Slip(lambda acid, mark, light, heavy: emulsions.room_limit(volume(acid, heavy), mark) * light,
                "Yolks make room too: each is half water, and here the whole yolk counts as watery.")),
    fits=lambda yolks, yolk, acid: abs(float(yolks * yolk / acid) - 1) > 0.06,        # or two slips would be one
    between={"watery": lambda yolks, yolk, acid, heavy: volume(yolks * yolk + acid, heavy),
             "room": lambda watery, mark: emulsions.room_limit(watery, mark)},
    steps=("Watery part: {watery:3 mL}.", "At the mark it is 12 parts of 100, the oil 88: 88 over 12 times as much, {room:4 mL}.",
           "In grams, at 0.92 g/mL: {answer}. Stop well before: the mark is where the sauce is fragile, not where it is good."),
    known=({"yolks": 2, "acid": Q_(30, "g")}, Q_(431.8, "g"), "34 + 30 = 64 mL; 64 x 88 / 12 = 469.33 mL; x 0.92 = 431.8 g"))


# --- further practice --------------------------------------------------------------------------------------------------------------
GRAMS_IN_100_ML = Exercise(
    key="emulsions-05", title="Grams in 100 mL, grams in 100 g",
    question="A card says {strength} of oil in every 100 mL of the finished sauce (w/v). What is that by mass (w/w)? Densities: oil {light}, the rest "
             "{heavy}.",
    givens={"strength": Draw(40, 74, 2, "g"), "light": Draw(910, 925, 5, "kg/m**3"), "heavy": WATERY},
    solve=lambda share, light, heavy: emulsions.mass_share(share, light, heavy),
    unit="percent", within=0.006,
    slips=(Slip(lambda strength: Q_(strength.m_as("g"), "percent"), "100 mL of this sauce do not weigh 100 g: the oil in it is light."),
           Slip(lambda share: share, "That is the share by volume."),
           Slip(lambda strength: (strength / (strength + Q_(100, "g"))).to("percent"),
                "The 100 mL are the finished sauce, the oil is in them already.")),
    between={"share": lambda strength, light: (volume(strength, light) / Q_(100, "mL")).to("percent"),
             "oil_volume": lambda strength, light: volume(strength, light),
             "rest": lambda oil_volume, heavy: ((Q_(100, "mL") - oil_volume) * heavy).to("g"), "whole": lambda strength, rest: strength + rest},
    steps=("{strength} of oil fill {oil_volume:3 mL} of the 100 mL.", "The other part weighs {rest:3 g}, so 100 mL weigh {whole:3 g}.",
           "{strength} over {whole:3 g}: {answer}. Three per cents for one sauce: always say of what."),
    known=({"strength": Q_(60, "g"), "light": Q_(920, "kg/m**3")}, Q_(63.3, "percent"),
           "60 / 0.92 = 65.22 mL; the rest 34.78 g; 60 / 94.78 = 0.6330"))

ONLY_WATER = Exercise(
    key="emulsions-06", title="Only water counts",
    question="{oil} of oil, {yolk} of egg yolk, {acid} of vinegar. Count strictly: only water is watery. Yolk is {wet} water, vinegar {sour}. "
             "What share of oil by volume is that? Oil {light}, water {heavy}; the yolk's solids are left out.",
    givens={"oil": Draw(150, 400, 25, "g"), "yolk": Draw(17, 51, 17, "g"), "acid": Draw(10, 40, 5, "g"), "wet": Q_(52, "percent"),
            "sour": Q_(95, "percent"), "light": OIL, "heavy": WATERY},
    fits=lambda oil, yolk, acid: Q_(0.6, "") < oil / (oil + yolk + acid) < Q_(0.88, ""),
    solve=lambda oil, water, light, heavy: emulsions.oil_share(oil, water, light, heavy),
    unit="percent", within=0.003,
    slips=(Slip(lambda oil, yolk, acid, light, heavy: emulsions.oil_share(oil, yolk + acid, light, heavy),
                "That counts the whole yolk as watery: a fair way, but not the strict one asked for."),
           Slip(lambda oil, water: (oil / (oil + water)).to("percent"), "That is by mass. Divide each by its density."),
           Slip(lambda oil, yolk, wet, light, heavy: emulsions.oil_share(oil, yolk * wet, light, heavy),
                "The vinegar's water counts too.")),
    between={"water": lambda yolk, acid, wet, sour: (yolk * wet + acid * sour).to("g"), "oil_volume": lambda oil, light: volume(oil, light),
             "loose": lambda oil, yolk, acid, light, heavy: emulsions.oil_share(oil, yolk + acid, light, heavy)},
    steps=("Water: {wet} of the yolk and {sour} of the vinegar, {water:3 g}.", "The oil fills {oil_volume:4 mL}.",
           "Oil over both: {answer}. With the whole yolk counted it is {loose:3 percent}: say which count you use."),
    known=({"oil": Q_(200, "g"), "yolk": Q_(17, "g"), "acid": Q_(15, "g")}, Q_(90.40, "percent"),
           "17 x 0.52 + 15 x 0.95 = 8.84 + 14.25 = 23.09 g; 217.39 / 240.48 = 0.9040"))

SKIN_OF_DROPLETS = Exercise(
    key="emulsions-07", title="Half the droplet",
    question="{oil} of oil stand as droplets {coarse} across. You beat on until they are half as wide. How much skin have they now, all together?",
    givens={"oil": Draw(100, 500, 50, "mL"), "coarse": Draw(6, 20, 2, "µm")},
    solve=lambda oil, fine: emulsions.skin(oil, fine),
    unit="m**2", within=0.02,
    slips=(Slip(lambda oil, coarse: emulsions.skin(oil, coarse), "That is the skin before. Half the width, more skin."),
           Slip(lambda oil, coarse: emulsions.skin(oil, 2 * coarse), "Each droplet has a quarter of the skin, but there are eight times as many of them."),
           Slip(lambda oil, fine: emulsions.skin(oil, fine / 2), "Six volumes over the whole width, or three over the half width: not six over the half.")),
    between={"fine": lambda coarse: coarse / 2, "before": lambda oil, coarse: emulsions.skin(oil, coarse)},
    steps=("Skin is six times the oil's volume over the droplets' width.", "At {coarse} it was {before:3 m**2}.",
           "At {fine} it is twice that, {answer}: twice the yolk is spent on it, and the sauce stiffens."),
    known=({"oil": Q_(200, "mL"), "coarse": Q_(10, "µm")}, Q_(240, "m**2"), "6 x 200e-6 m³ / 5e-6 m = 240 m²"))

ONE_YOLK_COATS = Exercise(
    key="emulsions-08", title="What one yolk can coat",
    question="A yolk of {yolk} brings {protein} of protein. The skin of droplets takes {load}. How much oil can it coat as droplets {droplet} across?",
    givens={"yolk": YOLK, "protein": Draw(2.4, 3, 0.1, "g"), "load": Q_(1.7, "mg/m**2"), "droplet": Draw(3, 12, 1, "µm")},
    solve=lambda protein, droplet, load: emulsions.emulsifier_limit(protein, droplet, load),
    unit="L", within=0.02,
    slips=(Slip(lambda yolk, droplet, load: emulsions.emulsifier_limit(yolk, droplet, load),
                "Half the yolk is water and a quarter is fat: take its protein."),
           Slip(lambda protein, droplet, load: 2 * emulsions.emulsifier_limit(protein, droplet, load),
                "Skin is six volumes over the whole width; three go with the half width."),
           Slip(lambda protein, droplet, load: emulsions.emulsifier_limit(protein, droplet / 2, load),
                "You halved the droplet: six goes with the whole width.")),
    between={"area": lambda protein, load: (protein / load).to("m**2")},
    steps=("The protein coats {area:4 m**2}.", "Oil volume is skin times width over six: {answer}.",
           "The room in one yolk ends far sooner: more water, not more yolk, is what a tight sauce wants."),
    known=({"protein": Q_(2.7, "g"), "droplet": Q_(5, "µm")}, Q_(1.324, "L"), "2700 / 1.7 = 1588.2 m²; x 5e-6 / 6 = 0.0013235 m³"))

TIMES_AS_THICK = Exercise(
    key="emulsions-09", title="Thick from oil alone",
    question="A dressing is {share} oil by volume. How many times as thick as its water is it? Droplets lock at {packing}; the law is "
             "(1 - share/packing) to the power of -2.5 packing.",
    givens={"share": Draw(30, 58, 1, "percent"), "packing": PACKING},
    solve=lambda share, packing: emulsions.relative_viscosity(share, packing),
    unit="", within=0.02,
    slips=(Slip(lambda share: 1 + 2.5 * share.m_as("dimensionless"), "That line holds for a few drops in much water. Here they are in each other's way."),
           Slip(lambda share: (1 - share.m_as("dimensionless")) ** -2.5,
                "Divide the share by packing first: the droplets run out of room at 64 %, not at 100."),
           Slip(lambda share, packing: 1 / emulsions.relative_viscosity(share, packing), "Below 1 would be thinner than water. Mind the minus.")),
    between={"left": lambda share, packing: 1 - (share / packing).m_as("dimensionless"),
             "power": lambda packing: 2.5 * packing.m_as("dimensionless")},
    steps=("Room left: 1 - {share}/{packing} is {left:3}.", "To the power of -{power:2}: {answer}.",
           "The nearer to packing, the faster it climbs; past it nothing pours."),
    known=({"share": Q_(50, "percent")}, 11.38, "1 - 0.5/0.64 = 0.21875; ln = -1.5198; x -1.6 = 2.4317; e to that is 11.38"))

STIFFER = Exercise(
    key="emulsions-10", title="Stiffer by a little oil",
    question="Two sauces from one whisk, droplets alike: {one} and {other} oil by volume. How many times as stiff is the second? Stiffness goes as share "
             "times (share - {packing}).",
    givens={"one": Draw(70, 78, 1, "percent"), "other": Draw(78, 86, 1, "percent"), "packing": PACKING},
    fits=lambda one, other: other / one > Q_(1.05, ""),
    solve=lambda one, other, packing: emulsions.stiffness_ratio(one, other, packing),
    unit="", within=0.02,
    slips=(Slip(lambda one, other: (other / one).m_as("dimensionless"), "What counts is how far past packing you are, not how much oil there is."),
           Slip(lambda one, other, packing: ((other - packing) / (one - packing)).m_as("dimensionless"),
                "The share stands in front of the bracket too: multiply each by its own."),
           Slip(lambda one, other, packing: emulsions.stiffness_ratio(other, one, packing), "The other way round: more oil is stiffer.")),
    between={"first": lambda one, packing: (one * (one - packing)).m_as("dimensionless"),
             "second": lambda other, packing: (other * (other - packing)).m_as("dimensionless")},
    steps=("{one}: {first:3}. {other}: {second:3}.", "Second over first: {answer}.",
           "A few per cent of oil, half as stiff again or more: add the last oil by the spoon."),
    known=({"one": Q_(75, "percent"), "other": Q_(80, "percent")}, 1.552, "0.75 x 0.11 = 0.0825; 0.80 x 0.16 = 0.128; 0.128 / 0.0825 = 1.5515"))

OVERRUN = Exercise(
    key="emulsions-11", title="A cup of foam",
    question="A cup levelled with liquid holds {liquid}. The same cup levelled with its foam holds {foam}. What is the overrun?",
    givens={"liquid": Draw(180, 260, 10, "g"), "foam": Draw(30, 100, 5, "g")},
    fits=lambda liquid, foam: liquid > 2.3 * foam,
    solve=lambda liquid, foam: emulsions.overrun(liquid, foam).overrun,
    unit="percent", within=0.02,
    slips=(Slip(lambda liquid, foam: emulsions.overrun(liquid, foam).gas, "That is the gas in the foam. Overrun is gas over the liquid it came from."),
           Slip(lambda liquid, foam: (liquid / foam).to("percent"), "That is the foam over the liquid: the liquid itself is in it. Take it off."),
           Slip(lambda liquid, foam: (foam / liquid).to("percent"), "That is how much liquid is left in the cup.")),
    between={"lost": lambda liquid, foam: liquid - foam},
    steps=("The foam weighs {lost} less: so much liquid has made way for gas.", "Gas over the liquid that is left, {lost} over {foam}: {answer}.",
           "Same cup, same level, no need to know its volume."),
    known=({"liquid": Q_(240, "g"), "foam": Q_(60, "g")}, Q_(300, "percent"), "(240 - 60) / 60 = 3"))
