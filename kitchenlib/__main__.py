"""python -m kitchenlib [COMMAND ...]: starts the lessons, or runs one of the commands below."""
import importlib
import sys

from .teaching import commands

# word typed: (module whose main(arguments) returns the exit code, what it does in a line)
COMMANDS = {
    "start": ("kitchenlib.teaching.start", "open the lessons (what happens when no command is given)"),
    "check": ("kitchenlib.teaching.check", "check your homework in a lesson"),
    "mark": ("kitchenlib.teaching.marking", "mark a class from its answer files"),
    "handout": ("kitchenlib.teaching.handout", "exercises on paper, with each student's own numbers"),
    "card": ("kitchenlib.teaching.cards", "cards for the phone at the pass and for the wall"),
    "sheet": ("kitchenlib.teaching.sheet", "sheets that print: run sheet, rubric, tasting, the pass, how far to trust, a nitrogen risk draft"),
    "refresh": ("kitchenlib.teaching.refresh", "for authors: run the lessons anew and store what they show"),
}


def main(arguments):
    """Run the command that `arguments` name -> exit code."""
    if arguments[:1] in (["--help"], ["-h"], ["help"]):
        print(commands.help_text("python -m kitchenlib", "[COMMAND] [OPTIONS]", "COMMAND", COMMANDS))
        return 0
    name, *rest = arguments if arguments and not arguments[0].startswith("-") else ["start", *arguments]
    if name not in COMMANDS:
        print(commands.unknown(name, COMMANDS, "command of kitchenlib"), file=sys.stderr)
        return 2
    try:
        return importlib.import_module(COMMANDS[name][0]).main(rest)
    except KeyboardInterrupt:
        print()
        return 0 if name == "start" else 130


if __name__ == "__main__":
    for stream in (sys.stdout, sys.stderr):          # an old Windows code page must not stop a line that says °C
        stream.reconfigure(errors="kitchenlib-plainly")
    sys.exit(main(sys.argv[1:]))
