"""Ices: the curve beside measured tables and CoolProp's brines, limits, balances, directions, units, refusals. Printed values: cryo.csv."""
import math

import CoolProp.CoolProp as CP
import numpy as np
import pint
import pytest
from scipy.integrate import solve_ivp

from kitchenlib import cryo, fronts, heat, mixes, nitrogen, solutions, tables
from kitchenlib.mixes import Mix
from kitchenlib.spread import spread
from kitchenlib.tables import row
from kitchenlib.units import OutOfRange, Q_

SYRUP = mixes.read("water 75 g + sucrose 25 g", own=False)
BASES = {name: cryo.base(name) for name in ("raspberry sorbet", "carrot ice", "buttermilk ice")}
CRYSTALS, SCOOP, PLATE = (row(key, own=False) for key in ("ice crystals", "scoop", "porcelain plate"))
SERVED = {"mix": BASES["raspberry sorbet"], "served": Q_(-12, "degC"), "room": Q_(22, "degC"), "humidity": Q_(50, "percent"), "mass": Q_(50, "g"),
          "scoop": SCOOP, "plate": PLATE, "plate_start": Q_(22, "degC")}


def in_water(key, share):
    return Mix({"water": Q_(100 - share, "g"), key: Q_(share, "g")}, own=False)


# --- the curve ---------------------------------------------------------------------------------------------------------------------------
def measured(solute, least, most):
    return [(point["share"].m, point["freezing_point"].m) for point in tables.records("solutions_freezing")
            if point["solute"] == solute and point["how"] == "read" and point["share"] is not None and least < point["share"].m <= most]


@pytest.mark.parametrize("solute, start, most, within", [("sucrose", 12, 42, 1.2), ("glucose", 6, 30, 1.2), ("fructose", 6, 30, 1.2),
                                                         ("salt", 2, 22, 0.6), ("alcohol", 5, 30, 0.8)])
def test_ice_by_the_lever_rule_on_measured_freezing_points(solute, start, most, within):
    """crc-solutions: at each printed freezing point of a stronger solution, a base of `start` % holds 1 - start / strong of ice."""
    found = measured(solute, start, most)
    assert len(found) >= 4
    base = in_water(solute, start)
    got = cryo.ice_content(base, Q_([at for _, at in found], "degC")).m
    assert got == pytest.approx([100 * (1 - start / strong) for strong, _ in found], abs=within)


@pytest.mark.parametrize("solute, brine, start, strong, within", [("salt", "MNA", 2, (5, 10, 15, 20), 0.6), ("alcohol", "MEA", 5, (12, 20, 28), 1.5)])
def test_ice_beside_coolprops_brines(solute, brine, start, strong, within):
    """CoolProp (Melinder): freezing temperature of the brine that is left. Within 0.2 °C of print for salt and for alcohol to 28 %."""
    at = [CP.PropsSI("T_FREEZE", "T", 280, "P", 101325, f"INCOMP::{brine}[{share / 100}]") - 273.15 for share in strong]
    got = cryo.ice_content(in_water(solute, start), Q_(at, "degC")).m
    assert got == pytest.approx([100 * (1 - start / share) for share in strong], abs=within)


@pytest.mark.parametrize("start", [1, 3, 10])
def test_salt_ends_at_its_eutectic(start):
    """Ice and salt: never colder than -21.2 °C at 23.2 % (Smith College phase diagram), and known nearly that far."""
    at, frozen = cryo.curve(in_water("salt", start))
    assert -21.3 < at[-1] - 273.15 < -20.5
    assert start / (100 - (100 - start) * frozen[-1]) == pytest.approx(0.232, abs=0.004)
    with pytest.raises(OutOfRange, match="no longer known as a liquid"):
        cryo.frozen_share(in_water("salt", start), Q_(-22, "degC"))


def test_begins_at_the_freezing_point_and_grows():
    for base in (*BASES.values(), SYRUP):
        begins, cold = solutions.freezing_point(base), Q_(np.linspace(-38, 5, 87), "degC")
        share = cryo.frozen_share(base, cold).m
        assert np.all(np.diff(share) <= 0) and np.all(share[cold.m > begins.m] == 0) and share.max() < 100
        assert cryo.frozen_share(base, begins).m == 0 and 0 < cryo.frozen_share(base, Q_(begins.m - 0.1, "degC")).m < 15


