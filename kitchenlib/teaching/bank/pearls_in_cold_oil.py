"""Lesson 12: oil for a batch, the bag, the tip, the drop and its fall. Four core exercises, the rest further practice.

`known` answers are worked by hand, the arithmetic written out, or stand in the worked example of the fall in cold oil.
"""
import math

from ... import drops, pearls
from ...tables import row
from ...units import Q_
from ..exercises import Draw, Exercise, Pick, Slip

GEL, OIL = row("watery gel", own=False), row("canola oil", own=False)
COLD, WARM_END = Q_(6, "degC"), Q_(39, "degC")
FILM, TIP_FILM = Q_(11, "W/m**2/kelvin"), Q_(20, "W/m**2/kelvin")
DENSITY = GEL.density


def difference(warm, cold):
    """A difference of two temperatures, in kelvin."""
    return warm.to("kelvin") - cold.to("kelvin")


def not_one_fold(start, room, warm_end):
    """Whether the time to a temperature and the time to 1/e of the difference can be told apart."""
    return abs(math.log(difference(start, room) / difference(warm_end, room)) - 1) > 0.06


# --- core --------------------------------------------------------------------------------------------------------------------------
OIL_FOR_BATCH = Exercise(
    key="pearls-01", title="Oil for the batch", minutes=3,
    question="{batch} of mix at {start} are dripped into oil at {cold} and stay in it. The oil may warm by {warming} at most. How much oil "
             "does it take? Heat capacities: mix {mix_heat}, oil {oil_heat}.",
    givens={"batch": Draw(100, 400, 50, "g"), "start": Draw(50, 70, 5, "degC"), "cold": COLD, "warming": Draw(5, 10, 1, "delta_degC"),
            "mix_heat": Q_(4.18, "kJ/kg/kelvin"), "oil_heat": Q_(1.95, "kJ/kg/kelvin")},
    solve=lambda batch, start, cold, warming: drops.oil_needed(batch, start, cold, warming, OIL, GEL),
    unit="g", within=0.02,
    slips=(Slip(lambda batch, fall, warming: (batch * fall / warming).to("g"),
                "Oil takes up less than half as much heat as water for each gram and degree: bring in both heat capacities."),
           Slip(lambda batch, start, cold, warming, mix_heat, oil_heat: (batch * mix_heat * difference(start, cold) / (oil_heat * warming)).to("g"),
                "The drops end at the temperature of the warmed oil, not of the oil at the start."),
           Slip(lambda batch, fall, warming, mix_heat, oil_heat: (batch * oil_heat * fall / (mix_heat * warming)).to("g"),
                "The two heat capacities stand on their heads: the mix gives, the oil takes.")),
    between={"fall": lambda start, cold, warming: difference(start, cold) - warming.to("kelvin"),
             "heat": lambda batch, fall, mix_heat: (batch * mix_heat * fall).to("kJ")},
    steps=("The drops cool from {start} to the oil's temperature at the end, {warming} above {cold}: by {fall:3 kelvin}.",
           "They give {batch} times {mix_heat} times that, {heat:4 kJ}.",
           "The oil takes {oil_heat} for each degree and may take {warming}: divide, {answer}.",
           "More oil, colder oil or a smaller batch: the vessel's height does nothing for this."),
    known=({"batch": Q_(200, "g"), "start": Q_(60, "degC"), "warming": Q_(8, "delta_degC")}, Q_(2465, "g"),
           "60 - 14 = 46 K; 200 g x 4.18 J/(g K) x 46 K = 38,456 J; 1.95 x 8 = 15.6 J/g; 38,456 / 15.6 = 2,465 g"))

