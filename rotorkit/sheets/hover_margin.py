"""Hover margin: power needed and available at the day's weight, height, temperature and humidity.

Three estimates of the main rotor's power stand side by side; one is judged. How well that one is known enters the
verdict in one of two ways, never in both:

- a quick estimate as it stands (figure of merit; induced factor and profile drag) is known as well as the aircraft file
  says after the plus-minus sign of its figures. How far the estimates lie apart is told, and not added.
- the blade-element estimate, and any estimate corrected by measured hovers, carries the spread of the estimates on the
  day as the uncertainty of the model: the farthest of the others is the bound either way, any value between as likely
  (JCGM 100:2008, 4.3.7), for blade element as it stands never less than `BLADE_ELEMENT_POWER_BOUND`. It goes through
  power needed, weight margin and the height at which the margin is gone as one origin, "spread of the estimates".
"""

from __future__ import annotations

from typing import Annotated, ClassVar

import numpy as np
from pydantic import Field

from rotorkit import cautions, sources
from rotorkit.aircraft import Aircraft
from rotorkit.aircraft.performance import blades_of, engine_words
from rotorkit.atmosphere import density_altitude, density_ratio, speed_of_sound, standard_density
from rotorkit.atmosphere.ranges import ALTIMETER_SETTING
from rotorkit.engine import full_throttle_power_gagg_ferrar
from rotorkit.entries import Choice, Entry
from rotorkit.limits import worst
from rotorkit.mass import weight_force
from rotorkit.measured import Measured, combine, largest_less_smallest, measured
from rotorkit.quantities import (
    Kind,
    Length,
    Mass,
    Pressure,
    QuantityError,
    Ratio,
    Reading,
    RotationRate,
    Temperature,
    from_si,
    in_unit,
    kind_of,
    read,
    say,
    unit_factor,
)
from rotorkit.rotor import (
    blade_loading,
    disk_area,
    engine_power_needed,
    main_rotor_torque,
    solidity,
    tail_rotor_power,
    tail_rotor_thrust_needed,
    thrust_coefficient,
    tip_mach_hovering,
    tip_speed,
)
from rotorkit.rotor.hover_balance import HoverBalance
from rotorkit.rotor.margin import BLADE_ELEMENT_POWER_BOUND, corrected_power, mass_margin, power_margin
from rotorkit.sheets.base import About, Finding, Outcome, Sheet, SheetError, bars, judge, plain_step
from rotorkit.sheets.hover_margin_work import (
    BY_BLADES,
    BY_MERIT,
    BY_PARTS,
    SPREAD,
    Chain,
    Day,
    Estimate,
    Figures,
    corrections,
    engine_power,
    value_of,
)
from rotorkit.sheets.picture import Chart, Curve, Picture, Point

__all__ = ["AS_ESTIMATED", "BY_BLADES", "BY_HOVERS", "BY_MERIT", "BY_PARTS", "HoverMargin"]

AS_ESTIMATED, BY_HOVERS = "as estimated", "by the measured hovers"
CHART_POINTS, CHART_POINTS_BY_BLADES = 41, 11
CHART_TOP = read("10,000 ft", Length)


