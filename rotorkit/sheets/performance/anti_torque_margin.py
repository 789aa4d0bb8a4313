"""Anti-torque margin: the pedal left in the hover, from the tail rotor's rigged blade angles."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Annotated, Any, ClassVar, Self, cast

import numpy as np

from rotorkit import sources
from rotorkit.aircraft import Aircraft
from rotorkit.aircraft.derived import blades_of, stops_measured_at
from rotorkit.aircraft.entries import Choice, Entry, asked, required
from rotorkit.atmosphere import speed_of_sound
from rotorkit.judging.limits import IN_LIMITS, Limit
from rotorkit.judging.measured import Measured, measured, propagate_together
from rotorkit.mass import weight_force
from rotorkit.pictures.data import Chart, Curve, Point
from rotorkit.quantities import (
    Angle,
    Force,
    Power,
    Ratio,
    Reading,
    from_si,
    in_unit,
    number_text,
    required_kind,
    say,
    unit_factor,
)
from rotorkit.rotor import Blades, main_rotor_torque, pedal_margin, tail_rotor_thrust_needed, tip_mach_hovering
from rotorkit.rotor.antitorque import PedalMargin, thrust_past_fin
from rotorkit.rotor.blade_element.trust import ANGLE_FOR_THRUST, FAST_TIPS, POWER_AT_THRUST, THRUST_AT_ANGLE
from rotorkit.sheets.base import About, Finding, Needed, Outcome, SheetError, bars
from rotorkit.sheets.exercises import Exercise, Range
from rotorkit.sheets.performance.day_and_weight import EstimateSheet, EstimateWorking
from rotorkit.sheets.performance.pedal_stops import AGAINST, FORMER, PEDALS, WITH, Stops, pedal_against_torque
from rotorkit.sheets.performance.power_reckoning import HOVER_USED, TAIL_BLADES_USED
from rotorkit.sheets.working import capital
from rotorkit.sources import cautions

CURVE_POINTS = 49
ANGLE_LEFT = Limit("blade angle remaining", Angle, low="0 deg", source="physics: the nose is held within the stops")
THRUST_LEFT = Limit("thrust remaining", Force, low="0 lbf", source="physics: the nose is held by the thrust there is")
_ANGLE = Entry(Angle, ("deg", "deg"), ("-60 deg", "60 deg"), by="protractor")
_KINDS = {"needed": Angle, "left_high": Angle, "left_low": Angle, "thrust_high": Force, "thrust_left": Force,
          "thrust_low": Force, "power": Power, "used": Ratio}  # fmt: skip


_SET_STOPS = "Set the pedal stops as the manual says, and read the blade angles at both again."


class AntiTorqueMargin(EstimateSheet):
    """The pedal and the tail-rotor thrust left at each stop in the hover."""

    order: ClassVar[int] = 20
    puts_right: ClassVar[dict[str, str]] = {
        **EstimateSheet.puts_right,
        "angle_left_low": _SET_STOPS,
        "thrust_left_low": _SET_STOPS,
    }
    workings: ClassVar[int] = 40
    moved_by_centre: ClassVar[str] = (
        "The pedal needed in a steady hover is the same wherever the centre of gravity lies: the tail rotor's thrust "
        "and the side force with which the main rotor holds against it are a couple, whose arm is from shaft to shaft."
    )
    needed: ClassVar[tuple[Needed, ...]] = (
        Needed("First hover", "the pedals must hold the nose at the day's weight, and be able to stop a turn"),
    )
    former: ClassVar[Mapping[str, str]] = {
        path: f"is of an older form, where it was {words}: type this angle at its pedal"
        for path, words in FORMER.items()
    }
    uses: ClassVar[tuple[str, ...]] = (*HOVER_USED, "drive.tail_to_main_rotor", *TAIL_BLADES_USED)
    judged_by: ClassVar[tuple[str, ...]] = ("performance.pedal_margin", "performance.thrust_margin")
    about: ClassVar[About] = About(
        title="Anti-torque margin",
        settles=(
            "How much tail-rotor blade angle and thrust are left at each pedal stop, hovering out of ground "
            "effect at today's weight and air: what you have to stop a turn and to hold the nose."
        ),
        when="After setting the tail rotor's blade angles, and before each hover test with the day's readings.",
        tools=(
            "the blade-angle check of the tail rotor",
            "thermometer in the shade, altimeter with its setting scale, hygrometer",
            "scales or the weight record",
        ),
        procedure=(
            "Check and set the tail rotor's blade angles at both stops.",
            "From that check take the mean of the blades with the left pedal fully forward, and with the right pedal "
            "fully forward, each with its sign.",
            "Say which way positive angles push: work the pedals and watch which way the leading edges go.",
            "Read weight and air as for the hover margin.",
        ),
        sign_convention=(
            "Blade angles as in the blade-angle check. A remaining angle or thrust is positive when something is left. "
            "Full left is the left pedal fully forward. Seen from above, a rotor that turns counter-clockwise needs "
            "left pedal against its torque; one that turns clockwise needs right pedal."
        ),
        cautions=(cautions.PEDAL, cautions.ESTIMATE, *cautions.ALWAYS),
        not_covered=(
            "wind, and the main rotor's wake on the tail rotor",
            "how much it takes to start or stop a turn in a given time",
            "climb, and the moment you pull power: torque is then greater than in a steady hover",
            "a fin that carries part of the torque at speed",
            "how the aircraft hangs and how much cyclic that takes: the check Cyclic remaining in the hover",
        ),
    )
    exercises: ClassVar[tuple[Exercise, ...]] = (
        Exercise(
            name="torque",
            title="What turns the fuselage",
            story=("The main rotor takes {power} at {rotor_speed}."),
            find="the torque that the fuselage feels",
            unit="ft-lb",
            of=main_rotor_torque,
            given={
                "power": Range("105 hp", "135 hp", "1 hp"),
                "rotor_speed": Range("480 rpm", "540 rpm", "2 rpm"),
            },
            digits=4,
            hints=(
                "{One horsepower is 550 foot-pounds per second (33,000 per minute).|"
                "One kilowatt is 1,000 newton metres per second.}",
                "Power divided by radians per second.",
            ),
        ),
        Exercise(
            name="thrust",
            title="What the tail rotor must push",
            story=(
                "The main rotor's torque is {torque}. The tail rotor's shaft is {tail_arm} behind the main rotor's."
            ),
            find="the tail rotor's thrust",
            unit="lb",
            of=tail_rotor_thrust_needed,
            given={
                "torque": Range("1,150 ft-lb", "1,450 ft-lb", "5 ft-lb"),
                "tail_arm": Range("14.0 ft", "16.0 ft", "0.1 ft"),
            },
            hints=(
                "A torque is a force times its arm.",
                "Torque divided by arm.",
            ),
        ),
    )

    full_left: Annotated[Reading, _ANGLE] = required(
        "Blade angle at full left pedal", "Mean of the blades with the left pedal fully forward, with its sign."
    )
    full_right: Annotated[Reading, _ANGLE] = required(
        "Blade angle at full right pedal", "Mean of the blades with the right pedal fully forward, with its sign."
    )
    positive_pushes: Annotated[str, Choice(options=(AGAINST, WITH))] = asked(
        "Positive angles push", "The main rotor's torque turns the nose against the rotor's own turning.", AGAINST
    )
    protractor: Annotated[str, Choice("instruments", measures="angle")] = asked("Angles measured with", default="")

    @classmethod
    def from_readings(cls, readings: Mapping[str, Any]) -> Self:
        """As `Sheet.from_readings`; readings with the older fields low_stop and high_stop are read as they were."""
        if cls is AntiTorqueMargin and FORMER.keys() & readings.keys() and not PEDALS.keys() & readings.keys():
            return cast("Self", _AsFormerlyWritten.from_readings(readings))
        return super().from_readings(readings)

    @classmethod
    def in_todays_form(cls, readings: Mapping[str, Any], aircraft: Aircraft) -> dict[str, Any]:
        """As `Sheet.in_todays_form`: the older stops at their pedals, where the file says how the main rotor turns."""
        plate = aircraft.main_rotor.swashplate
        if plate is None or not FORMER.keys() & readings.keys():
            return dict(readings)
        against = pedal_against_torque(plate.rotor_turns)
        other = next(pedal for pedal in PEDALS if pedal != against)
        kept = {name: typed for name, typed in readings.items() if name not in FORMER}
        return {**kept, against: readings.get("high_stop", ""), other: readings.get("low_stop", "")}

    @property
    def sign(self) -> float:
        """By which an angle becomes positive against the main rotor's torque."""
        return 1.0 if self.positive_pushes == AGAINST else -1.0

    def _stops(self, to: EstimateWorking) -> Stops:
        """Both stops. Raises `SheetError` where the pedals do not fit the way in which the main rotor turns."""
        left, right = (self.sign * to.reading(path, f"blade angle at {PEDALS[path]}") for path in PEDALS)
        if left.si == right.si:
            raise SheetError(
                [("full_right", "must differ from the angle at full left pedal: as typed there is no travel")]
            )
        hardest = "full_left" if left.si > right.si else "full_right"
        plate = to.aircraft.main_rotor.swashplate
        if plate is None:
            side = "left" if hardest == "full_left" else "right"
            turning = "counter-clockwise" if side == "left" else "clockwise"
            to.notes.insert(
                0,
                f"Check for yourself that the {side} pedal is the one against the torque: that is how the angles are "
                f"taken here, and how it is when the main rotor turns {turning} seen from above. The aircraft file "
                "does not say which way it turns.",
            )
        elif hardest != (wanted := pedal_against_torque(plate.rotor_turns)):
            raise SheetError(
                [
                    (
                        wanted,
                        f"must push harder against the main rotor's torque than {PEDALS[hardest]}, since the main "
                        f"rotor turns {plate.rotor_turns.value}: check the signs, which pedal is which, and which way "
                        f"positive angles push (taken as {self.positive_pushes})",
                    )
                ]
            )
        if hardest == "full_left":
            return Stops(self.sign, right, left, PEDALS["full_right"], PEDALS["full_left"])
        return Stops(self.sign, left, right, PEDALS["full_left"], PEDALS["full_right"])

    def _work(self, aircraft: Aircraft) -> Outcome:
        to = EstimateWorking(self, aircraft)
        stops = self._stops(to)
        sign, low, high = stops.sign, stops.least, stops.hardest
        blades = blades_of(aircraft.tail_rotor, "tail rotor", sign)
        day, speed = to.day, to.speed
        hover = to.hover_power(to.work("", weight_force, to.mass))
        torque = to.work("", main_rotor_torque, hover.main, speed)
        needed = to.work("", tail_rotor_thrust_needed, torque, to.figures.arm)

        ratio = measured(aircraft.drive.tail_to_main_rotor, Ratio, "tail-rotor speed over main-rotor speed")
        blockage = measured(aircraft.tail_rotor.blockage, Ratio, "thrust lost on the fin")
        theory = _off("blade angle for a thrust, by the theory", ANGLE_FOR_THRUST)
        drawn = _off("tail rotor's power at a thrust, by the theory", POWER_AT_THRUST)
        tail = _Tail(blades, stops_measured_at(aircraft.tail_rotor))
        inputs = (speed, ratio, day.density, needed, low, high, blockage, day.temperature, theory, drawn)
        worked: list[PedalMargin] = []

        def figures(*given: Any) -> dict[str, Any]:
            worked.append(tail.margin(*given))
            return tail.figures(worked[0], *given)

        found = propagate_together(figures, _KINDS, inputs)
        plain = worked[0].at(0)
        _steps(to, tail, plain, found, stops, needed, blockage)
        spare = found.get("left_high")
        if not plain.not_held and spare is not None and ANGLE_LEFT.word(spare) != IN_LIMITS:
            to.lead.append(
                f"Whether {stops.at_hardest} holds the nose in a hover today is too close to call: do not try it."
            )
        to.lead += [*plain.not_held, *plain.stall_remarks, to.estimated]
        angles, thrusts = tail.between_stops([float(one.si) for one in inputs])
        if past := _past_the_peak(angles, thrusts, stops):
            to.notes.insert(0, past)
        self._findings(to, found, torque, needed, stops)
        to.pictures = [
            _picture(angles, thrusts, needed, found, stops, to.findings, to.system),
            bars("Against the limits", to.findings, to.system),
        ]
        self._to_do(to, stops)
        mach = float(tip_mach_hovering.si(_tip_speed(speed, ratio, blades), speed_of_sound.si(day.temperature.si)))
        if mach > FAST_TIPS:
            to.notes.append(
                f"The tail rotor's tips reach Mach {mach:.2f}. Above {FAST_TIPS} a measured rotor needed up to 37 % "
                "more blade angle than by the theory, more than the ± shown: expect less thrust than is shown here."
            )
        to.notes.append(
            f"Measured rotors show that the theory may be off by {200 * ANGLE_FOR_THRUST:.0f} % of the blade angle, "
            f"{200 * THRUST_AT_ANGLE:.0f} % of the thrust at a stop and {200 * POWER_AT_THRUST:.0f} % of the tail "
            "rotor's power (k = 2): the ± includes this. Two short, broad blades like a tail rotor's "
            "(NASA TM-81232) always gave less thrust than the theory."
        )
        return to.outcome()

    @staticmethod
    def _to_do(to: EstimateWorking, stops: Stops) -> None:
        """What can be done today, by both margins: the angle left, and the thrust that it gives."""
        at = {one.key: one.measured for one in to.findings}
        angle, thrust = at.get("pedal_margin"), at["thrust_margin"]
        if thrust.si <= 0 or angle is None or angle.si <= 0:
            said = f"{stops.at_hardest} gives less than a hover needs today, by this estimate"
        else:
            what, left = (angle, "blade angle") if thrust.si > thrust.expanded_si else (thrust, "thrust")
            said = f"by this estimate a hover today leaves {say(what)} of {left} to {stops.at_hardest}"
            if what.si > what.expanded_si:
                to.say_to_do(f"{capital(said)}.")
                return to.say_what_helps("pedal_margin", "thrust_margin")
            said += ", which may be nothing at all"
        to.say_to_do(f"Do not try it: {said}.")

    @staticmethod
    def _findings(
        to: EstimateWorking, found: Mapping[str, Measured], torque: Measured, needed: Measured, stops: Stops
    ) -> None:
        limits = to.aircraft.performance
        if "left_high" in found:
            name = f"blade angle remaining to {stops.at_hardest}"
            to.judge(
                "pedal_margin", capital(name), limits.pedal_margin, found["left_high"], name=name, physical=ANGLE_LEFT
            )
        name, title = f"tail-rotor thrust remaining at {stops.at_hardest}", f"Thrust remaining at {stops.at_hardest}"
        to.judge(  # told aside where the blade angle left is what is judged
            "thrust_margin", title, limits.thrust_margin, found["thrust_left"], name=name, aside="left_high" in found,
            physical=THRUST_LEFT,
        )  # fmt: skip
        to.tell("thrust_needed", "Tail-rotor thrust needed", needed)
        if "needed" in found:
            to.tell("blade_angle_needed", "Blade angle needed", stops.sign * found["needed"])
            to.tell("pedal_used", f"Pedal used, from {stops.at_least}", found["used"])
            title = f"Blade angle remaining to {stops.at_least}"
            _other_way(to, "angle_left_low", title, found["left_low"], ANGLE_LEFT)
        title = f"Thrust that can be taken off at {stops.at_least}"
        _other_way(to, "thrust_left_low", title, found["thrust_low"], THRUST_LEFT)
        to.tell("torque", "Torque of the main rotor", torque)
        if "power" in found:
            to.tell("tail_power", "Tail-rotor shaft power", found["power"])


