"""Difficult liquids: will this one make spheres straight, with citrate, thinned, the other way round, or not with alginate at all?

Three things decide. Acid: below the pKa of alginate's sugar acids the chains lose their charge and drop out. Calcium: what is free in the
liquid sets the alginate in the blender. Alcohol and sugar: they take the water it needs. Each limit is a band, most of them judgements
(rows of datasets/properties/liquids.csv, each open to your own); where bands overlap the verdict is 'try 50 g first'.
"""
import contextlib
import functools
from typing import NamedTuple

import numpy as np

from . import acidity, calcium as salts, spheres, tables
from .acidity import ACIDS
from .mixes import Mix
from .spread import Spread
from .tables import Row
from .units import Q_, boundary, one_of, plain, record, show

VERDICTS = ("direct", "adjust with citrate", "dilute", "reverse", "agar in cold oil", "try 50 g first")
DIRECT, ADJUST, DILUTE, REVERSE, AGAR, TRY = range(len(VERDICTS))
LITTLE = 1.1                                                 # water under a tenth is not worth advising: every band is wider
KINDS = ("fruit juice", "vegetable juice", "sweet dairy", "soured dairy", "plant milk", "fortified drink", "drinking water", "alcoholic drink")
CHLORINE, SODIUM = 0.035453, 0.022990                        # kg/mol
THICKENS, SETS = salts.BANDS[1][0], salts.BANDS[2][0]        # calcium to one guluronate


def _band(row, name):
    """low, value, high of a row, SI; three times the value where it is your own and has no spread."""
    return _ends(row.fact(name))


def _shipped(key):
    return tables.row(key, own=False)


@functools.lru_cache(256)
def _ends(fact):
    numbers = (fact.value if end is None else end for end in (fact.low, fact.value, fact.high))
    return tuple(float(x.to_base_units().m) if hasattr(x, "to_base_units") else float(x) for x in numbers)


# --- acid ----------------------------------------------------------------------------------------------------------------------------
def edge():
    """(low, high) pH between which alginate begins to drop out: the pKa of its two sugar acids, mannuronic and guluronic."""
    return tuple(_shipped(f"{name} acid").si("pka_1") for name in ("mannuronic", "guluronic"))


def ph_band(ph):
    """What a pH means for alginate: 'drops out', 'may drop out', 'risky', 'works, a little thick' or 'fine'.

    ph: a pure number, 1 to 12. The first two lines are the pKa of the sugar acids (hydrocolloids-alginates), 4 and 5 are judgements.
    """
    acidity.protonated(_shipped("guluronic acid"), ph)                # refuses what is no pH
    low, high = edge()
    lines = ((low, "drops out"), (high, "may drop out"), (4, "risky"), (5, "works, a little thick"))
    return next((word for end, word in lines if ph < end), "fine")


# --- calcium ---------------------------------------------------------------------------------------------------------------------------
FreeBand = record("FreeBand", low="mg/L", calcium="mg/L", high="mg/L")


@boundary(FreeBand, calcium="mg/kg", kind=Row, valid={"calcium": (0, 50000)})
def free(calcium, kind):
    """What alginate finds free of all the calcium a food table prints: a wide band by the kind of liquid.

    calcium: total [mg/kg], 0 to 50,000; kind: Row with free_calcium_share, see KINDS; returns low, calcium and high [mg/L].
    The shares of juices are fitted to what kitchens do, so that kitchens cannot check them. A litre is taken as a kilogram.
    Source: the row.
    """
    return tuple(1000 * calcium * share for share in _band(kind, "free_calcium_share"))


Shell = record("Shell", least="percent", likely="percent")


@boundary(Shell, citrate="mmol/L", ph="", calcium="mmol/L", dose="percent", alginate=Row,
          valid={"citrate": (0, 500), "ph": (1, 12), "calcium": (0.5, 1000), "dose": (0.1, 3)})
