"""Control travel: blade angle over the place of a control, moved one way and back."""

from __future__ import annotations

import math
from typing import Annotated, Any, ClassVar, Literal, get_args

from rotorkit import sources
from rotorkit.aircraft import Aircraft, TravelLimits
from rotorkit.aircraft.entries import Choice, Entry, Readings, asked, required, rows
from rotorkit.judging.limits import UNDONE, WORDS, Limit, Verdict
from rotorkit.judging.measured import Measured
from rotorkit.pictures.data import Chart, Curve, Dots
from rotorkit.quantities import (
    Angle,
    Length,
    Reading,
    from_si,
    in_unit,
    kind_of,
    say,
    unit_for_display,
    unit_label,
)
from rotorkit.rigging import TravelFit, TravelReading, blade_angle, control_travel, travel_between_stops
from rotorkit.sheets.base import About, Needed, Outcome, Part, Row, Sheet
from rotorkit.sheets.exercises import Exercise, Range
from rotorkit.sheets.rigging.protractor import PROTRACTOR_READINGS, SIGNS_TOLD, SIGNS_USED, ProtractorWork
from rotorkit.sheets.working import Working
from rotorkit.sources import cautions

Way = Literal["rising", "falling", "not watched"]
WAYS: tuple[str, ...] = get_args(Way)
LIBRARY_WAY: dict[str, Literal["up", "down", ""]] = {"rising": "up", "falling": "down", "not watched": ""}
_LENGTH: Any = kind_of(Length)


class TravelRow(Row):
    """The blade angle at one place of the control."""

    position: Annotated[Reading | None, Entry(Length, ("in", "mm"), ("-60 in", "60 in"))] = asked(
        "Position", "Position of the control, along its path at the grip or pedal, always from the same mark."
    )
    way: Annotated[Way, Choice(options=WAYS)] = asked(
        "Position was", "Whether the position was rising or falling as the control came to this place.", "not watched"
    )
    reading: Annotated[Readings | None, PROTRACTOR_READINGS] = asked(
        "Reading", "On the blade, the rotor not turned in between; separate repeats with semicolons."
    )


