"""Fits: a law of the bench fitted to readings, and how far to trust what comes out.

`fit` gives values with standard errors, `at` and `band` the law with them; `sentence`, `odd`, `bends` and `next_reading` say what that means,
`told` all of it; `keep` puts it on the shelf, where explorers, cards and sheets find it by name. Worked sums and exercises keep the shipped rows.
"""
import functools
import math
import warnings
from types import MappingProxyType
from typing import NamedTuple

import numpy as np
from scipy.optimize import OptimizeWarning, curve_fit
from scipy.special import ndtri, stdtrit                     # quantiles; scipy.stats would take as long to load as all the rest

from . import bench, tables
from .bench import BadReadings, Readings, difference, from_si, in_column, take_given, to_si
from .tables import Row
from .units import OutOfRange, Q_, Quantity, one_of, plain, show


class Fit(NamedTuple):
    """A law fitted to readings. values: quantities by name, those held too; errors: standard errors of the free ones, None where the
    readings are as many as the numbers sought; covariance of the free ones in the law's units; scatter of the readings about the law,
    as a share where the law says relative; freedom: readings less numbers sought."""
    readings: Readings
    values: MappingProxyType
    errors: MappingProxyType
    covariance: object
    free: tuple
    freedom: int
    scatter: float

    law = property(lambda self: self.readings.law)


def _curve(law, given, free, held):
    """f(x, *free) in the law's units."""
    places, inside = {name: i for i, name in enumerate(free)}, _inside(law, given)

    def f(x, *numbers):
        parameters = [to_si(numbers[places[p.name]] if p.name in places else held[p.name], p.unit) for p in law.parameters]
        with np.errstate(all="ignore"):
            return from_si(law.core(to_si(x, law.x.unit), *parameters, **inside), law.y.unit)
    return f


def _inside(law, given):
    """What stands beside the readings, in SI."""
    return {c.name: given[c.name] if c.unit == "row" else to_si(given[c.name], c.unit) for c in law.given}


def fit(readings, hold=None):
    """Fit the law of these readings by least squares.

    Parameters
    ----------
    readings : `Readings`
    hold : {parameter: quantity} that are known and stay as they are. With all but one held, a single reading is a calibration.

    Returns
    -------
    Fit. With an uncertainty for each reading the errors come from it; else from the scatter about the law.

    Raises
    ------
    BadReadings
        fewer readings than numbers sought; readings that do not tell them apart; a value beyond what the parameter can be.
    TypeError, OtherKind, OutOfRange
        what is held is no parameter, has no unit or the wrong one.

    Source
    ------
    scipy.optimize.curve_fit; readings that scatter by a share of themselves are weighted by the curve, found first without.
    """
    law, held = readings.law, {}
    known = {p.name: p for p in law.parameters}
    for name, value in (hold or {}).items():
        if name not in known:
            raise TypeError(f"{law.key} has no {name}: it finds {', '.join(known)}")
        held[name] = float(in_column(known[name], value, f"{law.key}: {name}"))
    free = tuple(name for name in known if name not in held)
    count = len(readings.x)
    if not free:
        raise TypeError(f"{law.key}: everything is held, nothing is left to find")
    if count < len(free):
        raise BadReadings([f"{law.key} seeks {len(free)} numbers ({', '.join(free)}) and has {count} reading{'s' * (count != 1)}: "
                           f"measure at {len(free) - count} more, or hold what you know."])
    f, sigma = _curve(law, readings.given, free, held), readings.uncertainty
    start = [_start(known[name], readings) for name in free]
    bounds = tuple(np.array([getattr(known[name], end) for name in free], float) for end in ("low", "high"))
    start = np.clip(start, *(np.where(np.isfinite(end), end + sign * 1e-6 * np.maximum(np.abs(np.nan_to_num(end)), 1e-3), end)
                             for end, sign in zip(bounds, (1, -1))))       # inside, where the search can begin
    least = 1e-3 * np.abs(readings.y).max()                  # a reading of nothing has not all the weight
    if law.relative and not least:
        raise BadReadings([f"{law.key}: {law.y.name} is 0 in every reading: there is nothing to fit."])
    passes = [sigma] if sigma is not None or not law.relative else [np.maximum(np.abs(readings.y), least), None, None]
    for weights in passes:
        if weights is None and law.relative and sigma is None:
            weights = np.maximum(np.abs(f(readings.x, *start)), least)
        start, covariance = _curve_fit(f, readings, start, weights, bounds, sigma is not None)
    weights = np.ones(count) if weights is None else weights
    freedom = count - len(free)
    spread = math.sqrt(float((((readings.y - f(readings.x, *start)) / weights) ** 2).sum()) / freedom) if freedom else math.nan
    unknown = not freedom and sigma is None
    if not _tell_apart(_gradient(f, readings.x, start, 1e-4 * np.maximum(np.abs(start), 1e-3)) / weights, start, readings.y / weights):
        mend = f"vary {law.x.name} more" if len(free) > 1 else "it does not change what you measure here"
        raise BadReadings([f"These readings cannot tell {' and '.join(map(_spoken, free))}: {mend}, or hold what you know."])
    for name, value, low, high in zip(free, start, *bounds):
        near = 1e-6 * abs(value)
        if low and value <= low + near or high and value >= high - near:
            raise BadReadings([f"The readings push {_spoken(name)} to {plain(value)} {known[name].unit}, the end of what it can be: look at units and columns, "
                               "and plot the readings first."])
    values = {p.name: _out(held[p.name] if p.name in held else start[free.index(p.name)], p.unit) for p in law.parameters}
    errors = {name: None if unknown else _out(math.sqrt(covariance[i, i]), difference(known[name].unit)) for i, name in enumerate(free)}
    return Fit(readings, MappingProxyType(values), MappingProxyType(errors), covariance, free, freedom, spread)


