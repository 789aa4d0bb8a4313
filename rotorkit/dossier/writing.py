"""Writing the dossier: what it rests on is read once, then the page and the PDF are written from the same pieces."""

from __future__ import annotations

import os
import tempfile
from collections.abc import Callable, Iterable
from contextlib import suppress
from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path

from rotorkit.dossier.blocks import Contents, Document, Heading, Paragraph
from rotorkit.dossier.check_pages import CheckPages, check_blocks, worked_blocks
from rotorkit.dossier.front import Known, Named, end_blocks, front_blocks
from rotorkit.dossier.page import page_of
from rotorkit.dossier.pdf import PdfError, pdf_of
from rotorkit.dossier.photographs import photograph_blocks
from rotorkit.edges import clock
from rotorkit.edges.memory import memory_for, seldom_swept
from rotorkit.folder.checks import Folder
from rotorkit.folder.standing import DRAFT, READINGS
from rotorkit.pictures.data import Chart
from rotorkit.quantities import display_system, use_display
from rotorkit.record.board import board
from rotorkit.record.chain import hash_of_bytes
from rotorkit.record.entry import SavedEntry
from rotorkit.record.history import history, told_ahead
from rotorkit.record.recheck import recheck
from rotorkit.record.stands import standings
from rotorkit.record.store import Record
from rotorkit.record.verify import Verification, verify

NAME = "dossier"
NEEDS = 100
"""Megabytes that are asked for before it is begun: of two hundred checks it takes some sixty more than the program has,
and linear algebra takes some forty when it is first needed."""
WORKED = "-worked"
"""What the names of the second volume's files end with."""
MOST_TRENDS = 3
"""So many figures over time are drawn for a check; those with a limit come first."""
Progress = Callable[[str, int, int], None]
"""Called with what is being done, how much of it is done, and of how much."""


class DossierError(Exception):
    """The dossier could not be written: what happened, and what to do."""


@dataclass(frozen=True)
class Dossier:
    """What was written. page: the HTML file; pdf: the PDF, or None, and then why not. checks: how many have pages;
    not_saved: titles of the checks that have readings but no entry; faults: what is wrong with the record. more_pages,
    more_pdfs: those of the second volume."""

    page: Path
    pdf: Path | None
    why_no_pdf: str
    checks: int
    not_saved: tuple[str, ...] = ()
    faults: tuple[str, ...] = ()
    entries: int = 0
    head: str = ""
    more_pages: tuple[Path, ...] = ()
    more_pdfs: tuple[Path, ...] = ()


def write_dossier(
    folder: Folder | Path | str,
    out: Path | str | None = None,
    pdf: bool = True,
    progress: Progress | None = None,
    now: datetime | None = None,
    worked: bool = False,
) -> Dossier:
    """Write the dossier of a working folder: ``dossier.html`` and ``dossier.pdf``, a page for each check; with
    ``worked`` the calculations too, as a second volume, ``dossier-worked.html`` and ``dossier-worked.pdf``.

    Arguments: folder, the working folder; out, where to: a folder, or a file's name whose ending is left to us (by
    default the working folder, or the present one for the demo inside the program); pdf, whether a PDF is wanted;
    progress, called as things get done; now, the time that stands in the document; worked, whether the second volume
    is wanted.
    Each file is written whole or not at all. A PDF that cannot be made does not keep the page from being written: the
    result says why. Raises `MemoryError` where there is too little memory to begin, `DossierError` where nothing could
    be written, `RecordError` and `AircraftFileError` where the record or a file of the folder cannot be read.
    """
    folder = folder if isinstance(folder, Folder) else Folder(folder)
    tell = progress or (lambda what, done, of: None)
    when = now or clock.now()
    place = place_for(folder, out, NAME)
    memory_for(NEEDS)
    with seldom_swept():
        return _written(folder, place, pdf, tell, when, worked)


