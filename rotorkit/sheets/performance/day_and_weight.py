"""What the performance sheets have in common: the day's readings, and the estimate of the main rotor's hover power.

`DaySheet` holds the readings of a day at a field; `EstimateSheet` adds which estimate of the main rotor's power is
taken, and whether measured hovers correct it. Neither is a sheet by itself. `DayWorking` and `EstimateWorking` are what
the workings of their sheets begin with.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Annotated, Any, ClassVar

from rotorkit import sources
from rotorkit.aircraft import Aircraft
from rotorkit.aircraft.derived import blades_of, slower_words
from rotorkit.aircraft.entries import Choice, Entry, asked, required
from rotorkit.aircraft.loading import EnvelopeLines, Stood
from rotorkit.atmosphere.ranges import ALTIMETER_SETTING
from rotorkit.judging.limits import IN_LIMITS, OUT_OF_LIMITS, TOO_CLOSE, Limit, Verdict
from rotorkit.judging.measured import STATED_AS, Measured, combine, measured
from rotorkit.mass import weight_force
from rotorkit.quantities import (
    Length,
    Mass,
    Pressure,
    QuantityError,
    Ratio,
    Reading,
    RotationRate,
    Temperature,
    from_si,
    required_kind,
    say,
)
from rotorkit.rotor import blade_loading, disk_area, thrust_coefficient, tip_speed
from rotorkit.rotor.blade_element.trust import POWER_AT_THRUST
from rotorkit.rotor.forward_flow import RETREATING_LIFT
from rotorkit.rotor.margin import corrected_power
from rotorkit.sheets.base import AN_ESTIMATE, Finding, Outcome, Sheet
from rotorkit.sheets.performance.power_reckoning import (
    BY_BLADES,
    BY_MERIT,
    BY_PARTS,
    Day,
    Estimate,
    Figures,
    corrections,
    engine_power,
)
from rotorkit.sheets.working import Working, key_of, value_of

AS_ESTIMATED, BY_HOVERS = "as estimated", "by the measured hovers"
SPREAD = "spread of the estimates"
NO_STALL = Limit(
    "blade loading", Ratio, high=f"{RETREATING_LIFT / 6:.4f}",
    source=f"a mean lift coefficient of {RETREATING_LIFT}, where plain sections stall: common practice (no source)",
)  # fmt: skip
BY_THE_THEORY = "power at a thrust, by the theory"


_DAY_SHEETS = ("hover_margin", "level_flight", "autorotation", "anti_torque_margin")


def _of_the_day(field: str) -> dict[str, Any]:
    """That another check of the same day has the same reading, for its entry."""
    return {"given_by": tuple(f"{sheet}.{field}" for sheet in _DAY_SHEETS), "for_a_day": True}


LEFT_OUT = (
    "leaves out where the centre of gravity lies: it tilts the body in the air stream, and that changes the body's "
    "drag. By how much no model here says, and the ± does not cover it: measure the drag with it loaded as you fly it."
)
"""What the centre of gravity changes in the air stream and is not in the figures, after what it is not in."""
NO_TRIM = (
    "how the body sits in the air stream, what that does to its drag, and how much cyclic is left there: in flight the "
    "manual's limits come first. For the hover the check Cyclic remaining in the hover tells it"
)
"""What a sheet without a trim of the body does not cover."""
_INCHES = ("in", "mm")
_NOT_LOOKED_AT = "Whether this loading lies inside the manual's envelopes was not looked at"


class DaySheet(Sheet):
    """The readings of a day at a field, with what they are read. moved_by_centre: what the centre of gravity changes in
    the sheet's own figures, and what not."""

    moved_by_centre: ClassVar[str] = ""
    puts_right: ClassVar[dict[str, str]] = {
        "gross_weight": "Load it lighter: people, baggage or fuel.",
        "blade_loading": "Load it lighter or wait for cooler air.",
    }

    gross_weight: Annotated[
        Reading,
        Entry(
            Mass,
            ("lb", "kg"),
            ("200 lb", "12000 lb"),
            ("600 lb", "4000 lb"),
            by="scale",
            given_by=("loading.gross_weight", "loading.weight_end"),
        ),
    ] = required(
        "Gross weight",
        "Everything lifted today, as scales would show it: empty weight, people, fuel, baggage. A "
        "loading check gives "
        "it.",
    )
    arm: Annotated[
        Reading | None,
        Entry(Length, ("in", "mm"), ("-60 ft", "60 ft"), given_by=("loading.arm_start", "loading.arm_end")),
    ] = asked(
        "Centre of gravity", "Aft of the datum, from the loading check: whether this loading may be flown at all."
    )
    lateral_arm: Annotated[
        Reading | None,
        Entry(
            Length, ("in", "mm"), ("-15 ft", "15 ft"),
            given_by=("loading.lateral_arm_start", "loading.lateral_arm_end"),
        ),
    ] = asked("Lateral centre of gravity", "Right positive.")  # fmt: skip
    altimeter_setting: Annotated[
        Reading,
        Entry(
            Pressure,
            ("inHg", "hPa"),
            ALTIMETER_SETTING,
            ("28 inHg", "31.5 inHg"),
            by="altimeter",
            **_of_the_day("altimeter_setting"),
        ),
    ] = required("Altimeter setting", "What the altimeter's scale shows when its hands show the field's elevation.")
    elevation: Annotated[
        Reading,
        Entry(
            Length, ("ft", "m"), ("-1400 ft", "20000 ft"), ("-300 ft", "12000 ft"), **_of_the_day("elevation")
        ),
    ] = required("Field elevation", "Above mean sea level, from the chart.")  # fmt: skip
    temperature: Annotated[
        Reading,
        Entry(
            Temperature, ("°F", "°C"), ("-40 °F", "122 °F"), ("-20 °F", "115 °F"), by="thermometer",
            **_of_the_day("temperature"),
        ),
    ] = required("Air temperature", "In the shade, at rotor height, away from the engine and hot ground.")  # fmt: skip
    humidity: Annotated[
        Reading,
        Entry(Ratio, ("%", "%"), ("0 %", "100 %"), ("3 %", "100 %"), by="hygrometer", **_of_the_day("humidity")),
    ] = required("Relative humidity", "Read beside the thermometer. Damp air is thinner.")
    rotor_speed: Annotated[
        Reading, Entry(RotationRate, ("rpm", "rpm"), ("50 rpm", "6000 rpm"), ("200 rpm", "900 rpm"), by="tachometer")
    ] = required("Rotor speed", "The main rotor speed that will be flown.")
    scale: Annotated[str, Choice("instruments", measures="mass")] = asked("Weighed with", default="")
    altimeter: Annotated[str, Choice("instruments", measures="pressure")] = asked("Altimeter", default="")
    thermometer: Annotated[str, Choice("instruments", measures="temperature")] = asked("Thermometer", default="")
    hygrometer: Annotated[str, Choice("instruments", measures="humidity")] = asked("Hygrometer", default="")
    tachometer: Annotated[str, Choice("instruments", measures="rotor speed")] = asked("Tachometer", default="")


