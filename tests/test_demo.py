"""The demo aircraft and its readings: invented, consistent with itself, and showing every verdict word."""

import tomllib
from collections.abc import Iterator
from typing import Any

import pytest

from rotorkit.aircraft import demo_folder
from rotorkit.folder.checks import Folder
from rotorkit.judging.limits import WORDS
from rotorkit.quantities import assert_quantity
from rotorkit.sheets.balance.one_plane_balance import OnePlaneBalance
from rotorkit.sheets.base import Outcome, Sheet
from rotorkit.sheets.catalogue import subject_of
from tests.sheets.as_it_stands import AIRCRAFT, as_it_stands

FOLDER = Folder(demo_folder())
CHECKS = {
    "tail_rotor_angles": "too close to call",
    "main_rotor_angles": "out of limits",
    "main_rotor_first_rigging": "out of limits",
    "main_rotor_rigged": "in limits",
    "cyclic_first": "out of limits",
    "cyclic_rigged": "in limits",
    "pedal_travel": "in limits",
    "corners": "no verdict yet",
    "pedal_left_tension": "in limits",
    "pedal_right_tension": "out of limits",
    "pedal_right_rigging": "out of limits",
    "pedal_right_rigged": "in limits",
    "pedal_left_trend": "in limits",
    "collective_tube": "in limits",
    "weighed": "in limits",
    "equipment_since": "in limits",
    "speeds_counted": "in limits",
    "main_belts": "in limits",
    "tail_shaft": "in limits",
    "gearbox_coupling_first": "out of limits",
    "gearbox_coupling": "in limits",
    "drive_in_twist": "in limits",
    "jackshaft_clutch": "in limits",
    "jackshaft_joined": "in limits",
    "pump_shaft": "in limits",
    "rotor_stopped": "in limits",
    "main_belts_line": "in limits",
    "jackshaft_bearing": "in limits",
    "main_blades_alike": "too close to call",
    "gearbox_fifty_hours": "in limits",
    "placard_and_needles": "in limits",
    "rocked_on_skids": "in limits",
    "loaded_today": "in limits",
    "timing_first": "in limits",
    "fuel_flow_first": "in limits",
    "run_up_second": "in limits",
    "mixture_ground": "in limits",
    "cooling_first_hours": "in limits",
    "compression_warm": "out of limits",
    "hover_today": "too close to call",
    "hover_by_blades": "too close to call",
    "hover_cyclic": "too close to call",  # loaded furthest forward
    "pedals_today": "too close to call",
    "level_today": "too close to call",  # the retreating blade stalls about there
    "power_off": "too close to call",
    "track_first_run": "out of limits",
    "balance_once_a_turn": "in limits",
    "blades_on_the_bench": "out of limits",
    "blades_along_the_chord": "out of limits",
    "tail_rotor_on_mandrel": "out of limits",
    "fan_both_ends": "in limits",
    "two_speeds": "too close to call",
    "hover_recorded": "in limits",
}


@pytest.fixture(scope="module")
def outcomes() -> dict[str, Outcome]:
    return {check.name: as_it_stands(check.name) for check in FOLDER.checks}


def test_the_aircraft_is_consistent_with_itself() -> None:
    assert AIRCRAFT.inconsistencies() == []


def test_the_checks_and_what_they_come_to(outcomes: dict[str, Outcome]) -> None:
    assert {name: outcome.word for name, outcome in outcomes.items()} == CHECKS
    assert list(outcomes) == list(CHECKS)


def test_every_verdict_word_is_shown(outcomes: dict[str, Outcome]) -> None:
    assert {finding.verdict.word for outcome in outcomes.values() for finding in outcome.findings} == set(WORDS)


