"""What is left in the hover: power, weight and height.

Power needed and power available are put side by side, out of ground effect and in still air. Three margins follow: the
power left over, the mass that could be added until none is left, and the density altitude at which none is left at this
mass. Positive means that something is left.
"""

from __future__ import annotations

import itertools
from collections.abc import Callable
from typing import Any

from rotorkit import sources
from rotorkit.atmosphere.standard import standard_density
from rotorkit.engine.altitude import power_held_to_rating
from rotorkit.formula import formula
from rotorkit.formula.contract import contract
from rotorkit.mass.weight import weight_force
from rotorkit.quantities import Density, Length, Mass, MassDifference, Power, QuantityError, Ratio, RotationRate
from rotorkit.rotor import ranges
from rotorkit.rotor.geometry import disk_area, tip_speed
from rotorkit.rotor.hover import hover_power_from_figure_of_merit, hover_power_induced_and_profile
from rotorkit.rotor.shares import engine_power_needed, main_rotor_torque, tail_rotor_power, tail_rotor_thrust_needed

_ROOT_TOLERANCE = 1e-13
_THIN, _THICK, _DENSITY_STEPS = 0.3, 2.0, 34
"""From air above any height that a light helicopter reaches to air denser than any, in kg/m^3, in steps of 0.05."""


@formula(source=sources.DEFINITION.at("correction by measured hovers"),
         letters={"measured_power": "P_{meas}", "estimated_power": "P_{est}"}, result="k",
         valid={"measured_power": ranges.NOT_NEGATIVE_POWER, "estimated_power": ("0.1 hp", None)})  # fmt: skip
def correction_from_measured_power(measured_power: Power, estimated_power: Power) -> Ratio:
    """The factor that corrects an estimate of power, from a hover whose power is known.

    Formula: k = Pmeas / Pest.

    Parameters
    ----------
    measured_power : Power
        at the main rotor's shaft in that hover (not negative).
    estimated_power : Power
        by the estimate, at the same weight, air and rotor speed.

    Returns
    -------
    Ratio
        The correction (ratio); above 1 where the rotor takes more than the estimate says.

    Raises
    ------
    QuantityError
        an argument is not of its kind or not credible.

    Notes
    -----
    Range of validity: near the weights and the air of the measured hovers.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(correction_from_measured_power("110 hp", "100 hp"), digits=4)
    '1.100'
    """
    return measured_power / estimated_power


@formula(source=sources.DEFINITION.at("correction by measured hovers"),
         letters={"estimated_power": "P_{est}", "correction": "k"}, result="P",
         valid={"estimated_power": ranges.NOT_NEGATIVE_POWER, "correction": ("0.3", "3")})  # fmt: skip
def corrected_power(estimated_power: Power, correction: Ratio) -> Power:
    """An estimate of power times its correction: from measured hovers, or 1 with the uncertainty of the model.

    Formula: P = k Pest.

    Parameters
    ----------
    estimated_power : Power
        at the main rotor's shaft (not negative).
    correction : Ratio
        `correction_from_measured_power`, or 1 (ratio).

    Returns
    -------
    Power
        The power.

    Raises
    ------
    QuantityError
        an argument is not of its kind or not credible.

    Notes
    -----
    Range of validity: as the correction.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(corrected_power("100 hp", "1.1"), "hp", digits=4)
    '110.0 hp'
    """
    return correction * estimated_power


@formula(source=sources.DEFINITION.at("margin"), letters={"available": "P_{av}", "needed": "P_e"}, result=r"\Delta P")
def power_margin(available: Power, needed: Power) -> Power:
    """Power left over in the hover; negative if the engine cannot hold the aircraft up.

    Formula: dP = Pav - Pe.

    Parameters
    ----------
    available : Power
        what the engine gives in the air as it is, at its output.
    needed : Power
        what the hover takes, at the same place.

    Returns
    -------
    Power
        The margin (power), positive for something left.

    Raises
    ------
    QuantityError
        an argument is not a power.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(power_margin("116.4 hp", "110 hp"), "hp", digits=2)
    '6.4 hp'
    """
    return available - needed


