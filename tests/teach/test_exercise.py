"""Exercises: every answer by a route of its own, 200 seeds each; marking in stages; nothing gives the answer away."""

import math
import re
from collections.abc import Callable

import pytest

from rotorkit.quantities import QuantityError
from rotorkit.sheets.base import SheetError
from rotorkit.sheets.catalogue import sheets_in_order
from rotorkit.teach.exercise import STAGES, Attempt, Posed, exercises, of_sheet, posed

G = 32.174048556  # ft/s2, the standard acceleration 9.80665 m/s2
KNOT = 6076.11549 / 3600  # ft/s: 1852 m in feet


def rate(rpm: float) -> float:
    return rpm * math.pi / 30


BY_HAND: dict[str, Callable[..., float]] = {
    "blade_angles.less_the_reference": lambda reading, reference, **_: reading - reference,
    "blade_angles.what_to_show": lambda result, reference, **_: result + reference,
    "blade_angles.half_a_turn": lambda first, second, **_: first / 2 - second / 2,
    "pitch_rigging.link_for_an_angle": lambda result, arm: arm * math.sin(math.radians(result)),
    "pitch_rigging.turns_of_the_link": lambda length_change, length_per_turn: length_change / length_per_turn,
    "cyclic_range.half_the_difference": lambda here, opposite: here - (here + opposite) / 2,
    "control_travel.from_stop_to_stop": lambda at_one_stop, at_other_stop: abs(at_one_stop) + at_other_stop,
    "cable_tension.carried": lambda tension, slope, measured_at, wanted_at: tension + slope * (wanted_at - measured_at),
    "cable_tension.cold_morning": lambda tension, slope, measured_at, wanted_at: (
        tension - slope * (measured_at - wanted_at)
    ),
    "cable_tension.between_two_rows": lambda reading, reading_below, reading_above, tension_below, tension_above: (
        (tension_below * (reading_above - reading) + tension_above * (reading - reading_below))
        / (reading_above - reading_below)
    ),
    "cable_tension.by_the_table": lambda dial: 28 + (dial - 25) / 6 * 10,
    "cable_rigging.turns_of_a_barrel": lambda result, pitch_one, pitch_other: result / (pitch_one + pitch_other),
    "tension_trend.change_for_a_degree": lambda tension, result, measured_at, wanted_at: (
        (result - tension) / (wanted_at - measured_at)
    ),
    "push_pull_tubes.area_of_a_tube": lambda outer_diameter, wall: (
        math.pi / 4 * (outer_diameter**2 - (outer_diameter - 2 * wall) ** 2)
    ),
    "push_pull_tubes.margin": lambda strength, load: (strength - load) / load,
    "weigh_in.net": lambda reading, tare: reading - tare,
    "weigh_in.centre": lambda moment, mass: moment / mass,
    "cyclic_in_hover.nose_down": lambda offset, height: math.degrees(math.atan(offset / height)),
    "cyclic_in_hover.left": lambda range_this_way, needed, range_other_way: (
        100 * (range_this_way - needed) / (range_this_way + range_other_way)
    ),
    "loading.somebody_aboard": lambda mass, arm, change, change_arm: (
        arm + (change_arm - arm) * change / (mass + change)
    ),
    "equipment_ledger.taken_out": lambda mass, arm, change, change_arm: (
        arm + (change_arm - arm) * change / (mass + change)
    ),
    "shaft_speeds.by_turns": lambda turns, turns_of_other: turns / turns_of_other,
    "shaft_speeds.behind_a_pulley": lambda driver_speed, driver_diameter, driven_diameter, **_: (
        0.99 * driver_speed * driver_diameter / driven_diameter
    ),
    "belt_tension.by_its_sound": lambda frequency, linear_density, span: (
        (2 * span / 12 * frequency) ** 2 * linear_density / G
    ),
    "belt_tension.by_a_pull": lambda force, deflection, span: force / 2 / (deflection / (span / 2)),
    "shaft_whirl.margin": lambda critical_speed, greatest_speed: (critical_speed - greatest_speed) / greatest_speed,
    "compression.loss": lambda reading, supply: 100 - 100 * reading / supply,
    "ignition_timing.arc_for_an_angle": lambda radius, angle: 2 * math.pi * radius * angle / 360,
    "ignition_timing.angle_of_a_mark": lambda radius, result: 360 * result / (2 * math.pi * radius),
    "hover_margin.tip_speed": lambda rotor_speed, rotor_radius: rotor_speed / 60 * 2 * math.pi * rotor_radius,
    "hover_margin.radius_for_a_tip_speed": lambda rotor_speed, result: result / rate(rotor_speed),
    "hover_margin.disk_area": lambda rotor_radius: math.pi / 4 * (2 * rotor_radius) ** 2,
    "hover_margin.downwash": lambda thrust, density, disk_area: math.sqrt(thrust / disk_area / 2 / density),
    "anti_torque_margin.torque": lambda power, rotor_speed: 33000 * power / (2 * math.pi * rotor_speed),
    "anti_torque_margin.thrust": lambda torque, tail_arm: torque / tail_arm,
    "level_flight.drag_power": lambda density, airspeed, flat_plate_area: (
        density / 2 * flat_plate_area * (airspeed * KNOT) ** 3 / 550
    ),
    "level_flight.tip_mach": lambda tip_speed, airspeed, speed_of_sound: (tip_speed + airspeed * KNOT) / speed_of_sound,
    "autorotation.glide": lambda airspeed, descent_rate: airspeed * KNOT * 60 / descent_rate,
    "autorotation.energy": lambda rotor_inertia, rotor_speed: rotor_inertia * rate(rotor_speed) ** 2 / 2,
    "rotor_track.flapping": lambda height_difference, radius: math.degrees(math.atan2(height_difference, radius * 12)),
    "one_plane_balance.permissible": lambda grade, mass, speed: grade / 25.4 / rate(speed) * mass * 16,
    "bearing_life.hours": lambda capacity, load, speed, exponent: 1e6 * (capacity / load) ** exponent / (speed * 60),
    "cooling.hottest_day": lambda reading, ambient, hottest, **_: hottest + (reading - ambient),
    "ground_resonance.stiffness": lambda force, deflection: force / deflection,
    # the damped swing's envelope, exp(-zeta w t), over swings of 2 pi / (w sqrt(1 - zeta^2)) each
    "ground_resonance.damping": lambda first, last, swings: math.sin(
        math.atan(math.log(first / last) / (2 * math.pi * swings))
    ),
    "one_way_clutch.press": lambda torque, rollers, race_radius, wedge_angle: (
        torque
        * 12
        / rollers
        / race_radius
        * math.cos(math.radians(wedge_angle / 2))
        / math.sin(math.radians(wedge_angle / 2))
    ),
    "shaft_connections.key": lambda torque, shaft_diameter, width, length: (
        12 * torque / (shaft_diameter / 2) / (width * length)
    ),
    "universal_joints.uneven": lambda joint_angle: (
        100 * math.sin(math.radians(joint_angle)) * math.tan(math.radians(joint_angle))
    ),
    "rotor_brake.rise": lambda energy, mass, specific_heat: 1000 * energy / mass / specific_heat,
    "blade_modes.stiffened": lambda rest_frequency, rotor_speed, plain_coefficient, **_: math.hypot(
        rest_frequency, math.sqrt(plain_coefficient) * rotor_speed
    ),
    "belt_line.lean": lambda gap, opposite_gap, across: math.degrees(math.atan2(opposite_gap - gap, across)),
    "rotor_speeds.split": lambda rotor_speed, engine_speed, engine_per_rotor: (
        (rotor_speed * engine_per_rotor - engine_speed) / engine_per_rotor
    ),
    "torsional_modes.firing": lambda speed, cylinders, strokes: speed / 60 * cylinders / (strokes / 2),
    "torsional_modes.referred": lambda inertia, ratio: inertia * ratio * ratio,
    "coupling_alignment.offset": lambda first, opposite, **_: (first - opposite) / 2,
    "fuel_flow.by_the_can": lambda volume, time: volume / (time / 3600),
    "two_plane_balance.share_of_a_plane": lambda total, own_distance, other_distance: (
        total - total * own_distance / (own_distance + other_distance)
    ),
    "chord_balance.centre_along_the_chord": lambda root, root_place, nose, nose_place, tail, tail_place: (
        root_place + (nose * (nose_place - root_place) + tail * (tail_place - root_place)) / (root + nose + tail)
    ),
    "mandrel_balance.along_a_place": lambda here, opposite, radius: opposite * radius / 2 - here * radius / 2,
    "static_balance.span_moment": lambda inner, inner_station, outer, outer_station: (
        inner * inner_station + outer * outer_station
    ),
    # the link as the long side of the triangle
    "control_corners.lean_of_a_link": lambda offset, distance: math.degrees(
        math.asin(offset / math.hypot(offset, distance))
    ),
    "gearbox_oil.on_a_hot_day": lambda reading, ambient, hottest, **_: reading - ambient + hottest,
    "run_up.drop": lambda **speeds: speeds["alone.0.both"] - speeds["alone.0.alone"],
    "run_up.between": lambda **speeds: (
        (speeds["alone.1.both"] - speeds["alone.0.both"]) + (speeds["alone.0.alone"] - speeds["alone.1.alone"])
    ),
    "mixture.consumption": lambda mass_flow, power: mass_flow / power,
    # areas of the two holes
    "mixture.another_jet": lambda diameter, flow_ratio, **_: (
        2 * math.sqrt(math.pi * diameter**2 / 4 * flow_ratio / math.pi)
    ),
    "vibration_orders.blades_passing": lambda rotation_rate, blades: rotation_rate / 60 * blades,
    "vibration_orders.velocity_of_a_shake": lambda displacement, frequency: 2 * math.pi * displacement * frequency,
    "track_and_balance.how_far_it_moves": lambda velocity, frequency: velocity / (frequency * 360 * math.pi / 180),
}
"""Every exercise by plain arithmetic, in the units as given, by another way than the formula's where there is one."""


