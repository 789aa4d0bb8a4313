"""Universal joints by plain arithmetic apart from the library: the driven shaft followed through a turn."""

import itertools
import math
from typing import Any

import pytest

from rotorkit.aircraft import Aircraft
from rotorkit.drive import (
    universal_joint_pair,
    universal_joint_pair_crossed_fluctuation,
    universal_joint_pair_fluctuation,
)
from rotorkit.judging.limits import IN_LIMITS, NO_LIMIT, OUT_OF_LIMITS, TOO_CLOSE, UNDONE
from rotorkit.sheets.base import Outcome, SheetError
from rotorkit.sheets.catalogue import sheet_type
from tests.sheets.small import small_aircraft

GOOD: dict[str, Any] = {
    "protractor": "protractor", "first": "10 ± 0.1 deg", "second": "7 ± 0.1 deg", "yokes": "in one plane",
    "feel": "free, no play", "turns": "2",
}  # fmt: skip
ALONE = {"second": None, "yokes": "one joint alone"}


def aircraft(**limits: Any) -> Aircraft:
    return small_aircraft(limits={"universal_joints": limits} if limits else {})


def worked(change: dict[str, Any] | None = None, craft: Aircraft | None = None) -> Outcome:
    given = {k: v for k, v in {**GOOD, **(change or {})}.items() if v is not None}
    return sheet_type("universal_joints").from_readings(given).work(craft or aircraft())


def si(outcome: Outcome, key: str) -> float:
    return float(outcome.finding(key).measured.si)


def followed(first: float, second: float | None, crossed: bool) -> float:
    """Greatest less least speed over the mean, by the turn of each shaft in small steps: tan of the driven one is tan
    of the driving one times the angle's cosine, from where the driving yoke lies across the plane of the shafts."""

    def on(turn: float, angle: float) -> float:
        return math.atan2(math.sin(turn) * math.cos(angle), math.cos(turn))

    def through(turn: float) -> float:
        one = on(turn, math.radians(first))
        if second is None:
            return one
        # the shaft between: its second yoke drives, a quarter on from the driven part of its first joint
        return on(one + (0 if crossed else math.pi / 2), math.radians(second))

    step = 1e-4
    speeds = []
    for k in range(3600):
        turn = k * math.pi / 1800
        change = (through(turn + step) - through(turn - step) + math.pi) % (2 * math.pi) - math.pi
        speeds.append(change / (2 * step))
    return max(speeds) - min(speeds)


@pytest.mark.parametrize(("first", "second"), [(20.0, 15.0), (8.0, 12.0), (30.0, 30.0), (5.0, 0.0)])
def test_two_joints_followed_through_a_turn(first: float, second: float) -> None:
    given = f"{first} deg", f"{second} deg"
    assert abs(float(universal_joint_pair_fluctuation(*given).magnitude)) == pytest.approx(
        followed(first, second, False), abs=2e-6
    )
    assert float(universal_joint_pair_crossed_fluctuation(*given).magnitude) == pytest.approx(
        followed(first, second, True), abs=2e-6
    )
    for phase, found in (("0 deg", followed(first, second, False)), ("90 deg", followed(first, second, True))):
        pair = universal_joint_pair("1000 rpm", *given, phase)
        swing = (pair.output_greatest - pair.output_least).m_as("rpm") / 1000
        assert swing == pytest.approx(found, abs=2e-6)


def test_figures_by_hand() -> None:
    found = worked()
    assert si(found, "between") == pytest.approx(followed(10, None, False), abs=1e-6)
    assert si(found, "unevenness") == pytest.approx(followed(10, 7, False), abs=1e-6)
    turned = worked({"first": "7 ± 0.1 deg", "second": "10 ± 0.1 deg"})
    assert si(turned, "unevenness") == pytest.approx(si(found, "unevenness"), rel=1e-9)
    assert found.word == NO_LIMIT


def test_alike_angles_are_not_known_exactly() -> None:
    """Both ± 0.1 degrees: tan(10 deg) twice 0.1 degrees each, together by the root of the squares."""
    found = worked({"second": "10 ± 0.1 deg"}).finding("unevenness").measured
    assert float(found.si) == pytest.approx(0, abs=1e-12)
    by_hand = math.sqrt(2) * 2 * math.tan(math.radians(10)) * math.radians(0.1)
    assert float(found.expanded_si) == pytest.approx(by_hand, rel=1e-3)


