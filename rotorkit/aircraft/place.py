"""Where an aircraft file stands: its name, the nearest folder that holds one, the invented demo's folder."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from rotorkit.edges.received import is_there

AIRCRAFT_FILE = "aircraft.toml"


@cache
def demo_folder() -> Path:
    """The folder of the invented demo aircraft, with its readings."""
    return Path(__file__).resolve().parent.parent / "demo"


def nearest_folder(start: Path | str = ".") -> Path:
    """The nearest folder, from `start` upwards, that holds an aircraft file; the demo's where there is none."""
    at = Path(start).resolve()
    for place in (at, *at.parents):
        if is_there(place / AIRCRAFT_FILE) and not (place / AIRCRAFT_FILE).is_dir():
            return place
    return demo_folder()
