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
WRITE = """
import sys
from rotorkit.record import Record
from tests.record.bench import plain_work
record, writer = Record(sys.argv[1], wait=60), sys.argv[2]
print("ready", flush=True)
sys.stdin.readline()
for save in range(int(sys.argv[3])):
    entry = record.add(f"check {writer}", plain_work(writer=writer, save=save, filler="x" * 20_000), f"file {save % 2}")
    print(entry.number, entry.hash, flush=True)
"""
CHECKOUT = Path(__file__).resolve().parent.parent.parent


@pytest.mark.parametrize("existing", [False, True])
def test_eight_writers_at_once(tmp_path: Path, existing: bool) -> None:
    """All entries are there, each once, in one whole chain; with a record to be made by whoever is first, or one
    there."""
    folder = tmp_path / "folder"
    folder.mkdir()
    if existing:
        Record(folder).add("before", plain_work(), "file")
    writers = [
        subprocess.Popen(
            [sys.executable, "-c", WRITE, str(folder), str(writer), str(SAVES)],
            cwd=CHECKOUT, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True,
        )
        for writer in range(WRITERS)
    ]  # fmt: skip
    for writer in writers:
        assert writer.stdout is not None
        assert writer.stdout.readline() == "ready\n"
    said = {}
    for writer in writers:
        assert writer.stdin is not None
        writer.stdin.write("go\n")
        writer.stdin.flush()
    for writer in writers:
        out, _ = writer.communicate(timeout=120)
        assert writer.returncode == 0
        said |= dict(line.split() for line in out.splitlines())
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
