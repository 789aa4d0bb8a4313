"""Repeated readings: Student's t against SciPy's distribution, pooling, resolution, what is shared."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from rotorkit.quantities import Angle, Force, QuantityError, Ratio, Temperature, assert_quantity, kind_of, read
from rotorkit.rigging import coverage_factor, mean_of_repeats, repeatability_of, shared_error


@pytest.mark.parametrize(
    ("degrees_of_freedom", "printed"),
    # JCGM 100:2008, Table G.2, column 95.45 % (known: memory, high)
    [(1, "13.97"), (2, "4.53"), (3, "3.31"), (4, "2.87"), (5, "2.65"), (10, "2.28"), (20, "2.13"), (50, "2.05")],
)
def test_coverage_factor_of_few_readings(degrees_of_freedom: int, printed: str) -> None:
    found = coverage_factor(degrees_of_freedom)
    assert f"{found:.2f}" == printed
    assert found == pytest.approx(stats.t.ppf(stats.norm.cdf(2), degrees_of_freedom), rel=1e-9)


def test_coverage_factor_goes_to_two() -> None:
    assert coverage_factor(10**7) == pytest.approx(2.0, abs=1e-5)
    with pytest.raises(QuantityError, match="Take another reading"):
        coverage_factor(0)


def test_the_interval_told_covers_as_often_as_it_says() -> None:
    # 20,000 drawn sets of three readings: the interval must hold the true value 95.45 % of the time (a fixed seed).
    draw = np.random.default_rng(7).normal(10.0, 0.1, (20_000, 3))
    half = coverage_factor(2) * draw.std(axis=1, ddof=1) / np.sqrt(3)
    share = float((abs(draw.mean(axis=1) - 10.0) <= half).mean())
    assert share == pytest.approx(0.9545, abs=3 * np.sqrt(0.9545 * 0.0455 / 20_000))
    one = [f"{value:.12f} deg" for value in draw[0]]
    assert np.degrees(mean_of_repeats(one, Angle, "blade").expanded_si) == pytest.approx(half[0], rel=1e-9)


@given(values=st.lists(st.floats(-50, 50), min_size=2, max_size=8))
def test_mean_and_scatter_against_numpy(values: list[float]) -> None:
    mean = mean_of_repeats([f"{v:.9f} lbf" for v in values], Force, "tension")
    rounded = np.array([float(f"{v:.9f}") for v in values])
    assert mean.value.to("force_pound").magnitude == pytest.approx(rounded.mean(), abs=1e-9)
    expected = stats.t.ppf(stats.norm.cdf(2), len(values) - 1) * rounded.std(ddof=1) / np.sqrt(len(values))
    assert mean.expanded.to("force_pound").magnitude == pytest.approx(expected, rel=1e-7, abs=1e-9)


def test_pooled_scatter_spares_the_price_of_two_readings() -> None:
    groups = [["10.0 deg", "10.1 deg"], ["5.0 deg", "5.1 deg"], ["-3.0 deg", "-3.1 deg"], ["0.0 deg", "0.1 deg"]]
    pooled = repeatability_of(groups, Angle)
    assert pooled is not None
    assert pooled.degrees_of_freedom == 4
    assert np.degrees(pooled.standard_deviation_si) == pytest.approx(0.1 / np.sqrt(2))
    alone, together = (
        mean_of_repeats(groups[0], Angle, "a"),
        mean_of_repeats(groups[0], Angle, "a", repeatability=pooled),
    )
    assert alone.expanded_si / together.expanded_si == pytest.approx(coverage_factor(1) / coverage_factor(4))
    assert repeatability_of([["10.0 deg"], ["5.0 deg"]], Angle) is None
    # A single reading is known no better than the pooled scatter of one.
    single = mean_of_repeats(["7.0 deg"], Angle, "b", repeatability=pooled)
    assert single.expanded_si == pytest.approx(coverage_factor(4) * pooled.standard_deviation_si)


def test_resolution_takes_over_where_the_display_hides_the_scatter() -> None:
    same = mean_of_repeats(["10.0 deg"] * 5, Angle, "a", resolution="0.1 deg")
    assert np.degrees(same.expanded_si) == pytest.approx(2 * 0.1 / np.sqrt(12))
    assert mean_of_repeats(["10.0 deg"] * 5, Angle, "a").expanded_si == 0.0
    scattered = ["10.0 deg", "10.4 deg", "9.7 deg"]
    with_step, without = (mean_of_repeats(scattered, Angle, "a", resolution=r) for r in ("0.1 deg", None))
    assert with_step.expanded_si == without.expanded_si


def test_instrument_error_is_not_averaged_away() -> None:
    place = shared_error("protractor", "low stop", "0.2 deg")
    many = mean_of_repeats(["10.0 deg"] * 50, Angle, "a", shared=place)
    assert np.degrees(many.expanded_si) == pytest.approx(0.2)
    typed = mean_of_repeats(["48 ± 2 lb", "48 ± 2 lb"], Force, "tension")
    assert_quantity(typed.expanded, "2.000 lbf")
    assert shared_error("protractor", "low stop", None) == {}


def test_temperatures_and_plain_numbers() -> None:
    warm = mean_of_repeats(["50 °F", "52 °F", "51 °F"], Temperature, "hangar", resolution="1 °F")
    assert_quantity(warm, "51.0 °F", kind=Temperature)
    assert_quantity(mean_of_repeats([28, "29", 28.5], Ratio, "dial"), "28.5")
    assert warm.expanded.to("kelvin").magnitude == pytest.approx(coverage_factor(2) * (1 / 1.8) / np.sqrt(3))


def test_refusals_name_the_thing_read() -> None:
    with pytest.raises(QuantityError, match="low stop: needs one reading"):
        mean_of_repeats([], Angle, "low stop")
    with pytest.raises(QuantityError, match="needs an angle"):
        mean_of_repeats(["9.8 lb"], Angle, "low stop")
    with pytest.raises(TypeError, match="needs a kind"):
        mean_of_repeats(["9.8 deg"], "Angle", "low stop")
    assert kind_of(Angle) is read("1 deg", Angle).kind
