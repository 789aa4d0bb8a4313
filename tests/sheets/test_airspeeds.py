"""Airspeeds of a manual in the sheets: indicated, calibrated, true; both are shown, and what was not said is asked."""

import math
from typing import Any

import pytest

from rotorkit.aircraft import Aircraft
from rotorkit.judging.limits import IN_LIMITS, OUT_OF_LIMITS, UNDONE
from rotorkit.sheets.base import Outcome, SheetError
from rotorkit.sheets.exploring.knobs import starting_values
from rotorkit.sheets.performance.autorotation import Autorotation
from rotorkit.sheets.performance.level_flight import LevelFlight
from tests.sheets.test_hover_margin import BY, DAY, aircraft_with, figure

HIGH = {"altimeter_setting": "29.92 inHg", "elevation": "2,500 ft", "temperature": "84 °F", "humidity": "0 %"}
SIGMA = math.sqrt(
    101325 * (1 - 0.0065 * 2500 * 0.3048 / 288.15) ** 5.25588 / (287.05287 * ((84 - 32) / 1.8 + 273.15)) / 1.225
)
"""Of dry air at 2,500 ft and 84 °F, by plain arithmetic: the square root of the density ratio."""


def never_exceed(**said: Any) -> Aircraft:
    limits = {"airspeed": {"high": "85 kt", "source": "manual"}, "retreating_lift": None, "airspeed_is": None}
    return aircraft_with(performance={**limits, "climb": {"low": "100 ft/min", "source": "card"}, **said})


def level(aircraft: Aircraft, **change: Any) -> Outcome:
    return LevelFlight.from_readings({**DAY, **BY, **HIGH, "gross_weight": "800 lb", **change}).work(aircraft)


def glide(**change: Any) -> Outcome:
    aircraft = aircraft_with(main_rotor={"lowest_speed": "450 rpm"})
    return Autorotation.from_readings({**DAY, **BY, **HIGH, "airspeed": "55 kt", **change}).work(aircraft)


class TestNeverExceedSpeed:
    @pytest.mark.parametrize(
        ("said", "true"),
        [
            ({"airspeed_is": "true"}, 85.0),
            ({"airspeed_is": "calibrated"}, 85 / SIGMA),
            ({"airspeed_is": "indicated", "position_error": "-3 kt"}, 82 / SIGMA),
            ({"airspeed_is": "indicated", "position_error": "3 kt"}, 88 / SIGMA),
            ({"airspeed_is": "indicated"}, 85 / SIGMA),
            ({}, 85 / SIGMA),
        ],
    )
    def test_it_is_made_true(self, said: dict[str, str], true: float) -> None:
        """Compressibility takes 1 part in 2000 off at 92 kt; the blades are judged at the true airspeed."""
        outcome = level(never_exceed(**said))
        assert figure(outcome, "airspeed_limit_true", "kt") == pytest.approx(true, rel=1e-3)
        shown = outcome.finding("advancing_tip_mach").title
        assert f"{figure(outcome, 'airspeed_limit_true', 'kt'):.1f} kt true" in shown

    def test_both_are_shown(self) -> None:
        outcome = level(never_exceed(airspeed_is="calibrated"))
        assert figure(outcome, "airspeed_limit_calibrated", "kt") == pytest.approx(85)
        assert 91 < figure(outcome, "airspeed_limit_true", "kt") < 92
        for name in ("speed_best_climb", "speed_best_range"):
            true, calibrated = (figure(outcome, f"{name}{end}", "kt") for end in ("", "_calibrated"))
            assert calibrated == pytest.approx(true * SIGMA, rel=1e-3)

    def test_the_retreating_blade_is_not_judged_at_the_slower_figure(self) -> None:
        """A lift limit between that at 85 kt true and that at 85 kt calibrated: in limits by the one alone."""
        lifts = [
            figure(level(never_exceed(airspeed_is=which)), "retreating_lift", "") for which in ("true", "calibrated")
        ]
        assert lifts[1] > 1.03 * lifts[0]
        limit = {"retreating_lift": {"high": f"{sum(lifts) / 2:.4f}", "source": "manual"}}
        slow, fast = (level(never_exceed(airspeed_is=which, **limit)) for which in ("true", "calibrated"))
        assert slow.finding("retreating_lift").verdict.word == IN_LIMITS
        assert fast.finding("retreating_lift").verdict.word == OUT_OF_LIMITS

    def test_where_the_file_does_not_say_which_it_is_asked_and_the_faster_is_taken(self) -> None:
        outcome = level(never_exceed())
        assert outcome.word == UNDONE
        assert any("airspeed_is" in said for said in outcome.missing)
        dense = level(never_exceed(), elevation="0 ft", temperature="0 °F")
        assert figure(dense, "airspeed_limit_true", "kt") == pytest.approx(85)
        assert level(never_exceed(airspeed_is="calibrated")).missing == []

    def test_an_indicated_one_without_its_position_error_says_so_first(self) -> None:
        assert "position_error" in level(never_exceed(airspeed_is="indicated")).lead[0]
        with_it = level(never_exceed(airspeed_is="indicated", position_error="0 kt"))
        assert not any("position_error" in said for said in with_it.lead)

    def test_the_position_errors_doubt_is_carried(self) -> None:
        known, doubtful = (
            level(never_exceed(airspeed_is="indicated", position_error=typed)) for typed in ("-2 kt", "-2 ± 4 kt")
        )
        spread = [
            float(one.finding("airspeed_limit_true").measured.expanded_si) * 3600 / 1852 for one in (known, doubtful)
        ]
        assert spread[1] == pytest.approx(math.hypot(spread[0], 4 / SIGMA), rel=1e-2)


