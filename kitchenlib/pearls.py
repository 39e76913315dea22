"""Pearls: warm gelling drops in cold oil. What ties the batch together: the bag cools in the hand, the tip cools first, the oil warms."""
import math

import numpy as np

from . import conduction, drops, heat
from .tables import Row
from .units import OutOfRange, boundary, show, Q_

_HAND = {"start": (0, 100), "room": (-10, 60), "width": (0.2, 200), "film": (0.5, 1000)}


@boundary("W/m**2/kelvin", surface="degC", room="degC", height="mm", wrap=Row,
          valid={"surface": (0, 100), "room": (0, 60), "height": (10, 500)})
def hand_film(surface, room, height, wrap):
    """Film coefficient of a bag in the hand: still air and radiation, with what is wrapped around it in series.

    surface, room [degC], 0 to 100 and 0 to 60; height of the bag [mm], 10 to 500; wrap: Row with wall_thickness, wall_conductivity
    Returns [W/m²/K]. The hand itself, at about 30 °C, is left out: it covers little and slows the cooling.

    Source: `heat.natural_film`, `heat.radiation_film` with emissivity 0.9; layers in series (incropera-dewitt, chapter 3).
    """
    bare = heat.natural_film.si(surface, room, height, "air") + heat.radiation_film.si(surface, room, 0.9)
    return 1 / (1 / bare + wrap.si("wall_thickness") / wrap.si("wall_conductivity"))


def _fold_time(width, film, food):
    """Seconds in which the difference to the room falls to 1/e: a long round column loses heat through its side only."""
    return food.si("density") * food.si("heat_capacity") * width / (4 * film)


@boundary("min", start="degC", sets="degC", room="degC", width="mm", film="W/m**2/kelvin", food=Row,
          valid={**_HAND, "sets": (0, 100)})
def time_in_hand(start, sets, room, width, film, food):
    """Minutes until a round column of mix (a squeezed bag, a syringe, the bore of a tip that has stopped) has cooled to a temperature.

    Parameters
    ----------
    start, sets, room : of the mix, of setting, of the air [degC]
    width : of the column [mm], 0.2 to 200
    film : to the air [W/m²/K], 0.5 to 1,000, see `hand_film`
    food : Row with density, heat_capacity

    Returns
    -------
    [min]; how full the bag is does not matter, only how wide it is

    Raises
    ------
    OutOfRange
        The mix has set before it starts, or the room is not colder than the setting temperature: it never sets there.

    Notes
    -----
    density * heat capacity * width / (4 film) * ln((start - room) / (sets - room)). Kept moving by the hand; in a bag left lying the
    rim is colder than the middle and sets sooner.

    Source
    ------
    Lumped cooling (incropera-dewitt, chapter 5) with volume / side = width / 4.
    """
    return _fold_time(width, film, food) * np.log(_left(start, sets, room, "time_in_hand"))


def _left(start, sets, room, who):
    if np.any(np.asarray(start) <= sets):
        raise OutOfRange(f"{who}: a mix at {conduction.celsius(start)} has set before it starts (it sets at {conduction.celsius(sets)}): warm it")
    if np.any(np.asarray(room) >= sets):
        raise OutOfRange(f"{who}: a room at {conduction.celsius(room)} never sets a mix that sets at {conduction.celsius(sets)}")
    return (start - room) / (sets - room)


@boundary("degC", time="min", start="degC", room="degC", width="mm", film="W/m**2/kelvin", food=Row, valid={**_HAND, "time": (0, None)})
def temperature_in_hand(time, start, room, width, film, food):
    """Temperature of the squeezed bag after a time; `time_in_hand` the other way round.

    time [min], 0 and above, scalar or array; the rest as there; returns [degC].  Source: as there.
    """
    return room + (start - room) * np.exp(-time / _fold_time(width, film, food))


@boundary("degC", flow="mL/min", start="degC", room="degC", bore="mm", length="mm", film="W/m**2/kelvin", food=Row,
          valid={"flow": (0.01, 1000), "start": (0, 100), "room": (-10, 60), "bore": (0.1, 20), "length": (0, 300), "film": (0.5, 1000)})
