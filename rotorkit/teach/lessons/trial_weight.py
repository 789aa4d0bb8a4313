"""Lesson: balance, and what a trial weight tells."""

from __future__ import annotations

import math
from collections.abc import Mapping

from rotorkit import sources
from rotorkit.aircraft import Aircraft
from rotorkit.balance.by_hand import move_from_trial, weight_from_trial, what_the_trial_did
from rotorkit.pictures.data import Chart, Curve, Point
from rotorkit.quantities import Angle, Mass, Speed, in_unit, required_kind
from rotorkit.sheets.exercises import Exercise, Range
from rotorkit.sheets.exploring.knobs import Exploration, Knob, Seen, knob
from rotorkit.teach.lesson import Example, Lesson, Step

FAST, DEGREES = ("in/s", "mm/s"), ("deg", "deg")
FOUND_AT = 60.0
"""The phase, in degrees, at which the picture draws the run as found."""


def _knobs(_aircraft: Aircraft) -> list[Knob]:
    return [
        knob("as_found", "As found", Speed, FAST, "0.1 in/s", "0.8 in/s", (0.01, 0.5), "0.5 in/s"),
        knob("with_trial", "With the trial weight", Speed, FAST, "0.01 in/s", "0.8 in/s", (0.01, 0.5), "0.4 in/s"),
        knob("turned", "How far the arrow turned", Angle, DEGREES, "-180 deg", "180 deg", (5, 5), "50 deg"),
        knob("trial", "Trial weight", Mass, ("g", "g"), "5 g", "50 g", (1, 1), "20 g"),
    ]


def _see(aircraft: Aircraft, at: Mapping[str, float], _estimate: str) -> Seen:
    unit = "mm/s" if aircraft.aircraft.display == "metric" else "in/s"
    speed = required_kind(Speed)
    turned = math.degrees(at["turned"])

    def end(size: float, degrees: float) -> tuple[float, float]:
        length, angle = float(in_unit(size, unit, speed)), math.radians(degrees)
        return length * math.cos(angle), length * math.sin(angle)

    found, tried = end(at["as_found"], FOUND_AT), end(at["with_trial"], FOUND_AT + turned)

    def arrow(label: str, start: tuple[float, float], stop: tuple[float, float], style: str) -> Curve:
        return Curve(label, [start[0], stop[0]], [start[1], stop[1]], style)

    chart = Chart(
        "Arrows on paper",
        f"phase 0° to the right, {unit}",
        f"phase 90° upward, {unit}",
        (
            arrow("as found", (0.0, 0.0), found, "main"),
            arrow("with the trial weight", (0.0, 0.0), tried, "second"),
            arrow("what the weight did", found, tried, "third"),
        ),
        (),
        (Point("no shake", 0.0, 0.0),),
        equal=True,
    )
    short = abs(at["turned"])
    change = float(what_the_trial_did.si(at["as_found"], at["with_trial"], short))
    if change < 0.02 * at["as_found"]:
        return Seen([chart], ["The trial weight changed next to nothing, so it tells you nothing. Take a heavier one."])
    weight = float(in_unit(weight_from_trial.si(at["trial"], at["as_found"], change), "g", Mass))
    if short < math.radians(0.5) or short > math.radians(179.5):  # along one line
        opposite = short < 1 and at["with_trial"] > at["as_found"]
        where = f"{'opposite to ' if opposite else ''}where the trial weight sits"
    else:
        move = math.degrees(float(move_from_trial.si(at["as_found"], at["with_trial"], short)))
        way = "up" if turned > 0 else "down"
        where = f"{move:.0f}° from the trial weight's place, the way the phase went ({way})"
    return Seen(
        [chart],
        [
            f"The trial weight did {float(in_unit(change, unit, speed)):.3g} {unit}. Wanted: {weight:.1f} g, {where}.",
        ],
    )


