"""The bare SI value of a quantity, of the private registry or of a reader's own by its own definitions.

A unit that only the other registry knows is followed through its definition to units that both know; those tell the
kind. The value is converted by the other registry.
"""

from __future__ import annotations

from typing import Any

from rotorkit.quantities.errors import QuantityError
from rotorkit.quantities.kinds import Kind
from rotorkit.quantities.pint_inside import is_own, magnitude_of, meaning_of, registry, registry_of, units_of
from rotorkit.quantities.registry import OFFSET_UNITS, in_kelvin, plain_number, refusal, scale, scales_of, si_units

DEEPEST_DEFINITION = 20


def foreign_value(quantity: Any, kind: Kind) -> Any:
    """The bare SI value of a quantity of another registry; `QuantityError` says why where it is not of this kind."""
    theirs, own_units = registry_of(quantity), units_of(quantity)
    units = _in_known_units(own_units, theirs)
    why = refusal(units, kind)
    if why:
        raise QuantityError(why)
    magnitude = plain_number(magnitude_of(quantity))
    if kind.flavour == "temperature" and units == own_units and units.keys() <= OFFSET_UNITS.keys():
        return in_kelvin(magnitude, scale(units, kind)[0])
    wanted = theirs.UnitsContainer(dict(si_units(kind).items()))
    try:
        return plain_number(theirs.Quantity(magnitude, theirs.Unit(own_units)).to(theirs.Unit(wanted)).magnitude)
    except QuantityError:
        raise
    except Exception as problem:
        raise QuantityError(f"its own registry cannot convert it: {problem}") from None


def _in_known_units(units: Any, theirs: Any) -> Any:
    powers: dict[str, float] = {}
    waiting = [(name, float(power), 0) for name, power in units.items()]
    while waiting:
        name, power, depth = waiting.pop()
        if name in registry():
            powers[name] = powers.get(name, 0) + power
            continue
        reference = meaning_of(name, theirs)
        if reference is None or depth > DEEPEST_DEFINITION:
            raise QuantityError(f"its unit {name} is not known here")
        waiting += [(inner, float(part) * power, depth + 1) for inner, part in reference.items()]
    return registry().UnitsContainer({name: power for name, power in powers.items() if power})


def si_value(quantity: Any, kind: Kind) -> Any:
    """The bare SI value (float or array) of a pint quantity; `QuantityError` says why where it is not of this kind."""
    units = units_of(quantity)
    if not is_own(quantity):
        return foreign_value(quantity, kind)
    scales = scales_of(kind)
    found = scales.get(units)
    if found is None:
        found = scales[units] = scale(units, kind)
    factor, shift, why = found
    if why:
        raise QuantityError(why)
    magnitude = magnitude_of(quantity)
    if type(magnitude) is not float:
        magnitude = plain_number(magnitude)
    if shift:
        return in_kelvin(magnitude, factor)
    return magnitude * factor if factor != 1.0 else magnitude
