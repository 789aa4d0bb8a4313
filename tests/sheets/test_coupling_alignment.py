"""Coupling alignment against geometry in space: a tilted hub is cut with the dials' stems, apart from the library."""

import itertools
import math
import re
from typing import Any

import numpy as np
import pytest

from rotorkit.aircraft import Aircraft
from rotorkit.judging.limits import IN_LIMITS, NO_LIMIT, OUT_OF_LIMITS, TOO_CLOSE, UNDONE
from rotorkit.sheets.base import Outcome, SheetError
from rotorkit.sheets.catalogue import sheet_type
from tests.sheets.small import small_aircraft

COUPLING = {
    "title": "coupling",
    "shim": "0.05 mm",
    "limits": {
        "offset": {"high": "0.1 mm", "source": "test"},
        "angle": {"high": "0.1 deg", "source": "test"},
        "run_out": {"high": "0.08 mm", "source": "test"},
    },
}
CIRCLE, FRONT, REAR, MIDDLE = 100.0, 150.0, 430.0, -25.0
BRACKETS = ("on the fixed shaft", "on the shaft to be moved")
FACES = ("front face", "back face")
TURN = {"top": (1.0, 0.0), "right": (0.0, 1.0), "bottom": (-1.0, 0.0), "left": (0.0, -1.0)}


def aircraft(**changes: Any) -> Aircraft:
    return small_aircraft(couplings={"one": {**COUPLING, **changes}})


def cut(lie: tuple[float, float, float, float], bracket: str, face: str) -> dict[str, tuple[float, float]]:
    """Both dials' readings (mm) at four places: x along the fixed axis, y up, z right; a hub's radius is 40 mm.

    lie: offset up and right at x = 0, slope up and right.
    """
    up, right, rise, drift = lie
    moved = np.array([0.0, up, right])
    along = np.array([1.0, rise, drift]) / math.sqrt(1 + rise**2 + drift**2)
    fixed, ahead = np.zeros(3), np.array([1.0, 0.0, 0.0])
    if bracket == BRACKETS[0]:
        held, axis, hub, hub_axis, stem = fixed, ahead, moved, along, 1.0
    else:
        held, axis, hub, hub_axis, stem = moved, along, fixed, ahead, -1.0
    found = {}
    for place, (y, z) in TURN.items():
        out = np.array([0.0, y, z])
        out -= (out @ axis) * axis
        out /= np.linalg.norm(out)
        # the rim: held + t out on the cylinder about the hub's axis
        across, start = out - (out @ hub_axis) * hub_axis, held - hub
        start = start - (start @ hub_axis) * hub_axis
        a, b, c = across @ across, across @ start, start @ start - 40.0**2
        rim = (-b + math.sqrt(b * b - a * c)) / a
        # the face: a line along the bracket's axis, half the circle out, cut with the plane square to the hub's axis
        on = held + CIRCLE / 2 * out
        deep = ((hub + stem * 10 * hub_axis - on) @ hub_axis) / (axis @ hub_axis)
        pushed = -stem * deep if face == FACES[0] else stem * deep
        found[place] = rim, pushed
    first = found["top"]
    return {place: (rim - first[0], pushed - first[1]) for place, (rim, pushed) in found.items()}


def readings(lie: tuple[float, float, float, float], bracket: str = BRACKETS[0], face: str = FACES[0],
             sag: tuple[float, float] = (0.0, 0.0), **more: Any) -> dict[str, Any]:  # fmt: skip
    share = {"top": 0.0, "right": 0.5, "bottom": 1.0, "left": 0.5}
    rows = [
        {
            "place": place,
            "rim": f"{rim + sag[0] * share[place]:.6f} ± 0.001 mm",
            "face": f"{pushed + sag[1] * share[place]:.6f} ± 0.001 mm",
        }
        for place, (rim, pushed) in cut(lie, bracket, face).items()
    ]
    return {
        "coupling": "one", "bracket": bracket, "face": face, "positions": rows,
        "rim_sag": f"{sag[0]:.6f} ± 0.001 mm", "face_sag": f"{sag[1]:.6f} ± 0.001 mm",
        "circle": f"{CIRCLE} ± 0.1 mm", "front_feet": f"{FRONT} ± 1 mm", "rear_feet": f"{REAR} ± 1 mm",
        "middle": f"{MIDDLE} ± 1 mm", "run_out_fixed": "0.03 ± 0.01 mm", "run_out_moved": "0.04 ± 0.01 mm", **more,
    }  # fmt: skip


def worked(given: dict[str, Any], craft: Aircraft | None = None) -> Outcome:
    return sheet_type("coupling_alignment").from_readings(given).work(craft or aircraft())


def mm(outcome: Outcome, key: str) -> float:
    return float(outcome.finding(key).measured.si) * 1000


