"""Lesson 42: Plank and the solver, the dip, crystals in the store, cold places, the plate. Four core exercises, the rest further practice.

`known` answers are worked by hand, the arithmetic written out; the dip's is another hand's solution. No amount of nitrogen is asked here.
"""
import math

from ... import cryo, pieces
from ...tables import row
from ...units import Q_
from ..exercises import Draw, Exercise, Pick, Slip

BERRY, PLATE, CRYSTALS = (row(key, own=False) for key in ("strawberry", "porcelain plate", "ice crystals"))
BLAST, NITROGEN = row("blast freezer", own=False), row("nitrogen bath", own=False)
MIDDLE, EVEN, FELT, FUSION = Q_(-10, "degC"), Q_(-18, "degC"), Q_(50, "um"), Q_(333.6, "kJ/kg")
FACTS = "1000 kg/m³, 307 kJ/kg, freezing from -0.8 °C, frozen conductivity 2.0 W/(m K)"


def difference(warm, cold):
    """A difference of two temperatures, in kelvin."""
    return warm.to("kelvin") - cold.to("kelvin")


def below(cold):
    """How far a place lies below the berry's freezing point, in kelvin."""
    return difference(BERRY.freezing_point, cold.temperature)


def in_air(temperature, film):
    """The row of a place so cold, with such a film."""
    return BLAST.but(temperature=temperature, film_coefficient=film)


def plank(temperature, film, size, shape="sphere"):
    """Plank's time for a strawberry."""
    return pieces.plank(in_air(temperature, film), BERRY, shape, size).time.to("min")


# --- core --------------------------------------------------------------------------------------------------------------------------
PLANK_FOR_A_BALL = Exercise(
    key="pieces-01", title="Plank for a berry", minutes=4,
    question="A strawberry is a ball {size} across: " + FACTS + ". It lies in air at {air} with a film of {film}. How long does it take to "
             "freeze, by Plank's formula?",
    givens={"size": Draw(15, 40, 5, "mm"), "air": Draw(-40, -30, 5, "degC"), "film": Draw(20, 50, 5, "W/m**2/kelvin")},
    solve=lambda air, film, size: plank(air, film, size),
    unit="min", within=0.02,
    slips=(Slip(lambda air, film, size: plank(air, film, size, "slab"),
                "Those are the factors of a slab, 1/2 and 1/8. A ball is cooled from all sides: 1/6 and 1/24."),
           Slip(lambda air, film, size: plank(air, film, size, "cylinder"), "1/4 and 1/16 belong to a long cylinder. A ball has 1/6 and 1/24."),
           Slip(lambda air, film, size: plank(air, film, size / 2), "Plank wants the whole diameter. You put the radius in."),
           Slip(lambda air, film, size: plank(air, film, size) / 1000, "A thousand times too quick: the film is in watts, so the heat is wanted in joules, "
                                                                       "and a kilojoule is 1000 of them.")),
    between={"gap": lambda air: difference(BERRY.freezing_point, air), "skin": lambda size, film: (size / (6 * film)).to("cm**3*K/W"),
             "inside": lambda size: (size ** 2 / (24 * BERRY.frozen_thermal_conductivity)).to("cm**3*K/W")},
    steps=("The film's part: {size} over 6 times {film}, {skin:3}.", "The part of the ice already there: {size} squared over 24 times 2.0, {inside:3}.",
           "Their sum times 1000 times 307 kJ over {gap:3}: {answer}.",
           "Look which part is the larger: in air it is the film. A fan does more than a colder coil."),
    known=({"size": Q_(25, "mm"), "air": Q_(-35, "degC"), "film": Q_(30, "W/m**2/kelvin")}, Q_(22.73, "min"),
           "0.025 / 180 = 1.3889e-4; 0.000625 / 48 = 1.302e-5; sum 1.5191e-4; x 3.07e8 / 34.2 = 1363.6 s = 22.73 min"))

