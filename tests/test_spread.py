"""Low and high of weak parameters, against propagation worked in closed form (JCGM 100:2008, 5.1)."""
import math

import numpy as np
import pytest
from hypothesis import given, settings, strategies as st

from kitchenlib.spread import Spread, of, said, spread
from kitchenlib.tables import Fact, Row, kinds, row
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
    assert said(three(5.4, 9, 15, "kPa"), 2, "Pa") == "9000 Pa (5400 to 15\xa0000 Pa)" and said(Spread(1.0, 2.0, 3.0), 1) == "2 (1 to 3)"
    assert said(three(20, 25, 30, "degC"), 3, "°F") == "77.0 °F (68.0 to 86.0 °F)" and str(three(1, 2, 4, "g")) == "2.0 g (1.0 to 4.0 g)"
    assert said(three(9.0, 9.0, 12, "kPa")) == "9.0 kPa (9.0 to 12 kPa)"


def test_a_dose_weighed_on_a_coarse_scale():
    """2 g in 400 g on a scale of 1 g: 0.5 % with a standard uncertainty of 0.07217 % (dossier H1, by the package uncertainties 3.2.3)."""
    u = 1 / math.sqrt(12)

    @boundary("percent", part="g", whole="g")
    def share(part, whole):
        return part / whole
    for size in (1e-3, 1e-2):                                    # small parts of u: there low and high are the derivative
        part, whole = three(2 - size * u, 2, 2 + size * u, "g"), three(400 - size * u, 400, 400 + size * u, "g")
        made = spread(share, part=part, whole=whole)
        assert (made.high.m - made.low.m) / 2 / size == pytest.approx(0.07217, rel=2e-3) and made.mid.m == 0.5


@given(st.floats(0.2, 5), st.floats(-3, 3), st.floats(-3, 3))
@settings(max_examples=40, deadline=None)
def test_powers_of_small_spreads_add_as_relative_uncertainties(at, p, q):
    """y = x**p z**q: (u_y / y)² = (p u_x / x)² + (q u_z / z)² (JCGM 100:2008, 5.1.6, equation 12)."""
    made = spread(lambda x, z: x ** p * z ** q, x=Spread(at * 0.999, at, at * 1.001), z=Spread(2 * 0.998, 2.0, 2 * 1.002))
    y, relative = at ** p * 2.0 ** q, math.hypot(p * 0.001, q * 0.002)
    assert made.mid == pytest.approx(y)
    assert (made.high / y - 1, 1 - made.low / y) == (pytest.approx(relative, rel=0.02, abs=1e-9),) * 2


def test_differences_near_nought_are_taken_as_they_are():
    """y = 3 x - z + 1, equation 10 with sensitivities 3 and -1; one end of y is negative, so that no ratio can be taken."""
    made = spread(lambda x, z: 3 * x - z + 1, x=Spread(0.0, 1.0, 2.0), z=Spread(-1.0, 3.0, 7.0))
    assert made == pytest.approx((1 - math.hypot(3, 4), 1, 1 + math.hypot(3, 4)))


def test_a_result_that_turns_moves_only_where_it_goes():
    made = spread(lambda x: 10 - x ** 2, x=Spread(-1.0, 0.0, 2.0))                # both ends fall
    assert made.high == pytest.approx(10) and made.low == pytest.approx(6)


def test_brix_percent_and_differences_are_ratios_and_kelvin_too():
    for unit in ("brix", "percent", "delta_degC", "kelvin", "dimensionless"):
        same = boundary(unit, x=unit)(lambda x: x)
        twice = spread(boundary(unit, x=unit, y="")(lambda x, y: x * y), x=three(5, 10, 20, unit), y=Spread(0.5, 1.0, 2.0))
        fold = math.exp(math.hypot(math.log(2), math.log(2)))
        assert [q.m for q in twice] == pytest.approx([10 / fold, 10, 10 * fold]) and [q.m for q in spread(same, x=three(5, 10, 20, unit))] \
            == pytest.approx([5, 10, 20])
    moved = spread(boundary("degF", a="degF", b="delta_degF")(lambda a, b: a + b), a=three(57, 60, 64, "degF"),
                   b=three(1, 5, 8, "delta_degF"))
    assert [q.m for q in moved] == pytest.approx([65 - 5, 65, 65 + 5])            # 3-4-5, straight


