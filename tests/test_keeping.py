"""How a sauce keeps: creaming, thickened water, warm window, pH of the water. Published values are rows of keeping.csv."""
import iapws
import numpy as np
import pint
import pytest
from scipy.optimize import brentq

from kitchenlib import cautions, drops, keeping, mixes, rules, tables
from kitchenlib.units import OutOfRange, Q_

XANTHAN, OIL, SAUCE, BUTTER, YOLK, ACETIC, CITRIC = (tables.row(key, own=False) for key in (
    "xanthan", "sunflower oil", "warm yolk sauce", "butter fat", "egg yolk", "acetic acid", "citric acid"))
COLD = Q_(5, "degC")
JAR = dict(share=Q_(30, "percent"), density_difference=Q_(80, "kg/m**3"), viscosity=Q_(1.0016, "mPa*s"), temperature=Q_(20, "degC"))


def percent(number):
    return Q_(number, "percent")


def size(number):
    return Q_(number, "µm")


# --- thickened water -------------------------------------------------------------------------------------------------------------------
def test_no_thickener_is_water_by_iapws():
    for degrees in (2, 5, 20, 40):
        water = iapws.IAPWS97(T=degrees + 273.15, P=0.101325)
        bare = keeping.flowing_viscosity(percent(0), Q_(1, "1/s"), Q_(degrees, "degC"), XANTHAN)
        assert bare.m_as("Pa*s") == pytest.approx(water.mu, rel=2e-3)
        rest = keeping.resting_viscosity(percent(0), size(10), Q_(80, "kg/m**3"), Q_(degrees, "degC"), XANTHAN)
        assert rest.m_as("Pa*s") == pytest.approx(water.mu, rel=2e-3)
        lighter = keeping.density_difference(Q_(degrees, "degC"), OIL) + drops.oil_density(Q_(degrees, "degC"), OIL)
        assert lighter.m_as("kg/m**3") == pytest.approx(water.rho, rel=2e-5)


def test_rows_come_back_at_their_own_doses():
    """K and n of the power law at the four doses of the row."""
    for dose, stress, power in ((0.1, 0.15, 0.55), (0.25, 0.9, 0.33), (0.5, 3.5, 0.22), (1, 11, 0.16)):
        for rate in (0.01, 1, 50):
            got = keeping.flowing_viscosity(percent(dose), Q_(rate, "1/s"), Q_(20, "degC"), XANTHAN).m_as("Pa*s")
            assert got == pytest.approx(0.0010016 + stress * rate ** (power - 1), rel=1e-4)
        held = {0.1: 0.1, 0.25: 0.5, 0.5: 2, 1: 6}[dose]
        assert keeping.apparent_yield(percent(dose), XANTHAN).m_as("Pa") == pytest.approx(held)


def test_thick_at_rest_thin_in_the_mouth_and_no_thicker_below_the_slowest_rate():
    rest, pour, mouth = (keeping.flowing_viscosity(percent(0.3), Q_(rate, "1/s"), COLD, XANTHAN).m for rate in (1e-6, 10, 60))
    assert rest > 100 * pour > 100 * mouth
    assert rest == keeping.flowing_viscosity(percent(0.3), Q_(1e-9, "1/s"), COLD, XANTHAN).m


def test_resting_viscosity_is_its_own_shear():
    """At the found viscosity, the rate the droplet shears with gives that viscosity back."""
    for dose in (0.01, 0.05, 0.1):
        found = keeping.resting_viscosity(percent(dose), size(50), Q_(80, "kg/m**3"), COLD, XANTHAN).m_as("Pa*s")
        rate = 80 * 9.80665 * 50e-6 / (6 * found)
        assert keeping.flowing_viscosity(percent(dose), Q_(rate, "1/s"), COLD, XANTHAN).m_as("Pa*s") == pytest.approx(found, rel=1e-6)
    doses = Q_(np.linspace(0, 0.6, 30), "percent")
    assert (np.diff(keeping.resting_viscosity(doses, size(20), Q_(80, "kg/m**3"), COLD, XANTHAN).m) > 0).all()


