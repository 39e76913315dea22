"""Every public model, found by itself the day it is written: finite inside its range, the same in any unit and for many at once, its
refusals plain and by name; and monotone where a law says so."""
import inspect
import math
import re
import traceback
from functools import cache
from pathlib import Path

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

SOURCE = {str(path): path.read_text(encoding="utf-8").splitlines() for path in Path(tables.__file__).parent.glob("*.py")}
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
# So many times fewer draws of slow ones.
FEWER = {"pieces.history": 6, "pieces.freezing_time": 3, "pieces.dip": 3, "cryo.on_plate": 4, "cryo.serving_temperature": 2, "baths.service": 4,
         **{f"spheres.{name}": 4 for name in ("history", "shell_in_bath", "solid_after", "bath_time")}}
ROUGH = {"pieces.history"}                                  # a solver's steps turn on the last digit


def test_rows_named_here_are_for_models_that_there_are():
    names = {f"{name}.{argument}" for name, model in MODELS.items() for argument in model.takes}
    known = names | {name.rpartition(".")[2] for name in names}
    narrow = {f"{name}.{argument}" for name, ends in NARROW.items() for argument in ends if argument in MODELS[name].takes}
    assert {*KIND, *MIX, *WORDS, *WHOLE, *OPEN, *SERIES, *narrow} <= known and {*FEWER, *ROUGH} <= set(MODELS)


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
    settings(max_examples=max(many // FEWER.get(name, 1), 3), derandomize=True, database=None, deadline=None,
             suppress_health_check=list(HealthCheck))(given(call=calls(name), **more)(check))()


def answer(name, call):
    """What a model gives for a call; None where it refuses, which it may, in a sentence of its own."""
    try:
        return MODELS[name](**call)
    except (LookupError, ValueError, TypeError) as error:
        said, (frame, line) = str(error), list(traceback.walk_tb(error.__traceback__))[-1]
        raised = SOURCE.get(frame.f_code.co_filename, [""] * line)[line - 1].split()[:1] == ["raise"]
        assert type(error) in (OutOfRange, LookupError, ValueError, TypeError) and raised, f"a bare {error!r}"
        assert len(said.splitlines()) == 1 and len(said) < 400 and not re.search(r"array\(|float64| nan|object at", said), said
        assert type(error) is LookupError or re.search("[Rr]aises|refus|errors as", MODELS[name].__doc__), f"its docstring does not tell of: {said}"
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
    **{f"instruments.{name}": "an error has a sign" for name in ("off_by_weight.error", "off_by_trickle.error", "off_in_water.error",
                                                             "electrode.offset")},
    "instruments.electrode.slope": "buffers swapped", "instruments.true_ph": "a straight line past its end",
    **{f"cryo.routes.{route}_error": "an error has a sign" for route in ("linear", "all")}}
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
        "by_stock.relative")}, "instruments.electrode.slope": "a meter's, of what it should be"}


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


def answered(name, many=9):
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


