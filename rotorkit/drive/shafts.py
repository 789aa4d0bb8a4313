"""Torque through shafts: from power and speed, the stress and twist that it makes, and what keys and flanges carry.

Torque is positive in the direction in which it drives. Stresses are nominal: a keyway, a shoulder or a hole raises them
locally (`concentration` in the texts), and a piston engine's torque swings about its mean (`peak_torque`).
"""

from __future__ import annotations

from rotorkit import sources
from rotorkit.formula import formula, pi
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
_LETTERS = {
    "torque": "T", "power": "P", "speed": r"\omega", "outer_diameter": "d", "inner_diameter": "d_i", "length": "L",
    "shear_modulus": "G", "shear_stress": r"\tau", "twist": r"\varphi",
}  # fmt: skip
_VALID = {
    "speed": _RPM, "outer_diameter": _DIAMETER, "inner_diameter": _BORE, "length": _LENGTH, "shear_modulus": _SHEAR,
    "torque": ("0 N*m", "1000000 N*m"), "shear_stress": ("0 psi", "5 GPa"), "power": ("0 W", "100000 kW"),
}  # fmt: skip
_SHOWN = {"outer_diameter": _INCHES, "inner_diameter": _INCHES, "length": _INCHES}


def _of(table: dict, *names: str) -> dict:
    return {name: table[name] for name in names if name in table}


@formula(source=sources.DEFINITION.at("power of a turning shaft"), letters=_of(_LETTERS, "power", "speed"), result="T",
         valid=_of(_VALID, "power", "speed"))  # fmt: skip
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


@formula(source=sources.DEFINITION.at("power of a turning shaft"), letters=_of(_LETTERS, "torque", "speed"), result="P",
         valid={"speed": ("0 rpm", "100000 rpm")})  # fmt: skip
def power_from_torque(torque: Torque, speed: RotationRate) -> Power:
    """Power of a shaft with `torque` at `speed`. Formula: P = T omega.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(power_from_torque("268.4 lbf*ft", "2700 rpm"), "hp", digits=4)
    '138.0 hp'
    """
    return torque * speed


@formula(source=sources.COMMON_PRACTICE.at("service factor on mean torque"),
         letters={"torque": "T", "shock_factor": "K"}, result="T_{max}",
         valid={"shock_factor": ("1", "10")})  # fmt: skip
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


@formula(source=sources.SHAFT_TORSION.at("J = pi (d^4 - di^4) / 32"),
         letters=_of(_LETTERS, "outer_diameter", "inner_diameter"), result="J",
         valid=_of(_VALID, "outer_diameter", "inner_diameter"),
         shown=_of(_SHOWN, "outer_diameter", "inner_diameter"))  # fmt: skip
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


@formula(source=sources.SHAFT_TORSION.at("tau = 16 T d / (pi (d^4 - di^4))"),
         letters=_of(_LETTERS, "torque", "outer_diameter", "inner_diameter"), result=r"\tau",
         valid=_of(_VALID, "outer_diameter", "inner_diameter"),
         shown=_of(_SHOWN, "outer_diameter", "inner_diameter"))  # fmt: skip
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


@formula(source=sources.SHAFT_TORSION.at("phi = T L / (G J)"),
         letters=_of(_LETTERS, "torque", "length", "shear_modulus", "outer_diameter", "inner_diameter"),
         result=r"\varphi", valid=_of(_VALID, "length", "shear_modulus", "outer_diameter", "inner_diameter"),
         shown=_of(_SHOWN, "length", "outer_diameter", "inner_diameter"))  # fmt: skip
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


@formula(source=sources.SHAFT_TORSION.at("k = G J / L"),
         letters=_of(_LETTERS, "length", "shear_modulus", "outer_diameter", "inner_diameter"),
         result="k", valid=_of(_VALID, "length", "shear_modulus", "outer_diameter", "inner_diameter"),
         shown=_of(_SHOWN, "length", "outer_diameter", "inner_diameter"))  # fmt: skip
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


@formula(source=sources.SHAFT_TORSION.at("T = tau pi (d^4 - di^4) / (16 d)"),
         letters=_of(_LETTERS, "shear_stress", "outer_diameter", "inner_diameter"), result="T",
         valid=_of(_VALID, "shear_stress", "outer_diameter", "inner_diameter"),
         shown=_of(_SHOWN, "outer_diameter", "inner_diameter"))  # fmt: skip
def torque_for_stress(shear_stress: Stress, outer_diameter: Length, inner_diameter: Length = "0 mm") -> Torque:
    """Torque that makes `shear_stress` at the outside of a round bar or tube: the most it may carry.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(torque_for_stress("6000 psi", "1.5 in"), "lbf*ft", digits=4)
    '331.3 lbf·ft'
    """
    return shear_stress * pi * (outer_diameter**4 - inner_diameter**4) / (16 * outer_diameter)


