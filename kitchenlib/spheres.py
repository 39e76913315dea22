"""Spheres: alginate gelled by calcium, from drop-in to service. `baths` says what that takes out of a bath, batch after batch.

Calcium comes in and is bound at once; only when all places in a spot are taken does it move on. So a front runs inwards (direct), or
outwards into the alginate (reverse). Inside all is scaled: lengths by the radius R, contents by the binding capacity S, times by R**2 / D.
Then a bath is one number, k = calcium / S, and one run of `fronts` serves every size, every D and every time.
"""
import functools
import math
from typing import NamedTuple

import numpy as np
from scipy.constants import pi
from scipy.optimize import brentq
from scipy.special import erf

from . import fronts, heat, tables
from .fronts import Surroundings
from .spread import Spread, spread
from .tables import Row
from .units import OutOfRange, Q_, Quantity, boundary, record, show, si_number

WEAK = ("diffusivity_factor", "calcium_binding")
FREE_TURN = 0.01            # a liquid heart smaller than this share of the sphere is none (our limit: a fifth of its width)
QUICK = 20                  # cells for the ends of a spread
HOLDS = ("drained", "still liquid", "stirred liquid")
_DOSE, _CALCIUM, _CAPACITY, _DIFFUSIVITY, _DIAMETER, _TIME = (0.1, 3), (0.5, 1000), (0.5, 500), (1e-11, 1e-8), (1, 50), (0, 1e6)


# --- what the alginate brings ----------------------------------------------------------------------------------------------------------
@boundary("mmol/L", dose="percent", alginate=Row, density="kg/m**3", citrate="mmol/L",
          valid={"dose": _DOSE, "density": (900, 1500), "citrate": (0, 500)})
def binding_capacity(dose, alginate, density=None, citrate=None):
    """How much calcium a litre of the gel holds fast: dose * density / grams per mole of uronate * calcium per uronate.

    Parameters
    ----------
    dose : sodium alginate [percent of total mass], 0.1 to 3 (measured gels and films lie there)
    alginate : Row with uronate_mass, calcium_binding
    density : of the mix [kg/m³], 900 to 1,500; 1,000 where not given (a juice of 12 °Bx has 1,046: 5 % more)
    citrate : citrate in the mix [mmol/L], 0 to 500: it binds calcium too, one for one. All of it is counted, an upper bound.

    Returns
    -------
    [mmol/L of gel]

    Source
    ------
    seely-hart-1974 (at least 90 % of the sodium gives way: 0.45 calcium a uronate); 0.50 is full exchange.
    """
    density, citrate = 1000.0 if density is None else density, 0.0 if citrate is None else citrate
    return dose * density / alginate.si("uronate_mass") * alginate.si("calcium_binding") + citrate


@boundary("m**2/s", temperature="degC", alginate=Row, valid={"temperature": (0, 60)}, scalars=True)
def diffusivity(temperature, alginate):
    """How fast calcium moves in the gel: that of the row, its own factor, and T / viscosity of water.

    temperature [degC], 0 to 60 (our limit); alginate: Row with calcium_diffusivity at diffusivity_temperature, diffusivity_factor
    (1 with a wide spread as shipped; your own from `calibrate`); returns [m²/s].

    Notes
    -----
    Shell goes with the root of D: the row's range, 0.4 to 1.2e-9, is 24 % less to 31 % more of shell. One constant D is a model: ions
    move coupled, and it falls as the gel tightens (hajikhani-2019).

    Source
    ------
    Stokes-Einstein (textbook, memory): D T-scaled by T / viscosity, `heat.water`; crc-ions for calcium in water.
    """
    start = alginate.si("diffusivity_temperature")
    thinner = heat.water.si(start).viscosity / heat.water.si(temperature).viscosity if temperature != start else 1.0
    return alginate.si("calcium_diffusivity") * alginate.si("diffusivity_factor") * temperature / start * thinner


