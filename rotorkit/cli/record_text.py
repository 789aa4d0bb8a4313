"""The record as plain text: status board, one entry, what a recheck found."""

from __future__ import annotations

from contextvars import copy_context

from rotorkit.cli.lines import filled, item, within
from rotorkit.quantities import use_display
from rotorkit.record import (
    NOT_THE_WHOLE_LIST,
    USUAL,
    Board,
    BoardRow,
    Recheck,
    Record,
    SavedEntry,
    Verification,
    history,
    verify,
)
from rotorkit.record.board import BESIDES
from rotorkit.record.history import told_ahead
from rotorkit.sources import cautions

MOST_TOLD = 20


def board_text(board: Board, width: int = 80) -> str:
    """The status board: what comes next, then each milestone with its jobs and why they are needed. What there is to do
    about a job stands where it is first named."""
    width = within(width)
    parts = [_titled("Status board", width), filled(board.sentence, width)]
    told: set[tuple[str, str]] = set()
    for milestone in board.milestones:
        lines = [filled(milestone.sentence, width)]
        for row in milestone.rows:
            lines += _job(row, width, (row.job, row.check) in told)
            told.add((row.job, row.check))
        parts.append("\n".join(lines))
    if board.besides:
        parts.append(
            "\n".join([filled(BESIDES, width), *(one for row in board.besides for one in _job(row, width, False))])
        )
    parts += [filled(f"Wrong with the record: {fault}.", width) for fault in board.faults[:MOST_TOLD]]
    parts.append(filled(f"{USUAL} {NOT_THE_WHOLE_LIST}" if board.usual else NOT_THE_WHOLE_LIST, width))
    return "\n\n".join(parts) + "\n"


def jobs_text(board: Board, check: str, width: int = 80) -> str:
    """The jobs on the status board that one check stands for, each under its milestone."""
    width = within(width)
    lines = []
    for milestone, row in board.rows:
        if row.check == check:
            lines += [filled(f"Needed before: {milestone.title}", width), *_job(row, width, False)]
    if not lines:
        lines = ["No milestone needs this check."]
        lines += [one for row in board.besides if row.check == check for one in _job(row, width, False)]
    return "\n".join(lines) + "\n"


def _job(row: BoardRow, width: int, again: bool) -> list[str]:
    if again:
        lines = [item(f"{row.job}: {row.word}, as above", width)]
        return [*lines, item(f"why: {row.why}", width, "      ")]
    lines = [item(f"{row.job}: {row.sentence}", width)]
    more = [*row.notes, f"why: {row.why}", *([f"to do: {row.todo}"] if row.todo else [])]
    return lines + [item(one, width, "      ") for one in more]


def entry_text(record: Record, number: int, width: int = 80, verification: Verification | None = None) -> str:
    """One entry as it was saved: readings, instruments, figures, verdicts; of one that is not what was saved only that
    it is not. verification: what `verify` has just found. Raises `RecordError`."""
    return copy_context().run(_entry_text, record, number, within(width), verification or verify(record))


def _entry_text(record: Record, number: int, width: int, found: Verification) -> str:
    entry = record.entry(number)
    if untrue := found.untrue_of(number):
        return _untrue_text(entry, untrue, width)
    use_display(str(entry.work["display"]))
    whole = history(record, entry.check)
    past = next(row for row in whole.rows if row.entry.number == number)
    newest = bool(whole.standing) and whole.standing[-1].entry.number == number and not found.untrue
    ahead = told_ahead(whole.looks_ahead()) if newest else []
    head = [
        f"check: {entry.check}, sheet {entry.sheet}, version {entry.sheet_version}",
        f"aircraft: {', '.join(filter(None, entry.aircraft.values()))}",
        f"saved: {entry.local:%Y-%m-%d %H:%M:%S %z} ({entry.sealed.saved}) by {entry.who}",
        f"worked by rotorkit {entry.rotorkit}",
    ]
    if entry.replaces is not None:
        head.append(f"corrects entry {entry.replaces}: {entry.why}")
    if past.replaced_by is not None:
        head.append(f"replaced by entry {past.replaced_by}")
    if said := found.said_of(number):
        head.append(f"TO BE LOOKED AT: {said}")
    parts = [
        _titled(f"Entry {number}: {entry.title}", width),
        "\n".join(item(one, width) for one in head),
        "\n".join(filled(said, width) for said in entry.outcome.first),
        _section("What to do", [said] if (said := entry.outcome.to_do_after_first) else [], width),
        _section("Readings, as typed", _readings(entry), width),
        _section("Instruments, as they stood", _instruments(entry), width),
        _section("Figures, as they were judged", _figures(entry), width),
        _section("Worked by hand", [f"{one.title}: {one.typed}: {one.told}" for one in entry.by_hand], width),
        _section("Also to be looked at", entry.outcome.remarks, width),
        _section("Looking ahead", ahead, width),
        _section("Photographs", [f"{one.name}: {one.file}, SHA-256 {one.sha256}" for one in entry.photographs], width),
        _section("Note", entry.note.splitlines(), width),
        filled(f"Worst verdict: {entry.word}.", width),
        f"hash {entry.hash}\naircraft file {entry.aircraft_file}",
        filled(cautions.AN_AID, width),
    ]
    return "\n\n".join(part for part in parts if part) + "\n"