@pytest.mark.parametrize(("bracket", "face"), list(itertools.product(BRACKETS, FACES)))
@pytest.mark.parametrize("lie", [(0.2, -0.1, -0.0015, 0.0008), (-0.05, 0.3, 0.002, -0.001)])
def test_any_bracket_and_face_with_sag(lie: tuple[float, float, float, float], bracket: str, face: str) -> None:
    outcome = worked(readings(lie, bracket, face, (-0.11, 0.03)))
    up, right, rise, drift = lie
    for key, offset, slope in (("vertical", up, rise), ("horizontal", right, drift)):
        assert mm(outcome, f"{key}_offset") == pytest.approx(offset + slope * MIDDLE, abs=2e-4)
        assert mm(outcome, f"{key}_angle") / 1000 == pytest.approx(slope, abs=3e-6)
        change = "rise" if key == "vertical" else "move"
        assert mm(outcome, f"{change}.front") == pytest.approx(-offset - slope * FRONT, abs=1e-3)
        assert mm(outcome, f"{change}.rear") == pytest.approx(-offset - slope * REAR, abs=1e-3)
    whole = math.hypot(up + rise * MIDDLE, right + drift * MIDDLE)
    assert mm(outcome, "offset") == pytest.approx(whole, abs=2e-4)
    assert mm(outcome, "angle") / 1000 == pytest.approx(math.hypot(rise, drift), abs=4e-6)
    # of second order: a round rim of 40 mm that lies aside is met a little lower at its sides
    assert mm(outcome, "closing.rim") == pytest.approx((up**2 - right**2) / 40, abs=2e-4)
    assert outcome.word == OUT_OF_LIMITS


@pytest.mark.parametrize("sides", [{"high": "0 mm"}, {"low": "0.01 mm"}])
def test_a_limit_that_no_shims_can_be_planned_by_still_judges(sides: dict[str, str]) -> None:
    """At most nothing, or a low side alone: an offset of 0.36 mm is judged, and the least misalignment is planned."""
    craft = aircraft(limits={**COUPLING["limits"], "offset": {**sides, "source": "test"}})  # type: ignore[dict-item]
    outcome = worked(readings((0.3, -0.2, -0.0015, 0.0008)), craft)
    assert outcome.finding("offset").verdict.word == (OUT_OF_LIMITS if "high" in sides else IN_LIMITS)


def test_mirrored_it_turns_its_signs_and_nothing_else() -> None:
    lie = (0.2, -0.1, -0.0015, 0.0008)
    one, other = worked(readings(lie)), worked(readings(tuple(-part for part in lie)))  # type: ignore[arg-type]
    for found in one.findings:
        same = found.key in ("offset", "angle") or found.key.startswith("run_out")
        expected = float(found.measured.si) * (1 if same else -1)
        assert float(other.finding(found.key).measured.si) == pytest.approx(expected, abs=2e-6), found.key
    assert "to the left" in one.to_do if mm(one, "move.rear") < 0 else "to the right" in one.to_do


def test_uncertainty_of_the_vertical_figures() -> None:
    outcome = worked(readings((0.2, 0.0, -0.0015, 0.0)))
    found = outcome.finding("vertical_angle").measured
    # bottom, top and sag of 0.001 mm each; 0.1 mm of the circle
    assert float(found.expanded_si) == pytest.approx(
        math.hypot(math.sqrt(3) * 0.001 / CIRCLE, 0.0015 * 0.1 / CIRCLE), rel=1e-3
    )


@pytest.mark.parametrize(
    ("lie", "word"),
    [
        ((0.07, 0.0, 0.0, 0.0), IN_LIMITS),
        ((0.06, 0.06, 0.0, 0.0), IN_LIMITS),
        ((0.075, 0.075, 0.0, 0.0), OUT_OF_LIMITS),  # each by itself would be within
        ((0.0, -0.1, 0.0, 0.0), TOO_CLOSE),
        ((0.0, 0.0, 0.0, 0.0), IN_LIMITS),
        ((0.0425, 0.0, 0.0017, 0.0), IN_LIMITS),  # 0.0974 deg
        ((0.045, 0.0, 0.0018, 0.0), OUT_OF_LIMITS),  # 0.1031 deg
        ((0.0325, 0.0325, 0.0013, 0.0013), OUT_OF_LIMITS),  # 0.105 deg in both together
    ],
)
def test_both_sides_of_the_limits(lie: tuple[float, float, float, float], word: str) -> None:
    outcome = worked(readings(lie))
    assert outcome.word == word
    assert ("feet" in outcome.to_do) == (word != IN_LIMITS)


def test_where_both_are_nought_the_uncertainty_stays() -> None:
    found = worked(readings((0.0, 0.0, 0.0, 0.0))).finding("offset").measured
    assert float(found.expanded_si) * 1000 > 0.0005


