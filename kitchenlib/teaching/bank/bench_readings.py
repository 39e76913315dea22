"""Exercises of lesson 50: reading a fit and its error, what one more reading is worth, and the laws turned round for a single reading."""
import math

from ... import bench, fits, gels, weighing
from ...units import Q_
from ..exercises import Draw, Exercise, Pick, Slip

STUDENT = {4: 4.30, 5: 3.18, 6: 2.78, 7: 2.57, 8: 2.45, 10: 2.31, 12: 2.23}     # readings, two numbers sought: Student's t for 95 % (jcgm-100-2008, table G.2)
GRAVITY = Q_(9.80665, "m/s**2")


def fitted(law, hold=None, **columns):
    """What a law's fit finds in these readings: {parameter: value}."""
    return fits.fit(bench.readings(bench.law(law), **columns), hold).values


# --- core --------------------------------------------------------------------------------------------------------------------------
READ_A_FIT = Exercise(
    key="bench-01", title="Read a fit and its error", minutes=3,
    question="A fit of {count} readings says: your exponent is {exponent} ± {error}, one standard error. Two numbers were sought, so Student's t for 95 % is "
             "{times:3}. Where does the 95 % range of the exponent begin?",
    givens={"count": Pick(tuple(STUDENT)), "exponent": Draw(1.6, 2.3, 0.1, ""), "error": Draw(0.1, 0.3, 0.05, "")},
    fits=lambda count, exponent, error: exponent > 2 * STUDENT[count] * error + 0.1,
    solve=lambda exponent, error, times: exponent - times * error,
    unit="", within=0.005,
    slips=(Slip(lambda exponent, error: exponent - error, "That is one standard error: the truth lies outside it about one time in three, with few readings "
                                                          "more often."),
           Slip(lambda exponent, error, times: exponent + times * error, "That is where it ends."),
           Slip(lambda far: far, "That is how far the range goes to one side. Where does it begin?")),
    between={"times": lambda count: STUDENT[count], "far": lambda error, times: times * error},
    steps=("To each side go t standard errors: {times:3} times {error} is {far:3}.", "{exponent} less {far:3} is {answer}.",
           "If 2 lies between that and as much above {exponent}, your exponent agrees with 2. Few readings make t large: three more narrow it twice over."),
    known=({"count": 5, "exponent": 1.8, "error": 0.1}, 1.482, "3.18 x 0.1 = 0.318; 1.8 - 0.318 = 1.482"))

TWO_CUPS = Exercise(
    key="bench-02", title="An exponent from two cups", minutes=4,
    question="Two cups of one agar: one of {low}, the other of {times} times that dose. The first breaks under {load}, the second under {firmer} times that "
             "load. Which power of the dose is that?",
    givens={"low": Pick(tuple(Q_(d, "percent") for d in (0.5, 0.8, 1.0))), "times": Pick((1.5, 2)), "load": Draw(120, 300, 10, "g"),
            "firmer": Draw(1.8, 4.6, 0.2, "")},
    fits=lambda times, firmer: 1.3 < math.log(firmer) / math.log(times) < 2.6 and abs((firmer - 1) / (times - 1) - firmer) > 0.1,
    solve=lambda low, high, load, more: fitted("gel strength", dose=Q_([low.m, high.m], "percent"), load=Q_([load.m_as("g"), more.m_as("g")], "g"),
                                               plunger=Q_(16, "mm"), reference_dose=low)["exponent"],
    unit="", within=0.015,
    slips=(Slip(lambda firmer, times: (firmer - 1) / (times - 1), "Growth over growth is a slope. For a power take the logarithms of both ratios."),
           Slip(lambda firmer: firmer, "So many times stronger. Which power of the doses' ratio is that?"),
           Slip(lambda firmer, times: math.log(times) / math.log(firmer), "Upside down: the strength follows the dose.")),
    between={"high": lambda low, times: (low * times), "more": lambda load, firmer: (load * firmer).to("g"), "up": lambda firmer: math.log(firmer),
             "along": lambda times: math.log(times)},
    steps=("The load grows {firmer} times while the dose grows {times} times.", "The logarithms are {up:4} and {along:4}; their quotient is {answer}.",
           "Two readings give two numbers and no error. A third tells how far to trust them."),
    known=({"low": Q_(1.0, "percent"), "times": 2, "load": Q_(200, "g"), "firmer": 3.6}, 1.848, "ln 3.6 = 1.28093; ln 2 = 0.69315; 1.28093 / 0.69315 = 1.848"))

