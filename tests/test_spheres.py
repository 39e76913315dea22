"""Spheres: printed tables stand in datasets/published/spheres.csv; here limits, balances, a second solver, inverses, refusals.

The second solver (`explicit`) is forward Euler on even cells, written for these tests; it shares nothing with `fronts`.
"""
import math

import numpy as np
import periodictable
import pint
import pytest
from scipy.optimize import brentq
from scipy.special import erf

from kitchenlib import baths, calcium, fronts, spheres, spread, tables
from kitchenlib.spheres import HOLDS, READ, WEAK
from kitchenlib.spread import Spread
from kitchenlib.units import OutOfRange, Q_

GEL = tables.row("sodium alginate", own=False)
S, D = 11.358, 0.70e-9
PEARL = {"diameter": Q_(4, "mm"), "calcium": Q_(34.01, "mmol/L"), "dose": Q_(0.5, "percent"), "alginate": GEL}
MINUTE = {**PEARL, "bath_time": Q_(60, "s")}
FLAT = {"capacity": Q_(S, "mmol/L"), "diffusivity": Q_(D, "m**2/s")}


def mm(quantity):
    return quantity.m_as("mm")


# --- rows and the flat front -----------------------------------------------------------------------------------------------------------
def test_rows_stand_on_their_sources():
    assert GEL.uronate_mass.m == pytest.approx(periodictable.formula("NaC6H7O6").mass, abs=6e-4)
    assert 0.5 * 40.078 / 198.106 == pytest.approx(0.101, abs=6e-4)                   # full exchange, g calcium per g alginate: by hand
    water = GEL.but(calcium_diffusivity=Q_(0.792e-9, "m**2/s"), diffusivity_temperature=Q_(25, "degC"))       # CRC, read
    assert spheres.diffusivity(Q_(20, "degC"), water).m == pytest.approx(GEL.free_diffusivity.m_as("m**2/s"), rel=5e-3)
    ends = GEL.fact("diffusivity_factor")
    assert [ends.low * 0.70, ends.high * 0.70] == pytest.approx([0.4, 1.2], abs=1e-3)
    powder = tables.row("sodium alginate as weighed", own=False)                      # 15 % of moisture, so 11 % less binds
    ratio = spheres.binding_capacity(Q_(0.5, "percent"), powder) / spheres.binding_capacity(Q_(0.5, "percent"), GEL)
    assert ratio.m == pytest.approx(198.106 / 222)
    assert spheres.binding_capacity(Q_(0.5, "percent"), GEL, density=Q_(1046, "kg/m**3")).m == pytest.approx(S * 1.046, rel=1e-4)


@pytest.mark.parametrize("ratio", [1e-4, 0.05, 1, 3, 50, 1e4])
def test_front_constants_solve_their_equations(ratio):
    """From k = 0.0001 to 10,000, against brentq on the logarithm of each equation."""
    for constant, other in ((spheres.front_constant, 0), (spheres.reverse_constant, 1)):
        wrong = lambda x: math.log(math.sqrt(math.pi) * x * (other + erf(x)) / ratio) + x * x
        assert constant(ratio) == pytest.approx(brentq(wrong, 1e-7, 10, xtol=1e-14), rel=1e-9)
    assert spheres.front_constant([ratio, 3.0]).shape == (2,)


def test_shortcut_is_good_to_two_per_cent_below_a_tenth_only():
    assert spheres.shortcut_error(0.1).m < 2 < spheres.shortcut_error(0.2).m
    kitchen = spheres.shortcut_error(np.linspace(3, 10, 8)).m
    assert kitchen.min() == pytest.approx(34, abs=0.5) and kitchen.max() == pytest.approx(78, abs=0.5)


def test_the_formulas_give_lengths():
    """Run on quantities, the bare cores end in mm."""
    asked = {"calcium": Q_(34, "mmol/L"), **FLAT}
    assert spheres.planar_shortcut.si(Q_(60, "s"), **asked).check("[length]")
    assert spheres.reverse_limit.si(Q_(4, "mm"), Q_(34, "mmol/L"), Q_(S, "mmol/L")).check("[length]")
    assert spheres.drained_shell.si(Q_(4, "mm"), Q_(5, "mmol/L"), Q_(S, "mmol/L")).check("[length]")


