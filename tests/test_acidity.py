"""acidity: limits, balances, a second solver, and refusals. Printed values: test_checks."""
import inspect
import math

import iapws
import numpy as np
import periodictable
import pytest
from hypothesis import given, settings, strategies as st
from scipy.optimize import brentq

from doors import by_name, magnitudes, refuses, same_in, with_unit
from kitchenlib import acidity, mixes, tables
from kitchenlib.units import Q_, Quantity

SALT, CITRIC, ACETIC, YOLK = (tables.row(key, own=False) for key in ("trisodium citrate dihydrate", "citric acid", "acetic acid", "egg yolk"))
JUICE = dict(citric=Q_(8, "g/L"), malic=Q_(2, "g/L"), tartaric=Q_(0.5, "g/L"), lactic=Q_(0.2, "g/L"), acetic=Q_(0.1, "g/L"))
MEASURED = dict(from_ph=3.6, **JUICE, ionic_strength=Q_(0.1, "mol/L"))
DOSED = dict(to_ph=4.2, salt=SALT, **MEASURED)
CALLS = {
    acidity.share: dict(acid=CITRIC, ph=3.5, lost=1, ionic_strength=Q_(0.1, "mol/L")),
    acidity.charge: dict(acid=CITRIC, ph=3.5, ionic_strength=Q_(0.1, "mol/L")),
    acidity.protonated: dict(acid=tables.row("guluronic acid", own=False), ph=3.5),
    acidity.ph: dict(**JUICE, strong_ions=Q_(30, "mmol/L"), buffer=Q_(5, "mmol/L"), buffer_ph=6.4, ionic_strength=Q_(0.1, "mol/L")),
    acidity.strong_ions: MEASURED,
    acidity.buffer_from: dict(mass=Q_(17, "g"), water=Q_(24, "mL"), food=YOLK),
    acidity.titratable: dict(acid=CITRIC, endpoint=8.2, **MEASURED),
    acidity.acid_behind: dict(acidity=Q_(9, "g/L"), from_ph=3.6, acid=CITRIC, endpoint=8.2, ionic_strength=Q_(0.1, "mol/L")),
    acidity.titrated: dict(base=Q_(12, "mL"), strength=Q_(0.1, "mol/L"), sample=Q_(10, "mL"), acid=CITRIC),
    acidity.told_as_another: dict(acidity=Q_(9, "g/L"), told_as=CITRIC, wanted=ACETIC),
    acidity.citrate_for: DOSED,
    acidity.citrate_dose: DOSED,
    acidity.citrate_by_ph_alone: dict(from_ph=3.0, to_ph=4.0, salt=SALT),
    acidity.ph_with_citrate: dict(citrate=Q_(3, "g/L"), salt=SALT, **MEASURED),
    acidity.water_for: dict(to_ph=3.7, **MEASURED),
    acidity.ph_diluted: dict(water=1.0, **MEASURED)}
OTHER = {"g/L": "mg/mL", "mol/L": "mmol/L", "mmol/L": "mol/L", "g": "ounce", "mL": "L"}
NUMBERS = [(model, name) for model, call in CALLS.items() for name in call if isinstance(model.takes[name], str)]


# --- the door ------------------------------------------------------------------------------------------------------------------------
def test_every_model_has_a_call():
    assert set(CALLS) == {f for f in vars(acidity).values() if hasattr(f, "takes")}


@pytest.mark.parametrize("model, name", NUMBERS, ids=by_name)
def test_refusals(model, name):
    call, unit = CALLS[model], model.takes[name]
    low, high = model.valid[name]
    refuses(model, call, name, ("2 g/L", Q_(2, "second"), *([2.0] if unit else [])), (low - 0.01, high * 1.01, math.nan, math.inf))


@pytest.mark.parametrize("model", CALLS, ids=by_name)
def test_ranges_stand_in_the_docstring(model):
    """pH and acids are 1 to 12 and 0 to 1,000 all over; where a docstring leaves them out it points to the model that says so."""
    text = inspect.getdoc(model.si)
    for name, ends in model.valid.items():
        if name not in (*acidity.ACIDS, "ionic_strength", "from_ph", "to_ph") or "`" not in text:
            for end in ends:
                assert f"{end:,.10g}" in text, (name, end)


@pytest.mark.parametrize("model, name", NUMBERS, ids=by_name)
def test_same_answer_in_another_unit_and_for_arrays(model, name):
    call, unit = CALLS[model], model.takes[name]
    here = magnitudes(model(**call))
    if unit:
        same_in(model, call, name, OTHER[unit])
    if name in ("lost", "ionic_strength"):
        return
    pair = with_unit(np.array([getattr(call[name], "m", call[name])] * 2, float), unit)
    both = model(**{**call, name: pair})
    for one, expected in zip(both if hasattr(both, "_fields") else (both,), here):
        assert np.broadcast_to(getattr(one, "m", one), 2) == pytest.approx([expected, expected])