class HoverMargin(Sheet):
    """The hover margin on a day, out of ground effect."""

    name: ClassVar[str] = "hover_margin"
    about: ClassVar[About] = About(
        title="Hover margin",
        settles=(
            "How much power and weight are left in a hover out of ground effect today, and the density altitude at "
            "which nothing is left."
        ),
        when="Before each hover test, with the day's readings; and beforehand, to choose the day and the weight.",
        tools=(
            "thermometer in the shade, away from the engine",
            "altimeter with its setting scale",
            "hygrometer",
            "scales or the weight record",
        ),
        procedure=(
            "Take the gross weight from the weighing and what is aboard today: fuel, people, equipment.",
            "Set the altimeter to the field's elevation and read the altimeter setting, or ask for it.",
            "Read the air temperature in the shade at rotor height, the humidity beside it.",
            "Enter the rotor speed that the hover is to be flown at.",
            "Compare the engine's power with what a full-throttle run has shown; correct the aircraft file if less.",
            "After the first hovers: write the weights that just hovered into the aircraft file, and have the estimate "
            "corrected by them.",
        ),
        sign_convention="A margin is what is available less what is needed: positive means that something is left.",
        cautions=(cautions.ESTIMATE, cautions.MANUAL_GOVERNS, cautions.AN_AID),
        not_covered=(
            "ground effect (the margin near the ground is larger: do not count on it)",
            "wind, climb, turns on the spot and pedal margin",
            "power lost where the engine does not turn at its rated speed",
            "carburettor ice, mixture and ignition that are not right, a tired engine",
            "blade stall and compressibility beyond what the figure of merit holds",
        ),
    )

    gross_weight: Annotated[
        Reading, Entry(Mass, ("lb", "kg"), ("200 lb", "12000 lb"), ("600 lb", "4000 lb"), by="scale")
    ] = Field(
        title="Gross weight",
        description="All that is lifted today, as scales show it: empty weight, people, fuel, baggage.",
    )
    altimeter_setting: Annotated[
        Reading, Entry(Pressure, ("inHg", "hPa"), ALTIMETER_SETTING, ("28 inHg", "31.5 inHg"), by="altimeter")
    ] = Field(
        title="Altimeter setting",
        description="What the altimeter's scale shows when its hands show the field's elevation.",
    )
    elevation: Annotated[Reading, Entry(Length, ("ft", "m"), ("-1400 ft", "20000 ft"), ("-300 ft", "12000 ft"))] = (
        Field(title="Field elevation", description="Above mean sea level, from the chart.")
    )
    temperature: Annotated[
        Reading, Entry(Temperature, ("°F", "°C"), ("-40 °F", "122 °F"), ("-20 °F", "115 °F"), by="thermometer")
    ] = Field(
        title="Air temperature", description="In the shade, at rotor height, away from the engine and hot ground."
    )
    humidity: Annotated[Reading, Entry(Ratio, ("%", "%"), ("0 %", "100 %"), by="hygrometer")] = Field(
        title="Relative humidity", description="Beside the thermometer. Damp air is thinner."
    )
    rotor_speed: Annotated[
        Reading, Entry(RotationRate, ("rpm", "rpm"), ("50 rpm", "6000 rpm"), ("200 rpm", "900 rpm"), by="tachometer")
    ] = Field(title="Rotor speed", description="The main rotor's, at which the hover is flown.")
    estimate: Annotated[str, Choice(options=(BY_MERIT, BY_PARTS, BY_BLADES))] = Field(
        BY_MERIT,
        title="Estimate by",
        description="Which estimate of the main rotor's power is judged; the others are told beside it.",
    )
    calibration: Annotated[str, Choice(options=(AS_ESTIMATED, BY_HOVERS))] = Field(
        AS_ESTIMATED,
        title="Estimate taken",
        description="As it stands, or corrected by the measured hovers of the aircraft file.",
    )
    scale: Annotated[str, Choice("instruments", measures="mass")] = Field("", title="Weighed with")
    altimeter: Annotated[str, Choice("instruments", measures="pressure")] = Field("", title="Altimeter")
    thermometer: Annotated[str, Choice("instruments", measures="temperature")] = Field("", title="Thermometer")
    hygrometer: Annotated[str, Choice("instruments", measures="humidity")] = Field("", title="Hygrometer")
    tachometer: Annotated[str, Choice("instruments", measures="rotor speed")] = Field("", title="Tachometer")

    def work(self, aircraft: Aircraft) -> Outcome:
        try:
            return self._work(aircraft)
        except QuantityError as problem:
            raise SheetError([("", str(problem))]) from None

    def _work(self, aircraft: Aircraft) -> Outcome:
        then = Chain()
        mass = self.measured("gross_weight", "gross weight", aircraft)
        setting = self.measured("altimeter_setting", "altimeter setting", aircraft)
        temperature = self.measured("temperature", "air temperature", aircraft)
        humidity = self.measured("humidity", "relative humidity", aircraft)
        speed = self.measured("rotor_speed", "rotor speed", aircraft)
        elevation = measured(self.elevation, Length, "field elevation")
        figures = Figures.of(aircraft)
        remarks = [*self.calibrations_overdue(aircraft), *(sentence for _, sentence in self.doubts())]
        if self.estimate == BY_BLADES:
            blades_of(aircraft.main_rotor, "main rotor")  # says which section is missing

        day = Day.worked(then, setting, elevation, temperature, humidity)
        available = self._available(then, aircraft, day, figures.rated, remarks)
        weight = then(weight_force, mass)
        area = then(disk_area, figures.radius)
        tips = then(tip_speed, speed, figures.radius)
        chord = measured(aircraft.main_rotor.chord, Length, "main rotor's chord")
        shape = then(solidity, str(len(aircraft.main_rotor.blades)), chord, figures.radius)

        estimates = figures.estimates
        estimate = estimates[self.estimate]
        found = {self.estimate: estimate.power(weight, day, speed, then)}
        for name, one in estimates.items():
            try:
                found[name] = found.get(name) or one.power(weight, day, speed)
            except QuantityError as problem:
                remarks.append(f"By {name} there is no figure ({problem}).")
        estimates = {name: one for name, one in estimates.items() if name in found}
        correction, by_others = self._corrected(then, aircraft, figures, estimates, found, day, speed, remarks)
        main_power = (
            found[self.estimate] if correction is None else then(corrected_power, found[self.estimate], correction)
        )
        torque = then(main_rotor_torque, main_power, speed)
        tail_thrust = then(tail_rotor_thrust_needed, torque, figures.arm)
        tail_area = then(disk_area, figures.tail_radius)
        tail_power = then(tail_rotor_power, tail_thrust, day.density, tail_area, figures.tail_merit)
        needed = then(engine_power_needed, main_power, tail_power, figures.accessories, figures.efficiency)
        margin = then(power_margin, available, needed)

        balance = HoverBalance(
            estimate.needed(),
            day.engine(aircraft).available,
            estimate.all_figures(correction or Measured(1.0, Ratio), day, speed),
        )
        able = balance.mass_at(available, day.density)
        then.steps.append(
            plain_step(
                "Weight that can just hover",
                [f"the weight at which the power needed is {say(available)}: {say(able)}"],
                able,
                sources.ARITHMETIC.at("root of the power balance"),
            )
        )
        spare = then(mass_margin, able, mass)
        gone = self._gone(then, balance, mass, figures.rated, remarks)
        mach = then(tip_mach_hovering, tips, then(speed_of_sound, temperature))
        loading = then(blade_loading, then(thrust_coefficient, weight, day.density, area, tips), shape)

        limits = aircraft.performance
        findings = [
            Finding("power_margin", "Power margin", judge(limits.power_margin, margin, "power margin in the hover")),
            Finding("weight_margin", "Weight margin", judge(limits.weight_margin, spare, "weight margin in the hover")),
            Finding(
                "density_altitude", "Density altitude", judge(limits.density_altitude, day.altitude, "density altitude")
            ),
            _aside("power_needed", "Power needed at the engine", needed),
            _aside("power_available", "Power available", available),
            Finding("tip_mach", "Tip Mach number", judge(limits.tip_mach, mach, "tip Mach number in the hover")),
            Finding("blade_loading", "Blade loading", judge(limits.blade_loading, loading, "blade loading")),
        ]
        if gone is not None:
            findings.insert(3, _aside("margin_gone_at", "Density altitude at which the margin is gone", gone))
        findings += self._side_by_side(estimates, needed, by_others, correction, remarks)
        if mass.si > aircraft.weights.maximum.si:
            remarks.insert(
                0, f"The gross weight is above the maximum of the aircraft file, {aircraft.weights.maximum.understood}."
            )
        usual = aircraft.main_rotor.speed
        if self.rotor_speed.si < 0.95 * usual.si or self.rotor_speed.si > 1.05 * usual.si:
            remarks.append(
                f"The rotor speed is not that of the aircraft file, {usual.understood}: see the manual's limits."
            )
        pictures: list[Picture] = [
            self._ceiling(aircraft, balance, day, figures.rated, mass, findings),
            bars("Against the limits", findings, aircraft.aircraft.display),
        ]
        return Outcome(
            self.about.title, findings, then.steps, pictures, [*remarks, f"Pressure altitude {say(day.height)}."]
        )

    @staticmethod
    def _available(then: Chain, aircraft: Aircraft, day: Day, rated: Measured, remarks: list[str]) -> Measured:
        """The power to count on: by the formula in thin air, the rating in air denser than the standard; by the
        builder's table, or of a derated or warm engine, where the aircraft file says so."""
        ratio = then(density_ratio, day.dry)
        if not aircraft.engine.plain:
            power = day.power_available(aircraft, rated)
            how = engine_words(aircraft.engine)
            then.steps.append(
                plain_step("Power available", [f"by {how}: {say(power)}"], power, sources.COMMON_PRACTICE.at(how))
            )
            remarks.append(f"Power available by {how}.")
            return power
        if ratio.si < 1:
            return then(full_throttle_power_gagg_ferrar, rated, ratio)
        line = (
            f"the air is denser than the standard at sea level (density ratio {say(ratio)}): the engine is held to its "
            f"rating, {say(rated)}"
        )
        then.steps.append(plain_step("Power available", [line], rated, sources.COMMON_PRACTICE.at("rating as a cap")))
        remarks.append(line[0].upper() + line[1:] + ".")
        return rated

    def _corrected(
        self,
        then: Chain,
        aircraft: Aircraft,
        figures: Figures,
        estimates: dict[str, Estimate],
        found: dict[str, Measured],
        day: Day,
        speed: Measured,
        remarks: list[str],
    ) -> tuple[Measured | None, dict[str, Measured]]:
        """The correction of the judged estimate with the uncertainty of the model in it, None where it is taken as it
        stands; and each estimate's engine power."""
        by_hovers = self.calibration == BY_HOVERS
        ratios = corrections(aircraft, estimates, figures, self.estimate, then) if by_hovers else {}
        main = {name: corrected_power(one, ratios[name]) if ratios else one for name, one in found.items()}
        powers = {name: engine_power(one, day, speed, figures) for name, one in main.items()}
        if not by_hovers and self.estimate != BY_BLADES:
            return None, powers
        bound = max(abs(float(one.si / main[self.estimate].si) - 1) for one in main.values())
        if not by_hovers:
            bound = max(bound, BLADE_ELEMENT_POWER_BOUND)
        ratio = kind_of(Ratio)
        assert ratio is not None
        model = measured(from_si(1.0, ratio), ratio, SPREAD, uncertainty=from_si(bound, ratio), stated_as="bounds")
        hovers = ratios.get(self.estimate, Measured(1.0, ratio))
        correction = combine(hovers.si, ratio, (hovers, model), (1.0, float(hovers.si)))
        lines = [f"bound of the model either way: {100 * bound:.2g} % of the main rotor's power"]
        if by_hovers:
            count = len(aircraft.measured_hovers)
            lines.insert(0, f"mean of {count} measured hover{'s' if count > 1 else ''}: {say(hovers)}")
            if count == 1:
                remarks.append(
                    "One measured hover corrects the estimate: what it was off by at another weight and in other air "
                    "shows in the spread only. Measure a second one, light or high."
                )
        then.steps.append(plain_step("Correction", lines, correction, corrected_power.citation))
        return correction, powers

    def _side_by_side(
        self,
        estimates: dict[str, Estimate],
        needed: Measured,
        powers: dict[str, Measured],
        correction: Measured | None,
        remarks: list[str],
    ) -> list[Finding]:
        """The other estimates beside the judged one, and how far they lie apart."""
        others = [
            _aside(f"needed_by_{estimates[name].key}", f"Power needed by {name}", power)
            for name, power in powers.items()
            if name != self.estimate
        ]
        spread = largest_less_smallest(list(powers.values()))
        if correction is not None:
            said = "It is in what stands after ± as the uncertainty of the model."
        elif float(spread.si) > float(needed.expanded_si):
            said = (
                "It is not added to what stands after ±, which is what the aircraft file says of its figures, and it "
                "is more: take the estimate by blade element, or have it corrected by measured hovers."
            )
        else:
            said = "It is within what stands after ±, which is what the aircraft file says of its figures."
        apart = say(from_si(float(spread.si), spread.kind), digits=2)
        remarks.append(f"The estimates of the power needed lie {apart} apart. {said}")
        return [*others, _aside("estimate_spread", "Spread of the estimates", spread)]

    @staticmethod
    def _gone(
        then: Chain, balance: HoverBalance, mass: Measured, rated: Measured, remarks: list[str]
    ) -> Measured | None:
        """The density altitude at which nothing is left at this weight; None, with a remark, where there is none."""
        try:
            density = balance.density_at(mass, rated)
            gone = value_of(density_altitude, density)
        except QuantityError as problem:
            remarks.append(
                f"There is no density altitude in reach at which the margin is just gone at this weight ({problem})."
            )
            return None
        then.steps.append(
            plain_step(
                "Density altitude at which the margin is gone",
                [
                    f"the density at which the power needed is all there is: {say(density)}, "
                    f"at a density altitude of {say(gone)}"
                ],
                gone,
                sources.ARITHMETIC.at("root of the power balance"),
            )
        )
        return gone

    def _ceiling(
        self,
        aircraft: Aircraft,
        balance: HoverBalance,
        day: Day,
        rated: Measured,
        mass: Measured,
        findings: list[Finding],
    ) -> Chart:
        """Weight that can hover over density altitude, with the day's point."""
        system = aircraft.aircraft.display
        feet, pounds = ("m", "kg") if system == "metric" else ("ft", "lb")
        heights = np.linspace(0.0, CHART_TOP.si, CHART_POINTS_BY_BLADES if self.estimate == BY_BLADES else CHART_POINTS)
        densities = standard_density.si(heights)
        powers = np.broadcast_to(balance.available(float(rated.si), densities), densities.shape)
        able = balance.masses(powers, densities)
        known = np.isfinite(able)
        altitude = day.altitude
        word = worst([f.verdict for f in findings if f.key in ("power_margin", "weight_margin")])
        point = Point(
            "today",
            float(in_unit(altitude.si, feet, _kind(Length))),
            float(in_unit(mass.si, pounds, _kind(Mass))),
            float(altitude.expanded_si) / unit_factor(feet, _kind(Length)),
            float(mass.expanded_si) / unit_factor(pounds, _kind(Mass)),
            word,
        )
        top = float(in_unit(CHART_TOP.si, feet, _kind(Length)))
        maximum = float(in_unit(aircraft.weights.maximum.si, pounds, _kind(Mass)))
        return Chart(
            "Weight that can hover out of ground effect",
            f"density altitude, {feet}",
            f"gross weight, {pounds}",
            (
                Curve(
                    "can just hover: above this line there is not enough power",
                    [float(one) for one in in_unit(heights[known], feet, _kind(Length))],
                    [float(one) for one in in_unit(able[known], pounds, _kind(Mass))],
                    "main",
                ),
                Curve("maximum weight of the aircraft file", [0.0, top], [maximum, maximum], "bound"),
            ),
            (),
            (point,),
        )


def _aside(key: str, title: str, figure: Measured) -> Finding:
    return Finding(key, title, judge(None, figure, title[0].lower() + title[1:]), aside=True)


def _kind(annotation: object) -> Kind:
    found = kind_of(annotation)
    assert found is not None
    return found
