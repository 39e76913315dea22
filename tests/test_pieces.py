"""Pieces in the cold: limits, balances, directions, the same in other units, refusals. Reference times are rows of pieces.csv."""
import math

import numpy as np
import pint
import pytest
from scipy.integrate import quad
from scipy.optimize import brentq
from scipy.special import erf

from kitchenlib import conduction, cryo, fronts, heat, mixes, pieces
from kitchenlib.mixes import Mix
from kitchenlib.spread import spread
from kitchenlib.tables import kinds, row
from kitchenlib.units import OutOfRange, Q_

BERRY, BATH, BLAST = row("strawberry", own=False), row("nitrogen bath", own=False), row("blast freezer", own=False)
PIECE = {"cold": BLAST, "food": BERRY, "shape": "sphere", "thickness": Q_(25, "mm")}
SOLVE = {"start": Q_(10, "degC"), "end": Q_(-10, "degC"), **PIECE}
DIP = {"start": Q_(10, "degC"), "target": Q_(-18, "degC"), **PIECE, "cold": BATH}
WALK = {"start": Q_(10, "degC"), "durations": Q_([66, 1200], "s"), "temperatures": Q_([-195.8, -18], "degC"),
        "films": Q_([150, 8], "W/m**2/kelvin"), "food": BERRY, "shape": "sphere", "thickness": Q_(25, "mm")}
SIZES = {"slab": ("20",), "cylinder": ("20",), "sphere": ("20",), "box": ("20", "30", "50")}


def sized(shape, *sizes):
    return {"shape": shape, **dict(zip(("thickness", "height", "length"), (Q_(float(size), "mm") for size in sizes)))}


# --- Plank -------------------------------------------------------------------------------------------------------------------------------
def brick(b1, b2):
    """P and R of Plank's closed form for a brick, sides 1, b2 and b1 >= b2 (dossier of freezing, e; recalled there)."""
    s = math.sqrt((b1 - b2) * (b1 - 1) + (b2 - 1) ** 2)
    m, n = (b1 + b2 + 1 + s) / 3, (b1 + b2 + 1 - s) / 3
    r = ((m - 1) * (b1 - m) * (b2 - m) * math.log(m / (m - 1)) - (n - 1) * (b1 - n) * (b2 - n) * math.log(n / (n - 1))) / (8 * s)
    return b1 * b2 / (2 * (b1 * b2 + b1 + b2)), r + (2 * b1 + 2 * b2 - 1) / 72


@pytest.mark.parametrize("b1, b2", [(4, 3), (2, 1.0001), (1.5, 1.2), (10, 2), (60, 50), (3, 3)])
def test_brick_factors_are_planks_closed_form(b1, b2):
    got = pieces.plank_factors(**sized("box", 5, 5 * b2, 5 * b1))
    assert (got.film, got.inside) == pytest.approx(brick(b1, b2), rel=1e-6)
    turned = pieces.plank_factors(**sized("box", 5 * b1, 5, 5 * b2))             # whichever side is called the thickness
    assert (turned.film, turned.inside) == pytest.approx((got.film, got.inside), rel=1e-12)


@pytest.mark.parametrize("height", [4, 20, 33, 400])
def test_short_cylinder_factors_by_a_shrinking_cylinder(height):
    """P D = V / A and R D**2 = integral of V / A as the front comes in, by another integrator."""
    def over_area(x):
        d, h = 20 - 2 * x, height - 2 * x
        return d * d * h / 4 / (d * d / 2 + d * h)
    least = min(20, height)
    got = pieces.plank_factors(**sized("cylinder", 20, height))
    assert got.film * least == pytest.approx(over_area(0), rel=1e-12)
    assert got.inside * least ** 2 == pytest.approx(quad(over_area, 0, least / 2)[0], rel=1e-8)


def test_long_pieces_become_endless_ones_and_flat_ones_slabs():
    long, endless = (pieces.plank_factors(**sized("cylinder", *size)) for size in ((1, 3000), (1,)))
    assert (long.film, long.inside) == pytest.approx((endless.film, endless.inside), rel=1e-3)
    flat, slab = pieces.plank_factors(**sized("box", 1, 3000, 3000)), pieces.plank_factors(**sized("slab", 1))
    assert (flat.film, flat.inside) == pytest.approx((slab.film, slab.inside), rel=2e-3)


