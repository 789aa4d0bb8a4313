"""What sheets that read a cable tension gauge share: the field that goes with it, the tension, the cable's slope."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

from rotorkit import sources
from rotorkit.aircraft import Aircraft, Cable, Instrument
from rotorkit.aircraft.entries import Entry, Readings
from rotorkit.formula import Line
from rotorkit.formula.notation import latex_text
from rotorkit.judging.measured import Measured, combine, measured
from rotorkit.quantities import (
    Force,
    ForcePerTemperature,
    QuantityError,
    Ratio,
    Stiffness,
    Temperature,
    ThermalExpansion,
    from_si,
    read,
    required_kind,
    say,
)
from rotorkit.rigging import (
    CalibrationTable,
    axial_stiffness_from_stretch_factor,
    cable_construction,
    calibration_table_for,
    interpolated_tension,
    material,
    stiffness_felt_by_one_run,
    tension_from_gauge,
    tension_slope,
    tension_slope_rigid_structure,
)
from rotorkit.sheets.base import Sheet
from rotorkit.sheets.working import Working

QUESTION_SCATTER = 0.10
"""Repeats that lie further apart than this share of their mean are asked about (common practice, no source)."""
EVERYDAY = ("-20 °F", "120 °F")
"""Temperatures that an airframe may well meet."""


def _read_today(field: str) -> dict[str, Any]:
    """That another check of the same cable has the same reading of the same day, for its entry."""
    places = (f"cable_tension.{field}", f"cable_rigging.{field}", f"tension_trend.days.{field}")
    return {"given_by": places, "for_a_day": True}


DIAL = Entry(Ratio, ("", ""), ("0", None), by="gauge", repeats=True, **_read_today("dial"))
SHOWN = Entry(
    Force, ("lbf", "N"), ("0 lb", "2000 lb"), ("5 lb", "400 lb"), by="gauge", repeats=True, **_read_today("tension")
)
AIRFRAME = Entry(
    Temperature, ("°F", "°C"), ("-60 °F", "160 °F"), EVERYDAY, by="thermometer", **_read_today("temperature")
)


@dataclass(frozen=True)
class Slope:
    """Change of tension per degree. steepest: the largest it can be, where it is known by bounds only. share: the
    part of it that arrives then, a ratio from nothing to all, of one origin with `value`."""

    value: Measured
    how: str
    steepest: Measured | None = None
    share: Measured | None = None


def cable_used(picked: Mapping[str, Any], aircraft: Aircraft, strength: bool = False) -> list[str]:
    """The figures of the cable that is picked without which its slope cannot be told, nor, with strength, what breaks
    it: the file's slope, or what it is worked out from."""
    cable = aircraft.cables.get(str(picked.get("cable", "")))
    if cable is None or (cable.slope is not None and not strength):
        return []
    names = ["diameter", "construction", "steel"]
    if cable.slope is None:
        names += ["airframe_material", *(["length"] if cable.airframe_stiffness is not None else [])]
    return [f"{cable.place}.{name}" for name in names]


def share_not_known() -> Measured:
    """The part of a rigid airframe's change of tension that arrives in one that gives way, nobody knows how far."""
    kind = required_kind(Ratio)
    half = from_si(0.5, kind)
    return measured(half, Ratio, "airframe stiffness not known", half, stated_as="bounds")


