"""Calcium: how much of it a salt, a bath or a water brings, and how much of that is free to set alginate.

Grams of two salts are not grams of one another: what counts is mol of Ca²⁺. Total is what was weighed in; free is what no lactate,
gluconate or citrate holds. A name without its hydrate ('calcium chloride') is asked back.
"""
import numpy as np

from . import acidity
from .tables import Row, kinds, row
from .units import OutOfRange, boundary, plain, record

CALCIUM, MAGNESIUM, WATER, CARBONATE, OXIDE = 0.040078, 0.024305, 0.018015, 0.100086, 0.056077      # kg/mol, checked by periodictable
BASES = ("w/v", "w/w", "added to")
_WATER_DENSITY, _WATER_HEAT = 998.2, 4182.0                  # kg/m³, J/kg/K at 20 °C
_ROOM = 293.15


def _degrees(kelvin):
    return f"{round(float(kelvin) - 273.15, 1) + 0.0:g} °C"


# --- salts -------------------------------------------------------------------------------------------------------------------------
def _known(salt):
    """The row that says what the salt is: a product's own, or that of the hydrate on its label. LookupError asks for the hydrate."""
    if "calcium" in salt:
        return salt
    parent = salt.fact("is").value if "is" in salt else salt.key
    forms = [row(key, own=False).hydrate for key in kinds(own=False) if key.startswith(f"{parent} ") and "hydrate" in row(key, own=False)]
    if not forms:
        raise LookupError(f"{salt.key} has no calcium in the tables: is it a calcium salt? Then put calcium from its sheet on your shelf.")
    if "hydrate" in salt and salt.hydrate in forms:
        return row(f"{parent} {salt.hydrate}", own=False)
    raise LookupError(f"{salt.key}: {', '.join(forms[:-1])} or {forms[-1]}? Grams of one are not grams of the other: read the label, then "
                      f"write, say, row('{parent} {forms[-1]}').")


def _content(salt):
    """Calcium as a share of the salt's mass: yours where you give it, else the row's, times the assay where you give that."""
    salt = _known(salt)
    pure = "assay" not in salt or salt.fact("calcium").how == "yours"
    return salt.si("calcium") * (1.0 if pure else salt.si("assay"))


def _some(salt):
    """`_content`, where grams are divided by it. LookupError where there is none."""
    content = _content(salt)
    if not content > 0:
        raise LookupError(f"{salt.key} holds no calcium: take a calcium salt, such as row('calcium chloride dihydrate')")
    return content


def _dry_content(salt):
    """Calcium as a share of the mass of the salt without water, by its formula."""
    return salt.si("calcium_per_mole") * CALCIUM / (salt.si("molar_mass") - salt.si("water_per_mole") * WATER)


def _dry_share(salt):
    """Share of the salt's mass that is salt without water; 1 where the row knows no formula (a mixture)."""
    salt = _known(salt)
    return _content(salt) / _dry_content(salt) if "molar_mass" in salt else 1.0


@boundary("percent", salt=Row)
def content(salt):
    """Calcium as a share of the mass of a salt: the certificate's where you give it, else by the formula and the assay.

    salt : Row with calcium (yours: `row(...).but(calcium=Q_(26.5, "percent"))`), and assay where you know only that
    returns [percent]
    Raises LookupError that asks for the hydrate where the name leaves it open.  Source: the row; molar masses by periodictable.
    """
    return _content(salt)


@boundary("g", mass="g", salt=Row, other=Row, valid={"mass": (0, 1e6)})
def equal_mass(mass, salt, other):
    """Grams of another salt that bring as much calcium: mass * content of the one / content of the other.

    mass [g], 0 to 1,000,000; salt, other: rows as in `content`; returns [g].
    Equal in total calcium; of a lactate or gluconate less is free: `free`.  Source: mole balance.
    """
    return mass * _content(salt) / _some(other)


def _solubility(salt, temperature):
    """kg of salt without its water that 1 kg of water dissolves: straight between the row's points, level above the hottest."""
    facts = _known(salt).facts("solubility")
    points = sorted((float(fact.condition.split()[0]) + 273.15, fact.value.m_as("kg/L")) for fact in facts)
    if np.any(temperature < points[0][0] - 1e-6):
        raise OutOfRange(f"{salt.key}: its solubility is known from {_degrees(points[0][0])} up; at {_degrees(np.min(temperature))} less "
                         "dissolves: make the bath warmer")
    return np.interp(temperature, *zip(*points))


