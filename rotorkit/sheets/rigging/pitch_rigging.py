"""Pitch rigging: blade angles at the stops, and what to turn by how many flats to bring every station into limits."""

from __future__ import annotations

from dataclasses import replace
from typing import Annotated, Any, ClassVar, Literal, get_args

from rotorkit import sources
from rotorkit.aircraft import Aircraft, PitchLinks
from rotorkit.aircraft.entries import Choice, Entry, Readings, asked, required, rows
from rotorkit.judging.limits import IN_LIMITS, OUT_OF_LIMITS, Limit
from rotorkit.judging.measured import Measured
from rotorkit.pictures.data import Look, Looks
from rotorkit.quantities import Angle, Length, QuantityError, Ratio, Reading, from_si, kind_of, say
from rotorkit.quantities.errors import shortened
from rotorkit.rigging import (
    Adjuster,
    BladePlace,
    Station,
    angle_from_length_change,
    combined_station,
    difference_stations,
    effect_per_flat,
    engagement_after_turns,
    flats_within_engagement,
    turns_for_length_change,
)
from rotorkit.rigging.stations import in_sentence
from rotorkit.sheets.base import About, Needed, Outcome, Part, Row, SheetError, bars, judged_word, unset
from rotorkit.sheets.exercises import Exercise, Range
from rotorkit.sheets.rigging.blade_angles import (
    HIGH_STOP,
    LOW_STOP,
    POSITIONS,
    TURN_NOTHING,
    BladeAngles,
    BladeAngleWork,
    Position,
    limit_at,
)
from rotorkit.sheets.rigging.protractor import PROTRACTOR_READINGS, SIGNS_TOLD, SIGNS_USED
from rotorkit.sheets.rigging.rod_ends import (
    ENGAGEMENT,
    HOLDS,
    NOT_LOOKED_AT,
    WITNESS_CHOICE,
    WITNESS_HOW,
    Witness,
    witness_verdict,
)
from rotorkit.sheets.rigging.turning import Plan, link_words, plan
from rotorkit.sheets.working import blade_named, capital, key_of
from rotorkit.sources import cautions

GOOD_ENOUGH = 0.1
"""A measured effect of a flat takes the place of the geometry's where it is known to this part of itself, or where the
two differ by more than it is known to."""
ONE_SIDED = "0.5 deg"
"""How far inside a limit with one side only is as good as one needs (our own choice)."""


Adjust = Literal["links, rods and stops", "pitch links alone"]
ADJUST: tuple[str, ...] = get_args(Adjust)


class LinkRow(Row):
    """One pitch link: how far its rod ends are in."""

    blade: str = asked("Link of blade", "Which blade the link belongs to: its name in the aircraft file.", "")
    upper: Annotated[Reading | None, ENGAGEMENT] = asked(
        "Upper engagement",
        "Thread of the upper rod end (at the pitch horn) inside the body: thread length minus what you see outside.",
    )
    lower: Annotated[Reading | None, ENGAGEMENT] = asked(
        "Lower engagement", "The same for the lower rod end. Leave it empty if only one end is adjusted."
    )
    upper_hole: Annotated[Witness, WITNESS_CHOICE] = asked("Upper witness hole", WITNESS_HOW, NOT_LOOKED_AT)
    lower_hole: Annotated[Witness, WITNESS_CHOICE] = asked("Lower witness hole", WITNESS_HOW, NOT_LOOKED_AT)


class TrialRow(Row):
    """What a known number of flats did to one blade at one position."""

    adjuster: str = asked("Turned", 'What was turned, as the plan names it: "white pitch link", "Collective rod".', "")
    flats: Annotated[Reading | None, Entry(Ratio, ("", ""), ("-60", "60"))] = asked(
        "Flats", "Whole flats: positive for longer (for a stop: further out), negative for shorter."
    )
    blade: str = asked("Blade read", "The blade that was read.", "")
    position: Annotated[Position, Choice(options=POSITIONS)] = required(
        "Read at", "Where the control stood for both readings."
    )
    before: Annotated[Readings | None, PROTRACTOR_READINGS] = asked(
        "Reading before", "On the blade, before turning; separate repeats with semicolons."
    )
    after: Annotated[Readings | None, PROTRACTOR_READINGS] = asked(
        "Reading after",
        "The same blade, station and place, with the protractor the same way round and the jam nuts tight.",
    )


