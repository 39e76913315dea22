"""Lesson 31: nothing in it calls a sauce good to eat; the gate stands at every setting; its pictures' numbers against print."""
import itertools
import json
import random
import re

import pytest

from kitchenlib import keeping, rules, tables
from kitchenlib.files import DATASETS, read_csv
from kitchenlib.tables import row
from kitchenlib.teaching import bank
from kitchenlib.teaching.copies import LESSONS
from kitchenlib.teaching.explorers import NO_PLACE, keeping_a_sauce as explore, places
from kitchenlib.teaching.panel import Choice
from kitchenlib.units import Q_

CLEARS = re.compile(r"\b(un)?safe(ly)?\b|\bok(ay)?\b|\bapproved\b|\bcleared\b|\bharmless\b", re.I)
EXPLORERS = {"jar": explore.jar, "acid": explore.acid, "warm": explore.warm}


def ends(control):
    return control.words() if isinstance(control, Choice) else (control.low, control.start, control.high)


def settings_of(explorer):
    """Every word with every other control at each of its ends, and 60 at random."""
    for name, control in explorer.controls.items():
        for value in ends(control):
            for which in (0, -1):
                yield {other: ends(c)[which] for other, c in explorer.controls.items()} | {name: value}
    dice = random.Random(31)
    for _ in range(60):
        yield {name: dice.choice(c.words()) if isinstance(c, Choice) else dice.uniform(c.low, c.high) for name, c in explorer.controls.items()}


@pytest.mark.parametrize("explorer", EXPLORERS.values(), ids=EXPLORERS)
def test_no_reading_clears_anything(explorer):
    for settings in settings_of(explorer):
        words = explorer.at(**settings)["words"]
        assert not CLEARS.search(words), f"at {settings}: {words}"


@pytest.mark.parametrize("name", ["31_keeping_a_sauce.ipynb", "answers/31_keeping_a_sauce.ipynb"])
def test_no_cell_of_the_lesson_clears_anything(name):
    for cell in json.loads((LESSONS / name).read_text(encoding="utf-8"))["cells"]:
        shown = ["".join(cell["source"])]
        for output in cell.get("outputs", ()):
            shown += ["".join(output.get("text", "")), "".join(output.get("data", {}).get("text/plain", ""))]
        assert not CLEARS.search(" ".join(shown)), shown


def test_no_exercise_or_fault_clears_anything():
    for exercise in bank.exercises("keeping_a_sauce").values():
        for number in (None, *range(0, 40, 5)):
            said = " ".join((exercise.text(number), *exercise.way(number), *(slip.hint for slip in exercise.slips)))
            assert not CLEARS.search(said), said
    faults = [cells for _, cells in read_csv(DATASETS / "faults.csv")[1] if "31" in cells["lesson"].split()]
    assert len(faults) >= 5 and not any(CLEARS.search(" ".join(cells.values())) for cells in faults)


def test_the_gate_stands_at_every_setting_and_place():
    """Raw egg is cold-held at 5 °C or colder whatever pH, acid, cream or place; the table's word changes nothing."""
    words = set()
    for sour, poured, cream, place in itertools.product(explore.SOURS, (0, 10, 40), (0, 200), places()):
        reading = explore.acid.at(egg="raw", yolks=1, sour=sour, poured=poured, cream=cream, place=place)
        words.add(reading["table"])
        assert reading["cold"] and reading["at"] <= Q_(5, "degC")
        assert "held cold" in reading["words"] and "whatever the table says" in reading["words"] and "Salmonella" in reading["words"]
    assert words == {"PA", "Non-TCS"}                        # both were met, and neither opened the gate
    for poured in (0, 40):
        assert explore.acid.at(egg="pasteurised", yolks=2, poured=poured, place="England")["at"] <= Q_(5, "degC")


def test_without_egg_the_table_is_asked_with_what_the_ph_is_good_to():
    """us-food-code-tcs, table B, wettest row: Non-TCS below 4.2 only."""
    assert explore.table_b() == (4.2, [4.2, 4.6, 5.0])
    for poured, cream in itertools.product((1, 5, 10, 20, 40), (0, 20, 60, 200)):
        reading = explore.acid.at(yolks=0, sour="distilled vinegar", poured=poured, cream=cream)
        assert reading["cold"] == (reading["ph"] + 0.25 >= 4.2)


