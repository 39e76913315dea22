"""What is in the pot: ingredient rows and masses, their totals by component, and the density, heat capacity and °Brix that follow.

A food table gives parts that make up the whole (water, protein, fat, carbohydrate, ash, alcohol) and what lies within them (sugars, fibre
and acids within the carbohydrate, salt within the ash). What a table does not say is unknown, not 0: a total over it is refused by name.
"""
import functools
import re
from types import MappingProxyType

import numpy as np

from . import tables
from .tables import Row
from .units import OutOfRange, Q_, Quantity, TYPED, boundary, nearest, other_kind, read_number, same_kind, show, si_number, ureg

PARTS = ("water", "protein", "fat", "carbohydrate", "ash", "alcohol")
SUGARS = ("sucrose", "glucose", "fructose", "lactose", "maltose")
ACIDS = ("citric_acid", "malic_acid", "tartaric_acid", "lactic_acid", "acetic_acid")
WITHIN = {**dict.fromkeys(("sugars", *SUGARS, "other_sugar", "fibre", "other_carbohydrate", *ACIDS), "carbohydrate"),
          **dict.fromkeys(("salt", "minerals"), "ash")}
TRACES = ("sodium", "potassium", "calcium", "magnesium")
COMPONENTS = (*PARTS, *WITHIN, *TRACES, "solids")
SALT_OF_SODIUM = 58.443 / 22.990                             # grams of sodium chloride that hold one gram of sodium
GRAM, KILOGRAM, PERCENT = ureg.g, ureg.kg, ureg.percent
SLACK = 0.01                                                 # how far past 100 % the parts of a printed food may add up
ROUNDING = 0.005                                             # how far short of 100 % the parts of a printed food may fall
NOTHING = 0.002                                              # of what lies within a part that leaves so little room, there is none


# --- one food ------------------------------------------------------------------------------------------------------------------------
@functools.lru_cache(1024)
def composition(row):
    """{component: share of the mass, None where it is not known} of one food's Row, as SI floats.

    What the row does not name is 0 where the parts it names leave no room for it (sugar in an oil), else unknown.
    Salt is the sodium counted as sodium chloride, where the row has no salt of its own.

    Raises ValueError where the parts add up to more than the whole.
    """
    def said(*names):
        return [row.si(name) if name in row else None for name in names]

    def known(shares):
        return sum(x for x in shares if x is not None)

    found = dict(zip((*PARTS, *SUGARS, *ACIDS, *TRACES), said(*PARTS, *SUGARS, *ACIDS, *TRACES)))
    found["sugars"], found["fibre"], found["other_carbohydrate"], found["salt"] = said("sugars", "fibre", "other_carbohydrate", "salt")
    if found["salt"] is None and found["sodium"] is not None:
        found["salt"] = SALT_OF_SODIUM * found["sodium"]
    sweet = max(found["sugars"] or 0.0, known(found[name] for name in SUGARS))
    inside = sweet + known(found[name] for name in ("fibre", "other_carbohydrate", *ACIDS))
    held = {"carbohydrate": max(found["carbohydrate"] or 0.0, inside), "ash": max(found["ash"] or 0.0, found["salt"] or 0.0)}
    whole = sum(held.get(name, found[name] or 0.0) for name in PARTS)
    if whole > 1 + SLACK:
        named = ", ".join(f"{name} {100 * share:.3g}" for name in PARTS if (share := held.get(name, found[name])))
        raise ValueError(f"{row.key} does not add up: its parts make {100 * whole:.4g} % ({named}). Correct the part that you changed.")
    left = 1 - whole if 1 - whole > ROUNDING else 0.0
    for name in PARTS:                                       # what lies within a part is never more than the part
        found[name] = held.get(name, found[name] or 0.0) if found[name] is not None or not left else None
    room = {"carbohydrate": left + held["carbohydrate"] - inside, "ash": left + held["ash"] - (found["salt"] or 0.0)}
    sugar_room = left + held["carbohydrate"] - known(found[name] for name in ("fibre", "other_carbohydrate", *ACIDS))
    if found["sugars"] is not None:
        sugar_room = min(sugar_room, found["sugars"])
    sugar_room -= known(found[name] for name in SUGARS)
    for name in SUGARS:
        if found[name] is None and sugar_room < NOTHING:
            found[name] = 0.0
    if found["sugars"] is None and all(found[name] is not None for name in SUGARS):
        found["sugars"] = known(found[name] for name in SUGARS)
    for name in ("fibre", "other_carbohydrate", *ACIDS, "salt"):
        if found[name] is None and room["ash" if name == "salt" else "carbohydrate"] < NOTHING:
            found[name] = 0.0
    if found["other_carbohydrate"] is None and None not in (found["carbohydrate"], found["sugars"], found["fibre"]):
        found["other_carbohydrate"] = max(0.0, held["carbohydrate"] - inside)
    for name in TRACES:
        if found[name] is None and found["ash"] is not None and room["ash"] < 1e-9:
            found[name] = found["salt"] / SALT_OF_SODIUM if name == "sodium" else 0.0
    found["other_sugar"] = None if found["sugars"] is None else max(0.0, found["sugars"] - known(found[name] for name in SUGARS))
    found["minerals"] = None if None in (found["ash"], found["salt"]) else max(0.0, found["ash"] - found["salt"])
    found["solids"] = None if found["water"] is None else 1 - found["water"]
    return MappingProxyType(found)


