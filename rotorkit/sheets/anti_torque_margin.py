"""Anti-torque margin: the pedal left in the hover, from the tail rotor's rigged blade angles."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Annotated, Any, ClassVar

import numpy as np
from pydantic import Field

from rotorkit import cautions, sources
from rotorkit.aircraft import Aircraft
from rotorkit.aircraft.performance import blades_of, stops_measured_at
from rotorkit.atmosphere import speed_of_sound
from rotorkit.entries import Choice, Entry
from rotorkit.formula import Worked
from rotorkit.mass import weight_force
from rotorkit.measured import Measured, mean_of, measured, propagate_together
from rotorkit.quantities import (
    Angle,
    Force,
    Power,
    QuantityError,
    Ratio,
    Reading,
    from_si,
    in_unit,
    required_kind,
    say,
    unit_factor,
)
from rotorkit.rotor import Blades, main_rotor_torque, pedal_margin, tail_rotor_thrust_needed, tip_mach_hovering
from rotorkit.rotor.antitorque import PedalMargin
from rotorkit.rotor.blade_element.trust import ANGLE_FOR_THRUST, FAST_TIPS, POWER_AT_THRUST, THRUST_AT_ANGLE
from rotorkit.sheets.base import About, Finding, Outcome, SheetError, bars, judge, plain_step, unset
from rotorkit.sheets.day import EstimateSheet, aside
from rotorkit.sheets.folder import Folder
from rotorkit.sheets.hover_margin_work import Chain, Figures
from rotorkit.sheets.picture import Chart, Curve, Picture, Point

__all__ = ["AGAINST", "WITH", "AntiTorqueMargin", "RiggedStops", "rigged_stops"]

AGAINST, WITH = "against the main rotor's torque", "with the main rotor's torque"
CURVE_POINTS = 49
_KINDS = {"needed": Angle, "left_high": Angle, "left_low": Angle, "thrust_high": Force, "thrust_left": Force,
          "thrust_low": Force, "power": Power, "used": Ratio}  # fmt: skip


class AntiTorqueMargin(EstimateSheet):
    """The pedal and the tail-rotor thrust left at each stop in the hover."""

    name: ClassVar[str] = "anti_torque_margin"
    about: ClassVar[About] = About(
        title="Anti-torque margin",
        settles=(
            "How much blade angle and thrust of the tail rotor are left at each pedal stop, in a hover out of ground "
            "effect at today's weight and air: what is there to stop a turn and to hold the nose."
        ),
        when="After the blade angles of the tail rotor are set, and before each hover test with the day's readings.",
        tools=(
            "the blade-angle check of the tail rotor",
            "thermometer in the shade, altimeter with its setting scale, hygrometer",
            "scales or the weight record",
        ),
        procedure=(
            "Check and set the tail rotor's blade angles at both stops.",
            "Take the mean of the blades at each stop from that check, with its sign.",
            "Say which way the positive angles push: turn the pedals and watch which way the leading edges go.",
            "Read weight and air as for the hover margin.",
        ),
        sign_convention=(
            "Blade angles as in the blade-angle check. What is left is positive where something is left. The high stop "
            "is the one that pushes hardest against the main rotor's torque."
        ),
        cautions=(cautions.PEDAL, cautions.ESTIMATE, cautions.MANUAL_GOVERNS, cautions.AN_AID),
        not_covered=(
            "wind, and the main rotor's wake on the tail rotor",
            "what it takes to start or stop a turn in a given time",
            "climb, and the moment when power is pulled: torque is then more than in a steady hover",
            "a fin that carries part of the torque at speed",
        ),
    )

    low_stop: Annotated[Reading, Entry(Angle, ("deg", "deg"), ("-60 deg", "60 deg"), by="protractor")] = Field(
        title="Blade angle at the low stop",
        description="Mean of the blades with the pedal fully the other way, with its sign.",
    )
    high_stop: Annotated[Reading, Entry(Angle, ("deg", "deg"), ("-60 deg", "60 deg"), by="protractor")] = Field(
        title="Blade angle at the high stop",
        description="Mean of the blades at the stop that pushes hardest against the main rotor's torque.",
    )
    positive_pushes: Annotated[str, Choice(options=(AGAINST, WITH))] = Field(
        AGAINST,
        title="Positive angles push",
        description="The main rotor's torque turns the nose against the rotor's own turning.",
    )
    protractor: Annotated[str, Choice("instruments", measures="angle")] = Field("", title="Angles measured with")

    def work(self, aircraft: Aircraft) -> Outcome:
        try:
            return self._work(aircraft)
        except QuantityError as problem:
            raise SheetError([("", str(problem))]) from None

    def _stops(self, aircraft: Aircraft) -> tuple[float, Measured, Measured]:
        """The sign that makes them positive against the torque, and both stops with it."""
        sign = 1.0 if self.positive_pushes == AGAINST else -1.0
        low, high = (
            sign * self.measured(path, f"blade angle at the {words}", aircraft)
            for path, words in (("low_stop", "low stop"), ("high_stop", "high stop"))
        )
        if high.si <= low.si:
            raise SheetError(
                [
                    (
                        "high_stop",
                        "must push harder against the main rotor's torque than the low stop: check the signs, which "
                        f"stop is which, and which way positive angles push (taken as {self.positive_pushes})",
                    )
                ]
            )
        return sign, low, high

    def _work(self, aircraft: Aircraft) -> Outcome:
        sign, low, high = self._stops(aircraft)
        blades = blades_of(aircraft.tail_rotor, "tail rotor")
        then = Chain()
        mass, speed = self.mass(aircraft), self.speed(aircraft)
        figures = Figures.of(aircraft)
        remarks = self.doubtful(aircraft)
        day = self.day(then, aircraft)
        weight = then(weight_force, mass)
        hover = self.hover_power(then, aircraft, figures, day, weight, speed, remarks)
        torque = then(main_rotor_torque, hover.main, speed)
        needed = then(tail_rotor_thrust_needed, torque, figures.arm)

        ratio = measured(aircraft.drive.tail_to_main_rotor, Ratio, "tail-rotor speed over main-rotor speed")
        blockage = measured(aircraft.tail_rotor.blockage, Ratio, "thrust lost on the fin")
        theory = _off("blade angle for a thrust, by the theory", ANGLE_FOR_THRUST)
        drawn = _off("tail rotor's power at a thrust, by the theory", POWER_AT_THRUST)
        tail = _Tail(blades, stops_measured_at(aircraft.tail_rotor))
        inputs = (speed, ratio, day.density, needed, low, high, blockage, day.temperature, theory, drawn)
        found = propagate_together(tail.figures, _KINDS, inputs)
        plain = tail.margin(*(float(one.si) for one in inputs))
        then.steps += _steps(tail, plain, found, low, high, needed, blockage)
        remarks = [*plain.remarks, *remarks]
        angles, thrusts = tail.between_stops([float(one.si) for one in inputs])
        if past := _past_the_peak(angles, thrusts, sign):
            remarks.insert(0, past)
        findings = self._findings(aircraft, found, torque, needed, sign)
        system = aircraft.aircraft.display
        pictures: list[Picture] = [
            _picture(angles, thrusts, needed, found, sign, findings, system),
            bars("Against the limits", findings, system),
        ]
        mach = float(tip_mach_hovering.si(_tip_speed(speed, ratio, blades), speed_of_sound.si(day.temperature.si)))
        if mach > FAST_TIPS:
            remarks.append(
                f"The tail rotor's tips reach Mach {mach:.2f}. Above {FAST_TIPS} a measured rotor needed up to 37 % "
                "more blade angle than by the theory, more than stands after ±: expect less thrust than is told here."
            )
        remarks.append(
            f"By measured rotors the theory may be off by {200 * ANGLE_FOR_THRUST:.0f} % of the blade angle, "
            f"{200 * THRUST_AT_ANGLE:.0f} % of the thrust at a stop and {200 * POWER_AT_THRUST:.0f} % of the tail "
            "rotor's power (k = 2): this stands in what follows ±. Two short broad blades as a tail rotor has them "
            "(NASA TM-81232) always gave less thrust than the theory."
        )
        return Outcome(self.about.title, findings, then.steps, pictures, remarks)

    def _findings(
        self, aircraft: Aircraft, found: Mapping[str, Measured], torque: Measured, needed: Measured, sign: float
    ) -> list[Finding]:
        limits = aircraft.performance
        findings = []
        if "left_high" in found:
            name = "blade angle left to the high stop"
            findings.append(
                Finding(
                    "pedal_margin",
                    "Blade angle left to the high stop",
                    judge(limits.pedal_margin, found["left_high"], name),
                )
            )
        name = "tail-rotor thrust left at the high stop"
        verdict = judge(limits.thrust_margin, found["thrust_left"], name)
        told = unset(limits.thrust_margin) and "left_high" in found  # the blade angle left is what is judged then
        findings.append(Finding("thrust_margin", "Thrust left at the high stop", verdict, told))
        findings.append(aside("thrust_needed", "Tail-rotor thrust needed", needed))
        if "needed" in found:
            findings += [
                aside("blade_angle_needed", "Blade angle needed", sign * found["needed"]),
                aside("pedal_used", "Pedal used, from the low stop", found["used"]),
                aside("angle_left_low", "Blade angle left to the low stop", found["left_low"]),
            ]
        findings += [
            aside("thrust_left_low", "Thrust that can be taken off at the low stop", found["thrust_low"]),
            aside("torque", "Torque of the main rotor", torque),
        ]
        if "power" in found:
            findings.append(aside("tail_power", "Tail-rotor shaft power", found["power"]))
        return findings


@dataclass(frozen=True)
class _Tail:
    """The tail rotor's theory. measured_at: where its angles are measured, as a part of the radius."""

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

    def between_stops(self, bare: list[float]) -> tuple[Any, Any]:
        """Blade angles from the low stop to the high one, and the thrust past the fin at each."""
        low, high = bare[4], bare[5]
        angles = np.linspace(low, high, CURVE_POINTS)
        at = [np.full(angles.shape, one) for one in bare]
        at[5], at[4] = angles, angles - 0.02
        return angles, self.figures(*at)["thrust_high"]

    def figures(self, *given: Any) -> dict[str, Any]:
        """The sheet's figures, arrays in SI units. The blade angle for a thrust is 1 + theory times what the theory
        says, from the angle without lift; a rotor that needs more angle gives less thrust at one, by what that is off
        where the angle is off by as much; drawn: the same of the power. The thrust has a figure of its own because near
        the stall it hangs no longer on the angle, and yet is no better known."""
        _, _, _, thrust, low, high, blockage, _, theory, drawn = given
        found = self.margin(*given)
        zero = float(getattr(self.blades.section, "zero_lift_si", 0.0))
        needed = zero + (found.needed_si - zero) * (1 + theory)
        passed = (1 - blockage) * (1 - theory * THRUST_AT_ANGLE / ANGLE_FOR_THRUST)
        return {
            "needed": needed,
            "left_high": high - needed,
            "left_low": needed - low,
            "thrust_high": found.thrust_at_high_si * passed,
            "thrust_left": found.thrust_at_high_si * passed - thrust,
            "thrust_low": thrust - found.thrust_at_low_si * passed,
            "power": found.power_needed_si * (1 + drawn),
            "used": (needed - low) / (high - low),
        }


