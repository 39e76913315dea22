"""One implicit finite-volume solver for calcium gelling, freezing and plain conduction in a slab, cylinder or sphere.

    dH/dt = div(K grad u),   u = u(H),   K = K(H)

    H  content      conserved, per volume    mol/m3 total calcium    J/m3 enthalpy
    u  potential    drives the flow          mol/m3 free calcium     degC
    K  conductivity                          m2/s                    W/(m K)

A material is a table of H, u and K, linear between its nodes; the surroundings are one more cell, well mixed, behind a film.
Why it is built as it is:
* The unknown is H, never u: where u is flat (calcium all bound, a melting plateau) a row of the equations is the identity, where in u it
  would be singular. Corners of the table need no smoothing.
* Inside one material the flow is the difference of theta = integral of K du (Kirchhoff 1894). A table makes theta piecewise linear in H,
  so Newton's iteration is exact once no cell changes its piece.
* Steps are two-stage, second order, L-stable (Alexander 1977, SIAM J. Numer. Anal. 14:1006), as long as the difference from the
  first-order step on the way allows: in the flow through any face, which places a front, and in theta, which is temperature. A front
  that crosses a cell always makes some noise there, so a step is done again only where it is far out.
* That method can overshoot, backward Euler cannot: a step that leaves the range of its start and surroundings gives way to it.
"""
from bisect import bisect_right
from typing import NamedTuple

import numpy as np
from scipy.interpolate import PchipInterpolator
from scipy.linalg.lapack import dgtsv
from scipy.optimize import brentq

GAMMA = 1 - 0.5 ** 0.5
DIMENSION = {"slab": 1, "cylinder": 2, "sphere": 3}


class Material(NamedTuple):
    """Table of one material: content must rise from node to node, potential must not fall, conductivity must be positive."""
    content: np.ndarray         # (nodes,) H
    potential: np.ndarray       # (nodes,) u
    conductivity: np.ndarray    # (nodes,) K; between two nodes their mean


class Body(NamedTuple):
    """Cells of a body, inside out. A slab is one half of it, per area; a cylinder is per length."""
    shape: str                  # slab, cylinder or sphere
    layers: tuple               # cells in each layer
    edges: np.ndarray           # (cells + 1,) m, from 0
    volume: np.ndarray          # (cells,) m, m2 or m3
    area: np.ndarray            # (cells + 1,) 1, m or m2


class Surroundings(NamedTuple):
    """Well-mixed surroundings of one body."""
    potential: object           # number, or function of the time in the stage (s); with a finite capacity: at its start
    film: object = np.inf       # m/s or W/(m2 K); inf fixes the surface, 0 closes it; or function of (surface, surroundings)
    #                             potential with finite values, of which a step takes the mean of its two ends
    capacity: float = np.inf    # content per potential: volume of a bath (m3), heat capacity (J/K); per area or length as the body


class Run(NamedTuple):
    """What `march` returns: a row for the start and one for every step."""
    time: np.ndarray            # (rows,) s
    content: np.ndarray         # (rows, cells)
    taken: np.ndarray           # (rows,) content that came in through the surface
    surface: np.ndarray         # (rows,) potential at the surface
    surroundings: np.ndarray    # (rows,) potential of the surroundings
    ends: tuple                 # last row of each stage


def binding(capacity, diffusivity, top=1e5):
    """Material that binds the first `capacity` (mol/m3) at once and for good, u = max(H - capacity, 0), up to u = top (mol/m3)."""
    _need(capacity > 0, f"a binding capacity must be positive, not {capacity}: what binds nothing is conducting(diffusivity, 1, 0, top)")
    return Material([0.0, capacity, capacity + top], [0.0, 0.0, top], [diffusivity] * 3)


def conducting(conductivity, heat_capacity, low, high):
    """Material of constant K and heat capacity (J/(m3 K)), H = heat_capacity u, from u = low to high; (D, 1, 0, top) diffuses unbound."""
    return Material([heat_capacity * low, heat_capacity * high], [low, high], [conductivity] * 2)


