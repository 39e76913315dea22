"""python -m kitchenlib sheet pass: a service on paper. Batch sheet, order of work as a timeline, purchase and cost, allergens by place, food-safety log.

It lists what to weigh, when to begin and what to measure. It lets nobody go ahead: people on the spot read, fill in and decide.
"""
import html
from typing import NamedTuple

import numpy as np

from .. import cautions, dish, order, service
from ..units import show
from . import sheets

NAME = "service-for-the-pass.html"
SMALL = ("<style>body { font-size: 9.5pt; line-height: 1.25 } td, th { padding: .1em .35em } h2 { margin: .8em 0 .2em } p { margin: .25em 0 } "
         "table + table { margin-top: .6em } ul { margin: .2em 0; padding-left: 1.2em } svg { max-width: 100% } .log td { font-size: 8pt } "
         ".record td { height: 1.9em }</style>")
HATCHES = ("", "M0 8L8 0", "M0 4H8", "M4 0V8", "M0 0L8 8", "M0 8L8 0M0 0L8 8", "M0 4H8M4 0V8", "M0 2H8M0 6H8")     # in a tile of 8


class Sheet(NamedTuple):
    """The page, and the plan that it shows (found or not)."""
    page: str
    plan: object

    def __repr__(self):
        return self.plan.words

    def write(self, path=NAME, overwrite=False):
        """Write the page; returns the path. FileExistsError where one is there and overwrite is false."""
        return sheets.write({path: self.page}, overwrite)[0]


# --- the parts ---------------------------------------------------------------------------------------------------------------------------
def weighing_rows(made, covers, scales=service.SCALES):
    """Rows of the batch sheet: component, its batch, ingredient, what the scale is to show, how sure, tick."""
    batches = {part.key: show(service.batch(part, covers), 3) for part in made.components}
    rows, before = [], None
    for line in service.sheet(made, covers, scales):
        first, before = line.component != before, line.component
        digits = max(0, -int(np.floor(np.log10(line.step.m_as("g")) + 1e-9)))
        rows.append((line.component if first else "", batches[line.component] if first else "", line.ingredient,
                     f"{line.shown.m_as('g'):.{digits}f} g", f"±{show(line.within, 2)}" + (f": {line.note}" if line.note else ""), ""))
    return rows


