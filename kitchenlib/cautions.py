"""Texts and gates: what to warn of, technique by technique. Teaching text, never clearance.

Rules that differ by place stand in `rules`. The gate of raw egg and acid stands below the texts: any raw egg is cold-held, whatever a
table says.
"""
import functools
import math
import re
from typing import NamedTuple

from . import rules, tables
from .mixes import Mix
from .files import DATASETS, read_csv
from .tables import cite
from .units import Q_, boundary, one_of, plain, read_number, record, show


@functools.cache
def _texts():
    return tuple((tuple(word.strip() for word in cells["techniques"].split("|")), cells["text"])
                 for _, cells in read_csv(DATASETS / "cautions.csv")[1])


def techniques():
    """The words `for_` knows."""
    return tuple(dict.fromkeys(word for words, _ in _texts() for word in words))


def for_(*names):
    """The cautions of these techniques, each once, in the file's order: for_("pearls in oil", "agar"). ValueError names the nearest."""
    for name in names:
        one_of(name, techniques(), "a technique")
    return tuple(text for words, text in _texts() if any(name in words for name in names))


def diet(row):
    """'gelatin: pork, beef or fish; not vegetarian, not vegan: ask ...' of an ingredient's Row; LookupError where no row says."""
    told = {"yes": "", "no": "not ", "ask": "perhaps not "}
    fact = row.fact("origin")
    flags = ", ".join(f"{told[getattr(row, flag)]}{flag}" for flag in ("vegetarian", "vegan"))
    return f"{row.key}: {fact.value}; {flags}{': ' + fact.note if fact.note else ''}"


def declare(foods, place):
    """Which entries of allergen lists a batch falls under, and whether the place's own list names them.

    foods: Mix, or Rows; place: as people write it, unknown -> all lists together. Returns rules.Told, its rows those of the place's list.
    What stands on another list only is told too; a food of which no row speaks is named.  Source: rules_allergens.csv; the foods' rows.
    """
    listed, found, silent = rules.allergens(place), {}, []
    for food in foods.parts if isinstance(foods, Mix) else foods:
        if "allergen" not in food:
            silent.append(food.key)
            continue
        fact = food.fact("allergen")
        found.setdefault(fact.value, []).append(food.key + (f" ({fact.condition})" if fact.condition else ""))
    names = {row["allergen"] for row in listed.rows}
    elsewhere = {row["allergen"]: row["place"] for row in tables.records("rules_allergens")}
    told = [f"{allergen}: {', '.join(keys)}" + ("" if allergen in names else f" (not on this list, but on others, as in {elsewhere[allergen]})"
                                                if allergen in elsewhere else " (on no list known here)") for allergen, keys in found.items()]
    rest = f" No row speaks of {', '.join(silent)}: read the pack." if silent else ""
    return rules.Told(tuple(row for row in listed.rows if row["allergen"] in found), listed.borrowed,
                      f"{'; '.join(told) or 'Nothing of the rows'}.{rest} The list: {listed.words}")


# --- raw egg and acid ------------------------------------------------------------------------------------------------------------------
EGGS = ("raw egg", "pasteurised egg", "no egg")
COLDEST_ASKED = Q_(5.0, "degC")                              # our default where a place lets it be warmer
TCS = ("B", "A")                                             # B: not heat-treated, or not packaged after; A: heat-treated, then packaged
Asked = record("Asked", activity="", ph="")


@boundary(Asked, activity="", ph="", valid={"activity": (0, 1), "ph": (0, 14)})
def _asked(activity, ph):
    """What the tables are entered with: water activity 0 to 1, ph 0 to 14.  Source: us-food-code-tcs."""
    return activity, ph


def _inside(text, number):
    """Whether a number lies in a range as the table prints it: '< 4.2', '<= 4.6', '4.2 - 4.6', '> 4.6 - 5.0', '> 5.0'."""
    sign, first, second = re.fullmatch(r"(<=|<|>)? ?([\d.]+)(?: - ([\d.]+))?", text).groups()
    edge, end = read_number(first), read_number(second) if second else math.inf
    if sign in ("<", "<="):
        return number < edge or sign == "<=" and number == edge
    return (number > edge or sign is None and number == edge) and number <= end


def designation(activity, ph, table="B"):
    """'Non-TCS' or 'PA' (product assessment required) of the US Food Code's table, edges as printed.

    Parameters
    ----------
    activity : water activity, 0 to 1
    ph : of the watery part at equilibrium, 0 to 14
    table : B for the kitchen; A only for food heat-treated to destroy vegetative cells and then packaged

    Returns
    -------
    the word of the cell. It speaks of growth only, never of what lived in a raw egg before: ask `hold`.

    Raises
    ------
    OutOfRange, TypeError, ValueError
        outside the ranges above; no pure number; another table

    Source
    ------
    us-food-code-tcs; rules_egg_tcs.csv, cell by cell.
    """
    activity, ph = _asked(activity, ph)
    one_of(table, TCS, "table")
    return next(cell["designation"] for cell in tables.records("rules_egg_tcs")
                if cell["table"] == table and _inside(cell["activity"], activity) and _inside(cell["ph"], ph))


