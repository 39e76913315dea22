"""Low and high of weak parameters, against propagation worked in closed form (JCGM 100:2008, 5.1)."""
import math

import numpy as np
import pytest

from kitchenlib.spread import Spread, of, said, spread
from kitchenlib.tables import row
from kitchenlib.units import Q_, boundary, record


@boundary("g", a="g", b="g", valid={"a": (-100, 100), "b": (-100, 100)})
def total(a, b):
    return a + b


@boundary("kPa", g="kPa", n="", valid={"g": (0, 1000), "n": (0, 5)})
def power(g, n):
    return g * 3 ** n


Two = record("Two", first="g", second="g")


@boundary(Two, a="g", valid={"a": (0, 100)})
def two(a):
    return a, 2 * a


def three(low, mid, high, unit):
    return Spread(*(Q_(x, unit) for x in (low, mid, high)))


def test_one_weak_parameter_gives_its_own_low_and_high():
    made = spread(power, g=three(4, 9, 16, "kPa"), n=1)
    assert [q.m for q in made] == pytest.approx([12, 27, 48])


def test_small_moves_of_a_sum_add_by_root_sum_square():
    made = spread(total, a=three(9.9, 10, 10.1, "g"), b=three(19.8, 20, 20.2, "g"))
    u = math.hypot(0.1, 0.2)                                     # equation 10 with both sensitivities 1
    assert made.high.m - 30 == pytest.approx(u, rel=0.01) and 30 - made.low.m == pytest.approx(u, rel=0.01)


def test_ratios_of_a_product_add_by_root_sum_square_of_their_logarithms():
    made = spread(power, g=three(5, 10, 20, "kPa"), n=Spread(1.5, 2.0, 2.5))
    fold = math.exp(math.hypot(math.log(2), 0.5 * math.log(3)))
    assert [q.m for q in made] == pytest.approx([90 / fold, 90, 90 * fold])


def test_up_and_down_stay_apart():
    made = spread(power, g=three(8, 10, 20, "kPa"), n=1)
    assert made.high.m / 30 == pytest.approx(2) and 30 / made.low.m == pytest.approx(1.25)


def test_low_is_never_below_nought_and_nought_at_an_end_is_said():
    made = spread(power, g=three(0, 10, 20, "kPa"), n=Spread(1.0, 2.0, 3.0))
    assert made.low.m == 0 and made.high.m > 90
    assert [q.m for q in spread(power, g=three(0, 0, 0, "kPa"), n=1)] == [0, 0, 0]


def test_sums_around_nought_are_taken_as_they_are():
    made = spread(total, a=three(-2, -1, 0, "g"), b=Q_(0, "g"))
    assert [q.m for q in made] == pytest.approx([-2, -1, 0])


def test_temperatures_are_no_ratios():
    @boundary("degC", t="degC", valid={"t": (-50, 100)})
    def same(t):
        return t
    assert [q.m for q in spread(same, t=three(1, 4, 7, "degC"))] == pytest.approx([1, 4, 7])


def test_arrays_and_records_and_bare_numbers():
    made = spread(power, g=Q_([1.0, 2.0], "kPa"), n=Spread(1.0, 2.0, 3.0))
    assert np.allclose(made.low.m, [3, 6]) and np.allclose(made.high.m, [27, 54])
    assert spread(two, field="second", a=three(1, 2, 3, "g")).high.m == pytest.approx(6)
    assert spread(lambda x: 2 * x, x=Spread(1.0, 2.0, 4.0)) == pytest.approx((2, 4, 8))


def test_nothing_weak_is_no_spread():
    assert len({q.m for q in spread(total, a=Q_(1, "g"), b=Q_(2, "g"))}) == 1


def test_row_facts_are_moved_by_name_and_only_those():
    agar = row("agar", own=False)
    exponent = agar.fact("dose_exponent")

    def at_two_per_cent(grade):
        return grade.dose_exponent * 10 + grade.si("critical_dose")
    made = spread(at_two_per_cent, weak=("dose_exponent",), grade=agar)
    assert made.low == pytest.approx(10 * exponent.low + agar.si("critical_dose"))
    assert made.high == pytest.approx(10 * exponent.high + agar.si("critical_dose"))
    assert of(agar, "dose_exponent") == (exponent.low, exponent.value, exponent.high)


def test_said_shows_the_middle_alone_where_the_ends_round_alike():
    assert said(three(5.4, 9, 15, "kPa")) == "9.0 kPa (5.4 to 15 kPa)"
    assert said(three(9.0, 9.0, 9.01, "kPa")) == "9.0 kPa"
