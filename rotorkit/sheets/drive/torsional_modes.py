"""Torsional modes: the whole drive in twist, from engine to both rotors, against what the engine shakes it with."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Annotated, Any, ClassVar

import numpy as np

from rotorkit.aircraft import Aircraft
from rotorkit.aircraft.derived import shaft_turns
from rotorkit.aircraft.drive_parts import SPEEDS_AGREE_WITHIN
from rotorkit.aircraft.entries import Choice, Entry, asked, rows
from rotorkit.drive import (
    TorsionalTrain,
    engine_torque_orders,
    firing_frequency,
    hub_inertia_beside_lagging_blades,
    lagging_blades_inertia,
    lagging_blades_stiffness,
    referred_inertia,
    referred_stiffness,
)
from rotorkit.drive.trust import NOT_COMPARED
from rotorkit.judging.limits import OUT_OF_LIMITS, TOO_CLOSE, Limit
from rotorkit.judging.measured import Measured, measured, propagate, propagate_together
from rotorkit.pictures.data import Band, Chart, Curve, Dots
from rotorkit.quantities import (
    Angle,
    Frequency,
    Length,
    Mass,
    MomentOfInertia,
    Power,
    Ratio,
    Reading,
    RotationRate,
    Torque,
    TorsionalStiffness,
    from_si,
    in_unit,
    required_kind,
    say,
)
from rotorkit.quantities.errors import shortened
from rotorkit.sheets.base import AN_ESTIMATE, About, Finding, Needed, Outcome, Part, Row, Sheet, SheetLimit
from rotorkit.sheets.drive.margins import outside
from rotorkit.sheets.exercises import Exercise, Range
from rotorkit.sheets.working import Working, capital
from rotorkit.sources import ARITHMETIC, VIBRATION, cautions

_RATE, _TORQUE, _RATIO = map(required_kind, (RotationRate, Torque, Ratio))
BLADES, HUB = "main-rotor blades", "main rotor's hub"
CLEAR = Limit("margin to a torsional resonance", Ratio, low="0", source="physics: no firing order meets a mode in use")
NEAR = (0.5, 2.0)
"""Crossings between these shares of the slowest and the fastest speed are judged; the nearest one always (our own
choice)."""
MODES_SHOWN = 4
HARD, HIGHEST = 4.0, 8.0
"""Firing orders up to the first swing the torque by more than half of its mean and are judged; up to the second, by a
tenth or more, they are told (the ideal cycle of `rotorkit.drive.engine_torque_orders`)."""
COMPRESSION, ROD = 8.5, 0.27
"""Compression ratio, and crank radius over rod, that the size of the firing orders is reckoned with (common practice,
no source): between 7 and 10 the first order differs by a tenth."""
INERTIA = Entry(
    MomentOfInertia, None, ("0.0000001 slug*ft^2", "20000 slug*ft^2"), ("0.0001 slug*ft^2", "500 slug*ft^2")
)
STIFFNESS = Entry(TorsionalStiffness, None, ("0.1 lbf*ft/rad", None), ("10 lbf*ft/rad", "5000000 lbf*ft/rad"))
TURNS = Entry(Ratio, ("", ""), ("0.01", "100"), ("0.1", "30"), exact=True)
SPEED = Entry(RotationRate, None, ("20 rpm", "3000 rpm"), ("200 rpm", "800 rpm"))
LAG = (
    ("mass", Mass, "mass of a blade beyond where it bends in lag"),
    ("centre_of_gravity", Length, "its centre of gravity"),
    ("offset", Length, "offset of where it bends"),
    ("inertia", MomentOfInertia, "inertia of a blade about there"),
    ("spring", TorsionalStiffness, "lag spring of a blade"),
)
ESTIMATED = (
    f"{AN_ESTIMATE}: inertias and stiffnesses are only as good as they were measured or calculated. "
    f"{NOT_COMPARED.format('drive')} "
    "A drive that shudders, growls or breaks belts is out of limits, whatever this sheet says."
)

CYLINDERS = ("4", "1", "2", "3", "5", "6", "7", "8", "9", "10", "12")
"""How many an engine may have here, the usual first."""


class DiscRow(Row):
    """One part that turns as a whole."""

    disc: str = asked("Part", "engine, jackshaft, main rotor (its hub alone), tail rotor.", "")
    inertia: Annotated[Reading | None, INERTIA] = asked("Inertia", "About its own axis, at its own speed, with ±.")
    turns: Annotated[Reading | None, TURNS] = asked("Turns", "Of it for one turn of the main rotor.")


class SpringRow(Row):
    """What joins two parts."""

    first: str = asked("From", "A part of the table above.", "")
    second: str = asked("To", "Another one.", "")
    stiffness: Annotated[Reading | None, STIFFNESS] = asked("Stiffness", "In twist, at the first part's speed, with ±.")
    torque: Annotated[
        Reading | None, Entry(Torque, None, ("0.01 lbf*ft", "20000 lbf*ft"), ("1 lbf*ft", "2000 lbf*ft"))
    ] = asked("Or: torque put on", "By a weight on an arm, the second part held, with ±.")
    twist: Annotated[Reading | None, Entry(Angle, None, ("0.0001 deg", "180 deg"), ("0.01 deg", "60 deg"))] = asked(
        "Or: twist", "Of the first part against the second, with ±."
    )


class TorsionalModesSheet(Sheet):
    """Torsional modes of the whole drive."""

    order: ClassVar[int] = 35
    workings: ClassVar[int] = 70
    has_slow_part: ClassVar[bool] = True
    uses: ClassVar[tuple[str, ...]] = (
        "main_rotor.blades",
        "drive.engine_to_main_rotor",
        "drive.tail_to_main_rotor",
        *(f"main_rotor.lag.{name}" for name, *_ in LAG),
        "engine.rated_power",
        "engine.rated_speed",
    )
    needed: ClassVar[tuple[Needed, ...]] = (
        Needed(
            "First rotor turn", "a drive that the engine's firing shakes in twist breaks belts, shafts and gear teeth"
        ),
    )
    limits: ClassVar[dict[str, SheetLimit]] = {
        "margin": SheetLimit(
            Ratio,
            "margin to a torsional resonance",
            None,
            "how far outside the speeds in use a firing order may meet a mode, over the nearest end: only the low side",
        )
    }
    about: ClassVar[About] = About(
        title="Torsional modes",
        settles=(
            "Whether the engine's firing meets a torsional mode of the drive at the speeds in use, how close it comes, "
            "and how the parts then twist."
        ),
        when=(
            "Before the first run of a drive; after replacing engine, flywheel, belts, a coupling, a shaft or "
            "rotor blades."
        ),
        tools=("scales and a stopwatch (parts hung on two wires)", "weight, arm and a pointer (stiffness)", "drawings"),
        procedure=(
            "A row for each part that turns as a whole: inertia about its own axis, and its turns for one of the main "
            "rotor. The main rotor's row is its hub: the blades come from the aircraft file.",
            "A row for each shaft, belt or soft coupling between two of them: its stiffness at the first part's speed, "
            "or what a weight on an arm twisted it.",
            "The stiffness of a belt or a tube can also be calculated: rotorkit's site has the formulas under Drive.",
            "Give the lowest and the highest main-rotor speed under power, run-up left out.",
        ),
        sign_convention=(
            "Inertias and stiffnesses have no sign. A margin is how far outside the speeds in use the crossing lies, "
            "over the nearest end of them; below zero it lies within."
        ),
        cautions=(
            cautions.ENGINE_OFF,
            cautions.BELTS_AND_FINGERS,
            cautions.TURNING_ROTORS,
            cautions.ESTIMATE,
            *cautions.ALWAYS,
        ),
        not_covered=(
            "the crankshaft's own twist and its damper, which the engine's maker answers for",
            "play in splines, teeth and clutch; a belt whose slack run goes slack; damping",
            "how hard it shakes at a crossing: only damping decides that",
            "orders of the engine above 8, and cylinders that do not fire evenly",
            "a one-way clutch that runs free: engine and rotors are then two separate trains",
            "speeds passed on the run-up, except that they are named: go through them without staying",
        ),
    )
    exercises: ClassVar[tuple[Exercise, ...]] = (
        Exercise(
            name="firing",
            title="How often it fires",
            story="A {strokes}-stroke engine of {cylinders} cylinders turns at {speed}.",
            find="how often it fires in a second",
            unit="Hz",
            of=firing_frequency,
            given={"speed": Range("2,400 rpm", "2,800 rpm", "10 rpm"), "cylinders": "4", "strokes": "4"},
            hints=("Each cylinder fires once in two turns.", "Turns per second, times half the cylinders."),
        ),
        Exercise(
            name="referred",
            title="At another shaft's speed",
            story=(
                "A tail rotor of {inertia} makes {ratio} turns for one of the main rotor. What inertia does the "
                "main rotor's shaft feel?"
            ),
            find="the inertia at the main rotor's speed",
            unit="slug*ft^2",
            of=referred_inertia,
            given={
                "inertia": Range("0.080 slug*ft^2", "0.140 slug*ft^2", "0.002 slug*ft^2"),
                "ratio": Range("5.2", "6.6", "0.1"),
            },
            hints=("Energy goes with the square of the speed.", "Inertia times the ratio, times the ratio again."),
        ),
    )

    strokes: Annotated[str, Choice(options=("four-stroke", "two-stroke"))] = asked("Engine", default="four-stroke")
    cylinders: Annotated[str, Choice(options=CYLINDERS)] = asked(
        "Cylinders", "Firing evenly, one after the other.", "4"
    )
    piston_mass: Annotated[Reading | None, Entry(Mass, ("lb", "kg"), ("0.01 lb", "20 lb"), ("0.3 lb", "8 lb"))] = asked(
        "Piston, moving mass", "One piston with pin and a third of its rod, with ±; may stay empty."
    )
    stroke: Annotated[Reading | None, Entry(Length, ("in", "mm"), ("0.5 in", "12 in"), ("1.5 in", "6 in"))] = asked(
        "Stroke", "Of a piston, from end to end; with its mass."
    )
    slowest: Annotated[Reading | None, SPEED] = asked(
        "Slowest in use", "Main-rotor speed under power, the low end, with ±."
    )
    fastest: Annotated[Reading | None, SPEED] = asked(
        "Fastest in use", "Main-rotor speed under power, the high end, with ±."
    )
    discs: list[DiscRow] = rows("Parts that turn", "A row for each.")
    springs: list[SpringRow] = rows("What joins them", "A row for each.")

    @classmethod
    def start(cls, aircraft: Aircraft) -> dict[str, Any]:
        """A usual train: engine, belts, gearbox, both rotors."""
        names = ("engine", "jackshaft", "main rotor", "tail rotor")
        links = (("engine", "jackshaft"), ("jackshaft", "main rotor"), ("jackshaft", "tail rotor"))
        cylinders = aircraft.engine.cylinders
        return {
            **super().start(aircraft),
            **({"cylinders": str(cylinders)} if str(cylinders) in CYLINDERS else {}),
            "discs": [{"disc": one} for one in names],
            "springs": [{"first": one, "second": other} for one, other in links],
        }

    def parts(self, aircraft: Aircraft) -> list[Part]:
        """Every part's inertia and turns, every spring, and the speeds in use."""
        read = {row.disc.strip().casefold() for row in self.discs if None not in (row.inertia, row.turns)}
        rows = [row.disc.strip() for row in self.discs if row.disc.strip()]
        wanted = list(
            dict.fromkeys([*rows, *(n for n in ("engine", "main rotor", "tail rotor") if n not in _low(rows))])
        )
        found = [Part(f"inertia and turns of the {one}", one.casefold() in read) for one in wanted]
        for row in self.springs:
            if row.first.strip() and row.second.strip():
                done = row.stiffness is not None or None not in (row.torque, row.twist)
                found.append(Part(f"stiffness between {row.first.strip()} and {row.second.strip()}", done))
        return [*found, Part("speeds in use, slowest and fastest", None not in (self.slowest, self.fastest))]

    def _work(self, aircraft: Aircraft) -> Outcome:
        to = Working(self, aircraft)
        self._check(to)
        to.lead.append(ESTIMATED)
        if any(not part.done for part in self.parts(aircraft)):
            to.notes.append("The modes are worked when every part, what joins them and the speeds in use are there.")
            return to.outcome()
        names = sorted((row.disc.strip() for row in self.discs if row.disc.strip()), key=str.casefold)
        ratios = {row.disc.strip().casefold(): float(row.turns.si) for row in self.discs if row.turns is not None}
        lag = aircraft.main_rotor.lag
        assert lag is not None  # `uses` asks for it
        count = len(aircraft.main_rotor.blades)
        own = [measured(getattr(lag, name), kind, words) for name, kind, words in LAG]
        inertias, links, stiffnesses = self._referred(to, names, ratios)
        slow, fast = to.reading("slowest", "slowest in use"), to.reading("fastest", "fastest in use")
        inputs = [*own, *inertias, *stiffnesses]
        hub = next(i for i, name in enumerate(names) if name.casefold() == "main rotor")

        def train(figures: Sequence[Any]) -> TorsionalTrain:
            return _train(count, hub, names, links, figures)

        there = train([float(one.si) for one in inputs])
        middle = (float(slow.si) + float(fast.si)) / 2
        self._modes(to, train, there, inputs, middle)
        met = _meetings(there, self._orders(), ratios["engine"])
        judged = self._crossings(to, train, met, inputs, ratios["engine"], slow, fast)

        def rarer() -> None:
            self._others(to, there, ratios["engine"], count, float(slow.si), float(fast.si))
            self._shaken(to, there, ratios["engine"], names, middle)

        to.slowly("what comes more rarely, and how hard the engine shakes,", rarer)
        to.compare("Against the limit", judged)
        to.pictures += [
            self._fan(there, met, ratios["engine"], float(slow.si), float(fast.si)),
            self._shapes(there, middle),
        ]
        return to.outcome()

    def _check(self, to: Working) -> None:
        discs = [
            (i, row)
            for i, row in enumerate(self.discs)
            if row.disc.strip() or row.inertia is not None or row.turns is not None
        ]
        geared = {
            "main rotor": ("for the table counts by it", 1.0),
            "engine": ("as in the aircraft file's engine_to_main_rotor", to.aircraft.drive.engine_to_main_rotor.si),
            "tail rotor": ("as in the aircraft file's tail_to_main_rotor", to.aircraft.drive.tail_to_main_rotor.si),
        }
        for name, by_links in shaft_turns(to.aircraft).items():
            geared.setdefault(name.strip().casefold(), ("as the aircraft file's links make it", by_links))
        has = to.aircraft.engine.cylinders
        if has is not None and has != int(self.cylinders):
            to.problem("cylinders", f"must be {has}, as the aircraft file's [engine] says; got {self.cylinders}")
        for i, part in discs:
            if not part.disc.strip():
                to.problem(f"discs.{i}.disc", "is needed: what part is it")
            if part.disc.strip().casefold() == BLADES:
                to.problem(f"discs.{i}.disc", "comes from the aircraft file by itself: write the hub as main rotor")
            words, turns = geared.get(part.disc.strip().casefold(), ("", math.nan))
            if part.turns is not None and abs(part.turns.si / turns - 1) > SPEEDS_AGREE_WITHIN:
                to.problem(f"discs.{i}.turns", f"must be {turns:.5g}, {words}; got {part.turns.understood}")
        known = to.by_key("discs", discs, lambda row: row.disc.strip().casefold(), "disc", "each part stands once")
        pairs: dict[frozenset[str], int] = {}
        for i, row in enumerate(self.springs):
            ends = row.first.strip().casefold(), row.second.strip().casefold()
            readings = (row.stiffness, row.torque, row.twist)
            if not any(ends) and all(one is None for one in readings):
                continue
            for column, end in zip(("first", "second"), ends, strict=True):
                if end not in known:
                    there = ", ".join(shortened(one.disc.strip()) for _, one in discs) or "none"
                    to.problem(
                        f"springs.{i}.{column}", f"is no part of the table: it has {there}; got {shortened(end)}"
                    )
            if ends[0] == ends[1]:
                to.problem(f"springs.{i}.second", "joins a part with itself")
            if frozenset(ends) in pairs:
                where = pairs[frozenset(ends)] + 1
                to.problem(f"springs.{i}.second", f"the same two are in row {where}: add parallel springs together")
            pairs.setdefault(frozenset(ends), i)
            if row.stiffness is not None and (row.torque is not None or row.twist is not None):
                to.problem(f"springs.{i}.stiffness", "stands beside a torque and a twist: give one or the other")
            to.together(("torque", "twist"), "is needed: a torque belongs to its twist", row, f"springs.{i}.")
        if self.slowest is not None and self.fastest is not None and self.slowest.si >= self.fastest.si:
            to.problem("fastest", "must lie above the slowest")
        to.together(("piston_mass", "stroke"), "is needed: the pistons' mass and their stroke belong together")
        taken = [self.slowest, self.fastest, *(one for row in self.discs for one in (row.inertia, row.turns))]
        taken += [one for row in self.springs for one in (row.stiffness, row.torque, row.twist)]
        if not known or all(one is None for one in taken):
            to.problem("discs.0.inertia" if known else "discs", "needs a reading")
        to.settle()

    def _referred(
        self, to: Working, names: list[str], ratios: dict[str, float]
    ) -> tuple[list[Measured], list[tuple[str, str]], list[Measured]]:
        """Inertias by name and stiffnesses, all as they count at the main rotor's speed."""
        at = {row.disc.strip().casefold(): i for i, row in enumerate(self.discs) if row.disc.strip()}
        inertias = []
        for name in names:
            path = f"discs.{at[name.casefold()]}.inertia"
            own = _known(to, path, to.reading(path, f"inertia of the {name}"))
            ratio = measured(str(ratios[name.casefold()]), Ratio, f"turns of the {name}")
            inertias.append(to.work(f"{capital(name)} at the main rotor's speed", referred_inertia, own, ratio))
        cased = {name.casefold(): name for name in names}
        rows = [(i, row) for i, row in enumerate(self.springs) if row.first.strip()]
        rows.sort(key=lambda one: (one[1].first.strip().casefold(), one[1].second.strip().casefold()))
        links, stiffnesses = [], []
        for i, row in rows:
            one, other = (cased[end.strip().casefold()] for end in (row.first, row.second))
            said = f"{one} to {other}"
            if row.stiffness is not None:
                own = to.reading(f"springs.{i}.stiffness", f"stiffness, {said}")
            else:
                given = [to.reading(f"springs.{i}.torque", f"torque, {said}"),
                         to.reading(f"springs.{i}.twist", f"twist, {said}")]  # fmt: skip
                own = propagate(lambda torque, twist: torque / twist, TorsionalStiffness, given)
                to.step(
                    f"Stiffness, {said}",
                    [f"{say(given[0])} / {say(given[1])}"],
                    own,
                    ARITHMETIC.at("torque over twist"),
                )
            _known(to, f"springs.{i}.{'torque' if row.stiffness is None else 'stiffness'}", own)
            ratio = measured(str(ratios[one.casefold()]), Ratio, f"turns of the {one}")
            stiffnesses.append(to.work(f"{capital(said)}, at the main rotor's speed", referred_stiffness, own, ratio))
            links.append((one, other))
        to.settle()
        self._hang_together(to, names, links)
        return inertias, links, stiffnesses

    def _hang_together(self, to: Working, names: list[str], links: list[tuple[str, str]]) -> None:
        joined = {names[0]}
        while more := {b for pair in links for a, b in (pair, pair[::-1]) if a in joined} - joined:
            joined |= more
        if lost := [name for name in names if name not in joined]:
            to.problem("springs", f"no row leads from the {names[0]} to the {', the '.join(lost)}")
            to.settle()

    def _modes(self, to: Working, train: Any, there: TorsionalTrain, inputs: list[Measured], middle: float) -> None:
        shapes = there.modes(from_si(middle, _RATE))
        modes = range(1, min(len(there.names) - 1, MODES_SHOWN) + 1)

        def frequencies(*figures: Any) -> dict[str, Any]:
            found = train(figures).at(np.full(len(figures[0]), middle)) / (2 * math.pi)
            return {str(k): found[:, k - 1] for k in modes}

        worked = propagate_together(frequencies, {str(k): Frequency for k in modes}, inputs)
        for k in modes:
            found = worked[str(k)].shown_in("Hz")
            shape = shapes.shape(k)
            said = ", ".join(f"{name} {value:+.2f}" for name, value in sorted(shape.items()))
            to.step(f"Mode {k} at {_rpm(middle)}", [said], found, VIBRATION.at("free vibration of discs on springs"))
            to.tell(f"mode.{k}", f"Mode {k}: {_described(shape)}", found)

    def _orders(self) -> list[float]:
        """Of the crank: what an evenly firing engine has, its first two, and of one or two cylinders all up to 4."""
        first = float(self.cylinders) / (2 if self.strokes == "four-stroke" else 1)
        return [first * k for k in range(1, max(2, int(HARD / first)) + 1)]

    def _crossings(
        self, to: Working, train: Any, met: list[tuple[int, float, float]], inputs: list[Measured], ratio: float,
        slow: Measured, fast: Measured,
    ) -> list[Finding]:  # fmt: skip
        low, high = float(slow.si), float(fast.si)
        if not met:
            to.notes.append("No firing order meets any mode at any speed.")
            return []
        met = sorted(met, key=lambda one: outside(one[2], low, high))
        shown = [one for i, one in enumerate(met) if i == 0 or NEAR[0] * low <= one[2] <= NEAR[1] * high]
        limit, found = self.limit("margin", to.aircraft), []

        def critical(*figures: Any) -> dict[str, Any]:
            speeds = train(figures).crossings([mode for mode, *_ in shown], [order * ratio for _, order, _ in shown])
            return {str(i): one for i, one in enumerate(speeds)}

        worked = propagate_together(critical, {str(i): RotationRate for i in range(len(shown))}, inputs)
        for i, (mode, order, _) in enumerate(shown):
            at = worked[str(i)].shown_in("rpm")
            title = f"Order {order:g} of the engine meets mode {mode}"
            line = f"{order:g} × {ratio:g} × speed = frequency of mode {mode}"
            to.step(title, [line], at, VIBRATION.at("resonance: order times speed is the frequency"))
            to.tell(f"speed.{mode}.{order:g}", title, at)
            margin = propagate(outside, Ratio, [at, slow, fast], ("%", "%"))
            to.step(
                f"How far mode {mode} and order {order:g} meet outside {_rpm(low)} to {_rpm(high)}",
                [f"{say(at)}: over the nearest end"], margin,
                ARITHMETIC.at("share of the nearest end"),
            )  # fmt: skip
            named = f"Margin of order {order:g} to mode {mode}"
            found.append(to.judge(f"margin.{mode}.{order:g}", named, limit, margin, physical=CLEAR))
        inside = [(mode, order, speed) for mode, order, speed in shown if low <= speed <= high]
        for mode, order, speed in inside:
            to.lead.insert(
                0,
                f"The engine's firing (order {order:g}) shakes mode {mode} of the drive at {_rpm(speed)}, a speed in "
                "use: do not run it there.",
            )
        passed = sorted({speed for *_, speed in met if speed < low}, reverse=True)[:MODES_SHOWN]
        if passed:
            to.notes.append(
                f"On the run-up the engine passes a resonance at {', '.join(map(_rpm, passed))} of the main rotor: go "
                "through without staying, and engage clutch or belts as the manual says."
            )
        words = {one.verdict.word for one in found}
        if words & {OUT_OF_LIMITS, TOO_CLOSE}:
            to.say_to_do(
                "Do not run it there on these figures: ask the kit maker, who may change a coupling, belts or the "
                "speeds allowed; measure the softest spring again.",
                "margin",
            )
        return found

    def _others(self, to: Working, there: TorsionalTrain, ratio: float, blades: int, low: float, high: float) -> None:
        """What comes more rarely, or with one cylinder out, told where it meets a mode at the speeds in use."""
        main = self._orders()
        step = 0.5 if self.strokes == "four-stroke" else 1.0
        half = [step * k for k in range(1, round(main[0] / step))]
        above = [main[0] * k for k in range(len(main) + 1, int(HIGHEST / main[0]) + 1)]
        of_engine = _meetings(there, [*half, *above], ratio, low, high)
        of_rotor = _meetings(there, sorted({1.0, float(blades)}), 1.0, low, high)
        said = []
        for mode in range(1, len(there.names)):
            said += [
                f"order {order:g} of the engine meets mode {mode}"
                for m, order, _ in of_engine
                if m == mode and order in half
            ]
            said += [f"{order:g} a turn of the main rotor meets mode {mode}" for m, order, _ in of_rotor if m == mode]
        higher = [f"order {order:g} of the engine meets mode {mode}" for mode, order, _ in of_engine if order in above]
        if higher:
            to.notes.append(
                f"At the speeds in use {'; '.join(higher)}: firing has that order too, weaker than those judged here. "
                "Tell the kit maker."
            )
        if said:
            to.notes.append(
                f"At the speeds in use {'; '.join(said)}. An engine that fires evenly has none of its orders below "
                f"{main[0]:g}: one weak cylinder brings them, and the drive then shudders."
            )

    def _shaken(self, to: Working, there: TorsionalTrain, ratio: float, names: list[str], middle: float) -> None:
        """How large the firing orders are, and what of them each spring bears, far from resonance."""
        engine = to.aircraft.engine
        power, speed = measured(engine.rated_power, Power, "rated power"), float(engine.rated_speed.si)
        mean = float(power.si) / speed
        place = next(name for name in names if name.casefold() == "engine")
        for order in self._orders()[:2]:

            def swing(given: float, order: float = order) -> float:
                return self._swing(given / speed, speed, order)

            size = propagate(swing, Torque, [power])
            title = f"Swing of the engine's torque, order {order:g}"
            said = f"mean torque at rated power {say(from_si(mean, _TORQUE))}"
            to.step(title, [said], size, ARITHMETIC.at("ideal cycle over crank and rod"))
            to.tell(f"swing.{order:g}", title, size)
        # torque at the engine, referred to the main rotor: it counts as many times as the engine turns faster
        order = self._orders()[0]
        borne = there.shaken(place, ratio * self._swing(mean, speed, order), order * ratio * middle, middle)
        (one, other), worst = max(borne.items(), key=lambda pair: pair[1])
        if math.isfinite(worst):
            share = worst / (ratio * mean)
            to.notes.append(
                f"At {_rpm(middle)} order {order:g} swings the torque most between {one} and {other}: by "
                f"{say(from_si(share, _RATIO), '%', digits=2)} of the engine's mean torque, without damping (an "
                "estimate)."
            )
        if self.piston_mass is None:
            to.notes.append(
                "The pistons' own inertia is left out of the firing orders' size: give their mass and stroke. The "
                "margins do not depend on it."
            )

    def _swing(self, torque: float, speed: float, order: float) -> float:
        """Swing of one order, bare SI: the greatest of gas alone, pistons alone (throttle closed) and both."""
        strokes = 4.0 if self.strokes == "four-stroke" else 2.0
        cases = [(torque, 0.0, 0.0)]
        if self.piston_mass is not None and self.stroke is not None:
            moving = float(self.piston_mass.si), float(self.stroke.si)
            cases += [(torque, *moving), (0.0, *moving)]
        return max(
            float(engine_torque_orders.si(
                mean, speed, float(self.cylinders), strokes, COMPRESSION, ROD, mass, stroke, False, order
            ).of(order).magnitude)
            for mean, mass, stroke in cases
        )  # fmt: skip

    def _fan(
        self, there: TorsionalTrain, every: list[tuple[int, float, float]], ratio: float, low: float, high: float
    ) -> Chart:
        top = 1.3 * high
        speeds = np.linspace(0.02 * top, top, 41)
        found = there.at(speeds) / (2 * math.pi)
        rpm = [float(in_unit(one, "rpm", _RATE)) for one in speeds]
        ceiling = 1.15 * self._orders()[-1] * ratio * top / (2 * math.pi)
        curves = [
            Curve("modes" if k == 0 else "", rpm, [float(one) for one in found[:, k]])
            for k in range(found.shape[1])
            if found[0, k] < ceiling
        ]
        for k, order in enumerate(self._orders()):
            line = [order * ratio * float(one) / (2 * math.pi) for one in speeds]
            named = f"order {order:g} of the engine" if k < 2 else "its further firing orders" if k == 2 else ""
            curves.append(Curve(named, rpm, line, "second" if k == 0 else "third" if k == 1 else "fourth"))
        use = [float(in_unit(one, "rpm", _RATE)) for one in (low, high)]
        met = [(speed, order) for _, order, speed in every if 0.02 * top <= speed <= top]
        dots = Dots(
            "crossings",
            [float(in_unit(speed, "rpm", _RATE)) for speed, _ in met],
            [order * ratio * speed / (2 * math.pi) for speed, order in met],
        )
        return Chart(
            "Torsional modes, and the engine orders that shake them",
            "Main-rotor speed (rpm)",
            "Frequency (Hz)",
            curves,
            (Band("speeds in use", use, [0.0, 0.0], [ceiling, ceiling]),),
            (),
            (dots,) if met else (),
        )

    def _shapes(self, there: TorsionalTrain, middle: float) -> Chart:
        modes = there.modes(from_si(middle, _RATE))
        places = [float(k + 1) for k in range(len(there.names))]
        called = ", ".join(f"{k + 1} {name}" for k, name in enumerate(there.names))
        styles = ("main", "second", "third", "fourth")
        curves = [
            Curve(f"mode {k}", places, [float(one) for one in modes.shapes[k]], styles[k - 1])
            for k in range(1, min(len(there.names) - 1, MODES_SHOWN) + 1)
        ]
        return Chart(
            "How the parts twist in each mode, at the main rotor's speed",
            called,
            "Twist, the largest being 1",
            curves,
        )