def freezing(temperature, frozen, latent, heat_capacity, conductivity, density, high=120.0):
    """Material that freezes along a curve; H is 0 at the last temperature, where freezing begins, and u is degC.

    temperature (nodes,) rising, degC; frozen (nodes,): share of what can freeze that is ice there, falling to 0; latent: heat of all of it
    per mass of the whole (J/kg); heat_capacity (J/(kg K)) and conductivity (W/(m K)): pairs unfrozen, all frozen, between them in
    proportion to the share; density (kg/m3), one for both; high: hottest temperature of the table.
    """
    t, share = np.asarray(temperature, float), np.asarray(frozen, float)
    _need(t.ndim == 1 and t.shape == share.shape and len(t) > 1 and (np.diff(t) > 0).all() and t[-1] < high,
          "a freezing curve needs two columns of equal length, its temperatures rising to where freezing begins")
    _need((np.diff(share) <= 0).all() and share[-1] == 0 and share[0] <= 1, "the frozen share must fall from 1 or less to 0 at the last temperature")
    warm, cold = heat_capacity
    capacity = warm + (cold - warm) * share
    sensible = np.append(0.0, np.cumsum((capacity[1:] + capacity[:-1]) / 2 * np.diff(t)))
    content = density * (sensible - sensible[-1] - latent * share)
    unfrozen, icy = conductivity
    return Material(np.append(content, density * warm * (high - t[-1])), np.append(t, high), np.append(unfrozen + (icy - unfrozen) * share, unfrozen))


def body(shape, *radii, cells=100, grading=2.0):
    """Body of one or more layers, by the outer radius of each (slab: half thickness), in m; `cells` is one number or a list of one a layer.

    Cells of the first layer are packed towards its outside, those of others towards their inside, so that both sides of the first
    joint are fine: grading 1 makes them even, 2 the finest 1/cells of the mean. A shell should cover ten cells or more.
    """
    _need(shape in DIMENSION, f"shape must be slab, cylinder or sphere, not {shape!r}")
    layers = [cells] * len(radii) if np.ndim(cells) == 0 else list(cells)
    _need(radii and len(layers) == len(radii) and all(count == int(count) and count > 1 for count in layers),
          "a body needs a radius or more, and `cells` a whole number from 2 or one such number a radius")
    _need(np.isfinite(radii).all() and (np.diff([0.0, *radii]) > 0).all(), "radii must be finite, positive and rising from layer to layer")
    _need(1 <= grading <= 4, f"grading must lie between 1 and 4, not {grading}")
    n, edges = DIMENSION[shape], np.zeros(1)
    for number, (radius, count) in enumerate(zip(radii, layers)):
        even = np.linspace(0, 1, count + 1)[1:]
        packed = even ** grading if number else 1 - (1 - even) ** grading
        edges = np.append(edges, edges[-1] + (radius - edges[-1]) * packed)
    unit = (1, 2 * np.pi, 4 * np.pi)[n - 1]
    return Body(shape, tuple(layers), edges, unit * np.diff(edges ** n) / n, unit * edges ** (n - 1))


def march(body, materials, content, stages, accuracy=1e-3):
    """Carry a body through stages of surroundings, one after another.

    Parameters
    ----------
    body : Body
    materials : Material, or list of one a layer
    content : number, array (cells,), or list of one of these a layer
        What is in the cells at time 0.
    stages : list of (duration, Surroundings) or (duration, Surroundings, until)
        Durations in s, finite. `until`, a function of the content (cells,), ends its stage as soon as it is no longer negative.
    accuracy : float, 1e-6 to 0.01
        Error of the time steps aimed at in content taken, front depth and potential, relative to the range each has gone through.
        100 cells add about 0.2 % of a front's depth, 1 % where it has passed ten cells only.

    Returns
    -------
    Run

    Raises
    ------
    ValueError
        Input that makes no sense; the message says what and how to mend it.
    ArithmeticError
        Surroundings so rough in time or film that no step is short enough.
    """
    _need(1e-6 <= accuracy <= 0.01, f"accuracy must lie between 1e-6 and 0.01, not {accuracy}")
    _need(len(stages) and all(isinstance(s, (tuple, list)) and len(s) in (2, 3) and isinstance(s[1], Surroundings) for s in stages),
          "stages must be a list of (duration, Surroundings) or (duration, Surroundings, until)")
    chain = _Chain(body, [materials] if isinstance(materials, Material) else materials)
    x, surface = np.append(chain.fill(content), 0.0), None
    rows, ends, begin = [], [], 0.0
    for duration, around, *until in stages:
        for time, x, surface in _stage(chain, x, surface, duration, around, until[0] if until else None, 20 * accuracy):
            if time > 0 or not rows:
                rows.append((begin + time, x, surface))
        begin = rows[-1][0]
        ends.append(len(rows) - 1)
    time, x, surface = (np.array(column) for column in zip(*rows))
    return Run(time, x[:, :-1], (x - x[0])[:, :-1] @ body.volume, surface, x[:, -1], tuple(ends))