HOW_LOW = Exercise(
    key="pieces-02", title="How low is Plank?", minutes=4, heavy=True,
    question="The same kind of berry, {size} across (" + FACTS + "), goes at {start} into a blast freezer at -35 °C with a film of 30 W/(m² K). "
             "The enthalpy method has its middle at -10 °C after {solved:4 min}. How far below that is Plank's time, in % of the solved time?",
    givens={"size": Draw(15, 40, 5, "mm"), "start": Draw(10, 25, 5, "degC")},
    solve=lambda quick, solved: (1 - quick / solved).to("percent"),
    unit="percent", within=0.05,
    slips=(Slip(lambda quick, solved: (solved / quick - 1).to("percent"), "That is in % of Plank's time. The solved one is the measure here."),
           Slip(lambda quick, solved: (quick / solved).to("percent"), "That is what Plank gives of it. How much is missing?"),
           Slip(lambda size, solved: (1 - plank(Q_(-35, "degC"), Q_(30, "W/m**2/kelvin"), size / 2) / solved).to("percent"),
                "Plank wants the whole diameter. You put the radius in.")),
    between={"solved": lambda size, start: pieces.freezing_time(start, MIDDLE, BLAST, BERRY, "sphere", size),
             "quick": lambda size: plank(Q_(-35, "degC"), Q_(30, "W/m**2/kelvin"), size)},
    steps=("Plank, as before: {quick:4 min}.", "One less {quick:4 min} over {solved:4 min}: {answer}.",
           "What is missing: the cooling from {start} to freezing, the cooling below it, and that the last water freezes far below -0.8 °C."),
    known=({"size": Q_(25, "mm"), "start": Q_(10, "degC")}, Q_(14.45, "percent"),
           "Plank 22.73 min by hand as in pieces-01; 1 - 22.73 / 26.57 = 0.1445; the printed 26.57 min lies 0.3 % from another hand's 26.5"))

DIP_TO_EVEN = Exercise(
    key="pieces-03", title="When to lift it out", minutes=4, heavy=True,
    question="The room comes first: its spill sum, and the competent person's word (lesson 41). A strawberry, a ball {size} across, goes at {start} into "
             "the nitrogen bath of the rows. After how many seconds do you lift it, so that it comes to rest at -18 °C throughout? Work it in a cell, "
             "with pieces.dip as in the lesson.",
    givens={"size": Draw(10, 30, 1, "mm"), "start": Draw(4, 20, 2, "degC")},
    solve=lambda size, start: pieces.dip(start, EVEN, NITROGEN, BERRY, "sphere", size).time,
    unit="s", within=0.05,
    slips=(Slip(lambda size, start: pieces.freezing_time(start, MIDDLE, NITROGEN, BERRY, "sphere", size),
                "You waited for the middle. By then its outside is far below -100 °C. Stop on the heat taken, and let it even out."),
           Slip(lambda size, start: pieces.dip(start, EVEN, NITROGEN, BERRY, "sphere", size / 2).time,
                "You put the radius in. The size is the whole diameter."),
           Slip(lambda size, start: pieces.dip(start, EVEN, NITROGEN, BERRY, "slab", size).time,
                "That is a slab, cooled from two sides. A ball is cooled from all.")),
    between={"lifted": lambda size, start: pieces.dip(start, EVEN, NITROGEN, BERRY, "sphere", size).surface,
             "heat": lambda size, start: pieces.dip(start, EVEN, NITROGEN, BERRY, "sphere", size).heat},
    steps=("Each kilogram must give up {heat:3 kJ/kg}, from {start} down to -18 °C throughout.",
           "The solver takes heat out until that much is gone: {answer}.",
           "At that moment the skin is at {lifted:2} and the middle is not frozen. Rest it in the freezer, then use it."),
    known=({"size": Q_(25, "mm"), "start": Q_(10, "degC")}, Q_(66, "s"),
           "reference solution of another hand for such a berry, enthalpy finite volumes: 66 s (datasets/published/pieces.csv)"))

