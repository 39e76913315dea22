"""weighing: limits, balances and refusals of each model. Printed values: test_checks."""
import inspect
import math

import numpy as np
import pytest
import uncertainties
from hypothesis import given, settings, strategies as st

from doors import beyond, by_name, magnitudes, refuses, same_for_many, same_in
from kitchenlib import tables, weighing
from kitchenlib.tables import Row, row
from kitchenlib.units import OutOfRange, Q_, Quantity

CALLS = {
    weighing.of_total: dict(dose=Q_(1.5, "percent"), total=Q_(400, "g")),
    weighing.into_liquid: dict(dose=Q_(5, "percent"), liquid=Q_(400, "g")),
    weighing.on_total: dict(dose=Q_(3, "percent")),
    weighing.on_liquid: dict(dose=Q_(3, "percent")),
    weighing.per_litre: dict(dose=Q_(10, "percent"), density=Q_(1038, "kg/m**3")),
    weighing.from_per_litre: dict(concentration=Q_(50, "g/L"), density=Q_(2500, "kg/m**3")),
    weighing.bakers_percent: dict(mass=Q_(650, "g"), flour=Q_(1000, "g")),
    weighing.flour_for: dict(batch=Q_(1690, "g"), formula=Q_(169, "percent")),
    weighing.sugar_for: dict(water=Q_(700, "g"), strength=Q_(30, "brix")),
    weighing.water_to_dilute: dict(mass=Q_(1000, "g"), strength=Q_(100, "percent"), wanted=Q_(0.001, "percent")),
    weighing.to_buy: dict(wanted=Q_(1000, "g"), food=row("carrot", own=False), form="juice"),
    weighing.usable_price: dict(price=1.5, share=Q_(90, "percent")),
    weighing.uncertainty: dict(step=Q_(1, "g"), repeats=Q_(0.5, "g"), calibration=Q_(1, "g")),
    weighing.resolution: dict(mass=Q_(2, "g"), step=Q_(0.1, "g")),
    weighing.smallest_load: dict(step=Q_(0.1, "g"), within=Q_(5, "percent")),
    weighing.smallest_batch: dict(dose=Q_(0.3, "percent"), step=Q_(0.1, "g"), within=Q_(5, "percent")),
    weighing.scale_for: dict(mass=Q_(2, "g"), within=Q_(100, "percent")),
    weighing.dose_weighed: dict(mass=Q_(0.01, "g"), batch=Q_(1e6, "g"), step=Q_(1e-4, "g"), batch_step=Q_(1, "g")),
    weighing.carried: dict(relative=Q_(10, "percent"), sensitivity=2.0),
    weighing.by_stock: dict(dose=Q_(1e-4, "percent"), batch=Q_(1, "g"), strength=Q_(2, "percent"), made=Q_(100, "g"), step=Q_(0.1, "g")),
    weighing.strongest_stock: dict(dose=Q_(0.1, "percent"), batch=Q_(400, "g"), step=Q_(0.1, "g"), within=Q_(5, "percent"))}
ARGUMENTS = [(model, name) for model, call in CALLS.items() for name in call if isinstance(model.takes[name], str)]
OTHER = {"g": "ounce", "percent": "g/kg", "kg/m**3": "g/L", "g/L": "kg/m**3", "brix": "percent", "": "", "degC": "degF",
         "delta_degC": "delta_degF"}
NO_OTHER_END = {(weighing.water_to_dilute, "strength"), (weighing.by_stock, "dose"), (weighing.by_stock, "batch"), (weighing.by_stock, "strength"),
                (weighing.by_stock, "made"), (weighing.dose_weighed, "mass"), (weighing.dose_weighed, "batch"), (weighing.scale_for, "mass"),
                (weighing.scale_for, "within")}              # an end that makes no sense beside the other numbers: tested on its own below


def test_every_model_has_a_call():
    assert set(CALLS) == {f for f in vars(weighing).values() if hasattr(f, "takes")}


