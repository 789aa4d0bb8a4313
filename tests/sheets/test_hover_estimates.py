"""The hover margin's estimates side by side: the spread in the verdict, measured hovers, and engines that differ."""

import math
from typing import Any

import numpy as np
import pytest

from rotorkit.aircraft import Aircraft
from rotorkit.judging.limits import TOO_CLOSE
from rotorkit.quantities import QuantityError
from rotorkit.rotor import LinearSection, blade_element_hover, rotor_blades
from rotorkit.rotor.blade_element.trust import POWER_AT_THRUST
from rotorkit.rotor.hover_balance import engine_power_by_merit, engine_power_for, main_rotor_power_at
from rotorkit.rotor.margin import engine_power_to_hover, mass_that_can_hover
from rotorkit.sheets.base import Outcome, SheetError
from rotorkit.sheets.performance.day_and_weight import AS_ESTIMATED, BY_HOVERS
from rotorkit.sheets.performance.power_reckoning import BY_BLADES, BY_MERIT, BY_PARTS
from tests.sheets.test_hover_margin import (
    CENTRE,
    DEMO,
    FOOT,
    HORSEPOWER,
    POUND,
    aircraft_with,
    by_hand,
    figure,
    worked,
)

ALL = pytest.mark.parametrize("estimate", [BY_MERIT, BY_PARTS, BY_BLADES])
KEYS = {BY_MERIT: "needed_by_merit", BY_PARTS: "needed_by_parts", BY_BLADES: "needed_by_blades"}


def share(outcome: Outcome, key: str, label: str) -> float:
    return sum(row.share for row in outcome.finding(key).measured.budget() if label in row.label)


def hovers(*rows: dict[str, str]) -> Aircraft:
    data = DEMO.model_dump(exclude_none=True)
    data["measured_hovers"] = list(rows)
    return Aircraft.model_validate(data)


class TestSideBySide:
    @ALL
    def test_the_others_are_told_beside_the_judged_one(self, estimate: str) -> None:
        outcome = worked(estimate=estimate)
        beside = {found.key for found in outcome.findings if found.key.startswith("needed_by_")}
        assert beside == {key for name, key in KEYS.items() if name != estimate}
        for name, key in KEYS.items():
            if name != estimate:
                assert figure(outcome, key, "hp") == pytest.approx(
                    figure(worked(estimate=name), "power_needed", "hp"), rel=1e-9
                )
        powers = [figure(outcome, key, "hp") for key in [*beside, "power_needed"]]
        assert figure(outcome, "estimate_spread", "hp") == pytest.approx(max(powers) - min(powers), rel=1e-9)

    def test_blade_element_by_the_library_call_and_plain_arithmetic(self) -> None:
        """The published call at the day's weight and air; tail rotor, drive and accessories by hand."""
        section = LinearSection(5.73, (0.0120, 0.0, 0.4), 1.2, thickness_ratio=0.12)
        blades = rotor_blades(2, "11 ft 8 in", "10 in", "19 in", section, twist="-6 deg")
        air = float(by_hand(**CENTRE)["air"])
        hover = blade_element_hover(
            blades, "455 rpm", f"{air!r} kg/m^3", thrust=f"{1255 * POUND * 9.80665!r} N", temperature="84 °F"
        )
        main = float(hover.power.m_as("W"))
        turn, tail_area = 455 * 2 * math.pi / 60, math.pi * (26 / 12 * FOOT) ** 2
        tail_thrust = main / turn / (169 / 12 * FOOT)
        tail = tail_thrust * math.sqrt(tail_thrust / (2 * air * tail_area)) / 0.55
        needed = ((main + tail) / 0.94 + 2 * HORSEPOWER) / HORSEPOWER
        assert figure(worked(estimate=BY_BLADES), "power_needed", "hp") == pytest.approx(needed, abs=0.05)

    def test_without_blades_in_the_file_two_estimates_are_left_and_the_third_says_what_it_needs(self) -> None:
        data = DEMO.model_dump(exclude_none=True)
        del data["main_rotor"]["blade"]
        bare = Aircraft.model_validate(data)
        assert "needed_by_blades" not in [found.key for found in worked(bare).findings]
        with pytest.raises(SheetError, match=r"no section \[main_rotor.blade\].*root_cutout, twist, lift_slope"):
            worked(bare, estimate=BY_BLADES)


