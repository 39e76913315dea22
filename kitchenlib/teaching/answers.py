"""The answer file: one line an answer, appended to and read line by line, so that a torn line costs itself only.

Nothing in it is trusted or run: it holds what was typed, and the verdict is worked out anew by whoever reads it.
"""
import csv
import datetime
import functools
import hashlib
import os
import re
import unicodedata
from typing import NamedTuple

from ..files import append_row, home, settings
from ..units import LONGEST

HEADING = ("time", "student", "class", "exercise", "variant", "answer")
LARGEST = 5_000_000                          # bytes; a busy student's year is a hundredth of it


class Who(NamedTuple):
    """Student id and class code as they count; both empty where the textbook's numbers are asked."""
    student: str
    class_code: str


class Record(NamedTuple):
    """One line of the file, all text."""
    time: str
    student: str
    class_code: str
    exercise: str
    variant: str                             # "0" to "39", or "textbook"
    answer: str


# --- who ---------------------------------------------------------------------------------------------------------------------------
_textbook = False                            # a notebook of worked answers: textbook version, nothing kept
_visitor = Who("", "")                       # on the kitchen network: who sits at this page
LONGEST_ID = 40
_waiting = []                                # (path of the file, Record) that could not be written yet


def only_textbook():
    """For a notebook of worked answers: from here on this kernel asks the textbook version and keeps nothing on disk."""
    global _textbook
    _textbook = True


def by_visitors():
    """Whether this page is used by visitors over the kitchen network, not by this machine's user: `--share` says so to its kernels."""
    return bool(os.environ.get("KITCHENLIB_VISITORS"))


def visit(student, class_code):
    """A visitor says who sits at this page; it holds for this page only. ValueError with the mend."""
    global _visitor
    said = Who(counted(student), counted(class_code))
    if not all(said):
        raise ValueError("Give both, the student id and the class code: by the two your numbers are found again.")
    if max(map(len, said)) > LONGEST_ID:
        raise ValueError(f"An id of more than {LONGEST_ID} signs is none: give the short one.")
    _visitor = said


def kept_nowhere():
    """Whether answers are judged and forgotten: among worked answers, and from a visitor who has given no id."""
    return _textbook or by_visitors() and not who().student


@functools.lru_cache(4096)
def counted(text):
    """An id or class code as it counts: 'S-017 ' and 's-017' are one student."""
    folded = unicodedata.normalize("NFKC", str(text)).casefold()
    return " ".join(unicodedata.normalize("NFKC", folded).split())


def who():
    """Who answers: a visitor as said in the page, else by the settings of the start page. With id or class missing: the textbook version."""
    if by_visitors():
        return _visitor
    kept = settings()
    student, class_code = counted(kept["student"]), counted(kept["class"])
    return Who(student, class_code) if student and class_code and not _textbook else Who("", "")


def file_name(answerer):
    """answers-<class>-<id>.csv, made of signs that every file system takes, and another one for each student of each class."""
    if not answerer.student:
        return "answers-textbook.csv"
    return f"answers-{_safe(answerer.class_code, '_')}-{_safe(answerer.student, '_-')}.csv"


def _safe(text, marks):
    safe = "".join(c if c.isascii() and c.isalnum() or c in marks else f"+{ord(c):x}+" for c in text)
    return safe if len(safe) <= 60 else f"{safe[:40]}+{hashlib.sha256(text.encode('utf-8', 'replace')).hexdigest()[:16]}"


def files(answerer):
    """The student's file, and the one beside it that takes answers while a spreadsheet holds the first."""
    main = home() / file_name(answerer)
    return main, main.with_suffix(".beside.csv")


# --- cells -------------------------------------------------------------------------------------------------------------------------
def clean(typed):
    """Text as it is kept and judged: one line, no control signs, no quotes around it; cut behind the longest answer that can be read."""
    return _clean((typed if isinstance(typed, str) else str(typed))[:4 * LONGEST])


@functools.lru_cache(65_536)                                 # a class types the same few thousand texts over and over
def _clean(text):
    text = re.sub("(?<=[0-9])[\u00a0\u2009\u202f](?=[0-9]{3})", "", text)          # 11 372 g as it is printed here
    text = "".join(c if c.isprintable() else " " for c in text).replace('"', "'")   # so no cell of the file has a quote in it
    text = " ".join(text.strip(_QUOTES).split())
    return text if len(text) <= LONGEST else text[:LONGEST] + "…"


_QUOTES = " '`‘’“”„«»"
_RUN = ("=", "+", "-", "@", "＝", "＋", "－", "＠", "'")
_NUMBER_OR_DATE = re.compile(r"[\d\W_]+([eE][\d\W_]*)?")


def guarded(text):
    """Text that a spreadsheet neither runs nor takes for a number or a date: an apostrophe stands before it. `bare` takes it off."""
    return f"'{text}" if _NUMBER_OR_DATE.fullmatch(text) else not_run(text)


