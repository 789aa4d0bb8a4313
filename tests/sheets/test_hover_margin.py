"""The hover margin sheet: worked by hand apart from the library, against a simulation, and at its edges."""

import math
from typing import Any, ClassVar

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rotorkit.aircraft import Aircraft, demo_folder, load_aircraft
from rotorkit.judging.limits import IN_LIMITS, NO_LIMIT, OUT_OF_LIMITS, TOO_CLOSE
from rotorkit.pictures.data import Bars, Chart
from rotorkit.quantities import say, use_display
from rotorkit.sheets.base import Outcome, SheetError
from rotorkit.sheets.performance.hover_margin import HoverMargin
from rotorkit.sheets.performance.power_reckoning import BY_BLADES, BY_MERIT, BY_PARTS
from tests.searching import examples

DEMO = load_aircraft(demo_folder())
DAY = {
    "gross_weight": "1,255 lb",
    "altimeter_setting": "29.87 inHg",
    "elevation": "640 ft",
    "temperature": "84 °F",
    "humidity": "55 %",
    "rotor_speed": "455 rpm",
}
BY = {
    "scale": "scales",
    "altimeter": "altimeter",
    "thermometer": "thermometer",
    "hygrometer": "hygrometer",
    "tachometer": "tachometer",
}
ESTIMATES = pytest.mark.parametrize("estimate", [BY_MERIT, BY_PARTS])


def worked(aircraft: Aircraft = DEMO, **change: Any) -> Outcome:
    return HoverMargin.from_readings({**DAY, **BY, **change}).work(aircraft)


def figure(outcome: Outcome, key: str, unit: str) -> float:
    return float(outcome.finding(key).measured.value.m_as(unit))


def aircraft_with(**sections: dict[str, Any]) -> Aircraft:
    """The demo aircraft with some values changed, through the same strict door as a file."""
    data = DEMO.model_dump(exclude_none=True)
    for name, values in sections.items():
        data[name] = {**data.get(name, {}), **values}
    return Aircraft.model_validate(data)


# The whole calculation again, in SI units by plain arithmetic. Only the demo aircraft's figures are shared with the
# library; the saturation pressure is by another published form of the same law (Magnus with the coefficients of
# Alduchov and Eskridge 1996, from memory), which differs from the library's by less than 0.2 % here.
FOOT, POUND, INHG, HORSEPOWER = 0.3048, 0.45359237, 3386.389, 745.69987
GRAVITY, GAS, SEA_PRESSURE, SEA_TEMPERATURE, LAPSE = 9.80665, 287.05287, 101325.0, 288.15, 0.0065


def by_hand(
    weight: Any, setting: Any, temperature: Any, humidity: Any, speed: Any, merit: Any, tail_merit: Any,
    efficiency: Any, rated: Any,
) -> dict[str, Any]:  # fmt: skip
    """weight lb, setting inHg, temperature °F, humidity as a share, speed rpm, rated hp: floats or arrays of them."""
    n = GAS * LAPSE / GRAVITY
    pressure = SEA_PRESSURE * ((setting * INHG / SEA_PRESSURE) ** n - LAPSE * 640 * FOOT / SEA_TEMPERATURE) ** (1 / n)
    kelvin = (temperature - 32) / 1.8 + 273.15
    vapour = humidity * 610.94 * np.exp(17.625 * (kelvin - 273.15) / (kelvin - 273.15 + 243.04))
    dry = (pressure - vapour) / (GAS * kelvin)
    air = dry + vapour / (461.523 * kelvin)
    ratio = dry / (SEA_PRESSURE / GAS / SEA_TEMPERATURE)
    available = rated * HORSEPOWER * (ratio - (1 - ratio) / 7.55)
    turn, area, tail_area = speed * 2 * math.pi / 60, math.pi * (35 / 3 * FOOT) ** 2, math.pi * (26 / 12 * FOOT) ** 2

    def needed(pounds: Any) -> Any:
        thrust = pounds * POUND * GRAVITY
        main = thrust * np.sqrt(thrust / (2 * air * area)) / merit
        tail_thrust = main / turn / (169 / 12 * FOOT)
        tail = tail_thrust * np.sqrt(tail_thrust / (2 * air * tail_area)) / tail_merit
        return (main + tail) / efficiency + 2 * HORSEPOWER

    light, heavy = 100.0 + 0 * available, 4000.0 + 0 * available
    for _ in range(60):
        middle = (light + heavy) / 2
        enough = needed(middle) < available
        light, heavy = np.where(enough, middle, light), np.where(enough, heavy, middle)
    return {
        "air": air,
        "power_available": available / HORSEPOWER,
        "power_needed": needed(weight) / HORSEPOWER,
        "power_margin": (available - needed(weight)) / HORSEPOWER,
        "weight_margin": light - weight,
    }