@pytest.mark.parametrize("hotter, share", [(Q_(20, "degC"), 1.0), (Q_(40, "degC"), (1.134 / 0.692) ** 0.5)])
def test_flat_shell_follows_the_root_of_time_and_diffusivity(hotter, share):
    """Potter et al. 1994 (read): the front goes with the root of time; D at 40 and 20 °C from the dossier's table."""
    moves = spheres.diffusivity(hotter, GEL)
    one, four = (spheres.planar_shell(Q_(t, "s"), Q_(34.01, "mmol/L"), Q_(S, "mmol/L"), moves) for t in (30, 120))
    assert four.m == pytest.approx(2 * one.m)
    assert one.m / spheres.planar_shell(Q_(30, "s"), Q_(34.01, "mmol/L"), **FLAT).m == pytest.approx(share, rel=5e-3)


# --- the history against a second solver ---------------------------------------------------------------------------------------------------
def explicit(radius, stages, ratio=np.inf, cells=160):
    """Shell (m) and uptake (mol/m3 of sphere) at the end of each (seconds, C around, open?): forward Euler, even cells."""
    edges = np.linspace(0, radius, cells + 1)
    volume, area, step = np.diff(edges ** 3) / 3, edges ** 2, radius / cells
    content, out = np.zeros(cells), []
    for seconds, around, is_open in stages:
        count = max(math.ceil(seconds / (0.4 * step ** 2 / D)), 1)
        for _ in range(count if seconds else 0):
            free = np.maximum(content - S, 0)
            flow = np.zeros(cells + 1)
            flow[1:-1] = D * np.diff(free) / step
            flow[-1] = D * (around - free[-1]) / (step / 2) if is_open else 0.0
            content = content + seconds / count * np.diff(flow * area) / volume
            if is_open and around:
                around -= seconds / count * flow[-1] * area[-1] / (ratio * volume.sum())
        share = np.minimum(content, S) @ volume / (S * volume.sum())
        out.append((radius * (1 - np.cbrt(1 - share)), content @ volume / volume.sum()))
    return out


@pytest.mark.parametrize("bath, lift, rinse, hold, hold_in, ratio", [
    (40, 0, 0, 0, "drained", None), (40, 5, 20, 300, "drained", None), (90, 5, 0, 200, "stirred liquid", None), (40, 10, 10, 60, "drained", 3)])
def test_history_agrees_with_a_second_solver(bath, lift, rinse, hold, hold_in, ratio):
    """3 mm pearl, 1 %: shells and uptake at the lift, after the rinse and at service."""
    got = spheres.history(**{**PEARL, "diameter": Q_(3, "mm")}, bath_time=Q_(bath, "s"), lift=Q_(lift, "s"), rinse=Q_(rinse, "s"),
                          hold=Q_(hold, "s"), hold_in=hold_in, bath_ratio=ratio)
    stages = [(bath, 34.01, True), (lift, 0.0, False), (rinse, 0.0, True), (hold, 0.0, hold_in != "drained")]
    told = explicit(1.5e-3, stages, ratio or np.inf)
    assert [mm(got.at_lift), mm(got.after_rinse), mm(got.shell)] == pytest.approx([1e3 * told[i][0] for i in (0, 2, 3)], rel=1e-2)
    assert got.uptake.m == pytest.approx(told[3][1], rel=1e-2)


def test_a_great_sphere_is_flat():
    """50 mm, 20 s: the exact flat front, less 1 % of curvature at most."""
    got = spheres.history(**{**PEARL, "diameter": Q_(50, "mm")}, bath_time=Q_(20, "s"))
    assert mm(got.shell) == pytest.approx(mm(spheres.planar_shell(Q_(20, "s"), Q_(34.01, "mmol/L"), **FLAT)), rel=8e-3)


def test_shell_over_radius_depends_on_one_number():
    """Dossier of spheres, b: 1.5 mm at 30 s and 3 mm at 120 s both 0.184 of the radius."""
    small, great = (spheres.history(**{**PEARL, "diameter": Q_(2 * r, "mm")}, bath_time=Q_(t, "s")).shell.m / r for r, t in ((1.5, 30), (3, 120)))
    assert small == pytest.approx(0.184, abs=1e-3) and great == pytest.approx(small, rel=1e-9)