# --- readings ---------------------------------------------------------------------------------------------------------------------------
def potential(body, materials, content):
    """Potential in every cell from content (..., cells)."""
    tables = [materials] if isinstance(materials, Material) else materials
    parts = zip(tables, np.split(content, np.cumsum(body.layers)[:-1], axis=-1))
    return np.concatenate([np.interp(part, table.content, table.potential) for table, part in parts], axis=-1)


def content_at(material, potential):
    """Content at a potential; the greatest where the table is flat there."""
    return _Table(material).content_at(potential, np.inf)


def gelled_share(body, content, capacity, layer=0):
    """Share (0 to 1) of a layer that is gelled: bound calcium, min(H, capacity), over what the layer can bind. content (..., cells)."""
    first = sum(body.layers[:layer])
    cells = slice(first, first + body.layers[layer])
    return np.minimum(content[..., cells], capacity) @ body.volume[cells] / (capacity * body.volume[cells].sum())


def depth(body, share, layer=0):
    """Thickness (m) of `share` of a layer: of layer 0 counted from its outside inwards, of others from their inside outwards."""
    first = sum(body.layers[:layer])
    n, inner, outer = DIMENSION[body.shape], body.edges[first], body.edges[first + body.layers[layer]]
    part = np.clip(share, 0, 1) * (outer ** n - inner ** n)
    return (inner ** n + part) ** (1 / n) - inner if layer else outer - (outer ** n - part) ** (1 / n)


def centre(body, values):
    """Value at r = 0 from values (..., cells): even parabola through the two innermost cells."""
    one, two = ((body.edges[:2] + body.edges[1:3]) / 2) ** 2
    return values[..., 0] - (values[..., 1] - values[..., 0]) * one / (two - one)


def at(run, values, time):
    """A reading `values` (rows, ...) of a run at other times (s), by a monotone cubic in the root of the time in the stage."""
    _need(np.min(time) >= 0 and np.max(time) <= run.time[-1], f"times must lie between 0 and {run.time[-1]:g} s, the end of the run")
    begins = run.time[[0, *run.ends]]
    clock, rows = (np.sqrt(np.clip(np.subtract.outer(t, begins[:-1]), 0, np.diff(begins))).sum(axis=-1) for t in (time, run.time))
    apart = np.diff(rows, prepend=-1) > 0                       # a first step after an age may be lost in its digits
    return PchipInterpolator(rows[apart], np.asarray(values)[apart])(clock)


def when(run, values, level):
    """First time (s) at which a reading `values` (rows,) comes to `level` from either side; nan if it never does."""
    left = (np.asarray(values) - level) * np.sign(values[0] - level)
    row = int((left <= 0).argmax())
    if row == 0:
        return 0.0 if left[0] == 0 else np.nan
    return brentq(lambda time: at(run, left, time), *run.time[row - 1:row + 1])


# --- inside -----------------------------------------------------------------------------------------------------------------------------
def _need(condition, sentence):
    if not condition:
        raise ValueError(sentence)