def _tell_apart(slopes, numbers, y):
    """Whether each number moves the curve, and each in a way of its own."""
    sizes = np.sqrt((slopes ** 2).sum(axis=1))
    if np.any(sizes * np.maximum(np.abs(numbers), 1e-9) <= 1e-9 * np.sqrt((y ** 2).sum())) and np.any(sizes <= 1e-12 * max(sizes.max(), 1.0)):
        return False
    return len(sizes) == 1 or np.linalg.svd(slopes / sizes[:, None], compute_uv=False).min() > 1e-6


def _curve_fit(f, readings, start, weights, bounds, absolute):
    """curve_fit on numbers near 1: its steps for slopes are not smaller than for 1, far too wide for a rate of 0.0005."""
    size = np.where(np.abs(start) > 1e-12, np.abs(start), 1.0)
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", OptimizeWarning)     # no covariance: told by who asked
        try:
            found, covariance = curve_fit(
                lambda x, *numbers: f(x, *(np.array(numbers) * size)), readings.x, readings.y, start / size, sigma=weights, absolute_sigma=absolute,
                bounds=tuple(end / size for end in bounds), method="trf", jac="3-point", x_scale="jac", ftol=1e-14, xtol=1e-14, gtol=1e-14, max_nfev=2000)
            return found * size, covariance * np.outer(size, size)
        except (RuntimeError, ValueError) as error:
            raise BadReadings([f"No fit of {readings.law.key} was found ({str(error).rstrip('.')}): look at units and columns, and plot the "
                               "readings first."]) from None


def _start(parameter, readings):
    if not callable(parameter.start):
        return parameter.start
    law = readings.law
    with np.errstate(all="ignore"):
        start = parameter.start(to_si(readings.x, law.x.unit), to_si(readings.y, law.y.unit), **_inside(law, readings.given))
    return from_si(start, parameter.unit) if math.isfinite(start) else 1.0


def _out(number, unit):
    number = float(number) if np.ndim(number) == 0 else number
    return Q_(number, unit) if unit else number


# --- what it means -------------------------------------------------------------------------------------------------------------------
def _bare(value):
    return float(getattr(value, "magnitude", value))


