"""Alginate before it meets calcium: how thick it is, how long it rests, what drips from a tip and whether that tends to be round.

A grade is the viscosity of its 1 % solution, from the supplier's sheet: it differs fiftyfold between products. Whether water or liquid
lets it wet at all is `calcium.wets`.
"""
import numpy as np
from scipy.constants import g

from . import drops, rules
from .tables import Row
from .units import OutOfRange, boundary, plain, record

_AIR = 1.2, 1.8e-5                                           # kg/m³, Pa·s
_WATER = 1e-3                                                # Pa·s at 20 °C
_SOL = {"viscosity": (1, 1e5), "density": (900, 1500)}


@boundary("mPa*s", dose="percent", temperature="degC", grade=Row, valid={"dose": (0.125, 1.5), "temperature": (2, 40)})
def viscosity(dose, temperature, grade):
    """Viscosity of an alginate solution at rest, from the 1 % figure on its sheet.

    Parameters
    ----------
    dose : of alginate [percent], 0.125 to 1.5
    temperature : [degC], 2 to 40; measured from 5 to 35
    grade : Row with one_percent_viscosity, viscosity_measured_at, viscosity_exponent, viscosity_per_degree

    Returns
    -------
    [mPa·s] in plain soft water; sugar adds, hard water adds more

    Notes
    -----
    (water + (sheet - water) * (c / 1 %)**n) * exp(-b (T - T of the sheet)), water 1 mPa·s, so that a thin mix is never thinner than water.
    n = 3, 2.5 to 3.4: a third up or down at 0.5 %. Shear makes it thinner (blender, syringe); a bubble feels this value. Our model: the
    source has another for each weed, good to 12 %.

    Source
    ------
    mancini-1996 for the range; biorheology-1992 for the exponent; the row.
    """
    warmth = np.exp(-grade.si("viscosity_per_degree") * (temperature - grade.si("viscosity_measured_at")))
    return warmth * (_WATER + (grade.si("one_percent_viscosity") - _WATER) * (dose / 0.01) ** grade.si("viscosity_exponent"))


# --- resting -----------------------------------------------------------------------------------------------------------------------
Clearing = record("Clearing", rigid="min", clean="min", reynolds="")
Bubble = record("Bubble", rigid="mm", clean="mm", reynolds="")
_DEPTH = (1, 1000)                                           # mm


def _rise(diameter, viscosity, density):
    """Speed of a bubble with a stiff skin [m/s] and its Reynolds number."""
    moving = drops.fall.si(diameter, _AIR[0] - density, viscosity, density)
    return -moving.speed, moving.reynolds


def _slow(who, diameter, reynolds):
    if np.any(reynolds > 1):
        raise OutOfRange(f"{who}: a bubble of {plain(1000 * np.max(diameter), 2)} mm rises at Reynolds number {plain(np.max(reynolds), 2)}, "
                         "above 1, where this ends: it is gone within seconds")


def _clean(viscosity):
    """How much faster a bubble is whose skin slides along: 1.5 in anything thicker than air."""
    at = 1e-4, -1000.0, viscosity
    return drops.clean_drop_speed.si(*at, _AIR[1]) / drops.stokes_speed.si(*at)


@boundary(Clearing, bubble="mm", depth="mm", viscosity="mPa*s", density="kg/m**3", valid={"bubble": (0.005, 5), "depth": _DEPTH, **_SOL})
def time_to_clear(bubble, depth, viscosity, density=None):
    """Minutes until bubbles of this size have risen out of a mix at rest.

    Parameters
    ----------
    bubble : diameter [mm], 0.005 to 5; from about 0.1 the eye sees them, and a pearl floats on them
    depth : of the mix [mm], 1 to 1,000: a flat tray clears sooner than a tall jug
    viscosity : at rest [mPa·s], 1 to 100,000
    density : of the mix [kg/m³], 900 to 1,500; left out: 1,010

    Returns
    -------
    rigid : with a skin stiff from protein or the alginate itself, the careful side [min]
    clean : with a skin that slides, as in a pure liquid [min]
    reynolds : of the rigid one, 1 at most

    Raises
    ------
    OutOfRange
        A bubble so large that another law holds: it is gone within seconds.

    Source
    ------
    `drops.fall`, `drops.clean_drop_speed`.
    """
    density = 1010.0 if density is None else density
    speed, reynolds = _rise(bubble, viscosity, density)
    _slow("time_to_clear", bubble, reynolds)
    return depth / speed, depth / (_clean(viscosity) * speed), reynolds


