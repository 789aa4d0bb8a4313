"""The front of the document: title page, how to read it, aircraft and instruments, status board."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from rotorkit import __version__
from rotorkit.aircraft import Aircraft
from rotorkit.aircraft.entries import Section
from rotorkit.dossier.blocks import (
    Block,
    Box,
    Bullets,
    Code,
    Contents,
    Heading,
    Inline,
    Link,
    Paragraph,
    Piece,
    Strong,
    Table,
    Verdict,
)
from rotorkit.folder.standing import Standing
from rotorkit.judging.limits import IN_LIMITS, NO_LIMIT, OUT_OF_LIMITS, TOO_CLOSE, UNDONE, WORDS, Limit
from rotorkit.quantities import Reading
from rotorkit.record.board import NOT_THE_WHOLE_LIST, USUAL, Board, BoardRow
from rotorkit.record.verify import Verification
from rotorkit.sources import cautions

__all__ = ["Known", "board_blocks", "front_blocks", "not_saved_blocks"]

APART = ("aircraft", "instruments", "milestones")
"""Sections of the aircraft file that have a place of their own in the document."""


MOST_TOLD = 200
"""So many faults of the record are told on the title page; beside its entries all are."""


@dataclass(frozen=True)
class Known:
    """What the document rests on. words: the verdict word of each check shown, stale ones told apart; shown: how many
    checks have pages; file_hash: of the aircraft file as it is now."""

    aircraft: Aircraft
    verification: Verification
    file_hash: str
    when: datetime
    words: Sequence[str]
    stale: int
    not_saved: int


def front_blocks(known: Known) -> Iterator[Block]:
    """Title page, how to read the document, aircraft, instruments."""
    yield from _title_page(known)
    yield Contents("Contents")
    yield from _how_to_read()
    yield from _aircraft(known.aircraft)
    yield from _instruments(known.aircraft, known.when.date())


def _title_page(known: Known) -> Iterator[Block]:
    identity, head = known.aircraft.aircraft, known.verification.head
    yield Heading(1, identity.name, "top")
    yield Paragraph("Dossier of the build record: checks with their readings, worked calculations and verdicts", "lead")
    if known.verification.faults:
        yield Box(
            "warning",
            "The record is not as it was saved: do not rely on this document",
            [Bullets([f"{fault[:1].upper()}{fault[1:]}." for fault in known.verification.faults[:MOST_TOLD]])],
        )
    rows: list[list[Inline]] = [
        ["Aircraft", identity.name],
        ["Serial number", identity.serial or "not given"],
        ["Registration", identity.registration or "not given"],
        ["Builder", identity.builder or "not given"],
        ["This document was written", f"{known.when:%Y-%m-%d %H:%M %z}"],
        ["Entries in the record", f"{known.verification.entries:,}"],
        ["Hash of the last entry", Code(head) if head else "none: the record is empty"],
        ["Aircraft file, SHA-256", Code(known.file_hash)],
        ["Written by", f"rotorkit {__version__}"],
    ]
    yield Table("Identity of this document", ["What", "Value"], rows, [28, 72])
    if known.verification.whole and known.verification.entries:
        yield Paragraph(
            "Every entry was checked when this was written: all as saved, none missing. The hash of the last "
            "entry stands for the whole record; whoever keeps it can tell later, with 'rotorkit record verify', "
            "whether anything was changed."
        )
    for doubt in known.verification.doubts:
        yield Box("note", "To be looked at", [Paragraph(f"{doubt[:1].upper()}{doubt[1:]}.")])
    yield from _summary(known)
    yield Box("caution", "What this document is not", [Bullets([cautions.AN_AID, cautions.MANUAL_GOVERNS])])


def _summary(known: Known) -> Iterator[Block]:
    counts = Counter(known.words)
    rows: list[list[Inline]] = [
        [Verdict(word), str(counts[word])] for word in (OUT_OF_LIMITS, TOO_CLOSE, UNDONE, IN_LIMITS, NO_LIMIT)
    ]
    rows.append(["of all these, no longer standing as saved", str(known.stale)])
    rows.append(["not saved to the record", str(known.not_saved)])
    yield Table("Checks by the worst verdict of their figures", ["Verdict as saved", "Checks"], rows, [70, 30])


def _how_to_read() -> Iterator[Block]:
    yield Heading(2, "How to read this document", "how-to-read", fresh_page=True)
    yield Bullets(
        [
            "What stands after ± is the expanded uncertainty U, with the coverage factor k = 2 (about 95 %; JCGM 100).",
            [Verdict(IN_LIMITS), ": all of value ± U lies inside the limit (ISO 14253-1; JCGM 106)."],
            [Verdict(OUT_OF_LIMITS), ": all of value ± U lies outside the limit."],
            [
                Verdict(TOO_CLOSE),
                ": the limit lies within value ± U, so that the measurement cannot tell; what would settle it is said.",
            ],
            [Verdict(UNDONE), ": a part of the job is still to be done or looked at; what, is said."],
            [Verdict(NO_LIMIT), ": the figure is told, and nothing is shown about whether it is right."],
            "A check's own verdict is the worst of its figures that have a limit; none yet as long as a part of its "
            "job is missing.",
            "A reading is shown as it was typed, and as the program understood it. Compare the two.",
            "Every figure, limit and verdict is shown as it was saved. Where the aircraft file, an instrument or the "
            "program has changed since so that it would come out otherwise, the check says that it no longer stands, "
            "and why.",
            "A correction is an entry of its own, which names the entry that it replaces and why. No entry is ever "
            "taken out.",
            "Each formula names its source, and in brackets how the source is known. 'Common practice (no "
            "source)' is just that.",
        ]
    )


def _aircraft(aircraft: Aircraft) -> Iterator[Block]:
    yield Heading(2, "Aircraft", "aircraft")
    yield Paragraph("From the aircraft file as it is now. What an entry was worked with stands on its own pages.")
    if faults := aircraft.inconsistencies():
        yield Box("warning", "The aircraft file does not fit together", [Bullets([f"{fault}." for fault in faults])])
    limits: list[list[Inline]] = []
    for name in type(aircraft).model_fields:
        if name in APART:
            continue
        part = getattr(aircraft, name)
        parts: Mapping[str, Any] = part if isinstance(part, dict) else {"": part}
        for key, section in parts.items():
            if not isinstance(section, Section):
                continue
            title = getattr(section, "title", "") or _words(f"{name} {key}".strip())
            rows = list(_values(section, title, limits))
            if rows:
                yield Table(title, ["What", "As written in the aircraft file"], rows, [45, 55])
    yield Heading(3, "Limits")
    if limits:
        yield Table("Limits as they are now", ["Of", "What", "Limit", "Source"], limits, [28, 26, 24, 22])
    else:
        yield Paragraph("The aircraft file gives no limit: no figure can be judged.")


def _values(section: Section, title: str, limits: list[list[Inline]]) -> Iterator[list[Inline]]:
    """Name and value of each field of a section; limits go to their own list."""
    for name in type(section).model_fields:
        value = getattr(section, name)
        if value is None or value == "" or name == "title":
            continue
        if isinstance(value, Limit):
            limits.append([title, _words(name), value.text, value.source or "no source given"])
        elif isinstance(value, Section):
            yield from _values(value, title, limits)
        elif isinstance(value, Reading):
            said = value.understood
            yield [_words(name), [Code(value.typed), f"  ({said})" if said != value.typed else ""]]
        elif isinstance(value, (list, tuple)):
            yield [_words(name), ", ".join(map(str, value))]
        elif not isinstance(value, dict):
            yield [_words(name), str(value)]


def _words(name: str) -> str:
    return name.replace("_", " ").capitalize()


def _instruments(aircraft: Aircraft, today: date) -> Iterator[Block]:
    yield Heading(2, "Instruments", "instruments")
    if not aircraft.instruments:
        yield Paragraph("The aircraft file names no instrument.")
        return
    rows: list[list[Inline]] = []
    overdue = []
    for one in aircraft.instruments.values():
        shared = f", in common ± {one.shared}" if one.shared else ""
        uncertainty = f"{one.spread}{shared} ({one.stated_as})"
        rows.append([one.named, one.serial or "not given", one.what, uncertainty, one.calibration_words(today)])
        if one.due is not None and one.due < today:
            overdue.append(f"{one.named}: its calibration was due on {one.due}.")
    yield Table(
        f"Instruments and their calibration on {today}",
        ["Instrument", "Number", "Measures", "Uncertainty (stated as)", "Calibration"],
        rows,
        [24, 12, 14, 24, 26],
    )
    if overdue:
        yield Box("warning", "Calibration past due", [Bullets(overdue)])


def board_blocks(board: Board, keys: Mapping[str, str]) -> Iterator[Block]:
    """The status board. keys: the headings of the checks' pages, by check."""
    yield Heading(2, "Status board", "status-board", fresh_page=True)
    yield Paragraph([Strong(board.sentence)])
    yield Paragraph(NOT_THE_WHOLE_LIST, "small")
    if board.usual:
        yield Paragraph(USUAL, "small")
    for milestone in board.milestones:
        rows = [_board_row(row, keys) for row in milestone.rows]
        yield Table(milestone.sentence, ["Job", "How it stands", "Why it is needed"], rows, [28, 42, 30])


