"""Bag, tip, drop and oil: limits, balances, the same in other units, refusals. Published values of the fall are rows of drops.csv."""
import math

import numpy as np
import pint
import pytest
from scipy.integrate import solve_ivp

from kitchenlib import drops, heat, pearls
from kitchenlib.tables import row
from kitchenlib.units import OutOfRange, Q_

GEL, OIL = row("watery gel", own=False), row("canola oil", own=False)
BAG = {"start": Q_(60, "degC"), "sets": Q_(39, "degC"), "room": Q_(20, "degC"), "width": Q_(50, "mm"), "film": Q_(11, "W/m**2/kelvin"), "food": GEL}


def test_time_in_hand_worked_by_hand():
    # 1000 x 4180 x 0.05 / 44 = 4750 s; ln(40 / 19) = 0.74444; 3536.1 s = 58.94 min
    assert pearls.time_in_hand(**BAG).m == pytest.approx(58.94, abs=0.01)


def test_time_in_hand_against_an_ode():
    side, volume = math.pi * 0.05, math.pi * 0.05 ** 2 / 4       # per metre of bag
    fall = solve_ivp(lambda t, y: -11 * side * (y - 20) / (1000 * 4180 * volume), (0, 2e4), [60.0], rtol=1e-9, atol=1e-9,
                     events=lambda t, y: y[0] - 39)
    assert pearls.time_in_hand(**BAG).m_as("s") == pytest.approx(fall.t_events[0][0], rel=1e-6)


def test_temperature_is_the_time_the_other_way_round():
    rest = {name: value for name, value in BAG.items() if name != "sets"}
    at = pearls.temperature_in_hand(time=Q_([0.0, 58.94], "min"), **rest)
    assert at.m == pytest.approx([60, 39], abs=0.01)
    assert pearls.temperature_in_hand(time=Q_(1e5, "min"), **rest).m == pytest.approx(20)


def test_wide_is_warm_and_the_same_in_inches_and_fahrenheit():
    assert pearls.time_in_hand(**{**BAG, "width": Q_(100, "mm")}).m == pytest.approx(2 * pearls.time_in_hand(**BAG).m)
    other = {**BAG, "width": Q_(50 / 25.4, "inch"), "start": Q_(140, "degF"), "room": Q_(68, "degF"), "sets": Q_(102.2, "degF")}
    assert pearls.time_in_hand(**other).m == pytest.approx(pearls.time_in_hand(**BAG).m)


@pytest.mark.parametrize("changed, error, says", [
    ({"start": Q_(38, "degC")}, OutOfRange, "has set before"), ({"room": Q_(40, "degC")}, OutOfRange, "never sets"), ({"start": 60}, TypeError, "Q_(60"),
    ({"width": Q_(0, "mm")}, OutOfRange, "width"), ({"room": Q_(math.nan, "degC")}, OutOfRange, "room"),
    ({"width": Q_(5, "g")}, pint.DimensionalityError, "width"),
    ({"film": Q_(-1, "W/m**2/kelvin")}, OutOfRange, "film"), ({"food": "water"}, TypeError, "food")])
def test_time_in_hand_refuses(changed, error, says):
    with pytest.raises(error) as caught:
        pearls.time_in_hand(**{**BAG, **changed})
    assert says in str(caught.value) and "\n" not in str(caught.value)


def test_a_cloth_slows_the_bag_and_no_wrap_is_film_alone():
    surface, room, height = Q_(47, "degC"), Q_(22, "degC"), Q_(150, "mm")
    bare = pearls.hand_film(surface, room, height, row("piping bag", own=False))
    alone = heat.natural_film(surface, room, height, "air") + heat.radiation_film(surface, room, 0.9)
    assert bare.m == pytest.approx(1 / (1 / alone.m + 0.1e-3 / 0.25))            # bag of 0.1 mm with 0.25 W/(m K): layers in series
    assert pearls.hand_film(surface, room, height, row("cloth around the bag", own=False)).m < 0.7 * bare.m


def test_tip_exit_balances_heat():
    flow, length = Q_(2, "mL/min"), Q_(30, "mm")
    out = pearls.tip_exit(flow, Q_(55, "degC"), Q_(22, "degC"), Q_(2, "mm"), length, Q_(20, "W/m**2/kelvin"), GEL)
    lost = 2e-6 / 60 * 1000 * 4180 * (55 - out.m)                                 # W carried less
    mean = (55 - out.m) / math.log((55 - 22) / (out.m - 22))                      # logarithmic mean difference
    assert lost == pytest.approx(20 * math.pi * 0.002 * 0.030 * mean, rel=1e-6)
    assert pearls.tip_exit(flow, Q_(55, "degC"), Q_(22, "degC"), Q_(2, "mm"), Q_(0, "mm"), Q_(20, "W/m**2/kelvin"), GEL).m == pytest.approx(55)


