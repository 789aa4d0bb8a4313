"""Static balance of the blades on the bench: span moments from scales, and washers that make the blades alike."""

from __future__ import annotations

from typing import Annotated, Any, ClassVar

from pydantic import Field

from rotorkit import sources
from rotorkit.aircraft import Aircraft
from rotorkit.aircraft.entries import Choice, Entry, LimitEntry, Readings
from rotorkit.balance import Station, match_blades, span_moment_from_scales
from rotorkit.judging.measured import Measured, largest_less_smallest
from rotorkit.quantities import Length, Mass, Reading, Unbalance, say
from rotorkit.sheets.base import About, Needed, Outcome, Part, Row, Sheet, SheetLimit, bars
from rotorkit.sheets.exercises import Exercise, Range
from rotorkit.sheets.working import Working, blade_named, key_of, value_of
from rotorkit.sources import DEFINITION, cautions

SHOWN = Entry(Mass, ("lb", "kg"), ("0 lb", "500 lb"), ("0.5 lb", "150 lb"), by="scale", repeats=True)
PLACE = Entry(Length, ("in", "mm"), ("-10 in", "50 ft"), ("0 in", "25 ft"), by="rule")
MOMENT = ("lb*in", "kg*m")
LAID = ("0.05 in", "1 mm")
"""How far blades may well lie from alike on their supports, to say what it is worth: common practice (no source)."""


class BladeOnScales(Row):
    """One blade, level on two scales."""

    blade: str = Field("", title="Blade", description="Its name in the aircraft file.")
    inner: Annotated[Readings | None, SHOWN] = Field(
        None, title="Inner scale", description="Less the support; separate repeats with semicolons."
    )
    outer: Annotated[Readings | None, SHOWN] = Field(
        None, title="Outer scale", description="Read with the inner one, the blade level and free."
    )