def test_weak_bath_is_quasi_steady():
    """k = 0.02, t = 0.1 tau leaves a core of 0.8050 R, the shortcut 0.8042 (dossier of spheres, b)."""
    weak = {**PEARL, "calcium": Q_(0.5, "mmol/L"), "citrate": Q_(25 - 11.3576, "mmol/L")}
    time = Q_(0.1 * 25 * 4e-6 / (6 * D * 0.5), "s")
    assert 1 - mm(spheres.history(**weak, bath_time=time).shell) / 2 == pytest.approx(0.8050, abs=8e-4)
    short = spheres.shrinking_core(time, Q_(4, "mm"), Q_(0.5, "mmol/L"), Q_(25, "mmol/L"), Q_(D, "m**2/s"))
    assert 1 - mm(short) / 2 == pytest.approx(0.8042, abs=6e-5)


def test_nothing_is_lost_where_nothing_leaves():
    """Balance to 1e-10 over lift and drained hold; bound and free are all there is."""
    got = spheres.history(**MINUTE, lift=Q_(10, "s"), hold=Q_(2, "hour"))
    after = got.uptakes.m[got.time.m >= 60]
    assert after == pytest.approx(after[0], rel=1e-10)
    volume = np.diff(got.edges.m ** 3) / 8
    assert got.free.m == pytest.approx(got.profiles.m[-1] @ volume, rel=1e-9, abs=1e-9)
    assert got.uptake.m - got.free.m == pytest.approx(11.3576 * (1 - got.core.m / 100), rel=1e-4)
    assert got.shells.m[0] == 0 and (np.diff(got.shells.m) > -1e-6).all() and got.time.m[-1] == pytest.approx(60 + 10 + 7200)


@pytest.mark.parametrize("stirring", ["stirred", "still"])
def test_left_for_good_bath_and_sphere_are_even(stirring):
    """C_end = (C V_bath - S V) / (V_bath + V): 18.9 mmol/L for a bath of twice the spheres (dossier of spheres, c)."""
    got = spheres.history(**PEARL, bath_time=Q_(48, "hour"), bath_ratio=2, stirring=stirring)
    even = baths.forgotten(PEARL["calcium"], Q_(11.3576, "mmol/L"), Q_(500, "g"), Q_(1, "L"))
    assert got.bath.m == pytest.approx(even.bath.m, rel=1e-5) and even.bath.m == pytest.approx(18.9, abs=0.06)
    assert got.core.m == pytest.approx(0, abs=1e-9) and even.gelled.m == 100
    poor = baths.forgotten(Q_(4, "mmol/L"), Q_(10, "mmol/L"), Q_(1, "kg"), Q_(1, "L"))
    assert poor.bath.m == 0 and poor.gelled.m == pytest.approx(40)


@pytest.mark.parametrize("bath", [10, 34.01, 68.02])
@pytest.mark.parametrize("time", [10, 30])
def test_two_limits_after_the_bath(bath, time):
    """Endless soak: exactly the shortcut's shell, whatever k (dossier of spheres, c, limit 2). Nothing washed out: the balance (limit 1).
    A rinse and any hold end between the two."""
    pearl = {**PEARL, "calcium": Q_(bath, "mmol/L"), "bath_time": Q_(time, "s")}
    soaked = mm(spheres.history(**pearl, hold=Q_(48, "hour"), hold_in="stirred liquid", cells=100).shell)
    assert soaked == pytest.approx(mm(spheres.shrinking_core(Q_(time, "s"), Q_(4, "mm"), Q_(bath, "mmol/L"), **FLAT)), rel=5e-3)
    lifted = spheres.history(**pearl)
    drained = spheres.history(**pearl, hold=Q_(48, "hour"))
    assert mm(drained.shell) == pytest.approx(mm(spheres.drained_shell(Q_(4, "mm"), lifted.uptake, Q_(11.3576, "mmol/L"))), rel=2e-3)
    for hold_in in HOLDS:
        rinsed = spheres.history(**pearl, rinse=Q_(15, "s"), hold=Q_(48, "hour"), hold_in=hold_in)
        assert soaked * 0.995 <= mm(rinsed.shell) <= mm(drained.shell)
        assert mm(rinsed.shell) <= mm(rinsed.gels_to) * 1.001