@formula(
    source=sources.DEFINITION.at("margin"),
    letters={"able": "m_{max}", "carried": "m"},
    result=r"\Delta m",
    title="Weight margin",
)
def mass_margin(able: Mass, carried: Mass) -> MassDifference:
    """Mass that could be added before no margin is left in the hover; negative if some has to come off.

    Formula: dm = mmax - m.

    Parameters
    ----------
    able : Mass
        the mass that can just hover (`mass_that_can_hover`).
    carried : Mass
        the gross mass as it is.

    Returns
    -------
    MassDifference
        The margin (a difference of masses as a scale shows them), positive for something left.

    Raises
    ------
    QuantityError
        an argument is not a mass.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(mass_margin("1310 lb", "1255 lb"), "lb", digits=2)
    '55 lb'
    """
    return able - carried


@formula(source=sources.ARITHMETIC.at("power balance of the hover, by figures of merit"),
         letters={"gross_mass": "m", "density": r"\rho", "rotor_radius": "R", "figure_of_merit": "FM",
                  "rotor_speed": r"\Omega", "tail_arm": "l_t", "tail_rotor_radius": "R_t",
                  "tail_rotor_figure_of_merit": "FM_t", "transmission_efficiency": r"\eta", "accessory_power": "P_a"},
         result="P_e",
         valid={"density": ranges.AIR_DENSITY, "rotor_radius": ranges.RADIUS, "figure_of_merit": ranges.FIGURE_OF_MERIT,
                "rotor_speed": ranges.ROTOR_SPEED, "tail_arm": ("2 ft", "60 ft"), "tail_rotor_radius": ranges.RADIUS,
                "tail_rotor_figure_of_merit": ranges.FIGURE_OF_MERIT, "transmission_efficiency": ranges.EFFICIENCY,
                "accessory_power": ranges.NOT_NEGATIVE_POWER})  # fmt: skip
def engine_power_to_hover(
    gross_mass: Mass, density: Density, rotor_radius: Length, figure_of_merit: Ratio, rotor_speed: RotationRate,
    tail_arm: Length, tail_rotor_radius: Length, tail_rotor_figure_of_merit: Ratio, transmission_efficiency: Ratio,
    accessory_power: Power,
) -> Power:  # fmt: skip
    """Engine power for a hover: main rotor, tail rotor against its torque, losses and accessories, all in one.

    The chain of `weight_force`, `hover_power_from_figure_of_merit`, `main_rotor_torque`, `tail_rotor_thrust_needed`,
    `tail_rotor_power` and `engine_power_needed`. Thrust is taken equal to weight: the downwash on the fuselage (a few
    per cent of the weight, common practice, no source) is held to be in the figure of merit.

    Parameters
    ----------
    gross_mass : Mass
        all that is lifted.
    density : Density
        of the air.
    rotor_radius, figure_of_merit, rotor_speed : Length, Ratio, RotationRate
        of the main rotor.
    tail_arm : Length
        main-rotor axis to tail-rotor axis (length).
    tail_rotor_radius, tail_rotor_figure_of_merit : Length, Ratio
        of the tail rotor.
    transmission_efficiency : Ratio
        power out over power in.
    accessory_power : Power
        taken off before the transmission.

    Returns
    -------
    Power
        The power needed at the engine's output.

    Raises
    ------
    QuantityError
        an argument is not of its kind or not credible; every bad one is named.

    Notes
    -----
    Range of validity: steady hover, still air, out of ground effect, no more pedal than holds the heading.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(engine_power_to_hover("1250 lb", "0.0023769 slug/ft^3", "11 ft 8 in", 0.6, "455 rpm", "14 ft",
    ...     "26 in", 0.55, "94 %", "2 hp"), "hp", digits=4)
    '111.0 hp'
    """
    return _with_tail_rotor(
        hover_power_from_figure_of_merit(weight_force(gross_mass), density, disk_area(rotor_radius), figure_of_merit),
        rotor_speed, tail_arm, density, tail_rotor_radius, tail_rotor_figure_of_merit, accessory_power,
        transmission_efficiency,
    )  # fmt: skip


