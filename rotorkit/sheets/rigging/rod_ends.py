"""Rod ends on a sheet: the engagement of each thread, and what the witness hole shows."""

from __future__ import annotations

from typing import Any, Literal, get_args

from rotorkit.aircraft.entries import Choice, Entry
from rotorkit.judging.limits import Limit, Verdict
from rotorkit.quantities import Length
from rotorkit.rigging import WITNESS_WIRE, witness_hole_verdict
from rotorkit.sheets.base import NOT_LOOKED_AT

Witness = Literal["not looked at", "threads seen, wire stops", "wire passes", "no threads seen", "it has no hole"]
WITNESS: tuple[str, ...] = get_args(Witness)
_, WIRE_STOPS, WIRE_PASSES, NO_THREADS, NO_HOLE = WITNESS
WITNESS_CHOICE = Choice(options=WITNESS)
WITNESS_HOW = (
    f"Look into the hole for threads, then try a {WITNESS_WIRE} wire: it must not pass the shank of the rod end."
)

ENGAGEMENT = Entry(
    Length, ("in", "mm"), physical=("0 in", "6 in"), credible=("0.1 in", "2 in"), by="caliper", repeats=False
)

HOLDS = Limit("engagement", Length, low="0.05 in", source="physics: not one turn is in", unit="in")
"""A turn of 1/2-20, the coarsest thread of such rod ends: less holds nothing, whatever limit is given."""

_SEEN: dict[str, tuple[Any, Any]] = {
    WIRE_STOPS: (False, True),
    WIRE_PASSES: (True, None),
    NO_THREADS: (None, False),
}


def witness_verdict(seen: str, where: str) -> Verdict | None:
    """The verdict on one rod end's witness hole; None where nobody looked or it has none. where: which end."""
    if seen in (NOT_LOOKED_AT, NO_HOLE):
        return None
    return witness_hole_verdict(*_SEEN[seen], where)