def _off(label: str, standard: float) -> Measured:
    """By what part the theory may be off: none, with its standard uncertainty."""
    ratio = required_kind(Ratio)
    return measured(from_si(0.0, ratio), ratio, label, uncertainty=from_si(standard, ratio), stated_as="standard")


def _tip_speed(speed: Measured, ratio: Measured, blades: Blades) -> float:
    """The tail rotor's tip speed, m/s."""
    return float(speed.si * ratio.si * blades.radius)


def _steps(
    tail: _Tail, plain: PedalMargin, found: Mapping[str, Measured], low: Measured, high: Measured, needed: Measured,
    blockage: Measured,
) -> list[Worked]:  # fmt: skip
    source = sources.LEISHMAN_2006.at("chapter 3, by blade element")
    steps = []
    if "needed" in found:
        lines = [
            f"{tail.blades.count} blades of {tail.blades.section.source}; {100 * float(blockage.si):.2g} % of the "
            "thrust is lost on the fin",
            f"the angle, where the rigging measures it, that gives {say(needed)} past the fin: {say(found['needed'])}",
        ]
        steps.append(plain_step("Blade angle needed", lines, found["needed"], source))
        steps.append(
            plain_step(
                "Blade angle left to the high stop",
                [f"{say(high)} less {say(found['needed'])}: {say(found['left_high'])}"],
                found["left_high"],
                sources.DEFINITION.at("margin"),
            )
        )
    lines = [f"at {say(high)}, past the fin: {say(found['thrust_high'])}"]
    if float(np.max(plain.stalled_at_high)) > 0:
        lines.append(f"{100 * float(plain.stalled_at_high):.2g} % of the blades' length is stalled there")
    steps.append(plain_step("Thrust at the high stop", lines, found["thrust_high"], source))
    steps.append(
        plain_step(
            "Thrust left at the high stop",
            [f"{say(found['thrust_high'])} less {say(needed)}: {say(found['thrust_left'])}"],
            found["thrust_left"],
            sources.DEFINITION.at("margin"),
        )
    )
    return steps


