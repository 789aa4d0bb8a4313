"""A button that writes the dossier, with its progress and what was written."""

from __future__ import annotations

from typing import Any

import ipywidgets as widgets

from rotorkit.aircraft import AircraftFileError
from rotorkit.dossier import Dossier, DossierError, write_dossier
from rotorkit.edges import clock
from rotorkit.folder.checks import Folder
from rotorkit.notebook import pages, words
from rotorkit.notebook.layout import boxed
from rotorkit.notebook.parts import put
from rotorkit.notebook.style import STYLE
from rotorkit.record import RecordError
from rotorkit.sheets.base import SheetError

__all__ = ["dossier_part"]

BETWEEN = 0.1
"""Seconds between two signs of progress."""


def dossier_part(folder: Folder | None = None) -> Any:
    """A button that writes ``dossier.html`` and ``dossier.pdf`` into the working folder, and says what became of it.

    Nothing is written until it is pressed. folder (default: the nearest working folder).
    """
    path = (folder or Folder.here()).path
    button = widgets.Button(description="Write the dossier")
    shown = widgets.HTML()
    last = [0.0]

    def progress(what: str, done: int, of: int) -> None:
        if done >= of or clock.elapsed() - last[0] > BETWEEN:
            last[0] = clock.elapsed()
            put(shown, pages.framed(_progress(what, done, of)))

    def write(_button: object) -> None:
        button.disabled = True
        try:
            # read afresh: the files may have changed since the notebook was opened
            put(shown, pages.framed(_written(write_dossier(Folder(path), progress=progress))))
        except (DossierError, RecordError, AircraftFileError, SheetError) as problem:
            put(shown, pages.framed(words.refused(f"No dossier was written: {problem}")))
        except Exception as fault:
            told = f"{type(fault).__name__}: {fault}".rstrip(": ")
            put(shown, pages.framed(words.refused(f"A fault in rotorkit itself: no dossier was written ({told}).")))
        finally:
            button.disabled = False

    button.on_click(write)
    return boxed([widgets.HTML(STYLE), button, shown], "rotorkit-form", upright=True)


def _progress(what: str, done: int, of: int) -> str:
    said = words.escape(f"{words.capital(what)}, {done} of {of}" if of > 1 else words.capital(what))
    return f'<p role="status"><label>{said} <progress max="{max(of, 1)}" value="{done}"></progress></label></p>'


def _written(dossier: Dossier) -> str:
    files = [dossier.page.name, *([dossier.pdf.name] if dossier.pdf is not None else [])]
    checks = "1 check" if dossier.checks == 1 else f"{dossier.checks} checks"
    told = [words.done(f"Written: {' and '.join(files)}, in {dossier.page.parent}, with {checks} of the record.")]
    if dossier.pdf is None:
        told.append(words.note(f"No PDF: {dossier.why_no_pdf}."))
    if dossier.not_saved:
        told.append(words.note(f"Not saved to the record, and so not in it: {', '.join(dossier.not_saved)}."))
    told += [words.wrong(f"{words.capital(fault)}.", "The record is not as it was saved.") for fault in dossier.faults]
    return "".join(told)
