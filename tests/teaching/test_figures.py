"""The picture that is drawn once: nothing stale in it, nothing missing; the palette; the helpers."""
import io
import itertools
import re
from pathlib import Path

import numpy as np
import pytest
from demonstrator import tension
from matplotlib import rc_context
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.colors import to_rgb
from PIL import Image

from kitchenlib.spread import Spread
from kitchenlib.teaching import figures
from kitchenlib.teaching.figures import KINDS, SAMPLES, Look, Picture, step_axis
from kitchenlib.units import Q_

LOOKS = [Look(), Look("narrow", "°F", "oz"), Look("projector")]


def pixels(data):
    return np.asarray(Image.open(io.BytesIO(data)).convert("RGB"))


# --- one picture, many kinds of moving artist ---
def stage_hard(look):
    figure, (curve, side) = look.panels(2, widths=(2, 1))
    curve.plot([0, 10], [0, 10])
    curve.set(xlim=(0, 10), ylim=(0, 10), xlabel="time (min)")
    line, = curve.plot([], [], label="now")
    figures.measured(curve, [2, 4], [3, 5], "made", minus=[0.5, 1.0])
    moving = {
        "line": line, "band": figures.band(curve, "#006278", hatch="//"),
        "words": [curve.text(0, 0, ""), figure.text(0.5, 0.99, "", va="top")],
        "legend": curve.legend(loc="lower right"), "arrow": curve.annotate("", (0, 0), (5, 9), arrowprops={"arrowstyle": "->"}),
        "points": curve.scatter([0], [0], s=80, zorder=3), "bars": side.bar([0, 1], [1, 1]),
        "image": side.imshow(np.zeros((4, 4)), extent=(2, 4, 0, 2)),
        "outside": curve.text(1.01, 0.9, "", transform=curve.transAxes),
        "error": side.errorbar([0], [1], yerr=[0.3], fmt="d", color="#e5384b"),
        "curve": curve, "side": side, "number": 3, "none": None}
    side.set(xlim=(-1, 4), ylim=(0, 4), aspect="auto")
    return figure, moving


def place_hard(moving, x, look):
    moving["line"].set_data(np.linspace(-5, 15, 30), x * np.sin(np.linspace(-5, 15, 30)))              # runs out of the axes: clipped
    figures.set_band(moving["band"], [0, x], Spread(np.array([0, 1]), None, np.array([2, x])))
    moving["words"][0].set(position=(x, x), text=f"{x:.1f}")
    moving["words"][1].set_text(f"at {x:.2f} min")
    moving["arrow"].xy = (x, x)
    moving["points"].set_offsets([[x, 1], [10, x]])                                                    # half of it lies over the edge
    moving["image"].set_data(np.full((4, 4), x))
    moving["outside"].set_text(f"{x:.0f}")
    for bar in moving["bars"]:
        bar.set_height(x / 3)
    return step_axis(moving["curve"], "y", x, (10, 50, 200))


@pytest.mark.parametrize("look", LOOKS)
def test_moved_picture_is_the_picture_drawn_at_once(look):
    moved = Picture(stage_hard, look)
    for x in (1, 9, 30, 3, 120, 0.5):
        last = pixels(moved.show(place_hard, x))
    assert (last == pixels(Picture(stage_hard, look).show(place_hard, 0.5))).all()


@pytest.mark.parametrize("fine", [1, 2])
@pytest.mark.parametrize("x", [4, 45])
def test_moved_picture_is_what_matplotlib_draws_without_us(x, fine):
    look = Look()
    picture = Picture(stage_hard, look, fine)
    picture.show(place_hard, 8)
    ours = pixels(picture.show(place_hard, x))
    for artist in picture.artists:
        artist.set_animated(False)
    canvas = FigureCanvasAgg(picture.canvas.figure)
    picture.canvas.figure.set_layout_engine("none")
    with rc_context(look.style()):
        canvas.draw()
    assert (ours == np.asarray(canvas.buffer_rgba())[:, :, :3]).all()
    assert ours.shape == (fine * picture.height, fine * picture.width, 3)


def test_every_moving_artist_is_drawn():
    picture = Picture(stage_hard, Look())
    seen = pixels(picture.show(place_hard, 4))
    for artist in picture.artists:
        artist.set_visible(False)
        assert (pixels(picture.show(place_hard, 4)) != seen).any(), artist
        artist.set_visible(True)


@pytest.mark.parametrize("look", LOOKS)
def test_axis_step_there_and_back_leaves_no_trace(look):
    picture = tension.picture(look)
    settings = [tension.settings(temperature=t) for t in (20, 90, 20)]
    first, _, again = (picture.show(tension.place, tension.read(**s)) for s in settings)
    assert first == again