def _ready(fit, given):
    """(f, numbers) of a fit; what stood beside the readings stands unless it is given anew. TypeError where it differed between them."""
    beside = {**fit.readings.given, **{name: value for name, value in take_given(fit.law, {**_quantities(fit), **given}, -1).items() if name in given}}
    for name, value in beside.items():
        if not isinstance(value, Row) and np.ndim(value):
            raise TypeError(f"{fit.law.key}: {name} was not the same for all readings: say which, {name}=...")
    return _sought(fit, beside)


def _quantities(fit):
    units = {column.name: column.unit for column in fit.law.given}
    return {name: value if isinstance(value, Row) else _out(float(np.ravel(value)[0]), units[name]) for name, value in fit.readings.given.items()}


def at(fit, x, **given):
    """The fitted law at x: a scalar or array quantity of the law's y. given: what stands beside the readings, where it is another now."""
    f, numbers = _ready(fit, given)
    return _out(np.asarray(f(in_column(fit.law.x, x, fit.law.x.name), *numbers))[()], fit.law.y.unit)


def _steps(fit):
    """A hundredth of each standard error: how far the numbers sought move where slopes are taken."""
    numbers = np.array([_bare(fit.values[name]) for name in fit.free])
    return np.maximum(0.01 * np.sqrt(np.maximum(np.diag(np.nan_to_num(fit.covariance)), 0.0)), np.maximum(1e-6 * np.abs(numbers), 1e-12))


def _gradient(f, x, numbers, steps):
    """Slopes of the curve with each number sought, (n, x), by central differences."""
    rows = []
    for i, step in enumerate(steps):
        up, down = (f(x, *np.where(np.arange(len(numbers)) == i, numbers + sign * step, numbers)) for sign in (1, -1))
        rows.append((np.asarray(up) - down) / (2 * step) * np.ones_like(x))
    return np.array(rows)


def _reach(fit, coverage):
    """Student's t for this coverage: how many standard errors; endless degrees where the readings brought their own uncertainty."""
    if not 0 < coverage < 1:
        raise OutOfRange(f"coverage = {plain(coverage)} is outside 0 to 1: 0.95 is usual")
    own = fit.readings.uncertainty is not None
    return float(ndtri((1 + coverage) / 2) if own else stdtrit(fit.freedom, (1 + coverage) / 2))


def band(fit, x, coverage=0.95, **given):
    """(low, high) between which the law itself lies at x with this coverage; single readings scatter more widely.

    Raises BadReadings where no error is known.  Source: jcgm-100-2008, 5.2.2 equation 13 and G.3.2.
    """
    _need_errors(fit)
    (f, numbers), x = _ready(fit, given), np.asarray(in_column(fit.law.x, x, fit.law.x.name), float)
    slopes = _gradient(f, x, numbers, _steps(fit))
    half = _reach(fit, coverage) * np.sqrt(np.einsum("i...,ij,j...->...", slopes, fit.covariance, slopes))
    middle = np.asarray(f(x, *numbers))
    return tuple(_out((middle + sign * half)[()], fit.law.y.unit) for sign in (-1, 1))


def _need_errors(fit):
    if any(error is None for error in fit.errors.values()):
        raise BadReadings([f"As many readings as numbers sought: the law goes through them all and no error is known. Measure {fit.law.y.name} once more."])


def _sought(fit, beside):
    """(f, numbers): the curve of a fit with what stands beside it, and the numbers found."""
    held = {name: _bare(value) for name, value in fit.values.items() if name not in fit.free}
    return _curve(fit.law, beside, fit.free, held), np.array([_bare(fit.values[name]) for name in fit.free])


def _weights(fit):
    """What one reading scatters by, in the law's unit, the curve at the readings, and its slopes there."""
    f, numbers = _sought(fit, fit.readings.given)
    curve = np.asarray(f(fit.readings.x, *numbers)) * np.ones_like(fit.readings.x)
    if fit.readings.uncertainty is not None:
        return fit.readings.uncertainty, curve, _gradient(f, fit.readings.x, numbers, _steps(fit))
    return fit.scatter * (np.abs(curve) if fit.law.relative else np.ones_like(curve)), curve, _gradient(f, fit.readings.x, numbers, _steps(fit))


