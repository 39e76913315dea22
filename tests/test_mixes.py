"""mixes: balances, limits and refusals of a Mix and of what follows from its composition. Printed values: test_checks."""
import inspect
import math
import re

import periodictable
import pint
import pytest
from hypothesis import given, strategies

from kitchenlib import checks, mixes, tables
from kitchenlib.mixes import ACIDS, BULK, COMPONENTS, Mix, PARTS, SUGARS, TRACES, composition
from kitchenlib.units import OutOfRange, Q_

FOODS = dict.fromkeys(record["food"] for table in ("foods", "foods_freezing", "foods_pure") for record in tables.records(table))
WARM = Q_(20, "degC")
SYRUP = {"water": Q_(750, "g"), "sucrose": Q_(250, "g")}


def food(key):
    return tables.row(key, own=False)


def grams(quantity):
    return quantity.m_as("g")


# --- foods ---------------------------------------------------------------------------------------------------------------------------
@pytest.mark.parametrize("key", FOODS)
def test_a_printed_food_adds_up(key):
    """Food tables give carbohydrate as what is left, so the parts make 100 %; sugars, fibre and known acids fit into them within 1 %."""
    shares = composition(food(key))
    if None not in [shares[part] for part in PARTS]:
        assert sum(shares[part] for part in PARTS) == pytest.approx(1, abs=0.012)
    assert all(share is None or 0 <= share <= 1 for share in shares.values())
    assert sum(shares[name] or 0 for name in TRACES) <= 1.001 * (1 if shares["ash"] is None else shares["ash"]) + 0.0005


def test_foods_have_one_key_for_composition_ph_calcium_and_freezing():
    for key in ("orange juice", "whole milk", "lemon juice", "apple juice"):
        assert {"water", "sucrose", "calcium", "ph"} <= set(food(key)), key
    for key in ("raspberry", "strawberry", "carrot", "cucumber", "apple"):
        assert {"water", "sucrose", "calcium", "ph", "freezing_point"} <= set(food(key)), key
    lists = [(fact.low, fact.value, fact.high) for fact in food("raspberry").facts("ph")]
    assert lists == [(3.2, pytest.approx(3.4), 3.6), (None, 3.78, None)]          # crc-ph, errc-ph
    assert food("orange juice").calcium == Q_(11, "mg_per_100g") and food("orange juice").si("calcium") == pytest.approx(110e-6)


def test_a_food_says_its_source_and_how_and_what_is_missing_is_missing():
    fact = food("fig").fact("sugars")
    assert (fact.source, fact.locator, fact.how) == ("usda-sr28", "09089", "read")
    assert "sucrose" not in food("fig")                       # the table has an empty cell there
    with pytest.raises(LookupError, match="fig has no sucrose"):
        food("fig").fact("sucrose")
    with pytest.raises(LookupError, match="Did you mean 'raspberry'"):
        tables.row("rasberry")


def test_salt_is_sodium_counted_as_sodium_chloride():
    """EU labels take 2.5; the molar masses say 2.542."""
    salt = periodictable.formula("NaCl").mass / periodictable.formula("Na").mass
    assert mixes.SALT_OF_SODIUM == pytest.approx(salt, rel=1e-4)
    assert Mix({"soy sauce": Q_(100, "g")}).share("salt").m == pytest.approx(5.493 * salt, rel=1e-4)
    assert grams(Mix({"salt": Q_(10, "g")}).total("sodium")) == pytest.approx(10 / salt, rel=1e-4)
    assert composition(food("dextrose"))["water"] == pytest.approx(
        periodictable.formula("H2O").mass / periodictable.formula("C6H14O7").mass, abs=1e-4)


# --- what is not known ---------------------------------------------------------------------------------------------------------------
def test_what_a_food_does_not_know_is_no_zero():
    mix = Mix({"fig": Q_(100, "g"), "sugar": Q_(50, "g"), "water": Q_(50, "g")})
    assert mix.unknown("sucrose") == ("fig",) and mix.unknown("sugars") == ()
    assert grams(mix.total("sugars")) == pytest.approx(16.26 + 0.998 * 50)
    assert 1000 * mix.si_known("sucrose") == pytest.approx(0.998 * 50)
    with pytest.raises(LookupError, match=r"sucrose of fig is not in the tables.*row\('fig'\).but\(sucrose=Q_\("):
        mix.total("sucrose")
    known = Mix({food("fig").but(sucrose=Q_(0.4, "percent")): Q_(100, "g")})
    assert grams(known.total("sucrose")) == pytest.approx(0.4)
    assert grams(Mix({"whole milk": Q_(100, "g"), "cream cheese": Q_(0, "g")}).total("water")) == pytest.approx(88.13)   # none of it in


