"""Pieces in the cold: how long a slab, cylinder, sphere or brick takes to freeze, and what a dip in nitrogen leaves inside it.

Plank's formula stands beside the enthalpy method everywhere: the first says in one line what decides, the second is right. A dip stops
on the heat it has taken, never on the middle: when the middle of a berry is frozen in nitrogen, its outside is far below -90 °C.
"""
import abc
import functools
from typing import NamedTuple

import numpy as np

from . import conduction, cryo, fronts, mixes, solutions, tables
from .mixes import Mix
from .tables import Row, row
from .units import OutOfRange, Quantity, boundary, record

SHAPES = tuple(fronts.DIMENSION)
PIECES = SHAPES + ("box",)
WEAK = ("film_coefficient", "temperature", "freezing_point", "latent_heat", "heat_capacity", "frozen_heat_capacity", "thermal_conductivity",
        "frozen_thermal_conductivity", "density")
FUSION, ZERO = cryo.FUSION, solutions.ICE_POINT
CELLS, LONG = 80, 1e9                                        # cells of a piece; s, longer than anything takes to freeze
_ROOTS, _WEIGHTS = (x / 4 + y for x, y in zip(np.polynomial.legendre.leggauss(24), (0.25, 0)))     # Gauss on 0 to 1/2


# --- what the food is ----------------------------------------------------------------------------------------------------------------
@boundary("J/kg/kelvin", solids="percent", valid={"solids": (0, 100)})
def unfrozen_heat_capacity(solids):
    """Heat capacity of a food that is not frozen, from its solids alone: 4190 - 2300 x - 628 x**3.

    solids : share of the mass that is not water [percent]; returns [J/kg/K]

    Source: chen-1985, as in ashrae-foods equation 15; printed table values lie within 30 J/kg/K.
    """
    return 4190 - 2300 * solids - 628 * solids ** 3


@boundary("kJ/kg", water="percent", valid={"water": (0, 100)})
def latent_heat(water):
    """Heat of fusion of all the water in a food: 333.6 kJ/kg times its share. More than ever comes out: not all of it freezes.

    water [percent of mass]; returns [kJ/kg].  Source: ashrae-foods; fusion of ice at 0 °C.
    """
    return FUSION * water


@boundary("kJ/kg", water="percent", protein="percent", valid={"water": (0, 100), "protein": (0, 100)})
def freezable_heat(water, protein):
    """Heat of fusion of the water that can freeze: that bound to protein, 0.4 of the protein's mass, stays liquid.

    water, protein [percent of mass]; returns [kJ/kg].  Source: ashrae-foods equation 3 (bound water of Schwartzberg).
    """
    return FUSION * np.maximum(water - 0.4 * protein, 0.0)


Conductivities = record("Conductivities", unfrozen="W/m/kelvin", frozen="W/m/kelvin")


@boundary(Conductivities, water="percent", valid={"water": (0, 100)})
def rough_conductivity(water):
    """Conductivity above and below freezing from the water alone: 0.55 p + 0.26 (1 - p) and 2.4 p + 0.26 (1 - p).

    water : share p of the mass [percent]; returns unfrozen, frozen [W/m/K]. 'A considerable over-simplification', its
    book says: good for judging times, within a fifth.

    Source: earle-earle.
    """
    return 0.55 * water + 0.26 * (1 - water), 2.4 * water + 0.26 * (1 - water)


class Food(abc.ABC):
    """What can freeze: a food's Row, which freezes by 1 - tf / t, or a Mix, which freezes along its own curve (`cryo.curve`).

    What a row does not say (density, conductivities, heat capacities, latent heat, freezing point) follows from its composition.
    """
    made_by = "row('strawberry') or a Mix"


Food.register(Row)
Food.register(Mix)
_COMPOSED = {
    "freezing_point": solutions.freezing_point.si,
    "latent_heat": lambda mix: freezable_heat.si(mix.si_share("water"), mix.si_share("protein")),
    "density": lambda mix: mixes.density.si(mix, ZERO),
    "heat_capacity": lambda mix: mixes.heat_capacity.si(mix, ZERO),
    "frozen_heat_capacity": lambda mix: mix.si_share("water") * cryo.ICE + mix.si_share("solids") * cryo.SOLIDS,
    "thermal_conductivity": lambda mix: cryo.conductivity(mix, 0.0),
    "frozen_thermal_conductivity": lambda mix: cryo.conductivity(mix, 0.9)}


