"""What people read off a page, and words that nothing here may say, for the tests of texts and sheets."""
import html
import re

# Teaching material never clears anybody to do a thing.
FORBIDDEN = re.compile(r"\b(un)?safe(ly|r)?\b|\bclear(ed|ly|ance)?\b|\bok(ay)?\b|\bapprov\w*", re.IGNORECASE)


def words(page):
    """The text of an HTML page, without its style."""
    return html.unescape(re.sub(r"<[^>]+>", " ", re.sub(r"<style>.*?</style>", "", page, flags=re.S)))
