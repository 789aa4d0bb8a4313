"""Pitch rigging: blade angles at the stops, and what to turn by how many flats to bring every station into limits."""

from __future__ import annotations

from typing import Annotated, Any, ClassVar, Literal, get_args

from pydantic import Field

from rotorkit import cautions
from rotorkit.aircraft import Aircraft
from rotorkit.entries import Choice, Entry, Readings
from rotorkit.quantities import Ratio, Reading
from rotorkit.sheets.base import About, Outcome, Part, Row
from rotorkit.sheets.blade_angles import BladeAngles
from rotorkit.sheets.blade_stations import POSITIONS, PROTRACTOR_READINGS, Position, blade_named
from rotorkit.sheets.pitch_rigging_work import PitchRiggingWork
from rotorkit.sheets.rod_ends import ENGAGEMENT, NOT_LOOKED_AT, WITNESS_CHOICE, WITNESS_HOW, Witness

__all__ = ["LinkRow", "PitchRigging", "TrialRow"]

Adjust = Literal["links, rods and stops", "pitch links alone"]
ADJUST: tuple[str, ...] = get_args(Adjust)


class LinkRow(Row):
    """One pitch link: how far its rod ends are in."""

    blade: str = Field(
        "", title="Link of blade", description="Whose link it is: the blade's name in the aircraft file."
    )
    upper: Annotated[Reading | None, ENGAGEMENT] = Field(
        None,
        title="Upper engagement",
        description="Thread of the upper rod end (at the pitch horn) inside the body: thread length less what is seen.",
    )
    lower: Annotated[Reading | None, ENGAGEMENT] = Field(
        None,
        title="Lower engagement",
        description="The same of the lower rod end. Leave it empty where one end alone is adjusted.",
    )
    upper_hole: Annotated[Witness, WITNESS_CHOICE] = Field(
        NOT_LOOKED_AT, title="Upper witness hole", description=WITNESS_HOW
    )
    lower_hole: Annotated[Witness, WITNESS_CHOICE] = Field(
        NOT_LOOKED_AT, title="Lower witness hole", description=WITNESS_HOW
    )


class TrialRow(Row):
    """What a known number of flats did to one blade at one position."""

    adjuster: str = Field(
        "", title="Turned", description='What was turned, as the plan names it: "white pitch link", "Collective rod".'
    )
    flats: Annotated[Reading | None, Entry(Ratio, ("", ""), ("-60", "60"))] = Field(
        None, title="Flats", description="Whole flats, positive longer (of a stop: further out), negative shorter."
    )
    blade: str = Field("", title="Blade read", description="The blade that was read.")
    position: Annotated[Position, Choice(options=POSITIONS)] = Field(
        title="Read at", description="Where the control stood for both readings."
    )
    before: Annotated[Readings | None, PROTRACTOR_READINGS] = Field(
        None, title="Reading before", description="On the blade, before turning; part repeats by semicolons."
    )
    after: Annotated[Readings | None, PROTRACTOR_READINGS] = Field(
        None,
        title="Reading after",
        description="The same blade, station and place, the protractor the same way round, jam nuts tight.",
    )


class PitchRigging(BladeAngles):
    """Blade angles of one rotor at its stops, with the links and rods that set them, and what to turn."""

    name: ClassVar[str] = "pitch_rigging"
    about: ClassVar[About] = About(
        title="Pitch rigging",
        settles=(
            "What to turn, and by how many flats, to bring every blade of a rotor into the manual's limits at both "
            "stops at once; and whether every thread of the links is far enough in, before and after."
        ),
        when=(
            "When a rotor is rigged from bare links; when blade angles are out of limits or the blades differ; after a "
            "link, rod end, horn, stop or blade was changed."
        ),
        tools=(
            "protractor that feels gravity (digital or bubble), with its calibration",
            "flat block or plate for the blade station that the manual names",
            "rigging pins, and blocks that hold a teetering or flapping rotor square to its shaft",
            "caliper or depth gauge for the threads, 0.020 in wire and a lamp for the witness holes",
            "two spanners for each jam nut: one holds the body or the rod end while the other turns",
            "paint marker, safety wire or lock plates as the manual says, torque wrench for the jam nuts",
            "a helper in the seat who holds the control against its stop",
        ),
        procedure=(
            "Make the aircraft safe, level it roughly, block the rotor square to its shaft. Set the cyclic stick to "
            "neutral with the rigging pin in, and come to each stop from the same side.",
            "Start from the middle: all links of one length, rod ends screwed in by equal turns, engagement to spare "
            "both ways; rods and stops at the middle of their range, or as the manual gives them.",
            "Before anything is turned measure the engagement of every rod end and look into every witness hole. Mark "
            "each body and jam nut with a line of paint, so that every flat turned can be seen and undone.",
            "Read every blade at the low stop, then every blade at the high stop, as the sheet on blade angles says: "
            "three readings each, the protractor lifted and set on afresh.",
            "Type the readings. The plan looks at all stations together: links move one blade everywhere, the "
            "collective rod moves all blades everywhere, a stop moves all blades at that stop.",
            "Choose: the best margin puts every station as far inside as it will go; the fewest flats disturb least.",
            "Turn one thing at a time, count the flats aloud, tighten the jam nuts with the rod ends square to their "
            "bolts, and see that each rod end can still rock both ways.",
            "After the first few flats of a link read its blade again and type before and after under flats turned: "
            "the sheet then knows what a flat does on this rotor and says whether it is what the geometry gives.",
            "Turn, lock, read again: every blade at both stops, every engagement, every witness hole. Only those "
            "readings are the rigging; what the plan expects is a forecast.",
            "Work collective, cyclic and pedals through every corner afterwards, with a helper at the rotor.",
        ),
        sign_convention=(
            "Blade angles as in the sheet on blade angles: the aircraft file names both turns of the leading edge. "
            "Flats are positive where a link or rod gets longer, or a stop comes further out; the aircraft file says "
            "whether a longer link raises or lowers the blade angle."
        ),
        cautions=(
            cautions.ENGINE_OFF,
            cautions.TURNING_ROTORS,
            cautions.HANDS_IN_LINKAGE,
            cautions.THREAD_ENGAGEMENT,
            cautions.MANUAL_GOVERNS,
            cautions.LOCKING,
            cautions.INSPECTION,
            cautions.AN_AID,
        ),
        not_covered=(
            "cyclic range and the cyclic rods: a sheet of its own; set the cyclic first where the manual says so",
            "track and balance: blades of equal angle may still fly at different heights, and links are then turned "
            "again by fractions of a flat's worth, on the ground run",
            "which of links, rods and stops the manual wants turned first: it goes before this plan",
            "bent links, worn rod ends, play; jam-nut torque and the way of locking",
            "whether a blade, link or horn touches anything at the new setting: look, at every corner",
        ),
    )

    caliper: Annotated[str, Choice("instruments", measures="length")] = Field(
        "", title="Caliper", description="With which the thread engagement is measured."
    )
    adjust: Annotated[Adjust, Choice(options=ADJUST)] = Field(
        "links, rods and stops",
        title="What may be turned",
        description="All that the aircraft file names for this rotor, or the pitch links alone.",
    )
    links: list[LinkRow] = Field(default_factory=list, title="Pitch links", description="A row for each blade's link.")
    trials: list[TrialRow] = Field(
        default_factory=list,
        title="Flats turned",
        description="What a known number of flats did, if some were turned already. May stay empty.",
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
        return PitchRiggingWork(self, aircraft).outcome()
