"""The run-up sheet, by plain arithmetic apart from the library."""

from __future__ import annotations

import math
from typing import Any

import pytest
from scipy.stats import t

from rotorkit.aircraft import Aircraft
from rotorkit.judging.limits import IN_LIMITS, OUT_OF_LIMITS, TOO_CLOSE, UNDONE
from rotorkit.sheets.base import Outcome, SheetError
from rotorkit.sheets.engine.run_up import RunUp
from tests.sheets.small import small_aircraft

LEFT = {"ignition": "left", "both": "2000 ± 5 rpm", "alone": "1920 ± 5 rpm", "runs": "smooth"}
RIGHT = {"ignition": "right", "both": "2000 ± 5 rpm", "alone": "1890 ± 5 rpm", "runs": "smooth"}
LIMITS = {
    "drop": {"high": "125 rpm"}, "difference": {"high": "50 rpm"}, "oil_rise": {"high": "30 s"},
    "oil_idle": {"low": "25 psi"}, "oil_pressure": {"low": "55 psi", "high": "95 psi"},
    "idle": {"low": "900 rpm", "high": "1100 rpm"}, "oil_temperature": {"low": "140 °F", "high": "245 °F"},
    "head_temperature": {"high": "450 °F"},
}  # fmt: skip
GAUGES = {
    "idle": "1000 ± 20 rpm", "oil_rise": "8 ± 1 s", "oil_idle": "32 ± 2 psi", "oil_pressure": "68 ± 2 psi",
    "oil_temperature": "170 ± 5 °F", "head_temperature": "340 ± 10 °F",
}  # fmt: skip
STOPS, GOES_ON = "each ignition off: it stops firing", "an ignition fires on, switched off"


def craft(**changes: Any) -> Aircraft:
    limits = {key: {**sides, "source": "test"} for key, sides in {**LIMITS, **changes}.items()}
    return small_aircraft(limits={"run_up": limits})


def worked(*rows: dict[str, str], on: Aircraft | None = None, **given: str) -> Outcome:
    readings: dict[str, Any] = {"alone": list(rows or (LEFT, RIGHT)), "switch": STOPS, **GAUGES, **given}
    return RunUp.from_readings(readings).work(on or craft())


def figure(outcome: Outcome, key: str, unit: str = "rpm") -> float:
    return float(outcome.finding(key).measured.value.m_as(unit))


def test_drops_and_their_difference() -> None:
    outcome = worked()
    assert figure(outcome, "drop.left") == pytest.approx(80)
    assert figure(outcome, "drop.right") == pytest.approx(110)
    assert figure(outcome, "difference") == pytest.approx(30)
    assert float(outcome.finding("drop.left").measured.expanded.m_as("rpm")) == pytest.approx(math.hypot(5, 5))
    assert outcome.word == IN_LIMITS
    assert outcome.missing == []
    swapped = worked({**LEFT, "alone": RIGHT["alone"]}, {**RIGHT, "alone": LEFT["alone"]})
    assert figure(swapped, "drop.left") == pytest.approx(110)
    assert figure(swapped, "difference") == pytest.approx(30)


@pytest.mark.parametrize(("alone", "word"), [(1866, OUT_OF_LIMITS), (1880, TOO_CLOSE), (1883, IN_LIMITS)])
def test_both_sides_of_the_drop(alone: int, word: str) -> None:
    """125 rpm, with ± 7.07 rpm."""
    outcome = worked({**LEFT, "alone": f"{alone} ± 5 rpm"}, {**RIGHT, "alone": f"{alone} ± 5 rpm"})
    assert outcome.finding("drop.left").verdict.word == word
    assert outcome.word == word


def test_the_tachometers_own_error_cancels_in_a_drop() -> None:
    """One instrument, ± 20 rpm: none of it in the drop, all of it in the idle."""
    meter = {"title": "Tachometer", "measures": "rotor speed", "uncertainty": "20 rpm"}
    on = craft().model_copy(update={"instruments": small_aircraft(instruments={"rev": meter}).instruments})
    rows = [{**LEFT, "both": "2000.0; 2001.0; 1999.0 rpm", "alone": "1920.0; 1921.0; 1919.0 rpm"}]
    outcome = worked(*rows, on=on, tachometer="rev", idle="1000.0 rpm")
    spread = float(outcome.finding("drop.left").measured.expanded.m_as("rpm"))
    # the repeats scatter by 1 rpm: of each mean 1/sqrt(3), of the difference sqrt(2) times that; from six readings in
    # two groups, so with Student's factor for four degrees of freedom
    assert spread == pytest.approx(t.ppf(0.97725, 4) * math.sqrt(2 / 3), rel=0.01)
    assert float(outcome.finding("idle").measured.expanded.m_as("rpm")) == pytest.approx(20, rel=0.01)


