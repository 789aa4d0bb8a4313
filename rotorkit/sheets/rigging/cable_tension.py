"""Cable tension: a gauge reading, carried to the temperature that the kit manual's limit is given for."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Annotated, Any, ClassVar

from pydantic import Field

from rotorkit import sources
from rotorkit.aircraft import Aircraft, Cable, Instrument
from rotorkit.aircraft.entries import Choice, Entry, Readings
from rotorkit.formula import Line, Worked
from rotorkit.formula.notation import latex_text
from rotorkit.judging.limits import Limit
from rotorkit.judging.measured import Measured, combine, measured
from rotorkit.pictures.data import Band, Chart, Curve, Picture, Point
from rotorkit.quantities import (
    Force,
    ForcePerTemperature,
    QuantityError,
    Ratio,
    Reading,
    Stiffness,
    Temperature,
    ThermalExpansion,
    from_si,
    in_unit,
    number_text,
    read,
    required_kind,
    say,
    unit_factor,
    unit_label,
)
from rotorkit.quantities.errors import shortened
from rotorkit.rigging import (
    TIGHTEN,
    CalibrationTable,
    axial_stiffness_from_stretch_factor,
    cable_construction,
    calibration_table_for,
    interpolated_tension,
    judged_tension,
    material,
    may_be_slack,
    mean_of_repeats,
    slack_temperature,
    stiffness_felt_by_one_run,
    tension_at_temperature,
    tension_from_gauge,
    tension_slope,
    tension_slope_rigid_structure,
    unknown_tension,
)
from rotorkit.sheets.base import About, Finding, Needed, Outcome, Sheet, SheetError, bars, judge, plain_step
from rotorkit.sources import cautions

__all__ = ["EVERYDAY", "CableTension", "share_not_known", "tension_chart"]


QUESTION_SCATTER = 0.10
"""Repeats that lie further apart than this share of their mean are asked about (common practice, no source)."""
EVERYDAY = ("-20 °F", "120 °F")
"""Temperatures that an airframe may well meet."""
COLDEST, HOTTEST = read("-100 °F", Temperature).si, read("200 °F", Temperature).si
"""A cable that goes slack only outside these does not go slack in use."""


MARGIN = 15.0
"""Kelvins beside the temperatures shown."""
SAME_TEMPERATURE = 0.5
"""Kelvins within which today's temperature is the limit's, so that one point stands for both."""


class CableTension(Sheet):
    """The tension of one run of control cable on a day, against a limit given for another temperature."""

    name: ClassVar[str] = "cable_tension"
    order: ClassVar[int] = 60
    needed: ClassVar[tuple[Needed, ...]] = (
        Needed(
            "First engine run", "a slack cable lets the tail rotor's pitch wander as soon as it turns", each="cables"
        ),
        Needed(
            "First rotor turn",
            "a slack cable lets the tail rotor's pitch wander, a tight one makes the pedals drag",
            each="cables",
        ),
        Needed("First hover", "tension moves with temperature: it must be right on the day", each="cables"),
        Needed("End of the test phase", "new cables stretch: the tension is measured again", each="cables"),
    )
    about: ClassVar[About] = About(
        title="Cable tension",
        settles=(
            "Whether a control cable is as tight as the manual wants it at the manual's temperature, what the gauge "
            "should show at today's temperature, and at which temperature the cable would go slack."
        ),
        when=(
            "After fitting or adjusting a cable, a few hours later when a new one has pulled in, at each inspection, "
            "and before the season turns."
        ),
        tools=(
            "cable tension gauge with its own calibration table, and the riser that the table names for this cable",
            "thermometer laid on the airframe beside the cable",
            "the manual's page with the tension and the temperature it is given for",
        ),
        procedure=(
            "Leave the aircraft where it stands, out of the sun and with the engine cold, until airframe and cable are "
            "at one temperature: an hour or more.",
            "Work the controls through their full range a few times, then set them to neutral with the rigging pin in.",
            "Check the gauge: its zero or test bar, its serial number on the table, the riser for this cable size.",
            "Put the gauge on the middle of a free length of cable, away from pulleys, fairleads, terminals and the "
            "turnbuckle; let it settle and read the dial.",
            "Take it off, work the controls again and repeat: three readings, parted by semicolons.",
            "Read the thermometer on the airframe at the same time.",
            "If the tension wants changing, aim for the middle of the band at today's temperature, tighten both runs "
            "of a loop together, work the controls, and read both again.",
        ),
        sign_convention=(
            "Tension is positive; a cable cannot push. A positive slope means that tension rises with temperature, as "
            "it does with steel cables along an aluminium airframe; along a composite one it falls."
        ),
        cautions=(
            cautions.ENGINE_OFF,
            cautions.HANDS_IN_LINKAGE,
            cautions.CABLES_UNDER_LOAD,
            cautions.MANUAL_GOVERNS,
            cautions.LOCKING,
            cautions.INSPECTION,
            cautions.AN_AID,
        ),
        not_covered=(
            "friction at pulleys and fairleads: the tension differs along a run until the controls have been worked",
            "a cable at another temperature than the airframe: sun on the boom, a warm engine bay",
            "the permanent stretch of a new cable, wear, broken wires and the cable's strength",
            "tension regulators and springs in the run",
        ),
    )

    cable: Annotated[str, Choice("cables")] = Field(title="Cable", description="As named in the aircraft file.")
    gauge: Annotated[str, Choice("instruments", measures="cable tension")] = Field(
        title="Gauge", description="The very gauge, by its serial number: another one's table does not serve."
    )
    riser: str = Field(
        "",
        title="Riser",
        description="The mark on the riser in the gauge, as in its table. Leave it empty for a gauge without a table.",
    )
    dial: Annotated[Readings | None, Entry(Ratio, ("", ""), ("0", None), by="gauge", repeats=True)] = Field(
        None,
        title="Dial reading",
        description="In the gauge's own divisions, with its table. Part repeats by semicolons: 27.5; 28; 27.5.",
    )
    tension: Annotated[
        Readings | None, Entry(Force, ("lbf", "N"), ("0 lb", "2000 lb"), ("5 lb", "400 lb"), by="gauge", repeats=True)
    ] = Field(
        None,
        title="Tension shown",
        description="For a gauge that shows the tension itself and has no table. Part repeats by semicolons.",
    )
    temperature: Annotated[
        Reading, Entry(Temperature, ("°F", "°C"), ("-60 °F", "160 °F"), EVERYDAY, by="thermometer")
    ] = Field(
        title="Temperature of the airframe",
        description="On the structure beside the cable, after airframe and cable have come to one temperature.",
    )
    thermometer: Annotated[str, Choice("instruments", measures="temperature")] = Field("", title="Thermometer")

    def _work(self, aircraft: Aircraft) -> Outcome:
        return CableTensionWork(self, aircraft).outcome()


@dataclass(frozen=True)
class Slope:
    """Change of tension for each degree. steepest: the largest it can be, where it is known by bounds only. share: the
    part of it that arrives then, a ratio from nothing to all, of one origin with `value`."""

    value: Measured
    how: str
    steepest: Measured | None = None
    share: Measured | None = None


def share_not_known() -> Measured:
    """The part of a rigid airframe's change of tension that arrives in one that gives way, nobody knows how far."""
    kind = required_kind(Ratio)
    half = from_si(0.5, kind)
    return measured(half, Ratio, "airframe stiffness not known", half, stated_as="bounds")