def _written(folder: Folder, place: Path, pdf: bool, tell: Progress, when: datetime, worked: bool) -> Dossier:
    before = display_system()
    try:
        document, found = document_of(folder, when, tell)
    finally:
        use_display(before)
    page, made, why = write_volume(document, place, pdf, when, tell, "")
    pages, pdfs = [page], [made]
    if worked:
        try:
            use_display(folder.aircraft.aircraft.display)
            second = worked_document(document, found.pages, tell)
        finally:
            use_display(before)
        page_two, made_two, why_two = write_volume(
            second,
            place.with_name(f"{place.name}{WORKED}"),
            pdf and made is not None,
            when,
            tell,
            "of the second volume",
        )
        pages.append(page_two)
        pdfs.append(made_two)
        why = why or why_two
    return Dossier(
        page,
        made,
        why,
        len(found.pages),
        found.not_saved,
        tuple(found.verification.faults),
        found.verification.entries,
        found.verification.head,
        tuple(pages[1:]),
        tuple(one for one in pdfs[1:] if one is not None),
    )


def write_volume(
    document: Document, place: Path, pdf: bool, when: datetime, tell: Progress, of: str
) -> tuple[Path, Path | None, str]:
    """One volume written: its page, its PDF or None, and why there is none."""
    page = place.with_name(place.name + ".html")
    what = f"writing the page {of}".strip()
    tell(what, 0, 1)
    write_whole(page, (part.encode("utf-8", "replace") for part in page_of(document)))
    tell(what, 1, 1)
    if not pdf:
        return page, None, "no PDF was asked for"
    made, why = None, ""
    what = f"typesetting the PDF {of}".strip()
    tell(what, 0, 1)
    file = place.with_name(place.name + ".pdf")
    try:
        write_whole(file, [pdf_of(document, when)])
        made = file
    except (PdfError, DossierError) as problem:
        why = f"{problem}. The page {page.name} was written"
        if file.exists():
            why += f"; the {file.name} in that folder is an older one"
    tell(what, 1, 1)
    return page, made, why


@dataclass(frozen=True)
class _Found:
    pages: list[CheckPages]
    not_saved: tuple[str, ...]
    verification: Verification


def document_of(folder: Folder, when: datetime, tell: Progress) -> tuple[Document, _Found]:
    """The document's pieces. Raises as `write_dossier` does."""
    aircraft = folder.aircraft  # first, for its plain words on a file that cannot be read
    record = Record(folder)
    verification = verify(record, progress=lambda done, of: tell("verifying the record", done, of))
    file = record.aircraft_text()
    use_display(aircraft.aircraft.display)
    again = recheck(
        folder,
        record,
        today=when.date(),
        progress=lambda done, of: tell("working the checks out again", done, of),
        verification=verification,
    )
    stands = board(folder, record, today=when.date(), reworks=again.reworks, verification=verification)
    untrue = {number: verification.untrue_of(number) for number in verification.untrue}
    replaced = record.replaced()
    stand = standings(folder, entries={one.entry.check: one.entry for one in again.reworks})
    of_check: dict[str, list[SavedEntry]] = {}
    for other in record.entries_of(set(range(1, record.head()[0] + 1)) - {one.entry.number for one in again.reworks}):
        of_check.setdefault(other.check, []).append(other)
    pages: list[CheckPages] = []
    for one in again.reworks:
        entry = one.entry
        others = of_check.get(entry.check, [])
        unsaved = tuple(stand[entry.check].others_not_saved) if entry.check in stand else ()
        stale = tuple(f"{cause.word}: {cause.sentence}" for cause in one.causes)
        today = one.outcome.word if one.causes and one.outcome is not None and one.outcome.word != one.word else ""
        trend, ahead = _trend(record, entry) if others else ([], [])
        missing = one.outcome.missing if one.outcome is not None else entry.outcome.missing if not entry.fault else []
        key = f"check-{len(pages) + 1}"
        photographs = tuple(photograph_blocks(record.folder, entry)) if not entry.fault else ()
        pages.append(
            CheckPages(entry, others, replaced, key, stale, missing, unsaved, trend, untrue, photographs, ahead, today)
        )
    not_saved = [
        one
        for name, one in stand.items()
        if name not in {page.entry.check for page in pages} and one.source in (READINGS, DRAFT)
    ]
    identity = aircraft.aircraft
    head = verification.head
    title = f"Dossier of {identity.name}" + (f", serial {identity.serial}" if identity.serial else "")
    document = Document(
        title,
        identity.builder or "the builder",
        f"{len(pages)} checks from a record of {verification.entries} entries; hash of the last one: {head or 'none'}",
        title,
        f"written {when:%Y-%m-%d %H:%M}, {verification.entries} entries, hash {head[:16] or 'none'}",
        "a4" if identity.display == "metric" else "us-letter",
        [f"record {head}"] if head else [],
    )
    words = [page.word for page in pages]
    stale_count = sum(bool(page.stale) for page in pages)
    known = Known(aircraft, verification, hash_of_bytes(file.encode("utf-8")), when, words, stale_count, len(not_saved))
    document.add(*front_blocks(known, stands, [_named(page) for page in pages], not_saved))
    for done, page in enumerate(pages, 1):
        document.add(*check_blocks(page))
        tell("setting the checks", done, len(pages))
    document.add(*end_blocks(known, stands, {page.entry.check: page.key for page in pages}, not_saved))
    return document, _Found(pages, tuple(check.title for check in not_saved), verification)


