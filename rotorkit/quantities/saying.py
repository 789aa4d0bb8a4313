"""Saying a quantity to a person: number, unit, and no more digits than are meant."""

from __future__ import annotations

import math
import numbers
import re
from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from functools import lru_cache
from typing import Any

from rotorkit.quantities.errors import QuantityError
from rotorkit.quantities.foreign import si_value
from rotorkit.quantities.kinds import Kind, kind_of, required_kind
from rotorkit.quantities.pint_inside import is_own, is_quantity, registry, units_of
from rotorkit.quantities.registry import from_si, in_unit, kind_of_quantity, si_units, unit_factor
from rotorkit.quantities.units import WRITTEN

SYSTEMS = ("us", "metric")
_system: ContextVar[str] = ContextVar("rotorkit_display", default="us")
METRIC_NAMES = re.compile(r"(meter|gram|newton|pascal|watt|joule|liter|bar|Celsius|metric_horsepower|mm)")
US_NAMES = re.compile(
    r"(inch|foot|feet|yard|mile$|pound|ounce|slug|horsepower$|Fahrenheit|Rankine|gallon|quart|thou|british)"
)
OF_OTHER_SYSTEM = {"us": METRIC_NAMES, "metric": US_NAMES}
COUNTERPART = {  # a unit of the other system, and the size-alike one of this system
    "us": {"millimeter": "in", "centimeter": "in", "kilometer": "nmi"},
    "metric": {"inch": "mm", "thou": "mm", "mile": "km", "nautical_mile": "km"},
}
COUNTERPART_OF_PRODUCT: dict[str, dict[Any, str]] = {
    "us": {
        frozenset({("millimeter", 1), ("second", -1)}): "in/s",
        frozenset({("kilometer", 1), ("hour", -1)}): "kt",
    },
    "metric": {
        frozenset({("pound", 1), ("inch", 1)}): "kg*m",
        frozenset({("ounce", 1), ("inch", 1)}): "g*mm",
        frozenset({("inch", 1), ("second", -1)}): "mm/s",
        frozenset({("mile", 1), ("hour", -1)}): "km/h",
    },
}
"""The same for a product: 3 lb·in of a blade's span moment are 0.03456 kg·m, where an ounce inch is so many g·mm."""
SMALL: dict[str, tuple[float, str]] = {"bar": (10_000.0, "kPa")}
"""Of a unit that a kind is shown in: below which SI value the trade takes a smaller one, and which. Oil, fuel and
compression are said in bar, the drop of the air across a cylinder in kPa (common practice, no source)."""
# the order in which the trade names the units of a product: lbf·in, slug·ft², kW·h, kg·K
FIRST_NAMED = (
    *(re.compile(name) for name in ("newton|force_", "watt|horsepower", "pascal|joule", "gram|slug|pound|ounce")),
    *(re.compile(name) for name in ("meter|foot|inch|mile|yard|thou", "kelvin|degree_", "second|minute|hour")),
)
SUPERSCRIPT = {"2": "²", "3": "³", "4": "⁴"}


def display_system() -> str:
    """The display system in force: "us" or "metric"."""
    return _system.get()


def use_display(system: str) -> None:
    """Choose the display system, "us" or "metric", for this thread of work. What is stored never depends on it."""
    _system.set(_known_system(system))


@contextmanager
def display(system: str) -> Iterator[None]:
    """Within a ``with``: the display system, "us" or "metric"; afterwards the one before is in force again."""
    token = _system.set(_known_system(system))
    try:
        yield
    finally:
        _system.reset(token)


def _known_system(system: str) -> str:
    if system not in SYSTEMS:
        raise QuantityError(f"the display system must be 'us' or 'metric', got {system!r}")
    return system