def test_plank_is_the_heat_balance_of_a_front():
    """Slab against dx/dt of its front: density L dx/dt = (tf - tm) / (1/h + x/k), integrated by scipy."""
    gap, loss = -0.8 + 35, 1000 * 307e3
    time = quad(lambda x: loss / gap * (1 / 30 + x / 2.0), 0, 0.01)[0]
    got = pieces.plank(BLAST, BERRY, "slab", Q_(20, "mm"))
    assert got.time.m_as("s") == pytest.approx(time, rel=1e-9)
    assert got.film_share.m == pytest.approx(100 / 30 / (1 / 30 + 0.005 / 2), rel=1e-9)


def test_plank_in_other_units_and_over_many_sizes():
    inch = pieces.plank(BLAST, BERRY, "sphere", Q_(25 / 25.4, "inch"))
    assert inch.time.m == pytest.approx(pieces.plank(**PIECE).time.m)
    many = pieces.plank(**{**PIECE, "thickness": Q_([10, 25, 40], "mm")})
    assert many.time.m[1] == pytest.approx(inch.time.m) and np.all(np.diff(many.film_share.m) < 0)


@pytest.mark.parametrize("changed, error, says", [
    ({"thickness": Q_(0, "mm")}, OutOfRange, "thickness = 0 mm is outside 0.5"), ({"thickness": 25}, TypeError, "Q_(25"),
    ({"thickness": Q_(25, "g")}, pint.DimensionalityError, "thickness"), ({"shape": "ball"}, ValueError, "slab, cylinder, sphere, box"),
    ({"shape": "box"}, ValueError, "three sizes"), ({"shape": "sphere", "height": Q_(9, "mm")}, ValueError, "one size"),
    ({"cold": row("salt and ice", own=False).but(temperature=Q_(-0.5, "degC"))}, OutOfRange, "choose a colder place"),
    ({"food": "strawberry"}, TypeError, "food must be")])
def test_plank_refuses(changed, error, says):
    with pytest.raises(error) as caught:
        pieces.plank(**{**PIECE, **changed})
    assert says in str(caught.value) and "\n" not in str(caught.value)


def test_a_wrap_is_a_resistance():
    bare = Q_(50, "W/m**2/kelvin")
    assert pieces.wrapped_film(bare, Q_(0, "mm"), Q_(0.2, "W/m/kelvin")) == bare
    assert pieces.wrapped_film(bare, Q_(3, "mm"), Q_(0.2, "W/m/kelvin")) < bare


# --- Pham ----------------------------------------------------------------------------------------------------------------------------------
def test_pham_becomes_plank_where_only_latent_heat_counts():
    """Hardly any sensible heat: its sum is latent heat over T_fm - T_around, its factors V/A and (1 + Bi/2): Plank's, at another front."""
    latent = BERRY.but(heat_capacity=Q_(500.0, "J/kg/kelvin"), frozen_heat_capacity=Q_(0.5, "kJ/kg/kelvin"),
                       thermal_conductivity=Q_(0.6, "W/m/kelvin"))
    for shape in pieces.SHAPES:
        piece = {**PIECE, "shape": shape, "food": latent}
        got = pieces.pham(start=Q_(0, "degC"), end=Q_(-5, "degC"), **piece)
        front = 1.8 - 0.263 * 5 - 0.105 * 35
        assert got.m == pytest.approx(pieces.plank(**piece).time.m * 34.2 / (35 + front), rel=0.02)


@pytest.mark.parametrize("cold", ["nitrogen bath", "dry ice in alcohol", "still nitrogen gas"])
def test_pham_refuses_outside_its_range(cold):
    with pytest.raises(OutOfRange, match="-45 to -15"):
        pieces.pham(**{**SOLVE, "cold": row(cold, own=False)})


# --- the enthalpy method -----------------------------------------------------------------------------------------------------------------
def test_material_holds_the_heat_of_its_rows():
    """Heat from +10 to -18 °C against the integral of heat capacity and of latent heat, by scipy."""
    table, _ = pieces.material(BERRY)
    def capacity(t):
        ice = 1 + 0.8 / t
        return 4020 + (1840 - 4020) * ice
    out = 4020 * 10.8 + quad(capacity, -18, -0.8)[0] + 307e3 * (1 - 0.8 / 18)
    got = (fronts.content_at(table, 10) - fronts.content_at(table, -18)) / 1000
    assert got == pytest.approx(out, rel=2e-4)


