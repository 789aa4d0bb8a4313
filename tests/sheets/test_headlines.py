"""What a performance sheet says first: what physics does not allow, and that its figures are estimates."""

from typing import Any, ClassVar

import pytest

from rotorkit.aircraft import Aircraft, demo_folder
from rotorkit.folder.checks import Folder
from rotorkit.judging.limits import IN_LIMITS, NO_LIMIT, OUT_OF_LIMITS, TOO_CLOSE
from rotorkit.sheets.base import Outcome
from rotorkit.sheets.catalogue import sheet_type
from rotorkit.sheets.performance.anti_torque_margin import AntiTorqueMargin
from rotorkit.sheets.performance.autorotation import Autorotation
from rotorkit.sheets.performance.hover_margin import HoverMargin
from rotorkit.sheets.performance.level_flight import LevelFlight
from rotorkit.sources import cautions
from tests.sheets.test_hover_margin import BY, DAY, DEMO, aircraft_with, figure

STOPS = {"full_left": "22 deg", "full_right": "-8 deg"}


def bare(**limits: Any) -> Aircraft:
    """An aircraft whose file sets no limit at all but these."""
    data = DEMO.model_dump(exclude_none=True)
    data["performance"] = limits
    data["weights"] = {"maximum": "4,000 lb"}
    return Aircraft.model_validate(data)


def hover(aircraft: Aircraft, **change: Any) -> Outcome:
    return HoverMargin.from_readings({**DAY, **BY, **change}).work(aircraft)


def pedals(aircraft: Aircraft, **change: Any) -> Outcome:
    return AntiTorqueMargin.from_readings({**DAY, **BY, **STOPS, **change}).work(aircraft)


def level(aircraft: Aircraft, **change: Any) -> Outcome:
    return LevelFlight.from_readings({**DAY, **BY, **change}).work(aircraft)


def glide(aircraft: Aircraft, **change: Any) -> Outcome:
    return Autorotation.from_readings({**DAY, **BY, "airspeed": "55 kt", "airspeed_is": "true", **change}).work(
        aircraft
    )


EXACT = (
    'No ± is typed with "Field elevation": taken as exact, so every figure worked from it is less certain '
    "than it "
    "says. Write ± with the reading."
)
NOWHERE = (
    "Whether this loading lies inside the manual's envelopes was not looked at: no centre of gravity is given here. A "
    "saved loading check offers it."
)


def test_what_is_typed_without_any_uncertainty_is_named_as_exact() -> None:
    """A headwind that nobody typed is no reading; one that was is, and so is the airspeed of a glide."""
    assert not any("exact" in said for said in hover(DEMO, elevation="640 ± 10 ft").first)
    assert '"Field elevation" and "Headwind": taken as exact' in level(DEMO, headwind="5 kt").first[-1]
    assert not any("exact" in said for said in level(DEMO, elevation="640 ± 10 ft", headwind="5 ± 2 kt").first)
    both = glide(DEMO, elevation="640 ± 10 ft", tachometer="").first[-1]
    assert both.startswith(
        'No instrument is named for "Rotor speed", and no ± is typed with "Airspeed in the glide": taken as exact'
    )


def test_so_is_what_is_typed_in_a_row() -> None:
    """The positions of a control and the forces beside a pulley; counts are exact, and an instrument's own ± counts."""
    checks = {one.sheet: one for one in Folder(demo_folder()).checks}
    travel = checks["control_travel"].outcome(DEMO).first
    assert any('no ± is typed with "Position"' in said or 'No ± is typed with "Position"' in said for said in travel)
    cable = checks["cable_rigging"]
    for wrap, named in (("90 deg", True), ("90 ± 2 deg", False)):
        pulleys = [{"place": row["place"], "flange": row["flange"], "wrap": wrap, "pulling": "20 ± 1 lb",
                    "slack": "18 ± 1 lb"} for row in cable.readings["pulleys"]]  # fmt: skip
        made = sheet_type("cable_rigging").from_readings({**cable.readings, "pulleys": pulleys})
        assert any('"Wrap"' in said and "taken as exact" in said for said in made.taken_as_exact()) == named


def test_a_concentration_is_no_count() -> None:
    """49 ppm of carbon monoxide that a detector shows, where 50 are allowed: its error counts."""
    check = next(one for one in Folder(demo_folder()).checks if one.sheet == "cooling")
    for reading, told in (("49 ppm", True), ("49 ± 3 ppm", False)):
        rows = [{**row, "reading": reading} for row in check.readings["cabin"]]
        first = sheet_type("cooling").from_readings({**check.readings, "cabin": rows}).work(DEMO).first
        assert any("taken as exact" in said for said in first) == told


class TestHover:
    def test_an_engine_that_cannot_hold_the_weight_is_out_of_limits_without_any_limit(self) -> None:
        outcome = hover(bare(), gross_weight="1,750 lb")
        assert figure(outcome, "power_margin", "hp") < 0
        assert outcome.word == OUT_OF_LIMITS
        assert outcome.first[0].startswith("By this estimate the engine cannot hold this weight")
        for key in ("power_margin", "weight_margin"):
            assert outcome.finding(key).verdict.word == OUT_OF_LIMITS

    def test_one_that_may_not_hold_it_is_too_close_to_call(self) -> None:
        weight = float(DAY["gross_weight"].removesuffix(" lb").replace(",", "")) + figure(
            hover(bare()), "weight_margin", "lb"
        )
        outcome = hover(bare(), gross_weight=f"{weight - 5:.1f} lb")
        assert outcome.word == TOO_CLOSE
        assert outcome.first[0].startswith("Whether the engine can hold this weight")

    def test_one_that_can_has_no_limit_given(self) -> None:
        outcome = hover(bare(), gross_weight="1,000 lb")
        assert outcome.word == NO_LIMIT
        assert outcome.first == [
            "This is an estimate by figure of merit: it has not been corrected by a measured hover of this aircraft.",
            NOWHERE,
            EXACT,
        ]

    def test_a_correction_by_measured_hovers_is_said(self) -> None:
        outcome = hover(DEMO, gross_weight="1,000 lb", calibration="by the measured hovers")
        assert "corrected by 2 measured hovers" in outcome.first[0]


