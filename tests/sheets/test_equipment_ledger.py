"""The equipment ledger, by plain arithmetic apart from the library."""

from __future__ import annotations

import math
from typing import Any

import pytest

from rotorkit.aircraft import Aircraft
from rotorkit.judging.limits import IN_LIMITS, NO_LIMIT, OUT_OF_LIMITS, TOO_CLOSE, UNDONE
from rotorkit.sheets.base import Outcome, SheetError
from rotorkit.sheets.weighing.equipment_ledger import EquipmentLedger
from tests.sheets.small import small_aircraft

FITTED = {
    "day": "2026-04-20",
    "what": "radio",
    "does": "fitted",
    "mass": "6.5 lb",
    "arm": "70 in",
    "lateral_arm": "5 in",
}
OUT = {
    "day": "2026-04-21",
    "what": "ballast",
    "does": "taken out",
    "mass": "20 lb",
    "arm": "60 in",
    "lateral_arm": "0 in",
}
MOVED = {
    "day": "2026-05-02", "what": "battery", "does": "moved", "mass": "15 lb", "arm": "130 in", "lateral_arm": "6 in",
    "new_arm": "90 in", "new_lateral_arm": "-4 in",
}  # fmt: skip


def craft(**more: Any) -> Aircraft:
    return small_aircraft(weights__maximum="1300 lb", **more)


def worked(*changes: dict[str, str], on: Aircraft | None = None, **given: str) -> Outcome:
    readings: dict[str, Any] = {
        "weighed_weight": "800 ± 2 lb",
        "weighed_arm": "107 ± 0.1 in",
        "weighed_lateral_arm": "-0.2 ± 0.1 in",
        "listed": "all that is fitted is in the list",
        "changes": list(changes),
        **given,
    }
    return EquipmentLedger.from_readings(readings).work(on or craft())


def figure(outcome: Outcome, key: str, unit: str) -> float:
    return float(outcome.finding(key).measured.value.m_as(unit))


def spread(outcome: Outcome, key: str, unit: str) -> float:
    return float(outcome.finding(key).measured.expanded.m_as(unit))


def test_each_sort_of_change() -> None:
    outcome = worked(FITTED, OUT, MOVED)
    mass = 800 + 6.5 - 20
    arm = (800 * 107 + 6.5 * 70 - 20 * 60 + 15 * (90 - 130)) / mass
    side = (800 * -0.2 + 6.5 * 5 + 15 * (-4 - 6)) / mass
    assert figure(outcome, "empty_weight", "lb") == pytest.approx(mass)
    assert figure(outcome, "empty_arm", "in") == pytest.approx(arm)
    assert figure(outcome, "empty_lateral_arm", "in") == pytest.approx(side)
    assert figure(outcome, "useful_load", "lb") == pytest.approx(1300 - mass)
    assert figure(outcome, "weight_changed", "lb") == pytest.approx(-13.5)
    assert figure(outcome, "arm_changed", "in") == pytest.approx(arm - 107)
    assert figure(outcome, "side_changed", "in") == pytest.approx(side + 0.2)
    assert outcome.word == NO_LIMIT


def test_fitted_and_taken_out_again_is_nothing_and_mirrored_is_mirrored() -> None:
    back = {**FITTED, "day": "2026-04-25", "does": "taken out"}
    outcome = worked(FITTED, back)
    assert figure(outcome, "empty_arm", "in") == pytest.approx(107)
    assert figure(outcome, "empty_weight", "lb") == pytest.approx(800)
    turned = [{**row, **{name: f"{-float(row[name].split()[0])} in" for name in row if "lateral" in name}}
              for row in (FITTED, OUT, MOVED)]  # fmt: skip
    mirrored = worked(*turned, weighed_lateral_arm="0.2 ± 0.1 in")
    right = worked(FITTED, OUT, MOVED)
    for key, sign in (("empty_lateral_arm", -1), ("empty_arm", 1), ("empty_weight", 1)):
        unit = "lb" if key == "empty_weight" else "in"
        assert figure(mirrored, key, unit) == pytest.approx(sign * figure(right, key, unit))


def test_the_uncertainty_of_a_move_is_that_of_its_places() -> None:
    """Of a piece that is moved its mass is in the whole before and after: it counts with the way it went alone."""
    row = {**MOVED, "mass": "15 ± 1 lb", "arm": "130 ± 0 in", "new_arm": "90 ± 0.4 in"}
    outcome = worked(row)
    assert spread(outcome, "empty_weight", "lb") == pytest.approx(2)
    arm = 107 + 15 * (90 - 130) / 800
    expected = math.hypot(0.1, 2 * (107 - arm) / 800, 1 * 40 / 800, 0.4 * 15 / 800)
    assert spread(outcome, "empty_arm", "in") == pytest.approx(expected, rel=1e-5)
    # of what changed, the weighing's own ± of the arm falls out
    assert spread(outcome, "arm_changed", "in") == pytest.approx(
        math.hypot(2 * (107 - arm) / 800, 40 / 800, 0.4 * 15 / 800), rel=1e-5
    )


