"""An entry of the record: what was done, with what, what came out, and what that rested on.

What lists entries reads their own words alone, so nothing is loaded here that figures need.
"""

from __future__ import annotations

import functools
import json
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import UTC, datetime
from typing import TYPE_CHECKING, Any, Protocol, TypeVar

from rotorkit.edges.visible import in_a_line
from rotorkit.record.attached import Attached, attached_to
from rotorkit.record.chain import Sealed, hash_of
from rotorkit.record.errors import RESTORE, UNTOUCHED, RecordError
from rotorkit.record.looked_at import fault_in
from rotorkit.sheets.parts_words import missing_words

if TYPE_CHECKING:
    from rotorkit.record.by_hand import WorkedByHand
    from rotorkit.sheets.base import Finding, Outcome


LOST_WORK = '{"lost":true}'
"""What stands in the place of an entry that was damaged and so left out of the export that a record came from."""
LOST = "is lost: it was damaged, and was left out of the export from which this record was imported"


@dataclass(frozen=True)
class Understood:
    """A reading: the field's path and title, the text as typed, and what was understood."""

    path: str
    title: str
    typed: str
    understood: str


@dataclass(frozen=True)
class InstrumentUsed:
    """An instrument as it stood: its key in the aircraft file and the fields it was named in; texts as in that file."""

    key: str
    fields: tuple[str, ...]
    title: str
    serial: str
    measures: str
    uncertainty: str
    shared: str | None
    stated_as: str
    calibrated: str | None
    due: str | None


