"""Lesson: loading, and staying inside the envelope."""

from __future__ import annotations

import itertools
from collections.abc import Mapping

from rotorkit import sources
from rotorkit.aircraft import Aircraft
from rotorkit.mass.moments import (
    ballast_mass,
    centre_of_gravity,
    centre_of_gravity_after_change,
    centre_of_gravity_change_by_shift,
    mass_moment,
)
from rotorkit.pictures.data import Chart, Curve, Point
from rotorkit.quantities import Length, Mass, in_unit, read, required_kind
from rotorkit.sheets.exercises import Exercise, Range
from rotorkit.sheets.exploring.knobs import Exploration, Knob, Seen, knob
from rotorkit.teach.lesson import Example, Lesson, Step

EMPTY, EMPTY_ARM, SEAT_ARM, TANK_ARM = "850 lb", "105 in", "75 in", "108 in"
CORNERS = (("900 lb", "95 in"), ("1,350 lb", "95 in"), ("1,350 lb", "101 in"), ("900 lb", "103.5 in"))
"""An invented envelope: each corner's mass and arm."""


def _knobs(_aircraft: Aircraft) -> list[Knob]:
    return [
        knob("pilot", "Pilot", Mass, ("lb", "kg"), "100 lb", "260 lb", (5, 2), "170 lb"),
        knob("passenger", "Passenger", Mass, ("lb", "kg"), "0 lb", "260 lb", (5, 2), "0 lb"),
        knob("fuel", "Fuel at the start", Mass, ("lb", "kg"), "10 lb", "160 lb", (5, 2), "120 lb"),
    ]


def _see(aircraft: Aircraft, at: Mapping[str, float], _estimate: str) -> Seen:
    metric = aircraft.aircraft.display == "metric"
    length, heavy = ("mm", "kg") if metric else ("in", "lb")
    mass, arm = required_kind(Mass), required_kind(Length)

    def loaded(fuel: float) -> tuple[float, float]:
        """Mass and arm, in SI units, with so much fuel left."""
        whole, place = float(read(EMPTY, Mass).si), float(read(EMPTY_ARM, Length).si)
        seats, tank = float(read(SEAT_ARM, Length).si), float(read(TANK_ARM, Length).si)
        for added, where in ((at["pilot"], seats), (at["passenger"], seats), (fuel, tank)):
            place = float(centre_of_gravity_after_change.si(whole, place, added, where))
            whole += added
        return whole, place

    def shown(load: tuple[float, float]) -> tuple[float, float]:
        return float(in_unit(load[1], length, arm)), float(in_unit(load[0], heavy, mass))

    corners = [
        (float(in_unit(read(x, Length).si, length, arm)), float(in_unit(read(m, Mass).si, heavy, mass)))
        for m, x in (*CORNERS, CORNERS[0])
    ]
    path = [shown(loaded(at["fuel"] * (1 - k / 10))) for k in range(11)]
    start, dry = path[0], path[-1]
    chart = Chart(
        "Inside the envelope, at the start and when the tank is dry",
        f"centre of gravity, {length} aft of the datum",
        f"weight of the whole helicopter, {heavy}",
        (
            Curve("invented envelope", [x for x, _ in corners], [y for _, y in corners], "bound"),
            Curve("as the fuel burns", [x for x, _ in path], [y for _, y in path]),
        ),
        (),
        (Point("at the start", *start), Point("tank dry", *dry)),
    )
    outside = [where for where, point in (("at the start", start), ("with the tank dry", dry))
               if not _inside(point, corners)]  # fmt: skip
    verdict = f"Outside {' and '.join(outside)}." if outside else "Inside at the start and with the tank dry."
    return Seen(
        [chart],
        [
            f"{start[1]:,.0f} {heavy} at {start[0]:.1f} {length}; "
            f"tank dry {dry[1]:,.0f} {heavy} at {dry[0]:.1f} {length}.",
            verdict,
        ],
    )


def _inside(point: tuple[float, float], corners: list[tuple[float, float]]) -> bool:
    """Whether a point lies in an outline whose corners go round one way and that turns inwards nowhere."""
    x, y = point
    sides = [(x2 - x1) * (y - y1) - (y2 - y1) * (x - x1) for (x1, y1), (x2, y2) in itertools.pairwise(corners)]
    return max(sides) <= 0 or min(sides) >= 0