@pytest.mark.parametrize("model, name", ARGUMENTS, ids=by_name)
def test_refusals_and_ends_in_any_unit(model, name):
    call, unit = CALLS[model], model.takes[name]
    optional = inspect.signature(model).parameters[name].default is None
    strange = ("2 g", Q_(2, "second"), Q_(2, "mL"), *([2.0] if unit else []), *([] if optional else [None]))           # a volume is no mass
    out = (*beyond(model, name), math.inf, -math.inf, *((0.0, -1.0) if model.valid[name][0] > 0 else ()))
    refuses(model, call, name, strange, out)
    for bad in out:
        with pytest.raises(OutOfRange, match=f"{model.__name__}: {name}"):
            model(**{**call, name: Q_(bad, unit).to(OTHER[unit])})
    for end in () if (model, name) in NO_OTHER_END else model.valid[name]:
        at_end = {**call, name: Q_(end, unit)}
        assert np.isfinite(magnitudes(model(**at_end))).all()
        same_in(model, at_end, name, OTHER[unit])


@pytest.mark.parametrize("model", CALLS, ids=by_name)
def test_ranges_stand_in_the_docstring(model):
    for name, ends in model.valid.items():
        for end in ends:
            assert f"{end:,.10g}" in inspect.getdoc(model.si), (name, end)


@pytest.mark.parametrize("model, name", ARGUMENTS, ids=by_name)
def test_same_answer_in_another_unit_and_for_arrays(model, name):
    if unit := model.takes[name]:
        same_in(model, CALLS[model], name, OTHER[unit])
    same_for_many(model, CALLS[model], name)


@pytest.mark.parametrize("model", [f for f in CALLS if f not in (
    weighing.to_buy, weighing.scale_for, weighing.usable_price, weighing.carried)], ids=by_name)
def test_dimension_of_the_formula(model):
    core = model.si(**{name: x.to_base_units() if isinstance(x, Quantity) else x for name, x in CALLS[model].items()})
    units = model.returns.units.values() if hasattr(model.returns, "units") else (model.returns,)
    for got, unit in zip(core if isinstance(core, tuple) else (core,), units):
        assert Q_(1, "dimensionless") * got / Q_(1, unit or "dimensionless") == pytest.approx(0, abs=math.inf)        # no unit is left over
        assert (Q_(1, "dimensionless") * got).is_compatible_with(Q_(1, unit or "dimensionless"))


def test_what_is_added_to_a_liquid_is_that_share_of_the_total():
    liquid = Q_(400, "g")
    for dose in (0.3, 5.0, 50.0, 95.0):
        added = weighing.into_liquid(Q_(dose, "percent"), liquid)
        assert (added / (liquid + added)).m_as("percent") == pytest.approx(dose)
        assert weighing.of_total(Q_(dose, "percent"), liquid + added).m_as("g") == pytest.approx(added.m_as("g"))
    assert weighing.into_liquid(Q_(0, "percent"), liquid).m == 0


def test_a_step_is_a_rectangle():
    """Readings spread evenly over one step scatter by step / sqrt(12) (JCGM 100:2008, F.2.2.1): here by numpy, not by formula."""
    inside = np.linspace(-0.5, 0.5, 100001)
    weighed = weighing.resolution(Q_(20, "g"), Q_(1, "g"))
    assert weighed.standard.m_as("g") == pytest.approx(inside.std(), rel=1e-4)
    assert weighed.relative.m_as("percent") == pytest.approx(100 * inside.std() / 20, rel=1e-4)
    assert (weighed.low.m_as("g"), weighed.high.m_as("g")) == (pytest.approx(19.5), pytest.approx(20.5))


def test_a_tared_bowl_is_two_readings():
    """The difference of two readings scatters by step / sqrt(6) and lies within a whole step either way."""
    one, other = np.meshgrid(*[np.linspace(-0.5, 0.5, 1001)] * 2)
    weighed = weighing.resolution(Q_(20, "g"), Q_(1, "g"), "tared")
    assert weighed.standard.m_as("g") == pytest.approx((one - other).std(), rel=2e-3)
    assert weighed.standard.m_as("g") == pytest.approx(1 / math.sqrt(6))
    assert (weighed.low.m_as("g"), weighed.high.m_as("g")) == (pytest.approx(19), pytest.approx(21))
    assert (one - other).min() == pytest.approx(-1) and (one - other).max() == pytest.approx(1)


