"""The check that a link asked for: a form that is opened next begins with it, and one that is open turns to it."""

from __future__ import annotations

import weakref
from typing import Any

__all__ = ["asked_for", "opened", "turn_to"]

_forms: weakref.WeakSet[Any] = weakref.WeakSet()
_asked: list[str] = []


def turn_to(check: str) -> None:
    """Turn to a check by its name, "" for an empty form: an open form of this kernel that has it does so at once, else
    the next one that is opened begins with it."""
    turned = [form for form in list(_forms) if form.turn_to(check)]
    _asked[:] = [] if turned else [check]


def opened(form: Any) -> None:
    """Know of a form, for as long as it is in use."""
    _forms.add(form)


def asked_for() -> str | None:
    """What a link asked for and no form has taken yet, once; None where nothing was asked for."""
    return _asked.pop() if _asked else None
