"""The mixture sheet and the peak's parabola, by plain arithmetic apart from the library."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest

from rotorkit.aircraft import Aircraft
from rotorkit.engine import exhaust_peak
from rotorkit.judging.limits import IN_LIMITS, OUT_OF_LIMITS, TOO_CLOSE, UNDONE
from rotorkit.pictures.axes import DASHES
from rotorkit.pictures.data import Chart
from rotorkit.pictures.paper import LINES
from rotorkit.quantities import QuantityError
from rotorkit.sheets.base import AN_ESTIMATE, Outcome, SheetError
from rotorkit.sheets.engine.mixture import Mixture
from tests.sheets.small import small_aircraft

DENSITY = 720 * 0.003785411784 / 0.45359237
"""720 kg/m³ in lb for each US gallon."""
FLOWS = (9.0, 8.5, 8.0, 7.5, 7.0)
LIMITS = {
    "consumption": {"low": "0.50 lb/(hp*h)", "high": "0.60 lb/(hp*h)"}, "rich_of_peak": {"low": "20 °F"},
    "spread": {"high": "0.5 gal/h"},
}  # fmt: skip


def hot(flow: float, peak: float, top: float = 1424.0) -> float:
    return top - 32 * (flow - peak) ** 2


def steps(*peaks: float, flows: tuple[float, ...] = FLOWS) -> list[dict[str, str]]:
    return [
        {"fuel_flow": f"{flow} ± 0.05 gal/h",
         **{f"exhaust_{i}": f"{hot(flow, peak)} ± 4 °F" for i, peak in enumerate(peaks, 1)}}
        for flow in flows
    ]  # fmt: skip


def craft(**changes: Any) -> Aircraft:
    limits = {key: {**sides, "source": "test"} for key, sides in {**LIMITS, **changes}.items()}
    return small_aircraft(engine__rated_power="100 hp", limits={"mixture": limits})


def worked(on: Aircraft | None = None, use: float = 0.55, **given: Any) -> Outcome:
    readings: dict[str, Any] = {
        "control": "a mixture control", "full_flow": f"{use * 100 / DENSITY} ± 0.05 gal/h", "temperature": "15 ± 0 °C",
        "density": "720 ± 0 kg/m^3", "full_power": "100 ± 0 hp", "steps": steps(7.8, 7.6), **given,
    }  # fmt: skip
    return Mixture.from_readings(readings).work(on or craft())


def figure(outcome: Outcome, key: str, unit: str) -> float:
    return float(outcome.finding(key).measured.value.m_as(unit))


def test_peaks_spread_and_richness() -> None:
    outcome = worked()
    assert figure(outcome, "peak_flow.1", "gal/h") == pytest.approx(7.8)
    assert figure(outcome, "peak_flow.2", "gal/h") == pytest.approx(7.6)
    assert figure(outcome, "peak.1", "degF") == pytest.approx(1424)
    assert figure(outcome, "spread", "gal/h") == pytest.approx(0.2)
    assert figure(outcome, "rich_of_peak.1", "delta_degF") == pytest.approx(32 * 1.2**2)
    assert figure(outcome, "consumption", "lb/(hp*h)") == pytest.approx(0.55, rel=1e-6)
    assert outcome.word == IN_LIMITS
    assert "not lean a helicopter in flight" in outcome.lead[0]
    # the order of the steps is nobody's business, and cylinders swapped are swapped
    back = worked(steps=[{**row, "exhaust_1": row["exhaust_2"], "exhaust_2": row["exhaust_1"]}
                         for row in reversed(steps(7.8, 7.6))])  # fmt: skip
    assert figure(back, "peak_flow.2", "gal/h") == pytest.approx(7.8)
    assert figure(back, "rich_of_peak.2", "delta_degF") == pytest.approx(32 * 1.2**2)


def test_each_cylinder_has_a_line_of_its_own() -> None:
    """Also where six are drawn: two lines of one look would be one cylinder to the eye."""
    outcome = worked(steps=steps(7.8, 7.6, 7.7, 7.9, 7.65, 7.75))
    (chart,) = (one for one in outcome.pictures if isinstance(one, Chart))
    styles = [curve.style for curve in chart.curves]
    assert len(styles) == len({LINES[one] for one in styles}) == len({str(DASHES[one]) for one in styles}) == 6
    assert len(chart.plot().get_lines()) >= 6


def test_the_peaks_uncertainty_by_simulation() -> None:
    """Readings drawn at random with their standard uncertainties, a parabola by NumPy: the peaks scatter as stated."""
    draw, flows = np.random.default_rng(5), np.array(FLOWS)
    peak = exhaust_peak([f"{x} ± 0.05 gal/h" for x in FLOWS], [f"{hot(x, 7.8)} ± 4 °F" for x in FLOWS])
    assert peak is not None
    assert peak.used == 5
    found = []
    for _ in range(4000):
        c = np.polyfit(flows + draw.normal(0, 0.025, 5), [hot(x, 7.8) for x in FLOWS] + draw.normal(0, 2, 5), 2)
        found.append(-c[1] / (2 * c[0]))
    assert float(peak.flow.standard_uncertainty.m_as("gal/h")) == pytest.approx(np.std(found), rel=0.08)


def test_scatter_about_the_parabola_counts() -> None:
    """Exact readings, 3 °F of scatter alone: four times the standard error of least squares' own formulas."""
    bumps = np.array([3.0, -3.0, 0.0, 3.0, -3.0])
    y = np.array([hot(x, 8.0) for x in FLOWS]) + bumps
    peak = exhaust_peak([f"{x} ± 0 gal/h" for x in FLOWS], [f"{t} ± 0 °F" for t in y])
    assert peak is not None
    x = np.array(FLOWS) - 8
    design = np.vander(x, 3)
    c, left, *_ = np.linalg.lstsq(design, y, rcond=None)
    covariance = np.linalg.inv(design.T @ design) * float(left[0]) / 2
    slope = np.array([c[1] / (2 * c[0] ** 2), -1 / (2 * c[0]), 0])
    assert float(peak.flow.standard_uncertainty.m_as("gal/h")) == pytest.approx(
        math.sqrt(slope @ covariance @ slope), rel=1e-3
    )
    assert float(peak.flow.value.m_as("gal/h")) == pytest.approx(8 - c[1] / (2 * c[0]))