def test_no_mass_is_below_nothing():
    weighed = weighing.resolution(Q_(0.3, "g"), Q_(1, "g"), "tared")
    assert weighed.low.m == 0 and weighed.high.m_as("g") == pytest.approx(1.3)


def test_how_many_readings_is_a_word():
    with pytest.raises(ValueError, match="tared"):
        weighing.resolution(Q_(2, "g"), Q_(0.1, "g"), "tarred")
    assert weighing.resolution(Q_(2, "g"), Q_(0.1, "g")) == weighing.resolution(Q_(2, "g"), Q_(0.1, "g"), "one reading")


def test_the_smallest_load_is_weighed_just_so_well():
    """Twice the standard uncertainty of the smallest load is `within` of it."""
    for step, within in ((1, 5), (0.1, 5), (0.01, 0.5)):
        load = weighing.smallest_load(Q_(step, "g"), Q_(within, "percent"))
        assert 2 * weighing.resolution(load, Q_(step, "g")).relative.m_as("percent") == pytest.approx(within)


@pytest.mark.parametrize("model, call, says", [
    (weighing.water_to_dilute, dict(mass=Q_(1, "kg"), strength=Q_(30, "brix"), wanted=Q_(65, "brix")), "boil it down"),
    (weighing.from_per_litre, dict(concentration=Q_(1200, "g/L"), density=Q_(1000, "kg/m**3")), "cannot hold more"),
    (weighing.dose_weighed, dict(mass=Q_(500, "g"), batch=Q_(400, "g"), step=Q_(1, "g")), "swap them"),
    (weighing.scale_for, dict(mass=Q_(1, "mg"), within=Q_(1, "percent")), "make a stock"),
    (weighing.by_stock, dict(dose=Q_(3, "percent"), batch=Q_(400, "g"), strength=Q_(2, "percent"), made=Q_(900, "g"), step=Q_(1, "g")), "stronger"),
    (weighing.by_stock, dict(dose=Q_(0.5, "percent"), batch=Q_(400, "g"), strength=Q_(2, "percent"), made=Q_(50, "g"), step=Q_(1, "g")), "100 g of stock"),
    (weighing.carried, dict(relative=Q_(60, "percent"), sensitivity=-2.0), "endless")])
def test_what_makes_no_sense_together_is_refused(model, call, says):
    with pytest.raises(OutOfRange, match=says):
        model(**call)


# --- per cent and bases ----------------------------------------------------------------------------------------------------------------
@given(p=st.floats(1e-9, 95))
def test_bases_turn_back(p):
    """On the liquid and back, in a litre and back; per cent on the liquid is never below per cent of the total."""
    dose, density = Q_(p, "percent"), Q_(1040, "kg/m**3")
    liquid = weighing.on_liquid(dose)
    assert weighing.on_total(liquid).m_as("percent") == pytest.approx(p, rel=1e-9, abs=1e-12)
    assert liquid.m_as("percent") >= p * (1 - 1e-12)
    assert weighing.from_per_litre(weighing.per_litre(dose, density), density).m_as("percent") == pytest.approx(p, rel=1e-9, abs=1e-12)


@given(mass=st.floats(1, 1e4), strong=st.floats(5, 90), weak=st.floats(0.1, 5))
def test_diluting_keeps_what_was_dissolved(mass, strong, weak):
    water = weighing.water_to_dilute(Q_(mass, "g"), Q_(strong, "brix"), Q_(weak, "brix"))
    assert (mass * strong) / (mass + water.m_as("g")) == pytest.approx(weak)
    assert weighing.sugar_for(Q_(mass, "g"), Q_(strong, "brix")).m_as("g") / (
        mass + weighing.sugar_for(Q_(mass, "g"), Q_(strong, "brix")).m_as("g")) == pytest.approx(strong / 100)


