"""What is special to the explorers of lesson 01: sums by hand, the package uncertainties, ways out that hold."""
import math

import pytest
from uncertainties import ufloat

from kitchenlib.teaching.explorers import weighing_and_percent as explore
from kitchenlib.units import Q_


@pytest.mark.parametrize("base, settings, share", [                               # by hand
    ("of the total", {}, 0.03), ("on the liquid", {}, 3 / 103), ("on the flour", {"formula": 150}, 0.02), ("grams in 100 mL", {"density": 1.2}, 0.025)])
def test_share_behind_a_number(base, settings, share):
    made = explore.percent.at(base=base, number=3, rest=400, **settings)
    assert made["share"].m_as("") == pytest.approx(share)
    assert made["grams"].m_as("g") == pytest.approx(400 * share / (1 - share))
    assert made["told"][base].m_as("percent" if "mL" not in base else "g/L") == pytest.approx(3)


def test_the_same_mix_told_on_another_base_comes_back():
    told = explore.percent.at(base="of the total", number=12, rest=500)
    liquid = explore.percent.at(base="on the liquid", number=told["told"]["on the liquid"], rest=500)
    assert liquid["grams"].m == pytest.approx(told["grams"].m)


def test_a_dough_holds_its_flour():
    made = explore.percent.at(base="on the flour", number=60, formula=120)
    assert made["share"].m_as("") == pytest.approx(60 / 160) and "make 160" in made["words"]


@pytest.mark.parametrize("bowl, readings", [("one reading", 1), ("tared", 2)])
def test_error_of_the_dose_is_that_of_the_package_uncertainties(bowl, readings):
    u = math.sqrt(readings / 12)
    dose = 100 * ufloat(4, u) / ufloat(400, u)
    made = explore.weigh.at(dose=1, batch=400, step="1 g", pot_step="the same scale", bowl=bowl)
    assert made["off"].m_as("") == pytest.approx(2 * dose.s / dose.n)
    assert made["high"].m_as("percent") == pytest.approx(dose.n + 2 * dose.s)


def test_ways_out_are_ways_out():
    made = explore.weigh.at(dose=0.3, batch=300, step="0.1 g", pot_step="the same scale", bowl="one reading", within=5)
    assert made["enough"].m_as("g") == pytest.approx(384.9, abs=0.1)                  # 2 x 0.1 / root 12 / 0.05 / 0.003, by hand
    assert "Not within" in made["words"] and "within 5.0 %" in explore.weigh.at(dose=0.3, batch=420, step="0.1 g", bowl="one reading")["words"]


def test_a_scale_that_shows_nothing_says_so():
    made = explore.weigh.at(dose=0.05, batch=50, step="1 g")
    assert made["ends"] is None and "still shows 0" in made["words"]


def test_display_that_cannot_show_what_is_wanted_shifts_the_dose():
    made = explore.weigh.at(dose=1, batch=240, step="1 g")                            # 2.4 g wanted, 2 g shown
    assert made["shown"] == Q_(2, "g") and made["ends"][0][1] == pytest.approx(100 * 2 / 2.4)