def test_oil_changes_no_ph_and_cream_raises_it():
    with_oil, dry = (explore.acid.at(oil=grams)["ph"] for grams in (500, 0))
    assert with_oil == pytest.approx(dry, abs=1e-6)
    rising = [explore.acid.at(cream=grams)["ph"] for grams in (0, 20, 50, 100, 200)]
    assert rising == sorted(rising) and rising[-1] > rising[0] + 0.3


def test_tablespoon_and_recipes_lie_in_the_band():
    """xiong-2000: 20 mL of 6 % vinegar (24 of 5 %) to a yolk meet pH 4.0 to 4.1; lemon-mayonnaise-study: 20 mL of juice, 3.30."""
    vinegar, lemon = explore.acid.at(poured=24), explore.acid.at(sour="lemon juice", poured=20)
    assert vinegar["low"] < 4.0 and 4.1 < vinegar["high"] and lemon["low"] < 3.30 < lemon["high"]


def test_jar_through_when_the_clear_layer_is_whole():
    """By the volumes of oil alone: the clear layer ends at height * (1 - share / 0.64); before that it grows as the droplets climb."""
    jar = dict(share=30, dose=0, droplet=20, height=150, temperature=5)
    through = explore.jar.at(**jar)["none"].mid.m_as("hour")
    late, half = explore.jar.at(**jar, time=1.01 * through), explore.jar.at(**jar, time=through / 2)
    assert late["watery_none"].m == pytest.approx(150 * (1 - 0.30 / 0.64), rel=1e-6) and late["sauce_none"].m == 0
    assert half["watery_none"].m == pytest.approx(late["watery_none"].m / 2, rel=1e-3)
    assert explore.jar.at(**{**jar, "droplet": 10})["none"].mid.m_as("hour") == pytest.approx(4 * through, rel=2e-3)


def test_trap_is_told_and_drawn():
    """parker-1995: flocs above 0.1 g/L cream faster; enough of it stands."""
    jar = dict(share=30, droplet=20, time=5)
    none, trap, enough = (explore.jar.at(**jar, dose=dose) for dose in (0, 0.02, 0.4))
    assert trap["watery_mine"] > none["watery_none"] and "trap" in trap["words"] and "worse than none" in trap["words"]
    assert enough["watery_mine"].m == 0 and "hold each other up" in enough["words"]
    assert "locked" in explore.jar.at(share=65, dose=0.02)["words"]


@pytest.mark.parametrize("place, hot", [("United States", 57), ("Australia", 60), ("Wales", 63), (NO_PLACE, 63)])
def test_conflict_is_shown_by_place(place, hot):
    """rules_holding.csv as printed by each place; the yolk thickens at 65 °C (egg-course-notes)."""
    kept, below = explore.warm.at(place=place, temperature=hot), explore.warm.at(place=place, temperature=hot - 1)
    assert kept["room"].m == pytest.approx(65 - hot) and "is kept" in kept["words"]
    assert "nothing but the clock counts" in below["words"]
    for said in ("pull apart", "pasteurised egg", "small batches", "by the clock", "Time as control"):
        assert said in kept["words"] and said in below["words"]


def test_every_place_is_on_offer_and_an_unknown_one_gets_all_lists():
    assert set(places()) == {NO_PLACE, *(record["place"] for record in tables.records("rules_places"))}
    everything = {record["allergen"] for record in tables.records("rules_allergens")}
    assert {record["allergen"] for record in rules.allergens("").rows} == everything > {record["allergen"] for record in rules.allergens("EU").rows}


def test_an_hour_at_each_rule_by_hand():
    """470 kJ/mol (vega-2011): exp(470,000 / 8.3145 * (1/336.15 - 1/338.15)) = 2.70 for 63 against 65 °C; 60 / 2.70 = 22.2 min."""
    got = keeping.same_heat(Q_(60, "min"), Q_(63, "degC"), Q_(65, "degC"), row("warm yolk sauce", own=False))
    assert got.m == pytest.approx(22.2, abs=0.05) and explore.warm.at(place="Wales")["lasts"].m == pytest.approx(22.2, abs=0.05)
