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

from typing import Any, ClassVar

import numpy as np

from rotorkit import sources
from rotorkit.aircraft import Aircraft
from rotorkit.aircraft.derived import engine_words
from rotorkit.atmosphere import density_altitude, density_ratio, speed_of_sound, standard_density
from rotorkit.engine import full_throttle_power_gagg_ferrar
from rotorkit.judging.limits import Limit, worst
from rotorkit.judging.measured import Measured, largest_less_smallest, measured
from rotorkit.mass import hang_angle, weight_force
from rotorkit.pictures.data import Chart, Curve, Point
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
    say,
    unit_factor,
)
from rotorkit.rotor import (
    blade_loading,
    disk_area,
    engine_power_needed,
    induced_velocity_hovering,
    main_rotor_torque,
    solidity,
    tail_rotor_power,
    tail_rotor_thrust_needed,
    thrust_coefficient,
    tip_mach_hovering,
    tip_speed,
)
from rotorkit.rotor.hover_balance import HoverBalance
from rotorkit.rotor.margin import mass_margin, power_margin
from rotorkit.sheets.base import About, Needed, Outcome, bars
from rotorkit.sheets.exercises import Exercise, Range
from rotorkit.sheets.performance.day_and_weight import (
    BY_THE_THEORY,
    NO_STALL,
    EstimateSheet,
    EstimateWorking,
    HoverPower,
)
from rotorkit.sheets.performance.power_reckoning import BY_BLADES, HOVER_USED
from rotorkit.sheets.working import capital, value_of
from rotorkit.sources import cautions

_INCHES = ("in", "mm")

CHART_POINTS, CHART_POINTS_BY_BLADES = 41, 11
CHART_TOP = read("10,000 ft", Length)
POWER_LEFT = Limit("power margin in the hover", Power, low="0 hp", source="physics: no more than the engine gives")
BALANCED = sources.ARITHMETIC.at("root of the power balance")
WEIGHT_LEFT = Limit("weight margin in the hover", MassDifference, low="0 lb", source=POWER_LEFT.source)


