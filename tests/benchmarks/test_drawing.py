"""How long the pictures take to draw: a guard against a slip of an order of magnitude."""

import time

from rotorkit.pictures import draw
from tests.pictures.test_pictures import PICTURES


def test_drawing_takes_a_moment() -> None:
    start = time.perf_counter()
    for _ in range(10):
        for picture in PICTURES:
            draw(picture)
    each = (time.perf_counter() - start) / (10 * len(PICTURES))
    print(f"\na picture drawn: {1000 * each:.1f} ms, the mean of {len(PICTURES)} kinds")
    assert each < 0.02
