"""The course: every figure by a separate route, as printed by its source; lessons marked as a learner types."""

import cmath
import contextlib
import math
import re
import sqlite3
from pathlib import Path

import pytest

from rotorkit.aircraft import demo_folder, load_aircraft
from rotorkit.balance import move_from_trial, one_plane_balance, weight_from_trial, what_the_trial_did
from rotorkit.folder.checks import Folder
from rotorkit.folder.making import make_folder
from rotorkit.judging.limits import IN_LIMITS, TOO_CLOSE, Limit
from rotorkit.judging.measured import difference_si, mean_of, measured
from rotorkit.notebook import course_page
from rotorkit.notebook.lesson import LessonPage
from rotorkit.quantities import Angle, QuantityError, in_unit, read
from rotorkit.teach.exercise import Mark
from rotorkit.teach.lesson import Lesson, lesson_named, lessons_in_order, posed_in_course
from rotorkit.teach.lessons.near_a_limit import highest_figure_in_limits, lowest_figure_in_limits
from rotorkit.teach.progress import LEARNING_FILE, Progress, ProgressError

DEMO = load_aircraft(demo_folder())
LESSONS = pytest.mark.parametrize("lesson", lessons_in_order(), ids=lambda lesson: lesson.name)

# each step's answer by plain arithmetic, in the unit asked for
STEPS = {
    "in_lb": 0.2 * 24131.5 * 0.75,
    "ft_lb": 0.2 * 24131.5 * 0.75 / 12,
    "newton_metres": 0.2 * 24131.5 * 0.75 / 12 * 0.3048 * 4.4482216152605,
    "low_reference": 9.5 + 1.2,
    "other_edge": -(-9.5 - 1.2),
    "lean": (9.5 - 11.9) / 2,
    "springs": 10_020_000 / 5,
    "stretch": 24131.5 / 2_004_000,
    "turn": 0.0120417 / 0.1 * 360,
    "steel_grows": 6.5e-6 * 60 * 50,
    "aluminium_grows": 13.1e-6 * 72 * 50,
    "both_springs": 500_000 * 277_778 / 777_778,
    "push": 178_571 * 0.06666,
    "belt_speed": math.pi * 0.6 * 200 / 60,
    "slack_side": 2500 / math.exp(0.25 * math.radians(160)),
    "power": 2500 * (1 - math.exp(-0.25 * math.radians(160))) * 6.283 / 1000,
    "area": math.pi * 2.5**2,
    "merit": 0.004905**1.5 / math.sqrt(2) / 0.00046,
    "velocity": math.sqrt(2.5 / 2 / 0.0023769),
    "a_little_low": 205.0,  # printed by the source, to the foot
    "a_storm": 1630.0,  # printed by the source
    "standard": 59 - 3.56616 * 1.63,
    "steps": 0.07 / 0.05,
    "highest": 5.47 - 0.10,
    "moment": 1545 * 101.4,
    "whole": 211191 / 2253,
    "gone": (2253 * 93.74 - 250 * 64) / 2003,
    "oil": -17 * 49,
    "forward": (1169 * 10.6 - 17 * 49 + 170 * 16 + 83 * 22) / (1169 + 17 + 170 + 83),
    "at_the_nose": 1439 * (11.19 - 8.5) / (49 + 8.5),
    "shear": 16 * 250 * 12 / (math.pi * 1.5**3),
    "twist": math.degrees(250 * 12 * 54 / (11.5e6 * math.pi * 1.5**4 / 32)),
    "allowed": 250 * 6000 / 4527.07,
    "brake": 262.606 * 2 * math.pi * 2400 / 60 / 1000,
    "glass": 0.1 / 19.3 * 3600,
    "weighed": 0.1 / 19.3 * 3600 * 0.831,
    "each_kilowatt": 0.234856,  # the source's own, recomputed
    "how_fast": 2 * math.pi,
    "how_far": 1 / (2 * math.pi),
    "how_hard": 2 * math.pi * 61.45 / 386.0886,
    "how_often": 450 / 60 * 2,
    "did": abs(cmath.rect(1.8, math.radians(42)) - cmath.rect(3.4, math.radians(116))),
    "heavy": 2.0117,  # the source's, recomputed by complex arithmetic (references/balancing_examples.csv)
    "round": 30.789,  # the same
}


def test_every_step_is_worked_here() -> None:
    assert {step.exercise.name for lesson in lessons_in_order() for step in lesson.example.steps} == set(STEPS)


