"""Threads: designations read and refused, and what turns do to a length."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rotorkit.quantities import Length, QuantityError, assert_quantity, read
from rotorkit.rigging import (
    flats_for_turns,
    length_change_both_ends,
    length_change_one_end,
    length_change_same_hand,
    thread,
    turns_for_length_change,
)


@pytest.mark.parametrize(
    ("written", "diameter", "pitch", "left"),
    [
        ("1/4-28", "0.25 in", "0.0357142857 in", False),
        ("1/4-28 UNF", "0.25 in", "0.0357142857 in", False),
        ("1/4-28 UNF-3A LH", "0.25 in", "0.0357142857 in", True),
        ("3/8 - 24, left hand", "0.375 in", "0.0416666667 in", True),
        ("10-32", "0.190 in", "0.03125 in", False),
        ("#10-32 left-hand", "0.190 in", "0.03125 in", True),
        ("8-32", "0.164 in", "0.03125 in", False),
        # machine-screw sizes of ASME B1.1 (from memory), and whole inches beside them
        ("0-80", "0.060 in", "0.0125 in", False),
        ("#0-80 LH", "0.060 in", "0.0125 in", True),
        ("1-64", "0.073 in", "0.015625 in", False),
        ("1-72", "0.073 in", "0.0138888889 in", False),
        ("2-56", "0.086 in", "0.0178571428571 in", False),
        ("12-24", "0.216 in", "0.0416666667 in", False),
        ("1-8", "1 in", "0.125 in", False),
        ("1-14 UNS", "1 in", "0.0714285714 in", False),
        ("2-12", "2 in", "0.0833333333 in", False),
        ("1 1/8-12", "1.125 in", "0.0833333333 in", False),
        ("0.250-28", "0.25 in", "0.0357142857 in", False),
        ("1/4-28 RH", "0.25 in", "0.0357142857 in", False),
        ("M6x1", "6 mm", "1 mm", False),
        ("M8×1.25 LH", "8 mm", "1.25 mm", True),
    ],
)
def test_designations(written: str, diameter: str, pitch: str, left: bool) -> None:
    found = thread(written)
    assert found.left_hand is left
    assert read(found.diameter, Length).si == pytest.approx(read(diameter, Length).si, rel=1e-9)
    assert read(found.pitch, Length).si == pytest.approx(read(pitch, Length).si, rel=1e-9)


@pytest.mark.parametrize(
    "written",
    [
        *("", "1/4", "28", "1/4-0", "M6", "M6x0", "quarter-28", "1/0-28", "0/4-28", "1/4-28 both"),
        *("0.0-28", "0-12", "00-90", "5/4-28", "13-20", "#13-28", "1 0/8-12", "20.5-12"),
    ],
)
def test_what_is_no_designation_is_refused(written: str) -> None:
    with pytest.raises(QuantityError, match="thread: needs diameter"):
        thread(written)


@given(turns=st.floats(-20, 20), one=st.integers(12, 80), other=st.integers(12, 80))
def test_a_body_between_two_hands_moves_both_ends(turns: float, one: int, other: int) -> None:
    change = length_change_both_ends(f"1/{one} in", f"1/{other} in", turns)
    alone = length_change_one_end(f"1/{one} in", turns) + length_change_one_end(f"1/{other} in", turns)
    assert_quantity(change, alone, within="1e-12 in")
    per_turn = length_change_both_ends(f"1/{one} in", f"1/{other} in", 1)
    assert float(turns_for_length_change(change, per_turn).magnitude) == pytest.approx(turns, abs=1e-9)


def test_same_hand_and_pitch_changes_nothing() -> None:
    assert_quantity(length_change_same_hand("1/28 in", "1/28 in", 5), "0 in", within="1e-12 in")


def test_flats_of_a_hexagon() -> None:
    assert_quantity(flats_for_turns(0.5, 6), "3.0")
    assert_quantity(flats_for_turns.solve_for("turns", result=2, flats_per_turn=6), "0.3333333")
