"""What the aircraft file says of weighing and loading: the empty aircraft, where things go, and the envelopes."""

from __future__ import annotations

import functools
import math
from typing import Annotated, Any, Literal, NamedTuple

from pydantic import Field, model_validator

from rotorkit.aircraft.entries import Entry, Figures, NeededText, Section, needed
from rotorkit.judging.limits import IN_LIMITS
from rotorkit.judging.measured import Measured, recently
from rotorkit.mass import Envelope, Loading, Standing, envelope
from rotorkit.mass.envelope import AXES
from rotorkit.quantities import Length, Mass, QuantityError, Reading, from_si, required_kind

_INCHES = ("in", "mm")
_POUNDS = ("lb", "kg")
_ARM = Entry(Length, _INCHES, physical=("-60 ft", "60 ft"))
_LATERAL = Entry(Length, _INCHES, physical=("-15 ft", "15 ft"))
_MASS = Entry(Mass, _POUNDS, physical=("0 lb", "12000 lb"))
BETWEEN = {
    "arm and mass": ("arm", "mass"),
    "lateral arm and mass": ("lateral arm", "mass"),
    "lateral arm and arm": ("lateral arm", "arm"),
}
"""What an envelope is drawn between: across and up."""
SIDES = {
    ("arm", "mass"): ("forward limit", "aft limit", "least weight", "greatest weight"),
    ("lateral arm", "mass"): ("left limit", "right limit", "least weight", "greatest weight"),
    ("lateral arm", "arm"): ("left limit", "right limit", "forward limit", "aft limit"),
}
"""What the four margins of an envelope are from: low and high across, low and high up."""


class Station(Section):
    """A place for a load. least, most: what it may hold; or_none: whether it may stay empty; burns: a fuel tank."""

    title: NeededText
    arm: Annotated[Reading, _ARM]
    lateral_arm: Annotated[Reading, _LATERAL] = Field("0 in", validate_default=True)
    least: Annotated[Reading, _MASS] = Field("0 lb", validate_default=True)
    most: Annotated[Reading, _MASS]
    or_none: bool = False
    burns: bool = False

    @model_validator(mode="after")
    def _fits(self) -> Station:
        if self.least.si > self.most.si:
            raise ValueError(f"least {self.least.typed} is more than most {self.most.typed}")
        return self


class Corner(Section):
    """One corner of an envelope: two of the three, those that the envelope is drawn between."""

    arm: Annotated[Reading | None, _ARM] = None
    lateral_arm: Annotated[Reading | None, _LATERAL] = None
    mass: Annotated[Reading | None, _MASS] = None


class EnvelopeLines(Section):
    """One envelope of the manual, corner by corner in order round it."""

    title: NeededText
    between: Literal["arm and mass", "lateral arm and mass", "lateral arm and arm"]
    corners: list[Corner]
    source: NeededText

    @model_validator(mode="after")
    def _closed(self) -> EnvelopeLines:
        try:
            _ = self.envelope
        except QuantityError as problem:
            raise ValueError(str(problem).removeprefix("envelope: ")) from None
        return self

    def asks_for_no_more_than(self, arm: Measured | None, lateral_arm: Measured | None) -> bool:
        """Whether no arm is lacking that it is drawn over."""
        known = {"mass": True, "arm": arm is not None, "lateral arm": lateral_arm is not None}
        return all(known[axis] for axis in BETWEEN[self.between])

    @property
    def envelope(self) -> Envelope:
        """The polygon as the functions take it."""
        axes = [axis.replace(" ", "_") for axis in BETWEEN[self.between]]
        points = []
        for i, corner in enumerate(self.corners, 1):
            one, other = (getattr(corner, axis) for axis in axes)
            if one is None or other is None:
                raise QuantityError(f"corner {i} needs {self.between.replace(' and ', ' and its ')}")
            points.append((one.si, other.si))
        return _polygon(self.title, self.between, tuple(points))


@functools.lru_cache(maxsize=256)
def _polygon(title: str, between: str, corners: tuple[tuple[float, float], ...]) -> Envelope:
    """The polygon of corners in SI units. Every working asks for it, and it is another only where the file is."""
    across, up = BETWEEN[between]
    kinds = [required_kind(AXES[axis]) for axis in (across, up)]
    points = [tuple(from_si(si, kind) for si, kind in zip(corner, kinds, strict=True)) for corner in corners]
    return envelope(points, across, up, title)


