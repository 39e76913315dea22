"""What every model promises at its door, for the tests of the rooms."""
import importlib
import math
import pkgutil

import numpy as np
import pint
import pytest

import kitchenlib
from kitchenlib.units import OutOfRange, Q_


def models():
    """All functions behind the door."""
    for info in pkgutil.iter_modules(kitchenlib.__path__):
        if info.name in ("teaching", "__main__"):
            continue
        module = importlib.import_module(f"kitchenlib.{info.name}")
        yield from (f for f in vars(module).values() if hasattr(f, "takes") and f.__module__ == module.__name__)


def by_name(argument):
    """Id of a parameter that is a model or one of its arguments."""
    return argument.__name__ if callable(argument) else str(argument)


def magnitudes(result):
    """The numbers of a result, a row a field."""
    fields = [getattr(x, "m", x) for x in (result if hasattr(result, "_fields") else (result,))]
    return np.array(np.broadcast_arrays(*fields), float)


def with_unit(number, unit):
    return Q_(number, unit) if unit else number


def refuses(model, call, name, strange, outside):
    """Other kinds than the argument's are refused by its name, and numbers beyond its range by the model's and its own."""
    for bad in strange:
        with pytest.raises((TypeError, pint.DimensionalityError), match=name):
            model(**{**call, name: bad})
    for bad in outside:
        with pytest.raises(OutOfRange, match=f"{model.__name__}: {name}"):
            model(**{**call, name: with_unit(bad, model.takes[name])})


def same_in(model, call, name, unit):
    """Another unit gives the same."""
    assert magnitudes(model(**{**call, name: call[name].to(unit)})) == pytest.approx(magnitudes(model(**call)), rel=1e-9)


def same_for_many(model, call, name):
    """An array gives for each of its members what the number alone gives."""
    pair = Q_([getattr(call[name], "m", call[name])] * 2, model.takes[name] or "dimensionless")
    here, both = magnitudes(model(**call)), magnitudes(model(**{**call, name: pair}))
    both = both.reshape(len(here), -1)
    assert both == pytest.approx(np.broadcast_to(here[:, None], both.shape))


def beyond(model, name):
    """Numbers just outside both ends, and none at all."""
    low, high = model.valid[name]
    return low - 0.01 * (abs(low) or 1), high * 1.01, math.nan