# --- which way it goes ---------------------------------------------------------------------------------------------------------------
# room: "model[.field] argument + or - why": the result rises (falls) with the argument, whatever the others are; by a law, not by our output.
LAWS = {
    "instruments": (
        "off_by_weight.error reading + by definition", "off_in_ice.error reading + by definition",
        "off_by_trickle.error lifted - what has gone from the jug"),
    "weighing": (
        "of_total dose + a share of the whole", "into_liquid dose + mass balance", "sugar_for strength + mass balance",
        "water_to_dilute wanted - mass balance", "to_buy wanted + mass balance", "resolution.relative mass - the same step of more",
        "smallest_batch dose - the same step of more", "per_litre density + more of it in a litre",
        "usable_price share - more of it thrown away", "flour_for formula - the more of all else the less flour",
        "strongest_stock batch + more of it weighed"),
    "solutions": (
        "ice_activity temperature + Clausius-Clapeyron: ice over subcooled water", "ice_temperature activity + the same turned round",
        "norrish share - Raoult", "linear_freezing_point molality - Blagden", "boiling_point pressure + Clausius-Clapeyron",
        "osmotic_pressure temperature + van 't Hoff", "syrup sugar + a share", "syrup water - a share", "simmered lost + the sugar stays",
        "syrup_density brix + sucrose is heavier than water", "floating_brix density + the same turned round"),
    "acidity": (
        "ph citric - charge balance: more acid", "ph acetic - charge balance: more acid", "ph strong_ions + charge balance: more base",
        "charge ph + Le Chatelier: fewer protons, more of them lost", "buffer_from mass + more of it", "buffer_from water - thinned",
        "titrated base + equivalents", "titrated sample - equivalents", "acid_behind acidity + equivalents",
        "strong_ions from_ph + charge balance", "citrate_for to_ph + charge balance", "water_for to_ph + charge balance",
        "ph_with_citrate citrate + a base takes protons", "ph_diluted water + towards the 7 of water"),
    "calcium": (
        "concentration dose + more salt", "salt_for calcium + mole balance", "damp.calcium uptake - thinned by water",
        "free.calcium total + mass action", "beside_citrate.calcium citrate - it is bound", "beside_citrate.calcium calcium + mass action",
        "hardness.total magnesium + it counts too", "per_guluronate dose - more guluronate", "per_guluronate calcium + more calcium",
        "calcium_at dose + mole balance"),
    "alginate": (
        "viscosity dose + more chains", "viscosity temperature - hotter is thinner",
        "time_to_clear.rigid bubble - Stokes: a bigger bubble is quicker", "time_to_clear.clean viscosity + Stokes",
        "time_to_clear.rigid depth + a longer way", "bubble_left.rigid rest - the bigger ones are gone", "rest.rigid dose + thicker",
        "ohnesorge viscosity + by definition", "impact.speed height + free fall", "bead tip + Tate", "filling_time mass + more drops",
        "filling_time tips - shared"),
    "conduction": (
        "first_root.root biot + zeta tan zeta = Bi", "difference_left fourier - heat flows downhill",
        "difference_left biot - a better film", "difference_left place - the surface first", "mean_left fourier - heat flows downhill",
        "fourier_for left - longer for less", "core_time thickness + a longer way", "core_time film - a better film",
        "inside.centre time - it cools", "inside.surface surroundings + Newton", "biot thickness + by definition"),
    "heat": (
        "water.viscosity temperature - hotter is thinner", "water.density temperature - above 4 °C it expands",
        "air.density temperature - Gay-Lussac", "air.viscosity temperature + kinetic theory of gases",
        "radiation_film surface + Stefan-Boltzmann", "radiation_film emissivity + Stefan-Boltzmann",
        "natural_film surface + a greater difference drives more", "vessel_size.diameter batch + more of it",
        "cooling_time mass + more heat", "cooling_time area - more way out", "cooling_time film - more way out",
        "temperature_after time - Newton", "cooling.stirred batch + less skin for its mass", "cooling.stirred target - longer for colder",
        "cooled.stirred time - Newton", "mixing_temperature temperature + heat balance", "warm_to wanted + heat balance"),
    "drops": (
        "water_surface_tension temperature - Eötvös", "drop.diameter tip + Tate", "drop.diameter tension + Tate",
        "drop.diameter density_difference - Tate", "tip_for diameter + Tate", "jet_flow tension + it holds drops together",
        "sphere_volume diameter + cube", "pearls_in diameter - cube", "oil_viscosity temperature - hotter is thinner",
        "oil_density temperature - it expands", "stokes_speed diameter + Stokes: a bigger drop is quicker",
        "stokes_speed viscosity - Stokes", "fall.speed diameter + a bigger drop is quicker", "fall.speed viscosity - drag",
        "clean_drop_speed inner_viscosity - Hadamard", "nusselt prandtl + a thinner film", "chill.time diameter + square of the way",
        "chill.time start + more heat", "chill.time sets - less far to cool", "oil_warming drops + heat balance",
        "oil_warming mass - heat balance", "oil_needed warming - heat balance", "drops_for mass + heat balance"),
    "emulsions": (
        "oil_share oil + a share", "mass_share share + a share", "relative_viscosity share + Einstein and all after him",
        "share_for times + the same turned round", "modulus tension + Laplace", "modulus droplet - Laplace",
        "modulus share + more tightly packed", "modulus_princen_kiss droplet - Laplace", "interface droplet - area over volume",
        "interface share + more of it", "emulsifier_needed droplet - area over volume", "emulsifier_limit protein + covers more",
        "finest_droplet concentration - covers more", "laplace_pressure droplet - Laplace", "largest_droplet dissipation - Hinze",
        "largest_droplet tension + Hinze", "thin_droplet tension + Hinze", "water_to_bring share - room for less",
        "overrun.overrun foam - less in the cup"),
    "gels": (
        "power_law dose + more dose, firmer", "threshold_law dose + more dose, firmer", "modulus dose + more dose, firmer",
        "gel_strength dose + more dose, firmer", "strength_ratio other_dose + more dose, firmer", "dose_for times + firmer, more dose",
        "swap_grade bloom + the other is the weaker", "swap_grade other_bloom - it is the stronger",
        "warmth_factor temperature - bonds melt", "after_boiling lost + what stays is denser", "squash.rubber load + Hooke",
        "squash.rubber modulus - Hooke", "squash.small side - the same load on more", "sag height + its own weight", "sag modulus - Hooke",
        "plunger_modulus depth - Hooke", "plunger_pressure radius - the same load on more", "leaves batch + a share",
        "soaking_water gelatin + a share"),
    "keeping": (
        "flowing_viscosity dose + thicker", "flowing_viscosity rate - shear thins xanthan",
        "flowing_viscosity temperature - hotter is thinner", "resting_viscosity dose + thicker",
        "yield_needed particle + weight over area", "dose_to_hold particle + weight over area", "apparent_yield dose + thicker",
        "creaming_speed droplet + Stokes", "creaming_speed viscosity - Stokes", "creaming_speed share - neighbours hinder",
        "creaming_time height + a longer way", "same_heat other - Arrhenius", "solid_share temperature - it melts",
        "by_mass strength + a share", "sauce_ph acetic - more acid", "sauce_ph yolk + it takes up acid",
        "sour_liquid_for to_ph - more acid for a lower pH", "layers.watery time + it goes on"),
    "liquids": (
        "free.calcium calcium + a share of more", "hard_water.bath water + it brings calcium", "hard_water.ratio dose - more guluronate",
        "chloride table_salt + it brings chloride"),
    "mixes": (
        "density temperature - it expands",),
    "cryo": (
        "frozen_share temperature - colder, more ice", "ice_content temperature - colder, more ice",
        "linear_frozen_share temperature - colder, more ice", "serving_temperature frozen - more ice, colder",
        "heat_out target - colder takes more", "heat_out start + warmer takes more", "damp_film humidity + dew brings its heat",
        "on_plate.stands room - heat runs downhill", "on_plate.stands served - a colder scoop lasts", "pace thickness + by definition",
        "pace time - by definition", "crystal_ratio quicker - quick freezing, small crystals", "coarsened.size time + Ostwald: it ripens",
        "coarsened.size temperature + warmer ripens quicker", "days_until.typical limit + Ostwald"),
    "nitrogen": (
        "base_heat.total ice + heat of fusion", "bowl_heat bowl + heat balance", "gas_cold temperature + heat balance",
        "cold caught + heat balance", "needed.mass base + heat balance", "needed.mass caught - the gas does part of the work",
        "needed.mass bowl_start + heat balance", "dry_ice_needed.mass heat + heat balance", "boil_off leak + latent heat",
        "to_order standing + it boils off", "standing_time loss - it boils off", "residual_time film - heat balance",
        "residual_chill portion - shared by more"),
    "pearls": (
        "time_in_hand width + square over skin", "time_in_hand room + less drives it", "time_in_hand film - Newton",
        "temperature_in_hand time - Newton", "tip_exit flow + less time to cool", "tip_exit length - more time to cool",
        "set_share time + from the skin inwards", "warmest_oil height + more time to cool"),
    "pieces": (
        "unfrozen_heat_capacity solids - water holds most heat", "latent_heat water + only water freezes", "plank.time thickness + Plank",
        "pham start + more heat", "pham end - more heat", "pham thickness + Plank", "freezing_time thickness + Plank",
        "freezing_time end - longer for colder", "dip.time thickness + Plank", "dip.heat target - colder takes more",
        "wrapped_film wrap - a layer in series"),
    "room": (
        "gas_of_mass temperature + Gay-Lussac", "gas_of_mass pressure - Boyle", "expansion temperature + Gay-Lussac",
        "free_volume taken - less air", "oxygen_if_spilt liquid - displaced", "oxygen_if_spilt room + thinned by more air",
        "oxygen_mixed_slowly liquid - displaced", "oxygen_over_time air_changes + more ventilation, more oxygen",
        "oxygen_over_time liquid - displaced", "time_until liquid - sooner", "time_until level - lower, later",
        "recovery_time air_changes - more ventilation", "recovery_time level + nearer to fresh air", "largest_vessel room + a share",
        "largest_vessel level - a share", "steady_oxygen air_changes + more ventilation", "steady_oxygen loss - displaced",
        "store_oxygen loss - displaced", "carbon_dioxide_if_released mass + mass balance",
        "carbon_dioxide_over_time air_changes - more ventilation", "largest_dry_ice level + a share",
        "released.spilt vessel + mass balance", "dry_ice_released.spilt held + mass balance",
        "sealed_pressure fill + the same space for more", "sealed_pressure temperature + Amontons"),
    "service": (
        "batch_for covers + more plates", "batch_for lost + what sticks to the bowl", "bought_cost price + arithmetic"),
    "setting": (
        "acid_share_left time - a reaction runs", "acid_share_left temperature - Arrhenius", "acid_share_left ph + acid is the catalyst",
        "chain_cut_rate temperature + Arrhenius", "time_to_one_cut temperature - Arrhenius", "enzyme_rate temperature + Arrhenius",
        "time_to_spare temperature - Arrhenius", "time_to_spare left - longer for less", "maturation time + bonds go on forming",
        "weeping time + it goes on", "sheet_mass thickness + volume"),
    "spheres": (
        "binding_capacity dose + more guluronate", "diffusivity temperature + Stokes-Einstein", "front_constant ratio + a stronger bath",
        "reverse_constant ratio + a stronger core", "planar_shell time + longer, thicker", "planar_shell calcium + stronger, thicker",
        "planar_shell capacity - more to bind", "planar_shortcut time + longer, thicker", "shrinking_core time + longer, thicker",
        "reverse_planar time + longer, thicker", "reverse_limit calcium + more to give", "drained_shell uptake + more to give",
        "history.at_lift bath_time + longer, thicker", "shell_in_bath time + longer, thicker",
        "shell_in_bath temperature + ions move quicker", "solid_after.in_bath diameter + a longer way",
        "solid_after.in_bath calcium - a stronger bath", "bath_time shell + thicker, longer"),
    "baths": (
        "calcium_used uptake + by definition", "strength_after batches - used up", "batches_until left - longer for weaker",
        "litres_for spheres + more to gel", "litres_for left + less may be used", "forgotten.gelled calcium + more of it",
        "forgotten.gelled capacity - more to bind")}
