"""Keys, splines and flanges by plain arithmetic apart from the library."""

import math
from typing import Any

import pytest

from rotorkit.aircraft import Aircraft
from rotorkit.judging.limits import IN_LIMITS, NO_LIMIT, OUT_OF_LIMITS, TOO_CLOSE, UNDONE
from rotorkit.sheets.base import Outcome, SheetError
from rotorkit.sheets.catalogue import sheet_type
from tests.sheets.small import small_aircraft

PEAK = 1.5 * 60e3 / (2 * 470 * math.pi / 30)  # 60 kW at twice 470 rpm, half as much again at its greatest: 914 N m
KEY = {"shaft_diameter": "40 ± 0 mm", "key_width": "10 ± 0 mm", "key_height": "8 ± 0 mm", "key_length": "60 ± 0 mm"}
SPLINE = {
    "spline_diameter": "38 ± 0 mm", "tooth_height": "2.5 ± 0 mm", "spline_length": "35 ± 0 mm", "teeth": "22",
    "share": "0.75 ± 0",
}  # fmt: skip
FLANGE = {
    "circle_diameter": "110 ± 0 mm", "bolts": "6", "bolt_diameter": "10 ± 0 mm", "holes": "with clearance",
    "preload": "30 ± 0 kN", "friction": "0.15 ± 0",
}  # fmt: skip
GOOD: dict[str, Any] = {"power": "60 ± 0 kW", "turns": "2", "shock": "1.5 ± 0", "seats": "clean and tight"}
SHEAR = 2 * PEAK / (0.040 * 0.010 * 0.060)
HELD = 0.15 * 30e3 * 6 * 0.055


def aircraft(**limits: Any) -> Aircraft:
    return small_aircraft(limits={"shaft_connections": limits} if limits else {})


def worked(change: dict[str, Any] | None = None, craft: Aircraft | None = None) -> Outcome:
    given = {k: v for k, v in {**GOOD, **KEY, **SPLINE, **FLANGE, **(change or {})}.items() if v is not None}
    return sheet_type("shaft_connections").from_readings(given).work(craft or aircraft())


def si(outcome: Outcome, key: str) -> float:
    return float(outcome.finding(key).measured.si)


def test_figures_by_hand() -> None:
    found = worked()
    assert si(found, "peak") == pytest.approx(PEAK, rel=1e-9)
    assert si(found, "key_shear") == pytest.approx(SHEAR, rel=1e-9)
    force = PEAK / 0.020
    assert si(found, "key_pressure") == pytest.approx(force / (0.004 * 0.060), rel=1e-9)  # half its height bears
    tooth = PEAK / 0.019 / (0.75 * 22)
    assert si(found, "spline_pressure") == pytest.approx(tooth / (0.0025 * 0.035), rel=1e-9)
    bolt = PEAK / 0.055 / 6
    assert si(found, "bolt_shear") == pytest.approx(bolt / (math.pi / 4 * 0.010**2), rel=1e-9)
    assert si(found, "grip") == pytest.approx(HELD / PEAK - 1, rel=1e-9)
    assert found.word == NO_LIMIT


@pytest.mark.parametrize(("key", "by_hand"), [("key_shear", SHEAR), ("key_pressure", 4 * PEAK / (0.04 * 0.008 * 0.06))])
@pytest.mark.parametrize(("share", "word"), [(1.02, IN_LIMITS), (0.98, OUT_OF_LIMITS)])
def test_both_sides_of_a_limit(key: str, by_hand: float, share: float, word: str) -> None:
    found = worked(None, aircraft(**{key: {"high": f"{share * by_hand} Pa", "source": "test"}}))
    assert found.finding(key).verdict.word == word
    assert (found.word == OUT_OF_LIMITS) == (word == OUT_OF_LIMITS)
    assert found.to_do.startswith("Do not run it") == (word != IN_LIMITS)


def test_the_shock_factor_s_uncertainty_decides() -> None:
    craft = aircraft(key_shear={"high": f"{1.02 * SHEAR} Pa", "source": "test"})
    assert worked({"shock": "1.5 ± 0.1"}, craft).finding("key_shear").verdict.word == TOO_CLOSE


@pytest.mark.parametrize(("preload", "word"), [(1.02, NO_LIMIT), (0.98, OUT_OF_LIMITS)])
def test_a_flange_that_slips_is_no_matter_of_a_limit(preload: float, word: str) -> None:
    """Bolts with clearance hold by friction alone; fitted ones carry by shear too."""
    one = {"preload": f"{preload * PEAK / (0.15 * 6 * 0.055)} ± 0 N"}
    found = worked(one)
    assert found.finding("grip").verdict.word == word
    assert bool(found.lead) == (word == OUT_OF_LIMITS)
    assert not worked({**one, "holes": "fitted, reamed together"}).lead


@pytest.mark.parametrize("seats", ["red or black dust", "moved, or loose"])
def test_what_is_seen_at_the_seats_leads(seats: str) -> None:
    found = worked({"seats": seats})
    assert found.word == OUT_OF_LIMITS
    assert "fails without another sign" in found.lead[0]
    assert found.to_do.startswith("Do not run it: take the connection apart")


@pytest.mark.parametrize(
    "change",
    [
        {"seats": None},
        {"holes": None},
        {"preload": None, "friction": None},
        dict.fromkeys((*KEY, *SPLINE, *FLANGE)),
    ],
)
def test_without_a_part_it_is_not_whole(change: dict[str, Any]) -> None:
    assert worked(change).word == UNDONE


@pytest.mark.parametrize(
    ("change", "path"),
    [
        ({"key_length": None}, "key_length"),
        ({"share": None}, "share"),
        ({"friction": None}, "friction"),
        ({"bolts": "6.5"}, "bolts"),
        ({"teeth": "2.5"}, "teeth"),
        ({"power": None}, "power"),
        ({"bolt_diameter": "120 mm"}, "bolt_diameter"),
        (dict.fromkeys(("circle_diameter", "bolts", "bolt_diameter", "holes")), "circle_diameter"),
    ],
)
def test_faults_at_their_fields(change: dict[str, Any], path: str) -> None:
    with pytest.raises(SheetError) as refusal:
        worked(change)
    assert path in dict(refusal.value.problems), refusal.value.problems
