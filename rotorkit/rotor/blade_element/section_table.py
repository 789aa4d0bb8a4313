"""A blade section by its table: measured lift and drag coefficients by angle, Mach and Reynolds number."""

from __future__ import annotations

from typing import Any

import numpy as np

from rotorkit.formula.contract import si_of
from rotorkit.quantities import Angle, QuantityError, kind_of
from rotorkit.quantities.pint_inside import is_quantity
from rotorkit.rotor.blade_element.sections import STALL_WIDTH, flat_plate

_ANGLE: Any = kind_of(Angle)


class SectionTable:
    """A section by its table: lift and drag coefficients by angle, and if there are some by Mach and Reynolds number.

    Between the rows the figures lie on straight lines (in the logarithm of the Reynolds number). Beyond the last angle
    they pass over 10 degrees to those of a flat plate, beyond the last Mach or Reynolds number they are held; both are
    told as stretched. The stall is where the table's lift is greatest (and, nose down, least), between its own angles.

    Parameters
    ----------
    angles
        text with units, quantities, or one quantity array; rising; at least three.
    lift, drag
        arrays of shape (angles,), (angles, machs), or (angles, machs, reynolds).
    mach
        Mach numbers of the columns, rising; None where the table knows none.
    reynolds
        Reynolds numbers, rising; None where the table knows none.
    symmetrical
        the table gives angles from 0 up only; the section is the same upside down.
    source
        where the figures come from, in words.

    Raises
    ------
    QuantityError
        shapes do not fit, an axis does not rise, or the table has no angle without lift.

    Notes
    -----
    Range of validity: the table's.

    Examples
    --------
    >>> angles = ["-4 deg", "0 deg", "4 deg", "12 deg"]
    >>> table = SectionTable(angles, [-0.4, 0, 0.4, 1.0], [0.012, 0.01, 0.012, 0.03])
    >>> from math import radians
    >>> lift, drag = table.coefficients(radians(2), 0.0)
    >>> print(f"{lift:.2f} {drag:.3f}")
    0.20 0.011
    """

    def __init__(
        self,
        angles: Any,
        lift: Any,
        drag: Any,
        *,
        mach: Any = None,
        reynolds: Any = None,
        symmetrical: bool = False,
        source: str = "",
    ) -> None:
        self.source = source
        angle_axis = _angles(angles)
        lifts, drags = np.array(lift, dtype=float), np.array(drag, dtype=float)
        axes = [angle_axis, _axis(mach, "mach"), np.log(_axis(reynolds, "reynolds"))]
        wanted = (
            len(angle_axis),
            *(len(axis) for axis, given in zip(axes[1:], (mach, reynolds), strict=True) if given is not None),
        )
        for name, values in (("lift", lifts), ("drag", drags)):
            if values.shape != wanted:
                raise QuantityError(
                    f"SectionTable: {name} needs the shape {wanted}, as the axes have it, got {values.shape}"
                )
            if not np.isfinite(values).all():
                raise QuantityError(f"SectionTable: {name} holds a value which is not a number")
        if (drags <= 0).any():
            raise QuantityError("SectionTable: drag must be above zero everywhere")
        full = tuple(len(axis) for axis in axes)
        lifts, drags = lifts.reshape(full), drags.reshape(full)
        if symmetrical:
            if angle_axis[0] != 0:
                raise QuantityError("SectionTable: symmetrical tables start at the angle 0")
            axes[0] = np.concatenate([-angle_axis[:0:-1], angle_axis])
            lifts = np.concatenate([-lifts[:0:-1], lifts])
            drags = np.concatenate([drags[:0:-1], drags])
        self.axes, self.lift, self.drag = axes, lifts, drags
        self.uses_reynolds = reynolds is not None
        self.stall = axes[0][np.argmin(lifts, axis=0)], axes[0][np.argmax(lifts, axis=0)]
        self.zero = np.apply_along_axis(self._zero_of_column, 0, lifts)

    def _zero_of_column(self, lifts: Any) -> float:
        angles = self.axes[0]
        crossings = np.flatnonzero((lifts[:-1] <= 0) & (lifts[1:] > 0))
        if not len(crossings):
            raise QuantityError("SectionTable: lift does not pass through zero: give angles on both sides of it")
        at = crossings[np.argmin(np.abs(angles[crossings]))]
        low, high = lifts[at], lifts[at + 1]
        return float(angles[at] - low * (angles[at + 1] - angles[at]) / (high - low))

    def at(self, mach: Any, reynolds: Any = None) -> SectionTableAt:
        """The section at these Mach and Reynolds numbers."""
        return SectionTableAt(self, mach, reynolds)

    def coefficients(self, angle: Any, mach: Any, reynolds: Any = None) -> tuple[Any, Any]:
        """Lift and drag coefficient at an angle of attack (rad)."""
        return self.at(mach, reynolds).coefficients(np.asarray(angle, dtype=float))