class HoverMargin(EstimateSheet):
    """The hover margin on a day, out of ground effect."""

    order: ClassVar[int] = 10
    puts_right: ClassVar[dict[str, str]] = {
        **EstimateSheet.puts_right,
        "tip_mach": (
            "Keep to the rotor speeds that the manual allows: cold air brings the tips nearer to the speed of sound."
        ),
    }
    workings: ClassVar[int] = 80
    moved_by_centre: ClassVar[str] = (
        "The power in the hover is the same wherever the centre of gravity lies: the rotor carries the same weight. "
        "How far off level the aircraft hangs, and how much cyclic that takes, is not."
    )
    has_slow_part: ClassVar[bool] = True
    needed: ClassVar[tuple[Needed, ...]] = (
        Needed("First hover", "the day's weight and air decide whether there is power to stop a descent"),
        Needed(
            "First flight out of ground effect",
            "away from the ground more power is needed, and the day's margin is all you have",
        ),
        Needed("End of the test phase", "compare the estimate with what the tests have shown"),
    )
    uses: ClassVar[tuple[str, ...]] = HOVER_USED
    judged_by: ClassVar[tuple[str, ...]] = (
        "performance.power_margin",
        "performance.weight_margin",
        "performance.density_altitude",
        "performance.tip_mach",
        "performance.blade_loading",
    )
    about: ClassVar[About] = About(
        title="Hover margin",
        settles=(
            "How much power and weight margin you have hovering out of ground effect today, and the density altitude "
            "at which none is left."
        ),
        when="Before each hover test, with the day's readings; and beforehand, to choose the day and the weight.",
        tools=(
            "thermometer in the shade, away from the engine",
            "altimeter with its setting scale",
            "hygrometer",
            "scales or the weight record",
        ),
        procedure=(
            "Take the gross weight from the weighing plus what is aboard today: fuel, people, equipment.",
            "Set the altimeter to the field's elevation and read the setting, or ask for the altimeter setting.",
            "Read the air temperature in the shade at rotor height, and the humidity beside it.",
            "Enter the rotor speed you will hover at.",
            "Compare the engine's power with what a full-throttle run has shown; if the run gave less, correct the "
            "aircraft file.",
            "After the first hovers: write the weights that could just hover into the aircraft file, and correct the "
            "estimate by them.",
        ),
        sign_convention="A margin is what is available minus what is needed: positive means something is left.",
        cautions=(cautions.HEIGHT_VELOCITY, cautions.ESTIMATE, *cautions.ALWAYS),
        not_covered=(
            "ground effect (the margin near the ground is larger: do not count on it)",
            "wind, climb, turns on the spot and pedal margin",
            "how the engine's power falls off below rated speed, except that its torque is assumed to hold",
            "carburettor ice, wrong mixture or ignition, a tired engine",
            "blade stall and compressibility beyond what the figure of merit includes",
        ),
    )
    exercises: ClassVar[tuple[Exercise, ...]] = (
        Exercise(
            name="tip_speed",
            title="How fast the tips run",
            story=("A rotor of {rotor_radius} radius turns at {rotor_speed}."),
            find="the speed of its blade tips",
            unit="ft/s",
            of=tip_speed,
            given={
                "rotor_speed": Range("480 rpm", "540 rpm", "2 rpm"),
                "rotor_radius": Range("11.5 ft", "13.5 ft", "0.1 ft"),
            },
            hints=(
                "In one turn a tip goes once round the circle.",
                "Turn rpm into radians per second (times 2 pi, divided by 60), then times the radius.",
            ),
        ),
        Exercise(
            name="radius_for_a_tip_speed",
            title="A radius from a tip speed",
            story=("The tip speed is to be {result} with the rotor at {rotor_speed}."),
            find="the rotor's radius",
            unit="ft",
            of=tip_speed,
            given={
                "rotor_speed": Range("480 rpm", "540 rpm", "2 rpm"),
                "result": Range("640 ft/s", "690 ft/s", "2 ft/s"),
            },
            unknown="rotor_radius",
            hints=(
                "Tip speed is radians per second times radius.",
                "Divide the tip speed by the radians per second; the radius is half of the diameter.",
            ),
        ),
        Exercise(
            name="disk_area",
            title="The disk",
            story=("The rotor's diameter was measured: half of it, the radius, is {rotor_radius}."),
            find="the area of the disk",
            unit="ft^2",
            of=disk_area,
            given={
                "rotor_radius": Range("11.5 ft", "13.5 ft", "0.1 ft"),
            },
            hints=(
                "The blades sweep a circle.",
                "Pi times the radius squared.",
            ),
        ),
        Exercise(
            name="downwash",
            title="The air goes down",
            story=("In the hover the rotor lifts {thrust} with a disk of {disk_area} in air of {density}."),
            find="the induced velocity at the disk",
            unit="ft/s",
            of=induced_velocity_hovering,
            given={
                "thrust": Range("1,200 lb", "1,400 lb", "10 lb"),
                "density": Range("0.00210 slug/ft^3", "0.00238 slug/ft^3", "0.00002 slug/ft^3"),
                "disk_area": Range("440 ft^2", "520 ft^2", "5 ft^2"),
            },
            hints=(
                "{Slugs, feet, pounds|Kilograms, metres, newtons} and seconds are one consistent set: no "
                "conversion is needed.",
                "Divide the thrust by twice density times area, then take the square root.",
            ),
        ),
    )

    def _work(self, aircraft: Aircraft) -> Outcome:
        to = EstimateWorking(self, aircraft)
        day, figures, mass, speed = to.day, to.figures, to.mass, to.speed
        available = self._available(to)
        weight = to.work("", weight_force, mass)
        area = to.work("", disk_area, figures.radius)
        tips = to.work("", tip_speed, speed, figures.radius)
        chord = measured(aircraft.main_rotor.chord, Length, "main rotor's chord")
        shape = to.work("", solidity, str(len(aircraft.main_rotor.blades)), chord, figures.radius)
        hover = to.hover_power(weight)
        torque = to.work("", main_rotor_torque, hover.main, speed)
        tail_thrust = to.work("", tail_rotor_thrust_needed, torque, figures.arm)
        tail_area = to.work("Disk area of the tail rotor", disk_area, figures.tail_radius)
        tail_power = to.work("", tail_rotor_power, tail_thrust, day.density, tail_area, figures.tail_merit)
        needed = to.work("", engine_power_needed, hover.main, tail_power, figures.accessories, figures.efficiency)
        margin = to.work("", power_margin, available, needed)

        balance = HoverBalance(
            hover.estimate.needed(),
            day.engine(aircraft).available,
            hover.estimate.all_figures(hover.correction or Measured(1.0, Ratio), day, speed),
        )

        def heaviest() -> tuple[Any, Any, Measured, Measured | None]:
            heights, able_at = self._able(to, balance, available)
            able = balance.mass_at(available, day.density, float(able_at[0]))
            line = f"the weight at which the power needed is {say(available)}: {say(able)}"
            to.step("Maximum hover weight", [line], able, BALANCED)
            spare = to.work("", mass_margin, able, mass)
            gone = self._gone(to, balance)
            most = say(able.shown_in(("lb", "kg")))
            to.say_to_do(
                f"By this estimate the heaviest it can hover is {most} in this air, out of ground effect."
                if spare.si - spare.expanded_si > 0
                else f"Do not try it at this weight. By this estimate the heaviest it could hover is {most} in this "
                "air."
            )
            return heights, able_at, spare, gone

        if self.estimate == BY_BLADES:
            weights = to.slowly("the heaviest it can hover", heaviest, judges=True)
        else:
            weights = heaviest()
        if margin.si < 0:
            to.no("By this estimate the engine cannot hold this weight in a hover today: do not try it.")
        elif margin.si < margin.expanded_si:
            to.no("Whether the engine can hold this weight in a hover today is too close to call: do not try it.")
        to.lead.append(to.estimated)
        mach = to.work("", tip_mach_hovering, tips, to.work("", speed_of_sound, day.temperature))
        carried = figures.carried(weight)
        loading = to.work("", blade_loading, to.work("", thrust_coefficient, carried, day.density, area, tips), shape)

        limits = aircraft.performance
        to.judge("power_margin", "Power margin", limits.power_margin, margin, name=POWER_LEFT.name, physical=POWER_LEFT)
        if weights is not None:
            to.judge(
                "weight_margin", "Weight margin", limits.weight_margin, weights[2], name=WEIGHT_LEFT.name,
                physical=WEIGHT_LEFT,
            )  # fmt: skip
        to.judge(
            "density_altitude", "Density altitude", limits.density_altitude, day.altitude, name="density altitude",
            aside=True,
        )  # fmt: skip
        to.say_what_helps("power_margin", "weight_margin")
        if weights is not None and weights[3] is not None:
            to.tell("margin_gone_at", "Density altitude at which the margin is gone", weights[3])
        to.tell("power_needed", "Power needed at the engine", needed)
        to.tell("power_available", "Power available", available)
        to.judge("tip_mach", "Tip Mach number", limits.tip_mach, mach, name="tip Mach number in the hover", aside=True)
        to.judge(
            "blade_loading",
            "Blade loading",
            limits.blade_loading,
            loading,
            name=NO_STALL.name,
            physical=NO_STALL,
            aside=True,
        )
        self._side_by_side(to, hover, needed)
        self._hangs(to)
        to.pictures = [bars("Against the limits", to.findings, to.system)]
        if weights is not None:
            to.pictures.insert(0, self._ceiling(to, weights[0], weights[1][1:]))
        to.notes.append(f"Pressure altitude {say(day.height)}.")
        return to.outcome()

    def _hangs(self, to: EstimateWorking) -> None:
        """How far off level it hangs, by the centre of gravity under the hub; for information."""
        hub = to.aircraft.main_rotor.hub
        if to.arm is None and to.lateral_arm is None:
            return
        if hub is None or hub.lacking():
            to.notes.append(
                "How it hangs in the hover is not known: write [main_rotor.hub] into the aircraft file, with the "
                "hub's position and its height above the centre of gravity."
            )
            return
        height = measured(hub.height, Length, "height of the hub").shown_in(_INCHES)
        for name, here, key, title in (
            ("arm", to.arm, "hangs_nose_down", "Hangs in the hover, nose down"),
            ("lateral_arm", to.lateral_arm, "hangs_left_down", "Hangs in the hover, left side down"),
        ):
            if here is None:
                continue
            there = measured(getattr(hub, name), Length, f"hub's {name.replace('_', ' ')}")
            ahead = (there - here).shown_in(_INCHES)
            side = "ahead of" if name == "arm" else "to the left of"
            line = f"{say(there.shown_in(_INCHES))} less {say(here)} = {say(ahead)}"
            to.step(f"Centre of gravity {side} the hub", [line], ahead, sources.ARITHMETIC.at("difference of two arms"))
            to.tell(key, title, to.work(title, hang_angle, ahead, height).shown_in(("deg", "deg")))
        leans = ", and by the mast's own lean besides" if hub.mast_forward.si or hub.mast_left.si else ""
        to.notes.append(
            "This is by weight alone, in calm air; with blades stiff at the root it is less. The stick is off "
            f"centre by as much{leans}: aft if the nose hangs low, to the right if the left side does. The tail "
            "rotor's side force and the air on the body add to it: the check Cyclic remaining in the hover has the "
            "tail rotor's."
        )

    @staticmethod
    def _available(to: EstimateWorking) -> Measured:
        """The power to count on: by the formula in thin air, the rating in air denser than the standard; by the
        builder's table, or of a derated or warm engine, where the aircraft file says so."""
        engine, rated = to.aircraft.engine, to.rated
        ratio = to.work("", density_ratio, to.day.dry)
        if not engine.plain:
            power = to.day.power_available(to.aircraft, rated)
            how = engine_words(engine)
            to.notes.append(f"Power available by {how}.")
            return to.step("Power available", [f"by {how}: {say(power)}"], power, sources.COMMON_PRACTICE.at(how))
        if ratio.si < 1:
            return to.work("", full_throttle_power_gagg_ferrar, rated, ratio)
        line = (
            f"the air is denser than the standard at sea level (density ratio {say(ratio)}): the engine is held to its "
            f"rating, {say(rated)}"
        )
        to.notes.append(f"{capital(line)}.")
        return to.step("Power available", [line], rated, sources.COMMON_PRACTICE.at("rating as a cap"))

    @staticmethod
    def _side_by_side(to: EstimateWorking, hover: HoverPower, needed: Measured) -> None:
        """The other estimates beside the judged one, and how far they lie apart."""
        for name, power in hover.powers.items():
            if name != to.sheet.estimate:
                to.tell(f"needed_by_{hover.estimates[name].key}", f"Power needed by {name}", power)
        spread = largest_less_smallest(list(hover.powers.values()))
        if hover.correction is not None:
            theory = any(origin.label == BY_THE_THEORY for origin in hover.correction.components)
            said = (
                "It is smaller than the theory's own uncertainty, which is in the ± instead."
                if theory
                else "It is in the ± as the uncertainty of the model."
            )
        elif float(spread.si) > float(needed.expanded_si):
            said = (
                "It is not added to the ±, which comes from the aircraft file's figures, and it "
                "is larger than that: use the blade-element estimate, or correct it by measured hovers."
            )
        else:
            said = "It is within the ±, which comes from the aircraft file's figures."
        apart = say(from_si(float(spread.si), spread.kind), digits=2)
        to.notes.append(f"The estimates of the power needed differ by {apart}. {said}")
        to.tell("estimate_spread", "Spread of the estimates", spread)

    @staticmethod
    def _gone(to: EstimateWorking, balance: HoverBalance) -> Measured | None:
        """The density altitude at which nothing is left at this weight; None, with a remark, where there is none."""
        try:
            density = balance.density_at(to.mass, to.rated)
            gone = value_of(density_altitude, density)
        except QuantityError as problem:
            to.notes.append(f"No density altitude in range uses up the margin at this weight ({problem}).")
            return None
        line = (
            f"the density at which the power needed is all the power there is: {say(density)}, at a density altitude "
            f"of {say(gone)}"
        )
        return to.step("Density altitude at which the margin is gone", [line], gone, BALANCED)

    @staticmethod
    def _able(to: EstimateWorking, balance: HoverBalance, available: Measured) -> tuple[Any, Any]:
        """Density altitudes of the picture, and the masses that can just hover: today's, then at each of them."""
        count = CHART_POINTS_BY_BLADES if to.sheet.estimate == BY_BLADES else CHART_POINTS
        heights = np.linspace(0.0, CHART_TOP.si, count)
        densities = np.r_[float(to.day.density.si), standard_density.si(heights)]
        powers = np.r_[
            float(available.si), np.broadcast_to(balance.available(float(to.rated.si), densities[1:]), count)
        ]
        return heights, balance.masses(powers, densities, float(to.mass.si))

    @staticmethod
    def _ceiling(to: EstimateWorking, heights: Any, able: Any) -> Chart:
        """Weight that can hover over density altitude, with the day's point."""
        aircraft, mass, altitude = to.aircraft, to.mass, to.day.altitude
        feet, pounds = ("m", "kg") if to.system == "metric" else ("ft", "lb")
        known = np.isfinite(able)
        word = worst([f.verdict for f in to.findings if f.key in ("power_margin", "weight_margin")])
        point = Point(
            "today",
            float(in_unit(altitude.si, feet, Length)),
            float(in_unit(mass.si, pounds, Mass)),
            float(altitude.expanded_si) / unit_factor(feet, Length),
            float(mass.expanded_si) / unit_factor(pounds, Mass),
            word,
        )
        top = float(in_unit(CHART_TOP.si, feet, Length))
        maximum = float(in_unit(aircraft.weights.maximum.si, pounds, Mass))
        return Chart(
            "Weight that can hover out of ground effect",
            f"density altitude, {feet}",
            f"gross weight, {pounds}",
            (
                Curve(
                    "heaviest it can hover: above this line there is not enough power",
                    [float(one) for one in in_unit(heights[known], feet, Length)],
                    [float(one) for one in in_unit(able[known], pounds, Mass)],
                    "main",
                ),
                Curve("maximum weight of the aircraft file", [0.0, top], [maximum, maximum], "bound"),
            ),
            (),
            (point,),
        )
