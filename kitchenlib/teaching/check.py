"""python -m kitchenlib check LESSON: the whole homework at once, run by nbval.

A student's page is never checked against itself, for it agrees with its own stored outputs. The answers are laid into a fresh copy of
the shipped lesson, and that is run: blank and right say what is stored there, a wrong answer differs and fails.
"""
import argparse
import ast
import json
import os
import re
import subprocess
import sys
import tempfile
import xml.etree.ElementTree
from pathlib import Path
from typing import NamedTuple

import nbformat

from .. import files
from . import answers, bank, exercises
from .copies import LESSONS
from .refresh import find

SANITIZE = LESSONS.parent / "tests" / "sanitize.cfg"         # the same rules that the lessons themselves are tested by
BLANK = "answer = None"


def main(arguments):
    """Check the named lessons -> exit code: 0 where nothing is wrong, 1 where something is, 2 where a lesson is not found."""
    parser = argparse.ArgumentParser("python -m kitchenlib check", description=(
        "Check your homework: your last answers, from the answer boxes and from the lesson in your own folder, are laid into a fresh "
        "copy of the lesson and run. Blank and right pass; a wrong answer fails with its hint. Nothing of yours is changed."))
    parser.add_argument("lessons", nargs="+", metavar="LESSON", help="a lesson, as 10 or 10_gel_strength")
    chosen = parser.parse_args(arguments)
    try:
        paths = [path for path in find(chosen.lessons) if path.parent == LESSONS]
    except LookupError as error:
        print(error.args[0], file=sys.stderr)
        return 2
    passed = True
    for path in paths:
        result = check(path)
        print(result)
        passed &= result.passed
    return 0 if passed else 1


class Line(NamedTuple):
    """One exercise of a checked lesson."""
    exercise: object
    answer: str                                  # "" where blank
    verdict: object
    said: str                                    # by nbval; "" where the cell says what the shipped lesson says, up to blank and right

    @property
    def sound(self):
        """Whether nbval and the verdict agree: blank and right pass, all else fails."""
        return (self.verdict.word in ("blank", "right")) == (not self.said)


class Result(NamedTuple):
    """A checked lesson; as text, the summary that a student reads."""
    lesson: str
    lines: tuple
    troubles: tuple = ()                         # that let the check fail, beside wrong answers
    notes: tuple = ()                            # that do not

    @property
    def passed(self):
        return not self.troubles and not any(line.said for line in self.lines)

    def __str__(self):
        answerer = answers.who()
        numbers = f"student {answerer.student}, class {answerer.class_code}" if answerer.student else "the textbook's numbers"
        width = max((len(line.exercise.title) for line in self.lines), default=0)
        said = [f"{self.lesson} ({numbers})"]
        for exercise, answer, verdict, _ in self.lines:
            said.append(f"  {verdict.word:<12} {exercise.key}  {exercise.title:<{width}}  {answer}".rstrip())
            if verdict.word not in ("right", "blank"):
                said.append(f"{'':15}{verdict.hint}")
        said += [f"  ! {text}" for text in (*self.troubles, *self.notes)]
        right, blank = (sum(line.verdict.word == word for line in self.lines) for word in ("right", "blank"))
        said.append(f"{right} right, {len(self.lines) - right - blank} to mend, {blank} blank.")
        return "\n".join(said)


def check(shipped):
    """Lay the answers of who answers now into a fresh copy of a shipped lesson and let nbval run it -> Result."""
    lesson = nbformat.read(shipped, as_version=4)
    asked = exercise_cells(lesson, bank.module_of(shipped.stem))
    if not asked:
        return Result(shipped.stem, (), notes=("this lesson has no exercises",))
    found, troubles, notes = latest(files.home() / shipped.name, asked.values())
    for number, exercise in asked.items():
        if found[exercise.key]:
            lesson.cells[number].source = lesson.cells[number].source.replace(BLANK, f"answer = {found[exercise.key]!r}", 1)
    failed = run(lesson, shipped.stem)
    lines = tuple(Line(exercise, found[exercise.key], exercise.verdict(found[exercise.key], exercise.mine()), failed.pop(number, ""))
                  for number, exercise in asked.items())
    troubles += [f"cell {number + 1} of the lesson does not say here what is stored: {said}" if number >= 0 else said
                 for number, said in failed.items()]
    if not failed:
        troubles += [f"{line.exercise.key} did not run as it should: {line.said or 'it passed'}" for line in lines if not line.sound]
    return Result(shipped.stem, lines, tuple(troubles), tuple(notes))


def exercise_cells(notebook, module):
    """{cell number: Exercise} of a shipped lesson's exercise cells, which carry their key as a tag."""
    by_key = {exercise.key: exercise for exercise in bank.exercises(module).values()} if module else {}
    return {number: by_key[tag] for number, cell in enumerate(notebook.cells) for tag in cell.metadata.get("tags", ()) if tag in by_key}