CENTRE = {"weight": 1255.0, "setting": 29.87, "temperature": 84.0, "humidity": 0.55, "speed": 455.0, "merit": 0.62,
          "tail_merit": 0.55, "efficiency": 0.94, "rated": 138.0}  # fmt: skip
UNITS = {"power_available": "hp", "power_needed": "hp", "power_margin": "hp", "weight_margin": "lb"}


class TestByHand:
    @pytest.mark.parametrize("key", list(UNITS))
    def test_each_figure(self, key: str) -> None:
        """Within 0.05 hp and 0.3 lb: what 0.2 % of the saturation pressure can make here."""
        plain = float(by_hand(**CENTRE)[key])
        assert figure(worked(), key, UNITS[key]) == pytest.approx(plain, abs=0.3 if UNITS[key] == "lb" else 0.05)

    def test_the_air(self) -> None:
        """Density altitude is where the standard air is as thin; pressure altitude is where it presses as little."""
        outcome = worked()
        n = GAS * LAPSE / GRAVITY
        thin = float(by_hand(**CENTRE)["air"]) / (SEA_PRESSURE / GAS / SEA_TEMPERATURE)
        altitude = SEA_TEMPERATURE / LAPSE * (1 - thin ** (1 / (1 / n - 1))) / FOOT
        assert figure(outcome, "density_altitude", "ft") == pytest.approx(altitude, abs=1)
        height = 640 + SEA_TEMPERATURE / LAPSE * (1 - (29.87 * INHG / SEA_PRESSURE) ** n) / FOOT
        assert any(remark.startswith(f"Pressure altitude {height:.0f} ") for remark in outcome.remarks)

    def test_tip_mach_and_blade_loading(self) -> None:
        outcome = worked()
        tip = 455 * 2 * math.pi / 60 * 35 / 3 * FOOT
        sound = math.sqrt(1.4 * GAS * ((84 - 32) / 1.8 + 273.15))
        assert figure(outcome, "tip_mach", "") == pytest.approx(tip / sound, rel=1e-6)
        thrust, air = 1255 * POUND * GRAVITY, float(by_hand(**CENTRE)["air"])
        blades = 2 * 10 / 12 * FOOT * 35 / 3 * FOOT
        assert figure(outcome, "blade_loading", "") == pytest.approx(thrust / (air * blades * tip**2), rel=1e-4)

    def test_the_download_of_the_aircraft_file_is_carried_too(self) -> None:
        """4 % of the thrust: a weight of 1,255 lb takes what 1,255 / 0.96 lb would without it, and what can just hover
        is 0.96 of what could."""
        craft = aircraft_with(airframe={"download": "4 %"})
        outcome = worked(craft)
        heavy, light = (by_hand(**{**CENTRE, "weight": pounds}) for pounds in (1255 / 0.96, 1255.0))
        assert figure(outcome, "power_needed", "hp") == pytest.approx(float(heavy["power_needed"]), abs=0.05)
        spare = 0.96 * (float(light["weight_margin"]) + 1255) - 1255
        assert figure(outcome, "weight_margin", "lb") == pytest.approx(spare, abs=0.3)
        ratio = figure(outcome, "blade_loading", "") / figure(worked(), "blade_loading", "")
        assert ratio == pytest.approx(1 / 0.96, rel=1e-6)
        # 1 % more of it doubtful: the power needed by 1.5 % of main and tail rotor's more
        sure, doubtful = (worked(aircraft_with(airframe={"download": typed})) for typed in ("4 %", "4 ± 1 %"))
        more = [float(one.finding("power_needed").measured.expanded.m_as("hp")) for one in (sure, doubtful)]
        moved = [float(by_hand(**{**CENTRE, "weight": 1255 / share})["power_needed"]) for share in (0.965, 0.955)]
        assert math.sqrt(more[1] ** 2 - more[0] ** 2) == pytest.approx(moved[1] - moved[0], rel=1e-2)

    @pytest.mark.parametrize("estimate", [BY_PARTS, BY_BLADES])
    def test_every_estimate_carries_it(self, estimate: str) -> None:
        loaded = worked(aircraft_with(airframe={"download": "4 %"}), estimate=estimate)
        heavier = worked(estimate=estimate, gross_weight=f"{1255 / 0.96:.4f} lb")
        for key in ("power_needed", "power_margin", "blade_loading"):
            assert float(loaded.finding(key).measured.si) == pytest.approx(float(heavier.finding(key).measured.si))
        gone = "margin_gone_at"
        assert float(loaded.finding(gone).measured.si) == pytest.approx(
            float(heavier.finding(gone).measured.si), abs=0.1
        )


