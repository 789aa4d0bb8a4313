"""Torque through shafts: from power and speed, the stress and twist that it makes, and what keys and flanges carry.

Torque is positive in the direction in which it drives. Stresses are nominal: a keyway, a shoulder or a hole raises them
locally (`concentration` in the texts), and a piston engine's torque swings about its mean (`peak_torque`).
"""

from __future__ import annotations

from rotorkit import sources
from rotorkit.formula import nomenclature, pi
from rotorkit.quantities import (
    Angle,
    Force,
    Length,
    Power,
    Ratio,
    RotationRate,
    SecondMomentOfArea,
    Stress,
    Torque,
    TorsionalStiffness,
)

_RPM = ("0.001 rpm", "100000 rpm")
_INCHES = ("in", "mm")
_DIAMETER = ("0.1 mm", "5 m")
_BORE = ("0 mm", "< outer_diameter")
_LENGTH = ("0.1 mm", "100 m")
_SHEAR = ("10000 psi", "500 GPa")


_formula = nomenclature(
    letters={
        "power": "P", "speed": r"\omega", "torque": "T", "shock_factor": "K", "outer_diameter": "d",
        "inner_diameter": "d_i", "length": "L", "shear_modulus": "G", "shear_stress": r"\tau", "twist": r"\varphi",
        "diameter": "d", "reference_diameter": "D", "shaft_diameter": "d", "width": "b", "height": "h",
        "mean_diameter": "d_m", "teeth": "z", "share": r"\psi", "circle_diameter": "D", "bolts": "n",
        "bolt_diameter": "d", "friction_coefficient": r"\mu", "preload": "F",
    },
    valid={
        "power": ("0 W", "100000 kW"), "speed": _RPM, "shock_factor": ("1", "10"), "outer_diameter": _DIAMETER,
        "inner_diameter": _BORE, "length": _LENGTH, "shear_modulus": _SHEAR, "shear_stress": ("0 psi", "5 GPa"),
        "diameter": _DIAMETER, "reference_diameter": _DIAMETER, "shaft_diameter": _DIAMETER, "width": _DIAMETER,
        "height": _DIAMETER, "mean_diameter": _DIAMETER, "teeth": ("1", "200"), "share": ("0.1", "1"),
        "circle_diameter": _DIAMETER, "bolts": ("1", "100"), "bolt_diameter": _DIAMETER,
        "friction_coefficient": ("0.01", "1"), "preload": ("0 N", None),
    },
    shown={
        "outer_diameter": _INCHES, "inner_diameter": _INCHES, "length": _INCHES, "diameter": _INCHES,
        "reference_diameter": _INCHES, "shaft_diameter": _INCHES, "width": _INCHES, "height": _INCHES,
        "mean_diameter": _INCHES, "circle_diameter": _INCHES, "bolt_diameter": _INCHES,
    },
)  # fmt: skip


@_formula(source=sources.DEFINITION.at("power of a turning shaft"), result="T")
def torque_from_power(power: Power, speed: RotationRate) -> Torque:
    """Mean torque of a shaft that carries `power` at `speed`. Formula: T = P / omega (5252 hp / rpm in lbf ft).

    Parameters
    ----------
    power : Power
        that the shaft carries.
    speed : RotationRate
        at which it turns, above zero.

    Returns
    -------
    Torque
        The mean torque.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(torque_from_power("138 hp", "2700 rpm"), "lbf*ft", digits=4)
    '268.4 lbf·ft'
    """
    return power / speed


@_formula(
    source=sources.DEFINITION.at("power of a turning shaft"), result="P", valid={"speed": ("0 rpm", "100000 rpm")}
)
def power_from_torque(torque: Torque, speed: RotationRate) -> Power:
    """Power of a shaft with `torque` at `speed`. Formula: P = T omega.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(power_from_torque("268.4 lbf*ft", "2700 rpm"), "hp", digits=4)
    '138.0 hp'
    """
    return torque * speed


@_formula(source=sources.COMMON_PRACTICE.at("service factor on mean torque"), result="T_{max}")
def peak_torque(torque: Torque, shock_factor: Ratio) -> Torque:
    """Torque to size a part for, where the driver's torque swings. Formula: T_max = K T.

    Parameters
    ----------
    torque : Torque
        mean torque.
    shock_factor : Ratio
        1.5 to 3 for a piston engine, the fewer cylinders the more (common practice, no source): the maker's figure
        governs. Near a torsional resonance no factor is enough.

    Returns
    -------
    Torque
        The torque to size for.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(peak_torque("268.4 lbf*ft", 2), "lbf*ft", digits=4)
    '536.8 lbf·ft'
    """
    return shock_factor * torque


