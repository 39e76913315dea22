"""Explorers of lesson 40: the ice that is drawn is the ice that is said; measured points lie on the curve; the base holds what is set."""
import itertools

import numpy as np
import pytest

from kitchenlib.teaching.explorers import freezing_curve as explore
from kitchenlib.teaching.figures import Look
from kitchenlib.units import Q_


def drawn_area(crystals):
    """Area of all closed rings of a path, by the surveyor's formula."""
    path = crystals.get_path()
    starts = [*np.flatnonzero(path.codes == path.MOVETO), len(path.codes)]
    rings = [path.vertices[one:other] for one, other in itertools.pairwise(starts)]
    return sum(abs(np.sum(ring[:-1, 0] * ring[1:, 1] - ring[1:, 0] * ring[:-1, 1])) / 2 for ring in rings)


@pytest.mark.parametrize("temperature", [-20, -12, -8, -4, -2])
def test_the_ice_is_drawn_by_its_area(temperature):
    reading = explore.curve.at(temperature=temperature)
    picture = explore.curve.picture(Look())
    picture.show(explore.curve.place, reading)
    assert drawn_area(picture.moving["crystals"]) == pytest.approx(reading["area"], rel=1e-9, abs=1e-12)


def test_cells_fill_the_field():
    corners, middles, codes = explore._cells()
    assert len(corners) == len(middles) == len(codes)
    assert corners.min() == pytest.approx(0, abs=1e-9) and corners.max() == pytest.approx(1, abs=1e-9)


def test_area_by_hand():
    """25 °Brix at -8 °C: 0.528 of the mass is ice (dossier's other program); ice 917, 53 °Brix syrup 1,246 kg/m³ (sugar table at 20 °C, memory)."""
    ice, syrup = 0.528 / 917, 0.472 / 1246
    assert explore.curve.at()["area"] == pytest.approx(ice / (ice + syrup), abs=0.01)


@pytest.mark.parametrize("sugars, dextrose", [(10, 0), (25, 0), (10, 100), (20, 100)])
def test_measured_points_lie_on_the_curve(sugars, dextrose):
    """The lever rule on the handbook's freezing points; the formula keeps within 0.012 of the mass (crc-solutions)."""
    reading = explore.curve.at(sugars=sugars, dextrose=dextrose)
    at, frozen = reading["points"]
    assert len(at) >= 4 and at.min() < -3.5
    assert np.abs(np.interp(at, *reading["curve"]) - frozen).max() / 100 * (1 - sugars / 100) < 0.012


def test_no_measured_points_where_none_were_measured():
    for settings in ({"dextrose": 50}, {"salt": 1}, {"alcohol": 1}, {"base": "dairy: buttermilk ice"}):
        assert explore.curve.at(**settings)["points"].size == 0


@pytest.mark.parametrize("base", list(explore.BASES))
def test_the_base_holds_what_is_set(base):
    mix = explore._base(explore._liquid(explore.BASES[base]), 0.20, 0.5, 0.01, 0.03)
    assert mix.kg == pytest.approx(1) and mix.si_share("sugars") == pytest.approx(0.20) and mix.si_share("alcohol") == pytest.approx(0.03)


def test_a_vegetable_base_wants_minus_3_to_minus_4():
    """Common practice; salt and no sugar added. At -8 °C it is hard."""
    reading = explore.curve.at(base="savoury: carrot ice", sugars=3.5, salt=0.6, temperature=-8)
    assert Q_(-4, "degC") <= reading["cold"] < reading["warm"] <= Q_(-3, "degC")
    assert "too hard" in reading["words"] and reading["frozen"].mid.m > 80


def test_swapping_sucrose_for_dextrose_softens_and_sweetens_less():
    reading = explore.balance.at(out=50, into="dextrose", grams=50)
    assert reading["after sweet"] < reading["before sweet"] and reading["after frozen"] < reading["before frozen"]
    assert reading["after cold"] < reading["before cold"] and reading["after power"] > reading["before power"]


def test_no_more_sugar_comes_out_than_is_in():
    reading = explore.balance.at(base="savoury: carrot ice", out=100, grams=0)
    assert reading["gone"].m == 0 and "no more sugar" in reading["words"]
    assert reading["after frozen"].m == pytest.approx(reading["before frozen"].m)
