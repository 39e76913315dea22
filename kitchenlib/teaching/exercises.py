"""An exercise is declared once; question, variants, check, worked steps and marks all come from the declaration.

Givens and wrong paths are functions of the same givens, so that the numbers a student sees, the hint that a slip deserves and the
steps shown afterwards always belong together. Nothing typed is ever evaluated.
"""
import functools
import hashlib
import html
import inspect
import math
import re
import string
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Callable, NamedTuple

import pint

from ..tables import Row, row
from ..units import Q_, Quantity, convert, plain, read_answer, show
from . import answers

VARIANTS = 40                                    # so many a question: marking solves each once, not once a student
TEXTBOOK = "textbook"                            # the variant of who has given no id


# --- drawing a variant -------------------------------------------------------------------------------------------------------------
def draw(text, count):
    """A number from 0 to count - 1 that follows from text: the first 8 bytes of its SHA-256, big end first, modulo count."""
    return int.from_bytes(hashlib.sha256(text.encode("utf-8")).digest()[:8], "big") % count


class Draw(NamedTuple):
    """A given from low to high in steps that a kitchen would use; a pure number where unit is ""."""
    low: float
    high: float
    step: float
    unit: str

    def choices(self):
        low, high, step = (Fraction(str(x)) for x in self[:3])
        numbers = (float(low + n * step) for n in range(int((high - low) / step) + 1))
        return tuple(Q_(number, self.unit) if self.unit else number for number in numbers)

    def places(self):
        """Decimals with which the given is written: a dose in tenths says 1.0 %."""
        return max(_places(self.low), _places(self.step))


class Pick(NamedTuple):
    """A given out of words, pure numbers or quantities."""
    options: tuple

    def choices(self):
        return self.options

    def places(self):
        return 0


class PickRow(NamedTuple):
    """A given out of shipped rows, by their keys; in the question it is called by its key, or {given.property} says a value of it."""
    keys: tuple

    def choices(self):
        return tuple(row(key, own=False) for key in self.keys)

    def places(self):
        return 0


DRAWN = (Draw, Pick, PickRow)


class Slip(NamedTuple):
    """A usual way to go wrong: the wrong sum from the same givens (or, where words are asked, the wrong word), and what to say."""
    path: Callable | str
    hint: str


class Verdict(NamedTuple):
    """blank, unreadable, unknown unit, no unit, wrong kind, slip, not yet or right; and one sentence behind it."""
    word: str
    hint: str = ""

    def __str__(self):
        return f"{self.word}: {self.hint}" if self.hint else self.word


WRONG = ("wrong kind", "slip", "not yet")        # verdicts on an answer that could be read


class Solved(NamedTuple):
    """A variant worked out: what marking needs, in plain numbers of the declared unit, or words."""
    met: dict                                    # the givens, and the numbers met on the way
    truth: float | str
    tolerance: float
    slips: tuple                                 # (value, tolerance, hint)


class Outcome(NamedTuple):
    """What a student is shown."""
    typed: str
    verdict: Verdict
    steps: tuple = ()
    note: str = ""                               # where the answer could not be kept as usual


