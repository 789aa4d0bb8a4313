"""The check that a link asked for: a form that is opened next begins with it, and one that is open turns to it."""

from __future__ import annotations

import weakref
from typing import Any

_forms: weakref.WeakSet[Any] = weakref.WeakSet()
_asked: list[tuple[str, str]] = []


def begin_with(check: str, of: str = "") -> None:
    """Have the next form of this kernel begin with a check by its name, "" for an empty form. The forms until now are
    of a page that is being worked again, and turn no more. of: the rotor or cable that an empty form is to be of."""
    _forms.clear()
    _asked[:] = [(check, of)]


def turn_to(check: str, of: str = "") -> None:
    """Turn the open forms of this kernel to a check by its name, "" for an empty form. of: as in `begin_with`."""
    for form in list(_forms):
        form.turn_to(check, of)


def opened(form: Any) -> None:
    """Know of a form, for as long as it is in use."""
    _forms.add(form)


def asked_for() -> tuple[str, str] | None:
    """What a link asked for and no form has taken yet, once, as `begin_with` was given it; None where nothing was."""
    return _asked.pop() if _asked else None
