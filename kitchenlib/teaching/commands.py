"""How commands explain themselves: `python -m kitchenlib COMMAND`, `... sheet KIND`, `... card KIND` alike. Loads nothing of ours."""
import codecs
import contextlib
import difflib
import unicodedata


_PLAINLY = {"°": "deg ", "µ": "u", "μ": "u", "·": "*", "⋅": "*", "×": "x", "±": "+/-", "−": "-", "–": "-", "…": "..."}


def _plainly(error):
    """For a screen whose code page lacks a sign: 4 deg C, cm2, Kuche; ? where nothing plain is like it."""
    def plain(sign):
        return _PLAINLY.get(sign) or unicodedata.normalize("NFKD", sign).encode("ascii", "ignore").decode() or "?"
    text = error.object[error.start:error.end]
    with contextlib.suppress(UnicodeError):                  # a path that this locale could not read, as the file system has it
        text = text.encode("utf-8", "surrogateescape").decode("utf-8")
    return "".join(map(plain, text)), error.end


codecs.register_error("kitchenlib-plainly", _plainly)


def help_text(call, options, what, table):
    """What a call offers; table: {word: (module whose main(arguments) returns the exit code, what it does in a line)}."""
    width = max(map(len, table)) + 2
    lines = "\n".join(f"  {word:<{width}}{about}" for word, (_, about) in table.items())
    return f"{call} {options}\n\n{lines}\n\nEach {what.lower()} explains itself: {call} {what} --help"


def sentence(error):
    """What an error says to the user; of one of the system, which file it was."""
    if isinstance(error, OSError) and error.strerror:
        return f"{error.filename or 'a file'} cannot be opened ({error.strerror})."
    return str(error.args[0] if isinstance(error, LookupError) and error.args else error)


def unknown(word, words, what):
    """The sentence for a word that is none of these: the nearest is named, else all."""
    near = difflib.get_close_matches(word, words, 1, 0.5)
    hint = f"did you mean {near[0]!r}?" if near else f"there are {', '.join(words)}."
    return f"{word[:40]!r} is not a {what}: {hint}"
