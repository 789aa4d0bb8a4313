"""Repeated readings of one thing: their mean, and what their scatter says.

A mean is known no better than its scatter allows, and a scatter seen in few readings is itself badly known. With the
standard deviation s of n readings, the mean's expanded uncertainty at 95.45 % is t s / sqrt(n), with Student's t for n
- 1 degrees of freedom (JCGM 100:2008, 4.2.3 and G.3): t is 13.97 for two readings, 4.53 for three, 2.87 for five and
goes to the usual k = 2 for many. As a `Measured` is told with k = 2 throughout, half of that figure is kept as its
standard uncertainty, so that the interval told is the honest one.

Two readings at a place are common in rigging, and 13.97 is a hard price. If several places are read in the same way
(three blades, three control positions), their scatter is pooled (JCGM 100:2008, 4.2.4): `repeatability_of`.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from rotorkit.formula.contract import si_of
from rotorkit.judging.measured import COVERAGE, Measured, coverage_factor, measured
from rotorkit.quantities import Kind, QuantityError, difference_kind, from_si, required_kind, say


@dataclass(frozen=True)
class Repeatability:
    """Standard deviation of a single reading, as pooled from groups of repeats.

    Attributes
    ----------
    standard_deviation_si : float
        in the kind's coherent SI unit.
    degrees_of_freedom : int
        the number of readings less the number of groups.
    kind : Kind
        of the reading.
    """

    standard_deviation_si: float
    degrees_of_freedom: int
    kind: Kind

    def __str__(self) -> str:
        return self.said()

    def said(self, unit: str | None = None) -> str:
        """In a sentence. unit: to say it in; the kind's own without."""
        size = say(from_si(self.standard_deviation_si, self.kind), unit, digits=2)
        return f"standard deviation of one reading {size}, {self.degrees_of_freedom} degrees of freedom"


def repeatability_of(groups: Sequence[Sequence[Any]], kind: Any) -> Repeatability | None:
    """The scatter of one reading, pooled from groups of repeats: each group is one thing read several times the same
    way.

    Source: JCGM 100:2008, 4.2.4 (pooled experimental standard deviation): s^2 = sum of squared deviations of each
    reading from its own group's mean, over the readings less the groups.

    Parameters
    ----------
    groups : Sequence[Sequence[Any]]
        of readings (text with unit, quantities or Readings); groups of one reading say nothing and are passed
        over.
    kind : Any
        of the readings, such as Angle.

    Returns
    -------
    Repeatability | None
        The pooled scatter, or None if no group holds two readings.

    Examples
    --------
    Groups 10.0, 10.2 and 5.0, 5.0, 5.3 deg: squares 0.02 + 0.06 = 0.08 over 3 degrees of freedom: s = 0.163 deg.

    >>> from rotorkit.quantities import Angle
    >>> print(repeatability_of([["10.0 deg", "10.2 deg"], ["5.0 deg", "5.0 deg", "5.3 deg"]], Angle))
    standard deviation of one reading 0.16°, 3 degrees of freedom
    """
    wanted = required_kind(kind)
    squares, freedom = 0.0, 0
    for group in groups:
        values = [float(si_of(reading, wanted, "reading")[0]) for reading in group]
        if len(values) > 1:
            mean = math.fsum(values) / len(values)
            squares += math.fsum((value - mean) ** 2 for value in values)
            freedom += len(values) - 1
    return Repeatability(math.sqrt(squares / freedom), freedom, wanted) if freedom else None


def shared_error(instrument: str, place: str, uncertainty: Any) -> dict[str, Any]:
    """An instrument's error near one place of its scale, named so that readings there share it and others do not.

    Two readings near the same angle carry the same error of the protractor, which cancels in their difference (blade
    to blade); readings far apart on its scale, such as a blade and its reference, do not. Pass the result on as
    `shared`.

    Parameters
    ----------
    instrument : str
        its name in the aircraft file.
    place : str
        of the scale, in words, such as "low stop" or "reference".
    uncertainty : Any
        expanded (k = 2), text with unit or a quantity; None for an instrument of which nothing is known.

    Examples
    --------
    >>> shared_error("protractor", "low stop", "0.2 deg")
    {'protractor near low stop': '0.2 deg'}
    """
    return {} if uncertainty is None else {f"{instrument} near {place}": uncertainty}


