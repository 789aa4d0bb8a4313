"""Belt alignment and take-up by plain arithmetic apart from the library."""

import math
from typing import Any

import pytest

from rotorkit.aircraft import Aircraft
from rotorkit.judging.limits import IN_LIMITS, NO_LIMIT, OUT_OF_LIMITS, TOO_CLOSE, UNDONE
from rotorkit.sheets.base import Outcome, SheetError
from rotorkit.sheets.catalogue import sheet_type
from tests.sheets.small import small_aircraft

BELT = {
    "title": "Belts", "driver_diameter": "200 mm", "driven_diameter": "400 mm", "centre_distance": "600 mm",
    "linear_density": "0.2 kg/m", "groove_angle": "38 deg", "friction_coefficient": "0.3", "driver_speed": "2600 rpm",
    "greatest_power": "100 kW",
}  # fmt: skip
LIMITS = {
    "out_of_line": {"high": "0.4 deg", "source": "test"},
    "lean": {"high": "0.5 deg", "source": "test"},
    "left": {"low": "5 mm", "source": "test"},
}
GIVEN: dict[str, Any] = {
    "belt": "one", "near": "2.0 ± 0 mm", "far": "3.0 ± 0 mm", "upper": "2.5 ± 0 mm", "lower": "2.1 ± 0 mm",
    "across": "390 ± 0 mm", "faces_differ": "0.5 ± 0 mm", "now": "12 ± 0.2 mm", "stop": "30 ± 0.2 mm",
    "start_at": "0 ± 0.2 mm", "looks": "sound, all alike",
}  # fmt: skip


def worked(change: dict[str, Any] | None = None, limits: Any = LIMITS) -> Outcome:
    craft: Aircraft = small_aircraft(belts={"one": BELT}, limits={"belt_line": limits} if limits else {})
    given = {k: v for k, v in {**GIVEN, **(change or {})}.items() if v is not None}
    return sheet_type("belt_line").from_readings(given).work(craft)


def si(outcome: Outcome, key: str) -> float:
    return float(outcome.finding(key).measured.si)


def test_figures_by_hand() -> None:
    found = worked()
    assert si(found, "lean.near") == pytest.approx(math.atan2(1.0, 390))
    assert si(found, "lean.upper") == pytest.approx(math.atan2(0.4, 390))  # its size, leaning the other way
    assert si(found, "out_of_line") == pytest.approx(math.atan2(2.5 - 0.5, 600))
    assert si(found, "left") == pytest.approx(0.018)
    assert si(found, "used") == pytest.approx(0.4)
    assert found.word == IN_LIMITS
    assert any("towards" in said for said in found.remarks)


@pytest.mark.parametrize(
    ("change", "key", "word"),
    [
        ({"near": "0 ± 0 mm", "far": "3.6 ± 0.01 mm"}, "lean.near", OUT_OF_LIMITS),
        ({"near": "3.6 ± 0.01 mm", "far": "0 ± 0 mm"}, "lean.near", OUT_OF_LIMITS),
        ({"near": "0 ± 0 mm", "far": "3.2 ± 0.01 mm"}, "lean.near", IN_LIMITS),
        ({"upper": "6.0 ± 0 mm"}, "lean.upper", OUT_OF_LIMITS),
        ({"faces_differ": "-1.9 ± 0 mm"}, "out_of_line", OUT_OF_LIMITS),  # 4.4 mm over 600
        ({"faces_differ": "-1.5 ± 0 mm"}, "out_of_line", IN_LIMITS),
        ({"faces_differ": "6.9 ± 0 mm"}, "out_of_line", OUT_OF_LIMITS),  # the other way
        ({"now": "24.5 ± 0.2 mm"}, "left", IN_LIMITS),
        ({"now": "25.5 ± 0.2 mm"}, "left", OUT_OF_LIMITS),
        ({"now": "25 ± 0.2 mm"}, "left", TOO_CLOSE),
    ],
)
def test_both_sides(change: dict[str, Any], key: str, word: str) -> None:
    found = worked(change)
    assert found.finding(key).verdict.word == word
    assert (found.word == IN_LIMITS) == (word == IN_LIMITS)


def test_a_tensioner_that_tightens_backwards() -> None:
    found = worked({"start_at": "30 ± 0.2 mm", "stop": "0 ± 0.2 mm"})
    assert si(found, "left") == pytest.approx(0.012)
    assert si(found, "used") == pytest.approx(0.6)


def test_at_its_stop_leads_without_any_limit() -> None:
    assert worked({}, None).word == NO_LIMIT
    past = worked({"now": "31 ± 0.2 mm"}, None)
    assert past.word == OUT_OF_LIMITS
    assert "at its stop" in past.lead[0]


@pytest.mark.parametrize("seen", ["glazed, cracked or frayed", "turned over, or one rides low"])
def test_what_is_seen_leads(seen: str) -> None:
    found = worked({"looks": seen}, None)
    assert found.word == OUT_OF_LIMITS
    assert seen in found.lead[0]
    assert "as a set" in found.to_do


@pytest.mark.parametrize(
    "left", [("looks",), ("upper", "lower"), ("now", "stop", "start_at"), ("near", "far", "faces_differ")]
)
def test_what_is_missing(left: tuple[str, ...]) -> None:
    assert worked(dict.fromkeys(left)).word == UNDONE


@pytest.mark.parametrize(
    ("change", "path"),
    [({"far": None}, "far"), ({"across": None}, "across"), ({"stop": None}, "stop"), ({"belt": "two"}, "belt"),
     ({"start_at": "30 mm"}, "start_at")],
)  # fmt: skip
def test_faults_at_their_fields(change: dict[str, Any], path: str) -> None:
    with pytest.raises(SheetError) as refusal:
        worked(change)
    assert path in dict(refusal.value.problems), refusal.value.problems


@pytest.mark.parametrize(("now", "asked"), [("-5 ± 0.2 mm", True), ("1 ± 0.2 mm", False)])
def test_a_place_outside_the_travel_is_asked_about(now: str, asked: bool) -> None:
    """The tensioner goes from 0 to 30 mm, and on a scale the other way round from 0 to -30 mm."""
    mirrored = {"now": f"{-float(now.split()[0])} ± 0.2 mm", "stop": "-30 ± 0.2 mm"}
    for change in ({"now": now}, mirrored):
        assert any("slacker than" in said for said in worked(change).remarks) == asked
