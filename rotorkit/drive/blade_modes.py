"""Modes of a rotating blade: a beam that its own centrifugal pull stiffens, in flap and in lag.

The blade lies along its span from the root (hinge or hub attachment) at `hub_radius` from the shaft's axis. Flap is out
of the plane of rotation, lag within it; there the pull acts towards the axis and not along the blade's rest line, so
that the square of the rotor speed comes off again. No twist, no coupling of flap and lag, no air.

>>> blade = rotating_blade([BladeSection("4 m", "5 kg/m", "9000 N*m^2")], hub_radius="0.1 m")
>>> [round(float(one), 2) for one in blade.frequencies("400 rpm", 2).magnitude]
[45.63, 122.63]
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

import numpy as np

from rotorkit import sources
from rotorkit.formula import formula, sqrt
from rotorkit.formula.contract import si_of
from rotorkit.quantities import (
    BendingStiffness,
    Kind,
    Length,
    LinearDensity,
    Mass,
    QuantityError,
    Ratio,
    RotationRate,
    TorsionalStiffness,
    from_si,
    required_kind,
)

__all__ = [
    "BladeSection",
    "RotatingBlade",
    "Southwell",
    "hinged_flap_frequency_ratio",
    "hinged_lag_frequency_ratio",
    "rotating_blade",
    "southwell_frequency",
]

_RATE = required_kind(RotationRate)


@dataclass(frozen=True)
class BladeSection:
    """A piece of blade, from the root outwards: its length, mass per length and bending stiffness E I (in the direction
    that is looked at: flap or lag)."""

    length: Any
    linear_density: Any
    bending_stiffness: Any


@dataclass(frozen=True)
class Southwell:
    """How rotation raises one mode's frequency: w^2 = rest^2 + (K0 + K1 e / L) speed^2, in flap.

    rest: frequency at rest, a rotation rate. K0, K1: plain numbers; e the root's offset, L the blade's length from it.
    """

    rest: Any
    K0: float
    K1: float


@dataclass(frozen=True)
class RotatingBlade:
    """A blade in matrices, bare SI arrays over the free coordinates; made by `rotating_blade`. The centrifugal matrices
    are for 1 rad/s: one with no offset of the root, one for a metre of it."""

    mass: Any
    bending: Any
    centrifugal: Any
    per_offset: Any
    offset: float
    length: float

    def frequencies(self, rotor_speed: Any, modes: int = 3, direction: str = "flap") -> Any:
        """Natural frequencies at one rotor speed, or at many in one call.

        Parameters
        ----------
        rotor_speed : RotationRate
            one, or an array.
        modes : int
            how many of the slowest.
        direction : str
            "flap" or "lag".

        Returns
        -------
        RotationRate
            rad/s, ascending; shape (modes,) or (speeds, modes).
        """
        if direction not in ("flap", "lag"):
            raise QuantityError(f"frequencies: direction must be flap or lag, got {direction!r}")
        if not 1 <= modes <= len(self.mass):
            raise QuantityError(f"frequencies: modes must be from 1 to {len(self.mass)}, got {modes}")
        speeds = np.asarray(si_of(rotor_speed, _RATE, "rotor_speed")[0], dtype=float)
        pull = self.centrifugal + self.offset * self.per_offset - (self.mass if direction == "lag" else 0)
        factor = np.linalg.inv(np.linalg.cholesky(self.mass))
        bending, turning = factor @ self.bending @ factor.T, factor @ pull @ factor.T
        squared = np.linalg.eigvalsh(bending + speeds[..., None, None] ** 2 * turning)[..., :modes]
        return from_si(np.sqrt(np.maximum(squared, 0.0)), _RATE)

    def southwell(self, modes: int = 3) -> tuple[Southwell, ...]:
        """Southwell's coefficients of the slowest modes in flap, by their shapes at rest (Rayleigh): close for small
        rotor speeds, and above the true frequency of the first mode for all."""
        from scipy.linalg import eigh

        squared, shapes = eigh(self.bending, self.mass, subset_by_index=(0, modes - 1))
        found = []
        for value, shape in zip(squared, shapes.T, strict=True):
            found.append(
                Southwell(
                    from_si(float(np.sqrt(max(value, 0.0))), _RATE),
                    float(shape @ self.centrifugal @ shape),
                    float(shape @ self.per_offset @ shape) * self.length,
                )
            )
        return tuple(found)


@lru_cache(maxsize=1)
def _gauss() -> tuple[Any, Any]:
    """Points and weights that integrate the pull over an element exactly."""
    return np.polynomial.legendre.leggauss(5)


def _si(value: Any, kind: Any, label: str, least: float) -> float:
    wanted: Kind = required_kind(kind)
    found = float(si_of(value, wanted, label)[0])
    if not found >= least:
        raise QuantityError(f"rotating_blade: {label} must be at least {least:g} in SI units, got {value}")
    return found


def rotating_blade(
    sections: Sequence[BladeSection],
    hub_radius: Any = "0 m",
    root: str = "fixed",
    root_spring: Any = None,
    tip_mass: Any = "0 kg",
    elements: int = 60,
) -> RotatingBlade:
    """A blade from its sections.

    Parameters
    ----------
    sections : sequence of BladeSection
        from the root outwards.
    hub_radius : Length
        of the root (hinge or clamp) from the shaft's axis.
    root : str
        "fixed" (built in) or "hinged".
    root_spring : TorsionalStiffness or None
        at the hinge.
    tip_mass : Mass
        at the tip.
    elements : int
        into how many pieces to divide the blade; steps between sections are kept.

    Returns
    -------
    RotatingBlade
        whose `frequencies` and `southwell` give the figures.

    Notes
    -----
    Bernoulli-Euler beam elements with the pull integrated exactly (derived from first principles); checked against a
    Ritz solution, Southwell's coefficients and the hanging chain.
    """
    if root not in ("fixed", "hinged"):
        raise QuantityError(f"rotating_blade: root must be fixed or hinged, got {root!r}")
    if root_spring is not None and root != "hinged":
        raise QuantityError("rotating_blade: root_spring belongs to a hinged root")
    if not sections:
        raise QuantityError("rotating_blade: needs one section at least")
    offset = _si(hub_radius, Length, "hub_radius", 0)
    tip = _si(tip_mass, Mass, "tip_mass", 0)
    lengths = [_si(one.length, Length, "length", 1e-4) for one in sections]
    masses = [_si(one.linear_density, LinearDensity, "linear_density", 1e-9) for one in sections]
    rigidities = [_si(one.bending_stiffness, BendingStiffness, "bending_stiffness", 0) for one in sections]
    whole = sum(lengths)
    places, per_element = [0.0], []
    for length, *figures in zip(lengths, masses, rigidities, strict=True):
        number = max(1, round(elements * length / whole))
        root_end = places[-1]
        places += [root_end + length * (k + 1) / number for k in range(number)]
        per_element += [figures] * number
    start, end = np.array(places[:-1]), np.array(places[1:])
    h, (m, rigidity) = end - start, np.array(per_element).T
    # what lies outside each element: its mass, and mass times place
    outer_mass = tip + np.append(np.cumsum((m * h)[:0:-1])[::-1], 0.0)
    outer_moment = tip * whole + np.append(np.cumsum((m * (end**2 - start**2) / 2)[:0:-1])[::-1], 0.0)
    one = np.ones_like(h)
    inertia = (m * h / 420) * np.array(
        [[156 * one, 22 * h, 54 * one, -13 * h], [22 * h, 4 * h**2, 13 * h, -3 * h**2],
         [54 * one, 13 * h, 156 * one, -22 * h], [-13 * h, -3 * h**2, -22 * h, 4 * h**2]]
    )  # fmt: skip
    stiff = (rigidity / h**3) * np.array(
        [[12 * one, 6 * h, -12 * one, 6 * h], [6 * h, 4 * h**2, -6 * h, 2 * h**2],
         [-12 * one, -6 * h, 12 * one, -6 * h], [6 * h, 2 * h**2, -6 * h, 4 * h**2]]
    )  # fmt: skip
    points, weights = _gauss()
    s = ((points + 1) / 2)[:, None]
    slopes = np.stack(
        [(-6 * s + 6 * s**2) / h, (1 - 4 * s + 3 * s**2) * one, (6 * s - 6 * s**2) / h, (-2 * s + 3 * s**2) * one]
    )
    x = start + s * h
    share = weights[:, None] * h / 2
    pulls = share * (outer_moment + m * (end**2 - x**2) / 2), share * (outer_mass + m * (end - x))
    plain_of, offset_of = (np.einsum("ipe,jpe,pe->ije", slopes, slopes, one_pull) for one_pull in pulls)
    count = 2 * len(places)
    at = 2 * np.arange(len(h)) + np.arange(4)[:, None]
    found = []
    for of_elements in (inertia, stiff, plain_of, offset_of):
        matrix = np.zeros((count, count))
        np.add.at(matrix, (at[:, None, :], at[None, :, :]), of_elements)
        found.append(matrix)
    mass, bending, plain, per_offset = found
    mass[-2, -2] += tip
    if root_spring is not None:
        bending[1, 1] += _si(root_spring, TorsionalStiffness, "root_spring", 0)
    free = slice(1, None) if root == "hinged" else slice(2, None)
    return RotatingBlade(
        mass[free, free], bending[free, free], plain[free, free], per_offset[free, free], offset, float(whole)
    )


_OFFSET = {"offset_ratio": "e"}


@formula(source=sources.VIBRATION.at("rigid blade on a flapping hinge"), letters=_OFFSET, result=r"\nu",
         valid={"offset_ratio": ("0", "0.5")})  # fmt: skip
def hinged_flap_frequency_ratio(offset_ratio: Ratio) -> Ratio:
    """Flapping frequency of a rigid even blade on its hinge, over rotor speed. Formula: sqrt(1 + 1.5 e / (1 - e)).

    Parameters
    ----------
    offset_ratio : Ratio
        hinge offset over rotor radius.

    Returns
    -------
    Ratio
        Flaps per turn.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(hinged_flap_frequency_ratio(0.05), digits=6)
    '1.03872'
    """
    return sqrt(1 + 1.5 * offset_ratio / (1 - offset_ratio))


@formula(source=sources.VIBRATION.at("rigid blade on a lag hinge"), letters=_OFFSET, result=r"\nu_\zeta",
         valid={"offset_ratio": ("0", "0.5")})  # fmt: skip
def hinged_lag_frequency_ratio(offset_ratio: Ratio) -> Ratio:
    """Lag frequency of a rigid even blade on a hinge without spring, over rotor speed. Formula: sqrt(1.5 e / (1 - e)).

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(hinged_lag_frequency_ratio(0.05), digits=4)
    '0.2810'
    """
    return sqrt(1.5 * offset_ratio / (1 - offset_ratio))


@formula(source=sources.VIBRATION.at("Southwell's estimate of a rotating blade"),
         letters={"rest_frequency": r"\omega_0", "rotor_speed": r"\Omega", "plain_coefficient": "K_0",
                  "offset_coefficient": "K_1", "offset_ratio": "e"}, result=r"\omega",
         valid={"rest_frequency": ("0 rpm", None), "rotor_speed": ("0 rpm", "20000 rpm"),
                "plain_coefficient": ("-1", "1000"), "offset_coefficient": ("0", "1000"),
                "offset_ratio": ("0", "1")})  # fmt: skip
def southwell_frequency(
    rest_frequency: RotationRate,
    rotor_speed: RotationRate,
    plain_coefficient: Ratio = "1.193",
    offset_coefficient: Ratio = "1.571",
    offset_ratio: Ratio = "0",
) -> RotationRate:
    """Frequency of a blade's flap mode at a rotor speed. Formula: sqrt(w0^2 + (K0 + K1 e/L) Omega^2).

    Parameters
    ----------
    rest_frequency : RotationRate
        at rest.
    rotor_speed : RotationRate
        of the rotor.
    plain_coefficient, offset_coefficient : Ratio
        Southwell's; 1.193 and 1.571 for the first mode of an even blade built in at its root, 6.478 and 8.647 for the
        second. In lag take 1 off the first.
    offset_ratio : Ratio
        root's distance from the axis over the blade's length.

    Returns
    -------
    RotationRate
        The frequency as rad/s: an estimate from above for the first mode.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(southwell_frequency("3.51602 rad/s", "5 rad/s", 1.19334), "rad/s", digits=5)
    '6.4958 rad/s'
    """
    return sqrt(rest_frequency**2 + (plain_coefficient + offset_coefficient * offset_ratio) * rotor_speed**2)