def _gel(dose, alginate, temperature, density, citrate):
    """S (mol/m3) and D (m2/s)."""
    start = alginate.si("diffusivity_temperature") if temperature is None else temperature
    return binding_capacity.si(dose, alginate, density, citrate), diffusivity.si(start, alginate)


# --- flat front: exact, and the shortcut ---------------------------------------------------------------------------------------------
def _root(ratio, other):
    """x of sqrt(pi) x exp(x**2) (other + erf x) = ratio by Newton's iteration in logarithms, from above: it comes down without fail."""
    ratio = np.asarray(ratio, float)
    x = np.minimum(np.sqrt(ratio / 2), ratio / math.sqrt(pi)) if other else np.sqrt(ratio / 2)
    for _ in range(60):
        sides = other + erf(x)
        miss = np.log(math.sqrt(pi) * x * sides / ratio) + x * x
        x = x * np.exp(-miss / (1 + 2 * x * x + 2 / math.sqrt(pi) * x * np.exp(-x * x) / sides))
        if np.abs(miss).max() < 1e-13:
            break
    return x[()]


@boundary("", ratio="", valid={"ratio": (1e-4, 1e4)})
def front_constant(ratio):
    """lambda of a flat front: thickness = 2 lambda sqrt(D t), with sqrt(pi) lambda exp(lambda**2) erf(lambda) = k.

    ratio: k = calcium of the bath / binding capacity, scalar or array, 0.0001 to 10,000; returns the same shape.
    Source: Neumann's solution of Stefan's problem (carslaw-jaeger-1959, chapter 11, memory).
    """
    return _root(ratio, 0.0)


_FLAT = {"time": "s", "calcium": "mmol/L", "capacity": "mmol/L", "diffusivity": "m**2/s"}
_FLAT_VALID = {"time": _TIME, "calcium": _CALCIUM, "capacity": _CAPACITY, "diffusivity": _DIFFUSIVITY}


@boundary("mm", **_FLAT, valid=_FLAT_VALID)
def planar_shell(time, calcium, capacity, diffusivity):
    """Thickness of a flat gel on a bath, free calcium on its way counted: 2 lambda sqrt(D t).

    time [s], 0 to 1e6; calcium of the bath [mmol/L], 0.5 to 1,000; capacity [mmol/L], 0.5 to 500; diffusivity [m²/s], 1e-11 to 1e-8;
    scalars or arrays; returns [mm]. A sphere's shell is a little thicker: `history`.  Source: `front_constant`.
    """
    return 2 * front_constant.si(calcium / capacity) * np.sqrt(diffusivity * time)


@boundary("mm", **_FLAT, valid=_FLAT_VALID)
def planar_shortcut(time, calcium, capacity, diffusivity):
    """Thickness of a flat gel by the shortcut that leaves out the free calcium in it: sqrt(2 D C t / S).

    Arguments of `planar_shell`. Too thick in the bath by `shortcut_error`; exact for what an endless soak in plain water leaves.
    Source: quasi-steady front (textbook, memory).
    """
    return np.sqrt(2 * diffusivity * calcium * time / capacity)


@boundary("percent", ratio="", valid={"ratio": (1e-4, 1e4)})
def shortcut_error(ratio):
    """How much too thick the shortcut makes a flat shell in the bath: sqrt(k / 2) / lambda - 1.

    ratio: k = calcium / capacity, 0.0001 to 10,000; returns [percent]: under 2 % below k = 0.1; 34 to 78 % in a kitchen, k 3 to 10.
    Source: `planar_shortcut` over `planar_shell`.
    """
    return np.sqrt(ratio / 2) / front_constant.si(ratio) - 1


@boundary("mm", time="s", diameter="mm", **{name: _FLAT[name] for name in ("calcium", "capacity", "diffusivity")},
          valid={**_FLAT_VALID, "diameter": _DIAMETER})