class TestSpreadInTheVerdict:
    @pytest.mark.parametrize("estimate", [BY_MERIT, BY_PARTS])
    def test_a_quick_estimate_keeps_its_own_uncertainty(self, estimate: str) -> None:
        outcome = worked(estimate=estimate)
        assert share(outcome, "power_needed", "spread") == 0
        (told,) = [remark for remark in outcome.remarks if remark.startswith("The estimates")]
        apart = figure(outcome, "estimate_spread", "hp") * HORSEPOWER
        beyond = apart > float(outcome.finding("power_needed").measured.expanded_si)
        assert ("it is larger than that" in told) is beyond

    def test_blade_element_carries_the_farthest_of_the_others_as_bounds(self) -> None:
        """On a rotor whose quick figures lie far off: a rectangular distribution over that distance either way, where
        that is more than the theory may be off by."""
        aircraft = aircraft_with(main_rotor={"figure_of_merit": "0.45"})
        outcome = worked(aircraft, estimate=BY_BLADES)
        main = {name: worked(aircraft, estimate=name) for name in KEYS}
        power = {name: next(s for s in one.steps if s.name.startswith(("hover_power", "main_rotor's_power"))).value.si
                 for name, one in main.items()}  # fmt: skip
        bound = abs(power[BY_MERIT] / power[BY_BLADES] - 1)
        assert bound / math.sqrt(3) > POWER_AT_THRUST
        step = next(step for step in outcome.steps if step.title == "Correction")
        assert float(step.value.standard_si) == pytest.approx(bound / math.sqrt(3), rel=1e-9)
        assert share(outcome, "power_needed", "spread of the estimates") > 0.5

    def test_never_less_than_it_missed_measured_rotors_by(self) -> None:
        """12.5 % (25 % at k = 2), which `tests/published/test_hover_held_out.py` holds to the reports."""
        near = aircraft_with(main_rotor={"figure_of_merit": "0.63"})
        outcome = worked(near, estimate=BY_BLADES)
        step = next(step for step in outcome.steps if step.title == "Correction")
        assert float(step.value.standard_si) == pytest.approx(0.125, rel=1e-9)
        assert share(outcome, "power_needed", "power at a thrust, by the theory") > 0.5
        assert share(outcome, "power_needed", "spread of the estimates") == 0
        (told,) = [remark for remark in outcome.remarks if remark.startswith("The ± includes")]
        assert "25 % of the main rotor's power for the theory" in told
        assert any("smaller than the theory's own uncertainty" in remark for remark in outcome.remarks)

    def test_measured_hovers_of_the_same_rotor_take_its_place(self) -> None:
        """Where hovers of this very rotor correct the theory, its spread is carried and not what other rotors show."""
        outcome = worked(estimate=BY_BLADES, calibration=BY_HOVERS)
        assert share(outcome, "power_needed", "by the theory") == 0
        assert not any(remark.startswith("The ± includes") for remark in outcome.remarks)

    def test_it_is_one_origin_in_power_weight_and_height(self) -> None:
        outcome = worked(estimate=BY_BLADES)
        origins = {
            key: {origin for origin in outcome.finding(key).measured.components if "by the theory" in origin.label}
            for key in ("power_margin", "weight_margin", "margin_gone_at")
        }
        assert len(set.union(*origins.values())) == 1
        assert outcome.finding("power_margin").verdict.word == TOO_CLOSE
        assert "power at a thrust, by the theory" in outcome.finding("power_margin").verdict.settle

    def test_weight_and_power_margin_end_together(self) -> None:
        spare = figure(worked(estimate=BY_BLADES), "weight_margin", "lb")
        there = worked(estimate=BY_BLADES, gross_weight=f"{1255 + spare!r} lb")
        assert abs(figure(there, "power_margin", "hp")) < 1e-4
        assert abs(figure(there, "weight_margin", "lb")) < 1e-3


ONE = {"title": "card 1", "gross_weight": "1,190 lb", "pressure_altitude": "1,000 ft", "temperature": "60 °F",
       "rotor_speed": "455 rpm"}  # fmt: skip


