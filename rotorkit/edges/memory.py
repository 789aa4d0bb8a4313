"""Whether there is memory for what takes much of it, asked before it is begun: a library that finds none half way may
end the whole program without a word, and a notebook's kernel with it."""

from __future__ import annotations

import gc
import re
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

from rotorkit.edges.program import NO_MEMORY

MEGABYTE = 2**20
SELDOM = (50_000, 20, 100)
"""So many new objects until Python looks for what it can throw away, as `gc.set_threshold` has it."""


def memory_for(megabytes: int) -> None:
    """Raises `MemoryError`, in words, where so much more is not to be had: by the process's own bound, by that of the
    container that it runs in, or by what the computer has left. Where nothing tells, it is taken to be there."""
    try:
        room = bytearray(megabytes * MEGABYTE)  # asked for and given back untouched
        del room
        _wake_arithmetic()
    except MemoryError:
        raise MemoryError(NO_MEMORY) from None
    left = _left()
    if left is not None and left < megabytes * MEGABYTE:
        raise MemoryError(NO_MEMORY)


def _wake_arithmetic() -> None:
    """Have the linear algebra take its working memory now, while there is some: where it finds none it ends the
    program."""
    import numpy as np

    two = np.ones((64, 64))
    two @ two  # done for what it makes NumPy's library ask for


def _left() -> int | None:
    """How many bytes are left, the least of what is known; None where nothing is (other systems than Linux)."""
    found = []
    with suppress(OSError, ValueError):
        told = re.search(r"^MemAvailable:\s+(\d+) kB", Path("/proc/meminfo").read_text("ascii"), re.MULTILINE)
        found += [int(told[1]) * 1024] if told else []
    with suppress(OSError, ValueError):
        group = Path("/sys/fs/cgroup") / Path("/proc/self/cgroup").read_text("utf-8").strip().rpartition("::/")[2]
        bound = int((group / "memory.max").read_text("ascii"))  # "max" where there is none
        given_back = re.search(r"^inactive_file (\d+)$", (group / "memory.stat").read_text("ascii"), re.MULTILINE)
        used = int((group / "memory.current").read_text("ascii")) - (int(given_back[1]) if given_back else 0)
        found.append(bound - used)
    return min(found, default=None)


@contextmanager
def seldom_swept() -> Iterator[None]:
    """While much is made of which nearly all stays: Python looks through it for rubbish less often, which takes a
    quarter of the time otherwise."""
    before = gc.get_threshold()
    gc.set_threshold(*SELDOM)
    try:
        yield
    finally:
        gc.set_threshold(*before)
