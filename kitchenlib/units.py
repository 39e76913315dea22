"""One pint registry; the door between quantities outside and SI floats inside; the reader of typed answers; kitchen formatting."""
import difflib
import functools
import inspect
import math
import re
from collections import namedtuple
from decimal import Decimal

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
        "mg_per_100g = 1e-5",                                # as food tables and labels print minerals
        "metric_teaspoon = 5 mL", "metric_tablespoon = 15 mL", "metric_cup = 250 mL",
        "australian_tablespoon = 20 mL", "us_label_cup = 240 mL"):
    ureg.define(_line)

# What looks like a kitchen unit and is another (pint reads pico-inch, tesla, coulomb, speed of light ...), or differs by country.
_SPOONS = "spoons differ by country: write metric_teaspoon (5 mL) or metric_tablespoon (15 mL), better g"
_PINTS = "pints, quarts and gallons differ by country: write mL or L"
LOOK_ALIKES = {
    "pinch": "a pinch is no measure: weigh it, in g", "dash": "a dash is no measure: use mL or g",
    "drop": "a drop depends on the tip: use mL or g", "stick": "a stick is no measure: weigh it, in g",
    "scoop": "a scoop is no measure: weigh it, in g", "jigger": "jiggers differ by country: use mL",
    "T": "T is tesla: write metric_tablespoon (15 mL)", "t": "t is a tonne: write metric_teaspoon (5 mL), or tonne",
    "C": "C is coulomb: write degC, or delta_degC for a difference", "F": "F is farad: write degF, or delta_degF for a difference",
    "°": "° is an angle: write degC or degF", "deg": "deg is an angle: write degC or degF",
    "degree": "a degree is an angle: write degC or degF",
    "c": "c is the speed of light: write metric_cup (250 mL)", "mb": "mb is millibarn: write mbar or mL",
    "k": "k is no thousand here: write kg",
    "pct": "pct is a pico-ton here: write percent", "Gr": "Gr is no gram: write g", "gr": "gr is a grain: write g",
    "gm": "gm is no gram: write g",
    "cup": "cups differ by country: write metric_cup (250 mL) or us_label_cup (240 mL), better g",
    "tsp": _SPOONS, "teaspoon": _SPOONS, "tbsp": _SPOONS, "tbs": _SPOONS, "tablespoon": _SPOONS,
    "pint": _PINTS, "pt": _PINTS, "quart": _PINTS, "qt": _PINTS, "gallon": _PINTS, "gal": _PINTS, "gill": _PINTS,
    "dram": "a dram is a mass here: use g, or mL for a liquid", "cal": "a calorie on a label is a thousand of these: write kcal or kJ",
    "fl_oz": "write fluid_ounce (US, 29.57 mL) or imperial_fluid_ounce (28.41 mL)"}
_LOOK_ALIKES = {word.casefold() if len(word) > 2 else word: mend for word, mend in LOOK_ALIKES.items()}     # Cup, TSP; but C is not c
COMMON = ("g", "kg", "mg", "mL", "L", "mm", "cm", "m", "s", "min", "hour", "degC", "delta_degC", "degF", "percent", "g/L", "g/kg", "mmol/L",
          "Pa", "kPa", "N/m", "mN/m", "kJ", "W", "Bloom", "g_per_cm2", "brix", "leaf", "ounce", "gram", "litre", "minute", "celsius",
          "metric_cup", "metric_tablespoon", "metric_teaspoon")


class OutOfRange(ValueError):
    """Input outside the range for which the formula's source vouches."""


class OtherKind(pint.DimensionalityError):
    """A quantity of another kind than is wanted, in one sentence."""
    def __init__(self, have, want, sentence):
        super().__init__(have, want)
        self.sentence = sentence

    def __str__(self):
        return self.sentence

    def __reduce__(self):
        return type(self), (self.units1, self.units2, self.sentence)


