"""Balance in one plane from amplitudes alone: the same trial weight at several places, no phase measured."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from rotorkit.balance.phasors import AMPLITUDES, WEIGHTS, of_kinds, unit_typed
from rotorkit.judging.measured import Measured, combine, propagate
from rotorkit.quantities import Angle, QuantityError, say

CLOSES_WITHIN = 0.05
"""How far the cosine's amplitude may be from 1 before it is said: common practice (no source)."""


@dataclass(frozen=True)
class WithoutPhase:
    """A correction found from amplitudes alone.

    weight: to be put on in place of the trial weight. angle: where, from 0 up to 360 degrees, from the datum and in the
    sense of the trial weight's places. effect: the vibration that the trial weight alone would make. closure: 1 where
    the circles of all runs meet in one point. in_words: what the closure means.
    """

    weight: Measured
    angle: Measured
    effect: Measured
    closure: float
    in_words: str


def _read(original: Any, trial: Any, angles: Sequence[Any], readings: Sequence[Any]) -> tuple[Any, ...]:
    if isinstance(angles, str) or isinstance(readings, str) or len(angles) != len(readings):
        raise QuantityError("readings: needs one for each place of the trial weight, in the same order")
    before = of_kinds(original, AMPLITUDES, "original reading")
    weight = of_kinds(trial, WEIGHTS, "trial weight")
    places = [of_kinds(angle, (Angle,), f"place {i}") for i, angle in enumerate(angles, start=1)]
    after = [of_kinds(one, (before.kind,), f"reading {i}") for i, one in enumerate(readings, start=1)]
    for figure, what in ((before, "original reading"), (weight, "trial weight")):
        if float(figure.si) <= 0:
            raise QuantityError(f"{what}: needs one above nothing, got {say(figure)}")
    for i, one in enumerate(after, start=1):
        if float(one.si) < 0:
            raise QuantityError(f"reading {i}: an amplitude is not negative, got {say(one)}")
    return before, weight, places, after


def _squares(before: float, places: np.ndarray, after: np.ndarray) -> tuple[float, float, float]:
    """(mean of the squares, part with the cosine, part with the sine) of R^2 over the trial weight's place."""
    rows = np.column_stack([np.ones_like(places), np.cos(places), np.sin(places)])
    found, _, rank, _ = np.linalg.lstsq(rows, after**2, rcond=1e-9)
    if rank < 3:
        raise QuantityError("places: three different ones are needed at least; 0, 120 and 240 deg tell most")
    return float(found[0]), float(found[1]), float(found[2])


def _worked(method: str, before: float, places: np.ndarray, after: np.ndarray) -> tuple[float, float, float]:
    """(effect, angle of the original seen from the effect of a weight at 0, closure)."""
    mean, cosine, sine = _squares(before, places, after)
    angle = math.atan2(sine, cosine)
    square = mean - before**2
    if square <= 0:
        raise QuantityError(
            "readings: their mean square is no more than that of the original reading, so the trial weight's effect "
            "cannot be told. Use more weight, or read again."
        )
    effect = math.sqrt(square)
    closure = math.hypot(cosine, sine) / (2 * before * effect)
    if method == "least squares":
        along, across = effect * math.cos(angle), effect * math.sin(angle)
        for _ in range(100):  # Gauss-Newton on R^2, started where the sum of squares puts it
            turned = along * np.cos(places) + across * np.sin(places)
            left = before**2 + along**2 + across**2 + 2 * before * turned - after**2
            slopes = np.column_stack(
                [2 * along + 2 * before * np.cos(places), 2 * across + 2 * before * np.sin(places)]
            )
            step = np.linalg.lstsq(slopes, -left, rcond=None)[0]
            along, across = along + float(step[0]), across + float(step[1])
            if math.hypot(*step) <= 1e-14 * math.hypot(along, across):
                break
        effect, angle = math.hypot(along, across), math.atan2(across, along)
    return effect, angle, closure


