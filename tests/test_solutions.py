"""solutions: limits, directions, balances and refusals; other tables and libraries. Printed values: test_checks."""
import inspect
import math

import CoolProp.CoolProp as coolprop
import numpy as np
import periodictable
import pint
import pytest
from iapws._iapws import _Ice, _Liquid

from kitchenlib import mixes, solutions, tables
from kitchenlib.mixes import Mix
from kitchenlib.solutions import Holding
from kitchenlib.units import OutOfRange, Q_

WARM = Q_(25, "degC")


def food(key):
    return tables.row(key, own=False)


def dissolved(key, percent):
    return Mix({"water": Q_(100 - percent, "g"), key: Q_(percent, "g")}, own=False)


def celsius(quantity):
    return quantity.m_as("degC")


# --- ice, steam, water activity ----------------------------------------------------------------------------------------------------------
def test_ice_and_water_by_the_free_energies_of_reference_equations():
    """Source: IAPWS R10-06 (ice) and SR6-08 (water at 0.1 MPa), by the library iapws: a_w is exp((g_ice - g_water) / R T)."""
    for degrees in (-1, -5, -10, -15, -19):
        kelvin = 273.15 + degrees
        gap = (_Ice(kelvin, 0.1)["g"] - _Liquid(kelvin)["g"]) * 18.015268          # J/mol
        assert solutions.ice_activity(Q_(degrees, "degC")) == pytest.approx(math.exp(gap / 8.314462 / kelvin), abs=6e-4)


def test_ice_activity_and_temperature_undo_each_other():
    for degrees in np.linspace(-44.9, 0, 19):
        activity = solutions.ice_activity(Q_(degrees, "degC"))
        assert celsius(solutions.ice_temperature(activity)) == pytest.approx(degrees, abs=1e-6)
    assert solutions.ice_activity(Q_(0, "degC")) == 1 and celsius(solutions.ice_temperature(1.0)) == pytest.approx(0, abs=1e-9)
    assert solutions.ice_temperature(np.array([0.8, 0.9])).shape == (2,)
    assert solutions.ice_activity(Q_(14, "degF")) == pytest.approx(solutions.ice_activity(Q_(-10, "degC")))


def test_molar_masses_are_those_of_the_elements():
    formulas = dict(sucrose="C12H22O11", lactose="C12H22O11", maltose="C12H22O11", glucose="C6H12O6", fructose="C6H12O6", salt="NaCl",
                    alcohol="C2H6O", glycerol="C3H8O3", erythritol="C4H10O4", xylitol="C5H12O5", sorbitol="C6H14O6", mannitol="C6H14O6",
                    water="H2O")
    for key, formula in formulas.items():
        assert food(key).molar_mass.m_as("g/mol") == pytest.approx(periodictable.formula(formula).mass, abs=0.01), key


def test_pure_water_is_the_limit():
    water = Mix({"water": Q_(1, "kg")}, own=False)
    assert solutions.water_activity(water) == pytest.approx(1)
    assert celsius(solutions.freezing_point(water)) == pytest.approx(0, abs=1e-9)
    assert solutions.osmotic_pressure(water, WARM).m == pytest.approx(0, abs=1e-12)
    for kilopascal in (50, 70, 90, 101.325, 110):
        boils = coolprop.PropsSI("T", "P", 1000 * kilopascal, "Q", 0, "Water") - 273.15
        assert celsius(solutions.boiling_point(water, pressure=Q_(kilopascal, "kPa"))) == pytest.approx(boils, abs=0.01)
    assert solutions.norrish(Q_(0, "percent"), food("sucrose")) == 1


@pytest.mark.parametrize("key", ["sucrose", "glucose", "fructose", "lactose", "maltose", "salt", "alcohol", "citric acid"])
def test_a_thin_solution_lowers_by_1_86_for_each_particle(key):
    """Cryoscopic constant of water, 1.86 K kg/mol: every route has this limit, whatever its constants."""
    particles = 2 if key == "salt" else 1
    molality = 0.01 / food(key).molar_mass.m_as("kg/mol") / 10 / 0.999
    ours = celsius(solutions.freezing_point(dissolved(key, 0.1)))
    assert ours == pytest.approx(-1.86 * particles * molality, rel=0.02)
    assert celsius(solutions.linear_freezing_point(Q_(particles * molality, "mol/kg"))) == pytest.approx(ours, rel=0.02)


