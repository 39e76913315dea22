"""Acidity: weak acids, their salts, and pH by charge balance.

Every charge in the liquid is counted: hydrogen and strong ions (sodium, potassium) on one side, the acids' anions on the other. Acids are
rows (their pKa at 25 °C and ionic strength 0). In a real liquid charges shield each other and acids let go more easily: Davies' rule at a
set ionic strength, 0.1 mol/L unless told otherwise, as in fruit juice (its potassium and its acids' anions). 0 is the ideal textbook sum.
"""
import functools

import numpy as np

from . import mixes, tables
from .mixes import Mix
from .tables import Row
from .units import OutOfRange, Q_, boundary, plain, record

ACIDS = ("citric", "malic", "tartaric", "lactic", "acetic")
IONIC_STRENGTH = 100.0                                       # mol/m³
PKW = 13.995                                                 # 25 °C
ENDPOINT = 8.2                                               # where titrations of food are called done
_HELD = {name: "g/L" for name in ACIDS}
_HELD_VALID = {name: (0, 1000) for name in ACIDS}
_STRENGTH = dict(ionic_strength="mol/L")
_STRENGTH_VALID = {"ionic_strength": (0, 0.5)}
_PH = (1, 12)


# --- one acid ------------------------------------------------------------------------------------------------------------------------
def lowering(ionic_strength=None):
    """By how much the first pKa falls at an ionic strength [mol/m³]: Davies' 0.509 (root / (1 + root) - 0.3 I) at 25 °C; -log10 of the
    activity coefficient of a single charge.  Source: davies-1962, equation with 0.3 (memory)."""
    strength = (IONIC_STRENGTH if ionic_strength is None else ionic_strength) / 1000
    return 0.509 * (np.sqrt(strength) / (1 + np.sqrt(strength)) - 0.3 * strength)


@functools.lru_cache(64)
def _steps(acid):
    """pKa of a row, first proton first."""
    steps = [acid.si(name) for name in ("pka_1", "pka_2", "pka_3") if name in acid]
    if not steps:
        raise LookupError(f"{acid.key} has no pka_1 in the tables: take an acid that has, such as {ACIDS[0]} acid")
    return tuple(steps)


def _weights(acid, ph, ionic_strength):
    """(n + 1, ...) relative amounts of the acid with 0 ... n protons lost."""
    fall, ph = lowering(ionic_strength), np.asarray(ph, float)
    exponents, sofar = [np.zeros_like(ph + fall)], 0.0
    for lost, pka in enumerate(_steps(acid), 1):
        sofar = sofar + ph - pka + (2 * lost - 1) * fall    # a doubly charged anion is shielded four times as much
        exponents.append(sofar)
    exponents = np.array(exponents)
    return 10.0 ** (exponents - exponents.max(axis=0))


_ONE = dict(acid=Row, ph="", **_STRENGTH)
_ONE_VALID = {"ph": _PH, **_STRENGTH_VALID}


@boundary("percent", lost="", **_ONE, valid={"lost": (0, 3), **_ONE_VALID}, scalars=("lost",))
def share(acid, ph, lost, ionic_strength=None):
    """Share of an acid that has lost so many of its protons, of all of it.

    Parameters
    ----------
    acid : Row with pka_1 (and pka_2, pka_3)
    ph : scalar or array, 1 to 12
    lost : protons lost, a whole number from 0 (the whole acid, the one that tastes and preserves) to what the acid has, at most 3
    ionic_strength : [mol/L], 0 to 0.5; 0.1 if left out, 0 is ideal

    Returns
    -------
    same shape as ph [percent]

    Raises
    ------
    OutOfRange
        More protons than the acid has, or part of one.

    Source
    ------
    Mass action with Davies' activity coefficients (davies-1962); the row names where its constants are from.
    """
    weights = _weights(acid, ph, ionic_strength)
    if lost != int(lost) or lost >= len(weights):
        raise OutOfRange(f"share: lost = {plain(lost)}: {acid.key} can lose 0 to {len(weights) - 1} protons, whole ones")
    return weights[int(lost)] / weights.sum(axis=0)


@boundary("", **_ONE, valid=_ONE_VALID)
def charge(acid, ph, ionic_strength=None):
    """Average charge an acid carries, in protons lost: 0 for the whole acid, 3 for citrate stripped bare.

    acid: Row with pka_1; ph: scalar or array, 1 to 12; ionic_strength [mol/L], 0 to 0.5, 0.1 if left out; returns a pure number, shape of
    ph.  Source: as `share`.
    """
    weights = _weights(acid, ph, ionic_strength)
    return np.tensordot(np.arange(len(weights)), weights, 1) / weights.sum(axis=0)


