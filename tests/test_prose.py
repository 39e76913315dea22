"""Every number with its unit in a lesson's prose is held: the lesson's code takes or prints it, an exercise states it, or it stands here."""
import importlib
import re
from pathlib import Path

import nbformat
import pytest

from kitchenlib import bench, calcium, fits, room, setting, solutions, weighing
from kitchenlib.tables import row
from kitchenlib.teaching.panel import Choice, Explorer, Slider
from kitchenlib.units import Q_, Quantity

ROOT = Path(__file__).resolve().parent.parent
LESSONS = sorted((ROOT / "lessons").glob("[0-9][0-9]_*.ipynb"))
DIGITS = r"\d+(?:,\d{3})*(?:\.\d+)?"
UNITS = {"%": "percent", "°C": "degC", "°Bx": "brix", "mm": "mm", "µm": "um", "g/cm²": "g_per_cm2", "g": "g", "kg": "kg", "mg/L": "mg/L", "bar": "bar",
         "kPa": "kPa", "s": "s"}                             # of what is computed or tried below
NUMBER = re.compile(rf"(?<![\w.,/])[-−]?({DIGITS})[ \u00a0](%|°C|°F|°Bx|°dH|mm²/s|mm|µm|cm|m³|m|kg/m³|kg|g/mL|g/L|g/cm²|g|mL|L|minutes|min|seconds|s|"
                    r"hours|hour|h|days|weeks|mmol/L|mg/L|kJ/kg|kJ/mol|kJ|kPa|Pa|bar|K|degrees|times)(?![\w/])")

TRIED, EXAMPLE, KIT = "a setting to try: a control of the lesson reaches it", "an example or a guess: nothing rests on it", "what an instrument should show"
LEGAL = "cups by country, as units refuses them"
GAS = Q_(0.8062 / 0.0280134 * 8.314462618 * 293.15 * 1000, "Pa")      # the ideal gas law with nitrogen at its boiling point's density
HELD = {                                                     # lesson -> what is printed -> a Quantity computed, (file of datasets, words of a line), or why
    "00": {"100 g": EXAMPLE, "250 mL": LEGAL},
    "01": {"1.3 kg": solutions.syrup_density(Q_(60, "brix")) * Q_(1, "L"), "1.12 kg": weighing.to_buy(Q_(1, "kg"), row("carrot", own=False)),
           "2.5 g": weighing.resolution(Q_(2, "g"), Q_(1, "g")).high, "0.01 g": TRIED, "102 %": KIT},
    "02": {"46 °C": EXAMPLE, "5,000 g": TRIED, "19.5 %": ("properties/rooms_limits.csv", "19.5")},
    "10": {"100 g": EXAMPLE, "9.1 %": Q_(10 / 110, ""), "1,707 g/cm²": ("properties/agar.csv", "1706.8,g_per_cm2"), "900 g/cm²": EXAMPLE,
           "17 hours": "the hours at which Bloom is read (setting.maturation)"},
    "11": {"73 °C": ("properties/gel_windows.csv", "iota-carrageenan,setting_temperature,,degC,,48,73"),
           "59 °Bx": ("properties/gel_windows.csv", "needs_solids,,brix,,59,66"), "46 °C": setting.window(row("methylcellulose", own=False)).melts.high,
           "17 hours": "the hours at which Bloom is read (setting.maturation)", "1.5 %": "figures of the trade, said to be from memory",
           "0.8 %": "figures of the trade, said to be from memory", "0.3 %": "figures of the trade, said to be from memory"},
    "12": {"65 °C": TRIED},
    "20": {"25 mm": TRIED, "180 s": TRIED, "150 mm": TRIED},
    "21": {"80 %": ("properties/liquids.csv", "soured dairy,free_calcium_share,80"), "7.15 mg/L": calcium.calcium_of_hardness(1, "°dH"),
           "0.6 %": "typical, said to be from memory", "0.01 g": KIT},
    "30": {"85 %": ("properties/emulsions_marks.csv", "up to about 85 %"), "90 %": ("properties/emulsions_marks.csv", "after 90 %"), "79 %": TRIED},
    "31": {"64 %": ("properties/emulsions.csv", "packing_share,64"), "470 kJ/mol": ("properties/emulsions.csv", "curdling_activation,470"),
           "34 °C": TRIED, "0.01 g": KIT},
    "40": {"-3.8 °C": "a misprint of web pages, quoted", "-0.63 °C": ("published/solutions.csv", "sucrose 10 g,-0.63"),
           "1.86 °C": Q_(8.314462618 * 273.15**2 / 333.6e3, "delta_degC"), "3.5 %": TRIED, "0.6 %": TRIED, "35 %": TRIED, "0 °C": KIT,
           "-32 °C": "typical, said to be unverified"},
    "41": {"101.3 kPa": Q_(1, "atm"), "700 bar": GAS, "16.1 %": EXAMPLE, "1600 m": "see below", "35 °C": "see below"},
    "42": {"-45 °C": "the range of a formula, said to be from memory", "120 s": TRIED, "12 µm": TRIED,
           "293.2 kJ/kg": ("published/pieces.csv", "0.88 x 333.2 = 293.2"), "405 times": "a slip in print, quoted",
           "333.6 times": "heat of melting of ice, as lesson 40 has it"},
    "50": {"1,000 g/cm²": EXAMPLE, "620 g/cm²": ("bench/gel_strength.csv", "strength 620"), "95 times": "the level of the t that is printed",
           "95 %": "the same", "0.42 mm": fits.fit(bench.practice("shell")).values["shell_in_one_minute"]},
}


