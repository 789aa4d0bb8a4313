"""What the sheets that tell washers have in common: when fewer will do, and what leads where they do not suffice."""

from __future__ import annotations

from rotorkit.sheets.base import Finding
from rotorkit.sheets.working import Working

ENOUGH = 0.1
"""To this share of the limit washers are good enough: then the fewest that reach it (common practice, no source)."""


def ask_for_what_lacks(to: Working, *names: str) -> None:
    """Told at the fields that stay empty, where only some of washer, place and greatest mass are given."""
    to.together(names, "is needed to say how many washers: washer, its place and the greatest mass")
    to.settle()


def out_still(finding: Finding, left: float) -> str:
    """What leads where washers leave a figure out of its limit by the best estimate: `left`, in SI units of the figure;
    empty where they do not."""
    limit = finding.verdict.limit
    if limit is None or limit.high_si is None or left <= float(limit.high_si):
        return ""
    return (
        f"{finding.title}: no whole washers in the places named bring it in limits. Look for other places that the "
        "manual allows, and ask the maker."
    )
