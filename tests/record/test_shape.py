"""The quick reader of an entry takes the demo's entries, and never one that the careful reader finds fault with."""

import copy
import json
from collections.abc import Iterator
from typing import Any

import pytest

from rotorkit.record import shape, verify
from rotorkit.record.chain import canonical, hash_of
from rotorkit.record.entry import SavedEntry
from rotorkit.record.looked_at import fault_in
from rotorkit.record.shape import _careful, _plainly_right
from tests.record.bench import CHECKS, Bench, plain_work

BAD: list[Any] = [None, True, 0, -1, 1.5, 1e201, -1e201, "", "x", "Force", "in limits", "2026-02-30", [], ["a"], {}]


def texts(bench: Bench) -> list[str]:
    return [entry.sealed.work for entry in bench.save_all()]


def places(value: Any, path: tuple[Any, ...] = ()) -> Iterator[tuple[Any, ...]]:
    """Where anything stands, of each list its first and last only."""
    if path:
        yield path
    if isinstance(value, dict):
        for key, part in value.items():
            yield from places(part, (*path, key))
    elif isinstance(value, list):
        for i in sorted({0, len(value) - 1} if value else ()):
            yield from places(value[i], (*path, i))


def at(value: Any, path: tuple[Any, ...]) -> Any:
    for step in path:
        value = value[step]
    return value


def test_what_the_demo_saves_is_read_quickly(bench: Bench) -> None:
    found = texts(bench)
    assert len(found) == len(CHECKS)
    assert all(_plainly_right(text) and not _careful(text) for text in found)
    assert _plainly_right(canonical(plain_work()))


def test_what_was_checked_is_not_read_once_more_and_what_was_altered_is(
    bench: Bench, monkeypatch: pytest.MonkeyPatch
) -> None:
    entry = bench.save("pedal_left_tension")
    assert verify(bench.record).whole
    reads: list[str] = []
    monkeypatch.setattr(shape, "_plainly_right", lambda text, data=None: reads.append(text) or False)
    (again,) = bench.record.entries()
    assert again.fault == ""
    assert again.outcome.word
    assert reads == []
    work = again.sealed.work.replace('"word":"in limits"', '"word":"in limit"')
    assert work != again.sealed.work
    forged = again.sealed._replace(work=work)
    assert "is not what rotorkit saves" in SavedEntry(forged, hash_of(forged)).fault
    assert reads == [work]
    assert SavedEntry(forged, entry.hash).fault == "was altered after it was saved"


@pytest.mark.parametrize("check", ["pedal_left_tension", "hover_today"])
def test_the_quick_reader_takes_nothing_that_the_careful_one_refuses(bench: Bench, check: str) -> None:
    """Each place of a real entry given three values, by turns of fifteen, that are hardly its own; then left out."""
    work = json.loads(bench.save(check).sealed.work)
    tried = refused = 0
    for turn, path in enumerate(places(work)):
        changed = copy.deepcopy(work)
        above, last = at(changed, path[:-1]), path[-1]
        for bad in BAD[turn % 5 :: 5]:
            above[last] = bad
            text = json.dumps(changed)
            tried += 1
            if _plainly_right(text):
                assert not _careful(text), (path, bad)
            else:
                refused += 1
        del above[last]
        text = json.dumps(changed)
        assert not _plainly_right(text) or not _careful(text), path
    assert tried > 500
    assert refused > tried / 2


def test_numbers_that_are_none_and_names_given_twice(bench: Bench) -> None:
    work = bench.save().sealed.work
    head = work.index('"value":')
    end = min(work.index(sign, head) for sign in ",}")
    for number in ("NaN", "Infinity", "1e400", "1e201", '"1"', "true", "9" * 400):
        text = f'{work[:head]}"value":{number}{work[end:]}'
        assert not _plainly_right(text), number
        assert _careful(text), number
    twice = work.replace('"word":"in limits"', '"word":"in limits","word":"fine"')
    assert not _plainly_right(twice)
    assert _careful(twice)


def test_a_part_of_a_later_version_is_left_to_the_careful_reader(bench: Bench) -> None:
    entry = bench.save()
    work = json.loads(entry.sealed.work)
    for beside in ({}, [[[1]]], "x"):
        work["outcome"]["later"] = beside
        text = canonical(work)
        assert not _plainly_right(text)
        assert fault_in(entry.sealed._replace(work=text)) == ""
    deep: Any = 1
    for _ in range(60):
        deep = [deep]
    for where in (work["outcome"], work["readings"], work["outcome"]["pictures"][0]):
        where["later"] = deep
        text = canonical(work)
        assert not _plainly_right(text)
        assert "in one another" in fault_in(entry.sealed._replace(work=text))
        del where["later"]


def test_too_many_of_anything_go_to_the_careful_reader(bench: Bench) -> None:
    entry = bench.save()
    work = json.loads(entry.sealed.work)
    work["outcome"]["remarks"] = ["a"] * 1_000_001
    text = json.dumps(work)
    assert not _plainly_right(text)
    assert "far more" in fault_in(entry.sealed._replace(work=text))
    work["outcome"]["remarks"] = []
    work["outcome"]["pictures"] = [{"picture": "None"}] * 1_001
    text = json.dumps(work)
    assert not _plainly_right(text)
    assert "sections" in fault_in(entry.sealed._replace(work=text))
