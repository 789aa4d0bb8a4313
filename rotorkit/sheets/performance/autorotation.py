"""Autorotation: the glide, the rotor's energy, how fast its speed goes, and how the blades cone."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated, Any, ClassVar

import numpy as np

from rotorkit import sources
from rotorkit.aircraft import Aircraft
from rotorkit.aircraft.derived import blades_of
from rotorkit.aircraft.entries import Choice, Entry, asked, required
from rotorkit.aircraft.performance_figures import KNOTS, POSITION_ERROR, WHICH_AIRSPEED
from rotorkit.atmosphere import speed_of_sound
from rotorkit.atmosphere.standard import dynamic_viscosity
from rotorkit.judging.limits import Limit
from rotorkit.judging.measured import Measured, combine, measured, propagate_together
from rotorkit.mass import weight_force
from rotorkit.pictures.data import Chart, Curve, Point
from rotorkit.quantities import (
    Angle,
    Constant,
    Length,
    MomentOfInertia,
    QuantityError,
    Ratio,
    Reading,
    RotationRate,
    Speed,
    from_si,
    in_unit,
    required_kind,
    say,
    unit_factor,
)
from rotorkit.rotor import (
    AUTOROTATION_DESCENT_RATIO,
    ENERGY_PER_POWER_GUIDELINE,
    autorotation_descent,
    autorotative_index_of_energy,
    autorotative_index_of_inertia,
    coning_angle,
    disk_area,
    disk_loading,
    energy_per_power,
    glide_ratio,
    induced_velocity_hovering,
    lock_number,
    rotor_energy,
    rotor_speed_ratio_after_power_loss,
    speed_for_best_glide,
    speed_for_least_sink,
    thrust_with_download,
    time_until_rotor_speed_ratio,
    vertical_autorotation_descent_rate,
)
from rotorkit.rotor.blade_element import Air, Blades, at_thrust
from rotorkit.rotor.blade_element.trust import ANGLE_FOR_THRUST
from rotorkit.rotor.power_model import PowerModel
from rotorkit.sheets.base import AN_ESTIMATE, About, Needed, Outcome, SheetError, bars, unset
from rotorkit.sheets.exercises import Exercise, Range
from rotorkit.sheets.performance.airspeeds import (
    INDICATED,
    TRUE,
    FlownAirspeed,
    airspeed_limit,
    calibrated,
    flown,
    taken_as_calibrated,
)
from rotorkit.sheets.performance.day_and_weight import LEFT_OUT, NO_TRIM, EstimateSheet, EstimateWorking
from rotorkit.sheets.performance.level_flight import CURVE_UNTESTED, FEET_A_MINUTE, HELD_AGAINST, FlightFigures
from rotorkit.sheets.performance.power_reckoning import FLIGHT_USED, MAIN_BLADES_USED
from rotorkit.sheets.working import value_of
from rotorkit.sources import cautions
from rotorkit.sources.constants import STANDARD_GRAVITY

CURVE_POINTS = 41
CURVE_READ_TO = 0.03
"""How well `AUTOROTATION_DESCENT_RATIO` could be read from NACA TN 2474."""
CURVE_SCATTERS_BY = 0.15
"""By how much the tests of NACA TN 2474 scatter about its curve in induced velocity, over that in the hover."""
CURVE_FALLS_BY = 2.1
"""How steeply that curve falls where it meets ideal autorotation: the induced ratio by the descent ratio between its
rows at 1.7 and 1.8."""
DECAY_UNTESTED = (
    "The seconds until the lowest rotor speed come from a formula with the blades left at their angle: it has not been "
    "compared with a measured power loss. The ± covers only the uncertainty of its figures."
)
NOT_SAID = "not said"
"""What the choice of the airspeed begins with: no manual's airspeed is taken for true without being asked."""
WHICH_IT_IS = "which airspeed the airspeed in the glide is: it was taken as true"
SECONDS_SHOWN = 4.0
TIME_TO_ACT_SOURCE = sources.CFR_14.at("27.143(e), the least delay of corrective action in the cruise")
TIME_TO_ACT = Constant(1.0, "s", "t_p", TIME_TO_ACT_SOURCE)
"""What a pilot takes to notice a loss of power and to lower the collective: the least delay that the rules have shown
in the cruise, or the pilot's normal reaction time if that is longer; elsewhere in flight they say no figure."""
TIME_TO_ACT_SAID = f"{float(TIME_TO_ACT):g} s"
ESTIMATED = f"{AN_ESTIMATE}: the glide {HELD_AGAINST}"
CONED_AT = 0.8
"""Where on the radius a twisted blade's angle is taken for its coning, as `coning_angle` asks."""
_KINDS: dict[str, Any] = {
    "descent": Speed, "sink_speed": Speed, "least_sink": Speed, "glide_speed": Speed, "glide_descent": Speed,
    "glide_ratio": Ratio, "best_glide_ratio": Ratio,
}  # fmt: skip