class TestPedals:
    def test_more_blade_angle_than_the_stop_allows_is_out_of_limits_without_any_limit(self) -> None:
        outcome = pedals(bare(), full_left="3 deg")
        assert outcome.word == OUT_OF_LIMITS
        assert "more blade angle than the stop that pushes hardest allows" in outcome.first[0]
        for key in ("pedal_margin", "thrust_margin"):
            assert outcome.finding(key).verdict.word == OUT_OF_LIMITS
            assert not outcome.finding(key).aside

    def test_less_than_the_other_stop_allows_too(self) -> None:
        outcome = pedals(bare(), full_right="15 deg")
        assert outcome.word == OUT_OF_LIMITS
        assert "less blade angle than the stop that pushes least allows" in outcome.first[0]
        for key in ("angle_left_low", "thrust_left_low"):
            assert outcome.finding(key).verdict.word == OUT_OF_LIMITS
            assert not outcome.finding(key).aside

    def test_a_tail_rotor_that_stalls_first(self) -> None:
        data = bare().model_dump(exclude_none=True)
        data["tail_rotor"]["chord"] = "1.2 in"
        outcome = pedals(Aircraft.model_validate(data))
        assert outcome.word == OUT_OF_LIMITS
        assert "its blades stall before that" in outcome.first[0]

    def test_enough_of_it_has_no_limit_given(self) -> None:
        outcome = pedals(bare(), full_left="16 deg", gross_weight="1,000 lb")
        assert outcome.word == NO_LIMIT
        assert outcome.first[0].startswith("This is an estimate by figure of merit")


class TestLevelFlight:
    FAST: ClassVar[dict[str, Any]] = {"airspeed": {"high": "105 kt", "source": "manual"}, "airspeed_is": "true"}

    def test_where_it_cannot_fly_it_says_so_first(self) -> None:
        outcome = level(bare(), gross_weight="3,200 lb")
        assert outcome.first[0].endswith("at this rotor speed: they stall.")
        assert outcome.finding("blade_loading").verdict.word == OUT_OF_LIMITS
        assert outcome.first[1].endswith("do not fly today.")
        assert outcome.finding("climb").verdict.word == OUT_OF_LIMITS

    def test_a_stall_without_a_limit_is_out_of_limits(self) -> None:
        outcome = level(bare(**self.FAST))
        assert figure(outcome, "retreating_lift", "") > 1.2
        assert outcome.finding("retreating_lift").verdict.word == OUT_OF_LIMITS
        assert "it stalls about here" in outcome.first[0]

    def test_a_stall_within_the_manuals_limit_is_not_plainly_in_limits(self) -> None:
        allowed = {"retreating_lift": {"high": "1.9", "source": "manual"}, "climb": {"low": "1 ft/min", "source": "m"}}
        outcome = level(bare(**self.FAST, **allowed))
        verdict = outcome.finding("retreating_lift").verdict
        assert (outcome.word, verdict.word) == (TOO_CLOSE, TOO_CLOSE)
        assert verdict.sentence.endswith("too close to call")
        assert "plain sections stall" in verdict.settle
        slow = level(bare(airspeed={"high": "50 kt", "source": "manual"}, airspeed_is="true", **allowed))
        assert slow.word == IN_LIMITS
        assert slow.first == [
            "This is an estimate: the power curve was checked against formulas, not against a measured helicopter, and "
            "the ± does not cover how far it may be off.",
            NOWHERE,
            EXACT,
        ]


class TestAutorotation:
    def test_too_few_seconds_are_said_first_with_the_time_and_its_source(self) -> None:
        outcome = glide(bare())
        assert figure(outcome, "time_to_lowest_speed", "s") < 1
        assert "less than the time a pilot takes to notice and act, 1 s (14 CFR 27.143(e)" in outcome.first[0]
        allowed = glide(bare(time_to_lowest_speed={"low": "0.2 s", "source": "card"}))
        assert allowed.first[0] == outcome.first[0], "a limit of one's own does not silence it"

    def test_enough_of_them_are_not(self) -> None:
        heavy = aircraft_with(main_rotor={"lowest_speed": "300 rpm"})
        outcome = glide(heavy)
        assert figure(outcome, "time_to_lowest_speed", "s") > 1.5
        assert len(outcome.first) == 3  # that it is an estimate, no envelope was looked at, and what was taken as exact
        assert outcome.first[0].startswith("This is an estimate")
        assert outcome.first[1] == NOWHERE


@pytest.mark.parametrize("sheet", [HoverMargin, Autorotation])
def test_high_hovers_are_cautioned_against(sheet: Any) -> None:
    assert cautions.HEIGHT_VELOCITY in sheet.about.cautions
