"""The service on paper and in the explorer: what stands on the sheet against sums by hand, bars that never lie on each other, the clash named, no word
that lets anyone go ahead."""
import html
import re

import pytest

from kitchenlib import __main__ as command
from kitchenlib import cautions, dish, order, rules, service
from kitchenlib.mixes import Mix
from kitchenlib.teaching import pass_sheet
from kitchenlib.teaching.bank import the_service as ask
from kitchenlib.teaching.explorers import the_service as explore
from kitchenlib.units import OutOfRange, Q_
from wording import FORBIDDEN, words

PERMITS = re.compile(r"\bcompliant\b|\bpermitted\b", re.IGNORECASE)


def table(page, heading):
    """Rows of the table whose first heading is this."""
    first = re.compile(f"<table>(<caption>.*?</caption>)?<thead><tr><th[^>]*>{heading}</th>")
    found = next(filter(first.match, re.findall(r"<table>.*?</table>", page, re.S)))
    return [[html.unescape(cell) for cell in re.findall(r"<td>(.*?)</td>", line)] for line in re.findall(r"<tr>(.*?)</tr>", found)[1:]]


@pytest.fixture(scope="module")
def page():
    return pass_sheet.sheet(dish.plate(), 12, 2, 2, "19:30", ("France", "United States"), 18.0).page


def test_nothing_on_it_lets_anyone_go_ahead(page):
    for made in (page, pass_sheet.sheet(dish.plate(), 24).page):
        said = words(made).replace("rules_", "")
        assert not FORBIDDEN.search(said) and not PERMITS.search(said), FORBIDDEN.search(said)
        assert "draft" in made and "<script" not in made and "http" not in words(made).partition("kitchenlib")[0]


def test_a_plate_with_egg_tells_each_place_s_own_words_on_it_raw(page):
    """us-food-code-states, 3-302.13: pasteurised eggs take the place of raw ones in mayonnaise and the like; of France no row is known."""
    said = " ".join(words(page).split())
    assert "Egg, raw: United States. Pasteurised eggs take the place of raw ones" in said and "No row is known for France: ask your authority" in said
    eggless = dish.plate()._replace(components=tuple(c for c in dish.plate().components if cautions.egg_in(c.mix) == "no egg"))
    assert len(eggless.components) == len(dish.plate().components) - 1


def test_batch_sheet_by_hand(page):
    """12 x 60 g over 0.9; pearls (180 + 3) / 0.95 = 192.6 g, of them 1.2 % agar = 2.31 g; spheres 180 / 0.96 / 0.95 = 197.4 g, 0.5 % alginate = 0.99 g."""
    rows = {(row[2], row[3]) for row in table(page, "component")}
    assert {("hot-smoked trout", "800 g"), ("agar", "2.31 g"), ("sodium alginate", "0.99 g"), ("carrot juice", "189 g")} <= rows


def test_order_of_work_by_hand(page):
    """The ice's chain: 15 + 90 + 11.2 (10 + 12 x 0.1) + 5 + 3.4 (1 + 6 x 0.4) + 4.5 (3 would wait): 129.1 min before 19:30 is 17:20."""
    rows = table(page, "begin at the latest")
    assert rows[0][:4] == ["17:20", "17:20", "10", "boil ice base"] and [row[3] for row in rows[-2:]] == ["dress plates 1 of 2", "dress plates 2 of 2"]
    assert rows[-1][0] == "19:25" and rows[0][-1] == "service 10 min late"
    times = [int(hour) * 60 + int(minute) for hour, minute in (row[0].split(":") for row in rows)]
    assert times == sorted(times) and len(rows) == 19


@pytest.mark.parametrize("covers, people", [(4, 2), (12, 2), (24, 4)])
def test_bars_of_a_row_never_lie_on_each_other(covers, people):
    drawn = pass_sheet.timeline(dish.plate(), service.plan(dish.plate(), covers, people, 2), "19:30")
    bars = [tuple(map(float, found)) for found in re.findall(r'<rect x="([\d.]+)" y="(\d+)" width="([\d.]+)" height="18" fill="(?!#fff)', drawn.replace(
        'fill="none" stroke', 'fill="h" stroke').replace('fill="url', 'fill="u'))]
    assert len(bars) >= 16
    for (x, y, wide), (other, row, _) in zip(sorted(bars, key=lambda bar: bar[1::-1]), sorted(bars, key=lambda bar: bar[1::-1])[1:]):
        assert row > y or other >= x + wide - 0.15           # both rounded to a tenth of a pixel


def test_rows_take_the_lowest_that_is_free():
    assert order.rows([0, 1, 2, 5], [5, 3, 4, 6], [1, 1, 1, 2]) == [(0,), (1,), (2,), (0, 1)]
    assert order.rows([0, 0], [1, 1], [0, 2]) == [(), (0, 1)]


@pytest.mark.parametrize("minutes, at, shown", [(-129.1, "19:30", "17:20"), (0, "9:05", "9:05"), (-10, "0:05", "23:55"), (45, "23:30", "0:15")])
def test_clock(minutes, at, shown):
    assert order.clock(minutes, at) == shown


@pytest.mark.parametrize("bad", ["25:00", "19.30", "19:3", "", "half past", "19:60", "١٩:٣٠"])
def test_a_strange_time_is_refused(bad):
    with pytest.raises(ValueError, match="written like 19:30"):
        pass_sheet.sheet(dish.plate(), 12, at=bad)


