"""Orders of a vibration recording: once a turn and its multiples, and which part each line of the spectrum is."""

from __future__ import annotations

import math
import re
from collections.abc import Container, Mapping, Sequence
from dataclasses import dataclass
from typing import Annotated, Any, ClassVar

import numpy as np

from rotorkit import sources
from rotorkit.aircraft import Aircraft
from rotorkit.aircraft.derived import drive_cycles
from rotorkit.aircraft.entries import Choice, Entry, asked, rows
from rotorkit.drive import blade_passage_frequency
from rotorkit.edges.visible import in_a_line
from rotorkit.judging.limits import IN_LIMITS, OUT_OF_LIMITS, UNDONE, Limit, Verdict
from rotorkit.judging.measured import Measured, measured
from rotorkit.pictures.data import Chart, Curve, Point
from rotorkit.quantities import (
    Angle,
    Frequency,
    QuantityError,
    Ratio,
    Reading,
    RotationRate,
    Speed,
    Time,
    from_si,
    in_unit,
    required_kind,
    say,
)
from rotorkit.quantities.errors import shortened
from rotorkit.quantities.parts import whole_number
from rotorkit.sheets.balance.arrows import VIBRATION
from rotorkit.sheets.base import About, Finding, Needed, Outcome, Part, Row, Sheet, SheetError, SheetLimit
from rotorkit.sheets.exercises import Exercise, Range
from rotorkit.sheets.working import Working, key_of
from rotorkit.sources import cautions
from rotorkit.vibration import (
    SpeedSpectra,
    drive_lines,
    names_at,
    one_turn_from_text,
    spectra_from_text,
    too_near,
    velocity_from_displacement,
)

SHAKES = Entry(Speed, ("in/s", "mm/s"), ("0 in/s", "100 in/s"), ("0 in/s", "5 in/s"))
TURNS = Entry(RotationRate, None, ("0 rpm", "6000 rpm"), exact=True)
OUTPUT = Entry(Ratio, ("", ""), ("-1000000", "1000000"))
NOT_NAMED = "no part in the list turns at this rate"
OR = ", or "
TALLEST = 2.5
"""How tall the largest figure stands in the picture of spectra over the speed, as distances between two of them."""
STYLES = ("second", "third", "fourth", "fifth")
USUAL = (0.75, 1.25)
"""Between these shares of its 100 % speed a rotor is recorded: beyond, pulses are miscounted (common practice, no
source)."""
STEADY = 0.1
"""How much the speed may change over a recording, as a share of its mean, whose lines are to be judged: beyond, they
smear and an order is a mean over the speeds (common practice, no source)."""


class OrderRead(Row):
    """One order of the main rotor."""

    order: str = asked("Times a turn", "1 for once a turn of the main rotor, 2 for twice.", "")
    amplitude: Annotated[Reading | None, SHAKES] = asked("Amplitude", "Peak, with its ±.")
    phase: Annotated[Reading | None, Entry(Angle, None, ("-360 deg", "360 deg"))] = asked(
        "Phase", "None where the amplitude is below its own uncertainty."
    )


class LineRead(Row):
    """One line of the spectrum."""

    frequency: Annotated[Reading | None, Entry(Frequency, ("Hz", "Hz"), ("0 Hz", "20000 Hz"))] = asked(
        "Frequency", "Where it stands in the spectrum, with half a step of it as ±."
    )
    amplitude: Annotated[Reading | None, SHAKES] = asked("Amplitude", "Peak.")


class OtherPart(Row):
    """A part that turns and that the aircraft file does not give."""

    name: str = asked("Part", "cooling fan, alternator, accessory belt.", "")
    ratio: Annotated[Reading | None, Entry(Ratio, ("", ""), ("0.01", "1000"), ("0.1", "100"), exact=True)] = asked(
        "Cycles a turn", "For each turn of the main rotor; behind a belt, which slips, with its ±: 10.3 ± 0.1."
    )


