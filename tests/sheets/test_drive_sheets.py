"""The sheets of the drive, by plain arithmetic apart from the library."""

import math
from typing import Any

import pytest

from rotorkit.aircraft import Aircraft
from rotorkit.judging.limits import IN_LIMITS, NO_LIMIT, OUT_OF_LIMITS, TOO_CLOSE, UNDONE
from rotorkit.sheets.base import Outcome, SheetError
from rotorkit.sheets.catalogue import sheet_type
from tests.sheets.small import small_aircraft

RATIOS = {
    "engine_ratio": {"low": "5.45", "high": "5.55", "source": "test"},
    "tail_ratio": {"low": "5.9", "high": "6.1", "source": "test"},
    "tachometer_error": {"low": "-5 rpm", "high": "5 rpm", "source": "test"},
    "slip": {"low": "-1 %", "high": "2 %", "source": "test"},
}
BELT = {
    "title": "belt",
    "driver_diameter": "200 mm",
    "driven_diameter": "300 mm",
    "centre_distance": "600 mm",
    "linear_density": "0.2 kg/m",
    "groove_angle": "40 deg",
    "friction_coefficient": "0.3",
    "driver_speed": "2600 rpm",
    "greatest_power": "60 kW",
    "belts": 2,
    "limits": {
        "tension": {"low": "900 N", "high": "1100 N", "source": "test"},
        "slip_margin": {"low": "0", "source": "test"},
    },
}
SHAFT = {
    "title": "shaft",
    "outer_diameter": "40 mm",
    "wall": "2 mm",
    "length": "2 m",
    "elastic_modulus": "70 GPa",
    "density": "2700 kg/m^3",
    "hanger_stiffness": "1e8 N/m",
    "greatest_speed": "1200 rpm",
    "hangers": ["a", "b"],
    "limits": {"critical_margin": {"low": "0.2", "source": "test"}},
}
SPEEDS = {
    "engine_turns": "55 ± 0.05 turns",
    "rotor_turns_engine": "10 ± 0.01 turns",
    "tail_turns": "60 ± 0.05 turns",
    "rotor_turns_tail": "10 ± 0.01 turns",
    "rotor_indicated": "472 ± 1 rpm",
    "rotor_optical": "470 ± 1 rpm",
    "engine_optical": "2600 ± 2 rpm",
}


def worked(sheet: str, readings: dict[str, Any], aircraft: Aircraft | None = None) -> Outcome:
    craft = aircraft or small_aircraft(limits={"shaft_speeds": RATIOS}, belts={"one": BELT}, shafts={"one": SHAFT})
    return sheet_type(sheet).from_readings(readings).work(craft)


def figure(outcome: Outcome, key: str) -> tuple[float, float]:
    found = outcome.finding(key).measured
    return float(found.si), float(found.expanded_si)


