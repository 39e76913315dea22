"""calcium: molar masses and brines against reference libraries, balances, limits and refusals. Printed values: test_checks."""
import re

import CoolProp.CoolProp as coolprop
import numpy as np
import periodictable
import pint
import pytest
from scipy.optimize import brentq

from doors import beyond, by_name, refuses, same_for_many, same_in
from kitchenlib import acidity, calcium, tables
from kitchenlib.spread import spread
from kitchenlib.units import OutOfRange, Q_

PARENTS = ("calcium chloride", "calcium lactate", "calcium gluconate", "tricalcium citrate")
HYDRATES = [key for parent in PARENTS for key in tables.kinds(parent, own=False)[1:]]
BATH_SALTS = [key for key in HYDRATES if "citrate" not in key] + ["calcium lactate gluconate"]
ANHYDROUS, DIHYDRATE, HEXAHYDRATE = (tables.row(f"calcium chloride {form}", own=False) for form in ("anhydrous", "dihydrate", "hexahydrate"))
LACTATE, GLUCONATE = (tables.row(key, own=False) for key in ("calcium lactate pentahydrate", "calcium gluconate monohydrate"))
MIXTURE, ALGINATE, CITRIC = (tables.row(key, own=False) for key in ("calcium lactate gluconate", "sodium alginate", "citric acid"))


def row(key):
    return tables.row(key, own=False)


def percent(number):
    return Q_(number, "percent")


def mmol(number):
    return Q_(number, "mmol/L")


def bath(number, salt, basis="w/v", **more):
    return calcium.concentration(percent(number), salt, basis, **more).m


CALLS = {
    calcium.content: dict(salt=DIHYDRATE), calcium.equal_mass: dict(mass=Q_(5, "g"), salt=DIHYDRATE, other=LACTATE),
    calcium.solubility: dict(salt=LACTATE, temperature=Q_(22, "degC")),
    calcium.concentration: dict(dose=percent(1), salt=DIHYDRATE, basis="w/w", temperature=Q_(20, "degC")),
    calcium.salt_for: dict(calcium=mmol(34), volume=Q_(2, "L"), salt=DIHYDRATE),
    calcium.damp: dict(uptake=percent(10), salt=DIHYDRATE), calcium.warming: dict(mass=Q_(100, "g"), water=Q_(1000, "g"), salt=ANHYDROUS),
    calcium.free: dict(total=mmol(30), salt=LACTATE),
    calcium.beside_citrate: dict(calcium=mmol(3), citrate=mmol(5), ph=5.0, acid=CITRIC, ionic_strength=Q_(0.1, "mol/L")),
    calcium.dissolved: dict(water=row("tap water")), calcium.hardness: dict(calcium=Q_(72, "mg/L"), magnesium=Q_(26, "mg/L")),
    calcium.calcium_of_hardness: dict(value=10.0, scale="°dH", magnesium=percent(20)),
    calcium.per_guluronate: dict(calcium=Q_(60, "mg/L"), dose=percent(0.5), alginate=ALGINATE),
    calcium.calcium_at: dict(ratio=0.1, dose=percent(0.5), alginate=ALGINATE)}
ANOTHER_UNIT = {"percent": "g/kg", "degC": "degF", "g": "ounce", "mmol/L": "mol/L", "L": "mL", "mg/L": "g/L", "mol/L": "mmol/L"}
ARGUMENTS = [(model, name) for model, call in CALLS.items() for name in call if isinstance(model.takes[name], str)]


# --- every model at its door ---------------------------------------------------------------------------------------------------------
def test_every_model_has_a_call():
    assert set(CALLS) == {f for f in vars(calcium).values() if hasattr(f, "takes")}


@pytest.mark.parametrize("model, name", ARGUMENTS, ids=by_name)
def test_door(model, name):
    """Bare numbers and other kinds are refused, range ends bind, another unit and an array give the same."""
    call, unit = CALLS[model], model.takes[name]
    refuses(model, call, name, {"": ("2", Q_(2, "g"))}.get(unit, (2.0, Q_(2, "second"))), beyond(model, name))
    if unit:
        same_in(model, call, name, ANOTHER_UNIT[unit])
    same_for_many(model, call, name)


# --- salts against the table of elements -----------------------------------------------------------------------------------------------
def test_constants_against_periodictable():
    for formula, mass in (("Ca", calcium.CALCIUM), ("Mg", calcium.MAGNESIUM), ("H2O", calcium.WATER), ("CaCO3", calcium.CARBONATE),
                          ("CaO", calcium.OXIDE)):
        assert periodictable.formula(formula).mass == pytest.approx(1000 * mass, abs=0.0011), formula