@pytest.mark.parametrize("key, fluid, most, within", [("salt", "MNA", 22, 0.25), ("alcohol", "MEA", 28, 0.25)])
def test_brines_and_spirits_against_another_table(key, fluid, most, within):
    """Source: Melinder 2010, by the library CoolProp: another table than the one our line runs through."""
    for percent in range(2, most + 1, 2):
        freezes = coolprop.PropsSI("T_FREEZE", "T", 300, "P", 101325, f"INCOMP::{fluid}[{percent / 100}]") - 273.15
        assert celsius(solutions.freezing_point(dissolved(key, percent))) == pytest.approx(freezes, abs=within), percent


def test_salted_water_at_room_temperature():
    """Saturated salt holds 75 % relative humidity at 25 °C (Greenspan 1977, memory); 20 % about 0.84; freezing points end at 23 %: 0.81."""
    assert solutions.water_activity(dissolved("salt", 22.9)) == pytest.approx(0.81, abs=0.015)
    assert solutions.water_activity(dissolved("salt", 3.5)) == pytest.approx(0.98, abs=0.003)          # sea water (memory)


def test_polyols_near_their_own_freezing_points():
    """crc-solutions: glycerol; its printed constant 1.16 leaves 0.3 °C at 20 % and 1.4 °C at 40 %."""
    for percent, printed, within in ((5, -1.08, 0.05), (20, -5.46, 0.35), (40, -15.5, 1.5)):
        freezes = celsius(solutions.ice_temperature(solutions.norrish(Q_(percent, "percent"), food("glycerol"))))
        assert printed <= freezes <= printed + within


def test_measured_table_is_within_the_spread_or_close():
    """All read rows of sucrose: what the constant's low and high leave, or half the last printed digit."""
    read = [p for p in tables.records("solutions_freezing") if p["solute"] == "sucrose" and p["how"] == "read"]
    assert len(read) == 26
    for point in read:
        band = solutions.uncertain(solutions.freezing_point, dissolved("sucrose", point["share"].m_as("percent")))
        assert celsius(band.low) - 0.016 <= celsius(point["freezing_point"]) <= celsius(band.high) + 0.016, point["share"]


# --- a mix ---------------------------------------------------------------------------------------------------------------------------------
def test_what_is_dissolved_adds_up():
    """-ln a_w adds over sugar, salt and alcohol in the same water."""
    parts = {"sucrose": 15, "salt": 1, "alcohol": 5}
    held = [-math.log(solutions.water_activity(Mix({"water": Q_(80, "g"), key: Q_(mass, "g")}, own=False))) for key, mass in parts.items()]
    together = Mix({"water": Q_(80, "g"), **{key: Q_(mass, "g") for key, mass in parts.items()}}, own=False)
    assert -math.log(solutions.water_activity(together)) == pytest.approx(sum(held), rel=1e-12)
    halves = Mix({"water": Q_(75, "g"), "invert sugar": Q_(25, "g")}, own=False)
    assert celsius(solutions.freezing_point(halves)) == pytest.approx(celsius(solutions.freezing_point(dissolved("glucose", 25))), abs=0.01)


def test_norrish_of_one_sugar_is_the_mix_of_it():
    for key in ("sucrose", "glucose", "maltose"):
        assert solutions.norrish(Q_(30, "percent"), food(key)) == pytest.approx(solutions.water_activity(dissolved(key, 30)), rel=1e-12)


def test_directions():
    strong, weak = dissolved("sucrose", 40), dissolved("sucrose", 20)
    assert solutions.water_activity(strong) < solutions.water_activity(weak) < 1
    assert solutions.freezing_point(strong) < solutions.freezing_point(weak)
    assert solutions.boiling_point(strong) > solutions.boiling_point(weak) > Q_(99.97, "degC")
    assert solutions.boiling_point(weak, pressure=Q_(80, "kPa")) < Q_(95, "degC")
    assert solutions.osmotic_pressure(strong, WARM) > solutions.osmotic_pressure(weak, WARM) > solutions.osmotic_pressure(weak, Q_(5, "degC"))
    assert solutions.freezing_point(dissolved("glucose", 20)) < solutions.freezing_point(weak)      # half the mass, twice the number
    assert solutions.freezing_point(weak.boiled(Q_(20, "percent"))) < solutions.freezing_point(weak)
    assert solutions.freezing_point(weak.scaled(Q_(5, "kg"))).m == pytest.approx(solutions.freezing_point(weak).m)


