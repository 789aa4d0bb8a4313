"""What the aircraft file says of the controls: pitch links, rods and stops, swashplate, turnbuckles, push-pull tubes.

All of it is optional: a sheet asks for what it needs. A direction is always stated in words.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Annotated, Any, Literal

from pydantic import Field, field_validator, model_validator

from rotorkit.aircraft.entries import Entry, Figures, LimitEntry, NeededText, Section, needed
from rotorkit.judging.limits import Limit
from rotorkit.judging.measured import measured
from rotorkit.quantities import (
    Angle,
    Force,
    Length,
    MassMoment,
    QuantityError,
    Ratio,
    Reading,
    Stress,
    TorsionalStiffness,
)
from rotorkit.rigging.cyclic import RotorTurn
from rotorkit.rigging.pitch_link import PitchLink
from rotorkit.rigging.rod_end import flats_within_engagement
from rotorkit.rigging.rotor_effects import BladePlace, cyclic_rod, pitch_link_adjuster, rod_for_all_blades
from rotorkit.rigging.stations import Adjuster
from rotorkit.rigging.threads import thread

_INCHES = ("in", "mm")
_DEG = ("deg", "deg")


def _thread(text: str, needed: bool = True) -> str:
    """A thread's designation, checked."""
    if text.strip() or needed:
        try:
            thread(text)
        except QuantityError as problem:
            raise ValueError(str(problem).removeprefix("thread: ")) from None
    return text


class PitchLinks(Figures):
    """The pitch links of a rotor, all alike.

    lower_thread: blank where one end alone is adjusted. lengthening: what a longer link does. square_at: the blade
    angle at which the horn is square to the link. least_engagement, greatest_engagement: of a thread in the body.
    """

    together = True
    arm: Annotated[Reading, Entry(Length, _INCHES, physical=("0.5 in", "24 in"))] = needed()
    upper_thread: NeededText = needed()
    lower_thread: str = ""
    flats_per_turn: int = Field(default=6, ge=1, le=12)
    lengthening: Literal["raises the blade angle", "lowers the blade angle"] = needed()
    square_at: Annotated[Reading | None, Entry(Angle, _DEG, physical=("-60 deg", "60 deg"))] = None
    least_engagement: Annotated[Reading | None, Entry(Length, _INCHES, physical=("0.05 in", "3 in"))] = None
    greatest_engagement: Annotated[Reading | None, Entry(Length, _INCHES, physical=("0.05 in", "6 in"))] = None
    source: str = ""

    @field_validator("upper_thread", "lower_thread")
    @classmethod
    def _threads(cls, given: str, info: Any) -> str:
        return _thread(given, info.field_name == "upper_thread")

    @model_validator(mode="after")
    def _turns(self) -> PitchLinks:
        try:
            _ = self.link if not self.lacking() else None
        except QuantityError as problem:
            raise ValueError(str(problem)) from None
        least, most = self.least_engagement, self.greatest_engagement
        if least is not None and most is not None and least.si >= most.si:
            raise ValueError(f"least_engagement {least.typed} is not below greatest_engagement {most.typed}")
        return self

    @property
    def link(self) -> PitchLink:
        """The link as the rigging functions take it."""
        return PitchLink(
            measured(self.arm, Length, "arm of the pitch horn"),
            self.upper_thread,
            self.lower_thread,
            self.flats_per_turn,
            self.lengthening,
            self.square_at.value if self.square_at else None,
        )

    def adjuster(self, blade: str, places: Sequence[BladePlace], engagement: tuple[Any, Any] | None = None) -> Adjuster:
        """The link of one blade as an adjuster.

        engagement: of both its threads now. Without it, or without a least engagement in the file, two turns either way
        are allowed: check the threads before so much is turned.
        """
        least, most = -2 * self.flats_per_turn, 2 * self.flats_per_turn
        if engagement is not None and self.least_engagement is not None:
            greatest = self.greatest_engagement.value if self.greatest_engagement else None
            least, most = flats_within_engagement(self.link, engagement, self.least_engagement.value, greatest)
        return pitch_link_adjuster(blade, self.link, places, least, most)