class TestUncertainty:
    def test_a_simulation_gives_the_same(self) -> None:
        """JCGM 101: 200 000 draws of every uncertain figure, through the plain arithmetic. The demo states expanded
        uncertainties (k = 2); its hygrometer bounds, drawn evenly. The drawn standard deviations are good to 0.2 %, and
        the relations bend a little over the draws, so that 2 % is asked."""
        random = np.random.default_rng(20260725)
        draws = 200_000

        def normal(centre: float, expanded: float) -> Any:
            return random.normal(centre, expanded / 2, draws)

        drawn = by_hand(
            weight=normal(1255, 0.005 * 1255),
            setting=normal(29.87, 0.02),
            temperature=normal(84, 2),
            humidity=random.uniform(0.50, 0.60, draws),
            speed=normal(455, 2),
            merit=normal(0.62, 0.03),
            tail_merit=normal(0.55, 0.05),
            efficiency=normal(0.94, 0.02),
            rated=normal(138, 3),
        )
        outcome = worked()
        for key, unit in UNITS.items():
            ours = float(outcome.finding(key).measured.standard_uncertainty.m_as(unit))
            assert ours == pytest.approx(float(np.std(drawn[key])), rel=0.02), key

    def test_the_budget_names_what_decides(self) -> None:
        first, *rest = worked().finding("weight_margin").measured.budget()
        assert "figure of merit" in first.label
        assert sum(row.share for row in [first, *rest]) == pytest.approx(1)

    def test_one_thermometer_is_one_origin_in_power_needed_and_available(self) -> None:
        """Warm air takes from both sides: the margin's share of the thermometer is the sum of the two, not their root
        of squares."""

        def share(key: str) -> float:
            parts = worked_once.finding(key).measured.components
            return float(sum(part for origin, part in parts.items() if "Hangar thermometer" in origin.label))

        worked_once = worked()
        assert share("power_margin") == pytest.approx(share("power_available") - share("power_needed"), rel=1e-9)
        assert abs(share("power_margin")) > abs(share("power_available"))

    def test_an_uncertain_radius_is_one_radius_wherever_it_enters(self) -> None:
        aircraft = aircraft_with(main_rotor={"radius": "11.7 ± 0.1 ft"})
        for estimate in (BY_MERIT, BY_PARTS):
            for found in worked(aircraft, estimate=estimate).findings:
                radii = [origin for origin in found.measured.components if "radius" in origin.label]
                assert len(radii) <= 1, found.title

    def test_without_instruments_what_is_left_is_the_aircrafts(self) -> None:
        labels = {
            row.label
            for row in worked(**dict.fromkeys(BY, "")).finding("power_margin").measured.budget()
            if row.share > 0
        }
        assert labels == {
            "main rotor's figure of merit", "tail rotor's figure of merit", "transmission efficiency",
            "engine's rated power",
        }  # fmt: skip

    def test_an_uncertainty_typed_with_a_reading_stands_for_the_instruments(self) -> None:
        typed = worked(gross_weight="1255 ± 40 lb").finding("blade_loading").measured
        assert float(typed.expanded_si) > 2 * float(worked().finding("blade_loading").measured.expanded_si)


