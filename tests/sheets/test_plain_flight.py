"""Performance sheets of a small aircraft against plain arithmetic apart from the library."""

import math
from typing import Any

import pytest

from rotorkit.quantities import Quantity
from rotorkit.rotor import LinearSection, blade_element_hover, rotor_blades
from rotorkit.sheets.base import Outcome
from rotorkit.sheets.exploring.explorations import EXPLORATIONS
from rotorkit.sheets.performance.autorotation import Autorotation
from rotorkit.sheets.performance.hover_margin import HoverMargin
from rotorkit.sheets.performance.level_flight import LevelFlight
from rotorkit.sheets.performance.power_reckoning import BY_MERIT
from tests.sheets.small import small_aircraft

G, GAS, VAPOUR_GAS = 9.80665, 287.05287, 461.523
MASS, RADIUS, CHORD, TURN, LOWEST = 560.0, 3.3, 0.16, 470 * math.pi / 30, 410 * math.pi / 30
DISK = math.pi * RADIUS**2
DAY = {
    "gross_weight": "560 kg",
    "altimeter_setting": "1013.25 hPa",
    "elevation": "1500 m",
    "temperature": "26 °C",
    "humidity": "40 %",
    "rotor_speed": "470 rpm",
    "tachometer": "tachometer",
}


def figure(outcome: Outcome, key: str) -> float:
    return float(outcome.finding(key).measured.si)


def standard(height: float) -> tuple[float, float]:
    """Temperature and pressure of the US Standard Atmosphere 1976 below 11 km."""
    warmth = 288.15 - 0.0065 * height
    return warmth, 101325 * (warmth / 288.15) ** 5.255876


def air_at(height: float, warmer: float, humidity: float = 0.40) -> tuple[float, float, float, float]:
    """Pressure, temperature, vapour pressure (Buck 1981, eq. 3), density."""
    warmth, pressure = standard(height)
    warmth += warmer
    vapour = humidity * 611.21 * math.exp(17.502 * (warmth - 273.15) / (warmth - 273.15 + 240.97))
    return pressure, warmth, vapour, (pressure - vapour) / (GAS * warmth) + vapour / (VAPOUR_GAS * warmth)


HOT = 299.15 - standard(1500)[0]
"""With the standard setting, pressure altitude is the elevation: the day is 20.75 K warmer than standard there."""


def hover_power(air: float, mass: float = MASS) -> float:
    """The main rotor's, by figure of merit."""
    return mass * G * math.sqrt(mass * G / (2 * air * DISK)) / 0.62


def needed(air: float, mass: float = MASS, turn: float = TURN) -> float:
    main = hover_power(air, mass)
    thrust = main / turn / 4.2
    return 2000 + (main + thrust * math.sqrt(thrust / (2 * air * math.pi * 0.6**2)) / 0.55) / 0.93


def moved(outcome: Outcome, key: str, origin: str) -> float:
    """The size of one origin in a figure's uncertainty, one standard uncertainty, in SI units."""
    parts = outcome.finding(key).measured.components
    return sum(float(part) for one, part in parts.items() if origin in one.label)