LINES = [f"{room}.{line}" for room, lines in LAWS.items() for line in lines]
# Ranges to which a law is held, where it does not hold everywhere.
_COOLS, _POTS = {"start": (60, 100), "surroundings": (-30, 10)}, {"start": (60, 100), "target": (35, 55)}
_SINKS, _BAGS, _WARM = {"density_difference": (1, 2e4)}, {"start": (40, 100), "room": (-10, 35)}, {"start": (40, 100), "temperature": (0, 20)}
_POURED = {"level": (10, 19), "start": (20, 21), "liquid": (5, 50), "room": (5, 40), "duration": (10, 60)}
_PACKED, _SHORT = {"share": (76, 99)}, {"calcium": (0.5, 20), "capacity": (50, 500), "spheres": (1e4, 1e5), "bath": (100, 200)}
HELD = {
    "acidity.ph_diluted water": {"from_ph": (1, 6.5)}, "acidity.ph strong_ions": {"citric": (1, 100), "strong_ions": (0, 500)},
    "heat.water.density temperature": {"temperature": (5, 100)}, "heat.natural_film surface": {"surface": (30, 100), "surroundings": (-30, 20)},
    "heat.temperature_after time": _COOLS, "conduction.inside.centre time": {**_COOLS, "time": (1, 90), "thickness": (10, 100), "film": (5, 500)},
    "heat.cooling.stirred batch": _POTS,
    "heat.cooling.stirred target": _POTS, "heat.cooled.stirred time": {"start": (60, 100)},
    **{f"drops.{law}": _SINKS for law in ("stokes_speed diameter", "stokes_speed viscosity", "fall.speed diameter", "fall.speed viscosity",
                                        "clean_drop_speed inner_viscosity")},
    **{f"drops.oil_warming {argument}": {**_WARM, "leave": (20, 40)} for argument in ("drops", "mass")},
    **{f"emulsions.{law}": _PACKED for law in ("modulus droplet", "modulus tension", "modulus share", "modulus_princen_kiss droplet")},
    "mixes.density temperature": {"temperature": (5, 100)},
    **{f"pearls.{law}": _BAGS for law in ("temperature_in_hand time", "tip_exit flow", "tip_exit length")},
    "cryo.damp_film humidity": {"surface": (-20, 5), "surroundings": (20, 35), "humidity": (40, 100)}, "room.time_until liquid": _POURED,
    "room.time_until level": _POURED, "pearls.warmest_oil height": {**_DRIPPED, "diameter": (5, 8), "height": (300, 1500)},
    "spheres.bath_time shell": {"shell": (0.2, 1), "diameter": (6, 30), "calcium": (20, 200), "dose": (0.3, 2), "lift": (0, 10)},
    "baths.forgotten.gelled calcium": _SHORT, "baths.forgotten.gelled capacity": _SHORT}