# --- the declaration ---------------------------------------------------------------------------------------------------------------
@dataclass(frozen=True, eq=False, kw_only=True)
class Exercise:
    """One question, as it is asked, solved, checked, explained and marked.

    Parameters
    ----------
    key : a short name for good, like gels-03: answer files keep it.
    title : what a teacher would call it.
    question : with the givens in place, "{batch} of base with {dose} agar ...". Unit kind and tolerance are put behind it.
    givens : {name: Draw, Pick, PickRow, or a fixed quantity, number or word}
    solve : function -> the answer (quantity, pure number or word), through the library. It asks for givens, and numbers of `between`,
        by naming them as its arguments; so do all functions here.
    unit : of the answer; "" for a pure number (then 12 % and 0.12 are the same answer); a tuple of words where one of them is the answer.
    within : how near is right: relative (0.02), or a quantity (Q_(0.5, "delta_degC")); 0 asks for a whole number. Not for words.
    slips : Slip, Slip, ...; where words are asked, one for each wrong word.
    steps : sentences of the worked way, with {givens}, {results of between} and {answer}; {loss:2 g} says 2 digits, in g.
    between : {name: function} for the numbers met on the way; a later one may ask for an earlier one.
    known : ({givens}, the answer worked by hand, where that is from). The givens are the textbook version's; the answer is never
        copied from `solve`, and a test holds the two together.
    fits : function of givens -> whether they make a fair question; others are drawn again.
    minutes : of a core exercise; 0 for further practice.
    heavy : whether `solve` calls a solver; the default tests then work out some variants only, the slow ones all.
    """
    key: str
    title: str
    question: str
    givens: dict
    solve: Callable
    unit: str | tuple
    within: float | Quantity = 0
    slips: tuple
    steps: tuple
    between: dict = field(default_factory=dict)
    known: tuple
    fits: Callable | None = None
    minutes: int = 0
    heavy: bool = False

    # --- variants ---
    def number(self, student, class_code):
        """The variant, 0 to 39, of a student: the same on every machine."""
        return draw("/".join((answers.counted(class_code), answers.counted(student), self.key)), VARIANTS)

    def mine(self):
        """The variant of who answers now; None is the textbook version."""
        answerer = answers.who()
        return self.number(*answerer) if answerer.student else None

    @functools.cache
    def variant(self, number=None):
        """{name: value} of a variant, or of the textbook version (None)."""
        fixed = {name: given for name, given in self.givens.items() if not isinstance(given, DRAWN)}
        if number is None:
            return fixed | {name: row(value, own=False) if isinstance(self.givens[name], PickRow) else value
                            for name, value in self.known[0].items()}
        for attempt in range(1000):
            drawn = {name: choices[draw(f"{self.key}/{number}/{attempt}/{name}", len(choices))]
                     for name, choices in self._choices().items()}
            if self.fits is None or _given(self.fits, fixed | drawn):
                return fixed | drawn
        raise ValueError(f"{self.key}: no givens fit")

    @functools.cache
    def _choices(self):
        return {name: given.choices() for name, given in self.givens.items() if isinstance(given, DRAWN)}

    @functools.cache
    def solved(self, number=None):
        """The variant worked out, once: truth, tolerance and slips in the declared unit."""
        met = dict(self.variant(number))
        for name, path in self.between.items():
            met[name] = _given(path, met)
        truth = self._plain(_given(self.solve, met))
        wrong = [(self._plain(_given(slip.path, met) if callable(slip.path) else slip.path), slip.hint) for slip in self.slips]
        return Solved(met, truth, self._tolerance(truth), tuple((value, self._tolerance(value), hint) for value, hint in wrong))

    def _plain(self, value):
        if isinstance(self.unit, tuple):
            return value
        return float(value.m_as(self.unit or "dimensionless") if isinstance(value, Quantity) else value)

    def _tolerance(self, value):
        if isinstance(value, str):
            return 0.0
        if isinstance(self.within, Quantity):
            return float(self.within.m_as(f"delta_{self.unit}" if self.unit in ("degC", "degF") else self.unit or "dimensionless"))
        return self.within * abs(value)

    # --- what it says ---
    def text(self, number=None):
        """The question with a variant's numbers, and how to answer."""
        return f"{self._said(self.question, number)} ({self.how()})"

    def how(self):
        """How to answer, in words: 'within 2 % of the right value', 'a bare number, ...', 'one of: ...'."""
        if isinstance(self.unit, tuple):
            return f"one of: {', '.join(self.unit)}"
        near = (f"within {_trimmed(self.within)}" if isinstance(self.within, Quantity)
                else f"within {_trimmed(100 * self.within)} % of the right value" if self.within else "a whole number")
        return f"a bare number, {near}" if self.unit == "" and self.within else near

    def markdown(self, number=None):
        """The question's text cell in a lesson."""
        kind = f"about {self.minutes} minutes" if self.minutes else "further practice"
        return f"### {self.title}\n\n*{self.key}, {kind}.* {self.text(number)}"

    def worked(self, number=None):
        """The worked answer, for the instructor: question, steps, answer, where it is from, and what to say to each slip."""
        return Worked(self, number)

    def way(self, number=None):
        """The worked steps of a variant, a sentence each."""
        return tuple(self._said(step, number) for step in self.steps)

    def _said(self, template, number):
        solved = self.solved(number)
        values = {name: self._as_given(name, value) if name in self.givens else value for name, value in solved.met.items()}
        return _Writer().vformat(template, (), values | {"answer": self.put(solved.truth)})

    def _as_given(self, name, value):
        given = self.givens[name]
        return value if isinstance(value, Row) else _written(value, given.places() if isinstance(given, DRAWN) else 0)

    def put(self, value):
        """A number of the declared unit as a student would type it; a word stays."""
        return value if isinstance(value, str) else _trimmed(Q_(value, self.unit) if self.unit else value)

    # --- judging ---
    def verdict(self, typed, number=None):
        """Judge what was typed (text, number, quantity or None) against a variant -> Verdict. Nothing is evaluated, nothing is kept."""
        return self._judge(as_typed(typed), number)

    @functools.lru_cache(200_000)                            # the same answer comes again: at each check, and from many students
    def _judge(self, text, number):
        if not text:
            return Verdict("blank", self._prompt())
        solved = self.solved(number)
        if isinstance(self.unit, tuple):
            return self._judge_word(text, solved)
        try:
            value, unit = read_answer(text)
        except ValueError as error:
            return Verdict(*error.args)
        if self.unit.startswith("delta_"):                   # what was typed as °C is meant as a difference where one is asked
            unit = DIFFERENCES.get(unit, unit)
        if unit and not _same_kind(unit, self.unit or "dimensionless"):
            return Verdict("wrong kind", f"The answer is {self._kind()}.")
        typed, value = value, self._in_unit(value, unit)
        if value is None:
            return Verdict("no unit", f"Give the unit too, like 1.6 {self._unit_shown()}; without it nobody knows what the number means.")
        for right, tolerance, hint in ((solved.truth, solved.tolerance, None), *solved.slips):
            if abs(value - right) <= tolerance + 1e-9 * abs(right):
                return Verdict("right") if hint is None else Verdict("slip", hint)
        if unit and abs(typed - solved.truth) <= solved.tolerance < 0.2 * abs(solved.truth):
            return Verdict("not yet", "Look at the unit that you wrote: a sum done right does not come out in it.")
        return Verdict("not yet", self._remark(value, solved))

    def _in_unit(self, value, unit):
        """The number in the declared unit; None where a unit is due and none was typed."""
        if not unit:
            return value if self.unit in ("", "leaf") else None      # leaves are counted: 6 is enough
        return convert(value, unit, self.unit or "dimensionless")

    def _judge_word(self, text, solved):
        word = next((w for w in self.unit if _same(w, text)), None)
        if word is None:
            return Verdict("unreadable", f"Answer with one of: {', '.join(self.unit)}.")
        if word == solved.truth:
            return Verdict("right")
        hints = (Verdict("slip", hint) for value, _, hint in solved.slips if value == word)
        return next(hints, Verdict("not yet", "Read the question once more."))

    def _prompt(self):
        if isinstance(self.unit, tuple):
            return "choose in the box, or put the word in place of None, in quotes."
        example = "a bare number, like 4.5" if self.unit == "" else "a number and its unit, like 1.6 g"
        return f"type {example}, into the box, or in place of None in quotes."

    @functools.cache
    def _unit_shown(self):
        return show(Q_(1.0, self.unit)).partition(" ")[2] if self.unit else ""

    def _kind(self):
        return f"measured in {self._unit_shown()}" if self._unit_shown() else "a bare number, without a unit"

    @staticmethod
    def _remark(value, solved):
        """One sentence for an answer that is neither right nor a known slip."""
        near = lambda x: abs(x - solved.truth) <= solved.tolerance < 0.2 * abs(solved.truth)
        if any(near(value * 10.0 ** n) for n in (-6, -3, -2, -1, 1, 2, 3, 6)):
            return "The digits are right and the decimal point is not: look at each unit again."
        return "Go through it once more: the formula, then the unit of each number."

    # --- in the page ---
    def check(self, answer=None):
        """Judge, keep the answer, print verdict and hint; the answer box follows, with this student's numbers and, when due, the steps.

        What is printed depends on the answer in the cell only: with None it is the same whatever was answered in the box.
        """
        outcome = self.attempt(answer)
        print(outcome.verdict)
        return AnswerBox(self, outcome if outcome.typed else None)

    def attempt(self, typed=None):
        """Judge an answer of who answers now and keep it in their file -> Outcome. Never raises: a fault of ours is said in words."""
        text, note = as_typed(typed), ""
        try:
            before = self.answered()
            if text and before[-1:] != (text,):
                note = answers.keep(self.key, self.label(self.mine()), text)
                before += (text,)
            return self._outcome(text, before if text else (), note)
        except Exception as error:
            return Outcome(text, Verdict("not yet", f"This could not be checked here ({type(error).__name__}). Tell your instructor."))

    def standing(self):
        """The Outcome of what was answered last, or None: a page opened again shows it."""
        try:
            before = self.answered()
            return self._outcome(before[-1], before) if before else None
        except Exception as error:
            return Outcome("", Verdict("not yet", f"Earlier answers could not be read ({type(error).__name__})."))

    def _outcome(self, text, before, note=""):
        """The worked steps come after a right answer or two wrong ones, never before."""
        number = self.mine()
        words = [self.verdict(earlier, number).word for earlier in before]
        due = "right" in words or sum(word in WRONG for word in words) >= 2
        return Outcome(text, self.verdict(text, number), self.way(number) if due else (), note)

    def answered(self):
        """All that who answers now has typed to this variant, oldest first."""
        label = self.label(self.mine())
        return tuple(record.answer for record in answers.mine()[0] if record.exercise == self.key and record.variant == label)

    @staticmethod
    def label(number):
        """The variant as answer files write it."""
        return TEXTBOOK if number is None else str(number)


