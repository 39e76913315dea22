"""An explorer: controls, a reading and a figure; shown as one panel of native inputs that the page keeps in step with the kernel."""
import base64
import html
import logging
import math
import os
import string
import weakref
from pathlib import Path
from typing import Callable, NamedTuple
from urllib.parse import parse_qs

import anywidget
import pint
import traitlets

from .. import files
from ..spread import Spread
from ..units import OutOfRange, Q_, Quantity, convert, one_of, plain, show, unbroken
from .figures import Look, Picture, step_axis                # noqa: F401 (step_axis: explorers take all from here)

HERE = Path(__file__).parent
LOG = logging.getLogger(__name__)


# --- controls --------------------------------------------------------------------------------------------------------------------
class Slider(NamedTuple):
    """A number in `unit` ("" is a pure number) from low to high. log=True spaces it by decades, at round numbers, `step` the finest."""
    name: str
    label: str
    unit: str
    low: float
    high: float
    start: float
    step: float
    log: bool = False
    sample: str = ""             # "A" or "B": stands in that sample's own box

    def check(self):
        """Refuse a declaration that cannot work."""
        self.enter(self.start)
        if not (self.low < self.high and self.step > 0 and (self.low > 0 or not self.log)):
            raise ValueError(f"{self.label}: low under high, step above 0, and on a log scale low above 0 too")

    def enter(self, value, look=Look()):
        """What `read` gets: Quantity, or bare number where the unit is "". OutOfRange, TypeError or DimensionalityError with the mend."""
        unit = Q_(1, self.unit or "dimensionless").units
        if isinstance(value, Quantity):
            try:
                number = float(convert(value.magnitude, value.units, unit))
            except pint.DimensionalityError:
                wanted = self.unit or "a pure number"
                raise pint.DimensionalityError(value.units, unit, extra_msg=f": {self.label} is set in {wanted}") from None
        elif isinstance(value, (int, float)) and not isinstance(value, bool):
            number = float(value)
        else:
            raise TypeError(f"{self.label}: write one number, {self._range(look)}")
        slack = 1e-9 * max(abs(self.low), abs(self.high))
        if not self.low - slack <= number <= self.high + slack:
            given = f"{look.number(Quantity(number, unit)):.6g}"
            raise OutOfRange(f"{self.label} goes {self._range(look)}; {given} is outside")
        number = min(max(number, self.low), self.high)
        return Quantity(number, unit) if self.unit else number

    def _range(self, look):
        low, high = (f"{look.number(Quantity(end, Q_(1, self.unit or 'dimensionless').units)):.4g}" for end in (self.low, self.high))
        return f"from {low} to {high} {look.unit(self.unit)}".rstrip()

    def scale(self, look):
        """How the page shows this slider: shown number = slope * number + zero, `digits` of it, and the stops in the slider's own unit."""
        have = Q_(1, self.unit or "dimensionless").units
        want = look.shown(have)
        zero = convert(0.0, have, want)
        slope = convert(1.0, have, want) - zero
        step = self.step if want == have else _round_up(slope * self.step)
        low, high = (slope * end + zero for end in (self.low, self.high))
        inner = (s for s in _round_numbers(low, high, step, self.log) if low + 0.01 * step < s < high - 0.01 * step)
        stops = [self.low, *(float(f"{(s - zero) / slope:.10g}") for s in inner), self.high]
        return {"unit": look.unit(have), "slope": slope, "zero": zero, "digits": 6 if want == have else 4, "stops": stops}


def _round_up(number):
    """The next of 1, 2, 5, 10, 20 ... at or above number."""
    decade = 10.0 ** math.floor(math.log10(number))
    return next(m * decade for m in (1, 2, 5, 10) if m * decade >= number * (1 - 1e-9))


def _round_numbers(low, high, step, log):
    """Multiples of step from low to high; on a log scale only those that a cook would write (1.1, 2.2, 5.5, and tenfold)."""
    if not log:
        return [k * step for k in range(math.ceil(low / step), math.floor(high / step) + 1)]
    made = []
    for power in range(math.floor(math.log10(low)), math.ceil(math.log10(high)) + 1):
        decade = 10.0 ** (power - 1)
        made += [m * decade for m in (*range(10, 20), *range(20, 50, 2), *range(50, 100, 5))]
    return [m for m in made if abs(m / step - round(m / step)) < 1e-6]


