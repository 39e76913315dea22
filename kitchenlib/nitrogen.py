"""How much liquid nitrogen or dry ice a base takes, where the cold goes, what is left of a delivery, and when a portion may be let go.

No amount is told without the room beside it: `plan` and `dry_ice_plan` put the whole vessel spilt first, the planned pour second, the
amount after them. Needs round up. Teaching text: the supplier's sheet, local code and a competent person decide.
"""
import functools
from typing import NamedTuple

import numpy as np

from . import cryo, room as rooms, tables
from .room import shipped, shown_up
from .rules import known_place
from .tables import cite
from .units import OutOfRange, boundary, one_of, record, show

_HEAT = {"base": (0, 1000), "heat": (0, 1000), "target": (-150, 0), "extra": (0, 200), "bowl": (0, 100), "bowl_start": (-60, 60)}


# --- the heat to take out ----------------------------------------------------------------------------------------------------------
BaseHeat = record("BaseHeat", total="kJ/kg", cooling="kJ/kg", freezing="kJ/kg")


@boundary(BaseHeat, start="degC", target="degC", solids="percent", ice="percent",
          valid={"start": (0, 60), "target": (-40, 0), "solids": (0, 90), "ice": (0, 100)})
def base_heat(start, target, solids, ice):
    """Heat to take out of a kilogram of base, from its parts; where an enthalpy is known, take its difference instead.

    Parameters
    ----------
    start : the base, all liquid [degC], 0 to 60
    target : the frozen base [degC], -40 to 0
    solids : dissolved and other solids of the total mass [percent], 0 to 90
    ice : frozen at the target, of the total mass [percent], never more than the water

    Returns
    -------
    total, cooling (of water, solids and ice) and freezing (ice times 333.6) [kJ/kg]

    Raises
    ------
    OutOfRange
        Ice and solids are more than the whole.

    Notes
    -----
    Heat above 0 °C as liquid: 4.18 water, 2.06 ice, 1.55 solids [kJ/kg/K]. Not all water freezes: at -8 °C about 70 % of it in a base of
    25 °Brix; with all of it the freezing heat is 42 % too much.

    Source
    ------
    Heat balance; 333.6 of ice as in walstra-2003, appendix I (334), the heat capacity of ice between its 2.101 at 0 °C and colder.
    """
    if np.any(solids + ice > 1 + 1e-9):
        raise OutOfRange("base_heat: ice and solids are more than the whole base: ice is at most the water, 100 % less the solids")
    start, target = start - 273.15, target - 273.15
    cooling = cryo.sensible(1 - solids, 0, start) - cryo.sensible(1 - solids, ice, target)
    freezing = cryo.FUSION * ice
    return BaseHeat(cooling + freezing, cooling, freezing)


def materials(stands_cold=None):
    """Materials of bowls and tools in nitrogen_bowls.csv: all, or those that stand the cold ("yes") or may crack ("no")."""
    return tuple(line["material"] for line in tables.records("nitrogen_bowls") if stands_cold in (None, line["stands_cold"]))


@functools.cache
def _bowl_heat_capacity(material):
    one_of(material, materials(), "a bowl's material")
    line = next(line for line in tables.records("nitrogen_bowls") if line["material"] == material)
    return float(line["heat_capacity"].m_as("J/kg/kelvin"))


@boundary("kJ", bowl="kg", material=str, bowl_start="degC", target="degC", valid={name: _HEAT[name] for name in ("bowl", "bowl_start", "target")})
def bowl_heat(bowl, material, bowl_start, target):
    """Heat of bowl and tools, cooled with the base: mass * heat capacity * difference.

    bowl: mass with tools [kg], 0 to 100; material: one of `materials()`; bowl_start, -60 to 60, and target, -150 to 0 [degC]; returns
    [kJ], 0 where it is colder already.  Source: material-properties-org; steel stands the cold, glass, plastic and ceramic may crack
    (katz-2003).
    """
    return bowl * _bowl_heat_capacity(material) * np.maximum(bowl_start - target, 0)


# --- nitrogen ------------------------------------------------------------------------------------------------------------------------
@functools.cache
def _warming():
    lines = tables.records("nitrogen_gas")
    boiling = shipped("liquid nitrogen", "boiling_temperature")
    return ([boiling, *(line["temperature"].m_as("kelvin") for line in lines)], [0.0, *(line["sensible_heat"].m_as("J/kg") for line in lines)])


