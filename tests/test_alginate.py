"""alginate: bubbles against a reference library, grades, tendencies; limits and refusals. Printed values: test_checks."""
import fluids
import numpy as np
import pytest

from doors import beyond, by_name, refuses, same_for_many, same_in
from kitchenlib import alginate, drops, rules, tables
from kitchenlib.spread import of, spread
from kitchenlib.units import OutOfRange, Q_

PLAIN, GRADE, LOW, HIGH = (tables.row(key, own=False) for key in ("sodium alginate", "sodium alginate food grade",
                                                                  "sodium alginate low viscosity", "sodium alginate high viscosity"))
JUICE = dict(density=Q_(1010, "kg/m**3"), tension=Q_(65, "mN/m"))
g = 9.80665


def mm(number):
    return Q_(number, "mm")


def mPas(number):
    return Q_(number, "mPa*s")


def thick(dose, grade=GRADE, temperature=20):
    return alginate.viscosity(Q_(dose, "percent"), Q_(temperature, "degC"), grade).m


CALLS = {
    alginate.viscosity: dict(dose=Q_(0.5, "percent"), temperature=Q_(20, "degC"), grade=GRADE),
    alginate.time_to_clear: dict(bubble=mm(0.1), depth=mm(50), viscosity=mPas(50), density=Q_(1010, "kg/m**3")),
    alginate.bubble_left: dict(rest=Q_(30, "min"), depth=mm(50), viscosity=mPas(50), density=Q_(1010, "kg/m**3")),
    alginate.rest: dict(bubble=mm(0.1), depth=mm(50), dose=Q_(0.5, "percent"), temperature=Q_(20, "degC"), grade=GRADE),
    alginate._stood: dict(time=Q_(2, "hour"), temperature=Q_(4, "degC")),
    alginate.ohnesorge: dict(viscosity=mPas(50), diameter=mm(3), **JUICE), alginate.impact: dict(height=mm(50), diameter=mm(3), **JUICE),
    alginate.bead: dict(tip=mm(0.82), alginate=PLAIN, **JUICE),
    alginate.filling_time: dict(mass=Q_(200, "g"), diameter=mm(4), density=Q_(1010, "kg/m**3"), tips=20, rate=Q_(3, "1/s"))}
ANOTHER_UNIT = {"percent": "g/kg", "degC": "degF", "g": "ounce", "mm": "inch", "mPa*s": "poise", "kg/m**3": "g/mL", "min": "s", "mN/m": "N/m",
                "1/s": "1/min", "hour": "min"}
ARGUMENTS = [(model, name) for model, call in CALLS.items() for name in call if isinstance(model.takes[name], str)]


# --- every model at its door ---------------------------------------------------------------------------------------------------------
def test_every_model_has_a_call():
    assert set(CALLS) == {f for f in vars(alginate).values() if hasattr(f, "takes")}


@pytest.mark.parametrize("model, name", ARGUMENTS, ids=by_name)
def test_door(model, name):
    """Bare numbers and other kinds are refused, range ends bind, another unit and an array give the same."""
    call, unit = CALLS[model], model.takes[name]
    refuses(model, call, name, {"": ("2", Q_(2, "g"))}.get(unit, (2.0, Q_(2, "mol"))), beyond(model, name))
    if unit:
        same_in(model, call, name, ANOTHER_UNIT[unit])
    same_for_many(model, call, name)


# --- viscosity -------------------------------------------------------------------------------------------------------------------------
@pytest.mark.parametrize("key", [key for key in tables.kinds("sodium alginate", own=False) if key != "sodium alginate as weighed"])
def test_each_grade_gives_its_sheets_figure(key):
    grade = tables.row(key, own=False)
    at_sheet = alginate.viscosity(Q_(1, "percent"), grade.viscosity_measured_at, grade)
    assert at_sheet.m == pytest.approx(grade.one_percent_viscosity.m_as("mPa*s"))


def test_own_sheet_on_the_row():
    own = GRADE.but(one_percent_viscosity=mPas(650), viscosity_measured_at=Q_(25, "degC"))
    assert thick(1, own, 25) == pytest.approx(650) and thick(1, own, 20) > 650


def test_dose_and_warmth_move_it_as_the_row_says():
    doses = np.geomspace(0.125, 1.5, 40)
    many = alginate.viscosity(Q_(doses, "percent"), Q_(20, "degC"), HIGH).m
    assert (np.diff(many) > 0).all()
    assert np.log(thick(1.5, HIGH) / thick(0.75, HIGH)) / np.log(2) == pytest.approx(3, abs=0.02)
    assert thick(0.5, temperature=4) / thick(0.5, temperature=20) == pytest.approx(np.exp(0.025 * 16))
    assert thick(0.125, LOW, 25) > 1.0                        # never thinner than water
    found = spread(alginate.viscosity, weak="viscosity_exponent", dose=Q_(0.5, "percent"), temperature=Q_(20, "degC"), grade=GRADE)
    assert found.low.m == pytest.approx(1 + 329 * 0.5 ** 3.4) and found.high.m == pytest.approx(1 + 329 * 0.5 ** 2.5)


