"""How long the pictures take to draw: a guard against a slip of an order of magnitude."""

import time

from rotorkit.pictures import draw
from tests.benchmarks.telling import tell, time_of
from tests.pictures.test_pictures import PICTURES


def test_drawing_takes_a_moment() -> None:
    start = time.process_time()
    for _ in range(10):
        for picture in PICTURES:
            draw(picture)
    each = (time.process_time() - start) / (10 * len(PICTURES))
    tell(f"a picture drawn, the mean of {len(PICTURES)} kinds (processor)", time_of(each), "", "", "20 ms or less")
    assert each < 0.02
