"""Weighing: per cent on which base, and what the scale's step does to a dose."""
import math

import numpy as np

from .units import boundary, record


@boundary("g", dose="percent", total="g", valid={"dose": (0, 100), "total": (0, 1e6)})
def of_total(dose, total):
    """Grams of an ingredient for a dose on the total: dose * total.

    dose [percent of total mass], 0 to 100; total [g], 0 to 1,000,000; returns [g].  Source: arithmetic.
    """
    return dose * total


@boundary("g", dose="percent", liquid="g", valid={"dose": (0, 95), "liquid": (0, 1e6)})
def into_liquid(dose, liquid):
    """Grams to add to a liquid so that they are `dose` of the total: liquid * dose / (1 - dose).

    dose [percent of the total], 0 to 95; liquid [g], 0 to 1,000,000; returns [g].  Source: arithmetic.
    """
    return liquid * dose / (1 - dose)


Weighed = record("Weighed", standard="g", relative="percent", low="g", high="g")


@boundary(Weighed, mass="g", step="g", tared=("tared", "one reading"), valid={"mass": (1e-3, 1e6), "step": (1e-4, 100)})
def resolution(mass, step, tared="one reading"):
    """What a scale that shows whole steps says about a mass.

    Parameters
    ----------
    mass : the reading [g], 0.001 to 1,000,000
    step : the smallest step the scale shows [g], 0.0001 to 100
    tared : "tared" if a bowl was set to zero first (two readings), else "one reading"

    Returns
    -------
    standard : standard uncertainty u = step / sqrt(12), times sqrt(2) if tared [g]
    relative : u over the mass [percent]
    low, high : the least and greatest mass that shows this reading: half a step either way, a whole step if tared [g]; low not
        below 0

    Notes
    -----
    The floor only: repeatability and calibration come on top. Some scales swallow a slow trickle of powder altogether.

    Source
    ------
    jcgm-100-2008, F.2.2.1 (0.29 of a step), 5.1.2 equation 10.
    """
    readings = 2 if tared == "tared" else 1
    standard = step / math.sqrt(12) * math.sqrt(readings)
    return standard, standard / mass, np.maximum(mass - readings * step / 2, 0.0), mass + readings * step / 2


@boundary("g", step="g", within="percent", valid={"step": (1e-4, 100), "within": (0.1, 100)})
def smallest_load(step, within):
    """Least mass that a scale weighs to `within` (expanded, twice the standard uncertainty): 2 * step / sqrt(12) / within.

    step [g], 0.0001 to 100; within [percent of the mass], 0.1 to 100; returns [g].  Source: jcgm-100-2008, F.2.2.1 and 6.2.
    """
    return 2 * step / math.sqrt(12) / within
