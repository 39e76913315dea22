"""python -m kitchenlib handout LESSON: a lesson's exercises on paper, with a student's own numbers, or the answers to them."""
import argparse
import base64
import html
import importlib
import re
from pathlib import Path

import nbformat

from ..files import read_csv
from . import answers, bank, sheets
from .copies import LESSONS
from .panel import Explorer
from .refresh import find

LINES = 4                                        # to work on, under each question


class Student:
    """Whom a sheet is for. A name is printed only where it was asked for; by default the id stands alone."""
    def __init__(self, student="", class_code="", name=""):
        self.student, self.class_code, self.name = answers.counted(student), answers.counted(class_code), name

    def number(self, exercise):
        return exercise.number(self.student, self.class_code) if self.student else None

    def said(self):
        if not self.student:
            return "the textbook's numbers"
        return " · ".join(filter(None, (f"class {self.class_code}", f"student {self.student}", self.name)))


def handout(path, student=None, solved=False, whole=False):
    """The sheet of one lesson for one student as an HTML page.

    path : of the shipped lesson; student : a Student, the textbook's numbers when left out
    solved : worked answers in place of space to work; whole : with the lesson's text
    """
    student = student or Student()
    return sheets.page(f"{path.stem.replace('_', ' ')}: {student.said()}", _body(path, student, solved, whole), student.said())


def together(path, people, solved=False, whole=False):
    """The sheets of many students as one HTML page to print in one go: each begins on a new leaf, its cautions first."""
    bodies = [f'<section class="leaf">{_body(path, student, solved, whole)}</section>' for student in people]
    said = f"class {people[0].class_code}"
    return sheets.page(f"{path.stem.replace('_', ' ')}: {said}", "\n".join(bodies), said)


def _body(path, student, solved, whole):
    lesson, exercises = nbformat.read(path, 4), bank.exercises(bank.module_of(path.stem)) if bank.module_of(path.stem) else {}
    if not exercises:
        raise LookupError(f"{path.stem} has no exercises to hand out")
    title = re.search(r"^# +(.+)$", lesson.cells[0].source, re.M)[1]
    parts = [f"<h1>{html.escape(title)}{': answers' if solved else ''}</h1><p>{html.escape(student.said())}</p>", cautions(lesson)]
    if not solved:
        parts.append('<p>Name or number <span class="blank"></span> Date <span class="blank"></span></p>')
    if whole:
        parts += [sheets.text(cell.source) for cell in lesson.cells[1:] if cell.cell_type == "markdown" and not cell.source.startswith("### ")]
    shown = [pictured(explorer) for explorer in explorers(lesson, path)]
    if shown and not solved:
        parts += ["<h2>What the lesson's pictures show</h2>", *shown]
    parts.append("<h2>Exercises</h2>")
    parts += [question(exercise, student.number(exercise), solved) for exercise in exercises.values()]
    return "\n".join(parts)


def cautions(lesson):
    """The caution box of a lesson, for page one; a lesson that has none can hurt nobody."""
    for cell in lesson.cells:
        found = re.search(r"^> \*\*Caution\.\*\*.*?(?=\n\n|\Z)", cell.source, re.M | re.S) if cell.cell_type == "markdown" else None
        if found:
            return f'<div class="caution">{sheets.text(re.sub(r"^> ?", "", found[0], flags=re.M))}</div>'
    return ""


def explorers(lesson, path):
    """The Explorers that a lesson shows, in its order."""
    module = importlib.import_module(f"kitchenlib.teaching.explorers.{bank.module_of(path.stem)}") if bank.module_of(path.stem) else None
    names = [cell.source.strip().rpartition(".")[2] for cell in lesson.cells if "explorer" in cell.metadata.get("tags", ())]
    return [getattr(module, name) for name in names if isinstance(getattr(module, name, None), Explorer)]


_drawn = {}


def pictured(explorer):
    """An explorer's picture and reading where its sliders start, drawn once for a whole class."""
    if explorer not in _drawn:
        picture, words = explorer.draw()
        said = html.escape(words).replace("\n", "<br>")
        _drawn[explorer] = (f'<figure><img alt="{html.escape(explorer.alt)}" src="data:image/png;base64,{base64.b64encode(picture).decode()}">'
                            f"<figcaption><b>{html.escape(explorer.title)}.</b> {said}</figcaption></figure>")
    return _drawn[explorer]


