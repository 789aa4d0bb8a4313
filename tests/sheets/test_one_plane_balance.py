"""The sheet of balance in one plane, by plain complex arithmetic apart from the library."""

import cmath
import itertools
import math
import re
from typing import Any

import pytest

from rotorkit.judging.limits import IN_LIMITS, NO_LIMIT, OUT_OF_LIMITS, TOO_CLOSE, UNDONE
from rotorkit.sheets.balance.one_plane_balance import OnePlaneBalance
from rotorkit.sheets.base import NOTHING_TO_DO, SheetError
from tests.sheets.small import small_aircraft

LIMIT = {"one_plane_balance": {"vibration": {"high": "5 mm/s", "source": "test"}}}
READINGS: dict[str, Any] = {
    "original": "10 ± 0.2 mm/s",
    "original_phase": "70 ± 2 deg",
    "trial": "20 ± 0.1 g",
    "trial_place": "30 ± 1 deg",
    "tried": "8 ± 0.2 mm/s",
    "tried_phase": "150 ± 2 deg",
    "washer": "3 ± 0.01 g",
    "holes": [{"name": f"h{k}", "place": f"{60 * k} deg", "largest": "18 g"} for k in range(6)],
}


def worked(limits: Any = LIMIT, **changed: Any) -> Any:
    return OnePlaneBalance.from_readings({**READINGS, **changed}).work(small_aircraft(limits=limits))


def arrow(size: float, degrees: float) -> complex:
    return cmath.rect(size, math.radians(degrees))


@pytest.mark.parametrize(("counted", "way"), [("the way the phase rises", 1), ("the other way round", -1)])
def test_weight_place_and_washers(counted: str, way: int) -> None:
    outcome = worked(counted=counted)
    v0, v1, t = arrow(10, 70), arrow(8, 150), arrow(20, way * 30)
    wanted = -v0 * t / (v1 - v0)
    placed = wanted if way == 1 else wanted.conjugate()
    assert float(outcome.finding("weight").measured.si) * 1000 == pytest.approx(abs(wanted))
    assert float(outcome.finding("angle").measured.si) == pytest.approx(cmath.phase(placed))
    assert float(outcome.finding("effect").measured.si) * 1000 == pytest.approx(abs(v1 - v0))
    # every combination of up to six washers in the two holes on either side is tried, and none beats what is told
    left = float(outcome.finding("promised").measured.si) * 1000
    holes = [arrow(3, 60 * k) for k in range(6)]
    for one in range(6):
        for m in range(7):
            for n in range(7):
                put = m * holes[one] + n * holes[(one + 1) % 6]
                turned = put if way == 1 else put.conjugate()
                assert abs(v0 + (v1 - v0) * turned / t) >= left - 1e-9
    assert any("Take the trial weight off. Add" in said for said in outcome.remarks)


@pytest.mark.parametrize(
    ("after", "word"),
    [
        ("4.7 ± 0.2 mm/s", IN_LIMITS),
        ("4.9 ± 0.2 mm/s", TOO_CLOSE),
        ("5.1 ± 0.2 mm/s", TOO_CLOSE),
        ("5.3 ± 0.2 mm/s", OUT_OF_LIMITS),
    ],
)
def test_the_last_run_is_judged_from_both_sides(after: str, word: str) -> None:
    outcome = worked(after=after)
    assert outcome.word == word
    assert outcome.finding("vibration.found").aside
    assert any("Not there yet" in said for said in outcome.remarks) == (word != IN_LIMITS)
    # washers that stay in count against what a hole may take: else the next pass fills it beyond what is allowed
    assert any("take their mass off each hole's greatest" in said for said in outcome.remarks) == (word != IN_LIMITS)
    assert worked().word == OUT_OF_LIMITS
    assert worked(limits={}).word == NO_LIMIT