class Autorotation(EstimateSheet):
    """The glide with the power off, and what the rotor's inertia is worth."""

    order: ClassVar[int] = 40
    puts_right: ClassVar[dict[str, str]] = {
        **EstimateSheet.puts_right,
        "airspeed_left": "Glide slower than the never-exceed speed, by the manual.",
        "descent": "Load it lighter, and glide at the speed that the manual gives.",
        "energy_per_power": (
            "Load it lighter, and ask the kit maker how soon after a power loss the collective has to be down."
        ),
        "time_to_lowest_speed": (
            "Load it lighter, and ask the kit maker how soon after a power loss the collective has to be down."
        ),
        "coning": "Load it lighter, and keep the rotor speed within the manual's range.",
    }
    workings: ClassVar[int] = 60
    moved_by_centre: ClassVar[str] = (
        f"The glide {LEFT_OUT} The rotor's energy, the seconds until it is slow and the coning do not depend on it."
    )
    needed: ClassVar[tuple[Needed, ...]] = (
        Needed(
            "First flight out of ground effect",
            "you know the rate of descent, and how soon the collective must be down, before it counts",
        ),
    )
    uses: ClassVar[tuple[str, ...]] = (*FLIGHT_USED, *MAIN_BLADES_USED)
    judged_by: ClassVar[tuple[str, ...]] = (
        "performance.descent",
        "performance.energy_per_power",
        "performance.time_to_lowest_speed",
        "performance.coning",
        "performance.airspeed",
        "performance.airspeed_is",
        "performance.position_error",
    )
    about: ClassVar[About] = About(
        title="Autorotation",
        settles=(
            "How fast the aircraft comes down with the power off, the speeds for least sink and best glide, "
            "how long the rotor keeps its speed after the power is lost, and how much energy it holds."
        ),
        when="When planning the flight-test programme; again when blades or tip weights are changed.",
        tools=(
            "the kit maker's figure for the blade's moment of inertia, or a blade swung as a pendulum",
            "thermometer in the shade, altimeter with its setting scale, hygrometer",
            "scales or the weight record",
        ),
        procedure=(
            "Write the inertia of one blade about the shaft and the lowest rotor speed into the aircraft file.",
            "Read weight and air as for the hover margin.",
            "Enter the airspeed that the manual gives for autorotation, and which airspeed it is.",
        ),
        sign_convention=(
            "A rate of descent is positive down. Airspeeds are true unless marked "
            "calibrated or indicated. Position error is calibrated minus indicated airspeed."
        ),
        cautions=(cautions.AUTOROTATION, cautions.HEIGHT_VELOCITY, cautions.ESTIMATE, *cautions.ALWAYS),
        not_covered=(
            "the flare and the landing, and the height they need",
            "the height-velocity diagram: that is the manual's, found by test",
            f"the time it takes to notice and act: allow {TIME_TO_ACT_SAID}",
            "turns, wind, and rotor speeds other than the one entered",
            NO_TRIM,
        ),
    )
    exercises: ClassVar[tuple[Exercise, ...]] = (
        Exercise(
            name="glide",
            title="How far it glides",
            story=("Power off, it settles at {descent_rate} while it flies at {airspeed}."),
            find="how many {feet|metres} it goes forward for each {foot|metre} down",
            unit="",
            of=glide_ratio,
            given={
                "airspeed": Range("55 kt", "70 kt", "1 kt"),
                "descent_rate": Range("1,400 ft/min", "1,900 ft/min", "10 ft/min"),
            },
            hints=(
                "Both speeds in one unit: a knot is {101.3 feet per minute|0.5144 metres per second}.",
                "Divide forward by down.",
            ),
        ),
        Exercise(
            name="energy",
            title="What the rotor has stored",
            story=("The rotor's moment of inertia is {rotor_inertia}; it turns at {rotor_speed}."),
            find="its energy",
            unit="ft-lb",
            of=rotor_energy,
            given={
                "rotor_inertia": Range("160 slug*ft^2", "220 slug*ft^2", "1 slug*ft^2"),
                "rotor_speed": Range("480 rpm", "540 rpm", "2 rpm"),
            },
            hints=(
                "Radians per second first.",
                "Half of inertia times speed squared.",
            ),
        ),
    )

    airspeed: Annotated[Reading, Entry(Speed, KNOTS, ("24 kt", "150 kt"), ("35 kt", "90 kt"))] = required(
        "Airspeed in the glide", "The manual's, where it gives one; 25 kt or more."
    )
    airspeed_is: Annotated[str, Choice(options=(NOT_SAID, *WHICH_AIRSPEED))] = asked(
        "Airspeed in the glide is",
        "Indicated: as the instrument shows it. Calibrated: corrected for position error. Or true.",
        NOT_SAID,
    )
    position_error: Annotated[Reading | None, POSITION_ERROR] = asked(
        "Position error at that airspeed",
        "For an indicated airspeed: calibrated minus indicated, from the manual's table, with its sign.",
    )

    def _work(self, aircraft: Aircraft) -> Outcome:
        blades = blades_of(aircraft.main_rotor, "main rotor")
        inertia = inertia_of(aircraft)
        flight = FlightFigures.of(aircraft)
        to = EstimateWorking(self, aircraft)
        mass, speed, day, radius = to.mass, to.speed, to.day, to.figures.radius
        weight = to.work("", weight_force, mass)
        hover = to.hover_power(weight)

        glide = self._glide(to)
        own = flight.own[:-1]  # the engine stands still
        found = propagate_together(
            lambda *given: glide_figures(flight, *given), _KINDS, (mass, speed, day.density, glide.true, *own)
        )
        _glide_steps(to, found)
        area = to.work("", disk_area, radius)
        straight_down = _straight_down(to, weight, area)

        rotor = _of_blades(inertia, blades.count)
        energy = to.work("", rotor_energy, rotor, speed)
        lasts = to.work("", energy_per_power, rotor, speed, hover.main)
        until = self._until(to, lasts)
        loading = to.work("", disk_loading, weight, area)
        by_energy = to.work("", autorotative_index_of_energy, rotor, speed, weight, loading)
        by_inertia = to.work("", autorotative_index_of_inertia, rotor, speed, weight, loading)
        assert aircraft.main_rotor.blade is not None
        slope = str(aircraft.main_rotor.blade.lift_slope.si)
        chord = measured(aircraft.main_rotor.chord, Length, "main rotor's chord")
        lock = to.work("", lock_number, day.density, slope, chord, radius, inertia)
        coning = self._coning(to, blades, lock)

        limits = aircraft.performance
        descent = to.judge(
            "descent", "Rate of descent", limits.descent, found["descent"].shown_in(FEET_A_MINUTE),
            name="rate of descent in autorotation",
        )  # fmt: skip
        to.tell("glide_ratio", "Glide ratio at the airspeed typed", found["glide_ratio"])
        to.tell("glide_speed_calibrated", "Airspeed typed, calibrated", glide.calibrated)
        to.tell("glide_speed_true", "Airspeed typed, true in this air", glide.true)
        if (most := airspeed_limit(to, aircraft, to.day)) is not None and limits.airspeed is not None:
            # both in the day's air: what is not known of it they have in common
            left = (most.true - glide.true).shown_in(KNOTS)
            name = "never-exceed speed less the airspeed in the glide"
            below = Limit(name, Speed, low="0 kt", source=limits.airspeed.source, unit="kt")
            to.judge("airspeed_left", "Airspeed typed, to the never-exceed speed", below, left, name=name)
        to.tell("least_sink_speed", "True airspeed of least sink", found["sink_speed"].shown_in(KNOTS))
        to.tell(
            "least_sink_speed_calibrated", "Calibrated airspeed of least sink", calibrated(found["sink_speed"], day)
        )
        to.tell("least_sink", "Least rate of descent", found["least_sink"].shown_in(FEET_A_MINUTE))
        to.tell("best_glide_speed", "True airspeed of best glide", found["glide_speed"].shown_in(KNOTS))
        to.tell(
            "best_glide_speed_calibrated", "Calibrated airspeed of best glide", calibrated(found["glide_speed"], day)
        )
        to.tell("best_glide_ratio", "Best glide ratio", found["best_glide_ratio"])
        to.tell("vertical_descent", "Straight down, an ideal rotor", straight_down)
        to.judge(
            "energy_per_power", "Rotor energy over hover power", limits.energy_per_power, lasts,
            name="rotor energy over hover power", aside=True,
        )  # fmt: skip
        lowest_word, soon = "", False
        if until is not None:
            lowest_word = to.judge(
                "time_to_lowest_speed", "Time to the lowest rotor speed, collective left up",
                limits.time_to_lowest_speed, until, name="time to the lowest rotor speed", aside=True,
            ).verdict.word  # fmt: skip
            if soon := until.si - until.expanded_si < float(TIME_TO_ACT):
                to.lead.append(
                    f"The lowest rotor speed is reached in {say(until)} with the collective left up. That is less than "
                    f"the time a pilot takes to notice and act, {TIME_TO_ACT_SAID} (14 CFR 27.143(e), least delay in "
                    "the cruise)."
                )
        to.judge("coning", "Coning in the hover", limits.coning, coning, name="coning angle", aside=True)
        to.tell("rotor_energy", "Energy of the rotor", energy)
        to.tell("lock_number", "Lock number of a blade", lock)
        to.tell("index_of_energy", "Autorotative index by energy", by_energy)
        to.tell("index_of_inertia", "Autorotative index by inertia", by_inertia)
        if lasts.si < ENERGY_PER_POWER_GUIDELINE:
            to.notes.append(
                f"Rotor energy over hover power is below the guideline of {float(ENERGY_PER_POWER_GUIDELINE):g} s for "
                "one engine (quoted from rotorcraft design notes): an unforgiving rotor."
            )
        to.notes += [
            f"Glide: {CURVE_UNTESTED[0].lower()}{CURVE_UNTESTED[1:]}",
            DECAY_UNTESTED,
            "Two autorotative indices are in print under the same name, a factor of two apart: compare like with like.",
        ]
        to.say_to_do(
            f"By this estimate it sinks least, {say(found['least_sink'].shown_in(FEET_A_MINUTE))}, at "
            f"{say(calibrated(found['sink_speed'], day))} calibrated"
            + (
                f"; the rotor is at its lowest speed after {say(until)} with the collective left up."
                if until is not None and not soon  # which leads, with the same figure
                else "."
            )
        )
        to.lead.append(ESTIMATED)
        model = flight.model(float(speed.si), *(float(one.si) for one in own))
        air, word = float(day.density.si), descent.verdict.word
        to.pictures = [
            decay_chart(aircraft, float(lasts.si), float(speed.si), until, lowest_word),
            glide_chart(model, float(mass.si), air, glide.true, found, word, to.system),
            bars("Against the limits", to.findings, to.system),
        ]
        return to.outcome()

    def _glide(self, to: EstimateWorking) -> FlownAirspeed:
        """The airspeed of the glide, calibrated and true; where it is not said which it is, that is asked for."""
        error = None if self.position_error is None else to.reading("position_error", "position error")
        which = self.airspeed_is
        if which == NOT_SAID:
            to.missing.append(WHICH_IT_IS)
            which = TRUE
        elif which == INDICATED and error is None:
            to.lead.append(taken_as_calibrated("airspeed in the glide", "no position error is typed for it"))
        return flown(to, to.reading("airspeed", "airspeed"), which, error, to.day)

    @staticmethod
    def _until(to: EstimateWorking, lasts: Measured) -> Measured | None:
        """The time to the lowest rotor speed, where the aircraft file gives one."""
        lowest, speed = to.aircraft.main_rotor.lowest_speed, to.speed
        if lowest is None:
            to.notes.append(
                "The aircraft file gives no lowest_speed for the main rotor: write in the manual's lowest power-off "
                "rotor speed, and the time until it is reached is worked out."
            )
            if not unset(to.aircraft.performance.time_to_lowest_speed):  # what has a limit is not passed over
                to.missing.append("the time to the lowest rotor speed (lowest_speed of the aircraft file's main rotor)")
            return None
        share = lowest.si / float(speed.si)
        if share > 1:
            said = f"is below the lowest with the power off, {lowest.said} in the aircraft file: type one above it"
            raise SheetError([("rotor_speed", said)])
        ratio = combine(share, Ratio, (speed,), (-share / float(speed.si),))
        return to.work("", time_until_rotor_speed_ratio, ratio, lasts)

    @staticmethod
    def _coning(to: EstimateWorking, blades: Blades, lock: Measured) -> Measured:
        """Coning in the hover: blade angle by blade element, even inflow."""
        day = to.day
        zero = float(getattr(blades.section, "zero_lift_si", 0.0))
        ratio = required_kind(Ratio)
        theory = measured(
            from_si(0.0, ratio), ratio, "blade angle for a thrust, by the theory",
            uncertainty=from_si(ANGLE_FOR_THRUST, ratio), stated_as="standard",
        )  # fmt: skip

        def angle(mass: Any, speed: Any, density: Any, temperature: Any, theory: Any) -> Mapping[str, Any]:
            air = Air(density, speed_of_sound.si(temperature), dynamic_viscosity.si(temperature))
            thrust = thrust_with_download.si(mass * STANDARD_GRAVITY, float(to.figures.download.si))
            found = at_thrust(blades, speed, air, thrust)
            inflow = np.sqrt(found.thrust_coefficient / 2)
            needed = zero + (found.collective - zero) * (1 + theory)
            return {"angle": needed + blades.twist_at(CONED_AT), "inflow": inflow}

        kinds = {"angle": Angle, "inflow": Ratio}
        found = propagate_together(angle, kinds, (to.mass, to.speed, day.density, day.temperature, theory))
        if "angle" not in found:
            raise QuantityError("the blades cannot carry this weight at any angle: they stall first")
        line = f"at {CONED_AT} of the radius in the hover: {say(found['angle'])}; inflow ratio {say(found['inflow'])}"
        to.step("Blade angle and inflow", [line], found["angle"], sources.LEISHMAN_2006.at("chapter 3"))
        return to.work("", coning_angle, lock, found["angle"], found["inflow"])