class Stood(NamedTuple):
    """How one loading stands to an envelope: the verdict, how far it is from the edge that decides and which edge that
    is, and where it stands across and up."""

    standing: Standing
    margin: Measured
    side: str
    across: Measured
    up: Measured


_NOWHERE = Measured(0.0, Length)


@recently(64)
def _stood(hull: Envelope, mass: Measured, arm: Measured, lateral_arm: Measured) -> tuple[Any, ...]:
    """The figures of `Stood`: an edit of what is not the loading leaves them as they are."""
    load = Loading.at(mass, arm, lateral_arm)
    stands = hull.standing(load, known_together=False)
    return stands, *_from_the_nearest(hull, load, stands), *hull.place(load)


def _from_the_nearest(hull: Envelope, load: Loading, stands: Standing) -> tuple[Measured, str]:
    """How far a loading is from the edge that decides, along its axis, and which edge that is. Well inside: the nearer
    one across, as the centre of gravity is what was asked; else the one that the fewest uncertainties lie from it."""
    margins = hull.margins(load)
    there = [
        (margin, side)
        for margin, side in zip(
            (margins.low, margins.high, margins.under, margins.over), SIDES[hull.across, hull.up], strict=True
        )
        if margin is not None
    ]
    if not there:  # beyond it both ways: from its furthest corner across
        place, (low, high, *_) = hull.place(load)[0], SIDES[hull.across, hull.up]
        across = [x for x, _ in hull.corners]
        least, most = (Measured(end, place.kind) for end in (min(across), max(across)))
        return min(((place - least), low), ((most - place), high), key=lambda one: float(one[0].si))
    if stands.word == IN_LIMITS:
        return min(there[:2], key=lambda one: float(one[0].si) - float(one[0].expanded_si))

    def near(one: tuple[Measured, str]) -> float:
        size, spread = float(one[0].si), float(one[0].expanded_si)
        return size / spread if spread else math.copysign(math.inf, size) if abs(size) > 1e-9 else 0.0

    return min(there, key=near)


class LoadingFigures(Figures):
    """The empty aircraft by its last weighing and ledger, the stations by name, and the manual's envelopes."""

    empty_weight: Annotated[Reading, _MASS] = needed()
    empty_arm: Annotated[Reading, _ARM] = needed()
    empty_lateral_arm: Annotated[Reading, _LATERAL] = Field("0 in", validate_default=True)
    source: NeededText = needed()
    stations: dict[str, Station] = Field(default_factory=dict)
    envelopes: list[EnvelopeLines] = Field(default_factory=list)

    def standings(
        self, mass: Measured, arm: Measured | None, lateral_arm: Measured | None
    ) -> list[tuple[EnvelopeLines, Stood | None]]:
        """How one loading stands to each of the envelopes; None for one that asks for an arm which is not known. Weight
        and arms are taken as read one by one: how they are off together is not known, and the worst of it counts."""
        there = mass, arm or _NOWHERE, lateral_arm or _NOWHERE
        return [
            (one, Stood(*_stood(one.envelope, *there)) if one.asks_for_no_more_than(arm, lateral_arm) else None)
            for one in self.envelopes
        ]

    def holds(self, mass: Measured, arm: Measured | None, lateral_arm: Measured | None) -> bool:
        """Whether one loading lies inside each envelope whose arms are known, by the best figures."""
        there = [float(one.si) for one in (mass, arm or _NOWHERE, lateral_arm or _NOWHERE)]
        asked = (one for one in self.envelopes if one.asks_for_no_more_than(arm, lateral_arm))
        return all(one.envelope.contains_at(*there) for one in asked)

    @model_validator(mode="after")
    def _titles(self) -> LoadingFigures:
        for what, titles in (
            ("stations", [one.title.strip().casefold() for one in self.stations.values()]),
            ("envelopes", [one.title.strip().casefold() for one in self.envelopes]),
        ):
            if len(set(titles)) < len(titles):
                raise ValueError(f"{what} must have different titles")
        return self