@pytest.mark.parametrize(
    ("name", "below", "inside", "above"),
    [
        ("idle", "850 ± 20 rpm", "1000 ± 20 rpm", "1150 ± 20 rpm"),
        ("oil_rise", "", "20 ± 1 s", "40 ± 1 s"),
        ("oil_idle", "20 ± 2 psi", "40 ± 2 psi", ""),
        ("oil_pressure", "50 ± 2 psi", "60 ± 2 psi", "99 ± 2 psi"),
        ("oil_temperature", "120 ± 5 °F", "200 ± 5 °F", "260 ± 5 °F"),
        ("head_temperature", "", "400 ± 10 °F", "470 ± 10 °F"),
    ],
)
def test_each_gauge_on_both_sides(name: str, below: str, inside: str, above: str) -> None:
    assert worked(**{name: inside}).word == IN_LIMITS
    for text in filter(None, (below, above)):
        outcome = worked(**{name: text})
        assert outcome.finding(name).verdict.word == OUT_OF_LIMITS
        assert outcome.word == OUT_OF_LIMITS


def test_a_live_ignition_leads() -> None:
    outcome = worked(switch=GOES_ON)
    assert outcome.word == OUT_OF_LIMITS
    assert "engine is live" in outcome.lead[0]
    assert "earth lead" in outcome.to_do
    assert worked().finding("switch").verdict.word == IN_LIMITS


def test_rough_none_and_less_than_none_are_told() -> None:
    rough = worked({**LEFT, "runs": "rough"}, RIGHT)
    assert any("ran rough" in one for one in rough.lead)
    assert rough.word == OUT_OF_LIMITS  # every figure is within: what was heard decides
    assert "plug or lead" in rough.to_do
    assert {one.key for one in rough.findings if one.verdict.word == OUT_OF_LIMITS} == {"rough.left"}
    assert "no drop to speak of" in worked({**LEFT, "alone": "1999 ± 5 rpm"}, RIGHT).lead[0]
    assert "faster on one than on both" in worked({**LEFT, "alone": "2040 ± 5 rpm"}, RIGHT).lead[0]
    for name in ("oil_pressure", "oil_idle"):
        assert "no oil pressure" in worked(**{name: "0 ± 0 psi"}).lead[0]
        assert "no oil pressure" in worked(**{name: "1.5 ± 2 psi"}).lead[0]
        assert worked(**{name: "2.5 ± 2 psi"}).lead == []


@pytest.mark.parametrize(
    ("left", "right"), [("2000 ± 0", "2000 ± 0"), ("1995 ± 5", "1996 ± 5"), ("2010 ± 1", "2011 ± 1")]
)
def test_no_drop_is_never_in_limits(left: str, right: str) -> None:
    """Both alike and far below the limit: an ignition that was thought off may have fired on."""
    rows = [{**LEFT, "alone": f"{left} rpm"}, {**RIGHT, "alone": f"{right} rpm"}]
    if left.endswith("± 0"):
        rows = [{**row, "both": "2000 ± 0 rpm"} for row in rows]
    outcome = worked(*rows)
    assert {one.verdict.word for one in outcome.findings if one.key.startswith("drop")} == {UNDONE}
    assert outcome.word == UNDONE
    assert len(outcome.lead) == 2
    assert "find out why it does not drop" in outcome.to_do
    # one that clearly drops is judged as ever
    assert worked({**LEFT, "alone": "1990 ± 5 rpm"}, {**RIGHT, "alone": "1990 ± 5 rpm"}).word == IN_LIMITS
    # and one that is known so badly that it may be beyond the limit is too close to call
    unsure = worked({**LEFT, "both": "2000 ± 150 rpm", "alone": "1950 ± 50 rpm"}, RIGHT)
    assert unsure.finding("drop.left").verdict.word == TOO_CLOSE
    assert "no drop to speak of" in unsure.lead[0]


def test_what_is_missing_is_no_verdict() -> None:
    outcome = worked({**LEFT, "runs": "not looked at"}, {"ignition": "right"}, switch="not looked at", oil_rise="")
    assert outcome.word == UNDONE
    assert outcome.missing == [
        "how it ran on the left ignition",
        "drop on the right ignition",
        "how it ran on the right ignition",
        "whether the switch stops each ignition",
        "oil pressure came after",
    ]


@pytest.mark.parametrize(
    ("rows", "path", "said"),
    [
        ([{**LEFT, "ignition": ""}], "alone.0.ignition", "is missing"),
        ([{**LEFT, "alone": ""}], "alone.0.alone", "speed on this one"),
        ([LEFT, LEFT], "alone.1.ignition", "already entered"),
        ([{**LEFT, "both": "2000 ± 5; 2001 rpm"}], "alone.0.both", "with some repeats"),
        ([{**LEFT, "both": "2000 Hz"}], "alone.0.both", "needs a rotation rate"),
    ],
)
def test_faults_at_their_fields(rows: list[dict[str, str]], path: str, said: str) -> None:
    with pytest.raises(SheetError) as caught:
        worked(*rows)
    assert any(at == path and said in told for at, told in caught.value.problems), caught.value.problems


def test_an_engine_with_two_needs_both_and_one_with_one_none() -> None:
    assert worked(LEFT).missing == ["drop on the other ignition"]
    assert worked({"ignition": ""}, ignitions="one").missing == []
    assert worked({"ignition": ""}).missing == ["drop on each ignition"]


def test_nothing_read_is_refused() -> None:
    with pytest.raises(SheetError, match="needs a reading"):
        RunUp.from_readings({"alone": [{"ignition": "left"}]}).work(craft())
