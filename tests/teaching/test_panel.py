"""The explorer without a browser: readings, words, troubles, the panel's questions and answers, the stored page."""
import base64
import io
import re
from pathlib import Path

import numpy as np
import pint
import pytest
from demonstrator import place, read, stage, tension, two
from PIL import Image

from kitchenlib import files
from kitchenlib.spread import Spread
from kitchenlib.teaching import panel
from kitchenlib.teaching.figures import SAMPLES, Look
from kitchenlib.teaching.panel import Choice, Explorer, Slider, View, said
from kitchenlib.units import OutOfRange, Q_, unbroken

FAHRENHEIT = Look("wide", "°F", "oz")
CONTROLS = tuple(tension.controls.values())


@pytest.fixture(autouse=True)
def nobody_else(own_folder, monkeypatch):
    """Settings, session and address of nobody, and no other panel in the page."""
    monkeypatch.setattr(panel, "_session", {})
    monkeypatch.setattr(panel, "_explorers", type(panel._explorers)())
    for name in ("QUERY_STRING", "HTTP_USER_AGENT"):
        monkeypatch.delenv(name, raising=False)


def ask(view, narrow=None, fine=None, units=None, **values):
    """A question as the page asks it; `units` as if somebody switched them in this panel."""
    asked = {**view.asked, "move": view.asked["move"] + 1, "values": {**view.asked["values"], **values}}
    asked.update({name: word for name, word in (("narrow", narrow), ("fine", fine)) if word is not None})
    if units:
        asked.update(units, turn=asked["turn"] + 1)
    view.asked = asked
    return view.shown


def fresh(read=read, stage=stage, place=place, controls=CONTROLS, title=""):
    return Explorer(controls, read, stage, place, alt="Surface tension of water falls as it warms", title=title)


# --- readings ---
# Surface tension of water: IAPWS R1-76(2014), table 1 (memory): 75.65 at 0.01 °C, 72.74 at 20 °C, 58.91 at 100 °C; half the last digit.
@pytest.mark.parametrize("temperature, printed", [(20, 72.74), (Q_(20, "degC"), 72.74), (100, 58.91), (Q_(212, "degF"), 58.91),
                                                  (Q_(373.15, "kelvin"), 58.91), (None, 72.74)])
def test_reading_at_any_setting(temperature, printed):
    given = {} if temperature is None else {"temperature": temperature}
    assert tension.at(**given)["pull"].m_as("mN/m") == pytest.approx(printed, abs=0.005)


@pytest.mark.parametrize("explorer", [tension, two])
def test_each_end_alone_and_all_together(explorer):
    sliders = [c for c in explorer.controls.values() if isinstance(c, Slider)]
    alone = [{c.name: end} for c in sliders for end in (c.low, c.high)]
    together = [{c.name: getattr(c, end) for c in sliders} for end in ("low", "high")]
    for settings in alone + together:
        assert explorer.at(**settings)["words"]
        picture, words = explorer.draw(**settings)
        assert words == explorer.at(**settings)["words"] and Image.open(io.BytesIO(picture)).size == (990, 360)


@pytest.mark.parametrize("given, error, mend", [
    ({"temprature": 20}, ValueError, "Did you mean 'temperature'"),
    ({"temperature": 101}, OutOfRange, "from 0 to 100 °C; 101 is outside"),
    ({"temperature": Q_(213, "degF")}, OutOfRange, "is outside"),
    ({"temperature": float("nan")}, OutOfRange, "is outside"),
    ({"temperature": -float("inf")}, OutOfRange, "is outside"),
    ({"temperature": Q_(20, "g")}, pint.DimensionalityError, "degC"),
    ({"temperature": Q_(20, "delta_degC")}, pint.DimensionalityError, "degC"),
    ({"temperature": "20"}, TypeError, "write one number, from 0 to 100 °C"),
    ({"temperature": None}, TypeError, "write one number"),
    ({"temperature": True}, TypeError, "write one number")])
