"""Least squares on Measured: against SciPy and NumPy, and the carrying of what the readings share."""

import numpy as np
import pytest
from scipy.stats import linregress

from rotorkit.judging.measured import Measured, combine, measured
from rotorkit.quantities import Angle, AnglePerLength, QuantityError, kind_of
from rotorkit.rigging.line_fit import least_squares
from rotorkit.rigging.repeats import coverage_factor

ANGLE, RATE = kind_of(Angle), kind_of(AnglePerLength)


def readings(values: list[float], own: str | None = None, shared: str | None = None) -> list:
    return [
        measured(f"{value} rad", Angle, f"reading {i}", own, {"zero": shared} if shared else None)
        for i, value in enumerate(values)
    ]


def test_line_and_its_scatter_against_scipy() -> None:
    x, y = [0.0, 1.0, 2.0, 3.0, 4.0, 6.0], [0.1, 0.32, 0.48, 0.71, 0.9, 1.28]
    fit = least_squares([[1.0] * 6, x], readings(y), [ANGLE, RATE])
    oracle = linregress(x, y)
    assert float(fit.estimates[1].si) == pytest.approx(oracle.slope, rel=1e-12)
    assert float(fit.estimates[0].si) == pytest.approx(oracle.intercept, rel=1e-12)
    widened = coverage_factor(4) / 2
    assert float(fit.estimates[1].standard_si) == pytest.approx(oracle.stderr * widened, rel=1e-9)
    assert float(fit.estimates[0].standard_si) == pytest.approx(oracle.intercept_stderr * widened, rel=1e-9)
    assert fit.freedom == 4


def test_readings_own_uncertainty_where_they_scatter_less() -> None:
    x = [0.0, 1.0, 2.0, 3.0, 4.0]
    fit = least_squares([[1.0] * 5, x], readings([0.1 + 0.2 * a for a in x], "0.1 rad"), [ANGLE, RATE])
    covariance = np.linalg.inv(np.vander(x, 2, increasing=True).T @ np.vander(x, 2, increasing=True)) * 0.05**2
    assert float(fit.estimates[1].standard_si) == pytest.approx(np.sqrt(covariance[1, 1]), rel=1e-12)


def test_a_departure_is_as_well_known_as_the_readings_however_far_it_departs() -> None:
    """By the hat matrix, (I - H) u: the scatter about the line, of which it is a part, takes nothing from it."""
    x = np.array([0.0, 1.0, 2.0, 3.0, 4.0])
    bent = [0.1, 0.3, 0.5, 0.7, 2.0]
    matrix = np.vander(x, 2, increasing=True)
    rest = np.eye(5) - matrix @ np.linalg.inv(matrix.T @ matrix) @ matrix.T
    for values in (bent, [0.1 + 0.2 * a for a in x]):
        fit = least_squares([[1.0] * 5, list(x)], readings(values, "0.1 rad", "0.3 rad"), [ANGLE, RATE])
        for i, departure in enumerate(fit.departures):
            assert float(departure.si) == pytest.approx(fit.residuals_si[i])
            assert float(departure.standard_si) == pytest.approx(0.05 * np.sqrt(rest[i, i]), rel=1e-9)


def test_what_all_readings_share_goes_into_the_mean_and_out_of_the_slope() -> None:
    x = [0.0, 1.0, 2.0, 3.0]
    start, slope = least_squares(
        [[1.0] * 4, x], readings([0.1 * a for a in x], None, "0.3 rad"), [ANGLE, RATE]
    ).estimates
    assert float(start.expanded_si) == pytest.approx(0.3)
    assert float(slope.expanded_si) == pytest.approx(0.0, abs=1e-12)


def test_too_few_readings_or_all_in_one_place() -> None:
    for x in ([1.0], [1.0, 1.0]):
        with pytest.raises(QuantityError, match="cannot tell 2 unknowns apart"):
            least_squares([[1.0] * len(x), x], readings([0.1] * len(x)), [ANGLE, RATE])


SCATTERED = [0.1, 0.36, 0.44, 0.78, 0.86, 1.3]
"""Readings that lie further off their line than they are known to, 0.001."""


def on_the_line(counted_from: float, at: float) -> Measured:
    x = [0.0, 1.0, 2.0, 3.0, 4.0, 6.0]
    given = readings(SCATTERED, "0.001 rad")
    start, slope = least_squares([[1.0] * 6, [a - counted_from for a in x]], given, [ANGLE, RATE]).estimates
    return combine(
        float(start.si) + (at - counted_from) * float(slope.si), Angle, [start, slope], [1.0, at - counted_from]
    )


def test_scatter_keeps_the_covariance_of_the_estimates() -> None:
    """Against NumPy's covariance matrix; and the same figure wherever x is counted from."""
    x = np.array([0.0, 1.0, 2.0, 3.0, 4.0, 6.0])
    _, matrix = np.polyfit(x, SCATTERED, 1, cov=True)
    for at in (-2.0, 2.7, 6.0):
        wanted = np.sqrt(np.array([at, 1.0]) @ matrix @ np.array([at, 1.0])) * coverage_factor(4) / 2
        for counted_from in (0.0, 2.5, -40.0):
            assert float(on_the_line(counted_from, at).standard_si) == pytest.approx(wanted, rel=1e-8)


def test_scatter_takes_nothing_from_what_all_readings_share() -> None:
    """A reference that was read once is in every reading: scatter about the line says nothing of it."""
    reference = measured("0 rad", Angle, "reference", "0.4 rad")
    given = [one - reference for one in readings(SCATTERED, "0.001 rad")]
    x = [0.0, 1.0, 2.0, 3.0, 4.0, 6.0]
    alone = least_squares([[1.0] * 6, x], readings(SCATTERED, "0.001 rad"), [ANGLE, RATE]).estimates
    start, slope = least_squares([[1.0] * 6, x], given, [ANGLE, RATE]).estimates
    assert float(start.standard_si) == pytest.approx(np.hypot(float(alone[0].standard_si), 0.2), rel=1e-9)
    assert float(slope.standard_si) == pytest.approx(float(alone[1].standard_si), rel=1e-9)


def test_readings_known_to_no_less_than_they_scatter_keep_their_own() -> None:
    x = [0.0, 1.0, 2.0, 3.0, 4.0, 6.0]
    given = readings(SCATTERED, "0.5 rad")
    slope = least_squares([[1.0] * 6, x], given, [ANGLE, RATE]).estimates[1]
    assert float(slope.standard_si) == pytest.approx(0.25 / np.sqrt(((np.array(x) - np.mean(x)) ** 2).sum()), rel=1e-9)


def test_one_reading_more_than_the_unknowns_lets_its_scatter_be_seen() -> None:
    """0, 0.3, 0 rad at 0, 1, 2: residuals -0.1, 0.2, -0.1, s = sqrt(0.06); u(slope) = s / sqrt(2)."""
    given = readings([0.0, 0.3, 0.0], "0.001 rad")
    slope = least_squares([[1.0] * 3, [0.0, 1.0, 2.0]], given, [ANGLE, RATE]).estimates[1]
    assert float(slope.standard_si) == pytest.approx(np.sqrt(0.06 / 2), rel=1e-9)