def _past_the_peak(angles: Any, thrusts: Any, sign: float) -> str:
    """What is to be said where the thrust falls again before the high stop; empty where it does not."""
    top = int(np.argmax(thrusts))
    if top == len(thrusts) - 1:
        return ""
    return (
        f"Beyond about {math.degrees(sign * angles[top]):.0f}° the blades are stalled and push LESS as the pedal goes "
        f"on to the high stop: the last {math.degrees(angles[-1] - angles[top]):.0f}° are no reserve."
    )


def _picture(
    angles: Any, thrusts: Any, thrust_needed: Measured, found: Mapping[str, Measured], sign: float,
    findings: list[Finding], system: str,
) -> Chart:  # fmt: skip
    """Thrust over blade angle between the stops, with the thrust needed and where the pedal then stands."""
    force = "N" if system == "metric" else "lbf"
    degrees = [float(one) for one in np.degrees(sign * angles)]
    shown = [float(one) for one in in_unit(thrusts, force, required_kind(Force))]
    wanted = float(in_unit(thrust_needed.si, force, required_kind(Force)))
    words = {finding.key: finding.verdict.word for finding in findings}
    spread = float(found["thrust_high"].expanded_si) / unit_factor(force, required_kind(Force))
    high_stop = Point("high stop", degrees[-1], shown[-1], word=words["thrust_margin"], y_spread=spread)
    points = [high_stop]
    if "needed" in found:
        spread = float(np.degrees(found["needed"].expanded_si))
        holding = Point("holding still", float(np.degrees(sign * found["needed"].si)), wanted, spread,
                        word=words["pedal_margin"])  # fmt: skip
        points.insert(0, holding)
    return Chart(
        "Tail-rotor thrust between the pedal stops",
        "blade angle, °",
        f"thrust past the fin, {force}",
        (
            Curve("thrust, from the low stop to the high stop", degrees, shown, "main"),
            Curve("needed against the main rotor's torque", [degrees[0], degrees[-1]], [wanted, wanted], "bound"),
        ),
        (),
        points,
    )


