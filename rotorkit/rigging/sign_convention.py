"""Which way a protractor reads positive, and which blade angle is called positive.

A wrong sign here is the error that no later check catches: the figure looks right and the blade is set the wrong way.
So neither sign is ever assumed. Both are named in words, in the aircraft file, and the sign follows from the two.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class ChordTurn(StrEnum):
    """The way in which the chord turns about the blade's span, seen at the leading edge.

    Main rotor (shaft upright): the leading edge goes up or down. Tail rotor (shaft lying across the boom): it goes
    away from the boom or toward it.
    """

    LEADING_EDGE_UP = "leading edge up"
    LEADING_EDGE_DOWN = "leading edge down"
    LEADING_EDGE_AWAY_FROM_BOOM = "leading edge away from the tail boom"
    LEADING_EDGE_TOWARD_BOOM = "leading edge toward the tail boom"

    @property
    def opposite(self) -> ChordTurn:
        """The other way of the same pair."""
        return _OPPOSITE[self]


_OPPOSITE = {
    ChordTurn.LEADING_EDGE_UP: ChordTurn.LEADING_EDGE_DOWN,
    ChordTurn.LEADING_EDGE_DOWN: ChordTurn.LEADING_EDGE_UP,
    ChordTurn.LEADING_EDGE_AWAY_FROM_BOOM: ChordTurn.LEADING_EDGE_TOWARD_BOOM,
    ChordTurn.LEADING_EDGE_TOWARD_BOOM: ChordTurn.LEADING_EDGE_AWAY_FROM_BOOM,
}


@dataclass(frozen=True)
class SignConvention:
    """The two statements from which the sign of a blade angle follows.

    Parameters
    ----------
    protractor_positive : ChordTurn
        the turn of the chord that makes the protractor's reading rise (a ChordTurn or its text).
        Find it on the aircraft: turn the blade a little in a known direction and watch the reading.
    blade_positive : ChordTurn
        the turn of the chord that the kit maker's manual calls a positive blade angle.

    Raises
    ------
    ValueError
        a text is none of the four turns, or one statement speaks of up and down and the other of the tail
        boom.

    Examples
    --------
    >>> SignConvention("leading edge down", "leading edge up").sign
    -1
    """

    protractor_positive: ChordTurn
    blade_positive: ChordTurn

    def __post_init__(self) -> None:
        for field in ("protractor_positive", "blade_positive"):
            given = getattr(self, field)
            try:
                object.__setattr__(self, field, ChordTurn(str(given).strip().lower()))
            except ValueError:
                choices = "; ".join(turn.value for turn in ChordTurn)
                raise ValueError(f"{field}: needs one of: {choices}. Got {given!r}.") from None
        if self.protractor_positive not in (self.blade_positive, self.blade_positive.opposite):
            raise ValueError(
                f"protractor_positive is {self.protractor_positive.value!r} and blade_positive is "
                f"{self.blade_positive.value!r}: one cannot be compared with the other. Use up and down for both "
                f"(main rotor), or the tail boom for both (tail rotor)."
            )

    @property
    def sign(self) -> int:
        """+1 if the reading rises when the blade angle rises, -1 if it falls."""
        return 1 if self.protractor_positive is self.blade_positive else -1

    @property
    def sentence(self) -> str:
        """Both statements and what follows, for a form and a record."""
        return (
            f"Positive blade angle: {self.blade_positive.value}. The protractor's reading rises with the "
            f"{self.protractor_positive.value}, so that "
            f"blade angle = {'+' if self.sign > 0 else '-'}(reading - reference)."
        )
