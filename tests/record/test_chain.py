"""The canonical form, and that another program can check a record with nothing but JSON and SHA-256."""

import hashlib
import json
import sqlite3
import struct

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rotorkit.record import export_lines
from rotorkit.record.chain import canonical
from tests.record.bench import Bench

# RFC 8785, Appendix B: the bits of a double and the text that stands for it.
RFC_8785_NUMBERS = [
    ("0000000000000000", "0"),
    ("8000000000000000", "0"),
    ("0000000000000001", "5e-324"),
    ("8000000000000001", "-5e-324"),
    ("7fefffffffffffff", "1.7976931348623157e+308"),
    ("ffefffffffffffff", "-1.7976931348623157e+308"),
    ("4340000000000000", "9007199254740992"),
    ("c340000000000000", "-9007199254740992"),
    ("4430000000000000", "295147905179352830000"),
    ("44b52d02c7e14af5", "9.999999999999997e+22"),
    ("44b52d02c7e14af6", "1e+23"),
    ("44b52d02c7e14af7", "1.0000000000000001e+23"),
    ("444b1ae4d6e2ef4e", "999999999999999700000"),
    ("444b1ae4d6e2ef4f", "999999999999999900000"),
    ("444b1ae4d6e2ef50", "1e+21"),
    ("3eb0c6f7a0b5ed8c", "9.999999999999997e-7"),
    ("3eb0c6f7a0b5ed8d", "0.000001"),
    ("41b3de4355555553", "333333333.3333332"),
    ("41b3de4355555557", "333333333.33333343"),
    ("becbf647612f3696", "-0.0000033333333333333333"),
    ("43143ff3c1cb0959", "1424953923781206.2"),
]


@pytest.mark.parametrize(("bits", "text"), RFC_8785_NUMBERS)
def test_numbers_are_written_as_the_standard_writes_them(bits: str, text: str) -> None:
    (value,) = struct.unpack(">d", bytes.fromhex(bits))
    assert canonical(value) == text


def test_texts_and_keys_are_written_as_the_standard_writes_them() -> None:
    # RFC 8785, 3.2.2.2 and 3.2.3: short escapes, lower-case hexadecimal, nothing else escaped; keys by UTF-16 units
    assert canonical('\u20ac$\x0f\nA\'B"\\\\"/\b\x7f') == '"\u20ac$\\u000f\\nA\'B\\"\\\\\\\\\\"/\\b\x7f"'
    assert canonical({"\ufb33": 1, "\U0001f600": 2, "\r": 3, "1": 4}) == '{"\\r":3,"1":4,"\U0001f600":2,"\ufb33":1}'
    assert canonical([True, False, None, [], {}, "\x00"]) == '[true,false,null,[],{},"\\u0000"]'


@given(st.floats(allow_nan=False, allow_infinity=False))
def test_a_number_reads_back_the_same(value: float) -> None:
    assert float(json.loads(canonical(value))) == value


@given(st.text(st.characters(exclude_categories=["Cs"])))
def test_a_text_reads_back_the_same(text: str) -> None:
    assert json.loads(canonical(text)) == text
    assert canonical(text).isprintable() or all(ord(c) >= 0x20 for c in canonical(text))


@pytest.mark.parametrize("value", [float("nan"), float("inf"), 2**60])
def test_what_not_every_program_keeps_exactly_is_refused(value: float) -> None:
    with pytest.raises(ValueError, match=r"kept|exactly"):
        canonical(value)


def test_another_program_can_check_the_database(bench: Bench) -> None:
    """By the description alone: standard library, no rotorkit."""
    bench.prepared(Bench.save_all)
    database = sqlite3.connect(bench.record.path)
    (before,) = database.execute("SELECT record FROM chain").fetchone()
    rows = database.execute(
        "SELECT number, check_name, saved, local, aircraft_file, replaces, previous, hash, work FROM entry ORDER BY "
        "number"
    ).fetchall()
    assert len(rows) == 5
    for number, check, saved, local, file, replaces, previous, hash_, work in rows:
        sealed = {
            "aircraft_file": file, "check": check, "local": local, "number": number, "previous": previous,
            "replaces": replaces, "saved": saved,
        }  # fmt: skip
        text = json.dumps(sealed, sort_keys=True, separators=(",", ":"), ensure_ascii=False)
        assert hashlib.sha256(f'{text[:-1]},"work":{work}}}'.encode()).hexdigest() == hash_
        assert previous == before
        assert canonical(json.loads(work)) == work
        before = hash_
    for file, text in database.execute("SELECT hash, text FROM aircraft_file"):
        assert hashlib.sha256(text).hexdigest() == file
        assert text == (bench.path / "aircraft.toml").read_bytes()


def test_another_program_can_check_an_export(bench: Bench, tmp_path: str) -> None:
    bench.prepared(Bench.save_all)
    export_lines(bench.record, bench.path / "out.jsonl")
    head, file, *entries = (bench.path / "out.jsonl").read_bytes().splitlines()
    before = json.loads(head)["record"]
    assert hashlib.sha256(json.loads(file)["text"].encode()).hexdigest() == json.loads(file)["aircraft_file"]
    for line in entries:
        hash_ = hashlib.sha256(line[line.index(b'"sealed":') + 9 : -1]).hexdigest()
        assert json.loads(line)["hash"] == hash_
        assert json.loads(line)["sealed"]["previous"] == before
        before = hash_
    assert json.loads(head)["head"] == before
