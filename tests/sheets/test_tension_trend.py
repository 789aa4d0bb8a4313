"""Tension-trend sheet: the line by hand, temperature taken out, when the limit is met, refusals."""

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rotorkit.aircraft import Aircraft
from rotorkit.pictures.data import Chart
from rotorkit.quantities import assert_quantity
from rotorkit.sheets import SheetError, TensionTrend
from rotorkit.sheets.base import Outcome
from tests.searching import examples
from tests.sheets.variants import LEFT_OUT, aircraft

DIRECT = aircraft(
    instruments__tension_gauge__tables=LEFT_OUT,
    instruments__tension_gauge__uncertainty="1 lb",
    cables__pedal_left__slope="0.5 lb/°F",
)
DEMO = aircraft()


def sheet(*days: tuple[str, str, str], **fields: Any) -> TensionTrend:
    rows = [{"day": day, "tension": tension, "temperature": at} for day, tension, at in days]
    typed = {"cable": "pedal_left", "gauge": "tension_gauge", "thermometer": "thermometer", "days": rows, **fields}
    return TensionTrend.from_readings({name: given for name, given in typed.items() if given is not None})


MONTHLY = [
    ("2026-01-01", "36.0 lb", "70 °F"),
    ("2026-01-31", "35.0 lb", "70 °F"),
    ("2026-03-02", "34.0 lb", "70 °F"),
    ("2026-04-01", "33.0 lb", "70 °F"),
]


def problems_of(made: TensionTrend, craft: Aircraft = DIRECT) -> dict[str, str]:
    with pytest.raises(SheetError) as caught:
        made.work(craft)
    return dict(caught.value.problems)


def said(outcome: Outcome, words: str) -> bool:
    return any(words in sentence for sentence in outcome.remarks)


def test_a_pound_a_month_by_hand() -> None:
    """36 to 33 lbf in 90 days, a pound in 30: -0.0333 lbf/day; 30 lbf after 180 days, on the 30th of June."""
    outcome = sheet(*MONTHLY).work(DIRECT)
    assert_quantity(outcome.finding("trend").measured, "-0.0333 lbf/day")
    assert_quantity(outcome.finding("latest").measured, "33.0 lbf")
    assert outcome.finding("latest").verdict.word == "in limits"
    assert said(outcome, "Over 90 days: falling")
    assert said(outcome, "the limit (30 lbf to 40 lbf) would be reached on 2026-06-30")


def test_the_order_of_the_rows_does_not_matter() -> None:
    one, other = (sheet(*rows).work(DIRECT) for rows in (MONTHLY, MONTHLY[::-1]))
    assert one.finding("trend").measured.si == pytest.approx(other.finding("trend").measured.si)
    assert one.finding("latest").title == other.finding("latest").title == "Latest tension at 70 °F, 2026-04-01"


@examples(25)
@given(st.lists(st.integers(20, 100), min_size=3, max_size=6))
def test_the_seasons_make_no_trend(warm: list[int]) -> None:
    """One and the same cable, 35 lbf at 70 °F and 0.5 lbf for each degree, read at whatever temperature."""
    rows = [(f"2026-0{i + 1}-10", f"{35 + 0.5 * (at - 70):.1f} lb", f"{at} °F") for i, at in enumerate(warm)]
    outcome = sheet(*rows).work(DIRECT)
    assert outcome.finding("trend").measured.si == pytest.approx(0, abs=1e-9)
    assert said(outcome, "no trend seen")


def test_the_gauges_own_error_drops_out_of_the_trend() -> None:
    budget = sheet(*MONTHLY).work(DIRECT).finding("trend").measured.budget()
    assert not any("gauge near" in row.label and row.share > 1e-9 for row in budget)


def test_through_the_gauges_table() -> None:
    days = [("2026-02-24", "29.5; 29.5; 30"), ("2026-03-10", "28; 28.5; 28"), ("2026-04-02", "27.5; 28; 27.5")]
    rows = [{"day": day, "dial": dial, "temperature": "70 °F"} for day, dial in days]
    outcome = sheet(riser="1", days=rows).work(DEMO)
    assert_quantity(outcome.finding("latest").measured, "32.44 lbf")  # 28 + 10 x 2.6667/6
    assert said(outcome, "Over 37 days")


def test_two_readings_are_no_trend_yet() -> None:
    outcome = sheet(*MONTHLY[:2]).work(DIRECT)
    assert said(outcome, "Two readings in 30 days make a line, not yet a trend")
    assert not said(outcome, "would be reached")


def test_a_reading_off_the_line_is_asked_about() -> None:
    jumped = [*MONTHLY[:3], ("2026-04-01", "41.0 lb", "70 °F"), ("2026-05-01", "40.0 lb", "70 °F")]
    assert said(sheet(*jumped).work(DIRECT), "Was the turnbuckle turned")


def test_the_chart_has_its_band_line_and_latest_point() -> None:
    chart = next(p for p in sheet(*MONTHLY).work(DIRECT).pictures if isinstance(p, Chart))
    assert chart.x_label == "days since 2026-01-01"
    assert (list(chart.curves[0].x), len(chart.dots[0].x), chart.points[0].word) == ([0, 90], 3, "in limits")
    assert list(chart.curves[0].y) == pytest.approx([36, 33])