def test_heat_of_a_frozen_carcass():
    """ASHRAE's worked example (answer from memory): 150 kg of beef, 58 % water, 17.48 % protein, from 10 to -20 °C: 34,700 kJ. Agrees within
    2 %: the example takes Chen's enthalpies."""
    water, solids = Q_(58, "percent"), Q_(42, "percent")
    assert pieces.freezable_heat(water, Q_(17.48, "percent")).m == pytest.approx(333.6 * (0.58 - 0.0699), rel=1e-4)
    side = row("beef", own=False).but(freezing_point=Q_(-1.7, "degC"), latent_heat=pieces.freezable_heat(water, Q_(17.48, "percent")),
                                      heat_capacity=pieces.unfrozen_heat_capacity(solids), frozen_heat_capacity=Q_(2.08, "kJ/kg/kelvin"))
    table, _ = pieces.material(side)
    out = (fronts.content_at(table, 10) - fronts.content_at(table, -20)) / side.si("density")
    assert 150 * out / 1000 == pytest.approx(34700, rel=0.02)


def test_freezing_curve_refuses_what_is_no_curve():
    good = ([-40.0, -10.0, -1.0], [0.9, 0.8, 0.0], 3e5, (4e3, 2e3), (0.5, 1.5), 1000)
    table = fronts.freezing(*good)
    assert table.content[-2] == 0                                                   # by hand: 30 x 2300 + 9 x 3200 + 0.9 x 300 000 J/kg
    assert table.content[0] == pytest.approx(-367.8e6) and table.conductivity == pytest.approx([1.4, 1.3, 0.5, 0.5])
    for bad in (([-40.0, -1.0, -10.0], good[1]), (good[0], [0.8, 0.9, 0.0]), (good[0], [0.9, 0.8, 0.1]), (good[0], [0.9, 0.0])):
        with pytest.raises(ValueError, match="freezing curve|frozen share"):
            fronts.freezing(*bad, *good[2:])


def test_without_ice_the_solver_is_the_series():
    """Cooling from 40 to 12 °C, nothing freezes: `conduction.core_time`, full series, holds as well."""
    cold, warm = row("salt and ice", own=False).but(temperature=Q_(1, "degC")), {"start": Q_(40, "degC")}
    for shape in pieces.SHAPES:
        series = conduction.core_time(**warm, target=Q_(12, "degC"), surroundings=Q_(1, "degC"), film=cold.film_coefficient, food=BERRY,
                                      shape=shape, thickness=Q_(25, "mm"))
        got = pieces.freezing_time(**warm, end=Q_(12, "degC"), cold=cold, food=BERRY, shape=shape, thickness=Q_(25, "mm"))
        assert got.m == pytest.approx(series.m_as("min"), rel=1e-2)                     # steps err by 0.3 % of 39 °C: 1 % of the time


def test_thin_food_with_sharp_freezing_nears_neumann():
    """A thick slab behind an endless film, freezing sharply: the front of Stefan and Neumann, one phase (carslaw-jaeger-1959, 11.2)."""
    sharp = BERRY.but(freezing_point=Q_(-0.05, "degC"))
    stefan = 1840 * (20 - 0.05) / 307e3
    x = brentq(lambda x: math.sqrt(math.pi) * x * math.exp(x * x) * erf(x) - stefan, 1e-3, 2)
    exact = (0.02 / 2 / (2 * x)) ** 2 / (2.0 / (1000 * 1840))
    fixed = row("nitrogen bath", own=False).but(temperature=Q_(-20, "degC"), film_coefficient=Q_(5000, "W/m**2/kelvin"))
    plank = pieces.plank(fixed, sharp, "slab", Q_(20, "mm"))
    got = pieces.freezing_time(Q_(0, "degC"), Q_(-0.5, "degC"), fixed, sharp, "slab", Q_(20, "mm"))
    assert got.m_as("s") == pytest.approx(exact, rel=0.08) and got > plank.time


def test_plank_is_low_everywhere_and_the_film_decides_how_much_cold_gains():
    found = pieces.beside(Q_(4, "degC"), Q_(-10, "degC"), BERRY, "sphere", Q_(20, "mm"))
    assert {one.cold for one in found} == set(kinds("cold place", own=False)[1:])
    assert all(5 < one.low_by.m < 45 for one in found)                              # dossier of freezing, e: 15 to 45 % low, less in air
    by = {one.cold: one for one in found}
    gain = by["salt and ice"].solved / by["nitrogen bath"].solved
    assert 5 < gain.m < (195.8 - 0.8) / (18 - 0.8)                                  # eleven times as cold, not eleven times as quick
    assert [one.solved for one in found] == sorted((one.solved for one in found), reverse=True)
    warm = pieces.beside(Q_(4, "degC"), Q_(-30, "degC"), BERRY, "sphere", Q_(20, "mm"))
    assert "still freezer" not in {one.cold for one in warm}                        # -18 °C brings nothing to -30 °C


