"""Whatever is typed is answered in a moment, right or wrong: processor time, the shortest of a few tries."""

import time

from hypothesis import given

from rotorkit.quantities.reading import _read
from tests.benchmarks.telling import tell, time_of
from tests.quantities.test_reading_anything import answered, anything, bare_units, kinds
from tests.searching import examples

SECONDS = 0.050
slowest = [0.0]


def seconds_to_answer(text: str, kind: str, bare_unit: str | None) -> float:
    _read.cache_clear()
    start = time.process_time()
    answered(text, kind, bare_unit)
    return time.process_time() - start


@given(anything, kinds, bare_units)
@examples(1500)
def each_is_quick(text: str, kind: str, bare_unit: str | None) -> None:
    took = seconds_to_answer(text, kind, bare_unit)
    if took >= SECONDS:  # once may be a stall; what is slow to read is slow every time
        took = min(seconds_to_answer(text, kind, bare_unit) for _ in range(4))
    if took > slowest[0]:
        slowest[:] = [took]
    assert took < SECONDS


def test_any_text_is_answered_in_a_moment() -> None:
    answered("1 ft", "Length", None)  # the units are read once
    each_is_quick()
    tell(
        "any text typed is answered: the slowest of 1,500 (processor)",
        time_of(float(slowest[0])),
        "",
        "",
        "50 ms or less",
    )