def shell_beside_citrate(citrate, ph, calcium, dose, alginate):
    """Thickness of a direct shell beside that without citrate: what citrate holds of the bath's calcium does not set alginate.

    Parameters
    ----------
    citrate : all in the liquid, its own and what was added [mmol/L], 0 to 500
    ph : of the liquid, 1 to 12
    calcium : of the bath [mmol/L], 0.5 to 1,000
    dose : of alginate [percent], 0.1 to 3; alginate : Row with uronate_mass, calcium_binding

    Returns
    -------
    least : every citrate takes a calcium (a lower end, right near pH 7) [percent]
    likely : citrate takes what mass action gives it at this pH and the bath's calcium [percent]

    Notes
    -----
    Flat front, citrate lying still: `spheres.front_constant` of bath / (binding + citrate held), over that without. In truth citrate
    also swims out, and the constant spans a factor of 4.

    Source
    ------
    own-derivation from `spheres.front_constant` and `calcium.together`, minteq-v4.
    """
    capacity = spheres.binding_capacity.si(dose, alginate)
    constant = _pull(ph, None)
    plain_front = spheres.front_constant.si(calcium / capacity)
    held = citrate * constant * calcium / (1 + constant * calcium)
    return tuple(spheres.front_constant.si(calcium / (capacity + taken)) / plain_front for taken in (citrate, held))


def _pull(ph, ionic_strength):
    """Calcium held per free calcium and citrate, m³/mol: read off `calcium.beside_citrate` where calcium is next to nothing."""
    trace = 1e-9
    left, _ = salts.beside_citrate.si(trace, 1.0, ph, _shipped("citric acid"), ionic_strength)
    return trace / left - 1                                  # beside 1 mol/m³ of citrate


# --- verdict ---------------------------------------------------------------------------------------------------------------------------
Judged = record("Judged", code="", low="mg/L", calcium="mg/L", high="mg/L", citrate="g/L", water="")
_JUDGED = dict(ph="", calcium="mg/kg", kind=Row, dose="percent", alginate=Row, **{name: "g/L" for name in ACIDS}, alcohol="percent",
               sugar="percent", salt=Row, method=Row)
_JUDGED_VALID = {"ph": (1, 12), "calcium": (0, 50000), "dose": (0.1, 2), **{name: (0, 1000) for name in ACIDS}, "alcohol": (0, 100),
                 "sugar": (0, 100)}