@boundary(Bubble, rest="min", depth="mm", viscosity="mPa*s", density="kg/m**3", valid={"rest": (0.1, 5000), "depth": _DEPTH, **_SOL})
def bubble_left(rest, depth, viscosity, density=None):
    """The largest bubble still on its way after a rest; `time_to_clear` the other way round.

    rest [min], 0.1 to 5,000; depth of the mix [mm], 1 to 1,000; viscosity at rest [mPa·s], 1 to 100,000; density [kg/m³], 900 to 1,500,
    1,010 if left out
    returns rigid and clean, diameters [mm], and the Reynolds number of the rigid one; all below these are still there too
    Raises OutOfRange where that bubble is too quick for this law.  Source: as `time_to_clear`.
    """
    density = 1010.0 if density is None else density
    speed = depth / rest
    diameter = np.sqrt(18 * viscosity * speed / ((density - _AIR[0]) * g))
    for _ in range(8):                                       # Stokes, then the drag law's small correction
        rising, reynolds = _rise(diameter, viscosity, density)
        diameter = diameter * np.sqrt(speed / rising)
    _slow("bubble_left", diameter, reynolds)
    return diameter, diameter / np.sqrt(_clean(viscosity)), reynolds


@boundary(Clearing, bubble="mm", depth="mm", dose="percent", temperature="degC", grade=Row,
          valid={"bubble": (0.005, 5), "depth": _DEPTH, **viscosity.valid})
def rest(bubble, depth, dose, temperature, grade):
    """How long an alginate base rests until bubbles of this size are out: `viscosity`, then `time_to_clear`.

    bubble [mm], 0.005 to 5; depth [mm], 1 to 1,000; dose [percent], 0.125 to 1.5; temperature [degC], 2 to 40; grade: Row as there;
    returns and raises as `time_to_clear`.  Source: as theirs.
    """
    return time_to_clear.si(bubble, depth, viscosity.si(dose, temperature, grade))


@boundary(record("_Stood", time="hour", temperature="degC"), time="hour", temperature="degC", valid={"time": (0, 72), "temperature": (0, 60)})
def _stood(time, temperature):
    """Time and temperature of a base that stands, time 0 to 72 h, temperature 0 to 60 °C.  Source: `hydration`."""
    return time, temperature


def hydration(time, temperature, place=""):
    """What a blended alginate base is after standing: 'wait', 'good enough', 'overnight, covered and cold' or 'too warm for so long'.

    time [hour], 0 to 72; temperature it stands at [degC], 0 to 60; place: whose cold-hold limit counts, the strictest known if left out.

    Common practice, no measurement: from 15 minutes after the blender it will do; 8 hours wet the last grains too, and then it stands
    in the cold, covered, as food. Past 2 hours above the place's cold limit the words are a warning, not a verdict: your authority's
    times decide (`rules.judge`).
    """
    stood = _stood(time, temperature)
    hours = stood.time.m
    if hours > 2 and stood.temperature > rules.holding_limit(place, "cold hold"):
        return "too warm for so long"
    return "wait" if hours < 0.25 else "good enough" if hours < 8 else "overnight, covered and cold"


# --- dripping ------------------------------------------------------------------------------------------------------------------------
_DRIPS = dict(diameter="mm", density="kg/m**3", tension="mN/m")
_DRIPS_VALID = {"diameter": (0.3, 20), "density": (900, 1500), "tension": (20, 80)}


