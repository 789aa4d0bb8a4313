"""Hover margin: power needed and available at the day's weight, height, temperature and humidity."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated, Any, ClassVar

from pydantic import Field

from rotorkit import cautions, sources
from rotorkit.aircraft import Aircraft
from rotorkit.atmosphere import (
    density_altitude,
    density_ratio,
    dry_air_density,
    humid_air_density,
    pressure_altitude,
    speed_of_sound,
    standard_density,
    station_pressure,
    vapour_pressure_from_humidity,
)
from rotorkit.atmosphere.ranges import ALTIMETER_SETTING
from rotorkit.engine import full_throttle_power_gagg_ferrar, power_held_to_rating
from rotorkit.entries import Choice, Entry
from rotorkit.formula import Worked
from rotorkit.limits import worst
from rotorkit.mass import weight_force
from rotorkit.measured import Measured, measured
from rotorkit.quantities import (
    Length,
    Mass,
    Power,
    Pressure,
    QuantityError,
    Ratio,
    Reading,
    RotationRate,
    Temperature,
    in_unit,
    read,
    required_kind,
    say,
    unit_factor,
)
from rotorkit.rotor import (
    blade_loading,
    disk_area,
    engine_power_needed,
    hover_power_from_figure_of_merit,
    hover_power_induced_and_profile,
    main_rotor_torque,
    solidity,
    tail_rotor_power,
    tail_rotor_thrust_needed,
    thrust_coefficient,
    tip_mach_hovering,
    tip_speed,
)
from rotorkit.rotor.margin import (
    density_where_power_is_used_up,
    density_where_power_is_used_up_by_parts,
    mass_margin,
    mass_that_can_hover,
    mass_that_can_hover_by_parts,
    power_margin,
)
from rotorkit.sheets.base import About, Finding, Outcome, Sheet, SheetError, bars, judge, plain_step, unset
from rotorkit.sheets.picture import Chart, Curve, Picture, Point

__all__ = ["HoverMargin"]

BY_MERIT, BY_PARTS = "figure of merit", "induced factor and profile drag"
CHART_POINTS = 41
CHART_TOP = read("10,000 ft", Length)


@dataclass(frozen=True)
class _Balance:
    """The power balance of the estimate that is judged: rotors and drive as its functions take them, and the two that
    find the weight and the air at which power needed and available are the same. dry_share: of the air's density."""

    rotors: tuple[Measured, ...]
    mass_at: Any
    density_at: Any
    dry_share: float


