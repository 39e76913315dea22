"""A slow middle: the series against roots found another way, half spaces, balances and limits."""
import functools
import math

import numpy as np
import pint
import pytest
from scipy.optimize import brentq
from scipy.special import j0, j1, jn_zeros

from kitchenlib import conduction
from kitchenlib.tables import row
from kitchenlib.units import OutOfRange, Q_

GEL = row("watery gel", own=False)
PIECE = dict(start=Q_(80, "degC"), surroundings=Q_(4, "degC"), film=Q_(25, "W/m**2/kelvin"), food=GEL)


@functools.cache
def roots_by_bisection(shape, biot, count):
    """Roots of the eigen-equations as the textbooks print them, between their poles."""
    n = np.arange(count)
    if shape == "slab":
        low, high, equation = n * np.pi, (n + 0.5) * np.pi, lambda z: z * math.sin(z) - biot * math.cos(z)
    elif shape == "cylinder":
        low, high, equation = np.r_[0, jn_zeros(1, count - 1)], jn_zeros(0, count), lambda z: z * j1(z) - biot * j0(z)
    else:
        low, high, equation = n * np.pi, (n + 1) * np.pi, lambda z: (1 - biot) * math.sin(z) - z * math.cos(z)
        low = low + 1e-9
    return np.array([brentq(equation, a, b, xtol=1e-14) for a, b in zip(low, high)])


def long_series(shape, biot, fourier, place, count=140):
    """incropera-dewitt equations 5.42, 5.50, 5.51, with their own factors."""
    z = roots_by_bisection(shape, biot, count)
    if shape == "slab":
        factor, wave = 4 * np.sin(z) / (2 * z + np.sin(2 * z)), np.cos(z * place)
    elif shape == "cylinder":
        factor, wave = 2 / z * j1(z) / (j0(z) ** 2 + j1(z) ** 2), j0(z * place)
    else:
        factor, wave = 4 * (np.sin(z) - z * np.cos(z)) / (2 * z - np.sin(2 * z)), np.sinc(z * place / np.pi)
    return np.sum(factor * wave * np.exp(-z ** 2 * fourier))


@pytest.mark.parametrize("shape", conduction.SHAPES)
@pytest.mark.parametrize("biot", [0.02, 0.4, 1.3, 30])
def test_series_at_any_time_and_place(shape, biot):
    """Early and late; a cylinder's early skin is a half space bent a little: 1e-5, stated 1e-4."""
    for fourier in (2e-4, 8e-4, 0.004, 0.02, 0.2, 1.5):
        for place in (0, 0.5, 0.9, 1):
            got = conduction.difference_left(fourier, biot, shape, place)
            assert got == pytest.approx(long_series(shape, biot, fourier, place), abs=1.5e-5 if shape == "cylinder" else 1e-11)


@pytest.mark.parametrize("shape", conduction.SHAPES)
@pytest.mark.parametrize("biot", [1e-5, 0.5, 1.0, 1.5, 7, 1e6])
def test_roots_stand_between_their_poles(shape, biot):
    count = {"slab": 20, "cylinder": 120, "sphere": 20}[shape]
    assert conduction._roots(biot, shape, count) == pytest.approx(roots_by_bisection(shape, biot, count), rel=1e-9)


@pytest.mark.parametrize("shape, dimensions", [("slab", 1), ("cylinder", 2), ("sphere", 3)])
@pytest.mark.parametrize("biot", [0.5, 1.0, 40])
def test_mean_is_the_mean_over_all_places(shape, dimensions, biot):
    place, weight = np.polynomial.legendre.leggauss(120)
    place = (place + 1) / 2
    for fourier in (1e-4, 1e-3, 0.05, 0.6):
        inside = conduction.difference_left(fourier, biot, shape, place)
        mean = np.sum(weight / 2 * dimensions * place ** (dimensions - 1) * inside)
        assert conduction.mean_left(fourier, biot, shape) == pytest.approx(mean, abs=2e-5 if shape == "cylinder" else 2e-6)