def test_what_is_left_freezes_there():
    """The rule itself: take the ice out, and the freezing point of the rest is the temperature."""
    for base in BASES.values():
        ice = cryo.ice_content(base, Q_(-9, "degC"))
        assert solutions.freezing_point(base.boiled(ice)).m == pytest.approx(-9, abs=0.01)


def test_serving_temperature_is_the_curve_the_other_way_round():
    for base in BASES.values():
        for share in (0.5, 30, 67, 70):
            assert cryo.frozen_share(base, cryo.serving_temperature(base, Q_(share, "percent"))).m == pytest.approx(share, abs=0.02)
        assert cryo.serving_temperature(base, Q_(0, "percent")).m == pytest.approx(solutions.freezing_point(base).m, abs=1e-6)


def test_share_not_mass_decides_and_units_do_not():
    double = SYRUP.scaled(Q_(2, "kg"))
    assert cryo.frozen_share(double, Q_(-8, "degC")).m == pytest.approx(cryo.frozen_share(SYRUP, Q_(17.6, "degF")).m)


def test_dextrose_for_sucrose_is_softer_and_less_sweet():
    swapped = mixes.read("water 75 g + sucrose 20 g + glucose 5 g", own=False)
    for model in (lambda base: cryo.frozen_share(base, Q_(-8, "degC")).m, lambda base: cryo.sweetness(base).m, lambda base: -cryo.freezing_power(base)):
        assert model(swapped) < model(SYRUP)
    assert cryo.freezing_power(swapped) == pytest.approx(20 + 1.9 * 5, abs=0.01) and cryo.sweetness(swapped).m == pytest.approx(20 + 0.75 * 5)


def test_ions_count_each_and_the_linear_rule_says_so():
    salty = in_water("salt", 1)
    assert cryo.particles(salty).m == pytest.approx(2 * 10 / 58.443 / 0.99, rel=1e-4)
    dilute = in_water("sucrose", 0.5)
    assert cryo.linear_frozen_share(dilute, Q_(-0.06, "degC")).m == pytest.approx(cryo.frozen_share(dilute, Q_(-0.06, "degC")).m, abs=1)


def test_shortcuts_err_as_taught():
    """All water frozen: 42 % too much latent heat at -8 °C; the linear rule overstates the ice of sweet bases."""
    got = cryo.routes(SYRUP, Q_([-5.0, -8.0, -18.0], "degC"))
    assert np.all(got.linear_error.m > 5) and np.all(np.diff(got.all_error.m) < 0) and np.all(got.all.m == 100)
    tf = 273.15 - solutions.linear_freezing_point.si(cryo.particles.si(SYRUP))
    assert got.linear.m == pytest.approx(100 * (1 - tf / np.array([5, 8, 18])))
    with pytest.raises(OutOfRange, match="choose a colder"):
        cryo.routes(SYRUP, Q_(-1, "degC"))


def test_dairy_base_beside_the_sucrose_equivalent_of_dairy_science():
    """Milk solids counted as 0.545 sucrose, the fall read off crc-solutions' sucrose table, 2.37 NMS / W for the milk's salts (Goff's notes,
    read): -2.6 °C by hand for 12 % milk solids and 15 % sugar; agrees within 0.25 °C."""
    base = mixes.read("skim milk 920 g + heavy cream 200 g + sugar 200 g", own=False)
    milk = base.si_total("solids") - base.si_total("fat") - 0.2
    water = base.si_total("water")
    equal = 100 * (0.545 * milk + 0.2) / water
    table = [(100 * share / (100 - share), at) for share, at in measured("sucrose", 0, 40)]
    fall = np.interp(equal, *zip(*table)) - 2.37 * milk / water
    assert solutions.freezing_point(base).m == pytest.approx(fall, abs=0.25)


@pytest.mark.parametrize("bad, error, says", [
    ((SYRUP, Q_(-46, "degC")), OutOfRange, "-45 to 30"), ((SYRUP, -8), TypeError, "Q_(-8"),
    ((SYRUP, Q_(8, "delta_degC")), pint.DimensionalityError, "difference"),
    ((SYRUP, Q_(math.nan, "degC")), OutOfRange, "no number"), (("water", Q_(-8, "degC")), TypeError, "mix must be a Mix"),
    ((in_water("alcohol", 60), Q_(-8, "degC")), OutOfRange, "alcohol than was measured"),
    ((mixes.read("olive oil 100 g", own=False), Q_(-8, "degC")), OutOfRange, "no water"),
    ((mixes.read("water 100 g", own=False), Q_(-8, "degC")), OutOfRange, "freezes at 0 °C"),
    ((in_water("salt", 25), Q_(-8, "degC")), OutOfRange, "salt than was measured")])