def test_a_little_thickener_is_worse_than_none():
    """parker-1995: flocs from 0.1 g/L, that is 0.01 % of the water; the network comes later."""
    zones = [keeping.zone(percent(dose), XANTHAN) for dose in (0, 0.009, 0.011, 0.099, 0.101, 0.3, 0.5)]
    assert zones == ["single", "single", "flocs", "flocs", "between", "network", "network"]
    jar = dict(droplet=size(10), share=percent(30), height=Q_(100, "mm"), temperature=COLD, oil=OIL, thickener=XANTHAN)
    none, trap, held = (keeping.keeps(dose=percent(dose), **jar) for dose in (0, 0.015, 0.4))
    assert trap.time.low < none.time.mid < trap.time.high and trap.time.mid < none.time.mid and "too little" in trap.words.casefold()
    assert held.time is None and "hold each other up" in held.words and "more than a year" in held.words
    assert "82 h" in none.words                              # by hand: 0.1 m / (1e-10 * 69.9 * g / (18 * 1.518e-3) * 0.7**5.6) with oil of 930
    assert keeping.keeps(**{**jar, "share": percent(80)}, dose=percent(0)).time is None


def test_what_holds_herbs():
    dose = keeping.dose_to_hold(Q_(5, "mm"), Q_(100, "kg/m**3"), XANTHAN)
    assert keeping.apparent_yield(dose, XANTHAN).m == pytest.approx(keeping.yield_needed(Q_(5, "mm"), Q_(100, "kg/m**3")).m, rel=1e-3)
    # weight in water of a ball over 2 pi R² / 0.143, by hand: pi/6 d³ 100 g / (2 pi d²/4) * 0.143
    by_hand = np.pi / 6 * 0.005 ** 3 * 100 * 9.80665 / (2 * np.pi * 0.0025 ** 2) * 0.143
    assert keeping.yield_needed(Q_(5, "mm"), Q_(100, "kg/m**3")).m_as("Pa") == pytest.approx(by_hand, rel=1e-9)
    assert keeping.dose_to_hold(size(20), Q_(80, "kg/m**3"), XANTHAN).m == pytest.approx(0.1)       # never down into the trap
    with pytest.raises(OutOfRange, match="chop finer"):
        keeping.dose_to_hold(Q_(20, "mm"), Q_(1500, "kg/m**3"), XANTHAN)


# --- creaming ------------------------------------------------------------------------------------------------------------------------
def test_half_the_droplet_four_times_the_time():
    one, half = (keeping.creaming_time(size(d), height=Q_(100, "mm"), **JAR) for d in (10, 5))
    assert float(half / one) == pytest.approx(4, rel=1e-3)


def test_one_alone_goes_by_the_law_of_drops():
    alone = keeping.creaming_speed(size(10), **{**JAR, "share": percent(0)})
    assert alone.m_as("mm/s") == pytest.approx(-drops.stokes_speed(size(10), Q_(-80, "kg/m**3"), Q_(1.0016, "mPa*s")).m_as("mm/s"), rel=1e-3)
    crowd = keeping.creaming_speed(size(10), **JAR)
    assert float(crowd / alone) == pytest.approx(0.7 ** 5.6)
    big = keeping.creaming_speed(size(300), **JAR) / keeping.creaming_speed(size(300), **{**JAR, "share": percent(0)})
    assert float(big) == pytest.approx(0.7 ** 4.48)


def test_the_switch_lies_at_a_peclet_number_of_1e8():
    """Péclet by its definition: Stokes speed * radius / (k T / (6 pi viscosity radius)), at 20 °C and 0.21 mm (dossier of brzinski-durian-2017)."""
    radius = 0.21e-3 / 2
    speed = (2 * radius) ** 2 * 80 * 9.80665 / 18 / 1.0016e-3
    assert speed * radius / (1.380649e-23 * 293.15 / (6 * np.pi * 1.0016e-3 * radius)) == pytest.approx(1e8, rel=0.03)
    exact = 2e3 * (1e8 * 1.380649e-23 * 293.15 / (4 / 3 * np.pi * 80 * 9.80665)) ** 0.25
    powers = keeping.hindering_power(Q_([0.998 * exact, 1.002 * exact], "mm"), Q_(80, "kg/m**3"), Q_(20, "degC"))
    assert list(powers) == [5.6, 4.48]


