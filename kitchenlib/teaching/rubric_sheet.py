"""python -m kitchenlib sheet rubric LESSON: what the practical of a lesson is judged by, as a sheet for one station."""
import html

from . import class_sheet, sheets

LEVELS = "3 points: as written, alone. 2: nearly, and mended alone. 1: with help. 0: not yet, or not done."
STOPS = ("Whoever works against a caution stops, puts it right and begins again; the criterion then counts 1 at most. Marks are for the hands: "
         "a right number with oil on the floor and a lost tip is no pass.")


def rubric(lesson, students=class_sheet.MOST, code=""):
    """The rubric of a lesson ('10') for the students of one station as an HTML page: four criteria, 3 to 0 points each."""
    if not 1 <= students <= 12:
        raise ValueError(f"{students} students on one rubric: give 1 to 12, a sheet for each station")
    title, first = class_sheet.head(class_sheet.pages()[lesson], "rubric of the practical", class_sheet.named(code))
    blank = [""] * students
    found = [(cells["criterion"], cells["full_when"], *blank) for cells in class_sheet.rows("rubric", lesson)]
    table = sheets.table(("criterion", "3 points when", *range(1, students + 1)),
                         [("student's number", "", *blank), *found, (f"together, of {3 * len(found)}", "", *blank)])
    body = ["<style>body { font-size: 10pt } td:nth-child(n+3), th:nth-child(n+3) { min-width: 2.6em; height: 1.8em }</style>", first,
            '<p>Station <span class="blank"></span> Date <span class="blank"></span></p>', f"<p>{html.escape(LEVELS)}</p>", f"<p>{html.escape(STOPS)}</p>",
            table, "<h2>What to practise next</h2>", '<div class="space"></div>' * 2, '<p>Judged by <span class="blank"></span></p>']
    return sheets.page(f"{title}: rubric", "\n".join(body), class_sheet.named(code))


def main(arguments):
    """Write a rubric -> exit code: 0, or 2 where it could not be done."""
    parser = sheets.asks("rubric", "Write the rubric of a lesson's practical for one station: accuracy, hygiene, timing, texture.", lesson=True)
    parser.add_argument("--students", type=int, default=class_sheet.MOST, metavar="N", help="students at the station; 4 when left out")
    chosen = parser.parse_args(arguments)

    def made():
        number = class_sheet.number_of(chosen.lesson)
        return {f"rubric-{number}.html": rubric(number, chosen.students, chosen.class_code)}
    return sheets.deliver(made, chosen)
