"""Low and high of weak parameters carried to a result."""
from typing import NamedTuple

import numpy as np

from .tables import Row
from .units import Quantity, plain, show


class Spread(NamedTuple):
    """A value that is known between low and high; all three of one kind (quantities, arrays of them, or pure numbers)."""
    low: object
    mid: object
    high: object

    def __str__(self):
        return said(self)


def of(row, name):
    """A row's value with its spread; low = mid = high where the row has none."""
    fact = row.fact(name)
    return Spread(fact.value if fact.low is None else fact.low, fact.value, fact.value if fact.high is None else fact.high)


def spread(model, weak=(), field=None, **arguments):
    """The result of a model with the low and high that its weak parameters leave.

    Parameters
    ----------
    model : any function of quantities; one that returns a record needs `field`.
    weak : names of row facts whose spread counts, in whatever Row stands among the arguments.
    arguments : the model's; one given as a `Spread` is weak itself.

    Returns
    -------
    Spread of the model's result.

    Notes
    -----
    Each weak parameter goes to its low and its high with the others at rest; the moves of the result are combined by
    root-sum-square, up and down apart, because independent parameters seldom sit at their worst ends together. Results that are
    all positive are combined as ratios, so that a low never falls below zero.

    Source
    ------
    jcgm-100-2008, 5.1.2 equation 10, with the differences of 5.1.3 note 2 in place of derivatives.
    """
    at_rest = {name: value.mid if isinstance(value, Spread) else value for name, value in arguments.items()}

    def run(**changed):
        got = model(**{**at_rest, **changed})
        return getattr(got, field) if field else got

    moves = []
    for name, value in arguments.items():
        if isinstance(value, Spread):
            moves.append(({name: value.low}, {name: value.high}))
        elif isinstance(value, Row):
            for fact in (value.fact(w) for w in weak if w in value):
                if fact.low is not None:
                    moves.append(tuple({name: value.but(**{fact.property: end})} for end in (fact.low, fact.high)))
    mid = run()
    unit = mid.units if isinstance(mid, Quantity) else None
    bare = (lambda q: np.asarray(q.m_as(unit), float)) if unit is not None else (lambda q: np.asarray(q, float))
    ends = [(bare(run(**a)), bare(run(**b))) for a, b in moves]
    low, high = _combined(bare(mid), ends, ratio=unit is None or unit._units and not str(unit).startswith("degree_"))
    back = (lambda x: Quantity(x if np.ndim(x) else float(x), unit)) if unit is not None else (lambda x: x if np.ndim(x) else float(x))
    return Spread(back(low), mid, back(high))


def _combined(mid, ends, ratio):
    if not ends:
        return mid, mid
    everything = np.array([mid, *(e for pair in ends for e in pair)])
    positive = (everything >= 0).all(axis=0) & (mid > 0) if ratio else np.zeros(mid.shape, bool)
    with np.errstate(divide="ignore"):                       # an end at 0 is a step of -inf: the low is then 0
        scale = np.where(positive, np.log(np.where(positive, everything, 1.0)), everything)
        steps = scale[1:].reshape(len(ends), 2, *mid.shape) - scale[0]
        up = np.sqrt((np.maximum(steps.max(axis=1), 0) ** 2).sum(axis=0))
        down = np.sqrt((np.minimum(steps.min(axis=1), 0) ** 2).sum(axis=0))
        return (np.where(positive, np.exp(scale[0] - down), mid - down), np.where(positive, np.exp(scale[0] + up), mid + up))


def said(value, digits=2, unit=None):
    """'9.0 kPa (5.4 to 15 kPa)'; only the middle where low and high round to the same."""
    low, mid, high = value
    ends = [plain(q.m_as(unit or mid.units) if isinstance(q, Quantity) else q, digits) for q in (low, high)]
    middle = show(mid, digits, unit)
    name = middle.partition(" ")[2]
    return middle if ends[0] == ends[1] else f"{middle} ({ends[0]} to {ends[1]}{' ' + name if name else ''})"
