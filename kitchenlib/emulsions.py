"""Oil in water: how much oil goes in, how thick it gets, how fine the droplets are.

A share is by volume unless it says mass. Oil is lighter than water, so its share by volume is the larger of the two. Droplets are
given by their diameter, whole. Between 64 and 74 % the droplets touch, beyond they are pressed flat against each other: the sauce
stands, and only near 88 % it turns fragile. None of these marks is a wall.
"""
import functools
from typing import NamedTuple

import numpy as np

from . import spread, tables
from .cautions import is_egg
from .mixes import Mix, PARTS, component, composition
from .tables import Row
from .units import OutOfRange, Q_, boundary, one_of, plain, record, show

RANDOM_PACKING = 0.64            # equal balls thrown together; mason-1995 puts it at 0.635 for droplets
_SHARE, _SIZE, _MASS, _VOLUME = (0, 99), (0.1, 1000), (0, 1e6), (0, 1e6)
_DENSITIES = {"oil_density": (800, 1000), "watery_density": (900, 1500)}


# --- how much oil --------------------------------------------------------------------------------------------------------------------
@boundary("percent", oil="g", watery="g", oil_density="kg/m**3", watery_density="kg/m**3", valid={"oil": _MASS, "watery": _MASS, **_DENSITIES})
def oil_share(oil, watery, oil_density, watery_density):
    """Share of oil by volume: (oil / its density) over the sum of both volumes.

    oil and watery (all that is not oil: water, vinegar, juice, yolk, mustard) [g], 0 to 1,000,000; oil_density [kg/m³], 800 to 1,000;
    watery_density [kg/m³], 900 to 1,500; returns [percent by volume]. Raises OutOfRange where there is nothing watery.
    Source: volume balance; mixing changes the sum of volumes by well under 1 %.
    """
    return _of_both(oil / oil_density, watery / watery_density, "oil_share")


def _of_both(oil, watery, who):
    if np.any(np.asarray(watery) <= 0):
        raise OutOfRange(f"{who}: oil alone is no emulsion: give it something watery, a spoon of water or a yolk")
    return oil / (oil + watery)


@boundary("percent", share="percent", oil_density="kg/m**3", watery_density="kg/m**3", valid={"share": _SHARE, **_DENSITIES})
def mass_share(share, oil_density, watery_density):
    """Share of oil by mass for a share by volume; `oil_share` the other way round.

    share [percent by volume], 0 to 99; oil_density [kg/m³], 800 to 1,000; watery_density [kg/m³], 900 to 1,500;
    returns [percent by mass].
    Source: volume balance.
    """
    return share * oil_density / (share * oil_density + (1 - share) * watery_density)


Phases = record("Phases", oil="mL", watery="mL", share="percent", water="g", protein="g")
COUNTING = ("whole yolk", "water only")


@boundary(Phases, mix=Mix, counting=COUNTING)
def phases(mix, counting="whole yolk"):
    """Oil and watery part of a sauce from its ingredients, at 20 °C.

    Parameters
    ----------
    mix : ingredients; the fat of all of them but egg counts as oil in droplets, that of cream and butter too
    counting : "whole yolk": all the rest, egg with its own fat too, is the watery part, since a yolk's fat sits in grains far smaller than
        droplets; "water only": nothing but water is, the stricter count

    Returns
    -------
    oil, watery [mL]; share of oil [percent by volume]; water, protein [g] of the whole

    Raises
    ------
    OutOfRange
        nothing watery in it

    Source
    ------
    Mass balance; densities of oils by their rows, of all else by choi-okos-1986, volumes added.
    """
    fats = {food: 0.0 if is_egg(food) else composition(food)["fat"] or 0.0 for food in mix.parts}
    oil = sum(mass * fats[food] / _fat_density(food) for food, mass in mix.parts.items())
    water = mix.si_total("water")
    if counting == "water only":
        watery = water / component("density", "water", 293.15)
    else:
        parts = {name: mix.si_known(name) for name in PARTS}
        parts["fat"] -= sum(mass * fats[food] for food, mass in mix.parts.items())
        watery = sum(mass / component("density", name, 293.15) for name, mass in parts.items())
    return oil, watery, _of_both(oil, watery, "phases"), water, mix.si_known("protein")