class _Table:
    """A material as theta = shift + slope H, piece by piece; and theta at each of its levels of potential."""

    def __init__(self, material):
        self.content, self.potential, k = h, u, k = [np.array(column, float) for column in material]
        _need(h.ndim == 1 and h.shape == u.shape == k.shape and len(h) > 1, "a material needs three columns of equal length, 2 or more")
        _need(np.isfinite([h, u, k]).all(), "the table of a material must hold finite numbers only")
        _need((np.diff(h) > 0).all(), "content must rise from node to node of a material: sort its table and drop equal rows")
        _need((np.diff(u) >= 0).all() and u[-1] > u[0], "potential must not fall from node to node of a material, and must rise somewhere")
        _need((k > 0).all(), "conductivity must be positive at every node of a material")
        theta = np.append(0.0, np.cumsum((k[1:] + k[:-1]) / 2 * np.diff(u)))
        self.slope, self.inner = np.diff(theta) / np.diff(h), h[1:-1].copy()
        self.shift = theta[:-1] - self.slope * h[:-1]
        rising = np.append(True, np.diff(u) > 0)
        self.level, self.theta = u[rising], theta[rising]

    def content_at(self, potential, side):
        """The least (side -inf) or greatest (inf) content at a potential."""
        return float(np.interp(np.nextafter(potential, side), self.potential, self.content))


class _Joint:
    """Two half cells in series at a face: the flow is piecewise linear in theta on both sides.

    The face has one potential on both sides; left / reach + right * conductance of theta there is known from the cells, and where it
    falls among its values at the nodes tells the piece. An infinite conductance leaves the right side alone.
    """

    def __init__(self, area, reach, left, right, level, conductance):
        self.weights = a, b = (1 / reach, conductance) if conductance < np.inf else (0.0, 1.0)
        self.sum, self.level = a * left + b * right, level
        outer, inner = (area / reach * b * np.diff(side) / np.diff(self.sum) for side in (left, right))
        self.nodes = self.sum[1:-1].tolist()
        self.pieces = np.stack([inner, outer, inner * left[:-1] - outer * right[:-1]], axis=1).tolist()


