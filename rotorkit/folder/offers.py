"""What one check of the folder already has that another asks for."""

from __future__ import annotations

from collections.abc import Iterable

from rotorkit.folder.checks import Check, Folder
from rotorkit.judging.measured import mean_of
from rotorkit.sheets.base import SheetError
from rotorkit.sheets.performance.pedal_stops import RiggedStops, pedal_against_torque

__all__ = ["rigged_stops"]


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
