"""Level flight: what the main rotor's power goes into, by Glauert's momentum theory and blade element theory.

Three parts: induced power, which falls with speed; profile power, which grows a little; parasite power, which grows
with the cube of speed and ends everything. Together they make the power curve, lowest at the speed for best climb. All
powers are at the main rotor's shaft.
"""

from __future__ import annotations

from rotorkit import sources
from rotorkit.formula import nomenclature, sqrt
from rotorkit.quantities import Area, Density, Force, Power, Ratio, Speed
from rotorkit.rotor import ranges
from rotorkit.rotor.hover import induced_velocity_hovering, profile_power_hovering

_formula = nomenclature(
    letters={
        "airspeed": "V", "tip_speed": "V_t", "thrust": "T", "density": r"\rho", "disk_area": "A",
        "induced_factor": r"\kappa", "solidity": r"\sigma", "profile_drag_coefficient": "c_{d0}",
        "flat_plate_area": "f", "parasite_power": "P_p", "power_available": "P_{av}", "power_needed": "P",
        "weight": "W",
    },
    valid={
        "airspeed": ranges.AIRSPEED, "tip_speed": ranges.TIP_SPEED, "thrust": ranges.NOT_NEGATIVE_FORCE,
        "density": ranges.AIR_DENSITY,
        "disk_area": ranges.DISK_AREA, "induced_factor": ranges.INDUCED_FACTOR, "solidity": ranges.SOLIDITY,
        "profile_drag_coefficient": ranges.PROFILE_DRAG, "flat_plate_area": ranges.FLAT_PLATE,
        "parasite_power": ranges.NOT_NEGATIVE_POWER,
        "power_available": ranges.NOT_NEGATIVE_POWER, "power_needed": ranges.NOT_NEGATIVE_POWER, "weight": ("1 lbf",
        None),
    },
    shown={"airspeed": ("kt", "kt")},
)  # fmt: skip


@_formula(source=sources.DEFINITION.at("advance ratio"), result=r"\mu")
def advance_ratio(airspeed: Speed, tip_speed: Speed) -> Ratio:
    """Airspeed over tip speed.

    Formula: mu = V / Vt.

    Parameters
    ----------
    airspeed : Speed
        true airspeed (speed, not negative).
    tip_speed : Speed
        of the blades in the hover.

    Returns
    -------
    Ratio
        The advance ratio.

    Raises
    ------
    QuantityError
        an argument is not of its kind or not credible.

    Notes
    -----
    Range of validity: the disk's tilt is neglected (1 % at 8 degrees).

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(advance_ratio("210 ft/s", "700 ft/s"), digits=3)
    '0.300'
    """
    return airspeed / tip_speed


@_formula(
    source=sources.GLAUERT.at("level flight, disk square to the induced flow"),
    result="v_i",
    title="Induced velocity in level flight",
)
def induced_velocity_level_flight(thrust: Force, density: Density, disk_area: Area, airspeed: Speed) -> Speed:
    """Induced velocity at any airspeed, from hover on, with the disk level.

    Solves vi = T / (2 rho A sqrt(V^2 + vi^2)). Formula: vi = vh^2 / sqrt(V^2 / 2 + sqrt(V^4 / 4 + vh^4)).

    Parameters
    ----------
    thrust : Force
        rotor thrust (force, not negative).
    density : Density
        air density.
    disk_area : Area
        rotor disk area.
    airspeed : Speed
        true airspeed (speed, not negative).

    Returns
    -------
    Speed
        The induced velocity, down positive.

    Raises
    ------
    QuantityError
        an argument is not of its kind or not credible; every bad one is named.

    Notes
    -----
    Range of validity: level flight; the few degrees of forward tilt are neglected.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(induced_velocity_level_flight("6000 lbf", "0.002 slug/ft^3", "1134.11 ft^2", "210 ft/s"),
    ...     "ft/s", digits=4)
    '6.295 ft/s'
    """
    return induced_velocity_hovering(thrust, density, disk_area) ** 2 / sqrt(
        airspeed**2 / 2 + sqrt(airspeed**4 / 4 + induced_velocity_hovering(thrust, density, disk_area) ** 4)
    )


