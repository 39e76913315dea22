"""A dish as two short tables: components (what is in each, how much is a portion, what is lost) and steps (how long, whose hands, after what).

`plate` is the shipped example; `read` takes a user's own and names table, row and column of what is wrong.
"""
import functools
from pathlib import Path
from typing import NamedTuple

from . import cautions, mixes, order, tables
from .bench import BadReadings, Column, read_cell, read_heading
from .mixes import Mix
from .files import DATASETS, read_csv
from .units import Q_, nearest, one_of

FOLDER = DATASETS / "service"
FISH = ("", "raw", "cold smoked", "hot smoked", "cooked")
MOST = 2000                                                  # covers, our limit
LONGEST = 200                                                # rows of a table, our limit


class BadDish(BadReadings):
    """A dish that cannot be taken; `troubles` names table, row and column of each, with the mend."""


class Component(NamedTuple):
    """One thing on the plate. portion None: made once as the mix says, and not eaten (a bath, an oil)."""
    key: str
    mix: Mix
    portion: object              # Quantity
    losses: tuple                # words of service_losses.csv
    fish: str                    # one of FISH
    cautions: tuple              # words that cautions.for_ knows


class Work(NamedTuple):
    """One row of the steps: `fixed` and `each` cover make its time; `at_once` covers at a time; links to the steps `after` which it comes."""
    key: str
    component: str               # empty: the plate
    fixed: object                # Quantity
    each: object
    at_once: object              # a count; None for all covers together
    hands: int
    burners: int
    after: tuple
    rests: object                # what comes next begins no sooner
    keeps: object                # what comes next begins no later; None without end
    meets: str                   # word of service_meetings.csv
    controls: tuple              # words of service_controls.csv


class Dish(NamedTuple):
    key: str
    components: tuple
    steps: tuple


# --- tables of words -------------------------------------------------------------------------------------------------------------------
@functools.cache
def known(table):
    """{word: record} of service_losses, service_meetings or service_controls, by the first column."""
    return {next(iter(record.values())): record for record in tables.records(f"service_{table}")}


# --- reading a dish ----------------------------------------------------------------------------------------------------------------------
_TIME = (0.0, float(order.DAY))
COMPONENTS = (Column("component", "word", 0, 0, "name"), Column("mix", "word", 0, 0, "water 750 g + sugar 250 g"),
              Column("portion", "g", 1e-3, 1e4, "on one plate"), Column("losses", "word", 0, 0, ""), Column("fish", "word", 0, 0, ""),
              Column("cautions", "word", 0, 0, ""))
STEPS = (Column("step", "word", 0, 0, "name"), Column("component", "word", 0, 0, "empty for the plate"), Column("minutes", "min", *_TIME, ""),
         Column("per_cover", "min", *_TIME, ""), Column("covers_at_once", "", 1, MOST, ""), Column("hands", "", 0, 100, ""),
         Column("burners", "", 0, 100, ""), Column("after", "word", 0, 0, ""), Column("rests", "min", *_TIME, ""),
         Column("keeps", "min", *_TIME, ""), Column("meets", "word", 0, 0, ""), Column("controls", "word", 0, 0, ""))


def _rows(path, columns, needed, troubles):
    """[(row's place, {column: text, number or None})] of a table; what is wrong goes into troubles."""
    path = Path(path)
    name, (heading, lines, wrong) = path.name, read_csv(path)
    if len(lines) > LONGEST:
        troubles.append(f"{name} holds {len(lines)} rows: a dish has at most {LONGEST}. Is it the right file?")
        return []
    troubles += [f"{name}, {trouble}" for trouble in wrong]
    asked, found = {column.name: column for column in columns}, {}
    for text in heading:
        word, unit = read_heading(text)
        if word in asked:
            found[word] = text, asked[word].unit if unit is None else unit
    for word in needed:
        if word not in found:
            near = nearest(word, heading)
            troubles.append(f"{name}: there is no column {word!r}" + (f"; is it {near!r}?" if near else f": the first line names {', '.join(asked)}."))
            return []
    rows = []
    for line, cells in lines:
        place, values = f"{name}, row {line}", dict.fromkeys(asked)
        for word, (text, unit) in found.items():
            column, cell = asked[word], cells[text]
            if column.unit == "word":
                values[word] = " ".join(cell.split())
            elif cell:
                try:
                    values[word] = read_cell(cell, column, unit)
                    if column.unit == "" and values[word] != round(values[word]):
                        raise ValueError("it is a count: write a whole number")
                except ValueError as error:
                    values[word] = 0.0                       # told once
                    troubles.append(f"{place}, column {text!r}: {error}.")
        missing = [word for word in needed if not values[word] and values[word] != 0]
        troubles += [f"{place}, column {found[word][0]!r}: it is empty: fill it in." for word in missing]
        rows.append((place, {word: value if value is not None or asked[word].unit != "word" else "" for word, value in values.items()}))
    return rows


