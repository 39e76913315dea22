"""What a lesson's cells say: numbers held to the text, tables of faults, of checks against print, of rows and their sources."""
import functools
import html
import re

from .. import checks
from ..files import DATASETS, read_csv
from ..tables import cite, row
from ..units import read_answer, show


def said(what, value, printed, digits=2):
    """Print `what` and its value as the text prints it, to `digits` significant digits; stop if text and code have drifted apart.

    said("agar to weigh", Q_(5, "g"), "5.0 g") prints: agar to weigh: 5.0 g. Raises AssertionError with both where they differ.
    """
    unit = read_answer(printed)[1]
    shown = show(value, digits, unit or None)
    if shown != printed:
        raise AssertionError(f"{what}: the text says {printed}, the code gives {shown}")
    print(f"{what}: {shown}")


class Table:
    """Rows of words with a heading: HTML in the page, plain lines where there is none."""
    def __init__(self, columns, rows, after=""):
        self.columns, self.rows, self.after = tuple(columns), tuple(tuple(str(cell) for cell in r) for r in rows), after

    def __repr__(self):
        lines = [" | ".join(self.columns), *(" | ".join(r) for r in self.rows)]
        return "\n".join(lines + ([self.after] if self.after else []))

    def _repr_html_(self):
        cell = lambda tag, words: f"<{tag} style='text-align:left;vertical-align:top'>{html.escape(words)}</{tag}>"
        head = "".join(cell("th scope=col", c).replace("</th scope=col>", "</th>") for c in self.columns)
        body = "".join("<tr>" + "".join(cell("td", c) for c in r) + "</tr>" for r in self.rows)
        after = f"<p>{html.escape(self.after)}</p>" if self.after else ""
        return f"<div style='overflow-x:auto' tabindex=0 role=group aria-label='table'><table><tr>{head}</tr>{body}</table></div>{after}"


@functools.cache
def _faults():
    return tuple(cells for _, cells in read_csv(DATASETS / "faults.csv")[1])


def faults(lesson):
    """The lesson's faults as a Table: what you see, why, what to check, the rescue and its minutes, how to prevent it."""
    rows = [(f["symptom"], f["cause"], f["check"], f["rescue"], f["minutes"], f["prevention"])
            for f in _faults() if lesson in f["lesson"].split()]
    return Table(("what you see", "likely cause", "check", "rescue now", "minutes", "next time"), rows)


def rows_used(*keys, names=()):
    """Where the numbers of these rows come from, as a Table: value with spread, how it is known, source."""
    made = []
    for key in keys:
        for name in names or tuple(row(key, own=False)):
            if name in row(key, own=False):
                fact = row(key, own=False).fact(name)
                value, _, known = str(fact).rpartition(" [")
                made.append((key, name.replace("_", " "), value, known.rstrip("]"), _named(fact.note)))
    return Table(("of", "what", "value (low to high)", "how it is known", "note"), made)


def _named(note):
    """A note with the keys of sources written out."""
    return re.sub(r"[a-z][a-z0-9-]+-\d{4}", lambda found: cite(found[0]), note)


def checked(lesson):
    """'Checked against print' of a lesson as a Table; after it what nobody has measured, as far as we could find."""
    return Table(*checks.lesson_table(lesson))