def test_dimensions_of_the_formulas():
    base = {name: x.to_base_units() if isinstance(x, Quantity) else x for name, x in CALLS[acidity.titrated].items()}
    assert acidity.titrated.si(**base).check("[substance]/[volume]")                # times the row's bare molar mass
    base = {name: x.to_base_units() if isinstance(x, Quantity) else x for name, x in CALLS[acidity.told_as_another].items()}
    assert acidity.told_as_another.si(**base).check("[mass]/[volume]")
    assert acidity.buffer_from(**CALLS[acidity.buffer_from]).check("[substance]/[volume]")


def test_what_cannot_be_is_told():
    for call, says in (
            (lambda: acidity.citrate_for(**{**DOSED, "from_ph": 1.4}), "below what these acids reach by themselves, pH 2"),
            (lambda: acidity.titratable(3.6, CITRIC), "how much acid"),
            (lambda: acidity.citrate_for(3.6, 4.2, SALT, citric=Q_(0, "g/L")), "how much acid"),
            (lambda: acidity.citrate_for(**{**DOSED, "to_ph": 3.5}), "citrate raises pH"),
            (lambda: acidity.water_for(**{**MEASURED, "to_ph": 3.5}), "water raises pH"),
            (lambda: acidity.share(CITRIC, 3, 4), "outside 0 to 3"), (lambda: acidity.share(ACETIC, 3, 2), "0 to 1 protons"),
            (lambda: acidity.share(CITRIC, 3, 0.5), "whole ones"),
            (lambda: acidity.ph(strong_ions=Q_(-400, "mmol/L")), "outside 1 to 12"),
            (lambda: acidity.ph(strong_ions=Q_(400, "mmol/L")), "outside 1 to 12"),
            (lambda: acidity.ph(buffer=Q_(4, "mmol/L")), "buffer_ph go together"), (lambda: acidity.ph(buffer_ph=6.0), "go together"),
            (lambda: acidity.acid_behind(Q_(2, "g/L"), 8.5, CITRIC), "past the end point"),
            (lambda: acidity.charge(SALT, 3.0), "pka_1")):
        with pytest.raises((ValueError, LookupError), match=says):
            call()


# --- outside references ----------------------------------------------------------------------------------------------------------------
@pytest.mark.parametrize("key", [key for key in tables.kinds(own=False) if {"pka_1", "formula"} <= {*tables.row(key, own=False)}])
def test_molar_masses_against_periodictable(key):
    row = tables.row(key, own=False)
    assert row.molar_mass.m_as("g/mol") == pytest.approx(periodictable.formula(row.formula).mass, abs=0.006)


def test_molar_mass_of_the_salt_holds_its_two_waters():
    assert SALT.molar_mass.m_as("g/mol") == pytest.approx(periodictable.formula("Na3C6H5O7(H2O)2").mass, abs=0.006)
    assert periodictable.formula(SALT.formula).mass == pytest.approx(periodictable.formula("Na3C6H5O7(H2O)2").mass)


def test_ion_product_of_water_against_iapws():
    """IAPWS R11-07 at 25 °C and 0.1 MPa, by the iapws library; the density from its IAPWS-97 (kg/m³)."""
    water = iapws.IAPWS97(T=298.15, P=0.101325)
    assert acidity.PKW == pytest.approx(iapws._iapws._Kw(water.rho, 298.15), abs=0.002)
    assert acidity.ph(ionic_strength=Q_(0, "mol/L")) == pytest.approx(acidity.PKW / 2, abs=1e-9)


def test_davies_pka_of_citric_acid():
    """3.02, 4.44, 5.86 at 0.1 mol/L: half of each step is where the shares beside it are equal."""
    for lost, pka in ((0, 3.02), (1, 4.44), (2, 5.86)):
        left, right = (acidity.share(CITRIC, pka, n).m for n in (lost, lost + 1))
        assert math.log10(right / left) == pytest.approx(0, abs=0.006)


def test_five_doses_of_a_full_calculation_give_the_excess():
    """PHREEQC with minteq.v4.dat: real over Davies, all within the row's low and high."""
    excess = SALT.fact("citrate_excess")
    ratios = [real / acidity.citrate_for(start, end, SALT, citric=Q_(grams, "g/L")).m_as("g/L")
              for grams, start, end, real in ((8, 3.6, 4.0, 2.30), (8, 3.6, 4.5, 7.73), (8, 3.6, 5.0, 13.7), (13, 3.2, 4.0, 9.1), (13, 3.2, 4.5, 21.1))]
    assert excess.low <= min(ratios) and max(ratios) <= excess.high
    assert np.mean(ratios) == pytest.approx(excess.value, abs=0.05)


