"""Cable-rigging sheet: turns of the turnbuckle, threads, strength, fairleads, pulleys, each by hand; refusals."""

import math
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rotorkit.aircraft import Aircraft
from rotorkit.pictures.data import Bars, Chart, Looks, Turns
from rotorkit.quantities import assert_quantity
from rotorkit.sheets import CableRigging, CableTension, SheetError
from rotorkit.sheets.base import Outcome
from tests.searching import examples
from tests.sheets.variants import LEFT_OUT, aircraft

DEMO = aircraft()
DIRECT = aircraft(instruments__tension_gauge__tables=LEFT_OUT, instruments__tension_gauge__uncertainty="1 lb")
# The demo's cable by hand: EA 111607 lbf, 200 in, airframe 1000/2 = 500 lbf/in as each run meets it, two 10-32 threads:
# one pound more takes 2 x (200/111607 + 1/500) = 0.0075840 in, over 2/32 in a turn: 0.12134 turns.
TURNS_PER_POUND = 2 * (200 / (100 * 0.125**2 / 0.0000140) + 1 / 500) / (2 / 32)


def sheet(**fields: Any) -> CableRigging:
    """Right pedal cable at the manual's own temperature, a gauge that shows the tension. None leaves a field out."""
    typed = {"cable": "pedal_right", "gauge": "tension_gauge", "tension": "27 lb", "temperature": "70 °F"}
    typed |= {"thermometer": "thermometer", "exposed_one": "3", "exposed_other": "2.5", **fields}
    return CableRigging.from_readings({name: given for name, given in typed.items() if given is not None})


FEW_OUT = {"exposed_one": "1.5", "exposed_other": "1"}
"""A turn looser puts half of its threads out at each end, and three may stand outside."""


def problems_of(made: CableRigging, craft: Aircraft = DIRECT) -> dict[str, str]:
    with pytest.raises(SheetError) as caught:
        made.work(craft)
    return dict(caught.value.problems)


def said(outcome: Outcome, words: str) -> bool:
    return any(words in sentence for sentence in outcome.remarks)


def turned(outcome: Outcome) -> tuple[str, int]:
    (picture,) = [p for p in outcome.pictures if isinstance(p, Turns)]
    return picture.rows[0].turns[0].amount, picture.rows[0].turns[0].way


# the turnbuckle


def test_turns_to_mid_band_by_hand() -> None:
    """35 less 27 = 8 lbf: 8 x 0.12134 = 0.9707 turns; one turn makes 1/0.12134 = 8.24 lbf: 35.24 lbf."""
    outcome = sheet().work(DIRECT)
    assert_quantity(outcome.finding("turns").measured, f"{8 * TURNS_PER_POUND:.4f}", within="0.0002")
    assert turned(outcome) == ("1 turn tighter", -1)
    assert said(outcome, "Turn the barrel 1 turn tighter, work the controls, and measure again.")
    assert said(outcome, "Expected then: 35.2 ± 1.0 lbf at today's temperature; corrected to 70 °F 35.2 ± ")
    assert said(outcome, " lbf, in limits. This leaves out friction and a new cable's stretch")
    step = next(s for s in outcome.steps if s.title == "Change of tension made by whole steps")
    assert_quantity(step.value, f"{1 / TURNS_PER_POUND:.4f} lbf")


@pytest.mark.parametrize(("tension", "change"), [("27 lb", 8.0), ("44 lb", -9.0)])
def test_what_is_wanted_has_the_sign_of_tighter(tension: str, change: float) -> None:
    """Middle 35 less 27 is 8 lbf more; less 44 is 9 lbf less. Turns are positive for tighter, in the step as in the
    figure."""
    outcome = sheet(tension=tension).work(DIRECT)
    wanted, turns = (
        next(step for step in outcome.steps if step.title == title)
        for title in ("Change of tension wanted", "Turns to mid-band of the day")
    )
    assert_quantity(wanted.value, f"{change:.1f} lbf")
    assert_quantity(turns.value, f"{change * TURNS_PER_POUND:.4f}", within="0.0002")


def test_looser_and_left_alone() -> None:
    assert turned(sheet(tension="44 lb", **FEW_OUT).work(DIRECT)) == ("1 turn looser", 1)
    outcome = sheet(tension="34.5 lb").work(DIRECT)
    assert turned(outcome) == ("as it is", 0)
    assert said(outcome, "Leave the turnbuckle as it is.")