@formula(source=sources.ARITHMETIC.at("power balance of the hover, by induced factor and profile drag"),
         letters={"gross_mass": "m", "density": r"\rho", "rotor_radius": "R", "rotor_speed": r"\Omega",
                  "solidity": r"\sigma", "induced_factor": r"\kappa", "profile_drag_coefficient": "c_{d0}",
                  "tail_arm": "l_t", "tail_rotor_radius": "R_t", "tail_rotor_figure_of_merit": "FM_t",
                  "transmission_efficiency": r"\eta", "accessory_power": "P_a"},
         result="P_e",
         valid={"density": ranges.AIR_DENSITY, "rotor_radius": ranges.RADIUS, "rotor_speed": ranges.ROTOR_SPEED,
                "solidity": ranges.SOLIDITY,
                "induced_factor": ("1", "2"), "profile_drag_coefficient": ("0.004", "0.05"),
                "tail_arm": ("2 ft", "60 ft"), "tail_rotor_radius": ranges.RADIUS,
                "tail_rotor_figure_of_merit": ranges.FIGURE_OF_MERIT, "transmission_efficiency": ranges.EFFICIENCY,
                "accessory_power": ranges.NOT_NEGATIVE_POWER},
         title="Engine power to hover, by induced and profile power")  # fmt: skip
def engine_power_to_hover_by_parts(
    gross_mass: Mass, density: Density, rotor_radius: Length, rotor_speed: RotationRate, solidity: Ratio,
    induced_factor: Ratio, profile_drag_coefficient: Ratio, tail_arm: Length, tail_rotor_radius: Length,
    tail_rotor_figure_of_merit: Ratio, transmission_efficiency: Ratio, accessory_power: Power,
) -> Power:  # fmt: skip
    """Engine power that a hover takes, as `engine_power_to_hover`, with the main rotor's power in its two parts.

    The induced part grows with weight and with thin air, the profile part with dense air and tip speed. So the figure
    of merit that the two come to is not the same at another weight: it is worse for a light aircraft.

    Parameters
    ----------
    gross_mass : Mass
        all that is lifted.
    density : Density
        of the air.
    rotor_radius, rotor_speed, solidity : Length, RotationRate, Ratio
        of the main rotor.
    induced_factor, profile_drag_coefficient : Ratio
        as in `hover_power_induced_and_profile`.
    tail_arm, tail_rotor_radius, tail_rotor_figure_of_merit : Length, Ratio
        as in `engine_power_to_hover`.
    transmission_efficiency, accessory_power : Ratio, Power
        as in `engine_power_to_hover`.

    Returns
    -------
    Power
        The power needed at the engine's output.

    Raises
    ------
    QuantityError
        an argument is not of its kind or not credible; every bad one is named.

    Notes
    -----
    Range of validity: as `engine_power_to_hover`.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(engine_power_to_hover_by_parts("1250 lb", "0.0023769 slug/ft^3", "11 ft 8 in", "455 rpm", 0.0455, 1.2,
    ...     0.0125, "14 ft", "26 in", 0.55, "94 %", "2 hp"), "hp", digits=4)
    '106.5 hp'
    """
    return _with_tail_rotor(
        hover_power_induced_and_profile(
            weight_force(gross_mass), density, disk_area(rotor_radius), tip_speed(rotor_speed, rotor_radius),
            solidity, induced_factor, profile_drag_coefficient,
        ),
        rotor_speed, tail_arm, density, tail_rotor_radius, tail_rotor_figure_of_merit, accessory_power,
        transmission_efficiency,
    )  # fmt: skip


