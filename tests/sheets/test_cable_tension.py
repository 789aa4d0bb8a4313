"""Cable-tension sheet: gauge to tension, tension to another temperature, each worked by hand, and what is refused."""

from datetime import date
from math import sqrt
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rotorkit.aircraft import Aircraft
from rotorkit.pictures.data import Chart
from rotorkit.quantities import assert_quantity
from rotorkit.sheets import CableTension, SheetError
from rotorkit.sheets.base import Outcome
from tests.searching import examples
from tests.sheets.variants import LEFT_OUT, aircraft

DEMO = aircraft()
DIRECT = aircraft(instruments__tension_gauge__tables=LEFT_OUT, instruments__tension_gauge__uncertainty="1 lb")
"""A gauge that shows the tension itself, to 1 lbf."""
RIGID_UNKNOWN = aircraft(cables__pedal_left__airframe_stiffness=LEFT_OUT)
HALF = aircraft(cables__pedal_left__slope="0.5 lb/°F")
KEY = "tension_at_limit_temperature"

# The demo's cable, by hand: EA = 100 x 0.125^2 / 0.0000140 = 111607 lbf; 200 in; airframe 1000/2 = 500 lbf/in;
# aluminium 23.6e-6, carbon steel 11.7e-6 per K: 11.9e-6 x 200 / (200/111607 + 1/500) = 0.62764 lbf/K, 0.34869 lbf/degF.
SLOPE = 11.9e-6 * 200 / (200 / 111607.14 + 1 / 500) / 1.8
RIGID = 11.9e-6 * 111607.14 / 1.8


def sheet(**fields: Any) -> CableTension:
    """Left pedal cable at 58 °F, dial at 28: 28 + 10 x 3/6 = 33 lbf. A field given as None is left out."""
    typed = {"cable": "pedal_left", "gauge": "tension_gauge", "riser": "1", "dial": "28", "temperature": "58 °F"}
    typed = {**typed, "thermometer": "thermometer", **fields}
    return CableTension.from_readings({name: text for name, text in typed.items() if text is not None})


def direct(tension: str, **fields: Any) -> CableTension:
    return sheet(dial=None, riser=None, tension=tension, **fields)


def problems_of(made: CableTension, craft: Aircraft = DEMO) -> dict[str, str]:
    with pytest.raises(SheetError) as caught:
        made.work(craft)
    return dict(caught.value.problems)


def pounds(outcome: Outcome, key: str) -> float:
    return float(outcome.finding(key).measured.value.m_as("lbf"))


def around(outcome: Outcome, key: str) -> float:
    return float(outcome.finding(key).measured.expanded.m_as("lbf"))


def remark(outcome: Outcome, words: str) -> bool:
    return any(words in sentence for sentence in outcome.remarks)


# figures by hand


def test_dial_to_tension_to_the_limits_temperature() -> None:
    """33 + 0.34869 x (70 - 58) = 37.18 lbf."""
    outcome = sheet().work(DEMO)
    assert_quantity(outcome.finding("tension_today").measured, "33.0 lbf")
    assert_quantity(outcome.finding("slope").measured, "0.3487 lbf/°F")
    assert pounds(outcome, KEY) == pytest.approx(33 + SLOPE * 12, rel=1e-6)
    assert outcome.finding(KEY).verdict.word == "in limits"
    assert outcome.word == "in limits"


def test_uncertainty_by_hand() -> None:
    """Dial 0.5 x 10/6, calibration 1 lbf, bend (2 - 10/6)/(36 - 25) x 3 x 3 as bounds; the thermometer's 2 degF and the
    slope's share come on top. The expansions are known to 0.7e-6 and 0.6e-6 as bounds, of a difference of 11.9e-6."""
    outcome = sheet().work(DEMO)
    bend = 2 / sqrt(3) * (2 - 10 / 6) / 11 * 9
    read = sqrt((0.5 * 10 / 6) ** 2 + 1 + bend**2)
    assert around(outcome, "tension_today") == pytest.approx(read, rel=1e-6)
    slope = SLOPE * 2 / sqrt(3) * sqrt(0.7**2 + 0.6**2) / 11.9
    assert float(outcome.finding("slope").measured.expanded.m_as("lbf/delta_degF")) == pytest.approx(slope, rel=1e-6)
    assert around(outcome, KEY) == pytest.approx(sqrt(read**2 + (2 * SLOPE) ** 2 + (12 * slope) ** 2), rel=1e-6)