def test_locked_droplets_do_not_rise():
    still = {**JAR, "share": percent(64)}
    assert keeping.creaming_speed(size(20), **still).m == 0
    assert keeping.creaming_time(size(20), height=Q_(100, "mm"), **still).m == np.inf
    got = keeping.layers(Q_(1000, "hour"), size(20), height=Q_(100, "mm"), **still)
    assert (got.watery.m, got.sauce.m, got.cream.m) == (0, pytest.approx(100), 0)


@pytest.mark.parametrize("share", (5, 30, 60))
def test_layers_keep_all_oil(share):
    jar = {**JAR, "share": percent(share)}
    hours = Q_(np.linspace(0, 2000, 40), "hour")
    got = keeping.layers(hours, size(10), height=Q_(100, "mm"), **jar)
    oil = share / 100 * got.sauce.m_as("mm") + 0.64 * got.cream.m_as("mm")
    assert oil == pytest.approx(np.full(40, share), rel=1e-9)
    assert (got.watery + got.sauce + got.cream).m_as("mm") == pytest.approx(np.full(40, 100))
    assert (np.diff(got.watery.m) >= 0).all() and got.sauce.m_as("mm")[-1] == pytest.approx(0, abs=1e-9)
    assert got.watery.m_as("mm")[-1] == pytest.approx(100 * (1 - share / 64))


# --- warm sauces ---------------------------------------------------------------------------------------------------------------------
def test_same_heat_goes_there_and_back():
    there = keeping.same_heat(Q_(60, "min"), Q_(60, "degC"), Q_(66, "degC"), SAUCE)
    assert keeping.same_heat(there, Q_(66, "degC"), Q_(60, "degC"), SAUCE).m == pytest.approx(60)
    assert there.m < 60


def test_fat_is_solid_in_the_fridge_and_liquid_when_warm():
    assert [keeping.solid_share(Q_(degrees, "degC"), BUTTER).m for degrees in (5, 20, 30, 36, 50)] == [pytest.approx(x) for x in (50, 20, 5, 0, 0)]


@pytest.mark.parametrize("place, hot", [("US", 57), ("Australia", 60), ("Wales", 63), ("", 63)])
def test_warm_window_is_shown_as_the_conflict_it_is(place, hot):
    got = keeping.warm_window(place, SAUCE, BUTTER)
    assert got.hot_hold.m_as("degC") == pytest.approx(hot) and got.room.m == pytest.approx(65 - hot)
    assert got.sets < got.low < got.high < got.curdles
    for said in ("pull apart", "pasteurised egg", "small batches", "authority", "Time as control"):
        assert said in got.words
    assert (not rules.standing(place, "time as control").rows) == ("no figure of any place is on file" in got.words)


# --- acid in the water -----------------------------------------------------------------------------------------------------------------
def ideal_ph(acetic, citric, water, yolk, slope=0.083, own=6.4):
    """The charge balance of the dossier, written out and solved by another solver: mol per litre of water."""
    def balance(ph):
        hydrogen = 10 ** -ph
        bound = acetic / 60.052 / water / (1 + hydrogen / 10 ** -4.756)
        k1, k2, k3 = 10 ** -3.128, 10 ** -4.761, 10 ** -6.396
        parts = np.array([hydrogen ** 3, hydrogen ** 2 * k1, hydrogen * k1 * k2, k1 * k2 * k3])
        bound += citric / 192.124 / water * (parts @ (0, 1, 2, 3)) / parts.sum()
        return hydrogen - 1e-14 / hydrogen + slope * yolk / 1000 / water * (own - ph) - bound
    return brentq(balance, 0, 14)