class TestGlide:
    @pytest.mark.parametrize(
        ("said", "true"),
        [
            ({}, 55.0),
            ({"airspeed_is": "true"}, 55.0),
            ({"airspeed_is": "calibrated"}, 55 / SIGMA),
            ({"airspeed_is": "indicated"}, 55 / SIGMA),
            ({"airspeed_is": "indicated", "position_error": "-4 kt"}, 51 / SIGMA),
        ],
    )
    def test_the_manuals_airspeed_is_made_true(self, said: dict[str, str], true: float) -> None:
        """Readings from before the field was there meant true airspeed; now it is asked."""
        outcome = glide(**said)
        assert figure(outcome, "glide_speed_true", "kt") == pytest.approx(true, rel=1e-3)
        assert figure(outcome, "glide_speed_calibrated", "kt") == pytest.approx(true * SIGMA, rel=1e-3)
        alike = glide(airspeed=f"{figure(outcome, 'glide_speed_true', 'kt')!r} kt")
        assert figure(outcome, "descent", "ft/min") == pytest.approx(figure(alike, "descent", "ft/min"), rel=1e-6)

    def test_which_it_is_is_asked_and_so_is_its_position_error(self) -> None:
        assert Autorotation.start(never_exceed())["airspeed_is"] == "not said"
        silent = glide()
        assert silent.missing == ["which airspeed the airspeed in the glide is: it was taken as true"]
        assert glide(airspeed_is="calibrated").missing == []
        told = [
            any("no position error is typed for it" in one for one in glide(airspeed_is="indicated", **more).lead)
            for more in ({}, {"position_error": "0 kt"})
        ]
        assert told == [True, False]

    def test_an_explorer_begins_at_the_true_airspeed(self) -> None:
        given = {**DAY, **HIGH, "airspeed": "55 kt"}
        assert starting_values(given)["airspeed"] == "55 kt"
        found = starting_values({**given, "airspeed_is": "indicated", "position_error": "-4 kt"})["airspeed"]
        assert float(found.removesuffix(" kt")) == pytest.approx(51 / SIGMA, abs=0.1)

    def test_an_airspeed_of_no_kind_is_refused(self) -> None:
        with pytest.raises(SheetError, match="airspeed_is"):
            glide(airspeed_is="ground")


def test_a_file_with_an_unknown_kind_is_refused_and_a_blank_one_is_not_said() -> None:
    assert never_exceed(airspeed_is="").performance.airspeed_is is None
    with pytest.raises(ValueError, match="airspeed_is"):
        never_exceed(airspeed_is="ground")
