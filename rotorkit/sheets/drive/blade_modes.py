"""Blade modes: a rotor's own fan plot, its blades' frequencies in flap and lag over rotor speed against the orders."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from typing import Annotated, Any, ClassVar

import numpy as np

from rotorkit.aircraft import Aircraft
from rotorkit.aircraft.entries import Choice, Entry, asked, required, rows
from rotorkit.drive import BladeSection, Crossing, order_crossings, rotating_blade, southwell_frequency
from rotorkit.drive.blade_modes import ManyBlades, RotatingBlade, many_blades
from rotorkit.drive.trust import BLADE_FREQUENCY
from rotorkit.judging.limits import OUT_OF_LIMITS, TOO_CLOSE, UNDONE, Limit, Verdict
from rotorkit.judging.measured import Measured, measured, propagate, propagate_together
from rotorkit.pictures.data import Band, Chart, Curve, Dots, Point
from rotorkit.quantities import (
    BendingStiffness,
    Frequency,
    Length,
    LinearDensity,
    Mass,
    Ratio,
    Reading,
    RotationRate,
    from_si,
    in_unit,
    required_kind,
    say,
)
from rotorkit.sheets.base import AN_ESTIMATE, About, Finding, Needed, Outcome, Part, Row, Sheet, SheetLimit, judge
from rotorkit.sheets.exercises import Exercise, Range
from rotorkit.sheets.working import Working
from rotorkit.sources import ARITHMETIC, EPPS_CHANDRA_1996, VIBRATION, cautions

_INCHES = ("in", "mm")
FLAP, LAG = 3, 2
"""Modes that are looked at in flap and in lag."""
MODES = {"flap": FLAP, "lag": LAG}
OverSpeeds = Callable[[Any], Any]
"""Frequencies of a blade's modes (rad/s, a column each) of an array of rotor speeds (rad/s)."""
LEAST_ORDERS = 6
ELEMENTS = 16
"""Of a blade: frequencies are then within 2e-5 of a Ritz solution with Legendre curvatures (compared)."""
LITTLE, LITTLE_MOVED = 0.05, 4e-4
"""By what part of itself a figure may be another, and by what part of the blade's length a stretch may end elsewhere,
for what that does to be told by the blade's shapes: then within 3e-3 of what all figures do together (compared)."""
DIFFERS = 0.1
"""A frequency read at rest that lies by this share from the reckoned one is asked about (our own choice)."""
MEASURED_BEAM = EPPS_CHANDRA_1996.at("straight metal beam, at rest, 500 and 750 rpm")
CLEAR = Limit(
    "separation from an order", Ratio, low="0", source="physics: lag is hardly damped, and meets no order in use"
)
STIFF = Entry(BendingStiffness, None, ("1 lbf*in^2", None), ("1000 lbf*in^2", "10000000000 lbf*in^2"))
SPEED = Entry(RotationRate, None, ("20 rpm", "10000 rpm"), ("200 rpm", "4000 rpm"))
AT_REST = Entry(Frequency, None, ("0.05 Hz", "500 Hz"), ("0.3 Hz", "100 Hz"))
ESTIMATED = (
    f"{AN_ESTIMATE}: a straight beam without twist, flap and lag uncoupled, no air, no torsion, hub and "
    f"mast stiff. It was compared with one measured beam, at rest and turning: the ± of a frequency includes "
    f"{200 * BLADE_FREQUENCY:.0f} % (k = 2) for that."
)


class SectionRow(Row):
    """A stretch of blade that is even along its length, from where the one inside it ends."""

    ends: Annotated[Reading | None, Entry(Length, _INCHES, ("0.1 in", "50 ft"))] = asked(
        "Ends at", "From the rotor's axis to the outer end of this stretch, with ±."
    )
    mass: Annotated[Reading | None, Entry(LinearDensity, ("lb/ft", "kg/m"), ("0.01 lb/ft", "100 lb/ft"))] = asked(
        "Mass per length", "Weigh the blade; grips are heavier. With ±."
    )
    flap: Annotated[Reading | None, STIFF] = asked("Stiffness in flap", "E I across the chord's plane, with ±.")
    lag: Annotated[Reading | None, STIFF] = asked("Stiffness in lag", "E I along the chord, with ±.")


