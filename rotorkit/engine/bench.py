"""What a brake or a run tells: torque, power, mean effective pressure, displacement, specific consumption."""

from __future__ import annotations

from rotorkit import sources
from rotorkit.formula import nomenclature
from rotorkit.formula.functions import pi
from rotorkit.quantities import (
    Force,
    Length,
    MassFlow,
    Power,
    Ratio,
    RotationRate,
    SpecificFuelConsumption,
    Stress,
    Torque,
    Volume,
)

_formula = nomenclature(
    letters={
        "bore": "B", "stroke": "s", "cylinders": "z", "load": "W", "arm": "b", "torque": "Q", "speed": r"\omega",
        "power": "P", "displacement": "V_d", "turns_per_cycle": "k", "mass_flow": r"W_f",
    },
    valid={"cylinders": ("1", "48"), "speed": ("1 rpm", None), "turns_per_cycle": frozenset({"2", "1"})},
)  # fmt: skip


@_formula(source=sources.DEFINITION.at("swept volume"), result=r"V_d", title="Engine displacement")
def engine_displacement(bore: Length, stroke: Length, cylinders: Ratio) -> Volume:
    """Volume swept by all pistons.

    Formula: V = (pi/4) B^2 s z.

    Parameters
    ----------
    bore : Length
        of the cylinders
    stroke : Length
        of the pistons
    cylinders : Ratio
        how many

    Returns
    -------
    Volume
        The displacement.

    Raises
    ------
    QuantityError
        an argument is not of its kind or out of range.

    Notes
    -----
    Range of validity: geometric.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(engine_displacement("95 mm", "120 mm", "6"), "L", digits=4)
    '5.104 L'
    """
    return pi / 4 * bore**2 * stroke * cylinders


@_formula(source=sources.ARITHMETIC.at("lever"), result=r"Q", title="Torque on the brake")
def brake_torque(load: Force, arm: Length) -> Torque:
    """Torque from the load on a brake's arm.

    Formula: Q = W b. A brake of which power is W N / K (N, rpm, kW) has an arm of 30000 / (pi K) metres.

    Parameters
    ----------
    load : Force
        on the brake's scale
    arm : Length
        of the brake

    Returns
    -------
    Torque
        The torque.

    Raises
    ------
    QuantityError
        an argument is not of its kind or out of range.

    Notes
    -----
    Range of validity: the load square to the arm.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(brake_torque("550 N", "0.4774648 m"), "N*m", digits=4)
    '262.6 N·m'
    """
    return load * arm


@_formula(
    source=sources.DEFINITION.at("power of a turning shaft"),
    result=r"P",
    valid={"speed": ("0 rpm", None)},
    title="Engine power from torque",
)
def engine_power_from_torque(torque: Torque, speed: RotationRate) -> Power:
    """Power of a turning shaft.

    Formula: P = Q w.

    Parameters
    ----------
    torque : Torque
        at the crankshaft
    speed : RotationRate
        of the crankshaft

    Returns
    -------
    Power
        The power.

    Raises
    ------
    QuantityError
        an argument is not of its kind or out of range.

    Notes
    -----
    Range of validity: steady.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(engine_power_from_torque("262.606 N*m", "2400 rpm"), "kW", digits=4)
    '66.00 kW'
    """
    return torque * speed


@_formula(source=sources.DEFINITION.at("power of a turning shaft"), result=r"Q", title="Engine torque from power")
def engine_torque(power: Power, speed: RotationRate) -> Torque:
    """Torque of a shaft that carries a power.

    Formula: Q = P / w; in the trade's units Q [lbf ft] = 5252.113 P [hp] / N [rpm].

    Parameters
    ----------
    power : Power
        at the crankshaft
    speed : RotationRate
        of the crankshaft

    Returns
    -------
    Torque
        The torque.

    Raises
    ------
    QuantityError
        an argument is not of its kind or out of range.

    Notes
    -----
    Range of validity: the mean; a piston engine's torque swings about it.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(engine_torque("1 hp", "1 rpm"), "lbf*ft", digits=7)
    '5,252.113 lbf·ft'
    """
    return power / speed


@_formula(source=sources.DEFINITION.at("mean effective pressure"), result=r"p_e", title="Brake mean effective pressure")
def brake_mean_effective_pressure(
    power: Power, displacement: Volume, speed: RotationRate, turns_per_cycle: Ratio = "2"
) -> Stress:
    """The constant pressure on the pistons that would give the measured power.

    Formula: pe = 2 pi k P / (V w).

    Parameters
    ----------
    power : Power
        at the crankshaft
    displacement : Volume
        of the engine
    speed : RotationRate
        of the crankshaft
    turns_per_cycle : Ratio
        2 for four strokes, 1 for two

    Returns
    -------
    Stress
        The pressure.

    Raises
    ------
    QuantityError
        an argument is not of its kind or out of range.

    Notes
    -----
    Range of validity: any piston engine; 8 to 10 bar is usual for one that is not supercharged (common practice, no
    source).

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(brake_mean_effective_pressure("66 kW", "5.10351 L", "2400 rpm"), "bar", digits=4)
    '6.466 bar'
    """
    return 2 * pi * turns_per_cycle * power / (displacement * speed)


@_formula(
    source=sources.DEFINITION.at("specific fuel consumption"),
    result=r"b",
    valid={"power": ("1 W", None)},
    title="Specific fuel consumption",
)
def specific_fuel_consumption(mass_flow: MassFlow, power: Power) -> SpecificFuelConsumption:
    """Fuel per unit of power and time.

    Formula: b = m / P.

    Parameters
    ----------
    mass_flow : MassFlow
        of fuel
    power : Power
        at the crankshaft

    Returns
    -------
    SpecificFuelConsumption
        The specific consumption.

    Raises
    ------
    QuantityError
        an argument is not of its kind or out of range.

    Notes
    -----
    Range of validity: steady, mixture and power measured together.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(specific_fuel_consumption("15.5005 kg/h", "66 kW"), "kg/(kW*h)", digits=3)
    '0.235 kg/(kW·h)'
    """
    return mass_flow / power