@pytest.mark.parametrize("changed, says", [({"end": Q_(-36, "degC")}, "never reached"), ({"start": Q_(-3, "degC"), "end": Q_(4, "degC")}, "need not be cooled"),
                                           ({"thickness": Q_(0, "mm")}, "thickness"), ({"end": Q_(math.nan, "degC")}, "end")])
def test_freezing_time_refuses(changed, says):
    with pytest.raises(OutOfRange, match=says):
        pieces.freezing_time(**{**SOLVE, **changed})


def test_freezing_time_takes_no_box():
    with pytest.raises(ValueError, match="slab, cylinder, sphere"):
        pieces.freezing_time(**{**SOLVE, "shape": "box"})


def test_uncertain_film_is_most_of_an_uncertain_time():
    time = spread(pieces.freezing_time, pieces.WEAK, **SOLVE)
    film = spread(pieces.freezing_time, ("film_coefficient",), **SOLVE)
    assert time.low < film.low < time.mid < film.high < time.high and film.high / film.mid > 1.3


# --- dips and rests ----------------------------------------------------------------------------------------------------------------------
def test_dip_stops_on_heat_and_rests_at_its_target():
    dip = pieces.dip(**DIP)
    walk = pieces.history(**{**WALK, "durations": Q_([dip.time.m, 3600], "s"), "films": Q_([150, 0], "W/m**2/kelvin")})
    assert walk.even.m[-1] == pytest.approx(-18, abs=0.2) and np.ptp(walk.inside.m[-1]) < 0.05
    assert walk.heat.m[-1] == pytest.approx(dip.heat.m, rel=5e-3)
    lifted = np.argmin(np.abs(walk.time.m - dip.time.m))
    assert walk.centre.m[lifted] == pytest.approx(dip.centre.m, abs=0.3) and walk.surface.m[lifted] == pytest.approx(dip.surface.m, abs=0.3)
    assert dip.centre.m > 0 > -50 > dip.surface.m                                   # soft inside, a shell outside: so it must rest


def test_waiting_for_the_centre_overshoots():
    """When the middle of the berry is at -10 °C in nitrogen, the mean is below -90 °C (dossier of freezing, e: -94)."""
    late = pieces.freezing_time(**{**SOLVE, "cold": BATH})
    walk = pieces.history(**{**WALK, "durations": Q_([late.m_as("s")], "s"), "temperatures": Q_([-195.8], "degC"), "films": Q_([150], "W/m**2/kelvin")})
    assert walk.even.m[-1] < -90 and late > 1.5 * pieces.dip(**DIP).time


def test_heat_taken_is_heat_missing():
    """History's heat against the flow through the film: h A (surface - around) / mass, summed over its steps."""
    walk = pieces.history(**{**WALK, "durations": Q_([600], "s"), "temperatures": Q_([-35], "degC"), "films": Q_([30], "W/m**2/kelvin")})
    flow = 30 * (walk.surface.m + 35) * 3 / (0.0125 * 1000)                         # W/kg; area over mass of a sphere
    assert np.trapezoid(flow, walk.time.m) / 1000 == pytest.approx(walk.heat.m[-1], rel=0.01)
    assert np.all(np.diff(walk.frozen.m) > -0.5) and walk.frozen.m[0] == 0 and walk.frozen.m[-1] < 100


def test_history_thaws_again():
    walk = pieces.history(**{**WALK, "durations": Q_([60, 600, 36000], "s"), "temperatures": Q_([-195.8, -18, 22], "degC"),
                             "films": Q_([150, 8, 10], "W/m**2/kelvin")})
    assert walk.even.m[-1] == pytest.approx(22, abs=0.2) and walk.frozen.m[-1] == 0 and walk.frozen.m.max() > 80
    assert walk.inside.m.min() > -196 and walk.depths.m[0] == pytest.approx(12.5, abs=0.2)


def test_same_dip_in_fahrenheit():
    other = {**DIP, "start": Q_(50, "degF"), "target": Q_(-0.4, "degF"), "thickness": Q_(2.5, "cm")}
    assert pieces.dip(**other).time.m == pytest.approx(pieces.dip(**DIP).time.m, rel=1e-4)


@pytest.mark.parametrize("changed, says", [({"target": Q_(-1, "degC"), "food": BERRY.but(freezing_point=Q_(-2, "degC"))}, "aim colder"),
                                           ({"target": Q_(-40, "degC"), "cold": BLAST}, "never reached"), ({"thickness": Q_(0, "mm")}, "thickness")])
