"""The shape of a rotor and the speed of its tips."""

from __future__ import annotations

from rotorkit import sources
from rotorkit.formula import formula, pi
from rotorkit.quantities import Area, Length, Ratio, RotationRate, Speed
from rotorkit.rotor.ranges import BLADES, CHORD, RADIUS, ROTOR_SPEED, TIP_SPEED

SOUND = ("280 m/s", "380 m/s")


@formula(source=sources.DEFINITION.at("rotor disk area"), letters={"rotor_radius": "R"}, result="A",
         valid={"rotor_radius": RADIUS})  # fmt: skip
def disk_area(rotor_radius: Length) -> Area:
    """Area of the circle that the blade tips describe; hub and root cut-out are not taken off.

    Formula: A = pi R^2.

    Parameters
    ----------
    rotor_radius : Length
        from the shaft's axis to the blade tip (length, positive). Half the diameter.

    Returns
    -------
    Area
        The disk area.

    Raises
    ------
    QuantityError
        no length was given, or it is not credible.

    Notes
    -----
    Range of validity: 3 in to 60 ft; the rise of coned tips is neglected (1 % of area at 6°).

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(disk_area("11 ft 8 in"), "ft^2", digits=5)
    '427.61 ft²'
    """
    return pi * rotor_radius**2


@formula(source=sources.DEFINITION.at("solidity of rectangular blades"),
         letters={"blade_count": "N_b", "chord": "c", "rotor_radius": "R"}, result=r"\sigma",
         valid={"blade_count": BLADES, "chord": CHORD, "rotor_radius": RADIUS},
         shown={"chord": ("in", "mm")})  # fmt: skip
def solidity(blade_count: Ratio, chord: Length, rotor_radius: Length) -> Ratio:
    """The part of the disk that is blade: blade area over disk area, for blades of constant chord.

    Formula: sigma = N c / (pi R).

    Parameters
    ----------
    blade_count : Ratio
        number of blades (a plain number).
    chord : Length
        blade chord, leading to trailing edge (length); of a tapered blade take the chord at 3/4 of the radius.
    rotor_radius : Length
        from the shaft's axis to the blade tip (length).

    Returns
    -------
    Ratio
        The solidity (ratio).

    Raises
    ------
    QuantityError
        an argument is not of its kind or not credible; every bad one is named.

    Notes
    -----
    Range of validity: rectangular blades counted from the axis to the tip, as the trade does; the root cut-out is not
    taken off.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(solidity(2, "10 in", "11 ft 8 in"), digits=4)
    '0.04547'
    """
    return blade_count * chord / (pi * rotor_radius)


@formula(source=sources.DEFINITION.at("tip speed"), letters={"rotor_speed": r"\Omega", "rotor_radius": "R"},
         result="V_t", valid={"rotor_speed": ROTOR_SPEED, "rotor_radius": RADIUS})  # fmt: skip
def tip_speed(rotor_speed: RotationRate, rotor_radius: Length) -> Speed:
    """Speed of a blade tip on its circle, in the hover.

    Formula: Vt = Omega R, Omega in radians per second: 2 pi / 60 of the figure in rpm.

    Parameters
    ----------
    rotor_speed : RotationRate
        rotation rate of that rotor, not of the engine (rotation rate, positive).
    rotor_radius : Length
        from the shaft's axis to the blade tip (length).

    Returns
    -------
    Speed
        The tip speed.

    Raises
    ------
    QuantityError
        an argument is not of its kind (a frequency is not a rotation rate) or not credible.

    Notes
    -----
    Range of validity: 50 to 6000 rpm, 3 in to 60 ft.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(tip_speed("455 rpm", "11 ft 8 in"), "ft/s", digits=5)
    '555.89 ft/s'
    """
    return rotor_speed * rotor_radius


@formula(source=sources.DEFINITION.at("tip speed"), letters={"tip_speed": "V_t", "rotor_radius": "R"},
         result=r"\Omega", valid={"tip_speed": TIP_SPEED, "rotor_radius": RADIUS},
         title="Rotor speed for a tip speed")  # fmt: skip
def rotor_speed_for_tip_speed(tip_speed: Speed, rotor_radius: Length) -> RotationRate:
    """The rotor speed that gives a tip speed: the inverse of `tip_speed`.

    Formula: Omega = Vt / R.

    Parameters
    ----------
    tip_speed : Speed
        speed of the blade tip in the hover (speed).
    rotor_radius : Length
        from the shaft's axis to the blade tip (length).

    Returns
    -------
    RotationRate
        The rotation rate of that rotor.

    Raises
    ------
    QuantityError
        an argument is not of its kind or not credible; every bad one is named.

    Notes
    -----
    Range of validity: 30 to 1100 ft/s, 3 in to 60 ft.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(rotor_speed_for_tip_speed("555.89 ft/s", "11 ft 8 in"), "rpm", digits=4)
    '455.0 rpm'
    """
    return tip_speed / rotor_radius


@formula(source=sources.DEFINITION.at("Mach number"), letters={"tip_speed": "V_t", "speed_of_sound": "a"},
         result="M_t", valid={"tip_speed": TIP_SPEED, "speed_of_sound": SOUND},
         title="Tip Mach number in the hover")  # fmt: skip
def tip_mach_hovering(tip_speed: Speed, speed_of_sound: Speed) -> Ratio:
    """Mach number of a blade tip in the hover.

    Formula: M = Vt / a.

    Parameters
    ----------
    tip_speed : Speed
        speed of the blade tip on its circle (speed).
    speed_of_sound : Speed
        in the air as it is (speed; `rotorkit.atmosphere.speed_of_sound`). It falls with the cold: the
        highest tip Mach number comes on the coldest day.

    Returns
    -------
    Ratio
        The tip Mach number (ratio).

    Raises
    ------
    QuantityError
        an argument is not of its kind or not credible; every bad one is named.

    Notes
    -----
    Range of validity: still air.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(tip_mach_hovering("628.319 ft/s", "349.028 m/s"), digits=4)
    '0.5487'
    """
    return tip_speed / speed_of_sound


@formula(source=sources.DEFINITION.at("Mach number"),
         letters={"tip_speed": "V_t", "airspeed": "V", "speed_of_sound": "a"}, result="M_{at}",
         valid={"tip_speed": TIP_SPEED, "airspeed": ("0 kt", "300 kt"), "speed_of_sound": SOUND},
         shown={"airspeed": ("kt", "kt")},
         title="Tip Mach number of the advancing blade")  # fmt: skip
def tip_mach_advancing(tip_speed: Speed, airspeed: Speed, speed_of_sound: Speed) -> Ratio:
    """Highest Mach number of the advancing blade tip in forward flight.

    Formula: M = (Vt + V) / a.

    Parameters
    ----------
    tip_speed : Speed
        speed of the blade tip on its circle (speed).
    airspeed : Speed
        true airspeed along the disk (speed, not negative); in the hover the wind.
    speed_of_sound : Speed
        in the air as it is (speed).

    Returns
    -------
    Ratio
        The Mach number of the advancing tip (ratio).

    Raises
    ------
    QuantityError
        an argument is not of its kind or not credible; every bad one is named.

    Notes
    -----
    Range of validity: the disk's tilt is neglected, which errs on the safe side.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(tip_mach_advancing("628.319 ft/s", "80 kt", "349.028 m/s"), digits=4)
    '0.6666'
    """
    return (tip_speed + airspeed) / speed_of_sound
