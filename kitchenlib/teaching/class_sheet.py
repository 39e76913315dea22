"""python -m kitchenlib sheet class LESSON: a run sheet. Cautions, kit and ingredients for this class, the day before, minutes, plan B, clean-down.

What a lesson takes is a line of datasets/class/things.csv, worked out by the lesson's own sums where it can be; what is done is a line of
steps.csv. Minutes at the desk, exercises, needs and cautions are read from the lesson's page and its bank, so that they cannot drift apart.
"""
import functools
import html
import math
import re
from typing import NamedTuple

import nbformat

from .. import checks
from ..mixes import Mix
from ..room import rounded_up
from ..files import DATASETS, read_csv
from ..units import Q_, Quantity, read_number, show
from . import bank, handout, sheets
from .copies import LESSONS, all_lessons, name
from .lesson import Table
from .refresh import find

ALL = "all"                                      # of the lessons
MOST = 4                                         # to a station: common practice
KIT, USED = ("kit", "protection"), ("ingredient", "supply")
WITHOUT = ("nitrogen", "pH meter", "stick blender")


@functools.cache
def _lines(name):
    return tuple(cells for _, cells in read_csv(DATASETS / "class" / f"{name}.csv")[1])


def rows(name, lesson, *parts):
    """Lines of a file of datasets/class that belong to a lesson ('10'), those of all lessons first; of some parts only where named."""
    return [cells for cells in _lines(name) if {lesson, ALL} & set(cells["lesson"].split()) and (not parts or cells["part"] in parts)]


def pages():
    """{number: path} of the shipped lessons that have a run sheet, in teaching order."""
    known = {cells["lesson"] for cells in _lines("outcomes")}
    return {path.stem[:2]: path for path in all_lessons() if path.stem[:2] in known}


def number_of(lesson):
    """The number of a lesson named as people name it. LookupError where there is none, or no run sheet of it."""
    number = next((path.stem[:2] for path in find([lesson]) if path.parent == LESSONS), lesson)
    if number not in pages():
        raise LookupError(f"lesson {number} has no practical of its own: there are {', '.join(pages())}")
    return number


def named(code):
    """'class c4' for the top and the foot of a sheet; nothing without a code."""
    return f"class {code}" if code.split() else ""


# --- what it takes -------------------------------------------------------------------------------------------------------------------
class Class(NamedTuple):
    """Who comes. The demonstration bench is laid out like one station more."""
    students: int
    stations: int
    code: str = ""

    def times(self, per):
        """How often a thing per class, station or student is needed."""
        return {"class": 1, "station": self.stations + 1, "student": self.students}[per]

    def said(self):
        code = f"{named(self.code)}, " if self.code else ""
        least, most = self.students // self.stations, math.ceil(self.students / self.stations)
        each = f"{most}" if least == most else f"{least} or {most}"
        return f"{code}{self.students} students, {self.stations} stations of {each}, and the demonstration bench"


def group(students, stations, code=""):
    """A Class. ValueError where the numbers make none."""
    if not 1 <= students <= 10_000 or not 1 <= stations <= students:
        raise ValueError(f"{students} students at {stations} stations: give 1 to 10000 students and no more stations than students")
    return Class(students, stations, " ".join(code.split()))


class Thing(NamedTuple):
    """A line of things.csv with its amount: a number of pieces, or a quantity."""
    part: str
    what: str
    food: str                                    # key of its row; empty where no row speaks of it
    amount: object
    per: str
    note: str
    how: str


def things(lesson, *parts):
    """Things of a lesson; one that is a Mix stands as its ingredients."""
    made = []
    for cells in rows("things", lesson, *parts):
        amount = _amount(cells)
        if isinstance(amount, Mix):
            whole = Q_(read_number(cells["amount"]), cells["unit"])
            note = f"{cells['note']}; " * bool(cells["note"]) + f"for {show(whole)} of {cells['what']}"
            made += [Thing(cells["part"], food.key, food.key, Q_(1000 * kg, "g"), cells["per"], note, cells["how"])
                     for food, kg in amount.scaled(whole).parts.items()]
        else:
            made.append(Thing(cells["part"], cells["what"], cells["food"], amount, cells["per"], cells["note"], cells["how"]))
    return made


