"""How pictures look: sizes, units shown, one palette, a few helpers; and the picture that is drawn once and then only moved."""
import functools
import struct
import zlib
from typing import NamedTuple

import numpy as np
from matplotlib import rc_context
from matplotlib.artist import Artist
from matplotlib.axes import Axes
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure, FigureBase

from ..spread import Spread
from ..tables import cite
from ..units import Q_, Quantity, convert, show

# One colour, line and marker per kind of quantity, the same in every lesson: a curve has that of its upright axis. Each colour stands 3 to 1
# or better against white and apart from the others for colour-blind eyes; line and marker differ too, so that nothing is told by colour alone.
KINDS = {
    "strength": {"color": "#006278", "linestyle": "-", "marker": "o"},
    "temperature": {"color": "#d77c00", "linestyle": "--", "marker": "^"},
    "time": {"color": "#2e9e6b", "linestyle": "-.", "marker": "s"},
    "dose": {"color": "#0094df", "linestyle": ":", "marker": "D"},
    "size": {"color": "#6d2600", "linestyle": (0, (8, 2)), "marker": "v"},
    "oxygen": {"color": "#00216d", "linestyle": (0, (5, 1, 1, 1, 1, 1)), "marker": "P"},
    "acidity": {"color": "#e5384b", "linestyle": (0, (3, 3)), "marker": "X"},
    "mass": {"color": "#2a1ee8", "linestyle": (0, (1, 3)), "marker": "h"},
}
SAMPLES = {"A": {"color": "#1a1a1a", "linestyle": "-", "marker": "o"},
           "B": {"color": "#8000bf", "linestyle": "--", "marker": "s"}}
INK = "#1b1b1b"                  # text, outlines, and the one point that is the user's own setting
STILL = {"color": "#6b6b6b", "linewidth": 1.0}           # reference lines, and the shortcut or rule of thumb beside the better sum
MEASURED = "#3d3d3d"             # points that others measured, filled white
LIMIT = "#b00020"                # what is crossed, late or bursts: never without an X, a hatch or a word
WALL = "#4a4a4a"                # walls of vessels, the person in the room
GREY = "#cfcfcf"                 # out of the game
# Faces of what is drawn to scale, light enough for INK on them: outlined with INK, and what touches another differs by hatch or word too.
THINGS = {"set": "#f4e7c3", "liquid": "#f0a860", "water": "#c3e2f4", "ice": "#e6f2fb", "gas": "#b9d3ee", "oil": "#f0cf5a", "cream": "#fff6dc",
          "sauce": "#f8e0a8", "yolk": "#f2a516", "curdled": "#d98d5f", "sour": "#e6eeb0", "puree": "#d9c7e8", "syrup": "#e3bb70", "food": "#e2776c",
          "powder": "#f4efe2", "metal": "#9a9a9a", "cold": "#c5d9e8", "warm": "#f0c9b4"}
STATES = {"whole": "", "soft": "..", "flattened": "//", "broken": "xx", "liquid": "--", "set": "..", "turning": "//", "frozen": "//"}   # hatches
SORTS = (("#bfe5c3", ""), ("#ffe08a", "//"), ("#a9d5f2", ".."), ("#eab29c", "xx"), ("#d5c0ee", "oo"), (GREY, "||"), ("#fff3c4", "--"),
         ("#9fb8c9", "\\\\"))      # faces of things that are of a sort each and no quantity: a plate's components, verdicts on a map
PIXELS_PER_INCH = 100                                                                        # so 1 inch is 100 CSS pixels
SIZES = {   # inches wide; inches high with 1, 2, 3 panels; points of type; line width
    "wide": (9.9, (3.6, 3.6, 3.6), 10.5, 1.8),
    "narrow": (3.6, (2.5, 4.2, 5.8), 9.5, 1.6),
    "projector": (12.0, (4.2, 4.2, 4.2), 16.0, 3.0)}


@functools.lru_cache(512)
def _shown(unit, temperature, mass):
    name = str(unit)
    if temperature == "°F":
        name = "degF" if name == "degree_Celsius" else name.replace("delta_degree_Celsius", "delta_degree_Fahrenheit")
    if mass == "oz":
        name = {"gram": "ounce", "kilogram": "pound"}.get(name, name)
    return Q_(1, name or "dimensionless").units