def test_refusals_name_the_mend(given, error, mend):
    with pytest.raises(error, match=re.escape(mend)):
        tension.at(**given)
    with pytest.raises(error):
        tension.draw(**given)


def test_unknown_word_names_the_nearest():
    with pytest.raises(ValueError, match="Did you mean 'spelt'"):
        two.at(flour_a="splet")
    assert two.at(flour_a="spelt", view="log")["view"] == "log"


def test_pure_number_reaches_read_bare():
    explorer = fresh(lambda acidity: {"acidity": acidity, "sentence": "pH {acidity:2}."},
                     controls=(Slider("acidity", "pH", "", 3, 7, 4, 0.1),))
    reading = explorer.at(acidity=3.5)
    assert type(reading["acidity"]) is float and reading["words"] == "pH 3.5."
    assert explorer.at(acidity=Q_(3.5, "dimensionless"))["acidity"] == 3.5


@pytest.mark.parametrize("controls", [
    (Slider("a", "a", "g", 0, 10, 11, 1),), (Slider("a", "a", "g", 10, 0, 5, 1),), (Slider("a", "a", "g", 0, 10, 5, 1, log=True),),
    (Slider("a", "a", "g", 0, 10, 5, 0),), (Choice("a", "a", ("x", "y"), "z"),), (Slider("a", "a", "g", 0, 10, 5, 1),) * 2,
    (Slider("look", "look", "g", 0, 10, 5, 1),)])
def test_declarations_that_cannot_work(controls):
    with pytest.raises(ValueError):
        fresh(controls=controls)


def test_options_are_asked_when_needed_so_that_the_shelf_appears():
    asked = []
    products = ["agar"]
    explorer = fresh(lambda agent: {"agent": agent, "sentence": "{agent}"},
                     controls=(Choice("agent", "agent", lambda: asked.append(1) or products, "agar"),))
    assert explorer.at()["words"] == explorer.at(agent="agar")["words"] == "agar" and len(asked) == 1
    products.append("my own {leaf}")
    assert explorer.at(agent="my own {leaf}")["words"] == "my own {leaf}"
    assert View(explorer).controls[0]["options"] == ["agar", "my own {leaf}"]
    with pytest.raises(ValueError, match="agent is agar"):
        explorer.at(agent="gelatin")


# --- words ---
@pytest.mark.parametrize("value, digits, unit, here, there", [
    (Q_(20, "degC"), 2, "", "20 °C", "68 °F"), (Q_(4, "degC"), 1, "", "4 °C", "39 °F"), (Q_(-40, "degC"), 2, "", "-40 °C", "-40 °F"),
    (Q_(36.6, "degC"), 3, "", "36.6 °C", "97.9 °F"),
    (Q_(100, "degC"), 2, "", "100 °C", "212 °F"), (Q_(-17.8, "degC"), 2, "", "-18 °C", "0 °F"),
    (Q_(5, "delta_degC"), 2, "", "5.0 °C", "9.0 °F"), (Q_(293.15, "kelvin"), 3, "degC", "20.0 °C", "68.0 °F"),
    (Q_(28.349523125, "g"), 3, "", "28.3 g", "1.00 oz"), (Q_(0.45359237, "kg"), 2, "", "0.45 kg", "1.0 lb"),
    (Q_(500, "g"), 2, "kg", "0.50 kg", "1.1 lb"),
    (Q_(1.5, "percent"), 2, "", "1.5 %", "1.5 %"), (Q_(3, "g/L"), 2, "", "3.0 g/L", "3.0 g/L"),
    (7.25, 2, "", "7.2", "7.2"), ("agar", 0, "", "agar", "agar"),
    (Spread(Q_(5.4, "kPa"), Q_(9.0, "kPa"), Q_(15.0, "kPa")), 2, "", "9.0 kPa (5.4 to 15 kPa)", "9.0 kPa (5.4 to 15 kPa)"),
    (Spread(Q_(30.0, "degC"), Q_(35.0, "degC"), Q_(40.0, "degC")), 2, "", "35 °C (30 to 40 °C)", "95 °F (86 to 104 °F)"),
    (Spread(1.0, 1.0, 1.0), 2, "", "1.0", "1.0")])
