"""Least squares on readings with uncertainties: the estimates are plain sums of the readings, so that what the readings
share is carried along and cancels where it should.

Every reading weighs the same. An instrument's error in common then goes into a mean and out of a slope, as it does in
truth. Where the readings scatter about the fit by more than their own uncertainties explain, the scatter takes the
place of those (JCGM 100:2008, 4.2), widened for few readings by Student's t (G.3).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from rotorkit.measured import COVERAGE, Measured, combine, measured
from rotorkit.quantities import Kind, QuantityError, from_si
from rotorkit.rigging.repeats import coverage_factor

__all__ = ["Fit", "least_squares"]

FEWEST_FREEDOM = 2
"""Fewer degrees of freedom than this say nothing reliable of the scatter."""


@dataclass(frozen=True)
class Fit:
    """Estimates of a least-squares fit.

    estimates: one Measured for each column. residuals_si: reading less fit, in SI units. scatter_si: standard deviation
    of one reading about the fit, SI; None where there are no more readings than estimates. freedom: readings less
    estimates. departures: the residuals as Measured, as well known as the readings are: how far they scatter about the
    fit takes nothing from a departure, for it is what departs.
    """

    estimates: tuple[Measured, ...]
    residuals_si: tuple[float, ...]
    scatter_si: float | None
    freedom: int
    departures: tuple[Measured, ...]


def least_squares(
    columns: Sequence[Sequence[float]], readings: Sequence[Measured], kinds: Sequence[Kind], label: str = "fit"
) -> Fit:
    """Fit ``reading = sum of column x estimate`` to the readings.

    Args:
        columns: one for each estimate, each as long as the readings, in SI units of reading over estimate.
        readings: Measured of one kind.
        kinds: of the estimates.
        label: of the scatter in the budget.

    Raises:
        QuantityError: the readings cannot tell the estimates apart (too few, or all taken in one place).
    """
    import numpy as np

    matrix = np.asarray(columns, float).T
    count, wanted = matrix.shape
    size = np.linalg.norm(matrix, axis=0)
    if count < wanted or not size.all() or np.linalg.matrix_rank(matrix / size, tol=1e-9) < wanted:
        raise QuantityError(
            f"{label}: {count} readings cannot tell {wanted} unknowns apart; take more of them, at other places"
        )
    inverse = np.linalg.pinv(matrix / size) / size[:, None]
    values = np.array([float(reading.si) for reading in readings])
    found = inverse @ values
    residuals = values - matrix @ found
    freedom = count - wanted
    scatter = math.sqrt(float(residuals @ residuals) / freedom) if freedom else None
    estimates = []
    for j, kind in enumerate(kinds):
        estimate = combine(float(found[j]), kind, list(readings), [float(c) for c in inverse[j]])
        if scatter is not None and freedom >= FEWEST_FREEDOM:
            seen = scatter * float(np.linalg.norm(inverse[j])) * coverage_factor(freedom) / COVERAGE
            estimate = _with_scatter(estimate, seen, f"scatter about the {label}")
        estimates.append(estimate)
    own = np.eye(count) - matrix @ inverse
    departures = tuple(
        combine(float(residuals[i]), readings[i].kind, list(readings), [float(c) for c in own[i]]) for i in range(count)
    )
    return Fit(tuple(estimates), tuple(float(r) for r in residuals), scatter, freedom, departures)


def _with_scatter(estimate: Measured, seen: float, label: str) -> Measured:
    own = math.sqrt(sum(float(part) ** 2 for origin, part in estimate.components.items() if origin.number))
    if seen <= own:
        return estimate
    kind = estimate.kind
    kept = {origin: part for origin, part in estimate.components.items() if not origin.number}
    scatter = measured(from_si(0.0, kind), kind, label, from_si(seen, kind), stated_as="standard")
    return Measured(estimate.si, kind, {**kept, **scatter.components}, estimate.unit)