class SectionTableAt:
    """A `SectionTable` at the Mach and Reynolds numbers that it meets."""

    def __init__(self, table: SectionTable, mach: Any, reynolds: Any) -> None:
        self.table = table
        _, machs, logs = table.axes
        self.outside: Any = np.zeros((), dtype=bool)
        corners: list[tuple[Any, Any, Any]] = [(0, 0, 1.0)]
        if len(machs) > 1:
            below, share = _place(machs, np.asarray(mach))
            corners = [(below, 0, 1 - share), (below + 1, 0, share)]
            self.outside = self.outside | (np.asarray(mach) > machs[-1])
        if len(logs) > 1:
            logarithm = np.log(np.maximum(reynolds, 1.0))
            below, share = _place(logs, logarithm)
            corners = [
                (m, index, weight * part)
                for m, _, weight in corners
                for index, part in ((below, 1 - share), (below + 1, share))
            ]
            self.outside = self.outside | (logarithm < logs[0]) | (logarithm > logs[-1])
        self.corners = corners
        self.zero_lift = self._of_columns(table.zero)
        self.least, self.most = (self._of_columns(values) for values in table.stall)

    def _of_columns(self, values: Any) -> Any:
        return sum(values[m, re] * weight for m, re, weight in self.corners)

    def coefficients(self, angle: Any) -> tuple[Any, Any]:
        table = self.table
        axis = table.axes[0]
        lift: Any
        drag: Any
        if len(self.corners) == 1:
            lift = np.interp(angle, axis, table.lift[:, 0, 0])
            drag = np.interp(angle, axis, table.drag[:, 0, 0])
        else:
            below, share = _place(axis, angle)
            lift = drag = 0.0
            for m, re, weight in self.corners:
                low, high = weight * (1 - share), weight * share
                lift = lift + table.lift[below, m, re] * low + table.lift[below + 1, m, re] * high
                drag = drag + table.drag[below, m, re] * low + table.drag[below + 1, m, re] * high
        outside = np.maximum(angle - axis[-1], axis[0] - angle)
        if not np.any(outside > 0):
            return lift, drag
        beyond = np.clip(outside / STALL_WIDTH, 0.0, 1.0)
        plate_lift, plate_drag = flat_plate(angle)
        return lift + beyond * (plate_lift - lift), drag + beyond * np.maximum(plate_drag - drag, 0.0)

    def stalled(self, angle: Any) -> Any:
        return (angle > self.most) | (angle < self.least)

    def stretched(self, angle: Any) -> Any:
        axis = self.table.axes[0]
        return self.outside | (angle > axis[-1]) | (angle < axis[0])


def _angles(given: Any) -> Any:
    if is_quantity(given):
        values = np.atleast_1d(si_of(given, _ANGLE, "angles")[0])
    else:
        values = np.array([float(si_of(angle, _ANGLE, "angles")[0]) for angle in given])
    if len(values) < 3 or (np.diff(values) <= 0).any():
        raise QuantityError("SectionTable: angles must be three or more, each above the one before")
    return values


def _axis(given: Any, name: str) -> Any:
    if given is None:
        return np.ones(1)
    values = np.array(given, dtype=float)
    if values.ndim != 1 or not len(values) or (np.diff(values) <= 0).any() or values[0] < 0:
        raise QuantityError(f"SectionTable: {name} must be a row of numbers, each above the one before")
    if name == "reynolds" and values[0] < 1000:
        raise QuantityError(
            f"SectionTable: reynolds starts at {values[0]:g}: give plain Reynolds numbers, 240000 not 0.24"
        )
    return values


def _place(axis: Any, at: Any) -> tuple[Any, Any]:
    """The index of the row below and the share of the way to the next; held at the ends."""
    if len(axis) == 1:
        return np.zeros(np.shape(at), dtype=int), 0.0
    below = np.clip(np.searchsorted(axis, at, side="right") - 1, 0, len(axis) - 2)
    share = np.clip((at - axis[below]) / (axis[below + 1] - axis[below]), 0.0, 1.0)
    return below, share
