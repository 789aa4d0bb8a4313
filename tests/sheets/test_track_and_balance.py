"""The sheet of track and balance over speeds, by plain complex arithmetic apart from the library."""

import cmath
import itertools
import math
from typing import Any

import numpy as np
import pytest

from rotorkit.judging.limits import IN_LIMITS, NO_LIMIT, OUT_OF_LIMITS, TOO_CLOSE, UNDONE
from rotorkit.sheets.balance.track_and_balance import TrackAndBalance
from rotorkit.sheets.base import SheetError
from tests.sheets.small import small_aircraft

LIMITS: dict[str, Any] = {
    "lateral": {"high": "5 mm/s", "source": "test"},
    "vertical": {"high": "8 mm/s", "source": "test"},
    "track": {"high": "12 mm", "source": "test"},
}
BLADES = ("red", "green", "blue")
FOUND = {"lateral": cmath.rect(14, math.radians(100)), "vertical": cmath.rect(3, math.radians(-40))}
TIPS = (2.0, -1.0, 0.0)
WASHER = {"lateral": cmath.rect(2, math.radians(30)), "vertical": cmath.rect(0.3, math.radians(80))}
WORDS = {1: "the phase rises", -1: "the phase falls"}


def runs(
    run: int, arrows: dict[str, complex], noise: str = "0.2 mm/s", condition: str = "hover"
) -> list[dict[str, str]]:
    return [
        {"run": str(run), "condition": condition, "place": place, "amplitude": f"{abs(z):.9f} ± {noise}",
         "phase": f"{math.degrees(cmath.phase(z)):.9f} ± 1 deg"}
        for place, z in arrows.items()
    ]  # fmt: skip


def tips(run: int, heights: Any = TIPS, condition: str = "hover") -> list[dict[str, str]]:
    return [
        {"run": str(run), "condition": condition, "blade": blade, "height": f"{height} ± 1 mm"}
        for blade, height in zip(BLADES, heights, strict=True)
    ]


def effect(
    arrows: dict[str, complex] = WASHER, rise: float = 0.0, move: str = "tip washer", **more: str
) -> dict[str, str]:
    made = {"move": move, "rise": f"{rise} mm", **more}
    for place, z in arrows.items():
        made |= {place: f"{abs(z)} mm/s", f"{place}_angle": f"{math.degrees(cmath.phase(z))} deg"}
    return made


def readings(**changed: Any) -> dict[str, Any]:
    made = {
        "passing": WORDS[1],
        "runs": runs(1, FOUND),
        "heights": tips(1),
        "moves": [{"move": "tip washer", "fewest": "0", "most": "7"}],
        "effects": [effect()],
    }
    return {**made, **changed}


def worked(limits: Any = LIMITS, **changed: Any) -> Any:
    return TrackAndBalance.from_readings(readings(**changed)).work(
        small_aircraft(limits={"track_and_balance": limits} if limits else {})
    )


def steps(outcome: Any) -> list[int]:
    """Washers by blade, from the sentence of what to do."""
    said = outcome.to_do.lower().split(". the worst")[0]
    told = dict(part.rsplit(": ", 1) for part in said.split("; ") if ": " in part)
    return [int(told.get(f"tip washer, blade {blade}", "0")) for blade in BLADES]


def after(made: Any, way: int = 1, factor: complex = 1) -> dict[str, complex]:
    turned = [cmath.exp(1j * way * math.tau * k / 3) for k in range(3)]
    return {
        place: FOUND[place] + factor * WASHER[place] * sum(n * t for n, t in zip(made, turned, strict=True))
        for place in FOUND
    }


def objective(made: Any, way: int) -> float:
    left = after(made, way)
    return max(abs(left["lateral"]) / 5, abs(left["vertical"]) / 8, 3 / 12) + 0.01 * sum(map(abs, made))


