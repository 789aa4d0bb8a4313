"""Cable tension: a gauge reading, carried to the temperature that the kit manual's limit is given for."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated, Any, ClassVar

from rotorkit.aircraft import Aircraft, Cable
from rotorkit.aircraft.entries import Choice, Readings, asked, required
from rotorkit.judging.limits import Limit
from rotorkit.judging.measured import Measured
from rotorkit.pictures.data import Band, Chart, Curve, Point
from rotorkit.quantities import (
    Force,
    Reading,
    Temperature,
    in_unit,
    number_text,
    read,
    required_kind,
    say,
    unit_factor,
    unit_label,
)
from rotorkit.rigging import (
    TIGHTEN,
    interpolated_tension,
    judged_tension,
    may_be_slack,
    slack_temperature,
    tension_at_temperature,
    unknown_tension,
)
from rotorkit.sheets.base import About, Needed, Outcome, Sheet
from rotorkit.sheets.exercises import Exercise, Range
from rotorkit.sheets.rigging.gauge_reading import AIRFRAME, DIAL, EVERYDAY, SHOWN, CableWork, Slope, cable_used
from rotorkit.sheets.working import named
from rotorkit.sources import cautions

COLDEST, HOTTEST = read("-100 °F", Temperature).si, read("200 °F", Temperature).si
"""A cable that goes slack only outside these does not go slack in use."""


MARGIN = 15.0
"""Kelvins beside the temperatures shown."""
SAME_TEMPERATURE = 0.5
"""Kelvins within which today's temperature is the limit's, so that one point stands for both."""


class CableTension(Sheet):
    """The tension of one run of control cable on a day, against a limit given for another temperature."""

    order: ClassVar[int] = 60
    puts_right: ClassVar[dict[str, str]] = {
        "": "Set the turnbuckle as the manual says, lock it, work the controls, and measure again.",
    }
    needed: ClassVar[tuple[Needed, ...]] = (
        Needed(
            "First engine run", "a slack cable lets the tail rotor's pitch wander as soon as it turns", each="cables"
        ),
        Needed(
            "First rotor turn",
            "a slack cable lets the tail rotor's pitch wander; a tight one makes the pedals drag",
            each="cables",
        ),
        Needed("First hover", "tension changes with temperature: it must be right on the day", each="cables"),
        Needed("End of the test phase", "new cables stretch: measure the tension again", each="cables"),
    )
    uses: ClassVar[tuple[str, ...]] = ("cables.{cable}.limits_at",)
    judged_by: ClassVar[tuple[str, ...]] = ("cables.{cable}.limits.tension",)
    about: ClassVar[About] = About(
        title="Cable tension",
        settles=(
            "Whether a control cable has the tension the manual gives for its temperature, what the gauge "
            "should show at today's temperature, and at what temperature the cable would go slack."
        ),
        when=(
            "After fitting or adjusting a cable; a few hours later, when a new one has stretched in; at each "
            "inspection; and before the season changes."
        ),
        tools=(
            "cable tension gauge with its own calibration table, and the riser that the table names for this cable",
            "thermometer, laid on the airframe beside the cable",
            "the manual's page with the tension and the temperature it is given for",
        ),
        procedure=(
            "Leave the aircraft out of the sun with the engine cold until airframe and cable are "
            "at the same temperature: an hour or more.",
            "Work the controls through their full range a few times, then set them to neutral with the rigging pin in.",
            "Check the gauge: its zero or test bar, its serial number on the table, the riser for this cable size.",
            "Put the gauge on the middle of a free length of cable, away from pulleys, fairleads, terminals and the "
            "turnbuckle; let it settle and read the dial.",
            "Take it off, work the controls again and repeat: three readings, separated by semicolons.",
            "Read the thermometer on the airframe at the same time.",
            "If the tension needs changing, aim for the middle of the band at today's temperature, tighten both runs "
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
            *cautions.AFTER_ADJUSTING,
        ),
        not_covered=(
            "friction at pulleys and fairleads: the tension differs along a run until you work the controls",
            "a cable that is not at the airframe's temperature: sun on the boom, a warm engine bay",
            "the permanent stretch of a new cable, wear, broken wires and the cable's strength",
            "tension regulators and springs in the run",
        ),
    )
    exercises: ClassVar[tuple[Exercise, ...]] = (
        Exercise(
            name="carried",
            title="Corrected to the manual's temperature",
            story=(
                "A pedal cable reads {tension} with the airframe at {measured_at}. Its tension rises by "
                "{slope}, and the manual gives its limit for {wanted_at}."
            ),
            find="the tension corrected to the manual's temperature",
            unit="lb",
            of=tension_at_temperature,
            given={
                "tension": Range("28.0 lb", "38.0 lb", "0.5 lb"),
                "slope": Range("0.20 lb/°F", "0.60 lb/°F", "0.05 lb/°F"),
                "measured_at": Range("40 °F", "62 °F", "1 °F"),
                "wanted_at": "70 °F|20 °C",
            },
            hints=(
                "How many degrees are there between today's temperature and the manual's?",
                "Degrees times the change per degree is what you add to the reading.",
            ),
        ),
        Exercise(
            name="cold_morning",
            title="A cold morning",
            story=(
                "The manual wants {tension} at {measured_at}. This morning the airframe is at {wanted_at}, "
                "and the tension changes by {slope}."
            ),
            find="the tension to set this morning",
            unit="lb",
            of=tension_at_temperature,
            given={
                "tension": Range("33.0 lb", "39.0 lb", "0.5 lb"),
                "slope": Range("0.25 lb/°F", "0.45 lb/°F", "0.05 lb/°F"),
                "measured_at": "70 °F|20 °C",
                "wanted_at": Range("30 °F", "50 °F", "1 °F"),
            },
            hints=(
                "Colder or warmer? A steel cable along an aluminium boom goes slack in the cold.",
                "Degrees times the change per degree, subtracted.",
            ),
        ),
        Exercise(
            name="between_two_rows",
            title="Between two rows of the gauge's table",
            story=(
                "The gauge's table says {tension_below} at {reading_below} divisions and {tension_above} "
                "at {reading_above}. The dial shows {reading} divisions."
            ),
            find="the tension",
            unit="lb",
            of=interpolated_tension,
            given={
                "reading": Range("25.5", "30.5", "0.5"),
                "reading_below": "25",
                "reading_above": "31",
                "tension_below": Range("26.0 lb", "29.0 lb", "0.5 lb"),
                "tension_above": Range("36.0 lb", "39.0 lb", "0.5 lb"),
            },
            hints=(
                "How far is the dial from the lower row to the upper, as a share of the way?",
                "The tension is that share of the way from the lower tension to the upper.",
            ),
        ),
        Exercise(
            name="by_the_table",
            title="A reading through the gauge's table",
            story=(
                "On the invented aircraft the gauge with riser 1 shows {dial} divisions on the pedal "
                "cable. Its table says {28 lb|124.6 N} at 25 divisions and {38 lb|169.0 N} at 31."
            ),
            find="the tension today",
            unit="lb|N",
            given={
                "dial": Range("25.5", "30.5", "0.5"),
            },
            figure="tension_today",
            hints=(
                "The table has no row for this reading: it lies between two.",
                "To the lower row's tension add that share of the step to the upper row.",
            ),
        ),
    )

    cable: Annotated[str, Choice("cables")] = required("Cable", "As named in the aircraft file.")
    gauge: Annotated[str, Choice("instruments", measures="cable tension")] = required(
        "Gauge", "This gauge, by its serial number: another gauge's table will not do."
    )
    riser: str = asked(
        "Riser", "The mark on the riser in the gauge, as in its table. Leave it empty for a gauge without a table.", ""
    )
    dial: Annotated[Readings | None, DIAL] = asked(
        "Dial reading",
        "In the gauge's own divisions, with its table. Separate repeats with semicolons: 27.5; 28; 27.5.",
    )
    tension: Annotated[Readings | None, SHOWN] = asked(
        "Tension shown", "For a gauge that shows the tension itself and has no table. Separate repeats with semicolons."
    )
    temperature: Annotated[Reading, AIRFRAME] = required(
        "Temperature of the airframe",
        "On the structure beside the cable, after airframe and cable have come to one temperature.",
    )
    thermometer: Annotated[str, Choice("instruments", measures="temperature")] = asked("Thermometer", default="")

    @classmethod
    def figures_used(cls, picked: Mapping[str, Any], aircraft: Aircraft) -> list[str]:
        """The sheet's own, and those of the cable that is picked."""
        return [*super().figures_used(picked, aircraft), *cable_used(picked, aircraft)]

    def _work(self, aircraft: Aircraft) -> Outcome:
        return CableTensionWork(self, aircraft).whole()