class TestInverse:
    @ESTIMATES
    @examples(15)
    @given(weight=st.floats(900, 1800))
    def test_carrying_the_weight_that_can_just_hover_leaves_nothing(self, estimate: str, weight: float) -> None:
        spare = figure(worked(gross_weight=f"{weight!r} lb", estimate=estimate), "weight_margin", "lb")
        there = worked(gross_weight=f"{weight + spare!r} lb", estimate=estimate)
        assert abs(figure(there, "power_margin", "hp")) < 1e-6
        assert abs(figure(there, "weight_margin", "lb")) < 1e-5

    @ESTIMATES
    def test_at_the_density_altitude_found_the_margin_is_gone(self, estimate: str) -> None:
        """On a dry standard day at the very height, by the station's altimeter set to the standard."""
        day = {"altimeter_setting": "29.92126 inHg", "humidity": "0 %", "estimate": estimate}
        gone = figure(worked(temperature="59 °F", elevation="0 ft", **day), "margin_gone_at", "ft")
        celsius = 15 - 0.0065 * gone * FOOT
        there = worked(elevation=f"{gone!r} ft", temperature=f"{celsius!r} °C", **day)
        assert figure(there, "density_altitude", "ft") == pytest.approx(gone, abs=0.1)
        assert figure(there, "power_margin", "hp") == pytest.approx(0, abs=1e-3)

    @ESTIMATES
    def test_power_weight_and_height_have_one_sign(self, estimate: str) -> None:
        for weight in range(1000, 1547, 78):
            outcome = worked(gross_weight=f"{weight} lb", estimate=estimate)
            power = figure(outcome, "power_margin", "hp")
            assert math.copysign(1, power) == math.copysign(1, figure(outcome, "weight_margin", "lb"))
            height = figure(outcome, "margin_gone_at", "ft") - figure(outcome, "density_altitude", "ft")
            assert math.copysign(1, power) == math.copysign(1, height) or abs(power) < 0.2


class TestPhysics:
    @ESTIMATES
    @pytest.mark.parametrize(
        ("field", "values"),
        [
            ("gross_weight", ["1000 lb", "1200 lb", "1400 lb", "1600 lb"]),
            ("elevation", ["0 ft", "2000 ft", "5000 ft", "9000 ft"]),
            ("temperature", ["60 °F", "75 °F", "90 °F", "105 °F"]),
            ("humidity", ["0 %", "30 %", "70 %", "100 %"]),
            ("altimeter_setting", ["30.5 inHg", "30 inHg", "29.5 inHg", "29 inHg"]),
        ],
    )
    def test_each_of_these_takes_from_the_margin(self, estimate: str, field: str, values: list[str]) -> None:
        outcomes = [worked(**{field: value, "estimate": estimate}) for value in values]
        for key, unit in (("power_margin", "hp"), ("weight_margin", "lb")):
            margins = [figure(outcome, key, unit) for outcome in outcomes]
            assert margins == sorted(margins, reverse=True), (key, margins)

    def test_units_typed_do_not_matter(self) -> None:
        """The inch of mercury at 0 °C is 25.4 x 133.322387415 Pa (NIST SP 811, Appendix B.8)."""
        us = worked()
        metric = worked(
            gross_weight="569.2584244 kg", altimeter_setting="1011.5142869 hPa", elevation="195.072 m",
            temperature="28.8888888889 °C", humidity="0.55", rotor_speed="455 rpm",
        )  # fmt: skip
        for found in us.findings:
            assert float(metric.finding(found.key).measured.si) == pytest.approx(float(found.measured.si), rel=1e-6)

    def test_the_density_altitude_does_not_depend_on_the_aircraft(self) -> None:
        other = aircraft_with(engine={"rated_power": "200 hp"}, drive={"efficiency": "90 %"})
        assert figure(worked(other), "density_altitude", "ft") == figure(worked(), "density_altitude", "ft")


class TestRating:
    COLD: ClassVar[dict[str, str]] = {
        "temperature": "0 °F",
        "altimeter_setting": "30.4 inHg",
        "elevation": "0 ft",
        "humidity": "30 %",
    }

    def test_no_more_than_the_rating_is_counted_on_in_dense_air(self) -> None:
        outcome = worked(**self.COLD)
        assert figure(outcome, "power_available", "hp") == pytest.approx(138, abs=1e-9)
        (told,) = [remark for remark in outcome.remarks if "rating" in remark]
        assert told.startswith("The air is denser than the standard at sea level")
        assert "138.0 ± 3.0 hp" in told
        assert any("rating" in step.text for step in outcome.steps)

    def test_below_the_formula_holds_and_nothing_is_told(self) -> None:
        outcome = worked()
        assert figure(outcome, "power_available", "hp") < 138
        assert not [remark for remark in outcome.remarks if "rating" in remark]

    def test_the_weight_that_can_hover_follows_the_rating(self) -> None:
        """In colder air still the power stays, and only the rotor gains."""
        cold, colder = (
            figure(worked(**{**self.COLD, "temperature": t}), "weight_margin", "lb") for t in ("10 °F", "-10 °F")
        )
        able, more = cold + 1255, colder + 1255
        assert more / able == pytest.approx((469.67 / 449.67) ** (1 / 3), rel=2e-3)


