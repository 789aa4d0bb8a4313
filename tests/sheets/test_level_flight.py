"""Level flight: the power curve worked again by plain arithmetic, its speeds by brute force, and its edges."""

import math
from typing import Any

import numpy as np
import pytest

from rotorkit.aircraft import Aircraft, demo_folder, load_aircraft
from rotorkit.judging.limits import IN_LIMITS, OUT_OF_LIMITS
from rotorkit.pictures.data import Chart
from rotorkit.quantities import use_display
from rotorkit.sheets.base import Outcome, SheetError
from rotorkit.sheets.performance.level_flight import LevelFlight
from tests.sheets.test_hover_margin import BY, CENTRE, DAY, FOOT, HORSEPOWER, POUND, aircraft_with, by_hand, figure

DEMO = load_aircraft(demo_folder())
KNOT = 1852 / 3600


def worked(aircraft: Aircraft = DEMO, **change: Any) -> Outcome:
    return LevelFlight.from_readings({**DAY, **BY, **change}).work(aircraft)


def plain_power(v: Any, pounds: float = 1255.0, plate: float = 7.0, induced: float = 1.20, drag: float = 0.0125) -> Any:
    """Engine power at true airspeeds in m/s, in W: Glauert's quartic solved as a root of a polynomial in vi^2, profile
    power with 1 + 4.65 mu^2, parasite power; the same for the tail rotor; 94 %, 2 hp."""
    air = float(by_hand(**CENTRE)["air"])
    turn = 455 * 2 * math.pi / 60

    def rotor(thrust: Any, radius: float, tips: float, solidity: float, factor: float, cd: float) -> Any:
        area = math.pi * radius**2
        hover = thrust / (2 * air * area)
        velocity = np.sqrt(-(v**2) / 2 + np.sqrt(v**4 / 4 + hover**2))
        profile = air * area * tips**3 * solidity * cd / 8 * (1 + 4.65 * (v / tips) ** 2)
        return factor * thrust * velocity + profile

    radius, tail = 35 / 3 * FOOT, 26 / 12 * FOOT
    main = rotor(pounds * POUND * 9.80665, radius, turn * radius, 2 * 10 / 12 / math.pi / (35 / 3), induced, drag)
    main = main + air * v**3 * plate * FOOT**2 / 2
    thrust = main / turn / (169 / 12 * FOOT)
    anti = rotor(thrust, tail, 6.4 * turn * tail, 2 * 4.75 / 26 / math.pi, 1.25, 0.012)
    return (main + anti) / 0.94 + 2 * HORSEPOWER, main, anti


SPEEDS = np.linspace(0.0, 70.0, 70001)