class Rod(Figures):
    """A rod or a stop that is turned to move every blade.

    angle_per_turn: change of blade angle for one turn in the positive direction, with its sign; for a cyclic rod the
    greatest change around the rotor. greatest_at: for a cyclic rod, the azimuth at which it raises the blade angle
    most, from over the tail in the direction of rotation. least, most: flats that it may be turned.
    """

    together = True
    title: NeededText = needed()
    moves: Literal["every blade", "every blade at the low stop", "every blade at the high stop", "cyclic"] = needed()
    angle_per_turn: Annotated[Reading, Entry(Angle, _DEG, physical=("-20 deg", "20 deg"))] = needed()
    greatest_at: Annotated[Reading | None, Entry(Angle, _DEG, physical=("0 deg", "360 deg"))] = None
    flats_per_turn: int = Field(default=6, ge=1, le=12)
    positive: NeededText = "longer"
    negative: NeededText = "shorter"
    least: int = Field(default=-12, le=0, ge=-600)
    most: int = Field(default=12, ge=0, le=600)
    source: str = ""

    @model_validator(mode="after")
    def _complete(self) -> Rod:
        if self.has("angle_per_turn") and self.angle_per_turn.si == 0:
            raise ValueError("angle_per_turn must not be zero: turn the rod once and measure the blade")
        if not self.has("moves"):
            return self
        if self.moves == "cyclic" and self.greatest_at is None:
            raise ValueError(
                'greatest_at is needed for a cyclic rod: the azimuth that it raises most, such as "270 deg"'
            )
        if self.moves != "cyclic" and self.greatest_at is not None:
            raise ValueError(f'greatest_at belongs to a cyclic rod; this one moves "{self.moves}"')
        return self

    def adjuster(self, places: Sequence[BladePlace]) -> Adjuster | None:
        """The rod as an adjuster of the places read; None where it moves none of them."""
        words = (self.positive, self.negative)
        bounds = (self.least, self.most, self.flats_per_turn)
        if self.moves == "cyclic":
            made = cyclic_rod(self.title, self.angle_per_turn, self.greatest_at, places, *bounds, words)
        else:
            at = [stop for stop in ("low stop", "high stop") if self.moves.endswith(stop)]
            if at and not any(place.position in at for place in places):
                return None
            made = rod_for_all_blades(self.title, self.angle_per_turn, places, *bounds, at, words)
        return made if made.effects else None


class CyclicLimits(Section):
    """Limits of the cyclic range, by stick direction."""

    forward: Annotated[Limit | None, LimitEntry(Angle, "cyclic range forward", "deg")] = None
    aft: Annotated[Limit | None, LimitEntry(Angle, "cyclic range aft", "deg")] = None
    left: Annotated[Limit | None, LimitEntry(Angle, "cyclic range left", "deg")] = None
    right: Annotated[Limit | None, LimitEntry(Angle, "cyclic range right", "deg")] = None
    cross: Annotated[Limit | None, LimitEntry(Angle, "cyclic pitch across the stick's direction", "deg")] = None


class Swashplate(Figures):
    """The swashplate and the way in which the rotor turns.

    response_lag: from greatest blade angle to greatest height of the blade. control_phase: how far ahead of its blade,
    in the direction of rotation, a link meets the swashplate. link_radius: from the swashplate's centre to the link.
    """

    together = True
    rotor_turns: RotorTurn = needed()
    response_lag: Annotated[Reading, Entry(Angle, _DEG, physical=("45 deg", "90 deg"))] = "90 deg"  # type: ignore[assignment]
    control_phase: Annotated[Reading | None, Entry(Angle, _DEG, physical=("-180 deg", "180 deg"))] = None
    link_radius: Annotated[Reading | None, Entry(Length, _INCHES, physical=("0.5 in", "24 in"))] = None
    limits: CyclicLimits = CyclicLimits()


class Hub(Figures):
    """Where the main rotor's hub stands, for how the aircraft hangs in the hover. arm, lateral_arm: as the manual's
    loading counts them, aft and right positive. height: above the loaded aircraft's centre of gravity. mast_forward,
    mast_left: by how much the mast's top leans so in the level airframe. tail_rotor_below: the tail rotor's axis below
    the hub, negative above it. hinge_offset, blade_moment, hinge_spring: what makes the hub stiff, of one blade; none
    of it for a teetering rotor."""

    together = True
    arm: Annotated[Reading, Entry(Length, _INCHES, physical=("-60 ft", "60 ft"))] = needed()
    lateral_arm: Annotated[Reading, Entry(Length, _INCHES, physical=("-5 ft", "5 ft"))] = "0 in"  # type: ignore[assignment]
    height: Annotated[Reading, Entry(Length, _INCHES, physical=("6 in", "15 ft"))] = needed()
    mast_forward: Annotated[Reading, Entry(Angle, _DEG, physical=("-15 deg", "15 deg"))] = "0 deg"  # type: ignore[assignment]
    mast_left: Annotated[Reading, Entry(Angle, _DEG, physical=("-15 deg", "15 deg"))] = "0 deg"  # type: ignore[assignment]
    tail_rotor_below: Annotated[Reading | None, Entry(Length, _INCHES, physical=("-10 ft", "10 ft"))] = None
    hinge_offset: Annotated[Reading, Entry(Length, _INCHES, physical=("0 in", "6 ft"))] = "0 in"  # type: ignore[assignment]
    blade_moment: Annotated[Reading | None, Entry(MassMoment, physical=("1 lb*in", "300000 lb*in"))] = None
    hinge_spring: Annotated[Reading, Entry(TorsionalStiffness, physical=("0 lbf*ft/rad", "1000000 lbf*ft/rad"))] = (
        "0 lbf*ft/rad"  # type: ignore[assignment]
    )

    @model_validator(mode="after")
    def _stiff(self) -> Hub:
        if self.hinge_offset.si > 0 and self.blade_moment is None:
            raise ValueError(
                "blade_moment is needed beside hinge_offset: one blade's mass times the distance of its centre of "
                'gravity from the hinge, such as "3,500 lb*in"'
            )
        return self