class _AsFormerlyWritten(AntiTorqueMargin):
    """The sheet from readings of the older form, which names the stops by how hard they push and no pedal."""

    full_left: None = None  # type: ignore[assignment]
    full_right: None = None  # type: ignore[assignment]
    low_stop: Annotated[Reading, _ANGLE] = required("Blade angle at the stop that pushes least")
    high_stop: Annotated[Reading, _ANGLE] = required("Blade angle at the stop that pushes hardest")

    def _stops(self, to: EstimateWorking) -> Stops:
        low, high = (self.sign * to.reading(path, f"blade angle at {FORMER[path]}") for path in FORMER)
        if high.si <= low.si:
            raise SheetError(
                [
                    (
                        "high_stop",
                        "must push harder against the main rotor's torque than the other stop: check the signs, which "
                        f"stop is which, and which way positive angles push (taken as {self.positive_pushes})",
                    )
                ]
            )
        return Stops(self.sign, low, high, FORMER["low_stop"], FORMER["high_stop"])


@dataclass(frozen=True)
class _Tail:
    """The tail rotor's theory. measured_at: where its angles are measured, as a fraction of the radius."""

    blades: Blades
    measured_at: float

    def margin(
        self, speed: Any, ratio: Any, density: Any, thrust: Any, low: Any, high: Any, blockage: Any, temperature: Any,
        *_: Any,
    ) -> PedalMargin:  # fmt: skip
        """The margin by the theory as it stands."""
        given = (self.blades, speed * ratio, density, thrust / (1 - blockage), low, high)
        found: PedalMargin = pedal_margin.si(*given, 0.0, temperature, self.measured_at)
        return found

    def thrusts(self, angles: Any, speed: Any, ratio: Any, density: Any, temperature: Any) -> Any:
        """The thrust by the theory at blade angles, past no fin."""
        return thrust_past_fin(self.blades, speed * ratio, density, angles, 0.0, temperature, self.measured_at)

    @property
    def _zero(self) -> float:
        """The angle without lift."""
        return float(getattr(self.blades.section, "zero_lift_si", 0.0))

    def between_stops(self, bare: list[float]) -> tuple[Any, Any]:
        """Blade angles from the stop that pushes least to the other, and the thrust past the fin at each."""
        speed, ratio, density, _, low, high, blockage, temperature, theory, _ = bare
        angles = np.linspace(low, high, CURVE_POINTS)
        elsewhere = self._zero + (angles - self._zero) / (1 + theory)
        here, there = self.thrusts(np.stack((angles, elsewhere)), speed, ratio, density, temperature)
        return angles, (1 - blockage) * _known_thrust(here, there, theory)

    def figures(self, found: PedalMargin, *given: Any) -> dict[str, Any]:
        """The sheet's figures, arrays in SI units, from the theory's margin at what is given. The blade angle for a
        thrust is 1 + theory times what the theory says, from the angle without lift; a rotor that needs more
        angle gives less thrust at one (`_known_thrust`); drawn: the same of the power."""
        speed, ratio, density, thrust, low, high, blockage, temperature, theory, drawn = given
        zero = self._zero
        needed = zero + (found.needed_si - zero) * (1 + theory)
        elsewhere = np.stack([zero + (stop - zero) / (1 + theory) for stop in (low, high)])
        there = self.thrusts(elsewhere, speed, ratio, density, temperature)
        at_low, at_high = (
            (1 - blockage) * _known_thrust(*both, theory)
            for both in zip((found.thrust_at_low_si, found.thrust_at_high_si), there, strict=True)
        )
        return {
            "needed": needed,
            "left_high": high - needed,
            "left_low": needed - low,
            "thrust_high": at_high,
            "thrust_left": at_high - thrust,
            "thrust_low": thrust - at_low,
            "power": found.power_needed_si * (1 + drawn),
            "used": (needed - low) / (high - low),
        }