BEFORE_THE_BAG_SETS = Exercise(
    key="pearls-02", title="Before the bag sets", minutes=4,
    question="You fill a bag {width} across with mix at {start} and drip {pace} grams a minute in a room at {room}. Stop when the bag is at "
             "{warm_end}, the warm end of setting. How many grams have you dripped by then? The bag cools by Newton's law; its difference "
             "to the room falls to 1/e in density times heat capacity times width over four films, with 1000 kg/m³, 4.18 kJ/(kg K) and "
             "{film}.",
    givens={"width": Draw(40, 60, 10, "mm"), "start": Draw(50, 65, 5, "degC"), "room": Draw(18, 26, 2, "degC"), "pace": Draw(4, 12, 2, ""),
            "warm_end": WARM_END, "film": FILM},
    fits=lambda start, room: not_one_fold(start, room, WARM_END) and not_one_fold(start, room, Q_(32, "degC")),
    solve=lambda pace, minutes: Q_(pace * minutes.m, "g"),
    unit="g", within=0.02,
    slips=(Slip(lambda pace, fold, start, room, warm_end: Q_(pace * fold.m * (difference(start, warm_end) / difference(start, room)).m, "g"),
                "It does not cool by so many degrees each minute: the nearer the room, the slower. Use the logarithm."),
           Slip(lambda pace, width, start, room, film: Q_(pace * pearls.time_in_hand(start, Q_(32, "degC"), room, width, film, GEL).m, "g"),
                "32 °C is the cold end: by then the bag has long begun to set. Stop at the warm end."),
           Slip(lambda pace, fold: Q_(pace * fold.m, "g"), "That is the time to 1/e of the difference, not the time to the warm end.")),
    between={"minutes": lambda start, room, width, film, warm_end: pearls.time_in_hand(start, warm_end, room, width, film, GEL),
             "fold": lambda width, film: (DENSITY * GEL.heat_capacity * width / (4 * film)).to("min"),
             "left": lambda start, room, warm_end: (difference(start, room) / difference(warm_end, room)).m_as("dimensionless")},
    steps=("To 1/e: 1000 x 4180 x {width} over 4 x {film} is {fold:3 min}.",
           "The difference to the room falls from start to end by the factor {left}; its logarithm times {fold:3 min} is {minutes:3 min}.",
           "At {pace} grams a minute that is {answer}.",
           "How full the bag is does not matter, only how wide it is: a cloth around it buys more time than a bigger fill."),
    known=({"width": Q_(50, "mm"), "start": Q_(60, "degC"), "room": Q_(20, "degC"), "pace": 8}, Q_(471.5, "g"),
           "4,180,000 x 0.05 / 44 = 4,750 s = 79.17 min; ln(40 / 19) = 0.7444; 58.94 min; x 8 = 471.5 g"))

PEARLS_IN_A_PORTION = Exercise(
    key="pearls-03", title="Pearls in a portion", minutes=3,
    question="A plate carries {portion} of pearls, each {diameter} across. About how many are that? A gel weighs as much as water.",
    givens={"portion": Draw(6, 15, 1, "g"), "diameter": Draw(3, 5, 0.5, "mm")},
    solve=lambda portion, diameter: drops.pearls_in(portion, diameter, DENSITY),
    unit="", within=0.03,
    slips=(Slip(lambda portion, diameter: drops.pearls_in(portion, 2 * diameter, DENSITY),
                "You put the diameter where the radius belongs: eight times too big a pearl."),
           Slip(lambda portion, cube: (portion / (DENSITY * cube)).m_as("dimensionless"),
                "That is a little cube. A ball fills about half of the cube around it: pi over 6."),
           Slip(lambda portion, diameter: drops.pearls_in(portion, diameter / 2, DENSITY), "You took the radius for the diameter.")),
    between={"cube": lambda diameter: diameter ** 3, "one": lambda diameter: (drops.sphere_volume(diameter) * DENSITY).to("mg")},
    steps=("A ball is pi/6 of the cube around it: {diameter} cubed times 0.5236.",
           "At 1 mg for each cubic millimetre one pearl weighs {one:3 mg}.",
           "{portion} divided by that is {answer}."),
    known=({"portion": Q_(8, "g"), "diameter": Q_(4, "mm")}, 238.7, "4 x 4 x 4 = 64 mm³; x 0.5236 = 33.51 mm³ or mg; 8,000 / 33.51 = 238.7"))

SPEED_OF_FALL = Exercise(
    key="pearls-04", title="How fast it falls", minutes=3,
    question="A pearl {diameter} across sinks through oil of the fridge. It is {heavier} denser than the oil, the oil's viscosity is {thick}. "
             "How fast does it sink, by Stokes' law?",
    givens={"diameter": Draw(2, 4, 0.5, "mm"), "heavier": Q_(73, "kg/m**3"), "thick": Draw(140, 180, 10, "mPa*s")},
    solve=lambda diameter, heavier, thick: drops.stokes_speed(diameter, heavier, thick),
    unit="mm/s", within=0.02,
    slips=(Slip(lambda diameter, heavier, thick: drops.stokes_speed(diameter / 2, heavier, thick),
                "You put the radius into the form for the diameter: four times too slow."),
           Slip(lambda diameter, heavier, thick: drops.stokes_speed(2 * diameter, heavier, thick),
                "You put twice the diameter in: four times too fast."),
           Slip(lambda diameter, thick: drops.stokes_speed(diameter, DENSITY, thick),
                "The oil carries most of the weight. Only the difference of the densities pulls.")),
    steps=("Stokes: diameter squared, times the density difference, times g, over 18 viscosities.",
           "{diameter} squared times {heavier} times 9.81 m/s² over 18 times {thick} is {answer}.",
           "Twice the diameter falls four times as fast: so shape shows in the spacing."),
    known=({"diameter": Q_(3, "mm"), "thick": Q_(160, "mPa*s")}, Q_(2.237, "mm/s"),
           "0.003² x 73 x 9.80665 = 0.0064430; 18 x 0.16 = 2.88; 0.0064430 / 2.88 = 0.002237 m/s"))