Protonated = record("Protonated", salted="percent", saltless="percent")


@boundary(Protonated, acid=Row, ph="", valid={"ph": _PH})
def protonated(acid, ph):
    """Share of alginate's sugar acids that hold their hydrogen: the more, the less the chains repel each other, until they drop out.

    acid : Row with pka_1 and titration_spread, row('mannuronic acid') or row('guluronic acid'); ph : scalar or array, 1 to 12
    returns [percent] with salt about (a juice) and without any, where the chain's own charge holds the hydrogen back

    Notes
    -----
    pH = pKa + n log10(a / (1 - a)), a the share without hydrogen; n = 1 salted, the row's titration_spread without salt.

    Source
    ------
    kohn-1973, abstract; pKa of the single sugars.
    """
    pka, spread = acid.si("pka_1"), acid.si("titration_spread")
    return tuple(1 / (1 + 10.0 ** ((np.asarray(ph) - pka) / n)) for n in (1.0, spread))


# --- a liquid ------------------------------------------------------------------------------------------------------------------------
def acids_held(*grams):
    """[(row, mol/m³)] of the acids that are there, from their kg/m³ in the order of ACIDS."""
    rows = ((tables.row(f"{name} acid", own=False), amount) for name, amount in zip(ACIDS, grams) if amount is not None)
    return [(row, amount / row.si("molar_mass")) for row, amount in rows]


def _anions(held, ph, ionic_strength):
    return sum(amount * charge.si(acid, ph, ionic_strength) for acid, amount in held)


def _free(ph, ionic_strength):
    """Hydrogen less hydroxide, mol/m³: the meter reads activity, the balance counts amounts."""
    fall = lowering(ionic_strength)
    return 10 ** (3 - ph + fall) - 10 ** (3 + ph - PKW + fall)


def _missing(held, ph, ionic_strength):
    """Strong ions that the balance wants at this pH, mol/m³: `strong_ions` without the question whether it can be."""
    return _anions(held, ph, ionic_strength) - _free(ph, ionic_strength)


def _balanced(held, strong, ionic_strength, slope=0.0, slope_ph=7.0):
    """pH at which all charges cancel: their sum only falls as pH rises, so each round keeps one of 64 parts, the last a straight line."""
    def surplus(ph):
        return strong - _missing(held, ph, ionic_strength) + slope * (slope_ph - ph)
    low, width = np.full(np.shape(surplus(np.asarray(7.0))), -2.0), 18.0
    parts = np.linspace(0, 1, 65).reshape(65, *[1] * low.ndim)
    for _ in range(4):
        sums = surplus(low + width * parts)
        part = np.clip((sums > 0).sum(axis=0) - 1, 0, 63)
        low, width = low + width / 64 * part, width / 64
    above, below = (np.take_along_axis(sums, (part + n)[None], axis=0)[0] for n in (0, 1))
    return low + width * above / (above - below)


@boundary("", strong_ions="mmol/L", buffer="mmol/L", buffer_ph="", **_HELD, **_STRENGTH,
          valid={"strong_ions": (-2000, 5000), "buffer": (0, 5000), "buffer_ph": _PH, **_HELD_VALID, **_STRENGTH_VALID})
