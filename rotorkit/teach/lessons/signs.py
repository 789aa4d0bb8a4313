"""Lesson: blade angles and their signs."""

from __future__ import annotations

from collections.abc import Mapping

from rotorkit import sources
from rotorkit.aircraft import Aircraft
from rotorkit.judging.limits import NO_LIMIT
from rotorkit.pictures.data import AngleRow, Angles
from rotorkit.quantities import Angle, in_unit, required_kind
from rotorkit.rigging.blade_angle import blade_angle, shaft_lean_protractor_turned_with_blade
from rotorkit.sheets.exercises import Exercise
from rotorkit.sheets.exploring.knobs import Exploration, Knob, Seen, knob
from rotorkit.teach.lesson import Example, Lesson, Step

DEGREES = ("deg", "deg")


def _knobs(_aircraft: Aircraft) -> list[Knob]:
    return [
        knob("reading", "Shown on the blade", Angle, DEGREES, "-15 deg", "20 deg", (0.5, 0.5), "9 deg"),
        knob("reference", "Shown on the reference", Angle, DEGREES, "-5 deg", "5 deg", (0.5, 0.5), "1.5 deg"),
    ]


def _see(_aircraft: Aircraft, at: Mapping[str, float], _estimate: str) -> Seen:
    angle = required_kind(Angle)
    shown, reference = (float(in_unit(at[name], "deg", angle)) for name in ("reading", "reference"))
    true = float(in_unit(blade_angle.si(at["reading"], at["reference"], 1.0), "deg", angle))
    rows = [
        AngleRow(label, degrees, 0.0, None, None, NO_LIMIT)
        for label, degrees in (
            ("shown on the blade", shown),
            ("shown on the reference", reference),
            ("blade angle", true),
        )
    ]
    picture = Angles("The blade's angle to its own shaft", "leading edge up", rows)
    taken = f"{shown:.4g} less {reference:.4g}" if reference >= 0 else f"{shown:.4g} less minus {-reference:.4g}"
    return Seen([picture], [f"Blade angle: {taken} is {true:.4g} degrees."])


LESSON = Lesson(
    name="signs",
    order=2,
    title="Blade angles and their signs",
    goal="You can turn two protractor readings into a blade angle with the right sign, even when one of them is "
    "below zero.",
    words=(
        "A protractor knows only one thing: which way is down. Laid on a blade, it shows the blade's angle and the "
        "lean of the whole helicopter added together. So you read it twice: on the blade, and on a surface fixed to "
        "the shaft, the reference. The blade angle is the first less the second.",
        "A sign says which way. Your aircraft file says it once and for all, for example that leading edge up is "
        "positive. Nobody has to guess, and nobody may change it halfway through.",
        "Subtracting a minus adds. If the reference shows 2° below zero, written −2°, then 9° less −2° is 11°. If in "
        "doubt, draw the two lines on paper: the angle between them is what you want.",
    ),
    picture=Exploration(
        "signs",
        "signs",
        "Two readings, one angle",
        "Move the two sliders; the lowest line is the blade angle.",
        _knobs,
        _see,
        closing="A picture to learn from. The limits are in your manual.",
    ),
    look_for=(
        "Leave the blade where it is and take the reference through zero: the blade angle keeps changing smoothly.",
        "Find two different pairs of readings that give a blade angle of 10°. Each is a different slope of the "
        "hangar floor.",
    ),
    example=Example(
        "A main-rotor blade on a sloping floor",
        "Three readings on one blade station: 9.4°, 9.6° and 9.5°. On the flange of the shaft the protractor shows "
        "1.2° below zero. Leading edge up is positive. These figures are our own; they are not from a publication.",
        sources.COMMON_PRACTICE.at("reading less reference"),
        (
            Step(
                Exercise(
                    "low_reference",
                    "Subtracting a minus",
                    "The mean of the three is {reading}; the reference shows {reference}.",
                    "the blade angle",
                    "deg",
                    of=blade_angle,
                    given={"reading": "9.5 deg", "reference": "-1.2 deg", "sign": "1"},
                    hints=(
                        "Subtract what the reference shows: 9.5 less −1.2.",
                        "Subtracting a minus adds: 9.5 plus 1.2.",
                    ),
                ),
                "The shaft leans the other way, so the blade's angle to the shaft is larger than the reading on the "
                "blade.",
            ),
            Step(
                Exercise(
                    "other_edge",
                    "The other way round",
                    "A helper held the protractor from the other side. It shows {reading} on the blade and "
                    "{reference} on the flange, and its readings now rise when the leading edge goes down.",
                    "the blade angle",
                    "deg",
                    of=blade_angle,
                    given={"reading": "-9.5 deg", "reference": "1.2 deg", "sign": "-1"},
                    hints=(
                        "First the difference: −9.5 less 1.2.",
                        "Then change the sign, because held this way round the reading falls as the leading edge "
                        "rises.",
                    ),
                ),
                "Same blade, same angle: turning the protractor round changes both signs, and the sign in front puts "
                "that right.",
            ),
            Step(
                Exercise(
                    "lean",
                    "How far the shaft leans",
                    "You turn the rotor half a turn, with the protractor staying the same way round on the blade: "
                    "{first} here, {second} half a turn later.",
                    "the lean of the shaft, with the sign that the flange would show at the first reading",
                    "deg",
                    digits=2,
                    of=shaft_lean_protractor_turned_with_blade,
                    given={"first": "9.5 deg", "second": "11.9 deg"},
                    hints=(
                        "Half a turn later the lean has the opposite sign: the difference is twice the lean.",
                        "First less second, then half.",
                    ),
                    sign=-1,
                ),
                "Two readings half a turn apart give the blade angle (their mean) and the lean (half their "
                "difference).",
            ),
        ),
    ),
    asked=("blade_angles.less_the_reference", "blade_angles.what_to_show", "blade_angles.half_a_turn"),
    learned=(
        "Blade angle is reading less reference, each with its own sign.",
        "Which way is positive is written down once and is then the same for everybody.",
        "Half a turn apart, the mean is the blade and half the difference is the lean.",
    ),
    sources=(
        sources.COMMON_PRACTICE.at("reading less reference"),
        sources.ARITHMETIC.at("angles between two planes that lean alike"),
    ),
)
