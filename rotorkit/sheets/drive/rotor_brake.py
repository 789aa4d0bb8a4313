"""Rotor brake: the energy that a stop costs, how hot the disc gets, how long it takes, and from which speed it may."""

from __future__ import annotations

import math
from typing import Annotated, ClassVar

import numpy as np

from rotorkit.aircraft import Aircraft
from rotorkit.aircraft.entries import Entry, asked
from rotorkit.drive import (
    brake_energy,
    brake_power,
    brake_temperature_rise,
    disc_brake_torque,
    referred_inertia,
    rotor_speed_for_brake_energy,
    rotor_stopping_time,
)
from rotorkit.judging.measured import Measured, combine, measured, propagate
from rotorkit.pictures.data import Chart, Curve, Point
from rotorkit.quantities import (
    Energy,
    Force,
    Length,
    Mass,
    MomentOfInertia,
    Ratio,
    Reading,
    RotationRate,
    SpecificHeat,
    Temperature,
    Time,
    in_unit,
    required_kind,
    say,
)
from rotorkit.sheets.base import AN_ESTIMATE, About, Needed, Outcome, Part, Sheet, SheetLimit
from rotorkit.sheets.drive.on_shaft import ITS_SHAFT, ON_SHAFT, check_brakes, check_turns, turns_of
from rotorkit.sheets.exercises import Exercise, Range
from rotorkit.sheets.working import Working
from rotorkit.sources import ARITHMETIC, cautions

_INCHES = ("in", "mm")
_RATE, _TEMPERATURE = map(required_kind, (RotationRate, Temperature))
SLOW, DIFFERS = 0.05, 0.3
"""Coasting below this share of the 100 % speed nobody brakes; a stop that takes by this share longer or shorter than
reckoned is asked about."""
ESTIMATED = (
    f"{AN_ESTIMATE}: the disc's mean temperature, all of the heat kept in it. Its face gets hotter for a moment, a "
    "second stop starts from where the first one left it, and cooling by the air is left out."
)


