"""Combined extremes of the controls: every corner, which were tried, and what touched or came near.

Each control has two ends. A link that is clear at every end of every single control can still touch where two or three
controls are at their ends together, and the stick may not reach its own end there. So all combinations are listed, and
one that was not tried is said to be missing, never taken for good.

Source: 14 CFR 27.683 asks that the system, when operated, is free from jamming, excessive friction and excessive
deflection (known: read); that all combinations be tried follows from it.
"""

from __future__ import annotations

import itertools
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from rotorkit.judging.limits import IN_LIMITS, OUT_OF_LIMITS, TOO_CLOSE, UNDONE, WORDS, Limit, Verdict
from rotorkit.judging.measured import Measured
from rotorkit.quantities import QuantityError, say

Corner = tuple[tuple[str, str], ...]
"""One combination: (control, end) for each control, in the order of the controls."""

_MOST_CONTROLS = 8


def corner_combinations(controls: Mapping[str, Sequence[str]]) -> list[Corner]:
    """All combinations of the ends of all controls.

    Parameters
    ----------
    controls : Mapping[str, Sequence[str]]
        by name, its ends in words, two or more (neutral may be one of them).

    Raises
    ------
    QuantityError
        no control, one with fewer than two ends, or more than eight controls.

    Examples
    --------
    >>> for corner in corner_combinations({"collective": ("low", "high"), "pedals": ("left", "right")}):
    ...     print(corner_words(corner))
    collective low, pedals left
    collective low, pedals right
    collective high, pedals left
    collective high, pedals right
    """
    if not 1 <= len(controls) <= _MOST_CONTROLS:
        raise QuantityError(f"controls: needs 1 to {_MOST_CONTROLS}, got {len(controls)}")
    for name, ends in controls.items():
        if len(set(ends)) < 2 or len(set(ends)) != len(ends):
            raise QuantityError(f"controls: {name} needs two different ends or more, got {', '.join(ends) or 'none'}")
    return [
        tuple(zip(controls, ends, strict=True)) for ends in itertools.product(*(tuple(e) for e in controls.values()))
    ]


def corner_words(corner: Corner) -> str:
    """A combination in words."""
    return ", ".join(f"{control} {end}" for control, end in corner)


@dataclass(frozen=True)
class CornerReading:
    """What was found at one combination.

    Parameters
    ----------
    ends : Mapping[str, str]
        by control, the end it stood at; every control.
    reached : bool | None
        whether all controls reached their ends there; None if nobody looked.
    touches : str | None
        what touches or binds, in words; "" for nothing, None if nobody looked.
    clearance : Measured | None
        the least clearance, a Measured length; None if it was not measured.
    angle : Measured | None
        the blade angle there, a Measured; None if it was not read.
    """

    ends: Mapping[str, str]
    reached: bool | None = None
    touches: str | None = None
    clearance: Measured | None = None
    angle: Measured | None = None


@dataclass(frozen=True)
class CornerFinding:
    """One combination and its verdict. word: one of the verdict words. sentence: in plain words. clearance: the verdict
    on the clearance, where there is one."""

    corner: Corner
    reading: CornerReading | None
    word: str
    sentence: str
    clearance: Verdict | None = None

    @property
    def tried(self) -> bool:
        """Whether contact and ends were looked at, or a fault found that needs no more looking."""
        return self.word != UNDONE


@dataclass(frozen=True)
class CornerMap:
    """All combinations, each with what was found."""

    findings: tuple[CornerFinding, ...]

    @property
    def missing(self) -> tuple[CornerFinding, ...]:
        """Those that were not tried, or only in part."""
        return tuple(finding for finding in self.findings if not finding.tried)

    @property
    def least_clearance(self) -> CornerFinding | None:
        """The combination with the least clearance measured."""
        measured = [f for f in self.findings if f.reading is not None and f.reading.clearance is not None]
        return min(measured, key=lambda f: float(f.reading.clearance.si), default=None)  # type: ignore[union-attr]

    @property
    def word(self) -> str:
        """The worst verdict of all; `UNDONE` while a combination is missing and none is out of limits."""
        words = {finding.word for finding in self.findings}
        return next(word for word in WORDS if word in words)

    @property
    def sentence(self) -> str:
        """The state of the whole, in one line."""
        count, bad = len(self.findings), [f for f in self.findings if f.word == OUT_OF_LIMITS]
        tried = count - len(self.missing)
        said = f"{tried} of {count} combinations tried"
        if bad:
            said += f"; interference or a control short of its end at {len(bad)}: " + "; ".join(
                corner_words(f.corner) for f in bad
            )
        if self.missing:
            said += "; not tried: " + "; ".join(corner_words(f.corner) for f in self.missing)
        return said


