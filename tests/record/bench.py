"""A bench for the record's tests: a working folder with the demo's files, its checks worked, a clock that is set by
hand."""

from __future__ import annotations

import shutil
import tempfile
from collections.abc import Callable
from datetime import UTC, date, datetime, timedelta, timezone
from functools import cache
from pathlib import Path

import tomlkit

from rotorkit.aircraft import demo_folder
from rotorkit.record import Record, SavedEntry
from rotorkit.sheets import Folder

__all__ = ["TODAY", "Bench", "Clock", "plain_work"]

TODAY = date(2026, 6, 1)
"""A day on which every calibration of the demo holds."""
CHECKS = ["tail_rotor_angles", "main_rotor_angles", "pedal_left_tension", "pedal_right_tension", "hover_today"]
"""The checks of the demo that these tests stand on, whatever else the demo comes to hold."""


@cache
def _readings_of(checks: tuple[str, ...]) -> str:
    """The demo's readings file with these checks alone; taking it to pieces takes longer than most of the tests."""
    readings = tomlkit.parse((demo_folder() / "readings.toml").read_text(encoding="utf-8"))
    for name in [key for key in readings if key not in checks]:
        del readings[name]
    return tomlkit.dumps(readings)


class Clock:
    """A clock at Demo Field, two hours ahead of UTC, that moves a minute at each look."""

    def __init__(self) -> None:
        self.now = datetime(2026, 6, 1, 8, 0, tzinfo=UTC)

    def __call__(self) -> datetime:
        self.now += timedelta(minutes=1)
        return self.now.astimezone(timezone(timedelta(hours=2)))


class Bench:
    """A working folder and its record, with short ways to save and to change the aircraft file."""

    def __init__(self, path: Path) -> None:
        self.path = path
        shutil.copyfile(demo_folder() / "aircraft.toml", path / "aircraft.toml")
        self.read(*CHECKS)
        self.clock = Clock()
        self.record = Record(path, clock=self.clock)

    def read(self, *checks: str) -> None:
        """Have the readings of these checks of the demo, and of no others, in the readings file."""
        (self.path / "readings.toml").write_text(_readings_of(checks), encoding="utf-8")

    @property
    def folder(self) -> Folder:
        """Read afresh, as a program that has just started reads it."""
        return Folder(self.path)

    def save(
        self, check: str = "pedal_left_tension", changed: dict[str, str] | None = None, **kwargs: object
    ) -> SavedEntry:
        """Save a check of the readings file, with readings changed."""
        folder = self.folder
        found = folder.check(check)
        sheet = type(found.made()).from_readings({**found.readings, **(changed or {})})
        given = {"who": "A. Builder", "title": found.title, **kwargs}
        text = self.record.aircraft_text()
        return self.record.save(check, sheet, sheet.work(folder.aircraft), text, **given)  # type: ignore[arg-type]

    def save_all(self) -> list[SavedEntry]:
        """Each check of the readings file."""
        return [self.save(check.name) for check in self.folder.checks]

    def prepared(self, prepare: Callable[[Bench], object]) -> Bench:
        """This bench, at which nothing was done yet, as `prepare` leaves one: done once, and copied from then on."""
        if prepare not in _PREPARED:
            _PREPARED[prepare] = Bench(Path(tempfile.mkdtemp(dir=_PLACE.name)))
            prepare(_PREPARED[prepare])
        first = _PREPARED[prepare]
        shutil.copytree(first.path, self.path, dirs_exist_ok=True)
        self.clock.now = first.clock.now
        return self

    def change(self, old: str, new: str, name: str = "aircraft.toml") -> None:
        """Change a text of the aircraft file."""
        file = self.path / name
        text = file.read_text(encoding="utf-8")
        assert old in text, old
        file.write_text(text.replace(old, new), encoding="utf-8")


_PLACE = tempfile.TemporaryDirectory(prefix="rotorkit-prepared-")
_PREPARED: dict[Callable[[Bench], object], Bench] = {}


def plain_work(**more: object) -> dict[str, object]:
    """What the smallest entry keeps that is one: of a sheet that came to nothing. more: further parts beside."""
    return {
        "title": "A small check",
        "sheet": {"name": "cable_tension", "version": 1, "title": "Cable tension"},
        "aircraft": {"name": "Demo", "serial": "", "registration": ""},
        "readings": {},
        "understood": [],
        "instruments": [],
        "outcome": {"findings": [], "word": "no limit given", "steps": [], "pictures": [], "remarks": []},
        "who": "A. Builder",
        "note": "",
        "why": "",
        "display": "us",
        "rotorkit": "0.1.0",
        **more,
    }
