"""A loading held against the manual's envelopes by the sheets of a day: both sides of each edge, by plain figures."""

from __future__ import annotations

import math
from typing import Any

import pytest

from rotorkit.aircraft import demo_folder
from rotorkit.folder.checks import Folder
from rotorkit.judging.limits import IN_LIMITS, OUT_OF_LIMITS, TOO_CLOSE
from rotorkit.mass import Loading, envelope
from rotorkit.sheets.base import Outcome
from rotorkit.sheets.catalogue import sheet_type
from tests.sheets.small import small_aircraft

DAY = {
    "gross_weight": "1,250 ± 4 lb", "altimeter_setting": "29.92 ± 0.02 inHg", "elevation": "500 ± 5 ft",
    "temperature": "70 ± 1 °F", "humidity": "50 ± 5 %", "rotor_speed": "470 ± 2 rpm",
}  # fmt: skip
OWN: dict[str, dict[str, str]] = {
    "hover_margin": {},
    "level_flight": {"headwind": "0 ± 2 kt"},
    "autorotation": {"airspeed": "50 ± 1 kt", "airspeed_is": "true"},
    "anti_torque_margin": {"full_left": "22 ± 0.3 deg", "full_right": "-5 ± 0.3 deg"},
}
LONG = [("96", "850"), ("96", "1,310"), ("101.5", "1,310"), ("104.5", "1,000"), ("104.5", "850")]
SIDE = [("-2.5", "850"), ("-2.5", "1,310"), ("2.5", "1,310"), ("2.5", "850")]
LOADING: dict[str, Any] = {
    "empty_weight": "800 ± 3 lb", "empty_arm": "106 ± 0.2 in", "source": "test",
    "envelopes": [
        {"title": "Along", "between": "arm and mass", "source": "test 1",
         "corners": [{"arm": f"{x} in", "mass": f"{m} lb"} for x, m in LONG]},
        {"title": "Across", "between": "lateral arm and mass", "source": "test 2",
         "corners": [{"lateral_arm": f"{y} in", "mass": f"{m} lb"} for y, m in SIDE]},
    ],
}  # fmt: skip
TAIL = {
    "root_cutout": "10 cm", "twist": "0 deg", "lift_slope": "5.73", "drag_constant": "0.010", "drag_square": "0.4",
    "greatest_lift": "1.2", "source": "test",
}  # fmt: skip
SLOPE = (104.5 - 101.5) / (1310 - 1000)  # in a lb, the slanted aft edge


def worked(sheet: str = "hover_margin", loading: Any = LOADING, **given: str) -> Outcome:
    aircraft = small_aircraft(tail_rotor__blade=TAIL, **({"loading": loading} if loading else {}))
    return sheet_type(sheet).from_readings({**DAY, **OWN[sheet], **given}).work(aircraft)


def inches(outcome: Outcome, key: str = "envelope.Along") -> tuple[float, float]:
    found = outcome.finding(key).measured
    return float(found.value.m_as("in")), float(found.expanded.m_as("in"))


@pytest.mark.parametrize("sheet", OWN)
def test_each_sheet_of_a_day_holds_the_loading_against_the_envelopes(sheet: str) -> None:
    """Outside leads and makes it a no; inside is told and changes neither word nor figures; not given is said."""
    bare, inside = worked(sheet), worked(sheet, arm="99 ± 0.2 in", lateral_arm="0.3 ± 0.2 in")
    outside = worked(sheet, arm="95 ± 0.2 in", lateral_arm="-0.3 ± 0.2 in")
    said = "was not looked at: no centre of gravity is given here"
    assert any(said in one for one in bare.lead)
    assert not any("was not looked at" in one for one in inside.lead)
    assert inside.word == bare.word
    assert [one for one in inside.lead if one not in bare.lead] == []
    for one in bare.findings:
        assert inside.finding(one.key).verdict.sentence == one.verdict.sentence
    assert {one.verdict.word for one in inside.findings if one.key.startswith("envelope.")} == {IN_LIMITS}
    assert any("centre of gravity lies" in one for one in inside.remarks)  # what it changes in these figures

    assert outside.word == OUT_OF_LIMITS
    assert outside.lead[0].startswith("Along: this loading lies outside the manual's envelope. Do not fly it")
    assert outside.told_to_do.startswith("Load it differently")
    assert outside.findings[0].key == "envelope.Along"
    assert inches(outside) == pytest.approx((-1, 0.2), abs=1e-6)  # straight forward limit at 96 in


