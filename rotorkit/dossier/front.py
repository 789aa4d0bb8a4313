"""The front of the document: title page, how to read it, aircraft and instruments, status board."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime
from typing import Any

from rotorkit import __version__
from rotorkit.aircraft import Aircraft
from rotorkit.aircraft.entries import Section
from rotorkit.dossier.alike import alike
from rotorkit.dossier.blocks import (
    Block,
    Box,
    Bullets,
    Code,
    Contents,
    Heading,
    Inline,
    Lines,
    Link,
    Paragraph,
    Piece,
    Strong,
    Table,
    Verdict,
    pieces,
)
from rotorkit.dossier.room import letters_in
from rotorkit.folder.standing import Standing
from rotorkit.judging.limits import IN_LIMITS, NO_LIMIT, OUT_OF_LIMITS, TOO_CLOSE, UNDONE, WORDS, Limit
from rotorkit.quantities import Reading
from rotorkit.record.board import NEVER_DONE, NOT_THE_WHOLE_LIST, USUAL, Board, BoardRow
from rotorkit.record.verify import Verification
from rotorkit.sheets.catalogue import sheet_names, sheet_type
from rotorkit.sources import cautions

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


MOST_NAMED = 12
"""So many checks of a list on the front page are named; the contents name all."""


@dataclass(frozen=True)
class Named:
    """A check as the front page tells of it. key: of its heading; word: its verdict; figure: the one that the verdict
    hangs on, with its limit, in words; unsure: whether it rests on an estimate, or on readings taken as exact; missing:
    parts of the job that nobody has done or looked at; stale: whether it no longer stands as saved; today: today's
    verdict, where it is another."""

    title: str
    key: str
    word: str
    figure: str = ""
    unsure: bool = False
    missing: Sequence[str] = ()
    stale: bool = False
    today: str = ""


def front_blocks(known: Known, board: Board, checks: Sequence[Named], not_saved: Sequence[Standing]) -> Iterator[Block]:
    """The front page: aircraft, board, what is out of limits, what rests on estimates, what nobody looked at; then the
    contents."""
    yield from _title_page(known)
    yield Paragraph([Strong(_first_sentence(board))])
    yield Lines("Milestones", [milestone.sentence for milestone in board.milestones])
    yield from _told(
        f"{OUT_OF_LIMITS[:1].upper()}{OUT_OF_LIMITS[1:]}", [one for one in checks if one.word == OUT_OF_LIMITS]
    )
    yield from _told(f"{TOO_CLOSE[:1].upper()}{TOO_CLOSE[1:]}", [one for one in checks if one.word == TOO_CLOSE])
    yield from _told(
        "Rests on an estimate, or on readings taken as exact",
        [one for one in checks if one.unsure],
        figures=False,
        where="the contents, marked 'est.'",
    )
    stale = [replace(one, figure=f"today {one.today}" if one.today else "") for one in checks if one.stale]
    yield from _told(
        "No longer stands as saved", sorted(stale, key=lambda one: one.today not in (OUT_OF_LIMITS, TOO_CLOSE))
    )
    yield from _not_looked_at(board, checks, not_saved)
    yield Paragraph([Strong("What this document is not: "), f"{cautions.AN_AID} {cautions.MANUAL_GOVERNS}"], "small")
    yield Contents("Contents")


def end_blocks(
    known: Known, board: Board, keys: Mapping[str, str], not_saved: Sequence[Standing] = ()
) -> Iterator[Block]:
    """What stands after the checks: the checks that are not saved, the whole status board, aircraft, instruments, how
    to read it all. keys: as in `board_blocks`."""
    yield from not_saved_blocks(not_saved)
    yield from board_blocks(board, keys)
    yield from _aircraft(known.aircraft)
    yield from _instruments(known.aircraft, known.when.date())
    yield from _how_to_read()


def _first_sentence(board: Board) -> str:
    milestone = board.next
    said = "Every milestone has been reached." if milestone is None else f"Next: {milestone.sentence}."
    return f"{board.damaged} {said}".strip()


def _told(title: str, checks: Sequence[Named], figures: bool = True, where: str = "the contents") -> Iterator[Block]:
    """A list of checks, each a link to its page; nothing said where there are none would be no answer. where: what
    names all of them."""
    if not checks:
        yield Paragraph([Strong(f"{title}: "), "none of the checks shown."])
        return
    items: list[Inline] = [
        [Link(one.title, one.key), f": {one.figure}" if figures and one.figure else ""] for one in checks[:MOST_NAMED]
    ]
    if len(checks) > MOST_NAMED:
        items.append(f"and {len(checks) - MOST_NAMED} more: see {where}")
    yield Lines(f"{title}: {len(checks)}", items)


def _not_looked_at(board: Board, checks: Sequence[Named], not_saved: Sequence[Standing]) -> Iterator[Block]:
    """Jobs never done, checks of which a part is missing, readings that were never saved."""
    items: list[Inline] = [
        [Link(one.title, one.key), f": {_parts(one.missing)} of the job not done"] for one in checks if one.missing
    ]
    items += [f"{check.title}: its readings are not saved to the record" for check in not_saved]
    told = {check.title for check in not_saved}
    jobs = dict.fromkeys(row.job for _, row in board.rows if row.word == NEVER_DONE and row.job not in told)
    items += [f"{job}: never done" for job in jobs]
    if not items:
        yield Paragraph([Strong("Not looked at by anybody: "), "nothing that the board or the readings file names."])
        return
    if len(items) > MOST_NAMED:
        items[MOST_NAMED:] = [f"and {len(items) - MOST_NAMED} more: see the status board"]
    yield Lines("Nobody has looked at these yet", items)


def _parts(missing: Sequence[str]) -> str:
    return "1 part" if len(missing) == 1 else f"{len(missing)} parts"


def _title_page(known: Known) -> Iterator[Block]:
    identity, head = known.aircraft.aircraft, known.verification.head
    yield Heading(1, identity.name, "top")
    yield Paragraph(
        "Dossier of the build record: a page for each check, with its figures, limits and readings as typed", "lead"
    )
    if known.verification.faults:
        yield Box(
            "warning",
            "The record is not as it was saved: do not rely on this document",
            [Bullets([f"{fault[:1].upper()}{fault[1:]}." for fault in known.verification.faults[:MOST_TOLD]])],
        )
    serial, registration = identity.serial or "not given", identity.registration or "not given"
    yield Lines(
        "Identity of this document",
        [
            [f"Aircraft: {identity.name}, serial number {serial}, registration {registration}"],
            [f"Builder: {identity.builder or 'not given'}"],
            [f"Written {known.when:%Y-%m-%d %H:%M %z} by rotorkit {__version__}"],
            [f"Entries in the record: {known.verification.entries:,}"],
            ["Hash of the last entry: ", Code(head) if head else "none: the record is empty"],
            ["Aircraft file, SHA-256: ", Code(known.file_hash)],
        ],
    )
    if known.verification.whole and known.verification.entries:
        yield Paragraph(
            "Every entry was verified when this was written: all are as saved, none is missing. The hash of the last "
            "entry vouches for the whole record: anyone who keeps it can find out later, with 'rotorkit record "
            "verify', whether anything was changed.",
            "small",
        )
    for doubt in known.verification.doubts:
        yield Box("note", "Needs attention", [Paragraph(f"{doubt[:1].upper()}{doubt[1:]}.")])
    yield _summary(known)


def _summary(known: Known) -> Block:
    counts = Counter(known.words)
    words: list[Piece] = [Strong("Checks by their worst figure: ")]
    for word in (OUT_OF_LIMITS, TOO_CLOSE, UNDONE, IN_LIMITS, NO_LIMIT):
        words += [Verdict(word), f" {counts[word]}, "]
    words.append(f"of all these, no longer standing as saved {known.stale}; not saved to the record {known.not_saved}.")
    return Paragraph(words)


def _how_to_read() -> Iterator[Block]:
    yield Heading(2, "How to read this document", "how-to-read")
    yield Bullets(
        [
            "The figure after ± is the expanded uncertainty U, with the coverage factor k = 2 (about 95 %; JCGM 100).",
            [Verdict(IN_LIMITS), ": the whole of value ± U is inside the limit (ISO 14253-1; JCGM 106)."],
            [Verdict(OUT_OF_LIMITS), ": the whole of value ± U is outside the limit."],
            [
                Verdict(TOO_CLOSE),
                ": the limit is within value ± U, so the measurement cannot decide; what would settle it is given.",
            ],
            [Verdict(UNDONE), ": part of the job is still to be done or looked at; what is missing is given."],
            [Verdict(NO_LIMIT), ": the figure is given, but this does not say whether it is right."],
            "The verdict of a check is the worst verdict of its figures that have a limit; there is none yet while "
            "part of the job is missing.",
            "A reading is shown as it was typed, and beside it what the program understood, where that says more. "
            "Compare the two.",
            "Every figure, limit and verdict is shown as it was saved. If the aircraft file, an instrument or the "
            "program has changed since in a way that changes the result, the check says that it no longer stands, "
            "and why.",
            "A correction is a separate entry, which names the entry it replaces and gives the reason. No entry is "
            "ever removed.",
            "Each formula names its source, and in brackets how the source is known. 'Common practice (no source)' "
            "means exactly that.",
        ]
    )


def _aircraft(aircraft: Aircraft) -> Iterator[Block]:
    yield Heading(2, "Aircraft", "aircraft")
    yield Paragraph(
        "As in the aircraft file today. What an entry was worked with is on that entry's own pages.", "opening"
    )
    if faults := aircraft.inconsistencies():
        yield Box("warning", "The aircraft file does not fit together", [Bullets([f"{fault}." for fault in faults])])
    limits: Limits = {}
    for name in type(aircraft).model_fields:
        if name not in APART:
            yield from _section(getattr(aircraft, name), _words(name), limits)
    for sheet in (sheet_type(name) for name in aircraft.limits if name in sheet_names()):
        for key in sheet.limits:
            if (limit := sheet.limit(key, aircraft)) is not None:
                what = sheet.limits[key].name
                limits.setdefault(sheet.about.title, []).append(_limit_line(what[:1].upper() + what[1:], limit))
    yield Heading(3, "Limits as they are now")
    for of, lines in limits.items():
        yield Lines(of, lines)
    if not limits:
        yield Paragraph("The aircraft file gives no limits: no figure can be judged.")


Limits = dict[str, list[Inline]]
"""Limits in words, each with its source, under what they are limits of."""


def _limit_line(what: str, limit: Limit) -> Inline:
    return [f"{what}: ", Strong(limit.text), f" ({limit.source or 'no source given'})"]


def _section(part: Any, title: str, limits: Limits) -> Iterator[Block]:
    """What the file holds in a section, then each section inside it under a title of its own. Limits go to their own
    list, under the title of what they are limits of."""
    if isinstance(part, Section):
        rows: list[Inline] = []
        inner: list[tuple[str, Any]] = []
        for name in type(part).model_fields:
            value = getattr(part, name)
            if isinstance(value, Limit):
                limits.setdefault(title, []).append(_limit_line(_words(name), value))
            elif isinstance(value, (Section, dict)) or _titled(value):
                own = getattr(value, "title", "")
                said = title if name in SAID_BY_WHAT_HOLDS_IT else f"{title}, {_words(name).lower()}"
                inner.append((own or said, value))
            elif name != "title":
                rows += [[f"{what}: ", *pieces(told)] for what, told in _told_values(name, value)]
        if rows:
            yield Lines(title, rows)
        for whose, value in inner:
            yield from _section(value, whose, limits)
    elif isinstance(part, dict):
        lines: list[Inline] = []
        for key, one in part.items():
            if isinstance(one, list):
                lines.append([f"{_words(key)}: {', '.join(one)}"])
            elif hasattr(one, "title") or _holds_limits(one):
                named = getattr(one, "title", "") or f"{title}, {_words(key).lower()}"
                yield from _section(one, named, limits)
            elif isinstance(one, Section):
                lines.append([f"{_words(key)}: ", *_in_a_line(one)])
        if lines:
            yield Lines(title, lines)
    elif isinstance(part, list):
        for one in part:
            yield from _section(one, f"{title}, {one.title}", limits)


SAID_BY_WHAT_HOLDS_IT = ("limits", "travel")
"""Sections that hold limits of what holds them: they need no words of their own."""


def _holds_limits(section: Any) -> bool:
    return isinstance(section, Section) and any(
        isinstance(getattr(section, one), Limit) for one in type(section).model_fields
    )


def _titled(value: Any) -> bool:
    return isinstance(value, list) and any(hasattr(one, "title") for one in value)


def _told_values(name: str, value: Any) -> Iterator[tuple[str, Inline]]:
    """A field of a section in words, with its value; a list of rows as one line a row."""
    if value is None or value == "" or value == []:
        return
    if isinstance(value, Reading):
        said = "" if alike(value.typed, value.understood) else f"  ({value.understood})"
        yield _words(name), [Code(value.typed), said]
    elif isinstance(value, list) and isinstance(value[0], Section):
        for number, one in enumerate(value, 1):
            yield f"{_words(name)} {number}", _in_a_line(one)
    elif isinstance(value, (list, tuple)):
        yield _words(name), ", ".join(map(str, value))
    elif isinstance(value, bool):
        yield _words(name), "yes" if value else "no"
    else:
        yield _words(name), str(value)


def _in_a_line(section: Section) -> list[Piece]:
    """A section without a title, such as a corner or a column: its fields one after the other."""
    told: list[Piece] = []
    for what in type(section).model_fields:
        for title, inner in _told_values(what, getattr(section, what)):
            told += [f"{', ' if told else ''}{title.lower()} ", *pieces(inner)]
    return told


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
        shared = f", shared ± {one.shared}" if one.shared else ""
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
    yield Heading(2, "Status board", "status-board")
    yield Paragraph([Strong(board.sentence)])
    yield Paragraph(NOT_THE_WHOLE_LIST, "small")
    if board.usual:
        yield Paragraph(USUAL, "small")
    told: set[str] = set()
    tables: list[tuple[str, list[list[Inline]]]] = []
    for milestone in board.milestones:
        rows = []
        for row in milestone.rows:
            rows.append(_board_row(row, keys, row.job in told))
            told.add(row.job)
        tables.append((milestone.sentence, rows))
    for sentence, rows in tables:
        yield Table(sentence, ["Job", "Status", "Why it is needed"], rows, _board_widths(tables))


def _board_widths(tables: Sequence[tuple[str, Sequence[Sequence[Inline]]]]) -> Sequence[int]:
    """The columns' shares of the width: by how much there is to say of how jobs stand and of why, the same in all."""
    stands, why = (sum(letters_in(row[at]) for _, rows in tables for row in rows) for at in (1, 2))
    share = min(48, max(34, round(74 * stands / max(1, stands + why))))
    return [26, share, 74 - share]