def worked_document(first: Document, pages: list[CheckPages], tell: Progress) -> Document:
    """The second volume: what each check's figures were worked from, step by step."""
    title = f"{first.title}: calculations"
    document = replace(first, title=title, running=title, blocks=[])
    document.add(
        Heading(1, title, "top"),
        Paragraph(
            "The second volume: for each check, the readings as understood, the worked calculation, where its "
            "uncertainties come from, and its history. Verdicts and sign-off are in the first volume.",
            "lead",
        ),
        Contents("Contents"),
    )
    for done, page in enumerate(pages, 1):
        document.add(*worked_blocks(page))
        tell("setting the calculations", done, len(pages))
    return document


def _named(page: CheckPages) -> Named:
    entry = page.entry
    if page.why_untrue(entry):
        return Named(entry.check, page.key, page.word)
    outcome = entry.outcome
    decides = outcome.deciding
    figure = ""
    if decides is not None:
        title, value, limit, _ = decides.row()
        figure = f"{title} {value}, limit {limit}"
    return Named(
        entry.title, page.key, page.word, figure, bool(outcome.unsure), page.missing, bool(page.stale), page.today
    )


def _trend(record: Record, entry: SavedEntry) -> tuple[list[Chart], list[str]]:
    """Each figure with a limit over time, where there are entries of more than one day to see it by; and what is told
    of those that are looked ahead by."""
    past = history(record, entry.check)
    if any(row.entry.fault for row in past.rows) or len({row.when.date() for row in past.standing}) < 2:
        return [], []
    ahead = past.looks_ahead()
    drawn = [one.chart for one in ahead if one.chart is not None]
    limited = sum(finding.verdict.limit is not None and not finding.verdict.limit.open for finding in entry.findings)
    titles = {chart.title for chart in drawn}
    charts = [*drawn, *(chart for chart in past.charts() if chart.title not in titles)]
    return charts[: min(limited, MOST_TRENDS)], told_ahead(ahead)


def place_for(folder: Folder, out: Path | str | None, name: str) -> Path:
    """Folder and name of the files, without their ending."""
    if out is None:
        return (Path.cwd() if folder.is_demo else folder.path) / name
    place = Path(out)
    if place.is_dir():
        return place / name
    if place.suffix.lower() in (".html", ".htm", ".pdf"):
        place = place.with_suffix("")
    if not place.parent.is_dir():
        raise DossierError(f"there is no folder {place.parent}: make it, or name another place")
    return place


def write_whole(file: Path, parts: Iterable[bytes]) -> None:
    """Write a file whole or not at all."""
    name = None
    try:
        handle, name = tempfile.mkstemp(dir=file.parent, prefix=f".{file.name}.")
        with os.fdopen(handle, "wb") as out:
            for part in parts:
                out.write(part)
        mask = os.umask(0)
        os.umask(mask)
        os.chmod(name, 0o666 & ~mask)
        os.replace(name, file)
    except BaseException as problem:
        if name is not None:
            with suppress(OSError):
                os.unlink(name)
        if isinstance(problem, OSError):
            open_elsewhere = " (is it open in another program?)" if isinstance(problem, PermissionError) else ""
            raise DossierError(f"{file} cannot be written: {problem.strerror or problem}{open_elsewhere}") from None
        raise
