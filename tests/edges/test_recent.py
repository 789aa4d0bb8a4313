"""What was worked a moment ago: found by all that it rests on, so many and no more, and never an error."""

import pytest

from rotorkit.edges.recent import Recent, TheVerySame, exactly, forget


def test_it_is_worked_once_by_its_key() -> None:
    kept, worked = Recent[str](2), []

    def of(key: str) -> str:
        return kept.get(key, lambda: worked.append(key) or f"came to {key}")  # type: ignore[func-returns-value]

    assert [of("a"), of("b"), of("a")] == ["came to a", "came to b", "came to a"]
    assert worked == ["a", "b"]
    of("c")  # the one asked for longest ago, b, goes
    assert [of("a"), of("b")] == ["came to a", "came to b"]
    assert worked == ["a", "b", "c", "b"]


def test_an_error_is_not_kept() -> None:
    kept = Recent[float](2)
    with pytest.raises(ZeroDivisionError):
        kept.get("a", lambda: 1 / 0)
    assert kept.get("a", lambda: 2.0) == 2.0


def test_two_stores_share_nothing() -> None:
    assert Recent[int](2).get("a", lambda: 1) == 1
    assert Recent[int](2).get("a", lambda: 2) == 2


def test_all_can_be_forgotten() -> None:
    kept = Recent[int](2)
    assert kept.get("a", lambda: 1) == 1
    forget()
    assert kept.get("a", lambda: 2) == 2


def test_figures_count_to_the_last_bit() -> None:
    assert exactly(0.1, 2.0) == exactly(0.1, 2.0)
    assert exactly(0.1) != exactly(0.1 + 2e-17)
    assert exactly(0.0) != exactly(-0.0)
    assert exactly(1.0, 2.0) != exactly(2.0, 1.0)


def test_things_count_as_themselves() -> None:
    one, other = [1], [1]
    assert TheVerySame(one, "a") == TheVerySame(one, "a")
    assert hash(TheVerySame(one)) == hash(TheVerySame(one))
    assert TheVerySame(one) != TheVerySame(other)
    assert TheVerySame(one) != TheVerySame(one, one)
    assert TheVerySame(one, other) != TheVerySame(other, one)
    assert TheVerySame(one) != one
