"""fits: against NIST, the GUM and statsmodels; what statistics promises; words; what is kept on the shelf and used from there."""
import math

import numpy as np
import pint
import pytest
import statsmodels.api as statsmodels
from scipy import stats

from kitchenlib import bench, files, fits, gels, heat
from kitchenlib.bench import BadReadings
from kitchenlib.tables import row
from kitchenlib.units import OutOfRange, Q_

PRACTICE = ("gel strength", "plunger", "shell", "cream line", "boil-off", "cooling", "pot", "yield", "juice")
GEL, LINE, COOLING, YIELD = (bench.law(key) for key in ("gel strength", "straight line", "cooling", "yield"))
PLUNGER = dict(plunger=Q_(16, "mm"), reference_dose=Q_(1.5, "percent"))


def bare(value):
    return float(getattr(value, "magnitude", value))


def line(x, y, **more):
    return bench.readings(LINE, x=np.asarray(x, float), y=np.asarray(y, float), **more)


# --- against the outside: NIST StRD and GUM H.3 parameters and errors stand in datasets/published/fits.csv -------------------------------
def nist(name, law):
    return fits.fit(bench.read(bench.law(law), bench.BENCH / f"{name}.csv"))


def test_residuals_of_the_certified_sets_add_up():
    """Certified residual sums of squares (nist-strd), and degrees of freedom."""
    for name, law, squares, freedom in (("nist_danwood", "power law", 4.3173084083e-03, 4), ("nist_boxbod", "approach", 1.1680088766e+03, 4),
                                        ("nist_misra1a", "approach", 1.2455138894e-01, 12), ("nist_norris", "straight line", 26.6173985294224, 34),
                                        ("nist_noint1", "proportion", 127.272727272727, 10)):
        fit = nist(name, law)
        assert (fits.residuals(fit) ** 2).sum() == pytest.approx(squares, rel=1e-8) and fit.freedom == freedom


def test_thermometer_of_the_guide_at_30_degrees():
    """JCGM 100:2008, H.3.4: correction at 30 °C -0.1494 °C with standard uncertainty 0.0041; correlation -0.930 (gum-h-restated)."""
    fit = nist("gum_h3", "straight line")
    assert fits.at(fit, 10.0) == pytest.approx(-0.1494, abs=0.00005)
    low, high = fits.band(fit, 10.0, coverage=2 * stats.t.cdf(1, fit.freedom) - 1)          # one standard error either way
    assert (high - low) / 2 == pytest.approx(0.0041, abs=0.00005)
    assert fit.covariance[0, 1] / math.sqrt(fit.covariance[0, 0] * fit.covariance[1, 1]) == pytest.approx(-0.93, abs=0.005)


def test_line_as_statsmodels_has_it():
    """Values, errors, covariance, 95 % band, studentised residuals of ordinary least squares."""
    rng = np.random.default_rng(3)
    x = rng.uniform(0, 10, 15)
    y = 3 - 0.7 * x + 0.2 * rng.standard_normal(15)
    y[4] += 3
    readings = line(x, y)
    fit, other = fits.fit(readings), statsmodels.OLS(y, statsmodels.add_constant(x)).fit()
    assert list(fit.values.values()) == pytest.approx(list(other.params), rel=1e-7)
    assert list(fit.errors.values()) == pytest.approx(list(other.bse), rel=1e-7)
    assert fit.covariance == pytest.approx(other.cov_params(), rel=1e-6)
    assert fit.scatter == pytest.approx(math.sqrt(other.scale), rel=1e-8)
    asked = np.array([1.0, 5.0, 9.0])
    frame = other.get_prediction(statsmodels.add_constant(asked)).conf_int()
    assert np.array(fits.band(fit, asked)).T == pytest.approx(frame, rel=1e-6)
    apart = np.abs(other.get_influence().resid_studentized_external)
    limit = stats.t.ppf(1 - 0.05 / 2 / 15, 15 - 2 - 1)
    assert [where for where, _ in fits.odd(fit)] == [f"row {i + 1}" for i in np.flatnonzero(apart > limit)] == ["row 5"]
    chance = 2 * 15 * stats.t.sf(apart[4], 15 - 2 - 1)       # that any of 15 stands so far apart
    assert fits.odd(fit, risk=1.01 * chance) and not fits.odd(fit, risk=0.99 * chance)


