"""The one-way clutch by plain arithmetic apart from the library. Its contact after Boresi's example is held in
tests/published."""

import math
from typing import Any

import pytest

from rotorkit.aircraft import Aircraft
from rotorkit.judging.limits import IN_LIMITS, NO_LIMIT, OUT_OF_LIMITS, TOO_CLOSE, UNDONE
from rotorkit.sheets.base import Outcome, SheetError
from rotorkit.sheets.catalogue import sheet_type
from tests.sheets.small import small_aircraft

LIMITS = {
    "margin": {"low": "20 %", "source": "test"},
    "pressure": {"high": "2500 MPa", "source": "test"},
    "drag": {"high": "4 N*m", "source": "test"},
}
PEAK = 2.0 * 110e3 / (3 * 470 * math.pi / 30)  # 110 kW at three times 470 rpm, twice the mean: 1,490 N m
GOOD: dict[str, Any] = {
    "rated": "2000 ± 0 N*m", "shock": "2.0 ± 0.0", "turns": "3", "overruns": "runs free, engine stands",
    "locks": "takes hold at once", "needles": "part at once", "pull": "3.0 ± 0 N", "arm": "3.0 ± 0 m",
}  # fmt: skip
CONTACT = {
    "elements": "20", "race_radius": "45 ± 0 mm", "element_radius": "7 ± 0 mm", "contact_length": "30 ± 0 mm",
    "wedge_angle": "7 ± 0 deg", "friction": "0.08 ± 0",
}  # fmt: skip


def aircraft(limits: Any = LIMITS) -> Aircraft:
    return small_aircraft(limits={"one_way_clutch": limits} if limits else {})


def worked(change: dict[str, Any] | None = None, craft: Aircraft | None = None) -> Outcome:
    given = {k: v for k, v in {**GOOD, **CONTACT, **(change or {})}.items() if v is not None}
    return sheet_type("one_way_clutch").from_readings(given).work(craft or aircraft())


def si(outcome: Outcome, key: str) -> float:
    return float(outcome.finding(key).measured.si)


def test_figures_by_hand() -> None:
    found = worked()
    assert si(found, "peak") == pytest.approx(PEAK, rel=1e-9)
    assert si(found, "margin") == pytest.approx(2000 / PEAK - 1, rel=1e-9)
    assert si(found, "drag") == pytest.approx(3.0, rel=1e-9)  # 3 N at 3 m, over three turns
    force = PEAK / (20 * 0.045 * math.tan(math.radians(3.5)))
    modulus = 207e9 / (2 * (1 - 0.29**2))
    curved = 1 / 0.007 + 1 / 0.045
    # Hertz, another way round: p^2 = F E* curvature / (pi L)
    assert si(found, "pressure") == pytest.approx(math.sqrt(force * modulus * curved / (math.pi * 0.030)), rel=1e-9)
    assert si(found, "grip") == pytest.approx(0.08 - math.tan(math.radians(3.5)), rel=1e-9)
    assert found.word == IN_LIMITS
    assert found.lead == []


@pytest.mark.parametrize(
    ("rated", "word"), [(1.21, IN_LIMITS), (1.19, OUT_OF_LIMITS), (1.2, TOO_CLOSE), (0.9, OUT_OF_LIMITS)]
)
def test_both_sides_of_the_rating(rated: float, word: str) -> None:
    found = worked({"rated": f"{rated * PEAK} ± {0.005 * PEAK} N*m"})
    assert found.finding("margin").verdict.word == word
    assert bool(found.lead) == (rated < 1)
    assert (found.word == IN_LIMITS) == (word == IN_LIMITS)


def test_physics_without_any_limit() -> None:
    assert worked({}, aircraft({})).word == NO_LIMIT
    over = worked({"rated": f"{0.9 * PEAK} ± 0 N*m"}, aircraft({}))
    assert over.word == OUT_OF_LIMITS
    assert "do not run it" in over.lead[0]
    wide = worked({"wedge_angle": "12 ± 0 deg"}, aircraft({}))  # tan 6 deg is 0.105, above 0.08
    assert wide.finding("grip").verdict.word == OUT_OF_LIMITS
    assert "slip" in wide.lead[0]


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ({"overruns": "drags: something turns with it"}, "autorotation"),
        ({"overruns": "does not run free"}, "autorotation"),
        ({"needles": "part late"}, "autorotation"),
        ({"needles": "stay together"}, "autorotation"),
        ({"locks": "slips before it takes hold"}, "does not take hold"),
        ({"locks": "does not take hold"}, "does not take hold"),
    ],
)
def test_what_is_seen_leads(change: dict[str, Any], said: str) -> None:
    found = worked(change)
    assert found.word == OUT_OF_LIMITS
    assert said in found.lead[0]
    assert found.to_do.startswith("Do not run or fly it")


@pytest.mark.parametrize("left", ["overruns", "locks", "needles"])
def test_what_was_not_looked_at_is_no_verdict(left: str) -> None:
    assert worked({left: None}).word == UNDONE
    assert worked({left: "not looked at"}).word == UNDONE


def test_without_the_pull_it_is_not_whole() -> None:
    assert worked({"pull": None, "arm": None}).word == UNDONE
    # the contacts are for those who have their figures, unless the maker limits their pressure
    without = dict.fromkeys(CONTACT)
    assert worked(without, aircraft({key: one for key, one in LIMITS.items() if key != "pressure"})).word == IN_LIMITS
    assert worked(without).word == UNDONE
    assert any("pressure" in said for said in worked(without).missing)


@pytest.mark.parametrize(
    ("change", "path"),
    [
        ({"friction": None}, "friction"),
        ({"arm": None}, "arm"),
        ({"turns": None}, "turns"),
        ({"elements": "7.5"}, "elements"),
    ],
)
def test_faults_at_their_fields(change: dict[str, Any], path: str) -> None:
    with pytest.raises(SheetError) as refusal:
        worked(change)
    assert path in dict(refusal.value.problems), refusal.value.problems
