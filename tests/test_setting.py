"""Windows, acid, enzymes, ripening and weeping of gels against the measured points and constants named beside each check."""
import functools

import numpy as np
import periodictable
import pint
import pytest
from scipy.stats import linregress

from kitchenlib import setting, spread, tables
from kitchenlib.units import OutOfRange, Q_


def shipped(key):
    return tables.row(key, own=False)


AGAR, AGAROSE, GELATIN, KAPPA = map(shipped, ("agar", "agarose", "gelatin", "kappa-carrageenan"))
PINEAPPLE, HIGH_METHOXYL, METHYLCELLULOSE = map(shipped, ("pineapple", "high-methoxyl pectin", "methylcellulose"))
AGENTS = ("agar", "agarose", "gelatin", "gellan low acyl", "gellan low acyl in pure water", "gellan high acyl", "kappa-carrageenan",
          "iota-carrageenan", "high-methoxyl pectin", "high-methoxyl pectin rapid set", "high-methoxyl pectin slow set",
          "low-methoxyl pectin", "methylcellulose", "konjac with xanthan", "agar Gracilaria refined",
          "agar Gracilaria tenuistipitata alkali-treated")


# --- windows -----------------------------------------------------------------------------------------------------------------------
@pytest.mark.parametrize("key, hydrate, sets, melts", [      # the dossier's table, cell by cell
    ("agar", (95, 100), (32, 39), (80, 95)), ("gelatin", (50, 60), (15, 30), (28, 35)), ("gellan low acyl", (75, 95), (30, 50), (80, 100)),
    ("gellan high acyl", (70, 95), (70, 80), None), ("kappa-carrageenan", (70, 80), (30, 60), None),
    ("iota-carrageenan", (70, 80), (48, 73), None),
    ("high-methoxyl pectin", (95, 105), (55, 85), None), ("high-methoxyl pectin rapid set", (95, 105), (75, 85), None),
    ("high-methoxyl pectin slow set", (95, 105), (55, 65), None), ("low-methoxyl pectin", (80, 90), (30, 80), None),
    ("methylcellulose", (10, 15), (45, 60), None), ("konjac with xanthan", (80, 90), (50, 60), None)])
def test_windows_of_the_rows(key, hydrate, sets, melts):
    got = setting.window(shipped(key))
    assert [x.m_as("degC") for x in (got.hydrate.low, got.hydrate.high)] == pytest.approx(hydrate)
    assert [x.m_as("degC") for x in (got.sets.low, got.sets.high)] == pytest.approx(sets)
    if melts:
        assert [x.m_as("degC") for x in (got.melts.low, got.melts.high)] == pytest.approx(melts)


@pytest.mark.parametrize("key, low, high", [                 # typical figures: degrees between setting and melting
    ("gellan high acyl", 0, 5), ("kappa-carrageenan", 10, 20), ("iota-carrageenan", 5, 10), ("low-methoxyl pectin", 10, 20),
    ("konjac with xanthan", 3, 5), ("methylcellulose", 10, 20)])
def test_hysteresis_of_the_rows(key, low, high):
    got = setting.window(shipped(key)).hysteresis
    assert (got.low.m_as("delta_degC"), got.high.m_as("delta_degC")) == pytest.approx((low, high))


def test_agar_as_the_compendia_have_it():
    """usp-29-agar, usp-35-agar, armisen-galatas-1987: sets in [30, 43], melts at 80 or hotter, 40 K apart at least, at 1.5 %."""
    got = setting.window(AGAR, dose=Q_(1.5, "percent"))
    for end in got.sets:
        assert 30 <= end.m_as("degC") <= 43
    assert got.melts.low.m_as("degC") >= 80 - 1e-9
    assert got.hysteresis.low.m_as("delta_degC") >= 40
    assert got.works == got.sets.high