def goes(line, many=6):
    """The directions are those of the law: one that goes the other way, or none that moves, is a mistake."""
    what, argument, sign, why = line.split(" ", 3)
    room, model, *field = what.split(".")
    name, way, moved = f"{room}.{model}", {"+": 1, "-": -1}[sign], []
    held = {a: _number(*ends).map(lambda x, unit=MODELS[name].takes[a]: with_unit(x, unit)) for a, ends in HELD.get(f"{what} {argument}", {}).items()}

    def check(call, more, pair):
        low, high = (answer(name, {**call, **more, argument: value}) for value in sorted(pair, key=lambda q: getattr(q, "m", q)))
        if low is None or high is None:
            return
        low, high = (numbers(result)["".join(field)] for result in (low, high))
        if np.isfinite(low) and np.isfinite(high):
            step = way * (high - low)
            assert step >= -1e-9 * max(abs(low), abs(high), 1e-12), f"{what} goes against {argument}, {why}: {low} to {high}"
            moved.append(step > 0)
        else:
            assert way * (1.0 * np.isinf(high) - np.isinf(low)) >= 0, f"{what}, {why}: {low} to {high}"
    one = held[argument] if argument in held else values(name, argument, name in NARROW)
    hunt(name, check, many, more=st.fixed_dictionaries(held), pair=st.tuples(one, one))
    return moved


