"""What a rotor carries, per area and per power, and the dimensionless coefficients of thrust, power and torque.

Coefficients are the American ones: no factor one half in the denominator. British texts and older NACA work put one in;
their CT is twice this one. Power and torque coefficient are the same number, since power is torque times rotation rate.
"""

from __future__ import annotations

from rotorkit import sources
from rotorkit.formula import formula
from rotorkit.quantities import Area, Density, DiskLoading, Force, Length, Power, PowerLoading, Ratio, Speed, Torque
from rotorkit.rotor import ranges


@formula(source=sources.DEFINITION.at("disk loading"), letters={"thrust": "T", "disk_area": "A"}, result="DL",
         valid={"thrust": ranges.NOT_NEGATIVE_FORCE, "disk_area": ranges.DISK_AREA})  # fmt: skip
def disk_loading(thrust: Force, disk_area: Area) -> DiskLoading:
    """Thrust per unit of disk area: it decides how hard the downwash blows.

    Formula: DL = T / A.

    Parameters
    ----------
    thrust : Force
        rotor thrust; in the hover the weight, and a few per cent more where the downwash presses on the
        airframe (that download is not included here).
    disk_area : Area
        rotor disk area.

    Returns
    -------
    DiskLoading
        The disk loading (force per area).

    Raises
    ------
    QuantityError
        an argument is not of its kind or not credible; every bad one is named.

    Notes
    -----
    Range of validity: any rotor.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(disk_loading("1250 lbf", "427.606 ft^2"), "lbf/ft^2", digits=4)
    '2.923 lbf/ft²'
    """
    return thrust / disk_area


@formula(source=sources.DEFINITION.at("power loading"), letters={"thrust": "T", "power": "P"}, result="PL",
         valid={"thrust": ranges.NOT_NEGATIVE_FORCE, "power": ("0.01 hp", None)})  # fmt: skip
def power_loading(thrust: Force, power: Power) -> PowerLoading:
    """Thrust per unit of power.

    Formula: PL = T / P.

    Parameters
    ----------
    thrust : Force
        rotor thrust.
    power : Power
        the power to which it is referred: say whether that is at the rotor shaft or at the engine.

    Returns
    -------
    PowerLoading
        The power loading (force per power).

    Raises
    ------
    QuantityError
        an argument is not of its kind or not credible; every bad one is named.

    Notes
    -----
    Range of validity: any rotor.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(power_loading("1250 lbf", "100 hp"), "lbf/hp", digits=4)
    '12.50 lbf/hp'
    """
    return thrust / power


@formula(source=sources.LEISHMAN_2006.at("chapter 2, thrust and power coefficients"),
         letters={"thrust": "T", "density": r"\rho", "disk_area": "A", "tip_speed": "V_t"}, result="C_T",
         valid={"thrust": ranges.NOT_NEGATIVE_FORCE, "density": ranges.AIR_DENSITY, "disk_area": ranges.DISK_AREA,
                "tip_speed": ranges.TIP_SPEED})  # fmt: skip
def thrust_coefficient(thrust: Force, density: Density, disk_area: Area, tip_speed: Speed) -> Ratio:
    """Thrust made dimensionless by density, disk area and tip speed.

    Formula: CT = T / (rho A Vt^2).

    Parameters
    ----------
    thrust : Force
        rotor thrust (force, not negative).
    density : Density
        air density.
    disk_area : Area
        rotor disk area.
    tip_speed : Speed
        speed of the blade tip.

    Returns
    -------
    Ratio
        The thrust coefficient (ratio), American definition.

    Raises
    ------
    QuantityError
        an argument is not of its kind or not credible; every bad one is named.

    Notes
    -----
    Range of validity: any rotor.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(thrust_coefficient("1250 lbf", "0.0023769 slug/ft^3", "427.606 ft^2", "555.89 ft/s"), digits=5)
    '0.0039799'
    """
    return thrust / (density * disk_area * tip_speed**2)


