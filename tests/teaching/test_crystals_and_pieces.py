"""What is special in the explorers of lesson 42: curves between solved sizes, the rest between the solver's rows, room before nitrogen."""
import re

import numpy as np
import pytest

from kitchenlib import cryo, pieces
from kitchenlib.tables import row
from kitchenlib.teaching.explorers import crystals_and_pieces as explore
from kitchenlib.teaching.figures import Look
from kitchenlib.units import Q_

COLD = ("still freezer", "nitrogen bath", "nitrogen stirred hard")


@pytest.mark.parametrize("place", COLD)
@pytest.mark.parametrize("shape, size", [("sphere", 5), ("sphere", 25), ("slab", 33)])
def test_times_between_the_solved_sizes_are_those_of_the_solver(place, shape, size):
    cold, berry, across = row(place), row("strawberry"), Q_(size, "mm")
    got = explore.piece.at(place=place, shape=shape, size=size)
    assert got["solved"].m_as("s") == pytest.approx(
        pieces.freezing_time(explore.START, explore.MIDDLE, cold, berry, shape, across).m_as("s"), rel=0.006)
    assert got["plank"].m_as("s") == pytest.approx(pieces.plank(cold, berry, shape, across).time.m_as("s"), rel=0.003)
    if place == "still freezer":
        assert got["enough"] is None, "at -18 °C nothing comes to an even -18 °C"
    else:
        assert got["enough"].m_as("s") == pytest.approx(pieces.dip(explore.START, explore.EVEN, cold, berry, shape, across).time.m_as("s"), rel=0.006)


@pytest.mark.parametrize("dip, rest", [(66, 0), (66, 1), (66, 7), (20, 13), (0, 5), (120, 30)])
def test_the_rest_is_what_a_run_of_that_rest_gives(dip, rest):
    got = explore.piece.at(place="nitrogen bath", size=25, dip=dip, rest=rest)
    run = pieces.history(explore.START, Q_([dip, 60 * rest], "s"), Q_([-195.8, -18], "degC"), Q_([150, 8], "W/m**2/kelvin"), row("strawberry"),
                         "sphere", Q_(25, "mm"))
    assert abs(got["middle_then"].m - run.centre[-1].m) < 1.1 and abs(got["skin_then"].m - run.surface[-1].m) < 1.1
    assert got["inside"][1] == pytest.approx(run.inside[-1].m_as("degC"), abs=1)        # a cell leaves its plateau between two rows


def test_a_dip_to_the_told_second_evens_out_at_the_told_temperature():
    enough = explore.piece.at(place="nitrogen bath", size=20)["enough"]
    assert abs(explore.piece.at(place="nitrogen bath", size=20, dip=enough)["even"].m - explore.EVEN.m) <= 1


@pytest.mark.parametrize("place", explore.places())
def test_the_room_comes_before_nitrogen_and_dry_ice_and_no_amount_is_told(place):
    words = explore.piece.at(place=place)["words"]
    gassy = row(place).temperature < Q_(-60, "degC")
    assert ("lesson 41" in words) == gassy == ("Caution:" in words)
    assert not re.search(r"\d\s?(kg|g|L|mL|litres?|oz|lb)\b", words)


@pytest.mark.parametrize("size", [6, 15, 40])
def test_the_fields_hold_the_same_ice_whatever_the_size(size):
    x, y = explore.crystals_drawn(size)
    inside = (x > 0) & (x < explore.FIELD) & (y > 0) & (y < explore.FIELD)
    assert inside.sum() * np.pi / 4 * size ** 2 / explore.FIELD ** 2 == pytest.approx(explore.ICE_PART, rel=0.12)


def test_the_scoop_stands_as_long_as_the_model_says():
    got = explore.plate.at(base="buttermilk ice", cold=-10)
    alone = cryo.on_plate(cryo.base("buttermilk ice"), Q_(-11, "degC"), Q_(22, "degC"), explore.HUMID, Q_(40, "g"), row("scoop"),
                          row("porcelain plate"), Q_(-10, "degC"))
    assert got["on_cold"].mid.m_as("min") == pytest.approx(alone.stands.m_as("min"), rel=0.02)
    assert got["on_cold"].low < got["on_cold"].mid < got["on_cold"].high and got["on_warm"].mid < got["on_cold"].mid


def test_too_soft_to_stand_is_said_and_drawn():
    got = explore.plate.at(served=-3)
    assert "does not keep its shape" in got["words"] and explore.plate.draw(Look(), served=-3)[0].startswith(b"\x89PNG")
