"""python -m kitchenlib card KIND: one page for the phone at the pass, saved beforehand, without a net; printed it is the card on the wall.

All numbers of a card are worked out here, by the models, and lie in the page as one table; its script only looks up, takes the more
careful neighbour between two listed batches, and rounds grams to what a scale can show.
"""
import argparse
import functools
import html
import json
import re
import sys
from pathlib import Path
from typing import NamedTuple

import pint

from .. import cautions, cryo, files, rules
from ..spread import of
from ..tables import kinds, row
from ..units import Q_, Quantity, unbroken
from . import commands, sheets, tonight
from .explorers.calcium_bath import salts
from .explorers.tonight import dosed
from .tonight import BATCHES, Answer, given, listed

WALL = (100, 200, 300, 500, 1000, 2000, 3000, 5000)      # g, rows of the printed card
HERE = Path(__file__).parent


class Card(NamedTuple):
    """What a card asks and how it is answered."""
    title: str
    products: object             # () -> keys of the rows offered, the typical one first
    product: str                 # what a product is called
    condition: str               # the question above the big buttons
    conditions: object           # () -> {words on the button: what `work` gets}
    usual: int                   # place of the condition that is set at first
    work: object                 # (batch, product's key, condition, gate) -> five Answers
    cautions: tuple              # techniques for `cautions.for_`
    faults: tuple                # techniques in faults.csv
    gate: object = None          # () -> ((question, {words: value}), ...), asked before all else
    gated: object = None         # (*values of the gate) -> dict of words, told, vessel


def _place():
    return files.settings().get("place", "")


def _ice(batch, product, frozen, _):
    """The answers with the litres that the page keeps behind its gate."""
    said = tonight.ice_now(batch, cryo.base(product), frozen)
    need = (listed(tonight.nitrogen_for(batch, cryo.base(product), frozen), "up"),)
    return tuple(Answer(one.label, "{0}", need, one.note) if one.label == tonight.NITROGEN else one for one in said)


def _egg_gate(egg):
    """What the gate says of an egg; what the place says besides stands with the last answer."""
    return {"words": cautions.hold(egg, _place()).words.removesuffix(rules.standing(_place(), "cold hold").words).strip(), "egg": egg}


def _room_gate(vessel, room):
    made = tonight.spill(room, vessel)
    return {"words": made.words, "told": made.withheld, "vessel": vessel.m, "over": f"not told: more than the {given(vessel)} counted as spilt"}


def _each(values, unit, words="{}"):
    return {words.format(given(Q_(value, unit))): Q_(value, unit) for value in values}


CARDS = {
    "pearls": Card(
        "Agar pearls in cold oil", lambda: kinds("agar"), "agar", "How warm is the room?", lambda: _each((18, 22, 28, 33), "degC"), 1,
        lambda batch, product, room, _: tonight.pearls_now(batch, row(product), room), ("pearls in oil", "agar"), ("pearls",)),
    "spheres": Card(
        "Direct spheres", lambda: sorted(salts(), key=lambda key: key != tonight.STRENGTH_BY), "calcium salt, hydrate as on its label", "How big?",
        lambda: {f"{name} {given(Q_(across, 'mm'))}": (Q_(across, "mm"), Q_(shell, "mm"))
                 for name, across, shell in (("pearls", 4, 0.3), ("drops", 10, 0.5), ("spoons", 25, 0.5))}, 0,
        lambda batch, product, size, _: tonight.spheres_now(batch, row(product), *size), ("spheres",), ("spheres",)),
    "sauce": Card(
        "Yolk sauce", tonight.oils, "oil", "How thick?",
        lambda: {f"{word}, {given(Q_(share, 'percent'))} oil": Q_(share, "percent") for word, share in (("pours", 55), ("holds", 70), ("stiff", 80))}, 2,
        lambda batch, product, share, egg: tonight.sauce_now(batch, row(product), share, egg, _place()),
        ("raw egg", "emulsions"), ("emulsions",), lambda: (("Which yolk?", {egg: egg for egg in tonight.EGGS}),), _egg_gate),
    "ice": Card(
        "Ice", tonight.bases, "base", "How firm?",
        lambda: {f"{word}, {given(share)} frozen": share for word, share in zip(("soft", "usual", "firm"), of(row("serving"), "wanted_frozen_share"))}, 1,
        _ice, ("nitrogen", "ices"), ("ices", "nitrogen"),
        lambda: (("Liquid nitrogen in the room, all vessels", {"none": Q_(0, "L"), **_each(tonight.VESSELS, "L")}),
                 ("Free air in the room, at most 2 m high counted; between two take the smaller", _each(tonight.ROOMS, "m**3"))), _room_gate),
    "gel": Card(
        "A set gel", dosed,
        "gelling agent", "How firm?", lambda: {texture: texture for texture in tonight.TEXTURES}, 1,
        lambda batch, product, texture, _: tonight.gel_now(batch, row(product), texture), ("agar", "setting", "gelatin"), ("gels",)),
}
RESCUE = "rescue"