def test_weights_as_statsmodels_has_them():
    x, y, u = np.array([1, 2, 3, 4, 5.0]), np.array([2.1, 3.9, 6.2, 7.8, 10.4]), np.array([0.1, 0.1, 0.3, 0.3, 0.5])
    fit = fits.fit(line(x, y, uncertainty=u))
    other = statsmodels.WLS(y, statsmodels.add_constant(x), weights=1 / u ** 2).fit(cov_type="fixed scale")
    assert list(fit.values.values()) == pytest.approx(list(other.params), rel=1e-7)
    assert list(fit.errors.values()) == pytest.approx(list(other.bse), rel=1e-6)


def test_a_share_of_scatter_as_weights_of_the_curve():
    """Readings that scatter by a share: iterated weighted least squares, done here by statsmodels."""
    x, y = np.array([100, 200, 400, 800.0]), np.array([52, 96, 210, 395.0])
    fit = fits.fit(bench.readings(bench.law("juice"), trimmed=Q_(x, "g"), juice=Q_(y, "g")))
    other = statsmodels.WLS(y, x, weights=1 / x ** 2).fit()                    # the curve goes as x, whatever its factor
    assert fit.values["juice_yield"].m_as("") == pytest.approx(other.params[0], rel=1e-8)
    assert fit.errors["juice_yield"].m_as("") == pytest.approx(other.bse[0], rel=1e-6)
    assert fit.scatter == pytest.approx(math.sqrt(other.scale) / other.params[0], rel=1e-6)


@pytest.mark.parametrize("key", PRACTICE)
def test_practice_readings_give_back_what_they_were_made_with(key):
    """Each file says its seed, its true numbers and its scatter: the fit lies within 3.5 standard errors, the scatter within its own chance."""
    fit = fits.fit(bench.practice(key))
    cells = files.read_csv(bench.BENCH / f"{key.replace(' ', '_').replace('-', '_')}.csv")[1][0][1]
    assert cells["how"] == "made" and cells["note"].startswith("seed")
    words = cells["note"].split()
    for name, value in fit.values.items():
        true = float(words[words.index(name) + 1])
        assert abs(bare(value) - true) < 3.5 * bare(fit.errors[name]), name
    ratio = (fit.scatter / float(words[-1])) ** 2 * fit.freedom
    assert 0.001 < stats.chi2.cdf(ratio, fit.freedom) < 0.999
    assert all(text.endswith(".") for text in fits.told(fit))


# --- what statistics promises ------------------------------------------------------------------------------------------------------------
def test_the_95_percent_range_holds_95_times_in_a_hundred():
    rng, inside, many = np.random.default_rng(5), 0, 400
    x = np.array([0.0, 1, 2, 3, 4])
    for _ in range(many):
        fit = fits.fit(line(x, 2 + 3 * x + rng.standard_normal(5)))
        low, high = fits.band(fit, 2.5)
        inside += low < 9.5 < high
    assert stats.binom.ppf(0.0005, many, 0.95) <= inside <= stats.binom.ppf(0.9995, many, 0.95)


def test_what_to_measure_next_is_what_helps_most():
    """The promised error comes true: add the reading on the curve, fit with the same scatter, compare; and no other setting helps more."""
    x, y = np.array([1.0, 2, 3, 4]), np.array([2.0, 4.3, 5.9, 8.2])
    fit = fits.fit(line(x, y))
    told = fits.next_reading(fit, between=(0.0, 5.0))
    assert told.parameter == fits.weakest(fit) == "start" and told.then < told.now

    def error_with(more):
        added = line(np.append(x, more), np.append(y, fits.at(fit, more)), uncertainty=fit.scatter)
        return fits.fit(added).errors["start"]
    assert error_with(told.x) == pytest.approx(told.then, rel=1e-4)
    assert all(told.then <= error_with(other) * (1 + 1e-6) for other in (0.0, 1.0, 3.0, 5.0))
    assert told.x == 0 and told.then == pytest.approx(fit.scatter * math.sqrt(1 / 5 + 2 ** 2 / 10))          # of a line: 1 / n + mean**2 / spread
    far = fits.next_reading(fit, between=(0.0, 12.0))
    assert far.x == 12 and far.then == pytest.approx(fit.scatter * math.sqrt(1 / 5 + 4.4 ** 2 / 77.2))       # far out even y at 0 gains more
    slope = fits.next_reading(fits.fit(line(x, y), hold={"start": 0.0}), between=(0.0, 12.0))
    assert slope.parameter == "slope" and slope.x == pytest.approx(12)         # and the slope as far out as can be