def test_dip_refuses(changed, says):
    with pytest.raises(OutOfRange, match=says):
        pieces.dip(**{**DIP, **changed})


def test_history_wants_one_of_each():
    with pytest.raises(ValueError, match="as many durations"):
        pieces.history(**{**WALK, "films": Q_([150], "W/m**2/kelvin")})


# --- any food, any base ------------------------------------------------------------------------------------------------------------------
@pytest.mark.parametrize("key", ["strawberry", "carrot", "apple", "blueberry", "raspberry"])
def test_what_a_row_does_not_say_follows_from_its_composition(key):
    """Composition (usda-sr28, choi-okos-1986) against what the tables of foods print for the same food (ashrae-foods and others): 10 %."""
    food = row(key, own=False)
    mix = Mix({food: Q_(1, "kg")}, own=False)
    for name in ("latent_heat", "heat_capacity", "frozen_heat_capacity"):
        assert pieces.fact(mix, name) == pytest.approx(pieces.fact(food, name), rel=0.1), name
    assert pieces.fact(mix, "freezing_point") == pytest.approx(pieces.fact(food, "freezing_point"), abs=0.75)
    whole, made = (pieces.freezing_time(**{**SOLVE, "food": one}) for one in (food, mix))
    assert made.m == pytest.approx(whole.m, rel=0.12)


def test_rough_conductivities_beside_the_components():
    """earle-earle's rule in the water alone, within a fifth of choi-okos-1986 for watery foods."""
    for key in ("strawberry", "carrot", "tomato", "whole milk"):
        food = row(key, own=False)
        rough, mix = pieces.rough_conductivity(food.water), Mix({food: Q_(1, "kg")}, own=False)
        assert rough.unfrozen.m == pytest.approx(pieces.fact(mix, "thermal_conductivity"), rel=0.2)
        assert rough.frozen.m == pytest.approx(pieces.fact(mix, "frozen_thermal_conductivity"), rel=0.2)


def test_a_base_freezes_along_its_own_curve():
    base = mixes.read("water 75 g + sucrose 25 g", own=False)
    dip = pieces.dip(**{**DIP, "food": base, "target": Q_(-12, "degC"), "start": Q_(4, "degC")})
    assert dip.heat.m == pytest.approx(cryo.heat_out(base, Q_(4, "degC"), Q_(-12, "degC")).m, rel=1e-3)
    walk = pieces.history(**{**WALK, "food": base, "start": Q_(4, "degC"), "durations": Q_([dip.time.m, 3600], "s"),
                             "films": Q_([150, 0], "W/m**2/kelvin")})
    assert walk.frozen.m[-1] == pytest.approx(cryo.frozen_share(base, Q_(-12, "degC")).m, abs=0.5)
    assert pieces.plank(BLAST, base, "sphere", Q_(25, "mm")).time < pieces.freezing_time(**{**SOLVE, "food": base, "end": Q_(-18, "degC")})


@pytest.mark.parametrize("food, says", [(mixes.read("olive oil 100 g", own=False), "no water"), (mixes.read("water 40 g + alcohol 60 g", own=False), "alcohol"),
                                        (row("watery gel", own=False), "watery gel")])
def test_what_does_not_freeze_is_refused(food, says):
    with pytest.raises((OutOfRange, LookupError), match=says):
        pieces.freezing_time(**{**SOLVE, "food": food})


# --- rows ----------------------------------------------------------------------------------------------------------------------------------
def test_every_cold_place_can_be_asked():
    for key in kinds("cold place", own=False)[1:]:
        cold = row(key, own=False)
        assert cold.fact("film_coefficient").low is not None and cold.temperature < Q_(0, "degC"), key
        assert pieces.plank(**{**PIECE, "cold": cold}).time.m > 0


def test_still_air_film_is_what_natural_convection_gives():
    """Row of the still freezer, 5 to 10 W/m²/K: natural convection on 5 cm and radiation, by `heat`."""
    surface, air = 270.0, 255.15
    film = heat.natural_film.si(surface, air, 0.05, "air") + heat.radiation_film.si(surface, air, 0.95)
    fact = row("still freezer", own=False).fact("film_coefficient")
    assert fact.low.m < film < 1.1 * fact.high.m


def test_no_salt_ice_is_colder_than_its_eutectic():
    assert row("salt and ice", own=False).fact("temperature").low >= Q_(-21.21, "degC")