# --- the table -------------------------------------------------------------------------------------------------------------------------
class _Texts(list):
    """Strings, each once; `at` gives the place of one."""
    def at(self, text):
        if text not in self:
            self.append(text)
        return self.index(text)


def _value(values, texts):
    """One value at all BATCHES as the page reads it: text, grams for a gram, or numbers and texts of the listed batches."""
    first = values[0]
    if first.follows == "fixed":
        return texts.at(first.text)
    numbers = [value.quantity.to_base_units().m if isinstance(value.quantity, Quantity) else value.quantity for value in values]
    if first.follows == "weighed":
        shares = [1000 * number / batch for number, batch in zip(numbers, BATCHES)]
        if max(shares) - min(shares) > 1e-9 * max(shares):
            raise ValueError("a weighed value does not follow the batch gram by gram: list it")
        if not isinstance(first.quantity, Quantity):
            return {"count": shares[-1] / 1000, "step": first.step, "way": first.way}
        return {"grams": shares[-1], "way": first.way}
    return {"numbers": [float(f"{number:.6g}") for number in numbers], "texts": [texts.at(value.text) for value in values], "way": first.way}


def _answers(card, product, condition, gate, texts):
    """The five answers at all BATCHES; a sentence where they cannot be worked out."""
    try:
        found = [card.work(Q_(batch, "g"), product, condition, gate) for batch in BATCHES]
    except (LookupError, ValueError, TypeError, pint.PintError) as error:
        return texts.at(f"{product}: {error.args[0] if isinstance(error, LookupError) else error}")
    made = []
    for same in zip(*found):
        if len({(one.label, one.says, one.note) for one in same}) > 1:
            raise ValueError(f"{same[0].label}: words must not follow the batch")
        made.append([texts.at(same[0].label), texts.at(same[0].says), texts.at(same[0].note),
                     [_value(values, texts) for values in zip(*(one.values for one in same))], int(same[0].label == tonight.NITROGEN)])
    return made


def table(name):
    """All numbers of a card, as its page holds them.

    `answers` has a list per egg (or one), in it a list per product, in it a list per condition: five rows of label, words, note, values,
    whether it is gated; or the place of a sentence where a product cannot be worked out. Words lie in `texts`.
    """
    card, texts = CARDS[name], _Texts()
    gate = tuple(card.gate()) if card.gate else ()
    by_egg = list(gate[0][1].values()) if name == "sauce" else [None]
    keys, conditions, own = card.products(), card.conditions(), set(kinds()) - set(kinds(own=False))
    gates = {}
    if gate:
        paths = [()]
        for _, choices in gate:
            paths = [(*path, choice) for path in paths for choice in choices.items()]
        gates = {"|".join(words for words, _ in path): card.gated(*(value for _, value in path)) for path in paths}
    return {"name": name, "batches": BATCHES, "wall": WALL, "kilos": tonight.KILOS, "scales": [[float(least), step] for least, step in tonight.scales()],
            "products": [[key, "own shelf" if key in own else "typical" if n == 0 else ""] for n, key in enumerate(keys)],
            "conditions": list(conditions), "usual": card.usual, "gate": [[question, list(choices)] for question, choices in gate], "gates": gates,
            "answers": [[[_answers(card, key, condition, egg, texts) for condition in conditions.values()] for key in keys] for egg in by_egg],
            "texts": texts}


# --- the page --------------------------------------------------------------------------------------------------------------------------
def short(text):
    """The first thing that a caution says."""
    return re.split(r"(?<=[.;]) ", text)[0].rstrip(".;") + "."


def _faults(*techniques):
    shown = ({name: html.escape(cell) for name, cell in fault.items()} for fault in tonight.faults(*techniques))
    return "".join(f"<details><summary>{f['symptom']}</summary><p><b>Now</b> ({f['minutes'] or '?'} min): {f['rescue']}</p>"
                   f"<p><b>Why</b>: {f['cause']} <b>Look</b>: {f['check']} <b>Next time</b>: {f['prevention']}</p></details>" for f in shown)


@functools.cache
def _part(ending):
    return (HERE / f"cards.{ending}").read_text(encoding="utf-8")


