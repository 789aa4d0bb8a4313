"""The parts of a job that are not done yet, in words: a record says so of an entry without loading any sheet."""

from __future__ import annotations

from collections.abc import Sequence

MOST_PARTS_NAMED = 8


def missing_words(missing: Sequence[str]) -> str:
    """The missing parts of a job in one sentence."""
    named = "; ".join(missing[:MOST_PARTS_NAMED])
    more = len(missing) - MOST_PARTS_NAMED
    return f"Not done yet: {named}{f'; and {more} more' if more > 0 else ''}."