class TestMeasuredHovers:
    def power_of(self, row: dict[str, str], estimate: str) -> float:
        """Engine power by an estimate at a hover's own conditions, dry, in hp."""
        outcome = worked(
            gross_weight=row["gross_weight"], altimeter_setting="29.92126 inHg", elevation=row["pressure_altitude"],
            temperature=row["temperature"], humidity="0 %", estimate=estimate,
        )  # fmt: skip
        return figure(outcome, "power_needed", "hp")

    @ALL
    def test_a_hover_that_took_what_was_estimated_changes_nothing(self, estimate: str) -> None:
        row = {**ONE, "power": f"{self.power_of(ONE, estimate)!r} hp"}
        corrected = worked(hovers(row), estimate=estimate, calibration=BY_HOVERS)
        assert figure(corrected, "power_needed", "hp") == pytest.approx(
            figure(worked(estimate=estimate), "power_needed", "hp"), rel=1e-5
        )
        assert any("One measured hover" in remark for remark in corrected.remarks)

    @ALL
    def test_all_estimates_meet_where_the_hover_was_measured(self, estimate: str) -> None:
        row = {**ONE, "power": "108 hp"}
        outcome = worked(
            hovers(row), estimate=estimate, calibration=BY_HOVERS, gross_weight="1,190 lb", elevation="1,000 ft",
            altimeter_setting="29.92126 inHg", temperature="60 °F", humidity="0 %",
        )  # fmt: skip
        assert figure(outcome, "power_needed", "hp") == pytest.approx(108, rel=1e-5)
        assert figure(outcome, "estimate_spread", "hp") == pytest.approx(0, abs=2e-3)

    def test_the_assumed_figure_of_merit_drops_out(self) -> None:
        """What a measured hover says takes the assumption's place: nothing of its uncertainty is left."""
        row = {**ONE, "power": "108 ± 3 hp"}
        outcome = worked(hovers(row), calibration=BY_HOVERS)
        assert share(worked(), "power_needed", "main rotor's figure of merit") > 0.5
        assert share(outcome, "power_needed", "main rotor's figure of merit") < 1e-6
        left = share(outcome, "power_needed", "power, card 1") + share(outcome, "power_needed", "spread")
        assert left > 0.9, "what was measured, and how far the estimates lie apart today"

    def test_full_throttle_is_the_power_where_none_is_written(self) -> None:
        """By hand: 138 hp by Gagg and Ferrar at 5000 ft, 41.2 °F (standard there), is 116.4 hp."""
        row = {**ONE, "pressure_altitude": "5,000 ft", "temperature": "41.17 °F"}
        outcome = worked(hovers(row), calibration=BY_HOVERS)
        step = next(step for step in outcome.steps if step.title == "Measured hover: card 1")
        assert "full throttle 116.4 ± 2.5 hp" in step.text

    def test_two_hovers_that_differ_show_their_scatter(self) -> None:
        first, second = ({**ONE, "title": title, "power": power} for title, power in (("a", "101 hp"), ("b", "110 hp")))
        outcome = worked(hovers(first, second), calibration=BY_HOVERS)
        step = next(step for step in outcome.steps if step.title == "Correction")
        one, two = (
            next(s for s in outcome.steps if s.title == f"Measured hover: {name}").value.si for name in ("a", "b")
        )
        assert step.value.si == pytest.approx((one + two) / 2)
        scatter = next(part for origin, part in step.value.components.items() if "scatter" in origin.label)
        assert scatter == pytest.approx(abs(one - two) / 2)

    def test_without_any_it_says_what_to_write(self) -> None:
        with pytest.raises(SheetError) as refusal:
            worked(hovers(), calibration=BY_HOVERS)
        ((path, message),) = refusal.value.problems
        assert path == "calibration"
        assert "[[measured_hovers]]" in message

    def test_by_default_they_are_left_aside(self) -> None:
        assert figure(worked(), "power_needed", "hp") == figure(worked(hovers()), "power_needed", "hp")
        assert worked(calibration=AS_ESTIMATED).word == worked().word


