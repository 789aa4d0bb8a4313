"""Lesson: pitch links, threads, and what to turn."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from rotorkit import sources
from rotorkit.aircraft import Aircraft
from rotorkit.pictures.data import Chart, Curve, Point
from rotorkit.quantities import Length, Ratio, in_unit, required_kind
from rotorkit.rigging.cable import end_stiffness
from rotorkit.rigging.pitch_link import angle_from_length_change
from rotorkit.rigging.threads import length_change_both_ends, stretch_under_force, turn_of_nut
from rotorkit.sheets.exercises import Exercise
from rotorkit.sheets.exploring.knobs import Exploration, Knob, Seen, knob
from rotorkit.teach.lesson import Example, Lesson, Step

INCHES = ("in", "mm")


def _knobs(_aircraft: Aircraft) -> list[Knob]:
    return [
        knob("arm", "Arm of the pitch horn", Length, INCHES, "3 in", "9 in", (0.25, 5), "6 in"),
        knob("pitch", "Thread: from crest to crest", Length, INCHES, "0.025 in", "0.05 in", (0.001, 0.05), "0.0357 in"),
        knob("flats", "Flats of the barrel", Ratio, ("", ""), "-12", "12", (1, 1), "2"),
    ]


def _see(_aircraft: Aircraft, at: Mapping[str, float], _estimate: str) -> Seen:
    flats = np.arange(-12, 13)
    angle = required_kind(angle_from_length_change.kind)

    def degrees(count: object) -> np.ndarray:
        grown = length_change_both_ends.si(at["pitch"], at["pitch"], np.asarray(count, dtype=float) / 6)
        return np.asarray(in_unit(angle_from_length_change.si(grown, at["arm"]), "deg", angle))

    here, count = float(degrees(round(at["flats"]))), round(at["flats"])
    grown = float(in_unit(length_change_both_ends.si(at["pitch"], at["pitch"], count / 6), "in", Length))
    chart = Chart(
        "What a flat does",
        "flats of the barrel, longer is positive",
        "blade angle, degrees",
        (Curve("change of the blade angle", [float(n) for n in flats], [float(one) for one in degrees(flats)]),),
        (),
        (Point("here", float(count), here),),
    )
    return Seen(
        [chart], [f"{count} flats make the link {grown:+.4f} in longer and the blade angle {here:+.3f} degrees more."]
    )


LESSON = Lesson(
    name="pitch_links",
    order=3,
    title="Pitch links, and what to turn",
    goal="You can say how much longer a link must be for one degree, and how many turns of the barrel that takes.",
    words=(
        "A pitch link pushes a horn, and the horn turns the blade. The longer the horn's arm, the less the blade "
        "turns for the same change of length. The sine of the angle is the change of length divided by the arm.",
        "The threads make the link longer. One turn of a barrel with a right-hand and a left-hand thread moves both "
        "ends: the link grows by the sum of the two pitches. A thread of 28 to the inch has a pitch of 1/28, or "
        "0.0357 in.",
        "A barrel with six flats is turned one flat at a time: a sixth of a turn. Watch the first flat: does the "
        "link get longer or shorter? When you are done, check the witness holes and lock it. What your manual says "
        "about the links comes first.",
    ),
    picture=Exploration(
        "pitch_links",
        "link",
        "Turn the barrel",
        "Change the arm, the thread and the flats.",
        _knobs,
        _see,
        closing="A picture to learn from. It takes the horn as square to the link. Your manual says what to turn.",
    ),
    look_for=(
        "How many flats give half a degree with an arm of {6 in? And with 9 in|150 mm? And with 225 mm}?",
        "A finer thread (smaller pitch) needs more flats, and can be set more closely.",
    ),
    example=Example(
        "From stretch to wrench angle",
        "A bolt has an area of 0.334 in² and is 5 in long. It is to pull 24,131.5 lb. The modulus of steel is "
        "30,000,000 psi. The thread has ten turns to the inch: how far must the nut turn once it is snug? The "
        "calculation is the same as for a link: from a length to turns.",
        sources.WENTZELL.at("example 6.2"),
        (
            Step(
                Exercise(
                    "springs",
                    "The bolt as a spring",
                    "The stiffness of a bar is its modulus (how hard the metal is to stretch) times its area, here "
                    "{axial_stiffness}, divided by its length, {length}.",
                    "the stiffness",
                    "lb/in",
                    of=end_stiffness,
                    given={"axial_stiffness": "10,020,000 lb", "length": "5 in"},
                    hints=("10,020,000 divided by 5.",),
                ),
                "Every bar is a spring, just a very stiff one.",
            ),
            Step(
                Exercise(
                    "stretch",
                    "How far it stretches",
                    "The pull is {force}, the stiffness {stiffness}.",
                    "the stretch",
                    "in",
                    digits=4,
                    of=stretch_under_force,
                    given={"force": "24,131.5 lb", "stiffness": "2,004,000 lb/in"},
                    hints=("Pull divided by stiffness.",),
                ),
                "Twelve thousandths of an inch: the width of about four hairs.",
            ),
            Step(
                Exercise(
                    "turn",
                    "How far to turn",
                    "The nut has to move {length_change}. One turn moves it {pitch}; one turn is 360°.",
                    "the angle to turn",
                    "deg",
                    digits=4,
                    of=turn_of_nut,
                    given={"length_change": "0.0120417 in", "pitch": "0.1 in"},
                    hints=("What fraction of 0.1 is 0.0120417?", "0.120417 of a turn, times 360."),
                ),
                "Length divided by pitch is turns. A barrel with two threads moves twice as far for each turn.",
                "43.35 deg",
            ),
        ),
    ),
    asked=("pitch_rigging.link_for_an_angle", "pitch_rigging.turns_of_the_link", "cable_rigging.turns_of_a_barrel"),
    learned=(
        "The sine of the angle is the change of length divided by the arm. Short arm, large angle.",
        "Turns are the change of length divided by what one turn gives: one pitch if one end moves, the sum of both "
        "pitches if both ends move, with threads of opposite hand.",
        "Watch which way the first flat moves it; check the witness holes when done; lock it.",
    ),
    sources=(sources.WENTZELL.at("examples 6.1 and 6.2"), sources.ARITHMETIC.at("a lever's arm and a thread's pitch")),
)
