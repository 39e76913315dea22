"""Discs: droplets in a plane, packed to an area share and pressed flat where they meet, to be drawn to scale."""
import functools
import math
from typing import NamedTuple

import numpy as np
from scipy.optimize import minimize
from scipy.spatial import cKDTree

from .units import boundary

THROWN = 0.82                    # discs of mixed sizes are thrown so densely; they lock at about 0.84 (ohern-2003)
_TURNS = 40                      # places on an outline


class Packed(NamedTuple):
    """Discs in a square of side 1 that repeats itself on all sides; n discs, k places on each outline."""
    share: float                 # of the area
    centre: object               # (n, 2)
    radius: object               # (n,) of the round disc
    outline: object              # (n, k, 2), pressed flat where it meets a neighbour; may reach past the square's edge
    flat: object                 # (n,) share of the outline that is pressed flat: 0 where the disc is round


@functools.lru_cache(8)
def _jammed(discs):
    """(centre, radius) of discs that just do not overlap, at THROWN or a hair below; the same on every call."""
    draw = np.random.default_rng(7)
    size = np.clip(np.exp(draw.normal(0, 0.2, discs)), 0.6, 1.6)
    radius, centre = size * np.sqrt(THROWN / np.pi / np.sum(size ** 2)), draw.random((discs, 2))
    for _ in range(40):
        first, second = _pairs(centre, 2.6 * radius.max())
        reach = radius[first] + radius[second]

        def overlap(flat):
            apart, distance = _apart(flat.reshape(-1, 2), first, second)
            over = np.maximum(1 - distance / reach, 0)
            pull = (-2 * over / reach / distance)[:, None] * apart
            slope = [np.bincount(first, column, discs) - np.bincount(second, column, discs) for column in pull.T]
            return (over ** 2).sum(), np.stack(slope, axis=1).ravel()
        found = minimize(overlap, centre.ravel(), jac=True, method="L-BFGS-B", options={"maxiter": 60, "ftol": 0, "gtol": 1e-12})
        centre = found.x.reshape(-1, 2) % 1.0
        first, second = _pairs(centre, 2 * radius.max())
        tightest = np.min(_apart(centre, first, second)[1] / (radius[first] + radius[second]))
        if tightest > 0.9999:
            break
    return centre, radius * min(tightest * (1 - 1e-9), 1.0)


def _pairs(centre, reach):
    return cKDTree(centre % 1.0, boxsize=1.0).query_pairs(reach, output_type="ndarray").T


def _apart(centre, first, second):
    apart = centre[first] - centre[second]
    apart -= np.round(apart)
    return apart, np.sqrt((apart ** 2).sum(axis=1)) + 1e-15


@functools.lru_cache(8)
def _neighbours(discs):
    """What `packed` needs of the jammed discs: for each disc and neighbour distance and difference of squared radii, and the cosine of
    every outline place against the neighbour's direction; no neighbour is infinitely far. Then the scale of radii for an area."""
    centre, radius = _jammed(discs)
    first, second = _pairs(centre, min(3.2 * radius.max(), 0.49))
    apart, distance = _apart(centre, first, second)
    near = distance < 1.5 * (radius[first] + radius[second])
    one = np.concatenate([first[near], second[near]])
    other = np.concatenate([second[near], first[near]])
    toward, far = np.concatenate([-apart[near], apart[near]]), np.tile(distance[near], 2)
    order = np.argsort(one, kind="stable")
    one, other, toward, far = one[order], other[order], toward[order], far[order]
    place = np.arange(len(one)) - np.searchsorted(one, one)
    most = place.max() + 1
    apart, squares, angle = np.full((discs, most), np.inf), np.zeros((discs, most)), np.zeros((discs, most))
    apart[one, place], squares[one, place] = far, radius[one] ** 2 - radius[other] ** 2
    angle[one, place] = np.arctan2(toward[:, 1], toward[:, 0])
    turns = 2 * np.pi * np.arange(_TURNS) / _TURNS
    cosine = np.maximum(np.cos(turns - angle[:, :, None]), 1e-9)
    scales = np.linspace(1, 1.42, 64)
    areas = np.array([(_outline(scale, radius, apart, squares, cosine) ** 2).sum() * np.pi / _TURNS for scale in scales])
    return apart, squares, cosine, scales, areas


def _outline(scale, radius, apart, squares, cosine):
    """Distance from centre to outline (n, k): the disc grown by `scale`, cut where it is nearer to a neighbour (by power)."""
    with np.errstate(invalid="ignore"):
        cut = np.where(np.isfinite(apart), (apart + scale ** 2 * squares / apart) / 2, np.inf)
    return np.minimum((cut[:, :, None] / cosine).min(axis=1), scale * radius[:, None])


def packed(share, discs=600):
    """Droplets in a plane at an area share, to be drawn to scale. Made once, then only rescaled.

    Parameters
    ----------
    share : of the area [percent], 1 to 97
    discs : how many, 20 to 600

    Returns
    -------
    Packed: up to 82 % round discs that nowhere overlap, from there pressed flat against each other, their area kept.

    Notes
    -----
    A plane packs otherwise than space: discs of mixed sizes lock at about 84 %, balls at 64 to 74 %. The picture shows the area share; say so.
    Discs at an edge reach past it: draw them again one side further on.

    Source
    ------
    ohern-2003 for 84 %; flat sides along the lines of equal power of two discs (geometry).
    """
    fraction, discs = float(_packed_share(share)), int(_disc_count(discs))
    centre, radius = _jammed(discs)
    turns = 2 * np.pi * np.arange(_TURNS) / _TURNS
    full = np.pi * np.sum(radius ** 2)
    if fraction <= full:
        scale = math.sqrt(fraction / full)
        out, flat = np.repeat(scale * radius[:, None], _TURNS, axis=1), np.zeros(discs)
    else:
        apart, squares, cosine, scales, areas = _neighbours(discs)
        scale = float(np.interp(fraction, areas, scales))
        out = _outline(scale, radius, apart, squares, cosine)
        flat = (out < scale * radius[:, None] * (1 - 1e-9)).mean(axis=1)
    outline = centre[:, None, :] + out[:, :, None] * np.stack([np.cos(turns), np.sin(turns)], axis=1)
    return Packed(fraction, centre, scale * radius, outline, flat)


@boundary("", share="percent", valid={"share": (1, 97)})
def _packed_share(share):
    """Area share as a fraction: share [percent], 1 to 97.  Source: arithmetic."""
    return share


@boundary("", discs="", valid={"discs": (20, 600)})
def _disc_count(discs):
    """How many discs: discs 20 to 600.  Source: arithmetic."""
    return discs