class StaticBalance(Sheet):
    """Static balance of the main rotor's blades, each on two scales."""

    name: ClassVar[str] = "static_balance"
    order: ClassVar[int] = 5
    needed: ClassVar[tuple[Needed, ...]] = (
        Needed("First rotor turn", "blades of unlike span moment shake the hub from the first turn"),
    )
    uses: ClassVar[tuple[str, ...]] = ("main_rotor.blades",)
    limits: ClassVar[dict[str, SheetLimit]] = {
        "spread": SheetLimit(
            LimitEntry(Unbalance, "difference of span moments", "lb*in"),
            "how far apart the blades' span moments may be: only the high side",
        )
    }
    about: ClassVar[About] = About(
        title="Static balance of the blades",
        settles="Whether the blades pull alike at the hub, and which washers at the tip make them so.",
        when="Before the blades are first hung; after painting, repair, or new tape on one of them.",
        tools=("two scales", "level", "supports that weigh little", "tape measure", "the manual's washers"),
        procedure=(
            "No draught. Lay the blade level on two narrow supports, one on each scale; take the supports' mass off.",
            "The same two places for every blade, measured from the axis of rotation as if the blade were bolted on.",
            "Read both scales at once, three times, lifting the blade off and laying it back in between.",
            "Change the scales about and read again: what differs is the scales, not the blade.",
        ),
        sign_convention="Places are positive outward from the axis of rotation.",
        cautions=(cautions.BALANCE_WEIGHTS, cautions.MANUAL_GOVERNS, cautions.AN_AID),
        not_covered=(
            "balance along the chord, which the manual sets with the span's",
            "blades that are not alike in twist, stiffness or shape: they fly apart although they weigh alike",
        ),
    )
    exercises: ClassVar[tuple[Exercise, ...]] = (
        Exercise(
            name="span_moment",
            title="A blade on two scales",
            story=(
                "A blade lies on two scales: {inner} at the support {inner_station} from the mast's axis, "
                "{outer} at the one {outer_station} from it."
            ),
            find="the blade's span moment",
            unit="lb*in",
            of=span_moment_from_scales,
            given={
                "inner": Range("19.50 lb", "20.50 lb", "0.01 lb"),
                "inner_station": "30.0 in",
                "outer": Range("16.50 lb", "17.50 lb", "0.01 lb"),
                "outer_station": "120.0 in",
            },
            digits=4,
            hints=(
                "Each scale's mass times its distance from the axis.",
                "Both products together.",
            ),
            sign=1,
        ),
    )

    scale: Annotated[str, Choice("instruments", measures="mass")] = Field("", title="Scales")
    rule: Annotated[str, Choice("instruments", measures="length")] = Field("", title="Tape or rule")
    inner_place: Annotated[Reading, PLACE] = Field(
        title="Inner support", description="From the axis of rotation, the same for every blade."
    )
    outer_place: Annotated[Reading, PLACE] = Field(title="Outer support", description="From the axis of rotation.")
    blades: list[BladeOnScales] = Field(default_factory=list, title="Blades", description="A row for each blade.")
    washer: Annotated[Reading | None, Entry(Mass, ("g", "g"), ("0.01 g", "1 kg"), ("0.1 g", "100 g"))] = Field(
        None, title="One washer", description="To be told how many; weigh ten and divide, and write ± with it."
    )
    station: Annotated[Reading | None, PLACE] = Field(
        None, title="Place of the washers", description="Of the manual's tip pocket, from the axis of rotation."
    )
    largest: Annotated[Reading | None, Entry(Mass, ("g", "g"), ("0 g", "5 kg"), ("1 g", "1 kg"))] = Field(
        None, title="Greatest mass there", description="What the manual allows to be added in each blade, with ± 0 g."
    )

    @classmethod
    def start(cls, aircraft: Aircraft) -> dict[str, Any]:
        """A row for each blade."""
        return {**super().start(aircraft), "blades": [{"blade": blade} for blade in aircraft.main_rotor.blades]}

    def parts(self, aircraft: Aircraft) -> list[Part]:
        """Every blade on both scales."""
        read = {
            blade_named(row.blade, aircraft.main_rotor)
            for row in self.blades
            if row.inner is not None and row.outer is not None
        }
        return [Part(f"blade {blade} on both scales", blade in read) for blade in aircraft.main_rotor.blades]

    def _work(self, aircraft: Aircraft) -> Outcome:
        to = Working(self, aircraft)
        rows = to.by_blade("blades", to.filled("blades", "inner", "outer"), aircraft.main_rotor, "main rotor")
        if self.outer_place.si <= self.inner_place.si:
            to.problem("outer_place", f"lies outside the inner support, at {self.inner_place.said}")
        for i, row in rows.values():
            for column in ("inner", "outer"):
                if getattr(row, column) is None:
                    to.problem(f"blades.{i}.{column}", "is needed with the other scale's reading")
        to.settle()
        inner = to.reading("inner_place", "inner support", ("in", "mm"))
        outer = to.reading("outer_place", "outer support", ("in", "mm"))
        pooled = to.pool([one for _, row in rows.values() for one in (row.inner, row.outer)], Mass)
        moments, masses = {}, {}
        for blade in (name for name in aircraft.main_rotor.blades if name in rows):
            row = rows[blade][1]
            shown = [
                to.mean(
                    getattr(row, column), f"{column} scale, blade {blade}", Mass, to.instrument("scale"), "scales",
                    pooled, ("lb", "kg"),
                )
                for column in ("inner", "outer")
            ]  # fmt: skip
            moment = to.work(f"Span moment of blade {blade}", span_moment_from_scales, shown[0], inner, shown[1], outer)
            moments[blade], masses[blade] = moment.shown_in(MOMENT), shown
            to.tell(f"moment.{key_of(blade)}", f"Span moment, blade {blade}", moments[blade])
        if len(moments) > 1:
            self._compare(to, moments, aircraft)
            inner_mass, outer_mass = max(masses.values(), key=lambda both: sum(float(one.si) for one in both))
            laid = LAID[to.system == "metric"]
            worth = value_of(span_moment_from_scales, inner_mass, laid, outer_mass, laid).value
            said = say(worth, MOMENT[to.system == "metric"], digits=2)
            to.notes.append(
                f"A blade that lies {laid} further out on its supports than the others shows {said} more. The "
                "supports' ± is common to all blades and does not hold that: lay each blade down again for each repeat."
            )
        to.pictures.append(bars("Static balance", to.findings, to.system))
        return to.outcome()

    def _compare(self, to: Working, moments: dict[str, Measured], aircraft: Aircraft) -> None:
        heavy, light = (pick(moments, key=lambda blade: moments[blade].si) for pick in (max, min))
        line = f"blade {heavy} {say(moments[heavy])} less blade {light} {say(moments[light])}"
        spread = largest_less_smallest(list(moments.values())).shown_in(MOMENT)
        to.step("Difference of span moments", [line], spread, DEFINITION.at("largest less smallest"))
        to.judge("spread", "Difference of span moments", self.limit("spread", aircraft), spread)
        if spread.si:
            to.notes.append(f"Blade {heavy} pulls most, blade {light} least.")
        given = [self.washer, self.station, self.largest]
        if any(given) and not all(given):
            for name, one in zip(("washer", "station", "largest"), given, strict=True):
                if one is None:
                    to.problem(name, "is needed to say how many washers: washer, its place and the greatest mass")
            to.settle()
        if self.washer is None or self.station is None or self.largest is None:
            return
        washer = to.reading("washer", "one washer", "g")
        place = Station(self.station.value, self.largest.value)
        found = match_blades(list(moments.values()), [[place]] * len(moments), washer)
        adds = [
            f"{counts[0]} washer{'s' if counts[0] > 1 else ''} in blade {blade}"
            for blade, counts in zip(moments, found.changes, strict=True)
            if counts[0]
        ]
        left = found.spread.shown_in(MOMENT)
        what = "Add " + ", ".join(adds) if adds else "No washer makes it better"
        lines = [f"{what}: the moments are then {say(left)} apart, the least that whole washers allow"]
        to.step("Whole washers", lines, left, sources.ARITHMETIC.at("every combination compared"))
        to.tell("matched", "Difference with these washers, expected", left)
        to.notes.append(f"{what}, and weigh again: expected {say(left)}.")