@LESSONS
def test_steps_come_to_plain_arithmetic_and_to_what_is_printed(lesson: Lesson) -> None:
    for step in lesson.example.steps:
        posed, worked = step.posed, STEPS[step.exercise.name]
        found = float(in_unit(float(posed.answer.si), step.exercise.unit, posed.kind))
        half_a_digit = 0.5 * 10.0 ** (math.floor(math.log10(abs(worked))) - step.exercise.digits + 1)
        assert found == pytest.approx(worked, abs=half_a_digit), step.exercise.name
        if step.printed:
            printed = read(step.printed, posed.kind)
            step_si = difference_si(abs(printed.step), posed.kind)  # one in the last digit that is printed
            assert float(posed.answer.si) == pytest.approx(printed.si, abs=0.51 * step_si), step.printed


@LESSONS
def test_numbers_suit_whatever_the_seed(lesson: Lesson) -> None:
    for name in lesson.exercises:
        for seed in range(12):
            posed = lesson.posed(name, seed)
            assert "{" not in posed.question
            assert posed.mark(posed.answer_text).right, (name, seed)
            if name != "blade_angles.half_a_turn":  # the mean of two readings may come out as one of them
                assert not re.search(rf"(?<![\d.,]){re.escape(posed.answer_text)}", posed.question)


def own(name: str, seed: int) -> tuple[dict[str, float], float]:
    """An exercise of a lesson's own: its numbers, and its answer in its unit."""
    posed = posed_in_course(name, seed)
    given = {key: float(text.replace(",", "").split()[0]) for key, text in posed.given.items()}
    return given, float(in_unit(float(posed.answer.si), posed.exercise.unit, posed.kind))


def test_answers_of_the_lessons_own_exercises_by_another_route() -> None:
    for seed in range(200):
        given, answer = own("near_a_limit.highest", seed)
        assert answer == pytest.approx(given["limit"] - given["uncertainty"])
        given, answer = own("near_a_limit.lowest", seed)
        assert answer == pytest.approx(given["limit"] + given["uncertainty"])
        given, answer = own("near_a_limit.how_good", seed)
        assert answer == pytest.approx(given["limit"] - given["result"])
        # standard atmosphere: 518.67 °R at sea level, 3.5662 °F less for each 1,000 ft; 29.9213 inHg
        given, answer = own("hot_day.warmer", seed)
        warmer = given["temperature"] - (59 - 3.56616e-3 * given["pressure_altitude"])
        assert answer == pytest.approx(warmer, abs=0.01)
        given, answer = own("hot_day.pressure_altitude", seed)
        share = (given["altimeter_setting"] / 29.92126) ** 0.190263
        assert answer == pytest.approx(518.67 / 3.56616e-3 * (1 - share) + given["elevation"], abs=0.7)
        given, answer = own("hot_day.density", seed)
        height = 518.67 / 3.56616e-3 * (1 - (given["density"] / 0.00237689) ** (1 / 4.25588))
        assert answer == pytest.approx(height, abs=1)


def test_answers_of_the_later_lessons_own_exercises_by_another_route() -> None:
    for seed in range(200):
        given, answer = own("envelope.moved", seed)
        # by the whole's moment, before and after, about the battery's old place
        assert answer == pytest.approx(given["shifted"] * (given["to_arm"] - given["from_arm"]) / given["mass"])
        given, answer = own("envelope.burnt", seed)
        left = given["mass"] + given["change"]
        parts = (given["mass"] * given["arm"], given["change"] * given["change_arm"])
        assert answer == pytest.approx(sum(parts) / left)
        given, answer = own("envelope.ballast", seed)
        whole = given["mass"] * given["arm"] + answer * given["ballast_arm"]
        assert whole / (given["mass"] + answer) == pytest.approx(given["wanted"])  # put in, it is at the limit
        given, answer = own("torque.from_power", seed)
        assert answer == pytest.approx(5252.113 * given["power"] / given["speed"])  # references/engine_checks.csv
        given, answer = own("torque.tube", seed)
        # torque is the stress summed over rings of the section, each as far out as its radius
        outer, inner = given["outer_diameter"] / 2, given["inner_diameter"] / 2
        rings = [inner + (outer - inner) * (k + 0.5) / 400 for k in range(400)]
        each = sum(2 * math.pi * r * (answer * r / outer) * r * (outer - inner) / 400 for r in rings)
        assert each / 12 == pytest.approx(given["torque"], rel=1e-4)
        # the arrows as complex numbers: the trial's place is 0, the weight that cancels is -O/T of it
        given, answer = own("trial_weight.weight", seed)
        assert answer == pytest.approx(given["trial"] * given["as_found"] / given["change"])
        for name, of in (("change", abs), ("place", lambda one: abs(math.degrees(cmath.phase(one))))):
            given, answer = own(f"trial_weight.{name}", seed)
            found = cmath.rect(given["as_found"], 0.3)
            change = cmath.rect(given["with_trial"], 0.3 + math.radians(given["between"])) - found
            assert answer == pytest.approx(of(change if name == "change" else -found / change))


