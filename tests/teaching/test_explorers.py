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
                assert color[3] == 0 or to_hex(color[:3]) in PALETTE, (artist, artist.get_label())


def line_or_face(handle):
    """What tells a line of a legend from the others, colour left out."""
    if isinstance(handle, Line2D):
        face = handle.get_markerfacecolor()
        return (handle.get_linestyle(), handle.get_linewidth(), str(handle._dash_pattern), handle.get_marker(), to_rgba(face)[3] == 0 or to_hex(face) == "#ffffff")
    return type(handle).__name__, handle.get_hatch(), isinstance(handle, Patch) and handle.get_alpha()


@pytest.mark.parametrize("explorer", FOUND.values(), ids=FOUND)
def test_nothing_in_a_legend_is_told_by_colour_alone(explorer):
    """Line, marker or hatch differ too. Measured series, whose markers `measured` gives, and faces that carry a number are told by those."""
    for legend in (axes.get_legend() for axes in drawn(explorer).axes):
        told = [(handle, text.get_text()) for handle, text in zip(legend.legend_handles, legend.get_texts())] if legend else []
        looks = [line_or_face(handle) for handle, words in told if not words.startswith("measured") and not re.match(r"\d ", words)]
        assert len(set(looks)) == len(looks), [words for _, words in told]