@pytest.mark.parametrize(
    ("arm", "word"),
    [("95.75", OUT_OF_LIMITS), ("95.85", TOO_CLOSE), ("96.15", TOO_CLOSE), ("96.25", IN_LIMITS)],
)  # fmt: skip
def test_both_sides_of_the_forward_limit(arm: str, word: str) -> None:
    """The limit is straight: what decides is 0.2 in, k = 2."""
    outcome = worked(arm=f"{arm} ± 0.2 in")
    assert outcome.finding("envelope.Along").verdict.word == word
    if word == TOO_CLOSE:
        assert "may lie outside" in outcome.lead[0]
        assert outcome.word == TOO_CLOSE


@pytest.mark.parametrize("way", [-1, 1])
def test_to_the_side_mirrored(way: int) -> None:
    for lateral, word in ((2.75, OUT_OF_LIMITS), (2.6, TOO_CLOSE), (2.4, TOO_CLOSE), (2.25, IN_LIMITS)):
        outcome = worked(arm="99 ± 0.2 in", lateral_arm=f"{way * lateral} ± 0.2 in")
        found = outcome.finding("envelope.Across")
        assert found.verdict.word == word
        assert ("right limit" if way > 0 else "left limit") in found.title
        assert inches(outcome, "envelope.Across") == pytest.approx((2.5 - lateral, 0.2), abs=1e-6)


def test_how_weight_and_arm_are_off_together_is_not_known_and_the_worst_counts() -> None:
    """At the slanted edge: 1,250 ± 4 lb and ± 0.2 in lie 0.2 + 4 SLOPE = 0.2387 in apart at worst, and as independent
    0.2037 in. At 0.22 in from it nobody may say that it is inside; at 0.25 in it is."""
    edge = 101.5 + SLOPE * (1310 - 1250)
    assert math.hypot(0.2, 4 * SLOPE) < 0.22 < 0.2 + 4 * SLOPE < 0.25
    for off, word in ((0.22, TOO_CLOSE), (0.25, IN_LIMITS), (-0.22, TOO_CLOSE), (-0.25, OUT_OF_LIMITS)):
        found = worked(arm=f"{edge - off} ± 0.2 in").finding("envelope.Along")
        assert found.verdict.word == word, off
    # a loading that carries both knows better: fuel aft of the edge moves them together
    hull = envelope([(f"{x} in", f"{m} lb") for x, m in LONG])
    apart = Loading.at("1,250 ± 4 lb", f"{edge - 0.22} ± 0.2 in")
    assert hull.standing(apart).word == IN_LIMITS
    assert hull.standing(apart, known_together=False).word == TOO_CLOSE
    assert hull.certainty(apart, known_together=False) == pytest.approx(2 * 0.22 / (0.2 + 4 * SLOPE), rel=1e-6)
    assert hull.certainty(apart) == pytest.approx(2 * 0.22 / math.hypot(0.2, 4 * SLOPE), rel=1e-6)


def test_the_weight_s_edge_and_both_at_once() -> None:
    heavy = worked(gross_weight="1,309 ± 4 lb", arm="99 ± 0.2 in")
    assert heavy.finding("envelope.Along").title.endswith("from the greatest weight")
    assert heavy.finding("envelope.Along").verdict.word == TOO_CLOSE
    both = worked(gross_weight="1,400 ± 4 lb", arm="95 ± 0.2 in")
    assert both.finding("envelope.Along").verdict.word == OUT_OF_LIMITS
    assert inches(both) == pytest.approx((-1, 0.2), abs=1e-6)


def test_what_cannot_be_looked_at_is_said() -> None:
    none = worked(loading=None, arm="99 ± 0.2 in")
    assert any("the aircraft file has none" in one for one in none.lead)
    half = worked(arm="99 ± 0.2 in")
    assert any("not looked at for Across: no lateral centre of gravity" in one for one in half.lead)
    other = worked(lateral_arm="0 ± 0.2 in")
    assert any("not looked at for Along: no centre of gravity" in one for one in other.lead)


def test_the_loading_sheet_and_the_day_say_the_same() -> None:
    """The demo's loading, taken over into each check of its day: one envelope, one verdict."""
    folder = Folder(demo_folder())
    checks = {one.name: one for one in folder.checks}
    loaded = checks["loaded_today"].outcome(folder.aircraft)
    arm = checks["hover_today"].readings["arm"]
    day = [one for one in folder.checks if "gross_weight" in one.readings and "altimeter_setting" in one.readings]
    assert len(day) >= 5
    for one in day:
        assert one.readings["arm"] == arm
        outcome = one.outcome(folder.aircraft)
        for title in ("Lengthwise", "To_the_side"):
            there = outcome.finding(f"envelope.{title}").verdict
            assert there.word == loaded.finding(f"{title}.inside").verdict.word == IN_LIMITS
