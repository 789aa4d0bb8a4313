"""Tension from a gauge: only through its own table, only inside it, on straight lines between its rows."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from uncertainties import ufloat

from rotorkit.judging.measured import measured
from rotorkit.quantities import Force, QuantityError, Ratio, assert_quantity
from rotorkit.rigging import (
    CalibrationTable,
    calibration_table_for,
    interpolated_tension,
    mean_of_repeats,
    tension_from_gauge,
)

# Invented.
ROWS = [(12, "20 lbf"), (19, "30 lbf"), (25, "40 lbf"), (31, "50 lbf"), (36, "60 lbf"), (41, "70 lbf")]
IN_HAND = {"gauge_serial": "A17", "riser": "1", "cable_diameter": "1/8 in"}
TABLE = CalibrationTable("A17", "1", "1/8 in", ROWS, uncertainty="1 lbf", calibrated_on="2025-03-01")


@pytest.mark.parametrize(("reading", "tension"), ROWS)
def test_on_a_row_the_row_itself(reading: float, tension: str) -> None:
    found = tension_from_gauge(TABLE, reading, **IN_HAND)
    assert_quantity(found, tension, within="1e-9 lbf")
    assert_quantity(found.expanded, "1.000 lbf")


@given(reading=st.floats(12, 41), more=st.floats(0.01, 5))
def test_straight_between_rows_and_never_the_wrong_way(reading: float, more: float) -> None:
    x, t = [r for r, _ in ROWS], [float(text.split()[0]) for _, text in ROWS]
    found = tension_from_gauge(TABLE, reading, **IN_HAND)
    assert found.value.to("force_pound").magnitude == pytest.approx(np.interp(reading, x, t), rel=1e-12)
    if reading + more <= 41:
        assert tension_from_gauge(TABLE, reading + more, **IN_HAND).si > found.si


def test_order_of_rows_and_units_do_not_matter() -> None:
    metric = [(r, f"{float(t.split()[0]) * 4.4482216152605:.9f} N") for r, t in reversed(ROWS)]
    other = CalibrationTable("a17", " 1 ", "3.2 mm", metric, uncertainty="4.4482216 N")
    one, two = (tension_from_gauge(table, 28, **IN_HAND) for table in (TABLE, other))
    assert_quantity(one, two.value, within="1e-6 lbf")
    assert_quantity(one.expanded, two.expanded, within="1e-6 lbf")


def test_a_falling_gauge_is_read_too() -> None:
    falling = CalibrationTable("B", "1", "1/8 in", [(30, "20 lbf"), (20, "40 lbf"), (12, "60 lbf")])
    assert_quantity(tension_from_gauge(falling, 25, "B", "1", "1/8 in"), "30.0 lbf", within="1e-9 lbf")


@pytest.mark.parametrize("reading", [11.99, 41.01, 0, -5, 400])
def test_outside_the_rows_is_refused(reading: float) -> None:
    with pytest.raises(QuantityError, match=r"needs 12 to 41 \(20\.00 lbf to 70\.00 lbf\)"):
        tension_from_gauge(TABLE, reading, **IN_HAND)


@pytest.mark.parametrize(
    ("wrong", "said"),
    [
        ({"gauge_serial": "B2"}, "gauge_serial is 'B2'"),
        ({"riser": "2"}, "riser is '2'"),
        ({"cable_diameter": "3/32 in"}, "cable_diameter is 3/32 in"),
        ({"cable_diameter": "5/32 in"}, "cable_diameter is 5/32 in"),
    ],
)
def test_another_gauge_riser_or_cable_is_refused(wrong: dict[str, str], said: str) -> None:
    with pytest.raises(QuantityError, match=said):
        tension_from_gauge(TABLE, 28, **(IN_HAND | wrong))
    with pytest.raises(QuantityError, match="none is held for"):
        calibration_table_for([TABLE], **(IN_HAND | wrong))


def test_choosing_among_tables() -> None:
    other = CalibrationTable("A17", "2", "5/32 in", ROWS)
    assert calibration_table_for([other, TABLE], **IN_HAND) is TABLE
    with pytest.raises(QuantityError, match="2 tables are held"):
        calibration_table_for([TABLE, TABLE], **IN_HAND)


@pytest.mark.parametrize(
    ("rows", "said"),
    [
        (ROWS[:2], "three rows or more"),
        ([*ROWS, (25, "41 lbf")], "stands twice"),
        (
            [(12, "20 lbf"), (19, "40 lbf"), (25, "30 lbf"), (31, "50 lbf")],
            "reading 19 gives 40.00 lbf, reading 25 gives",
        ),
        ([(12, "20 lbf"), (19, "20 lbf"), (25, "30 lbf")], "does not go one way"),
        ([(12, "20 lbf"), (19, "30"), (25, "40 lbf")], "bare number '30'"),
        ([(12, "20 lbf"), (19, "30 kg"), (25, "40 lbf")], "is a mass"),
    ],
)
def test_a_table_that_cannot_be_right_is_refused(rows: list[tuple[float, str]], said: str) -> None:
    with pytest.raises(QuantityError, match=said):
        CalibrationTable("A17", "1", "1/8 in", rows)


def test_a_table_without_its_serial_number_is_refused() -> None:
    with pytest.raises(QuantityError, match="gauge_serial and riser"):
        CalibrationTable(" ", "1", "1/8 in", ROWS)


def test_uncertainty_agrees_with_an_independent_library() -> None:
    # Oracle: the `uncertainties` package on the same line, and the bend added by hand.
    found = tension_from_gauge(TABLE, measured("28", Ratio, "dial", "0.5"), **IN_HAND)
    line = 40 + 10 * (ufloat(28, 0.25) - 25) / 6 + ufloat(0, 0.5)
    bend = abs((10 / 5 - 10 / 6) / (36 - 25)) * 3 * 3 / np.sqrt(3)
    assert found.value.to("force_pound").magnitude == pytest.approx(line.n)
    assert found.standard_uncertainty.to("force_pound").magnitude == pytest.approx(np.hypot(line.s, bend), rel=1e-9)
    assert {row.label for row in found.budget()} == {
        "dial",
        "calibration of gauge A17",
        "bend of the gauge's curve between calibrated rows",
    }


def test_bend_bounds_the_error_on_a_curve_that_is_known() -> None:
    # A gauge whose true curve is known: the line's error at every reading lies within the bend that is told.
    def true(r: np.ndarray | float) -> np.ndarray | float:
        return 0.03 * np.asarray(r) ** 2 + 1.0 * np.asarray(r)

    rows = [(r, f"{float(true(r)):.9f} lbf") for r in (10, 18, 24, 33, 40)]
    table = CalibrationTable("C", "1", "1/8 in", rows)
    for reading in np.linspace(10.1, 39.9, 41):
        found = tension_from_gauge(table, float(reading), "C", "1", "1/8 in")
        error = abs(found.value.to("force_pound").magnitude - float(true(reading)))
        bound = found.standard_uncertainty.to("force_pound").magnitude * np.sqrt(3)
        assert error <= bound * (1 + 1e-6) + 1e-9


def test_shared_calibration_cancels_between_two_cables() -> None:
    first, second = (tension_from_gauge(TABLE, reading, **IN_HAND) for reading in (25, 31))
    assert_quantity((second - first).expanded, "0.000000 lbf")


def test_mean_of_dial_readings_goes_straight_in() -> None:
    dial = mean_of_repeats([28, 28.5, 28], Ratio, "dial reading")
    found = tension_from_gauge(TABLE, dial, **IN_HAND)
    assert_quantity(found, "45.2778 lbf", within="0.0001 lbf")
    assert any("scatter" in row.label for row in found.budget())


def test_worked_line_and_its_inverse() -> None:
    rows = {"reading_below": 25, "reading_above": 31, "tension_below": "40 lbf", "tension_above": "50 lbf"}
    assert_quantity(interpolated_tension(28, **rows), "45.0 lbf")
    assert_quantity(interpolated_tension.solve_for("reading", result="47.5 lbf", **rows), "29.5")
    with pytest.raises(QuantityError, match="no real value"):
        interpolated_tension(28, 25, 25, "40 lbf", "50 lbf")


def test_practice_range_read_on_a_gauge() -> None:
    # Known: practice (no source): 45 to 50 lbf. Where on this gauge's dial the range lies.
    low = interpolated_tension.solve_for(
        "reading", result="45 lbf", reading_below=25, reading_above=31, tension_below="40 lbf", tension_above="50 lbf"
    )
    found = tension_from_gauge(TABLE, low, **IN_HAND)
    assert_quantity(found, "45.0 lbf")
    assert found.kind == measured("1 lbf", Force, "x").kind
