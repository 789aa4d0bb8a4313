"""Compression: what each cylinder loses in the differential test with the right orifice, and how large a leak it is."""

from __future__ import annotations

from typing import Annotated, Any, ClassVar, Literal

from rotorkit import sources
from rotorkit.aircraft import Aircraft
from rotorkit.aircraft.entries import Choice, Entry, Reading, asked, required, rows
from rotorkit.engine import compression_loss, compression_orifice, equivalent_leak_diameter
from rotorkit.judging.limits import OUT_OF_LIMITS, TOO_CLOSE
from rotorkit.judging.measured import largest_less_smallest, measured
from rotorkit.quantities import GaugePressure, Length, Ratio, say
from rotorkit.sheets.base import NOT_LOOKED_AT, About, Needed, Outcome, Part, Row, Sheet, SheetLimit
from rotorkit.sheets.exercises import Exercise, Range
from rotorkit.sheets.working import Working, key_of, value_of
from rotorkit.sources import cautions

_INCHES = ("in", "mm")
_PSI = ("psi", "bar")
Orifice = Literal["not looked at", "0.040 in", "0.060 in"]
GAUGE = Entry(GaugePressure, _PSI, ("0 psi", "120 psi"), ("20 psi", "90 psi"))
ORIFICES = Choice(options=(NOT_LOOKED_AT, "0.040 in", "0.060 in"))


class CylinderRow(Row):
    """One cylinder."""

    cylinder: str = asked("Cylinder", 'Its number on the engine: "1".', "")
    reading: Annotated[Reading | None, GAUGE] = asked(
        "Cylinder gauge", "At top dead centre of the compression stroke, settled, with its ±."
    )


