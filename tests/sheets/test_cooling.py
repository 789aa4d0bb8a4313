"""The cooling sheet, by plain arithmetic apart from the library."""

from __future__ import annotations

import math
from typing import Any

import pytest

from rotorkit.aircraft import Aircraft
from rotorkit.judging.limits import IN_LIMITS, OUT_OF_LIMITS, TOO_CLOSE, UNDONE
from rotorkit.sheets.base import Outcome, SheetError
from rotorkit.sheets.engine.cooling import Cooling
from tests.sheets.small import small_aircraft

LIMITS = {
    "head": {"high": "450 °F"},
    "barrel": {"high": "300 °F"},
    "oil": {"high": "245 °F"},
    "drop": {"low": "0.11 psi"},
}
HEAD = {"where": "cylinder 3", "part": "cylinder head", "reading": "388 ± 10 °F"}
BARREL = {"where": "base 3", "part": "cylinder barrel", "reading": "244 ± 10 °F"}
OIL = {"where": "oil", "part": "oil", "reading": "188 ± 5 °F"}
OFF = {"place": "heat off", "reading": "4 ppm ± 3 ppm"}
ON = {"place": "heat on", "reading": "11 ppm ± 3 ppm"}


def craft(**changes: Any) -> Aircraft:
    limits = {key: {**sides, "source": "test"} for key, sides in {**LIMITS, **changes}.items()}
    return small_aircraft(engine__rated_speed="2640 rpm", limits={"cooling": limits})


def worked(on: Aircraft | None = None, **given: Any) -> Outcome:
    readings: dict[str, Any] = {
        "ambient": "68 ± 2 °F", "height": "5000 ± 0 ft", "temperatures": [HEAD, BARREL, OIL],
        "drop": "0.09 ± 0.001 psi", "drop_speed": "2200 ± 0 rpm", "cabin": [OFF, ON], **given,
    }  # fmt: skip
    return Cooling.from_readings(readings).work(on or craft())


def figure(outcome: Outcome, key: str, unit: str) -> float:
    return float(outcome.finding(key).measured.value.m_as(unit))


def test_the_hottest_day() -> None:
    """14 CFR 27.1043(b): 100 °F less 3.6 °F each 1,000 ft is 82 °F at 5,000 ft; of barrels 0.7 of the shortfall."""
    outcome = worked()
    assert figure(outcome, "hottest", "degF") == pytest.approx(82)
    assert figure(outcome, "head.cylinder_3", "degF") == pytest.approx(388 + 14)
    assert figure(outcome, "barrel.base_3", "degF") == pytest.approx(244 + 0.7 * 14)
    assert figure(outcome, "oil.oil", "degF") == pytest.approx(188 + 14)
    assert float(outcome.finding("head.cylinder_3").measured.expanded.m_as("delta_degF")) == pytest.approx(
        math.hypot(10, 2)
    )
    assert outcome.word == IN_LIMITS


def test_on_a_day_warmer_than_the_hottest_nothing_is_taken_off() -> None:
    """455 °F was read with 90 °F outside: 8 °F less would be within the 450 °F that it was beyond."""
    warmer = worked(ambient="90 ± 2 °F", temperatures=[{**HEAD, "reading": "455 ± 1 °F"}, BARREL, OIL])
    assert figure(warmer, "head.cylinder_3", "degF") == pytest.approx(455)
    assert warmer.finding("head.cylinder_3").verdict.word == OUT_OF_LIMITS
    assert figure(warmer, "barrel.base_3", "degF") == pytest.approx(244)
    assert any("warmer than the hottest day" in one for one in warmer.remarks)


def test_below_the_standard_sea_level_the_day_is_hotter() -> None:
    """A field by the sea in a high: 100 °F and 3.6 °F for each 1,000 ft, 500 ft lower down."""
    outcome = worked(height="-500 ± 0 ft")
    assert figure(outcome, "hottest", "degF") == pytest.approx(101.8)
    assert figure(outcome, "head.cylinder_3", "degF") == pytest.approx(388 + 101.8 - 68)


