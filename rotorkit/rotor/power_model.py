"""The power that a whole helicopter takes, from hover to top speed: both rotors, losses, accessories, ground effect.

`power_model` gathers what does not change in a flight; the functions beside it take mass, air and airspeed, single
figures or whole grids of them. The model is quick: an induced factor and a profile drag coefficient for each rotor.
`engine_power_to_hover_by_blade_element` puts blade-element hover in the place of the main rotor's two numbers.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from rotorkit.formula.contract import contract
from rotorkit.quantities import (
    Area,
    Density,
    Length,
    Mass,
    Power,
    QuantityError,
    Ratio,
    RotationRate,
    Speed,
    Temperature,
)
from rotorkit.rotor.blade_element import Blades, Model, blade_element_power
from rotorkit.rotor.forward import induced_velocity_level_flight, parasite_power, profile_power_level_flight
from rotorkit.rotor.ground_effect import (
    ground_effect_induced_power_ratio_cheeseman_bennett,
    ground_effect_induced_power_ratio_hayden,
    thrust_with_download,
)
from rotorkit.rotor.hover import induced_velocity_hovering
from rotorkit.sources.constants import STANDARD_GRAVITY

GROUND_EFFECTS = {
    "Cheeseman & Bennett": ground_effect_induced_power_ratio_cheeseman_bennett,
    "Hayden": ground_effect_induced_power_ratio_hayden,
}


@dataclass(frozen=True)
class PowerModel:
    """What of a helicopter decides its power, in bare SI figures; `power_model` makes one from text and quantities."""

    disk_area: float
    rotor_speed: float
    tip_speed: float
    solidity: float
    induced_factor: float
    profile_drag_coefficient: float
    flat_plate_area: float
    tail_arm: float
    tail_disk_area: float
    tail_tip_speed: float
    tail_solidity: float
    tail_induced_factor: float
    tail_profile_drag_coefficient: float
    transmission_efficiency: float
    accessory_power: float
    download_ratio: float

    @property
    def rotor_radius(self) -> float:
        """Of the main rotor, m."""
        return float(np.sqrt(self.disk_area / np.pi))


@contract
def power_model(
    rotor_radius: Length,
    rotor_speed: RotationRate,
    solidity: Ratio,
    induced_factor: Ratio,
    profile_drag_coefficient: Ratio,
    flat_plate_area: Area,
    tail_arm: Length,
    tail_rotor_radius: Length,
    tail_rotor_speed: RotationRate,
    tail_rotor_solidity: Ratio,
    transmission_efficiency: Ratio,
    accessory_power: Power,
    tail_rotor_induced_factor: Ratio = "1.25",
    tail_rotor_profile_drag_coefficient: Ratio = "0.012",
    download_ratio: Ratio = "0",
) -> PowerModel:
    """The figures of a helicopter that decide its power.

    Parameters
    ----------
    rotor_radius, rotor_speed, solidity : Length, RotationRate, Ratio
        of the main rotor.
    induced_factor : Ratio
        actual over ideal induced power of the main rotor; 1.15 is usual (common practice, no source).
    profile_drag_coefficient : Ratio
        mean of the main rotor's sections; 0.010 to 0.012 (common practice, no source).
    flat_plate_area : Area
        of everything but the blades (`parasite_power`).
    tail_arm : Length
        main-rotor axis to tail-rotor axis (length).
    tail_rotor_radius, tail_rotor_speed, tail_rotor_solidity : Length, RotationRate, Ratio
        of the tail rotor.
    transmission_efficiency : Ratio
        power out over power in, from the engine to both rotors.
    accessory_power : Power
        taken off before the transmission.
    tail_rotor_induced_factor, tail_rotor_profile_drag_coefficient : Ratio
        of the tail rotor, with the fin's blockage in
        the first (common practice, no source).
    download_ratio : Ratio
        downwash on the airframe over thrust, in the hover (`download_ratio`); 0 where the induced
        factor was found from measured hover power and holds it already.

    Returns
    -------
    PowerModel
        A `PowerModel`.

    Raises
    ------
    QuantityError
        an argument is not of its kind or not credible.

    Examples
    --------
    >>> model = power_model("11 ft 8 in", "455 rpm", "0.0455", "1.2", "0.0125", "7 ft^2", "14 ft", "26 in",
    ...     "2912 rpm", "0.1163", "94 %", "2 hp")
    >>> f"{model.tip_speed:.1f} m/s"
    '169.4 m/s'
    """
    made = PowerModel(
        disk_area=np.pi * rotor_radius**2,
        rotor_speed=rotor_speed,
        tip_speed=rotor_speed * rotor_radius,
        solidity=solidity,
        induced_factor=induced_factor,
        profile_drag_coefficient=profile_drag_coefficient,
        flat_plate_area=flat_plate_area,
        tail_arm=tail_arm,
        tail_disk_area=np.pi * tail_rotor_radius**2,
        tail_tip_speed=tail_rotor_speed * tail_rotor_radius,
        tail_solidity=tail_rotor_solidity,
        tail_induced_factor=tail_rotor_induced_factor,
        tail_profile_drag_coefficient=tail_rotor_profile_drag_coefficient,
        transmission_efficiency=transmission_efficiency,
        accessory_power=accessory_power,
        download_ratio=download_ratio,
    )
    bounds = {
        "tip_speed": (9, 340), "tail_tip_speed": (9, 340), "solidity": (0.005, 0.4), "tail_solidity": (0.005, 0.5),
        "induced_factor": (1, 2), "tail_induced_factor": (1, 2.5), "profile_drag_coefficient": (0.004, 0.05),
        "tail_profile_drag_coefficient": (0.004, 0.05), "transmission_efficiency": (0.5, 1), "download_ratio": (0, 0.3),
        "tail_arm": (0.6, 20), "accessory_power": (0, 1e5), "flat_plate_area": (0, 20),
    }  # fmt: skip
    problems = [
        f"{name} must be from {low:g} to {high:g} in SI units, got {getattr(made, name):.4g}"
        for name, (low, high) in bounds.items()
        if not low <= getattr(made, name) <= high
    ]
    if problems:
        raise QuantityError("power_model: " + "; ".join(problems))
    return made


@dataclass(frozen=True)
class PowerParts:
    """Where the power goes, in W, as arrays of the conditions' shape. induced, profile and parasite are the main
    rotor's; tail_rotor is at the tail rotor's shaft; losses in the transmission; total at the engine's output."""

    induced: Any
    profile: Any
    parasite: Any
    tail_rotor: Any
    losses: Any
    accessories: Any
    total: Any

    @property
    def main_rotor(self) -> Any:
        """Power at the main rotor's shaft, W."""
        return self.induced + self.profile + self.parasite


