"""US Army TM 1-1500-204-23-9 and US Navy NAVEDTRA 14018 on cable tensiometers. Known: read.

Not covered: the chart reading of 70 lbf for a 1/8 in 7x19 cable at 85 degF (TM, para. 7-3 d). It is one point of one
aircraft's chart; no slope, airframe or tension at another temperature comes with it, so nothing can be worked out from
it.
"""

import pytest

from rotorkit.quantities import QuantityError, assert_quantity
from rotorkit.rigging import CalibrationTable, calibration_table_for, tension_from_gauge
from tests.reference_table import row

READING = 40.0
"""The dial reading is not carried over from the manuals; what they show is that one reading has two tensions."""


def table(serial: str, tension: float) -> CalibrationTable:
    """An invented table that gives the manual's tension at the one reading."""
    return CalibrationTable(serial, "1", "1/8 in", [(READING + d, f"{tension + 2 * d} lbf") for d in (-10, 0, 10)])


def test_the_table_belongs_to_the_serial_numbered_gauge() -> None:
    assert "70 lbf in one manual and 100 in another" in row("cable_checks.csv", "given", "tensiometer")["given"]
    army, navy = table("of the Army's manual", 70), table("of the Navy's manual", 100)
    in_hand = {"riser": "1", "cable_diameter": "1/8 in"}
    assert_quantity(tension_from_gauge(army, READING, gauge_serial="of the Army's manual", **in_hand), "70.0 lbf")
    assert_quantity(tension_from_gauge(navy, READING, gauge_serial="of the Navy's manual", **in_hand), "100.0 lbf")
    with pytest.raises(QuantityError, match="gauge_serial"):
        tension_from_gauge(army, READING, gauge_serial="of the Navy's manual", **in_hand)
    assert calibration_table_for([army, navy], gauge_serial="of the Navy's manual", **in_hand) is navy
