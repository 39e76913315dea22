"""Every public model, found by itself the day it is written: finite inside its range, the same in any unit and for many at once, its
refusals plain and by name; and monotone where a law says so."""
import inspect
import math
import re
import traceback
from functools import cache

import numpy as np
import pint
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from doors import models, with_unit
from kitchenlib import nitrogen, tables
from kitchenlib.mixes import Mix, read
from kitchenlib.pieces import Food
from kitchenlib.tables import Row, kinds, row
from kitchenlib.units import OutOfRange, Q_, Quantity, convert, same_kind

MODELS = {f"{model.__module__.rpartition('.')[2]}.{model.__name__}": model for model in models()}

# --- what a declaration does not say -------------------------------------------------------------------------------------------------
# Which rows of the tables an argument stands for, by its name; `model.argument` where one model wants others.
ACIDS = ("citric acid", "malic acid", "tartaric acid", "lactic acid", "acetic acid")
SALTS = ("calcium chloride anhydrous", "calcium chloride dihydrate", "calcium chloride hexahydrate", "calcium lactate anhydrous",
         "calcium lactate pentahydrate", "calcium gluconate monohydrate", "calcium lactate gluconate")
CITRATE = ("trisodium citrate dihydrate",)
OILS = ("canola oil", "rapeseed oil", "corn oil", "cottonseed oil", "peanut oil", "sunflower oil")
GELLED = ("watery gel", "milky gel", "white sauce", "strawberry", "sunflower oil")
EGGS = ("egg yolk", "pasteurized egg yolk", "heavy cream")
COOLERS = ("still freezer", "blast freezer", "plate freezer", "salt and ice", "dry ice in alcohol", "nitrogen bath", "nitrogen tunnel",
           "cold nitrogen gas", "still nitrogen gas")
VESSELS = ("steel pot", "steel bowl", "steel tray", "plastic tub", "plastic bowl", "plastic tray", "glass dish")
LEAVES = ("gelatin leaf bronze", "gelatin leaf silver", "gelatin leaf gold", "gelatin leaf platinum")
FRUIT_AND_ROOTS = ("apple", "carrot", "lemon", "onion", "pineapple")
KIND = {
    "acid": ACIDS, "told_as": ACIDS, "wanted": ACIDS, "acidity.protonated.acid": ("guluronic acid", "mannuronic acid"),
    "calcium.beside_citrate.acid": ("citric acid",), "salt": SALTS, "other": SALTS, "method": ("direct spheres", "reverse spheres"),
    "calcium.damp.salt": tuple(salt for salt in SALTS if salt != "calcium lactate gluconate"), "calcium.warming.salt": SALTS[:3],
    **{f"acidity.{name}.salt": CITRATE for name in ("citrate_for", "citrate_dose", "citrate_by_ph_alone", "ph_with_citrate")},
    "liquids.judged.salt": CITRATE, "alginate": kinds("sodium alginate", own=False), "oil": OILS, "food": GELLED, "egg": EGGS,
    "keeping.same_heat.egg": ("warm yolk sauce",), "acidity.buffer_from.food": EGGS, "weighing.to_buy.food": FRUIT_AND_ROOTS,
    "service.bought_cost.food": FRUIT_AND_ROOTS, "keeping.ph_with.food": ("lemon juice", "distilled vinegar", "water", "egg yolk"),
    "alginate.viscosity.grade": kinds("sodium alginate", own=False), "alginate.rest.grade": kinds("sodium alginate", own=False),
    "water": kinds("tap water", own=False), "scoop": ("scoop",), "plate": ("porcelain plate",), "crystals": ("ice crystals",),
    "droplets": ("packed droplets",), "tool": ("hand whisk", "electric whisk", "stick blender", "shaken jar"),
    "gels.modulus.grade": ("agar", "gelatin", *LEAVES, "agar Gelidium amansii", "kappa-carrageenan"),
    "gels.gel_strength.grade": ("agar Gelidium amansii", "agar Gracilaria chilensis", "agar Gracilaria refined"),
    "gels.after_boiling.agent": ("sucrose",), "leaf": LEAVES, "vessel": VESSELS,
    "surroundings": ("still fridge", "fan fridge", "counter", "ice bath", "stirred ice bath"), "thickener": ("xanthan",),
    "fat": ("butter fat",), "kind": ("fruit juice", "vegetable juice", "sweet dairy", "soured dairy", "plant milk", "fortified drink",
                                     "drinking water", "alcoholic drink"),
    "wrap": ("piping bag", "cloth around the bag", "no vessel", "glass dish"), "cold": COOLERS, "pieces.pham.cold": COOLERS[:4],
    "agent": ("agar", "gelatin", "kappa-carrageenan"), "setting.chain_cut_rate.agent": ("iota-carrageenan",),
    "setting.time_to_one_cut.agent": ("iota-carrageenan", "kappa-carrageenan"), "setting.maturation.agent": ("gelatin", *LEAVES),
    "fruit": ("pineapple",), "solute": ("sucrose", "glucose", "fructose", "glycerol", "sorbitol"), "loose": ("sugar",)}
