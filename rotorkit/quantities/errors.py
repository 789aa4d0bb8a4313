"""The one error for input that is not what was needed."""

from __future__ import annotations

from rotorkit.visible import in_a_line


class QuantityError(ValueError):
    """Something typed or passed is not the quantity needed. The message says what is needed, what came, what to do.

    problems: (argument or field name, message) pairs, where several came at once.
    """

    def __init__(self, message: str, problems: list[tuple[str, str]] | None = None) -> None:
        super().__init__(message)
        self.problems = problems or []


def shortened(text: str, most: int = 40) -> str:
    """What was typed, in quotes, for a message: cut short, and with nothing in it that cannot be seen."""
    clean = in_a_line(text[:most])
    return f"'{clean}…'" if len(text) > most else f"'{clean}'"
