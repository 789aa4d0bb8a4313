"""The one error for input that is not what was needed."""

from __future__ import annotations

from rotorkit.edges.visible import in_a_line


class QuantityError(ValueError):
    """Something typed or passed is not the quantity needed. The message says what is needed, what came, what to do.

    problems: (argument or field name, message) pairs, where several came at once.
    """

    def __init__(self, message: str, problems: list[tuple[str, str]] | None = None) -> None:
        super().__init__(message)
        self.problems = problems or []


class AmbiguousReading(QuantityError):
    """A text that can be meant in two ways. ways: each of them written so that it means one thing only; the first is
    what is taken where no other is possible."""

    def __init__(self, typed: str, *ways: str) -> None:
        said = " or ".join(f'"{way}"' if "'" in way else f"'{way}'" for way in ways)
        count = {2: "two", 3: "three"}.get(len(ways), "several")
        super().__init__(f"{shortened(typed)} can be meant in {count} ways: type {said}")
        self.ways = ways


def shortened(text: str, most: int = 40) -> str:
    """What was typed, in quotes, for a message: cut short, and with nothing in it that cannot be seen."""
    clean = in_a_line(text[:most])
    return f"'{clean}…'" if len(text) > most else f"'{clean}'"