def _fat_density(food):
    """Of a food's fat at 20 °C: the row's own where the food is all oil."""
    return food.si("density") if "density" in food and composition(food)["fat"] > 0.99 else component("density", "fat", 293.15)


@boundary("mL", watery="mL", share="percent", valid={"watery": _VOLUME, "share": _SHARE})
def room_limit(watery, share):
    """Oil for which there is room: watery * share / (1 - share).

    watery: volume of all that is not oil [mL], 0 to 1,000,000; share of oil by volume not to be passed [percent], 0 to 99; returns [mL].

    Source: volume balance. At 75 % it is the kitchen rule of a third of watery stuff to each volume of oil (mcgee-2004).
    """
    return watery * share / (1 - share)


@boundary("mL", protein="g", droplet="µm", load="mg/m**2", valid={"protein": _MASS, "droplet": _SIZE, "load": (0.05, 20)})
def emulsifier_limit(protein, droplet, load):
    """Oil whose droplets an emulsifier can coat: protein * droplet / (6 load).

    protein (or another emulsifier) [g]; droplet: mean diameter (Sauter mean) [µm], 0.1 to 1,000; load: what a square metre of droplet
    skin takes [mg/m²], 0.05 to 20 (yolk 0.5 to 1.7); returns [mL].

    Source: area of spheres, 6 / diameter; that droplets stop shrinking where the emulsifier runs short: tcholakova-2003.
    """
    return protein * droplet / (6 * load)


Limits = record("Limits", room="mL", emulsifier="mL", smaller="mL")


@boundary(Limits, watery="mL", protein="g", droplet="µm", load="mg/m**2", share="percent",
          valid={"watery": _VOLUME, "protein": _MASS, "droplet": _SIZE, "load": (0.05, 20), "share": _SHARE})
def limits(watery, protein, droplet, load, share):
    """How much oil a yolk, or what stands in its place, will hold: by room in the water and by emulsifier, and the smaller of both.

    watery [mL]; protein [g]; droplet [µm], 0.1 to 1,000; load [mg/m²], 0.05 to 20; share not to be passed [percent by volume], 0 to 99;
    returns room, emulsifier, smaller [mL]. For the word: `bites_first`.  Source: `room_limit`, `emulsifier_limit`.
    """
    room, emulsifier = room_limit.si(watery, share), emulsifier_limit.si(protein, droplet, load)
    return room, emulsifier, np.minimum(room, emulsifier)


def bites_first(limits):
    """'room' or 'emulsifier': which of the two `limits` is met first. For a yolk it is the room, by far."""
    return "room" if limits.room <= limits.emulsifier else "emulsifier"


@boundary("mL", oil="mL", watery="mL", share="percent", valid={"oil": _VOLUME, "watery": _VOLUME, "share": (1, 99)})
def water_to_bring(oil, watery, share):
    """Water that brings a sauce down to a wanted share of oil: oil * (1 - share) / share - watery; 0 where it is there already.

    oil, watery [mL], 0 to 1,000,000; share [percent by volume], 1 to 99; returns [mL].  Source: volume balance.
    """
    return np.maximum(oil * (1 - share) / share - watery, 0.0)


@functools.cache
def marks():
    """The marks on the scale of oil share, thinnest first: records with `share` from which a state holds, `state`, `look`."""
    return tuple(sorted(tables.records("emulsions_marks"), key=lambda mark: mark["share"]))


def state(share):
    """The mark of a share of oil [percent by volume]: the record of `marks` that holds there.  Source: emulsions_marks.csv, row by row."""
    si = _bare_share(share)
    return [mark for mark in marks() if mark["share"].m_as("dimensionless") <= si + 1e-12][-1]


@boundary("", share="percent", valid={"share": _SHARE})
def _bare_share(share):
    """A share of oil as a fraction: share [percent by volume], 0 to 99.  Source: arithmetic."""
    return share


class Rescue(NamedTuple):
    water: object                # mL to add: a spoon at a time into a tight sauce, the new base of a split one
    words: str


