"""What a check says is to be done: beside the verdict, one sentence, and never calmer than the verdict."""

from dataclasses import replace

import pytest

from rotorkit.aircraft import demo_folder
from rotorkit.folder.checks import Check, Folder
from rotorkit.judging.limits import IN_LIMITS, NO_LIMIT, OUT_OF_LIMITS, TOO_CLOSE, Limit
from rotorkit.judging.measured import Measured
from rotorkit.notebook import words
from rotorkit.quantities import say
from rotorkit.sheets.base import NOTHING_TO_DO, Outcome
from tests.sheets.test_hover_margin import aircraft_with
from tests.sheets.variants import LEFT_OUT, aircraft

FOLDER = Folder(demo_folder())


def worked(check: str, **changed: str) -> Outcome:
    found = FOLDER.check(check)
    readings = {**found.readings, **changed}
    return type(found)(found.name, found.title, found.sheet, readings).outcome(FOLDER.aircraft)


def test_each_says_what_to_do_and_none_says_nothing_unless_all_is_in_limits() -> None:
    for check in FOLDER.checks:
        outcome = check.outcome(FOLDER.aircraft)
        assert outcome.to_do
        assert words.escape(outcome.told_to_do) in words.answer(outcome)
        if outcome.to_do == NOTHING_TO_DO:
            assert outcome.word == IN_LIMITS


SEEN_TO = {
    "cable_rigging": ("tension_at_limit_temperature",),
    "mixture": ("consumption",),
    "hover_margin": ("power_margin", "weight_margin"),
    "anti_torque_margin": ("pedal_margin", "thrust_margin"),
    "level_flight": ("climb", "retreating_lift"),
}
"""Figures of which the working itself says what to do, and how far off they are beside it."""


