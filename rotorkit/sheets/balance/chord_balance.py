"""Balance of the blades along the chord on the bench: three scales under a blade, and washers in the nose."""

from __future__ import annotations

import math
from typing import Annotated, Any, ClassVar

from rotorkit import sources
from rotorkit.aircraft import Aircraft
from rotorkit.aircraft.entries import Choice, Entry, Readings, asked, required, rows
from rotorkit.balance import Station, chordwise_centre, match_chords
from rotorkit.judging.limits import Limit
from rotorkit.judging.measured import Measured, combine, largest_less_smallest
from rotorkit.quantities import Length, Mass, Ratio, Reading, Unbalance, from_si, say
from rotorkit.sheets.balance.static_balance import MOMENT, SHOWN
from rotorkit.sheets.balance.static_balance import PLACE as ALONG_THE_SPAN
from rotorkit.sheets.balance.washers import ENOUGH, ask_for_what_lacks, out_still
from rotorkit.sheets.base import About, Needed, Outcome, Part, Row, Sheet, SheetLimit, unset
from rotorkit.sheets.exercises import Exercise, Range
from rotorkit.sheets.working import Working, blade_named, key_of
from rotorkit.sources import DEFINITION, cautions

AFT = Entry(Length, ("in", "mm"), ("0 in", "5 ft"), ("0 in", "2 ft"), by="rule")
SHOWN_IN = ("in", "mm")
SCALES = ("root", "nose", "tail")
QUARTER = 0.25
"""The aerodynamic centre of a thin section, as a share of the chord: a centre of mass behind it lets pitch and flap
drive each other (common practice, no source)."""


class BladeOnThree(Row):
    """One blade, level along span and chord on three scales."""

    blade: str = asked("Blade", "Its name in the aircraft file.", "")
    root: Annotated[Readings | None, SHOWN] = asked("Root scale", "Less the support; separate repeats with semicolons.")
    nose: Annotated[Readings | None, SHOWN] = asked(
        "Nose scale", "Outer part, near the leading edge; read with the others."
    )
    tail: Annotated[Readings | None, SHOWN] = asked("Tail scale", "Outer part, near the trailing edge.")


