"""One pint registry; the door between quantities outside and SI floats inside; the reader of typed answers; kitchen formatting."""
import difflib
import functools
import inspect
import math
import re
from collections import namedtuple

import numpy as np
import pint

ureg = pint.UnitRegistry()
pint.set_application_registry(ureg)
Quantity = ureg.Quantity
for _line in (
        "Bloom = [bloom]",                                   # grams on one plunger at one depth: not a mass
        "gram_force_per_square_centimetre = gram_force / centimeter ** 2 = g_per_cm2",
        "degree_brix = 0.01 = °Bx = brix",                   # grams of sucrose in 100 g of solution
        "leaf = [leaf]",
        "metric_teaspoon = 5 mL", "metric_tablespoon = 15 mL", "metric_cup = 250 mL",
        "australian_tablespoon = 20 mL", "us_label_cup = 240 mL"):
    ureg.define(_line)

# What looks like a kitchen unit and is another: pint reads these as pico-inch, tesla, coulomb, speed of light, millibarn ...
LOOK_ALIKES = {
    "pinch": "a pinch is no measure: weigh it, in g", "dash": "a dash is no measure: use mL or g",
    "drop": "a drop depends on the tip: use mL or g", "T": "T is tesla: write metric_tablespoon (15 mL)",
    "C": "C is coulomb: write degC, or delta_degC for a difference", "F": "F is farad: write degF, or delta_degF for a difference",
    "c": "c is the speed of light: write metric_cup (250 mL)", "mb": "mb is millibarn: write mbar or mL",
    "pct": "pct is a pico-ton here: write percent", "Gr": "Gr is no gram: write g", "gr": "gr is a grain: write g", "gm": "gm is no gram: write g",
    "cup": "cups differ by country: write metric_cup (250 mL) or us_label_cup (240 mL), better g",
    "tsp": "spoons differ by country: write metric_teaspoon (5 mL)", "tbsp": "spoons differ by country: write metric_tablespoon (15 mL)",
    "fl_oz": "write fluid_ounce (US, 29.57 mL) or imperial_fluid_ounce (28.41 mL)"}


class OutOfRange(ValueError):
    """Input outside the range for which the formula's source vouches."""


def Q_(value, unit):
    """A quantity: Q_(20, "degC"), Q_([1, 2], "g").

    Raises
    ------
    TypeError
        value is text: pint would read "1,6 g" as 16 g; typed answers go through `read_answer`.
    ValueError
        unit is unknown, or a look-alike of a kitchen unit; the message names the mend.
    """
    if isinstance(value, (str, bytes)):
        raise TypeError(f"Q_ takes a number and a unit, not the text {value!r}: write Q_(1.6, 'g')")
    return Quantity(value, _unit(unit))


@functools.lru_cache(1024)
def _named_unit(text):
    for word in re.findall(r"[^\W\d]+", text):
        if word in LOOK_ALIKES:
            raise ValueError(f"unit {word!r}: {LOOK_ALIKES[word]}")
    try:
        return ureg.Unit(text)
    except Exception:                                        # pint raises many kinds for a unit it cannot read
        near = difflib.get_close_matches(text, COMMON, 1, 0.5)
        raise ValueError(f"{text!r} is not a unit used here" + (f"; {near[0]}?" if near else f": try one of {', '.join(COMMON[:8])}")) from None


COMMON = ("g", "kg", "mg", "mL", "L", "mm", "cm", "m", "s", "min", "hour", "degC", "delta_degC", "degF", "percent", "g/L", "g/kg", "mmol/L",
          "Pa", "kPa", "N/m", "mN/m", "kJ", "W", "Bloom", "g_per_cm2", "brix", "ounce", "gram", "litre", "minute", "celsius")


def _unit(unit):
    return _named_unit(unit) if isinstance(unit, str) else unit


@functools.lru_cache(1024)
def si_unit(unit):
    """The SI unit in which models carry a quantity of this unit; percent and °Brix become fractions."""
    return Quantity(1, _unit(unit)).to_base_units().units


@functools.lru_cache(4096)
def _line_between(have, want):
    """Slope and zero of the straight line from one unit to another; DimensionalityError where there is none."""
    zero, thousand = (Quantity(x, have).m_as(want) for x in (0.0, 1000.0))
    return (thousand - zero) / 1000, zero


def convert(number, have, want):
    """number in unit `have` -> number in unit `want`; quicker than pint for the same pair met again."""
    if have is want:
        return number
    slope, zero = _line_between(have, want)
    return slope * number + zero


def record(name, **units):
    """A result of several quantities: a named tuple whose `.units` says the unit of each field ("" is a pure number)."""
    made = namedtuple(name, units, module=inspect.currentframe().f_back.f_globals["__name__"])
    made.units = units
    return made


