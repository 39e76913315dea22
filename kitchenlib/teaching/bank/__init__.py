"""The exercises, one module a lesson, named as the lesson without its number: gel_strength holds those of 10_gel_strength."""
import functools
import importlib
import pkgutil

from ..copies import all_lessons
from ..exercises import Exercise


@functools.cache
def names():
    """Names of all modules of the bank."""
    return tuple(sorted(module.name for module in pkgutil.iter_modules(__path__)))


def exercises(name):
    """{name in code: Exercise} of a module, in the order in which they are declared."""
    module = importlib.import_module(f"{__name__}.{name}")
    return {word: value for word, value in vars(module).items() if isinstance(value, Exercise)}


@functools.cache
def by_key():
    """{key: Exercise} of the whole bank."""
    return {exercise.key: exercise for name in names() for exercise in exercises(name).values()}


def module_of(lesson):
    """The bank's module of a lesson's file name without its ending, like 10_gel_strength; None where it has no exercises."""
    name = lesson.partition("_")[2]
    return name if name in names() else None


def lessons():
    """{lesson's file name without its ending: {name in code: Exercise}} in teaching order, of lessons that have exercises."""
    stems = [path.stem for path in all_lessons()]
    return {stem: exercises(module_of(stem)) for stem in stems if module_of(stem)}


def cells(name):
    """The cells that stand for a module's exercises in its lesson: (kind, source, tags), as a test holds them."""
    made = []
    for word, exercise in exercises(name).items():
        made.append(("markdown", exercise.markdown(), ()))
        made.append(("code", f"answer = None\nask.{word}.check(answer)", ("exercise", exercise.key)))
    return made
