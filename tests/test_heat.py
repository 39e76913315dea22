"""Films, vessels, stirred and set, mixing: against reference libraries, measured coolings and balances."""

import CoolProp.CoolProp as coolprop
import ht
import iapws
import numpy as np
import pint
import pytest
from scipy.integrate import solve_ivp
from scipy.optimize import brentq

from kitchenlib import conduction, heat, mixes
from kitchenlib.mixes import Mix
from kitchenlib.spread import spread
from kitchenlib.tables import row
from kitchenlib.units import OutOfRange, Q_

GEL, TUB, STEEL, BARE = (row(key, own=False) for key in ("watery gel", "plastic tub", "steel pot", "no vessel"))
SURROUNDINGS = tuple(row(key, own=False) for key in ("still fridge", "fan fridge", "ice bath", "stirred ice bath", "counter"))
STILL, FAN, BATH, STIRRED_BATH, COUNTER = SURROUNDINGS


def degrees(number):
    return Q_(number, "degC")


def grams(number):
    return Q_(number, "g")


# --- water and air -------------------------------------------------------------------------------------------------------------------
def test_water_against_the_reference_equations():
    """IAPWS-95 at 0.1 MPa: 1 part in 100,000 for density, 1 in 5,000 for heat capacity; viscosity and conductivity 0.5 %."""
    for celsius in np.linspace(0.5, 99, 23):
        here, there = heat.water(degrees(celsius)), iapws.IAPWS95(T=celsius + 273.15, P=0.1)
        assert here.density.m == pytest.approx(there.rho, rel=1e-5)
        assert here.heat_capacity.m == pytest.approx(there.cp * 1000, rel=2e-4)
        assert here.conductivity.m == pytest.approx(there.k, rel=5e-3)
        assert here.viscosity.m == pytest.approx(there.mu * 1000, rel=5e-3)
        assert here.expansion.m == pytest.approx(there.alfav, rel=1e-3, abs=3e-8)


def test_water_against_its_own_release():
    """To the last digit: the same equations as programmed by another library."""
    from iapws._iapws import _Liquid
    for kelvin in np.linspace(273.2, 373, 40):
        here, there = heat.water.si(kelvin), _Liquid(kelvin)
        there = there["rho"], there["cp"] * 1000, there["k"], there["mu"], there["alfav"]
        assert tuple(here) == pytest.approx(there, rel=1e-9, abs=1e-14)


def test_water_is_densest_near_four_degrees():
    assert heat.water(degrees(3)).expansion.m < 0 < heat.water(degrees(5)).expansion.m


def by_coolprop(kelvin, fluid):
    """Density, heat capacity, conductivity, viscosity, expansion at one atmosphere, SI."""
    return [coolprop.PropsSI(key, "T", kelvin, "P", 101325, fluid) for key in ("D", "C", "L", "V", "ISOBARIC_EXPANSION_COEFFICIENT")]


def test_air_against_the_reference_equations():
    for celsius in np.linspace(-50, 120, 18):
        for here, there, off in zip(heat.air.si(celsius + 273.15), by_coolprop(celsius + 273.15, "Air"), (2e-3, 8e-3, 2e-2, 1e-2, 8e-3)):
            assert here == pytest.approx(there, rel=off)


# --- films ---------------------------------------------------------------------------------------------------------------------------
def reference_film(surface, around, height, fluid):
    """Churchill and Chu by ht, properties by CoolProp, film temperature."""
    rho, cp, k, mu, beta = by_coolprop((surface + around) / 2 + 273.15, fluid)
    grashof = 9.80665 * abs(beta * (surface - around)) * height ** 3 * (rho / mu) ** 2
    return ht.conv_free_immersed.Nu_vertical_plate_Churchill(Pr=cp * mu / k, Gr=grashof) * k / height


@pytest.mark.parametrize("fluid, accuracy", [("air", 0.01), ("water", 0.005)])
def test_film_against_reference_libraries(fluid, accuracy):
    for surface, around in ((90, 4), (60, 20), (20, 4), (10, 60), (70, 0.5)):
        for millimetres in (5, 30, 150, 500):
            here = heat.natural_film(degrees(surface), degrees(around), Q_(millimetres, "mm"), fluid)
            assert here.m == pytest.approx(reference_film(surface, around, millimetres / 1000, fluid), rel=accuracy)