def test_what_a_flow_is_off_by_is_the_same_for_every_cylinder() -> None:
    """Two cylinders alike: the flows' own ± falls out of the spread, the probes' stays."""
    exact = [
        {**row, **{k: v.replace("± 4", "± 0") for k, v in row.items() if k != "fuel_flow"}} for row in steps(7.8, 7.8)
    ]
    spread = worked(steps=exact).finding("spread").measured
    assert float(spread.expanded.m_as("gal/h")) == pytest.approx(0, abs=1e-9)


@pytest.mark.parametrize(
    ("use", "word", "said"),
    [(0.44, OUT_OF_LIMITS, "too lean"), (0.501, TOO_CLOSE, "too close to call"), (0.55, IN_LIMITS, "Nothing"),
     (0.599, TOO_CLOSE, "too close"), (0.66, OUT_OF_LIMITS, "too rich")],
)  # fmt: skip
def test_both_sides_of_the_consumption(use: float, word: str, said: str) -> None:
    outcome = worked(use=use, jet="1.5 ± 0 mm")
    assert outcome.finding("consumption").verdict.word == word
    assert said in outcome.to_do
    assert any("It runs lean" in one for one in outcome.lead) is (use < 0.5 and word == OUT_OF_LIMITS)
    assert figure(outcome, "flow_ratio", "") == pytest.approx(0.55 / use)
    assert figure(outcome, "jet", "mm") == pytest.approx(1.5 * math.sqrt(0.55 / use))


def test_the_rated_power_is_an_estimate() -> None:
    assert any(one.startswith(AN_ESTIMATE) for one in worked(full_power="").lead)
    assert not any(one.startswith(AN_ESTIMATE) for one in worked().lead)


@pytest.mark.parametrize(("low", "word"), [("60 °F", OUT_OF_LIMITS), ("45 °F", TOO_CLOSE), ("30 °F", IN_LIMITS)])
def test_both_sides_of_rich_of_peak(low: str, word: str) -> None:
    """46.1 °F below the peak, ± of some 5 °F."""
    outcome = worked(on=craft(rich_of_peak={"low": low}), steps=steps(7.8))
    assert outcome.finding("rich_of_peak.1").verdict.word == word


def test_a_peak_that_was_not_passed_is_no_verdict() -> None:
    outcome = worked(steps=steps(7.8, 6.5))
    assert outcome.word == UNDONE
    assert outcome.missing == ["cylinder 2: its peak, passed"]
    assert any("cylinder 2 was not passed" in one for one in outcome.remarks)
    without = [{k: v for k, v in row.items() if k != "exhaust_1" or i} for i, row in enumerate(steps(7.8, 7.8))]
    assert worked(steps=without).missing == ["cylinder 1: its exhaust at full rich"]
    assert worked(steps=[]).missing == ["the mixture leaned, step by step"]
    assert worked(steps=[], control="fixed jets").missing == []
    assert worked(full_flow="", full_power="").missing == ["fuel flow at full power"]


