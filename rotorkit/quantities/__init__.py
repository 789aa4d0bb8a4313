"""Quantities: the unit registry, the kinds, reading what people type, and saying a quantity back."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from rotorkit.quantities.checking import assert_quantity
from rotorkit.quantities.constants import Constant
from rotorkit.quantities.errors import QuantityError
from rotorkit.quantities.foreign import si_value
from rotorkit.quantities.kinds import *  # noqa: F403
from rotorkit.quantities.kinds import KINDS, Kind, difference_kind, kind_of, required_kind
from rotorkit.quantities.reading import Reading, read, read_repeats, without_spread, written_share
from rotorkit.quantities.registry import from_si, in_unit, unit_factor
from rotorkit.quantities.saying import (
    display,
    display_system,
    number_text,
    rounded_pair,
    say,
    unit_for_display,
    unit_label,
    use_display,
)

if TYPE_CHECKING:
    from pint import Quantity

__all__ = [
    "KINDS",
    "Constant",
    "Kind",
    "Quantity",
    "QuantityError",
    "Reading",
    "assert_quantity",
    "difference_kind",
    "display",
    "display_system",
    "from_si",
    "in_unit",
    "kind_of",
    "number_text",
    "read",
    "read_repeats",
    "required_kind",
    "rounded_pair",
    "say",
    "si_value",
    "unit_factor",
    "unit_for_display",
    "unit_label",
    "use_display",
    "without_spread",
    "written_share",
]
__all__ += list(KINDS)


def __getattr__(name: str) -> Any:
    """`Quantity` is made with the registry, at first use."""
    if name == "Quantity":
        from rotorkit.quantities.pint_inside import registry

        return registry().Quantity
    raise AttributeError(f"module 'rotorkit.quantities' has no attribute {name!r}")