def test_still_air_at_one_temperature_conducts_only():
    """No difference, no flow: Nu = 0.825**2."""
    here = heat.natural_film(degrees(20), degrees(20), Q_(100, "mm"), "air")
    assert here.m == pytest.approx(0.825 ** 2 * heat.air(degrees(20)).conductivity.m / 0.1)


def test_radiation_is_the_difference_of_fourth_powers():
    hot, cold = 333.15, 277.15
    assert heat.radiation_film.si(hot, cold, 0.9) * (hot - cold) == pytest.approx(0.9 * 5.670374e-8 * (hot ** 4 - cold ** 4), rel=1e-6)
    assert heat.radiation_film(degrees(60), degrees(4), 0).m == 0


# --- vessels -------------------------------------------------------------------------------------------------------------------------
def test_batch_fills_the_vessel():
    """402 g of water: a cylinder as wide as high of 80 mm, 301.6 cm² all round."""
    size = heat.vessel_size(grams(402.12), GEL, BARE)
    assert [size.diameter.m, size.height.m, (size.wall + size.top).m] == pytest.approx([80, 80, 301.6], rel=1e-3)
    tray = heat.vessel_size(Q_(2, "kg"), GEL, row("plastic tray", own=False).but(depth=Q_(20, "mm")))
    assert (tray.height.m, tray.top.m) == pytest.approx((20, 1000))
    low = heat.vessel_size(grams(1000), GEL, TUB.but(proportion=0.25))
    assert low.height.m / low.diameter.m == pytest.approx(0.25)
    assert low.wall.m == pytest.approx(low.top.m * 2)        # side pi d h = top at a quarter, and the bottom
    assert (low.top * low.height).to("mL").m == pytest.approx(1000)


def test_plastic_wall_as_measured():
    """cooking-magazine-ice-bath: 15.5 W/K through stainless steel, 5.0 through plastic (2.37 L of soup in ice): three times as much."""
    through = [heat.wall_coefficient(degrees(50), grams(2370), GEL, row(key, own=False), BATH) for key in ("steel bowl", "plastic bowl")]
    area = heat.vessel_size(grams(2370), GEL, row("steel bowl", own=False)).wall
    assert through[0] / through[1] == pytest.approx(15.5 / 5.0, rel=0.25)
    for measured, here in zip((15.5, 5.0), through):
        assert (here * area).to("W/kelvin").m == pytest.approx(measured, rel=0.3)


def test_wall_and_films_are_resistances_in_series():
    fan = heat.wall_coefficient(degrees(60), grams(500), GEL, TUB, FAN)
    assert 1 / fan.m == pytest.approx(1 / 22.5 + 0.002 / 0.25 + 1 / 400)


@pytest.mark.parametrize("proportion", [1.0, 0.1])
def test_the_skin_has_its_own_temperature(proportion):
    """What comes through wall and inside film leaves by the outer film: solved here by bisection. Flat fillings: area over rim."""
    bare = BARE.but(proportion=proportion)
    size = heat.vessel_size(grams(500), GEL, bare)
    tall = size.height if proportion == 1 else size.diameter / 4
    for surroundings, medium in ((STILL, "air"), (BATH, "water")):
        around = surroundings.temperature

        def outer(skin):
            film = heat.natural_film(degrees(skin), around, tall, medium).m
            return film + heat.radiation_film(degrees(skin), around, 0.95).m if medium == "air" else film
        skin = brentq(lambda skin: 400 * (60 - skin) - outer(skin) * (skin - around.m), around.m + 1, 60)
        here = heat.wall_coefficient(degrees(60), grams(500), GEL, bare, surroundings)
        assert here.m == pytest.approx(outer(skin) * (skin - around.m) / (60 - around.m), rel=1e-3)


# --- stirred -------------------------------------------------------------------------------------------------------------------------
LUMP = dict(start=degrees(80), surroundings=degrees(4), mass=grams(500), heat_capacity=Q_(4000, "J/kg/kelvin"), area=Q_(450, "cm**2"),
            film=Q_(10, "W/m**2/kelvin"))


def test_lumped_time_and_back():
    takes = heat.cooling_time(target=degrees(35), **LUMP)
    assert heat.temperature_after(takes, **LUMP).m == pytest.approx(35)
    assert heat.temperature_after(Q_(0, "min"), **LUMP).m == pytest.approx(80)
    many = heat.temperature_after(Q_(np.linspace(0, 300, 7), "min"), **LUMP).m
    assert np.all(np.diff(many) < 0) and many[-1] > 4