def test_a_clash_stands_in_the_place_of_the_timeline():
    made = pass_sheet.sheet(dish.plate(), 24, 2, 2)
    assert not made.plan.found and "<svg" not in made.page
    for word in ("lift spheres", "scoop ice", "dress plates", "no order of work"):
        assert word in words(made.page)


def test_allergens_and_limits_are_the_place_s_own(page):
    said = words(page)
    assert "mustard: yellow mustard (not on this list" in said and "5 °C" in said
    record = table(page, "step")
    assert record and all(not any(row[2:]) for row in record) and ["freeze ice", "nitrogen"] in [row[:2] for row in record]
    assert page.count("Record, to be filled in") == 1


@pytest.mark.parametrize("place", ["European Union", "United States"])
def test_raw_fish_asks_for_the_place_s_freezing(place):
    plate = dish.plate()
    raw = plate.components[0]._replace(mix=Mix({"raw trout": Q_(1000, "g")}, own=False), fish="raw")
    said = words(pass_sheet.sheet(plate._replace(components=(raw, *plate.components[1:])), 4, places=(place,)).page)
    assert rules.fish_freezing(place).words in said and "parasites" in said
    assert "parasites" not in words(pass_sheet.sheet(plate, 4, places=(place,)).page).partition("6 Food-safety log")[2]


def test_own_dish_and_what_is_missing(tmp_path, capsys):
    (tmp_path / "onions_components.csv").write_text("component;mix;portion [g]\nonions <b>;onion 100 g + salt 2 g;51\n", encoding="utf-8-sig")
    (tmp_path / "onions_steps.csv").write_text("step;minutes;per cover\ncut;1,5;0,5\n", encoding="utf-8")
    given = ["sheet", "pass", "--components", str(tmp_path / "onions_components.csv"), "--steps", str(tmp_path / "onions_steps.csv"), "--to", str(tmp_path)]
    assert command.main([*given, "--covers", "1"]) == 0
    made = (tmp_path / pass_sheet.NAME).read_text(encoding="utf-8")
    assert "missing" in made and "want of a price: onion, the wage" in made and "onions &lt;b&gt;" in made and "<b>" not in made
    assert command.main(given) == 2 and "--overwrite" in capsys.readouterr().err
    assert command.main([*given[:4], "--to", str(tmp_path)]) == 2 and "two tables" in capsys.readouterr().err
    (tmp_path / "onions_steps.csv").write_text("step;minutes\ncut;soon\n", encoding="utf-8")
    assert command.main([*given, "--overwrite"]) == 2 and "row 2, column 'minutes': 'soon'" in capsys.readouterr().err


@pytest.mark.parametrize("extra, said", [(["--covers", "0"], "covers is a whole number"), (["--at", "noon"], "written like 19:30"),
                                         (["--wage", "-1"], "wage"), (["--people", "-1"], "people")])
def test_command_refuses_in_one_sentence(extra, said, tmp_path, capsys):
    assert command.main(["sheet", "pass", *extra, "--to", str(tmp_path)]) == 2
    told = capsys.readouterr().err.strip()
    assert said in told and "\n" not in told and not list(tmp_path.iterdir())


def test_bad_numbers_raise():
    for bad in (dict(covers=0), dict(covers=4, people=-1), dict(covers=4, wage=-1)):
        with pytest.raises(OutOfRange):
            pass_sheet.sheet(dish.plate(), **bad)


# --- the explorer and the bank -------------------------------------------------------------------------------------------------------------
@pytest.mark.parametrize("settings", [dict(covers=12), dict(covers=24, people=4, slip=25, step="9 mix emulsion", begun=explore.BEGUN[1]),
                                      dict(covers=14, slip=30, step="15 scoop ice"), dict(covers=40)])
def test_explorer_gives_nobody_two_things_at_once(settings):
    made = explore.timeline.at(**settings)
    for row in {bar[2] for bar in made["bars"]}:
        bars = sorted(bar[:2] for bar in made["bars"] if bar[2] == row)
        assert all(end <= start + 1e-6 for (_, end), (start, _) in zip(bars, bars[1:]))
    assert made["rows"] <= made["people"] if made["found"] else made["rows"] > made["people"]


def test_explorer_names_the_clash_and_the_slip():
    clash = explore.timeline.at(covers=24, people=2)["words"]
    assert all(word in clash for word in ("lift spheres 18 min", "scoop ice 13.6 min", "dress plates 18 min", "2 hands have 38 min"))
    slip = explore.timeline.at(covers=12, people=2, slip=10, step="15 scoop ice", service_at="20:00")["words"]
    assert "10 min late, at 20:10" in slip and "lift spheres 1 of 2 waits" in slip
    early = explore.timeline.at(covers=24, people=4, slip=15, step="9 mix emulsion", begun=explore.BEGUN[1])["words"]
    assert "leave in time" in early


@pytest.mark.parametrize("number", [None, 3, 11, 27])
def test_covers_for_the_hands_are_those_of_a_plan(number):
    """What the exercise sums up is what the library's search finds: so many plates go, one more does not."""
    given, most = ask.COVERS_A_PAIR.variant(number), round(ask.COVERS_A_PAIR.solved(number).truth)
    step = dish.Work("dress", "", given["batch"], Q_(0.0, "min"), round(given["at_once"]), 1, 0, (), Q_(0.0, "min"), given["keeps"], "", ())
    made = dish.Dish("x", (), (step,))
    people = round(given["people"])
    assert service.plan(made, most, people, 0).found and not service.plan(made, most + 1, people, 0).found
