"""Run-up: ignition drops, the switch, idle, oil pressure and temperatures of a ground run, against the limits."""

from __future__ import annotations

from typing import Annotated, Any, ClassVar, Literal

from rotorkit import sources
from rotorkit.aircraft import Aircraft
from rotorkit.aircraft.entries import Choice, Entry, Reading, Readings, asked, rows
from rotorkit.judging.limits import OUT_OF_LIMITS, TOO_CLOSE, UNDONE, Limit, Verdict
from rotorkit.judging.measured import Measured, largest_less_smallest
from rotorkit.quantities import GaugePressure, Ratio, RotationRate, Temperature, Time, say
from rotorkit.sheets.base import NOT_LOOKED_AT, About, Needed, Outcome, Part, Row, Sheet, SheetLimit, judge
from rotorkit.sheets.engine.recorded import (
    fingerprint_field,
    recording_field,
    say_recorded,
    stretch_field,
    was_wrong_field,
)
from rotorkit.sheets.exercises import Exercise, Range
from rotorkit.sheets.working import Working, capital, key_of, named
from rotorkit.sources import cautions

_RPM = ("rpm", "rpm")
_PSI = ("psi", "bar")
_F = ("°F", "°C")
_S = ("s", "s")
SPEED = Entry(RotationRate, _RPM, ("100 rpm", "12000 rpm"), ("500 rpm", "4000 rpm"), by="tachometer", repeats=True)
GAUGE = Entry(GaugePressure, _PSI, ("0 psi", "200 psi"), ("5 psi", "120 psi"))
STOPS: Literal["each ignition off: it stops firing"] = "each ignition off: it stops firing"
GOES_ON: Literal["an ignition fires on, switched off"] = "an ignition fires on, switched off"
ROUGH: Literal["rough"] = "rough"
SMOOTH: Literal["smooth"] = "smooth"
NEAR = "the speed of the check"
"""One place of the tachometer's scale: its own error is the same on both and on one, and cancels in the drop."""
LIVE = Limit("ignitions that fire on, switched off", Ratio, high="0", source="physics: a live engine may start by hand")

MISSES = Limit("runs rough", Ratio, high="0", source="physics: a cylinder that does not fire gives no power")


class Alone(Row):
    """One ignition alone."""

    ignition: str = asked("Ignition", 'The one that is left on: "left", "right", "battery".', "")
    both: Annotated[Readings | None, SPEED] = asked(
        "On both", "Settled, before this one is tried. Separate repeats with semicolons."
    )
    alone: Annotated[Readings | None, SPEED] = asked(
        "On this one", "Throttle untouched, settled; no longer than it takes."
    )
    runs: Annotated[Literal["not looked at", "smooth", "rough"], Choice(options=(NOT_LOOKED_AT, SMOOTH, ROUGH))] = (
        asked("It ran", "By ear and by the needle.", NOT_LOOKED_AT)
    )