def test_pinned_at_both_ends_one_run_takes_it_all() -> None:
    """558 lbf/in of cable, the airframe's 1000 with the other run's 558 beside it: one turn makes 25.68 lbf, and takes
    9.20 from the other run."""
    outcome = sheet(loop="pinned at both ends: this run alone").work(DIRECT)
    cable = 111607.14 / 200
    alone = 8 * (1 / cable + 1 / (1000 + cable)) / (2 / 32)
    assert_quantity(outcome.finding("turns").measured, f"{alone:.4f}", within="0.0002")
    # half a turn: 12.84 lbf, and 4.60 of the other
    assert said(outcome, "The other run changes by -4.60")


def test_the_band_of_the_day_moves_with_temperature() -> None:
    """0.34869 lbf a degree: at 58 °F 30 - 12 x 0.34869 = 25.8 and 35.8 lbf."""
    outcome = sheet(temperature="58 °F").work(DIRECT)
    assert said(outcome, "Today's band at 58 °F: 25.8 lbf to 35.8 lbf, each side known to ")
    assert any(isinstance(p, Chart) for p in outcome.pictures)
    (now,) = [p for p in outcome.pictures if isinstance(p, Bars) and p.title == "Tension today"]
    assert (now.rows[0].low, now.rows[0].high) == pytest.approx((25.8, 35.8))


@examples(30)
@given(st.floats(12, 78))
def test_after_turning_as_told_the_tension_is_mid_band_to_half_a_step(tension: float) -> None:
    outcome = sheet(tension=f"{tension:.2f} lb", exposed_one=None, exposed_other=None).work(DIRECT)
    amount, way = turned(outcome)
    turns = -way * float(amount.split()[0]) if way else 0.0
    after = round(tension, 2) + turns / TURNS_PER_POUND
    assert abs(after - 35) <= 0.25 / TURNS_PER_POUND + 0.01


def test_threads_before_and_after() -> None:
    outcome = sheet(tension="19 lb", exposed_one="3.5", exposed_other="1").work(DIRECT)
    assert turned(outcome)[0] == "1 turn tighter"
    assert outcome.finding("threads.one").row()[1::2] == ("3.5", "out of limits")
    assert outcome.finding("threads.other").verdict.word == "in limits"
    assert "do not allow the 2 turns tighter that the tension calls for, only 1 turn tighter" in outcome.lead[0]
    in_by_its_last = sheet(tension="19 lb", exposed_one="1", exposed_other="0").work(DIRECT)
    assert turned(in_by_its_last)[0] == "as it is"
    assert "do not allow the 2 turns tighter that the tension calls for, no turn that way" in in_by_its_last.lead[0]
    assert said(in_by_its_last, "its threads do not allow a turn that way")
    out = sheet(tension="52 lb", exposed_one="1.5", exposed_other="1").work(DIRECT)
    assert turned(out)[0] == "1.5 turns looser"
    assert "more threads would stand outside than the rule allows" in out.lead[0]
    assert not sheet(tension="52 lb", exposed_one="1", exposed_other="1").work(DIRECT).lead
    uncounted = sheet(exposed_one=None, exposed_other=None).work(DIRECT)
    assert uncounted.missing[:2] == [
        "threads outside the turnbuckle, one end",
        "threads outside the turnbuckle, other end",
    ]


def test_which_way_round() -> None:
    """A right-hand end leaves the barrel as it turns clockwise seen from that end: tighter is the other way."""
    assert said(sheet().work(DIRECT), "turn the barrel counter-clockwise as seen from its right-hand end (10-32)")
    assert said(
        sheet(tension="44 lb", **FEW_OUT).work(DIRECT),
        "turn the barrel clockwise as seen from its right-hand end (10-32)",
    )


def test_a_narrow_band_as_the_target() -> None:
    """33 to 38 lbf: 26 lbf wants 9.5 lbf: 1.153 turns, one turn: 34.2 lbf."""
    narrow = {"low": "33 lb", "high": "38 lb", "source": "demo"}
    craft = aircraft(
        instruments__tension_gauge__tables=LEFT_OUT,
        instruments__tension_gauge__uncertainty="1 lb",
        cables__pedal_right__limits__tension=narrow,
    )
    outcome = sheet(tension="26 lb").work(craft)
    assert_quantity(outcome.finding("turns").measured, "1.153")
    assert said(outcome, "Expected then: 34.2 ± 1.0 lbf")


def test_the_tension_is_that_of_the_cable_tension_sheet() -> None:
    typed = {
        "cable": "pedal_right",
        "gauge": "tension_gauge",
        "riser": "1",
        "dial": "19.5; 20; 20",
        "temperature": "58 °F",
    }
    mine = CableRigging.from_readings({**typed, "thermometer": "thermometer"}).work(DEMO)
    theirs = CableTension.from_readings({**typed, "thermometer": "thermometer"}).work(DEMO)
    for found in theirs.findings:
        assert mine.finding(found.key).row() == found.row()