def tip_exit(flow, start, room, bore, length, film, food):
    """Temperature at which the mix leaves the tip: room + (start - room) * exp(-pi bore length film / (density c flow)).

    flow through one tip [mL/min], 0.01 to 1,000; start, room [degC]; bore and length of the tip [mm]; film on the bore's area [W/m²/K];
    food a Row with density and heat_capacity; returns [degC]. A metal tip with its thin wall at the mix's temperature: the coldest case a
    flowing tip can make of it.

    Source: heat balance along a tube in air (incropera-dewitt, chapter 8).
    """
    return room + (start - room) * np.exp(-math.pi * bore * length * film / (food.si("density") * food.si("heat_capacity") * flow))


_DROP_VALID = {"diameter": (0.1, 20), "start": (0, 100), "sets": (0, 100), "temperature": (0, 100)}


@boundary("percent", time="s", diameter="mm", start="degC", sets="degC", temperature="degC", film="W/m**2/kelvin", food=Row,
          valid={"time": (0, 3600), **_DROP_VALID, "film": (1, 5000)}, scalars=(*_DROP_VALID, "film"))
def set_share(time, diameter, start, sets, temperature, film, food):
    """Share of a drop's volume that has cooled below the setting temperature after a time in the oil.

    Parameters
    ----------
    time : in the oil, scalar or array (n,) [s], 0 to 3,600
    diameter : [mm], 0.1 to 20
    start, sets, temperature : of the mix, of setting, of the oil [degC], 0 to 100
    film : to the oil [W/m²/K], see `drops.chill`
    food : Row with density, heat_capacity, thermal_conductivity

    Returns
    -------
    same shape as time [percent], 0 to 100

    Raises
    ------
    OutOfRange
        The oil is not colder than setting, or the mix not warmer.

    Notes
    -----
    Cold enough to set is not yet set: that takes some seconds more.

    Source
    ------
    `conduction.difference_left`, full series for the sphere, at eight places from the centre to the skin.
    """
    if not temperature < sets < start:
        raise OutOfRange(f"set_share: a mix at {conduction.celsius(start)} that sets at {conduction.celsius(sets)} in oil at "
                         f"{conduction.celsius(temperature)}: the mix must be warmer than setting, the oil colder")
    radius, biot = diameter / 2, film * diameter / 2 / food.si("thermal_conductivity")
    fourier = np.atleast_1d(time) * conduction.diffusivity(food) / radius ** 2
    wanted, places = (sets - temperature) / (start - temperature), np.linspace(0, 1, 8)
    left = np.array([np.where(fourier > 0, conduction.difference_left.si(np.maximum(fourier, 1e-9), biot, "sphere", place), 1.0) for place in places])
    share = [0.0 if column[-1] > wanted else 1.0 if column[0] <= wanted
             else 1 - np.interp(-wanted, -column, places) ** 3 for column in left.T]
    return np.reshape(share, np.shape(time))[()]


@boundary("degC", height="mm", diameter="mm", start="degC", sets="degC", temperature="degC", oil=Row, food=Row,
          valid={"height": (5, 2000), **_DROP_VALID}, scalars=True)
def warmest_oil(height, diameter, start, sets, temperature, oil, food):
    """The oil temperature at which a drop's centre reaches setting only at the bottom: warmer oil makes flat, clumping pearls.

    Parameters
    ----------
    height : of the oil [mm], 5 to 2,000
    diameter : of the drop [mm], 0.1 to 20
    start, sets, temperature : of the mix, of setting, of the oil now [degC], 0 to 100
    oil, food : as in `drops.chill`

    Returns
    -------
    [degC], from the oil's temperature now to 1 °C under setting

    Raises
    ------
    OutOfRange
        The oil is too warm already, or the drop rises in it.

    Source
    ------
    `drops.chill` on a grid of 25 oil temperatures, depth interpolated.
    """
    if temperature > sets - 1:
        raise OutOfRange(f"warmest_oil: oil at {conduction.celsius(temperature)} is less than 1 °C under setting, {conduction.celsius(sets)}: "
                         "chill the oil")
    tried = np.linspace(temperature, sets - 1, 25)
    depth = drops.chill.si(diameter, start, sets, tried, oil, food).depth
    if depth[0] < 0:
        raise OutOfRange("warmest_oil: this drop is lighter than the oil and rises: it makes no pearls in it")
    if depth[0] > height:
        raise OutOfRange(f"warmest_oil: at {conduction.celsius(temperature)} a drop needs {show(Q_(depth[0] * 1000, 'mm'), 2)} of oil to set: "
                         "chill the oil, or take a taller vessel")
    return float(np.interp(height, np.maximum.accumulate(depth), tried))