@boundary("kJ/kg", temperature="degC", valid={"temperature": (-195, 60)})
def gas_cold(temperature):
    """Cold that nitrogen gas still holds when it leaves the liquid: the heat that warms it from boiling to a temperature.

    temperature [degC], -195 to 60; returns [kJ/kg]; straight lines between the rows of nitrogen_gas.csv, a little below the true curve.
    Source: coolprop-8-0-0.
    """
    return np.interp(temperature, *_warming())


@boundary("kJ/kg", target="degC", caught="", valid={"target": (-150, 0), "caught": (0, 1)})
def cold(target, caught):
    """Heat that a kilogram of liquid nitrogen takes up: boiling, and of its cold gas the share that is caught.

    target of the base [degC], -150 to 0; caught: 0 where the gas leaves cold (open bowl, fierce boil), 1 where it leaves as warm as the
    base; 0.4 to 0.5 is usual (our guess). Returns [kJ/kg].  Source: heat balance; nitrogen.csv, `gas_cold`.
    """
    return shipped("liquid nitrogen", "heat_to_gas") + caught * gas_cold.si(target)


Need = record("Need", base="kJ", bowl="kJ", extra="kJ", boiling="kJ", caught="kJ", lost="kJ", mass="kg", liquid="L", gas="m**3")
_NEED = dict(base="kg", heat="kJ/kg", target="degC", extra="percent", bowl="kg", material=str, bowl_start="degC")


@boundary(Need, caught="", **_NEED, valid={**_HEAT, "caught": (0, 1)})
def needed(base, heat, target, caught, extra, bowl, material, bowl_start):
    """Liquid nitrogen that a base takes, and where each kilojoule goes. Told only with the room beside it: `plan`.

    Parameters
    ----------
    base : mass [kg], 0 to 1,000
    heat : to take out of a kilogram of it [kJ/kg], 0 to 1,000: from `base_heat`, or the difference of an enthalpy
    target : of the base [degC], -150 to 0
    caught : share of the gas's cold that is caught, 0 to 1; as in `cold`
    extra : for mixing and heat from the room, of base and bowl together [percent], 0 to 200; 10 to 30 is usual (our guess)
    bowl, material, bowl_start : bowl and tools, as in `bowl_heat`

    Returns
    -------
    base, bowl, extra : heat taken out [kJ]
    boiling, caught : what takes it up; lost : cold that leaves with the gas, unused [kJ]
    mass [kg], liquid [L], gas at 20 °C [m³]

    Notes
    -----
    What is told of its use runs from 0.6 to 2 kg a kilogram (nitrogen_use.csv); none of it was measured in an open bowl: order as if
    nothing were caught.

    Source
    ------
    Heat balance: mass = (base + bowl) * (1 + extra) / cold.
    """
    out = base * heat, bowl_heat.si(bowl, material, bowl_start, target)
    more = extra * (out[0] + out[1])
    mass = (out[0] + out[1] + more) / cold.si(target, caught)
    gas_heat = mass * gas_cold.si(target)
    return Need(*out, more, mass * shipped("liquid nitrogen", "heat_to_gas"), caught * gas_heat, (1 - caught) * gas_heat, mass,
                liquid_volume.si(mass), rooms.gas_of_mass.si(mass, "liquid nitrogen"))


@boundary("L", mass="kg", valid={"mass": (0, 1e5)})
def liquid_volume(mass):
    """Litres of a mass of liquid nitrogen: a litre is 0.806 kg.  mass [kg], 0 to 100,000; returns [L].  Source: nitrogen.csv, density."""
    return mass / shipped("liquid nitrogen", "density")


@boundary("kg", liquid="L", valid={"liquid": (0, 1e5)})
def liquid_mass(liquid):
    """Mass of a volume of liquid nitrogen; `liquid_volume` the other way round.  liquid [L], 0 to 100,000; returns [kg].  Source: as there."""
    return liquid * shipped("liquid nitrogen", "density")


DryIce = record("DryIce", base="kJ", bowl="kJ", extra="kJ", mass="kg", gas="m**3")


@boundary(DryIce, **_NEED, valid={**_HEAT, "target": (-70, 0)})
def dry_ice_needed(base, heat, target, extra, bowl, material, bowl_start):
    """Dry ice that a base takes; its cold gas is not counted. Told only with the room beside it: `dry_ice_plan`.

    Arguments as in `needed`, target -70 to 0; returns base, bowl, extra: heat taken out [kJ]; mass [kg]; gas at 20 °C [m³].
    Source: heat balance; dry-ice-pages.
    """
    out = base * heat, bowl_heat.si(bowl, material, bowl_start, target)
    more = extra * (out[0] + out[1])
    mass = (out[0] + out[1] + more) / shipped("dry ice", "heat_to_gas")
    return DryIce(*out, more, mass, rooms.gas_of_mass.si(mass, "dry ice"))