@pytest.mark.parametrize("key", HYDRATES)
def test_salts_against_periodictable(key):
    salt = row(key)
    made = periodictable.formula(salt.formula)
    atoms = {element.symbol: count for element, count in made.atoms.items()}
    assert salt.molar_mass.m_as("g/mol") == pytest.approx(made.mass, abs=0.0055)
    assert atoms["Ca"] == salt.calcium_per_mole
    assert salt.calcium.m_as("percent") == pytest.approx(100 * atoms["Ca"] * 40.078 / made.mass, abs=0.0055)
    dry = row(f"{salt.fact('is').value} anhydrous")
    assert made.mass - periodictable.formula(dry.formula).mass == pytest.approx(salt.water_per_mole * 18.015, abs=0.002)
    if salt.water_per_mole:
        assert salt.water.m_as("percent") == pytest.approx(100 * salt.water_per_mole * 18.015 / made.mass, abs=0.0055)


def test_mixture_lies_between_its_two_salts_and_its_formula_near_the_top():
    """Six lactates and four gluconates to five calcium and two water."""
    made = periodictable.formula("Ca5C42H78O48")
    assert made.mass == pytest.approx(1551.43, abs=0.01)
    assert MIXTURE.calcium.m_as("percent") == pytest.approx(100 * 5 * 40.078 / made.mass, abs=0.03)
    fact = MIXTURE.fact("calcium")
    assert row("calcium gluconate anhydrous").calcium < fact.low and fact.high.m_as("percent") == pytest.approx(LACTATE.calcium.m_as("percent"), abs=0.1)
    assert MIXTURE.complexing.m == pytest.approx(0.6 * LACTATE.complexing.m + 0.4 * GLUCONATE.complexing.m)


@pytest.mark.parametrize("key", BATH_SALTS)
def test_swapped_grams_bring_the_same_calcium(key):
    salt = row(key)
    grams = calcium.equal_mass(Q_(5, "g"), DIHYDRATE, salt)
    assert bath(grams.m / 10, salt) == pytest.approx(bath(0.5, DIHYDRATE))
    assert calcium.equal_mass(grams, salt, DIHYDRATE).m == pytest.approx(5)
    assert calcium.salt_for(mmol(bath(0.5, DIHYDRATE)), Q_(1, "L"), salt).m == pytest.approx(grams.m)


def test_name_without_hydrate_is_asked_back():
    for parent, forms in (("calcium chloride", "anhydrous, dihydrate or hexahydrate"), ("calcium lactate", "anhydrous or pentahydrate"),
                          ("calcium gluconate", "anhydrous or monohydrate")):
        for ask in (lambda: calcium.content(row(parent)), lambda: bath(1, row(parent)), lambda: calcium.free(mmol(30), row(parent)),
                    lambda: calcium.equal_mass(Q_(5, "g"), LACTATE, row(parent))):
            with pytest.raises(LookupError, match=rf"{parent}: {forms}\?"):
                ask()
    with pytest.raises(LookupError, match="agar has no calcium.*shelf"):
        calcium.content(row("agar"))


def test_own_product(own_folder):
    """A shelf product says its hydrate, its calcium or its assay; the label's word is enough."""
    for product, name, value, unit in (("tub", "is", "calcium chloride", "word"), ("tub", "hydrate", "dihydrate", "word"),
                                       ("flakes", "is", "calcium chloride dihydrate", "word"), ("flakes", "assay", "96", "%"),
                                       ("lot 7", "is", "calcium lactate gluconate", "word"), ("lot 7", "calcium", "11", "%")):
        tables.add_to_shelf(dict(product=product, property=name, value=value, unit=unit))
    assert bath(0.5, tables.row("tub")) == bath(0.5, DIHYDRATE)
    assert calcium.content(tables.row("flakes")).m == pytest.approx(0.96 * 27.26)
    assert calcium.content(tables.row("lot 7")).m == pytest.approx(11)
    assert calcium.content(DIHYDRATE.but(calcium=percent(26), assay=percent(50))).m == pytest.approx(26)     # measured is measured
    assert bath(1, DIHYDRATE.but(calcium=percent(26))) == pytest.approx(10 * 0.26 / 0.040078)


# --- baths ---------------------------------------------------------------------------------------------------------------------------
def brine(share, name):
    return coolprop.PropsSI(name, "T", 293.15, "P", 101325, f"INCOMP::MCA[{share}]")