@dataclass
class _Chain:
    """The steps of a calculation, one formula after the other."""

    steps: list[Worked]

    def __call__(self, formula: Any, *args: object, title: str = "") -> Measured:
        worked: Worked = formula.worked(*args)
        self.steps.append(worked.titled(title) if title else worked)
        value: Measured = worked.value
        return value


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
    humidity: Annotated[Reading, Entry(Ratio, ("%", "%"), ("0 %", "100 %"), ("3 %", "100 %"), by="hygrometer")] = Field(
        title="Relative humidity", description="Beside the thermometer. Damp air is thinner."
    )
    rotor_speed: Annotated[
        Reading, Entry(RotationRate, ("rpm", "rpm"), ("50 rpm", "6000 rpm"), ("200 rpm", "900 rpm"), by="tachometer")
    ] = Field(title="Rotor speed", description="The main rotor's, at which the hover is flown.")
    estimate: Annotated[str, Choice(options=(BY_MERIT, BY_PARTS))] = Field(
        BY_MERIT,
        title="Estimate by",
        description="Which estimate of the main rotor's power is judged; the other is told beside it.",
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
        then = _Chain([])
        main, tail, drive = aircraft.main_rotor, aircraft.tail_rotor, aircraft.drive
        mass = self.measured("gross_weight", "gross weight", aircraft)
        setting = self.measured("altimeter_setting", "altimeter setting", aircraft)
        temperature = self.measured("temperature", "air temperature", aircraft)
        humidity = self.measured("humidity", "relative humidity", aircraft)
        speed = self.measured("rotor_speed", "rotor speed", aircraft)
        # each figure of the aircraft file is made once, so that its uncertainty is one and the same wherever it enters
        elevation = measured(self.elevation, Length, "field elevation")
        radius = measured(main.radius, Length, "main rotor's radius")
        arm = measured(tail.arm, Length, "tail rotor's arm")
        tail_radius = measured(tail.radius, Length, "tail rotor's radius")
        tail_merit = measured(tail.figure_of_merit, Ratio, "tail rotor's figure of merit")
        efficiency = measured(drive.efficiency, Ratio, "transmission efficiency")
        accessories = measured(drive.accessory_power, Power, "accessory power")
        rated = measured(aircraft.engine.rated_power, Power, "engine's rated power")
        remarks = [*self.calibrations_overdue(aircraft), *(sentence for _, sentence in self.doubts())]

        pressure = then(station_pressure, setting, elevation)
        height = then(pressure_altitude, pressure)
        vapour = then(vapour_pressure_from_humidity, humidity, temperature)
        air = then(humid_air_density, pressure, temperature, vapour)
        altitude = then(density_altitude, air)
        dry = then(dry_air_density, pressure, temperature, vapour)
        available = self._available(then, rated, then(density_ratio, dry), remarks)
        weight = then(weight_force, mass)
        area = then(disk_area, radius)
        tips = then(tip_speed, speed, radius)
        shape = then(solidity, str(len(main.blades)), measured(main.chord, Length, "main rotor's chord"), radius)
        merit = measured(main.figure_of_merit, Ratio, "main rotor's figure of merit")
        induced = measured(main.induced_factor, Ratio, "induced factor")
        drag = measured(main.profile_drag_coefficient, Ratio, "profile drag coefficient")
        by_merit = (hover_power_from_figure_of_merit, weight, air, area, merit)
        by_parts = (hover_power_induced_and_profile, weight, air, area, tips, shape, induced, drag)
        merit_judged = self.estimate == BY_MERIT
        chosen, other = (by_merit, by_parts) if merit_judged else (by_parts, by_merit)
        main_power = then(*chosen)
        beside: Measured = other[0](*other[1:])
        torque = then(main_rotor_torque, main_power, speed)
        tail_thrust = then(tail_rotor_thrust_needed, torque, arm)
        tail_area = then(disk_area, tail_radius, title="Disk area of the tail rotor")
        tail_power = then(tail_rotor_power, tail_thrust, air, tail_area, tail_merit)
        needed = then(engine_power_needed, main_power, tail_power, accessories, efficiency)
        margin = then(power_margin, available, needed)

        rest = (arm, tail_radius, tail_merit, efficiency, accessories)
        balance = _Balance(
            (radius, merit, speed, *rest) if merit_judged else (radius, speed, shape, induced, drag, *rest),
            mass_that_can_hover if merit_judged else mass_that_can_hover_by_parts,
            density_where_power_is_used_up if merit_judged else density_where_power_is_used_up_by_parts,
            dry.si / air.si,
        )
        able = balance.mass_at(available, air, *balance.rotors)
        then.steps.append(
            plain_step(
                "Weight that can just hover",
                [f"the weight at which the power needed is {say(available)}: {say(able)}"],
                able,
                sources.ARITHMETIC.at("root of the power balance"),
            )
        )
        spare = then(mass_margin, able, mass)
        gone = self._gone(then, balance, mass, rated, remarks)
        mach = then(tip_mach_hovering, tips, then(speed_of_sound, temperature))
        loading = then(blade_loading, then(thrust_coefficient, weight, air, area, tips), shape)

        limits = aircraft.performance
        findings = [
            Finding("power_margin", "Power margin", judge(limits.power_margin, margin, "power margin in the hover")),
            Finding("weight_margin", "Weight margin", judge(limits.weight_margin, spare, "weight margin in the hover")),
            Finding(
                "density_altitude",
                "Density altitude",
                judge(limits.density_altitude, altitude, "density altitude"),
                aside=unset(limits.density_altitude),
            ),
            Finding(
                "power_needed",
                "Power needed at the engine",
                judge(None, needed, "power needed at the engine"),
                aside=True,
            ),
            Finding("power_available", "Power available", judge(None, available, "power available"), aside=True),
            Finding(
                "tip_mach",
                "Tip Mach number",
                judge(limits.tip_mach, mach, "tip Mach number in the hover"),
                aside=unset(limits.tip_mach),
            ),
            Finding(
                "blade_loading",
                "Blade loading",
                judge(limits.blade_loading, loading, "blade loading"),
                aside=unset(limits.blade_loading),
            ),
        ]
        if gone is not None:
            verdict = judge(None, gone, "density altitude at which the margin is gone")
            findings.insert(
                3, Finding("margin_gone_at", "Density altitude at which the margin is gone", verdict, aside=True)
            )
        name = BY_PARTS if merit_judged else BY_MERIT
        remarks.append(f"By {name} the main rotor's power would be {say(beside)}, here {say(main_power)}.")
        if margin.si < 0:
            remarks.insert(0, "By this estimate the engine cannot hold this weight in a hover today: do not try it.")
        if mass.si > aircraft.weights.maximum.si:
            remarks.insert(
                0, f"The gross weight is above the maximum of the aircraft file, {aircraft.weights.maximum.understood}."
            )
        if self.rotor_speed.si < 0.95 * main.speed.si or self.rotor_speed.si > 1.05 * main.speed.si:
            remarks.append(
                f"The rotor speed is not that of the aircraft file, {main.speed.understood}: see the manual's limits."
            )
        system = aircraft.aircraft.display
        pictures: list[Picture] = [
            self._ceiling(aircraft, balance, rated, mass, altitude, findings),
            bars("Against the limits", findings, system),
        ]
        return Outcome(
            self.about.title, findings, then.steps, pictures, [*remarks, f"Pressure altitude {say(height)}."]
        )

    @staticmethod
    def _available(then: _Chain, rated: Measured, ratio: Measured, remarks: list[str]) -> Measured:
        """The power to count on: by the formula in thin air, the rating in air denser than the standard."""
        if ratio.si < 1:
            return then(full_throttle_power_gagg_ferrar, rated, ratio)
        line = (
            f"the air is denser than the standard at sea level (density ratio {say(ratio)}): the engine is held to its "
            f"rating, {say(rated)}"
        )
        then.steps.append(plain_step("Power available", [line], rated, sources.COMMON_PRACTICE.at("rating as a cap")))
        remarks.append(line[0].upper() + line[1:] + ".")
        return rated

    @staticmethod
    def _gone(then: _Chain, balance: _Balance, mass: Measured, rated: Measured, remarks: list[str]) -> Measured | None:
        """The density altitude at which nothing is left at this weight; None, with a remark, where there is none."""
        try:
            density = balance.density_at(mass, rated, balance.dry_share, *balance.rotors)
            gone: Measured = density_altitude(density)
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
        balance: _Balance,
        rated: Measured,
        mass: Measured,
        altitude: Measured,
        findings: list[Finding],
    ) -> Chart:
        """Weight that can hover over density altitude, with the day's point."""
        bare = [float(value.si) for value in balance.rotors]
        system = aircraft.aircraft.display
        feet, pounds = ("m", "kg") if system == "metric" else ("ft", "lb")
        heights, weights = [], []
        for i in range(CHART_POINTS):
            height = CHART_TOP.si * i / (CHART_POINTS - 1)
            density = standard_density.si(height)
            power = power_held_to_rating.si(float(rated.si), balance.dry_share * density / standard_density.si(0.0))
            try:
                able = balance.mass_at.si(power, density, *bare)
            except QuantityError:  # nothing is left to lift with from here on up
                break
            heights.append(float(in_unit(height, feet, required_kind(Length))))
            weights.append(float(in_unit(able, pounds, required_kind(Mass))))
        word = worst([f.verdict for f in findings if f.key in ("power_margin", "weight_margin")])
        day = Point(
            "today",
            float(in_unit(altitude.si, feet, required_kind(Length))),
            float(in_unit(mass.si, pounds, required_kind(Mass))),
            float(altitude.expanded_si) / unit_factor(feet, required_kind(Length)),
            float(mass.expanded_si) / unit_factor(pounds, required_kind(Mass)),
            word,
        )
        top = float(in_unit(CHART_TOP.si, feet, required_kind(Length)))
        maximum = float(in_unit(aircraft.weights.maximum.si, pounds, required_kind(Mass)))
        return Chart(
            "Weight that can hover out of ground effect",
            f"density altitude, {feet}",
            f"gross weight, {pounds}",
            (
                Curve("can just hover: above this line there is not enough power", heights, weights, "main"),
                Curve("maximum weight of the aircraft file", [0.0, top], [maximum, maximum], "bound"),
            ),
            (),
            (day,),
        )