MIXES = tuple(map(read, (
    "water 750 g + sucrose 250 g", "water 900 g + sucrose 60 g + glucose 30 g + salt 5 g", "whole milk 500 g + heavy cream 200 g + sucrose 130 g",
    "strawberry 500 g + sucrose 120 g + water 100 g", "water 1000 g")))
SOUR = tuple(map(read, ("lemon juice 60 g + egg yolk 40 g", "distilled vinegar 30 g + water 20 g + egg yolk 60 g")))
MIX = {"keeping.mix_ph.mix": SOUR, "keeping.ph_with.mix": SOUR,
       "emulsions.phases.mix": tuple(map(read, ("olive oil 200 g + egg yolk 20 g + water 20 g", "sunflower oil 300 g + egg yolk 36 g + lemon juice 15 g")))}
WORDS = {"place": ("UK", "United States", "nowhere", ""), "material": nitrogen.materials()}
WHOLE = {"covers", "step", "lost", "discs", "cells", "count", "tips", "batches"}
# Ranges for arguments whose declaration leaves them open: what is allowed depends on a row, or has no end.
OPEN = {"temperature": (-10, 110), "start": (-10, 110), "sets": (-10, 110), "time": (0, 1e7), "bath_ratio": (1, 1e6), "hold_ratio": (0.1, 1e6)}
# Readings in a row, three of each.
SERIES = {"rules.clock.times", "rules.clock.temperatures", "setting.enzyme_left.times", "setting.enzyme_left.temperatures",
          "pieces.history.durations", "pieces.history.temperatures", "pieces.history.films"}
# Narrower than declared, where arguments must fit each other: drawn at random nearly every call would be refused. Two draws of three.
_DRIPPED = {"start": (40, 100), "sets": (25, 39), "temperature": (2, 20)}
_COOLED = {"start": (60, 150), "target": (20, 50), "surroundings": (-30, 10)}
_SOURED = {"from_ph": (2, 4), "to_ph": (4.1, 6.9), "citric": (1, 100), "malic": (0, 60)}
NARROW = {
    "drops.chill": _DRIPPED, "pearls.set_share": _DRIPPED, "pearls.warmest_oil": {**_DRIPPED, "height": (300, 2000), "diameter": (2, 6)},
    "drops.tip_for": {"diameter": (2, 4)}, **{f"drops.{name}": {"start": (40, 100), "temperature": (0, 20), "warming": (0.1, 15)}
                                             for name in ("oil_needed", "drops_for")},
    "pearls.time_in_hand": {"start": (60, 100), "sets": (40, 55), "room": (-10, 35)}, "emulsions.stiffness_ratio": {"share": (76, 99), "other_share": (76, 99)},
    "heat.cooling_time": _COOLED, "conduction.core_time": _COOLED, "pieces.freezing_time": {"start": (-5, 40), "end": (-17, -5)},
    "setting.chain_cut_rate": {"temperature": (60, 101)}, "setting.time_to_one_cut": {"temperature": (60, 101)},
    "setting.enzyme_rate": {"temperature": (55, 67)},
    **{f"acidity.{name}": _SOURED for name in ("citrate_for", "citrate_dose", "citrate_by_ph_alone", "water_for")}}