def _straight_down(to: EstimateWorking, weight: Measured, area: Measured) -> Measured:
    """The descent straight down with what the curve that it rests on is known to: read to within 0.03, and tests that
    scatter about it: where induced and descent ratio meet, a scatter of the one moves the other by that over 1 plus the
    curve's slope."""
    given = weight, to.day.density, area
    descent, induced = value_of(vertical_autorotation_descent_rate, *given), value_of(induced_velocity_hovering, *given)
    ratio = required_kind(Ratio)
    one = from_si(1.0, ratio)
    parts = [
        measured(one, ratio, label, uncertainty=from_si(size / float(AUTOROTATION_DESCENT_RATIO), ratio), stated_as=how)
        for label, size, how in (
            ("reading of the measured curve", CURVE_READ_TO, "bounds"),
            ("scatter of the tests about the measured curve", CURVE_SCATTERS_BY / (1 + CURVE_FALLS_BY), "standard"),
        )
    ]
    slopes = (1.0, float(descent.si), float(descent.si))
    found = combine(descent.si, Speed, (descent, *parts), slopes).shown_in(FEET_A_MINUTE)
    times = combine(float(AUTOROTATION_DESCENT_RATIO), ratio, parts, [float(AUTOROTATION_DESCENT_RATIO)] * 2)
    shown = induced.shown_in(FEET_A_MINUTE)
    lines = [
        f"induced velocity in the hover, sqrt(T / (2 ρ A)), of {say(weight)}, {say(to.day.density)} and {say(area)}: "
        f"{say(shown)}",
        f"{say(times)} of it, where the measured curve meets ideal autorotation: {say(found)}",
    ]
    formula = vertical_autorotation_descent_rate
    return to.step(formula.title, lines, found, formula.citation)


