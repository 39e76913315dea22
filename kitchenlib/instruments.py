"""Instruments: does the probe, the scale, the pH meter, the refractometer read right, and what to do where it does not.

Each is asked about something that is known: ice water, a weight, two buffers, distilled water. `off_...` gives the error beside what the
display cannot tell and what is allowed; the check of the same thing gives a verdict and one sentence.
"""
from typing import NamedTuple

import numpy as np

from .units import OutOfRange, Q_, boundary, plain, record, show
from .weighing import STEP


class Check(NamedTuple):
    """What a check of an instrument says. error: reading less truth; verdict: right, correct or stop; sentence: what to do."""
    error: object
    verdict: str
    sentence: str


OffInIce = record("OffInIce", error="delta_degC", blind="delta_degC", allowed="delta_degC")
OffByWeight = record("OffByWeight", error="g", blind="g", allowed="g")
OffInWater = record("OffInWater", error="brix", blind="brix", allowed="brix")


def _check(off, right, correct, stop):
    """right within what the display cannot tell (blind), correct within what is allowed, else stop."""
    if any(np.ndim(part.magnitude) for part in off):
        raise OutOfRange("a check is one reading at a time")
    size = abs(off.error.magnitude)
    verdict = "right" if size <= off.blind.m * (1 + 1e-9) else "correct" if size <= off.allowed.m * (1 + 1e-9) else "stop"
    return Check(off.error, verdict, {"right": right, "correct": correct, "stop": stop}[verdict])


@boundary(OffInIce, reading="degC", step="delta_degC", allowed="delta_degC", valid={"reading": (-10, 15), "step": (0.001, 5), "allowed": (0.01, 5)})
def off_in_ice(reading, step, allowed):
    """How far a probe is off in ice water: its reading less 0 °C; half a step that it cannot tell; what is allowed.

    reading [degC], -10 to 15: outside, that is no ice water, or no thermometer; step of the display, 0.001 to 5, allowed, 0.01 to 5
    [delta_degC].  Source: the ice point, 0 °C at 1 atm (si-brochure).
    """
    return reading - 273.15, step / 2, np.maximum(allowed, step / 2)


def ice_point(reading, step=Q_(0.1, "delta_degC"), allowed=Q_(1.0, "delta_degC")):
    """A probe in ice water: much crushed ice, little water, stirred, tip in the middle, read after a minute.

    reading, step, allowed as in `off_in_ice`; farther off than allowed it must not be used: 1 °C in California's code.
    Returns a `Check`. It knows only 0 °C: a probe for hot oil wants a second check in steam.
    Source: california-hsc-114159.
    """
    off = off_in_ice(reading, step, allowed)
    high, size = np.ravel(off.error.m)[0] > 0, show(abs(off.error), 2)
    return _check(
        off, f"The probe shows {show(reading)} in ice water: right to its display.",
        f"The probe shows {size} too {'much: take that off' if high else 'little: add that to'} every reading, or set it to 0 °C while it is in the "
        "ice, and write the date on it.",
        f"The probe is off by {size}, more than {show(allowed, 2)}: stir and read again. If it stays, judge no holding, cooking or cooling with it "
        "until it is set or replaced.")


@boundary(OffByWeight, reading="g", weight="g", step="g", within="percent",
          valid={"reading": (0, 1e5), "weight": (0.01, 1e5), "step": STEP, "within": (0.01, 20)})
def off_by_weight(reading, weight, step, within):
    """How far a scale is off on a known weight: reading less weight; half a step that it cannot tell; what is allowed.

    reading 0 to 100,000, weight 0.01 to 100,000, step 0.0001 to 100 [g]; within: share of the weight, 0.01 to 20 [percent].
    Source: definition of an error (jcgm-100-2008, B.2.19).
    """
    return reading - weight, step / 2, np.maximum(within * weight, step / 2)


def check_weight(reading, weight, step, within=Q_(1.0, "percent")):
    """A known weight in the middle of the pan, near to what you weigh on this scale.

    As `off_by_weight`; off by a larger share than `within` the scale is not used, our limit. Returns a `Check`. One weight says nothing of
    the rest of the range: a second one should show the same share.  Source: common practice.
    """
    off = off_by_weight(reading, weight, step, within)
    share = show((abs(off.error) / weight).to("percent"), 2)
    times = (weight / reading).m_as("") if np.all(reading.m > 0) else 0.0
    return _check(
        off, f"The scale shows {show(reading, 4)} for {show(weight, 4)}: right to its display.",
        f"The scale shows {show(abs(off.error), 2)} too {'much' if np.ravel(off.error.m)[0] > 0 else 'little'} ({share}): level it, set it with its "
        f"own weight, or multiply what it shows by {show(times, 4)}.",
        f"The scale is off by {share}: level, out of the draught, fresh battery, set it again. Until then weigh nothing small on it.")


