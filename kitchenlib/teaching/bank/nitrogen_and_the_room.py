"""Lesson 41: the spill first, the largest vessel, nitrogen for a base, a shut bottle. Four core exercises, the rest further practice.

`known` answers are worked by hand, the arithmetic written out.
"""
import math

from ... import nitrogen
from ... import room as rooms
from ...tables import records
from ...units import Q_
from ..exercises import Draw, Exercise, Pick, Slip

RATIO, FRESH = 692, Q_(20.9, "percent")                      # litres of gas at 20 °C from a litre of liquid; oxygen of the air
PER_LITRE, BOILING = Q_(0.806, "kg/L"), Q_(199.2, "kJ/kg")
STEEL, BOWL_START, TARGET = "stainless steel", Q_(20, "degC"), Q_(-8, "degC")
WARN = Q_(19.5, "percent")


def left(share):
    """Oxygen left where gas has taken a share of the air [percent]."""
    return FRESH * (1 - share)


def share_of(liquid, room):
    """The gas of a liquid over the room, a bare number."""
    return (liquid * RATIO / room).m_as("dimensionless")


# --- core --------------------------------------------------------------------------------------------------------------------------
SPILT = Exercise(
    key="nitrogen-01", title="All of it on the floor", minutes=4,
    question="A dewar with {vessel} of liquid nitrogen tips over in a room with {room} of air. One litre of liquid makes {ratio} litres of "
             "gas, and the air held {fresh} oxygen. How much oxygen does the air hold then, perfectly mixed? (3 digits)",
    givens={"vessel": Draw(5, 30, 1, "L"), "room": Draw(25, 60, 5, "m**3"), "ratio": RATIO, "fresh": FRESH},
    fits=lambda vessel, room: 0.16 <= share_of(vessel, room) <= 0.6,
    solve=lambda vessel, room, ratio, fresh: rooms.oxygen_if_spilt(vessel, room, ratio, fresh),
    unit="percent", within=0.005,
    slips=(Slip(lambda vessel, room: left((vessel / room).m_as("dimensionless")),
                "You took the volume of the liquid. In the room it is gas, 692 times as much: this slip has killed people."),
           Slip(lambda vessel, room: left(share_of(vessel, room) / 0.806),
                "You took the litres for kilograms. A litre is 0.806 kg; the factor already counts litres."),
           Slip(lambda vessel, room: rooms.oxygen_mixed_slowly(vessel, room, RATIO, FRESH),
                "That is for gas that comes slowly and leaves mixed. A spill comes at once and pushes out air only: it is worse."),
           Slip(lambda share: FRESH * share, "That is what has gone, not what is left.")),
    between={"gas": lambda vessel: (vessel * RATIO).to("m**3"), "share": lambda vessel, room: share_of(vessel, room)},
    steps=("{vessel} times {ratio} is {gas:3 m**3} of gas.", "It takes {share:3} of the room, and pushes that share of the air out.",
           "What is left of {fresh}: {answer}. At the floor, where the gas starts, it is less."),
    known=({"vessel": Q_(10, "L"), "room": Q_(30, "m**3")}, Q_(16.08, "percent"), "10 L x 692 = 6.92 m³; 6.92 / 30 = 0.2307; 20.9 x 0.7693 = 16.08"))

LARGEST_VESSEL = Exercise(
    key="nitrogen-02", title="The largest vessel for the room", minutes=3,
    question="A room holds {room} of air. If all the nitrogen in it is spilt, the oxygen is not to fall below {level}. How many litres of "
             "liquid may be in the room at most, all vessels together? Take {fresh} oxygen and {ratio} litres of gas from a litre. (3 digits)",
    givens={"room": Draw(20, 120, 5, "m**3"), "level": Pick((Q_(19.5, "percent"), Q_(19, "percent"), Q_(18, "percent"))), "fresh": FRESH, "ratio": RATIO},
    solve=lambda room, level, ratio, fresh: rooms.largest_vessel(room, level, ratio, fresh),
    unit="L", within=0.005,
    slips=(Slip(lambda gas: gas.to("L"), "Those are litres of gas. The liquid is 692 times less."),
           Slip(lambda room, level: ((FRESH - level) * room / RATIO).to("L"),
                "Nitrogen pushes out air, and of it only a fifth is oxygen: divide the fall by the oxygen of fresh air."),
           Slip(lambda gas: (gas / RATIO).to("L") * 0.806, "Those are kilograms; a litre is 0.806 kg.")),
    between={"share": lambda level: (1 - level / FRESH).m_as("dimensionless"), "gas": lambda share, room: share * room},
    steps=("From {fresh} to {level}: {share:3} of the air may go.", "Of {room} that is {gas:3 m**3} of gas.",
           "Divide by {ratio}: {answer}. Round down, never up; many dewars hold more than that."),
    known=({"room": Q_(40, "m**3"), "level": Q_(19.5, "percent")}, Q_(3.872, "L"), "1.4 / 20.9 = 0.066986; x 40 m³ = 2.6794 m³; 2679.4 / 692 = 3.872 L"))