def number(text: str) -> float:
    found = re.match(r"[+-]?[\d,.]+", text)
    assert found is not None
    return float(found[0].replace(",", ""))


def test_every_exercise_has_a_route_of_its_own() -> None:
    assert set(BY_HAND) == set(exercises())


@pytest.mark.parametrize("name", BY_HAND)
def test_every_answer_by_plain_arithmetic(name: str) -> None:
    """200 seeds. The key's text, which is rounded, lies within half of its last digit of what is worked here."""
    answers = []
    for seed in range(200):
        made = posed(name, seed)
        by_hand = BY_HAND[name](**{key: number(text) for key, text in made.given.items()})
        told = made.answer_text
        decimals = len(re.sub(r"[^\d.]", "", told.split(" ")[0]).partition(".")[2])
        place = 10.0**-decimals if decimals else 10.0 ** max(0, math.floor(math.log10(abs(by_hand))) + 1 - 4)
        place = (
            place if decimals else max(place, 10.0 ** (math.floor(math.log10(abs(by_hand))) + 1 - made.exercise.digits))
        )
        assert abs(number(told) - by_hand) <= place / 2 * (1 + 1e-3), (seed, made.given, told, by_hand)
        answers.append(by_hand)
    assert len(set(answers)) > 5
    # as hard for one as for another: one sign, and never more than a factor of six between two
    assert max(answers) / min(answers) < 6