class TestShaftSpeeds:
    def test_figures_by_hand(self) -> None:
        outcome = worked("shaft_speeds", SPEEDS)
        value, spread = figure(outcome, "engine_ratio")
        assert value == pytest.approx(5.5)
        assert spread == pytest.approx(5.5 * math.hypot(0.05 / 55, 0.01 / 10))
        value, spread = figure(outcome, "slip")
        assert value == pytest.approx(1 - 470 * 5.5 / 2600)
        assert spread == pytest.approx(
            470 * 5.5 / 2600 * math.sqrt((1 / 470) ** 2 + (2 / 2600) ** 2 + (0.05 / 55) ** 2 + (0.01 / 10) ** 2),
            rel=1e-6,
        )
        value, spread = figure(outcome, "tachometer_error")
        assert (value * 30 / math.pi, spread * 30 / math.pi) == pytest.approx((2, math.hypot(1, 1)))
        assert outcome.word == IN_LIMITS

    @pytest.mark.parametrize(
        ("shown", "word"),
        [
            ("477.5 ± 1 rpm", OUT_OF_LIMITS),
            ("475.5 ± 1 rpm", TOO_CLOSE),
            ("470.0 ± 1 rpm", IN_LIMITS),
            ("464.5 ± 1 rpm", TOO_CLOSE),
            ("462.5 ± 1 rpm", OUT_OF_LIMITS),
        ],
    )
    def test_the_tachometer_on_both_sides(self, shown: str, word: str) -> None:
        outcome = worked("shaft_speeds", {**SPEEDS, "rotor_indicated": shown})
        assert outcome.finding("tachometer_error").verdict.word == word
        said = " ".join(outcome.remarks)
        assert ("too much: the rotor turns slower" in said) == (float(shown.split()[0]) > 471.5)

    @pytest.mark.parametrize(
        ("engine", "word"),
        [
            ("2650 ± 2 rpm", OUT_OF_LIMITS),
            ("2636 ± 2 rpm", TOO_CLOSE),
            ("2600 ± 2 rpm", IN_LIMITS),
            ("2540 ± 2 rpm", OUT_OF_LIMITS),
        ],
    )
    def test_slip_on_both_sides(self, engine: str, word: str) -> None:
        outcome = worked("shaft_speeds", {**SPEEDS, "engine_optical": engine})
        assert outcome.finding("slip").verdict.word == word
        assert any("cannot turn faster" in said for said in outcome.lead) == engine.startswith("2540")

    @pytest.mark.parametrize(("engine", "word"), [("2540 ± 2 rpm", OUT_OF_LIMITS), ("2583 ± 2 rpm", NO_LIMIT)])
    def test_a_rotor_faster_than_its_drive_is_out_of_limits_whatever_the_limit(self, engine: str, word: str) -> None:
        # 470 x 5.5 = 2,585 rpm: the slip is -1.8 %, or nought within what is known
        for slip in ({}, {"slip": {"low": "-5 %", "high": "5 %", "source": "test"}}):
            outcome = worked(
                "shaft_speeds", {**SPEEDS, "engine_optical": engine}, small_aircraft(limits={"shaft_speeds": slip})
            )
            wanted = IN_LIMITS if slip and word == NO_LIMIT else word
            assert outcome.finding("slip").verdict.word == wanted

    def test_parts_and_the_file_s_ratio(self) -> None:
        half = {name: SPEEDS[name] for name in ("engine_turns", "rotor_turns_engine")}
        outcome = worked("shaft_speeds", half)
        assert outcome.word == UNDONE
        assert len(outcome.missing) == 3
        odd = worked("shaft_speeds", {**SPEEDS, "engine_turns": "57 ± 0.05 turns"})
        assert odd.finding("engine_ratio").verdict.word == OUT_OF_LIMITS
        assert any("5.5 in the aircraft file" in said for said in odd.remarks)
        assert not any("in the aircraft file" in said for said in worked("shaft_speeds", SPEEDS).remarks)
        assert worked("shaft_speeds", SPEEDS, small_aircraft()).word == NO_LIMIT

    @pytest.mark.parametrize(
        ("readings", "path"),
        [
            ({}, "engine_turns"),
            ({"engine_turns": "55 turns"}, "rotor_turns_engine"),
            ({"rotor_turns_tail": "10 turns"}, "tail_turns"),
            ({"rotor_indicated": "470 rpm"}, "rotor_optical"),
            ({**SPEEDS, "engine_turns": "55"}, "engine_turns"),
        ],
    )
    def test_faults_at_their_fields(self, readings: dict[str, Any], path: str) -> None:
        with pytest.raises(SheetError) as refusal:
            worked("shaft_speeds", readings)
        assert path in dict(refusal.value.problems)


def by_sound(*hertz: str) -> dict[str, Any]:
    return {"belt": "one", "runs": [{"number": str(k + 1), "frequency": one} for k, one in enumerate(hertz)]}


