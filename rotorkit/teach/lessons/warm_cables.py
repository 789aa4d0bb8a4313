"""Lesson: cable tension and temperature."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from rotorkit import sources
from rotorkit.aircraft import Aircraft
from rotorkit.pictures.data import Chart, Curve, Point
from rotorkit.quantities import Force, ForcePerTemperature, Temperature, in_unit
from rotorkit.rigging.cable import stiffness_in_series
from rotorkit.rigging.cable_tension import tension_at_temperature, thermal_growth
from rotorkit.rigging.threads import stretch_under_force
from rotorkit.sheets.exercises import Exercise
from rotorkit.sheets.exploring.knobs import Exploration, Knob, Seen, knob
from rotorkit.teach.lesson import Example, Lesson, Step


def _knobs(_aircraft: Aircraft) -> list[Knob]:
    degrees = ("°F", "°C")
    return [
        knob("tension", "Tension when it was rigged", Force, ("lbf", "N"), "10 lbf", "60 lbf", (1, 5), "35 lbf"),
        knob("rigged_at", "Temperature when it was rigged", Temperature, degrees, "20 °F", "110 °F", (1, 0.5), "70 °F"),
        knob(
            "slope",
            "What one degree does",
            ForcePerTemperature,
            ("lbf/°F", "N/°C"),
            "0 lbf/°F",
            "0.7 lbf/°F",
            (0.05, 0.25),
            "0.3 lbf/°F",
        ),
        knob("today", "Temperature today", Temperature, degrees, "0 °F", "110 °F", (1, 0.5), "35 °F"),
    ]


def _see(aircraft: Aircraft, at: Mapping[str, float], _estimate: str) -> Seen:
    metric = aircraft.aircraft.display == "metric"
    pull, degree = ("N", "degC") if metric else ("lbf", "degF")
    warmth = np.linspace(read_si("0 °F"), read_si("110 °F"), 23)

    def tension(temperature: object) -> np.ndarray:
        found = tension_at_temperature.si(at["tension"], at["slope"], at["rigged_at"], temperature)
        return np.asarray(in_unit(found, pull, Force))

    shown = in_unit(warmth, degree, Temperature)
    here = float(tension(at["today"]))
    chart = Chart(
        "One cable, all weathers",
        f"temperature, {'°C' if metric else '°F'}",
        f"tension, {pull}",
        (Curve("tension", [float(x) for x in shown], [float(y) for y in tension(warmth)]),),
        (),
        (Point("today", float(in_unit(at["today"], degree, Temperature)), here),),
    )
    slack = " That cable is slack: it has no tension left." if here <= 0 else ""
    return Seen([chart], [f"Today the cable pulls {here:.3g} {pull}.{slack}"])


def read_si(text: str) -> float:
    from rotorkit.quantities import read

    return float(read(text, Temperature).si)


LESSON = Lesson(
    name="warm_cables",
    order=4,
    title="Cable tension and temperature",
    goal="You know why a cable that was right in July is slack in January, and can correct a tension from one "
    "temperature to another.",
    words=(
        "Aluminium expands about twice as much as steel when it gets warm. The airframe is mostly aluminium, the cable "
        "is steel. On a warm day the frame stretches the cable and the tension rises; in the cold it falls.",
        "So a manual gives a temperature with its tension: {30 to 40 lb at 70 °F|130 to 180 N at 20 °C}, for "
        "example. What you read on a cold morning must be corrected to {70 °F|20 °C} before you compare it, or "
        "the limit must be corrected to today's temperature.",
        "How much the tension changes per degree (the slope) depends on the cable's length, its steel and the frame. "
        "Take it from the manual, or measure it on several days. A slope copied from another aircraft is a guess.",
    ),
    picture=Exploration(
        "warm_cables",
        "tension",
        "From July to January",
        "Change the day's temperature and the slope.",
        _knobs,
        _see,
        closing="A picture to learn from. The manual's chart for your aircraft comes first.",
    ),
    look_for=(
        "Set the slope to {0.7 lb per degree|5.5 N per degree}: at what temperature does this cable go slack?",
        "Rig to {35 lb at 40 °F with a slope of 0.5 lb per degree: what does it pull at 100 °F|155 N at 5 °C with "
        "a slope of 4 N per degree: what does it pull at 38 °C}?",
    ),
    example=Example(
        "Steel and aluminium between two walls",
        "A steel bar (60 in long, 1 in²) and an aluminium bar (72 in long, 2 in²) are set end to end between two "
        "rigid walls. They get 50 °F warmer. With what force do they push? Frame and cable do the same, except that "
        "they pull.",
        sources.LEVINSON.at("example 9.10, p. 209"),
        (
            Step(
                Exercise(
                    "steel_grows",
                    "How far the steel would expand",
                    "Per degree, steel expands by {expansion} times its length. The length is {length}; it is warmer "
                    "by {temperature_change}.",
                    "how far the steel would expand",
                    "in",
                    of=thermal_growth,
                    given={"expansion": "0.0000065 /°F", "length": "60 in", "temperature_change": "50 °F"},
                    hints=("Multiply the three.",),
                ),
                "That is with nothing holding it.",
            ),
            Step(
                Exercise(
                    "aluminium_grows",
                    "How far the aluminium would expand",
                    "Per degree, aluminium expands by {expansion} times its length. The length is {length}; it is "
                    "warmer by {temperature_change}.",
                    "how far the aluminium would expand",
                    "in",
                    of=thermal_growth,
                    given={"expansion": "0.0000131 /°F", "length": "72 in", "temperature_change": "50 °F"},
                    hints=("The same again with its own figures.",),
                ),
                "That is twice as much per inch. Together they would need 0.0667 in, which the walls do not give.",
            ),
            Step(
                Exercise(
                    "both_springs",
                    "Two springs in series",
                    "Steel: {one}. Aluminium: {other}. In series they are softer than either alone.",
                    "the stiffness of both together",
                    "lb/in",
                    of=stiffness_in_series,
                    given={"one": "500,000 lb/in", "other": "277,778 lb/in"},
                    hints=(
                        "Add 1/first and 1/second: that is 1/both together.",
                        "500,000 × 277,778, divided by 777,778.",
                    ),
                ),
                "Both give, so the force is less than either alone would make.",
            ),
            Step(
                Exercise(
                    "push",
                    "The push",
                    "They are squeezed together by {result}; the stiffness is {stiffness}.",
                    "the force",
                    "lb",
                    of=stretch_under_force,
                    unknown="force",
                    given={"result": "0.06666 in", "stiffness": "178,571 lb/in"},
                    hints=("Force is stiffness times distance.",),
                ),
                "Nearly six tons from a warm afternoon. In a cable it is tens of pounds, by the same calculation.",
                "1.19e4 lb",
            ),
        ),
    ),
    asked=("cable_tension.carried", "cable_tension.cold_morning", "tension_trend.change_for_a_degree"),
    learned=(
        "Warm: the frame expands more than the cable and the tension rises. Cold: it falls.",
        "Compare at one temperature: correct the reading to the manual's temperature. Never compare tensions at two "
        "different temperatures.",
        "The slope belongs to one aircraft and one cable.",
    ),
    sources=(sources.LEVINSON.at("example 9.10"), sources.CALLISTER.at("table B.6, thermal expansion of metals")),
)