def test_bakers_formula_adds_up():
    parts = Q_([1000, 650, 20, 20], "g")
    shares = weighing.bakers_percent(parts, Q_(1000, "g"))
    assert weighing.flour_for(parts.sum(), shares.sum()).m_as("g") == pytest.approx(1000)


# --- buying ------------------------------------------------------------------------------------------------------------------------------
# USDA SR28, refuse: edible share as the dossier's table prints it (read)
@pytest.mark.parametrize("food, share", [
    ("onion", 90), ("carrot", 89), ("garlic", 87), ("shallot", 88), ("parsley", 95), ("basil", 64), ("potato", 75), ("avocado", 74), ("lemon", 53),
    ("orange", 73), ("mango", 71), ("banana", 64), ("red pepper", 82), ("tomato", 91), ("egg", 88), ("apple", 90), ("cucumber", 97), ("lime", 84)])
def test_edible_share_is_what_usda_prints(food, share):
    assert 100 * weighing.edible(row(food, own=False)) == pytest.approx(share)


def test_trimmed_and_juice_from_what_is_bought():
    carrot = row("carrot", own=False).but(juice_yield=Q_(50, "percent"))
    trimmed, juice = (weighing.to_buy(Q_(1, "kg"), carrot, form) for form in ("trimmed", "juice"))
    assert juice.m == pytest.approx(2 * trimmed.m) and trimmed.m_as("kg") > 1


def test_the_shelfs_own_yield_counts_before_published_refuse(own_folder):
    tables.add_to_shelf({"product": "carrot", "property": "yield", "value": "80", "unit": "%", "note": "ours, thin ones"})
    assert weighing.to_buy(Q_(1, "kg"), row("carrot")).m_as("g") == pytest.approx(1250)
    assert weighing.to_buy(Q_(1, "kg"), row("carrot", own=False)).m_as("g") == pytest.approx(1000 / 0.89)


def test_a_food_nobody_weighed_is_named():
    with pytest.raises(LookupError, match="white vinegar.*your shelf"):
        weighing.to_buy(Q_(1, "kg"), Row("white vinegar", {}))
    with pytest.raises(LookupError, match="juice_yield"):
        weighing.to_buy(Q_(1, "kg"), row("basil", own=False), "juice")


# --- GUM ---------------------------------------------------------------------------------------------------------------------------------
def test_end_gauge_of_the_guide():
    """JCGM 100:2008, H.1: the parts 25, 9.7, 2.9 and 16.6 nm make 32 nm, and 5.8, 3.9 and 6.7 make 9.7 (gum-h-restated)."""
    assert weighing.combined(5.8, 3.9, 6.7) == pytest.approx(9.7, abs=0.05)
    assert weighing.combined(25, 9.7, 2.9, 16.6) == pytest.approx(32, abs=0.5)
    assert weighing.combined(Q_(3, "g"), Q_(4, "g")).m_as("g") == pytest.approx(5)


def test_a_tared_reading_repeats_twice():
    """JCGM 100:2008, equation 10, by the uncertainties library: two readings, each with its step and its scatter, and one calibration."""
    def read():
        return uncertainties.ufloat(0, 1 / math.sqrt(12)) + uncertainties.ufloat(0, 0.5)
    whole = read() - read() + uncertainties.ufloat(0, 2 / math.sqrt(3))
    assert weighing.uncertainty(Q_(1, "g"), "tared", Q_(0.5, "g"), Q_(2, "g")).m_as("g") == pytest.approx(whole.s)


def test_five_ingredients_on_a_one_gram_scale():
    """The dossier's figure: root of 5 / 12."""
    one = weighing.uncertainty(Q_(1, "g"))
    assert weighing.combined(*[one] * 5).m_as("g") == pytest.approx(0.645, abs=0.0005)


