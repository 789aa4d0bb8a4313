"""Cyclic range: blade angles around the rotor at full stick, and what to turn at the cyclic rods."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Annotated, Any, ClassVar, Literal, get_args

from rotorkit import sources
from rotorkit.aircraft import Aircraft, MainRotor, Swashplate
from rotorkit.aircraft.entries import Choice, Readings, asked, required, rows
from rotorkit.formula.contract import si_of
from rotorkit.judging.limits import Limit
from rotorkit.judging.measured import Measured, propagate
from rotorkit.pictures.data import Chart, Curve, Dots, Point
from rotorkit.quantities import Angle, from_si, kind_of, say
from rotorkit.rigging import (
    PLACES,
    STICK_DIRECTIONS,
    BladePlace,
    CyclicRanges,
    Harmonics,
    Station,
    azimuth_of,
    blade_angle,
    cyclic_range,
    half_difference,
    harmonics,
    highest_azimuth,
    mean_of_opposite,
    swashplate_highest_azimuth,
)
from rotorkit.rigging.cyclic import azimuth_si
from rotorkit.sheets.base import About, Needed, Outcome, Part, Row, Sheet, bars
from rotorkit.sheets.exercises import Exercise, Range
from rotorkit.sheets.rigging.protractor import PROTRACTOR_READINGS, ProtractorWork
from rotorkit.sheets.rigging.turning import Plan, plan
from rotorkit.sources import cautions

ANY_BLADE = "blade"
QUESTION_PHASE = math.radians(3.0)
"""A phase error beyond this, and beyond its uncertainty, is pointed out (our own choice)."""
ONE_SIDED = "0.5 deg"
"""How far inside a limit with one side only is as good as one needs (our own choice)."""
CROSS_UNJUDGED = (
    "There is no limit for what the stick does across its own line, so it is not judged. Write the manual's limit, "
    "cross, into the aircraft file."
)
OTHER_WAY = "the disk would tilt the other way than the stick"
FOLLOWS = Limit("cyclic range", Angle, low="0 deg", source="physics: the disk tilts the way of the stick")
AXES = {"fore and aft": ("forward", "aft"), "left and right": ("left", "right")}
ACROSS = {"forward": "right", "aft": "right", "left": "forward", "right": "forward"}
"""Toward which side the disk must not tilt, by stick position."""


Stick = Literal["forward", "aft", "left", "right"]
Place = Literal["over the tail", "over the right side", "over the nose", "over the left side"]
assert get_args(Stick) == STICK_DIRECTIONS
assert get_args(Place) == PLACES


class StickRow(Row):
    """One reading of the blade: the stick full one way, the blade over one place."""

    stick: Annotated[Stick, Choice(options=STICK_DIRECTIONS)] = required(
        "Stick full", "Held at its end, with the other axis at neutral and the collective always in the same place."
    )
    place: Annotated[Place, Choice(options=PLACES)] = required(
        "Blade", "Where the blade you read points: right and left as the pilot sits."
    )
    reading: Annotated[Readings | None, PROTRACTOR_READINGS] = asked(
        "Reading", "On the same blade each time, at the manual's station; separate repeats with semicolons."
    )


class ReferenceRow(Row):
    """The reference surface, read with the blade over one place."""

    place: Annotated[Place, Choice(options=PLACES)] = required(
        "Reference, blade", "Where the blade pointed while the reference was read."
    )
    reading: Annotated[Readings | None, PROTRACTOR_READINGS] = asked(
        "Reference",
        "On a surface square to the shaft, with the protractor held as on the blade over that place. It does not move "
        "with the stick: one for each place serves all stick positions.",
    )


class CyclicRange(Sheet):
    """Cyclic pitch of the main rotor at full stick, forward, aft, left and right."""

    order: ClassVar[int] = 30
    workings: ClassVar[int] = 60
    has_slow_part: ClassVar[bool] = True
    needed: ClassVar[tuple[Needed, ...]] = (
        Needed(
            "First engine run",
            "a turning rotor follows its cyclic: one that works the wrong way tilts the disk into the boom",
        ),
        Needed("First rotor turn", "the stick must tilt the disk the way it is moved, and far enough"),
        Needed("First hover", "a cyclic that works the wrong way, or too little, cannot be flown out of"),
    )
    uses: ClassVar[tuple[str, ...]] = (
        "main_rotor.positive_blade_angle",
        "main_rotor.protractor_reads_positive",
        "main_rotor.swashplate.rotor_turns",
    )
    told_at_the_aircraft: ClassVar[tuple[str, ...]] = (
        "main_rotor.positive_blade_angle",
        "main_rotor.protractor_reads_positive",
        "main_rotor.measured_at",
        "main_rotor.swashplate.rotor_turns",
    )
    judged_by: ClassVar[tuple[str, ...]] = ("main_rotor.swashplate.limits",)
    about: ClassVar[About] = About(
        title="Cyclic range",
        settles=(
            "Whether the stick gives the manual's cyclic pitch forward, aft, left and right, at the right place "
            "around the rotor and without tilting the disk the wrong way; and what to turn at the cyclic rods."
        ),
        when=(
            "When the cyclic is rigged; after a cyclic rod, mixer, swashplate, scissor link or stick stop was changed; "
            "when the stick is not where it was in a known flight condition."
        ),
        tools=(
            "gravity protractor, with its calibration, and the flat block for the manual's blade station",
            "a surface square to the shaft that can be read at every place: mast flange, hub top, a plate on the "
            "mast nut",
            "rigging pins, blocks that hold a teetering or flapping rotor square to its shaft",
            "a helper in the seat who holds stick and collective; a mark on the fuselage for each of the four places",
        ),
        procedure=(
            "Rig the collective first, or as the manual says. Level the aircraft roughly, block the rotor square to "
            "its shaft, set the collective where the manual says and leave it there.",
            "Mark the four places: over tail, right side, nose, left side. Choose one blade and read no other.",
            "A leaning shaft reads as cyclic pitch: it adds on one side and subtracts on the other. So read the "
            "reference surface with the blade over each place. A roughly level aircraft is not enough.",
            "Hold the stick full forward. Turn the blade to each of the four places and read it there, three "
            "readings each.",
            "Do the same at full aft, full left and full right, with the other axis at neutral each time.",
            "Before you look at figures, look at the swashplate: stick forward must raise the blade where the sheet "
            "says.",
            "If a range is out, turn the cyclic rods as the plan says; if the azimuth is out, nothing here corrects "
            "it: the phase of the linkage, a horn or a link on the wrong hole is the cause.",
            "Turn, lock, read again, at all four stick positions; then the collective range once more.",
        ),
        sign_convention=(
            "Cyclic pitch forward is counted positive where it tilts the disk forward, and so for aft, left and right: "
            "positive means that the rotor follows the stick. Across: positive tilts the disk to the right (of "
            "forward and aft) or forward (of left and right). The azimuth runs from over the tail in the direction "
            "of rotation; the phase error is positive where the greatest angle comes later than it should."
        ),
        cautions=(
            cautions.ENGINE_OFF,
            cautions.TURNING_ROTORS,
            cautions.HANDS_IN_LINKAGE,
            cautions.CYCLIC_REVERSED,
            *cautions.AFTER_ADJUSTING,
        ),
        not_covered=(
            "azimuths other than the four; a manual that has the angle read elsewhere: read as it says, and by hand",
            "the angle of the disk in flight, flapping stops and droop stops",
            "combined extremes: the sheet on control corners",
            "play, friction and stiffness of the linkage; a swashplate that is not flat",
            "phase, mixing and offset of the linkage themselves: this sheet finds them; the maker's "
            "drawing corrects them",
        ),
    )
    exercises: ClassVar[tuple[Exercise, ...]] = (
        Exercise(
            name="half_the_difference",
            title="Cyclic, from two places of one blade",
            story=(
                "With the stick full aft one blade reads {here} over the nose and {opposite} over the tail, each "
                "less its reference."
            ),
            find="the cyclic blade angle over the nose",
            unit="deg",
            of=half_difference,
            given={
                "here": Range("14.0 deg", "17.0 deg", "0.1 deg"),
                "opposite": Range("-9.0 deg", "-6.0 deg", "0.1 deg"),
            },
            hints=(
                "Collective is what both places have in common; cyclic is half their difference.",
                "The swashplate tilts as far up on one side as down on the other: take half of the difference.",
            ),
        ),
    )

    protractor: Annotated[str, Choice("instruments", measures="angle")] = required(
        "Protractor", "As named in the aircraft file, which holds its uncertainty."
    )
    stations: list[StickRow] = rows("Readings", "A row for each stick position with the blade over each place.")
    references: list[ReferenceRow] = rows("Reference", "A row for each place that the blade was read over.")

    @classmethod
    def start(cls, aircraft: Aircraft) -> dict[str, Any]:
        """A row for each stick position and place, and the four references."""
        start = super().start(aircraft)
        start["stations"] = [{"stick": stick, "place": place} for stick in STICK_DIRECTIONS for place in PLACES]
        start["references"] = [{"place": place} for place in PLACES]
        return start

    def parts(self, aircraft: Aircraft) -> list[Part]:
        """Every stick position; over three places or more where the file limits what the stick does across."""
        plate = getattr(aircraft.main_rotor, "swashplate", None)
        across = plate is not None and plate.limits.cross is not None
        found = []
        for stick in STICK_DIRECTIONS:
            places = {row.place for row in self.stations if row.stick == stick and row.reading is not None}
            found.append(Part(f"stick {stick}", bool(places)))
            if places and across:
                found.append(Part(f"stick {stick}: a third place, for what it does across", len(places) > 2))
        return found

    def _work(self, aircraft: Aircraft) -> Outcome:
        return CyclicRangeWork(self, aircraft).whole()


@dataclass
class ReadPlace:
    """One reading with what comes of it."""

    row: int
    stick: str
    place: str
    angle: Measured


class CyclicRangeWork(ProtractorWork):
    """One working of the sheet."""

    def __init__(self, sheet: CyclicRange, aircraft: Aircraft) -> None:
        super().__init__(sheet, aircraft, "main rotor")
        rotor = aircraft.main_rotor
        assert isinstance(rotor, MainRotor)
        assert rotor.swashplate is not None
        self.plate: Swashplate = rotor.swashplate
        self.waves: dict[str, Harmonics] = {}
        self.alone: dict[str, Measured] = {}
        self.tops: dict[str, Any] = {}
        self._check()

    # what was read

    def _check(self) -> None:
        sheet = self.sheet
        rows = self.filled("stations", "reading")
        references = [(j, row) for j, row in enumerate(sheet.references) if row.reading is not None]
        for j, row in references:
            self.mixed(f"references.{j}.reading", row.reading)
        found = self.by_key("stations", rows, lambda row: (row.stick, row.place), "place")
        there = self.by_key("references", references, lambda row: row.place, "place")
        for place in dict.fromkeys(place for _, place in found):
            if place not in there:
                at = next((j for j, row in enumerate(sheet.references) if row.place == place), None)
                path = "references" if at is None else f"references.{at}.reading"
                self.problem(
                    path, f"is needed with the blade {place}: without it a lean of the shaft is read as cyclic"
                )
        for stick in dict.fromkeys(stick for stick, _ in found):
            places = {place: i for (one, place), (i, _) in found.items() if one == stick}
            if len(places) < 3 and not self._serves(stick, list(places)):
                line = " and ".join(self._line(stick)) or "three places or more"
                said = f"needs readings over three places or more, or over the two that lie on its own line ({line})"
                self.problem(f"stations.{next(iter(places.values()))}.reading", f"stick {stick} {said}")
        self.settle()

    def _highest(self, stick: str) -> Any:
        """Where the blade angle, with its sign, must be greatest."""
        if stick not in self.tops:
            lag, positive = self.plate.response_lag.value, self.rotor.positive_blade_angle
            self.tops[stick] = highest_azimuth(stick, self.plate.rotor_turns, lag, positive)
        return self.tops[stick]

    def _highest_si(self, stick: str) -> float:
        """The same in bare radians."""
        return float(si_of(self._highest(stick), _ANGLE, "azimuth")[0])

    def _line(self, stick: str) -> list[str]:
        """The two places on a stick direction's own line: where the angle must be greatest, and half a turn on; empty
        where none of the four lies there."""
        top = self._highest_si(stick)
        for place in PLACES:
            if abs(math.remainder(azimuth_si(place, self.plate.rotor_turns) - top, 2 * math.pi)) < 1e-6:
                return [place, PLACES[(PLACES.index(place) + 2) % 4]]
        return []

    def _serves(self, stick: str, places: list[str]) -> bool:
        return len(places) == 2 and sorted(places) == sorted(self._line(stick))

    def _read(self) -> list[ReadPlace]:
        self.pool_angles([row.reading for row in (*self.sheet.stations, *self.sheet.references)])
        references = {
            row.place: self.angle(row.reading, f"reference, blade {row.place}", f"reference, {row.place}")
            for row in self.sheet.references
            if row.reading is not None
        }
        found = []
        for i, row in enumerate(self.sheet.stations):
            if row.reading is None:
                continue
            words = f"stick {row.stick}, blade {row.place}"
            mean = self.angle(row.reading, words, words)
            angle = self.work(f"Blade angle: {words}", blade_angle, mean, references[row.place], self.sign)
            found.append(ReadPlace(i, row.stick, row.place, angle))
        return found

    # what comes of it

    def _ranges(self, read: list[ReadPlace]) -> CyclicRanges:
        turn, lag = self.plate.rotor_turns, self.plate.response_lag.value
        for stick in STICK_DIRECTIONS:
            at = {one.place: one.angle for one in read if one.stick == stick}
            if not at:
                continue
            line = self._line(stick)
            if line and all(place in at for place in line):
                here, opposite = (at[place] for place in line)
                title = f"Cyclic pitch, stick {stick}: {line[0]} against {line[1]}"
                self.alone[stick] = self.work(title, half_difference, here, opposite)
                if len(at) == 2:  # with more places the mean is of them all
                    self.work(f"Mean pitch, stick {stick}", mean_of_opposite, here, opposite)
            if len(at) > 2:
                self.waves[stick] = harmonics([(azimuth_of(place, turn), angle) for place, angle in at.items()])
        found = cyclic_range(self.waves, turn, lag, self.rotor.positive_blade_angle)
        for stick, wave in self.waves.items():
            self._wave_steps(stick, wave, found)
        return found

    def _wave_steps(self, stick: str, wave: Harmonics, found: CyclicRanges) -> None:
        cited = sources.ARITHMETIC.at("first harmonic by least squares")
        greatest, where = wave.amplitude, wave.highest_at
        line = "the mean of the wave around the rotor"
        self.step(f"Mean pitch, stick {stick}", [f"{line}: {say(wave.mean.shown_in('deg'))}"], wave.mean, cited)
        said = f"mean {say(wave.mean)}, cosine part {say(wave.cosine)}, sine part {say(wave.sine)}"
        lines = [said, f"greatest {say(greatest, 'deg')} above the mean, at {say(where, 'deg')}"]
        self.step(f"Wave around the rotor, stick {stick}", lines, found.range[stick], cited)
        across = found.cross[stick]
        line = (
            f"the part that tilts the disk {'to the right' if ACROSS[stick] == 'right' else 'forward'}: {say(across)}"
        )
        self.step(f"Cyclic pitch across, stick {stick}", [line], across, cited)

    def _judge(self, found: CyclicRanges) -> None:
        limits = self.plate.limits
        for stick in STICK_DIRECTIONS:
            figure = found.range.get(stick) or self.alone.get(stick)
            if figure is not None:
                limit = getattr(limits, stick)
                shown = figure.shown_in("deg")
                self.judge(f"range.{stick}", f"Cyclic range, {stick}", limit, shown, physical=FOLLOWS)
        for stick, figure in found.cross.items():
            title = f"Stick {stick}, across: {'to the right' if ACROSS[stick] == 'right' else 'forward'}"
            self.judge(f"cross.{stick}", title, limits.cross, figure.shown_in("deg"))
        for axis, (one, other) in AXES.items():
            key = axis.replace(" ", "_")
            ends = [found.range.get(stick) or self.alone.get(stick) for stick in (one, other)]
            if all(end is not None for end in ends):
                whole = ends[0] + ends[1]  # type: ignore[operator]
                title = f"Cyclic travel {axis}"
                line = f"{one} {say(ends[0])} plus {other} {say(ends[1])} = {say(whole)}"
                self.step(title, [line], whole, sources.DEFINITION.at("travel of the stick"))
                self.tell(f"travel.{key}", title, whole)
            error = self._phase_error(found, one, other)
            if error is not None:
                title = f"Phase error {axis}"
                cited = sources.ARITHMETIC.at("azimuth of the difference of the two waves")
                line = f"the wave of stick {one} less that of stick {other}: a tilt that stays at neutral drops out"
                self.step(title, [line, f"phase error {say(error)}"], error, cited)
                self.tell(f"phase.{key}", title, error)
        for stick, mean in found.collective.items():
            self.tell(f"collective.{stick}", f"Mean pitch, stick {stick}", mean)

    def _phase_error(self, found: CyclicRanges, one: str, other: str) -> Measured | None:
        """How far later in the turn than it should be the blade angle is greatest, for one axis of the stick.

        From the difference of its two ends: a swashplate that is tilted at neutral shows in both alike and drops out.
        """
        if one not in self.waves or other not in self.waves:
            return None
        parts = [found.range[one], found.range[other], found.ahead[one], found.ahead[other]]
        return propagate(lambda a, b, c, d: math.atan2(c + d, a + b), Angle, parts).shown_in("deg")

    # what to turn

    def _plan(self) -> Plan | None:
        stations, places = [], []
        for finding in self.findings:
            what, _, stick = finding.key.partition(".")
            limit = finding.verdict.limit
            if what not in ("range", "cross") or limit is None or limit.open:
                continue
            toward = stick if what == "range" else ACROSS[stick]
            places.append(BladePlace(finding.title, ANY_BLADE, stick, self._highest(toward), None, cyclic=True))
            stations.append(Station(finding.title, finding.measured, limit, ONE_SIDED))
        rods = [rod for rod in self.rotor.rods.values() if rod.moves == "cyclic"]
        made = {rod.title: rod.adjuster(places) for rod in rods}
        adjusters = [adjuster for adjuster in made.values() if adjuster is not None]
        if not rods:
            self.notes.append(
                'The aircraft file names no cyclic rod: write [main_rotor.rods.name] with moves = "cyclic", '
                "angle_per_turn and greatest_at, to have worked out what to turn."
            )
        if not stations:
            self.notes.append("The aircraft file gives no cyclic limits: write [main_rotor.swashplate.limits].")
        if not stations or not adjusters:
            return None
        how = {}
        for rod in rods:
            said = (
                f"One turn {rod.positive} changes the blade by up to {say(rod.angle_per_turn.value, 'deg', digits=2)}."
            )
            how[rod.title] = said, said
        return self.slowly("what to turn", lambda: plan(stations, adjusters, how), bears=False)

    # what is said

    def _where(self, azimuth: float) -> str:
        """An azimuth in words: the place it lies over, or between."""
        places = {place: azimuth_si(place, self.plate.rotor_turns) for place in PLACES}
        off = {place: abs(math.remainder(azimuth - at, 2 * math.pi)) for place, at in places.items()}
        near = sorted(off, key=lambda place: off[place])
        if off[near[0]] < math.radians(10):
            return near[0]
        return f"between {near[0].removeprefix('over ')} and {near[1].removeprefix('over ')}, nearer to the former"

    def _expected(self, sticks: list[str]) -> list[str]:
        said = []
        for stick in sticks:
            top = self._highest(stick)
            sentence = (
                f"Stick {stick}: the blade angle must be greatest {self._where(self._highest_si(stick))} "
                f"({say(top, 'deg', digits=3)} from over the tail, {self.plate.rotor_turns.value}), so that the disk "
                f"tilts {'forward' if stick == 'forward' else stick if stick != 'aft' else 'back'}."
            )
            links = self.rotor.pitch_links
            if self.plate.control_phase is not None and links is not None:
                high = swashplate_highest_azimuth(top, self.plate.control_phase.value, links.lengthening)
                where = self._where(float(si_of(high, _ANGLE, "azimuth")[0]))
                sentence += f" The swashplate then stands highest {where}."
            said.append(sentence)
        return said

    def _questions(self, found: CyclicRanges) -> list[str]:
        asked = []
        figures = {**self.alone, **found.range}
        for stick, figure in figures.items():
            if float(figure.si) + float(figure.expanded_si) < 0:
                asked.append(
                    f"Stick {stick}: the cyclic pitch is {say(figure)}: {OTHER_WAY}. Do not run or fly it like this. "
                    "Check the linkage, the rotor's direction in the aircraft file, and which places were read."
                )
        for axis, (one, other) in AXES.items():
            error = self._phase_error(found, one, other)
            if error is not None and abs(float(error.si)) > max(QUESTION_PHASE, float(error.expanded_si)):
                way = "later" if float(error.si) > 0 else "earlier"
                size = say(from_si(abs(float(error.si)), _ANGLE), "deg", digits=2)
                asked.append(
                    f"Stick {axis}: the blade angle is greatest {size} {way} in the turn than it should be. Rods "
                    "cannot correct a phase error: check the horn, the scissor link and the mixing, and the "
                    "response_lag of the aircraft file."
                )
        for stick in self.waves:
            wave = self.waves[stick]
            angles_known = 2.0 * float(wave.mean.expanded_si)
            if wave.greatest_residual_si > max(angles_known, math.radians(0.2)):
                size = say(from_si(wave.greatest_residual_si, _ANGLE), "deg", digits=2)
                asked.append(
                    f"Stick {stick}: the four readings lie {size} off a plain wave: a misreading, play, or a "
                    f"swashplate that is not flat. Read them again."
                )
        for stick in self.alone:
            if stick not in self.waves:
                asked.append(
                    f"Stick {stick}: read over two places only: what the stick does across its own line cannot be seen."
                )
        return asked

    def whole(self) -> Outcome:
        """All of it: ranges, verdicts, what to turn, pictures, and what is said of them."""
        read = self._read()
        found = self._ranges(read)
        self._judge(found)
        asked = self._questions(found)
        wrong_way = [said for said in asked if OTHER_WAY in said]
        if wrong_way:  # no rod mends that, and a plan would turn one
            self.say_to_do("Turn no rod yet.", "range.", "cross.")
        made = None if wrong_way else self._plan()
        self.pictures.append(bars("Cyclic range, as read now", self.findings, self.system))
        if self.unfinished:
            self.say_to_do("", "range.", "cross.")
        if made is not None:
            first, *rest = made.pictures(self.system)
            self.pictures = [first, *self.pictures, *rest]
            self.steps += made.steps
            self.say_to_do(made.to_do, "range.", "cross.")
        self.pictures += self._charts(read)
        sticks = [stick for stick in STICK_DIRECTIONS if stick in self.waves or stick in self.alone]
        self.lead += wrong_way
        if self.plate.limits.cross is None or self.plate.limits.cross.open:
            self.lead.append(CROSS_UNJUDGED)
        self.notes = [
            *(said for said in asked if said not in self.lead),
            *(made.remarks if made is not None else []),
            *self._expected(sticks),
            *self.notes,
            self.rotor.convention.sentence,
        ]
        return self.outcome()

    def _charts(self, read: list[ReadPlace]) -> list[Chart]:
        """The wave around the rotor, both ends of one axis in one chart, with the readings."""
        charts = []
        azimuths = [float(degrees) for degrees in range(0, 361, 10)]
        for axis, ends in AXES.items():
            sticks = [stick for stick in ends if stick in self.waves]
            if not sticks:
                continue
            curves, dots, points = [], [], []
            for stick, style in zip(sticks, ("main", "second"), strict=False):
                wave = self.waves[stick]
                angles = [math.degrees(wave.at_si(math.radians(a))) for a in azimuths]
                curves.append(Curve(f"stick {stick}", azimuths, angles, style))
                at = [
                    (
                        math.degrees(azimuth_si(one.place, self.plate.rotor_turns)),
                        math.degrees(float(one.angle.si)),
                    )
                    for one in read
                    if one.stick == stick
                ]
                dots.append(Dots(f"read, stick {stick}", [x for x, _ in at], [y for _, y in at], style))
                top = self._highest(stick)
                figure = wave.at(top)
                points.append(
                    Point(
                        f"{stick}: greatest here",
                        math.degrees(self._highest_si(stick)),
                        math.degrees(float(figure.si)),
                        0.0,
                        math.degrees(float(figure.expanded_si)),
                    )
                )
            title = f"Blade angle around the rotor, {axis}"
            charts.append(Chart(title, "azimuth from over the tail, °", "blade angle, °", curves, (), points, dots))
        return charts


_ANGLE: Any = kind_of(Angle)
