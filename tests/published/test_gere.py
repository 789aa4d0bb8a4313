"""J. M. Gere, Mechanics of Materials. Known: quoted (companion notebooks and a solution manual; the book was not
seen)."""

from rotorkit.quantities import assert_quantity
from rotorkit.rigging import (
    euler_load,
    strength_margin,
    stretch_under_force,
    tube_second_moment,
    turns_for_length_change,
)
from tests.reference_table import row


def test_example_2_1_turns_of_a_threaded_rod() -> None:
    # Example 2.1, p. 72 (TB05): a weight of 2 lb on a lever arm of 10.5 in pulls a spring of 4.2 lb/in at 6.4 in; the
    # nut has 16 threads to the inch: 12.5 revolutions bring the lever back.
    assert row("thread_and_friction_examples.csv", "id", "TB05")["published"] == "n=12.5 rev"
    stretch = stretch_under_force(f"{2 * 10.5 / 6.4} lbf", "4.2 lbf/in")
    assert_quantity(turns_for_length_change(stretch, "1/16 in"), "12.5")


def test_problem_11_3_15_strut_of_circular_tube() -> None:
    # Problem 11.3-15: pinned ends, 4 kips with a factor of 2.0, 6 ft, E 10400 ksi: I = 0.404 in4; with 2 in outside, a
    # wall of 0.165 in.
    expected = row("thread_and_friction_examples.csv", "id", "G11315")
    assert expected["published"] == "I = 0.404 in4; t = 0.165 in"
    known = {"elastic_modulus": "10400000 psi", "length": "6 ft", "end_factor": 1}
    second = euler_load.solve_for("second_moment", result="8000 lbf", **known)
    assert_quantity(second, "0.404 in^4")
    assert_quantity(second, "0.404038 in^4")
    wall = tube_second_moment.solve_for("wall", result=second, outer_diameter="2 in", between=("0.01 in", "1 in"))
    assert_quantity(wall, "0.165 in")
    assert_quantity(wall, "0.165240 in")
    assert_quantity(strength_margin("8000 lbf", "4000 lbf"), "1.000")