class VibrationOrders(Sheet):
    """Orders and lines of a vibration recording."""

    order: ClassVar[int] = 60
    puts_right: ClassVar[dict[str, str]] = {
        "": "Do not fly on with it: look at that part by the manual, balance or replace it, and record again.",
    }
    reads_vibration: ClassVar[bool] = True
    by_file: ClassVar[tuple[str, ...]] = (
        "length",
        "resolution",
        "stood_out",
        "slowest",
        "fastest",
        "one_turn",
        "run_up",
        "fingerprint",
        "not_judged_by",
        "was_wrong",
        "orders",
        "lines",
    )
    of_file: ClassVar[tuple[str, ...]] = ("recording", "place")
    needed: ClassVar[tuple[Needed, ...]] = (
        Needed(
            "End of the test phase",
            "a growing line warns of a bearing, coupling or fan before it breaks",
            where_limited=True,
        ),
    )
    limits: ClassVar[dict[str, SheetLimit]] = {
        "once": SheetLimit(Speed, "vibration once a turn of the main rotor", "in/s", "only the high side"),
        "blades": SheetLimit(Speed, "vibration once for each blade", "in/s", "only the high side"),
        "line": SheetLimit(Speed, "any other line of the spectrum", "in/s", "only the high side"),
    }
    uses: ClassVar[tuple[str, ...]] = (
        "main_rotor.blades",
        "main_rotor.speed",
        "tail_rotor.blades",
        "drive.engine_to_main_rotor",
        "drive.tail_to_main_rotor",
    )
    about: ClassVar[About] = About(
        title="Orders of a vibration recording",
        settles="How much the main rotor shakes once per turn and at its multiples, and which part every other "
        "line belongs to.",
        when="When something shakes and nobody knows what; at every larger inspection, to compare with the last time.",
        tools=(
            "accelerometer with a recorder: a file of CSV, WAV or NumPy",
            "tachometer with one mark on the main rotor, recorded beside it",
        ),
        procedure=(
            "Fasten the pick-up where the manual says, its axis noted; one mark on the rotor for the tachometer.",
            "At rest, write down what the numbers show with the axis up, and turned over: gravity calibrates it.",
            "Record half a minute or more at steady speed; put the file into the working folder.",
            "Say once what the columns are, then press the button Recording: it fills in the rest.",
        ),
        sign_convention="Amplitudes are peaks of velocity. Phase is how far the rotor has gone past the mark when the "
        "peak comes, times the order.",
        cautions=(cautions.TURNING_AT_SPEED, *cautions.ALWAYS),
        not_covered=(
            "what is wrong with the part that a line belongs to: a line tells which part turns at that rate, not why "
            "it shakes",
            "gear teeth: add them as parts, teeth times turns; bearings and belts whose turns the aircraft file lacks",
            "belts slip: what is behind one is known to one per cent or so",
            (
                "what shakes faster than half the samples a second: unless a filter before the recorder takes it off,"
                " it shows as a line where nothing turns, or on the line of another part"
            ),
        ),
    )

    exercises: ClassVar[tuple[Exercise, ...]] = (
        Exercise(
            name="blades_passing",
            title="Where the blades' line stands",
            story="A rotor of {blades} blades turns {rotation_rate}. Each blade shakes the cabin once as it passes.",
            find="the frequency at which the blades pass",
            unit="Hz",
            of=blade_passage_frequency,
            given={"rotation_rate": Range("420 rpm", "540 rpm", "1 rpm"), "blades": Range("2", "4", "1")},
            hints=("How many turns in a second?", "Each turn brings every blade past once."),
        ),
        Exercise(
            name="velocity_of_a_shake",
            title="From how far to how fast",
            story=(
                "A line of the spectrum stands at {frequency}. The panel moves {displacement} to each side of its "
                "middle, as a sine."
            ),
            find="the greatest speed at which the panel moves",
            unit="in/s",
            of=velocity_from_displacement,
            given={
                "displacement": Range("0.0040 in", "0.0080 in", "0.0001 in"),
                "frequency": Range("7.0 Hz", "9.5 Hz", "0.1 Hz"),
            },
            hints=(
                "A sine is a point going round a circle, seen from the side: how far is it once round?",
                "It goes round once each cycle: multiply by the cycles per second.",
            ),
        ),
    )

    recording: str = asked(
        "Recording", 'Name of the file in the working folder: .csv, .wav, .npy. "Recording", above, reads it.', ""
    )
    place: str = asked("Pick-up", "Where it sits, its axis, and what was flown.", "")
    unit: Annotated[str, Choice(options=("g", "m/s^2", "in/s", "mm/s"))] = asked(
        "Numbers of the recording are", "Of a WAV, a share of full scale: calibrate it with gravity.", "g"
    )
    column: str = asked("Column of the vibration", "Counted from 0, or its name; a channel.", "1")
    pulses: str = asked("Column of the pulses", "Counted from 0, or its name; a channel.", "2")
    per_turn: str = asked("Pulses a turn", "With more than one, the phase cannot be used for balancing.", "1")
    rate: Annotated[Reading | None, Entry(Frequency, ("Hz", "Hz"), ("1 Hz", "1000000 Hz"), exact=True)] = asked(
        "Samples a second", "Only where the file has no times of its own in column 0."
    )
    upright: Annotated[Reading | None, OUTPUT] = asked(
        "At rest, axis up", "What the numbers show, with ±, to calibrate by gravity."
    )
    turned_over: Annotated[Reading | None, OUTPUT] = asked("At rest, axis down", "Turned over.")
    doubt: Annotated[Reading | None, Entry(Ratio, ("%", "%"), ("0 %", "100 %"))] = asked(
        "Uncertainty of the calibration", "From the pick-up's own certificate; k = 2."
    )
    speed: Annotated[Reading | None, Entry(RotationRate, None, ("20 rpm", "3000 rpm"), ("200 rpm", "800 rpm"))] = asked(
        "Main-rotor speed", "Mean over the recording, by its pulses."
    )
    length: Annotated[Reading | None, Entry(Time, ("s", "s"), ("0.1 s", "100000 s"), exact=True)] = asked(
        "Length of the recording", "By its samples and their rate."
    )
    resolution: Annotated[Reading | None, Entry(Frequency, ("Hz", "Hz"), ("0.0001 Hz", "100 Hz"), exact=True)] = asked(
        "Resolution of the spectrum", "Hz between two of its figures."
    )
    stood_out: Annotated[Reading | None, Entry(Ratio, ("", ""), ("0", "1000"))] = asked(
        "Lines that stood out", "How many; each has a row below."
    )
    slowest: Annotated[Reading | None, TURNS] = asked("Slowest turn", "By its pulses.")
    fastest: Annotated[Reading | None, TURNS] = asked("Fastest turn", "By its pulses.")
    one_turn: str = asked("Mean of all turns", "For its picture: mm/s at even angles from the mark.", "")
    run_up: str = asked("Spectra over the speed", "For their picture, where the speed changed: mm/s.", "")
    fingerprint: str = asked("Fingerprint of the file", "SHA-256: tells this file from every other.", "")
    not_judged_by: str = asked("Why nothing is judged by it", "What is not in the recording.", "")
    was_wrong: str = asked("What was read, and what was wrong", default="")
    orders: list[OrderRead] = rows("Orders", "Of the main rotor.")
    lines: list[LineRead] = rows("Lines", "The largest of the spectrum.")
    others: list[OtherPart] = rows("Other parts that turn", "Besides rotors and engine.")

    looked_ahead: ClassVar[tuple[str, ...]] = ("order.", "line.")

    @classmethod
    def of_one_series(cls, readings: Mapping[str, Any]) -> tuple[str, str] | None:
        """Recordings by the same pick-up at a steady speed; one file is one recording, however often it was saved."""
        try:
            steady = cls.from_readings(readings)._is_steady()
        except SheetError:
            return None
        place = " ".join(str(readings.get("place", "") or "").casefold().split())
        return (place, str(readings.get("fingerprint", "") or "").strip()) if steady else None

    @classmethod
    def known_by(cls, readings: Mapping[str, Any], findings: Sequence[Finding]) -> list[str | LineTold]:
        """An order by its key; a line by the parts that it was named for, and by how often it comes in a turn."""
        there = cls._turns_of_lines(readings)
        told: list[str | LineTold] = []
        for finding in findings:
            turns = there.get(finding.key) or _turns_of_key(finding.key)
            told.append(finding.key if turns is None else LineTold(finding.key, *turns, _names_in(finding.title)))
        return told

    @classmethod
    def _turns_of_lines(cls, readings: Mapping[str, Any]) -> dict[str, tuple[float, float]]:
        """How often each line comes in a turn of the main rotor, and how well that is known, by its key."""
        try:
            read = cls.from_readings(readings)
        except SheetError:
            return {}
        if read.speed is None or read.resolution is None or not read.speed.si > 0:
            return {}
        speed = measured(read.speed, RotationRate, "speed")
        a_turn, off = float(speed.si) / math.tau, float(speed.expanded_si) / float(speed.si)
        lines = [row.frequency for row in read.lines if row.frequency is not None and row.amplitude is not None]
        turns = [float(one.si) / a_turn for one in lines]
        near = [float(read.resolution.si + measured(one, Frequency, "line").expanded_si) / a_turn for one in lines]
        half = [math.hypot(one, off * each) for one, each in zip(near, turns, strict=True)]
        return {key: (each, far) for key, each, far in zip(keys_of_lines(turns), turns, half, strict=True)}

    @classmethod
    def same_figures(cls, of: Sequence[str | LineTold], among: Sequence[str | LineTold]) -> list[int | None]:
        """A line is known again by its part; where nobody names it, or the part has another name now, by turning as
        fast, as well as both are known. What two lines could be it is none of them."""
        places = {one: i for i, one in enumerate(among) if isinstance(one, str)}
        found = [places.get(one) if isinstance(one, str) else None for one in of]
        new, old = ([(i, one) for i, one in enumerate(every) if isinstance(one, LineTold)] for every in (of, among))
        of_all = [frozenset[str]().union(*(one.names for _, one in every)) for every in (new, old)]

        def by_name(one: LineTold, other: LineTold) -> bool:
            return bool(one.names) and one.names == other.names

        def by_turns(one: LineTold, other: LineTold) -> bool:
            others = bool(one.names and other.names) and not one.names & other.names
            if others and (one.names & of_all[1] or other.names & of_all[0]):
                return False  # two parts: what one is called there, or here, the other is not
            return abs(one.turns - other.turns) <= math.hypot(one.half, other.half) + 1e-9

        for alike in (lambda one, other: by_name(one, other) and by_turns(one, other), by_name, by_turns):
            pairs = [(i, j) for i, one in new for j, other in old if alike(one, other)]
            for i, j in pairs:
                if sum(i == one for one, _ in pairs) == sum(j == one for _, one in pairs) == 1:
                    found[i] = j
            new = [(i, one) for i, one in new if found[i] is None]
            old = [(j, one) for j, one in old if j not in found]
        return found

    @classmethod
    def start(cls, aircraft: Aircraft) -> dict[str, Any]:
        """Once a turn, and once for each blade."""
        blades = len(aircraft.main_rotor.blades)
        return {**super().start(aircraft), "orders": [{"order": str(one)} for one in dict.fromkeys((1, blades))]}

    def parts(self, aircraft: Aircraft) -> list[Part]:
        """Once a turn and once for each blade; lines of the spectrum, with what names them."""
        there = {_order(row) for row in self.orders if row.amplitude is not None}
        wanted = dict.fromkeys((1, len(aircraft.main_rotor.blades)))
        found = [Part(f"{one} a turn of the main rotor", one in there) for one in wanted]
        lines = sum(row.frequency is not None and row.amplitude is not None for row in self.lines)
        wanted_lines = 1 if self.stood_out is None else max(1, int(self.stood_out.si))
        named = self.speed is not None and self.resolution is not None
        return [
            *found,
            Part("every line that stood out of the spectrum", lines >= wanted_lines),
            Part("rotor speed and resolution, to name them by", named),
            *([] if self._is_steady() else [Part("a recording at one speed, to judge by", done=False)]),
            *([] if self._turns_as_usual(aircraft) else [Part("the main rotor's own pulses, to judge by", done=False)]),
            *([Part("a recording that is whole, to judge by", done=False)] if self.not_judged_by.strip() else []),
        ]

    def _turns_as_usual(self, aircraft: Aircraft) -> bool:
        """Whether the main rotor turned so fast that the pulses may be its own, one for one."""
        share = None if self.speed is None else float(self.speed.si) / float(aircraft.main_rotor.speed.si)
        return share is None or USUAL[0] <= share <= USUAL[1]

    def _is_steady(self) -> bool:
        """Whether the rotor turned at one speed, as far as the recording told."""
        if self.slowest is None or self.fastest is None:
            return True
        return self.fastest.si - self.slowest.si <= STEADY * (self.fastest.si + self.slowest.si) / 2

    def _work(self, aircraft: Aircraft) -> Outcome:
        to = Working(self, aircraft)
        orders, lines = self._orders(to), self._lines(to)
        parts = self._parts(to, aircraft)
        if self.per_turn.strip() and not whole_number(self.per_turn):
            to.problem("per_turn", f"needs a whole number of pulses, 1 or more; got {shortened(self.per_turn)}")
        turn, spectra = self._reduced(to)
        to.settle()
        if self.not_judged_by.strip():
            to.lead.append(in_a_line(self.not_judged_by.strip()))
        if not self._is_steady():
            assert self.slowest is not None
            assert self.fastest is not None
            to.lead.append(
                f"The rotor went from {say(self.slowest.value, 'rpm')} to {say(self.fastest.value, 'rpm')}: an order "
                "here is a mean over the speeds and lines smear. Look at the spectra over the speed, and record again "
                "at one speed to judge by."
            )
        for order, (i, row) in orders.items():
            size = to.reading(f"orders.{i}.amplitude", f"{order} a turn", VIBRATION)
            title, limit = f"Main rotor, {order} a turn", None
            if order == 1:
                limit = self.limit("once", aircraft)
            if order == len(aircraft.main_rotor.blades):
                limit = self.limit("blades", aircraft)
            to.judge(f"order.{order}", title, limit, size, aside=order not in (1, len(aircraft.main_rotor.blades)))
            if row.phase is not None:
                to.tell(f"phase.{order}", f"Phase, {order} a turn", to.reading(f"orders.{i}.phase", "phase", "deg"))
        if self.speed is not None and self.resolution is not None:
            self._speed(to, aircraft)
            off = {name: share for name, (_, share) in drive_cycles(aircraft).items()} | self._slips()
            known = drive_lines(to.reading("speed", "main-rotor speed", "rpm"), parts, off)
            self._name(to, lines, known, set(orders), aircraft)
        to.pictures += self._picture(to, lines)
        if turn is not None:
            to.pictures.append(self._turn(to, turn))
        if spectra is not None:  # of a run-up it is the picture to look at first: where there is room for one, this
            to.pictures.insert(0, self._waterfall(to, spectra, parts))
        to.compare("Orders and lines")
        if self.was_wrong.strip():
            to.notes.append(self.was_wrong.strip())
        return to.outcome()

    def _reduced(self, to: Working) -> tuple[np.ndarray | None, SpeedSpectra | None]:
        """What the recording left for pictures: one turn, and spectra over the speed."""
        turn, spectra = None, None
        try:
            if self.one_turn.strip():
                turn = one_turn_from_text(self.one_turn)
        except QuantityError as problem:
            to.problem("one_turn", str(problem))
        try:
            if self.run_up.strip():
                spectra = spectra_from_text(self.run_up)
        except QuantityError as problem:
            to.problem("run_up", str(problem))
        return turn, spectra

    def _turn(self, to: Working, turn: np.ndarray) -> Chart:
        """One turn of the rotor, the mean of all."""
        unit = VIBRATION[to.system == "metric"]
        degrees = [360 * k / len(turn) for k in range(len(turn) + 1)]
        speeds = [float(in_unit(one / 1000, unit, Speed)) for one in [*turn, turn[0]]]
        return Chart(
            "One turn of the main rotor, mean of all", "degrees past the mark", f"velocity, {unit}",
            [Curve("what belongs to this rotor", degrees, speeds)],
        )  # fmt: skip

    def _waterfall(self, to: Working, spectra: SpeedSpectra, parts: Mapping[str, float]) -> Chart:
        """Spectra one behind the other, each at its speed, with the lines of parts that move with it."""
        unit = VIBRATION[to.system == "metric"]
        largest = float(spectra.velocities.max()) or 1.0
        apart = (spectra.rpm[-1] - spectra.rpm[0]) / (len(spectra.rpm) - 1)
        end = float(spectra.hertz[-1])
        xs, ys = [0.0], [float(spectra.rpm[0])]
        for rpm, sizes in zip(spectra.rpm, spectra.velocities, strict=True):
            xs += [0.0, *spectra.hertz, end, 0.0]
            ys += [rpm, *(rpm + TALLEST * apart * sizes / largest), rpm, rpm]
        shown = say(from_si(largest / 1000, Speed), unit, digits=2)
        curves = [Curve(f"spectra, the tallest {shown}", xs, [float(one) for one in ys])]
        wanted = (
            "main rotor, 1 a turn", f"main rotor, {len(to.aircraft.main_rotor.blades)} a turn", "tail rotor, 1 a turn",
            "engine, 1 a turn",
        )  # fmt: skip
        for name, style in zip(dict.fromkeys(wanted), STYLES, strict=False):
            ends = [float(rpm) for rpm in (spectra.rpm[0], min(spectra.rpm[-1], 60 * end / parts[name]))]
            if ends[1] > ends[0]:
                curves.append(Curve(name, [parts[name] * one / 60 for one in ends], ends, style))
        return Chart("Spectra over the rotor's speed", "frequency, Hz", "main-rotor speed, rpm", curves)

    def _orders(self, to: Working) -> dict[int, tuple[int, Any]]:
        rows = to.filled("orders", "amplitude", "phase")
        for i, row in rows:
            if not _order(row):
                to.problem(f"orders.{i}.order", f"needs a whole number, 1 or more, got {shortened(row.order)}")
            if row.amplitude is None:
                to.problem(f"orders.{i}.amplitude", "is needed with its phase")
        found = to.by_key("orders", rows, _order, "order", "each order stands once")
        to.settle()
        return dict(sorted(found.items()))

    def _lines(self, to: Working) -> list[tuple[int, Any]]:
        rows: list[tuple[int, Any]] = []
        for i, row in enumerate(self.lines):
            if row.frequency is None and row.amplitude is None:
                continue
            both = ("frequency", "amplitude")
            to.together(both, "is needed: a line has a frequency and an amplitude", row, f"lines.{i}.")
            rows.append((i, row))
        to.settle()
        return sorted(rows, key=lambda one: one[1].frequency.si)

    def _parts(self, to: Working, aircraft: Aircraft) -> dict[str, float]:
        """Cycles for each turn of the main rotor, by name."""
        found = {name: cycles for name, (cycles, _) in drive_cycles(aircraft).items()}
        for i, row in enumerate(self.others):
            if row.ratio is None and not row.name.strip():
                continue
            if row.ratio is None or not row.name.strip():
                missing = "ratio" if row.ratio is None else "name"
                to.problem(f"others.{i}.{missing}", "is needed: a part has a name and its cycles a turn")
            elif row.name.strip() in found:
                to.problem(f"others.{i}.name", "stands twice")
            else:
                found[row.name.strip()] = float(row.ratio.si)
        return found

    def _slips(self) -> dict[str, float]:
        """By which share the lines of the other parts may lie off: what stands as ± of their cycles."""
        read = {row.name.strip(): measured(row.ratio, Ratio, "cycles") for row in self.others if row.ratio is not None}
        return {name: float(one.expanded_si / one.si) for name, one in read.items()}

    def _speed(self, to: Working, aircraft: Aircraft) -> None:
        """A speed at which the rotor hardly turned: then none of the orders is the rotor's."""
        assert self.speed is not None
        if not self._turns_as_usual(aircraft):
            share = float(self.speed.si) / float(aircraft.main_rotor.speed.si)
            to.lead.append(
                f"The pulses say {say(self.speed.value, 'rpm')}, {100 * share:.0f} % of the main rotor's speed. Unless "
                "it turned so, every other pulse was lost or the pulses a turn are wrong, and no order here is the "
                "rotor's."
            )

    def _name(
        self,
        to: Working,
        lines: list[tuple[int, Any]],
        known: dict[str, Measured],
        orders: set[int],
        aircraft: Aircraft,
    ) -> None:
        assert self.resolution is not None
        resolution, limit = float(self.resolution.si), self.limit("line", aircraft)
        cited = sources.DEFINITION.at("ratios of the drive")
        of_orders = {1: "once", len(aircraft.main_rotor.blades): "blades"}
        judged = {
            f"main rotor, {one} a turn": self.limit(key, aircraft) for one, key in of_orders.items() if one in orders
        }
        unnamed, worst = [], []
        a_turn = float(known["main rotor, 1 a turn"].si)
        keys = keys_of_lines([float(row.frequency.si) / a_turn for _, row in lines])
        for (i, _), key in zip(lines, keys, strict=True):
            at = to.reading(f"lines.{i}.frequency", "frequency of the line", "Hz")
            names = names_at(float(at.si), resolution + float(at.expanded_si), known)
            said = OR.join(names) if names else NOT_NAMED
            size = to.reading(f"lines.{i}.amplitude", f"line at {say(at.value, 'Hz', digits=4)}", VIBRATION)
            title = f"Line at {say(at.value, 'Hz', digits=4)}: {said}"
            turns = float(at.si) / a_turn
            to.step(title, [f"{say(at)} is {turns:.4g} for a turn of the main rotor"], size, cited)
            # an order that has a limit of its own is judged above by its own figure, unless another part turns alike
            own = bool(names) and set(names) <= set(judged)
            as_order = [judged[one] for one in names if one in judged]
            while any(one.key == key for one in to.findings):
                key += "_too"  # the same line twice
            if own:
                found = to.tell(key, title, size)
            elif as_order and (open_word := _either(limit, as_order, names, judged, size)):
                found = to.found(key, title, open_word)
            else:
                found = to.judge(key, title, limit, size, name="the line", aside=True)
            if not names:
                unnamed.append(say(at.value, "Hz", digits=4))
            if found.verdict.word == OUT_OF_LIMITS and not own:
                worst.append(said if names else f"what turns at {say(at.value, 'Hz', digits=4)}")
        if worst:
            to.say_to_do(f"Look at: {'; '.join(dict.fromkeys(worst))}.", "line.")
        if unnamed:
            to.notes.append(
                f"{', '.join(unnamed)}: {NOT_NAMED}. Add the parts that are missing, or think of a resonance: it stays "
                "where it is when the speed changes."
            )
        to.notes += [pair.in_words for pair in too_near(known, resolution)]

    def _picture(self, to: Working, lines: list[tuple[int, Any]]) -> list[Chart]:
        """The lines over their frequency, one stroke each."""
        unit, speed = VIBRATION[to.system == "metric"], required_kind(Speed)
        if not lines:
            return []
        xs, ys, points = [0.0], [0.0], []
        for _, row in lines:
            at, size = float(row.frequency.si), float(in_unit(row.amplitude.si, unit, speed))
            xs += [at, at, at]
            ys += [0.0, size, 0.0]
            points.append(Point(say(row.frequency.value, "Hz", digits=4), at, size))
        curve = Curve("lines", [*xs, 1.1 * xs[-1]], [*ys, 0.0])
        return [Chart("Lines of the spectrum", "frequency, Hz", f"amplitude, {unit}", [curve], (), points)]