def timeline(made, plan, at):
    """The plan drawn, as SVG: a row for each pair of hands, then what goes by itself, then burners; bars with numbers of the table below."""
    starts, lengths = plan.latest.m, np.array([step.time.m_as("min") for step in plan.steps])
    rows = [(f"hands {k + 1}", [i for i, held in enumerate(plan.who) if k in held]) for k in range(plan.people)]
    for what, holds in (("by itself", [int(step.hands == 0) for step in plan.steps]), ("burner", [step.burners for step in plan.steps])):
        found = order.rows(starts, starts + lengths, holds)
        rows += [(what, [i for i, held in enumerate(found) if k in held]) for k in range(1 + max((max(held, default=-1) for held in found)))]
    rows = [row for row in rows if row[1]]
    left, wide, high = 70, 730, 22
    first = min(float(starts.min()), -1.0)
    x = lambda minutes: left + (minutes - first) / -first * (wide - left)
    numbers = [1 + made.steps.index(service.step_of(made, step.key)) for step in plan.steps]
    drawn = [f'<pattern id="h{n}" width="8" height="8" patternUnits="userSpaceOnUse"><path d="{path}" stroke="#777" fill="none"/></pattern>'
             for n, path in enumerate(HATCHES) if path]
    every = next(step for step in (5, 10, 15, 30, 60, 120, 240, 480, 1440, 10080) if -first / step <= 12)
    ticks = [-every * k for k in range(int(-first // every) + 1)]
    drawn = [f"<defs>{''.join(drawn)}</defs>"]
    for tick in ticks:
        drawn.append(f'<line x1="{x(tick):.1f}" x2="{x(tick):.1f}" y1="0" y2="{high * len(rows)}" stroke="#bbb"/>'
                     f'<text x="{x(tick):.1f}" y="{high * len(rows) + 13}" text-anchor="middle">{order.clock(tick, at)}</text>')
    for n, (what, lane) in enumerate(rows):
        drawn.append(f'<text x="0" y="{high * n + 15}">{what}</text>')
        for i in lane:
            kind = numbers[i] % len(HATCHES)
            hatch = f"url(#h{kind})" if HATCHES[kind] else "none"
            box = f'x="{x(starts[i]):.1f}" y="{high * n + 2}" width="{max(x(starts[i] + lengths[i]) - x(starts[i]), 1):.1f}" height="{high - 4}"'
            drawn.append(f'<rect {box} fill="#fff"/><rect {box} fill="{hatch}" stroke="#1b1b1b"/>')
            if lengths[i] / -first * (wide - left) > 14:
                middle = x(starts[i] + lengths[i] / 2)
                drawn.append(f'<rect x="{middle - 8:.1f}" y="{high * n + 5}" width="16" height="{high - 10}" fill="#fff"/>'
                             f'<text x="{middle:.1f}" y="{high * n + 15}" text-anchor="middle">{numbers[i]}</text>')
    said = f"Order of work drawn: {len(rows)} rows, from {order.clock(first, at)} to {order.clock(0, at)}; the table below says the same in words."
    return (f'<figure><svg viewBox="0 0 {wide + 20} {high * len(rows) + 18}" font-size="11" font-family="sans-serif" role="img" '
            f'aria-label="{html.escape(said)}">{"".join(drawn)}</svg>'
            '<figcaption>Numbers as in the table. A row is one pair of hands; times are rounded down to the minute.</figcaption></figure>')


def work_rows(made, plan, at):
    """Rows of the order of work, by latest start: begin, no sooner than, number, step, how long, hands, what breaks after ten minutes."""
    numbers = [1 + made.steps.index(service.step_of(made, step.key)) for step in plan.steps]
    rows = []
    for i in sorted(range(len(plan.steps)), key=lambda i: (plan.latest.m[i], i)):
        step = plan.steps[i]
        slip = order.slip(plan, step.key)
        told = f"service {order.minutes(slip.late)} late" if slip.late.m > 1e-6 else "nothing"
        told += "".join(f"; {first} waits {order.minutes(time)} too long" for first, _, time, _ in slip.broken[:1])
        rows.append((order.clock(plan.latest.m[i], at), order.clock(plan.earliest.m[i], at), numbers[i], step.key, order.minutes(step.time),
                     ", ".join(str(k + 1) for k in plan.who[i]) or "none", told))
    return rows


def buy_rows(made, covers):
    """Rows of the purchase list."""
    return [(line.food, line.grade, show(line.bought, 3), "" if line.packs is None else line.packs,
             "" if line.lead_time is None else f"{line.lead_time.m_as('day'):g} d", "missing" if line.price is None else f"{line.price:.2f} ({line.how})",
             "" if line.cost is None else f"{line.cost:.2f}", line.note) for line in service.purchase(made, covers)]


def sheet(made, covers, people=2, burners=2, at="19:30", places=("",), wage=None):
    """The sheet for the pass.

    Parameters
    ----------
    made : dish.Dish
    covers : 1 to 2,000
    people, burners : pairs of hands and burners, 0 to 100
    at : when the plates leave, like "19:30"
    places : whose lists and rules count, as people write them; an unknown one gets all lists and the strictest rules known
    wage : of an hour, in your money; None leaves the hands uncounted, and says so

    Returns
    -------
    Sheet. Where no plan is found the clash stands in the place of the timeline.

    Raises
    ------
    OutOfRange, ValueError
        Covers, people, burners or wage outside the above; no time of the day; steps that wait for each other in a circle.

    Source
    ------
    service, order, cautions.
    """
    order.clock(0, at)
    plan, told, say = service.plan(made, covers, people, burners), service.cost(made, covers, wage), html.escape
    places = tuple(dict.fromkeys(place.strip() for place in places)) or ("",)
    parts = [SMALL, f"<h1>{say(made.key)}: {covers} {'plate' if covers == 1 else 'plates'} at {order.clock(0, at)}</h1>",
             '<div class="caution"><p>A working draft, to be read and changed by the person in charge. Weights follow from the recipe, times are yours to '
             "measure; local rules and the packs of these lots decide, not this page.</p></div>",
             "<h2>1 Batch sheet</h2>", sheets.table(("component", "make", "ingredient", "scale shows", "good to", "done"), weighing_rows(made, covers)),
             "<h2>2 Order of work</h2>", f"<p>{say(plan.words)}</p>"]
    if plan.found:
        parts += [timeline(made, plan, at), sheets.table(("begin at the latest", "not before", "no.", "step", "takes", "hands", "if 10 min longer"),
                                                   work_rows(made, plan, at))]
    else:
        parts.append("<p><strong>There is no order of work for this: fewer covers, more hands, or a component that waits.</strong></p>")
    tasks = service.bench_tasks(made)
    if tasks:
        parts.append(sheets.table(("where things meet", "at most before service", "why", "measure your own"),
                                  [(word, f"{order.minutes(time)} ({how})", why, task) for word, time, why, how, task in tasks]))
    parts += ["<h2>3 To buy, and what a plate costs</h2>",
              sheets.table(("food", "grade", "buy", "packs", "order before", "price a kg", "cost", "note"), buy_rows(made, covers)),
              f"<p>{say(told.words)}</p>",
              "<h2>4 Allergens and diet</h2>"]
    parts += [f"<p><strong>{say(place or 'No place given')}.</strong> {say(service.allergens(made, place).words)}</p>" for place in places]
    parts += [f"<p>{say(service.diet(made, kind).words)}</p>" for kind in ("vegetarian", "vegan")]
    parts.append('<h2>5 Cautions</h2><ul class="many">' + "".join(f"<li>{say(words)}</li>" for words in service.warnings(made)) + "</ul>")
    if any(cautions.egg_in(component.mix) != "no egg" for component in made.components):
        parts += [f"<p><strong>Egg, raw: {say(place or 'no place given')}.</strong> {say(cautions.raw_egg_rules(place).words)}</p>" for place in places]
    logs = [service.log(made, place) for place in places]
    for place, entries in zip(places, logs):
        parts += [f"<h2>6 Food-safety log{': ' + say(place) if place else ''}</h2>", log(entries)]
    parts.append(f"""<div class="record">{sheets.table(("step", "control", *service.BLANK), [(e.step, e.control, *("",) * len(service.BLANK)) for e in logs[0]],
                                                       "Record, to be filled in")}</div>""")
    return Sheet(sheets.page(f"{made.key}: sheet for the pass", "\n".join(parts), f"{covers} covers"), plan)


def log(entries):
    """Hazard, limit, who, how and what if not, each once, with the steps where it is due."""
    kinds = {}
    for entry in entries:
        kinds.setdefault(entry[1:], []).append(entry.step)
    heading = ("control", "hazard", "limit", "who", "measure", "if not", "at")
    return f'<div class="log">{sheets.table(heading, [(*kind, ", ".join(steps)) for kind, steps in kinds.items()])}</div>'


# --- the command -------------------------------------------------------------------------------------------------------------------------
def main(arguments):
    """Write the sheet -> exit code: 0, or 2 where it could not be done."""
    parser = sheets.asks("pass", "Write the sheet for the pass: what to weigh, when to begin, what to buy, allergens by place, a food-safety log with "
                                 "a blank record. Without --components and --steps it is the school's invented plate.")
    parser.add_argument("--covers", type=int, default=12, metavar="NUMBER", help="plates; 12 when left out")
    parser.add_argument("--people", type=int, default=2, metavar="NUMBER", help="pairs of hands; 2 when left out")
    parser.add_argument("--burners", type=int, default=2, metavar="NUMBER", help="2 when left out")
    parser.add_argument("--at", default="19:30", metavar="TIME", help="when the plates leave, like 19:30")
    parser.add_argument("--place", action="append", metavar="PLACE", help="whose lists and rules count, like France; may be given more than once")
    parser.add_argument("--wage", type=float, metavar="MONEY", help="of an hour of work; hands are not counted when left out")
    parser.add_argument("--components", metavar="FILE", help="your own dish: a table as datasets/service/plate_components.csv")
    parser.add_argument("--steps", metavar="FILE", help="and its steps, as datasets/service/plate_steps.csv")
    chosen = parser.parse_args(arguments)

    def made():
        if bool(chosen.components) != bool(chosen.steps):
            raise ValueError("a dish of your own takes two tables: give both --components and --steps")
        own = dish.read(chosen.components, chosen.steps) if chosen.components else dish.plate()
        done = sheet(own, chosen.covers, chosen.people, chosen.burners, chosen.at, chosen.place or ("",), chosen.wage)
        print(done)
        return {NAME: done.page}
    return sheets.deliver(made, chosen)
