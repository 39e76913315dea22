"""Gels: what a dose gives. Strength against dose, grade and temperature; swapping grades; boiling off; a cube under a weight.

Three numbers are called strength and none turns into another: shear modulus (Pa: how it gives under a light touch), gel strength
(g/cm²: the load at which it breaks), Bloom (g on one plunger at 4 mm). Each is scaled only with itself. Dose is per cent of the
total mass everywhere.
"""
import numpy as np
from scipy.constants import g

from .mixes import Mix
from .tables import Row
from .units import OutOfRange, boundary, plain, record

POWER_LAW_FROM = 3.0             # multiples of the critical dose: below, the local slope is no longer that of the power law


def power_law_core(dose, reference, reference_dose, exponent):
    return reference * (dose / reference_dose) ** exponent


@boundary("kPa", dose="percent", reference="kPa", reference_dose="percent", exponent="",
          valid={"dose": (0.01, 20), "reference": (1e-3, 1e4), "reference_dose": (0.05, 20), "exponent": (1, 4)})
def power_law(dose, reference, reference_dose, exponent):
    """Strength at a dose from one known point: (c / c_ref) ** n times the strength there.

    Parameters
    ----------
    dose, reference_dose : scalar or array [percent of total mass], 0.01 to 20 and 0.05 to 20
    reference : shear modulus or breaking stress at the reference dose [kPa], 0.001 to 10,000
    exponent : pure number, 1 to 4; about 2 for most gels

    Returns
    -------
    same shape as dose [kPa]; modulus if reference is a modulus, breaking stress if it is one.

    Notes
    -----
    Good from about three times the critical dose upwards; below, use `threshold_law`.

    Source
    ------
    clark-ross-murphy-1985 for the limit; the law itself is common textbook matter (memory).
    """
    return power_law_core(dose, reference, reference_dose, exponent)


@boundary("kPa", dose="percent", factor="kPa", critical_dose="percent", exponent="",
          valid={"dose": (0, 20), "factor": (1e-3, 1e4), "critical_dose": (0.01, 5), "exponent": (1, 4)})
def threshold_law(dose, factor, critical_dose, exponent):
    """Strength near the critical dose: factor * ((c - c0) / 1 %) ** t above it, 0 at and below it.

    Parameters
    ----------
    dose, critical_dose : scalar or array [percent of total mass], 0 to 20 and 0.01 to 5
    factor : shear modulus one per cent above the critical dose [kPa], 0.001 to 10,000
    exponent : pure number, 1 to 4; measured 1.7 to 2.2

    Returns
    -------
    same shape as dose [kPa]

    Source
    ------
    ohkubo-1999, exponent about 1.9 for gelatin; joly-duhamel-2002, exponent 2.
    """
    return factor * (np.maximum(dose - critical_dose, 0.0) / 0.01) ** exponent


def _law(dose, reference, reference_dose, grade):
    """The power law, joined at three critical doses to the threshold law; whichever holds there passes through the reference point."""
    critical, n, t = grade.si("critical_dose"), grade.si("dose_exponent"), grade.si("threshold_exponent")
    if reference_dose <= critical:
        raise OutOfRange(f"{grade.key}: measured at {reference_dose:.2%}, but nothing sets up to critical_dose {critical:.2%}: "
                         "mend one of them")
    join = POWER_LAW_FROM * critical
    if reference_dose < join:
        at_join = reference * ((join - critical) / (reference_dose - critical)) ** t
    else:
        at_join = power_law_core(join, reference, reference_dose, n)
    factor = at_join / ((join - critical) / 0.01) ** t
    return np.where(dose >= join, power_law_core(dose, at_join, join, n), threshold_law.si(dose, factor, critical, t))[()]


@boundary("kPa", dose="percent", grade=Row, valid={"dose": (0.01, 10)})
def modulus(dose, grade):
    """Shear modulus of a set gel: how it gives under a light touch.

    Parameters
    ----------
    dose : scalar or array [percent of total mass], 0.01 to 10
    grade : Row with modulus, modulus_dose, dose_exponent, critical_dose, threshold_exponent; gelatin also bloom and modulus_bloom

    Returns
    -------
    same shape as dose [kPa], 0 at and below the critical dose; at 10 °C for gelatin
    Raises OutOfRange for a row measured at a dose at which nothing sets.

    Notes
    -----
    Power law from the row's own reference point; below three critical doses the threshold law, joined in value (not in slope).
    At one dose strength goes as Bloom, which is what the square-root rule says.

    Source
    ------
    `power_law`, `threshold_law`; the row names the source of each number.
    """
    reference = grade.si("modulus")
    if "bloom" in grade:
        reference = reference * grade.si("bloom") / grade.si("modulus_bloom")
    return _law(dose, reference, grade.si("modulus_dose"), grade)


