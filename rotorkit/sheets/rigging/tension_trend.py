"""Tension trend: a cable's tension over time, carried to one temperature."""

from __future__ import annotations

import itertools
import math
from collections.abc import Mapping
from datetime import date
from typing import Annotated, Any, ClassVar

from rotorkit import sources
from rotorkit.aircraft import Aircraft
from rotorkit.aircraft.entries import Choice, GivenRows, Readings, as_date, asked, required, rows
from rotorkit.judging.limits import TOO_CLOSE, Verdict
from rotorkit.judging.measured import Measured
from rotorkit.pictures.data import Band, Chart, Curve, Dots, Point
from rotorkit.quantities import (
    Force,
    Reading,
    in_unit,
    required_kind,
    say,
    unit_factor,
    unit_label,
)
from rotorkit.quantities.errors import shortened
from rotorkit.rigging import (
    TIGHTEN,
    TensionLine,
    judged_tension,
    may_be_slack,
    tension_at_temperature,
    tension_trend,
    unknown_tension,
)
from rotorkit.sheets.base import About, Needed, Outcome, Part, Row, Sheet
from rotorkit.sheets.exercises import Exercise, Range
from rotorkit.sheets.rigging.gauge_reading import AIRFRAME, DIAL, SHOWN, CableWork, Slope, cable_used
from rotorkit.sheets.working import named
from rotorkit.sources import cautions

DAY = 86400.0
MET, MAY_BE_MET = "was met on", "it may have been reached already"
DAYS_AHEAD = 7
"""Days within which a limit that is coming nearer leads, however often the cable is looked at: a week, by common
practice (no source)."""
FAR_AHEAD = 5 * 365
"""Days beyond which no day is named on which the limit would be met."""


class DayRow(Row):
    """The tension as read on one day."""

    day: str = asked("Day", "Year, month, day: 2026-05-31.", "")
    dial: Annotated[Readings | None, DIAL] = asked(
        "Dial reading", "In the gauge's own divisions; separate repeats with semicolons."
    )
    tension: Annotated[Readings | None, SHOWN] = asked(
        "Or: tension shown", "For a gauge that shows the tension itself and has no table."
    )
    temperature: Annotated[Reading | None, AIRFRAME] = asked(
        "Airframe", "Temperature of the airframe beside the cable on that day."
    )


