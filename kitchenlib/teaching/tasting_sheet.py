"""python -m kitchenlib sheet tasting LESSON: five words a question for what is tasted, and what is in it, declared by the list of a place."""
import html

from .. import cautions, files, tables
from . import class_sheet, sheets

FIVE = ("one", "two", "three", "four", "five")


def tasting(lesson, place="", samples=3, code=""):
    """The tasting sheet of a lesson ('10') as an HTML page: what is in it first, then a table of words for each sample.

    place : as people write it, empty or unknown -> all allergen lists together; samples : 1 to 6
    Raises LookupError where nothing is tasted in that lesson, ValueError for other numbers of samples.
    """
    asked = class_sheet.rows("tasting", lesson)
    if not asked:
        raise LookupError(f"nothing is tasted in lesson {lesson}: tasting sheets are for {', '.join(tasted())}")
    if not 1 <= samples <= 6:
        raise ValueError(f"{samples} samples on one sheet: give 1 to 6, more of them tire the tongue")
    title, first = class_sheet.head(class_sheet.pages()[lesson], "tasting", class_sheet.named(code))
    body = [first, "<h2>What is in it</h2>", *(f"<p>{html.escape(words)}</p>" for words in declared(lesson, place)),
            "<p>Who must avoid something says so now and does not taste; nobody has to taste. What stood on the bench for a measurement is not "
            "tasted. A clean spoon each time, water between samples.</p>", '<p>Taster\'s number <span class="blank"></span></p>']
    for _ in range(samples):
        body.append('<section class="keep"><h2>Sample, three digits <span class="blank"></span></h2>' + sheets.table(
            ("", *range(1, 6)), [(cells["asks"], *(cells[step] for step in FIVE)) for cells in asked],
            "Ring one word in each row, before anyone speaks.") + '<p>In your own words</p><div class="space"></div></section>')
    return sheets.page(f"{title}: tasting", "\n".join(body), class_sheet.named(code))


def tasted():
    """Numbers of the lessons that have a tasting sheet."""
    return [number for number in class_sheet.pages() if class_sheet.rows("tasting", number)]


def declared(lesson, place=""):
    """Sentences on the ingredients of a lesson: allergens by the list of a place, then diet where a row speaks of it."""
    found = {thing.what: thing.food for thing in class_sheet.things(lesson, "ingredient")}
    foods = [tables.row(key, own=False) for key in dict.fromkeys(filter(None, found.values()))]
    unknown = [what for what, key in found.items() if not key]
    said = [f"Ingredients: {'; '.join(found)}.", f"Allergens: {cautions.declare(foods, place).words}"]
    said += [f"No row speaks of {', '.join(unknown)}: read the pack."] if unknown else []
    return said + [f"{words[0].upper()}{words[1:]}." for words in (cautions.diet(food) for food in foods if "origin" in food)]


def main(arguments):
    """Write a tasting sheet -> exit code: 0, or 2 where it could not be done."""
    parser = sheets.asks("tasting", "Write the tasting sheet of a lesson: what is in it by the allergen list of a place, and five words a question.",
                         lesson=True)
    parser.add_argument("--samples", type=int, default=3, metavar="N", help="samples on the sheet; 3 when left out")
    parser.add_argument("--place", metavar="PLACE", help="whose allergen list counts; the start page's when left out, all lists where that is empty")
    chosen = parser.parse_args(arguments)

    def made():
        number = class_sheet.number_of(chosen.lesson)
        place = files.settings()["place"] if chosen.place is None else chosen.place
        return {f"tasting-{number}.html": tasting(number, place, chosen.samples, chosen.class_code)}
    return sheets.deliver(made, chosen)