def test_spread_says_what_is_weak():
    fig, syrup, milk = (Mix({key: Q_(100, "g")}, own=False) for key in ("fig", "maple syrup", "whole milk"))
    band = solutions.uncertain(solutions.freezing_point, fig)             # its sugars are not told apart in the table
    assert celsius(band.low) < -2.3 and celsius(band.high) > -1.6
    ends = [celsius(solutions.freezing_point(fig, single_sugars=x)) for x in (0.0, 1.0)]
    assert ends[0] > ends[1] and ends == [pytest.approx(celsius(band.high), abs=0.1), pytest.approx(celsius(band.low), abs=0.1)]
    for single, name in ((0.0, "sucrose"), (1.0, "glucose")):
        told = Mix({food("fig").but(**{name: Q_(16.26, "percent")}): Q_(100, "g")}, own=False)
        assert solutions.water_activity(told) == pytest.approx(solutions.water_activity(fig, single_sugars=single), rel=1e-12)
    band = solutions.uncertain(solutions.water_activity, dissolved("sucrose", 50))
    assert band.low < 0.9338 < band.high                                  # Pickering's 49.75 % (memory)
    assert solutions.uncertain(solutions.osmotic_pressure, milk, temperature=WARM).low.m > 0.6    # blood and milk: about 0.7 MPa (memory)
    assert celsius(solutions.boiling_point(syrup)) == pytest.approx(104.1, abs=1.0)     # maple is drawn off 4 °C above water: common practice


@pytest.mark.parametrize("key", ["apple", "pear", "plum", "strawberry", "blueberry", "blackberry", "sweet cherry", "cucumber", "celery"])
def test_fruits_freeze_near_where_they_were_measured(key):
    """fruit-freezing-table, ashrae-foods, kjfp-2016: other fruits than the table's, so within 0.35 °C."""
    fact = food(key).facts("freezing_point")
    ours = celsius(solutions.freezing_point(Mix({key: Q_(100, "g")}, own=False)))
    assert min(abs(ours - celsius(f.value)) for f in fact) <= 0.35


def test_milk_freezes_where_dairies_expect_it():
    """-0.52 to -0.55 °C (memory): so steady that added water is found by it. Sugar alone would say -0.3."""
    milk = Mix({"whole milk": Q_(1, "kg")}, own=False)
    assert celsius(solutions.freezing_point(milk)) == pytest.approx(-0.535, abs=0.04)
    watered = milk + Mix({"water": Q_(100, "g")}, own=False)
    assert celsius(solutions.freezing_point(watered)) == pytest.approx(-0.535 * 0.8813 / 0.9813, abs=0.04)      # all of it thinned alike


# --- holding, syrups -------------------------------------------------------------------------------------------------------------------------
def test_holding_says_which_way_the_water_goes():
    juice, water, syrup = Mix({"apple juice": Q_(1, "kg")}, own=False), Mix({"water": Q_(1, "kg")}, own=False), dissolved("sucrose", 50)
    shrinks, swells, even = (solutions.holding(juice, liquid, WARM) for liquid in (syrup, water, juice))
    assert shrinks.outward.m > 5 and shrinks.heavier.m < -100 and swells.outward.m < 0 < swells.heavier.m
    assert "shrinks" in solutions.holding_words(shrinks) and "floats" in solutions.holding_words(shrinks)
    assert "swells" in solutions.holding_words(swells) and "sinks" in solutions.holding_words(swells)
    assert "Even" in solutions.holding_words(even) and "neither" in solutions.holding_words(even)
    assert (even.outward.m, even.heavier.m) == (0, 0)
    apart = solutions.osmotic_pressure(syrup, WARM) - solutions.osmotic_pressure(juice, WARM)
    assert shrinks.outward.m_as("MPa") == pytest.approx(apart.m_as("MPa"))
    assert solutions.holding(juice, dissolved("sucrose", 12), WARM).heavier.m == pytest.approx(0, abs=5)      # °Brix for °Brix
    assert Holding._fields == ("inside", "outside", "outward", "heavier")


def test_syrup_density_and_floating_undo_each_other_and_meet_every_row():
    for point in tables.records("solutions_density"):
        density = solutions.syrup_density(point["share"])
        assert density.m == pytest.approx(point["density"].m_as("kg/m**3"))
        assert density.m * point["share"].m_as("") == pytest.approx(point["per_litre"].m_as("g/L"), abs=0.1)  # the table's other column
    for degrees in np.linspace(0, 70, 15):
        there = solutions.syrup_density(Q_(degrees, "brix"))
        assert solutions.floating_brix(there).m == pytest.approx(degrees, abs=0.05)
        if degrees:
            assert mixes.density(dissolved("sucrose", degrees), Q_(20, "degC")).m == pytest.approx(there.m, rel=0.005)