class AnswerBox:
    """Where an answer is typed: in the live page a box; in a stored one a line that says so, the same whoever answers."""
    def __init__(self, exercise, outcome=None):
        self.exercise, self.outcome, self.live = exercise, outcome, None

    def __repr__(self):
        return f"{self.exercise.key}, {self.exercise.title}: run this cell, and its answer box stands here."

    def view(self):
        """The live box, with what was answered last."""
        from .answer_box import AnswerView
        unit = self.exercise.unit
        made = AnswerView(title=self.exercise.title, words=list(unit) if isinstance(unit, tuple) else [],
                          label="Your answer" + (", a bare number" if unit == "" else ", with its unit"))

        def show_question():
            number = self.exercise.mine()
            made.question = "" if number is None else self.exercise.text(number)
            show_outcome(self.outcome or self.exercise.standing() or Outcome("", ()))

        def show_outcome(outcome):
            with made.hold_sync():
                made.typed, made.verdict, made.steps, made.note = outcome.typed, list(outcome.verdict), list(outcome.steps), outcome.note
        made.observe(lambda change: show_outcome(self.exercise.attempt(str(change["new"].get("text", "")))), "sent")
        made.renew = show_question
        show_question()
        return made

    def _repr_mimebundle_(self, include=None, exclude=None):
        self.live = self.view()
        return {"text/plain": repr(self), "text/html": f"<p>{html.escape(repr(self))}</p>",
                "application/vnd.jupyter.widget-view+json": {"version_major": 2, "version_minor": 0, "model_id": self.live.model_id}}