class TestAutorotation:
    def work(self, **change: Any) -> Outcome:
        return Autorotation.from_readings({**DAY, "airspeed": "50 kt"}).work(small_aircraft(**change))

    @pytest.mark.parametrize("twist", [-12.0, 0.0, 6.0])
    def test_coning_takes_the_blade_at_eight_tenths(self, twist: float) -> None:
        """Lock number / 8 times (angle at 0.8 R less four thirds of the inflow), the angle by the published call."""
        air = air_at(1500, HOT)
        section = LinearSection(5.73, (0.010, 0.0, 0.4), 1.2)
        blades = rotor_blades(3, "3.3 m", "16 cm", "50 cm", section, f"{twist} deg")
        hover = blade_element_hover(
            blades, "470 rpm", Quantity(air[3], "kg/m^3"), thrust=Quantity(MASS * G, "N"), temperature="26 °C"
        )
        angle = float(hover.collective.m_as("rad")) + math.radians(twist) * (0.8 - 0.75)
        inflow = math.sqrt(MASS * G / (air[3] * DISK * (TURN * RADIUS) ** 2) / 2)
        lock = air[3] * 5.73 * CHORD * RADIUS**4 / 60
        outcome = self.work(main_rotor__blade__twist=f"{twist} deg")
        assert figure(outcome, "lock_number") == pytest.approx(lock, rel=1e-4)
        assert figure(outcome, "coning") == pytest.approx(lock / 8 * (angle - 4 * inflow / 3), rel=1e-4)

    def test_energy_and_the_seconds_it_lasts(self) -> None:
        energy, power = 3 * 60 * TURN**2 / 2, hover_power(air_at(1500, HOT)[3])
        outcome = self.work()
        assert figure(outcome, "rotor_energy") == pytest.approx(energy, rel=1e-9)
        assert figure(outcome, "energy_per_power") == pytest.approx(energy / power, rel=1e-4)
        assert figure(outcome, "time_to_lowest_speed") == pytest.approx(
            2 * energy / power * (TURN / LOWEST - 1), rel=1e-4
        )

    def test_what_the_tachometer_does_to_the_seconds(self) -> None:
        """Energy rises with the square of the speed, and so does the distance to the lowest: both the same way."""
        power = hover_power(air_at(1500, HOT)[3])

        def seconds(turn: float) -> float:
            return 2 * (3 * 60 * turn**2 / 2) / power * (turn / LOWEST - 1)

        step = 2.5 * math.pi / 30
        found = self.work()
        assert moved(found, "time_to_lowest_speed", "rotor speed") == pytest.approx(
            (seconds(TURN + step) - seconds(TURN - step)) / 2, rel=0.01
        )
        assert moved(found, "energy_per_power", "rotor speed") > 0