def ph(citric=None, malic=None, tartaric=None, lactic=None, acetic=None, strong_ions=None, buffer=None, buffer_ph=None, ionic_strength=None):
    """pH of water that holds weak acids, their salts, strong ions and a buffering food.

    Parameters
    ----------
    citric, malic, tartaric, lactic, acetic : each with all its salts, as the free acid, in a litre of the WATER PHASE [g/L], 0 to 1,000;
        what is left out is not there. Any of these may be arrays that fit each other.
    strong_ions : sodium and potassium less chloride, that is, base added or bound to the acids; below 0 a strong acid [mmol/L],
        -2,000 to 5,000; 0 if left out
    buffer : a food that takes up acid, per pH unit and litre of water phase [mmol/L], 0 to 5,000; see `buffer_from`
    buffer_ph : its own pH, 1 to 12; wanted with buffer
    ionic_strength : [mol/L], 0 to 0.5; 0.1 if left out, 0 is ideal

    Returns
    -------
    a pure number

    Raises
    ------
    OutOfRange
        The pH falls outside 1 to 12.
    ValueError
        A buffer without its pH.

    Notes
    -----
    hydrogen - hydroxide + strong ions + buffer * (buffer pH - pH) = sum of amount * average charge. A meter reads a juice or a vinegar
    0.1 to 0.5 above what its acid alone gives, because it holds potassium too: then ask `strong_ions` for it. 25 °C.

    Source
    ------
    Charge balance; constants as `share`. Ion product of water 13.995 (iapws-r11-2007, through the iapws library).
    """
    if (buffer is None) != (buffer_ph is None):
        raise ValueError("ph: buffer and buffer_ph go together: give how much acid the food takes up per pH, and its own pH")
    found = _balanced(acids_held(citric, malic, tartaric, lactic, acetic), 0.0 if strong_ions is None else strong_ions, ionic_strength,
                      *(() if buffer is None else (buffer, buffer_ph)))
    if np.any((found < _PH[0]) | (found > _PH[1])):
        bad = np.ravel(found)[np.argmax(np.abs(np.ravel(found) - 6.5))]
        raise OutOfRange(f"ph: it comes out at pH {plain(bad)}, outside 1 to 12: look at the amounts; strong acid and lye are no food")
    return found


_MEASURED = dict(from_ph="", **_HELD, **_STRENGTH)
_MEASURED_VALID = {"from_ph": _PH, **_HELD_VALID, **_STRENGTH_VALID}


def _measured(who, held, from_ph, ionic_strength):
    """Strong ions of a liquid by its measured pH; refused where its acids alone are not so sour."""
    if not any(np.any(np.asarray(amount) > 0) for _, amount in held):
        raise ValueError(f"{who}: say how much acid is in it (citric=Q_(8, 'g/L')): of the pH alone no dose can be worked out; "
                         "weigh titratable acidity in, see `acid_behind`")
    missing = _missing(held, from_ph, ionic_strength)
    if np.any(missing < -0.01):                              # mol/m³: two digits of a meter
        lowest = float(np.max(_balanced(held, 0.0, ionic_strength)))
        raise OutOfRange(f"{who}: pH {plain(np.min(from_ph))} is below what these acids reach by themselves, pH {plain(lowest)}: "
                         "measure again, or give all its acids")
    return missing


@boundary("mmol/L", **_MEASURED, valid=_MEASURED_VALID)
def strong_ions(from_ph, citric=None, malic=None, tartaric=None, lactic=None, acetic=None, ionic_strength=None):
    """Sodium and potassium (less chloride) that a liquid of known acids and measured pH must hold; `ph` the other way round.

    from_ph: measured, 1 to 12; acids as in `ph` [g/L], 0 to 1,000; ionic_strength [mol/L], 0 to 0.5; returns [mmol/L].
    Raises OutOfRange where the pH is below what these acids reach, ValueError without any acid.  Source: as `ph`.
    """
    return _measured("strong_ions", acids_held(citric, malic, tartaric, lactic, acetic), from_ph, ionic_strength)


def acids_in(mix):
    """{"citric": Q_(8, "g/L"), ...}: the acids of a Mix in a litre of all that is not fat, at 20 °C, ready for `ph(**acids_in(mix))`.

    Only acids that a food names: tables know the main ones of a juice, seldom all. Raises TypeError for what is no Mix, LookupError where
    no acid is known.  Source: mass balance; volumes by `mixes.component`.
    """
    if not isinstance(mix, Mix):
        raise TypeError(f"acids_in takes a Mix: write {Mix.made_by}")
    volume = mix.kg * sum(share / mixes.component("density", part, 293.15) for part, share in mixes.bulk(mix).items() if part != "fat")
    found = {name: mix.si_known(f"{name}_acid") / volume for name in ACIDS}
    if not any(found.values()):
        raise LookupError(f"no acid of {' or '.join(row.key for row in mix.parts)} is in the tables: titrate it, see `acid_behind`, or read "
                          "the label")
    return {name: Q_(grams, "g/L") for name, grams in found.items() if grams}