@pytest.mark.parametrize("acetic, citric, water, yolk", [(0.75, 0, 23.9, 17), (0, 1, 28, 17), (1.2, 0.3, 60, 34), (2.5, 0, 50, 0), (0.3, 0.3, 200, 17)])
def test_ph_against_another_solver(acetic, citric, water, yolk):
    got = keeping.sauce_ph(Q_(acetic, "g"), Q_(citric, "g"), Q_(water, "mL"), Q_(yolk, "g"), YOLK)
    assert got == pytest.approx(ideal_ph(acetic, citric, water / 1000, yolk), abs=0.005)


def test_oil_takes_no_part_and_cream_thins_the_acid():
    base = "egg yolk 17 g + distilled vinegar 20 g"
    plain, oily, creamy, sour = (keeping.mix_ph(mixes.read(text, own=False)) for text in (
        base, f"{base} + sunflower oil 300 g", f"{base} + heavy cream 60 g", f"{base} + distilled vinegar 20 g"))
    assert oily == pytest.approx(plain, abs=1e-9) and creamy > plain + 0.1 and sour < plain - 0.1
    wet = keeping.mix_ph(mixes.read(f"{base} + water 40 g", own=False))
    assert plain < wet < creamy                                                            # cream brings water and takes up acid besides


def test_vinegar_for_a_ph_and_back():
    for acid, key, strength in ((ACETIC, "acetic", 50), (CITRIC, "citric", 48)):
        for wanted in (3.6, 4.1, 4.6):
            volume = keeping.sour_liquid_for(wanted, Q_(strength, "g/L"), acid, Q_(8.9, "mL"), Q_(17, "g"), YOLK).m_as("mL")
            held = {"acetic": Q_(0, "g"), "citric": Q_(0, "g"), key: Q_(strength * volume / 1000, "g")}
            assert keeping.sauce_ph(**held, water=Q_(8.9 + volume, "mL"), yolk=Q_(17, "g"), egg=YOLK) == pytest.approx(wanted, abs=1e-3)


def test_strong_vinegar_and_no_yolk():
    """acetic acid at pH 2.6, by hand: 1000 [H] = 2.512 mmol/L, of 833 mmol/L 0.694 % let go, 5.78: 2.512 / (5.78 - 2.512) litres on one."""
    got = keeping.sour_liquid_for(2.6, Q_(50, "g/L"), ACETIC, Q_(1000, "mL"), Q_(0, "g"), YOLK)
    gone = 1 / (1 + 10 ** (4.756 - 2.6)) * 50 / 60.052
    assert got.m_as("L") == pytest.approx(10 ** -2.6 / (gone - 10 ** -2.6), rel=1e-4)


def test_a_sour_food_alone_has_its_own_measured_ph():
    """Its salts are taken from its acid and its pH: put together again they give that pH; water raises it."""
    for key in ("lemon juice", "distilled vinegar"):
        food = tables.row(key, own=False)
        assert keeping.mix_ph(mixes.Mix({food: Q_(100, "g")})) == pytest.approx(food.ph, abs=0.01)
    assert food.ph < keeping.mix_ph(mixes.read("distilled vinegar 100 g + water 100 g", own=False)) < food.ph + 0.3


def test_a_tablespoon_to_a_yolk_does_not_reach_what_is_published():
    """radford-board-1993 asks for 4.1 or below: 15 mL of 5 % vinegar stay above, within what the sum is good to."""
    usual = keeping.sauce_ph(Q_(0.75, "g"), Q_(0, "g"), Q_(23.9, "mL"), Q_(17, "g"), YOLK)
    assert 4.1 < usual < 4.1 + 2 * keeping.PH_GOOD_TO
    assert cautions.hold("raw egg", "US", 0.95, usual, within=keeping.PH_GOOD_TO).cold