@boundary(OffByWeight, trickled="g", lifted="g", step="g", valid={"trickled": (0, 1e4), "lifted": (0.001, 1e4), "step": STEP})
def off_by_trickle(trickled, lifted, step):
    """What a scale did not count while powder trickled in; a step that it cannot tell; what is allowed, 1 % (our limit).

    trickled: shown after the trickle, 0 to 10,000; lifted: shown after lifting the bowl and setting it down again, 0.001 to 10,000; step
    0.0001 to 100 [g]; the error is below 0 where powder was swallowed.  Source: definition.
    """
    return trickled - lifted, step, np.maximum(0.01 * lifted, step)


def slow_powder(trickled, lifted, step):
    """Does the scale swallow slow powder? Trickle it in grain by grain, read, lift the bowl, set it down, read again.

    Many scales take a slow drift for their own and follow it to zero. As `off_by_trickle`; returns a `Check`.  Source: common practice.
    """
    off = off_by_trickle(trickled, lifted, step)
    lost = f"{show(lifted, 3)} lie there, the scale counted {show(trickled, 3)} while they trickled in"
    return _check(
        off, f"{lost}: the same within a step. It counts slow powder.",
        f"{lost}: lift the bowl and set it down before you trust the last grams.",
        f"{lost}: weigh powder into a small cup apart and tip it onto the pan at once, or lift the bowl and set it down for every reading.")


Electrode = record("Electrode", slope="percent", offset="")


@boundary(Electrode, acid="", neutral="", acid_buffer="", neutral_buffer="",
          valid={"acid": (0, 14), "neutral": (0, 14), "acid_buffer": (1, 6), "neutral_buffer": (6.5, 8)})
def electrode(acid, neutral, acid_buffer=4.01, neutral_buffer=7.00):
    """Slope and offset of a pH meter from its readings in two buffers.

    acid, neutral : what it shows in the two, 0 to 14; acid_buffer, neutral_buffer : what the bottles say at that temperature, 1 to 6 and
    6.5 to 8
    returns slope: the readings' span over the buffers' [percent]; offset: reading less buffer, in the neutral one
    Source: straight line through two points (own-derivation).
    """
    return (neutral - acid) / (neutral_buffer - acid_buffer), neutral - neutral_buffer


@boundary("", reading="", slope="percent", offset="", neutral_buffer="",
          valid={"reading": (0, 14), "slope": (10, 200), "offset": (-7, 7), "neutral_buffer": (6.5, 8)})
def true_ph(reading, slope, offset, neutral_buffer=7.00):
    """The pH behind a reading of a meter whose slope and offset are known: buffer + (reading - offset - buffer) / slope.

    reading 0 to 14; slope [percent], 10 to 200; offset -7 to 7; neutral_buffer 6.5 to 8; a pure number.  Source: `electrode` turned round.
    """
    return neutral_buffer + (reading - offset - neutral_buffer) / slope


def two_point_ph(acid, neutral, acid_buffer=4.01, neutral_buffer=7.00):
    """A pH meter in two fresh buffers, rinsed between, all at one temperature.

    As `electrode`; returns a `Check` whose error is what a meter set in the neutral buffer alone is wrong by in the acid one.
    Source: ph-slope-sheet (slope 85 to 105 %, offset up to 30 mV, half a pH unit), all-about-ph (good: 95 to 102 %).
    """
    slope, offset = electrode(acid, neutral, acid_buffer, neutral_buffer)
    if np.ndim(offset):
        raise OutOfRange("a check is one reading at a time")
    error = (acid - offset) - acid_buffer
    percent, shown = slope.m_as("percent"), f"slope {show(slope, 3)}, offset {plain(offset, 2)}"
    if 95 <= percent <= 102 and abs(offset) <= 0.05:
        return Check(error, "right", f"The meter is right: {shown}.")
    if 85 <= percent <= 105 and abs(offset) <= 0.5:
        return Check(error, "correct", f"Set it in both buffers ({shown}); set in the neutral one alone it is wrong by {plain(abs(error), 1)} near pH "
                                       f"{plain(acid_buffer, 2)}.")
    return Check(error, "stop", f"Do not use it ({shown}): fresh buffers first, and the right bottle; then clean the bulb, soak it, or replace it.")


@boundary(OffInWater, reading="brix", step="brix", allowed="brix", valid={"reading": (-5, 10), "step": (0.01, 5), "allowed": (0.01, 5)})
def off_in_water(reading, step, allowed):
    """How far a refractometer is off on distilled water, which has 0 °Brix; half a step that it cannot tell; what is allowed.

    reading -5 to 10, step of the scale and allowed 0.01 to 5 [brix].  Source: definition of the degree Brix.
    """
    return reading, step / 2, np.maximum(allowed, step / 2)


def refractometer_zero(reading, step=Q_(0.2, "brix"), allowed=Q_(1.0, "brix")):
    """A refractometer on a drop of distilled water at its own temperature, prism clean and dry before.

    As `off_in_water`; returns a `Check`.  Source: common practice; 1 °Brix is our limit.
    """
    off = off_in_water(reading, step, allowed)
    shown = f"It shows {show(reading, 2)} on water"
    return _check(
        off, f"{shown}: right to its scale.", f"{shown}: turn its screw to 0, or take that off every reading.",
        f"{shown}, too far: wipe prism and lid, fresh distilled water, let it come to one temperature, set it to 0. Tap water and dried sugar both "
        "read as Brix.")