FEW = {"pieces.history": 3, "cryo.on_plate": 4, **{f"spheres.{name}": 4 for name in ("history", "shell_in_bath", "solid_after", "bath_time", "service")}}
ROUGH = {"pieces.history"}                                  # a solver's steps turn on the last digit


def test_rows_named_here_are_for_models_that_there_are():
    names = {f"{name}.{argument}" for name, model in MODELS.items() for argument in model.takes}
    known = names | {name.rpartition(".")[2] for name in names}
    narrow = {f"{name}.{argument}" for name, ends in NARROW.items() for argument in ends if argument in MODELS[name].takes}
    assert {*KIND, *MIX, *WORDS, *WHOLE, *OPEN, *SERIES, *narrow} <= known and {*FEW, *ROUGH} <= set(MODELS)


# --- calls ---------------------------------------------------------------------------------------------------------------------------
def _number(low, high, whole=False):
    """One draw -> a number of a kitchen, four digits, from one end to the other, the ends too; of every decade where there are many."""
    decades = low >= 0 and high > 100 * low
    least = math.log(max(low, 1e-6 * high)) if decades else 0.0

    def number(place):
        part = place / 1000
        x = math.exp(least + part * (math.log(high) - least)) if decades and place % 3 else low + part * (high - low)
        return low if place == 0 else high if place >= 990 else min(max(round(x) if whole else float(f"{x:.4g}"), low), high)
    return st.integers(0, 999).map(number)


def quantities(name):
    return [argument for argument, kind in MODELS[name].takes.items() if isinstance(kind, str)]


def ends(name, argument):
    return [OPEN[argument][i] if end is None else end for i, end in enumerate(MODELS[name].valid.get(argument, (None, None)))]


@cache
def values(name, argument, narrow=False):
    """Strategy for one argument of a model, from its declaration and the tables above."""
    model = MODELS[name]
    kind, full = model.takes[argument], f"{name}.{argument}"
    if isinstance(kind, tuple):
        return st.sampled_from(kind)
    if kind is str:
        return st.sampled_from(WORDS[argument])
    if kind is Mix:
        return st.sampled_from(MIX.get(full, MIXES))
    if kind is Row:
        return st.sampled_from([row(key, own=False) for key in KIND.get(full) or KIND[argument]])
    if kind is Food:
        return st.sampled_from([row("strawberry", own=False), row("green peas", own=False), *MIXES[:3]])
    number = _number(*(narrow and NARROW[name].get(argument) or ends(name, argument)), argument in WHOLE)
    if full in SERIES:
        number = st.lists(number, min_size=3, max_size=3, unique=argument == "times").map(sorted if argument == "times" else list).map(np.array)
    return number.map(lambda x: with_unit(x, kind))


@cache
def calls(name):
    """Strategy for a model's calls: all it takes; what may be left out is left out every other time."""
    optional = {argument for argument, p in inspect.signature(MODELS[name]).parameters.items() if p.default is None}

    def made(narrow):
        each = {argument: values(name, argument, narrow) for argument in MODELS[name].takes}
        return st.fixed_dictionaries({a: st.none() | v if a in optional and not (narrow and a in NARROW[name]) else v for a, v in each.items()})
    return made(True) | made(True) | made(False) if name in NARROW else made(False)


def hunt(name, check, many=20, **more):
    """Runs check(call, ...) over calls of a model, the same ones each time."""
    settings(max_examples=FEW.get(name, many), derandomize=True, database=None, deadline=None,
             suppress_health_check=list(HealthCheck))(given(calls(name), **more)(check))()