def test_where_no_room_is_left_nothing_is_unknown():
    for pure, only in (("water", "water"), ("sucrose", "sucrose"), ("salt", "salt"), ("alcohol", "alcohol"), ("citric acid", "citric_acid")):
        mix = Mix({pure: Q_(10, "g")})
        assert grams(mix.total(only)) == pytest.approx(10)
        for name in {*SUGARS, *ACIDS, "water", "protein", "fat", "alcohol", "fibre", "calcium"} - {only}:
            assert mix.si_total(name) == 0, (pure, name)
    assert Mix({"olive oil": Q_(1, "g")}).si_total("glucose") == 0      # 100 % fat leaves no room


def test_own_values_and_the_shelf(own_folder):
    tables.add_to_shelf({"product": "house cordial", "property": "water", "value": "60", "unit": "percent"})
    tables.add_to_shelf({"product": "house cordial", "property": "sucrose", "value": "40", "unit": "percent"})
    assert grams(Mix({"house cordial": Q_(200, "g")}).total("sugars")) == pytest.approx(80)
    with pytest.raises(LookupError, match="house cordial"):
        Mix({"house cordial": Q_(200, "g")}, own=False)


# --- balance ---------------------------------------------------------------------------------------------------------------------------
POTS = strategies.dictionaries(strategies.sampled_from(["water", "sugar", "whole milk", "orange juice", "salt", "heavy cream", "egg yolk"]),
                               strategies.floats(0.1, 5000), min_size=1)


@given(POTS, POTS, strategies.floats(0.01, 100))
def test_sums_and_scaling_balance(one, other, factor):
    a, b = (Mix({key: Q_(mass, "g") for key, mass in pot.items()}, own=False) for pot in (one, other))
    for name in (*PARTS, "sugars", "salt", "calcium"):
        assert (a + b).si_total(name) == pytest.approx(a.si_total(name) + b.si_total(name), rel=1e-12, abs=1e-15)
        assert a.scaled(a.mass * factor).si_share(name) == pytest.approx(a.si_share(name), rel=1e-12)
    assert a.scaled(Q_(3, "kg")).kg == pytest.approx(3) and a.kg == pytest.approx(sum(one.values()) / 1000)
    assert sum(a.si_total(part) for part in PARTS) == pytest.approx(a.kg, rel=0.005)


@given(POTS, strategies.floats(0, 99))
def test_boiling_off_takes_water_and_nothing_else(pot, share):
    mix = Mix({**{key: Q_(mass, "g") for key, mass in pot.items()}, "water": Q_(5000, "g")}, own=False)
    lost = share / 100 * mix.total("water")
    after = mix.boiled(lost)
    assert after.kg == pytest.approx(mix.kg - lost.m_as("kg")) and after.si_total("water") == pytest.approx(mix.si_total("water") * (1 - share / 100))
    for name in ("sugars", "fat", "protein", "salt", "calcium"):
        assert after.si_total(name) == mix.si_total(name)
    assert mix.boiled(mix.share("water") * share / 100).kg == pytest.approx(after.kg)      # per cent of the whole
    assert (after + after).scaled(after.mass).si_total("water") == pytest.approx(after.si_total("water"), abs=1e-12)