def Q_(value, unit):
    """A quantity: Q_(20, "degC"), Q_([1, 2], "g").

    Raises
    ------
    TypeError
        value is no number: from text pint would read "1,6 g" as 16 g; typed answers go through `read_answer`.
    ValueError
        unit is unknown, or a look-alike of a kitchen unit; the message names the mend.
    """
    if type(value) is not float and not isinstance(value, Quantity):
        if not _is_number(value):
            raise TypeError(f"Q_ takes a number and a unit, not {_brief(value)}: write Q_(1.6, 'g')")
        value = np.asarray(value) if isinstance(value, (list, tuple)) else value
    return Quantity(value, _unit(unit))


def nearest(word, words, alike=0.5):
    """The one of `words` that looks most like `word`, capitals aside; "" where none does."""
    small = {known.casefold(): known for known in reversed(tuple(words))}
    near = difflib.get_close_matches(str(word)[:60].casefold(), small, 1, alike)
    return small[near[0]] if near else ""


@functools.lru_cache(1024)
def _named_unit(text):
    if text[:1] in "°º℃℉" and text in TYPED:
        text = TYPED[text]
    for word in (text, *re.findall(r"[^\W\d]+", text)):
        for stem in (word, word.removesuffix("s"), word.removesuffix("es")):
            mend = _LOOK_ALIKES.get(stem.casefold() if len(stem) > 2 else stem if stem == word else "")
            if mend:
                raise ValueError(f"unit {word!r}: {mend}")
    try:
        made = ureg.Unit(text)
    except Exception:                                        # pint raises many kinds for a unit it cannot read
        near = nearest(text, COMMON, 0.6)
        mend = f"; {near}?" if near else f": try one of {', '.join(COMMON[:8])}"
        raise ValueError(f"{text[:40]!r} is not a unit used here{mend}") from None
    if str(made) == "gram / centimeter ** 2":
        raise ValueError(f"{text} is mass per area: for a gel strength write g_per_cm2")
    return made


def _unit(unit):
    if isinstance(unit, str):
        return _named_unit(unit)
    if isinstance(unit, pint.Unit):
        return unit
    raise TypeError(f"a unit is a word like 'g', not {_brief(unit)}")


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


def si_number(quantity):
    """The SI float (or array) of a quantity, as model cores take it; percent and °Brix as fractions. Quicker than pint's m_as by name."""
    return convert(quantity.magnitude, quantity.units, si_unit(quantity.units))


_PURE = "a pure number"
GEL_STRENGTH = _unit("g_per_cm2")                            # the load at which a gel breaks: never taken for a modulus unasked


@functools.lru_cache(4096)
def same_kind(have, want):
    """Whether a quantity in unit `have` may stand where `want` is asked: a temperature is no difference, a gel strength no modulus."""
    try:
        _line_between(have, want)
    except pint.DimensionalityError:
        return False
    return (have == GEL_STRENGTH) == (want == GEL_STRENGTH)


def other_kind(what, value, want):
    """The OtherKind error that says what is wrong with this quantity where unit `want` is asked."""
    have, name, said = value.units, _name(want), show(value, 4)
    if have.dimensionality == want.dimensionality and _is_temperature(want):
        wrong, mend = "a temperature", "a difference of temperature"
        if str(have).startswith("delta_"):
            wrong, mend = mend, wrong
        sentence = f"{what} = {said} is {wrong}: give {mend}, in {name}"
    elif GEL_STRENGTH in (have, want) and have.dimensionality == want.dimensionality:
        sentence = (f"{what} = {said} is not in {name}: gel strength and modulus are two things; "
                    f"where you do mean the same, convert it first with .to({name!r})")
    elif str(want) == "Bloom":
        sentence = f"{what} = {said} is no Bloom, though packs print it in g: write Q_({_numeral(value)}, 'Bloom')"
    else:
        sentence = f"{what} = {said} is another kind of quantity: give {name if name == _PURE else 'it in ' + name}"
    return OtherKind(have, want, sentence)


def _is_temperature(unit):
    return str(unit) in ("degree_Celsius", "degree_Fahrenheit", "kelvin", "delta_degree_Celsius", "delta_degree_Fahrenheit")