def test_exponent_lies_between_thin_and_crowded_chains():
    """biorheology-1992 (abstract): as the dose when thin, as its power 3.4 when crowded; the row's band ends there."""
    assert 1 < of(GRADE, "viscosity_exponent").low < of(GRADE, "viscosity_exponent").mid < of(GRADE, "viscosity_exponent").high == 3.4


# --- resting -----------------------------------------------------------------------------------------------------------------------------
@pytest.mark.parametrize("bubble, viscosity", [(0.05, 20), (0.1, 20), (0.05, 50), (0.2, 50), (0.5, 100), (0.2, 300), (0.5, 20), (0.9, 20)])
def test_rise_against_a_reference_library(bubble, viscosity):
    """fluids: terminal speed of a rigid sphere, by the same kind of drag law and by the library's own choice (4 % quicker at Reynolds 1).
    Mirrored, as falling: of a rising one the library takes a signed Reynolds number and stays with Stokes."""
    here = alginate.time_to_clear(mm(bubble), mm(50), mPas(viscosity))
    falling = dict(D=bubble / 1000, rhop=2 * 1010 - 1.2, rho=1010, mu=viscosity / 1000)
    speed = 0.05 / here.rigid.m_as("s")
    assert speed == pytest.approx(fluids.drag.v_terminal(**falling, Method="Clift_Gauvin"), rel=0.006)
    assert speed == pytest.approx(fluids.drag.v_terminal(**falling), rel=0.006 if here.reynolds < 0.05 else 0.04)


@pytest.mark.parametrize("minutes, depth, viscosity", [(0.2, 50, 20), (15, 50, 50), (30, 100, 100), (720, 50, 300), (5000, 200, 1)])
def test_bubble_left_is_time_to_clear_the_other_way_round(minutes, depth, viscosity):
    left = alginate.bubble_left(Q_(minutes, "min"), mm(depth), mPas(viscosity))
    if left.rigid.m < 0.005:
        assert left.rigid.m == pytest.approx(1000 * np.sqrt(18e-3 * viscosity * depth / 1000 / (60 * minutes * 1008.8 * g)), rel=1e-3)
        return
    again = alginate.time_to_clear(left.rigid, mm(depth), mPas(viscosity))
    assert again.rigid.m_as("min") == pytest.approx(minutes, rel=1e-6) and again.reynolds == pytest.approx(left.reynolds)
    assert alginate.time_to_clear(left.clean, mm(depth), mPas(viscosity)).clean.m_as("min") == pytest.approx(minutes, rel=0.02)


def test_clean_skin_is_half_as_fast_again():
    here = alginate.time_to_clear(mm(0.1), mm(50), mPas(50))
    assert (here.rigid / here.clean).m == pytest.approx(1.5, rel=1e-3)
    left = alginate.bubble_left(Q_(15, "min"), mm(50), mPas(50))
    assert ((left.rigid / left.clean) ** 2).m == pytest.approx(1.5, rel=1e-3)


def test_rest_goes_with_depth_thickness_and_the_square_of_size():
    at = lambda bubble=0.1, depth=50, viscosity=50: alginate.time_to_clear(mm(bubble), mm(depth), mPas(viscosity)).rigid.m
    assert at(depth=100) == pytest.approx(2 * at()) and at(viscosity=100) == pytest.approx(2 * at(), rel=1e-3)
    assert at(bubble=0.05) == pytest.approx(4 * at(), rel=1e-3)
    viscosity = alginate.viscosity(Q_(0.5, "percent"), Q_(8, "degC"), GRADE)
    whole = alginate.rest(mm(0.1), mm(80), Q_(0.5, "percent"), Q_(8, "degC"), GRADE)
    assert whole.rigid.m == pytest.approx(alginate.time_to_clear(mm(0.1), mm(80), viscosity).rigid.m)


def test_quarter_to_half_an_hour_clears_a_medium_grade_and_not_a_high_one():
    """Common practice, 15 to 30 minutes: 0.1 mm out of 0.5 to 0.64 % of a 330 mPa·s grade up to 10 cm deep; not out of 0.8 % of a high one."""
    longest = lambda dose, depth, grade: alginate.rest(mm(0.1), mm(depth), Q_(dose, "percent"), Q_(20, "degC"), grade).rigid.m
    assert longest(0.5, 100, GRADE) < 15 < longest(0.64, 100, GRADE) < 30 < longest(0.8, 50, HIGH)