def _with_tail_rotor(
    main: Power, rotor_speed: RotationRate, tail_arm: Length, density: Density, tail_rotor_radius: Length,
    tail_rotor_figure_of_merit: Ratio, accessory_power: Power, transmission_efficiency: Ratio,
) -> Any:  # fmt: skip
    """Engine power for the main rotor's, with what the tail rotor takes to hold against its torque."""
    thrust = tail_rotor_thrust_needed(main_rotor_torque(main, rotor_speed), tail_arm)
    tail = tail_rotor_power(thrust, density, disk_area(tail_rotor_radius), tail_rotor_figure_of_merit)
    return engine_power_needed(main, tail, accessory_power, transmission_efficiency)


@contract
def mass_that_can_hover(
    engine_power: Power, density: Density, rotor_radius: Length, figure_of_merit: Ratio, rotor_speed: RotationRate,
    tail_arm: Length, tail_rotor_radius: Length, tail_rotor_figure_of_merit: Ratio, transmission_efficiency: Ratio,
    accessory_power: Power,
) -> Mass:  # fmt: skip
    """The gross mass at which `engine_power_to_hover` equals the power available.

    Found by a bracketed root: the power rises all the way with the mass. Arguments as there, with `engine_power` what
    the engine gives. Raises QuantityError where the accessories alone take all of it.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(mass_that_can_hover("111.0 hp", "0.0023769 slug/ft^3", "11 ft 8 in", "0.6", "455 rpm", "14 ft",
    ...     "26 in", "0.55", "94 %", "2 hp"), "lb", digits=4)
    '1,250 lb'
    """
    rest = (density, rotor_radius, figure_of_merit, rotor_speed, tail_arm, tail_rotor_radius,
            tail_rotor_figure_of_merit, transmission_efficiency, accessory_power)  # fmt: skip
    return _mass_at(engine_power, lambda mass: engine_power_to_hover.si(mass, *rest))


@contract
def mass_that_can_hover_by_parts(
    engine_power: Power, density: Density, rotor_radius: Length, rotor_speed: RotationRate, solidity: Ratio,
    induced_factor: Ratio, profile_drag_coefficient: Ratio, tail_arm: Length, tail_rotor_radius: Length,
    tail_rotor_figure_of_merit: Ratio, transmission_efficiency: Ratio, accessory_power: Power,
) -> Mass:  # fmt: skip
    """The gross mass at which `engine_power_to_hover_by_parts` equals the power available.

    As `mass_that_can_hover`. Raises QuantityError where accessories and blade drag alone take all of the power.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(mass_that_can_hover_by_parts("106.5 hp", "0.0023769 slug/ft^3", "11 ft 8 in", "455 rpm", "0.0455",
    ...     "1.2", "0.0125", "14 ft", "26 in", "0.55", "94 %", "2 hp"), "lb", digits=4)
    '1,250 lb'
    """
    rest = (density, rotor_radius, rotor_speed, solidity, induced_factor, profile_drag_coefficient, tail_arm,
            tail_rotor_radius, tail_rotor_figure_of_merit, transmission_efficiency, accessory_power)  # fmt: skip
    return _mass_at(engine_power, lambda mass: engine_power_to_hover_by_parts.si(mass, *rest))