LESSON = Lesson(
    name="trial_weight",
    order=14,
    title="Balance: what a trial weight tells",
    goal="From two runs, one as found and one with a trial weight, you can find how heavy a weight to fit, and where.",
    words=(
        "A heavy side pulls outward and goes round with the rotor: it shakes once a turn. The meter says how much, "
        "and the phase says when in the turn. Draw it as an arrow: as long as the shake is large, pointing where the "
        "phase says.",
        "You do not know what a gram does at that hub, or how late the meter is. So ask the rotor. Fit a weight that "
        "you know, run again, and draw the second arrow. From the tip of the first to the tip of the second is what "
        "the weight did, and nothing else.",
        "You want a weight whose arrow goes from the tip of the first arrow back to the middle. If that is longer "
        "than what the trial weight did, fit a heavier weight in the same ratio. If it points another way, move the "
        "weight round by that angle.",
        "Take the trial weight off again. Make both runs at the same rotor speed on the same day, with the track put "
        "right first. And find out whether angles are counted the way the phase rises or against it: the wrong way "
        "can double the shake.",
    ),
    picture=Exploration(
        "trial_weight",
        "arrows",
        "Two runs, three arrows",
        f"The run as found points to {FOUND_AT:.0f}°. Angles are counted here the way the phase rises.",
        _knobs,
        _see,
        closing="A picture to learn by: which weights go where, and how much in all, is your manual's to give. Nobody "
        "within the rotor's reach; weights secured each time.",
    ),
    look_for=(
        "Give both arrows the same length and no turn. What does the trial weight tell you?",
        "Set the turn to 180° and both to {0.5 in/s|12.5 mm/s}. Where does the weight go, and how heavy?",
    ),
    example=Example(
        "One plane, one trial weight",
        "A machine shakes with 3.4 mm/s at a phase of 116°. With 2 g fitted as a trial it shakes with 1.8 mm/s at 42°.",
        sources.VAUGHAN_BALANCING.at("example 2"),
        (
            Step(
                Exercise(
                    "did",
                    "What the trial weight did",
                    "Two arrows, {as_found} and {with_trial} long, with {between} between them: 116 less 42. Find "
                    "the third side of the triangle: add the squares of both sides, subtract twice their product "
                    "times the cosine, take the root. Or draw it and measure.",
                    "the length of the arrow from the first tip to the second",
                    "mm/s",
                    of=what_the_trial_did,
                    given={"as_found": "3.4 mm/s", "with_trial": "1.8 mm/s", "between": "74 deg"},
                    hints=("11.56 + 3.24 − 2 × 3.4 × 1.8 × 0.2756.", "The root of 11.43."),
                ),
                "Two grams move the tip of the arrow by nearly as much as the whole shake.",
            ),
            Step(
                Exercise(
                    "heavy",
                    "How heavy",
                    "{trial} made a change of {change}; {as_found} has to go.",
                    "the weight",
                    "g",
                    of=weight_from_trial,
                    given={"trial": "2.0 g", "as_found": "3.4 mm/s", "change": "3.380 mm/s"},
                    hints=("2.0 × 3.4 divided by 3.380.",),
                ),
                "By luck the trial weight was nearly right in size.",
                "2.01 g",
            ),
            Step(
                Exercise(
                    "round",
                    "Where",
                    "The angle at the tip of the first arrow: between the way back to the middle and what the trial "
                    "did. As found {as_found}, with the trial weight {with_trial}, {between} between them.",
                    "how far round from the trial weight's place",
                    "deg",
                    of=move_from_trial,
                    given={"as_found": "3.4 mm/s", "with_trial": "1.8 mm/s", "between": "74 deg"},
                    hints=(
                        "Along the first arrow the trial did 3.4 − 1.8 × 0.2756 = 2.904; in all it did 3.380.",
                        "2.904 / 3.380 is the cosine of the angle.",
                    ),
                ),
                "The phase fell from 116° to 42°, so the weight goes 30.8° the falling way, −30.8°, where angles are "
                "counted the way the phase rises.",
                "30.8 deg",
            ),
        ),
    ),
    own=(
        Exercise(
            name="weight",
            title="How heavy a weight",
            story=(
                "A rotor shakes with {as_found} once a turn. A trial weight of {trial} moved the tip of the arrow by "
                "{change}."
            ),
            find="the weight that takes the shake away",
            unit="g",
            of=weight_from_trial,
            given={
                "trial": Range("16.0 g", "24.0 g", "0.5 g"),
                "as_found": Range("0.42 in/s", "0.58 in/s", "0.01 in/s"),
                "change": Range("0.22 in/s", "0.36 in/s", "0.01 in/s"),
            },
            hints=(
                "The weight has to do more than the trial weight did: in what ratio?",
                "Trial weight × as found, divided by what it did.",
            ),
        ),
        Exercise(
            name="change",
            title="What the trial weight did",
            story=(
                "As found {as_found}, with the trial weight {with_trial}, and the phase turned by {between}. Sketch "
                "it, then use the law of cosines."
            ),
            find="how much the trial weight did",
            unit="in/s",
            of=what_the_trial_did,
            given={
                "as_found": Range("0.42 in/s", "0.58 in/s", "0.01 in/s"),
                "with_trial": Range("0.25 in/s", "0.38 in/s", "0.01 in/s"),
                "between": Range("35 deg", "75 deg", "1 deg"),
            },
            hints=(
                "From the tip of the one arrow to the tip of the other.",
                "Square of the one + square of the other − 2 × the one × the other × cos of the angle. Then the root.",
            ),
        ),
        Exercise(
            name="place",
            title="Where the weight goes",
            story=(
                "As found {as_found}, with the trial weight {with_trial}, and the phase turned by {between}. The angle "
                "is at the tip of the first arrow, between the way back to the middle and the way to the second tip."
            ),
            find="how far round from the trial weight's place the weight goes",
            unit="deg",
            of=move_from_trial,
            given={
                "as_found": Range("0.46 in/s", "0.60 in/s", "0.01 in/s"),
                "with_trial": Range("0.25 in/s", "0.36 in/s", "0.01 in/s"),
                "between": Range("35 deg", "75 deg", "1 deg"),
            },
            hints=(
                "Along the first arrow the trial did: as found − with trial × cos of the angle.",
                "That, divided by all that the trial did, is the cosine of the angle asked for.",
            ),
        ),
    ),
    learned=(
        "What the trial weight did goes from the tip of the first arrow to the tip of the second.",
        "Weight to fit: heavier in the ratio of the shake as found to what the trial weight did. Place: moved round "
        "by the angle between the two.",
        "Same rotor speed, trial weight off again, and know which way round the angles are counted.",
    ),
    sources=(sources.VAUGHAN_BALANCING.at("examples 1 and 2"), sources.ARITHMETIC.at("the law of cosines")),
)
