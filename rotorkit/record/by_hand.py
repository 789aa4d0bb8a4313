"""Figures that the builder worked by hand, as an entry keeps them: what was typed, whether it agreed, and when.

A hand figure is judged when the check is saved, against the very figure that is saved beside it
(`rotorkit.judging.agreement`); what was judged is never judged again. A correction, and an entry that adds photographs,
keep the hand figures of the entry before wherever the figure and its ± are the same as they were.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass
from datetime import date
from typing import Any

from rotorkit.edges.visible import in_a_line
from rotorkit.judging.agreement import AGREEING, compare_by_hand
from rotorkit.quantities import QuantityError, display_system
from rotorkit.record.errors import NOTHING_SAVED, RecordError
from rotorkit.sheets.base import Finding, Outcome

LONGEST = 200
"""So many letters a hand figure may have."""
SAME = 1e-9
"""Figures that differ by no more than this share are the same: a correction that changed nothing of them."""


@dataclass(frozen=True)
class WorkedByHand:
    """One hand figure. key, title: of the finding that it is of; typed: as it was typed; understood: as it was read;
    word: whether it agrees, in the words of `rotorkit.judging.agreement`; sentence: why; day: when it was judged, as
    2026-11-30."""

    key: str
    title: str
    typed: str
    understood: str
    word: str
    sentence: str
    day: str

    @property
    def good(self) -> bool:
        """Whether it was judged to agree."""
        return self.word in AGREEING

    @property
    def told(self) -> str:
        """Whether it agrees, and when that was judged."""
        return f"{self.word} ({self.sentence}; judged {self.day})"

    def plain(self) -> dict[str, Any]:
        """As an entry keeps it."""
        return asdict(self)


def by_hand_of(work: Mapping[str, Any]) -> list[WorkedByHand]:
    """The hand figures that an entry's work holds; none in an entry of before they were kept."""
    return [WorkedByHand(**one) for one in work.get("by_hand", [])]


def bare_unit_of(found: Finding, system: str) -> str:
    """The unit that a hand figure written without one is taken in: the limit's, else that which the figure is shown
    in."""
    return found.unit(system)


def judged(outcome: Outcome, given: Mapping[str, str], day: date) -> list[WorkedByHand]:
    """Hand figures judged against what is saved.

    Arguments: outcome, with the figures; given, by the key of a finding what was typed, an empty text for none; day, of
    the judgement. Raises `RecordError` for a figure that is not there, and for a text that cannot be read.
    """
    found = []
    known = {one.key: one for one in outcome.findings if not one.counted}
    for key, text in given.items():
        typed = in_a_line(str(text)).strip()
        if not typed:
            continue
        if key not in known:
            raise RecordError(
                f"There is no figure {key!r:.60} to be worked by hand: there are {', '.join(known) or 'none'}. "
                f"{NOTHING_SAVED}"
            )
        finding = known[key]
        if len(typed) > LONGEST:
            raise RecordError(f"A hand figure may have {LONGEST} letters at most ({finding.title}). {NOTHING_SAVED}")
        try:
            agreement = compare_by_hand(typed, finding.measured, bare_unit_of(finding, display_system()) or None)
        except QuantityError as problem:
            raise RecordError(
                f"The hand figure of {finding.title} cannot be read: {problem}. Put it right, or empty its field. "
                f"{NOTHING_SAVED}"
            ) from None
        assert agreement.reading is not None
        understood = in_a_line(agreement.reading.understood)
        found.append(
            WorkedByHand(
                key, finding.title, typed, understood, agreement.word, in_a_line(agreement.sentence), day.isoformat()
            )
        )
    return found


def kept_of(before: Mapping[str, Any], outcome: Outcome, but: Sequence[str]) -> list[WorkedByHand]:
    """The hand figures of an entry's work that its correction keeps: those whose figure is what it was, its ± as well,
    for the judgement tells of that ±.

    Arguments: before, the work of the corrected entry; outcome, of the correction; but, keys that are judged again.
    """
    saved = {one["key"]: one["figure"] for one in before["outcome"]["findings"]}
    then = {key: (one["value"], one["standard_uncertainty"]) for key, one in saved.items()}
    now = {one.key: (float(one.measured.si), float(one.measured.standard_si)) for one in outcome.findings}
    return [
        one
        for one in by_hand_of(before)
        if one.key not in but
        and one.key in now
        and all(abs(a - b) <= SAME * max(abs(a), abs(b)) for a, b in zip(now[one.key], then[one.key], strict=True))
    ]
