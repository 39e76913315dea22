"""service and dish: sums by hand, lists by place against the rules' own words, refusals. The order itself: test_order. Printed: test_checks."""
import math

import pytest

from kitchenlib import cautions, dish, files, order, rules, service, tables
from kitchenlib.dish import BadDish, Component, Work, plate, read
from kitchenlib.mixes import Mix
from kitchenlib.service import Scale
from kitchenlib.units import OutOfRange, Q_

COMPONENTS = "component,mix,portion [g],losses\nonions,onion 100 g + salt 2 g,51,bowl | straining\nbath,water 980 g + calcium lactate pentahydrate 20 g,,\n"
STEPS = ("step;component;minutes;per cover [min];covers at once;hands;after;keeps [min]\n"
         "cut;onions;10;;;;;\n"
         "cook;onions;1,5;0,5;4;2;cut;20\n")


def m(number):
    return Q_(float(number), "min")


def dish_of(folder, components=COMPONENTS, steps=STEPS, coding="utf-8"):
    for name, text in (("my_components.csv", components), ("my_steps.csv", steps)):
        (folder / name).write_bytes(text.encode(coding))
    return read(folder / "my_components.csv", folder / "my_steps.csv", own=False)


def fish(state="", food="raw trout"):
    part = Component("fish", Mix({food: Q_(500, "g")}, own=False), Q_(60, "g"), (), state, ())
    step = Work("slice", "fish", m(5), m(0), None, 1, 0, (), m(0), None, "", ())
    return dish.Dish("fish", (part,), (step,))


# --- sums by hand ------------------------------------------------------------------------------------------------------------------------
def test_batches_by_hand():
    """12 plates: trout 720 / 0.9; pearls (180 + 3 in the syringe) / 0.95; emulsion (144 + 10 in the bag) / 0.96; a bath as it is written."""
    made = {part.key: service.batch(part, 12).m_as("g") for part in plate().components}
    assert made["hot-smoked trout"] == pytest.approx(720 / 0.9) and made["carrot pearls"] == pytest.approx(183 / 0.95)
    assert made["mustard emulsion"] == pytest.approx(154 / 0.96) and made["cucumber spheres"] == pytest.approx(180 / 0.96 / 0.95)
    assert made["calcium bath"] == pytest.approx(1000)
    bath = [service.batch(part, 48) for part in plate().components if part.portion is None]
    assert [b.m_as("g") for b in bath] == pytest.approx([1000, 1000])


def test_batch_sheet_takes_a_scale_that_can():
    lines = {(line.component, line.ingredient): line for line in service.sheet(plate(), 12)}
    agar = lines["carrot pearls", "agar"]                    # 12 g of 1000 in 183 / 0.95 g
    assert agar.wanted.m == pytest.approx(0.012 * 183 / 0.95) and agar.shown.m == pytest.approx(2.31) and agar.step.m == 0.01
    assert agar.within.m == pytest.approx(100 * 2 * 0.01 / math.sqrt(6) / agar.wanted.m)
    trout = lines["hot-smoked trout", "hot-smoked trout"]
    assert trout.shown.m == 800 and trout.step.m == 1 and not trout.note
    for line in lines.values():
        assert abs(line.shown - line.wanted) <= line.step / 2 + Q_(1e-9, "g") and (line.within.m <= 5 or line.note)
    rough = {line.ingredient: line for line in service.sheet(plate(), 12, [Scale(Q_(1, "g"), Q_(500, "g"))]) if line.component == "carrot pearls"}
    assert "make a stock" in rough["agar"].note and not rough["carrot juice"].note
    assert any("in parts" in line.note for line in service.sheet(plate(), 12, [Scale(Q_(1, "g"), Q_(500, "g"))]))
    with pytest.raises(ValueError, match="at least one scale"):
        service.sheet(plate(), 12, [])