class CableTensionWork(CableWork):
    """One working of the sheet."""

    def __init__(self, sheet: CableTension, aircraft: Aircraft) -> None:
        super().__init__(sheet, aircraft)
        readings = self.readings_of(sheet)
        self.settle()
        assert readings is not None
        self.readings = readings
        self.temperature = self.reading("temperature", "airframe temperature")

    def whole(self) -> Outcome:
        """All of it: tension as read and carried, verdicts, pictures, and what is said of them."""
        self.work_tension()
        return self.outcome(f"{self.sheet.about.title}, {self.cable.named}")

    def work_tension(self) -> None:
        """The tension of the day and at the limit's temperature, judged, drawn and told."""
        cable, limit = self.cable, self.cable.limits.tension
        there = cable.limits_at.said
        tension = self.tension = self.tension_of(self.readings)
        slope = self.slope = self.slope_of_cable()
        temperature, wanted = self.temperature, cable.limits_at
        carried = self.carried = self.work(
            f"Tension corrected to {there}", tension_at_temperature, tension, slope.value, temperature, wanted
        )
        taut = may_be_slack(tension) is None
        slack = self._slack(tension, slope) if taut else None
        self.today = self._limit_today(limit, slope)
        name, now = f"tension at {there}", "Tension today, as read"
        limited = named(limit, name)
        if taut:
            verdict = judged_tension(limited, carried, name)
            self.found("tension_at_limit_temperature", f"Tension at {there}", verdict)
            self.tell("tension_today", now, tension, now.lower())
        else:
            verdict = unknown_tension(limited, tension, carried, there)
            self.found("tension_today", now, verdict)
        self.tell("slope", "Change of tension per degree", slope.value, "change of tension")
        if slack is not None:
            title = "Slack at" if slope.steepest is None else "Could be slack at"
            self.tell("slack_temperature", title, slack, "temperature of the slack cable")
        self.should_show = ""
        self.notes += [*self._remarks(limit, self.today, carried, slack), slope.how]
        if self.should_show:
            self.say_to_do(self.should_show)
        if taut:
            given = cable, self.system, temperature, tension, slope.value, slope.steepest, carried, slack, verdict.word
            self.pictures.append(tension_chart(*given))
        self.compare("Against the limit")

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
        return self.work(title, slack_temperature, tension, steepest, self.temperature)

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
            moved.append(self.work(title, tension_at_temperature, given, slope.value, at, self.temperature))
        return moved

    def _remarks(
        self, limit: Limit | None, today: list[Measured | None], carried: Measured, slack: Measured | None
    ) -> list[str]:
        there = self.cable.limits_at.said
        said = []
        doubt = may_be_slack(self.tension)
        if doubt:
            said.append(
                f"The gauge shows {say(self.tension)}: the cable {doubt}. The gauge cannot show how far a slack cable "
                f"is from being taut, so there is nothing to correct to {there}. {TIGHTEN}"
            )
        elif (doubt := may_be_slack(carried)) is not None:
            said.append(
                f"At {there} the cable {doubt}: the line through the reading comes to {say(carried)} there, and a "
                f"cable cannot push. Fix that before the controls are used."
            )
        if (
            slack is not None
            and read(EVERYDAY[0], Temperature).si < float(slack.si) < read(EVERYDAY[1], Temperature).si
        ):
            said.append(f"The cable goes slack at {say(slack)}, a temperature it may well meet in use.")
        if limit is None:
            said.append(f"The aircraft file gives no tension limit for {self.cable.named}: nothing is judged.")
            return said
        if not may_be_slack(self.tension):
            said.append(
                f"The tension corrected to {there} is judged, because the limit is given for that temperature. Today's "
                "reading has no limit of its own; the picture shows the same limit moved to today's temperature, "
                "which gives the same answer."
            )
        sides = [side for side in today if side is not None]
        if any(float(side.si) <= 0 for side in sides):
            self.should_show = self._slack_today(today)
            said.append(self.should_show)
        elif sides:
            words = " to ".join(say(side) for side in sides)
            which = "" if len(sides) == 2 else "at least " if today[0] is not None else "at most "
            sentence = f"At today's {self.sheet.temperature.said} the gauge should show {which}{words}"
            marks = [mark for side in sides if (mark := self._dial_for(float(side.si)))]
            if len(marks) == len(sides):
                sentence += f": {which}{' to '.join(marks)} on its dial"
                self.should_show = f"At today's {self.sheet.temperature.said} the gauge should show {which}"
                self.should_show += f"{' to '.join(marks)} on its dial."
            said.append(sentence + ".")
            self.should_show = self.should_show or sentence + "."
        return said

    def _slack_today(self, today: list[Measured | None]) -> str:
        """What the gauge can show where the limit, moved to today's temperature, comes to a slack cable."""
        high = today[1]
        at = f"At today's {self.sheet.temperature.said} a cable rigged to the limit"
        if high is None or float(high.si) > 0:
            most = "" if high is None else f", and at most {say(high)}"
            return f"{at} may be slack: the gauge should show a tension{most}. Rig it at a warmer temperature."
        return f"{at} would be slack: nothing you set or read today would prove it. Rig it on a day when it is taut."

    def _dial_for(self, tension: float) -> str:
        """That reading in words; empty without a table, or where it does not reach."""
        dial = self.dial_at(tension) if self.table is not None else None
        return "" if dial is None else number_text(dial, 3)


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
        return float(in_unit(si, degrees, Temperature))

    def y(si: float) -> float:
        return float(in_unit(max(si, 0.0), pounds, Force))

    def spread(figure: Measured, unit: str, kind: Any) -> float:
        return float(figure.expanded_si) / unit_factor(unit, kind)

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
        label = f"corrected to {cable.limits_at.said}"
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
                f"limit {limit.text} at {cable.limits_at.said}, moved with temperature",
                [x(p) for p in at],
                side_line(limit.low_si, 0.0),
                side_line(limit.high_si, top),
            )
        )
    return Chart(
        f"Tension over temperature, {cable.named}",
        f"temperature, {unit_label(degrees, Temperature)}",
        f"tension, {unit_label(pounds, Force)}",
        curves,
        bands,
        points,
    )