# --- what is in the pot ----------------------------------------------------------------------------------------------------------------
class Mix:
    """What is in the pot: ingredient rows and their masses, less the water that has boiled off. Never changed once made.

    Mix({"water": Q_(750, "g"), "sucrose": Q_(250, "g")}); a key is a food of the tables or the shelf, or a Row of your own.

    mix.total("water")         mass of a component (see COMPONENTS) or of an ingredient [g]
    mix.share("sucrose")       its per cent of the whole; share("sucrose", of="water") on another base
    mix.scaled(Q_(2, "kg"))    the same mix, that much of it;  mix + mix;  mix.boiled(Q_(10, "percent"))

    Raises
    ------
    LookupError
        A food that is in no table (the nearest is named); a component that one of the foods does not know.
    TypeError, ValueError, OutOfRange
        A bare number for a mass, another kind of quantity; a mass below 0, a mix of nothing, a food whose parts exceed 100 %.
    """
    made_by = "Mix({'water': Q_(750, 'g'), 'sucrose': Q_(250, 'g')})"
    __slots__ = ("_parts", "_boiled", "kg")

    def __init__(self, ingredients, own=True):
        if not hasattr(ingredients, "items"):
            raise TypeError(f"a mix is made of foods and masses: write {self.made_by}")
        parts = {}
        for food, mass in ingredients.items():
            food = food if isinstance(food, Row) else tables.row(food, own)
            composition(food)
            parts[food] = parts.get(food, 0.0) + _mass(mass, f"the mass of {food.key}")
        self._fill(parts, 0.0)

    def _fill(self, parts, boiled):
        kg = sum(parts.values()) - boiled
        if not kg > 0:
            raise OutOfRange("a mix needs something in it: every mass is 0")
        for name, value in zip(self.__slots__, (MappingProxyType(parts), boiled, kg)):
            object.__setattr__(self, name, value)
        return self

    @classmethod
    def _of(cls, parts, boiled):
        return object.__new__(cls)._fill(parts, boiled)

    def __setattr__(self, name, value):
        raise AttributeError("a Mix is never changed: make another, by +, scaled or boiled")

    def __repr__(self):
        lost = f", less {show(Quantity(1000 * self._boiled, 'g'), 4)} boiled off" if self._boiled else ""
        return f"<Mix {' + '.join(f'{row.key} {show(Quantity(1000 * kg, GRAM), 4)}' for row, kg in self._parts.items())}{lost}>"

    def __eq__(self, other):
        return isinstance(other, Mix) and (dict(self._parts), self._boiled) == (dict(other._parts), other._boiled)

    def __hash__(self):
        return hash((frozenset(self._parts.items()), self._boiled))

    parts = property(lambda self: self._parts, doc="{Row: kg} of what went in, before anything boiled off.")
    mass = property(lambda self: Quantity(self.kg, KILOGRAM), doc="Mass of the whole [kg].")

    def si_total(self, component):
        """Mass of a component, or of an ingredient by its key [kg], as float; errors as `total`."""
        component = component.key if isinstance(component, Row) else component
        if component not in COMPONENTS:
            kg = [kg for row, kg in self._parts.items() if row.key == component]
            if not kg:
                names = (*COMPONENTS, *(row.key for row in self._parts))
                near = nearest(component, names)
                raise LookupError(f"{str(component)[:60]!r} is neither a component nor in this mix" + (f"; {near}?" if near else
                                  f": components are {', '.join(COMPONENTS)}"))
            return sum(kg)
        missing = self.unknown(component)
        if missing:
            raise LookupError(f"{component} of {' and '.join(missing)} is not in the tables, so it cannot be added up. Where you know it: "
                              f"row({missing[0]!r}).but({component}=Q_(number, 'percent')), or put it on your shelf.")
        return self.si_known(component)

    def si_known(self, component):
        """Mass of a component [kg] in those foods that know it, as float; see `unknown`."""
        total = sum(kg * (composition(row)[component] or 0.0) for row, kg in self._parts.items())
        return total - self._boiled if component == "water" else total

    def unknown(self, component):
        """Keys of the foods in the mix whose share of this component is not known."""
        return tuple(row.key for row, kg in self._parts.items() if kg and composition(row)[component] is None)

    def total(self, component):
        """Mass of a component or of an ingredient [g].

        Raises LookupError for one that does not exist or that a food of the mix does not know: unknown is not 0.
        """
        return Quantity(1000 * self.si_total(component), GRAM)

    def si_share(self, component, of=None):
        """Mass of a component over that of the whole, or over that of another component or ingredient, as float."""
        base = self.kg if of is None else self.si_total(of)
        if not base > 0:
            raise OutOfRange(f"there is no {of} in this mix, so there is no per cent of it")
        return self.si_total(component) / base

    def share(self, component, of=None):
        """Per cent of the whole, or of another component or ingredient: share('sucrose', of='water').

        Raises LookupError as `total`, OutOfRange where the base is not in the mix.
        """
        return Quantity(100 * self.si_share(component, of), PERCENT)

    def scaled(self, to):
        """The same mix, as much of it as `to` says [mass].  Raises as the making of a Mix."""
        factor = _mass(to, "scaled") / self.kg
        return Mix._of({row: factor * kg for row, kg in self._parts.items()}, factor * self._boiled)

    def boiled(self, lost):
        """The mix after `lost` [percent of the mass now, or a mass] has left as steam: water goes, all else stays (alcohol goes too, in truth).

        Raises OutOfRange where there is less water than that, as far as the foods know theirs.
        """
        if isinstance(lost, Quantity) and same_kind(lost.units, PERCENT):
            lost = Quantity(self.kg * si_number(lost), KILOGRAM)
        away, water = _mass(lost, "boiled"), self.si_known("water")
        if away > water * (1 + 1e-12):
            raise OutOfRange(f"{show(lost.to('g'), 4)} cannot boil away: the mix holds {show(Quantity(1000 * water, 'g'), 4)} of water")
        return Mix._of(dict(self._parts), self._boiled + away)

    def __add__(self, other):
        if not isinstance(other, Mix):
            return NotImplemented
        parts = dict(self._parts)
        for row, kg in other._parts.items():
            parts[row] = parts.get(row, 0.0) + kg
        return Mix._of(parts, self._boiled + other._boiled)


