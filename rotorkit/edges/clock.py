"""What day and what time it is: the one place of the library that asks the machine's clock.

A calibration falls due by it, an entry is stamped with it, a document carries it. No argument, file or variable of the
environment moves it: what stands in a record is the time of the machine that kept it.
"""

from __future__ import annotations

import time
from datetime import date, datetime

__all__ = ["elapsed", "now", "today"]


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
    return machine()


def today() -> date:
    """The present calendar day in the machine's own zone: what a calibration's due date is compared with.

    Examples
    --------
    >>> today() <= now().date()
    True
    """
    return machine().date()


def elapsed() -> float:
    """Seconds that go on evenly, whatever is set at the clock; only the difference of two means anything."""
    return time.monotonic()
