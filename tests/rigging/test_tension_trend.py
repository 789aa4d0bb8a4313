"""Trend of tension: against SciPy's line, dates, words, and what is not claimed."""

from datetime import date

import numpy as np
import pytest
from scipy.stats import linregress

from rotorkit.judging.limits import Limit
from rotorkit.judging.measured import Measured, coverage_factor, measured
from rotorkit.quantities import Force, QuantityError, assert_quantity
from rotorkit.rigging import tension_trend

DAYS, POUNDS = [0, 31, 62, 95, 130], [48.0, 47.2, 46.1, 45.2, 43.9]
LIMIT = Limit("tension", Force, "42 lbf", "52 lbf", "manual")


def gauge(pounds: float, own: str = "0.3 lbf", shared: str | None = None) -> Measured:
    return measured(f"{pounds} lbf", Force, f"{pounds}", own, {"gauge": shared} if shared else None)


def test_line_against_scipy() -> None:
    found = tension_trend([(f"{d} days", gauge(t, "0.001 lbf")) for d, t in zip(DAYS, POUNDS, strict=True)])
    oracle = linregress(DAYS, POUNDS)
    assert_quantity(found.slope, f"{oracle.slope:.12f} lbf/day", within="1e-9 lbf/day")
    assert found.word == "falling"
    crossing = (42 - oracle.intercept) / oracle.slope
    assert_quantity(found.reaches(LIMIT), f"{crossing:.9f} days", within="1e-5 days")
    assert_quantity(found.at(f"{crossing:.9f} days"), "42 lbf", within="1e-5 lbf")


def test_dates_and_any_order_are_the_same() -> None:
    dated = [(date.fromordinal(740000 + d), gauge(t)) for d, t in zip(DAYS, POUNDS, strict=True)]
    counted = [(f"{d} days", gauge(t)) for d, t in zip(DAYS, POUNDS, strict=True)]
    one, other = tension_trend(dated[::-1]), tension_trend(counted)
    assert float(one.slope.si) == pytest.approx(float(other.slope.si), rel=1e-12)
    assert one.last_si == other.last_si


def test_a_steady_cable_shows_no_trend_and_reaches_nothing() -> None:
    found = tension_trend([(f"{d} days", gauge(t)) for d, t in zip(DAYS, [47, 47.2, 46.9, 47.1, 47.0], strict=True)])
    assert found.word == "no trend seen"
    assert found.reaches(LIMIT) is None
    assert "no trend seen" in found.sentence


def test_a_rising_one_reaches_the_high_side_if_there_is_one() -> None:
    found = tension_trend([(f"{d} days", gauge(t)) for d, t in zip(DAYS, POUNDS[::-1], strict=True)])
    assert found.word == "rising"
    assert found.reaches(LIMIT) is not None
    assert found.reaches(Limit("tension", Force, low="42 lbf", source="manual")) is None


def test_two_readings_are_a_line_and_not_yet_a_trend() -> None:
    found = tension_trend([("0 days", gauge(48)), ("30 days", gauge(45))])
    assert "not yet a trend" in found.sentence
    assert found.word == "falling"


def test_the_gauges_error_in_common_is_no_trend() -> None:
    found = tension_trend([(f"{d} days", gauge(t, "0.001 lbf", "2 lbf")) for d, t in zip(DAYS, POUNDS, strict=True)])
    assert not any("gauge" in row.label and row.share > 1e-9 for row in found.slope.budget())
    assert any("gauge" in row.label for row in found.at_first.budget())


def test_refusals() -> None:
    with pytest.raises(QuantityError, match="two different times"):
        tension_trend([("5 days", gauge(48)), ("5 days", gauge(47))])
    with pytest.raises(QuantityError, match="not some of each"):
        tension_trend([("5 days", gauge(48)), (date(2026, 5, 1), gauge(47))])


UNEVEN = [48.0, 46.6, 46.9, 44.6, 44.4]
"""Further off their line than a gauge good to 0.02 lbf explains."""


def test_the_line_is_as_well_known_wherever_time_is_counted_from() -> None:
    """Against NumPy's covariance: best known in the middle of the readings, and the same from any day on."""
    _, matrix = np.polyfit(DAYS, UNEVEN, 1, cov=True)
    for counted_from in (0, -400):
        found = tension_trend(
            [(f"{d - counted_from} days", gauge(t, "0.02 lbf")) for d, t in zip(DAYS, UNEVEN, strict=True)]
        )
        for day in (0, 60, 130, 200):
            row = np.array([day, 1.0])
            wanted = np.sqrt(row @ matrix @ row) * coverage_factor(3)
            known = found.at(f"{day} days").expanded_si / 4.4482216152605
            assert float(known) == pytest.approx(wanted, rel=1e-6)


def test_a_look_ahead_says_how_early_it_could_be() -> None:
    found = tension_trend([(f"{d} days", gauge(t, "0.02 lbf")) for d, t in zip(DAYS, POUNDS, strict=True)])
    low = Limit("tension", Force, "40 lbf", "52 lbf", "manual")
    early, middle = (float(t.m_as("day")) for t in (found.could_reach(low), found.reaches(low)))
    fit, matrix = np.polyfit(DAYS, POUNDS, 1, cov=True)
    row = np.array([early, 1.0])
    spread = np.sqrt(row @ matrix @ row) * coverage_factor(3)
    assert 130 < early < middle
    assert row @ fit - spread == pytest.approx(40.0, abs=1e-6)
    # not to be told from the limit any more: it could be now
    near = Limit("tension", Force, "43.8 lbf", "52 lbf", "manual")
    assert float(found.could_reach(near).m_as("day")) == pytest.approx(130)
    assert found.could_reach(Limit("tension", Force, high="52 lbf", source="manual")) is None
