"""The start page's two forms: who you are and how numbers are shown; your own products on the shelf."""
import datetime

from .. import files, tables
from .form import Form

SIZES = ("", "projector", "phone")


def _setting_fields():
    kept = files.settings()
    return [
        {"name": "student", "label": "Student id", "hint": "as your instructor gave it; empty: the textbook's numbers", "value": kept["student"]},
        {"name": "class", "label": "Class code", "hint": "as your instructor gave it", "value": kept["class"]},
        {"name": "place", "label": "Where you work", "hint": "for rules that differ by place; empty: the strictest known",
         "options": ["", *places()], "value": kept["place"]},
        {"name": "temperature", "label": "Temperatures in", "options": ["°C", "°F"], "value": kept["temperature"]},
        {"name": "mass", "label": "Masses in", "options": ["g", "oz"], "value": kept["mass"]},
        {"name": "size", "label": "Pictures for", "hint": "empty: by the width of the page", "options": list(SIZES), "value": kept["size"]}]


def places():
    """The places for which the tables hold rules."""
    try:
        return sorted({record["place"] for record in tables.records("rules_holding")})
    except FileNotFoundError:
        return []


def _keep_settings(typed):
    for name in ("student", "class"):
        typed[name] = typed[name].strip()
        if len(typed[name]) > 40:
            raise ValueError(f"The {name} id is longer than 40 characters: give the short one.")
    files.keep_settings(**typed)
    who = f"student {typed['student']}, class {typed['class']}" if typed["student"] else "no id: the textbook's numbers"
    return f"Kept ({who}). Run a lesson again to see it there."


def _shelf_fields():
    names = sorted(name for name, cells in tables.properties().items() if cells.get("shelf", "yes") != "no")
    return [
        {"name": "product", "label": "Product", "hint": "your own name for it, like: agar bag 3"},
        {"name": "property", "label": "What you know of it", "options": names, "value": "gel_strength",
         "hint": "first say what it is: choose is, value agar"},
        {"name": "value", "label": "Value", "hint": "a number, like 900; or a word, like agar"},
        {"name": "unit", "label": "Unit", "hint": "like g/cm², Bloom, %; nothing for a word"},
        {"name": "plus_minus", "label": "Plus or minus", "hint": "same unit; may stay empty"},
        {"name": "lot", "label": "Lot", "hint": "from the bag"},
        {"name": "note", "label": "Note", "hint": "where the figure is from"}]


def _keep_shelf(typed):
    cells = {**typed, "date": datetime.date.today().isoformat()}
    tables.add_to_shelf(cells)
    return f"{cells['product']}: {cells['property']} {cells['value']} {cells['unit']} stands on the shelf."


def _shelf_table():
    found, troubles = tables.shelf()
    rows = [(f.substance, f.property, str(f).partition(" [")[0], f.locator, f.note)
            for product in found.values() for facts in product.values() for f in facts[:1]]
    return [("product", "what", "value", "lot and date", "note"), *rows, *((t, "", "", "", "") for t in troubles)]


settings = Form("Who you are and how numbers are shown", _setting_fields, _keep_settings, lambda: [], "Keep")
shelf = Form("Your shelf", _shelf_fields, _keep_shelf, _shelf_table, "Put on the shelf")
