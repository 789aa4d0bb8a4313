"""Several notebooks save at once."""

import os
import subprocess
import sys
import threading
from pathlib import Path

import pytest

from rotorkit.record import Record, verify
from tests.record.bench import Bench, plain_work

WRITERS, SAVES = 8, 10
ALONE = "import sys; from tests.record.test_writers import write; write(sys.argv[1], int(sys.argv[2]), 0, 1)"
CHECKOUT = Path(__file__).resolve().parent.parent.parent


def write(folder: str, writer: int, go: int, told: int) -> None:
    """Save so many times once something is read from `go`, and tell each number with its hash; go, told: open files of
    the system."""
    record = Record(folder, wait=60)
    os.write(told, b"ready\n")
    os.read(go, 1)
    for save in range(SAVES):
        work = plain_work(writer=writer, save=save, filler="x" * 20_000)
        entry = record.add(f"check {writer}", work, f"file {save % 2}")
        os.write(told, f"{entry.number} {entry.hash}\n".encode())


def forked(folder: Path, writer: int) -> tuple[int, int, int]:
    """A writer as a process of its own that need not load the library first: its number, and its two pipes."""
    go, begin = os.pipe()
    told, tells = os.pipe()
    child = os.fork()
    if child == 0:
        try:
            write(str(folder), writer, go, tells)
            os._exit(0)
        finally:
            os._exit(1)
    os.close(go)
    os.close(tells)
    return child, begin, told


@pytest.mark.skipif(not hasattr(os, "fork"), reason="writers are forked")
@pytest.mark.parametrize("existing", [False, True])
def test_eight_writers_at_once(tmp_path: Path, existing: bool) -> None:
    """All entries are there, each once, in one whole chain; with a record to be made by whoever is first, or one
    there."""
    folder = tmp_path / "folder"
    folder.mkdir()
    if existing:
        Record(folder).add("before", plain_work(), "file")
    writers = [forked(folder, writer) for writer in range(1, WRITERS)]
    another = subprocess.Popen(
        [sys.executable, "-c", ALONE, str(folder), "0"], cwd=CHECKOUT, stdin=subprocess.PIPE, stdout=subprocess.PIPE
    )
    assert another.stdin is not None
    assert another.stdout is not None
    files = [os.fdopen(told, "rb") for _, _, told in writers]
    for file in [*files, another.stdout]:
        assert file.readline() == b"ready\n"
    for _, begin, _ in writers:
        os.write(begin, b"g")
        os.close(begin)
    out, _ = another.communicate(b"g", timeout=120)
    assert another.returncode == 0
    lines = out.splitlines()
    for (child, _, _), file in zip(writers, files, strict=True):
        with file:
            lines += file.read().splitlines()
        assert os.waitpid(child, 0)[1] == 0
    said = dict(line.decode().split() for line in lines)
    record = Record(folder)
    entries = record.entries()
    assert len(said) == WRITERS * SAVES
    assert {str(entry.number): entry.hash for entry in entries if entry.check != "before"} == said
    for writer_number in range(WRITERS):
        mine = record.entries(f"check {writer_number}")
        assert [entry.work["save"] for entry in mine] == list(range(SAVES))
    found = verify(record)
    assert found.whole
    assert found.entries == WRITERS * SAVES + existing
    assert sorted(os.listdir(folder)) == ["record.sqlite"]


def test_threads_of_one_program_do_not_take_each_others_locks(bench: Bench) -> None:
    """On POSIX, closing a file gives up the program's locks on it: readers in other threads must wait for the saver."""
    bench.save()
    faults: list[Exception] = []

    def write(name: str) -> None:
        try:
            for save in range(5):
                Record(bench.path, wait=60).add(name, plain_work(save=save), "file")
        except Exception as problem:
            faults.append(problem)

    def look() -> None:
        try:
            for _ in range(15):
                Record(bench.path, wait=60).entries()
        except Exception as problem:
            faults.append(problem)

    threads = [threading.Thread(target=write, args=(f"thread {i}",)) for i in range(4)]
    threads += [threading.Thread(target=look) for _ in range(3)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert faults == []
    assert verify(bench.record).entries == 21