def _name(unit):
    """How a unit is written in Q_."""
    names = {"degree_Celsius": "degC", "delta_degree_Celsius": "delta_degC", "degree_Fahrenheit": "degF", "percent": "percent",
             "delta_degree_Fahrenheit": "delta_degF", "gram_force_per_square_centimetre": "g_per_cm2", "degree_brix": "brix",
             "dimensionless": _PURE}
    return names.get(str(unit)) or f"{unit:~C}"


def _numeral(value):
    number = np.ravel(value.magnitude)[0] if np.size(value.magnitude) else 0.0
    return f"{float(number):.6g}"


def record(name, **units):
    """A result of several quantities: a named tuple whose `.units` says the unit of each field ("" is a pure number)."""
    made = namedtuple(name, units, module=inspect.currentframe().f_back.f_globals["__name__"])
    made.units = units
    return made


def boundary(returns, valid=None, scalars=(), **takes):
    """Let a function of SI floats take and return quantities.

    Parameters
    ----------
    returns : unit of the result ("" is a pure number), or a `record` of several.
    takes : for each argument its unit ("" takes a pure number: pH, a count), a tuple of allowed words, or a type.
    valid : {argument: (low, high)} in the declared unit; the ends belong to it. None as an end leaves that side open.
    scalars : names of arguments that are one value; True: all are. Arrays pass for the others.

    Ranges and scalars are written at the end of the function's docstring.
    Its `.si` is the bare core on SI floats, for other models: no unit, no check. An argument whose default is None may
    be left out. The caller's array is never changed. A type may say in `made_by` how it is made ("row('agar')").

    Raises, when the function is called
    -----------------------------------
    TypeError
        a bare number where a unit is due, something of another type, an array for a scalar, an argument too few or unknown.
    pint.DimensionalityError
        another kind of quantity (a temperature difference for a temperature too).
    OutOfRange
        outside `valid`, NaN or infinite.
    ValueError
        a word that is not on the list; the nearest is named.
    """
    valid = valid or {}
    fields = tuple(getattr(returns, "units", {"": returns}).values())
    made = [(_unit(unit or "dimensionless"), *_line_between(si_unit(unit or "dimensionless"), _unit(unit or "dimensionless")), unit == "")
            for unit in fields]

    def wrap(core):
        signature, who = inspect.signature(core), core.__name__
        units = {n: _unit(kind or "dimensionless") for n, kind in takes.items() if isinstance(kind, str)}
        inward = {n: _line_between(unit, si_unit(unit)) for n, unit in units.items()}
        met = {n: {unit._units: (1.0, 0.0)} for n, unit in units.items()}        # lines from units that came in before: pint is slow to ask
        single = set(units) if scalars is True else set(scalars)
        if set(takes) != set(signature.parameters) or not set(valid) | single <= set(units):
            raise TypeError(f"{who}: declare each argument once, and only arguments")
        optional = {name for name, p in signature.parameters.items() if p.default is None}
        limits = {n: tuple(math.inf * sign if end is None else float(end) for end, sign in zip(valid.get(n, (None, None)), (-1, 1)))
                  for n in units}
        if not all(low < high for low, high in limits.values()):
            raise TypeError(f"{who}: a valid range runs from low to high")

        def enter_quantity(name, value):
            declared = units[name]
            if isinstance(value, Quantity):
                line, number = met[name].get(value._units), value.magnitude
                if not line:
                    if not same_kind(value.units, declared):
                        raise other_kind(f"{who}: {name}", value, declared)
                    line = met[name][value._units] = _line_between(value.units, declared)
            elif takes[name] == "" and _is_number(value):
                line, number = (1.0, 0.0), value
            else:
                raise TypeError(_wants_unit(who, name, value, takes[name]))
            try:
                number = np.asarray(number, float) if np.ndim(number) else float(number)
            except (TypeError, ValueError):
                raise TypeError(f"{who}: {name} must hold numbers, not {_brief(number)}") from None
            if name in single and isinstance(number, np.ndarray):
                raise TypeError(f"{who}: {name} is one value, not {number.size}: ask for one at a time")
            slope, zero = line
            x = slope * number + zero
            low, high = limits[name]
            slack = _slack(low, high, zero)
            if isinstance(x, np.ndarray):
                good = (low - slack <= x) & (x <= high + slack) & np.isfinite(x)
                fine, clipped = good.all(), np.clip(x, low, high)
            else:
                fine, clipped = low - slack <= x <= high + slack and math.isfinite(x), min(max(x, low), high)
            if not fine:
                bad = float(np.ravel(number)[np.argmin(np.ravel(good))] if isinstance(x, np.ndarray) else number)
                have = value.units if isinstance(value, Quantity) else declared
                raise OutOfRange(f"{who}: {outside(name, bad, have, declared, low, high)}")
            slope, zero = inward[name]
            return slope * clipped + zero

        def enter(name, value):
            kind = takes[name]
            if value is None and name in optional:
                return None
            if isinstance(kind, str):
                return enter_quantity(name, value)
            if isinstance(kind, tuple):
                return one_of(value, kind, f"{who}: {name}")
            if not isinstance(value, kind):
                mend = f": write {kind.made_by}" if hasattr(kind, "made_by") else ""
                raise TypeError(f"{who}: {name} must be a {kind.__name__}, not {_brief(value)}{mend}")
            return value

        @functools.wraps(core)
        def model(*args, **kwargs):
            try:
                bound = signature.bind(*args, **kwargs)
            except TypeError as error:
                strange = next((name for name in kwargs if name not in takes), None)
                near = nearest(strange, takes)
                said = f"has no argument {strange!r}" if strange else str(error)
                raise TypeError(f"{who}: {said}; {near + '?' if strange and near else 'it takes ' + ', '.join(takes)}") from None
            bound.apply_defaults()
            got = core(**{name: enter(name, value) for name, value in bound.arguments.items()})
            got = tuple(got) if hasattr(returns, "units") else (got,)
            if len(got) != len(made):
                raise TypeError(f"{who}: gives {len(got)} results, declares {len(made)}")
            out = [slope * x + zero if pure else Quantity(slope * x + zero, unit) for x, (unit, slope, zero, pure) in zip(got, made)]
            return returns(*out) if hasattr(returns, "units") else out[0]

        model.takes, model.returns, model.valid, model.scalars, model.si = takes, returns, valid, single, core
        ranges = "\n".join(f"{name} : {_range(*limits[name], units[name])}" for name in valid)
        alone = f"\n\nOne value, no array\n-------------------\n{', '.join(name for name in takes if name in single)}" if single else ""
        model.__doc__ = inspect.cleandoc(core.__doc__ or "") + (f"\n\nRange enforced\n--------------\n{ranges}" if ranges else "") + alone
        return model
    return wrap


