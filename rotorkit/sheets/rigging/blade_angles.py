"""Blade angles: protractor readings at the stops of the main or the tail rotor, against the kit manual's limits."""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass, field
from typing import Annotated, Any, ClassVar, Literal, get_args

from rotorkit import sources
from rotorkit.aircraft import Aircraft, Rotor
from rotorkit.aircraft.entries import Choice, GivenRows, Readings, asked, required, rows
from rotorkit.judging.limits import IN_LIMITS, OUT_OF_LIMITS, Limit
from rotorkit.judging.measured import Measured
from rotorkit.pictures.data import AngleRow, Angles
from rotorkit.quantities import Angle, say
from rotorkit.rigging import (
    blade_angle,
    blade_angle_protractor_kept_facing_one_way,
    blade_angle_protractor_turned_with_blade,
    blade_to_blade_spread,
    protractor_zero_end_for_end,
    shaft_lean_protractor_kept_facing_one_way,
    shaft_lean_protractor_turned_with_blade,
    travel_between_stops,
)
from rotorkit.sheets.base import (
    About,
    Finding,
    Needed,
    Outcome,
    Part,
    Row,
    Sheet,
)
from rotorkit.sheets.exercises import Exercise, Range
from rotorkit.sheets.rigging.protractor import PROTRACTOR_READINGS, SIGNS_TOLD, SIGNS_USED, ProtractorWork
from rotorkit.sheets.working import blade_named, capital, key_of
from rotorkit.sources import cautions

Position = Literal["low stop", "neutral", "high stop"]
POSITIONS: tuple[str, ...] = get_args(Position)
LOW_STOP, NEUTRAL, HIGH_STOP = POSITIONS

Way = Literal[
    "reading less a reference surface",
    "half a turn apart, protractor turned with the blade",
    "half a turn apart, protractor kept facing one way",
]
WAYS: tuple[str, ...] = get_args(Way)
BY_REFERENCE, TURNED_WITH_BLADE, FACING_ONE_WAY = WAYS

QUESTION_LEAN = math.radians(3.0)
"""A lean beyond this is asked about: aircraft stand level to within this in a hangar (common practice, no source)."""
RISES = Limit("travel", Angle, low="0 deg", source="the low stop is the lower blade angle")
QUESTION_SIGN = math.radians(1.0)
"""Two blades on either side of nothing by more than this are asked about (common practice, no source)."""
TURN_NOTHING = "Turn nothing yet.", "low_stop.", "neutral.", "high_stop.", "travel.", "spread."
"""What is to be done while nobody knows which way round it is read, and the figures that this sees to."""
SIGN_FIRST = "Check the sign on the blade itself before you adjust anything."


class StationRow(Row):
    """One blade at one position of the control."""

    blade: str = asked("Blade", "Its name in the aircraft file, as marked on the blade.", "")
    position: Annotated[Position, Choice(options=POSITIONS)] = required(
        "Position", "The control against its stop, or at neutral with the rigging pin in."
    )
    reading: Annotated[Readings | None, PROTRACTOR_READINGS] = asked(
        "Reading",
        "On the blade, at the station the manual names. Lift the protractor and place it again for each "
        "repeat; separate repeats with semicolons: 9.8; 9.9; 9.7 deg.",
    )
    second: Annotated[Readings | None, PROTRACTOR_READINGS] = asked(
        "Half a turn later", "The same blade, station and control position, with the rotor turned half a turn."
    )
    reference: Annotated[Readings | None, PROTRACTOR_READINGS] = asked(
        "Reference",
        "On a surface square to the shaft, with the protractor held as on the blade and the rotor not turned in "
        "between. Leave it empty if one reference serves the whole sheet.",
    )

    @property
    def given(self) -> list[str]:
        """The fields with a reading in them."""
        return [name for name in ("reading", "second", "reference") if getattr(self, name) is not None]


def expected_positions(rotor: Rotor) -> tuple[str, ...]:
    """The positions at which a rotor is to be read: both stops, and neutral where it has a limit."""
    return POSITIONS if rotor.limits.neutral is not None else (LOW_STOP, HIGH_STOP)


def limit_at(rotor: Rotor, position: str) -> Limit | None:
    """The limit of the blade angle at a position."""
    found: Limit | None = getattr(rotor.limits, key_of(position))
    return found