class TestHoverMargin:
    def work(self, readings: dict[str, str] | None = None, **change: Any) -> Outcome:
        return HoverMargin.from_readings({**DAY, **(readings or {})}).work(small_aircraft(**change))

    def test_power_needed_and_what_the_tachometer_does_to_it(self) -> None:
        air = air_at(1500, HOT)[3]
        found = self.work()
        assert figure(found, "power_needed") == pytest.approx(needed(air), rel=1e-4)
        step = 2.5 * math.pi / 30
        slope = (needed(air, turn=TURN + step) - needed(air, turn=TURN - step)) / 2
        assert slope < 0
        assert moved(found, "power_needed", "rotor speed") == pytest.approx(slope, rel=0.01)
        # at the rated speed the engine gives no more when it turns faster, and less when it turns slower: half of that
        less = figure(found, "power_available") * step / TURN / 2
        assert moved(found, "power_margin", "rotor speed") == pytest.approx(less - slope, rel=0.01)
        assert moved(found, "weight_margin", "rotor speed") > 0

    @pytest.mark.parametrize("table", [False, True])
    def test_an_engine_that_turns_slower_than_rated_gives_less(self, table: bool) -> None:
        """Power in the measure of the speed (the torque held at best: common practice, no source), never above the
        rating; the same for the formula and for the builder's own table, in the climb and in the explorations."""
        rows = {"by": "pressure altitude", "source": "test", "rows": [["0 m", "110 kW"], ["5000 m", "60 kW"]]}
        change: dict[str, Any] = {"engine__power_table": rows} if table else {}
        share, exact = 414 / 470, {"tachometer": "", "humidity": "40 %"}
        rated, slow, fast = (self.work({**exact, "rotor_speed": f"{turns} rpm"}, **change) for turns in (470, 414, 500))
        full = figure(rated, "power_available")
        if table:
            assert full == pytest.approx(110e3 - 0.3 * 50e3, rel=1e-4)
        assert figure(slow, "power_available") == pytest.approx(full * share, rel=1e-6)
        turn, air = 414 * math.pi / 30, air_at(1500, HOT)[3]
        assert figure(slow, "power_margin") == pytest.approx(full * share - needed(air, turn=turn), rel=1e-3)
        assert figure(slow, "margin_gone_at") < figure(rated, "margin_gone_at")
        assert "88.1 % of its rated speed" in " ".join(slow.first)
        assert "estimate" in next(said for said in slow.first if "88.1 %" in said)
        assert figure(fast, "power_available") == pytest.approx(full, rel=1e-9)
        assert "no more than the engine's rated power" in " ".join(fast.first)
        assert not any("rated" in said for said in rated.first)
        flown = LevelFlight.from_readings({**DAY, **exact, "rotor_speed": "414 rpm"}).work(small_aircraft(**change))
        assert figure(flown, "power_available") == pytest.approx(full * share, rel=1e-6)
        assert "88.1 % of its rated speed" in " ".join(flown.first)
        at = {"gross_weight": MASS, "temperature": 299.15, "height": 1500.0, "humidity": 0.4, "rotor_speed": turn}
        (_, seen) = EXPLORATIONS["margin_map"].see(small_aircraft(**change), at, BY_MERIT).lines
        assert "88.1 %" in seen

    @pytest.mark.parametrize(("elevation", "celsius"), [(1500.0, 26.0), (300.0, 30.0)])
    def test_where_the_margin_is_gone_by_the_days_own_air(self, elevation: float, celsius: float) -> None:
        """Going up in air as much warmer than standard as today's; SAE J1349 with 12 K of intake heat, 95 % rating."""
        warmer = celsius + 273.15 - standard(elevation)[0]

        def factor(dry: float, warmth: float) -> float:
            return 1.18 * (99000 / dry) * math.sqrt((warmth - 0.15) / 298) - 0.18

        def left(height: float) -> float:
            pressure, warmth, vapour, air = air_at(height, warmer)
            full = 110_000 * factor(101325, 288.15) / factor(pressure - vapour, warmth + 12)
            return min(full, 0.95 * 110_000) - needed(air)

        low, high = 0.0, 9000.0
        for _ in range(60):
            middle = (low + high) / 2
            low, high = (middle, high) if left(middle) > 0 else (low, middle)
        density = air_at(low, warmer)[3]
        wanted = 288.15 / 0.0065 * (1 - (density / 1.225) ** (1 / 4.255876))
        found = self.work(
            {"elevation": f"{elevation} m", "temperature": f"{celsius} °C"},
            engine__method="SAE J1349",
            engine__intake_rise="12 K",
            engine__derated_to="95 %",
        )
        assert figure(found, "margin_gone_at") == pytest.approx(wanted, abs=3)

    def test_three_measured_hovers_scatter_with_student_s_factor(self) -> None:
        """Ratios 0.96, 1.00 and 1.07; k for 2 degrees of freedom is 4.53 at 95.45 % (JCGM 100:2008, Table G.2), so that
        the standard uncertainty of the mean, s / sqrt(3), is widened by 4.53 / 2."""
        ratios = (0.96, 1.00, 1.07)
        air = air_at(1000, 0.0, 0.0)[3]
        hovers = []
        for i, ratio in enumerate(ratios):
            main = ratio * hover_power(air)
            thrust = main / TURN / 4.2
            tail = thrust * math.sqrt(thrust / (2 * air * math.pi * 0.6**2)) / 0.55
            power = 2000 + (main + tail) / 0.93
            hovers.append({
                "title": f"hover {i}", "gross_weight": "560 kg", "pressure_altitude": "1000 m",
                "temperature": f"{standard(1000)[0] - 273.15} °C", "rotor_speed": "470 rpm", "power": f"{power} W",
            })  # fmt: skip
        found = self.work({"calibration": "by the measured hovers"}, measured_hovers=hovers)
        mean = sum(ratios) / 3
        scatter = math.sqrt(sum((ratio - mean) ** 2 for ratio in ratios) / 2 / 3)
        today = air_at(1500, HOT)[3]

        def whole(correction: float) -> float:
            main = correction * hover_power(today)
            thrust = main / TURN / 4.2
            return 2000 + (main + thrust * math.sqrt(thrust / (2 * today * math.pi * 0.6**2)) / 0.55) / 0.93

        widened = scatter * 4.53 / 2
        assert figure(found, "power_needed") == pytest.approx(whole(mean), rel=1e-3)
        assert moved(found, "power_needed", "scatter of the measured hovers") == pytest.approx(
            (whole(mean + widened) - whole(mean - widened)) / 2, rel=0.005
        )
