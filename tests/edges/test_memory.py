"""Too little memory is told before anything is begun."""

import subprocess
import sys
from pathlib import Path

import pytest

from rotorkit.edges import memory


def test_where_there_is_room_nothing_is_said() -> None:
    memory.memory_for(1)


def test_what_the_computer_has_left_is_asked(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(memory, "_left", lambda: 20 * 2**20)
    memory.memory_for(20)
    with pytest.raises(MemoryError, match="the computer's memory ran out"):
        memory.memory_for(21)
    monkeypatch.setattr(memory, "_left", lambda: None)
    memory.memory_for(21)


def test_a_container_s_own_bound_counts(monkeypatch: pytest.MonkeyPatch) -> None:
    told = {
        "/proc/meminfo": "MemTotal: 9000000 kB\nMemAvailable:    8000000 kB\n",
        "/proc/self/cgroup": "0::/shop/kernel\n",
        "/sys/fs/cgroup/shop/kernel/memory.max": "500000000\n",
        "/sys/fs/cgroup/shop/kernel/memory.current": "450000000\n",
        "/sys/fs/cgroup/shop/kernel/memory.stat": "anon 3\ninactive_file 20000000\n",
    }

    def read(self: Path, _encoding: str) -> str:
        if self.as_posix() not in told:
            raise FileNotFoundError
        return told[self.as_posix()]

    monkeypatch.setattr(Path, "read_text", read)
    assert memory._left() == 500_000_000 - 430_000_000
    told["/sys/fs/cgroup/shop/kernel/memory.max"] = "max\n"
    assert memory._left() == 8_000_000 * 1024
    told.clear()
    assert memory._left() is None


@pytest.mark.skipif(not sys.platform.startswith("linux"), reason="bounds of a process are set otherwise")
def test_a_process_bound_is_told_in_words_and_the_program_goes_on() -> None:
    """The linear algebra of this NumPy ends a program that is out of memory when it first needs it."""
    done = subprocess.run(
        [sys.executable, "-c", f"""
import resource, numpy
from rotorkit.edges.memory import memory_for
pages = int(open("/proc/self/statm").read().split()[0])
resource.setrlimit(resource.RLIMIT_AS, (pages * resource.getpagesize() + 20 * 2**20, -1))
try:
    memory_for({100})
except MemoryError as problem:
    print(problem)
print("goes on")
"""],
        capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert "the computer's memory ran out. Files are written whole" in done.stdout, done.stderr
    assert done.stdout.endswith("goes on\n")