class RunUp(Sheet):
    """Run-up of an engine on the ground."""

    order: ClassVar[int] = 40
    puts_right: ClassVar[dict[str, str]] = {
        "drop": "Look at plugs, leads and timing of the weaker ignition before it flies.",
        "difference": "Look at plugs, leads and timing of the weaker ignition before it flies.",
        "idle": "Set the idle as the engine's manual says, and read it again.",
        "oil_temperature": (
            "Bring the oil to the manual's temperature before full power; where it runs too warm, find out why "
            "before it flies."
        ),
        "oil_": "Stop it, and find out why before it is run again: oil level and kind, gauge, pump.",
        "head_temperature": "Let it cool, and look at baffles, mixture and timing before it is run again.",
    }
    reads_runs: ClassVar[bool] = True
    by_file: ClassVar[tuple[str, ...]] = ("fingerprint", "was_wrong")
    of_file: ClassVar[tuple[str, ...]] = ("recording", "check_stretch", "idle_stretch")
    needed: ClassVar[tuple[Needed, ...]] = (
        Needed("First hover", "you find a weak ignition or late oil pressure on the ground, or in the air"),
    )
    limits: ClassVar[dict[str, SheetLimit]] = {
        "drop": SheetLimit(RotationRate, "drop on one ignition", "rpm", "of engine speed: the high side"),
        "difference": SheetLimit(
            RotationRate, "difference of the drops", "rpm", "between the ignitions: the high side"
        ),
        "oil_rise": SheetLimit(Time, "time until there is oil pressure", "s", "after a start: the high side"),
        "oil_idle": SheetLimit(GaugePressure, "oil pressure at idle", "psi", "warm: the low side"),
        "oil_pressure": SheetLimit(GaugePressure, "oil pressure at speed", "psi", "warm, both sides"),
        "idle": SheetLimit(RotationRate, "idle", "rpm", "engine speed, warm, both sides"),
        "oil_temperature": SheetLimit(Temperature, "oil temperature", "°F", "before full power, both sides"),
        "head_temperature": SheetLimit(
            Temperature, "hottest cylinder head", "°F", "on the ground, at its greatest: the high side"
        ),
    }
    about: ClassVar[About] = About(
        title="Run-up",
        settles="Whether the engine runs on each ignition alone, whether the switch kills it, how soon oil pressure "
        "comes up, and whether idle, oil and head temperatures are where they should be.",
        when="At the first runs, after work on ignition, oil system, carburettor or linkage; for a new engine's book.",
        tools=("a pilot at the controls who may run it", "the panel's gauges, checked", "watch", "somebody who writes"),
        procedure=(
            "Tied down, into the wind, area clear, extinguisher manned. Start by the manual; time from first "
            "firing to oil pressure. If there is none within the manual's time, stop.",
            "Warm it up as the manual says before speed is raised.",
            "At the manual's speed for the check, rotor as the manual says: read on both, then on one, back to both "
            "until it has settled, then on the other. Throttle untouched.",
            "At idle: switch off for an instant. It must stop firing on each ignition, and on both.",
            "Read oil pressure at idle and at speed, oil and head temperature at their greatest. Cool down, stop.",
        ),
        sign_convention="A drop is positive: engine speed on both less engine speed on one.",
        cautions=(cautions.GROUND_RUN, cautions.LIVE_IGNITION, cautions.CARBON_MONOXIDE, *cautions.ALWAYS),
        not_covered=(
            "full power, governor and correlator: they are tried by a pilot with the rotor at its speed",
            "clutch, belts and overrunning clutch; carburettor heat and its drop; the charging system",
            "why a drop is large: plug, lead, timing, mixture. look into no drop at all as carefully as into a "
            "large one",
        ),
    )

    exercises: ClassVar[tuple[Exercise, ...]] = (
        Exercise(
            name="drop",
            title="The drop on one ignition",
            story=(
                "On both ignitions the engine turns {alone.0.both}. With the right one switched off, throttle "
                "untouched, it settles at {alone.0.alone}."
            ),
            find="the drop on the left ignition alone",
            unit="rpm",
            figure="drop.left",
            given={
                "alone.0.both": Range("1960 rpm", "2080 rpm", "1 rpm"),
                "alone.0.alone": Range("1800 rpm", "1848 rpm", "1 rpm"),
            },
            hints=("Start from the speed on both ignitions.", "Subtract the speed on one."),
        ),
        Exercise(
            name="between",
            title="One ignition beside the other",
            story=(
                "Run-up: on both {alone.0.both}, on the left alone {alone.0.alone}; on both again {alone.1.both}, on "
                "the right alone {alone.1.alone}."
            ),
            find="by how much the two drops differ",
            unit="rpm",
            figure="difference",
            digits=2,
            given={
                "alone.0.both": Range("2000 rpm", "2008 rpm", "1 rpm"),
                "alone.0.alone": Range("1950 rpm", "1962 rpm", "1 rpm"),
                "alone.1.both": Range("2009 rpm", "2015 rpm", "1 rpm"),
                "alone.1.alone": Range("1880 rpm", "1905 rpm", "1 rpm"),
            },
            hints=(
                "First the drop of each, from what it turned on both just before.",
                "Then subtract the smaller from the larger.",
            ),
        ),
    )

    tachometer: Annotated[str, Choice("instruments", measures="rotor speed")] = asked("Tachometer", default="")
    ignitions: Annotated[Literal["two", "one"], Choice(options=("two", "one"))] = asked(
        "How many ignitions", "That the engine has.", "two"
    )
    alone: list[Alone] = rows("On one ignition", "A row for each ignition.")
    switch: Annotated[
        Literal["not looked at", "each ignition off: it stops firing", "an ignition fires on, switched off"],
        Choice(options=(NOT_LOOKED_AT, STOPS, GOES_ON)),
    ] = asked("Switch", "At idle, off for an instant, each by itself.", NOT_LOOKED_AT)
    idle: Annotated[Readings | None, SPEED] = asked("Idle", "Engine speed, warm, throttle closed. With ±, or repeats.")
    oil_rise: Annotated[Reading | None, Entry(Time, _S, ("0 s", "10 min"), ("1 s", "60 s"))] = asked(
        "Oil pressure came after", "From the first firing until the needle rises, with ±."
    )
    oil_idle: Annotated[Reading | None, GAUGE] = asked("Oil pressure at idle", "Warm, with the gauge's ±.")
    oil_pressure: Annotated[Reading | None, GAUGE] = asked(
        "Oil pressure at speed", "Warm, at the speed of the ignition check, with ±."
    )
    oil_temperature: Annotated[Reading | None, Entry(Temperature, _F, ("-40 °F", "400 °F"), ("60 °F", "260 °F"))] = (
        asked("Oil temperature", "Before speed is raised to full power, with the gauge's ±.")
    )
    head_temperature: Annotated[Reading | None, Entry(Temperature, _F, ("-40 °F", "700 °F"), ("150 °F", "500 °F"))] = (
        asked("Hottest head", "The hottest cylinder at its greatest, with the gauge's ±.")
    )
    recording: str = recording_field()
    check_stretch: str = stretch_field("Ignitions tried", "From settled on both to settled on both again.")
    idle_stretch: str = stretch_field("At idle", "Warm, throttle closed.")
    fingerprint: str = fingerprint_field()
    was_wrong: str = was_wrong_field()

    @classmethod
    def start(cls, aircraft: Aircraft) -> dict[str, Any]:
        """A row for each of two ignitions."""
        return {**super().start(aircraft), "alone": [{"ignition": "left"}, {"ignition": "right"}]}

    def parts(self, aircraft: Aircraft) -> list[Part]:
        """Every ignition, the switch, and every gauge."""
        rows = [row for row in self.alone if row.ignition.strip()]
        found = []
        if self.ignitions == "one":  # the only one has nothing to drop from
            rows = []
        elif len(rows) < 2:
            found.append(Part("drop on the other ignition" if rows else "drop on each ignition", False))
        for row in rows:
            name = row.ignition.strip()
            found.append(Part(f"drop on the {name} ignition", _whole(row)))
            found.append(Part(f"how it ran on the {name} ignition", row.runs != NOT_LOOKED_AT))
        found.append(Part("whether the switch stops each ignition", self.switch != NOT_LOOKED_AT))
        for field in ("idle", "oil_rise", "oil_idle", "oil_pressure", "oil_temperature", "head_temperature"):
            title = str(type(self).model_fields[field].title)
            found.append(Part(title[:1].lower() + title[1:], getattr(self, field) is not None))
        return found

    def _work(self, aircraft: Aircraft) -> Outcome:
        to = Working(self, aircraft)
        rows = [(i, row) for i, row in enumerate(self.alone) if row.both is not None or row.alone is not None]
        for i, row in rows:
            if not row.ignition.strip():
                to.problem(f"alone.{i}.ignition", "is missing: which ignition was left on")
            for name, words in (("both", "speed on both"), ("alone", "speed on this one")):
                if getattr(row, name) is None:
                    to.problem(f"alone.{i}.{name}", f"is missing: a drop needs the {words}")
                to.mixed(f"alone.{i}.{name}", getattr(row, name))
        to.by_key("alone", rows, lambda row: key_of(row.ignition).casefold(), "ignition")
        to.mixed("idle", self.idle)
        gauges = ("oil_rise", "oil_idle", "oil_pressure", "oil_temperature", "head_temperature", "idle")
        seen = self.switch != NOT_LOOKED_AT or any(row.runs != NOT_LOOKED_AT for row in self.alone)
        if not rows and not seen and all(getattr(self, name) is None for name in gauges):
            to.problem("alone.0.both" if self.alone else "alone", "needs a reading")
        to.settle()
        self._switch(to)
        self._drops(to, rows)
        if self.idle is not None:
            idle = to.mean(self.idle, "idle", RotationRate, to.instrument("tachometer"), unit=_RPM)
            to.judge("idle", "Idle", self.limit("idle", aircraft), idle)
        for name, unit in (
            ("oil_rise", _S), ("oil_idle", _PSI), ("oil_pressure", _PSI), ("oil_temperature", _F),
            ("head_temperature", _F),
        ):  # fmt: skip
            if getattr(self, name) is not None:
                title = str(type(self).model_fields[name].title)
                figure = to.reading(name, title[:1].lower() + title[1:], unit)
                to.judge(name, title, self.limit(name, aircraft), figure)
                if name in ("oil_idle", "oil_pressure") and float(figure.si) <= float(figure.expanded_si):
                    at = "idle" if name == "oil_idle" else "speed"
                    to.lead.append(
                        f"At {at} there is no oil pressure beyond the gauge's ±: stop, and do not run it again "
                        "until the cause is found."
                    )
        say_recorded(to, self)
        to.compare("Against the limits")
        return to.outcome()

    def _switch(self, to: Working) -> None:
        """Whether an ignition stays live: that leads, whatever else was read."""
        if self.switch == NOT_LOOKED_AT:
            return
        live = self.switch == GOES_ON
        said = "one or more" if live else "none"
        settle = "find the broken earth lead or the bad switch" if live else ""
        to.seen("switch", "Ignitions that fire on, switched off", live, LIVE, said, settle)
        if live:
            to.lead.append(
                "An ignition fires on with its switch off: the engine is live. Nobody touches blades, fan or belts "
                "before its earth is repaired."
            )

    def _drops(self, to: Working, rows: list[tuple[int, Alone]]) -> None:
        pooled = to.pool([group for _, row in rows for group in (row.both, row.alone)], RotationRate, _RPM)
        limit, drops, meter = self.limit("drop", to.aircraft), [], to.instrument("tachometer")
        for _, row in rows:
            name = row.ignition.strip()
            both, alone = (
                to.mean(readings, f"engine speed, {words} {name}", RotationRate, meter, NEAR, pooled, _RPM)
                for readings, words in ((row.both, "both before"), (row.alone, "on"))
                if readings is not None
            )
            title = f"{capital(name)} ignition: drop"
            drop = (both - alone).shown_in(_RPM)
            to.step(title, [f"{say(both)} less {say(alone)} = {say(drop)}"], drop, sources.DEFINITION.at("drop"))
            drops.append(drop)
            key = f"drop.{key_of(name)}"
            if float(drop.si) > float(drop.expanded_si):
                to.judge(key, title, limit, drop)
            else:
                self._no_drop(to, key, title, limit, drop)
        names = [row.ignition.strip() or "one" for row in self.alone if row.runs == ROUGH]
        for key, name in {key_of(name).casefold(): name for name in names}.items():
            settle = "find the plug or lead that does not fire"
            to.seen(f"rough.{key}", f"{capital(name)} ignition: how it ran", True, MISSES, ROUGH, settle)
            to.lead.append(
                f"On the {name} ignition it ran rough: a plug or lead that does not fire, whatever the drop."
            )
        if len(drops) > 1:
            spread = largest_less_smallest(drops).shown_in(_RPM)
            line = f"largest less smallest: {say(spread)}"
            to.step("Between the ignitions", [line], spread, sources.DEFINITION.at("spread"))
            to.judge("difference", "Between the ignitions", self.limit("difference", to.aircraft), spread)

    def _no_drop(self, to: Working, key: str, title: str, limit: Limit | None, drop: Measured) -> None:
        """No drop for certain: one ignition may have been on that was thought off, so it is in no limits. It leads."""
        if float(drop.si) + float(drop.expanded_si) < 0:
            said = "it runs faster on one than on both. Were both on, and was the throttle left alone?"
        else:
            said = "there is no drop to speak of. Was the other really off? Check that the switch stops each one."
        to.lead.append(f"{title}: {said}")
        judged = judge(named(limit, title), drop, title)
        if judged.word in (OUT_OF_LIMITS, TOO_CLOSE):
            to.found(key, title, judged)
            return
        sentence = f"{title}: {say(drop)}; {UNDONE}"
        to.found(key, title, Verdict(UNDONE, drop, judged.limit, sentence, "find out why it does not drop, read again"))


def _whole(row: Alone) -> bool:
    return row.both is not None and row.alone is not None
