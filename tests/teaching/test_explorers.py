"""Every explorer of every lesson can be asked for its reading at any setting, says it in plain words, and draws it."""
import importlib
import pkgutil
import random
import re

import pytest
from matplotlib import rc_context
from matplotlib.collections import Collection
from matplotlib.colors import to_hex, to_rgba
from matplotlib.lines import Line2D
from matplotlib.patches import Patch

from kitchenlib.teaching import explorers, figures
from kitchenlib.teaching.explorers.difficult_liquids import LEFT
from kitchenlib.teaching.figures import Look
from kitchenlib.teaching.panel import Choice, Explorer

FOUND = {f"{module.name}.{name}": thing for module in pkgutil.iter_modules(explorers.__path__)
         for name, thing in vars(importlib.import_module(f"{explorers.__name__}.{module.name}")).items() if isinstance(thing, Explorer)}
NEVER = re.compile(r"\b(nan|inf|not a number|None|Traceback)\b|[<{]|\de[+-]\d|\d×10|-0(\.0+)?(?!\.?\d)")


def ends(control):
    return control.words() if isinstance(control, Choice) else (control.low, control.high)


def settings_of(explorer):
    """Each control at each end with the rest at rest; all low; all high."""
    for name, control in explorer.controls.items():
        for value in ends(control):
            yield {name: value}
    for which in (0, -1):
        yield {name: ends(control)[which] for name, control in explorer.controls.items()}


def said(explorer, settings):
    words = explorer.at(**settings)["words"]
    assert words.strip().endswith((".", "?", "!")) and not NEVER.search(words), f"at {settings}: {words}"


@pytest.mark.parametrize("explorer", FOUND.values(), ids=FOUND)
def test_reading_at_every_end(explorer):
    for settings in settings_of(explorer):
        said(explorer, settings)


@pytest.mark.parametrize("explorer", FOUND.values(), ids=FOUND)
def test_reading_at_random_settings(explorer):
    dice = random.Random(20)
    for _ in range(12):
        said(explorer, {name: dice.choice(ends(c)) if isinstance(c, Choice) else dice.uniform(c.low, c.high)
                        for name, c in explorer.controls.items()})


@pytest.mark.slow
@pytest.mark.parametrize("explorer", FOUND.values(), ids=FOUND)
def test_picture_at_200_random_settings(explorer):
    dice = random.Random(21)
    for n in range(200):
        settings = {name: dice.choice(ends(c)) if isinstance(c, Choice) else dice.uniform(c.low, c.high) for name, c in explorer.controls.items()}
        part = n // 34                                       # a new look is a new figure: six of them, not one a draw
        png, _ = explorer.draw(Look(("wide", "narrow", "projector")[part % 3], ("°C", "°F")[part % 2], ("g", "oz")[part % 2]), **settings)
        assert png.startswith(b"\x89PNG")


@pytest.mark.parametrize("explorer", FOUND.values(), ids=FOUND)
def test_picture_in_every_size_at_all_low_and_all_high(explorer):
    for settings in list(settings_of(explorer))[-2:]:
        for size in ("wide", "narrow", "projector"):
            assert explorer.draw(Look(size, "°F", "oz"), **settings)[0].startswith(b"\x89PNG")


@pytest.mark.parametrize("explorer", FOUND.values(), ids=FOUND)
def test_unknown_name_is_refused_with_the_nearest(explorer):
    name = next(iter(explorer.controls))
    with pytest.raises(ValueError, match=name):
        explorer.at(**{name + "x": 1})


@pytest.mark.parametrize("explorer", FOUND.values(), ids=FOUND)
def test_has_words_for_who_does_not_see_it(explorer):
    assert explorer.title and len(explorer.alt) > 40, f"title {explorer.title!r}; alt {explorer.alt!r} (what the picture shows, more than 40 letters)"


