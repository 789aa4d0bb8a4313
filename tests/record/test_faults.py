"""When the drive, the folder or the file will not have it: a plain message, nothing saved, the file as it was."""

import contextlib
import os
import shutil
import signal
import sqlite3
import tempfile
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from rotorkit.record import NOTHING_SAVED, Record, RecordError, SavedEntry, verify
from rotorkit.record.schema import APPLICATION
from tests.record.bench import Bench, plain_work
from tests.record.drives import fill, small_drive

resource = pytest.importorskip("resource", reason="the faults are made with POSIX means")
pytestmark = pytest.mark.skipif(os.name != "posix", reason="the faults are made with POSIX means")


def refused(bench: Bench, said: str) -> None:
    """Saving is refused with these words, says that nothing was saved, and leaves every file as it was."""
    files = {path: path.read_bytes() for path in bench.path.iterdir() if path.is_file()} if bench.path.is_dir() else {}
    with pytest.raises(RecordError, match=said) as caught:
        bench.record.add("pedal_left_tension", WORK, FILE)
    assert str(caught.value).endswith(NOTHING_SAVED)
    assert caught.value.saved is False
    if bench.path.is_dir():
        assert {path: path.read_bytes() for path in bench.path.iterdir() if path.is_file()} == files


WORK = plain_work(note="x" * 100_000)
FILE = "[aircraft]\n"


@pytest.mark.parametrize(
    ("content", "said"),
    [
        (b"", "is empty"),
        (b"entries, one a line\n" * 100, "is not a build record"),
        (bytes(range(256)) * 32, "is not a build record"),
    ],
)
def test_a_file_that_is_no_record(bench: Bench, content: bytes, said: str) -> None:
    bench.record.path.write_bytes(content)
    refused(bench, said)
    with pytest.raises(RecordError, match=said):
        bench.record.entries()
    with pytest.raises(RecordError, match=said):
        verify(bench.record)
    assert bench.record.path.read_bytes() == content


def test_another_programs_database(bench: Bench) -> None:
    database = sqlite3.connect(bench.record.path)
    database.execute("CREATE TABLE entry (number INTEGER)")
    database.commit()
    database.close()
    refused(bench, "a database, but not a build record")
    with pytest.raises(RecordError, match="a database, but not a build record"):
        bench.record.entries()


def test_a_record_of_a_newer_rotorkit(bench: Bench) -> None:
    bench.save()
    database = sqlite3.connect(bench.record.path)
    database.execute("PRAGMA user_version = 99")
    database.close()
    said = r"written by a newer rotorkit \(layout 99; .* Update rotorkit to read it. The file was left untouched"
    refused(bench, said)
    for look in (bench.record.entries, bench.record.head, lambda: verify(bench.record), lambda: bench.record.last("x")):
        with pytest.raises(RecordError, match=said):
            look()


def test_a_damaged_end_is_not_built_upon(bench: Bench) -> None:
    bench.save()
    bench.save()
    data = bytearray(bench.record.path.read_bytes())
    place = data.rfind(b'"who":"A. Builder"')
    data[place + 8] ^= 1
    bench.record.path.write_bytes(data)
    refused(bench, r"end of the record is not as it was saved.*rotorkit record verify")


def test_a_folder_that_vanished(bench: Bench) -> None:
    bench.save()
    shutil.move(bench.path, bench.path.with_name("moved"))
    refused(bench, "no longer exists")
    with pytest.raises(RecordError, match="no longer exists"):
        bench.record.entries()
    assert not bench.path.exists()


def test_a_file_held_by_another_program(bench: Bench) -> None:
    bench.save()
    record = Record(bench.path, wait=0.2)
    other = sqlite3.connect(bench.record.path, isolation_level=None)
    other.execute("BEGIN IMMEDIATE")
    with pytest.raises(RecordError, match=r"in use by another program.*0.2 seconds. Try again.*Nothing was saved"):
        record.add("pedal_left_tension", WORK, FILE)
    assert len(record.entries()) == 1  # reading goes on beside a saver
    other.execute("ROLLBACK")
    other.execute("BEGIN EXCLUSIVE")
    with pytest.raises(RecordError, match="in use by another program"):
        record.entries()
    other.close()
    assert record.add("pedal_left_tension", WORK, FILE).number == 2


# full disk


def save_without_end(record: Record, acknowledged: list[SavedEntry]) -> None:
    """Save until it is refused."""
    for _ in range(100):
        acknowledged.append(record.add("pedal_left_tension", WORK, FILE))


def test_a_full_drive(bench: Bench) -> None:
    with small_drive("1m") as drive:
        small = Bench(drive)
        acknowledged: list[SavedEntry] = []
        with pytest.raises(RecordError) as caught:
            save_without_end(small.record, acknowledged)
        assert "is full. Make room, then save again." in str(caught.value)
        assert str(caught.value).endswith(NOTHING_SAVED)
        assert len(acknowledged) > 2
        assert small.record.entries() == acknowledged
        assert verify(small.record).whole
        for _ in range(3):  # and again, with nothing lost
            with pytest.raises(RecordError, match="is full"):
                small.record.add("pedal_left_tension", WORK, FILE)
        assert small.record.entries() == acknowledged
        (drive / "readings.toml").unlink()
        small.record.add("pedal_left_tension", plain_work(note="little"), FILE)
        assert verify(small.record).entries == len(acknowledged) + 1