def _shown(axis: str) -> tuple[str, str]:
    """The units that an axis of an envelope is said in."""
    return ("lb", "kg") if axis == "mass" else _INCHES


class DayWorking(Working):
    """The working of a day's readings: weight, rotor speed and air, each made once, with the steps to the air."""

    def __init__(self, sheet: DaySheet, aircraft: Aircraft) -> None:
        super().__init__(sheet, aircraft)
        self._engine = ""
        self._nos = 0
        self.mass = self.reading("gross_weight", "gross weight")
        self.speed = self.reading("rotor_speed", "rotor speed")
        self.day = Day.worked(
            self,
            self.reading("altimeter_setting", "altimeter setting"),
            self.reading("elevation", "field elevation"),
            self.reading("temperature", "air temperature"),
            self.reading("humidity", "relative humidity"),
        )

    @cached_property
    def arm(self) -> Measured | None:
        """The loading's centre of gravity, aft of the datum, where it is given."""
        return None if self.sheet.arm is None else self.reading("arm", "centre of gravity", _INCHES)

    @cached_property
    def lateral_arm(self) -> Measured | None:
        """The same, lateral, right positive."""
        if self.sheet.lateral_arm is None:
            return None
        return self.reading("lateral_arm", "lateral centre of gravity", _INCHES)

    @cached_property
    def figures(self) -> Figures:
        """The aircraft's figures, each made once."""
        return Figures.of(self.aircraft)

    @cached_property
    def rated(self) -> Measured:
        """The engine's rated power as far as it may be counted on at this rotor speed, with a step and, among the first
        sentences, a word where that is less than all of it."""
        power, speed = self.figures.rated_at(self.speed), float(self.speed.si)
        slower = slower_words(self.aircraft, speed)
        if slower:
            self._engine = slower
            rated = say(self.figures.rated)
            self.step(
                "Engine's power at this rotor speed",
                [f"{slower} {rated} times the part of the rated speed: {say(power)}"],
                power,
                sources.COMMON_PRACTICE.at("torque held at best below the rated speed"),
            )
        elif speed > 1.05 * self.figures.full_power_from:
            self._engine = "At this rotor speed no more than the engine's rated power is counted on."
        return power

    def tell(self, key: str, title: str, figure: Measured, name: str = "") -> Finding:
        """As `Working.tell`; the sentence calls the figure by its title as it stands within a sentence."""
        return super().tell(key, title, figure, name or title[:1].lower() + title[1:])

    def no(self, sentence: str) -> None:
        """What physics does not allow: it leads, after what was said so before it."""
        self.lead.insert(self._nos, sentence)
        self._nos += 1

    def say_what_helps(self, *keys: str) -> None:
        """After what can be done today, what brings these figures of power surely in limits, where they are not. What
        physics does not allow says more already."""
        words = {one.key: one.verdict.word for one in self.findings if one.key in keys}
        close = [key for key, word in words.items() if word == TOO_CLOSE]
        if self._nos or not (close or OUT_OF_LIMITS in words.values()):
            return
        surer = ", or make the figure surer: the table says by how much" if close else ""
        self.say_to_do(
            f"{self.told_to_do} To be surely in limits load it lighter or wait for cooler air{surer}.".strip(), *close
        )

    def _loading(self) -> None:
        """Whether this loading may be flown at all comes before what it can do: how it stands to each of the manual's
        envelopes, which lead where it is not surely inside, and in words where that was not looked at."""
        figures = self.aircraft.loading
        if self.arm is None and self.lateral_arm is None:
            self.lead.append(f"{_NOT_LOOKED_AT}: no centre of gravity is given here. A saved loading check offers it.")
            return
        if figures is None or not figures.envelopes:
            self.lead.append(
                f"{_NOT_LOOKED_AT}: the aircraft file has none. Write them into [loading], corner by corner."
            )
            return
        bad = []
        found = figures.standings(self.mass, self.arm, self.lateral_arm)
        for lines, stood in sorted(found, key=lambda one: one[1] is None or one[1].standing.word != OUT_OF_LIMITS):
            if stood is None:
                lacks = "centre of gravity" if self.arm is None else "lateral centre of gravity"
                self.lead.append(f"{_NOT_LOOKED_AT} for {lines.title}: no {lacks} is given here.")
                continue
            finding = self._in_envelope(lines, stood)
            if stood.standing.word != IN_LIMITS:
                bad.append(finding)
                surely = stood.standing.word == OUT_OF_LIMITS
                self.no(
                    f"{lines.title}: this loading {'lies' if surely else 'may lie'} outside the manual's envelope. "
                    f"Do not fly it like this{'' if surely else ' until that is settled'}, whatever else stands here."
                )
        self.notes.append(self.sheet.moved_by_centre)
        if bad:
            self.findings = [*bad, *(one for one in self.findings if one not in bad)]
            if not self.told_to_do.startswith("Do not"):  # which says more already
                self.say_to_do(
                    "Load it differently: the loading check says which ballast brings it inside, and follows the fuel "
                    "as it burns.",
                    "envelope.",
                )
        else:
            self.notes.append("The envelopes were held against this one loading: the loading check follows the fuel.")

    def _in_envelope(self, lines: EnvelopeLines, stood: Stood) -> Finding:
        """One envelope's verdict, with the margin to the nearest of its limits and a step."""
        hull, stands, margin, side = lines.envelope, stood.standing, stood.margin, stood.side
        pounds = margin.kind.si == "kg"
        margin = margin.shown_in(("lb", "kg") if pounds else _INCHES)
        title = f"{lines.title}: this loading, from the {side}"
        unit = "lb" if pounds else "in"
        limit = Limit(title, margin.kind, low=f"0 {unit}", source=lines.source, unit=unit)
        settle = ""
        if stands.word == TOO_CLOSE:
            settle = stands.too_close
        elif stands.word == OUT_OF_LIMITS:
            settle = "load it differently"
        told = f"{title}: {say(margin)}; limit {limit.text}: {stands.word}"
        place = " at ".join(say(one.shown_in(_shown(axis))) for axis, one in zip(
            (hull.across, hull.up), (stood.across, stood.up), strict=True))  # fmt: skip
        line = f"{place}: {say(margin)} from the {side}"
        self.step(title, [line], margin, sources.ARITHMETIC.at("distance to the envelope's edge along its axis"))
        return self.found(f"envelope.{key_of(lines.title)}", title, Verdict(stands.word, margin, limit, told, settle))

    def _stall(self) -> None:
        """Blades that would have to carry more than they can in the hover lead, whatever is judged: what does not carry
        need not be asked for its power. Blades that may have to come after what cannot be for certain."""
        f, speed = self.figures, self.speed
        thrust = f.carried(value_of(weight_force, self.mass))
        tips = tip_speed(speed, f.radius)
        carried = value_of(thrust_coefficient, thrust, self.day.density, disk_area(f.radius), tips)
        loading = value_of(blade_loading, carried, f.shape)
        verdict = NO_STALL.judge(loading)
        if verdict.word == IN_LIMITS:
            return
        surely = verdict.word == OUT_OF_LIMITS
        stall = "they stall" if surely else "they may stall"
        self.lead.insert(
            0 if surely else self._nos,
            f"The blades would have to carry more than they can in a hover at this rotor speed: {stall}.",
        )
        if all(one.key != "blade_loading" for one in self.findings):
            self.findings.append(Finding("blade_loading", "Blade loading", verdict))

    def outcome(self, title: str = "", remarks: Sequence[str] | None = None) -> Outcome:
        """As `Working.outcome`, with a weight that is, or may be, above the aircraft file's maximum as the first
        finding, likewise main rotor blades that stall or may, and with a rotor speed that is not the file's said among
        the first sentences."""
        most, usual = self.aircraft.weights.maximum, self.aircraft.main_rotor.speed
        leads: list[str] = []
        self._loading()
        limit = Limit("gross weight", Mass, high=most.value, source="maximum of the aircraft file", unit="lb")
        self._stall()
        verdict = limit.judge(self.mass)
        if verdict.word != IN_LIMITS:
            self.findings.insert(0, Finding("gross_weight", "Gross weight", verdict))
            above = "is above" if verdict.word == OUT_OF_LIMITS else "may be above"
            leads.append(f"The gross weight {above} the maximum of the aircraft file, {most.said}.")
        if not 0.95 * usual.si <= self.sheet.rotor_speed.si <= 1.05 * usual.si:
            leads.append(
                f"The rotor speed is not the aircraft file's, {usual.said}: the manual's rotor speed limits "
                "are not judged here."
            )
        if self._engine:
            leads.append(self._engine)
        # what physics does not allow goes before these, that the figures are an estimate comes after
        at = next((i for i, said in enumerate(self.lead) if said.startswith(AN_ESTIMATE)), len(self.lead))
        self.lead[at:at] = leads
        return super().outcome(title, remarks)


