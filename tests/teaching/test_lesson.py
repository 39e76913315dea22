"""What a lesson's cells say, and the start page's two forms."""
import pytest

from kitchenlib import files
from kitchenlib.teaching import own_things
from kitchenlib.teaching.lesson import Table, checked, faults, rows_used, said
from kitchenlib.units import Q_


@pytest.fixture(autouse=True)
def home(tmp_path, monkeypatch):
    monkeypatch.setenv("KITCHENLIB_HOME", str(tmp_path))
    return tmp_path


def test_said_prints_what_the_text_prints(capsys):
    said("agar to weigh", Q_(0.005, "kg"), "5.0 g")
    said("fold", 4.59, "4.6")
    assert capsys.readouterr().out == "agar to weigh: 5.0 g\nfold: 4.6\n"


def test_said_stops_where_text_and_code_have_drifted_apart():
    with pytest.raises(AssertionError, match="the text says 5.1 g, the code gives 5.0 g"):
        said("agar to weigh", Q_(5, "g"), "5.1 g")


def test_a_table_is_text_and_html_and_runs_nothing():
    table = Table(("a", "b"), [("<script>1</script>", 2)], after="so & so")
    assert repr(table) == "a | b\n<script>1</script> | 2\nso & so"
    assert "<script>" not in table._repr_html_() and "&lt;script&gt;" in table._repr_html_() and "so &amp; so" in table._repr_html_()


@pytest.mark.parametrize("lesson, symptom", [("10", "lumps"), ("12", "worm")])
def test_a_lesson_shows_its_own_faults(lesson, symptom):
    rows = faults(lesson).rows
    assert len(rows) >= 6 and any(symptom in row[0].lower() for row in rows)
    assert all(all(row) for row in rows), "a fault says what is seen, why, what to check, the rescue, its minutes and how to prevent it"


def test_a_lesson_shows_its_checks_and_its_rows():
    assert any(row[0] == "read" and int(row[1]) > 5 for row in checked("10").rows)
    made = rows_used("agar", names=("modulus", "dose_exponent"))
    assert len(made.rows) == 2 and all(row[3] for row in made.rows)


def send(form, **typed):
    view = form.view()
    values = {field["name"]: field.get("value", "") or "" for field in view.fields}
    view.sent = {"turn": 1, "values": {**values, **typed}}
    return view


def test_settings_form_keeps_and_says_so():
    view = send(own_things.settings, student=" s-017 ", **{"class": "C4"}, temperature="°F", mass="oz", size="projector")
    assert "s-017" in view.message and not view.trouble
    assert files.settings()["student"] == "s-017" and files.settings()["size"] == "projector"
    again = own_things.settings.view()
    assert {f["name"]: f["value"] for f in again.fields}["class"] == "C4"


def test_settings_form_refuses_a_page_of_text_and_keeps_the_old():
    send(own_things.settings, student="s-1", **{"class": "C4"})
    view = send(own_things.settings, student="x" * 41)
    assert "40 characters" in view.trouble and not view.message and files.settings()["student"] == "s-1"


def test_places_come_from_the_rules():
    assert len(own_things.places()) >= 4


def test_shelf_form_adds_a_product_that_explorers_then_offer():
    assert not send(own_things.shelf, product="our agar", property="is", value="agar").trouble
    view = send(own_things.shelf, product="our agar", property="gel_strength", value="900", unit="g/cm²", lot="L7", note="sheet")
    assert "our agar" in view.message and any("our agar" in row for row in view.table)
    from kitchenlib.teaching.explorers import gel_strength
    assert "our agar" in gel_strength.strength.controls["agent_a"].words()
    words = gel_strength.strength.at(agent_a="our agar")["words"]
    assert "our agar" in words and "breaks near" in words


@pytest.mark.parametrize("typed, says", [({"product": ""}, "name"), ({"unit": ""}, "unit"), ({"unit": "Bloom"}, "gel_strength"), ({"value": "lots"}, "lots"),
                                         ({"value": "1,600"}, "1,600"), ({"property": "strength"}, "gel_strength"), ({"unit": "furlong"}, "furlong")])
def test_shelf_form_refuses_with_the_mend_and_writes_nothing(home, typed, says):
    view = send(own_things.shelf, **{"product": "our agar", "property": "gel_strength", "value": "900", "unit": "g/cm²", **typed})
    assert says in view.trouble and not view.message and not (home / "shelf.csv").exists()


def test_forms_leave_a_line_where_no_kernel_runs():
    bundle = own_things.shelf._repr_mimebundle_()
    assert "form" in bundle["text/plain"] and "application/vnd.jupyter.widget-view+json" in bundle