class Worked:
    """A worked answer as the instructor reads it."""
    def __init__(self, exercise, number=None):
        solved = exercise.solved(number)
        self.question, self.steps = exercise.text(number), exercise.way(number)
        self.answer = exercise.put(solved.truth)
        self.source = exercise.known[2] if number is None else ""
        self.slips = tuple((exercise.put(value), hint) for value, _, hint in solved.slips if value != solved.truth)

    def __repr__(self):
        lines = [self.question, *(f"{n}. {step}" for n, step in enumerate(self.steps, 1)), f"Answer: {self.answer}"]
        lines += [f"Checked by hand: {self.source}"] if self.source else []
        return "\n".join(lines + [f"Who answers {value} hears: {hint}" for value, hint in self.slips])

    def _repr_html_(self):
        say = html.escape
        source = f"<p>Checked by hand: {say(self.source)}</p>" if self.source else ""
        slips = "".join(f"<li>Who answers <strong>{say(value)}</strong> hears: {say(hint)}</li>" for value, hint in self.slips)
        steps = "".join(f"<li>{say(step)}</li>" for step in self.steps)
        return f"<p>{say(self.question)}</p><ol>{steps}</ol><p>Answer: <strong>{say(self.answer)}</strong></p>{source}<ul>{slips}</ul>"