class Choice(NamedTuple):
    """A word out of `options`: a tuple, or a function giving one, asked when the panel is made (so that the shelf's products appear)."""
    name: str
    label: str
    options: tuple | Callable
    start: str
    sample: str = ""

    def words(self):
        return tuple(self.options() if callable(self.options) else self.options)

    def check(self):
        """Refuse a declaration that cannot work; options that are a function are asked later."""
        if not callable(self.options):
            one_of(self.start, tuple(self.options), self.label)


# --- words -----------------------------------------------------------------------------------------------------------------------
class _Writer(string.Formatter):
    """Fills "At {at:2} it pulls with {pull:2 mN/m}." from a reading, in the units of a look."""
    def __init__(self, look):
        self.look = look

    def get_value(self, key, args, reading):
        return reading[one_of(key, tuple(reading), "a value of the reading")]

    def format_field(self, value, spec):
        digits, _, unit = spec.partition(" ")
        return said(value, int(digits or 0), unit, self.look)


def said(value, digits=0, unit="", look=Look()):
    """A value in kitchen writing and in the units of a look: quantity, Spread ("9.0 kPa (5.4 to 15 kPa)"), pure number or word."""
    if isinstance(value, Spread):
        low, mid, high = (said(v, digits or 2, unit, look) for v in value)
        number, _, name = mid.partition(" ")
        low = low.partition(" ")[0]
        return mid if low == high.partition(" ")[0] else f"{number}{' ' + name if name else ''} ({low} to {high})"
    if not isinstance(value, Quantity):
        return value if isinstance(value, str) else plain(value, digits or 3)
    unit = Q_(1, unit).units if unit else value.units
    shown = look.shown(unit)
    here = convert(float(value.magnitude), value.units, unit)
    if shown == unit or "degree" not in str(unit):
        return show(Quantity(convert(here, unit, shown), shown), digits or 3)
    places = len(plain(here, digits or 3).partition(".")[2])     # 4 °C is 39 °F: the same decimals, not the same digits
    return f"{round(convert(here, unit, shown), places) + 0.0:.{places}f} {look.unit(unit)}"


def lines_of(reading, look=Look()):
    """(sentence, more or "", cautions) of a reading, filled. ValueError where one asks for a value that the reading has not."""
    writer = _Writer(look)
    sentence, more, *cautions = (writer.vformat(text, (), reading) for text in (reading["sentence"], reading.get("more", ""), *reading.get("cautions", ())))
    return sentence, more, cautions


def words_of(reading, look=Look()):
    """Sentence with what more is said, and cautions, a line each."""
    sentence, more, cautions = lines_of(reading, look)
    return "\n".join([f"{sentence} {more}".rstrip(), *(f"Caution: {caution}" for caution in cautions)])