def _known_thrust(thrust: Any, elsewhere: Any, theory: Any) -> Any:
    """Thrust at a stop with what it may be off by, where the blade angle is off by `theory`: the part of itself that
    measured rotors were off by. elsewhere: the thrust at the angle that the stop would then stand for. Past the stall,
    where no rotor was measured, that is more off than thrust at an angle is, and counts in its place."""
    size = np.abs(thrust)
    own = size * theory * THRUST_AT_ANGLE / ANGLE_FOR_THRUST
    past = np.abs(elsewhere) - size
    less = np.where(np.asarray(theory) >= 0, np.maximum(own, past), np.minimum(own, past))
    return thrust - np.sign(thrust) * less


def _off(label: str, standard: float) -> Measured:
    """By what part the theory may be off: none, with its standard uncertainty."""
    ratio = required_kind(Ratio)
    return measured(from_si(0.0, ratio), ratio, label, uncertainty=from_si(standard, ratio), stated_as="standard")


def _other_way(to: EstimateWorking, key: str, title: str, figure: Measured, physical: Limit) -> None:
    """What remains the other way: told aside as long as something does."""
    to.judge(key, title, None, figure, name=title[0].lower() + title[1:], aside=True, physical=physical)


def _tip_speed(speed: Measured, ratio: Measured, blades: Blades) -> float:
    """The tail rotor's tip speed, m/s."""
    return float(speed.si * ratio.si * blades.radius)


