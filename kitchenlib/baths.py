"""Baths: what batch after batch of spheres takes out of one bath of calcium, and when it is time to change it.

A balance of calcium. How much one sphere takes is `spheres.history`'s uptake; what dissolves and which salt, `calcium`'s.
"""
import math

import numpy as np
from scipy.constants import pi

from . import spheres
from .spheres import MORE, VALID, WHAT
from .units import OutOfRange, boundary, record, show

_POT = {"calcium": "mmol/L", "uptake": "mmol/L", "batch": "g", "bath": "L", "carried": "g", "way": ("proportional", "linear"),
        "density": "kg/m**3"}
_POT_VALID = {"calcium": VALID["calcium"], "uptake": (0.01, 1000), "batch": (0.1, 1e6), "bath": (0.01, 1e4), "carried": (0, 1e5), "density": (900, 1500)}


@boundary("mmol/kg", uptake="mmol/L", density="kg/m**3", valid={"uptake": (0, 1000), "density": (900, 1500)})
def calcium_used(uptake, density=None):
    """Calcium that a kilogram of spheres takes out of the bath: uptake / density.

    uptake, as `spheres.history` gives it at the lift [mmol per litre of spheres], 0 to 1,000; density [kg/m³], 900 to 1,500, 1,000 where not
    given; returns [mmol/kg]. One mmol of calcium is 147 mg of dihydrate.  Source: balance of calcium.
    """
    return uptake / (1000.0 if density is None else density)


def _volumes(who, batch, bath, carried, density):
    """Litres (m3) of a batch and of the spoon's liquid, which the bath must hold."""
    volume, spoon = batch / (density or 1000.0), (carried or 0.0) / 1000.0
    if volume + spoon > bath:
        raise OutOfRange(f"{who}: {show(1e3 * (volume + spoon))} L of spheres and spoon liquid are more than the {show(1e3 * bath)} L of bath: "
                         "take a larger bath or smaller batches")
    return volume, spoon


def _lost(who, calcium, uptake, batch, bath, carried, density):
    """Shares of the bath's calcium that a batch takes, and of the bath that the spoon changes for liquid without any."""
    volume, spoon = _volumes(who, batch, bath, carried, density)
    share = uptake * volume / (bath * calcium)
    if share >= 1:
        raise OutOfRange(f"{who}: one batch would take all the calcium there is: take a larger bath or smaller batches")
    return share, spoon / bath


@boundary("mmol/L", batches="", **_POT, scalars={name for name in _POT if name != "way"}, valid={"batches": (0, 1e4), **_POT_VALID})
def strength_after(batches, calcium, uptake, batch, bath, carried=None, way=None, density=None):
    """Strength of a bath after some batches.

    Parameters
    ----------
    batches : how many, 0 to 10,000, scalar or array
    calcium : of the fresh bath [mmol/L], 0.5 to 1,000
    uptake : of the first batch at the lift, from `spheres.history` [mmol per litre of spheres], 0.01 to 1,000
    batch : spheres in one batch [g], 0.1 to 1e6;  bath [L], 0.01 to 10,000
    carried : liquid that the spoon takes out and brings in per batch [g], 0 to 100,000; 5 to 10 g for 100 g of spheres (memory)
    way : "proportional": a weaker bath gives less (where not given); "linear": each batch takes as much as the first, cautious
    density : of spheres [kg/m³], 900 to 1,500; 1,000 where not given

    Returns
    -------
    [mmol/L]; 0 where the linear count has used it up

    Raises
    ------
    OutOfRange
        a batch that the bath does not hold, or that would take more than is there.

    Source
    ------
    balance of calcium; `service` runs batch after batch through the model.
    """
    share, spoon = _lost("strength_after", calcium, uptake, batch, bath, carried, density)
    if way == "linear":
        return calcium * np.maximum(1 - batches * (share + spoon), 0)
    return calcium * ((1 - share) * (1 - spoon)) ** batches


@boundary("", scalars=True, left="percent", **_POT, valid={"left": (1, 99.9), **_POT_VALID})
def batches_until(left, calcium, uptake, batch, bath, carried=None, way=None, density=None):
    """How many batches until this share of the bath's strength is left: then change or refresh it.

    left [percent of the fresh strength], 1 to 99.9; the rest as `strength_after`; returns a number of batches, with its fraction.
    Raises as there.  Source: `strength_after`, turned round.
    """
    share, spoon = _lost("batches_until", calcium, uptake, batch, bath, carried, density)
    if way == "linear":
        return (1 - left) / (share + spoon)
    return math.log(left) / math.log((1 - share) * (1 - spoon))


@boundary("L", scalars=True, spheres="g", left="percent", calcium="mmol/L", uptake="mmol/L", carried="g", density="kg/m**3",
          valid={"spheres": (0.1, 1e6), "left": (1, 99), **{n: _POT_VALID[n] for n in ("calcium", "uptake", "carried", "density")}})