@formula(source=sources.LEISHMAN_2006.at("chapter 2, thrust and power coefficients"),
         letters={"power": "P", "density": r"\rho", "disk_area": "A", "tip_speed": "V_t"}, result="C_P",
         valid={"power": ranges.NOT_NEGATIVE_POWER, "density": ranges.AIR_DENSITY, "disk_area": ranges.DISK_AREA,
                "tip_speed": ranges.TIP_SPEED})  # fmt: skip
def power_coefficient(power: Power, density: Density, disk_area: Area, tip_speed: Speed) -> Ratio:
    """Rotor power made dimensionless by density, disk area and tip speed.

    Formula: CP = P / (rho A Vt^3).

    Parameters
    ----------
    power : Power
        power at the rotor's shaft (not negative); the engine's is larger by the losses and the tail rotor.
    density : Density
        air density.
    disk_area : Area
        rotor disk area.
    tip_speed : Speed
        speed of the blade tip.

    Returns
    -------
    Ratio
        The power coefficient (ratio), American definition; the torque coefficient is the same number.

    Raises
    ------
    QuantityError
        an argument is not of its kind or not credible; every bad one is named.

    Notes
    -----
    Range of validity: any rotor.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(power_coefficient("100 hp", "0.0023769 slug/ft^3", "427.606 ft^2", "555.89 ft/s"), digits=5)
    '0.00031502'
    """
    return power / (density * disk_area * tip_speed**3)


@formula(source=sources.LEISHMAN_2006.at("chapter 2, thrust and power coefficients"),
         letters={"torque": "Q", "density": r"\rho", "disk_area": "A", "rotor_radius": "R", "tip_speed": "V_t"},
         result="C_Q",
         valid={"torque": ranges.NOT_NEGATIVE_TORQUE, "density": ranges.AIR_DENSITY, "disk_area": ranges.DISK_AREA,
                "rotor_radius": ranges.RADIUS,
                "tip_speed": ranges.TIP_SPEED})  # fmt: skip
def torque_coefficient(
    torque: Torque, density: Density, disk_area: Area, rotor_radius: Length, tip_speed: Speed
) -> Ratio:
    """Rotor torque made dimensionless by density, disk area, radius and tip speed.

    Formula: CQ = Q / (rho A R Vt^2).

    Parameters
    ----------
    torque : Torque
        torque at the rotor's shaft (not negative).
    density : Density
        air density.
    disk_area : Area
        rotor disk area.
    rotor_radius : Length
        from the shaft's axis to the blade tip.
    tip_speed : Speed
        speed of the blade tip.

    Returns
    -------
    Ratio
        The torque coefficient (ratio), American definition.

    Raises
    ------
    QuantityError
        an argument is not of its kind or not credible; every bad one is named.

    Notes
    -----
    Range of validity: any rotor.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(torque_coefficient("1154.31 lbf*ft", "0.0023769 slug/ft^3", "427.606 ft^2", "11 ft 8 in",
    ...     "555.89 ft/s"), digits=5)
    '0.00031502'
    """
    return torque / (density * disk_area * rotor_radius * tip_speed**2)


@formula(source=sources.LEISHMAN_2006.at("chapter 2, blade loading coefficient"),
         letters={"thrust_coefficient": "C_T", "solidity": r"\sigma"}, result=r"C_T/\sigma",
         valid={"thrust_coefficient": ("0", "0.05"), "solidity": ranges.SOLIDITY})  # fmt: skip
def blade_loading(thrust_coefficient: Ratio, solidity: Ratio) -> Ratio:
    """How hard the blades work: one sixth of the mean lift coefficient in the hover.

    Formula: CT / sigma.

    Parameters
    ----------
    thrust_coefficient : Ratio
        American definition (`thrust_coefficient`).
    solidity : Ratio
        blade area over disk area.

    Returns
    -------
    Ratio
        The blade loading coefficient (ratio). Rotors stall somewhere above 0.12 to 0.16 in the hover (common practice,
        no source): a figure to know, not a limit.

    Raises
    ------
    QuantityError
        an argument is not of its kind or not credible; every bad one is named.

    Notes
    -----
    Range of validity: any rotor.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(blade_loading("0.0028011", "0.03"), digits=4)
    '0.09337'
    """
    return thrust_coefficient / solidity