@functools.lru_cache(1024)
def _composed(mix, name):
    return float(_COMPOSED[name](mix))


def fact(food, name):
    """SI float of one of a food's properties for freezing: its row's own where it has one, else from what the food is made of."""
    if isinstance(food, Mix):
        return _composed(food, name)
    return food.si(name) if name in food else _composed(Mix({food: Quantity(1.0, "kg")}), name)


def material(food):
    """(fronts.Material, frozen share at its nodes) of a Food. Share of what can freeze (Row), or of all the water (Mix)."""
    if isinstance(food, Mix):
        return cryo.material(food)
    begin = fact(food, "freezing_point") - ZERO
    t = -np.geomspace(200.0, -begin, 200)
    share = 1 - begin / t                                    # law of an ideal solution
    share[-1] = 0.0
    pairs = [(fact(food, name), fact(food, f"frozen_{name}")) for name in ("heat_capacity", "thermal_conductivity")]
    return fronts.freezing(t, share, fact(food, "latent_heat"), *pairs, fact(food, "density")), np.append(share, 0.0)


# --- Plank -------------------------------------------------------------------------------------------------------------------------------
_SIZES = dict(shape=PIECES, thickness="mm", height="mm", length="mm")
_SIZES_VALID = {"thickness": (0.5, 500), "height": (0.5, 3000), "length": (0.5, 3000)}
_SOLVED = dict(cold=Row, food=Food, shape=SHAPES, thickness="mm")
_START = (-5, 100)
Factors = record("Factors", film="", inside="")
Plank = record("Plank", time="min", film_share="percent")


def _sides(who, shape, thickness, height, length):
    """The box around a piece. Its volume over area is that of the piece itself, at every depth of the front: so are its times."""
    conduction.need_sizes(who, shape, height, length)
    rest = {"slab": (np.inf, np.inf), "cylinder": (thickness, np.inf if height is None else height), "sphere": (thickness, thickness),
            "box": (height, length)}[shape]
    return np.stack(np.broadcast_arrays(thickness, *rest)).astype(float)


def _over_area(sides):
    """Volume over area of a box, a cylinder or sphere inside it, with these sides (3, ...)."""
    return 0.5 / (1 / sides).sum(axis=0)


def _resistances(who, shape, thickness, height, length):
    """(film part, inner part) of Plank's sum: volume over area, and its integral over the depth of the front."""
    sides = _sides(who, shape, thickness, height, length)
    least = sides.min(axis=0)
    inner = sum(weight * _over_area(sides - 2 * root * least) for root, weight in zip(_ROOTS, _WEIGHTS)) * least
    return _over_area(sides), inner, least


@boundary(Factors, **_SIZES, valid=_SIZES_VALID)
def plank_factors(shape, thickness, height=None, length=None):
    """Plank's P and R on the smallest size: slab 1/2 and 1/8, endless cylinder 1/4 and 1/16, sphere and cube 1/6 and 1/24.

    Parameters
    ----------
    shape : slab (thickness), cylinder (diameter as thickness; height, or endless), sphere (diameter), box (all three)
    thickness, height, length : whole sizes [mm]

    Returns
    -------
    film (P), inside (R): pure numbers

    Raises
    ------
    ValueError
        A size too few or too many for the shape.

    Notes
    -----
    The front keeps the piece's shape and its distance x from every face: P D = V / A, R D**2 = integral of V / A over x from 0 to D / 2.
    For a box that is Plank's own formula for bricks; a short cylinder has the V / A of the box around it at every x, so its factors too.

    Source
    ------
    plank-1941 (memory); slab, cylinder, sphere as in caballero-encyclopaedia, p. 272.
    """
    film, inner, least = _resistances("plank_factors", shape, thickness, height, length)
    return film / least, inner / least ** 2


