"""Which entries were looked at already: what such an entry holds is not read once more, in this program or the next.

An entry is known again by the hash that all its parts give. Only for one that nobody knows is the description of an
entry loaded (`rotorkit.record.shape`), and with it what figures and units need.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator
from contextlib import contextmanager, suppress

from rotorkit.edges.kept import our_code, remember, remembered
from rotorkit.record.chain import Sealed, is_hash

LOOKED_AT = "entries"


_RIGHT: set[str] = set()
"""The hashes of entries that were looked at in this process, and in which nothing is wrong."""
MOST_REMEMBERED = 50_000


def right() -> frozenset[str]:
    """The hashes of entries that were looked at, and in which nothing is wrong: what a later program of the same code
    need not look at again (`take_as_right`). The hash is over all that was looked at."""
    return frozenset(_RIGHT)


def take_as_right(hashes: Iterable[str]) -> None:
    """Take entries of these hashes as looked at, as `right` told them to an earlier program of the same code."""
    _RIGHT.update(one for one in hashes if is_hash(one))


def fault_in(sealed: Sealed, bytes_of_work: bytes | None = None, gives: str = "") -> str:
    """What in an entry's sealed parts is not as rotorkit saves them, in words; empty where nothing is.

    bytes_of_work, gives: its work in UTF-8 and the hash that its parts give, where the caller has worked them out. What
    gives the hash of an entry that was looked at already, by `verify` before it is shown, is not read once more.
    """
    if gives in _RIGHT:
        return ""
    from rotorkit.record.shape import fault_of

    fault = fault_of(sealed, bytes_of_work)
    if gives and not fault and len(_RIGHT) < MOST_REMEMBERED:
        _RIGHT.add(gives)
    return fault


@contextmanager
def entries_looked_at() -> Iterator[None]:
    """For who lists or shows entries: those that an earlier command of the same code looked at, by the hash that they
    still give, are not looked at again (`fault_in`); those that are looked at meanwhile are kept. What verifies,
    exports or imports a record looks at each."""
    of, before = our_code(), right()
    text = remembered(LOOKED_AT, of)
    with suppress(Exception):  # of whatever form it is, each is then looked at
        take_as_right(json.loads(text or "[]"))
    known = right()
    yield
    if right() != known:
        remember(LOOKED_AT, of, json.dumps(sorted(right() - before)))
