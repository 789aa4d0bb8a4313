"""Ignition timing: when each ignition fires, in degrees before top dead centre, and how far they differ."""

from __future__ import annotations

import math
from typing import Annotated, Any, ClassVar, Literal

from rotorkit import sources
from rotorkit.aircraft import Aircraft
from rotorkit.aircraft.entries import Choice, Entry, Reading, Readings, asked, rows
from rotorkit.engine import (
    angle_of_arc,
    arc_on_disc,
    crank_angle,
    crank_angle_before_top_offset,
    piston_travel,
    piston_travel_offset,
    timing_from_disc,
    true_top_dead_centre,
    true_top_dead_centre_offset,
)
from rotorkit.judging.measured import Measured, largest_less_smallest
from rotorkit.quantities import Angle, Length, from_si, say
from rotorkit.sheets.base import About, Needed, Outcome, Part, Row, Sheet, SheetLimit
from rotorkit.sheets.exercises import Exercise, Range
from rotorkit.sheets.working import Working, capital, key_of, value_of
from rotorkit.sources import cautions

_INCHES = ("in", "mm")
_DEG = ("deg", "deg")
DISC = Entry(Angle, _DEG, ("-360 deg", "720 deg"), by="disc", repeats=True)
RISES: Literal["rises after top dead centre"] = "rises after top dead centre"
FALLS: Literal["falls after top dead centre"] = "falls after top dead centre"
NEEDS = {"fires": ("stop_before", "stop_after"), "travel": ("stroke", "rod"), "arc": ("radius",)}
"""What else a reading needs, by its way."""
TRAVEL = Entry(Length, _INCHES, ("0 in", "8 in"), ("0.02 in", "1 in"), by="gauge")
ARC = Entry(Length, _INCHES, ("-60 in", "60 in"), ("0.2 in", "12 in"), by="gauge")
FAR = 10.0
"""Degrees between the timing and the limit's middle beyond which the readings are asked about: no timing is set so far
off by hand, a stroke or a turn mistaken is (common practice, no source)."""


class Spark(Row):
    """One ignition: what was read as it fires, in one of three ways."""

    ignition: str = asked("Ignition", 'Which one, in words: "left", "right", "battery".', "")
    fires: Annotated[Readings | None, DISC] = asked(
        "Disc as it fires",
        "The degree disc's reading as the points open, by timing box. Separate repeats with semicolons.",
    )
    travel: Annotated[Reading | None, TRAVEL] = asked(
        "Piston travel", "Or: of the piston on its way up, below its top as the points open, by dial gauge."
    )
    arc: Annotated[Reading | None, ARC] = asked(
        "Arc", "Or: along a wheel's rim, from the mark of the top; before it positive."
    )


