"""Power and thrust in the hover, out of ground effect, in still air, by momentum theory and by two estimates built on
it.

Momentum theory gives the least power that any rotor of that size can need. A real rotor needs more: its inflow is
uneven, its blades have drag. Two ways to say how much more: a figure of merit (one number, from measurement or from
rotors like it), or an induced factor and a profile drag coefficient (two numbers, and the tip speed matters). Both
are estimates. All powers here are at the rotor's own shaft: no tail rotor, no transmission, no accessories
(`rotorkit.rotor.shares`).
"""

from __future__ import annotations

from rotorkit import sources
from rotorkit.formula import formula, sqrt
from rotorkit.quantities import Area, Density, DiskLoading, Force, Power, PowerLoading, Ratio, Speed
from rotorkit.rotor import ranges


@formula(source=sources.MOMENTUM_THEORY.at("hover"),
         letters={"thrust": "T", "density": r"\rho", "disk_area": "A"}, result="v_i",
         valid={"thrust": ranges.NOT_NEGATIVE_FORCE, "density": ranges.AIR_DENSITY, "disk_area": ranges.DISK_AREA},
         title="Induced velocity in the hover")  # fmt: skip
def induced_velocity_hovering(thrust: Force, density: Density, disk_area: Area) -> Speed:
    """Speed at which a hovering rotor draws the air down through its disk; twice that, far below it.

    Formula: vi = sqrt(T / (2 rho A)).

    Parameters
    ----------
    thrust : Force
        rotor thrust (force, not negative).
    density : Density
        air density.
    disk_area : Area
        rotor disk area.

    Returns
    -------
    Speed
        The induced velocity at the disk (speed, down positive), the mean over the disk.

    Raises
    ------
    QuantityError
        an argument is not of its kind or not credible; every bad one is named.

    Notes
    -----
    Range of validity: hover, still air, out of ground effect, even inflow.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(induced_velocity_hovering("1400 lbf", "0.0023769 slug/ft^3", "490.874 ft^2"), "ft/s", digits=5)
    '24.494 ft/s'
    """
    return sqrt(thrust / (2 * density * disk_area))


@formula(source=sources.LEISHMAN_2006.at("eq. 2.22"),
         letters={"thrust": "T", "density": r"\rho", "disk_area": "A"}, result="P_i",
         valid={"thrust": ranges.NOT_NEGATIVE_FORCE, "density": ranges.AIR_DENSITY,
                "disk_area": ranges.DISK_AREA})  # fmt: skip
def ideal_hover_power(thrust: Force, density: Density, disk_area: Area) -> Power:
    """The least power for `thrust` in the hover: no rotor of that size can do it with less out of ground effect.

    Formula: P = T sqrt(T / (2 rho A)).

    Parameters
    ----------
    thrust : Force
        rotor thrust (force, not negative).
    density : Density
        air density.
    disk_area : Area
        rotor disk area.

    Returns
    -------
    Power
        The ideal power at the rotor's shaft. A real rotor needs about 1.3 to 2 times as much.

    Raises
    ------
    QuantityError
        an argument is not of its kind or not credible; every bad one is named.

    Notes
    -----
    Range of validity: hover, still air, out of ground effect.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(ideal_hover_power("1400 lbf", "0.0023769 slug/ft^3", "490.874 ft^2"), "hp", digits=4)
    '62.35 hp'
    """
    return thrust * sqrt(thrust / (2 * density * disk_area))


@formula(source=sources.MOMENTUM_THEORY.at("hover"), letters={"disk_loading": "DL", "density": r"\rho"}, result="PL_i",
         valid={"disk_loading": ("0.1 lbf/ft^2", "100 lbf/ft^2"), "density": ranges.AIR_DENSITY})  # fmt: skip
