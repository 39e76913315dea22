"""A slow middle: heat conducted out of a set piece by the full series, in slab, cylinder, sphere, short cylinder and box.

The dimensionless functions take Biot and Fourier numbers on the half thickness or radius, as textbooks do; the others take whole
sizes, as a ruler gives them. For surroundings that change, or for freezing, see `fronts`.
"""
import numpy as np
from scipy.special import erfc, erfcx, j0, j1

from .tables import Row
from .units import OutOfRange, boundary, record

SHAPES = ("slab", "cylinder", "sphere")
_DIMENSIONS = {"slab": 1, "cylinder": 2, "sphere": 3}
_LAST_ROOTS = {"slab": np.pi / 2, "cylinder": 2.404825557695773, "sphere": np.pi}    # first root where the film is endless
_TERMS = {"slab": 20, "cylinder": 120, "sphere": 20}     # a cylinder's early skin is the less exact one: leave it sooner


# --- the series ------------------------------------------------------------------------------------------------------------------
def _wave(shape, x):
    """The shape's wave (cos, J0, sin x / x) and minus its slope."""
    if shape == "slab":
        return np.cos(x), np.sin(x)
    if shape == "cylinder":
        return j0(x), j1(x)
    small = np.abs(x) < 1e-4
    wave = np.sinc(x / np.pi)
    return wave, np.where(small, x / 3, (wave - np.cos(x)) / np.where(small, 1.0, x))


def _roots(biot, shape, terms):
    """First roots of z * slope(z) = biot * wave(z), shape (..., terms), by Newton from where far waves have them."""
    d, biot, n = _DIMENSIONS[shape], np.asarray(biot, float)[..., None], np.arange(terms)
    far = n * np.pi + (d - 1) * np.pi / 4
    z = far + np.arctan2(biot - (d - 1) / 2, np.maximum(far, 1))
    z = np.where(n == 0, 1 / np.sqrt(1 / _LAST_ROOTS[shape] ** 2 + 1 / (d * biot)), z)
    for _ in range(12):
        wave, slope = _wave(shape, z)
        step = (z * slope - biot * wave) / (z * wave + (biot + 2 - d) * slope)
        z = z - step
        if np.max(np.abs(step) / z) < 1e-12:
            break
    return z


def history(biot, shape, place):
    """(function of the Fourier number giving the difference left, square of the first root); place 0 to 1, or "mean"."""
    d, terms, biot = _DIMENSIONS[shape], _TERMS[shape], np.asarray(biot, float)
    z, b = _roots(biot, shape, terms), biot[..., None]
    size = 2 * b ** 2 / ((z ** 2 + b ** 2 + (2 - d) * b) * z)
    if isinstance(place, str):
        weight = size * d / z
    else:
        weight = size / _wave(shape, z)[1] * _wave(shape, z * np.asarray(place, float)[..., None])[0]
    early = 36 / (terms * np.pi) ** 2                    # from here on the terms left out are below 1e-15

    def left(fourier):
        fourier = np.asarray(fourier, float)
        late = (weight * np.exp(-z ** 2 * np.maximum(fourier, early)[..., None])).sum(axis=-1)
        if np.all(fourier >= early):
            return late
        return np.where(fourier >= early, late, 1 - _skin(np.minimum(fourier, early), biot, d, place))
    return left, z[..., 0] ** 2


def _skin(fourier, biot, d, place):
    """Share of the difference already gone while the heat comes from a skin only: a half space; exact for slab and sphere then."""
    bend = biot - (d - 1) / 2
    bend = np.where(np.abs(bend) < 1e-6, 1e-6, bend)
    root = np.sqrt(np.maximum(fourier, 1e-30))
    film = bend * root
    if isinstance(place, str):
        small = np.abs(film) < 1e-3
        safe = np.where(small, 1.0, film)
        lag = np.where(small, 4 / 3 * film / np.sqrt(np.pi) - film ** 2 / 2, 1 - (erfcx(safe) - 1 + 2 * safe / np.sqrt(np.pi)) / safe ** 2)
        return d * biot * fourier * (1 - biot / bend * lag)
    deep = (1 - np.asarray(place)) / (2 * root)
    return biot / bend * (erfc(deep) - np.exp(-deep ** 2) * erfcx(deep + film)) / np.maximum(place, 0.05) ** ((d - 1) / 2)