def _is_number(value):
    """A number, or numbers in an array or list; no truth value, text or quantity."""
    if isinstance(value, (float, int)):
        return not isinstance(value, bool)
    if isinstance(value, (list, tuple)):
        return bool(value) and all(map(_is_number, value))
    return isinstance(value, (np.ndarray, np.generic)) and value.dtype.kind in "iuf"


def _brief(value):
    """A value as it may stand in a sentence: no array by the page."""
    several = value.ravel() if isinstance(value, np.ndarray) else value if isinstance(value, (list, tuple)) else ()
    if len(several) > 3:
        return f"[{_brief(several[0])}, {_brief(several[1])}, ...]"
    text = repr(value.tolist() if isinstance(value, (np.ndarray, np.generic)) else value)
    return text if len(text) <= 60 else f"{text[:57]}..."


def _wants_unit(who, name, value, unit):
    if unit == "":
        return f"{who}: {name} is a pure number: write it bare, like 2, not {_brief(value)}"
    if _is_number(value):
        return f"{who}: {name} needs a unit: write Q_({_brief(value)}, {unit!r})"
    return f"{who}: {name} must be a quantity, not {_brief(value)}: write Q_(number, {unit!r})"


def _slack(low, high, zero):
    """How far past an end still is the end: 212 °F is 100.00000000000006 °C."""
    return 1e-12 * max(abs(end) for end in (low, high, zero) if math.isfinite(end))


