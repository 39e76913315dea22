"""python -m kitchenlib sheet nitrogen: draft of a risk assessment for liquid nitrogen in one room, the whole vessel spilt first.

A draft for a competent person to read, change and sign, never a permission. What is not given stays empty and counts for nothing.
"""
import argparse
import functools
import html
import sys
from pathlib import Path
from typing import NamedTuple

import pint

from .. import nitrogen, tables
from .. import room as rooms
from ..files import DATASETS, read_csv
from ..units import OutOfRange, Q_, read_answer, show
from . import commands, sheets

NAME = "nitrogen-risk-draft.html"
LINE = Q_(19.5, "percent")               # osha-2007-04-02, eiga-44-18: the first line to be passed
NO_TIME = "counted as if all at once, for no minutes are given"


class Draft(NamedTuple):
    """A sheet: the page, the spill and the pour as computed (None where something they need is not given), and what is not given."""
    page: str
    spilt: object                # rooms.Case
    planned: object
    empty: tuple                 # names of what was not given

    def __repr__(self):
        said = [case.words for case in (self.spilt, self.planned) if case] or ["No sum: it takes the room's air and all liquid nitrogen in it."]
        return "\n".join([*said, *(rooms.ASSUMED if self.spilt else ()), f"Left empty: {', '.join(self.empty) or 'nothing of the sums'}; and all that only "
                          "people on the spot can fill in."])

    def write(self, path=NAME, overwrite=False):
        """Write the page; returns the path. FileExistsError where one is there and overwrite is false."""
        return sheets.write({Path(path): self.page}, overwrite)[0]


def most_used():
    """Most nitrogen for a mass of base in nitrogen_use.csv, and how that is known: a bound until the kitchen has weighed its own."""
    line = max(tables.records("nitrogen_use"), key=lambda line: line["per_base"])
    return line["per_base"], line["how"]


def draft(room=None, vessel=None, air_changes=None, base=None, pour=None, minutes=None, container=None):
    """The draft for this room and vessel.

    Parameters
    ----------
    room : free air [m³], 0.5 to 1,000,000
    vessel : liquid nitrogen in the room, all vessels together [L], 0 to 100,000
    air_changes : by a fan that is proved to run [1/hour], 0 to 100; where not given no fan counts
    base : to be frozen [kg], 0 to 1,000; the pour is then the most on record for so much base
    pour : planned, where the kitchen knows its own [L]; minutes : it takes, all at once where not given
    container : one of `room.vessels("yes")`

    Returns
    -------
    Draft. No sum without room and vessel: the pour is never told without the spill before it.

    Raises
    ------
    room.Refused, ValueError, OutOfRange, TypeError, pint.DimensionalityError
        a vessel that must not hold it; outside the ranges above; no quantity, or one of another kind

    Source
    ------
    room.cases; nitrogen_use.csv; cautions.csv.
    """
    given = {"room": room, "vessel": vessel, "air changes": air_changes, "base": base, "pour": base if pour is None else pour,
             "minutes": minutes, "kind of vessel": container}
    if container is not None:
        rooms.accept_vessel(container)
    per_base, how = most_used()
    planned = pour if pour is not None or base is None else nitrogen.liquid_volume(base * per_base)
    fan, time = Q_(0, "1/hour") if air_changes is None else air_changes, Q_(1, "min") if minutes is None else minutes
    most = None if room is None else rooms.rounded_down(rooms.largest_vessel(room, LINE))
    rooms.released(Q_(1e6, "m**3") if room is None else room, *(Q_(0, "L") if one is None else one for one in (vessel, planned)), time, fan)
    spilt = poured = None
    if room is not None and vessel is not None:
        cases = rooms.cases(room, vessel, Q_(0, "L") if planned is None else planned, time, fan)
        spilt = cases.spilt
        if planned is not None:
            poured = cases.planned if minutes is not None else rooms.cases(room, planned, planned, time, fan).spilt
            if minutes is None:
                poured = poured._replace(words=f"As planned, {rooms.shown_up(planned)}, {NO_TIME}: {poured.words.partition(': ')[2]}")
    empty = tuple(name for name, value in given.items() if value is None)
    known = "typical, unverified" if how == "memory" else how
    because = "" if pour is not None or base is None else f"; {per_base:g} kg a kilogram of base, the most on record ({known}): weigh your own"
    facts = (("Free air in the room, furniture taken off, at most 2 m of height", _said(room)), ("Measured by, on", ""),
             ("Liquid nitrogen in the room, all vessels together", _said(vessel)), ("Kind of vessel", container or ""),
             ("Most liquid in all that leaves 19.5 % oxygen if spilt, as a mean", _said(most)),
             ("Base to freeze", _said(base)), ("Planned pour", _said(None if planned is None else rooms.rounded_up(planned)) + because),
             ("Minutes for the pour", _said(minutes)), ("Air changes an hour", "" if air_changes is None else f"{air_changes.m_as('1/hour'):g}"),
             ("Fan proved to run by, how, on", ""), ("Low places, pits, small rooms next door", ""))
    return Draft(_page(facts, spilt, poured, air_changes, minutes), spilt, poured, empty)


