"""The widgets of our pages: ipywidgets' own, told to the page once and as they then stand.

ipywidgets tells the page of each widget when it is made, then of each change to it, and gives each a layout and a style
of its own: of a form with 200 widgets that is 730 messages, which kernel, server and page go through before anything
is to be seen. Here a widget is told of when it is first shown, with all that was done to it until then, and those that
look alike have one layout and one style between them, which nobody may change: `show` hides one widget, `alike` gives
what several have in common.
"""

from __future__ import annotations

import functools
from typing import Any

import ipywidgets

Widget: Any = ipywidgets.Widget
LABELLED = {"Text", "Textarea", "Dropdown"}
"""Their label is as wide as its words."""


def _late(kind: Any) -> Any:
    """A kind of widget that the page is told of when it is first shown."""

    def begin(self: Any, *given: Any, **named: Any) -> None:
        self.closed = False
        if hasattr(kind, "layout"):
            named.setdefault("layout", alike())
        if (style := getattr(kind, "style", None)) is not None and "style" not in named:
            named["style"] = _style(style.klass, kind.__name__ in LABELLED)
        kind.__init__(self, *given, **named)

    def model_id(self: Any) -> str:
        if self.comm is None:  # shown now for the first time, or again
            self.closed = False
            kind.open(self)
        return str(self.comm.comm_id)

    def close(self: Any) -> None:
        self.closed = True
        kind.close(self)

    def bundle(self: Any, **asked: Any) -> Any:
        _ = self.model_id
        return kind._repr_mimebundle_(self, **asked)

    parts = {
        "__init__": begin,
        "__module__": __name__,
        "__doc__": f"ipywidgets' {kind.__name__}, which the page is told of when it is first shown.",
        "open": lambda self: None,
        "close": close,
        "model_id": property(model_id),
        "_repr_mimebundle_": bundle,
    }
    return type(kind.__name__, (kind,), parts)


def _fixed(kind: Any) -> Any:
    """The same of a layout or a style that several widgets have between them: it cannot be changed once it is made."""

    def begin(self: Any, **given: Any) -> None:
        late.__init__(self, **given)
        self.shared = True

    def set_one(self: Any, name: str, value: Any) -> None:
        if name in synced and self.__dict__.get("shared"):
            raise AttributeError(f"{name} of what several widgets have between them cannot be set: give one its own")
        late.__setattr__(self, name, value)

    late = _late(kind)
    synced = frozenset(kind.class_trait_names(sync=True))
    return type(kind.__name__, (late,), {"__init__": begin, "__setattr__": set_one, "__module__": __name__})


Layout = _late(ipywidgets.Layout)
HTML, HTMLMath, Text, Textarea, Dropdown, Button, FloatSlider, IntProgress, FileUpload, Box, HBox, VBox = (
    _late(getattr(ipywidgets, name))
    for name in (
        *("HTML", "HTMLMath", "Text", "Textarea", "Dropdown", "Button"),
        *("FloatSlider", "IntProgress", "FileUpload", "Box", "HBox", "VBox"),
    )
)
_fixed_kind = functools.cache(_fixed)


@functools.cache
def alike(**properties: str) -> Any:
    """The one layout of all widgets with these properties."""
    return _fixed_kind(ipywidgets.Layout)(**properties)


@functools.cache
def _style(kind: Any, labelled: bool) -> Any:
    return _fixed_kind(kind)(**({"description_width": "initial"} if labelled else {}))


def is_shared(part: Any) -> bool:
    """Whether a layout or a style belongs to more widgets than one."""
    return getattr(part, "shared", False) is True


def show(widget: Any, shown: bool) -> None:
    """Show a widget, or take it out of sight; one with a layout of its own keeps the rest of it."""
    if not is_shared(widget.layout):
        widget.layout.display = None if shown else "none"
    elif (widget.layout.display is None) != shown:
        widget.layout = alike() if shown else alike(display="none")
