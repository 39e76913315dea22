"""bench: fits against NIST, the GUM and statsmodels; what physics and statistics promise; readings as people save them; the shelf."""
import math
import time

import numpy as np
import pint
import pytest
import statsmodels.api as statsmodels
from hypothesis import given, settings, strategies as st
from scipy import stats

from kitchenlib import bench, cautions, gels, heat, spheres, tables
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


# --- against the outside: NIST StRD and GUM H.3 parameters and errors stand in datasets/published/bench.csv ---------------------------------
def nist(name, law):
    return bench.fit(bench.read(bench.law(law), bench.BENCH / f"{name}.csv"))


def test_residuals_of_the_certified_sets_add_up():
    """Certified residual sums of squares (nist-strd), and degrees of freedom."""
    for name, law, squares, freedom in (("nist_danwood", "power law", 4.3173084083e-03, 4), ("nist_boxbod", "approach", 1.1680088766e+03, 4),
                                        ("nist_misra1a", "approach", 1.2455138894e-01, 12), ("nist_norris", "straight line", 26.6173985294224, 34),
                                        ("nist_noint1", "proportion", 127.272727272727, 10)):
        fit = nist(name, law)
        assert (bench.residuals(fit) ** 2).sum() == pytest.approx(squares, rel=1e-8) and fit.freedom == freedom


def test_thermometer_of_the_guide_at_30_degrees():
    """JCGM 100:2008, H.3.4: correction at 30 °C -0.1494 °C with standard uncertainty 0.0041; correlation -0.930 (gum-h-restated)."""
    fit = nist("gum_h3", "straight line")
    assert bench.at(fit, 10.0) == pytest.approx(-0.1494, abs=0.00005)
    low, high = bench.band(fit, 10.0, coverage=2 * stats.t.cdf(1, fit.freedom) - 1)          # one standard error either way
    assert (high - low) / 2 == pytest.approx(0.0041, abs=0.00005)
    assert fit.covariance[0, 1] / math.sqrt(fit.covariance[0, 0] * fit.covariance[1, 1]) == pytest.approx(-0.93, abs=0.005)


def test_line_as_statsmodels_has_it():
    """Values, errors, covariance, 95 % band, studentised residuals of ordinary least squares."""
    rng = np.random.default_rng(3)
    x = rng.uniform(0, 10, 15)
    y = 3 - 0.7 * x + 0.2 * rng.standard_normal(15)
    y[4] += 3
    readings = line(x, y)
    fit, other = bench.fit(readings), statsmodels.OLS(y, statsmodels.add_constant(x)).fit()
    assert list(fit.values.values()) == pytest.approx(list(other.params), rel=1e-7)
    assert list(fit.errors.values()) == pytest.approx(list(other.bse), rel=1e-7)
    assert fit.covariance == pytest.approx(other.cov_params(), rel=1e-6)
    assert fit.scatter == pytest.approx(math.sqrt(other.scale), rel=1e-8)
    asked = np.array([1.0, 5.0, 9.0])
    frame = other.get_prediction(statsmodels.add_constant(asked)).conf_int()
    assert np.array(bench.band(fit, asked)).T == pytest.approx(frame, rel=1e-6)
    apart = np.abs(other.get_influence().resid_studentized_external)
    limit = stats.t.ppf(1 - 0.05 / 2 / 15, 15 - 2 - 1)
    assert [where for where, _ in bench.odd(fit)] == [f"row {i + 1}" for i in np.flatnonzero(apart > limit)] == ["row 5"]
    chance = 2 * 15 * stats.t.sf(apart[4], 15 - 2 - 1)       # that any of 15 stands so far apart
    assert bench.odd(fit, risk=1.01 * chance) and not bench.odd(fit, risk=0.99 * chance)


def test_weights_as_statsmodels_has_them():
    x, y, u = np.array([1, 2, 3, 4, 5.0]), np.array([2.1, 3.9, 6.2, 7.8, 10.4]), np.array([0.1, 0.1, 0.3, 0.3, 0.5])
    fit = bench.fit(line(x, y, uncertainty=u))
    other = statsmodels.WLS(y, statsmodels.add_constant(x), weights=1 / u ** 2).fit(cov_type="fixed scale")
    assert list(fit.values.values()) == pytest.approx(list(other.params), rel=1e-7)
    assert list(fit.errors.values()) == pytest.approx(list(other.bse), rel=1e-6)