def test_values_in_words(value, digits, unit, here, there):
    assert (said(value, digits, unit), said(value, digits, unit, FAHRENHEIT)) == (here, there)


def test_sentence_and_cautions_follow_the_switch():
    assert tension.draw(Look(), temperature=80)[1] == (
        "At 80 °C water pulls with 62.7 mN/m; 50 g sugar in it.\nCaution: water this hot scalds.")
    assert tension.draw(FAHRENHEIT, temperature=80)[1].startswith("At 176 °F water pulls with 62.7 mN/m; 1.8 oz sugar")


def test_sentence_that_asks_for_what_is_not_there_names_the_nearest():
    with pytest.raises(ValueError, match="not 'pul'. Did you mean 'pull'"):
        fresh(lambda **_: {"pull": 3, "sentence": "It pulls {pul:2}."}).at()


# --- the panel ---
def test_panel_starts_with_a_picture_and_all_it_needs():
    view = View(two)
    assert view.shown["picture"][:4] == b"\x89PNG" and view.shown["trouble"] == "" and view.alt
    assert [c["name"] for c in view.controls] == list(two.controls) and {c["sample"] for c in view.controls} == {"A", "B", ""}
    assert set(view.scales) == {"water_a", "water_b", "salt"} and view.switches == {"mass": ["g", "oz"]}


def test_each_question_is_drawn_once_and_answered_by_its_number():
    drawn = []
    view = View(fresh(place=lambda moving, reading, look: drawn.append(reading["at"].m) or place(moving, reading, look)))
    drawn.clear()
    for temperature in (25, 30, 35):
        assert ask(view, temperature=temperature)["move"] == view.asked["move"]
    assert drawn == [25, 30, 35]
    view.asked = dict(view.asked)                                        # nothing changed: nothing drawn
    assert drawn == [25, 30, 35]


def test_what_more_is_said_stands_after_the_sentence_and_before_cautions():
    explorer = fresh()
    told = explorer.read
    explorer.read = lambda **settings: {**told(**settings), "more": "Half of {at:2} is less.", "cautions": ("Hot.",)}
    first, *rest = explorer.at()["words"].split("\n")
    assert first.endswith("in it. Half of 20 °C is less.") and rest == ["Caution: Hot."]
    shown = View(explorer).shown
    assert shown["words"].endswith("in it.") and shown["more"] == "Half of 20\u00a0°C is less." and shown["cautions"] == ["Hot."]


@pytest.mark.parametrize("typed, mend", [(101, "water goes from 0 to 100 °C; 101 is outside."),
                                         (None, "water: write one number, from 0 to 100 °C."), ("abc", "water: write one number")])
def test_typed_trouble_is_said_and_the_last_picture_kept(typed, mend):
    view = View(fresh())
    good = ask(view, temperature=30)
    bad = ask(view, temperature=typed)
    assert bad["trouble"].startswith(mend) and "last setting that worked" in bad["trouble"]
    assert bad["picture"] == good["picture"] and bad["words"] == good["words"] and bad["values"]["temperature"] == typed
    assert ask(view, temperature=40)["trouble"] == "" and view.shown["words"].startswith("At 40\u00a0°C")


def test_typed_trouble_speaks_fahrenheit():
    view = View(fresh())
    ask(view, units={"temperature": "°F"})
    assert ask(view, temperature=120)["trouble"].startswith("water goes from 32 to 212 °F; 248 is outside.")


