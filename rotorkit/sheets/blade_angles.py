"""Blade angles: protractor readings at the stops of the main or the tail rotor, against the kit manual's limits."""

from __future__ import annotations

from typing import Annotated, Any, ClassVar

from pydantic import Field

from rotorkit import cautions
from rotorkit.aircraft import Aircraft
from rotorkit.entries import Choice, Readings
from rotorkit.sheets.base import About, Outcome, Part, Sheet
from rotorkit.sheets.blade_angle_work import BladeAngleWork
from rotorkit.sheets.blade_stations import (
    NEUTRAL,
    POSITIONS,
    PROTRACTOR_READINGS,
    WAYS,
    Station,
    Way,
    blade_named,
    expected_positions,
)

__all__ = ["BladeAngles", "Station"]


class BladeAngles(Sheet):
    """Blade angles of one rotor at its stops, the travel between them and the spread from blade to blade."""

    name: ClassVar[str] = "blade_angles"
    about: ClassVar[About] = About(
        title="Blade angles",
        settles=(
            "Whether every blade stands at the manual's angle at each stop (and at neutral), travels as far as it "
            "should, and agrees with the other blades."
        ),
        when=(
            "After fitting or adjusting pitch links, control rods, cables, stops or blades; before the first run; and "
            "whenever the controls feel or fly differently."
        ),
        tools=(
            "protractor that feels gravity (digital or bubble), with its calibration",
            "flat block or plate for the blade station that the manual names",
            "rigging pins, and blocks that hold a teetering or flapping rotor square to its shaft",
            "a helper in the seat who holds the control against its stop",
        ),
        procedure=(
            "Make the aircraft safe and level it roughly; put it where neither wind nor a soft tyre moves it.",
            "Block the rotor square to its shaft as the manual says; set the friction and take out the play by always "
            "coming to a stop from the same side.",
            "Find the protractor's sign: turn one blade a little, leading edge the way that the aircraft file calls "
            "positive, and see whether the reading rises. It must do what the aircraft file says.",
            "Main rotor: bring each blade in turn to the same place over the airframe. Tail rotor: turn each blade "
            "until its span is level and read from the plumb.",
            "Hold the control against the stop. Read the blade, lift the protractor, set it on afresh and read again: "
            "three readings are much better than two.",
            "Way one: read the reference surface with the protractor held the same way, the rotor not turned. One "
            "reference serves all blades only if all are read in the same place, the protractor the same way round.",
            "Way two: turn the rotor half a turn and read the same blade with the same end of the protractor at the "
            "leading edge. The shaft's lean cancels, the protractor's zero does not: read that on a level surface.",
            "Way three: turn the rotor half a turn and read the same blade with the protractor facing the same way in "
            "the hangar as before. Lean and zero both cancel; keep the two readings in this order.",
            "Do the same at the other stop, and at neutral where the manual gives an angle for it.",
        ),
        sign_convention=(
            "The aircraft file says which turn of the leading edge is a positive blade angle and which makes the "
            "protractor's reading rise. The sign follows from the two; nothing is assumed. Travel is the angle at the "
            "high stop less that at the low stop; the low stop is the lower angle, with its sign."
        ),
        cautions=(
            cautions.ENGINE_OFF,
            cautions.TURNING_ROTORS,
            cautions.HANDS_IN_LINKAGE,
            cautions.MANUAL_GOVERNS,
            cautions.LOCKING,
            cautions.INSPECTION,
            cautions.AN_AID,
        ),
        not_covered=(
            "cyclic range and the azimuth at which it is read",
            "what to turn to bring a blade into limits: the manual's pitch-link procedure",
            "twist, track and balance; play and wear in the controls",
            "a lean along the blade's span, if the protractor's face is not held square to the span",
        ),
    )

    rotor: Annotated[str, Choice("rotors")] = Field(title="Rotor")
    protractor: Annotated[str, Choice("instruments", measures="angle")] = Field(
        title="Protractor", description="As named in the aircraft file, which holds its uncertainty."
    )
    way: Annotated[Way, Choice(options=WAYS)] = Field(
        "reading less a reference surface",
        title="Way of reading",
        description="What is read beside the blade, so that the shaft's lean and the protractor's zero drop out.",
    )
    reference: Annotated[Readings | None, PROTRACTOR_READINGS] = Field(
        None,
        title="Reference for all rows",
        description=(
            "Way one: a surface square to the shaft. It serves all rows only if every blade was read in the same place "
            "over the airframe, with the protractor the same way round; else read one for each row."
        ),
    )
    zero: Annotated[Readings | None, PROTRACTOR_READINGS] = Field(
        None,
        title="Protractor's zero",
        description="Way two: what the protractor reads on a level surface, facing as on the blade.",
    )
    zero_turned: Annotated[Readings | None, PROTRACTOR_READINGS] = Field(
        None,
        title="Same surface, end for end",
        description="The same spot with the protractor turned end for end: then the surface need not be level.",
    )
    stations: list[Station] = Field(
        default_factory=list, title="Stations", description="A row for each blade at each position."
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
        return BladeAngleWork(self, aircraft).outcome()
