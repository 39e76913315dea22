"""Files as people save them, read line by line; and the user's own folder, in which nothing that stands there is ever lost."""
import codecs
import contextlib
import csv
import io
import os
import re
import threading
from pathlib import Path

from .units import one_of

DATASETS = Path(__file__).resolve().parent.parent / "datasets"
SETTINGS = {"student": "", "class": "", "place": "", "temperature": "°C", "mass": "g", "size": ""}
CHOICES = {"temperature": ("°C", "°F"), "mass": ("g", "oz"), "size": ("", "projector", "phone")}


# --- reading ---------------------------------------------------------------------------------------------------------------------------
def home():
    """The user's own folder: KITCHENLIB_HOME, or kitchen-lessons in the home folder. Not made here."""
    return Path(os.environ.get("KITCHENLIB_HOME") or Path.home() / "kitchen-lessons").expanduser()


def read_text(path):
    """Text of a file as people save it: UTF-8 with or without byte-order mark, UTF-16 with one, else the old Western code page.

    Line by line, so that a letter torn by a kill, or a line added by another program, does not spoil the others.
    """
    data = Path(path).read_bytes()
    if _encoding(data).startswith("utf-16"):
        return data.decode("utf-16", errors="replace")
    return "".join(map(_decoded, data.removeprefix(codecs.BOM_UTF8).splitlines(keepends=True)))


def _decoded(line):
    try:
        return line.decode("utf-8")
    except UnicodeDecodeError:
        return line.decode("cp1252", errors="replace")


def _encoding(data):
    """In which encoding a line is added to this file."""
    for mark, name in ((codecs.BOM_UTF16_LE, "utf-16-le"), (codecs.BOM_UTF16_BE, "utf-16-be")):
        if data.startswith(mark):
            return name
    try:
        data[:data.rfind(b"\n") + 1].decode("utf-8")          # a torn last line says nothing
        return "utf-8"
    except UnicodeDecodeError:
        return "cp1252"


def separated(path):
    """(separator, [(line number, line)]) of a CSV, blank lines left out; the separator is what its first line holds most of."""
    lines = [(number, line) for number, line in enumerate(re.split("\r\n|\r|\n", read_text(path)), 1) if line.strip(" \t,;")]
    return max(",;\t", key=lines[0][1].count) if lines else ",", lines


def read_csv(path):
    """Rows of a CSV with commas, semicolons or tabs -> (columns, [(line number, {column: text})], troubles).

    One line is one row. A line with too many cells (often an unquoted decimal comma) or a quote left open is left out and named in
    troubles; blank lines are skipped.
    """
    separator, lines = separated(path)
    columns, rows, troubles, width = [], [], [], 0
    for number, line in lines:
        try:
            cells = [cell.strip() for cell in next(csv.reader([line], delimiter=separator, strict=True))]
        except csv.Error:
            troubles.append(f"line {number}: a quote is open or stands inside a cell. Close it, or take it out.")
            continue
        if not columns:
            columns, width = cells, len(cells)
            while not columns[-1]:                           # a spreadsheet's empty columns at the right
                columns.pop()
            if len(set(columns)) < len(columns):
                troubles.append(f"line {number}: two columns have one name. The last of them counts.")
        elif len(cells) > width or any(cells[len(columns):]):
            troubles.append(f"line {number}: {len(cells)} cells for {len(columns)} columns. "
                            "A comma inside a number? Write 1.6, or put the cell in quotes.")
        else:
            rows.append((number, dict(zip(columns, cells + [""] * (len(columns) - len(cells))))))
    return columns, rows, troubles


# --- writing ---------------------------------------------------------------------------------------------------------------------------
def _only_writer(path):
    """Keeps other writers of this file waiting, in this process and in others."""
    from filelock import FileLock                            # only who writes needs it
    return FileLock(path.with_name(f".{path.name}.lock"), timeout=10)


def write_whole(path, rows):
    """Write a CSV as `put` does."""
    made = io.StringIO(newline="")
    csv.writer(made, lineterminator="\n").writerows(rows)
    put(path, made.getvalue().encode("utf-8"))


def put(path, data):
    """Write bytes beside the old file and put them in its place at once, so that a kill or a full disk leaves the old file or the new.

    Raises OSError where the file cannot be written; nothing is left of it then.
    """
    path.parent.mkdir(parents=True, exist_ok=True)
    beside = path.with_name(f".{path.name}.{os.getpid()}.{threading.get_ident()}.new")
    try:
        with open(beside, "wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        os.replace(beside, path)
    except BaseException:
        with contextlib.suppress(OSError):
            beside.unlink()
        raise


def append_row(path, row, separator=",", heading=(), quoting=csv.QUOTE_MINIMAL):
    """Append a row to a CSV so that neither a kill nor a second writer loses an earlier one; no cell keeps a line break.

    heading goes first where the file is still empty. The row is written as the file is saved: UTF-8, or what it was before.
    """
    def line(cells):
        made = io.StringIO(newline="")
        writer = csv.writer(made, delimiter=separator, lineterminator="\n", quoting=quoting)
        writer.writerow([" ".join(str(cell).split()) for cell in cells])
        return made.getvalue()

    path = Path(path)
    with _only_writer(path), open(path, "ab+") as file:
        file.seek(0)
        before = file.read()
        coding = _encoding(before)
        text = line(row)
        if not before.removeprefix(codecs.BOM_UTF8).strip() and heading:
            text = line(heading) + text
        if before and not before.endswith("\n".encode(coding)):
            text = "\n" + text                              # a torn last line stays one bad line
        try:
            data = text.encode(coding)
        except UnicodeEncodeError:                           # the old code page lacks a letter; each line is read by itself
            data = text.encode("utf-8")
        file.write(data)
        file.flush()
        os.fsync(file.fileno())


# --- what the user said once -----------------------------------------------------------------------------------------------------------
def settings():
    """What the user said once: student, class, place, temperature (°C or °F), mass (g or oz), size (projector, phone or empty)."""
    kept = {name: value for name, value in _kept_settings() if name in SETTINGS and value in CHOICES.get(name, (value,))}
    return {**SETTINGS, **kept}


def _kept_settings():
    """All (setting, value) of settings.csv, those of others too."""
    try:
        rows = read_csv(home() / "settings.csv")[1]
    except OSError:
        return []
    return [(cells.get("setting", ""), cells.get("value", "")) for _, cells in rows]


def keep_settings(**changed):
    """Write changed settings into settings.csv of the user's folder; the others stay, lines of another program's too.

    Raises ValueError for an unknown setting or choice, OSError where the file cannot be written.
    """
    for name, value in changed.items():
        one_of(name, tuple(SETTINGS), "a setting")
        if name in CHOICES:
            one_of(value, CHOICES[name], name)
    path = home() / "settings.csv"
    path.parent.mkdir(parents=True, exist_ok=True)
    with _only_writer(path):
        kept = {**dict(_kept_settings()), **settings(), **{name: " ".join(str(value).split()) for name, value in changed.items()}}
        write_whole(path, [("setting", "value"), *kept.items()])
