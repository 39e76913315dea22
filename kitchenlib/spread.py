"""Low and high of weak parameters carried to a result."""
from typing import NamedTuple

import numpy as np

from .tables import Row, properties
from .units import Quantity, convert, nearest, one_of, show, si_unit


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
    weak : names of row facts whose spread counts, in whatever Row stands among the arguments; a fact that two rows share moves in both.
    arguments : the model's; one given as a `Spread` is weak itself.

    Returns
    -------
    Spread of the model's result.

    Notes
    -----
    Each weak parameter goes to its low and its high with the others at rest; the moves of the result are combined by
    root-sum-square, up and down apart, because independent parameters seldom sit at their worst ends together. Results that are
    all positive are combined as ratios, so that a low never falls below zero; temperatures are not.

    Raises
    ------
    LookupError, TypeError, ValueError
        A weak name that no property has; a record without `field`; a field that it has not.

    Source
    ------
    jcgm-100-2008, 5.1.2 equation 10, with the differences of 5.1.3 note 2 in place of derivatives.
    """
    at_rest = {name: value.mid if isinstance(value, Spread) else value for name, value in arguments.items()}

    def run(**changed):
        got = model(**{**at_rest, **changed})
        if hasattr(got, "_fields"):
            if field is None:
                raise TypeError(f"{getattr(model, '__name__', 'the model')} gives {', '.join(got._fields)}: say which with field=")
            return getattr(got, one_of(field, got._fields, "field"))
        return got

    mid = run()
    unit = mid.units if isinstance(mid, Quantity) else None
    bare = (lambda q: np.array(q.m_as(unit), float)) if unit is not None else (lambda q: np.array(q, float))
    ends = [tuple(bare(run(**end)) for end in move) for move in _moves(arguments, (weak,) if isinstance(weak, str) else weak)]
    has_own_zero = unit is None or convert(0.0, unit, si_unit(unit)) == 0          # of 20 °C no ratio can be taken
    low, high = _combined(bare(mid), ends, has_own_zero)
    back = (lambda x: Quantity(x if np.ndim(x) else float(x), unit)) if unit is not None else (lambda x: x if np.ndim(x) else float(x))
    return Spread(back(low), mid, back(high))


def _moves(arguments, weak):
    """[({argument: at its low}, {argument: at its high})]; a fact that several rows share, as two products of one kind do, moves in all."""
    moves = [({name: value.low}, {name: value.high}) for name, value in arguments.items() if isinstance(value, Spread)]
    rows = {name: value for name, value in arguments.items() if isinstance(value, Row)}
    for word in weak:
        holders = {name: value.fact(word) for name, value in rows.items() if word in value}
        if not holders and word not in properties():
            near = nearest(word, [*properties(), *(known for value in rows.values() for known in value)])
            raise LookupError(f"{word} is no property" + (f"; {near}?" if near else "; see tables.properties()"))
        facts = []
        for fact in holders.values():
            if fact.low is not None and fact not in facts:
                facts.append(fact)
        for fact in facts:
            moves.append(tuple({name: rows[name].but(**{word: end}) for name, held in holders.items() if held == fact}
                               for end in (fact.low, fact.high)))
    return moves


def _combined(mid, ends, ratio):
    if not ends:
        return mid, mid.copy()
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
    low, middle, high = (show(q, digits, unit) for q in value)
    name = middle.partition(" ")[2]
    low, high = (end.partition(" ")[0] for end in (low, high))
    return middle if low == high else f"{middle} ({low} to {high}{' ' + name if name else ''})"