def test_slack_temperature() -> None:
    """58 - 33/0.34869 = -36.6 degF."""
    outcome = sheet().work(DEMO)
    assert outcome.finding("slack_temperature").measured.value.m_as("degF") == pytest.approx(58 - 33 / SLOPE)
    assert outcome.finding("slack_temperature").title == "Slack at"
    assert not remark(outcome, "may well meet")
    loose = sheet(dial="12.5").work(DEMO)
    assert remark(loose, "a temperature it may well meet")


def test_the_slope_of_the_aircraft_file_goes_first() -> None:
    outcome = sheet().work(HALF)
    assert pounds(outcome, KEY) == pytest.approx(33 + 0.5 * 12)
    assert remark(outcome, "is that of the aircraft file, 0.5000 lbf/°F")
    assert not any("stiffness" in step.title for step in outcome.steps)


def test_an_airframe_of_unknown_stiffness_gives_bounds() -> None:
    """Half of the rigid airframe's 0.7378 lbf/degF, plus or minus half as bounds, beside the expansions' own."""
    outcome = sheet().work(RIGID_UNKNOWN)
    slope = outcome.finding("slope").measured
    assert float(slope.value.m_as("lbf/delta_degF")) == pytest.approx(RIGID / 2, rel=1e-6)
    bounds = 2 / sqrt(3) * RIGID / 2
    expansions = RIGID / 2 * 2 / sqrt(3) * sqrt(0.7**2 + 0.6**2) / 11.9
    assert float(slope.expanded.m_as("lbf/delta_degF")) == pytest.approx(sqrt(bounds**2 + expansions**2), rel=1e-6)
    assert outcome.finding(KEY).verdict.word == "too close to call"
    assert outcome.finding(KEY).measured.budget()[0].label == "airframe stiffness not known"
    assert remark(outcome, "lies between zero and that of a rigid airframe")
    nearest = outcome.finding("slack_temperature")
    assert nearest.title == "Could be slack at"
    assert nearest.measured.value.m_as("degF") == pytest.approx(58 - 33 / RIGID)


def test_a_composite_airframe_slackens_in_the_heat() -> None:
    outcome = sheet().work(aircraft(cables__pedal_left__airframe_material="carbon fibre in epoxy along the fibre"))
    assert pounds(outcome, KEY) < 33
    assert outcome.finding("slack_temperature").measured.value.m_as("degF") > 100


def test_a_cable_that_is_slack_at_the_limits_temperature_is_told_so() -> None:
    """5 lbf at 100 degF: 5 - 0.34869 x 30 = -5.5 lbf."""
    outcome = direct("5 lb", temperature="100 °F").work(DIRECT)
    assert pounds(outcome, KEY) == 0  # a cable cannot push
    assert remark(outcome, "At 70 °F the cable is slack: the line through the reading comes to -5.5")
    assert "slack; limit" in outcome.finding(KEY).verdict.sentence
    assert outcome.finding(KEY).verdict.word == "out of limits"


def test_the_same_temperature_carries_nothing() -> None:
    outcome = sheet(temperature="70 °F").work(DEMO)
    assert pounds(outcome, KEY) == pytest.approx(33)
    assert [point.label for point in chart(outcome).points] == ["today", "slack"]


def test_what_the_gauge_should_show_today() -> None:
    """Limits less 0.34869 x 12 = 4.184: 25.82 and 35.82 lbf; on the dial 19 + 6 x 7.816/10 and 25 + 6 x 7.816/10."""
    outcome = sheet().work(DEMO)
    assert remark(
        outcome, "At today's 58 °F the gauge should show 25.82 ± 0.79 lbf to 35.82 ± 0.79 lbf: 23.7 to 29.7 on"
    )
    low = next(step for step in outcome.steps if step.title == "Limit at today's temperature, low side")
    assert_quantity(low.value, "25.82 lbf")


