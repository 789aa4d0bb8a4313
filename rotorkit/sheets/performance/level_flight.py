"""Level flight and climb: the power curve of the day, the speeds on it, climb, ceiling, and what the blades meet."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Annotated, Any, ClassVar

import numpy as np

from rotorkit import sources
from rotorkit.aircraft import Aircraft
from rotorkit.aircraft.derived import engine_words, power_model_of
from rotorkit.aircraft.entries import Entry, asked
from rotorkit.aircraft.performance_figures import KNOTS
from rotorkit.atmosphere import humid_air_density, isa_deviation, pressure_altitude, speed_of_sound
from rotorkit.atmosphere.air_of_the_day import DayAir
from rotorkit.engine.power_of_the_day import EngineOnTheDay, power_in, scaled_to
from rotorkit.judging.limits import IN_LIMITS, NO_LIMIT, OUT_OF_LIMITS, TOO_CLOSE, Limit, Verdict, worst
from rotorkit.judging.measured import Measured, measured, propagate_together
from rotorkit.pictures.data import Chart, Curve, Point
from rotorkit.quantities import (
    Area,
    Length,
    Power,
    QuantityError,
    Ratio,
    Reading,
    Speed,
    from_si,
    in_unit,
    say,
    unit_factor,
)
from rotorkit.rotor import (
    PowerModel,
    advance_ratio,
    blade_cautions,
    blade_loading,
    climb_rate,
    power_parts,
    retreating_blade_lift_coefficient,
    speed_for_best_range,
    speed_for_least_power,
    thrust_coefficient,
    tip_mach_advancing,
)
from rotorkit.rotor.forward import parasite_power
from rotorkit.rotor.forward_flow import RETREATING_LIFT
from rotorkit.rotor.performance import climb_ceiling, top_speed_above
from rotorkit.sheets.base import AN_ESTIMATE, About, Needed, Outcome, bars, judge, unset
from rotorkit.sheets.exercises import Exercise, Range
from rotorkit.sheets.performance.airspeeds import FlownAirspeed, airspeed_limit, calibrated
from rotorkit.sheets.performance.day_and_weight import LEFT_OUT, NO_TRIM, DaySheet, DayWorking
from rotorkit.sheets.performance.power_reckoning import FLIGHT_USED, Day
from rotorkit.sheets.working import capital
from rotorkit.sources import cautions
from rotorkit.sources.constants import STANDARD_GRAVITY

CURVE_UNTESTED = (
    "The ± covers the aircraft file's figures and the readings; it does not cover how far the power "
    "curve itself may be off. Fly it, and correct the file."
)

SERVICE_CLIMB = 0.508
"""Rate of climb at the service ceiling, m/s: 100 ft/min."""
CURVE_POINTS = 46
FEET_A_MINUTE = ("ft/min", "m/s")
NO_SINKING = Limit("best rate of climb", Speed, low="0 ft/min", source="physics: less than none is a descent")
NO_STALL = Limit(
    "lift coefficient of the retreating blade", Ratio, high=f"{RETREATING_LIFT}",
    source="where plain sections stall: common practice (no source)",
)  # fmt: skip
HELD_AGAINST = (
    "was checked against formulas, not against a measured helicopter, and the ± does not cover how far it may be off."
)
ESTIMATED = f"{AN_ESTIMATE}: the power curve {HELD_AGAINST}"
FLY_SLOWER = "fly slower"
"""What to do about what the blades meet."""
_KINDS: dict[str, Any] = {
    "hover": Power, "available": Power, "least_power_speed": Speed, "least_power": Power, "climb": Speed,
    "range_speed": Speed, "range_power": Power, "top_speed": Speed, "ceiling": Length,
}  # fmt: skip
_BLADE_KINDS: dict[str, Any] = {"speed": Speed, "mach": Ratio, "lift": Ratio, "advance": Ratio}


class LevelFlight(DaySheet):
    """The power curve of the day, and what follows from it."""

    order: ClassVar[int] = 30
    puts_right: ClassVar[dict[str, str]] = {
        **DaySheet.puts_right,
        "advancing_tip_mach": "Fly slower, at the rotor speed that the manual gives.",
    }
    workings: ClassVar[int] = 40
    moved_by_centre: ClassVar[str] = f"The power curve {LEFT_OUT}"
    has_slow_part: ClassVar[bool] = True
    needed: ClassVar[tuple[Needed, ...]] = (
        Needed(
            "First flight out of ground effect", "you know the speeds, the climb and what the blades allow beforehand"
        ),
    )
    uses: ClassVar[tuple[str, ...]] = FLIGHT_USED
    judged_by: ClassVar[tuple[str, ...]] = (
        "performance.climb",
        "performance.airspeed",
        "performance.airspeed_is",
        "performance.position_error",
        "performance.advancing_tip_mach",
        "performance.retreating_lift",
    )
    about: ClassVar[About] = About(
        title="Level flight and climb",
        settles=(
            "How much power level flight takes at each airspeed today, the speeds for best climb and best range, "
            "how fast it can go, how well and how high it climbs, and when the blades get near their limits."
        ),
        when="When planning the flight-test programme, and before each flight with the day's readings.",
        tools=(
            "thermometer in the shade, altimeter with its setting scale, hygrometer",
            "scales or the weight record",
        ),
        procedure=(
            "Write the flat-plate area into the aircraft file: an estimate at first, later from a measured top speed.",
            "Also write there whether the manual's never-exceed speed is an indicated, calibrated or true airspeed.",
            "Read weight and air as for the hover margin.",
            "Enter the rotor speed you fly, and the headwind if you want the best speed over the ground.",
        ),
        sign_convention=(
            "Airspeeds are true; the calibrated one is given beside them, which an indicator without position error "
            "would show. Position error is calibrated minus indicated airspeed. Climb is positive up. A headwind is "
            "positive, a tail wind negative."
        ),
        cautions=(cautions.ESTIMATE, cautions.BLADE_STALL, cautions.VORTEX_RING, *cautions.ALWAYS),
        not_covered=(
            "turns, gusts, an external load, doors off",
            NO_TRIM,
            "the indicator's own error, and the position error at other speeds than the never-exceed speed",
            "the power lost to blade stall or shock waves",
            "fuel: best range assumes the same fuel per horsepower at all powers",
        ),
    )
    exercises: ClassVar[tuple[Exercise, ...]] = (
        Exercise(
            name="drag_power",
            title="Pushing the fuselage through the air",
            story=("At {airspeed} in air of {density} the fuselage has the drag of a flat plate of {flat_plate_area}."),
            find="the power that this takes",
            unit="hp",
            of=parasite_power,
            given={
                "density": Range("0.00210 slug/ft^3", "0.00238 slug/ft^3", "0.00002 slug/ft^3"),
                "airspeed": Range("70 kt", "90 kt", "1 kt"),
                "flat_plate_area": Range("6.0 ft^2", "8.0 ft^2", "0.1 ft^2"),
            },
            hints=(
                "First turn knots into {feet per second: times 1.688|metres per second: times 0.5144}.",
                "Half density times speed cubed times area{, divided by 550|: that is in watts}.",
            ),
        ),
        Exercise(
            name="tip_mach",
            title="The tip that meets the wind",
            story=(
                "The tips run at {tip_speed}, the helicopter flies at {airspeed}, and sound runs at {speed_of_sound}."
            ),
            find="the Mach number of the advancing tip",
            unit="",
            of=tip_mach_advancing,
            given={
                "tip_speed": Range("640 ft/s", "690 ft/s", "2 ft/s"),
                "airspeed": Range("80 kt", "100 kt", "1 kt"),
                "speed_of_sound": Range("1,110 ft/s", "1,150 ft/s", "2 ft/s"),
            },
            hints=(
                "On the advancing side the two speeds add; use one unit.",
                "The sum divided by the speed of sound.",
            ),
        ),
    )

    headwind: Annotated[Reading, Entry(Speed, KNOTS, ("-60 kt", "60 kt"), ("-30 kt", "30 kt"))] = asked(
        "Headwind", "Along the path, for the best range over the ground; negative for a tail wind.", "0 kt"
    )

    def _work(self, aircraft: Aircraft) -> Outcome:
        flight = FlightFigures.of(aircraft)
        to = DayWorking(self, aircraft)
        mass, speed, day = to.mass, to.speed, to.day
        most = airspeed_limit(to, aircraft, day)
        wind = to.reading("headwind", "headwind")
        engine = day.engine(aircraft)
        inputs = (mass, speed, day.pressure, day.temperature, day.vapour, wind, *flight.own[:-1], to.rated)

        def figures(*given: Any) -> Mapping[str, Any]:
            return flight.curve(engine, day, *given)

        found = propagate_together(figures, _KINDS, inputs)
        if "top_speed" not in found:
            to.no("Level flight takes more power than the engine gives at every speed: do not fly today.")

        def ceiling(*given: Any) -> Mapping[str, Any]:
            return {"ceiling": flight.ceiling(engine, day, *given)}

        if highest := to.slowly("the service ceiling", lambda: propagate_together(ceiling, _KINDS, inputs)):
            found |= highest
        elif highest is not None:
            to.notes.append("The service ceiling is beyond the range of the formulas or of the engine's table.")
        how = engine_words(aircraft.engine)
        _steps(to, found, how)
        fastest = self._fastest(to, found, most)
        blades = {}
        if fastest is not None:
            given = (mass, speed, day.density, day.temperature, fastest)
            blades = propagate_together(flight.blades, _BLADE_KINDS, given)
            _blade_steps(to, blades)
            said = blade_cautions(blades["mach"].si, blades["lift"].si)
            to.lead += said[:-1]  # what the blades meet stands first, the caution beneath
            to.notes += said[-1:]
        _findings(to, found, blades, most)
        at = {one.key: say(one.measured) for one in to.findings}
        if "climb" in at and "speed_best_climb_calibrated" in at and "top_speed" in found:
            to.say_to_do(
                f"By this estimate it climbs best with {at['climb']} at {at['speed_best_climb_calibrated']} calibrated."
            )
        to.say_what_helps("climb")
        at_the_blades = [one for one in to.findings if one.key in ("advancing_tip_mach", "retreating_lift")]
        bad = [one.verdict for one in at_the_blades if one.verdict.word in (TOO_CLOSE, OUT_OF_LIMITS)]
        if "top_speed" not in found:
            to.say_to_do("Do not fly it like this.")
        elif bad and not any(FLY_SLOWER in verdict.settle for verdict in bad):
            to.say_to_do(f"{to.told_to_do} {capital(FLY_SLOWER)} than {_at(to, blades)}.".strip(), *to.it_covers)
        to.lead.append(ESTIMATED)
        word = worst([one.verdict for one in to.findings if not one.aside])
        bare = flight.model(*(float(one.si) for one in (speed, *flight.own[:-1])))
        to.pictures = [
            curve_chart(bare, float(mass.si), float(day.density.si), found, most, word, to.system),
            bars("Against the limits", to.findings, to.system),
        ]
        to.notes += [CURVE_UNTESTED, f"Power available by {how}. Pressure altitude {say(day.height)}."]
        return to.outcome()

    @staticmethod
    def _fastest(to: DayWorking, found: Mapping[str, Measured], most: FlownAirspeed | None) -> Measured | None:
        """The fastest true airspeed that may be flown, at which the blades are looked at: the never-exceed speed, which
        a descent reaches also where level flight does not; without one the fastest by power."""
        limit = to.aircraft.performance.airspeed
        top = found.get("top_speed")
        if limit is None or most is None:
            return top
        if top is not None:
            if top.si > most.true.si:
                to.notes.append(
                    f"There is power for {say(top.shown_in(KNOTS))} true, but the manual's {limit.text} "
                    f"({limit.source}) comes first, which is {most.words}: the blades are judged at that speed."
                )
            else:
                to.notes.append(
                    f"There is power for {say(top.shown_in(KNOTS))} true in level flight; in a descent the manual's "
                    f"{limit.text} ({limit.source}) can be reached, which is {most.words}: the blades are judged "
                    "at that speed."
                )
        return most.true


@dataclass(frozen=True)
class FlightFigures:
    """The aircraft's figures for its power curve: what is certain in `plain`, what is not in `own`, the engine's rated
    power last."""

    plain: PowerModel
    own: tuple[Measured, ...]
    radius: float
    tail_ratio: float
    tail_radius: float

    @classmethod
    def of(cls, aircraft: Aircraft) -> FlightFigures:
        """From the aircraft file. Raises `QuantityError` where it has no [airframe]."""
        plain = power_model_of(aircraft)
        assert aircraft.airframe is not None
        main, drive = aircraft.main_rotor, aircraft.drive
        own = (
            measured(main.induced_factor, Ratio, "induced factor"),
            measured(main.profile_drag_coefficient, Ratio, "profile drag coefficient"),
            measured(aircraft.airframe.flat_plate_area, Area, "flat-plate area"),
            measured(drive.efficiency, Ratio, "transmission efficiency"),
            measured(drive.accessory_power, Power, "accessory power"),
            measured(aircraft.engine.rated_power, Power, "engine's rated power"),
        )
        tail = aircraft.tail_rotor
        return cls(plain, own, main.radius.si, drive.tail_to_main_rotor.si, tail.radius.si)

    def model(self, speed: Any, induced: Any, drag: Any, plate: Any, efficiency: Any, accessories: Any) -> PowerModel:
        """The power model at a rotor speed, with these figures (bare SI, single or arrays)."""
        return replace(
            self.plain,
            rotor_speed=speed,
            tip_speed=speed * self.radius,
            tail_tip_speed=speed * self.tail_ratio * self.tail_radius,
            induced_factor=induced,
            profile_drag_coefficient=drag,
            flat_plate_area=plate,
            transmission_efficiency=efficiency,
            accessory_power=accessories,
        )

    def curve(
        self, engine: EngineOnTheDay, day: Day, mass: Any, speed: Any, pressure: Any, temperature: Any, vapour: Any,
        wind: Any, *own: Any,
    ) -> dict[str, Any]:  # fmt: skip
        """The figures on the power curve, arrays in SI units; not a number where there is none."""
        *shape, rated = own
        model = self.model(speed, *shape)
        density = humid_air_density.si(pressure, temperature, vapour)
        available = power_in(engine.engine, rated, DayAir(pressure, temperature, vapour, density))
        return self.speeds(model, mass, density, available, wind)

    def ceiling(
        self, engine: EngineOnTheDay, day: Day, mass: Any, speed: Any, pressure: Any, temperature: Any, vapour: Any,
        wind: Any, *own: Any,
    ) -> Any:  # fmt: skip
        """The service ceiling as a pressure altitude, an array in SI units; not a number where there is none."""
        *shape, rated = own
        warmer = isa_deviation.si(temperature, pressure_altitude.si(pressure))
        given = (self.model(speed, *shape), scaled_to(engine.engine, rated), mass, SERVICE_CLIMB + 0 * mass, warmer)
        try:
            return climb_ceiling.si(*given, float(day.humidity.si))
        except QuantityError:  # beyond the engine's table
            return np.full(np.shape(mass), np.nan)

    @staticmethod
    def speeds(model: PowerModel, mass: Any, density: Any, available: Any, wind: Any = 0.0) -> dict[str, Any]:
        """Powers and speeds on the curve (bare SI, single or arrays); not a number where there is none."""
        mass = np.atleast_1d(mass)
        least = speed_for_least_power.si(model, mass, density)
        best = speed_for_best_range.si(model, mass, density, wind)
        return {
            "hover": power_parts(model, mass, density).total,
            "available": available,
            "least_power_speed": least,
            "least_power": power_parts(model, mass, density, least).total,
            "climb": climb_rate.si(model, mass, density, least, available),
            "range_speed": best,
            "range_power": power_parts(model, mass, density, best).total,
            "top_speed": top_speed_above(least, model, mass, density, available),
        }

    def blades(self, mass: Any, speed: Any, density: Any, temperature: Any, airspeed: Any) -> dict[str, Any]:
        """What the blades meet at an airspeed, arrays in SI units."""
        tips = speed * self.radius
        thrust = thrust_coefficient.si(mass * STANDARD_GRAVITY, density, self.plain.disk_area, tips)
        advance = advance_ratio.si(airspeed, tips)
        loading = blade_loading.si(thrust, self.plain.solidity)
        return {
            "speed": airspeed,
            "mach": tip_mach_advancing.si(tips, airspeed, speed_of_sound.si(temperature)),
            "lift": retreating_blade_lift_coefficient.si(loading, advance),
            "advance": advance,
        }


def _findings(
    to: DayWorking, found: Mapping[str, Measured], blades: Mapping[str, Measured], most: FlownAirspeed | None
) -> None:
    limits, day = to.aircraft.performance, to.day
    shown = {name: one.shown_in(KNOTS) if name.endswith("speed") else one for name, one in {**found, **blades}.items()}
    climb = found["climb"].shown_in(FEET_A_MINUTE)
    to.judge("climb", "Best rate of climb", limits.climb, climb, name=NO_SINKING.name, physical=NO_SINKING)
    to.tell("speed_best_climb", "True airspeed for best climb and least power", shown["least_power_speed"])
    to.tell(
        "speed_best_climb_calibrated", "Calibrated airspeed for best climb", calibrated(found["least_power_speed"], day)
    )
    to.tell("power_at_best_climb", "Power at best climb", found["least_power"])
    to.tell("speed_best_range", "True airspeed for best range", shown["range_speed"])
    to.tell("speed_best_range_calibrated", "Calibrated airspeed for best range", calibrated(found["range_speed"], day))
    to.tell("power_at_best_range", "Power at best range", found["range_power"])
    if "top_speed" in found:
        to.tell("top_speed", "Fastest level flight by power, true airspeed", shown["top_speed"])
    if most is not None:
        to.tell("airspeed_limit_calibrated", "Never-exceed speed, calibrated", most.calibrated)
        to.tell("airspeed_limit_true", "Never-exceed speed, true in this air", most.true)
    if "ceiling" in found:
        to.tell("ceiling", "Service ceiling, pressure altitude", found["ceiling"])
    to.tell("hover_power", "Power in the hover by the same model", found["hover"])
    to.tell("power_available", "Power available", found["available"])
    if blades:
        at = _at(to, blades)
        to.judge(
            "advancing_tip_mach", f"Advancing tip: Mach number at {at}", limits.advancing_tip_mach, blades["mach"],
            name="Mach number of the advancing tip", aside=True,
        )  # fmt: skip
        lift = _retreating(limits.retreating_lift, blades["lift"])
        title = f"Retreating blade: lift coefficient at {at}"
        to.found("retreating_lift", title, lift, aside=lift.word == NO_LIMIT)


def _at(to: DayWorking, blades: Mapping[str, Measured]) -> str:
    """The airspeed at which the blades are judged, in words."""
    speed = blades["speed"]
    return f"{say(from_si(float(speed.si), speed.kind), KNOTS[to.system == 'metric'], digits=3)} true"


def _retreating(limit: Limit | None, lift: Measured) -> Verdict:
    """The verdict on the retreating blade: by the manual's limit, else by where plain sections stall; and never plainly
    in limits where they stall and the manual allows it."""
    verdict = judge(limit, lift, NO_STALL.name, NO_STALL if unset(limit) else None)
    if verdict.word != IN_LIMITS or float(lift.si) + float(lift.expanded_si) <= RETREATING_LIFT:
        return verdict
    settle = (
        f"within the manual's limit, but where plain sections stall, at about {RETREATING_LIFT} (common practice, "
        f"no source): {FLY_SLOWER}, or ask the kit maker what the limit is based on"
    )
    said = verdict.sentence.replace(f": {IN_LIMITS}", f": {TOO_CLOSE}")
    return replace(verdict, word=TOO_CLOSE, sentence=said, settle=settle)


def _steps(to: DayWorking, found: Mapping[str, Measured], how: str) -> None:
    model = sources.GLAUERT.at("power curve: induced, profile and parasite power, tail rotor, losses, accessories")
    said = {name: say(one.shown_in(KNOTS) if name.endswith("speed") else one) for name, one in found.items()}
    climb = found["climb"].shown_in(FEET_A_MINUTE)
    line = f"by {how}: {said['available']}"
    to.step("Power available", [line], found["available"], sources.COMMON_PRACTICE.at(how))
    line = f"the lowest point of the power curve: {said['least_power']} at {said['least_power_speed']}"
    to.step("Least power", [line], found["least_power"], model)
    line = (
        "what is left at that airspeed, through the transmission, a part of it to the tail rotor, over the weight: "
        f"{say(climb)}"
    )
    to.step("Best rate of climb", [line], climb, sources.ARITHMETIC.at("climb from excess power"))
    line = f"least power over ground speed: {said['range_power']} at {said['range_speed']}"
    to.step("Best range", [line], found["range_speed"].shown_in(KNOTS), model)
    if "top_speed" in found:
        line = f"the fast airspeed at which level flight takes {said['available']}: {said['top_speed']}"
        to.step("Fastest level flight", [line], found["top_speed"].shown_in(KNOTS), model)
    if "ceiling" in found:
        line = f"the pressure altitude at which the best climb has fallen to 100 ft/min on this day: {said['ceiling']}"
        to.step("Service ceiling", [line], found["ceiling"], sources.DEFINITION.at("service ceiling"))


def _blade_steps(to: DayWorking, blades: Mapping[str, Measured]) -> None:
    at = say(blades["speed"].shown_in(KNOTS))
    line = f"tip speed plus {at} over the speed of sound: {say(blades['mach'])}"
    to.step("Advancing tip", [line], blades["mach"], tip_mach_advancing.citation)
    line = (
        f"at {at} (advance ratio {say(blades['advance'], digits=3)}) it has to reach a lift coefficient of "
        f"{say(blades['lift'])}"
    )
    to.step("Retreating blade", [line], blades["lift"], retreating_blade_lift_coefficient.citation)


def curve_chart(
    model: PowerModel, mass: float, density: float, found: Mapping[str, Measured], most: FlownAirspeed | None,
    word: str, system: str,
) -> Chart:  # fmt: skip
    """The power curve with its parts, the power available, and the day's speeds on it. most: the never-exceed speed."""
    knots, power = KNOTS[system == "metric"], "kW" if system == "metric" else "hp"
    top = found.get("top_speed")
    may = float(most.true.si) if most is not None else 0.0
    last = max([float(top.si) if top is not None else 0.0, may, 40.0])
    speeds = np.linspace(0.0, 1.08 * last, CURVE_POINTS)
    parts = power_parts(model, mass, density, speeds)
    across = [float(one) for one in in_unit(speeds, knots, Speed)]

    def shown(watts: Any) -> list[float]:
        return [float(one) for one in in_unit(np.broadcast_to(watts, speeds.shape), power, Power)]

    available = shown(found["available"].si)
    curves = [
        Curve("power needed at the engine", across, shown(parts.total), "main"),
        Curve("main rotor's induced power", across, shown(parts.induced), "second"),
        Curve("parasite power", across, shown(parts.parasite), "third"),
        Curve("power available", [across[0], across[-1]], [available[0], available[-1]], "bound"),
    ]
    if most is not None:
        at = float(in_unit(may, knots, Speed))
        curves.append(Curve("never-exceed speed", [at, at], [0.0, available[0]], "bound"))
    points = [
        _point("best climb", found["least_power_speed"], found["least_power"], word, knots, power),
        _point("best range", found["range_speed"], found["range_power"], "", knots, power),
    ]
    return Chart("Power over airspeed", f"true airspeed, {knots}", f"power, {power}", curves, (), points)


def _point(label: str, speed: Measured, needed: Measured, word: str, knots: str, power: str) -> Point:
    return Point(
        label,
        float(in_unit(speed.si, knots, Speed)),
        float(in_unit(needed.si, power, Power)),
        0.0,
        float(needed.expanded_si) / unit_factor(power, Power),
        word,
    )