@boundary(Judged, **_JUDGED, valid=_JUDGED_VALID)
def judged(ph, calcium, kind, dose, alginate, citric=None, malic=None, tartaric=None, lactic=None, acetic=None, alcohol=None, sugar=None,
           salt=None, method=None):
    """The verdict in numbers, for one liquid or a whole grid; `verdict` says it in words.

    Parameters
    ----------
    ph : measured, 1 to 12, scalar or array
    calcium : total [mg/kg], 0 to 50,000, scalar or array that fits ph
    kind : Row with free_calcium_share, see KINDS
    dose : of alginate [percent], 0.1 to 2; alginate : Row with uronate_mass, guluronic_share
    citric, malic, tartaric, lactic, acetic : in the liquid, salts included [g/L], 0 to 1,000; without any no dose of citrate is worked out
    alcohol, sugar : [percent by mass], 0 to 100; none if left out
    salt : Row with taste_limit, citrate_excess; method : Row with ph_wanted, water_limit, alcohol_limit, sugar_limit;
        if left out trisodium citrate dihydrate and direct spheres as shipped; hand in your shelf's where it has them

    Returns
    -------
    code : place in VERDICTS
    low, calcium, high : free calcium, after the citrate where some is advised [mg/L]
    citrate : to add to a litre of the liquid, thinned where it is to be thinned [g/L]; 0 where none, nan where it cannot be told
    water : litres to one of liquid where dilution is advised, else 0

    Notes
    -----
    Acid and calcium are judged apart, then the worse holds: reverse, then try, then dilute, then adjust. Acid: nothing from guluronic's
    pKa up; below it citrate to ph_wanted, the dose by Davies times citrate_excess; more than the taste bears is thinned as far as
    water_limit allows. Calcium: fine where the middle is at most 0.12 a guluronate and the high end at most 0.25 (60 and 125 mg/L at
    0.5 %); hopeless where even the low end passes 0.12. Citrate takes a part of the free calcium: `calcium.beside_citrate`.
    Water under a tenth is not advised. Where alcohol or sugar stands between its low and high end, or citrate thinned as far as the dish
    bears may still be tasted, the verdict is to try.

    Source
    ------
    Judgement on acidity (hydrocolloids-alginates), `acidity.citrate_dose`, `calcium.per_guluronate` (fang-2007); limits are the rows'.
    """
    salt = _shipped("trisodium citrate dihydrate") if salt is None else salt
    method = _shipped("direct spheres") if method is None else method
    ph, calcium = np.asarray(ph, float), np.asarray(calcium, float)
    most = 1 + _band(method, "water_limit")[1]
    held = acidity.acids_held(citric, malic, tartaric, lactic, acetic)

    # acid
    low_edge, high_edge = edge()
    wanted, sour = _band(method, "ph_wanted")[1], ph < high_edge
    taste_low, _, taste_high = _band(salt, "taste_limit")
    if held:
        gap = np.minimum(ph, wanted)
        citrate = np.where(sour, acidity.dose_si("judged", held, gap, wanted, salt, None) * _band(salt, "citrate_excess")[1], 0.0)
        thin = np.maximum(citrate / taste_low, 1.0)
        by_acid = np.select([~sour, thin < LITTLE, thin <= most, citrate > taste_high * most], [DIRECT, ADJUST, DILUTE, REVERSE], TRY)
    else:
        citrate, thin = np.where(sour, np.nan, 0.0), np.ones_like(ph)
        by_acid = np.select([~sour, ph < low_edge], [DIRECT, REVERSE], TRY)

    # calcium
    ends = [1000 * calcium * share for share in _band(kind, "free_calcium_share")]
    if held and np.any(sour):                                # only what citrate changes: its own hold on the calcium is in the share
        own = sum(amount for acid, amount in held if acid.key == "citric acid")
        acid, total, gone = _shipped("citric acid"), 1000 * calcium / salts.CALCIUM, citrate / salt.si("molar_mass")
        after, before = (salts.beside_citrate.si(total, own + more, at, acid, None)[1]
                         for more, at in ((gone, np.where(sour, wanted, ph)), (0.0, ph)))
        ends = [end * after / before for end in ends]
    per = [salts.per_guluronate.si(end, dose, alginate) for end in ends]
    needed = np.maximum(np.maximum(per[1] / THICKENS, per[2] / SETS), 1.0)
    by_calcium = np.select([needed < LITTLE, needed <= most, per[0] > THICKENS], [DIRECT, DILUTE, REVERSE], TRY)

    # alcohol and sugar
    codes = [*np.broadcast_arrays(by_acid, by_calcium)]
    code = np.full(codes[0].shape, DIRECT)
    for worse in (ADJUST, DILUTE, TRY, REVERSE):
        code = np.where((codes[0] == worse) | (codes[1] == worse), worse, code)
    alcohol, sugar = (0.0 if x is None else x for x in (alcohol, sugar))
    (some, _, much), (_, hopeless, _) = _band(method, "alcohol_limit"), _band(_shipped("reverse spheres"), "alcohol_limit")
    sweet, _, syrup = _band(method, "sugar_limit")
    code = np.where((np.asarray(sugar) > sweet) & (code != REVERSE), np.where(np.asarray(sugar) > syrup, DILUTE, TRY), code)
    code = np.select([np.asarray(alcohol) > hopeless, np.asarray(alcohol) > much, (np.asarray(alcohol) > some) & (code != REVERSE)],
                     [AGAR, REVERSE, TRY], code)
    thinned = np.maximum(np.maximum(thin, needed), np.where(np.asarray(sugar) > syrup, np.asarray(sugar) / sweet, 1.0))
    water = np.where(code == DILUTE, thinned - 1, 0.0)
    citrate = np.where((code == REVERSE) | (code == AGAR), 0.0, citrate / (1 + water))
    return code + 0.0, *ends, citrate, water


class Verdict(NamedTuple):
    """What to do with a liquid, and why."""
    word: str                    # one of VERDICTS
    reason: str                  # one sentence
    band: str                    # what its pH means for alginate
    free: Spread                 # calcium that alginate finds free, after the citrate [mg/L]
    citrate: object              # to add [g/L], in the liquid as thinned; None where none is advised or it cannot be told
    water: object                # litres to one of liquid, None where none is advised

    def __str__(self):
        return f"{self.word}: {self.reason}"


def verdict(ph, calcium, kind, dose, alginate, **more):
    """What to do with a liquid -> Verdict; arguments and errors of `judged`, one liquid at a time.

    Teaching, not clearance: measure the pH of your own liquid, and try 50 g before you make the batch.
    """
    found = judged(ph, calcium, kind, dose, alginate, **more)
    if np.size(found.code) != 1:
        raise ValueError("verdict: one liquid at a time; for many take judged or chart")
    word, band = VERDICTS[int(found.code)], ph_band(ph)
    ends = Spread(found.low, found.calcium, found.high)
    citrate = found.citrate if found.citrate.m > 0 else None               # nan is not above 0 either
    water = float(found.water) or None
    return Verdict(word, _reason(int(found.code), ph, band, ends, citrate, water, dose, alginate, **more), band, ends, citrate, water)


