"""The milestones of an aircraft with the jobs that each needs: its file's own, or the usual ones, as the sheets say."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rotorkit.aircraft.milestones import USUAL_MILESTONES, Milestone, Need
from rotorkit.sheets.base import Sheet
from rotorkit.sheets.catalogue import sheets_in_order

if TYPE_CHECKING:
    from rotorkit.aircraft import Aircraft


def programme(aircraft: Aircraft) -> list[Milestone]:
    """The milestones in order: those of the aircraft file, or the usual ones where it gives none."""
    return aircraft.milestones or usual_milestones(aircraft)


def usual_milestones(aircraft: Aircraft) -> list[Milestone]:
    """The usual milestones, by common practice (no source), each with the jobs of the sheets that belong to it.

    They hold the jobs that the sheets cover. A manual's list, and the inspector's, is longer.
    """
    found = []
    for title in USUAL_MILESTONES:
        needs = [need for sheet in sheets_in_order() for need in _needs(sheet, title, aircraft)]
        if needs:
            found.append(Milestone(title=title, needs=needs))
    return found


def _needs(sheet: type[Sheet], title: str, aircraft: Aircraft) -> list[Need]:
    found = []
    for needed in sheet.needed:
        if needed.before == title and not (needed.where_limited and sheet.name not in aircraft.limits):
            of = list(aircraft.choices(needed.each)) if needed.each else [needed.of]
            found += [Need(sheet=sheet.name, of=one, why=needed.why) for one in of]
    return found