class CableTensionWork:
    """One working of the sheet."""

    def __init__(self, sheet: CableTension, aircraft: Aircraft) -> None:
        self.sheet, self.system = sheet, aircraft.aircraft.display
        self.steps: list[Worked] = []
        self.asked: list[str] = []
        self.overdue = sheet.calibrations_overdue(aircraft)
        if sheet.cable not in aircraft.cables:
            there = ", ".join(aircraft.cables) or "none"
            raise SheetError(
                [("cable", f"is no cable of the aircraft file: it has {there}; got {shortened(sheet.cable)}")]
            )
        self.cable: Cable = aircraft.cables[sheet.cable]
        self.gauge: Instrument = sheet.instrument("gauge", aircraft)
        if self.gauge.measures != "cable tension":
            raise SheetError([("gauge", f"{self.gauge.title} measures {self.gauge.measures}, no cable tension")])
        self.readings = self._readings()
        self.table = self._table() if self.gauge.tables else None
        self.temperature = sheet.measured("temperature", "airframe temperature", aircraft)

    def _worked(self, title: str, formula: Any, *given: Any) -> Measured:
        step = formula.worked(*given).titled(title)
        self.steps.append(step)
        value: Measured = step.value
        return value

    # the tension as read

    def _readings(self) -> Readings:
        """The field that goes with the gauge. Raises `SheetError` where it is empty, or the other one is filled in."""
        sheet, dial = self.sheet, bool(self.gauge.tables)
        name, other = ("dial", "tension") if dial else ("tension", "dial")
        kept: Readings | None = getattr(sheet, name)
        problems = []
        if getattr(sheet, other) is not None:
            what = "reads divisions, through its table" if dial else "has no table and shows the tension itself"
            problems.append((other, f"must be empty: {self.gauge.title} {what}"))
        if kept is None:
            what = "the dial's reading, such as 27.5" if dial else "the tension shown, such as 35 lb"
            problems.append((name, f"is missing: {self.gauge.title} needs {what}"))
        elif any(r.uncertainty is not None for r in kept) and not all(r.uncertainty is not None for r in kept):
            problems.append((name, "has ± with some repeats and not with others: write it with each, or with none"))
        if dial and not sheet.riser.strip():
            known = ", ".join(dict.fromkeys(table.riser for table in self.gauge.tables))
            problems.append(("riser", f"is missing: the gauge's table has {known}"))
        if problems or kept is None:
            raise SheetError(problems)
        return kept

    def _table(self) -> CalibrationTable:
        tables = self.gauge.calibration_tables()
        try:
            table = calibration_table_for(tables, self.gauge.serial, self.sheet.riser, self.cable.diameter.typed)
        except QuantityError as problem:
            raise SheetError([("riser", str(problem))]) from None
        for reading in self.readings:
            try:
                table.bracket(reading.si)
            except QuantityError as problem:
                raise SheetError([("dial", str(problem).removeprefix("dial reading: "))]) from None
        return table

    def _mean(self) -> Measured:
        readings = self.readings
        kind, what = (Ratio, "dial reading") if self.table is not None else (Force, "tension shown")
        label = f"{what} ({self.gauge.title})"
        # the gauge's own error does not average out, and holds its resolution
        mean = mean_of_repeats(list(readings), kind, label, self.gauge.errors_near("this reading", readings[0]))
        if len(readings) > 1:
            line = f"({' + '.join(r.understood for r in readings)}) / {len(readings)} = {say(mean)}"
            self.steps.append(plain_step(f"Mean of the {what}", [line], mean, sources.JCGM_100.at("4.2.1")))
            values = [r.si for r in readings]
            if max(values) - min(values) > QUESTION_SCATTER * abs(float(mean.si)):
                self.asked.append(
                    "The repeats lie more than a tenth apart: work the controls through their range, look for friction "
                    "at pulleys and fairleads, and read again."
                )
        return mean

    def _tension(self) -> Measured:
        mean = self._mean()
        if self.table is None:
            return mean
        table = self.table
        tension = tension_from_gauge(table, mean, self.gauge.serial, self.sheet.riser, self.cable.diameter.typed)
        below = table.bracket(float(mean.si))
        rows = [str(table.readings[i]) for i in (below, below + 1)]
        forces = [Measured(table.tensions_si[i], Force) for i in (below, below + 1)]
        step = interpolated_tension.worked(mean, *rows, *forces)
        title = f"Tension from the dial, between two rows of the table of {table.named}"
        if tension.standard_si == step.value.standard_si:
            self.steps.append(replace(step, title=title, value=tension))
            return tension
        text = f"with what the gauge itself is known to: {say(tension)}"
        line = Line("step", latex_text(text), text)
        self.steps.append(replace(step, title=title, written=lambda: [*step.lines, line], value=tension))
        return tension

    # the slope

    def _slope(self) -> Slope:
        cable = self.cable
        if cable.slope is not None:
            given = measured(cable.slope, ForcePerTemperature, "slope of the aircraft file")
            return Slope(given, f"The change of tension for each degree is that of the aircraft file, {say(given)}.")
        factor = cable_construction(cable.construction, cable.steel)
        structure, wire = (
            self._expansion(cable.airframe_material, "the airframe"),
            self._expansion(cable.steel, "the cable"),
        )
        axial = self._worked(
            f"Axial stiffness of a {cable.construction} cable of {cable.steel}",
            axial_stiffness_from_stretch_factor,
            cable.diameter,
            factor.stretch_factor,
        )
        if cable.airframe_stiffness is not None:
            stiffness = measured(cable.airframe_stiffness, Stiffness, "airframe stiffness")
            runs = str(cable.runs_tightened_together)
            felt = self._worked("Airframe stiffness that one run meets", stiffness_felt_by_one_run, stiffness, runs)
            value = self._worked(
                "Change of tension for each degree", tension_slope, structure, wire, cable.length, axial, felt
            )
            return Slope(
                value,
                f"The change of tension for each degree, {say(value)}, is worked out from materials and stiffnesses. "
                f"The manual's chart, or tensions measured at two temperatures, are better: write them into the "
                f"aircraft file as slope.",
            )
        rigid = self._worked(
            "Change of tension for each degree, if the airframe were rigid",
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
        line = f"half of it, anything from nothing to all of it as likely: {say(value)}"
        cited = sources.ARITHMETIC.at("bounds of structure and cable as springs in series")
        self.steps.append(plain_step("Change of tension for each degree", [line], value, cited))
        return Slope(
            value,
            "The aircraft file gives neither slope nor airframe_stiffness for this cable: the change of tension for "
            f"each degree lies between nothing and that of a rigid airframe, {say(rigid)}, and is taken as half of it. "
            "Read the tension at two temperatures and write the slope into the aircraft file.",
            rigid,
            share,
        )

    def _expansion(self, name: str, of: str) -> Measured:
        """A material's expansion, with how far an unnamed alloy of its family may lie from it."""
        found = material(name)
        value, low, high = (read(text, ThermalExpansion).si for text in (found.expansion, found.low, found.high))
        reach = max(value - low, high - value)
        around = from_si(reach, required_kind(ThermalExpansion)) if reach else None
        label = f"expansion of {of}, {name}"
        return measured(found.expansion, ThermalExpansion, label, around, stated_as="bounds").shown_in("1/K")

    # what comes of it

    def outcome(self) -> Outcome:
        cable, limit = self.cable, self.cable.limits.tension
        there = cable.limits_at.understood
        tension = self.tension = self._tension()
        slope = self.slope = self._slope()
        temperature, wanted = self.temperature, cable.limits_at
        carried = self.carried = self._worked(
            f"Tension carried to {there}", tension_at_temperature, tension, slope.value, temperature, wanted
        )
        taut = may_be_slack(tension) is None
        slack = self._slack(tension, slope) if taut else None
        today = self.today = self._limit_today(limit, slope)
        limited = replace(limit, name=f"tension at {there}") if limit is not None else None
        now = "Tension today, as read"
        if taut:
            findings = [
                Finding(
                    "tension_at_limit_temperature",
                    f"Tension at {there}",
                    judged_tension(limited, carried, f"tension at {there}"),
                ),
                Finding("tension_today", now, judge(None, tension, now.lower()), aside=True),
            ]
        else:
            findings = [Finding("tension_today", now, unknown_tension(limited, tension, carried, there))]
        findings.append(
            Finding(
                "slope", "Change of tension for each degree", judge(None, slope.value, "change of tension"), aside=True
            )
        )
        if slack is not None:
            title = "Slack at" if slope.steepest is None else "Could be slack at"
            findings.append(
                Finding("slack_temperature", title, judge(None, slack, "temperature of the slack cable"), aside=True)
            )
        remarks = [
            *self.overdue,
            *self._remarks(limit, today, carried, slack),
            slope.how,
            *self.asked,
            *(f"{sentence}." for _, sentence in self.sheet.doubts()),
        ]
        pictures: list[Picture] = []
        if taut:
            word = findings[0].verdict.word
            pictures.append(
                tension_chart(
                    cable, self.system, temperature, tension, slope.value, slope.steepest, carried, slack, word
                )
            )
        compared = bars("Against the limit", findings, self.system)
        if taut or compared.rows:
            pictures.append(compared)
        return Outcome(f"{self.sheet.about.title}, {cable.title}", findings, self.steps, pictures, remarks)

    def _slack(self, tension: Measured, slope: Slope) -> Measured | None:
        """Temperature at which the cable is slack; for a slope known by bounds the one nearest to today's."""
        steepest = slope.steepest or slope.value
        if (
            not float(steepest.si)
            or not COLDEST < slack_temperature.si(tension.si, steepest.si, self.temperature.si) < HOTTEST
        ):
            return None
        title = "Temperature at which the cable is slack"
        if slope.steepest is not None:
            title += ", if the airframe were rigid"
        return self._worked(title, slack_temperature, tension, steepest, self.temperature)

    def _limit_today(self, limit: Limit | None, slope: Slope) -> list[Measured | None]:
        """The limit's low and high side moved to today's temperature."""
        moved: list[Measured | None] = []
        sides = (None, None) if limit is None else (limit.low_si, limit.high_si)
        for name, side in zip(("low", "high"), sides, strict=True):
            if side is None or side < 0:
                moved.append(None)
                continue
            given = Measured(side, Force)
            title = f"Limit at today's temperature, {name} side"
            at = self.cable.limits_at
            moved.append(self._worked(title, tension_at_temperature, given, slope.value, at, self.temperature))
        return moved

    def _remarks(
        self, limit: Limit | None, today: list[Measured | None], carried: Measured, slack: Measured | None
    ) -> list[str]:
        there = self.cable.limits_at.understood
        said = []
        doubt = may_be_slack(self.tension)
        if doubt:
            said.append(
                f"The gauge shows {say(self.tension)}: the cable {doubt}. How far a slack cable is from being taut "
                f"does not show, so that nothing of it can be carried to {there}. {TIGHTEN}"
            )
        elif (doubt := may_be_slack(carried)) is not None:
            said.append(
                f"At {there} the cable {doubt}: the line through the reading comes to {say(carried)} there, and a "
                f"cable cannot push. Put that right before the controls are used."
            )
        if (
            slack is not None
            and read(EVERYDAY[0], Temperature).si < float(slack.si) < read(EVERYDAY[1], Temperature).si
        ):
            said.append(f"The cable goes slack at {say(slack)}, a temperature that it may well meet.")
        if limit is None:
            said.append(f"The aircraft file gives no limit of the tension of {self.cable.title}: nothing is judged.")
            return said
        if not may_be_slack(self.tension):
            said.append(
                f"The tension carried to {there} is what is judged, because the limit is given for that temperature. "
                f"Today's reading has no limit of its own; the same limit moved to today's temperature is drawn in "
                f"the picture, and compares in the same way."
            )
        sides = [side for side in today if side is not None]
        if any(float(side.si) <= 0 for side in sides):
            said.append(self._slack_today(today))
        elif sides:
            words = " to ".join(say(side) for side in sides)
            which = "" if len(sides) == 2 else "at least " if today[0] is not None else "at most "
            sentence = f"At today's {self.sheet.temperature.understood} the gauge should show {which}{words}"
            marks = [mark for side in sides if (mark := self._dial_for(float(side.si)))]
            if len(marks) == len(sides):
                sentence += f": {which}{' to '.join(marks)} on its dial"
            said.append(sentence + ".")
        return said

    def _slack_today(self, today: list[Measured | None]) -> str:
        """What the gauge can show where the limit, moved to today's temperature, comes to a slack cable."""
        high = today[1]
        at = f"At today's {self.sheet.temperature.understood} a cable rigged to the limit"
        if high is None or float(high.si) > 0:
            most = "" if high is None else f", and at most {say(high)}"
            return f"{at} may be slack: the gauge should show a tension{most}. Rig it at a warmer temperature."
        return f"{at} would be slack: nothing can be set or read today that would prove it. Rig it when it is taut."

    def _dial_at(self, tension: float) -> float | None:
        """The dial reading that stands for a tension; None where the table does not reach."""
        assert self.table is not None
        x, t = self.table.readings, self.table.tensions_si
        for i in range(len(x) - 1):
            if min(t[i], t[i + 1]) <= tension <= max(t[i], t[i + 1]):
                found = interpolated_tension.solve_for(
                    "reading",
                    result=from_si(tension, required_kind(Force)),
                    reading_below=str(x[i]),
                    reading_above=str(x[i + 1]),
                    tension_below=from_si(t[i], required_kind(Force)),
                    tension_above=from_si(t[i + 1], required_kind(Force)),
                )
                return float(found.m_as(""))
        return None

    def _dial_for(self, tension: float) -> str:
        """That reading in words; empty without a table, or where it does not reach."""
        dial = self._dial_at(tension) if self.table is not None else None
        return "" if dial is None else number_text(dial, 3)

    def known_at(self, tension: float) -> float:
        """Standard uncertainty, in newtons, to which the gauge would tell another tension in one reading.

        Nought where each reading's uncertainty is typed with it: the one in hand then stands for the next.
        """
        if any(reading.uncertainty is not None for reading in self.readings):
            return 0.0
        if self.table is None:
            next_one = read(f"{max(tension, 0.0)!r} N", Force)
            errors = self.gauge.errors_near("the next reading", next_one)
            return float(measured(next_one, Force, "the next reading", shared=errors).standard_si)
        dial = self._dial_at(tension)
        if dial is None:
            return 0.0
        next_one = read(repr(dial), Ratio)
        errors = self.gauge.errors_near("the next reading", next_one)
        through = measured(next_one, Ratio, "the next reading", shared=errors)
        given = self.table, through, self.gauge.serial, self.sheet.riser, self.cable.diameter.typed
        return float(tension_from_gauge(*given).standard_si)


def tension_chart(
    cable: Cable,
    system: str,
    temperature: Measured,
    tension: Measured,
    slope: Measured,
    steepest: Measured | None,
    carried: Measured,
    slack: Measured | None,
    word: str,
) -> Chart:
    """The chart.

    Arguments: cable, of the aircraft file; system, "us" or "metric"; temperature and tension, as read today; slope,
    with steepest where only bounds of it are known; carried, the tension at the limit's temperature; slack, the
    temperature at which the cable is slack, or None; word, the verdict on the carried tension.
    """
    degrees, pounds = required_kind(Temperature).shown(system), required_kind(Force).shown(system)
    day, there, force, c = (float(v) for v in (temperature.si, cable.limits_at.si, tension.si, slope.si))
    ends = [day, there] + ([float(slack.si)] if slack is not None else [])
    low, high = min(ends) - MARGIN, max(ends) + MARGIN

    def x(si: float) -> float:
        return float(in_unit(si, degrees, required_kind(Temperature)))

    def y(si: float) -> float:
        return float(in_unit(max(si, 0.0), pounds, required_kind(Force)))

    def spread(figure: Measured, unit: str, kind: Any) -> float:
        return float(figure.expanded_si) / unit_factor(unit, required_kind(kind))

    def line(through: float, at: float, steepness: float) -> tuple[list[float], list[float]]:
        """A straight line from end to end, lying on zero where a cable is slack."""
        points = [low, high]
        if steepness and low < (zero := at - through / steepness) < high:
            points.insert(1, zero)
        return [x(p) for p in points], [y(tension_at_temperature.si(through, steepness, at, p)) for p in points]

    curves = [Curve("this cable", *line(force, day, c), "main")]
    if steepest is not None:
        curves.append(Curve("if the airframe were rigid", *line(force, day, float(steepest.si)), "second"))
        curves.append(Curve("if the temperature changed nothing", *line(force, day, 0.0), "second"))
    points = [
        Point(
            "today",
            x(day),
            y(force),
            spread(temperature, degrees, Temperature),
            spread(tension, pounds, Force),
            word,
        )
    ]
    if abs(day - there) > SAME_TEMPERATURE:
        label = f"carried to {cable.limits_at.understood}"
        points.append(Point(label, x(there), y(float(carried.si)), 0.0, spread(carried, pounds, Force), word))
    if slack is not None:
        points.append(Point("slack", x(float(slack.si)), 0.0, spread(slack, degrees, Temperature)))
    limit = cable.limits.tension
    bands = []
    if limit is not None:
        # the band bends where its low side meets zero, so it is given there; an open side goes to the picture's edge
        sides = [side for side in (limit.low_si, limit.high_si) if side is not None]
        kinks = [there - side / c for side in sides] if c else []
        at = sorted({low, high, *(k for k in kinks if low < k < high)})
        top = 1.25 * max(
            [force, float(carried.si), *(tension_at_temperature.si(s, c, there, p) for s in sides for p in at)]
        )

        def side_line(side: float | None, edge: float) -> list[float]:
            return [y(edge) if side is None else y(tension_at_temperature.si(side, c, there, p)) for p in at]

        bands.append(
            Band(
                f"limit {limit.text} at {cable.limits_at.understood}, moved with temperature",
                [x(p) for p in at],
                side_line(limit.low_si, 0.0),
                side_line(limit.high_si, top),
            )
        )
    return Chart(
        f"Tension over temperature, {cable.title}",
        f"temperature, {unit_label(degrees, required_kind(Temperature))}",
        f"tension, {unit_label(pounds, required_kind(Force))}",
        curves,
        bands,
        points,
    )
