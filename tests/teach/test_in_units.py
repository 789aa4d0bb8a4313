"""Exercises and lessons for a metric reader: by plain arithmetic over factors of this file's own, and as US ones."""

import math
import re
from pathlib import Path

import pytest

from rotorkit.folder.checks import Folder
from rotorkit.folder.making import make_folder
from rotorkit.notebook.lesson import IN_US_UNITS, LessonPage
from rotorkit.quantities import Length, display
from rotorkit.teach.classes import make_class, read_class
from rotorkit.teach.exercise import exercises, posed
from rotorkit.teach.in_units import carried, worded
from rotorkit.teach.lesson import lesson_named, lessons_in_order, posed_in_course
from tests.teach.test_exercise import BY_HAND, number

# US units in one of the metric ones, from the exact 0.0254 m, 0.45359237 kg and 9.80665 m/s2
LB, IN, FT, LBF = 0.45359237, 25.4, 0.3048, 4.4482216152605
HP = 0.3048 * 4.4482216152605 * 550 / 1000
FACTORS = {
    ("mm", "in"): IN, ("m", "ft"): FT, ("N", "lb"): LBF, ("kg", "lb"): LB, ("kg*m", "lb*in"): LB * 0.0254,
    ("N/°C", "lb/°F"): LBF * 1.8, ("kg/m", "lb/ft"): LB / FT, ("N*m", "lbf*ft"): LBF * FT, ("N*m", "ft-lb"): LBF * FT,
    ("kJ", "ft-lb"): LBF * FT / 1000, ("kg*m^2", "slug*ft^2"): LBF * FT, ("MPa", "psi"): LBF / IN**2,
    ("bar", "psi"): 10 * LBF / IN**2, ("N/mm", "lb/in"): LBF / IN, ("mm^2", "in^2"): IN**2, ("m^2", "ft^2"): FT**2,
    ("L", "gal"): 3.785411784, ("L/h", "gal/h"): 3.785411784, ("kg/h", "lb/h"): LB, ("kW", "hp"): HP,
    ("g/(kW*h)", "lb/(hp*h)"): 1000 * LB / HP, ("m/s", "ft/s"): FT, ("m/s", "ft/min"): FT / 60, ("mm/s", "in/s"): IN,
    ("kg/m^3", "slug/ft^3"): LBF / FT**4, ("g*mm", "oz*in"): 1000 * LB / 16 * IN,
}  # fmt: skip
US = re.compile(
    r"\d[ -]?(in|ft|lb|lbf|psi|gal|hp|oz|slug|inHg)\b|°F|(?<!in )\b(pound|foot|feet|inches|horsepower|gallon)"
)
SEEDS = range(3)


def parts(text: str) -> tuple[float, str]:
    return number(text), text.partition(" ")[2]


def in_us(value: float, metric: str, us: str) -> float:
    metric, us = metric.replace("degC", "°C"), us.replace("degF", "°F").replace("N/degC", "N/°C")
    if metric == us:
        return value
    if us == "°F":
        return value * 1.8 + 32
    return value / FACTORS[metric, us]


@pytest.mark.parametrize("name", BY_HAND)
def test_in_metric_units_by_plain_arithmetic_and_as_hard(name: str) -> None:
    one = exercises()[name]
    unit = one.unit.partition("|")[0]
    for seed in SEEDS:
        metric, us = posed(name, seed, "metric"), posed(name, seed, "us")
        numbers, own = {}, {}
        for key, text in metric.given.items():
            value, written = parts(text)
            usual, of = parts(us.given[key])
            numbers[key] = in_us(value, written, of)
            own[key] = usual
            # the same question: a round number of its own, at most half a step off (a fixed one is the trade's own)
            assert numbers[key] == pytest.approx(usual, rel=0.09, abs=2), (key, text, us.given[key])
            digits = [len(re.sub(r"\D", "", t).lstrip("0").rstrip("0")) for t in (text, us.given[key])]
            assert digits[0] <= max(4, digits[1]), (text, us.given[key])
        told, written = parts(metric.answer_text)
        by_hand = BY_HAND[name](**numbers)
        last = 10.0 ** (math.floor(math.log10(abs(told))) - one.digits + 1)
        asked = metric.exercise.unit
        off = abs(in_us(told, asked, unit) - by_hand)
        assert off <= abs(in_us(told + last / 2, asked, unit) - in_us(told, asked, unit)) * (1 + 1e-2), (told, by_hand)
        assert not US.search(" ".join((metric.question, *metric.hints, metric.title))), metric.question
        # marked in either: what is right in US units is, and the US figure with the metric unit is not
        assert metric.mark(metric.answer_text).right
        if (asked, unit) != ("degC", "°C") and asked != unit:
            assert metric.mark(f"{by_hand:.6g} {unit}").right, (by_hand, unit)
            assert not metric.mark(f"{by_hand:.6g} {asked}").right


