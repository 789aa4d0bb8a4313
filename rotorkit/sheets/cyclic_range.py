"""Cyclic range: blade angles around the rotor at full stick, and what to turn at the cyclic rods."""

from __future__ import annotations

from typing import Annotated, Any, ClassVar, Literal, get_args

from pydantic import Field

from rotorkit import cautions
from rotorkit.aircraft import Aircraft
from rotorkit.entries import Choice, Readings
from rotorkit.rigging import PLACES, STICK_DIRECTIONS
from rotorkit.sheets.base import About, Outcome, Part, Row, Sheet
from rotorkit.sheets.blade_stations import PROTRACTOR_READINGS
from rotorkit.sheets.cyclic_range_work import CyclicRangeWork

__all__ = ["CyclicRange", "ReferenceRow", "StickRow"]

Stick = Literal["forward", "aft", "left", "right"]
Place = Literal["over the tail", "over the right side", "over the nose", "over the left side"]
assert get_args(Stick) == STICK_DIRECTIONS
assert get_args(Place) == PLACES


class StickRow(Row):
    """One reading of the blade: the stick full one way, the blade over one place."""

    stick: Annotated[Stick, Choice(options=STICK_DIRECTIONS)] = Field(
        title="Stick full",
        description="Held at its end, the other axis at neutral, collective at one and the same place.",
    )
    place: Annotated[Place, Choice(options=PLACES)] = Field(
        title="Blade", description="Where the blade that is read points: right and left as the pilot sits."
    )
    reading: Annotated[Readings | None, PROTRACTOR_READINGS] = Field(
        None,
        title="Reading",
        description="On the same blade each time, at the manual's station; part repeats by semicolons.",
    )


class ReferenceRow(Row):
    """The reference surface, read with the blade over one place."""

    place: Annotated[Place, Choice(options=PLACES)] = Field(
        title="Reference, blade", description="Where the blade pointed while the reference was read."
    )
    reading: Annotated[Readings | None, PROTRACTOR_READINGS] = Field(
        None,
        title="Reference",
        description=(
            "On a surface square to the shaft, the protractor held as on the blade over that place. It does not move "
            "with the stick: one for each place serves all stick positions."
        ),
    )


class CyclicRange(Sheet):
    """Cyclic pitch of the main rotor at full stick, forward, aft, left and right."""

    name: ClassVar[str] = "cyclic_range"
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
            "protractor that feels gravity, with its calibration, and the flat block for the manual's blade station",
            "a surface square to the shaft that can be read at every place: mast flange, hub top, a plate on the "
            "mast nut",
            "rigging pins, blocks that hold a teetering or flapping rotor square to its shaft",
            "a helper in the seat who holds stick and collective; a mark on the fuselage for each of the four places",
        ),
        procedure=(
            "Rig the collective first, or as the manual says. Level the aircraft roughly, block the rotor square to "
            "its shaft, set the collective to the place that the manual names and leave it there.",
            "Mark the four places: over tail, right side, nose, left side. Choose one blade and read no other.",
            "A shaft that leans is read as cyclic pitch: it adds on one side and takes away on the other. So read the "
            "reference surface with the blade over each place. A roughly level aircraft is not enough.",
            "Hold the stick full forward. Turn the blade to each of the four places and read it there, three "
            "readings each.",
            "Do the same full aft, full left, full right, the other axis at neutral each time.",
            "Before looking at figures look at the swashplate: stick forward must raise the blade where the sheet "
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
            cautions.MANUAL_GOVERNS,
            cautions.LOCKING,
            cautions.INSPECTION,
            cautions.AN_AID,
        ),
        not_covered=(
            "azimuths other than the four; a manual that has the angle read elsewhere: read as it says, and by hand",
            "the angle of the disk in flight, flapping stops and droop stops",
            "combined extremes: the sheet on control corners",
            "play, friction and stiffness of the linkage; a swashplate that is not flat",
            "phase, mixing and offset of the linkage themselves: they are found here, and mended by the maker's "
            "drawing",
        ),
    )

    protractor: Annotated[str, Choice("instruments", measures="angle")] = Field(
        title="Protractor", description="As named in the aircraft file, which holds its uncertainty."
    )
    stations: list[StickRow] = Field(
        default_factory=list,
        title="Readings",
        description="A row for each stick position with the blade over each place.",
    )
    references: list[ReferenceRow] = Field(
        default_factory=list, title="Reference", description="A row for each place that the blade was read over."
    )

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
        return CyclicRangeWork(self, aircraft).outcome()
