"""What day and what time it is: the one place of the library that asks the machine's clock.

A calibration falls due by it, an entry is stamped with it, a document carries it. No argument, file or variable of the
environment moves it: what stands in a record is the time of the machine that kept it.
"""

from __future__ import annotations

import time
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import date, datetime


class Watch:
    """What was asked of the clock for a while. asked: whether the day or the time itself was; past: of which days it
    was asked whether they are over, with the answers."""

    def __init__(self) -> None:
        self.asked = False
        self.past: dict[date, bool] = {}


_watching: list[Watch] = []


def machine() -> datetime:
    """The machine's clock, with its offset from UTC."""
    return datetime.now().astimezone()


def now() -> datetime:
    """The present time, to the microsecond, in the machine's own zone.

    Returns
    -------
    datetime
        With its offset from UTC, so that it means the same everywhere.

    Examples
    --------
    >>> now().utcoffset() is not None
    True
    """
    _seen()
    return machine()


def today() -> date:
    """The present calendar day in the machine's own zone: what a calibration's due date is compared with.

    Examples
    --------
    >>> today() <= now().date()
    True
    """
    _seen()
    return machine().date()


def past(day: date, on: date | None = None) -> bool:
    """Whether a day is over: it was before today, or before the day `on`.

    >>> past(date(2020, 2, 29)), past(date(9000, 1, 1))
    (True, False)
    >>> past(date(2026, 4, 30), on=date(2026, 4, 30)), past(date(2026, 4, 30), on=date(2026, 5, 1))
    (False, True)
    """
    known = [watch.asked for watch in _watching]
    over = day < (on or today())
    if on is None:
        for watch, asked in zip(_watching, known, strict=True):  # no more was asked of today than that
            watch.asked, watch.past[day] = asked, over
    return over


def _seen() -> None:
    for watch in _watching:
        watch.asked = True


@contextmanager
def watched() -> Iterator[Watch]:
    """What is asked of the clock from here on: what is worked meanwhile rests on these answers and on no other time."""
    watch = Watch()
    _watching.append(watch)
    try:
        yield watch
    finally:
        _watching.remove(watch)


def elapsed() -> float:
    """Seconds that go on evenly, whatever is set at the clock; only the difference of two means anything."""
    return time.monotonic()