class BladeModes(Sheet):
    """The frequencies of one rotor's blades."""

    order: ClassVar[int] = 65
    workings: ClassVar[int] = 50
    has_slow_part: ClassVar[bool] = True
    uses: ClassVar[tuple[str, ...]] = ("{rotor}.blades", "{rotor}.speed")
    needed: ClassVar[tuple[Needed, ...]] = (
        Needed(
            "First rotor turn", "a blade whose frequency meets an order shakes itself and its hub to pieces",
            where_limited=True,
        ),
    )  # fmt: skip
    limits: ClassVar[dict[str, SheetLimit]] = {
        "separation": SheetLimit(
            Ratio,
            "separation from an order",
            None,
            "of a blade's frequency from any order of the rotor, over that order, at every speed in use: the low side",
        )
    }
    about: ClassVar[About] = About(
        title="Blade modes",
        settles=(
            "At which rotor speeds a blade's flap and lag frequencies meet the orders (once, twice and so on per "
            "turn), and how close they come at the speeds in use."
        ),
        when=(
            "When blades are chosen or made, and after anything that changes their mass or stiffness: a tip weight, a "
            "repair, paint at the tip, another grip or damper."
        ),
        tools=(
            "scales and rule",
            "the maker's stiffness, or a weight hung at the tip and a rule",
            "a telephone's accelerometer",
        ),
        procedure=(
            "A row for each stretch of the blade that is even: where it ends, measured from the axis. The first begins "
            "where the blade is hinged or clamped, each other where the one inside it ends.",
            "Stiffness from the maker; or clamp the root level, hang a weight at the tip and work it out from the sag: "
            "E I is force times length cubed over three times the sag, of an even blade.",
            "Rap the blade, clamped as on the hub, and read its frequency at rest: it shows whether the figures "
            "are right.",
            "A teetering rotor: hinged for blade motions that oppose each other, built in for motions that are alike. "
            "Work it both ways.",
        ),
        sign_convention=(
            "Flap is out of the rotor's plane, lag within it. The separation is how far a frequency lies from the "
            "nearest order at the speeds in use, over that order; below zero it crosses it there."
        ),
        cautions=(cautions.ENGINE_OFF, cautions.TURNING_ROTORS, cautions.ESTIMATE, *cautions.ALWAYS),
        not_covered=(
            "torsion of the blade, twist, sweep, and flap that is coupled with lag or pitch",
            "the air, which damps flap and not lag; flutter and stall",
            "orders above six, or above twice the number of blades where that is more",
            "a damper or a spring at a hinge; flexible hub, mast and airframe",
            "lag of all blades together with the drive: the check of torsional modes",
            "lag with the aircraft on its gear: the check of ground resonance",
        ),
    )
    exercises: ClassVar[tuple[Exercise, ...]] = (
        Exercise(
            name="stiffened",
            title="Stiffened by turning",
            story=(
                "A blade that is built in at the axis flaps at {rest_frequency} (cycles a minute) at rest. By "
                "Southwell the square of its frequency at {rotor_speed} is the square at rest plus "
                "{plain_coefficient} times the square of the rotor speed."
            ),
            find="its frequency at that speed (cycles a minute)",
            unit="rpm",
            of=southwell_frequency,
            given={
                "rest_frequency": Range("60 rpm", "110 rpm", "1 rpm"),
                "rotor_speed": Range("400 rpm", "470 rpm", "5 rpm"),
                "plain_coefficient": "1.193",
                "offset_coefficient": "1.571",
                "offset_ratio": "0",
            },
            hints=("Square both, and multiply the second by 1.193.", "Add the two, and take the square root."),
        ),
    )

    rotor: Annotated[str, Choice("rotors")] = required("Rotor", "Whose blades.")
    flap_root: Annotated[str, Choice(options=("hinged", "built in"))] = asked(
        "Root in flap", "At the same place in lag.", "hinged"
    )
    lag_root: Annotated[str, Choice(options=("built in", "hinged"))] = asked("Root in lag", default="built in")
    root_at: Annotated[Reading | None, Entry(Length, _INCHES, ("0 in", "10 ft"))] = asked(
        "Root at", "From the rotor's axis to hinge or clamp, with ±; 0 of a teetering rotor."
    )
    tip_mass: Annotated[Reading, Entry(Mass, ("lb", "kg"), ("0 lb", "50 lb"))] = asked(
        "Tip weight", "At the end, besides the blade itself, with ±.", "0 ± 0 lb"
    )
    slowest: Annotated[Reading | None, SPEED] = asked("Slowest in use", "Rotor speed, power off included, with ±.")
    fastest: Annotated[Reading | None, SPEED] = asked("Fastest in use", "Rotor speed, power off included, with ±.")
    rest_flap: Annotated[Reading | None, AT_REST] = asked(
        "At rest, in flap", "Lowest frequency when rapped, root clamped, with ±; may stay empty."
    )
    rest_lag: Annotated[Reading | None, AT_REST] = asked("At rest, in lag", "The same in lag; may stay empty.")
    sections: list[SectionRow] = rows("Blade", "A row for each even stretch, in any order.")

    @classmethod
    def start(cls, aircraft: Aircraft) -> dict[str, Any]:
        """Two stretches: grip and blade."""
        return {**super().start(aircraft), "sections": [{}, {}]}

    def parts(self, aircraft: Aircraft) -> list[Part]:
        """The blade whole, its root, and the speeds in use."""
        rows = [row for row in self.sections if any(one is not None for one in _row(row))]
        return [
            Part("every stretch of the blade: its end, mass, stiffness both ways",
                 bool(rows) and all(None not in _row(row) for row in rows)),
            Part("where the root is hinged or clamped", self.root_at is not None),
            Part("speeds in use, slowest and fastest", None not in (self.slowest, self.fastest)),
        ]  # fmt: skip

    def _work(self, aircraft: Aircraft) -> Outcome:
        to = Working(self, aircraft)
        rotor = to.thing("rotor", aircraft.rotors, "rotor")
        rows = [(i, row) for i, row in enumerate(self.sections) if any(one is not None for one in _row(row))]
        self._check(to, rows)
        to.lead.append(ESTIMATED)
        title = f"{self.about.title}, {self.rotor}"
        if any(not part.done for part in self.parts(aircraft)):
            to.notes.append("The modes are worked when the whole blade, its root and the speeds in use are there.")
            return to.outcome(title)
        inputs = self._inputs(to)
        slow, fast = to.reading("slowest", "slowest in use"), to.reading("fastest", "fastest in use")
        full = measured(rotor.speed, RotationRate, "100 % speed")
        if not float(slow.si) <= float(full.si) <= float(fast.si):
            to.asked.append(
                f"The {self.rotor}'s 100 % speed, {say(full)}, does not lie between the speeds in use, {say(slow)} to "
                f"{say(fast)}: are they this rotor's?"
            )
        low, high, whole = float(slow.si), float(fast.si), float(full.si)
        top = 1.25 * max(high, whole)
        off = the_models_own()
        modes = self._modes(to, inputs, full, slow, fast, off)
        orders = range(1, order_count(len(rotor.blades)) + 1)
        judged = self._judged(to, modes, orders, slow, fast, off)
        if {one.verdict.word for one in judged} & {OUT_OF_LIMITS, TOO_CLOSE}:
            to.say_to_do(
                "Do not stay at speeds where they may meet: ask the blade's maker for frequencies measured on a "
                "turning blade.",
                "separation",
            )  # fmt: skip
        to.notes.append(
            f"Of nine frequencies of a beam measured in flap (Epps and Chandra 1996) eight were 5 to 11 % above this "
            f"calculation. In lag no measured beam was found: the same {200 * BLADE_FREQUENCY:.0f} % is taken. It is "
            "left out of the ± of a separation that is out of limits without it."
        )
        to.compare("Against the limit", judged)
        rapped = self.rest_flap is not None or self.rest_lag is not None
        what = "the fan plot, and the blade at rest," if rapped else "the fan plot"
        to.slowly(what, lambda: self._fan_plots(to, inputs, orders, low, high, top), judges=rapped)
        return to.outcome(title)

    def _inputs(self, to: Working) -> list[Measured]:
        """The figures of `blade_of`, each with its ±."""
        rows = [(i, row) for i, row in enumerate(self.sections) if any(one is not None for one in _row(row))]
        rows.sort(key=lambda one: one[1].ends.si if one[1].ends is not None else 0.0)
        inputs = [to.reading("root_at", "root at", _INCHES), to.reading("tip_mass", "tip weight")]
        for i, _ in rows:
            inputs += [
                to.reading(f"sections.{i}.{name}", f"{words}, row {i + 1}")
                for name, words in (("ends", "its end"), ("mass", "mass per length"), ("flap", "flap stiffness"),
                                    ("lag", "lag stiffness"))
            ]  # fmt: skip
        return inputs

    def spreads(self, aircraft: Aircraft, speed: float) -> dict[str, list[float]]:
        """The ± (k = 2) of its frequencies at a rotor speed (rad/s) as parts of them, in flap and in lag, of a blade
        that is whole: that of its readings, and what the theory may be off."""
        inputs = self._inputs(Working(self, aircraft))

        def at_speed(*columns: Any) -> dict[str, Any]:
            there = np.full((len(columns[0]), 1), speed)
            found = {one: many_frequencies(columns, one, self._root(one), there, count) for one, count in MODES.items()}
            return {f"{one}.{k}": found[one][:, 0, k] for one, count in MODES.items() for k in range(count)}

        kinds: dict[str, Any] = dict.fromkeys(
            (f"{one}.{k}" for one, n in MODES.items() for k in range(n)), RotationRate
        )
        off = the_models_own()
        worked = {name: _off_by(one, off) for name, one in propagate_together(at_speed, kinds, inputs).items()}
        return {
            one: [
                float(of.expanded_si) / max(float(of.si), 1e-9) for of in (worked[f"{one}.{k}"] for k in range(count))
            ]
            for one, count in MODES.items()
        }

    def _fan_plots(
        self, to: Working, inputs: list[Measured], orders: range, low: float, high: float, top: float
    ) -> None:
        """The blade at rest checked against what was rapped, and both fan plots with what meets on them."""
        curves, spreads = self.over_speeds(top), self.spreads(to.aircraft, high)
        self._met(to, curves, orders, low, high)
        self._rapped(to, inputs)
        to.pictures += [
            fan_chart(f"Fan plot of the {self.rotor}, {one}", {one: curve}, orders, (low, high), top, spreads=spreads)
            for one, curve in curves.items()
        ]

    def over_speeds(self, top: float) -> dict[str, OverSpeeds]:
        """Its frequencies in flap and in lag over rotor speeds up to `top` (rad/s), of a blade that is whole."""
        assert self.root_at is not None  # asked before
        rows = [row for row in self.sections if any(one is not None for one in _row(row))]
        rows.sort(key=lambda row: row.ends.si if row.ends is not None else 0.0)
        figures = [float(self.root_at.si), float(self.tip_mass.si)]
        figures += [float(one.si) for row in rows for one in _row(row) if one is not None]
        return {
            one: blade_of(figures, one, self._root(one)).over_speeds(top, count, one) for one, count in MODES.items()
        }

    def _check(self, to: Working, rows: list[tuple[int, SectionRow]]) -> None:
        for i, row in rows:
            for name, one in zip(("ends", "mass", "flap", "lag"), _row(row), strict=True):
                if one is None:
                    to.problem(f"sections.{i}.{name}", "is needed: a stretch has its end, mass and both stiffnesses")
        if self.slowest is not None and self.fastest is not None and self.slowest.si >= self.fastest.si:
            to.problem("fastest", "must lie above the slowest")
        inside = None if self.root_at is None else self.root_at.si
        placed = [(i, row.ends.si) for i, row in rows if row.ends is not None]
        for i, end in sorted(placed, key=lambda one: one[1]):
            if inside is not None and end <= inside:
                to.problem(f"sections.{i}.ends", "must lie further out than the root, and no two at one place")
            inside = end
        if not rows and not to.problems:
            to.problem("sections.0.ends" if self.sections else "sections", "needs a reading")
        to.settle()

    def _modes(
        self, to: Working, inputs: list[Measured], full: Measured, slow: Measured, fast: Measured, off: Measured
    ) -> dict[str, tuple[Measured, Measured]]:
        """How often in a turn each mode goes at the slowest and at the fastest speed in use."""
        every = [*inputs, slow, fast, full]

        def ratios(*columns: Any) -> dict[str, Any]:
            *blades, low, high, whole = columns
            found: dict[str, Any] = {}
            for direction, count in MODES.items():
                at = many_frequencies(blades, direction, self._root(direction), np.stack([low, high, whole], 1), count)
                for k in range(count):
                    found[f"{direction}.{k + 1}.low"] = at[:, 0, k] / low
                    found[f"{direction}.{k + 1}.high"] = at[:, 1, k] / high
                    found[f"{direction}.{k + 1}.full"] = at[:, 2, k] / (2 * math.pi)
            return found

        names = [f"{direction}.{k + 1}" for direction, count in MODES.items() for k in range(count)]
        kinds: dict[str, Any] = {f"{name}.{end}": Ratio for name in names for end in ("low", "high")}
        worked = propagate_together(ratios, kinds | {f"{name}.full": Frequency for name in names}, every)
        cited = VIBRATION.at("beam stiffened by its own pull, finite elements")
        to.step("By what part the theory may be off", ["one measured beam, nothing adjusted to it"], off, MEASURED_BEAM)
        for name in names:
            direction, k = name.split(".")
            title = f"{direction.capitalize()} mode {k} at {say(full)}"
            at = _off_by(worked[f"{name}.full"], off).shown_in("Hz")
            turns = float(at.si) * 2 * math.pi / float(full.si)
            to.step(title, [f"{turns:.3f} times a turn"], at, cited)
            to.tell(f"mode.{name}", f"{title}: {turns:.2f} times a turn", at, name=title)
        return {name: (worked[f"{name}.low"], worked[f"{name}.high"]) for name in names}

    def _root(self, direction: str) -> str:
        return self.flap_root if direction == "flap" else self.lag_root

    def _judged(
        self, to: Working, modes: dict[str, tuple[Measured, Measured]], orders: range, slow: Measured, fast: Measured,
        off: Measured,
    ) -> list[Finding]:  # fmt: skip
        """Each mode against its nearest order. What is out of limits by the readings alone stays so; nothing is called
        clear unless it is so with what the theory may be off."""
        limit, judged = self.limit("separation", to.aircraft), []
        for name, (low, high) in modes.items():
            direction, k = name.split(".")
            if name == "flap.1":
                to.notes.append(
                    "The lowest flap mode is naturally near once a turn, and the air damps it: it is shown, not judged."
                )
                continue
            near = min(orders, key=lambda n: separation(float(low.si), float(high.si), n))

            def apart(at_low: float, at_high: float, order: int = near) -> float:
                return separation(at_low, at_high, order)

            title = f"{direction.capitalize()} mode {k} from order {near}"
            physical = CLEAR if direction == "lag" else None
            ends = [low, high]
            apart_by = propagate(apart, Ratio, ends, ("%", "%"))
            if judge(limit, apart_by, title, physical).word != OUT_OF_LIMITS:
                ends = [_off_by(one, off) for one in ends]
                apart_by = propagate(apart, Ratio, ends, ("%", "%"))
            line = f"{say(ends[0])} to {say(ends[1])} times a turn, from {say(slow)} to {say(fast)}"
            to.step(title, [line], apart_by, ARITHMETIC.at("distance from an order, over it"))
            judged.append(to.judge(f"separation.{name}", title, limit, apart_by, physical=physical))
            if direction == "lag" and float(apart_by.si) < 0:
                to.lead.insert(
                    0,
                    f"The blade's lag mode {k} meets order {near} at a speed in use, and there is hardly any damping.",
                )
        return judged

    def _met(self, to: Working, over_speeds: Mapping[str, OverSpeeds], orders: range, low: float, high: float) -> None:
        """Every crossing up to a quarter above the speeds in use, nearest first."""
        said = [
            f"{one.curve} meets order {one.order:g} at {say(one.speed, 'rpm', digits=4)}, "
            f"{margin_words(one.margin or 0.0)}"
            for one in blade_crossings(over_speeds, orders, low, high, 1.25 * high)
            if (one.margin or 0.0) < MARGIN_TOLD
        ]
        if said:
            to.notes.append(f"Crossings by the best figures, nearest first: {'; '.join(said)}.")
        else:
            to.notes.append(
                "By the best figures, without their ±, no order meets a mode at the speeds in use, nor within a tenth "
                "beside them."
            )

    def _rapped(self, to: Working, inputs: list[Measured]) -> None:
        for field, direction in (("rest_flap", "flap"), ("rest_lag", "lag")):
            if getattr(self, field) is None:
                continue

            def at_rest(*figures: float, direction: str = direction) -> float:
                blade = blade_of(figures, direction, "built in")
                return float(blade.at(0.0, 1, direction)[0]) / (2 * math.pi)

            def many_at_rest(*columns: Any, direction: str = direction) -> Any:
                still = np.zeros((len(columns[0]), 1))
                return many_frequencies(columns, direction, "built in", still, 1)[:, 0, 0] / (2 * math.pi)

            reckoned = propagate(at_rest, Frequency, inputs, many=many_at_rest).shown_in("Hz")
            read = to.reading(field, f"at rest, in {direction}")
            title = f"At rest in {direction}, root clamped, calculated"
            to.step(title, [f"{say(read)} was read"], reckoned, VIBRATION.at("beam at rest, finite elements"))
            off = abs(float(read.si) / float(reckoned.si) - 1)
            if off <= DIFFERS + (float(read.expanded_si) + float(reckoned.expanded_si)) / float(reckoned.si):
                to.tell(f"rest.{direction}", title, reckoned)
            else:
                said = f"{title}: {say(reckoned)}, and {say(read)} was read"
                settle = "weigh the blade again, and find its stiffness by a weight at the tip"
                to.found(f"rest.{direction}", title, Verdict(UNDONE, reckoned, None, said, settle))
                to.lead.insert(
                    0,
                    f"Rapped, the blade gives {say(read)} in {direction}, but its figures make {say(reckoned)}: they "
                    "are not this blade's. Do not rely on anything below until that is cleared up.",
                )