def test_what_is_drawn_follows_the_display_in_force_and_us_ones_are_as_before() -> None:
    """11.8 ft are 3.5966 m and the step of 0.1 ft 0.03 m: to the nearest 0.02 m."""
    assert carried("11.8 ft", "0.1 ft", Length, "metric") == "3.60 m"
    assert carried("11.8 ft", "0.1 ft", Length, "us") == "11.8 ft"
    with display("metric"):
        assert "3.60 m" in posed("hover_margin.tip_speed", 1).question
    asked = posed("hover_margin.tip_speed", 1)
    assert dict(asked.given) == {"rotor_speed": "486 rpm", "rotor_radius": "11.8 ft"}
    assert worded("{one|other} and {name}", "us") == "one and {name}"


def metric_folder(tmp_path: Path) -> Folder:
    place = tmp_path / "work"
    make_folder(place, demo=True)
    file = place / "aircraft.toml"
    file.write_text(re.sub(r'display = "us"', 'display = "metric"', file.read_text("utf-8"), count=1), "utf-8")
    return Folder(place)


def test_a_lesson_in_a_metric_folder(tmp_path: Path) -> None:
    place = metric_folder(tmp_path)
    page = LessonPage(lesson_named("envelope"), place)
    assert all("kg" in one.posed.question and "mm" in one.posed.question for one in page.questions)
    assert "lb" in page.steps[0].posed.question
    shown = page.example.children[1].value
    assert IN_US_UNITS[:40] in shown
    assert IN_US_UNITS[:40] not in LessonPage(lesson_named("fuel"), place).example.children[1].value
    for lesson in lessons_in_order():
        for name in lesson.exercises:
            assert "{" not in lesson.posed(name, 2, "metric").question
        for text in (*lesson.look_for, *lesson.learned):
            assert not US.search(worded(text, "metric")), text
        for text in (*lesson.words, *lesson.look_for, *lesson.learned):
            assert not re.search("[{|}]", worded(text, "metric") + worded(text, "us")), text


def test_lessons_own_exercises_in_metric_units() -> None:
    """The later ones by hand: SI throughout, in the units as asked."""
    for seed in SEEDS:
        given = {
            (lesson, key): parts(text)[0]
            for lesson in ("envelope.burnt", "torque.from_power", "torque.tube", "hot_day.warmer", "hot_day.density")
            for key, text in posed_in_course(lesson, seed, "metric").given.items()
        }

        def told(name: str, seed: int = seed) -> float:
            return parts(posed_in_course(name, seed, "metric").answer_text)[0]

        def of(name: str, key: str, given: dict[tuple[str, str], float] = given) -> float:
            return given[name, key]

        mass, change = of("envelope.burnt", "mass"), of("envelope.burnt", "change")
        moment = mass * of("envelope.burnt", "arm") + change * of("envelope.burnt", "change_arm")
        assert told("envelope.burnt") == pytest.approx(moment / (mass + change), abs=0.51)
        rate = of("torque.from_power", "speed") * math.pi / 30
        assert told("torque.from_power") == pytest.approx(1000 * of("torque.from_power", "power") / rate, abs=0.51)
        outer, inner = of("torque.tube", "outer_diameter"), of("torque.tube", "inner_diameter")
        stress = 16000 * of("torque.tube", "torque") * outer / math.pi / (outer**4 - inner**4)
        assert told("torque.tube") == pytest.approx(stress, abs=0.051)
        warmer = of("hot_day.warmer", "temperature") - (15 - 0.0065 * of("hot_day.warmer", "pressure_altitude"))
        assert told("hot_day.warmer") == pytest.approx(warmer, abs=0.06)
        # the table that the question prints, interpolated: good to the two digits that are asked
        table = [1.2250, 1.1901, 1.1560, 1.1226, 1.0900, 1.0581]
        density = of("hot_day.density", "density")
        row = next(k for k in range(5) if table[k] >= density >= table[k + 1])
        height = 300 * (row + (table[row] - density) / (table[row] - table[row + 1]))
        assert posed_in_course("hot_day.density", seed, "metric").mark(f"{height:.4g} m").right, (density, height)


def test_a_class_in_metric_units_is_marked_as_it_was_asked(tmp_path: Path) -> None:
    make_class(tmp_path / "c", 1, "5", ("hover_margin.tip_speed",), "metric")
    made = read_class(tmp_path / "c")
    asked = made.posed("student-01", "hover_margin.tip_speed")
    rpm, radius = (number(text) for text in asked.given.values())
    assert re.search(r"\d m radius", asked.question)
    assert asked.mark(f"{rpm * math.pi / 30 * radius:.1f} m/s").right
    assert asked.answer_text.endswith("m/s")
