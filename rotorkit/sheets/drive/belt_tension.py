"""Belt tension: each belt of a drive by the sound of its run, or pressed aside, and what it carries before it slips."""

from __future__ import annotations

from typing import Annotated, Any, ClassVar

from rotorkit.aircraft import Aircraft
from rotorkit.aircraft.derived import speed_contradicted
from rotorkit.aircraft.drive_parts import Belt
from rotorkit.aircraft.entries import Choice, Entry, Readings, asked, required, rows
from rotorkit.drive import (
    belt_slip_margin,
    belt_span,
    belt_speed,
    deflection_rule,
    open_belt_wrap_small,
    power_of_one_belt,
    tension_from_deflection,
    tension_from_span_frequency,
)
from rotorkit.judging.limits import Limit
from rotorkit.judging.measured import Measured, measured
from rotorkit.quantities import (
    Angle,
    Force,
    Frequency,
    Length,
    LinearDensity,
    Power,
    Ratio,
    Reading,
    RotationRate,
    from_si,
    say,
)
from rotorkit.sheets.base import About, Needed, Outcome, Part, Row, Sheet
from rotorkit.sheets.exercises import Exercise, Range
from rotorkit.sheets.working import Working
from rotorkit.sources import cautions

_INCHES = ("in", "mm")
_POUNDS = ("lbf", "N")
FREQUENCY = Entry(Frequency, None, ("2 Hz", "1000 Hz"), ("10 Hz", "300 Hz"), repeats=True)
FORCE = Entry(Force, _POUNDS, ("0.1 lbf", "200 lbf"), ("1 lbf", "60 lbf"))
DEFLECTION = Entry(Length, _INCHES, ("0.01 in", "4 in"), ("0.05 in", "1.5 in"))
FAR = 2
"""A run pressed aside by more than so many times the makers' sixty-fourth is asked about (common practice, no source).
Its stretch, 2 (q / L)^2, grows with the square: half a thousandth at a sixty-fourth, two thousandths at twice that."""
HOLDS = Limit("margin against slip", Ratio, low="0", source="physics: the belt carries the power without slipping")


class BeltRun(Row):
    """One belt's run."""

    number: str = asked("Belt", "Its number, counted from the engine's side: 1, 2, 3.", "")
    frequency: Annotated[Readings | None, FREQUENCY] = asked(
        "Frequency", "Of the run plucked in its middle, with ±; separate repeats with semicolons."
    )
    force: Annotated[Reading | None, FORCE] = asked(
        "Force", "Instead: what presses the middle of the run aside, square to it, with ±."
    )
    deflection: Annotated[Reading | None, DEFLECTION] = asked("Deflection", "How far it presses it, with ±.")