def _untrue_text(entry: SavedEntry, why: str, width: int) -> str:
    """An entry that is not what was saved: why, and nothing of what stands there now."""
    told = (
        "What is there now is not shown: neither readings nor figures, and there is no verdict. Put back the "
        "record from a backup, or do the check again and save it."
    )
    parts = [
        _titled(f"Entry {entry.number}: NOT AS IT WAS SAVED", width),
        filled(f"{why[:1].upper()}{why[1:]}.", width),
        filled(told, width),
        f"hash {entry.hash}",
    ]
    return "\n\n".join(parts) + "\n"


def _readings(entry: SavedEntry) -> list[str]:
    return [
        f"{one.path}: {one.typed}" + (f" (understood: {one.understood})" if one.understood != one.typed else "")
        for one in entry.understood
        if one.typed
    ]


def _instruments(entry: SavedEntry) -> list[str]:
    found = []
    for one in entry.instruments:
        serial = f", number {one.serial}" if one.serial else ""
        shared = f", shared ± {one.shared}" if one.shared else ""
        dates = (f", calibrated {one.calibrated}" if one.calibrated else ", no calibration date given") + (
            f", due {one.due}" if one.due else ""
        )
        found.append(f"{one.title}{serial}: {one.measures}, ± {one.uncertainty}{shared} ({one.stated_as}){dates}")
    return found


def _figures(entry: SavedEntry) -> list[str]:
    found = []
    for one in entry.findings:
        title, figure, limit, word = one.row()
        judged = "for information" if one.aside else f"{word}; limit {limit}"
        found.append(f"{title}: {figure}: {judged}" + (f". {one.verdict.settle}" if one.verdict.settle else ""))
    return found


def recheck_text(found: Recheck, width: int = 80) -> str:
    """What a recheck found: entry by entry what moved, was and is, and the cause."""
    width = within(width)
    lines = [filled(found.sentence, width)]
    before = 0
    for row in found.rows:
        if row.entry.number != before:
            before = row.entry.number
            title = "NOT AS IT WAS SAVED" if row.entry.fault else row.entry.title
            lines.append("\n" + filled(f"Entry {before}, {title} ({row.entry.check})", width))
        moved = f"{row.figure}: {_moved(row.what, row.was, row.now)}. " if row.what else ""
        lines.append(item(f"{moved}{row.word}: {row.cause}", width))
    for again in found.reworks:
        lines += [item(f"entry {again.entry.number}: {note}", width, "  note: ") for note in again.notes]
    lines += [item(said, width, "  note: ") for said in found.besides]
    return "\n".join(lines) + "\n"


def _moved(what: str, was: str, now: str) -> str:
    """What became of a figure, in words; one that is new, or gone, was or is nothing."""
    if not was:
        return f"{what}: {now}"
    return f"{what} was {was}" + (f", now {now}" if now else "")


def _section(title: str, lines: list[str], width: int) -> str:
    return "\n".join([title, *(item(line, width) for line in lines)]) if lines else ""


def _titled(title: str, width: int) -> str:
    return f"{filled(title, width)}\n{'=' * min(len(title), width)}"
