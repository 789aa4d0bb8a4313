"""Which readings stand for a check: the one rule, for the form, the terminal, the board and the dossier.

A check may have readings in three places: a draft (what stands in a form, not saved), the record (what was saved last),
and the readings file. Of draft and record the newer one stands. The readings file, which nobody dates, stands only
where there is neither. What else there is, and says otherwise, is told and never silently left out.

What has to be proved (the board, a recheck, the dossier) takes the record's alone, and says that there is more.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from functools import cached_property
from typing import Any, Protocol

from rotorkit.folder.checks import Check
from rotorkit.folder.drafts import Draft
from rotorkit.folder.forms import as_typed, same_readings

DRAFT = "draft"
RECORD = "record"
READINGS = "readings file"
NOTHING = "nothing"


class Saved(Protocol):
    """What is asked of the entry that stands for a check in the record."""

    @property
    def number(self) -> int: ...
    @property
    def sheet(self) -> str: ...
    @property
    def title(self) -> str: ...
    @property
    def who(self) -> str: ...
    @property
    def local(self) -> datetime: ...
    @property
    def readings(self) -> Mapping[str, Any]: ...


@dataclass(frozen=True)
class Standing:
    """What stands for a check, and what else there is of it.

    source: `DRAFT`, `RECORD`, `READINGS`, or `NOTHING` where no reading is filled in anywhere. readings: as typed, with
    units. draft: the newest one, also where it is older than what was saved. saved: what stands in the record. in_file:
    the check as the readings file has it, filled in or not. typed_alike: what was typed since and says the same as what
    was saved, in other letters or with rows that hold nothing yet: no unsaved reading, but what stands in the form.
    """

    check: str
    title: str
    sheet: str
    source: str
    readings: Mapping[str, Any]
    draft: Draft | None = None
    saved: Saved | None = None
    in_file: Check | None = None
    typed_alike: Draft | None = None

    @property
    def as_check(self) -> Check:
        """The check with the readings that stand."""
        return Check(self.check, self.title, self.sheet, self.readings)

    @cached_property
    def file_not_standing(self) -> bool:
        """Whether the record holds the check, so that the readings file's do not stand, and they are others."""
        return self.saved is not None and self._file_has_others_than(self.saved.readings)

    @property
    def draft_not_saved(self) -> Draft | None:
        """The draft, where it is newer than what was saved."""
        return self.draft if self.source == DRAFT else None

    @property
    def sentence(self) -> str:
        """Which readings stand, in words, and what else there is that says otherwise."""
        said = self.own_sentence
        if self.source == DRAFT and self.saved is not None:
            said += f" Last saved: {self._entry}."
        return said + self.besides_what(self.source == RECORD, self.draft_not_saved)

    @property
    def own_sentence(self) -> str:
        """Which readings stand, in words."""
        said = {
            DRAFT: f"Your draft of {self.draft.when if self.draft else ''}, not saved",
            RECORD: f"Saved as {self._entry}",
            READINGS: "From the readings file, not saved",
            NOTHING: "No readings yet",
        }[self.source]
        return f"{said}."

    def besides_what(self, saved: bool, draft: Draft | None) -> str:
        """What else there is and says otherwise than what stands in a form (saved, or a draft), as sentences with a
        blank before each; empty where there is nothing."""
        said = ""
        if self.source == RECORD and self.draft is not None and self.draft != draft:
            said += f" An older draft of {self.draft.when} is kept too."
        if (saved or draft is not None) and self.file_not_standing:
            said += " The readings file has other readings, which are not used."
        return said

    @property
    def not_proved(self) -> list[str]:
        """What there is beside the record, for what takes the record alone: sentences without a full stop."""
        said = []
        if (draft := self.draft_not_saved) is not None:
            said.append(f"a draft of {draft.when} is in the form, but is not saved to the record")
        elif self.saved is None and self.source == READINGS:
            said.append("its readings are in the readings file, but not saved to the record")
        return said

    @property
    def others_not_saved(self) -> list[str]:
        """Where other readings than the saved ones are kept: a draft, the readings file; said as the start of a
        sentence."""
        said = [f"A draft of {self.draft.when}"] if self.saved is not None and self.draft is not None else []
        return [*said, *(["The readings file"] if self.file_not_standing else [])]

    @property
    def _entry(self) -> str:
        if self.saved is None:
            return ""
        return f"entry {self.saved.number} of {self.saved.local:%Y-%m-%d %H:%M}, by {self.saved.who}"

    def _file_has_others_than(self, readings: Mapping[str, Any]) -> bool:
        if self.in_file is None or self.in_file.blank:
            return False
        return not _same(self.in_file.sheet, self.in_file.readings, readings)


def _same(sheet: str, one: Mapping[str, Any], other: Mapping[str, Any]) -> bool:
    return same_readings(sheet, as_typed(one), as_typed(other))


def which_stands(
    check: str,
    sheet: str = "",
    *,
    saved: Saved | None = None,
    drafts: Sequence[Draft] = (),
    in_file: Check | None = None,
) -> Standing:
    """Which readings stand for a check.

    Parameters
    ----------
    check
        Its name; "" for a form that is of no check yet.
    sheet
        The sheet that asks; where "", that of what stands. What another sheet left under the name is not taken.
    saved
        The entry that stands for it in the record, if it is there as it was saved.
    drafts
        Its drafts, newest first.
    in_file
        The check as the readings file has it.

    Returns
    -------
    Standing
        What stands, with the rest.
    """
    asked = sheet or (saved.sheet if saved is not None else in_file.sheet if in_file is not None else "")
    if saved is not None and saved.sheet != asked:
        saved = None
    if in_file is not None and in_file.sheet != asked:
        in_file = None
    draft = next((one for one in drafts if one.sheet == (asked or one.sheet)), None)
    title = in_file.title if in_file is not None else saved.title if saved is not None else check.replace("_", " ")
    alike = None
    if draft is not None and saved is not None and _same(asked, draft.readings, saved.readings):
        alike, draft = (draft if draft.at >= saved.local else None), None  # saved
    source, readings = NOTHING, in_file.readings if in_file is not None else {}
    if draft is not None and (saved is None or draft.at >= saved.local):
        source, readings = DRAFT, draft.readings
    elif saved is not None:
        source, readings = RECORD, saved.readings
    elif in_file is not None and not in_file.blank:
        source = READINGS
    asked = asked or (draft.sheet if draft is not None else "")
    return Standing(check, title, asked, source, readings, draft, saved, in_file, alike)