def test_lumped_same_in_any_unit():
    other = heat.cooling_time(Q_(176, "degF"), Q_(95, "degF"), Q_(39.2, "degF"), Q_(0.5, "kg"), Q_(4, "kJ/kg/kelvin"), Q_(0.045, "m**2"),
                              Q_(1e-3, "W/cm**2/kelvin"))
    assert other.m == pytest.approx(heat.cooling_time(target=degrees(35), **LUMP).m)


def test_lumped_core_keeps_its_dimension():
    bare = heat.temperature_after.si(Q_(3600, "s"), Q_(80, "kelvin"), Q_(4, "kelvin"), Q_(0.5, "kg"), LUMP["heat_capacity"],
                                     Q_(0.045, "m**2"), LUMP["film"])
    assert bare.check("[temperature]")


def test_stirred_pot_against_the_equation_of_motion():
    """The pot's temperature integrated step by step, skin and films solved anew at each: the quadrature must agree."""
    size = heat.vessel_size.si(1.0, GEL, STEEL)

    def falls(_, state, around, medium):
        body, = state
        skin = body
        for _ in range(40):
            film = heat.natural_film.si(skin, around, size.height, medium)
            film = film + heat.radiation_film.si(skin, around, 0.2) if medium == "air" else film
            through = 1 / (1 / film + 0.001 / 16 + 1 / 400)
            skin = around + (body - around) * through / film
        top = heat.natural_film.si(body, around, size.height, "air") + heat.radiation_film.si(body, around, 0.95) if medium == "air" else 0
        return [-(through * size.wall + top * size.top) * (body - around) / (1.0 * 4180)]
    for surroundings, minutes in ((STILL, 150), (BATH, 8)):
        around = surroundings.si("temperature")
        run = solve_ivp(falls, (0, minutes * 60), [353.15], args=(around, surroundings.medium), rtol=1e-7, atol=1e-7)
        here = heat.cooled(Q_(minutes, "min"), degrees(80), Q_(1, "kg"), GEL, STEEL, surroundings).stirred
        assert here.m == pytest.approx(run.y[0, -1] - 273.15, abs=0.05)
        back = heat.cooling(degrees(80), here, Q_(1, "kg"), GEL, STEEL, surroundings).stirred
        assert back.m == pytest.approx(minutes, rel=2e-3)


def test_driven_air_is_the_lumped_sum():
    """Where the row gives the film, nothing is left but m c / (U A) ln."""
    size = heat.vessel_size(grams(800), GEL, TUB)
    wall = heat.wall_coefficient(degrees(60), grams(800), GEL, TUB, FAN)
    mean = (wall * size.wall + FAN.film_coefficient * size.top) / (size.wall + size.top)
    by_hand = heat.cooling_time(degrees(80), degrees(20), degrees(4), grams(800), GEL.heat_capacity, size.wall + size.top, mean)
    assert heat.cooling(degrees(80), degrees(20), grams(800), GEL, TUB, FAN).stirred.m == pytest.approx(by_hand.m)


# --- set -----------------------------------------------------------------------------------------------------------------------------
def test_set_in_driven_air_is_the_product_of_cylinder_and_slab():
    size = heat.vessel_size(grams(800), GEL, TUB)
    wall = 1 / (1 / 22.5 + 0.002 / 0.25)
    parts = ((wall * size.diameter.m_as("m") / 2 / 0.6, "cylinder", size.diameter.m_as("m") / 2),
             ((wall + 22.5) / 2 * size.height.m_as("m") / 2 / 0.6, "slab", size.height.m_as("m") / 2))
    takes = heat.cooling(degrees(80), degrees(20), grams(800), GEL, TUB, FAN)
    left = [conduction.difference_left(0.6 / 4.18e6 * takes.unstirred.m_as("s") / half ** 2, biot, shape) for biot, shape, half in parts]
    assert np.prod(left) == pytest.approx(16 / 76)
    assert takes.film.m == pytest.approx((wall + (wall + 22.5) / 2) / 2)
    volume = 0.8 / 1000
    assert takes.biot == pytest.approx(takes.film.m * volume / (size.wall + size.top).m_as("m**2") / 0.6)
    assert takes.too_short.m == pytest.approx(100 * (1 - takes.stirred.m / takes.unstirred.m))