def test_failure_after_an_axis_jump_leaves_no_stale_axis():
    def fails_once_jumped(moving, x, look):
        jumped = place_hard(moving, x, look)
        if x == 45:
            raise ValueError("no such thing")
        return jumped
    picture = Picture(stage_hard, Look())
    picture.show(fails_once_jumped, 4)
    with pytest.raises(ValueError):
        picture.show(fails_once_jumped, 45)
    after = pixels(picture.show(fails_once_jumped, 49))                  # the axis jumped in the failure: 49 does not say so again
    assert (after == pixels(Picture(stage_hard, Look()).show(place_hard, 49))).all()


def test_png_holds_the_pixels():
    made = np.random.default_rng(4).integers(0, 256, (7, 5, 4), np.uint8)
    assert (np.asarray(Image.open(io.BytesIO(figures.png(made)))) == made).all()


def test_pictures_are_opaque_and_as_large_as_said():
    picture = Picture(stage_hard, Look("narrow"), 2)
    image = Image.open(io.BytesIO(picture.show(place_hard, 4)))
    assert image.size == (2 * picture.width, 2 * picture.height) and image.getchannel("A").getextrema() == (255, 255)


# --- stepping axes ---
def test_axis_steps_and_does_not_flicker():
    figure, (axes,) = Look().panels()
    axes.set_ylim(0, 10)
    values = (9, 10, 10.1, 9.9, 8.6, 8.4, 60, 249, 260, 2, float("nan"))
    jumps = [(step_axis(axes, "y", value, (10, 50, 250)), axes.get_ylim()[1]) for value in values]
    assert jumps == [(False, 10), (False, 10), (True, 50), (False, 50), (False, 50), (True, 10), (True, 250), (False, 250), (False, 250),
                     (True, 10), (False, 10)]
    axes.set_xlim(-3, 10)
    assert step_axis(axes, "x", 40, (10, 50)) and axes.get_xlim() == (-3, 50)


# --- looks ---
def test_units_follow_the_switch():
    metric, other = Look(), Look("wide", "°F", "oz")
    assert [metric.unit(u) for u in ("degC", "g", "kg", "kPa", "", "delta_degC", "percent")] == ["°C", "g", "kg", "kPa", "", "°C", "%"]
    assert [other.unit(u) for u in ("degC", "g", "kg", "kPa", "", "g/L", "percent")] == ["°F", "oz", "lb", "kPa", "", "g/L", "%"]
    assert other.label("temperature", "degC") == "temperature (°F)" and other.label("pH") == "pH"
    # fixed points of both scales; the pound of 1959, 0.45359237 kg, and its 16 ounces
    assert other.number(Q_([-40.0, 0, 100], "degC")) == pytest.approx([-40, 32, 212])
    assert other.number(Q_(10.0, "delta_degC")) == pytest.approx(18)
    assert other.number(Q_(453.59237, "g")) == pytest.approx(16) and other.number(Q_(0.45359237, "kg")) == pytest.approx(1)
    assert metric.number(Q_(2500.0, "Pa"), "kPa") == pytest.approx(2.5) and metric.number(7.2) == 7.2
    assert other.number(Q_(293.15, "kelvin"), "degC") == pytest.approx(68)
    assert other.number(Spread(Q_(0.0, "degC"), Q_(10.0, "degC"), Q_(100.0, "degC"))) == pytest.approx((32, 50, 212))
    assert other.unit("delta_degC/min") == "°F/min" or other.shown("delta_degC/min") == Q_(1, "delta_degF/min").units


def test_panels_side_by_side_or_stacked():
    boxes = {look.size: [axes.get_subplotspec().get_geometry()[:2] for axes in look.panels(2, (2, 1), (1, 3))[1]] for look in LOOKS}
    assert boxes == {"wide": [(1, 2)] * 2, "narrow": [(2, 1)] * 2, "projector": [(1, 2)] * 2}
    figure, axes = Look("narrow").panels(5)
    assert len(axes) == 5 and figure.get_figheight() > Look("narrow").panels(3)[0].get_figheight()
    phone = Look("narrow").panels(2)[0]
    assert phone.get_figwidth() * phone.dpi <= 366                       # what an upright phone of 390 pixels leaves
    assert Look("projector").style()["font.size"] * figures.PIXELS_PER_INCH / 72 > 720 / 36      # letters seen from the back row


# --- palette ---
# Relative luminance and contrast: WCAG 2.1, definitions; 1.4.11 asks 3 to 1 of graphics, 1.4.3 asks 4.5 to 1 of text.
def luminance(color):
    return np.dot([0.2126, 0.7152, 0.0722], [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in to_rgb(color)])


def contrast(one, other="white"):
    dark, light = sorted(map(luminance, (one, other)))
    return (light + 0.05) / (dark + 0.05)


def test_contrast_is_that_of_wcag():
    assert contrast("black") == pytest.approx(21) and contrast("#767676") == pytest.approx(4.54, abs=0.005)     # common practice: the lightest grey of 4.5


LINES = {name: style["color"] for name, style in (*KINDS.items(), *SAMPLES.items(), ("still", figures.STILL))}
LINES |= {"measured": figures.MEASURED, "limit": figures.LIMIT, "wall": figures.WALL, "ink": figures.INK}