KILOGRAMS = Exercise(
    key="nitrogen-03", title="Nitrogen for the base", minutes=4,
    question="The room's spill sum is done: {room}. Now the pour. {base} of base gives off {heat} until it is frozen; {bowl} of steel bowl and "
             "tools (0.50 kJ/kg/K) go from {warm} to {target}. Add a fifth for mixing and the room. No cold gas is caught: boiling alone takes "
             "{boiling}. How much liquid nitrogen, by mass?",
    givens={"room": Draw(30, 80, 5, "m**3"), "base": Draw(1, 5, 0.5, "kg"), "heat": Draw(190, 235, 5, "kJ/kg"), "bowl": Draw(1, 4, 0.5, "kg"),
            "warm": BOWL_START, "target": TARGET, "boiling": BOILING},
    fits=lambda base, bowl: 0.5 * base <= bowl <= 1.6 * base,
    solve=lambda base, heat, bowl: nitrogen.needed(base, heat, TARGET, 0, Q_(20, "percent"), bowl, STEEL, BOWL_START).mass,
    unit="g", within=0.01,
    slips=(Slip(lambda base, heat: base * heat * 1.2 / BOILING, "The bowl and the tools get cold too."),
           Slip(lambda out: out / (BOILING + Q_(197.7, "kJ/kg")), "The cold of the gas leaves an open bowl: nothing of it was to be counted."),
           Slip(lambda out: out / BOILING / 0.806, "That is the number of litres. By mass it is 0.806 of it."),
           Slip(lambda out: out / 1.2 / BOILING, "Add the fifth: stirring and the room's warmth cost nitrogen too.")),
    between={"steel": lambda bowl: (bowl * Q_(0.5, "kJ/kg/kelvin") * Q_(28, "kelvin")).to("kJ"),
             "out": lambda base, heat, steel: 1.2 * (base * heat + steel),
             "litres": lambda out: rooms.rounded_up(out / BOILING / PER_LITRE, unit="L"),
             "oxygen": lambda out, room: rooms.rounded_down(rooms.oxygen_if_spilt(out / BOILING / PER_LITRE, room))},
    steps=("First the room: what this pour takes is {litres:3}. Spilt in {room}, that alone brings the oxygen to {oxygen:3}; what else stands there "
           "comes on top.",
           "Now the pour. The base gives {base} times {heat}, bowl and tools {steel:3 kJ}; with a fifth more {out:4 kJ}.",
           "Each kilogram that boils takes {boiling}: {answer}."),
    known=({"room": Q_(40, "m**3"), "base": Q_(3, "kg"), "heat": Q_(210, "kJ/kg"), "bowl": Q_(1.5, "kg")}, Q_(3921.7, "g"),
           "630 + 1.5 x 0.5 x 28 = 651 kJ; x 1.2 = 781.2 kJ; / 199.2 = 3.9217 kg"))