@dataclass
class ReadStation:
    """A station with its readings, and what comes of them."""

    row: int
    blade: str
    position: str
    station: StationRow
    angle: Measured = field(init=False)

    @property
    def words(self) -> str:
        return f"blade {self.blade}, {self.position}"


class BladeAngles(Sheet):
    """Blade angles of one rotor at its stops, the travel between them and the spread from blade to blade."""

    order: ClassVar[int] = 10
    puts_right: ClassVar[dict[str, str]] = {
        "": "Set pitch links and stops as the manual says, lock them, and read every blade again.",
    }
    needed: ClassVar[tuple[Needed, ...]] = (
        Needed(
            "First engine run",
            "a clutch or belt that drags turns the rotor with the engine: at the low stop it must not lift",
            of="main rotor",
        ),
        Needed(
            "First engine run",
            "it turns with the main rotor: its pitch must be within its stops before anything turns",
            of="tail rotor",
        ),
        Needed(
            "First rotor turn",
            "unequal blades shake the aircraft, and a wrong range leaves no way to stay on the ground",
            of="main rotor",
        ),
        Needed(
            "First rotor turn",
            "the first torque turns the fuselage: the pedals must hold it, both ways",
            of="tail rotor",
        ),
        Needed(
            "First hover", "the hover needs the most anti-torque pitch: the pedal stop must give it", of="tail rotor"
        ),
        Needed(
            "First flight out of ground effect",
            "the high stop must give the pitch that flight needs, and no more than the engine can drive",
            of="main rotor",
        ),
        Needed(
            "End of the test phase",
            "bearings and links bed in over the first hours: measure the angles again",
            of="main rotor",
        ),
        Needed(
            "End of the test phase",
            "bearings and links bed in over the first hours: measure the angles again",
            of="tail rotor",
        ),
    )
    uses: ClassVar[tuple[str, ...]] = SIGNS_USED
    told_at_the_aircraft: ClassVar[tuple[str, ...]] = SIGNS_TOLD
    judged_by: ClassVar[tuple[str, ...]] = ("{rotor}.limits",)
    about: ClassVar[About] = About(
        title="Blade angles",
        settles=(
            "Whether every blade is at the manual's angle at each stop (and at neutral), travels as far as it "
            "should, and agrees with the other blades."
        ),
        when=(
            "After fitting or adjusting pitch links, control rods, cables, stops or blades; before the first run; and "
            "whenever the controls feel or fly differently."
        ),
        tools=(
            "gravity protractor (digital or bubble), with its calibration",
            "flat block or plate for the blade station that the manual names",
            "rigging pins, and blocks that hold a teetering or flapping rotor square to its shaft",
            "a helper in the seat who holds the control against its stop",
        ),
        procedure=(
            "Make the aircraft safe and level it roughly; put it where neither wind nor a soft tyre can move it.",
            "Block the rotor square to its shaft as the manual says; set the friction, and take out the play by always "
            "coming to a stop from the same side.",
            "Find the protractor's sign: turn one blade a little, leading edge in the direction the aircraft file "
            "calls positive, and see whether the reading rises. It must do what the aircraft file says.",
            "Main rotor: bring each blade in turn to the same place over the airframe. Tail rotor: turn each blade "
            "until its span is level, and measure from the plumb line.",
            "Hold the control against the stop. Read the blade, lift the protractor, place it again and read again. "
            "Three readings are much better than two.",
            "Way one: read the reference surface with the protractor held the same way, without turning the rotor. One "
            "reference serves all blades only if all are read in the same place, with the protractor the same way "
            "round.",
            "Way two: turn the rotor half a turn and read the same blade with the same end of the protractor at the "
            "leading edge. The shaft's lean cancels but the protractor's zero error does not: read that on a level "
            "surface.",
            "Way three: turn the rotor half a turn and read the same blade with the protractor facing the same way in "
            "the hangar as before. Lean and zero both cancel; keep the two readings in this order.",
            "Do the same at the other stop, and at neutral if the manual gives an angle for it.",
        ),
        sign_convention=(
            "The aircraft file says which turn of the leading edge is a positive blade angle and which makes the "
            "protractor's reading rise. The sign follows from the two; nothing is assumed. Travel is the angle at the "
            "high stop minus the angle at the low stop; the low stop is the one with the lower angle, sign included."
        ),
        cautions=(
            cautions.ENGINE_OFF,
            cautions.TURNING_ROTORS,
            cautions.HANDS_IN_LINKAGE,
            *cautions.AFTER_ADJUSTING,
        ),
        not_covered=(
            "cyclic range and the azimuth at which it is read",
            "what to turn to bring a blade into limits: see the manual's pitch-link procedure",
            "twist, track and balance; play and wear in the controls",
            "a lean along the blade's span, if the protractor's face is not held square to the span",
        ),
    )
    exercises: ClassVar[tuple[Exercise, ...]] = (
        Exercise(
            name="less_the_reference",
            title="A reading and its reference",
            story=(
                "The protractor laid on a tail-rotor blade shows {reading}. On the flange of the shaft, "
                "the reference surface, it shows {reference}. Upward is positive for both."
            ),
            find="the blade angle",
            unit="deg",
            of=blade_angle,
            given={
                "reading": Range("12.0 deg", "16.0 deg", "0.1 deg"),
                "reference": Range("0.6 deg", "1.9 deg", "0.1 deg"),
                "sign": "1",
            },
            hints=(
                "The protractor sees the blade and the lean of the shaft together.",
                "Subtract what it shows on the reference.",
            ),
        ),
        Exercise(
            name="what_to_show",
            title="What the protractor should show",
            story=(
                "The manual wants a blade angle of {result} at this stop. On the reference surface the protractor "
                "shows {reference}: the shaft leans to the other side. Upward counts as positive."
            ),
            find="the reading that the protractor must show on the blade",
            unit="deg",
            of=blade_angle,
            given={
                "result": Range("12.0 deg", "15.0 deg", "0.1 deg"),
                "reference": Range("-1.9 deg", "-0.6 deg", "0.1 deg"),
                "sign": "1",
            },
            unknown="reading",
            hints=(
                "Blade angle is reading minus reference; here the reading is the unknown.",
                "A reference below zero makes the reading smaller than the blade angle.",
            ),
        ),
        Exercise(
            name="half_a_turn",
            title="Half a turn apart",
            story=(
                "No reference surface can be reached. The protractor faces the same way in the hangar for "
                "both readings of one blade: {first}, and after half a turn of the rotor {second}."
            ),
            find="the blade angle",
            unit="deg",
            of=blade_angle_protractor_kept_facing_one_way,
            given={
                "first": Range("13.0 deg", "16.0 deg", "0.1 deg"),
                "second": Range("-14.5 deg", "-11.0 deg", "0.1 deg"),
                "sign": "1",
            },
            hints=(
                "Any lean is the same in both readings; the blade angle changes sign.",
                "Subtract the second from the first, then halve it.",
            ),
        ),
    )

    rotor: Annotated[str, Choice("rotors")] = required("Rotor")
    protractor: Annotated[str, Choice("instruments", measures="angle")] = required(
        "Protractor", "As named in the aircraft file, which holds its uncertainty."
    )
    way: Annotated[Way, Choice(options=WAYS)] = asked(
        "Way of reading",
        "What you read besides the blade, so that the shaft's lean and the protractor's zero error cancel.",
        "reading less a reference surface",
    )
    reference: Annotated[Readings | None, PROTRACTOR_READINGS] = asked(
        "Reference for all rows",
        "Way one: a surface square to the shaft. It serves all rows only if every blade was read in the same place "
        "over the airframe, with the protractor the same way round; otherwise read one for each row.",
    )
    zero: Annotated[Readings | None, PROTRACTOR_READINGS] = asked(
        "Protractor's zero",
        "Way two: what the protractor reads on a level surface, facing the same way as on the blade.",
    )
    zero_turned: Annotated[Readings | None, PROTRACTOR_READINGS] = asked(
        "Same surface, end for end",
        "The same spot with the protractor turned end for end; the surface then need not be level.",
    )
    stations: Annotated[list[StationRow], GivenRows(rows=("blade_angles", "pitch_rigging"))] = rows(
        "Stations", "A row for each blade at each position."
    )

    @classmethod
    def start(cls, aircraft: Aircraft, rotor: str = "") -> dict[str, Any]:
        """The choices made, and a row for each blade of the rotor (the first, if none is named) at each position."""
        start = super().start(aircraft)
        start["rotor"] = rotor or start["rotor"]
        chosen = aircraft.rotors[start["rotor"]]
        start["stations"] = [
            {"blade": blade, "position": position} for position in expected_positions(chosen) for blade in chosen.blades
        ]
        return start

    def parts(self, aircraft: Aircraft) -> list[Part]:
        """Every blade at every position that the rotor is read at."""
        rotor = aircraft.rotors.get(self.rotor)
        if rotor is None:
            return []
        read = {(blade_named(s.blade, rotor), s.position) for s in self.stations if s.reading is not None}
        where = {position: "neutral" if position == NEUTRAL else f"the {position}" for position in POSITIONS}
        return [
            Part(f"blade {blade} at {where[position]}", (blade, position) in read)
            for position in expected_positions(rotor)
            for blade in rotor.blades
        ]

    def _work(self, aircraft: Aircraft) -> Outcome:
        return BladeAngleWork(self, aircraft).whole()