# the rules


def test_strength_and_size_by_hand() -> None:
    """2000 lbf over 450 lbf less one: 3.444; 1/8 in is more than 3/32."""
    outcome = sheet().work(DIRECT)
    assert_quantity(outcome.finding("strength_margin").measured, "3.444")
    assert outcome.finding("cable_size").verdict.word == "in limits"
    assert said(outcome, "Safety wire for this size of cable, any one of: single wrap, 0.040 in, stainless")
    metric = sheet().work(
        DIRECT.model_copy(update={"aircraft": DIRECT.aircraft.model_copy(update={"display": "metric"})})
    )
    assert said(metric, "any one of: single wrap, 1.02 mm (0.040 in), stainless")
    assert said(metric, "single wrap, 1.45 mm (0.057 in) or thicker")
    thin = aircraft(
        instruments__tension_gauge__tables=LEFT_OUT, cables__pedal_right__diameter="1/16 in",
        instruments__tension_gauge__uncertainty="1 lb",
    )  # fmt: skip
    assert sheet().work(thin).finding("cable_size").verdict.word == "out of limits"


def test_fairleads_both_ways() -> None:
    """2.6 - 1.2 = 1.4 deg; atan(0.25/12) = 1.193 deg; atan(1/12) = 4.76 deg is beyond 3."""
    rows = [
        {"place": "frame 2", "before": "1.2 deg", "after": "2.6 deg"},
        {"place": "floor", "offset": "0.25 in", "distance": "12 in"},
        {"place": "tail", "offset": "1 in", "distance": "12 in"},
    ]
    outcome = sheet(fairleads=rows, protractor="protractor", rule="caliper").work(DIRECT)
    assert_quantity(outcome.finding("fairlead.frame_2").measured, "1.40 deg")
    assert_quantity(outcome.finding("fairlead.floor").measured, "1.193 deg")
    assert outcome.finding("fairlead.tail").verdict.word == "out of limits"
    assert outcome.word == "out of limits"


def test_pulleys() -> None:
    """48 to 46 lbf over 90 deg: ln(48/46)/(pi/2) = 0.0271, and 2 lbf lost."""
    rows = [
        {
            "place": "tail",
            "flange": "clear of the flange",
            "wrap": "90 deg",
            "pulling": "48 ± 1 lb",
            "slack": "46 ± 1 lb",
        },
        {"place": "pedals", "flange": "rubs the flange"},
        {"place": "floor"},
    ]
    outcome = sheet(pulleys=rows).work(DIRECT)
    friction = outcome.finding("friction.tail").measured
    assert friction.si == pytest.approx(math.log(48 / 46) / (math.pi / 2))
    assert_quantity(outcome.finding("loss.tail").measured, "2.0 lbf")
    assert outcome.finding("pulley.pedals").verdict.word == "out of limits"
    assert "pulley, floor" in outcome.missing
    assert "pulley, tail" not in outcome.missing
    (looks,) = [p for p in outcome.pictures if isinstance(p, Looks)]
    assert [row.word for row in looks.rows] == ["in limits", "out of limits", "no verdict yet"]


@pytest.mark.parametrize(
    ("pulling", "slack", "told"),
    [
        ("48 ± 1 lb", "36 ± 1 lb", "the pulley does not turn"),
        ("40 ± 1 lb", "48 ± 1 lb", "Were the two readings swapped?"),
    ],
)
def test_a_pulley_that_is_stuck_or_read_the_wrong_way_round(pulling: str, slack: str, told: str) -> None:
    row = {"place": "tail", "flange": "clear of the flange", "wrap": "90 deg", "pulling": pulling, "slack": slack}
    assert said(sheet(pulleys=[row]).work(DIRECT), told)


# refusals, and what is missing in the aircraft file


