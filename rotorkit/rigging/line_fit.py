"""Least squares on readings with uncertainties: the estimates are plain sums of the readings, so that what the readings
share is carried along and cancels where it should.

Every reading weighs the same. An instrument's shared error then goes into a mean and out of a slope, as it does in
truth. Where the readings scatter about the fit by more than their own uncertainties explain, the scatter takes the
place of those (JCGM 100:2008, 4.2), widened for few readings by Student's t (G.3).

One fit has one covariance. The scatter stands in for each reading, before the estimates are made of them, never for an
estimate by itself: the estimates then keep their correlations, and a figure made of several of them (a place on the
line, the distance of two lines, a wave at an azimuth) is as well known as the readings make it, wherever positions or
times are counted from.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from rotorkit.edges.recent import Recent
from rotorkit.judging.measured import COVERAGE, Measured, Origin, combine, measured
from rotorkit.quantities import Kind, QuantityError, difference_kind, from_si
from rotorkit.rigging.repeats import coverage_factor


@dataclass(frozen=True)
class Fit:
    """Estimates of a least-squares fit.

    estimates: one Measured for each column, of common origins: `combine` them for any figure of several. residuals_si:
    reading less fit, in SI units. scatter_si: standard deviation of one reading about the fit, SI; None where there are
    no more readings than estimates. freedom: readings less estimates. readings: what was fitted; rest: what the fit
    leaves of each, a row of shares of all of them.
    """

    estimates: tuple[Measured, ...]
    residuals_si: tuple[float, ...]
    scatter_si: float | None
    freedom: int
    readings: Sequence[Measured]
    rest: Any

    @property
    def departures(self) -> tuple[Measured, ...]:
        """The residuals as Measured, as well known as the readings are: how far they scatter about the fit takes
        nothing from a departure, for it is what departs."""
        return tuple(
            combine(residual, reading.kind, self.readings, row)
            for residual, reading, row in zip(self.residuals_si, self.readings, self.rest.tolist(), strict=True)
        )


_SHARES = Recent[tuple[Any, Any]](32)
"""What the columns of fits make of readings: where these were taken stays from one edit to the next."""


def _shares(matrix: Any, label: str) -> tuple[Any, Any]:
    """What each estimate takes of each reading, and what the fit leaves of them, I - H."""
    import numpy as np

    count, wanted = matrix.shape
    size = np.linalg.norm(matrix, axis=0)
    if count < wanted or not size.all() or np.linalg.matrix_rank(matrix / size, tol=1e-9) < wanted:
        raise QuantityError(
            f"{label}: {count} readings cannot tell {wanted} unknowns apart; take more of them, at other places"
        )
    inverse = np.linalg.pinv(matrix / size) / size[:, None]
    return inverse, np.eye(count) - matrix @ inverse


def least_squares(
    columns: Sequence[Sequence[float]], readings: Sequence[Measured], kinds: Sequence[Kind], label: str = "fit"
) -> Fit:
    """Fit ``reading = sum of column x estimate`` to the readings.

    Source: JCGM 100:2008, 4.2 and G.3; the estimates and, without uncertainties of the readings' own, their covariance
    are those of ordinary least squares, s^2 inv(X^T X), widened: held to NIST's certified figures in the tests.

    Parameters
    ----------
    columns : Sequence[Sequence[float]]
        one for each estimate, each as long as the readings, in SI units of reading over estimate.
    readings : Sequence[Measured]
        Measured of one kind.
    kinds : Sequence[Kind]
        of the estimates.
    label : str
        of the scatter in the budget.

    Returns
    -------
    Fit
        The `Fit`.

    Raises
    ------
    QuantityError
        the readings cannot tell the estimates apart (too few, or all taken in one place).

    Notes
    -----
    Range of validity: readings that depart from the fit by chance. With only one reading more than there are estimates
    the scatter is poorly known; it is used as it is, not widened (take another reading).
    """
    import numpy as np

    matrix = np.asarray(columns, float).T
    count, wanted = matrix.shape
    inverse, rest = _SHARES.get((matrix.shape, matrix.tobytes()), lambda: _shares(matrix, label))
    values = np.array([float(reading.si) for reading in readings])
    found = inverse @ values
    residuals = values - matrix @ found
    freedom = count - wanted
    scatter = math.sqrt(float(residuals @ residuals) / freedom) if freedom else None
    known = list(readings) if scatter is None else _scattered(readings, rest, scatter, freedom, label)
    estimates = tuple(
        combine(float(found[j]), kind, known, [float(c) for c in inverse[j]]) for j, kind in enumerate(kinds)
    )
    return Fit(estimates, tuple(float(r) for r in residuals), scatter, freedom, tuple(readings), rest)


def _scattered(readings: Sequence[Measured], rest: Any, scatter: float, freedom: int, label: str) -> list[Measured]:
    """The readings, with the scatter in place of what is each one's own where that does not explain it.

    rest: what a fit leaves of the readings, I - H. A reading's own is what stands in no other and is no instrument's
    stated error: those and what several share remain, and what they explain of the scatter is not counted twice.
    """
    import numpy as np

    stands_in = Counter(origin for reading in readings for origin in reading.components)
    own = [
        {o: float(part) for o, part in reading.components.items() if o.number and stands_in[o] == 1}
        for reading in readings
    ]
    kept = [
        {o: float(part) for o, part in reading.components.items() if o not in mine}
        for reading, mine in zip(readings, own, strict=True)
    ]
    parts = {o: np.array([one.get(o, 0.0) for one in kept]) for o in dict.fromkeys(o for one in kept for o in one)}
    explained = sum(float(np.sum((rest @ part) ** 2)) for part in parts.values()) / freedom
    squares = np.array([sum(part**2 for part in one.values()) for one in own])
    own_explained = float(np.diag(rest) @ squares) / freedom
    seen = math.sqrt(max(scatter**2 - explained, 0.0))
    rounding = 1e-13 * max(abs(float(reading.si)) for reading in readings)
    if seen <= math.sqrt(own_explained) * (1 + 1e-9) + rounding:
        return list(readings)
    widened = seen * (coverage_factor(freedom) / COVERAGE if freedom > 1 else 1.0)
    found = []
    for reading, part in zip(readings, kept, strict=True):
        stands = measured(
            from_si(0.0, reading.kind),
            reading.kind,
            f"scatter about the {label}",
            from_si(widened, difference_kind(reading.kind)),
            stated_as="standard",
        )
        components: dict[Origin, Any] = {**part, **stands.components}
        found.append(Measured(reading.si, reading.kind, components, reading.unit))
    return found