@_formula(
    source=sources.GLAUERT.at("fast flight, induced velocity small against airspeed"),
    result="v_i",
    valid={"airspeed": ("20 kt", "300 kt")},
    title="Induced velocity in fast flight",
)
def induced_velocity_fast_flight(thrust: Force, density: Density, disk_area: Area, airspeed: Speed) -> Speed:
    """Induced velocity in fast flight, Glauert's short form.

    Formula: vi = T / (2 rho A V).

    Parameters
    ----------
    thrust : Force
        rotor thrust (force, not negative).
    density : Density
        air density.
    disk_area : Area
        rotor disk area.
    airspeed : Speed
        true airspeed (speed), well above the hovering induced velocity.

    Returns
    -------
    Speed
        The induced velocity, down positive; larger than `induced_velocity_level_flight` by 3 % at twice the hovering
        induced velocity, by 0.2 % at four times.

    Raises
    ------
    QuantityError
        an argument is not of its kind or not credible; every bad one is named.

    Notes
    -----
    Range of validity: airspeed over twice the hovering induced velocity (about 30 kt for a light helicopter).

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(induced_velocity_fast_flight("6000 lbf", "0.002 slug/ft^3", "1134.11 ft^2", "210 ft/s"),
    ...     "ft/s", digits=4)
    '6.298 ft/s'
    """
    return thrust / (2 * density * disk_area * airspeed)


@_formula(
    source=sources.GLAUERT.at("level flight, with an induced factor"),
    result="P_i",
    title="Induced power in level flight",
)
def induced_power_level_flight(
    thrust: Force, density: Density, disk_area: Area, airspeed: Speed, induced_factor: Ratio
) -> Power:
    """Induced power at any airspeed, from hover on.

    Formula: Pi = kappa T vi, vi by `induced_velocity_level_flight`.

    Parameters
    ----------
    thrust, density, disk_area, airspeed : Force, Density, Area, Speed
        as there.
    induced_factor : Ratio
        actual over ideal induced power; 1.15 is usual (common practice, no source).

    Returns
    -------
    Power
        The induced power at the rotor's shaft.

    Raises
    ------
    QuantityError
        an argument is not of its kind or not credible; every bad one is named.

    Notes
    -----
    Range of validity: level flight.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(induced_power_level_flight("6000 lbf", "0.002 slug/ft^3", "1134.11 ft^2", "210 ft/s", 1.15),
    ...     "hp", digits=4)
    '78.98 hp'
    """
    return induced_factor * thrust * induced_velocity_level_flight(thrust, density, disk_area, airspeed)


@_formula(
    source=sources.LEISHMAN_2006.at("chapter 5, profile power with K = 4.65"),
    result="P_0",
    title="Profile power in level flight",
)
def profile_power_level_flight(
    density: Density,
    disk_area: Area,
    tip_speed: Speed,
    solidity: Ratio,
    profile_drag_coefficient: Ratio,
    airspeed: Speed,
) -> Power:
    """Profile power at any airspeed, from hover on: blade drag with the flow across and along the blades.

    Formula: P0 = rho A Vt^3 sigma cd0 (1 + 4.65 mu^2) / 8, mu = V / Vt.

    Parameters
    ----------
    density, disk_area, tip_speed, solidity, profile_drag_coefficient : Density, Area, Speed, Ratio
        as `profile_power_hovering`.
    airspeed : Speed
        true airspeed (speed, not negative).

    Returns
    -------
    Power
        The profile power, with the part that the blades' drag along the flight path takes.

    Raises
    ------
    QuantityError
        an argument is not of its kind or not credible; every bad one is named.

    Notes
    -----
    Range of validity: advance ratios to 0.3: against the integral over the disk
    (`rotorkit.rotor.forward_flow.profile_power_factor`) it is 0.1 % high at 0.1 and 0.4 % low at 0.3. No stall, no
    shock waves: near the top speed it is too low.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(profile_power_level_flight("0.002 slug/ft^3", "1134.11 ft^2", "700 ft/s", 0.08, 0.01, "210 ft/s"), "hp",
    ...     digits=5)
    '200.65 hp'
    """
    return profile_power_hovering(density, disk_area, tip_speed, solidity, profile_drag_coefficient) * (
        1 + 4.65 * (airspeed / tip_speed) ** 2
    )


@_formula(source=sources.DEFINITION.at("flat-plate area"), result="P_p")
def parasite_power(density: Density, airspeed: Speed, flat_plate_area: Area) -> Power:
    """Power that the drag of everything but the blades takes.

    Formula: Pp = rho V^3 f / 2.

    Parameters
    ----------
    density : Density
        air density.
    airspeed : Speed
        true airspeed (speed, not negative).
    flat_plate_area : Area
        drag over dynamic pressure (area): sum of frontal areas times drag coefficients; 4 to 10 ft^2
        for light helicopters, doors off more (common practice, no source).

    Returns
    -------
    Power
        The parasite power.

    Raises
    ------
    QuantityError
        an argument is not of its kind or not credible; every bad one is named.

    Notes
    -----
    Range of validity: one attitude; nose-down at speed it grows.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(parasite_power("0.002 slug/ft^3", "210 ft/s", "22.29 ft^2"), "hp", digits=4)
    '375.3 hp'
    """
    return density * airspeed**3 * flat_plate_area / 2