def test_set_in_a_bath_keeps_its_top():
    """The top of a bath's vessel loses nothing: a slab twice as thick, cooled from both sides."""
    size = heat.vessel_size(grams(800), GEL, TUB)
    wall = 1 / (1 / 800 + 0.002 / 0.25)
    takes = heat.cooling(degrees(80), degrees(20), grams(800), GEL, TUB, STIRRED_BATH)
    radius, height = size.diameter.m_as("m") / 2, size.height.m_as("m")
    left = [conduction.difference_left(0.6 / 4.18e6 * takes.unstirred.m_as("s") / half ** 2, wall * half / 0.6, shape)
            for shape, half in (("cylinder", radius), ("slab", height))]
    assert np.prod(left) == pytest.approx(19.5 / 79.5)
    assert takes.biot == pytest.approx(wall * 0.0008 / size.wall.m_as("m**2") / 0.6)


def test_mean_film_of_a_set_gel_is_that_of_its_skin():
    """A fixed point, checked apart: the skin's share of the mean difference by the first wave, the film a mean of resistances."""
    size, around = heat.vessel_size.si(0.8, GEL, TUB), BATH.si("temperature")
    parts = heat._set_parts(353.15, GEL, size, BATH, TUB)[0]
    left = np.exp(np.log(0.1) * (np.arange(2000) + 0.5) / 2000)
    for number, shape, scale in parts:
        half = np.sqrt(scale * 0.6 / 4.18e6)
        skin_share = conduction.difference_left(1.0, number, shape, 1) / conduction.mean_left(1.0, number, shape)
        body = around + (353.15 - around) * left * skin_share
        skin = body
        for _ in range(60):
            film = heat.natural_film.si(skin, around, max(size.height, size.diameter / 4), "water")
            through = 1 / (1 / film + 0.002 / 0.25)
            skin = (skin + around + (body - around) * through / film) / 2
        assert number * 0.6 / half == pytest.approx(1 / np.mean(1 / through), rel=0.01)


def test_cooled_and_cooling_agree():
    for surroundings in SURROUNDINGS:
        takes = heat.cooling(degrees(85), degrees(40), grams(700), GEL, STEEL, surroundings)
        assert heat.cooled(takes.stirred, degrees(85), grams(700), GEL, STEEL, surroundings).stirred.m == pytest.approx(40, abs=0.02)
        then = heat.cooled(takes.unstirred, degrees(85), grams(700), GEL, STEEL, surroundings)
        assert then.warmest.m == pytest.approx(40, abs=1e-4)
        assert then.mean.m < then.warmest.m


def test_many_targets_at_once():
    targets = [60, 40, 20]
    together = heat.cooling(degrees(85), degrees(targets), grams(700), GEL, STEEL, STILL)
    one = [heat.cooling(degrees(85), degrees(t), grams(700), GEL, STEEL, STILL) for t in targets]
    assert together.stirred.m == pytest.approx([x.stirred.m for x in one])
    assert together.unstirred.m == pytest.approx([x.unstirred.m for x in one])


def test_no_way_to_go_takes_no_time():
    there = heat.cooling(degrees(60), degrees(60), grams(500), GEL, TUB, STILL)
    assert (there.stirred.m, there.unstirred.m, there.too_short.m) == (0, 0, 0)


def test_warming_works_too():
    """From the fridge onto the counter: as long as it takes, and never past the room."""
    takes = heat.cooling(degrees(4), degrees(15), grams(500), GEL, TUB, COUNTER)
    assert heat.cooled(takes.stirred, degrees(4), grams(500), GEL, TUB, COUNTER).stirred.m == pytest.approx(15, abs=0.02)
    late = heat.cooled(Q_(5000, "min"), degrees(4), grams(500), GEL, TUB, COUNTER)
    assert late.stirred.m == pytest.approx(22, abs=0.1) and late.warmest.m <= 22