def test_purchase_divides_by_the_yields_and_takes_whole_packs():
    lines = {line.food: line for line in service.purchase(plate(), 12, own=False)}
    carrot, juice = lines["carrot"], 0.98 * 183 / 0.95       # USDA refuse 11 %; half of what is trimmed runs out as juice
    assert carrot.used.m == pytest.approx(juice) and carrot.bought.m == pytest.approx(juice / 0.89 / 0.5)
    assert carrot.cost == pytest.approx(1.2 * juice / 445) and carrot.how == "made" and "memory" in carrot.note
    assert lines["sunflower oil"].used.m == pytest.approx(1000 + 0.6 * 154 / 0.96)
    assert "water" not in lines and lines["hot-smoked trout"].packs == 1 and lines["agar"].lead_time == Q_(3, "day")
    many = {line.food: line for line in service.purchase(plate(), 30, own=False)}
    assert many["hot-smoked trout"].packs == 2               # 1800 / 0.9 g in packs of 1000 g
    assert "hydrate pentahydrate" in lines["calcium lactate pentahydrate"].grade


def test_cost_with_yield_and_what_is_missing(tmp_path):
    """EM-38: 1.2 kg of trimmed onion at 1.50 are 2.00. No price of onion is shipped, and none is made up."""
    onion = tables.row("onion", own=False)
    assert service.bought_cost(1.5, Q_(1.2, "kg"), onion) == pytest.approx(2.0)
    mine = dish_of(tmp_path)
    told = service.cost(mine, 10, wage=30, own=False)
    salt, lactate = 0.6e-3 * 510 / 0.96 / 0.95 * 2 / 102, 22e-3 * 20
    assert told.missing == ("onion",) and told.food == pytest.approx((salt + lactate) / 10)
    assert "at least" in told.words and "want of a price: onion" in told.words
    assert told.minutes.m == pytest.approx((10 + 2 * (3 * 1.5 + 10 * 0.5)) / 10) and told.labour == pytest.approx(30 * told.minutes.m / 60)
    assert service.cost(mine, 10, own=False).missing == ("onion", "the wage")
    whole = service.cost(plate(), 12, wage=20, own=False)
    assert whole.missing == () and whole.food * 12 == pytest.approx(sum(line.cost for line in service.purchase(plate(), 12, own=False)))
    for bad in (-1, math.nan, "20"):
        with pytest.raises(OutOfRange, match="wage"):
            service.cost(plate(), 12, wage=bad)


def test_a_price_on_the_shelf_counts(monkeypatch, tmp_path):
    monkeypatch.setenv("KITCHENLIB_HOME", str(tmp_path))
    mine = dish_of(tmp_path)
    tables.add_to_shelf({"product": "onion", "property": "price", "value": "1.50"})
    line = next(line for line in service.purchase(mine, 10) if line.food == "onion")
    assert line.how == "yours" and line.cost == pytest.approx(1.5e-3 * 510 / 0.96 / 0.95 * 100 / 102 / 0.9)
    assert service.cost(mine, 10).missing == ("the wage",)


# --- allergens, diet ---------------------------------------------------------------------------------------------------------------------
def test_allergens_go_by_the_place():
    """Mustard is on the lists of the European Union and Canada, not on that of the United States (read in those laws)."""
    here, there = service.allergens(plate(), "United States"), service.allergens(plate(), "Canada")
    assert {row["allergen"] for row in here.rows} == {"fish", "eggs", "milk"} and "mustard: yellow mustard (not on this list" in here.words
    assert {row["allergen"] for row in there.rows} == {"fish", "eggs", "milk", "mustard"}
    assert service.allergens(plate(), "Atlantis").borrowed


def test_diet_is_as_strict_as_its_strictest_food():
    assert service.diet(plate(), "vegetarian").answer == "no" and service.diet(plate(), "vegetarian").against == ("hot-smoked trout",)
    without = plate()._replace(components=plate().components[1:])        # a swap: no trout
    assert service.diet(without, "vegetarian").answer == "yes"
    vegan = service.diet(without, "vegan")
    assert vegan.answer == "no" and set(vegan.against) == {"pasteurized egg yolk", "buttermilk", "heavy cream"}
    pearls = plate()._replace(components=plate().components[1:2])
    assert service.diet(pearls, "vegan").answer == "ask" and service.diet(pearls, "vegan").against == ("sugar",)
    onions = plate()._replace(components=(plate().components[1]._replace(mix=Mix({"onion": Q_(1, "g")}, own=False)),))
    assert service.diet(onions, "vegan").answer == "unknown" and "no row speaks of onion" in service.diet(onions, "vegan").words
    with pytest.raises(ValueError, match="vegan"):
        service.diet(plate(), "vegans")


