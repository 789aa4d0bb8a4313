"""Blade angles of a small aircraft of three blades by plain arithmetic, and each limit from both sides."""

from typing import Any

import pytest

from rotorkit.judging.limits import IN_LIMITS, OUT_OF_LIMITS, TOO_CLOSE
from rotorkit.sheets.base import Outcome
from rotorkit.sheets.rigging.blade_angles import BladeAngles
from tests.sheets.small import small_aircraft

BLADES = ("red", "green", "blue")
TURNED = "half a turn apart, protractor turned with the blade"
ONE_WAY = "half a turn apart, protractor kept facing one way"
# The protractor reads positive with the leading edge down: a blade at 2 degrees reads 2 less than the reference.
LOW, HIGH = {"red": 2.0, "green": 1.4, "blue": 2.7}, {"red": 13.0, "green": 13.8, "blue": 14.1}


def work(rows: list[dict[str, str]], **readings: Any) -> Outcome:
    given = {"rotor": "main rotor", "protractor": "protractor", "stations": rows, **readings}
    return BladeAngles.from_readings(given).work(small_aircraft())


def rows(reference: float = 0.5, own: bool = False) -> list[dict[str, str]]:
    found = []
    for blade in BLADES:
        for position, angles in (("low stop", LOW), ("high stop", HIGH)):
            shift = 0.3 * BLADES.index(blade) if own else 0.0
            row = {"blade": blade, "position": position, "reading": f"{reference + shift - angles[blade]:.3f} deg"}
            if own:
                row["reference"] = f"{reference + shift:.3f} deg"
            found.append(row)
    return found


def degrees(outcome: Outcome, key: str) -> float:
    return float(outcome.finding(key).measured.value.m_as("deg"))


def check(outcome: Outcome) -> None:
    for blade in BLADES:
        assert degrees(outcome, f"low_stop.{blade}") == pytest.approx(LOW[blade], abs=1e-6)
        assert degrees(outcome, f"high_stop.{blade}") == pytest.approx(HIGH[blade], abs=1e-6)
        assert degrees(outcome, f"travel.{blade}") == pytest.approx(HIGH[blade] - LOW[blade], abs=1e-6)
    assert degrees(outcome, "spread.low_stop") == pytest.approx(1.3, abs=1e-6)
    assert degrees(outcome, "spread.high_stop") == pytest.approx(1.1, abs=1e-6)


def test_each_blade_against_its_own_stops() -> None:
    check(work(rows(), reference="0.5 deg"))


def test_each_row_by_its_own_reference() -> None:
    check(work(rows(own=True)))


def test_a_rows_own_reference_goes_before_the_sheets() -> None:
    check(work(rows(own=True), reference="7 deg"))


@pytest.mark.parametrize("lean", [0.0, 0.8, -1.5])
def test_half_a_turn_apart_turned_with_the_blade(lean: float) -> None:
    """Readings: zero less angle, plus the lean, half a turn later less it: the lean cancels, the zero does not."""
    zero = 0.2
    given = []
    for blade in BLADES:
        for position, angles in (("low stop", LOW), ("high stop", HIGH)):
            first, second = (zero - angles[blade] + side * lean for side in (1, -1))
            given.append({"blade": blade, "position": position, "reading": f"{first:.3f} deg",
                          "second": f"{second:.3f} deg"})  # fmt: skip
    check(work(given, way=TURNED, zero="0.2 deg"))
    # a surface that slopes by half a degree, read end for end: 0.7 and -0.3, of which the zero is the mean
    check(work(given, way=TURNED, zero="0.7 deg", zero_turned="-0.3 deg"))


@pytest.mark.parametrize("lean", [0.0, 0.8])
def test_half_a_turn_apart_facing_one_way(lean: float) -> None:
    """Lean and zero are the same in both readings and cancel; the blade's angle turns its sign."""
    given = [
        {"blade": blade, "position": position, "reading": f"{0.2 + lean - angles[blade]:.3f} deg",
         "second": f"{0.2 + lean + angles[blade]:.3f} deg"}
        for blade in BLADES for position, angles in (("low stop", LOW), ("high stop", HIGH))
    ]  # fmt: skip
    check(work(given, way=ONE_WAY))


def one_blade(angle: float, position: str, spread: str = "0.4 deg") -> str:
    """The verdict of one blade whose reading is known to so much, against a reference known exactly."""
    row = {"blade": "red", "position": position, "reading": f"{-angle} deg ± {spread}"}
    found = work([row], reference="0 deg ± 0 deg")
    return found.finding(f"{position.replace(' ', '_')}.red").verdict.word


@pytest.mark.parametrize(
    ("angle", "word"),
    [
        (12.401, IN_LIMITS), (12.399, TOO_CLOSE), (11.601, TOO_CLOSE), (11.599, OUT_OF_LIMITS),
        (15.599, IN_LIMITS), (15.601, TOO_CLOSE), (16.399, TOO_CLOSE), (16.401, OUT_OF_LIMITS),
    ],
)  # fmt: skip
def test_the_high_stop_from_both_sides_of_its_limits(angle: float, word: str) -> None:
    """Limits 12 to 16 degrees, read to 0.4: in from 12.4 to 15.6, out below 11.6 and above 16.4."""
    assert one_blade(angle, "high stop") == word


@pytest.mark.parametrize(("angle", "word"), [(1.401, IN_LIMITS), (1.399, TOO_CLOSE), (0.599, OUT_OF_LIMITS)])
def test_the_low_stop_has_limits_of_its_own(angle: float, word: str) -> None:
    assert one_blade(angle, "low stop") == word
