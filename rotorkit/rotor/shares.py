"""Where the engine's power goes: main rotor, tail rotor, transmission, accessories.

One picture, written once: the engine gives its power; the accessories take theirs at the engine; what is left goes
through belt, clutch and gears, which lose a part of it; what comes out drives the main rotor and the tail rotor.

    engine power = accessories + (main rotor + tail rotor) / transmission efficiency

One efficiency stands for the whole way to both rotors.
"""

from __future__ import annotations

from rotorkit import sources
from rotorkit.formula import formula
from rotorkit.quantities import Area, Density, Force, Length, Power, Ratio, RotationRate, Torque
from rotorkit.rotor import ranges
from rotorkit.rotor.hover import hover_power_from_figure_of_merit

SHARE = ("0", "0.5")


@formula(source=sources.DEFINITION.at("power of a turning shaft"), letters={"power": "P", "rotor_speed": r"\Omega"},
         result="Q", valid={"power": ranges.NOT_NEGATIVE_POWER, "rotor_speed": ranges.ROTOR_SPEED},
         title="Main-rotor torque")  # fmt: skip
def main_rotor_torque(power: Power, rotor_speed: RotationRate) -> Torque:
    """Torque in a rotor's shaft, which is also the torque that turns the airframe the other way.

    Formula: Q = P / Omega; in the trade's units Q [ft lbf] = 5252 P [hp] / N [rpm].

    Parameters
    ----------
    power : Power
        power at that rotor's shaft (not negative).
    rotor_speed : RotationRate
        rotation rate of that shaft: the rotor's, not the engine's.

    Returns
    -------
    Torque
        The torque.

    Raises
    ------
    QuantityError
        an argument is not of its kind or not credible; every bad one is named.

    Notes
    -----
    Range of validity: any steadily turning shaft.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(main_rotor_torque("100 hp", "455 rpm"), "lbf*ft", digits=5)
    '1,154.3 lbf·ft'
    """
    return power / rotor_speed


@formula(source=sources.ARITHMETIC.at("balance of moments about the main rotor's shaft"),
         letters={"torque": "Q", "tail_arm": "l_t"}, result="T_t",
         valid={"torque": ranges.NOT_NEGATIVE_TORQUE, "tail_arm": ("2 ft", "60 ft")},
         title="Tail-rotor thrust needed")  # fmt: skip
def tail_rotor_thrust_needed(torque: Torque, tail_arm: Length) -> Force:
    """Tail-rotor thrust that holds the nose still against the main rotor's torque.

    Formula: Tt = Q / l.

    Parameters
    ----------
    torque : Torque
        main-rotor shaft torque (not negative).
    tail_arm : Length
        from the main rotor's axis to the tail rotor's axis, square to the tail rotor's thrust (length).

    Returns
    -------
    Force
        The thrust, against the torque taken as positive. For holding still only: none to start or stop a turn, none for
        a crosswind, none for what a fin in the slipstream takes away. A pedal margin needs more than this.

    Raises
    ------
    QuantityError
        an argument is not of its kind or not credible; every bad one is named.

    Notes
    -----
    Range of validity: steady hover, still air.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(tail_rotor_thrust_needed("1154.31 lbf*ft", "14 ft"), "lbf", digits=4)
    '82.45 lbf'
    """
    return torque / tail_arm


@formula(source=sources.MOMENTUM_THEORY.at("hover, with a figure of merit"),
         letters={"tail_rotor_thrust": "T_t", "density": r"\rho", "tail_rotor_disk_area": "A_t",
                  "tail_rotor_figure_of_merit": "FM_t"}, result="P_t",
         valid={"tail_rotor_thrust": ranges.NOT_NEGATIVE_FORCE, "density": ranges.AIR_DENSITY,
                "tail_rotor_disk_area": ranges.DISK_AREA,
                "tail_rotor_figure_of_merit": ranges.FIGURE_OF_MERIT},
         title="Tail-rotor power")  # fmt: skip
