"""What physics does not allow, or what shows that readings were confused, is never told as "in limits" or "no limit
given", whatever limits the aircraft file sets. Each from both sides, worked apart from the library."""

import math
from typing import Any

import pytest

from rotorkit.aircraft import Aircraft
from rotorkit.judging.limits import IN_LIMITS, NO_LIMIT, OUT_OF_LIMITS, TOO_CLOSE, UNDONE
from rotorkit.sheets.base import Outcome, SheetError
from rotorkit.sheets.catalogue import sheet_type
from tests.sheets.small import small_aircraft

DAY = {
    "gross_weight": "500 kg",
    "altimeter_setting": "1013 hPa",
    "elevation": "0 m",
    "temperature": "15 °C",
    "humidity": "50 %",
    "rotor_speed": "470 rpm",
}
TUBE: dict[str, Any] = {
    "title": "Rod",
    "outer_diameter": "20 mm",
    "wall": "1 mm",
    "length": "900 mm",
    "elastic_modulus": "70 GPa",
    "yield_strength": "240 MPa",
}
CABLE: dict[str, Any] = {
    "title": "Cable",
    "diameter": "1/8 in",
    "construction": "7x19",
    "steel": "carbon steel",
    "length": "5 m",
    "airframe_material": "aluminium alloy 6061",
    "airframe_stiffness": "200 N/mm",
    "limits_at": "20 °C",
    "fairleads": [],
    "pulleys": ["tail"],
}
GAUGE = {"title": "Gauge", "measures": "cable tension", "uncertainty": "5 N"}
CALIPER = {"title": "Caliper", "measures": "length", "uncertainty": "0.1 mm"}


def worked(sheet: str, readings: dict[str, Any], aircraft: Aircraft) -> Outcome:
    return sheet_type(sheet).from_readings(readings).work(aircraft)


def word(outcome: Outcome, key: str) -> str:
    return outcome.finding(key).verdict.word


class TestStrength:
    def tube(self, load: str, **limits: Any) -> Outcome:
        aircraft = small_aircraft(push_pull_tubes__rod={**TUBE, "greatest_load": load, "limits": limits})
        ends = [{"end": end, "engagement": "12 mm", "hole": "threads seen, wire stops"} for end in ("front", "rear")]
        return worked("push_pull_tubes", {"tube": "rod", "ends": ends}, aircraft)

    def test_a_tube_that_bows_out_is_out_of_limits_without_any_limit(self) -> None:
        second = math.pi / 64 * (0.020**4 - 0.018**4)
        euler = math.pi**2 * 70e9 * second / 0.9**2  # 2,164 N: slender, since Johnson's curve ends well below
        for load, wanted in ((1.01 * euler, OUT_OF_LIMITS), (0.99 * euler, NO_LIMIT)):
            assert word(self.tube(f"{load:.1f} N"), "buckling_margin") == wanted
        assert self.tube(f"{1.01 * euler:.1f} N").first[0].startswith("The tube buckles under this load")
        # a manual's limit below nothing does not allow it either
        low = {"low": "-0.5", "source": "slip of the pen"}
        assert word(self.tube(f"{1.01 * euler:.1f} N", buckling_margin=low), "buckling_margin") == OUT_OF_LIMITS

    @pytest.mark.parametrize(("load", "wanted"), [("2010 lb", OUT_OF_LIMITS), ("1990 lb", NO_LIMIT)])
    def test_a_cable_that_breaks_is_out_of_limits_without_any_limit(self, load: str, wanted: str) -> None:
        """1/8 in 7x19 of carbon steel bears 2,000 lb (AC 43.13-1B, Table 7-4)."""
        outcome = rigging(greatest_load=load)
        assert word(outcome, "strength_margin") == wanted


def rigging(pulley: dict[str, str] | None = None, **change: Any) -> Outcome:
    aircraft = small_aircraft(cables__one={**CABLE, **change}, instruments__gauge=GAUGE)
    row = {"place": "tail", "flange": "clear of the flange", **(pulley or {})}
    readings = {"cable": "one", "gauge": "gauge", "tension": "200 N", "temperature": "20 °C", "pulleys": [row]}
    return worked("cable_rigging", readings, aircraft)


