"""The sheet of balance in two planes, by plain complex arithmetic apart from the library."""

import cmath
import itertools
import math
import re
from typing import Any

import numpy as np
import pytest

from rotorkit.judging.limits import IN_LIMITS, NO_LIMIT, OUT_OF_LIMITS, TOO_CLOSE, UNDONE
from rotorkit.sheets.balance.two_plane_balance import TwoPlaneBalance
from rotorkit.sheets.base import SheetError
from rotorkit.sheets.programme import usual_milestones
from tests.sheets.small import small_aircraft

LIMIT = {"two_plane_balance": {"vibration": {"high": "2 mm/s", "source": "test"}}}


def arrow(size: float, degrees: float) -> complex:
    return cmath.rect(size, math.radians(degrees))


# what a gram at each plane's mark does at each place, and what shakes without any: mm/s
EFFECTS = np.array(
    [[arrow(0.5, 20), arrow(0.2, -50)], [arrow(0.15, 100), arrow(0.6, 10)], [arrow(0.3, 40), arrow(0.3, 70)]]
)
FOUND = np.array([arrow(6, 70), arrow(5, -100), arrow(4, 10)])
TRIALS = [arrow(10, 30), arrow(8, 200)]
PLACES = ("front", "rear", "middle")
RUNS = ("as found", "trial weight in plane A", "trial weight in plane B")
HOLES = [
    {"plane": plane, "name": f"h{k}", "place": f"{90 * k} ± 0 deg", "largest": "9 ± 0 g"}
    for plane in "AB"
    for k in range(4)
]


def rows(run: str, values: Any, size: str = "0.1 mm/s", turn: str = "1 deg", many: int = 2) -> list[dict[str, str]]:
    return [
        {"run": run, "place": place, "amplitude": f"{abs(z):.9f} ± {size}",
         "phase": f"{math.degrees(cmath.phase(z)):.9f} ± {turn}"}
        for place, z in list(zip(PLACES, values, strict=False))[:many]
    ]  # fmt: skip


def readings(way: int = 1, many: int = 2, **changed: Any) -> dict[str, Any]:
    """The three runs, with what the weights do counted with the phase (1) or against it (-1)."""
    put = [one if way == 1 else one.conjugate() for one in TRIALS]
    runs = [
        rows(run, z, many=many)
        for run, z in zip(RUNS, (FOUND, *(FOUND + EFFECTS[:, k] * put[k] for k in (0, 1))), strict=True)
    ]
    made = {
        "counted": "the way the phase rises" if way == 1 else "the other way round",
        "trial_a": "10 ± 0.01 g", "trial_a_place": "30 ± 0.1 deg",
        "trial_b": "8 ± 0.01 g", "trial_b_place": "200 ± 0.1 deg",
        "washer": "3 ± 0.001 g", "holes": HOLES, "runs": [row for run in runs for row in run],
    }  # fmt: skip
    made["runs"] += changed.pop("more", [])
    return {**made, **changed}


def worked(limits: Any = LIMIT, **changed: Any) -> Any:
    return TwoPlaneBalance.from_readings(readings(**changed)).work(small_aircraft(limits=limits))


def mm(outcome: Any, key: str) -> float:
    return float(outcome.finding(key).measured.si) * 1000


@pytest.mark.parametrize("way", [1, -1])
def test_weights_angles_and_coefficients(way: int) -> None:
    outcome = worked(way=way)
    wanted = np.linalg.solve(EFFECTS[:2], -FOUND[:2])
    for plane, one in zip("AB", wanted, strict=True):
        assert mm(outcome, f"weight.{plane}") == pytest.approx(abs(one), rel=1e-6)
        placed = one if way == 1 else one.conjugate()
        assert float(outcome.finding(f"angle.{plane}").measured.si) == pytest.approx(cmath.phase(placed), abs=1e-6)
    assert mm(outcome, "effect.A.rear") == pytest.approx(abs(EFFECTS[1, 0]) * 10, rel=1e-6)
    assert mm(outcome, "effect.B.front") == pytest.approx(abs(EFFECTS[0, 1]) * 8, rel=1e-6)
    assert float(outcome.finding("condition").measured.si) == pytest.approx(np.linalg.cond(EFFECTS[:2]), rel=1e-6)


