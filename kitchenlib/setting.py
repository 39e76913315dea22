"""Gels in time and temperature: where they hydrate, set and melt; what acid, heat and raw fruit cost them; how they ripen and weep.

Every window is rows of the agent (datasets/properties/gel_windows.csv); every measured point stands in gel_transitions.csv. A gel
that sets on cooling sets far below where it melts again: that gap is its hysteresis. Methylcellulose does it the other way round.
"""
from typing import NamedTuple

import numpy as np
from scipy.constants import R

from . import spread, tables
from .spread import Spread
from .tables import Row
from .units import OutOfRange, boundary, record, show

ACID_PH, ACID_TEMPERATURE = 3.5, 368.15   # where the loss rates of the rows are quoted: pH 3.5 and 95 °C
WEAK = ("setting_temperature", "setting_per_tenfold_dose", "ionic_setting_temperature", "ionic_slope", "free_ion_share",
        "saltless_setting_temperature", "setting_per_ph", "melting_temperature", "melting_hysteresis", "quench_melting_drop")


def _ends(row, name):
    fact = row.fact(name)
    return tuple(float(end.to_base_units().m) if hasattr(end, "m") else end for end in (fact.low, fact.high))


def _measured(row, name, value, what):
    """Refuse what lies outside the low and high of a row's fact: there its numbers were never measured."""
    low, high = _ends(row, name)
    if np.any(value < low - 1e-9 * high) or np.any(value > high + 1e-9 * high):
        fact = row.fact(name)
        raise OutOfRange(f"{row.key}: {what} was measured from {show(fact.low)} to {show(fact.high)} only; stay inside")


# --- windows -----------------------------------------------------------------------------------------------------------------------
def _by_dose(agent, which, dose):
    """Shift of a setting or melting temperature with dose: so many degrees per tenfold dose; nothing where no row says."""
    if dose is None or f"{which}_per_tenfold_dose" not in agent:
        return 0.0
    _measured(agent, f"{which}_dose", dose, f"{which} against dose")
    return agent.si(f"{which}_per_tenfold_dose") * np.log10(dose / agent.si(f"{which}_dose"))


def _by_potassium(agent, dose, potassium):
    if "ionic_setting_temperature" not in agent:
        raise OutOfRange(f"{agent.key}: no number says how potassium moves its setting temperature; leave potassium out")
    own = 0.0 if dose is None else agent.si("free_ion_share") * dose * 1000.0 / agent.si("charge_equivalent")
    total, least = potassium + own, agent.si("ionic_least")
    if np.any(total < least):
        raise OutOfRange(f"{agent.key} does not gel with {show(float(np.min(total)))} mmol/L of potassium: it wants {show(least)} or more")
    return 1 / (1 / agent.si("ionic_setting_temperature") - agent.si("ionic_slope") * np.log10(total / agent.si("ionic_reference")))


def _refuse_where_it_will_not_set(agent, ph, solids):
    if ph is not None and "needs_ph" in agent and np.any(ph > _ends(agent, "needs_ph")[1]):
        raise OutOfRange(f"{agent.key} does not set at pH {show(float(np.max(ph)))}: "
                         f"it wants pH {show(agent.fact('needs_ph').high)} or less")
    if solids is not None and "needs_solids" in agent and np.any(solids < _ends(agent, "needs_solids")[0]):
        raise OutOfRange(f"{agent.key} does not set at {show(100 * float(np.min(solids)))} °Bx: "
                         f"it wants {show(agent.fact('needs_solids').low)} or more")


@boundary("degC", agent=Row, dose="percent", potassium="mmol/L", ph="", solids="brix",
          valid={"dose": (0.01, 20), "potassium": (0, 200), "ph": (2, 9), "solids": (0, 80)})
