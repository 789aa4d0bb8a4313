"""The day's power reckoning, as every performance sheet shares it: the air of the day, the aircraft's figures, the
estimates of the main rotor's power in the hover, and what measured hovers correct them by.

`Day` is the air, `Figures` the aircraft, `Estimate` one estimate of the main rotor's power; `engine_power` leads from
there to the engine, `corrections` from measured hovers to what an estimate is multiplied by. Steps go to a `Reckoning`
where one is given.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import partial
from typing import Any

from rotorkit import sources
from rotorkit.aircraft import Aircraft, MeasuredHover
from rotorkit.aircraft.derived import blades_of, download_of, engine_model_of, full_power_rotor_speed
from rotorkit.atmosphere import (
    DayAir,
    density_altitude,
    dry_air_density,
    humid_air_density,
    isa_deviation,
    pressure_altitude,
    standard_pressure,
    station_pressure,
    vapour_pressure_from_humidity,
)
from rotorkit.engine import EngineOnTheDay, power_at_engine_speed
from rotorkit.engine.power_of_the_day import power_in
from rotorkit.judging.measured import Measured, Origin, combine, coverage_factor, measured, propagate
from rotorkit.mass import weight_force
from rotorkit.quantities import Length, Mass, Power, Ratio, RotationRate, Temperature, required_kind, say
from rotorkit.rotor import (
    Blades,
    blade_element_power,
    disk_area,
    engine_power_needed,
    hover_power_from_figure_of_merit,
    hover_power_induced_and_profile,
    main_rotor_torque,
    solidity,
    tail_rotor_power,
    tail_rotor_thrust_needed,
    thrust_with_download,
    tip_speed,
)
from rotorkit.rotor.blade_element import BladeElementHover, hover_and_power
from rotorkit.rotor.hover_balance import (
    engine_power_by_blades,
    engine_power_by_merit,
    engine_power_by_parts,
    main_rotor_power_at,
)
from rotorkit.rotor.margin import correction_from_measured_power
from rotorkit.sheets.base import SheetError
from rotorkit.sheets.working import Reckoning, value_of

MAIN_HOVER = "Main rotor in the hover, by blade element:"
BY_MERIT, BY_PARTS, BY_BLADES = "figure of merit", "induced factor and profile drag", "blade element"

HOVER_USED = (
    *(f"main_rotor.{name}" for name in ("blades", "radius", "chord", "speed")),
    *(f"main_rotor.{name}" for name in ("figure_of_merit", "induced_factor", "profile_drag_coefficient")),
    *(f"tail_rotor.{name}" for name in ("radius", "arm", "figure_of_merit")),
    *(f"drive.{name}" for name in ("engine_to_main_rotor", "efficiency", "accessory_power")),
    *(f"engine.{name}" for name in ("rated_power", "rated_speed")),
    "weights.maximum",
)
"""The aircraft file's figures that a hover's power is worked out from (`Figures`)."""
FLIGHT_USED = (
    *HOVER_USED,
    *(f"tail_rotor.{name}" for name in ("blades", "chord", "speed")),
    "drive.tail_to_main_rotor",
    "airframe.flat_plate_area",
)
"""Those that level flight's is worked out from (`power_model_of`)."""
_BLADE = ("root_cutout", "twist", "lift_slope", "drag_constant", "drag_square", "greatest_lift", "source")
MAIN_BLADES_USED = ("main_rotor.positive_blade_angle", *(f"main_rotor.blade.{name}" for name in _BLADE))
TAIL_BLADES_USED = ("tail_rotor.blades", "tail_rotor.chord", *(f"tail_rotor.blade.{name}" for name in _BLADE))
"""Those of a rotor's blades by blade element (`blades_of`)."""