LESSON = Lesson(
    name="envelope",
    order=10,
    title="Loading, and staying inside",
    goal="You can load a helicopter on paper, find its centre of gravity, and say what brings it back inside.",
    words=(
        "The manual draws an outline: weight up the page, centre of gravity across it. Inside it, somebody has flown "
        "every corner. Outside it, nobody promises that the stick will reach far enough.",
        "Two or three loadings are not enough. Look at the worst ones: a heavy pilot with little fuel, a light pilot "
        "alone with full tanks, both seats full. Then look again with the tank dry, because the fuel leaves and the "
        "people do not.",
        "A helicopter hangs from its mast. Loaded too far forward, the nose hangs down and you hold the stick back. "
        "When you then want to slow down, the stick is already at its stop. That is how it hurts people.",
        "To bring it back inside, move something first: that costs no weight. Then add ballast, as far out as the "
        "manual allows, so that you need little of it.",
    ),
    picture=Exploration(
        "envelope",
        "load",
        "Who is aboard, and how much fuel",
        f"An invented helicopter weighs {EMPTY} (386 kg) empty, at {EMPTY_ARM} (2,667 mm). Its seats are at {SEAT_ARM} "
        f"(1,905 mm), its tank at {TANK_ARM} (2,743 mm).",
        _knobs,
        _see,
        closing="A picture to learn from. The envelope is invented; yours is in your manual, and there is a lateral "
        "one too.",
    ),
    look_for=(
        "Both seats at {200 lb|90 kg}: which side does it leave, and does more fuel help or hurt?",
        "Find the lightest pilot who may fly alone with a full tank.",
    ),
    example=Example(
        "The most forward loading",
        "An aircraft weighs 1,169 lb empty, its centre of gravity 10.6 in aft of the datum; its forward limit is "
        "8.5 in. Oil 17 lb at −49 in, pilot 170 lb at 16 in, fuel at 22 in: as little of it as is allowed.",
        sources.AC_43_13_1B.at("figure 10-10"),
        (
            Step(
                Exercise(
                    "oil",
                    "What lies forward of the datum",
                    "Oil, {mass}, arm {arm}: forward of the datum is negative.",
                    "its moment",
                    "lb*in",
                    of=mass_moment,
                    given={"mass": "17 lb", "arm": "-49 in"},
                    hints=("17 × 49, and the sign of the arm.",),
                    sign=-1,
                ),
                "A minus here is the whole point: it pulls the sum forward. The others: empty 12,391, pilot 2,720, "
                "fuel 83 lb with 1,826.",
            ),
            Step(
                Exercise(
                    "forward",
                    "How far forward",
                    "The moments add up to {moment}, the weights to {mass}.",
                    "the centre of gravity",
                    "in",
                    of=centre_of_gravity,
                    given={"moment": "16,104 lb*in", "mass": "1,439 lb"},
                    hints=("Moment divided by weight.",),
                ),
                "Its forward limit is 8.5 in, and this was the most forward that it can be loaded: inside, with 2.7 in "
                "to spare.",
                "11.2 in",
            ),
            Step(
                Exercise(
                    "at_the_nose",
                    "How much more the nose could carry",
                    "The helicopter weighs {mass} at {arm}. Weight is added where the oil is, at {ballast_arm}, "
                    "until the centre of gravity is at {wanted}.",
                    "the weight to add",
                    "lb",
                    of=ballast_mass,
                    given={"mass": "1,439 lb", "arm": "11.19 in", "wanted": "8.5 in", "ballast_arm": "-49 in"},
                    hints=(
                        "The moment still to find is 1,439 × (11.19 − 8.5).",
                        "Each pound there brings 49 + 8.5 = 57.5 in.",
                    ),
                ),
                "Far from the centre of gravity a little weight does much: good for ballast, bad for a tool box.",
            ),
        ),
    ),
    own=(
        Exercise(
            name="moved",
            title="Moving something",
            story=(
                "A helicopter of {mass} has its battery, {shifted}, at {from_arm} aft of the datum. It is moved to "
                "{to_arm}."
            ),
            find="how far the centre of gravity moves (aft is positive)",
            unit="in",
            of=centre_of_gravity_change_by_shift,
            given={
                "shifted": Range("21.0 lb", "29.0 lb", "0.5 lb"),
                "from_arm": Range("40.0 in", "52.0 in", "0.5 in"),
                "to_arm": Range("140.0 in", "158.0 in", "0.5 in"),
                "mass": Range("1,150 lb", "1,340 lb", "5 lb"),
            },
            hints=(
                "Nothing is added: the moment changes, the weight does not.",
                "Weight moved × how far it is moved, divided by the weight of the whole.",
            ),
        ),
        Exercise(
            name="burnt",
            title="The fuel is gone",
            story=(
                "At the start the helicopter weighs {mass} with its centre of gravity at {arm}. The fuel that is burnt "
                "changes it by {change}, at {change_arm}."
            ),
            find="the centre of gravity at landing",
            unit="in",
            digits=4,
            of=centre_of_gravity_after_change,
            given={
                "mass": Range("1,260 lb", "1,340 lb", "5 lb"),
                "arm": Range("96.0 in", "99.0 in", "0.1 in"),
                "change": Range("-140 lb", "-90 lb", "1 lb"),
                "change_arm": Range("107.0 in", "112.0 in", "0.5 in"),
            },
            hints=(
                "The moment before, less the fuel's own moment.",
                "Divide by what the helicopter weighs then.",
            ),
        ),
        Exercise(
            name="ballast",
            title="Ballast",
            story=(
                "A helicopter of {mass}, flown solo by a light pilot, has its centre of gravity at {arm}; the aft "
                "limit is {wanted}. Ballast may be put at {ballast_arm}."
            ),
            find="the least ballast that brings it to the limit",
            unit="lb",
            of=ballast_mass,
            given={
                "mass": Range("1,020 lb", "1,120 lb", "5 lb"),
                "arm": Range("102.0 in", "103.2 in", "0.1 in"),
                "wanted": "101.0 in",
                "ballast_arm": Range("38.0 in", "52.0 in", "0.5 in"),
            },
            hints=(
                "How much moment is too much, measured from the limit?",
                "Weight × how far it is past the limit, divided by how far the ballast is from the limit.",
            ),
        ),
    ),
    learned=(
        "Look at the worst loadings, and at each of them with the tank dry.",
        "Moving something adds no weight: weight moved × distance moved, divided by the weight of the whole.",
        "Ballast works by its distance: far out, you need little.",
    ),
    sources=(sources.AC_43_13_1B.at("chapter 10"), sources.FAA_H_8083_1.at("weight and balance handbook")),
)
