"""Every exploration, by its name: what a picture becomes when one turns at its conditions. The notebook shows them."""

from __future__ import annotations

from rotorkit.sheets.exploring.drive import SHAFT_FAN
from rotorkit.sheets.exploring.flight import CLIMB_MAP, GLIDE, PEDALS, POWER_CURVE
from rotorkit.sheets.exploring.hover import BLADE_SPAN, CEILINGS, MARGIN_MAP
from rotorkit.sheets.exploring.knobs import Exploration, Knob, Seen, readings_at, starting_values

__all__ = ["EXPLORATIONS", "Exploration", "Knob", "Seen", "readings_at", "starting_values"]

EXPLORATIONS: dict[str, Exploration] = {
    one.name: one for one in (MARGIN_MAP, CEILINGS, BLADE_SPAN, POWER_CURVE, CLIMB_MAP, PEDALS, GLIDE, SHAFT_FAN)
}
