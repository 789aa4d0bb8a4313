"""What sheets came to, kept for as long as somebody shows the same checks: so that nothing is worked twice.

Verdict table and status board work largely the same readings, and a page that keeps itself current works all of them
again when one was saved. Who shows them makes one `Workings` and hands it to all of it. What stands in it is found by
everything that a working rests on: the sheet, its readings as typed, the whole aircraft, and the day. It lives in the
memory of the program that worked it; the command also finds there what an earlier one worked (`Earlier`).
"""

from __future__ import annotations

import json
from collections import OrderedDict
from typing import TYPE_CHECKING, Any, Protocol

from rotorkit.aircraft.entries import twin
from rotorkit.aircraft.looked_at import LookedAt
from rotorkit.edges import clock
from rotorkit.sheets.base import Outcome, Sheet

if TYPE_CHECKING:
    from rotorkit.aircraft import Aircraft


MOST = 200
"""So many outcomes are kept; of more the one that was asked for longest ago goes first."""
MOST_AIRCRAFT = 4
"""An aircraft file that was changed so many times since is not come back to."""


class Earlier(Protocol):
    """What earlier programs worked, and where what is worked now is kept for later ones."""

    def find(self, sheet: Sheet, aircraft: Aircraft, figures: bool) -> Outcome | None:
        """What the sheet comes to, without steps and pictures; None where it is not known. figures: whether these are
        enough (`Sheet.figures`)."""

    def keep(self, sheet: Sheet, looked_at: LookedAt, outcome: Outcome, watch: clock.Watch) -> None:
        """Keep what the sheet has just come to. looked_at: the aircraft, with what was looked at of it; watch: what was
        asked of the clock."""


class Workings:
    """Outcomes by what they rest on.

    >>> from rotorkit.folder import Folder
    >>> from rotorkit.aircraft import demo_folder
    >>> folder, kept = Folder(demo_folder()), Workings()
    >>> sheet = folder.checks[0].made()
    >>> kept.outcome(sheet, folder.aircraft) is kept.outcome(sheet, folder.aircraft)
    True
    """

    def __init__(self, most: int = MOST, earlier: Earlier | None = None, figures: bool = False) -> None:
        """most: so many are kept. earlier: where earlier programs kept theirs. figures: whether nobody shows more than
        these (`Sheet.figures`)."""
        self._most = most
        self._earlier = earlier
        self._figures = figures
        self._aircraft: dict[int, Aircraft] = {}
        self._count = 0
        self._found: OrderedDict[Any, Outcome] = OrderedDict()

    def outcome(self, sheet: Sheet, aircraft: Aircraft) -> Outcome:
        """What the sheet comes to, as `Sheet.work`, worked now or earlier (then without steps and pictures where it was
        an earlier program). What it raises is not kept."""
        readings = json.dumps(sheet.readings(), default=str, sort_keys=True)
        key = (type(sheet), readings, self._which(aircraft), clock.today())
        if key in self._found:
            self._found.move_to_end(key)
            return self._found[key]
        found = self._found[key] = self._worked(sheet, aircraft)
        if len(self._found) > self._most:
            self._found.popitem(last=False)
        return found

    def _worked(self, sheet: Sheet, aircraft: Aircraft) -> Outcome:
        known = self._earlier.find(sheet, aircraft, self._figures) if self._earlier is not None else None
        if known is not None:
            return known
        work = sheet.figures if self._figures else sheet.work
        if self._earlier is None:
            return work(aircraft)
        looked_at = LookedAt(aircraft)
        with clock.watched() as watch:
            outcome = work(looked_at.given)
        self._earlier.keep(sheet, looked_at, outcome, watch)
        return outcome

    def _which(self, aircraft: Aircraft) -> int:
        """A number for the aircraft: the same for one of which every figure, limit and instrument is the same."""
        for number, known in self._aircraft.items():
            if known is aircraft or known == aircraft:
                return number
        self._count += 1
        self._aircraft[self._count] = twin(aircraft)  # a copy: somebody may go on with theirs
        while len(self._aircraft) > MOST_AIRCRAFT:
            self._aircraft.pop(next(iter(self._aircraft)))
        return self._count