def time_until(parts, left):
    """Time at which the product of the parts' differences has come down to left; 0 from 1 up, endless at 0 and below.

    parts : ((biot, shape, place, half size squared over diffusivity), ...)
    """
    runs = [(*history(biot, shape, place), scale) for biot, shape, place, scale in parts]
    rate = sum(square / scale for _, square, scale in runs)
    goal = np.log(np.clip(left, 1e-200, 1.0))

    def above(log_time):
        return sum(np.log(np.maximum(past(np.exp(log_time) / scale), 1e-300)) for past, _, scale in runs) - goal
    low, high = np.log(1e-12 / rate) + 0 * goal, np.log((len(runs) * np.log(2.1) - goal) / rate)
    over, under = above(low), above(high)
    at_once = over <= 0                                  # a surface so strongly chilled that no time passes
    for _ in range(40):                                  # Ridders: a bracket that also fits an exponential
        middle = (low + high) / 2
        at_middle = above(middle)
        found = middle + (middle - low) * at_middle / np.sqrt(np.maximum(at_middle ** 2 - over * under, 1e-300))
        at_found = above(found)
        for point, value in ((middle, at_middle), (found, at_found)):
            rises = value > 0
            low, over = np.where(rises & (point > low), point, low), np.where(rises & (point > low), value, over)
            high, under = np.where(~rises & (point < high), point, high), np.where(~rises & (point < high), value, under)
        if np.all((np.abs(at_found) < 1e-11) | (high - low < 1e-11)):
            break
    return np.where(at_once | (left >= 1), 0.0, np.where(left <= 0, np.inf, np.exp(found)))[()]


_NUMBERS = dict(fourier="", biot="", shape=SHAPES)
_NUMBERS_VALID = {"fourier": (0, 1e6), "biot": (1e-5, 1e6)}
Root = record("Root", root="", factor="")


@boundary(Root, biot="", shape=SHAPES, valid={"biot": _NUMBERS_VALID["biot"]})
def first_root(biot, shape):
    """First root and factor of the series, as tabulated: difference left at the centre = factor * exp(-root**2 * Fo) once Fo > 0.2.

    biot : film * half thickness (or radius) / conductivity, 0.00001 to 1,000,000; shape: slab, cylinder or sphere
    returns root, factor: pure numbers

    Source: incropera-dewitt, table 5.1 (zeta1, C1): zeta tan zeta = Bi; zeta J1 / J0 = Bi; 1 - zeta cot zeta = Bi.
    """
    d, z = _DIMENSIONS[shape], _roots(biot, shape, 1)[..., 0]
    return z, 2 * biot ** 2 / ((z ** 2 + biot ** 2 + (2 - d) * biot) * z * _wave(shape, z)[1])


@boundary("", place="", **_NUMBERS, valid={"place": (0, 1), **_NUMBERS_VALID})
def difference_left(fourier, biot, shape, place=None):
    """Share of the first temperature difference that is left, by the full series.

    Parameters
    ----------
    fourier : diffusivity * time / half thickness**2, 0 to 1,000,000
    biot : film * half thickness / conductivity, 0.00001 to 1,000,000
    shape : slab (cooled on both faces), cylinder (endless), sphere
    place : 0 centre (also when left out) to 1 surface

    Returns
    -------
    pure number, 1 at the start to 0; scalars and arrays that fit each other

    Notes
    -----
    Even at first, surroundings and film constant, nothing freezes. Early on, where the series would need hundreds of terms, the skin is
    a half space: slab and sphere within 1e-10, cylinder within 1e-4.

    Source
    ------
    carslaw-jaeger-1959, 3.11, 7.7, 9.4 (series); 2.7 (half space with a film).
    """
    return history(biot, shape, 0.0 if place is None else place)[0](fourier)


@boundary("", **_NUMBERS, valid=_NUMBERS_VALID)
def mean_left(fourier, biot, shape):
    """Share of the difference that is left on average: what a thermometer shows once the piece is stirred. Source: as `difference_left`."""
    return history(biot, shape, "mean")[0](fourier)


@boundary("", left="", biot="", shape=SHAPES, place="", valid={"left": (1e-12, 1), "biot": _NUMBERS_VALID["biot"], "place": (0, 1)})
def fourier_for(left, biot, shape, place=None):
    """Fourier number at which a share of the difference is left; `difference_left` the other way round.

    left 1e-12 to 1; biot, shape, place as there; returns a pure number.  Source: the same series, solved by Ridders' method.
    """
    return time_until(((biot, shape, 0.0 if place is None else place, 1.0),), np.asarray(left, float))


# --- pieces ------------------------------------------------------------------------------------------------------------------------
PIECES = SHAPES + ("box",)
_PIECE = dict(film="W/m**2/kelvin", food=Row, shape=PIECES, thickness="mm", height="mm", length="mm")
_PIECE_VALID = {"film": (0.1, 1e5), "thickness": (0.1, 1000), "height": (0.1, 3000), "length": (0.1, 3000)}
_TEMPERATURE = (-200, 150)


def diffusivity(food):
    """Thermal diffusivity of a food's Row [m²/s]: conductivity / (density * heat capacity)."""
    return food.si("thermal_conductivity") / (food.si("density") * food.si("heat_capacity"))


