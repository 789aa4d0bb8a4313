"""What was measured, in one table, with the machine on which it was: printed when all is done.

Kept in ``build/measured.md``, and in ``tests/benchmarks/measured.md`` where all of it ran and nothing failed.
Times are the processor's where it says so, so that a busy machine does not spoil them; a ratio is of two times in one
run. Each row bears the load of the machine at that moment (of its last minute).
"""

from __future__ import annotations

import os
import platform
from importlib.metadata import version
from pathlib import Path

__all__ = ["HEADS", "ROWS", "machine", "table", "tell", "time_of"]

HEADS = ("what", "ours", "the other", "ratio", "wanted", "load")
ROWS: list[tuple[str, ...]] = []


def tell(what: str, ours: str, other: str = "", ratio: str = "", wanted: str = "") -> None:
    """A row of the table, said at once too: a run that is broken off has told what it measured."""
    ROWS.append((what, ours, other, ratio, wanted, f"{os.getloadavg()[0]:.0f}" if hasattr(os, "getloadavg") else ""))
    print(f"\n| {' | '.join(ROWS[-1])} |", flush=True)


def time_of(seconds: float) -> str:
    """A time with three digits, in the unit that suits it."""
    for size, unit in ((1.0, "s"), (1e-3, "ms")):
        if seconds >= size:
            return f"{seconds / size:.3g} {unit}"
    return f"{seconds / 1e-6:.3g} µs"


def machine() -> str:
    """The machine, its system and the libraries that matter, in a line."""
    cpu = platform.processor() or platform.machine()
    memory = ""
    if (about := Path("/proc/cpuinfo")).exists():
        names = [line.split(":", 1)[1].strip() for line in about.read_text().splitlines() if line[:10] == "model name"]
        cpu = names[0] if names else cpu
        memory = f", {os.sysconf('SC_PAGE_SIZE') * os.sysconf('SC_PHYS_PAGES') / 2**30:.0f} GB"
    libraries = ", ".join(f"{name} {version(name)}" for name in ("pint", "numpy", "scipy"))
    return (
        f"{os.cpu_count()} cores of {cpu}{memory}, {platform.system()}, Python {platform.python_version()}, {libraries}"
    )


def table() -> str:
    """The table in Markdown, below a line of the machine."""
    lines = [HEADS, ("---",) * len(HEADS), *ROWS]
    return f"On {machine()}:\n\n" + "".join(f"| {' | '.join(line)} |\n" for line in lines)