def say(
    quantity: Any,
    unit: str | None = None,
    system: str | None = None,
    digits: int = 4,
    kind: Any = None,
    as_typed: bool = False,
) -> str:
    """A quantity as text for a person.

    Arguments: quantity (a quantity, a `Reading` or a `Measured`); unit, the unit to say it in, as typed; system, "us"
    or "metric" (default: the one in force); digits, significant digits (whole numbers keep all theirs).
    A quantity whose unit belongs to the system is said in its own unit; one in plain SI units in its kind's.
    A value with an uncertainty is rounded to the uncertainty's second digit, and both are said (k = 2).

    >>> from rotorkit.quantities import Quantity, say
    >>> say(Quantity(66069.9, "watt"))
    '88.60 hp'
    """
    system = display_system() if system is None else _known_system(system)
    made = type(quantity)  # asked of the class: of the thing itself it would be worked out to be thrown away
    if hasattr(made, "expanded"):
        return _say_uncertain(quantity, unit, system, digits, kind)
    if hasattr(made, "understood"):
        kind, quantity = kind or quantity.kind, quantity.value
    if isinstance(quantity, numbers.Real) and not isinstance(quantity, bool):
        return number_text(float(quantity), digits)
    if not is_quantity(quantity):
        raise QuantityError(f"say needs a quantity, got {type(quantity).__name__}")
    wanted = kind_of(kind) or kind_of_quantity(quantity)
    try:
        magnitude, label = _expressed(quantity, unit, system, wanted, as_typed)
    except QuantityError as why:
        raise QuantityError(f"cannot say {quantity!s:.60} as {wanted or unit}: {why}") from None
    if getattr(magnitude, "shape", ()):
        text = "[" + ", ".join(number_text(float(m), digits) for m in magnitude.ravel()[:8])
        return text + (", …]" if magnitude.size > 8 else "]") + _gap(label) + label
    number = _exact_text(float(magnitude) + 0.0) if as_typed else number_text(float(magnitude), digits)
    return number + _gap(label) + label


def _exact_text(value: float) -> str:
    """A float with ten significant digits, or as many more as it takes for it to be read back to the last bit."""
    for digits in range(10, 18):
        text = f"{value:,.{digits}g}"
        if float(text.replace(",", "")) == value:
            break
    return text


def _gap(label: str) -> str:
    return "" if not label or label == "°" else " "


def _expressed(quantity: Any, unit: str | None, system: str, kind: Kind | None, as_typed: bool) -> tuple[Any, str]:
    if kind is None:
        if unit is not None:
            quantity = quantity.to(unit)
        return quantity.magnitude, unit_text(units_of(quantity))
    units = units_of(quantity)
    if not is_own(quantity):  # a reader's own registry: said in the kind's unit
        as_typed, unit = False, unit or kind.shown(system)
    if unit is None and not as_typed:
        unit = _unit_for(units, kind, system)
        if unit is not None and unit in SMALL:
            unit = unit_of_size(kind, si_value(quantity, kind), system)
    if unit is None:
        return quantity.magnitude, unit_text(units)
    return in_unit(si_value(quantity, kind), unit, kind), unit_label(unit, kind)


@lru_cache(maxsize=1024)
def _unit_for(units: Any, kind: Kind, system: str) -> str | None:
    """The unit to say a quantity in; None where its own will do."""
    names = list(units)
    if units == si_units(kind) and kind.shown(system) != kind.si:
        return kind.shown(system)
    if any(OF_OTHER_SYSTEM[system].search(name) for name in names):
        if len(names) == 1 and names[0] in COUNTERPART[system]:
            power = next(power for _, power in units.items())
            return COUNTERPART[system][names[0]] + ("" if power == 1 else f"^{power:g}")
        return COUNTERPART_OF_PRODUCT[system].get(frozenset(units.items()), kind.shown(system))
    return None


def unit_of_size(kind: Kind, si: Any, system: str) -> str:
    """The unit that a value of a kind is shown in where it has none of its own: the kind's, and for a small value, such
    as a gauge pressure below 0.1 bar, the smaller unit that the trade takes. si: in SI units; of an array the largest.
    """
    return smaller_unit(kind.shown(system), si)


def smaller_unit(unit: str, si: Any) -> str:
    """A unit, or the smaller one that the trade takes for a small value. si: in SI units; of an array the largest."""
    bound, smaller = SMALL.get(unit, (0.0, unit))
    if not bound:
        return unit
    greatest = float(abs(si).max()) if getattr(si, "shape", ()) else abs(float(si))
    return smaller if 0.0 < greatest < bound else unit


def unit_for_display(unit: str, kind: Kind, system: str | None = None) -> str:
    """A unit, as typed, where it belongs to the display system (default: the one in force); else that system's own."""
    return _in_system(unit, kind, system or display_system())


@lru_cache(maxsize=1024)
def _in_system(unit: str, kind: Kind, system: str) -> str:
    from rotorkit.quantities.spelled_units import unit_container

    return _unit_for(unit_container(unit, kind), kind, system) or unit