@boundary("", viscosity="mPa*s", **_DRIPS, valid={"viscosity": (0.5, 1e5), **_DRIPS_VALID})
def ohnesorge(viscosity, diameter, density, tension):
    """Ohnesorge number of a drop, how far its thickness stills it: viscosity / sqrt(density * tension * diameter).

    viscosity [mPa·s], 0.5 to 100,000; diameter of the drop [mm], 0.3 to 20; density [kg/m³], 900 to 1,500; tension in air [mN/m], 20 to
    80; returns a pure number. Dripped beads came out round above 0.24 (chan-2009, abstract).  Source: ohnesorge-1936 (memory).
    """
    return viscosity / np.sqrt(density * tension * diameter)


Impact = record("Impact", speed="m/s", weber="")


@boundary(Impact, height="mm", **_DRIPS, valid={"height": (1, 1000), **_DRIPS_VALID})
def impact(height, diameter, density, tension):
    """How hard a drop lands: speed sqrt(2 g height), Weber number density * speed**2 * diameter / tension.

    height from tip to bath [mm], 1 to 1,000; diameter of the drop [mm], 0.3 to 20; density [kg/m³], 900 to 1,500; tension [mN/m], 20 to 80
    returns speed [m/s] and a pure number: far above 1 the blow outweighs the skin that holds it round. Air's drag left out.
    Source: free fall; the number's definition.
    """
    speed = np.sqrt(2 * g * height)
    return speed, density * speed ** 2 * diameter / tension


_TUNED = tuple(np.sqrt(2 * g * np.array([0.03, 0.10])))      # m/s from 3 and 10 cm, between which cooks begin to tune (memory)


def roundness(height, viscosity, diameter, density, tension, alginate):
    """What a dripped bead tends to be: 'tail', 'tear-drop', 'tear-drop or flat', 'flat' or 'round'. A tendency, no verdict: drip ten and look.

    height from tip to bath, as in `impact`; viscosity, diameter, density, tension as in `ohnesorge`; alginate: Row with rounds_above.

    Below 3 cm the tail has no time to draw in; a thin mix (Ohnesorge number below the row's) is pulled to a tear by the bath's skin, and
    from above 10 cm beaten flat. A thick one stands more: 20 cm at 2 % and 25 cm from an 8 mm tube are in print.
    Source: chan-2009 for the number and for three phases along the way; the heights are from memory.
    """
    thin = ohnesorge(viscosity, diameter, density, tension) < alginate.rounds_above
    lands = impact(height, diameter, density, tension).speed.m
    if lands < _TUNED[0]:
        return "tear-drop" if thin else "tail"
    if not thin:
        return "round"
    return "flat" if lands > _TUNED[1] else "tear-drop or flat"


@boundary("mm", tip="mm", tension="mN/m", density="kg/m**3", alginate=Row,
          valid={"tip": (0.1, 20), "tension": (20, 80), "density": (900, 1500)})
def bead(tip, tension, density, alginate):
    """The gelled bead of a tip: bead_factor * (6 tip * tension / (density g))**(1/3), the ideal drop less what hangs back and shrinks.

    tip: outer diameter [mm], 0.1 to 20; tension in air [mN/m], 20 to 80; density [kg/m³], 900 to 1,500; alginate: Row with bead_factor
    (its low and high are the result's); returns [mm]. What falls, before it gels, is `drops.drop`.
    Source: chan-2009 for the factor, abstract; the ideal drop is Tate's law.
    """
    return alginate.si("bead_factor") * (6 * tip * tension / (density * g)) ** (1 / 3)


@boundary("min", mass="g", diameter="mm", density="kg/m**3", tips="", rate="1/s",
          valid={"mass": (0, 1e5), "diameter": (0.3, 20), "density": (900, 1500), "tips": (1, 1000), "rate": (0.1, 50)})
def filling_time(mass, diameter, density, tips, rate):
    """Time to drip a batch: drops in it / (tips * drops a second of each).

    mass of mix [g], 0 to 100,000; diameter of the drop [mm], 0.3 to 20; density [kg/m³], 900 to 1,500; tips, 1 to 1,000; rate of one tip
    [1/s], 0.1 to 50 (by hand 2 to 4: common practice; faster it becomes a jet, `drops.jet_flow`)
    returns [min]: so much longer than the last has the first pearl been in the bath
    Source: counting, `drops.pearls_in`.
    """
    return drops.pearls_in.si(mass, diameter, density) / (tips * rate)
