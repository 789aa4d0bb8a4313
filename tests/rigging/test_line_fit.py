"""Least squares on Measured: against SciPy and NumPy, and the carrying of what the readings share."""

import numpy as np
import pytest
from scipy.stats import linregress

from rotorkit.measured import measured
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
