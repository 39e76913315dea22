"""Explorers of lesson 20: what is special to them; the rest is held for all explorers together."""
import numpy as np
import pytest

from kitchenlib import spheres
from kitchenlib.spread import Spread
from kitchenlib.teaching.explorers import calcium_bath as explore
from kitchenlib.units import Q_


def test_lifting_does_not_stop_it_and_reverse_does():
    drained = explore.shell.at(hold=60)
    assert drained["shell"].mid > 2 * drained["at_lift"].mid and drained["shell"].mid > explore.shell.at(hold=60, rinse=30)["shell"].mid
    reverse = explore.shell.at(method="reverse", hold=60, rinse=30)
    assert reverse["shell"].mid.m == pytest.approx(reverse["at_lift"].mid.m, rel=0.05) and "liquid heart" in reverse["words"]


def test_words_of_both_ends():
    assert "held = soft jelly bead" in explore.shell.at(diameter=2, bath=300, hold=60)["words"]
    assert ": liquid heart." in explore.shell.at(diameter=30, bath=60, rinse=60)["words"]


def test_endless_soak_ends_between_the_shortcut_for_the_bath_and_for_bath_and_lift():
    """On the spoon the surface holds less than the bath and more than none (own-derivation: proof in `shrinking_core`)."""
    soaked = explore.shell.at(diameter=4, bath=60, rinse=60, hold=60, hold_in="stirred liquid")
    capacity, speed = Q_(5 / 198.106 * 0.45, "mol/L"), Q_(0.7e-9, "m**2/s")
    low, high = (spheres.shrinking_core(Q_(seconds, "s"), Q_(4, "mm"), Q_(34.01, "mmol/L"), capacity, speed).m for seconds in (60, 65))
    assert 1.01 * low < soaked["shell"].mid.m < high


@pytest.mark.parametrize("product, factor", [("our alginate", 1.44), ("their alginate", 0.64)])
def test_a_cut_sphere_kept_on_the_shelf_is_offered_and_moves_the_shell_by_its_root(own_folder, product, factor):
    spheres.keep(product, Spread(0.9 * factor, factor, 1.1 * factor))
    assert product in explore.alginates()
    own, plain = (explore.shell.at(product=name, diameter=30, bath=60)["at_lift"] for name in (product, "sodium alginate"))
    assert own.mid.m / plain.mid.m == pytest.approx(factor ** 0.5, rel=0.01)
    assert own.high.m / own.low.m < plain.high.m / plain.low.m, "narrower than what print leaves open"


def test_same_calcium_is_the_same_shell_and_the_same_grams_are_not():
    """Molar masses: 308.29 / 147.01 (periodictable, tests/test_calcium.py)."""
    swapped = explore.swap.at(other="calcium lactate pentahydrate")
    assert swapped["equal"].m == pytest.approx(5 * 308.29 / 147.01, rel=2e-3) and swapped["share"].m == pytest.approx(100 * 147.01 / 308.29, rel=2e-3)
    assert swapped["shells"][0] == swapped["shells"][2] > swapped["shells"][1]


def test_a_salt_that_cannot_stand_in_is_said_and_dry_chloride_warned_of():
    assert "does not dissolve" in explore.swap.at(dose=1.5, other="calcium gluconate monohydrate")["words"]
    assert "does not dissolve" not in explore.swap.at(dose=0.5, other="calcium gluconate monohydrate")["words"]
    assert explore.swap.at(other="calcium chloride anhydrous")["cautions"] and not explore.swap.at()["cautions"]


def test_names_without_a_hydrate_are_not_offered():
    assert "calcium chloride" not in explore.salts() and "calcium chloride hexahydrate" in explore.salts()
    assert not any("juice" in name or "milk" in name for name in explore.salts())


@pytest.mark.parametrize("left, batches", [(80, 5.6), (50, 16.4)])
def test_batches_until_the_bath_is_changed(left, batches):
    """Own derivation, batch after batch through a second solver: 5.6 and 16.4 batches of 100 g a litre."""
    assert explore.service.at(left=left, spoon=0)["until"] == pytest.approx(batches, abs=0.1)


def test_bubbles_still_drawn_are_those_that_may_be_left():
    for rest in (2, 15, 120):
        reading = explore.rest.at(rest=rest)
        left = explore.BUBBLES[np.isfinite(reading["height"])]
        assert left.size == 0 or left.max() <= 1.001 * reading["bubble"].mid.m
        assert np.isnan(reading["height"]).any()


def test_rest_grows_with_depth_and_with_one_over_bubble_squared():
    """Stokes' law: twice the depth, twice the time; the largest bubble left goes with one over the root of the rest."""
    assert explore.rest.at(depth=100)["clear"].mid.m_as("min") == pytest.approx(2 * explore.rest.at(depth=50)["clear"].mid.m_as("min"), rel=1e-3)
    short, long = (explore.rest.at(rest=Q_(minutes, "min"))["bubble"].mid.m for minutes in (20, 80))
    assert short / long == pytest.approx(2, rel=5e-3)


def test_a_spent_bath_is_said_in_words():
    words = explore.service.at(volume=0.5, batch=400, diameter=2, bath=300, batches=60)["words"]
    assert "spent" in words and "very first batch" in words and "×10" not in words