def best_left(way: int, counts: Any = (1, 1)) -> float:
    """The least weighted sum of squares that up to three washers in each of four holes of both planes can leave."""
    put = np.array([arrow(3, 90 * k) for k in range(4)])
    sums = {complex(np.round(np.array(one) @ put, 9)) for one in itertools.product(range(4), repeat=4)}
    every = np.array(sorted(sums, key=lambda z: (z.real, z.imag)))
    turned = every if way == 1 else every.conjugate()
    left = (
        FOUND[:2, None, None] + EFFECTS[:2, 0, None, None] * turned[:, None] + EFFECTS[:2, 1, None, None] * turned[None]
    )
    return float((np.array(counts)[:, None, None] ** 2 * np.abs(left) ** 2).sum(axis=0).min())


@pytest.mark.parametrize("way", [1, -1])
def test_no_other_washers_leave_less(way: int) -> None:
    """All 65,536 ways of the small rotor are compared: the exchanges find the best of them here."""
    outcome = worked(way=way)
    left = [mm(outcome, f"promised.{place}") for place in PLACES[:2]]
    assert sum(one**2 for one in left) == pytest.approx(best_left(way), rel=1e-6)
    assert "Trial weights off. Plane A: add" in outcome.to_do
    assert "the chance that they bring it in limits" in outcome.to_do


def test_three_places_are_balanced_by_weighted_least_squares() -> None:
    weighing = [{"place": "middle", "counts": "3"}]
    for given, counts in (([], [1, 1, 1]), (weighing, [1, 1, 3])):
        outcome = worked(many=3, weighing=given)
        weighed = np.array(counts, dtype=float)
        wanted = np.linalg.lstsq(weighed[:, None] * EFFECTS, -weighed * FOUND, rcond=None)[0]
        for plane, one in zip("AB", wanted, strict=True):
            assert mm(outcome, f"weight.{plane}") == pytest.approx(abs(one), rel=1e-6)


@pytest.mark.parametrize(
    ("size", "word"), [(1.7, IN_LIMITS), (1.95, TOO_CLOSE), (2.05, TOO_CLOSE), (2.3, OUT_OF_LIMITS)]
)
def test_the_check_run_is_judged_at_its_worst_place(size: float, word: str) -> None:
    check = rows("check run, washers on", [arrow(0.5, 0), arrow(size, 30)])
    outcome = worked(more=check)
    assert outcome.word == word
    assert outcome.finding("found.front").aside
    assert not outcome.finding("check.rear").aside
    assert worked().word == OUT_OF_LIMITS
    assert worked(limits={}).word == NO_LIMIT
    # a check run at one end alone says nothing of the other, which was out of limits as found
    assert worked(more=check[:1]).word == OUT_OF_LIMITS


def left_with(one: list[int], other: list[int], start: Any = FOUND) -> Any:
    put = [sum(n * arrow(3, 90 * k) for k, n in enumerate(counts)) for counts in (one, other)]
    return (start + EFFECTS @ np.array(put))[:2]


def test_coefficients_are_used_again_and_tried() -> None:
    """A later run is balanced from with the same trial runs; the check run after it tells whether they still hold."""
    start = np.array([arrow(5, -20), arrow(4, 150), 0])
    later = rows("later run, to balance from", start)
    outcome = worked(more=later)
    wanted = np.linalg.solve(EFFECTS[:2], -start[:2])
    assert mm(outcome, "weight.A") == pytest.approx(abs(wanted[0]), rel=1e-6)
    assert outcome.finding("found.front").aside
    assert outcome.finding("later.front").verdict.word == OUT_OF_LIMITS
    holes = [{**hole, "put": str(n)} for hole, n in zip(HOLES, [2, 0, 0, 0, 0, 1, 0, 0], strict=True)]
    came = left_with([2, 0, 0, 0], [0, 1, 0, 0], start)
    held = worked(more=[*later, *rows("check run, washers on", came)], holes=holes)
    assert any("still hold" in said for said in held.remarks)
    assert not any("hold" in said for said in held.lead)
    assert "Enter the check run as the later run" in held.to_do
    strange = worked(more=[*later, *rows("check run, washers on", came * arrow(1, 40))], holes=holes)
    assert any("no longer hold" in said for said in strange.lead)
    assert "Put no weight on by these coefficients" in strange.to_do
    # without a word of other washers those that the sheet said are taken to be in
    said = worked(more=later)
    promised = [mm(said, f"promised.{place}") for place in PLACES[:2]]
    assert promised != pytest.approx(np.abs(came))