def setting_temperature(agent, dose=None, potassium=None, ph=None, solids=None):
    """Where a gel sets: on cooling (methylcellulose: on heating) at a usual pace.

    Parameters
    ----------
    agent : Row with setting_temperature; more facts make it follow what is given
    dose : scalar or array [percent of total mass], for agents whose row has setting_per_tenfold_dose (inside the row's own range)
    potassium : added potassium [mmol/L], 0 to 200, for kappa-carrageenan
    ph : 2 to 9; moves kappa-carrageenan without added salt; high-methoxyl pectin refuses too high a pH
    solids : soluble solids [°Bx], 0 to 80; high-methoxyl pectin refuses too little

    Returns
    -------
    [degC]; where no row says how a condition moves the temperature, it does not move it.

    Raises
    ------
    OutOfRange
        where the gel will not set, or outside what was measured.

    Notes
    -----
    Dose: T = T_ref + slope * log10(dose / dose_ref); for agarose two measured points, so the line is exact at both.
    Potassium: 1 / T = 1 / T_ref - b * log10(C / C_ref) with C all free counter-ions, the agent's own among them.
    A stir, a slow fridge or a long wait moves every setting point by some degrees; melting moves less.

    Source
    ------
    mohammed-1998 (dose); rochas-rinaudo-1980 (form for ions, memory; its constants are rows); solowiej-carrageenan (pH). Dossier c.
    """
    _refuse_where_it_will_not_set(agent, ph, solids)
    if potassium is not None:
        return _by_potassium(agent, dose, potassium)
    if ph is not None and "setting_per_ph" in agent:
        _measured(agent, "saltless_ph", ph, "setting without added salt against pH")
        return agent.si("saltless_setting_temperature") + agent.si("setting_per_ph") * (ph - agent.si("saltless_ph"))
    return agent.si("setting_temperature") + _by_dose(agent, "setting", dose)


@boundary("degC", agent=Row, dose="percent", potassium="mmol/L", ph="", solids="brix", cooled=("slowly", "quenched"),
          valid=setting_temperature.valid)
def melting_temperature(agent, dose=None, potassium=None, ph=None, solids=None, cooled="slowly"):
    """Where a set gel melts: on heating (methylcellulose: on cooling).

    Parameters
    ----------
    as `setting_temperature`; cooled : "quenched" lowers it where the row knows by how much (agarose)

    Returns
    -------
    [degC]: the row's own melting temperature, else the setting temperature with the row's hysteresis on top.

    Raises
    ------
    OutOfRange
        where the gel does not melt once set (high-methoxyl pectin).

    Source
    ------
    The rows; mohammed-1998 for quenched agarose, which ends weaker too (agar cooled at any usual pace ends equally stiff: mao-2016);
    kara-2003: both temperatures of kappa-carrageenan rise with potassium. Dossier c, d.
    """
    if "melting" in agent:
        raise OutOfRange(f"{agent.key} {agent.melting}")
    if "melting_temperature" in agent:
        melts = agent.si("melting_temperature") + _by_dose(agent, "melting", dose)
    else:
        above = -1 if gels_on(agent) == "heating" else 1
        melts = setting_temperature.si(agent, dose, potassium, ph, solids) + above * agent.si("melting_hysteresis")
    return melts - (agent.si("quench_melting_drop") if cooled == "quenched" else 0.0)


@boundary("delta_degC", agent=Row, dose="percent", potassium="mmol/L", ph="", solids="brix", cooled=("slowly", "quenched"),
          valid=setting_temperature.valid)
def hysteresis(agent, dose=None, potassium=None, ph=None, solids=None, cooled="slowly"):
    """How far apart melting and setting lie. Arguments and refusals of `melting_temperature`; returns [°C difference], never negative.

    Source: difference of the two.
    """
    melts = melting_temperature.si(agent, dose, potassium, ph, solids, cooled)
    return abs(melts - setting_temperature.si(agent, dose, potassium, ph, solids))