def test_frozen_share_refuses(bad, error, says):
    with pytest.raises(error) as caught:
        cryo.frozen_share(*bad)
    assert says in str(caught.value) and "\n" not in str(caught.value)


def test_target_that_no_cold_brings_is_refused():
    with pytest.raises(OutOfRange, match="ask for less"):
        cryo.serving_temperature(in_water("alcohol", 20), Q_(90, "percent"))
    with pytest.raises(LookupError, match="raspberry sorbet"):
        cryo.base("rasberry")


def test_weak_values_move_the_share():
    found = solutions.uncertain(cryo.frozen_share, BASES["buttermilk ice"], temperature=Q_(-8, "degC"))
    assert found.low < found.mid < found.high and found.high - found.low < Q_(5, "percent")


# --- heat ----------------------------------------------------------------------------------------------------------------------------------
def test_heat_is_that_of_its_parts():
    """`nitrogen.base_heat` adds the parts for itself: liquid to 0 °C, then ice, syrup and solids."""
    for base in BASES.values():
        ice, solids = cryo.ice_content(base, Q_(-10, "degC")), 100 - base.share("water").m
        parts = nitrogen.base_heat(Q_(4, "degC"), Q_(-10, "degC"), Q_(solids, "percent"), ice)
        assert cryo.heat_out(base, Q_(4, "degC"), Q_(-10, "degC")).m == pytest.approx(parts.total.m, rel=1e-9)


def test_heat_goes_both_ways_and_adds_up():
    legs = [cryo.heat_out(SYRUP, Q_(a, "degC"), Q_(b, "degC")).m for a, b in ((4, -6), (-6, -15), (-15, 4))]
    assert sum(legs) == pytest.approx(0, abs=1e-9) and legs[0] > legs[1] > 0
    with pytest.raises(OutOfRange, match="no longer known"):
        cryo.heat_out(in_water("salt", 5), Q_(4, "degC"), Q_(-30, "degC"))


def test_material_is_the_same_heat_and_never_falls():
    for base in (*BASES.values(), SYRUP):
        table, share = cryo.material(base)
        out = fronts.content_at(table, 4.0) - fronts.content_at(table, -9.0)
        assert out / mixes.density.si(base, 273.15) == pytest.approx(cryo.heat_out(base, Q_(4, "degC"), Q_(-9, "degC")).m * 1000, rel=2e-4)
        assert np.all(np.diff(table.content) > 0) and np.all(np.diff(table.potential) > 0) and np.all(np.diff(share) <= 0)
        assert table.conductivity[-1] == pytest.approx(mixes.conductivity.si(base, 273.15)) and np.all(table.conductivity > table.conductivity[-1] * 0.99)
    airy, full = cryo.material(SYRUP, 0.5)[0], cryo.material(SYRUP)[0]
    assert airy.content == pytest.approx(0.5 * full.content) and airy.conductivity == pytest.approx(0.4 * full.conductivity)  # (1 - 0.5) / 1.25


# --- on the plate --------------------------------------------------------------------------------------------------------------------------
def test_damp_film_dry_is_convection_and_radiation():
    surface, room, height = Q_(2, "degC"), Q_(22, "degC"), Q_(30, "mm")
    dry = heat.natural_film(surface, room, height, "air") + heat.radiation_film(surface, room, 0.95)
    assert cryo.damp_film(surface, room, Q_(0, "percent"), height).m == pytest.approx(dry.m)
    damp = cryo.damp_film(surface, room, Q_([20, 60, 90], "percent"), height).m
    assert damp[0] == pytest.approx(dry.m) and np.all(np.diff(damp) > 1)            # 20 % at 22 °C has its dew point below 0 °C