@dataclass(frozen=True)
class HoverPower:
    """The main rotor's power in the hover. main: by the judged estimate, corrected. correction: with the uncertainty of
    the model, None where the estimate is taken as it stands. powers: engine power by each estimate."""

    main: Measured
    estimate: Estimate
    estimates: dict[str, Estimate]
    correction: Measured | None
    powers: dict[str, Measured]


class EstimateSheet(DaySheet):
    """A day's readings, and which estimate of the main rotor's power is taken."""

    estimate: Annotated[str, Choice(options=(BY_MERIT, BY_PARTS, BY_BLADES))] = asked(
        "Estimate by",
        "Which estimate of the main rotor's power is judged; the others are shown for comparison.",
        BY_MERIT,
    )
    calibration: Annotated[str, Choice(options=(AS_ESTIMATED, BY_HOVERS))] = asked(
        "Estimate taken", "As it stands, or corrected by the measured hovers of the aircraft file.", AS_ESTIMATED
    )


class EstimateWorking(DayWorking):
    """The working of a sheet that rests on an estimate of the main rotor's power in the hover."""

    @property
    def estimated(self) -> str:
        """That what follows is an estimate, and by what it was corrected, in a sentence."""
        if self.sheet.calibration == BY_HOVERS:
            count = len(self.aircraft.measured_hovers)
            hovers = "1 measured hover" if count == 1 else f"{count} measured hovers"
            return f"{AN_ESTIMATE} by {self.sheet.estimate}, corrected by {hovers}."
        return (
            f"{AN_ESTIMATE} by {self.sheet.estimate}: it has not been corrected by a measured hover of this aircraft."
        )

    def hover_power(self, weight: Measured) -> HoverPower:
        """The main rotor's power in the hover, with its steps; how the estimates' spread enters is told in
        `rotorkit.sheets.performance.hover_margin`."""
        aircraft, figures, day, speed, chosen = self.aircraft, self.figures, self.day, self.speed, self.sheet.estimate
        if chosen == BY_BLADES:
            blades_of(aircraft.main_rotor, "main rotor")  # says which section is missing
        estimates = figures.estimates
        estimate = estimates[chosen]
        found = {chosen: estimate.power(weight, day, speed, self)}
        for name, one in estimates.items():
            try:
                found[name] = found.get(name) or one.power(weight, day, speed)
            except QuantityError as problem:
                self.notes.append(f"By {name} there is no figure ({problem}).")
        estimates = {name: one for name, one in estimates.items() if name in found}

        by_hovers = self.sheet.calibration == BY_HOVERS
        ratios = corrections(aircraft, estimates, figures, chosen, self) if by_hovers else {}
        main = {name: corrected_power(one, ratios[name]) if ratios else one for name, one in found.items()}
        powers = {name: engine_power(one, day, speed, figures) for name, one in main.items()}
        if not by_hovers and chosen != BY_BLADES:
            return HoverPower(found[chosen], estimate, estimates, None, powers)
        bound = max(abs(float(one.si / main[chosen].si) - 1) for one in main.values())
        label, standard = SPREAD, bound * STATED_AS["bounds"][0]
        said = f"bound of the model either way: {100 * bound:.2g} % of the main rotor's power"
        if not by_hovers and standard < POWER_AT_THRUST:
            label, standard = BY_THE_THEORY, POWER_AT_THRUST
            said = (
                f"the theory may be off by {200 * standard:.0f} % of the main rotor's power (k = 2), by measured "
                "rotors that it was not adjusted to"
            )
            self.notes.append(
                f"The ± includes {200 * standard:.0f} % of the main rotor's power for the theory. Nearly all measured "
                "rotors took more power than the theory gives with a smooth section's drag: write in the drag of the "
                "blades as they really are, and correct the estimate by measured hovers."
            )
        ratio = required_kind(Ratio)
        model = measured(from_si(1.0, ratio), ratio, label, uncertainty=from_si(standard, ratio), stated_as="standard")
        hovers = ratios.get(chosen, Measured(1.0, ratio))
        correction = combine(hovers.si, ratio, (hovers, model), (1.0, float(hovers.si)))
        lines = [said]
        if by_hovers:
            count = len(aircraft.measured_hovers)
            lines.insert(0, f"mean of {count} measured hover{'s' if count > 1 else ''}: {say(hovers)}")
            if count == 1:
                self.notes.append(
                    "One measured hover corrects the estimate: how far it is off at another weight or in other air "
                    "shows only in the spread. Measure a second hover, light or high."
                )
        self.step("Correction", lines, correction, corrected_power.citation)
        judged = self.work("", corrected_power, found[chosen], correction)
        return HoverPower(judged, estimate, estimates, correction, powers)
