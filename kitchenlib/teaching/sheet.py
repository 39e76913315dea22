"""python -m kitchenlib sheet KIND ...: a sheet that prints, worked out or to be filled in."""
import importlib
import sys

from . import commands

# word typed: (module whose main(arguments) returns the exit code, what it prints in a line)
KINDS = {
    "class": ("kitchenlib.teaching.class_sheet", "run sheet of a lesson: what to buy and to lay out, minutes, plan B, clean-down"),
    "rubric": ("kitchenlib.teaching.rubric_sheet", "what the practical of a lesson is judged by, for one station"),
    "tasting": ("kitchenlib.teaching.tasting_sheet", "five words a question for what is tasted, allergens declared"),
    "pass": ("kitchenlib.teaching.pass_sheet", "a service: what to weigh, when to begin, what to buy, allergens by place, food-safety log"),
    "trust": ("kitchenlib.teaching.trust", "how far to trust the numbers, on one page"),
    "nitrogen": ("kitchenlib.teaching.risk_sheet", "draft of a risk assessment for nitrogen in a room, the whole vessel spilt first"),
}


def main(arguments):
    """Write the sheet of the kind that `arguments` name -> exit code."""
    if not arguments or arguments[0] in ("--help", "-h"):
        print(commands.help_text("python -m kitchenlib sheet", "KIND [OPTIONS]", "KIND", KINDS))
        return 0 if arguments else 2
    kind, *rest = arguments
    if kind not in KINDS:
        print(commands.unknown(kind, KINDS, "sheet"), file=sys.stderr)
        return 2
    return importlib.import_module(KINDS[kind][0]).main(rest)
