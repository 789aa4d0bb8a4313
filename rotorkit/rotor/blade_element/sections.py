"""Blade sections: lift and drag coefficients by angle of attack, Mach and Reynolds number.

Two ways to say what a section does. `LinearSection`: a lift slope, a drag polar, a greatest lift coefficient; quick,
and good as long as the flow is attached. `SectionTable` (`rotorkit.rotor.blade_element.section_table`): measured
figures by angle, and if there are some by Mach and Reynolds number. Angles are in radians inside, nose up positive;
lift is square to the flow that the section meets, drag along it.

Where a section is stalled, or its figures had to be stretched beyond the table or the theory, it says so: a stalled
blade's power is far less certain than its thrust.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any, Protocol

import numpy as np

from rotorkit.formula.contract import si_of
from rotorkit.quantities import Angle, QuantityError, kind_of

HIGHEST_MACH = 0.8
"""Prandtl and Glauert's rule runs away near the speed of sound; above this Mach number the lift slope is held, and the
section says that it was stretched."""
DRAG_DIVERGENCE_FACTOR = 0.87
"""Korn's technology factor of sections that are not supercritical (`sources.LOCK_KORN`, quoted)."""
STALL_WIDTH = np.radians(10.0)
"""How far past the stall a `LinearSection` has become a flat plate: common practice (no source)."""

_ANGLE: Any = kind_of(Angle)
_DIVERGENCE_TO_CRITICAL = (0.1 / 80) ** (1 / 3)


class SectionAt(Protocol):
    """A section at the Mach and Reynolds numbers that it meets: angles in rad, broadcast against those numbers."""

    zero_lift: Any
    """The angle of attack without lift, rad."""

    def coefficients(self, angle: Any) -> tuple[Any, Any]:
        """Lift and drag coefficient."""

    def stalled(self, angle: Any) -> Any:
        """Where the section is stalled (booleans)."""

    def stretched(self, angle: Any) -> Any:
        """Where the figures lie outside the section's data (booleans)."""


class Section(Protocol):
    """What the blade-element solver asks of a section."""

    @property
    def uses_reynolds(self) -> bool:
        """Whether the Reynolds number matters."""

    @property
    def source(self) -> str:
        """Where the figures come from, in words."""

    def at(self, mach: Any, reynolds: Any) -> SectionAt:
        """The section at these Mach and Reynolds numbers (arrays; Reynolds None where it does not use them)."""


def prandtl_glauert_factor(mach: Any) -> Any:
    """How much compressibility steepens the lift curve: 1 / sqrt(1 - M^2), held constant above Mach 0.8.

    Source: Prandtl and Glauert (`sources.PRANDTL_GLAUERT`). Good up to the drag rise, about Mach 0.7.

    Parameters
    ----------
    mach : Any
        Mach number that the section meets (ratio).

    Returns
    -------
    Any
        The factor on the lift slope (ratio).

    Examples
    --------
    >>> round(float(prandtl_glauert_factor(0.6)), 4)
    1.25
    """
    held = np.minimum(mach, HIGHEST_MACH)
    return 1 / np.sqrt(1 - held * held)


def drag_rise(mach: Any, lift_coefficient: Any, thickness_ratio: float, factor: float = DRAG_DIVERGENCE_FACTOR) -> Any:
    """The drag coefficient that shock waves add: Lock's fourth-power law from Korn's critical Mach number.

    Formula: cd = 20 (M - Mcr)^4 above Mcr, none below; Mcr = factor - t/c - |cl| / 10 - (0.1 / 80)^(1/3).

    Source: `sources.LOCK_KORN` (quoted). The last term follows from the two: at the drag-divergence Mach number the
    slope of Lock's law is 0.1.

    Parameters
    ----------
    mach : Any
        Mach number that the section meets (ratio).
    lift_coefficient : Any
        its lift coefficient.
    thickness_ratio : float
        thickness over chord, 0.12 for NACA 0012.
    factor : float
        0.87 for sections that are not supercritical.

    Returns
    -------
    Any
        The added drag coefficient.

    Notes
    -----
    Range of validity: to about 0.1 past the critical Mach number; developed for wings.

    Example: NACA 0012 without lift, Mcr = 0.87 - 0.12 - 0.1077 = 0.6423; at Mach 0.75, 20 x 0.1077^4 = 0.0027.
        >>> round(float(drag_rise(0.75, 0.0, 0.12)), 4)
        0.0027
    """
    over = np.maximum(mach - (factor - thickness_ratio - _DIVERGENCE_TO_CRITICAL) + np.abs(lift_coefficient) / 10, 0.0)
    return 20 * np.square(np.square(over))


def flat_plate(angle: Any) -> tuple[Any, Any]:
    """Lift and drag coefficient of a wholly stalled section: a flat plate's normal force of 2 sin(angle).

    Common practice (no source). angle in rad. Returns cl = sin(2 angle), cd = 2 sin^2(angle).
    """
    sine = np.sin(angle)
    return 2 * sine * np.cos(angle), 2 * sine * sine


