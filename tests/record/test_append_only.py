"""The guards: nothing in the record can be changed or removed, by any program that keeps to SQL."""

import sqlite3

import pytest

from rotorkit.record import verify
from tests.record.bench import Bench

STATEMENTS = [
    "UPDATE entry SET work = '{}' WHERE number = 1",
    "UPDATE entry SET saved = '2020-01-01T00:00:00Z'",
    "DELETE FROM entry WHERE number = 2",
    "DELETE FROM entry",
    "INSERT OR REPLACE INTO entry SELECT 2, check_name, saved, local, aircraft_file, replaces, previous, hash, "
    "'{}' "
    "FROM entry WHERE number = 2",
    "INSERT INTO entry SELECT 9, check_name, saved, local, aircraft_file, replaces, previous, hash, work FROM "
    "entry "
    "WHERE number = 2",
    "INSERT INTO entry SELECT 3, check_name, saved, local, aircraft_file, replaces, previous, hash, work FROM "
    "entry "
    "WHERE number = 2",
    "UPDATE chain SET entries = 1",
    "UPDATE chain SET head = 'x'",
    "UPDATE chain SET record = 'x'",
    "DELETE FROM chain",
    "INSERT INTO chain VALUES (1, 'x', 0, 'x')",
    "INSERT OR REPLACE INTO chain VALUES (1, 'x', 0, 'x')",
    "UPDATE aircraft_file SET text = x'00'",
    "DELETE FROM aircraft_file",
    "INSERT OR REPLACE INTO aircraft_file SELECT hash, x'00' FROM aircraft_file",
]


def test_the_guards_refuse(bench: Bench) -> None:
    bench.save()
    bench.save()
    database = sqlite3.connect(bench.record.path, isolation_level=None)
    for statement in STATEMENTS:
        with pytest.raises(sqlite3.IntegrityError):
            database.execute(statement)
    database.close()
    assert verify(bench.record).whole
    assert bench.record.head()[0] == 2