class IgnitionTiming(Sheet):
    """Timing of one ignition or two."""

    order: ClassVar[int] = 10
    puts_right: ClassVar[dict[str, str]] = {
        "": "Set it as the engine's manual says, ignition off and plugs out, and time it again.",
    }
    needed: ClassVar[tuple[Needed, ...]] = (
        Needed("First engine run", "an engine that fires early kicks back, and burns its pistons at full power"),
    )
    limits: ClassVar[dict[str, SheetLimit]] = {
        "timing": SheetLimit(
            Angle, "ignition before top dead centre", "deg", "of each ignition, before top dead centre"
        ),
        "spread": SheetLimit(Angle, "difference of the ignitions", "deg", "how far two may differ: only the high side"),
    }
    about: ClassVar[About] = About(
        title="Ignition timing",
        settles="How many degrees before top dead centre each ignition fires, and how far they differ.",
        when="Before the first run; after work on magneto, points, coil or trigger; when the drop is uneven.",
        tools=(
            "piston stop for the plug hole, and a degree disc on the crankshaft; or a dial gauge in the plug hole",
            "timing box or buzz box across the points",
        ),
        procedure=(
            "Ignition off and earthed, fuel off, one plug out of each cylinder. Treat it as live all the same.",
            "Screw the stop in. Turn the crank gently against it one way, read the disc; then the other way, and read "
            "again: top dead centre is half way between. Where the piston pin is offset it lies a little beside that: "
            "give the offset, stroke and rod.",
            "Take the stop out. Turn the way the engine runs until the box shows that the points open; read the disc. "
            "Come to it in that direction only, so that the slack in gears and belts is always taken up the same way.",
            "Do it three times for each ignition. With an impulse coupling or a retard, on the running stop.",
            "Without a disc: the piston's travel below its top, or the arc on the rim of a wheel on the crankshaft.",
        ),
        sign_convention="Timing is positive before top dead centre. The disc may read either way round: say which.",
        cautions=(cautions.LIVE_IGNITION, cautions.TURNING_ROTORS, *cautions.ALWAYS),
        not_covered=(
            "advance that changes with speed: use a strobe with the engine running",
            "points gap, dwell, spark strength, firing order",
        ),
    )
    exercises: ClassVar[tuple[Exercise, ...]] = (
        Exercise(
            name="arc_for_an_angle",
            title="A mark on the flywheel",
            story=(
                "The maker wants the spark {angle} before top dead centre. The rim of the wheel is "
                "{radius} from its axis."
            ),
            find="how far from the top mark the other mark goes, along the rim",
            unit="in",
            of=arc_on_disc,
            given={
                "radius": Range("4.00 in", "6.00 in", "0.05 in"),
                "angle": Range("23.0 deg", "28.0 deg", "0.1 deg"),
            },
            hints=(
                "A whole turn is the whole rim: 2 pi times the radius.",
                "The arc is the radius times the angle in radians.",
            ),
        ),
        Exercise(
            name="angle_of_a_mark",
            title="The angle of a mark",
            story=(
                "A mark on the rim of a wheel is {result} from the top mark, measured along the rim, and "
                "{radius} from the axis."
            ),
            find="its angle before top dead centre",
            unit="deg",
            of=arc_on_disc,
            given={
                "radius": Range("4.00 in", "6.00 in", "0.05 in"),
                "result": Range("1.90 in", "2.40 in", "0.01 in"),
            },
            unknown="angle",
            hints=(
                "Arc divided by radius is the angle in radians.",
                "One radian is 57.3 degrees.",
            ),
        ),
    )

    disc: Annotated[str, Choice("instruments", measures="angle")] = asked("Degree disc", default="")
    gauge: Annotated[str, Choice("instruments", measures="length")] = asked("Dial gauge or rule", default="")
    ignitions: Annotated[Literal["two", "one"], Choice(options=("two", "one"))] = asked(
        "How many ignitions", "That the engine has.", "two"
    )
    turns: Annotated[
        Literal["rises after top dead centre", "falls after top dead centre"], Choice(options=(RISES, FALLS))
    ] = asked("The disc's reading", "As the crank turns the way the engine runs.", RISES)
    stop_before: Annotated[Readings | None, DISC] = asked(
        "Against the stop, one way", "The disc's reading with the piston gently on the stop."
    )
    stop_after: Annotated[Readings | None, DISC] = asked(
        "Against the stop, other way", "The same, turned to it from the other side."
    )
    stroke: Annotated[Reading | None, Entry(Length, _INCHES, ("0.5 in", "12 in"))] = asked(
        "Stroke", "From the manual; needed for a piston travel."
    )
    rod: Annotated[Reading | None, Entry(Length, _INCHES, ("1 in", "30 in"))] = asked(
        "Connecting rod", "Between its bearings' centres; needed for a piston travel."
    )
    offset: Annotated[Reading | None, Entry(Length, _INCHES, ("-2 in", "2 in"), ("-0.25 in", "0.25 in"))] = asked(
        "Offset of the piston pin",
        "Or of the cylinder's axis from the crank's. Positive to the side to which the crank pin goes as "
        "it leaves the top, the way the engine runs. Empty: none.",
    )
    radius: Annotated[Reading | None, Entry(Length, _INCHES, ("0.5 in", "30 in"))] = asked(
        "Radius of the rim", "Of the wheel where the mark is; needed for an arc."
    )
    sparks: list[Spark] = rows("Ignitions", "A row for each.")

    @classmethod
    def start(cls, aircraft: Aircraft) -> dict[str, Any]:
        """A row for each of two ignitions."""
        return {**super().start(aircraft), "sparks": [{"ignition": "left"}, {"ignition": "right"}]}

    def parts(self, aircraft: Aircraft) -> list[Part]:
        """Every ignition timed."""
        named = [row for row in self.sparks if row.ignition.strip()]
        found = [Part(f"{row.ignition.strip()} ignition", _one_of(row) is not None) for row in named]
        if len(named) < (2 if self.ignitions == "two" else 1):
            found.append(Part("second ignition" if named else "an ignition", False))
        return found

    def _work(self, aircraft: Aircraft) -> Outcome:
        to = Working(self, aircraft)
        rows = to.filled("sparks", "fires", "travel", "arc")
        for i, row in rows:
            if not row.ignition.strip():
                to.problem(f"sparks.{i}.ignition", "is missing: which ignition is it")
            if len([one for one in (row.fires, row.travel, row.arc) if one is not None]) > 1:
                to.problem(f"sparks.{i}.fires", "is one of two readings in this row: give one way alone")
            for way, needs in NEEDS.items():
                for one in needs if getattr(row, way) is not None else ():
                    if getattr(self, one) is None:
                        to.problem(one, f"is needed for the {row.ignition.strip()} ignition's reading")
        by_name = to.by_key("sparks", rows, lambda row: key_of(row.ignition).casefold(), "ignition")
        for one in ("stop_before", "stop_after"):
            to.mixed(one, getattr(self, one))
            _across_zero(to, one, getattr(self, one))
        for i, row in rows:
            _across_zero(to, f"sparks.{i}.fires", row.fires)
        if self.offset is not None and any(row.fires is not None or row.travel is not None for _, row in rows):
            for one in ("stroke", "rod"):
                if getattr(self, one) is None:
                    to.problem(one, "is needed beside the offset of the piston pin")
        if self.stroke is not None and self.rod is not None:
            aside = 0.0 if self.offset is None else abs(self.offset.si)
            if self.rod.si <= self.stroke.si / 2 + aside:
                to.problem("rod", f"must be longer than half the stroke{' and the offset together' if aside else ''}")
        to.settle()
        readings = [row.fires for _, row in rows]
        stops = [self.stop_before, self.stop_after] if any(readings) else []
        pooled = to.pool([*stops, *readings], Angle)
        top = self._top(to, pooled) if stops else None
        limit, found = self.limit("timing", aircraft), []
        for i, row in by_name.values():
            name = row.ignition.strip()
            title = f"{capital(name)} ignition, before top dead centre"
            timing = self._timing(to, i, row, top, pooled, title).shown_in(_DEG)
            found.append(timing)
            to.judge(f"timing.{key_of(name)}", title, limit, timing)
            middle = _middle(limit)
            if middle is not None and abs(float(timing.si) - middle) > math.radians(FAR):
                to.asked.append(
                    f"{title}: {say(timing)} is far from the limit. Is it the right stroke, and the right turn?"
                )
        if len(found) > 1:
            spread = to.step(
                "Largest less smallest", [f"{say(one)}" for one in found], largest_less_smallest(found),
                sources.DEFINITION.at("spread"),
            )  # fmt: skip
            to.judge("spread", "Between the ignitions", self.limit("spread", aircraft), spread.shown_in(_DEG))
        self._marks(to, limit)
        to.compare("Against the limits")
        return to.outcome()

    def _top(self, to: Working, pooled: Any) -> Measured:
        assert self.stop_before is not None
        assert self.stop_after is not None
        stops = (self.stop_before, self.stop_after)
        named = ("disc against the stop, one way", "disc against the stop, other way")
        first, second = (
            to.mean(readings, what, Angle, to.instrument("disc"), "", pooled, _DEG)
            for readings, what in zip(stops, named, strict=True)
        )
        middle = value_of(true_top_dead_centre, first, second).shown_in(_DEG)
        line = f"half way between {say(first)} and {say(second)}, by the shorter arc: {say(middle)}"
        cited = sources.ARITHMETIC.at("symmetry of the piston's travel")
        if self.offset is None:
            return to.step("Disc at top dead centre", [line], middle, cited)
        to.step("Disc half way between the stop readings", [line], middle, cited)
        pin = self._pin(to)
        top = value_of(true_top_dead_centre_offset, first, second, *pin, self.turns == RISES).shown_in(_DEG)
        line = f"with the pin {say(pin[2])} off, the top is {say((top - middle).shown_in(_DEG))} from there: {say(top)}"
        cited = sources.ARITHMETIC.at("the crank half way points at the piston's pin (geometry)")
        return to.step("Disc at top dead centre", [line], top, cited)

    def _pin(self, to: Working) -> tuple[Measured, Measured, Measured]:
        """Stroke, connecting rod and the pin's offset."""
        named = (("stroke", "stroke"), ("rod", "connecting rod"), ("offset", "offset of the piston pin"))
        stroke, rod, offset = (to.reading(path, label, _INCHES) for path, label in named)
        return stroke, rod, offset

    def _timing(self, to: Working, i: int, row: Any, top: Any, pooled: Any, title: str) -> Measured:
        name = row.ignition.strip()
        if row.travel is not None:
            travel = to.reading(f"sparks.{i}.travel", f"piston travel, {name}", _INCHES)
            if self.offset is not None:
                timing = value_of(crank_angle_before_top_offset, *self._pin(to), travel).shown_in(_DEG)
                line = f"by {say(travel)} of travel on the way up, with the pin's offset: {say(timing)}"
                return to.step(title, [line], timing, sources.ARITHMETIC.at("geometry of crank, rod and offset pin"))
            stroke, rod = to.reading("stroke", "stroke", _INCHES), to.reading("rod", "connecting rod", _INCHES)
            return to.work(title, crank_angle, stroke, rod, travel)
        if row.arc is not None:
            radius = to.reading("radius", "radius", _INCHES)
            arc = to.reading(f"sparks.{i}.arc", f"arc, {name}", _INCHES)
            return to.work(title, angle_of_arc, radius, arc)
        assert top is not None
        fires = to.mean(row.fires, f"disc as the {name} ignition fires", Angle, to.instrument("disc"), "", pooled, _DEG)
        rises = self.turns == RISES
        timing = value_of(timing_from_disc, fires, top, rises).shown_in(_DEG)
        way = f"{say(top)} less {say(fires)}" if rises else f"{say(fires)} less {say(top)}"
        return to.step(title, [f"{way}, whole turns left out: {say(timing)}"], timing, sources.DEFINITION.at("timing"))

    def _marks(self, to: Working, limit: Any) -> None:
        """Where the middle of the limit lies, as travel and as arc."""
        middle = _middle(limit)
        if middle is None:
            return
        angle = from_si(middle, limit.kind)
        said = []
        if self.stroke is not None and self.rod is not None:
            if self.offset is not None:
                drop = value_of(piston_travel_offset, *self._pin(to), from_si(-middle, limit.kind))
            else:
                stroke, rod = to.reading("stroke", "stroke", _INCHES), to.reading("rod", "connecting rod", _INCHES)
                drop = value_of(piston_travel, stroke, rod, angle)
            said.append(f"a piston travel of {say(drop.shown_in(_INCHES))}")
        if self.radius is not None:
            radius = to.reading("radius", "radius", _INCHES)
            said.append(f"an arc of {say(value_of(arc_on_disc, radius, angle).shown_in(_INCHES))} on that rim")
        if said:
            where = say(angle, "deg", digits=3)
            to.notes.append(f"The middle of the limit, {where} before the top, is {' and '.join(said)}.")


def _across_zero(to: Working, path: str, readings: Readings | None) -> None:
    """Note repeats that lie on both sides of the disc's zero: their mean would be the disc's other side."""
    turned = [one.si for one in readings or ()]
    if turned and max(turned) - min(turned) > math.pi:
        to.problem(path, "has repeats half a turn apart: across the disc's zero count on (361 for 1, or -1 for 359)")


def _one_of(row: Spark) -> Any:
    return next((one for one in (row.fires, row.travel, row.arc) if one is not None), None)


def _middle(limit: Any) -> float | None:
    """The middle of a limit with two sides, SI."""
    if limit is None or limit.low_si is None or limit.high_si is None:
        return None
    return float(limit.low_si + limit.high_si) / 2
