"""Drives that are small, full or read-only, for tests of what a save then says."""

import contextlib
import shutil
import subprocess
import tempfile
from collections.abc import Iterator
from pathlib import Path

import pytest

__all__ = ["fill", "read_only_drive", "small_drive"]


@contextlib.contextmanager
def small_drive(size: str, at: Path | None = None) -> Iterator[Path]:
    """A drive of that size, in a folder of its own or in the one given; the test is skipped, and says so, where none
    can be mounted."""
    folder = Path(tempfile.mkdtemp(prefix="rotorkit-drive-")) if at is None else at
    mounted = subprocess.run(
        ["mount", "-t", "tmpfs", "-o", f"size={size},mode=0755", "tmpfs", str(folder)], capture_output=True, check=False
    ) if shutil.which("mount") else None  # fmt: skip
    if mounted is None or mounted.returncode != 0:
        folder.rmdir()
        pytest.skip("no small drive can be mounted here (it takes root); the size limit of a process stands for it")
    try:
        yield folder
    finally:
        subprocess.run(["umount", "--lazy", str(folder)], check=True)
        folder.rmdir()


def fill(drive: Path) -> None:
    """Write until nothing more fits."""
    with contextlib.suppress(OSError), open(drive / "filler", "wb", buffering=0) as filler:
        while True:
            filler.write(b"x" * 4096)


@contextlib.contextmanager
def read_only_drive(drive: Path) -> Iterator[None]:
    """A drive on which nothing can be written, not by root either."""
    subprocess.run(["mount", "-o", "remount,ro", str(drive)], check=True)
    try:
        yield
    finally:
        subprocess.run(["mount", "-o", "remount,rw", str(drive)], check=True)