def rescue(look, oil, watery, share):
    """What to do with a sauce gone wrong. Tight is not split, and their rescues are two.

    Parameters
    ----------
    look : "tight" (stiff, greasy sheen, still one) or "split" (oil pools, curds or grains in thin liquid)
    oil, watery : what is in the bowl [mL]
    share : of oil by volume to come down to [percent], 1 to 99

    Returns
    -------
    Rescue: water [mL] and the words

    Raises
    ------
    ValueError
        another look

    Source
    ------
    `water_to_bring`; the handling is common practice.
    """
    one_of(look, ("tight", "split"), "look")
    water, now = water_to_bring(oil, watery, share), _of_both(oil, watery, "rescue").to("percent")
    if look == "tight":
        told = (f"Tight, not split: the oil is {show(now)} of the volume. " +
                (f"Beat in {show(water)} of water, a spoon at a time, and it comes down to {show(share)}." if water.m > 0 else
                 f"That is no more than {show(share)} already: it is not oil that makes it stiff. A spoon of water loosens it all the same."))
        return Rescue(water, told)
    spoon = max(water, Q_(15.0, "mL"))
    return Rescue(spoon, f"Split: water alone will not mend it, its droplets have run together. Clean bowl, a new watery base with emulsifier (a "
                         f"yolk, or mustard), {show(spoon)} or more; beat the broken sauce in slowly, by drops at first, as if it were the oil.")


# --- droplet skin --------------------------------------------------------------------------------------------------------------------
@boundary("m**2/L", share="percent", droplet="µm", valid={"share": _SHARE, "droplet": _SIZE})
def interface(share, droplet):
    """Droplet skin in a litre of sauce: 6 share / droplet.

    share of oil [percent by volume], 0 to 99; droplet: Sauter mean diameter [µm], 0.1 to 1,000; returns [m²/L].  Source: geometry.
    """
    return 6 * share / droplet


@boundary("m**2", oil="mL", droplet="µm", valid={"oil": _VOLUME, "droplet": _SIZE})
def skin(oil, droplet):
    """Skin of all droplets of an oil: 6 oil / droplet.  oil [mL]; droplet: Sauter mean [µm], 0.1 to 1,000; returns [m²].  Source: geometry."""
    return 6 * oil / droplet


@boundary("g", oil="mL", droplet="µm", load="mg/m**2", protein="percent",
          valid={"oil": _VOLUME, "droplet": _SIZE, "load": (0.05, 20), "protein": (0.1, 100)})
def emulsifier_needed(oil, droplet, load, protein):
    """Grams of an emulsifying ingredient that coat all droplets: load * skin / protein; `emulsifier_limit` the other way round.

    oil [mL]; droplet [µm], 0.1 to 1,000; load [mg/m²], 0.05 to 20; protein: share of the ingredient that coats [percent by mass], 0.1 to
    100 (yolk 15.86); returns [g].  Source: `skin`, mass balance.
    """
    return load * skin.si(oil, droplet) / protein


@boundary("µm", share="percent", load="mg/m**2", concentration="g/L", valid={"share": _SHARE, "load": (0.05, 20), "concentration": (0.01, 500)})
def finest_droplet(share, load, concentration):
    """How fine the droplets can get before the emulsifier runs short: 6 share load / ((1 - share) concentration).

    share of oil [percent by volume], 0 to 99; load [mg/m²], 0.05 to 20; concentration: emulsifier in the watery part [g/L], 0.01 to 500;
    returns Sauter mean diameter [µm].  Source: tcholakova-2003 (that it is so), mass balance (the formula).
    """
    return 6 * share * load / ((1 - share) * concentration)


# --- how thick -----------------------------------------------------------------------------------------------------------------------
LAWS = ("krieger-dougherty", "maron-pierce", "brinkman", "einstein")


