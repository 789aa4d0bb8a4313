"""A function kept by its figures: the origins are those of who asks, and whatever differs is worked anew."""

from typing import Any

import pytest

from rotorkit.judging.measured import Measured, Origin, measured, recently
from rotorkit.quantities import Length, Mass

WORKED: list[Any] = []


@recently(8)
def both(name: str, one: Measured, other: Measured) -> tuple[Measured, Measured, str]:
    WORKED.append(name)
    return one + other, one - other, name


@pytest.fixture(autouse=True)
def _nothing_worked() -> None:
    WORKED.clear()


def length(typed: str, label: str = "reading", **more: Any) -> Measured:
    return measured(typed, Length, label, **more)


def test_the_origins_are_those_of_who_asks() -> None:
    for typed in ("11 ± 1 in", "11 ± 1 in"):
        one, other = length(typed), length("3 ± 0.5 in")
        added, less, _ = both("origins", one, other)
        plain = one + other, one - other
        assert [added.components, less.components] == [two.components for two in plain]
        assert [added.si, less.si] == [two.si for two in plain]
    assert WORKED == ["origins"]


def test_what_two_share_still_cancels() -> None:
    apart = [length("12 ± 1 in"), length("4 ± 1 in")]
    shared = [length(typed, shared={"rule": "0.5 in"}) for typed in ("12 in", "4 in")]
    assert both("shared", *apart)[1].standard_si > 0
    assert both("shared", *shared)[1].standard_si == 0
    same = length("13 ± 1 in")
    assert both("same", same, same)[1].standard_si == 0
    assert both("same", same, length("13 ± 1 in"))[1].standard_si > 0


@pytest.mark.parametrize(
    "asked",
    [
        ("name", "14 in", "5 ± 1 in", None),
        ("other name", "14 ± 1 in", "5 ± 1 in", None),
        ("name", "14.0001 ± 1 in", "5 ± 1 in", None),
        ("name", "14 ± 1.001 in", "5 ± 1 in", None),
        ("name", "14 ± 1 in", "5 in", None),
        ("name", "14 ± 1 in", "5 ± 1 in", "mm"),
        ("name", "5 ± 1 in", "14 ± 1 in", None),
    ],
)
def test_whatever_differs_is_worked_anew(asked: tuple[str, str, str, str | None]) -> None:
    both("name", length("14 ± 1 in"), length("5 ± 1 in"))
    WORKED.clear()
    name, first, second, unit = asked
    one, other = length(first), length(second)
    one = one if unit is None else one.shown_in(unit)
    added, less, said = both(name, one, other)
    assert [name] == WORKED
    assert (added.si, added.components, added.unit) == ((plain := one + other).si, plain.components, plain.unit)
    assert (less.si, less.components, said) == ((one - other).si, (one - other).components, name)


def test_another_kind_is_another_question() -> None:
    both("kind", length("1 ± 0.1 m"), length("2 ± 0.1 m"))
    found, _, _ = both("kind", *(measured(f"{m} ± 0.1 kg", Mass, "mass") for m in (1, 2)))
    assert found.kind.alike(measured("1 kg", Mass, "mass").kind)


def test_an_origin_of_its_own_comes_through() -> None:
    @recently(2)
    def scattered(one: Measured) -> tuple[Measured]:
        return (Measured(one.si, one.kind, {**one.components, Origin("scatter"): 0.25}),)

    for _ in range(2):
        one = length("7 ± 1 in")
        assert scattered(one)[0].components == {**one.components, Origin("scatter"): 0.25}


def test_what_was_given_back_may_be_changed_without_harm() -> None:
    one, other = length("21 ± 1 in"), length("8 ± 1 in")
    both("changed", one, other)[0].components.clear()
    assert both("changed", one, other)[0].components == (one + other).components