def need_sizes(who, shape, height, length):
    """ValueError where a piece has a size too few or too many for its shape."""
    if shape == "box" and (height is None or length is None):
        raise ValueError(f"{who}: a box has three sizes: give thickness, height and length")
    if shape in ("slab", "sphere") and height is not None or shape != "box" and length is not None:
        sizes = "a thickness (its diameter) and a height" if shape == "cylinder" else "one size, its thickness"
        raise ValueError(f"{who}: a {shape} has {sizes}; a box has three")


def _parts(who, film, food, shape, thickness, height, length, place=0.0):
    """A piece as a product of endless slabs and cylinders."""
    need_sizes(who, shape, height, length)
    rows = {"slab": (("slab", thickness),), "cylinder": (("cylinder", thickness), ("slab", height)), "sphere": (("sphere", thickness),),
            "box": (("slab", thickness), ("slab", height), ("slab", length))}[shape]
    return tuple((film * size / 2 / food.si("thermal_conductivity"), kind, place if isinstance(place, str) or i == 0 else 0.0,
                  (size / 2) ** 2 / diffusivity(food)) for i, (kind, size) in enumerate(rows) if size is not None)


@boundary("", film="W/m**2/kelvin", food=Row, thickness="mm", valid={"film": (0.1, 1e5), "thickness": (0.1, 1000)})
def biot(film, food, thickness):
    """Biot number: film * half thickness / conductivity. Small: one temperature throughout; large: the middle lags behind.

    film [W/m²/K], 0.1 to 100,000; food: Row with thermal_conductivity; thickness (whole) or diameter [mm]; returns a pure number.
    Source: incropera-dewitt, equation 5.9, on the half thickness.
    """
    return film * thickness / 2 / food.si("thermal_conductivity")


Inside = record("Inside", centre="degC", mean="degC", surface="degC")


@boundary(Inside, time="min", start="degC", surroundings="degC", **_PIECE,
          valid={"time": (0, 1e6), "start": _TEMPERATURE, "surroundings": _TEMPERATURE, **_PIECE_VALID})
def inside(time, start, surroundings, film, food, shape, thickness, height=None, length=None):
    """Temperatures in a piece that is not stirred, some time after its surroundings changed.

    Parameters
    ----------
    time : scalar or array [min]
    start, surroundings : even temperature at first; constant surroundings [degC]
    film : film coefficient, with the wall if there is one [W/m²/K]
    food : Row with density, heat_capacity, thermal_conductivity
    shape, thickness, height, length : slab (thickness), cylinder (diameter; height, or endless), sphere (diameter), box (all three):
        whole sizes [mm]

    Returns
    -------
    centre; mean; surface in the middle of the face that `thickness` measures [degC]

    Raises
    ------
    ValueError
        A size too few or too many for the shape.

    Notes
    -----
    Nothing freezes or sets on the way. Short cylinder and box by the product rule.

    Source
    ------
    As `difference_left`; product rule: carslaw-jaeger-1959, 1.15.
    """
    shares = []
    for place in (0.0, "mean", 1.0):
        share = 1.0
        for number, kind, where, scale in _parts("inside", film, food, shape, thickness, height, length, place):
            share = share * history(number, kind, where)[0](time / scale)
        shares.append(surroundings + (start - surroundings) * share)
    return Inside(*shares)


@boundary("min", start="degC", target="degC", surroundings="degC", **_PIECE,
          valid={"start": _TEMPERATURE, "target": _TEMPERATURE, "surroundings": _TEMPERATURE, **_PIECE_VALID})
def core_time(start, target, surroundings, film, food, shape, thickness, height=None, length=None):
    """Time until the middle of a piece that is not stirred has reached a temperature.

    start, target, surroundings [degC]; the rest as in `inside`; returns [min].
    Raises OutOfRange where the middle never gets there.  Source: as `inside`, solved by Ridders' method.
    """
    left = share_left(start, target, surroundings, "core_time")
    return time_until(_parts("core_time", film, food, shape, thickness, height, length), left)


def share_left(start, target, surroundings, who):
    """(target - surroundings) / (start - surroundings); OutOfRange in a cook's words where that is never reached."""
    with np.errstate(all="ignore"):
        left = np.asarray((target - surroundings) / np.asarray(start - surroundings, float))
    if not np.all(left > 0):
        raise OutOfRange(f"{who}: {celsius(target)} is never reached from {celsius(start)}: "
                         f"the food only nears the {celsius(surroundings)} around it")
    if np.any(left > 1):
        raise OutOfRange(f"{who}: from {celsius(start)} the food moves towards the {celsius(surroundings)} around it, "
                         f"away from {celsius(target)}")
    return left


def celsius(kelvin):
    """A bare temperature [K], or the first of many, for a sentence."""
    return f"{round(float(np.ravel(kelvin)[0]) - 273.15, 1) + 0.0:g} °C"