def test_a_share_of_scatter_as_weights_of_the_curve():
    """Readings that scatter by a share: iterated weighted least squares, done here by statsmodels."""
    x, y = np.array([100, 200, 400, 800.0]), np.array([52, 96, 210, 395.0])
    fit = bench.fit(bench.readings(bench.law("juice"), trimmed=Q_(x, "g"), juice=Q_(y, "g")))
    other = statsmodels.WLS(y, x, weights=1 / x ** 2).fit()                    # the curve goes as x, whatever its factor
    assert fit.values["juice_yield"].m_as("") == pytest.approx(other.params[0], rel=1e-8)
    assert fit.errors["juice_yield"].m_as("") == pytest.approx(other.bse[0], rel=1e-6)
    assert fit.scatter == pytest.approx(math.sqrt(other.scale) / other.params[0], rel=1e-6)


# --- laws are the library's ------------------------------------------------------------------------------------------------------------
@pytest.mark.parametrize("key", PRACTICE)
def test_practice_readings_give_back_what_they_were_made_with(key):
    """Each file says its seed, its true numbers and its scatter: the fit lies within 3.5 standard errors, the scatter within its own chance."""
    fit = bench.fit(bench.practice(key))
    cells = tables.read_csv(bench.BENCH / f"{key.replace(' ', '_').replace('-', '_')}.csv")[1][0][1]
    assert cells["how"] == "made" and cells["note"].startswith("seed")
    words = cells["note"].split()
    for name, value in fit.values.items():
        true = float(words[words.index(name) + 1])
        assert abs(bare(value) - true) < 3.5 * bare(fit.errors[name]), name
    ratio = (fit.scatter / float(words[-1])) ** 2 * fit.freedom
    assert 0.001 < stats.chi2.cdf(ratio, fit.freedom) < 0.999
    assert all(text.endswith(".") for text in bench.told(fit))


def exact(key, x, y, hold=None, **beside):
    shape = bench.law(key)
    return bench.fit(bench.readings(shape, **{shape.x.name: x, shape.y.name: y}, **beside), hold)


def test_gel_law_is_the_librarys():
    dose, side = Q_(np.array([0.6, 0.9, 1.2, 1.8]), "percent"), Q_(8, "mm")
    stress = gels.power_law(dose, Q_(60, "kPa"), Q_(1.5, "percent"), 1.7)
    load = (stress * math.pi * side ** 2 / Q_(9.80665, "m/s**2")).to("g")
    fit = exact("gel strength", dose, load, **PLUNGER)
    assert fit.values["exponent"] == pytest.approx(1.7) and fit.values["strength"].m_as("kPa") == pytest.approx(60)
    assert gels.plunger_pressure(load[0], side).m_as("kPa") == pytest.approx(stress[0].m_as("kPa"), rel=1e-6)


def test_plunger_law_is_the_librarys():
    load = Q_(np.array([20.0, 50.0]), "g")
    depth = Q_(np.array([1.0, 2.5]), "mm")
    fit = exact("plunger", load, depth, plunger=Q_(20, "mm"))
    alone = gels.plunger_modulus(load[0] * Q_(9.80665, "m/s**2"), Q_(10, "mm"), depth[0])
    assert fit.values["modulus"].m_as("kPa") == pytest.approx(alone.m_as("kPa"))


def test_a_flat_front_has_exponent_one_half():
    seconds = Q_(np.array([30.0, 60, 120, 300]), "s")
    shells = spheres.planar_shell(seconds, Q_(45, "mmol/L"), Q_(25, "mmol/L"), Q_(1e-9, "m**2/s"))
    fit = exact("shell", seconds, shells)
    assert fit.values["exponent"] == pytest.approx(0.5)
    assert fit.values["shell_in_one_minute"].m_as("mm") == pytest.approx(shells[1].m_as("mm"))