# --- further practice --------------------------------------------------------------------------------------------------------------
BEFORE_THE_OIL_IS_WARM = Exercise(
    key="pearls-05", title="Before the oil is too warm",
    question="You have {oil} of oil at {cold} and a mix at {start}. How much may you drip before the oil has warmed by {warming}? Mix "
             "4.18 kJ/(kg K), oil 1.95 kJ/(kg K); the drops stay in.",
    givens={"oil": Draw(500, 3000, 250, "g"), "cold": COLD, "start": Draw(50, 70, 5, "degC"), "warming": Draw(5, 10, 1, "delta_degC")},
    solve=lambda oil, start, cold, warming: drops.drops_for(oil, start, cold, warming, OIL, GEL),
    unit="g", within=0.02,
    slips=(Slip(lambda oil, fall, warming: (oil * warming.to("kelvin") / fall).to("g"), "Bring in both heat capacities: oil takes less than half."),
           Slip(lambda oil, fall, warming: (oil * warming.to("kelvin") / fall * 4.18 / 1.95).to("g"),
                "The heat capacities stand on their heads: the oil takes 1.95, the mix gives 4.18."),
           Slip(lambda oil, start, cold, warming: (oil * 1.95 * warming.to("kelvin") / (4.18 * difference(start, cold))).to("g"),
                "The drops cool only to the warmed oil, not to the cold one.")),
    between={"fall": lambda start, cold, warming: difference(start, cold) - warming.to("kelvin")},
    steps=("The oil may take 1.95 x {oil} x {warming}.", "Each gram of drops gives 4.18 J for each of {fall:3 kelvin}.", "Divide: {answer}."),
    known=({"oil": Q_(1000, "g"), "start": Q_(60, "degC"), "warming": Q_(8, "delta_degC")}, Q_(81.13, "g"),
           "1,000 x 1.95 x 8 = 15,600 J; 4.18 x 46 = 192.28 J/g; 15,600 / 192.28 = 81.13 g"))

TIP_FOR_A_DROP = Exercise(
    key="pearls-06", title="Which tip?",
    question="You want drops of {diameter}. Surface tension {tension}, density of water, tip in air, wetted to its rim. How wide must the "
             "tip be, outside? Of the hanging drop about three quarters let go.",
    givens={"diameter": Draw(2.6, 3.4, 0.1, "mm"), "tension": Draw(55, 70, 5, "mN/m")},
    solve=lambda diameter, tension: drops.tip_for(diameter, tension, DENSITY),
    unit="mm", within=0.08,
    slips=(Slip(lambda diameter: diameter, "A drop is much wider than the tip it hangs from."),
           Slip(lambda bare: 0.5 * bare, "That is near the radius. The tip is sold by its diameter."),
           Slip(lambda bare: 0.75 * bare, "You took the share the wrong way: less lets go, so the tip must be wider, not narrower.")),
    between={"weight": lambda diameter: (drops.sphere_volume(diameter) * DENSITY * Q_(9.80665, "m/s**2")).to("mN"),
             "bare": lambda weight, tension: (weight / (math.pi * tension)).to("mm")},
    steps=("The drop weighs {weight:3 mN}.", "The skin holds pi times the tip times the tension; if all of it let go, the tip were {bare:3 mm}.",
           "Only about three quarters let go, so take the tip wider by that: {answer}. Weigh ten drops to be sure."),
    known=({"diameter": Q_(3, "mm"), "tension": Q_(70, "mN/m")}, Q_(0.75, "mm"),
           "the worked example for 69.6 mN/m has a 0.75 mm tip for a 3.0 mm drop; by hand: 0.1386 mN / (pi x 70 mN/m) = 0.630 mm; / 0.84 = 0.75"))