def residuals(fit):
    """Reading less law, for each reading, in y's unit (a difference for temperatures)."""
    return _out(_bare_residuals(fit), difference(fit.law.y.unit))


def _bare_residuals(fit):
    f, numbers = _sought(fit, fit.readings.given)
    return fit.readings.y - f(fit.readings.x, *numbers)


def odd(fit, risk=0.05):
    """Readings that stand apart from all others: ((where, sentence), ...). Measure such a one again before you throw it out.

    Each is judged by the fit without it (externally studentised residual), at `risk` for all together (Bonferroni); at least 2 must be
    left over beyond the numbers sought.  Source: cook-weisberg-1982 (memory).
    """
    if fit.freedom < 2 or fit.readings.uncertainty is not None or np.abs(_bare_residuals(fit)).max() <= 1e-9 * np.abs(fit.readings.y).max():
        return ()
    weights, curve, slopes = _weights(fit)
    slopes, off = slopes / weights, (fit.readings.y - curve) / weights
    leverage = np.clip(np.einsum("ik,ij,jk->k", slopes, fit.covariance, slopes), 0, 1 - 1e-9)
    inner = off ** 2 / (1 - leverage)
    outer = np.sqrt(inner * (fit.freedom - 1) / np.maximum(fit.freedom - inner, 1e-12))
    limit = stdtrit(fit.freedom - 1, 1 - risk / 2 / len(off))
    def told(i):
        reading, law = (show(_out(numbers[i], fit.law.y.unit)) for numbers in (fit.readings.y, curve))
        far = show(_out(abs(fit.readings.y[i] - curve[i]), difference(fit.law.y.unit)), 2)
        return f"{fit.readings.where[i].capitalize()}: {reading}, where the law says {law}; {far} off is more than scatter. Measure it again."
    return tuple((fit.readings.where[i], told(i)) for i in np.flatnonzero(outer > limit))


def bends(fit, risk=0.05):
    """Whether readings lie above and below the law in too few runs along x: then the law bends and the readings do not, or the other way.

    The chance of so few runs by luck is below `risk`: exact count of arrangements. False below 6 readings.
    Source: wald-wolfowitz-1940 (memory).
    """
    if len(fit.readings.x) < 6:
        return False
    off = _bare_residuals(fit)[np.argsort(fit.readings.x, kind="stable")]
    if np.abs(off).max() <= 1e-9 * np.abs(fit.readings.y).max():
        return False                                         # rounding, not scatter
    up = off[off != 0] > 0
    above, below, runs = int(up.sum()), int((~up).sum()), 1 + int((up[1:] != up[:-1]).sum())
    if not above or not below:
        return False
    log = lambda n, k: math.lgamma(n + 1) - math.lgamma(k + 1) - math.lgamma(n - k + 1) if 0 <= k <= n else -math.inf      # noqa: E731
    chance = 0.0
    for r in range(2, runs + 1):
        k = r // 2
        ways = [(k - 1, k - 1), (k - 1, k - 1)] if r % 2 == 0 else [(k, k - 1), (k - 1, k)]
        chance += sum(math.exp(log(above - 1, a) + log(below - 1, b) - log(above + below, above)) for a, b in ways)
    return chance < risk


class Next(NamedTuple):
    """Where to measure next: x; the parameter it helps most; its standard error now and then."""
    x: object
    parameter: str
    now: object
    then: object
    sentence: str


def weakest(fit):
    """The parameter with the largest standard error for its size; of a temperature for the span of the readings."""
    _need_errors(fit)
    def size(name):
        unit = next(p.unit for p in fit.law.parameters if p.name == name)
        whole = float(np.ptp(fit.readings.y)) if unit in tables.DIFFERENCE else abs(_bare(fit.values[name]))
        return _bare(fit.errors[name]) / max(whole, 1e-300)
    return max(fit.free, key=size)