def test_cooling_is_the_librarys_in_any_unit():
    minutes = Q_(np.array([0.0, 10, 25, 60]), "min")
    lump = dict(mass=Q_(2, "kg"), heat_capacity=Q_(4180, "J/kg/kelvin"), area=Q_(1200, "cm**2"), film=Q_(10, "W/m**2/kelvin"))
    measured = heat.temperature_after(minutes, Q_(85, "degC"), Q_(20, "degC"), **lump)
    fit = exact("cooling", minutes.to("hour"), measured.to("degF"), surroundings=Q_(68, "degF"))
    assert fit.values["time_constant"].m_as("s") == pytest.approx(2 * 4180 / (10 * 0.12), rel=1e-6)
    assert fit.values["start"].m_as("degC") == pytest.approx(85)
    assert abs(bench.residuals(fit).m_as("delta_degC")).max() < 1e-6


def test_own_film_is_found_and_used(own_folder):
    """A pot in a draught, 1.4 times the natural film: fitted, kept on the shelf, and the library then cools as measured."""
    rows = dict(food=row("watery gel", own=False), vessel=row("steel pot", own=False))
    place = row("counter", own=False)
    minutes, batch = Q_(np.array([0.0, 15, 30, 60, 90]), "min"), Q_(2, "kg")
    measured = heat.cooled(minutes, Q_(80, "degC"), batch, **rows, surroundings=place.but(factor=1.4)).stirred
    readings = bench.readings(bench.law("pot"), time=minutes, temperature=measured, batch=batch, **rows, surroundings=place)
    fit = bench.fit(readings)
    assert fit.values["factor"] == pytest.approx(1.4, rel=1e-5)
    bench.keep(fit, "our counter", kind="counter", date="2026-11-28")
    kept = row("our counter")
    assert kept.fact("factor").how == "yours" and kept.factor == pytest.approx(1.4, rel=1e-4)
    after_an_hour = heat.cooled(Q_(60, "min"), Q_(80, "degC"), batch, **rows, surroundings=kept).stirred
    assert after_an_hour.m_as("degC") == pytest.approx(measured.m_as("degC")[3], abs=0.01)
    assert row("counter").factor == 1                        # the shipped row is as it was


def test_boil_off_is_mass_lost_over_time():
    fit = exact("boil-off", Q_([0, 1], "hour"), Q_([5000, 4820], "g"))
    assert fit.values["rate"].m_as("g/min") == pytest.approx(3) and fit.errors["rate"] is None and fit.freedom == 0
    assert "no error is known" in bench.sentence(fit) and any("one more" in text for text in bench.told(fit))
    with pytest.raises(BadReadings, match="no error is known"):
        bench.band(fit, Q_(1, "hour"))


# --- what statistics promises ------------------------------------------------------------------------------------------------------------
@settings(deadline=None, max_examples=30)
@given(exponent=st.floats(1, 3.5), strength=st.floats(50, 3000), plunger=st.floats(5, 40))
def test_exact_readings_are_given_back(exponent, strength, plunger):
    dose = Q_(np.array([0.5, 0.8, 1.2, 2.0]), "percent")
    area = math.pi * (plunger / 20) ** 2
    load = Q_(strength * area * (dose.m / 1.5) ** exponent, "g")
    if load.m.max() > 50000 or load.m.min() < 0.1:
        return
    fit = exact("gel strength", dose, load, plunger=Q_(plunger, "mm"), reference_dose=Q_(1.5, "percent"))
    assert fit.values["exponent"] == pytest.approx(exponent, rel=1e-6) and fit.values["strength"].m_as("g_per_cm2") == pytest.approx(strength, rel=1e-6)
    assert bench.odd(fit) == () and not bench.bends(fit)
    assert f"exponent {exponent:.3g}"[:10] in bench.sentence(fit)


def test_the_95_percent_range_holds_95_times_in_a_hundred():
    rng, inside, many = np.random.default_rng(5), 0, 400
    x = np.array([0.0, 1, 2, 3, 4])
    for _ in range(many):
        fit = bench.fit(line(x, 2 + 3 * x + rng.standard_normal(5)))
        low, high = bench.band(fit, 2.5)
        inside += low < 9.5 < high
    assert stats.binom.ppf(0.0005, many, 0.95) <= inside <= stats.binom.ppf(0.9995, many, 0.95)


