"""Lesson 02: tonight's batch, live. The five answers of each card for any input, and how what is not weighed goes with the batch."""
import functools
import re
import textwrap

import numpy as np

from ... import cautions, cryo
from ...spread import of
from ...tables import kinds, row
from ...units import Q_, plain, show
from .. import tonight
from ..figures import INK, KINDS, STILL, above, step_axis
from ..panel import Choice, Explorer, Slider
from . import PLACE, place_of
from .calcium_bath import alginates, salts
from .setting_and_melting import agents

TEST = Q_(500, "g")                      # the batch from which a rule of three would count
SWEEP = np.array([50, 100, 200, 500, 1000, 2000, 5000], float)      # g, of the curve


def _field(name, value):
    """(field of a sentence, quantity) of a Value: as rounded as it is told, so that °F and oz come out too."""
    told = value.text.replace("\u2212", "-")
    number, _, unit = told.partition(" ")
    digits = max(len(re.sub(r"\D", "", number).lstrip("0")), 1)
    if unit == "°C":                                     # whole degrees Fahrenheit need a digit more
        digits = 3 if abs(float(number)) >= 37 else max(digits, 2)
    kept = Q_(float(number), {"°C": "degC", "%": "percent", "h": "hour", "days": "day", "": ""}.get(unit, unit)) if unit else float(number)
    return f"{{{name}:{digits}}}", kept


def _read(answers, batch, listed, curve, unit, **more):
    """The reading of a technique: sentence from its answers; curve: what `listed` (place of an answer, of its value) is at SWEEP, in `unit`."""
    listed, of_it = listed
    reading, said = {"batch": batch, "answers": answers, **more}, []
    for n, one in enumerate(answers):
        fields = []
        for k, value in enumerate(one.values):
            field, reading[f"v{n}_{k}"] = _field(f"v{n}_{k}", value)
            fields.append(field)
        said.append(f"{one.label}: {one.says.format(*fields)}")
    here = answers[listed].values[of_it].quantity if answers[listed].values else 0.0
    at = here.m_as("hour" if unit == "h" else unit) if hasattr(here, "m") else tonight.stepped(here, 1, "up")
    three = float(curve[list(SWEEP).index(TEST.m)]) * (batch / TEST).m_as("")
    first = more.get("first", "")
    return reading | {"curve": curve, "point": at, "three": three, "unit": unit, "what": answers[listed].label.lower(),
                      "sentence": f"{first}{' ' if first else ''}For {{batch:3}}: {'. '.join(said)}.",
                      "more": f"The rule of three from {show(TEST)} would say {plain(three, 2)} {unit} for \u2018{answers[listed].label.lower()}\u2019; "
                              f"the sum, unrounded, {plain(at, 2)} {unit}.",
                      "cautions": more.get("cautions", ())}


def _stage(what, tops):
    def stage(look):
        figure, (card, curve) = look.panels(2, (1.1, 1), (1.6, 1.5))
        size = look.style()["font.size"]
        card.axis("off")
        card.set(xlim=(0, 1), ylim=(5, 0))
        moving = {"lines": [(card.text(0, n, "", va="top", fontsize=0.75 * size), card.text(0, n + 0.4, "", va="top", fontsize=1.05 * size, weight="bold"))
                            for n in range(5)]}
        gram = look.number(Q_(1, "g"))
        curve.set(xscale="log", xlim=(45 * gram, 5600 * gram), ylim=(0, tops[0]), xlabel=look.label("batch", "g"), ylabel=what)
        marks = [look.number(Q_(grams, "g")) for grams in (50, 200, 1000, 5000)]
        curve.set_xticks(marks, [plain(mark, 2) for mark in marks])
        curve.minorticks_off()
        moving["axes"] = curve
        moving["real"] = curve.plot([], [], KINDS["time"]["linestyle"], marker=".", color=KINDS["time"]["color"], label="worked out anew")[0]
        moving["three"] = curve.plot([], [], "--", **STILL, label=f"rule of three from {show(TEST)}")[0]
        moving["here"] = curve.plot([], [], KINDS["time"]["marker"], color=KINDS["mass"]["color"], markeredgecolor=INK, markersize=11,
                                    zorder=5, label="your batch")[0]
        above(curve, look)
        return figure, moving
    return stage


def _place(tops):
    def place(moving, reading, look):
        for (label, says), one in zip(moving["lines"], reading["answers"]):
            label.set_text(one.label)
            words = one.says.format(*(_shown(value, look) for value in one.values))
            letters = 34 if look.size == "narrow" else 45        # that stand in a line of the card
            says.set_text("\n".join(textwrap.wrap(words, letters if len(words) <= letters else 1.36 * letters)))
            says.set_fontsize((1.05 if len(words) <= letters else 0.75) * look.style()["font.size"])
        grams = look.number(Q_(1, "g"))
        x, y = SWEEP * grams, reading["curve"]
        moving["real"].set_data(x, y)
        moving["three"].set_data(x, y[list(SWEEP).index(TEST.m)] * SWEEP / TEST.m)
        moving["here"].set_data([look.number(reading["batch"], "g")], [reading["point"]])
        return step_axis(moving["axes"], "y", float(max(y)), tops)
    return place


