"""The sheet of balance along the chord, by plain arithmetic apart from the library."""

import itertools
import math
from typing import Any

import pytest

from rotorkit.balance import Station, match_chords
from rotorkit.judging.limits import IN_LIMITS, NO_LIMIT, OUT_OF_LIMITS, TOO_CLOSE, UNDONE
from rotorkit.quantities import QuantityError
from rotorkit.sheets.balance.chord_balance import ChordBalance
from rotorkit.sheets.base import SheetError
from tests.sheets.small import small_aircraft

BLADES = ("red", "green", "blue")
PLACES = {"root_place": "40 ± 0 mm", "nose_place": "20 ± 0 mm", "tail_place": "140 ± 0 mm"}
LIMIT = {
    "chord_balance": {
        "position": {"low": "36 mm", "high": "39 mm", "source": "test"},
        "difference": {"high": "0.5 mm", "source": "test"},
    }
}
POCKET = {"washer": "20 ± 0 g", "pocket": "5 ± 0 mm", "largest": "400 g"}


def centre(nose: float, tail: float, root: float = 5.0) -> float:
    """mm from the leading edge: moments about the nose support, then back to the leading edge. The chord is 160 mm."""
    return 20 + (root * 20 + tail * 120) / (root + nose + tail)


def worked(*shown: tuple[str, str], limits: Any = LIMIT, **changed: Any) -> Any:
    rows = [
        {"blade": blade, "root": "5 ± 0 kg", "nose": nose, "tail": tail}
        for blade, (nose, tail) in zip(BLADES, shown, strict=False)
    ]
    return ChordBalance.from_readings({**PLACES, "blades": rows, **changed}).work(small_aircraft(limits=limits))


def alike(tail: str = "0.55 ± 0 kg", nose: str = "4.4 ± 0 kg") -> tuple[tuple[str, str], ...]:
    return ((nose, tail),) * 3


def test_the_centre_and_its_share_of_the_chord() -> None:
    outcome = worked(*alike())
    wanted = centre(4.4, 0.55)
    assert float(outcome.finding("centre.green").measured.si) == pytest.approx(wanted / 1000)
    assert float(outcome.finding("share.green").measured.si) == pytest.approx(wanted / 160)
    assert outcome.word == IN_LIMITS


@pytest.mark.parametrize(
    ("tail", "word"),
    [
        (0.491, IN_LIMITS), (0.487, TOO_CLOSE), (0.482, TOO_CLOSE), (0.478, OUT_OF_LIMITS),
        (0.772, IN_LIMITS), (0.776, TOO_CLOSE), (0.780, TOO_CLOSE), (0.785, OUT_OF_LIMITS),
    ],
)  # fmt: skip
def test_the_position_from_both_sides_of_both_limits(tail: float, word: str) -> None:
    """36 to 39 mm, of 5, 4.4 and t kg, are t = 0.4846 and 0.7782 kg; 5 g of it move the centre by (140 - c) / m of
    that, some 0.05 mm."""
    outcome = worked(*alike(f"{tail} ± 0.005 kg"))
    found = outcome.finding("centre.red")
    assert float(found.measured.si) == pytest.approx(centre(4.4, tail) / 1000)
    spread = 0.005 * (140 - centre(4.4, tail)) / (9.4 + tail)
    assert float(found.measured.expanded_si) == pytest.approx(spread / 1000, rel=1e-3)
    assert found.verdict.word == word
    assert outcome.word == word


def test_the_difference_and_who_is_heaviest_behind() -> None:
    outcome = worked(("4.4 ± 0 kg", "0.55 ± 0 kg"), ("4.4 ± 0 kg", "0.65 ± 0 kg"), ("4.4 ± 0 kg", "0.6 ± 0 kg"))
    apart = centre(4.4, 0.65) - centre(4.4, 0.55)
    assert apart > 0.5
    assert float(outcome.finding("difference").measured.si) == pytest.approx(apart / 1000)
    assert outcome.word == OUT_OF_LIMITS
    assert any("Blade green is heaviest behind, blade red least" in said for said in outcome.remarks)
    # what all blades' places have in common drops out of the difference, but for what the masses differ
    common = worked(*alike(), root_place="40 ± 1 mm")
    assert float(common.finding("difference").measured.expanded_si) == pytest.approx(0, abs=1e-12)
    assert float(common.finding("centre.red").measured.expanded_si) == pytest.approx(5 / 9.95 / 1000)