def _fields(name, made):
    """The gate and the three inputs."""
    card = CARDS[name]

    def buttons(kind, question, words, chosen=None):
        each = "".join(f'<label><input type="radio" name="{kind}" value="{word}"{" checked" if n == chosen else ""}><span>{word}</span></label>'
                       for n, word in enumerate(map(html.escape, words)))
        return f'<fieldset class="{kind.rstrip("0123456789")}"><legend>{html.escape(question)}</legend>{each}</fieldset>'
    gates = "".join(buttons(f"gate{n}", question, words) for n, (question, words) in enumerate(made["gate"]))
    options = "".join(f'<option value="{html.escape(key)}">{html.escape(key)}{f" ({mark})" if mark else ""}</option>' for key, mark in made["products"])
    return (f'{gates}<button id="change" type="button" hidden></button><p id="gate-words" role="status"></p>'
            f'<div id="ask"><div class="pair"><label>batch (g)<input id="batch" inputmode="decimal" autocomplete="off" maxlength="12" '
            f'placeholder="500"></label><label>{html.escape(card.product)}<select id="product">{options}'
            '<option value="">another, not listed</option></select></label></div>'
            f'{buttons("condition", card.condition, made["conditions"], made["usual"])}</div>')


def page(name):
    """A card as one page that stands alone: script, style and numbers in it, nothing fetched."""
    if name == RESCUE:
        return _rescue()
    card, made = CARDS[name], table(name)
    warned = dict.fromkeys(text for technique in card.cautions for text in cautions.for_(technique))
    made = {**made, "texts": [*map(unbroken, made["texts"])],
            "gates": {path: {key: unbroken(said) if isinstance(said, str) and key != "egg" else said for key, said in gate.items()}
                      for path, gate in made["gates"].items()}}
    data = json.dumps(made, ensure_ascii=False, separators=(",", ":"), default=float).replace("<", "\\u003c")
    foot = html.escape(sheets.foot())
    listed_cautions = "".join(f"<li>{html.escape(text)}</li>" for text in warned)
    return (f'<!doctype html>\n<html lang="en"><head><meta charset="utf-8"><meta name="viewport" content="width=device-width,initial-scale=1">'
            f"<title>{html.escape(card.title)}</title><style>\n{_part('css')}</style></head>\n<body>\n"
            f'<main><h1>{html.escape(card.title)}</h1>{_fields(name, made)}<p id="trouble" role="alert"></p><div id="answers" role="status"></div>'
            f'<p id="which"></p><p class="foot">{foot}</p><details id="more"><summary>All cautions; the card for the wall</summary><ul>{listed_cautions}</ul>'
            f'<button id="print" type="button">Print as a wall card</button></details></main>\n'
            f'<section id="wall" aria-hidden="true"><h1>{html.escape(card.title)}</h1><div id="wall-body"></div><ul>{listed_cautions}</ul>'
            f'<footer>{foot}</footer></section>\n'
            f'<section id="wrong" hidden aria-label="It has gone wrong"><button id="back" type="button">Back to the numbers</button>'
            f"<h2>It has gone wrong</h2>{_faults(*card.faults)}</section>\n"
            f'<aside aria-label="cautions"><button id="gone" type="button">It has gone wrong</button>'
            f'<p tabindex="0">{html.escape(" ".join(map(short, warned)))}</p></aside>\n'
            f'<script type="application/json" id="table">{data}</script>\n<script>\n{_part("js")}</script></body></html>\n')


def _rescue():
    techniques = dict.fromkeys(f["technique"] for f in tonight.faults())
    body = "".join(f"<h2>{html.escape(technique)}</h2>{_faults(technique)}" for technique in techniques)
    return sheets.page("It has gone wrong", f"<h1>It has gone wrong</h1><p>What you see; tap it for what to do now and the minutes it costs.</p>{body}"
                       "<style>summary { font-size: 1.1em; padding: .5em 0; cursor: pointer } h2 { text-transform: capitalize }</style>")


def main(arguments):
    """Write cards -> exit code: 0, or 2 where it could not be done."""
    names = (*CARDS, RESCUE)
    parser = argparse.ArgumentParser("python -m kitchenlib card", description=(
        "Write cards for the phone at the pass: one page each, no net needed, with your shelf's products in it; printed it is a card for the wall. "
        "Make them anew when the shelf or the place in your settings has changed."))
    parser.add_argument("kind", metavar="KIND", help=f"{', '.join(names)}, or all")
    parser.add_argument("--to", default=".", metavar="FOLDER", help="where to write; the current folder when left out")
    parser.add_argument("--overwrite", action="store_true", help="replace earlier cards")
    chosen = parser.parse_args(arguments)
    if chosen.kind not in (*names, "all"):
        print(commands.unknown(chosen.kind, (*names, "all"), "card"), file=sys.stderr)
        return 2
    return sheets.deliver(lambda: {f"{name}.html": page(name) for name in (names if chosen.kind == "all" else (chosen.kind,))}, chosen)