@pytest.mark.parametrize("dose", [0.5, 1, 3, 10])
def test_bases_against_brine_densities(dose):
    """Anhydrous chloride: grams in a kilogram of bath times kilograms in a litre, by a reference library; bases differ by 1 % at 1 %."""
    share = dose / 100
    assert bath(dose, ANHYDROUS, "w/w") == pytest.approx(share * brine(share, "D") / 0.11098, rel=5e-3)
    assert bath(dose, ANHYDROUS, "added to") == pytest.approx(bath(100 * share / (1 + share), ANHYDROUS, "w/w"))
    assert bath(dose, ANHYDROUS) == pytest.approx(10 * dose / 0.11098, rel=1e-4)
    over_litre = [bath(dose, ANHYDROUS, basis) / bath(dose, ANHYDROUS) for basis in calcium.BASES]
    assert over_litre[1] > 1 > over_litre[2] and np.ptp(over_litre) == pytest.approx(share, rel=0.1)


def test_wrong_hydrate_errs_far_more_than_wrong_basis():
    """Feedback texts: 5 g per litre are 45.1, 34.0 and 22.8 mmol/L; the same grams of lactate pentahydrate 16.2."""
    found = [bath(0.5, salt) for salt in (ANHYDROUS, DIHYDRATE, HEXAHYDRATE, LACTATE)]
    assert found == pytest.approx([5000 / periodictable.formula(f).mass for f in ("CaCl2", "CaCl2H4O2", "CaCl2H12O6", "CaC6H20O11")], rel=4e-4)


def test_salt_for_is_concentration_the_other_way_round():
    for salt in (ANHYDROUS, HEXAHYDRATE, LACTATE, MIXTURE):
        grams = calcium.salt_for(mmol(50), Q_(2, "L"), salt)
        assert bath(grams.m / 20, salt) == pytest.approx(50)


def test_print_counts_salt_without_its_water():
    """As grams of hexahydrate 81.1 g at 25 °C would hold less chloride per water than 74.5 g of dry salt at 20 °C: it would dissolve
    less when warmer. As dry salt the box agrees with the measured 45.3 % (nist-solubility-73, a published row)."""
    dry = 81.1 * 110.98 / 219.07
    assert dry / (100 + 81.1 - dry) < 0.745 / 2 < 0.745 < 0.811
    limits = [calcium.solubility(salt, Q_(25, "degC")).m * salt.calcium.m for salt in (ANHYDROUS, DIHYDRATE)]
    assert limits[0] == pytest.approx(limits[1], rel=1e-3)    # one solution, whichever hydrate went in


@pytest.mark.parametrize("key", HYDRATES + ["calcium lactate gluconate"])
def test_solubility_rises_and_holds_past_the_hottest_point(key):
    points = sorted(float(fact.condition.split()[0]) for fact in row(key).facts("solubility"))
    limits = calcium.solubility(row(key), Q_(np.linspace(points[0], 60, 80), "degC")).m
    assert (np.diff(limits) >= 0).all() and limits[-1] == calcium.solubility(row(key), Q_(points[-1], "degC")).m


def test_more_than_dissolves_is_refused_with_the_limit():
    most = calcium.solubility(LACTATE, Q_(20, "degC")).m
    assert 7 < most < 8
    assert bath(most * 0.999, LACTATE, "w/w") > 0 and bath(0.085, row("tricalcium citrate anhydrous"), "added to") > 0
    for refused in (lambda: bath(most * 1.001, LACTATE, "w/w"), lambda: bath(9, LACTATE, "added to"),
                    lambda: calcium.salt_for(mmol(400), Q_(1, "L"), LACTATE)):
        with pytest.raises(OutOfRange, match="more than dissolves: at most 7.7 % at 20 °C"):
            refused()
    assert bath(9, LACTATE, "w/w", temperature=Q_(30, "degC")) > bath(most * 0.999, LACTATE, "w/w")
    with pytest.raises(OutOfRange, match="known from 10 °C up; at 4 °C"):
        bath(1, LACTATE, temperature=Q_(4, "degC"))
    with pytest.raises(OutOfRange, match="at most 0.1"):
        bath(1, row("tricalcium citrate tetrahydrate"))


def test_damp_salt_walks_from_hydrate_to_hydrate():
    for start, end in ((ANHYDROUS, DIHYDRATE), (DIHYDRATE, HEXAHYDRATE), (ANHYDROUS, HEXAHYDRATE)):
        uptake = percent(100 * (end.molar_mass / start.molar_mass - 1).m)
        wet = calcium.damp(uptake, start)
        assert wet.calcium.m == pytest.approx(calcium.content(end).m, rel=5e-4) and wet.water == pytest.approx(end.water_per_mole, abs=3e-3)
        assert bath(0.5 * wet.weigh, start.but(calcium=wet.calcium)) == pytest.approx(bath(0.5, start))
    untouched = calcium.damp(percent(0), DIHYDRATE)
    assert (untouched.weigh, untouched.calcium.m) == (1, pytest.approx(27.26)) and untouched.water == pytest.approx(2, abs=3e-3)