@pytest.mark.parametrize("way", [1, -1])
def test_the_plan_is_near_the_best_of_all(way: int) -> None:
    """All 512 ways of up to seven washers on three blades: none is better by more than a tenth and the polygon."""
    outcome = worked(passing=WORDS[way])
    made = steps(outcome)
    best = min(objective(one, way) for one in itertools.product(range(8), repeat=3))
    assert objective(made, way) <= best * 1.11
    assert objective(made, way) < objective(made, -way) / 2  # the other way round it would be put wrongly
    left = after(made, way)
    assert float(outcome.finding("planned.hover.lateral").measured.si) * 1000 == pytest.approx(abs(left["lateral"]))
    assert outcome.finding("vibration.hover.lateral").verdict.word == OUT_OF_LIMITS


@pytest.mark.parametrize(
    ("key", "size", "word"),
    [
        ("lateral", 4.7, IN_LIMITS), ("lateral", 4.9, TOO_CLOSE), ("lateral", 5.1, TOO_CLOSE),
        ("lateral", 5.3, OUT_OF_LIMITS), ("vertical", 7.7, IN_LIMITS), ("vertical", 8.3, OUT_OF_LIMITS),
    ],
)  # fmt: skip
def test_each_pick_up_has_its_own_limit(key: str, size: float, word: str) -> None:
    outcome = worked(runs=runs(1, {"lateral": 1, "vertical": 1, key: complex(size)}))
    assert outcome.word == word
    assert any("stop here" in said for said in outcome.remarks) == (word == IN_LIMITS)
    assert worked(limits={}).word == NO_LIMIT


@pytest.mark.parametrize(("spread", "word"), [(10.0, IN_LIMITS), (13.0, TOO_CLOSE), (14.0, OUT_OF_LIMITS)])
def test_track_is_judged(spread: float, word: str) -> None:
    """Two readings of 1 mm each: their difference is known to 1.4 mm."""
    outcome = worked(runs=runs(1, {"lateral": 1, "vertical": 1}), heights=tips(1, (spread, 0, 3)))
    assert outcome.word == word
    assert float(outcome.finding("track.hover").measured.si) * 1000 == pytest.approx(spread)


@pytest.mark.parametrize("key", ["lateral", "vertical", "track"])
def test_a_limit_that_no_move_can_be_planned_by_still_judges(key: str) -> None:
    """A high side of nothing, or a low side alone: what was read is judged, and nothing to move follows from it."""
    unit = "in" if key == "track" else "mm/s"
    for side, value in (("high", "0"), ("low", "1")):
        outcome = worked({**LIMITS, key: {side: f"{value} {unit}", "source": "test"}})
        found = outcome.finding("track.hover" if key == "track" else f"vibration.hover.{key}")
        assert found.verdict.word == (IN_LIMITS if side == "low" and key != "track" else OUT_OF_LIMITS)
        assert not any(one.key.startswith("planned.") for one in outcome.findings)


def test_a_step_is_learned_by_bayes_rule() -> None:
    """One sort of move, one reading: prior and change by their weights, worked for the one common factor."""
    made = [4, 0, 3]
    factor = 1.4 * cmath.exp(0.3j)
    rows = [
        {"after": "1", "move": "tip washer", "blade": blade, "steps": str(n)}
        for blade, n in zip(BLADES, made, strict=True)
    ]
    second = runs(2, after(made, 1, factor))
    outcome = worked(runs=[*runs(1, FOUND), *second], heights=[*tips(1), *tips(2)], made=rows)
    turned = np.exp(1j * math.tau * np.arange(3) / 3)
    one = WASHER["lateral"] * turned
    scale, own = math.hypot(0.3, math.radians(20)) / math.sqrt(2), 0.1
    covariance = scale**2 * np.outer(one, one.conj()) + own**2 * np.diag(np.abs(one) ** 2)
    size = abs(after(made, 1, factor)["lateral"])
    noise = math.sqrt((0.1**2 + (size * math.radians(0.5)) ** 2) / 2)
    n = np.array(made, dtype=float)
    gain = covariance @ n / ((n @ covariance @ n).real + 2 * noise**2)
    wanted = one + gain * ((factor - 1) * (one @ n))
    assert float(outcome.finding("learned.tip_washer").measured.si) * 1000 == pytest.approx(abs(wanted[0]), rel=1e-3)
    expected = float(outcome.finding("expected.hover.lateral").measured.si) * 1000
    assert expected == pytest.approx(abs(one @ n))
    assert float(outcome.finding("change.hover.lateral").measured.si) * 1000 == pytest.approx(abs(factor * (one @ n)))
    # the blade on which nothing was put has learned too: its plan is surer than it was
    before = worked().finding("planned.hover.lateral").measured
    assert float(outcome.finding("planned.hover.lateral").measured.standard_si) < float(before.standard_si) / 2


