"""Stations and adjusters: what must be in limits, and what is turned to bring it there.

A station is a figure with a limit: a blade's angle at a stop, a travel, the difference of two blades, a cyclic range.
An adjuster is anything that is turned by whole flats and moves stations: a blade's pitch link, the collective rod, a
stop, a cyclic rod. How far one flat moves each station follows from the geometry (`rotorkit.rigging.rotor_effects`) or
was measured (`effect_per_flat`).
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from rotorkit.formula.contract import si_of
from rotorkit.judging.limits import Limit
from rotorkit.judging.measured import Measured
from rotorkit.quantities import QuantityError, from_si


def in_sentence(name: str) -> str:
    """A name within a sentence: its first word small, unless it is a letter by itself or written in capitals."""
    return name[:1].lower() + name[1:] if name[1:2].islower() else name


@dataclass(frozen=True)
class Station:
    """A figure that must be in limits.

    Parameters
    ----------
    name : str
        in words, such as "white blade, low stop"; no two alike.
    reading : Measured
        as it stands now, a Measured.
    limit : Limit
        of one side or both.
    scale : Any
        for a limit with one side only, what counts as a half width (of the reading's kind): how far inside is as
        good as one needs.
    parts : Mapping[str, float]
        for a figure worked out from other stations, how much of each, by name; see `combined_station`.
    """

    name: str
    reading: Measured
    limit: Limit
    scale: Any = None
    parts: Mapping[str, float] = field(default_factory=dict)

    @property
    def half_width_si(self) -> float:
        """Half the width of the limit (or the scale), SI."""
        low, high = self.limit.low_si, self.limit.high_si
        if low is not None and high is not None:
            if not high > low:
                raise QuantityError(f"{self.name}: the limit {self.limit.text} has no width; no flat can meet it")
            return (high - low) / 2
        if self.limit.open:
            raise QuantityError(f"{self.name}: needs a limit; leave a station without one out")
        if self.scale is None:
            raise QuantityError(
                f"{self.name}: the limit has one side only ({self.limit.text}). Give the other side, or scale: how far "
                f"inside is as good as one needs, such as 0.5 {self.reading.kind.us}"
            )
        size = abs(float(si_of(self.scale, self.reading.kind, "scale")[0]))
        if not size > 0:
            raise QuantityError(f"{self.name}: scale needs to be above zero, got {self.scale}")
        return size

    @property
    def deviation(self) -> float:
        """Where the reading lies: 0 at mid-limit, 1 at the high side, -1 at the low side."""
        low, high, half = self.limit.low_si, self.limit.high_si, self.half_width_si
        value = float(self.reading.si)
        if low is not None and high is not None:
            return (value - (low + high) / 2) / half
        if high is not None:
            return (value - high) / half + 1.0
        assert low is not None
        return (value - low) / half - 1.0


@dataclass(frozen=True)
class Adjuster:
    """Something that is turned by whole flats.

    Parameters
    ----------
    name : str
        in words, such as "white pitch link"; no two alike.
    effects : Mapping[str, Any]
        by the station's name, the change of its reading for one flat in the positive direction: text with
        unit, a quantity or a Measured. A station that is not named is not moved.
    least, most : int
        how many flats it may be turned, least zero or less, most zero or more: from the thread engagement
        (`flats_within_engagement`).
    flats_per_turn : int
        of its body, to say turns.
    positive, negative : str
        what the two directions are called.
    """

    name: str
    effects: Mapping[str, Any]
    least: int = -12
    most: int = 12
    flats_per_turn: int = 6
    positive: str = "longer"
    negative: str = "shorter"

    def __post_init__(self) -> None:
        for side in ("least", "most"):
            given = getattr(self, side)
            if isinstance(given, bool) or int(given) != given:
                raise QuantityError(f"{self.name}: {side} needs a whole number of flats, got {given!r}")
        if not self.least <= 0 <= self.most:
            raise QuantityError(
                f"{self.name}: needs least <= 0 <= most, got {self.least} and {self.most}: the setting it has now must "
                f"be an allowed one"
            )

    def effect_si(self, station: str) -> float:
        """The effect of one flat on a station in SI units, its uncertainty left aside."""
        given = self.effects[station]
        return float(given.si if isinstance(given, Measured) else given.to_base_units().magnitude)

    def instruction(self, flats: int) -> str:
        """What to do, in words.

        >>> Adjuster("white pitch link", {}).instruction(-9)
        'white pitch link: 9 flats shorter (1 1/2 turns)'
        """
        if not flats:
            return f"{self.name}: leave as it is"
        word = self.positive if flats > 0 else self.negative
        count = abs(flats)
        return f"{self.name}: {count} flat{'s' if count > 1 else ''} {word} ({_turns(count, self.flats_per_turn)})"


def _turns(flats: int, per_turn: int) -> str:
    whole, rest = divmod(flats, per_turn)
    divisor = math.gcd(rest, per_turn)
    part = f"{rest // divisor}/{per_turn // divisor}" if rest else ""
    many = whole > 1 or (whole == 1 and rest)
    return f"{' '.join(p for p in (str(whole) if whole else '', part) if p)} turn{'s' if many else ''}"


def effect_per_flat(before: Measured, after: Measured, flats: int) -> Measured:
    """What one flat does to a station, from readings before and after a number of flats were turned.

    What both readings share (a reference, a zero) cancels. Turn many flats, or the uncertainty of the two readings
    drowns the effect.

    Parameters
    ----------
    before, after : Measured
        of one station, Measured of one kind.
    flats : int
        turned between them, positive in the adjuster's positive direction, not zero.

    Examples
    --------
    8.0 deg before, 8.6 deg after 6 flats: 0.1 deg for each flat.

    >>> from rotorkit.judging.measured import measured
    >>> from rotorkit.quantities import Angle, say
    >>> before, after = measured("8.0 deg", Angle, "before"), measured("8.6 deg", Angle, "after")
    >>> say(effect_per_flat(before, after, 6), "deg", digits=2)
    '0.10°'
    """
    if not flats:
        raise QuantityError("flats: needs a number other than zero; turn the link and read again")
    return (after - before) / flats


def combined_station(name: str, parts: Sequence[tuple[float, Station]], limit: Limit, scale: Any = None) -> Station:
    """A station worked out from others: a travel (+1 high stop, -1 low stop), a mean, a difference.

    What the readings share cancels in it. Give its parts to `what_to_turn` too only if they have limits of their own;
    their effects are found by name either way.
    """
    if not parts:
        raise QuantityError(f"{name}: needs the stations that it is made of")
    reading = parts[0][1].reading * float(parts[0][0])
    for weight, station in parts[1:]:
        reading = reading + station.reading * float(weight)
    made: dict[str, float] = {}
    for weight, station in parts:
        for of, share in (station.parts or {station.name: 1.0}).items():
            made[of] = made.get(of, 0.0) + float(weight) * share
    return Station(name, reading, limit, scale, made)


def difference_stations(stations: Sequence[Station], greatest: Any, source: str, name: str = "") -> list[Station]:
    """The differences of all pairs of blades at one control position: a limit on the blade-to-blade spread.

    The largest less the smallest is within `greatest` exactly when every pair is.

    Parameters
    ----------
    stations : Sequence[Station]
        one for each blade, at the same control position.
    greatest : Any
        of the spread, of the readings' kind.
    source : str
        the manual page.
    name : str
        of the position, for the names of the pairs.
    """
    found = []
    for one, other in itertools.combinations(stations, 2):
        kind = one.reading.kind
        size = abs(float(si_of(greatest, kind, "greatest")[0]))
        title = f"{one.name} less {in_sentence(other.name)}" + (f", {name}" if name else "")
        limit = Limit(title, kind, from_si(-size, kind), from_si(size, kind), source, one.limit.unit)
        found.append(combined_station(title, [(1.0, one), (-1.0, other)], limit))
    return found
