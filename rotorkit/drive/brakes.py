"""Rotor brakes: the energy they take up, the heat it makes, the time a stop takes, and what holds a band or a shoe.

Energies, torques and temperature rises are positive as the brake takes them up.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from rotorkit import sources
from rotorkit.formula import exp, formula, sin, sqrt
from rotorkit.formula.contract import contract
from rotorkit.quantities import (
    Acceleration,
    Angle,
    Energy,
    Force,
    Length,
    Mass,
    MomentOfInertia,
    Power,
    QuantityError,
    Ratio,
    RotationRate,
    SpecificHeat,
    Speed,
    TemperatureDifference,
    Time,
    Torque,
    from_si,
)

_BRAKE = sources.MACHINE_DESIGN
_MU = ("0", "2")
_ARM = ("0.1 mm", "10 m")
_INCHES = ("in", "mm")


@formula(source=sources.DEFINITION.at("energy of motion"), letters={"mass": "m", "speed": "v"}, result="E",
         valid={"speed": ("0 m/s", "300 m/s")}, shown={"result": ("lbf*ft", "J")})  # fmt: skip
def kinetic_energy(mass: Mass, speed: Speed) -> Energy:
    """Energy of a mass that moves. Formula: E = m v^2 / 2.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(kinetic_energy("2 kg", "10 m/s"), "J", digits=3)
    '100 J'
    """
    return mass * speed**2 / 2


@formula(source=sources.DEFINITION.at("energy of rotation"),
         letters={"inertia": "I", "speed": r"\omega", "final_speed": r"\omega_2"}, result="E",
         valid={"speed": ("0 rpm", "100000 rpm"), "final_speed": ("0 rpm", "100000 rpm")},
         shown={"result": ("ft*lbf", "kJ")})  # fmt: skip
def brake_energy(inertia: MomentOfInertia, speed: RotationRate, final_speed: RotationRate = "0 rpm") -> Energy:
    """Energy that a brake takes as it slows a rotor down. Formula: E = I (omega^2 - omega2^2) / 2.

    Parameters
    ----------
    inertia : MomentOfInertia
        of all that turns with the rotor, reduced to its speed (`referred_inertia`).
    speed, final_speed : RotationRate
        at which the brake is put on, and down to which it brakes.

    Returns
    -------
    Energy
        The energy, less what the air takes, which errs on the safe side.

    Examples
    --------
    300 kg m2 from 120 rpm: 300 x 12.566^2 / 2 = 23.69 kJ.

    >>> from rotorkit.quantities import say
    >>> say(brake_energy("300 kg*m^2", "120 rpm"), "kJ", digits=4)
    '23.69 kJ'
    """
    return inertia * (speed**2 - final_speed**2) / 2


@formula(source=sources.DEFINITION.at("heat capacity"), letters={"energy": "E", "mass": "m", "specific_heat": "c"},
         result=r"\Delta T", valid={"mass": ("1 g", None), "specific_heat": ("100 J/(kg*K)", "5000 J/(kg*K)")},
         shown={"energy": ("ft*lbf", "kJ")})  # fmt: skip
def brake_temperature_rise(energy: Energy, mass: Mass, specific_heat: SpecificHeat) -> TemperatureDifference:
    """How much hotter a disc or drum gets that takes `energy` and gives none of it off. Formula: E / (m c).

    Parameters
    ----------
    energy : Energy
        taken in one stop.
    mass : Mass
        of what gets warm: disc or drums.
    specific_heat : SpecificHeat
        460 to 500 J/(kg K) for iron and steel (handbook figure, from memory).

    Returns
    -------
    TemperatureDifference
        The mean rise; the rubbed face itself gets hotter for a moment.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(brake_temperature_rise("23.69 kJ", "1.2 kg", "480 J/(kg*K)"), "degC", digits=3)
    '41.1 °C'
    """
    return energy / (mass * specific_heat)


@formula(source=sources.ARITHMETIC.at("even deceleration"), letters={"speed": "v", "deceleration": "a"}, result="t",
         valid={"deceleration": ("0.001 m/s^2", None), "speed": ("0 m/s", "300 m/s")})  # fmt: skip
def stopping_time(speed: Speed, deceleration: Acceleration) -> Time:
    """Time in which `speed` is taken off at an even deceleration. Formula: t = v / a.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(stopping_time("73 ft/s", "20 ft/s^2"), "s", digits=3)
    '3.65 s'
    """
    return speed / deceleration


@formula(source=sources.ARITHMETIC.at("torque over inertia"),
         letters={"inertia": "I", "speed": r"\omega", "torque": "T"}, result="t",
         valid={"torque": ("0.001 N*m", None), "speed": ("0 rpm", "100000 rpm")})  # fmt: skip
def rotor_stopping_time(inertia: MomentOfInertia, speed: RotationRate, torque: Torque) -> Time:
    """Time in which a brake's torque stops a rotor, without the air's help. Formula: t = I omega / T.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(rotor_stopping_time("300 kg*m^2", "120 rpm", "200 N*m"), "s", digits=4)
    '18.85 s'
    """
    return inertia * speed / torque


@formula(source=sources.DEFINITION.at("mean power"), letters={"energy": "E", "time": "t"}, result="P_m",
         valid={"time": ("0.001 s", None)}, shown={"energy": ("ft*lbf", "kJ")})  # fmt: skip
def brake_power(energy: Energy, time: Time) -> Power:
    """Mean power that a brake turns into heat over a stop; at even torque it begins with twice that.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(brake_power("23.69 kJ", "18.85 s"), "kW", digits=4)
    '1.257 kW'
    """
    return energy / time


@formula(source=sources.ARITHMETIC.at("inverse of the energy of rotation"), letters={"energy": "E", "inertia": "I"},
         result=r"\omega", valid={"inertia": ("1e-6 kg*m^2", None), "energy": ("0 J", None)},
         shown={"energy": ("ft*lbf", "kJ")})  # fmt: skip
def rotor_speed_for_brake_energy(energy: Energy, inertia: MomentOfInertia) -> RotationRate:
    """Rotor speed from which a stop costs just `energy`: above it the brake must stay off.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(rotor_speed_for_brake_energy("23.69 kJ", "300 kg*m^2"), "rpm", digits=3)
    '120 rpm'
    """
    return sqrt(2 * energy / inertia)


@formula(source=sources.CAPSTAN.at("band on a drum"), letters={"friction_coefficient": r"\mu", "wrap": r"\theta"},
         result="k", valid={"friction_coefficient": _MU, "wrap": ("1 deg", "3600 deg")})  # fmt: skip
def band_tension_ratio(friction_coefficient: Ratio, wrap: Angle) -> Ratio:
    """Tension of a brake band's tight end over that of its slack end. Formula: k = exp(mu theta).

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(band_tension_ratio(0.3, "270 deg"), digits=4)
    '4.111'
    """
    return exp(friction_coefficient * wrap)


@contract
def band_and_block_tension_ratio(friction_coefficient: Ratio, half_angle: Angle, blocks: Ratio) -> Ratio:
    """Tight over slack end of a band lined with blocks. Formula: ((1 + mu tan a) / (1 - mu tan a))^n.

    Parameters
    ----------
    friction_coefficient : Ratio
        between blocks and drum.
    half_angle : Angle
        half the angle over which one block lies on the drum.
    blocks : Ratio
        their number.

    Returns
    -------
    Ratio
        The ratio.

    Raises
    ------
    QuantityError
        mu tan a is 1 or more: the brake grips by itself.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(band_and_block_tension_ratio(0.28, "10 deg", 12), digits=4)
    '3.274'
    """
    grip = friction_coefficient * np.tan(half_angle)
    if np.any(grip >= 1):
        raise QuantityError("band_and_block_tension_ratio: friction_coefficient x tan(half_angle) must be below 1")
    return ((1 + grip) / (1 - grip)) ** blocks


@dataclass(frozen=True)
class BandTensions:
    """Both ends of a brake band, as forces."""

    tight: Any
    slack: Any


@contract
def band_brake_tensions(torque: Torque, drum_radius: Length, tension_ratio: Ratio) -> BandTensions:
    """Tensions of a brake band that gives a torque: T1 - T2 = T / r, T1 / T2 = k.

    Parameters
    ----------
    torque : Torque
        of the brake.
    drum_radius : Length
        on which the band lies.
    tension_ratio : Ratio
        by `band_tension_ratio` or `band_and_block_tension_ratio`.

    Returns
    -------
    BandTensions
        Tight and slack end.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> found = band_brake_tensions("4000 lbf*ft", "15 in", 3.2737)
    >>> say(found.tight, "lbf", digits=4), say(found.slack, "lbf", digits=4)
    ('4,607 lbf', '1,407 lbf')
    """
    if np.any(tension_ratio <= 1):
        raise QuantityError("band_brake_tensions: tension_ratio must be above 1")
    slack = torque / drum_radius / (tension_ratio - 1)
    return BandTensions(from_si(slack * tension_ratio, Force), from_si(slack, Force))


@contract
def band_brake_force(
    torque: Torque,
    drum_radius: Length,
    tension_ratio: Ratio,
    lever_arm: Length,
    slack_arm: Length,
    tight_arm: Length = "0 in",
) -> Force:
    """Force at the lever of a band brake. Formula: P = (T2 a2 + T1 a1) / l.

    Parameters
    ----------
    torque, drum_radius, tension_ratio : Torque, Length, Ratio
        as in `band_brake_tensions`.
    lever_arm : Length
        of the force, from the pivot.
    slack_arm, tight_arm : Length
        of the two ends' pins from the pivot; positive where that end pulls against the force, negative where it helps
        (differential brake); 0 where it is held at the pivot.

    Returns
    -------
    Force
        The force; zero or less: the brake grips by itself, which no rotor brake may.

    Examples
    --------
    Bevan, chapter 8 example 5 (quoted): 82.2 lbf.

    >>> from rotorkit.quantities import say
    >>> ratio = band_and_block_tension_ratio(0.28, "10 deg", 12)
    >>> say(band_brake_force("4000 lbf*ft", "15 in", ratio, "21 in", "4.5 in", "-1 in"), "lbf", digits=3)
    '82.2 lbf'
    """
    if np.any(tension_ratio <= 1):
        raise QuantityError("band_brake_force: tension_ratio must be above 1")
    slack = torque / drum_radius / (tension_ratio - 1)
    return (slack * slack_arm + slack * tension_ratio * tight_arm) / lever_arm


@contract
def band_lever_tensions(
    force: Force, lever_arm: Length, slack_arm: Length, tight_arm: Length, tension_ratio: Ratio
) -> BandTensions:
    """Tensions of a band by the force at its lever, arms as in `band_brake_force`.

    Examples
    --------
    Levinson, example 6.6 (quoted): 20 lbf at 42 in, ends at 18 and 6 in, 0.6 over half a turn.

    >>> from rotorkit.quantities import say
    >>> found = band_lever_tensions("20 lbf", "42 in", "6 in", "18 in", band_tension_ratio(0.6, "180 deg"))
    >>> say(found.tight, "lbf", digits=4), say(found.slack, "lbf", digits=4)
    ('44.42 lbf', '6.744 lbf')
    """
    slack = force * lever_arm / (slack_arm + tension_ratio * tight_arm)
    if np.any(slack <= 0):
        raise QuantityError("band_lever_tensions: with these arms the band grips by itself, whatever the force")
    return BandTensions(from_si(slack * tension_ratio, Force), from_si(slack, Force))


@formula(source=_BRAKE.at("pads at a mean radius"),
         letters={"friction_coefficient": r"\mu", "pad_force": "F", "radius": "r", "faces": "n"}, result="T",
         valid={"friction_coefficient": _MU, "pad_force": ("0 N", None), "radius": _ARM, "faces": ("1", "20")},
         shown={"radius": _INCHES})  # fmt: skip
def disc_brake_torque(friction_coefficient: Ratio, pad_force: Force, radius: Length, faces: Ratio = "2") -> Torque:
    """Torque of a disc brake. Formula: T = n mu F r.

    Parameters
    ----------
    friction_coefficient : Ratio
        of the pads.
    pad_force : Force
        of one pad on the disc.
    radius : Length
        from the axis to the middle of the pads.
    faces : Ratio
        pads that rub: 2 for one caliper.

    Returns
    -------
    Torque
        The torque.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(disc_brake_torque(0.35, "1000 N", "0.12 m"), "N*m", digits=3)
    '84.0 N·m'
    """
    return faces * friction_coefficient * pad_force * radius


@formula(source=_BRAKE.at("long block that pivots: equivalent friction"),
         letters={"friction_coefficient": r"\mu", "half_angle": r"\theta"}, result=r"\mu'",
         valid={"friction_coefficient": _MU, "half_angle": ("1 deg", "90 deg")})  # fmt: skip
def block_friction_coefficient(friction_coefficient: Ratio, half_angle: Angle) -> Ratio:
    """Friction coefficient to use for a long pivoted block. Formula: 4 mu sin t / (2 t + sin 2 t).

    Parameters
    ----------
    friction_coefficient : Ratio
        of the lining.
    half_angle : Angle
        half the angle over which the block lies on the drum; below 30 degrees it makes little difference.

    Returns
    -------
    Ratio
        The equivalent coefficient.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(block_friction_coefficient(0.3, "45 deg"), digits=4)
    '0.3301'
    """
    return 4 * friction_coefficient * sin(half_angle) / (2 * half_angle + sin(2 * half_angle))


@contract(valid={"drum_radius": _ARM, "friction_coefficient": ("0.001", "2"), "lever_arm": _ARM, "shoe_arm": _ARM})
def shoe_brake_force(
    torque: Torque,
    drum_radius: Length,
    friction_coefficient: Ratio,
    lever_arm: Length,
    shoe_arm: Length,
    offset: Length = "0 in",
) -> Force:
    """Force at the lever of a single-block brake. Formula: P = N (x + mu a) / l, N = T / (mu r).

    Parameters
    ----------
    torque, drum_radius : Torque, Length
        of the brake.
    friction_coefficient : Ratio
        of the lining; of a long block the equivalent one (`block_friction_coefficient`).
    lever_arm, shoe_arm : Length
        of the force and of the block's normal force, from the pivot.
    offset : Length
        of the line of friction from the pivot: positive where friction presses the block off the drum, negative where
        it draws it on.

    Returns
    -------
    Force
        The force; zero or less: the block grips by itself.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(shoe_brake_force("100 N*m", "0.2 m", 0.35, "0.9 m", "0.4 m", "-50 mm"), "N", digits=4)
    '607.1 N'
    """
    normal = torque / (friction_coefficient * drum_radius)
    return normal * (shoe_arm + friction_coefficient * offset) / lever_arm
