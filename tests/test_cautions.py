"""Cautions by technique and diet rows: who is warned of what, and in which words."""
import re

import pytest

from kitchenlib import cautions, tables
from kitchenlib.tables import DATASETS, HOW, read_csv

ROWS = [cells for _, cells in read_csv(DATASETS / "cautions.csv")[1]]
FORBIDDEN = re.compile(r"\b(un)?safe(ly)?\b|\bclear(ed|ly|ance)?\b|\bok(ay)?\b|\bapprov\w*", re.IGNORECASE)


@pytest.mark.parametrize("technique, words", [                # what each technique must at least be warned of
    ("agar", ("boils over", "sticks", "powders")), ("syrup", ("burns deep",)), ("pearls in oil", ("slip", "lost in food", "choke", "sink")),
    ("spheres", ("choke", "eyes", "lost in food")), ("nitrogen", ("oxygen", "monitor", "competent person", "bursts")),
    ("dry ice", ("carbon dioxide",)), ("raw egg", ("Salmonella", "pasteurised", "Local code")),
    ("fish", ("parasites", "Listeria", "pregnant")),
    ("weighing", ("lungs",)),
    ("allergens", ("mustard", "pack")), ("gelatin", ("pork, beef or fish",)), ("garlic in oil", ("botulism",)),
    ("cooling", ("40 °C", "authority")), ("konjac", ("choke", "banned")), ("serving", ("small children",))])
def test_each_technique_is_warned(technique, words):
    told = " ".join(cautions.for_(technique))
    assert [word for word in words if word not in told] == []


def test_each_text_once_in_the_files_order():
    both = cautions.for_("spheres", "pearls in oil")
    assert len(set(both)) == len(both)
    order = [cells["text"] for cells in ROWS]
    assert [order.index(text) for text in both] == sorted(order.index(text) for text in both)
    assert set(both) == set(cautions.for_("spheres")) | set(cautions.for_("pearls in oil"))
    assert cautions.for_() == ()


def test_unknown_technique_names_the_nearest():
    with pytest.raises(ValueError, match="Did you mean 'nitrogen'"):
        cautions.for_("nitrogn")


def test_every_text_says_how_it_is_known():
    assert len({cells["key"] for cells in ROWS}) == len(ROWS)
    for cells in ROWS:
        assert cells["how"] in HOW and cells["how"] != "memory"
        assert cells["how"] == "common practice" or cells["source"] in tables.sources(), cells["key"]
        assert cells["text"].endswith(".") and len(cells["text"]) < 320


def test_no_amount_of_nitrogen_and_no_word_of_clearance():
    for technique in ("nitrogen", "dry ice"):
        assert not re.search(r"\d", " ".join(cautions.for_(technique)))        # never an amount without the room
    told = [cells["text"] for cells in ROWS] + [cautions.diet(tables.row(key, own=False)) for key in DIETS]
    assert [text for text in told if FORBIDDEN.search(text)] == []


DIETS = ("gelatin", "gelatin leaf gold", "agar", "kappa-carrageenan", "iota-carrageenan", "gellan low acyl", "gellan high acyl",
         "high-methoxyl pectin", "low-methoxyl pectin", "methylcellulose", "konjac with xanthan", "sodium alginate", "xanthan",
         "whey protein", "sodium caseinate", "lecithin", "calcium lactate", "vanilla extract")


def test_diet_of_ingredients():
    """Facts of the trade: gelatin is animal, the seaweed, fruit, wood and fermented gums are not, whey and casein are milk."""
    said = {key: cautions.diet(tables.row(key, own=False)) for key in DIETS}
    for key in DIETS[:2]:
        assert "pork, beef or fish; not vegetarian, not vegan" in said[key] and "ask the supplier" in said[key]
    for key in DIETS[2:13]:
        assert said[key].endswith("; vegetarian, vegan"), key
    for key in ("whey protein", "sodium caseinate"):
        assert "vegetarian, not vegan" in said[key] and "milk" in said[key]
    assert "egg, soy or sunflower" in said["lecithin"] and "alcohol" in said["vanilla extract"]
    with pytest.raises(LookupError, match="no origin"):
        cautions.diet(tables.row("pineapple", own=False))