def test_repeats_scatter() -> None:
    """27, 28, 29: s = 1, t = 4.527: 4.527/sqrt(3) = 2.61 divisions beside the gauge's own 0.5."""
    outcome = sheet(dial="27; 28; 29").work(DEMO)
    dial = 10 / 6 * sqrt(0.5**2 + (4.5266 / sqrt(3)) ** 2)
    bend = 2 / sqrt(3) * (2 - 10 / 6) / 11 * 9
    assert around(outcome, "tension_today") == pytest.approx(sqrt(dial**2 + 1 + bend**2), rel=1e-4)
    assert not remark(outcome, "friction")
    assert remark(sheet(dial="26; 28; 30").work(DEMO), "look for friction")


def test_a_gauge_that_shows_the_tension_needs_no_table() -> None:
    outcome = direct("45 lb").work(DIRECT)
    assert pounds(outcome, KEY) == pytest.approx(45 + SLOPE * 12, rel=1e-6)
    assert around(outcome, "tension_today") == pytest.approx(1.0)
    per_cent = aircraft(instruments__tension_gauge__tables=LEFT_OUT, instruments__tension_gauge__uncertainty="2 %")
    assert around(direct("45 lb").work(per_cent), "tension_today") == pytest.approx(0.9)


def test_per_cent_of_a_dial_is_of_its_reading() -> None:
    per_cent = aircraft(instruments__tension_gauge__uncertainty="2 %")
    dial = next(r for r in sheet().work(per_cent).finding("tension_today").measured.budget() if "near" in r.label)
    assert 2 * float(dial.contribution.m_as("lbf")) == pytest.approx(0.02 * 28 * 10 / 6)


def test_no_limit_is_told() -> None:
    outcome = sheet().work(aircraft(cables__pedal_left__limits=LEFT_OUT))
    assert outcome.finding(KEY).verdict.word == outcome.word == "no limit given"
    assert remark(outcome, "gives no tension limit")
    assert chart(outcome).bands == []


def test_overdue_gauge_and_missing_thermometer_are_told() -> None:
    dates = {"calibrated": date(2000, 1, 1), "due": date(2001, 1, 1)}
    overdue = aircraft(**{f"instruments__tension_gauge__{name}": day for name, day in dates.items()})
    assert remark(sheet().work(overdue), "Cable tension gauge: calibration was due 2001-01-01")
    outcome = sheet(thermometer=None).work(DEMO)
    (said,) = outcome.first
    assert said.startswith('No instrument is named for "Temperature of the airframe": taken as exact')


# the picture


def chart(outcome: Outcome) -> Chart:
    found = outcome.pictures[0]
    assert isinstance(found, Chart)
    return found


def at(x: float, xs: Any, ys: Any) -> float:
    from numpy import interp

    return float(interp(x, xs, ys))


def test_chart_shows_the_cables_line_the_moved_limit_and_the_day() -> None:
    drawn = chart(sheet().work(DEMO))
    today, carried, slack = drawn.points
    assert (today.label, today.x, today.y) == ("today", pytest.approx(58), pytest.approx(33))
    assert (carried.label, carried.x, carried.word) == ("corrected to 70 °F", pytest.approx(70), "in limits")
    assert (slack.x, slack.y) == (pytest.approx(58 - 33 / SLOPE), 0.0)
    assert today.x_spread == pytest.approx(2.0)
    line = drawn.curves[0]
    for point in drawn.points:
        assert at(point.x, line.x, line.y) == pytest.approx(point.y, abs=1e-6)
    (band,) = drawn.bands
    assert (at(70, band.x, band.low), at(70, band.x, band.high)) == pytest.approx((30, 40))
    assert (at(58, band.x, band.low), at(58, band.x, band.high)) == pytest.approx((30 - 12 * SLOPE, 40 - 12 * SLOPE))
    assert min(*band.low, *band.high, *line.y) >= 0
    assert (drawn.x_label, drawn.y_label) == ("temperature, °F", "tension, lbf")


def test_chart_of_bounds_and_of_an_open_limit() -> None:
    assert len(chart(sheet().work(RIGID_UNKNOWN)).curves) == 3
    open_above = aircraft(cables__pedal_left__limits={"tension": {"low": "30 lb", "source": "demo manual 7-12"}})
    outcome = sheet().work(open_above)
    (band,) = chart(outcome).bands
    assert min(band.high) > max(band.low)
    assert remark(outcome, "the gauge should show at least 25.82")