SUMS = {complex(np.round(sum(n * arrow(3, 90 * k) for k, n in enumerate(one)), 9))
        for one in itertools.product(range(4), repeat=4)}  # fmt: skip


def held_back_washers(said: str) -> tuple[complex, complex]:
    """The weights in either plane that a sentence says, in g."""
    there = said.split("Plane A: ")[1].split("plane B: ")
    of = [re.findall(r"add (\d) washers? at h(\d)", one) for one in there]
    return tuple(sum(int(n) * arrow(3, 90 * int(k)) for n, k in one) for one in of)  # type: ignore[return-value]


def held_sum(a: Any, v: Any, put: tuple[complex, complex], ridge: float) -> float:
    weights = np.array(put)
    return float(np.sum(np.abs(v + a @ weights) ** 2) + ridge**2 * np.sum(np.abs(weights) ** 2))


def test_planes_that_are_hardly_told_apart_lead() -> None:
    global EFFECTS
    kept = EFFECTS
    try:
        EFFECTS = np.array([[1, 1.001], [1, 1], [1, 1]], dtype=complex) * 0.5
        outcome = worked()
        assert any("hardly told apart" in said for said in outcome.lead)
        held = worked(hold_back="yes")
        assert not any("told apart" in said for said in held.lead)
        a, v = EFFECTS[:2], FOUND[:2]
        ridge = 0.1 * np.linalg.svd(a, compute_uv=False)[0]
        wanted = np.linalg.solve(a.conj().T @ a + ridge**2 * np.eye(2), -a.conj().T @ v)
        assert mm(held, "weight.A") == pytest.approx(abs(wanted[0]), rel=1e-5)
        # the washers are held back alike: of all 65,536 ways none leaves less, weights at what they count for
        put = held_back_washers(held.to_do)
        assert held_sum(a, v, put, ridge) == pytest.approx(
            min(held_sum(a, v, (one, other), ridge) for one, other in itertools.product(SUMS, SUMS)), rel=1e-6
        )
        EFFECTS = np.ones((3, 2), dtype=complex)
        alike = worked()
        assert any("cannot tell the planes apart" in said for said in alike.lead)
        assert not any(one.key.startswith("weight") for one in alike.findings)
    finally:
        EFFECTS = kept


def test_angles_that_were_counted_the_other_way_are_told_by_the_check_run() -> None:
    """The rotor's weights are counted against the phase, said is with it: washers go to the wrong side."""
    wrong = "the way the phase rises"
    put = held_back_washers(worked(way=-1, counted=wrong).to_do)
    came = (FOUND + EFFECTS @ np.conj(np.array(put)))[:2]
    assert max(abs(came)) > max(abs(FOUND[:2]))
    check = rows("check run, washers on", came)
    told = "counted the other way than is said here"
    assert any(told in said for said in worked(way=-1, counted=wrong, more=check).lead)
    # what is neither the one nor the other is not laid to it
    strange = worked(way=-1, counted=wrong, more=rows("check run, washers on", [arrow(9, 10), arrow(9, 200)]))
    assert strange.lead
    assert not any(told in said for said in strange.lead)