@_formula(source=sources.SHAFT_TORSION.at("J = pi (d^4 - di^4) / 32"), result="J")
def polar_second_moment(outer_diameter: Length, inner_diameter: Length = "0 mm") -> SecondMomentOfArea:
    """Polar second moment of area of a round bar or tube.

    Examples
    --------
    1.5 in solid: pi 1.5^4 / 32 = 0.49701 in4.

    >>> from rotorkit.quantities import say
    >>> say(polar_second_moment("1.5 in"), "in^4", digits=5)
    '0.49701 in⁴'
    """
    return pi / 32 * (outer_diameter**4 - inner_diameter**4)


@_formula(source=sources.SHAFT_TORSION.at("tau = 16 T d / (pi (d^4 - di^4))"), result=r"\tau")
def torsion_stress(torque: Torque, outer_diameter: Length, inner_diameter: Length = "0 mm") -> Stress:
    """Greatest shear stress in a round bar or tube under torque, at its outside.

    Parameters
    ----------
    torque : Torque
        carried.
    outer_diameter, inner_diameter : Length
        of the tube; no inner one for a solid bar.

    Returns
    -------
    Stress
        The shear stress, with the torque's sign.

    Notes
    -----
    Range: elastic, away from keyways, shoulders and holes.

    Examples
    --------
    Gere, example 3.1 (quoted): 250 lbf ft in a 1.5 in bar.

    >>> from rotorkit.quantities import say
    >>> say(torsion_stress("250 lbf*ft", "1.5 in"), "psi", digits=4)
    '4,527 psi'
    """
    return 16 * torque * outer_diameter / (pi * (outer_diameter**4 - inner_diameter**4))


@_formula(source=sources.SHAFT_TORSION.at("phi = T L / (G J)"), result=r"\varphi")
def shaft_twist(
    torque: Torque, length: Length, shear_modulus: Stress, outer_diameter: Length, inner_diameter: Length = "0 mm"
) -> Angle:
    """Twist of one end of a round bar or tube against the other.

    Parameters
    ----------
    torque : Torque
        carried over the whole length.
    length : Length
        of that piece.
    shear_modulus : Stress
        of its material (steel 11.5e6 psi, 79 GPa; aluminium 3.8e6 psi, 26 GPa: handbook figures, from memory).
    outer_diameter, inner_diameter : Length
        of the tube.

    Returns
    -------
    Angle
        The twist, with the torque's sign.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(shaft_twist("250 lbf*ft", "54 in", "11.5e6 psi", "1.5 in"), "deg", digits=4)
    '1.624°'
    """
    return torque * length * 32 / (pi * shear_modulus * (outer_diameter**4 - inner_diameter**4))


@_formula(source=sources.SHAFT_TORSION.at("k = G J / L"), result="k")
def torsional_stiffness(
    length: Length, shear_modulus: Stress, outer_diameter: Length, inner_diameter: Length = "0 mm"
) -> TorsionalStiffness:
    """Torque per angle of twist of a round bar or tube.

    Examples
    --------
    1 in x 36 in at 12e6 psi: 12e6 x pi/32 / 36 = 32,725 lbf in/rad.

    >>> from rotorkit.quantities import say
    >>> say(torsional_stiffness("36 in", "12e6 psi", "1 in"), "lbf*in/rad", digits=5)
    '32,725 lbf·in/rad'
    """
    return pi * shear_modulus * (outer_diameter**4 - inner_diameter**4) / (32 * length)


@_formula(source=sources.SHAFT_TORSION.at("T = tau pi (d^4 - di^4) / (16 d)"), result="T")
def torque_for_stress(shear_stress: Stress, outer_diameter: Length, inner_diameter: Length = "0 mm") -> Torque:
    """Torque that makes `shear_stress` at the outside of a round bar or tube: the most it may carry.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(torque_for_stress("6000 psi", "1.5 in"), "lbf*ft", digits=4)
    '331.3 lbf·ft'
    """
    return shear_stress * pi * (outer_diameter**4 - inner_diameter**4) / (16 * outer_diameter)


@_formula(source=sources.SHAFT_TORSION.at("T = phi G J / L"), result="T")
def torque_for_twist(
    twist: Angle, length: Length, shear_modulus: Stress, outer_diameter: Length, inner_diameter: Length = "0 mm"
) -> Torque:
    """Torque that twists a round bar or tube by `twist`.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(torque_for_twist("2.5 deg", "54 in", "11.5e6 psi", "1.5 in"), "lbf*ft", digits=4)
    '384.9 lbf·ft'
    """
    return twist * pi * shear_modulus * (outer_diameter**4 - inner_diameter**4) / (32 * length)