def power_parts(
    model: PowerModel, gross_mass: Any, density: Any, airspeed: Any = 0.0, ground_ratio: Any = 1.0,
    hover_power: Any = None,
) -> PowerParts:  # fmt: skip
    """Where the power goes in steady level flight or hover: bare SI arrays that broadcast.

    Main rotor: Glauert's induced velocity, profile power with its growth by speed, parasite power. Thrust is weight and
    the download, which falls with the square of the induced velocity. Tail rotor: the thrust that balances the main
    rotor's torque, its own induced and profile power at that airspeed, edgewise; no fin takes over, which errs on the
    safe side at speed.

    Args: gross_mass, kg; density, kg/m^3; airspeed, m/s; ground_ratio, induced power near the ground over that away
    from it; hover_power, W, takes the place of induced and profile power (and then only hovering makes sense).
    Source: the formulas of `rotorkit.rotor.forward` and `rotorkit.rotor.ground_effect`.
    """
    weight = gross_mass * STANDARD_GRAVITY
    thrust, velocity = weight, induced_velocity_level_flight.si(weight, density, model.disk_area, airspeed)
    if np.any(model.download_ratio):
        hovering = induced_velocity_hovering.si(weight, density, model.disk_area)
        thrust = weight * (1 + model.download_ratio / (1 - model.download_ratio) * (velocity / hovering) ** 2)
        velocity = induced_velocity_level_flight.si(thrust, density, model.disk_area, airspeed)
    if hover_power is None:
        induced = model.induced_factor * thrust * velocity * ground_ratio
        profile = profile_power_level_flight.si(
            density, model.disk_area, model.tip_speed, model.solidity, model.profile_drag_coefficient, airspeed
        )
    else:
        induced, profile = hover_power, 0.0 * hover_power
    parasite = parasite_power.si(density, airspeed, model.flat_plate_area)
    main = induced + profile + parasite
    tail_thrust = main / model.rotor_speed / model.tail_arm
    tail = model.tail_induced_factor * tail_thrust * induced_velocity_level_flight.si(
        tail_thrust, density, model.tail_disk_area, airspeed
    ) + profile_power_level_flight.si(
        density, model.tail_disk_area, model.tail_tip_speed, model.tail_solidity,
        model.tail_profile_drag_coefficient, airspeed,
    )  # fmt: skip
    at_rotors = main + tail
    losses = at_rotors * (1 / model.transmission_efficiency - 1)
    return PowerParts(
        induced, profile, parasite, tail, losses, model.accessory_power, at_rotors + losses + model.accessory_power
    )