@boundary("", share="percent", packing="percent", law=LAWS, valid={"share": (0, 74), "packing": (30, 75)})
def relative_viscosity(share, packing, law="krieger-dougherty"):
    """How many times as thick as its watery part an emulsion is while it pours.

    Parameters
    ----------
    share : of droplets by volume [percent], 0 and up, below `packing`
    packing : share at which the droplets lock [percent], 64 for equal droplets, more for mixed sizes; 30 to 75
    law : krieger-dougherty (all shares), maron-pierce (steeper), brinkman (up to 30 %), einstein (up to 5 %)

    Returns
    -------
    pure number

    Raises
    ------
    OutOfRange
        from `packing` up, where nothing pours any more: `thickness` says what it is then; brinkman and einstein past their own range

    Notes
    -----
    (1 - s/m)**(-2.5 m); (1 - s/m)**-2; (1 - s)**-2.5; 1 + 2.5 s. Droplets count as hard balls, which their skin of protein makes them
    nearly; at rest or slow flow. Flocs thicken further.

    Source
    ------
    krieger-dougherty-1959, brinkman-1952, einstein-1906, as one table prints them (viscosity-models-table); maron-pierce from memory.
    """
    end = {"brinkman": 0.3, "einstein": 0.05}.get(law, np.min(packing) * (1 - 1e-9))
    if np.any(share > end + (1e-12 if law in ("brinkman", "einstein") else 0)):
        mend = "it stands there and does not pour; ask `thickness`" if end > 0.3 else "take krieger-dougherty"
        raise OutOfRange(f"relative_viscosity: {law} holds below {plain(100 * end)} %, not at {plain(100 * np.max(share))} %: {mend}")
    if law == "krieger-dougherty":
        return (1 - share / packing) ** (-2.5 * packing)
    return {"maron-pierce": (1 - share / packing) ** -2, "brinkman": (1 - share) ** -2.5}.get(law, 1 + 2.5 * share)


@boundary("percent", times="", packing="percent", valid={"times": (1, 1e6), "packing": (30, 75)})
def share_for(times, packing):
    """Share of droplets that makes the watery part `times` as thick; `relative_viscosity` (krieger-dougherty) the other way round.

    times 1 to 1,000,000; packing [percent], 30 to 75; returns [percent by volume].  Source: krieger-dougherty-1959, solved for the share.
    """
    return packing * (1 - times ** (-1 / (2.5 * packing)))


_PACKED = dict(share="percent", droplet="µm", tension="mN/m")
_PACKED_VALID = {"share": _SHARE, "droplet": _SIZE, "tension": (0.1, 60)}


@boundary("Pa", **_PACKED, droplets=Row, film="nm", valid={**_PACKED_VALID, "film": (0, 100)})
def modulus(share, droplet, tension, droplets, film=None):
    """Stiffness (storage modulus) of packed droplets by the ideal law: k * tension / radius * share * (share - packing); 0 below packing.

    Parameters
    ----------
    share : of droplets by volume [percent], 0 to 99
    droplet : diameter [µm], 0.1 to 1,000
    tension : between oil and watery part with its emulsifier [mN/m], 0.1 to 60
    droplets : Row with modulus_factor k and packing_share, "packed droplets"
    film : of water around each droplet [nm], 0 to 100; counts only for droplets below 3 µm. Left out: none

    Returns
    -------
    [Pa]

    Notes
    -----
    A lower estimate: real sauces are up to six times as stiff, since their droplets stick. `stiffness` gives the band.

    Source
    ------
    mason-1995: the form; the row says where k is from.
    """
    share = share * (1 + (0 if film is None else film) / droplet) ** 3
    return droplets.si("modulus_factor") * tension / (droplet / 2) * share * np.maximum(share - droplets.si("packing_share"), 0)


@boundary("Pa", **_PACKED, valid=_PACKED_VALID)
def modulus_princen_kiss(share, droplet, tension):
    """Another law for stiffness of packed droplets, of mixed sizes: 1.769 tension / radius * share**(1/3) * (share - 0.712); 0 below.

    share [percent by volume], 0 to 99; droplet: Sauter mean diameter [µm], 0.1 to 1,000; tension [mN/m], 0.1 to 60; returns [Pa].
    Measured from about 75 % on; below 71 % it gives nothing where sauces do stand.  Source: princen-kiss-1986 (memory).
    """
    return 1.769 * tension / (droplet / 2) * share ** (1 / 3) * np.maximum(share - 0.712, 0)


@boundary("", share="percent", other_share="percent", packing="percent",
          valid={"share": _SHARE, "other_share": _SHARE, "packing": (30, 75)})