class TestByHand:
    def test_hover_least_power_and_range(self) -> None:
        outcome = worked()
        total = plain_power(SPEEDS)[0]
        assert figure(outcome, "hover_power", "W") == pytest.approx(total[0], rel=1e-3)
        least = int(np.argmin(total))
        assert figure(outcome, "power_at_best_climb", "W") == pytest.approx(total[least], rel=1e-3)
        assert figure(outcome, "speed_best_climb", "kt") == pytest.approx(SPEEDS[least] / KNOT, abs=0.1)
        best = int(np.argmin(total[1000:] / SPEEDS[1000:])) + 1000
        assert figure(outcome, "speed_best_range", "kt") == pytest.approx(SPEEDS[best] / KNOT, abs=0.1)

    def test_a_headwind_wants_more_speed(self) -> None:
        total, wind = plain_power(SPEEDS)[0], 20 * KNOT
        best = int(np.argmin(total[20000:] / (SPEEDS[20000:] - wind))) + 20000
        assert figure(worked(headwind="20 kt"), "speed_best_range", "kt") == pytest.approx(SPEEDS[best] / KNOT, abs=0.1)
        assert figure(worked(headwind="-20 kt"), "speed_best_range", "kt") < figure(worked(), "speed_best_range", "kt")

    def test_climb_and_top_speed(self) -> None:
        outcome = worked()
        available = float(by_hand(**CENTRE)["power_available"]) * HORSEPOWER
        total, main, anti = plain_power(SPEEDS)
        least = int(np.argmin(total))
        left = (available - total[least]) * 0.94 * main[least] / (main[least] + anti[least])
        climb = left / (1255 * POUND * 9.80665) * 60 / FOOT
        assert figure(outcome, "climb", "ft/min") == pytest.approx(climb, rel=2e-3)
        fastest = SPEEDS[np.flatnonzero(total < available)[-1]] / KNOT
        assert figure(outcome, "top_speed", "kt") == pytest.approx(fastest, abs=0.1)

    def test_blades_at_the_manuals_speed(self) -> None:
        """The manual's 72 kt: below the top speed by power, so the blades are judged there."""
        outcome = worked(aircraft_with(performance={"airspeed_is": "true"}))
        tip = 455 * 2 * math.pi / 60 * 35 / 3 * FOOT
        sound = math.sqrt(1.4 * 287.05287 * ((84 - 32) / 1.8 + 273.15))
        mu = 72 * KNOT / tip
        assert figure(outcome, "advancing_tip_mach", "") == pytest.approx((tip + 72 * KNOT) / sound, rel=1e-5)
        air = float(by_hand(**CENTRE)["air"])
        loading = 1255 * POUND * 9.80665 / (air * 2 * 10 / 12 * FOOT * 35 / 3 * FOOT * tip**2)
        lift = 18 * loading / ((1 - mu) ** 3 * (3 + mu))
        assert figure(outcome, "retreating_lift", "") == pytest.approx(lift, rel=1e-3)
        assert any("72 kt (demo manual 2-1) comes first" in remark for remark in outcome.remarks)
        assert any("retreating blade has to reach" in said for said in outcome.first)

    def test_the_service_ceiling_leaves_a_hundred_feet_a_minute(self) -> None:
        """There, on the same day's warmth and humidity, the sheet's own climb is 100 ft/min."""
        dry = {"humidity": "0 %", "altimeter_setting": "29.92126 inHg", "gross_weight": "1,310 lb"}
        outcome = worked(**dry, elevation="0 ft", temperature="59 °F")
        ceiling = figure(outcome, "ceiling", "ft")
        celsius = 15 - 0.0065 * ceiling * FOOT
        there = worked(**dry, elevation=f"{ceiling!r} ft", temperature=f"{celsius!r} °C")
        assert figure(there, "climb", "ft/min") == pytest.approx(100, abs=1)
        # read at 3,000 ft of the same standard air the day is as warm, though the thermometer shows 5.9 K less
        celsius = 15 - 0.0065 * 3000 * FOOT
        higher = worked(**dry, elevation="3000 ft", temperature=f"{celsius!r} °C")
        assert figure(higher, "ceiling", "ft") == pytest.approx(ceiling, abs=1)


class TestUncertainty:
    def test_a_simulation_gives_the_same(self) -> None:
        """Weight, flat-plate area, rated power drawn; the air held. Climb and top speed against 4000 draws."""
        sharp = aircraft_with(drive={"efficiency": "94 %"})
        typed = dict.fromkeys(BY, "") | {"gross_weight": "1,255 ± 20 lb"}
        outcome = worked(sharp, **typed)
        random = np.random.default_rng(3)
        count, speeds = 4000, np.linspace(15, 65, 501)
        weights, plates = random.normal(1255, 10, count), random.normal(7, 0.5, count)
        rated = random.normal(138, 1.5, count)
        share = float(by_hand(**CENTRE)["power_available"]) / 138
        climbs, tops = [], []
        for weight, plate, power in zip(weights, plates, rated, strict=True):
            total, main, anti = plain_power(speeds, weight, plate)
            available = power * share * HORSEPOWER
            at = int(np.argmin(total))
            left = (available - total[at]) * 0.94 * main[at] / (main[at] + anti[at])
            climbs.append(left / (weight * POUND * 9.80665))
            tops.append(np.interp(available, total[at:], speeds[at:]))
        for key, drawn in (("climb", climbs), ("top_speed", tops)):
            ours = float(outcome.finding(key).measured.standard_uncertainty.m_as("m/s"))
            assert ours == pytest.approx(float(np.std(drawn)), rel=0.04), key

    def test_the_flat_plate_decides_the_top_speed(self) -> None:
        assert worked().finding("top_speed").measured.budget()[0].label == "flat-plate area"