@contract
def engine_power_level_flight(model: PowerModel, gross_mass: Mass, density: Density, airspeed: Speed) -> Power:
    """Engine power in steady level flight at any airspeed, from hover on (`power_parts`).

    Args: model, from `power_model`; gross_mass; density of the air; airspeed, true; all but the model may be arrays.
    Returns: power at the engine's output.
    Raises: QuantityError: an argument is not of its kind.

    Range of validity: out of ground effect, no stall, no shock waves, an unaccelerated flight.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> model = power_model("11 ft 8 in", "455 rpm", "0.0455", "1.2", "0.0125", "7 ft^2", "14 ft", "26 in",
    ...     "2912 rpm", "0.1163", "94 %", "2 hp")
    >>> say(engine_power_level_flight(model, "1250 lb", "1.225 kg/m^3", "0 kt"), "hp", digits=4)
    '107.2 hp'
    >>> say(engine_power_level_flight(model, "1250 lb", "1.225 kg/m^3", "50 kt"), "hp", digits=4)
    '63.79 hp'
    """
    return power_parts(model, gross_mass, density, airspeed).total


@contract
def engine_power_to_hover_near_ground(
    model: PowerModel, gross_mass: Mass, density: Density, rotor_height: Length, method: str = "Cheeseman & Bennett"
) -> Power:
    """Engine power in the hover with the rotor at a height over firm level ground.

    Args: model; gross_mass; density; rotor_height, from the ground to the hub (length), half a rotor radius or more;
    method, one of `GROUND_EFFECTS`.
    Returns: power at the engine's output. The ground's help is in the induced power only.
    Raises: QuantityError: lower than half a radius, or no such method.

    Range of validity: as the two relations of `rotorkit.rotor.ground_effect`.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> model = power_model("11 ft 8 in", "455 rpm", "0.0455", "1.2", "0.0125", "7 ft^2", "14 ft", "26 in",
    ...     "2912 rpm", "0.1163", "94 %", "2 hp")
    >>> say(engine_power_to_hover_near_ground(model, "1250 lb", "1.225 kg/m^3", "10 ft"), "hp", digits=4)
    '97.44 hp'
    """
    if method not in GROUND_EFFECTS:
        raise QuantityError(f"method must be one of {', '.join(GROUND_EFFECTS)}, got {method!r}")
    ratio = rotor_height / model.rotor_radius
    if np.min(ratio) < 0.5:
        raise QuantityError(
            f"rotor_height must be half a rotor radius or more, got {float(np.min(ratio)):.3g} of it: nearer to the "
            "ground neither relation holds"
        )
    return power_parts(model, gross_mass, density, 0.0, GROUND_EFFECTS[method].si(ratio)).total


@contract
def engine_power_to_hover_by_blade_element(
    model: PowerModel,
    blades: Blades,
    gross_mass: Mass,
    density: Density,
    temperature: Temperature = "15 degC",
    theory: Model | None = None,
) -> Power:
    """Engine power in the hover out of ground effect, with the main rotor by `blade_element_hover`.

    Beside `engine_power_level_flight` at no airspeed, whose induced factor and profile drag are assumed, this one's
    come from the blades: the spread of the two is a measure of how well the power is known.

    Args: model; blades of the main rotor; gross_mass; density; temperature of the air; theory, how the blade-element
    model is taken (None: as usual).
    Returns: power at the engine's output.
    Raises: QuantityError: the blades cannot carry the weight.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> from rotorkit.rotor.blade_element import LinearSection, rotor_blades
    >>> section = LinearSection(5.73, (0.0087, -0.0216, 0.4), 1.2, thickness_ratio=0.12)
    >>> blades = rotor_blades(2, "11 ft 8 in", "10 in", "19 in", section, twist="-6 deg")
    >>> model = power_model("11 ft 8 in", "455 rpm", "0.0455", "1.2", "0.0125", "7 ft^2", "14 ft", "26 in",
    ...     "2912 rpm", "0.1163", "94 %", "2 hp")
    >>> say(engine_power_to_hover_by_blade_element(model, blades, "1250 lb", "1.225 kg/m^3"), "hp", digits=4)
    '96.29 hp'
    """
    thrust = thrust_with_download.si(gross_mass * STANDARD_GRAVITY, model.download_ratio)
    power = blade_element_power.si(blades, thrust, model.rotor_speed, density, temperature, theory)
    return power_parts(model, gross_mass, density, 0.0, hover_power=power).total