# --- the explorer ----------------------------------------------------------------------------------------------------------------
class Explorer:
    """Controls, a pure `read`, a figure; put it last in a cell and its panel stands there.

    Parameters
    ----------
    controls : Slider and Choice, in the order in which they stand. Those with a `sample` stand in that sample's box.
    read : (**settings) -> dict of values (Quantity, Spread, number, word), `sentence` (a template such as "At {at:2} water pulls with
        {pull:2 mN/m}.": digits, optionally a unit; temperatures and weights follow the user's switch) and optionally such texts too:
        `more`, what is read afterwards (on a phone only the sentence stays in sight with the picture), and `cautions`, those that
        apply, the gravest first (on a phone the others are folded away under it).
    stage : (look) -> (figure, moving): draws the still parts; moving is a dict or list of the artists that move.
    place : (moving, reading, look) gives these artists their data; returns True where it changed an axis (see `step_axis`).
    alt : what the picture shows, in words, for those who do not see it.
    """
    def __init__(self, controls, read, stage, place, alt, title=""):
        self.controls = {control.name: control for control in controls}
        if len(self.controls) != len(controls) or "look" in self.controls:
            raise ValueError("each control needs a name of its own, and none is called look")
        for control in controls:
            control.check()
        self.read, self.stage, self.place, self.alt, self.title = read, stage, place, alt, title
        self.live, self._pictures, self._options = None, {}, {}
        _explorers.add(self)

    def settings(self, look=Look(), **given):
        """All controls' values as `read` takes them: the given ones, else the starts. Raises with the mend (nearest name, range)."""
        for name in given:
            one_of(name, tuple(self.controls), "a control")
        return {name: self._enter(control, given.get(name, control.start), look) for name, control in self.controls.items()}

    def _enter(self, control, value, look):
        if isinstance(control, Slider):
            return control.enter(value, look)
        if value not in self._options.get(control.name, ()):     # the shelf is asked only for a word not met before
            self._options[control.name] = control.words()
        return one_of(value, self._options[control.name], control.label)

    def at(self, **settings):
        """The reading at these settings (quantities, bare numbers in the control's unit, words); `words` are its sentence and cautions.

        Raises ValueError for an unknown control or word (the nearest is named), OutOfRange outside the slider, TypeError.
        """
        reading = self.read(**self.settings(**settings))
        return {**reading, "words": words_of(reading)}

    def draw(self, look=Look(), **settings):
        """(PNG bytes, words) at these settings."""
        reading = self.read(**self.settings(look, **settings))
        return self.picture(look).show(self.place, reading), words_of(reading, look)

    def picture(self, look, fine=1):
        """The kept Picture of this look; the four looks used last are kept."""
        key = (look, fine)
        made = self._pictures.pop(key, None) or Picture(self.stage, look, fine)
        self._pictures[key] = made
        while len(self._pictures) > 4:
            del self._pictures[next(iter(self._pictures))]
        return made

    def _repr_mimebundle_(self, include=None, exclude=None):
        """Live panel where a kernel runs; else picture and words, in °C and g on every machine, so that stored pages agree."""
        try:
            picture, words = self.draw()
        except Exception as error:
            picture, words = b"", trouble_in_words(error)
        coded = base64.b64encode(picture).decode()
        image = f'<img alt="{html.escape(self.alt)}" style="max-width:100%" src="data:image/png;base64,{coded}">' if picture else ""
        caption = html.escape(words).replace("\n", "<br>")
        self.live = View(self)
        return {"text/plain": words, **({"image/png": coded} if picture else {}),
                "text/html": f'<figure style="margin:0">{image}<figcaption>{caption}</figcaption></figure>',
                "application/vnd.jupyter.widget-view+json": {"version_major": 2, "version_minor": 0, "model_id": self.live.model_id}}


def trouble_in_words(error):
    """What went wrong, as a sentence for whoever moved the slider."""
    text = str(error.args[0] if isinstance(error, KeyError) and error.args else error) or type(error).__name__
    return f"This setting could not be worked out: {text.rstrip('.')}."


# --- the panel in the page -------------------------------------------------------------------------------------------------------
_explorers = weakref.WeakSet()
_session = {}                                                # °C or °F, g or oz: switched once, for all panels


def first_look():
    """Size from the page's address or the settings, units from the session or the settings."""
    kept = {**files.settings(), **_session}
    asked = parse_qs(os.environ.get("QUERY_STRING", "")).get("size", [kept["size"]])[-1]
    if not asked and "Mobi" in os.environ.get("HTTP_USER_AGENT", ""):
        asked = "phone"
    return Look({"phone": "narrow", "projector": "projector"}.get(asked, "wide"), "°F" if kept["temperature"] == "°F" else "°C",
                "oz" if kept["mass"] == "oz" else "g")


