"""Trend of a cable's tension over time: is it giving, and when will it reach its limit?

A new cable gives at first and then holds. One that goes on giving is coming apart inside, or something it is tied to
is. Tensions must be carried to one temperature before they are compared (`tension_at_temperature`), or the seasons make
the trend. A gauge's error shared by all readings does not touch the slope; use the same gauge and riser.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from rotorkit.formula.contract import si_of
from rotorkit.judging.limits import Limit
from rotorkit.judging.measured import Measured, combine
from rotorkit.quantities import Force, ForcePerTime, QuantityError, Time, from_si, required_kind, say
from rotorkit.rigging.line_fit import least_squares

_FORCE, _TIME, _RATE = required_kind(Force), required_kind(Time), required_kind(ForcePerTime)
_DAY = 86400.0


@dataclass(frozen=True)
class TensionLine:
    """A straight line through the tensions.

    slope: Measured force per time; its uncertainty is the scatter of the readings about the line where that is more
    than their own. first_si, last_si: seconds from the first reading, zero and the last's. residuals_si: newtons.
    freedom: readings less two.
    """

    slope: Measured
    at_first: Measured
    last_si: float
    residuals_si: tuple[float, ...]
    freedom: int

    @property
    def word(self) -> str:
        """ "falling", "rising", or "no trend seen" where the slope is less than its expanded uncertainty."""
        value, spread = float(self.slope.si), float(self.slope.expanded_si)
        if abs(value) <= spread:
            return "no trend seen"
        return "falling" if value < 0 else "rising"

    @property
    def sentence(self) -> str:
        """The trend in one line."""
        days = self.last_si / _DAY
        if self.freedom < 1:
            return f"Two readings in {days:.0f} days make a line, not yet a trend: {say(self.slope)}."
        return f"Over {days:.0f} days: {self.word} ({say(self.slope)})."

    def at(self, since_first: Any) -> Measured:
        """The tension that the line gives at a time since the first reading."""
        t = float(si_of(since_first, _TIME, "since_first")[0])
        value = float(self.at_first.si) + t * float(self.slope.si)
        return combine(value, Force, [self.at_first, self.slope], [1.0, t])

    def reaches(self, limit: Limit) -> Any:
        """When, counted from the first reading, the line crosses the side of the limit that it is going to (a time).

        None where no trend is seen, the side is open, or the line starts beyond it. A look ahead, no promise.
        """
        side = {"falling": limit.low_si, "rising": limit.high_si}.get(self.word)
        if side is None:
            return None
        time = (side - float(self.at_first.si)) / float(self.slope.si)
        return from_si(time, _TIME) if time >= 0 else None

    def could_reach(self, limit: Limit) -> Any:
        """The earliest time, from the last reading on, at which the line may have crossed that side, as well as it is
        known (k = 2); None as for `reaches`. It is the last reading's own time where the line there cannot be told from
        the limit.

        Examples
        --------
        The line of `tension_trend`'s example meets 32 lbf at 184 days, and perhaps as early as at 157.
        """
        from scipy.optimize import brentq

        reached = self.reaches(limit)
        if reached is None:
            return None
        side, sign = (limit.low_si, 1.0) if self.word == "falling" else (limit.high_si, -1.0)
        assert side is not None

        def left(time: float) -> float:
            line = self.at(from_si(time, _TIME))
            return sign * (float(line.si) - side) - float(line.expanded_si)

        met = float(si_of(reached, _TIME, "reached")[0])
        if met <= self.last_si or left(self.last_si) <= 0:
            return from_si(self.last_si, _TIME)
        return from_si(float(brentq(left, self.last_si, met)) if left(met) < 0 else met, _TIME)


def tension_trend(readings: Sequence[tuple[Any, Measured]]) -> TensionLine:
    """The line through tensions read at several times.

    Source: least squares; JCGM 100:2008, 4.2, 5.2, G.3.

    Parameters
    ----------
    readings : Sequence[tuple[Any, Measured]]
        (when, tension) pairs: when a `datetime.date` or a time since any start (text with unit, such as
        "120 days" or "35 h" of running), all alike; tension a Measured force at one temperature.

    Returns
    -------
    TensionLine
        The `TensionLine`.

    Raises
    ------
    QuantityError
        fewer than two times, or dates and times mixed.

    Examples
    --------
    38, 37, 36.2, 35 lbf, 30 days apart: about 1 lbf a month.

    >>> from rotorkit.judging.measured import measured
    >>> trend = tension_trend([(f"{30 * i} days", measured(f"{t} lbf", Force, f"reading {i}", "0.5 lbf"))
    ...                        for i, t in enumerate((38, 37, 36.2, 35))])
    >>> trend.word, say(trend.slope.value, "lbf/day", digits=2)
    ('falling', '-0.033 lbf/day')
    >>> say(trend.reaches(Limit("tension", Force, low="32 lbf", source="manual")), "day", digits=3)
    '184 day'
    """
    dated = [isinstance(when, date) for when, _ in readings]
    if any(dated) and not all(dated):
        raise QuantityError("when: needs dates for all readings or times for all, not some of each")
    if any(dated):
        times = [when.toordinal() * _DAY for when, _ in readings]
    else:
        times = [float(si_of(when, _TIME, "when")[0]) for when, _ in readings]
    if len(set(times)) < 2:
        raise QuantityError(f"readings: a trend needs two different times or more, got {len(set(times))}")
    order = sorted(range(len(times)), key=lambda i: times[i])
    since = [times[i] - times[order[0]] for i in order]
    fit = least_squares(
        [[1.0] * len(since), since], [readings[i][1] for i in order], [_FORCE, _RATE], "line of tension"
    )
    start, slope = fit.estimates
    return TensionLine(slope, start, since[-1], fit.residuals_si, fit.freedom)