@boundary("mmol/L", mass="g", water="mL", food=Row, valid={"mass": (0, 1e6), "water": (1e-3, 1e9)})
def buffer_from(mass, water, food):
    """Acid that a food takes up per pH unit, in a litre of the water phase it stands in: mass * buffer_slope / water.

    mass of the food [g], 0 to 1,000,000; water: volume of the whole water phase, the food's own water in it [mL], 0.001 to 1,000,000,000;
    food: Row with buffer_slope (egg yolk); returns [mmol/L].  A straight line through one published recipe: pH good to 0.25.
    Source: the row.
    """
    return mass * food.si("buffer_slope") / water


# --- titratable acidity ----------------------------------------------------------------------------------------------------------------
def _burette(held, from_ph, endpoint, ionic_strength):
    end = ENDPOINT if endpoint is None else endpoint
    if np.any(np.asarray(from_ph) >= end):
        raise OutOfRange(f"titratable acidity: the liquid is at pH {plain(np.max(from_ph))}, past the end point {plain(np.min(end))}: "
                         "there is nothing to titrate")
    return _missing(held, end, ionic_strength) - _missing(held, from_ph, ionic_strength)


_TITRATED = dict(acid=Row, endpoint="", **_MEASURED)
_TITRATED_VALID = {"endpoint": (5, 10), **_MEASURED_VALID}


@boundary("g/L", **_TITRATED, valid=_TITRATED_VALID)
def titratable(from_ph, acid, citric=None, malic=None, tartaric=None, lactic=None, acetic=None, endpoint=None, ionic_strength=None):
    """Titratable acidity: base that brings the liquid to the end point, told as grams of one acid in a litre.

    Parameters
    ----------
    from_ph : measured, 1 to 12
    acid : Row the result is told as: citric for citrus and berries, malic for apple and pear, tartaric for grape
    citric, malic, tartaric, lactic, acetic : what is in it, salts included [g/L], 0 to 1,000, as in `ph`
    endpoint : pH at which it counts as done, 5 to 10; 8.2 if left out (phenolphthalein; wine in some countries 7.0)
    ionic_strength : [mol/L], 0 to 0.5; 0.1 if left out

    Returns
    -------
    [g/L] as `acid`; less than the acid that is in it, since the part bound to potassium is not titrated

    Raises
    ------
    OutOfRange
        The pH is below what these acids reach, or past the end point.

    Source
    ------
    Charge balance as `ph`; equivalent mass = molar mass / number of protons. End point: common practice, from memory.
    """
    held = acids_held(citric, malic, tartaric, lactic, acetic)
    _measured("titratable", held, from_ph, ionic_strength)
    return _burette(held, from_ph, endpoint, ionic_strength) * acid.si("molar_mass") / len(_steps(acid))


@boundary("g/L", acidity="g/L", from_ph="", acid=Row, endpoint="", **_STRENGTH,
          valid={"acidity": (0, 1000), "from_ph": _PH, "endpoint": (5, 10), **_STRENGTH_VALID})
def acid_behind(acidity, from_ph, acid, endpoint=None, ionic_strength=None):
    """Whole amount of acid, salts included, in a liquid of known titratable acidity and pH; `titratable` the other way round.

    Parameters
    ----------
    acidity : titratable acidity, told as `acid` [g/L], 0 to 1,000
    from_ph : measured, 1 to 12
    acid : Row; all of it is taken to be this acid
    endpoint : of the titration, 5 to 10; 8.2 if left out
    ionic_strength : [mol/L], 0 to 0.5; 0.1 if left out

    Returns
    -------
    [g/L], 0 where the hydrogen ions alone explain the titration: then the acid is a strong one

    Raises
    ------
    OutOfRange
        The liquid is past the end point.

    Source
    ------
    As `titratable`.
    """
    end = ENDPOINT if endpoint is None else endpoint
    base = acidity / acid.si("molar_mass") * len(_steps(acid)) - _burette((), from_ph, end, ionic_strength)
    taken = charge.si(acid, end, ionic_strength) - charge.si(acid, from_ph, ionic_strength)
    return np.maximum(base / taken, 0.0) * acid.si("molar_mass")


@boundary("g/L", base="mL", strength="mol/L", sample="mL", acid=Row, valid={"base": (0, 1000), "strength": (1e-4, 10), "sample": (0.1, 1000)})
def titrated(base, strength, sample, acid):
    """Titratable acidity from the burette: base * strength / sample * equivalent mass of the acid it is told as.

    base used [mL], 0 to 1,000; strength of the lye [mol/L], 0.0001 to 10; sample [mL], 0.1 to 1,000; acid: Row; returns [g/L].
    Source: stoichiometry; equivalent mass = molar mass / number of protons.
    """
    return base * strength / sample * acid.si("molar_mass") / len(_steps(acid))