class Look(NamedTuple):
    """How a picture is to be drawn: size (wide, narrow, projector), temperature (°C, °F), mass (g, oz)."""
    size: str = "wide"
    temperature: str = "°C"
    mass: str = "g"

    def shown(self, unit):
        """The unit in which a quantity of this unit is shown: °C as °F, g as oz, kg as lb where the user switched."""
        return _shown(Q_(1, unit or "dimensionless").units if isinstance(unit, str) else unit, self.temperature, self.mass)

    def number(self, value, unit=None):
        """Quantity, array of it or Spread -> number(s) in the shown unit of `unit` (else of its own); bare numbers stay as they are."""
        if isinstance(value, Spread):
            return Spread(*(self.number(v, unit) for v in value))
        return convert(value.magnitude, value.units, self.shown(unit or value.units)) if isinstance(value, Quantity) else value

    def unit(self, unit):
        """The name of the shown unit: '°F' for degC, 'kPa' for kPa."""
        return show(Quantity(1, self.shown(unit))).partition(" ")[2]

    def label(self, words, unit=""):
        """'temperature (°F)'; the words alone for a pure number."""
        name = self.unit(unit)
        return f"{words} ({name})" if name else words

    def style(self):
        """Type and line settings of this size, for matplotlib's rc_context; the engine uses it around stage and place."""
        *_, points, line = SIZES[self.size]
        return {"font.family": "DejaVu Sans", "font.size": points, "axes.titlesize": points, "axes.labelsize": points,
                "legend.fontsize": 0.9 * points, "xtick.labelsize": 0.9 * points, "ytick.labelsize": 0.9 * points,
                "lines.linewidth": line, "lines.markersize": 4 * line ** 0.7 + 1, "hatch.linewidth": 0.6 * line,
                "axes.spines.top": False, "axes.spines.right": False, "axes.edgecolor": WALL, "axes.linewidth": 0.5 * line,
                "axes.labelcolor": INK, "text.color": INK, "xtick.color": INK, "ytick.color": INK,
                "axes.grid": True, "axes.axisbelow": True, "grid.color": "#e2e2e2", "grid.linewidth": 0.4 * line,
                "figure.facecolor": "white", "axes.facecolor": "white", "legend.framealpha": 0.9, "legend.edgecolor": "#b5b5b5"}

    def panels(self, n=1, widths=None, heights=None):
        """(figure, [n axes]): side by side (relative `widths`), on a narrow screen one under the other (relative `heights`)."""
        width, high, *_ = SIZES[self.size]
        figure = Figure((width, high[min(n, 3) - 1] + 1.6 * max(n - 3, 0) * (self.size == "narrow")), PIXELS_PER_INCH, layout="constrained")
        with rc_context(self.style()):
            made = (figure.subplots(n, 1, height_ratios=heights, squeeze=False) if self.size == "narrow" else
                    figure.subplots(1, n, width_ratios=widths, squeeze=False))
        return figure, list(made.flat)


def step_axis(axes, which, value, tops, back=0.85):
    """Let the top of axis "x" or "y" jump between the fixed `tops`, so that it holds still while a slider moves.

    It jumps up where `value` passes the top, and down only where value falls under `back` times a lower top: near a step it does not
    flicker. Returns True where it jumped; `place` hands that on, so that the engine draws the still parts anew.
    """
    low, top = getattr(axes, f"get_{which}lim")()
    wanted = next((t for t in tops if value <= t * (1 if t >= top * (1 - 1e-9) else back)), tops[-1])
    if not np.isfinite(value) or abs(wanted - top) <= 1e-9 * abs(top):
        return False
    getattr(axes, f"set_{which}lim")(low, wanted)
    return True


def measured(axes, x, y, source, minus=None, plus=None, note=""):
    """Measured points with their error bars and their source in the legend; a marker of its own for each series on the same axes.

    x, y, minus, plus: numbers in the shown unit, minus and plus as lengths; source: key of sources.csv, or words.
    """
    before = sum(1 for c in axes.containers if str(c.get_label()).startswith("measured"))
    error = None if minus is None else [np.atleast_1d(minus), np.atleast_1d(minus if plus is None else plus)]
    return axes.errorbar(x, y, yerr=error, linestyle="none", marker="DsvP^X"[before % 6], color=MEASURED, markerfacecolor="white",
                         markeredgewidth=1.4, capsize=3, label=f"measured: {cite(source)}{', ' + note if note else ''}")


def band(axes, color, hatch="", label=None):
    """An empty band for a Spread; `set_band` fills it."""
    return axes.fill_between([], [], [], facecolor=color, edgecolor=color, alpha=0.18, linewidth=0.8, hatch=hatch, label=label)