def test_a_later_run_that_is_half_read_tells_no_weight() -> None:
    """Its washers are in: what the run as found asks for would be put in twice."""
    later = rows("later run, to balance from", [arrow(3, 0), arrow(3.5, 0)])
    check = rows("check run, washers on", [arrow(0.5, 0)], many=1)
    half = worked(more=later[:1])
    assert any("not read at rear" in said for said in half.lead)
    assert not any(one.key.startswith(("weight", "promised")) for one in half.findings)
    assert "add" not in half.to_do
    # at each place the last run there is judged
    both = worked(more=[*later, *check])
    assert [one.key for one in both.findings if not one.aside] == ["later.rear", "check.front"]


def test_more_washers_than_a_hole_may_carry_are_out_of_limits() -> None:
    """9 g at most, of 3 g: three are in limits, four are 12 g."""
    check = rows("check run, washers on", [arrow(0.5, 0), arrow(0.4, 30)])
    for count, word in (("3", IN_LIMITS), ("4", OUT_OF_LIMITS)):
        outcome = worked(more=check, holes=[{**HOLES[0], "put": count}, *HOLES[1:]])
        assert outcome.word == word
        assert any(one.key == "put.A.h0" for one in outcome.findings) == (word == OUT_OF_LIMITS)


def test_a_trial_weight_that_changed_nothing_leads() -> None:
    made = readings()
    made["runs"] = [
        {**row, **{k: made["runs"][i % 2][k] for k in ("amplitude", "phase")}} if "plane B" in row["run"] else row
        for i, row in enumerate(made["runs"])
    ]
    made["runs"][4]["amplitude"] = "6.01 ± 0.1 mm/s"
    outcome = TwoPlaneBalance.from_readings(made).work(small_aircraft(limits=LIMIT))
    assert any("trial weight in plane B changed no more" in said for said in outcome.lead)
    assert not any(one.key.startswith("promised") for one in outcome.findings)
    assert "washer" not in outcome.to_do


def test_what_is_missing() -> None:
    assert worked(holes=HOLES[:4]).missing == ["the holes of plane B"]
    made = readings()
    made["runs"] = made["runs"][:5]
    outcome = TwoPlaneBalance.from_readings(made).work(small_aircraft(limits=LIMIT))
    assert outcome.missing == ["rear, trial weight in plane B"]
    assert not any(one.key.startswith("weight") for one in outcome.findings)
    calm = [{**row, "amplitude": "1 ± 0.1 mm/s"} for row in made["runs"][:2]]
    outcome = TwoPlaneBalance.from_readings({**made, "runs": calm}).work(small_aircraft(limits=LIMIT))
    assert outcome.word == UNDONE


def test_the_board_asks_for_it_where_the_manual_gives_a_limit() -> None:
    def asked(limits: Any) -> bool:
        every = usual_milestones(small_aircraft(limits=limits))
        return any(need.sheet == "two_plane_balance" for one in every for need in one.needs)

    assert asked(LIMIT)
    assert not asked({})


@pytest.mark.parametrize(
    ("changed", "path", "said"),
    [
        (
            {"more": [{"run": "as found", "place": "front", "amplitude": "1 mm/s", "phase": "1 deg"}]},
            "runs.6.place",
            "already",
        ),
        ({"more": [{"run": "check run, washers on", "place": "", "amplitude": "1 mm/s"}]}, "runs.6.place", "is needed"),
        ({"more": [{"run": "as found", "place": "x", "amplitude": "1 mm/s"}]}, "runs.6.phase", "without phase"),
        ({"more": [{"run": "as found", "place": "x", "phase": "1 deg"}]}, "runs.6.amplitude", "with its phase"),
        ({"holes": [{"plane": "A", "place": "1 deg"}]}, "holes.0.largest", "is needed"),
        ({"holes": [{**HOLES[0], "put": "1.5"}]}, "holes.0.put", "whole number"),
        ({"weighing": [{"place": "boom", "counts": "2"}]}, "weighing.0.place", "is no place"),
        ({"weighing": [{"place": "front"}]}, "weighing.0.counts", "is needed"),
        ({"trial_a": "0 g"}, "trial_a", "must be"),
    ],
)
def test_faults_at_their_fields(changed: dict[str, Any], path: str, said: str) -> None:
    with pytest.raises(SheetError) as refusal:
        worked(**changed)
    assert said in dict(refusal.value.problems)[path]
