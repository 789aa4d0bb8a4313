"""What moved between two outcomes of one sheet: figures, uncertainties, limits, verdicts."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from rotorkit.judging.limits import NO_LIMIT, Limit
from rotorkit.quantities import say
from rotorkit.sheets.base import Finding

FIGURE, UNCERTAINTY, LIMIT, LIMIT_SOURCE, VERDICT, GONE, NEW = (
    "figure", "uncertainty", "limit", "limit's source", "verdict", "no longer worked", "new"
)  # fmt: skip

MOVED = 1e-6
"""A figure moved when it differs by more than a millionth of its size or of its uncertainty, whichever is larger: far
below what any instrument here shows, far above what another computer's arithmetic does to the last digits."""


@dataclass(frozen=True)
class Move:
    """One thing that moved: the finding's key and title, what of it, and what it was and is, in words."""

    key: str
    title: str
    what: str
    was: str
    now: str

    @property
    def sentence(self) -> str:
        """The move in one line."""
        if self.what in (GONE, NEW):
            return f"{self.title}: {self.what}"
        return f"{self.title}: {self.what} was {self.was}, now {self.now}"


def moves(before: Sequence[Finding], after: Sequence[Finding]) -> list[Move]:
    """Every figure, uncertainty, limit and verdict that moved, by finding. A limit's source alone is no move, nor is
    what `besides` tells: what a reader saw of the entry is as it was."""
    old, new = {one.key: one for one in before}, {one.key: one for one in after}
    found: list[Move] = []
    for key, was in old.items():
        if key not in new:
            found.append(Move(key, was.title, GONE, was.verdict.word, ""))
            continue
        found += _moved(was, new[key])
    found += [
        Move(key, now.title, NEW, "", now.verdict.word)
        for key, now in new.items()
        if key not in old and now.verdict.word != NO_LIMIT
    ]
    return found


def besides(before: Sequence[Finding], after: Sequence[Finding]) -> list[str]:
    """What is another, though nothing that was saved is: figures that were not told then and have no limit, and
    uncertainties that differ in digits which are not shown. A sentence each."""
    old = {one.key: one for one in before}
    added = [now.title for now in after if now.key not in old and now.verdict.word == NO_LIMIT]
    finer = [now.title for now in after if now.key in old and _uncertainty_moved(old[now.key], now) == (True, False)]
    found = []
    if added:
        found.append(f"also shown today, without a limit: {'; '.join(added)}")
    if finer:
        found.append(f"the uncertainty differs only in digits that are not shown: {'; '.join(finer)}")
    return found


def sources_moved(before: Sequence[Finding], after: Sequence[Finding]) -> list[Move]:
    """Limits that come from another place than they did, whatever their figures."""
    new = {one.key: one for one in after}
    return [
        Move(was.key, was.title, LIMIT_SOURCE, said, now)
        for was in before
        if was.key in new and (said := _source(was)) and (now := _source(new[was.key])) and said != now
    ]


def _said_in(finding: Finding) -> str | None:
    return None if finding.verdict.limit is None else finding.verdict.limit.said_in


def _uncertainty_moved(was: Finding, now: Finding) -> tuple[bool, bool]:
    """Whether the uncertainty moved, and whether that shows in the digits that a reader sees."""
    a, b = was.measured, now.measured
    one, other = float(a.standard_si), float(b.standard_si)
    if a.kind != b.kind or abs(one - other) <= MOVED * max(one, other):
        return False, False
    unit = _said_in(was)
    return True, say(a, unit) != say(b, unit)


def _moved(was: Finding, now: Finding) -> list[Move]:
    found = []
    a, b = was.measured, now.measured
    unit = _said_in(was)
    if a.kind != b.kind:
        return [Move(was.key, was.title, FIGURE, say(a), say(b))]
    scale = max(abs(float(a.si)), abs(float(b.si)), float(a.expanded_si), float(b.expanded_si))
    if abs(float(a.si) - float(b.si)) > MOVED * scale:
        said = say(a, unit), say(b, unit)
        if said[0] == said[1]:
            said = say(a.value, unit, digits=9), say(b.value, unit, digits=9)
        found.append(Move(was.key, was.title, FIGURE, *said))
    elif all(_uncertainty_moved(was, now)):
        found.append(Move(was.key, was.title, UNCERTAINTY, say(a, unit), say(b, unit)))
    first, second = limit_in_force(was), limit_in_force(now)
    if not (_same(first, second, "low_si") and _same(first, second, "high_si")):
        found.append(
            Move(was.key, was.title, LIMIT, first.text if first else "none", second.text if second else "none")
        )
    if was.verdict.word != now.verdict.word:
        found.append(Move(was.key, was.title, VERDICT, was.verdict.word, now.verdict.word))
    return found


def limit_in_force(finding: Finding) -> Limit | None:
    """The limit that a finding was checked against; None where it has no side."""
    limit = finding.verdict.limit
    return None if limit is None or limit.open else limit


def _source(finding: Finding) -> str:
    limit = limit_in_force(finding)
    return limit.source if limit else ""


def _same(one: Limit | None, other: Limit | None, side: str) -> bool:
    a, b = (None if limit is None else getattr(limit, side) for limit in (one, other))
    if a is None or b is None:
        return a is b
    return bool(abs(a - b) <= MOVED * max(abs(a), abs(b)))
