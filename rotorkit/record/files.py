"""Opening ``record.sqlite`` for reading without leaving a trace, and for writing so that what is saved stays.

Why these settings:

- A rollback journal, deleted at the end (``journal_mode = DELETE``). A write-ahead log needs shared memory, which a
  network drive does not give, and leaves two more files beside the record for long, which a synchronising client would
  carry off at different moments. With a rollback journal the record is one file whenever nobody is saving.
- ``synchronous = EXTRA``: the journal, the record and their folder are flushed to the drive before a save returns, and
  the folder once more after the journal is gone, so that a power cut right after "saved" does not bring the journal
  back.
- ``BEGIN IMMEDIATE`` and a busy timeout: savers queue at the start, and none has to give up half-way.
- A connection for each save and each reading: between them nothing holds the file.
- Only one save or reading at a time within one program: on POSIX systems, closing a file gives up every lock that the
  program holds on it, so that a reader would take a saver's lock away.
- A new record is made whole under another name and linked into place, so that no half-made one is ever found.
"""

from __future__ import annotations

import contextlib
import os
import secrets
import shutil
import sqlite3
import tempfile
import threading
import time
from collections.abc import Callable, Iterator
from pathlib import Path

try:
    import fcntl
except ImportError:  # Windows
    fcntl = None  # type: ignore[assignment]

from rotorkit.edges.received import is_there, opened
from rotorkit.record import schema
from rotorkit.record.errors import NOTHING_SAVED, RESTORE, UNTOUCHED, RecordError, in_plain_words

RECORD_FILE = "record.sqlite"
SQLITE_HEADER = b"SQLite format 3\x00"
TRIES = 20
LARGEST_VALUE = 200_000_000
"""Bytes of one value in the database: far above any entry, and far below what fills a computer."""
_in_this_program = threading.Lock()


@contextlib.contextmanager
def _alone(path: Path, wait: float) -> Iterator[None]:
    """Hold off every other save and reading of this program."""
    if not _in_this_program.acquire(timeout=max(wait, 0.1)):
        raise RecordError(f"{path.name} is being read or written elsewhere in this program. Try again.")
    try:
        yield
    finally:
        _in_this_program.release()


@contextlib.contextmanager
def reading(path: Path, wait: float) -> Iterator[sqlite3.Connection | None]:
    """An open record that cannot be written to, at one moment in time; None where there is none yet.

    Neither the record nor anything beside it is created or changed: a record of an older layout is brought to today's
    in memory, and one whose last writer was cut off is put right in a copy elsewhere.
    """
    if not is_there(path):
        if not path.parent.is_dir():
            raise in_plain_words(FileNotFoundError(), path, wait, False)
        yield None
        return
    with contextlib.ExitStack() as stack:
        stack.enter_context(_alone(path, wait))
        _look(path)
        try:
            connection = _opened_for_reading(path, wait, stack)
        except (sqlite3.Error, OSError, UnicodeError) as problem:
            raise in_plain_words(problem, path, wait, False) from problem
        try:
            yield connection
        except (sqlite3.Error, UnicodeError) as problem:
            raise in_plain_words(problem, path, wait, False) from problem


class _InACopy(Exception):
    """The record can only be read without a trace in a copy."""


def _has_log(path: Path) -> bool:
    """Whether another program has turned on a write-ahead log: then even a reader would make files."""
    with open(path, "rb") as file:
        return file.read(20)[18:20] == b"\x02\x02"