def test_by_hand_is_what_the_balance_works_out_wherever_the_arrows_point() -> None:
    for turned in (-170, -95, -60, -1, 12, 90, 135, 179):
        for found, tried in ((0.5, 0.4), (0.4, 0.5), (0.3, 0.02)):
            runs = ("20 deg", f"{20 + turned} deg")
            whole = one_plane_balance((f"{found} in/s", runs[0]), ("20 g", "0 deg"), (f"{tried} in/s", runs[1]))
            given = f"{found} in/s", f"{tried} in/s", f"{abs(turned)} deg"
            weight = weight_from_trial("20 g", given[0], what_the_trial_did(*given))
            assert weight.to("g").magnitude == pytest.approx(1000 * float(whole.correction.amplitude.si), rel=1e-6)
            round_by = math.copysign(move_from_trial(*given).to("deg").magnitude, turned)
            apart = round_by - math.degrees(float(whole.correction.angle.si))
            assert math.remainder(apart, 360) == pytest.approx(0, abs=1e-4), (found, tried, turned)


def test_pictures_of_the_later_lessons_say_what_plain_arithmetic_says() -> None:
    # 850 lb at 105 in, 170 lb at 75, 120 lb at 108
    assert "1,140 lb at 100.8 in; tank dry 1,020 lb at 100.0 in" in seen("envelope")
    assert "Inside at the start and with the tank dry" in seen("envelope")
    assert "Outside at the start and with the tank dry" in seen("envelope", pilot="230 lb", passenger="230 lb")
    # 5252.113 x 120 / 2500; 16 T / (pi d^3); 32 T L / (pi G d^4); 1 / (1 - 0.8^4)
    assert "252 lbf·ft: 4,565 psi if solid, and four feet of steel twist by 1.5°" in seen("torque")
    assert "1.69 times the stress, and weighs 0.36 times" in seen("torque")
    assert "10.9 gal/h. At six pounds a gallon that is 0.50 lb" in seen("fuel")
    assert "Once a turn: 8.3 Hz, 0.42 in/s peak. 2 times a turn: 16.7 Hz, 0.31 in/s peak" in seen("shaking")
    # 0.5 and 0.4 with 50 deg between: 0.391; 20 g x 0.5 / 0.391; acos((0.5 - 0.4 cos 50) / 0.391)
    assert "did 0.391 in/s. Wanted: 25.6 g, 52° from the trial weight's place, the way the phase went (up)" in seen(
        "trial_weight"
    )
    nothing = seen("trial_weight", as_found="0.5 in/s", with_trial="0.5 in/s", turned="0 deg")
    assert "changed next to nothing" in nothing
    assert "10.0 g, where the trial weight sits" in seen(
        "trial_weight", as_found="0.4 in/s", with_trial="0.4 in/s", turned="180 deg"
    )
    assert "opposite" in seen("trial_weight", as_found="0.3 in/s", with_trial="0.5 in/s", turned="0 deg")


def seen(lesson: str, **typed: str) -> str:
    """What a lesson's picture says at these knobs, each within its range, the others as they start."""
    picture = lesson_named(lesson).picture
    knobs = {one.name: one for one in picture.knobs(DEMO)}
    for name, text in typed.items():
        assert knobs[name].si(knobs[name].low) <= knobs[name].si(text) <= knobs[name].si(knobs[name].high)
    at = {name: one.si(typed.get(name, one.start)) for name, one in knobs.items()}
    return " ".join(picture.see(DEMO, at, "").lines)


def test_an_uncertainty_can_be_set_so_large_that_nothing_is_in_limits() -> None:
    """Of 9° to 11° nothing is in limits from ± 1° on; the middle is still in at just ± 1°."""
    assert seen("near_a_limit", figure="10 deg", uncertainty="1 deg").endswith(": in limits.")
    for tenths in range(80, 121, 2):
        assert not seen("near_a_limit", figure=f"{tenths / 10} deg", uncertainty="1.1 deg").endswith(": in limits.")