def test_next_stays_where_one_can_measure():
    told = fits.next_reading(fits.fit(bench.practice("gel strength")))
    assert 0.25 <= told.x.m_as("percent") <= 2.75 and "Measure next at dose" in told.sentence
    alike = fits.next_reading(fits.fit(bench.practice("yield")))
    assert "at any bought" in alike.sentence                 # a share of scatter: a small batch tells as much as a big one


def test_readings_on_the_law_to_the_last_digit_leave_nothing_to_narrow():
    exact = fits.fit(bench.readings(bench.LAWS["yield"], bought=Q_([100.0, 200.0, 300.0], "g"), left=Q_([50.0, 100.0, 150.0], "g")))
    with pytest.raises(BadReadings, match="nothing is left to narrow"):
        fits.next_reading(exact)


def test_a_law_that_bends_is_told():
    x = np.linspace(0, 10, 12)
    wobble = np.random.default_rng(1).standard_normal(12)
    assert fits.bends(fits.fit(line(x, 0.1 * x ** 2 + 0.05 * wobble)))
    assert not fits.bends(fits.fit(line(x, 3 * x + wobble)))
    assert any("one stretch" in text for text in fits.told(fits.fit(line(x, 0.1 * x ** 2 + 0.05 * wobble))))


def test_chance_of_so_few_runs_by_counting():
    """Few runs are rare by luck: all orders of 4 above and 4 below, counted one by one."""
    from itertools import combinations
    fewest = 0
    for above in combinations(range(8), 4):
        signs = np.array([i in above for i in range(8)])
        fewest += 1 + int((signs[1:] != signs[:-1]).sum()) <= 2
    assert fewest / math.comb(8, 4) == pytest.approx(2 / 70)
    x = np.arange(8.0)
    two_runs = np.where(x < 4, 1.0, -1.0)
    three_of_a_kind = np.array([1, 1, -1, -1, 1, 1, -1, -1.0])
    for signs, told in ((two_runs, True), (three_of_a_kind, False)):
        fit = fits.fit(line(x, 100 + signs), hold={"start": 100.0, })
        fit = fit._replace(values={"start": 100.0, "slope": 0.0})
        assert fits.bends(fit) is told
        if told:
            assert fits.bends(fit, risk=1.01 * 2 / 70) and not fits.bends(fit, risk=0.99 * 2 / 70)
    lone = fit._replace(readings=line(np.arange(7.0), 100 + np.array([1, -1, -1, -1, -1, -1, 1.0])))         # 3 runs of 2 and 5: 7 of 21 orders
    assert fits.bends(lone, risk=1.01 * 7 / 21) and not fits.bends(lone, risk=0.99 * 7 / 21)


# --- words -------------------------------------------------------------------------------------------------------------------------------
def fake(value, error, freedom=6):
    fit = fits.fit(bench.practice("gel strength"))
    return fit._replace(values={**fit.values, "exponent": value}, errors={**fit.errors, "exponent": error}, freedom=freedom)


@pytest.mark.parametrize("value, error, words", [
    (1.8, 0.2, "your exponent 1.8 ± 0.2 agrees with 2"), (1.83, 0.14, "your exponent 1.83 ± 0.14 agrees with 2"),
    (1.5, 0.1, "1.50 ± 0.10 does not agree with 2: it lies 5.0 standard errors below"),
    (2.6, 0.2, "2.6 ± 0.2 does not agree with 2: it lies 3.0 standard errors above"), (2.0, 0.0, "your exponent 2.00 agrees with 2")])
def test_a_plain_sentence(value, error, words):
    assert words in fits.sentence(fake(value, error))


def test_agreement_goes_by_students_t():
    """2.57 standard errors off is beyond the 95 % range of 6 degrees of freedom (2.447, common tables), within that of 5 (2.571)."""
    assert "does not agree" in fits.sentence(fake(2 - 0.255, 0.1, freedom=6)) and " agrees" in fits.sentence(fake(2 - 0.257, 0.1, freedom=5))


