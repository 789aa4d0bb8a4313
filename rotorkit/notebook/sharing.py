"""Layouts and styles that widgets of a form have in common.

By itself each widget makes a layout and a style of its own. For the kernel and for the page these are two more widgets,
each with dozens of settings that are told from one to the other: two thirds of the work of a form that opens. What is
shared is not to be changed: a widget that changes its layout or style later gets one of its own.
"""

from __future__ import annotations

from typing import Any

import ipywidgets as widgets

__all__ = ["is_shared", "plain", "shared"]

_made: dict[Any, Any] = {}


def shared(kind: type[widgets.Widget], **given: Any) -> Any:
    """The layout or style of these settings, made when it is first asked for, and again where it has been closed."""
    key = (kind, *given.items())
    found = _made.get(key)
    if found is None or found.comm is None:
        found = _made[key] = kind(**given)
    return found


def is_shared(part: Any) -> bool:
    """Whether others have this layout or style too, so that it stays when one of them is closed."""
    return any(part is one for one in _made.values())


def plain(of: type[widgets.Widget] = widgets.Box, **style: Any) -> dict[str, Any]:
    """What a widget without a layout of its own is made with: the shared layout, and where its kind has a style, a
    shared one of these settings.

    of: the kind of the widget.
    """
    layout = {"layout": shared(widgets.Layout)}
    trait = of.class_traits().get("style")
    return layout if trait is None else layout | {"style": shared(trait.klass, **style)}