def _mass(quantity, what):
    if not isinstance(quantity, Quantity):
        raise TypeError(f"{what} needs a unit: write Q_({quantity!r}, 'g')" if isinstance(quantity, (int, float)) else
                        f"{what} must be a mass, not {str(quantity)[:40]!r}: write Q_(number, 'g')")
    if not same_kind(quantity.units, KILOGRAM):
        raise other_kind(what, quantity, GRAM)
    if np.ndim(quantity.magnitude):
        raise TypeError(f"{what} is one value, not {np.size(quantity.magnitude)}")
    kg = float(si_number(quantity))
    if not 0 <= kg < np.inf:
        raise OutOfRange(f"{what} = {show(quantity, 4)} is no mass that can be weighed: give 0 g and above")
    return kg


_INGREDIENT = r"\s*([^\d\s+][^+]*?)\s+([0-9][0-9.,]*)\s*([^\W\d_]+)\s*"
WRITTEN = re.compile(rf"{_INGREDIENT}(\+{_INGREDIENT})*")      # what `read` can read


def read(text, own=True):
    """'water 750 g + sucrose 250 g' -> Mix. ValueError where a part is not a food, a number and a unit of mass."""
    ingredients = {}
    for part in text.split("+"):
        found = re.fullmatch(_INGREDIENT, part)
        if not found:
            raise ValueError(f"a mix reads 'water 750 g + sucrose 250 g', not {part.strip()[:60]!r}")
        food = tables.row(found[1], own)
        mass = Q_(read_number(found[2]), TYPED.get(found[3], found[3]))
        ingredients[food] = ingredients[food] + mass if food in ingredients else mass
    return Mix(ingredients, own)


