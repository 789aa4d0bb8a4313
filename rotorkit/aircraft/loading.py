"""What the aircraft file says of weighing and loading: the empty aircraft, where things go, and the envelopes."""

from __future__ import annotations

import functools
from typing import Annotated, Literal

from pydantic import Field, model_validator

from rotorkit.aircraft.entries import Entry, Figures, NeededText, Section, needed
from rotorkit.judging.measured import Measured
from rotorkit.mass import Envelope, Loading, Standing, envelope
from rotorkit.mass.envelope import AXES
from rotorkit.quantities import Length, Mass, QuantityError, Reading, from_si, required_kind

__all__ = ["SIDES", "Corner", "EnvelopeLines", "LoadingFigures", "Station"]

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
    ) -> list[tuple[EnvelopeLines, Loading, Standing | None]]:
        """How one loading stands to each of the envelopes; None for one that asks for an arm which is not known. Weight
        and arms are taken as read one by one: how they are off together is not known, and the worst of it counts."""
        nowhere = Measured(0.0, Length)
        there = Loading.at(mass, arm or nowhere, lateral_arm or nowhere)
        known = {"mass": True, "arm": arm is not None, "lateral arm": lateral_arm is not None}
        return [
            (
                one,
                there,
                one.envelope.standing(there, known_together=False)
                if all(map(known.get, BETWEEN[one.between]))
                else None,
            )
            for one in self.envelopes
        ]

    @model_validator(mode="after")
    def _titles(self) -> LoadingFigures:
        for what, titles in (
            ("stations", [one.title.strip().casefold() for one in self.stations.values()]),
            ("envelopes", [one.title.strip().casefold() for one in self.envelopes]),
        ):
            if len(set(titles)) < len(titles):
                raise ValueError(f"{what} must have different titles")
        return self
