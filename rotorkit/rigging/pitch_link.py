r"""Pitch links: what a turn or a flat does to the blade angle.

Geometry
--------
The link pushes the end of the pitch horn, at the arm ``a`` from the feathering axis. If the link stays parallel with
itself and stands square to the horn, a change of length ``dL`` turns the blade by

    angle = asin(dL / a)

For small angles this is ``dL / a``. The ratio of the two is ``1 + x^2 / 6`` with ``x = dL / a``: 0.17 per cent apart at
x = 0.1 (5.7 deg), 0.004 deg at 4 deg. A flat is some 0.05 deg: there the two cannot be told apart.

A horn that is not square to the link, but ``h`` away from it, moves more for the same change:
``sin(h + angle) = sin(h) + dL / a`` (`angle_horn_not_square`); 20 deg away makes 6 per cent. And a link that does not
stay parallel, because its lower end is held at a point, follows the triangle exactly (`angle_short_link`): started
square it stays so near the parallel link (8 in on an arm of 6.5 in: 0.0002 deg apart after half an inch) that the
difference can be forgotten.

Sign: a change of length is positive longer. Whether a longer link raises or lowers the blade angle depends on whether
the horn leads or trails the blade: it is stated in words, never assumed.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Literal

from rotorkit import sources
from rotorkit.formula import acos, asin, atan, formula, sin, sqrt
from rotorkit.formula.contract import si_of
from rotorkit.judging.measured import Measured
from rotorkit.quantities import Angle, Length, QuantityError, from_si
from rotorkit.rigging.threads import Thread, thread

_ARM = ("1e-3 m", None)
_INCHES = ("in", "mm")
_DEGREES = {"arm": _INCHES, "length_change": _INCHES, "result": ("deg", "deg")}
_LETTERS = {"length_change": r"\Delta L", "arm": "a"}

LENGTHENING = ("raises the blade angle", "lowers the blade angle")
"""What a longer link does, in words."""


@formula(
    source=sources.ARITHMETIC.at("link square to its horn and parallel with itself"),
    letters=_LETTERS,
    result=r"\Delta\theta",
    valid={"arm": _ARM},
    shown=_DEGREES,
    title="Angle from a length change",
)
def angle_from_length_change(length_change: Length, arm: Length) -> Angle:
    """Blade angle that a change of the link's length makes, exactly, for a link square to its horn.

    Parameters
    ----------
    length_change : Length
        [length] of the link, positive longer; not more than the arm either way
    arm : Length
        [length] of the pitch horn: feathering axis to the link's upper bearing, square to both

    Returns
    -------
    Angle
        The angle, of the sign of the length change.

    Raises
    ------
    QuantityError
        a unit is missing, or the change is more than the arm.

    Examples
    --------
    One turn of one 1/4-28 end on 6.5 in: asin(0.035714 / 6.5) = 0.3148 deg.

    >>> from rotorkit.quantities import say
    >>> say(angle_from_length_change("1/28 in", "6.5 in"), "deg", digits=4)
    '0.3148°'
    """
    return asin(length_change / arm)


@formula(
    source=sources.ARITHMETIC.at("small angle of the same"),
    letters=_LETTERS,
    result=r"\Delta\theta",
    valid={"arm": _ARM},
    shown=_DEGREES,
    title="Angle from a length change, small angles",
)
def angle_small(length_change: Length, arm: Length) -> Angle:
    """Blade angle that a change of the link's length makes, for small angles: the change over the arm.

    Too small by x^2/6 of itself, x = change over arm: 0.17 per cent at 5.7 deg, 0.7 per cent at 11.5 deg.

    Examples
    --------
    0.3 in on 6.5 in: 2.6444 deg, where the exact relation gives 2.6454 deg.

    >>> from rotorkit.quantities import say
    >>> say(angle_small("0.3 in", "6.5 in"), "deg", digits=5), say(
    ...     angle_from_length_change("0.3 in", "6.5 in"), "deg", digits=5)
    ('2.6444°', '2.6454°')
    """
    return length_change / arm


@formula(
    source=sources.ARITHMETIC.at("link parallel with itself, horn not square to it"),
    letters={**_LETTERS, "horn_angle": "h"},
    result=r"\Delta\theta",
    valid={"arm": _ARM, "horn_angle": ("-80 deg", "80 deg")},
    shown=_DEGREES,
    title="Angle from a length change, horn not square to the link",
)
def angle_horn_not_square(length_change: Length, arm: Length, horn_angle: Angle) -> Angle:
    """Blade angle that a change of the link's length makes where the horn is not square to the link.

    Parameters
    ----------
    length_change : Length
        [length] positive where it turns the horn the way that `horn_angle` is counted
    arm : Length
        [length] of the pitch horn
    horn_angle : Angle
        [angle] of the horn from square, before the change: at another collective pitch than the one that
        squares it, it is the difference of the blade angles

    Returns
    -------
    Angle
        The angle by which the blade turns.

    Examples
    --------
    0.0714 in on 6.5 in at 20 deg: asin(0.34202 + 0.010989) - 20 = 0.6715 deg, where a square horn gives 0.6296.

    >>> from rotorkit.quantities import say
    >>> say(angle_horn_not_square("1/14 in", "6.5 in", "20 deg"), "deg", digits=4)
    '0.6715°'
    """
    return asin(sin(horn_angle) + length_change / arm) - horn_angle


@formula(
    source=sources.ARITHMETIC.at("triangle of arm, link and the line between their ends"),
    letters={**_LETTERS, "link_length": "l"},
    result=r"\Delta\theta",
    valid={"arm": _ARM, "link_length": _ARM},
    shown={**_DEGREES, "link_length": _INCHES},
    title="Angle from a length change, short link",
)
def angle_short_link(length_change: Length, arm: Length, link_length: Length) -> Angle:
    """Blade angle that a change of the link's length makes where its lower end is held at a point: exact in the plane.

    Before the change the link is square to the horn. Arm, link and the line from the feathering axis to the lower
    bearing make a triangle; that line does not change.

    Parameters
    ----------
    length_change : Length
        [length] positive longer
    arm : Length
        [length] of the pitch horn
    link_length : Length
        [length] between bearings before the change

    Returns
    -------
    Angle
        The angle.

    Examples
    --------
    Half an inch on 6.5 in: 4.4117 deg with a link that stays parallel, 4.4115 deg with one of 8 in.

    >>> from rotorkit.quantities import say
    >>> say(angle_short_link("0.5 in", "6.5 in", "8 in"), "deg", digits=5)
    '4.4115°'
    """
    return acos(
        (arm**2 + (arm**2 + link_length**2) - (link_length + length_change) ** 2)
        / (2 * arm * sqrt(arm**2 + link_length**2))
    ) - atan(link_length / arm)


@dataclass(frozen=True)
class PitchLink:
    """A pitch link: its threads, its horn, and what lengthening does.

    Parameters
    ----------
    arm : Any
        [length] of the pitch horn.
    upper_thread, lower_thread : str
        designations such as "1/4-28" and "1/4-28 left hand"; the lower one "" where one end
        alone is adjusted (taken off and turned).
    flats_per_turn : int
        of the body: 6 for a hexagon, 2 for two flats, 1 if only whole turns serve (a rod end).
    lengthening : Literal['raises the blade angle', 'lowers the blade angle']
        one of `LENGTHENING`.
    square_at : Any
        [angle] the blade angle at which the horn is square to the link; None if that is not known: then it
        is taken as square everywhere (20 deg away this is 6 per cent short).

    Raises
    ------
    QuantityError
        a thread or a length that cannot be read, a wrong word, or threads that cancel each other.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> link = PitchLink("6.5 in", "1/4-28", "1/4-28 left hand", 6, "raises the blade angle")
    >>> say(link.length_per_turn, "in", digits=4), say(link.angle_per_flat(), "deg", digits=3)
    ('0.07143 in', '0.105°')
    """

    arm: Any
    upper_thread: str
    lower_thread: str = ""
    flats_per_turn: int = 6
    lengthening: Literal["raises the blade angle", "lowers the blade angle"] = "raises the blade angle"
    square_at: Any = None

    def __post_init__(self) -> None:
        if self.lengthening not in LENGTHENING:
            raise QuantityError(f"lengthening: needs {' or '.join(map(repr, LENGTHENING))}, got {self.lengthening!r}")
        if isinstance(self.flats_per_turn, bool) or not 1 <= int(self.flats_per_turn) <= 12:
            raise QuantityError(f"flats_per_turn: needs 1 to 12 (a hexagon has 6), got {self.flats_per_turn!r}")
        if self._length_per_turn_si() < 1e-6:
            raise QuantityError(
                f"upper_thread {self.upper_thread} and lower_thread {self.lower_thread} are of one hand and one pitch: "
                f"turning the body changes nothing but the engagement. Is one of them left hand?"
            )
        self._arm_si()

    @property
    def upper(self) -> Thread:
        return thread(self.upper_thread)

    @property
    def lower(self) -> Thread | None:
        """The lower thread, or None where one end alone is adjusted."""
        return thread(self.lower_thread) if self.lower_thread else None

    @property
    def both_ends(self) -> bool:
        """Whether the body moves both ends at once: one thread right hand, the other left."""
        return self.lower is not None and self.upper.left_hand is not self.lower.left_hand

    def _arm_si(self) -> float:
        si = float(si_of(self.arm, Length, "arm")[0])
        if not si > 0:
            raise QuantityError(f"arm: needs a length above zero, got {self.arm}")
        return si

    @property
    def out_per_turn(self) -> tuple[float, ...]:
        """How far each end comes out of the body, in metres, for one turn longer (upper, lower); negative: goes in."""
        upper, lower = self.upper, self.lower
        one = float(si_of(upper.pitch, Length, "pitch")[0])
        if lower is None:
            return (one,)
        other = float(si_of(lower.pitch, Length, "pitch")[0])
        if self.both_ends:
            return (one, other)
        return (one, -other) if one > other else (-one, other)

    def _length_per_turn_si(self) -> float:
        return sum(self.out_per_turn)

    @property
    def length_per_turn(self) -> Any:
        """Change of length for one turn of the body, longer (a length)."""
        return from_si(self._length_per_turn_si(), Length)

    @property
    def length_per_flat(self) -> Any:
        """Change of length for one flat, longer (a length)."""
        return from_si(self._length_per_turn_si() / self.flats_per_turn, Length)

    def angle_per_flat(self, blade_angle: Any = None) -> Any:
        """Change of blade angle for one flat longer, with its sign (an angle).

        Parameters
        ----------
        blade_angle : Any
            [angle] at which it is wanted; matters only where `square_at` is known.
        """
        return self.angle_for_flats(1, blade_angle)

    def angle_for_flats(self, flats: float, blade_angle: Any = None) -> Any:
        """Change of blade angle for a number of flats at once, exactly (`angle_per_flat` times flats is good to a
        thousandth of a degree for two turns)."""
        sign = 1.0 if self.lengthening == LENGTHENING[0] else -1.0
        change = sign * self._length_per_turn_si() / self.flats_per_turn * flats
        away = 0.0
        if blade_angle is not None and self.square_at is not None:
            away = float(si_of(blade_angle, Angle, "blade_angle")[0]) - float(
                si_of(self.square_at, Angle, "square_at")[0]
            )
        si, carried = si_of(self.arm, Length, "arm")
        if carried is None or not carried.components:
            return from_si(angle_horn_not_square.si(change, float(si), away), Angle)
        return angle_horn_not_square(Measured(change, Length), carried, Measured(away, Angle))