@pytest.mark.parametrize("line", LINES)
def test_it_goes_the_way_that_physics_says(line):
    assert any(goes(line, 10)), "it never moved"


def test_the_laws_are_of_models_and_rooms_that_there_are():
    known = {f"{line.split(' ')[0]} {line.split(' ')[1]}" for line in LINES}
    rooms = {name.partition(".")[0] for name in MODELS} - {"cautions", "discs", "order", "rules"}       # in these nothing rises or falls
    assert set(HELD) <= known and len(known) == len(LINES) and set(LAWS) == rooms


SWEETER = {                                                  # model: (direction with more sugar in the water, why, the other arguments)
    "solutions.water_activity": ("-", "Raoult", {}), "solutions.freezing_point": ("-", "Raoult and Clausius-Clapeyron", {}),
    "solutions.boiling_point": ("+", "Raoult and Clausius-Clapeyron", {}), "solutions.osmotic_pressure": ("+", "van 't Hoff", {"temperature": Q_(20, "degC")}),
    "cryo.frozen_share": ("-", "what does not freeze holds water back", {"temperature": Q_(-10, "degC")}),
    "cryo.linear_frozen_share": ("-", "Blagden", {"temperature": Q_(-10, "degC")}),
    "cryo.serving_temperature": ("-", "colder for as much ice", {"frozen": Q_(50, "percent")}), "cryo.particles": ("+", "more of them in the water", {}),
    "cryo.freezing_power": ("+", "more of them", {}), "cryo.sweetness": ("+", "sugar is sweet", {}),
    "cryo.ice_content": ("-", "less water", {"temperature": Q_(-15, "degC")}), "mixes.brix": ("+", "by definition", {}),
    "mixes.density": ("+", "sugar is heavier than water", {"temperature": Q_(20, "degC")}),
    "mixes.heat_capacity": ("-", "water holds most heat", {"temperature": Q_(20, "degC")}),
    "mixes.conductivity": ("-", "water conducts best", {"temperature": Q_(20, "degC")})}