DIFFERENCES = {"degC": "delta_degC", "degF": "delta_degF", "kelvin": "delta_degC"}


@functools.cache
def _same_kind(have, want):
    try:
        convert(1.0, have, want)
    except pint.DimensionalityError:
        return False
    return True


@functools.cache
def _asked_for(function):
    return tuple(inspect.signature(function).parameters)


def _given(function, values):
    """Call a function with those of the values that it names as its arguments."""
    return function(**{name: values[name] for name in _asked_for(function)})


# --- writing and reading -----------------------------------------------------------------------------------------------------------
def as_typed(answer):
    """What a student gave, as the text it stands for: None is '', Q_(1.6, 'g') is '1.6 g'. Never raises."""
    if answer is None:
        return ""
    try:
        if isinstance(answer, Quantity):
            return answers.clean(f"{float(answer.magnitude):.12g} {show(Q_(1.0, answer.units)).partition(' ')[2]}")
        if isinstance(answer, (int, float)) and not isinstance(answer, bool):
            return answers.clean(f"{answer:.12g}")
        return answers.clean(answer)
    except Exception:                                        # whatever a cell may hold: it is judged as unreadable
        return "?"


def _same(word, text):
    spelt = lambda s: re.sub(r"[\s_\-]+", " ", s).strip().casefold()
    return spelt(word) == spelt(text)


class _Writer(string.Formatter):
    """Fills "{dose} of {batch} is {agar}": values rounded to 4 digits, or by a spec like {agar:2 g}."""
    def format_field(self, value, spec):
        digits, _, unit = spec.partition(" ")
        if isinstance(value, Row):
            return value.key
        if isinstance(value, Quantity) and unit:
            value = value.to(Q_(1.0, unit).units)
        return value if isinstance(value, str) else _trimmed(value, int(digits or 4))


def _trimmed(value, digits=3):
    """Kitchen writing without closing zeros, thousands in full: 5 g, 1.11 %, 1234 g."""
    number = float(value.magnitude if isinstance(value, Quantity) else value)
    if number and math.isfinite(number):
        digits = max(digits, math.floor(math.log10(abs(number))) + 1)
    text, _, unit = (show(value, digits) if isinstance(value, Quantity) else plain(value, digits)).partition(" ")
    text = text.rstrip("0").rstrip(".") if "." in text else text
    return f"{text} {unit}".rstrip()


def _places(number):
    return len(f"{float(number):.6f}".rstrip("0").partition(".")[2])


def _written(value, places=0):
    """A given as it was drawn, all its digits: 1.0 %, 450 g."""
    if isinstance(value, str):
        return value
    number = float(value.magnitude if isinstance(value, Quantity) else value)
    text = f"{number:.{max(places, _places(number))}f}"
    return f"{text} {show(value).partition(' ')[2]}".rstrip() if isinstance(value, Quantity) else text