def ideal_power_loading(disk_loading: DiskLoading, density: Density) -> PowerLoading:
    """The most thrust that each unit of power can hold in the hover; it is one over the induced velocity.

    Formula: PL = sqrt(2 rho / DL).

    Parameters
    ----------
    disk_loading : DiskLoading
        thrust per disk area.
    density : Density
        air density.

    Returns
    -------
    PowerLoading
        The ideal power loading (force per power), referred to power at the rotor's shaft.

    Raises
    ------
    QuantityError
        an argument is not of its kind or not credible; every bad one is named.

    Notes
    -----
    Range of validity: hover, still air, out of ground effect.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(ideal_power_loading("3 lbf/ft^2", "1.225 kg/m^3"), "lbf/hp", digits=5)
    '21.894 lbf/hp'
    """
    return sqrt(2 * density / disk_loading)


@formula(source=sources.MOMENTUM_THEORY.at("figure of merit: ideal over actual power"),
         letters={"thrust": "T", "density": r"\rho", "disk_area": "A", "rotor_power": "P"}, result="FM",
         valid={"thrust": ranges.NOT_NEGATIVE_FORCE, "density": ranges.AIR_DENSITY, "disk_area": ranges.DISK_AREA,
                "rotor_power": ("0.01 hp", None)})  # fmt: skip
def figure_of_merit(thrust: Force, density: Density, disk_area: Area, rotor_power: Power) -> Ratio:
    """How close a hovering rotor comes to the ideal: ideal power over the power it takes, at the same thrust.

    Formula: FM = T sqrt(T / (2 rho A)) / P.

    Parameters
    ----------
    thrust : Force
        rotor thrust, measured (force, not negative).
    density : Density
        air density.
    disk_area : Area
        rotor disk area.
    rotor_power : Power
        power at that rotor's own shaft. Engine power put in here gives a smaller number which charges the
        tail rotor and the losses to the main rotor; say so if you use it.

    Returns
    -------
    Ratio
        The figure of merit (ratio). Above 1 something was misread, or the ground was near. It grows with thrust, so
        that two rotors compare fairly only at the same disk loading.

    Raises
    ------
    QuantityError
        an argument is not of its kind or not credible; every bad one is named.

    Notes
    -----
    Range of validity: hover, still air, out of ground effect.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(figure_of_merit("1400 lbf", "0.0023769 slug/ft^3", "490.874 ft^2", "120 hp"), digits=4)
    '0.5196'
    """
    return ideal_hover_power(thrust, density, disk_area) / rotor_power


@formula(source=sources.NACA_TN_2318.at("p. 3"), letters={"thrust_coefficient": "C_T", "power_coefficient": "C_P"},
         result="FM",
         valid={"thrust_coefficient": ("0", "0.05"), "power_coefficient": ("0.000001", "0.01")},
         title="Figure of merit from the coefficients")  # fmt: skip
def figure_of_merit_from_coefficients(thrust_coefficient: Ratio, power_coefficient: Ratio) -> Ratio:
    """The figure of merit, from the coefficients of thrust and power: ideal power over the power taken.

    Formula: FM = CT^1.5 / (sqrt(2) CP). NACA TN 2318 prints 0.707 CT^1.5 / CQ: the same definition (CQ = CP), its
    rounded factor 0.015 % smaller. With British coefficients (factor one half) the figure would come out different: do
    not mix.

    Parameters
    ----------
    thrust_coefficient : Ratio
        T / (rho A Vt^2).
    power_coefficient : Ratio
        P / (rho A Vt^3), or the torque coefficient, which is the same number.

    Returns
    -------
    Ratio
        The figure of merit (ratio), the same as `figure_of_merit` gives.

    Raises
    ------
    QuantityError
        an argument is not of its kind or not credible; every bad one is named.

    Notes
    -----
    Range of validity: hover, still air, out of ground effect.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(figure_of_merit_from_coefficients(0.002801109, 0.000201761), digits=4)
    '0.5196'
    """
    return thrust_coefficient**1.5 / (sqrt(2) * power_coefficient)