@functools.cache
def _span(substance, what):
    """Coolest and warmest of all setting or melting facts and windows of a substance and its kinds [°C]."""
    names = {"sets": ("setting_temperature", "saltless_setting_temperature", "ionic_setting_temperature"),
             "melts": ("melting_temperature",)}
    ends = []
    for row in map(shipped, tables.kinds(substance, own=False)):
        facts = [fact for name in names[what] if name in row for fact in row.facts(name)]
        ends += [end for fact in facts for end in (fact.low, fact.value, fact.high) if end is not None]
        ends += getattr(setting.window(row), what) or ()
    return min(ends).m_as("degC"), max(ends).m_as("degC")


def test_every_measured_transition_lies_in_a_window():
    """Each temperature of gel_transitions.csv lies, to half a degree, among the facts of its substance or of a kind of it."""
    known_apart = {("gelatin", "melts above", 40),           # a rounded review table alone; all others 25 to 35
                   ("gellan low acyl", "sets below", 90),    # an upper bound far above
                   ("methylcellulose", "sets on heating, lower limit", 21)}          # an endless wait at 10 %; the fact's note says so
    kinds_of_reading = {"sets": ("sets", "begins to set"), "melts": ("melts a", "melts, ", "does not melt", "liquid above")}
    seen = 0
    for record in tables.records("gel_transitions"):
        what = next((what for what, starts in kinds_of_reading.items() if record["quantity"].startswith(starts)
                     or record["quantity"] == what), None)
        if what is None:
            continue
        substance, at = record["substance"], record["value"].m_as("degC")
        if (substance, record["quantity"], at) not in known_apart:
            low, high = _span("kappa-carrageenan" if substance == "carrageenan" else substance, what)
            assert low - 0.5 <= at <= high + 0.5, f"{substance}: {record['quantity']} {at}"
        seen += 1
    assert seen == 52


def test_agarose_against_dose():
    """mohammed-1998: onset 23 °C at 0.1 %, 33 °C at 2.0 %, at 1 K/min; quenched gels melt 12 to 13 K lower."""
    onset = setting.setting_temperature(AGAROSE, Q_([0.1, 2.0], "percent"))
    assert onset.m_as("degC") == pytest.approx([23, 33], abs=0.01)
    slow, quenched = (setting.melting_temperature(AGAROSE, cooled=how) for how in ("slowly", "quenched"))
    assert 12 <= (slow - quenched).m_as("delta_degC") <= 13
    assert setting.hysteresis(AGAROSE, cooled="quenched").m == pytest.approx(setting.hysteresis(AGAROSE).m - 12.5)


def test_potassium_law_is_the_fit_of_its_working_numbers():
    """rochas-rinaudo-1980 form (memory): 1 / T straight in log10 C; the rows are the least squares of the four working numbers."""
    points = [record for record in tables.records("gel_transitions") if "potassium" in record["grade"]]
    amount = np.array([float(record["grade"].split()[0]) for record in points])
    kelvin = np.array([record["value"].m_as("kelvin") for record in points])
    fit = linregress(np.log10(amount / 100), 1 / kelvin)
    assert KAPPA.ionic_setting_temperature.m_as("kelvin") == pytest.approx(1 / fit.intercept, abs=0.01)
    assert KAPPA.ionic_slope.m_as("1/kelvin") == pytest.approx(-fit.slope, rel=1e-3)
    here = setting.setting_temperature(KAPPA, potassium=Q_(amount, "mmol/L")).m_as("kelvin")
    assert np.abs(here - kelvin).max() < 5
    assert here == pytest.approx(1 / (fit.intercept + fit.slope * np.log10(amount / 100)), abs=0.05)