# --- order of work -------------------------------------------------------------------------------------------------------------------------
def test_batches_become_steps_and_follow_one_to_one():
    steps, links = service.work(plate(), 14)
    lifts = [step for step in steps if step.key.startswith("lift spheres")]
    assert [step.key for step in lifts] == [f"lift spheres {k} of 3" for k in (1, 2, 3)]
    assert [step.time.m for step in lifts] == pytest.approx([3 + 6 * 0.25, 3 + 6 * 0.25, 3 + 2 * 0.25])
    dressed = [(link.first, link.then, link.most.m) for link in links if link.first.startswith("lift")]
    assert dressed == [(f"lift spheres {k} of 3", f"dress plates {k} of 3", 5) for k in (1, 2, 3)]
    served = [link for link in links if link.then == order.SERVICE]
    assert all(link.first.startswith("dress plates") for link in served) and len(served) == 3
    rinsed = [link for link in links if link.first == "rinse pearls"]
    assert len(rinsed) == 3                                  # all of them wait for the one batch of pearls


def test_a_meeting_narrows_the_window_and_is_a_bench_task():
    step = Work("dress", "", m(2), m(0), None, 1, 0, (), m(0), m(40), "pearls in acid", ())
    _, links = service.work(dish.Dish("x", plate().components, (step,)), 2)
    assert links[0].then == order.SERVICE and links[0].most == Q_(15, "min") and "memory" in links[0].why
    (word, within, why, how, task), = service.bench_tasks(plate())
    assert word == "spheres in cream" and how == "memory" and "cut one" in task
    for record in dish.known("meetings").values():
        assert record["how"] == "memory" and record["low"] <= record["within"] <= record["high"]


def test_spheres_and_ice_want_the_last_minutes_and_the_same_hands():
    """24 covers, two cooks: 4 x 4.5 min of spheres, 4 x 3.4 of ice, 4 x 4.5 of dressing; the windows leave 4.5 + 5 + 4.5 + 5 min."""
    good, bad = service.plan(plate(), 4, 2, 2), service.plan(plate(), 24, 2, 2)
    assert good.found and not bad.found and bad.proven
    for words in ("The last 19 min", "lift spheres 18 min", "scoop ice 13.6 min", "dress plates 18 min", "2 hands have 38 min"):
        assert words in bad.words
    assert "wants 2 hands; there is 1" in service.plan(plate(), 4, 1, 2).words           # nitrogen is never poured alone
    moved = {step.key: (t, t + step.time.m) for step, t in zip(good.steps, good.latest.m)}
    assert moved["dress plates"][1] <= 1e-9 and moved["dress plates"][0] - moved["lift spheres"][1] <= 5 + 1e-9
    broken = order.slip(good, "scoop ice", m(10))
    assert [b[0] for b in broken.broken] == ["lift spheres"] and broken.late.m == pytest.approx(10)


def test_more_hands_serve_more_and_one_more_does_not_go():
    two, stopped = service.most_covers(plate(), 2, 2, up_to=30)
    three, _ = service.most_covers(plate(), 3, 2, up_to=30)
    assert 4 <= two < 24 and two <= three and not stopped.found          # 24 is impossible, see above
    assert service.plan(plate(), two, 2, 2).found
    assert service.most_covers(plate(), 1, 2, up_to=30)[0] == 0
    onions = dish.Dish("x", plate().components[:1], (Work("cut", "", m(5), m(0), None, 1, 0, (), m(0), None, "", ()),))
    assert service.most_covers(onions, 1, 0, up_to=30) == (30, None)