def balance_from_amplitudes(
    original: Any, trial: Any, angles: Sequence[Any], readings: Sequence[Any], method: str = "least squares"
) -> WithoutPhase:
    """The correction from one run without and three runs or more with the same trial weight at different places.

    With the trial weight at place a the reading is R, R^2 = O^2 + E^2 + 2 O E cos(a - p): O the original reading, E the
    effect of the trial weight, p the place where weight adds to what is there. The correction, T O / E, goes opposite
    to p.

    Parameters
    ----------
    original : amplitude
        O, a speed, an acceleration, a length, or a bare number of a dial; above nothing.
    trial : weight
        T, a mass at the correction's radius, an unbalance, or a bare number.
    angles : sequence of Angle
        Places of the trial weight, three different ones or more, from any one mark of the rotor, counted one way round.
    readings : sequence of amplitudes
        R at each place, in the same order, of the original's kind.
    method : "least squares" or "sum of squares"
        Least squares fits E and p to all R^2 at once. The sum of squares takes E from the mean of R^2 - O^2 alone
        (exact where nothing is in error). Where the two differ, the readings do not agree with each other: see the
        closure.

    Returns
    -------
    WithoutPhase
        Its closure is the amplitude of the cosine found over 2 O E by the sum of squares: 1 where all circles meet in
        one point.

    Raises
    ------
    QuantityError
        Fewer than three places, readings of another kind, or a trial weight whose effect cannot be told.

    Notes
    -----
    Source: law of cosines; the four-run method (figures of a trade article, read; its answer recomputed). Range:
    vibration once a turn, the same speed in all runs; poor where E is small against O. First-order uncertainty.

    Examples
    --------
    10 thou as found; 50 g at 0, 120 and 240 deg: 7, 12 and 18 thou.

    >>> places, readings = ["0 deg", "120 deg", "240 deg"], ["7 thou", "12 thou", "18 thou"]
    >>> found = balance_from_amplitudes("10 thou", "50 g", places, readings)
    >>> say(found.weight, "g", digits=4), say(found.angle, "deg", digits=4), round(found.closure, 4)
    ('60.09 g', '40.12°', 0.9482)
    """
    if method not in ("least squares", "sum of squares"):
        raise QuantityError(f"method: needs 'least squares' or 'sum of squares', got {method!r}")
    before, weight, places, after = _read(original, trial, angles, readings)
    count = len(places)

    def worked(*si: float) -> tuple[float, float, float]:
        return _worked(method, si[0], np.array(si[1 : 1 + count]), np.array(si[1 + count :]))

    inputs = [before, *places, *after]
    centre = worked(*(float(one.si) for one in inputs))
    effect = propagate(lambda *si: worked(*si)[0], before.kind, inputs, _unit(before))
    angle = propagate(lambda *si: _near(worked(*si)[1], centre[1]), Angle, inputs, "deg")
    ratio = propagate(lambda *si: si[0] / worked(*si)[0], weight.kind, inputs)
    share, size = float(ratio.si), float(weight.si)
    needed = combine(share * size, weight.kind, [ratio, weight], [size, share], _unit(weight))
    opposite = Measured((float(angle.si) + math.pi) % math.tau, Angle, angle.components, "deg")
    closure = centre[2]
    if abs(closure - 1) <= CLOSES_WITHIN:
        words = f"The circles of the runs close: {closure:.3f} where 1 is exact."
    else:
        words = (
            f"The circles of the runs do not meet in one point: {closure:.3f} where 1 is exact. A reading, a place or "
            "the speed was not what it was taken for, or something else shakes too. Read again before trusting it."
        )
    return WithoutPhase(needed, opposite, effect, closure, words)