def latest(copy, asked):
    """({key: what counts as the answer, "" where blank}, troubles, notes).

    The last checked answer of the answer file counts; but where the student's copy of the lesson says something that the file has never
    seen, that was written and not run yet, and counts.
    """
    by_key = {exercise.key: exercise for exercise in asked}
    found = {key: (exercise.answered() or ("",))[-1] for key, exercise in by_key.items()}
    notes, troubles = list(answers.mine()[1]), []
    try:
        in_copy, unclear = written(copy, by_key)
    except FileNotFoundError:
        in_copy, unclear = {}, ()
    except (OSError, ValueError, KeyError, TypeError, RecursionError) as error:      # a notebook can be damaged in any way
        in_copy, unclear = {}, ()
        notes.append(f"{copy.name} in your folder cannot be read ({type(error).__name__}); only the answer file was looked at.")
    for key, typed in in_copy.items():
        if typed and typed not in by_key[key].answered():
            found[key] = typed
    troubles += [f"{key}: the answer in your cell is no plain text. Put it in quotes, like \"1.6 g\", or run the cell."
                 for key in unclear if not found[key]]
    return found, troubles, notes


def written(copy, by_key):
    """({key: text} of the plain answers in a student's copy, keys whose answer is no plain text or number). Nothing in it is run."""
    cells = json.loads(copy.read_text(encoding="utf-8"))["cells"]
    sources = ["".join(cell["source"]) for cell in cells if cell["cell_type"] == "code"]
    named = {name: exercise.key for module in bank.names() for name, exercise in bank.exercises(module).items()
             if exercise.key in by_key}
    found, unclear = {}, []
    for source in sources:
        for name in re.findall(r"\.(\w+)\.check\b", source):
            if name in named:
                try:
                    found[named[name]] = _plain_answer(source, name)
                except (ValueError, TypeError, SyntaxError, MemoryError, RecursionError):
                    unclear.append(named[name])              # answer = 1.6 g, say: no Python, but an answer
    return found, unclear


def _plain_answer(source, name):
    """The text that a cell hands to x.NAME.check, found by parsing it; ValueError, SyntaxError ... where it is no plain text or number."""
    tree = ast.parse(source)
    calls = [node for node in ast.walk(tree) if isinstance(node, ast.Call) and ast.unparse(node.func).endswith(f".{name}.check")]
    if not calls:
        return ""                                            # the words stand there, in a remark or a text, but nothing is checked
    call = calls[-1]
    given = [*call.args, *(keyword.value for keyword in call.keywords), ast.Constant(None)][0]
    if isinstance(given, ast.Name):                          # answer = ..., then check(answer)
        assigned = [line.value for line in tree.body if isinstance(line, ast.Assign) and given.id in map(ast.unparse, line.targets)]
        given = assigned[-1] if assigned else given
    value = ast.literal_eval(given)
    if value is not None and not isinstance(value, (str, int, float)):
        raise ValueError
    return exercises.as_typed(value)


def run(lesson, name):
    """Let nbval run a notebook in a folder of its own, as this student -> {number of the cell that fails: why}; -1 where nothing ran."""
    with tempfile.TemporaryDirectory(prefix="kitchen-check-", ignore_cleanup_errors=True) as folder:
        work = Path(folder)
        page, report, own = work / f"{name}.ipynb", work / "report.xml", work / "own"
        nbformat.write(lesson, page)
        (work / "pytest.ini").write_text("[pytest]\n", encoding="utf-8")
        answerer = answers.who()                             # only who asks; shelf and °F would change what the lesson shows
        files.write_whole(own / "settings.csv", [("setting", "value"), ("student", answerer.student), ("class", answerer.class_code)])
        environment = {**os.environ, "KITCHENLIB_HOME": str(own), "IPYTHONDIR": str(work / "ipython"), "JUPYTER_PREFER_ENV_PATH": "1",
                       "PYTEST_DISABLE_PLUGIN_AUTOLOAD": "1", "PYTEST_ADDOPTS": "", "PYTHONIOENCODING": "utf-8"}
        command = [sys.executable, "-m", "pytest", "-p", "nbval.plugin", "-p", "no:cacheprovider", "-c", str(work / "pytest.ini"),
                   "--rootdir", folder, "--nbval", "--nbval-current-env", "--nbval-cell-timeout=60", f"--nbval-sanitize-with={SANITIZE}",
                   "--color=no", "-q", f"--junitxml={report}", str(page)]
        done = subprocess.run(command, cwd=folder, env=environment, capture_output=True, encoding="utf-8", errors="replace")
        try:
            cases = xml.etree.ElementTree.parse(report).iter("testcase")
            code = [number for number, cell in enumerate(lesson.cells) if cell.cell_type == "code"]
            bad = {code[int(case.get("name").rpartition(" ")[2])]: _why(case) for case in cases if case.find("failure") is not None
                   or case.find("error") is not None}
        except (OSError, xml.etree.ElementTree.ParseError):
            bad = {}
        if done.returncode not in (0, 1) or done.returncode == 1 and not bad:
            tail = (done.stdout + done.stderr).strip().splitlines()[-3:]
            bad[-1] = f"the lesson could not be run here: {' / '.join(tail)}"
        return bad


def _why(case):
    """What nbval says of a failed cell, in one line."""
    text = next((child.text or "" for child in case if child.tag in ("failure", "error")), "")
    lines = [line.strip() for line in text.splitlines() if line.strip()]
    told = [line for line in lines if "Error" in line or line.startswith(("-", "+", "'", "assert"))]
    return " ".join((told or lines)[-2:])[:300]