class TestVerdicts:
    @pytest.mark.parametrize(
        ("weight", "power", "spare"),
        [
            ("1,000 lb", IN_LIMITS, IN_LIMITS),
            ("1,255 lb", TOO_CLOSE, TOO_CLOSE),
            ("1,345 lb", OUT_OF_LIMITS, OUT_OF_LIMITS),
        ],
    )
    def test_of_the_margins(self, weight: str, power: str, spare: str) -> None:
        outcome = worked(gross_weight=weight)
        assert outcome.finding("power_margin").verdict.word == power
        assert outcome.finding("weight_margin").verdict.word == spare
        assert outcome.word == max((power, spare), key=[IN_LIMITS, TOO_CLOSE, OUT_OF_LIMITS].index) or NO_LIMIT

    def test_too_close_to_call_says_what_would_settle_it(self) -> None:
        settle = worked().finding("weight_margin").verdict.settle
        assert "main contributor: main rotor's figure of merit" in settle

    def test_a_weight_above_the_maximum_is_told_first(self) -> None:
        for weight, said in (
            ("1,311 ± 0.5 lb", "The gross weight is above the maximum of the aircraft file, 1,310 lb."),
            ("1,310 ± 0.5 lb", "The gross weight may be above the maximum of the aircraft file, 1,310 lb."),
        ):
            assert said in worked(gross_weight=weight, scale="").first[:-1]
        assert "maximum" not in " ".join(worked(gross_weight="1,309 ± 0.5 lb", scale="").first)

    def test_another_rotor_speed_is_told(self) -> None:
        assert "not the aircraft file's" in " ".join(worked(rotor_speed="428 rpm").first)
        assert "not the aircraft file's" not in " ".join(worked(rotor_speed="446 rpm").first)

    def test_a_figure_without_a_limit_that_need_not_have_one_is_told_aside(self) -> None:
        outcome = worked(gross_weight="1,000 lb")
        assert DEMO.performance.density_altitude is None
        assert outcome.finding("density_altitude").verdict.word == NO_LIMIT
        assert outcome.word == IN_LIMITS
        data = DEMO.model_dump(exclude_none=True)
        data["performance"] = {"tip_mach": {"high": "0.65", "source": "manual"}}
        # the margins are what the sheet is for: without a limit nothing can be said to be in limits
        bare = worked(Aircraft.model_validate(data), gross_weight="1,000 lb")
        assert bare.finding("tip_mach").verdict.word == IN_LIMITS
        assert bare.finding("blade_loading").aside
        assert bare.word == NO_LIMIT

    def test_a_weight_that_the_engine_cannot_hold_is_told_first_whatever_the_limits(self) -> None:
        remarks = worked(gross_weight="1,310 lb", elevation="6,000 ft", altimeter_setting="29.9 inHg").first
        assert remarks[0] == "By this estimate the engine cannot hold this weight in a hover today: do not try it."

    @pytest.mark.parametrize(("typed", "asked"), [("0.6 %", True), ("1 %", True), ("3 %", False), ("60 %", False)])
    def test_a_humidity_that_may_have_been_meant_as_a_plain_ratio_is_asked_about(self, typed: str, asked: bool) -> None:
        assert (f"{typed} is outside what is usual here" in " ".join(worked(humidity=typed).remarks)) == asked

    def test_limits_left_out_give_figures_without_a_verdict(self) -> None:
        data = DEMO.model_dump(exclude_none=True)
        del data["performance"]
        outcome = worked(Aircraft.model_validate(data))
        assert {found.verdict.word for found in outcome.findings} == {NO_LIMIT}