def set_band(made, x, spread):
    """Put a band from low to high of a Spread of arrays (numbers in the shown unit, as look.number gives) over x."""
    made.set_data(np.asarray(x, float), np.broadcast_to(spread.low, np.shape(x)), np.broadcast_to(spread.high, np.shape(x)))


def to_scale(axes, width, height, bar, words=None):
    """Make axes a picture to scale: width x height in mm from (0, 0), both axes alike, no ticks, a scale bar of `bar` mm below -> its label."""
    below = 0.16 * height
    axes.set(xlim=(0, width), ylim=(-below, height), aspect="equal", xticks=[], yticks=[])
    axes.grid(False)
    for spine in axes.spines.values():
        spine.set_visible(False)
    left = 0.02 * width
    axes.plot([left, left, left + bar, left + bar], [-0.35 * below, -0.5 * below, -0.5 * below, -0.35 * below], color=INK,
              solid_joinstyle="miter", clip_on=False)
    return axes.annotate(words or f"{bar:g} mm", (left + bar, -0.3 * below), (0.6, 0), textcoords="offset fontsize", va="top", annotation_clip=False)


def artists_in(things):
    """All artists in nested dicts, lists and containers; axes and figures there are handles, not things to draw; the rest is skipped."""
    if isinstance(things, dict):
        things = tuple(things.values())
    if isinstance(things, Artist):
        return [] if isinstance(things, (Axes, FigureBase)) else [things]
    if isinstance(things, (list, tuple)) or isinstance(things, np.ndarray) and things.dtype == object:
        return [artist for thing in things for artist in artists_in(thing)]
    return []


class Picture:
    """A figure whose still parts are drawn once and kept; only what moves is drawn anew, on top of them.

    What must stay above something that moves (a legend, measured points) belongs among the moving artists too, with its zorder.
    Text is what costs most, 0.2 ms a letter: let fixed words stand still, and only their numbers move.
    `fine` is image pixels per CSS pixel: 2 for dense screens.
    """
    def __init__(self, stage, look, fine=1):
        self.look, self.kept = look, None
        with rc_context(look.style()):
            figure, self.moving = stage(look)
        self.width, self.height = (round(inches * figure.dpi) for inches in figure.get_size_inches())
        figure.set_dpi(figure.dpi * fine)
        self.canvas = FigureCanvasAgg(figure)
        self.artists = sorted(artists_in(self.moving), key=lambda artist: artist.get_zorder())
        for artist in self.artists:
            artist.set_animated(True)
            artist.set_in_layout(False)                      # or the axes would shift at the next redraw of the still parts
            artist.set_zorder(artist.get_zorder() + 100)     # an ordinary draw then gives the same picture

    def show(self, place, reading):
        """PNG of the picture at a reading."""
        try:
            if place(self.moving, reading, self.look) or self.kept is None:
                self._draw_still()
        except Exception:
            self.kept = None                                 # an axis may have jumped before the failure
            raise
        self.canvas.restore_region(self.kept)
        renderer = self.canvas.get_renderer()
        for artist in self.artists:
            artist.draw(renderer)
        return png(np.asarray(self.canvas.buffer_rgba()))

    def _draw_still(self):
        figure = self.canvas.figure
        for axes in figure.axes:                             # the layout starts from the same place each time, or its last bits wander
            if axes.get_subplotspec() is not None:
                axes.set_position(axes.get_subplotspec().get_position(figure))
                axes.set_in_layout(True)
        with rc_context(self.look.style()):
            self.canvas.draw()
        self.kept = self.canvas.copy_from_bbox(figure.bbox)


def png(pixels):
    """Array (height, width, 4) of bytes -> PNG. Rows unfiltered: flat drawings pack as well, 2.5 times as fast as by an image library."""
    height, width, _ = pixels.shape
    rows = np.zeros((height, 1 + 4 * width), np.uint8)       # a leading 0 says: row not filtered
    rows[:, 1:] = pixels.reshape(height, -1)

    def chunk(kind, data):
        return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))
    return (b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", struct.pack(">IIBBBBB", width, height, 8, 6, 0, 0, 0))
            + chunk(b"IDAT", zlib.compress(rows, 1)) + chunk(b"IEND", b""))


def above(axes, look, columns=2, narrow=1):
    """The legend above the axes, in `narrow` columns on a phone: no curve crosses it there, it can stay among the still parts."""
    axes.legend(loc="lower left", bbox_to_anchor=(-0.02, 1.0), ncols=narrow if look.size == "narrow" else columns, frameon=False,
                borderaxespad=0.2, columnspacing=1.4, handlelength=2.0)