DAYS_TO_SANDY = Exercise(
    key="pieces-04", title="Days until it feels sandy", minutes=3,
    question="Crystals of {size} on the mean go into a store at {store}. There the law is size at first plus {growth:3} for each cube root of a day. After "
             "how many days have they come to 50 µm, where a tongue begins to feel them?",
    givens={"size": Draw(18, 30, 1, "um"), "store": Pick(tuple(Q_(t, "degC") for t in (-13, -14, -14.5, -15)))},
    fits=lambda size, store: abs(math.log((FELT - size) / growth_of(size, store))) > 0.1,
    solve=lambda size, store: cryo.days_until(FELT, store, size).typical.m_as("day"),
    unit="", within=0.04,
    slips=(Slip(lambda roots: roots, "That is the cube root of the days. Raise it to the third power."),
           Slip(lambda roots: roots ** 2, "The third power, not the second: growth slows more and more."),
           Slip(lambda growth: (FELT / growth).m_as("dimensionless") ** 3, "They are not 0 at first. Only what is missing to 50 µm has to grow.")),
    between={"growth": lambda size, store: growth_of(size, store), "missing": lambda size: FELT - size,
             "roots": lambda missing, growth: (missing / growth).m_as("dimensionless")},
    steps=("Missing to 50 µm: {missing:2}.", "Over {growth:3} that is {roots:3} cube roots of a day.", "To the third power: {answer} days.",
           "The law is one dessert's, in a store that keeps its temperature. A door opened often is worse."),
    known=({"size": Q_(24, "um"), "store": Q_(-15, "degC")}, 5.55,
           "growth (68.3 - 23.7) / 28^(1/3) = 44.6 / 3.0366 = 14.69 µm; 26 / 14.69 = 1.770; cubed 5.55"))


def growth_of(size, store):
    """Growth in the first day, so for each cube root of a day."""
    return cryo.coarsened(Q_(1, "day"), store, size).size - size


# --- further practice --------------------------------------------------------------------------------------------------------------
LEFT_OUT = {"The berries go in at 25 °C instead of 1 °C. Plank's answer does not move.": "cooling before",
            "Someone forgot to chill the fruit. By Plank it makes no difference.": "cooling before",
            "You want the middle at -18 °C instead of -5 °C. Plank's answer does not move.": "cooling below",
            "The store is at -30 °C and the pieces should leave the freezer as cold as that. Plank stops long before.": "cooling below",
            "The juice left between the crystals grows sweeter, so the last of it freezes at -5 °C and less difference drives it.": "freezing over a range",
            "Plank takes every drop to freeze at -0.8 °C. A sweet fruit still holds liquid at -10 °C.": "freezing over a range"}

WHY_LOW = Exercise(
    key="pieces-05", title="Why is Plank low?",
    question="{said} What has he left out?",
    givens={"said": Pick(tuple(LEFT_OUT))},
    solve=lambda said: LEFT_OUT[said],
    unit=("cooling before", "cooling below", "freezing over a range"),
    slips=(Slip("cooling before", "That is the heat from the start down to where ice begins. Does the sentence speak of the start?"),
           Slip("cooling below", "That is the heat after freezing, down to what you want. Does the sentence speak of the end?"),
           Slip("freezing over a range", "That is about the syrup between the crystals, neither the start nor the end.")),
    steps=("Ask at which moment the sentence looks: before, during or after the freezing.", "Here it is {answer}.",
           "All three make him low: read his time as the least it can be."),
    known=({"said": tuple(LEFT_OUT)[0]}, "cooling before", "Plank's formula has no starting temperature in it"))

HALVED = Exercise(
    key="pieces-06", title="Half the size",
    question="You cut your pieces to half their size: balls of {size} become balls of half that. Film {film}, frozen conductivity 2.0 W/(m K). How many "
             "times as quick do they freeze, by Plank?",
    givens={"size": Draw(20, 40, 2, "mm"), "film": Draw(100, 300, 50, "W/m**2/kelvin")},
    solve=lambda size, film: (plank(EVEN, film, size) / plank(EVEN, film, size / 2)).m_as("dimensionless"),
    unit="", within=0.02,
    slips=(Slip(lambda: 2.0, "Only where the film is all that counts. The ice in between counts too."),
           Slip(lambda: 4.0, "Only where the film counts for nothing."),
           Slip(lambda: 8.0, "That is the volume. There are eight times as many pieces now, freezing side by side.")),
    between={"skin": lambda size, film: (size / (6 * film)).to("cm**3*K/W"),
             "inside": lambda size: (size ** 2 / (24 * BERRY.frozen_thermal_conductivity)).to("cm**3*K/W")},
    steps=("Film's part D/6h: {skin:3}. Ice's part D²/24k: {inside:3}.", "At half the size the first is halved, the second quartered.",
           "Old sum over new sum: {answer}. Always between 2 and 4."),
    known=({"size": Q_(30, "mm"), "film": Q_(200, "W/m**2/kelvin")}, 2.545,
           "0.03 / 1200 = 2.5e-5; 0.0009 / 48 = 1.875e-5; 4.375 / (1.25 + 0.46875) = 2.5455"))