def test_chart_in_metric_units() -> None:
    drawn = chart(sheet().work(aircraft(aircraft__display="metric")))
    assert (drawn.x_label, drawn.y_label) == ("temperature, °C", "tension, N")
    assert (drawn.points[0].x, drawn.points[0].y) == pytest.approx((14.4444, 146.791), abs=1e-3)
    assert drawn.points[0].x_spread == pytest.approx(2 / 1.8)


# what is refused, and where


@pytest.mark.parametrize(
    ("fields", "place", "words"),
    [
        ({"dial": "11"}, "dial", "Nothing is known beyond them"),
        ({"dial": "28; 50"}, "dial", "needs 12 to 49"),
        ({"dial": None}, "dial", "is missing"),
        ({"tension": "45 lb"}, "tension", "must be empty"),
        ({"dial": "28; 28 ± 1"}, "dial", "with each"),
        ({"riser": None}, "riser", "the gauge's table has 1"),
        ({"riser": "2"}, "riser", "none is held for"),
        ({"cable": "elevator"}, "cable", "it has pedal_left, pedal_right"),
        ({"gauge": "no such"}, "gauge", "no instrument 'no"),
        ({"gauge": "scales"}, "gauge", "needs an instrument for cable tension"),
        ({"thermometer": "no such"}, "thermometer", "no instrument 'no"),
    ],
)
def test_refused_at_the_field(fields: dict[str, Any], place: str, words: str) -> None:
    assert words in problems_of(sheet(**fields))[place]


def test_refused_with_a_gauge_without_table() -> None:
    assert "must be empty" in problems_of(sheet(), DIRECT)["dial"]
    assert "such as 35 lb" in problems_of(sheet(), DIRECT)["tension"]


def test_another_cable_size_has_no_column_in_the_table() -> None:
    thick = aircraft(cables__pedal_left__diameter="3/16 in")
    assert "cable 3/16 in" in problems_of(sheet(), thick)["riser"]


@pytest.mark.parametrize(
    ("fields", "place", "words"),
    [
        ({"temperature": "58"}, "temperature", "unit"),
        ({"temperature": "200 °F"}, "temperature", "from -60 °F to 160 °F"),
        ({"temperature": None}, "temperature", "is missing"),
        ({"dial": "28 lb"}, "dial", "needs a plain number, got '28 lb', which is a mass"),
        ({"dial": "-1"}, "dial", "0 or more"),
        ({"dial": None, "tension": "45 lb/in"}, "tension", "a force"),
    ],
)
def test_refused_as_typed(fields: dict[str, Any], place: str, words: str) -> None:
    with pytest.raises(SheetError) as caught:
        sheet(**fields)
    assert words in dict(caught.value.problems)[place]


def test_readings_come_back_as_typed() -> None:
    made = sheet(dial="27.5; 28; 28.5")
    assert made.readings()["dial"] == "27.5; 28; 28.5"
    again = CableTension.from_readings(made.readings())
    assert [f.row() for f in again.work(DEMO).findings] == [f.row() for f in made.work(DEMO).findings]
    assert sheet(dial=28).readings() == sheet(dial="28").readings()


def test_start_makes_the_choices_and_fills_in_no_reading() -> None:
    start = CableTension.start(DEMO)
    assert start == {"cable": "pedal_left", "gauge": "tension_gauge", "riser": "", "thermometer": "thermometer"}


# what must not matter


def metric(craft: dict[str, Any]) -> Aircraft:
    """The demo's left cable, its limits and instruments, written in metric units."""
    limits = {"tension": {"low": "133.4466 N", "high": "177.9289 N", "source": "demo manual 7-12"}}
    cable = {
        "title": "Anti-torque cable, left pedal",
        "diameter": "3.175 mm",
        "construction": "7x19",
        "steel": "carbon steel",
        "length": "5.08 m",
        "airframe_material": "aluminium alloy 6061",
        "airframe_stiffness": "175.126835 N/mm",
        "limits_at": "21.11111111 °C",
        "limits": limits,
    }
    return aircraft(
        aircraft__display="metric",
        cables__pedal_left=cable,
        instruments__thermometer__uncertainty="1.111111 K",
        **craft,
    )