class TestPulley:
    """Apparent friction is ln(pulling / slack) over the wrap: 90 deg are 1.571."""

    def test_one_that_does_not_turn_is_out_of_limits(self) -> None:
        assert math.log(240 / 200) / (math.pi / 2) == pytest.approx(0.116, abs=5e-4)
        outcome = rigging({"wrap": "90 deg", "pulling": "240 ± 1 N", "slack": "200 ± 1 N"})
        assert word(outcome, "friction.tail") == OUT_OF_LIMITS
        assert outcome.word == OUT_OF_LIMITS
        assert any("does not turn" in said for said in outcome.remarks)

    def test_one_that_may_turn_is_told_aside(self) -> None:
        assert math.log(230 / 200) / (math.pi / 2) == pytest.approx(0.089, abs=5e-4)
        for pulling in ("230 ± 1 N", "240 ± 20 N"):
            outcome = rigging({"wrap": "90 deg", "pulling": pulling, "slack": "200 ± 1 N"})
            assert outcome.finding("friction.tail").aside
            assert word(outcome, "friction.tail") == NO_LIMIT


class TestThreads:
    def tube(self, engagement: str) -> Outcome:
        aircraft = small_aircraft(push_pull_tubes__rod={**TUBE, "greatest_load": "100 N"}, instruments__caliper=CALIPER)
        ends = [{"end": end, "engagement": engagement, "hole": "it has no hole"} for end in ("front", "rear")]
        return worked("push_pull_tubes", {"tube": "rod", "caliper": "caliper", "ends": ends}, aircraft)

    def test_a_rod_end_that_is_not_in_is_out_of_limits_without_any_limit(self) -> None:
        """A turn of 1/2-20 is 1.27 mm."""
        for engagement, wanted in (("0 mm", OUT_OF_LIMITS), ("1.3 mm", TOO_CLOSE), ("1.4 mm", NO_LIMIT)):
            assert word(self.tube(engagement), "engagement.front") == wanted

    def test_so_is_one_of_a_pitch_link_whose_greatest_engagement_alone_is_known(self) -> None:
        aircraft = small_aircraft(
            main_rotor__pitch_links={
                "arm": "15 cm", "upper_thread": "1/4-28", "lower_thread": "1/4-28 left hand", "flats_per_turn": 6,
                "lengthening": "raises the blade angle", "greatest_engagement": "18 mm",
            },
            instruments__caliper=CALIPER,
        )  # fmt: skip
        readings = {
            "rotor": "main rotor", "protractor": "protractor", "way": "reading less a reference surface",
            "reference": "0 deg", "caliper": "caliper",
            "stations": [{"blade": "red", "position": "low stop", "reading": "-2 deg"}],
            "links": [{"blade": "red", "upper": "0 mm", "lower": "12 mm"}],
        }  # fmt: skip
        outcome = worked("pitch_rigging", readings, aircraft)
        assert word(outcome, "engagement.red.upper") == OUT_OF_LIMITS
        assert word(outcome, "engagement.red.lower") == IN_LIMITS


class TestCorners:
    def corners(self, **row: str) -> Outcome:
        aircraft = small_aircraft(controls={"pedals": ["full left", "full right"]}, instruments__caliper=CALIPER)
        rows = [
            {"corner": f"pedals full {side}", "reached": "every control", "contact": "free"}
            for side in ("left", "right")
        ]
        rows[0] |= row
        return worked("control_corners", {"rule": "caliper", "corners": rows}, aircraft)

    def test_a_clearance_of_nothing_is_contact(self) -> None:
        with pytest.raises(SheetError, match="that is contact"):
            self.corners(clearance="0 mm")
        assert self.corners(clearance="0 mm", contact="touches or binds", what="link on bolt").word == OUT_OF_LIMITS

    def test_one_that_cannot_be_told_from_nothing_is_too_close_to_call_without_any_limit(self) -> None:
        assert self.corners(clearance="0.09 mm").word == TOO_CLOSE
        assert self.corners(clearance="0.11 mm").word == NO_LIMIT