@pytest.mark.parametrize("word", [OUT_OF_LIMITS, TOO_CLOSE])
@pytest.mark.parametrize("check", FOLDER.checks, ids=lambda check: check.name)
def test_no_figure_that_is_not_in_limits_is_left_without_an_action(
    check: Check, word: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Every judged figure of every sheet called out of limits, or too close to call, whatever it is."""
    judged = Limit._judged

    def called(limit: Limit, figure: Measured) -> tuple[str, float, float, float, float]:
        was, *sides = judged(limit, figure)
        moved = was != NO_LIMIT and (word == OUT_OF_LIMITS or figure.components)
        return (word if moved else was, *sides)

    monkeypatch.setattr(Limit, "_judged", called)
    sheet = check.made()
    outcome = sheet.work(FOLDER.aircraft)
    if outcome.word not in (OUT_OF_LIMITS, TOO_CLOSE):
        assert not any(one.verdict.limit and one.measured.components for one in outcome.findings)
        return
    assert outcome.told_to_do
    for found in outcome.bearing:
        right = [said for key, said in sheet.puts_right.items() if found.key.startswith(key)]
        assert found.key in SEEN_TO.get(check.sheet, ()) or any(said in outcome.to_do for said in right), found.key


def test_what_to_turn_is_the_plans_own() -> None:
    outcome = worked("main_rotor_first_rigging")
    turned = [said.split(" (")[0] for said in outcome.remarks if "flats longer (" in said or "flats shorter (" in said]
    assert turned[0] in outcome.to_do
    assert "white pitch link: 8 flats shorter" in outcome.to_do.lower()
    assert "above the upper limit" not in outcome.to_do, "the stations are seen to by the turning"


def test_the_gauge_band_on_the_dial_and_what_is_wrong_now() -> None:
    outcome = worked("pedal_right_tension")
    assert outcome.to_do.startswith("At today's 58 °F the gauge should show 23.7 to 29.7 on its dial.")
    assert outcome.word == OUT_OF_LIMITS
    assert "6.4 lbf below the lower limit" in outcome.to_do


def test_what_can_be_hovered_is_the_weight_and_what_is_left() -> None:
    outcome = worked("hover_today")
    spare = float(outcome.finding("weight_margin").measured.si)
    just = 1255 + spare / 0.45359237
    assert f"the heaviest it can hover is {just:,.0f} ± " in outcome.to_do
    too_heavy = worked("hover_today", gross_weight="1,500 lb ± 5 lb")
    assert too_heavy.word == OUT_OF_LIMITS
    assert too_heavy.to_do.startswith("Do not try it at this weight.")
    assert "<b>By this estimate the engine cannot hold this weight in a hover today: do not try it." in words.answer(
        too_heavy
    )


def test_a_margin_that_is_not_surely_in_limits_says_what_gives_more() -> None:
    """With the figure left by the ± in doubt, surely too small, surely enough, and gone."""

    def said(weight: str) -> str:
        return worked("hover_today", gross_weight=weight).to_do

    helps = "To be surely in limits load it lighter or wait for cooler air"
    close = said("1,255 ± 5 lb")
    assert close.endswith(f"{helps}, or make the figure surer: the table says by how much.")
    assert "adjust" not in close
    more = aircraft_with(performance={"power_margin": {"low": "25 hp", "source": "made up"}})
    short = FOLDER.check("hover_today").outcome(more)
    assert short.word == OUT_OF_LIMITS
    assert f" {helps}, or make the figure surer: the table says by how much. Power margin: 14 hp below" in short.to_do
    assert helps not in said("1,000 ± 5 lb")
    assert helps not in said("1,500 ± 5 lb")


def test_blades_and_climb_in_level_flight_say_what_to_do() -> None:
    outcome = worked("level_today")
    assert outcome.to_do.count("fly slower") == 1
    slow = worked("level_today", rotor_speed="435 ± 1 rpm")
    assert slow.finding("retreating_lift").verdict.word == OUT_OF_LIMITS
    assert "calibrated. Fly slower than 74.9 kt true. Retreating blade: " in slow.to_do
    more = aircraft_with(performance={"climb": {"low": "1400 ft/min", "source": "made up"}})
    climb = FOLDER.check("level_today").outcome(more)
    assert climb.finding("climb").verdict.word == TOO_CLOSE
    assert "calibrated. To be surely in limits load it lighter or wait for cooler air, or make" in climb.to_do


def test_the_lowest_rotor_speed_is_told_once_beside_the_verdict() -> None:
    outcome = worked("power_off")
    first = " ".join([*outcome.first, outcome.to_do_after_first])
    time = say(outcome.finding("time_to_lowest_speed").measured)
    assert outcome.first[0].startswith(f"The lowest rotor speed is reached in {time}")
    assert first.count(time) == 1


def test_pedal_that_may_be_nothing_is_not_told_as_pedal_that_is_left() -> None:
    """The same need, with less and less blade angle at the full pedal: some left, perhaps none, none."""
    outcome = worked("pedals_today")
    needed = float(outcome.finding("blade_angle_needed").measured.si) * 57.29578
    doubt = float(outcome.finding("pedal_margin").measured.expanded_si) * 57.29578

    def said(angle: float) -> str:
        return worked("pedals_today", full_left=f"{angle:.3f} ± 0.44 deg").to_do

    def leads(angle: float) -> str:
        return worked("pedals_today", full_left=f"{angle:.3f} ± 0.44 deg").first[0]

    assert said(needed + 1.2 * doubt).startswith("By this estimate a hover today leaves ")
    assert "nothing at all" not in said(needed + 1.2 * doubt)
    assert said(needed + 0.6 * doubt).startswith("Do not try it: by this estimate a hover today leaves ")
    assert ", which may be nothing at all." in said(needed + 0.6 * doubt)
    assert "gives less than a hover needs today" in said(needed - 0.2)
    assert "holds the nose in a hover today is too close to call: do not try it" in leads(needed + 0.6 * doubt)
    assert "takes more blade angle than the stop that pushes hardest allows" in leads(needed - 0.2)
    assert "too close to call" not in leads(needed + 1.2 * doubt)


def test_a_pedal_margin_that_is_too_close_says_what_helps() -> None:
    """The thrust left may be too little although the blade angle left is enough: past the stall it rises no more."""
    outcome = worked("pedals_today")
    thrust = outcome.finding("thrust_margin")
    assert (outcome.word, thrust.verdict.word) == (TOO_CLOSE, TOO_CLOSE)
    assert outcome.to_do.startswith("By this estimate a hover today leaves ")
    assert outcome.to_do.endswith(
        "load it lighter or wait for cooler air, or make the figure surer: the table says by how much."
    )
    heavy = worked("pedals_today", gross_weight="1,800 ± 5 lb", altimeter_setting="29.00 inHg")
    thrust, angle = (heavy.finding(key).measured for key in ("thrust_margin", "pedal_margin"))
    assert 0 < thrust.si < thrust.expanded_si
    assert angle.si > angle.expanded_si
    assert heavy.to_do.startswith(f"Do not try it: by this estimate a hover today leaves {say(thrust)} of thrust to ")
    assert "load it lighter" not in heavy.to_do


def test_what_is_missing_hides_nothing_that_is_out_of_limits() -> None:
    outcome = worked("pedal_right_tension")
    halfway = replace(outcome, missing=["the other end of the cable"])
    assert halfway.word == OUT_OF_LIMITS
    assert halfway.to_do == f"{outcome.to_do} Not done yet: the other end of the cable."
    alone = replace(halfway, told_to_do="")
    assert "6.4 lbf below the lower limit" in words.answer(alone).split("</b>")[0]
    assert "Not done yet" in words.answer(alone)


def test_beside_the_verdict_an_estimate_hides_nothing_that_is_missing() -> None:
    outcome = worked("pedal_right_tension")
    halfway = replace(outcome, missing=["the other end of the cable"], lead=["This is an estimate: so it is said."])
    assert halfway.told_to_do
    assert "This is an estimate: so it is said. Not done yet: the other end of the cable." in words.answer(halfway)


def test_a_limit_that_is_not_given_is_named_also_where_the_sheet_says_what_to_turn() -> None:
    outcome = FOLDER.check("main_rotor_rigged").outcome(aircraft(main_rotor__limits__low_stop=LEFT_OUT))
    assert outcome.word == NO_LIMIT
    assert outcome.to_do.endswith("aircraft file: Blade white, low stop; Blade yellow, low stop.")