# --- the door ------------------------------------------------------------------------------------------------------------------------
@pytest.mark.parametrize("call, error, says", [
    (lambda: keeping.creaming_time(Q_(2, "mm"), height=Q_(1, "mm"), **JAR), OutOfRange, "taller than the sauce"),
    (lambda: keeping.sauce_ph(Q_(30, "g"), Q_(0, "g"), Q_(10, "mL"), Q_(17, "g"), YOLK), OutOfRange, "more acid than water"),
    (lambda: keeping.by_mass(Q_(999, "g/L"), Q_(950, "kg/m**3")), OutOfRange, "5 % on the label is 50"),
    (lambda: keeping.sour_liquid_for(2.0, Q_(50, "g/L"), ACETIC, Q_(9, "mL"), Q_(17, "g"), YOLK), OutOfRange, "by itself, pH 2.42"),
    (lambda: keeping.sauce_ph(Q_(-1, "g"), Q_(0, "g"), Q_(10, "mL"), Q_(17, "g"), YOLK), OutOfRange, "acetic"),
    (lambda: keeping.sauce_ph(1, Q_(0, "g"), Q_(10, "mL"), Q_(17, "g"), YOLK), TypeError, "needs a unit"),
    (lambda: keeping.mix_ph(mixes.read("sunflower oil 10 g", own=False)), OutOfRange, "no water"),
    (lambda: keeping.flowing_viscosity(percent(0.3), Q_(1, "1/s"), COLD, OIL), LookupError, "such as xanthan"),
    (lambda: keeping.flowing_viscosity(percent(3), Q_(1, "1/s"), COLD, XANTHAN), OutOfRange, "dose"),
    (lambda: keeping.creaming_speed(Q_(5, "g"), **JAR), pint.DimensionalityError, "droplet"),
    (lambda: keeping.solid_share(Q_(200, "degC"), BUTTER), OutOfRange, "temperature")])
def test_refuses_in_one_sentence(call, error, says):
    with pytest.raises(error, match=says) as caught:
        call()
    assert "\n" not in str(caught.value)


def test_the_same_in_other_units():
    want = keeping.creaming_time(size(20), height=Q_(150, "mm"), **JAR)
    got = keeping.creaming_time(Q_(0.02, "mm"), Q_(0.3, ""), Q_(0.08, "g/cm**3"), Q_(1.0016e-3, "Pa*s"), Q_(68, "degF"), Q_(15, "cm"))
    assert got.m == pytest.approx(want.m)


def test_shelf_thickness_moves_with_the_rows_factor():
    other = XANTHAN.but(factor=2)
    rate = Q_(10, "1/s")
    thick, plain = (keeping.flowing_viscosity(percent(0.5), rate, COLD, row).m for row in (other, XANTHAN))
    water = keeping.flowing_viscosity(percent(0), rate, COLD, XANTHAN).m
    assert thick - water == pytest.approx(2 * (plain - water))


# --- what an explorer sweeps -----------------------------------------------------------------------------------------------------------
def test_sweeps_agree_with_one_at_a_time():
    jar = dict(droplet=size(20), share=percent(30), height=Q_(100, "mm"), temperature=COLD, oil=OIL, thickener=XANTHAN)
    doses = (0, 0.005, 0.02, 0.05)
    swept = keeping.creamed(dose=Q_(np.array(doses), "percent"), **jar)
    for n, dose in enumerate(doses):
        for one, many in zip(keeping.keeps(dose=percent(dose), **jar).time, swept):
            assert one.m_as("hour") == pytest.approx(many.m_as("hour")[n])
    base, vinegar = mixes.read("egg yolk 17 g + heavy cream 20 g"), tables.row("distilled vinegar", own=False)
    ph = keeping.ph_with(base, vinegar, Q_([0, 15, 40], "g"))
    assert ph == pytest.approx([keeping.mix_ph(base), *(keeping.mix_ph(base + mixes.Mix({vinegar: Q_(g, "g")})) for g in (15, 40))])


def test_an_egg_whose_uptake_of_acid_no_row_knows_gives_no_ph():
    """Left out, it would make the pH far too low: the side that hurts."""
    for egg in ("egg", "egg white"):
        with pytest.raises(LookupError, match="measure it"):
            keeping.mix_ph(mixes.read(f"{egg} 50 g + distilled vinegar 15 g"))
    raw, pasteurised = (keeping.mix_ph(mixes.read(f"{yolk} 17 g + distilled vinegar 15 g")) for yolk in ("egg yolk", "pasteurized egg yolk"))
    assert pasteurised == pytest.approx(raw, abs=0.05)