@boundary("g/L", acidity="g/L", told_as=Row, wanted=Row, valid={"acidity": (0, 1000)})
def told_as_another(acidity, told_as, wanted):
    """Titratable acidity told as one acid -> the same acidity told as another, by equivalent mass (citric 64.04, malic 67.04 g).

    acidity [g/L], 0 to 1,000; told_as, wanted: Rows; returns [g/L].  Source: as `titrated`.
    """
    mass, other = (acid.si("molar_mass") / len(_steps(acid)) for acid in (told_as, wanted))
    return acidity * other / mass


# --- mending -------------------------------------------------------------------------------------------------------------------------
_DOSED = dict(to_ph="", salt=Row, **_MEASURED)
_DOSED_VALID = {"to_ph": (1, 7), **_MEASURED_VALID}


def _citrate(salt):
    """(citric acid, which the salt brings along stripped bare; grams of the salt to a mole of it). LookupError for another salt."""
    if "citrate_excess" not in salt:
        raise LookupError(f"{salt.key} is no sodium citrate: take row('trisodium citrate dihydrate')")
    return tables.row("citric acid", own=False), salt.si("molar_mass")


def dose_si(who, held, from_ph, to_ph, salt, ionic_strength):
    """Core of `citrate_for` on `acids_held`, for grids too [kg/m³]; refusals in the name of `who`."""
    if np.any(np.asarray(to_ph) < from_ph):
        raise OutOfRange(f"{who}: citrate raises pH: {plain(np.min(to_ph))} is below the {plain(np.max(from_ph))} it has; to lower it add acid")
    acid, mass = _citrate(salt)
    moved = _missing(held, to_ph, ionic_strength) - _missing(held, from_ph, ionic_strength)
    return moved / (3 - charge.si(acid, to_ph, ionic_strength)) * mass


@boundary("g/L", **_DOSED, valid=_DOSED_VALID)
def citrate_for(from_ph, to_ph, salt, citric=None, malic=None, tartaric=None, lactic=None, acetic=None, ionic_strength=None):
    """Trisodium citrate that brings a litre of sour liquid to a wanted pH.

    Parameters
    ----------
    from_ph : measured, 1 to 12
    to_ph : wanted, up to 7 and not below from_ph (1 to 7)
    salt : Row, trisodium citrate dihydrate
    citric, malic, tartaric, lactic, acetic : in the liquid, salts included [g/L], 0 to 1,000; from a titration by `acid_behind`
    ionic_strength : [mol/L], 0 to 0.5; 0.1 if left out; 0 gives the ideal dose, which is always too small

    Returns
    -------
    [g/L]; add two thirds, then measure: see `citrate_dose`

    Raises
    ------
    OutOfRange
        The pH is below what these acids reach, or the wanted one below the present one.
    ValueError
        No acid is given.

    Notes
    -----
    n = (sum of amount * (charge at the wanted pH - charge now) + hydrogen now - hydrogen then) / (3 - charge of citrate then). The
    liquid's own potassium is fixed by its pH and cancels; the volume of the salt is left out.

    Source
    ------
    own-derivation from the charge balance of `ph`; ideal values agree with a second solver, real ones (PHREEQC) are higher.
    """
    held = acids_held(citric, malic, tartaric, lactic, acetic)
    _measured("citrate_for", held, from_ph, ionic_strength)
    return dose_si("citrate_for", held, from_ph, to_ph, salt, ionic_strength)


FIRST = 2 / 3                                                # of the computed dose to weigh in before one measures: what is in stays in
CitrateDose = record("CitrateDose", first="g/L", ideal="g/L", davies="g/L", high="g/L")


