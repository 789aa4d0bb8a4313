"""Rotor track: spread of the marks, and the flapping that it means."""

import math

import pytest

from rotorkit.balance import flapping_difference, track_spread
from rotorkit.judging import measured
from rotorkit.quantities import Length, QuantityError, assert_quantity


def test_the_highest_less_the_lowest() -> None:
    """2.25, 1.875 and 2.0 in: 0.375 in, whatever the order and the line that heights are counted from."""
    for shift in (0.0, -3.0):
        marks = [measured(f"{height + shift} in", Length, str(height)) for height in (2.0, 2.25, 1.875)]
        assert_quantity(track_spread(marks), "0.375 in")


def test_what_all_marks_share_drops_out() -> None:
    marks = [
        measured("2 in", Length, "a", "0.1 in", {"flag": "1 in"}),
        measured("1 in", Length, "b", "0.1 in", {"flag": "1 in"}),
    ]
    assert float(track_spread(marks).expanded_si) == pytest.approx(math.hypot(0.1, 0.1) * 0.0254)


def test_one_mark_is_no_track() -> None:
    with pytest.raises(QuantityError, match="at least two"):
        track_spread([measured("2 in", Length, "a")])


def test_flapping_by_plain_trigonometry() -> None:
    assert flapping_difference("0.375 in", "140 in").m_as("deg") == pytest.approx(math.degrees(math.atan(0.375 / 140)))
    assert flapping_difference("-0.375 in", "140 in").m_as("deg") < 0
