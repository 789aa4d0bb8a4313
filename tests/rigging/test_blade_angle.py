"""Blade angles: the half-turn methods against the geometry itself, in vectors; signs; refusals; propagation."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from uncertainties import ufloat

from rotorkit.judging.measured import measured
from rotorkit.quantities import Angle, QuantityError, Ratio, assert_quantity
from rotorkit.rigging import (
    SignConvention,
    blade_angle,
    blade_angle_protractor_kept_facing_one_way,
    blade_angle_protractor_turned_with_blade,
    blade_to_blade_spread,
    mean_of_repeats,
    protractor_zero_end_for_end,
    shaft_lean_protractor_kept_facing_one_way,
    shaft_lean_protractor_turned_with_blade,
    shared_error,
    surface_slope_end_for_end,
    travel_between_stops,
)

small = st.floats(-20.0, 20.0)
blade = st.floats(-40.0, 40.0)
zero = st.floats(-2.0, 2.0)


def gravity_in_plane(theta: float, azimuth: float, lean: tuple[float, float]) -> tuple[float, float]:
    """How much of the plumb line lies along the chord and along its normal, from vectors alone.

    The shaft is tilted by two turns about level axes; the blade at `azimuth` has its span square to the shaft; the
    protractor stands on its chord in the plane square to the span.
    """
    a, b = lean
    about_x = np.array([[1, 0, 0], [0, np.cos(a), -np.sin(a)], [0, np.sin(a), np.cos(a)]])
    about_y = np.array([[np.cos(b), 0, np.sin(b)], [0, 1, 0], [-np.sin(b), 0, np.cos(b)]])
    tilt = about_y @ about_x
    span = tilt @ np.array([np.cos(azimuth), np.sin(azimuth), 0])
    edge = tilt @ np.array([-np.sin(azimuth), np.cos(azimuth), 0])
    shaft = np.cross(span, edge)
    chord = edge * np.cos(theta) + shaft * np.sin(theta)
    return float(chord[2]), float(np.cross(span, chord)[2])


def protractor_on_blade(
    theta: float, azimuth: float, lean: tuple[float, float], zero: float, end_for_end: bool = False
) -> float:
    """What a protractor reads (radians): the angle of its base line from level in that plane. No formula of the
    library."""
    along, normal = gravity_in_plane(theta, azimuth, lean)
    return float(np.arctan2(-along if end_for_end else along, normal)) + zero


def degrees(radians: float) -> str:
    return f"{np.degrees(radians):.12f} deg"


@given(theta=blade, azimuth=st.floats(0, 360), lean=st.tuples(small, small), off=zero)
def test_half_a_turn_cancels_the_lean_exactly_whatever_the_lean(
    theta: float, azimuth: float, lean: tuple[float, float], off: float
) -> None:
    t, z = np.radians(theta), np.radians(off)
    leans = tuple(np.radians(part) for part in lean)
    here, beyond = np.radians(azimuth), np.radians(azimuth) + np.pi
    first = protractor_on_blade(t, here, leans, z)
    with_blade = protractor_on_blade(t, beyond, leans, z)
    one_way = protractor_on_blade(t, beyond, leans, z, end_for_end=True)
    found = blade_angle_protractor_turned_with_blade(degrees(first), degrees(with_blade), f"{off:.12f} deg", 1)
    assert_quantity(found, f"{theta:.12f} deg", within="1e-9 deg")
    # Facing one way needs no zero.
    found = blade_angle_protractor_kept_facing_one_way(degrees(first), degrees(one_way), 1)
    assert_quantity(found, f"{theta:.12f} deg", within="1e-9 deg")
    one = shaft_lean_protractor_turned_with_blade(degrees(first), degrees(with_blade))
    other = shaft_lean_protractor_kept_facing_one_way(degrees(first), degrees(one_way), f"{off:.12f} deg")
    assert_quantity(one, other, within="1e-9 deg")


@given(theta=blade, azimuth=st.floats(0, 360), lean=st.tuples(small, small), off=zero)
def test_a_reference_square_to_the_shaft_cancels_lean_and_zero(
    theta: float, azimuth: float, lean: tuple[float, float], off: float
) -> None:
    leans = tuple(np.radians(part) for part in lean)
    here, z = np.radians(azimuth), np.radians(off)
    reading = protractor_on_blade(np.radians(theta), here, leans, z)
    reference = protractor_on_blade(0.0, here, leans, z)
    assert_quantity(blade_angle(degrees(reading), degrees(reference), 1), f"{theta:.12f} deg", within="1e-9 deg")


def test_tail_rotor_shaft_across_the_boom_reads_the_same_way() -> None:
    # A shaft tilted 89 deg: the disc stands almost plumb. Angles are counted from the plumb through the reference.
    leans, here = (np.radians(89.0), 0.0), 0.0
    for theta in (9.0, -26.5):
        reading = protractor_on_blade(np.radians(theta), here, leans, 0.004)
        reference = protractor_on_blade(0.0, here, leans, 0.004)
        assert_quantity(blade_angle(degrees(reading), degrees(reference), 1), f"{theta} deg", within="1e-9 deg")


def test_a_plumb_span_says_nothing_of_the_chord() -> None:
    # Shaft across the boom: a blade pointing straight up has no part of gravity in the plane of reading, a level one
    # all.
    across = (np.pi / 2, 0.0)
    assert np.hypot(*gravity_in_plane(0.3, np.pi / 2, across)) == pytest.approx(0.0, abs=1e-12)
    assert np.hypot(*gravity_in_plane(0.3, 0.0, across)) == pytest.approx(1.0)


def test_face_held_plumb_instead_of_square_to_the_span_errs_by_less_than_stated() -> None:
    # Span leaning 2 deg, blade at 26.5 deg: the elevation of the chord against the true angle; the module says 0.02
    # deg.
    theta, along_span = np.radians(26.5), np.radians(2.0)
    elevation = np.arcsin(np.sin(theta) * np.cos(along_span))
    assert 0.01 < np.degrees(theta - elevation) < 0.02


def test_hand_worked_figures_of_the_module() -> None:
    assert_quantity(blade_angle_protractor_turned_with_blade("9.8 deg", "6.8 deg", "0.3 deg", 1), "8.0 deg")
    assert_quantity(blade_angle_protractor_kept_facing_one_way("9.8 deg", "-6.2 deg", 1), "8.0 deg")
    assert_quantity(protractor_zero_end_for_end("1.5 deg", "-0.9 deg"), "0.3 deg")
    assert_quantity(surface_slope_end_for_end("1.5 deg", "-0.9 deg"), "1.2 deg")


@given(first=blade, second=blade, reference=small)
def test_turning_the_lean_round_changes_its_sign_and_leaves_the_blade_angle(
    first: float, second: float, reference: float
) -> None:
    a, b, z = f"{first:.6f} deg", f"{second:.6f} deg", f"{reference:.6f} deg"
    one = blade_angle_protractor_turned_with_blade(a, b, z, 1)
    assert_quantity(one, blade_angle_protractor_turned_with_blade(b, a, z, 1), within="1e-9 deg")
    assert_quantity(one, -1 * blade_angle_protractor_turned_with_blade(a, b, z, -1), within="1e-9 deg")
    lean, back = shaft_lean_protractor_turned_with_blade(a, b), shaft_lean_protractor_turned_with_blade(b, a)
    assert_quantity(lean, -1 * back, within="1e-9 deg")


@pytest.mark.parametrize("unknown", ["reading", "reference"])
def test_round_trip_through_the_inverse(unknown: str) -> None:
    known = {"reading": "9.8 deg", "reference": "1.8 deg", "sign": -1}
    result = blade_angle(**known)
    rest = {name: value for name, value in known.items() if name != unknown}
    assert_quantity(blade_angle.solve_for(unknown, result=result, **rest), known[unknown])


def test_units_do_not_matter() -> None:
    assert_quantity(
        blade_angle("9° 48'", "0.0314159265358979 rad", 1), blade_angle("9.8 deg", "1.8 deg", 1), within="1e-9 deg"
    )


def test_refusals() -> None:
    with pytest.raises(QuantityError) as caught:
        blade_angle("9.8", "1.8 lb", 1)
    assert {name for name, _ in caught.value.problems} == {"reading", "reference"}
    with pytest.raises(QuantityError, match="reading"):
        blade_angle("190 deg", "0 deg", 1)
    for wrong in (2, 0, 0.5, "0", np.array([1.0, 0.5])):  # nought would make every blade angle nothing
        with pytest.raises(QuantityError, match="sign must be 1 or -1"):
            blade_angle("9 deg", "0 deg", wrong)
    assert blade_angle("9 deg", "0 deg", np.array([1.0, -1.0])).shape == (2,)
    with pytest.raises(QuantityError, match="reading"):
        blade_angle(9.8, "1.8 deg", 1)
    with pytest.raises(ValueError, match="two blades or more"):
        blade_to_blade_spread([measured("8 deg", Angle, "one")])


def test_sign_convention_in_all_its_pairs() -> None:
    up, down = "leading edge up", "leading edge down"
    away, toward = "leading edge away from the tail boom", "leading edge toward the tail boom"
    assert [SignConvention(*pair).sign for pair in ((up, up), (up, down), (down, up), (down, down))] == [1, -1, -1, 1]
    assert [SignConvention(*pair).sign for pair in ((away, away), (away, toward), (toward, away))] == [1, -1, -1]
    for mixed in ((up, away), (toward, down)):
        with pytest.raises(ValueError, match="cannot be compared"):
            SignConvention(*mixed)
    with pytest.raises(ValueError, match="protractor_positive: needs one of"):
        SignConvention("nose up", up)
    # A protractor that reads up as positive, a manual that calls down positive: 8 deg up is -8 deg.
    sign = SignConvention(up, down).sign
    assert_quantity(blade_angle("9.8 deg", "1.8 deg", sign), "-8.0 deg")
    assert "-(reading - reference)" in SignConvention(up, down).sentence


def test_uncertainty_agrees_with_an_independent_library() -> None:
    # Oracle: the `uncertainties` package. Instrument errors near the blade's and the reference's angle are
    # independent.
    reading = mean_of_repeats(["9.8 deg"], Angle, "blade", shared=shared_error("protractor", "low stop", "0.2 deg"))
    reference = mean_of_repeats(["1.8 deg"], Angle, "hub", shared=shared_error("protractor", "reference", "0.2 deg"))
    found = blade_angle(reading, reference, 1)
    oracle = ufloat(9.8, 0.1) - ufloat(1.8, 0.1)
    assert found.standard_uncertainty.to("degree").magnitude == pytest.approx(oracle.s, rel=1e-12)
    # The same error in both cancels, in the library and in the oracle.
    one_error = ufloat(0, 0.1)
    oracle = (9.8 + one_error) - (1.8 + one_error)
    shared = {"protractor zero": "0.2 deg"}
    found = blade_angle(
        measured("9.8 deg", Angle, "b", shared=shared), measured("1.8 deg", Angle, "r", shared=shared), 1
    )
    assert oracle.s == 0
    assert found.standard_uncertainty.to("degree").magnitude == pytest.approx(0.0, abs=1e-12)


def test_half_turn_facing_one_way_cancels_the_zero_in_the_uncertainty_too() -> None:
    shared = {"protractor zero": "0.3 deg"}
    first, second = (measured(text, Angle, "blade", shared=shared) for text in ("9.8 deg", "-6.2 deg"))
    assert blade_angle_protractor_kept_facing_one_way(first, second, 1).standard_si == pytest.approx(0.0, abs=1e-15)
    zero_known = measured("0.3 deg", Angle, "zero", "0.05 deg")
    mean = blade_angle_protractor_turned_with_blade(first, second, zero_known, 1)
    assert np.degrees(mean.expanded_si) == pytest.approx(np.hypot(0.3, 0.05))


def test_spread_loses_what_the_blades_share() -> None:
    place = shared_error("protractor", "low stop", "0.2 deg")
    own = "0.05 deg"
    angles = [measured(text, Angle, text, own, place) for text in ("8.0 deg", "8.3 deg", "7.9 deg")]
    spread = blade_to_blade_spread(angles)
    assert_quantity(spread, "0.4 deg", within="1e-9 deg")
    assert np.degrees(spread.expanded_si) == pytest.approx(0.05 * np.sqrt(2))


def test_travel_of_common_practice() -> None:
    # One aircraft's figures (no source): never rig by them. Arithmetic alone.
    assert_quantity(travel_between_stops("9 deg", "-26.5 deg"), "-35.5 deg")
    assert_quantity(travel_between_stops("-26.5 deg", "9 deg"), "35.5 deg")


def test_sign_is_a_plain_ratio() -> None:
    assert_quantity(blade_angle("9.8 deg", "1.8 deg", measured("1", Ratio, "sign")), "8.0 deg")
