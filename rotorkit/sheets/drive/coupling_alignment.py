"""Coupling alignment: offset and angle of two shafts from dial readings, and what to shim and move."""

from __future__ import annotations

import math
from typing import Annotated, Any, ClassVar, Literal

from rotorkit import sources
from rotorkit.aircraft import Aircraft
from rotorkit.aircraft.drive_parts import Coupling
from rotorkit.aircraft.entries import Choice, Entry, Readings, asked, required, rows
from rotorkit.drive import (
    closing_error,
    coupling_offset,
    coupling_slope,
    foot_change,
    offset_along,
    whole_shims,
)
from rotorkit.judging.limits import Limit
from rotorkit.judging.measured import Measured, combine, measured
from rotorkit.pictures.data import Chart, Curve, Dots
from rotorkit.quantities import Angle, Length, Reading, from_si, in_unit, say
from rotorkit.quantities.errors import shortened
from rotorkit.sheets.base import About, Needed, Outcome, Part, Row, Sheet
from rotorkit.sheets.exercises import Exercise, Range
from rotorkit.sheets.working import Working
from rotorkit.sources import cautions

Bracket = Literal["on the fixed shaft", "on the shaft to be moved"]
Face = Literal["front face", "back face"]
BRACKETS: tuple[str, ...] = ("on the fixed shaft", "on the shaft to be moved")
FACES: tuple[str, ...] = ("front face", "back face")
PLACES = ("top", "right", "bottom", "left")
UPRIGHT, ACROSS = "vertical", "horizontal"
PLANES = {UPRIGHT: ("top", "bottom"), ACROSS: ("right", "left")}
_INCHES = ("in", "mm")
DIAL = Entry(Length, _INCHES, ("-2 in", "2 in"), ("-0.2 in", "0.2 in"), by="dial", repeats=True)
SAG = Entry(Length, _INCHES, ("-0.5 in", "0.5 in"), ("-0.03 in", "0.03 in"), by="dial")
RUN_OUT = Entry(Length, _INCHES, ("0 in", "0.5 in"), ("0 in", "0.05 in"), by="dial")
Planes = dict[str, tuple[Measured, Measured, Measured]]
CLOSES = 0.002 * 0.0254
"""By so much, in metres, the four readings of a dial may miss each other beyond their own uncertainty (common practice:
two thousandths of an inch)."""


class DialRow(Row):
    """Both dials at one quarter of the turn."""

    place: str = asked("Dials at", "top, right, bottom or left, seen from the fixed shaft.", "")
    rim: Annotated[Readings | None, DIAL] = asked(
        "Rim dial", "Positive where its stem is pushed in; separate repeats with semicolons."
    )
    face: Annotated[Readings | None, DIAL] = asked(
        "Face dial", "Positive where its stem is pushed in; separate repeats with semicolons."
    )