@boundary("g_per_cm2", dose="percent", grade=Row, valid={"dose": (0.01, 10)})
def gel_strength(dose, grade):
    """The load per area at which a gel of this grade breaks, from the figure on its sheet.

    Parameters
    ----------
    dose : scalar or array [percent of total mass], 0.01 to 10
    grade : Row with gel_strength, gel_strength_dose (1.5 % on most agar sheets), dose_exponent, critical_dose, threshold_exponent

    Returns
    -------
    same shape as dose [g/cm²]; raises as `modulus`

    Notes
    -----
    The law and the exponent are those of the modulus; for agarose the strain at failure hardly depends on dose (normand-2000), so
    that breaking stress and modulus rise alike.

    Source
    ------
    `power_law`, `threshold_law`; normand-2000.
    """
    return _law(dose, grade.si("gel_strength"), grade.si("gel_strength_dose"), grade)


@boundary("", dose="percent", other_dose="percent", exponent="",
          valid={"dose": (0.01, 20), "other_dose": (0.01, 20), "exponent": (1, 4)})
def strength_ratio(dose, other_dose, exponent):
    """How many times as strong the other dose is: (c2 / c1) ** n. Both well above the critical dose.

    dose, other_dose [percent], 0.01 to 20; exponent 1 to 4; returns a pure number.  Source: the power law's ratio (own-derivation).
    """
    return (other_dose / dose) ** exponent


@boundary("percent", dose="percent", times="", exponent="", valid={"dose": (0.01, 20), "times": (0.01, 100), "exponent": (1, 4)})
def dose_for(dose, times, exponent):
    """The dose that makes the gel `times` as strong: c * times ** (1 / n); `strength_ratio` the other way round.

    dose [percent], 0.01 to 20; times 0.01 to 100; exponent 1 to 4; returns [percent].  Source: the power law's (own-derivation).
    Raises OutOfRange where that is more than 100 %.
    """
    return _possible("dose_for", dose * times ** (1 / exponent))


def _possible(who, dose):
    if np.any(dose > 1):
        raise OutOfRange(f"{who}: that would be {plain(100 * np.max(dose))} % of the batch: no dose makes it so strong by this law")
    return dose


@boundary("percent", dose="percent", bloom="Bloom", other_bloom="Bloom", exponent="",
          valid={"dose": (0.1, 20), "bloom": (50, 300), "other_bloom": (50, 300), "exponent": (1, 3)})
def swap_grade(dose, bloom, other_bloom, exponent):
    """The dose of another gelatin that sets as firm: c1 * (B1 / B2) ** (1 / n).

    Parameters
    ----------
    dose : [percent of total mass], 0.1 to 20
    bloom, other_bloom : of the gelatin in the recipe and of the one at hand [Bloom], 50 to 300
    exponent : of strength against dose, 1 to 3. 2 is the square-root rule, 1 the linear rule printed on packs.

    Returns
    -------
    [percent of total mass]

    Raises
    ------
    OutOfRange
        It is more than 100 %.

    Notes
    -----
    Same type, temperature, time and pH, well above 1 %. Measured series have n near 2; the linear rule over-corrects: the strength
    is then wrong by the factor B1 / B2.

    Source
    ------
    gelatin-producer-page (square-root form, read); general exponent: the same from the power law (own-derivation).
    """
    return _possible("swap_grade", dose * (bloom / other_bloom) ** (1 / exponent))


@boundary("", temperature="degC", melts="degC", shape="",
          valid={"temperature": (0, 40), "melts": (22, 40), "shape": (0.5, 3)})
def warmth_factor(temperature, melts, shape):
    """What is left of a gelatin gel's stiffness when it is warmer than 10 °C: ((Tm - T) / (Tm - 10)) ** p, 0 from Tm up.

    temperature, melts [degC], 0 to 40 and 22 to 40; shape 0.5 to 3; returns a pure number, 1 at 10 °C.

    Notes
    -----
    A shape from memory; one measured pair (20 and 4 °C, maiden-2015) gives p 1.4 to 1.8. Wide spread.

    Source
    ------
    A shape from memory; maiden-2015 for the pair.
    """
    return (np.maximum(melts - temperature, 0.0) / (melts - 283.15)) ** shape


@boundary("percent", pot=Mix, agent=Row, lost="percent", valid={"lost": (0, 60)})
def after_boiling(pot, agent, lost):
    """The dose after part of a pot's mass has boiled away as water. The agent stays, and all else.

    pot: Mix before; agent: Row of what sets it, one of its ingredients; lost: scalar or array [percent of the mass before], 0 to 60;
    returns [percent of the mass then].
    Raises OutOfRange where the pot holds less water than that.  Source: mass balance; the pot itself: `Mix.boiled`.
    """
    if np.any(lost * pot.kg > pot.si_known("water") * (1 + 1e-12)):
        raise OutOfRange("after_boiling: so much cannot boil away: the pot holds less water")
    return pot.si_share(agent.key) / (1 - lost)


