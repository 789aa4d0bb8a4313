"""A recording brought into a form: a button, how far it has come, and what was read."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import partial
from pathlib import Path
from typing import Any

from rotorkit.aircraft import Aircraft
from rotorkit.folder.recorded_runs import read_run_into
from rotorkit.notebook import pages, widgets, words
from rotorkit.notebook.layout import boxed
from rotorkit.quantities import QuantityError

HOW = (
    "Put the monitor's file into the working folder, its name into the field <b>Recording</b>, and the start and end "
    "times into the fields below it. What the file's columns are, their units and each sensor's uncertainty are "
    "given once in the aircraft file, under [recorders]. Then read it: what it gives replaces what is in the form. "
    "Undo brings that back."
)


HOW_VIBRATION = (
    "Put the file into the working folder, its name into the field <b>Recording</b>, and say in the fields below it "
    "what its columns are; gravity calibrates it from its outputs at rest, axis up and turned over. Then read it: "
    "orders, lines, speed, faults in samples and pulses, and the file's fingerprint replace what is in the form. "
    "Undo brings that back."
)
Now = Callable[[], Aircraft]
Readings = Callable[[], Mapping[str, Any]]
Load = Callable[[Mapping[str, Any]], None]
Come = Callable[[str, int, int], None]


def recorded_run(
    guard: Callable[..., Any], sheet: str, folder: Path, aircraft: Now, readings: Readings, load: Load
) -> Any:
    """The panel that reads a recorded run into a form. guard: what a button's action is done under; aircraft: as
    the form has it when the button is pressed; readings: what stands in the form; load: puts other readings there."""

    def read(before: Mapping[str, Any], come: Come) -> Mapping[str, Any]:
        return read_run_into(folder, aircraft(), sheet, before, partial(come, "read"))

    return _panel(guard, HOW, read, readings, load)


def recorded_vibration(guard: Callable[..., Any], folder: Path, aircraft: Now, readings: Readings, load: Load) -> Any:
    """The panel that reads a recording of vibration into a form. Arguments: as `recorded_run`."""

    def read(before: Mapping[str, Any], come: Come) -> Mapping[str, Any]:
        from rotorkit.folder.recordings import read_into

        return read_into(folder, before, len(aircraft().main_rotor.blades), progress=come)

    return _panel(guard, HOW_VIBRATION, read, readings, load)


def _panel(
    guard: Callable[..., Any],
    how: str,
    read: Callable[[Mapping[str, Any], Come], Mapping[str, Any]],
    readings: Readings,
    load: Load,
) -> Any:
    button = widgets.Button(description="Read the recording into the form")
    bar = widgets.IntProgress(min=0, max=100, description="read")
    widgets.show(bar, False)
    told = widgets.HTML()

    def come(what: str, done: int, of: int) -> None:
        bar.description, bar.value = what.removesuffix(", per cent"), round(100 * done / max(of, 1))

    def put(_button: object) -> None:
        bar.value, told.value = 0, ""
        widgets.show(bar, True)
        try:
            before = readings()
            found = read(before, come)
        except (QuantityError, OSError) as problem:
            told.value = pages.framed(f"<p><b>Not read.</b> {words.escape(str(problem))}</p>")
            return
        finally:
            widgets.show(bar, False)
        load({**before, **found})
        told.value = pages.framed(f"<p><b>Read.</b> {words.escape(found['was_wrong'])}</p>")

    button.on_click(guard(put))
    return boxed([widgets.HTML(pages.framed(f"<p>{how}</p>")), button, bar, told], upright=True)