class PitchRigging(BladeAngles):
    """Blade angles of one rotor at its stops, with the links and rods that set them, and what to turn."""

    order: ClassVar[int] = 20
    puts_right: ClassVar[dict[str, str]] = {
        "engagement": (
            "Set the rod end's engagement as the manual says; ask the kit maker where the link then comes out too "
            "short or too long."
        ),
    }
    workings: ClassVar[int] = 32
    has_slow_part: ClassVar[bool] = True
    needed: ClassVar[tuple[Needed, ...]] = (
        Needed(
            "First rotor turn",
            "the first turn loads every rod end: each must be far enough in and locked",
            of="main rotor",
        ),
    )
    uses: ClassVar[tuple[str, ...]] = SIGNS_USED
    told_at_the_aircraft: ClassVar[tuple[str, ...]] = (*SIGNS_TOLD, "{rotor}.pitch_links.lengthening")
    judged_by: ClassVar[tuple[str, ...]] = ("{rotor}.limits",)
    about: ClassVar[About] = About(
        title="Pitch rigging",
        settles=(
            "What to turn, and by how many flats, to bring every blade of a rotor into the manual's limits at both "
            "stops together; and whether every rod end is screwed in far enough, before and after."
        ),
        when=(
            "When a rotor is rigged from bare links; when blade angles are out of limits or the blades differ; after a "
            "link, rod end, horn, stop or blade was changed."
        ),
        tools=(
            "gravity protractor (digital or bubble), with its calibration",
            "flat block or plate for the blade station that the manual names",
            "rigging pins, and blocks that hold a teetering or flapping rotor square to its shaft",
            "caliper or depth gauge for the threads, 0.020 in (0.5 mm) wire and a lamp for the witness holes",
            "two spanners for each jam nut: one holds the body or the rod end while the other turns",
            "paint marker, safety wire or lock plates as the manual says, torque wrench for the jam nuts",
            "a helper in the seat who holds the control against its stop",
        ),
        procedure=(
            "Make the aircraft safe, level it roughly, block the rotor square to its shaft. Set the cyclic stick to "
            "neutral with the rigging pin in, and come to each stop from the same side.",
            "Start from the middle: all links the same length, rod ends screwed in by equal turns, engagement to spare "
            "both ways; rods and stops at the middle of their range, or where the manual puts them.",
            "Before you turn anything, measure the engagement of every rod end and look into every witness hole. Mark "
            "each body and jam nut with a line of paint, so that every flat can be seen and undone.",
            "Read every blade at the low stop, then every blade at the high stop, as the sheet on blade angles says: "
            "three readings each, lifting the protractor and placing it again.",
            "Type the readings. The plan looks at all stations together: links move one blade everywhere, the "
            "collective rod moves all blades everywhere, a stop moves all blades at that stop.",
            "Choose: the best margin puts every station as far inside its limits as it will go; the fewest flats "
            "disturb the least.",
            "Turn one thing at a time, count the flats aloud, tighten the jam nuts with the rod ends square to their "
            "bolts, and see that each rod end can still rock both ways.",
            "After the first few flats of a link, read its blade again and type before and after under flats turned: "
            "the sheet then knows what a flat does on this rotor, and says whether the geometry agrees.",
            "Turn, lock, read again: every blade at both stops, every engagement, every witness hole. Only those "
            "readings count; what the plan expects is a forecast.",
            "Work collective, cyclic and pedals through every corner afterwards, with a helper at the rotor.",
        ),
        sign_convention=(
            "Blade angles as in the sheet on blade angles: the aircraft file names both turns of the leading edge. "
            "Flats are positive when a link or rod gets longer, or a stop comes further out; the aircraft file says "
            "whether a longer link raises or lowers the blade angle."
        ),
        cautions=(
            cautions.ENGINE_OFF,
            cautions.TURNING_ROTORS,
            cautions.HANDS_IN_LINKAGE,
            cautions.THREAD_ENGAGEMENT,
            *cautions.AFTER_ADJUSTING,
        ),
        not_covered=(
            "cyclic range and the cyclic rods: a sheet of its own; set the cyclic first where the manual says so",
            "track and balance: blades of equal angle may still fly at different heights, and links are then turned "
            "again by fractions of a flat's worth, on the ground run",
            "which of links, rods and stops to turn first: the manual's order comes before this plan",
            "bent links, worn rod ends, play; jam-nut torque and the way of locking",
            "whether a blade, link or horn touches anything at the new setting: look, at every corner",
        ),
    )
    exercises: ClassVar[tuple[Exercise, ...]] = (
        Exercise(
            name="link_for_an_angle",
            title="How much longer the pitch link",
            story=(
                "One blade stands {result} too low. Its pitch horn is {arm} long and square to the link; a "
                "longer link raises the blade."
            ),
            find="how much longer the link must be",
            unit="in",
            of=angle_from_length_change,
            given={
                "result": Range("1.2 deg", "2.9 deg", "0.1 deg"),
                "arm": Range("4.50 in", "7.50 in", "0.05 in"),
            },
            unknown="length_change",
            hints=(
                "The link pushes the end of the horn up; the horn is the long side of the triangle.",
                "The sine of the angle is the change of length divided by the horn.",
            ),
        ),
        Exercise(
            name="turns_of_the_link",
            title="Turns of the link's barrel",
            story=(
                "The link must grow by {length_change}. One whole turn of its barrel makes it {length_per_turn} longer."
            ),
            find="how many turns",
            unit="",
            of=turns_for_length_change,
            given={
                "length_change": Range("0.112 in", "0.194 in", "0.001 in"),
                "length_per_turn": Range("0.070 in", "0.099 in", "0.001 in"),
            },
            hints=(
                "Each turn gives the same length.",
                "Divide the length that you want by the length of one turn.",
            ),
        ),
    )

    caliper: Annotated[str, Choice("instruments", measures="length")] = asked(
        "Caliper", "The instrument that measures the thread engagement.", ""
    )
    adjust: Annotated[Adjust, Choice(options=ADJUST)] = asked(
        "What may be turned",
        "Everything the aircraft file names for this rotor, or only the pitch links.",
        "links, rods and stops",
    )
    links: list[LinkRow] = rows("Pitch links", "A row for each blade's link.")
    trials: list[TrialRow] = rows(
        "Flats turned", "What a known number of flats did, if you have already turned some. May stay empty."
    )

    @classmethod
    def start(cls, aircraft: Aircraft, rotor: str = "") -> dict[str, Any]:
        """As for blade angles, and a row for each blade's link."""
        start = super().start(aircraft, rotor)
        start["links"] = [{"blade": blade} for blade in aircraft.rotors[start["rotor"]].blades]
        return start

    def parts(self, aircraft: Aircraft) -> list[Part]:
        """As for blade angles, and both rod ends of every link: how far in, and the witness hole."""
        found, rotor = super().parts(aircraft), aircraft.rotors.get(self.rotor)
        if rotor is None or rotor.pitch_links is None:
            return found
        rows = {blade_named(row.blade, rotor): row for row in self.links}
        for blade in rotor.blades:
            row = rows.get(blade, LinkRow())
            for end in ("upper", "lower") if rotor.pitch_links.lower_thread else ("upper",):
                link = f"link of blade {blade}, {end} rod end"
                found.append(Part(f"{link}: engagement", getattr(row, end) is not None))
                found.append(Part(f"{link}: witness hole", getattr(row, f"{end}_hole") != NOT_LOOKED_AT))
        return found

    def _work(self, aircraft: Aircraft) -> Outcome:
        return PitchRiggingWork(self, aircraft).whole()


