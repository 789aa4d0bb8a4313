"""S. S. Bhavikatti, Strength of Materials. Known: quoted (companion notebooks to the book; the book was not seen)."""

import pytest

from rotorkit.quantities import assert_quantity
from rotorkit.rigging import axial_stiffness_of_uniform_bar, end_stiffness, tension_change_of_turns, turnbuckle_turns
from tests.reference_table import row

BOLT, TUBE = 16**2, 30**2 - 20**2
"""Areas in mm2 over pi/4."""


def test_example_2_2_26_a_quarter_turn_of_the_nut() -> None:
    # Example 2.2.26, p. 37 (TB02): a bolt of 16 mm (2e5 N/mm2) in a copper tube of 20/30 mm (1.2e5 N/mm2), 500 mm, nut
    # of 2 mm pitch, a quarter turn: bolt 107.91, tube 55.25 N/mm2. Bolt for cable, tube for airframe.
    expected = row("thread_and_friction_examples.csv", "id", "TB02")
    quarter_pi = 0.7853981633974483
    bolt = axial_stiffness_of_uniform_bar("200000 MPa", f"{quarter_pi * BOLT:.12f} mm^2")
    tube = end_stiffness(axial_stiffness_of_uniform_bar("120000 MPa", f"{quarter_pi * TUBE:.12f} mm^2"), "500 mm")
    run = ("500 mm", bolt, tube, 1, "2 mm", "0 mm")
    force = tension_change_of_turns(0.25, *run)
    assert expected["recomputed"] == "P=21697.33 N; 107.914; 55.252"
    assert_quantity(force, "21697.33 N")
    for area, published, recomputed in ((BOLT, 107.91, 107.914), (TUBE, 55.25, 55.252)):
        stress = force.m_as("N") / (quarter_pi * area)
        assert stress == pytest.approx(published, abs=0.005)
        assert stress == pytest.approx(recomputed, abs=0.0005)
    assert_quantity(turnbuckle_turns(force, *run), "0.25000")