def litres_for(spheres, left, calcium, uptake, carried=None, density=None):
    """Litres of bath for so many spheres, if this share of its strength is to be left after the last: the linear count, cautious.

    spheres: all of the service, portions times grams [g], 0.1 to 1e6; left [percent], 1 to 99; calcium [mmol/L], 0.5 to 1,000; uptake
    at the lift [mmol per litre of spheres], 0.01 to 1,000; carried: spoon liquid in all [g], 0 to 100,000; density [kg/m³], 900 to 1,500;
    returns [L], never less than the spheres themselves.  Source: balance of calcium.
    """
    volume, spoon = spheres / (density or 1000.0), (carried or 0.0) / 1000.0
    return max((uptake * volume / calcium + spoon) / (1 - left), volume + spoon)


Forgotten = record("Forgotten", bath="mmol/L", gelled="percent")


@boundary(Forgotten, scalars=True, calcium="mmol/L", capacity="mmol/L", spheres="g", bath="L", density="kg/m**3",
          valid={"calcium": VALID["calcium"], "capacity": (0.5, 500), "spheres": (0.1, 1e6), "bath": (0.01, 1e4), "density": (900, 1500)})
def forgotten(calcium, capacity, spheres, bath, density=None):
    """Spheres left in the bath for good: (C V_bath - S V) / (V_bath + V) is left in both; where that is less than none, not all gels.

    calcium [mmol/L], 0.5 to 1,000; capacity [mmol/L], 0.5 to 500; spheres [g], 0.1 to 1e6; bath [L], 0.01 to 10,000; density [kg/m³],
    900 to 1,500; returns the strength of bath and liquid in the gel [mmol/L] and the share of the spheres that gels [percent].
    Raises OutOfRange where the bath does not hold them.  Source: balance of calcium.
    """
    volume, _ = _volumes("forgotten", spheres, bath, None, density)
    return max((calcium * bath - capacity * volume) / (bath + volume), 0.0), min(calcium * bath / (capacity * volume), 1.0)


Service = record("Service", strength="mmol/L", shell="mm", uptake="mmol/L")


@boundary(Service, scalars=True, batches="", batch="g", bath="L", **WHAT, bath_time="s", carried="g", **MORE,
          valid={"batches": (1, 200), "batch": (0.1, 1e6), "bath": (0.01, 1e4), **VALID, "bath_time": (0.1, 172800), "carried": (0, 1e5)})
def service(batches, batch, bath, diameter, calcium, dose, alginate, bath_time, carried=None, temperature=None, density=None, citrate=None):
    """Batch after batch through one bath, each with the strength that the last one left.

    Parameters
    ----------
    batches : how many, 1 to 200;  batch [g], 0.1 to 1e6;  bath [L], 0.01 to 10,000;  carried : spoon liquid per batch [g], 0 to 100,000
    diameter, calcium (fresh), dose, alginate, bath_time (0.1 to 172,800 s), temperature, density, citrate : as `spheres.history` takes them:
        1 to 50 mm, 0.5 to 1,000 mmol/L, 0.1 to 3 %, 0 to 60 °C, 900 to 1,500 kg/m³, 0 to 500 mmol/L

    Returns
    -------
    strength before each batch and after the last (batches + 1,) [mmol/L]; shell at the lift (batches,) [mm]; uptake (batches,) [mmol/L]

    Raises
    ------
    OutOfRange
        a batch that the bath does not hold.

    Notes
    -----
    Uptake and shell are run at five strengths and carried between them as a smooth curve in logarithms (0.1 %).

    Source
    ------
    `spheres.history` with its bath_ratio; balance of calcium.
    """
    volume, spoon = _volumes("service", batch, bath, carried, density)
    ratio = bath / volume
    nodes = np.log(calcium) + np.log(0.05) * (1 - np.cos(np.linspace(0, pi, 5))) / 2       # from all of it to a twentieth
    rows = [spheres.history.si(diameter, math.exp(node), dose, alginate, bath_time, bath_ratio=ratio, temperature=temperature, density=density,
                       citrate=citrate) for node in nodes]
    curves = [np.polynomial.Polynomial.fit(nodes, np.log([row[i] for row in rows]), 4) for i in (4, 2)]
    strength, found = [calcium], []
    for _ in range(int(batches)):
        shell, uptake = (math.exp(curve(math.log(max(strength[-1], 0.05 * calcium)))) for curve in curves)
        weak = min(strength[-1] / (0.05 * calcium), 1.0)     # below a twentieth nothing is worth a run: in proportion
        found.append((shell * weak ** 0.5, uptake * weak))
        strength.append(max(strength[-1] - found[-1][1] / ratio, 0.0) * (1 - spoon / bath))
    return np.array(strength), *np.array(found).T