@pytest.mark.parametrize(
    ("check", "key", "figure", "word"),
    [
        # means of three less 1.3667: -1.4333, 8.5667, 29.1667
        ("tail_rotor_angles", "low_stop.A", "-2.80 deg", "in limits"),
        ("tail_rotor_angles", "neutral.B", "7.20 deg", "in limits"),
        ("tail_rotor_angles", "high_stop.B", "27.80 deg", "too close to call"),
        ("tail_rotor_angles", "travel.A", "30.27 deg", "in limits"),
        ("tail_rotor_angles", "spread.high_stop", "0.33 deg", "in limits"),
        # halves of the differences: (14.4333 + 13.1667)/2 and (14.8667 + 13.6667)/2
        ("main_rotor_angles", "high_stop.white", "13.80 deg", "in limits"),
        ("main_rotor_angles", "high_stop.yellow", "14.27 deg", "in limits"),
        ("main_rotor_angles", "spread.high_stop", "0.467 deg", "out of limits"),
        # 28 + 10 x 2.6667/6 = 32.44 and 18 + 10 x 0.8333/6 = 19.39 lbf, each plus 0.34869 x 12
        ("pedal_left_tension", "tension_today", "32.44 lbf", "no limit given"),
        ("pedal_left_tension", "tension_at_limit_temperature", "36.63 lbf", "in limits"),
        ("pedal_right_tension", "tension_at_limit_temperature", "23.57 lbf", "out of limits"),
        # (3.5333 + 2.2333)/2, (13.6333 + 12.3000)/2; (1.6667 - 0.4333)/12
        ("main_rotor_first_rigging", "low_stop.white", "2.883 deg", "out of limits"),
        ("main_rotor_first_rigging", "high_stop.yellow", "12.967 deg", "out of limits"),
        ("main_rotor_first_rigging", "effect.yellow_pitch_link.low_stop.yellow", "0.1028 deg", "no limit given"),
        # 11.43 lbf to mid-band: 2 x 11.43 x (200/111607 + 1/500)/(2/32) = 1.387; the diameter is over 3/32 in
        ("pedal_right_rigging", "turns", "1.387", "no limit given"),
        ("pedal_right_rigging", "threads.one", "3", "in limits"),
        ("pedal_right_rigging", "strength_margin", "3.444", "in limits"),
        # pi^2 x 10e6 x pi/64 (0.749^4 - 0.651^4) / 35.9^2 = 507.9 lbf; over 200 lbf less one
        ("collective_tube", "buckling_load", "507.9 lbf", "no limit given"),
        ("collective_tube", "buckling_margin", "1.540", "in limits"),
        # lines 0.48 deg apart at 4.98 deg/in
        ("pedal_travel", "friction_band", "0.48 deg", "in limits"),
        ("pedal_travel", "dead_band", "0.096 in", "in limits"),
        ("corners", "corners_tried", "14", "no verdict yet"),
    ],
)
def test_figures_worked_by_hand(outcomes: dict[str, Outcome], check: str, key: str, figure: str, word: str) -> None:
    finding = outcomes[check].finding(key)
    assert_quantity(finding.measured, figure)
    assert finding.verdict.word == word


def test_the_power_balance_is_believable(outcomes: dict[str, Outcome]) -> None:
    """Less power than rated, needed and available within a few tens of horsepower of each other, at fair tip speeds."""
    hover = outcomes["hover_today"]
    needed, available = (float(hover.finding(k).measured.value.m_as("hp")) for k in ("power_needed", "power_available"))
    rated = AIRCRAFT.engine.rated_power.m_as("hp")
    assert 0.7 * rated < needed < available < rated
    assert 0.4 < float(hover.finding("tip_mach").measured.si) < 0.65
    assert 0.06 < float(hover.finding("blade_loading").measured.si) < 0.11
    gone = hover.finding("margin_gone_at").measured.value.m_as("ft")
    assert hover.finding("density_altitude").measured.value.m_as("ft") < gone < 12000


@pytest.mark.parametrize("name", CHECKS)
def test_the_readings_are_such_as_one_takes(name: str) -> None:
    """Every reading in the credible range; as typed again after a round trip; no instrument left unnamed."""
    made: Sheet = FOLDER.check(name).made()
    assert made.doubts() == []
    assert type(made).from_readings(made.readings()).readings() == made.readings()
    for field in made.fields():
        if field.choice is not None and field.choice.of == "instruments":
            assert getattr(made, field.name) in AIRCRAFT.instruments


def test_the_builder_read_with_care(outcomes: dict[str, Outcome]) -> None:
    """Nothing in the demo's readings has to be asked about: what is wrong is the aircraft, not the reading."""
    said = [sentence for outcome in outcomes.values() for sentence in outcome.remarks]
    for question in (
        "Was the protractor",
        "Check the sign",
        "far from the other repeats",
        "friction",
        "Not measured yet",
    ):
        asked = [sentence for sentence in said if question in sentence and "This leaves out friction" not in sentence]
        assert not asked


def test_every_reading_of_the_demos_balance_has_its_uncertainty() -> None:
    made = [one.made() for one in FOLDER.checks]
    balances = [one for one in made if subject_of(type(one)) == subject_of(OnePlaneBalance)]
    assert len(balances) >= 7
    assert [one.taken_as_exact() for one in balances] == [[]] * len(balances)


def texts(table: Any) -> Iterator[tuple[str, str]]:
    for key, value in table.items() if isinstance(table, dict) else enumerate(table):
        if isinstance(value, str):
            yield str(key), value
        elif isinstance(value, (dict, list)):
            yield from texts(value)


def test_the_demo_says_that_it_is_one() -> None:
    tables = tomllib.loads((demo_folder() / "aircraft.toml").read_text(encoding="utf-8"))
    for key in ("name", "serial", "builder"):
        assert "demo" in tables["aircraft"][key].casefold()
    sources = [text for key, text in texts(tables) if key == "source"]
    assert sources
    assert all(text.startswith("demo ") for text in sources)
    assert "invented" in (demo_folder() / "aircraft.toml").read_text(encoding="utf-8").splitlines()[0]