def stiffness_ratio(share, other_share, packing):
    """How many times as stiff the other share of oil is with the same droplets: s2 (s2 - packing) / (s1 (s1 - packing)).

    share, other_share [percent by volume], 0 to 99, both above packing (30 to 75); returns a pure number.
    Raises OutOfRange at or below packing.  Source: ratio of `modulus`.
    """
    if np.any(share <= packing) or np.any(other_share <= packing):
        raise OutOfRange(f"stiffness_ratio: at or below packing, {plain(100 * np.max(packing))} %, nothing stands: take shares above it")
    return other_share * (other_share - packing) / (share * (share - packing))


@boundary("Pa", **_PACKED, droplets=Row, valid=_PACKED_VALID)
def measured_stiffness(share, droplet, tension, droplets):
    """Stiffness of a sauce as measured ones lead one to expect: `modulus` times the row's measured_over_law.

    share [percent by volume], 0 to 99; droplet [µm], 0.1 to 1,000; tension [mN/m], 0.1 to 60; droplets: Row "packed droplets"; returns [Pa],
    right within a factor 3. For its band: `stiffness`.  Source: `modulus`; fan-thesis, the six points of emulsions_points.csv.
    """
    return droplets.si("measured_over_law") * modulus.si(share, droplet, tension, droplets)


def stiffness(share, droplet, tension, droplets):
    """`measured_stiffness` with the band that the measured points leave: Spread of [Pa], low the bare law. Arguments and source as there."""
    return spread.spread(measured_stiffness, weak="measured_over_law", share=share, droplet=droplet, tension=tension, droplets=droplets)


class Thickness(NamedTuple):
    """How thick a sauce is: it pours (viscosity) or it is solid-like (modulus); the other is None."""
    state: str                   # 'pours' or 'solid-like'
    viscosity: object            # Quantity [mPa·s], at rest or slow flow
    modulus: object              # Spread of Quantity [Pa]
    words: str


def thickness(share, droplet, tension, viscosity, droplets):
    """What a sauce is at this share of oil, at any share from 0 to 99 %: never an error at 74 %, and solid-like instead of endless.

    Parameters
    ----------
    share, droplet, tension, droplets : as `modulus`
    viscosity : of the watery part [mPa·s], thickener in it

    Returns
    -------
    Thickness

    Source
    ------
    `relative_viscosity`, `stiffness`, `state`.
    """
    packing, mark = droplets.packing_share, state(share)
    if share < packing:
        thick = viscosity * relative_viscosity(share, packing)
        return Thickness("pours", thick, None, f"At {show(share)} oil it {mark['state']}: about {show(thick, 2)}, "
                                               f"{show(thick / viscosity, 2)} times its watery part.")
    stiff = stiffness(share, droplet, tension, droplets)
    return Thickness("solid-like", None, stiff, f"At {show(share)} oil it {mark['state']}, solid-like: stiffness about {stiff}. {mark['look']}.")


@boundary("kPa", droplet="µm", tension="mN/m", valid={"droplet": _SIZE, "tension": (0.1, 60)})
def laplace_pressure(droplet, tension):
    """Pressure that keeps a droplet round: 4 tension / diameter. Small droplets are hard balls, large ones soft.

    droplet [µm], 0.1 to 1,000; tension [mN/m], 0.1 to 60; returns [kPa].  Source: Laplace's law for a sphere.
    """
    return 4 * tension / droplet


# --- how fine ------------------------------------------------------------------------------------------------------------------------
_STIR = dict(tension="mN/m", dissipation="W/kg", density="kg/m**3", viscosity="mPa*s")
_STIR_VALID = {"tension": (0.1, 60), "dissipation": (0.1, 1e6), "density": (900, 1500), "viscosity": (0.3, 10)}