MARGIN_TOLD = 0.1


def margin_words(margin: float) -> str:
    """How far a crossing lies from the speeds in use."""
    return f"{100 * margin:.0f} % outside the speeds in use" if margin >= 0 else "WITHIN the speeds in use"


def order_count(blades: int) -> int:
    """The highest order that is looked at."""
    return max(LEAST_ORDERS, 2 * blades)


def blade_crossings(
    over_speeds: Mapping[str, OverSpeeds], orders: Sequence[int], low: float, high: float, top: float
) -> list[Crossing]:
    """Where flap and lag meet orders up to a speed, nearest to the speeds in use first (rad/s)."""
    speeds = np.linspace(0.04 * top, top, 61)
    found: list[Crossing] = []
    for direction, count in MODES.items():
        there = over_speeds[direction](speeds)
        curves = {f"{direction} mode {k + 1}": from_si(there[:, k], RotationRate) for k in range(count)}
        ends = from_si(low, RotationRate), from_si(high, RotationRate)
        found += order_crossings(from_si(speeds, RotationRate), curves, list(orders), *ends)
    return sorted(found, key=lambda one: (one.margin or 0.0, float(one.speed.magnitude)))


def fan_chart(
    title: str,
    over_speeds: Mapping[str, OverSpeeds],
    orders: Sequence[int],
    use: tuple[float, float] | None,
    top: float,
    now: float | None = None,
    spreads: Mapping[str, Sequence[float]] | None = None,
) -> Chart:
    """The fan plot of a rotor's blades, in flap, in lag or both, up to a speed; now: a speed to mark (rad/s); spreads:
    the ± of each mode's frequency as a part of it, marked at that speed, else at the fastest in use."""
    speeds = np.linspace(0.0, top, 41)
    rpm = [float(in_unit(float(one), "rpm", RotationRate)) for one in speeds]
    ceiling = 1.05 * orders[-1] * top / (2 * math.pi)
    curves, points, x, y = [], list[Point](), list[float](), list[float]()
    spread_at = now if now is not None else use[1] if use is not None else top
    grid = from_si(np.linspace(0.02 * top, top, 61), RotationRate)
    for direction, of in over_speeds.items():
        found, again = of(speeds) / (2 * math.pi), of(grid.magnitude)
        style = "main" if direction == next(iter(over_speeds)) else "second"
        curves += [
            Curve(f"modes in {direction}" if k == 0 else "", rpm, [float(one) for one in found[:, k]], style)
            for k in range(MODES[direction])
            if found[0, k] < ceiling
        ]
        for k, by in enumerate((spreads or {}).get(direction, ())):
            hertz = float(of(np.array([spread_at]))[0, k]) / (2 * math.pi)
            if hertz < ceiling:
                there = float(in_unit(spread_at, "rpm", RotationRate))
                points.append(Point(f"{direction} {k + 1}", there, hertz, y_spread=by * hertz))
        modes = {str(k): from_si(again[:, k], RotationRate) for k in range(MODES[direction])}
        for one in order_crossings(grid, modes, list(orders)):
            x.append(float(in_unit(float(one.speed.magnitude), "rpm", RotationRate)))
            y.append(float(one.frequency.magnitude) / (2 * math.pi))
    curves += [
        Curve("orders 1, 2, 3 …" if n == 1 else "", rpm, [n * float(one) / (2 * math.pi) for one in speeds], "third")
        for n in orders
    ]
    if now is not None:
        at = float(in_unit(now, "rpm", RotationRate))
        curves.append(Curve("operating speed", [at, at], [0.0, ceiling], "bound"))
    bands = []
    if use is not None:
        within = [float(in_unit(one, "rpm", RotationRate)) for one in use]
        bands.append(Band("speeds in use", within, [0.0, 0.0], [ceiling, ceiling]))
    dots = (Dots("crossings", x, y),) if x else ()
    return Chart(title, "Rotor speed (rpm)", "Frequency (Hz)", curves, bands, points, dots)