class CableWork(Working):
    """One working of a sheet whose fields cable, gauge and riser say what is read with what."""

    def __init__(self, sheet: Sheet, aircraft: Aircraft) -> None:
        super().__init__(sheet, aircraft)
        self.cable: Cable = self.thing("cable", aircraft.cables, "cable")
        self.gauge: Instrument = sheet.instrument("gauge", aircraft)
        self.table = self._table() if self.gauge.tables else None

    # the tension as read

    def _table(self) -> CalibrationTable | None:
        """The gauge's table for riser and cable; None, and the riser noted, where it has none."""
        if not self.sheet.riser.strip():
            known = ", ".join(dict.fromkeys(table.riser for table in self.gauge.tables))
            self.problem("riser", f"is missing: the gauge's table has {known}")
            return None
        tables, diameter = self.gauge.calibration_tables(), self.cable.diameter.typed
        try:
            return calibration_table_for(tables, self.gauge.serial, self.sheet.riser, diameter)
        except QuantityError as problem:
            self.problem("riser", str(problem))
            return None

    def readings_of(self, given: Any, at: str = "") -> Readings | None:
        """The readings of the field that goes with the gauge, of the sheet or of a row of it (at: "days.2.").

        Noted where that field is empty, the other one is filled in, or a reading lies outside the table.
        """
        name, other = ("dial", "tension") if self.gauge.tables else ("tension", "dial")
        kept: Readings | None = getattr(given, name)
        if getattr(given, other) is not None:
            what = (
                "reads divisions, through its table" if name == "dial" else "has no table and shows the tension itself"
            )
            self.problem(f"{at}{other}", f"must be empty: {self.gauge.named} {what}")
        if kept is None:
            what = "the dial's reading, such as 27.5" if name == "dial" else "the tension shown, such as 35 lb"
            self.problem(f"{at}{name}", f"is missing: {self.gauge.named} needs {what}")
        self.mixed(f"{at}{name}", kept)
        if self.table is not None:
            for reading in kept or ():
                try:
                    self.table.bracket(reading.si)
                except QuantityError as problem:
                    self.problem(f"{at}dial", str(problem).removeprefix("dial reading: "))
        return kept

    def _mean_of(self, readings: Readings, day: str) -> Measured:
        kind, what = (Ratio, "dial reading") if self.table is not None else (Force, "tension shown")
        label = f"{what} ({self.gauge.named})"
        # the gauge's own error does not average out, and holds its resolution
        mean = self.mean(readings, f"the {what}{day}", kind, self.gauge, "this reading", label=label, own_step=False)
        values = [reading.si for reading in readings]
        if max(values) - min(values) > QUESTION_SCATTER * abs(float(mean.si)):
            self.asked.append(
                "The repeats are more than a tenth apart: work the controls through their range, look for friction at "
                "pulleys and fairleads, and read again."
            )
        return mean

    def tension_of(self, readings: Readings, day: str = "") -> Measured:
        """The tension that repeats stand for: their mean, through the gauge's table where it has one. day: when they
        were read, where there are several: ", 2026-05-31"."""
        mean = self._mean_of(readings, day)
        if self.table is None:
            return mean
        table = self.table
        tension = tension_from_gauge(table, mean, self.gauge.serial, self.sheet.riser, self.cable.diameter.typed)
        below = table.bracket(float(mean.si))
        rows = [str(table.readings[i]) for i in (below, below + 1)]
        forces = [Measured(table.tensions_si[i], Force) for i in (below, below + 1)]
        step = interpolated_tension.worked(mean, *rows, *forces)
        title = f"Tension from the dial, between two rows of the table of {table.named}{day}"
        if tension.standard_si == step.value.standard_si:
            self.steps.append(replace(step, title=title, value=tension))
            return tension
        text = f"with the gauge's own ±: {say(tension)}"
        line = Line("step", latex_text(text), text)
        self.steps.append(replace(step, title=title, written=lambda *_: [*step.lines, line], value=tension))
        return tension

    # the slope

    def slope_of_cable(self) -> Slope:
        """Change of tension per degree, as the aircraft file gives it or lets it be worked out."""
        cable = self.cable
        if cable.slope is not None:
            given = measured(cable.slope, ForcePerTemperature, "slope of the aircraft file")
            return Slope(given, f"The change of tension per degree is that of the aircraft file, {say(given)}.")
        factor = cable_construction(cable.construction, cable.steel)
        structure, wire = (
            self._expansion(cable.airframe_material, "the airframe"),
            self._expansion(cable.steel, "the cable"),
        )
        axial = self.work(
            f"Axial stiffness of a {cable.construction} cable of {cable.steel}",
            axial_stiffness_from_stretch_factor,
            cable.diameter,
            factor.stretch_factor,
        )
        if cable.airframe_stiffness is not None:
            stiffness = measured(cable.airframe_stiffness, Stiffness, "airframe stiffness")
            runs = str(cable.runs_tightened_together)
            felt = self.work("Airframe stiffness that one run meets", stiffness_felt_by_one_run, stiffness, runs)
            value = self.work("Change of tension per degree", tension_slope, structure, wire, cable.length, axial, felt)
            return Slope(
                value,
                f"The change of tension per degree, {say(value)}, is worked out from materials and stiffnesses. The "
                "manual's chart, or tensions you measured at two temperatures, are better: write the result into the "
                "aircraft file as slope.",
            )
        rigid = self.work(
            "Change of tension per degree, if the airframe were rigid",
            tension_slope_rigid_structure,
            structure,
            wire,
            axial,
        )
        share = share_not_known()
        value = combine(
            float(rigid.si) * float(share.si),
            ForcePerTemperature,
            [rigid, share],
            [float(share.si), float(rigid.si)],
            rigid.unit,
        )
        line = f"half of it; anything from zero to all of it is equally likely: {say(value)}"
        cited = sources.ARITHMETIC.at("bounds of structure and cable as springs in series")
        self.step("Change of tension per degree", [line], value, cited)
        return Slope(
            value,
            "The aircraft file gives neither slope nor airframe_stiffness for this cable: the change of tension per "
            f"degree lies between zero and that of a rigid airframe, {say(rigid)}, and half of that is used. "
            "Read the tension at two temperatures and write the slope into the aircraft file.",
            rigid,
            share,
        )

    def _expansion(self, name: str, of: str) -> Measured:
        """A material's expansion, with how far an unnamed alloy of its family may lie from it."""
        found = material(name)
        value, low, high = (read(text, ThermalExpansion).si for text in (found.expansion, found.low, found.high))
        reach = max(value - low, high - value)
        around = from_si(reach, ThermalExpansion) if reach else None
        label = f"expansion of {of}, {name}"
        return measured(found.expansion, ThermalExpansion, label, around, stated_as="bounds").shown_in("1/K")

    def dial_at(self, tension: float) -> float | None:
        """The dial reading that stands for a tension; None where the table does not reach."""
        assert self.table is not None
        x, t = self.table.readings, self.table.tensions_si
        for i in range(len(x) - 1):
            if min(t[i], t[i + 1]) <= tension <= max(t[i], t[i + 1]):
                found = interpolated_tension.solve_for(
                    "reading",
                    result=from_si(tension, Force),
                    reading_below=str(x[i]),
                    reading_above=str(x[i + 1]),
                    tension_below=from_si(t[i], Force),
                    tension_above=from_si(t[i + 1], Force),
                )
                return float(found.m_as(""))
        return None

    def known_at(self, tension: float, readings: Readings) -> float:
        """Standard uncertainty, in newtons, to which the gauge would tell another tension in one reading.

        Zero where each reading's uncertainty is typed with it: the one in hand then stands for the next.
        """
        if any(reading.uncertainty is not None for reading in readings):
            return 0.0
        if self.table is None:
            next_one = read(f"{max(tension, 0.0)!r} N", Force)
            errors = self.gauge.errors_near("the next reading", next_one)
            return float(measured(next_one, Force, "the next reading", shared=errors).standard_si)
        dial = self.dial_at(tension)
        if dial is None:
            return 0.0
        next_one = read(repr(dial), Ratio)
        errors = self.gauge.errors_near("the next reading", next_one)
        through = measured(next_one, Ratio, "the next reading", shared=errors)
        given = self.table, through, self.gauge.serial, self.sheet.riser, self.cable.diameter.typed
        return float(tension_from_gauge(*given).standard_si)