class TensionTrend(Sheet):
    """The trend of one cable's tension, from readings of several days."""

    order: ClassVar[int] = 80
    puts_right: ClassVar[dict[str, str]] = {
        "": "Set the tension as the manual says, look for what gave, and measure again.",
    }
    needed: ClassVar[tuple[Needed, ...]] = (
        Needed("End of the test phase", "a cable that keeps on stretching is failing somewhere", each="cables"),
    )
    uses: ClassVar[tuple[str, ...]] = ("cables.{cable}.limits_at",)
    judged_by: ClassVar[tuple[str, ...]] = ("cables.{cable}.limits.tension",)
    about: ClassVar[About] = About(
        title="Tension trend",
        settles=(
            "Whether a cable keeps losing tension after it is rigged, how fast, and when it would reach its limit "
            "at that rate."
        ),
        when=(
            "After fitting a new cable: the next day, after the first hours, and at each inspection; and whenever a "
            "settled cable is found slack."
        ),
        tools=(
            "the same cable tension gauge with the same riser each time, with its own calibration table",
            "thermometer, laid on the airframe beside the cable",
            "a log of what was done to this cable in between",
        ),
        procedure=(
            "Read the tension as the sheet on cable tension says, each time at the same place along the run, with the "
            "controls worked and pinned in the same way.",
            "Write day, dial and temperature into a row. The sheet corrects every tension to the manual's "
            "temperature, so that the seasons do not look like a trend.",
            "Start a new check whenever the turnbuckle has been touched: tensions before and after do not belong "
            "on one line.",
            "Two readings make a line, three or more a trend. Wait for a third before you conclude anything.",
            "A new cable stretches at first and then holds. One that keeps on stretching is failing inside, or "
            "whatever it is attached to is: look along the whole run, at both terminals, at every pulley bracket.",
        ),
        sign_convention=(
            "A falling tension is a negative trend. All tensions are those at the manual's temperature, not the day's."
        ),
        cautions=(
            cautions.ENGINE_OFF,
            cautions.HANDS_IN_LINKAGE,
            cautions.CABLES_UNDER_LOAD,
            cautions.MANUAL_GOVERNS,
            cautions.INSPECTION,
            cautions.AN_AID,
        ),
        not_covered=(
            "a turnbuckle turned between two readings: such readings do not belong on one line",
            "a curve: a new cable stretches fast at first, and a straight line then predicts badly",
            "why the tension falls: wear, a slipping terminal, a pulley bracket that yields",
            "a change of gauge or riser part of the way: its error would look like a trend",
        ),
    )
    exercises: ClassVar[tuple[Exercise, ...]] = (
        Exercise(
            name="change_for_a_degree",
            title="What one degree does",
            story=(
                "The same cable was read at {tension} with the airframe at {measured_at}, and at {result} "
                "with the airframe at {wanted_at}; nothing was turned in between."
            ),
            find="the change of tension per degree",
            unit="lb/°F",
            of=tension_at_temperature,
            given={
                "tension": Range("26.0 lb", "30.0 lb", "0.5 lb"),
                "result": Range("38.0 lb", "44.0 lb", "0.5 lb"),
                "measured_at": Range("45 °F", "55 °F", "1 °F"),
                "wanted_at": Range("78 °F", "88 °F", "1 °F"),
            },
            unknown="slope",
            digits=2,
            hints=(
                "Change of tension, and change of temperature.",
                "Divide the change of tension by the change of temperature.",
            ),
        ),
    )

    cable: Annotated[str, Choice("cables")] = required("Cable", "As named in the aircraft file.")
    gauge: Annotated[str, Choice("instruments", measures="cable tension")] = required(
        "Gauge", "The same one for all rows: its own error then cancels out of the trend."
    )
    riser: str = asked("Riser", "The mark on the riser in the gauge, as in its table.", "")
    thermometer: Annotated[str, Choice("instruments", measures="temperature")] = asked("Thermometer", default="")
    days: Annotated[list[DayRow], GivenRows(checks=("cable_tension", "cable_rigging"))] = rows(
        "Readings", "A row for each day, in any order."
    )

    @classmethod
    def figures_used(cls, picked: Mapping[str, Any], aircraft: Aircraft) -> list[str]:
        """The sheet's own, and those of the cable that is picked."""
        return [*super().figures_used(picked, aircraft), *cable_used(picked, aircraft)]

    @classmethod
    def start(cls, aircraft: Aircraft) -> dict[str, Any]:
        """Three empty rows: fewer make no trend."""
        start = super().start(aircraft)
        start["days"] = [{}, {}, {}]
        return start

    def parts(self, aircraft: Aircraft) -> list[Part]:
        """Three days or more: two make a line, which shows no scatter."""
        days = sum(row.dial is not None or row.tension is not None for row in self.days)
        return [Part("a third day: two make a line, three a trend", days > 2)]

    def _work(self, aircraft: Aircraft) -> Outcome:
        return _Work(self, aircraft).whole()