class ControlTravel(Sheet):
    """Blade angle over control position: slope, friction band, dead band, straightness."""

    order: ClassVar[int] = 40
    puts_right: ClassVar[dict[str, str]] = {
        "friction_band": "Find what rubs in this control run, see to it as the manual says, and read it again.",
        "dead_band": "Find the play in this control run, see to it as the manual says, and read it again.",
        "departure": (
            "Look for a lever or link that is bent or wrongly set, see to it as the manual says, and read it again."
        ),
    }
    needed: ClassVar[tuple[Needed, ...]] = (
        Needed("First hover", "a pedal with a wide dead band makes you over-control the first hover"),
    )
    uses: ClassVar[tuple[str, ...]] = SIGNS_USED
    told_at_the_aircraft: ClassVar[tuple[str, ...]] = SIGNS_TOLD
    judged_by: ClassVar[tuple[str, ...]] = ("control_limits.travel.{control}",)
    about: ClassVar[About] = About(
        title="Control travel",
        settles=(
            "How the blade follows a control over its whole travel: how many degrees per inch, how much movement "
            "friction, stretch and play take up when the control reverses, and whether the blade follows evenly."
        ),
        when=(
            "After cables, tubes, bellcranks or a mixer were fitted or adjusted; when a control feels heavy, loose or "
            "uneven; before the first run, to have something to compare with later."
        ),
        tools=(
            "protractor on the blade, and a tape or rule along the path of the grip or pedal, fixed at one end",
            "tape on the floor or a stick, to hold the control at a place without a hand on it",
            "a helper: one at the control, one at the blade",
        ),
        procedure=(
            "Block the rotor, and do not turn it again until the sheet is complete. Fix the tape so that its mark "
            "stays put.",
            "Start at one stop. Move the control to the first place without overshooting, take your hand off, "
            "and read tape and protractor.",
            "Go on through five or more places to the other stop, always in the same direction. If you overshoot, "
            "start again.",
            "At the stop, reverse and come back through the same places.",
            "In each row say which way the position was going. The gap between the two lines is what friction, stretch "
            "and play take up.",
            "Do it hands light: a hard pull stretches cables and hides the friction.",
        ),
        sign_convention=(
            "The position counts from the mark, in the direction of the tape. The slope is positive where the blade "
            "angle rises with it. The friction band is positive where the blade lags, which is what friction and play "
            "do; one that is negative by more than its uncertainty means the two directions were mixed up."
        ),
        cautions=(
            cautions.ENGINE_OFF,
            cautions.TURNING_ROTORS,
            cautions.HANDS_IN_LINKAGE,
            cautions.MANUAL_GOVERNS,
            cautions.INSPECTION,
            cautions.AN_AID,
        ),
        not_covered=(
            "two controls moved together: the sheet on control corners",
            "a linkage that is not straight by design: its curve shows as departures from the line",
            "which of friction, stretch and play it is; forces at the grip",
            "the angles at the stops and their limits: see the sheets on blade angles and pitch rigging",
        ),
    )
    exercises: ClassVar[tuple[Exercise, ...]] = (
        Exercise(
            name="from_stop_to_stop",
            title="Travel from stop to stop",
            story=(
                "A tail-rotor blade stands at {at_one_stop} with the right pedal on its stop, and at "
                "{at_other_stop} with the left one on its stop."
            ),
            find="the travel from the right pedal's stop to the left one's",
            unit="deg",
            of=travel_between_stops,
            given={
                "at_one_stop": Range("-4.9 deg", "-1.1 deg", "0.1 deg"),
                "at_other_stop": Range("18.0 deg", "29.0 deg", "0.1 deg"),
            },
            hints=(
                "Travel is where it ends minus where it began.",
                "Subtracting a negative figure means adding its size.",
            ),
        ),
    )

    rotor: Annotated[str, Choice("rotors")] = required("Rotor")
    blade: str = asked("Blade", "The blade that you read throughout: its name in the aircraft file.", "")
    control: Annotated[str, Choice("controls")] = required("Control", "As named in the aircraft file.")
    protractor: Annotated[str, Choice("instruments", measures="angle")] = required(
        "Protractor", "As named in the aircraft file, which holds its uncertainty."
    )
    reference: Annotated[Readings | None, PROTRACTOR_READINGS] = asked(
        "Reference", "A surface square to the shaft, without turning the rotor. Without it, angles count from level."
    )
    places: list[TravelRow] = rows("Places", "A row for each place and way.")

    @classmethod
    def start(cls, aircraft: Aircraft) -> dict[str, Any]:
        """The choices made, the first blade named, and five places each way."""
        start = super().start(aircraft)
        start["blade"] = aircraft.rotors[start["rotor"]].blades[0]
        start["places"] = [{"way": way} for way in ("rising",) * 5 + ("falling",) * 5]
        return start

    def parts(self, aircraft: Aircraft) -> list[Part]:
        """Three places or more each way: one way alone shows neither friction nor a dead band."""
        read = [row.way for row in self.places if row.reading is not None]
        return [
            Part(f"three places or more with the position {way}", read.count(way) > 2) for way in ("rising", "falling")
        ]

    def _work(self, aircraft: Aircraft) -> Outcome:
        to = ProtractorWork(self, aircraft, self.rotor)
        none = 'none: write [controls] with each control and its ends, such as pedals = ["full left", "full right"]'
        to.thing("control", aircraft.controls, "control", none)
        readings = self._readings(to, self._rows(to))
        found = control_travel(readings)
        self._figures(to, found, readings)
        to.notes += self._said(found)
        if not self.reference:
            to.notes.append("No reference was read: the angles count from level. The slope is not affected.")
        to.notes.append(to.rotor.convention.sentence)
        to.pictures.append(self._chart(found, readings, to.system))
        to.compare("Against the limits")
        return to.outcome(f"{self.about.title}, {self.control}, {self.rotor}, blade {self.blade.strip()}")

    def _rows(self, to: Working) -> list[tuple[int, TravelRow]]:
        """The rows with a place and a reading. Raises `SheetError` with everything that is missing."""
        to.mixed("reference", self.reference)
        to.blade("blade", self.blade, to.aircraft.rotors[self.rotor], self.rotor)
        found = []
        at: int | None
        for i, row in enumerate(self.places):
            to.mixed(f"places.{i}.reading", row.reading)
            if row.position is None and row.reading is None:
                continue
            for name in ("position", "reading"):
                if getattr(row, name) is None:
                    to.problem(f"places.{i}.{name}", "is missing")
            found.append((i, row))
        ways = {row.way for _, row in found}
        if "not watched" in ways and len(ways) > 1:
            at = next(i for i, row in found if row.way == "not watched")
            to.problem(f"places.{at}.way", "is given for the other rows: give it for all of them, or for none")
        if len(found) < 3 and not to.problems:
            at = next((i for i, row in enumerate(self.places) if row.reading is None), None)
            path = "places" if at is None else f"places.{at}.reading"
            to.problem(path, f"needs readings at three places or more, got {len(found)}")
        to.settle()
        return found

    def _readings(self, to: ProtractorWork, rows: list[tuple[int, TravelRow]]) -> list[TravelReading]:
        to.pool_angles([*(row.reading for _, row in rows), self.reference])
        reference = to.angle(self.reference, "reference", "reference") if self.reference else "0 deg"
        found = []
        for i, row in rows:
            assert row.reading is not None
            assert row.position is not None
            words = f"{row.position.understood}, {row.way}"
            mean = to.angle(row.reading, words, f"row {i + 1}")
            angle = to.work(f"Blade angle at {words}", blade_angle, mean, reference, to.sign)
            found.append(TravelReading(row.position.value, angle, LIBRARY_WAY[row.way]))
        return found

    def _figures(self, to: Working, found: TravelFit, readings: list[TravelReading]) -> None:
        limits = to.aircraft.control_limits.travel.get(self.control, TravelLimits())
        cited = sources.JCGM_100.at("4.2, 5.2: least squares")
        rate = found.slope.shown_in(("deg/in", "deg/mm"))
        both = found.friction_band is not None
        lines = [f"{len(readings)} readings, {'two lines of one slope' if both else 'one line'}: {say(rate)}"]
        to.step("Slope of the line through the readings", lines, rate, cited)
        to.tell("slope", "Blade angle per length of control", rate, "slope")
        if found.friction_band is not None:
            band, title = found.friction_band.shown_in("deg"), "Friction band"
            to.step(title, [f"the line of the way back minus that of the way out: {say(band)}"], band, cited)
            self._lags(to, "friction_band", title, limits.friction_band, band)
        if found.dead_band is not None:
            dead, title = found.dead_band.shown_in(("in", "mm")), "Dead band of the control"
            to.step(title, [f"friction band over slope: {say(dead)}"], dead, sources.DEFINITION.at("dead band"))
            self._lags(to, "dead_band", title, limits.dead_band, dead)
        limit, kept = limits.departure or Limit("departure", Angle), found.departures
        # of a limit that is not alike both ways the largest may be in limits and another one out
        worst = min(range(len(readings)), key=lambda i: (WORDS.index(limit.word(kept[i])), -abs(found.residuals_si[i])))
        off = kept[worst].shown_in("deg")  # what all readings share drops out
        at = say(readings[worst].position, unit_for_display("in", _LENGTH), digits=3)
        title = f"Greatest departure from the line, at {at}"
        to.step(title, [f"reading less line: {say(off)}"], off, cited)
        to.judge("departure", title, limits.departure, off)

    @staticmethod
    def _lags(to: Working, key: str, title: str, limit: Limit | None, figure: Measured) -> None:
        """A band. It has no verdict where it is negative beyond its uncertainty: the ways were confused, or something
        slipped, and how wide the band is then does not follow from it."""
        if float(figure.si) >= -float(figure.expanded_si):
            to.judge(key, title, limit, figure)
            return
        said = f"{title}: {say(figure)}: {UNDONE}, because a blade cannot run ahead of its control"
        to.found(
            key, title, Verdict(UNDONE, figure, None, said, "find out which direction was which, and read both again")
        )

    @staticmethod
    def _said(found: TravelFit) -> list[str]:
        said = []
        if found.friction_band is None:
            said.append(
                "Only one direction was read: friction band and dead band are not known. Read the way back too."
            )
        elif float(found.friction_band.si) < -float(found.friction_band.expanded_si):
            said.append(
                "The friction band is negative by more than its uncertainty: the blade would run ahead of its control. "
                "Were the two directions mixed up, or did the control or the protractor slip?"
            )
        steep = [slope for _, _, slope in found.local_slopes]
        if len(steep) > 2 and min(map(abs, steep)) < 0.5 * max(map(abs, steep)):
            least = min(found.local_slopes, key=lambda part: abs(part[2]))
            between = " and ".join(
                say(from_si(x, _LENGTH), unit_for_display("in", _LENGTH), digits=3) for x in least[:2]
            )
            said.append(
                f"The blade follows least between {between}: less than half as much as elsewhere. Look there for a "
                f"linkage near its dead centre, something that binds, or a misreading."
            )
        return said

    def _chart(self, found: TravelFit, readings: list[TravelReading], system: str) -> Chart:
        unit = unit_for_display("in", _LENGTH, system)

        def x(si: float) -> float:
            return float(in_unit(si, unit, _LENGTH))

        ends = [min(found.positions_si), max(found.positions_si)]
        curves, dots = [], []
        ways = [way for way in ("up", "down") if any(r.way == way for r in readings)] or [""]
        words = {"up": "position rising", "down": "position falling", "": "all readings"}
        for way, style in zip(ways, ("main", "second"), strict=False):
            line = [math.degrees(float(found.angle_at(from_si(end, _LENGTH), way).si)) for end in ends]
            curves.append(Curve(f"line, {words[way]}", [x(end) for end in ends], line, style))
            at = [
                (x(p), math.degrees(float(r.angle.si)))
                for p, r in zip(found.positions_si, readings, strict=True)
                if r.way == way
            ]
            dots.append(Dots(f"read, {words[way]}", [p for p, _ in at], [a for _, a in at], style))
        label = unit_label(unit, _LENGTH)
        return Chart(
            f"Blade angle over {self.control}",
            f"control position, {label}",
            "blade angle, °",
            curves,
            (),
            (),
            dots,
        )