def test_whole_washers_in_the_nose_every_way_tried() -> None:
    """20 g in the pocket at 5 mm, twenty at most in each blade: 21^3 ways."""
    tails = (0.55, 0.65, 0.6)
    outcome = worked(*[("4.4 ± 0 kg", f"{tail} ± 0 kg") for tail in tails], **POCKET, pocket_station="3 ± 0 m")

    def after(tail: float, count: int) -> float:
        mass = 9.4 + tail
        return (mass * centre(4.4, tail) + 0.02 * count * 5) / (mass + 0.02 * count)

    ways = itertools.product(range(21), repeat=3)
    spreads = {
        way: max(found) - min(found)
        for way in ways
        if (found := [after(tail, count) for tail, count in zip(tails, way, strict=True)])
    }
    # a tenth of the limit is good enough: of all ways that reach it the one with the fewest washers
    best = min(spreads.values())
    assert best < 0.05
    fewest = min((way for way, spread in spreads.items() if spread < 0.05), key=sum)
    assert float(outcome.finding("matched").measured.si) == pytest.approx(spreads[fewest] / 1000)
    named = [f"{count} washer{'s' if count > 1 else ''} in blade {blade}"
             for blade, count in zip(BLADES, fewest, strict=True) if count]  # fmt: skip
    assert ", ".join(named) in outcome.to_do
    # 20 g at 3 m are 60 g m, 5.2 lb in
    assert "each washer adds 5.2 lb·in to its blade's span moment" in outcome.to_do


def test_bounds_come_before_likeness() -> None:
    """Two blades alike at 39.5 mm, both too far aft: washers bring both forward although they are alike already."""
    mass, where = ["10 kg"] * 2, ["39.5 mm"] * 2
    nose = [Station("5 mm", "400 g")]
    free = match_chords(mass, where, [nose, nose], "20 g")
    assert free.changes == ((0,), (0,))
    held = match_chords(mass, where, [nose, nose], "20 g", "36 mm", "39 mm")
    # (10 x 39.5 + 0.02 n x 5) / (10 + 0.02 n) <= 39: n >= 5 / (0.02 x 34) = 7.4
    assert held.changes == ((8,), (8,))
    assert held.within
    # where nothing is good enough but the least, the least: of 0.3 mm too far aft five washers of 0.069 mm, not four
    mixed = ["39.5 mm", "39.8 mm"]
    assert match_chords(mass, mixed, [nose, nose], "20 g").changes == ((0,), (4,))
    assert match_chords(mass, mixed, [nose, nose], "20 g", close_enough="0.1 mm").changes == ((0,), (3,))
    far = match_chords(mass, ["45 mm"] * 2, [nose, nose], "20 g", "36 mm", "39 mm")
    assert not far.within
    assert far.changes == ((20,), (20,))
    with pytest.raises(QuantityError, match="two blades or more"):
        match_chords(["10 kg"], ["40 mm"], [nose], "20 g")
    outcome = worked(*alike("0.95 ± 0 kg"), **{**POCKET, "largest": "40 g"})
    assert any("that is for the blades' maker" in said for said in outcome.lead)