@contract
def density_where_power_is_used_up(
    gross_mass: Mass, sea_level_power: Power, dry_share: Ratio, rotor_radius: Length, figure_of_merit: Ratio,
    rotor_speed: RotationRate, tail_arm: Length, tail_rotor_radius: Length, tail_rotor_figure_of_merit: Ratio,
    transmission_efficiency: Ratio, accessory_power: Power,
) -> Density:  # fmt: skip
    """The air density at which `engine_power_to_hover` equals what `power_held_to_rating` gives.

    Thinner air asks for more power and leaves the engine less, so that there is one such density. Its
    `density_altitude` is the height at which the margin is gone at this mass.

    Parameters
    ----------
    dry_share : Ratio
        density of the dry part of the air over that of the whole (1 on a dry day); the others as in
        `engine_power_to_hover` and `power_held_to_rating`.

    Raises
    ------
    QuantityError
        the margin is gone below the density of 2 kg/m^3, or still there at 0.3 kg/m^3.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(density_where_power_is_used_up("1250 lb", "138 hp", "1", "11 ft 8 in", "0.6", "455 rpm", "14 ft",
    ...     "26 in", "0.55", "94 %", "2 hp"), "kg/m^3", digits=4)
    '1.077 kg/m³'
    """
    rest = (rotor_radius, figure_of_merit, rotor_speed, tail_arm, tail_rotor_radius, tail_rotor_figure_of_merit,
            transmission_efficiency, accessory_power)  # fmt: skip
    return _density_at(sea_level_power, dry_share, lambda density: engine_power_to_hover.si(gross_mass, density, *rest))


@contract
def density_where_power_is_used_up_by_parts(
    gross_mass: Mass, sea_level_power: Power, dry_share: Ratio, rotor_radius: Length, rotor_speed: RotationRate,
    solidity: Ratio, induced_factor: Ratio, profile_drag_coefficient: Ratio, tail_arm: Length,
    tail_rotor_radius: Length, tail_rotor_figure_of_merit: Ratio, transmission_efficiency: Ratio,
    accessory_power: Power,
) -> Density:  # fmt: skip
    """The air density at which `engine_power_to_hover_by_parts` equals what `power_held_to_rating` gives.

    As `density_where_power_is_used_up`, by induced factor and profile drag. Very dense air makes the blades' drag grow;
    the density found is the thin one, at which the margin goes on the way up.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(density_where_power_is_used_up_by_parts("1250 lb", "138 hp", "1", "11 ft 8 in", "455 rpm", "0.0455",
    ...     "1.2", "0.0125", "14 ft", "26 in", "0.55", "94 %", "2 hp"), "kg/m^3", digits=4)
    '1.012 kg/m³'
    """
    rest = (rotor_radius, rotor_speed, solidity, induced_factor, profile_drag_coefficient, tail_arm, tail_rotor_radius,
            tail_rotor_figure_of_merit, transmission_efficiency, accessory_power)  # fmt: skip
    return _density_at(
        sea_level_power, dry_share, lambda density: engine_power_to_hover_by_parts.si(gross_mass, density, *rest)
    )


def _mass_at(engine_power: float, needed: Callable[[float], float]) -> float:
    """The mass at which the power needed, which rises with the mass, is the engine's."""
    from scipy.optimize import brentq

    least, most = 1e-6, 1000.0
    if needed(least) >= engine_power:
        raise QuantityError("engine_power is used up by accessories and blade drag: nothing is left to lift with")
    while needed(most) < engine_power:
        most *= 2
    return float(brentq(lambda mass: needed(mass) - engine_power, least, most, rtol=_ROOT_TOLERANCE))


def _density_at(sea_level_power: float, dry_share: float, needed: Callable[[float], float]) -> float:
    """The thin density at which the power needed is the engine's."""
    from scipy.optimize import brentq

    sea_level = standard_density.si(0.0)

    def left(density: float) -> float:
        return float(power_held_to_rating.si(sea_level_power, dry_share * density / sea_level) - needed(density))

    # What is left rises with the density as far as the engine power does, and from there as long as the induced part
    # falls faster than the blades' drag rises: the search goes up in steps to the first density where some is left.
    steps = [_THIN + (_THICK - _THIN) * i / _DENSITY_STEPS for i in range(_DENSITY_STEPS + 1)]
    if left(steps[0]) > 0:
        raise QuantityError("gross_mass is so small that power is left at every height that the formulas reach")
    for thin, thick in itertools.pairwise(steps):
        if left(thick) >= 0:
            return float(brentq(left, thin, thick, rtol=_ROOT_TOLERANCE))
    raise QuantityError("gross_mass is so large that there is not enough power in air of any density")