def _reason(code, ph, band, ends, citrate, water, dose, alginate, alcohol=None, sugar=None, salt=None, method=None, **acids):
    """One sentence."""
    limit, sets = (salts.calcium_at(ratio, dose, alginate) for ratio in (THICKENS, SETS))
    there = f"{plain(ends.low.m, 2)} to {show(ends.high, 2)} of free calcium"
    heavy, sour = ends.mid > LITTLE * limit or ends.high > LITTLE * sets, ph < edge()[1]
    method = _shipped("direct spheres") if method is None else method

    def passes(amount, name, end):
        return amount is not None and amount.m_as("percent") > 100 * _band(method, name)[end]
    if code == DIRECT:
        close = ", though it is close: make 50 g first" if band == "risky" else f" ({band})"
        return f"at pH {plain(ph, 2)} alginate stays dissolved{close}, and {there} leave it liquid."
    if code == ADJUST:
        salt = _shipped("trisodium citrate dihydrate") if salt is None else salt
        noticed, first = citrate.m_as("kg/m**3") > _band(salt, "taste_noticed")[1], citrate * acidity.FIRST / _band(salt, "citrate_excess")[1]
        return (f"pH {plain(ph, 2)} is too sour for alginate, and about {show(citrate, 2)} of citrate mends it"
                f"{', just to be tasted' if noticed else ''}: {show(first, 2)} first, then measure.")
    if code == DILUTE:
        cause = (f"{show(sugar, 2)} of sugar takes the water that alginate needs" if passes(sugar, "sugar_limit", 2)
                 else f"{there} thicken it: about {show(limit, 2)} is what it bears" if heavy else "undiluted the citrate it needs would be tasted")
        return f"{cause}; put {plain(water, 2)} L of water to a litre{f', then {show(citrate, 2)} of citrate' if citrate is not None else ''}."
    if code == AGAR:
        return f"{show(alcohol, 2)} of alcohol drops alginate out, inside and in the bath: set it with agar, dissolved in the water part, in cold oil."
    if code == REVERSE:
        cause = (f"{show(alcohol, 2)} of alcohol drops alginate out" if passes(alcohol, "alcohol_limit", 2)
                 else f"{there} would set it in the blender" if not sour or ends.low > limit else f"at pH {plain(ph, 2)} alginate drops out, and "
                 + ("the citrate to mend it would be all one tastes" if any(x is not None for x in acids.values())
                    else "how much citrate would mend it only a titration tells"))
        return f"{cause}; so the calcium goes into the liquid and the alginate into the bath."
    cause = (f"{show(alcohol, 2)} of alcohol is at the limit of what alginate bears" if passes(alcohol, "alcohol_limit", 0)
             else f"{show(sugar, 2)} of sugar is at the limit of what alginate bears" if passes(sugar, "sugar_limit", 0)
             else f"{there} may or may not set it in the blender" if heavy
             else f"the {show(citrate, 2)} of citrate it needs may be tasted even thinned" if citrate is not None
             else f"pH {plain(ph, 2)} lies where alginate may drop out, and without its acid no dose of citrate can be told")
    return f"{cause}: measure, try 50 g, and keep the reverse way ready."


def verdict_of(liquid, dose, alginate, ph=None, kind=None, **more):
    """`verdict` of a food's Row or of a Mix: calcium, acids, alcohol and sugars from the tables; what you give yourself goes first.

    liquid: Row with calcium, liquid_kind (or give kind: Row) and ph (or give ph=3.6, as measured), or a Mix with both given;
    dose [percent], alginate: Row; more as in `judged`. A row's acids are taken per litre at 1.04 kg/L, a Mix's by `acidity.acids_in`.
    Raises LookupError where the tables lack something, TypeError for a Mix without its pH and kind.
    """
    if isinstance(liquid, Mix):
        if ph is None or kind is None:
            raise TypeError("verdict_of: of a mix measure the pH and say what kind it is: ph=3.6, kind=row('fruit juice')")
        amount, facts = liquid.share("calcium"), {name: liquid.share(name + s) for name, s in (("alcohol", ""), ("sugar", "s"))}
        with contextlib.suppress(LookupError):               # no acid known: no dose is told
            facts.update(acidity.acids_in(liquid))
    else:
        amount, facts = liquid.fact("calcium").value, {name: Q_(1040 * liquid.si(f"{name}_acid"), "g/L") for name in ACIDS if f"{name}_acid" in liquid}
        facts.update({name: liquid.fact(column).value for name, column in (("alcohol", "alcohol"), ("sugar", "sugars")) if column in liquid})
        ph = float(liquid.fact("ph").value) if ph is None else ph
        kind = _shipped(liquid.fact("liquid_kind").value) if kind is None else kind
    return verdict(ph, amount, kind, dose, alginate, **{**facts, **more})