def test_the_highest_and_the_lowest_in_limits_are_those_of_the_verdicts() -> None:
    limit = Limit("blade angle", Angle, "9 deg", "11 deg", "an invented manual", "deg")
    for spread in ("0.1 deg", "0.3 deg", "0.45 deg"):
        for edge, out in (
            (highest_figure_in_limits("11 deg", spread), 1),
            (lowest_figure_in_limits("9 deg", spread), -1),
        ):
            degrees = float(edge.to("deg").magnitude)
            for beyond, word in ((-1e-6, IN_LIMITS), (1e-6, TOO_CLOSE)):
                figure = measured(f"{degrees + out * beyond:.9f} ± {spread}", Angle, "angle")
                assert limit.judge(figure).word == word


def test_a_spread_of_few_readings_is_said_to_count_for_more() -> None:
    """Student's t for two degrees of freedom, 95.45 %: 4.53 (JCGM 100:2008, Table G.2) in place of 2."""
    said = seen("readings", instrument="0 deg", scatter="0.3 deg", number="3")
    assert f"± {2 * 0.3 / math.sqrt(3):.2g}°" in said
    assert f"{4.53 / 2:.2g} times as much" in said
    check = mean_of([measured(text, Angle, "repeat") for text in ("9.7 deg", "10 deg", "10.3 deg")])
    assert math.degrees(float(check.expanded_si)) == pytest.approx(4.53 * 0.3 / math.sqrt(3), rel=1e-3)


TABLE = (0.0023769, 0.0023081, 0.0022409, 0.0021752, 0.0021110, 0.0020482)
# slug/ft3 at 0 to 5,000 ft: U.S. Standard Atmosphere, 1976, by its equations (here 0.00237689 theta^4.25588)


def test_the_way_that_is_taught_is_marked_right() -> None:
    for height, density in zip(range(0, 6000, 1000), TABLE, strict=True):
        assert density == pytest.approx(0.00237689 * (1 - 6.87559e-6 * height) ** 4.25588, rel=1e-4)
    for seed in range(60):
        posed = posed_in_course("hot_day.density", seed)
        assert all(f"{one:.7f}" in posed.question for one in TABLE)
        density = float(posed.given["density"].split()[0])
        row = max(i for i, one in enumerate(TABLE) if one >= density)
        height = 1000 * (row + (TABLE[row] - density) / (TABLE[row] - TABLE[row + 1]))
        assert posed.mark(f"{height:.0f} ft").right, (density, height)
        posed = posed_in_course("near_a_limit.how_good", seed)
        given, _ = own("near_a_limit.how_good", seed)
        fits = given["limit"] - given["result"]
        assert posed.mark(f"{fits:.2f} deg").right, posed.given
        assert posed.mark(f"± {fits:.2f}°").right, posed.given
        assert posed.answer_text == f"{fits:.2f}°"
        # a highest figure that is rounded up would be out of limits: it has to come out even
        given, highest = own("near_a_limit.highest", seed)
        assert highest == pytest.approx(round(highest, 1), abs=1e-9)
        assert highest >= 10
    low = lesson_named("hot_day").example.steps[0].posed
    assert low.mark(f"{22 * 9.33:.0f} ft").right
    assert not low.mark("210 ft").right


def test_a_long_or_odd_name_is_found_again_and_odd_typing_is_kept(tmp_path: Path) -> None:
    progress = Progress(tmp_path)
    for name in ("n" * 80, "a\x00b", "<b>'; --"):
        progress.keep(name, "signs", "lean", "1", "\ud800 1 deg", Mark("right", ""))
        assert progress.done(name, "signs") == {"lean"}


@LESSONS
def test_lessons_name_their_sources_and_say_enough(lesson: Lesson) -> None:
    assert len(lesson.exercises) == 3
    assert 2 <= len(lesson.example.steps) <= 4
    assert lesson.sources
    assert lesson.learned
    assert lesson.look_for
    assert all(step.exercise.hints for step in lesson.example.steps)


def folder(tmp_path: Path) -> Folder:
    make_folder(tmp_path / "own", demo=True)
    return Folder(tmp_path / "own")


def test_a_learner_is_wrong_by_a_slip_then_right_and_it_is_kept(tmp_path: Path) -> None:
    place = folder(tmp_path)
    page = LessonPage(lesson_named("signs"), place)
    _ = page.start, page.picture, page.example, page.exercises
    page.name.value = "Robin"
    question = page.questions[0]
    assert question.mark() is None  # nothing typed
    shown, reference = (float(question.posed.given[key].split()[0]) for key in ("reading", "reference"))
    first = question.answer(f"{shown + reference:.1f} deg")
    assert (first.stage, first.slip) == ("size", "")  # type: ignore[union-attr]
    second = question.answer(f"{shown + reference:.1f} deg")
    assert "reference" in second.slip  # type: ignore[union-attr]
    assert "reference" in question.hint() + question.hint()
    assert question.answer("a banana").stage == "kind"  # type: ignore[union-attr]
    assert question.answer(f"{shown - reference:.1f} deg").right  # type: ignore[union-attr]
    assert "1 of 6 done" in page.how_far.value
    # the next day
    again = LessonPage(lesson_named("signs"), place)
    assert again.name.value == "Robin"
    assert "1 of 6 done" in again.how_far.value
    kept = Progress(place.path).answers("Robin")
    assert [one.stage for one in kept] == ["size", "size", "kind", "right"]
    assert "1 of 6" in course_page(place).html
    assert not (place.path / "record.sqlite").exists()