def test_what_was_promised_against_what_came() -> None:
    v0, v1, t = arrow(10, 70), arrow(8, 150), arrow(20, 30)
    ways = itertools.product(range(7), repeat=6)  # every way of up to six washers in six holes
    sums = {sum(n * arrow(3, 60 * k) for k, n in enumerate(way)) for way in ways}
    left = min((v0 + (v1 - v0) * put / t for put in sums), key=abs)
    close = {
        "after": f"{abs(left) + 0.05:.4f} ± 0.1 mm/s",
        "after_phase": f"{math.degrees(cmath.phase(left)):.3f} ± 5 deg",
    }
    calm = worked(**close)
    assert float(calm.finding("promised").measured.si) * 1000 == pytest.approx(abs(left))
    assert any("still hold" in said for said in calm.remarks)
    assert any("in limits: more than 99 %" in said for said in worked().remarks)
    # once there is a check run its verdict stands, and no forecast beside it
    assert not any("The chance" in said for said in worked(after="6 ± 0.2 mm/s").remarks)
    strange = worked(after="4 ± 0.2 mm/s", after_phase="30 ± 5 deg")
    assert any("no longer hold" in said for said in strange.lead)
    assert not any("counted the other way" in said for said in strange.lead)


def test_what_to_do_is_told_by_what_the_runs_showed() -> None:
    """Without a check run the washers; after one the next pass, unless it is not what the washers promised."""
    first = worked()
    assert first.to_do.startswith("Take the trial weight off. Add ")
    assert "check run" not in first.to_do
    again = "Enter the check run as the later run and balance from it, with the same trial weight's effect."
    assert worked(after="6 ± 0.2 mm/s").to_do.startswith(again)
    strange = worked(after="7 ± 0.2 mm/s", after_phase="30 ± 5 deg")
    assert strange.word == OUT_OF_LIMITS
    assert strange.to_do == "Put no weight on by these coefficients: look for what changed, then make trial runs."
    assert not any("Not there yet" in said for said in strange.remarks)
    nothing = worked(
        tried="10.1 ± 0.2 mm/s", tried_phase="70.5 ± 2 deg", after="7 ± 0.2 mm/s", after_phase="30 ± 5 deg"
    )
    assert nothing.to_do == nothing.lead[0]
    assert not any("Not there yet" in said for said in nothing.remarks)
    assert worked(after="4 ± 0.2 mm/s", after_phase="30 ± 5 deg").to_do == NOTHING_TO_DO
    assert worked(limits={}).to_do.startswith("Write the manual's limit into the aircraft file")


@pytest.mark.parametrize(("counted", "way"), [("the way the phase rises", 1), ("the other way round", -1)])
def test_a_later_run_is_balanced_from_by_the_same_trial_weight(counted: str, way: int) -> None:
    """V0 and V1 as before tell the effect of T; the later run of 6 mm/s at 200 degrees wants -V2 T / (V1 - V0)."""
    outcome = worked(counted=counted, later="6 ± 0.2 mm/s", later_phase="200 ± 2 deg")
    v0, v1, v2, t = arrow(10, 70), arrow(8, 150), arrow(6, 200), arrow(20, way * 30)
    wanted = -v2 * t / (v1 - v0)
    assert float(outcome.finding("weight").measured.si) * 1000 == pytest.approx(abs(wanted))
    placed = wanted if way == 1 else wanted.conjugate()
    assert float(outcome.finding("angle").measured.si) == pytest.approx(cmath.phase(placed))
    # it is the last run, so it is judged, and what was found before is told beside
    assert outcome.finding("vibration.later").verdict.word == OUT_OF_LIMITS
    assert outcome.finding("vibration.found").aside
    assert worked(later="4 ± 0.2 mm/s", later_phase="200 ± 2 deg").word == IN_LIMITS
    # the same size at another phase is another run
    again = {"after": "6 ± 0.2 mm/s", "after_phase": "20 ± 2 deg"}
    assert worked(later="6 ± 0.2 mm/s", later_phase="200 ± 2 deg", **again).word == OUT_OF_LIMITS
    checked = worked(later="6 ± 0.2 mm/s", later_phase="200 ± 2 deg", after="1 ± 0.2 mm/s")
    assert checked.word == IN_LIMITS
    assert checked.finding("vibration.later").aside
    # the trial weight's own error is in the weight as often as before; the effect's error is that of both old runs
    effect = float(outcome.finding("effect").measured.expanded_si)
    assert effect == pytest.approx(float(worked(counted=counted).finding("effect").measured.expanded_si))