def shrinking_core(time, diameter, calcium, capacity, diffusivity):
    """Shell of a sphere by the shortcut: 1 - 3 x**2 + 2 x**3 = 6 D C t / (S R**2), x = core radius / R.

    Parameters
    ----------
    time in the bath [s], 0 to 1e6; diameter [mm], 1 to 50; calcium [mmol/L], 0.5 to 1,000; capacity [mmol/L], 0.5 to 500;
    diffusivity [m²/s], 1e-11 to 1e-8

    Returns
    -------
    [mm]; the radius once the core is gone

    Notes
    -----
    Wrong for the shell at the lift (35 to 75 % too thick in a kitchen's bath); exact, whatever k, for the shell after an endless soak
    in plain stirred water: the integral of the free calcium over all time obeys this very equation.

    Source
    ------
    levenspiel-1999, chapter 25 (memory); the proof is own-derivation.
    """
    done = np.clip(6 * diffusivity * calcium * time / (capacity * diameter ** 2 / 4), 0, 1)
    return diameter / 2 * np.maximum(0.5 - np.cos((2 * pi - np.arccos(2 * done - 1)) / 3), 0)


# --- flat and last shell of a reverse sphere ---------------------------------------------------------------------------------------------
@boundary("", ratio="", valid={"ratio": (1e-4, 1e4)})
def reverse_constant(ratio):
    """lambda of a flat reverse front: thickness = 2 lambda sqrt(D t), with sqrt(pi) lambda exp(lambda**2) (1 + erf(lambda)) = k.

    ratio: k = calcium in the liquid / capacity of the alginate bath, 0.0001 to 10,000; returns the same shape.
    Source: own-derivation, Neumann's solution with diffusion on both sides.
    """
    return _root(ratio, 1.0)


@boundary("mm", **_FLAT, valid=_FLAT_VALID)
def reverse_planar(time, calcium, capacity, diffusivity):
    """Thickness of a flat shell that grows out of a calcium-rich liquid into an alginate bath: 2 lambda sqrt(D t).

    Arguments of `planar_shell`: calcium is that of the liquid, capacity that of the alginate bath.  Source: `reverse_constant`.
    """
    return 2 * reverse_constant.si(calcium / capacity) * np.sqrt(diffusivity * time)


@boundary("mm", diameter="mm", calcium="mmol/L", capacity="mmol/L",
          valid={"diameter": _DIAMETER, "calcium": _CALCIUM, "capacity": _CAPACITY})
def reverse_limit(diameter, calcium, capacity):
    """The thickest shell a reverse sphere can ever get, all its calcium bound: R ((1 + k)**(1/3) - 1).

    diameter [mm], 1 to 50; calcium of the liquid [mmol/L], 0.5 to 1,000; capacity of the alginate bath [mmol/L], 0.5 to 500; returns [mm].
    Source: balance of calcium.
    """
    return diameter / 2 * ((1 + calcium / capacity) ** (1 / 3) - 1)


@boundary("mm", diameter="mm", uptake="mmol/L", capacity="mmol/L",
          valid={"diameter": _DIAMETER, "uptake": (0, 1000), "capacity": _CAPACITY})
def drained_shell(diameter, uptake, capacity):
    """Shell in the end if nothing is washed out any more: all calcium taken up finds its place, V_gel = V * uptake / S at most V.

    diameter [mm], 1 to 50; uptake: all calcium in the sphere [mmol per litre of sphere], 0 to 1,000; capacity [mmol/L], 0.5 to 500;
    returns [mm]; the radius where the sphere gels through.  Source: balance of calcium.
    """
    return diameter / 2 * (1 - np.cbrt(1 - np.minimum(uptake / capacity, 1)))


# --- one sphere, from drop-in to service -----------------------------------------------------------------------------------------------
def _rounded(x):
    return float(f"{x:.6g}")


def _packed(cells, part):
    """Edges from 0 to 1, a third of the cells in the first `part`: fine where the front starts, ever coarser where little happens."""
    share = 0.35 ** 1.3

    def over(steep):
        return math.sinh(steep * share) / math.sinh(steep) - part

    steep = brentq(over, 1e-3, 60) if over(1e-3) > 0 > over(60) else 1e-3
    edges = np.sinh(steep * np.linspace(0, 1, cells + 1) ** 1.3) / math.sinh(steep)
    edges[-1] = 1.0
    return edges