@pytest.mark.parametrize("name", SWEETER)
@pytest.mark.parametrize("sugar", ("sucrose", "glucose", "fructose"))
def test_more_sugar_moves_a_mix_the_way_it_must(name, sugar):
    sign, why, others = SWEETER[name]
    mixes = [Mix({row("water", own=False): Q_(700, "g"), row(sugar, own=False): Q_(grams, "g")}) for grams in (5.0, 20.0, 50.0, 80.0, 120.0, 200.0, 300.0)]
    steps = np.diff([numbers(MODELS[name](mix, **others))[""] for mix in mixes])
    assert ((steps > 0) if sign == "+" else (steps < 0)).all(), (why, steps)


# --- rows of another kind --------------------------------------------------------------------------------------------------------------
ROWS = [row(key, own=False) for key in kinds(own=False)]
WITH_ROWS = [name for name, model in MODELS.items() if Row in model.takes.values()]


def any_row(name, rows):
    """A row of any kind serves, or is refused in a sentence."""
    call = answered(name)[0]
    for argument in (a for a, kind in MODELS[name].takes.items() if kind is Row):
        for strange in rows:
            can_be(name, {**call, argument: strange})


@pytest.mark.parametrize("name", WITH_ROWS)
def test_a_row_of_another_kind_serves_or_is_refused_plainly(name):
    any_row(name, ROWS[WITH_ROWS.index(name) % 31::31])


# --- more of all this, in the slow run --------------------------------------------------------------------------------------------------
@pytest.mark.slow
@pytest.mark.parametrize("name", MODELS)
def test_many_more_calls(name):
    ANSWERED.pop(name, None)
    assert answered(name, 30)


@pytest.mark.slow
@pytest.mark.parametrize("line", LINES)
def test_physics_over_many_more_calls(line):
    assert sum(goes(line, 30)) > 1


@pytest.mark.slow
@pytest.mark.parametrize("name", WITH_ROWS)
def test_every_row_of_the_tables_serves_or_is_refused_plainly(name):
    any_row(name, ROWS)