def _shown(value, look):
    """A Value as it is told, in the user's units."""
    field, kept = _field("x", value)
    shown = look.number(kept)
    return value.text if np.allclose(shown, getattr(kept, "m", kept)) else f"{plain(shown, int(field[3:-1]))} {look.unit(kept.units)}"


def _explorer(controls, read, tops, what, title):
    return Explorer(controls, read, _stage(what, tops), _place(tops), title=title,
                    alt=f"Left: the five answers of the card. Right: the answer that is worked out anew for each batch, {what}, over the batch; dashed, what "
                        "a rule of three would say; the mark is your batch.")


BATCH = Slider("batch", "batch", "g", 50, 5000, 1200, 10, log=True)


def _sweep(time, unit):
    """A time for a batch (a function of it) at SWEEP, in a unit."""
    return np.array([time(Q_(grams, "g")).m_as(unit) for grams in SWEEP])


# --- the five ------------------------------------------------------------------------------------------------------------------------
@functools.lru_cache(32)
def _pearls(room):
    return _sweep(lambda batch: tonight.resting(batch, room), "min")


def read_pearls(agar, batch, room):
    return _read(tonight.pearls_now(batch, row(agar), room), batch, (1, 1), _pearls(room), "min",
                 cautions=tuple(text for text in cautions.for_("pearls in oil") if "choke" in text))


@functools.lru_cache(32)
def _spheres(alginate):
    return _sweep(lambda batch: tonight.clearing(batch, alginate), "min")


def read_spheres(salt, alginate, batch, diameter, shell):
    return _read(tonight.spheres_now(batch, row(salt), diameter, shell, alginate), batch, (3, 0), _spheres(alginate), "min",
                 cautions=tuple(text for text in cautions.for_("spheres") if "choke" in text))


@functools.lru_cache(32)
def _sauce(oil, share, egg):
    one = tonight.recipe(oil, share, egg)[1] / tonight.YOLK.m
    return np.array([tonight.stepped(one * grams, 1, "up") for grams in SWEEP], float)


def read_sauce(oil, egg, batch, share, place):
    found = tonight.sauce_now(batch, row(oil), share, egg, place_of(place))
    return _read(found, batch, (1, 1), _sauce(row(oil), share, egg), "whole eggs", cautions=cautions.for_("raw egg") if egg == "raw egg" else ())


@functools.lru_cache(1)
def _ice():
    return _sweep(tonight.chilling, "min")


def read_ice(base, batch, vessel, room, frozen):
    gate = tonight.spill(room, vessel)
    return _read(tonight.ice_now(batch, cryo.base(base), frozen, gate), batch, (0, 0), _ice(), "min", first=gate.words,
                 cautions=cautions.for_("nitrogen")[:2] if vessel.m else ())


@functools.lru_cache(32)
def _gel(agent):
    return _sweep(lambda batch: tonight.setting_through(batch, agent), "hour")


def dosed():
    """Agents with a dose for each texture."""
    return tuple(key for key in agents() if {f"dose_{texture}" for texture in tonight.TEXTURES} <= set(row(key)))


def read_gel(agent, texture, batch):
    found = tonight.gel_now(batch, row(agent), texture)
    made = _read(found, batch, (3, 0), _gel(row(agent)) if found[3].values else np.zeros(len(SWEEP)), "h")
    if not found[3].values:
        made["sentence"] = made["sentence"].partition(" The rule of three")[0] + f" {found[3].note}"
    return made


pearls = _explorer((Choice("agar", "agar", lambda: kinds("agar"), "agar"), BATCH, Slider("room", "room", "degC", 12, 35, 22, 1)),
                   read_pearls, (60, 180, 300), "rest (min)", "Tonight: agar pearls")
spheres = _explorer((Choice("salt", "calcium salt", salts, tonight.STRENGTH_BY), Choice("alginate", "alginate", alginates, "sodium alginate"), BATCH,
                     Slider("diameter", "sphere, across", "mm", 3, 30, 4, 0.5), Slider("shell", "shell at the lift", "mm", 0.2, 1.0, 0.3, 0.05)),
                    read_spheres, (20, 60, 300), "rest (min)", "Tonight: direct spheres")
sauce = _explorer((Choice("oil", "kind of oil", tonight.oils, "sunflower oil"), Choice("egg", "yolk", tuple(tonight.EGGS), "pasteurised egg"), BATCH,
                   Slider("share", "oil, by volume", "percent", 50, 85, 80, 1), PLACE),
                  read_sauce, (10, 30, 60), "eggs, whole", "Tonight: a yolk sauce")
ice = _explorer((Choice("base", "base", tonight.bases, "buttermilk ice"), BATCH,
                 Slider("vessel", "liquid nitrogen in the room, all vessels", "L", 0, 50, 5, 1),
                 Slider("frozen", "share of the water frozen at service", "percent", 55, 75,
                        float(of(row("serving", own=False), "wanted_frozen_share").mid.m), 0.5),
                 Slider("room", "free air in the room", "m**3", 8, 300, 60, 1, log=True)),
                read_ice, (30, 60), "iced water (min)", "Tonight: an ice")
gel = _explorer((Choice("agent", "gelling agent", dosed, "agar"), Choice("texture", "texture", tonight.TEXTURES, "sliceable"), BATCH),
                read_gel, (6, 14, 30, 60), "fridge (h)", "Tonight: a set gel")
