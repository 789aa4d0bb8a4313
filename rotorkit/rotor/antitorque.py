"""The tail rotor against the main rotor's torque: what blade angle that takes, and what pedal is left at each stop.

The thrust needed comes from the main rotor's torque over the tail arm (`tail_rotor_thrust_needed`). What the tail rotor
gives at each rigged stop comes from its blade angle there, by blade-element theory. Between the two lies the margin: in
blade angle, which is pedal, and in thrust, which is what turns the nose or holds it in a crosswind.
"""

from __future__ import annotations

from dataclasses import dataclass, fields
from typing import Any

import numpy as np

from rotorkit.atmosphere.standard import dynamic_viscosity, speed_of_sound
from rotorkit.formula.contract import contract
from rotorkit.quantities import (
    Angle,
    Density,
    Force,
    Power,
    QuantityError,
    Ratio,
    RotationRate,
    Temperature,
    from_si,
    number_text,
)
from rotorkit.rotor.blade_element import COLLECTIVE_AT, Air, Blades, Model, at_collective, at_thrust


@dataclass(frozen=True)
class PedalMargin:
    """What `pedal_margin` found, in SI figures with the shape of the conditions; the properties are quantities.

    Angles in rad where the rigging measures them, forces in N, after the fin's blockage. needed_si: blade angle that
    holds the nose still; not a number where no blade angle does. stalled_at_high: part of the blades' length stalled at
    the high stop.
    """

    thrust_needed_si: Any
    needed_si: Any
    low_stop_si: Any
    high_stop_si: Any
    thrust_at_low_si: Any
    thrust_at_high_si: Any
    power_needed_si: Any
    stalled_at_high: Any

    def at(self, index: int) -> PedalMargin:
        """The margin at one of the conditions that were worked in one call, those in the first axis."""
        shape = np.shape(self.needed_si)
        parts = {one.name: np.broadcast_to(getattr(self, one.name), shape)[index] for one in fields(self)}
        return PedalMargin(**parts)

    @property
    def blade_angle_needed(self) -> Any:
        """Blade angle that holds the nose still (angle), where the rigging measures it."""
        return from_si(self.needed_si, Angle)

    @property
    def angle_left_to_high_stop(self) -> Any:
        """Blade angle left between holding still and the stop that pushes hardest against the torque (angle)."""
        return from_si(self.high_stop_si - self.needed_si, Angle)

    @property
    def angle_left_to_low_stop(self) -> Any:
        """Blade angle left the other way (angle)."""
        return from_si(self.needed_si - self.low_stop_si, Angle)

    @property
    def thrust_left_at_high_stop(self) -> Any:
        """Thrust beyond holding still at the high stop (force): what turns the nose against the torque, or holds it in
        a crosswind. Negative: the nose cannot be held."""
        return from_si(self.thrust_at_high_si - self.thrust_needed_si, Force)

    @property
    def thrust_left_at_low_stop(self) -> Any:
        """How far thrust can fall below holding still, at the low stop (force): what turns the nose with the torque."""
        return from_si(self.thrust_needed_si - self.thrust_at_low_si, Force)

    @property
    def power_needed(self) -> Any:
        """Power at the tail rotor's shaft while holding still."""
        return from_si(self.power_needed_si, Power)

    @property
    def pedal_used(self) -> Any:
        """Where the pedal is while holding still, by blade angle: 0 at the low stop, 1 at the high one."""
        return (self.needed_si - self.low_stop_si) / (self.high_stop_si - self.low_stop_si)

    @property
    def remarks(self) -> list[str]:
        """Remarks about it, in sentences."""
        return [*self.not_held, *self.stall_remarks]

    @property
    def not_held(self) -> list[str]:
        """Why the nose cannot be held still, in a sentence; empty if it can."""
        said = []
        if np.any(~np.isfinite(np.asarray(self.needed_si))):
            said.append("No blade angle of this tail rotor gives the thrust needed: its blades stall before that.")
        elif np.any(np.asarray(self.needed_si) > np.asarray(self.high_stop_si)):
            said.append("Holding the nose still takes more blade angle than the stop that pushes hardest allows.")
        elif np.any(np.asarray(self.needed_si) < np.asarray(self.low_stop_si)):
            said.append("Holding the nose still takes less blade angle than the stop that pushes least allows.")
        return said

    @property
    def stall_remarks(self) -> list[str]:
        """Remarks about stalled blades at the stop that pushes hardest."""
        said = []
        if np.any(np.asarray(self.stalled_at_high) > 0):
            part = float(np.max(self.stalled_at_high))
            said.append(
                f"At the stop that pushes hardest {number_text(100 * part, 2)} % of the blades' length is stalled: do "
                "not count on the last of the pedal."
            )
        return said