def the_models_own() -> Measured:
    """By what part a calculated frequency may be off: none, with its standard uncertainty."""
    ratio = required_kind(Ratio)
    return measured(
        from_si(0.0, ratio), ratio, "blade frequencies by the theory", uncertainty=from_si(BLADE_FREQUENCY, ratio),
        stated_as="standard",
    )  # fmt: skip


def _off_by(frequency: Measured, off: Measured) -> Measured:
    return propagate(lambda found, by: found * (1 + by), frequency.kind, [frequency, off])


def _row(row: SectionRow) -> tuple[Reading | None, Reading | None, Reading | None, Reading | None]:
    return row.ends, row.mass, row.flap, row.lag


def blade_of(figures: Sequence[float], direction: str, root: str) -> RotatingBlade:
    """The blade from bare SI figures: root's place, tip mass, then of each stretch where it ends, its mass per length,
    stiffness in flap and in lag."""
    at, tip, *rest = figures
    stiff = 2 if direction == "flap" else 3
    sections = [
        BladeSection(
            from_si(rest[k] - (rest[k - 4] if k else at), Length),
            from_si(rest[k + 1], LinearDensity),
            from_si(rest[k + stiff], BendingStiffness),
        )
        for k in range(0, len(rest), 4)
    ]
    how = "fixed" if root == "built in" else "hinged"
    hub, at_tip = from_si(max(at, 0.0), Length), from_si(max(tip, 0.0), Mass)
    return rotating_blade(sections, hub, how, None, at_tip, ELEMENTS)


