"""The registry, the door, kitchen formatting, typed answers. Sources of unit definitions stand beside each."""
import inspect
import math
import sys

import numpy as np
import pint
import pytest
from hypothesis import given, strategies as st

from kitchenlib.units import (LONGEST, LOOK_ALIKES, OutOfRange, Q_, Quantity, TYPED, boundary, one_of, plain, read_answer, record, show)

Shell = record("Shell", thickness="mm", core="percent", count="")


@boundary(Shell, radius="mm", time="min", shape=("slab", "cylinder", "sphere"), salt=str,
          valid={"radius": (0.001, 50), "time": (0, None)})
def shell(radius, time, shape="sphere", salt="calcium"):
    return radius / 2, 0.25 + 0 * time, 7.0


@boundary("degC", temperature="degC", dose="percent", ph="", lid="W/m**2/kelvin", valid={"temperature": (0, 100), "dose": (0.01, 10), "ph": (0, 14)})
def warmer(temperature, dose, ph=7.0, lid=None):
    return temperature + 10 * dose / 0.01 + (0 if lid is None else lid)


def sentence(error):
    text = str(error.value)
    assert "\n" not in text and 15 < len(text) < 260, text
    return text


# --- the door -------------------------------------------------------------------------------------------------------------------------
@pytest.mark.parametrize("bad, error, says", [
    (20, TypeError, "Q_(20, 'degC')"), (20.5, TypeError, "needs a unit"), (True, TypeError, "temperature"), ("20 °C", TypeError, "temperature"),
    (None, TypeError, "temperature"), (Q_(20, "delta_degC"), pint.DimensionalityError, "temperature"), (Q_(3, "mm"), pint.DimensionalityError, "temperature"),
    (Q_(math.nan, "degC"), OutOfRange, "0 to 100 °C"), (Q_(math.inf, "degC"), OutOfRange, "0 to 100 °C"), (Q_(-1, "degC"), OutOfRange, "0 to 100 °C"),
    (Q_(213, "degF"), OutOfRange, "213 °F"), (Q_([20, 300], "degC"), OutOfRange, "300 °C")])
def test_door_refuses_in_one_sentence(bad, error, says):
    with pytest.raises(error) as caught:
        warmer(bad, Q_(1, "percent"))
    assert says in sentence(caught) and "warmer" in str(caught.value)


@pytest.mark.parametrize("bad, error", [(1.0, TypeError), (Q_(0, "percent"), OutOfRange), (Q_(-1, "percent"), OutOfRange), (Q_(11, "percent"), OutOfRange),
                                        (Q_(1, "g"), pint.DimensionalityError), (Q_(0.2, "dimensionless"), OutOfRange)])
def test_door_refuses_doses(bad, error):
    with pytest.raises(error, match="dose"):
        warmer(Q_(20, "degC"), bad)


@pytest.mark.parametrize("end, unit, same", [(0, "degC", 0), (100, "degC", 100), (212, "degF", 100), (32, "degF", 0), (373.15, "kelvin", 100)])
def test_range_ends_are_taken_in_any_unit(end, unit, same):
    assert warmer(Q_(end, unit), Q_(1, "percent")).m_as("degC") == pytest.approx(same + 10)


def test_the_same_in_any_unit():
    assert warmer(Q_(68, "degF"), Q_(10, "g/kg")).m == pytest.approx(warmer(Q_(20, "degC"), Q_(1, "percent")).m)


def test_result_comes_in_the_declared_unit_and_records_by_name():
    made = shell(Q_(1, "inch"), Q_(60, "s"))
    assert made.thickness.units == Q_(1, "mm").units and made.thickness.m == pytest.approx(12.7)      # 1 inch is 25.4 mm exactly
    assert made.core.m == pytest.approx(25) and made.count == 7.0 and not isinstance(made.count, Quantity)
    assert Shell.units == {"thickness": "mm", "core": "percent", "count": ""}