Squash = record("Squash", small="percent", rubber="percent")


@boundary(Squash, load="g", side="mm", modulus="kPa", valid={"load": (0, 5000), "side": (2, 200), "modulus": (0.01, 1000)})
def squash(load, side, modulus):
    """How far a cube gives under a weight that covers its top.

    Parameters
    ----------
    load : mass laid on top [g], 0 to 5,000
    side : edge of the cube [mm], 2 to 200
    modulus : shear modulus of the gel [kPa], 0.01 to 1,000

    Returns
    -------
    small : strain by the small-strain formula, stress / (3 G) [percent]; past 20 % it no longer holds
    rubber : strain by rubber elasticity, stress = G (1 / q**2 - q) with q the height left [percent]

    Notes
    -----
    Loaded quickly (no water squeezed out, E = 3 G; slowly, agarose lets water go and gives more: ed-daoui-2021), top and bottom
    slippery, own weight left out. A food gel usually breaks somewhere past 20 to 40 % (agar 23 to 40 %, gellan 45 to 71 %:
    sharma-bhattacharya-2014).

    Source
    ------
    E = 3 G: thrimawithana-2010, normand-2000. Rubber elasticity in compression: treloar-1975 (memory).
    """
    stress = load * g / side ** 2
    return stress / (3 * modulus), _rubber_strain(stress / modulus)


def _rubber_strain(pull):
    """1 - q with 1 / q**2 - q = pull (stress over modulus, 0 or more): Cardano's largest root of x**3 = pull * x + 1 for x = 1 / q."""
    half = (0.5 + np.sqrt(0.25 - (pull / 3) ** 3 + 0j)) ** (1 / 3)
    return 1 - 1 / (half + pull / 3 / half).real


@boundary("percent", height="mm", modulus="kPa", density="kg/m**3",
          valid={"height": (1, 500), "modulus": (0.01, 1000), "density": (900, 1500)})
def sag(height, modulus, density):
    """Share of its height that a free-standing gel loses under its own weight: density * g * height / (2 * 3 G).

    height [mm], 1 to 500; modulus [kPa], 0.01 to 1,000; density [kg/m³], 900 to 1,500; returns [percent], small strains only.
    Source: mean stress is half that at the foot; E = 3 G (thrimawithana-2010).
    """
    return density * g * height / (6 * modulus)


@boundary("kPa", force="N", radius="mm", depth="mm", valid={"force": (0.001, 100), "radius": (0.5, 50), "depth": (0.1, 20)})
def plunger_modulus(force, radius, depth):
    """Shear modulus that a flat plunger's force hints at: F / (8 a d). An estimate, plus or minus half.

    force [N], 0.001 to 100; radius of the plunger [mm], 0.5 to 50; depth pushed in [mm], 0.1 to 20; returns [kPa].

    Notes
    -----
    A flat rigid punch on an endlessly wide and deep gel that keeps its volume; a Bloom cup is neither, and 4 mm is no small depth.
    This is the only bridge from Bloom to a modulus here, and it says so.

    Source
    ------
    sneddon-1965 (memory).
    """
    return force / (8 * radius * depth)


@boundary("kPa", load="g", radius="mm", valid={"load": (0, 5000), "radius": (0.5, 50)})
def plunger_pressure(load, radius):
    """Mean pressure under a flat plunger that carries a mass: m g / (pi a**2). What a gel strength in g/cm² means on your plunger.

    load [g], 0 to 5,000; radius of the plunger [mm], 0.5 to 50; returns [kPa].  Source: force over area.
    """
    return load * g / (np.pi * radius ** 2)


@boundary("leaf", dose="percent", batch="g", leaf=Row, valid={"dose": (0.05, 20), "batch": (10, 100000)})
def leaves(dose, batch, leaf):
    """How many leaves hold the gelatin for this batch: dose * batch / mass of a leaf.

    dose [percent of total mass], 0.05 to 20; batch (total) [g], 10 to 100,000; leaf: Row with leaf_mass; returns [leaves].
    Source: arithmetic; leaf masses are trade figures (memory), weigh your own.
    """
    return dose * batch / leaf.si("leaf_mass")


@boundary("g", gelatin="g", leaf=Row, valid={"gelatin": (0, 10000)})
def soaking_water(gelatin, leaf):
    """Water that soaked and wrung leaves carry into the pot: count it as part of the liquid.

    gelatin (dry) [g], 0 to 10,000; leaf: Row with soaking_uptake; returns [g].  Source: the row (memory: 4 to 6 times its mass).
    """
    return gelatin * leaf.si("soaking_uptake")
