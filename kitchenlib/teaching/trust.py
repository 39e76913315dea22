"""How far to trust the numbers: one page from the checks. What was checked, against what, how far off; what nobody has measured."""
from collections import Counter

from .. import checks, tables
from ..tables import HOW, cite
from . import sheets
from .copies import all_lessons, name

WORDS = {"read": "read in the source", "second-hand": "read in a work that quotes it", "computed": "computed another way",
         "common practice": "a fact of the trade", "memory": "a typical figure, unverified"}


def rows():
    """(lesson, values, within 1 %, within 5 %, farthest off, which) of each lesson that has checks, in teaching order."""
    made = []
    for path in all_lessons():
        found = [outcome for outcome in checks.all_outcomes() if path.stem[:2] in outcome.check.lesson.split()]
        if found:
            worst = max(found, key=lambda outcome: abs(outcome.share))
            shares = [abs(outcome.share) for outcome in found]
            made.append((name(path.stem), len(found), sum(s < 0.01 for s in shares), sum(s < 0.05 for s in shares),
                         f"{100 * abs(worst.share):.0f} %", f"{cite(worst.check.source) or worst.check.how}: {worst}; {worst.check.because}"))
    return made


def page():
    """The page as HTML."""
    found = checks.all_outcomes()
    known = Counter(outcome.check.how for outcome in found)
    shipped = [tables.row(key, own=False) for key in tables.kinds(own=False)]
    facts = Counter(fact.how for row in shipped for name in row for fact in row.facts(name))
    how = [(how, WORDS.get(how, how), known[how], facts[how]) for how in HOW if known[how] or facts[how]]
    missing = [(name(path.stem), sentence) for path in all_lessons()
               for sentence in checks.unmeasured(path.stem[:2])]
    body = ("<h1>How far to trust the numbers</h1>"
            "<p>A number here is worth what stands behind it. Each printed value that we found was laid beside what the library gives; "
            "each fact says how it is known. Agreement with print is no promise for your kitchen: grades, foods and hands differ by more. "
            "Weigh, measure, try a glass first. Your local code and a person trained for the task decide.</p>"
            "<h2>How the values are known</h2>" + sheets.table(("how it is known", "means", "values checked", "facts used"), how)
            + "<h2>How near the library comes, by lesson</h2>"
            + sheets.table(("lesson", "values", "within 1 %", "within 5 %", "farthest off", "which that is, and why"), rows())
            + "<h2>What nobody has measured, as far as we could find</h2>" + sheets.table(("lesson", "what"), missing))
    return sheets.page("How far to trust the numbers", body)


def main(arguments):
    """Write the page -> exit code: 0, or 2 where it could not be done."""
    parser = sheets.asks("trust", "Write one page on how far to trust the numbers: what was checked, against what, how far off, what nobody has measured.")
    return sheets.deliver(lambda: {"trust.html": page()}, parser.parse_args(arguments))