def _known(to: Working, path: str, figure: Measured) -> Measured:
    """An inertia or a stiffness, refused where its ± is as large as itself: no mode follows from such a one."""
    if figure.expanded_si >= figure.si:
        to.problem(path, f"must be known better: {say(figure)} may as well be nothing, and no mode follows from that")
    return figure


def _meetings(
    there: TorsionalTrain, orders: Sequence[float], ratio: float, low: float = 0.0, high: float = math.inf
) -> list[tuple[int, float, float]]:
    """(mode, order, rotor speed) where they meet between two speeds, mode by mode. ratio: turns of what has the orders
    for one of the rotor."""
    pairs = [(mode, order) for mode in range(1, len(there.names)) for order in orders]
    if not pairs:
        return []
    speeds = there.crossings([mode for mode, _ in pairs], [order * ratio for _, order in pairs])
    return [
        (mode, order, float(speed))
        for (mode, order), speed in zip(pairs, speeds, strict=True)
        if math.isfinite(speed) and low <= speed <= high
    ]


def _train(
    count: int, hub: int, names: Sequence[str], links: Sequence[tuple[str, str]], figures: Sequence[Any]
) -> TorsionalTrain:
    """The train from bare figures, or many of them from arrays: `LAG`, then the parts' inertias, then the springs, all
    at the main rotor's speed."""
    mass, centre, offset, inertia, spring = figures[: len(LAG)]
    inertia = np.maximum(inertia, mass * centre**2)
    inertias = list(figures[len(LAG) : len(LAG) + len(names)])
    stiffnesses = figures[len(LAG) + len(names) :]
    inertias[hub] = hub_inertia_beside_lagging_blades.si(inertias[hub], count, mass, centre, offset, inertia)
    blades = lagging_blades_inertia.si(count, mass, centre, offset, inertia)
    still, turning = (
        lagging_blades_stiffness.si(count, spring, mass, centre, offset, inertia, speed) for speed in (0.0, 1.0)
    )
    ends = [*((names.index(one), names.index(other)) for one, other in links), (hub, len(names))]
    gains = [np.zeros_like(still)] * len(links) + [turning - still]
    return TorsionalTrain(
        (*names, BLADES),
        _columns([*inertias, blades]),
        tuple(ends),
        _columns([*stiffnesses, still]),
        _columns(gains),
    )


def _columns(figures: Sequence[Any]) -> Any:
    """Figures of one train, or of many, in the last axis."""
    return np.stack(np.broadcast_arrays(*figures), axis=-1).astype(float)


def _low(names: Sequence[str]) -> set[str]:
    return {name.casefold() for name in names}


def _described(shape: dict[str, float]) -> str:
    """A mode in words: what swings most, and against what."""
    most = max(shape, key=lambda name: abs(shape[name]))
    against = min(shape, key=lambda name: shape[name] * np.sign(shape[most]))
    most, against = (HUB if name.casefold() == "main rotor" else name for name in (most, against))
    return f"{most} against {against}"


def _rpm(speed: float) -> str:
    return say(from_si(float(speed), _RATE), "rpm", digits=4)
