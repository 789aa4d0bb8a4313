"""Cyclic pitch: waves taken apart again; and the words for the stick, against a blade flown in a simulation."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from rotorkit.judging.measured import Measured, coverage_factor, measured
from rotorkit.quantities import Angle, QuantityError, assert_quantity
from rotorkit.rigging import (
    PLACES,
    STICK_DIRECTIONS,
    RotorTurn,
    azimuth_of,
    cyclic_range,
    half_difference,
    harmonics,
    highest_azimuth,
    mean_of_opposite,
    swashplate_highest_azimuth,
    swashplate_tilt,
)

CCW, CW = RotorTurn.COUNTER_CLOCKWISE, RotorTurn.CLOCKWISE


def read(degrees: float, label: str = "blade", own: str | None = "0.1 deg", shared: str | None = None) -> Measured:
    return measured(f"{degrees:.12f} deg", Angle, label, own, {"protractor": shared} if shared else None)


def wave(
    mean: float, cosine: float, sine: float, azimuths: list[float], **more: str | None
) -> list[tuple[str, Measured]]:
    def at(psi: float) -> float:
        return mean + cosine * np.cos(np.radians(psi)) + sine * np.sin(np.radians(psi))

    return [(f"{psi:.12f} deg", read(at(psi), f"{psi}", **more)) for psi in azimuths]


def degrees(figure: Measured) -> float:
    return float(np.degrees(figure.si))


@given(
    parts=st.tuples(st.floats(-5, 15), st.floats(-8, 8), st.floats(-8, 8)),
    start=st.floats(0, 360),
    count=st.integers(3, 8),
)
def test_waves_are_taken_apart(parts: tuple[float, float, float], start: float, count: int) -> None:
    azimuths = [start + 360 * i / count for i in range(count)]
    found = harmonics(wave(*parts, azimuths))
    assert [degrees(f) for f in (found.mean, found.cosine, found.sine)] == pytest.approx(list(parts), abs=1e-8)
    assert np.degrees(found.greatest_residual_si) < 1e-8
    assert degrees(found.at(f"{start} deg")) == pytest.approx(
        parts[0] + parts[1] * np.cos(np.radians(start)) + parts[2] * np.sin(np.radians(start)), abs=1e-8
    )
    amplitude = found.amplitude
    assert np.degrees(float(amplitude.si)) == pytest.approx(np.hypot(parts[1], parts[2]), abs=1e-8)
    assert np.degrees(float(amplitude.expanded_si)) == pytest.approx(0.1 * np.sqrt(2 / count), rel=1e-6)


def test_four_azimuths_agree_with_the_opposite_pairs() -> None:
    angles = [8.6, 2.5, 8.0, 14.5]
    found = harmonics([(f"{90 * i} deg", read(angle)) for i, angle in enumerate(angles)])
    assert degrees(found.cosine) == pytest.approx(np.degrees(half_difference("8.6 deg", "8.0 deg").magnitude))
    assert degrees(found.sine) == pytest.approx(np.degrees(half_difference("2.5 deg", "14.5 deg").magnitude))
    assert degrees(found.mean) == pytest.approx(np.mean(angles))
    pairs = [mean_of_opposite(f"{a} deg", f"{b} deg").m_as("deg") for a, b in ((8.6, 8.0), (2.5, 14.5))]
    assert np.mean(pairs) == pytest.approx(degrees(found.mean))
    # The one pattern that is left is a second harmonic.
    assert np.sign(found.residuals_si).tolist() in ([1, -1, 1, -1], [-1, 1, -1, 1])
    assert np.ptp(np.abs(found.residuals_si)) == pytest.approx(0.0, abs=1e-12)


def test_uncertainties_of_the_parts() -> None:
    found = harmonics(wave(8, 1, 2, [0, 90, 180, 270], own="0.2 deg", shared="0.3 deg"))
    assert np.degrees(found.mean.expanded_si) == pytest.approx(np.hypot(0.3, 0.2 / 2))
    # An error in common to all readings is no cyclic pitch.
    assert np.degrees(found.cosine.expanded_si) == pytest.approx(0.2 / np.sqrt(2))


def test_two_azimuths_do_not_do() -> None:
    with pytest.raises(QuantityError, match="half_difference"):
        harmonics(wave(8, 1, 2, [0, 180]))
    with pytest.raises(QuantityError, match="cannot tell 3 unknowns apart"):
        harmonics(wave(8, 1, 2, [0, 180, 360]))


def highest_place(turn: RotorTurn, azimuth: float) -> str:
    """Over which place a blade points at an azimuth."""
    return next(p for p in PLACES if abs(np.degrees(azimuth_of(p, turn).magnitude) - azimuth % 360) < 1)


@pytest.mark.parametrize("turn", [CCW, CW])
@pytest.mark.parametrize("stick", STICK_DIRECTIONS)
def test_the_blade_so_pitched_is_lowest_where_the_stick_points(turn: RotorTurn, stick: str) -> None:
    # A blade hinged at the axis: beta'' + (gamma/8) beta' + beta = (gamma/8) theta(psi), flown until it is steady.
    top = highest_azimuth(stick, turn).magnitude
    lock = 6.0 / 8

    def flap(psi: float, y: np.ndarray) -> list[float]:
        return [y[1], -lock * y[1] - y[0] + lock * np.cos(psi - top)]

    turns = 40 * 2 * np.pi
    psi = turns + np.linspace(0, 2 * np.pi, 721)[:-1]
    height = solve_ivp(flap, (0, psi[-1]), [0, 0], t_eval=psi, rtol=1e-9, atol=1e-11).y[0]
    lowest = np.degrees(psi[height.argmin()] - turns)
    wanted = {
        "forward": "over the nose",
        "aft": "over the tail",
        "left": "over the left side",
        "right": "over the right side",
    }
    assert highest_place(turn, round(lowest / 90) * 90) == wanted[stick]
    assert abs(lowest - round(lowest / 90) * 90) < 1


def test_the_table_of_the_module() -> None:
    over = {
        turn: {s: highest_place(turn, np.degrees(highest_azimuth(s, turn).magnitude)) for s in STICK_DIRECTIONS}
        for turn in (CCW, CW)
    }
    assert over[CCW] == {
        "forward": "over the left side",
        "aft": "over the right side",
        "left": "over the tail",
        "right": "over the nose",
    }
    assert over[CW] == {
        "forward": "over the right side",
        "aft": "over the left side",
        "left": "over the nose",
        "right": "over the tail",
    }


@pytest.mark.parametrize("turn", [CCW, CW])
@pytest.mark.parametrize("lag", [70.0, 90.0])
def test_range_cross_and_phase(turn: RotorTurn, lag: float) -> None:
    waves = {}
    for stick, size in (("forward", 6.0), ("aft", 5.0), ("left", 4.5), ("right", 3.5)):
        top = np.degrees(highest_azimuth(stick, turn, f"{lag} deg").magnitude) + 4.0  # rigged 4 deg too far on
        waves[stick] = harmonics(
            wave(8, size * np.cos(np.radians(top)), size * np.sin(np.radians(top)), [0, 90, 180, 270])
        )
    found = cyclic_range(waves, turn, f"{lag} deg")
    for stick, size in (("forward", 6.0), ("aft", 5.0), ("left", 4.5), ("right", 3.5)):
        assert degrees(found.range[stick]) == pytest.approx(size * np.cos(np.radians(4)), abs=1e-9)
        assert abs(degrees(found.cross[stick])) == pytest.approx(size * np.sin(np.radians(4)), abs=1e-9)
        assert degrees(found.phase_error(stick)) == pytest.approx(4.0, abs=1e-9)
        assert degrees(found.collective[stick]) == pytest.approx(8.0, abs=1e-9)
    assert degrees(found.travel()) == pytest.approx(11 * np.cos(np.radians(4)))
    assert degrees(found.travel("left and right")) == pytest.approx(8 * np.cos(np.radians(4)))
    # Too far on, the stick forward tilts a counter-clockwise rotor to the left as well, a clockwise one to the right.
    assert np.sign(degrees(found.cross["forward"])) == (-1 if turn is CCW else 1)


def test_travel_names_what_is_missing() -> None:
    found = cyclic_range({"forward": harmonics(wave(8, 1, 2, [0, 90, 180, 270]))}, CCW)
    with pytest.raises(QuantityError, match="stick full aft"):
        found.travel()


def test_a_slip_of_the_cyclic_neutral_drops_out_of_the_travel() -> None:
    slip = 0.7
    waves = {
        stick: harmonics(wave(8, 0, s, [0, 90, 180, 270]))
        for stick, s in (("forward", -6.0 + slip), ("aft", 5.0 + slip))
    }
    found = cyclic_range(waves, CCW)
    assert degrees(found.range["forward"]) == pytest.approx(6.0 - slip)
    assert degrees(found.travel()) == pytest.approx(11.0)


def test_highest_azimuth_of_the_wave_and_of_the_swashplate() -> None:
    found = harmonics(wave(8, 3.0, -4.0, [0, 120, 240]))
    assert degrees(found.highest_at) == pytest.approx(306.8698976)
    assert_quantity(swashplate_highest_azimuth("306.87 deg", "90 deg"), "36.87 deg", within="1e-6 deg")
    assert_quantity(
        swashplate_highest_azimuth("306.87 deg", "90 deg", "lowers the blade angle"), "216.87 deg", within="1e-6 deg"
    )
    assert_quantity(swashplate_highest_azimuth("30 deg", "-90 deg"), "300 deg", within="1e-6 deg")


def test_swashplate_tilt_against_heights() -> None:
    # Horn end and link foot rise by the same height.
    tilt = swashplate_tilt("5.8 deg", "6.5 in", "5.2 in")
    assert 5.2 * np.sin(tilt.magnitude) == pytest.approx(6.5 * np.sin(np.radians(5.8)))
    back = swashplate_tilt.solve_for("amplitude", result=tilt, arm="6.5 in", link_radius="5.2 in")
    assert_quantity(back, "5.8 deg", within="1e-9 deg")


def test_refusals() -> None:
    with pytest.raises(QuantityError, match="turn: needs"):
        azimuth_of("over the nose", "left")
    with pytest.raises(QuantityError, match="place: needs one of"):
        azimuth_of("nose", CCW)
    with pytest.raises(QuantityError, match="stick: needs one of"):
        highest_azimuth("up", CCW)
    for lag in ("0 deg", "120 deg"):
        with pytest.raises(QuantityError, match="response_lag"):
            highest_azimuth("forward", CCW, lag)
    with pytest.raises(QuantityError, match="link_raised"):
        swashplate_highest_azimuth("0 deg", "90 deg", "up")


def test_a_wave_is_as_well_known_wherever_azimuths_are_counted_from() -> None:
    """Seven places, not evenly round: against NumPy's covariance of the same columns, whatever the zero of azimuth."""
    places = np.array([0.0, 40.0, 70.0, 130.0, 150.0, 240.0, 310.0])
    angles = 8 + 5 * np.cos(np.radians(places - 250)) + np.array([0.3, -0.2, 0.25, -0.3, 0.1, 0.2, -0.3])

    def columns(at: np.ndarray) -> np.ndarray:
        return np.stack([np.ones_like(at), np.cos(np.radians(at)), np.sin(np.radians(at))])

    matrix = columns(places).T
    best, squares, *_ = np.linalg.lstsq(matrix, angles, rcond=None)
    covariance = np.linalg.inv(matrix.T @ matrix) * squares[0] / 4
    for zero in (0.0, 33.0, 180.0):
        found = harmonics(
            [
                (f"{a - zero} deg", measured(f"{b:.12f} deg", Angle, "blade", "0.02 deg"))
                for a, b in zip(places, angles, strict=True)
            ]
        )
        for azimuth in (0.0, 100.0, 250.0):
            row = columns(np.array([azimuth]))[:, 0]
            wanted = np.sqrt(row @ covariance @ row) * coverage_factor(4)
            there = found.at(f"{azimuth - zero} deg")
            assert np.degrees(float(there.si)) == pytest.approx(row @ best, abs=1e-9)
            assert np.degrees(float(there.expanded_si)) == pytest.approx(wanted, rel=1e-6)


@pytest.mark.parametrize("turn", [CCW, CW])
@pytest.mark.parametrize("stick", STICK_DIRECTIONS)
def test_a_manual_that_counts_leading_edge_down_has_its_highest_reading_half_a_turn_on(
    stick: str, turn: RotorTurn
) -> None:
    """The blade does the same whatever the sign: what is highest with the leading edge up is lowest with it down."""
    up, down = (highest_azimuth(stick, turn, positive=f"leading edge {way}").m_as("deg") for way in ("up", "down"))
    assert (down - up) % 360 == pytest.approx(180)