def gels_on(agent):
    """'cooling', or 'heating' for methylcellulose."""
    return agent.gels_on if "gels_on" in agent else "cooling"


class Window(NamedTuple):
    """The day of a gel in four temperatures; Spreads, None where no row knows."""
    agent: str
    gels_on: str                 # cooling or heating
    hydrate: object              # Spread: the temperature it takes to dissolve; methylcellulose: the cold it takes
    works: object                # Quantity: stay on the liquid side of this; the cautious end of `sets`
    sets: object                 # Spread
    melts: object                # Spread; None where the gel never melts
    hysteresis: object           # Spread; None where the gel never melts


def window(agent, **conditions):
    """Where an agent hydrates, can be worked, sets and melts, with the spread of its rows.

    agent: Row; conditions: dose, potassium, ph, solids, cooled as `melting_temperature` takes them. Returns a Window. Raises as the two
    models do: where the gel will not set, or outside what was measured.  Source: `setting_temperature`, `melting_temperature`.
    """
    how_cooled = {"cooled": conditions.pop("cooled")} if "cooled" in conditions else {}
    sets = spread.spread(setting_temperature, WEAK, agent=agent, **conditions)
    melts = apart = None
    if "melting" not in agent:
        melts = spread.spread(melting_temperature, WEAK, agent=agent, **conditions, **how_cooled)
        apart = spread.spread(hysteresis, WEAK, agent=agent, **conditions, **how_cooled)
    side = gels_on(agent)
    hydrate = spread.of(agent, "hydration_temperature") if "hydration_temperature" in agent else None
    return Window(agent.key, side, hydrate, sets.low if side == "heating" else sets.high, sets, melts, apart)


# --- acid and heat -----------------------------------------------------------------------------------------------------------------
@boundary("percent", time="min", ph="", temperature="degC", rate="1/min", activation="kJ/mol",
          valid={"time": (0, 600), "ph": (0, 8), "temperature": (0, 105), "rate": (1e-5, 1), "activation": (50, 200)})
def acid_share_left(time, ph, temperature, rate, activation):
    """Share of its strength that agar keeps when it is hot in acid: exp(-k t).

    Parameters
    ----------
    time : scalar or array [min], 0 to 600
    ph : 0 to 8
    temperature : [degC], 0 to 105
    rate : first-order rate of loss at pH 3.5 and 95 °C [1/min]
    activation : activation energy of the loss [kJ/mol]

    Returns
    -------
    same shape as time [percent]

    Notes
    -----
    k = rate * 10**(3.5 - pH) * exp(-Ea / R * (1 / T - 1 / 368.15 K)): tenfold for each pH unit, as acid that is used up nowhere
    makes it. No rate constant of agar was found in print; the two rates of the row differ tenfold. A figure for judging order and
    minutes, never for a label.

    Source
    ------
    First order and [H+]: textbook (memory); for the sister carrageenan a factor of three each half pH unit
    (carrageenan-processing-excerpt, read). Dossier d, agar.
    """
    return np.exp(-rate * 10.0 ** (ACID_PH - ph) * np.exp(-activation / R * (1 / temperature - 1 / ACID_TEMPERATURE)) * time)


def acid_loss(time, ph, temperature, agent):
    """What is left of an agar by each source the rows know: ((Fact, Spread), ...), the preferred first. They differ tenfold: show both.

    Arguments of `acid_share_left`; agent: Row with acid_loss_rate and acid_loss_activation.
    """
    activation = spread.of(agent, "acid_loss_activation")
    return tuple((fact, spread.spread(acid_share_left, time=time, ph=ph, temperature=temperature, activation=activation,
                                      rate=Spread(fact.low if fact.low is not None else fact.value, fact.value,
                                                  fact.high if fact.high is not None else fact.value)))
                 for fact in agent.facts("acid_loss_rate"))


