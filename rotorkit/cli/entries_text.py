"""The list of a record's entries as plain text: their own words, for which no sheet, figure or unit is loaded."""

from __future__ import annotations

from rotorkit.cli.lines import item, within
from rotorkit.record.store import Record
from rotorkit.record.verify import Verification, verify


def entries_text(
    record: Record, check: str | None = None, width: int = 80, verification: Verification | None = None
) -> str:
    """Every entry, or those of one check, in the order they were saved; of one that is not what was saved only that it
    is not. verification: what `verify` has just found. Raises `RecordError`."""
    width, replaced = within(width), record.replaced()
    found = verification or verify(record)
    lines = []
    for entry in record.entries(check):
        if untrue := found.untrue_of(entry.number):
            lines.append(
                item(f"{entry.check}: NOT AS IT WAS SAVED, no verdict: {untrue}", width, f"{entry.number:>5}  ")
            )
            continue
        lines.append(item(f"{entry.title} ({entry.check}): {entry.word}", width, f"{entry.number:>5}  "))
        more = [f"saved {entry.local:%Y-%m-%d %H:%M %z} by {entry.who}"]
        if entry.replaces is not None:
            more.append(f"corrects entry {entry.replaces}: {entry.why}")
        if said := found.said_of(entry.number):
            more.append(said)
        if entry.number in replaced:
            more.append(f"replaced by entry {replaced[entry.number]}")
        if entry.photographs:
            more.append(f"photographs: {', '.join(one.name for one in entry.photographs)}")
        if entry.note:
            more.append(f"note: {_one_line(entry.note)}")
        more += entry.first
        lines += [item(one, width, "       ") for one in more]
    return "\n".join(lines)


def _one_line(text: str) -> str:
    return " / ".join(line.strip() for line in text.splitlines() if line.strip())