def test_arrays_pass_and_stay_the_callers():
    mine = np.array([1.0, 2.0, 60.0])
    with pytest.raises(OutOfRange, match="60 mm"):
        shell(Q_(mine, "mm"), Q_(1, "min"))
    assert shell(Q_(mine[:2], "mm"), Q_(1, "min")).thickness.m.tolist() == [0.5, 1.0]
    assert mine.tolist() == [1.0, 2.0, 60.0]


def test_words_and_types():
    with pytest.raises(ValueError, match="Did you mean 'sphere'"):
        shell(Q_(1, "mm"), Q_(1, "s"), "sfere")
    with pytest.raises(TypeError, match="salt"):
        shell(Q_(1, "mm"), Q_(1, "s"), "sphere", 3)


def test_an_optional_argument_may_be_left_out_but_not_be_wrong():
    assert warmer(Q_(20, "degC"), Q_(1, "percent"), lid=Q_(5, "W/m**2/kelvin")).m_as("degC") == pytest.approx(35)
    with pytest.raises(pint.DimensionalityError, match="lid"):
        warmer(Q_(20, "degC"), Q_(1, "percent"), lid=Q_(5, "g"))


def test_pure_numbers_are_the_only_bare_ones():
    assert warmer(Q_(20, "degC"), Q_(1, "percent"), 3).m == pytest.approx(30)
    for bad, error in ((15, OutOfRange), (True, TypeError), ("7", TypeError), (Q_(7, "g"), pint.DimensionalityError)):
        with pytest.raises(error, match="ph"):
            warmer(Q_(20, "degC"), Q_(1, "percent"), bad)


def test_bare_core_takes_floats():
    assert warmer.si(293.15, 0.01) == pytest.approx(303.15)
    assert not hasattr(warmer.si, "si")


def test_door_of_a_wrong_declaration_does_not_open():
    with pytest.raises(TypeError):
        boundary("g", mass="g")(lambda mass, other: mass)


# --- units ----------------------------------------------------------------------------------------------------------------------------
@pytest.mark.parametrize("word", ["pinch", "dash", "T", "C", "c", "mb", "pct", "cup", "tsp", "tbsp", "g/C", "gm"])
def test_look_alikes_are_refused_with_the_mend(word):
    with pytest.raises(ValueError) as caught:
        Q_(1, word)
    assert any(hint in sentence(caught) for hint in ("write", "use", "weigh"))


def test_every_look_alike_is_refused():
    for word in LOOK_ALIKES:
        with pytest.raises(ValueError):
            Q_(1, word)


def test_text_is_no_number_and_a_misspelt_unit_names_the_nearest():
    for bad in ("1,6", b"1", None, [1, "a"], True):
        with pytest.raises(TypeError):
            Q_(bad, "g")
    with pytest.raises(ValueError, match="gram"):
        Q_(1, "gramm")


@pytest.mark.parametrize("unit, millilitres", [
    ("metric_cup", 250), ("metric_tablespoon", 15), ("metric_teaspoon", 5), ("australian_tablespoon", 20),    # trade customs (memory)
    ("us_label_cup", 240),                                                                                    # 21 CFR 101.9(b)(5)(viii)
    ("imperial_cup", 284.130625), ("fluid_ounce", 29.5735295625), ("imperial_fluid_ounce", 28.4130625)])      # 231 in³ gallon / 128; 4.54609 L / 160
def test_kitchen_volumes(unit, millilitres):
    assert Q_(1, unit).m_as("mL") == pytest.approx(millilitres, rel=1e-9)


def test_strength_units_stay_apart():
    assert Q_(1, "g_per_cm2").m_as("Pa") == pytest.approx(98.0665, rel=1e-9)       # 1 g times standard gravity 9.80665 m/s² on 1 cm²
    for unit in ("g", "Pa", "g_per_cm2", "dimensionless"):
        with pytest.raises(pint.DimensionalityError):
            Q_(250, "Bloom").to(unit)
    with pytest.raises(pint.DimensionalityError):
        Q_(1, "g_per_cm2").to("g/cm**2")                                           # pint's own is a mass per area
    assert Q_(65, "brix").m_as("percent") == pytest.approx(65)                     # 1 °Bx is 1 g sucrose in 100 g of solution


