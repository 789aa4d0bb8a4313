"""Lesson: torque, power, and the shaft between them."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from rotorkit import sources
from rotorkit.aircraft import Aircraft
from rotorkit.drive.shafts import shaft_twist, torque_for_stress, torque_from_power, torsion_stress
from rotorkit.pictures.data import Chart, Curve, Point
from rotorkit.quantities import Angle, Length, Power, RotationRate, Stress, Torque, in_unit, read
from rotorkit.sheets.exercises import Exercise, Range
from rotorkit.sheets.exploring.knobs import Exploration, Knob, Seen, knob
from rotorkit.teach.lesson import Example, Lesson, Step

THINNEST, THICKEST, BORE_SHARE = "1 in", "2.5 in", 0.8
STEEL, LONG = "11.5e6 psi", "48 in"


def _knobs(_aircraft: Aircraft) -> list[Knob]:
    return [
        knob("power", "Power", Power, ("hp", "kW"), "20 hp", "200 hp", (5, 5), "120 hp"),
        knob("speed", "Speed of the shaft", RotationRate, ("rpm", "rpm"), "500 rpm", "3,000 rpm", (50, 50),
             "2,500 rpm"),
        knob("diameter", "Outside diameter", Length, ("in", "mm"), THINNEST, THICKEST, (0.05, 1), "1.5 in"),
    ]  # fmt: skip


def _see(aircraft: Aircraft, at: Mapping[str, float], _estimate: str) -> Seen:
    metric = aircraft.aircraft.display == "metric"
    length, stress, turning = ("mm", "MPa", "N*m") if metric else ("in", "psi", "lbf*ft")
    torque = float(torque_from_power.si(at["power"], at["speed"]))
    across = np.linspace(read(THINNEST, Length).si, read(THICKEST, Length).si, 31)

    def shown(values: object) -> list[float]:
        return [float(one) for one in np.atleast_1d(in_unit(values, stress, Stress))]

    along = [float(one) for one in in_unit(across, length, Length)]
    here = shown(torsion_stress.si(torque, at["diameter"], 0.0))[0]
    tube = shown(torsion_stress.si(torque, at["diameter"], BORE_SHARE * at["diameter"]))[0]
    bored = torsion_stress.si(torque, across, BORE_SHARE * across)
    chart = Chart(
        "What the torque does to the shaft",
        f"outside diameter, {length}",
        f"shear stress at the outside, {stress}",
        (
            Curve("solid", along, shown(torsion_stress.si(torque, across, across * 0))),
            Curve("tube, its bore 0.8 of the outside", along, shown(bored),
                  "second"),
        ),
        (),
        (Point("here", float(in_unit(at["diameter"], length, Length)), here),),
    )  # fmt: skip
    steel, long = read(STEEL, Stress).si, read(LONG, Length).si
    twist = float(in_unit(shaft_twist.si(torque, long, steel, at["diameter"], 0.0), "deg", Angle))
    carried = float(in_unit(torque, turning, Torque))
    unit = turning.replace("*", "·")
    weight = 1 - BORE_SHARE**2
    return Seen(
        [chart],
        [
            f"It carries {carried:.0f} {unit}: {here:,.0f} {stress} if solid, and four feet of steel twist by "
            f"{twist:.1f}°.",
            f"The tube has {tube / here:.2f} times the stress, and weighs {weight:.2f} times as much.",
        ],
    )


LESSON = Lesson(
    name="torque",
    order=11,
    title="Torque, power, and the shaft between them",
    goal="You can say what torque a shaft carries at a power and a speed, and what that does to the metal.",
    words=(
        "Torque is a force times the arm it pulls on: {20 pounds on a one-foot spanner make 20 pound-feet|100 newtons "
        "on a spanner of a quarter of a metre make 25 newton metres}. Power is torque times how fast it turns.",
        "So the same power at half the speed needs twice the torque. A mast that turns five times slower than the "
        "engine carries five times its torque. That is why the mast is so thick and the belt shaft is not.",
        "Torque tries to slide each slice of the metal round over the next. That is shear stress. It is greatest at "
        "the surface and zero in the middle, so the middle of a solid bar carries hardly anything. Bore it out to "
        "half its thickness: it weighs a quarter less and keeps 15 parts in 16 of its strength.",
        "The diameter counts three times over: twice as thick is eight times as strong. A scratch, a rust pit or the "
        "corner of a keyway takes much of that away, because there the stress is far higher than any formula here "
        "says.",
    ),
    picture=Exploration(
        "torque",
        "shaft",
        "Power, speed and thickness",
        "Move the three sliders.",
        _knobs,
        _see,
        closing="A picture to learn by: what a shaft may carry is its maker's to say. An engine's torque comes in "
        "kicks, well above the mean that is worked here.",
    ),
    look_for=(
        "Halve the speed. What happens to the torque, and to the stress?",
        "How much thicker must the bar be to bring the stress down to half? Less than you think.",
    ),
    example=Example(
        "A steel bar under torque",
        "A solid steel bar, 1.5 in thick and 54 in long, carries 250 lbf·ft. Its shear modulus, how stiff steel is "
        "against sliding, is 11.5 million psi.",
        sources.GERE.at("example 3.1, p. 196"),
        (
            Step(
                Exercise(
                    "shear",
                    "The stress at the outside",
                    "16 × torque, divided by π × the diameter cubed. Torque {torque}, diameter {outer_diameter}, and "
                    "no hole: psi want the torque in pound-inches.",
                    "the shear stress",
                    "psi",
                    of=torsion_stress,
                    given={"torque": "250 lbf*ft", "outer_diameter": "1.5 in", "inner_diameter": "0 in"},
                    hints=("250 pound-feet are 3,000 pound-inches.", "16 × 3,000 divided by π × 3.375."),
                ),
                "At the middle of the bar there is no stress at all.",
                "4527 psi",
            ),
            Step(
                Exercise(
                    "twist",
                    "How far it twists",
                    "Twist is 32 × torque × length, divided by π × shear modulus × diameter to the fourth. Torque "
                    "{torque}, length {length}, modulus {shear_modulus}, diameter {outer_diameter}.",
                    "the twist from end to end",
                    "deg",
                    of=shaft_twist,
                    given={
                        "torque": "250 lbf*ft",
                        "length": "54 in",
                        "shear_modulus": "11.5e6 psi",
                        "outer_diameter": "1.5 in",
                        "inner_diameter": "0 in",
                    },
                    hints=(
                        "In inches and pounds it comes to 0.0283: that is in radians.",
                        "One radian is 57.3 degrees.",
                    ),
                ),
                "A shaft is a spring too: with the rotor at its end it has a swing of its own.",
                "1.62 deg",
            ),
            Step(
                Exercise(
                    "allowed",
                    "What it may carry",
                    "The stress in a bar of {outer_diameter} may reach {shear_stress}.",
                    "the torque that makes that much stress",
                    "lbf*ft",
                    of=torque_for_stress,
                    given={"shear_stress": "6000 psi", "outer_diameter": "1.5 in", "inner_diameter": "0 in"},
                    hints=(
                        "Stress and torque rise together: 250 lbf·ft made 4,527 psi.",
                        "250 × 6,000 divided by 4,527.",
                    ),
                ),
                "More stress allowed, more torque carried, in proportion.",
                "331 lbf*ft",
            ),
        ),
    ),
    own=(
        Exercise(
            name="from_power",
            title="From power to torque",
            story="A belt shaft carries {power} at {speed}. Power is torque times radians per second.",
            find="its mean torque",
            unit="lbf*ft",
            of=torque_from_power,
            given={
                "power": Range("105 hp", "135 hp", "1 hp"),
                "speed": Range("2,300 rpm", "2,700 rpm", "10 rpm"),
            },
            hints=(
                "{One horsepower is 550 pound-feet in each second|One kilowatt is 1,000 newton metres in each "
                "second}. Turns a minute × 2π / 60 are radians a second.",
                "{550 × horsepower|1,000 × kilowatts}, divided by radians a second.",
            ),
        ),
        Exercise(
            name="tube",
            title="A tube in place of a bar",
            story=(
                "A shaft is a tube {outer_diameter} outside and {inner_diameter} inside. It carries {torque}. The "
                "stress is 16 × torque × outside diameter, divided by π × (outside to the fourth less inside to the "
                "fourth)."
            ),
            find="the shear stress at its outside",
            unit="psi",
            of=torsion_stress,
            given={
                "torque": Range("205 lbf*ft", "295 lbf*ft", "5 lbf*ft"),
                "outer_diameter": Range("1.55 in", "1.95 in", "0.05 in"),
                "inner_diameter": "1.25 in|32 mm",
            },
            hints=(
                "Turn the torque into {pound-inches first: × 12|newton millimetres first: × 1,000}.",
                "Take both diameters to the fourth power and subtract, before you multiply by π.",
            ),
        ),
    ),
    asked=("shaft_connections.key",),
    learned=(
        "Power is torque times speed: the slower shaft carries more torque for the same power.",
        "Stress is greatest at the surface. Twice as thick is eight times as strong.",
        "{Inches with pounds, feet with pounds: never both in one line.|Millimetres with N/mm², metres with N/m²: "
        "never both in one line.} An engine's torque comes in kicks.",
    ),
    sources=(sources.GERE.at("chapter 3"), sources.SHAFT_TORSION.at("round bars and tubes")),
)