class TestVerdictsAndEdges:
    def test_climb_against_its_limit(self) -> None:
        assert worked().finding("climb").verdict.word == IN_LIMITS
        assert worked(gross_weight="2,300 lb").finding("climb").verdict.word == OUT_OF_LIMITS

    def test_too_heavy_for_level_flight_at_any_speed(self) -> None:
        outcome = worked(gross_weight="3,200 lb")
        assert "they stall" in outcome.first[0]
        assert any("do not fly today" in told for told in outcome.first[1:])
        assert "is above the maximum" in " ".join(outcome.first)
        assert "top_speed" not in [found.key for found in outcome.findings]
        assert figure(outcome, "climb", "ft/min") < 0

    def test_what_may_be_comes_after_what_cannot(self) -> None:
        """A mean lift coefficient of 1.1 by plain arithmetic, T = 1.1 rho b c R V^2 / 6: there the blades may stall,
        and with 90 hp level flight cannot be flown."""
        radius, chord = 35 / 3 * FOOT, 10 / 12 * FOOT
        tips = 455 * 2 * math.pi / 60 * radius
        most = 1.1 / 6 * float(by_hand(**CENTRE)["air"]) * 2 * chord * radius * tips**2 / 9.80665
        outcome = worked(aircraft_with(engine={"rated_power": "90 hp"}), gross_weight=f"{most:.1f} kg")
        assert "do not fly today" in outcome.first[0]
        assert "they may stall" in outcome.first[1]
        assert outcome.to_do.startswith("Do not fly it like this.")
        assert "Fly slower" not in outcome.to_do

    def test_a_slow_aircraft_is_looked_at_at_the_never_exceed_speed_that_a_descent_reaches(self) -> None:
        slow = aircraft_with(airframe={"flat_plate_area": "40 ft^2"})
        outcome = worked(slow)
        at = f"{figure(outcome, 'airspeed_limit_true', 'kt'):.1f} kt true"
        assert figure(outcome, "top_speed", "kt") < 72
        assert outcome.finding("advancing_tip_mach").title.endswith(at)

    def test_an_engine_table_that_ends_below_the_ceiling(self) -> None:
        table = {"by": "density altitude", "source": "maker", "rows": [["0 ft", "138 hp"], ["6000 ft", "112 hp"]]}
        outcome = worked(aircraft_with(engine={"power_table": table}))
        assert "ceiling" not in [found.key for found in outcome.findings]
        assert any("ceiling is beyond" in remark for remark in outcome.remarks)

    def test_without_the_airframe_it_says_which_section_to_write(self) -> None:
        data = DEMO.model_dump(exclude_none=True)
        del data["airframe"]
        with pytest.raises(
            SheetError, match=r"does not give one figure .*, written as flat_plate_area in \[airframe\]"
        ):
            worked(Aircraft.model_validate(data))

    @pytest.mark.parametrize(
        ("change", "path", "told"),
        [
            ({"headwind": "20"}, "headwind", "20"),
            ({"headwind": "90 kt"}, "headwind", "must be from -60 kt to 60 kt"),
            ({"gross_weight": "ten lb"}, "gross_weight", "Cannot read"),
        ],
    )
    def test_a_wrong_reading_is_told_at_its_field(self, change: dict[str, str], path: str, told: str) -> None:
        with pytest.raises(SheetError) as refusal:
            worked(**change)
        ((where, message),) = refusal.value.problems
        assert where == path
        assert told.casefold() in message.casefold()


def test_the_chart_holds_the_figures() -> None:
    outcome = worked()
    chart = next(picture for picture in outcome.pictures if isinstance(picture, Chart))
    total = chart.curves[0]
    available = next(curve for curve in chart.curves if curve.label == "power available")
    assert np.interp(figure(outcome, "top_speed", "kt"), total.x, total.y) == pytest.approx(available.y[0], rel=2e-3)
    assert min(total.y) == pytest.approx(figure(outcome, "power_at_best_climb", "hp"), rel=2e-3)


def test_metric_display_is_metric_throughout() -> None:
    metric = aircraft_with(aircraft={"display": "metric"})
    try:
        use_display("metric")
        outcome = worked(metric)
        rows = {found.key: found.row()[1] for found in outcome.findings}
    finally:
        use_display("us")
    assert rows["climb"].endswith("m/s")
    assert rows["top_speed"].endswith(" kt")
    said = [*outcome.first, *outcome.remarks, *(found.title for found in outcome.findings)]
    said += [one for found in outcome.findings for one in (*found.row(), found.verdict.sentence)]
    assert not any("km/h" in one for one in said)
    assert rows["hover_power"].endswith("kW")