def _steps(
    to: EstimateWorking, tail: _Tail, plain: PedalMargin, found: Mapping[str, Measured], stops: Stops, needed: Measured,
    blockage: Measured,
) -> None:  # fmt: skip
    """The steps, angles with the sign in which they were read."""
    high, sign = stops.sign * stops.hardest, stops.sign
    source, margin = sources.LEISHMAN_2006.at("chapter 3, by blade element"), sources.DEFINITION.at("margin")
    if "needed" in found:
        holding = sign * found["needed"]
        between = f"{say(high)} less {say(holding)}" if sign > 0 else f"{say(holding)} less {say(high)}"
        lines = [
            f"{tail.blades.count} blades of {tail.blades.section.source}; {100 * float(blockage.si):.2g} % of the "
            "thrust is lost on the fin",
            f"the angle, where the rigging is measured, that gives {say(needed)} past the fin: {say(holding)}",
        ]
        to.step("Blade angle needed", lines, holding, source)
        line = f"{between}: {say(found['left_high'])}"
        to.step(f"Blade angle remaining to {stops.at_hardest}", [line], found["left_high"], margin)
    lines = [f"at {say(high)}, past the fin: {say(found['thrust_high'])}"]
    if float(np.max(plain.stalled_at_high)) > 0:
        lines.append(f"{number_text(100 * float(plain.stalled_at_high), 2)} % of the blades' length is stalled there")
    to.step(f"Thrust at {stops.at_hardest}", lines, found["thrust_high"], source)
    line = f"{say(found['thrust_high'])} less {say(needed)}: {say(found['thrust_left'])}"
    to.step(f"Thrust remaining at {stops.at_hardest}", [line], found["thrust_left"], margin)