def _said(quantity):
    return "" if quantity is None else show(quantity)


@functools.cache
def _cautions():
    return {cells["key"]: cells["text"] for _, cells in read_csv(DATASETS / "cautions.csv")[1]}


def _column(case, air_changes, why):
    """Cells of one case, from its unrounded numbers, rounded to the side of caution; empty where it could not be worked out."""
    if case is None:
        return ("",) * 6
    lines = [line for line in case.passed if line["kind"] != "effect"]
    effects = [line for line in case.passed if line["kind"] == "effect"]
    back = "not crossed" if case.back is None else "" if air_changes is None else \
        "more than a day: nobody goes in" if not case.back.m <= 1440 else f"at least {rooms.shown_up(case.back)}"
    further = (f", then {line['share'].m:g} %" for line in lines if line["share"] != lines[0]["share"])
    return (rooms.shown_up(case.amount) + (f", {why}" if why else ""), rooms.shown_up(case.gas), show(rooms.rounded_down(case.oxygen)),
            "".join([*map(rooms.limit_words, lines[:1]), *further]) or "none by the mean; floor and pour point are worse",
            rooms.limit_words(effects[-1]) if effects else "no effect in the table at this mean; floor and pour point are worse", back)


def _page(facts, spilt, planned, air_changes, minutes):
    blank = lambda *names: sheets.table((), [sum(((name, "") for name in names[at:at + 2]), ()) for at in range(0, len(names), 2)])
    told = lambda *keys: "".join(f"<p>{html.escape(_cautions()[key])}</p>" for key in keys)
    rows = ("liquid nitrogen", "gas at 20 °C and sea level; a warmer or higher room has more", "oxygen, mean of the room, falls to",
            "limit lines crossed", "what it does", "after the last gas, until the first line is kept again")
    sums = list(zip(rows, _column(spilt, air_changes, ""), _column(planned, air_changes, "" if minutes is not None else NO_TIME)))
    parts = [
        "<style>body { font-size: 9pt; line-height: 1.25 } p { margin: .25em 0 } h2 { margin: .6em 0 .2em; font-size: 1.15em } "
        "td { height: 1.6em; width: 25% } ul { margin: .2em 0 } td, th { padding: .1em .4em }</style>",
        "<h1>Liquid nitrogen in this room: draft of a risk assessment</h1>",
        f'<div class="caution"><p>A teaching draft and no permission. {html.escape(_cautions()["nitrogen"])} What is empty is not known, and counts '
        "for nothing.</p></div>",
        sheets.table(("for", "filled in by, on", "read by (competent person), on"), [("", "", "")]),
        "<h2>1 Room, vessel, plan</h2>", sheets.table(("what", "here"), facts),
        "<h2>2 The sums: the whole vessel spilt first, what is planned second</h2>",
        sheets.table(("", "everything spilt at once", "as planned"), sums),
        f"<ul>{''.join(f'<li>{html.escape(words)}</li>' for words in rooms.ASSUMED)}</ul>",
        "<h2>3 Extract and oxygen monitor</h2>", told("nitrogen room"),
        blank("Extract started before the first pour by", "What is done when the fan stops", "Monitor number", "Last tested on, due on", "Alarms at",
              "Worn by, or fixed where and how high"),
        "<h2>4 People and distances</h2>", told("nitrogen bowl"),
        blank("Who pours, trained by whom and when", "Second trained person, stands where", "Nearest student or guest, metres", "Who keeps the door"),
        "<h2>5 Protection</h2>", told("nitrogen clothing"), blank("Face shields, gloves, aprons: how many, looked over by"),
        "<h2>6 Vessels and their way</h2>", told("nitrogen vessels", "nitrogen transport"),
        blank("Way from delivery to this room", "Lift: who waits at which floor"),
        "<h2>7 Serving</h2>", told("nitrogen serving"), blank("Thermometer number", "Coldest temperature served, set by", "Who lets a portion go"),
        "<h2>8 First aid and alarm</h2>", told("cold burn", "someone down in gas"), blank("Emergency number", "Meeting place outdoors", "First aider"),
        "<h2>9 Leftovers</h2>", told("nitrogen leftovers"), blank("Where outdoors, who stays with it"),
        "<h2>10 Supplier and local code</h2>",
        blank("Supplier, emergency number", "Supplier's sheet: date, where it hangs", "Local code, authority, what it asks"),
        "<h2>Read by</h2>", blank("Competent person, and for what competent", "What must change first", "Date, signature")]
    return sheets.page("Liquid nitrogen: draft of a risk assessment", "\n".join(parts), "draft, to be read by a competent person")