def _board_row(row: BoardRow, keys: Mapping[str, str]) -> list[Inline]:
    job: Inline = Link(row.job, keys[row.check]) if row.check in keys else row.job
    stands: list[Piece] = [Verdict(row.word) if row.word in WORDS else Strong(row.word)]
    if row.entry is not None:
        stands.append(f", entry {row.entry.number}, {row.entry.local:%Y-%m-%d}")
    if row.verdict and row.verdict != row.word:
        stands += ["; as saved ", Verdict(row.verdict)]
    stands += [f"\n{sentence[:1].upper()}{sentence[1:]}." for sentence in (*row.causes, *row.notes)]
    return [job, stands, row.why]


def not_saved_blocks(checks: Sequence[Standing]) -> Iterator[Block]:
    """The checks whose readings are in the readings file or in a draft alone: named, and nothing shown as proved."""
    if not checks:
        return
    yield Heading(2, "Not saved to the record", "not-saved", fresh_page=True)
    yield Box(
        "warning",
        "Nothing is shown for these checks",
        [
            Paragraph(
                "There are readings for them, but they are not saved to the record. What is not in the record counts "
                "as not done."
            )
        ],
    )
    rows: list[list[Inline]] = [
        [one.title, Code(one.check), one.sheet.replace("_", " "), Strong("not saved to the record")] for one in checks
    ]
    yield Table(
        "Checks without an entry",
        ["Check", "Name", "Sheet", "How it stands"],
        rows,
        [36, 24, 18, 22],
    )