class BladeAngleWork(ProtractorWork):
    """One working of the sheet: readings, means, angles, findings and what should be asked about."""

    def __init__(self, sheet: BladeAngles, aircraft: Aircraft) -> None:
        super().__init__(sheet, aircraft, sheet.rotor)
        self.read = self._read()
        self.pool_angles(self._groups())

    # what was read

    def _read(self) -> list[ReadStation]:
        """The rows with a reading. Raises `SheetError` with every row half filled in, and every field missing."""
        sheet, rows = self.sheet, []
        for i, station in enumerate(sheet.stations):
            self._faults(i, station)
            if station.blade.strip() or station.given:
                blade = self.blade(f"stations.{i}.blade", station.blade, self.rotor, sheet.rotor)
                if blade is not None and station.reading is not None:
                    rows.append((i, station))
        found = self.by_key("stations", rows, self._key, "position", "write repeats into it, separated by semicolons")
        for name in ("reference", "zero", "zero_turned"):
            self.mixed(name, getattr(sheet, name))
        if sheet.zero is None and sheet.way == TURNED_WITH_BLADE:
            self.problem("zero", "is needed: when the protractor turns with the blade, its zero error does not cancel")
        elif sheet.zero is None and sheet.zero_turned is not None:
            self.problem("zero", "is missing: the same surface was read only with the protractor turned end for end")
        if not found and not self.problems:
            self.problem("stations.0.reading" if sheet.stations else "stations", "needs a reading")
        self.settle()
        return [ReadStation(i, blade, position, row) for (blade, position), (i, row) in found.items()]

    def _key(self, station: StationRow) -> tuple[str | None, str]:
        return blade_named(station.blade, self.rotor), station.position

    def _faults(self, i: int, station: StationRow) -> None:
        """Note each field of a row that is missing, or that the way of reading has no use for."""
        sheet, given = self.sheet, station.given
        by_reference, at = sheet.way == BY_REFERENCE, f"stations.{i}"
        for name in given:
            self.mixed(f"{at}.{name}", getattr(station, name))
        if given and station.reading is None:
            others = " and ".join(StationRow.model_fields[name].title or name for name in given)
            self.problem(f"{at}.reading", f"is missing: the row has {others}")
        unused = "second" if by_reference else "reference"
        if unused in given:
            said = f"is not used with the way of reading {sheet.way!r}: clear it, or change the way"
            self.problem(f"{at}.{unused}", said)
        if station.reading is not None and by_reference and station.reference is None and sheet.reference is None:
            said = "is needed: a reference reading for this row, or one for the whole sheet"
            self.problem(f"{at}.reference", said)
        if station.reading is not None and not by_reference and station.second is None:
            self.problem(f"{at}.second", "is needed: the reading of the same blade half a turn later")

    def _groups(self) -> list[Readings]:
        rows = [getattr(r.station, name) for r in self.read for name in ("reading", "second", "reference")]
        return [group for group in (*rows, self.sheet.reference, self.sheet.zero, self.sheet.zero_turned) if group]

    # what comes of it

    def work_angles(self) -> None:
        """Every angle from its readings."""
        way, sheet = self.sheet.way, self.sheet
        shared = (
            self.angle(sheet.reference, "reference", "reference") if sheet.reference and way == BY_REFERENCE else None
        )
        zero = self._zero() if way != BY_REFERENCE else None
        for read in self.read:
            station, title = read.station, f"Blade angle: {read.words}"
            assert station.reading is not None
            first = self.angle(station.reading, read.words, read.position)
            if way == BY_REFERENCE:
                own = station.reference
                reference = self.angle(own, f"reference for {read.words}", "reference") if own else shared
                read.angle = self.work(title, blade_angle, first, reference, self.sign)
                continue
            assert station.second is not None
            later = f"{read.words}, half a turn later"
            if way == TURNED_WITH_BLADE:
                second = self.angle(station.second, later, read.position)
                read.angle = self.work(title, blade_angle_protractor_turned_with_blade, first, second, zero, self.sign)
                lean = self.work(f"Shaft's lean: {read.words}", shaft_lean_protractor_turned_with_blade, first, second)
            else:
                second = self.angle(station.second, later, f"{read.position}, turned round")
                read.angle = self.work(title, blade_angle_protractor_kept_facing_one_way, first, second, self.sign)
                formula = shaft_lean_protractor_kept_facing_one_way
                told = "Shaft's lean" if zero is not None else "Shaft's lean and protractor's zero error together"
                lean = self.work(f"{told}: {read.words}", formula, first, second, zero or "0 deg")
            if abs(float(lean.si)) > QUESTION_LEAN:
                held = "turned with the blade" if way == TURNED_WITH_BLADE else "kept facing one way"
                self.asked.append(
                    f"{capital(read.words)}: the two readings imply that the shaft leans {say(lean)}. Was the "
                    f"protractor really {held}?"
                )

    def _zero(self) -> Measured | None:
        if self.sheet.zero is None:
            return None
        zero = self.angle(self.sheet.zero, "level surface", "zero")
        if self.sheet.zero_turned is None:
            return zero
        turned = self.angle(self.sheet.zero_turned, "level surface, protractor end for end", "zero")
        return self.work("Protractor's zero", protractor_zero_end_for_end, zero, turned)

    def _at(self, blade: str, position: str) -> ReadStation | None:
        return next((r for r in self.read if (r.blade, r.position) == (blade, position)), None)

    def judge_angles(self) -> None:
        """Every angle, every travel and every spread, each against its limit."""
        limits = self.rotor.limits
        for position in POSITIONS:
            limit = limit_at(self.rotor, position)
            for blade in self.rotor.blades:
                if (read := self._at(blade, position)) is not None:
                    self.judge(f"{key_of(position)}.{key_of(blade)}", f"Blade {blade}, {position}", limit, read.angle)
        for blade in self.rotor.blades:
            low, high = self._at(blade, LOW_STOP), self._at(blade, HIGH_STOP)
            if low is not None and high is not None:
                step, title = f"Travel between the stops: blade {blade}", f"Blade {blade}, travel"
                travel = self.work(step, travel_between_stops, low.angle, high.angle)
                self.judge(f"travel.{key_of(blade)}", title, limits.travel, travel, aside=True, physical=RISES)
        for position in POSITIONS:
            angles = {b: r.angle for b in self.rotor.blades if (r := self._at(b, position)) is not None}
            if len(angles) > 1 and len(angles) == len(self.rotor.blades):
                key, title = f"spread.{key_of(position)}", f"Blade to blade, {position}"
                self.judge(key, title, limits.blade_to_blade, self._spread(position, angles), aside=True)

    def _spread(self, position: str, angles: dict[str, Measured]) -> Measured:
        spread = blade_to_blade_spread(list(angles.values())).shown_in("deg")
        most, least = (pick(angles, key=lambda b: float(angles[b].si)) for pick in (max, min))
        a, b = (f"{math.degrees(float(angles[blade].si)):.2f}" for blade in (most, least))
        line = f"blade {most} less blade {least}: {a}° - {f'({b}°)' if b.startswith('-') else f'{b}°'} = {say(spread)}"
        cited = sources.DEFINITION.at("largest blade angle less the smallest")
        self.step(f"Blade-to-blade spread, {position}", [line], spread, cited)
        return spread

    def whole(self) -> Outcome:
        """All of it: angles, verdicts, pictures, and what is said of them."""
        self.work_angles()
        self.judge_angles()
        self.notes.append(self.rotor.convention.sentence)
        self.ask(self.findings)
        self.asked += self._not_used()
        self.pictures.append(self._picture())
        # the angles stand in the first picture with their limits
        self.compare("Travel and blade-to-blade spread", [f for f in self.findings if not self._is_angle(f)])
        return self.outcome(f"{self.sheet.about.title}, {self.sheet.rotor}")

    def _is_angle(self, finding: Finding) -> bool:
        """Whether a finding is a blade angle, not a travel or a spread."""
        return any(finding.measured is read.angle for read in self.read)

    def _picture(self) -> Angles:
        rows = []
        for finding in self.findings:
            read = next((r for r in self.read if finding.measured is r.angle), None)
            if read is None:
                continue
            limit = limit_at(self.rotor, read.position)
            sides = (None, None) if limit is None else (limit.low_si, limit.high_si)
            low, high = (None if side is None else math.degrees(side) for side in sides)
            spread = math.degrees(float(read.angle.expanded_si))
            angle = math.degrees(float(read.angle.si))
            rows.append(AngleRow(finding.title, angle, spread, low, high, finding.verdict.word))
        return Angles("Angles at the stops", self.rotor.convention.blade_positive.value, rows)

    # what should be asked about

    def stops_exchanged(self) -> list[str]:
        """A sentence for each blade whose low stop lies above its high stop: nothing that is turned mends that."""
        said = []
        for blade in self.rotor.blades:
            low, high = (self._at(blade, position) for position in (LOW_STOP, HIGH_STOP))
            if low is not None and high is not None and float(high.angle.si) < float(low.angle.si):
                said.append(
                    f"Blade {blade}: the low stop ({say(low.angle)}) lies above the high stop ({say(high.angle)}). Are "
                    f"the stops exchanged, or is the sign convention of the aircraft file the wrong way round?"
                )
        return said

    def ask(self, findings: list[Finding]) -> None:
        """What should be asked about. Stops that are exchanged lead, else signs that may be turned round: nothing is to
        be adjusted before these are answered."""
        exchanged, mirrored = self.stops_exchanged(), self._mirrored(findings)
        if exchanged:
            self.say_to_do(*TURN_NOTHING)
        elif mirrored and self.told_to_do != TURN_NOTHING[0]:
            self.say_to_do(f"{SIGN_FIRST} {self.told_to_do}".strip(), *self.it_covers)
        self.lead += exchanged or mirrored
        self.asked += [*(mirrored if exchanged else []), *self._questions()]

    def _mirrored(self, findings: list[Finding]) -> list[str]:
        """A sentence for each angle that is out of limits and would be in with the other sign."""
        asked = []
        for finding in filter(self._is_angle, findings):
            limit, mirrored = finding.verdict.limit, -finding.measured
            if finding.verdict.word == OUT_OF_LIMITS and limit is not None and limit.word(mirrored) == IN_LIMITS:
                asked.append(
                    f"{finding.title}: {say(finding.measured)} is out of limits, {say(mirrored)} would be in. "
                    f"{SIGN_FIRST}"
                )
        return asked

    def _questions(self) -> list[str]:
        asked = []
        for position in POSITIONS:
            at = [r for r in self.read if r.position == position]
            for one, other in itertools.combinations(at, 2):
                a, b = float(one.angle.si), float(other.angle.si)
                if a * b < 0 and min(abs(a), abs(b)) > QUESTION_SIGN:
                    asked.append(
                        f"At the {position} blade {one.blade} reads {say(one.angle)} and blade {other.blade} "
                        f"{say(other.angle)}: of opposite sign. Was the protractor the same way round on both?"
                    )
        for blade in self.rotor.blades:
            low, neutral, high = (self._at(blade, position) for position in POSITIONS)
            if (
                low is not None
                and neutral is not None
                and high is not None
                and float(low.angle.si) <= float(high.angle.si)
                and not float(low.angle.si) <= float(neutral.angle.si) <= float(high.angle.si)
            ):
                asked.append(f"Blade {blade}: neutral ({say(neutral.angle)}) does not lie between the stops.")
        return asked

    def place(self, path: str) -> str:
        """A field in words."""
        first, *rest = path.split(".")
        if not rest:
            return str(type(self.sheet).model_fields[first].title)
        station = self.sheet.stations[int(rest[0])]
        return f"Blade {station.blade}, {station.position}"

    def _not_used(self) -> list[str]:
        sheet = self.sheet
        if sheet.way == BY_REFERENCE:
            unused = [name for name in ("zero", "zero_turned") if getattr(sheet, name)]
        else:
            unused = ["reference"] if sheet.reference else []
        titles = [type(sheet).model_fields[name].title for name in unused]
        return [f"{title} is not used by this way of reading." for title in titles]