def _either(
    limit: Limit | None, as_order: Sequence[Limit | None], names: Sequence[str], judged: Container[str], size: Measured
) -> Verdict | None:
    """The verdict of a line that may be the rotor's own or another part's, where that decides: what the order's own
    limit allows and the line's does not, or where the order has no limit. None where the line's limit decides."""
    if limit is None or limit.word(size) == IN_LIMITS:
        return None
    if all(one is not None and one.word(size) == OUT_OF_LIMITS for one in as_order):
        return None  # too much for either
    rotor, other = (OR.join(one for one in names if (one in judged) == is_rotor) for is_rotor in (True, False))
    said = (
        f"the line: {say(size)} may be allowed if it is that of {rotor}, and is not surely allowed ({limit.text}) if "
        f"it is that of {other}: {UNDONE}"
    )
    return Verdict(
        UNDONE, size, limit, said, f"find out which it is, {rotor} or {other}: a longer recording, or another speed"
    )


def keys_of_lines(turns: Sequence[float]) -> list[str]:
    """The keys of lines' figures, by how often each comes in a turn of the main rotor, which neither the day's speed
    nor a part's name changes: to a tenth, and as much finer as keeps lines apart that are nearer than that.

    >>> keys_of_lines([1.0, 5.12, 5.08, 7.5])
    ['line.1_0_a_turn', 'line.5_12_a_turn', 'line.5_08_a_turn', 'line.7_5_a_turn']
    """
    found = []
    for turn in turns:
        said = f"{turn:.1f}"
        for digits in range(1, 7):
            said = f"{turn:.{digits}f}"
            if sum(f"{one:.{digits}f}" == said for one in turns) == 1:
                break
        found.append(f"line.{key_of(said)}_a_turn")
    return found


@dataclass(frozen=True)
class LineTold:
    """A line of an entry, by what it is known again: the key of its figure, how often it comes in a turn of the main
    rotor with how far that may be off, and the parts that it was named for."""

    key: str
    turns: float
    half: float
    names: frozenset[str]


def _turns_of_key(key: str) -> tuple[float, float] | None:
    """How often a line comes in a turn, by the key of its figure, to half its last digit; None if it is no line's."""
    found = re.fullmatch(r"line\.(\d+)_(\d+)_a_turn(?:_too)*", key)
    return None if found is None else (float(f"{found[1]}.{found[2]}"), 0.5 * 10.0 ** -len(found[2]))


def _names_in(title: str) -> frozenset[str]:
    """The parts in the title of a line's figure."""
    said = title.partition(": ")[2]
    return frozenset() if said in ("", NOT_NAMED) else frozenset(said.split(OR))


def _order(row: Any) -> int:
    """The order of a row; 0 where it is none."""
    return whole_number(row.order) or 0