COLDER = Exercise(
    key="pieces-07", title="Five times as cold",
    question="A berry {size} across. Blast freezer: -35 °C, film 30 W/(m² K). Nitrogen, the room first (lesson 41): -195.8 °C, film 150. "
             "Freezing from -0.8 °C, frozen conductivity 2.0 W/(m K). How many times as quick is the nitrogen, by Plank?",
    givens={"size": Draw(10, 40, 1, "mm")},
    solve=lambda size: (pieces.plank(BLAST, BERRY, "sphere", size).time / pieces.plank(NITROGEN, BERRY, "sphere", size).time).m_as("dimensionless"),
    unit="", within=0.02,
    slips=(Slip(lambda gaps: gaps, "That is the ratio of the differences in temperature alone. The film has changed too."),
           Slip(lambda gaps: 5 * gaps, "That takes the film for all the resistance. The ice already formed does not care about the film."),
           Slip(lambda: 5.0, "That is the ratio of the films alone.")),
    between={"gaps": lambda: (below(NITROGEN) / below(BLAST)).m_as("dimensionless"),
             "slow": lambda size: (size / (6 * BLAST.film_coefficient) + size ** 2 / (24 * BERRY.frozen_thermal_conductivity)).to("cm**3*K/W"),
             "quick": lambda size: (size / (6 * NITROGEN.film_coefficient) + size ** 2 / (24 * BERRY.frozen_thermal_conductivity)).to("cm**3*K/W")},
    steps=("The difference that drives is {gaps:3} times as great.", "Film and ice together: {slow:3} in air, {quick:3} in nitrogen.",
           "Multiply: {answer}. The thicker the piece, the less of it remains: ice is in the way of ice."),
    known=({"size": Q_(25, "mm")}, 21.23,
           "195 / 34.2 = 5.7018; air 1.3889e-4 + 0.1302e-4 = 1.5191e-4; nitrogen 0.2778e-4 + 0.1302e-4 = 0.4080e-4; ratio 3.7235; x 5.7018 = 21.23"))

PLACES = {"A tub of sorbet base must be hard tomorrow. Nobody is about, and the blast freezer is full.": "still freezer",
          "A month of beef trim for stock. There is no hurry and the crystals do not matter.": "still freezer",
          "A tray of berries must be loose and hard in half an hour. Spilt, the dewar would take the room below 19.5 %.": "blast freezer",
          "Slices of cake to be glazed frozen, every day fifty, within the hour. No second person is free to watch.": "blast freezer",
          "A class in a garden: no power, ice from the shop, and purée in bags.": "salt and ice",
          "Small bags of base at -15 °C by hand, in a room in the cellar without any extract.": "salt and ice",
          "Beads of buttermilk base, 4 mm, smooth. Risk sheet signed, extract runs, monitor worn, a second trained person stands by.": "nitrogen",
          "Herbs to be shattered to powder at once. Risk sheet signed, extract runs, monitor worn, two trained people.": "nitrogen"}

WHICH_PLACE = Exercise(
    key="pieces-08", title="Which cold?",
    question="{said} Which cold do you take?",
    givens={"said": Pick(tuple(PLACES))},
    solve=lambda said: PLACES[said],
    unit=("still freezer", "blast freezer", "salt and ice", "nitrogen"),
    slips=(Slip("still freezer", "Hours for a berry, and coarse ice. Good only where time and crystals do not matter."),
           Slip("blast freezer", "Minutes to half an hour, nothing dangerous in the air; but it needs the machine and power."),
           Slip("salt and ice", "Good in the hand without power, and never below -21 °C. What stands here goes further, or simpler."),
           Slip("nitrogen", "First the room: no spill sum, no signed sheet, no extract, no monitor or no second person: no nitrogen. "
                            "And is so much cold needed at all?")),
    steps=("First the room, then the time, then the crystals, then what is at hand.", "Here it is {answer}."),
    known=({"said": tuple(PLACES)[0]}, "still freezer", "common practice: a day is enough and no one need watch"))