DROP = {"diameter": Q_(3, "mm"), "start": Q_(40, "degC"), "sets": Q_(35, "degC"), "temperature": Q_(4, "degC")}


def test_share_set_runs_from_none_to_all_at_the_moment_of_the_centre():
    chill = drops.chill(**DROP, oil=OIL, food=GEL)
    times = Q_(np.array([0, 0.2, 0.5, 0.8, 1.0, 1.02]) * chill.time.m, "s")
    share = pearls.set_share(time=times, film=chill.film, food=GEL, **DROP).m
    assert share[0] == 0 and share[-1] == 100 and np.all(np.diff(share) >= 0) and 5 < share[2] < 95
    assert pearls.set_share(time=times[2], film=chill.film, food=GEL, **DROP).m == pytest.approx(share[2])


def test_share_set_against_the_series_at_one_place():
    from kitchenlib import conduction
    film, time = Q_(200, "W/m**2/kelvin"), Q_(2, "s")
    share = pearls.set_share(time=time, film=film, food=GEL, **DROP).m / 100
    place = (1 - share) ** (1 / 3)                                                # where it is just at setting
    fourier = conduction.diffusivity(GEL) * 2 / 0.0015 ** 2
    left = conduction.difference_left(fourier, 200 * 0.0015 / 0.6, "sphere", place)
    assert 4 + 36 * left == pytest.approx(35, abs=0.15)                           # read off eight places


def test_warmest_oil_needs_the_whole_height():
    got = pearls.warmest_oil(Q_(40, "mm"), **DROP, oil=OIL, food=GEL)
    assert 4 < got.m < 34
    depth = drops.chill(Q_(3, "mm"), Q_(40, "degC"), Q_(35, "degC"), got, OIL, GEL).depth
    assert depth.m == pytest.approx(40, rel=0.05)
    assert pearls.warmest_oil(Q_(80, "mm"), **DROP, oil=OIL, food=GEL) >= got


@pytest.mark.parametrize("changed, says", [({"temperature": Q_(36, "degC")}, "never sets|oil at"), ({"start": Q_(34, "degC")}, "has set"),
                                           ({"height": Q_(5, "mm"), "diameter": Q_(6, "mm")}, "taller")])
def test_warmest_oil_refuses(changed, says):
    with pytest.raises(OutOfRange, match=says):
        pearls.warmest_oil(**{"height": Q_(200, "mm"), **DROP, "oil": OIL, "food": GEL, **changed})


def test_a_drop_lighter_than_the_oil_rises_and_that_is_said():
    light = GEL.but(density=Q_(880, "kg/m**3"))
    with pytest.raises(OutOfRange, match="rises"):
        pearls.warmest_oil(height=Q_(200, "mm"), **DROP, oil=OIL, food=light)


def test_sums_of_the_lesson_close_the_heat_balance():
    oil = drops.oil_needed(Q_(200, "g"), Q_(60, "degC"), Q_(6, "degC"), Q_(8, "delta_degC"), OIL, GEL)
    assert oil.m_as("g") == pytest.approx(2465, abs=1)                            # 200 x 4.18 x 46 / (1.95 x 8), by hand
    assert drops.drops_for(oil, Q_(60, "degC"), Q_(6, "degC"), Q_(8, "delta_degC"), OIL, GEL).m_as("g") == pytest.approx(200)


FALLS = {"diameter": Q_(3.6, "mm"), "start": Q_(55, "degC"), "sets": Q_(32, "degC")}


def test_nothing_has_set_at_once_and_all_of_it_at_last():
    fallen = drops.chill(**FALLS, temperature=Q_(6, "degC"), oil=OIL, food=GEL)
    share = pearls.set_share(time=Q_(np.array([0.0, 0.01, 0.7, 0.99, 1.01, 10]) * fallen.time.m, "s"), **FALLS,
                             temperature=Q_(6, "degC"), film=fallen.film, food=GEL).m
    assert share[:2].tolist() == [0, 0] and share[-2:].tolist() == [100, 100] and 0 < share[2] < share[3] < 100


def test_a_tall_vessel_takes_oil_to_one_degree_under_setting():
    rest = {**FALLS, "oil": OIL, "food": GEL}
    assert pearls.warmest_oil(height=Q_(2000, "mm"), temperature=Q_(6, "degC"), **rest).m == pytest.approx(31)
    just = drops.chill(**FALLS, temperature=Q_(6, "degC"), oil=OIL, food=GEL).depth
    assert pearls.warmest_oil(height=just * 1.0001, temperature=Q_(6, "degC"), **rest).m == pytest.approx(6, abs=0.05)
    with pytest.raises(OutOfRange, match="chill the oil"):
        pearls.warmest_oil(height=just * 0.999, temperature=Q_(6, "degC"), **rest)