@boundary("1/hour", temperature="degC", agent=Row, valid={"temperature": (0, 105)})
def chain_cut_rate(temperature, agent):
    """How fast hot water cuts the links of carrageenan at pH 7: A * exp(-E / (R T)), the share of all links an hour.

    temperature [degC], inside the row's measured range (60 to 101); agent: Row with chain_cut_factor, chain_cut_activation,
    chain_cut_range; returns [1/hour]. Raises OutOfRange outside it. Neutral only: acid is faster by far, about tenfold for each pH unit.
    Source: carrageenin-degradation-1, abstract.
    """
    _measured(agent, "chain_cut_range", temperature, "its loss by heat")
    return agent.si("chain_cut_factor") * np.exp(-agent.si("chain_cut_activation") / (R * temperature))


@boundary("hour", temperature="degC", agent=Row, valid={"temperature": (0, 105)})
def time_to_one_cut(temperature, agent):
    """Hours at pH 7 until each chain has been cut once on average: 1 / (rate * links in a chain). Strength suffers from there on.

    Arguments and refusals of `chain_cut_rate`; the row's chain_links also (memory, wide).  Source: random cuts; textbook (memory).
    """
    return 1 / (chain_cut_rate.si(temperature, agent) * agent.si("chain_links"))


# --- raw fruit on gelatin ------------------------------------------------------------------------------------------------------------
def attacks(fruit, agent):
    """True where the enzyme of this raw fruit cuts this agent: gelatin is a protein, the others are not and stay whole."""
    return "gelatin_enzyme" in fruit and "enzyme_attack" in agent and agent.enzyme_attack == "yes"


@boundary("1/min", temperature="degC", fruit=Row, valid={"temperature": (0, 100)})
def enzyme_rate(temperature, fruit):
    """How fast heat destroys the fruit's enzyme: k = A * exp(-Ea / (R T)).

    temperature [degC], inside the row's measured range (pineapple 55 to 67); fruit: Row with enzyme_rate_factor,
    enzyme_activation_energy, enzyme_range; returns [1/min]. Outside the range it would be a guess and is refused.
    Source: sriwatanapongse-2000 (pineapple juice).
    """
    _measured(fruit, "enzyme_range", temperature, "the loss of its enzyme")
    return fruit.si("enzyme_rate_factor") * np.exp(-fruit.si("enzyme_activation_energy") / (R * temperature))


def _cautious_rate(temperature, fruit):
    """The rate inside the measured range; hotter counts as its hot end, colder as nothing lost."""
    low, high = _ends(fruit, "enzyme_range")
    return np.where(temperature < low, 0.0, enzyme_rate.si(np.clip(temperature, low, high), fruit))[()]


@boundary("min", temperature="degC", left="percent", fruit=Row, valid={"temperature": (55, 100), "left": (0.01, 99)})
def time_to_spare(temperature, left, fruit):
    """Minutes of heat that leave only this share of the fruit's enzyme: ln(1 / left) / k.

    temperature of the fruit all through [degC], 55 to 100; left [percent of the enzyme], 0.01 to 99; fruit: Row as `enzyme_rate`
    wants; returns [min]. Hotter than was measured (pineapple 67 °C) the time at the hot end of the range is given: in truth it is
    quicker, but nobody measured how much. Count from when the middle of the pieces is hot. Raises OutOfRange below the
    range.  Source: first order, `enzyme_rate`.
    """
    rate = _cautious_rate(temperature, fruit)
    if np.any(rate == 0):
        raise OutOfRange(f"{fruit.key}: colder than {show(fruit.fact('enzyme_range').low)} its enzyme was not seen to fade")
    return -np.log(left) / rate