class BeltTension(Sheet):
    """Tension of the belts of one drive."""

    order: ClassVar[int] = 20
    puts_right: ClassVar[dict[str, str]] = {
        "tension": "Set the tensioner as the manual says, turn the drive by hand, and measure every belt again.",
        "slip_margin": (
            "Do not run it on this figure: hold tension, belts and power against the manual, and ask the kit maker."
        ),
    }
    needed: ClassVar[tuple[Needed, ...]] = (
        Needed("First rotor turn", "a belt that slips burns through; one too tight ruins the bearings", each="belts"),
    )
    judged_by: ClassVar[tuple[str, ...]] = ("belts.{belt}.limits",)
    about: ClassVar[About] = About(
        title="Belt tension",
        settles="Whether each belt of a drive is as tight as the manual asks, and how much it carries before it slips.",
        when="After belts are fitted; after the first hours, when they have settled; at each inspection of the drive.",
        tools=(
            "a telephone or tuner that shows the frequency of a sound, or an optical belt meter",
            "or a force gauge and a rule across both pulleys",
            "scales and tape, once, for the mass of a belt per length",
        ),
        procedure=(
            "Engine off and cold, ignition safe. Turn the drive by hand so that both runs share the tension.",
            "Pluck one run of one belt in its middle and read its frequency close by; three times. Hold the other "
            "belts off it: they must not touch.",
            "Or press the middle of the run sideways, square to it, by a sixty-fourth of the span, and read the force.",
            "All belts of a set should be alike: if one is much slacker, replace the set, never one belt.",
        ),
        sign_convention=(
            "Tension is the pull in one run of one belt, standing still. The margin is the power before slip divided "
            "by the greatest power, minus one: zero is just enough."
        ),
        cautions=(cautions.ENGINE_OFF, cautions.BELTS_AND_FINGERS, cautions.TURNING_ROTORS, *cautions.ALWAYS),
        not_covered=(
            "worn, cracked, glazed or oily belts: replace them, whatever their tension",
            "pulleys out of line; idlers and crossed belts",
            "the stiffness of a short thick belt, which makes it ring higher than its tension says",
            "the pull of both runs on the shafts and bearings",
        ),
    )
    exercises: ClassVar[tuple[Exercise, ...]] = (
        Exercise(
            name="by_its_sound",
            title="A belt's tension by its sound",
            story=(
                "A run of belt {span} long hums at {frequency} when it is plucked. The belt's mass is {linear_density}."
            ),
            find="the tension of the run",
            unit="lb",
            of=tension_from_span_frequency,
            given={
                "frequency": Range("48.0 Hz", "56.0 Hz", "0.5 Hz"),
                "linear_density": Range("0.120 lb/ft", "0.150 lb/ft", "0.001 lb/ft"),
                "span": Range("22.0 in", "26.0 in", "0.1 in"),
            },
            hints=(
                "{Pounds per foot are a mass: turn them into slugs before using them with a force, and inches into "
                "feet.|Kilograms per metre, metres and hertz together give newtons: millimetres into metres first.}",
                "Four times mass per length, times length squared, times frequency squared.",
            ),
        ),
        Exercise(
            name="by_a_pull",
            title="A belt's tension by a pull",
            story=("In the middle of a run {span} long a pull of {force} moves the belt by {deflection}."),
            find="the tension of the run",
            unit="lb",
            of=tension_from_deflection,
            given={
                "force": Range("5.0 lb", "9.0 lb", "0.1 lb"),
                "deflection": Range("0.35 in", "0.45 in", "0.01 in"),
                "span": Range("22.0 in", "26.0 in", "0.1 in"),
            },
            hints=(
                "The belt makes a flat triangle, and both halves share the pull.",
                "Pull times length, divided by four times the deflection.",
            ),
        ),
    )

    belt: Annotated[str, Choice("belts")] = required("Belt drive", "As named in the aircraft file.")
    runs: list[BeltRun] = rows("Runs", "A row for each belt.")

    @classmethod
    def start(cls, aircraft: Aircraft, belt: str = "") -> dict[str, Any]:
        """A row for each belt of the first drive, or of the one picked."""
        start = super().start(aircraft)
        if belt:
            start["belt"] = belt
        drive = aircraft.belts.get(start.get("belt", ""))
        return {**start, "runs": [{"number": str(k + 1)} for k in range(drive.belts if drive else 1)]}

    def parts(self, aircraft: Aircraft) -> list[Part]:
        """Every belt of the drive."""
        drive = aircraft.belts.get(self.belt)
        read = {row.number.strip() for row in self.runs if _read(row)}
        return [] if drive is None else [Part(f"belt {k + 1}", str(k + 1) in read) for k in range(drive.belts)]

    def _work(self, aircraft: Aircraft) -> Outcome:
        to = Working(self, aircraft)
        drive = to.thing("belt", aircraft.belts, "belt drive", "none: write [belts.name] for each")
        if why := speed_contradicted(aircraft, f"belts.{self.belt}"):
            to.problem("belt", f"has a speed of the driving pulley that the drive's links contradict: {why}")
            to.settle()
        rows = self._rows(to, drive)
        driving = measured(drive.driver_diameter, Length, "driving pulley").shown_in(_INCHES)
        driven = measured(drive.driven_diameter, Length, "driven pulley").shown_in(_INCHES)
        large, small = sorted((driving, driven), key=lambda one: -float(one.si))
        sizes = (large, small, measured(drive.centre_distance, Length, "centre distance").shown_in(_INCHES))
        mass = measured(drive.linear_density, LinearDensity, "mass of a belt per length")
        span = to.work("Free length of a run", belt_span, *sizes)
        aside = from_si(deflection_rule.si(float(span.si)), Length)
        asked = say(aside, "in" if to.system == "us" else "mm", digits=2)
        tensions, far = dict[str, Measured](), list[str]()
        pooled = to.pool([row.frequency for _, row in rows.values()], Frequency)
        for number, (i, row) in rows.items():
            title = f"Tension of belt {number}"
            if row.frequency is not None:
                heard = to.mean(row.frequency, f"frequency of belt {number}", Frequency, pooled=pooled)
                tensions[number] = to.work(title, tension_from_span_frequency, heard, mass, span)
            else:
                force = to.reading(f"runs.{i}.force", f"force on belt {number}", _POUNDS)
                pressed = to.reading(f"runs.{i}.deflection", f"deflection of belt {number}", _INCHES)
                tensions[number] = to.work(title, tension_from_deflection, force, pressed, span)
                if float(pressed.si) > FAR * float(aside.magnitude):
                    far.append(
                        f"Belt {number} was pressed aside by {say(pressed)}, far more than {asked}: that stretches it, "
                        "and it is really slacker than its figure says. Press it again."
                    )
            to.judge(f"tension.{number}", title, drive.limits.tension, tensions[number].shown_in(_POUNDS))
        slackest = min(tensions, key=lambda number: float(tensions[number].si))
        self._slip(to, drive, driving, sizes, mass, tensions[slackest], slackest)
        to.lead += far
        to.notes.append(f"By force gauge this run is pressed aside by {asked}.")
        to.compare("Belts against their limits")
        return to.outcome(f"{self.about.title}, {drive.named}")

    def _rows(self, to: Working, drive: Belt) -> dict[str, tuple[int, BeltRun]]:
        rows = to.filled("runs", "frequency", "force", "deflection")
        there = [str(k + 1) for k in range(drive.belts)]
        for i, row in rows:
            if row.number.strip() not in there:
                to.problem(f"runs.{i}.number", f"is no belt of this drive: it has {', '.join(there)}")
            if row.frequency is not None and (row.force is not None or row.deflection is not None):
                to.problem(f"runs.{i}.frequency", "stands beside a force: give one of the two ways")
            elif row.frequency is None:
                both = ("force", "deflection")
                to.together(both, "is needed: force and deflection belong together", row, f"runs.{i}.")
        found = to.by_key("runs", rows, lambda row: row.number.strip(), "number")
        to.settle()
        return found

    def _slip(
        self,
        to: Working,
        drive: Belt,
        driving: Measured,
        sizes: tuple[Measured, ...],
        mass: Measured,
        tension: Measured,
        number: str,
    ) -> None:
        speed = to.work(
            "Belt speed",
            belt_speed,
            measured(drive.driver_speed, RotationRate, "speed of the driving pulley"),
            driving,
        )
        wrap = to.work("Wrap on the smaller pulley", open_belt_wrap_small, *sizes)
        power = measured(drive.greatest_power, Power, "greatest power")
        share = to.work("Power of one belt", power_of_one_belt, power, drive.belts)
        friction = measured(drive.friction_coefficient, Ratio, "friction coefficient")
        groove = measured(drive.groove_angle, Angle, "groove angle")
        title = f"Margin against slip, belt {number}"
        margin = to.work(title, belt_slip_margin, tension, share, speed, friction, wrap, groove, mass)
        to.judge("slip_margin", title, drive.limits.slip_margin, margin, physical=HOLDS)
        if margin.si + margin.expanded_si < 0:
            to.lead.append("The slackest belt slips at the greatest power: do not run it like this.")


def _read(row: BeltRun) -> bool:
    return row.frequency is not None or (row.force is not None and row.deflection is not None)