class _Chain:
    """The cells of a body, inside out, and its surroundings: the unknowns x are the contents and, last, the surroundings' potential."""

    def __init__(self, body, materials):
        _need(len(materials) == len(body.layers), f"a body of {len(body.layers)} layers needs as many materials, not {len(materials)}")
        self.tables = [_Table(material) for material in materials]
        ends = np.cumsum((0, *body.layers)).tolist()
        self.slices = [slice(a, b) for a, b in zip(ends, ends[1:])]
        self.reach, self.area, self.volume, n = np.diff(body.edges) / 2, body.area, body.volume, ends[-1]
        self.weight = np.append(body.volume, 1.0)
        self.pull, self.drift, self.joints = np.empty((2, n)), {}, {}       # flow through a face = pull[1] outer - pull[0] inner + drift
        self.pull[:, :-1] = body.area[1:-1] / (self.reach[1:] + self.reach[:-1])
        for cells, one, two in zip(self.slices, self.tables, self.tables[1:]):
            face, level = cells.stop - 1, np.union1d(one.level, two.level)
            left, right = (np.interp(level, table.level, table.theta) for table in (one, two))
            self.joints[face] = _Joint(body.area[face + 1], self.reach[face], left, right, level, 1 / self.reach[face + 1])
        self.slope, self.theta, self.piece = np.ones(n + 1), np.zeros(n + 1), np.empty(n, np.intp)
        self.slopes, self.thetas = (np.lib.stride_tricks.sliding_window_view(side, n) for side in (self.slope, self.theta))
        self.seen = self.used = None

    def fill(self, content):
        """One content a cell, from what `march` takes."""
        sizes = [cells.stop - cells.start for cells in self.slices]
        by_layer = isinstance(content, (list, tuple)) and len(content) == len(sizes)
        try:
            parts = content if by_layer else np.split(np.broadcast_to(content, sum(sizes)), np.cumsum(sizes)[:-1])
            x = np.concatenate([np.broadcast_to(np.asarray(part, float), size) for part, size in zip(parts, sizes)])
        except ValueError:
            raise ValueError(f"content must be a number, one a cell (here {sum(sizes)}) or a list of one of these a layer") from None
        for cells, table in zip(self.slices, self.tables):
            low, high = table.content[[0, -1]]
            _need(((low <= x[cells]) & (x[cells] <= high)).all(), f"content must lie within the table of its material, {low:g} to {high:g}")
        return x

    def look(self, x):
        """Set theta and its slope in the cells, and the flows through the joints, to what x makes them; returns the pieces in use."""
        if x is not self.seen:
            for cells, table in zip(self.slices, self.tables):
                self.piece[cells] = piece = table.inner.searchsorted(x[cells], "right")
                self.slope[cells], self.theta[cells] = table.slope.take(piece), table.shift.take(piece)
            self.theta[-1] = 0.0
            self.theta += self.slope * x
            self.seen, self.used = x, [self.piece.tobytes()]
            for face, joint in self.joints.items():
                self.known = joint.weights[0] * self.theta[face] + joint.weights[1] * self.theta[face + 1]
                self.used.append(bisect_right(joint.nodes, self.known))
                self.pull[0, face], self.pull[1, face], self.drift[face] = joint.pieces[self.used[-1]]
        return self.used

    def theta_at(self, x):
        self.look(x)
        return self.theta.copy()

    def surface(self, x):
        self.look(x)                                            # the joint at the surface is the last
        return float(np.interp(self.known, self.joints[len(x) - 2].sum, self.joints[len(x) - 2].level))

    def solve(self, x, base, step, fixed):
        """x of weight * x - step * inflow(x) = base by Newton's iteration from a guess x; `fixed` holds the surroundings' potential."""
        used = self.look(x)
        for _ in range(40):
            pull = step * self.pull
            off, flow = pull * -self.slopes, pull * self.thetas
            flow = flow[1] - flow[0]
            for face, drift in self.drift.items():
                flow[face] += step * drift
            diagonal, miss = self.weight.copy(), base - self.weight * x
            diagonal[:-1] -= off[0]
            diagonal[1:] -= off[1]
            miss[:-1] += flow
            miss[1:] -= flow
            if fixed is not None:
                off[0, -1], diagonal[-1], miss[-1] = 0.0, 1.0, fixed - x[-1]
            move = dgtsv(off[0], diagonal, off[1], miss, True, True, True, True)[3]
            before, theta, x = used, self.theta.copy(), x + move
            used = self.look(x)
            if used == before and flow @ flow < self.most ** 2:            # exact; but great flows leave their rounding: then once more
                return x
            if (np.abs(move) <= self.close[1]).all() and (np.abs(self.theta - theta) <= self.close[0]).all():
                return x
        raise ArithmeticError("Newton's iteration does not settle")

    def range(self, x, around):
        """Least and greatest x that may follow from x and potentials around: evening out makes no new extreme, and unbinds nothing."""
        levels = list(around)
        for cells, table in zip(self.slices, self.tables):
            levels += np.interp((x[cells].min(), x[cells].max()), table.content, table.potential).tolist()
        low, high = x.copy(), x.copy()
        low[-1], high[-1] = min(levels), max(levels)
        for cells, table in zip(self.slices, self.tables):
            np.minimum(low[cells], table.content_at(low[-1], np.inf), out=low[cells])
            np.maximum(high[cells], table.content_at(high[-1], -np.inf), out=high[cells])
        return low, high

    def step(self, x, length, near, far, closed):
        """New x, and how it and its theta differ from a first-order step; near, far: fixed potentials around at both stages, or None."""
        first = self.solve(x, self.weight * x, GAMMA * length, near)
        ahead = x + (first - x) / GAMMA
        ahead[-1] = ahead[-1] if far is None else far
        theta = self.theta_at(ahead)
        new = self.solve(ahead, self.weight * (ahead - first + x), GAMMA * length, far)
        low, high = self.range(x, [] if closed else [x[-1]] if far is None else [near, far])
        out = np.maximum(low - new, new - high) > 1e-9 * (high - low)
        if out[:len(x) - closed].any():                         # surroundings shut off stay wherever they are
            new = self.solve(ahead, self.weight * x, length, far)
        return new, new - ahead, self.theta_at(new) - theta


