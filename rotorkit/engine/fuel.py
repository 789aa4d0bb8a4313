"""Fuel: what flows, what is needed, heads and jets, what the rules ask of a tank, and what fuel weighs."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from rotorkit import sources
from rotorkit.formula import nomenclature
from rotorkit.formula.functions import cos, exp, pi, sin, sqrt
from rotorkit.judging.measured import Measured, largest_less_smallest, measured
from rotorkit.quantities import (
    Angle,
    Constant,
    Density,
    GaugePressure,
    Length,
    Mass,
    MassFlow,
    Power,
    QuantityError,
    Ratio,
    SpecificFuelConsumption,
    Temperature,
    Time,
    Volume,
    VolumeFlow,
)
from rotorkit.sources.constants import STANDARD_GRAVITY

FUEL_FLOW_FACTORS = {"gravity": 1.5, "pump": 1.25}
"""What the system must pass, over the need at take-off power: 14 CFR 23.955 (older text). 27.955 asks for 100 % in the
worst condition of the system."""
GASOLINE_K0 = Constant(346.4228, "1/K", "K_0", sources.ASTM_D1250.at("gasolines, density in kg/m3"))
GASOLINE_K1 = Constant(0.4388, "1/K", "K_1", sources.ASTM_D1250.at("gasolines, density in kg/m3"))
UNIT_DENSITY = Constant(1.0, "kg/m^3", r"\rho_1", sources.ASTM_D1250.at("the unit that K0 and K1 are for"))
REFERENCE_TEMPERATURE = Constant(288.15, "K", "T_{15}", sources.ASTM_D1250.at("15 degC"))
DRAINAGE = Constant(0.003785411784 / 16, "m^3", "V_s", sources.CFR_14.at("27.971, 1/16 US gallon"))
ORIFICE = sources.ARITHMETIC.at("Bernoulli's equation with a flow coefficient")

_formula = nomenclature(
    letters={
        "volume": "V", "time": "t", "power": "P", "consumption": "b", "mass_flow": r"W_f", "density": r"\rho",
        "need": "Q", "factor": "k", "height": "h", "aft": "x", "pitch": r"\theta", "flow": "Q", "asked": r"Q_{req}",
        "head": "h_1", "new_head": "h_2", "diameter": "d", "coefficient": "C", "drop": r"\Delta p", "flow_ratio": "q",
        "drop_ratio": "k", "temperature": "T", "at_15": r"\rho_{15}", "capacity": "V", "mean": r"V_{mean}",
        "share": "q",
    },
    valid={
        "time": ("0.1 s", None), "power": ("0 hp", None), "factor": ("1", "3"), "pitch": ("-60 deg", "60 deg"),
        "asked": ("1e-12 m^3/s", None), "head": ("1 mm", None), "new_head": ("0 mm", None), "coefficient": ("0.3", "1"),
        "drop": ("0 Pa", None), "flow_ratio": ("0.01", None), "drop_ratio": ("0.01", None),
        "temperature": ("-50 degC", "90 degC"), "at_15": ("653 kg/m^3", "770 kg/m^3"), "share": ("0.01", None),
    },
)  # fmt: skip


@_formula(source=sources.DEFINITION.at("flow"), result=r"Q", title="Fuel flow measured")
def fuel_flow_from_test(volume: Volume, time: Time) -> VolumeFlow:
    """Volume flow of the fuel system, caught in a measuring can.

    Formula: Q = V / t.

    Parameters
    ----------
    volume : Volume
        caught in the can
    time : Time
        that it took

    Returns
    -------
    VolumeFlow
        The flow.

    Raises
    ------
    QuantityError
        an argument is not of its kind or out of range.

    Notes
    -----
    Range of validity: the line open at the carburettor's inlet, at its height, tank at its minimum fuel, the attitude
    the worst that flight brings.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(fuel_flow_from_test("1 gal", "180 s"), "gal/h", digits=4)
    '20.00 gal/h'
    """
    return volume / time


@_formula(source=sources.DEFINITION.at("specific fuel consumption"), result=r"W_f", title="Fuel needed")
def fuel_needed_at_power(power: Power, consumption: SpecificFuelConsumption) -> MassFlow:
    """Mass flow of fuel an engine burns at a power.

    Formula: m = P b.

    Parameters
    ----------
    power : Power
        at the engine's output
    consumption : SpecificFuelConsumption
        fuel for each power and time, from the engine's manual

    Returns
    -------
    MassFlow
        The mass flow.

    Raises
    ------
    QuantityError
        an argument is not of its kind or out of range.

    Notes
    -----
    Range of validity: the mixture for which the consumption was measured; full rich at take-off power is 0.5 to 0.6
    lb/(hp h) (common practice, no source).

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(fuel_needed_at_power("138 hp", "0.55 lb/(hp*h)"), "lb/h", digits=4)
    '75.90 lb/h'
    """
    return power * consumption


@_formula(
    source=sources.DEFINITION.at("density"),
    result=r"Q",
    valid={"density": ("300 kg/m^3", "1200 kg/m^3")},
    title="Fuel flow by volume",
)
def fuel_volume_flow(mass_flow: MassFlow, density: Density) -> VolumeFlow:
    """Volume flow of a mass flow of fuel.

    Formula: Q = m / rho.

    Parameters
    ----------
    mass_flow : MassFlow
        of fuel
    density : Density
        of fuel, at its temperature (`avgas_density`)

    Returns
    -------
    VolumeFlow
        The volume flow.

    Raises
    ------
    QuantityError
        an argument is not of its kind or out of range.

    Notes
    -----
    Range of validity: any liquid fuel.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(fuel_volume_flow("60 lb/h", "6 lb/gal"), "gal/h", digits=4)
    '10.00 gal/h'
    """
    return mass_flow / density


@_formula(source=sources.CFR_14.at("23.955 (older text)"), result=r"Q_{req}", title="Fuel flow required")
def required_fuel_flow(need: VolumeFlow, factor: Ratio) -> VolumeFlow:
    """What the fuel system must pass: the need at take-off power times the rules' factor.

    Formula: Qreq = k Q.

    Parameters
    ----------
    need : VolumeFlow
        at take-off power
    factor : Ratio
        of the rules: `fuel_flow_factor`

    Returns
    -------
    VolumeFlow
        The flow required.

    Raises
    ------
    QuantityError
        an argument is not of its kind or out of range.

    Notes
    -----
    Range of validity: 150 % for gravity, 125 % for a pump, by the older rule for aeroplanes; the rule for
    rotorcraft, 27.955, asks for 100 % in the worst condition.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(required_fuel_flow("12 gal/h", "150 %"), "gal/h", digits=4)
    '18.00 gal/h'
    """
    return need * factor


@_formula(source=sources.ARITHMETIC.at("a liquid at rest"), result=r"p", title="Pressure of the head")
def pressure_of_head(density: Density, height: Length) -> GaugePressure:
    """Pressure of a head of liquid at rest: also turns a reading of a water gauge into pressure.

    Formula: p = rho g0 h.

    Parameters
    ----------
    density : Density
        of the liquid
    height : Length
        of its surface above the place, upward positive

    Returns
    -------
    GaugePressure
        The pressure over the air's (gauge).

    Raises
    ------
    QuantityError
        an argument is not of its kind or out of range.

    Notes
    -----
    Range of validity: at rest, not accelerated; subtract what the lines lose in flow.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(pressure_of_head("1000 kg/m^3", "104 cm"), "Pa", digits=5)
    '10,199 Pa'
    """
    return density * STANDARD_GRAVITY * height


@_formula(
    source=sources.ARITHMETIC.at("two points turned together"),
    letters={"height": "z"},
    result=r"h",
    title="Head at this attitude",
)
def fuel_head(height: Length, aft: Length, pitch: Angle) -> Length:
    """Height of the fuel above the carburettor at an attitude: a tank behind the engine loses head as the nose rises.

    Formula: h = z cos a - x sin a.

    Parameters
    ----------
    height : Length
        of the fuel's surface above the carburettor, aircraft level
    aft : Length
        how far the tank lies aft of the carburettor (forward negative)
    pitch : Angle
        attitude, nose up positive

    Returns
    -------
    Length
        The head; negative where the fuel would have to run uphill.

    Raises
    ------
    QuantityError
        an argument is not of its kind or out of range.

    Notes
    -----
    Range of validity: not accelerated. For roll take the lateral distance, that side up positive.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(fuel_head("20 in", "24 in", "15 deg"), "in", digits=4)
    '13.11 in'
    """
    return height * cos(pitch) - aft * sin(pitch)


@_formula(
    source=sources.DEFINITION.at("density"),
    result=r"W_f",
    valid={"density": ("300 kg/m^3", "1200 kg/m^3")},
    title="Fuel flow by mass",
)
def fuel_mass_flow(flow: VolumeFlow, density: Density) -> MassFlow:
    """Mass flow of a volume flow of fuel: the inverse of `fuel_volume_flow`.

    Formula: m = Q rho.

    Parameters
    ----------
    flow : VolumeFlow
        of fuel
    density : Density
        of fuel, at its temperature (`avgas_density`)

    Returns
    -------
    MassFlow
        The mass flow.

    Raises
    ------
    QuantityError
        an argument is not of its kind or out of range.

    Notes
    -----
    Range of validity: any liquid fuel.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(fuel_mass_flow("10 gal/h", "6 lb/gal"), "lb/h", digits=4)
    '60.00 lb/h'
    """
    return flow * density


@_formula(source=sources.DEFINITION.at("share"), result=r"q", title="Flow over what is asked")
def fuel_flow_share(flow: VolumeFlow, asked: VolumeFlow) -> Ratio:
    """A flow over the one required.

    Formula: q = Q / Qreq.

    Parameters
    ----------
    flow : VolumeFlow
        that there is
    asked : VolumeFlow
        that is needed, or that the rules ask for

    Returns
    -------
    Ratio
        The share: 1 where it is just enough.

    Raises
    ------
    QuantityError
        an argument is not of its kind or out of range.

    Notes
    -----
    Range of validity: any two flows of one liquid.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(fuel_flow_share("21 gal/h", "18 gal/h"), digits=4)
    '1.167'
    """
    return flow / asked


@_formula(
    source=sources.DEFINITION.at("density"),
    result=r"m",
    valid={"density": ("300 kg/m^3", "1200 kg/m^3")},
    title="Mass of the fuel",
)
def fuel_mass(volume: Volume, density: Density) -> Mass:
    """What a volume of fuel weighs.

    Formula: m = V rho.

    Parameters
    ----------
    volume : Volume
        of fuel
    density : Density
        of fuel, at its temperature (`avgas_density`)

    Returns
    -------
    Mass
        The mass.

    Raises
    ------
    QuantityError
        an argument is not of its kind or out of range.

    Notes
    -----
    Range of validity: any liquid fuel.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(fuel_mass("19 gal", "6 lb/gal"), "lb", digits=4)
    '114.0 lb'
    """
    return volume * density


@_formula(
    source=sources.ARITHMETIC.at("turbulent flow under a head"),
    letters={"flow": "Q_1"},
    result=r"Q_2",
    title="Flow at another head",
)
def fuel_flow_at_head(flow: VolumeFlow, head: Length, new_head: Length) -> VolumeFlow:
    """Flow of a gravity-fed system at another head: with the square root of the head.

    Formula: Q2 = Q1 sqrt(h2 / h1).

    Parameters
    ----------
    flow : VolumeFlow
        measured
    head : Length
        at which it was measured (`fuel_head`)
    new_head : Length
        at which it is wanted

    Returns
    -------
    VolumeFlow
        The flow.

    Raises
    ------
    QuantityError
        an argument is not of its kind or out of range.

    Notes
    -----
    Range of validity: turbulent flow, an open vent, the same line; in a long narrow line with smooth flow it goes with
    the head itself, and falls further. An estimate: a flow test in the worst attitude needs none.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(fuel_flow_at_head("20 gal/h", "20 in", "12.8 in"), "gal/h", digits=4)
    '16.00 gal/h'
    """
    return flow * sqrt(new_head / head)


@_formula(source=ORIFICE, result=r"W", valid={"diameter": ("0.05 mm", "20 mm")}, title="Flow through the jet")
def jet_mass_flow(diameter: Length, coefficient: Ratio, density: Density, drop: GaugePressure) -> MassFlow:
    """Mass flow of fuel through a jet or nozzle.

    Formula: m = C (pi/4) d^2 sqrt(2 rho dp).

    Parameters
    ----------
    diameter : Length
        of the jet's bore
    coefficient : Ratio
        flow coefficient of the jet, 0.6 to 0.8
    density : Density
        of fuel
    drop : GaugePressure
        across the jet, head taken off

    Returns
    -------
    MassFlow
        The mass flow.

    Raises
    ------
    QuantityError
        an argument is not of its kind or out of range.

    Notes
    -----
    Range of validity: turbulent flow, a bore not worn. Flow goes with the bore's area and the root of the drop.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(jet_mass_flow("1 mm", "0.65", "760 kg/m^3", "10202 Pa"), "g/s", digits=3)
    '2.01 g/s'
    """
    return coefficient * pi / 4 * diameter**2 * sqrt(2 * density * drop)


@_formula(
    source=ORIFICE,
    letters={"mass_flow": r"W"},
    result=r"d",
    valid={"mass_flow": ("0 kg/s", None), "drop": ("1 Pa", None)},
    title="Jet for this flow",
)
def jet_diameter(mass_flow: MassFlow, coefficient: Ratio, density: Density, drop: GaugePressure) -> Length:
    """Bore of the jet that passes a wanted flow: the inverse of `jet_mass_flow`.

    Formula: d = sqrt(4 m / (pi C sqrt(2 rho dp))).

    Parameters
    ----------
    mass_flow : MassFlow
        wanted
    coefficient : Ratio
        flow coefficient of the jet
    density : Density
        of fuel
    drop : GaugePressure
        across the jet

    Returns
    -------
    Length
        The bore.

    Raises
    ------
    QuantityError
        an argument is not of its kind or out of range.

    Notes
    -----
    Range of validity: as `jet_mass_flow`.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(jet_diameter("0.4 kg/min", "0.6", "780 kg/m^3", "5437 Pa"), "mm", digits=3)
    '2.20 mm'
    """
    return sqrt(4 * mass_flow / (pi * coefficient * sqrt(2 * density * drop)))


@_formula(source=ORIFICE, letters={"diameter": "d_1"}, result=r"d_2", title="Jet to fit")
def jet_diameter_for_flow(diameter: Length, flow_ratio: Ratio, drop_ratio: Ratio = "1") -> Length:
    """Bore of the jet to fit, from one that is fitted: flow goes with the bore's square and the root of the drop.

    Formula: d2 = d1 sqrt(q / sqrt(k)).

    Parameters
    ----------
    diameter : Length
        of the jet that is fitted
    flow_ratio : Ratio
        wanted flow over the flow that it passes
    drop_ratio : Ratio
        drop across the new jet over that across the fitted one; 1 where it stays

    Returns
    -------
    Length
        The bore.

    Raises
    ------
    QuantityError
        an argument is not of its kind or out of range.

    Notes
    -----
    Range of validity: a jet of the same shape. Jets that are marked by flow, not by bore, go up in proportion.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(jet_diameter_for_flow("1.2 mm", "1.1"), "mm", digits=4)
    '1.259 mm'
    """
    return diameter * sqrt(flow_ratio / sqrt(drop_ratio))


@_formula(source=sources.ASTM_D1250.at("table 54B"), result=r"\rho", title="Density of the fuel")
def avgas_density(temperature: Temperature, at_15: Density = "720 kg/m^3") -> Density:
    """Density of gasoline at a temperature, from its density at 15 °C.

    Formula: rho = rho15 exp(-a dT (1 + 0.8 a dT)), a = K0 / rho15^2 + K1 / rho15 (rho15 in kg/m3).

    Parameters
    ----------
    temperature : Temperature
        of the fuel
    at_15 : Density
        at 15 °C, from the supplier; where it is not known 720 kg/m³, common for avgas (from memory)

    Returns
    -------
    Density
        The density.

    Raises
    ------
    QuantityError
        an argument is not of its kind or out of range.

    Notes
    -----
    Range of validity: gasolines of 653 to 770 kg/m3; the two constants and this range are from memory. One per cent of
    density is 8 °C.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(avgas_density("35 degC"), "lb/gal", digits=5)
    '5.8540 lb/gal'
    """
    return at_15 * exp(
        -(GASOLINE_K0 * (UNIT_DENSITY / at_15) ** 2 + GASOLINE_K1 * UNIT_DENSITY / at_15)
        * (temperature - REFERENCE_TEMPERATURE)
        * (
            1
            + 0.8
            * (GASOLINE_K0 * (UNIT_DENSITY / at_15) ** 2 + GASOLINE_K1 * UNIT_DENSITY / at_15)
            * (temperature - REFERENCE_TEMPERATURE)
        )
    )


@_formula(source=sources.CFR_14.at("27.969"), result=r"V_e", title="Least expansion space")
def least_expansion_space(capacity: Volume) -> Volume:
    """Space that must stay free above the fuel: two per cent of the tank.

    Formula: Ve = 0.02 V.

    Parameters
    ----------
    capacity : Volume
        of the tank

    Returns
    -------
    Volume
        The volume.

    Raises
    ------
    QuantityError
        an argument is not of its kind or out of range.

    Notes
    -----
    Range of validity: it must not be possible to fill it by mistake, in the level attitude.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(least_expansion_space("20 gal"), "gal", digits=3)
    '0.400 gal'
    """
    return 0.02 * capacity


@_formula(source=sources.DEFINITION.at("share"), result=r"q", title="Share of the mean")
def jar_share(volume: Volume, mean: Volume) -> Ratio:
    """A jar's volume over the mean of all jars.

    Formula: q = V / mean.

    Parameters
    ----------
    volume : Volume
        in one jar
    mean : Volume
        of all jars

    Returns
    -------
    Ratio
        The share.

    Raises
    ------
    QuantityError
        an argument is not of its kind or out of range.

    Notes
    -----
    Range of validity: jars filled at the same time.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(jar_share("98 mL", "100 mL"), digits=3)
    '0.980'
    """
    return volume / mean


@_formula(source=sources.DEFINITION.at("share"), result=r"q_2", title="Flow to be had over what it gives")
def share_to_the_mean(share: Ratio) -> Ratio:
    """The factor that brings a nozzle's flow to the mean of all.

    Formula: q2 = 1 / q.

    Parameters
    ----------
    share : Ratio
        what it gives, over the mean (`jar_shares`)

    Returns
    -------
    Ratio
        The factor, for `jet_diameter_for_flow`.

    Raises
    ------
    QuantityError
        an argument is not of its kind or out of range.

    Notes
    -----
    Range of validity: one nozzle changed, the others left; the mean itself moves a little with it.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(share_to_the_mean("0.8"), digits=4)
    '1.250'
    """
    return 1 / share


def least_sump(capacity: Any) -> Measured:
    """Least drainable sump of a tank: a quarter of one per cent of it, or 1/16 US gallon, whichever is more.

    Parameters
    ----------
    capacity : Volume
        of the tank.

    Returns
    -------
    Measured
        The volume.

    Raises
    ------
    QuantityError
        Not a volume.

    Notes
    -----
    Source: 14 CFR 27.971 (read). Range: in the normal ground attitude.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(least_sump("20 gal"), "gal", digits=3), say(least_sump("40 gal"), "gal", digits=3)
    ('0.0625 gal', '0.100 gal')
    """
    held = measured(capacity, Volume, "capacity")
    return max(held * 0.0025, Measured(float(DRAINAGE), Volume), key=lambda one: float(one.si))


def fuel_flow_factor(system: str) -> float:
    """The factor of the flow test: 1.5 where the fuel falls to the engine, 1.25 where a pump feeds it.

    Parameters
    ----------
    system : str
        "gravity" or "pump".

    Returns
    -------
    float
        The factor.

    Raises
    ------
    QuantityError
        Another system.

    Notes
    -----
    Source: 14 CFR 23.955 (older text; read).

    Examples
    --------
    >>> fuel_flow_factor("gravity"), fuel_flow_factor("pump")
    (1.5, 1.25)
    """
    if system not in FUEL_FLOW_FACTORS:
        raise QuantityError(
            f"fuel_flow_factor: system must be one of {', '.join(FUEL_FLOW_FACTORS)}, got {system!r:.40}"
        )
    return FUEL_FLOW_FACTORS[system]


def jar_shares(volumes: Sequence[Any]) -> list[Measured]:
    """What each nozzle gave in a jar test, over the mean of all.

    Parameters
    ----------
    volumes : sequence of Volume
        one for each jar, caught at once for the same time; two or more.

    Returns
    -------
    list of Measured
        Ratios, 1 for a nozzle that gives just the mean.

    Raises
    ------
    QuantityError
        Fewer than two jars, not volumes, or all empty.

    Notes
    -----
    Source: definition. The jars' own errors are carried; common ones cancel.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> [say(share, digits=3) for share in jar_shares(["98 mL", "102 mL"])]
    ['0.980', '1.02']
    """
    caught = _jars(volumes)
    mean = _mean(caught)
    return [jar_share(one, mean) if _uncertain(one, mean) else _exact(one, mean) for one in caught]


def jar_spread(volumes: Sequence[Any]) -> Measured:
    """How far the nozzles of a jar test differ: the fullest jar less the emptiest, over the mean.

    Parameters
    ----------
    volumes : sequence of Volume
        one for each jar, caught at once for the same time; two or more.

    Returns
    -------
    Measured
        The spread (ratio).

    Raises
    ------
    QuantityError
        Fewer than two jars, not volumes, or all empty.

    Notes
    -----
    Source: definition.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(jar_spread(["98 mL", "102 mL", "100 mL"]), "%", digits=2)
    '4.0 %'
    """
    caught = _jars(volumes)
    mean, spread = _mean(caught), largest_less_smallest(caught)
    return jar_share(spread, mean) if _uncertain(spread, mean) else _exact(spread, mean)


def _jars(volumes: Sequence[Any]) -> list[Measured]:
    if len(volumes) < 2:
        raise QuantityError(f"a jar test needs two jars or more, got {len(volumes)}")
    return [measured(one, Volume, f"jar {i}") for i, one in enumerate(volumes, 1)]


def _mean(caught: Sequence[Measured]) -> Measured:
    total = caught[0]
    for one in caught[1:]:
        total = total + one
    if not total.si > 0:
        raise QuantityError("a jar test needs fuel in its jars: all are empty")
    return total / len(caught)


def _uncertain(one: Measured, mean: Measured) -> bool:
    return bool(one.components or mean.components)


def _exact(one: Measured, mean: Measured) -> Measured:
    return Measured(float(one.si) / float(mean.si), Ratio)
