"""Reading a file that somebody else may have made: an ordinary file, of bounded size, bounded depth, bounded count.

A folder can be received from anybody. A pipe in the place of a file would be waited for without end, and a file of a
hundred thousand sections keeps a program busy for as long. What is asked here is far above what an aircraft, its
readings and its record ever need.
"""

from __future__ import annotations

import errno
import os
import stat
from pathlib import Path
from typing import Any, BinaryIO

LARGEST_TEXT = 1_000_000
"""Bytes of an aircraft file or a readings file."""
MOST_VALUES = 50_000
"""Values, tables and lists within one such file."""
MOST_TABLES = 1_000
"""Sections or rows side by side in one of its tables or lists."""
DEEPEST = 32
"""Tables and lists within one another."""
KINDS = ((stat.S_ISDIR, "a folder"), (stat.S_ISFIFO, "a pipe"), (stat.S_ISSOCK, "a socket"))


def is_there(path: Path) -> bool:
    """Whether a name is there, also where it is a link to something that is not: that is no "not yet"."""
    return os.path.lexists(path)


def opened(path: Path) -> BinaryIO:
    """An ordinary file open for reading. Raises `OSError`, also for a pipe, a device and a link that leads nowhere."""
    try:
        mode = os.stat(path).st_mode
    except FileNotFoundError:
        if os.path.islink(path):
            raise OSError(errno.ENOENT, f"it is a link to {os.readlink(path)}, which is not there") from None
        raise
    if not stat.S_ISREG(mode):
        what = next((words for is_one, words in KINDS if is_one(mode)), "a device")
        raise OSError(errno.EINVAL, f"it is {what}, not a file")
    return open(path, "rb")


def bytes_of(path: Path, most: int = LARGEST_TEXT) -> bytes:
    """A file's bytes. Raises `OSError`, also where it is no ordinary file or holds more than `most`."""
    with opened(path) as file:
        found = file.read(most + 1)
    if len(found) > most:
        raise OSError(errno.EFBIG, f"it holds more than {most:,} bytes, far more than such a file needs")
    return found


def too_much(value: Any, most: int = MOST_VALUES, deepest: int = DEEPEST) -> str:
    """What is too much of parsed tables and lists, in words; empty where nothing is."""
    count, level = 0, [value]
    for _ in range(deepest + 1):
        below: list[Any] = []
        for one in level:
            parts = list(one.values()) if isinstance(one, dict) else one if isinstance(one, list) else []
            tables = [part for part in parts if isinstance(part, dict)]
            if len(tables) > MOST_TABLES:
                return f"it holds {len(tables):,} sections of one sort, and {MOST_TABLES:,} are the most that are read"
            count += len(parts)
            if count > most:
                return f"it holds more than {most:,} values, far more than such a file needs"
            below += [part for part in parts if isinstance(part, (dict, list))]
        if not below:
            return ""
        level = below
    return f"more than {deepest} tables and lists stand in one another"
