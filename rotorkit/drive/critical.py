"""Critical speeds of simple shafts by closed forms: uniform shafts, one mass, several masses by Dunkerley and Rayleigh.

A quick second opinion beside `rotorkit.drive.whirl`, which takes any shaft. Frequencies of bending and critical speeds
are the same here: the gyroscopic effect of thin shafts and of discs in the middle is left out, unless it is said.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from rotorkit import sources
from rotorkit.formula import formula, pi, sqrt
from rotorkit.formula.contract import contract, si_of
from rotorkit.quantities import (
    Area,
    Force,
    Frequency,
    Length,
    LinearDensity,
    Mass,
    MomentOfInertia,
    QuantityError,
    Ratio,
    RotationRate,
    SecondMomentOfArea,
    Stiffness,
    Stress,
    from_si,
    required_kind,
)
from rotorkit.sources.constants import STANDARD_GRAVITY

_LENGTH = ("0.1 mm", "100 m")
_MODULUS = ("10000 psi", "2000 GPa")
_INCHES = ("in", "mm")
_FREQUENCY, _FORCE, _LEN, _RATE = map(required_kind, (Frequency, Force, Length, RotationRate))
SHAFT_ENDS = ("pinned-pinned", "fixed-fixed", "fixed-pinned", "fixed-free")
"""How a shaft is held at its two ends: in self-aligning bearings (pinned), or so that it cannot slope (fixed)."""
_ROOTS: dict[str, Any] = {
    "pinned-pinned": lambda mode: np.pi * mode,
    "fixed-fixed": (4.730040744862704, 7.853204624095838, 10.995607838001671),
    "fixed-pinned": (3.926602312047919, 7.068582745628732, 10.210176122813031),
    "fixed-free": (1.8751040687119611, 4.694091132974175, 7.854757438237613),
}


def _ends(ends: str, name: str) -> None:
    if ends not in SHAFT_ENDS:
        raise QuantityError(f"{name}: ends must be one of {', '.join(SHAFT_ENDS)}; got {ends!r}")


@formula(source=sources.ARITHMETIC.at("section of a round bar or tube"),
         letters={"outer_diameter": "d", "inner_diameter": "d_i"}, result="I",
         valid={"outer_diameter": ("0.1 mm", "5 m"), "inner_diameter": ("0 mm", "< outer_diameter")},
         shown={"outer_diameter": _INCHES, "inner_diameter": _INCHES})  # fmt: skip
def round_bar_second_moment(outer_diameter: Length, inner_diameter: Length = "0 mm") -> SecondMomentOfArea:
    """Second moment of area of a round bar or tube about a diameter. Formula: pi (d^4 - di^4) / 64.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(round_bar_second_moment("3 in"), "in^4", digits=4)
    '3.976 in⁴'
    """
    return pi / 64 * (outer_diameter**4 - inner_diameter**4)


@formula(source=sources.VIBRATION.at("one mass on a spring"), letters={"stiffness": "k", "mass": "m"}, result="f",
         valid={"mass": ("1e-6 kg", None), "stiffness": ("0 N/m", None)})  # fmt: skip
def vibration_frequency(stiffness: Stiffness, mass: Mass) -> Frequency:
    """Frequency of a mass on a spring. Formula: f = sqrt(k / m) / (2 pi).

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(vibration_frequency("1000 N/m", "1 kg"), "Hz", digits=4)
    '5.033 Hz'
    """
    return sqrt(stiffness / mass) / (2 * pi)


@formula(source=sources.ARITHMETIC.at("two bars side by side from one load to two walls"),
         letters={"elastic_modulus": "E", "area": "A", "first_length": "a", "other_length": "b"}, result="k",
         valid={"elastic_modulus": _MODULUS, "first_length": _LENGTH, "other_length": _LENGTH},
         shown={"first_length": _INCHES, "other_length": _INCHES, "area": ("in^2", "mm^2")})  # fmt: skip
def axial_stiffness_between_ends(
    elastic_modulus: Stress, area: Area, first_length: Length, other_length: Length
) -> Stiffness:
    """Stiffness along a shaft held at both ends, at a place between. Formula: k = E A (1/a + 1/b).

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(axial_stiffness_between_ends("200 GPa", "1963.5 mm^2", "0.9 m", "0.6 m"), "N/mm", digits=4)
    '1,090,833 N/mm'
    """
    return elastic_modulus * area * (1 / first_length + 1 / other_length)


@contract
def stiffness_at_load(
    elastic_modulus: Stress, second_moment: SecondMomentOfArea, length: Length, place: Length, ends: str
) -> Stiffness:
    """Bending stiffness of a uniform shaft at a place along it: force there over deflection there.

    Parameters
    ----------
    elastic_modulus : Stress
        of the shaft.
    second_moment : SecondMomentOfArea
        of its section (`round_bar_second_moment`).
    length : Length
        between the ends; of a cantilever ("fixed-free") the whole overhang.
    place : Length
        of the load, from the first end; that of "fixed-pinned" and "fixed-free" is the fixed one.
    ends : str
        one of `SHAFT_ENDS`.

    Returns
    -------
    Stiffness
        3 E I L/(a^2 b^2) pinned at both ends; 3 E I L^3/(a^3 b^3) fixed at both; 12 E I L^3/(a^3 b^2 (3 L + b)) fixed
        at the first and pinned at the other; 3 E I/a^3 for the cantilever. b = L - a.

    Notes
    -----
    Bernoulli-Euler bending; beam tables in any text on strength of materials.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> found = stiffness_at_load("200 GPa", "636173 mm^4", "0.9 m", "0.3 m", "pinned-pinned")
    >>> say(found, "N/mm", digits=5)
    '10,603 N/mm'
    """
    _ends(ends, "stiffness_at_load")
    a, b, rigidity = place, length - place, elastic_modulus * second_moment
    if np.any(a <= 0) or np.any(b < 0) or (np.any(b <= 0) and ends != "fixed-free"):
        raise QuantityError("stiffness_at_load: place must lie between the ends of the shaft")
    if ends == "pinned-pinned":
        return 3 * rigidity * length / (a**2 * b**2)
    if ends == "fixed-fixed":
        return 3 * rigidity * length**3 / (a**3 * b**3)
    if ends == "fixed-pinned":
        return 12 * rigidity * length**3 / (a**3 * b**2 * (3 * length + b))
    return 3 * rigidity / a**3


@contract
def uniform_shaft_frequency(
    elastic_modulus: Stress,
    second_moment: SecondMomentOfArea,
    linear_density: LinearDensity,
    length: Length,
    ends: str = "pinned-pinned",
    mode: int = 1,
) -> Frequency:
    """Bending frequency of a uniform shaft by its own mass: times 60 its critical speed in rpm.

    Parameters
    ----------
    elastic_modulus : Stress
        of the shaft.
    second_moment : SecondMomentOfArea
        of its section.
    linear_density : LinearDensity
        mass per length.
    length : Length
        between the ends.
    ends : str
        one of `SHAFT_ENDS`.
    mode : int
        1 for the first, and so on; up to 3 where the ends are not both pinned.

    Returns
    -------
    Frequency
        (x^2 / (2 pi)) sqrt(E I / (m L^4)), x = n pi for pinned ends.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> found = uniform_shaft_frequency("29e6 psi", "0.075582 in^4", "0.0829295 lb/in", "60 in")
    >>> say(found, "cpm", digits=5)
    '2,644.6 1/min'
    """
    _ends(ends, "uniform_shaft_frequency")
    roots = _ROOTS[ends]
    if mode < 1 or (not callable(roots) and mode > len(roots)):
        raise QuantityError(f"uniform_shaft_frequency: mode must be 1 or more (to 3 unless pinned), got {mode}")
    root = roots(mode) if callable(roots) else roots[mode - 1]
    return root**2 / (2 * np.pi) * np.sqrt(elastic_modulus * second_moment / (linear_density * length**4))


@formula(source=sources.BEVAN.at("chapter 15: frequency from the static deflection"),
         letters={"deflection": r"\delta", "load_factor": "K"}, result="f",
         valid={"deflection": ("1e-6 mm", "1 m"), "load_factor": ("0.5", "2")},
         shown={"deflection": _INCHES})  # fmt: skip
def critical_speed_from_deflection(deflection: Length, load_factor: Ratio = "1") -> Frequency:
    """Bending frequency of a shaft from how far its load sags it. Formula: f = sqrt(K g / delta) / (2 pi).

    Parameters
    ----------
    deflection : Length
        by the load's own weight: under it for a single load; the greatest for an evenly loaded shaft.
    load_factor : Ratio
        1 for a single load; 1.27 for an evenly loaded shaft on two self-aligning bearings (exact: pi^4 5/384 = 1.268).

    Returns
    -------
    Frequency
        The frequency; times 60 the critical speed in rpm.

    Examples
    --------
    0.0882 in, evenly loaded: 712 a minute. Bevan (chapter 15 example 3, quoted) uses 207/sqrt(inches), which
    is a load factor of 1.216, and prints 697: 2 % below what his case gives exactly.

    >>> from rotorkit.quantities import say
    >>> say(critical_speed_from_deflection("0.0882 in", 1.27), "cpm", digits=3)
    '712 1/min'
    """
    return sqrt(load_factor * STANDARD_GRAVITY / deflection) / (2 * pi)


def _positive(values: Sequence[Any], kind: Any, name: str) -> Any:
    found = np.array([float(si_of(value, kind, name)[0]) for value in values])
    if not len(found) or (found <= 0).any():
        raise QuantityError(f"{name}: needs one figure at least, all above zero; got {list(values)}")
    return found


def dunkerley_frequency(frequencies: Sequence[Any]) -> Any:
    """First frequency of a shaft with several loads, from those with each alone. Formula: 1/f^2 = sum 1/fi^2.

    Parameters
    ----------
    frequencies : sequence of Frequency
        of the shaft with one load at a time, its own mass being a load too.

    Returns
    -------
    Frequency
        Dunkerley's estimate, which is never above the true first frequency.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(dunkerley_frequency(["3 Hz", "4 Hz"]), "Hz", digits=3)
    '2.40 Hz'
    """
    return from_si(float(np.sum(_positive(frequencies, _FREQUENCY, "frequencies") ** -2.0) ** -0.5), _FREQUENCY)


def rayleigh_frequency(weights: Sequence[Any], deflections: Sequence[Any]) -> Any:
    """First frequency of a shaft with several loads, from how far they sag it together.

    Formula: f = sqrt(g sum W y / sum W y^2) / (2 pi).

    Parameters
    ----------
    weights : sequence of Force
        of the loads.
    deflections : sequence of Length
        under each, with all of them on.

    Returns
    -------
    Frequency
        Rayleigh's estimate, which is never below the true first frequency.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(rayleigh_frequency(["10 lbf", "20 lbf"], ["0.01 in", "0.015 in"]), "Hz", digits=4)
    '26.67 Hz'
    """
    loads, sags = _positive(weights, _FORCE, "weights"), _positive(deflections, _LEN, "deflections")
    if len(loads) != len(sags):
        raise QuantityError(f"rayleigh_frequency: needs a deflection for each weight: {len(loads)} and {len(sags)}")
    gravity = float(STANDARD_GRAVITY)
    squared = gravity * np.sum(loads * sags) / np.sum(loads * sags**2)
    return from_si(float(np.sqrt(squared) / (2 * np.pi)), _FREQUENCY)


@formula(source=sources.VIBRATION.at("whirl of an eccentric mass"),
         letters={"eccentricity": "e", "speed": r"\omega", "critical_speed": r"\omega_c"}, result="y",
         valid={"eccentricity": ("0 mm", "100 mm"), "speed": ("0 rpm", "100000 rpm"),
                "critical_speed": ("1 rpm", "200000 rpm")},
         shown={"eccentricity": _INCHES, "result": _INCHES})  # fmt: skip
def deflection_at_speed(eccentricity: Length, speed: RotationRate, critical_speed: RotationRate) -> Length:
    """How far an eccentric mass bows its shaft out, undamped. Formula: y = e / ((omega_c / omega)^2 - 1).

    Parameters
    ----------
    eccentricity : Length
        of the mass's centre from the shaft's axis.
    speed, critical_speed : RotationRate
        at which it turns, and at which it would whirl; they must differ.

    Returns
    -------
    Length
        The deflection; negative above the critical speed, where the heavy side lies inside.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(deflection_at_speed("0.3 mm", "709.6 rpm", "762.33 rpm"), "mm", digits=3)
    '1.95 mm'
    """
    return eccentricity * speed**2 / (critical_speed**2 - speed**2)


@formula(source=sources.DEFINITION.at("margin to a critical speed"),
         letters={"critical_speed": r"\omega_c", "greatest_speed": r"\omega"}, result="M",
         valid={"critical_speed": ("0 rpm", "1000000 rpm"), "greatest_speed": ("1 rpm", "100000 rpm")})  # fmt: skip
def critical_margin(critical_speed: RotationRate, greatest_speed: RotationRate) -> Ratio:
    """Critical speed over greatest speed, less one: negative where the shaft has to run through it.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(critical_margin("4000 rpm", "3200 rpm"), digits=3)
    '0.250'
    """
    return critical_speed / greatest_speed - 1


@dataclass(frozen=True)
class WhirlBand:
    """Speeds between which a shaft bows out by more than is allowed, as quantities."""

    low: Any
    high: Any


@contract
def speeds_for_deflection(critical_speed: RotationRate, eccentricity: Length, deflection: Length) -> WhirlBand:
    """Speeds between which a shaft must not stay: there it bows out by more than `deflection`, undamped.

    Parameters
    ----------
    critical_speed : RotationRate
        of the shaft.
    eccentricity : Length
        of the mass.
    deflection : Length
        that is allowed, by stress or by room; more than the eccentricity.

    Returns
    -------
    WhirlBand
        omega_c sqrt(y/(y + e)) and omega_c sqrt(y/(y - e)).

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> found = speeds_for_deflection("761.656 rpm", "0.3 mm", "1.944 mm")
    >>> say(found.low, "rpm", digits=4), say(found.high, "rpm", digits=4)
    ('708.9 rpm', '828.2 rpm')
    """
    if np.any(deflection <= eccentricity):
        raise QuantityError("speeds_for_deflection: deflection must be more than eccentricity: else no speed is free")
    low = critical_speed * np.sqrt(deflection / (deflection + eccentricity))
    high = critical_speed * np.sqrt(deflection / (deflection - eccentricity))
    return WhirlBand(from_si(low, _RATE), from_si(high, _RATE))


@contract(valid={"elastic_modulus": ("1 kPa", None), "second_moment": ("1e-6 mm^4", None),
                 "length": ("0.1 mm", "100 m"), "mass": ("1e-6 kg", None),
                 "diametral_inertia": ("0 kg*m^2", None), "polar_inertia": ("0 kg*m^2", None)})  # fmt: skip
def critical_speed_of_overhung_disc(
    elastic_modulus: Stress,
    second_moment: SecondMomentOfArea,
    length: Length,
    mass: Mass,
    diametral_inertia: MomentOfInertia,
    polar_inertia: MomentOfInertia,
) -> RotationRate:
    """First forward critical speed of a disc at the free end of a massless cantilever, with its gyroscopic effect.

    Parameters
    ----------
    elastic_modulus : Stress
        of the shaft.
    second_moment : SecondMomentOfArea
        of its section.
    length : Length
        of the overhang.
    mass : Mass
        of the disc.
    diametral_inertia, polar_inertia : MomentOfInertia
        about a diameter and about the shaft; of a thin disc the second is twice the first.

    Returns
    -------
    RotationRate
        The critical speed. A thin disc's is above the frequency at rest: the gyroscopic effect stiffens it.

    Notes
    -----
    Synchronous forward whirl: force m w^2 y, moment -(Ip - Id) w^2 theta on the flexibilities of the cantilever.
    Derived from first principles.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> found = critical_speed_of_overhung_disc("30e6 psi", "3.97608 in^4", "36 in", "672 lb", "0 lb*in^2", "0 lb*in^2")
    >>> say(found, "rpm", digits=4)
    '633.9 rpm'
    """
    if polar_inertia > 2 * diametral_inertia * (1 + 1e-9):
        raise QuantityError(
            "critical_speed_of_overhung_disc: polar_inertia must be at most twice diametral_inertia, as of a thin disc"
        )
    rigidity = elastic_modulus * second_moment
    flexibility = np.array(
        [[length**3 / (3 * rigidity), length**2 / (2 * rigidity)], [length**2 / (2 * rigidity), length / rigidity]]
    )
    loads = np.diag([mass, diametral_inertia - polar_inertia])
    values = np.linalg.eigvals(flexibility @ loads).real
    return float(values[values > 1e-18 * abs(values).max()].max() ** -0.5)