def belongs_to_display(quantity: Any, kind: Kind, system: str | None = None) -> bool:
    """Whether a quantity is said in its own unit in the display system (default: the one in force)."""
    return _unit_for(units_of(quantity), kind, system or display_system()) is None


@lru_cache(maxsize=1024)
def unit_label(unit: str, kind: Any) -> str:
    """How a unit, as typed, is written back for this kind."""
    from rotorkit.quantities.spelled_units import unit_container

    return unit_text(unit_container(unit, required_kind(kind)))


@lru_cache(maxsize=1024)
def unit_text(units: Any) -> str:
    """A registry units container in the trade's symbols: ``lbf/ft²``, ``kg/m³``, ``lbf·in``."""
    top: list[str] = []
    bottom: list[str] = []
    single = len(units) == 1
    for name, power in sorted(units.items(), key=lambda item: (_rank(item[0]), item[0])):
        symbol = WRITTEN.get(name) or _prefixed(name)
        if symbol == "°" and not single:
            symbol = "deg"
        size = abs(power)
        if size != 1:
            symbol += SUPERSCRIPT.get(f"{size:g}", f"^{size:g}")
        (top if power > 0 else bottom).append(symbol)
    if not bottom:
        return "·".join(top)
    under = "·".join(bottom)
    return ("·".join(top) or "1") + "/" + (f"({under})" if len(bottom) > 1 else under)


def _rank(name: str) -> int:
    return next((i for i, names in enumerate(FIRST_NAMED) if names.search(name)), len(FIRST_NAMED))


def _prefixed(name: str) -> str:
    try:
        return f"{registry().Unit(name):~}"
    except Exception:
        return name


def number_text(value: float, digits: int = 4) -> str:
    """A number with `digits` significant digits; whole digits are never dropped."""
    if value == 0 or not math.isfinite(value):
        return f"{value + 0.0:g}"
    exponent = int(f"{value:.{digits - 1}e}".partition("e")[2])  # of the rounded number: 999.96 is 1,000
    if exponent < -5 or exponent > 11:
        return f"{value:.{digits - 1}e}"
    return _fixed(value, max(0, digits - 1 - exponent))


def _fixed(value: float, decimals: int) -> str:
    text = f"{value:,.{decimals}f}"
    return text[1:] if text.startswith("-") and not float(text.replace(",", "")) else text


@lru_cache(maxsize=4096)  # a figure is said several times over, and most figures stay from one edit to the next
def rounded_pair(value: float, uncertainty: float, digits: int = 4) -> tuple[str, str]:
    """A value and its uncertainty, both to the place of the uncertainty's second significant digit."""
    if not uncertainty or not math.isfinite(uncertainty):
        return number_text(value, digits), f"{uncertainty:g}"
    decimals = 1 - int(f"{uncertainty:.1e}".partition("e")[2])  # of the rounded one: 0.00996 is 0.010, not 0.0100
    if decimals > 9:
        return f"{value + 0.0:.6g}", f"{uncertainty:.1e}"
    number, around = (_fixed(round(one, decimals), max(0, decimals)) for one in (value, uncertainty))
    return number, around


def spread_text(uncertainty: float) -> str:
    """The size of an uncertainty, to its second significant digit."""
    return rounded_pair(uncertainty, uncertainty)[1]


def _say_uncertain(measured: Any, unit: str | None, system: str, digits: int, kind: Any) -> str:
    wanted = kind_of(kind) or measured.kind
    chosen = unit or measured.shown_unit(system)
    return _pair_said(float(measured.si), float(measured.expanded_si), chosen, wanted, digits)


@lru_cache(maxsize=4096)
def _pair_said(si: float, expanded_si: float, chosen: str, wanted: Kind, digits: int) -> str:
    value = float(in_unit(si, chosen, wanted))
    spread = expanded_si / unit_factor(chosen, wanted)
    label = unit_label(chosen, wanted)
    if not spread:
        return number_text(value, digits) + _gap(label) + label
    number, around = rounded_pair(value, spread, digits)
    return f"{number} ± {around}" + _gap(label) + label


__all__ = [
    "display",
    "display_system",
    "from_si",
    "number_text",
    "rounded_pair",
    "say",
    "smaller_unit",
    "spread_text",
    "unit_for_display",
    "unit_label",
    "unit_of_size",
    "use_display",
]
