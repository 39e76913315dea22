"""What is special to lesson 30: the picture shows its share to the edge, nothing stops at the marks, the egg is held, two rescues stay two."""
import numpy as np
import pytest
from matplotlib.path import Path

from kitchenlib.teaching.explorers.oil_in_water import OIL_WINDOWS, THICK_WINDOWS, in_window, oil, thick
from kitchenlib.units import Q_


def covered(share, droplet, window):
    """Share of a window that lies under droplets, by looking at a grid of points up to its very edges."""
    places = (np.arange(150) + 0.5) / 150
    points = np.stack(np.meshgrid(places, places), axis=-1).reshape(-1, 2)
    hit = np.zeros(len(points), bool)
    for outline in in_window(share, droplet, window):
        near = (np.abs(points - outline.mean(axis=0)) < 2 * np.ptp(outline, axis=0)).all(axis=1) & ~hit
        hit[near] = Path(outline).contains_points(points[near])
    return hit


@pytest.mark.parametrize("share", [20, 50, 74, 92])
@pytest.mark.parametrize("droplet, window", [(2, 40), (6, 80)])
def test_the_picture_covers_its_share_up_to_the_edges(share, droplet, window):
    hit = covered(share, droplet, window)
    assert hit.mean() == pytest.approx(share / 100, abs=0.035), "by area; a part of a square that repeats holds a little more or less"
    rim = np.ones((150, 150), bool)
    rim[15:-15, 15:-15] = False
    assert hit.reshape(150, 150)[rim].mean() == pytest.approx(share / 100, abs=0.08), "no gap at the edges"


@pytest.mark.parametrize("droplet", [3, 6])
def test_droplets_are_drawn_as_wide_as_they_are(droplet):
    outlines = in_window(60, droplet, 100) * 100
    across = np.ptp(outlines[:, :, 0], axis=1)
    assert (across ** 3).sum() / (across ** 2).sum() == pytest.approx(droplet, rel=0.05), "Sauter mean"


@pytest.mark.parametrize("windows, finest", [(OIL_WINDOWS, 4), (THICK_WINDOWS, 2)])
def test_never_more_droplets_than_a_panel_can_move(windows, finest):
    for end, wide in windows:
        assert len(in_window(97, finest, wide)) < 800
        finest = 1.001 * end


@pytest.mark.parametrize("share", [0, 1, 30, 63.999, 64, 64.001, 74, 74.048, 74.05, 88, 92, 95])
def test_thickness_has_words_at_every_mark_and_no_end(share):
    words = thick.at(share=share)["words"]
    assert ("pours" in words) == (share < 64) and ("solid-like" in words or "touch" in words) == (share >= 64)


def test_tight_gets_water_and_split_a_new_base():
    assert "a spoon at a time" in oil.at(yolks=1, water=20, oil=210)["words"]
    late = oil.at(yolks=1, water=10, oil=1000)["words"]
    assert "clean bowl" in late and "a spoon at a time" not in late
    assert "spoon" not in oil.at(yolks=1, water=100, oil=200)["words"].split("fragile from")[1]


def test_room_and_yolk_swap_places_where_there_is_water_enough():
    assert "The room bites first" in oil.at(yolks=1, water=20)["words"]
    assert "not sure" in oil.at(yolks=1, water=300, oil=3000, tool="stick blender")["words"]


def test_the_count_of_water_only_is_the_stricter_and_mass_the_lower():
    reading = oil.at()
    assert reading["mass"] < reading["share"] < reading["strict"]
    assert reading["mass"].m_as("percent") == pytest.approx(100 * 200 / (200 + 20 + 17)), "200 g of oil, 20 g of water, 17 g of yolk"


@pytest.mark.parametrize("settings, told", [
    ({}, "Pasteurised yolk: keep it at 5 °C or colder"), ({"egg": "raw"}, "Raw yolk: keep it at 5 °C or colder")])
def test_any_egg_is_held_cold_and_nothing_is_called_safe(settings, told):
    words = oil.at(**settings)["words"]
    assert told in words and "local code" in words and "safe" not in words


def test_what_is_no_emulsion_is_said():
    assert "oil alone is no emulsion" in oil.at(yolks=0, water=0)["words"]
    assert "run together" in oil.at(yolks=0, water=Q_(100, "g"))["words"] and not oil.at(yolks=0)["cautions"]