def mean_of_repeats(
    readings: Sequence[Any],
    kind: Any,
    label: str,
    shared: Mapping[str, Any] | None = None,
    repeatability: Repeatability | None = None,
    resolution: Any = None,
) -> Measured:
    """Mean of repeated readings of one thing, with the scatter of the readings and the error of the instrument.

    Source: JCGM 100:2008, 4.2 (type A), 4.3 (type B), G.3 (few readings), F.2.2.1 (resolution).

    Parameters
    ----------
    readings : Sequence[Any]
        one or more, text with unit, quantities or Readings. What is typed after the plus-minus sign is taken
        as common to the repeats (an instrument's error does not average out).
    kind : Any
        of the readings, such as Angle or Ratio.
    label : str
        what was read, for the budget.
    shared : Mapping[str, Any] | None
        errors in common with other readings by name, expanded (k = 2): see `shared_error`.
    repeatability : Repeatability | None
        pooled scatter that takes the place of these readings' own; of one reading on its own it is the
        only evidence there is.
    resolution : Any
        the step of the display. Any value within half a step reads the same; where that is more than the
        scatter it takes the scatter's place.

    Returns
    -------
    Measured
        The mean, a Measured.

    Raises
    ------
    QuantityError
        no readings, or a reading that is not of the kind.

    Notes
    -----
    Range of validity: readings that differ by chance. Put the protractor or gauge on afresh for each: readings taken
    without lifting it repeat one error.

    Examples
    --------
    10.1, 10.3, 10.2 deg: mean 10.2, s = 0.1, t = 4.53: 4.53 x 0.1 / sqrt(3) = 0.26 deg; the protractor adds 0.2
    deg: sqrt(0.26^2 + 0.2^2) = 0.33 deg.

    >>> from rotorkit.quantities import Angle, say
    >>> readings = ["10.1 deg", "10.3 deg", "10.2 deg"]
    >>> mean = mean_of_repeats(readings, Angle, "blade", shared=shared_error("protractor", "low stop", "0.2 deg"))
    >>> say(mean, "deg")
    '10.20 ± 0.33°'
    """
    wanted = required_kind(kind)
    if not readings:
        raise QuantityError(f"{label}: needs one reading or more, got none. For example {wanted.example}.")
    pairs = [si_of(reading, wanted, label) for reading in readings]
    values = [float(si) for si, _ in pairs]
    count = len(values)
    mean = math.fsum(values) / count
    own = max(_scatter(values, mean, repeatability), _resolution(resolution, wanted))
    common = dict(shared or {})
    typed = math.fsum(float(carried.expanded_si) if carried is not None else 0.0 for _, carried in pairs) / count
    if typed:
        common[f"{label}, as typed"] = from_si(typed, difference_kind(wanted))
    return measured(
        from_si(mean, wanted),
        wanted,
        f"{label}, scatter of repeats" if count > 1 or repeatability else f"{label}, resolution",
        uncertainty=from_si(own, difference_kind(wanted)) if own else None,
        shared=common,
    )


def _scatter(values: list[float], mean: float, repeatability: Repeatability | None) -> float:
    """Expanded uncertainty of the mean from scatter alone."""
    count = len(values)
    if repeatability is not None:
        deviation, freedom = repeatability.standard_deviation_si, repeatability.degrees_of_freedom
    elif count > 1:
        deviation = math.sqrt(math.fsum((value - mean) ** 2 for value in values) / (count - 1))
        freedom = count - 1
    else:
        return 0.0
    return coverage_factor(freedom) * deviation / math.sqrt(count)


def _resolution(resolution: Any, kind: Kind) -> float:
    """Expanded uncertainty from a display that moves in steps: half a step each way, any value as likely."""
    if resolution is None:
        return 0.0
    step = abs(float(si_of(resolution, difference_kind(kind), "resolution")[0]))
    return COVERAGE * step / math.sqrt(12)
