"""The pedal stops: which pedal is against the main rotor's torque, and the tail rotor's blade angle at each.

A pedal stop is named by its pedal, full left or full right. The low stop of a blade-angle check is the lower blade
angle with its sign, whichever pedal that is.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from rotorkit.judging.measured import Measured
from rotorkit.quantities import Angle, QuantityError, read, say
from rotorkit.rigging.cyclic import RotorTurn

AGAINST, WITH = "against the main rotor's torque", "with the main rotor's torque"
PEDALS = {"full_left": "full left pedal", "full_right": "full right pedal"}
FORMER = {"low_stop": "the stop that pushes least", "high_stop": "the stop that pushes hardest"}
"""Fields of the older form, in which the stops were named by how hard they push, and what each of them meant."""


def pedal_against_torque(turns: RotorTurn) -> str:
    """The pedal that turns the nose against the main rotor's torque, a key of `PEDALS`: the torque turns the fuselage
    against the rotor's own turning, so that the pedal on the side to which the rotor's nose goes holds it."""
    return "full_left" if turns is RotorTurn.COUNTER_CLOCKWISE else "full_right"


@dataclass(frozen=True)
class Stops:
    """Both stops, their angles positive against the torque. sign: what made them so; at_least, at_hardest: in words."""

    sign: float
    least: Measured
    hardest: Measured
    at_least: str
    at_hardest: str


def hardest_stop(readings: Mapping[str, Any]) -> float | None:
    """The blade angle (rad) at the stop that pushes hardest, with its sign, of readings as typed, also of the older
    form; None where they do not say."""
    if readings.get("positive_pushes") not in (AGAINST, WITH):
        return None
    sign = 1.0 if readings["positive_pushes"] == AGAINST else -1.0
    try:
        if "high_stop" in readings:
            return float(read(readings["high_stop"], Angle).si)
        found = [float(read(readings[path], Angle).si) for path in PEDALS]
    except (KeyError, QuantityError):
        return None
    return max(found, key=lambda angle: sign * angle)


@dataclass(frozen=True)
class RiggedStops:
    """The tail rotor's stops as a blade-angle check has them: the mean of the blades at each, the low stop being the
    lower angle with its sign. check: its title. against: the pedal against the main rotor's torque, a key of `PEDALS`,
    or None where the aircraft file does not say how the main rotor turns."""

    check: str
    low: Measured
    high: Measured
    against: str | None

    def readings(self, positive_pushes: str) -> dict[str, str]:
        """As readings of the anti-torque margin, each with what it is known to; none where the pedals are not known.
        positive_pushes: the sheet's field."""
        if self.against is None:
            return {}
        other = next(pedal for pedal in PEDALS if pedal != self.against)
        hardest, least = (self.high, self.low) if positive_pushes == AGAINST else (self.low, self.high)
        return {self.against: _typed(hardest), other: _typed(least)}

    @property
    def sentence(self) -> str:
        """What is offered, in words."""
        found = f"{self.check}: low stop {_typed(self.low)}, high stop {_typed(self.high)} (mean of the blades)."
        if self.against is not None:
            return f"{found} First say which way positive angles push: that settles which pedal is at which stop."
        return (
            f"{found} The aircraft file does not say how the main rotor turns ([main_rotor.swashplate] rotor_turns), "
            "so rotorkit cannot tell which pedal is at which stop: type each angle at its pedal."
        )


def _typed(angle: Measured) -> str:
    return say(angle, "deg").replace("°", " deg")