def test_every_sheet_has_one() -> None:
    assert not {sheet.name for sheet in sheets_in_order() if not of_sheet(sheet.name)}


def test_the_same_seed_is_the_same_question_and_another_is_another() -> None:
    one, same, other = (posed("hover_margin.tip_speed", seed) for seed in (7, "7", 8))
    assert one.question == same.question != other.question
    assert "{" not in one.question


@pytest.fixture
def asked() -> Posed:
    made = posed("hover_margin.tip_speed", 1)
    assert dict(made.given) == {"rotor_speed": "486 rpm", "rotor_radius": "11.8 ft"}
    return made


@pytest.mark.parametrize(
    ("answer", "stage"),
    [
        ("I do not know", "kind"),
        ("", "kind"),
        ("600 lb", "kind"),
        ("600 rpm", "kind"),
        ("600.5", "unit"),
        ("-600.5 ft/s", "sign"),
        ("1201 ft/s", "size"),
        ("5735 ft/s", "size"),
        ("700 ft/s", "size"),
        ("6e2 ft/s", "digits"),
        ("600.9 ft/s", "right"),  # three digits were asked for, and these are 601
        ("601 ft/s", "right"),
        ("600.55 ft/s", "right"),
        ("600 ft/s", "digits"),
        ("183.05 m/s", "right"),
        ("355.8 kt", "right"),
    ],
)
def test_marked_in_stages(asked: Posed, answer: str, stage: str) -> None:
    """486 rpm is 50.894 rad/s; times 11.8 ft: 600.55 ft/s."""
    found = asked.mark(answer)
    assert found.stage == stage, found
    assert found.points == STAGES.index(stage)
    assert found.words
    assert "600.5" not in found.words or answer.startswith(("600.5", "-600.5"))


def test_the_slip_is_named_after_the_second_try(asked: Posed) -> None:
    attempt = Attempt(asked)
    first, second = attempt.answer("1201 ft/s"), attempt.answer("1201 ft/s")
    assert not first.slip
    assert "Try again" in first.words
    assert "diameter was used for the rotor radius" in second.slip
    assert "diameter" in first.families, "the class's table knows it from the first try on"
    assert attempt.hint() != attempt.hint() == attempt.hint()
    assert attempt.answer("601 ft/s").right
    assert attempt.done


def test_nothing_that_is_told_gives_the_answer_away(asked: Posed) -> None:
    for answer in ("1201 ft/s", "5735 ft/s", "-601 ft/s", "183 ft/s", "60.1 ft/s"):
        told = asked.mark(answer, tries=3)
        said = " ".join((told.words.replace(answer, ""), told.slip, *told.lines))
        assert not re.search(r"\b60[01](\.\d+)?\b|\b183\.0", said), said
    assert "600" not in repr(asked)
    assert "601" not in repr(asked)


