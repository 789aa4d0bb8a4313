"""The weigh-in sheet, by plain arithmetic apart from the library."""

import copy
import math
from typing import Any

import pytest

from rotorkit.judging.limits import IN_LIMITS, NO_LIMIT, OUT_OF_LIMITS, TOO_CLOSE, UNDONE
from rotorkit.sheets.base import Outcome, SheetError
from rotorkit.sheets.weighing.weigh_in import WeighInSheet
from tests.sheets.small import small_aircraft

POINTS = (("front", 160.0, 62.0, 0.0), ("left", 330.0, 118.0, -24.0), ("right", 320.0, 118.0, 24.0))
ALL = {
    "pitch": "0 ± 0.1 deg",
    "roll": "0 ± 0.1 deg",
    "height": "38 ± 2 in",
    "fuel": "as the manual's empty weight asks",
    "oil": "as the manual's empty weight asks",
}


def readings(**changes: Any) -> dict[str, Any]:
    points = [
        {
            "point": name,
            "reading": f"{m} ± 1 lb",
            "arm": f"{x} ± 0.1 in",
            "lateral_arm": f"{y} ± 0.1 in",
        }
        for name, m, x, y in POINTS
    ]
    return {"points": points, **ALL, **changes}


def worked(given: dict[str, Any], **limits: Any) -> Outcome:
    craft = small_aircraft(limits={"weigh_in": limits}) if limits else small_aircraft()
    return WeighInSheet.from_readings(given).work(craft)


def arm(outcome: Outcome, key: str = "empty_arm") -> float:
    return float(outcome.finding(key).measured.value.m_as("in"))


TOTAL = 810.0
CG = (160 * 62 + 650 * 118) / TOTAL
SIDE = (-330 * 24 + 320 * 24) / TOTAL


def test_the_sums() -> None:
    outcome = worked(readings())
    assert float(outcome.finding("empty_weight").measured.value.m_as("lb")) == pytest.approx(TOTAL)
    assert arm(outcome) == pytest.approx(CG)
    assert arm(outcome, "empty_lateral_arm") == pytest.approx(SIDE)
    assert outcome.missing == []
    assert outcome.word == NO_LIMIT
    small = float(outcome.finding("useful_load").measured.value.m_as("lb"))
    assert small == pytest.approx(640 / 0.45359237 - TOTAL)


def test_the_uncertainty_by_partials() -> None:
    outcome = worked(readings())
    masses = [(x - CG) / TOTAL for _, _, x, _ in POINTS]
    arms = [m / TOTAL * 0.1 for _, m, _, _ in POINTS]
    tilt = 38 * math.radians(0.1)
    spread = math.sqrt(sum(p * p for p in (*masses, *arms, tilt)))
    assert float(outcome.finding("empty_arm").measured.expanded.m_as("in")) == pytest.approx(spread, rel=1e-4)


@pytest.mark.parametrize(("pitch", "roll"), [(1.0, 0.0), (-1.0, 0.5), (0.3, -0.7)])
def test_tilt_moves_it_and_its_mirror_the_other_way(pitch: float, roll: float) -> None:
    outcome = worked(readings(pitch=f"{pitch} ± 0.1 deg", roll=f"{roll} ± 0.1 deg"))
    assert arm(outcome) == pytest.approx(CG + 38 * math.tan(math.radians(pitch)))
    assert arm(outcome, "empty_lateral_arm") == pytest.approx(SIDE + 38 * math.tan(math.radians(roll)))


def test_left_and_right_exchanged_mirror() -> None:
    given = readings()
    for row in given["points"]:
        number, rest = row["lateral_arm"].split(" ", 1)
        row["lateral_arm"] = f"{-float(number)} {rest}"
    outcome = worked(given)
    assert arm(outcome, "empty_lateral_arm") == pytest.approx(-SIDE)
    assert any("to the right" in said for said in outcome.remarks)
    assert any("to the left" in said for said in worked(readings()).remarks)


