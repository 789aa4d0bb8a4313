"""The one place that knows pint's insides: its registry, and what a quantity keeps of magnitude, units and registry.

The registry is private to rotorkit and made at first use: importing rotorkit changes no other program's registry.
What pint does not promise (names with an underscore) is read here alone: a new version of it is met in one file.
"""

from __future__ import annotations

import hashlib
import sys
import threading
from collections.abc import Callable
from operator import attrgetter
from pathlib import Path
from typing import Any

from rotorkit.edges.kept import with_kept
from rotorkit.edges.program import without_guests

with without_guests():
    import pint
    from pint import Quantity

__all__ = [
    "Quantity",
    "is_own",
    "is_quantity",
    "magnitude_of",
    "meaning_of",
    "quantity",
    "registry",
    "registry_of",
    "units_of",
]

_made: list[Any] = []
_making = threading.Lock()

units_of: Callable[[Any], Any] = attrgetter("_units")  # the units container: comparing and hashing it is quick
magnitude_of: Callable[[Any], Any] = attrgetter("_magnitude")
registry_of: Callable[[Any], Any] = attrgetter("_REGISTRY")


def registry() -> Any:
    """The private unit registry (made at first use), one whatever thread asks first."""
    if not _made:
        with _making:
            if not _made:
                _made.append(_new_registry())
    return _made[0]


def _new_registry() -> Any:
    """pint's registry of its own units. What it makes of their definitions takes a quarter of a second to work out, is
    the same for every program, and is kept for the next one by pint's own means."""
    units = Path(pint.__file__).parent
    texts = b"".join((units / name).read_bytes() for name in ("default_en.txt", "constants_en.txt"))
    of = f"{pint.__version__} {pint.__file__} {sys.version}".encode() + texts
    name = f"units-{hashlib.sha256(of).hexdigest()[:16]}"
    return with_kept(name, lambda folder: pint.UnitRegistry(cache_folder=folder))


def is_quantity(value: Any) -> bool:
    """Whether a value is a quantity, of the private registry or of another."""
    return hasattr(value, "_units") and hasattr(value, "_magnitude")


def is_own(value: Any) -> bool:
    """Whether a value is a quantity of the private registry."""
    return getattr(value, "_REGISTRY", None) is registry()


def quantity(magnitude: Any, units: Any) -> Any:
    """A quantity of the private registry: what pint does, without its look at what a float or an array might be."""
    made = object.__new__(registry().Quantity)
    made._magnitude, made._units = magnitude, units
    return made


def meaning_of(name: str, theirs: Any) -> Any:
    """The units, as a mapping of powers, that another registry explains one of its units by; None where it does not."""
    return getattr(getattr(theirs, "_units", {}).get(name), "reference", None)