@pytest.mark.parametrize("hold_in", ["stirred liquid", "still liquid"])
def test_hold_ends_even(hold_in):
    """A pearl set through, two days in 1.5 times its volume: (uptake - S) / (1 + 1.5) is left free in gel and liquid."""
    got = spheres.history(**{**PEARL, "bath_time": Q_(20, "min")}, hold=Q_(48, "hour"), hold_in=hold_in, hold_ratio=1.5)
    lifted = spheres.history(**{**PEARL, "bath_time": Q_(20, "min")})
    assert got.core.m == pytest.approx(0, abs=1e-9) and got.free.m == pytest.approx((lifted.uptake.m - 11.3576) / 2.5, rel=1e-3)


def test_hold_in_liquid_of_limited_volume_gives_some_back():
    """Held in equal parts, unstirred or stirred, less is lost than in plenty, and more than drained."""
    shells = [mm(spheres.history(**{**PEARL, "bath_time": Q_(30, "s")}, hold=Q_(1, "hour"), hold_in=where, hold_ratio=litres).shell)
              for where, litres in (("stirred liquid", None), ("stirred liquid", 1), ("drained", None))]
    still = mm(spheres.history(**{**PEARL, "bath_time": Q_(30, "s")}, hold=Q_(1, "hour"), hold_in="still liquid").shell)
    assert shells == sorted(shells) and shells[0] < still < shells[2]


def test_what_print_says_of_directions():
    """Membrane rises with calcium and time and falls with alginate (Chu et al., abstract); a still bath makes it thinner (Inoue 1997)."""
    base = mm(spheres.history(**MINUTE).shell)
    change = lambda **other: mm(spheres.history(**{**MINUTE, **other}).shell)
    assert change(calcium=Q_(68, "mmol/L")) > base < change(bath_time=Q_(90, "s"))
    assert change(dose=Q_(1, "percent")) < base > change(stirring="still")
    assert change(temperature=Q_(5, "degC")) < base == pytest.approx(change(temperature=Q_(20, "degC")), rel=1e-9)


def test_still_bath_is_the_reverse_front_mirrored():
    """Equal D in liquid and gel: calcium comes through liquid at rest to the alginate as out of a reverse sphere, sqrt(pi) x exp(x**2)
    (1 + erf x) = k; exact where flat. A film of Sh = 2 would let through far too little in the first minutes."""
    same = GEL.but(free_diffusivity=GEL.calcium_diffusivity)
    great = {**PEARL, "diameter": Q_(50, "mm"), "alginate": same, "bath_time": Q_(20, "s"), "stirring": "still", "cells": 100}
    flat = mm(spheres.reverse_planar(Q_(20, "s"), PEARL["calcium"], **FLAT))
    assert mm(spheres.history(**great).shell) == pytest.approx(flat, rel=1e-2)
    ball = fronts.body("sphere", 2e-3)
    run = fronts.march(ball, fronts.binding(S, D), 0.0, [(60, fronts.Surroundings(34.01, 0.692e-9 / 2e-3))])
    film = 1e3 * fronts.depth(ball, fronts.gelled_share(ball, run.content[-1], S))
    assert film < 0.5 * mm(spheres.history(**MINUTE, stirring="still").shell) < 0.5 * mm(spheres.history(**MINUTE).shell)


