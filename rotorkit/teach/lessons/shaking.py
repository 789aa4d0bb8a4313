"""Lesson: what shakes, how often, and how hard."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from rotorkit import sources
from rotorkit.aircraft import Aircraft
from rotorkit.drive.speeds import blade_passage_frequency
from rotorkit.pictures.data import Chart, Curve
from rotorkit.quantities import Frequency, Length, Ratio, RotationRate, Speed, in_unit
from rotorkit.sheets.exercises import Exercise
from rotorkit.sheets.exploring.knobs import Exploration, Knob, Seen, knob
from rotorkit.teach.lesson import Example, Lesson, Step
from rotorkit.vibration.sine import acceleration_from_velocity, displacement_from_velocity, velocity_from_displacement

THOUS = ("in", "mm")
LABORATORY = sources.SINE_MOTION.at("a vibration test laboratory's formula page: A = F V / 61.45", "read")
BENCH = sources.SINE_MOTION.at("an optical bench maker's technical reference: V = 6.28 f D, D = 0.159 V / f", "read")


def _knobs(_aircraft: Aircraft) -> list[Knob]:
    return [
        knob("speed", "Rotor speed", RotationRate, ("rpm", "rpm"), "300 rpm", "700 rpm", (5, 5), "500 rpm"),
        knob("blades", "Blades", Ratio, ("", ""), "2", "5", (1, 1), "2"),
        knob("once", "Shake once a turn", Length, THOUS, "0 in", "0.02 in", (0.001, 0.02), "0.008 in"),
        knob("passing", "Shake with each blade", Length, THOUS, "0 in", "0.02 in", (0.001, 0.02), "0.003 in"),
    ]


def _see(aircraft: Aircraft, at: Mapping[str, float], _estimate: str) -> Seen:
    metric = aircraft.aircraft.display == "metric"
    length, fast = ("mm", "mm/s") if metric else ("in", "in/s")
    blades, turns = round(at["blades"]), np.linspace(0, 2, 161)

    def shown(values: object) -> list[float]:
        return [float(one) for one in in_unit(values, length, Length)]

    once = at["once"] * np.sin(2 * np.pi * turns)
    passing = at["passing"] * np.sin(2 * np.pi * blades * turns)
    along = [float(one) for one in turns]
    chart = Chart(
        "What the seat feels in two turns of the rotor",
        "turns of the rotor",
        f"how far it moves, {length}",
        (
            Curve("all of it", along, shown(once + passing)),
            Curve("once a turn", along, shown(once), "second"),
            Curve(f"{blades} times a turn", along, shown(passing), "third"),
        ),
    )

    def line(count: int, amplitude: float) -> str:
        often = float(blade_passage_frequency.si(at["speed"], count))
        hertz = float(in_unit(often, "Hz", Frequency))
        hard = float(in_unit(velocity_from_displacement.si(amplitude, often), fast, Speed))
        times = "Once a turn" if count == 1 else f"{count} times a turn"
        return f"{times}: {hertz:.1f} Hz, {hard:.2g} {fast} peak."

    return Seen([chart], [line(1, at["once"]), line(blades, at["passing"])])


LESSON = Lesson(
    name="shaking",
    order=13,
    title="What shakes, and how often",
    goal="You can say which part a shake comes from by how often it comes, and turn how far it moves into how fast.",
    words=(
        "Count the shakes in one turn of the rotor: that number is the order. Once a turn means that one blade is "
        "heavier, flies higher or is set to a different pitch than the others. As many times a turn as there are "
        "blades is the air on blade after blade; no weight takes that away.",
        "How often is said in hertz: times a second. 450 rpm is 450 turns in 60 seconds, or 7.5 Hz. So a shake at 7.5 "
        "Hz comes once a turn of the main rotor, and one at 15 Hz from both its blades.",
        "How hard is said in three ways: how far it moves, how fast it moves, how strongly it accelerates. If you "
        "know how often, each follows from the others. Limits for rotors are mostly given as a speed, {in inches per "
        "second|in millimetres per second}.",
        "Peak is from the middle to one side. Peak to peak is from side to side, twice as much. RMS is 0.707 of the "
        "peak. If your instrument shows one and the limit means another, you are wrong by 1.4 times, by double "
        "or by nearly three times.",
    ),
    picture=Exploration(
        "shaking",
        "shake",
        "Two shakes at once",
        "Move the four sliders. The seat feels the sum.",
        _knobs,
        _see,
        closing=(
            "A picture to learn by: how much an aircraft may shake is its manual's to say. Track down a new "
            "shake, or one that grows, on the ground."
        ),
    ),
    look_for=(
        "Set the shake with each blade to zero. Can you count one wave in each turn?",
        "Make both move equally far. Which is faster, and by how many times?",
    ),
    example=Example(
        "The three ways, on plain numbers",
        "Two laboratories print the rules on their pages: 6.28 × hertz × inches is inches per second; hertz × "
        "inches per second, divided by 61.45, is g. Here they are tried on plain numbers first, then on a rotor.",
        LABORATORY,
        (
            Step(
                Exercise(
                    "how_fast",
                    "From how far to how fast",
                    "It moves {displacement} to each side, {frequency}: once in a second.",
                    "the greatest speed on the way",
                    "in/s",
                    of=velocity_from_displacement,
                    given={"displacement": "1 in", "frequency": "1 Hz"},
                    hints=("2π × how often × how far.",),
                ),
                "In one second it goes there and back, four inches; but in the middle it is faster than on average.",
                "6.28 in/s",
            ),
            Step(
                Exercise(
                    "how_far",
                    "And back",
                    "Its greatest speed is {velocity}, {frequency}.",
                    "how far it moves to each side",
                    "in",
                    of=displacement_from_velocity,
                    given={"velocity": "1 in/s", "frequency": "1 Hz"},
                    hints=("Divide by 2π × how often.",),
                ),
                "The same rule, turned round.",
                "0.159 in",
            ),
            Step(
                Exercise(
                    "how_hard",
                    "How hard it is thrown about",
                    "{velocity} at {frequency}.",
                    "the greatest acceleration",
                    "g",
                    of=acceleration_from_velocity,
                    given={"velocity": "1 in/s", "frequency": "61.45 Hz"},
                    hints=("2π × how often × how fast is in inches a second, each second.", "One g is 386.1 of these."),
                ),
                "At the main rotor's 7.5 Hz an inch a second is an eighth of that: slow shakes are felt by how fast "
                "they move, quick ones by how hard.",
                "1.000 g",
            ),
            Step(
                Exercise(
                    "how_often",
                    "Now a rotor",
                    "A rotor of {blades} blades turns at {rotation_rate}.",
                    "how often a blade passes the nose",
                    "Hz",
                    of=blade_passage_frequency,
                    given={"rotation_rate": "450 rpm", "blades": "2"},
                    hints=("450 divided by 60 is 7.5 turns a second.", "Twice in each turn."),
                ),
                "Find 15 Hz on the meter and it is the blades; 7.5 Hz, and it is the balance or the track.",
            ),
        ),
    ),
    asked=(
        "vibration_orders.blades_passing",
        "vibration_orders.velocity_of_a_shake",
        "track_and_balance.how_far_it_moves",
    ),
    learned=(
        "How many times a turn says where it comes from; how much says whether it may stay.",
        "rpm divided by 60 is hertz. Speed is 2π × hertz × distance.",
        "Peak, peak to peak, RMS: know which one the meter shows and which one the limit means.",
    ),
    sources=(LABORATORY, BENCH),
)