def test_warming_against_the_heat_capacity_of_brine():
    """100 g of dry chloride in a litre: heat over what the finished brine holds, by a reference library; hexahydrate cools."""
    heat = 100 / 110.98 * 81.35e3
    held = 1.1 * brine(100 / 1100, "C")
    warmed = calcium.warming(Q_(100, "g"), Q_(1, "kg"), ANHYDROUS).m
    assert warmed == pytest.approx(heat / held, rel=0.05)
    assert calcium.warming(Q_(100, "g"), Q_(1, "kg"), HEXAHYDRATE).m < 0 < calcium.warming(Q_(100, "g"), Q_(1, "kg"), DIHYDRATE).m < warmed / 2


# --- free and bound ------------------------------------------------------------------------------------------------------------------
def test_unbound_obeys_mass_action_and_its_limits():
    for total, binder, constant in ((30, 60, 0.008), (3, 3.4, 3.0), (2.5, 5, 1e4), (5, 2.5, 1e4), (1e-6, 50, 2), (500, 1, 5)):
        free = calcium.unbound(total, binder, constant)
        assert constant * free * (binder - (total - free)) == pytest.approx(total - free, rel=1e-6, abs=1e-12)
        assert 0 < free <= total
    assert calcium.unbound(7.0, 20.0, 0.0) == 7 and calcium.unbound(7.0, 0.0, 3.0) == pytest.approx(7)
    assert calcium.unbound(5.0, 2.0, 1e9) == pytest.approx(3, rel=1e-6)      # strong: one takes one
    assert calcium.unbound(2.5, 5.0, 10 ** 0.45 * 0.7998) == pytest.approx(0.338, abs=5e-4)     # by hand, log K 3.45 at pH 7


def test_free_share_falls_with_strength_and_chloride_is_free():
    totals = mmol(np.array([0.0, 1.0, 10.0, 60.0, 300.0]))
    for salt in (LACTATE, GLUCONATE, MIXTURE):
        free = calcium.free(totals, salt)
        assert free.share.m[0] == 100 and (np.diff(free.share.m) < 0).all() and (np.diff(free.calcium.m) > 0).all()
        assert free.calcium.m == pytest.approx(totals.m * free.share.m / 100)
    assert (calcium.free(totals, DIHYDRATE).share.m == 100).all()
    assert calcium.free(mmol(30), GLUCONATE).share < calcium.free(mmol(30), LACTATE).share


@pytest.mark.parametrize("total", [10, 34, 64])
def test_one_constant_stands_for_lactate_and_gluconate_together(total):
    """Both anions by themselves, solved anew: the weighted constant is good to 1 % of the free calcium."""
    anions = [(0.6 * 2 * total, LACTATE.complexing.m / 1000), (0.4 * 2 * total, GLUCONATE.complexing.m / 1000)]
    exact = brentq(lambda x: x + sum(held * k * x / (1 + k * x) for held, k in anions) - total, 0, total)
    assert calcium.free(mmol(total), MIXTURE).calcium.m == pytest.approx(exact, rel=0.01)


def test_citrate_softens_neutral_water_well_and_sour_juice_badly():
    ph = np.linspace(2, 9, 30)
    free = calcium.beside_citrate(mmol(3), mmol(3.4), Q_(ph, ""), CITRIC).share.m
    assert (np.diff(free) < 0).all() and free[0] > 95 and free[-1] < 30
    assert calcium.beside_citrate(mmol(3), mmol(0), 7, CITRIC).share.m == pytest.approx(100)
    assert calcium.beside_citrate(mmol(0), mmol(3), 7, CITRIC).calcium.m == 0
    more = [calcium.beside_citrate(mmol(3), mmol(c), 5, CITRIC).calcium.m for c in (1, 3, 10, 30)]
    assert more == sorted(more, reverse=True)


def test_the_row_spans_what_is_printed():
    """Every printed constant of calcium citrate, brought to ionic strength 0 by Davies' rule, lies within the row's low and high."""
    preferred, *others = CITRIC.facts("calcium_log_k_3")
    at_rest = []
    for fact in others:
        strength = float(re.search(r"ionic strength ([\d.]+)", fact.condition)[1])
        at_rest.append(fact.value + 12 * acidity.lowering(1000 * strength))                # 12 = 2² + 3² - 1²
        assert at_rest[-1] == pytest.approx(float(fact.note.split()[0]), abs=0.006), fact
    assert (min(at_rest), max(at_rest)) == (pytest.approx(preferred.low, abs=0.01), pytest.approx(preferred.high, abs=0.01))
    assert preferred.low < preferred.value < preferred.high
    found = spread(lambda **given: calcium.beside_citrate(**given).calcium, weak="calcium_log_k_3", calcium=mmol(3), citrate=mmol(6), ph=7,
                   acid=CITRIC)
    assert 2 < found.high / found.low < 6                    # so little is known of it