@dataclass(frozen=True)
class Day:
    """The air of the day."""

    pressure: Measured
    temperature: Measured
    vapour: Measured
    humidity: Measured
    density: Measured
    dry: Measured
    height: Measured
    altitude: Measured

    @classmethod
    def worked(
        cls, to: Reckoning, setting: Measured, elevation: Measured, temperature: Measured, humidity: Measured
    ) -> Day:
        """From what is read at the field."""
        pressure = to.work("", station_pressure, setting, elevation)
        height = to.work("", pressure_altitude, pressure)
        vapour = to.work("", vapour_pressure_from_humidity, humidity, temperature)
        air = to.work("", humid_air_density, pressure, temperature, vapour)
        altitude = to.work("", density_altitude, air)
        dry = to.work("", dry_air_density, pressure, temperature, vapour)
        return cls(pressure, temperature, vapour, humidity, air, dry, height, altitude)

    @classmethod
    def of_hover(cls, hover: MeasuredHover) -> Day:
        """From what was written down at a hover that was measured."""
        of = f", {hover.title}"
        height = measured(hover.pressure_altitude, Length, f"pressure altitude{of}")
        temperature = measured(hover.temperature, Temperature, f"air temperature{of}")
        humidity = measured(hover.humidity, Ratio, f"relative humidity{of}")
        pressure = value_of(standard_pressure, height)
        vapour = value_of(vapour_pressure_from_humidity, humidity, temperature)
        air, dry = (value_of(one, pressure, temperature, vapour) for one in (humid_air_density, dry_air_density))
        return cls(pressure, temperature, vapour, humidity, air, dry, height, value_of(density_altitude, air))

    @property
    def dry_share(self) -> float:
        """The dry air's part of the density."""
        return float(self.dry.si / self.density.si)

    def engine(self, aircraft: Aircraft) -> EngineOnTheDay:
        """The engine as this day has it on the way up."""
        warmer = isa_deviation.si(self.temperature.si, self.height.si)
        return EngineOnTheDay(engine_model_of(aircraft.engine), warmer, float(self.humidity.si), self.dry_share)

    def power_available(self, aircraft: Aircraft, rated: Measured) -> Measured:
        """The engine's power here, whatever it rests on; a table that does not reach here is refused with its range."""
        engine = engine_model_of(aircraft.engine)
        air = DayAir(*(float(one.si) for one in (self.pressure, self.temperature, self.vapour, self.density)))
        engine.available(air)

        def available(rated: float, pressure: float, temperature: float, vapour: float) -> float:
            density = humid_air_density.si(pressure, temperature, vapour)
            return float(power_in(engine, rated, DayAir(pressure, temperature, vapour, density)))

        return propagate(available, Power, [rated, self.pressure, self.temperature, self.vapour])