@boundary("percent", salt=Row, temperature="degC", valid={"temperature": (0, 60)})
def solubility(salt, temperature):
    """Most of a salt that dissolves, as a share of the mass of the finished bath.

    salt : Row with solubility (grams without water of crystallisation in a litre of water, one fact a temperature)
    temperature : [degC], 0 to 60, not below the row's coldest point; past its hottest that point's value, the careful side
    returns [percent of the bath's mass]
    Raises OutOfRange below the coldest point.

    Notes
    -----
    Print counts the salt without its water, whichever hydrate lies at the bottom: taken as grams of hexahydrate, the data box's 81 g
    at 25 °C would be less calcium than its own 74.5 g of anhydrous salt at 20 °C.

    Source: the row.
    """
    dissolved = _solubility(salt, temperature)
    return np.minimum(dissolved / (1 + dissolved) / _dry_share(salt), 1.0)


def _density(dry, salt):
    """Density of a bath, from the mass share of salt without its water."""
    salt = _known(salt)
    return _WATER_DENSITY * (1 + (salt.si("density_rise") if "density_rise" in salt else 0.0) * dry)


@boundary("mmol/L", dose="percent", salt=Row, basis=BASES, temperature="degC", valid={"dose": (0, 60), "temperature": (0, 60)})
def concentration(dose, salt, basis, temperature=None):
    """Total calcium of a bath, from per cent of salt and the basis of that per cent.

    Parameters
    ----------
    dose : [percent], 0 to 60
    salt : Row as in `content`, with solubility and density_rise
    basis : "w/v": 1 % is 10 g in a litre of finished bath; "w/w": 10 g in a kilogram of bath; "added to": 10 g put to a kilogram of water
    temperature : of the bath, for what dissolves [degC], 0 to 60; left out: 20 °C

    Returns
    -------
    [mmol/L], bound to the salt's own anion or not: `free` says how much is not

    Raises
    ------
    OutOfRange
        More than dissolves.

    Notes
    -----
    At 1 % the three bases differ by 1 %; the hydrate by 25 to 50 %. Density: water's at 20 °C and the row's density_rise.

    Source
    ------
    Mole balance; the row.
    """
    dry = _dry_share(salt)
    if basis == "w/v":                                       # share * density(share) = mass per volume
        rise = _density(1.0, salt) / _WATER_DENSITY - 1
        share = 2 * dose * 1000 / _WATER_DENSITY / (1 + np.sqrt(1 + 4 * rise * dry * dose * 1000 / _WATER_DENSITY))
    else:
        share = dose if basis == "w/w" else dose / (1 + dose)
    most = solubility.si(salt, _ROOM if temperature is None else temperature)
    if np.any(share > most):
        raise OutOfRange(f"{salt.key}: {plain(100 * np.max(share), 2)} % of the bath's mass is more than dissolves: at most "
                         f"{plain(100 * np.min(most), 2)} % at {_degrees(_ROOM if temperature is None else np.min(temperature))}")
    return share * _density(share * dry, salt) * _content(salt) / CALCIUM


@boundary("g", calcium="mmol/L", volume="L", salt=Row, valid={"calcium": (0, 5000), "volume": (0, 1000)})
def salt_for(calcium, volume, salt):
    """Grams of a salt for a bath of this strength: calcium * volume * 40.08 g/mol / content; made up to the volume with water.

    calcium : total [mmol/L], 0 to 5,000; volume of the finished bath [L], 0 to 1,000; salt: Row as in `concentration`; returns [g].
    Raises OutOfRange where so much does not dissolve at 20 °C.  Source: mole balance.
    """
    per_volume = calcium * CALCIUM / _some(salt)
    concentration.si(per_volume / 1000, salt, "w/v")
    return per_volume * volume


Damp = record("Damp", calcium="percent", weigh="", water="")


@boundary(Damp, uptake="percent", salt=Row, valid={"uptake": (0, 100)})
def damp(uptake, salt):
    """What a salt that has drawn water from the air still is: weigh the tub today and compare it with what stands on it.

    Parameters
    ----------
    uptake : water drawn, of the mass as bought [percent], 0 to 100
    salt : Row as in `content`, of the salt as bought, with molar_mass and water_per_mole

    Returns
    -------
    calcium : content today [percent]; hand it on by `salt.but(calcium=...)`
    weigh : grams of today's salt for one gram as bought
    water : mol of water to one of calcium today: 2 is the dihydrate, 6 the hexahydrate; past 6 it runs to a syrup

    Source
    ------
    Mass balance.
    """
    now = _some(salt) / (1 + uptake)
    water = (1 / now - 1 / _dry_content(_known(salt))) * CALCIUM / WATER
    return now, 1 + uptake, np.maximum(water, 0.0)          # an anhydrous salt's printed content may be a digit above its formula's


