"""Every explorer of every lesson can be asked for its reading at any setting, says it in plain words, and draws it."""
import importlib
import pkgutil
import random
import re

import pytest

from kitchenlib.teaching import explorers
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
    assert explorer.title and len(explorer.alt) > 40