# --- showing --------------------------------------------------------------------------------------------------------------------------
@pytest.mark.parametrize("value, digits, shown", [
    (Q_(350, "g"), 2, "350 g"), (Q_(100, "degC"), 1, "100 °C"), (Q_(1.6, "g"), 2, "1.6 g"), (Q_(99.96, "degC"), 3, "100 °C"),
    (Q_(0.05, "g"), 2, "0.050 g"), (Q_(212, "degF"), 3, "212 °F"), (Q_(2, "percent"), 2, "2.0 %"), (Q_(-0.0001, "degC"), 2, "-0.00010 °C"),
    (Q_(0, "g"), 3, "0 g"), (Q_(900, "g_per_cm2"), 3, "900 g/cm²"), (Q_(65, "brix"), 2, "65 °Bx"), (4.567, 2, "4.6"), (Q_(1e6, "g"), 3, "1000000 g")])
def test_kitchen_writing(value, digits, shown):
    assert show(value, digits).replace("\xa0", "") == shown


@given(st.floats(1e-4, 1e7), st.integers(1, 6))
def test_plain_is_never_scientific_at_a_kitchens_sizes(number, digits):
    text = plain(number, digits).replace("\xa0", "")                 # thousands apart, by a space that does not break
    assert "e" not in text and "×" not in text
    assert float(text) == pytest.approx(number, rel=0.51 * 10 ** (1 - digits))
    assert plain(-number, digits) == f"-{plain(number, digits)}"


def test_plain_never_says_minus_nought():
    assert plain(-0.0, 3) == plain(0, 3) == "0"


def test_plain_says_what_is_no_number():
    assert plain(math.nan) == "not a number" and "endless" in plain(math.inf)


# --- typed answers --------------------------------------------------------------------------------------------------------------------
@pytest.mark.parametrize("typed, read", [
    ("1.6 g", (1.6, "g")), ("1,6 g", (1.6, "g")), ("0.0016 kg", (0.0016, "kg")), ("61 °F", (61.0, "degF")), ("12 %", (12.0, "percent")), ("4.5", (4.5, "")),
    ("-5 °C", (-5.0, "degC")), ("−5 °C", (-5.0, "degC")), (" 3e2 g ", (300.0, "g")), (".5 g", (0.5, "g")), ("900 g/cm2", (900.0, "g_per_cm2"))])
def test_answers_are_read(typed, read):
    number, unit = read_answer(typed)
    assert (number, unit) == (pytest.approx(read[0]), read[1])


@pytest.mark.parametrize("typed", ["", " ", "g", "9**9**9**9", "__import__('os')", "<b>1</b> g", "1e999", "1e999 g", "nan", "inf g", "=cmd()", "1 furlong", "1 g 2 g",
                                   "3 g g", "１ g", "1.6.2 g", "x" * 10000, "1 " * 5000, "1,6,2 g", "--5 g", "5 g\n; rm"])
def test_what_cannot_be_read_is_a_verdict_and_a_sentence(typed):
    with pytest.raises(ValueError) as caught:
        read_answer(typed)
    verdict, words = caught.value.args
    assert verdict in ("unreadable", "unknown unit") and len(words) < 200


@given(st.text(max_size=80))
def test_any_text_is_read_or_refused(typed):
    try:
        number, unit = read_answer(typed)
    except ValueError as error:
        assert len(error.args) == 2
    else:
        assert math.isfinite(number) and len(typed) <= LONGEST and (unit == "" or Q_(number, unit) is not None)


def test_every_unit_that_may_be_typed_is_one():
    for typed, unit in TYPED.items():
        assert Q_(1, unit).units is not None, typed
        assert typed.startswith("1/") or read_answer(f"2 {typed}")[1] == unit


def test_one_of_names_the_nearest():
    with pytest.raises(ValueError, match="Did you mean 'agar'"):
        one_of("agr", ("agar", "gelatin"), "the agent")


def test_no_answer_is_evaluated():
    assert not any(word in inspect.getsource(sys.modules["kitchenlib.units"]) for word in ("eval(", "exec("))