def test_tare_and_what_comes_off_or_goes_on() -> None:
    given = readings(fuel="otherwise, and listed below")
    given["points"][0]["tare"] = "3 ± 0.1 lb"
    common = {"mass": "12 ± 0.5 lb", "arm": "106 ± 1 in", "lateral_arm": "-4 ± 1 in"}
    off = worked({**given, "aboard": [{"what": "fuel", "does": "comes off", **common}]})
    mass = TOTAL - 3 - 12
    assert float(off.finding("empty_weight").measured.value.m_as("lb")) == pytest.approx(mass)
    assert arm(off) == pytest.approx((157 * 62 + 650 * 118 - 12 * 106) / mass)
    assert arm(off, "empty_lateral_arm") == pytest.approx((-240 + 48) / mass)
    on = worked({**given, "aboard": [{"what": "doors", "does": "goes on", **common}]})
    assert arm(on) == pytest.approx((157 * 62 + 650 * 118 + 12 * 106) / (TOTAL - 3 + 12))
    assert worked(given).missing == ["state of the fuel"]


@pytest.mark.parametrize(
    ("low", "word"),
    [("106.3 in", IN_LIMITS), ("106.9 in", TOO_CLOSE), ("106.98 in", TOO_CLOSE), ("107.2 in", OUT_OF_LIMITS)],
)
def test_both_sides_of_a_limit(low: str, word: str) -> None:
    # 106.938 ± 0.16 in
    outcome = worked(readings(), empty_arm={"low": low, "high": "120 in", "source": "test"})
    assert outcome.finding("empty_arm").verdict.word == word


@pytest.mark.parametrize("key", ["pitch", "roll", "height", "fuel", "oil"])
def test_what_was_not_looked_at_is_no_verdict(key: str) -> None:
    given = readings()
    del given[key]
    limits = {
        "empty_weight": {"low": "700 lb", "high": "900 lb", "source": "test"},
        "empty_arm": {"low": "90 in", "high": "120 in", "source": "test"},
        "empty_lateral_arm": {"low": "-5 in", "high": "5 in", "source": "test"},
    }
    assert worked(readings(), **limits).word == IN_LIMITS
    undone = worked(given, **limits)
    assert undone.word == UNDONE
    papers = "Write into the aircraft's papers"
    assert any(papers in said for said in worked(readings(), **limits).remarks)
    assert not any(papers in said for said in undone.remarks)


def test_faults_at_their_fields() -> None:
    def problems(given: dict[str, Any]) -> dict[str, str]:
        with pytest.raises(SheetError) as refusal:
            worked(given)
        return dict(refusal.value.problems)

    tilted = readings(pitch="1 ± 0.1 deg")
    del tilted["height"]
    assert "not level" in problems(tilted)["height"]
    two = readings()
    two["points"].pop()
    assert "three points" in problems(two)["points.1.reading"]
    twice = readings()
    twice["points"][1]["point"] = "FRONT"
    assert "already entered" in problems(twice)["points.1.point"]
    heavy = readings()
    heavy["points"][0]["tare"] = "161 lb"
    assert "more than the scale" in problems(heavy)["points.0.tare"]
    for name in ("arm", "lateral_arm", "reading"):
        bare = copy.deepcopy(readings())
        del bare["points"][2][name]
        assert "is missing" in problems(bare)[f"points.2.{name}"]
    listed = readings(aboard=[{"what": "", "mass": "1 lb", "arm": "1 in"}])
    assert set(problems(listed)) == {"aboard.0.what", "aboard.0.lateral_arm"}
    assert "reading" in problems({"points": [], **ALL})["points"]


def test_far_from_level_is_asked_about() -> None:
    assert any("weigh again" in said for said in worked(readings(roll="-2.1 ± 0.1 deg")).remarks)
    assert not any("weigh again" in said for said in worked(readings(roll="-1.9 ± 0.1 deg")).remarks)


@pytest.mark.parametrize("one", ["pitch", "roll"])
def test_a_tilt_that_was_read_counts_without_the_other(one: str) -> None:
    """2 degrees with the centre of gravity 38 in up are 1.3 in: not to be left out because roll was not read."""
    given = readings(**{one: "1.9 ± 0.1 deg"})
    del given["roll" if one == "pitch" else "pitch"]
    outcome = worked(given)
    shift = 38 * math.tan(math.radians(1.9))
    assert arm(outcome) == pytest.approx(CG + (shift if one == "pitch" else 0))
    assert arm(outcome, "empty_lateral_arm") == pytest.approx(SIDE + (shift if one == "roll" else 0))