@pytest.mark.parametrize("tension", [18, 27, 30, 33, 36, 38, 48])
@pytest.mark.parametrize("degrees_f", [20, 58, 70, 95])
def test_metric_entry_gives_the_same_verdict(tension: float, degrees_f: float) -> None:
    gauge = {"instruments__tension_gauge__tables": LEFT_OUT, "instruments__tension_gauge__uncertainty": "4.448222 N"}
    typed = f"{tension * 4.4482216153:.6f} N", f"{(degrees_f - 32) / 1.8:.6f} °C"
    one = direct(f"{tension} lb", temperature=f"{degrees_f} °F").work(DIRECT)
    other = direct(typed[0], temperature=typed[1]).work(metric(gauge))
    assert [f.verdict.word for f in one.findings] == [f.verdict.word for f in other.findings]
    for finding in one.findings:
        assert float(other.finding(finding.key).measured.si) == pytest.approx(float(finding.measured.si), rel=1e-5)
        spread = float(finding.measured.expanded_si)
        assert float(other.finding(finding.key).measured.expanded_si) == pytest.approx(spread, rel=1e-5)


# a range of common practice (no source): cable tension 45 to 50 lbf; nothing is claimed of any aircraft


@pytest.mark.parametrize(
    ("dial", "temperature", "word"),
    [
        ("29.5", "70 °F", "in limits"),  # 35.5 ± 1.5 lbf
        ("28", "70 °F", "too close to call"),  # 33.0 ± 1.5 lbf, on the low side itself
        ("31", "70 °F", "too close to call"),  # 38 lbf
        ("27", "70 °F", "out of limits"),  # 31.3 lbf
        ("29.5", "40 °F", "out of limits"),  # the same reading in the cold: 46 lbf at 70 °F
    ],
)
def test_a_narrow_band(dial: str, temperature: str, word: str) -> None:
    limits = {"tension": {"low": "33 lb", "high": "38 lb", "source": "demo manual 7-12"}}
    outcome = sheet(dial=dial, temperature=temperature).work(aircraft(cables__pedal_left__limits=limits))
    assert outcome.finding(KEY).verdict.word == word


FEW = examples(40)
DIAL = st.floats(12, 49).map(lambda x: round(x, 1))
DEGREES = st.integers(-20, 120)


@FEW
@given(DIAL, DIAL, DEGREES)
def test_a_higher_dial_is_a_tighter_cable(one: float, other: float, degrees: int) -> None:
    low, high = (pounds(sheet(dial=str(d), temperature=f"{degrees} °F").work(DEMO), KEY) for d in sorted((one, other)))
    # of a cable that may be slack nothing is carried: what lies below nought is no tension
    assert max(low, 0.0) <= max(high, 0.0)


@FEW
@given(DIAL, DEGREES)
def test_the_verdict_is_that_of_the_moved_limit(dial: float, degrees: int) -> None:
    """The carried tension against the limit, and today's against the moved limit, differ by the same."""
    outcome = sheet(dial=str(dial), temperature=f"{degrees} °F").work(DEMO)
    moved = [step.value for step in outcome.steps if step.title.startswith("Limit at today's")]
    today, carried = outcome.finding("tension_today").measured, outcome.finding(KEY).measured
    if not carried.si:
        return  # slack at the limit's temperature: no tension to compare
    for side, at_limit in zip(moved, (30, 40), strict=True):
        here = float((today - side).value.m_as("lbf"))
        assert here == pytest.approx(float(carried.value.m_as("lbf")) - at_limit, abs=1e-9)


@FEW
@given(st.floats(1.1, 400).map(lambda x: round(x, 1)), DEGREES)
def test_slack_temperature_is_where_the_carried_tension_is_nothing(tension: float, degrees: int) -> None:
    outcome = direct(f"{tension} lb", temperature=f"{degrees} °F").work(DIRECT)
    slack = [f for f in outcome.findings if f.key == "slack_temperature"]
    expected = degrees - tension / SLOPE
    assert bool(slack) == (-100 < expected < 200) or abs(expected + 100) < 1e-6
    if slack:
        assert float(slack[0].measured.value.m_as("degF")) == pytest.approx(expected, abs=1e-4)


# a cable that is slack, or may be


