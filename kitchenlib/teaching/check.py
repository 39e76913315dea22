"""python -m kitchenlib check LESSON: the whole homework at once, run by nbval.

A student's page is never checked against itself, for it agrees with its own stored outputs. The answers are laid into a fresh copy of
the shipped lesson, and that is run: blank and right say what is stored there, a wrong answer differs and fails.
"""
import argparse
import ast
import json
import os
import subprocess
import sys
import tempfile
import xml.etree.ElementTree
from pathlib import Path
from typing import NamedTuple

import nbformat

from .. import tables
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
    answer: str
    verdict: object
    passed: bool


class Result(NamedTuple):
    """A checked lesson; as text, the summary that a student reads."""
    lesson: str
    lines: tuple
    troubles: tuple                              # what went wrong beside the answers themselves

    @property
    def passed(self):
        return not self.troubles and all(line.passed for line in self.lines)

    def __str__(self):
        answerer = answers.who()
        numbers = f"student {answerer.student}, class {answerer.class_code}" if answerer.student else "textbook numbers"
        width = max((len(line.exercise.title) for line in self.lines), default=0)
        said = [f"{self.lesson} ({numbers})"]
        for key, title, typed, verdict in ((line.exercise.key, line.exercise.title, line.answer, line.verdict) for line in self.lines):
            said.append(f"  {verdict.word:<12} {key}  {title:<{width}}  {typed}".rstrip())
            if verdict.word not in ("right", "blank"):
                said.append(f"               {verdict.hint}")
        said += [f"  ! {trouble}" for trouble in self.troubles]
        counts = [sum(line.verdict.word == word for line in self.lines) for word in ("right", "blank")]
        said.append(f"{counts[0]} right, {len(self.lines) - sum(counts)} to mend, {counts[1]} blank.")
        return "\n".join(said)


def check(shipped):
    """Lay the answers of who answers now into a fresh copy of a shipped lesson and let nbval run it -> Result."""
    lesson = nbformat.read(shipped, as_version=4)
    asked = exercise_cells(lesson, bank.module_of(shipped.stem))
    if not asked:
        return Result(shipped.stem, (), ("this lesson has no exercises",))
    found, troubles = latest(tables.home() / shipped.name, asked)
    for number, exercise in asked.items():
        cell = lesson.cells[number]
        cell.source = cell.source.replace(BLANK, f"answer = {found[exercise.key]!r}", 1) if found[exercise.key] else cell.source
    failed = run(lesson, shipped.stem)
    lines = tuple(Line(exercise, found[exercise.key], exercise.verdict(found[exercise.key], exercise.mine()), number not in failed)
                  for number, exercise in asked.items())
    for number, why in failed.items():
        if number not in asked:
            troubles.append(f"cell {number + 1} does not say here what is stored: {why}" if number >= 0 else why)
        elif next(line for line in lines if line.exercise is asked[number]).verdict.word in ("right", "blank"):
            troubles.append(f"{asked[number].key} did not run as it should: {why}")
    return Result(shipped.stem, lines, tuple(troubles))


def exercise_cells(notebook, module):
    """{cell number: Exercise} of the cells that check one of the bank's module."""
    named = bank.exercises(module) if module else {}
    found = {}
    for number, cell in enumerate(notebook.cells):
        if cell.cell_type == "code" and (call := _check_call(cell.source)) and call.func.value.attr in named:
            found[number] = named[call.func.value.attr]
    return found


def latest(copy, asked):
    """({key: what counts as the answer, "" where blank}, troubles).

    The last checked answer of the answer file counts; but where the student's copy of the lesson says something that the file has never
    seen, that was written and not run yet, and counts.
    """
    by_key = {exercise.key: exercise for exercise in asked.values()}
    found = {key: (exercise.answered() or ("",))[-1] for key, exercise in by_key.items()}
    troubles = list(answers.mine()[1])
    for key, typed in written(copy, by_key, troubles).items():
        if typed and typed not in by_key[key].answered():
            found[key] = typed
    return found, troubles


def written(copy, by_key, troubles):
    """{key: text} of the plain answers in the student's copy; nothing in it is run. What is no plain text or number goes to troubles."""
    if not copy.exists():
        return {}
    try:
        cells = json.loads(copy.read_text(encoding="utf-8"))["cells"]
        sources = ["".join(cell["source"]) for cell in cells if cell["cell_type"] == "code"]
    except (OSError, ValueError, KeyError, TypeError, RecursionError) as error:
        troubles.append(f"{copy.name} in your folder cannot be read ({type(error).__name__}); only the answer file was looked at.")
        return {}
    named = {name: exercise for module in bank.names() for name, exercise in bank.exercises(module).items() if exercise.key in by_key}
    found = {}
    for source in sources:
        call = _check_call(source)
        if call is None or call.func.value.attr not in named:
            continue
        exercise = named[call.func.value.attr]
        try:
            found[exercise.key] = exercises.as_typed(ast.literal_eval(_answer_node(source, call)))
        except (ValueError, TypeError, SyntaxError, MemoryError, RecursionError):
            if not exercise.answered():
                troubles.append(f"{exercise.key}: the answer in your cell is no plain text. Put it in quotes, like \"1.6 g\", or run the cell.")
    return found


def _check_call(source):
    """The last call of the form x.NAME.check(...) in a cell's source, or None. The source is parsed, never run."""
    try:
        tree = ast.parse(source)
    except (SyntaxError, ValueError, MemoryError, RecursionError):
        return None
    calls = [node for node in ast.walk(tree) if isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute)
             and node.func.attr == "check" and isinstance(node.func.value, ast.Attribute)]
    return calls[-1] if calls else None


def _answer_node(source, call):
    """What is handed to check: the argument itself, or what was last assigned to its name."""
    node = call.args[0] if call.args else call.keywords[0].value if call.keywords else ast.Constant(None)
    if isinstance(node, ast.Name):
        assigned = [s.value for s in ast.parse(source).body if isinstance(s, ast.Assign)
                    and any(isinstance(t, ast.Name) and t.id == node.id for t in s.targets)]
        node = assigned[-1] if assigned else node
    return node


def run(lesson, name):
    """Let nbval run a notebook in a folder of its own, as this student -> {number of the cell that fails: why}; -1 where nothing ran."""
    with tempfile.TemporaryDirectory(prefix="kitchen-check-", ignore_cleanup_errors=True) as folder:
        work = Path(folder)
        page, report, own = work / f"{name}.ipynb", work / "report.xml", work / "own"
        nbformat.write(lesson, page)
        (work / "pytest.ini").write_text("[pytest]\n", encoding="utf-8")
        answerer = answers.who()                             # only who asks; shelf and °F would change what the lesson shows
        tables.write_whole(own / "settings.csv", [("setting", "value"), ("student", answerer.student), ("class", answerer.class_code)])
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