# --- waters ----------------------------------------------------------------------------------------------------------------------------
def test_hardness_scales_against_their_definitions():
    """°dH 10 mg CaO, °fH 10 mg CaCO3 in a litre; °e a grain (64.79891 mg) in an imperial gallon, gpg in a US one."""
    oxide, carbonate = (periodictable.formula(f).mass for f in ("CaO", "CaCO3"))
    wanted = {"mmol/L": 1, "°dH": 10 / oxide, "°fH": 10 / carbonate, "mg/L CaCO3": 1 / carbonate,
              "°e": 64.79891 / 4.54609 / carbonate, "grains per US gallon": 64.79891 / 3.785411784 / carbonate}
    assert set(wanted) == set(calcium.SCALES)
    for scale, millimole in wanted.items():
        assert calcium.calcium_of_hardness(3, scale).m == pytest.approx(3 * millimole * 40.078, rel=1e-4), scale
        assert calcium.calcium_of_hardness(3, scale, percent(25)).m == pytest.approx(0.75 * 3 * millimole * 40.078, rel=1e-4)


def test_hardness_and_back():
    made = calcium.hardness(Q_(60, "mg/L"), Q_(12, "mg/L"))
    part = percent(100 * (1 - 60 / 40.078 / made.total.m))
    for value, scale in ((made.german, "°dH"), (made.french, "°fH"), (made.total.m, "mmol/L"), (made.carbonate.m, "mg/L CaCO3")):
        assert calcium.calcium_of_hardness(value, scale, part).m == pytest.approx(60)
    with pytest.raises(ValueError, match="°dH"):
        calcium.calcium_of_hardness(3, "dH")


def test_waters_from_rows():
    """morr-2006: taps 1 to 135, springs 21.8, mineral waters 208 mg/L on average; alginate feels the difference."""
    sorts = ("purified water", "soft tap water", "bottled spring water", "tap water", "hard tap water", "bottled mineral water")
    found = [calcium.dissolved(row(key)).m for key in sorts]
    assert found == pytest.approx([0, 1, 21.8, 30, 135, 208])
    words = [calcium.wets(calcium.dissolved(row(key)), percent(0.5), ALGINATE) for key in sorts]
    order = [word for _, word in calcium.BANDS]
    assert [order.index(word) for word in words] == sorted(order.index(word) for word in words) and (words[0], words[-1]) == (order[0], order[-1])


def test_calcium_spoils_the_wetting_and_chloride_does_not():
    """The kitchen's claim, tested: half a gram of dihydrate in a litre sets the base; the bath's own chloride is a hundred taps'."""
    brought = mmol(bath(0.05, DIHYDRATE)) * Q_(40.078, "g/mol")
    assert brought.m_as("mg/L") == pytest.approx(136, abs=0.6) and calcium.wets(brought, percent(0.5), ALGINATE) == "sets in the blender"
    assert 2 * bath(0.5, DIHYDRATE) * 35.45 == pytest.approx(2410, abs=6)      # mg of chloride in a litre of bath


def test_more_alginate_or_more_guluronate_bears_more_calcium():
    at = lambda dose, row: calcium.calcium_at(0.25, percent(dose), row).m
    assert at(1, ALGINATE) == pytest.approx(2 * at(0.5, ALGINATE))
    assert at(0.5, row("sodium alginate rich in guluronate")) == pytest.approx(1.25 * at(0.5, ALGINATE))
    for ratio in (0.05, 0.3):
        assert calcium.per_guluronate(calcium.calcium_at(ratio, percent(0.7), ALGINATE), percent(0.7), ALGINATE) == pytest.approx(ratio)


@pytest.mark.parametrize("bad, error, words", [
    (dict(basis="w/x"), ValueError, "w/v|w/w"), (dict(salt="calcium chloride dihydrate"), TypeError, "Row"), (dict(dose=1), TypeError, "percent"),
    (dict(temperature=Q_(5, "delta_degC")), pint.DimensionalityError, "difference")])
def test_refuses_other_kinds(bad, error, words):
    with pytest.raises(error, match=words):
        calcium.concentration(**{**CALLS[calcium.concentration], **bad})
