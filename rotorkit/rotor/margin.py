"""What is left in the hover: power, weight and height.

Power needed and power available are put side by side, out of ground effect and in still air. Three margins follow: the
power left over, the mass that could be added until none is left, and the density altitude at which none is left at this
mass. Positive means that something is left.
"""

from __future__ import annotations

from rotorkit import sources
from rotorkit.atmosphere.standard import standard_density
from rotorkit.contract import contract
from rotorkit.engine.altitude import full_throttle_power_gagg_ferrar
from rotorkit.formula import formula
from rotorkit.mass.weight import weight_force
from rotorkit.quantities import Density, Length, Mass, Power, QuantityError, Ratio, RotationRate
from rotorkit.rotor.geometry import disk_area
from rotorkit.rotor.hover import hover_power_from_figure_of_merit
from rotorkit.rotor.ranges import (
    AIR_DENSITY,
    EFFICIENCY,
    FIGURE_OF_MERIT,
    NOT_NEGATIVE_POWER,
    RADIUS,
    ROTOR_SPEED,
)
from rotorkit.rotor.shares import engine_power_needed, main_rotor_torque, tail_rotor_power, tail_rotor_thrust_needed

__all__ = [
    "density_where_power_is_used_up",
    "engine_power_to_hover",
    "mass_margin",
    "mass_that_can_hover",
    "power_margin",
]

_ROOT_TOLERANCE = 1e-13


@formula(source=sources.DEFINITION.at("margin"), letters={"available": "P_{av}", "needed": "P_e"}, result=r"\Delta P")
def power_margin(available: Power, needed: Power) -> Power:
    """Power left over in the hover; negative where the engine cannot hold the aircraft up.

    Formula: dP = Pav - Pe.

    Args:
        available: what the engine gives in the air as it is, at its output.
        needed: what the hover takes, at the same place.

    Returns:
        The margin (power), positive for something left.

    Raises:
        QuantityError: an argument is not a power.

    Example:
        >>> from rotorkit.quantities import say
        >>> say(power_margin("126.5 hp", "120 hp"), "hp", digits=2)
        '6.5 hp'
    """
    return available - needed


@formula(source=sources.DEFINITION.at("margin"), letters={"able": "m_{max}", "carried": "m"}, result=r"\Delta m")
def mass_margin(able: Mass, carried: Mass) -> Mass:
    """Mass that could be added until nothing is left in the hover; negative where some has to come off.

    Formula: dm = mmax - m.

    Args:
        able: the mass that can just hover (`mass_that_can_hover`).
        carried: the gross mass as it is.

    Returns:
        The margin (mass as a scale shows it), positive for something left.

    Raises:
        QuantityError: an argument is not a mass.

    Example:
        >>> from rotorkit.quantities import say
        >>> say(mass_margin("1500 lb", "1450 lb"), "lb", digits=2)
        '50 lb'
    """
    return able - carried


@formula(source=sources.ARITHMETIC.at("power balance of the hover, by figures of merit"),
         letters={"gross_mass": "m", "density": r"\rho", "rotor_radius": "R", "figure_of_merit": "FM",
                  "rotor_speed": r"\Omega", "tail_arm": "l_t", "tail_rotor_radius": "R_t",
                  "tail_rotor_figure_of_merit": "FM_t", "transmission_efficiency": r"\eta", "accessory_power": "P_a"},
         result="P_e",
         valid={"density": AIR_DENSITY, "rotor_radius": RADIUS, "figure_of_merit": FIGURE_OF_MERIT,
                "rotor_speed": ROTOR_SPEED, "tail_arm": ("2 ft", "60 ft"), "tail_rotor_radius": RADIUS,
                "tail_rotor_figure_of_merit": FIGURE_OF_MERIT, "transmission_efficiency": EFFICIENCY,
                "accessory_power": NOT_NEGATIVE_POWER})  # fmt: skip