class Turnbuckle(Figures):
    """The turnbuckle of a cable run. step: turns between two positions that can be safetied."""

    together = True
    thread_one: NeededText = needed()
    thread_other: str = ""
    step: Annotated[Reading, Entry(Ratio, ("", ""), physical=("0.01", "1"))] = "0.5"  # type: ignore[assignment]

    @field_validator("thread_one", "thread_other")
    @classmethod
    def _threads(cls, given: str, info: Any) -> str:
        return _thread(given, info.field_name == "thread_one")

    @model_validator(mode="after")
    def _draws_in(self) -> Turnbuckle:
        if (
            self.has("thread_one")
            and self.thread_other
            and thread(self.thread_one).left_hand is thread(self.thread_other).left_hand
        ):
            raise ValueError(
                f"thread_one {self.thread_one} and thread_other {self.thread_other} have the same hand: a "
                "turnbuckle has "
                f'one left-hand thread, such as "10-32 left hand"'
            )
        return self

    @property
    def pitches(self) -> tuple[str, str]:
        """Pitch of each thread, as the rigging functions take it."""
        return thread(self.thread_one).pitch, thread(self.thread_other).pitch if self.thread_other else "0 in"


class PushPullLimits(Section):
    """Limits of a push-pull tube."""

    buckling_margin: Annotated[Limit | None, LimitEntry(Ratio, "margin against buckling")] = None
    engagement: Annotated[Limit | None, LimitEntry(Length, "thread engagement", "in")] = None


class PushPullTube(Figures):
    """A push-pull tube between two rod ends.

    length: between the bearings. elastic_modulus, yield_strength: from the tube's certificate or the kit maker.
    greatest_load: compression, with the factor that the manual or the rules ask for.
    """

    together = True
    title: NeededText = needed()
    outer_diameter: Annotated[Reading, Entry(Length, _INCHES, physical=("1/8 in", "6 in"))] = needed()
    wall: Annotated[Reading, Entry(Length, _INCHES, physical=("0.01 in", "1 in"))] = needed()
    length: Annotated[Reading, Entry(Length, _INCHES, physical=("1 in", "20 ft"))] = needed()
    elastic_modulus: Annotated[Reading, Entry(Stress, ("psi", "GPa"), physical=("1000000 psi", "60000000 psi"))] = (
        needed()
    )
    yield_strength: Annotated[Reading, Entry(Stress, ("psi", "MPa"), physical=("1000 psi", "400000 psi"))] = needed()
    greatest_load: Annotated[Reading | None, Entry(Force, physical=("0.1 lbf", "50000 lbf"))] = None
    limits: PushPullLimits = PushPullLimits()
    source: str = ""

    @model_validator(mode="after")
    def _hollow(self) -> PushPullTube:
        if self.has("wall", "outer_diameter") and 2 * self.wall.si > self.outer_diameter.si:
            raise ValueError(f"wall {self.wall.typed} is more than half of outer_diameter {self.outer_diameter.typed}")
        return self


class TravelLimits(Section):
    """Limits of a control's travel map.

    friction_band: how far the blade angle may differ between the two ways. dead_band: how far the control may move
    before the blade follows. departure: how far a reading may lie off the straight line, either way.
    """

    friction_band: Annotated[Limit | None, LimitEntry(Angle, "friction band", "deg")] = None
    dead_band: Annotated[Limit | None, LimitEntry(Length, "dead band", "in")] = None
    departure: Annotated[Limit | None, LimitEntry(Angle, "departure from a straight line", "deg")] = None


class ControlLimits(Section):
    """Limits of the controls together and one by one. clearance: the least, at any corner of their travel."""

    clearance: Annotated[Limit | None, LimitEntry(Length, "clearance at a corner", "in")] = None
    travel: dict[str, TravelLimits] = Field(default_factory=dict, description="by the control's name")