def cold(low: str | None = "12 lb", high: str | None = "22 lb", **cable: Any) -> Aircraft:
    """A cable of its own: 0.35 lbf a degree, limits at 70 °F; the gauge shows the tension itself, to 1 lbf."""
    sides = {name: side for name, side in (("low", low), ("high", high)) if side is not None}
    limits = {"tension": {**sides, "source": "demo"}} if sides else {}
    made = {
        "title": "Cable",
        "diameter": "1/8 in",
        "construction": "7x19",
        "steel": "carbon steel",
        "length": "200 in",
        "airframe_material": "aluminium alloy 2024",
        "limits_at": "70 °F",
        "slope": "0.35 lb/°F",
        "limits": limits,
        **cable,
    }
    return aircraft(
        cables__pedal_left={name: value for name, value in made.items() if value is not LEFT_OUT},
        instruments__tension_gauge__tables=LEFT_OUT,
        instruments__tension_gauge__uncertainty="1 lb",
    )


@pytest.mark.parametrize("tension", ["0 lb", "0.9 lb", "0.99 lb"])
@pytest.mark.parametrize(("low", "high"), [("12 lb", "22 lb"), (None, "22 lb"), (None, None), ("18 lb", None)])
def test_a_cable_that_may_be_slack_has_no_known_tension(tension: str, low: str | None, high: str | None) -> None:
    """0 lbf at 20 °F is 17.5 lbf at 70 °F at the most, and nobody knows how much less."""
    outcome = direct(tension, temperature="20 °F").work(cold(low, high))
    assert [f.key for f in outcome.findings if f.key in (KEY, "slack_temperature")] == []
    verdict = outcome.finding("tension_today").verdict
    assert (outcome.word, verdict.word) == ("no verdict yet", "no verdict yet")
    assert "until the gauge shows a tension" in verdict.settle
    assert remark(outcome, "slack cable is from being taut")
    assert not remark(outcome, "17.")


def test_a_slack_cable_that_has_too_little_at_the_most_is_out_of_limits() -> None:
    """0 + 1 + 0.35 x 50 = 18.5 lbf and the thermometer's share: below 30."""
    outcome = direct("0 lb", temperature="20 °F").work(cold("30 lb", "40 lb"))
    assert outcome.word == "out of limits"
    assert "at most 18." in outcome.finding("tension_today").verdict.sentence
    assert outcome.finding("tension_today").measured.si == 0


def test_just_taut_is_carried() -> None:
    outcome = direct("1.2 lb", temperature="20 °F").work(cold())
    assert pounds(outcome, KEY) == pytest.approx(1.2 + 0.35 * 50)
    assert outcome.word == "in limits"


@pytest.mark.parametrize(
    ("low", "tension", "word"),
    [
        (None, "2 lb", "out of limits"),  # 2 - 10.5 lbf: slack at 70 °F, though only a high side is given
        (None, "10.5 lb", "too close to call"),  # nought: may be slack
        (None, "14 lb", "in limits"),  # 3.5 lbf, taut
        ("0 lb", "2 lb", "out of limits"),
    ],
)
def test_a_limit_without_a_low_side_does_not_pass_a_slack_cable(low: str | None, tension: str, word: str) -> None:
    outcome = direct(tension, temperature="100 °F").work(cold(low, "22 lb"))
    assert outcome.finding(KEY).verdict.word == word


def test_without_a_limit_a_slack_cable_is_out_of_limits_all_the_same() -> None:
    assert direct("2 lb", temperature="100 °F").work(cold(None, None)).word == "out of limits"
    assert direct("10.5 lb", temperature="100 °F").work(cold(None, None)).word == "no limit given"


@pytest.mark.parametrize("system", ["us", "metric"])
def test_no_gauge_should_show_less_than_nothing(system: str) -> None:
    """12 and 22 lbf at 70 °F less 0.35 x 50: -5.5 and 4.5 lbf at 20 °F; at 0 °F both are below nought."""
    craft = cold()
    craft = craft.model_copy(update={"aircraft": craft.aircraft.model_copy(update={"display": system})})
    outcome = direct("3 lb", temperature="20 °F").work(craft)
    assert remark(outcome, "may be slack: the gauge should show a tension, and at most")
    assert not remark(outcome, "-5.5")
    assert not remark(outcome, "-24")
    assert remark(direct("3 lb", temperature="0 °F").work(craft), "would be slack: nothing you set or read today")