HOW_MANY = Exercise(
    key="bench-03", title="How many readings?", minutes=3,
    question="{count} cups of one dose give the mean load with a standard error of {error}. You want that {times} times smaller. If all scatter alike, how "
             "many cups does it take in all?",
    givens={"count": Draw(5, 9, 1, ""), "error": Draw(12, 60, 12, "g"), "times": Pick((2, 3, 4))},
    solve=lambda count, times: count * times ** 2,
    unit="", within=0,
    slips=(Slip(lambda count, times: count * times, "The standard error falls with the root of the number of readings."),
           Slip(lambda count, times: count * (times ** 2 - 1), "Those are the cups still to make. How many in all?"),
           Slip(lambda times: times ** 2, "That is how many times as many. You had some already.")),
    steps=("The error is to be {times} times smaller. It goes with one over the root of the number.", "So {times} squared times as many: {answer}.",
           "Better than so many cups: a guide that keeps the plunger upright. Mend the scatter before you average it away."),
    known=({"count": 6, "error": Q_(24, "g"), "times": 2}, 24, "6 cups times 2 squared is 24 cups"))

OWN_FACTOR = Exercise(
    key="bench-04", title="Your kitchen's own factor", minutes=3,
    question="For one pot this module computed {computed} until it is cold enough; you measured {measured}. Tomorrow's larger pot is computed at {tomorrow}. "
             "What do you plan for it?",
    givens={"computed": Draw(40, 60, 5, "min"), "measured": Draw(48, 84, 2, "min"), "tomorrow": Draw(90, 150, 10, "min")},
    fits=lambda computed, measured: 1.15 < measured / computed < 1.6,
    solve=lambda computed, measured, tomorrow: tomorrow * fits.fit(bench.readings(bench.own_factor("min"), computed=computed,
        measured=measured)).values["factor"],
    unit="min", within=0.01,
    slips=(Slip(lambda computed, measured, tomorrow: tomorrow + measured - computed, "Ten minutes on a small pot are more than ten on a large one: it is a "
                                                            "factor, not a sum."),
           Slip(lambda computed, measured, tomorrow: tomorrow * computed / measured, "Which way? Yours is slower than computed."),
           Slip(lambda tomorrow: tomorrow, "That is the book's kitchen. Yours was slower.")),
    between={"factor": lambda computed, measured: (measured / computed).m_as("")},
    steps=("Yours over computed: {measured} / {computed} = {factor:4}.", "{tomorrow} times {factor:4} is {answer}.",
           "One reading makes a factor without an error: measure tomorrow's pot too, and keep the factor of both on the shelf."),
    known=({"computed": Q_(40, "min"), "measured": Q_(50, "min"), "tomorrow": Q_(90, "min")}, Q_(112.5, "min"), "50 / 40 = 1.25; 90 x 1.25 = 112.5"))


# --- further practice --------------------------------------------------------------------------------------------------------------
WHAT_THE_LAW_SAYS = Exercise(
    key="bench-05", title="What the law says",
    question="A fit says {strength} at 1.5 %, with an exponent of {exponent}. Under which load should a plunger of {plunger} break a cup of {dose}?",
    givens={"strength": Draw(400, 900, 50, "g_per_cm2"), "exponent": Draw(1.7, 2.2, 0.1, ""), "plunger": Draw(14, 22, 2, "mm"), "dose": Draw(0.7, 1.1, 0.1,
        "percent")},
    solve=lambda strength, exponent, area, dose: (gels.power_law_core(dose.m, 1.0, 1.5, exponent) * strength.m * area.m_as("cm**2")) * Q_(1, "g"),
    unit="g", within=0.02,
    slips=(Slip(lambda strength, share: strength.m * share * Q_(1, "g"), "That is for one square centimetre. How large is the plunger?"),
           Slip(lambda strength, dose, area: strength.m * dose.m / 1.5 * area.m_as("cm**2") * Q_(1, "g"), "The strength falls with a power of the dose, "
                                                            "faster than the dose."),
           Slip(lambda strength, area: strength.m * area.m_as("cm**2") * Q_(1, "g"), "That is at 1.5 %. Your cup is weaker.")),
    between={"share": lambda dose, exponent: (dose.m / 1.5) ** exponent, "area": lambda plunger: (math.pi * plunger ** 2 / 4).to("cm**2")},
    steps=("The dose is {dose} of 1.5 %; to the power {exponent} that is {share:4}.", "The plunger presses on {area:4}.", "{strength} times {share:4} times "
                                                            "{area:4}: {answer}."),
    known=({"strength": Q_(600, "g_per_cm2"), "exponent": 2.0, "plunger": Q_(16, "mm"), "dose": Q_(1.0, "percent")}, Q_(536.2, "g"),
           "(2/3) squared = 0.4444; area 3.1416 x 0.64 = 2.0106 cm²; 600 x 0.4444 x 2.0106 = 536.2"))

