"""Texts and gates: what to warn of, technique by technique. Teaching text, never clearance.

Rules that differ by place stand in `rules`. The gate of raw egg and acid will stand here, below the texts.
"""
import functools

from .tables import DATASETS, read_csv
from .units import one_of


@functools.cache
def _texts():
    return tuple((tuple(word.strip() for word in cells["techniques"].split("|")), cells["text"])
                 for _, cells in read_csv(DATASETS / "cautions.csv")[1])


def techniques():
    """The words `for_` knows."""
    return tuple(dict.fromkeys(word for words, _ in _texts() for word in words))


def for_(*names):
    """The cautions of these techniques, each once, in the file's order: for_("pearls in oil", "agar"). ValueError names the nearest."""
    for name in names:
        one_of(name, techniques(), "a technique")
    return tuple(text for words, text in _texts() if any(name in words for name in names))


def diet(row):
    """'gelatin: pork, beef or fish; not vegetarian, not vegan: ask ...' of an ingredient's Row; LookupError where no row says."""
    told = {"yes": "", "no": "not ", "ask": "perhaps not "}
    fact = row.fact("origin")
    flags = ", ".join(f"{told[getattr(row, flag)]}{flag}" for flag in ("vegetarian", "vegan"))
    return f"{row.key}: {fact.value}; {flags}{': ' + fact.note if fact.note else ''}"
