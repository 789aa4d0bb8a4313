"""Control travel: slope, bands and residuals from sweeps that are made up, and refusals."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rotorkit.judging.measured import Measured, coverage_factor, measured
from rotorkit.quantities import Angle, QuantityError, assert_quantity
from rotorkit.rigging import TravelReading, control_travel, dead_band_from_reversal


def blade(degrees: float, own: str | None = "0.1 deg", shared: str | None = None) -> Measured:
    return measured(
        f"{degrees:.12f} deg", Angle, f"blade at {degrees}", own, {"protractor": shared} if shared else None
    )


def sweep(
    slope: float, start: float, play: float, unit: str = "in", stops: tuple[float, ...] = (0, 1, 2, 3, 4)
) -> list[TravelReading]:
    """Up and down, the blade lagging by half the play either way."""
    lag = play / 2 * np.sign(slope)
    return [
        TravelReading(f"{x} {unit}", blade(start + slope * x - side * lag), way)
        for way, side, order in (("up", 1, stops), ("down", -1, stops[::-1]))
        for x in order
    ]


@given(
    slope=st.floats(0.2, 12).flatmap(lambda s: st.sampled_from([s, -s])),
    start=st.floats(-30, 30),
    play=st.floats(0.01, 1.0),
)
def test_a_lagging_blade_shows_its_play_whichever_way_the_slope_runs(slope: float, start: float, play: float) -> None:
    found = control_travel(sweep(slope, start, play))
    assert_quantity(found.slope, f"{slope:.9f} deg/in", within="1e-6 deg/in")
    assert_quantity(found.friction_band, f"{play:.9f} deg", within="1e-6 deg")
    assert_quantity(found.dead_band, f"{play / abs(slope):.9f} in", within="1e-6 in")
    assert_quantity(found.greatest_residual, "0 deg", within="1e-6 deg")
    assert_quantity(found.angle_at("2 in"), f"{start + 2 * slope:.9f} deg", within="1e-6 deg")
    up, down = found.angle_at("0 in", "up"), found.angle_at("0 in", "down")
    assert abs(np.degrees(float(up.si) - float(down.si))) == pytest.approx(play, abs=1e-6)


def test_confused_ways_show_as_a_negative_band() -> None:
    swapped = [TravelReading(r.position, r.angle, {"up": "down", "down": "up"}[r.way]) for r in sweep(1.5, 2.0, 0.4)]
    found = control_travel(swapped)
    assert float(found.friction_band.si) < -float(found.friction_band.expanded_si)


def test_a_linkage_that_is_not_straight_shows_in_residuals_and_local_slopes() -> None:
    angles = [0.0, 2.0, 4.2, 6.6, 9.5]
    found = control_travel([TravelReading(f"{x} in", blade(a)) for x, a in enumerate(angles)])
    oracle = np.polynomial.Polynomial.fit(range(5), angles, 1).convert()
    assert np.degrees(found.residuals_si) == pytest.approx([a - oracle(x) for x, a in enumerate(angles)], abs=1e-9)
    steps = [np.degrees(rise) * 0.0254 for _, _, rise in found.local_slopes]
    assert steps == pytest.approx([2.0, 2.2, 2.4, 2.9])
    assert_quantity(found.greatest_residual_at, "4 in", within="1e-9 in")
    assert found.friction_band is None
    assert found.dead_band is None


def test_a_zero_error_of_the_protractor_touches_neither_slope_nor_band() -> None:
    readings = [
        TravelReading(r.position, blade(np.degrees(r.angle.si), None, "0.5 deg"), r.way) for r in sweep(1.5, 2, 0.4)
    ]
    found = control_travel(readings)
    assert float(found.slope.standard_si) == pytest.approx(0.0, abs=1e-12)
    assert float(found.friction_band.standard_si) == pytest.approx(0.0, abs=1e-12)
    assert np.degrees(found.angle_at("2 in").expanded_si) == pytest.approx(0.5)


@pytest.mark.parametrize(("unit", "kind"), [("in", "angle per length"), ("deg", "ratio"), ("%", "angle")])
def test_positions_by_length_angle_or_share(unit: str, kind: str) -> None:
    found = control_travel(sweep(0.1, 2, 0.05, unit, (0, 25, 50, 75, 100)))
    assert found.slope.kind.bare_name == kind
    assert found.dead_band.kind is found.control


def test_dead_band_felt() -> None:
    assert_quantity(dead_band_from_reversal("5.00 in", "4.85 in"), "-0.15 in")


def test_refusals() -> None:
    good = sweep(1.5, 2, 0.4)
    with pytest.raises(QuantityError, match="three places or more"):
        control_travel(good[:2])
    with pytest.raises(QuantityError, match="for some readings only"):
        control_travel([*good[:3], TravelReading("2 in", good[0].angle)])
    with pytest.raises(QuantityError, match="all of one kind"):
        control_travel([*good[:3], TravelReading("2 deg", good[0].angle, "up")])
    with pytest.raises(QuantityError, match="cannot tell"):
        control_travel([TravelReading("2 in", good[0].angle)] * 4)
    with pytest.raises(QuantityError, match="way: needs"):
        control_travel([TravelReading(r.position, r.angle, "sideways") for r in good])  # type: ignore[arg-type]


@pytest.mark.parametrize("counted_from", [0.0, 10.0, -40.0])
def test_the_band_is_as_well_known_wherever_positions_are_counted_from(counted_from: float) -> None:
    """Two lines over the same places: u(band) = s sqrt(1/5 + 1/5), s of the residuals, 10 less 3 degrees of freedom.

    The protractor's own 0.02 deg does not explain how far the readings lie off the lines."""
    up, down = [2.1, 4.9, 8.2, 10.8, 14.1], [2.3, 5.6, 8.3, 11.5, 14.4]
    places = [0.0, 2.0, 4.0, 6.0, 8.0]
    found = control_travel(
        [
            TravelReading(f"{x - counted_from} in", blade(angle, "0.02 deg"), way)
            for way, angles in (("up", up), ("down", down))
            for x, angle in zip(places, angles, strict=True)
        ]
    )
    off = np.array(places) - 4.0
    rate = (off @ up + off @ down) / (2 * off @ off)
    squares = sum(((np.array(a) - np.mean(a) - rate * off) ** 2).sum() for a in (up, down))
    wanted = np.sqrt(squares / 7) * np.sqrt(2 / 5) * coverage_factor(7)
    assert np.degrees(float(found.friction_band.si)) == pytest.approx(np.mean(down) - np.mean(up))
    assert np.degrees(float(found.friction_band.expanded_si)) == pytest.approx(wanted, rel=1e-6)
    # the dead band by the law of propagation: band and slope have nothing in common over the same places
    slope = np.sqrt(squares / 7 / (2 * off @ off)) * coverage_factor(7)
    band = np.mean(down) - np.mean(up)
    dead = band / rate * np.hypot(wanted / band, slope / rate)
    assert float(found.dead_band.expanded_si) / 0.0254 == pytest.approx(dead, rel=2e-3)