def test_without_a_name_nothing_is_kept(tmp_path: Path) -> None:
    place = folder(tmp_path)
    page = LessonPage(lesson_named("readings"), place)
    assert page.steps[0].answer("3620 in-lb").right  # type: ignore[union-attr]
    assert "not kept" in page.how_far.value
    assert not (place.path / LEARNING_FILE).exists()


def test_new_numbers_are_other_numbers() -> None:
    page = LessonPage(lesson_named("downwash"), Folder.here())
    question = page.questions[0]
    seen = {question.posed.question}
    for _ in range(4):
        question.renew()
        seen.add(question.posed.question)
    assert len(seen) > 2


def test_a_damaged_file_is_said_and_the_answer_marked_all_the_same(tmp_path: Path) -> None:
    place = folder(tmp_path)
    (place.path / LEARNING_FILE).write_text("not a database, but long enough to be looked at as one " * 40)
    with pytest.raises(ProgressError, match=LEARNING_FILE):
        Progress(place.path).answers()
    page = LessonPage(lesson_named("signs"), place)
    page.name.value = "Robin"
    assert page.steps[0].answer("10.7 deg").right  # type: ignore[union-attr]
    assert "not kept" in page.trouble.value or "cannot be" in page.trouble.value


@pytest.mark.parametrize(
    "made",
    [
        "CREATE TABLE answer (learner TEXT, at TEXT); INSERT INTO answer VALUES ('A', '2026-01-02')",
        "CREATE TABLE answer (learner, lesson, question, seed, typed, stage, families, hints, at);"
        "INSERT INTO answer VALUES ('A', 'signs', 'x', '1', '1 deg', 'right', '', 0, 'last Tuesday')",
        "CREATE TABLE answer (learner, lesson, question, seed, typed, stage, families, hints, at);"
        "INSERT INTO answer VALUES ('A', 'signs', 'x', '1', '1 deg', 'right', NULL, 0, '2026-01-02')",
    ],
)
def test_a_file_with_other_columns_or_values_is_said(tmp_path: Path, made: str) -> None:
    with contextlib.closing(sqlite3.connect(tmp_path / LEARNING_FILE)) as opened:
        opened.executescript(made)
    with pytest.raises(ProgressError, match="cannot be read"):
        Progress(tmp_path).answers()


def test_a_column_more_does_no_harm(tmp_path: Path) -> None:
    progress = Progress(tmp_path)
    progress.keep("A", "signs", "x", "1", "2 deg", Mark("right", "right"))
    with contextlib.closing(sqlite3.connect(tmp_path / LEARNING_FILE)) as opened, opened:
        opened.execute("ALTER TABLE answer ADD COLUMN remark TEXT")
    progress.keep("A", "signs", "y", "1", "2 deg", Mark("right", "right"))
    assert progress.done("A", "signs") == {"x", "y"}


def test_slips_are_counted_an_answer_once(tmp_path: Path) -> None:
    progress = Progress(tmp_path)
    for learner in ("A", "B"):
        progress.keep(
            learner, "signs", "x", "1", "1 deg", Mark("size", "too small", families=("sign", "sign", "digit"))
        )
    progress.keep("A", "signs", "x", "1", "2 deg", Mark("right", "right"))
    assert progress.slips() == [("digit", 2), ("sign", 2)]
    assert progress.done("A", "signs") == {"x"}
    assert progress.done("B", "signs") == set()
    with sqlite3.connect(tmp_path / LEARNING_FILE) as opened:
        assert opened.execute("SELECT count(*) FROM answer").fetchone() == (3,)


def test_an_unknown_lesson_or_exercise_is_named() -> None:
    with pytest.raises(QuantityError, match="no lesson is called 'x'"):
        lesson_named("x")
    with pytest.raises(QuantityError, match="has no exercise 'x'"):
        lesson_named("signs").posed("x", 1)
    with pytest.raises(QuantityError, match="no exercise is called"):
        posed_in_course("x.y", 1)