@pytest.mark.parametrize(
    ("rows", "path", "told"),
    [
        ([("May", "36 lb", "70 °F"), *MONTHLY[:2]], "days.0.day", "needs a date, for example 2026-05-31"),
        ([("", "36 lb", "70 °F"), *MONTHLY[:2]], "days.0.day", "when was it read"),
        ([MONTHLY[0], MONTHLY[0]], "days.1.day", "already entered in row 1"),
        ([MONTHLY[0], ("2026-02-01", "36 lb", "")], "days.1.temperature", "the seasons would look like a trend"),
        ([MONTHLY[0], ("2026-02-01", "", "70 °F")], "days.1.tension", "is missing"),
        ([MONTHLY[0]], "days", "needs readings of two days or more"),
    ],
)  # fmt: skip
def test_what_is_wrong_is_told_at_its_field(rows: list[tuple[str, str, str]], path: str, told: str) -> None:
    assert told in problems_of(sheet(*rows))[path]


def test_an_unknown_cable_or_gauge_is_told_once_and_at_its_field() -> None:
    assert "is no cable of the aircraft file" in problems_of(sheet(*MONTHLY, cable="rope"))["cable"]
    assert "needs an instrument for cable tension" in problems_of(sheet(*MONTHLY, gauge="scales"))["gauge"]
    found = problems_of(sheet(days=[{"day": "2026-01-01", "dial": "28", "temperature": "70 °F"}] * 2), DEMO)
    assert "is missing: the gauge's table has 1" in found["riser"]


def test_a_slack_reading_is_on_no_line() -> None:
    """0 lbf at 20 °F would be 25 lbf at 70 °F if it were just taut: below 42 even so. The others make the line."""
    rows = [*MONTHLY[:3], ("2026-04-01", "0 lb", "20 °F")]
    outcome = sheet(*rows).work(DIRECT)
    assert_quantity(outcome.finding("trend").measured, "-0.0333 lbf/day")
    assert outcome.finding("latest").verdict.word == "out of limits"
    assert outcome.finding("latest").measured.si == 0
    assert said(outcome, "On 2026-04-01 the gauge showed 0.0 ± 1.0 lbf: the cable may be slack")
    open_ended = aircraft(
        instruments__tension_gauge__tables=LEFT_OUT,
        instruments__tension_gauge__uncertainty="1 lb",
        cables__pedal_left__slope="0.5 lb/°F",
        cables__pedal_left__limits={"tension": {"low": "20 lb", "high": "52 lb", "source": "demo"}},
    )
    assert sheet(*rows).work(open_ended).finding("latest").verdict.word == "no verdict yet"


def test_slack_but_for_one_day_makes_no_line() -> None:
    rows = [MONTHLY[0], ("2026-03-02", "0 lb", "70 °F"), ("2026-04-01", "0.5 lb", "70 °F")]
    outcome = sheet(*rows).work(DIRECT)
    assert outcome.word == "out of limits"
    assert [f.key for f in outcome.findings] == ["latest"]
    assert said(outcome, "Fewer than two taut readings make no line.")


def test_the_look_ahead_says_how_early_it_may_be() -> None:
    """Readings that lie off their line: the day named is not the earliest."""
    rows = [("2026-01-01", "36.2 lb", "70 °F"), ("2026-01-31", "34.8 lb", "70 °F"), *MONTHLY[2:]]
    outcome = sheet(*rows).work(DIRECT)
    (ahead,) = [said for said in (*outcome.first, *outcome.remarks) if "would be reached on" in said]
    assert "as early as 2026-0" in ahead or "it may have been reached already" in ahead


def test_a_limit_met_before_the_next_look_is_not_in_limits() -> None:
    """A pound in 30 days from 36 lbf: 31.2 lbf on the 25th of May, 30 lbf on the 30th of June, 36 days ahead, looked
    at after 54 days. From 39 lbf it is half a year away."""
    exact = aircraft(
        instruments__tension_gauge__tables=LEFT_OUT,
        instruments__tension_gauge__uncertainty="0.01 lb",
        cables__pedal_left__slope="0.5 lb/°F",
    )
    soon = sheet(*MONTHLY, ("2026-05-25", "31.2 lb", "70 °F")).work(exact)
    assert "would be reached on 2026-06-" in soon.first[0]
    assert soon.finding("next_look").verdict.word == "too close to call"
    assert soon.finding("next_look").title == "Tension expected on 2026-07-18"  # the 25th of May and 54 days
    assert_quantity(soon.finding("next_look").measured, "29.4 lbf")  # 36 less 198 days of a pound in 30
    assert soon.word == "too close to call"
    days = ("2026-01-01", "2026-01-31", "2026-03-02", "2026-04-01")
    often = sheet(*((day, f"{39 - i}.0 lb", "70 °F") for i, day in enumerate(days))).work(exact)
    assert "next_look" not in [one.key for one in often.findings]
    assert often.word == "in limits"
    assert not any("would be reached" in one for one in often.first)
    fast = [(f"2026-01-{day:02}", f"{31 - 0.05 * day:.2f} lb", "70 °F") for day in (1, 2, 3, 14, 15)]
    assert sheet(*fast).work(exact).word == "too close to call"