def test_own_counter_ions_of_kappa_count():
    """One sulfate in each pair of sugars: its mass by periodictable; 1 % then carries 24.5 mmol/L, of which the free share counts."""
    assert KAPPA.charge_equivalent.m_as("g/mol") == pytest.approx(periodictable.formula("C12H17O12SNa").mass, abs=0.05)
    own = 10 / 408.3 * 1000 * 0.55
    alone = setting.setting_temperature(KAPPA, potassium=Q_(own, "mmol/L"))
    assert setting.setting_temperature(KAPPA, Q_(1, "percent"), Q_(0, "mmol/L")).m == pytest.approx(alone.m, abs=1e-6)
    assert 16 < alone.m_as("degC") < 31                      # solowiej-carrageenan: 21 to 26 °C without added salt, our law within 5
    added = Q_(20, "mmol/L")
    assert setting.setting_temperature(KAPPA, Q_(1, "percent"), added) > setting.setting_temperature(KAPPA, potassium=added)


def test_kappa_follows_ph_without_salt():
    """solowiej-carrageenan: 21 °C at pH 3, 26 °C at pH 8."""
    assert [setting.setting_temperature(KAPPA, ph=ph).m_as("degC") for ph in (3, 8)] == pytest.approx([21, 26])


def test_methylcellulose_the_other_way_round():
    """vigouret-1996: gels on heating, reversibly, with a hysteresis."""
    got = setting.window(METHYLCELLULOSE)
    assert got.gels_on == "heating" and got.melts.mid < got.sets.mid
    assert got.works == got.sets.low                         # stay colder than that
    assert all(setting.gels_on(shipped(key)) == "cooling" for key in AGENTS if key != "methylcellulose")


@pytest.mark.parametrize("key", AGENTS)
def test_cooling_gels_melt_hotter_than_they_set(key):
    got = setting.window(shipped(key))
    if got.melts and got.gels_on == "cooling":
        assert got.melts.mid >= got.sets.mid
        assert got.hysteresis.low.m >= 0
    assert got.sets.low <= got.sets.mid <= got.sets.high


@pytest.mark.parametrize("key", AGENTS[:4] + AGENTS[5:9] + AGENTS[11:14])
def test_every_agent_says_how_it_is_wetted_and_hydrated(key):
    row = shipped(key)
    assert "hydration_temperature" in row and ("dispersion" in row or key == "agarose")


def test_gellan_in_pure_water():
    """sakae-gellan: 0.8 % melts at 15 °C, 1.0 % at 20 °C; with calcium about 80 °C."""
    water = shipped("gellan low acyl in pure water")
    assert setting.melting_temperature(water, Q_([0.8, 1.0], "percent")).m_as("degC") == pytest.approx([15, 20], abs=0.01)


def test_high_methoxyl_pectin_wants_sugar_and_acid():
    """pectin-producer-page: 59 to 66 °Bx and pH 2.9 to 3.3; once set it does not melt."""
    setting.window(HIGH_METHOXYL, ph=3.3, solids=Q_(59, "brix"))
    assert setting.window(HIGH_METHOXYL).melts is None and setting.window(HIGH_METHOXYL).hysteresis is None
    for bad in ({"ph": 3.4}, {"solids": Q_(58, "brix")}, {"ph": 3.0, "solids": Q_(30, "brix")}):
        with pytest.raises(OutOfRange, match="does not set"):
            setting.window(HIGH_METHOXYL, **bad)
    with pytest.raises(OutOfRange, match="does not melt once it has set"):
        setting.melting_temperature(HIGH_METHOXYL)


def test_window_in_other_units():
    one, other = setting.window(AGAROSE, dose=Q_(0.5, "percent")), setting.window(AGAROSE, dose=Q_(5, "g/kg"))
    assert one.sets.mid.m_as("degF") == pytest.approx(other.sets.mid.m_as("degF"))


