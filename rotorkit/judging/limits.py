"""Limits and verdicts: is a measured figure in limits, given how well it is known?

The decision rule: in limits where the whole expanded uncertainty (k = 2) lies inside the limit, out of limits where it
lies wholly outside, and otherwise too close to call, with what would settle it (ISO 14253-1:2017; JCGM 106:2012,
8.3.2).
"""

from __future__ import annotations

import functools
import math
from dataclasses import dataclass
from typing import Any

from rotorkit.judging.measured import Measured
from rotorkit.quantities import (
    Kind,
    QuantityError,
    display_system,
    from_si,
    kind_of,
    read,
    rounded_pair,
    say,
    unit_factor,
    unit_for_display,
    unit_label,
)
from rotorkit.quantities.bare import taken
from rotorkit.quantities.pint_inside import is_quantity, units_of
from rotorkit.quantities.registry import si_units
from rotorkit.quantities.saying import smaller_unit, unit_text

IN_LIMITS = "in limits"
OUT_OF_LIMITS = "out of limits"
TOO_CLOSE = "too close to call"
NO_LIMIT = "no limit given"
UNDONE = "no verdict yet"
"""The verdict where something must be done or looked at first: of a figure, and of a job of which a part is missing."""
WORDS = (OUT_OF_LIMITS, TOO_CLOSE, UNDONE, NO_LIMIT, IN_LIMITS)
"""The verdicts, worst first."""


@dataclass(frozen=True)
class Verdict:
    """A figure judged against a limit.

    word: one of `WORDS`. measured: the figure. limit: what it was judged against, or None. sentence: figure, limit and
    word in one line. settle: what would settle a figure that is too close to call, or what to do; may be empty.
    probability: the chance that the true value is inside, for a normal distribution (JCGM 106:2012, 7.2); None with
    no limit or no uncertainty.
    """

    word: str
    measured: Measured
    limit: Limit | None
    sentence: str
    settle: str = ""
    probability: float | None = None

    @property
    def good(self) -> bool:
        """Whether the figure is in limits for certain."""
        return self.word == IN_LIMITS

    @property
    def room(self) -> float:
        """How far the figure lies inside its limit, in its own expanded uncertainties: 1 where the whole of it is just
        inside, negative outside, infinite where nothing limits it. To tell which of several figures is the nearest.

        A figure without uncertainty, such as a count, is infinitely far inside or outside.
        """
        if self.limit is None or self.limit.open:
            return math.inf
        low, high, value = self.limit.low_si, self.limit.high_si, float(self.measured.si)
        gap = min([*([value - low] if low is not None else []), *([high - value] if high is not None else [])])
        spread = float(self.measured.expanded_si)
        return gap / spread if spread else math.copysign(math.inf, gap)

    @property
    def undone(self) -> bool:
        """Whether there is no verdict because something was not done or looked at yet, not for lack of a limit."""
        return self.word == UNDONE