# --- a second solver -------------------------------------------------------------------------------------------------------------------
def by_mass_action(amounts, strong, strength):
    """pH by brentq on a balance written species by species from the dissociation constants (mol/L), with activity coefficients
    log10(gamma) = -0.509 z² (sqrt(I) / (1 + sqrt(I)) - 0.3 I) put on each ion; shares no code with the library."""
    def gamma(z):
        return 10 ** (-0.509 * z * z * (math.sqrt(strength) / (1 + math.sqrt(strength)) - 0.3 * strength))

    def charges(ph):
        active = 10 ** -ph
        total = strong + active / gamma(1) - 10 ** -13.995 / active / gamma(1)
        for name, amount in amounts.items():
            row = tables.row(f"{name} acid", own=False)
            species, chain = [1.0], 1.0
            for z, constant in enumerate((p for p in ("pka_1", "pka_2", "pka_3") if p in row), 1):
                chain *= 10 ** -row.si(constant) / active
                species.append(chain / gamma(z))
            total -= amount * sum(z * x for z, x in enumerate(species)) / sum(species)
        return total
    return brentq(charges, -1, 15, xtol=1e-12)


@given(st.fixed_dictionaries({name: st.floats(0.0, 0.3) for name in acidity.ACIDS}), st.floats(0, 1), st.sampled_from((0.0, 0.05, 0.1, 0.3)))
@settings(max_examples=60, deadline=None)
def test_ph_against_a_second_solver(amounts, bound, strength):
    strong = bound * sum(amounts.values())                   # mol/L, from the bare acids to one proton of each bound
    grams = {name: Q_(x * tables.row(f"{name} acid", own=False).molar_mass.m_as("g/mol"), "g/L") for name, x in amounts.items()}
    here = acidity.ph(**grams, strong_ions=Q_(strong, "mol/L"), ionic_strength=Q_(strength, "mol/L"))
    assert here == pytest.approx(by_mass_action(amounts, strong, strength), abs=1e-6)


@given(st.floats(1, 60), st.floats(0, 20), st.floats(0.02, 1), st.floats(0.05, 2.0), st.sampled_from((0.0, 0.1)))
@settings(max_examples=60, deadline=None)
def test_each_question_answers_its_opposite(citric, malic, bound, rise, strength):
    """Dose there and back, titration there and back, water there and back, strong ions there and back."""
    strength, acids = Q_(strength, "mol/L"), dict(citric=Q_(citric, "g/L"), malic=Q_(malic, "g/L"))
    strong = Q_(bound * citric / 192.124, "mol/L")
    start = acidity.ph(**acids, strong_ions=strong, ionic_strength=strength)
    here = dict(from_ph=start, **acids, ionic_strength=strength)
    assert acidity.strong_ions(**here).m_as("mol/L") == pytest.approx(strong.m, rel=1e-6)
    end = min(start + rise, 6.0)
    dose = acidity.citrate_for(to_ph=end, salt=SALT, **here)
    if dose.m_as("g/L") <= 200:
        assert acidity.ph_with_citrate(citrate=dose, salt=SALT, **here) == pytest.approx(end, abs=1e-6)
    assert acidity.ph_diluted(water=min(acidity.water_for(to_ph=end, **here), 1e6), **here) <= end + 1e-6
    alone = dict(from_ph=max(start, 3.2), acid=CITRIC, ionic_strength=strength)
    told = acidity.titratable(citric=Q_(citric, "g/L"), **alone)
    assert acidity.acid_behind(told, **alone).m_as("g/L") == pytest.approx(citric, rel=1e-6)


# --- what chemistry promises -----------------------------------------------------------------------------------------------------------
def test_charges_balance():
    """The pH found, put back: hydrogen + strong ions = anions + hydroxide, each worked out apart."""
    for acid, grams, strong in ((CITRIC, 8, 0.02), (ACETIC, 50, 0.0), (CITRIC, 50, 0.5)):
        name = acid.key.split()[0]
        found = acidity.ph(**{name: Q_(grams, "g/L")}, strong_ions=Q_(strong, "mol/L"), ionic_strength=Q_(0, "mol/L"))
        anions = grams / acid.molar_mass.m_as("g/mol") * sum(
            n * acidity.share(acid, found, n, Q_(0, "mol/L")).m_as("dimensionless") for n in range(len(acidity._steps(acid)) + 1))
        assert 10 ** -found + strong == pytest.approx(anions + 10 ** (found - acidity.PKW), rel=1e-7)


def test_shares_make_a_whole_and_the_charge_rises():
    sweep = np.linspace(1, 12, 45)
    for acid in (CITRIC, ACETIC):
        steps = len(acidity._steps(acid))
        assert sum(acidity.share(acid, sweep, n).m for n in range(steps + 1)) == pytest.approx(np.full(45, 100.0))
        charges = acidity.charge(acid, sweep)
        assert (np.diff(charges) > 0).all() and charges[0] < 0.05 and charges[-1] == pytest.approx(steps, abs=1e-3)