# --- acid and heat -----------------------------------------------------------------------------------------------------------------
def test_acid_both_figures_and_how_far_apart():
    """agar-acid-supplier-page: 30 to 50 % lost in 20 minutes at pH 3.5, hot. suisan-1977: at least 0.2 a minute in 1 N acid at 65 °C,
    carried to pH 3.5 and 95 °C with [H+] and 122 kJ/mol: 0.002 a minute, a tenth."""
    (supplier, one), (floor, other) = setting.acid_loss(Q_(20, "min"), 3.5, Q_(95, "degC"), AGAR)
    assert (one.low.m_as("percent"), one.high.m_as("percent")) == pytest.approx((50, 70), abs=0.5)
    assert supplier.source == "agar-acid-supplier-page" and floor.source == "suisan-1977"
    carried = 0.2 * 10 ** -3.5 * np.exp(122000 / 8.314462618 * (1 / 338.15 - 1 / 368.15))
    assert floor.value.m_as("1/min") == pytest.approx(carried, rel=0.02)
    assert 8 < supplier.value.m_as("1/min") / floor.value.m_as("1/min") < 16
    assert other.mid > one.high


def test_acid_directions():
    def left(minutes=10, ph=3.5, celsius=90):
        return setting.acid_share_left(Q_(minutes, "min"), ph, Q_(celsius, "degC"), Q_(0.025, "1/min"), Q_(122, "kJ/mol")).m_as("percent")
    assert left(0) == 100
    assert np.log(left(ph=2.5) / 100) / np.log(left() / 100) == pytest.approx(10)          # tenfold for a pH unit
    assert np.log(left(20) / 100) == pytest.approx(2 * np.log(left() / 100))               # first order
    assert np.log(left(celsius=100) / 100) / np.log(left() / 100) == pytest.approx(2.96, rel=0.02)   # 122 kJ/mol, 90 to 100 °C
    assert left(120, ph=7) > 99                              # mao-2017: minutes at neutral do no harm


def test_acid_with_rate_from_print_and_weak_activation():
    low = setting.acid_loss(Q_(20, "min"), 3.5, Q_(75, "degC"), AGAR)[0][1]
    assert low.low < low.mid < low.high                      # cooler than 95 °C the activation energy counts too


def test_carrageenin_cuts():
    """carrageenin-degradation-1: 2.75e13 exp(-29 200 / RT) an hour, R in calories: 2.18e-4 at 100 °C, 2.96 times that at 90 °C."""
    hot, cooler = (setting.chain_cut_rate(Q_(t, "degC"), KAPPA).m_as("1/hour") for t in (100, 90))
    assert hot == pytest.approx(2.18e-4, abs=0.005e-4)
    assert hot / cooler == pytest.approx(2.96, abs=0.005)
    one_cut = setting.time_to_one_cut(Q_(100, "degC"), KAPPA.but(chain_links=1000))
    assert one_cut.m_as("hour") == pytest.approx(1 / (2.1755e-4 * 1000), rel=1e-3)


# --- raw fruit -----------------------------------------------------------------------------------------------------------------------
def test_bromelain():
    """sriwatanapongse-2000: A 1.37e50 /min, Ea 3.26e5 J/mol: 60 °C half-life 6.56 min, 65 °C 1.151 min, D 3.822 min, z 6.6 K."""
    at60, at65 = (setting.enzyme_rate(Q_(t, "degC"), PINEAPPLE).m_as("1/min") for t in (60, 65))
    assert np.log(2) / at60 == pytest.approx(6.56, abs=0.005)
    assert np.log(2) / at65 == pytest.approx(1.151, abs=0.0005)
    assert np.log(10) / at65 == pytest.approx(3.822, abs=0.0005)
    assert 5 / np.log10(at65 / at60) == pytest.approx(6.6, abs=0.05)


def test_no_guess_beyond_what_was_measured():
    for t in (54, 68, 90):
        with pytest.raises(OutOfRange, match="measured from 55"):
            setting.enzyme_rate(Q_(t, "degC"), PINEAPPLE)
    hot, end = (setting.time_to_spare(Q_(t, "degC"), Q_(1, "percent"), PINEAPPLE) for t in (90, 67))
    assert hot.m == pytest.approx(end.m)                     # never shorter than at 67 °C
    tenth = setting.time_to_spare(Q_(65, "degC"), Q_(10, "percent"), PINEAPPLE)
    assert tenth.m_as("min") == pytest.approx(3.822, abs=0.0005)             # sriwatanapongse-2000: D at 65 °C


