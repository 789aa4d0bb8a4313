"""Hover margin: power needed and available at the day's weight, height, temperature and humidity.

Three estimates of the main rotor's power stand side by side; one is judged. How well that one is known enters the
verdict in one of two ways, never in both:

- a quick estimate as it stands (figure of merit; induced factor and profile drag) is known as well as the aircraft file
  says after the plus-minus sign of its figures. How far the estimates lie apart is told, and not added.
- the blade-element estimate, and any estimate corrected by measured hovers, carries the spread of the estimates on the
  day as the uncertainty of the model: the farthest of the others is the bound either way, any value between as likely
  (JCGM 100:2008, 4.3.7). Blade element as it stands is never known better than `trust.POWER_AT_THRUST`, by which it
  missed measured rotors that it was not adjusted to: where that is more, it is taken instead. Either goes through power
  needed, weight margin and the height at which the margin is gone as one origin.
"""

from __future__ import annotations

from typing import ClassVar

import numpy as np

from rotorkit import sources
from rotorkit.aircraft import Aircraft
from rotorkit.aircraft.derived import engine_words
from rotorkit.atmosphere import density_altitude, density_ratio, speed_of_sound, standard_density
from rotorkit.engine import full_throttle_power_gagg_ferrar
from rotorkit.judging.limits import NO_LIMIT, Limit, worst
from rotorkit.judging.measured import Measured, largest_less_smallest, measured
from rotorkit.mass import weight_force
from rotorkit.pictures.data import Chart, Curve, Picture, Point
from rotorkit.quantities import (
    Length,
    Mass,
    MassDifference,
    Power,
    QuantityError,
    Ratio,
    from_si,
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
    main_rotor_torque,
    solidity,
    tail_rotor_power,
    tail_rotor_thrust_needed,
    thrust_coefficient,
    tip_mach_hovering,
    tip_speed,
)
from rotorkit.rotor.forward_flow import RETREATING_LIFT
from rotorkit.rotor.hover_balance import HoverBalance
from rotorkit.rotor.margin import mass_margin, power_margin
from rotorkit.sheets.base import About, Finding, Needed, Outcome, bars, judge, plain_step, unset
from rotorkit.sheets.performance.day_and_weight import (
    AS_ESTIMATED,
    BY_HOVERS,
    BY_THE_THEORY,
    EstimateSheet,
    HoverPower,
    aside,
)
from rotorkit.sheets.performance.power_reckoning import BY_BLADES, BY_MERIT, BY_PARTS, Chain, Day, Figures
from rotorkit.sheets.working import value_of
from rotorkit.sources import cautions

__all__ = ["AS_ESTIMATED", "BY_BLADES", "BY_HOVERS", "BY_MERIT", "BY_PARTS", "HoverMargin"]

CHART_POINTS, CHART_POINTS_BY_BLADES = 41, 11
CHART_TOP = read("10,000 ft", Length)
POWER_LEFT = Limit("power margin in the hover", Power, low="0 hp", source="physics: no more than the engine gives")
NO_STALL = Limit(
    "blade loading", Ratio, high=f"{RETREATING_LIFT / 6:.4f}",
    source=f"a mean lift coefficient of {RETREATING_LIFT}, where plain sections stall: common practice (no source)",
)  # fmt: skip
WEIGHT_LEFT = Limit("weight margin in the hover", MassDifference, low="0 lb", source=POWER_LEFT.source)