def answer(name, call):
    """What a model gives for a call; None where it refuses, which it may, in a sentence of its own."""
    try:
        return MODELS[name](**call)
    except (LookupError, ValueError, TypeError) as error:
        said, last = str(error), traceback.extract_tb(error.__traceback__)[-1]
        assert type(error) in (OutOfRange, LookupError, ValueError, TypeError) and last.line.startswith("raise "), f"a bare {error!r}"
        assert len(said.splitlines()) == 1 and len(said) < 400 and not re.search(r"array\(|float64| nan|object at", said), said
        return None


def numbers(result):
    """{field: numbers of a result}."""
    each = zip(result._fields, result) if hasattr(result, "_fields") else [("", result)]
    return {field: np.asarray(getattr(x, "m", x)) for field, x in each}


def units(name):
    return getattr(MODELS[name].returns, "units", {"": MODELS[name].returns})


# What a result can be beyond the rule (finite, not below 0, a percentage up to 100), and why.
SIGNED = {
    "acidity.charge": "an anion", "acidity.strong_ions": "less chloride; a meter's two digits", "cryo.heat_out": "warmed, not cooled",
    "drops.stokes_speed": "up", "drops.fall.speed": "up", "drops.fall.stokes": "up", "drops.clean_drop_speed": "up",
    "drops.chill.depth": "up", "drops.chill.speed": "up", "heat.water.expansion": "shrinks up to 4 °C", "pieces.history.heat": "taken up",
    "keeping.density_difference": "either may be heavier", "solutions.holding.outward": "inwards", "solutions.holding.heavier": "lighter",
    **{f"weighing.{name}": "an error has a sign" for name in ("off_by_weight.error", "off_by_trickle.error", "off_in_water.error",
                                                             "electrode.offset")},
    "weighing.electrode.slope": "buffers swapped", "weighing.true_ph": "a straight line past its end", **{f"cryo.routes.{route}_error": "an error has a sign" for route in ("linear", "all")}}
ENDLESS = {"keeping.creaming_time": "droplets locked in each other", "room.time_until": "never comes to that level",
           "room.recovery_time": "no fresh air", "rules.clock.started": "never above", "rules.clock.passed": "never below",
           "rules.clock.reached": "never there"}
ABOVE_ALL = {
    "emulsions.overrun.overrun": "of the liquid", "liquids.hard_water.bath": "of the bath", "liquids.hard_water.rinse": "of the bath's pace",
    "weighing.on_liquid": "of the liquid",
    "weighing.bakers_percent": "of the flour", "spheres.shortcut_error": "an error", "cryo.routes.linear_error": "an error",
    "cryo.routes.all_error": "an error", "gels.squash.small": "a straight line past its end, beside the law that bends",
    "gels.sag": "a straight line past its end", "cryo.freezing_power": "of sucrose's", "cryo.sweetness": "of sucrose's",
    **{f"weighing.{name}": "an uncertainty may be larger than what is weighed" for name in (
        "resolution.relative", "dose_weighed.relative", "dose_weighed.standard", "dose_weighed.high", "carried.relative", "carried.high",
        "by_stock.relative")}, "weighing.electrode.slope": "a meter's, of what it should be"}


def can_be(name, call):
    """A model's answer to a call, which is refused (None) or a number that can be: finite, real, not below 0, no share above 1."""
    result = answer(name, call)
    for field, x in numbers(result).items() if result is not None else ():
        what, unit = f"{name}.{field}".rstrip("."), units(name)[field]
        assert x.dtype.kind in "fi" and not np.isnan(x).any(), (what, x)
        assert np.isfinite(x).all() or what in ENDLESS, (what, x)
        assert (x >= 0).all() or re.search("deg[CF]", unit) or what in SIGNED, (what, x)
        assert (x <= 100 + 1e-9).all() or unit != "percent" or what in ABOVE_ALL, (what, x)
    return result