@dataclass(frozen=True, eq=False)
class LinearSection:
    """A section with a straight lift curve, a parabolic drag polar and a stall.

    Below the stall cl = a x / sqrt(1 - M^2) and cd = d0 + d1 x + d2 x^2, x the angle of attack less the one without
    lift, with shock drag (`drag_rise`) where the thickness is given. The lift slope grows with Mach number, the
    greatest lift does not, so that fast sections stall at a smaller angle. Past the stall both pass over 10 degrees to
    those of a flat plate (common practice, no source): enough to say that the blade is stalled, not what that costs.

    Parameters
    ----------
    lift_slope : float
        per radian, at low Mach number: 5.7 to 6.1 for real sections, 2 pi in theory.
    drag : tuple[float, float, float]
        d0, d1, d2, with angles in radians.
    greatest_lift : float
        lift coefficient at the stall. It falls with Mach and Reynolds number: take it for the blade tip.
    zero_lift_angle : Any
        angle of attack without lift (angle); 0 for a symmetrical section, negative for a cambered one.
    thickness_ratio : float | None
        thickness over chord; None leaves shock drag out.
    compressible : bool
        False leaves the lift slope as it is at all Mach numbers.
    source : str
        where the figures come from, in words; told with every result.

    Raises
    ------
    QuantityError
        a figure is not credible; the message names it.

    Notes
    -----
    Range of validity: one Reynolds number, Mach numbers up to the drag rise.

    Examples
    --------
    >>> from math import radians
    >>> naca_0015 = LinearSection(5.75, (0.0113, 0.0, 0.75), 0.93, source="NACA TN 626, section test at Re 242 000")
    >>> lift, drag = naca_0015.coefficients(radians(6), 0.0)
    >>> print(f"{lift:.3f} {drag:.4f}")
    0.602 0.0195
    """

    lift_slope: float
    drag: tuple[float, float, float]
    greatest_lift: float
    zero_lift_angle: Any = "0 deg"
    thickness_ratio: float | None = None
    compressible: bool = True
    source: str = ""
    zero_lift_si: float = field(init=False, default=0.0)
    uses_reynolds: bool = field(init=False, default=False)

    def __post_init__(self) -> None:
        problems = []
        if not 3.0 <= self.lift_slope <= 8.0:
            problems.append(f"lift_slope must be 3 to 8 per radian (0.1 per degree is 5.73), got {self.lift_slope}")
        if len(self.drag) != 3 or not 0.003 <= self.drag[0] <= 0.1:
            problems.append(f"drag must be three numbers d0, d1, d2 with d0 from 0.003 to 0.1, got {self.drag}")
        if not 0.3 <= self.greatest_lift <= 2.5:
            problems.append(f"greatest_lift must be 0.3 to 2.5, got {self.greatest_lift}")
        if self.thickness_ratio is not None and not 0.04 <= self.thickness_ratio <= 0.3:
            problems.append(f"thickness_ratio must be 0.04 to 0.3 (or None), got {self.thickness_ratio}")
        try:
            object.__setattr__(self, "zero_lift_si", float(si_of(self.zero_lift_angle, _ANGLE, "zero_lift_angle")[0]))
        except QuantityError as problem:
            problems.append(f"zero_lift_angle {problem}")
        if problems:
            raise QuantityError("LinearSection: " + "; ".join(problems))

    @property
    def figures(self) -> tuple[Any, ...]:
        """All that tells this section from others, to be compared."""
        return (
            type(self), self.lift_slope, tuple(self.drag), self.greatest_lift, self.zero_lift_si, self.thickness_ratio,
            self.compressible,
        )  # fmt: skip

    def at(self, mach: Any, reynolds: Any = None) -> LinearSectionAt:
        """The section at these Mach numbers; it knows no Reynolds numbers."""
        return LinearSectionAt(self, mach)

    def coefficients(self, angle: Any, mach: Any, reynolds: Any = None) -> tuple[Any, Any]:
        """Lift and drag coefficient at an angle of attack (rad)."""
        return self.at(mach).coefficients(np.asarray(angle, dtype=float))


class LinearSectionAt:
    """A `LinearSection` at the Mach numbers that it meets."""

    def __init__(self, section: LinearSection, mach: Any) -> None:
        self.section, self.mach = section, np.asarray(mach, dtype=float)
        self.slope = section.lift_slope
        if section.compressible:
            self.slope = section.lift_slope * prandtl_glauert_factor(self.mach)
        self.zero_lift = section.zero_lift_si

    def coefficients(self, angle: Any) -> tuple[Any, Any]:
        section = self.section
        from_zero = angle - self.zero_lift if self.zero_lift else angle
        lift = self.slope * from_zero
        if lift.size and max(lift.max(), -lift.min()) <= section.greatest_lift:
            return lift, self.attached_drag(from_zero, lift)
        at_stall = section.greatest_lift / self.slope
        held = np.clip(from_zero, -at_stall, at_stall)
        lift = self.slope * held
        drag = self.attached_drag(held, lift)
        beyond = np.clip((np.abs(from_zero) - at_stall) / STALL_WIDTH, 0.0, 1.0)
        plate_lift, plate_drag = flat_plate(from_zero)
        return lift + beyond * (plate_lift - lift), drag + beyond * np.maximum(plate_drag - drag, 0.0)

    def attached_drag(self, from_zero: Any, lift: Any) -> Any:
        """Drag coefficient below the stall; `from_zero`, the angle of attack from zero lift, and the lift there."""
        constant, linear, square = self.section.drag
        drag = constant + from_zero * (linear + square * from_zero)
        if self.section.thickness_ratio is not None:
            drag += drag_rise(self.mach, lift, self.section.thickness_ratio)
        return drag

    def stalled(self, angle: Any) -> Any:
        return np.abs(self.slope * (angle - self.zero_lift)) > self.section.greatest_lift

    def stretched(self, angle: Any) -> Any:
        return np.broadcast_to(self.mach > HIGHEST_MACH, np.broadcast_shapes(np.shape(angle), self.mach.shape))
