"""Pitch links: the angles against linkages solved as geometry, and the words of a link."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import brentq

from rotorkit.judging.measured import measured
from rotorkit.quantities import Length, QuantityError, assert_quantity
from rotorkit.rigging import (
    PitchLink,
    angle_from_length_change,
    angle_horn_not_square,
    angle_short_link,
    angle_small,
)


def linkage_angle(arm: float, link: float, change: float, horn: float = 0.0) -> float:
    """Turn of the horn, radians, when a link from its end to a fixed point is made longer: a root of the distance.

    The feathering axis is the origin. The link starts upright below the horn's end, its lower end stays where it is.
    """
    end = arm * np.array([np.cos(horn), np.sin(horn)])
    foot = end - np.array([0.0, link])

    def too_long(turn: float) -> float:
        moved = arm * np.array([np.cos(horn + turn), np.sin(horn + turn)])
        return float(np.hypot(*(moved - foot)) - (link + change))

    return float(brentq(too_long, -0.25, 0.25, xtol=1e-14))


@given(arm=st.floats(3, 10), link=st.floats(4, 20), change=st.floats(-0.5, 0.5))
def test_short_link_is_the_triangle_exactly(arm: float, link: float, change: float) -> None:
    found = angle_short_link(f"{change:.9f} in", f"{arm:.9f} in", f"{link:.9f} in")
    assert float(found.magnitude) == pytest.approx(linkage_angle(arm, link, change), abs=1e-7)


@given(arm=st.floats(3, 10), change=st.floats(-0.5, 0.5), horn=st.floats(-30, 30))
def test_horn_not_square_is_a_very_long_link(arm: float, change: float, horn: float) -> None:
    found = angle_horn_not_square(f"{change:.9f} in", f"{arm:.9f} in", f"{horn:.9f} deg")
    assert float(found.magnitude) == pytest.approx(linkage_angle(arm, 1e5, change, np.radians(horn)), abs=1e-5)


def test_range_of_the_small_angle_as_the_module_states_it() -> None:
    def apart(x: float) -> float:
        return float((angle_from_length_change(f"{x} in", "1 in") / angle_small(f"{x} in", "1 in")).magnitude) - 1

    assert apart(0.1) == pytest.approx(0.0017, abs=0.00005)
    assert apart(0.2) == pytest.approx(0.007, abs=0.0003)
    four = np.radians(4.0)
    assert np.degrees(np.arcsin(four) - four) == pytest.approx(0.003, abs=0.001)
    # A horn 20 deg away makes 6 per cent more; a short link started square next to nothing.
    more = angle_horn_not_square("0.01 in", "6.5 in", "20 deg") / angle_from_length_change("0.01 in", "6.5 in")
    assert float(more.magnitude) - 1 == pytest.approx(0.064, abs=0.001)


@pytest.mark.parametrize("unknown", ["length_change", "arm"])
def test_round_trip(unknown: str) -> None:
    known = {"length_change": "0.25 in", "arm": "6.5 in"}
    result = angle_from_length_change(**known)
    rest = {name: value for name, value in known.items() if name != unknown}
    assert_quantity(
        angle_from_length_change.solve_for(unknown, result=result, **rest), known[unknown], within="1e-9 in"
    )


def test_a_change_beyond_the_arm_is_refused() -> None:
    with pytest.raises(QuantityError):
        angle_from_length_change("7 in", "6.5 in")


def test_uncertainty_of_the_arm_is_carried() -> None:
    found = angle_from_length_change("0.5 in", measured("6.5 in", Length, "arm", "0.05 in"))
    # d(angle)/d(arm) = -x / (a sqrt(1 - x^2))
    x = 0.5 / 6.5
    assert float(found.expanded_si) == pytest.approx(x / 6.5 / np.sqrt(1 - x * x) * 0.05, rel=1e-6)


def test_the_words_of_a_link_give_the_sign() -> None:
    raises = PitchLink("6.5 in", "1/4-28", "1/4-28 left hand", 6, "raises the blade angle")
    lowers = PitchLink("6.5 in", "1/4-28", "1/4-28 left hand", 6, "lowers the blade angle")
    assert_quantity(raises.angle_per_flat(), "0.1049 deg")
    assert_quantity(lowers.angle_per_flat(), "-0.1049 deg")
    assert_quantity(raises.angle_for_flats(-6), "-0.6296 deg")


def test_one_end_both_ends_and_a_differential_thread() -> None:
    assert_quantity(PitchLink("6.5 in", "1/4-28", "", 2).length_per_flat, "0.017857 in")
    both = PitchLink("6.5 in", "3/8-24", "1/4-28 left hand")
    assert_quantity(both.length_per_turn, "0.077381 in")
    for upper, lower in (("3/8-24", "1/4-28"), ("1/4-28", "3/8-24")):
        fine = PitchLink("6.5 in", upper, lower)
        assert not fine.both_ends
        assert_quantity(fine.length_per_turn, "0.005952 in")


def test_a_horn_square_at_one_blade_angle() -> None:
    link = PitchLink("6.5 in", "1/4-28", "1/4-28 LH", 6, "raises the blade angle", "8 deg")
    square, far = link.angle_per_flat("8 deg"), link.angle_per_flat("28 deg")
    assert_quantity(square, link.angle_per_flat(), within="1e-9 deg")
    assert float((far / square).magnitude) == pytest.approx(1 / np.cos(np.radians(20)), abs=2e-3)


def test_refusals() -> None:
    with pytest.raises(QuantityError, match="of one hand and one pitch"):
        PitchLink("6.5 in", "1/4-28", "1/4-28")
    with pytest.raises(QuantityError, match="lengthening: needs"):
        PitchLink("6.5 in", "1/4-28", "", 6, "up")  # type: ignore[arg-type]
    with pytest.raises(QuantityError, match="flats_per_turn"):
        PitchLink("6.5 in", "1/4-28", "", 0)
    with pytest.raises(QuantityError, match="arm: needs a length above zero"):
        PitchLink("0 in", "1/4-28")
    with pytest.raises(QuantityError, match="thread: needs diameter"):
        PitchLink("6.5 in", "fine")