def test_small_batches_need_no_choice_and_large_ones_do():
    thimble = heat.cooling(degrees(80), degrees(35), grams(5), GEL, BARE, STILL)
    assert thimble.biot < 0.1 and thimble.stirred.m == pytest.approx(thimble.unstirred.m, rel=0.3)
    assert "either sum" in heat.verdict(thimble)
    pot = heat.cooling(degrees(80), degrees(35), Q_(3, "kg"), GEL, STEEL, BATH)
    assert pot.biot > 1 and "too short" in heat.verdict(pot) and " h " in heat.verdict(pot)


def test_fan_halves_the_time():
    """home-refrigerator-1981: a fan on the food at 10 cm halves it."""
    still, fan = (heat.cooling(degrees(60), degrees(7.2), Q_(1, "kg"), GEL, TUB, around).unstirred.m for around in (STILL, FAN))
    assert 0.4 < fan / still < 0.7


def test_large_containers_go_with_the_square_of_the_side():
    """dickerson-read: time as the square of the shortest side, where the inside limits: eight times the batch, four times the time."""
    small, large = (heat.cooling(degrees(60), degrees(10), Q_(kilos, "kg"), GEL, STEEL, STIRRED_BATH).unstirred.m for kilos in (4, 32))
    assert large / small == pytest.approx(4, rel=0.06)


def test_cooling_in_a_cold_room_is_straight_on_log_paper():
    """igo-cooling: R2 above 0.90 in the typical foods."""
    time = np.linspace(10, 600, 40)
    for vessel in (STEEL, TUB):
        left = np.log(heat.cooled(Q_(time, "min"), degrees(60), Q_(2, "kg"), GEL, vessel, STILL).warmest.m - 4)
        assert np.corrcoef(time, left)[0, 1] ** 2 > 0.90


# --- mixing --------------------------------------------------------------------------------------------------------------------------
def pot(**foods):
    return Mix({key.replace("_", " "): grams(mass) for key, mass in foods.items()}, own=False)


def test_mixing_by_hand():
    """100 g at 95 °C and 200 g at 8 °C: (9500 + 1600) / 300. Alike in what they hold, so it cancels."""
    assert heat.mixing_temperature(pot(water=100), degrees(95), pot(water=200), degrees(8)).m == pytest.approx(37.0)
    assert heat.mixing_temperature(pot(apple=100), degrees(95), pot(apple=200), degrees(8)).m == pytest.approx(37.0)
    ounces = Mix({"water": Q_(3.5274, "ounce")}, own=False), Q_(203, "degF"), Mix({"water": Q_(7.0548, "ounce")}, own=False), Q_(46.4, "degF")
    assert heat.mixing_temperature(*ounces).m == pytest.approx(37.0, abs=1e-4)
    oil = heat.mixing_temperature(pot(water=100), degrees(95), pot(olive_oil=200), degrees(8))
    assert oil.m == pytest.approx((100 * 4.18 * 95 + 200 * 2.0 * 8) / (100 * 4.18 + 200 * 2.0), abs=1)     # oil holds about 2.0 kJ/kg/K (memory)
    first = heat.mixing_temperature(pot(water=100), degrees(90), pot(water=50), degrees(10))
    assert heat.mixing_temperature(pot(water=150), first, pot(water=50), degrees(30)).m == pytest.approx(55)


def test_heat_is_kept():
    parts = ((pot(whole_milk=120), degrees(90)), (pot(heavy_cream=80, sugar=40), degrees(5)))
    mixed = heat.mixing_temperature(*parts[0], *parts[1])
    gained = [mix.kg * mixes.heat_capacity(mix, degrees(47.5)).m * (mixed.m - at.m) for mix, at in parts]
    assert sum(gained) == pytest.approx(0, abs=1e-6) and 5 < mixed.m < 90


def test_warm_the_puree_to():
    for base, puree in ((pot(water=100), pot(water=200)), (pot(water=98, agar=2), pot(raspberry=150, sugar=50))):
        needed = heat.warm_to(degrees(45), base, degrees(95), puree)
        assert heat.mixing_temperature(base, degrees(95), puree, needed).m == pytest.approx(45, abs=0.1)
        assert needed < degrees(20.1)                        # a sweet purée holds less heat: the same heat warms it further
    assert heat.warm_to(degrees(45), pot(water=100), degrees(95), pot(water=200)).m == pytest.approx(20)


