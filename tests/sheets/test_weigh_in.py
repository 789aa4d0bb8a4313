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


def another(name: str, weight: float, off: float, scales: str = "others", spread: float = 2.0) -> dict[str, str]:
    """Another weighing, so much heavier, its arms off by so many inches."""
    return {
        "weighing": name, "scales": scales, "weight": f"{TOTAL + weight!r} ± {spread} lb",
        "arm": f"{CG + off!r} ± 0.3 in", "lateral_arm": f"{SIDE + off!r} ± 0.3 in",
    }  # fmt: skip


def known(outcome: Outcome, key: str, unit: str) -> tuple[float, float]:
    one = outcome.finding(key).measured
    return float(one.value.m_as(unit)), float(one.expanded.m_as(unit))


def test_other_weighings_are_combined_by_their_uncertainty() -> None:
    """This one 810 ± sqrt(3) lb, another 811 ± 2 on other scales: by 1/3 and 1/4, and ± 1 / sqrt(1/3 + 1/4)."""
    outcome = worked(readings(others=[another("club", 1, 0.05)]))
    one, other = 1 / 3, 1 / 4
    weight, spread = known(outcome, "empty_weight", "lb")
    assert weight == pytest.approx(TOTAL + other / (one + other))
    assert spread == pytest.approx(1 / math.sqrt(one + other))
    assert known(outcome, "alone.weight", "lb") == pytest.approx((TOTAL, math.sqrt(3)))
    alone = known(worked(readings()), "empty_arm", "in")
    parts = 1 / alone[1] ** 2, 1 / 0.3**2
    assert known(outcome, "empty_arm", "in") == pytest.approx((CG + 0.05 * parts[1] / sum(parts), sum(parts) ** -0.5))
    most = 640 / 0.45359237
    assert float(outcome.finding("useful_load").measured.value.m_as("lb")) == pytest.approx(most - weight)
    assert not any("disagree" in said for said in outcome.lead)


def test_the_same_scales_make_nothing_surer() -> None:
    """Off alike: the ± are weighted as the weights are, and half the difference of two comes beside."""
    outcome = worked(readings(others=[another("again", 1, 0.0, "the same", math.sqrt(3))]))
    weight, spread = known(outcome, "empty_weight", "lb")
    assert weight == pytest.approx(TOTAL + 0.5)
    # standard: sqrt(3)/2 both alike; half of one pound, the scatter of two about their mean
    assert spread == pytest.approx(2 * math.hypot(math.sqrt(3) / 2, 0.5))


def test_weighings_that_disagree_lead_and_the_larger_stands() -> None:
    """810 ± sqrt(3) and 816 ± 2 lb: 6 apart where sqrt(3 + 4) = 2.65 may be."""
    outcome = worked(readings(others=[another("club", 6, 0.0)]))
    assert "empty weight: this one 810" in outcome.lead[0]
    assert "centre of gravity" not in outcome.lead[0]
    one, other = 1 / 3, 1 / 4
    mean = 6 * other / (one + other)
    scatter = math.sqrt((one * mean**2 + other * (6 - mean) ** 2) / (one + other))
    assert known(outcome, "empty_weight", "lb")[1] == pytest.approx(2 * scatter)
    agree = worked(readings(others=[another("club", 2.6, 0.0)]))
    assert not any("disagree" in said for said in agree.lead)


def test_three_weighings_scatter_by_students_t() -> None:
    """Three of ± sqrt(3) lb at -3, 0 and 3: s / sqrt 3 = sqrt 3, with t = 4.303 over 2 for two degrees of freedom."""
    rows = [another("first", -3, 0.0, spread=math.sqrt(3)), another("second", 3, 0.0, spread=math.sqrt(3))]
    spread = known(worked(readings(others=rows)), "empty_weight", "lb")[1]
    assert spread == pytest.approx(2 * math.sqrt(3) * 4.5265 / 2, rel=2e-4)  # t at 95.45 %: 4.5265


def test_two_weighings_on_one_other_set_of_scales_help_as_one() -> None:
    """This one ± sqrt(3) lb at 810 and two of ± 2 lb (k = 2) at 810 on the club's scales: weights 1/3, 1/4, 1/4. Both
    off alike, the club's two are one error of weight 1/2: never surer than this one with the club's alone."""
    rows = [another("club, May", 0, 0.0), another("club, June", 0, 0.0)]
    for row in rows:
        row["scales"] = "others, one set for these rows"
    w = [1 / 3, 1 / 4, 1 / 4]
    one, club = w[0] / sum(w) * math.sqrt(3), (w[1] + w[2]) / sum(w) * 2.0
    together = known(worked(readings(others=rows)), "empty_weight", "lb")
    assert together == pytest.approx((810, math.hypot(one, club)))
    apart = known(worked(readings(others=[{**row, "scales": "others"} for row in rows])), "empty_weight", "lb")
    assert apart[1] == pytest.approx(1 / math.sqrt(1 / 3 + 1 / 4 + 1 / 4))
    best = 1 / math.sqrt(1 / 3 + 1 / 4)  # this one with one of the club's
    assert apart[1] < best <= together[1] < math.sqrt(3)
    # a single row so marked shares with nobody: as others
    single = known(worked(readings(others=rows[:1])), "empty_weight", "lb")
    assert single[1] == pytest.approx(best)
    # and what they scatter comes to it in full, as nothing else tells their own part
    scattered = known(worked(readings(others=[rows[0], {**rows[1], "weight": "812 ± 2 lb"}])), "empty_weight", "lb")
    assert scattered[1] > together[1]


@pytest.mark.parametrize(("changed", "path"), [
    ({"weighing": ""}, "others.0.weighing"), ({"weight": ""}, "others.0.weight"), ({"arm": "107 in"}, "others.0.arm"),
    ({"lateral_arm": "0.1 ± 0 in"}, "others.0.lateral_arm"),
])  # fmt: skip
def test_another_weighing_counts_whole_or_not_at_all(changed: dict[str, str], path: str) -> None:
    with pytest.raises(SheetError) as refused:
        worked(readings(others=[{**another("club", 1, 0.0), **changed}]))
    assert path in {at for at, _ in refused.value.problems}
    with pytest.raises(SheetError, match="count no weighing twice"):
        worked(readings(others=[another("club", 1, 0.0), another("Club", 1, 0.0)]))


@pytest.mark.parametrize(("weight", "told"), [("812.5 ± 2 lb", False), ("807.0 ± 2 lb", True), ("813.0 ± 2 lb", True)])
def test_another_empty_weight_in_the_aircraft_file_is_told(weight: str, told: bool) -> None:
    """810 lb here, with three scales of ± 1 lb: ± 1.73, so beside ± 2 more than 2.65 lb apart is another state."""
    held = {
        "empty_weight": weight,
        "empty_arm": f"{CG:.2f} ± 0.2 in",
        "empty_lateral_arm": f"{SIDE:.2f} ± 0.2 in",
        "source": "test",
    }
    outcome = WeighInSheet.from_readings(readings()).work(small_aircraft(loading=held))
    assert ("Loadings are worked with that" in outcome.to_do) == told
    assert "empty_arm" not in outcome.to_do