# --- one order of controls, one name per quantity --------------------------------------------------------------------------------------
# The kinds in the order in which a panel has them, and in each the labels with their units (None: a choice of words). A new label is entered
# here, where one sees whether the quantity has a name already.
CONTROLS = {
    "ingredients": {
        "what was measured": None, "readings": None, "method": None, "calcium salt": None, "salt in its place": None, "alginate": None, "food": None,
        "liquid": None, "acid": None, "sugar in the sphere": None, "hold it in": None, "base": None, "in the sugar's place": None, "gelling agent": None,
        "agar": None, "gelatin in the recipe": None, "gelatin at hand": None, "Bloom in the recipe (powder)": "Bloom", "Bloom at hand (powder)": "Bloom",
        "Bloom (plain gelatin only)": "Bloom", "kind of oil": None, "yolk": None, "sour with": None, "bowl of": None, "said as": None},
    "amounts": {
        "texture": None, "kept fixed": None, "readings used, from the first": "",
        "dose wanted": "percent", "dose as weighed": "percent", "dose in the recipe": "percent", "boiled off": "percent", "near enough": "percent",
        "batch": "g", "portion": "g", "batches": "", "salt in the bath": "percent", "calcium chloride dihydrate in the bath": "percent",
        "sodium alginate": "percent", "bath": "L", "liquid on the spoon, of the spheres": "percent", "change the bath when this is left": "percent",
        "scoop": "g", "pH": "", "pH as measured": "", "wanted pH": "", "titratable acid, told as citric": "g/L", "titratable acid, told as it": "g/L",
        "calcium in all": "mg/kg", "alcohol by mass": "percent", "the sphere's liquid": "brix", "syrup, as asked for": "brix", "syrup measured": None,
        "sugars in it": "percent", "of what is added, dextrose (dry)": "percent", "salt added": "percent", "sugar out, from 1 kg": "g",
        "so much put in": "g", "salt put in": "g", "weight on a 25 mm cube": None, "the scale shows steps of": None, "the batch is weighed on": None,
        "bowl set to zero first": None, "the number": "percent", "the rest, it not counted": "g", "all on the flour, added up": "percent",
        "density of the finished mix": "g/mL", "oil, by volume": "percent", "oil": "g", "xanthan, of the water": "percent", "yolks": "",
        "sour liquid for each yolk": "mL", "heavy cream": "g", "water and acid": "g", "base to freeze": "kg", "bowl and tools": "kg",
        "sugar in the base": "brix", "liquid nitrogen in the room, all vessels": "L", "share of the gas's cold that is caught": "percent",
        "more for mixing and the room's heat": "percent", "filled with liquid when it is shut": "percent", "share of the water frozen at service": "percent",
        "number of tips": "", "drops a second from each tip": "", "dripped, grams a minute": "", "hot base": "g", "purée": "g", "covers": "",
        "pairs of hands": "", "burners": ""},
    "sizes": {
        "vessel": None, "shape": None, "tool": None, "in the hand": None, "sphere, across": "mm", "shell at the lift": "mm", "depth of the base": "mm",
        "size, across": "mm", "crystals at first, mean": "um", "droplet, across": "µm", "height in the jar": "mm", "tip, outside": "mm",
        "depth of oil": "mm", "bag or bottle, across": "mm", "depth in a tray or dish": "mm", "lid or stopper, across": "mm",
        "free air in the room": "m**3", "air changes by the fan": "1/hour"},
    "temperatures": {
        "cold place": None, "stands in": None, "temperature": "degC", "store": "degC", "served at": "degC", "cold plate": "degC", "warm plate": "degC",
        "room": "degC", "freezer": "degC", "eaten at (gelatin)": "degC", "the sauce": "degC", "base at the start": "degC", "base at the end": "degC",
        "bowl at the start": "degC", "mix": "degC", "oil at the start": "degC", "leaves the stove at": "degC", "goes in at": "degC", "base at": "degC",
        "purée at": "degC"},
    "times": {
        "plates leave at": None, "the step that slips": None, "time in the bath": "s", "rinse in stirred water": "s", "hold until service": "min",
        "rest": "min", "in the cold place for": "s", "then in the still freezer for": "min", "days in the store": "day", "minutes after plating": "min",
        "hours it stands": "hour", "held so long": "min", "minutes since then": "min", "it takes longer by": "min", "meanwhile": None, "work is begun": None},
    "view": {"show": None, "axes": None, "place": None},        # place: by whose rule the result is judged
}
KIND_OF = {label: kind for kind, labels in CONTROLS.items() for label in labels}
UNIT_OF = {label: unit for labels in CONTROLS.values() for label, unit in labels.items()}


def label_of(control):
    return control.label.removesuffix(LEFT)