@pytest.mark.parametrize(
    ("given", "path", "said"),
    [
        ({"steps": [{"exhaust_1": "1300 ± 5 °F"}]}, "steps.0.fuel_flow", "is missing"),
        ({"full_flow": "", "full_power": "", "steps": []}, "full_flow", "needs a reading"),
        ({"temperature": ""}, "temperature", "is needed"),
        ({"full_flow": "", "steps": steps(7.8)}, "full_flow", "needed with the power"),
        (
            {"steps": [*steps(7.8), {"fuel_flow": "8.0 ± 0.05 gal/h", "exhaust_1": "1400 ± 4 °F"}]},
            "steps.0.exhaust_1",
            "same",
        ),
    ],
)
def test_faults_at_their_fields(given: dict[str, Any], path: str, said: str) -> None:
    with pytest.raises(SheetError) as caught:
        worked(**given)
    assert any(at == path and said in told for at, told in caught.value.problems), caught.value.problems


def test_peak_of_too_little() -> None:
    with pytest.raises(QuantityError, match="three steps"):
        exhaust_peak(["8 gal/h", "7 gal/h"], ["1400 °F", "1410 °F"])
    with pytest.raises(QuantityError, match="one of each"):
        exhaust_peak(["8 gal/h", "7 gal/h", "6 gal/h"], ["1400 °F", "1410 °F"])
    assert exhaust_peak(["8 gal/h", "7 gal/h", "6 gal/h"], ["1400 °F", "1410 °F", "1420 °F"]) is None


@pytest.mark.parametrize(("head", "word"), [("400", IN_LIMITS), ("428", TOO_CLOSE), ("440", OUT_OF_LIMITS)])
def test_the_hottest_head_against_its_limit(head: str, word: str) -> None:
    on = craft(head={"high": "430 °F"})
    outcome = worked(on, head_temperature=f"{head} ± 5 °F")
    assert outcome.finding("head").verdict.word == word
    assert worked(on).missing == ["hottest head while leaning"]
    assert worked(head_temperature=f"{head} ± 5 °F").word == worked().word  # without a limit it is told beside


@pytest.mark.parametrize(("cylinders", "missed"), [(None, []), (2, []), (3, ["cylinder 3"])])
def test_a_cylinder_that_the_engine_has_and_nobody_read_is_missed(cylinders: int | None, missed: list[str]) -> None:
    on = craft()
    on = on.model_copy(update={"engine": on.engine.model_copy(update={"cylinders": cylinders})})
    said = [part for part in worked(on).missing if "its peak, passed" in part]
    assert [part[: len("cylinder 3")] for part in said] == missed


def test_an_engine_of_more_cylinders_than_there_is_room_for_is_never_whole() -> None:
    on = craft()
    eight, six = (
        worked(on.model_copy(update={"engine": on.engine.model_copy(update={"cylinders": count})})) for count in (8, 6)
    )
    assert "the cylinders after 6, for which there is no room here" in eight.missing
    assert not any("no room" in part for part in six.missing)


def test_flow_and_temperature_of_a_peak_come_from_the_same_parabolas(monkeypatch: pytest.MonkeyPatch) -> None:
    """Twice in all: for what is read, and for the scatter about it."""
    from rotorkit.engine import mixture

    vertex, asked = mixture._vertex, []
    monkeypatch.setattr(mixture, "_vertex", lambda x, y: asked.append(x.shape) or vertex(x, y))
    exhaust_peak([f"{x} ± 0.05 gal/h" for x in FLOWS], [f"{hot(x, 7.8) + (x == 8)} ± 4 °F" for x in FLOWS])
    assert len(asked) == 2


def test_steps_whose_parabola_has_no_top_are_refused() -> None:
    """By least squares it opens upwards: with the weights 2, -1, -2, -1, 2 over 14, 198 / 14 °F for each step
    squared."""
    hot_twice = [f"{t} ± 1 °F" for t in (1400, 1300, 1401, 1300, 1400)]
    with pytest.raises(QuantityError, match="no parabola through the steps about the hottest of cylinder 2 has a top"):
        exhaust_peak([f"{x} ± 0.05 gal/h" for x in FLOWS], hot_twice, name="cylinder 2")