def test_what_does_not_answer_is_not_balance() -> None:
    rows = [{"after": "1", "move": "tip washer", "blade": "red", "steps": "4"}]
    silent = worked(runs=[*runs(1, FOUND), *runs(2, FOUND)], heights=[*tips(1), *tips(2)], made=rows)
    assert any(
        "hover, lateral; hover, vertical: what was moved after run 1 changed next to nothing" in said
        for said in silent.lead
    )
    assert silent.to_do == "Move nothing more: find what does not answer."
    wrong = worked(runs=[*runs(1, FOUND), *runs(2, after([4, 0, 0], 1, -1))], heights=[*tips(1), *tips(2)], made=rows)
    assert any("far from what was expected" in said for said in wrong.lead)
    assert wrong.to_do.startswith("Find out what was moved")
    good = worked(runs=[*runs(1, FOUND), *runs(2, after([4, 0, 0]))], heights=[*tips(1), *tips(2)], made=rows)
    assert good.lead == []
    assert any("30 % in size" in said for said in good.remarks)


def test_what_was_moved_counts_against_what_may_be_moved() -> None:
    rows = [{"after": "1", "move": "tip washer", "blade": blade, "steps": "6"} for blade in BLADES]
    outcome = worked(runs=[*runs(1, FOUND), *runs(2, after([6, 6, 6]))], heights=[*tips(1), *tips(2)], made=rows)
    assert all(-6 <= n <= 1 for n in steps(outcome))
    assert max(steps(outcome)) == 1
    assert min(steps(outcome)) < 0


def made_on(blade: str, n: int) -> list[dict[str, str]]:
    return [{"after": "1", "move": "tip washer", "blade": blade, "steps": str(n)}]


def test_what_was_moved_and_not_flown_is_not_told_once_more() -> None:
    """The readings are of the rotor before: the same plan would be made a second time."""
    assert any(steps(worked()))
    moved = worked(made=made_on("red", 4))
    assert moved.to_do.startswith("What was moved after run 1 was not flown yet")
    assert not any(one.key.startswith("planned") for one in moved.findings)
    assert "run 2, hover, lateral" in moved.missing
    calm = worked(runs=runs(1, {"lateral": 1, "vertical": 1}), made=made_on("red", 4))
    assert calm.word == UNDONE
    assert not any("stop here" in said for said in calm.remarks)


def test_what_was_moved_too_far_is_out_of_limits_however_calm() -> None:
    """Seven washers at most: eight are one too many."""
    calm = [*runs(1, {"lateral": 1, "vertical": 1}), *runs(2, {"lateral": 1, "vertical": 1})]
    for count, word in ((7, IN_LIMITS), (8, OUT_OF_LIMITS)):
        outcome = worked(runs=calm, heights=[*tips(1), *tips(2)], made=made_on("red", count), effects=[effect({})])
        assert outcome.word == word
    assert outcome.to_do == "Beyond what may be moved. First tip washer, blade red: -1, to stand at 7."


def test_in_limits_where_it_was_flown_is_no_word_to_stop() -> None:
    calm = {"lateral": 1, "vertical": 1}
    flown = [*runs(1, calm), *runs(1, calm, condition="60 kt"), *runs(2, calm)]
    half = worked(runs=flown, heights=[*tips(1), *tips(2)])
    assert half.word == UNDONE
    assert not any("stop here" in said for said in half.remarks)
    shaken = worked(runs=[*runs(1, FOUND), *flown[2:4], *runs(2, FOUND)], heights=[*tips(1), *tips(2)])
    assert "Run 2 was not read at 60 kt, lateral; 60 kt, vertical: the plan does not look there." in shaken.to_do


