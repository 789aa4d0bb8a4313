"""Rotor track: the height of each blade's mark on a flag, and how far apart they are."""

from __future__ import annotations

from typing import Annotated, Any, ClassVar

from rotorkit.aircraft import Aircraft
from rotorkit.aircraft.entries import Choice, Entry, Readings, asked, rows
from rotorkit.balance import flapping_difference, track_spread
from rotorkit.quantities import Length, say
from rotorkit.sheets.base import About, Needed, Outcome, Part, Row, Sheet, SheetLimit, bars
from rotorkit.sheets.exercises import Exercise, Range
from rotorkit.sheets.working import Working, blade_named, capital
from rotorkit.sources import DEFINITION, cautions

MARK = Entry(Length, ("in", "mm"), ("-24 in", "24 in"), ("-6 in", "6 in"), by="rule", repeats=True)


class Mark(Row):
    """One blade's mark."""

    blade: str = asked("Blade", "Its name in the aircraft file: each tip has a colour of its own.", "")
    height: Annotated[Readings | None, MARK] = asked(
        "Height", "Middle of the mark above one line of the flag; separate repeats with semicolons."
    )


class RotorTrack(Sheet):
    """Track of the main rotor on the ground, from the marks on a flag."""

    order: ClassVar[int] = 10
    puts_right: ClassVar[dict[str, str]] = {
        "": "Turn a link or bend a tab by the manual's procedure, and mark again.",
    }
    needed: ClassVar[tuple[Needed, ...]] = (
        Needed("First hover", "blades that fly out of track shake the aircraft, and point to a wrongly set link"),
    )
    limits: ClassVar[dict[str, SheetLimit]] = {
        "spread": SheetLimit(Length, "rotor track", "in", "how far apart the tips may fly: only the high side")
    }
    uses: ClassVar[tuple[str, ...]] = ("main_rotor.blades", "main_rotor.radius")
    about: ClassVar[About] = About(
        title="Rotor track",
        settles="Whether the blade tips fly in one path, which blade flies high, and by how much.",
        when="On the ground run after pitch rigging; after changing a blade, link or trim tab.",
        tools=("flag on a pole, as the manual describes it", "chalk or crayon of another colour on each tip", "rule"),
        procedure=(
            "Colour each tip. Run at the manual's speed, collective down, nobody near except whoever holds the flag.",
            "Bring the flag in once, slowly, until every tip has touched it; take it away, shut down, read the marks.",
            "Measure the middle of each mark above one line of the flag. Three flags tell you more than one.",
        ),
        sign_convention="Heights are positive upwards, from any one line of the flag.",
        cautions=(cautions.TURNING_AT_SPEED, *cautions.ALWAYS),
        not_covered=("track in flight", "which link or tab to turn: the manual's procedure"),
    )
    exercises: ClassVar[tuple[Exercise, ...]] = (
        Exercise(
            name="flapping",
            title="From a mark to an angle",
            story=(
                "In the track picture one tip flies {height_difference} above the other. The tips are "
                "{radius} from the mast."
            ),
            find="the difference of flapping angle",
            unit="deg",
            of=flapping_difference,
            given={
                "height_difference": Range("0.70 in", "1.90 in", "0.01 in"),
                "radius": Range("11.5 ft", "13.5 ft", "0.1 ft"),
            },
            hints=(
                "Both lengths in one unit.",
                "The tangent of the angle is height divided by radius; for a small angle that is the angle in radians.",
            ),
        ),
    )

    rule: Annotated[str, Choice("instruments", measures="length")] = asked("Rule", default="")
    marks: list[Mark] = rows("Marks", "A row for each blade.")

    @classmethod
    def start(cls, aircraft: Aircraft) -> dict[str, Any]:
        """A row for each blade."""
        return {**super().start(aircraft), "marks": [{"blade": blade} for blade in aircraft.main_rotor.blades]}

    def parts(self, aircraft: Aircraft) -> list[Part]:
        """Every blade's mark."""
        read = {blade_named(row.blade, aircraft.main_rotor) for row in self.marks if row.height is not None}
        return [Part(f"mark of blade {blade}", blade in read) for blade in aircraft.main_rotor.blades]

    def _work(self, aircraft: Aircraft) -> Outcome:
        to = Working(self, aircraft)
        marks = to.by_blade("marks", to.filled("marks", "height"), aircraft.main_rotor, "main rotor")
        to.settle()
        pooled = to.pool([row.height for _, row in marks.values()], Length, MARK.unit)
        heights = {
            blade: to.mean(
                row.height, f"mark of blade {blade}", Length, to.instrument("rule"), "", pooled, ("in", "mm")
            )
            for blade, (_, row) in marks.items()
        }
        if len(heights) > 1:
            high, low = (pick(heights, key=lambda blade: heights[blade].si) for pick in (max, min))
            line = f"blade {high} {say(heights[high])} less blade {low} {say(heights[low])}"
            spread = to.step("Spread of the marks", [line], track_spread([*heights.values()]), DEFINITION.at("spread"))
            to.judge("spread", "Spread of the marks", self.limit("spread", aircraft), spread)
            angle = to.work("Flapping, high blade over low", flapping_difference, spread, aircraft.main_rotor.radius)
            to.tell("flapping", "Flapping, high blade over low", angle)
            if spread.si:
                told = f"{capital(f'blade {high}')} flies highest, blade {low} lowest: by {say(spread)} at the tip."
                to.notes.append(told)
                to.say_to_do(told)
        to.pictures.append(bars("Track", to.findings, to.system))
        return to.outcome()