SHUT = Exercise(
    key="nitrogen-04", title="Shut for a minute only", minutes=3,
    question="Someone screws the lid on a bottle with liquid nitrogen in {fill} of it and cold vapour above, for a minute. Warmed to the room "
             "a litre of liquid is {ratio} litres of gas at 1.013 bar, a litre of that vapour {vapour} litres. What would the pressure be, "
             "absolute, if the bottle held?",
    givens={"fill": Draw(3, 6, 0.5, "percent"), "ratio": RATIO, "vapour": 3.96},
    solve=lambda fill: rooms.sealed_pressure(fill),
    unit="bar", within=0.03,
    slips=(Slip(lambda liquid: Q_(1.013 * liquid, "bar"), "The cold vapour above the liquid warms too: count it."),
           Slip(lambda fill: Q_(1.013 * RATIO, "bar"), "That is a bottle that is full. This one is not, and bursts all the same."),
           Slip(lambda fill: Q_(1.013, "bar"), "That is the pressure of the room. The bottle is shut, and all that boils stays inside.")),
    between={"liquid": lambda fill: fill.m_as("dimensionless") * RATIO, "rest": lambda fill, vapour: (1 - fill.m_as("dimensionless")) * vapour,
             "times": lambda liquid, rest: liquid + rest},
    steps=("Of each litre of bottle the liquid makes {liquid:3} L of gas, the vapour {rest:3} L: {times:3} in one.",
           "So many times 1.013 bar; with the real gas it is {answer}.",
           "Verdict: a tyre holds 2.5 bar. It bursts long before, in someone's hands. No fill is small enough."),
    known=({"fill": Q_(5, "percent")}, Q_(38.86, "bar"), "0.05 x 692 = 34.6; 0.95 x 3.96 = 3.76; 38.36 x 1.013 = 38.86; CoolProp, real gas: 38.66"))


# --- further practice ----------------------------------------------------------------------------------------------------------------
LITRES = Exercise(
    key="nitrogen-05", title="Kilograms into litres",
    question="The room's spill sum is done: {room}. The sum for the pour says {mass} of liquid nitrogen; the dewar is marked in litres. A litre weighs "
             "{per_litre}. How many litres?",
    givens={"room": Draw(30, 80, 5, "m**3"), "mass": Draw(2, 12, 0.5, "kg"), "per_litre": PER_LITRE},
    solve=lambda mass: nitrogen.liquid_volume(mass),
    unit="L", within=0.01,
    slips=(Slip(lambda mass: (mass / PER_LITRE).to("L") * 0.806, "Kilograms and litres are the same for water only."),
           Slip(lambda mass: Q_(mass.m * 0.806, "L"), "Turned round: it is lighter than water, so there are more litres than kilograms."),
           Slip(lambda mass: (mass / PER_LITRE).to("L") * RATIO, "That is the gas. The vessel holds liquid.")),
    between={"oxygen": lambda mass, room: rooms.rounded_down(rooms.oxygen_if_spilt(nitrogen.liquid_volume(mass), room))},
    steps=("First the room: so much, spilt in {room}, brings the oxygen to {oxygen:3}; what else stands there comes on top.",
           "Lighter than water: the litres are more than the kilograms.", "{mass} over {per_litre} is {answer}. Round up what you need."),
    known=({"room": Q_(40, "m**3"), "mass": Q_(4, "kg")}, Q_(4.963, "L"), "4 / 0.806 = 4.963"))

END_OF_POUR = Exercise(
    key="nitrogen-06", title="The end of the pour",
    question="After the spill sum the planned pour: {liquid} boil off evenly over {minutes} in {room}, with an extract of {changes} air changes an hour. "
             "How much oxygen is there at the end? Take {fresh} and {ratio}. (3 digits)",
    givens={"liquid": Draw(5, 15, 1, "L"), "minutes": Draw(15, 40, 5, "min"), "room": Draw(40, 70, 5, "m**3"), "changes": Draw(1, 3, 0.5, ""),
            "fresh": FRESH, "ratio": RATIO},
    fits=lambda liquid, minutes, room, changes: _told_apart(share_of(liquid, room), changes * minutes.m / 60),
    solve=lambda liquid, minutes, room, changes: rooms.oxygen_over_time(minutes, liquid, minutes, room, Q_(changes, "1/hour"), "extract", RATIO, FRESH),
    unit="percent", within=0.005,
    slips=(Slip(lambda steady: left(steady), "That is where it would settle after hours. The pour is over long before."),
           Slip(lambda liquid, room: left(share_of(liquid, room)), "That is all at once, without the extract: the spill. Here fresh air comes in meanwhile."),
           Slip(lambda liquid, room: left((liquid / room).m_as("dimensionless")), "You took the volume of the liquid for that of the gas.")),
    between={"turns": lambda minutes, changes: changes * minutes.m / 60,
             "steady": lambda liquid, room, turns: share_of(liquid, room) / turns,
             "share": lambda steady, turns: steady * -math.expm1(-turns)},
    steps=("For ever it would come to {steady:3} of the air: gas an hour over fresh air an hour.",
           "Only {turns:3} air changes pass; of that level 1 less e to the minus {turns:3} is reached: {share:3}.",
           "Of {fresh} there is left {answer}, as a mean. Near the bowl it is less."),
    known=({"liquid": Q_(10, "L"), "minutes": Q_(30, "min"), "room": Q_(50, "m**3"), "changes": 1.0}, Q_(18.62, "percent"),
           "6.92 m³ in 0.5 h: 13.84 m³/h over 50 m³/h = 0.2768; 1 - exp(-0.5) = 0.3935; 0.10891; 20.9 x 0.89109 = 18.62"))