@contract
def pedal_margin(
    blades: Blades,
    rotor_speed: RotationRate,
    density: Density,
    thrust_needed: Force,
    low_stop: Angle,
    high_stop: Angle,
    blockage: Ratio = "5 %",
    temperature: Temperature = "15 degC",
    measured_at: Ratio = "0.75",
    model: Model | None = None,
) -> PedalMargin:
    """Pedal left at each stop in the hover, from the tail rotor's rigged blade angles.

    Parameters
    ----------
    blades : Blades
        of the tail rotor, from `rotor_blades`.
    rotor_speed : RotationRate
        of the tail rotor (rotation rate).
    density : Density
        of the air.
    thrust_needed : Force
        against the main rotor's torque (force, `tail_rotor_thrust_needed`); holding still only.
    low_stop, high_stop : Angle
        blade angles at the stops as rigged and measured, positive where they push against the main
        rotor's torque (angles). The blade-angle sheet's result with its sign.
    blockage : Ratio
        part of the thrust lost on the fin in the slipstream (ratio); 5 % to 15 % (common practice, no
        source).
    temperature : Temperature
        of the air (absolute).
    measured_at : Ratio
        where on the blade the angles were measured, as a fraction of the radius; matters for twisted blades.
    model : Model | None
        how the theory is taken (None: as `blade_element_hover`).

        rotor_speed, density and thrust_needed may be arrays.

    Returns
    -------
    PedalMargin
        A `PedalMargin`.

    Raises
    ------
    QuantityError
        an argument is not of its kind, the high stop is not above the low one, or blockage is not
        credible.

    Notes
    -----
    Range of validity: hover in still air. How far the theory may be off: 30 % of the blade angle for a thrust (k = 2;
    `rotorkit.rotor.blade_element.trust`). In wind from the side or behind,
    in the main rotor's wake, and in a turn with the torque, a tail rotor can lose thrust suddenly: a margin on paper is
    no protection from that.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> from rotorkit.rotor.blade_element import LinearSection, rotor_blades
    >>> section = LinearSection(5.73, (0.0087, -0.0216, 0.4), 1.2, thickness_ratio=0.12)
    >>> blades = rotor_blades(2, "25 in", "4 1/2 in", "7 in", section)
    >>> margin = pedal_margin(blades, "3000 rpm", "1.225 kg/m^3", "75 lbf", "-8 deg", "22 deg")
    >>> say(margin.blade_angle_needed, "deg", digits=3), say(margin.thrust_left_at_high_stop, "lbf", digits=3)
    ('7.63°', '159 lbf')
    """
    if np.any(np.asarray(high_stop) <= np.asarray(low_stop)):
        raise QuantityError("pedal_margin: high_stop must be above low_stop: check the sign convention of the angles")
    if not 0 <= blockage <= 0.5:
        raise QuantityError(f"pedal_margin: blockage must be 0 % to 50 %, got {100 * blockage:g} %")
    if not blades.root_cutout <= measured_at <= 1:
        raise QuantityError(f"pedal_margin: measured_at must lie on the blade, got {measured_at:g} of the radius")
    theory = model or Model()
    # the theory counts collective at 0.75 of the radius, the rigging where it measures
    shift = _shift(blades, measured_at)
    air = Air(density, speed_of_sound.si(temperature), dynamic_viscosity.si(temperature))
    passed = 1 - blockage
    at_low = at_collective(blades, rotor_speed, air, low_stop - shift, theory)
    at_high = at_collective(blades, rotor_speed, air, high_stop - shift, theory)
    holding = at_thrust(blades, rotor_speed, air, thrust_needed / passed, theory)
    return PedalMargin(
        thrust_needed_si=thrust_needed,
        needed_si=holding.collective + shift,
        low_stop_si=low_stop,
        high_stop_si=high_stop,
        thrust_at_low_si=at_low.thrust * passed,
        thrust_at_high_si=at_high.thrust * passed,
        power_needed_si=holding.power,
        stalled_at_high=at_high.stalled,
    )


def _shift(blades: Blades, measured_at: float) -> float:
    """Blade angle where the rigging measures it, less that at 0.75 of the radius."""
    return float(blades.twist_at(measured_at) - blades.twist_at(COLLECTIVE_AT))


def thrust_past_fin(
    blades: Blades, rotor_speed: Any, density: Any, blade_angle: Any, blockage: Any, temperature: Any,
    measured_at: float = COLLECTIVE_AT,
) -> Any:  # fmt: skip
    """Thrust of the tail rotor at a blade angle in the hover, less what is lost on the fin: bare SI arrays, as
    `pedal_margin` has it at its stops."""
    air = Air(density, speed_of_sound.si(temperature), dynamic_viscosity.si(temperature))
    angle = blade_angle - _shift(blades, measured_at)
    return at_collective(blades, rotor_speed, air, angle, Model()).thrust * (1 - blockage)
