"""Rod ends: engagement, flats to spare, and what is said of them."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rotorkit.judging.measured import measured
from rotorkit.quantities import Length, QuantityError, assert_quantity
from rotorkit.rigging import (
    PitchLink,
    engagement_after_turns,
    engagement_verdict,
    flats_within_engagement,
    witness_hole_verdict,
)

LINK = PitchLink("6.5 in", "1/4-28", "1/4-28 left hand")


@given(upper=st.floats(0.375, 0.7), lower=st.floats(0.375, 0.7))
def test_flats_to_spare_keep_both_ends_engaged_and_one_more_does_not(upper: float, lower: float) -> None:
    least, most = flats_within_engagement(LINK, (f"{upper:.9f} in", f"{lower:.9f} in"), "0.375 in", "0.7 in")
    assert least <= 0 <= most
    for flats, fits in ((most, True), (most + 1, False), (least, True), (least - 1, False)):
        left = [engagement_after_turns(f"{e:.9f} in", "1/28 in", flats / 6).m_as("inch") for e in (upper, lower)]
        assert all(0.375 - 1e-8 <= e <= 0.7 + 1e-8 for e in left) is fits


def test_one_end_and_a_differential_link() -> None:
    one = PitchLink("6.5 in", "1/4-28", "", 2)
    assert flats_within_engagement(one, ("0.5 in", "0.5 in"), "0.375 in", "0.6 in") == (-5, 7)
    # Same hand, coarser above: longer leaves the upper thread and enters the lower.
    fine = PitchLink("6.5 in", "3/8-24", "1/4-28")
    least, most = flats_within_engagement(fine, ("0.5 in", "0.5 in"), "0.375 in", "0.6 in")
    assert (least, most) == (-14, 16)
    assert fine.out_per_turn[0] > 0 > fine.out_per_turn[1]


def test_without_a_greatest_engagement_two_turns_shorter_are_allowed() -> None:
    assert flats_within_engagement(LINK, ("0.5 in", "0.5 in"), "0.375 in") == (-12, 21)


def test_an_end_already_out_is_named() -> None:
    with pytest.raises(QuantityError, match=r"the lower end has 0\.3"):
        flats_within_engagement(LINK, ("0.5 in", "0.3 in"), "0.375 in")


def test_engagement_judged_with_its_uncertainty() -> None:
    words = [
        engagement_verdict(measured(text, Length, "engagement"), "3/8 in", "manual").word
        for text in ("0.45 ± 0.02 in", "0.38 ± 0.02 in", "0.30 ± 0.02 in")
    ]
    assert words == ["in limits", "too close to call", "out of limits"]
    assert engagement_verdict("0.45 in", "3/8 in", "manual").limit.source == "manual"


def test_out_of_the_body_shows_as_a_negative_figure() -> None:
    assert_quantity(engagement_after_turns("0.1 in", "1/28 in", 4), "-0.043 in")


def test_what_the_witness_hole_says() -> None:
    assert witness_hole_verdict(False, True, "red link").sentence == (
        "witness hole of the red link: a 0.020 in wire does not pass and threads are visible: in limits"
    )
    assert witness_hole_verdict(None, None).sentence == "witness hole of the rod end: not looked at: no verdict"
    # A wire that passes is out, whether or not anybody looked for threads.
    assert witness_hole_verdict(True, None).word == "out of limits"
    assert witness_hole_verdict(False, None).word == "no verdict yet"