def many_frequencies(figures: Sequence[Any], direction: str, root: str, speeds: Any, count: int) -> Any:
    """rad/s of many blades from columns of the figures of `blade_of`, each at a row of speeds: shape (blades, speeds,
    modes); not a number where figures make no blade. Those that differ by little from the first one, at speeds that
    do, are told by its shapes."""
    columns = np.stack(np.broadcast_arrays(*figures), axis=1)
    other_way = columns[:, 5 if direction == "flap" else 4 :: 4]  # changes nothing here
    other_way[:] = other_way[0]
    apart, placed = np.abs(columns - columns[0]), [0, *range(2, columns.shape[1], 4)]
    little = apart <= LITTLE * np.abs(columns[0])
    little[:, placed] = apart[:, placed] <= LITTLE_MOVED * columns[0, -4]
    near = little.all(axis=1) & (np.abs(speeds - speeds[0]) <= LITTLE * np.abs(speeds[0])).all(axis=1)
    found = np.full((*speeds.shape, count), np.nan)
    for of, blades in _blades(columns, direction, root):
        quick = near[of] & (of[0] == 0)  # those of other numbers of elements have not the first one's nodes
        if quick.any():
            ((found[0],), (shapes,)) = blades.only(slice(1)).laid().with_shapes(speeds[:1], count, direction)
            if len(beside := np.flatnonzero(quick)[1:]):
                found[of[beside]] = blades.only(beside).beside(speeds[of[beside]], shapes, direction)
        if len(rest := np.flatnonzero(~quick)):
            found[of[rest]] = blades.only(rest).at(speeds[of[rest]], count, direction)
    return found


def _blades(figures: Any, direction: str, root: str) -> list[tuple[Any, ManyBlades]]:
    """Blades of rows of figures, those that are divided alike together: which rows they are, and the blades."""
    at, tip, *rest = figures.T
    ends, masses, *both = (np.stack(rest[k::4], axis=1) for k in range(4))
    lengths = np.diff(ends, axis=1, prepend=np.asarray(at)[:, None])
    rigidities = both[0 if direction == "flap" else 1]
    how = "fixed" if root == "built in" else "hinged"
    return many_blades(lengths, masses, rigidities, np.maximum(at, 0.0), how, np.maximum(tip, 0.0), ELEMENTS)


def separation(at_low: float, at_high: float, order: float) -> float:
    """How far a mode lies from an order between two speeds, over the order, by how often in a turn it goes at both
    ends; below zero it crosses it between, by as much as it reaches past at the nearer end."""
    most, least = max(at_low, at_high), min(at_low, at_high)
    if order > most:
        return 1 - most / order
    if order < least:
        return least / order - 1
    return -min(most - order, order - least) / order