def _below(who, cold, food):
    """Degrees from the freezing point down to the surroundings; OutOfRange where nothing freezes."""
    gap = fact(food, "freezing_point") - cold.si("temperature")
    if gap <= 0:
        raise OutOfRange(f"{who}: {cold.key} at {_celsius(cold.si('temperature'))} freezes nothing in {_name(food)}, which begins at "
                         f"{_celsius(fact(food, 'freezing_point'))}: choose a colder place")
    return gap


def _name(food):
    return food.key if isinstance(food, Row) else "this base"


def _celsius(kelvin):
    return f"{round(kelvin - ZERO, 2) + 0.0:g} °C"


@boundary(Plank, cold=Row, food=Food, **_SIZES, valid=_SIZES_VALID)
def plank(cold, food, shape, thickness, height=None, length=None):
    """Freezing time by Plank: density * latent heat / (tf - tm) * (P D / h + R D**2 / k).

    Parameters
    ----------
    cold : Row with temperature, film_coefficient
    food : Food: a Row or a Mix
    shape, thickness, height, length : as `plank_factors`, whole sizes [mm]

    Returns
    -------
    time : [min]
    film_share : share of it that is the film's doing [percent]: near 100 a colder or quicker conducting piece gains little,
        a fan or a liquid much

    Raises
    ------
    OutOfRange
        The cold place is not below the freezing point.

    Notes
    -----
    A lower bound, 15 to 45 % low: it leaves out the cooling before and below freezing, and takes all the water to freeze at tf.

    Source
    ------
    plank-1941 (memory); printed examples in earle-earle and singh-heldman.
    """
    gap, (film, inner, _) = _below("plank", cold, food), _resistances("plank", shape, thickness, height, length)
    film, inner = film / cold.si("film_coefficient"), inner / fact(food, "frozen_thermal_conductivity")
    return fact(food, "density") * fact(food, "latent_heat") / gap * (film + inner), film / (film + inner)


@boundary("W/m**2/kelvin", film="W/m**2/kelvin", wrap="mm", wall_conductivity="W/m/kelvin",
          valid={"film": (0.1, 1e5), "wrap": (0, 50), "wall_conductivity": (0.02, 400)})
def wrapped_film(film, wrap, wall_conductivity):
    """Film with a wrap or bag in series: 1 / (1 / film + wrap / conductivity).

    film [W/m²/K]; wrap: its thickness [mm]; wall_conductivity [W/m/K]; returns [W/m²/K].
    Source: resistances in series (incropera-dewitt, chapter 3).
    """
    return 1 / (1 / film + wrap / wall_conductivity)


# --- one published improvement ---------------------------------------------------------------------------------------------------------------
@boundary("min", start="degC", end="degC", **_SOLVED, valid={"start": (0, 40), "end": (-40, -5), "thickness": _SIZES_VALID["thickness"]})
def pham(start, end, cold, food, shape, thickness):
    """Freezing time by Pham's method: Plank with the cooling before and after, each on its own mean difference.

    Parameters
    ----------
    start, end : of the piece, and of its centre at the end [degC]
    cold : Row with temperature (-45 to -15 °C), film_coefficient
    food : Food: a Row or a Mix
    shape : slab, cylinder (endless), sphere;  thickness : whole thickness or diameter [mm]

    Returns
    -------
    [min]

    Raises
    ------
    OutOfRange
        Outside its range: surroundings -45 to -15 °C, Biot number 0.02 to 11 on the half thickness. Nitrogen is far outside.

    Notes
    -----
    T_fm = 1.8 + 0.263 T_end + 0.105 T_around; t = half / (n film) * (H1 / D1 + H2 / D2) * (1 + Bi / 2), n 1, 2, 3 for slab, cylinder, sphere.
    About 10 to 15 % above the enthalpy method on our two reference pieces.

    Source
    ------
    pham-1986, from memory; its printed answers were not found.
    """
    around, film, half = cold.si("temperature") - ZERO, cold.si("film_coefficient"), thickness / 2
    biot = film * half / fact(food, "frozen_thermal_conductivity")
    if not -45 <= around <= -15 or np.any(biot < 0.02) or np.any(biot > 11):
        raise OutOfRange(f"pham: holds for surroundings from -45 to -15 °C and Biot numbers 0.02 to 11; here {around:.4g} °C and "
                         f"{float(np.ravel(biot)[0]):.2g}: use `freezing_time`")
    start, end = start - ZERO, end - ZERO
    mean = 1.8 + 0.263 * end + 0.105 * around
    before = fact(food, "density") * fact(food, "heat_capacity") * (start - mean)
    during = fact(food, "density") * (fact(food, "latent_heat") + fact(food, "frozen_heat_capacity") * (mean - end))
    sums = before / ((start + mean) / 2 - around) + during / (mean - around)
    return half / (fronts.DIMENSION[shape] * film) * sums * (1 + biot / 2)


