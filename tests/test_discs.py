"""discs: shares of the area, no overlaps, flat sides by power, the same picture every time."""
import numpy as np
import pytest

from kitchenlib import discs
from kitchenlib.units import OutOfRange, Q_


def share(number):
    return Q_(number, "percent")


def outline_area(made):
    x, y = np.moveaxis(made.outline - made.centre[:, None], 2, 0)
    return 0.5 * np.abs((x * np.roll(y, -1, 1) - y * np.roll(x, -1, 1)).sum(axis=1)).sum()


def overlaps(made):
    """How far the round discs of each pair, over the square's edges too, reach into each other."""
    apart = made.centre[:, None] - made.centre[None]
    distance = np.sqrt(((apart - np.round(apart)) ** 2).sum(axis=2)) + 9 * np.eye(len(made.radius))
    return (made.radius[:, None] + made.radius[None] - distance).max()


@pytest.mark.parametrize("percent", (1, 30, 64, 74, 80, 81.9))
def test_below_jamming_round_discs_that_do_not_overlap(percent):
    made = discs.packed(share(percent))
    assert len(made.radius) == 600 and overlaps(made) < 1e-9 and not made.flat.any()
    assert np.pi * (made.radius ** 2).sum() == pytest.approx(percent / 100, rel=1e-9)


@pytest.mark.parametrize("percent", (83, 86, 90, 94, 97))
def test_above_it_they_are_pressed_flat_and_keep_their_area(percent):
    made = discs.packed(share(percent))
    assert outline_area(made) == pytest.approx(percent / 100, abs=0.006)
    assert 0 < made.flat.mean() <= 1 and (made.flat >= 0).all()
    reach = np.linalg.norm(made.outline - made.centre[:, None], axis=2)
    assert (reach > 0).all() and (reach <= made.radius[:, None] * (1 + 1e-9)).all()


def test_flatter_with_more_oil_and_no_two_outlines_cross():
    flats = [discs.packed(share(percent)).flat.mean() for percent in (80, 84, 88, 92, 96)]
    assert flats == sorted(flats) and flats[0] == 0
    made = discs.packed(share(92), 100)
    for i, outline in enumerate(made.outline[:20]):                                        # by power each place is its own disc's
        apart = outline[:, None] - made.centre[None]
        power = ((apart - np.round(apart)) ** 2).sum(axis=2) - made.radius[None] ** 2
        assert (power[:, i] <= power.min(axis=1) + 1e-9).all()


def test_the_same_picture_every_time_and_made_once():
    first = discs.packed(share(85))
    discs._jammed.cache_clear(), discs._neighbours.cache_clear()
    again = discs.packed(share(85))
    assert np.array_equal(first.outline, again.outline)
    for percent in np.linspace(20, 97, 20):
        discs.packed(share(float(percent)))
    assert discs._jammed.cache_info().misses == discs._neighbours.cache_info().misses == 1      # made once, then rescaled


@pytest.mark.parametrize("percent, count", [(0, 600), (99, 600), (50, 5), (50, 5000)])
def test_packing_refuses(percent, count):
    with pytest.raises(OutOfRange):
        discs.packed(share(percent), count)