def balance_from_two_trials(
    original: Any, trial: Any, angles: Sequence[Any], readings: Sequence[Any]
) -> tuple[WithoutPhase, WithoutPhase]:
    """Both answers that one run without and two runs with a trial weight at two places leave.

    Two circles meet in two points: without phase nothing tells which is true. Try one; where the vibration grows it was
    the other.

    Parameters
    ----------
    original, trial, angles, readings
        As for `balance_from_amplitudes`, with two places, usually 180 degrees apart.

    Returns
    -------
    tuple of two WithoutPhase
        By angle of the correction. Where the circles just touch, both are the same.

    Raises
    ------
    QuantityError
        Not two places, both alike, or circles that do not meet: then a reading is wrong.

    Notes
    -----
    Source: law of cosines (figures of a rotor builder's text of 1998, read; its answer computed). Range: as
    `balance_from_amplitudes`; nothing shows a wrong reading unless the circles miss each other.

    Examples
    --------
    3 as found, 5 and 4 with the weight at the mark and opposite to it: the original stands 77.2 deg to either side of
    the mark, and the correction opposite to it.

    >>> one, other = balance_from_two_trials(3, "1 oz", ["0 deg", "180 deg"], [5, 4])
    >>> say(one.effect, digits=5), say(one.weight, "oz", digits=4), say(one.angle, "deg", digits=4)
    ('3.3912', '0.8847 oz', '102.8°')
    >>> say(other.angle, "deg", digits=4)
    '257.2°'
    """
    before, weight, places, after = _read(original, trial, angles, readings)
    if len(places) != 2:
        raise QuantityError(f"places: needs two, got {len(places)}; with three or more see balance_from_amplitudes")

    def worked(branch: int, *si: float) -> tuple[float, float]:
        o, first, second, r1, r2 = si
        if abs(math.sin((first - second) / 2)) < 1e-9:
            raise QuantityError("places: two different ones are needed, 180 deg apart is best")
        # the effect of a weight at 0, seen from the original as 1 + 0j: on a circle about -o at each place
        centres = [complex(-o * math.cos(a), -o * math.sin(a)) for a in (first, second)]
        along = centres[1] - centres[0]
        apart = abs(along)
        near = (apart**2 + r1**2 - r2**2) / (2 * apart)
        square = r1**2 - near**2
        if square < 0:
            raise QuantityError(
                "readings: no weight and place explain them, the two circles do not meet. A reading is wrong, or the "
                "speed was not the same: read again."
            )
        effect = centres[0] + along / apart * complex(near, branch * math.sqrt(square))
        return abs(effect), math.atan2(effect.imag, effect.real)

    inputs = [before, *places, *after]
    answers = []
    for branch in (1, -1):
        centre = worked(branch, *(float(one.si) for one in inputs))
        if centre[0] <= 1e-12 * float(before.si):
            raise QuantityError("readings: the trial weight changed nothing. Use more weight.")
        effect = propagate(lambda *si, b=branch: worked(b, *si)[0], before.kind, inputs, _unit(before))
        angle = propagate(lambda *si, b=branch, c=centre[1]: _near(worked(b, *si)[1], c), Angle, inputs, "deg")
        ratio = propagate(lambda *si, b=branch: si[0] / worked(b, *si)[0], weight.kind, inputs)
        share, size = float(ratio.si), float(weight.si)
        needed = combine(share * size, weight.kind, [ratio, weight], [size, share], _unit(weight))
        opposite = Measured((float(angle.si) + math.pi) % math.tau, Angle, angle.components, "deg")
        words = "One of two answers: two amplitudes cannot tell which. Where the one makes it worse, it is the other."
        answers.append(WithoutPhase(needed, opposite, effect, 1.0, words))
    first, second = sorted(answers, key=lambda one: float(one.angle.si))
    return first, second


def _unit(figure: Measured) -> Any:
    return figure.unit if figure.unit is not None else unit_typed(figure)


def _near(angle: float, centre: float) -> float:
    return centre + (angle - centre + math.pi) % math.tau - math.pi