# --- the enthalpy method -------------------------------------------------------------------------------------------------------------------
def _ready(food, shape, thickness, start):
    """(body, material, frozen share at its nodes, share of the volume in each cell, content at the start) of a piece."""
    body, (table, share) = fronts.body(shape, thickness / 2, cells=CELLS), material(food)
    return body, table, share, body.volume / body.volume.sum(), fronts.content_at(table, start)


def _place(cold):
    return fronts.Surroundings(cold.si("temperature") - ZERO, cold.si("film_coefficient"))


@boundary("min", start="degC", end="degC", **_SOLVED, scalars=True,
          valid={"start": _START, "end": (-190, 20), "thickness": _SIZES_VALID["thickness"]})
def freezing_time(start, end, cold, food, shape, thickness):
    """Time until the centre of a piece has come to a temperature, by the enthalpy method.

    Parameters
    ----------
    start, end : of the piece, and of its centre at the end [degC]; -10 is usual in tables
    cold : Row with temperature, film_coefficient
    food : Food: a Row or a Mix
    shape : slab (cooled on both faces), cylinder (endless), sphere
    thickness : whole thickness or diameter [mm]

    Returns
    -------
    [min]

    Raises
    ------
    OutOfRange
        The centre never gets there; the piece is frozen already.

    Notes
    -----
    Ice by 1 - tf / t, heat capacity and conductivity in proportion to it; finite volumes (`fronts`), within 1 % of converged solutions
    of other hands. For boxes and short cylinders use `plank`: here is no solver for them.

    Source
    ------
    own-derivation: `fronts.freezing`, `fronts.march`; reference solutions in datasets/published/pieces.csv.
    """
    start, end = start - ZERO, end - ZERO
    if end <= cold.si("temperature") - ZERO:
        raise OutOfRange(f"freezing_time: {end:.4g} °C is never reached: the food only nears the {_celsius(cold.si('temperature'))} around it")
    if end >= start:
        raise OutOfRange(f"freezing_time: a piece at {start:.4g} °C need not be cooled to {end:.4g} °C")
    body, table, _, _, full = _ready(food, shape, thickness, start)

    def past(content):
        return end - fronts.centre(body, fronts.potential(body, table, content))
    return fronts.march(body, table, full, [(LONG, _place(cold), past)], accuracy=3e-3).time[-1]


Dip = record("Dip", time="s", heat="kJ/kg", centre="degC", surface="degC")


@boundary(Dip, scalars=True, start="degC", target="degC", **_SOLVED,
          valid={"start": _START, "target": (-60, -1), "thickness": _SIZES_VALID["thickness"]})