@boundary(CitrateDose, **_DOSED, valid=_DOSED_VALID)
def citrate_dose(from_ph, to_ph, salt, citric=None, malic=None, tartaric=None, lactic=None, acetic=None, ionic_strength=None):
    """What to weigh first, and how far the dose of trisodium citrate may end up.

    Parameters as in `citrate_for`: from_ph, to_ph, salt, the acids [g/L], ionic_strength [mol/L].

    Returns
    -------
    first : two thirds of the computed dose: stir in, then measure [g/L]
    ideal : charges ignored, always too little [g/L]
    davies : the computed dose [g/L]
    high : with the salt's citrate_excess: sodium and citrate cling together, which no simple sum counts [g/L]

    Raises as `citrate_for`.  Source: there; citrate_excess is the row's, from PHREEQC runs.
    """
    held = acids_held(citric, malic, tartaric, lactic, acetic)
    _measured("citrate_dose", held, from_ph, ionic_strength)
    ideal, davies = (dose_si("citrate_dose", held, from_ph, to_ph, salt, strength) for strength in (0.0, ionic_strength))
    excess = salt.fact("citrate_excess")
    return davies * FIRST, ideal, davies, davies * (excess.value if excess.high is None else excess.high)


@boundary("g/L", from_ph="", to_ph="", salt=Row, valid={"from_ph": _PH, "to_ph": (1, 7)})
def citrate_by_ph_alone(from_ph, to_ph, salt):
    """The common mistake: citrate for a liquid taken to be a strong acid, as if its pH said how much acid is in it.

    from_ph, 1 to 12; to_ph, 1 to 7; salt: Row; returns [g/L]: 60 to 100 times too little for a juice, right for a drop of strong acid in
    water.  Ideal.  Raises OutOfRange where to_ph is below from_ph.  Source: `citrate_for` with no weak acid.
    """
    return dose_si("citrate_by_ph_alone", (), from_ph, to_ph, salt, 0.0)


@boundary("", citrate="g/L", salt=Row, **_MEASURED, valid={"citrate": (0, 200), **_MEASURED_VALID})
def ph_with_citrate(from_ph, citrate, salt, citric=None, malic=None, tartaric=None, lactic=None, acetic=None, ionic_strength=None):
    """pH after so much trisodium citrate; `citrate_for` the other way round.

    from_ph, measured, 1 to 12; citrate [g/L], 0 to 200; salt: Row; acids [g/L] and ionic_strength as in `ph`; returns a pure number.
    Raises as `citrate_for`.  Source: as there.
    """
    held = acids_held(citric, malic, tartaric, lactic, acetic)
    strong = _measured("ph_with_citrate", held, from_ph, ionic_strength)
    acid, mass = _citrate(salt)
    return _balanced([*held, (acid, citrate / mass)], strong + 3 * citrate / mass, ionic_strength)


@boundary("", to_ph="", **_MEASURED, valid={"to_ph": (1, 6.9), **_MEASURED_VALID})
def water_for(from_ph, to_ph, citric=None, malic=None, tartaric=None, lactic=None, acetic=None, ionic_strength=None):
    """Litres of pure water to a litre of sour liquid that bring it to a wanted pH: far more than one thinks.

    from_ph, measured, 1 to 12; to_ph, wanted, 1 to 6.9; acids [g/L] and ionic_strength as in `ph`; returns a pure number.
    Raises OutOfRange where the wanted pH is below the present one, and as `citrate_for`.

    Acid and potassium thin alike, so that the pH hardly moves: the left-over hydrogen then = thinning * (all that the acids would give up
    on the way). Tap water brings some bicarbonate and does a little more.  Source: own-derivation from the charge balance of `ph`.
    """
    held = acids_held(citric, malic, tartaric, lactic, acetic)
    strong = _measured("water_for", held, from_ph, ionic_strength)
    if np.any(np.asarray(to_ph) < from_ph):
        raise OutOfRange(f"water_for: water raises pH: {plain(np.min(to_ph))} is below the {plain(np.max(from_ph))} it has")
    return (_anions(held, to_ph, ionic_strength) - strong) / _free(to_ph, ionic_strength) - 1


@boundary("", water="", **_MEASURED, valid={"water": (0, 1e6), **_MEASURED_VALID})
def ph_diluted(from_ph, water, citric=None, malic=None, tartaric=None, lactic=None, acetic=None, ionic_strength=None):
    """pH of a litre of sour liquid with so many litres of pure water; `water_for` the other way round.

    from_ph, measured, 1 to 12; water, litres to one of liquid, 0 to 1,000,000; acids [g/L] and ionic_strength as in `ph`; returns a pure
    number.  Raises as `citrate_for`.  Source: as `ph`.
    """
    held = acids_held(citric, malic, tartaric, lactic, acetic)
    strong = _measured("ph_diluted", held, from_ph, ionic_strength)
    return _balanced([(acid, amount / (1 + water)) for acid, amount in held], strong / (1 + water), ionic_strength)