def _board_row(row: BoardRow, keys: Mapping[str, str], again: bool) -> list[Inline]:
    """A job's row; again: whether what is to be known of it stands further up."""
    job: Inline = Link(row.job, keys[row.check]) if row.check in keys else row.job
    stands: list[Piece] = [Verdict(row.word) if row.word in WORDS else Strong(row.word)]
    if row.entry is not None:
        stands.append(f", entry {row.entry.number}, {row.entry.local:%Y-%m-%d}")
    if row.verdict and row.verdict != row.word:
        stands += ["; as saved ", Verdict(row.verdict)]
    more = (*row.causes, *row.notes)
    if again and more:
        stands.append(", as above")
    else:
        stands += [f"\n{sentence[:1].upper()}{sentence[1:].rstrip('.')}." for sentence in more]
    return [job, stands, row.why]


def not_saved_blocks(checks: Sequence[Standing]) -> Iterator[Block]:
    """The checks whose readings are in the readings file or in a draft alone: named, and nothing shown as proved."""
    if not checks:
        return
    yield Heading(2, "Not saved to the record", "not-saved")
    yield Box(
        "warning",
        "Nothing is shown for these checks",
        [
            Paragraph(
                "They have readings, but these are not saved to the record. What is not in the record counts as not "
                "done."
            )
        ],
    )
    rows: list[list[Inline]] = [
        [one.title, Code(one.check), one.sheet.replace("_", " "), Strong("not saved to the record")] for one in checks
    ]
    yield Table(
        "Checks without an entry",
        ["Check", "Name", "Sheet", "Status"],
        rows,
        [36, 24, 18, 22],
    )