def plain_number(text):
    return f"{float(text.replace(',', '')):g}"


def loose(path):
    """What the prose prints and neither code nor output of the lesson holds; questions of exercises are the bank's."""
    cells = nbformat.read(path, 4).cells
    code = [cell for cell in cells if cell.cell_type == "code"]
    shown = [cell.source for cell in code] + [out.get("text") or out.get("data", {}).get("text/plain", "") for cell in code for out in cell.outputs]
    held = {plain_number(number) for number in re.findall(DIGITS, " ".join(shown))}
    found = []
    for cell in cells:
        if cell.cell_type == "markdown":
            text = re.sub(r"\*\*\d+ minutes\*\*", "", cell.source)
            text = re.sub(r"\n\*[a-z]+-\d\d, .*?(?=\n\n|\Z)", "", text, flags=re.S)
            text = re.sub(r"\$\$?.*?\$\$?|\]\(.*?\)", "", text, flags=re.S)
            found += [match[0].replace("\u00a0", " ") for match in NUMBER.finditer(text) if plain_number(match[1]) not in held]
    return set(found)


def reached(stem, text):
    """Does a control of the lesson's explorers reach this?"""
    number, unit = text.replace(",", "").split(" ")
    wanted = Q_(float(number), UNITS[unit])
    module = importlib.import_module(f"kitchenlib.teaching.explorers.{stem[3:]}")
    controls = [control for one in vars(module).values() if isinstance(one, Explorer) for control in one.controls.values()]
    fitting = [c for c in controls if isinstance(c, Slider) and c.unit and Q_(1, c.unit).dimensionality == wanted.dimensionality]
    return any(c.low <= wanted.m_as(c.unit) <= c.high for c in fitting) or any(text in c.words() for c in controls if isinstance(c, Choice))


@pytest.mark.parametrize("path", LESSONS, ids=lambda path: path.stem)
def test_every_number_in_prose_is_held(path):
    kept = HELD.get(path.stem[:2], {})
    assert loose(path) == set(kept)                          # what is no longer printed goes out of the table too
    for text, by in kept.items():
        number = text.replace(",", "").split(" ")[0]
        if isinstance(by, Quantity):
            value = by.m_as(UNITS.get(text.split(" ")[1], by.units) if text != "1.86 °C" else by.units)
            places = len(number.partition(".")[2]) or -(len(number) - len(number.rstrip("0")))
            assert abs(value - float(number)) <= 0.5 * 10.0**-places, (text, value)
        elif isinstance(by, tuple):
            lines = (ROOT / "datasets" / by[0]).read_text(encoding="utf-8").splitlines()
            assert any(by[1] in line for line in lines), (text, by)
        elif by == TRIED:
            assert reached(path.stem, text), text


def test_height_and_heat_make_more_gas_as_lesson_41_says():
    """A fifth more at 1600 m, 83.5 kPa (standard atmosphere, ISO 2533:1975: from memory), a twentieth more at 35 °C than at 20 °C."""
    high = 101.325 * (1 - 0.0065 * 1600 / 288.15) ** 5.25588
    assert room.expansion(pressure=Q_(high, "kPa")) / room.expansion() == pytest.approx(1.2, abs=0.02)
    assert room.expansion(temperature=Q_(35, "degC")) / room.expansion() == pytest.approx(1.05, abs=0.005)