@pytest.mark.parametrize("shape, dimensions", [("slab", 1), ("cylinder", 2), ("sphere", 3)])
def test_limits(shape, dimensions):
    """At once: what crosses the surface. Slack film: lumped. Endless film: the series of a fixed surface (crank's B, slab 8/pi**2 ...)."""
    assert conduction.difference_left(0, 3, shape, 0.7) == pytest.approx(1)
    assert 1 - conduction.mean_left(1e-9, 3, shape) == pytest.approx(dimensions * 3 * 1e-9, rel=1e-3)
    assert conduction.difference_left(2000, 1e-3, shape) == pytest.approx(np.exp(-dimensions * 2), rel=2e-3)
    n = np.arange(1, 60)
    fixed = {"slab": 8 / np.pi ** 2 * np.sum(np.exp(-(2 * n - 1) ** 2 * np.pi ** 2 / 4 * 0.1) / (2 * n - 1) ** 2),
             "cylinder": np.sum(4 / jn_zeros(0, 59) ** 2 * np.exp(-jn_zeros(0, 59) ** 2 * 0.1)),
             "sphere": 6 / np.pi ** 2 * np.sum(np.exp(-n ** 2 * np.pi ** 2 * 0.1) / n ** 2)}[shape]
    assert conduction.mean_left(0.1, 1e6, shape) == pytest.approx(fixed, rel=1e-4)


@pytest.mark.parametrize("shape", conduction.SHAPES)
def test_time_and_back(shape):
    left, biot = np.array([0.9999, 0.9, 0.5, 0.01, 1e-6])[:, None], np.array([1e-3, 0.7, 1.0, 12, 1e4])
    for place in (0, 0.6, 1):
        fourier = conduction.fourier_for(left, biot, shape, place)
        assert fourier.shape == (5, 5) and np.all(np.diff(fourier, axis=0) > 0)
        back = conduction.difference_left(fourier, biot, shape, place)
        late = fourier > 1e-9                            # a surface under a fierce film is chilled before the first tick
        assert back[late] == pytest.approx(np.broadcast_to(left, (5, 5))[late], rel=1e-7)
    assert conduction.fourier_for(1, 2, shape) == 0


def test_a_surface_chilled_at_once_takes_no_time():
    assert conduction.fourier_for(1 - 1e-12, 1e5, "slab", 1) == 0
    assert conduction.time_until(((2.0, "slab", 0.0, 1.0),), np.array([0.5, 0.0, -1.0]))[1:] == pytest.approx([np.inf, np.inf])


def test_the_first_term_alone_is_good_from_fourier_number_0_2():
    """The textbook's rule (incropera-dewitt, 5.5.2); before that it is far off: a sphere at Bi 10 would begin at 1.9249."""
    def first(fourier, biot, shape):
        found = conduction.first_root(biot, shape)
        return found.factor * math.exp(-found.root ** 2 * fourier)
    assert first(0, 10, "sphere") == pytest.approx(1.9249, abs=6e-5)
    for shape in conduction.SHAPES:
        assert first(0.2, 5, shape) == pytest.approx(conduction.difference_left(0.2, 5, shape), abs=0.02)
        assert first(0.5, 5, shape) == pytest.approx(conduction.difference_left(0.5, 5, shape), abs=1e-3)


def test_short_cylinder_and_box_are_products():
    """incropera-dewitt 5.8; here by hand from the dimensionless functions."""
    conductivity, diffusivity = 0.60, 0.60 / (1000 * 4180)
    hour = Q_(1, "hour")
    got = conduction.inside(hour, shape="cylinder", thickness=Q_(80, "mm"), height=Q_(60, "mm"), **PIECE)
    across = diffusivity * 3600 / 0.04 ** 2, 25 * 0.04 / conductivity, "cylinder"
    along = diffusivity * 3600 / 0.03 ** 2, 25 * 0.03 / conductivity, "slab"
    by_hand = [4 + 76 * a * b for a, b in (
        (conduction.difference_left(*across), conduction.difference_left(*along)),
        (conduction.mean_left(*across), conduction.mean_left(*along)),
        (conduction.difference_left(*across, 1), conduction.difference_left(*along)))]
    assert [t.m_as("degC") for t in got] == pytest.approx(by_hand)
    cube = conduction.inside(hour, shape="box", thickness=Q_(60, "mm"), height=Q_(60, "mm"), length=Q_(60, "mm"), **PIECE)
    assert cube.centre.m == pytest.approx(4 + 76 * conduction.difference_left(*along) ** 3)
    assert cube.mean.m == pytest.approx(4 + 76 * conduction.mean_left(*along) ** 3)