def test_shares_on_any_base_and_in_other_units():
    mix = Mix({**SYRUP, "agar": Q_(10, "g")})
    assert mix.share("agar").m_as("percent") == pytest.approx(100 * 10 / 1010)
    assert mix.share("agar", of="water").m_as("percent") == pytest.approx(100 * 10 / 750.9)      # agar holds 9 % of water itself
    assert mix.share("sucrose", of="water") is not None and mix.unknown("sucrose") == ()
    assert mix.share("sucrose", of="sugars").m == pytest.approx(100)
    ounces = Mix({"water": Q_(750, "g").to("ounce"), "sucrose": Q_(0.25, "kg")})
    assert ounces.share("sucrose").m == pytest.approx(Mix(SYRUP).share("sucrose").m)
    assert Mix({food("water"): Q_(750, "g"), "sucrose": Q_(250, "g")}, own=False) == Mix(SYRUP, own=False)
    assert mixes.read("water 750 g + sucrose 250 g") == mixes.read("sucrose 0.25 kg+ water 500 g + water 250 g") == Mix(SYRUP)
    assert checks.read_inputs("mix=water 750 g + sucrose 250 g; lost=2 %")["mix"] == Mix(SYRUP, own=False)
    assert checks.read_value("one reading") == "one reading"
    assert repr(Mix(SYRUP).boiled(Q_(50, "g"))) == "<Mix water 750.0 g + sucrose 250.0 g, less 50.00 g boiled off>"
    assert len({Mix(SYRUP), Mix(SYRUP), Mix(SYRUP).boiled(Q_(1, "g"))}) == 2


# --- refusals --------------------------------------------------------------------------------------------------------------------------
@pytest.mark.parametrize("wrong, error, says", [
    (lambda: Mix({"watr": Q_(1, "g")}), LookupError, "Did you mean 'water'"),
    (lambda: Mix({"water": 750}), TypeError, r"needs a unit: write Q_\(750, 'g'\)"),
    (lambda: Mix({"water": "750 g"}), TypeError, "the mass of water must be a mass"),
    (lambda: Mix({"water": Q_(750, "mL")}), pint.DimensionalityError, "the mass of water = 750.0 mL.*in g"),
    (lambda: Mix({"water": Q_([1, 2], "g")}), TypeError, "one value, not 2"),
    (lambda: Mix({"water": Q_(-1, "g")}), OutOfRange, "the mass of water = -1.*0 g and above"),
    (lambda: Mix({"water": Q_(math.nan, "g")}), OutOfRange, "no mass"),
    (lambda: Mix({"water": Q_(math.inf, "g")}), OutOfRange, "no mass"),
    (lambda: Mix({}), OutOfRange, "needs something in it"),
    (lambda: Mix({"water": Q_(0, "g")}), OutOfRange, "needs something in it"),
    (lambda: Mix("water"), TypeError, "write Mix"),
    (lambda: Mix({food("orange juice").but(water=Q_(99, "percent")): Q_(1, "g")}), ValueError, r"orange juice does not add up.*110\.9 %.*water 99"),
    (lambda: Mix({food("orange juice").but(sucrose=Q_(40, "percent")): Q_(1, "g")}), ValueError, "carbohydrate 46"),
    (lambda: Mix(SYRUP).total("suger"), LookupError, "neither a component nor in this mix; sugars"),
    (lambda: Mix(SYRUP).total("agar"), LookupError, "agar"),
    (lambda: Mix(SYRUP).share("fat", of="alcohol"), OutOfRange, "no alcohol"),
    (lambda: Mix({"cider": Q_(1, "g")}).total("water"), LookupError, "water of cider is not in the tables"),
    (lambda: Mix(SYRUP).boiled(Q_(76, "percent")), OutOfRange, "760.* g cannot boil away: the mix holds 750.* g"),
    (lambda: Mix(SYRUP).boiled(Q_(-1, "g")), OutOfRange, "0 g and above"),
    (lambda: Mix(SYRUP).boiled(10), TypeError, "boiled needs a unit"),
    (lambda: Mix(SYRUP).scaled(Q_(0, "g")), OutOfRange, "every mass is 0"),
    (lambda: Mix(SYRUP).scaled(Q_(2, "degC")), pint.DimensionalityError, "scaled"),
    (lambda: setattr(Mix(SYRUP), "kg", 2), AttributeError, "never changed"),
    (lambda: Mix(SYRUP) + 2, TypeError, "unsupported"),
    (lambda: mixes.read("750 g water"), ValueError, "a mix reads"),
    (lambda: mixes.read("water 1,600 g"), ValueError, "1.600 or 1600"),
    (lambda: mixes.read("water 3 spoons + sugar 2 g"), ValueError, "spoons|teaspoon"),
    (lambda: mixes.read(""), ValueError, "a mix reads"),
    (lambda: mixes.density(SYRUP, WARM), TypeError, "mix must be a Mix.*write Mix"),
    (lambda: mixes.density(Mix(SYRUP), Q_(-5, "degC")), OutOfRange, "temperature"),
    (lambda: mixes.heat_capacity(Mix(SYRUP), Q_(101, "degC")), OutOfRange, "temperature"),
    (lambda: mixes.conductivity(Mix(SYRUP), 20), TypeError, "temperature needs a unit"),
    (lambda: mixes.brix(Mix({"cider": Q_(1, "g")})), LookupError, "cider")])