def test_shafts_in_line_are_not_known_to_turn_evenly_for_sure() -> None:
    """One joint at 0 +- 0.5 degrees: q is the square of a, whose spread for a normal a of s = 0.25 degrees about nought
    is the root of two times s squared (mean of a^4 is 3 s^4)."""
    found = worked({**ALONE, "first": "0 ± 0.5 deg"}).finding("unevenness").measured
    assert float(found.si) == 0
    assert float(found.standard_si) == pytest.approx(math.sqrt(3 - 1) * math.radians(0.25) ** 2, rel=1e-6)
    wide = worked({**ALONE, "first": "10 ± 0.1 deg"}).finding("unevenness").measured  # there the slope is all
    slope = (1 / math.cos(math.radians(10)) + math.cos(math.radians(10))) * math.tan(math.radians(10))
    assert float(wide.standard_si) == pytest.approx(slope * math.radians(0.05), rel=1e-4)


def test_yokes_a_quarter_apart_lead() -> None:
    found = worked({"yokes": "a quarter turn apart"})
    assert si(found, "unevenness") == pytest.approx(followed(10, 7, True), abs=1e-6)
    assert "adds to" in found.lead[0]
    assert "turn one yoke by a quarter" in found.to_do
    generous = {key: {"high": "1", "source": "test"} for key in ("unevenness", "between")}
    generous["angle"] = {"high": "30 deg", "source": "test"}
    assert worked(None, aircraft(**generous)).word == IN_LIMITS
    # what the manual allows of the unevenness does not make it a shaft that was put together right
    assert worked({"yokes": "a quarter turn apart"}, aircraft(**generous)).word == OUT_OF_LIMITS


def test_one_joint_alone_and_its_torque() -> None:
    found = worked({**ALONE, "inertia": "0.02 ± 0 kg*m^2"})
    assert si(found, "unevenness") == pytest.approx(followed(10, None, False), abs=1e-6)
    rate = 2 * 470 * math.pi / 30
    # the greatest acceleration by looking at every tenth of a degree of the driving shaft's turn
    angle = math.radians(10)
    speed = [math.cos(angle) / (1 - math.cos(math.radians(k / 10)) ** 2 * math.sin(angle) ** 2) for k in range(3600)]
    greatest = max(abs(b - a) for a, b in itertools.pairwise(speed)) / math.radians(0.1) * rate**2
    assert si(found, "torque") == pytest.approx(0.02 * greatest, rel=1e-4)
    pair = worked({"inertia": "0.02 ± 0 kg*m^2"})  # of the shaft between: the first joint swings it as much
    assert si(pair, "torque") == pytest.approx(si(found, "torque"), rel=1e-12)


@pytest.mark.parametrize(("share", "word"), [(1.03, IN_LIMITS), (0.97, OUT_OF_LIMITS), (1.0, TOO_CLOSE)])
def test_both_sides_of_the_limit(share: float, word: str) -> None:
    high = share * followed(10, None, False)
    found = worked(ALONE, aircraft(unevenness={"high": f"{high}", "source": "test"}))
    assert found.finding("unevenness").verdict.word == word
    assert found.word == (NO_LIMIT if word == IN_LIMITS else word)  # the joint's own angle has no limit here


@pytest.mark.parametrize(("angle", "word"), [("10.2 deg", IN_LIMITS), ("9.8 deg", OUT_OF_LIMITS)])
def test_both_sides_of_the_angle(angle: str, word: str) -> None:
    found = worked(None, aircraft(angle={"high": angle, "source": "test"}))
    assert found.finding("angle_first").verdict.word == word
    assert found.finding("angle_second").verdict.word == IN_LIMITS


@pytest.mark.parametrize("feel", ["stiff or rough", "play to be felt"])
def test_what_is_felt_leads(feel: str) -> None:
    found = worked({"feel": feel})
    assert found.word == OUT_OF_LIMITS
    assert "hammers" in found.lead[0]


@pytest.mark.parametrize("change", [{"yokes": None}, {"feel": None}, {"second": None}])
def test_without_a_part_it_is_not_whole(change: dict[str, Any]) -> None:
    assert worked(change).word == UNDONE


@pytest.mark.parametrize(
    ("change", "path"),
    [
        ({"first": None}, "first"),
        ({"yokes": "one joint alone"}, "yokes"),
        ({"inertia": "0.02 kg*m^2", "turns": None}, "turns"),
    ],
)
def test_faults_at_their_fields(change: dict[str, Any], path: str) -> None:
    with pytest.raises(SheetError) as refusal:
        worked(change)
    assert path in dict(refusal.value.problems), refusal.value.problems