@pytest.mark.parametrize("explorer", FOUND.values(), ids=FOUND)
def test_every_name_of_a_control_is_on_the_list(explorer):
    new = {label_of(control) for control in explorer.controls.values()} - set(KIND_OF)
    assert not new, f"take a name that CONTROLS of this file has, or write there what kind of thing it is and its unit: {new}"


@pytest.mark.parametrize("explorer", FOUND.values(), ids=FOUND)
def test_controls_stand_in_the_one_order(explorer):
    """Ingredients, amounts, sizes, temperatures, times, view: in each sample's box, and in the one for all."""
    for sample in ("A", "B", ""):
        kinds = [list(CONTROLS).index(KIND_OF[label_of(c)]) for c in explorer.controls.values() if c.sample == sample]
        assert kinds == sorted(kinds), [c.label for c in explorer.controls.values()]


@pytest.mark.parametrize("explorer", FOUND.values(), ids=FOUND)
def test_a_quantity_has_one_name_and_one_unit(explorer):
    for control in explorer.controls.values():
        unit = None if isinstance(control, Choice) else control.unit
        assert UNIT_OF[label_of(control)] == unit, f"{control.label} is in {UNIT_OF[label_of(control)]} elsewhere, not in {unit}"
    labels = [(control.sample, control.label) for control in explorer.controls.values()]
    assert len(set(labels)) == len(labels), "two controls of one panel bear one name"


def test_every_name_on_the_list_is_in_use():
    assert set(UNIT_OF) == {label_of(control) for explorer in FOUND.values() for control in explorer.controls.values()}


# --- looks -----------------------------------------------------------------------------------------------------------------------------
def colors_in(thing):
    """All hex colours in nested dicts and tuples."""
    if isinstance(thing, str):
        return {to_hex(thing)} if thing.startswith("#") else set()
    return set().union(*map(colors_in, thing.values() if isinstance(thing, dict) else thing)) if isinstance(thing, (dict, tuple)) else set()


PALETTE = {"#ffffff"}.union(*(colors_in(value) for name, value in vars(figures).items() if name.isupper()))


def drawn(explorer, **settings):
    look = Look()
    with rc_context(look.style()):
        figure, moving = explorer.stage(look)
        explorer.place(moving, explorer.read(**explorer.settings(**settings)), look)
    return figure


def colors_of(artist):
    if isinstance(artist, Line2D):
        marked = artist.get_marker() not in ("None", None, "") and (artist.get_markerfacecolor(), artist.get_markeredgecolor())
        return (*([artist.get_color()] if artist.get_linestyle() != "None" else ()), *(marked or ()))
    if isinstance(artist, Patch):
        return artist.get_facecolor(), artist.get_edgecolor()
    return (*artist.get_facecolor(), *artist.get_edgecolor()) if isinstance(artist, Collection) else (artist.get_color(),)


@pytest.mark.parametrize("explorer", FOUND.values(), ids=FOUND)
def test_all_colours_are_those_of_the_one_palette(explorer):
    for axes in drawn(explorer).axes:
        for artist in (*axes.lines, *axes.patches, *axes.texts, *axes.collections):
            for color in map(to_rgba, colors_of(artist)):
                assert color[3] == 0 or to_hex(color[:3]) in PALETTE, f"{artist}: {to_hex(color[:3])} is no colour of figures.py: take KINDS, STATES, ..."


def line_or_face(handle):
    """What tells a line of a legend from the others, colour left out."""
    if isinstance(handle, Line2D):
        face = handle.get_markerfacecolor()
        hollow = to_rgba(face)[3] == 0 or to_hex(face) == "#ffffff"
        return handle.get_linestyle(), handle.get_linewidth(), str(handle._dash_pattern), handle.get_marker(), hollow
    return type(handle).__name__, handle.get_hatch(), isinstance(handle, Patch) and handle.get_alpha()


@pytest.mark.parametrize("explorer", FOUND.values(), ids=FOUND)
def test_nothing_in_a_legend_is_told_by_colour_alone(explorer):
    """Line, marker or hatch differ too. Measured series, whose markers `measured` gives, and faces that carry a number are told by those."""
    for legend in (axes.get_legend() for axes in drawn(explorer).axes):
        told = [(handle, text.get_text()) for handle, text in zip(legend.legend_handles, legend.get_texts())] if legend else []
        looks = [line_or_face(handle) for handle, words in told if not words.startswith("measured") and not re.match(r"\d ", words)]
        assert len(set(looks)) == len(looks), [words for _, words in told]
