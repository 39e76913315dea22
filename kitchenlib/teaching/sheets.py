"""What every printed sheet shares: one page frame that prints to A4 and Letter, a foot on each page, small marks for text and tables."""
import argparse
import datetime
import html
import re
import sys
from pathlib import Path

from .. import __version__, checks, tables
from ..files import put
from ..units import unbroken
from . import commands, hooks

_STYLE = """
:root { color-scheme: light }
body { font: 11pt/1.4 sans-serif; max-width: 46em; margin: 1em auto; padding: 0 1em; color: #1b1b1b; background: #fff }
h1 { font-size: 1.5em; margin: 0 0 .3em } h2 { font-size: 1.2em; margin: 1.2em 0 .3em } h3 { font-size: 1em; margin: 1em 0 .2em }
table { border-collapse: collapse; width: 100% } th, td { border: 1px solid #777; padding: .2em .5em; text-align: left; vertical-align: top }
img { max-width: 100% } figure { margin: .6em 0 } figcaption { font-size: .9em }
.caution { border: 2px solid #1b1b1b; padding: .4em .8em; margin: .6em 0 } .space { border-bottom: 1px solid #777; height: 2.2em }
.blank { border-bottom: 1px solid #1b1b1b; display: inline-block; min-width: 12em } footer { font-size: .8em; border-top: 1px solid #777 }
.keep, figure, tr { break-inside: avoid } h2, h3 { break-after: avoid } .leaf + .leaf { break-before: page }
.many { columns: 2; margin: .3em 0 } caption { text-align: left; padding: .3em 0 }
:focus-visible { outline: 3px solid #b35900; outline-offset: 1px }
@page { margin: 15mm 15mm 20mm; @bottom-left { content: "FOOT"; width: 100%; font: 8pt/1.3 sans-serif } }
@media print { body { margin: 0; max-width: none; padding: 0 } }
"""                                              # a fixed footer would lie over the last lines of each page: the margin is its place


def page(title, body, about=""):
    """A whole HTML page that stands alone: no script, nothing fetched. body is HTML; title and about (in the foot, on each page) are text."""
    said = foot(about)
    return (f'<!doctype html>\n<html lang="en"><head><meta charset="utf-8"><meta name="viewport" content="width=device-width">'
            f"<title>{html.escape(title)}</title><style>{_STYLE.replace('FOOT', _as_css(said))}</style></head>\n<body>\n<main>\n{body}\n</main>\n"
            f"<footer>{html.escape(said)}</footer>\n</body></html>\n")


def _as_css(words):
    """Text inside a quoted string of a style sheet; nothing of it can end the string or the style."""
    return "".join(c if c.isalnum() or c in " .,:;%-" else f"\\{ord(c):x} " for c in words)


def foot(about=""):
    """What stands at the foot of every sheet: what made it, when, with whose rows, how far to trust it."""
    own = sorted(tables.shelf()[0])
    shelf = f"own shelf: {', '.join(own[:4])}{' and more' if len(own) > 4 else ''}" if own else "own shelf: empty"
    return " · ".join(filter(None, (f"kitchenlib {__version__}", datetime.date.today().isoformat(), shelf, about, checks.in_short())))


def text(words):
    """Markdown of a lesson or a sentence as HTML, formulas as MathML."""
    from nbconvert.filters import markdown2html
    return re.sub(r'<a class="anchor-link".*?</a>', "", markdown2html(hooks.mathml(words)))


def table(heading, rows, caption=""):
    """Rows of text as an HTML table."""
    def cells(tag, row, more=""):
        return "<tr>" + "".join(f"<{tag}{more}>{html.escape(str(cell))}</{tag}>" for cell in row) + "</tr>"
    said = f"<caption>{html.escape(caption)}</caption>" if caption else ""
    body = "".join(cells("td", row) for row in rows)
    return f"<table>{said}<thead>{cells('th', heading, ' scope=col')}</thead><tbody>{body}</tbody></table>"


def write(files, overwrite=False):
    """Write {path: text} -> the paths. Raises FileExistsError, before anything is written, where one is there and overwrite is false,
    and OSError where one cannot be written; what stood there before stays."""
    there = [str(path) for path in files if Path(path).exists()]
    if there and not overwrite:
        raise FileExistsError(f"{', '.join(there[:3])} {'is' if len(there) == 1 else 'are'} there already: add --overwrite, or --to another folder")
    for path, words in files.items():
        try:
            coding = "utf-8-sig" if Path(path).suffix == ".csv" else "utf-8"
            put(Path(path), words.encode(coding, "surrogateescape"))         # a file's name keeps its letters in a locale that lacks them
        except OSError as error:
            raise OSError(f"{path} cannot be written ({error.strerror or error}): name another folder, --to FOLDER") from None
    return tuple(files)


def asks(kind, about, lesson=False):
    """Parser of `python -m kitchenlib sheet KIND`, with what all kinds ask; with `lesson` also the lesson and the class code."""
    parser = argparse.ArgumentParser(f"python -m kitchenlib sheet {kind}", description=about)
    if lesson:
        parser.add_argument("lesson", metavar="LESSON", help="a lesson, as 10 or 10_gel_strength")
        parser.add_argument("--class", dest="class_code", default="", metavar="CODE", help="the class code, printed on the sheet")
    parser.add_argument("--to", default=".", metavar="FOLDER", help="where to write; the current folder when left out")
    parser.add_argument("--overwrite", action="store_true", help="replace an earlier sheet")
    return parser


def _unbroken_page(words):
    """A page in which no line ends between a number and its unit; tags, scripts and what they read stay as they are."""
    return re.sub(r"(<(script|style|pre)\b.*?</\2>)|>[^<>]+", lambda part: part[0] if part[1] else unbroken(part[0]), words, flags=re.DOTALL)


def deliver(made, chosen):
    """Write the pages that made() gives, {name: page}, and print their paths -> exit code: 0, or 2 with one sentence why not."""
    try:
        pages = {Path(chosen.to) / name: _unbroken_page(words) if name.endswith(".html") else words for name, words in made().items()}
        for path in write(pages, chosen.overwrite):
            print(path)
    except (OSError, LookupError, ValueError) as error:
        print(commands.sentence(error), file=sys.stderr)
        return 2
    return 0
