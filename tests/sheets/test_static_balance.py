"""The sheet of static balance, by plain arithmetic apart from the library."""

import math
from typing import Any

import pytest

from rotorkit.judging.limits import IN_LIMITS, NO_LIMIT, OUT_OF_LIMITS, TOO_CLOSE, UNDONE
from rotorkit.sheets.balance.static_balance import StaticBalance
from rotorkit.sheets.base import SheetError
from tests.sheets.small import small_aircraft

LIMIT = {"static_balance": {"spread": {"high": "0.04 kg*m", "source": "test"}}}
PLACES = {"inner_place": "0.3 ± 0 m", "outer_place": "3 ± 0 m"}


def worked(*outer: str, limits: Any = LIMIT, **changed: Any) -> Any:
    rows = [
        {"blade": blade, "inner": "5 ± 0 kg", "outer": shown}
        for blade, shown in zip(("red", "green", "blue"), outer, strict=False)
    ]
    return StaticBalance.from_readings({**PLACES, "blades": rows, **changed}).work(small_aircraft(limits=limits))


@pytest.mark.parametrize(
    ("heaviest", "word"),
    [
        ("4.0110 ± 0.001 kg", IN_LIMITS),  # 0.033 kg m, known to 3 hypot(0.001, 0.001) = 0.0042
        ("4.0130 ± 0.001 kg", TOO_CLOSE),
        ("4.0140 ± 0.001 kg", TOO_CLOSE),
        ("4.0150 ± 0.001 kg", OUT_OF_LIMITS),
    ],
)
def test_the_difference_against_its_limit_from_both_sides(heaviest: str, word: str) -> None:
    outcome = worked("4 ± 0.001 kg", heaviest, "4.005 ± 0.001 kg")
    spread = outcome.finding("spread").measured
    assert float(spread.si) == pytest.approx(3 * (float(heaviest.split()[0]) - 4))
    assert float(spread.expanded_si) == pytest.approx(3 * math.hypot(0.001, 0.001))
    assert outcome.word == word
    assert float(outcome.finding("moment.red").measured.si) == pytest.approx(5 * 0.3 + 4 * 3)
    assert any("Blade green pulls most, blade red least" in said for said in outcome.remarks)
    assert worked("4 kg", "4 kg", "4 kg", limits={}).word == NO_LIMIT


def test_a_blade_laid_further_out_is_worth_its_mass_times_that() -> None:
    """9.011 kg laid 0.05 in further out is 9.011 kg x 2.20462 lb/kg x 0.05 in = 0.99 lb in; of the supports' own ±,
    common to all blades, the difference keeps that of the scales' difference alone: 0.011 kg x 10 mm."""
    outcome = worked("4 ± 0 kg", "4.011 ± 0 kg", "4 ± 0 kg", outer_place="3 ± 0.01 m")
    assert any("0.05 in further out on its supports" in one and "shows 0.99 lb" in one for one in outcome.remarks)
    assert float(outcome.finding("spread").measured.expanded_si) == pytest.approx(0.011 * 0.01)


def test_washers_that_do_not_bring_it_in_limits_lead() -> None:
    """0.06 kg m apart; two washers of 4 g at 1 m take 0.008 of it, six 0.024: the limit is 0.04."""
    for largest, enough in (("8 ± 0 g", False), ("24 ± 0 g", True)):
        outcome = worked("4 ± 0 kg", "4.02 ± 0 kg", "4.02 ± 0 kg", washer="4 ± 0 g", station="1 ± 0 m", largest=largest)
        assert outcome.word == OUT_OF_LIMITS
        assert outcome.to_do.startswith(f"Add {6 if enough else 2} washers in blade red")
        assert any("bring it in limits" in said for said in outcome.lead) != enough
    outcome = worked("4 ± 0 kg", "4.02 ± 0 kg", "4.02 ± 0 kg", washer="90 ± 0 g", station="1 ± 0 m", largest="8 ± 0 g")
    assert "No washer makes it better." in outcome.remarks


def test_whole_washers_make_them_alike() -> None:
    """4 g washers at 3.1 m are 0.0124 kg m: three and two of them make 0, 0.033, 0.015 into 0.0372, 0.033, 0.0398."""
    more = {"washer": "4 ± 0 g", "station": "3.1 ± 0 m", "largest": "20 ± 0 g"}
    outcome = worked("4 ± 0.001 kg", "4.0110 ± 0.001 kg", "4.005 ± 0.001 kg", **more)
    best = min(
        max(m) - min(m)
        for a in range(6)
        for b in range(6)
        for c in range(6)
        if (m := (0.0 + 0.0124 * a, 0.033 + 0.0124 * b, 0.015 + 0.0124 * c))
    )
    assert float(outcome.finding("matched").measured.si) == pytest.approx(best)
    assert any("3 washers in blade red, 2 washers in blade blue, and weigh again" in said for said in outcome.remarks)