def _words(text, allowed, what, place, column, troubles):
    """The words of a cell, apart by |, each of which must be allowed."""
    words = tuple(word.strip() for word in text.split("|") if word.strip())
    for word in words:
        try:
            one_of(word, tuple(allowed), what)
        except ValueError as error:
            troubles.append(f"{place}, column {column!r}: {error}.")
    return words


def read(components, steps, own=True):
    """A dish from two CSVs of the user's own, as `plate_components.csv` and `plate_steps.csv` in datasets/service show them.

    components, steps : paths; commas, semicolons or tabs, decimal commas, blank lines; own: whether foods are looked up on the shelf too
    Returns Dish. Raises BadDish, which names table, row and column of each trouble; OSError where a file cannot be read.
    """
    troubles, parts, work = [], [], []
    for place, cells in _rows(components, COMPONENTS, ("component", "mix"), troubles):
        try:
            mix = mixes.read(cells["mix"], own)
        except (ValueError, LookupError, TypeError) as error:
            troubles.append(f"{place}, column 'mix': {error}" + "." * (str(error)[-1:] not in (".", "?")))
            mix = None
        losses, warned = (_words(cells[name], allowed, what, place, name, troubles) for name, allowed, what in
                          (("losses", known("losses"), "a loss"), ("cautions", cautions.techniques(), "a caution")))
        _words(cells["fish"].replace("|", "or"), FISH[1:], "the state of fish", place, "fish", troubles)
        if any(part.key == cells["component"] for part in parts):
            troubles.append(f"{place}, column 'component': {cells['component']!r} is taken: give each component a name of its own.")
        portion = None if cells["portion"] is None else Q_(cells["portion"], "g")
        parts.append(Component(cells["component"], mix, portion, losses, cells["fish"], warned))
    lines = _rows(steps, STEPS, ("step",), troubles)
    names = [cells["step"] for _, cells in lines]
    for place, cells in lines:
        if names.count(cells["step"]) > 1 or cells["step"] == order.SERVICE:
            troubles.append(f"{place}, column 'step': {cells['step']!r} is taken: give each step a name of its own.")
        if cells["minutes"] is None and cells["per_cover"] is None:
            troubles.append(f"{place}, columns 'minutes' and 'per cover': both are empty: say how long {cells['step']!r} takes.")
        _words(cells["component"].replace("|", "and"), [part.key for part in parts], "a component", place, "component", troubles)
        after = _words(cells["after"], names, "an earlier step", place, "after", troubles)
        controls = _words(cells["controls"], known("controls"), "a control", place, "controls", troubles)
        _words(cells["meets"].replace("|", "and"), known("meetings"), "a meeting", place, "meets", troubles)

        def time(name):
            return Q_(cells[name] or 0.0, "min")
        work.append(Work(cells["step"], cells["component"], time("minutes"), time("per_cover"), cells["covers_at_once"] and int(cells["covers_at_once"]),
                         int(1 if cells["hands"] is None else cells["hands"]), int(cells["burners"] or 0), after, time("rests"),
                         None if cells["keeps"] is None else time("keeps"), cells["meets"], controls))
    if not troubles and not (parts and work):
        troubles.append(f"{Path(steps if parts else components).name} holds no row below its first line: a dish needs components and steps.")
    if troubles:
        raise BadDish(troubles)
    return Dish(Path(components).stem.removesuffix("_components").replace("_", " "), tuple(parts), tuple(work))


@functools.cache
def plate():
    """The plate of the invented school (made): hot-smoked trout, carrot pearls, cucumber spheres, mustard emulsion, buttermilk ice."""
    return read(FOLDER / "plate_components.csv", FOLDER / "plate_steps.csv", own=False)