def dip(start, target, cold, food, shape, thickness):
    """How long to dip a piece so that, left to itself, it comes to rest at a temperature throughout. It stops on heat, not on the centre.

    Parameters
    ----------
    start, target : before the dip and once all is even [degC]
    cold, food, shape, thickness : as `freezing_time`; thickness [mm]

    Returns
    -------
    time in the cold [s]; heat taken by each kilogram [kJ/kg]; centre and surface at the moment it is lifted out [degC]

    Raises
    ------
    OutOfRange
        The target lies above the freezing point (nothing would freeze), or the cold place is too warm for it.

    Source
    ------
    own-derivation, as `freezing_time`.
    """
    start, target, begins = start - ZERO, target - ZERO, fact(food, "freezing_point") - ZERO
    if target >= begins:
        raise OutOfRange(f"dip: at {target:.4g} °C nothing of {_name(food)} is frozen: it begins at {begins:.4g} °C; aim colder")
    if target <= cold.si("temperature") - ZERO:
        raise OutOfRange(f"dip: {target:.4g} °C is never reached in {_celsius(cold.si('temperature'))}")
    body, table, _, whole, full = _ready(food, shape, thickness, start)
    end = fronts.content_at(table, target)
    run = fronts.march(body, table, full, [(LONG, _place(cold), lambda content: end - content @ whole)], accuracy=3e-3)
    centre = fronts.centre(body, fronts.potential(body, table, run.content[-1]))
    return run.time[-1], (full - end) / fact(food, "density"), centre + ZERO, run.surface[-1] + ZERO


History = record("History", time="s", centre="degC", surface="degC", even="degC", frozen="percent", heat="kJ/kg", depths="mm", inside="degC")


@boundary(History, start="degC", durations="s", temperatures="degC", films="W/m**2/kelvin", food=Food, shape=SHAPES, thickness="mm",
          valid={"start": (-60, 100), "durations": (0, 1e7), "temperatures": (-196, 100), "films": (0, 1e5), "thickness": (0.5, 500)},
          scalars=("start", "thickness"))
def history(start, durations, temperatures, films, food, shape, thickness):
    """What happens inside a piece that goes from one place to the next: a dip, a rest in the freezer, the warm room.

    Parameters
    ----------
    start : of the piece [degC]
    durations, temperatures, films : (n,) of the places, in order [s, degC, W/m²/K]; film 0 wraps it so
        well that no heat passes
    food, shape, thickness : as `freezing_time`; thickness [mm]

    Returns
    -------
    time (rows,) [s], the start and every step of the solver
    centre, surface (rows,) [degC]
    even (rows,) : what the piece would come to if it were left to itself [degC]
    frozen (rows,) : share of what can freeze that is ice [percent]
    heat (rows,) : taken out of each kilogram so far [kJ/kg]
    depths (cells,) : of the places below the surface, from the centre outwards [mm]
    inside (rows, cells) [degC]

    Raises
    ------
    ValueError
        Not as many durations as temperatures and films.

    Source
    ------
    own-derivation, as `freezing_time`.
    """
    columns = [np.atleast_1d(column) for column in (durations, temperatures, films)]
    if len({column.shape for column in columns}) > 1 or columns[0].ndim != 1:
        raise ValueError("history: give as many durations as temperatures and films, one of each a place")
    stages = [(float(time), fronts.Surroundings(float(at) - ZERO, float(film))) for time, at, film in zip(*columns)]
    body, table, share, whole, full = _ready(food, shape, thickness, start - ZERO)
    run = fronts.march(body, table, full, stages, accuracy=5e-3)
    inside, mean = fronts.potential(body, table, run.content), run.content @ whole
    return (run.time, fronts.centre(body, inside) + ZERO, run.surface + ZERO, np.interp(mean, table.content, table.potential) + ZERO,
            np.interp(run.content, table.content, share) @ whole, (full - mean) / fact(food, "density"),
            body.edges[-1] - (body.edges[1:] + body.edges[:-1]) / 2, inside + ZERO)


class Beside(NamedTuple):
    """One cold place beside the others."""
    cold: str
    plank: object               # Plank
    solved: object              # min
    low_by: object              # how far Plank lies below it, percent


def beside(start, end, food, shape, thickness, places=None):
    """The same piece in every cold place whose row reaches `end`, slowest first: tuple of `Beside`. Arguments as `freezing_time`.

    places: rows; left out, all kinds of "cold place".
    """
    rows = [row(key) for key in tables.kinds("cold place")[1:]] if places is None else places
    found = []
    for cold in rows:
        if cold.temperature < end:
            quick, solved = plank(cold, food, shape, thickness), freezing_time(start, end, cold, food, shape, thickness)
            found.append(Beside(cold.key, quick, solved, (1 - quick.time / solved).to("percent")))
    return tuple(sorted(found, key=lambda one: -one.solved.m))