def corner_map(
    controls: Mapping[str, Sequence[str]], readings: Sequence[CornerReading], clearance: Limit | None = None
) -> CornerMap:
    """Every combination of the controls' ends with what was found there.

    Parameters
    ----------
    controls : Mapping[str, Sequence[str]]
        by name, its ends.
    readings : Sequence[CornerReading]
        those that were tried.
    clearance : Limit | None
        the least clearance that the manual asks for.

    Returns
    -------
    CornerMap
        The `CornerMap`.

    Raises
    ------
    QuantityError
        a reading names a control or an end that there is not, or a combination stands twice.

    Examples
    --------
    >>> controls = {"collective": ("low", "high"), "stick": ("forward", "aft")}
    >>> found = corner_map(controls, [
    ...     CornerReading({"collective": "low", "stick": "forward"}, True, ""),
    ...     CornerReading({"collective": "high", "stick": "aft"}, True, "pitch link on hub bolt")])
    >>> found.word
    'out of limits'
    >>> len(found.missing)
    2
    """
    corners = corner_combinations(controls)
    by_corner: dict[Corner, CornerReading] = {}
    for reading in readings:
        missing = sorted(set(controls) - set(reading.ends))
        if missing or set(reading.ends) - set(controls):
            raise QuantityError(f"ends: {reading.ends} must name every control and no other: {', '.join(controls)}")
        corner = tuple((name, reading.ends[name]) for name in controls)
        if corner not in corners:
            raise QuantityError(f"ends: {corner_words(corner)} is no combination of {dict(controls)}")
        if corner in by_corner:
            raise QuantityError(f"ends: {corner_words(corner)} was given twice")
        by_corner[corner] = reading
    return CornerMap(tuple(_finding(corner, by_corner.get(corner), clearance) for corner in corners))


def _finding(corner: Corner, reading: CornerReading | None, limit: Limit | None) -> CornerFinding:
    words = corner_words(corner)
    if reading is None:
        return CornerFinding(corner, None, UNDONE, f"{words}: not tried")
    verdict = None
    if reading.clearance is not None and limit is not None:
        verdict = limit.judge(reading.clearance)
    if reading.touches:
        return CornerFinding(corner, reading, OUT_OF_LIMITS, f"{words}: {reading.touches}", verdict)
    if reading.reached is False:
        return CornerFinding(corner, reading, OUT_OF_LIMITS, f"{words}: a control does not reach its end", verdict)
    if verdict is not None and verdict.word in (OUT_OF_LIMITS, TOO_CLOSE):
        return CornerFinding(corner, reading, verdict.word, f"{words}: {verdict.sentence}", verdict)
    # a clearance alone, however ample, shows neither that nothing touches elsewhere nor that the ends are reached
    left = [
        what
        for what, seen in (("contact", reading.touches), ("whether every control reaches its end", reading.reached))
        if seen is None
    ]
    if left:
        measured = f"clearance {say(reading.clearance)}; " if reading.clearance is not None else ""
        return CornerFinding(corner, reading, UNDONE, f"{words}: {measured}not looked at: {', '.join(left)}", verdict)
    said = f"; {verdict.sentence}" if verdict is not None else ""
    return CornerFinding(corner, reading, IN_LIMITS, f"{words}: free, and every control reaches its end{said}", verdict)


def added_effects(base: Measured, single: Sequence[Measured]) -> Measured:
    """The blade angle that a combination would have if the controls did not act on each other.

    Parameters
    ----------
    base : Measured
        [angle] with all controls at their base position.
    single : Sequence[Measured]
        [angle] with one control at its end and the others at base, one for each control of the combination.

    Returns
    -------
    Measured
        ``base + sum of (single - base)``. What is read beyond it is the coupling of the controls (mixing, a linkage far
        from straight, a stop that is reached early).

    Examples
    --------
    Base 6, collective alone 10, stick alone 8 deg: 12 deg together.

    >>> from rotorkit.judging.measured import measured
    >>> from rotorkit.quantities import Angle, say
    >>> angles = [measured(f"{d} deg", Angle, str(d)) for d in (6, 10, 8)]
    >>> say(added_effects(angles[0], angles[1:]), "deg", digits=3)
    '12.0°'
    """
    total = base
    for angle in single:
        total = total + (angle - base)
    return total
