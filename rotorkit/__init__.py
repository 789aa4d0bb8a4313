"""rotorkit: figures for finishing a light helicopter, worked from raw readings, with units, limits and sources.

>>> import rotorkit as rk
>>> rk.say(rk.read("11 ft 8 in", rk.Length), "in")
'140.0 in'

These names and the kinds (`rk.Force`, `rk.Angle` ...) are fetched at first use, so that importing costs nothing. The
functions of the trade live in their own rooms: `rotorkit.atmosphere`, `rotorkit.rotor`, `rotorkit.rigging` and so on.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

from rotorkit import moved

__version__ = "0.1.0"

moved.install()

_ROOM_OF = {
    **dict.fromkeys(("Quantity", "QuantityError", "Reading", "assert_quantity", "read", "say"), "rotorkit.quantities"),
    **dict.fromkeys(("read_repeats", "use_display"), "rotorkit.quantities"),
    **dict.fromkeys(("Measured", "largest_less_smallest", "mean_of"), "rotorkit.judging.measured"),
    **dict.fromkeys(("Limit", "Verdict"), "rotorkit.judging.limits"),
}
__all__ = ["__version__", *_ROOM_OF]  # noqa: PLE0604

if TYPE_CHECKING:
    from rotorkit.judging.limits import Limit as Limit
    from rotorkit.judging.limits import Verdict as Verdict
    from rotorkit.judging.measured import Measured as Measured
    from rotorkit.judging.measured import largest_less_smallest as largest_less_smallest
    from rotorkit.judging.measured import mean_of as mean_of
    from rotorkit.quantities import *  # noqa: F403


def __getattr__(name: str) -> Any:
    if name in _ROOM_OF:
        return getattr(import_module(_ROOM_OF[name]), name)
    if name[:1].isupper():  # a kind, such as Length
        kinds = import_module("rotorkit.quantities").KINDS
        if name in kinds:
            return kinds[name]
    raise AttributeError(f"module 'rotorkit' has no attribute {name!r}")


def __dir__() -> list[str]:
    return sorted([*globals(), *_ROOM_OF, *import_module("rotorkit.quantities").KINDS])
