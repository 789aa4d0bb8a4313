"""Where a figure was taken from: ``1,254.8 ± 4.2 lb [entry 12: gross_weight]``.

A figure that another check gave is written with the place that it came from, in square brackets behind it. So it stays
with the reading wherever that is typed, kept, shown or printed, and can be checked against its source again.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

_WRITTEN = re.compile(
    r"\s*\[(?:entry\s+(?P<entry>\d{1,9})|check\s+(?P<check>[^\[\]:]{1,200}?))\s*:\s*(?P<key>[\w.]{1,200})\]\s*$"
)


@dataclass(frozen=True)
class TakenFrom:
    """The figure of another check. entry: the number of the record's entry, or None where it was not saved, and then
    check is that check's name; key: of the finding that it is."""

    entry: int | None
    check: str
    key: str

    @property
    def words(self) -> str:
        """The source in words: "entry 12"."""
        return f"entry {self.entry}" if self.entry is not None else f"the check {self.check}, not saved"

    @property
    def written(self) -> str:
        """As it stands behind a figure."""
        return f"[entry {self.entry}: {self.key}]" if self.entry is not None else f"[check {self.check}: {self.key}]"


def parted(text: str) -> tuple[str, TakenFrom | None]:
    """A typed figure and what it was taken from, None where it says nothing of that.

    >>> parted("1,254.8 ± 4.2 lb [entry 12: gross_weight]")
    ('1,254.8 ± 4.2 lb', TakenFrom(entry=12, check='', key='gross_weight'))
    """
    found = _WRITTEN.search(text) if text.rstrip().endswith("]") else None
    if found is None:
        return text, None
    entry = found["entry"]
    source = TakenFrom(None if entry is None else int(entry), (found["check"] or "").strip(), found["key"])
    return text[: found.start()], source