def test_whole_shims_are_the_best_of_all() -> None:
    for lie in ((0.31, 0.0, -0.0013, 0.0), (-0.4, 0.0, 0.0031, 0.0)):
        outcome = worked(readings(lie))
        best = min(
            itertools.product(range(-40, 41), repeat=2),
            key=lambda pair: max(
                abs(lie[0] + lie[2] * MIDDLE + 0.05 * pair[0] + 0.05 * (pair[1] - pair[0]) * (MIDDLE - FRONT)
                    / (REAR - FRONT)) / 0.1,
                abs(lie[2] + 0.05 * (pair[1] - pair[0]) / (REAR - FRONT)) / math.radians(0.1),
            ),
        )  # fmt: skip
        for feet, count in zip(("ront feet", "rear feet"), best, strict=True):
            part = outcome.to_do.split(feet + ": ")[1].split(";")[0].split(".  ")[0]
            words = "as they are" if count == 0 else "add" if count > 0 else "take out"
            assert part.startswith(words), outcome.to_do
            assert not count or f" {abs(count)} shim" in part


def test_it_may_be_meant_to_stand_low() -> None:
    low = aircraft(stands_high="-0.2 ± 0.01 mm")
    assert worked(readings((-0.2, 0.0, 0.0, 0.0)), low).word == IN_LIMITS
    straight = worked(readings((0.0, 0.0, 0.0, 0.0)), low)
    assert straight.word == OUT_OF_LIMITS
    assert "Front feet: take out 4 shims of 0.05 mm, 0.0079 in in all; rear feet: take out 4 shims" in straight.to_do
    # what is left is known as well as the offset and the one that is wanted, and no better
    left = re.search(r"By these readings that leaves \S+ ± (\S+) in and \S+ ± \S+° up and down", straight.to_do)
    assert left, straight.to_do
    doubt = float(straight.finding("vertical_offset").measured.expanded_si) / 0.0254
    assert float(left[1]) == pytest.approx(math.hypot(doubt, 0.01 / 25.4), rel=0.1)
    assert mm(straight, "offset") == pytest.approx(0.2, abs=1e-6)
    assert mm(straight, "vertical_offset") == pytest.approx(0, abs=1e-6)


def test_readings_that_do_not_close_are_no() -> None:
    given = readings((0.02, 0.0, 0.0, 0.0))
    assert worked(given).word == IN_LIMITS
    right = given["positions"][1]
    right["rim"] = f"{float(right['rim'].split()[0]) + 0.06:.6f} ± 0.001 mm"
    outcome = worked(given)
    assert outcome.word == OUT_OF_LIMITS
    assert "do not fit together" in outcome.first[0]
    assert "shims" not in outcome.to_do
    right["rim"] = f"{float(right['rim'].split()[0]) - 0.02:.6f} ± 0.001 mm"
    assert worked(given).word == IN_LIMITS


def test_run_out_and_no_limits() -> None:
    assert worked(readings((0.0, 0.0, 0.0, 0.0), run_out_moved="0.1 ± 0.01 mm")).word == OUT_OF_LIMITS
    assert worked(readings((0.0, 0.0, 0.0, 0.0)), aircraft(limits={})).word == NO_LIMIT


def test_what_is_missing() -> None:
    given = readings((0.5, 0.0, 0.0, 0.0))
    half = {**given, "positions": [row for row in given["positions"] if row["place"] in ("top", "bottom")]}
    outcome = worked(half)
    assert outcome.word == UNDONE
    assert {"vertical_offset", "rise.rear"} <= {one.key for one in outcome.findings}
    assert "offset" not in {one.key for one in outcome.findings}
    # in line, by a bracket that sags by 0.3 mm: without the sag it would be 0.15 mm low, and shims would come out
    for sag in ("rim_sag", "face_sag"):
        unknown = worked({k: v for k, v in readings((0.0,) * 4, sag=(-0.3, 0.1)).items() if k != sag})
        assert unknown.word == UNDONE
        assert "shim" not in unknown.to_do
        assert {"vertical_offset", "vertical_angle", "offset"}.isdisjoint(one.key for one in unknown.findings)
        assert "horizontal_offset" in {one.key for one in unknown.findings}


@pytest.mark.parametrize(
    ("change", "field", "said"),
    [
        ({"rear_feet": "150 ± 1 mm"}, "rear_feet", "far ones"),
        ({"coupling": "two"}, "coupling", "is no coupling"),
        ({"positions": [{"place": "above", "rim": "0 mm"}]}, "positions.0.place", "is not one of top"),
        (
            {"positions": [{"place": "top", "rim": "0 mm"}, {"place": "Top", "rim": "0 mm"}]},
            "positions.1.place",
            "already",
        ),
        ({"positions": []}, "positions", "needs a reading"),
        ({"bracket": "on the mast"}, "bracket", "does not know"),
        ({"circle": "0.1 mm"}, "circle", ""),
    ],
)
def test_what_is_refused(change: dict[str, Any], field: str, said: str) -> None:
    with pytest.raises(SheetError) as caught:
        worked({**readings((0.0, 0.0, 0.0, 0.0)), **change})
    assert any(path.startswith(field) and said in words for path, words in caught.value.problems), caught.value.problems
