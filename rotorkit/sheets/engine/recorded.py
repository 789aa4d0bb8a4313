"""What the sheets of the engine on the ground share that a recorded run may be read into: its fields, what is said."""

from __future__ import annotations

from typing import Any

from rotorkit.aircraft.entries import asked
from rotorkit.sheets.working import Working

HOW = '"12:00 to 13:30" from the first row, or by the file\'s clock "14:05:30 to 14:07:00".'


def recording_field() -> Any:
    """The file of the working folder."""
    return asked(
        "Recording", 'Only of a monitor\'s run: its file in the working folder. "Recorded run", above, reads it.', ""
    )


def stretch_field(title: str, what: str) -> Any:
    """From when until when in the recording."""
    return asked(title, f"{what} {HOW}", "")


def fingerprint_field() -> Any:
    """By which the very file is known."""
    return asked("Fingerprint of the file", "SHA-256, written when it is read.", "")


def was_wrong_field() -> Any:
    """What was read, and what could not be."""
    return asked("What was read, and what was wrong", "Written when it is read.", "")


def say_recorded(to: Working, sheet: Any) -> None:
    """Which file the readings are of and what was wrong with it; and that one is named and was not read."""
    if sheet.fingerprint.strip():
        to.notes.append(f"Read from {sheet.recording.strip()}, SHA-256 {sheet.fingerprint.strip()[:16]}…")
        if sheet.was_wrong.strip():
            to.notes.append(sheet.was_wrong.strip())
    elif sheet.recording.strip():
        to.asked.append(f"{sheet.recording.strip()} is named but was not read: are these readings from it?")
