"""The sheet of the ignition timing, by plain arithmetic apart from the library."""

import math
from typing import Any

import pytest

from rotorkit.judging.limits import IN_LIMITS, NO_LIMIT, OUT_OF_LIMITS, TOO_CLOSE, UNDONE
from rotorkit.sheets.base import Outcome, SheetError
from rotorkit.sheets.engine.ignition_timing import IgnitionTiming
from tests.sheets.small import small_aircraft

LIMITS = {
    "timing": {"low": "24 deg", "high": "26 deg", "source": "test"},
    "spread": {"high": "1 deg", "source": "test"},
}
STOPS = {"stop_before": "-28 ± 0.2 deg", "stop_after": "30 ± 0.2 deg"}  # the top at 1 degree


def worked(given: dict[str, Any], limits: bool = True) -> Outcome:
    craft = small_aircraft(limits={"ignition_timing": LIMITS}) if limits else small_aircraft()
    return IgnitionTiming.from_readings(given).work(craft)


def disc(left: float, right: float, **more: Any) -> dict[str, Any]:
    sparks = [
        {"ignition": name, "fires": f"{1 - timing} ± 0.2 deg"} for name, timing in (("left", left), ("right", right))
    ]
    return {**STOPS, "sparks": sparks, **more}


def degrees(outcome: Outcome, key: str) -> float:
    return math.degrees(float(outcome.finding(key).measured.si))


@pytest.mark.parametrize(
    ("left", "word"),
    # known to 0.2 sqrt(1.5) = 0.245
    [(24.3, IN_LIMITS), (24.1, TOO_CLOSE), (23.9, TOO_CLOSE), (23.7, OUT_OF_LIMITS), (26.3, OUT_OF_LIMITS)],
)
def test_timing_by_the_disc_both_sides(left: float, word: str) -> None:
    outcome = worked(disc(left, 25))
    assert degrees(outcome, "timing.left") == pytest.approx(left)
    spread = math.degrees(float(outcome.finding("timing.left").measured.expanded_si))
    assert spread == pytest.approx(0.2 * math.sqrt(1.5), rel=1e-6)
    assert outcome.finding("timing.left").verdict.word == word
    assert outcome.finding("timing.right").verdict.word == IN_LIMITS


def test_the_top_cancels_in_the_spread() -> None:
    outcome = worked(disc(24.5, 25.5))
    assert degrees(outcome, "spread") == pytest.approx(1.0)
    assert math.degrees(float(outcome.finding("spread").measured.expanded_si)) == pytest.approx(0.2 * math.sqrt(2))
    assert worked(disc(24.4, 25.7)).finding("spread").verdict.word == OUT_OF_LIMITS
    assert worked(disc(24.6, 25.3)).finding("spread").verdict.word == IN_LIMITS


def test_a_disc_that_reads_the_other_way_is_the_mirror() -> None:
    mirrored = {
        "stop_before": "28 ± 0.2 deg",
        "stop_after": "-30 ± 0.2 deg",
        "turns": "falls after top dead centre",
        "ignitions": "one",
        "sparks": [{"ignition": "left", "fires": "24 ± 0.2 deg"}],
    }
    assert degrees(worked(mirrored), "timing.left") == pytest.approx(25.0)
    wrong = worked({**mirrored, "turns": "rises after top dead centre"})
    assert degrees(wrong, "timing.left") == pytest.approx(-25.0)
    assert wrong.word == OUT_OF_LIMITS
    assert any("far from the limit" in said for said in wrong.remarks)


def test_by_travel_and_by_arc() -> None:
    stroke, rod, angle = 98.0, 160.0, math.radians(25)
    r = stroke / 2
    drop = r * (1 - math.cos(angle)) + rod - math.sqrt(rod**2 - (r * math.sin(angle)) ** 2)
    given = {
        "stroke": "98 ± 0.1 mm",
        "rod": "160 ± 0.1 mm",
        "radius": "127 ± 0.5 mm",
        "sparks": [
            {"ignition": "left", "travel": f"{drop!r} ± 0.05 mm"},
            {"ignition": "right", "arc": f"{127 * math.radians(25.5)!r} ± 0.5 mm"},
        ],
    }
    outcome = worked(given)
    assert degrees(outcome, "timing.left") == pytest.approx(25.0)
    assert degrees(outcome, "timing.right") == pytest.approx(25.5)
    slope = r * math.sin(angle) * (1 + r * math.cos(angle) / math.sqrt(rod**2 - (r * math.sin(angle)) ** 2))
    alone = math.degrees(0.05 / slope)  # the gauge's part of it
    assert alone < math.degrees(float(outcome.finding("timing.left").measured.expanded_si)) < 1.2 * alone
    assert any("0.2" in said and "piston travel" in said and "arc" in said for said in outcome.remarks)


def test_repeats_across_the_discs_zero_are_counted_on() -> None:
    """The mean of 359.5, 0.5 and 0.8 degrees is not 120.3."""
    stops = {"stop_before": "-3 ± 0.2 deg", "stop_after": "53 ± 0.2 deg", "ignitions": "one"}  # the top at 25
    for repeats, top in (
        ("359.5; 0.5; 0.8 deg", None),
        ("-0.5; 0.5; 0.6 deg", 24.8),
        ("359.5; 360.5; 360.6 deg", 24.8),
    ):
        given = {**stops, "sparks": [{"ignition": "left", "fires": repeats}]}
        if top is None:
            with pytest.raises(SheetError, match="361 for 1"):
                worked(given)
        else:
            assert degrees(worked(given), "timing.left") == pytest.approx(top)
    with pytest.raises(SheetError) as refusal:
        worked({**disc(25, 25), "stop_after": "359; 1 deg"})
    assert "half a turn" in dict(refusal.value.problems)["stop_after"]


