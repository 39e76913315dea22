"""python -m kitchenlib mark FOLDER --class CODE: answer files of a class -> marks, and what each question showed.

Reads answer files only. Nothing of a student's is run and no stored verdict is believed: every answer is judged anew, against the numbers
that this student had. A damaged line costs that line, a damaged file that file; both are listed by name.
"""
import argparse
import base64
import csv
import datetime
import hashlib
import html
import io
import sys
from collections import Counter
from pathlib import Path
from typing import NamedTuple

from ..units import plain
from . import answers, bank, commands, handout, sheets
from .exercises import TEXTBOOK
from .lesson import Table

POLICIES = ("any", "last", "first")
OURS = "marked by kitchenlib"                    # first cell of every table written here: such a file is never read as answers
LISTED = 200                                     # signs of a name or id that a list shows


class Tried(NamedTuple):
    """What one student did with one exercise."""
    verdicts: tuple                              # Verdicts in the order of time, repeats of the same text left out

    def right(self, policy):
        """Whether it counts: right at any time, at the last or first attempt, or within so many attempts."""
        words = [verdict.word for verdict in self.verdicts]
        within = {"any": words, "last": words[-1:], "first": words[:1]}.get(policy) if isinstance(policy, str) else words[:policy]
        return "right" in within


class File(NamedTuple):
    """One answer file as it was read."""
    name: str                                    # below the folder
    digest: str                                  # of its lines, whatever their ends
    lines: tuple                                 # (student, time, exercise key, variant, text)
    troubles: tuple                              # sentences, each beginning with the file's name