RATE_OF_A_FLASK = Exercise(
    key="bench-06", title="How well is the loss known?",
    question="A flask is weighed twice on a scale with steps of {step}, {time} apart. From the step alone, what is the standard uncertainty of the rate of "
             "loss, in g/min?",
    givens={"step": Pick(tuple(Q_(s, "g") for s in (1, 2, 5, 10))), "time": Draw(30, 360, 30, "min")},
    solve=lambda step, time: math.sqrt(2) * weighing.uncertainty(step) / time,
    unit="g/min", within=0.02,
    slips=(Slip(lambda single, time: single / time, "The rate is a difference of two readings: both count."),
           Slip(lambda single, time: 2 * single / time, "Independent readings do not simply add: the root of the sum of their squares."),
           Slip(lambda step, time: step / time, "A step is the whole width of what the display hides, not its standard uncertainty.")),
    between={"single": lambda step: (step / math.sqrt(12)).to("g"), "both": lambda single: math.sqrt(2) * single},
    steps=("One reading: {step} over the root of 12, {single:3 g}.", "Two of them: the root of 2 times that, {both:3 g}.", "Over {time} that is {answer}.",
           "Waiting twice as long halves it, and costs nothing."),
    known=({"step": Q_(5, "g"), "time": Q_(120, "min")}, Q_(0.017010, "g/min"), "5 / 3.4641 = 1.44338; times 1.41421 = 2.04124; / 120 = 0.017010"))

STIFFNESS = Exercise(
    key="bench-07", title="A plunger that sinks",
    question="A flat plunger of {plunger} sinks {depth} into a wide dish of gel under {load}. What is the gel's shear modulus, from force over 8 radius depth?",
    givens={"plunger": Draw(12, 24, 2, "mm"), "depth": Draw(0.6, 2.4, 0.2, "mm"), "load": Draw(20, 80, 10, "g")},
    solve=lambda plunger, depth, load: fitted("plunger", load=load, depth=depth, plunger=plunger)["modulus"],
    unit="kPa", within=0.015,
    slips=(Slip(lambda force, plunger, depth: force / (8 * plunger * depth), "The radius is half of the plunger's width."),
           Slip(lambda force, plunger, depth: force / GRAVITY * Q_(1, "m/s**2") / (4 * plunger * depth), "Grams are no force: a kilogram presses with 9.81 "
                                                            "newton."),
           Slip(lambda force, plunger, depth: 2 * force / (plunger * depth), "The 8 is missing.")),
    between={"force": lambda load: (load * GRAVITY).to("N"), "radius": lambda plunger: plunger / 2},
    steps=("{load} press with {force:4}.", "8 times {radius} times {depth}: divide the force by that, {answer}.",
           "It holds for a gel much deeper and wider than the plunger, sinking little."),
    known=({"plunger": Q_(20, "mm"), "depth": Q_(1.2, "mm"), "load": Q_(40, "g")}, Q_(4.086, "kPa"), "0.04 x 9.80665 = 0.392266 N; 8 x 0.01 x 0.0012 = "
                                                            "0.000096; 4086 Pa"))

TIME_CONSTANT = Exercise(
    key="bench-08", title="A pot's time constant",
    question="A stirred pot stands at {room}. It cools from {start} to {end} in {time}. What is its time constant?",
    givens={"room": Draw(18, 24, 2, "degC"), "start": Draw(80, 90, 2, "degC"), "end": Draw(40, 56, 2, "degC"), "time": Draw(20, 60, 10, "min")},
    solve=lambda room, start, end, time: fitted("cooling", time=Q_([0, time.m], "min"), temperature=Q_([start.m, end.m], "degC"),
        surroundings=room)["time_constant"],
    unit="min", within=0.01,
    slips=(Slip(lambda time, start, end: time / math.log(start.m_as("degC") / end.m_as("degC")), "Count both temperatures from the room's: it cools towards "
                                                            "that, not towards zero."),
           Slip(lambda time, fold: time * fold, "Divide the time by the logarithm."),
           Slip(lambda time, gap, rest: time / math.log10(gap / rest), "That is the logarithm to base 10; this law has the natural one.")),
    between={"gap": lambda start, room: start.m_as("degC") - room.m_as("degC"), "rest": lambda end, room: end.m_as("degC") - room.m_as("degC"),
             "fold": lambda gap, rest: math.log(gap / rest)},
    steps=("The pot was {gap} above the room and is {rest} above it.", "The natural logarithm of {gap} / {rest} is {fold:4}.", "{time} over {fold:4} is "
                                                            "{answer}: after so long 37 % of the difference is left."),
    known=({"room": Q_(22, "degC"), "start": Q_(86, "degC"), "end": Q_(54, "degC"), "time": Q_(30, "min")}, Q_(43.28, "min"), "64 / 32 = 2; ln 2 = 0.69315; "
                                                            "30 / 0.69315 = 43.28"))