def within(number, have, declared, low, high):
    """Whether a number in unit `have` lies within low and high in the declared unit; the ends belong to it in any unit."""
    slope, zero = _line_between(have, declared)
    slack = _slack(low, high, zero)
    return low - slack <= slope * number + zero <= high + slack and math.isfinite(number)


def outside(name, bad, have, declared, low, high):
    """The sentence for a number in unit `have` that is not within low and high, in the declared unit; nor NaN or infinity."""
    where = _range(low, high, declared)
    if have != declared and math.isfinite(low + high) and str(declared) != "dimensionless":
        where += f" ({_range(*(convert(end, declared, have) for end in (low, high)), have)})"
    if not math.isfinite(bad):
        return f"{name} is {'no number' if math.isnan(bad) else 'endless'}: give {where}"
    for digits in (4, 7, 17):                                # 100.00001 °C must not read as 100 °C
        if not within(float(f"{bad:.{digits}g}"), have, declared, low, high):
            break
    return f"{name} = {_exact(bad, digits)} {_short(have)}".rstrip() + f" is outside {where}"


def _exact(number, digits=6):
    text = plain(number, digits)
    return text.rstrip("0").rstrip(".") if "." in text and "×" not in text else text


def _range(low, high, unit):
    low, high = (_exact(end) if math.isfinite(end) else "" for end in (low, high))
    unit = f" {_short(unit)}".rstrip()
    if not low and not high:
        return f"a finite number{' of' + unit if unit else ''}"
    return f"{low} to {high}{unit}" if low and high else f"{low}{unit} and above" if low else f"{high}{unit} and below"


def one_of(word, words, what):
    """word, if it is one of `words`; else a ValueError that names the nearest."""
    if isinstance(word, str) and word in words:
        return word
    near = nearest(word, words, 0.4)
    listed = ", ".join(words) if len(words) <= 12 else f"one of {len(words)} names"
    raise ValueError(f"{what} is {listed}; not {str(word)[:60]!r}" + (f". Did you mean {near!r}?" if near else ""))


# --- showing ---------------------------------------------------------------------------------------------------------------------
SHORT = {"degree_Celsius": "°C", "delta_degree_Celsius": "°C", "degree_Fahrenheit": "°F", "delta_degree_Fahrenheit": "°F", "percent": "%",
         "gram_force_per_square_centimetre": "g/cm²", "degree_brix": "°Bx", "mg_per_100g": "mg/100 g", "dimensionless": "", "leaf": "leaves"}
THOUSANDS = "\u00a0"                                          # a no-break space from 10 000 up: a comma or point reads as decimal somewhere
_RAISED = str.maketrans("-0123456789", "⁻⁰¹²³⁴⁵⁶⁷⁸⁹")


@functools.lru_cache(1024)
def _short(unit):
    name = str(unit)
    if name in SHORT:
        return SHORT[name]
    symbols = f"{unit:~P}".replace("Δ", "").replace("\u03bc", "µ")
    return re.sub(r"(?<![^\W\d_])([mµ]?)l(?![^\W\d_])", r"\1L", symbols)    # mL, g/L as cooks write them


def plain(number, digits=3):
    """A number as a cook writes it, to `digits` significant digits: 350, 1.6, 0.020, 12 000; never 3.5e+02.

    Only below 0.00001 and from a thousand million up the zeros become a power of ten: 1.6×10⁻⁹.
    """
    number = float(number)
    if not math.isfinite(number):
        return "not a number" if math.isnan(number) else "endless"
    if number == 0:
        return "0"
    rounded = f"{number:.{digits - 1}e}"
    mantissa, _, power = rounded.partition("e")
    if not -5 <= int(power) < 9:
        return f"{mantissa}×10{str(int(power)).translate(_RAISED)}"
    return f"{Decimal(rounded):{',' if int(power) > 3 else ''}f}".replace(",", THOUSANDS)