def not_run(text):
    """Text that a spreadsheet does not run; unlike `guarded` it may still be taken for a number or a date."""
    return f"'{text}" if text.startswith(_RUN) else text


def bare(text):
    return text[1:] if text.startswith("'") else text


def _cells(line):
    """The six cells of a line, whatever spreadsheet saved it last; None where it is torn or none of ours."""
    try:
        text = line.decode("utf-8-sig")
    except UnicodeDecodeError:
        text = line.decode("cp1252", errors="replace")
    if text[:1] == text[-1:] == '"' and text.count('"') == 2 * len(HEADING) and text.count('","') == len(HEADING) - 1:
        cells = [bare(cell.strip()) for cell in text[1:-1].split('","')]     # as it was written here: five times as quick
        return cells if cells[-1] else None
    for separator in ",;\t":
        try:
            cells = next(csv.reader([text], delimiter=separator, strict=True), [])
        except csv.Error:                                    # a quote that is never closed: the line was torn
            continue
        if len(cells) >= len(HEADING) and not any(cell.strip() for cell in cells[len(HEADING):]):
            cells = [bare(cell.strip()) for cell in cells[:len(HEADING)]]
            return cells if cells[-1] else None              # nobody's answer is empty: it was torn behind the comma
    return None


# --- reading and keeping -----------------------------------------------------------------------------------------------------------
def read(path):
    """Records of an answer file in the order in which they were written, and a sentence for each line that cannot be read.

    Never raises for what stands in the file or in its place.
    """
    try:
        with open(path, "rb") as file:
            data = file.read(LARGEST + 1)
    except FileNotFoundError:
        return (), ()
    except OSError as error:
        return (), (f"{path.name} cannot be read ({error.strerror}).",)
    if len(data) > LARGEST:
        return (), (f"{path.name} is larger than an answer file can be.",)
    if data[:2] in (b"\xff\xfe", b"\xfe\xff"):
        return (), (f"{path.name} was saved as UTF-16: save it as CSV in UTF-8.",)
    records, troubles = [], []
    for number, line in enumerate(data.splitlines(), 1):
        cells = _cells(line) if line.strip() else ["", "", "", "exercise"]
        if cells is None:
            troubles.append(f"{path.name} line {number} is torn or no answer; it is left out.")
        elif cells[3] != "exercise":
            records.append(Record(*cells))
    return tuple(records), tuple(troubles)


@functools.lru_cache(8)
def _read(path, changed, size):
    return read(path)


def mine():
    """(records, troubles) of who answers now, oldest first: their file, the one beside it, and what still waits to be written."""
    records, troubles = [], []
    main, beside = files(who())
    for path in () if kept_nowhere() else (main, beside):
        try:
            stamp = path.stat()
        except OSError:
            continue
        found, bad = _read(path, stamp.st_mtime_ns, stamp.st_size)
        records += found
        troubles += bad
    records += [record for path, record in _waiting if path == main]
    return tuple(dict.fromkeys(records)), tuple(troubles)


def keep(exercise, variant, answer):
    """Append an answer to the file of who answers now -> "" or a sentence to show where that did not go as usual.

    Raises nothing: what cannot be written stays in memory, counts, and is tried again with the next answer.
    """
    answerer = who()
    main, beside = files(answerer)
    now = datetime.datetime.now(datetime.UTC).strftime("%Y-%m-%dT%H:%M:%S.%f")[:-3] + "Z"
    _waiting.append((main, Record(now, *answerer, exercise, variant, answer)))
    if kept_nowhere():
        return ""
    try:
        main.parent.mkdir(parents=True, exist_ok=True)
        if main.with_name(f".~lock.{main.name}#").exists():  # so a free office suite marks a file that it will write over
            raise PermissionError
        for record in read(beside)[0]:                       # from when the file was held; twice is once (see `mine`)
            _append(main, record)
        beside.unlink(missing_ok=True)
        _write_waiting(main, main)
        return ""
    except OSError:
        pass
    try:
        _write_waiting(main, beside)
        return (f"{main.name} cannot be written now, perhaps because a spreadsheet has it open. Your answer is kept beside it, "
                f"in {beside.name}. Close it there; the two are joined with your next answer.")
    except OSError as error:
        where = "the folder on the machine that serves the pages" if by_visitors() else main.parent
        return (f"Your answer was checked but could not be kept: {where} cannot be written ({error.strerror or 'no reason given'}). "
                "It is tried again with your next answer.")


def _write_waiting(main, target):
    for entry in [entry for entry in _waiting if entry[0] == main]:
        _append(target, entry[1])
        _waiting.remove(entry)


def _append(path, record):
    """One line in the file's own separator, every cell in quotes: torn anywhere, it shows."""
    try:
        with open(path, "rb") as file:
            head = file.readline(1000)
    except FileNotFoundError:
        head = b""
    separator = chr(max(b",;\t", key=head.count))
    cells = record._replace(student=guarded(record.student), class_code=guarded(record.class_code), answer=guarded(record.answer))
    append_row(path, cells, separator, () if head else HEADING, csv.QUOTE_ALL)
