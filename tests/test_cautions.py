"""Cautions by technique and diet rows: who is warned of what, and in which words."""
import re

import pytest

from kitchenlib import cautions, emulsions, mixes, tables
from kitchenlib.files import DATASETS, read_csv
from kitchenlib.tables import HOW
from kitchenlib.units import OutOfRange
from wording import FORBIDDEN

ROWS = [cells for _, cells in read_csv(DATASETS / "cautions.csv")[1]]


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


# --- raw egg and acid ------------------------------------------------------------------------------------------------------------------
TABLE_B = (("Non-TCS", "Non-TCS", "Non-TCS", "Non-TCS"), ("Non-TCS", "Non-TCS", "Non-TCS", "PA"), ("Non-TCS", "Non-TCS", "PA", "PA"),
           ("Non-TCS", "PA", "PA", "PA"))                      # down: < 0.88, 0.88-0.90, > 0.90-0.92, > 0.92; across: < 4.2, 4.2-4.6, > 4.6-5.0, > 5.0
TABLE_A = (("Non-TCS", "Non-TCS", "Non-TCS"), ("Non-TCS", "Non-TCS", "PA"), ("Non-TCS", "PA", "PA"))
                                                              # down: <= 0.92, > 0.92-0.95, > 0.95; across: <= 4.6, > 4.6-5.6, > 5.6


def test_food_code_tables_cell_by_cell():
    """us-food-code-tcs: tables B and A as printed."""
    for cells, table, activities, phs in ((TABLE_B, "B", (0.85, 0.89, 0.91, 0.96), (4.0, 4.4, 4.8, 5.5)), (TABLE_A, "A", (0.9, 0.94, 0.97), (4.0, 5.0, 6.0))):
        got = tuple(tuple(cautions.designation(activity, ph, table) for ph in phs) for activity in activities)
        assert got == cells
    assert len(tables.records("rules_egg_tcs")) == 25


@pytest.mark.parametrize("activity, ph, table, word", [       # the printed edge belongs to the column and row that prints it
    (0.95, 4.2, "B", "PA"), (0.95, 4.199, "B", "Non-TCS"), (0.95, 4.6, "B", "PA"), (0.92, 4.6, "B", "Non-TCS"), (0.92, 4.601, "B", "PA"),
    (0.9201, 4.6, "B", "PA"), (0.90, 5.0, "B", "Non-TCS"), (0.9001, 5.0, "B", "PA"), (0.88, 5.01, "B", "PA"), (0.8799, 7, "B", "Non-TCS"),
    (0.95, 4.6, "A", "Non-TCS"), (0.9501, 4.6, "A", "Non-TCS"), (0.9501, 4.601, "A", "PA"), (0.95, 5.6, "A", "Non-TCS"), (0.95, 5.601, "A", "PA"),
    (0.92, 7, "A", "Non-TCS"), (0.9201, 7, "A", "PA"), (1, 14, "B", "PA"), (0, 0, "B", "Non-TCS")])
def test_edges_as_printed(activity, ph, table, word):
    assert cautions.designation(activity, ph, table) == word


def test_every_cell_can_be_reached_and_none_twice():
    for table in cautions.TCS:
        cells = [cell for cell in tables.records("rules_egg_tcs") if cell["table"] == table]
        for activity in (0, 0.5, 0.879, 0.88, 0.9, 0.901, 0.92, 0.921, 0.95, 0.951, 1):
            for ph in (0, 4.1999, 4.2, 4.6, 4.6001, 5.0, 5.0001, 5.6, 5.6001, 14):
                assert sum(cautions._inside(cell["activity"], activity) and cautions._inside(cell["ph"], ph) for cell in cells) == 1


@pytest.mark.parametrize("place", ("", "Atlantis", *(record["place"] for record in tables.records("rules_places"))))
def test_any_raw_egg_is_cold_held_whatever_the_table_says(place):
    """THE gate: raw egg is cold-held at 5 °C or colder at every pH, water activity, table and place."""
    for activity in (None, 0.0, 0.5, 0.87, 0.96, 1.0):
        for ph in (None, 0.0, 2.0, 3.3, 4.1, 4.6, 7.0, 14.0):
            for table in cautions.TCS:
                got = cautions.hold("raw egg", place, activity, ph, table)
                assert got.cold is True and got.at.m_as("degC") <= 5 + 1e-9
                assert "pasteurised egg instead" in got.words and "no cure" in got.words and not FORBIDDEN.search(got.words)
    dry = cautions.hold("raw egg", place, 0.5, 2.0)
    assert dry.table == "Non-TCS" and "no Salmonella out of an egg" in dry.words


def test_the_default_is_cold_and_only_measured_values_without_egg_lift_it():
    assert cautions.hold("no egg").cold and cautions.hold("no egg", "US", 0.96).cold and cautions.hold("no egg", "US", None, 3.0).cold
    assert cautions.hold("no egg", "US", 0.96, 4.4).cold and "assessment" in cautions.hold("no egg", "US", 0.96, 4.4).words
    lifted = cautions.hold("no egg", "US", 0.96, 4.1)
    assert not lifted.cold and "authority" in lifted.words and not FORBIDDEN.search(lifted.words)
    assert cautions.hold("no egg", "US", 0.96, 4.1, within=0.25).cold                        # a computed pH may be a quarter higher
    assert cautions.hold("pasteurised egg", "US", 0.5, 2.0).cold
    assert cautions.hold("pasteurised egg", "England").at.m_as("degC") == pytest.approx(5)   # England lets it be 8 °C; the default does not
    assert cautions.hold("pasteurised egg", "France").at.m_as("degC") == pytest.approx(4)