MINUTES_FOR_THE_BATCH = Exercise(
    key="pearls-07", title="Minutes for the batch",
    question="{tips} tips give {pace} drops a second each, {diameter} across. How long does a batch of {batch} take?",
    givens={"tips": Draw(1, 6, 1, ""), "pace": Draw(2, 5, 1, ""), "diameter": Draw(3, 4.5, 0.5, "mm"), "batch": Draw(100, 400, 50, "g")},
    solve=lambda batch, diameter, rate: Q_(drops.pearls_in(batch, diameter, DENSITY) / rate / 60, "min"),
    unit="min", within=0.03,
    slips=(Slip(lambda right, tips: right * tips, "That is one tip alone.", ),
           Slip(lambda right: 8 * right, "You took the radius for the diameter somewhere: a pearl is eight times as heavy."),
           Slip(lambda right: right * 0.5236, "That counts cubes, not balls.")),
    fits=lambda tips: tips >= 2,
    between={"rate": lambda tips, pace: tips * pace, "one": lambda diameter: (drops.sphere_volume(diameter) * DENSITY).to("mg"),
             "right": lambda batch, diameter, rate: Q_(drops.pearls_in(batch, diameter, DENSITY) / rate / 60, "min")},
    steps=("One drop weighs {one:3 mg}; {rate} of them fall each second.", "{batch} over that, in minutes: {answer}.",
           "Then look at the bag: does it stay warm for so long?"),
    known=({"tips": 4, "pace": 3, "diameter": Q_(4, "mm"), "batch": Q_(200, "g")}, Q_(8.29, "min"),
           "33.51 mg x 12 = 402 mg/s; 200,000 / 402.1 = 497.4 s = 8.29 min"))

STILL_TIP = Exercise(
    key="pearls-08", title="The tip that stopped",
    question="You stop to answer a question. The tip holds a thread of mix {bore} thick at {start}; the room is {room}, the film on so thin "
             "a tip {film}. After how long is it at {warm_end}?",
    givens={"bore": Draw(1.5, 3, 0.5, "mm"), "start": Draw(50, 65, 5, "degC"), "room": Draw(18, 26, 2, "degC"), "film": TIP_FILM,
            "warm_end": WARM_END},
    fits=not_one_fold,
    solve=lambda start, warm_end, room, bore, film: pearls.time_in_hand(start, warm_end, room, bore, film, GEL),
    unit="s", within=0.02,
    slips=(Slip(lambda fold, start, room, warm_end: fold * (difference(start, warm_end) / difference(start, room)).m,
                "It does not cool by so many degrees each second. Use the logarithm."),
           Slip(lambda right: 4 * right, "Of a round thread, volume over side is a quarter of its width."),
           Slip(lambda fold: fold, "That is the time to 1/e of the difference.")),
    between={"fold": lambda bore, film: (DENSITY * GEL.heat_capacity * bore / (4 * film)).to("s"),
             "right": lambda start, warm_end, room, bore, film: pearls.time_in_hand(start, warm_end, room, bore, film, GEL).to("s")},
    steps=("To 1/e: 1000 x 4180 x {bore} over 4 x {film} is {fold:3 s}.", "Times the logarithm of the two differences to the room: {answer}.",
           "The bag lasts an hour, the tip two minutes. Keep it dripping, or park it in warm water."),
    known=({"bore": Q_(3, "mm"), "start": Q_(55, "degC"), "room": Q_(22, "degC")}, Q_(104.0, "s"),
           "4,180,000 x 0.003 / 80 = 156.75 s; ln(33 / 17) = 0.6633; 103.97 s"))

REASONS = {"A vessel twice as tall holds the same oil as a low one. What does the height buy?": "shape and spacing",
           "Pearls come out flat where they land on others. The oil is cold enough. What is missing?": "shape and spacing",
           "The first hundred grams were round, the next ones clump and smear. What has run out?": "cold oil",
           "Each pearl sets in a few centimetres, but the last of the batch no longer do. What has run out?": "cold oil",
           "The bag is warm, but nothing comes out after a pause. What has set?": "the tip",
           "After answering the phone you press, and one long worm comes. What had set?": "the tip"}

WHAT_RAN_OUT = Exercise(
    key="pearls-09", title="What is it?",
    question="{said}",
    givens={"said": Pick(tuple(REASONS))},
    solve=lambda said: REASONS[said],
    unit=("shape and spacing", "cold oil", "the tip"),
    slips=(Slip("shape and spacing", "Height lets a drop become round and keeps it off its neighbours. Heat needs only centimetres."),
           Slip("cold oil", "How cold the oil stays depends on how much of it there is, not on height."),
           Slip("the tip", "The tip is thin, so it is the first to set: minutes, where the bag has an hour.")),
    steps=("Ask first what changed: the place, the time, or the pause.", "Here it is {answer}."),
    known=({"said": tuple(REASONS)[0]}, "shape and spacing", "the worked fall: centre at setting after 7 mm of 300 mm"))