@boundary("percent", times="min", temperatures="degC", fruit=Row, valid={"times": (0, 1e5), "temperatures": (-10, 105)})
def enzyme_left(times, temperatures, fruit):
    """Share of the enzyme left after a temperature history: exp(-integral of k), straight lines between the readings.

    times (n,) [min] rising; temperatures (n,) [degC]; fruit: Row as `enzyme_rate` wants; returns [percent], scalar. Colder than the
    measured range counts as no loss, hotter as its hot end: more is shown left than is. Raises OutOfRange where times do not rise or are not as
    many.  Source: first order, `enzyme_rate`.
    """
    if np.ndim(times) != 1 or np.shape(times) != np.shape(temperatures) or len(times) < 2 or np.any(np.diff(times) <= 0):
        raise OutOfRange("enzyme_left: give as many temperatures as times, two or more, the times rising")
    fine = np.union1d(times, np.linspace(times[0], times[-1], 2001))
    return float(np.exp(-np.trapezoid(_cautious_rate(np.interp(fine, times, temperatures), fruit), fine)))


# --- time ----------------------------------------------------------------------------------------------------------------------------
@boundary("", time="hour", agent=Row, valid={"time": (1, 48)})
def maturation(time, agent):
    """A gelatin gel's stiffness against that after 17 hours at 10 °C: 1 + b * log10(t / 17 h).

    time since it set [hour], 1 to 48 (our limit: later, sources part: one producer sees the end at 15 to 20 h, at 5 °C at 5 to 8 h);
    agent: Row with maturation_per_decade; returns a pure number, 1 at 17 hours.
    Source: logarithmic growth: theveneau (abstract); b from memory, wide. Dossier d.
    """
    return 1 + agent.si("maturation_per_decade") * np.log10(time / 61200.0)


@boundary("percent", time="hour", rate="1/hour", valid={"time": (0, 1e4), "rate": (1e-5, 100)})
def weeping(time, rate):
    """Share of all the water a gel will ever weep that has come out: k t / (1 + k t).

    time [hour], 0 to 10,000; rate k [1/hour]: one over the time after which half has come out (weigh the gel on paper to find it);
    returns [percent] of the final weep. That total falls with dose and with sugar, and rises under weight.
    Source: syneresis-2000 (agarose), from dM/dt = k (1 - M)**2. Dossier e.
    """
    return rate * time / (1 + rate * time)


# --- sheets, shapes, mixtures ----------------------------------------------------------------------------------------------------------
@boundary("g", area="cm**2", thickness="mm", density="kg/m**3",
          valid={"area": (1, 1e5), "thickness": (0.2, 100), "density": (900, 1500)})
def sheet_mass(area, thickness, density):
    """Grams to pour for a sheet: area * thickness * density.

    area of the tray's floor [cm²], 1 to 100,000; thickness [mm], 0.2 to 100; density [kg/m³], 900 to 1,500; returns [g].
    Level the tray first; pot and ladle keep some.  Source: geometry.
    """
    return area * thickness * density


@boundary("g", volume="mL", count="", density="kg/m**3",
          valid={"volume": (0.01, 1e5), "count": (1, 1e4), "density": (900, 1500)})
def cast_mass(volume, count, density):
    """Grams to pour for moulds: volume of one * how many * density.

    volume [mL], 0.01 to 100,000; count 1 to 10,000; density [kg/m³], 900 to 1,500; returns [g].  Source: geometry.
    """
    return volume * count * density


AgarDose = record("AgarDose", low="percent", high="percent")


@boundary(AgarDose, gelatin="percent", valid={"gelatin": (1, 3)})
def agar_beside_gelatin(gelatin):
    """Agar that goes with this much gelatin so that a jelly was liked and stood 120 minutes.

    gelatin [percent of total mass], 1 to 3; returns low and high [percent of total mass]. Printed for 1, 2 and 3 % gelatin; straight
    lines between.  Source: jhej-1975, abstract.
    """
    rows = tables.records("gel_mixes")
    printed = [row["gelatin"].to_base_units().m for row in rows]
    return tuple(np.interp(gelatin, printed, [row[end].to_base_units().m for row in rows]) for end in ("agar_low", "agar_high"))