def next_reading(fit, between=None, **given):
    """Which setting would narrow the weakest parameter most, if one reading were added that scatters as the others do.

    between : (low, high) quantities of what you can set; left out: the measured span, half of it more above, and down to half the least. Returns `Next`.
    Raises BadReadings where no error is known.
    Source: the covariance after one more reading (own-derivation: the sum of information, Sherman-Morrison formula).
    """
    name = weakest(fit)
    if not fit.covariance.any():
        raise BadReadings(["These readings lie on the law to the last digit: nothing is left to narrow."])
    f, numbers = _ready(fit, given)
    low, high = (float(in_column(fit.law.x, end, fit.law.x.name)) for end in between) if between else _span(fit)
    x = np.linspace(low, high, 201)
    slopes, which = _gradient(f, x, numbers, _steps(fit)), fit.free.index(name)
    scatter = (float(np.mean(fit.readings.uncertainty)) if fit.readings.uncertainty is not None
               else fit.scatter * (np.abs(f(x, *numbers)) if fit.law.relative else 1.0))
    toward = fit.covariance @ slopes
    after = fit.covariance[which, which] - toward[which] ** 2 / (scatter ** 2 + (slopes * toward).sum(axis=0))
    best = int(np.nanargmin(after))
    alike = np.nanmax(after) <= 1.02 * after[best]
    setting, then = _out(float(x[best]), fit.law.x.unit), _out(math.sqrt(max(after[best], 0.0)), difference(_parameter(fit, name).unit))
    return Next(setting, name, fit.errors[name], then,
                (f"One more reading, at any {fit.law.x.name}, would narrow {_spoken(name)}" if alike else
                 f"Measure next at {fit.law.x.name} {show(setting, 2)}: it would narrow {_spoken(name)} most,")
                + f" from ± {show(fit.errors[name], 2)} to ± {show(then, 2)}.")


def _span(fit):
    low, high = float(fit.readings.x.min()), float(fit.readings.x.max())
    half = (high - low) / 2 or abs(high) / 2 or 1.0
    return max(low / 2 if low > 0 else low - half, fit.law.x.low), min(high + half, fit.law.x.high)


def _parameter(fit, name):
    return next(p for p in fit.law.parameters if p.name == name)


def _spoken(name):
    return name.replace("_", " ")


def plus_minus(value, error):
    """'1.8 ± 0.2 mm': the error to one digit, to two where it starts with 1, the value to the same place."""
    unit = show(value).partition(" ")[2] if isinstance(value, Quantity) else ""
    number, off = _bare(value), _bare(error)
    if not off > 1e-9 * abs(number) or not math.isfinite(off):
        return show(value)
    digits = 2 if f"{off:.1e}"[0] == "1" else 1
    places = digits - 1 - math.floor(math.log10(float(f"{off:.{digits - 1}e}")))
    written = [f"{round(x, places) + 0.0:.{max(places, 0)}f}" for x in (number, off)]
    return f"{' ± '.join(written)} {unit}".rstrip()


def sentence(fit, expect=None):
    """What was found, in words: 'your exponent 1.8 ± 0.2 agrees with 2'. ± is one standard error.

    expect : {parameter: value or (low, high)} in place of the law's own. It agrees if it lies within the 95 % range of the fit.
    """
    expected = {p.name: p.expected for p in fit.law.parameters if p.expected is not None}
    for name, value in (expect or {}).items():
        one_of(name, tuple(fit.values), "a parameter")
        ends = value if isinstance(value, tuple) else (value,)
        column = _parameter(fit, name)._replace(low=-math.inf, high=math.inf)
        expected[name] = tuple(float(in_column(column, end, name)) for end in ends)
    parts = []
    for name in fit.free:
        value, error, unit = fit.values[name], fit.errors[name], _parameter(fit, name).unit
        if error is None:
            parts.append(f"your {_spoken(name)} is {show(value)}, from as many readings as numbers sought: no error is known")
            continue
        said = f"your {_spoken(name)} {plus_minus(value, error)}"
        if name not in expected:
            parts.append(said.replace(f"your {_spoken(name)}", f"your {_spoken(name)} is", 1))
            continue
        low, *rest = np.atleast_1d(expected[name]).tolist()
        high = rest[-1] if rest else low
        name_of_unit = show(_out(low, unit)).partition(" ")[2]
        told = f"{f'{low:g}' if low == high else f'{low:g} to {high:g}'} {name_of_unit}".rstrip()
        number, off = _bare(value), _bare(error)
        away = max(low - number, number - high, 0.0) / max(off, 1e-9 * abs(number), 1e-300)
        parts.append(f"{said} agrees with {told}" if away <= _reach(fit, 0.95) else
                     f"{said} does not agree with {told}: it lies {plain(away, 2)} standard errors {'below' if number < low else 'above'}")
    text = "; ".join(parts)
    return f"{text[:1].upper()}{text[1:]}."