def test_after_many_rounds_it_says_so() -> None:
    arrows = [row for run in range(1, 6) for row in runs(run, FOUND)]
    seen = [row for run in range(1, 6) for row in tips(run)]
    assert any("After 4 rounds" in said for said in worked(runs=arrows, heights=seen).lead)
    assert not any("rounds" in said for said in worked(runs=arrows[:8], heights=seen[:12]).lead)


def test_what_is_missing() -> None:
    calm = {"lateral": 1, "vertical": 1}
    whole = worked(runs=runs(1, calm))
    assert (whole.word, whole.missing) == (IN_LIMITS, [])
    assert worked(runs=runs(1, calm)[:1]).missing == ["run 1, hover, vertical"]
    assert worked(runs=runs(1, calm), heights=tips(1)[:2]).missing == ["run 1, hover, tip of blade blue"]
    assert worked(runs=runs(1, calm), heights=[]).missing == ["the tips' heights, in one condition at least"]
    assert worked(runs=runs(1, calm), effects=[], moves=[]).word == UNDONE
    # a condition that was flown and not flown again since things were moved is no more known
    flown = [*runs(1, calm), *runs(1, calm, condition="60 kt"), *runs(2, calm)]
    later = worked(runs=flown, heights=[*tips(1), *tips(2)])
    assert later.missing == ["run 2, 60 kt, lateral", "run 2, 60 kt, vertical"]
    assert later.word == UNDONE


@pytest.mark.parametrize(
    ("changed", "path", "said"),
    [
        ({"runs": [{**runs(1, FOUND)[0], "run": "first"}]}, "runs.0.run", "whole number"),
        ({"runs": [{**runs(1, FOUND)[0], "condition": ""}]}, "runs.0.condition", "is needed"),
        ({"runs": [*runs(1, FOUND), runs(1, FOUND)[0]]}, "runs.2.place", "already"),
        ({"runs": [{k: v for k, v in runs(1, FOUND)[0].items() if k != "phase"}]}, "runs.0.phase", "go together"),
        ({"heights": [{**tips(1)[0], "blade": "pink"}]}, "heights.0.blade", "is not a blade"),
        ({"moves": [{"move": "tip washer", "fewest": "2", "most": "7"}]}, "moves.0.fewest", "0 or less"),
        ({"moves": [{"move": "tip washer", "fewest": "0", "most": "2.5"}]}, "moves.0.most", "whole number"),
        ({"moves": [{"move": "flat", "fewest": "0", "most": "2"}]}, "moves.0.move", "has no row"),
        ({"moves": [{"move": "tip washer", "fewest": "0", "most": "2"}] * 2}, "moves.1.move", "stands twice"),
        ({"effects": [{"move": "tip washer", "lateral": "1 mm/s"}]}, "effects.0.lateral_angle", "where it points"),
        ({"effects": [effect(), effect()]}, "effects.1.condition", "stands twice"),
        (
            {
                "effects": [effect(condition="hover")],
                "runs": [*runs(1, FOUND), *runs(1, FOUND, condition="60 kt")],
            },
            "moves.0.move",
            "for '60 kt', nor one for every condition",
        ),
        (
            {"moves": [{"move": "tip washer", "blade": "red", "fewest": "0", "most": "7"}], "made": made_on("blue", 1)},
            "made.0.blade",
            "not among what may be moved on blade blue",
        ),
        ({"made": [{"after": "1", "move": "tab", "blade": "red", "steps": "1"}]}, "made.0.move", "is not one of"),
        ({"made": [{"after": "1", "move": "tip washer", "blade": "red", "steps": "0.5"}]}, "made.0.steps", "whole"),
    ],
)
def test_faults_at_their_fields(changed: dict[str, Any], path: str, said: str) -> None:
    with pytest.raises(SheetError) as refusal:
        worked(**changed)
    assert said in dict(refusal.value.problems)[path]