@dataclass(frozen=True)
class RiggedStops:
    """The tail rotor's stops as a blade-angle check has them: the mean of the blades at each. check: its title."""

    check: str
    low: Measured
    high: Measured

    @property
    def readings(self) -> dict[str, str]:
        """As readings of the anti-torque margin, each with what it is known to."""
        return {"low_stop": _typed(self.low), "high_stop": _typed(self.high)}

    @property
    def sentence(self) -> str:
        """What is offered, in words."""
        return f"{self.check}: low stop {_typed(self.low)}, high stop {_typed(self.high)} (mean of the blades)."


def rigged_stops(folder: Folder) -> RiggedStops | None:
    """The stops that the folder's first blade-angle check of the tail rotor comes to; None where there is none, or it
    cannot be worked, or a stop is not in it."""
    for check in folder.checks:
        if check.sheet != "blade_angles" or check.readings.get("rotor") != "tail rotor" or check.blank:
            continue
        try:
            outcome = check.outcome(folder.aircraft)
        except SheetError:
            continue
        stops = {
            stop: [found.measured for found in outcome.findings if found.key.startswith(f"{stop}.")]
            for stop in ("low_stop", "high_stop")
        }
        if all(stops.values()):
            return RiggedStops(check.title, mean_of(stops["low_stop"]), mean_of(stops["high_stop"]))
    return None


def _typed(angle: Measured) -> str:
    return say(angle, "deg").replace("°", " deg")
