"""Closing widgets for good: a kernel keeps every widget, and what hangs on it, until it is closed."""

from __future__ import annotations

from typing import Any

from rotorkit.notebook.widgets import is_shared


def close_all(*shown: Any) -> None:
    """Close widgets for good, with all that stands in them: the kernel keeps every widget until it is closed.

    A layout or style that others have too stays.
    """
    for one in shown:
        close_all(*getattr(one, "children", ()))
        for name in ("layout", "style"):
            if (part := getattr(one, name, None)) is not None and not is_shared(part):
                part.close()
        one.close()