def test_angles_that_were_counted_the_other_way_are_told_by_the_check_run() -> None:
    """The readings are of weights counted against the phase; said is the other way: it grows, and that is known."""
    v0, v1, t = arrow(10, 70), arrow(8, 150), arrow(20, -30)
    added = re.findall(r"add (\d) washers? at h(\d)", " ".join(worked().remarks).lower())
    put = sum(int(n) * arrow(3, -60 * int(k)) for n, k in added)
    came = v0 + (v1 - v0) * put / t
    assert abs(came) > 10
    check = {"after": f"{abs(came):.4f} ± 0.1 mm/s", "after_phase": f"{math.degrees(cmath.phase(came)):.3f} ± 2 deg"}
    outcome = worked(**check)
    assert any("counted the other way than is said here" in said for said in outcome.lead)
    assert outcome.to_do.startswith("Put no weight on by these coefficients")


def test_a_washer_that_is_hardly_known_promises_less() -> None:
    """All is exact but the washer, known to a tenth: so is the arrow L - V0 that washers make, L being what is left."""
    exact = {
        "original": "10 ± 0 mm/s",
        "original_phase": "70 ± 0 deg",
        "trial": "20 ± 0 g",
        "trial_place": "30 ± 0 deg",
        "tried": "8 ± 0 mm/s",
        "tried_phase": "150 ± 0 deg",
    }
    loose = worked(**exact, washer="3 ± 0.3 g").finding("promised").measured
    v0, v1, t = arrow(10, 70), arrow(8, 150), arrow(20, 30)
    sums = {sum(n * arrow(3, 60 * k) for k, n in enumerate(way)) for way in itertools.product(range(7), repeat=6)}
    left = min((v0 + (v1 - v0) * put / t for put in sums), key=abs)
    assert abs(left) < 0.7
    along = abs(((left - v0) * left.conjugate()).real) / abs(left)
    assert float(loose.expanded_si) * 1000 == pytest.approx(0.1 * along)
    said = " ".join(worked(**exact, washer="3 ± 0.3 g", limits={"one_plane_balance": {"vibration": {
        "high": "0.7 mm/s", "source": "test"}}}).remarks)  # fmt: skip
    assert "more than 99" not in said
    assert "in limits:" in said


def test_a_trial_weight_that_changed_nothing_leads() -> None:
    outcome = worked(tried="10.1 ± 0.2 mm/s", tried_phase="70.5 ± 2 deg")
    assert any("no more than the readings are uncertain" in said for said in outcome.lead)
    assert not any("no more than the readings" in said for said in worked().lead)
    # nothing follows, so no washers are asked for and nothing is promised: by bare figures it would be 36 g and more
    assert not any("washer" in said for said in outcome.remarks)
    assert not any(one.key == "promised" for one in outcome.findings)


def test_without_holes_no_verdict_in_limits() -> None:
    quiet = {"original": "1 ± 0.1 mm/s", "tried": "4 ± 0.2 mm/s"}
    assert worked(**quiet).word == IN_LIMITS
    bare = worked(**quiet, holes=[])
    assert bare.word == UNDONE
    assert bare.missing == ["the holes that the manual allows weight in"]


@pytest.mark.parametrize(
    ("changed", "path", "said"),
    [
        ({"original_phase": "350; 5; 10 deg"}, "original_phase", "both sides of the mark"),
        ({"holes": [{"name": "h", "place": "10 deg"}]}, "holes.0.largest", "is needed"),
        ({"after_phase": "60 ± 5 deg"}, "after", "is needed with its phase"),
        # left where it was too, the old check run would be held against what the next washers promise
        (
            dict.fromkeys(("later", "after"), "6 ± 0.2 mm/s")
            | {f"{one}_phase": "200 ± 2 deg" for one in ("later", "after")},
            "after",
            "is the later run itself",
        ),
        ({"later": "3 ± 0.1 mm/s"}, "later_phase", "is needed"),
        ({"later_phase": "60 ± 5 deg"}, "later", "is needed"),
        ({"original": "-1 mm/s"}, "original", "must be"),
        ({"trial": "0 g"}, "trial", "must be"),
    ],
)
def test_faults_at_their_fields(changed: dict[str, Any], path: str, said: str) -> None:
    with pytest.raises(SheetError) as refusal:
        worked(**changed)
    assert said in dict(refusal.value.problems)[path]
