"""What one sheet's check can give another: offered in the notebook, taken by a button, never put in unasked."""

from __future__ import annotations

from typing import Any

from rotorkit.folder.offers import rigged_stops
from rotorkit.notebook import pages, widgets, words
from rotorkit.notebook.form import Form
from rotorkit.notebook.style import STYLE

NONE = (
    "The folder has no blade-angle check of the tail rotor with both stops: type the angles by hand, or do "
    "that check first."
)


def offer_rigged_stops(form: Form) -> Any:
    """The stops of the folder's blade-angle check of the tail rotor, with a button that puts them into the form."""
    found = rigged_stops(form.folder, [one.as_check for one in pages.standings_of(form.folder)[0]])
    said = widgets.HTML(STYLE + pages.framed(f"<p>{words.escape(found.sentence if found else NONE)}</p>"))
    parts: list[Any] = [said]
    if found is not None and found.against is not None:
        button = widgets.Button(description="Put these stops into the form")

        def put(_button: object) -> None:
            for path, text in found.readings(form.readings.get("positive_pushes", "")).items():
                form.set(path, text)

        button.on_click(form._guard(put))
        parts.append(button)
    box = widgets.VBox(parts)
    box.add_class("rotorkit-form")
    return box


def offer_recording(form: Form) -> Any:
    """A button that reads the recording that the form's fields map, and puts its orders and lines into the form: what
    stands behind the form's own button Recording, for notebooks that have it in a cell."""
    box = widgets.VBox([widgets.HTML(STYLE), form._recorded_vibration()])
    box.add_class("rotorkit-form")
    return box