class TestEngines:
    TABLE = {"by": "density altitude", "source": "maker", "rows": [["0 ft", "138 hp"], ["8000 ft", "98 hp"]]}  # noqa: RUF012

    def with_engine(self, **change: Any) -> Aircraft:
        return aircraft_with(engine=change)

    def test_a_table_by_density_altitude(self) -> None:
        outcome = worked(self.with_engine(power_table=self.TABLE))
        height = figure(outcome, "density_altitude", "ft")
        assert figure(outcome, "power_available", "hp") == pytest.approx(138 - 40 * height / 8000, abs=1e-6)
        assert any("power table by density altitude (maker)" in remark for remark in outcome.remarks)
        gone = figure(outcome, "margin_gone_at", "ft")
        line = next(p for p in outcome.pictures if hasattr(p, "curves")).curves[0]
        assert float(np.interp(gone, line.x, line.y)) == pytest.approx(1255, abs=1.5)

    def test_a_table_by_pressure_altitude(self) -> None:
        outcome = worked(self.with_engine(power_table={**self.TABLE, "by": "pressure altitude"}))
        assert figure(outcome, "power_available", "hp") == pytest.approx(138 - 40 * 687.4 / 8000, abs=0.01)

    def test_outside_its_table_it_refuses_with_the_range(self) -> None:
        table = {**self.TABLE, "rows": [["0 ft", "138 hp"], ["2000 ft", "129 hp"]]}
        with pytest.raises(SheetError, match="must be from 0 ft to 2,000 ft"):
            worked(self.with_engine(power_table=table))

    def test_a_derated_engine_holds_its_rating_up_high(self) -> None:
        """165.6 hp held to 138 hp: 138 hp at 2721 ft, where full throttle still gives 148 hp."""
        outcome = worked(self.with_engine(rated_power="165.6 hp", derated_to="83.3333333333 %"))
        assert figure(outcome, "power_available", "hp") == pytest.approx(138, abs=1e-6)
        assert figure(outcome, "margin_gone_at", "ft") > figure(worked(), "margin_gone_at", "ft") + 1000

    def test_a_warm_intake_costs_the_root_of_the_temperature_ratio(self) -> None:
        outcome = worked(self.with_engine(intake_rise="36 °F"))
        celsius = (84 - 32) / 1.8 + 273.15
        ratio = figure(outcome, "power_available", "hp") / figure(worked(), "power_available", "hp")
        assert ratio == pytest.approx(math.sqrt(celsius / (celsius + 20)), rel=1e-6)

    @pytest.mark.parametrize(
        ("rows", "told"),
        [
            ([["0 ft", "138 hp"], ["0 ft", "129 hp"]], "each above the one before"),
            ([["0 ft", "150 lb"], ["10 ft", "129 hp"]], "power needs a power"),
            ([["0 ft", "138 hp", "x"], ["10 ft", "129 hp"]], "each needs a height and a power"),
        ],
    )
    def test_a_table_that_cannot_be_read(self, rows: list[list[str]], told: str) -> None:
        with pytest.raises(ValueError, match=told):
            self.with_engine(power_table={**self.TABLE, "rows": rows})


class TestBalance:
    def test_the_same_roots_as_the_margin_functions(self) -> None:
        """`HoverBalance` against the scalar functions with their own root finder."""
        arguments = (1.1, 3.81, 0.6, 52.36, 4.5, 0.635, 0.55, 0.94, 1491.4)
        power = engine_power_to_hover.si(600.0, *arguments)
        shares = (52.36, 4.5, 0.635, 0.55, 0.94, 1491.4)
        assert engine_power_by_merit(600.0, 1.1, 1.0, *shares, 3.81, 0.6) == pytest.approx(power, rel=1e-12)
        assert mass_that_can_hover.si(power, *arguments) == pytest.approx(600, rel=1e-9)

    def test_the_main_rotors_power_turned_round(self) -> None:
        from rotorkit.judging.measured import Measured, measured
        from rotorkit.quantities import Density, Length, Power, Ratio, RotationRate

        shares = [
            measured("455 rpm", RotationRate, "speed"), measured("14 ft 1 in", Length, "arm"),
            measured("26 in", Length, "radius"), measured("0.55 ± 0.05", Ratio, "merit"),
            measured("94 %", Ratio, "efficiency"), measured("2 hp", Power, "accessories"),
        ]  # fmt: skip
        engine, density = measured("120 ± 4 hp", Power, "engine"), measured("1.15 kg/m^3", Density, "air")
        main = main_rotor_power_at(engine, density, shares)
        assert isinstance(main, Measured)
        back = engine_power_for(main.si, 1.15, *(float(one.si) for one in shares))
        assert back == pytest.approx(float(engine.si), rel=1e-9)
        weaker = main_rotor_power_at(measured("116 hp", Power, "engine"), density, shares)
        labels = {row.label: row for row in main.budget()}
        slope = (float(main.si) - float(weaker.si)) / (4 * HORSEPOWER)
        assert float(labels["engine"].contribution.m_as("W")) == pytest.approx(slope * 2 * HORSEPOWER, rel=5e-3)
        with pytest.raises(QuantityError, match="nothing is left for the rotors"):
            main_rotor_power_at(measured("1 hp", Power, "engine"), density, shares)
