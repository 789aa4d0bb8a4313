"""Lesson: weighing, moments and the centre of gravity."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from rotorkit import sources
from rotorkit.aircraft import Aircraft
from rotorkit.mass.moments import centre_of_gravity, centre_of_gravity_after_change, mass_moment
from rotorkit.pictures.data import Chart, Curve, Point
from rotorkit.quantities import Length, Mass, in_unit, read, required_kind
from rotorkit.sheets.exercises import Exercise
from rotorkit.sheets.exploring.knobs import Exploration, Knob, Seen, knob
from rotorkit.teach.lesson import Example, Lesson, Step

EMPTY, EMPTY_ARM, FORE, AFT = "850 lb", "105 in", "40 in", "200 in"


def _knobs(_aircraft: Aircraft) -> list[Knob]:
    return [
        knob("added", "What is put in", Mass, ("lb", "kg"), "0 lb", "400 lb", (5, 2), "180 lb"),
        knob("arm", "Its arm, aft of the datum", Length, ("in", "mm"), FORE, AFT, (1, 25), "75 in"),
    ]


def _see(aircraft: Aircraft, at: Mapping[str, float], _estimate: str) -> Seen:
    unit = "mm" if aircraft.aircraft.display == "metric" else "in"
    length = required_kind(Length)
    arms = np.linspace(read(FORE, Length).si, read(AFT, Length).si, 33)
    mass, empty = float(read(EMPTY, Mass).si), float(read(EMPTY_ARM, Length).si)

    def centre(arm: object) -> np.ndarray:
        return np.asarray(in_unit(centre_of_gravity_after_change.si(mass, empty, at["added"], arm), unit, length))

    along = [float(one) for one in in_unit(arms, unit, length)]
    here, was = float(centre(at["arm"])), float(in_unit(empty, unit, length))
    chart = Chart(
        "Where the centre of gravity goes",
        f"arm of what is put in, {unit}",
        f"centre of gravity, {unit} aft of the datum",
        (
            Curve("with it aboard", along, [float(one) for one in centre(arms)]),
            Curve("empty", [along[0], along[-1]], [was, was], "bound"),
        ),
        (),
        (Point("here", float(in_unit(at["arm"], unit, length)), here),),
    )
    way = "forward" if here < was else "aft"
    return Seen([chart], [f"The centre of gravity moves {way} by {abs(here - was):.3g} {unit}, to {here:.4g} {unit}."])


LESSON = Lesson(
    name="weighing",
    order=9,
    title="Weighing, and where the weight is",
    goal="You can find the centre of gravity from scales and arms, and say which way it moves when something is put "
    "in or taken out.",
    words=(
        "An arm is the distance from the datum, a line that the manual draws: aft is positive, forward of it negative. "
        "A moment is a weight times its arm. Add up the moments and divide by the total weight: that is the arm of "
        "the centre of gravity.",
        "Think of a plank on a sawhorse. A child far out balances a man close in: weight times arm is what counts.",
        "Sideways it works the same way, with right positive. A helicopter hangs from one point, so both directions "
        "have limits, and both matter when you fly solo.",
        "What is taken out has a negative weight; what is forward of the datum has a negative arm. Two minuses make "
        "a plus: taking the battery out of the nose moves the centre of gravity aft.",
    ),
    picture=Exploration(
        "weighing",
        "balance",
        "Somebody climbs in",
        f"An empty helicopter weighs {EMPTY} (386 kg), with its centre of gravity at {EMPTY_ARM} (2,667 mm).",
        _knobs,
        _see,
        closing="A picture to learn from. Weights and arms come from your weighing, limits from your manual.",
    ),
    look_for=(
        "{Put the weight at 105 in. The centre of gravity does not move: why?|Put the weight as near 2,667 mm as "
        "you can. The centre of gravity hardly moves: why?}",
        "How far aft must {100 lb go to undo what 200 lb at 75 in|45 kg go to undo what 90 kg at 1,900 mm} did?",
    ),
    example=Example(
        "Two aboard: where is the centre of gravity?",
        "A helicopter weighs 1,545 lb empty, at 101.4 in. The pilot, 170 lb, and the passenger, 250 lb, both sit at "
        "64 in. Fuel: 288 lb at 96 in.",
        sources.FAA_H_8083_1.at("the helicopter chapter", "memory"),
        (
            Step(
                Exercise(
                    "moment",
                    "The empty moment",
                    "Weight {mass}, arm {arm}.",
                    "the moment",
                    "lb*in",
                    digits=4,
                    of=mass_moment,
                    given={"mass": "1,545 lb", "arm": "101.4 in"},
                    hints=("1,545 × 101.4.",),
                ),
                "The others: 10,880 for the pilot, 16,000 for the passenger, 27,648 for the fuel.",
            ),
            Step(
                Exercise(
                    "whole",
                    "The centre of gravity with everybody aboard",
                    "The moments add up to {moment}, the weights to {mass}.",
                    "the centre of gravity",
                    "in",
                    of=centre_of_gravity,
                    given={"moment": "211,191 lb*in", "mass": "2,253 lb"},
                    hints=("Moment divided by weight.",),
                ),
                "Nearly eight inches forward of the empty one: people sit in front.",
                "93.7 in",
            ),
            Step(
                Exercise(
                    "gone",
                    "The passenger gets out",
                    "Start from {mass} at {arm}; the change is {change} at {change_arm}: taken out, so minus.",
                    "the centre of gravity",
                    "in",
                    of=centre_of_gravity_after_change,
                    given={"mass": "2,253 lb", "arm": "93.74 in", "change": "-250 lb", "change_arm": "64 in"},
                    hints=("Moment: 211,196 less 250 × 64.", "195,196 divided by 2,003."),
                ),
                "Taking weight out of the front moves the centre of gravity aft.",
            ),
        ),
    ),
    asked=("weigh_in.centre", "loading.somebody_aboard", "equipment_ledger.taken_out"),
    learned=(
        "Moment is weight times arm. The centre of gravity is total moment divided by total weight.",
        "Forward of the datum is negative; taken out is negative.",
        "Both directions count, fore and aft and sideways. Check the worst loading, not the usual one.",
    ),
    sources=(sources.FAA_H_8083_1.at("weight and balance handbook"), sources.AC_43_13_1B.at("chapter 10")),
)