def engine_power_to_hover(
    gross_mass: Mass, density: Density, rotor_radius: Length, figure_of_merit: Ratio, rotor_speed: RotationRate,
    tail_arm: Length, tail_rotor_radius: Length, tail_rotor_figure_of_merit: Ratio, transmission_efficiency: Ratio,
    accessory_power: Power,
) -> Power:  # fmt: skip
    """Engine power that a hover takes: main rotor, tail rotor against its torque, losses and accessories, in one.

    The chain of `weight_force`, `hover_power_from_figure_of_merit`, `main_rotor_torque`, `tail_rotor_thrust_needed`,
    `tail_rotor_power` and `engine_power_needed`. Thrust is taken equal to weight: the downwash on the fuselage (a few
    per cent of the weight, common practice, no source) is held to be in the figure of merit.

    Args:
        gross_mass: all that is lifted.
        density: of the air.
        rotor_radius, figure_of_merit, rotor_speed: of the main rotor.
        tail_arm: main-rotor axis to tail-rotor axis (length).
        tail_rotor_radius, tail_rotor_figure_of_merit: of the tail rotor.
        transmission_efficiency: power out over power in.
        accessory_power: taken off before the transmission.

    Returns:
        The power needed at the engine's output.

    Raises:
        QuantityError: an argument is not of its kind or not credible; every bad one is named.

    Range of validity: steady hover, still air, out of ground effect, no pedal input beyond holding still.

    Example:
        >>> from rotorkit.quantities import say
        >>> say(engine_power_to_hover("1400 lb", "0.0023769 slug/ft^3", "12.5 ft", 0.6, "500 rpm", "14.25 ft",
        ...     "2.083 ft", 0.55, "94 %", "2 hp"), "hp", digits=4)
        '121.6 hp'
    """
    return engine_power_needed(
        hover_power_from_figure_of_merit(weight_force(gross_mass), density, disk_area(rotor_radius), figure_of_merit),
        tail_rotor_power(
            tail_rotor_thrust_needed(
                main_rotor_torque(
                    hover_power_from_figure_of_merit(
                        weight_force(gross_mass), density, disk_area(rotor_radius), figure_of_merit
                    ),
                    rotor_speed,
                ),
                tail_arm,
            ),
            density,
            disk_area(tail_rotor_radius),
            tail_rotor_figure_of_merit,
        ),
        accessory_power,
        transmission_efficiency,
    )


@contract
def mass_that_can_hover(
    engine_power: Power, density: Density, rotor_radius: Length, figure_of_merit: Ratio, rotor_speed: RotationRate,
    tail_arm: Length, tail_rotor_radius: Length, tail_rotor_figure_of_merit: Ratio, transmission_efficiency: Ratio,
    accessory_power: Power,
) -> Mass:  # fmt: skip
    """The gross mass at which `engine_power_to_hover` is just the power that there is.

    Found by a bracketed root: the power rises all the way with the mass. Arguments as there, with `engine_power` what
    the engine gives. Raises QuantityError where the accessories alone take all of it.

    Example:
        >>> from rotorkit.quantities import say
        >>> say(mass_that_can_hover("121.6 hp", "0.0023769 slug/ft^3", "12.5 ft", "0.6", "500 rpm", "14.25 ft",
        ...     "2.083 ft", "0.55", "94 %", "2 hp"), "lb", digits=4)
        '1,400 lb'
    """
    from scipy.optimize import brentq

    rest = (density, rotor_radius, figure_of_merit, rotor_speed, tail_arm, tail_rotor_radius,
            tail_rotor_figure_of_merit, transmission_efficiency, accessory_power)  # fmt: skip
    if engine_power <= accessory_power:
        raise QuantityError("engine_power is used up by accessory_power: nothing is left for the rotors")
    most = 1000.0
    while engine_power_to_hover.si(most, *rest) < engine_power:
        most *= 2
    return float(
        brentq(lambda mass: engine_power_to_hover.si(mass, *rest) - engine_power, 1e-6, most, rtol=_ROOT_TOLERANCE)
    )


@contract
def density_where_power_is_used_up(
    gross_mass: Mass, sea_level_power: Power, dry_share: Ratio, rotor_radius: Length, figure_of_merit: Ratio,
    rotor_speed: RotationRate, tail_arm: Length, tail_rotor_radius: Length, tail_rotor_figure_of_merit: Ratio,
    transmission_efficiency: Ratio, accessory_power: Power,
) -> Density:  # fmt: skip
    """The air density at which `engine_power_to_hover` is just what `full_throttle_power_gagg_ferrar` gives.

    Thinner air asks for more power and leaves the engine less, so that there is one such density. Its
    `density_altitude` is the height at which the margin is gone at this mass.

    Args:
        dry_share: density of the dry part of the air over that of the whole (1 on a dry day); the others as in
            `engine_power_to_hover` and `full_throttle_power_gagg_ferrar`.

    Raises:
        QuantityError: the margin is gone below the density of 2 kg/m^3, or still there at 0.3 kg/m^3.

    Example:
        >>> from rotorkit.quantities import say
        >>> say(density_where_power_is_used_up("1400 lb", "150 hp", "1", "12.5 ft", "0.6", "500 rpm", "14.25 ft",
        ...     "2.083 ft", "0.55", "94 %", "2 hp"), "kg/m^3", digits=4)
        '1.064 kg/m³'
    """
    from scipy.optimize import brentq

    rest = (rotor_radius, figure_of_merit, rotor_speed, tail_arm, tail_rotor_radius, tail_rotor_figure_of_merit,
            transmission_efficiency, accessory_power)  # fmt: skip

    sea_level = standard_density.si(0.0)

    def left(density: float) -> float:
        available = full_throttle_power_gagg_ferrar.si(sea_level_power, dry_share * density / sea_level)
        return float(available - engine_power_to_hover.si(gross_mass, density, *rest))

    thin, thick = 0.3, 2.0
    if left(thick) < 0 or left(thin) > 0:
        raise QuantityError("gross_mass: the density at which the power is used up lies outside 0.3 to 2 kg/m^3")
    return float(brentq(left, thin, thick, rtol=_ROOT_TOLERANCE))