class ChordBalance(Sheet):
    """Balance of the main rotor's blades along the chord, each on three scales."""

    order: ClassVar[int] = 6
    needed: ClassVar[tuple[Needed, ...]] = (
        Needed("First rotor turn", "a blade that is heavy behind may flutter", where_limited=True),
    )
    uses: ClassVar[tuple[str, ...]] = ("main_rotor.blades", "main_rotor.chord")
    limits: ClassVar[dict[str, SheetLimit]] = {
        "position": SheetLimit(
            Length,
            "centre of mass aft of the leading edge",
            "in",
            "where along the chord each blade's centre of mass may lie, from the leading edge",
        ),
        "difference": SheetLimit(
            Length,
            "difference of the blades along the chord",
            "in",
            "how far apart the blades' centres of mass may lie along the chord: only the high side",
        ),
    }
    about: ClassVar[About] = About(
        title="Balance of the blades along the chord",
        settles="Where along the chord each blade's centre of mass is, and which washers in the nose put it right.",
        when="With the static balance, before the blades are first fitted; after paint, repair, tabs or tape.",
        tools=("three scales", "level", "narrow supports, edges along the span", "rule", "the manual's washers"),
        procedure=(
            "No draught. Root on one narrow support; the outer part on two, one near the nose and one near the "
            "trailing edge, at one place along the span. Each support on its own scale; take its mass off.",
            "Level the blade along the span, and its chord at the outer supports.",
            "Measure how far each support lies from the leading edge, square to the span.",
            "Read the three scales at once, three times, lifting the blade off in between. The same places every time.",
            "After washers: weigh again here, and the span moment again on the sheet of static balance.",
        ),
        sign_convention="Places are positive aft of the leading edge.",
        cautions=(cautions.BALANCE_WEIGHTS, *cautions.ALWAYS),
        not_covered=(
            "flutter itself: twisting stiffness, play in the controls and tabs count as much",
            "the balance along the span, which washers in the nose change too",
            "swept or strongly tapered blades, whose leading edge is no straight line",
        ),
    )
    exercises: ClassVar[tuple[Exercise, ...]] = (
        Exercise(
            name="centre_along_the_chord",
            title="A blade on three scales",
            story=(
                "The root of a blade rests {root_place} behind its leading edge, on a scale that shows {root}. "
                "Outboard, one scale shows {nose}, {nose_place} behind the leading edge; another shows {tail}, "
                "{tail_place} behind it."
            ),
            find="how far behind the leading edge the blade's centre of mass lies",
            unit="in",
            of=chordwise_centre,
            given={
                "root": Range("18.50 lb", "20.50 lb", "0.01 lb"),
                "root_place": "2.00 in",
                "nose": Range("10.50 lb", "12.50 lb", "0.01 lb"),
                "nose_place": "1.00 in",
                "tail": Range("4.20 lb", "5.20 lb", "0.01 lb"),
                "tail_place": "6.50 in",
            },
            digits=4,
            hints=(
                "Each scale's mass times its distance from the leading edge, all three added.",
                "Divide by the mass of the whole blade.",
            ),
        ),
    )

    scale: Annotated[str, Choice("instruments", measures="mass")] = asked("Scales", default="")
    rule: Annotated[str, Choice("instruments", measures="length")] = asked("Rule", default="")
    root_place: Annotated[Reading, AFT] = required(
        "Root support", "From the leading edge, aft, the same for every blade."
    )
    nose_place: Annotated[Reading, AFT] = required("Nose support", "From the leading edge, aft.")
    tail_place: Annotated[Reading, AFT] = required("Tail support", "From the leading edge, aft.")
    blades: list[BladeOnThree] = rows("Blades", "A row for each blade.")
    washer: Annotated[Reading | None, Entry(Mass, ("g", "g"), ("0.01 g", "1 kg"), ("0.1 g", "100 g"))] = asked(
        "One washer", "To be told how many; weigh ten and divide, and write ± with it."
    )
    pocket: Annotated[Reading | None, AFT] = asked(
        "Place of the washers", "Of the manual's pocket, from the leading edge, aft."
    )
    pocket_station: Annotated[Reading | None, ALONG_THE_SPAN] = asked(
        "Place of the washers along the span", "From the axis of rotation: what washers do to the span."
    )
    largest: Annotated[Reading | None, Entry(Mass, ("g", "g"), ("0 g", "5 kg"), ("1 g", "1 kg"), exact=True)] = asked(
        "Greatest mass there", "What the manual allows to be added in each blade."
    )

    @classmethod
    def start(cls, aircraft: Aircraft) -> dict[str, Any]:
        """A row for each blade."""
        return {**super().start(aircraft), "blades": [{"blade": blade} for blade in aircraft.main_rotor.blades]}

    def parts(self, aircraft: Aircraft) -> list[Part]:
        """Every blade on all three scales."""
        read = {
            blade_named(row.blade, aircraft.main_rotor)
            for row in self.blades
            if all(getattr(row, column) is not None for column in SCALES)
        }
        return [Part(f"blade {blade} on three scales", blade in read) for blade in aircraft.main_rotor.blades]

    def _work(self, aircraft: Aircraft) -> Outcome:
        to = Working(self, aircraft)
        chord = float(aircraft.main_rotor.chord.si)
        rows = to.by_blade("blades", to.filled("blades", *SCALES), aircraft.main_rotor, "main rotor")
        self._places(to, chord)
        for i, row in rows.values():
            to.together(SCALES, "is needed with the other scales' readings", row, f"blades.{i}.")
        to.settle()
        places = {one: to.reading(f"{one}_place", f"{one} support", SHOWN_IN) for one in SCALES}
        pooled = to.pool([getattr(row, one) for _, row in rows.values() for one in SCALES], Mass)
        position = self.limit("position", aircraft)
        scale = to.instrument("scale")
        centres, masses = {}, {}
        for blade in (name for name in aircraft.main_rotor.blades if name in rows):
            row = rows[blade][1]
            shown = {
                one: to.mean(
                    getattr(row, one), f"{one} scale, blade {blade}", Mass, scale, "scales", pooled,
                    ("lb", "kg"), own_step=scale is None,
                )
                for one in SCALES
            }  # fmt: skip
            masses[blade] = shown["root"] + shown["nose"] + shown["tail"]
            if float(masses[blade].si) <= 0:
                to.problem(f"blades.{rows[blade][0]}.root", "needs a mass: all three scales show nothing")
                to.settle()
            given = [figure for one in SCALES for figure in (shown[one], places[one])]
            title = f"Centre of mass aft of the leading edge, blade {blade}"
            centre = to.work(title, chordwise_centre, *given).shown_in(SHOWN_IN)
            centres[blade] = centre
            to.judge(f"centre.{key_of(blade)}", title, position, centre)
            share = combine(float(centre.si) / chord, Ratio, [centre], [1 / chord], "%")
            to.tell(f"share.{key_of(blade)}", f"Centre of mass as a share of the chord, blade {blade}", share)
            self._behind(to, blade, share, position)
        if len(centres) > 1:
            self._compare(to, centres, masses, position, aircraft)
        to.compare("Centres of mass along the chord")
        return to.outcome()

    def _places(self, to: Working, chord: float) -> None:
        """The supports in their order, on the blade."""
        if self.tail_place.si <= self.nose_place.si:
            to.problem("tail_place", f"lies behind the nose support, at {self.nose_place.understood}")
        for name in ("root_place", "nose_place", "tail_place", "pocket"):
            reading = getattr(self, name)
            if reading is not None and name != "root_place" and reading.si > chord * (1 + 1e-9):
                to.problem(name, f"lies beyond the trailing edge: the chord is {_chord(chord, to.system)}")

    def _behind(self, to: Working, blade: str, share: Measured, position: Limit | None) -> None:
        """A centre that surely lies behind the quarter chord leads, where no manual says that it may."""
        if float(share.si) - float(share.expanded_si) <= QUARTER:
            return
        said = f"Blade {blade} is heavy behind its quarter chord ({say(share)} of the chord)"
        if unset(position):
            to.lead.append(
                f"{said}, and no limit is given: a blade that tail-heavy may flutter. Ask its maker before it turns."
            )
        else:
            to.notes.append(f"{said}: the manual's own limit says whether it may be.")

    def _compare(
        self,
        to: Working,
        centres: dict[str, Measured],
        masses: dict[str, Measured],
        position: Limit | None,
        aircraft: Aircraft,
    ) -> None:
        aft, fore = (pick(centres, key=lambda blade: centres[blade].si) for pick in (max, min))
        title = "Difference along the chord"
        line = f"blade {aft} {say(centres[aft])} less blade {fore} {say(centres[fore])}"
        apart = largest_less_smallest(list(centres.values())).shown_in(SHOWN_IN)
        to.step(title, [line], apart, DEFINITION.at("largest less smallest"))
        judged = to.judge("difference", title, self.limit("difference", aircraft), apart)
        if float(apart.si):
            to.notes.append(f"Blade {aft} is heaviest behind, blade {fore} least.")
        ask_for_what_lacks(to, "washer", "pocket", "largest")
        if self.washer is None or self.pocket is None or self.largest is None or to.missing:
            return
        washer = to.reading("washer", "one washer", "g")
        place = Station(self.pocket.value, self.largest.value)
        limit = judged.verdict.limit
        most = math.inf if limit is None or limit.high_si is None else float(limit.high_si)
        enough = max(float(apart.expanded_si), ENOUGH * most if math.isfinite(most) else 0.0)
        low, high = (None, None) if position is None else (position.low_si, position.high_si)
        # first so far inside the bounds that the next weighing can tell; where nothing comes so far, inside them
        for inside in (max(float(one.expanded_si) for one in centres.values()), 0.0):
            bounds = (None if low is None else low + inside, None if high is None else high - inside, enough)
            found = match_chords(
                list(masses.values()), list(centres.values()), [[place]] * len(centres), washer,
                *(None if one is None else from_si(float(one), Length) for one in bounds),
            )  # fmt: skip
            if found.within and float(found.difference.si) <= most:
                break
        adds = [
            f"{counts[0]} washer{'s' if counts[0] > 1 else ''} in blade {blade}"
            for blade, counts in zip(centres, found.changes, strict=True)
            if counts[0]
        ]
        left = found.difference.shown_in(SHOWN_IN)
        near = float(apart.si) <= enough
        nothing = (
            "No washer follows: the centres lie no further apart than can be told, or than a tenth of the limit"
            if near else "No washer makes it better"
        )  # fmt: skip
        what = "Add " + ", ".join(adds) if adds else nothing
        lines = [f"{what}: the centres then lie {say(left)} apart"]
        told = "Difference with these washers, expected"
        to.step(told, lines, left, sources.ARITHMETIC.at("every combination compared"))
        to.tell("matched", told, left)
        if not found.within:
            to.lead.append(
                "No washers that the pocket may carry bring every blade's centre of mass between the manual's bounds: "
                "that is for the blades' maker."
            )
        elif float(left.si) > enough and (out := out_still(judged, float(left.si))):
            to.lead.append(out)
        if not adds:
            to.notes.append(f"{what}.")
            return
        to.notes.append(f"With these washers the centres should lie {say(left)} apart.")
        each = "washers change the span moment"
        if self.pocket_station is not None:
            lever = from_si(float(self.washer.si) * float(self.pocket_station.si), Unbalance)
            moment = say(lever, MOMENT[to.system == "metric"], digits=2)
            each = f"each washer adds {moment} to its blade's span moment"
        said = f"{what}, and weigh again; {each}, so weigh that again too (static balance)."
        if to.bad():
            to.say_to_do(said, "difference", *(["centre."] if found.within else []))
        else:
            to.notes.append(said)


def _chord(chord: float, system: str) -> str:
    return str(say(from_si(chord, Length), SHOWN_IN[system == "metric"], digits=4))
