"""Buttons that write the dossier and the weight-and-balance report, with progress and what was written."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

from rotorkit.aircraft import AircraftFileError
from rotorkit.dossier import Dossier, DossierError, WeightReport, write_dossier, write_weight_and_balance
from rotorkit.edges import clock
from rotorkit.edges.program import NO_MEMORY
from rotorkit.folder.checks import Folder
from rotorkit.notebook import generations, pages, widgets, words
from rotorkit.notebook.layout import boxed
from rotorkit.notebook.parts import put
from rotorkit.notebook.style import STYLE
from rotorkit.record import RecordError
from rotorkit.sheets.base import SheetError

BETWEEN = 0.1
"""Seconds between two signs of progress."""


def dossier_part(folder: Folder | None = None) -> Any:
    """Buttons that write ``dossier.html`` and ``dossier.pdf``, and the weight-and-balance report, into the working
    folder, and say what became of it.

    Nothing is written until one is pressed. folder (default: the nearest working folder).
    """
    path = (folder or Folder.here()).path
    button = widgets.Button(description="Write the dossier")
    papers = widgets.Button(
        description="Weight and balance", tooltip="For the aircraft's papers: the saved weighing, ledger, loadings"
    )
    buttons = (button, papers)
    shown = widgets.HTML()
    last = [0.0]

    def progress(what: str, done: int, of: int) -> None:
        if done >= of or clock.elapsed() - last[0] > BETWEEN:
            last[0] = clock.elapsed()
            put(shown, pages.framed(_progress(what, done, of)))

    def writing(make: Callable[[], str], what: str) -> Callable[[object], None]:
        def write(_button: object) -> None:
            for one in buttons:
                one.disabled = True
            try:
                put(shown, pages.framed(make()))
            except (DossierError, RecordError, AircraftFileError, SheetError) as problem:
                put(shown, pages.framed(words.refused(f"No {what} was written: {problem}")))
            except MemoryError:
                put(shown, pages.framed(words.refused(f"No {what} was written: {NO_MEMORY}")))
            except Exception as fault:
                told = f"{type(fault).__name__}: {fault}".rstrip(": ")
                put(shown, pages.framed(words.refused(f"A fault in rotorkit itself: no {what} was written ({told}).")))
            finally:
                for one in buttons:
                    one.disabled = False

        return write

    # read afresh: the files may have changed since the notebook was opened
    button.on_click(writing(lambda: _written(write_dossier(Folder(path), progress=progress)), "dossier"))
    papers.on_click(
        writing(lambda: _report(write_weight_and_balance(Folder(path), progress=progress)), "weight-and-balance report")
    )
    part = boxed([widgets.HTML(STYLE), button, papers, shown], "rotorkit-form", upright=True)
    generations.made(part)
    return part


def _progress(what: str, done: int, of: int) -> str:
    said = words.escape(f"{words.capital(what)}, {done} of {of}" if of > 1 else words.capital(what))
    return f'<p role="status"><label>{said} <progress max="{max(of, 1)}" value="{done}"></progress></label></p>'


def _done(page: Path, pdf: Path | None, of: str) -> str:
    """The files that were written, each a link that opens it."""
    files = " and ".join(words.opens_file(one, one.name) for one in (page, pdf) if one is not None)
    said = words.escape(f", in {page.parent}, {of}.")
    return f'<p class="rotorkit-done" role="status">Written: {files}{said}</p>'


def _written(dossier: Dossier) -> str:
    checks = "1 check" if dossier.checks == 1 else f"{dossier.checks} checks"
    told = [_done(dossier.page, dossier.pdf, f"with {checks} of the record")]
    if dossier.pdf is None:
        told.append(words.note(f"No PDF: {dossier.why_no_pdf}."))
    if dossier.not_saved:
        told.append(words.note(f"Not saved to the record, so not in it: {', '.join(dossier.not_saved)}."))
    told += [words.wrong(f"{words.capital(fault)}.", "The record is not as it was saved.") for fault in dossier.faults]
    return "".join(told)


def _report(report: WeightReport) -> str:
    which = ", ".join(map(str, report.shown)) or "no entry"
    told = [_done(report.page, report.pdf, f"from entries: {which}")]
    if report.pdf is None:
        told.append(words.note(f"No PDF: {report.why_no_pdf}."))
    if report.lacking:
        told.append(words.note(f"It is not complete, and says so: the record has {', '.join(report.lacking)}."))
    told += [words.wrong(f"{words.capital(fault)}.", "The record is not as it was saved.") for fault in report.faults]
    return "".join(told)