@dataclass(frozen=True)
class Figures:
    """The aircraft's figures, each made once, so that its uncertainty is one and the same wherever it enters."""

    radius: Measured
    arm: Measured
    tail_radius: Measured
    tail_merit: Measured
    efficiency: Measured
    accessories: Measured
    rated: Measured
    shape: Measured
    merit: Measured
    induced: Measured
    drag: Measured
    blades: Blades | None
    full_power_from: float
    download: Measured

    @classmethod
    def of(cls, aircraft: Aircraft) -> Figures:
        main, tail, drive = aircraft.main_rotor, aircraft.tail_rotor, aircraft.drive
        radius = measured(main.radius, Length, "main rotor's radius")
        chord = measured(main.chord, Length, "main rotor's chord")
        return cls(
            radius,
            measured(tail.arm, Length, "tail rotor's arm"),
            measured(tail.radius, Length, "tail rotor's radius"),
            measured(tail.figure_of_merit, Ratio, "tail rotor's figure of merit"),
            measured(drive.efficiency, Ratio, "transmission efficiency"),
            measured(drive.accessory_power, Power, "accessory power"),
            measured(aircraft.engine.rated_power, Power, "engine's rated power"),
            value_of(solidity, str(len(main.blades)), chord, radius),
            measured(main.figure_of_merit, Ratio, "main rotor's figure of merit"),
            measured(main.induced_factor, Ratio, "induced factor"),
            measured(main.profile_drag_coefficient, Ratio, "profile drag coefficient"),
            blades_of(main, "main rotor") if main.blade is not None else None,
            full_power_rotor_speed(aircraft),
            download_of(aircraft),
        )

    @property
    def has_download(self) -> bool:
        """Whether the file gives a download at all: mostly it is in the rotor's own figures."""
        return bool(self.download.si or self.download.components)

    def carried(self, weight: Measured, call: Any = value_of) -> Measured:
        """What the main rotor carries in the hover: the weight, with the download where the file gives one."""
        return call(thrust_with_download, weight, self.download) if self.has_download else weight

    def rated_at(self, speed: Measured) -> Measured:
        """The engine's rated power as far as it may be counted on at a speed of the main rotor: wherever power
        available is worked out from the rating, it is from this."""

        def power(rated: float, speed: float) -> float:
            return float(power_at_engine_speed.si(rated, speed, self.full_power_from))

        return propagate(power, Power, [self.rated, speed])

    def shares(self, speed: Measured) -> tuple[Measured, ...]:
        """What leads from the main rotor's power to the engine's, with the main rotor's speed."""
        return speed, self.arm, self.tail_radius, self.tail_merit, self.efficiency, self.accessories

    @property
    def estimates(self) -> dict[str, Estimate]:
        """The estimates that the aircraft file has figures for, by name."""
        found = {
            BY_MERIT: Estimate(BY_MERIT, "merit", self, (self.radius, self.merit)),
            BY_PARTS: Estimate(BY_PARTS, "parts", self, (self.radius, self.shape, self.induced, self.drag)),
        }
        if self.blades is not None:
            found[BY_BLADES] = Estimate(BY_BLADES, "blades", self, ())
        return found


@dataclass(frozen=True)
class Estimate:
    """One estimate of the main rotor's power in the hover. key: in the keys of findings; own: its figures."""

    name: str
    key: str
    figures: Figures
    own: tuple[Measured, ...]

    def power(self, weight: Measured, day: Day, speed: Measured, to: Reckoning | None = None) -> Measured:
        """The main rotor's power, with its steps where a reckoning is given."""
        f = self.figures
        call = value_of if to is None else partial(to.work, "")
        weight = f.carried(weight, call)
        if self.name == BY_MERIT:
            return call(hover_power_from_figure_of_merit, weight, day.density, disk_area(f.radius), f.merit)
        if self.name == BY_PARTS:
            tips = tip_speed(speed, f.radius)
            given = (weight, day.density, disk_area(f.radius), tips, f.shape, f.induced, f.drag)
            return call(hover_power_induced_and_profile, *given)
        assert f.blades is not None
        met = (weight, speed, day.density, day.temperature)
        if to is None:
            return value_of(blade_element_power, f.blades, *met)
        hover, power = hover_and_power(f.blades, *met)
        _blade_step(to, f.blades, weight, hover, power)
        return power

    def needed(self) -> Any:
        """Engine power of (mass, density, *figures), these as `all_figures` has them: bare arrays."""
        if self.name == BY_MERIT:
            plain: Any = engine_power_by_merit
        elif self.name == BY_PARTS:
            plain = engine_power_by_parts
        else:
            assert self.figures.blades is not None
            plain = engine_power_by_blades(self.figures.blades)
        if not self.figures.has_download:
            return plain

        def carrying(mass: Any, density: Any, *figures: Any) -> Any:
            *rest, download = figures
            return plain(thrust_with_download.si(mass, download), density, *rest)

        return carrying

    def all_figures(self, correction: Measured, day: Day, speed: Measured) -> tuple[Measured, ...]:
        """What `needed` takes after mass and density."""
        own = (day.temperature,) if self.name == BY_BLADES else self.own
        download = (self.figures.download,) if self.figures.has_download else ()
        return correction, *self.figures.shares(speed), *own, *download


