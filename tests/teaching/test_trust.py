"""How far to trust: the page counts what the files hold, names the farthest, hides nothing."""
import html
import re

from kitchenlib import checks, files
from kitchenlib.teaching import sheets, trust


def test_the_page_counts_every_line_of_the_published_files():
    lines = sum(len(files.read_csv(path)[1]) for path in checks.PUBLISHED.glob("*.csv") if path.name != checks.UNMEASURED)
    said = re.match(r"beside (\d+) printed values: (\d+) of the (\d+)", checks.in_short())
    assert int(said[1]) == lines and 0 < int(said[2]) <= int(said[3]) < lines


def test_the_farthest_of_a_lesson_is_named_with_its_reason():
    for row in trust.rows():
        found = checks.outcomes(row[0][:2])
        worst = max(found, key=lambda outcome: abs(outcome.share))
        assert row[1] == len(found) >= row[3] >= row[2] and worst.check.because in row[5] and str(worst) in row[5]


def test_what_nobody_has_measured_stands_on_the_page():
    page = html.unescape(trust.page())
    for lesson in ("11", "12"):
        assert all(sentence in page for sentence in checks.unmeasured(lesson))


def test_its_short_form_is_on_every_sheet():
    assert checks.in_short() in html.unescape(sheets.page("t", "b"))