# --- refusals ------------------------------------------------------------------------------------------------------------------------
@pytest.mark.parametrize("call, words", [
    (lambda: heat.cooling(degrees(80), degrees(4), grams(500), GEL, TUB, STILL), "never reached"),
    (lambda: heat.cooling(degrees(80), degrees(2), grams(500), GEL, TUB, STILL), "never reached"),
    (lambda: heat.cooling(degrees(80), degrees(90), grams(500), GEL, TUB, STILL), "away from"),
    (lambda: heat.cooling_time(target=degrees(4), **LUMP), "never reached"),
    (lambda: heat.cooling(degrees(float("nan")), degrees(20), grams(500), GEL, TUB, STILL), "start"),
    (lambda: heat.cooling(degrees(80), degrees(20), grams(0), GEL, TUB, STILL), "batch"),
    (lambda: heat.water(degrees(101)), "0 to 100"),
    (lambda: heat.mixing_temperature(pot(water=0), degrees(95), pot(water=1), degrees(8)), "every mass is 0"),
    (lambda: heat.mixing_temperature(pot(water=100), degrees(95), pot(water=100), degrees(-18)), "temperature"),
    (lambda: heat.warm_to(degrees(45), pot(water=500), degrees(95), pot(water=100)), "change the amounts"),
    (lambda: heat.warm_to(degrees(90), pot(water=500), degrees(60), pot(water=100)), "change the amounts")])
def test_refuses_in_a_sentence(call, words):
    with pytest.raises((OutOfRange, ValueError), match=words) as refused:
        call()
    assert "\n" not in str(refused.value)


@pytest.mark.parametrize("bad, error", [
    (dict(mass=500), TypeError), (dict(start=Q_(80, "delta_degC")), pint.DimensionalityError),
    (dict(area=Q_(45, "cm")), pint.DimensionalityError)])
def test_refuses_other_kinds(bad, error):
    with pytest.raises(error):
        heat.cooling_time(**{**LUMP, "target": degrees(35), **bad})


def test_rows_have_what_the_models_read():
    """Every shipped vessel in every surroundings, heavy and light."""
    from kitchenlib.tables import kinds
    for vessel in kinds("vessel", own=False):
        if vessel == "vessel":
            continue
        for surroundings in kinds("surroundings", own=False)[1:]:
            for mass in (100, 5000):
                takes = heat.cooling(degrees(90), degrees(40), grams(mass), GEL, row(vessel, own=False), row(surroundings, own=False))
                assert 0 < takes.stirred.m < takes.unstirred.m * 1.3, (vessel, surroundings)


def test_weak_rows_make_a_spread():
    """The measured 11.5 and 36 min of cooking-magazine-ice-bath lie inside what the rows leave open."""
    for vessel, minutes in (("steel bowl", 11.5), ("plastic bowl", 36)):
        known = spread(heat.cooling, heat.WEAK, field="stirred", start=degrees(78.9), target=degrees(26.7), batch=grams(2370), food=GEL,
                       vessel=row(vessel, own=False), surroundings=BATH)
        assert known.low.m < minutes < known.high.m and known.high.m < 2.5 * known.mid.m


def test_your_own_measurement_scales_the_natural_film():
    args = degrees(80), degrees(35), grams(500), GEL, BARE.but(emissivity=0.0)
    plain, doubled = (heat.cooling(*args, BATH.but(factor=f)).film.m for f in (1.0, 2.0))
    assert 1.7 < doubled / plain <= 2                        # colder skin, weaker flow: a little less than twice


@pytest.mark.parametrize("place", [STILL, BATH])
def test_profile_and_rim_of_a_set_gel(place):
    """Product rule (carslaw-jaeger-1959, 1.15): the rim's share times the middle's is the product of the two lines' ends."""
    here = degrees(80), grams(700), GEL, STEEL, place
    lines, whole = heat.profile(Q_(40, "min"), *here, np.linspace(0, 1, 21)), heat.cooled(Q_(40, "min"), *here)
    around, share = place.temperature.m, lambda q: (q.m - place.temperature.m) / (80 - place.temperature.m)
    assert lines.across[0].m == pytest.approx(whole.warmest.m) == lines.up[0].m
    assert np.all(np.diff(lines.across.m) < 0) and np.all(np.diff(lines.up.m) < 0)
    assert share(whole.coldest) * share(whole.warmest) == pytest.approx(share(lines.across[-1]) * share(lines.up[-1]))
    assert around < whole.coldest.m < whole.mean.m < whole.warmest.m