@_formula(
    source=sources.DEFINITION.at("flat-plate area, inverted"),
    result="f",
    valid={"airspeed": ("10 kt", "300 kt")},
    title="Flat-plate area from the power",
)
def flat_plate_area_from_power(parasite_power: Power, density: Density, airspeed: Speed) -> Area:
    """Flat-plate area from a measured power curve: what is left after induced and profile power.

    Formula: f = 2 Pp / (rho V^3).

    Parameters
    ----------
    parasite_power : Power
        measured power less the two others, at the rotor's shaft.
    density : Density
        air density.
    airspeed : Speed
        true airspeed (speed): fast, where parasite power is large.

    Returns
    -------
    Area
        The flat-plate area.

    Raises
    ------
    QuantityError
        an argument is not of its kind or not credible; every bad one is named.

    Notes
    -----
    Range of validity: as `parasite_power`.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(flat_plate_area_from_power("375.33 hp", "0.002 slug/ft^3", "210 ft/s"), "ft^2", digits=4)
    '22.29 ft²'
    """
    return 2 * parasite_power / (density * airspeed**3)


@_formula(
    source=sources.LEISHMAN_2006.at("chapter 5, power in level flight"), result="P", title="Rotor power in level flight"
)
def rotor_power_level_flight(
    thrust: Force,
    density: Density,
    disk_area: Area,
    airspeed: Speed,
    tip_speed: Speed,
    solidity: Ratio,
    induced_factor: Ratio,
    profile_drag_coefficient: Ratio,
    flat_plate_area: Area,
) -> Power:
    """Main-rotor power in level flight at any airspeed, from hover on: the power curve.

    Formula: P = kappa T vi + P0 + Pp (`induced_power_level_flight`, `profile_power_level_flight`, `parasite_power`).

    Parameters
    ----------
    thrust : Force
        taken equal to the weight (force); a few per cent more in the hover by the download.
    density, disk_area, airspeed : Density, Area, Speed
        of the air, the rotor and the flight.
    tip_speed, solidity, induced_factor, profile_drag_coefficient : Speed, Ratio
        of the rotor.
    flat_plate_area : Area
        of everything but the blades.

    Returns
    -------
    Power
        The power at the main rotor's shaft.

    Raises
    ------
    QuantityError
        an argument is not of its kind or not credible; every bad one is named.

    Notes
    -----
    Range of validity: steady level flight, out of ground effect, no stall and no shock waves on the blades.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(rotor_power_level_flight("6000 lbf", "0.002 slug/ft^3", "1134.11 ft^2", "210 ft/s", "700 ft/s", 0.08,
    ...     1.15, 0.01, "22.29 ft^2"), "hp", digits=4)
    '655.0 hp'
    """
    return (
        induced_power_level_flight(thrust, density, disk_area, airspeed, induced_factor)
        + profile_power_level_flight(density, disk_area, tip_speed, solidity, profile_drag_coefficient, airspeed)
        + parasite_power(density, airspeed, flat_plate_area)
    )


@_formula(
    source=sources.ARITHMETIC.at("power that lifts the weight"),
    result="V_c",
    shown={"result": ("ft/min", "m/s")},
    title="Rate of climb from excess power",
)
def climb_rate_from_excess_power(power_available: Power, power_needed: Power, weight: Force) -> Speed:
    """Rate of climb in forward flight from the power beyond what level flight needs.

    Formula: Vc = (Pav - P) / W.

    Parameters
    ----------
    power_available, power_needed : Power
        at the same place, the main rotor's shaft (power). Engine powers put in here
        count the losses as if they did not grow with the climb: about 10 % too good.
    weight : Force
        of all that flies (force).

    Returns
    -------
    Speed
        The rate of climb (speed, up positive; negative where level flight takes more than there is).

    Raises
    ------
    QuantityError
        an argument is not of its kind or not credible; every bad one is named.

    Notes
    -----
    Range of validity: forward flight, where induced power does not change with the climb; straight up use
    `vertical_climb_rate`. The climb's own drag is neglected.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(climb_rate_from_excess_power("800 hp", "655 hp", "6000 lbf"), "ft/min", digits=4)
    '797.5 ft/min'
    """
    return (power_available - power_needed) / weight