def test_what_to_measure_next_is_what_helps_most():
    """The promised error comes true: add the reading on the curve, fit with the same scatter, compare; and no other setting helps more."""
    x, y = np.array([1.0, 2, 3, 4]), np.array([2.0, 4.3, 5.9, 8.2])
    fit = bench.fit(line(x, y))
    told = bench.next_reading(fit, between=(0.0, 5.0))
    assert told.parameter == bench.weakest(fit) == "start" and told.then < told.now

    def error_with(more):
        added = line(np.append(x, more), np.append(y, bench.at(fit, more)), uncertainty=fit.scatter)
        return bench.fit(added).errors["start"]
    assert error_with(told.x) == pytest.approx(told.then, rel=1e-4)
    assert all(told.then <= error_with(other) * (1 + 1e-6) for other in (0.0, 1.0, 3.0, 5.0))
    assert told.x == 0 and told.then == pytest.approx(fit.scatter * math.sqrt(1 / 5 + 2 ** 2 / 10))          # of a line: 1 / n + mean**2 / spread
    far = bench.next_reading(fit, between=(0.0, 12.0))
    assert far.x == 12 and far.then == pytest.approx(fit.scatter * math.sqrt(1 / 5 + 4.4 ** 2 / 77.2))       # far out even y at 0 gains more
    slope = bench.next_reading(bench.fit(line(x, y), hold={"start": 0.0}), between=(0.0, 12.0))
    assert slope.parameter == "slope" and slope.x == pytest.approx(12)         # and the slope as far out as can be


def test_next_stays_where_one_can_measure():
    told = bench.next_reading(bench.fit(bench.practice("gel strength")))
    assert 0.25 <= told.x.m_as("percent") <= 2.75 and "Measure next at dose" in told.sentence
    alike = bench.next_reading(bench.fit(bench.practice("yield")))
    assert "at any bought" in alike.sentence                 # a share of scatter: a small batch tells as much as a big one


def test_a_law_that_bends_is_told():
    x = np.linspace(0, 10, 12)
    wobble = np.random.default_rng(1).standard_normal(12)
    assert bench.bends(bench.fit(line(x, 0.1 * x ** 2 + 0.05 * wobble)))
    assert not bench.bends(bench.fit(line(x, 3 * x + wobble)))
    assert any("one stretch" in text for text in bench.told(bench.fit(line(x, 0.1 * x ** 2 + 0.05 * wobble))))


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
        fit = bench.fit(line(x, 100 + signs), hold={"start": 100.0, })
        fit = fit._replace(values={"start": 100.0, "slope": 0.0})
        assert bench.bends(fit) is told
        if told:
            assert bench.bends(fit, risk=1.01 * 2 / 70) and not bench.bends(fit, risk=0.99 * 2 / 70)
    lone = fit._replace(readings=line(np.arange(7.0), 100 + np.array([1, -1, -1, -1, -1, -1, 1.0])))         # 3 runs of 2 and 5: 7 of 21 orders
    assert bench.bends(lone, risk=1.01 * 7 / 21) and not bench.bends(lone, risk=0.99 * 7 / 21)


# --- words -------------------------------------------------------------------------------------------------------------------------------
def fake(value, error, freedom=6):
    fit = bench.fit(bench.practice("gel strength"))
    return fit._replace(values={**fit.values, "exponent": value}, errors={**fit.errors, "exponent": error}, freedom=freedom)


@pytest.mark.parametrize("value, error, words", [
    (1.8, 0.2, "your exponent 1.8 ± 0.2 agrees with 2"), (1.83, 0.14, "your exponent 1.83 ± 0.14 agrees with 2"),
    (1.5, 0.1, "1.50 ± 0.10 does not agree with 2: it lies 5.0 standard errors below"),
    (2.6, 0.2, "2.6 ± 0.2 does not agree with 2: it lies 3.0 standard errors above"), (2.0, 0.0, "your exponent 2.00 agrees with 2")])
def test_a_plain_sentence(value, error, words):
    assert words in bench.sentence(fake(value, error))