@pytest.mark.parametrize("where", ["read", "place", "stage", "sentence"])
@pytest.mark.parametrize("error, words", [(OutOfRange("dose = 9 % is outside 0.2 to 2.5 %"), "dose = 9 % is outside 0.2 to 2.5 %."),
                                          (KeyError("bloom"), "bloom."), (ZeroDivisionError(), "ZeroDivisionError."),
                                          (AttributeError("no gel"), "no gel.")])
def test_any_failure_is_said_in_words(where, error, words):
    broken = []

    def fail(part, *given, **settings):
        if broken and part == where:
            raise error
        return {"read": read, "stage": stage, "place": place}[part](*given, **settings)

    def reading(**settings):
        got = fail("read", **settings)
        return {**got, "sentence": property(lambda: 0)} if broken and where == "sentence" else got
    explorer = fresh(reading, lambda look: fail("stage", look), lambda *given: fail("place", *given))
    view = View(explorer)
    good = view.shown
    broken.append(True)
    shown = ask(view, temperature=70, narrow=True)                       # narrow: another stage
    assert shown["trouble"].startswith("This setting could not be worked out: ") and shown["picture"] == good["picture"]
    if where != "sentence":
        assert f"worked out: {words} Picture and words still show" in shown["trouble"]
    broken.clear()
    assert ask(view, temperature=75)["trouble"] == "" and view.shown["words"].startswith("At 75\u00a0°C")


def test_failure_from_the_start_shows_no_picture_but_the_reason():
    bundle = fresh(lambda **_: 1 / 0)._repr_mimebundle_()
    assert bundle["text/plain"] == "This setting could not be worked out: division by zero." and "image/png" not in bundle
    assert "<img" not in bundle["text/html"]


# --- units, once for all panels ---
def test_switch_changes_words_figure_and_scales_of_all_panels():
    one, other = fresh(title="one"), fresh(title="other")
    one._repr_mimebundle_(), other._repr_mimebundle_()
    before = other.live.shown["picture"]
    shown = ask(one.live, units={"temperature": "°F", "mass": "oz"})
    assert shown["words"] == unbroken("At 68 °F water pulls with 72.7 mN/m; 1.8 oz sugar in it.") and shown["temperature"] == "°F"
    assert one.live.scales["temperature"]["unit"] == "°F" and one.live.scales["sugar"]["unit"] == "oz"
    assert other.live.shown["words"] == shown["words"] and other.live.shown["picture"] != before
    assert View(fresh()).shown["temperature"] == "°F"                    # and of those made later
    assert fresh().at()["words"].startswith("At 20 °C")                  # not of what tests and stored pages say


def test_a_move_sent_before_the_page_heard_of_a_switch_does_not_undo_it():
    one, other = fresh(title="one"), fresh(title="other")
    one._repr_mimebundle_(), other._repr_mimebundle_()
    stale = {**other.live.asked, "move": 1, "values": {"temperature": 40, "sugar": 50}}
    ask(one.live, units={"temperature": "°F"})
    other.live.asked = stale
    assert other.live.shown["words"].startswith("At 104\u00a0°F") and one.live.shown["words"].startswith("At 68\u00a0°F")


def test_units_and_size_start_from_the_settings(monkeypatch):
    files.keep_settings(temperature="°F", mass="oz", size="projector")
    view = View(fresh())
    assert (view.shown["temperature"], view.shown["mass"], view.size, view.shown["width"]) == ("°F", "oz", "projector", 1200)
    monkeypatch.setenv("QUERY_STRING", "size=phone&x=1")
    assert View(fresh()).shown["width"] == 360
    monkeypatch.setenv("QUERY_STRING", "size=../../etc")
    assert View(fresh()).shown["width"] == 990
    files.keep_settings(size="")
    monkeypatch.delenv("QUERY_STRING")
    monkeypatch.setenv("HTTP_USER_AGENT", "Mozilla/5.0 (Linux; Android 14) Mobile Safari")
    assert View(fresh()).shown["width"] == 360


