"""Ground resonance: the aircraft rocked on its gear by hand, its blades in lag, and whether they shake each other up.

A screening, never a clearance.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import lru_cache
from typing import Annotated, Any, ClassVar

import numpy as np

from rotorkit.aircraft import Aircraft
from rotorkit.aircraft.entries import Entry, Readings, asked, rows
from rotorkit.drive import (
    GroundResonance,
    decay_damping_ratio,
    hub_damping,
    losses_together,
    pull_stiffness,
    swinging_mass,
)
from rotorkit.drive import ground_resonance as rotor_on_its_gear
from rotorkit.drive.trust import NOT_COMPARED
from rotorkit.judging.limits import IN_LIMITS, OUT_OF_LIMITS, TOO_CLOSE, Limit
from rotorkit.judging.measured import Measured, combine, measured
from rotorkit.pictures.data import Chart, Curve, Dots
from rotorkit.quantities import (
    Force,
    Frequency,
    Length,
    Mass,
    MomentOfInertia,
    Ratio,
    Reading,
    RotationRate,
    TorsionalDamping,
    TorsionalStiffness,
    from_si,
    in_unit,
    say,
)
from rotorkit.quantities.errors import shortened
from rotorkit.sheets.base import AN_ESTIMATE, About, Finding, Needed, Outcome, Part, Row, Sheet, SheetLimit
from rotorkit.sheets.exercises import Exercise, Range
from rotorkit.sheets.working import Working, key_of
from rotorkit.sources import ARITHMETIC, cautions

_INCHES = ("in", "mm")
DIRECTIONS = ("sideways", "fore and aft")
FORCE = Entry(Force, ("lbf", "N"), ("1 lbf", "2000 lbf"), ("10 lbf", "400 lbf"))
GIVES = Entry(Length, _INCHES, ("0.01 in", "24 in"), ("0.1 in", "6 in"))
FREQUENCY = Entry(Frequency, None, ("0.2 Hz", "30 Hz"), ("0.7 Hz", "10 Hz"), repeats=True)
SWING = Entry(Length, _INCHES, ("0.01 in", "24 in"), ("0.05 in", "6 in"))
SWINGS = Entry(Ratio, ("", ""), ("0.5", "200"), ("1", "20"))
DIES = Limit("loss of motion in a turn", Ratio, low="0", source="physics: no motion may grow")
SLOWEST = 0.25
"""The rotor speeds looked at begin at this part of the greatest one: below it the rotor's pull is small (common
practice, no source)."""
SPEEDS, SPEEDS_FLOQUET = 160, 46
ESTIMATED = (
    f"{AN_ESTIMATE}: a screening for ground resonance, never a clearance. It treats gear, tyres and dampers as if they "
    f"never change, but a hard landing, a slope, cold or a soft tyre changes them. {NOT_COMPARED.format('helicopter')}"
)
FIGURES = (
    ("offset", Length, "offset of the lag hinge"),
    ("mass", Mass, "mass of a blade beyond its hinge"),
    ("centre_of_gravity", Length, "centre of gravity of a blade from its hinge"),
    ("inertia", MomentOfInertia, "inertia of a blade about its hinge"),
    ("spring", TorsionalStiffness, "lag spring"),
    ("damper", TorsionalDamping, "lag damper"),
)
CONDITIONS = (
    ("lag dampers at half", {"lag_dampers": 0.5}, "second"),
    ("gear's damping at half", {"hub_dampers": 0.5}, "third"),
)


class RockingRow(Row):
    """The aircraft rocked on its gear one way."""

    direction: str = asked("Rocked", "sideways, or fore and aft; felt at the hub.", "")
    force: Annotated[Reading | None, FORCE] = asked("Pull", "Level, at the hub, by a spring scale, with ±.")
    gives: Annotated[Reading | None, GIVES] = asked("Hub gives", "How far the hub moves under that pull, with ±.")
    frequency: Annotated[Readings | None, FREQUENCY] = asked(
        "Frequency", "Of the free rocking: ten swings by stopwatch, with ±; repeats by semicolons."
    )
    first: Annotated[Reading | None, SWING] = asked("First swing", "How far the hub swings out to one side, with ±.")
    last: Annotated[Reading | None, SWING] = asked("Later swing", "The same, after the swings counted, with ±.")
    swings: Annotated[Reading | None, SWINGS] = asked("Swings between", "Whole swings, there and back: 1, 2, 3.")


class GroundResonanceSheet(Sheet):
    """Screening of one aircraft for ground resonance."""

    order: ClassVar[int] = 60
    puts_right: ClassVar[dict[str, str]] = {
        "loss": (
            "Do not run it on this figure: look at gear and dampers by the manual, measure again, and ask the kit "
            "maker."
        ),
    }
    workings: ClassVar[int] = 16
    has_slow_part: ClassVar[bool] = True
    uses: ClassVar[tuple[str, ...]] = (
        "main_rotor.blades",
        *(f"main_rotor.lag.{name}" for name, *_ in FIGURES),
        "main_rotor.lag.greatest_speed",
    )
    needed: ClassVar[tuple[Needed, ...]] = (
        Needed("First rotor turn", "a rotor that rocks its own gear up destroys the aircraft within seconds"),
    )
    limits: ClassVar[dict[str, SheetLimit]] = {
        "loss": SheetLimit(
            Ratio,
            "loss of motion in a turn",
            None,
            "how much of any motion must have died away after one turn of the rotor, at every speed: only the low side",
        )
    }
    about: ClassVar[About] = About(
        title="Ground resonance, a screening",
        settles=(
            "Whether rotor and landing gear, as measured, could drive each other into ground resonance at any rotor "
            "speed, and what is left with one damper not working."
        ),
        when=(
            "Before the rotor turns for the first time; after changing gear, tyres, oleos, lag dampers or blades. "
            "It clears nothing: the manual's own checks of dampers and gear come first."
        ),
        tools=("spring scale and line", "rule at the hub", "stopwatch, or a telephone's accelerometer", "two helpers"),
        procedure=(
            "Level hard ground, gear and tyres as the manual says, loaded as for the first run, blades on and held so "
            "that they cannot swing about their hinges. Rotor still, engine off, nobody under it.",
            "Pull level at the hub sideways with the scale; read the pull and how far the hub moved.",
            "Rock it by hand at its own rhythm, let go, and time ten whole swings: ten divided by that time is its "
            "frequency.",
            "Read how far the hub swings to one side, and how far some swings later, one side both times.",
            "The same fore and aft. If it also turns or slides, ask the gear's maker.",
        ),
        sign_convention=(
            "The loss is the part of the longest-lasting motion that has died away after one turn of the rotor: if "
            "positive the motion "
            "dies away, if negative it grows. The least over all rotor speeds up to the greatest counts."
        ),
        cautions=(
            cautions.GROUND_RESONANCE,
            cautions.ESTIMATE,
            cautions.ENGINE_OFF,
            cautions.ON_JACKS,
            *cautions.ALWAYS,
        ),
        not_covered=(
            "resonance with the aircraft part airborne, light on its gear, or in the air",
            "gear that slides, bounces or stands on one side; slopes, ice, soft ground, tie-downs",
            "dampers whose damping changes with swing and cold; blades that flap or twist with their lag",
            "more than two motions of the aircraft on its gear; a range of speeds only a few rpm wide",
            "the tail rotor",
        ),
    )
    exercises: ClassVar[tuple[Exercise, ...]] = (
        Exercise(
            name="stiffness",
            title="The gear as a spring",
            story="A pull of {force} at the hub, level and sideways, moves it {deflection}.",
            find="the stiffness of the aircraft on its gear",
            unit="lb/in",
            of=pull_stiffness,
            given={
                "force": Range("40 lb", "80 lb", "1 lb"),
                "deflection": Range("0.30 in", "0.80 in", "0.01 in"),
            },
            hints=("Divide the pull by how far the hub moved.",),
        ),
        Exercise(
            name="damping",
            title="How a rocking dies away",
            story="Rocked by hand and let go, the hub swings {first} to one side at first, and {last} to the same side "
            "{swings} whole swings later. Its logarithmic decrement is d = ln(first / last), divided by the number of "
            "swings; its damping ratio d / √(4π² + d²).",
            find="the damping ratio",
            unit="",
            of=decay_damping_ratio,
            given={
                "first": Range("1.60 in", "2.40 in", "0.05 in"),
                "last": Range("0.50 in", "0.90 in", "0.05 in"),
                "swings": Range("2", "4", "1"),
            },
            hints=(
                "Take the natural logarithm of first over last, and divide it by the number of swings: that is d.",
                "4π² is 39.48: add d squared, take the root, and divide d by it.",
            ),
        ),
    )

    rocked: list[RockingRow] = rows("Rocked by hand", "A row for each direction.")

    @classmethod
    def start(cls, aircraft: Aircraft) -> dict[str, Any]:
        """A row for each direction."""
        return {**super().start(aircraft), "rocked": [{"direction": one} for one in DIRECTIONS]}

    def parts(self, aircraft: Aircraft) -> list[Part]:
        """Stiffness, frequency and damping both ways."""
        read = {row.direction.strip().casefold(): row for row in self.rocked}
        return [
            Part(f"{words}, {direction}", all(getattr(read.get(direction), one, None) is not None for one in names))
            for direction in DIRECTIONS
            for words, names in (
                ("pull and how far the hub moves", ("force", "gives")),
                ("frequency", ("frequency",)),
                ("how the swing dies away", ("first", "last", "swings")),
            )
        ]

    def _work(self, aircraft: Aircraft) -> Outcome:
        to = Working(self, aircraft)
        rows = self._rows(to)
        lag, blades = aircraft.main_rotor.lag, aircraft.main_rotor.blades
        assert lag is not None  # `uses` asks for it
        if len(blades) < 2:
            to.problem("", "a single blade has no ground resonance that this check could show")
            to.settle()
        if any(one not in rows for one in DIRECTIONS):
            to.notes.append("The screening is worked when both directions are measured.")
            to.lead.append(ESTIMATED)
            return to.outcome()
        own = [measured(getattr(lag, name), kind, words) for name, kind, words in FIGURES]
        gear = [one for direction in DIRECTIONS for one in self._gear(to, direction, *rows[direction])]
        inputs = [*own, *gear]
        count, blade_mass = len(blades), float(own[1].si)
        for direction, swinging in zip(DIRECTIONS, (gear[1], gear[4]), strict=True):
            if float(swinging.si) <= count * blade_mass:
                i = rows[direction][0]
                to.problem(
                    f"rocked.{i}.frequency",
                    f"cannot be: pull and frequency make {say(swinging)} of swinging mass at the hub, and the blades "
                    f"alone are {say(from_si(count * blade_mass, Mass))}",
                )
        to.settle()
        highest = float(lag.greatest_speed.si)
        to.slowly("the least loss of motion", lambda: self._screen(to, inputs, count, highest), judges=True)
        to.lead.append(ESTIMATED)
        return to.outcome()

    def _screen(self, to: Working, inputs: list[Measured], count: int, highest: float) -> None:
        """The motion screened over the rotor's speeds, and judged."""

        def rotor(figures: Sequence[float]) -> GroundResonance:
            return _rotor(count, figures)

        there = rotor([float(one.si) for one in inputs])
        speeds = np.linspace(SLOWEST * highest, highest, SPEEDS if count > 2 else SPEEDS_FLOQUET)
        few = speeds[:: max(1, len(speeds) // SPEEDS_FLOQUET)]
        worn = [there.scaled(**change) for _, change, _ in CONDITIONS]
        losses, *halved = _losses([(there, speeds), *((one, few) for one in worn)])
        worst = _worst(there, speeds, losses)
        doubted = {float(few[int(np.argmin(one))]) for one in halved}
        others = sorted((doubted | _lowest(speeds, losses)) - {worst})
        loss, *elsewhere = self._loss(rotor, inputs, [(worst, float(losses.min())), *((at, math.inf) for at in others)])
        line = f"the least between {_rpm(speeds[0])} and {_rpm(highest)}, at {_rpm(worst)}"
        title = "Least loss of motion in a turn"
        cited = ARITHMETIC.at("Lagrange's equations of rotor and gear")
        to.step(title, [line], loss, cited)
        found = to.judge("loss", title, self.limit("loss", to.aircraft), loss, physical=DIES)
        to.notes.append(f"The least loss is at a rotor speed of {_rpm(worst)}.")
        if worst > float(speeds[-2]):
            to.notes.append(
                "It still falls there, at the greatest speed that the aircraft file has for this: of a faster rotor "
                "nothing is known."
            )
        judged = [found, *self._least_sure(to, loss, list(zip(elsewhere, others, strict=True)))]
        words = {one.verdict.word for one in judged}
        out = self._one_out(to, there, speeds, rotor, inputs)
        if loss.si < 0:
            to.lead.append(
                f"The motion grows at {_rpm(worst)}: rotor and gear shake each other up. Do not turn the rotor "
                "by the engine."
            )
            to.say_to_do(
                "Do not run it. Look at lag dampers, tyres and oleos by the manual, measure again, ask the kit maker.",
                "loss",
            )
        elif TOO_CLOSE in words and OUT_OF_LIMITS not in words:
            to.say_to_do("Do not run it on this figure: measure the gear again, and ask the kit maker.", "loss")
        elif words == {IN_LIMITS}:
            to.say_to_do("Nothing to change by this screening. The manual's own checks of gear and dampers decide.")
        to.lead += out
        to.compare("Against the limit", judged)
        to.pictures.append(self._chart(speeds, losses, worst, few, halved))

    def _rows(self, to: Working) -> dict[str, tuple[int, RockingRow]]:
        names = ("force", "gives", "frequency", "first", "last", "swings")
        rows = to.filled("rocked", *names)
        for i, row in rows:
            if row.direction.strip().casefold() not in DIRECTIONS:
                there = " and ".join(f'"{one}"' for one in DIRECTIONS)
                to.problem(f"rocked.{i}.direction", f"is not one of {there}; got {shortened(row.direction)}")
            if row.first is not None and row.last is not None and row.last.si > row.first.si:
                to.problem(f"rocked.{i}.last", "must not be more than the first: a free swing dies away")
        found = to.by_key("rocked", rows, lambda row: row.direction.strip().casefold(), "direction")
        to.settle()
        return {
            direction: (i, row)
            for direction, (i, row) in found.items()
            if all(getattr(row, one) is not None for one in names)
        }

    def _gear(self, to: Working, direction: str, i: int, row: RockingRow) -> tuple[Measured, Measured, Measured]:
        """Stiffness, swinging mass and damping of the aircraft on its gear, at the hub."""
        at = f"rocked.{i}"
        stiffness = to.work(
            f"Stiffness {direction}",
            pull_stiffness,
            to.reading(f"{at}.force", f"pull {direction}", ("lbf", "N")),
            to.reading(f"{at}.gives", f"the hub moves {direction}", _INCHES),
        )
        ratio = to.work(
            f"Damping ratio {direction}",
            decay_damping_ratio,
            to.reading(f"{at}.first", f"first swing {direction}", _INCHES),
            to.reading(f"{at}.last", f"later swing {direction}", _INCHES),
            to.reading(f"{at}.swings", f"swings {direction}"),
        )
        assert row.frequency is not None
        frequency = to.mean(row.frequency, f"frequency {direction}", Frequency)
        mass = to.work(f"Swinging mass {direction}", swinging_mass, stiffness, frequency, ratio)
        damping = to.work(f"Damping {direction}", hub_damping, ratio, stiffness, mass)
        to.tell(f"mass.{key_of(direction)}", f"Mass that swings at the hub, {direction}", mass)
        to.tell(f"damping_ratio.{key_of(direction)}", f"Damping of the gear {direction}", ratio)
        return stiffness, mass, damping

    def _loss(self, rotor: Any, inputs: list[Measured], where: Sequence[tuple[float, float]]) -> list[Measured]:
        """The loss at some rotor speeds with its uncertainty: slopes at each speed, all of them in one go. Each is the
        larger of those to both sides: where another motion begins to last longest, it is steep to one side only. where:
        the speeds, each with what is known of the loss there: it is no more than that."""
        centre = [float(one.si) for one in inputs]
        uncertain = [k for k, one in enumerate(inputs) if one.components]
        points = [centre]
        for k in uncertain:
            step = float(inputs[k].standard_si)
            points += [[*centre[:k], centre[k] + way * step, *centre[k + 1 :]] for way in (1, -1)]
        rotors = [rotor(one) for one in points]
        speeds = np.repeat([at for at, _ in where], len(rotors))
        every = np.reshape(_worked_once(tuple(rotors * len(where)), tuple(speeds.tolist())), (len(where), -1))
        losses = []
        for found, (_, least) in zip(every, where, strict=True):
            slopes = []
            for j, k in enumerate(uncertain):
                up, down = float(found[2 * j + 1] - found[0]), float(found[0] - found[2 * j + 2])
                slopes.append((up if abs(up) > abs(down) else down) / float(inputs[k].standard_si))
            of = [inputs[k] for k in uncertain]
            losses.append(combine(min(least, float(found[0])), Ratio, of, slopes, ("%", "%")))
        return losses

    def _least_sure(self, to: Working, loss: Measured, found: list[tuple[Measured, float]]) -> list[Finding]:
        """The loss at one of other speeds, judged too, where it may be below the least one for being so much less sure:
        of two motions one dies slowly for certain, and readings that are a little off hide the other."""
        if not found:
            return []
        doubtful, at = min(found, key=lambda one: float(one[0].si) - float(one[0].expanded_si))
        if float(doubtful.si) - float(doubtful.expanded_si) >= float(loss.si) - float(loss.expanded_si):
            return []
        title = f"Loss of motion in a turn at {_rpm(at)}, where it is least certain"
        cited = ARITHMETIC.at("Lagrange's equations of rotor and gear")
        to.step(title, [f"at {_rpm(at)}: {say(doubtful)}"], doubtful, cited)
        return [to.judge("loss_least_sure", title, self.limit("loss", to.aircraft), doubtful, physical=DIES)]

    def _one_out(
        self, to: Working, there: GroundResonance, speeds: Any, rotor: Any, inputs: list[Measured]
    ) -> list[str]:
        """What is left with one blade's damper out of work: told, and said before any figure where the motion grows."""
        if there.lag_dampers[0] == 0:
            return []
        few = speeds[:: max(1, len(speeds) // SPEEDS_FLOQUET)]
        (losses,) = _losses([(there.without_damper(1), few)])
        k = int(np.argmin(losses))
        [least] = self._loss(lambda one: rotor(one).without_damper(1), inputs, [(float(few[k]), float(losses[k]))])
        to.tell("one_damper_out", "Least loss with one lag damper out of work", least)
        if losses[k] >= 0:
            return []
        return [
            f"With one blade's lag damper not working the motion grows, fastest at {_rpm(few[k])}, to twice its size "
            f"in {math.log(2) / math.log(1 - losses[k]):.1f} turns. Try the dampers as the manual says."
        ]

    def _chart(self, speeds: Any, losses: Any, worst: float, few: Any, halved: list[Any]) -> Chart:
        rpm, at = ([float(in_unit(one, "rpm", RotationRate)) for one in some] for some in (speeds, few))
        curves = [Curve("as measured", rpm, [100 * float(one) for one in losses])]
        for (label, _, style), changed in zip(CONDITIONS, halved, strict=True):
            curves.append(Curve(label, at, [100 * float(one) for one in changed], style))
        curves.append(Curve("below this line it grows", [rpm[0], rpm[-1]], [0.0, 0.0], "bound"))
        least = [100 * float(losses.min())]
        return Chart(
            "How much of the motion has died away after one turn of the rotor",
            "Rotor speed (rpm)",
            "Loss in a turn (%)",
            curves,
            (),
            (),
            (Dots("least, as measured", [float(in_unit(worst, "rpm", RotationRate))], least),),
        )


def _rotor(count: int, figures: Sequence[float]) -> GroundResonance:
    """The rotor on its gear from the bare figures of `FIGURES`, then stiffness, swinging mass and damping both ways."""
    offset, mass, centre, inertia, spring, damper, kx, mx, cx, ky, my, cy = figures
    made: GroundResonance = rotor_on_its_gear.si(
        count, mass, mass * centre, max(inertia, mass * centre**2), offset, spring, damper,
        max(mx - count * mass, 1e-3 * mass), max(my - count * mass, 1e-3 * mass), kx, ky, cx, cy,
    )  # fmt: skip
    return made


def _losses(of: Sequence[tuple[GroundResonance, Any]]) -> list[Any]:
    """The losses of rotors, each at speeds of its own; all in one go where Floquet's multipliers are asked for."""
    if all(one.alike and one.blades > 2 for one, _ in of):
        return [one.loss_per_turn(from_si(speeds, RotationRate)) for one, speeds in of]
    counts = [len(speeds) for _, speeds in of]
    rotors = [one for one, speeds in of for _ in speeds]
    found = np.array(_worked_once(tuple(rotors), tuple(np.concatenate([speeds for _, speeds in of]).tolist())))
    return np.split(found, np.cumsum(counts)[:-1])


@lru_cache(maxsize=64)
def _worked_once(rotors: tuple[GroundResonance, ...], speeds: tuple[float, ...]) -> tuple[float, ...]:
    """`losses_together`, which takes a tenth of a second: not again for the same rotors at the same speeds."""
    return tuple(losses_together(rotors, from_si(np.array(speeds), RotationRate)).tolist())


def _worst(there: GroundResonance, speeds: Any, losses: Any) -> float:
    """The speed of the least loss, looked for again between its neighbours."""
    k = int(np.argmin(losses))
    near = np.linspace(speeds[max(k - 1, 0)], speeds[min(k + 1, len(speeds) - 1)], 15)
    (again,) = _losses([(there, near)])
    return float(near[int(np.argmin(again))])


def _lowest(speeds: Any, losses: Any) -> set[float]:
    """The speeds with less loss than those beside them, other than the least of all."""
    k, last = int(np.argmin(losses)), len(losses) - 1
    return {
        float(speeds[i])
        for i in range(last + 1)
        if abs(i - k) > 1 and losses[i] <= min(losses[max(i - 1, 0)], losses[min(i + 1, last)])
    }


def _rpm(speed: float) -> str:
    return say(from_si(float(speed), RotationRate), "rpm", digits=4)