SALT = Exercise(
    key="pieces-09", title="The floor of salt and ice",
    question="Salt and ice are coldest, -21 °C, where salt makes up {share} of salt and water together. How much salt for {ice} of ice?",
    givens={"ice": Draw(1, 6, 0.25, "kg"), "share": Q_(23.3, "percent")},
    solve=lambda ice, share: (ice * share / (1 - share)).to("g"),
    unit="g", within=0.02,
    slips=(Slip(lambda ice, share: (ice * share).to("g"), "Of salt and water together, not of the ice: divide by what is left for the water."),
           Slip(lambda ice: (ice / 2).to("g"), "Half is far past the floor. What does not dissolve makes nothing colder."),
           Slip(lambda ice, share: (ice * (1 - share)).to("g"), "That is the water's share.")),
    steps=("For each gram of salt there are 100 less 23.3 over 23.3 grams of ice: 3.29.", "{ice} over 3.29: {answer}.",
           "More salt makes it no colder: at -21 °C brine and ice freeze together. For -40 °C take another cold."),
    known=({"ice": Q_(3, "kg")}, Q_(911, "g"), "3,000 x 23.3 / 76.7 = 911 g; cooks say a third of the ice's mass: 1,000 g"))

WARM_PLATE = Exercise(
    key="pieces-10", title="What the warm plate melts",
    question="A scoop with a foot {foot} across is set on a porcelain plate at {plate}, 5 mm thick: 2400 kg/m³, 1050 J/(kg K). The plate under it comes "
             "down to -2 °C. How much ice can that heat melt, at 333.6 kJ/kg?",
    givens={"foot": Draw(40, 70, 2, "mm"), "plate": Draw(20, 55, 5, "degC")},
    solve=lambda heat: (heat / FUSION).to("g"),
    unit="g", within=0.02,
    slips=(Slip(lambda heat: (4 * heat / FUSION).to("g"), "You put the diameter where the radius belongs: four times the plate."),
           Slip(lambda heat, fall: (heat / (Q_(4.18, "kJ/kg/kelvin") * fall)).to("g"),
                "That warms water. Melting takes 333.6 kJ for each kilogram, at no change of temperature."),
           Slip(lambda heat: (1.2732 * heat / FUSION).to("g"), "That is the square around the foot. A circle is pi over 4 of it.")),
    between={"area": lambda foot: (math.pi / 4 * foot ** 2).to("cm**2"), "fall": lambda plate: difference(plate, Q_(-2, "degC")),
             "heat": lambda area, fall: (area * PLATE.wall_thickness * PLATE.density * PLATE.heat_capacity * fall).to("kJ")},
    steps=("The foot covers {area:3}; 5 mm under it weigh 1.2 g for each square centimetre.", "They fall by {fall:3} and give {heat:3 kJ}.",
           "Over 333.6 kJ/kg: {answer}. From a cold plate it would be next to nothing; then only the room melts it."),
    known=({"foot": Q_(50, "mm"), "plate": Q_(40, "degC")}, Q_(3.115, "g"),
           "19.635 cm²; x 1.2 g = 23.56 g; x 1.05 J/(g K) x 42 K = 1039 J; / 333.6 J/g = 3.115 g"))

FINER = Exercise(
    key="pieces-11", title="Quicker is finer, but not by so much",
    question="A base freezes {quicker} times as quickly as before. Its crystals follow the pace to the power of minus 0.45, as gels and slips do that lie "
             "still. How large are they, as a share of what they were?",
    givens={"quicker": Draw(2, 12, 0.5, "")},
    solve=lambda quicker: cryo.crystal_ratio(quicker, CRYSTALS),
    unit="", within=0.02,
    slips=(Slip(lambda quicker: 1 / quicker, "Not in proportion: the power is 0.45, less than a square root."),
           Slip(lambda quicker: quicker ** 0.45, "Quicker makes them smaller: mind the minus."),
           Slip(lambda quicker: 0.45 / quicker, "0.45 is a power, not a factor.")),
    steps=("{quicker} to the power of minus 0.45: {answer}.",
           "The power is found between 0.3 and 0.7. In a machine the scraper counts more, and nobody has measured an ice frozen with nitrogen."),
    known=({"quicker": 6.0}, 0.4465, "ln 6 = 1.7918; x 0.45 = 0.8063; e^-0.8063 = 0.4465"))