@dataclass(frozen=True)
class SavedEntry:
    """One saved check. What it holds never changes; a correction is another entry that names this one."""

    sealed: Sealed
    hash: str
    followed: str | None = field(default=None, compare=False, repr=False)
    """The hash that the next entry, or the end of the record, says this one bears; None where nothing says."""

    @property
    def number(self) -> int:
        return self.sealed.number

    @property
    def check(self) -> str:
        """Which job of the aircraft: the check's name."""
        return self.sealed.check

    @property
    def replaces(self) -> int | None:
        """The number of the entry that this one corrects."""
        return self.sealed.replaces

    @property
    def aircraft_file(self) -> str:
        """SHA-256 of the aircraft file as it stood; its text is kept in the record."""
        return self.sealed.aircraft_file

    @property
    def saved(self) -> datetime:
        """When, in UTC."""
        return _moment(self.sealed.saved)

    @property
    def local(self) -> datetime:
        """When, on the clock of the place, with its offset."""
        return _moment(self.sealed.local)

    @functools.cached_property
    def whole(self) -> bool:
        """Whether the entry is as it was saved: its text gives its hash."""
        try:
            return hash_of(self.sealed) == self.hash
        except (UnicodeEncodeError, TypeError):  # what stands there is no text any more
            return False

    @functools.cached_property
    def fault(self) -> str:
        """What is wrong with the entry, in words; empty where nothing is. Nothing of an entry with a fault is shown as
        if it stood: neither its verdict nor its figures."""
        if self.lost:
            return LOST
        if not self.whole:
            return "was altered after it was saved"
        if self.followed is not None and self.followed != self.hash:
            return "is not the entry that was here: the one after it follows from a different entry"
        return self._misshapen

    @property
    def lost(self) -> bool:
        """Whether this only keeps the place of an entry that was damaged, and so left out of an export."""
        return self.sealed.work == LOST_WORK

    @functools.cached_property
    def _misshapen(self) -> str:
        found = fault_in(self.sealed, gives=self.hash if self.whole else "")
        return f"is not what rotorkit saves ({found})" if found else ""

    @functools.cached_property
    def work(self) -> dict[str, Any]:
        """All that was kept, as plain values. Raises `RecordError` where it cannot be read as an entry."""
        if self.lost or self._misshapen:
            why = "it was altered after it was saved" if not self.whole else f"it {self._misshapen}"
            raise RecordError(f"Entry {self.number} cannot be read: {why}. {UNTOUCHED} {RESTORE}")
        found: dict[str, Any] = json.loads(self.sealed.work)
        return found

    @property
    def title(self) -> str:
        return str(self.work["title"])

    @property
    def sheet(self) -> str:
        """The sheet's name."""
        return str(self.work["sheet"]["name"])

    @property
    def sheet_version(self) -> int:
        return int(self.work["sheet"]["version"])

    @property
    def readings(self) -> dict[str, Any]:
        """The readings as typed, by field: what a form is filled with again."""
        found: dict[str, Any] = self.work["readings"]
        return found

    @property
    def understood(self) -> list[Understood]:
        """Each reading as typed and as understood, in the sheet's order."""
        return [Understood(r["path"], r["title"], r["typed"], r["understood"]) for r in self.work["understood"]]

    @property
    def instruments(self) -> list[InstrumentUsed]:
        return [InstrumentUsed(**{**one, "fields": tuple(one["fields"])}) for one in self.work["instruments"]]

    @functools.cached_property
    def outcome(self) -> Outcome:
        """Findings, worked steps, pictures and remarks as they stood."""
        from rotorkit.record.dumps import outcome_restored

        return outcome_restored(self.title, self.work["outcome"])

    @property
    def first(self) -> list[str]:
        """The sentences to be read before any figure, as `Outcome.first`, without making the figures again."""
        kept = self.work["outcome"]
        missing = [str(one) for one in kept.get("missing", ())]
        return [*map(str, kept.get("lead", ())), *([missing_words(missing)] if missing else [])]

    @property
    def findings(self) -> list[Finding]:
        return self.outcome.findings

    @property
    def word(self) -> str:
        """The worst verdict."""
        return str(self.work["outcome"]["word"])

    @property
    def who(self) -> str:
        return str(self.work["who"])

    @property
    def note(self) -> str:
        return str(self.work["note"])

    @property
    def why(self) -> str:
        """Why it replaces another."""
        return str(self.work["why"])

    @property
    def photographs(self) -> list[Attached]:
        """The photographs that are attached, each with its hash; the files lie beside the record."""
        return attached_to(self.work)

    @property
    def by_hand(self) -> list[WorkedByHand]:
        """The figures that were worked by hand, as typed, and whether they agreed."""
        from rotorkit.record.by_hand import by_hand_of

        return by_hand_of(self.work)

    @property
    def rotorkit(self) -> str:
        """The version of the program."""
        return str(self.work["rotorkit"])

    @property
    def aircraft(self) -> dict[str, str]:
        """Name, serial number and registration of the aircraft as they stood."""
        return {key: str(text) for key, text in self.work["aircraft"].items()}

    def __repr__(self) -> str:
        said = f"<entry {self.number}, {self.check}, {self.sealed.local[:16]}: {self.fault or self.word}>"
        return in_a_line(said)


def _moment(text: str) -> datetime:
    """A moment as it was sealed; for one that cannot be read the first of all, which no entry bears."""
    try:
        found = datetime.fromisoformat(text)
    except (TypeError, ValueError):
        return datetime(1, 1, 2, tzinfo=UTC)
    return found if found.utcoffset() is not None and 1900 < found.year < 9000 else datetime(1, 1, 2, tzinfo=UTC)


class Numbered(Protocol):
    """An entry, or what a list says of one."""

    @property
    def number(self) -> int: ...
    @property
    def replaces(self) -> int | None: ...
    @property
    def fault(self) -> str: ...


AnyEntry = TypeVar("AnyEntry", bound=Numbered)


def first_form(entry: AnyEntry, every: Mapping[int, AnyEntry]) -> AnyEntry:
    """The entry that a correction goes back to: a correction stands for the day of the work that it corrects.

    every: the entries of the same check by number. An entry with a fault leads no further back, and corrects nothing.
    """
    first = entry
    while first.replaces is not None and not first.fault and first.replaces < first.number:
        before = every.get(first.replaces)
        if before is None:
            break
        first = before
    return first


def corrected(every: Iterable[Numbered]) -> dict[int, int]:
    """Number of each corrected entry, and of the one that replaces it. An entry with a fault replaces none."""
    return {one.replaces: one.number for one in every if one.replaces is not None and not one.fault}