# --- with the room beside it -----------------------------------------------------------------------------------------------------------
class Plan(NamedTuple):
    """Amounts with the room: the whole vessel spilt, the planned pour, then what is needed."""
    cases: rooms.Cases
    need: object                 # Need or DryIce
    stock: object                # the same with no cold gas caught: what to order by
    words: tuple                 # in the order in which they are shown


def plan(base, heat, target, caught, extra, bowl, material, bowl_start, room, vessel, planned_time, air_changes):
    """What a base takes, never without the room: Plan, its words first the whole vessel spilt, second the pour, then the amount.

    base to bowl_start as in `needed`; room to air_changes as in `room.released`, vessel all liquid nitrogen in the room [L].
    Raises and source as there.
    """
    need, stock = (needed(base, heat, target, share, extra, bowl, material, bowl_start) for share in (caught, 0))
    cases = rooms.cases(room, vessel, need.liquid, planned_time, air_changes)
    says = (f"It takes {shown_up(need.mass)}, that is {shown_up(need.liquid)} of liquid and {shown_up(need.gas)} of gas. Order as if no cold gas were caught: "
            f"{shown_up(stock.liquid)}, more for what boils off before service; all that stands in the room counts as spilt.")
    return Plan(cases, need, stock, (*cases.words[:2], says, *_bowl_words(material), *cases.words[2:]))


def dry_ice_plan(base, heat, target, extra, bowl, material, bowl_start, room, held, planned_time, air_changes):
    """`plan` for dry ice: held, all dry ice in the room [kg]; carbon dioxide's own limits come first.  Raises and source as there."""
    need = dry_ice_needed(base, heat, target, extra, bowl, material, bowl_start)
    cases = rooms.dry_ice_cases(room, held, need.mass, planned_time, air_changes)
    says = f"It takes {shown_up(need.mass)} of dry ice, that is {shown_up(need.gas)} of gas. None of it may reach a guest."
    return Plan(cases, need, need, (*cases.words[:2], says, *_bowl_words(material), *cases.words[2:]))


def _bowl_words(material):
    return () if material in materials("yes") else (f"A bowl of {material} may crack in the cold: take steel.",)


# --- from delivery to service ------------------------------------------------------------------------------------------------------------
@boundary("L/day", leak="W", valid={"leak": (0, 1e5)})
def boil_off(leak):
    """Liquid nitrogen that heat leaking into a vessel boils off: leak / (density * heat of boiling); 1 W boils half a litre a day.

    leak [W], 0 to 100,000; returns [L/day].  Source: heat balance; nitrogen.csv.
    """
    return leak / (shipped("liquid nitrogen", "density") * shipped("liquid nitrogen", "heat_to_gas"))


@boundary("L", needed_liquid="L", loss="L/day", standing="day", transfer="percent",
          valid={"needed_liquid": (0, 1e4), "loss": (0, 1e4), "standing": (0, 365), "transfer": (0, 300)})
def to_order(needed_liquid, loss, standing, transfer):
    """Liquid nitrogen to have delivered, so that what is needed is there at service.

    needed_liquid [L], 0 to 10,000; loss of the dewar as its maker says [L/day], 0 to 10,000, doubled for age; standing: days from delivery
    to service, 0 to 365; transfer: lost on the way through pouring vessels, of what is needed [percent], 0 to 300; returns [L].
    Source: bookkeeping; doubling: oxford-s4-03.
    """
    return needed_liquid * (1 + transfer) + rooms.AGEING * loss * standing


@boundary("day", liquid="L", loss="L/day", valid={"liquid": (0, 1e5), "loss": (1e-3, 1e5)})
def standing_time(liquid, loss):
    """Days until a dewar has boiled dry, at its maker's loss: an old one half as long.

    liquid [L], 0 to 100,000; loss [L/day], 0.001 to 100,000; returns [day].  Source: bookkeeping; rows in nitrogen_boil_off.csv.
    """
    return liquid / loss


# --- on the plate ------------------------------------------------------------------------------------------------------------------------
_DROP = {"liquid": (0, 1000)}