@pytest.mark.parametrize("recipe, egg", [
    ("egg yolk 17 g + sunflower oil 200 g", "raw egg"), ("egg 50 g", "raw egg"), ("egg white 30 g + water 5 g", "raw egg"),
    ("pasteurized egg yolk 17 g + sunflower oil 200 g", "pasteurised egg"), ("pasteurized egg yolk 17 g + egg white 1 g", "raw egg"),
    ("eggplant 100 g + sunflower oil 10 g", "no egg"), ("heavy cream 10 g + yellow mustard 5 g", "no egg")])
def test_egg_in_a_mix(recipe, egg):
    assert cautions.egg_in(mixes.read(recipe, own=False)) == egg


def test_an_own_product_that_is_an_egg_counts_as_raw(own_folder):
    tables.add_to_shelf({"product": "farm gold", "property": "is", "value": "egg yolk", "unit": "word"})
    tables.add_to_shelf({"product": "unpasteurised yolk", "property": "is", "value": "egg yolk", "unit": "word"})
    tables.add_to_shelf({"product": "sunday gold", "property": "is", "value": "farm gold", "unit": "word"})
    for product in ("farm gold", "unpasteurised yolk", "sunday gold"):
        assert cautions.egg_in(mixes.read(f"{product} 20 g")) == "raw egg"
        sauce = emulsions.phases(mixes.read(f"{product} 20 g + water 1 g"))
        assert sauce.oil.m == 0                              # its own fat is no oil in droplets


@pytest.mark.parametrize("call, error, says", [
    (lambda: cautions.hold("raw eggs"), ValueError, "Did you mean 'raw egg'"), (lambda: cautions.designation(0.9, 15), OutOfRange, "ph"),
    (lambda: cautions.designation(1.2, 4), OutOfRange, "activity"), (lambda: cautions.designation(float("nan"), 4), OutOfRange, "activity"),
    (lambda: cautions.designation(0.9, 4, "C"), ValueError, "table"), (lambda: cautions.hold("raw egg", "US", 0.9, "4"), TypeError, "ph"),
    (lambda: cautions.hold("no egg", "US", 0.9, 4, within=-1), ValueError, "0 to 2")])
def test_the_gate_refuses(call, error, says):
    with pytest.raises(error, match=says):
        call()


def test_the_published_conflict_is_shown_and_not_resolved():
    got = cautions.acid_holds()
    for said in ("4.1", "18-22 °C", "48 h", "72 h", "3.30", "conflict", "pasteurised egg", "5.0 °C or colder", "local code"):
        assert said in got.words
    assert len(got.rows) == 11 and not FORBIDDEN.search(got.words)


def test_egg_pasteurisation_cell_by_cell():
    """9-cfr-590-570, table I: °F and minutes, two rows a product save for the first whole egg."""
    found = [(round(row["temperature"].m_as("degF"), 6), row["time"].m_as("min")) for row in tables.records("rules_egg_pasteurisation")]
    assert found == [(134, 3.5), (132, 6.2), (140, 3.5), (142, 3.5), (140, 6.2), (144, 3.5), (142, 6.2), (146, 3.5), (144, 6.2), (142, 3.5), (140, 6.2),
                     (142, 3.5), (140, 6.2), (146, 3.5), (144, 6.2), (146, 3.5), (144, 6.2)]


def test_raw_egg_rules_of_a_place_and_of_none():
    own, none = cautions.raw_egg_rules("US"), cautions.raw_egg_rules("Atlantis")
    assert not own.borrowed and "mayonnaise" in own.words and "not verified" in own.words and "3-302.13" in own.words
    assert none.borrowed and "ask your authority" in none.words
    for got in (own, none, cautions.raw_egg_rules("")):
        assert not FORBIDDEN.search(got.words) and got.words.endswith("authority decides.")


def test_allergens_of_a_batch():
    batch = mixes.read("egg yolk 17 g + yellow mustard 5 g + red wine vinegar 10 g + sunflower oil 100 g", own=False)
    us, eu, none = (cautions.declare(batch, place) for place in ("US", "EU", "Atlantis"))
    assert [row["allergen"] for row in us.rows] == ["eggs"] and {row["allergen"] for row in eu.rows} == {"eggs", "mustard", "sulphites"}
    assert "not on this list, but on others" in us.words and "not on this list" not in eu.words
    assert {row["allergen"] for row in none.rows} == {"eggs", "mustard", "sulphites"} and none.borrowed
    for got in (us, eu, none):
        assert "sunflower oil: read the pack" in got.words and "may hold" in got.words and "EU only" not in got.words
    every = {row["allergen"] for row in tables.records("rules_allergens")}
    for key in tables.kinds(own=False):
        row = tables.row(key, own=False)
        assert "allergen" not in row or row.allergen in every, key