def test_agreement_goes_by_students_t():
    """2.57 standard errors off is beyond the 95 % range of 6 degrees of freedom (2.447, common tables), within that of 5 (2.571)."""
    assert "does not agree" in bench.sentence(fake(2 - 0.255, 0.1, freedom=6)) and " agrees" in bench.sentence(fake(2 - 0.257, 0.1, freedom=5))


def test_expectation_of_ones_own():
    fit = fake(1.8, 0.1)
    assert "agrees with 1.7 to 2.2" in bench.sentence(fit, {"exponent": (1.7, 2.2)})
    assert "agrees with 620 g/cm²" in bench.sentence(fit, {"strength": Q_(620, "g_per_cm2")})
    with pytest.raises(ValueError, match="exponent"):
        bench.sentence(fit, {"exponnt": 2})
    with pytest.raises(TypeError, match="needs a unit"):
        bench.sentence(fit, {"strength": 620})


@pytest.mark.parametrize("value, error, words", [
    (Q_(812.4, "g"), Q_(31.0, "g"), "812 ± 31 g"), (Q_(812.4, "g"), Q_(14.0, "g"), "812 ± 14 g"), (Q_(0.04231, "mm"), Q_(0.00052, "mm"), "0.0423 ± 0.0005 mm"),
    (12345.0, 2345.0, "12000 ± 2000"), (1.96, 0.104, "1.96 ± 0.10"), (1.96, 0.096, "2.0 ± 0.1"), (5.0, 0.0, "5.00")])
def test_value_and_error_are_cut_alike(value, error, words):
    if words == "812 ± 31 g":
        words = "810 ± 30 g"                                 # one digit, unless it starts with 1
    assert bench.plus_minus(value, error) == words


# --- readings as people save them ----------------------------------------------------------------------------------------------------------
def saved(tmp_path, text, encoding="utf-8"):
    path = tmp_path / "readings.csv"
    path.write_bytes(text.encode(encoding))
    return path


PLAIN = "dose [%],load [g]\n0.5,90\n1,340\n1.5,690\n2,1150\n"


@pytest.mark.parametrize("text, encoding", [
    (PLAIN, "utf-8"), (PLAIN, "utf-8-sig"), (PLAIN, "utf-16"), (PLAIN.replace("\n", "\r\n"), "cp1252"),
    (PLAIN.replace(",", ";").replace("0.5", "0,5").replace("1.5", "1,5"), "utf-8"), (PLAIN.replace(",", "\t"), "utf-8"),
    (PLAIN.replace("1,340", "\n,,\n1,340\n\n"), "utf-8"), (PLAIN.replace("dose [%]", " Dose (%) ").replace("[g]", "[kg]").replace(
        ",90", ",0.09").replace("340", "0.340").replace("690", "0.69").replace("1150", "1.15"), "utf-8"),
    (PLAIN.replace("[%]", "").replace(" [g]", ""), "utf-8"), ("who,load [g],dose [%]\nA,90,0.5\nB,340,1\nA,690,1.5\nB,1150,2\n", "utf-8"),
    (PLAIN.replace("0.5,90", "5 g/kg,0.09 kg"), "utf-8")])
def test_reads_a_table_as_it_was_saved(tmp_path, text, encoding):
    found = bench.read(GEL, saved(tmp_path, text, encoding), **PLUNGER)
    assert found.x == pytest.approx([0.5, 1, 1.5, 2]) and found.y == pytest.approx([90, 340, 690, 1150])
    assert found.given["plunger"] == 16 and found.unused == (("who",) if text.startswith("who") else ())


@pytest.mark.parametrize("change, says", [
    (("340", "heavy"), r"Row 3, column 'load \[g\]': 'heavy' is no number"), (("340", ""), "Row 3.*it is empty"),
    (("1,340", "80,340"), "dose = 80 % is outside"),
    (("340", "-340"), "load = -340 g is outside"), (("340", "340 mL"), "another kind of quantity"), (("340", "3 4 0"), "is no number"),
    (("1,340", "1,340,7"), "Row 3|Line 3"), (("load [g]", "lod [g]"), "no column 'load'.*'lod"), (("[g]", "[spoon]"), "Column 'load .spoon"),
    (("[g]", "[mL]"), "Column 'load .mL.*g is wanted"), (("dose [%],load [g]\n", ""), "no column 'dose'"), (("340", "=340"), "is no number"),
    (("340", "nan"), "is no number"), (("340", "1e999"), "beyond all numbers"), (("340", '"340'), "quote is open")])
