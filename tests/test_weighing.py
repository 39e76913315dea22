"""weighing: limits, balances and refusals of each model. Printed values: test_checks."""
import inspect
import math

import numpy as np
import pint
import pytest

from kitchenlib import weighing
from kitchenlib.units import OutOfRange, Q_, Quantity

CALLS = {
    weighing.of_total: dict(dose=Q_(1.5, "percent"), total=Q_(400, "g")),
    weighing.into_liquid: dict(dose=Q_(5, "percent"), liquid=Q_(400, "g")),
    weighing.resolution: dict(mass=Q_(2, "g"), step=Q_(0.1, "g")),
    weighing.smallest_load: dict(step=Q_(0.1, "g"), within=Q_(5, "percent"))}
ARGUMENTS = [(model, name) for model, call in CALLS.items() for name in call]
OTHER = {"g": "ounce", "percent": "g/kg"}


def by_name(argument):
    return argument.__name__ if callable(argument) else str(argument)


def magnitude(result):
    return np.array([x.m for x in (result if hasattr(result, "_fields") else (result,))], float)


def test_every_model_has_a_call():
    assert set(CALLS) == {f for f in vars(weighing).values() if hasattr(f, "takes")}


@pytest.mark.parametrize("model, name", ARGUMENTS, ids=by_name)
def test_refusals_and_ends_in_any_unit(model, name):
    call, unit = CALLS[model], model.takes[name]
    for bad in (2.0, "2 g", None, Q_(2, "second"), Q_(2, "mL")):                         # a volume is no mass
        with pytest.raises((TypeError, pint.DimensionalityError), match=name):
            model(**{**call, name: bad})
    low, high = model.valid[name]
    out = [0.99 * low if low else -0.01, high * 1.01, -1.0, math.nan, math.inf, -math.inf] + ([0.0] if low > 0 else [])
    for bad in out:
        for written in (Q_(bad, unit), Q_(bad, unit).to(OTHER[unit])):
            with pytest.raises(OutOfRange, match=f"{model.__name__}: {name}"):
                model(**{**call, name: written})
    for end in (low, high):
        here = magnitude(model(**{**call, name: Q_(end, unit)}))
        assert np.isfinite(here).all()
        assert magnitude(model(**{**call, name: Q_(end, unit).to(OTHER[unit])})) == pytest.approx(here, rel=1e-9)


@pytest.mark.parametrize("model", CALLS, ids=by_name)
def test_ranges_stand_in_the_docstring(model):
    for name, ends in model.valid.items():
        for end in ends:
            assert f"{end:,.10g}" in inspect.getdoc(model), (name, end)


@pytest.mark.parametrize("model, name", ARGUMENTS, ids=by_name)
def test_same_answer_in_another_unit_and_for_arrays(model, name):
    call, unit = CALLS[model], model.takes[name]
    here = magnitude(model(**call))
    assert magnitude(model(**{**call, name: call[name].to(OTHER[unit])})) == pytest.approx(here, rel=1e-12)
    pair = Q_([call[name].m] * 2, unit)
    before, both = pair.m.copy(), model(**{**call, name: pair})
    for one, expected in zip(both if hasattr(both, "_fields") else (both,), here):
        assert np.broadcast_to(one.m, 2) == pytest.approx([expected, expected])
    assert (pair.m == before).all()


@pytest.mark.parametrize("model", [weighing.of_total, weighing.into_liquid, weighing.smallest_load], ids=by_name)
def test_dimension_of_the_formula(model):
    core = model.si(**{name: x.to_base_units() for name, x in CALLS[model].items()})
    assert isinstance(core, Quantity) and core.check("[mass]")


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