def test_long_cylinder_is_endless_and_flat_box_a_slab():
    endless = conduction.core_time(target=Q_(30, "degC"), shape="cylinder", thickness=Q_(40, "mm"), **PIECE)
    assert conduction.core_time(target=Q_(30, "degC"), shape="cylinder", thickness=Q_(40, "mm"), height=Q_(2500, "mm"), **PIECE).m == \
        pytest.approx(endless.m, rel=1e-3)
    slab = conduction.core_time(target=Q_(30, "degC"), shape="slab", thickness=Q_(20, "mm"), **PIECE)
    assert conduction.core_time(target=Q_(30, "degC"), shape="box", thickness=Q_(20, "mm"), height=Q_(2500, "mm"), length=Q_(2500, "mm"),
                                **PIECE).m == pytest.approx(slab.m, rel=1e-3)


@pytest.mark.parametrize("shape, sizes", [("sphere", {}), ("slab", {}), ("cylinder", {"height": Q_(30, "mm")}),
                                          ("box", {"height": Q_(50, "mm"), "length": Q_(90, "mm")})])
def test_core_time_is_when_the_centre_is_there(shape, sizes):
    takes = conduction.core_time(target=Q_(20, "degC"), shape=shape, thickness=Q_(40, "mm"), **sizes, **PIECE)
    then = conduction.inside(takes, shape=shape, thickness=Q_(40, "mm"), **sizes, **PIECE)
    assert then.centre.m == pytest.approx(20, abs=1e-6)
    assert max(then.surface.m, then.mean.m) < then.centre.m      # the middle of a face may be warmer than the mean: corners are cold


def test_warming_runs_the_other_way():
    warmed = conduction.core_time(Q_(4, "degC"), Q_(50, "degC"), Q_(80, "degC"), PIECE["film"], GEL, "sphere", Q_(30, "mm"))
    cooled = conduction.core_time(Q_(80, "degC"), Q_(34, "degC"), Q_(4, "degC"), PIECE["film"], GEL, "sphere", Q_(30, "mm"))
    assert warmed.m == pytest.approx(cooled.m)


def test_four_times_the_time_for_twice_the_thickness_where_conduction_decides():
    fierce = dict(PIECE, film=Q_(1e5, "W/m**2/kelvin"))
    thin, thick = (conduction.core_time(target=Q_(20, "degC"), shape="slab", thickness=Q_(x, "mm"), **fierce).m for x in (30, 60))
    assert thick / thin == pytest.approx(4, rel=2e-3)


def test_same_in_any_unit():
    metric = conduction.core_time(target=Q_(20, "degC"), shape="sphere", thickness=Q_(25.4, "mm"), **PIECE)
    other = conduction.core_time(Q_(176, "degF"), Q_(68, "degF"), Q_(277.15, "kelvin"), Q_(0.0025, "W/cm**2/kelvin"), GEL, "sphere",
                                 Q_(1, "inch"))
    assert other.m == pytest.approx(metric.m, rel=1e-9)


def test_core_of_biot_keeps_its_dimension():
    bare = conduction.biot.si(Q_(25, "W/m**2/kelvin"), type("Food", (), {"si": lambda self, name: Q_(0.6, "W/m/kelvin")})(), Q_(20, "mm"))
    assert bare.to("dimensionless").m == pytest.approx(25 * 0.01 / 0.6)


@pytest.mark.parametrize("change, words", [
    (dict(target=Q_(4, "degC")), "never reached"), (dict(target=Q_(2, "degC")), "never reached"),
    (dict(target=Q_(85, "degC")), "away from"),
    (dict(surroundings=Q_(80, "degC")), "never reached"), (dict(start=Q_(float("nan"), "degC")), "number"),
    (dict(film=Q_(float("inf"), "W/m**2/kelvin")), "film"), (dict(thickness=Q_(0, "mm")), "thickness"),
    (dict(shape="sphere", height=Q_(20, "mm")), "one size"), (dict(shape="box"), "three sizes"),
    (dict(shape="slab", length=Q_(20, "mm")), "one size")])
def test_refuses_in_a_sentence(change, words):
    good = dict(PIECE, target=Q_(20, "degC"), shape="slab", thickness=Q_(20, "mm"))
    with pytest.raises((OutOfRange, ValueError), match=words) as refused:
        conduction.core_time(**{**good, **change})
    assert "\n" not in str(refused.value)


@pytest.mark.parametrize("bad, error", [(dict(thickness=20), TypeError), (dict(thickness=Q_(20, "g")), pint.DimensionalityError),
                                        (dict(start=Q_(80, "delta_degC")), pint.DimensionalityError), (dict(shape="spere"), ValueError)])
def test_refuses_other_kinds(bad, error):
    with pytest.raises(error):
        conduction.core_time(**{**PIECE, "target": Q_(20, "degC"), "shape": "slab", "thickness": Q_(20, "mm"), **bad})