def _stage(chain, x, surface, duration, around, until, tolerance):
    """Rows (time, x, surface potential) of one stage, from its start."""
    potential, film, capacity = around
    table, n, endless = chain.tables[-1], len(x) - 1, capacity == np.inf
    _need(0 <= duration < np.inf, f"a stage must last a finite time of 0 s or more, not {duration}")
    _need(capacity > 0 and (endless or not callable(potential)),
          "surroundings need a positive capacity, and np.inf if their potential is a function")

    def outside(time):
        value = float(potential(time) if callable(potential) else potential)
        _need(table.level[0] <= value <= table.level[-1], f"the surroundings' potential {value:g} lies outside the table of the outer "
              f"material, {table.level[0]:g} to {table.level[-1]:g}")
        return value

    def film_at(surface, outer):
        value = float(film(surface, outer) if callable(film) else film)
        _need(0 <= value and (value < np.inf or not callable(film)), f"a film must be 0 or more, and finite if a function, not {value}")
        return value

    def set_film(value):
        chain.joints[n - 1], chain.seen = _Joint(chain.area[n], chain.reach[-1], table.theta, table.level, table.level, value), None

    def take(length):
        around = (outside(time + GAMMA * length), outside(time + length)) if endless else (None, None)
        return chain.step(x, length, *around, closed)

    def over(x):
        value = float(until(x[:n])) if until else -1.0
        _need(value == value, "until must return a number, not nan")
        return value

    x = start = np.append(x[:n], outside(0.0))
    chain.weight[n] = 1.0 if endless else capacity
    surface = np.interp(x[n - 1], table.content, table.potential) if surface is None else surface
    time, passing = 0.0, film_at(surface, x[n])
    closed = passing == 0 and not callable(film)
    set_film(passing)
    surface = chain.surface(x)
    yield time, x, surface
    # to begin with, the time in which diffusion crosses two of the finest cells
    length = first_length = 16 * min((chain.reach[cells] ** 2).min() / t.slope.max() for cells, t in zip(chain.slices, chain.tables))
    ended, spread = over(x) >= 0, 1e-10 * max(t.theta[-1] for t in chain.tables)
    while time < duration and not ended:
        if time == 0 or callable(potential):                    # what is possible here measures what is small
            low, high = chain.range(x, [] if closed else [x[n], outside(min(time + length, duration))])
            spread = np.maximum(spread, chain.theta_at(high) - chain.theta_at(low))
            share = chain.reach / chain.reach.sum() / spread[:n] ** 2
            most, trifle = chain.volume * (high - low)[:n], 1e-10 * chain.volume @ np.abs(x[:n]) + 1e-300
            chain.most, chain.close = 10 * (most.sum() + trifle), 1e-4 * tolerance * np.stack([spread, high - low])
        count = np.ceil((duration - time) / length)
        length = (duration - time) / count
        try:
            if callable(film):                                  # the mean of the film now and at the end of a first try
                first_try = take(length)[0]
                mean = (passing + film_at(chain.surface(first_try), first_try[n])) / 2
                set_film(mean)
            new, wrong, bend = take(length)
        except ArithmeticError:
            trust = 0.1
        else:
            passed, wrong = (np.abs((chain.volume * change[:n]).cumsum()).max() for change in (new - start, wrong))
            if callable(film):
                ending = film_at(chain.surface(new), new[n])
                wrong += abs((passing + ending) / 2 - mean) / max(mean, ending, 1e-300) * np.abs(chain.volume @ (new - x)[:n])
            error = max(wrong / (passed + most[chain.reach.argmin()] + trifle), (bend[:n] ** 2 @ share) ** 0.5)
            trust = 0.7 * (tolerance / max(error, 1e-9)) ** 0.5
        if trust < 0.35:
            length *= max(trust, 0.2)
            if length < 1e-9 * first_length:
                raise ArithmeticError(f"no step is short enough {time:g} s into a stage: smooth the potential or film of its surroundings")
            continue
        ended = over(new) >= 0
        if ended:
            length = brentq(lambda length: over(take(length)[0]), 0, length, xtol=1e-4 * length)
            new = take(length)[0]
        time = duration if count == 1 and not ended else time + length
        if callable(film):
            passing = film_at(chain.surface(new), new[n])
            set_film(passing)
        x, surface = new, chain.surface(new)
        yield time, x, surface
        length *= min(trust, 6.0)
