"""instruments: what a check says and how far it is off; a meter put right; the door of each model. Printed values: test_checks."""
import pint
import pytest
from hypothesis import given, strategies as st

from doors import beyond, by_name, refuses, same_for_many, same_in
from kitchenlib import instruments
from kitchenlib.units import OutOfRange, Q_

CALLS = {
    instruments.off_in_ice: dict(reading=Q_(0.4, "degC"), step=Q_(0.1, "delta_degC"), allowed=Q_(1, "delta_degC")),
    instruments.off_by_weight: dict(reading=Q_(99.5, "g"), weight=Q_(100, "g"), step=Q_(0.1, "g"), within=Q_(1, "percent")),
    instruments.off_by_trickle: dict(trickled=Q_(1.6, "g"), lifted=Q_(2, "g"), step=Q_(0.1, "g")),
    instruments.electrode: dict(acid=4.2, neutral=7.1, acid_buffer=4.01, neutral_buffer=7.0),
    instruments.true_ph: dict(reading=4.2, slope=Q_(97, "percent"), offset=0.1, neutral_buffer=7.0),
    instruments.off_in_water: dict(reading=Q_(0.5, "brix"), step=Q_(0.2, "brix"), allowed=Q_(1, "brix"))}
ARGUMENTS = [(model, name) for model, call in CALLS.items() for name in call]
OTHER = {"g": "ounce", "percent": "g/kg", "brix": "percent", "degC": "degF", "delta_degC": "delta_degF"}


def test_every_model_has_a_call():
    assert set(CALLS) == {f for f in vars(instruments).values() if hasattr(f, "takes")}


@pytest.mark.parametrize("model, name", ARGUMENTS, ids=by_name)
def test_door(model, name):
    """Bare numbers and other kinds are refused, range ends bind, another unit and an array give the same."""
    unit = model.takes[name]
    refuses(model, CALLS[model], name, ("2 g", Q_(2, "second"), Q_(2, "mL"), *([2.0] if unit else [])), beyond(model, name))
    if unit:
        same_in(model, CALLS[model], name, OTHER[unit])
    same_for_many(model, CALLS[model], name)


# --- verdicts --------------------------------------------------------------------------------------------------------------------------
@pytest.mark.parametrize("check, verdict, words", [
    (lambda: instruments.ice_point(Q_(0.05, "degC")), "right", "right to its display"),
    (lambda: instruments.ice_point(Q_(32, "degF")), "right", "32"),
    (lambda: instruments.ice_point(Q_(0.6, "degC")), "correct", "0.60 °C too much: take that off"),
    (lambda: instruments.ice_point(Q_(-1, "degC")), "correct", "1.0 °C too little: add that"),
    (lambda: instruments.ice_point(Q_(1.2, "degC")), "stop", "no holding, cooking or cooling"),
    (lambda: instruments.check_weight(Q_(100, "g"), Q_(100, "g"), Q_(0.1, "g")), "right", "100.0 g for 100.0 g"),
    (lambda: instruments.check_weight(Q_(99.5, "g"), Q_(100, "g"), Q_(0.1, "g")), "correct", "multiply what it shows by 1.005"),
    (lambda: instruments.check_weight(Q_(97, "g"), Q_(100, "g"), Q_(0.1, "g")), "stop", "3.0 %"),
    (lambda: instruments.check_weight(Q_(0, "g"), Q_(100, "g"), Q_(0.1, "g")), "stop", "100 %"),
    (lambda: instruments.slow_powder(Q_(2.0, "g"), Q_(2.0, "g"), Q_(0.1, "g")), "right", "counts slow powder"),
    (lambda: instruments.slow_powder(Q_(49.7, "g"), Q_(50, "g"), Q_(0.1, "g")), "correct", "lift the bowl"),
    (lambda: instruments.slow_powder(Q_(1.2, "g"), Q_(2, "g"), Q_(0.1, "g")), "stop", "small cup apart"),
    (lambda: instruments.two_point_ph(4.03, 7.01), "right", "slope"),
    (lambda: instruments.two_point_ph(4.3, 7.0), "correct", "wrong by 0.3 near pH 4.0"),
    (lambda: instruments.two_point_ph(4.0, 7.6), "stop", "clean the bulb"),
    (lambda: instruments.two_point_ph(7.0, 4.0), "stop", "right bottle"),
    (lambda: instruments.refractometer_zero(Q_(0.1, "brix")), "right", "right to its scale"),
    (lambda: instruments.refractometer_zero(Q_(-0.4, "brix")), "correct", "turn its screw"),
    (lambda: instruments.refractometer_zero(Q_(2, "brix")), "stop", "distilled")])