def test_enzyme_left_after_a_history():
    """10 minutes at 60 °C leave 34.7 %; a ramp against scipy's quad; below 55 °C nothing counts as lost."""
    from scipy.integrate import quad
    flat = setting.enzyme_left(Q_([0, 10], "min"), Q_([60, 60], "degC"), PINEAPPLE)
    assert flat.m_as("percent") == pytest.approx(34.7, abs=0.05)
    ramp = setting.enzyme_left(Q_([0, 600], "s"), Q_([56, 64], "degC"), PINEAPPLE)
    by_quad = quad(lambda m: setting.enzyme_rate(Q_(56 + 0.8 * m, "degC"), PINEAPPLE).m_as("1/min"), 0, 10)[0]
    assert ramp.m_as("percent") == pytest.approx(100 * np.exp(-by_quad), rel=1e-4)
    assert setting.enzyme_left(Q_([0, 60], "min"), Q_([20, 54], "degC"), PINEAPPLE).m_as("percent") == 100
    hot = setting.enzyme_left(Q_([0, 2], "min"), Q_([90, 90], "degC"), PINEAPPLE)
    assert hot.m == pytest.approx(setting.enzyme_left(Q_([0, 2], "min"), Q_([67, 67], "degC"), PINEAPPLE).m)


def test_which_fruit_on_which_agent():
    """kiwifruit-2002 and common practice: raw fruit cuts gelatin, a protein; polysaccharides stay whole."""
    fruits = [shipped(key) for key in ("pineapple", "kiwifruit", "papaya", "fig", "ginger", "mango")]
    assert all(setting.attacks(fruit, shipped(gel)) for fruit in fruits for gel in ("gelatin", "gelatin leaf gold"))
    assert not any(setting.attacks(fruit, shipped(gel)) for fruit in fruits for gel in AGENTS if gel != "gelatin")
    assert not setting.attacks(AGAR, GELATIN)


# --- time, sheets, mixtures ----------------------------------------------------------------------------------------------------------
def test_maturation():
    assert setting.maturation(Q_(17, "hour"), GELATIN) == pytest.approx(1)
    at1 = spread.spread(setting.maturation, ("maturation_per_decade",), time=Q_(1.7, "hour"), agent=GELATIN)
    assert (at1.low, at1.mid, at1.high) == pytest.approx((0.75, 0.80, 0.85))               # a decade earlier: less b


def test_weeping():
    """syneresis-2000: dM/dt = k (1 - M)**2, so that k t = 1 gives half, k t = 4 four fifths."""
    share = setting.weeping(Q_([0, 1, 4], "hour"), Q_(1, "1/hour")).m_as("percent")
    assert share == pytest.approx([0, 50, 80])
    h = 1e-4
    before, after = (setting.weeping.si(t, 2.0) for t in (1 - h, 1 + h))
    assert (after - before) / (2 * h) == pytest.approx(2 * (1 - setting.weeping.si(1, 2.0)) ** 2, rel=1e-6)


def test_sheets_and_casts():
    assert setting.sheet_mass(Q_(1200, "cm**2"), Q_(2, "mm"), Q_(1000, "kg/m**3")).m_as("g") == pytest.approx(240)
    assert setting.cast_mass(Q_(15, "mL"), 24, Q_(1050, "kg/m**3")).m_as("g") == pytest.approx(378)


def test_gelatin_with_agar():
    """jhej-1975: 1 % gelatin with 0.7 to 0.9 % agar, 2 % with 0.5 to 0.7 %, 3 % with 0.5 %."""
    got = setting.agar_beside_gelatin(Q_([1, 2, 3], "percent"))
    assert got.low.m_as("percent") == pytest.approx([0.7, 0.5, 0.5])
    assert got.high.m_as("percent") == pytest.approx([0.9, 0.7, 0.5])


# --- refusals ------------------------------------------------------------------------------------------------------------------------
ONE_HOUR, HOT, RATE, ACTIVATION = Q_(1, "hour"), Q_(60, "degC"), Q_(0.02, "1/min"), Q_(122, "kJ/mol")