def test_a_refusal_names_row_and_column(tmp_path, change, says):
    bad = PLAIN.replace(*change)
    assert bad != PLAIN
    with pytest.raises(BadReadings, match=says):
        bench.read(GEL, saved(tmp_path, bad), **PLUNGER)


def test_all_troubles_are_counted_and_the_first_named(tmp_path):
    text = "dose [%],load [g]\n" + "1,many\n" * 20
    with pytest.raises(BadReadings, match="Row 2.*And 15 more") as caught:
        bench.read(GEL, saved(tmp_path, text), **PLUNGER)
    assert len(caught.value.troubles) == 20 and "Row 21" in caught.value.troubles[-1]


def test_an_empty_file_says_what_it_wants(tmp_path):
    with pytest.raises(BadReadings, match="readings.csv is empty"):
        bench.read(GEL, saved(tmp_path, "\n\n"), **PLUNGER)
    with pytest.raises(BadReadings, match="seeks 2 numbers.*0 readings"):
        bench.fit(bench.read(GEL, saved(tmp_path, "dose,load\n"), **PLUNGER))
    with pytest.raises(OSError):
        bench.read(GEL, tmp_path / "nowhere.csv", **PLUNGER)


def test_a_hundred_thousand_rows(tmp_path):
    rng = np.random.default_rng(8)
    x = rng.uniform(0, 10, 100_000).round(4)
    y = (2 + 3 * x + rng.standard_normal(100_000)).round(4)
    path = saved(tmp_path, "x;y\n" + "".join(f"{a:.4f};{b:.4f}\n".replace(".", ",") for a, b in zip(x, y)))
    began = time.perf_counter()
    fit = bench.fit(bench.read(LINE, path))
    assert time.perf_counter() - began < 30 and len(fit.readings.x) == 100_000
    assert fit.values["slope"] == pytest.approx(np.polyfit(x, y, 1)[0], rel=1e-6)


def test_a_table_typed_into_reads_like_a_file():
    typed = bench.typed(GEL, [["dose [%]", "load"], ["0,5", "90 g"], ["", ""], [" 1 ", "340"], ["1.5", "0.69 kg"]], **PLUNGER)
    assert typed.x == pytest.approx([0.5, 1, 1.5]) and typed.y == pytest.approx([90, 340, 690]) and typed.where == ("row 1", "row 3", "row 4")
    with pytest.raises(BadReadings, match="Row 2, column 'load': it is empty"):
        bench.typed(GEL, [["dose", "load"], ["1", "3"], ["2"]], **PLUNGER)
    with pytest.raises(BadReadings, match="no column 'dose'"):
        bench.typed(GEL, [], **PLUNGER)


def test_a_column_beside_may_differ_from_reading_to_reading(tmp_path):
    text = "dose [%],load [g],plunger [mm],±\n0.5,90,16,5\n1,340,16,20\n1,85,8,6\n2,288,8,15\n"
    found = bench.read(GEL, saved(tmp_path, text), reference_dose=Q_(1.5, "percent"))
    assert list(found.given["plunger"]) == [16, 16, 8, 8] and list(found.uncertainty) == [5, 20, 6, 15]
    fit = bench.fit(found)
    assert fit.values["exponent"] == pytest.approx(1.8, abs=0.2)
    with pytest.raises(TypeError, match="plunger was not the same"):
        bench.at(fit, Q_(1, "percent"))
    wide, narrow = (bench.at(fit, Q_(1, "percent"), plunger=Q_(size, "mm")).m_as("g") for size in (16, 8))
    assert wide == pytest.approx(4 * narrow)
    assert any("weakest" in text for text in bench.told(fit))