def _past_the_peak(angles: Any, thrusts: Any, stops: Stops) -> str:
    """What is to be said where the thrust falls again before the stop that pushes hardest; empty where it does not."""
    top = int(np.argmax(thrusts))
    if top == len(thrusts) - 1:
        return ""
    return (
        f"Beyond about {math.degrees(stops.sign * angles[top]):.0f}° the blades are stalled and push LESS as the pedal "
        f"moves on to {stops.at_hardest}: the last {math.degrees(angles[-1] - angles[top]):.0f}° are no reserve."
    )


def _picture(
    angles: Any, thrusts: Any, thrust_needed: Measured, found: Mapping[str, Measured], stops: Stops,
    findings: list[Finding], system: str,
) -> Chart:  # fmt: skip
    """Thrust over blade angle between the stops, with the thrust needed and where the pedal then stands."""
    force = "N" if system == "metric" else "lbf"
    degrees = [float(one) for one in np.degrees(stops.sign * angles)]
    shown = [float(one) for one in in_unit(thrusts, force, Force)]
    wanted = float(in_unit(thrust_needed.si, force, Force))
    words = {finding.key: finding.verdict.word for finding in findings}
    spread = float(found["thrust_high"].expanded_si) / unit_factor(force, Force)
    hardest = Point(stops.at_hardest, degrees[-1], shown[-1], word=words["thrust_margin"], y_spread=spread)
    points = [hardest]
    if "needed" in found:
        spread = float(np.degrees(found["needed"].expanded_si))
        holding = Point("holding still", float(np.degrees(stops.sign * found["needed"].si)), wanted, spread,
                        word=words["pedal_margin"])  # fmt: skip
        points.insert(0, holding)
    return Chart(
        "Tail-rotor thrust between the pedal stops",
        "blade angle, °",
        f"thrust past the fin, {force}",
        (
            Curve(f"thrust, from {stops.at_least} to {stops.at_hardest}", degrees, shown, "main"),
            Curve("needed against the main rotor's torque", [degrees[0], degrees[-1]], [wanted, wanted], "bound"),
        ),
        (),
        points,
    )