def test_no_line_of_the_second_try_holds_the_answer() -> None:
    """Rounded otherwise (23.382 ft/s for 23.4), without its last nought (28 for 28.0), or in another unit (ft for "
    "in)."""
    for name, wrong, answer in (
        ("hover_margin.downwash", "46.8 ft/s", "23.4 ft/s"),
        ("cable_tension.cold_morning", "56 lb", "28.0 lbf"),
        ("pitch_rigging.link_for_an_angle", "0.626 in", "0.313 in"),
        ("level_flight.tip_mach", "1.442", "0.721"),
    ):
        made = posed(name, 3)
        assert made.answer_text == answer
        told = made.mark(wrong, tries=2)
        assert told.slip
        assert not re.search(r"23\.38|\b28 lbf|0\.02608|0\.7209", " ".join(told.lines)), told.lines


def test_a_question_is_written_as_a_person_writes() -> None:
    """By hand, and no question holds a unit as it is typed."""
    asked = posed("weigh_in.centre", 3)
    assert "96,000 in·lb" in asked.question
    assert "shows −1.1°:" in posed("blade_angles.what_to_show", 3).question
    down = posed("hover_margin.downwash", 3).question
    assert "505 ft² in air of 0.00230 slug/ft³" in down
    assert down.endswith("in ft/s, to three significant digits.")
    for name in exercises():
        assert not re.search(r"[*^]| deg[FC]?\b|(?<!\w)-\d", posed(name, 3).question), posed(name, 3).question


def test_a_wrong_sign_is_told_by_its_cause_where_there_is_one() -> None:
    told = posed("blade_angles.less_the_reference", 3).mark("-14.1 deg", tries=2).slip
    assert "swapped" in told
    assert "only the sign" not in told
    alone = posed("hover_margin.downwash", 3).mark("-23.4 ft/s", tries=2).slip
    assert alone.startswith("Only the sign differs")


def test_the_key_shows_answer_and_way(asked: Posed) -> None:
    assert asked.answer_text == "601 ft/s"
    assert any("600.55" in line for line in asked.solution)
    sheet = posed("cable_tension.by_the_table", 3)
    assert any("divisions" in line or "between two rows" in line for line in sheet.solution)


def test_an_exercise_on_a_whole_sheet_is_marked_by_its_steps() -> None:
    made = posed("cable_tension.by_the_table", 1)
    assert made.given["dial"] == "27.0"
    assert made.mark("31.3 lb").right
    below = made.mark("28.0 lb", tries=2)
    assert below.stage == "size"
    assert below.slip


@pytest.mark.parametrize(
    ("name", "typed", "stage"),
    [
        ("hot_day.warmer", "{:.1f} °C", "right"),  # as many digits as asked for, in a coarser unit
        ("hot_day.warmer", "{:.0f} °C", "digits"),
        ("hot_day.warmer", "≈ {:.1f} °C", "right"),
        ("hot_day.warmer", "= {:.1f} K", "right"),
    ],
)
def test_another_unit_with_as_many_digits(name: str, typed: str, stage: str) -> None:
    from rotorkit.teach.lesson import posed_in_course

    for seed in range(20):
        asked = posed_in_course(name, seed)
        height, shown = (
            float(asked.given[k].replace(",", "").split()[0]) for k in ("pressure_altitude", "temperature")
        )
        kelvins = (shown - 59 + 3.56616e-3 * height) / 1.8
        assert asked.mark(typed.format(kelvins)).stage == stage, (asked.given, kelvins)


def test_three_figures_behind_the_point_are_those_of_the_right_size() -> None:
    """More digits than were asked for are right, and cost a class no points: 13.111 ft is not thirteen thousand."""
    for name, seed in (("hover_margin.radius_for_a_tip_speed", 1), ("hover_margin.radius_for_a_tip_speed", 2)):
        asked = posed(name, seed)
        feet = float(asked.answer.si) / 0.3048
        assert asked.mark(f"{feet:.3f} ft").stage == "right", (feet, asked.mark(f"{feet:.3f} ft"))
        assert asked.mark(f"{2 * feet:.3f} ft").stage == "size"


def test_what_is_unknown_is_refused() -> None:
    with pytest.raises(QuantityError, match="no exercise is called"):
        posed("hover_margin.nothing", 1)
    with pytest.raises(SheetError):
        of_sheet("nothing")


def test_every_key_is_marked_right() -> None:
    for name in exercises():
        made = posed(name, 11)
        assert made.mark(made.answer_text).right, (name, made.answer_text)
