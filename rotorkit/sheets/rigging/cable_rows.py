"""What is wrong with the rows of a cable run's fairleads and pulleys, each fault at its field."""

from __future__ import annotations

from typing import Any

from rotorkit.sheets.working import key_of

__all__ = ["alike_faults", "fairlead_faults", "pulley_faults"]


def fairlead_faults(i: int, row: Any) -> list[tuple[str, str]]:
    given = {name for name in ("before", "after", "offset", "distance") if getattr(row, name) is not None}
    at = f"fairleads.{i}"
    if not given:
        return [(f"{at}.before", "needs two slopes, or a gap and its distance")] if row.place.strip() else []
    if not row.place.strip():
        return [(f"{at}.place", "is missing: which fairlead is it")]
    if given & {"offset", "distance"} and given & {"before", "after"}:
        return [(f"{at}.offset", "must be empty where slopes are given: one way or the other")]
    pair = ("offset", "distance") if given & {"offset", "distance"} else ("before", "after")
    return [(f"{at}.{name}", "is missing: both of the pair are needed") for name in pair if name not in given]


def pulley_faults(i: int, row: Any) -> list[tuple[str, str]]:
    given = {name for name in ("wrap", "pulling", "slack") if getattr(row, name) is not None}
    at = f"pulleys.{i}"
    if not row.place.strip():
        looked = given or row.flange != "not looked at"
        return [(f"{at}.place", "is missing: which pulley is it")] if looked else []
    if not given:
        return []
    return [
        (f"{at}.{name}", "is missing: the loss needs wrap and both tensions")
        for name in ("wrap", "pulling", "slack")
        if name not in given
    ]


def alike_faults(rows: Any, name: str) -> list[tuple[str, str]]:
    """A place that stands twice: its findings would bear one key."""
    seen: set[str] = set()
    found = []
    for i, row in enumerate(rows):
        key = key_of(row.place).casefold()
        if key and key in seen:
            found.append((f"{name}.{i}.place", "stands in a row above already: give each a name of its own"))
        seen.add(key)
    return found