def test_dew_is_the_heat_that_moist_air_gives():
    """Psychrometrics by CoolProp: latent over sensible heat of moist air on its way to a wet surface at 2 °C, Lewis number 0.85."""
    def damp(t, r):
        return CP.HAPropsSI("W", "T", t + 273.15, "P", 101325, "R", r)
    ratio = 2.5e6 * (damp(22, 0.7) - damp(2, 1.0)) / (1006 * 20) / 0.85 ** (2 / 3)
    surface, room, height = Q_(2, "degC"), Q_(22, "degC"), Q_(30, "mm")
    bare = heat.natural_film(surface, room, height, "air").m
    got = cryo.damp_film(surface, room, Q_(70, "percent"), height).m - cryo.damp_film(surface, room, Q_(0, "percent"), height).m
    assert got / bare == pytest.approx(ratio, rel=0.01)


def test_cold_plate_keeps_a_scoop_longer():
    times = [cryo.on_plate(**{**SERVED, "plate_start": Q_(at, "degC")}).stands.m for at in (-18, 4, 22, 50)]
    assert np.all(np.diff(times) < 0) and times[0] > 1.5 * times[2]
    for changed in ({"served": Q_(-16, "degC")}, {"room": Q_(15, "degC")}, {"humidity": Q_(20, "percent")}, {"mass": Q_(100, "g")}):
        assert cryo.on_plate(**{**SERVED, **changed}).stands.m > times[2]


def test_small_scoop_and_plate_as_one_lump():
    """A scoop so small that it and the plate under it share one temperature: the heat balance by scipy, dome twice the base."""
    got = cryo.on_plate(**{**SERVED, "mass": Q_(2, "g"), "plate_start": SERVED["served"]})
    base, ware = SERVED["mix"], 0.005 * 2400 * 1050
    radius = (1.5 * 0.002 / 600 / math.pi) ** (1 / 3)
    temperatures = np.linspace(-12, -3, 400)
    held = 600 * 2 * radius / 3 * cryo.enthalpy(base, temperatures + 273.15) + ware * temperatures
    def rate(time, heat_in):
        at = np.interp(heat_in, held, temperatures)
        return 2 * cryo.damp_film.si(at + 273.15, 295.15, 0.5, radius) * (22 - at)
    end = np.interp(cryo.serving_temperature(base, Q_(50, "percent")).m, temperatures, held)
    stop = lambda time, heat_in: heat_in[0] - end
    stop.terminal = True
    time = solve_ivp(rate, (0, 1e5), [held[0]], events=stop, rtol=1e-8).t[-1]
    assert time < got.stands.m_as("s") < 1.1 * time                                 # its skin is a little warmer than its middle


def test_scoop_begins_and_ends_as_the_curve_says():
    got = cryo.on_plate(**SERVED)
    assert got.frozen.m[0] == pytest.approx(cryo.frozen_share(SERVED["mix"], Q_(-12, "degC")).m, abs=0.1) and got.frozen.m[-1] == pytest.approx(50, abs=0.1)
    assert got.time.m[-1] == got.stands.m and got.bottom.m[1] < got.frozen.m[0] and got.plate_at.m[0] == pytest.approx(22)


def test_scoops_spread_comes_from_its_air_and_its_limit():
    found = spread(cryo.on_plate, ("density", "keeps_shape_share"), field="stands", **{**SERVED, "plate": PLATE})
    assert found.low < found.mid < found.high


@pytest.mark.parametrize("changed, error, says", [
    ({"served": Q_(-3, "degC")}, OutOfRange, "Serve it colder"), ({"mass": Q_(0, "g")}, OutOfRange, "mass"),
    ({"plate": "porcelain"}, TypeError, "plate must be"),
    ({"served": Q_(2, "degC")}, OutOfRange, "served")])
def test_on_plate_refuses(changed, error, says):
    with pytest.raises(error, match=says):
        cryo.on_plate(**{**SERVED, **changed})


# --- crystals ------------------------------------------------------------------------------------------------------------------------------
def test_size_falls_with_the_published_exponent():
    assert cryo.crystal_ratio(1, CRYSTALS) == 1 and cryo.crystal_ratio(4, CRYSTALS) == pytest.approx(cryo.crystal_ratio(2, CRYSTALS) ** 2)
    found = spread(cryo.crystal_ratio, ("crystal_rate_exponent",), quicker=10, crystals=CRYSTALS)
    assert (found.low, found.high) == pytest.approx((10 ** -0.7, 10 ** -0.3))


