"""Lesson: units, and what a reading is worth."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from rotorkit import sources
from rotorkit.aircraft import Aircraft
from rotorkit.judging.measured import COVERAGE, coverage_factor
from rotorkit.pictures.data import Chart, Curve, Point
from rotorkit.quantities import Angle, Ratio, in_unit, required_kind
from rotorkit.rigging.threads import tightening_torque
from rotorkit.sheets.exercises import Exercise
from rotorkit.sheets.exploring.knobs import Exploration, Knob, Seen, knob
from rotorkit.teach.lesson import Example, Lesson, Step

MOST = 12
FEW = 3
"""So many repeats are taken of most things."""


def _knobs(_aircraft: Aircraft) -> list[Knob]:
    return [
        knob("instrument", "± of the instrument", Angle, ("deg", "deg"), "0 deg", "1 deg", (0.05, 0.05), "0.2 deg"),
        knob(
            "scatter",
            "Spread of single readings, known from many (one standard deviation)",
            Angle,
            ("deg", "deg"),
            "0 deg",
            "1 deg",
            (0.05, 0.05),
            "0.3 deg",
        ),
        knob("number", "How many readings", Ratio, ("", ""), "1", str(MOST), (1, 1), "3"),
    ]


def _see(_aircraft: Aircraft, at: Mapping[str, float], _estimate: str) -> Seen:
    counts = np.arange(1, MOST + 1)
    angle = required_kind(Angle)

    def spread(number: object) -> np.ndarray:
        """Expanded uncertainty of the mean: the instrument's own, and what scatters, which alone is shared out."""
        both = np.hypot(at["instrument"], COVERAGE * at["scatter"] / np.sqrt(np.asarray(number, dtype=float)))
        return np.asarray(in_unit(both, "deg", angle))

    alone = float(in_unit(at["instrument"], "deg", angle))
    here = float(spread(round(at["number"])))
    chart = Chart(
        "What repeats are good for",
        "how many readings",
        "± of their mean, degrees",
        (
            Curve("± of the mean", [float(n) for n in counts], [float(one) for one in spread(counts)]),
            Curve("± of the instrument alone", [1.0, float(MOST)], [alone, alone], "bound"),
        ),
        (),
        (Point("here", float(round(at["number"])), here),),
    )
    few = (
        "This holds if the spread is known from many readings. Three readings of your own show the spread so poorly "
        f"that a check uses {coverage_factor(FEW - 1) / COVERAGE:.2g} times as much for it (Student's t)."
    )
    return Seen([chart], [f"The mean of {round(at['number'])} readings is known to ± {here:.2g}°.", few])


LESSON = Lesson(
    name="readings",
    order=1,
    title="Units, and what a reading is worth",
    goal="You can convert a figure from one unit to another, subtract what the scale shows when empty, and say how "
    "far a reading can be trusted.",
    words=(
        "A number without its unit is not a figure. 30 may be pounds, newtons or kilograms, and each gives a "
        "different tension in the cable. Write the unit after every number, on every line, on scrap paper too.",
        "No reading is exact. The ± after it says how far off the true value may be: about 19 times in 20 it is "
        "inside. A protractor marked ± 0.2° that shows 8.3° is telling you: between 8.1° and 8.5°.",
        "Reading the same thing three times shows how steady your hand and the instrument are. The mean of many "
        "readings is steadier than one. But an instrument that is off by 0.2° is off by 0.2° every time: no number of "
        "repeats takes that away.",
    ),
    picture=Exploration(
        "readings",
        "repeats",
        "Reading it again",
        "Move the three sliders and see what more readings gain you.",
        _knobs,
        _see,
        closing="A picture to learn from. Your instrument's ± is on its certificate.",
    ),
    look_for=(
        "Set the spread to 0.5° and go from 1 reading to 4: the ± falls to about half. From 4 to 12 it falls "
        "only by another third.",
        "Set the spread to 0: more readings change nothing. All that is left is the instrument.",
    ),
    example=Example(
        "A bolt's torque in three units",
        "A 3/4 in bolt is to be tightened until it pulls 24,131.5 lb. The nut factor (one number that covers "
        "friction and thread) is 0.2. Torque = nut factor × pull × bolt diameter.",
        sources.WENTZELL.at("example 6.1"),
        (
            Step(
                Exercise(
                    "in_lb",
                    "Inch-pounds",
                    "Multiply the three: 0.2, {preload} and {diameter}.",
                    "the torque",
                    "in-lb",
                    of=tightening_torque,
                    given={"nut_factor": "0.2", "preload": "24,131.5 lb", "diameter": "0.75 in"},
                    hints=("0.2 × 24,131.5 is 4,826.3. Times 0.75.",),
                ),
                "Pounds times inches gives inch-pounds: units multiply just like numbers.",
                "3619.73 in-lb",
            ),
            Step(
                Exercise(
                    "ft_lb",
                    "Foot-pounds",
                    "The torque wrench on the wall is marked in ft-lb. A foot has 12 inches.",
                    "the same torque",
                    "ft-lb",
                    of=tightening_torque,
                    given={"nut_factor": "0.2", "preload": "24,131.5 lb", "diameter": "0.75 in"},
                    hints=(
                        "A foot is 12 times as long as an inch, so the number gets smaller.",
                        "Divide by 12.",
                    ),
                ),
                "The same torque, a smaller number, because the unit is larger.",
            ),
            Step(
                Exercise(
                    "newton_metres",
                    "Newton metres",
                    "Your neighbour's wrench is marked in N·m. 1 ft-lb is 1.3558 N·m.",
                    "the same torque once more",
                    "N*m",
                    of=tightening_torque,
                    given={"nut_factor": "0.2", "preload": "24,131.5 lb", "diameter": "0.75 in"},
                    hints=("Multiply the foot-pounds by 1.3558.",),
                ),
                "3,620 or 302 or 409: three numbers for one torque. Without the unit nobody knows which wrench you "
                "held.",
            ),
        ),
    ),
    asked=("weigh_in.net", "cable_tension.between_two_rows", "compression.loss"),
    learned=(
        "Every number has its unit, on every line.",
        "± says how far a reading can be trusted. Repeats make the scatter smaller, never the instrument's own error.",
        "Take off what a scale shows when it is empty, or with only the blocks on it.",
    ),
    sources=(
        sources.JCGM_100.at("4.2.3 and 5.1.2, the mean of repeats and adding up uncertainties"),
        sources.NIST_SP_811.at("appendix B, conversion factors"),
        sources.WENTZELL.at("example 6.1"),
    ),
)
