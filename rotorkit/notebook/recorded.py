"""A recorded run brought into a form: a button, how far it has come, and what was read."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

import ipywidgets as widgets

from rotorkit.aircraft import Aircraft
from rotorkit.folder.recorded_runs import read_run_into
from rotorkit.notebook import pages, words
from rotorkit.notebook.layout import boxed
from rotorkit.quantities import QuantityError

__all__ = ["recorded_run"]

HOW = (
    "Put the monitor's file into the working folder, its name into the field <b>Recording</b>, and from when until "
    "when into the fields below it. What the file's columns are, in which unit, and what each sensor may be off by "
    "stands once in the aircraft file, under [recorders]. Then read it: what it gives is put into the form in place of "
    "what stands there. Undo brings that back."
)


def recorded_run(
    guard: Callable[..., Any],
    sheet: str,
    folder: Path,
    aircraft: Aircraft,
    readings: Callable[[], Mapping[str, Any]],
    load: Callable[[Mapping[str, Any]], None],
) -> Any:
    """The panel that reads a recorded run into a form. guard: what a button's action is done under; readings: what
    stands in the form; load: puts other readings there."""
    button = widgets.Button(description="Read the recording into the form")
    button.style.button_width = "auto"
    bar = widgets.IntProgress(min=0, max=100, description="read")
    bar.layout.display = "none"
    told = widgets.HTML()

    def come(done: int, of: int) -> None:
        bar.value = round(100 * done / max(of, 1))

    def put(_button: object) -> None:
        bar.value, bar.layout.display, told.value = 0, None, ""
        try:
            before = readings()
            found = read_run_into(folder, aircraft, sheet, before, come)
        except (QuantityError, OSError) as problem:
            told.value = pages.framed(f"<p><b>Not read.</b> {words.escape(str(problem))}</p>")
            return
        finally:
            bar.layout.display = "none"
        load({**before, **found})
        told.value = pages.framed(f"<p><b>Read.</b> {words.escape(found['was_wrong'])}</p>")

    button.on_click(guard(put))
    return boxed([widgets.HTML(pages.framed(f"<p>{HOW}</p>")), button, bar, told], upright=True)