# --- what follows from the composition -------------------------------------------------------------------------------------------------
BULK = ("water", "protein", "fat", "carbohydrate", "fibre", "ash", "alcohol")


@functools.cache
def _polynomials(name):
    """{component: (constant, slope, curve)} in °C, in SI."""
    rows = [record for record in tables.records("components") if record["property"] == name]
    return {record["component"]: np.array([record[k] for k in ("constant", "slope", "curve")]) * si_number(Q_(1.0, record["unit"]))
            for record in rows}


def component(name, part, temperature):
    """Property of one component at a temperature [K], SI float: name is density, heat_capacity or conductivity; part one of BULK or ice.

    Source: choi-okos-1986.
    """
    constant, slope, curve = _polynomials(name)[part]
    t = temperature - 273.15
    return constant + t * (slope + t * curve)


def bulk(mix):
    """{part of BULK: share} of a mix that make the whole, fibre apart from the other carbohydrate; acids count with it.

    Fibre that nobody knows counts as other carbohydrate, from which it differs little here. Shares are brought to 1: tables add up to
    99 to 101 %.
    """
    found = {part: mix.si_known("fibre") if part == "fibre" else mix.si_total(part) for part in BULK}
    found["carbohydrate"] = max(0.0, found["carbohydrate"] - found["fibre"])
    whole = sum(found.values())
    return {part: share / whole for part, share in found.items()}


_COOKING = {"temperature": (0, 100)}


@boundary("kg/m**3", mix=Mix, temperature="degC", valid=_COOKING)
def density(mix, temperature):
    """Density of a mix by its components: the volumes of water, protein, fat, carbohydrate, fibre, ash and alcohol add up.

    mix; temperature [degC], 0 to 100, nothing frozen; returns [kg/m³]. No air in it: a foam or a fresh purée is lighter.

    Notes
    -----
    Volumes do not quite add: pure syrups come out 0.2 to 0.5 % light beside `solutions.syrup_density`, spirits up to 4 %.

    Source
    ------
    choi-okos-1986, specific volumes added.
    """
    return 1 / sum(share / component("density", part, temperature) for part, share in bulk(mix).items())


@boundary("J/kg/kelvin", mix=Mix, temperature="degC", valid=_COOKING)
def heat_capacity(mix, temperature):
    """Heat capacity of a mix by its components, unfrozen.

    mix; temperature [degC], 0 to 100; returns [J/kg/K].  Source: choi-okos-1986, shares by mass.
    """
    return sum(share * component("heat_capacity", part, temperature) for part, share in bulk(mix).items())


@boundary("W/m/kelvin", mix=Mix, temperature="degC", valid=_COOKING)
def conductivity(mix, temperature):
    """Thermal conductivity of a mix by its components, side by side (parallel), unfrozen: an upper end where a fat is the outer phase.

    mix; temperature [degC], 0 to 100; returns [W/m/K].  Source: choi-okos-1986, shares by volume.
    """
    volumes = {part: share / component("density", part, temperature) for part, share in bulk(mix).items()}
    return sum(volume * component("conductivity", part, temperature) for part, volume in volumes.items()) / sum(volumes.values())


@boundary("brix", mix=Mix)
def brix(mix):
    """What a refractometer reads of a mix, about: all that is dissolved, in per cent of the whole. Sugars, acids and minerals.

    mix; returns [°Bx]. Carbohydrate without fibre, and ash: in a starchy food too high, and alcohol makes a refractometer lie.
    Source: definition of °Brix (g of sucrose in 100 g of solution); other solutes counted like it.
    """
    return (max(0.0, mix.si_total("carbohydrate") - mix.si_known("fibre")) + mix.si_total("ash")) / mix.kg