def test_parts_by_the_jug_and_by_the_scale():
    sugar = food("sugar")
    for parts in ((1, 1), (1, 2), (2, 1.5)):
        by_mass, by_volume = (solutions.syrup(*parts, by, sugar).m_as("percent") for by in ("mass", "volume"))
        assert by_mass == pytest.approx(100 * parts[0] / sum(parts)) and by_volume < by_mass
        mix = Mix({"water": Q_(parts[1], "kg"), "sucrose": Q_(parts[0], "kg")}, own=False)
        assert mixes.brix(mix).m == pytest.approx(by_mass)
        after = mix.boiled(Q_(10, "percent"))
        assert mixes.brix(after).m == pytest.approx(solutions.simmered(mixes.brix(mix), Q_(10, "percent")).m)
    assert solutions.simmered(Q_(0, "brix"), Q_(50, "percent")).m == 0
    assert solutions.syrup(1, 1, "volume", sugar.but(bulk_density=Q_(998.2, "kg/m**3"))).m == pytest.approx(50)


# --- refusals --------------------------------------------------------------------------------------------------------------------------------
@pytest.mark.parametrize("wrong, error, says", [
    (lambda: solutions.water_activity(Mix({"sucrose": Q_(1, "kg")})), OutOfRange, "no water in this mix"),
    (lambda: solutions.freezing_point(Mix({"olive oil": Q_(1, "kg")})), OutOfRange, "no water in this mix"),
    (lambda: solutions.freezing_point(dissolved("salt", 24)), OutOfRange, "more salt than was measured: at most 23 %"),
    (lambda: solutions.freezing_point(dissolved("alcohol", 41)), OutOfRange, "more alcohol than was measured: at most 40 %"),
    (lambda: solutions.freezing_point(dissolved("fructose", 85)), OutOfRange, "no ice above -45"),
    (lambda: solutions.water_activity(Mix({"cider": Q_(1, "kg")})), LookupError, "of cider is not in the tables"),
    (lambda: solutions.water_activity(Mix({"dill": Q_(1, "kg")})), LookupError, "sugars of dill"),
    (lambda: solutions.water_activity({"water": 1}), TypeError, "write Mix"),
    (lambda: solutions.water_activity(dissolved("salt", 1), norrish_factor=-1), OutOfRange, "norrish_factor"),
    (lambda: solutions.boiling_point(dissolved("alcohol", 10)), OutOfRange, "alcohol boils off before"),
    (lambda: solutions.boiling_point(dissolved("salt", 1), pressure=Q_(3, "bar")), OutOfRange, "pressure"),
    (lambda: solutions.ice_activity(Q_(1, "degC")), OutOfRange, "temperature"),
    (lambda: solutions.ice_activity(Q_(-50, "degC")), OutOfRange, "temperature"),
    (lambda: solutions.ice_temperature(1.1), OutOfRange, "activity"),
    (lambda: solutions.norrish(Q_(10, "percent"), "sucrose"), TypeError, "row"),
    (lambda: solutions.norrish(Q_(10, "percent"), food("salt")), LookupError, "salt has no norrish_constant"),
    (lambda: solutions.norrish(Q_(80, "percent"), food("sucrose")), OutOfRange, "share"),
    (lambda: solutions.floating_brix(Q_(990, "kg/m**3")), OutOfRange, "density"),
    (lambda: solutions.syrup_density(Q_(71, "brix")), OutOfRange, "brix"),
    (lambda: solutions.syrup(1, 1, "weight", food("sugar")), ValueError, "by is mass, volume"),
    (lambda: solutions.syrup(3, 1, "mass", food("sugar")), OutOfRange, "75 °Bx is more sugar than stays dissolved"),
    (lambda: solutions.simmered(Q_(50, "brix"), Q_(60, "percent")), OutOfRange, "cannot boil away"),
    (lambda: solutions.holding(dissolved("salt", 1), dissolved("salt", 2), Q_(70, "degC")), OutOfRange, "temperature"),
    (lambda: solutions.linear_freezing_point(Q_(-1, "mol/kg")), OutOfRange, "molality"),
    (lambda: solutions.osmotic_pressure(dissolved("salt", 1), Q_(20, "g")), pint.DimensionalityError, "temperature")])
def test_refusals(wrong, error, says):
    with pytest.raises(error, match=says) as caught:
        wrong()
    assert "\n" not in str(caught.value) and len(str(caught.value)) < 240


def test_ranges_stand_in_the_docstrings():
    for model in (f for f in vars(solutions).values() if hasattr(f, "takes") and f.__module__ == solutions.__name__):
        text = inspect.getdoc(model.si)
        for name, ends in (model.valid or {}).items():
            if name not in solutions._WEAK or model is solutions.water_activity:
                for end in ends:
                    assert f"{end:,.10g}" in text, (model.__name__, name, end)