@pytest.mark.parametrize(("tail", "way"), [(0.79, 1), (0.478, -1)])
def test_washers_bring_it_so_far_inside_that_the_next_weighing_can_tell(tail: float, way: int) -> None:
    """All alike, 0.116 mm beyond 39 mm or 0.08 mm short of 36 mm, each known to 0.05 mm: 20 g at 5 mm bring it 0.067 mm
    forward, at 150 mm 0.22 mm aft. Two bring 39.116 to 38.98 mm, which is too close to call; three to 38.92."""
    pocket, limit = (5.0, 39.0) if way == 1 else (150.0, 36.0)
    outcome = worked(*alike(f"{tail} ± 0.005 kg"), **{**POCKET, "pocket": f"{pocket} ± 0 mm"})
    mass = 9.4 + tail
    spread = 0.005 * (140 - centre(4.4, tail)) / mass

    def after(count: int) -> float:
        return (mass * centre(4.4, tail) + 0.02 * count * pocket) / (mass + 0.02 * count)

    fewest = min(count for count in range(21) if way * (limit - after(count)) >= spread)
    assert min(count for count in range(21) if way * (limit - after(count)) >= 0) == fewest - (way == 1)
    plural = "s" if fewest > 1 else ""
    assert outcome.to_do.startswith(f"Add {fewest} washer{plural} in blade red, {fewest} washer{plural} in blade green")
    # no place along the span is given, and the sentence says what is to be weighed anew
    assert "; washers change the span moment, so weigh that again too" in outcome.to_do


def test_washers_that_do_not_bring_it_in_limits_lead_and_no_reason_is_made_up() -> None:
    """2 mm apart, two washers of 20 g bring the one 0.13 mm forward: 0.5 mm is not reached."""
    light, heavy = ("4.4 ± 0 kg", "0.55 ± 0 kg"), ("4.4 ± 0 kg", "0.75 ± 0 kg")
    outcome = worked(light, heavy, light, **{**POCKET, "largest": "40 g"})
    assert outcome.to_do.startswith("Add 2 washers in blade green, ")
    assert any("no whole washers in the places named bring it in limits" in said for said in outcome.lead)
    assert not worked(light, ("4.4 ± 0 kg", "0.65 ± 0 kg"), light, **POCKET).lead
    # less apart than is known: a washer might make it better, but none follows from these readings
    coarse = ("4.4 ± 0.05 kg", "0.55 ± 0.05 kg")
    outcome = worked(coarse, ("4.4 ± 0.05 kg", "0.6 ± 0.05 kg"), coarse, **POCKET)
    assert any("No washer follows" in said for said in outcome.remarks)
    assert not any("makes it better" in said for said in outcome.remarks)


@pytest.mark.parametrize(("tail", "behind"), [(0.89, True), (0.87, False)])
def test_behind_the_quarter_chord_without_a_limit_leads(tail: float, behind: bool) -> None:
    """A quarter of 160 mm is 40 mm: t = 0.88 kg."""
    assert centre(4.4, 0.88) == pytest.approx(40)
    outcome = worked(*alike(f"{tail} ± 0 kg"), limits={})
    assert outcome.word == NO_LIMIT
    assert any("may flutter" in said for said in outcome.lead) == behind
    limits_given = worked(*alike(f"{tail} ± 0 kg"))
    assert not any("may flutter" in said for said in limits_given.lead)
    assert any("heavy behind its quarter chord" in said for said in limits_given.remarks) == behind


def test_a_blade_not_weighed_is_no_verdict() -> None:
    outcome = worked(*alike()[:2])
    assert (outcome.word, outcome.missing) == (UNDONE, ["blade blue on three scales"])


@pytest.mark.parametrize(
    ("changed", "path", "said"),
    [
        ({"tail_place": "20 ± 0 mm"}, "tail_place", "behind the nose support"),
        ({"tail_place": "170 ± 0 mm"}, "tail_place", "beyond the trailing edge"),
        ({"washer": "20 g"}, "pocket", "is needed to say how many"),
        ({"blades": [{"blade": "red", "root": "5 kg", "nose": "4 kg"}]}, "blades.0.tail", "is needed with the other"),
        (
            {"blades": [{"blade": "pink", "root": "5 kg", "nose": "4 kg", "tail": "1 kg"}]},
            "blades.0.blade",
            "not a blade",
        ),
        ({"blades": [{"blade": "red", "root": "0 kg", "nose": "0 kg", "tail": "0 kg"}]}, "blades.0.root", "all three"),
    ],
)
def test_faults_at_their_fields(changed: dict[str, Any], path: str, said: str) -> None:
    with pytest.raises(SheetError) as refusal:
        worked(*alike(), **changed)
    assert said in dict(refusal.value.problems)[path]
    assert math.isfinite(centre(4.4, 0.55))