@formula(source=sources.MOMENTUM_THEORY.at("hover, with a figure of merit"),
         letters={"thrust": "T", "density": r"\rho", "disk_area": "A", "figure_of_merit": "FM"}, result="P",
         valid={"thrust": ranges.NOT_NEGATIVE_FORCE, "density": ranges.AIR_DENSITY, "disk_area": ranges.DISK_AREA,
                "figure_of_merit": ranges.FIGURE_OF_MERIT},
         title="Hover power from the figure of merit")  # fmt: skip
def hover_power_from_figure_of_merit(thrust: Force, density: Density, disk_area: Area, figure_of_merit: Ratio) -> Power:
    """Rotor power in the hover, from an assumed figure of merit.

    Formula: P = T sqrt(T / (2 rho A)) / FM.

    Parameters
    ----------
    thrust : Force
        rotor thrust (force, not negative); the weight, and the download on the airframe if you know it.
    density : Density
        air density.
    disk_area : Area
        rotor disk area.
    figure_of_merit : Ratio
        ideal over actual power, with actual power at the rotor's shaft. Small piston helicopters:
        0.55 to 0.7 (common practice, no source). It is the number that decides the answer: measure it if you can.

    Returns
    -------
    Power
        The power at the rotor's shaft.

    Raises
    ------
    QuantityError
        an argument is not of its kind or not credible; every bad one is named.

    Notes
    -----
    Range of validity: hover, still air, out of ground effect, near the thrust for which the figure of merit holds: it
    falls at light loading and near stall.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(hover_power_from_figure_of_merit("1400 lbf", "0.0023769 slug/ft^3", "490.874 ft^2", 0.6), "hp")
    '103.9 hp'
    """
    return ideal_hover_power(thrust, density, disk_area) / figure_of_merit


@formula(source=sources.MOMENTUM_THEORY.at("hover, with a figure of merit, inverted"),
         letters={"rotor_power": "P", "density": r"\rho", "disk_area": "A", "figure_of_merit": "FM"}, result="T",
         valid={"rotor_power": ranges.NOT_NEGATIVE_POWER, "density": ranges.AIR_DENSITY, "disk_area": ranges.DISK_AREA,
                "figure_of_merit": ranges.FIGURE_OF_MERIT},
         title="Hover thrust from the power")  # fmt: skip
def hover_thrust_from_power(rotor_power: Power, density: Density, disk_area: Area, figure_of_merit: Ratio) -> Force:
    """The thrust that a rotor can hold in the hover with the power it is given: how much the aircraft may weigh.

    Formula: T = (P FM sqrt(2 rho A))^(2/3).

    Parameters
    ----------
    rotor_power : Power
        power at that rotor's own shaft, after tail rotor, losses and accessories
        (`main_rotor_power_available`).
    density : Density
        air density.
    disk_area : Area
        rotor disk area.
    figure_of_merit : Ratio
        ideal over actual power, with actual power at the rotor's shaft.

    Returns
    -------
    Force
        The thrust. The weight it can lift is less by the download on the airframe.

    Raises
    ------
    QuantityError
        an argument is not of its kind or not credible; every bad one is named.

    Notes
    -----
    Range of validity: hover, still air, out of ground effect; blade stall is not included.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(hover_thrust_from_power("103.914 hp", "0.0023769 slug/ft^3", "490.874 ft^2", 0.6), "lbf", digits=5)
    '1,400.0 lbf'
    """
    return (rotor_power * figure_of_merit * sqrt(2 * density * disk_area)) ** (2 / 3)


@formula(source=sources.BLADE_ELEMENT_THEORY.at("profile power in hover, rectangular blades"),
         letters={"density": r"\rho", "disk_area": "A", "tip_speed": "V_t", "solidity": r"\sigma",
                  "profile_drag_coefficient": "c_{d0}"}, result="P_0",
         valid={"density": ranges.AIR_DENSITY, "disk_area": ranges.DISK_AREA, "tip_speed": ranges.TIP_SPEED,
                "solidity": ranges.SOLIDITY,
                "profile_drag_coefficient": ("0.004", "0.05")},
         title="Profile power in the hover")  # fmt: skip
