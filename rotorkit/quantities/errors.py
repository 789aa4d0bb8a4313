"""The one error for input that is not what was needed."""

from __future__ import annotations


class QuantityError(ValueError):
    """Something typed or passed is not the quantity needed. The message says what is needed, what came, what to do.

    problems: (argument or field name, message) pairs, where several came at once.
    """

    def __init__(self, message: str, problems: list[tuple[str, str]] | None = None) -> None:
        super().__init__(message)
        self.problems = problems or []