def test_pace_is_covers_for_a_pair_of_hands():
    pace = {p.step: p for p in service.pace(plate(), 12)}
    assert (pace["lift spheres"].covers, pace["lift spheres"].each, pace["lift spheres"].time) == (6, 6, m(4.5))
    assert pace["freeze ice"].each == 6 and pace["chill oil"].each is None
    minutes = service.labour(plate(), 12).m - service.labour(plate(), 6).m
    assert minutes == pytest.approx(6 * (0.2 + 0.5 + 0.2 + 2 * 0.1 + 0.5 + 0.25 + 0.4 + 0.75) + 3 + 1)     # fixed minutes once a batch


# --- food-safety log -----------------------------------------------------------------------------------------------------------------------
PLACES = ["United States", "England", "European Union", "Australia", "", "Atlantis"]


@pytest.mark.parametrize("place", PLACES)
def test_log_takes_its_limits_from_the_place(place):
    entries = service.log(plate(), place)
    met = {(e.step, e.control): e for e in entries}
    assert met["mix emulsion", "cold hold"].limit == rules.standing(place, "cold hold").words
    assert met["cool ice base", "cooling"].limit == rules.standing(place, "cooling").words
    assert met["mix emulsion", "egg"].limit == cautions.hold("pasteurised egg", place).words
    assert met["portion trout", "listeria"].limit.startswith("As cold as the fridge goes") and ("freeze ice", "nitrogen") in met
    assert not any(e.control == "raw fish" for e in entries)
    colder = "4.0 °C" if rules.holding_limit(place, "cold hold") < Q_(5, "degC") else "5.0 °C"         # never England's 8 °C
    assert colder in met["portion trout", "listeria"].limit.partition(" or colder")[0]
    heading, *rows = service.record(entries)
    assert heading[-6:] == service.BLANK and {"lot", "time"} < set(heading) and len(rows) == len(entries)
    assert all(row[-6:] == ("",) * 6 and all(row[:6]) and len(row) == len(heading) for row in rows)
    for entry in entries:
        assert "approved" not in str(entry).casefold()
        assert "safe" not in " ".join((entry.hazard, entry.who, entry.measure, entry.otherwise)).casefold()


@pytest.mark.parametrize("place", PLACES)
@pytest.mark.parametrize("state", ["raw", "cold smoked", ""])
def test_raw_fish_raises_parasites_and_listeria(state, place):
    """Cold smoke does not cook; a fish of which nobody says how it is counts as raw."""
    controls = {e.control: e for e in service.log(fish(state), place)}
    assert controls["raw fish"].limit == rules.fish_freezing(place).words and "listeria" in controls
    assert all(any(text.startswith(lead) for text in service.warnings(fish(state))) for lead in ("Fish served raw", "Smoked or cured fish"))


def test_cooked_and_smoked_fish_and_raw_egg():
    assert service.log(fish("cooked"), "England") == ()
    assert [e.control for e in service.log(fish("hot smoked"), "England")] == ["listeria"]
    egg = fish("", "egg yolk")
    assert [e.control for e in service.log(egg, "England")] == ["egg"] and "Raw egg" in service.log(egg, "England")[0].limit
    assert any(text.startswith("Raw egg") for text in service.warnings(egg))
    bought = fish("raw")._replace(steps=(fish().steps[0]._replace(component=""),))       # laid on the plate as bought
    assert [(e.step, e.control) for e in service.log(bought, "England")] == [("fish", "raw fish"), ("fish", "listeria")]


# --- a dish of one's own -------------------------------------------------------------------------------------------------------------------
@pytest.mark.parametrize("coding", ["utf-8", "utf-8-sig", "cp1252"])
def test_a_short_table_as_people_save_it(tmp_path, coding):
    mine = dish_of(tmp_path, COMPONENTS.replace("\n", "\r\n\r\n"), STEPS, coding)
    cook = mine.steps[1]
    assert mine.key == "my" and cook.fixed.m == 1.5 and cook.each.m == 0.5 and (cook.at_once, cook.hands, cook.burners) == (4, 2, 0)
    assert cook.after == ("cut",) and cook.keeps.m == 20 and mine.steps[0].keeps is None and mine.steps[0].hands == 1
    assert mine.components[0].losses == ("bowl", "straining") and mine.components[1].portion is None
    assert service.plan(mine, 4, 2, 0).lead.m == pytest.approx(10 + 1.5 + 2)


