"""The one place that makes pint's registry.

It is private to rotorkit and made at first use: importing rotorkit changes no other program's registry.
"""

from __future__ import annotations

import threading
from typing import Any

import pint

__all__ = ["registry"]

_made: list[Any] = []
_making = threading.Lock()


def registry() -> Any:
    """The private unit registry (made at first use: about a tenth of a second), one whatever thread asks first."""
    if not _made:
        with _making:
            if not _made:
                _made.append(pint.UnitRegistry())
    return _made[0]