MEANINGS = {"Loads lie above the law at both ends and below it in the middle.": "the law bends",
            "The first three temperatures lie above the curve, the next four below, the last three above.": "the law bends",
            "All shells lie within a few hundredths of the curve, now above, now below; only the one of two minutes is half as thick.": "one odd reading",
            "Seven yields lie near 84 %, and one at 48 %.": "one odd reading",
            "Readings lie now above, now below, none farther off than its neighbours.": "just scatter",
            "Eight residuals: +2, -3, +1, -1, +3, -2, -1, +1 g, and the scale shows steps of 2 g.": "just scatter"}

WHAT_IS_LEFT_OVER = Exercise(
    key="bench-09", title="What is left over",
    question="{said} What do these residuals say?",
    givens={"said": Pick(tuple(MEANINGS))},
    solve=lambda said: MEANINGS[said],
    unit=("just scatter", "one odd reading", "the law bends"),
    slips=(Slip("just scatter", "Scatter has no order and no single one that stands apart. Look once more."),
           Slip("one odd reading", "One reading must stand apart from all others. Is it one here?"),
           Slip("the law bends", "A law that bends leaves whole stretches above and whole stretches below. Is there such an order here?")),
    steps=("Look at the residuals along the axis before you look at any number.", "Is one apart from all? Then measure it again before you throw it out.",
           "Are there stretches above and below? Then the law is not quite theirs. Else it is scatter.", "Here it is {answer}."),
    known=({"said": "Seven yields lie near 84 %, and one at 48 %."}, "one odd reading", "one lies far off, and seven hold together: common practice"))

OWN_YIELD = Exercise(
    key="bench-10", title="A yield from the bench, with its error",
    question="Your fit says: juice yield {share} ± {error}, one standard error. You need {wanted} of juice and have planned {bought:4 kg} of trimmed "
             "produce. How much juice is missing if the yield is really two standard errors lower?",
    givens={"share": Draw(48, 66, 2, "percent"), "error": Draw(1, 3, 0.5, "percent"), "wanted": Draw(2, 6, 0.5, "kg")},
    solve=lambda bought, least, wanted: wanted - bought * least,
    unit="g", within=0.02,
    slips=(Slip(lambda bought, error: bought * error, "That is for one standard error. The question takes two."),
           Slip(lambda bought, least, wanted: wanted / least - bought, "That is the produce to buy on top. How much juice is missing?"),
           Slip(lambda bought, least: bought * least, "That is the juice you would have. How much is missing?")),
    between={"bought": lambda wanted, share: (wanted / share).to("kg"), "least": lambda share, error: share - 2 * error},
    steps=("Two standard errors lower is {least}.", "{bought:4 kg} then give {least} of themselves.", "From {wanted} that much is missing: {answer}.",
           "Buy for the lower yield where juice must not run out; what is left over makes a sorbet."),
    known=({"share": Q_(50, "percent"), "error": Q_(2.0, "percent"), "wanted": Q_(4.0, "kg")}, Q_(320, "g"), "4 / 0.5 = 8 kg; 8 x 0.46 = 3.68; 4 - 3.68 = "
                                                            "0.32"))

SHELL_TIME = Exercise(
    key="bench-11", title="From one cut sphere to a time",
    question="A sphere cut after {time} has a shell of {shell}. The shell goes as the root of the time. When is it {wanted}?",
    givens={"time": Draw(40, 120, 20, "s"), "shell": Draw(0.3, 0.6, 0.05, "mm"), "wanted": Draw(0.7, 1.2, 0.1, "mm")},
    fits=lambda shell, wanted: wanted / shell > 1.3,
    solve=lambda time, shell, wanted: (time * (wanted / fitted("shell", {"exponent": 0.5}, time=time, shell=shell)["shell_in_one_minute"]) ** 2 * (Q_(60,
        "s") / time)).to("s"),
    unit="s", within=0.02,
    slips=(Slip(lambda time, shell, wanted: time * (wanted / shell).m_as(""), "Twice the shell takes four times the time."),
           Slip(lambda time, shell, wanted: time * (wanted / shell).m_as("") ** 0.5, "You took the root. The shell is the root of the time, so the time is "
                                                            "its square."),
           Slip(lambda time, shell, wanted: time * (shell / wanted).m_as("") ** 2, "A thicker shell takes longer.")),
    between={"thicker": lambda shell, wanted: (wanted / shell).m_as("")},
    steps=("{wanted} over {shell} is {thicker:4} times as thick.", "The time goes with its square: {time} times {thicker:4} squared is {answer}.",
           "In a small sphere the last third goes differently: cut one more, later."),
    known=({"time": Q_(60, "s"), "shell": Q_(0.40, "mm"), "wanted": Q_(0.8, "mm")}, Q_(240, "s"), "twice as thick takes four times as long: 4 x 60"))