def _told_apart(share, turns):
    """Whether end, settled level and all at once differ by more than the tolerance, and the settled level exists."""
    end = share / turns * -math.expm1(-turns)
    return min(share - end, share / turns - end, abs(share / turns - share)) > 0.0105 and share / turns < 0.9


RECOVERY = Exercise(
    key="nitrogen-07", title="Back above the line",
    question="After a spill the mean of the room is {oxygen} oxygen; nobody is inside. The extract gives {changes} air changes an hour; fresh air has {fresh}. "
             "After how many minutes is the mean at {level} again?",
    givens={"oxygen": Draw(10, 18, 0.5, "percent"), "changes": Draw(2, 10, 1, ""), "level": WARN, "fresh": FRESH},
    fits=lambda oxygen: abs(math.log((20.9 - oxygen.m) / 1.4) - 1) > 0.08,
    solve=lambda oxygen, level, changes, fresh: rooms.recovery_time(oxygen, level, Q_(changes, "1/hour"), fresh),
    unit="min", within=0.02,
    slips=(Slip(lambda oxygen, level, changes: Q_(60 / changes * ((level - oxygen) / (FRESH - oxygen)).m_as("dimensionless"), "min"),
                "Not in proportion: fresh air carries off a share of what is left, less and less."),
           Slip(lambda changes: Q_(60 / changes, "min"), "One air change leaves more than a third of the bad air, and that may be too much or too little."),
           Slip(lambda oxygen, level, changes: Q_(60 / changes * math.log(level / oxygen), "min"),
                "The fan dilutes what is missing of fresh air's oxygen, not the oxygen.")),
    between={"now": lambda oxygen: (FRESH - oxygen).to("percent"), "then": lambda level: (FRESH - level).to("percent"),
             "folds": lambda now, then: math.log((now / then).m_as("dimensionless"))},
    steps=("Missing now {now:3}, missing at the line {then:3}: the logarithm of their ratio is {folds:3}.",
           "Over {changes} air changes an hour: {answer}.", "Nobody goes in by the clock: a monitor says it, at the floor too."),
    known=({"oxygen": Q_(16, "percent"), "changes": 2}, Q_(37.58, "min"), "4.9 / 1.4 = 3.5; ln 3.5 = 1.2528; / 2 per hour = 0.6264 h = 37.58 min"))

MISTAKES = {
    "Ten litres in thirty cubic metres: that is a third of a thousandth, the air stays at 20.89 %.": "liquid for gas",
    "A kilogram of it is a litre, like water: the scale says 4 kg, so the room gets the gas of 4 litres.": "kilograms for litres",
    "A lift holds 6.6 cubic metres, my dewar 5 L: under a thousandth of it.": "liquid for gas",
    "The sum asks for 4 kg, so I fill the jug to the mark for 4 litres.": "kilograms for litres",
    "We pour for ten minutes, so I put the level for a leak that never ends.": "steady state for a short release",
    "A minute's pour, but the air must be as bad as after a day of it, says my formula.": "steady state for a short release",
    "A bottle full to the brim and shut: n R T over V gives 701 bar.": "ideal gas in a full vessel",
    "Shut nine tenths full, by the gas law 630 bar.": "ideal gas in a full vessel",
    "The fan makes six air changes an hour: that is 6 m³ of fresh air an hour in our 50 m³.": "air changes for cubic metres",
    "The hood draws 100 m³ an hour, so the kitchen has 100 air changes an hour.": "air changes for cubic metres"}