@formula(source=sources.SHAFT_TORSION.at("T = phi G J / L"),
         letters=_of(_LETTERS, "twist", "length", "shear_modulus", "outer_diameter", "inner_diameter"),
         result="T", valid=_of(_VALID, "length", "shear_modulus", "outer_diameter", "inner_diameter"),
         shown=_of(_SHOWN, "length", "outer_diameter", "inner_diameter"))  # fmt: skip
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


@formula(source=sources.SHAFT_TORSION.at("d = (16 T / (pi tau))^(1/3)"),
         letters=_of(_LETTERS, "torque", "shear_stress"), result="d",
         valid={"torque": ("0 N*m", None), "shear_stress": ("1 psi", None)},
         shown={"result": _INCHES})  # fmt: skip
def solid_diameter_for_stress(torque: Torque, shear_stress: Stress) -> Length:
    """Least diameter of a solid bar that carries `torque` at no more than `shear_stress`.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(solid_diameter_for_stress("331.34 lbf*ft", "6000 psi"), "in", digits=4)
    '1.500 in'
    """
    return (16 * torque / (pi * shear_stress)) ** (1 / 3)


@formula(source=sources.SHAFT_TORSION.at("equal twist: L_e = L (D / d)^4"),
         letters={"length": "L", "diameter": "d", "reference_diameter": "D"}, result="L_e",
         valid={"length": _LENGTH, "diameter": _DIAMETER, "reference_diameter": _DIAMETER},
         shown=dict.fromkeys(["length", "diameter", "reference_diameter", "result"], _INCHES))  # fmt: skip
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


_KEY = {"torque": "T", "shaft_diameter": "d", "width": "b", "height": "h", "length": "l", "mean_diameter": "d_m",
        "teeth": "z", "share": r"\psi"}  # fmt: skip
_KEY_VALID = dict.fromkeys(["shaft_diameter", "width", "height", "length", "mean_diameter"], _DIAMETER)


@formula(source=sources.MACHINE_DESIGN.at("shear of a key"),
         letters=_of(_KEY, "torque", "shaft_diameter", "width", "length"),
         result=r"\tau", valid=_of(_KEY_VALID, "shaft_diameter", "width", "length"),
         shown=dict.fromkeys(["shaft_diameter", "width", "length"], _INCHES))  # fmt: skip
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


@formula(source=sources.MACHINE_DESIGN.at("bearing of a key, half its height in each part"),
         letters=_of(_KEY, "torque", "shaft_diameter", "height", "length"), result="p",
         valid=_of(_KEY_VALID, "shaft_diameter", "height", "length"),
         shown=dict.fromkeys(["shaft_diameter", "height", "length"], _INCHES))  # fmt: skip
def key_bearing_stress(torque: Torque, shaft_diameter: Length, height: Length, length: Length) -> Stress:
    """Pressure on a key's sides, half its height in the shaft and half in the hub. Formula: p = 4 T / (d h l).

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(key_bearing_stress("200 lbf*ft", "1.25 in", "0.25 in", "1.5 in"), "psi", digits=5)
    '20,480 psi'
    """
    return 4 * torque / (shaft_diameter * height * length)


@formula(source=sources.MACHINE_DESIGN.at("pressure on the teeth of a spline"),
         letters=_of(_KEY, "torque", "mean_diameter", "height", "length", "teeth", "share"), result="p",
         valid={**_of(_KEY_VALID, "mean_diameter", "height", "length"), "teeth": ("1", "200"), "share": ("0.1", "1")},
         shown=dict.fromkeys(["mean_diameter", "height", "length"], _INCHES))  # fmt: skip
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


_FLANGE = {"torque": "T", "circle_diameter": "D", "bolts": "n", "bolt_diameter": "d", "preload": "F",
           "friction_coefficient": r"\mu"}  # fmt: skip


@formula(source=sources.MACHINE_DESIGN.at("bolts of a flange in shear"),
         letters=_of(_FLANGE, "torque", "circle_diameter", "bolts", "bolt_diameter"), result=r"\tau",
         valid={"circle_diameter": _DIAMETER, "bolts": ("1", "100"), "bolt_diameter": _DIAMETER},
         shown={"circle_diameter": _INCHES, "bolt_diameter": _INCHES})  # fmt: skip
def bolt_shear_stress(torque: Torque, circle_diameter: Length, bolts: Ratio, bolt_diameter: Length) -> Stress:
    """Shear stress in the bolts of a flange that does not hold by friction. Formula: tau = 8 T / (pi n D d^2).

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(bolt_shear_stress("200 lbf*ft", "3 in", 6, "0.25 in"), "psi", digits=4)
    '5,432 psi'
    """
    return 8 * torque / (pi * bolts * circle_diameter * bolt_diameter**2)


@formula(source=sources.MACHINE_DESIGN.at("flange held by friction"),
         letters=_of(_FLANGE, "friction_coefficient", "preload", "bolts", "circle_diameter"), result="T",
         valid={"friction_coefficient": ("0.01", "1"), "bolts": ("1", "100"), "circle_diameter": _DIAMETER,
                "preload": ("0 N", None)},
         shown={"circle_diameter": _INCHES})  # fmt: skip
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