def question(exercise, number, solved):
    """One exercise: question with space to work, or worked answer with what to say to each slip."""
    head = f"<h3>{html.escape(exercise.title)} <small>({exercise.key}, {f'{exercise.minutes} minutes' if exercise.minutes else 'further'})</small></h3>"
    if solved:
        return f'<section class="keep">{head}{exercise.worked(number)._repr_html_()}</section>'
    space = '<div class="space"></div>' * LINES
    return f'<section class="keep">{head}<p>{html.escape(exercise.text(number))}</p>{space}<p>Answer <span class="blank"></span></p></section>'


def key_table(path, students):
    """All answers of a class on one page: a row a student."""
    exercises = list(bank.exercises(bank.module_of(path.stem)).values())
    rows = [(student.student, *(exercise.put(exercise.solved(student.number(exercise)).truth) for exercise in exercises)) for student in students]
    return sheets.page(f"{path.stem}: answers", f"<h1>{html.escape(path.stem)}: answers of class {html.escape(students[0].class_code)}</h1>"
                       + sheets.table(("student", *(exercise.key for exercise in exercises)), rows), f"class {students[0].class_code}")


def listed(path, class_code, names=False):
    """Students of a CSV: the column student or id, else the first; with `names` also the column name.

    Raises OSError, ValueError (no student in it, one twice, a line that cannot be read: it is named).
    """
    columns, rows, troubles = read_csv(Path(path))
    if troubles:
        raise ValueError(f"{Path(path).name} {troubles[0]}")
    column = next((name for name in columns if name.casefold() in ("student", "id")), columns[0] if columns else None)
    people, met = [], {}
    if column and column.casefold() not in ("student", "id"):                  # a bare list: its first line is a student too
        rows = [(1, {column: column}), *rows]
    for line, cells in rows:
        student = Student(cells.get(column, ""), class_code, cells.get("name", "") if names else "")
        if not student.student:
            continue
        if student.student in met:
            raise ValueError(f"{Path(path).name} line {line}: student {student.student} stands in line {met[student.student]} already")
        met[student.student] = line
        people.append(student)
    if not people:
        raise ValueError(f"{Path(path).name} holds no student: one id a line, or a column named student")
    return people


def main(arguments):
    """Write handouts -> exit code: 0, or 2 where it could not be done."""
    parser = argparse.ArgumentParser("python -m kitchenlib handout", description=(
        "Write a lesson's exercises as a page that prints, with a student's own numbers, cautions first; or the worked answers. For a whole "
        "class name a list of ids. A class code that is kept secret until marking gives numbers that nobody can look up beforehand."))
    parser.add_argument("lesson", metavar="LESSON", help="a lesson, as 10 or 10_gel_strength")
    parser.add_argument("--class", dest="class_code", default="", metavar="CODE", help="the class code")
    who = parser.add_mutually_exclusive_group()
    who.add_argument("--student", default="", metavar="ID", help="one student; the textbook's numbers when left out")
    who.add_argument("--list", metavar="FILE", help="a CSV with one student a line")
    parser.add_argument("--names", action="store_true", help="print the list's column name too; ids alone when left out")
    parser.add_argument("--one-file", action="store_true", help="with --list: all sheets in one page, to print in one go")
    parser.add_argument("--answers", action="store_true", help="the worked answers; with --list also one table of all answers")
    parser.add_argument("--text", action="store_true", help="with the lesson's text")
    parser.add_argument("--to", default=".", metavar="FOLDER", help="where to write; the current folder when left out")
    parser.add_argument("--overwrite", action="store_true", help="replace earlier sheets")
    chosen = parser.parse_args(arguments)

    def made():
        path = next(path for path in find([chosen.lesson]) if path.parent == LESSONS)
        if (chosen.student or chosen.list) and not answers.counted(chosen.class_code):
            raise ValueError("a student's numbers follow from id and class code: add --class CODE")
        people = (listed(chosen.list, chosen.class_code, chosen.names) if chosen.list else [Student(chosen.student, chosen.class_code)])
        kind, number = "answers" if chosen.answers else "handout", path.stem.partition("_")[0]
        files = {}
        if chosen.one_file and chosen.list:
            files[f"{kind}-{number}-to-print.html"] = together(path, people, chosen.answers, chosen.text)
        for student in () if files else people:
            tail = answers.file_name(answers.Who(student.student, student.class_code)).removeprefix("answers-").removesuffix(".csv")
            files[f"{kind}-{number}-{tail}.html"] = handout(path, student, chosen.answers, chosen.text)
        if chosen.list and chosen.answers:
            files[f"answers-{number}-of-all.html"] = key_table(path, people)
        return files
    return sheets.deliver(made, chosen)