# --- reverse --------------------------------------------------------------------------------------------------------------------------------
def test_reverse_stops_with_the_alginate():
    """Rinsed, the shell stays and the heart is liquid; unrinsed it grows on in what clings, and never past the limit of its calcium."""
    ball = {**PEARL, "diameter": Q_(20, "mm"), "calcium": Q_(64.87, "mmol/L"), "method": "reverse", "bath_time": Q_(120, "s")}
    rinsed = spheres.history(**ball, lift=Q_(5, "s"), rinse=Q_(20, "s"), hold=Q_(1, "hour"))
    assert mm(rinsed.shell) == pytest.approx(mm(rinsed.after_rinse)) and rinsed.time.m[-1] == pytest.approx(3745)
    assert mm(rinsed.at_lift) == pytest.approx(mm(spheres.history(**ball).shell), rel=2e-3)
    assert spheres.outcome(rinsed.core) == "liquid heart"
    swept = spheres.history(**ball, lift=Q_(5, "s"), hold=Q_(1, "hour"), hold_in="stirred liquid")        # the liquid takes the alginate off
    assert [mm(swept.shell), mm(swept.after_rinse)] == pytest.approx([mm(rinsed.shell)] * 2)
    clinging = spheres.history(**ball, hold=Q_(48, "hour"))
    limit = spheres.reverse_limit(Q_(20, "mm"), Q_(64.87, "mmol/L"), Q_(11.3576, "mmol/L"))
    assert mm(rinsed.shell) < mm(clinging.shell) < mm(limit)
    assert clinging.uptake.m + clinging.free.m == pytest.approx(64.87)
    assert clinging.uptake.m == pytest.approx(11.3576 * ((1 + mm(clinging.shell) / 10) ** 3 - 1), rel=1e-4)
    assert clinging.profiles.shape[1] == len(clinging.edges) - 1


# --- in an endless bath: one run -------------------------------------------------------------------------------------------------------------
def test_factor_on_diffusivity_only_stretches_time():
    """Shell with D times f at t is that with D at f t, exactly; so is its spread, without a new run: -24 %, +31 % where flat."""
    times = Q_([5, 30, 60, 200], "s")
    fast = spheres.shell_in_bath(times, **{**PEARL, "alginate": GEL.but(diffusivity_factor=1.6)})
    assert fast.m == pytest.approx(spheres.shell_in_bath(1.6 * times, **PEARL).m, rel=1e-9)
    thin = spread.spread(spheres.shell_in_bath, ("diffusivity_factor",), time=Q_(60, "s"), **{**PEARL, "diameter": Q_(50, "mm")})
    assert [(thin.low / thin.mid).m - 1, (thin.high / thin.mid).m - 1] == pytest.approx([-0.244, 0.309], abs=0.006)
    assert mm(spheres.shell_in_bath(Q_(60, "s"), **PEARL)) == pytest.approx(mm(spheres.history(**MINUTE).shell), rel=6e-3)
    assert mm(spheres.shell_in_bath(Q_(1, "hour"), **PEARL)) == pytest.approx(2, rel=1e-9)


@pytest.mark.parametrize("diameter, calcium_in_bath", [(3, 34.01), (6, 68.02)])
def test_when_a_pearl_gels_through(diameter, calcium_in_bath):
    pearl = {**PEARL, "diameter": Q_(diameter, "mm"), "calcium": Q_(calcium_in_bath, "mmol/L")}
    solid = spheres.solid_after(**pearl)
    assert solid.drained < solid.in_bath
    for share, core in ((0.97, 1), (1.03, 0)):
        drained = spheres.history(**pearl, bath_time=share * solid.drained, hold=Q_(48, "hour"))
        assert drained.uptake.m == pytest.approx(11.3576 * share ** 0.5, rel=1e-2)
        assert (drained.core.m > 0.5) == bool(core)
    assert spheres.history(**pearl, bath_time=1.03 * solid.in_bath).core.m == pytest.approx(0, abs=1e-9)
    assert spheres.history(**pearl, bath_time=0.9 * solid.in_bath).core.m > 0.1


AFTER = {"lift": Q_(5, "s"), "rinse": Q_(30, "s"), "hold": Q_(10, "min"), "hold_in": "still liquid"}
UNTIL = {"at the lift": {}, "drained": {"hold": Q_(48, "hour")}, "soaked": {"hold": Q_(48, "hour"), "hold_in": "stirred liquid"},
         "at service": AFTER}


@pytest.mark.parametrize("read", READ)
def test_bath_time_gives_the_wanted_shell(read):
    time = spheres.bath_time(Q_(0.5, "mm"), **PEARL, read=read, **(AFTER if read == "at service" else {}))
    assert mm(spheres.history(**PEARL, bath_time=time, **UNTIL[read]).shell) == pytest.approx(0.5, rel=8e-3)


def test_twice_the_time_for_a_shell_of_1_41():
    great = {**PEARL, "diameter": Q_(50, "mm")}
    one, more = (spheres.bath_time(Q_(shell, "mm"), **great).m for shell in (0.3, 0.3 * 2 ** 0.5))
    assert more / one == pytest.approx(2, rel=1e-2)