@pytest.mark.parametrize("call, error, says", [
    (lambda: setting.setting_temperature("agar"), TypeError, "must be a Row"),
    (lambda: setting.setting_temperature(AGAR, 1.5), TypeError, "needs a unit"),
    (lambda: setting.setting_temperature(AGAR, Q_(float("nan"), "percent")), OutOfRange, "no number"),
    (lambda: setting.setting_temperature(AGAROSE, Q_(3, "percent")), OutOfRange, "measured from 0.1"),
    (lambda: setting.setting_temperature(KAPPA, potassium=Q_(5, "mmol/L")), OutOfRange, "does not gel with 5"),
    (lambda: setting.setting_temperature(AGAR, potassium=Q_(50, "mmol/L")), OutOfRange, "leave potassium out"),
    (lambda: setting.setting_temperature(KAPPA, ph=2.5), OutOfRange, "measured from 3"),
    (lambda: setting.setting_temperature(PINEAPPLE), LookupError, "no setting_temperature"),
    (lambda: setting.melting_temperature(AGAR, cooled="quickly"), ValueError, "slowly, quenched"),
    (lambda: setting.melting_temperature(AGAR, cooled="quenched"), LookupError, "no quench_melting_drop"),
    (lambda: setting.window(AGAR, dose=Q_(1, "mm")), pint.DimensionalityError, "dose"),
    (lambda: setting.acid_share_left(ONE_HOUR, 3, Q_(5, "delta_degC"), RATE, ACTIVATION), pint.DimensionalityError, "degC"),
    (lambda: setting.acid_share_left(Q_(-1, "min"), 3, HOT, RATE, ACTIVATION), OutOfRange, "time"),
    (lambda: setting.acid_loss(ONE_HOUR, 3, HOT, GELATIN), LookupError, "acid_loss"),
    (lambda: setting.chain_cut_rate(Q_(50, "degC"), KAPPA), OutOfRange, "measured from 60"),
    (lambda: setting.enzyme_rate(HOT, AGAR), LookupError, "enzyme_range"),
    (lambda: setting.time_to_spare(HOT, Q_(0, "percent"), PINEAPPLE), OutOfRange, "left"),
    (lambda: setting.time_to_spare(HOT, Q_(1, "percent"), shipped("kiwifruit")), LookupError, "enzyme"),
    (lambda: setting.enzyme_left(Q_([0, 0], "min"), Q_([60, 60], "degC"), PINEAPPLE), OutOfRange, "rising"),
    (lambda: setting.enzyme_left(Q_([0, 1, 2], "min"), Q_([60, 60], "degC"), PINEAPPLE), OutOfRange, "as many"),
    (lambda: setting.maturation(Q_(200, "hour"), GELATIN), OutOfRange, "time"),
    (lambda: setting.weeping(ONE_HOUR, Q_(float("inf"), "1/hour")), OutOfRange, "rate"),
    (lambda: setting.sheet_mass(Q_(1, "m"), Q_(2, "mm"), Q_(1000, "kg/m**3")), pint.DimensionalityError, "area"),
    (lambda: setting.agar_beside_gelatin(Q_(4, "percent")), OutOfRange, "gelatin")])
def test_refusals_say_what_and_how(call, error, says):
    with pytest.raises(error, match=says) as caught:
        call()
    assert "\n" not in str(caught.value)


def test_cores_keep_dimension():
    """.si on quantities: the dimension that comes out is the one that is declared."""
    hour = Q_(1, "hour").to("s")
    assert setting.weeping.si(hour, Q_(1, "1/hour").to("1/s")).check("[]")
    assert setting.sheet_mass.si(Q_(1, "m**2"), Q_(1, "mm"), Q_(1000, "kg/m**3")).check("[mass]")
    assert setting.cast_mass.si(Q_(1, "L"), 3, Q_(1000, "kg/m**3")).check("[mass]")