class TestEdges:
    def test_so_heavy_that_no_air_would_do(self) -> None:
        outcome = worked(gross_weight="3,000 lb")
        assert outcome.finding("power_margin").verdict.word == OUT_OF_LIMITS
        assert "margin_gone_at" not in [found.key for found in outcome.findings]
        assert any("No density altitude in range" in remark for remark in outcome.remarks)

    def test_so_light_that_it_would_always_do(self) -> None:
        outcome = worked(gross_weight="225 lb")
        assert outcome.finding("power_margin").verdict.word == IN_LIMITS
        assert any("power is left at every height" in remark for remark in outcome.remarks)

    @pytest.mark.parametrize(
        ("change", "path", "told"),
        [
            ({"humidity": "110 %"}, "humidity", "must be from 0 % to 100 %, got 110 %"),
            ({"humidity": "-5 %"}, "humidity", "must be from 0 % to 100 %"),
            ({"humidity": 55}, "humidity", "must be from 0 % to 100 %, got 55"),
            ({"temperature": "130 °F"}, "temperature", "must be from -40 °F to 122 °F"),
            ({"temperature": "84"}, "temperature", "84"),
            ({"temperature": "20 Δ°F"}, "temperature", ""),
            ({"altimeter_setting": "29.87 psi"}, "altimeter_setting", "must be from 25.5 inHg to 32.5 inHg"),
            ({"altimeter_setting": "29.87 in"}, "altimeter_setting", "needs an absolute pressure"),
            ({"elevation": "640 lb"}, "elevation", "needs a length"),
            ({"rotor_speed": "500 Hz"}, "rotor_speed", "which is a frequency"),
            ({"gross_weight": "1255 lbf"}, "gross_weight", "needs a mass"),
            ({"gross_weight": "0 lb"}, "gross_weight", "must be from 200 lb"),
            ({"estimate": "guess"}, "estimate", "does not know"),
            ({"scale": "thermometer"}, "scale", "needs an instrument for mass"),
            ({"hygrometer": "nothing"}, "hygrometer", "no instrument 'no"),
            ({"gross_wieght": "3 lb"}, "gross_wieght", "did you mean gross_weight?"),
        ],
    )
    def test_a_wrong_reading_is_told_at_its_field(self, change: dict[str, Any], path: str, told: str) -> None:
        with pytest.raises(SheetError) as refusal:
            worked(**change)
        ((where, message),) = refusal.value.problems
        assert where == path
        assert told in message

    @pytest.mark.parametrize(
        ("change", "part"),
        [({"elevation": "15,000 ft", "temperature": "100 °F"}, "density"), ({"rotor_speed": "3000 rpm"}, "tip")],
    )
    def test_what_no_formula_covers_is_told_in_words(self, change: dict[str, Any], part: str) -> None:
        with pytest.raises(SheetError) as refusal:
            worked(**change)
        assert part in str(refusal.value)
        assert "_" not in str(refusal.value)  # no name of Python's

    def test_an_engine_that_accessories_use_up(self) -> None:
        feeble = aircraft_with(engine={"rated_power": "10 hp"}, drive={"accessory_power": "9.9 hp"})
        with pytest.raises(SheetError, match="nothing is left to lift with"):
            worked(feeble)

    def test_every_reading_missing_is_told(self) -> None:
        with pytest.raises(SheetError) as refusal:
            HoverMargin.from_readings({})
        assert [path for path, _ in refusal.value.problems] == list(DAY)


class TestPictures:
    @ESTIMATES
    def test_the_line_of_the_chart_is_the_weight_that_can_just_hover(self, estimate: str) -> None:
        outcome = worked(estimate=estimate)
        chart = next(picture for picture in outcome.pictures if isinstance(picture, Chart))
        able, bound = chart.curves
        (today,) = chart.points
        line = float(np.interp(today.x, able.x, able.y))
        assert line == pytest.approx(figure(outcome, "weight_margin", "lb") + 1255, abs=1.0)
        assert today.y == pytest.approx(1255)
        assert set(bound.y) == {1310.0}
        gone = figure(outcome, "margin_gone_at", "ft")
        assert float(np.interp(gone, able.x, able.y)) == pytest.approx(1255, abs=1.0)

    def test_metric_display_is_metric_throughout(self) -> None:
        metric = aircraft_with(aircraft={"display": "metric"})
        try:
            use_display("metric")
            outcome = worked(metric)
            texts = [part for found in outcome.findings for part in found.row()] + [step.text for step in outcome.steps]
        finally:
            use_display("us")
        chart = next(picture for picture in outcome.pictures if isinstance(picture, Chart))
        assert chart.x_label.endswith(", m")
        assert chart.y_label.endswith(", kg")
        assert chart.points[0].y == pytest.approx(1255 * POUND)
        bars = next(picture for picture in outcome.pictures if isinstance(picture, Bars))
        assert {row.unit for row in bars.rows} == {"kW", "kg", ""}
        assert "kW" in texts[1]
        assert say(worked().finding("power_margin").measured).endswith("hp"), "the display is put back"
