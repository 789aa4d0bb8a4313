"""NACA TN 2318 (Harrington, 1951): its definition of figure of merit, and its best figure of merit.

Definition, p. 3, and text value: known, read. Points: read by eye from figs. 4 and 8 (CT within 3e-5, CQ within 3e-6).
"""

import pytest

from rotorkit.quantities import assert_quantity
from rotorkit.rotor import figure_of_merit_from_coefficients
from tests.reference_table import rows

POINTS = rows("naca_tn_2318_hover.csv")
CT_READING, CQ_READING = 3e-5, 3e-6
BEST = 0.615


@pytest.mark.parametrize("row", POINTS, ids=lambda row: f"{row['configuration']} CT {row['CT']}")
def test_the_reports_own_definition(row: dict[str, str]) -> None:
    """0.707 CT^1.5 / CQ: the printed factor is 1/sqrt(2) rounded, half a unit of which is 0.07 %."""
    thrust, torque = float(row["CT"]), float(row["CQ"])
    found = figure_of_merit_from_coefficients(thrust, torque)
    assert_quantity(found, f"{0.707 * thrust**1.5 / torque:.8f}", within=f"{100 * 0.0005 / 0.707:.3f} %")


def test_best_figure_of_merit_of_rotor_1_within_the_reading() -> None:
    best = max(
        (row for row in POINTS if row["rotor"] == "1"),
        key=lambda row: float(row["CT"]) ** 1.5 / float(row["CQ"]),
    )
    thrust, torque = float(best["CT"]), float(best["CQ"])
    found = figure_of_merit_from_coefficients(thrust, torque).m_as("")
    reading = found * (1.5 * CT_READING / thrust + CQ_READING / torque)
    assert abs(found - BEST) <= reading, f"{found:.4f} against {BEST} with reading {reading:.4f}"
    assert all(figure_of_merit_from_coefficients(float(row["CT"]), float(row["CQ"])).m_as("") < 1 for row in POINTS)