# --- what was found here, each mended where it was ---------------------------------------------------------------------------------------
DROP = {"time": Q_(1, "s"), "diameter": Q_(4, "mm"), "film": Q_(150, "W/m**2/kelvin"), "food": row("watery gel", own=False)}
SALT_OF_LACTATE = {"salt": row("calcium lactate anhydrous", own=False), "uptake": Q_(0, "percent")}
REFUSED = {
    "a drop as cold as its oil divided by nothing": (
        "pearls.set_share", {**DROP, "start": Q_(20, "degC"), "sets": Q_(20, "degC"), "temperature": Q_(20, "degC")}, "mix must be warmer"),
    "oil nearer to setting than 1 °C was told to be colder than it is": (
        "pearls.warmest_oil", {"height": Q_(500, "mm"), "diameter": Q_(4, "mm"), "start": Q_(60, "degC"), "sets": Q_(32, "degC"),
                               "temperature": Q_(31.5, "degC"), "oil": row("sunflower oil", own=False), "food": DROP["food"]}, "less than 1 °C under"),
    "drops that leave hotter than they came cooled the oil": (
        "drops.oil_warming", {"drops": Q_(200, "g"), "start": Q_(60, "degC"), "mass": Q_(2, "kg"), "temperature": Q_(5, "degC"),
                              "leave": Q_(80, "degC"), "oil": row("sunflower oil", own=False), "food": DROP["food"]}, "between the two"),
    "a dose above 100 %, to make it 100 times as strong": (
        "gels.dose_for", {"dose": Q_(16, "percent"), "times": 80.0, "exponent": 1.4}, "366 % of the batch"),
    "a dose above 100 %, of a weaker gelatin": (
        "gels.swap_grade", {"dose": Q_(20, "percent"), "bloom": Q_(300, "Bloom"), "other_bloom": Q_(50, "Bloom"), "exponent": 1.0}, "120 % of")}


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


def test_more_gum_is_never_thinner():
    """At 40 000 1/s, far past what was measured, 0.1 % was thinner than 0.02 %."""
    doses = Q_([0, 0.001, 0.01, 0.02, 0.1, 0.3, 1], "percent")
    for rate in (0, 1, 1e3, 1e5):
        thick = MODELS["keeping.flowing_viscosity"](doses, Q_(rate, "1/s"), Q_(20, "degC"), row("xanthan", own=False))
        assert (np.diff(thick.m) > 0).all(), rate


def test_water_below_0_degrees_has_no_film_of_water():
    with pytest.raises(OutOfRange, match="surroundings at -30 °C are no water"):
        MODELS["heat.natural_film"](Q_(60, "degC"), Q_(-30, "degC"), Q_(100, "mm"), "water")


@pytest.mark.parametrize("name, call, salt, says", [
    ("calcium.salt_for", {"calcium": Q_(34, "mmol/L"), "volume": Q_(1, "L")}, "purified water", "holds no calcium"),
    ("calcium.damp", {"uptake": Q_(5, "percent")}, "vodka", "holds no calcium"),
    ("acidity.citrate_by_ph_alone", {"from_ph": 3.0, "to_ph": 4.0}, "calcium chloride dihydrate", "is no sodium citrate")])
def test_what_is_no_such_salt_is_refused(name, call, salt, says):
    """Calcium was divided by where there is none; any substance with a molar mass was weighed out as citrate."""
    with pytest.raises(LookupError, match=f"{salt} {says}"):
        MODELS[name](**call, salt=row(salt, own=False))


def test_a_bath_is_never_emptier_than_empty():
    found = MODELS["baths.service"](batches=2, batch=Q_(891, "kg"), bath=Q_(2430, "L"), diameter=Q_(16.97, "mm"), calcium=Q_(1.979, "mmol/L"),
                                      dose=Q_(0.709, "percent"), alginate=row("sodium alginate", own=False), bath_time=Q_(73090, "s"))
    assert (found.strength.m >= 0).all()