class TestBeltTension:
    SPAN = math.sqrt(0.6**2 - 0.05**2)

    def hertz(self, newtons: float) -> float:
        return math.sqrt(newtons / 0.2) / 2 / self.SPAN

    @pytest.mark.parametrize(
        ("newtons", "word"),
        [(860, OUT_OF_LIMITS), (905, TOO_CLOSE), (1000, IN_LIMITS), (1095, TOO_CLOSE), (1150, OUT_OF_LIMITS)],
    )
    def test_tension_by_sound_on_both_sides(self, newtons: float, word: str) -> None:
        hertz = self.hertz(newtons)
        outcome = worked("belt_tension", by_sound(f"{hertz:.6f} ± 0.4 Hz", f"{self.hertz(1000):.6f} ± 0.4 Hz"))
        value, spread = figure(outcome, "tension.1")
        assert value == pytest.approx(newtons, rel=1e-6)
        assert spread == pytest.approx(newtons * 2 * 0.4 / hertz, rel=1e-4)
        assert outcome.finding("tension.1").verdict.word == word

    def test_by_force_gauge_and_the_slip_margin(self) -> None:
        runs = [
            {"number": "1", "force": "62 ± 1 N", "deflection": "9.3 ± 0.2 mm"},
            {"number": "2", "force": "63 ± 1 N", "deflection": "9.3 ± 0.2 mm"},
        ]
        outcome = worked("belt_tension", {"belt": "one", "runs": runs})
        tension = 62 * self.SPAN / 4 / 0.0093
        assert figure(outcome, "tension.1")[0] == pytest.approx(tension, rel=1e-6)
        speed = 2600 * math.pi / 30 * 0.1
        k = math.exp(0.3 * (math.pi - 2 * math.asin(0.1 / 1.2)) / math.sin(math.radians(20)))
        power = 2 * (tension - 0.2 * speed**2) * (k - 1) / (k + 1) * speed
        assert figure(outcome, "slip_margin")[0] == pytest.approx(power / 30000 - 1, rel=1e-6)

    @pytest.mark.parametrize("pulley", ["driver_diameter", "driven_diameter"])
    def test_a_pulley_counts_once_in_the_margin_s_uncertainty(self, pulley: str) -> None:
        def margin(driver_diameter: float = 0.2, driven_diameter: float = 0.3) -> float:
            apart = driven_diameter - driver_diameter
            tension = 4 * 0.2 * (0.6**2 - apart**2 / 4) * self.hertz(1000) ** 2
            speed = 2600 * math.pi / 30 * driver_diameter / 2
            k = math.exp(0.3 * (math.pi - 2 * math.asin(apart / 1.2)) / math.sin(math.radians(20)))
            return 2 * (tension - 0.2 * speed**2) * (k - 1) / (k + 1) * speed / 30000 - 1

        size = {"driver_diameter": 0.2, "driven_diameter": 0.3}[pulley]
        aircraft = small_aircraft(belts={"one": {**BELT, pulley: f"{size * 1000} ± 4 mm"}})
        hertz = f"{self.hertz(1000):.9f} Hz"
        value, spread = figure(worked("belt_tension", by_sound(hertz, hertz), aircraft), "slip_margin")
        assert value == pytest.approx(margin(), rel=1e-6)
        assert spread == pytest.approx(
            abs(margin(**{pulley: size + 0.002}) - margin(**{pulley: size - 0.002})), rel=1e-3
        )

    @pytest.mark.parametrize(("pressed", "asked"), [(18.0, False), (19.5, True)])
    def test_a_run_pressed_far_aside_is_asked_about(self, pressed: float, asked: bool) -> None:
        # a sixty-fourth of the span is 9.34 mm, twice that 18.68 mm
        row = {"force": "62 ± 1 N", "deflection": f"{pressed} ± 0.2 mm"}
        runs = [{"number": "1", **row}, {"number": "2", "force": "62 ± 1 N", "deflection": "9.3 ± 0.2 mm"}]
        said = [one for one in worked("belt_tension", {"belt": "one", "runs": runs}).lead if "slacker" in one]
        assert len(said) == asked
        assert all("belt 1" in one.lower() for one in said)

    @pytest.mark.parametrize(("kilowatts", "word"), [(90.0, OUT_OF_LIMITS), (80.0, TOO_CLOSE), (60.0, IN_LIMITS)])
    def test_a_belt_that_slips_is_out_of_limits_without_any_limit(self, kilowatts: float, word: str) -> None:
        belt = {**BELT, "greatest_power": f"{kilowatts} kW", "limits": {}}
        aircraft = small_aircraft(belts={"one": belt})
        hertz = f"{self.hertz(1000):.6f} ± 0.4 Hz"
        outcome = worked("belt_tension", by_sound(hertz, hertz), aircraft)
        found = outcome.finding("slip_margin")
        speed = 2600 * math.pi / 30 * 0.1
        k = math.exp(0.3 * (math.pi - 2 * math.asin(0.1 / 1.2)) / math.sin(math.radians(20)))
        power = 2 * (1000 - 0.2 * speed**2) * (k - 1) / (k + 1) * speed
        assert float(found.measured.si) == pytest.approx(power / (kilowatts * 500) - 1, rel=1e-5, abs=1e-6)
        assert found.verdict.word == (NO_LIMIT if word == IN_LIMITS else word), power
        assert bool(outcome.lead) == (word == OUT_OF_LIMITS)

    def test_a_belt_not_heard_is_no_verdict(self) -> None:
        outcome = worked("belt_tension", by_sound(f"{self.hertz(1000):.6f} ± 0.4 Hz"))
        assert outcome.word == UNDONE
        assert outcome.missing == ["belt 2"]

    @pytest.mark.parametrize(
        ("runs", "path"),
        [
            ([], "runs"),
            ([{"number": "3", "frequency": "50 Hz"}], "runs.0.number"),
            ([{"number": "1", "frequency": "50 Hz"}, {"number": "1", "frequency": "50 Hz"}], "runs.1.number"),
            ([{"number": "1", "force": "60 N"}], "runs.0.deflection"),
            ([{"number": "1", "frequency": "50 Hz", "force": "60 N"}], "runs.0.frequency"),
        ],
    )
    def test_faults_at_their_fields(self, runs: list[dict[str, str]], path: str) -> None:
        with pytest.raises(SheetError) as refusal:
            worked("belt_tension", {"belt": "one", "runs": runs})
        assert path in dict(refusal.value.problems)