def _ball(cells, part, around=()):
    """Body of radius 1, fine at its surface; around: edges outside of it, a second layer."""
    edges = np.concatenate([1 - _packed(cells, part)[::-1], around])
    layers = (cells, len(around)) if len(around) else (cells,)
    return fronts.Body("sphere", layers, edges, 4 / 3 * pi * np.diff(edges ** 3), 4 * pi * edges ** 2)


def _gelled(ball, content):
    """Share of the sphere that is gelled; all but a rounding is all, of which the third root would make a core."""
    share = fronts.gelled_share(ball, content, 1.0)
    return np.where(share > 1 - 1e-12, 1.0, share)


@functools.lru_cache(1024)
def _march(ratio, stages, cells, part):
    """A sphere of radius 1 through stages of (duration, potential, film or "still", litres around a litre, diffusivity around it): its
    body, times, contents and the row that ends each stage. Each stage is kept, so that a longer hold runs no bath anew."""
    if not stages:
        return _ball(cells, part), np.zeros(1), np.zeros((1, cells)), ()
    ball, times, contents, ends = _march(ratio, stages[:-1], cells, part)
    duration, potential, film, litres, free = stages[-1]
    if duration > 0:
        body, layers, begins = ball, fronts.binding(1.0, 1.0, 2 * ratio), contents[-1]
        around = Surroundings(potential, film, litres * 4 / 3 * pi)
        if film == "still":                                  # the liquid at rest around it is a layer of its own
            wide = min(6 * math.sqrt(free * duration), (1 + litres) ** (1 / 3) - 1)
            body = _ball(cells, part, 1 + wide * _packed(max(cells * 2 // 3, 10), min(part / wide, 0.35))[1:])
            layers, begins = [layers, fronts.conducting(free, 1.0, 0.0, 2 * ratio)], [begins, potential]
            around = Surroundings(potential, 0.0)
        run = fronts.march(body, layers, begins, [(duration, around)], 5e-3 if cells >= 60 else 1e-2)
        times, contents = np.append(times, times[-1] + run.time[1:]), np.concatenate([contents, run.content[1:, :cells]])
    return ball, times, contents, (*ends, len(times) - 1)


@functools.lru_cache(64)
def _bath(ratio):
    """(body, run, share gelled, taken per volume) of a sphere of radius 1 in an endless stirred bath, until its core is gone."""
    ball = _ball(100, 0.05)
    stage = 1 + 1 / ratio, Surroundings(ratio), lambda content: content[0] - 1
    run = fronts.march(ball, fronts.binding(1.0, 1.0, 2 * ratio), 0.0, [stage], 2e-3)
    return ball, run, _gelled(ball, run.content), run.taken / ball.volume.sum()


@functools.lru_cache(256)
def _reverse(ratio, time, cells):
    """A core of calcium in an endless alginate bath, body and run: the outer layer is just wide enough for the shell."""
    wide = 1.1 * min(2 * reverse_constant.si(ratio) * math.sqrt(time), (1 + ratio) ** (1 / 3) - 1)
    ball = _ball(cells, min(math.sqrt(time), 0.35), 1 + wide * np.linspace(0, 1, max(cells // 2, 10) + 1)[1:] ** 1.5)
    layers = [fronts.conducting(1.0, 1.0, 0.0, 2 * ratio), fronts.binding(1.0, 1.0, 2 * ratio)]
    return ball, layers, fronts.march(ball, layers, [ratio, 0.0], [(time, Surroundings(0.0, 0.0))], 5e-3 if cells >= 60 else 1e-2)


History = record("History", shell="mm", core="percent", uptake="mmol/L", free="mmol/L", at_lift="mm", after_rinse="mm", gels_to="mm",
                 bath="mmol/L", time="s", shells="mm", cores="percent", uptakes="mmol/L", edges="mm", profiles="mmol/L")
WHAT = {"diameter": "mm", "calcium": "mmol/L", "dose": "percent", "alginate": Row}
MORE = {"temperature": "degC", "density": "kg/m**3", "citrate": "mmol/L"}
_AFTER = {"lift": "s", "rinse": "s", "hold": "s", "hold_in": HOLDS}
VALID = {"diameter": _DIAMETER, "calcium": _CALCIUM, "dose": _DOSE, "temperature": (0, 60), "density": (900, 1500), "citrate": (0, 500)}
_AFTER_VALID = {"lift": (0, 3600), "rinse": (0, 3600), "hold": (0, 172800)}


@boundary(History, scalars=True, **WHAT, bath_time="s", **_AFTER, method=("direct", "reverse"), stirring=("stirred", "still"), bath_ratio="",
          hold_ratio="", **MORE, cells="",
          valid={**VALID, **_AFTER_VALID, "bath_time": (0.1, 172800), "bath_ratio": (1, None), "hold_ratio": (0.1, None), "cells": (10, 800)})
def history(diameter, calcium, dose, alginate, bath_time, lift=None, rinse=None, hold=None, hold_in=None, method=None, stirring=None,
            bath_ratio=None, hold_ratio=None, temperature=None, density=None, citrate=None, cells=None):
    """One sphere through bath, lift, rinse and hold to service.

    Parameters
    ----------
    diameter : of the drop [mm], 1 to 50
    calcium : of the bath (`calcium.concentration`); method "reverse": of the liquid [mmol/L], 0.5 to 1,000
    dose : sodium alginate in the liquid; "reverse": in the bath [percent], 0.1 to 3
    alginate : Row with calcium_binding, uronate_mass, calcium_diffusivity, diffusivity_factor ...
    bath_time : [s], 0.1 to 172,800
    lift : in the air, nothing leaves [s], 0 to 3,600
    rinse : in plenty of stirred plain water, its surface is free of calcium [s], 0 to 3,600
    hold : until service [s], 0 to 172,800
    hold_in : "drained": nothing leaves; "stirred liquid": free of calcium, its surface always swept; "still liquid": unstirred
    method : "direct" where not given
    stirring : of the bath; "still": calcium must come through liquid at rest, by diffusion alone: the thinnest shell there can be
    bath_ratio : litres of bath for a litre of spheres in it, 1 and above: a bath is never smaller than its spheres; endless where not given
    hold_ratio : the same for a hold in liquid, 0.1 and above
    temperature : of all [degC], 0 to 60; as the row where not given
    density, citrate : as `binding_capacity` takes them; density 900 to 1,500, citrate 0 to 500
    cells : of the sphere, 10 to 800; 60 where not given: within 0.6 % of a fine grid, 100 within 0.35 %

    Returns
    -------
    at service: shell [mm]; core, its liquid share [percent of the sphere]; uptake, all calcium in it, and free, its unbound part [mmol per
    litre of sphere]; gels_to [mm]: what it comes to if nothing more leaves; at_lift, after_rinse: shell then [mm]; bath: strength at
    the lift [mmol/L].
    rows of the run: time since drop-in [s], shells [mm], cores [percent], uptakes [mmol/L] (rows,); profiles: free calcium
    (rows, cells) [mmol/L] between edges (cells + 1,) [mm from the centre].

    Notes
    -----
    No swelling or shrinking, no calcium in a direct liquid, one D. Reverse: the shell grows in the bath, during the lift in the alginate
    that clings, and drained without a rinse in the hold too; then it stops. uptake is then the calcium bound in the shell, a core is the
    share of liquid in sphere and shell, and bath_ratio, hold_ratio and stirring say nothing.
    Still liquid is a layer of its own and no film of Sh = 2: that is where it ends after an hour or more (R**2 / D); in the first minutes
    it brings many times as much. Used liquid is lighter and rises away: truth lies between "still" and "stirred".

    Source
    ------
    fast binding, dU/dt = div(D grad c), c = max(U - S, 0) (own-derivation; solver `fronts`).
    """
    capacity, moves = _gel(dose, alginate, temperature, density, citrate)
    scale, ratio, cells = diameter ** 2 / 4 / moves, _rounded(calcium / capacity), int(cells or 60)
    durations = [bath_time, lift or 0.0, rinse or 0.0, hold or 0.0]
    if method == "reverse":
        return _reverse_history(diameter / 2, capacity, scale, ratio, durations, hold_in or HOLDS[0], cells)
    free = alginate.si("free_diffusivity") / (alginate.si("calcium_diffusivity") * alginate.si("diffusivity_factor"))
    litres, held = bath_ratio or np.inf, hold_ratio or np.inf
    around = [(ratio, "still" if stirring == "still" else np.inf, litres), (0.0, 0.0, np.inf), (0.0, np.inf, np.inf),
              (0.0, *{"drained": (0.0, np.inf), "still liquid": ("still", held), "stirred liquid": (np.inf, held)}[hold_in or HOLDS[0]])]
    reach = 2 * front_constant.si(ratio) * math.sqrt(bath_time / scale)
    ball, time, content, ends = _march(ratio, tuple((_rounded(seconds / scale), *where, _rounded(free)) for seconds, where
                                                    in zip(durations, around)), cells, _rounded(min(reach, 0.9)))
    share, taken = _gelled(ball, content), content @ ball.volume / ball.volume.sum()
    shells = fronts.depth(ball, share) * diameter / 2
    return (shells[-1], 1 - share[-1], capacity * taken[-1], capacity * (taken[-1] - share[-1]), shells[ends[0]], shells[ends[2]],
            drained_shell.si(diameter, taken[-1], 1.0), calcium * max(1 - taken[ends[0]] / (ratio * litres), 0.0), time * scale, shells, 1 - share,
            capacity * taken, ball.edges * diameter / 2, capacity * np.maximum(content - 1, 0))


def _reverse_history(radius, capacity, scale, ratio, durations, hold_in, cells):
    bath_time, lift, rinse, hold = durations
    grows = bath_time + lift + (hold if hold_in == HOLDS[0] and not rinse else 0.0)
    ball, layers, run = _reverse(ratio, _rounded(grows / scale), cells)
    time = run.time * scale
    shells = fronts.depth(ball, fronts.gelled_share(ball, run.content, 1.0, layer=1), layer=1)
    at_lift, after = fronts.at(run, shells, np.minimum([bath_time / scale, (bath_time + lift) / scale], run.time[-1]))
    profiles = fronts.potential(ball, layers, run.content)
    if sum(durations) > grows:                               # rinsed: nothing is left to grow into
        time, shells, profiles = np.append(time, sum(durations)), np.append(shells, shells[-1]), np.append(profiles, profiles[-1:], axis=0)
    bound = (1 + shells) ** 3 - 1
    return (radius * shells[-1], (1 + shells[-1]) ** -3, capacity * bound[-1], capacity * (ratio - bound[-1]), radius * at_lift, radius * after,
            radius * shells[-1], 0.0, time, radius * shells, (1 + shells) ** -3, capacity * bound, radius * ball.edges, capacity * profiles)


def outcome(core):
    """'held = soft jelly bead' or 'liquid heart' from the liquid share at service; core: quantity, or Spread whose ends may differ:
    then 'liquid heart or soft jelly bead'. A heart under 1 % of the sphere counts as none (our limit)."""
    words = [("liquid heart" if end.m_as("percent") >= 100 * FREE_TURN else "held = soft jelly bead")
             for end in (core if isinstance(core, Spread) else (core,))]
    return words[0] if len(set(words)) == 1 else "liquid heart or soft jelly bead"


class Reading(NamedTuple):
    """One sphere with the spread that D and binding leave."""
    history: object              # History
    shell: Spread                # at service, mm
    at_lift: Spread              # mm
    core: Spread                 # percent
    words: str                   # `outcome`


def reading(**settings):
    """The history of one sphere with its spread; settings as `history` takes them. Returns a Reading. Raises as `history` does.

    The ends of the spread come from a coarse grid (2 % of them), so that an explorer may ask at each move.
    Source: `history`, `spread.spread`.
    """
    fine, mine = history(**settings), settings["alginate"]
    bare = {name: si_number(value) if isinstance(value, Quantity) else value for name, value in settings.items()}
    middle = np.array([fine.shell.m, fine.at_lift.m, fine.core.m])

    def three(alginate):
        if alginate == mine:
            return middle
        ran = history.si(**{**bare, "alginate": alginate, "cells": QUICK})
        return np.array([1e3 * ran[0], 1e3 * ran[4], 100 * ran[1]])

    low, _, high = spread(three, WEAK, alginate=mine)
    if settings.get("method") != "reverse":                  # no shell is thicker than the sphere, no core more than all of it
        high = np.minimum(high, [fine.edges.m[-1], fine.edges.m[-1], 100.0])
    shell, at_lift, core = (Spread(*(Q_(float(end), unit) for end in ends)) for ends, unit in zip(zip(low, middle, high), ("mm", "mm", "percent")))
    return Reading(fine, shell, at_lift, core, outcome(core))


# --- in an endless stirred bath: one run serves every time, size and D --------------------------------------------------------------------
@boundary("mm", time="s", **WHAT, **MORE, valid={"time": _TIME, **VALID}, scalars={"calcium", "dose", *MORE})
def shell_in_bath(time, diameter, calcium, dose, alginate, temperature=None, density=None, citrate=None):
    """Shell of a direct sphere in a plentiful stirred bath, at many times from one run.

    time: scalar or array [s], 0 to 1e6; the rest as `history` takes it: diameter 1 to 50 mm, calcium 0.5 to 1,000 mmol/L, dose 0.1 to 3 %,
    temperature 0 to 60 °C, density, citrate. Returns [mm], the same shape as time; the radius once the core is gone. D only stretches
    the time, so that its spread costs no new run.  Source: `history`; shell / R depends on D t / R**2 and k alone.
    """
    capacity, moves = _gel(dose, alginate, temperature, density, citrate)
    ball, run, share, _ = _bath(_rounded(calcium / capacity))
    scaled = np.minimum(time * moves / (diameter ** 2 / 4), run.time[-1])
    return (fronts.depth(ball, fronts.at(run, share, scaled)) * diameter / 2)[()]


SolidAfter = record("SolidAfter", in_bath="s", drained="s")


@boundary(SolidAfter, **WHAT, **MORE, valid=VALID, scalars={"calcium", "dose", *MORE})
def solid_after(diameter, calcium, dose, alginate, temperature=None, density=None, citrate=None):
    """When a pearl gels through: seconds in the bath until its core is gone, and seconds from which it ends solid though lifted, if
    nothing is rinsed off.

    Arguments as `history`: diameter 1 to 50 mm, calcium 0.5 to 1,000 mmol/L, dose 0.1 to 3 %, temperature 0 to 60 °C, density, citrate.
    Returns in_bath, drained [s]; for a plentiful stirred bath. By then the drained one has taken up all it can bind.
    Source: `history`; balance of calcium.
    """
    capacity, moves = _gel(dose, alginate, temperature, density, citrate)
    _, run, _, taken = _bath(_rounded(calcium / capacity))
    scale = diameter ** 2 / 4 / moves
    return run.time[-1] * scale, fronts.when(run, taken, 1.0) * scale


READ = ("at the lift", "drained", "soaked", "at service")


@boundary("s", scalars=True, shell="mm", **WHAT, read=READ, **_AFTER, **MORE, valid={"shell": (0.01, 25), **VALID, **_AFTER_VALID})
def bath_time(shell, diameter, calcium, dose, alginate, read=None, lift=None, rinse=None, hold=None, hold_in=None, temperature=None,
              density=None, citrate=None):
    """Seconds in a plentiful stirred bath for a wanted shell.

    Parameters
    ----------
    shell : wanted [mm], 0.01 to 25, under the radius
    read : when it is judged. "at the lift" (where not given); "drained": lifted, never rinsed, given all the time it wants; "soaked":
        soaked in plenty of plain water without end; "at service": after lift, rinse, hold, hold_in as `history` takes them
    diameter, calcium, dose, alginate, temperature, density, citrate : as `history` takes them (1 to 50 mm, 0.5 to 1,000 mmol/L, 0.1 to 3 %,
        0 to 60 °C)

    Returns
    -------
    [s]

    Raises
    ------
    OutOfRange
        a shell as thick as the sphere, or one that even a dip of 0.1 s exceeds by service.

    Source
    ------
    `history`; "drained" by the balance of calcium, "soaked" by `shrinking_core`.
    """
    capacity, moves = _gel(dose, alginate, temperature, density, citrate)
    radius, ratio = diameter / 2, _rounded(calcium / capacity)
    if shell >= radius:
        raise OutOfRange(f"bath_time: a shell of {1e3 * shell:.3g} mm is no shell in a sphere of {1e3 * radius:.3g} mm radius; "
                         "for a solid pearl see solid_after")
    x = 1 - shell / radius
    if read == "soaked":
        return (1 - 3 * x * x + 2 * x ** 3) * capacity * radius ** 2 / (6 * moves * calcium)
    if read in (None, "at the lift", "drained"):
        _, run, share, taken = _bath(ratio)
        return fronts.when(run, taken if read == "drained" else share, 1 - x ** 3) * radius ** 2 / moves

    def over(log_time):
        return history.si(diameter, calcium, dose, alginate, math.exp(log_time), lift, rinse, hold, hold_in, temperature=temperature,
                          density=density, citrate=citrate)[0] - shell

    ends = math.log(0.1), math.log(1.05 * _bath(ratio)[1].time[-1] * radius ** 2 / moves)
    if over(ends[0]) > 0:
        raise OutOfRange(f"bath_time: even a dip of 0.1 s comes to more than {1e3 * shell:.3g} mm by service: weaken the bath")
    return math.exp(brentq(over, *ends, xtol=1e-4))


# --- a cut sphere -----------------------------------------------------------------------------------------------------------------------------
def calibrate(shell, **settings):
    """Your own factor on D from one cut sphere: the one with which `history` gives the shell that you measured.

    Parameters
    ----------
    shell : Spread of the measured thickness [mm], low, middle and high; or one quantity, then without spread
    settings : as `history` takes them, of the sphere as it was cut: cut it at once, the front does not wait

    Returns
    -------
    Spread of the factor, a pure number; it stands for bath, grade and binding together, so keep to them.

    Raises
    ------
    OutOfRange
        no factor from 0.1 to 5 gives such a shell: check salt, grams and time first.
    """
    def shell_with(log_factor):
        return history(**{**settings, "alginate": settings["alginate"].but(diffusivity_factor=math.exp(log_factor))}).shell.m_as("mm")

    ends = math.log(0.1), math.log(5.0)
    least, most = map(shell_with, ends)

    def factor(wanted):
        if not least < wanted.m_as("mm") < most:
            raise OutOfRange(f"calibrate: a shell of {show(wanted)} is outside {least:.2g} to {most:.2g} mm, what any gel could give here: "
                             "check salt, grams and times, and that the sphere was cut through its middle")
        return math.exp(brentq(lambda x: shell_with(x) - wanted.m_as("mm"), *ends, xtol=1e-4))

    return Spread(*map(factor, shell if isinstance(shell, Spread) else (shell,) * 3))


def keep(product, factor, kind="sodium alginate", note="from a cut sphere"):
    """Put a product with its factor on D on the shelf; `row(product)` then carries it.

    product: a name of your own; factor: Spread from `calibrate`; kind: the shipped row that it is a kind of. Raises as
    `tables.add_to_shelf` does.  Source: `calibrate`.
    """
    half = max(factor.high - factor.mid, factor.mid - factor.low)
    if product not in tables.kinds(kind):
        tables.add_to_shelf({"product": product, "property": "is", "value": kind})
    tables.add_to_shelf({"product": product, "property": "diffusivity_factor", "value": f"{factor.mid:.4g}", "note": note,
                         "plus_minus": f"{half:.4g}" if half else ""})