@_formula(
    source=sources.SHAFT_TORSION.at("d = (16 T / (pi tau))^(1/3)"),
    result="d",
    valid={"torque": ("0 N*m", None), "shear_stress": ("1 psi", None)},
    shown={"result": _INCHES},
)
def solid_diameter_for_stress(torque: Torque, shear_stress: Stress) -> Length:
    """Least diameter of a solid bar that carries `torque` at no more than `shear_stress`.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(solid_diameter_for_stress("331.34 lbf*ft", "6000 psi"), "in", digits=4)
    '1.500 in'
    """
    return (16 * torque / (pi * shear_stress)) ** (1 / 3)


@_formula(source=sources.SHAFT_TORSION.at("equal twist: L_e = L (D / d)^4"), result="L_e", shown={"result": _INCHES})
def equivalent_length(length: Length, diameter: Length, reference_diameter: Length) -> Length:
    """Length of a bar of `reference_diameter` that twists as much as a bar of `length` and `diameter`: this adds up the
    pieces of a stepped shaft.

    Examples
    --------
    10 in of 5 in as a bar of 3 in: 10 (3/5)^4 = 1.296 in.

    >>> from rotorkit.quantities import say
    >>> say(equivalent_length("10 in", "5 in", "3 in"), "in", digits=4)
    '1.296 in'
    """
    return length * (reference_diameter / diameter) ** 4


@_formula(
    source=sources.MACHINE_DESIGN.at("shear of a key"),
    letters={"length": "l"},
    result=r"\tau",
    valid={"length": _DIAMETER},
)
def key_shear_stress(torque: Torque, shaft_diameter: Length, width: Length, length: Length) -> Stress:
    """Shear stress in a key. Formula: tau = 2 T / (d b l).

    Examples
    --------
    200 lbf ft on a 1.25 in shaft, key 1/4 in wide and 1.5 in long: 4800 / (1.25 x 0.25 x 1.5) = 10,240 psi.

    >>> from rotorkit.quantities import say
    >>> say(key_shear_stress("200 lbf*ft", "1.25 in", "0.25 in", "1.5 in"), "psi", digits=5)
    '10,240 psi'
    """
    return 2 * torque / (shaft_diameter * width * length)


@_formula(
    source=sources.MACHINE_DESIGN.at("bearing of a key, half its height in each part"),
    letters={"length": "l"},
    result="p",
    valid={"length": _DIAMETER},
)
def key_bearing_stress(torque: Torque, shaft_diameter: Length, height: Length, length: Length) -> Stress:
    """Pressure on a key's sides, half its height in the shaft and half in the hub. Formula: p = 4 T / (d h l).

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(key_bearing_stress("200 lbf*ft", "1.25 in", "0.25 in", "1.5 in"), "psi", digits=5)
    '20,480 psi'
    """
    return 4 * torque / (shaft_diameter * height * length)


@_formula(
    source=sources.MACHINE_DESIGN.at("pressure on the teeth of a spline"),
    letters={"length": "l"},
    result="p",
    valid={"length": _DIAMETER},
)
def spline_bearing_stress(
    torque: Torque, mean_diameter: Length, height: Length, length: Length, teeth: Ratio, share: Ratio = "0.75"
) -> Stress:
    """Pressure on a spline's teeth. Formula: p = 2 T / (psi z d h l).

    Parameters
    ----------
    torque : Torque
        carried.
    mean_diameter, height, length : Length
        mean diameter, height over which teeth touch, and length in engagement.
    teeth : Ratio
        number of teeth.
    share : Ratio
        part of the teeth that carry, 0.75 by common practice (no source): teeth are never all alike.

    Returns
    -------
    Stress
        The mean pressure on the teeth.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(spline_bearing_stress("200 lbf*ft", "1.25 in", "0.08 in", "1 in", 16), "psi", digits=4)
    '4,000 psi'
    """
    return 2 * torque / (share * teeth * mean_diameter * height * length)


@_formula(source=sources.MACHINE_DESIGN.at("bolts of a flange in shear"), result=r"\tau")
def bolt_shear_stress(torque: Torque, circle_diameter: Length, bolts: Ratio, bolt_diameter: Length) -> Stress:
    """Shear stress in the bolts of a flange that does not hold by friction. Formula: tau = 8 T / (pi n D d^2).

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(bolt_shear_stress("200 lbf*ft", "3 in", 6, "0.25 in"), "psi", digits=4)
    '5,432 psi'
    """
    return 8 * torque / (pi * bolts * circle_diameter * bolt_diameter**2)


@_formula(source=sources.MACHINE_DESIGN.at("flange held by friction"), result="T")
def flange_friction_torque(
    friction_coefficient: Ratio, preload: Force, bolts: Ratio, circle_diameter: Length
) -> Torque:
    """Torque that a bolted flange holds by friction alone. Formula: T = mu F n D / 2, F the preload of one bolt.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(flange_friction_torque(0.15, "2000 lbf", 6, "3 in"), "lbf*ft", digits=4)
    '225.0 lbf·ft'
    """
    return friction_coefficient * preload * bolts * circle_diameter / 2