def profile_power_hovering(
    density: Density, disk_area: Area, tip_speed: Speed, solidity: Ratio, profile_drag_coefficient: Ratio
) -> Power:
    """Power taken by the drag of the blade sections in the hover, whatever the thrust.

    Formula: P0 = rho A Vt^3 sigma cd0 / 8: the integral of the sections' drag times their speed along the blade.

    Parameters
    ----------
    density : Density
        air density.
    disk_area : Area
        rotor disk area.
    tip_speed : Speed
        speed of the blade tip.
    solidity : Ratio
        blade area over disk area.
    profile_drag_coefficient : Ratio
        mean drag coefficient of the blade sections; about 0.010 to 0.012 for smooth blades
        (common practice, no source); dirt, rain and a rough leading edge raise it.

    Returns
    -------
    Power
        The profile power at the rotor's shaft.

    Raises
    ------
    QuantityError
        an argument is not of its kind or not credible; every bad one is named.

    Notes
    -----
    Range of validity: rectangular blades from axis to tip, the same drag coefficient all along, no stall, no shock
    waves.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(profile_power_hovering("0.0023769 slug/ft^3", "490.874 ft^2", "654.498 ft/s", 0.03, 0.011), "hp")
    '24.53 hp'
    """
    return density * disk_area * tip_speed**3 * solidity * profile_drag_coefficient / 8


@formula(source=sources.BLADE_ELEMENT_THEORY.at("hover: induced factor and profile drag"),
         letters={"thrust": "T", "density": r"\rho", "disk_area": "A", "tip_speed": "V_t", "solidity": r"\sigma",
                  "induced_factor": r"\kappa", "profile_drag_coefficient": "c_{d0}"}, result="P",
         valid={"thrust": ranges.NOT_NEGATIVE_FORCE, "density": ranges.AIR_DENSITY, "disk_area": ranges.DISK_AREA,
                "tip_speed": ranges.TIP_SPEED,
                "solidity": ranges.SOLIDITY, "induced_factor": ("1", "2"),
                "profile_drag_coefficient": ("0.004", "0.05")},
         title="Hover power, induced and profile")  # fmt: skip
def hover_power_induced_and_profile(
    thrust: Force,
    density: Density,
    disk_area: Area,
    tip_speed: Speed,
    solidity: Ratio,
    induced_factor: Ratio,
    profile_drag_coefficient: Ratio,
) -> Power:
    """Rotor power in the hover: ideal power enlarged by an induced factor, and the blades' profile power.

    Formula: P = kappa T sqrt(T / (2 rho A)) + rho A Vt^3 sigma cd0 / 8.

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
    solidity : Ratio
        blade area over disk area.
    induced_factor : Ratio
        how much more the uneven inflow, the tip vortices and the swirl cost than the ideal: 1.15 is
        usual (common practice, no source).
    profile_drag_coefficient : Ratio
        mean drag coefficient of the blade sections (`profile_power_hovering`).

    Returns
    -------
    Power
        The power at the rotor's shaft.

    Raises
    ------
    QuantityError
        an argument is not of its kind or not credible; every bad one is named.

    Notes
    -----
    Range of validity: hover, still air, out of ground effect, no stall, no shock waves: near either it is too low.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(hover_power_induced_and_profile("1400 lbf", "0.0023769 slug/ft^3", "490.874 ft^2", "654.498 ft/s",
    ...     0.03, 1.15, 0.011), "hp", digits=4)
    '96.23 hp'
    """
    return induced_factor * ideal_hover_power(thrust, density, disk_area) + profile_power_hovering(
        density, disk_area, tip_speed, solidity, profile_drag_coefficient
    )