def _blade_step(to: Reckoning, blades: Blades, weight: Measured, hover: BladeElementHover, power: Measured) -> None:
    lines = [
        f"thrust {say(weight)}, {blades.count} blades of {blades.section.source}",
        f"collective at 0.75 of the radius {say(hover.collective, digits=3)}, figure of merit "
        f"{say(hover.figure_of_merit, digits=3)}",
        f"induced power {say(hover.induced_power)}, profile power {say(hover.profile_power)}: {say(power)}",
        *hover.remarks,
    ]
    to.lead += [f"{MAIN_HOVER} {said}" for said in hover.remarks if "stall" in said]
    to.notes += [f"{MAIN_HOVER} {said}" for said in hover.remarks if "stall" not in said]
    to.step("Main rotor's power by blade element", lines, power, sources.LEISHMAN_2006.at("chapter 3"))


def engine_power(main: Measured, day: Day, speed: Measured, figures: Figures) -> Measured:
    """Engine power for a main rotor's power, without its steps."""
    thrust = tail_rotor_thrust_needed(main_rotor_torque(main, speed), figures.arm)
    tail = tail_rotor_power(thrust, day.density, disk_area(figures.tail_radius), figures.tail_merit)
    return value_of(engine_power_needed, main, tail, figures.accessories, figures.efficiency)


def corrections(
    aircraft: Aircraft, estimates: dict[str, Estimate], figures: Figures, chosen: str, to: Reckoning
) -> dict[str, Measured]:
    """What each estimate is to be multiplied by, from the hovers that were measured: the mean over them, with their
    scatter. The chosen one's steps are shown."""
    if not aircraft.measured_hovers:
        raise SheetError(
            [
                (
                    "calibration",
                    "needs hovers that were measured, and the aircraft file has none: write a block "
                    "[[measured_hovers]] for each, with title, gross_weight, pressure_altitude, temperature and "
                    "rotor_speed (power too, where it was not full throttle), as in the blank aircraft file",
                )
            ]
        )
    ratios: dict[str, list[Measured]] = {name: [] for name in estimates}
    for hover in aircraft.measured_hovers:
        day = Day.of_hover(hover)
        speed = measured(hover.rotor_speed, RotationRate, f"rotor speed, {hover.title}")
        weight = value_of(weight_force, measured(hover.gross_weight, Mass, f"gross weight, {hover.title}"))
        if hover.power is None:
            engine, how = day.power_available(aircraft, figures.rated_at(speed)), "full throttle"
        else:
            engine, how = measured(hover.power, Power, f"power, {hover.title}"), "power as measured"
        main = main_rotor_power_at(engine, day.density, figures.shares(speed))
        for name, estimate in estimates.items():
            found = estimate.power(weight, day, speed)
            ratio = value_of(correction_from_measured_power, main, found)
            ratios[name].append(ratio)
            if name == chosen:
                line = (
                    f"{hover.gross_weight.said} at {say(day.altitude)} density altitude, {how} {say(engine)}: "
                    f"{say(main)} at the main rotor, {say(found)} by {name}: ratio {say(ratio)}"
                )
                to.step(f"Measured hover: {hover.title}", [line], ratio, correction_from_measured_power.citation)
    return {name: _mean(found) for name, found in ratios.items()}


def _mean(ratios: list[Measured]) -> Measured:
    """The mean, with the scatter of the hovers about it: of two half their difference, of more by Student's t."""
    count = len(ratios)
    mean = combine(sum(one.si for one in ratios) / count, Ratio, ratios, [1 / count] * count)
    if count < 2:
        return mean
    scatter = (sum((one.si - mean.si) ** 2 for one in ratios) / (count - 1) / count) ** 0.5
    widened = scatter * (coverage_factor(count - 1) / 2 if count > 2 else 1)
    ratio = required_kind(Ratio)
    return Measured(mean.si, ratio, {**mean.components, Origin("scatter of the measured hovers"): widened})