class _Work(CableWork):
    """One working of the sheet."""

    def __init__(self, sheet: TensionTrend, aircraft: Aircraft) -> None:
        super().__init__(sheet, aircraft)
        self.days = self._read()
        self.first = self.days[0][0]

    def _read(self) -> list[tuple[date, int, Readings]]:
        """Day, row and readings of each row that is filled in, in the order of the days."""
        rows, found = [], {}
        for i, row in enumerate(self.sheet.days):
            if not row.day.strip() and row.dial is None and row.tension is None and row.temperature is None:
                continue
            day = self._day(i, row)
            if row.temperature is None:
                said = "is missing: without it the seasons would look like a trend"
                self.problem(f"days.{i}.temperature", said)
            readings = self.readings_of(row, f"days.{i}.")
            if day is not None and readings is not None:
                found[i] = day, i, readings
                rows.append((i, row))
        self.by_key("days", rows, lambda row: as_date(row.day), "day", "write repeats into it, separated by semicolons")
        if len(rows) < 2 and not self.problems:
            at = next((i for i, row in enumerate(self.sheet.days) if not row.day.strip()), None)
            path = "days" if at is None else f"days.{at}.day"
            self.problem(path, "needs readings of two days or more; three make a trend")
        self.settle()
        return sorted(found.values(), key=lambda one: one[0])

    def _day(self, i: int, row: DayRow) -> date | None:
        try:
            found = as_date(row.day)
        except ValueError:
            self.problem(f"days.{i}.day", f"needs a date, for example 2026-05-31, got {shortened(row.day)}")
            return None
        if found is None:
            self.problem(f"days.{i}.day", "is missing: when was it read?")
            return None
        assert isinstance(found, date)
        return found

    def whole(self) -> Outcome:
        """All of it: every tension at one temperature, the line through them, and what it says."""
        tensions, slope = self._tensions()
        title = f"{self.sheet.about.title}, {self.cable.named}"
        if len(tensions) < 2:
            self.notes.append("Fewer than two taut readings make no line.")
            self.compare("Against the limit")
            return self.outcome(title)
        trend = tension_trend(tensions)
        self.first = tensions[0][0]
        cited = sources.JCGM_100.at("4.2, 5.2: least squares")
        self.step("Line through the tensions", [trend.sentence], trend.slope, cited)
        self.tell("trend", "Trend", trend.slope, "trend")
        self.tell("last_on_line", "Tension on the line, last day", trend.at(f"{trend.last_si} s"), "line")
        ahead = self._ahead(trend)
        soon = self._before_the_next_look(trend)
        self.lead += [said for said in ahead if soon or MET in said or MAY_BE_MET in said]
        self.notes += [
            trend.sentence,
            *(said for said in ahead if said not in self.lead),
            *self._residuals(trend, tensions),
            slope.how,
        ]
        self.say_to_do(trend.sentence)
        self.pictures.append(self._chart(trend, tensions))
        self.compare("Against the limit")
        return self.outcome(title)

    def _tensions(self) -> tuple[list[tuple[date, Measured]], Slope]:
        """The tension of every day that it was taut on, at the limit's temperature, and the slope that carried it; the
        latest is judged."""
        cable, there = self.cable, self.cable.limits_at.said
        slope = self.slope_of_cable()  # one slope for all rows: it is one cable
        tensions: list[tuple[date, Measured]] = []
        for day, i, readings in self.days:
            tension = self.tension_of(readings, f", {day.isoformat()}")
            temperature = self.reading(f"days.{i}.temperature", "airframe temperature")
            title = f"Tension of {day.isoformat()}, corrected to {there}"
            carried = self.work(title, tension_at_temperature, tension, slope.value, temperature, cable.limits_at)
            title = f"Latest tension at {there}, {day.isoformat()}"
            limit = named(cable.limits.tension, title)
            doubt = may_be_slack(tension)
            if doubt:
                self.notes.append(
                    f"On {day.isoformat()} the gauge showed {say(tension)}: the cable {doubt}, so its tension is not "
                    f"known. That day is left off the line. {TIGHTEN}"
                )
                title = f"Latest reading, {day.isoformat()}, at {self.sheet.days[i].temperature.said}"
                verdict = unknown_tension(limit, tension, carried, there)
            else:
                tensions.append((day, carried))
                verdict = judged_tension(limit, carried, title)
        self.found("latest", title, verdict)
        if len(tensions) < 3 <= len(self.days):  # fewer days read are told by `parts`
            self.missing.append("a third day with the cable taut: a slack one stands on no line")
        return tensions, slope

    def _ahead(self, trend: TensionLine) -> list[str]:
        limit = self.cable.limits.tension
        if limit is None or trend.freedom < 1:
            return []
        reached = trend.reaches(limit)
        if reached is None:
            return []
        days = float(reached.m_as("s")) / DAY
        if days > FAR_AHEAD:
            return ["On this line the limit is more than five years away."]
        when = date.fromordinal(self.first.toordinal() + math.floor(days))
        last = trend.last_si / DAY
        if days <= last:
            return [f"On this line the limit ({limit.text}) {MET} {when.isoformat()}."]
        early = float(trend.could_reach(limit).m_as("s")) / DAY
        soonest = date.fromordinal(self.first.toordinal() + math.floor(early + 1e-6)).isoformat()
        earlier = MAY_BE_MET if early <= last + 1e-6 else f"it may be reached as early as {soonest}"
        return [
            f"On this line the limit ({limit.text}) would be reached on {when.isoformat()}; allowing for the line's "
            f"uncertainty, {earlier}. This is a forecast, not a promise: read the tension before then."
        ]

    def _before_the_next_look(self, trend: TensionLine) -> bool:
        """Whether the limit may be met within days, or before the cable would be looked at again if the next look came
        as long after the last as the longest between two of them: then it is too close to call."""
        limit = self.cable.limits.tension
        early = None if limit is None or trend.freedom < 1 else trend.could_reach(limit)
        if limit is None or early is None:
            return False
        dates = [day.toordinal() for day, *_ in self.days]
        wait = max(DAYS_AHEAD, *(later - sooner for sooner, later in itertools.pairwise(dates)))
        if float(early.m_as("s")) > trend.last_si + wait * DAY:
            return False
        last = self.first.toordinal() + round(trend.last_si / DAY)
        then = date.fromordinal(last + wait).isoformat()
        title = f"Tension expected on {then}"
        expected = trend.at(f"{trend.last_si + wait * DAY} s")
        sentence = (
            f"{title}, the next look: {say(expected)}; limit {limit.text}: it may be reached before then, {TOO_CLOSE}"
        )
        settle = "read the tension again before that day"
        self.found("next_look", title, Verdict(TOO_CLOSE, expected, limit, sentence, settle))
        return True

    def _residuals(self, trend: TensionLine, tensions: list[tuple[date, Measured]]) -> list[str]:
        """A reading that lies off the line by more than it is known to."""
        if trend.freedom < 1:
            return []
        said = []
        for (day, tension), off in zip(tensions, trend.residuals_si, strict=True):
            if abs(off) > float(tension.expanded_si):
                said.append(
                    f"The reading of {day.isoformat()} is off the line by more than its uncertainty. Was the "
                    f"turnbuckle turned, or was another place, riser or gauge used?"
                )
        return said

    def _chart(self, trend: TensionLine, tensions: list[tuple[date, Measured]]) -> Chart:
        unit = required_kind(Force).shown(self.system)

        def y(si: float) -> float:
            return float(in_unit(si, unit, Force))

        last = trend.last_si / DAY
        xs = [float(day.toordinal() - self.first.toordinal()) for day, _ in tensions]
        line = [y(float(trend.at(f"{x * DAY} s").si)) for x in (0.0, last)]
        limit = self.cable.limits.tension
        bands = []
        if limit is not None and not limit.open:
            top = 1.15 * max(y(float(tension.si)) for _, tension in tensions)
            low = 0.0 if limit.low_si is None else y(limit.low_si)
            high = top if limit.high_si is None else y(limit.high_si)
            bands.append(Band(f"limit {limit.text}", [0.0, last], [low, low], [high, high]))
        day, latest = tensions[-1]
        spread = float(latest.expanded_si) / unit_factor(unit, Force)
        word = judged_tension(limit, latest, limit.name).word if limit is not None else ""
        points = [Point(f"latest, {day.isoformat()}", xs[-1], y(float(latest.si)), 0.0, spread, word)]
        return Chart(
            f"Tension over time, {self.cable.named}",
            f"days since {self.first.isoformat()}",
            f"tension at {self.cable.limits_at.said}, {unit_label(unit, Force)}",
            [Curve(f"line: {say(trend.slope)}", [0.0, last], line, "main")],
            bands,
            points,
            [Dots("read", xs[:-1], [y(float(tension.si)) for _, tension in tensions[:-1]], "main")],
        )