def _opened_for_reading(path: Path, wait: float, stack: contextlib.ExitStack) -> sqlite3.Connection:
    connection = stack.enter_context(contextlib.closing(_connect(path, "ro", wait)))
    try:
        if _has_log(path):
            raise _InACopy
        connection.execute("BEGIN")
        found = schema.check_layout(connection, path)
        connection.execute("SELECT entries FROM chain").fetchone()
    except (sqlite3.OperationalError, _InACopy) as problem:
        if getattr(problem, "sqlite_errorcode", 0) & 0xFF not in (0, sqlite3.SQLITE_READONLY, sqlite3.SQLITE_CANTOPEN):
            raise
        # the last writer was cut off and left its journal: the state before it is found by rolling back, in a copy
        connection.close()
        folder = Path(stack.enter_context(tempfile.TemporaryDirectory(prefix="rotorkit-")))
        connection = stack.enter_context(contextlib.closing(_connect(_copied(path, folder), "rw", wait)))
        connection.execute("BEGIN")
        found = schema.check_layout(connection, path)
    if found < schema.layout():
        memory = stack.enter_context(contextlib.closing(sqlite3.connect(":memory:", isolation_level=None)))
        connection.backup(memory)
        schema.migrate(memory)
        return memory
    return connection


def _copied(path: Path, folder: Path) -> Path:
    """A copy of a record and its journal, of one moment."""
    parts = [path, *(path.with_name(path.name + end) for end in ("-journal", "-wal"))]
    for _ in range(TRIES):
        before = _stamps(parts)
        for file in parts:
            (folder / file.name).unlink(missing_ok=True)
            with contextlib.suppress(FileNotFoundError):
                shutil.copyfile(file, folder / file.name)
        if before == _stamps(parts):
            break
        time.sleep(0.05)
    return folder / path.name


def _stamps(files: list[Path]) -> list[tuple[int, int] | None]:
    found: list[tuple[int, int] | None] = []
    for file in files:
        try:
            status = file.stat()
            found.append((status.st_size, status.st_mtime_ns))
        except FileNotFoundError:
            found.append(None)
    return found


@contextlib.contextmanager
def writing(path: Path, wait: float, record: str | None = None) -> Iterator[sqlite3.Connection]:
    """A record open for one save: it is on the drive when the block ends, or an error says that nothing was saved.

    record: the name of the record, where one is to be made for an import; a record that is not there is made.
    """
    try:
        with _alone(path, wait), contextlib.ExitStack() as stack:
            if not is_there(path):
                create(path, lambda connection: schema.make(connection, record))
            _look(path)
            connection = stack.enter_context(contextlib.closing(_connect(path, "rw", wait)))
            _settle(connection)
            connection.execute("BEGIN IMMEDIATE")
            try:
                if (found := schema.check_layout(connection, path)) < schema.layout():
                    _keep_copy(path, found, wait)
                    schema.migrate(connection)
                yield connection
                connection.execute("COMMIT")
            except BaseException:
                with contextlib.suppress(sqlite3.Error):
                    if connection.in_transaction:
                        connection.execute("ROLLBACK")
                raise
    except RecordError as problem:
        told = str(problem)
        if NOTHING_SAVED in told:
            raise
        raise RecordError(f"{told} {NOTHING_SAVED}", problem.saved) from problem
    except (sqlite3.Error, OSError, UnicodeError) as problem:
        raise in_plain_words(problem, path, wait, True) from problem


def create(path: Path, fill: Callable[[sqlite3.Connection], None]) -> None:
    """Make a record whole, on the drive, and put it in place in one step; where another was quicker, theirs stays."""
    made = path.with_name(f".{path.name}.{secrets.token_hex(6)}")
    try:
        open(made, "xb").close()
        with contextlib.closing(_connect(made, "rw", 0)) as connection:
            # nobody else knows the name yet, so it need be on the drive only once it is whole
            connection.execute("PRAGMA journal_mode = MEMORY")
            connection.execute("PRAGMA synchronous = OFF")
            fill(connection)
        with open(made, "rb+") as whole:
            flush_file(whole.fileno())
        _put_in_place(made, path)
        flush_folder(path.parent)
    finally:
        with contextlib.suppress(OSError):
            made.unlink(missing_ok=True)


def _put_in_place(made: Path, path: Path) -> None:
    try:
        os.link(made, path)
    except FileExistsError:
        return
    except (OSError, AttributeError, NotImplementedError):  # a drive without hard links
        with contextlib.suppress(FileExistsError):
            open(path, "xb").close()  # whoever makes the name first may fill it
            os.replace(made, path)