class RotorBrake(Sheet):
    """One stop of the rotor by its brake."""

    order: ClassVar[int] = 45
    puts_right: ClassVar[dict[str, str]] = {
        "time": "Look at pads, disc and lever travel, and set the brake as the manual says.",
    }
    uses: ClassVar[tuple[str, ...]] = ("drive.tail_to_main_rotor",)
    needed: ClassVar[tuple[Needed, ...]] = (
        Needed(
            "End of the test phase",
            "a brake applied too early burns its disc and pads, or bends what it stops",
            where_limited=True,
        ),
    )
    limits: ClassVar[dict[str, SheetLimit]] = {
        "speed": SheetLimit(
            RotationRate, "main-rotor speed at which the brake is applied", "rpm", "only the high side"
        ),
        "temperature": SheetLimit(
            Temperature, "brake disc after a stop", "degF", "only the high side: pads and grease bear less"
        ),
        "time": SheetLimit(
            Time,
            "time to stop",
            "s",
            "both sides: too quick bends blades and shafts; too slow leaves the blades to the wind",
        ),
    }
    about: ClassVar[About] = About(
        title="Rotor brake",
        settles=(
            "How much energy a stop takes, how hot the disc gets, how long it takes, and below what rotor speed the "
            "brake may be applied."
        ),
        when="After changing brake, disc, pads or blades; once at the end of a run, watch in hand.",
        tools=(
            "stopwatch",
            "rotor tachometer",
            "scales for the disc",
            "thermometer that reads a surface, after the stop",
        ),
        procedure=(
            "Weigh the disc without its hub, or work out its mass from its drawing. Take the pads' force from the "
            "manual.",
            "Let the rotor coast down to the speed that the manual allows; never brake under power, never while the "
            "rotor is lifting.",
            "Time the stop from applying the brake until the rotor stands still. Read the disc temperature at once, "
            "from outside the rotor disk.",
            "Look at pads, hoses and disc when cold: glazed, blue or cracked is out of limits.",
        ),
        sign_convention="Energies, torques and temperature rises are positive as the brake takes them up.",
        cautions=(cautions.TURNING_ROTORS, cautions.GROUND_RUN, cautions.ESTIMATE, *cautions.ALWAYS),
        not_covered=(
            "the energy of shafts, gearbox and belts that stop with the rotors, somewhat more than is calculated here",
            "braking in wind that drives the rotor, which costs more than its own energy",
            "two stops in a row without cooling in between: start from the temperature it then has",
            "fading: friction falls with heat, and the stop takes longer than calculated",
            "the lag load on the blade roots during braking, and the brake's own strength",
        ),
    )
    exercises: ClassVar[tuple[Exercise, ...]] = (
        Exercise(
            name="rise",
            title="How hot a disc gets",
            story=(
                "A stop puts {energy} into a brake disc of {mass}. Steel takes {specific_heat} for each kelvin and "
                "each kilogram."
            ),
            find="the rise of its temperature",
            unit="°C",
            of=brake_temperature_rise,
            given={
                "energy": Range("40 kJ", "90 kJ", "1 kJ"),
                "mass": Range("1.2 kg", "2.0 kg", "0.1 kg"),
                "specific_heat": "480 J/(kg*K)",
            },
            hints=(
                "Divide the energy by what it takes to warm the whole disc by one degree.",
                "A kilojoule is a thousand joules.",
            ),
        ),
    )

    inertia: Annotated[
        Reading | None,
        Entry(MomentOfInertia, None, ("0.001 slug*ft^2", "20000 slug*ft^2"), ("5 slug*ft^2", "1500 slug*ft^2")),
    ] = asked("Main rotor's inertia", "All blades and the hub, about the shaft, with ±.")
    tail_inertia: Annotated[
        Reading | None, Entry(MomentOfInertia, None, ("0 slug*ft^2", "500 slug*ft^2"), ("0 slug*ft^2", "10 slug*ft^2"))
    ] = asked("Tail rotor's inertia", "At its own speed, with ±; it is stopped as well.")
    speed: Annotated[Reading | None, Entry(RotationRate, None, ("1 rpm", "3000 rpm"), ("20 rpm", "500 rpm"))] = asked(
        "Brake applied at", "Main-rotor speed, with ±."
    )
    disc_mass: Annotated[Reading | None, Entry(Mass, ("lb", "kg"), ("0.05 lb", "200 lb"), ("0.5 lb", "30 lb"))] = asked(
        "Mass of the disc", "Of what gets warm, without its hub, with ±."
    )
    specific_heat: Annotated[
        Reading, Entry(SpecificHeat, None, ("100 J/(kg*K)", "2000 J/(kg*K)"), ("350 J/(kg*K)", "1000 J/(kg*K)"))
    ] = asked(
        "Specific heat of the disc",
        "460 to 500 J/(kg K) for iron and steel, 900 for aluminium (handbook figures, from memory).",
        "480 ± 20 J/(kg*K)",
    )
    starts_at: Annotated[
        Reading | None, Entry(Temperature, ("degF", "degC"), ("-60 °F", "900 °F"), ("-20 °F", "300 °F"))
    ] = asked("Disc before the stop", "Its temperature, with ±.")
    pad_force: Annotated[Reading | None, Entry(Force, ("lbf", "N"), ("1 lbf", "50000 lbf"), ("20 lbf", "5000 lbf"))] = (
        asked("Force of a pad", "On the disc, from the manual or from pressure and piston, with ±.")
    )
    pad_radius: Annotated[Reading | None, Entry(Length, _INCHES, ("0.5 in", "4 ft"), ("1.5 in", "12 in"))] = asked(
        "Pads act at", "From the axis to the middle of the pads, with ±."
    )
    pads: Annotated[Reading | None, Entry(Ratio, ("", ""), ("1", "20"), exact=True)] = asked(
        "Pads that rub", "2 for one caliper."
    )
    friction: Annotated[Reading | None, Entry(Ratio, ("", ""), ("0.02", "1.5"), ("0.2", "0.6"))] = asked(
        "Friction of the pads", "With ±; 0.3 to 0.45 (common practice, no source)."
    )
    on_shaft: Annotated[str, ON_SHAFT] = asked("On which shaft", ITS_SHAFT, "")
    turns: Annotated[Reading | None, Entry(Ratio, ("", ""), ("0.1", "30"), ("0.5", "12"), exact=True)] = asked(
        "Turns of the disc", "For one turn of the main rotor, where no shaft is chosen."
    )
    stopped_in: Annotated[Reading | None, Entry(Time, ("s", "s"), ("0.1 s", "3600 s"), ("3 s", "300 s"))] = asked(
        "Stopped in", "By stopwatch, from applying the brake, with ±."
    )
    ends_at: Annotated[
        Reading | None, Entry(Temperature, ("degF", "degC"), ("-60 °F", "2000 °F"), ("0 °F", "800 °F"))
    ] = asked("Disc after the stop", "Read at once, with ±; may stay empty.")

    def parts(self, aircraft: Aircraft) -> list[Part]:
        """The energy, the disc, and the stop that was timed."""
        torque = (self.pad_force, self.pad_radius, self.pads, self.friction, turns_of(self, aircraft))
        return [
            Part("inertia of both rotors, and the speed at which it is applied",
                 None not in (self.inertia, self.tail_inertia, self.speed)),
            Part("mass of the disc, and its temperature before the stop", None not in (self.disc_mass, self.starts_at)),
            Part("the pads: force, radius, number, friction, and turns of the disc", None not in torque),
            Part("the time that a stop took", self.stopped_in is not None),
        ]  # fmt: skip

    def _work(self, aircraft: Aircraft) -> Outcome:
        to = Working(self, aircraft)
        torque = ("pad_force", "pad_radius", "pads", "friction", "turns")
        self._check(to, torque)
        to.lead.append(ESTIMATED)
        speed = None if self.speed is None else to.reading("speed", "brake applied at")
        if speed is not None:
            to.judge("speed", "Main-rotor speed as the brake is applied", self.limit("speed", aircraft), speed)
        inertia = self._inertia(to)
        heated = None
        if inertia is not None and speed is not None:
            energy = to.work("Energy of the stop", brake_energy, inertia, speed, value_of_nought())
            to.tell("energy", "Energy of the stop", energy)
            if self.disc_mass is not None and self.starts_at is not None:
                heated = self._heat(to, energy, inertia)
        pads = all(getattr(self, one) is not None for one in torque if one != "turns")
        reckoned = self._time(to, inertia, speed) if pads and turns_of(self, aircraft) is not None else None
        unfit = []
        if self.stopped_in is not None:
            stopped = to.reading("stopped_in", "stopped in")
            to.judge("time", "Time that the stop took", self.limit("time", aircraft), stopped)
            if reckoned is not None and abs(float(stopped.si) / float(reckoned.si) - 1) > DIFFERS + float(
                reckoned.expanded_si
            ) / float(reckoned.si):
                unfit.append("pads and inertia")
                to.lead.append(
                    f"The stop took {say(stopped)}, but pads and inertia make {say(reckoned)}: pads glazed or oily, "
                    "air in the line, or wind? Find out before you rely on it."
                )
        if self.ends_at is not None:
            read = to.reading("ends_at", "disc after the stop", ("degF", "degC"))
            limit = self.limit("temperature", aircraft)
            to.judge("read", "Disc after the stop, as read", limit, read, aside=True)
            if heated is not None and float(read.si) > float(heated.si) + float(heated.expanded_si) + float(
                read.expanded_si
            ):
                unfit.append("the energy of the stop")
                to.lead.append(
                    f"The disc was hotter, {say(read)}, than the stop can have made it: did the brake drag before, or "
                    "was it applied under power?"
                )
        hot = to.bad("speed", "temperature", "read")
        said = (
            ["Let it coast to a lower speed before applying the brake; look at disc and pads when cold."] if hot else []
        )
        if unfit:
            said.append(f"What was read does not fit {' and '.join(unfit)}: find out why before you rely on the brake.")
        if said:
            to.say_to_do(" ".join(said), *(("speed", "temperature", "read") if hot else ()))
        to.compare("Against the limits")
        return to.outcome()

    def _check(self, to: Working, torque: tuple[str, ...]) -> None:
        check_turns(to, self)
        check_brakes(to, self)
        given = [name for name in torque if getattr(self, name) is not None]
        if given and "turns" not in given and turns_of(self, to.aircraft) is not None:
            given.append("turns")
        if given and len(given) < len(torque):
            for name in torque:
                if name not in given:
                    to.problem(name, "is needed: the brake's torque takes all five")
        if self.tail_inertia is not None and self.inertia is None:
            to.problem("inertia", "is needed with the tail rotor's")
        if self.pads is not None and self.pads.si % 1:
            to.problem("pads", "must be a whole number")
        readings = ("inertia", "speed", "disc_mass", "starts_at", "stopped_in", "ends_at", *torque)
        if all(getattr(self, name) is None for name in readings):
            to.problem("inertia", "needs a reading")
        to.settle()

    def _inertia(self, to: Working) -> Measured | None:
        """Of both rotors, at the main rotor's speed."""
        if self.inertia is None or self.tail_inertia is None:
            return None
        main = to.reading("inertia", "main rotor's inertia")
        ratio = measured(to.aircraft.drive.tail_to_main_rotor, Ratio, "tail-rotor turns")
        tail = to.work("Tail rotor at the main rotor's speed", referred_inertia,
                       to.reading("tail_inertia", "tail rotor's inertia"), ratio)  # fmt: skip
        both = main + tail
        return to.step("Both rotors", [f"{say(main)} + {say(tail)}"], both, ARITHMETIC.at("sum"))

    def _heat(self, to: Working, energy: Measured, inertia: Measured) -> Measured:
        mass, heat = to.reading("disc_mass", "mass of the disc"), to.reading("specific_heat", "specific heat")
        rise = to.work("Rise of the disc's temperature", brake_temperature_rise, energy, mass, heat)
        before = to.reading("starts_at", "disc before the stop", ("degF", "degC"))
        after = combine(float(before.si) + float(rise.si), Temperature, [before, rise], [1.0, 1.0]).shown_in(
            ("degF", "degC")
        )
        to.step("Disc after the stop", [f"{say(before)} warmer by {say(rise)}"], after, ARITHMETIC.at("sum"))
        limit = self.limit("temperature", to.aircraft)
        to.judge("temperature", "Disc after the stop, calculated", limit, after)
        if limit is not None and limit.high_si is not None:
            highest = float(limit.high_si)

            def allowed(start: float, disc: float, each: float, turning: float) -> float:
                room = max((highest - start) * disc * each, 0.0)
                return float(rotor_speed_for_brake_energy.si(room, turning))

            fastest = propagate(allowed, RotationRate, [before, mass, heat, inertia]).shown_in("rpm")
            line = f"√(2 (limit − {say(before)}) m c / I)"
            title = "Rotor speed from which the stop just reaches the limit"
            to.step(title, [line], fastest, ARITHMETIC.at("inverse of the energy of rotation"))
            to.tell("allowed", title, fastest)
            surely = math.floor(float(in_unit(float(fastest.si) - float(fastest.expanded_si), "rpm", _RATE)))
            to.notes.append(
                f"From {surely} rpm of the main rotor down the disc surely stays below its limit, begun at this "
                "temperature; the manual's speed counts where it is lower."
                if surely > 0
                else "Begun at this temperature no stop surely leaves the disc below its limit: let it cool first."
            )
        to.pictures.append(self._chart(to, before, mass, heat, inertia, after))
        return after

    def _time(self, to: Working, inertia: Measured | None, speed: Measured | None) -> Measured | None:
        """How long the pads need, and what torque that is at the main rotor."""
        assert self.pads is not None  # asked before
        ratio = turns_of(self, to.aircraft)
        assert ratio is not None
        pads = measured(f"{self.pads.si:g}", Ratio, "pads")
        torque = to.work(
            "Torque of the brake", disc_brake_torque, to.reading("friction", "friction"),
            to.reading("pad_force", "force of a pad", ("lbf", "N")), to.reading("pad_radius", "pads act at", _INCHES),
            pads,
        )  # fmt: skip
        to.tell("torque", "Torque of the brake, at its disc", torque)
        if inertia is None or speed is None:
            return None
        time = propagate(lambda i, w, t: float(rotor_stopping_time.si(i, w, t * ratio)), Time, [inertia, speed, torque])
        time = time.shown_in("s")
        line = f"{say(inertia)} × {say(speed)} / ({say(torque)} × {ratio:.5g})"
        to.step("Time to stop, calculated", [line], time, ARITHMETIC.at("even deceleration"))
        to.tell("reckoned", "Time to stop, calculated", time)
        energy = propagate(lambda i, w: float(brake_energy.si(i, w, 0.0)), Energy, [inertia, speed])
        power = to.work("Mean power while it brakes", brake_power, energy, time)
        to.tell("power", "Mean power while it brakes", power)
        return time

    def _chart(
        self, to: Working, before: Measured, mass: Measured, heat: Measured, inertia: Measured, after: Measured
    ) -> Chart:
        assert self.speed is not None
        unit = "degC" if to.system == "metric" else "degF"
        top = 1.4 * self.speed.si
        speeds = np.linspace(0.0, top, 41)
        rises = float(inertia.si) * speeds**2 / 2 / (float(mass.si) * float(heat.si))
        shown = [float(in_unit(float(before.si) + float(one), unit, _TEMPERATURE)) for one in rises]
        curves = [Curve("disc after a stop", [float(in_unit(float(one), "rpm", _RATE)) for one in speeds], shown)]
        limit = self.limit("temperature", to.aircraft)
        ends = [0.0, float(in_unit(top, "rpm", _RATE))]
        if limit is not None and limit.high_si is not None:
            high = float(in_unit(float(limit.high_si), unit, _TEMPERATURE))
            curves.append(Curve("limit", ends, [high, high], "bound"))
        at = Point(
            "this stop",
            float(in_unit(self.speed.si, "rpm", _RATE)),
            float(in_unit(float(after.si), unit, _TEMPERATURE)),
        )
        degrees = "°C" if unit == "degC" else "°F"
        return Chart(
            "Temperature of the disc over the speed at which it is applied", "Main-rotor speed (rpm)",
            f"Disc ({degrees})",
            curves, (), (at,),
        )  # fmt: skip


def value_of_nought() -> Measured:
    """Down to which speed it brakes: to rest."""
    return measured("0 rpm", RotationRate, "at rest")