def boundary(returns, valid=None, **takes):
    """Let a function of SI floats take and return quantities.

    Parameters
    ----------
    returns : unit of the result ("" is a pure number), or a `record` of several.
    takes : for each argument its unit ("" takes a pure number: pH, a count), a tuple of allowed words, or a type.
    valid : {argument: (low, high)} in the declared unit; the ends belong to it. None as an end leaves that side open.

    The function's `.si` is the bare core on SI floats, for other models: no unit, no check. An argument whose default is None may
    be left out. Arrays pass; the caller's array is never changed.

    Raises, when the function is called
    -----------------------------------
    TypeError
        a bare number where a unit is due, or something of another type.
    pint.DimensionalityError
        another kind of quantity (a temperature difference for a temperature too).
    OutOfRange
        outside `valid`, NaN or infinite.
    ValueError
        a word that is not on the list; the nearest is named.
    """
    valid = valid or {}
    fields = tuple(getattr(returns, "units", {"": returns}).values())
    made = [(_unit(unit or "dimensionless"), si_unit(unit or "dimensionless"), unit == "") for unit in fields]

    def wrap(core):
        signature, who = inspect.signature(core), core.__name__
        if set(takes) != set(signature.parameters) or not set(valid) <= set(takes):
            raise TypeError(f"{who}: declare each argument once, and only arguments")
        optional = {name for name, p in signature.parameters.items() if p.default is None}
        units = {n: (_unit(kind or "dimensionless"), si_unit(kind or "dimensionless")) for n, kind in takes.items() if isinstance(kind, str)}
        limits = {n: tuple(math.inf * sign if end is None else float(end) for end, sign in zip(valid.get(n, (None, None)), (-1, 1)))
                  for n in units}

        def enter_quantity(name, value):
            declared, si = units[name]
            if isinstance(value, Quantity):
                have, number = value.units, value.magnitude
            elif takes[name] == "" and not isinstance(value, (bool, str, bytes)) and _is_number(value):
                have, number = declared, value
            else:
                raise TypeError(_wants_unit(who, name, value, takes[name]))
            number = np.asarray(number, float) if np.ndim(number) else float(number)
            try:
                x = convert(number, have, declared)
            except pint.DimensionalityError:
                raise pint.DimensionalityError(have, declared, extra_msg=f": {who} wants {name} in {takes[name] or 'a pure number'}") from None
            low, high = limits[name]
            slack = 1e-9 * max((abs(end) for end in (low, high) if math.isfinite(end)), default=0.0)   # 212 °F is 100.00000000000006 °C
            good = (low - slack <= x) & (x <= high + slack) & np.isfinite(x)
            if not (good if isinstance(good, (bool, np.bool_)) else good.all()):
                bad = Quantity(float(np.ravel(number)[np.argmin(np.ravel(good))]), have)
                raise OutOfRange(f"{who}: {name} = {show(bad, 4)} is outside {_range(low, high, takes[name])}")
            x = np.clip(x, low, high) if isinstance(x, np.ndarray) else min(max(x, low), high)
            return convert(x, declared, si)

        def enter(name, value):
            kind = takes[name]
            if value is None and name in optional:
                return None
            if isinstance(kind, str):
                return enter_quantity(name, value)
            if isinstance(kind, tuple):
                return one_of(value, kind, f"{who}: {name}")
            if not isinstance(value, kind):
                raise TypeError(f"{who}: {name} must be a {kind.__name__}, not {value!r}")
            return value

        @functools.wraps(core)
        def model(*args, **kwargs):
            bound = signature.bind(*args, **kwargs)
            bound.apply_defaults()
            got = core(**{name: enter(name, value) for name, value in bound.arguments.items()})
            got = tuple(got) if hasattr(returns, "units") else (got,)
            if len(got) != len(made):
                raise TypeError(f"{who}: gives {len(got)} results, declares {len(made)}")
            out = [convert(x, si, unit) if pure else Quantity(convert(x, si, unit), unit) for x, (unit, si, pure) in zip(got, made)]
            return returns(*out) if hasattr(returns, "units") else out[0]

        model.takes, model.returns, model.valid, model.si = takes, returns, valid, core
        return model
    return wrap


def _is_number(value):
    try:
        return np.asarray(value).dtype.kind in "iuf"
    except (TypeError, ValueError):
        return False


def _wants_unit(who, name, value, unit):
    if unit == "":
        return f"{who}: {name} is a pure number, not {value!r}"
    if _is_number(value):
        return f"{who}: {name} needs a unit: write Q_({value!r}, {unit!r})"
    return f"{who}: {name} must be a quantity in {unit}, not {value!r}"


def _range(low, high, unit):
    low, high = (f"{end:.6g}" if math.isfinite(end) else "" for end in (low, high))
    unit = f" {_short(_unit(unit))}" if unit else ""
    return f"{low} to {high}{unit}" if low and high else f"{low}{unit} and above" if low else f"{high}{unit} and below"


def one_of(word, words, what):
    """word, if it is one of `words`; else a ValueError that names the nearest."""
    if isinstance(word, str) and word in words:
        return word
    near = difflib.get_close_matches(str(word)[:60], words, 1, 0.4)
    listed = ", ".join(words) if len(words) <= 12 else f"one of {len(words)} names"
    raise ValueError(f"{what} is {listed}; not {str(word)[:60]!r}" + (f". Did you mean {near[0]!r}?" if near else ""))