@dataclass(frozen=True)
class Limit:
    """A limit: low and high side (either may be open), its source, and how to say it.

    name: what is limited. kind: a kind such as ``Angle``. low, high: text with unit, a quantity, or None for open.
    source: where it comes from (the kit manual's page). unit: the unit to say it in, as typed, or None.

    >>> from rotorkit.judging.measured import measured
    >>> from rotorkit.quantities import Force
    >>> Limit("cable tension", Force, "30 lb", "40 lb", "manual 7-12").judge(measured("35 ± 1 lb", Force, "gauge")).word
    'in limits'
    """

    name: str
    kind: Any
    low: Any = None
    high: Any = None
    source: str = ""
    unit: str | None = None

    def __post_init__(self) -> None:
        kind = kind_of(self.kind)
        if kind is None:
            raise TypeError(f"Limit {self.name}: kind must be a kind such as Angle, got {self.kind!r}")
        object.__setattr__(self, "kind", kind)
        low, high = self.low_si, self.high_si
        if low is not None and high is not None and low > high:
            raise QuantityError(
                f"the limit of {self.name} is upside down: low {self._typed(self.low, low)} is above high "
                f"{self._typed(self.high, high)}"
            )

    @functools.cached_property
    def low_si(self) -> float | None:
        return _side_si(self.low, self.kind)

    @functools.cached_property
    def high_si(self) -> float | None:
        return _side_si(self.high, self.kind)

    @property
    def said_in(self) -> str | None:
        """The unit to say it in, in the display system in force: its own, else the one that a side was typed in; None
        for the kind's own."""
        unit = self.own_unit
        if unit is None:
            return None
        said = unit_for_display(unit, self.kind)
        return (
            said
            if said == unit
            else smaller_unit(said, max(abs(one) for one in (self.low_si, self.high_si) if one is not None))
        )

    @functools.cached_property
    def own_unit(self) -> str | None:
        """Its own unit, else the one that a side was typed in; None for the kind's own."""
        unit = self.unit
        if unit is None:
            side = next((side for side in (self.low, self.high) if side is not None), None)
            quantity: Any = read(side, self.kind).value if isinstance(side, str) else getattr(side, "value", side)
            # a plain SI quantity was not typed: the kind's own unit says it better
            if is_quantity(quantity) and units_of(quantity) != si_units(self.kind):
                unit = unit_text(units_of(quantity))
        return unit

    @property
    def converted(self) -> bool:
        """Whether the display system in force says it in another unit than its own."""
        return self.own_unit is not None and self.said_in != self.own_unit

    @property
    def open(self) -> bool:
        """Whether neither side is given."""
        return self.low is None and self.high is None

    def _side(self, si: float) -> str:
        """One side, without the zeros that a figure of a given precision would have: a limit is exact."""
        return _side_said(si, self.kind, self.said_in, self.digits, display_system())

    @property
    def digits(self) -> int:
        """To how many digits a side is said: said in another unit than its own to four; what is judged is the exact
        one."""
        return 4 if self.converted else 6

    def _typed(self, side: Any, si: float) -> str:
        return read(side, self.kind).understood if isinstance(side, str) else self._side(si)

    @property
    def text(self) -> str:
        """The limit in words: "30 lbf to 40 lbf", "at most 0.5°"."""
        low, high = self.low_si, self.high_si
        if low is not None and high is not None:
            return f"{self._side(low)} to {self._side(high)}"
        if high is not None:
            return f"at most {self._side(high)}"
        return f"at least {self._side(low)}" if low is not None else NO_LIMIT

    def judge(self, figure: Measured) -> Verdict:
        """The verdict on a figure. A figure without any uncertainty is judged by its value alone, and that is said."""
        word, value, spread, low, high = self._judged(figure)
        if self.open:
            return Verdict(NO_LIMIT, figure, self, f"{self.name}: {say(figure)}; {NO_LIMIT}")
        sentence = f"{self.name}: {say(figure, self.said_in)}; limit {self.text}: {word}"
        if not spread:
            sentence += " (no uncertainty given)"
        return Verdict(
            word,
            figure,
            self,
            sentence,
            self._settle(word, value, spread, low, high, figure),
            _inside(figure, low, high),
        )

    def word(self, figure: Measured) -> str:
        """The verdict's word alone, for one of many figures of which nothing else is told."""
        return self._judged(figure)[0]

    def _judged(self, figure: Measured) -> tuple[str, float, float, float, float]:
        """(word, value, its ±, low side, high side), in SI units; a side that is open lies at infinity."""
        if not isinstance(figure, Measured) or not self.kind.alike(figure.kind):
            came = figure.kind.name if isinstance(figure, Measured) else f"a {type(figure).__name__}"
            raise QuantityError(f"the limit of {self.name} is for {self.kind.name}, measured; got {came}")
        if getattr(figure.si, "shape", ()) or not math.isfinite(figure.si) or not math.isfinite(figure.expanded_si):
            raise QuantityError(f"the limit of {self.name} judges one figure at a time, and a finite one")
        value, spread = float(figure.si), float(figure.expanded_si)
        if self.open:
            return NO_LIMIT, value, spread, -math.inf, math.inf
        low = -math.inf if (found := self.low_si) is None else found
        high = math.inf if (found := self.high_si) is None else found
        # a figure typed exactly at the limit may differ from it in the last bit of the conversion
        slack = 1e-12 * max(abs(side) for side in (low, high, value) if math.isfinite(side))
        if low - slack <= value - spread and value + spread <= high + slack:
            word = IN_LIMITS
        elif value + spread < low - slack or value - spread > high + slack:
            word = OUT_OF_LIMITS
        else:
            word = TOO_CLOSE
        return word, value, spread, low, high

    def _settle(self, word: str, value: float, spread: float, low: float, high: float, figure: Measured) -> str:
        unit = self.said_in or figure.shown_unit(display_system())
        if word == OUT_OF_LIMITS:
            short = low - value if value < low else value - high
            side = "below the lower limit" if value < low else "above the upper limit"
            return f"{_size(short, unit, self.kind)} {side}"
        if word != TOO_CLOSE:
            return ""
        gap = min(abs(value - low), abs(value - high))
        gap_said, spread_said = _size(gap, unit, self.kind), _size(spread, unit, self.kind)
        blamed = _blamed(figure)
        if low <= value <= high and high - low < 2 * spread:
            return (
                f"the limit is narrower than the uncertainty, {spread_said}: bring that below "
                f"{_size((high - low) / 2, unit, self.kind)}; {blamed}"
            )
        if gap <= 1e-9 * max(abs(value), 1e-12):
            return (
                f"the figure lies on the limit itself, uncertainty {spread_said}: adjust, since no instrument can "
                f"tell; {blamed}"
            )
        where = "inside" if low <= value <= high else "outside"
        return (
            f"the figure lies {gap_said} {where} the limit, uncertainty {spread_said}: adjust, or bring the "
            f"uncertainty below {gap_said}; {blamed}"
        )