def _amount(cells):
    if not cells["model"]:
        number = read_number(cells["amount"])
        return Q_(number, cells["unit"]) if cells["unit"] else int(number)
    found = checks.value(cells["model"], cells["inputs"])
    return found if isinstance(found, Mix) else found.to(cells["unit"])


def _said(amount):
    """An amount as it is laid out: kilograms and litres from a thousand on."""
    if not isinstance(amount, Quantity):
        return str(amount)
    for small, large in (("g", "kg"), ("mL", "L")):
        if amount.units == Q_(1, small).units and amount.m >= 1000:
            amount = amount.to(large)
    return show(amount)


def to_buy(lesson, who):
    """[(what, amount for the whole class, rounded up)] of what is used up. Whole packs are for the buyer."""
    total = {}
    for thing in things(lesson, *USED):
        total[thing.what] = total.get(thing.what, 0 * thing.amount) + thing.amount * who.times(thing.per)
    return [(what, _said(rounded_up(round(amount, 9)))) for what, amount in total.items()]     # 420.0000000000001 g is 420 g


def to_lay_out(lesson, per, *parts):
    """[(what, amount, note)] for each station, student or the class as a whole; of an amount the note says how it is known."""
    return [(thing.what, _said(thing.amount), " · ".join(filter(None, (thing.note, thing.how if isinstance(thing.amount, Quantity) else ""))))
            for thing in things(lesson, *parts) if thing.per == per]


# --- what is done --------------------------------------------------------------------------------------------------------------------
def desk_minutes(path):
    """Minutes at the desk as the lesson's page prints them."""
    return int(re.search(r"\*\*(\d+) minutes", nbformat.read(path, 4).cells[0].source)[1])


def plan(lesson):
    """([(from, to, what)] at the desk, the same at the bench), in minutes from the start of each."""
    path = pages()[lesson]
    core = sum(exercise.minutes for exercise in bank.exercises(bank.module_of(path.stem)).values()) if bank.module_of(path.stem) else 0
    desk = [(desk_minutes(path) - core, "The question, worked sums, pictures: guess first, then the slider."), (core, "Core exercises, each with own numbers.")]
    bench = [(int(cells["minutes"]), cells["text"]) for part in ("first", "practical", "last") for cells in rows("steps", lesson, part)]
    return _clock(desk), _clock(bench)


def _clock(steps):
    made, now = [], 0
    for minutes, text in steps:
        made.append((now, now + minutes, text))
        now += minutes
    return made


def minutes(lesson):
    """(theory, practical) minutes of a lesson."""
    return tuple(part[-1][1] for part in plan(lesson))


def needs(path):
    """Numbers of the lessons that a page says it needs."""
    said = re.search(r"Needs: (.*?)\n\n", nbformat.read(path, 4).cells[0].source, re.S)
    return sorted(set(re.findall(r"\((\d\d)_\w+\.ipynb\)", said[1]))) if said else []


def course():
    """Table: of each lesson what it needs, what it opens, theory and practical minutes; none where it has no practical."""
    shipped = {path.stem[:2]: path for path in all_lessons()}
    asked = {number: needs(path) for number, path in shipped.items()}
    lines = [(name(path.stem), ", ".join(asked[number]), ", ".join(later for later in asked if number in asked[later]),
              *(minutes(number) if number in pages() else (desk_minutes(path), "none"))) for number, path in shipped.items()]
    return Table(("lesson", "needs", "opens", "theory (min)", "practical (min)"), lines)


def outcomes(*lessons):
    """Table: what a student can do after each lesson, three each, and what shows it."""
    return Table(("lesson", "afterwards a student", "shown by"),
                 [(number, cells["outcome"], cells["shown_by"]) for number in lessons or pages() for cells in rows("outcomes", number)])


# --- the sheets ----------------------------------------------------------------------------------------------------------------------
def head(path, what, said):
    """Title and cautions, for page one of a sheet of a lesson."""
    page = nbformat.read(path, 4)
    title = re.search(r"^# +(.+)$", page.cells[0].source, re.M)[1]
    return title, f"<h1>{html.escape(title)}: {what}</h1><p>{html.escape(said)}</p>{handout.cautions(page)}"