@boundary("s", liquid="mL", wetted="cm**2", food="degC", film="W/m**2/kelvin",
          valid={**_DROP, "wetted": (0.1, 1e4), "food": (-150, 60), "film": (50, 1500)})
def residual_time(liquid, wetted, food, film):
    """How long liquid left in a portion keeps boiling, at best: never a time to serve by (`served`).

    liquid [mL], 0 to 1,000; wetted: area it touches [cm²], 0.1 to 10,000: small in a cone or under foam, so there it lasts; food [degC], -150
    to 60; film of its boiling [W/m²/K], 50 to 1,500: about 150, since it floats on its own gas; returns [s].

    Source: heat balance; film: 100 to 200 for pieces of some centimetres (memory).
    """
    return liquid_mass.si(liquid) * shipped("liquid nitrogen", "heat_to_gas") / (
        film * wetted * (food - shipped("liquid nitrogen", "boiling_temperature")))


@boundary("delta_degC", liquid="mL", portion="g", heat_capacity="J/kg/kelvin",
          valid={**_DROP, "portion": (1, 5000), "heat_capacity": (500, 5000)})
def residual_chill(liquid, portion, heat_capacity):
    """How much colder a frozen portion gets by boiling off the liquid left in it; the cold of the gas comes on top.

    liquid [mL], 0 to 1,000; portion [g], 1 to 5,000; heat_capacity, frozen about 2,100 [J/kg/K], 500 to 5,000; returns a difference.
    Source: heat balance.
    """
    return liquid_mass.si(liquid) * shipped("liquid nitrogen", "heat_to_gas") / (portion * heat_capacity)


class Served(NamedTuple):
    held_back: bool
    words: str


def served(liquid, fog, temperature=None):
    """Whether a portion is held back. It takes eyes and a thermometer; time is not asked for, since no waiting time proves anything.

    liquid, fog : "seen", "none seen" or "not looked"
    temperature : of the food, measured in its coldest place [degC]; None: not measured
    returns Served. Coldest temperature: nitrogen.csv, from memory; your authority or your own plan sets it.

    Source
    ------
    nycrr-14-5-46 (drained or fully evaporated, no fog at service), fda-alert-2018 (too cold after the liquid has gone), ali-2021.
    """
    for name, what in ((liquid, "liquid"), (fog, "fog")):
        one_of(name, ("seen", "none seen", "not looked"), what)
    coldest = tables.row("food frozen with nitrogen", own=False).coldest_served
    if temperature is not None:
        measured = _measured(temperature)
    why = [f"{what} is seen" for what, state in (("liquid", liquid), ("fog", fog)) if state == "seen"]
    why += [f"nobody looked for {what}" for what, state in (("liquid", liquid), ("fog", fog)) if state == "not looked"]
    if temperature is None:
        why.append("no temperature was measured")
    elif measured < coldest:
        why.append(f"it is {show(measured, 3)}, colder than {show(coldest, 2)}")
    end = "No waiting time takes the place of eyes and thermometer."
    if why:
        return Served(True, f"Hold it back: {'; '.join(why)}. {end}")
    return Served(False, f"No liquid, no fog, {show(measured, 3)} in its coldest place: these three hold nothing back. {end} "
                         f"The limit of {show(coldest, 2)} is typical, unverified: your authority and the person in charge decide.")


@boundary("degC", temperature="degC", valid={"temperature": (-200, 60)})
def _measured(temperature):
    """A food's temperature through the door: temperature [degC], -200 to 60; returns it.  Source: none needed."""
    return temperature


def statements(place=""):
    """What regulators have said, dated, of a place first, the others after it: (rows of nitrogen_statements.csv, words).

    place as people write it. Not every place has spoken, and one that has not has allowed nothing by it: ask your authority.
    """
    known = (known_place(place) or place.strip()).casefold()
    lines = sorted(tables.records("nitrogen_statements"), key=lambda line: (line["place"].casefold() != known, not line["date"], line["date"]))
    lead = "" if any(line["place"].casefold() == known for line in lines) else \
        f"The rows hold no statement of {place.strip() or 'your place'}: ask your authority. Others have said: "
    said = (f"{', '.join(filter(None, (line['place'], line['who'], line['date'])))}: {line['text']} "
            f"({', '.join(filter(None, (cite(line['source']), line['locator'], 'seen ' + line['seen'])))})." for line in lines)
    return tuple(lines), f"{lead}{' '.join(said)} Your authority decides."