def _blamed(figure: Measured) -> str:
    """Where most of a figure's doubt comes from, or the largest part of it."""
    shares: dict[str, float] = {}
    for row in figure.budget():
        shares[row.label] = shares.get(row.label, 0.0) + row.share
    label, share = max(shares.items(), key=lambda item: item[1])
    return f"{'largest' if share <= 0.5 else 'main'} contributor: {label}"


@functools.lru_cache(maxsize=1024)
def _side_said(si: float, kind: Kind, unit: str | None, digits: int, _system: str) -> str:
    """A side in words, which depend on the display system in force; limits are said again with every working."""
    number, _, label = say(from_si(si, kind), unit, digits=digits).partition(" ")
    bare = number.removesuffix("°")
    bare = bare.rstrip("0").rstrip(".") if "." in bare and "e" not in bare else bare
    return bare + number[len(number.removesuffix("°")) :] + (f" {label}" if label else "")


def _side_si(side: Any, kind: Kind) -> float | None:
    if side is None:
        return None
    if isinstance(side, str) and read(side, kind).uncertainty is not None:
        raise QuantityError(f"a limit is exact, got {side!r}: the uncertainty belongs to the reading")
    try:
        found = float(taken(getattr(side, "value", side) if isinstance(side, Measured) else side, kind))
    except TypeError:
        raise QuantityError(f"a side of a limit is a single value, got {side!s:.60}") from None
    if not math.isfinite(found):
        raise QuantityError(f"a side of a limit is a finite value, or None where it is open; got {found}")
    return found


def _size(si: float, unit: str, kind: Kind) -> str:
    """A difference in the limit's unit, to two digits."""
    number, _ = rounded_pair(abs(si) / unit_factor(unit, kind), abs(si) / unit_factor(unit, kind) or 1.0)
    label = unit_label(unit, kind)
    return number + ("" if not label or label == "°" else " ") + label


def _inside(figure: Measured, low: float, high: float) -> float | None:
    u = float(figure.standard_si)
    if not u:
        return None
    value = float(figure.si)

    def below(x: float) -> float:
        return 0.5 * (1 + math.erf((x - value) / u / math.sqrt(2))) if math.isfinite(x) else float(x > 0)

    return below(high) - below(low)


def worst(verdicts: list[Verdict]) -> str:
    """The worst word of several verdicts; `NO_LIMIT` where there are none."""
    words = {verdict.word for verdict in verdicts}
    return next((word for word in WORDS if word in words), NO_LIMIT)