class TestReversed:
    def blades(self, low: str, high: str) -> Outcome:
        aircraft = small_aircraft(main_rotor__limits={})
        rows = [
            {"blade": blade, "position": position, "reading": reading}
            for blade in ("red", "green", "blue")
            for position, reading in (("low stop", low), ("high stop", high))
        ]
        way = {"way": "reading less a reference surface", "reference": "0 deg"}
        readings = {"rotor": "main rotor", "protractor": "protractor", **way, "stations": rows}
        return worked("blade_angles", readings, aircraft)

    def test_stops_exchanged_are_out_of_limits_without_any_limit(self) -> None:
        # this protractor reads downward: 2 and 14 deg up are -2 and -14
        right, wrong = self.blades("-2 deg", "-14 deg"), self.blades("-14 deg", "-2 deg")
        assert right.word == NO_LIMIT
        assert right.finding("travel.red").aside
        assert wrong.word == OUT_OF_LIMITS
        assert not wrong.finding("travel.red").aside

    @pytest.mark.parametrize("tilts", [1, -1])
    def test_a_disk_that_tilts_against_the_stick_is_out_of_limits_without_any_limit(self, tilts: int) -> None:
        """Counter-clockwise with a lag of 90 deg: forward stick needs the greatest angle over the left side."""
        aircraft = small_aircraft(
            main_rotor__swashplate={
                "rotor_turns": "counter-clockwise seen from above", "response_lag": "90 deg", "limits": {},
            },
            main_rotor__protractor_reads_positive="leading edge up",
        )  # fmt: skip
        places = ("over the left side", "over the right side")
        highest = {"forward": 0, "aft": 1}
        rows = [
            {"stick": stick, "place": place, "reading": f"{8 + tilts * (5 if i == top else -5)} deg"}
            for stick, top in highest.items()
            for i, place in enumerate(places)
        ]
        references = [{"place": place, "reading": "0 deg"} for place in places]
        readings = {"protractor": "protractor", "stations": rows, "references": references}
        outcome = worked("cyclic_range", readings, aircraft)
        assert word(outcome, "range.forward") == (NO_LIMIT if tilts > 0 else OUT_OF_LIMITS)
        assert any("tilt the other way" in said for said in outcome.first) == (tilts < 0)


class TestBand:
    """Blade angle 2 deg for each inch, 1 deg higher on the way back: a band of 1 deg, half an inch."""

    def travel(self, band: float, swapped: bool = False) -> Outcome:
        aircraft = small_aircraft(
            controls={"pedals": ["full left", "full right"]},
            control_limits__travel={
                "pedals": {
                    "friction_band": {"high": "0.5 deg", "source": "test"},
                    "dead_band": {"high": "0.3 in", "source": "test"},
                }
            },
        )
        ways = ("falling", "rising") if swapped else ("rising", "falling")
        rows = [
            {"position": f"{x} in", "way": way, "reading": f"{2 * x + off:.2f} deg"}
            for way, off in zip(ways, (0.0, band), strict=True)
            for x in (0, 1, 2, 3)
        ]
        readings = {
            "rotor": "tail rotor", "blade": "A", "control": "pedals", "protractor": "protractor", "places": rows,
        }  # fmt: skip
        return worked("control_travel", readings, aircraft)

    def test_two_ways_confused_bring_no_wide_band_into_limits(self) -> None:
        assert word(self.travel(1.0), "friction_band") == word(self.travel(1.0), "dead_band") == OUT_OF_LIMITS
        confused = self.travel(1.0, swapped=True)
        assert confused.word == UNDONE
        assert word(confused, "friction_band") == word(confused, "dead_band") == UNDONE

    def test_a_band_about_nothing_is_in_limits(self) -> None:
        assert word(self.travel(0.02, swapped=True), "friction_band") == IN_LIMITS


class TestDay:
    SHEETS: tuple[tuple[str, dict[str, str]], ...] = (
        ("hover_margin", {}),
        ("level_flight", {}),
        ("autorotation", {"airspeed": "45 kt"}),
        ("anti_torque_margin", {"full_left": "25 deg", "full_right": "-8 deg"}),
    )

    @pytest.mark.parametrize(("sheet", "more"), SHEETS, ids=[name for name, _ in SHEETS])
    def test_a_weight_above_the_maximum_leads(self, sheet: str, more: dict[str, str]) -> None:
        """The small aircraft may weigh 640 kg, which is 1,411 lb where figures are in US units."""
        blade: dict[str, Any] = {"tail_rotor__blade": {
            "root_cutout": "15 cm", "twist": "0 deg", "lift_slope": "5.73", "drag_constant": "0.011",
            "drag_square": "0.4", "greatest_lift": "1.1", "source": "test",
        }, "tail_rotor__induced_factor": "1.2", "tail_rotor__profile_drag_coefficient": "0.012"}  # fmt: skip
        aircraft = small_aircraft(**blade)
        for weight, wanted, said in (
            ("645 ± 4 kg", OUT_OF_LIMITS, "is above"),
            ("638 ± 4 kg", TOO_CLOSE, "may be above"),
        ):
            outcome = worked(sheet, {**DAY, **more, "gross_weight": weight}, aircraft)
            assert word(outcome, "gross_weight") == wanted
            assert outcome.word in (OUT_OF_LIMITS, wanted)
            assert f"The gross weight {said} the maximum of the aircraft file, 1,411 lb." in outcome.first[:-1]
        under = worked(sheet, {**DAY, **more, "gross_weight": "635 ± 4 kg"}, aircraft)
        assert all(finding.key != "gross_weight" for finding in under.findings)

    def test_blades_that_stall_in_the_hover_are_out_of_limits_without_any_limit(self) -> None:
        """Mean lift coefficient 6 C_T / sigma = 6 T / (rho b c R V^2), held to 1.1; the air at 15 °C and 50 % damp."""
        steam = 0.5 * 1705.0
        density = (101300 - steam) / (287.05 * 288.15) + steam / (461.5 * 288.15)
        blades = 3 * 0.16 * 3.3
        at_stall = math.sqrt(6 * 500 * 9.80665 / (1.1 * density * blades)) / 3.3 * 30 / math.pi
        for share, wanted in ((0.99, OUT_OF_LIMITS), (1.01, NO_LIMIT)):
            readings = {**DAY, "rotor_speed": f"{share * at_stall:.2f} rpm"}
            outcome = worked("hover_margin", readings, small_aircraft())
            assert word(outcome, "blade_loading") == wanted
            assert any("they stall" in said for said in outcome.first) == (wanted == OUT_OF_LIMITS)

    def test_a_rotor_speed_below_the_lowest_is_refused_by_its_field(self) -> None:
        readings = {**DAY, "airspeed": "45 kt", "rotor_speed": "405 rpm"}
        with pytest.raises(SheetError, match=r"rotor_speed: is below the lowest with the power off, 410 rpm"):
            worked("autorotation", readings, small_aircraft())

    def test_blades_are_judged_at_a_never_exceed_speed_that_only_a_descent_reaches(self) -> None:
        aircraft = small_aircraft(
            performance={"airspeed": {"high": "140 kt", "source": "manual"}, "airspeed_is": "true"},
            airframe__flat_plate_area="1.5 m^2",
        )
        outcome = worked("level_flight", DAY, aircraft)
        assert outcome.finding("top_speed").measured.si < 140 * 0.514444
        assert "at 140 kt true" in outcome.finding("retreating_lift").title
        assert any("in a descent" in said for said in outcome.remarks)


