"""Clutches: plate, cone and centrifugal clutches, what engaging one costs, and one-way clutches with their contact.

Forces and pressures are sizes. A worn-in clutch follows uniform wear (the pressure falls with the radius), a new one
uniform pressure; size by uniform wear, which gives the lesser torque.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from rotorkit import sources
from rotorkit.formula import nomenclature, pi, sin, tan
from rotorkit.formula.contract import contract
from rotorkit.quantities import (
    Angle,
    AngularAcceleration,
    Energy,
    Force,
    Length,
    Mass,
    MomentOfInertia,
    QuantityError,
    Ratio,
    RotationRate,
    Stress,
    Time,
    Torque,
    from_si,
)

_RADIUS = ("0.1 mm", "5 m")
_CLUTCH = sources.MACHINE_DESIGN


_formula = nomenclature(
    letters={
        "plate_force": "W", "outer_radius": "r_o", "inner_radius": "r_i", "radius": "r", "pressure": "p",
        "friction_coefficient": r"\mu", "faces": "n", "mean_radius": "r_m", "half_angle": r"\alpha", "shoes": "n",
        "shoe_mass": "m", "centre_radius": "r", "speed": r"\omega", "engagement_speed": r"\omega_1", "drum_radius": "R",
        "torque": "T", "inertia": "I", "other_inertia": "I_2", "speed_difference": r"\Delta\omega", "rollers": "n",
        "race_radius": "r", "wedge_angle": r"2\alpha",
    },
    valid={
        "plate_force": ("0 N", None), "outer_radius": _RADIUS, "inner_radius": ("0.1 mm", "< outer_radius"),
        "radius": ("inner_radius", "outer_radius"), "pressure": ("0 Pa", None), "friction_coefficient": ("0", "2"),
        "faces": ("1", "100"), "mean_radius": _RADIUS, "half_angle": ("5 deg", "90 deg"), "shoes": ("1", "20"),
        "centre_radius": _RADIUS, "engagement_speed": ("0 rpm", "20000 rpm"), "drum_radius": _RADIUS,
        "other_inertia": ("1e-9 kg*m^2", None), "rollers": ("1", "200"), "race_radius": _RADIUS,
        "wedge_angle": ("0.5 deg", "40 deg"),
    },
    shown={
        "outer_radius": ("in", "mm"), "inner_radius": ("in", "mm"), "radius": ("in", "mm"), "mean_radius": ("in", "mm"),
        "centre_radius": ("in", "mm"), "drum_radius": ("in", "mm"), "race_radius": ("in", "mm"),
    },
)  # fmt: skip


@_formula(source=_CLUTCH.at("uniform wear: p r is constant"), result="p")
def clutch_pressure_uniform_wear(
    plate_force: Force, outer_radius: Length, inner_radius: Length, radius: Length
) -> Stress:
    """Pressure between worn-in plates at a radius. Formula: p = W / (2 pi r (ro - ri)).

    Parameters
    ----------
    plate_force : Force
        that presses the plates together.
    outer_radius, inner_radius : Length
        of the lining.
    radius : Length
        where the pressure is wanted: at the inner radius it is greatest, at the outer one least.

    Returns
    -------
    Stress
        The pressure.

    Examples
    --------
    Khurmi & Gupta, example 10.22 (quoted): 4 kN on 100 and 50 mm: 0.2546 N/mm2 at the inner radius.

    >>> from rotorkit.quantities import say
    >>> say(clutch_pressure_uniform_wear("4 kN", "100 mm", "50 mm", "50 mm"), "MPa", digits=4)
    '0.2546 MPa'
    """
    return plate_force / (2 * pi * radius * (outer_radius - inner_radius))


@_formula(source=sources.DEFINITION.at("mean pressure"), result="p_m")
def clutch_pressure_mean(plate_force: Force, outer_radius: Length, inner_radius: Length) -> Stress:
    """Mean pressure between plates. Formula: W / (pi (ro^2 - ri^2)).

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(clutch_pressure_mean("4 kN", "100 mm", "50 mm"), "MPa", digits=4)
    '0.1698 MPa'
    """
    return plate_force / (pi * (outer_radius**2 - inner_radius**2))


@_formula(source=_CLUTCH.at("uniform wear, greatest pressure at the inner radius"), result="W")
def plate_force_for_pressure(pressure: Stress, outer_radius: Length, inner_radius: Length) -> Force:
    """Force on worn-in plates at which the lining's greatest pressure is `pressure`. Formula: 2 pi p ri (ro - ri).

    Examples
    --------
    Jindal, example 22-1 (quoted): 0.1 N/mm2 on 110 and 70 mm: 1,759 N.

    >>> from rotorkit.quantities import say
    >>> say(plate_force_for_pressure("0.1 N/mm^2", "110 mm", "70 mm"), "N", digits=5)
    '1,759.3 N'
    """
    return 2 * pi * pressure * inner_radius * (outer_radius - inner_radius)


@_formula(source=_CLUTCH.at("uniform wear: the force acts at the mean radius"), result="T")
def clutch_torque_uniform_wear(
    friction_coefficient: Ratio, plate_force: Force, outer_radius: Length, inner_radius: Length, faces: Ratio
) -> Torque:
    """Torque of a worn-in plate clutch before it slips. Formula: T = n mu W (ro + ri) / 2.

    Parameters
    ----------
    friction_coefficient : Ratio
        of the lining.
    plate_force : Force
        that presses the plates together.
    outer_radius, inner_radius : Length
        of the lining.
    faces : Ratio
        pairs of faces that rub: 2 for one plate with lining on both sides.

    Returns
    -------
    Torque
        The torque at which it slips.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(clutch_torque_uniform_wear(0.3, "3141.6 N", "150 mm", "100 mm", 2), "N*m", digits=4)
    '235.6 N·m'
    """
    return faces * friction_coefficient * plate_force * (outer_radius + inner_radius) / 2


@_formula(source=_CLUTCH.at("uniform pressure"), result="T")
def clutch_torque_uniform_pressure(
    friction_coefficient: Ratio, plate_force: Force, outer_radius: Length, inner_radius: Length, faces: Ratio
) -> Torque:
    """Torque of a new plate clutch before it slips. Formula: T = (2/3) n mu W (ro^3 - ri^3) / (ro^2 - ri^2).

    Arguments as in `clutch_torque_uniform_wear`; the two radii must differ.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(clutch_torque_uniform_pressure(0.3, "3141.6 N", "150 mm", "100 mm", 2), "N*m", digits=4)
    '238.8 N·m'
    """
    return (
        2
        / 3
        * faces
        * friction_coefficient
        * plate_force
        * (outer_radius**3 - inner_radius**3)
        / (outer_radius**2 - inner_radius**2)
    )


@_formula(source=_CLUTCH.at("cone clutch, uniform wear"), result="T")
def cone_clutch_torque(
    friction_coefficient: Ratio, plate_force: Force, mean_radius: Length, half_angle: Angle
) -> Torque:
    """Torque of a cone clutch before it slips. Formula: T = mu W r / sin alpha, alpha the cone's half angle.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(cone_clutch_torque(0.2, "1000 N", "150 mm", "12.5 deg"), "N*m", digits=4)
    '138.6 N·m'
    """
    return friction_coefficient * plate_force * mean_radius / sin(half_angle)


@_formula(source=_CLUTCH.at("centrifugal clutch with shoes"), result="T", valid={"speed": ("0 rpm", "20000 rpm")})
def centrifugal_clutch_torque(
    friction_coefficient: Ratio,
    shoes: Ratio,
    shoe_mass: Mass,
    centre_radius: Length,
    speed: RotationRate,
    engagement_speed: RotationRate,
    drum_radius: Length,
) -> Torque:
    """Torque of a centrifugal clutch. Formula: T = n mu m r (omega^2 - omega1^2) R.

    Parameters
    ----------
    friction_coefficient : Ratio
        of the lining.
    shoes : Ratio
        their number.
    shoe_mass : Mass
        of one.
    centre_radius : Length
        of a shoe's centre of gravity when it touches.
    speed, engagement_speed : RotationRate
        present speed, and that at which the shoes begin to touch, which measures the springs.
    drum_radius : Length
        inside radius of the drum.

    Returns
    -------
    Torque
        The torque at which it slips; negative below the speed of engagement, where there is none.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> torque = centrifugal_clutch_torque(0.25, 4, "1.2 kg", "130 mm", "1200 rpm", "900 rpm", "160 mm")
    >>> say(torque, "N*m", digits=4)
    '172.4 N·m'
    """
    return friction_coefficient * shoes * shoe_mass * centre_radius * (speed**2 - engagement_speed**2) * drum_radius


@_formula(
    source=sources.ARITHMETIC.at("torque over inertia"), result=r"\epsilon", valid={"inertia": ("1e-9 kg*m^2", None)}
)
def clutch_acceleration(torque: Torque, inertia: MomentOfInertia) -> AngularAcceleration:
    """Angular acceleration of what a slipping clutch brings up. `torque`: the clutch's less what the load takes.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(clutch_acceleration("44.334 N*m", "7.2 kg*m^2"), "rad/s^2", digits=4)
    '6.158 rad/s²'
    """
    return torque / inertia


@_formula(source=sources.ARITHMETIC.at("torque over inertia"), result="t", valid={"torque": ("0.001 N*m", None)})
def clutch_slip_time(inertia: MomentOfInertia, speed: RotationRate, torque: Torque) -> Time:
    """Time in which a slipping clutch brings `inertia` from rest to the driver's `speed`. Formula: t = I omega / T.

    Parameters
    ----------
    inertia : MomentOfInertia
        of what is brought up, reduced to the clutch's speed (`referred_inertia`).
    speed : RotationRate
        of the driver, which does not slow down; the difference of speeds where the load turns already.
    torque : Torque
        of the clutch less what the load takes.

    Returns
    -------
    Time
        The slip time.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(clutch_slip_time("7.2 kg*m^2", "300 rpm", "44.334 N*m"), "s", digits=3)
    '5.10 s'
    """
    return inertia * speed / torque


@_formula(
    source=sources.ARITHMETIC.at("slip speed times torque over the slip time"), result="E", shown={"result": ("J", "J")}
)
def clutch_slip_energy(inertia: MomentOfInertia, speed: RotationRate) -> Energy:
    """Heat in a clutch that brings `inertia` from rest to the speed of a driver that does not slow down: I omega^2 / 2.

    It does not depend on the clutch's torque, as long as the load takes none: a gentle engagement is longer, not
    cooler.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(clutch_slip_energy("7.2 kg*m^2", "300 rpm"), "J", digits=4)
    '3,553 J'
    """
    return inertia * speed**2 / 2


@_formula(
    source=sources.ARITHMETIC.at("two free rotors brought to one speed"),
    letters={"inertia": "I_1"},
    result="E",
    valid={"inertia": ("1e-9 kg*m^2", None)},
    shown={"result": ("J", "J")},
)
def clutch_slip_energy_of_two_rotors(
    inertia: MomentOfInertia, other_inertia: MomentOfInertia, speed_difference: RotationRate
) -> Energy:
    """Heat in a clutch that brings two free rotors to one speed. Formula: I1 I2 / (I1 + I2) dw^2 / 2.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(clutch_slip_energy_of_two_rotors("2 kg*m^2", "2 kg*m^2", "10 rad/s"), "J", digits=3)
    '50.0 J'
    """
    return inertia * other_inertia / (inertia + other_inertia) * speed_difference**2 / 2


@_formula(source=sources.ARITHMETIC.at("friction on a wedged roller"), result="N")
def roller_clutch_normal_force(torque: Torque, rollers: Ratio, race_radius: Length, wedge_angle: Angle) -> Force:
    """Force that presses each roller or sprag of a one-way clutch on its race. Formula: N = T / (n r tan alpha).

    Parameters
    ----------
    torque : Torque
        greatest that it drives, shocks included.
    rollers : Ratio
        rollers or sprags that carry.
    race_radius : Length
        of the race that is looked at.
    wedge_angle : Angle
        between both contact tangents of a roller; half of it is the angle of friction that is used up.

    Returns
    -------
    Force
        The normal force of one contact.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(roller_clutch_normal_force("400 N*m", 14, "30 mm", "7 deg"), "N", digits=4)
    '15,571 N'
    """
    return torque / (rollers * race_radius * tan(wedge_angle / 2))


@contract
def roller_clutch_wedges(wedge_angle: Angle, friction_coefficient: Ratio) -> bool:
    """Whether a one-way clutch wedges and does not slip: half its wedge angle below the angle of friction.

    >>> roller_clutch_wedges("7 deg", 0.08), roller_clutch_wedges("12 deg", 0.08)
    (True, False)
    """
    return bool(np.tan(wedge_angle / 2) < friction_coefficient)


@dataclass(frozen=True)
class LineContact:
    """Contact of two parallel cylinders, as quantities: half the width of the contact, its greatest pressure, the
    greatest shear stress below it (0.30 of the pressure), and how deep that lies (0.786 of the half width)."""

    half_width: Any
    pressure: Any
    shear_stress: Any
    depth: Any


@contract(valid={"force": ("0 N", None), "length": ("0.01 mm", "10 m"), "radius": _RADIUS,
                 "elastic_modulus": ("1 MPa", None), "poisson_ratio": ("0", "0.5")})  # fmt: skip
def line_contact(
    force: Force,
    length: Length,
    radius: Length,
    other_radius: Length | None,
    elastic_modulus: Stress,
    poisson_ratio: Ratio = "0.29",
    other_elastic_modulus: Stress | None = None,
    other_poisson_ratio: Ratio | None = None,
) -> LineContact:
    """Hertz's line contact of two parallel cylinders: a roller or sprag on its race.

    Parameters
    ----------
    force : Force
        that presses them together, over the whole length.
    length : Length
        of the line of contact.
    radius, other_radius : Length
        of both cylinders; negative for one that surrounds the other (an outer race); None for a flat one.
    elastic_modulus, poisson_ratio : Stress, Ratio
        of the first cylinder.
    other_elastic_modulus, other_poisson_ratio : Stress, Ratio
        of the other one; as the first where left out.

    Returns
    -------
    LineContact
        b = sqrt(4 F R / (pi L E*)), p0 = 2 F / (pi b L), with 1/R = 1/R1 + 1/R2 and
        1/E* = (1 - nu1^2)/E1 + (1 - nu2^2)/E2.

    Raises
    ------
    QuantityError
        the cylinders do not touch along a line from outside (a roller not smaller than the race that surrounds it).

    Notes
    -----
    Elastic, smooth, dry, parallel axes, no friction. Makers of one-way clutches allow pressures that differ by a factor
    of 2.4 (4,200 MPa nominal in one guide; 250,000 psi on another maker's page): judge it only by the figure of the
    clutch's own maker.

    Examples
    --------
    Boresi, example 17.3 (quoted): 24.1 kN on two cylinders of 40 mm radius, 20 mm long, steel.

    >>> from rotorkit.quantities import say
    >>> found = line_contact("24.1 kN", "20 mm", "40 mm", "40 mm", "200 GPa", 0.29)
    >>> say(found.half_width, "mm", digits=6), say(found.pressure, "MPa", digits=6)
    ('0.530136 mm', '1,447.04 MPa')
    """
    curvature = 1 / radius + (0.0 if other_radius is None else 1 / other_radius)
    if np.any(curvature <= 0):
        raise QuantityError(
            "line_contact: a roller must be smaller than the race that surrounds it (radius, other_radius)"
        )
    other_e = elastic_modulus if other_elastic_modulus is None else other_elastic_modulus
    other_nu = poisson_ratio if other_poisson_ratio is None else other_poisson_ratio
    modulus = 1 / ((1 - poisson_ratio**2) / elastic_modulus + (1 - other_nu**2) / other_e)
    half = np.sqrt(4 * force / (np.pi * length * modulus * curvature))
    pressure = 2 * force / (np.pi * half * length)
    return LineContact(
        from_si(half, Length),
        from_si(pressure, Stress),
        from_si(0.30028 * pressure, Stress),
        from_si(0.78615 * half, Length),
    )