FIND_THE_MISTAKE = Exercise(
    key="nitrogen-08", title="Find the mistake",
    question="Someone says: {said} What did they mix up?",
    givens={"said": Pick(tuple(MISTAKES))},
    solve=lambda said: MISTAKES[said],
    unit=("liquid for gas", "kilograms for litres", "steady state for a short release", "ideal gas in a full vessel", "air changes for cubic metres"),
    slips=(Slip("liquid for gas", "Ask whether they put litres of liquid over the room, where 692 times as much gas belongs."),
           Slip("kilograms for litres", "Ask whether a mass was read as a volume: a litre is 0.806 kg."),
           Slip("steady state for a short release", "Ask whether the level of a leak without end was taken for a pour that ends."),
           Slip("ideal gas in a full vessel", "Ask whether a gas law for thin gas was used where gas is as dense as liquid."),
           Slip("air changes for cubic metres", "Ask whether a fan is spoken of: air changes times the room's volume are cubic metres.")),
    steps=("Put a unit behind every number they used, and a time behind the release.", "Here it is: {answer}."),
    known=({"said": tuple(MISTAKES)[0]}, "liquid for gas", "0.010 m³ over 30 m³ = 0.00033; 20.9 x 0.99967 = 20.89"))

FOG = {"There is fog at the floor: cold nitrogen is there.": "true",
       "The fog is water of the air, not nitrogen you see.": "true",
       "The fog has gone, so the oxygen is back.": "false",
       "It is only water, so fog means no danger.": "false",
       "Without oxygen you gasp and notice it in time.": "false",
       "There is no fog: the oxygen at the floor is at 20 %.": "nobody can tell",
       "The fog reaches the knee: the oxygen at the nose is at 19 %.": "nobody can tell"}

FOG_SAYS = Exercise(
    key="nitrogen-09", title="What fog says",
    question="By what you see and feel alone: \"{said}\"",
    givens={"said": Pick(tuple(FOG))},
    solve=lambda said: FOG[said],
    unit=("true", "false", "nobody can tell"),
    slips=(Slip("true", "Fog is water that cold gas has frozen out of moist air: it shows where cold gas is, and no more."),
           Slip("false", "Think of what makes the fog: cold gas cools moist air until droplets form."),
           Slip("nobody can tell", "No figure was asked here: what fog is made of, and that nobody feels oxygen run out, is known.")),
    steps=("Fog marks cold nitrogen; dry air or warmed gas shows none. A figure comes from a monitor only.", "So: {answer}."),
    known=({"said": tuple(FOG)[2]}, "false", "nitrogen that has warmed shows no fog and holds no oxygen (common practice)"))


def _verdict(name):
    line = next(line for line in records("rooms_vessels") if line["vessel"] == name)
    try:
        rooms.accept_vessel(name)
    except rooms.Refused:
        return "it shuts and bursts" if line["shut"] == "yes" else "it may crack"
    return "made for it"


WHICH_VESSEL = Exercise(
    key="nitrogen-10", title="May it hold nitrogen?",
    question="Someone wants to carry liquid nitrogen in this: {vessel}. What do you say?",
    givens={"vessel": Pick(rooms.vessels())},
    solve=lambda vessel: _verdict(vessel),
    unit=("made for it", "it shuts and bursts", "it may crack"),
    slips=(Slip("made for it", "Only a vented dewar and an open insulated pouring vessel made for it hold it."),
           Slip("it shuts and bursts", "Look again: can gas always leave it?"),
           Slip("it may crack", "Before the material ask whether it can be shut: what is shut bursts.")),
    steps=("First: can it be shut, by a lid, a clip, a valve, ice? Then it bursts. Second: does its material stand the cold?", "So: {answer}."),
    known=({"vessel": "preserving jar"}, "it shuts and bursts", "its clip shuts it (common practice)"))