# --- spread, words ---------------------------------------------------------------------------------------------------------------------------
@pytest.mark.parametrize("method", ["direct", "reverse"])
def test_reading_is_the_history_with_its_spread(method):
    settings = {**MINUTE, "rinse": Q_(30, "s"), "hold": Q_(10, "min"), "method": method}
    quick = spheres.reading(**settings)
    for name in ("shell", "at_lift", "core"):
        full, got = spread.spread(spheres.history, WEAK, field=name, **settings), getattr(quick, name)
        assert got.low < got.mid == getattr(quick.history, name) < got.high
        assert [end.m for end in got] == pytest.approx([end.m for end in full], rel=0.08 if name == "core" else 0.03)
    sure = spheres.reading(**{**settings, "alginate": GEL.but(diffusivity_factor=1.0, calcium_binding=0.45)})
    assert sure.shell.low == sure.shell.mid == sure.shell.high


def test_words_of_the_result():
    heart, bead, between = Q_(30, "percent"), Q_(0.2, "percent"), Q_(4, "percent")
    assert spheres.outcome(heart) == "liquid heart" and spheres.outcome(bead) == "held = soft jelly bead"
    assert spheres.outcome(Spread(bead, between, heart)) == "liquid heart or soft jelly bead"
    for rinse, words in ((None, "held = soft jelly bead"), (Q_(60, "s"), "liquid heart")):             # unrinsed it gels through: dossier, c
        assert spheres.outcome(spheres.history(**MINUTE, rinse=rinse, hold=Q_(12, "hour")).core) == words


def test_citrate_takes_the_shell():
    """54.6 mmol/L citrate: k falls from 2.99 to 0.52, thickness to 0.52 of that without (dossier of spheres, f; an upper bound)."""
    binds = [spheres.binding_capacity(PEARL["dose"], GEL, citrate=citrate) for citrate in (None, Q_(54.6, "mmol/L"))]
    assert [34.01 / b.m for b in binds] == pytest.approx([2.99, 0.52], abs=0.006)
    flat = [mm(spheres.planar_shell(Q_(60, "s"), PEARL["calcium"], b, Q_(D, "m**2/s"))) for b in binds]
    assert flat[1] / flat[0] == pytest.approx(0.52, abs=0.006)
    assert mm(spheres.history(**MINUTE, citrate=Q_(54.6, "mmol/L")).shell) < 0.6 * mm(spheres.history(**MINUTE).shell)


def test_same_grams_of_another_salt():
    """Same grams of lactate pentahydrate hold less than half the calcium of chloride dihydrate, and make a thinner shell (dossier, wrong 1)."""
    strengths = [calcium.concentration(Q_(0.5, "percent"), tables.row(salt, own=False), "w/v")
             for salt in ("calcium chloride dihydrate", "calcium lactate pentahydrate")]
    assert strengths[1].m / strengths[0].m == pytest.approx(1 / 2.097, rel=2e-3)
    shells = [mm(spheres.history(**{**MINUTE, "calcium": bath}).shell) for bath in strengths]
    assert shells[1] < 0.8 * shells[0] and shells[0] == pytest.approx(0.391, rel=1e-2)


# --- a cut sphere -----------------------------------------------------------------------------------------------------------------------------
def test_cut_sphere_gives_its_factor_back():
    settings = {**MINUTE, "rinse": Q_(20, "s")}
    for true in (0.5, 1.8):
        cut = spheres.history(**{**settings, "alginate": GEL.but(diffusivity_factor=true)}).shell
        found = spheres.calibrate(Spread(0.95 * cut, cut, 1.05 * cut), **settings)
        assert found.mid == pytest.approx(true, rel=5e-3) and found.low < true < found.high
        assert (found.high / found.low) ** 0.5 > 1.09                                 # shell goes with the root, so D twice as wide
    with pytest.raises(OutOfRange, match="salt"):
        spheres.calibrate(Q_(1.9, "mm"), **settings)