@pytest.mark.parametrize(
    ("fields", "path", "told"),
    [
        ({"fairleads": [{"place": "a", "before": "1 deg"}]}, "fairleads.0.after", "both of the pair are needed"),
        ({"fairleads": [{"place": "a"}]}, "fairleads.0.before", "needs two slopes, or a gap and its distance"),
        ({"fairleads": [{"before": "1 deg", "after": "2 deg"}]}, "fairleads.0.place", "which fairlead is it"),
        (
            {"fairleads": [{"place": "a", "before": "1 deg", "after": "2 deg", "offset": "1 in"}]},
            "fairleads.0.offset",
            "one way or the other",
        ),
        ({"pulleys": [{"flange": "rubs the flange"}]}, "pulleys.0.place", "which pulley is it"),
        ({"pulleys": [{"place": "a", "wrap": "90 deg"}]}, "pulleys.0.pulling", "the loss needs wrap and both tensions"),
        ({"pulleys": [{"place": "a"}, {"place": "A "}]}, "pulleys.1.place", "already entered in row 1"),
        ({"tension": None}, "tension", "is missing"),
        ({"cable": "rope"}, "cable", "is no cable of the aircraft file"),
        (
            {"rule": "protractor", "fairleads": [{"place": "a", "offset": "1 in", "distance": "9 in"}]},
            "rule",
            "for length",
        ),
    ],
)
def test_what_is_wrong_is_told_at_its_field(fields: dict[str, Any], path: str, told: str) -> None:
    assert told in problems_of(sheet(**fields))[path]


def test_what_the_aircraft_file_lacks_is_told_and_the_rest_is_worked() -> None:
    direct = {"instruments__tension_gauge__tables": LEFT_OUT, "instruments__tension_gauge__uncertainty": "1 lb"}
    bare = aircraft(**direct, cables__pedal_right__turnbuckle=LEFT_OUT)
    assert said(sheet().work(bare), "write [cables.pedal_right.turnbuckle] with thread_one and thread_other")
    no_load = aircraft(**direct, cables__pedal_right__greatest_load=LEFT_OUT)
    wanted = "margin against breaking: write greatest_load into [cables.pedal_right]"
    assert wanted in sheet().work(no_load).missing
    assert wanted not in sheet().work(aircraft(**direct)).missing
    open_ended = aircraft(**direct, cables__pedal_right__limits=LEFT_OUT)
    assert said(sheet().work(open_ended), "write both sides of the tension into [cables.pedal_right.limits]")
    soft = aircraft(**direct, cables__pedal_right__airframe_stiffness=LEFT_OUT, cables__pedal_right__slope="0.35 lb/°F")
    outcome = sheet().work(soft)
    assert said(outcome, "the turns are for a rigid airframe")
    assert_quantity(outcome.finding("turns").measured, f"{8 * 2 * (200 / 111607.14) / (2 / 32):.4f}", within="0.0002")
    odd = aircraft(**direct, cables__pedal_right__construction="1x19", cables__pedal_right__slope="0.35 lb/°F")
    assert said(sheet().work(odd), "AC 43.13-1B, Table 7-3 has no")


@pytest.mark.parametrize(
    ("tension", "turns", "word"),
    [
        ("35.5 lb", 0, "in limits"),
        ("33.5 lb", 0, "too close to call"),  # known to 1 lbf; half a turn, 4.1 lbf, would bring it further out
        ("28 lb", 1, "out of limits"),  # 7.5 lbf to the middle: 0.91 turns
    ],
)
def test_the_verdict_of_a_narrow_band(tension: str, turns: float, word: str) -> None:
    limits = {"tension": {"low": "33 lb", "high": "38 lb", "source": "demo manual 7-12"}}
    craft = aircraft(
        instruments__tension_gauge__tables=LEFT_OUT,
        instruments__tension_gauge__uncertainty="1 lb",
        cables__pedal_right__limits=limits,
    )
    outcome = sheet(tension=tension).work(craft)
    found = outcome.finding("tension_at_limit_temperature")
    assert found.verdict.word == word
    assert "demo manual 7-12" in found.row()[2]
    assert turned(outcome) == (("1 turn tighter", -1) if turns else ("as it is", 0))


def test_terminals_are_in_by_equal_amounts() -> None:
    assert not said(sheet().work(DIRECT), "screwed in equally")
    assert said(sheet(exposed_one="1").work(DIRECT), "1 of the threads outside at the one end, 2.5 at the other")


# a forecast is known no better than the verdict that will follow


def cable(**changes: Any) -> Aircraft:
    """A cable of its own, and a gauge that shows the tension itself."""
    made = {
        "title": "Cable",
        "diameter": "1/8 in",
        "construction": "7x19",
        "steel": "carbon steel",
        "length": "200 in",
        "airframe_material": "aluminium alloy 2024",
        "airframe_stiffness": "1000 lb/in",
        "limits_at": "70 °F",
        "turnbuckle": {"thread_one": "10-32", "thread_other": "10-32 LH"},
        "limits": {"tension": {"low": "30 lb", "high": "38 lb", "source": "demo"}},
    }
    gauge = {"instruments__tension_gauge__uncertainty": changes.pop("gauge", "1 lb")}
    made = {name: value for name, value in {**made, **changes}.items() if value is not LEFT_OUT}
    return aircraft(cables__pedal_right=made, instruments__tension_gauge__tables=LEFT_OUT, **gauge)