class Marks(NamedTuple):
    """A marked class."""
    class_code: str
    policy: str | int
    keys: tuple                                  # of the exercises that were marked
    students: dict                               # id: {key: Tried}
    files: int                                   # found in the folder
    marked: tuple                                # names of files that counted
    left_out: tuple                              # (name, why) of files that did not: files = marked + left out
    troubles: tuple                              # sentences on single lines, and on files alike

    def right(self, student):
        """How many exercises a student has right."""
        return sum(tried.right(self.policy) for tried in self.students[student].values())

    def table(self):
        """(heading, rows) of the marks: a row a student, 1 right, 0 tried, empty where nothing was answered."""
        heading = (OURS, "class", *self.keys, "right", "tried", "of", "percent")
        rows = []
        for student in sorted(self.students):
            done = self.students[student]
            cells = [int(done[key].right(self.policy)) if key in done else "" for key in self.keys]
            right = self.right(student)
            rows.append((student, self.class_code, *cells, right, len(done), len(self.keys), plain(100 * right / max(len(self.keys), 1), 3)))
        return heading, rows

    def questions(self):
        """(heading, rows) of what each question showed: a row an exercise."""
        heading = (OURS, "title", "students", "answered", "right", "right at once", "commonest slip", "made by", "tries until right")
        return heading, [self._question(key) for key in self.keys]

    def _question(self, key):
        tries = [done[key] for done in self.students.values() if key in done]
        slips = Counter(hint for tried in tries for hint in {verdict.hint for verdict in tried.verdicts if verdict.word == "slip"})
        hint, made_by = min(slips.items(), key=lambda item: (-item[1], item[0])) if slips else ("", 0)
        needed = sorted(n for tried in tries for n, verdict in enumerate(tried.verdicts, 1) if verdict.word == "right")
        return (key, bank.by_key()[key].title, len(self.students), len(tries), sum(tried.right(self.policy) for tried in tries),
                sum(tried.right(1) for tried in tries), hint, made_by or "", needed[len(needed) // 2] if needed else "")

    def again(self, count=3):
        """What to teach again tomorrow: (title, share right at once of those who answered, commonest slip), the weakest questions first.

        Right at once, whatever the policy: after two wrong answers a student sees the worked steps, and soon nearly all are right.
        """
        asked = [row for row in self.questions()[1] if row[3]]
        weak = sorted(asked, key=lambda row: (row[5] / row[3], -row[3]))[:count]
        return tuple((row[1], row[5] / row[3], row[6]) for row in weak if row[5] < row[3])

    def picture(self):
        """PNG: of each question the share right, slipped, otherwise wrong and unanswered. Hatched, not by colour alone."""
        return _picture(self)

    def __repr__(self):
        said = [f"class {self.class_code}: {len(self.students)} students, {self.files} files = {len(self.marked)} marked + "
                f"{len(self.left_out)} left out"]
        said += [f"teach again: {title} ({plain(100 * share, 2)} % right at once). {hint}".rstrip() for title, share, hint in self.again()]
        said += [f"left out: {shortened(name)}: {why}" for name, why in self.left_out]
        return "\n".join(said + [f"! {text}" for text in self.troubles])

    def _repr_html_(self):
        picture = f'<img style="max-width:100%" alt="{html.escape(self.alt())}" src="data:image/png;base64,' \
                  f'{base64.b64encode(self.picture()).decode()}">' if self.students and self.keys else ""
        heading, rows = self.table()
        return (_lines(repr(self).splitlines()) + picture + Table(*_said(*self.questions()))._repr_html_()
                + Table(("student", *heading[1:]), rows)._repr_html_())

    def alt(self):
        """The picture in words."""
        return "Share right of those who answered: " + "; ".join(
            f"{row[1]} {plain(100 * row[4] / row[3], 2)} %" for row in self.questions()[1] if row[3]) + "."

    def page(self):
        """The whole report as one HTML page that prints."""
        return sheets.page(f"{self.class_code}: marks", f"<h1>Marks of class {html.escape(self.class_code)}</h1>{self._repr_html_()}",
                           f"class {self.class_code}")


def _said(heading, rows):
    return ("exercise", *heading[1:]), rows


def _lines(lines):
    return "".join(f"<p>{html.escape(line)}</p>" for line in lines)


def shortened(text, most=LISTED):
    return text if len(text) <= most else f"{text[:most]}…"


# --- reading -------------------------------------------------------------------------------------------------------------------------
def found_in(folder):
    """(answer files, (name, why) of all else) below a folder, in order of their names; hidden files and our own tables are not counted.

    Raises NotADirectoryError.
    """
    folder = Path(folder)
    if not folder.is_dir():
        raise NotADirectoryError(f"{folder} is not a folder: name the one that holds the answer files")
    good, other = [], []
    for path in sorted(folder.rglob("*")):
        name = path.relative_to(folder).as_posix()
        if any(part.startswith((".", "~$")) for part in path.relative_to(folder).parts):
            continue
        if path.is_symlink():
            other.append((name, "a link; links are not followed"))
        elif path.is_dir():
            if path.suffix.lower() == ".csv":
                other.append((name, "a folder that is named like a file"))
        elif not path.is_file():
            other.append((name, "no ordinary file"))
        elif path.suffix.lower() == ".csv":
            if not _ours(path):
                good.append((name, path))
        elif path.suffix.lower() not in (".html", ".htm") or not _ours(path):
            other.append((name, "no answer file: those end in .csv"))
    return good, other


def _ours(path):
    """Whether this command wrote the file."""
    try:
        with open(path, "rb") as file:
            return OURS.encode() in file.read(200)
    except OSError:
        return False


def read_file(name, path, class_code):
    """An answer file -> File, or a sentence that says why it is left out. Never raises for what stands in it."""
    records, troubles = answers.read(path)
    troubles = [text.replace(path.name, name, 1) for text in troubles]
    if not records:
        return troubles[0].removeprefix(f"{name} ") if troubles else "no answers in it"
    lines, other = [], Counter()
    for record in records:
        their_class = answers.counted(record.class_code)
        if their_class != class_code:
            other[their_class] += 1
        else:
            lines.append((answers.counted(record.student), record.time, record.exercise, record.variant, record.answer))
    for their_class, count in other.items():
        words = f"of class {shortened(their_class, 40)!r}" if their_class else "to the textbook's numbers, without a class"
        troubles.append(f"{name}: {count} answer{'s' * (count > 1)} {words}; not counted.")
    if not lines:
        return troubles[-1].removeprefix(f"{name}: ")
    digest = hashlib.sha256("\n".join("\t".join(record) for record in records).encode("utf-8", "replace")).hexdigest()
    return File(name, digest, tuple(lines), tuple(troubles))


class _Judge:
    """Judges the lines of one student after another."""
    def __init__(self, keys, class_code):
        self.asked = {key: bank.by_key()[key] for key in keys}
        self.class_code, self.met = class_code, {}

    def tried(self, student, lines):
        """({key: Tried}, sentences) of one student's lines from all their files."""
        own, texts, troubles = {}, {}, []
        unknown = Counter()
        for _, time, key, variant, answer in sorted(lines, key=lambda line: line[1]):
            exercise = self.asked.get(key)
            if exercise is None:
                unknown[key] += key not in bank.by_key()
                continue
            if key not in own:
                own[key] = exercise.number(student, self.class_code)
            if variant != exercise.label(own[key]):
                what = "the textbook's numbers" if variant == TEXTBOOK else f"variant {shortened(variant, 20)!r}"
                troubles.append(f"{shortened(student, 40)}: an answer to {key} with {what}, not this student's; not counted.")
                continue
            said = texts.setdefault(key, [])
            if said[-1:] != [answer]:
                said.append(answer)
        for key, count in unknown.items():
            if count:
                troubles.append(f"{shortened(student, 40)}: {count} answers to {shortened(key, 40)!r}, which is no exercise here; not counted.")
        return {key: self._shared(tuple(self.asked[key].verdict(text, own[key]) for text in said)) for key, said in texts.items()}, troubles

    def _shared(self, verdicts):
        """One Tried for all who did the same: memory stays flat however large the class."""
        return self.met.setdefault(verdicts, Tried(verdicts))


def mark(folder, class_code, lessons=(), policy="any", progress=None, core=False, expected=()):
    """Mark a folder of answer files.

    Parameters
    ----------
    folder : path; its sub-folders are searched too, links are not followed
    class_code : as the students entered it on the start page
    lessons : of which the exercises count, like ("10", "12"); all when empty
    policy : "any" (right at any time), "last", "first", or a number: right within so many attempts
    progress : function of the list of files -> the same, with a bar; None for none
    core : count the core exercises only, not the further practice
    expected : ids of the class; who handed in nothing stands in the table with nothing right, and a strange id is named

    Returns
    -------
    Marks; files found = marked + left out

    Raises
    ------
    NotADirectoryError, LookupError (an unknown lesson), ValueError (an unknown policy, no class code)
    """
    class_code = answers.counted(class_code)
    if not class_code:
        raise ValueError("give the class code that the students entered on the start page")
    if policy not in POLICIES and not (isinstance(policy, int) and policy > 0):
        raise ValueError(f"attempts: {policy!r} is none of {', '.join(POLICIES)} and no number from 1 up")
    keys = keys_of(lessons, core)
    good, left_out = found_in(folder)
    files = len(good) + len(left_out)
    judge, students, owners, marked, troubles, same = _Judge(keys, class_code), {}, {}, [], [], {}
    now = (datetime.datetime.now(datetime.UTC) + datetime.timedelta(days=1)).strftime("%Y-%m-%dT%H:%M:%S")
    for name, path in (progress or iter)(good):
        file = read_file(name, path, class_code)
        if isinstance(file, str):
            left_out.append((name, file))
            continue
        marked.append(name)
        troubles += file.troubles
        twins = same.setdefault(file.digest, [])
        twins.append(name)
        late = sum(line[1] > now for line in file.lines)
        if late:
            troubles.append(f"{shortened(name)}: {late} answer{'s' * (late > 1)} with a time to come: a clock was wrong.")
        owned = Counter(line[0] for line in file.lines)
        if len(owned) > 1:
            troubles.append(f"{shortened(name)}: answers of {len(owned)} students in one file; each counts for its own.")
        if len(twins) == 1:
            for student in owned:
                owners.setdefault(student, []).append((name, path))
                students[student] = file.lines if students.get(student) is None and len(owned) == 1 else ...
                if students[student] is not ...:
                    students[student], more = judge.tried(student, file.lines)
                    troubles += more
    for student in [student for student, done in students.items() if done is ...]:       # in several files, or several in one: read again
        lines = [line for name, path in owners[student] for line in read_file(name, path, class_code).lines if line[0] == student]
        students[student], more = judge.tried(student, lines)
        troubles += more
    troubles += _beside(students, [answers.counted(student) for student in expected])
    troubles += [f"the same content in {', '.join(shortened(name, 80) for name in twins)}; counted once." for twins in same.values()
                 if len(twins) > 1]
    return Marks(class_code, policy, keys, students, files, tuple(marked), tuple(sorted(left_out)), tuple(troubles))


def _beside(students, expected):
    """Sentences on who of a class list handed in nothing, and whose id is not on it; the former join `students` with nothing done."""
    missing = [student for student in dict.fromkeys(expected) if student not in students]
    strange = sorted(students.keys() - set(expected)) if expected else []
    students.update((student, {}) for student in missing)
    told = {"nothing that counts from": missing, "not on the list (a slip in typing the id?):": strange}
    return [f"{words} {', '.join(shortened(student, 40) for student in names)}." for words, names in told.items() if names]


def keys_of(lessons=(), core=False):
    """Keys of all exercises of these lessons, or of the core ones, in teaching order.  LookupError names an unknown lesson and those there are."""
    known = bank.lessons()
    chosen = []
    for asked in lessons or known:
        stem = next((stem for stem in known if asked in (stem, stem.partition("_")[0])), None)
        if stem is None:
            raise LookupError(f"{asked!r} is no lesson with exercises: there are {', '.join(known)}")
        chosen.append(stem)
    return tuple(exercise.key for stem in dict.fromkeys(chosen) for exercise in known[stem].values()
                 if exercise.minutes or not core)


# --- writing -------------------------------------------------------------------------------------------------------------------------
def _picture(marks):
    from matplotlib.backends.backend_agg import FigureCanvasAgg
    from matplotlib.figure import Figure
    rows = marks.questions()[1][::-1]
    figure = Figure(figsize=(9, 1.2 + 0.28 * len(rows)), layout="constrained")
    FigureCanvasAgg(figure)
    axes, left = figure.subplots(), [0] * len(rows)
    slipped = [row[7] or 0 for row in rows]
    counts = {"right": [row[4] for row in rows],
              "the commonest slip": [min(slip, row[3] - row[4]) for slip, row in zip(slipped, rows)],
              "otherwise wrong": [row[3] - row[4] - min(slip, row[3] - row[4]) for slip, row in zip(slipped, rows)],
              "no answer": [row[2] - row[3] for row in rows]}
    for (words, values), colour, hatch in zip(counts.items(), ("#0f766e", "#fbbf24", "#fca5a5", "#f3f4f6"), ("", "//", "xx", "")):
        axes.barh([f"{row[0]} {shortened(row[1], 40)}" for row in rows], values, left=left, color=colour, hatch=hatch, edgecolor="#1b1b1b", label=words)
        left = [a + b for a, b in zip(left, values)]
    axes.set_xlabel("students")
    axes.legend(ncols=4, loc="lower left", bbox_to_anchor=(0, 1), frameon=False)
    made = io.BytesIO()
    figure.savefig(made, format="png", dpi=100)
    return made.getvalue()


def as_csv(heading, rows):
    """CSV text; a cell that a spreadsheet would run is kept from it by an apostrophe."""
    made = io.StringIO(newline="")
    writer = csv.writer(made, lineterminator="\n")
    writer.writerow(heading)
    writer.writerows([answers.not_run(cell) if isinstance(cell, str) else cell for cell in row] for row in rows)
    return made.getvalue()


def write(marks, into, overwrite=False):
    """marks-CLASS.csv, questions-CLASS.csv and marks-CLASS.html in a folder -> their paths.

    Raises FileExistsError where one is there already (nothing is written then) unless overwrite is true.
    """
    safe = answers.file_name(answers.Who("x", marks.class_code)).removeprefix("answers-").removesuffix("-x.csv")
    into = Path(into)
    files = {into / f"marks-{safe}.csv": as_csv(*marks.table()), into / f"questions-{safe}.csv": as_csv(*marks.questions()),
             into / f"marks-{safe}.html": f"<!-- {OURS} -->{marks.page()}"}
    return sheets.write(files, overwrite)


def bar(files):
    """The files one by one, with a bar on the screen where there is one."""
    if len(files) < 50 or not sys.stderr.isatty():
        yield from files
        return
    for n, file in enumerate(files, 1):
        yield file
        if n % max(len(files) // 50, 1) == 0 or n == len(files):
            print(f"\r[{'#' * (50 * n // len(files)):<50}] {n} of {len(files)}", end="\n" if n == len(files) else "", file=sys.stderr, flush=True)


def main(arguments):
    """Mark a class -> exit code: 0, or 2 where it could not be done."""
    parser = argparse.ArgumentParser("python -m kitchenlib mark", description=(
        "Mark a class: reads the answer files in a folder (answers-CLASS-ID.csv, also in sub-folders), judges every answer anew and writes "
        "a marks table, what each question showed, and a report. Runs nothing that a student wrote."))
    parser.add_argument("folder", help="the folder that holds the answer files")
    parser.add_argument("--class", dest="class_code", required=True, metavar="CODE", help="the class code that the students entered")
    parser.add_argument("--lesson", nargs="+", default=(), metavar="LESSON", help="lessons that count, as 10 12; all when left out")
    parser.add_argument("--core", action="store_true", help="count the core exercises only, not the further practice")
    parser.add_argument("--list", metavar="FILE", help="a CSV with the class's ids, as for handouts: says who handed in nothing")
    parser.add_argument("--attempts", default="any", metavar="POLICY",
                        help="any (default): right at any time; last; first; or a number: right within so many attempts")
    parser.add_argument("--to", default=".", metavar="FOLDER", help="where to write; the current folder when left out")
    parser.add_argument("--overwrite", action="store_true", help="replace an earlier table")
    chosen = parser.parse_args(arguments)
    try:
        policy = int(chosen.attempts) if chosen.attempts.isdecimal() else chosen.attempts
        expected = [student.student for student in handout.listed(chosen.list, chosen.class_code)] if chosen.list else ()
        marks = mark(chosen.folder, chosen.class_code, chosen.lesson, policy, bar, chosen.core, expected)
        print(marks)
        for path in write(marks, chosen.to, chosen.overwrite):
            print(path)
    except (OSError, LookupError, ValueError) as error:
        print(commands.sentence(error), file=sys.stderr)
        return 2
    return 0