def inertia_of(aircraft: Aircraft) -> Measured:
    """Of one blade about the shaft. Raises `QuantityError` where the file does not say."""
    blade = aircraft.main_rotor.blade
    if blade is None or blade.inertia is None:
        raise QuantityError(
            "the aircraft file has no inertia in [main_rotor.blade]: write the moment of inertia of one blade about "
            'the shaft with its tip weight, for example inertia = "50 slug*ft^2"'
        )
    return measured(blade.inertia, MomentOfInertia, "inertia of one blade")


def _of_blades(inertia: Measured, count: int) -> Measured:
    return inertia * float(count)


def glide_figures(
    flight: FlightFigures, mass: Any, speed: Any, density: Any, airspeed: Any, *own: Any
) -> dict[str, Any]:
    model = flight.model(speed, *own)
    descent = autorotation_descent.si(model, mass, density, airspeed)
    slow = speed_for_least_sink.si(model, mass, density)
    far = speed_for_best_glide.si(model, mass, density, 0.0)
    at_far = autorotation_descent.si(model, mass, density, far)
    return {
        "descent": descent,
        "glide_ratio": airspeed / descent,
        "sink_speed": slow,
        "least_sink": autorotation_descent.si(model, mass, density, slow),
        "glide_speed": far,
        "glide_descent": at_far,
        "best_glide_ratio": far / at_far,
    }


