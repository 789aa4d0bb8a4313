"""rotorkit: figures for finishing a light helicopter, worked from raw readings, with units, limits and sources.

>>> import rotorkit as rk
>>> rk.say(rk.read("11 ft 8 in", rk.Length), "in")
'140.0 in'

These names, the kinds (`rk.Force`, `rk.Angle` ...) and the rooms with the functions of the trade (`rk.atmosphere`,
`rk.rotor`, `rk.rigging` ...) are fetched at first use, so that importing costs nothing.

>>> rk.say(rk.rotor.tip_speed("455 rpm", "11 ft 8 in"), "ft/s")
'555.9 ft/s'
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


_ROOMS = (
    "aircraft", "atmosphere", "balance", "dossier", "drive", "engine", "folder", "formula", "judging", "mass",
    "notebook", "pictures", "quantities", "record", "rigging", "rotor", "sheets", "teach", "vibration",
)  # fmt: skip
"""The rooms with public names."""


def __getattr__(name: str) -> Any:
    if name in _ROOM_OF:
        return getattr(import_module(_ROOM_OF[name]), name)
    if name in _ROOMS:
        return import_module(f"rotorkit.{name}")
    if name[:1].isupper():  # a kind, such as Length
        kinds = import_module("rotorkit.quantities").KINDS
        if name in kinds:
            return kinds[name]
    raise AttributeError(f"module 'rotorkit' has no attribute {name!r}")


def __dir__() -> list[str]:
    """What is public, and nothing else: the names, the kinds, the rooms."""
    return sorted([*__all__, *_ROOMS, *import_module("rotorkit.quantities").KINDS])