def show(quantity, digits=3, unit=None):
    """A quantity in kitchen writing: 350 g, 1.6 g, 100 °C; a bare number stays bare. `unit` converts first. Of an array the first
    values and the last."""
    if unit:
        quantity = (quantity if isinstance(quantity, Quantity) else Quantity(quantity, "dimensionless")).to(_unit(unit))
    numbers, name = (quantity.magnitude, _short(quantity.units)) if isinstance(quantity, Quantity) else (quantity, "")
    if np.ndim(numbers):
        each = [plain(number, digits) for number in np.ravel(numbers)]
        numbers = ", ".join(each if len(each) <= 6 else [*each[:3], "...", each[-1]])
    else:
        numbers = plain(numbers, digits)
    return f"{numbers} {name}".rstrip()


PARTED = re.compile(r"(?<=[0-9]) (?=(?:[kcdmµn]?(?:g|L|mol|m|s|J|N|Pa|W|bar|cal)|%|°[CFB]|K|h|d|min|oz|lb|Bloom|lea(?:f|ves)|"
                    r"(?:second|minute|hour|day|week|month|year|gram|litre|drop|yolk|egg|time)s?)(?![a-zé]))")    # a page's script reads it too


def unbroken(text):
    """Text for a page: no line ends between a number and its unit, the space there does not break."""
    return PARTED.sub("\u00a0", text)


# --- typed answers ---------------------------------------------------------------------------------------------------------------
LONGEST = 60
_MINUS = "\\-\u2212\u2013\u2010\u2011"                       # hyphen and what phones and texts put for a minus
_APART = "\u00a0\u2009\u202f"                              # spaces that do not break, between thousands
_NUMBER = (rf"(?P<sign>[+{_MINUS}]?)"
           rf"(?P<digits>[0-9]+(?:[.,][0-9]*)?|[.,][0-9]+|[0-9]{{1,3}}(?:[{_APART}][0-9]{{3}})+(?:[.,][0-9]*)?)"
           rf"(?:[eE](?P<power>[+{_MINUS}]?[0-9]{{1,3}}))?")
_ANSWER = re.compile(_NUMBER + r"\s*(?P<unit>(?:[^\W\d_]|[°%℃℉]|/(?=[^\W\d_])).*)?", re.DOTALL)
# pint's name: what may be typed for it. A list of our own: nothing typed is ever parsed as an expression.
_SPELT = {
    "g": "g|gram|grams", "kg": "kg|kilogram|kilograms", "mg": "mg|milligram|milligrams", "ounce": "oz|ounce|ounces",
    "pound": "lb|pound|pounds|lbs", "mL": "mL|ml|millilitre|millilitres|milliliter|milliliters", "L": "L|l|litre|litres|liter|liters",
    "s": "s|sec|seconds|second|secs", "min": "min|minutes|minute|mins", "hour": "h|hours|hour|hr|hrs", "mm": "mm|millimetre|millimetres",
    "cm": "cm|centimetre|centimetres", "m": "m|metre|metres", "µm": "µm|μm|um", "degC": "°C|ºC|degC|C|celsius|deg C|℃",
    "degF": "°F|ºF|degF|F|deg F|fahrenheit|℉", "kelvin": "K|kelvin", "percent": "%|percent|per cent", "g/L": "g/L|g/l", "g/kg": "g/kg",
    "mmol/L": "mmol/L|mmol/l|mM", "mm**3": "mm³|mm3|mm^3", "cm**3": "cm³|cm3", "m**3": "m³|m3", "J": "J", "kJ": "kJ", "W": "W",
    "N/m": "N/m", "mN/m": "mN/m", "Pa": "Pa", "kPa": "kPa", "bar": "bar", "Pa*s": "Pa*s|Pa s", "mPa*s": "mPa*s|mPa s", "mm/s": "mm/s",
    "m/s": "m/s", "g_per_cm2": "g/cm²|g/cm2", "Bloom": "Bloom|bloom", "brix": "°Bx|Bx|Brix|°Brix|brix", "leaf": "leaf|leaves",
    "cL": "cl|cL", "dL": "dl|dL", "day": "day|days|d", "cm/hour": "cm/h|cm/hour", 
    "m**2": "m²|m2", "cm**2": "cm²|cm2", "mm**2": "mm²|mm2", "m**2/s": "m²/s|m2/s",
    "mm**2/s": "mm²/s|mm2/s", "m**3/hour": "m³/h|m3/h", "L/min": "L/min", "L/hour": "L/h", "mL/min": "mL/min", "1/hour": "1/h|/h",
    "1/min": "1/min|/min", "1/s": "1/s|/s", "delta_degC/min": "°C/min", "mm/min": "mm/min", "cm/s": "cm/s", "g/s": "g/s",
    "g/min": "g/min", "kg/hour": "kg/h", "rpm": "rpm", "N": "N", "mN": "mN", "kW": "kW", "MJ": "MJ", "kcal": "kcal", "J/g": "J/g",
    "kJ/kg": "kJ/kg", "mbar": "mbar", "hPa": "hPa", "MPa": "MPa", "atm": "atm", "g/mL": "g/mL|g/ml", "g/cm**3": "g/cm³|g/cm3",
    "kg/L": "kg/L", "kg/m**3": "kg/m³|kg/m3", "mg/L": "mg/L|mg/l", "mg/kg": "mg/kg", "mg/g": "mg/g", "ppm": "ppm", "mol": "mol",
    "mmol": "mmol", "mol/L": "mol/L|mol/l", "mol/kg": "mol/kg", "mmol/kg": "mmol/kg", "µL": "µL", "nm": "nm"}