def test_exponent_row_is_a_fit_of_the_rates_table():
    """Logarithmic fits of the two series with three rates that are in the table: 0.47 and 0.33 (dossier of freezing, d)."""
    rates = {}
    for point in tables.records("freezing_rates"):
        if point["cooling"] is not None:
            rates.setdefault(point["material"], []).append((point["cooling"].m, point["size"].m))
    slopes = [-np.polyfit(*np.log(np.array(series).T), 1)[0] for series in rates.values()]
    assert slopes == pytest.approx([0.47, 0.33], abs=0.02)
    fact = CRYSTALS.fact("crystal_rate_exponent")
    assert all(fact.low <= slope <= fact.high for slope in slopes)


def test_methods_are_in_order_and_marked_as_typical():
    sizes = [row(key, own=False).fact("crystal_size") for key in ("nitrogen freezing", "continuous freezer", "batch freezer", "still freezing")]
    assert all(fact.how == "memory" for fact in sizes) and all(a.value < b.value for a, b in zip(sizes, sizes[1:]))


def test_coarsening_is_the_cube_root_law_through_the_measured_sizes():
    size = Q_(23.7, "um")
    days = cryo.coarsened(Q_([0, 1, 8, 27], "day"), Q_(-15, "degC"), size).size.m
    assert days[0] == pytest.approx(23.7) and np.diff(days, 1) == pytest.approx(np.full(3, days[1] - days[0]))     # cube roots 0 1 2 3
    warm = [cryo.coarsened(Q_(14, "day"), Q_(at, "degC"), size).size.m for at in (-28.9, -20, -17.8, -15, -13, -12.2)]
    assert np.all(np.diff(warm) > 0)
    got = cryo.coarsened(Q_(14, "day"), Q_(-17.8, "degC"), size)
    assert got.slowest <= got.size <= got.fastest


def test_growth_of_cubes_about_doubles_per_degree():
    """d**3 grows about twice as fast for each degree between -17.8 and -12.2 °C (dossier of freezing, d)."""
    cubes = [cryo.coarsened(Q_(28, "day"), Q_(at, "degC"), Q_(23.7, "um")).size.m ** 3 - 23.7 ** 3 for at in (-17.8, -12.2)]
    assert (cubes[1] / cubes[0]) ** (1 / 5.6) == pytest.approx(2, rel=0.1)


def test_eight_weeks_lie_below_the_law_where_warm_and_above_it_where_cold():
    at, four, eight = cryo.coarsening_rates()
    assert np.all((eight < four) == (at > 273.15 - 16)) and np.all(np.diff(four) > 0)
    assert np.any(cryo.coarsening_rates("non-dairy")[1] < 0)                        # no law: smaller after four weeks than at first


def test_days_until_is_the_law_the_other_way_round():
    found = cryo.days_until(Q_(50, "um"), Q_(-14, "degC"), Q_(20, "um"))
    assert found.soonest <= found.typical <= found.latest
    assert cryo.coarsened(found.typical, Q_(-14, "degC"), Q_(20, "um")).size.m == pytest.approx(50)
    assert cryo.coarsened(found.soonest, Q_(-14, "degC"), Q_(20, "um")).fastest.m == pytest.approx(50)
    assert cryo.days_until(Q_(50, "um"), Q_(-14, "degC"), Q_(60, "um")).latest.m == 0


def test_nitrogen_and_machine_end_alike_in_a_warm_store():
    """What fast freezing makes, a store at -12 °C coarsens in days: 15 or 40 um at first, sandy within two weeks."""
    for size in (15, 40):
        assert cryo.days_until(Q_(50, "um"), Q_(-12.2, "degC"), Q_(size, "um")).latest < Q_(14, "day")


@pytest.mark.parametrize("model, arguments, says", [
    (cryo.coarsened, (Q_(30, "day"), Q_(-15, "degC"), Q_(20, "um")), "0 to 28"),
    (cryo.coarsened, (Q_(3, "day"), Q_(-5, "degC"), Q_(20, "um")), "-28.9 to -12.2"),
    (cryo.days_until, (Q_(50, "um"), Q_(-40, "degC"), Q_(20, "um")), "temperature"), (cryo.pace, (Q_(0, "mm"), Q_(1, "min")), "thickness")])
def test_crystals_refuse(model, arguments, says):
    with pytest.raises(OutOfRange, match=says):
        model(*arguments)
