"""Readings of one's own: a table to type into, or a file by its path; kept in the user's folder, and what they give put on the shelf."""
import datetime
import shutil
from pathlib import Path

import numpy as np

from .. import bench, files, fits
from ..tables import row
from ..units import Q_, show
from .form import Form
from .own_things import shelf

LAWS = tuple(key for key in bench.LAWS if key not in ("proportion", "straight line", "power law", "approach"))
HOLD = ("nothing", "the exponent at the book's")
EMPTY = 6                                                                 # rows that stand there to type into


def path_of(law):
    """Where the user's readings for a law are kept: bench_gel_strength.csv and so on, in their own folder."""
    return files.home() / f"bench_{law.replace(' ', '_').replace('-', '_')}.csv"


def headings(law):
    """The columns of a law as the table has them, 'dose [%]'; what stands beside the readings is a column too."""
    shape = bench.law(law)
    return [f"{c.name} [{show(Q_(1, c.unit)).partition(' ')[2]}]" if c.unit not in ("", "row") else c.name for c in (shape.x, shape.y, *shape.given)]


def own(law):
    """The user's kept readings for a law; FileNotFoundError where there are none, BadReadings naming row and column where they cannot be read."""
    return _taken(law, *_lines(path_of(law)))


def held(shape):
    """{parameter: what the book says} of a law that seeks more than that, to be held; empty for others."""
    return {p.name: Q_(p.expected, p.unit) if p.unit else p.expected for p in shape.parameters
            if isinstance(p.expected, float)} if len(shape.parameters) > 1 else {}


def told(fit):
    """All that a fit says, in one text; readings that lie on the law to the last digit leave no error to narrow."""
    if fit.freedom and fit.readings.uncertainty is None and np.all(np.abs(fits.residuals(fit).m) <= 1e-9 * np.abs(fit.readings.y).max()):
        return f"{fits.sentence(fit)} All readings lie on the law to the last digit: their error is not nothing, it is finer than you wrote them down."
    return " ".join(fits.told(fit))


def _lines(path):
    """(headings, rows of text) of a CSV; the n-th row is the file's n-th line, so that a refusal names the row that a spreadsheet shows."""
    columns, rows, troubles = files.read_csv(path)
    if troubles:
        raise bench.BadReadings([f"{t[:1].upper()}{t[1:]}" for t in troubles])
    found = {line: [cells[c] for c in columns] for line, cells in rows}
    return list(columns), [found.get(line, []) for line in range(1, max(found, default=0) + 1)]


def _filled(rows):
    return [cells for cells in rows if any(cells)]


def _taken(law, columns, rows):
    """Readings of a table of text; words name rows of the tables, shelf and all; where a number beside the readings is the same for all, once is enough."""
    shape = bench.law(law)
    words = {}
    for column in shape.given:
        at = next((i for i, text in enumerate(columns) if text.partition("[")[0].strip().casefold() == column.name), None)
        if at is None:
            continue
        filled = [cells[at] for cells in rows if at < len(cells) and cells[at].strip()]
        if column.unit == "row" and filled:
            words[column.name] = row(filled[0].strip())
        elif len(set(filled)) == 1:
            rows = [[*cells[:at], filled[0] if any(cells) else "", *cells[at + 1:]] for cells in rows]
    return bench.typed(shape, [columns, *rows], **words)


def _fields():
    grid = {law: {"heading": headings(law), "rows": _filled(_lines(path_of(law))[1]) if _fits(law) else []} for law in LAWS}
    return [{"name": "law", "label": "What was measured", "options": list(LAWS), "value": LAWS[0]},
            {"name": "file", "label": "Or a file of yours", "hint": "its path, like C:\\bench\\agar.csv; the table below is then not looked at"},
            {"name": "rows", "label": "Readings", "by": "law", "grid": grid, "empty": EMPTY,
             "hint": "a line a reading; paste from a spreadsheet into the first cell; what is the same for all, like the plunger, once is enough; "
                     "vessel and surroundings are words of the tables, like steel pot and counter"}]