def test_one_ignition_of_two_is_no_verdict() -> None:
    given = disc(25, 25)
    given["sparks"] = given["sparks"][:1]
    outcome = worked(given)
    assert outcome.word == UNDONE
    assert outcome.missing == ["second ignition"]
    assert worked({**given, "ignitions": "one"}).word == IN_LIMITS
    assert worked({**disc(25, 25)}, limits=False).word == NO_LIMIT


@pytest.mark.parametrize(
    ("given", "path", "said"),
    [
        ({"sparks": [{"ignition": "left", "fires": "-24 ± 0.2 deg"}]}, "stop_before", "is needed"),
        ({"sparks": [{"ignition": "left", "travel": "5 mm"}]}, "rod", "is needed"),
        ({"sparks": [{"ignition": "left", "arc": "5 mm"}]}, "radius", "is needed"),
        ({**disc(25, 25), "sparks": [{"ignition": "a", "fires": "1 deg", "arc": "1 in"}]}, "sparks.0.fires", "one way"),
        ({**disc(25, 25), "sparks": [{"fires": "1 deg"}]}, "sparks.0.ignition", "is missing"),
        (disc(25, 25, stroke="10 in", rod="4 in"), "rod", "longer than half"),
        ({"sparks": []}, "sparks", "needs a reading"),
    ],
)
def test_faults_at_their_fields(given: dict[str, Any], path: str, said: str) -> None:
    with pytest.raises(SheetError) as refusal:
        worked(given)
    assert said in dict(refusal.value.problems)[path]


class Crank:
    """A crank, rod and offset pin followed in plain Python."""

    def __init__(self, stroke: float, rod: float, offset: float) -> None:
        self.r, self.rod, self.offset = stroke / 2, rod, offset
        self.top = self.found(self.rises, -30.0, 30.0)

    def height(self, degrees: float) -> float:
        """Of the pin above the crank's axis, the crank counted from the cylinder's line to the offset's side."""
        at = math.radians(degrees)
        return self.r * math.cos(at) + math.sqrt(self.rod**2 - (self.r * math.sin(at) - self.offset) ** 2)

    def rises(self, degrees: float) -> float:
        """The pin's speed upwards."""
        at = math.radians(degrees)
        side = self.r * math.sin(at) - self.offset
        return -self.r * math.sin(at) - side * self.r * math.cos(at) / math.sqrt(self.rod**2 - side**2)

    @staticmethod
    def found(falling: Any, low: float, high: float) -> float:
        """Where a falling function passes nothing, by halving."""
        for _ in range(100):
            middle = (low + high) / 2
            low, high = (middle, high) if falling(middle) > 0 else (low, middle)
        return low

    def stops(self, drop: float) -> tuple[float, float]:
        """The crank's angles from the top with the piston against a stop so far below it: before, after."""
        stop = self.height(self.top) - drop
        before = self.found(lambda at: stop - self.height(at), self.top - 150, self.top)
        after = self.found(lambda at: self.height(at) - stop, self.top, self.top + 150)
        return before - self.top, after - self.top


@pytest.mark.parametrize("offset", [-9.0, -2.0, 0.0, 2.0, 9.0])
@pytest.mark.parametrize("drop", [3.0, 20.0, 40.0])
def test_the_true_top_of_an_offset_pin_by_following_the_crank(offset: float, drop: float) -> None:
    """The middle lies off the top by up to three quarters of a degree; the sheet finds the top."""
    stroke, rod = 90.0, 150.0
    crank = Crank(stroke, rod, offset)
    before, after = crank.stops(drop)
    if offset:
        assert math.copysign(1.0, before + after) == math.copysign(1.0, offset), "the middle lies on the offset's side"
    for way, turns in ((1.0, "rises after top dead centre"), (-1.0, "falls after top dead centre")):
        outcome = worked({
            "stop_before": f"{way * before + 7} ± 0.2 deg", "stop_after": f"{way * after + 7} ± 0.2 deg",
            "turns": turns, "ignitions": "one", "stroke": "90 mm", "rod": "150 mm", "offset": f"{offset} mm",
            "sparks": [{"ignition": "left", "fires": f"{7 - way * 25} ± 0.2 deg"}],
        })  # fmt: skip
        assert degrees(outcome, "timing.left") == pytest.approx(25.0, abs=1e-7)
    # the same ignition by the piston's travel, that way round alone: on its way up
    travel = crank.height(crank.top) - crank.height(crank.top - 25.0)
    by_travel = worked({
        "ignitions": "one", "stroke": "90 mm", "rod": "150 mm", "offset": f"{offset} mm",
        "sparks": [{"ignition": "left", "travel": f"{travel!r} mm"}],
    })  # fmt: skip
    assert degrees(by_travel, "timing.left") == pytest.approx(25.0, abs=1e-6)
    assert any(f"{travel:.2f}"[:4] in said or "piston travel" in said for said in by_travel.remarks)


def test_an_offset_asks_for_stroke_and_rod() -> None:
    with pytest.raises(SheetError) as refused:
        worked(disc(25, 25, offset="2 mm"))
    assert {path for path, _ in refused.value.problems} == {"stroke", "rod"}
    with pytest.raises(SheetError, match="offset together"):
        worked(disc(25, 25, offset="2 mm", stroke="90 mm", rod="46 mm"))