def told(fit, expect=None):
    """All that a fit says, as sentences: what was found, readings that stand apart, a law that bends, what to measure next."""
    said = [sentence(fit, expect), *(text for _, text in odd(fit))]
    if bends(fit):
        said.append(f"The readings lie above the law in one stretch of {fit.law.x.name} and below it in another: the law is not quite theirs there.")
    if all(error is not None for error in fit.errors.values()):
        said.append(next_reading(fit).sentence if not any(np.ndim(v) for v in fit.readings.given.values() if not isinstance(v, Row)) else
                    f"The weakest is {_spoken(weakest(fit))}.")
    else:
        said.append(f"Measure {fit.law.y.name} at one more {fit.law.x.name}: only then an error is known.")
    return tuple(said)


# --- keeping it ----------------------------------------------------------------------------------------------------------------------
def keep(fit, product, kind=None, lot="", date="", note=""):
    """Put what was found on the shelf as `product`; `tables.row(product)` carries it from then on, marked `yours`.

    kind : the shipped row that it is a kind of, for all that was not measured; left out where the product is known already. ± is the
    95 % range, since a row's low and high are a range; none where no error is known.
    Raises ValueError where the law finds nothing that a row could carry, OutOfRange where a row cannot carry such a value, LookupError for an
    unknown kind; then nothing is written.
    """
    kept = [(p.shelf, p.unit, fit.values[p.name], fit.errors.get(p.name)) for p in fit.law.parameters if p.shelf]
    kept += [(c.shelf, c.unit, _quantities(fit)[c.name], None) for c in fit.law.given if c.shelf]
    if not kept:
        raise ValueError(f"{fit.law.key} finds {', '.join(fit.values)}: no row of the tables carries that, so there is nothing to keep")
    known = tables.kinds()
    if product not in known and kind is None:
        raise ValueError(f"{product!r} is new: say what it is a kind of, kind='agar' for example")
    tables.row(product if kind is None else kind).but(**{name: value for name, _, value, _ in kept})         # all or nothing goes on the shelf
    count, cells = len(fit.readings.x), {"product": product, "lot": lot, "date": date}
    lines = [{**cells, "property": "is", "value": kind, "unit": ""}] if product not in known else []
    for name, unit, value, error in kept:
        reach = f"{_reach(fit, 0.95) * _bare(error):.3g}" if error is not None else ""
        lines.append({**cells, "property": name, "value": f"{_bare(value):.5g}", "unit": unit, "plus_minus": reach,
                      "note": note or f"{fit.law.key}, {count} reading{'s' * (count != 1)} at the bench"})
    for line in lines:
        tables.add_to_shelf(line)
    return tuple((line["property"], line["value"], line["unit"]) for line in lines)


@functools.cache
def _shipped(readings, law):
    return fit(bench.read(bench.law(law), bench.BENCH / f"{readings}.csv"))


def fitted(readings, law, parameter, what="value"):
    """One number of a fit to a shipped file, for the checks against print: `what` is value, error or scatter; a pure number.

    readings : name of a file in datasets/bench; law : its name; parameter : one that the law finds.
    """
    found = _shipped(readings, law)
    one_of(parameter, found.free, "a parameter")
    one_of(what, ("value", "error", "scatter"), "what")
    return found.scatter if what == "scatter" else _bare((found.values if what == "value" else found.errors)[parameter])