def test_refusals_are_one_sentence_with_the_mend(wrong, error, says):
    with pytest.raises(error, match=says) as caught:
        wrong()
    assert "\n" not in str(caught.value) and len(str(caught.value)) < 260


# --- what follows ------------------------------------------------------------------------------------------------------------------------
def test_water_alone_is_water():
    from kitchenlib import heat
    water = Mix({"water": Q_(1, "kg")})
    for celsius in (0, 5, 20, 60, 100):
        reference = heat.water(Q_(celsius, "degC"))                     # iapws-sr6-08-2011
        assert mixes.density(water, Q_(celsius, "degC")).m == pytest.approx(reference.density.m, rel=0.006)
        assert mixes.heat_capacity(water, Q_(celsius, "degC")).m == pytest.approx(reference.heat_capacity.m, rel=0.012)
        assert mixes.conductivity(water, Q_(celsius, "degC")).m == pytest.approx(reference.conductivity.m, rel=0.03)
    assert mixes.brix(water).m == 0


def test_directions_and_units():
    thin, thick = Mix(SYRUP), Mix({"water": Q_(500, "g"), "sucrose": Q_(500, "g")})
    assert mixes.density(thick, WARM) > mixes.density(thin, WARM) > mixes.density(Mix({"heavy cream": Q_(1, "g")}), WARM)
    assert mixes.density(thin, Q_(80, "degC")) < mixes.density(thin, WARM)
    assert mixes.heat_capacity(thick, WARM) < mixes.heat_capacity(thin, WARM)
    assert mixes.conductivity(thick, WARM) < mixes.conductivity(thin, WARM)
    assert mixes.density(thin, Q_(68, "degF")).m == pytest.approx(mixes.density(thin, WARM).m)
    assert mixes.brix(thick).m == pytest.approx(50) and mixes.brix(thin.boiled(Q_(50, "percent"))).m == pytest.approx(50)
    shares = mixes.bulk(Mix({"whole milk": Q_(1, "kg")}))
    assert set(shares) == set(BULK) and sum(shares.values()) == pytest.approx(1)


def test_component_properties_lie_where_handbooks_have_them():
    """FAO T0713E: ice 2.22, 2.31, 2.42 W/m/K and 2.05 kJ/kg/K; walstra-2003: 2.101 and 4.218 kJ/kg/K at 0 °C."""
    for celsius, printed in ((0, 2.22), (-10, 2.31), (-20, 2.42)):
        assert mixes.component("conductivity", "ice", 273.15 + celsius) == pytest.approx(printed, rel=0.02)
    assert mixes.component("heat_capacity", "ice", 273.15) == pytest.approx(2101, rel=0.02)
    assert mixes.component("density", "ice", 273.15) == pytest.approx(916.7, rel=0.001)
    for name, least, most in (("density", 900, 2500), ("heat_capacity", 1000, 4300), ("conductivity", 0.15, 0.7)):
        for part in BULK:
            for celsius in (0, 50, 100) if part != "alcohol" else (0, 50, 78):
                low = 700 if (name, part) == ("density", "alcohol") else 850 if part == "fat" and name == "density" else least
                assert low <= mixes.component(name, part, 273.15 + celsius) <= most, (name, part)


def test_ranges_and_names_stand_in_the_docstrings():
    for model in (mixes.density, mixes.heat_capacity, mixes.conductivity):
        assert "0 to 100" in inspect.getdoc(model.si)
    assert re.search("COMPONENTS", inspect.getdoc(Mix)) and len(set(COMPONENTS)) == len(COMPONENTS)
