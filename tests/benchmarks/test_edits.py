"""From an edit to the picture, in the library: each demo check made from its readings, worked and drawn again, over
what blade angles take in the same run, so that the machine cancels. Nothing here fails for being slow.

Figures of one run stand in DEVELOPERS.md.
"""

from __future__ import annotations

import time

from rotorkit.aircraft import demo_folder
from rotorkit.folder import Check, Folder
from rotorkit.notebook import words
from rotorkit.pictures import draw
from tests.benchmarks.telling import tell, time_of

RUNS = 5
AS_LONG = "tail_rotor_angles"


def redrawn(check: Check, folder: Folder) -> float:
    """Processor seconds from readings to answer and pictures: the least of some, after a first working."""
    check.outcome(folder.aircraft)
    least = float("inf")
    for _ in range(RUNS):
        start = time.process_time()
        outcome = check.outcome(folder.aircraft)
        words.answer(outcome)
        for picture in outcome.pictures:
            draw(picture, 405)
        least = min(least, time.process_time() - start)
    return least


def test_every_sheet() -> None:
    folder = Folder(demo_folder())
    took = {check.name: redrawn(check, folder) for check in folder.checks}
    for name, seconds in sorted(took.items(), key=lambda one: one[1]):
        ratio = f"{seconds / took[AS_LONG]:.2f}"
        tell(f"edit to picture of {name} / of blade angles", time_of(seconds), time_of(took[AS_LONG]), ratio, "1.5")