def test_page_that_turns_narrow_gets_the_narrow_figure():
    view = View(fresh())
    assert ask(view, narrow=True, fine=2)["width"] == 360 and Image.open(io.BytesIO(view.shown["picture"])).width == 720
    assert ask(view, narrow=False, fine=1)["width"] == 990


# --- scales ---
def test_stops_are_round_numbers_between_the_ends():
    water = Slider("t", "water", "degC", 4, 25, 10, 1)
    assert water.scale(Look())["stops"] == list(range(4, 26))
    warm = water.scale(FAHRENHEIT)
    shown = [warm["slope"] * s + warm["zero"] for s in warm["stops"]]
    assert shown == pytest.approx([39.2, *range(40, 78, 2), 77]) and (warm["stops"][0], warm["stops"][-1]) == (4, 25)
    assert Slider("n", "n", "percent", 0.6, 9, 2, 0.2).scale(Look())["stops"][:3] == [0.6, 0.8, 1.0]


def test_log_slider_runs_by_decades():
    stops = Slider("d", "dose", "percent", 0.05, 20, 1, 0.01, log=True).scale(Look())["stops"]
    steps = np.diff(np.log10(stops))
    assert stops[0] == 0.05 and stops[-1] == 20 and {0.1, 1.0, 10.0}.issubset(stops) and steps.max() < 0.09
    assert all(float(f"{s:.2g}") == s for s in stops)                    # two digits: what a cook would write
    assert Slider("n", "guests", "", 1, 200, 8, 1, log=True).scale(Look())["stops"][:12] == list(range(1, 13))


@pytest.mark.parametrize("look", [Look(), FAHRENHEIT])
def test_every_stop_is_accepted(look):
    for explorer in (tension, two):
        for name, control in explorer.controls.items():
            if isinstance(control, Slider):
                stops = control.scale(look)["stops"]
                assert stops == sorted(set(stops))
                assert all(control.enter(stop) is not None for stop in stops)


# --- the stored page ---
def test_bundle_holds_picture_words_and_live_view():
    explorer = fresh()
    bundle = explorer._repr_mimebundle_()
    words = "At 20 °C water pulls with 72.7 mN/m; 50 g sugar in it."
    assert bundle["text/plain"] == words and f"<figcaption>{words}</figcaption>" in bundle["text/html"]
    assert f'alt="{explorer.alt}"' in bundle["text/html"]
    assert Image.open(io.BytesIO(base64.b64decode(bundle["image/png"]))).size == (990, 360)
    assert bundle["application/vnd.jupyter.widget-view+json"]["model_id"] == explorer.live.model_id


def test_stored_page_is_the_same_on_every_machine():
    here = fresh()._repr_mimebundle_()
    files.keep_settings(temperature="°F", mass="oz", size="projector")
    there = fresh()._repr_mimebundle_()
    assert {k: v for k, v in here.items() if "json" not in k} == {k: v for k, v in there.items() if "json" not in k}


def test_words_cannot_break_the_page():
    explorer = fresh(lambda **_: {"product": "<b>\"x\" & y", "at": Q_(20, "degC"), "pull": Q_(72, "mN/m"),
                                  "about": Spread(*[Q_(72, "mN/m")] * 3), "sentence": "{product}"})
    html = explorer._repr_mimebundle_()["text/html"]
    assert "<b>" not in html and "&lt;b&gt;" in html


# --- the page's own files ---
def test_page_files_ask_nothing_of_the_net_and_fit_the_palette():
    folder = Path(panel.__file__).parent
    script, style = ((folder / name).read_text(encoding="utf-8") for name in ("panel.js", "panel.css"))
    assert not re.search(r"https?:|//\w+\.\w|@import|url\(|fetch\(|XMLHttp|import ", script.replace("URL.createObjectURL(", "") + style)
    for name, drawn in SAMPLES.items():                                  # the boxes wear the colours of their lines
        assert drawn["color"] in style, name