class CouplingAlignment(Sheet):
    """Alignment of one coupling by rim and face."""

    order: ClassVar[int] = 25
    puts_right: ClassVar[dict[str, str]] = {
        "run_out": "Shims do not put a hub right that runs out: true or replace it as the manual says, then align.",
    }
    needed: ClassVar[tuple[Needed, ...]] = (
        Needed(
            "First rotor turn",
            "misaligned shafts destroy their coupling and bearings, and crack mounts",
            each="couplings",
        ),
    )
    judged_by: ClassVar[tuple[str, ...]] = ("couplings.{coupling}.limits",)
    about: ClassVar[About] = About(
        title="Coupling alignment",
        settles="How far two shafts are out of line at their coupling, and what to shim and move.",
        when=(
            "When engine, gearbox or a shaft's bearing is set on its mounts; after a mount, a coupling or a shim was "
            "touched; after a hard landing; after the first hours."
        ),
        tools=(
            "bracket that clamps to a shaft, two dial gauges in thousandths",
            "stiff pipe, as long as the bracket reaches, for its sag",
            "shims, feeler gauge, chalk, mirror, rule",
        ),
        procedure=(
            "Engine off and cold, ignition safe. Clean the feet; loosen one bolt at a time with a dial on the foot: "
            "a foot that rises more than the manual allows is a soft foot, and is shimmed first.",
            "Turn each hub by itself past a dial that stands on something fixed: the whole reading over a turn is its "
            "run-out.",
            "Clamp the bracket on the stiff pipe, dials on it, set to zero at the top; turn the pipe over: what they "
            "show at the bottom is the bracket's sag, with its sign.",
            "Clamp the bracket on one shaft, the rim dial on the other's hub square to the axis, the face dial on its "
            "face along the axis. Set both to zero at the top.",
            "Chalk both hubs and turn both shafts together, in their own direction, a quarter at a time; push both "
            "shafts the same way along their axes before each reading. Read top, right, bottom, left, and the top "
            "again: it must show zero.",
            "Measure the circle that the face dial's stem traces, and the distances from the plane of the rim dial "
            "along the moved shaft to the middle of its front and rear feet, and to the coupling's middle.",
            "Shim, tighten as the manual says, move sideways, tighten, and read all of it again.",
        ),
        sign_convention=(
            "A dial's reading is positive when its stem is pushed in. Offset and angle say how the moved shaft lies "
            "against the fixed one: positive upwards, and to the right seen from the fixed shaft towards the other. "
            "The angle is positive where it rises, or runs to the right, away from the coupling. Places are positive "
            "from the rim dial's plane away from the fixed shaft: a coupling's middle that lies on the fixed shaft's "
            "side of it is negative."
        ),
        cautions=(cautions.ENGINE_OFF, cautions.TURNING_ROTORS, cautions.BELTS_AND_FINGERS, *cautions.ALWAYS),
        not_covered=(
            "a soft foot, bent feet, and distortion as the bolts are tightened",
            "how far heat and load lift or turn the machine, unless the aircraft file gives the manual's figure",
            "play of a shaft along its axis, which makes a false angle",
            "universal joints, which are meant to run at an angle: they have a check of their own",
            "rubber mounts, which settle: read again after the first hours",
        ),
    )
    exercises: ClassVar[tuple[Exercise, ...]] = (
        Exercise(
            name="offset",
            title="Two dials, half a turn apart",
            story=(
                "A dial on the rim of a coupling shows {first} on top and, half a turn later, {opposite}. "
                "The dial's holder does not sag."
            ),
            find="how far one shaft lies above or below the other",
            unit="in",
            of=coupling_offset,
            given={
                "first": Range("0.012 in", "0.030 in", "0.001 in"),
                "opposite": Range("-0.020 in", "-0.004 in", "0.001 in"),
                "sag": "0 in",
                "way": "1",
            },
            digits=2,
            hints=(
                "On its way round the dial sees the offset twice: once up, once down.",
                "Take half the difference of the two readings.",
            ),
        ),
    )

    coupling: Annotated[str, Choice("couplings")] = required("Coupling", "As named in the aircraft file.")
    bracket: Annotated[Bracket, Choice(options=BRACKETS)] = asked(
        "Bracket clamped", "The dials then touch the other shaft's hub.", "on the fixed shaft"
    )
    face: Annotated[Face, Choice(options=FACES)] = asked(
        "Face dial on the hub's",
        "Front: the face towards the shaft with the bracket. Back: the face away from it.",
        "front face",
    )
    positions: list[DialRow] = rows("Dial readings", "A row for each quarter of the turn.")
    rim_sag: Annotated[Reading | None, SAG] = asked(
        "Sag, rim dial", "Shown at the bottom on the stiff pipe, set to zero at the top."
    )
    face_sag: Annotated[Reading | None, SAG] = asked(
        "Sag, face dial", "The same for the face dial; 0 where it shows none."
    )
    circle: Annotated[Reading, Entry(Length, _INCHES, ("0.5 in", "60 in"), ("1 in", "20 in"))] = required(
        "Face circle", "Diameter of the circle that the face dial's stem draws, with ±."
    )
    front_feet: Annotated[Reading, Entry(Length, _INCHES, ("0 in", "120 in"), ("1 in", "60 in"))] = required(
        "To the front feet", "From the rim dial's plane to the feet next to the coupling, with ±."
    )
    rear_feet: Annotated[Reading, Entry(Length, _INCHES, ("0 in", "240 in"), ("3 in", "100 in"))] = required(
        "To the rear feet", "From the rim dial's plane to the far feet, with ±."
    )
    middle: Annotated[Reading, Entry(Length, _INCHES, ("-24 in", "24 in"), ("-12 in", "12 in"))] = required(
        "To the coupling's middle", "From the rim dial's plane; negative on the fixed shaft's side of it, with ±."
    )
    run_out_fixed: Annotated[Reading | None, RUN_OUT] = asked(
        "Run-out, fixed hub", "Whole reading over a turn of that hub by itself."
    )
    run_out_moved: Annotated[Reading | None, RUN_OUT] = asked(
        "Run-out, moved hub", "Whole reading over a turn of that hub by itself."
    )
    dial: Annotated[str, Choice("instruments", measures="length")] = asked("Dial gauge", default="")

    @classmethod
    def start(cls, aircraft: Aircraft) -> dict[str, Any]:
        """A row for each quarter of the turn."""
        return {**super().start(aircraft), "positions": [{"place": place} for place in PLACES]}

    def parts(self, aircraft: Aircraft) -> list[Part]:
        """Both dials at four places, the bracket's sag, the run-out of both hubs."""
        rim = {row.place.strip().casefold() for row in self.positions if row.rim is not None}
        face = {row.place.strip().casefold() for row in self.positions if row.face is not None}
        return [
            *(Part(f"rim dial at the {place}", place in rim) for place in PLACES),
            *(Part(f"face dial at the {place}", place in face) for place in PLACES),
            Part("the bracket's sag, rim dial", self.rim_sag is not None),
            Part("the bracket's sag, face dial", self.face_sag is not None),
            Part("run-out of the fixed hub", self.run_out_fixed is not None),
            Part("run-out of the moved hub", self.run_out_moved is not None),
        ]

    def _work(self, aircraft: Aircraft) -> Outcome:
        to = Working(self, aircraft)
        coupling = to.thing("coupling", aircraft.couplings, "coupling", "none: write [couplings.name] for each")
        dials = self._dials(to)
        places = {
            "front": to.reading("front_feet", "place of the front feet", _INCHES),
            "rear": to.reading("rear_feet", "place of the rear feet", _INCHES),
            "middle": to.reading("middle", "place of the coupling's middle", _INCHES),
        }
        circle = to.reading("circle", "face circle", _INCHES)
        planes: Planes = {}
        for plane in PLANES:
            found = self._plane(to, plane, dials, circle, places["middle"])
            if found is not None:
                planes[plane] = found
        for dial in ("rim", "face"):
            self._closing(to, dial, dials[dial])
        wanted = _wanted(coupling)
        if len(planes) == len(PLANES):
            self._whole(to, coupling, planes, wanted)
        for which in ("fixed", "moved"):
            if getattr(self, f"run_out_{which}") is not None:
                title = f"Run-out of the {which} hub"
                to.judge(
                    f"run_out.{which}",
                    title,
                    coupling.limits.run_out,
                    to.reading(f"run_out_{which}", title.lower(), _INCHES),
                )
        to.compare("Against the limits")
        if planes:
            self._changes(to, coupling, planes, places, wanted)
            to.pictures.append(self._lie(to, planes, places))
        return to.outcome(f"{self.about.title}, {coupling.named}")

    def _dials(self, to: Working) -> dict[str, dict[str, Measured]]:
        """The readings of each dial by place."""
        rows = to.filled("positions", "rim", "face")
        for i, row in rows:
            if row.place.strip().casefold() not in PLACES:
                there = ", ".join(PLACES)
                to.problem(f"positions.{i}.place", f"is not one of {there}; got {shortened(row.place)}")
        found = to.by_key("positions", rows, lambda row: row.place.strip().casefold(), "place")
        if self.front_feet.si >= self.rear_feet.si:
            to.problem("rear_feet", "must be more than the front feet's: they are the far ones")
        to.settle()
        gauge = to.instrument("dial")
        dials: dict[str, dict[str, Measured]] = {}
        for dial in ("rim", "face"):
            pooled = to.pool([getattr(row, dial) for _, row in found.values()], Length, _INCHES)
            dials[dial] = {
                place: to.mean(
                    readings,
                    f"{dial} dial at the {place}",
                    Length,
                    gauge,
                    pooled=pooled,
                    unit=_INCHES,
                    own_step=gauge is None,
                )
                for place in PLACES
                if place in found and (readings := getattr(found[place][1], dial)) is not None
            }
        return dials

    def _plane(
        self, to: Working, plane: str, dials: dict[str, dict[str, Measured]], circle: Measured, middle: Measured
    ) -> tuple[Measured, Measured, Measured] | None:
        """Offset in the rim dial's plane, slope, offset at the coupling's middle; None where a reading is missing, up
        and down also the sag: without it figures would be wrong, and shims by them."""
        first, opposite = PLANES[plane]
        if any(place not in dials[dial] for dial in dials for place in (first, opposite)):
            return None
        if plane == UPRIGHT and None in (self.rim_sag, self.face_sag):
            return None
        none = Measured(0.0, Length, unit=_INCHES)
        sags = {}
        for dial in dials:
            sags[dial] = to.reading(f"{dial}_sag", f"sag, {dial} dial", _INCHES) if plane == UPRIGHT else none
        rim, face = dials["rim"], dials["face"]
        title = f"{plane.capitalize()} offset"
        rim_way = "1" if self.bracket == BRACKETS[0] else "-1"
        offset = to.work(
            f"{title} in the rim dial's plane", coupling_offset, rim[first], rim[opposite], sags["rim"], rim_way
        )
        slope = to.work(
            f"{plane.capitalize()} angle",
            coupling_slope,
            face[first],
            face[opposite],
            circle,
            sags["face"],
            "1" if self.face == FACES[0] else "-1",
        )
        there = to.work(f"{title} at the coupling's middle", offset_along, offset, slope, middle).shown_in(_INCHES)
        to.tell(f"{plane}_offset", title, there)
        to.tell(f"{plane}_angle", f"{plane.capitalize()} angle", slope)
        return offset, slope, there

    def _closing(self, to: Working, dial: str, readings: dict[str, Measured]) -> None:
        """Whether the four readings of a dial fit together."""
        if len(readings) < len(PLACES):
            return
        four = (readings[place] for place in ("top", "bottom", "left", "right"))
        title = f"Closing error, {dial} dial"
        error = to.work(title, closing_error, *four).shown_in(_INCHES)
        if abs(float(error.si)) <= CLOSES + float(error.expanded_si):
            to.tell(f"closing.{dial}", title, error)
            return
        fits = Limit(
            title, Length, low=from_si(-CLOSES, Length), high=from_si(CLOSES, Length), unit="in",
            source="physics: top and bottom add up to left and right (common practice for the amount)",
        )  # fmt: skip
        to.judge(f"closing.{dial}", title, None, error, physical=fits)
        to.lead.append(
            f"The four readings of the {dial} dial do not fit together: top and bottom must add up to left and right. "
            "The bracket slipped, a hub turned on its own or a sign is wrong: read them again before you move anything."
        )

    def _whole(self, to: Working, coupling: Coupling, planes: Planes, wanted: Measured | None) -> None:
        up, across = planes[UPRIGHT], planes[ACROSS]
        raised = up[2]
        if wanted is not None:
            left = combine(float(up[2].si) - float(wanted.si), Length, [up[2], wanted], [1.0, -1.0], _INCHES)
            line = f"{say(up[2])} less {say(wanted)}, as the manual asks"
            raised = to.step(
                "Vertical offset against the one wanted", [line], left, sources.ARITHMETIC.at("difference")
            )
        offset = _size(raised, across[2], Length, _INCHES)
        angle = _size(up[1], across[1], Angle, None)
        cited = sources.ARITHMETIC.at("root of the sum of two squares")
        to.step("Offset, both directions together", [f"√(({say(raised)})² + ({say(across[2])})²)"], offset, cited)
        to.step("Angle, both directions together", [f"√(({say(up[1])})² + ({say(across[1])})²)"], angle, cited)
        to.judge("offset", "Offset at the coupling", coupling.limits.offset, offset)
        to.judge("angle", "Angle at the coupling", coupling.limits.angle, angle)

    def _changes(
        self,
        to: Working,
        coupling: Coupling,
        planes: Planes,
        places: dict[str, Measured],
        wanted: Measured | None,
    ) -> None:
        """What to shim and to move: said beside the verdict where the alignment is not in limits."""
        said = []
        aim = Measured(0.0, Length, unit=_INCHES) if wanted is None else wanted
        if UPRIGHT in planes:
            offset, slope, _ = planes[UPRIGHT]
            for feet in ("front", "rear"):
                title = f"Rise of the {feet} feet"
                change = to.work(title, foot_change, offset, slope, places[feet], aim).shown_in(_INCHES)
                to.tell(f"rise.{feet}", title, change)
            plan = whole_shims(
                *(from_si(float(one.si), one.kind) for one in (offset, slope, places["front"], places["rear"])),
                from_si(coupling.shim.si, Length),
                from_si(float(places["middle"].si), Length),
                from_si(float(aim.si), Length),
                *(
                    limit.high if limit is not None and limit.high_si else None
                    for limit in (coupling.limits.offset, coupling.limits.angle)
                ),
            )
            if plan.front or plan.rear:
                both = [
                    f"{feet} feet: {_shims(to, count, coupling.shim)}"
                    for feet, count in (("front", plan.front), ("rear", plan.rear))
                ]
                # what is left is known no better than what was measured
                off = combine(float(plan.offset.m_as("m")), Length, [planes[UPRIGHT][2], aim], [1.0, -1.0], _INCHES)
                angle = combine(float(plan.slope.m_as("rad")), Angle, [slope], [1.0], None)
                said.append(
                    f"{'; '.join(both).capitalize()}. By these readings that leaves {say(off)} and {say(angle)} up and "
                    "down."
                )
            if min(plan.front, plan.rear) < 0:
                to.notes.append(
                    "If there are not that many shims to take out, raise the fixed machine instead, or see the manual."
                )
        if ACROSS in planes:
            offset, slope, _ = planes[ACROSS]
            moves = []
            for feet in ("front", "rear"):
                title = f"Move of the {feet} feet to the right"
                none = Measured(0.0, Length, unit=_INCHES)
                change = to.work(title, foot_change, offset, slope, places[feet], none).shown_in(_INCHES)
                to.tell(f"move.{feet}", title, change)
                way = "right" if change.si > 0 else "left"
                size = from_si(abs(float(change.si)), Length)
                moves.append(f"the {feet} feet {say(size, _INCHES[to.system == 'metric'], digits=2)} to the {way}")
            said.append(f"Move {' and '.join(moves)}, seen from the fixed shaft.")
        if to.bad("offset", "angle") and not to.lead:
            to.say_to_do(" ".join(said), "offset", "angle")

    def _lie(self, to: Working, planes: Planes, places: dict[str, Measured]) -> Chart:
        unit = _INCHES[to.system == "metric"]
        x = sorted(float(one.si) for one in places.values())
        ends = [min(0.0, x[0]), x[-1]]
        curves, dots = [], []
        for plane, (offset, slope, _) in planes.items():
            style = "main" if plane == UPRIGHT else "second"
            y = [float(offset.si) + float(slope.si) * at for at in (*ends, *x)]
            curves.append(Curve(plane, [_in(at, unit) for at in ends], [_in(one, unit) for one in y[:2]], style))
            dots.append(
                Dots(f"{plane}: middle, feet", [_in(at, unit) for at in x], [_in(one, unit) for one in y[2:]], style)
            )
        return Chart(
            "How the moved shaft lies against the fixed one",
            f"Place from the rim dial, away from the fixed shaft ({unit})",
            f"High, or to the right ({unit})",
            curves,
            (),
            (),
            dots,
        )


def _size(one: Measured, other: Measured, kind: Any, unit: Any) -> Measured:
    """Both directions together. Where both are zero the larger uncertainty is that of the whole."""
    size = math.hypot(float(one.si), float(other.si))
    if size > 0:
        slopes = [float(one.si) / size, float(other.si) / size]
    else:
        slopes = [1.0, 0.0] if one.standard_si >= other.standard_si else [0.0, 1.0]
    return combine(size, kind, [one, other], slopes, unit)


def _wanted(coupling: Coupling) -> Measured | None:
    if coupling.stands_high is None:
        return None
    return measured(coupling.stands_high, Length, "how high the moved shaft is to stand").shown_in(_INCHES)


def _shims(to: Working, count: int, shim: Reading) -> str:
    if not count:
        return "as they are"
    size = say(from_si(abs(count) * shim.si, Length), _INCHES[to.system == "metric"], digits=2)
    shims = f"{abs(count)} shim{'s' if abs(count) > 1 else ''} of {shim.understood}"
    return f"{'add' if count > 0 else 'take out'} {shims}" + (f", {size} in all" if abs(count) > 1 else "")


def _in(si: float, unit: str) -> float:
    return float(in_unit(si, unit, Length))