@pytest.mark.parametrize("change, words", [
    (("onion 100 g", "onoin 100 g"), "my_components.csv, row 2, column 'mix': 'onoin' is not in the tables. Did you mean 'onion'"),
    (("onion 100 g", "onion 100"), "row 2, column 'mix': a mix reads"),
    ((",51,", ",many,"), r"row 2, column 'portion \[g\]': 'many' is no number"),
    ((",51,", ",-5,"), r"row 2, column 'portion \[g\]': portion = -5"),
    ((",51,", ",51 mL,"), r"column 'portion \[g\]': portion = 51.00 mL is another kind"),
    (("bowl |", "bowel |"), "row 2, column 'losses': a loss is .*Did you mean 'bowl'"),
    (("component,mix", "component,mixx"), "there is no column 'mix'; is it 'mixx'"),
    (("\nbath,", "\nonions,"), "row 3, column 'component': 'onions' is taken"),
    (("cut;onions;10", "cut;onoins;10"), "my_steps.csv, row 2, column 'component': a component is .*Did you mean 'onions'"),
    (("cut;onions;10;", "cut;onions;;"), "row 2, columns 'minutes' and 'per cover': both are empty: say how long 'cut'"),
    (("1,5;0,5;4", "1,5;0,5;4,5"), "row 3, column 'covers at once': it is a count: write a whole number"),
    (("1,5;0,5;4", "soon;0,5;4"), "row 3, column 'minutes': 'soon' is no number"),
    ((";2;cut;", ";2;cat;"), "row 3, column 'after': an earlier step is .*Did you mean 'cut'"),
    (("cook;", "cut;"), "row 2, column 'step': 'cut' is taken"),
    (("cook;", ";"), "row 3, column 'step': it is empty")])
def test_refusals_name_table_row_and_column(tmp_path, change, words):
    with pytest.raises(BadDish, match=words):
        dish_of(tmp_path, COMPONENTS.replace(*change), STEPS.replace(*change))


def test_all_troubles_are_told_and_endless_tables_refused(tmp_path):
    with pytest.raises(BadDish) as told:
        dish_of(tmp_path, COMPONENTS.replace(",51,", ",x,"), STEPS.replace(";10;", ";y;"))
    assert len(told.value.troubles) == 2
    with pytest.raises(BadDish, match="holds 100000 rows: a dish has at most 200"):
        dish_of(tmp_path, COMPONENTS, STEPS.splitlines()[0] + "\n" + "cut;onions;10;;;;;\n" * 100_000)
    with pytest.raises(BadDish, match="holds no row below its first line"):
        dish_of(tmp_path, COMPONENTS, STEPS.splitlines()[0] + "\n")


@pytest.mark.parametrize("covers", [0, -1, 2001, 1.5, True, "4"])
def test_covers_are_counted(covers):
    for ask in (service.sheet, service.purchase, service.cost, service.work, service.pace):
        with pytest.raises(OutOfRange, match="covers is a whole number from 1 to 2000"):
            ask(plate(), covers)


def test_a_circle_of_steps_is_named(tmp_path):
    mine = dish_of(tmp_path, COMPONENTS, STEPS.replace("cut;onions;10;;;;;", "cut;onions;10;;;;cook;"))
    with pytest.raises(ValueError, match="circle: cut waits for cook"):
        service.plan(mine, 4, 2, 0)


def test_everything_invented_is_marked():
    for name in ("plate_components.csv", "plate_steps.csv"):
        assert {cells["how"] for _, cells in files.read_csv(dish.FOLDER / name)[1]} == {"made"}
    for part in plate().components:
        for food in part.mix.parts:
            assert "price" not in food or food.fact("price").how == "made"
