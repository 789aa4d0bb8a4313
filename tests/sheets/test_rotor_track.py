"""The sheet of the rotor track, by plain arithmetic apart from the library."""

import math
from typing import Any

import pytest

from rotorkit.aircraft import Aircraft
from rotorkit.judging.limits import IN_LIMITS, NO_LIMIT, OUT_OF_LIMITS, TOO_CLOSE, UNDONE
from rotorkit.sheets.balance.rotor_track import RotorTrack
from rotorkit.sheets.base import SheetError
from tests.sheets.small import small_aircraft

LIMIT = {"rotor_track": {"spread": {"high": "10 mm", "source": "test"}}}


def craft(**more: Any) -> Aircraft:
    return small_aircraft(limits=LIMIT, **more)


def worked(*heights: str, aircraft: Aircraft | None = None, blades: tuple[str, ...] = ("red", "green", "blue")) -> Any:
    marks = [{"blade": blade, "height": height} for blade, height in zip(blades, heights, strict=False)]
    return RotorTrack.from_readings({"marks": marks}).work(aircraft or craft())


@pytest.mark.parametrize(
    ("highest", "word"),
    [
        ("58.5 ± 0.5 mm", IN_LIMITS),  # 8.5 mm, known to hypot(0.5, 0.5) = 0.71 mm
        ("59.5 ± 0.5 mm", TOO_CLOSE),
        ("60.5 ± 0.5 mm", TOO_CLOSE),
        ("61.5 ± 0.5 mm", OUT_OF_LIMITS),
    ],
)
def test_the_spread_against_its_limit_from_both_sides(highest: str, word: str) -> None:
    outcome = worked(highest, "50 ± 0.5 mm", "54 ± 0.5 mm")
    found = outcome.finding("spread")
    assert float(found.measured.si) == pytest.approx((float(highest.split()[0]) - 50) / 1000)
    assert float(found.measured.expanded_si) == pytest.approx(math.hypot(0.5, 0.5) / 1000)
    assert outcome.word == word
    assert outcome.told_to_do.startswith("Blade red flies highest, blade green lowest")
    assert outcome.told_to_do.endswith("and mark again.") == (word != IN_LIMITS)


def test_which_blade_flies_high_and_what_it_flaps() -> None:
    outcome = worked("50 ± 0.5 mm", "58 ± 0.5 mm", "54 ± 0.5 mm")
    assert any("Blade green flies highest, blade red lowest" in said for said in outcome.remarks)
    assert float(outcome.finding("flapping").measured.si) == pytest.approx(math.atan(0.008 / 3.3))


def test_a_blade_without_a_mark_is_no_verdict() -> None:
    outcome = worked("50 ± 0.5 mm", "54 ± 0.5 mm")
    assert outcome.word == UNDONE
    assert outcome.missing == ["mark of blade blue"]
    assert worked("50 ± 0.5 mm", "70 ± 0.5 mm").word == OUT_OF_LIMITS


def test_without_a_limit_nothing_is_judged() -> None:
    outcome = worked("50 ± 0.5 mm", "54 ± 0.5 mm", "52 ± 0.5 mm", aircraft=small_aircraft())
    assert outcome.word == NO_LIMIT


def test_the_scatter_is_told_in_the_unit_of_the_readings() -> None:
    """50 and 52 mm: squares 1 + 1 over one degree of freedom, 1.41 mm or 0.056 in."""
    outcome = worked("50; 52 mm", "54 mm", "52 mm")
    (step,) = [one for one in outcome.steps if one.title.startswith("Scatter")]
    assert step.lines[0].text == "standard deviation of one reading 0.056 in, 1 degrees of freedom"


@pytest.mark.parametrize(
    ("marks", "path", "said"),
    [
        ([], "marks", "needs a reading"),
        (
            [{"blade": "pink", "height": "1 in"}],
            "marks.0.blade",
            "is not a blade of the main rotor; blades: red",
        ),
        ([{"blade": "red", "height": "1 in"}, {"blade": "RED", "height": "2 in"}], "marks.1.blade", "already entered"),
    ],
)
def test_faults_at_their_fields(marks: list[dict[str, str]], path: str, said: str) -> None:
    with pytest.raises(SheetError) as refusal:
        RotorTrack.from_readings({"marks": marks}).work(craft())
    assert said in dict(refusal.value.problems)[path]