class Compression(Sheet):
    """Differential compression test of one engine."""

    order: ClassVar[int] = 20
    needed: ClassVar[tuple[Needed, ...]] = (
        Needed("First flight out of ground effect", "a cylinder that leaks gives less power, and points to a fault"),
    )
    limits: ClassVar[dict[str, SheetLimit]] = {
        "loss": SheetLimit(
            Ratio,
            "loss of compression",
            "%",
            "of each cylinder: only the high side; AC 43.13-1B treats more than 25 % as suspect",
        ),
        "spread": SheetLimit(GaugePressure, "difference between cylinders", "psi", "of the gauges: only the high side"),
    }
    about: ClassVar[About] = About(
        title="Compression",
        settles="How much each cylinder leaks against a known orifice, how large a leak that is, and which "
        "cylinder differs.",
        when="Warm, after the first hours; at each inspection that calls for it; when power is down.",
        tools=(
            "differential tester with the orifice for this bore",
            "clean dry air, regulated",
            "somebody at the rotor",
        ),
        procedure=(
            "Run the engine warm, shut down, ignition off and earthed, fuel off, one plug out of each cylinder.",
            "Bring the piston to the top of its compression stroke. From now on hold the crank: air turns it.",
            "Open the air slowly to the regulated pressure, rock the piston through the top to seat its rings, read.",
            "Listen: exhaust pipe, carburettor or breather tells you whether it is a valve or the rings.",
        ),
        sign_convention="A loss is positive: (regulated pressure minus cylinder pressure) divided by regulated "
        "pressure.",
        cautions=(cautions.AIR_TURNS_THE_CRANK, cautions.LIVE_IGNITION, *cautions.ALWAYS),
        not_covered=(
            "where the air goes: listen; the borescope; the engine maker's master orifice and its own limits",
        ),
    )
    exercises: ClassVar[tuple[Exercise, ...]] = (
        Exercise(
            name="loss",
            title="What leaks away",
            story=("The tester feeds {supply} into a cylinder at top dead centre; its second gauge shows {reading}."),
            find="the loss",
            unit="%",
            of=compression_loss,
            given={
                "reading": Range("56.0 psi", "70.0 psi", "0.5 psi"),
                "supply": "80 psi|5.5 bar",
            },
            hints=(
                "What is missing at the second gauge has leaked past the rings and valves.",
                "The missing pressure divided by the supply, times 100.",
            ),
        ),
    )

    bore: Annotated[Reading, Entry(Length, _INCHES, ("1 in", "10 in"), ("2 in", "7 in"))] = required(
        "Bore", "From the engine's manual, with its ±: it says which orifice is right."
    )
    orifice: Annotated[Orifice, ORIFICES] = asked(
        "Orifice of the tester",
        "0.040 in for a bore below 5.00 in (127 mm), else 0.060 in: it is marked on the tester.",
        NOT_LOOKED_AT,
    )
    supply: Annotated[Reading, Entry(GaugePressure, _PSI, ("20 psi", "120 psi"), ("78 psi", "82 psi"))] = asked(
        "Regulated gauge", "Held during the reading, with its ±.", "80 psi"
    )
    cylinders: Annotated[Reading, Entry(Ratio, ("", ""), ("1", "12"))] = required(
        "Cylinders", "How many the engine has."
    )
    rows: list[CylinderRow] = rows("Readings", "A row for each cylinder.")

    @classmethod
    def start(cls, aircraft: Aircraft) -> dict[str, Any]:
        """Rows for four cylinders."""
        return {**super().start(aircraft), "rows": [{"cylinder": str(i)} for i in range(1, 5)]}

    def parts(self, aircraft: Aircraft) -> list[Part]:
        """Every cylinder, and the orifice."""
        read = [row for row in self.rows if row.reading is not None]
        named = [row for row in self.rows if row.cylinder.strip()]
        found = [Part(f"cylinder {row.cylinder.strip()}", row.reading is not None) for row in named]
        lacking = round(self.cylinders.si) - max(len(named), len(read))
        if lacking > 0:
            found.append(Part(f"{lacking} more of the engine's cylinders", False))
        return [*found, Part("which orifice the tester has", self.orifice != NOT_LOOKED_AT)]

    def _work(self, aircraft: Aircraft) -> Outcome:
        to = Working(self, aircraft)
        rows = to.filled("rows", "reading")
        for i, row in rows:
            if not row.cylinder.strip():
                to.problem(f"rows.{i}.cylinder", "is missing: which cylinder is it")
            if row.reading.si > self.supply.si:
                to.problem(f"rows.{i}.reading", "is above the regulated gauge: check both gauges against each other")
        has = aircraft.engine.cylinders
        if self.cylinders.si % 1:
            to.problem("cylinders", "must be a whole number")
        elif has is not None and has != self.cylinders.si:
            to.problem(
                "cylinders", f"must be {has}, as the aircraft file's [engine] says; got {self.cylinders.understood}"
            )
        by_name = to.by_key("rows", rows, lambda row: key_of(row.cylinder).casefold(), "cylinder")
        bore = to.reading("bore", "bore", _INCHES)
        right = float(compression_orifice(self.bore.value).m_as("in"))
        if self.orifice != NOT_LOOKED_AT and abs(float(self.orifice.split()[0]) - right) > 1e-6:
            to.problem(
                "orifice",
                f"is the wrong orifice, and gives a misleading answer: a bore of {say(bore)} needs {right:.3f} in",
            )
        to.settle()
        if abs(float(bore.value.m_as("in")) - 5.0) <= float(bore.expanded.m_as("in")):
            to.asked.append(
                "The bore is so close to 5.00 in that its ± leaves open which orifice is right: see the manual."
            )
        supply = to.reading("supply", "regulated gauge", _PSI)
        cited = sources.AC_43_13_1B.at("8-14, change 1")
        orifice = measured(f"{right:.3f} in", Length, "orifice").shown_in(_INCHES)
        to.step("Orifice for this bore", [f"bore {say(bore)}: {right:.3f} in"], orifice, cited, told=True)
        readings, leaking, limit = [], [], self.limit("loss", aircraft)
        for i, row in by_name.values():
            name = row.cylinder.strip()
            reading = to.reading(f"rows.{i}.reading", f"cylinder {name}", _PSI)
            readings.append(reading)
            title = f"Cylinder {name}: loss"
            loss = to.work(title, compression_loss, reading, supply).shown_in(("%", "%"))
            verdict = to.judge(f"loss.{key_of(name)}", title, limit, loss).verdict
            if verdict.word in (OUT_OF_LIMITS, TOO_CLOSE):
                leaking.append(name)
            if self.orifice != NOT_LOOKED_AT and reading.si > 0:  # nothing held: no one hole stands for it
                leak = value_of(equivalent_leak_diameter, reading, orifice, supply).shown_in(_INCHES)
                title = f"Cylinder {name}: leak, as one hole"
                line = f"orifice {say(orifice)}, {say(supply)} before and {say(reading)} behind it: {say(leak)}"
                to.step(title, [line], leak, sources.CHOKED_FLOW.at("two nozzles in a row"))
                to.tell(f"leak.{key_of(name)}", title, leak)
        if len(readings) > 1:
            spread = largest_less_smallest(readings).shown_in(_PSI)
            ends = (pick(readings, key=lambda one: float(one.si)) for pick in (max, min))
            said = " and ".join(say(one) for one in ends)
            to.step("Between the cylinders", [f"largest and smallest, {said}"], spread, sources.DEFINITION.at("spread"))
            to.judge("spread", "Between the cylinders", self.limit("spread", aircraft), spread)
        if leaking:
            which = f"Cylinder {leaking[0]}" if len(leaking) == 1 else f"Cylinders {', '.join(leaking)}"
            to.say_to_do(
                f"{which}: rock the piston through the top, warm, and read again; then listen for where the air goes: "
                "exhaust pipe, carburettor or breather.",
                "loss.", "spread",
            )  # fmt: skip
        to.compare("Against the limits")
        return to.outcome()