def _glide_steps(to: EstimateWorking, found: Mapping[str, Measured]) -> None:
    source = sources.ARITHMETIC.at("energy balance of a steady glide")
    descent, sink = (found[name].shown_in(FEET_A_MINUTE) for name in ("descent", "least_sink"))
    slow, far = (found[name].shown_in(KNOTS) for name in ("sink_speed", "glide_speed"))
    line = (
        "lost height supplies the main rotor's level-flight power, the idling tail rotor and the drag of the drive "
        f"between them: power over weight is {say(descent)}"
    )
    to.step("Rate of descent", [line], descent, source)
    to.step("Least sink", [f"the lowest point of that curve: {say(sink)} at {say(slow)}"], sink, source)
    line = f"airspeed over descent is greatest, {say(found['best_glide_ratio'])}, at {say(far)}"
    to.step("Best glide", [line], found["best_glide_ratio"], source)


def decay_chart(aircraft: Aircraft, lasts: float, speed: float, until: Measured | None, word: str) -> Chart:
    """Rotor speed over the seconds after the power is lost, with the collective left up. lasts: rotor energy over hover
    power, s; speed: of the rotor, rad/s; word: the verdict of `until`."""
    seconds = np.linspace(0.0, SECONDS_SHOWN, CURVE_POINTS)
    rpm = float(in_unit(speed, "rpm", RotationRate))
    speeds = rpm * rotor_speed_ratio_after_power_loss.si(seconds, lasts)
    curves = [Curve("rotor speed, collective left up", [*map(float, seconds)], [*map(float, speeds)], "main")]
    points = []
    lowest = aircraft.main_rotor.lowest_speed
    if lowest is not None and until is not None:
        low = float(in_unit(lowest.si, "rpm", RotationRate))
        curves.append(Curve("lowest rotor speed with the power off", [0.0, SECONDS_SHOWN], [low, low], "bound"))
        if 0 <= until.si < SECONDS_SHOWN:
            points.append(Point("collective down by here", float(until.si), low, float(until.expanded_si), word=word))
    return Chart("Rotor speed after power loss", "time, s", "rotor speed, rpm", curves, (), points)


def glide_chart(
    model: PowerModel, mass: float, density: float, airspeed: Measured, found: Mapping[str, Measured], word: str,
    system: str,
) -> Chart:  # fmt: skip
    """Rate of descent over airspeed, with the airspeed of the glide on it (bare SI figures)."""
    metric = system == "metric"
    knots, feet = KNOTS[metric], FEET_A_MINUTE[metric]
    speeds = np.linspace(13.0, max(50.0, 1.1 * float(airspeed.si)), CURVE_POINTS)
    sink = autorotation_descent.si(model, mass, density, speeds)
    across, fall = (
        [float(one) for one in in_unit(values, unit, Speed)] for values, unit in ((speeds, knots), (sink, feet))
    )
    point = Point(
        "the glide", float(in_unit(airspeed.si, knots, Speed)),
        float(in_unit(found["descent"].si, feet, Speed)), 0.0,
        float(found["descent"].expanded_si) / unit_factor(feet, Speed), word,
    )  # fmt: skip
    return Chart(
        "Rate of descent with the power off",
        f"true airspeed, {knots}",
        f"rate of descent, {feet}",
        (Curve("steady glide", across, fall),),
        (),
        (point,),
    )