# --- the same in another unit, and for many at once -----------------------------------------------------------------------------------
NAMED = {"degree_Celsius": "degF", "delta_degree_Celsius": "delta_degF", "gram": "ounce", "kilogram": "pound", "millimeter": "inch",
         "micrometer": "mm", "meter": "foot", "minute": "hour", "second": "min", "hour": "s", "day": "hour", "percent": "g/kg",
         "degree_brix": "percent", "milliliter": "fluid_ounce", "liter": "mL", "kilopascal": "mbar", "kilogram / meter ** 3": "g/mL",
         "millimole / liter": "mol/m**3", "milligram / liter": "g/m**3", "gram / liter": "ounce/L"}


def other_unit(unit):
    """Another unit of the same kind, a cook's own where there is one; None where there is none."""
    unit = Q_(1, unit).units
    found = Q_(1, NAMED[str(unit)]).units if str(unit) in NAMED else Q_(1, unit).to_base_units().units
    return None if found == unit else found


def same_numbers(x, y, *what, digits=6):
    """The same but for the last digits."""
    assert x.shape == y.shape and np.allclose(x, y, rtol=10.0 ** -digits, atol=1e-9 * np.max(np.abs(y), initial=1e-3, where=np.isfinite(y))), (*what, x, y)


def in_other_units(name, call, one):
    """A call in other units gives what it gives."""
    there = {argument: value.to(other_unit(value.units)) if isinstance(value, Quantity) and other_unit(value.units) else value
             for argument, value in call.items()}
    two = answer(name, there)
    assert two is not None, "refused in other units"
    for field, x in numbers(one).items():
        same_numbers(x, numbers(two)[field], field, digits=3 if name in ROUGH else 6)


def many_at_once(name, call):
    """Two values of an argument at once give what each gives alone; the caller's array stays as it was."""
    model = MODELS[name]
    for argument in quantities(name):
        if call[argument] is None or f"{name}.{argument}" in SERIES or argument in model.scalars:
            continue
        here, (low, high) = getattr(call[argument], "m", call[argument]), ends(name, argument)
        both = np.array([here, here + 0.25 * ((low + high) / 2 - here)])
        given = both.copy()
        at_once = answer(name, {**call, argument: Q_(given, model.takes[argument] or "dimensionless")})
        assert np.array_equal(both, given), f"{argument} was changed"
        each = [answer(name, {**call, argument: with_unit(float(x), model.takes[argument])}) for x in both]
        assert (at_once is None) == (None in each), f"{argument} = {both}: alone {each}, together {at_once}"
        for field, x in numbers(at_once).items() if at_once is not None else ():
            wanted = np.array([numbers(one)[field] for one in each])
            same_numbers(np.broadcast_to(x, wanted.shape), wanted, argument, field)


ANSWERED = {}                                                # calls that a model has answered


def answered(name, many=12):
    """Checks calls of a model; those that it answered. Once a name."""
    if name not in ANSWERED:
        found = []

        def check(call):
            result = can_be(name, call)
            if result is not None:
                found.append(call)
                in_other_units(name, call, result)
                many_at_once(name, call)
        hunt(name, check, many)
        ANSWERED[name] = found
    return ANSWERED[name]


@pytest.mark.parametrize("name", MODELS)
def test_inside_its_range_a_model_gives_numbers_that_can_be_in_any_unit_and_for_many_at_once(name):
    assert answered(name), "every call was refused"