# --- showing ---------------------------------------------------------------------------------------------------------------------
SHORT = {"degree_Celsius": "°C", "delta_degree_Celsius": "°C", "degree_Fahrenheit": "°F", "delta_degree_Fahrenheit": "°F", "percent": "%",
         "milliliter": "mL", "liter": "L", "minute": "min", "hour": "h", "gram_force_per_square_centimetre": "g/cm²", "degree_brix": "°Bx",
         "dimensionless": "", "ounce": "oz", "leaf": "leaves", "Bloom": "Bloom"}


@functools.lru_cache(1024)
def _short(unit):
    name = str(unit)
    return SHORT.get(name) if name in SHORT else f"{unit:~P}".replace("µ", "µ")


def plain(number, digits=3):
    """A number as a cook writes it, to `digits` significant digits: 350, 1.6, 0.020; never 3.5e+02."""
    number = float(number)
    if not math.isfinite(number):
        return "not a number" if math.isnan(number) else "endless"
    if number == 0:
        return "0"
    places = digits - 1 - math.floor(math.log10(abs(number)))
    rounded = round(number, places)
    if rounded and math.floor(math.log10(abs(rounded))) > math.floor(math.log10(abs(number))):
        places -= 1                                          # 99.96 -> 100, not 100.0
    return f"{rounded:.{max(places, 0)}f}"


def show(quantity, digits=3, unit=None):
    """A quantity in kitchen writing: 350 g, 1.6 g, 100 °C; a bare number stays bare. `unit` converts first."""
    if not isinstance(quantity, Quantity):
        return plain(quantity, digits)
    quantity = quantity.to(_unit(unit)) if unit else quantity
    return f"{plain(quantity.magnitude, digits)} {_short(quantity.units)}".rstrip()


# --- typed answers ---------------------------------------------------------------------------------------------------------------
LONGEST = 60
_ANSWER = re.compile(r"\s*([+\-−]?)\s*(\d+(?:[.,]\d*)?|[.,]\d+)(?:[eE]([+\-]?\d{1,2}))?\s*([^\d\s].{0,30})?\s*", re.ASCII | re.DOTALL)
# What may be typed -> pint's name. A list of our own: nothing typed is ever parsed as an expression.
TYPED = {"g": "g", "gram": "g", "grams": "g", "kg": "kg", "mg": "mg", "oz": "ounce", "lb": "pound", "mL": "mL", "ml": "mL", "L": "L", "l": "L",
         "s": "s", "sec": "s", "seconds": "s", "min": "min", "minutes": "min", "h": "hour", "hours": "hour", "mm": "mm", "cm": "cm", "m": "m",
         "µm": "µm", "μm": "µm", "um": "µm", "°C": "degC", "ºC": "degC", "degC": "degC", "C": "degC", "°F": "degF", "ºF": "degF", "degF": "degF",
         "F": "degF", "K": "kelvin", "%": "percent", "percent": "percent", "g/L": "g/L", "g/l": "g/L", "g/kg": "g/kg", "mmol/L": "mmol/L",
         "mmol/l": "mmol/L", "mm³": "mm**3", "mm3": "mm**3", "mm^3": "mm**3", "cm³": "cm**3", "cm3": "cm**3", "m³": "m**3", "m3": "m**3",
         "J": "J", "kJ": "kJ", "W": "W", "N/m": "N/m", "mN/m": "mN/m", "Pa": "Pa", "kPa": "kPa", "bar": "bar", "Pa*s": "Pa*s", "Pa s": "Pa*s",
         "mPa*s": "mPa*s", "mPa s": "mPa*s", "mm/s": "mm/s", "m/s": "m/s", "g/cm²": "g_per_cm2", "g/cm2": "g_per_cm2", "Bloom": "Bloom",
         "bloom": "Bloom", "°Bx": "brix", "Bx": "brix", "Brix": "brix", "°Brix": "brix", "leaf": "leaf", "leaves": "leaf"}


def read_answer(typed):
    """A typed '1,6 g' or '61 °F' -> (number, pint unit name or "" where none was typed). Nothing is evaluated.

    Raises
    ------
    ValueError
        args are a verdict (unreadable, unknown unit) and one sentence with the mend.
    """
    text = str(typed) if not isinstance(typed, str) else typed
    found = _ANSWER.fullmatch(text) if len(text) <= LONGEST else None
    if not found:
        raise ValueError("unreadable", "Write one number and its unit, like 1.6 g.")
    sign, digits, power, unit = found.groups()
    number = float(digits.replace(",", ".")) * 10.0 ** int(power or 0) * (-1 if sign in ("-", "−") else 1)
    unit = (unit or "").strip()
    if not unit:
        return number, ""
    if unit not in TYPED:
        near = difflib.get_close_matches(unit, TYPED, 1, 0.5)
        raise ValueError("unknown unit", f"{unit[:12]!r} is not a unit used here" + (f"; {near[0]}?" if near else "; write it like 1.6 g."))
    return number, TYPED[unit]