@pytest.mark.parametrize("color", LINES.values(), ids=LINES)
def test_lines_stand_out_from_the_page(color):
    assert contrast(color) >= 3


FACES = {**figures.THINGS, **{f"sort {n}": face for n, (face, _) in enumerate(figures.SORTS)}}


@pytest.mark.parametrize("face", FACES.values(), ids=FACES)
def test_faces_carry_their_outline_and_words(face):
    assert contrast(figures.INK, face) >= 4.5


def test_sorts_differ_by_hatch():
    assert len({hatch for _, hatch in figures.SORTS}) == len(figures.SORTS)


@pytest.mark.parametrize("style", ["color", "linestyle", "marker"])
def test_no_two_kinds_look_alike(style):
    for group in (KINDS, SAMPLES):
        assert all(a[style] != b[style] for a, b in itertools.combinations(group.values(), 2))


def test_type_on_white_is_readable():
    for name in ("axes.labelcolor", "text.color", "xtick.color"):
        assert contrast(Look().style()[name]) >= 4.5


PAGES = [*Path(figures.__file__).parent.glob("*.css"), *Path(figures.__file__).parent.glob("share/**/*.*ml*"), Path(figures.__file__).parent / "sheets.py"]
INKS = {"#1b1b1b", "#1f4e79", "#4a4a4a", "#444", "#fff"}      # words: ink, links and buttons, small print; white on a dark button


@pytest.mark.parametrize("path", PAGES, ids=lambda path: path.name)
def test_pages_have_one_ink_and_are_readable(path):
    """Panels, boxes, cards, sheets and the page around them: words in the inks above, 4.5 to 1; what shows the focus or a trouble 3 to 1."""
    text = path.read_text(encoding="utf-8")
    for rule in re.findall(r"\{[^{}]*\}", text):
        ink, ground = (re.search(rf"(?<![-\w]){name}: ?(#[0-9a-f]{{3,6}})", rule) for name in ("color", "background(?:-color)?"))
        if ink:
            assert ink[1] in INKS, rule
            if ground or ink[1] != "#fff":
                assert contrast(ink[1], ground[1] if ground else "white") >= 4.5, rule
    for edge in re.findall(r"(?:outline|border-left|border-left-color): ?(?:[34]px solid )?(#[0-9a-f]{3,6})", text):
        assert contrast(edge) >= 3, edge
    assert set(re.findall(r"outline: ?3px solid (\S+?)[;\s}]", text)) <= {"#b35900", "var(--focus)"}


# --- helpers ---
def test_picture_to_scale_has_one_scale():
    figure, (axes,) = Look().panels()
    figures.to_scale(axes, 60, 25, 10)
    FigureCanvasAgg(figure).draw()
    origin, across, up = axes.transData.transform([(0, 0), (10, 0), (0, 10)])
    assert across[0] - origin[0] == pytest.approx(up[1] - origin[1])
    bar = axes.lines[0].get_xdata()
    assert max(bar) - min(bar) == pytest.approx(10) and axes.texts[0].get_text() == "10 mm"


@pytest.mark.parametrize("size", ["wide", "narrow", "projector"])
@pytest.mark.parametrize("width, height, bar", [(60, 25, 10), (280, 222, 50), (1, 1, 0.25), (260, 64, 50), (80, 26, 20)])
def test_the_bars_label_touches_neither_bar_nor_picture(size, width, height, bar):
    look = Look(size)
    with rc_context(look.style()):
        figure, (axes, *_) = look.panels(3)
        label = figures.to_scale(axes, width, height, bar)
        FigureCanvasAgg(figure).draw()
    box, line = label.get_window_extent(), axes.lines[0].get_window_extent()
    floor = axes.transData.transform((0, 0))[1]
    assert box.x0 > line.x1 + 2 and box.y1 < floor and 0 <= box.x0 < box.x1 <= figure.bbox.width and box.y0 >= 0


def test_measured_points_carry_bars_marker_and_source():
    figure, (axes,) = Look().panels()
    first = figures.measured(axes, [1, 2], [3, 4], "own readings", minus=[0.5, 1], note="5 °C")
    second = figures.measured(axes, [1], [2], "another kitchen")
    assert first.get_label() == "measured: own readings, 5 °C"
    assert first.lines[0].get_marker() != second.lines[0].get_marker()
    assert [segment[:, 1].tolist() for segment in first.lines[2][0].get_segments()] == [[2.5, 3.5], [3, 5]]


def test_band_lies_between_low_and_high():
    figure, (axes,) = Look().panels()
    made = figures.band(axes, "#006278")
    figures.set_band(made, [0, 1, 2], Spread(np.array([1.0, 2, 3]), None, np.array([2.0, 4, 6])))
    corners = made.get_paths()[0].vertices
    assert {tuple(c) for c in corners} >= {(0, 1), (1, 2), (2, 3), (0, 2), (1, 4), (2, 6)}