@pytest.mark.parametrize(
    ("high", "word"),
    [("800 lb", OUT_OF_LIMITS), ("804 lb", OUT_OF_LIMITS), ("806 lb", TOO_CLOSE), ("809 lb", IN_LIMITS)],
)
def test_both_sides_of_the_weigh_ins_limit(high: str, word: str) -> None:
    limits = {"weigh_in": {"empty_weight": {"high": high, "source": "test"}}}
    row = {**FITTED, "mass": "6.5 ± 0.1 lb"}
    assert worked(row, on=craft(limits=limits)).finding("empty_weight").verdict.word == word


def loading(**changes: Any) -> dict[str, Any]:
    return {
        "empty_weight": "806.5 ± 2.0 lb",
        "empty_arm": "106.70 ± 0.10 in",
        "empty_lateral_arm": "-0.16 ± 0.10 in",
        "source": "test ledger",
        "envelopes": [{"title": "Length", "between": "arm and mass", "source": "test", "corners": [
            {"arm": "100 in", "mass": "700 lb"}, {"arm": "106 in", "mass": "700 lb"},
            {"arm": "106 in", "mass": "1300 lb"},
        ]}],
        **changes,
    }  # fmt: skip


def test_what_the_aircraft_file_says_is_held_against_it() -> None:
    # (800 · 107 + 6.5 · 70) / 806.5 = 106.702 in; (-160 + 32.5) / 806.5 = -0.158 in
    agrees = worked(FITTED, on=craft(loading=loading()))
    assert agrees.to_do.startswith("Nothing") or "Write into [loading]" not in agrees.to_do
    assert any("says the same" in one for one in agrees.remarks)
    for name, other in (
        ("empty_weight", "800 ± 2.0 lb"), ("empty_arm", "107.0 ± 0.10 in"), ("empty_lateral_arm", "0.16 ± 0.10 in"),
        ("empty_weight", "806.5 ± 0.2 lb"),
    ):  # fmt: skip
        told = worked(FITTED, on=craft(loading=loading(**{name: other}))).to_do
        assert 'empty_weight = "806.5 ± 2.0 lb"' in told, name
        assert "test ledger" in told
    assert "Write into [loading]" in worked(FITTED).to_do


@pytest.mark.parametrize(("mass", "said"), [("0.9 lb", "are negligible"), ("1.2 lb", "are not negligible")])
def test_all_changes_together_negligible_or_not(mass: str, said: str) -> None:
    """AC 43.13-1B, 10-2 c: 1 lb of an empty weight below 5,000 lb, and less than 0.2 % of a range of 6 in, 0.012 in:
    0.9 lb at 5 in from the centre of gravity move it by 0.0056 in."""
    row = {**FITTED, "mass": mass, "arm": "102 in"}
    assert any(said in one for one in worked(row, on=craft(loading=loading())).remarks)
    far = {**FITTED, "mass": "0.9 lb", "arm": "70 in"}
    assert any("are not negligible" in one for one in worked(far, on=craft(loading=loading())).remarks)


def test_what_is_missing_is_no_verdict() -> None:
    named = worked(FITTED, listed="not looked at")
    assert named.word == UNDONE
    assert named.missing == ["equipment list checked against the aircraft"]
    assert "Write into [loading]" not in named.to_do
    none = worked()
    assert figure(none, "empty_weight", "lb") == 800
    assert any("No change is listed" in one for one in none.remarks)


@pytest.mark.parametrize(
    ("row", "path", "said"),
    [
        ({**FITTED, "mass": ""}, "changes.0.mass", "is missing"),
        ({**FITTED, "what": ""}, "changes.0.what", "is missing"),
        ({**FITTED, "day": ""}, "changes.0.day", "is missing"),
        ({**FITTED, "day": "last week"}, "changes.0.day", "needs a date"),
        ({**FITTED, "new_arm": "80 in"}, "changes.0.new_arm", "this piece was fitted"),
        ({**MOVED, "new_arm": ""}, "changes.0.new_arm", "new arm"),
        ({**MOVED, "does": "lost"}, "changes.0.does", "does not know"),
        ({**OUT, "mass": "900 lb"}, "", "mass above zero"),
    ],
)
def test_faults_at_their_fields(row: dict[str, str], path: str, said: str) -> None:
    with pytest.raises(SheetError) as caught:
        worked(row)
    assert any(at == path and said in told for at, told in caught.value.problems), caught.value.problems


def test_changes_are_taken_in_the_order_of_their_days() -> None:
    first, second = worked(OUT, FITTED), worked(FITTED, OUT)
    assert first.pictures[-1] == second.pictures[-1]
    assert [one.said for one in first.findings] == [one.said for one in second.findings]


def test_metric_says_the_same() -> None:
    outcome = worked(FITTED, MOVED, on=craft(aircraft__display="metric"))
    assert "kg" in outcome.finding("empty_weight").said
    assert "mm" in outcome.finding("empty_arm").said
    assert figure(outcome, "empty_weight", "lb") == pytest.approx(806.5)