def forecast(outcome: Outcome) -> tuple[float, float, str]:
    """Pounds expected today, their uncertainty at the limit's temperature, and the word."""
    sentence = next(remark for remark in outcome.remarks if remark.startswith("Expected then: "))
    today = float(sentence.split()[2])
    bars = next(p for p in outcome.pictures if isinstance(p, Bars) and p.title == "Tension today")
    expected = bars.rows[1]
    assert (bars.rows[0].shown, expected.shown) == ("", f"expected {expected.word}")
    return today, expected.spread, expected.word


WORDS_BY_DOUBT = {"in limits": 0, "out of limits": 0, "too close to call": 1}


@pytest.mark.parametrize("loop", ["free: both runs come to one tension", "pinned at both ends: this run alone"])
@pytest.mark.parametrize("stiffness", [LEFT_OUT, "1000 lb/in"])
@pytest.mark.parametrize("slope", [LEFT_OUT, "0.35 ± 0.1 lb/°F"])
@pytest.mark.parametrize("temperature", ["20 °F", "70 °F", "110 °F"])
@pytest.mark.parametrize("gauge", ["1 lb", "5 %"])
@pytest.mark.parametrize("tension", ["3 lb", "70 lb"])
def test_the_forecast_is_no_surer_than_the_verdict_on_that_very_reading(
    loop: str, stiffness: Any, slope: Any, temperature: str, gauge: str, tension: str
) -> None:
    craft = cable(airframe_stiffness=stiffness, slope=slope, gauge=gauge)
    uncounted: dict[str, Any] = {"exposed_one": None, "exposed_other": None}  # no thread holds the plan back
    plan = sheet(tension=tension, temperature=temperature, loop=loop, **uncounted).work(craft)
    today, spread, word = forecast(plan)
    if today <= 2:  # slack then, and not to be read
        return
    later = sheet(tension=f"{today} lb", temperature=temperature, loop=loop).work(craft)
    verdict = later.finding("tension_at_limit_temperature").verdict
    assert spread >= float(verdict.measured.expanded_si) / 4.4482216 * (
        1 - 2e-3
    )  # the reading is rounded as it is said
    assert WORDS_BY_DOUBT[word] >= WORDS_BY_DOUBT[verdict.word] or word == verdict.word


def test_without_airframe_stiffness_nothing_is_forecast_in_limits() -> None:
    """Half of what a rigid airframe would make, and anything from none to all: at 20 °F nothing sure can be said."""
    outcome = sheet(tension="12 lb", temperature="20 °F").work(cable(airframe_stiffness=LEFT_OUT))
    assert forecast(outcome)[2] == "too close to call"
    assert outcome.finding("turns").title == "Turns to mid-band of the day, at least"
    # the bars beside today's band bear the same words as the verdict
    bars = next(p for p in outcome.pictures if isinstance(p, Bars) and p.title == "Tension today")
    assert bars.rows[0].word == outcome.finding("tension_at_limit_temperature").verdict.word


def test_a_slack_cable_gets_no_turns() -> None:
    outcome = sheet(tension="0.5 lb", temperature="20 °F").work(cable())
    assert said(outcome, "No turns are worked out: the cable may be slack")
    assert not [f for f in outcome.findings if f.key == "turns"]
    assert not said(outcome, "Expected then")
    assert outcome.finding("threads.one").verdict.word == "in limits"


def test_no_turns_where_a_rigged_cable_would_be_slack_today() -> None:
    """38 lbf at 70 °F less 0.35 x 130: slack at -60 °F."""
    outcome = sheet(tension="3 lb", temperature="-60 °F").work(cable(slope="0.35 lb/°F"))
    assert said(outcome, "at today's -60 °F a cable rigged to the limit would be slack")


def test_two_equal_slopes_are_no_better_known_than_others() -> None:
    """Two slopes known alike: the same uncertainty for a change of 0 and of 1 deg."""
    known = []
    for after in ("1.2 deg", "2.2 deg"):
        rows = [{"place": "frame", "before": "1.2 deg", "after": after}]
        found = sheet(fairleads=rows, protractor="protractor").work(DIRECT).finding("fairlead.frame")
        known.append(float(found.measured.expanded_si))
    assert known[0] > 0
    assert known[0] == pytest.approx(known[1])