@settings(deadline=None)
@given(mass=st.floats(1, 100), batch=st.floats(200, 5000), step=st.sampled_from([1, 0.1, 0.01]), coarse=st.sampled_from([1, 5]),
       tared=st.sampled_from(["tared", "one reading"]), power=st.floats(0.5, 3))
def test_dose_and_texture_as_the_uncertainties_library_has_them(mass, batch, step, coarse, tared, power):
    readings = 2 if tared == "tared" else 1
    m, b = (uncertainties.ufloat(value, d * math.sqrt(readings / 12)) for value, d in ((mass, step), (batch, coarse)))
    got = weighing.dose_weighed(Q_(mass, "g"), Q_(batch, "g"), Q_(step, "g"), Q_(coarse, "g"), tared)
    assert got.dose.m_as("") == pytest.approx((m / b).n) and got.standard.m_as("") == pytest.approx((m / b).s)
    assert got.relative.m_as("") == pytest.approx((m / b).s / (m / b).n)
    strength = (m / b) ** power
    carried = weighing.carried(min(got.relative, Q_(100, "percent")), power)
    assert carried.relative.m_as("") == pytest.approx(min(strength.s / strength.n, power))
    assert carried.low.m_as("percent") <= 100 <= carried.high.m_as("percent")


def test_a_fall_with_the_dose_turns_the_ends_round():
    rise, fall = weighing.carried(Q_(5, "percent"), 1.0), weighing.carried(Q_(5, "percent"), -1.0)
    assert (rise.low.m_as("percent"), rise.high.m_as("percent")) == pytest.approx((90, 110))
    assert (fall.low.m_as("percent"), fall.high.m_as("percent")) == pytest.approx((100 / 1.1, 100 / 0.9))
    assert fall.relative.m_as("percent") == rise.relative.m_as("percent") == pytest.approx(5)


@given(mass=st.floats(0.5, 5e3), within=st.floats(0.5, 20))
def test_the_scale_is_the_coarsest_that_will_do(mass, within):
    step = weighing.scale_for(Q_(mass, "g"), Q_(within, "percent")).m_as("g")
    assert min(abs(step - sold) for sold in weighing.SOLD) < 1e-9
    good = weighing.smallest_load(Q_(step, "g"), Q_(within, "percent")).m_as("g")
    assert good <= mass * (1 + 1e-6)
    if step < 100:
        coarser = min(sold for sold in weighing.SOLD if sold > step * 1.01)
        assert weighing.smallest_load(Q_(coarser, "g"), Q_(within, "percent")).m_as("g") > mass


def test_a_stock_brings_the_dose_and_weighs_better():
    """0.1 % in 400 g is 0.4 g: on a 0.1 g scale 7 % off, by way of a stock of 2 % 1.5 %."""
    stock = weighing.by_stock(Q_(0.1, "percent"), Q_(400, "g"), Q_(2, "percent"), Q_(100, "g"), Q_(0.1, "g"))
    assert (stock.portion * stock.powder / (stock.powder + stock.carrier)).m_as("g") == pytest.approx(0.4)
    u = 0.1 / math.sqrt(12)
    powder, made, portion = (uncertainties.ufloat(x, u) for x in (2, 100, 20))
    dose = portion * powder / made
    assert stock.relative.m_as("") == pytest.approx(dose.s / dose.n)
    assert stock.relative < weighing.resolution(Q_(0.4, "g"), Q_(0.1, "g")).relative / 4


def test_the_strongest_stock_is_just_weighable():
    args = Q_(0.1, "percent"), Q_(400, "g"), Q_(0.1, "g"), Q_(5, "percent")
    strength = weighing.strongest_stock(*args)
    portion = weighing.by_stock(args[0], args[1], strength, Q_(100, "g"), args[2]).portion
    assert portion.m_as("g") == pytest.approx(weighing.smallest_load(args[2], args[3]).m_as("g"))
    assert weighing.strongest_stock(Q_(5, "percent"), *args[1:]).m_as("percent") == pytest.approx(100)           # 20 g need no stock