@pytest.mark.parametrize(("reading", "word"), [("420", IN_LIMITS), ("432", TOO_CLOSE), ("450", OUT_OF_LIMITS)])
def test_both_sides_of_a_limit(reading: str, word: str) -> None:
    outcome = worked(temperatures=[{**HEAD, "reading": f"{reading} ± 10 °F"}, BARREL, OIL])
    assert outcome.finding("head.cylinder_3").verdict.word == word
    assert outcome.word == word


def test_the_drop_goes_with_the_square_of_the_speed() -> None:
    outcome = worked()
    assert figure(outcome, "drop", "psi") == pytest.approx(0.09 * (2640 / 2200) ** 2)
    assert outcome.finding("drop").verdict.word == IN_LIMITS
    assert worked(drop="0.06 ± 0.001 psi").finding("drop").verdict.word == OUT_OF_LIMITS


@pytest.mark.parametrize(("held", "word"), [("44", IN_LIMITS), ("49", TOO_CLOSE), ("55", OUT_OF_LIMITS)])
def test_carbon_monoxide_leads(held: str, word: str) -> None:
    outcome = worked(cabin=[OFF, {**ON, "reading": f"{held} ppm ± 3 ppm"}])
    assert outcome.finding("monoxide.heat_on").verdict.word == word
    assert any("fit to breathe" in one for one in outcome.lead) is (word != IN_LIMITS)


def test_heat_to_the_cabin() -> None:
    """It blows at 68 + 54 °F, 323.15 K, and 5,000 ft, 84,307 Pa by the standard's table: 0.9089 kg/m³."""
    outcome = worked(heat_flow="100 ± 0 ft^3/min", heat_rise="54 ± 0 °F")
    warm = 84307 / (287.053 * 323.15)
    assert figure(outcome, "heat", "W") == pytest.approx(100 * 0.3048**3 / 60 * warm * 1006 * 30, rel=1e-4)
    unknown = worked(heat_flow="100 ± 0 ft^3/min", heat_rise="54 ± 0 °F", temperatures=[], height="")
    assert figure(unknown, "heat", "W") == pytest.approx(100 * 0.3048**3 / 60 * 1.05 * 1006 * 30)
    assert any("give air temperature and pressure altitude" in said for said in unknown.remarks)


def test_what_is_missing_is_no_verdict() -> None:
    outcome = worked(temperatures=[HEAD], drop="", drop_speed="", cabin=[OFF])
    assert outcome.word == UNDONE
    assert outcome.missing == [
        "temperature of the cylinder barrel", "temperature of the oil", "drop across the cylinders",
        "carbon monoxide with heat off, and with heat on",
    ]  # fmt: skip
    assert "carbon monoxide: heat on" in worked(cabin=[OFF, {"place": "heat on"}]).missing


@pytest.mark.parametrize(
    ("given", "path", "said"),
    [
        ({"ambient": ""}, "ambient", "is needed"),
        ({"height": ""}, "height", "is needed"),
        ({"drop_speed": ""}, "drop_speed", "is needed"),
        ({"heat_rise": "20 ± 1 °F"}, "heat_flow", "is needed"),
        ({"temperatures": [{**HEAD, "where": ""}]}, "temperatures.0.where", "is missing"),
        ({"temperatures": [HEAD, HEAD]}, "temperatures.1.where", "already entered"),
        ({"cabin": [{**ON, "place": ""}]}, "cabin.0.place", "is missing"),
        ({"temperatures": [], "cabin": [], "drop": "", "drop_speed": ""}, "temperatures", "needs a reading"),
    ],
)
def test_faults_at_their_fields(given: dict[str, Any], path: str, said: str) -> None:
    with pytest.raises(SheetError) as caught:
        worked(**given)
    assert any(at == path and said in told for at, told in caught.value.problems), caught.value.problems