@boundary("delta_degC", mass="g", water="g", salt=Row, valid={"mass": (0, 1e5), "water": (10, 1e6)})
def warming(mass, water, salt):
    """By how much a bath warms while the salt dissolves; below 0 it cools.

    mass of salt [g], 0 to 100,000; water [g], 10 to 1,000,000; salt: Row with dissolving_heat; returns [delta_degC].
    Nothing lost to the vessel; heat capacity of the water alone, for a strong bath holds hardly more. Up to about 10 % of salt.
    Source: heat balance; the row's heat is for much water.
    """
    return mass * _content(salt) / CALCIUM * _known(salt).si("dissolving_heat") / (water * _WATER_HEAT)


# --- free and bound ------------------------------------------------------------------------------------------------------------------
def unbound(total, binder, constant):
    """Free calcium where each mol of binder holds one of calcium: x in constant * x * (binder - (total - x)) = total - x.

    total, binder in mol/m³, constant in m³/mol; the root of the quadratic in the form that keeps its digits.  Source: mass action.
    """
    half = 1 + constant * (binder - total)
    return 2 * total / (half + np.sqrt(half ** 2 + 4 * constant * total))


def _share(free, total):
    return np.where(total > 0, free / np.where(total > 0, total, 1.0), 1.0)[()]


Free = record("Free", calcium="mmol/L", share="percent")


@boundary(Free, total="mmol/L", salt=Row, valid={"total": (0, 2000)})
def free(total, salt):
    """Free calcium of a bath: what the salt's own lactate or gluconate does not hold.

    total : `concentration` [mmol/L], 0 to 2,000; salt: Row, with complexing where its anion holds calcium; a chloride holds none
    returns calcium [mmol/L] and its share of the total [percent]

    Notes
    -----
    One anion to one calcium, two anions for each calcium there. Measured in 1 mol/L sodium chloride at 25 °C; in a thin bath a little
    less is free. What is held lets go as the gel takes the free: it is a store, not a loss.

    Source
    ------
    hydroxycarboxylates-2013, abstract.
    """
    salt = _known(salt)
    calcium = unbound(total, 2 * total, salt.si("complexing") if "complexing" in salt else 0.0)
    return calcium, _share(calcium, total)


def together(ph, acid, ionic_strength=None):
    """Constant with which all the citrate there is holds calcium, m³/mol: each ion's own, by Davies' rule at this ionic strength [mol/m³],
    times that ion's share at this pH.  Source: as `beside_citrate`."""
    fall, found = acidity.lowering(ionic_strength), 0.0
    for lost in (1, 2, 3):                                   # charges meet: 2 + -lost; Davies counts their squares
        squares = 4 + lost ** 2 - (lost - 2) ** 2
        found = found + 10 ** (acid.si(f"calcium_log_k_{lost}") - squares * fall - 3) * acidity.share.si(acid, ph, lost, ionic_strength)
    return found


@boundary(Free, calcium="mmol/L", citrate="mmol/L", ph="", acid=Row, ionic_strength="mol/L",
          valid={"calcium": (0, 500), "citrate": (0, 500), "ph": (1, 12), "ionic_strength": (0, 0.5)})
def beside_citrate(calcium, citrate, ph, acid, ionic_strength=None):
    """Free calcium beside citrate: it takes one for one, the more readily the more of its acid hydrogens it has lost.

    Parameters
    ----------
    calcium, citrate : total, the liquid's own and what was added [mmol/L], 0 to 500
    ph : of the liquid, 1 to 12: citrate softens neutral water well and sour juice badly
    acid : Row with pka_1 to 3 and calcium_log_k_1 to 3, row('citric acid'); print spans a factor of 4 in the strongest of them
    ionic_strength : [mol/L], 0 to 0.5; left out: 0.1, as in a juice; about 0.02 in water with a little citrate

    Returns
    -------
    calcium : free [mmol/L]; share of the total [percent]

    Notes
    -----
    The constant of `together`, then the quadratic of `unbound`. Magnesium and sodium, which take some citrate too, left out. 25 °C.

    Source
    ------
    minteq-v4 for the constants, as the row says; davies-1962.
    """
    left = unbound(calcium, citrate, together(ph, acid, ionic_strength))
    return left, _share(left, calcium)


# --- waters ----------------------------------------------------------------------------------------------------------------------------
# What one degree means in mol of calcium and magnesium together, mol/m³: as the scales are defined.
SCALES = {"mmol/L": 1.0, "°dH": 0.010 / OXIDE, "°fH": 0.010 / CARBONATE, "°e": 0.014254 / CARBONATE, "mg/L CaCO3": 0.001 / CARBONATE,
          "grains per US gallon": 0.017118 / CARBONATE}