@pytest.mark.parametrize("name", MODELS)
def test_refusals_name_the_argument(name):
    """Beyond each end, no number, endless, another kind, bare, text, nothing, an array for a scalar."""
    model, call = MODELS[name], answered(name)[0]
    for argument, kind in model.takes.items():
        what = rf"{model.__name__}: {argument}\b"

        def refused(value, *errors):
            with pytest.raises(errors, match=what) as caught:
                model(**{**call, argument: value})
            said = str(caught.value)
            assert len(said.splitlines()) == 1 and len(said) < 400, said
        if isinstance(kind, tuple):
            for word in ("none of these", 1.0, Q_(1, "g")):
                refused(word, ValueError)
        elif not isinstance(kind, str):
            for strange in ("no such thing", 1.0, Q_(1, "g"))[kind is str:]:
                refused(strange, TypeError)
        else:
            shape = np.ones(3) if f"{name}.{argument}" in SERIES else 1.0
            low, high = model.valid.get(argument, (None, None))
            step = 1e-6 * max(abs(low or 0.0), abs(high or 0.0), 1e-9)
            beyond = [end + way * step for end, way in ((low, -1), (high, 1)) if end is not None]
            for number in (*beyond, math.nan, math.inf, -math.inf):
                refused(with_unit(number * shape, kind), OutOfRange)
            refused("5 g", TypeError)
            refused(True, TypeError)
            refused([[]], TypeError)
            refused(Q_(5.0, "candela"), pint.DimensionalityError)
            if kind:
                refused(5.0 * shape, TypeError)
            if argument in model.scalars:
                refused(with_unit(np.array(ends(name, argument), float), kind), TypeError)
            if re.search("^deg[CF]", kind):
                refused(Q_(5.0 * shape, "delta_degC"), pint.DimensionalityError)


# --- what was found here, each mended where it was ---------------------------------------------------------------------------------------
DROP = {"time": Q_(1, "s"), "diameter": Q_(4, "mm"), "film": Q_(150, "W/m**2/kelvin"), "food": row("watery gel", own=False)}
SALT_OF_LACTATE = {"salt": row("calcium lactate anhydrous", own=False), "uptake": Q_(0, "percent")}
REFUSED = {
    "a drop as cold as its oil divided by nothing": (
        "pearls.set_share", {**DROP, "start": Q_(20, "degC"), "sets": Q_(20, "degC"), "temperature": Q_(20, "degC")}, "mix must be warmer"),
    "oil nearer to setting than 1 °C was told to be colder than it is": (
        "pearls.warmest_oil", {"height": Q_(500, "mm"), "diameter": Q_(4, "mm"), "start": Q_(60, "degC"), "sets": Q_(32, "degC"),
                               "temperature": Q_(31.5, "degC"), "oil": row("sunflower oil", own=False), "food": DROP["food"]}, "less than 1 °C under")}


@pytest.mark.parametrize("name, call, says", REFUSED.values(), ids=REFUSED)
def test_what_cannot_be_is_refused(name, call, says):
    with pytest.raises(OutOfRange, match=says):
        MODELS[name](**call)


def test_dry_salt_holds_no_less_than_no_water():
    assert MODELS["calcium.damp"](**SALT_OF_LACTATE).water == 0


def test_at_0_degrees_nothing_of_pure_water_is_frozen_yet_and_all_of_it_below():
    share = MODELS["cryo.linear_frozen_share"](MIXES[-1], Q_([0, -0.1], "degC"))
    assert share.m == pytest.approx([0, 100])


def test_a_spill_among_pours_does_not_make_them_spills():
    """Durations 0 and 10 min together were both taken as all at once."""
    air = {"time": Q_(1, "min"), "liquid": Q_(10, "L"), "room": Q_(30, "m**3"), "air_changes": Q_(0, "1/hour"), "fan": "extract"}
    spilt, poured = MODELS["room.oxygen_over_time"](duration=Q_([0, 10], "min"), **air).m
    assert spilt == MODELS["room.oxygen_if_spilt"](air["liquid"], air["room"]).m and poured > 20


def test_a_bath_is_never_emptier_than_empty():
    found = MODELS["spheres.service"](batches=2, batch=Q_(891, "kg"), bath=Q_(2430, "L"), diameter=Q_(16.97, "mm"), calcium=Q_(1.979, "mmol/L"),
                                      dose=Q_(0.709, "percent"), alginate=row("sodium alginate", own=False), bath_time=Q_(73090, "s"))
    assert (found.strength.m >= 0).all()