def test_factor_lives_on_the_shelf(own_folder):
    spheres.keep("our alginate", Spread(0.7, 0.8, 0.95))
    spheres.keep("our alginate", Spread(0.72, 0.8, 0.88))                             # a second cut: the newest counts, its kind stands once
    mine = tables.row("our alginate")
    assert mine.diffusivity_factor == 0.8 and mine.fact("diffusivity_factor").high == pytest.approx(0.88)
    assert mine.uronate_mass == GEL.uronate_mass and len((own_folder / "shelf.csv").read_text(encoding="utf-8").splitlines()) == 4
    wide, narrow = (spheres.reading(**{**MINUTE, "alginate": row}).at_lift for row in (GEL, mine))
    assert narrow.mid < wide.mid and narrow.high / narrow.low < wide.high / wide.low
    assert tables.shelf()[1] == ()


# --- the door -----------------------------------------------------------------------------------------------------------------------------------
def test_same_in_other_units():
    other = {"diameter": Q_(0.4, "cm"), "calcium": Q_(0.03401, "mol/L"), "dose": Q_(5, "g/kg"), "alginate": GEL, "bath_time": Q_(1, "min"),
             "temperature": Q_(68, "degF")}
    assert spheres.history(**other).shell.m == pytest.approx(spheres.history(**MINUTE).shell.m, rel=1e-5)


@pytest.mark.parametrize("bad, error", [
    ({"diameter": 4}, TypeError), ({"alginate": "sodium alginate"}, TypeError), ({"calcium": Q_(5, "g/L")}, pint.DimensionalityError),
    ({"bath_time": Q_(-5, "s")}, OutOfRange), ({"rinse": Q_(-1, "s")}, OutOfRange), ({"hold": Q_(math.nan, "s")}, OutOfRange),
    ({"dose": Q_(0.05, "percent")}, OutOfRange), ({"dose": Q_(5, "percent")}, OutOfRange), ({"bath_ratio": 0.5}, OutOfRange),
    ({"diameter": Q_(80, "mm")}, OutOfRange), ({"hold_in": "syrup"}, ValueError), ({"method": "revers"}, ValueError),
    ({"alginate": tables.row("agar", own=False)}, LookupError)])
def test_history_refuses(bad, error):
    with pytest.raises(error):
        spheres.history(**{**MINUTE, **bad})


@pytest.mark.parametrize("seed", range(12))
def test_every_setting_in_range_runs(seed):
    """Corners and the middle of all ranges: nothing leaves what is possible."""
    draw = np.random.default_rng(seed)
    pick = lambda *words: words[draw.integers(len(words))]
    ends = lambda low, high: pick(low, high, math.exp(draw.uniform(math.log(max(low, 0.1)), math.log(high))))
    for _ in range(6):
        got = spheres.history(
            Q_(ends(1, 50), "mm"), Q_(ends(0.5, 1000), "mmol/L"), Q_(ends(0.1, 3), "percent"), GEL.but(diffusivity_factor=ends(0.1, 5)),
            Q_(ends(0.1, 172800), "s"), lift=Q_(ends(0, 3600), "s"), rinse=Q_(ends(0, 3600), "s"), hold=Q_(ends(0, 172800), "s"),
            hold_in=pick(*HOLDS), method=pick("direct", "direct", "reverse"), stirring=pick("stirred", "still"), bath_ratio=pick(None, 1, 10),
            hold_ratio=pick(None, 0.1, 1), temperature=Q_(ends(0, 60), "degC"), citrate=pick(None, Q_(500, "mmol/L")), cells=pick(10, 20, 60))
        assert 0 < got.shell.m <= got.edges.m[-1] * (1 + 1e-9) and -1e-9 < got.core.m <= 100
        assert got.uptake.m > 0 and got.free.m > -1e-6 and got.bath.m >= 0 and (np.diff(got.time.m) >= 0).all()
        assert len(got.time) == len(got.shells) == len(got.profiles) and got.profiles.m.min() >= 0


@pytest.mark.parametrize("call", [
    lambda: spheres.bath_time(Q_(2, "mm"), **PEARL),
    lambda: spheres.bath_time(Q_(0.03, "mm"), **{**PEARL, "calcium": Q_(900, "mmol/L")}, read="at service", hold=Q_(1, "hour"))])
def test_refuses_and_says_the_mend(call):
    with pytest.raises(OutOfRange, match="solid_after|weaken"):
        call()