def test_expectation_of_ones_own():
    fit = fake(1.8, 0.1)
    assert "agrees with 1.7 to 2.2" in fits.sentence(fit, {"exponent": (1.7, 2.2)})
    assert "agrees with 620 g/cm²" in fits.sentence(fit, {"strength": Q_(620, "g_per_cm2")})
    with pytest.raises(ValueError, match="exponent"):
        fits.sentence(fit, {"exponnt": 2})
    with pytest.raises(TypeError, match="needs a unit"):
        fits.sentence(fit, {"strength": 620})


@pytest.mark.parametrize("value, error, words", [
    (Q_(812.4, "g"), Q_(31.0, "g"), "812 ± 31 g"), (Q_(812.4, "g"), Q_(14.0, "g"), "812 ± 14 g"), (Q_(0.04231, "mm"), Q_(0.00052, "mm"), "0.0423 ± 0.0005 mm"),
    (12345.0, 2345.0, "12000 ± 2000"), (1.96, 0.104, "1.96 ± 0.10"), (1.96, 0.096, "2.0 ± 0.1"), (5.0, 0.0, "5.00")])
def test_value_and_error_are_cut_alike(value, error, words):
    if words == "812 ± 31 g":
        words = "810 ± 30 g"                                 # one digit, unless it starts with 1
    assert fits.plus_minus(value, error) == words


# --- refusals ----------------------------------------------------------------------------------------------------------------------------
@pytest.mark.parametrize("readings, hold, says", [
    (lambda: line([1], [2]), None, "seeks 2 numbers .start, slope. and has 1 reading: measure at 1 more, or hold"),
    (lambda: line([2, 2, 2], [1, 2, 3]), None, "cannot tell start and slope: vary x more"),
    (lambda: bench.readings(YIELD, bought=Q_([100, 200], "g"), left=Q_([150, 300], "g")), None, "push yield to 100 percent"),
    (lambda: bench.readings(YIELD, bought=Q_([100, 200], "g"), left=Q_([0, 0], "g")), None, "left is 0 in every reading"),
    (lambda: bench.readings(COOLING, time=Q_([0, 10, 20], "min"), temperature=Q_([20, 20, 20], "degC"), surroundings=Q_(20, "degC")), None,
     "cannot tell start and time constant"),
    (lambda: bench.readings(COOLING, time=Q_([0, 10, 20, 30], "min"), temperature=Q_([20, 40, 60, 70], "degC"), surroundings=Q_(20, "degC")), None,
     "push time constant to"),
    (lambda: line([0.0, 0.0], [1, 2]), {"start": 1.0}, "cannot tell slope: it does not change what you measure")])
def test_readings_that_tell_nothing_are_refused(readings, hold, says):
    with pytest.raises(BadReadings, match=says):
        fits.fit(readings(), hold)


def test_a_reading_of_nothing_does_not_rule_the_fit():
    fit = fits.fit(bench.readings(YIELD, bought=Q_([100, 200, 300], "g"), left=Q_([80, 0, 240], "g")))
    assert 20 < fit.values["yield"].m_as("percent") < 80     # a slip of the pen, not 0 %


@pytest.mark.parametrize("hold, error", [({"exponent": 99.0}, OutOfRange), ({"strength": 600.0}, TypeError), ({"n": 2.0}, TypeError),
                                         ({"strength": Q_(600, "g")}, pint.DimensionalityError),
                                         ({"strength": Q_(600, "g_per_cm2"), "exponent": 2.0}, TypeError)])
def test_what_is_held_is_checked(hold, error):
    with pytest.raises(error):
        fits.fit(bench.practice("gel strength"), hold)


# --- calibration and the shelf -----------------------------------------------------------------------------------------------------------
def test_one_reading_and_the_start_held_calibrate_the_cooling():
    # 80 to 50 °C beside 20 °C in 30 min: half the difference, so the time constant is 30 / ln 2 = 43.28 min, by hand
    one = bench.readings(bench.LAWS["cooling"], time=Q_([30.0], "min"), temperature=Q_([50.0], "degC"), surroundings=Q_(20, "degC"))
    assert fits.fit(one, hold={"start": Q_(80, "degC")}).values["time_constant"].m_as("min") == pytest.approx(43.28, abs=0.01)