TYPED = {word: unit for unit, words in _SPELT.items() for word in words.split("|")}


def read_number(text):
    """'1.6', '1,6', '−18', '1.6e-9' -> float. ValueError with the mend for anything else, '1,600' too (1.6 or 1600?)."""
    found = re.fullmatch(_NUMBER, text.strip())
    if not found:
        raise ValueError(f"{text[:40]!r} is not a number: write it like 1.6")
    return _float(found)


def _float(found):
    digits = re.sub(f"[{_APART}]", "", found["digits"])
    if re.fullmatch(r"[1-9][0-9]{0,2},[0-9]{3}", digits):
        raise ValueError(f"{digits!r} could be {digits.replace(',', '.')} or {digits.replace(',', '')}: "
                         "write it with a point or with no separator")
    power = re.sub(f"[{_MINUS}]", "-", found["power"] or "0")
    number = float(f"{digits.replace(',', '.')}e{power}")
    if math.isinf(number) or not number and re.search("[1-9]", digits):
        raise ValueError(f"{found[0][:40]!r} is beyond all numbers used here: look at its power of ten")
    return -number if found["sign"] not in ("", "+") else number


def read_answer(typed):
    """A typed '1,6 g' or '61 °F' -> (number, pint unit name or "" where none was typed). Nothing is evaluated.

    Raises
    ------
    ValueError
        args are a verdict (unreadable, unknown unit) and one sentence with the mend.
    """
    text = str(typed).strip() if isinstance(typed, str) or _is_number(typed) else ""
    found = _ANSWER.fullmatch(text) if len(text) <= LONGEST else None
    if not found:
        raise ValueError("unreadable", "Write one number and its unit, like 1.6 g.")
    try:
        number = _float(found)
    except ValueError as error:
        raise ValueError("unreadable", f"{error}.") from None
    unit = " ".join((found["unit"] or "").split()).removesuffix(".")
    if not unit:
        return number, ""
    spelt = re.sub(r" ?([/*]) ?", r"\1", unit.replace("·", "*").replace("⋅", "*").replace("^", "").replace("**", "").replace("° ", "°"))
    for name in (unit, spelt):
        if name in TYPED:
            return number, TYPED[name]
    if re.search(r"\s[0-9]", unit):
        raise ValueError("unreadable", "Write one number and its unit, like 1.6 g.")
    near = nearest(unit, TYPED, 0.6)
    raise ValueError("unknown unit", f"{unit[:12]!r} is not a unit used here" + (f"; {near}?" if near else "; write it like 1.6 g."))