def _fits(law):
    """Whether what is kept has just the table's columns: else the table begins empty, and the kept file stays until something is kept anew."""
    try:
        return _lines(path_of(law))[0] == headings(law)
    except (OSError, ValueError):
        return False


def _keep(typed):
    law, path = typed["law"], typed.get("file", "").strip().strip('"')
    if path:
        try:
            columns, rows = _lines(Path(path).expanduser())
        except OSError:
            raise ValueError(f"{path} cannot be opened: give the whole path to the file.") from None
    else:
        columns, rows = headings(law), [[str(cell).strip() for cell in cells] for cells in typed["rows"]]
    if not _filled(rows):
        raise ValueError("There are no readings yet: type them into the table, or give the path of a file.")
    readings, kept = _taken(law, columns, rows), path_of(law)
    if kept.exists():
        shutil.copy2(kept, kept.with_name(f"{kept.stem}_before.csv"))
    files.write_whole(kept, [columns, *_filled(rows)])
    try:
        said = told(fits.fit(readings))
    except bench.BadReadings as error:
        said = str(error)
    return f"{len(readings.x)} reading{'s' * (len(readings.x) != 1)} kept for {law}. {said}"


def _table():
    """What is kept, one line a law."""
    lines = [("measured", "readings", "file")]
    for law in LAWS:
        try:
            lines.append((law, str(len(own(law).x)), path_of(law).name))
        except FileNotFoundError:
            continue
        except (ValueError, LookupError, TypeError, OSError) as error:
            lines.append((law, str(error), path_of(law).name))
    return lines


def _shelf_fields():
    laws = [law for law in LAWS if any(p.shelf for p in bench.law(law).parameters)]
    return [{"name": "law", "label": "What was measured", "options": laws, "value": laws[0]},
            {"name": "product", "label": "Product", "hint": "your own name for it, like: agar bag 3; or carrot, where it is your carrot"},
            {"name": "kind", "label": "It is a kind of", "hint": "the row that it stands beside, like agar; empty where the product is known"},
            {"name": "hold", "label": "Held", "options": list(HOLD), "value": HOLD[0], "hint": "a single reading finds one number: hold the exponent then"},
            {"name": "lot", "label": "Lot", "hint": "from the bag"}]


def _keep_on_shelf(typed):
    law = typed["law"]
    try:
        readings = own(law)
    except FileNotFoundError:
        raise ValueError(f"There are no readings of yours for {law}: type them into the table first. Practice readings stay practice.") from None
    if not typed["product"].strip():
        raise ValueError("Say which product it is: your own name for it.")
    fit = fits.fit(readings, held(readings.law) if typed["hold"] == HOLD[1] else None)
    found = fits.keep(fit, typed["product"].strip(), typed["kind"].strip() or None, typed["lot"].strip(), datetime.date.today().isoformat())
    said = ", ".join(f"{name.replace('_', ' ')} {value} {unit}".rstrip() for name, value, unit in found)
    return f"{typed['product'].strip()}: {said} stands on the shelf."


table = Form("Your readings", _fields, _keep, _table, "Keep and fit")
to_shelf = Form("Your calibration on the shelf", _shelf_fields, _keep_on_shelf, shelf.table, "Put on the shelf")


def page(law):
    """How to measure for a law, as rows of (what, words): what it is for, gear, steps, cautions."""
    sheet = bench.protocol(law)
    return [(sheet.title, f"{sheet.question} ({sheet.minutes} minutes)"), *(("you need", thing) for thing in sheet.gear),
            *((f"step {i}", step) for i, step in enumerate(sheet.steps, 1)), *(("caution", words) for words in sheet.cautions)]


class _Pages(Form):
    """The form whose answer is a page."""
    def __init__(self):
        self.law = LAWS[0]
        super().__init__("The page of a task", lambda: [{"name": "law", "label": "What to measure", "options": list(LAWS), "value": self.law}], self._turn,
                         lambda: page(self.law), "Show its page")

    def _turn(self, typed):
        self.law = typed["law"]
        return ""


protocols = _Pages()