class HoverMargin(EstimateSheet):
    """The hover margin on a day, out of ground effect."""

    name: ClassVar[str] = "hover_margin"
    order: ClassVar[int] = 10
    needed: ClassVar[tuple[Needed, ...]] = (
        Needed("First hover", "weight and air of the day decide whether there is power to stop a descent"),
        Needed(
            "First flight out of ground effect",
            "away from the ground more power is needed, and the margin of the day is all there is",
        ),
        Needed("End of the test phase", "the estimate is held against what the tests have shown"),
    )
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
        cautions=(cautions.HEIGHT_VELOCITY, cautions.ESTIMATE, cautions.MANUAL_GOVERNS, cautions.AN_AID),
        not_covered=(
            "ground effect (the margin near the ground is larger: do not count on it)",
            "wind, climb, turns on the spot and pedal margin",
            "power lost where the engine does not turn at its rated speed",
            "carburettor ice, mixture and ignition that are not right, a tired engine",
            "blade stall and compressibility beyond what the figure of merit holds",
        ),
    )

    def _work(self, aircraft: Aircraft) -> Outcome:
        then = Chain()
        mass, speed = self.mass(aircraft), self.speed(aircraft)
        figures = Figures.of(aircraft)
        remarks = self.doubtful(aircraft)
        day = self.day(then, aircraft)
        available = self._available(then, aircraft, day, figures.rated, remarks)
        weight = then(weight_force, mass)
        area = then(disk_area, figures.radius)
        tips = then(tip_speed, speed, figures.radius)
        chord = measured(aircraft.main_rotor.chord, Length, "main rotor's chord")
        shape = then(solidity, str(len(aircraft.main_rotor.blades)), chord, figures.radius)
        hover = self.hover_power(then, aircraft, figures, day, weight, speed, remarks)
        torque = then(main_rotor_torque, hover.main, speed)
        tail_thrust = then(tail_rotor_thrust_needed, torque, figures.arm)
        tail_area = then(disk_area, figures.tail_radius, title="Disk area of the tail rotor")
        tail_power = then(tail_rotor_power, tail_thrust, day.density, tail_area, figures.tail_merit)
        needed = then(engine_power_needed, hover.main, tail_power, figures.accessories, figures.efficiency)
        margin = then(power_margin, available, needed)

        balance = HoverBalance(
            hover.estimate.needed(),
            day.engine(aircraft).available,
            hover.estimate.all_figures(hover.correction or Measured(1.0, Ratio), day, speed),
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
        lead = []
        if margin.si < 0:
            lead.append("By this estimate the engine cannot hold this weight in a hover today: do not try it.")
        elif margin.si < margin.expanded_si:
            lead.append("Whether the engine can hold this weight in a hover today is too close to call: do not try it.")
        lead.append(self.estimated(aircraft))
        mach = then(tip_mach_hovering, tips, then(speed_of_sound, day.temperature))
        loading = then(blade_loading, then(thrust_coefficient, weight, day.density, area, tips), shape)

        limits = aircraft.performance
        carried = judge(limits.blade_loading, loading, NO_STALL.name, NO_STALL)
        if float(loading.si) + float(loading.expanded_si) > float(NO_STALL.high_si or 0.0):
            lead.insert(
                0, "The blades would have to carry more than they can in a hover at this rotor speed: they stall."
            )
        findings = [
            Finding("power_margin", "Power margin", judge(limits.power_margin, margin, POWER_LEFT.name, POWER_LEFT)),
            Finding(
                "weight_margin", "Weight margin", judge(limits.weight_margin, spare, WEIGHT_LEFT.name, WEIGHT_LEFT)
            ),
            Finding(
                "density_altitude",
                "Density altitude",
                judge(limits.density_altitude, day.altitude, "density altitude"),
                aside=unset(limits.density_altitude),
            ),
            aside("power_needed", "Power needed at the engine", needed),
            aside("power_available", "Power available", available),
            Finding(
                "tip_mach",
                "Tip Mach number",
                judge(limits.tip_mach, mach, "tip Mach number in the hover"),
                aside=unset(limits.tip_mach),
            ),
            Finding(
                "blade_loading",
                "Blade loading",
                carried,
                aside=carried.word == NO_LIMIT,
            ),
        ]
        if gone is not None:
            findings.insert(3, aside("margin_gone_at", "Density altitude at which the margin is gone", gone))
        findings += self._side_by_side(hover, needed, remarks)
        pictures: list[Picture] = [
            self._ceiling(aircraft, balance, day, figures.rated, mass, findings),
            bars("Against the limits", findings, aircraft.aircraft.display),
        ]
        return Outcome(
            self.about.title, findings, then.steps, pictures, [*remarks, f"Pressure altitude {say(day.height)}."], lead
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

    def _side_by_side(self, hover: HoverPower, needed: Measured, remarks: list[str]) -> list[Finding]:
        """The other estimates beside the judged one, and how far they lie apart."""
        others = [
            aside(f"needed_by_{hover.estimates[name].key}", f"Power needed by {name}", power)
            for name, power in hover.powers.items()
            if name != self.estimate
        ]
        spread = largest_less_smallest(list(hover.powers.values()))
        if hover.correction is not None:
            theory = any(origin.label == BY_THE_THEORY for origin in hover.correction.components)
            said = (
                "It is less than the theory may be off by, which stands in what follows ± in its place."
                if theory
                else "It is in what stands after ± as the uncertainty of the model."
            )
        elif float(spread.si) > float(needed.expanded_si):
            said = (
                "It is not added to what stands after ±, which is what the aircraft file says of its figures, and it "
                "is more: take the estimate by blade element, or have it corrected by measured hovers."
            )
        else:
            said = "It is within what stands after ±, which is what the aircraft file says of its figures."
        apart = say(from_si(float(spread.si), spread.kind), digits=2)
        remarks.append(f"The estimates of the power needed lie {apart} apart. {said}")
        return [*others, aside("estimate_spread", "Spread of the estimates", spread)]

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
                Curve(
                    "can just hover: above this line there is not enough power",
                    [float(one) for one in in_unit(heights[known], feet, required_kind(Length))],
                    [float(one) for one in in_unit(able[known], pounds, required_kind(Mass))],
                    "main",
                ),
                Curve("maximum weight of the aircraft file", [0.0, top], [maximum, maximum], "bound"),
            ),
            (),
            (point,),
        )