def test_a_check_says_what_it_means_and_what_to_do(check, verdict, words):
    found = check()
    assert found.verdict == verdict and words in found.sentence and found.sentence.endswith(".")


def test_slope_on_the_sheets_electrodes():
    """ph-slope-sheet (read): -15 and +160 mV span 175 mV, +15 and +160 span 145; 150 to 186 mV is 85 to 105 % of 59.16 mV a pH."""
    def verdict(neutral, acid):
        shown = [7.01 - mv / 59.16 for mv in (neutral, acid)]            # what a meter without correction shows
        return instruments.two_point_ph(shown[1], shown[0], 4.01, 7.01).verdict
    assert verdict(-15, 160) in ("right", "correct") and verdict(15, 160) == "stop"


@given(slope=st.floats(60, 120), offset=st.floats(-1, 1), ph=st.floats(2, 9))
def test_a_meter_put_right_shows_the_truth(slope, offset, ph):
    def shown(x):
        return 7 + (x - 7) * slope / 100 + offset
    found = instruments.electrode(shown(4.01), shown(7.0))
    assert found.slope.m_as("percent") == pytest.approx(slope) and found.offset == pytest.approx(offset, abs=1e-9)
    if 0 <= shown(ph) <= 14:
        assert instruments.true_ph(shown(ph), found.slope, found.offset) == pytest.approx(ph)


@pytest.mark.parametrize("check, error", [
    (lambda: instruments.ice_point(Q_(-0.6, "degC")), Q_(-0.6, "delta_degC")), (lambda: instruments.ice_point(Q_(33, "degF")), Q_(1 / 1.8, "delta_degC")),
    (lambda: instruments.check_weight(Q_(99.5, "g"), Q_(100, "g"), Q_(0.1, "g")), Q_(-0.5, "g")),
    (lambda: instruments.slow_powder(Q_(1.2, "g"), Q_(2, "g"), Q_(0.1, "g")), Q_(-0.8, "g")),
    (lambda: instruments.refractometer_zero(Q_(0.4, "brix")), Q_(0.4, "brix")),
    (lambda: instruments.two_point_ph(4.35, 7.1), Q_(0.24, ""))])
def test_an_error_is_reading_less_truth(check, error):
    assert Q_(1.0, "") * check().error / error.units == pytest.approx(error.m)


@pytest.mark.parametrize("check, bad", [
    (instruments.ice_point, (0.4,)), (instruments.ice_point, (Q_(0.4, "delta_degC"),)), (instruments.ice_point, (Q_(60, "degC"),)),
    (instruments.ice_point, (Q_([0.1, 0.2], "degC"),)), (instruments.ice_point, (Q_(0.4, "degC"), 0.1)),
    (instruments.check_weight, (Q_(99, "g"), 100, Q_(1, "g"))), (instruments.slow_powder, (Q_(1, "g"), Q_(0, "g"), Q_(0.1, "g"))),
    (instruments.two_point_ph, (4.0, 15.0)), (instruments.two_point_ph, ([4.0, 4.1], 7.0)), (instruments.refractometer_zero, (Q_(50, "brix"),))])
def test_a_check_refuses_what_is_no_reading(check, bad):
    with pytest.raises((TypeError, OutOfRange, pint.DimensionalityError)):
        check(*bad)