CLASSES = ((60, "soft"), (120, "moderately hard"), (180, "hard"), (np.inf, "very hard"))     # mg/L CaCO3, who-hardness-2011
Hardness = record("Hardness", total="mmol/L", carbonate="mg/L", german="", french="")


@boundary("mg/L", water=Row)
def dissolved(water):
    """Calcium of a water from its row, as a bottle prints it; a litre taken as a kilogram.  water: Row with calcium; returns [mg/L].
    Source: the row."""
    return 1000 * water.si("calcium")


@boundary(Hardness, calcium="mg/L", magnesium="mg/L", valid={"calcium": (0, 2000), "magnesium": (0, 1000)})
def hardness(calcium, magnesium):
    """Hardness of a water from what its sheet or bottle prints.

    calcium, magnesium [mg/L], 0 to 2,000 and 0 to 1,000
    returns total [mmol/L]; as calcium carbonate [mg/L]; German (°dH: 10 mg CaO/L) and French degrees (°fH: 10 mg CaCO3/L)
    Source: definitions of the scales; molar masses.
    """
    total = calcium / CALCIUM + magnesium / MAGNESIUM
    return total, total * CARBONATE, total / SCALES["°dH"], total / SCALES["°fH"]


@boundary("mg/L", value="", scale=tuple(SCALES), magnesium="percent", valid={"value": (0, 2000), "magnesium": (0, 100)})
def calcium_of_hardness(value, scale, magnesium=None):
    """Calcium of a water of which only the hardness is known.

    value : in the scale's own degrees, a pure number, 0 to 2,000
    scale : "mmol/L", "°dH", "°fH", "°e" (English), "mg/L CaCO3" or "grains per US gallon"
    magnesium : its part of the hardness [percent], 0 to 100; left out: none, the careful side (often 15 to 30 %: memory)
    returns [mg/L]
    Source: definitions of the scales.
    """
    return value * SCALES[scale] * (1 - (0.0 if magnesium is None else magnesium)) * CALCIUM


def hardness_class(calcium, magnesium):
    """'soft', 'moderately hard', 'hard' or 'very hard' of a water; calcium, magnesium [mg/L] as in `hardness`.

    Source: who-hardness-2011, as a secondary page quotes it. Other places draw other lines.
    """
    carbonate = hardness(calcium, magnesium).carbonate.m
    return next(word for most, word in CLASSES if carbonate <= most)


# calcium to one guluronate: judgement on the steps in which it binds (fang-2007): single, in pairs of chains, in bundles
BANDS = ((0.05, "wets well"), (0.12, "a little thicker"), (0.25, "thick, lumps of weak gel"), (np.inf, "sets in the blender"))
_WETTING = dict(dose="percent", alginate=Row)


@boundary("", calcium="mg/L", **_WETTING, valid={"calcium": (0, 5000), "dose": (0.1, 2)})
def per_guluronate(calcium, dose, alginate):
    """Free calcium of a water or liquid for each guluronate of the alginate that is to be wetted in it.

    calcium : free [mg/L], 0 to 5,000; of a tap or mineral water nearly all is free
    dose : of alginate [percent], 0.1 to 2; alginate: Row with uronate_mass, guluronic_share
    returns a pure number: `wets` says what it means
    Source: mole balance.
    """
    return calcium / CALCIUM / (1000 * dose / alginate.si("uronate_mass") * alginate.si("guluronic_share"))


@boundary("mg/L", ratio="", **_WETTING, valid={"ratio": (0.01, 1), "dose": (0.1, 2)})
def calcium_at(ratio, dose, alginate):
    """Free calcium at which each guluronate meets so much of it; `per_guluronate` the other way round.

    ratio 0.01 to 1 (0.05 wets well, 0.25 sets); dose [percent], 0.1 to 2; returns [mg/L].  Source: mole balance.
    """
    return ratio * CALCIUM * 1000 * dose / alginate.si("uronate_mass") * alginate.si("guluronic_share")


def wets(calcium, dose, alginate):
    """How alginate wets in a water with this much free calcium: 'wets well', 'a little thicker', 'thick, lumps of weak gel' or
    'sets in the blender'; arguments as of `per_guluronate`.

    Judgement: at 0.5 % the lines lie at 25, 60 and 125 mg/L. Powder strewn straight into hard water does worse: its grains gel outside.
    Source: fang-2007 for the steps of binding, the figures from memory.
    """
    ratio = per_guluronate(calcium, dose, alginate)
    return next(word for most, word in BANDS if ratio <= most)