def test_results_keep_their_kind_and_their_own_memory():
    made = spread(power, g=Q_(np.array([1.0, 2.0]), "kPa"), n=1)
    made.low.m[0] = -7
    assert made.mid.m.tolist() == [3, 6] and made.high.m.tolist() == [3, 6]
    bare = spread(lambda x: 2 * x, x=Spread(1, 2, 4))
    assert bare == pytest.approx((2, 4, 8)) and all(isinstance(x, (int, float)) for x in bare)
    mixed = spread(lambda x, y: np.array([x, -x, 0.0]) * y, x=Spread(1.0, 2.0, 4.0), y=1.0)
    assert mixed.low.tolist() == pytest.approx([1, -4, 0]) and mixed.high.tolist() == pytest.approx([4, -1, 0])
    assert isinstance(spread(total, a=three(1, 2, 3, "g"), b=Q_(1, "g")).low.m, float)


def test_a_field_must_be_named_and_there():
    with pytest.raises(TypeError, match="two gives first, second: say which with field="):
        spread(two, a=three(1, 2, 3, "g"))
    with pytest.raises(ValueError, match="field is first, second; not 'secnd'. Did you mean 'second'"):
        spread(two, field="secnd", a=three(1, 2, 3, "g"))


def test_a_misspelt_weak_name_is_refused_and_one_that_the_row_lacks_is_not():
    agar = row("agar", own=False)
    stiffness = lambda grade: grade.modulus
    with pytest.raises(LookupError, match="^modulos is no property; modulus[?]$"):
        spread(stiffness, weak=("modulos",), grade=agar)
    with pytest.raises(LookupError, match="see tables.properties"):
        spread(stiffness, weak=("qqqqqq",), grade=agar)
    assert spread(stiffness, weak=("bloom",), grade=agar).low == agar.modulus
    made = spread(stiffness, weak="modulus", grade=agar)
    assert (made.low.m, made.high.m) == pytest.approx((agar.fact("modulus").low.m, agar.fact("modulus").high.m))
    assert spread(stiffness, weak="modulus", grade=agar.but(modulus=Q_(9, "kPa"))).high.m == 9       # your own value has no spread
    assert of(agar.but(modulus=Q_(9, "kPa")), "modulus") == (Q_(9, "kPa"),) * 3


def test_what_two_rows_share_moves_in_both():
    """How many times as stiff one agar is as another does not depend on the exponent that both have from their kind."""
    first, second = (row(key, own=False) for key in kinds("agar", own=False)[1:3])
    assert first.fact("dose_exponent") == second.fact("dose_exponent") and first != second
    ratio = lambda a, b: 2.0 ** (a.dose_exponent - b.dose_exponent)
    assert spread(ratio, weak=("dose_exponent",), a=first, b=second) == pytest.approx((1, 1, 1))
    assert spread(ratio, weak=("dose_exponent",), a=first, b=first) == pytest.approx((1, 1, 1))
    alone = spread(ratio, weak=("dose_exponent",), a=first, b=second.but(dose_exponent=2.2))
    ends = first.fact("dose_exponent")
    assert (alone.low, alone.high) == pytest.approx((2 ** (ends.low - 2.2), 2 ** (ends.high - 2.2)))
    both = spread(lambda a, b: a.dose_exponent + b.dose_exponent - 4.4, weak=("dose_exponent",), a=first, b=second)
    assert (both.low, both.high) == pytest.approx((2 * ends.low - 4.4, 2 * ends.high - 4.4))         # one move of both, not two


def test_a_row_may_hold_what_the_tables_do_not_know():
    odd = Row("odd", {"oddity": (Fact("odd", "oddity", 2.0, 1.0, 4.0, "", "", "", "made", ""),)})
    assert spread(lambda r: 2 * r.oddity, weak="oddity", r=odd) == pytest.approx((2, 4, 8))


@pytest.mark.parametrize("unit", ["Pa", "kPa", "GPa"])
def test_the_unit_of_the_result_changes_nothing(unit):
    law = boundary(unit, g="kPa", n="")(lambda g, n: g * n)
    made = spread(law, g=three(1, 2, 5, "kPa"), n=Spread(1.0, 2.0, 3.0))
    down, up = math.hypot(math.log(2), math.log(2)), math.hypot(math.log(2.5), math.log(1.5))
    assert [q.m_as("kPa") for q in made] == pytest.approx([4 * math.exp(-down), 4, 4 * math.exp(up)])
