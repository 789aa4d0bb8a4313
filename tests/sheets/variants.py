"""The demo aircraft with some entries of its file changed, for the tests of the sheets."""

import copy
import tomllib
from functools import cache
from typing import Any

from rotorkit.aircraft import Aircraft, demo_folder

LEFT_OUT = object()


@cache
def _demo_tables() -> dict[str, Any]:
    return tomllib.loads((demo_folder() / "aircraft.toml").read_text(encoding="utf-8"))


def aircraft(**changes: Any) -> Aircraft:
    """The demo aircraft; each change is a dotted place with ``__`` for the dot: ``main_rotor__blades=["1", "2"]``."""
    tables = copy.deepcopy(_demo_tables())
    for place, value in changes.items():
        *path, key = place.split("__")
        table = tables
        for name in path:
            table = table.setdefault(name, {})
        if value is LEFT_OUT:
            table.pop(key)
        else:
            table[key] = value
    return Aircraft.model_validate(tables)
