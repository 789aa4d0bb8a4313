"""Bearing life: rating life of a bearing with the aircraft's own duty, what of it is used, and when it is greased."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Annotated, Any, ClassVar

import numpy as np

from rotorkit.aircraft import Aircraft
from rotorkit.aircraft.drive_parts import DriveBearing
from rotorkit.aircraft.entries import Choice, Entry, asked, required, rows
from rotorkit.aircraft.links import MOST_OVER, bearing_turns
from rotorkit.drive import (
    BALL,
    ROLLER,
    bearing_life_at_reliability,
    bearing_life_hours,
    duty_cycle_load,
    duty_cycle_speed,
    equivalent_bearing_load,
)
from rotorkit.judging.limits import OUT_OF_LIMITS, TOO_CLOSE
from rotorkit.judging.measured import Measured, measured, propagate
from rotorkit.quantities import Force, Ratio, Reading, RotationRate, Time, from_si, required_kind, say
from rotorkit.sheets.base import AN_ESTIMATE, About, Needed, Outcome, Part, Row, Sheet
from rotorkit.sheets.exercises import Exercise, Range
from rotorkit.sheets.working import Working
from rotorkit.sources import ARITHMETIC, ISO_281, cautions

_FORCE, _RATE, _RATIO = map(required_kind, (Force, RotationRate, Ratio))
_POUNDS = ("lbf", "N")
LOAD = Entry(Force, _POUNDS, ("0 lbf", "100000 lbf"), ("1 lbf", "10000 lbf"))
HOURS = Entry(Time, ("h", "h"), ("0 h", "100000 h"), ("0 h", "10000 h"))
WHOLE = 0.005
"""By so much the shares of the time may miss one (rounded figures): half a per cent."""
ESTIMATED = (
    f"{AN_ESTIMATE}: nine out of ten such bearings reach this life if clean, greased and in line. Dirt, rust, a missed "
    "greasing or a misaligned shaft ends one long before."
)

LONGER = {
    OUT_OF_LIMITS: "Lessen its load, or fit a bearing with a higher rating.",
    TOO_CLOSE: "Find its loads to a smaller ±, or fit a bearing with a higher rating.",
}
"""What to do about a rating life: nothing on the bearing can be adjusted, and its life cannot be measured again."""


class DutyRow(Row):
    """One condition of the duty cycle."""

    condition: str = asked("Condition", "In words: hover, cruise, on the ground.", "")
    share: Annotated[Reading | None, Entry(Ratio, ("%", "%"), ("0 %", "100 %"))] = asked(
        "Share of the time", "All of them add up to 100 %, with ±."
    )
    radial: Annotated[Reading | None, LOAD] = asked(
        "Radial load", "Across the shaft: pull of belts, gears and weight, with ±."
    )
    axial: Annotated[Reading | None, Entry(Force, _POUNDS, ("0 lbf", "100000 lbf"), ("0 lbf", "10000 lbf"))] = asked(
        "Axial load", "Along the shaft, with ±; empty where there is none."
    )
    speed: Annotated[Reading | None, Entry(RotationRate, None, ("1 rpm", "60000 rpm"), ("100 rpm", "12000 rpm"))] = (
        asked("Speed", "Of one ring against the other, with ±; empty: as at the rotor's 100 %, by the drive's links.")
    )


class BearingLife(Sheet):
    """Life of one bearing of the drive."""

    order: ClassVar[int] = 40
    needed: ClassVar[tuple[Needed, ...]] = (
        Needed("End of the test phase", "a bearing that is worn out or dry takes its shaft with it", each="bearings"),
    )
    judged_by: ClassVar[tuple[str, ...]] = ("bearings.{bearing}.limits",)
    about: ClassVar[About] = About(
        title="Bearing life",
        settles=(
            "How long a drive bearing lasts by its rating, how much of that is used, and whether it is due for grease."
        ),
        when="When choosing or fitting a bearing; at each inspection; when loads, belt tension or speeds have changed.",
        tools=("the log of hours", "the bearing maker's table", "the grease that the manual names"),
        procedure=(
            "Write how the hours of a usual flight are shared between the conditions, each with its ±.",
            "Write the loads of each condition: a belt pulls with both its runs, a gear across and along the shaft.",
            "Take the hours run, and the hours since it was last greased, from the log.",
            "Turn the shaft by hand, engine off: replace a bearing that grates, rattles or ran warm on its own, "
            "whatever its hours.",
        ),
        sign_convention=(
            "Loads have no sign. The rating life is what 90 % of such bearings reach. The part used is hours run "
            "divided by it: 100 % is all of it."
        ),
        cautions=(
            cautions.ENGINE_OFF,
            cautions.BELTS_AND_FINGERS,
            cautions.TURNING_ROTORS,
            cautions.ESTIMATE,
            *cautions.ALWAYS,
        ),
        not_covered=(
            "the load on a bearing standing still, and shocks: its static rating C0",
            "speeds beyond its maker's limit, too little load, too tight or too loose a fit",
            "the grease itself: kind, amount, age; corrosion while the aircraft stands",
            "lives set by a manual in hours or years: they govern, however long the rating life",
        ),
    )
    exercises: ClassVar[tuple[Exercise, ...]] = (
        Exercise(
            name="hours",
            title="How long a bearing lasts",
            story=(
                "A ball bearing with a dynamic rating of {capacity} carries {load} at {speed}; for balls "
                "the exponent is {exponent}."
            ),
            find="its basic rating life",
            unit="h",
            of=bearing_life_hours,
            given={
                "capacity": Range("4,200 lb", "5,200 lb", "50 lb"),
                "load": Range("800 lb", "1,000 lb", "10 lb"),
                "speed": Range("2,400 rpm", "2,700 rpm", "10 rpm"),
                "exponent": "3",
            },
            hints=(
                "The rating is the load for a million turns.",
                "Rating divided by load, cubed, times a million turns; then divide by the turns in an hour.",
            ),
        ),
    )

    bearing: Annotated[str, Choice("bearings")] = required("Bearing", "As named in the aircraft file.")
    hours: Annotated[Reading | None, HOURS] = asked("Hours run", "Since it was new, from the log, with ±.")
    greased: Annotated[Reading | None, HOURS] = asked("Hours since greased", "From the log, with ±.")
    conditions: list[DutyRow] = rows("Duty", "A row for each condition of flight.")

    @classmethod
    def start(cls, aircraft: Aircraft) -> dict[str, Any]:
        """Three usual conditions."""
        usual = ("hover and climb", "cruise", "on the ground")
        return {**super().start(aircraft), "conditions": [{"condition": one} for one in usual]}

    def parts(self, aircraft: Aircraft) -> list[Part]:
        """The duty cycle whole, and both figures of the log."""
        shares = [row.share for row in self.conditions]
        return [
            Part("every condition's share of the time", bool(shares) and None not in shares),
            Part("hours run", self.hours is not None),
            Part("hours since greased", self.greased is not None),
        ]

    def _work(self, aircraft: Aircraft) -> Outcome:
        to = Working(self, aircraft)
        bearing = to.thing("bearing", aircraft.bearings, "bearing", "none: write [bearings.name] for each")
        turning = self._turning(to, bearing)
        rows = self._rows(to, bearing, turning)
        exponent = BALL if bearing.kind == "ball" else ROLLER
        shock = measured(bearing.shock, Ratio, "shock factor")
        loads, speeds, shares = [], [], []
        for i, row in rows:
            called = row.condition.strip() or f"row {i + 1}"
            loads.append(self._load(to, bearing, i, row, called))
            speeds.append(
                to.reading(f"conditions.{i}.speed", f"speed, {called}")
                if row.speed is not None or turning is None
                else turning
            )
            shares.append(to.reading(f"conditions.{i}.share", f"share, {called}"))
        n = len(rows)

        def parted(figures: Sequence[float]) -> tuple[Any, Any, Any]:
            at = np.array(figures[3 * n - n :])
            return list(figures[:n]), list(figures[n : 2 * n]), list(at / at.sum())

        def load_of(*figures: float) -> float:
            forces, rates, parts = parted(figures)
            return float(
                duty_cycle_load(
                    [from_si(one, _FORCE) for one in forces],
                    [from_si(one, _RATE) for one in rates],
                    [from_si(one, _RATIO) for one in parts],
                    exponent,
                ).magnitude
            )

        def speed_of(*figures: float) -> float:
            _, rates, parts = parted(figures)
            return float(
                duty_cycle_speed(
                    [from_si(one, _RATE) for one in rates], [from_si(one, _RATIO) for one in parts]
                ).magnitude
            )

        inputs = [*loads, *speeds, *shares]
        mean_load = propagate(load_of, Force, inputs).shown_in(_POUNDS)
        mean_speed = propagate(speed_of, RotationRate, inputs).shown_in("rpm")
        power = f"{exponent:.3g}"
        lines = [
            f"{say(a)} at {say(b)} for {say(c)} of the time" for a, b, c in zip(loads, speeds, shares, strict=True)
        ]
        title = "Load that wears it as much as the whole duty"
        to.step(title, [*lines, f"(Σ P^{power} n q / Σ n q)^(1/{power})"], mean_load, ISO_281.at("duty cycle"))
        to.step("Mean speed", ["Σ n q"], mean_speed, ARITHMETIC.at("mean over the time"))
        to.tell("load", title, mean_load)
        to.tell("speed", "Mean speed", mean_speed)
        # load and speed hang together, so that the life is worked from what was read, and shown with both
        given = [*inputs, measured(bearing.capacity, Force, "load rating"), shock]

        def life_of(*figures: float) -> float:
            *duty, capacity, factor = figures
            return float(bearing_life_hours.si(capacity, factor * load_of(*duty), speed_of(*duty), exponent))

        life = propagate(life_of, Time, given).shown_in("h")
        said = [f"load {say(mean_load)} times {say(shock)} for shocks", f"2π · 10⁶ (C / P)^{power} / ω = {say(life)}"]
        to.step("Rating life", said, life, ISO_281.at("life in hours"))
        word = to.judge("life", "Rating life", bearing.limits.life, life).verdict.word
        sure = to.work("Life that 99 of 100 reach", bearing_life_at_reliability, life, "99 %").shown_in("h")
        to.tell("life_99", "Life that 99 of 100 reach", sure)
        self._log(to, bearing, life, word)
        wear = np.array(
            [float(p.si) ** exponent * float(r.si) * float(q.si) for p, r, q in zip(loads, speeds, shares, strict=True)]
        )
        k = int(np.argmax(wear))
        if n > 1 and wear.sum() > 0:
            called = rows[k][1].condition.strip() or f"row {rows[k][0] + 1}"
            to.notes.append(f"Most of the wear, {100 * wear[k] / wear.sum():.0f} %, is from: {called}.")
        to.lead.append(ESTIMATED)
        to.compare("Against the limits")
        return to.outcome(f"{self.about.title}, {bearing.named}")

    def _turning(self, to: Working, bearing: DriveBearing) -> Measured | None:
        """Its speed at the main rotor's 100 %, by the shaft of the links that it sits on or its own turns; None where
        the file does not say it. What contradicts is refused."""
        turns, why = bearing_turns(bearing, to.aircraft.links, to.aircraft.belts)
        if why:
            to.problem("bearing", f"turns by the aircraft file as cannot be: {why}")
            to.settle()
        if turns is None or not to.aircraft.gives("main_rotor.speed"):
            return None
        rotor = measured(to.aircraft.main_rotor.speed, RotationRate, "main-rotor speed")
        return (rotor * turns).shown_in("rpm")

    def _rows(self, to: Working, bearing: DriveBearing, turning: Measured | None) -> list[tuple[int, DutyRow]]:
        rows = to.filled("conditions", "share", "radial", "axial", "speed")
        for i, row in rows:
            for name, words in (("share", "share of the time"), ("radial", "radial load"), ("speed", "speed")):
                if getattr(row, name) is None and (name != "speed" or turning is None):
                    none = "; 0 where there is none" if name != "speed" else ""
                    to.problem(f"conditions.{i}.{name}", f"is needed: the {words} of this condition{none}")
            if row.speed is not None and turning is not None and row.speed.si > MOST_OVER * float(turning.si):
                to.problem(
                    f"conditions.{i}.speed",
                    f"must be that of this bearing: by the aircraft file it turns at {say(turning)} when the main "
                    f"rotor is at 100 %; got {row.speed.understood}",
                )
            if row.axial is not None and row.axial.si > 0 and None in (bearing.radial_factor, bearing.axial_factor):
                to.problem(
                    f"conditions.{i}.axial",
                    "needs radial_factor and axial_factor of the bearing maker's table in the aircraft file",
                )
            if row.radial is not None and row.radial.si == 0 and (row.axial is None or row.axial.si == 0):
                to.problem(
                    f"conditions.{i}.radial", "must be above zero in one direction: nothing turns without any load"
                )
        total = sum(row.share.si for _, row in rows if row.share is not None)
        if not to.problems and abs(total - 1) > WHOLE:
            to.problem(
                f"conditions.{rows[-1][0]}.share",
                f"the shares of all conditions add up to {100 * total:.4g} %, not to 100 %",
            )
        to.settle()
        return rows

    def _load(self, to: Working, bearing: DriveBearing, i: int, row: DutyRow, called: str) -> Measured:
        """The equivalent load of one condition: never less than its radial load."""
        radial = to.reading(f"conditions.{i}.radial", f"radial load, {called}", _POUNDS)
        if row.axial is None or row.axial.si == 0 or bearing.radial_factor is None or bearing.axial_factor is None:
            return radial
        axial = to.reading(f"conditions.{i}.axial", f"axial load, {called}", _POUNDS)
        factors = (
            measured(bearing.radial_factor, Ratio, "radial factor"),
            measured(bearing.axial_factor, Ratio, "axial factor"),
        )
        both = to.work(f"Equivalent load, {called}", equivalent_bearing_load, radial, axial, *factors).shown_in(_POUNDS)
        if float(both.si) >= float(radial.si):
            return both
        return to.step(
            f"Equivalent load, {called}, at least the radial one",
            [f"{say(radial)} is more"],
            radial,
            ISO_281.at("P = F_r"),
        )

    def _log(self, to: Working, bearing: DriveBearing, life: Measured, word: str) -> None:
        due = [LONGER[word]] if word in LONGER else []
        if self.hours is not None:
            hours = to.reading("hours", "hours run", "h")
            used = propagate(lambda run, whole: run / whole, Ratio, [hours, life], ("%", "%"))
            title = "Part of the rating life used"
            to.step(title, [f"{say(hours)} / {say(life)}"], used, ARITHMETIC.at("share"))
            if to.judge("used", title, bearing.limits.used, used).verdict.word in (OUT_OF_LIMITS, TOO_CLOSE):
                due.append("Replace the bearing, or have it inspected by someone licensed to say that it may stay.")
        if self.greased is not None:
            greased = to.reading("greased", "hours since greased", "h")
            found = to.judge("greased", "Hours since greased", bearing.limits.greased, greased)
            if found.verdict.word in (OUT_OF_LIMITS, TOO_CLOSE):
                due.append("Grease it now, as the manual says, and log it.")
        if due:
            to.say_to_do(" ".join(due), "life", "used", "greased")
