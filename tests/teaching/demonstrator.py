"""Two small explorers that the tests move: water's surface tension by temperature, and two samples of made-up dough."""
import numpy as np

from kitchenlib.spread import Spread
from kitchenlib.teaching import figures
from kitchenlib.teaching.panel import Choice, Explorer, Slider, step_axis
from kitchenlib.units import Q_, boundary


@boundary("N/m", temperature="degC", valid={"temperature": (-25, 373.9)})
def water_surface_tension(temperature):
    """IAPWS R1-76(2014), the interpolating equation."""
    tau = 1 - temperature / 647.096
    return 0.2358 * tau ** 1.256 * (1 - 0.625 * tau)


def read(temperature, sugar):
    pull = water_surface_tension(temperature)
    return {"at": temperature, "pull": pull, "sugar": sugar, "about": Spread(0.9 * pull, pull, 1.1 * pull),
            "sentence": "At {at:2} water pulls with {pull:3 mN/m}; {sugar:2} sugar in it.",
            "cautions": ("water this hot scalds.",) if temperature > Q_(60, "degC") else ()}


def stage(look):
    figure, (curve, drop) = look.panels(2, widths=(2, 1))
    sweep = Q_(np.linspace(0, 100, 101), "degC")
    curve.plot(look.number(sweep), look.number(water_surface_tension(sweep), "mN/m"), **{**figures.KINDS["strength"], "marker": ""})
    curve.set(xlabel=look.label("temperature", "degC"), ylabel=look.label("surface tension", "mN/m"), ylim=(55, 80))
    figures.to_scale(drop, 40, 30, 10)
    point, = curve.plot([], [], "o", color="#1a1a1a", markersize=10)
    disc, = drop.fill([], [], facecolor="none", edgecolor=figures.KINDS["strength"]["color"], hatch="//")
    return figure, {"band": figures.band(curve, figures.KINDS["strength"]["color"]), "text": [curve.text(0, 0, "", va="bottom")],
                    "point": point, "disc": disc, "head": figure.text(0.5, 0.97, "", ha="center", va="top"), "axes": curve}


def place(moving, reading, look):
    x, y = look.number(reading["at"]), look.number(reading["pull"], "mN/m")
    moving["point"].set_data([x], [y])
    moving["text"][0].set(position=(x, y + 1), text=f"{y:.1f}")
    figures.set_band(moving["band"], [x - 5, x + 5], look.number(reading["about"], "mN/m"))
    angle, radius = np.linspace(0, 2 * np.pi, 60), 6 + reading["at"].m_as("degC") / 20
    moving["disc"].set_xy(np.column_stack([20 + radius * np.cos(angle), 15 + radius * np.sin(angle)]))
    moving["head"].set_text(f"{x:.0f} {look.unit('degC')}")
    return step_axis(moving["axes"], "x", x, (look.number(Q_(50, "degC")), look.number(Q_(100, "degC"))))


tension = Explorer((Slider("sugar", "sugar", "g", 0, 500, start=50, step=10),
                    Slider("temperature", "water", "degC", 0, 100, start=20, step=5)),
                   read, stage, place, alt="Surface tension of water falls as it warms", title="Does warm water pull less?")


def read_two(flour_a, water_a, flour_b, water_b, salt, view):
    share = {"A": (water_a / Q_(500, "g")).to("percent"), "B": (water_b / Q_(500, "g")).to("percent")}
    return {**share, "sentence": "Sample A holds {A:2} water, sample B {B:2}.", "salt": salt, "view": view}


def stage_two(look):
    figure, (axes,) = look.panels(1)
    axes.set(xlim=(0, 100), ylim=(0, 3), xlabel=look.label("water on flour", "percent"))
    return figure, {name: axes.plot([], [], label=f"sample {name}", **style)[0] for name, style in figures.SAMPLES.items()}


def place_two(moving, reading, look):
    for height, name in enumerate("AB", 1):
        moving[name].set_data([0, look.number(reading[name])], [height, height])


two = Explorer((Choice("flour_a", "flour", ("white", "whole", "rye", "spelt", "my own"), "white", sample="A"),
                Slider("water_a", "water", "g", 200, 400, 300, 10, sample="A"),
                Choice("flour_b", "flour", ("white", "whole", "rye", "spelt", "my own"), "rye", sample="B"),
                Slider("water_b", "water", "g", 200, 400, 350, 10, sample="B"),
                Slider("salt", "salt", "percent", 0.1, 10, 2, 0.1, log=True), Choice("view", "view", ("plain", "log"), "plain")),
               read_two, stage_two, place_two, alt="Two bars: water on flour in each sample")