def test_one_scale_and_a_knife_edge() -> None:
    """9 kg on an edge at 0.3 m, 4 and 4.02 kg on the scale at 3 m: 9 x 0.3 + 4 x 2.7 = 13.5, and 0.054 more."""
    rows = [
        {"blade": blade, "mass": "9 ± 0 kg", "outer": shown}
        for blade, shown in zip(("red", "green", "blue"), ("4 ± 0 kg", "4.02 ± 0 kg", "4.01 ± 0 kg"), strict=True)
    ]
    outcome = worked(inner_support="a knife edge", blades=rows)
    assert float(outcome.finding("moment.red").measured.si) == pytest.approx(9 * 0.3 + 4 * 2.7)
    assert float(outcome.finding("spread").measured.si) == pytest.approx(0.02 * 2.7)
    assert outcome.word == OUT_OF_LIMITS
    # the same blades on two scales, 5 kg inside: the same moments
    assert float(worked("4 ± 0 kg").finding("moment.red").measured.si) == pytest.approx(9 * 0.3 + 4 * 2.7)
    # laid 0.05 in further out all of the blade's 9 kg move: 19.84 lb x 0.05 in
    assert any("shows 0.99 lb" in said for said in outcome.remarks)
    missing = worked(inner_support="a knife edge", blades=rows[:2]).missing
    assert missing == ["blade blue on its scale and weighed whole"]


def test_several_places_some_of_one_blade_alone_every_way_tried() -> None:
    """4 g at 3.1 m in each blade, three at most; green has two more places: two washers in one of them at 1.5 m, to be
    taken out if that helps, and up to two at 0.7 m."""
    more = {"washer": "4 ± 0 g", "station": "3.1 ± 0 m", "largest": "12 ± 0 g"}
    pockets = [
        {"name": "root", "blade": "green", "station": "1.5 ± 0 m", "largest": "8 g", "there": "2"},
        {"name": "bolt", "blade": "green", "station": "0.7 ± 0 m", "largest": "8 g"},
    ]
    outcome = worked("4 ± 0.001 kg", "4.0190 ± 0.001 kg", "4.005 ± 0.001 kg", **more, pockets=pockets)
    tip, root, bolt = 0.004 * 3.1, 0.004 * 1.5, 0.004 * 0.7
    ways = {
        (a, b, c, d, e): max(m) - min(m)
        for a in range(4)
        for b in range(4)
        for c in range(4)
        for d in (-2, -1, 0)
        for e in range(3)
        if (m := (tip * a, 0.057 + tip * b + root * d + bolt * e, 0.015 + tip * c))
    }
    best = min(ways.values())
    a, b, c, d, e = min((way for way, spread in ways.items() if spread < best + 1e-9), key=lambda w: sum(map(abs, w)))
    assert float(outcome.finding("matched").measured.si) == pytest.approx(best)
    assert (a, b, c, d, e) == (3, 0, 2, -2, 0)
    said = "Add 3 washers in blade red, 2 washers in blade blue; take 2 washers out at root in blade green, and weigh"
    assert outcome.to_do.startswith(said)


def test_a_blade_not_weighed_is_no_verdict() -> None:
    outcome = worked("4 ± 0.001 kg", "4.001 ± 0.001 kg")
    assert outcome.word == UNDONE
    assert outcome.missing == ["blade blue on both scales"]
    assert worked("4 ± 0.001 kg", "4.1 ± 0.001 kg").word == OUT_OF_LIMITS


@pytest.mark.parametrize(
    ("changed", "path", "said"),
    [
        ({"outer_place": "0.2 ± 0 m"}, "outer_place", "lies outside the inner support"),
        ({"washer": "4 ± 0 g"}, "station", "is needed to say how many"),
        ({"blades": [{"blade": "red", "inner": "5 kg"}]}, "blades.0.outer", "is needed with the other"),
        ({"inner_support": "a knife edge"}, "blades.0.mass", "is needed with the other"),
        ({"inner_support": "a knife edge"}, "blades.0.inner", "is not used where"),
        ({"washer": "4 g", "pockets": [{"name": "root"}]}, "pockets.0.station", "is needed"),
        ({"pockets": [{"station": "1 m", "largest": "8 g"}]}, "washer", "is needed"),
        ({"washer": "4 g", "pockets": [{"station": "1 m", "largest": "8 g", "there": "1.5"}]}, "pockets.0.there", ""),
        (
            {"washer": "4 g", "pockets": [{"blade": "x", "station": "1 m", "largest": "8 g"}]},
            "pockets.0.blade",
            "not a bla",
        ),
        ({"blades": [{"blade": "pink", "inner": "5 kg", "outer": "5 kg"}]}, "blades.0.blade", "is not a blade"),
    ],
)
def test_faults_at_their_fields(changed: dict[str, Any], path: str, said: str) -> None:
    with pytest.raises(SheetError) as refusal:
        worked("4 ± 0.001 kg", "4 ± 0.001 kg", "4 ± 0.001 kg", **changed)
    assert said in dict(refusal.value.problems)[path]