@pytest.mark.parametrize("call, error, says", [
    (dict(dose=Q_([1, 2], "percent"), load=Q_([3, 4], "g"), plunger=Q_(16, "mm")), TypeError, "needs reference_dose"),
    (dict(dose=Q_([1, 2], "percent"), load=Q_([3, 4], "g"), **PLUNGER, plungr=Q_(1, "mm")), TypeError, "plungr; plunger"),
    (dict(dose=Q_([1, 2], "percent"), **PLUNGER), TypeError, "needs load"), (dict(dose=[1, 2], load=Q_([3, 4], "g"), **PLUNGER), TypeError, "needs a unit"),
    (dict(dose=Q_([1, 2], "percent"), load=Q_([3], "g"), **PLUNGER), TypeError, "2 of dose and 1 of load"),
    (dict(dose=Q_([1, 2], "percent"), load=Q_([3, 4], "mL"), **PLUNGER), pint.DimensionalityError, "load"),
    (dict(dose=Q_([1, 2], "percent"), load=Q_([3, math.nan], "g"), **PLUNGER), OutOfRange, "no number"),
    (dict(dose=Q_([1, 90], "percent"), load=Q_([3, 4], "g"), **PLUNGER), OutOfRange, "90 % is outside"),
    (dict(dose=Q_([1, 2], "percent"), load=Q_([3, 4], "g"), uncertainty=Q_(0, "g"), **PLUNGER), OutOfRange, "uncertainty"),
    (dict(dose=Q_([1, 2], "percent"), load=Q_([3, 4], "g"), plunger=Q_([1, 2, 3], "mm"), reference_dose=Q_(1, "percent")), TypeError, "one for each of the 2")])
def test_typed_numbers_are_refused_in_words(call, error, says):
    with pytest.raises(error, match=says):
        bench.readings(GEL, **call)


def test_a_row_is_asked_for_as_a_row():
    with pytest.raises(TypeError, match=r"food must be a Row.*row\("):
        bench.readings(bench.law("pot"), time=Q_([0, 1], "min"), temperature=Q_([80, 79], "degC"), batch=Q_(1, "kg"), food="soup", vessel="pot",
                       surroundings="x")


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
        bench.fit(readings(), hold)


def test_a_reading_of_nothing_does_not_rule_the_fit():
    fit = bench.fit(bench.readings(YIELD, bought=Q_([100, 200, 300], "g"), left=Q_([80, 0, 240], "g")))
    assert 20 < fit.values["yield"].m_as("percent") < 80     # a slip of the pen, not 0 %


@pytest.mark.parametrize("hold, error", [({"exponent": 99.0}, OutOfRange), ({"strength": 600.0}, TypeError), ({"n": 2.0}, TypeError),
                                         ({"strength": Q_(600, "g")}, pint.DimensionalityError),
                                         ({"strength": Q_(600, "g_per_cm2"), "exponent": 2.0}, TypeError)])
def test_what_is_held_is_checked(hold, error):
    with pytest.raises(error):
        bench.fit(bench.practice("gel strength"), hold)


def test_a_law_and_a_protocol_are_asked_for_by_name():
    for ask in (bench.law, bench.practice, bench.protocol):
        with pytest.raises(ValueError, match="gel strength"):
            ask("gel strenght")


# --- shelf -------------------------------------------------------------------------------------------------------------------------------
def test_a_fit_is_kept_and_the_library_uses_it(own_folder):
    fit = bench.fit(bench.practice("gel strength"))
    bench.keep(fit, "agar of the school", kind="agar", lot="7", date="2026-11-28")
    kept, count = row("agar of the school"), fit.freedom + 2
    assert kept.gel_strength.m_as("g_per_cm2") == pytest.approx(fit.values["strength"].m, rel=1e-4)
    strength = kept.fact("gel_strength")
    reach = stats.t.ppf(0.975, fit.freedom) * bare(fit.errors["strength"])
    assert (strength.high - strength.value).m_as("g_per_cm2") == pytest.approx(reach, rel=0.01)
    assert strength.how == "yours" and f"{count} readings" in strength.note and kept.dose_exponent == pytest.approx(fit.values["exponent"], rel=1e-4)
    assert kept.critical_dose == row("agar", own=False).critical_dose
    load = bench.at(fit, Q_(1.5, "percent")).m_as("g") / (math.pi * 0.8 ** 2)
    assert gels.gel_strength(Q_(1.5, "percent"), kept).m_as("g_per_cm2") == pytest.approx(load, rel=1e-3)
    with pytest.raises(LookupError):
        row("agar of the school", own=False)                 # worked sums and exercises never see it