TO_ORDER = Exercise(
    key="nitrogen-11", title="From delivery to service",
    question="Service takes {needed}; filling and cooling the pouring vessels loses {transfer} of that again. The dewar stands {days} days, its maker "
             "says it loses {loss} litres a day; it is old: count double. How much must be delivered? The store holds {store} of air: its "
             "spill sum comes first, by the dewar's whole content.",
    givens={"store": Draw(40, 120, 10, "m**3"), "needed": Draw(4, 12, 1, "L"), "transfer": Draw(20, 60, 10, "percent"), "days": Draw(2, 7, 1, ""),
            "loss": Draw(0.3, 0.8, 0.1, "")},
    fits=lambda needed, transfer, days, loss: abs(needed.m * transfer.m / 100 - days * loss) > 0.4,
    solve=lambda needed, loss, days, transfer: nitrogen.to_order(needed, Q_(loss, "L/day"), Q_(days, "day"), transfer),
    unit="L", within=0.005,
    slips=(Slip(lambda pours, days, loss: pours + Q_(days * loss, "L"), "An old dewar loses twice what its maker says."),
           Slip(lambda needed, stands: needed + stands, "The pouring vessels must be cooled too: that nitrogen is gone."),
           Slip(lambda needed, stands, transfer: (needed + stands) * (1 + transfer),
                "The share lost on the way is of what is needed, not of what has boiled off.")),
    between={"pours": lambda needed, transfer: (needed * (1 + transfer)).to("L"), "stands": lambda days, loss: Q_(2 * days * loss, "L"),
             "oxygen": lambda pours, stands, store: rooms.rounded_down(rooms.oxygen_if_spilt(pours + stands, store))},
    steps=("With the way {pours:3 L}.", "Standing costs {stands:3 L}, counted double.",
           "Together {answer}. All of it counts as spilt where it stands: in {store} the oxygen falls to {oxygen:3}."),
    known=({"store": Q_(40, "m**3"), "needed": Q_(6, "L"), "transfer": Q_(50, "percent"), "days": 3, "loss": 0.5}, Q_(12, "L"),
           "6 x 1.5 = 9; 2 x 0.5 x 3 = 3; 12 L"))

DRY_ICE = Exercise(
    key="nitrogen-12", title="Dry ice has limits of its own",
    question="{mass} of dry ice is left in a closed cold room with {room} of air and all turns to gas, {per_kilogram} a kilogram. How much carbon dioxide is "
             "in the air then? Fresh air already holds 0.043 %.",
    givens={"mass": Draw(1, 5, 0.5, "kg"), "room": Draw(15, 50, 5, "m**3"), "per_kilogram": Q_(0.547, "m**3")},
    fits=lambda mass, room: mass.m / room.m <= 0.2,
    solve=lambda mass, room: rooms.carbon_dioxide_if_released(mass, room),
    unit="percent", within=0.01,
    slips=(Slip(lambda share: FRESH * share, "That is how far the oxygen falls. Carbon dioxide harms by itself, long before."),
           Slip(lambda mass, room: Q_(100 * mass.m * 0.692 / room.m, "percent"), "0.692 m³ is a litre of nitrogen. A kilogram of dry ice makes less gas."),
           Slip(lambda mass, room: Q_(100 * mass.m / room.m, "percent"), "Kilograms over cubic metres is no share: turn the mass into gas first.")),
    between={"gas": lambda mass, per_kilogram: mass.m * per_kilogram, "share": lambda gas, room: (gas / room).m_as("dimensionless")},
    steps=("{mass} make {gas:3 m**3} of gas, {share:3} of the room.", "With what fresh air holds: {answer}.",
           "The limits: 0.5 % for a working day, 3 % for a quarter of an hour, 4 % is immediately dangerous to life. The oxygen has hardly moved."),
    known=({"mass": Q_(1, "kg"), "room": Q_(30, "m**3")}, Q_(1.865, "percent"), "0.547 / 30 = 1.823 %; + 0.043 x 0.982 = 1.865 %"))

CUBE = Exercise(
    key="nitrogen-13", title="A cube of tape",
    question="Without nitrogen: show with tape on the floor, and a stick, the cube that {liquid} of liquid fills as gas, {ratio} to one. How long is its edge?",
    givens={"liquid": Draw(0.5, 10, 0.5, "L"), "ratio": RATIO},
    solve=lambda liquid, ratio: (rooms.gas_of_liquid(liquid) ** (1 / 3)).to("cm"),
    unit="cm", within=0.01,
    slips=(Slip(lambda liquid: (liquid ** (1 / 3)).to("cm"), "That is the liquid in its jug. The gas is 692 times as much."),
           Slip(lambda gas: Q_(100 * gas.m ** 0.5, "cm"), "That is a square. The cube root belongs here."),
           Slip(lambda gas: Q_(100 * gas.m / 3, "cm"), "The cube root is not a third.")),
    fits=lambda liquid: abs(liquid.m * RATIO / 1000 - 1) > 0.15 and abs(liquid.m * RATIO / 1000 - 27 ** 0.5) > 0.3,
    between={"gas": lambda liquid: (liquid * RATIO).to("m**3")},
    steps=("{liquid} make {gas:3 m**3}.", "Its cube root is {answer}.", "Stand inside it: that is air you would not have."),
    known=({"liquid": Q_(1, "L")}, Q_(88.5, "cm"), "0.692 m³; 0.885 x 0.885 x 0.885 = 0.693"))