def test_a_drive_that_is_full_from_the_start(bench: Bench) -> None:
    with small_drive("64k") as drive:
        small = Bench(drive)
        fill(drive)
        before = sorted(os.listdir(drive))
        with pytest.raises(RecordError, match="is full"):
            small.record.add("pedal_left_tension", WORK, FILE)
        assert sorted(os.listdir(drive)) == before
        assert small.record.entries() == []


@contextlib.contextmanager
def largest_file(size: int) -> Iterator[None]:
    """No file of this process may grow beyond `size`: what a quota does."""
    soft, hard = resource.getrlimit(resource.RLIMIT_FSIZE)
    before = signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
    resource.setrlimit(resource.RLIMIT_FSIZE, (size, hard))
    try:
        yield
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, (soft, hard))
        signal.signal(signal.SIGXFSZ, before)


def test_a_quota(bench: Bench) -> None:
    acknowledged: list[SavedEntry] = []
    with largest_file(700_000), pytest.raises(RecordError, match=r"failed to write|is full") as caught:
        save_without_end(bench.record, acknowledged)
    assert str(caught.value).endswith(NOTHING_SAVED)
    assert len(acknowledged) > 2
    assert bench.record.entries() == acknowledged
    assert verify(bench.record).whole
    assert bench.record.add("pedal_left_tension", WORK, FILE).number == len(acknowledged) + 1


# read-only


@contextlib.contextmanager
def read_only(path: Path) -> Iterator[None]:
    """The folder and what is in it read-only, also for root, who may write anywhere."""
    modes = {each: each.stat().st_mode for each in [path, *path.iterdir()]}
    for each in modes:
        each.chmod(0o555 if each.is_dir() else 0o444)
    try:
        yield
    finally:
        for each, mode in modes.items():
            each.chmod(mode)


def as_somebody(action: Callable[[Record], object], folder: Path) -> str:
    """What an action says when a person without special rights does it."""
    ours, theirs = os.pipe()
    child = os.fork()
    if child == 0:
        try:
            if os.getuid() == 0:
                os.setgid(65534)
                os.setuid(65534)
            said = str(action(Record(folder)))
        except BaseException as problem:
            said = str(problem) if isinstance(problem, RecordError) else repr(problem)
        os.write(theirs, said.encode())
        os._exit(0)
    os.close(theirs)
    os.waitpid(child, 0)
    with os.fdopen(ours, encoding="utf-8") as told:
        return told.read()


@pytest.fixture
def open_bench() -> Iterator[Bench]:
    """A bench that other people can look into."""
    folder = Path(tempfile.mkdtemp(prefix="rotorkit-bench-"))
    folder.chmod(0o755)
    try:
        yield Bench(folder)
    finally:
        shutil.rmtree(folder)


def save(record: Record) -> object:
    return record.add("pedal_left_tension", plain_work(note="x"), FILE)


def test_a_read_only_folder(open_bench: Bench) -> None:
    open_bench.save()
    with read_only(open_bench.path):
        listing = sorted(os.listdir(open_bench.path))
        said = as_somebody(save, open_bench.path)
        assert "read-only" in said
        assert said.endswith(NOTHING_SAVED)
        assert as_somebody(lambda record: verify(record).sentence, open_bench.path).startswith(
            "The record is complete: 1 entry"
        )
        assert as_somebody(lambda record: len(record.entries()), open_bench.path) == "1"
        assert sorted(os.listdir(open_bench.path)) == listing
    assert verify(open_bench.record).entries == 1


def test_a_read_only_folder_without_a_record(open_bench: Bench) -> None:
    with read_only(open_bench.path):
        said = as_somebody(save, open_bench.path)
        assert f"The folder {open_bench.path} is read-only" in said
        assert said.endswith(NOTHING_SAVED)
        assert as_somebody(Record.entries, open_bench.path) == "[]"
    assert not open_bench.record.path.exists()


def test_a_read_only_record(open_bench: Bench) -> None:
    open_bench.save()
    open_bench.path.chmod(0o777)
    open_bench.record.path.chmod(0o444)
    said = as_somebody(save, open_bench.path)
    assert f"{open_bench.record.path} is read-only" in said
    assert said.endswith(NOTHING_SAVED)


def test_a_record_that_may_not_be_read(open_bench: Bench) -> None:
    open_bench.save()
    open_bench.record.path.chmod(0o600)
    if os.getuid() == 0:
        assert "check that you may read it" in as_somebody(Record.entries, open_bench.path)


# other programs' doings


def test_a_record_with_a_write_ahead_log_is_read_without_a_trace(bench: Bench) -> None:
    """Some database tools turn it on."""
    entry = bench.save()
    database = sqlite3.connect(bench.record.path)
    database.execute("PRAGMA journal_mode = WAL")
    database.close()
    data, listing = bench.record.path.read_bytes(), sorted(os.listdir(bench.path))
    assert bench.record.entries() == [entry]
    assert (bench.record.path.read_bytes(), sorted(os.listdir(bench.path))) == (data, listing)
    bench.save()
    assert bench.record.path.read_bytes()[18:20] == b"\x01\x01"
    assert sorted(os.listdir(bench.path)) == listing


def test_the_mark_of_a_record() -> None:
    assert APPLICATION.to_bytes(4, "big") == b"RKBR"