def test_one_reading_is_a_calibration(own_folder):
    """With all but one number held, one reading gives it; no ± is invented."""
    one = bench.readings(bench.law("juice"), trimmed=Q_([1200], "g"), juice=Q_([660], "g"))
    bench.keep(bench.fit(one), "carrot")
    assert row("carrot").juice_yield.m_as("percent") == pytest.approx(55) and row("carrot").fact("juice_yield").low is None
    found = bench.fit(bench.readings(GEL, dose=Q_([1], "percent"), load=Q_([500], "g"), **PLUNGER), hold={"exponent": 2.0})
    assert found.values["strength"].m_as("g_per_cm2") == pytest.approx(500 / (math.pi * 0.8 ** 2) * 1.5 ** 2)
    factor = bench.fit(bench.readings(bench.own_factor("mm"), computed=Q_([2, 4], "mm"), measured=Q_([2.4, 4.8], "mm")))
    assert factor.values["factor"] == pytest.approx(1.2)


def test_nothing_is_kept_by_halves(own_folder):
    steep = bench.fit(bench.readings(GEL, dose=Q_([0.5, 1, 2], "percent"), load=Q_([1, 33, 1000], "g"), **PLUNGER))
    for fit, product, kind, error, says in (
            (steep, "odd agar", "agar", OutOfRange, "dose_exponent"), (bench.fit(bench.practice("shell")), "x", None, ValueError, "nothing to keep"),
            (bench.fit(bench.practice("gel strength")), "my agar", None, ValueError, "kind of"),
            (bench.fit(bench.practice("gel strength")), "my agar", "agr", LookupError, "agar")):
        with pytest.raises(error, match=says):
            bench.keep(fit, product, kind)
    assert not (own_folder / "shelf.csv").exists()


# --- data ------------------------------------------------------------------------------------------------------------------------------
def test_every_law_says_what_it_is():
    for key, law in bench.LAWS.items():
        assert law.key == key and law.source and law.formula and law.x.meaning and law.y.meaning
        for thing in (*law.given, *law.parameters, law.x, law.y):
            assert thing.meaning and thing.name.isidentifier()
            if thing.unit not in ("", "row"):
                Q_(1, thing.unit)
            if thing.name in ("x", "y") or not getattr(thing, "shelf", ""):
                continue
            assert tables.properties()[thing.shelf]["shelf"] == "yes" or thing.shelf == "gel_strength_dose", thing


@pytest.mark.parametrize("key", PRACTICE)
def test_every_task_has_a_page_with_its_cautions(key):
    page = bench.protocol(key)
    assert page.question.endswith("?") and len(page.gear) >= 2 and len(page.steps) >= 4 and 5 <= page.minutes <= 90
    assert page.cautions and all(step.endswith(".") for step in (*page.steps, *page.cautions))
    assert sum(len(text) for text in (*page.gear, *page.steps, *page.cautions)) < 3500       # one page
    if key == "boil-off":
        assert set(cautions.for_("nitrogen")) <= set(page.cautions)


def test_one_reading_and_the_start_held_calibrate_the_cooling():
    # 80 to 50 °C beside 20 °C in 30 min: half the difference, so the time constant is 30 / ln 2 = 43.28 min, by hand
    one = bench.readings(bench.LAWS["cooling"], time=Q_([30.0], "min"), temperature=Q_([50.0], "degC"), surroundings=Q_(20, "degC"))
    assert bench.fit(one, hold={"start": Q_(80, "degC")}).values["time_constant"].m_as("min") == pytest.approx(43.28, abs=0.01)


def test_readings_on_the_law_to_the_last_digit_leave_nothing_to_narrow():
    exact = bench.fit(bench.readings(bench.LAWS["yield"], bought=Q_([100.0, 200.0, 300.0], "g"), left=Q_([50.0, 100.0, 150.0], "g")))
    with pytest.raises(bench.BadReadings, match="nothing is left to narrow"):
        bench.next_reading(exact)