def test_directions():
    """More acid is sourer, more potassium less sour; a real liquid wants more citrate than an ideal one; yolk lifts the pH; water too."""
    grams = Q_(np.linspace(1, 100, 12), "g/L")
    assert (np.diff(acidity.ph(citric=grams)) < 0).all() and (np.diff(acidity.ph(acetic=grams)) < 0).all()
    assert (np.diff(acidity.ph(citric=Q_(8, "g/L"), strong_ions=Q_(np.linspace(0, 120, 9), "mmol/L"))) > 0).all()
    assert (np.diff(acidity.ph(acetic=Q_(30, "g/L"), buffer=Q_(np.linspace(0, 100, 9), "mmol/L"), buffer_ph=6.4)) > 0).all()
    assert (np.diff(acidity.ph_diluted(water=np.linspace(0, 20, 9), **MEASURED)) > 0).all()
    dose = acidity.citrate_dose(**DOSED)
    assert dose.ideal < dose.davies < dose.high and dose.first.m == pytest.approx(dose.davies.m * 2 / 3)
    assert dose.davies == acidity.citrate_for(**DOSED)
    assert acidity.citrate_for(**{**DOSED, "to_ph": 3.6}).m == pytest.approx(0)


def test_left_out_is_tenth_molar_and_zero_is_ideal():
    juice = dict(citric=Q_(8, "g/L"), strong_ions=Q_(20, "mmol/L"))
    assert acidity.ph(**juice) == acidity.ph(**juice, ionic_strength=Q_(0.1, "mol/L")) < acidity.ph(**juice, ionic_strength=Q_(0, "mol/L"))


def test_the_mistake_is_sixty_to_a_hundred_times_too_small():
    """Orange 3.6 to 4.5 with 8 g/L citric acid, lemon 2.4 to 4.0 with 50 g/L."""
    for grams, start, end in ((8, 3.6, 4.5), (50, 2.4, 4.0)):
        right = acidity.citrate_for(start, end, SALT, citric=Q_(grams, "g/L"), ionic_strength=Q_(0, "mol/L"))
        assert 55 < right / acidity.citrate_by_ph_alone(start, end, SALT) < 105


def test_water_hardly_moves_a_juice():
    """An equal part of water on lemon juice: under a quarter of a pH; a strong acid would move by log10(2) = 0.30."""
    assert 0 < acidity.ph_diluted(2.4, 1, citric=Q_(50, "g/L")) - 2.4 < 0.25
    assert acidity.water_for(2.4, 4.0, citric=Q_(50, "g/L")) > 100


def test_acid_limit_by_oil_does_not_count():
    """Vinegar of 5 % with three times its volume of oil keeps its pH of 2.419; counted on the whole it would be 2.721."""
    on_water, on_all = (acidity.ph(acetic=Q_(50 / part, "g/L"), ionic_strength=Q_(0, "mol/L")) for part in (1, 4))
    assert (on_water, on_all) == (pytest.approx(2.419, abs=0.001), pytest.approx(2.721, abs=0.002))


# --- alginate's own acids, and a mix ---------------------------------------------------------------------------------------------------
def test_half_is_protonated_at_the_pka_with_salt_or_without():
    for key, pka in (("mannuronic acid", 3.38), ("guluronic acid", 3.65)):
        row = tables.row(key, own=False)
        assert [x.m_as("percent") for x in acidity.protonated(row, pka)] == [pytest.approx(50)] * 2
        salted, saltless = acidity.protonated(row, np.linspace(3.7, 7, 12))
        assert (saltless.m > salted.m).all() and (np.diff(salted.m) < 0).all()         # an upper bound above the pKa


def test_acids_of_a_mix():
    """150 mL of oil over 50 mL of vinegar: acid counts on what is not oil. 5 g of acid in 100 g of a vinegar that is 95 g of water."""
    vinegar = mixes.Mix({"water": Q_(95, "g"), "acetic acid": Q_(5, "g")})
    dressed = vinegar + mixes.Mix({"sunflower oil": Q_(300, "g")})
    here, oily = acidity.acids_in(vinegar), acidity.acids_in(dressed)
    assert set(here) == {"acetic"} and oily["acetic"].m_as("g/L") == pytest.approx(here["acetic"].m_as("g/L"), rel=0.02)
    assert 48 < here["acetic"].m_as("g/L") < 53
    assert acidity.ph(**here) == pytest.approx(acidity.ph(acetic=Q_(50, "g/L")), abs=0.01)
    for bad, error in ((mixes.Mix({"water": Q_(1, "g")}), LookupError), ("water 1 g", TypeError)):
        with pytest.raises(error):
            acidity.acids_in(bad)
