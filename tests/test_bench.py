"""bench: its laws are the library's; readings as people save and type them; a page for every task."""
import math
import time

import numpy as np
import pint
import pytest
from hypothesis import given, settings, strategies as st

from kitchenlib import bench, cautions, fits, gels, heat, spheres, tables
from kitchenlib.bench import BadReadings
from kitchenlib.units import OutOfRange, Q_

PRACTICE = ("gel strength", "plunger", "shell", "cream line", "boil-off", "cooling", "pot", "yield", "juice")
GEL, LINE = bench.law("gel strength"), bench.law("straight line")
PLUNGER = dict(plunger=Q_(16, "mm"), reference_dose=Q_(1.5, "percent"))


# --- laws are the library's --------------------------------------------------------------------------------------------------------------
def exact(key, x, y, **beside):
    shape = bench.law(key)
    return fits.fit(bench.readings(shape, **{shape.x.name: x, shape.y.name: y}, **beside))


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
    assert abs(fits.residuals(fit).m_as("delta_degC")).max() < 1e-6


def test_boil_off_is_mass_lost_over_time():
    fit = exact("boil-off", Q_([0, 1], "hour"), Q_([5000, 4820], "g"))
    assert fit.values["rate"].m_as("g/min") == pytest.approx(3) and fit.errors["rate"] is None and fit.freedom == 0
    assert "no error is known" in fits.sentence(fit) and any("one more" in text for text in fits.told(fit))
    with pytest.raises(BadReadings, match="no error is known"):
        fits.band(fit, Q_(1, "hour"))


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
    assert fits.odd(fit) == () and not fits.bends(fit)
    assert f"exponent {exponent:.3g}"[:10] in fits.sentence(fit)


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


def test_a_law_and_a_protocol_are_asked_for_by_name():
    for ask in (bench.law, bench.practice, bench.protocol):
        with pytest.raises(ValueError, match="gel strength"):
            ask("gel strenght")


# --- readings as people save them --------------------------------------------------------------------------------------------------------
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
        fits.fit(bench.read(GEL, saved(tmp_path, "dose,load\n"), **PLUNGER))
    with pytest.raises(OSError):
        bench.read(GEL, tmp_path / "nowhere.csv", **PLUNGER)


def test_a_hundred_thousand_rows(tmp_path):
    rng = np.random.default_rng(8)
    x = rng.uniform(0, 10, 100_000).round(4)
    y = (2 + 3 * x + rng.standard_normal(100_000)).round(4)
    path = saved(tmp_path, "x;y\n" + "".join(f"{a:.4f};{b:.4f}\n".replace(".", ",") for a, b in zip(x, y)))
    began = time.perf_counter()
    fit = fits.fit(bench.read(LINE, path))
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
    fit = fits.fit(found)
    assert fit.values["exponent"] == pytest.approx(1.8, abs=0.2)
    with pytest.raises(TypeError, match="plunger was not the same"):
        fits.at(fit, Q_(1, "percent"))
    wide, narrow = (fits.at(fit, Q_(1, "percent"), plunger=Q_(size, "mm")).m_as("g") for size in (16, 8))
    assert wide == pytest.approx(4 * narrow)
    assert any("weakest" in text for text in fits.told(fit))


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


# --- how to measure ----------------------------------------------------------------------------------------------------------------------
@pytest.mark.parametrize("key", PRACTICE)
def test_every_task_has_a_page_with_its_cautions(key):
    page = bench.protocol(key)
    assert page.question.endswith("?") and len(page.gear) >= 2 and len(page.steps) >= 4 and 5 <= page.minutes <= 90
    assert page.cautions and all(step.endswith(".") for step in (*page.steps, *page.cautions))
    assert sum(len(text) for text in (*page.gear, *page.steps, *page.cautions)) < 3500       # one page
    if key == "boil-off":
        assert set(cautions.for_("nitrogen")) <= set(page.cautions)