def chart(kind, dose, alginate, phs=None, calciums=None, **more):
    """The map: verdicts over pH and calcium -> (pH (n,), calcium [mg/kg] (m,), codes (m, n), whole numbers that point into VERDICTS).

    kind, dose, alginate, acids and the rest as in `judged`; phs: array, 2 to 7 in 101 steps if left out; calciums: quantity, 1 to 2,000
    mg/kg in 61 equal ratios. The acids stay what they are while pH moves: a liquid of that acid with more or less potassium.
    """
    phs = np.linspace(2, 7, 101) if phs is None else np.asarray(phs, float)
    calciums = Q_(np.geomspace(1, 2000, 61), "mg/kg") if calciums is None else calciums
    found = judged(phs[None, :], Q_(calciums.m[:, None], calciums.units), kind, dose, alginate, **more)
    return phs, calciums, np.broadcast_to(found.code, (len(calciums), len(phs))).astype(int)


# --- water -----------------------------------------------------------------------------------------------------------------------------
USES = ("bath", "alginate", "rinse")
HardWater = record("HardWater", bath="percent", ratio="", rinse="percent")


@boundary(HardWater, water="mg/L", bath="mmol/L", dose="percent", alginate=Row,
          valid={"water": (0, 2000), "bath": (0.5, 1000), "dose": (0.1, 2)})
def hard_water(water, bath, dose, alginate):
    """What a water's calcium does in its three uses.

    Parameters
    ----------
    water : its calcium [mg/L], 0 to 2,000; from hardness by `calcium.calcium_of_hardness`
    bath : calcium of the bath as weighed in [mmol/L], 0.5 to 1,000
    dose : of alginate [percent], 0.1 to 2; alginate : Row with uronate_mass, guluronic_share, calcium_binding

    Returns
    -------
    bath : what it adds to the bath, of the bath [percent]: it helps
    ratio : calcium to one guluronate where the alginate is wetted in it (`calcium.wets` says what that means): here it harms
    rinse : how fast a pearl left in it goes on gelling, beside the bath [percent], by the flat front: it stops the gelling less well

    Source
    ------
    Mole balance; `spheres.front_constant`.
    """
    amount, capacity = water / salts.CALCIUM, spheres.binding_capacity.si(dose, alginate)
    front = spheres.front_constant.si(np.maximum(amount / capacity, 1e-4)) / spheres.front_constant.si(bath / capacity)
    return amount / bath, salts.per_guluronate.si(water, dose, alginate), np.where(np.asarray(water) > 0, front, 0.0)[()]


def water_for(use, water, bath, dose, alginate):
    """'bath: fine ...': one sentence for a water in one of its three USES; the rest as in `hard_water`. ValueError for another use."""
    one_of(use, USES, "use")
    found = hard_water(water, bath, dose, alginate)
    if use == "bath":
        return f"bath: fine, hard or soft; its calcium makes the bath {show(found.bath, 2)} stronger."
    if use == "alginate":
        word = salts.wets(water, dose, alginate)
        mend = "" if word == salts.BANDS[0][1] else "; take purified or soft water, or a little citrate first"
        return f"alginate: {word}{mend}."
    return f"rinse: a pearl left in it goes on gelling {show(found.rinse, 2)} as fast as in the bath; soft water stops it better, and lift soon."


@boundary("mg/L", calcium="mmol/L", table_salt="g/L", valid={"calcium": (0, 5000), "table_salt": (0, 300)})
def chloride(calcium=None, table_salt=None):
    """Chloride that calcium chloride and table salt bring: two for each calcium, one for each sodium.

    calcium as chloride [mmol/L], 0 to 5,000; table_salt [g/L], 0 to 300; each 0 if left out; returns [mg/L].
    The claim 'chlorides in tap water spoil the bath': the bath itself holds 2,400 mg/L at 0.5 % of dihydrate, tap water some tens. What
    thickens alginate in tap water is its calcium; its acid is next to none.  Source: stoichiometry.
    """
    salt = 0.0 if table_salt is None else table_salt / (SODIUM + CHLORINE)
    return (2 * (0.0 if calcium is None else calcium) + salt) * CHLORINE