def tail_rotor_power(
    tail_rotor_thrust: Force, density: Density, tail_rotor_disk_area: Area, tail_rotor_figure_of_merit: Ratio
) -> Power:
    """Power at the tail rotor's shaft, by momentum theory with the tail rotor's own figure of merit.

    Formula: Pt = Tt sqrt(Tt / (2 rho At)) / FMt: the same relation as for the main rotor.

    Parameters
    ----------
    tail_rotor_thrust : Force
        from `tail_rotor_thrust_needed` (force, not negative).
    density : Density
        air density.
    tail_rotor_disk_area : Area
        disk area of the tail rotor.
    tail_rotor_figure_of_merit : Ratio
        ideal over actual power of the tail rotor; 0.5 to 0.6 with the fin's blockage in it
        (common practice, no source).

    Returns
    -------
    Power
        The power at the tail rotor's shaft; the losses on the way there come with the transmission's efficiency.

    Raises
    ------
    QuantityError
        an argument is not of its kind or not credible; every bad one is named.

    Notes
    -----
    Range of validity: steady hover, still air.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(tail_rotor_power("82.45 lbf", "0.0023769 slug/ft^3", "12.566 ft^2", 0.55), "hp", digits=4)
    '10.13 hp'
    """
    return hover_power_from_figure_of_merit(
        tail_rotor_thrust, density, tail_rotor_disk_area, tail_rotor_figure_of_merit
    )


@formula(source=sources.COMMON_PRACTICE.at("tail-rotor share of main-rotor power"),
         letters={"main_rotor_power": "P_m", "tail_rotor_share": "s_t"}, result="P_t",
         valid={"main_rotor_power": ranges.NOT_NEGATIVE_POWER, "tail_rotor_share": SHARE},
         title="Tail-rotor power from its share")  # fmt: skip
def tail_rotor_power_from_share(main_rotor_power: Power, tail_rotor_share: Ratio) -> Power:
    """Power at the tail rotor's shaft, as a share of the main rotor's power.

    Formula: Pt = s Pm.

    Parameters
    ----------
    main_rotor_power : Power
        power at the main rotor's shaft (not negative).
    tail_rotor_share : Ratio
        tail-rotor power over MAIN-ROTOR power (not over engine power); 5 % to 15 % in the hover
        (common practice, no source).

    Returns
    -------
    Power
        The power at the tail rotor's shaft.

    Raises
    ------
    QuantityError
        an argument is not of its kind or not credible; every bad one is named.

    Notes
    -----
    Range of validity: steady hover without a crosswind; the share grows with height and in a turn against the torque.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(tail_rotor_power_from_share("120 hp", "10 %"), "hp", digits=4)
    '12.00 hp'
    """
    return main_rotor_power * tail_rotor_share


@formula(source=sources.DEFINITION.at("efficiency of a transmission"),
         letters={"power_in": "P_{in}", "transmission_efficiency": r"\eta"}, result="P_{out}",
         valid={"power_in": ranges.NOT_NEGATIVE_POWER, "transmission_efficiency": ranges.EFFICIENCY},
         title="Power after the transmission")  # fmt: skip
def power_after_transmission(power_in: Power, transmission_efficiency: Ratio) -> Power:
    """Power left after belt, clutch and gears.

    Formula: Pout = eta Pin.

    Parameters
    ----------
    power_in : Power
        power that goes in (not negative).
    transmission_efficiency : Ratio
        power out over power in (ratio).

    Returns
    -------
    Power
        The power that comes out, for both rotors together.

    Raises
    ------
    QuantityError
        an argument is not of its kind or not credible; every bad one is named.

    Notes
    -----
    Range of validity: one efficiency for all loads; real losses fall somewhat less than the load.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(power_after_transmission("138 hp", "94 %"), "hp", digits=4)
    '129.7 hp'
    """
    return transmission_efficiency * power_in


@formula(source=sources.DEFINITION.at("efficiency of a transmission"),
         letters={"power_in": "P_{in}", "transmission_efficiency": r"\eta"}, result=r"\Delta P",
         valid={"power_in": ranges.NOT_NEGATIVE_POWER, "transmission_efficiency": ranges.EFFICIENCY})  # fmt: skip