class View(anywidget.AnyWidget):
    """The panel of one explorer. The page sets `asked`; the answer to it is `shown`, with the same `move`."""
    _esm, _css = (HERE / "panel.js").read_text(encoding="utf-8"), (HERE / "panel.css").read_text(encoding="utf-8")
    title = traitlets.Unicode().tag(sync=True)
    alt = traitlets.Unicode().tag(sync=True)
    size = traitlets.Unicode().tag(sync=True)                # wide, narrow or projector, as it was asked for
    controls = traitlets.List().tag(sync=True)               # dicts: name, label, sample, start, options (none: a slider)
    switches = traitlets.Dict().tag(sync=True)               # {"temperature": ["°C", "°F"]} where something has a temperature
    scales = traitlets.Dict().tag(sync=True)                 # {name: Slider.scale}
    asked = traitlets.Dict().tag(sync=True)                  # move, values {name: number in its unit, or word}, narrow, fine; units, and
    #                                                          turn: how often somebody switched them here (else they may be out of date)
    shown = traitlets.Dict().tag(sync=True)                  # move, values, picture, width, height, words, more, cautions, trouble, units

    def __init__(self, explorer):
        self.explorer, self.turn, look = explorer, 0, first_look()
        self.units = {"temperature": look.temperature, "mass": look.mass}
        controls = [{"name": c.name, "label": c.label, "sample": c.sample, "start": c.start,
                     **({"options": list(c.words())} if isinstance(c, Choice) else {})} for c in explorer.controls.values()]
        super().__init__(title=explorer.title, alt=explorer.alt, size=look.size, controls=controls, switches=self._switches(),
                         asked={"move": 0, "values": {c["name"]: c["start"] for c in controls}, "narrow": look.size == "narrow", "fine": 1,
                                "turn": 0, **self.units})
        self.answer()
        self.observe(self.answer, "asked")

    def _switches(self):
        """Which unit switches make sense: those that would change a control or a value of the reading."""
        units = {Q_(1, c.unit or "dimensionless").units for c in self.explorer.controls.values() if isinstance(c, Slider)}
        try:
            values = self.explorer.at().values()
        except Exception:                                    # said by the first answer
            values = ()
        units |= {v.units for value in values for v in (value if isinstance(value, Spread) else (value,)) if isinstance(v, Quantity)}
        other = Look(temperature="°F", mass="oz")
        return {name: words for name, words, look in (("temperature", ["°C", "°F"], other._replace(mass="g")),
                                                      ("mass", ["g", "oz"], other._replace(temperature="°C")))
                if any(look.shown(unit) != unit for unit in units)}

    def answer(self, _=None):
        """Draw what is asked for; where that fails, say why and keep the last picture and words."""
        asked, explorer = self.asked, self.explorer
        if asked["turn"] != self.turn:                       # one switch for all panels
            self.turn = asked["turn"]
            _session.update({name: asked[name] for name in self.units})
        self.units.update(_session)
        look = Look("narrow" if asked["narrow"] else "wide" if self.size == "narrow" else self.size, **self.units)
        switched = any(self.shown.get(name) != word for name, word in self.units.items())
        shown = {**self.shown, "move": asked["move"], "values": asked["values"], **self.units}
        try:
            try:
                settings = explorer.settings(look, **asked["values"])
            except (ValueError, TypeError) as error:         # a typed number or word, its mend in the message
                shown["trouble"] = f"{error}."
            else:
                reading = explorer.read(**settings)
                words, more, cautions = lines_of(reading, look)
                picture = explorer.picture(look, asked["fine"])
                shown.update(picture=picture.show(explorer.place, reading), width=picture.width, height=picture.height,
                             words=unbroken(words), more=unbroken(more), cautions=[*map(unbroken, cautions)], trouble="")
        except Exception as error:                           # whatever it is, it is said
            LOG.info("explorer %s", explorer.title, exc_info=True)
            shown["trouble"] = trouble_in_words(error)
        if shown["trouble"] and "picture" in shown:
            shown["trouble"] += " Picture and words still show the last setting that worked."
        with self.hold_sync():
            if switched:
                self.scales = {name: c.scale(look) for name, c in explorer.controls.items() if isinstance(c, Slider)}
            self.shown = shown
        for other in [e.live for e in _explorers if switched and e.live not in (None, self)]:
            if any(other.units[name] != word for name, word in _session.items()):
                other.answer()