def test_own_film_is_found_and_used(own_folder):
    """A pot in a draught, 1.4 times the natural film: fitted, kept on the shelf, and the library then cools as measured."""
    rows = dict(food=row("watery gel", own=False), vessel=row("steel pot", own=False))
    place = row("counter", own=False)
    minutes, batch = Q_(np.array([0.0, 15, 30, 60, 90]), "min"), Q_(2, "kg")
    measured = heat.cooled(minutes, Q_(80, "degC"), batch, **rows, surroundings=place.but(factor=1.4)).stirred
    readings = bench.readings(bench.law("pot"), time=minutes, temperature=measured, batch=batch, **rows, surroundings=place)
    fit = fits.fit(readings)
    assert fit.values["factor"] == pytest.approx(1.4, rel=1e-5)
    fits.keep(fit, "our counter", kind="counter", date="2026-11-28")
    kept = row("our counter")
    assert kept.fact("factor").how == "yours" and kept.factor == pytest.approx(1.4, rel=1e-4)
    after_an_hour = heat.cooled(Q_(60, "min"), Q_(80, "degC"), batch, **rows, surroundings=kept).stirred
    assert after_an_hour.m_as("degC") == pytest.approx(measured.m_as("degC")[3], abs=0.01)
    assert row("counter").factor == 1                        # the shipped row is as it was


def test_a_fit_is_kept_and_the_library_uses_it(own_folder):
    fit = fits.fit(bench.practice("gel strength"))
    fits.keep(fit, "agar of the school", kind="agar", lot="7", date="2026-11-28")
    kept, count = row("agar of the school"), fit.freedom + 2
    assert kept.gel_strength.m_as("g_per_cm2") == pytest.approx(fit.values["strength"].m, rel=1e-4)
    strength = kept.fact("gel_strength")
    reach = stats.t.ppf(0.975, fit.freedom) * bare(fit.errors["strength"])
    assert (strength.high - strength.value).m_as("g_per_cm2") == pytest.approx(reach, rel=0.01)
    assert strength.how == "yours" and f"{count} readings" in strength.note and kept.dose_exponent == pytest.approx(fit.values["exponent"], rel=1e-4)
    assert kept.critical_dose == row("agar", own=False).critical_dose
    load = fits.at(fit, Q_(1.5, "percent")).m_as("g") / (math.pi * 0.8 ** 2)
    assert gels.gel_strength(Q_(1.5, "percent"), kept).m_as("g_per_cm2") == pytest.approx(load, rel=1e-3)
    with pytest.raises(LookupError):
        row("agar of the school", own=False)                 # worked sums and exercises never see it


def test_one_reading_is_a_calibration(own_folder):
    """With all but one number held, one reading gives it; no ± is invented."""
    one = bench.readings(bench.law("juice"), trimmed=Q_([1200], "g"), juice=Q_([660], "g"))
    fits.keep(fits.fit(one), "carrot")
    assert row("carrot").juice_yield.m_as("percent") == pytest.approx(55) and row("carrot").fact("juice_yield").low is None
    found = fits.fit(bench.readings(GEL, dose=Q_([1], "percent"), load=Q_([500], "g"), **PLUNGER), hold={"exponent": 2.0})
    assert found.values["strength"].m_as("g_per_cm2") == pytest.approx(500 / (math.pi * 0.8 ** 2) * 1.5 ** 2)
    factor = fits.fit(bench.readings(bench.own_factor("mm"), computed=Q_([2, 4], "mm"), measured=Q_([2.4, 4.8], "mm")))
    assert factor.values["factor"] == pytest.approx(1.2)


def test_nothing_is_kept_by_halves(own_folder):
    steep = fits.fit(bench.readings(GEL, dose=Q_([0.5, 1, 2], "percent"), load=Q_([1, 33, 1000], "g"), **PLUNGER))
    for fit, product, kind, error, says in (
            (steep, "odd agar", "agar", OutOfRange, "dose_exponent"), (fits.fit(bench.practice("shell")), "x", None, ValueError, "nothing to keep"),
            (fits.fit(bench.practice("gel strength")), "my agar", None, ValueError, "kind of"),
            (fits.fit(bench.practice("gel strength")), "my agar", "agr", LookupError, "agar")):
        with pytest.raises(error, match=says):
            fits.keep(fit, product, kind)
    assert not (own_folder / "shelf.csv").exists()
