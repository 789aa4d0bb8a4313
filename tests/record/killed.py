"""Writers that are killed at random moments: what was acknowledged must be there.

`python -m tests.record.killed [KILLS] [SEED]` prints the figures.
"""

from __future__ import annotations

import os
import random
import shutil
import signal
import sys
import tempfile
import time
from dataclasses import dataclass
from pathlib import Path

from rotorkit.record import Record, verify
from tests.record.bench import plain_work

FILE = '[aircraft]\nname = "Demo"\n'
FRESH_EACH = 10
"""Every tenth kill starts with an empty folder, so that the making of a record is cut off too."""
MOST_BEFORE = 3
"""A writer is let to acknowledge up to so many saves, and is killed within the next, or in the one after."""


@dataclass
class Tally:
    """kills: writers killed. acknowledged: saves that returned. lost: of those, missing afterwards. rolled_back: times
    a half-written save was found and put right. kept_unsaid: saves that were kept though the writer died before saying
    so."""

    kills: int = 0
    acknowledged: int = 0
    lost: int = 0
    rolled_back: int = 0
    kept_unsaid: int = 0
    seconds: float = 0.0


def work(writer: int, save: int) -> dict[str, object]:
    """What a save keeps: as long as a real one, and to be known again."""
    return plain_work(writer=writer, save=save, filler="x" * 30_000)


def write_until_killed(folder: Path, writer: int, told: int) -> None:
    """Save without end; after each save say its number, as "saved" on a screen says it."""
    record = Record(folder)
    for save in range(10_000):
        entry = record.add("pedal_left_tension", work(writer, save), f"{FILE}# {writer} {save % 3}\n")
        os.write(told, f"{entry.number} {save} {entry.hash}\n".encode())


def save_time(folder: Path) -> float:
    """How long a save takes here and now, in seconds."""
    folder.mkdir(parents=True)
    times = []
    for save in range(7):
        start = time.monotonic()
        Record(folder).add("pedal_left_tension", work(0, save), FILE)
        times.append(time.monotonic() - start)
    shutil.rmtree(folder)
    return sorted(times)[len(times) // 2]


def run(folder: Path, kills: int, seed: int) -> Tally:
    """Kill writers, one after the other, and count. Raises `AssertionError` where the record is not whole."""
    chosen, tally, start = random.Random(seed), Tally(), time.monotonic()
    longest = 1.5 * save_time(folder)
    known: dict[int, tuple[int, int, str]] = {}
    for writer in range(kills):
        if writer % FRESH_EACH == 0:
            shutil.rmtree(folder, ignore_errors=True)
            folder.mkdir(parents=True)
            known = {}
        ours, theirs = os.pipe()
        child = os.fork()
        if child == 0:
            try:
                os.close(ours)
                write_until_killed(folder, writer, theirs)
            finally:
                os._exit(1)
        os.close(theirs)
        with os.fdopen(ours, "rb") as told:
            lines = [told.readline() for _ in range(chosen.randint(0, MOST_BEFORE))]
            time.sleep(chosen.uniform(0, longest))
            os.kill(child, signal.SIGKILL)
            _, status = os.waitpid(child, 0)
            assert os.WIFSIGNALED(status), "the writer ended by itself"
            lines += told.read().splitlines(keepends=True)
        tally.kills += 1
        tally.rolled_back += (folder / "record.sqlite-journal").exists()
        for line in lines:
            assert line.endswith(b"\n"), line
            number, save, hash_ = line.decode().split()
            known[int(number)] = (writer, int(save), hash_)
        tally.acknowledged += len(lines)
        record = Record(folder)
        found = {entry.number: (entry.work["writer"], entry.work["save"], entry.hash) for entry in record.entries()}
        tally.lost += sum(found.get(number) != what for number, what in known.items())
        tally.kept_unsaid += len(found.keys() - known.keys())
        known = found
        checked = verify(record)
        assert checked.whole, checked.sentence
    tally.seconds = round(time.monotonic() - start, 1)
    return tally


if __name__ == "__main__":
    given = [int(argument) for argument in sys.argv[1:]]
    place = Path(tempfile.mkdtemp(prefix="rotorkit-killed-"))
    try:
        print(
            run(place / "folder", *given) if len(given) == 2 else run(place / "folder", given[0] if given else 300, 1)
        )
    finally:
        shutil.rmtree(place)