def transmission_loss(power_in: Power, transmission_efficiency: Ratio) -> Power:
    """Power that belt, clutch and gears turn into heat, which their cooling has to carry away.

    Formula: dP = (1 - eta) Pin.

    Parameters
    ----------
    power_in : Power
        power that goes in (not negative).
    transmission_efficiency : Ratio
        power out over power in (ratio).

    Returns
    -------
    Power
        The lost power.

    Raises
    ------
    QuantityError
        an argument is not of its kind or not credible; every bad one is named.

    Notes
    -----
    Range of validity: as `power_after_transmission`.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(transmission_loss("138 hp", "94 %"), "hp", digits=3)
    '8.28 hp'
    """
    return (1 - transmission_efficiency) * power_in


@formula(source=sources.ARITHMETIC.at("power balance"),
         letters={"main_rotor_power": "P_m", "tail_rotor_power": "P_t", "accessory_power": "P_a",
                  "transmission_efficiency": r"\eta"}, result="P_e",
         valid={"main_rotor_power": ranges.NOT_NEGATIVE_POWER, "tail_rotor_power": ranges.NOT_NEGATIVE_POWER,
                "accessory_power": ranges.NOT_NEGATIVE_POWER,
                "transmission_efficiency": ranges.EFFICIENCY})  # fmt: skip
def engine_power_needed(
    main_rotor_power: Power, tail_rotor_power: Power, accessory_power: Power, transmission_efficiency: Ratio
) -> Power:
    """Power the engine has to give for both rotors, the accessories and the losses.

    Formula: Pe = Pa + (Pm + Pt) / eta.

    Parameters
    ----------
    main_rotor_power : Power
        power at the main rotor's shaft (not negative).
    tail_rotor_power : Power
        power at the tail rotor's shaft (not negative).
    accessory_power : Power
        what is driven off the engine before the transmission: cooling fan, alternator, pumps. Give 0
        where the engine's rating is already net of them.
    transmission_efficiency : Ratio
        power out over power in, from the engine to both rotors (ratio).

    Returns
    -------
    Power
        The power needed at the engine's output. Nothing is left in it for climbing, turning or wind.

    Raises
    ------
    QuantityError
        an argument is not of its kind or not credible; every bad one is named.

    Notes
    -----
    Range of validity: steady hover.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(engine_power_needed("104 hp", "11 hp", "3 hp", "94 %"), "hp", digits=4)
    '125.3 hp'
    """
    return accessory_power + (main_rotor_power + tail_rotor_power) / transmission_efficiency


@formula(source=sources.ARITHMETIC.at("power balance, inverted"),
         letters={"engine_power": "P_e", "tail_rotor_share": "s_t", "accessory_power": "P_a",
                  "transmission_efficiency": r"\eta"}, result="P_m",
         valid={"engine_power": ranges.NOT_NEGATIVE_POWER, "tail_rotor_share": SHARE,
                "accessory_power": ranges.NOT_NEGATIVE_POWER,
                "transmission_efficiency": ranges.EFFICIENCY},
         title="Main-rotor power available")  # fmt: skip
def main_rotor_power_available(
    engine_power: Power, tail_rotor_share: Ratio, accessory_power: Power, transmission_efficiency: Ratio
) -> Power:
    """Power left for the main rotor when the engine gives what it can.

    Formula: Pm = eta (Pe - Pa) / (1 + s).

    Parameters
    ----------
    engine_power : Power
        power that the engine gives in the air as it is (not the sea-level rating on a hot day).
    tail_rotor_share : Ratio
        tail-rotor power over MAIN-ROTOR power (ratio).
    accessory_power : Power
        what is driven off the engine before the transmission; less than the engine's power, or the
        answer is negative.
    transmission_efficiency : Ratio
        power out over power in, from the engine to both rotors (ratio).

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
    Range of validity: steady hover.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(main_rotor_power_available("138 hp", "10 %", "3 hp", "94 %"), "hp", digits=4)
    '115.4 hp'
    """
    return transmission_efficiency * (engine_power - accessory_power) / (1 + tail_rotor_share)