def _names(food):
    """A food's key and those of all it is a kind of, in one line."""
    names = [food.key]
    while "is" in food and food.si("is") not in names:
        names.append(food.si("is"))
        food = tables.row(names[-1])
    return " | ".join(names).casefold()


def is_egg(food):
    """Whether a food's Row is egg, white or yolk, by its own key and by all it `is`; an eggplant is not."""
    return bool(re.search(r"\b(eggs?|yolks?)\b", _names(food)))


def egg_in(mix):
    """'raw egg', 'pasteurised egg' or 'no egg' of a Mix, by the names of its foods: an egg that does not say it is pasteurised is raw.

    Source: common practice; a product counts by its own key and by all it `is`.
    """
    found = "no egg"
    for food in filter(is_egg, mix.parts):
        names = _names(food)
        if not re.search(r"\bpasteuri[sz]ed\b", names) or re.search(r"\b(un|not |non-?)pasteuri[sz]ed\b", names):
            return EGGS[0]
        found = EGGS[1]
    return found


class Held(NamedTuple):
    """How a sauce is held."""
    cold: bool                   # whether it is cold-held
    at: object                   # at this or colder [degC]
    table: str                   # the table's word; empty where it was not asked
    words: str


def hold(egg, place="", activity=None, ph=None, table="B", within=0.0):
    """The gate. Any raw egg is cold-held, whatever pH, water activity or table say; everything else by the table, cold where it is unknown.

    Parameters
    ----------
    egg : "raw egg", "pasteurised egg" or "no egg"; `egg_in` says it of a Mix
    place : as people write it; empty or strange -> the strictest known
    activity, ph : of the watery part, measured; without both the table is not asked
    table : "B" for the kitchen, "A" as `designation`
    within : what the pH is good to; added before the table is asked (0.25 for a computed one), 0 to 2

    Returns
    -------
    Held. Egg of any kind is cold-held at 5 °C or colder, or as cold as the place asks.

    Raises
    ------
    ValueError, OutOfRange, TypeError
        another word for the egg; as `designation`

    Source
    ------
    us-food-code-states, 3-302.13 and 3-501.16; `designation`; `rules.standing`.
    """
    one_of(egg, EGGS, "egg")
    if not 0 <= within <= 2:
        raise ValueError(f"hold: within = {within!r} is what a pH is good to: give 0 to 2")
    asked = activity is not None and ph is not None
    cell = designation(activity, min(ph + within, 14) if isinstance(ph, (int, float)) else ph, table) if asked else ""
    at = min(rules.holding_limit(place, "cold hold"), COLDEST_ASKED)
    says = f"Table {table} says {cell} at pH {plain(ph)}" + (f" (asked at {plain(ph + within)}, what it may be)" if within else "") if asked else ""
    keep = f"keep it at {show(at, 2)} or colder"
    if egg == "raw egg":
        told = (f"Raw egg: {keep}, from making to plate. " +
                (f"{says}; that speaks of growth and takes no Salmonella out of an egg. " if asked else "") +
                "Take pasteurised egg instead; acid is a further hurdle and no cure, and none of this goes to small children, old or pregnant "
                "people, or those with weak immunity.")
    elif egg == "pasteurised egg":
        told = f"Pasteurised egg: {keep} once opened or made up." + (f" {says}, which speaks of growth only." if asked else "")
    elif cell == "Non-TCS":
        return Held(False, at, cell, f"{says}: by growth alone, for values that were measured and a recipe that is followed. "
                                     f"Cold keeps it longer. {_authority(place)}")
    else:
        told = f"{says}: product assessment required; until someone competent has made it, {keep}." if asked else \
            f"pH or water activity is not known: {keep}."
    return Held(True, at, cell, f"{told} {_authority(place)}")


def _authority(place):
    return rules.standing(place, "cold hold").words


def acid_holds():
    """What is published on acid in raw-egg sauces, the conflict shown and not resolved. Returns rules.Told.

    Source: rules_egg_acid.csv, row by row.
    """
    rows = tables.records("rules_egg_acid")
    warm = "; ".join(f"{row['kind']} {row['text']} ({row['condition']}; {cite(row['source'])})" for row in rows if row["time"] is not None)
    return rules.Told(rows, False, f"Published advice on killing Salmonella by acid wants hours or days in the warm: {warm}. Retail codes want it "
                                   "cold from the start, and in the cold it dies more slowly. The two conflict. Use pasteurised egg, keep it at "
                                   f"{show(COLDEST_ASKED, 2)} or colder, count acid as a further hurdle only; your local code decides.")


def raw_egg_rules(place):
    """What is known of a place's own words on raw egg. Returns rules.Told; another place's rows where it has none.

    Source: rules_egg.csv.
    """
    name = rules.known_place(place)
    rows = [row for row in tables.records("rules_egg") if row["place"] == name]
    shown = rows or tables.records("rules_egg")
    told = " ".join(f"{row['text'][0].upper()}{row['text'][1:]} ({', '.join(filter(None, (row['place'], cite(row['source']), row['locator'])))}"
                    f"{'' if row['how'] in rules.VERIFIED else ', not verified'})." for row in shown)
    lead = "" if rows else f"No row is known for {place.strip() or 'no place'}: ask your authority. Shown instead: "
    return rules.Told(tuple(shown), not rows, f"{lead}{told} Your authority decides.")