def test_too_quick_a_bubble_is_refused():
    for call in (lambda: alginate.time_to_clear(mm(2), mm(50), mPas(20)), lambda: alginate.bubble_left(Q_(0.1, "min"), mm(1000), mPas(20))):
        with pytest.raises(OutOfRange, match="above 1, where this ends: it is gone within seconds"):
            call()


@pytest.mark.parametrize("hours, degrees, word", [
    (0.1, 20, "wait"), (0.24, 4, "wait"), (0.25, 20, "good enough"), (2, 20, "good enough"), (2.1, 20, "too warm for so long"),
    (7, 3, "good enough"), (8, 3, "overnight, covered and cold"), (12, 15, "too warm for so long")])
def test_hydration(hours, degrees, word):
    assert alginate.hydration(Q_(hours, "hour"), Q_(degrees, "degC")) == word


def test_hydration_by_place():
    """England holds cold at 8 °C, the strictest known place colder: the same night at 7 °C is two things."""
    limit = rules.holding_limit("England", "cold hold")
    assert limit.m_as("degC") == pytest.approx(8) and rules.holding_limit("", "cold hold") < Q_(7, "degC")
    night = Q_(10, "hour"), Q_(7, "degC")
    assert alginate.hydration(*night, "England").startswith("overnight") and alginate.hydration(*night) == "too warm for so long"
    with pytest.raises(TypeError, match="time"):
        alginate.hydration(10, Q_(4, "degC"))


# --- dripping ------------------------------------------------------------------------------------------------------------------------
def test_ohnesorge_is_root_of_weber_over_reynolds():
    height, viscosity, diameter = 0.08, 0.09, 3e-3
    landing = alginate.impact(mm(80), mm(3), **JUICE)
    reynolds = 1010 * landing.speed.m * diameter / viscosity
    assert alginate.ohnesorge(mPas(90), mm(3), **JUICE) == pytest.approx(np.sqrt(landing.weber) / reynolds)
    assert 0.5 * landing.speed.m ** 2 == pytest.approx(g * height)


def test_bare_cores_keep_their_dimension():
    si = dict(diameter=Q_(3e-3, "m"), density=Q_(1010, "kg/m**3"), tension=Q_(0.065, "N/m"))
    assert alginate.ohnesorge.si(viscosity=Q_(0.05, "Pa*s"), **si).check("[]")
    bead = alginate.bead.si(Q_(8e-4, "m"), si["tension"], si["density"], PLAIN)
    assert (bead ** 3 / Q_(1, "m/s**2")).check("[volume]")    # g is a bare number in m/s²


@pytest.mark.parametrize("height, viscosity, word", [
    (20, 50, "tear-drop"), (50, 50, "tear-drop or flat"), (200, 50, "flat"), (20, 200, "tail"), (50, 200, "round"), (200, 200, "round")])
def test_roundness_is_a_tendency(height, viscosity, word):
    assert alginate.roundness(mm(height), mPas(viscosity), mm(3), **JUICE, alginate=PLAIN) == word


def test_bead_is_the_ideal_drop_times_what_is_left():
    """With the share that lets go in place of the factor it is `drops.drop`, by another road."""
    for tip in (0.5, 0.82, 1.5):
        falls = drops.drop(mm(tip), JUICE["tension"], JUICE["density"])
        same = alginate.bead(mm(tip), JUICE["tension"], JUICE["density"], PLAIN.but(bead_factor=float(falls.share) ** (1 / 3)))
        assert same.m == pytest.approx(falls.diameter.m, rel=1e-4)
        gelled = spread(alginate.bead, weak="bead_factor", tip=mm(tip), alginate=PLAIN, **JUICE)
        assert gelled.low < gelled.mid < gelled.high < falls.diameter            # gelled is smaller than what fell
    assert alginate.bead(mm(2.4), JUICE["tension"], JUICE["density"], PLAIN).m == pytest.approx(
        2 * alginate.bead(mm(0.3), JUICE["tension"], JUICE["density"], PLAIN).m)


def test_filling_time_counts_drops():
    one = alginate.filling_time(Q_(1010 * np.pi / 6 * 64e-9 * 1e3 * 600, "g"), mm(4), JUICE["density"], 1, Q_(2, "1/s"))
    assert one.m == pytest.approx(5)                         # 600 drops, two a second
    assert alginate.filling_time(Q_(100, "g"), mm(4), JUICE["density"], 10, Q_(2, "1/s")).m == pytest.approx(
        alginate.filling_time(Q_(100, "g"), mm(4), JUICE["density"], 1, Q_(2, "1/s")).m / 10)