def run_sheet(lesson, who):
    """The run sheet of a lesson ('10') for a Class as an HTML page."""
    path = pages()[lesson]
    title, first = head(path, "run sheet", who.said())
    desk, bench = plan(lesson)
    crowd = "<p>More than four at a station, and some only watch: take more stations, or two shifts.</p>" * (who.students > MOST * who.stations)
    said = lambda part: "<ul>" + "".join(f"<li>{html.escape(cells['text'])}</li>" for cells in rows("steps", lesson, part)) + "</ul>"
    clock = lambda steps: sheets.table(("minutes", "what"), [(f"{begin} to {end}", text) for begin, end, text in steps])
    without = [f"<p><b>Without {tool}.</b> {html.escape(' '.join(cells['text'] for cells in found))}</p>"
               for tool in WITHOUT if (found := _instead(lesson, tool))]
    bought = to_buy(lesson, who)
    parts = [first, crowd, "<h2>Afterwards a student</h2>",
             sheets.table(("can", "shown by"), [(cells["outcome"], cells["shown_by"]) for cells in rows("outcomes", lesson)]),
             "<h2>To buy, for the whole class</h2>",
             sheets.table(("what", "amount"), bought) if bought else "<p>Nothing.</p>",
             "<p>Rounded up from the sums; no reserve is in it, and whole packs are for the buyer. The grams are those of the lesson and of the "
             "shipped rows: with another grade, salt or scale take the lesson's sum. Read every pack for allergens.</p>",
             "<h2>To lay out</h2>"]
    for per, where in (("station", f"At each station ({who.times('station')}, the demonstration bench among them)"),
                       ("student", f"For each student ({who.students})"), ("class", "Once, for the class")):
        kit = "".join(f"<li>{html.escape(f'{amount} × ' * (amount != '1') + what + f' ({note})' * bool(note))}</li>"
                      for what, amount, note in to_lay_out(lesson, per, *KIT))
        used = to_lay_out(lesson, per, *USED)
        if kit or used:
            parts.append(f"<h3>{where}</h3>" + (f'<ul class="many">{kit}</ul>' if kit else "")
                         + (sheets.table(("what", "amount", "note"), used) if used else ""))
    parts += ["<h2>The day before</h2>", said("before"), f"<h2>At the desk, {desk[-1][1]} minutes</h2>", clock(desk),
              f"<h2>At the bench, {bench[-1][1]} minutes</h2>", clock(bench), "<h2>Demonstration</h2>", said("demonstration"),
              *(["<h2>Plan B</h2>", *without] if without else []), "<h2>Waste and clean-down</h2>", said("clean-down"),
              "<p>Kit is common practice; minutes, and amounts marked made, are a plan for an invented school and no measurement: write down what "
              "yours took.</p>"]
    return sheets.page(f"{title}: run sheet", "\n".join(parts), named(who.code))


def _instead(lesson, tool):
    """What to do without a tool: the lesson's own words; those for all lessons where it uses the tool and has none."""
    own = [cells for cells in rows("steps", lesson, tool) if cells["lesson"] != ALL]
    used = any(tool in thing.what for thing in things(lesson, "kit"))
    return own or (rows("steps", lesson, tool) if used else [])


def main(arguments):
    """Write a run sheet -> exit code: 0, or 2 where it could not be done."""
    parser = sheets.asks("class", "Write the run sheet of a lesson for a class: cautions, what to buy and to lay out, the day before, minutes, "
                         "plan B.", lesson=True)
    parser.add_argument("--students", type=int, default=24, metavar="N", help="how many come; 24 when left out")
    parser.add_argument("--stations", type=int, metavar="N", help="benches they work at; one for every four students when left out")
    chosen = parser.parse_args(arguments)

    def made():
        number = number_of(chosen.lesson)
        stations = math.ceil(chosen.students / MOST) if chosen.stations is None else chosen.stations
        return {f"class-{number}.html": run_sheet(number, group(chosen.students, stations, chosen.class_code))}
    return sheets.deliver(made, chosen)