def hung(*places: str) -> dict[str, Any]:
    return {"shaft": "one", "hangers": [{"hanger": name, "place": at} for name, at in zip("abc", places, strict=False)]}


class TestShaftWhirl:
    @staticmethod
    def pinned(span: float) -> float:
        """rad/s of a thin tube between two pins: 40 x 2 mm, 70 GPa, 2700 kg/m3."""
        second, area = math.pi / 64 * (0.04**4 - 0.036**4), math.pi / 4 * (0.04**2 - 0.036**2)
        return (math.pi / span) ** 2 * math.sqrt(70e9 * second / (2700 * area))

    def test_two_stiff_pins_at_the_ends_are_a_closed_form(self) -> None:
        outcome = worked("shaft_whirl", hung("0 ± 1 mm", "2000 ± 1 mm"))
        value, spread = figure(outcome, "critical_speed")
        # shear takes 0.1 %; rotary inertia and gyroscopic effect less
        assert value == pytest.approx(self.pinned(2.0), rel=2e-3)
        assert spread > 0
        assert figure(outcome, "longest_span")[0] == pytest.approx(self.pinned(2.0), rel=1e-9)
        assert figure(outcome, "critical_margin")[0] == pytest.approx(value / (1200 * math.pi / 30) - 1)

    @pytest.mark.parametrize(
        ("rpm", "word"), [(1200, IN_LIMITS), (1345, TOO_CLOSE), (1450, OUT_OF_LIMITS), (1800, OUT_OF_LIMITS)]
    )
    def test_the_margin_on_both_sides(self, rpm: float, word: str) -> None:
        shaft = {**SHAFT, "greatest_speed": f"{rpm} rpm", "elastic_modulus": "70 ± 1 GPa"}
        outcome = worked("shaft_whirl", hung("0 ± 5 mm", "2000 ± 5 mm"), small_aircraft(shafts={"one": shaft}))
        assert figure(outcome, "critical_margin")[0] == pytest.approx(
            self.pinned(2.0) * 30 / math.pi / rpm - 1, abs=4e-3
        )
        assert outcome.finding("critical_margin").verdict.word == word
        assert bool(outcome.warned) == (rpm == 1800)

    @pytest.mark.parametrize(("rpm", "told"), [(700, False), (1000, True), (1200, True)])
    def test_a_joint_s_pushes_are_told_where_they_meet_it_within_the_speeds(self, rpm: float, told: bool) -> None:
        """Critical at 1,614 rpm between pins: half of that is within speeds up to 1,000, not up to 700."""
        assert self.pinned(2.0) * 30 / math.pi / 2 == pytest.approx(807, abs=1)
        shaft = {**SHAFT, "greatest_speed": f"{rpm} rpm"}
        outcome = worked("shaft_whirl", hung("0 ± 1 mm", "2000 ± 1 mm"), small_aircraft(shafts={"one": shaft}))
        assert any("twice a turn: at" in one for one in outcome.remarks) == told

    def test_below_nought_is_out_of_limits_without_any_limit(self) -> None:
        shaft = {**SHAFT, "greatest_speed": "2100 rpm", "limits": {}}
        outcome = worked("shaft_whirl", hung("0 ± 5 mm", "2000 ± 5 mm"), small_aircraft(shafts={"one": shaft}))
        assert outcome.word == OUT_OF_LIMITS

    def test_closer_hangers_raise_it_and_soft_ones_lower_it(self) -> None:
        three = {**SHAFT, "hangers": ["a", "b", "c"]}

        def critical(middle: str, stiffness: str = "1e8 N/m") -> float:
            craft = small_aircraft(shafts={"one": {**three, "hanger_stiffness": stiffness}})
            places = hung("0 ± 1 mm", f"{middle} ± 1 mm", "2000 ± 1 mm")
            return figure(worked("shaft_whirl", places, craft), "critical_speed")[0]

        assert critical("1000") == pytest.approx(self.pinned(1.0), rel=5e-3)
        assert self.pinned(1.3) < critical("1300") < critical("1000")
        assert critical("1000", "1e5 N/m") < critical("1000")

    @staticmethod
    def with_a_mass_in_the_middle(kilograms: float) -> float:
        """rad/s: least z above nought of tan z - tanh z = 2 m L / (M z), z = b L / 2, by halving; by hand from the
        bent half with no slope in the middle and half of the mass's pull there."""
        second, area = math.pi / 64 * (0.04**4 - 0.036**4), math.pi / 4 * (0.04**2 - 0.036**2)
        tube = 2700 * area * 2.0
        low, high = 1e-3, math.pi / 2 - 1e-9
        for _ in range(80):
            z = (low + high) / 2
            low, high = (z, high) if math.tan(z) - math.tanh(z) < 2 * tube / (kilograms * z) else (low, z)
        return low**2 * math.sqrt(70e9 * second / (2700 * area))

    def test_a_coupling_in_the_middle_is_a_closed_form(self) -> None:
        readings = hung("0 ± 1 mm", "2000 ± 1 mm")
        for kilograms, word in (
            (0.1, IN_LIMITS),
            (0.165, TOO_CLOSE),
            (0.2, OUT_OF_LIMITS),
            (0.4, OUT_OF_LIMITS),
            (1.5, OUT_OF_LIMITS),
        ):
            row = {"what": "coupling", "mass": f"{kilograms} ± 0.01 kg", "place": "1000 ± 5 mm"}
            outcome = worked("shaft_whirl", {**readings, "masses": [row]})
            value, spread = figure(outcome, "critical_speed")
            by_hand = self.with_a_mass_in_the_middle(kilograms)
            assert value == pytest.approx(by_hand, rel=2e-3)
            change = self.with_a_mass_in_the_middle(kilograms - 0.01) - self.with_a_mass_in_the_middle(kilograms + 0.01)
            assert spread > 0.98 * change / 2
            margin = by_hand * 30 / math.pi / 1200 - 1
            assert (margin > 0.2) == (word == IN_LIMITS) or word == TOO_CLOSE, margin
            assert outcome.finding("critical_margin").verdict.word == word, (kilograms, margin)
            assert any("whirls within its own speed range" in one for one in outcome.lead) == (margin < -0.01)
            assert not any("as bare" in one for one in (*outcome.lead, *outcome.remarks))
            assert [one.startswith("This is an estimate: a straight") for one in outcome.unsure] == [True]

    def test_a_bare_tube_is_said_to_be_taken_as_bare(self) -> None:
        readings = hung("0 ± 1 mm", "2000 ± 1 mm")
        bare = worked("shaft_whirl", readings)
        assert bare.word == IN_LIMITS
        assert "on the unsafe side" in bare.first[0], bare.first
        assert "taken as bare" in bare.first[0]
        # what sits on a stiff hanger does not swing
        masses = [{"what": "yoke", "mass": "1 ± 0.01 kg", "place": at} for at in ("0 ± 1 mm", "2000 ± 1 mm")]
        loaded = worked("shaft_whirl", {**readings, "masses": [*masses, {"what": "", "mass": "", "place": ""}]})
        assert figure(loaded, "critical_speed")[0] == pytest.approx(figure(bare, "critical_speed")[0], rel=1e-3)
        dots = [dots for picture in loaded.pictures for dots in getattr(picture, "dots", ())]
        assert [len(one.x) for one in dots] == [2, 2]

    @pytest.mark.parametrize(
        ("row", "path"),
        [
            ({"what": "coupling", "mass": "1 kg"}, "masses.0.place"),
            ({"what": "coupling", "place": "1 m"}, "masses.0.mass"),
            ({"what": "coupling"}, "masses.0.mass"),
            ({"mass": "1 kg", "place": "2.1 m"}, "masses.0.place"),
            ({"mass": "-1 kg", "place": "1 m"}, "masses.0.mass"),
            ({"mass": "0 kg", "place": "1 m"}, "masses.0.mass"),
        ],
    )
    def test_faults_of_a_mass_at_their_fields(self, row: dict[str, str], path: str) -> None:
        with pytest.raises(SheetError) as refusal:
            worked("shaft_whirl", {**hung("0 ± 1 mm", "2000 ± 1 mm"), "masses": [row]})
        assert path in dict(refusal.value.problems)

    def test_a_hanger_not_measured_is_no_verdict(self) -> None:
        outcome = worked("shaft_whirl", hung("0 ± 1 mm"))
        assert outcome.word == UNDONE
        assert "place of hanger b" in outcome.missing

    @pytest.mark.parametrize(
        ("hangers", "path"),
        [
            ([], "hangers"),
            ([{"hanger": "x", "place": "1 m"}], "hangers.0.hanger"),
            ([{"hanger": "a", "place": "3 m"}], "hangers.0.place"),
            ([{"hanger": "a", "place": "1 m"}, {"hanger": "b", "place": "1 m"}], "hangers.1.place"),
        ],
    )
    def test_faults_at_their_fields(self, hangers: list[dict[str, str]], path: str) -> None:
        with pytest.raises(SheetError) as refusal:
            worked("shaft_whirl", {"shaft": "one", "hangers": hangers})
        assert path in dict(refusal.value.problems)