def flush_folder(folder: Path) -> None:
    """Have the drive keep the folder's list of names, where the system can."""
    if os.name != "posix":
        return
    handle = os.open(folder, os.O_RDONLY)
    try:
        with contextlib.suppress(OSError):  # some network drives cannot; the files themselves are flushed
            os.fsync(handle)
    finally:
        os.close(handle)


def flush_file(handle: int) -> None:
    """Have the drive keep a file's bytes."""
    if hasattr(fcntl, "F_FULLFSYNC"):  # macOS: fsync alone leaves them in the drive's own memory
        with contextlib.suppress(OSError):
            fcntl.fcntl(handle, fcntl.F_FULLFSYNC)
            return
    os.fsync(handle)


def _settle(connection: sqlite3.Connection) -> None:
    for setting in (
        "journal_mode = DELETE",
        "synchronous = EXTRA",
        "fullfsync = ON",
        "foreign_keys = ON",
        "trusted_schema = OFF",
    ):
        connection.execute(f"PRAGMA {setting}")


def _connect(path: Path, mode: str, wait: float) -> sqlite3.Connection:
    address = path.absolute().as_uri()
    if not address.startswith("file:///"):  # a Windows share: \\server\share
        address = "file:////" + address.removeprefix("file://")
    connection = sqlite3.connect(f"{address}?mode={mode}", uri=True, timeout=wait, isolation_level=None)
    connection.text_factory = _as_text
    connection.setlimit(sqlite3.SQLITE_LIMIT_LENGTH, LARGEST_VALUE)
    return connection


def _as_text(data: bytes) -> str:
    """Text of the database. Bytes that are none become a sign that was not there, so that no hash fits it any more."""
    return data.decode("utf-8", "replace")


def _keep_copy(path: Path, found: int, wait: float) -> None:
    """A copy of a record of an older layout, before it is brought to today's."""
    copy = path.with_name(f"{path.stem}-layout-{found}{path.suffix}")
    if not copy.exists():
        with contextlib.closing(_connect(path, "ro", wait)) as source:
            create(copy, source.backup)


def _look(path: Path) -> None:
    """Refuse a file that is empty, no database, or shorter than its own header says, before anything is opened."""
    for last in [False] * TRIES + [True]:
        try:
            with opened(path) as file:
                header = file.read(100)
                size = os.fstat(file.fileno()).st_size
        except PermissionError as problem:
            raise in_plain_words(problem, path, 0, False) from problem
        except OSError as problem:
            raise RecordError(f"{path} cannot be read: {problem.strerror or problem}. {UNTOUCHED}") from problem
        fault = _fault(path, header, size)
        if not fault or path.with_name(path.name + "-journal").exists():
            return
        if last:
            raise RecordError(fault)
        time.sleep(0.01)  # a writer may be between two steps


def _fault(path: Path, header: bytes, size: int) -> str:
    if size == 0:
        return (
            f"{path.name} is empty (0 bytes): it was cut off. {UNTOUCHED} Put your last backup in its place; if "
            "nothing was ever saved in this folder, delete it."
        )
    if header[:16] != SQLITE_HEADER:
        return f"{path.name} is not a build record, or its beginning is damaged. {UNTOUCHED} {RESTORE}"
    page = int.from_bytes(header[16:18], "big")
    pages = int.from_bytes(header[28:32], "big")
    whole = (65536 if page == 1 else page) * pages
    if len(header) < 100:
        return f"{path.name} is cut off: {size} bytes are left. {UNTOUCHED} {RESTORE}"
    if int.from_bytes(header[68:72], "big") != schema.APPLICATION:
        return f"{path.name} is a database, but not a build record of rotorkit. {UNTOUCHED}"
    if (found := int.from_bytes(header[60:64], "big")) > schema.layout():
        return schema.too_new(path, found)
    if header[24:28] == header[92:96] and size < whole:
        return f"{path.name} is cut off: {size:,} bytes are left of {whole:,}. {UNTOUCHED} {RESTORE}"
    return ""