@boundary("µm", **_STIR, valid=_STIR_VALID)
def largest_droplet(tension, dissipation, density, viscosity):
    """Largest droplet that turbulent beating leaves in a THIN watery liquid: 0.725 (tension / density)**0.6 * dissipation**-0.4.

    Parameters
    ----------
    tension : [mN/m], 0.1 to 60
    dissipation : power per mass where the blades are [W/kg], 0.1 to 1,000,000. Not the nameplate over the bowl
    density : of the watery part [kg/m³], 900 to 1,500
    viscosity : of the liquid as it is beaten [mPa·s], 0.3 to 10: thicker, and there is no turbulence; see the tool's own droplet_thick

    Returns
    -------
    [µm]

    Raises
    ------
    OutOfRange
        the droplet would be smaller than the smallest eddy, (viscosity / density)**(3/4) / dissipation**(1/4): shear tears it then

    Notes
    -----
    Thick oil inside resists and stays coarser. In a thick sauce droplets get finer than this law says: the droplets themselves mill.

    Source
    ------
    hinze-1955 (0.725 from memory; his critical Weber number 0.59 read in sevik-park-1973 gives 0.729).
    """
    largest, eddy = 0.725 * (tension / density) ** 0.6 * dissipation ** -0.4, ((viscosity / density) ** 3 / dissipation) ** 0.25
    if np.any(largest < eddy):
        raise OutOfRange(f"largest_droplet: {plain(np.min(largest) * 1e6)} µm is smaller than the smallest eddy ({plain(np.max(eddy) * 1e6)} µm): "
                         "the law ends there; take a thinner liquid or less power")
    return largest


@boundary("", times="", valid={"times": (0.01, 100)})
def power_for(times):
    """How many times the power makes droplets `times` as fine in a thin liquid: times**2.5.

    times 0.01 to 100; returns a pure number.  Source: hinze-1955, `largest_droplet` solved for the dissipation.
    """
    return times ** 2.5


@boundary("µm", tool=Row, tension="mN/m", density="kg/m**3", viscosity="mPa*s", valid={n: _STIR_VALID[n] for n in ("tension", "density", "viscosity")})
def thin_droplet(tool, tension, density, viscosity):
    """Mean droplet (Sauter mean) a tool leaves in a thin watery liquid: the row's share of `largest_droplet` at the row's dissipation.

    tool: Row with dissipation and mean_over_largest; tension [mN/m]; density [kg/m³]; viscosity [mPa·s], as `largest_droplet`; returns [µm].
    Raises as there.  Source: `largest_droplet`; the row (memory).
    """
    return tool.si("mean_over_largest") * largest_droplet.si(tension, tool.si("dissipation"), density, viscosity)


def droplet(tool, sauce, tension=Q_(10.0, "mN/m"), density=Q_(1000.0, "kg/m**3"), viscosity=Q_(1.0, "mPa*s")):
    """Mean droplet a tool leaves, with its spread [µm].

    tool: Row ("hand whisk", "electric whisk", "stick blender", "shaken jar", "homogeniser"); sauce: "thick" (what was seen in thick sauces)
    or "thin" (the turbulent law). Raises LookupError where the row has no figure for that sauce.
    Source: the row's droplet_thick, or `thin_droplet` with the row's dissipation from low to high.
    """
    if one_of(sauce, ("thick", "thin"), "sauce") == "thick":
        return spread.of(tool, "droplet_thick")
    tool.fact("dissipation")
    return spread.spread(thin_droplet, weak=("dissipation", "mean_over_largest"), tool=tool, tension=tension, density=density, viscosity=viscosity)


# --- foam ----------------------------------------------------------------------------------------------------------------------------
Foam = record("Foam", overrun="percent", gas="percent")


@boundary(Foam, liquid="g", foam="g", valid={"liquid": (1e-3, 1e6), "foam": (1e-3, 1e6)})
def overrun(liquid, foam):
    """How much air a foam has taken up, by weighing the same cup full of each.

    liquid, foam: mass of one cup, levelled [g], above 0; returns overrun: gas over liquid by volume [percent], 100 (m_liquid - m_foam) /
    m_foam, and gas: its share of the foam [percent], which is another number. Raises OutOfRange where the foam weighs more.
    Source: mass balance, the gas weightless (1 part in 800).
    """
    if np.any(np.asarray(foam) > liquid):
        raise OutOfRange("overrun: the cup of foam weighs more than the cup of liquid: weigh again, or swap the two")
    return (liquid - foam) / foam, 1 - foam / liquid
