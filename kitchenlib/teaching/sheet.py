"""python -m kitchenlib sheet KIND ...: a sheet that prints, worked out or to be filled in."""
import difflib
import importlib
import sys

# word typed: (module whose main(arguments) returns the exit code, what it prints in a line)
KINDS = {
    "class": ("kitchenlib.teaching.class_sheet", "run sheet of a lesson: what to buy and to lay out, minutes, plan B, clean-down"),
    "rubric": ("kitchenlib.teaching.rubric_sheet", "what the practical of a lesson is judged by, for one station"),
    "tasting": ("kitchenlib.teaching.tasting_sheet", "five words a question for what is tasted, allergens declared"),
    "pass": ("kitchenlib.teaching.pass_sheet", "a service: what to weigh, when to begin, what to buy, allergens by place, food-safety log"),
    "trust": ("kitchenlib.teaching.trust", "how far to trust the numbers, on one page"),
    "nitrogen": ("kitchenlib.teaching.risk_sheet", "draft of a risk assessment for nitrogen in a room, the whole vessel spilt first"),
}


def help_text():
    width = max(map(len, KINDS)) + 2
    lines = "\n".join(f"  {kind:<{width}}{about}" for kind, (_, about) in KINDS.items())
    return f"python -m kitchenlib sheet KIND [OPTIONS]\n\n{lines}\n\nEach kind explains itself: python -m kitchenlib sheet KIND --help"


def main(arguments):
    """Write the sheet of the kind that `arguments` name -> exit code."""
    if not arguments or arguments[0] in ("--help", "-h"):
        print(help_text())
        return 0 if arguments else 2
    kind, *rest = arguments
    if kind not in KINDS:
        near = difflib.get_close_matches(kind, KINDS, 1, 0.5)
        hint = f"did you mean {near[0]!r}?" if near else f"there are: {', '.join(KINDS)}."
        print(f"{kind[:40]!r} is not a sheet: {hint}", file=sys.stderr)
        return 2
    return importlib.import_module(KINDS[kind][0]).main(rest)
