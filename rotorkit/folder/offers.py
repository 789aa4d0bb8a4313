"""What one check of the folder already has that another asks for."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from rotorkit.aircraft.entries import Entry
from rotorkit.folder.checks import Check, Folder
from rotorkit.folder.standing import RECORD, Standing
from rotorkit.judging.measured import mean_of
from rotorkit.quantities import QuantityError, say
from rotorkit.quantities.taken_from import TakenFrom
from rotorkit.sheets.base import Finding, Sheet, SheetError
from rotorkit.sheets.performance.pedal_stops import RiggedStops, pedal_against_torque

__all__ = ["Offer", "figures_offered", "rigged_stops", "text_of_figure"]


@dataclass(frozen=True)
class Offer:
    """A figure of another check that may stand in a field.

    path: the field. title: what the figure is called where it comes from. text: what to put into the field, with unit,
    ± and, in brackets, where it was taken from. figure: the same without the brackets. check, of: the check's name and
    title. entry: the record's number, None where it is not saved. when: of the entry, in words.
    """

    path: str
    title: str
    text: str
    figure: str
    check: str
    of: str
    entry: int | None
    when: str = ""

    @property
    def sentence(self) -> str:
        """For the one who is offered it: figure and source."""
        where = f"entry {self.entry} of {self.when}" if self.entry is not None else "a check that is not saved"
        return f"{self.title} by {where}, {self.of}: {self.figure}"


def text_of_figure(figure: Any, entry: Entry, system: str) -> str:
    """A figure with its ± as a field of this entry takes it. Raises `QuantityError` where the field cannot."""
    text = say(figure, entry.shown_unit(system) or None, system)
    read = entry.read(text)
    if abs(float(read.si) - float(figure.si)) > 0.5 * abs(float(figure.expanded_si)) + 1e-4 * abs(float(figure.si)):
        raise QuantityError(f"{text} is not read back as the figure that it is")
    return text


def figures_offered(
    folder: Folder, sheet: type[Sheet], standings: Mapping[str, Standing], system: str = ""
) -> list[Offer]:
    """What the folder's other checks already have of what a sheet's fields ask for (`Entry.given_by`): saved ones
    first, the newest before all.

    Arguments: folder; sheet, that asks; standings, what stands for each check (`rotorkit.record.stands.standings`);
    system, of the units (default: the aircraft file's). A check that cannot be worked, or of which a part is
    missing, offers nothing.
    """
    asks = [(one.name, one.entry) for one in sheet.fields() if one.entry is not None and one.entry.given_by]
    wanted = {of.partition(".")[0] for _, entry in asks for of in entry.given_by}
    found: list[Offer] = []
    for standing in standings.values():
        if standing.sheet not in wanted:
            continue
        figures, saved = _figures(folder, standing)
        for path, entry in asks:
            for of in entry.given_by:
                name, _, key = of.partition(".")
                if name != standing.sheet or key not in figures:
                    continue
                source = TakenFrom(saved.number if saved is not None else None, standing.check, key)
                try:
                    text = text_of_figure(figures[key].measured, entry, system or folder.aircraft.aircraft.display)
                except QuantityError:
                    continue
                when = "" if saved is None else f"{saved.local.day} {saved.local:%B %Y}"
                title, number = figures[key].title, source.entry
                whole = f"{text} {source.written}"
                found.append(Offer(path, title, whole, text, standing.check, standing.title, number, when))
    return sorted(found, key=lambda one: -(one.entry or 0))


def _figures(folder: Folder, standing: Standing) -> tuple[dict[str, Finding], Any]:
    """What a check came to, by key, and the entry that says so: of a saved one as it was saved."""
    saved: Any = standing.saved if standing.source == RECORD else None
    try:
        outcome = saved.outcome if saved is not None else standing.as_check.outcome(folder.aircraft)
    except (SheetError, QuantityError):
        return {}, None
    if outcome.missing:
        return {}, None
    return {one.key: one for one in outcome.findings}, saved


def rigged_stops(folder: Folder, checks: Iterable[Check] | None = None) -> RiggedStops | None:
    """The stops that the folder's first blade-angle check of the tail rotor comes to; None where there is none, or it
    cannot be worked, or a stop is not in it. checks: with the readings that stand for them (default: as the readings
    file has them)."""
    for check in folder.checks if checks is None else checks:
        if check.sheet != "blade_angles" or check.readings.get("rotor") != "tail rotor" or check.blank:
            continue
        try:
            outcome = check.outcome(folder.aircraft)
        except SheetError:
            continue
        stops = {
            stop: [found.measured for found in outcome.findings if found.key.startswith(f"{stop}.")]
            for stop in ("low_stop", "high_stop")
        }
        if all(stops.values()):
            plate = folder.aircraft.main_rotor.swashplate
            against = pedal_against_torque(plate.rotor_turns) if plate is not None else None
            return RiggedStops(check.title, mean_of(stops["low_stop"]), mean_of(stops["high_stop"]), against)
    return None