def test_a_trend_that_may_have_met_its_limit_leads() -> None:
    """100, 90, 80 N a month apart fall by a third of a newton a day, and reach 70 N a month after the last."""
    limits = {"tension": {"low": "70 N", "high": "130 N", "source": "test"}}
    days = [
        {"day": f"2026-0{month}-01", "tension": f"{tension} ± 1 N", "temperature": "20 °C"}
        for month, tension in ((1, 100), (2, 90), (3, 80))
    ]
    for low, leads in (("40 N", False), ("70 N", True), ("80.5 N", True)):
        cable = {**CABLE, "limits": {"tension": {**limits["tension"], "low": low}}}
        aircraft = small_aircraft(cables__one=cable, instruments__gauge={**GAUGE, "uncertainty": "1 N"})
        outcome = worked("tension_trend", {"cable": "one", "gauge": "gauge", "days": days}, aircraft)
        assert any("On this line the limit" in said for said in outcome.first) == leads
        assert any("On this line the limit" in said for said in outcome.remarks) != leads


@pytest.mark.parametrize(
    ("tensions", "wanted"),
    [(("0 N", "5 N", "100 N"), UNDONE), (("0 N", "99 N", "100 N"), UNDONE), (("98 N", "99 N", "100 N"), IN_LIMITS)],
)
def test_slack_days_make_no_whole_trend(tensions: tuple[str, ...], wanted: str) -> None:
    """A tension that cannot be told from nothing stands on no line: the trend then wants another day."""
    cable = {**CABLE, "limits": {"tension": {"low": "70 N", "high": "130 N", "source": "test"}}}
    aircraft = small_aircraft(cables__one=cable, instruments__gauge={**GAUGE, "uncertainty": "6 N"})
    days = [
        {"day": f"2026-0{month}-01", "tension": tension, "temperature": "20 °C"}
        for month, tension in enumerate(tensions, 1)
    ]
    outcome = worked("tension_trend", {"cable": "one", "gauge": "gauge", "days": days}, aircraft)
    assert outcome.word == wanted
    assert word(outcome, "latest") == IN_LIMITS
    assert any("a third day with the cable taut" in said for said in outcome.first) == (wanted == UNDONE)


@pytest.mark.parametrize("heights", [("5 mm", "5 mm"), ("5 mm", "9 mm")])
def test_marks_of_one_height_name_no_blade_that_flies_highest(heights: tuple[str, str]) -> None:
    aircraft = small_aircraft(instruments__caliper=CALIPER)
    marks = [{"blade": blade, "height": height} for blade, height in zip(("red", "green"), heights, strict=True)]
    outcome = worked("rotor_track", {"rule": "caliper", "marks": marks}, aircraft)
    assert any("flies highest" in said for said in outcome.remarks) == (heights[0] != heights[1])