class PitchRiggingWork(BladeAngleWork):
    """One working of the sheet."""

    sheet: PitchRigging

    def __init__(self, sheet: PitchRigging, aircraft: Aircraft) -> None:
        super().__init__(sheet, aircraft)
        section = sheet.rotor.replace(" ", "_")
        self.given: PitchLinks | None = self.rotor.pitch_links
        rods = [rod for rod in self.rotor.rods.values() if rod.moves != "cyclic"]
        self.rods = rods if sheet.adjust == "links, rods and stops" else []
        if self.given is None and not self.rods:
            raise SheetError(
                [
                    (
                        "rotor",
                        f"the aircraft file does not say what can be turned on the {sheet.rotor}: write "
                        f"[{section}.pitch_links] (arm, upper_thread, lower_thread, lengthening), or a rod or stop as "
                        f"[{section}.rods.name]",
                    )
                ]
            )
        self.links = self._read_links()
        self.opposed = False
        """Whether a blade went the opposite way to what the aircraft file says: any plan may then be the wrong way."""

    # threads

    def _read_links(self) -> dict[str, tuple[int, LinkRow]]:
        rows = [
            (i, row)
            for i, row in enumerate(self.sheet.links)
            if row.upper is not None or row.lower is not None or self._holes(row)
        ]
        found = self.by_blade("links", rows, self.rotor, self.sheet.rotor)
        for i, row in found.values():
            self._link_faults(i, row)
        if rows and self.given is None:
            where = f"[{self.sheet.rotor.replace(' ', '_')}.pitch_links]"
            self.problem("links", f"needs {where} in the aircraft file, with the threads")
        self.settle()
        return found

    def _link_faults(self, i: int, row: LinkRow) -> None:
        if self.given is None:
            return
        if self.given.lower_thread:
            if (row.upper is None) != (row.lower is None):
                missing = "upper" if row.upper is None else "lower"
                self.problem(f"links.{i}.{missing}", "is missing: both ends of the body move, and both must hold")
        elif row.lower is not None:
            said = "must be empty: the aircraft file gives this link no lower_thread, so only one end is adjusted"
            self.problem(f"links.{i}.lower", said)

    @staticmethod
    def _holes(row: LinkRow) -> bool:
        return row.upper_hole != "not looked at" or row.lower_hole != "not looked at"

    @staticmethod
    def _fails(row: LinkRow, end: str) -> bool:
        verdict = witness_verdict(getattr(row, f"{end}_hole"), end)
        return verdict is not None and verdict.word == OUT_OF_LIMITS

    def _threads(self) -> list[Look]:
        """Engagement and witness hole of every rod end that was looked at."""
        looks = []
        for blade, (i, row) in self.links.items():
            for end in ("upper", "lower"):
                title, seen = f"Link {blade}, {end} rod end", getattr(row, f"{end}_hole")
                if getattr(row, end) is not None:
                    figure, name = self._engaged(i, end, title.lower()), f"{title}: engagement"
                    limit = self._engagement_limit(name)
                    self.judge(f"engagement.{key_of(blade)}.{end}", name, limit, figure, physical=HOLDS)
                verdict = witness_verdict(seen, title)
                if verdict is not None:
                    self.found(f"witness.{key_of(blade)}.{end}", f"{title}: faults in the witness hole", verdict)
                    looks.append(Look(title, seen, verdict.word))
        return looks

    def _engaged(self, i: int, end: str, of: str) -> Measured:
        """The engagement of a row's rod end. of: which, for the budget."""
        return self.reading(f"links.{i}.{end}", f"engagement, {of}")

    def _engagement_limit(self, name: str) -> Limit | None:
        given = self.given
        assert given is not None
        least, most = given.least_engagement, given.greatest_engagement
        if least is None and most is None:
            return None
        low, high = (None if side is None else side.typed for side in (least, most))
        return Limit(name, Length, low, high, given.source or "aircraft file", "in")

    # what moves what

    def _places(self) -> list[BladePlace]:
        return [
            BladePlace(self._station_name(r.blade, r.position), r.blade, r.position, None, r.angle.value)
            for r in self.read
        ]

    @staticmethod
    def _station_name(blade: str, position: str) -> str:
        return f"Blade {blade}, {position}"

    def _stations(self) -> list[Station]:
        """Every figure with a limit: angles, travels, and the differences of the blades two by two."""
        limits = self.rotor.limits
        all_of: dict[tuple[str, str], Station] = {}
        found: list[Station] = []
        for read in self.read:
            name = self._station_name(read.blade, read.position)
            limit = limit_at(self.rotor, read.position)
            made = Station(name, read.angle, limit or Limit(name, Angle), ONE_SIDED)
            all_of[read.blade, read.position] = made
            if limit is not None:
                found.append(made)
        if limits.travel is not None:
            for blade in self.rotor.blades:
                low, high = all_of.get((blade, LOW_STOP)), all_of.get((blade, HIGH_STOP))
                if low is not None and high is not None:
                    parts = [(1.0, high), (-1.0, low)]
                    found.append(combined_station(f"Blade {blade}, travel", parts, limits.travel, ONE_SIDED))
        greatest = limits.blade_to_blade.high if limits.blade_to_blade is not None else None
        if limits.blade_to_blade is not None and greatest is not None:
            for position in POSITIONS:
                row = [all_of[b, position] for b in self.rotor.blades if (b, position) in all_of]
                if len(row) > 1:
                    found += difference_stations(
                        row, from_si(limits.blade_to_blade.high_si, _ANGLE), limits.blade_to_blade.source
                    )
        return found

    def _adjusters(self, places: list[BladePlace]) -> tuple[list[Adjuster], dict[str, tuple[str, str]]]:
        found: list[Adjuster] = []
        how: dict[str, tuple[str, str]] = {}
        if self.given is not None:
            words = link_words(self.given.link)
            for blade in dict.fromkeys(place.blade for place in places):
                made = self._link(blade, places)
                found.append(made)
                how[made.name] = words
        for rod in self.rods:
            made_rod = rod.adjuster(places)
            if made_rod is not None:
                found.append(made_rod)
                turn = say(rod.angle_per_turn.value, "deg", digits=2)
                said = (
                    f"One turn {rod.positive} changes {rod.moves} by {turn}. Loosen its jam nut first, count the flats."
                )
                how[made_rod.name] = said, said
        return found, how

    def _link(self, blade: str, places: list[BladePlace]) -> Adjuster:
        """A blade's link, with the flats that its threads allow."""
        given = self.given
        assert given is not None
        row = self.links.get(blade)
        loose = [end for end in ("upper", "lower") if row is not None and self._fails(row[1], end)]
        if loose:
            self.notes.append(
                f"Link {blade}: the witness hole of its {' and '.join(loose)} rod end shows that it is too far out. "
                f"The plan does not lengthen this link: screw the end in first, and find out why it was out so far."
            )
            made = given.adjuster(blade, places)
            return replace(made, most=0)
        if row is None or row[1].upper is None:
            self.notes.append(
                f"The engagement of the link of blade {blade} was not measured: the plan stays within two turns either "
                f"way. Measure both rod ends before you turn anything."
            )
            return given.adjuster(blade, places)
        if given.least_engagement is None:
            self.notes.append(
                "The aircraft file gives no least_engagement for the pitch links: the plan stays within two turns "
                "either way, and no engagement is judged. Write the manual's figure into the file."
            )
            return given.adjuster(blade, places)
        ends = [end for end in ("upper", "lower") if getattr(row[1], end) is not None]
        figures = [self.sheet.measured(f"links.{row[0]}.{end}", end, self.aircraft) for end in ends]
        # what is left after turning must be enough beyond doubt
        doubt = max(float(figure.expanded_si) for figure in figures)
        least = from_si(given.least_engagement.si + doubt, _LENGTH)
        most = given.greatest_engagement
        greatest = None if most is None else from_si(max(most.si - doubt, given.least_engagement.si + doubt), _LENGTH)
        engagement = (figures[0].value, figures[-1].value)
        try:
            fewest, furthest = flats_within_engagement(given.link, engagement, least, greatest)
        except QuantityError:
            short = [
                end for end, figure in zip(ends, figures, strict=True) if float(figure.si) < float(least.m_as("m"))
            ]
            self.notes.append(
                f"Link {blade}: it is not certain that the {' and the '.join(short)} rod end is in by the least "
                "engagement. The plan leaves this link as it is: put that right first, with a longer link if need be."
            )
            fewest = furthest = 0
        return replace(given.adjuster(blade, places), least=min(fewest, 0), most=max(furthest, 0))

    # flats that were turned already

    def _measured_effects(self, adjusters: list[Adjuster]) -> list[Adjuster]:
        """Adjusters with the effect that was measured in place of the geometry's, where it is known well enough."""
        by_name = {adjuster.name.casefold(): adjuster for adjuster in adjusters}
        better: dict[str, Measured] = {}
        tried = []
        for i, trial in enumerate(self.sheet.trials):
            if trial.flats is None and trial.before is None and trial.after is None and not trial.adjuster.strip():
                continue
            if self._trial_sound(i, trial, by_name):
                tried.append((i, trial))

        def key(trial: TrialRow) -> str:
            name = by_name[trial.adjuster.strip().casefold()].name
            return f"effect.{key_of(name)}.{key_of(trial.position)}.{key_of(trial.blade.strip())}"

        for found, (_, trial) in self.by_key("trials", tried, key, "adjuster").items():
            adjuster = by_name[trial.adjuster.strip().casefold()]
            effect, station = self._effect(trial, adjuster)
            self.tell(found, f"{capital(adjuster.name)}: one flat at {in_sentence(station)}", effect)
            factor = self._share_of_expected(adjuster, station, effect)
            known = better.get(adjuster.name)
            if factor is not None and (known is None or factor.expanded_si < known.expanded_si):
                better[adjuster.name] = factor
        self.settle()
        return [_scaled(adjuster, better.get(adjuster.name)) for adjuster in adjusters]

    def _trial_sound(self, i: int, trial: TrialRow, by_name: dict[str, Adjuster]) -> bool:
        """Whether a row of flats turned says enough; what it lacks is noted."""
        before, at = len(self.problems), f"trials.{i}"
        adjuster = by_name.get(trial.adjuster.strip().casefold())
        if adjuster is None:
            names = ", ".join(one.name for one in by_name.values())
            self.problem(
                f"{at}.adjuster", f"is not one of the things turned here: {names}; got {shortened(trial.adjuster)}"
            )
        if trial.flats is None:
            self.problem(f"{at}.flats", "is missing: how many flats were turned")
        elif trial.flats.si == 0 or abs(trial.flats.si - round(trial.flats.si)) > 1e-9:
            self.problem(f"{at}.flats", f"needs a whole number other than zero, got {trial.flats.typed}")
        blade = self.blade(f"{at}.blade", trial.blade, self.rotor, self.sheet.rotor)
        for name in ("before", "after"):
            if getattr(trial, name) is None:
                self.problem(f"{at}.{name}", "is missing")
            self.mixed(f"{at}.{name}", getattr(trial, name))
        if adjuster is not None and blade is not None:
            station = self._station_name(blade, trial.position)
            if station not in adjuster.effects:
                self.problem(f"{at}.blade", f"{adjuster.name} does not move {in_sentence(station)}")
        return len(self.problems) == before

    def _effect(self, trial: TrialRow, adjuster: Adjuster) -> tuple[Measured, str]:
        assert trial.before is not None
        assert trial.after is not None
        assert trial.flats is not None
        blade = blade_named(trial.blade, self.rotor) or ""
        station = self._station_name(blade, trial.position)
        before, after = (
            self.angle(readings, f"{in_sentence(station)}, {when} turning", trial.position)
            for readings, when in ((trial.before, "before"), (trial.after, "after"))
        )
        flats = round(trial.flats.si)
        sign = float(self.sign)
        effect = (effect_per_flat(before, after, flats) * sign).shown_in("deg")
        cited = sources.DEFINITION.at("change of reading divided by the flats turned")
        line = f"{'' if sign > 0 else '-'}({say(after)} - {say(before)}) / {flats} = {say(effect)}"
        self.step(f"What one flat of {adjuster.name} does at {in_sentence(station)}", [line], effect, cited)
        return effect, station

    def _share_of_expected(self, adjuster: Adjuster, station: str, effect: Measured) -> Measured | None:
        """The measured effect over the geometry's, where it is good enough to plan by; and what is said of it."""
        expected = adjuster.effect_si(station)
        known = float(effect.expanded_si)
        said = f"{say(effect)} measured, {say(adjuster.effects[station], 'deg', digits=3)} expected"
        name = f"{capital(adjuster.name)}, one flat at {in_sentence(station)}"
        differs = abs(float(effect.si) - expected) > known
        if float(effect.si) * expected < 0 and abs(float(effect.si)) > known:
            self.lead.append(
                f"{name}: {said}: the blade went the opposite way to what the aircraft file says. Turn nothing until "
                "you know why: lengthening (or the rod's sign), which way you called longer, or the protractor's sign."
            )
            self.opposed = True
            return None
        if differs:
            self.notes.append(
                f"{name}: {said}: they differ by more than the uncertainty of the readings. Check arm and threads."
            )
        if not differs and known > GOOD_ENOUGH * abs(float(effect.si)):
            self.notes.append(
                f"{name}: {said}. The measured one is too uncertain to plan by; the geometry's is used. Turn "
                f"more flats between the two readings."
            )
            return None
        self.notes.append(f"{name}: {said}. The plan uses the measured one.")
        return effect / expected

    # all of it

    def whole(self) -> Outcome:
        """All of it: the angles as read, the threads, and what to turn."""
        self.work_angles()
        self.judge_angles()
        angles = list(self.findings)
        looks = self._threads()
        threads = self.findings[len(angles) :]
        places, stations = self._places(), self._stations()
        adjusters, how = self._adjusters(places)
        adjusters = self._measured_effects(adjusters)
        if self.opposed:
            self.missing.append("what explains a blade that went the opposite way when flats were turned")
        if self.opposed or self.stops_exchanged():
            self.say_to_do(*TURN_NOTHING)
        elif stations and adjusters:
            made = self.slowly("what to turn", lambda: plan(stations, adjusters, how), bears=False)
            if made is not None:
                self.pictures += made.pictures(self.system)
                self.steps += made.steps
                self._engagement_after(made)
                self.notes[:0] = made.remarks
            to_do = "" if made is None else made.to_do
            self.say_to_do(to_do, "low_stop.", "neutral.", "high_stop.", "travel.", "spread.")
        else:
            self.notes.append(
                f"The aircraft file gives no limits for the {self.sheet.rotor}'s blade angles: there is nothing to aim "
                "for."
            )
        self.pictures.insert(min(1, len(self.pictures)), bars("As read now", angles, self.system))
        self.compare("Thread engagement now", [f for f in threads if f.key.startswith("engagement.")])
        if looks:
            self.pictures.append(Looks("Witness holes", looks))
        self.notes.append(self.rotor.convention.sentence)
        self.ask(angles)
        self.asked += self._not_used()
        return self.outcome(f"{self.sheet.about.title}, {self.sheet.rotor}")

    def _engagement_after(self, made: Plan) -> None:
        """What turning leaves of each thread that was measured."""
        given = self.given
        if given is None:
            return
        for blade, (i, row) in self.links.items():
            flats = made.best.flats.get(f"{blade} pitch link", 0)
            if not flats or row.upper is None:
                continue
            ends = [("upper", given.link.upper), ("lower", given.link.lower)]
            for (end, thread), out in zip(ends, given.link.out_per_turn, strict=False):
                if thread is None or getattr(row, end) is None:
                    continue
                turns = flats / given.flats_per_turn * (1 if out > 0 else -1)
                now = self._engaged(i, end, f"link {blade}, {end}")
                title, name = f"Engagement after turning: link {blade}, {end} rod end", f"Link {blade}, {end} rod end"
                after = self.work(title, engagement_after_turns, now, thread.pitch, turns)
                limit = self._engagement_limit(f"{name}: engagement")
                word = judged_word(limit, after, name, HOLDS)
                if not unset(limit) and word != IN_LIMITS:
                    self.notes.append(
                        f"After turning, link {blade} would be in by {say(after, 'in')} at its {end} end: {word}."
                    )

    def place(self, path: str) -> str:
        """A field in words."""
        first, *rest = path.split(".")
        if first == "links":
            return f"Link {self.sheet.links[int(rest[0])].blade}"
        if first == "trials":
            return f"Flats turned, row {int(rest[0]) + 1}"
        return super().place(path)


def _scaled(adjuster: Adjuster, factor: Measured | None) -> Adjuster:
    """The adjuster with all its effects in proportion to one that was measured."""
    if factor is None:
        return adjuster
    effects = {station: factor * adjuster.effect_si(station) for station in adjuster.effects}
    return replace(adjuster, effects=effects)


_ANGLE: Any = kind_of(Angle)
_LENGTH: Any = kind_of(Length)
