"""What a check came to, kept from one command to the next: `rotorkit status` works only what has changed since.

An outcome is found again by everything that it rests on: the sheet with its readings as typed, the parts of the
aircraft that its working looked at (`LookedAt`), our own code and the libraries that worked it, and the day, or which
days are over, where the working asked for it. Which parts were looked at is kept by the rest: where each of them is
what it was, the working would look at the same parts again, and come to the same. An outcome's text is sealed with
all of that, so that one that was damaged, or put under another's name, is worked again. It is in the user's own cache
folder, not in the working folder, which may come from somebody else; it is safe to delete. No entry is believed for
it: what an entry holds is compared with what its readings come to, as ever.
"""

from __future__ import annotations

import json
from collections.abc import Sequence
from contextlib import suppress
from dataclasses import replace
from datetime import date
from typing import TYPE_CHECKING, Any

from rotorkit.aircraft.entries import twin
from rotorkit.aircraft.looked_at import ALL, LookedAt
from rotorkit.edges import clock
from rotorkit.edges.kept import our_code, remember, remembered
from rotorkit.judging.limits import Limit
from rotorkit.record.dumps import finding_dump, finding_restored
from rotorkit.sheets.base import Finding, Outcome, Sheet

if TYPE_CHECKING:
    from rotorkit.aircraft import Aircraft


OUTCOMES, PARTS = "outcomes", "parts"
WHOLE, FIGURES = "whole", "figures"


class Remembered:
    """Outcomes of earlier commands, without their worked steps and pictures."""

    def __init__(self) -> None:
        self._aircraft: list[tuple[Aircraft, dict[str, Any]]] = []

    def find(self, sheet: Sheet, aircraft: Aircraft, figures: bool = False) -> Outcome | None:
        """What the sheet comes to, where it was worked before by the same code from the same; else None.

        figures: whether these are enough, without what to turn (`Sheet.figures`).
        """
        for what in (WHOLE, FIGURES) if figures else (WHOLE,):
            of = _rests_on(sheet, what)
            with suppress(Exception):  # of whatever form it is, it is then worked anew
                parts = json.loads(remembered(PARTS, of) or "")
                saved = json.loads(remembered(OUTCOMES, self._key(of, parts, aircraft)) or "")
                if _holds_today(saved):
                    return _restored(saved, aircraft.aircraft.display)
        return None

    def keep(self, sheet: Sheet, looked_at: LookedAt, outcome: Outcome, watch: clock.Watch) -> None:
        """Keep what a sheet has just come to. looked_at: the aircraft as it was given to it; watch: what was asked of
        the clock meanwhile.

        The sheet is found again by its readings as text: one whose readings were made otherwise is not kept.
        """
        if outcome.unjudged or sheet.invented:
            return
        with suppress(Exception):  # what cannot be said in plain values, or not be read again, is worked anew
            if type(sheet).from_readings(sheet.readings()) == sheet:
                of = _rests_on(sheet, FIGURES if outcome.unfinished else WHOLE)
                parts = sorted(map(list, looked_at.parts))
                remember(
                    OUTCOMES, self._key(of, parts, looked_at.whole), json.dumps({**_dump(outcome), **_days(watch)})
                )
                remember(PARTS, of, json.dumps(parts))

    def _key(self, of: str, parts: Sequence[Sequence[str]], aircraft: Aircraft) -> str:
        """All that an outcome rests on. parts: of the aircraft, as `LookedAt.parts`."""
        given = self._plain(aircraft)
        return json.dumps([of, [[part, name, _there(given[part], name)] for part, name in parts]])

    def _plain(self, aircraft: Aircraft) -> dict[str, Any]:
        """Every figure, limit and instrument of the aircraft, as typed."""
        for known, plain in self._aircraft:
            if known is aircraft or known == aircraft:
                return plain
        given: dict[str, Any] = json.loads(aircraft.model_dump_json())
        self._aircraft.append((twin(aircraft), given))  # a copy: somebody may go on with theirs
        return given


def _there(part: Any, name: str) -> Any:
    """A part of the aircraft, or the table of a name in it; of one that is not there, nothing."""
    return part if name == ALL else [part[name]] if name in part else []


def _rests_on(sheet: Sheet, what: str) -> str:
    """All that a working rests on but for the aircraft and the day."""
    kind = type(sheet)
    return json.dumps([our_code(), kind.name, kind.version, sheet.readings(), what], default=str, sort_keys=True)


def _days(watch: clock.Watch) -> dict[str, Any]:
    """The day, where the working asked for it; else which days were over and which not, as of calibrations due."""
    return {
        "day": clock.today().isoformat() if watch.asked else "",
        "past": {day.isoformat(): over for day, over in watch.past.items()},
    }


def _holds_today(saved: dict[str, Any]) -> bool:
    return saved["day"] in ("", clock.today().isoformat()) and all(
        clock.past(date.fromisoformat(day)) == over for day, over in saved["past"].items()
    )


def _dump(outcome: Outcome) -> dict[str, Any]:
    return {
        "title": outcome.title,
        "findings": [{**finding_dump(one), "unit": _unit(one.verdict.limit)} for one in outcome.findings],
        "remarks": list(outcome.remarks),
        "lead": list(outcome.lead),
        "missing": list(outcome.missing),
        "told_to_do": outcome.told_to_do,
        "it_covers": list(outcome.it_covers),
        "unfinished": list(outcome.unfinished),
    }


def _restored(saved: dict[str, Any], system: str) -> Outcome:
    return Outcome(
        title=saved["title"],
        findings=[_finding(one, system) for one in saved["findings"]],
        steps=[],
        remarks=saved["remarks"],
        lead=saved["lead"],
        missing=saved["missing"],
        told_to_do=saved["told_to_do"],
        it_covers=tuple(saved["it_covers"]),
        unfinished=tuple(saved["unfinished"]),
    )


def _unit(limit: Limit | None) -> str | None:
    """The unit that a limit was written in."""
    return None if limit is None or limit.open else limit.own_unit


def _finding(saved: dict[str, Any], system: str) -> Finding:
    found = finding_restored(saved)
    verdict = found.verdict
    if verdict.limit is not None and not verdict.limit.open:
        verdict = replace(verdict, limit=replace(verdict.limit, unit=saved["unit"]))
    return replace(found, system=system, verdict=verdict)