# --- the command -----------------------------------------------------------------------------------------------------------------------
_ASKED = {"room": ("m**3", "40 m3", "the free air in the room"), "vessel": ("L", "10 L", "all liquid nitrogen in the room"),
          "air_changes": ("1/hour", "6", "fresh air by a fan that is proved to run, air changes an hour"), "base": ("kg", "3 kg", "base to freeze"),
          "pour": ("L", "4 L", "planned pour, where your kitchen has weighed its own"), "minutes": ("min", "15 min", "how long the pour takes")}


def _read(name, typed):
    """A quantity as typed; ValueError with one sentence."""
    unit, example, _ = _ASKED[name]
    flag = f"--{name.replace('_', '-')}"
    try:
        number, typed_unit = read_answer(typed)
    except ValueError as error:
        raise ValueError(f"{flag} {typed!r} cannot be read: write it like {example!r}") from error
    if not typed_unit and name != "air_changes":
        raise ValueError(f"{flag} {typed} has no unit: write it like {example!r}")
    try:
        return Q_(number, typed_unit or unit).to(unit)
    except pint.DimensionalityError:
        raise ValueError(f"{flag} {typed!r} is another kind of quantity: write it like {example!r}") from None


def main(arguments):
    """Write the draft -> exit code: 0, or 2 where it could not be done."""
    parser = argparse.ArgumentParser("python -m kitchenlib sheet nitrogen", description=(
        "Write a draft of a risk assessment for liquid nitrogen in one room, as a page that prints: the whole vessel spilt first, the plan "
        "second. What you leave out stays empty. A competent person reads, changes and signs it; this page permits nothing."))
    for name, (_, example, about) in _ASKED.items():
        parser.add_argument(f"--{name.replace('_', '-')}", metavar="AMOUNT", help=f"{about}, like '{example}'")
    parser.add_argument("--container", metavar="KIND", help=f"kind of vessel: {' or '.join(rooms.vessels('yes'))}")
    parser.add_argument("--to", default=".", metavar="FOLDER", help="where to write; the current folder when left out")
    parser.add_argument("--overwrite", action="store_true", help="replace an earlier draft")
    chosen = parser.parse_args(arguments)
    try:
        given = {name: _read(name, getattr(chosen, name)) for name in _ASKED if getattr(chosen, name) is not None}
        made = draft(container=chosen.container, **given)
        print(made)
        print(made.write(Path(chosen.to) / NAME, chosen.overwrite))
    except OutOfRange as error:                              # which model it was is of no use here
        print(str(error).partition(": ")[2], file=sys.stderr)
        return 2
    except (OSError, ValueError) as error:
        print(commands.sentence(error), file=sys.stderr)
        return 2
    return 0
