"""What makes a recording unfit to judge by: clipped, silent, in another unit."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from rotorkit.quantities import Acceleration, QuantityError, Speed, in_unit, required_kind
from rotorkit.sources.constants import STANDARD_GRAVITY
from rotorkit.vibration.recordings import Recording

G = float(STANDARD_GRAVITY)
AT_ONCE = 1_000_000
CUT_OFF, TIMES_AS_MANY = 8, 6.0
"""So many samples stand at a recorder's largest or smallest number, and so many times as many as at the next one, where
it cuts off: at the top of a sine they are 2.4 times as many, whatever its steps (the arcsine's two outermost steps,
1 and the root of 2, less 1)."""
QUIET = {required_kind(Acceleration).name: 0.001 * G, required_kind(Speed).name: 1e-4}
"""Root mean square, SI, under which nothing shakes beside a turning rotor (our own choice)."""
GRAVITY_AS = (0.93, 1.07)
"""Between these a mean is taken for gravity's own (our own choice)."""
LOUD = {required_kind(Acceleration).name: 30 * G, required_kind(Speed).name: 2.0}
"""And above which nobody sits beside it (our own choice)."""


@dataclass(frozen=True)
class LookedOver:
    """What samples show. mean, rms: SI, the one of the samples, the other of what is left without it. least, most: SI.
    cut_off: samples that stand where the recorder's range ends; two_values: whether there are no others than two."""

    mean: float
    rms: float
    least: float
    most: float
    cut_off: int
    two_values: bool

    def gravity_in_another_unit(self, unit: str) -> str:
        """The unit that the samples look like, where their mean is gravity's in that one; else nothing. unit: that they
        are said to be of."""
        number = abs(self.number(unit))
        for other, gravity in (("m/s^2", G), ("g", 1.0)):
            if other != unit and GRAVITY_AS[0] * gravity <= number <= GRAVITY_AS[1] * gravity:
                return other
        return ""

    def number(self, unit: str) -> float:
        """The mean as the file's own number. unit: that it is said to be of."""
        kind = required_kind(Acceleration if unit in ("g", "m/s^2") else Speed)
        return float(in_unit(self.mean, unit, kind))

    def refuse(self, found: Recording, name: str = "column") -> None:
        """Raise `QuantityError` where the samples are no vibration in this unit. name: of the field that says which."""
        if self.most == self.least:
            raise QuantityError(f"{name}: its numbers never change: look at the pick-up, its supply and its wire")
        if self.two_values:
            raise QuantityError(f"{name}: it holds two numbers and no others, as pulses do: are the columns mistaken?")
        kind = found.kind.name
        in_g = self.rms / G
        said = f"{in_g:.3g} g" if kind == required_kind(Acceleration).name else f"{1000 * self.rms:.3g} mm/s"
        if self.rms < QUIET.get(kind, 0.0):
            raise QuantityError(
                f"unit: by unit and calibration all of it shakes by {said} (root mean square), less than anything "
                "beside a turning rotor: look at both, and at the pick-up"
            )
        if self.rms > LOUD.get(kind, math.inf):
            raise QuantityError(
                f"unit: by unit and calibration it shakes by {said} (root mean square), more than anybody could sit "
                "beside: are the numbers of another unit, such as mV or counts, or is this column the times?"
            )


def looked_over(found: Recording) -> LookedOver:
    """Look over all samples of a recording.

    Parameters
    ----------
    found : Recording
        Of `recording` or `read_recording`.

    Returns
    -------
    LookedOver

    Notes
    -----
    Source: the share of its time that a sine spends near its peak (computed). Gone through in parts, so that a long
    file stays on disk. Range: what a recorder cuts off is recognised where it leaves the same number each time; a
    signal that was cut off before a filter is not recognised.

    Examples
    --------
    >>> import numpy as np
    >>> from rotorkit.vibration import recording
    >>> wave = np.sin(np.arange(4000) * 0.05)
    >>> [looked_over(recording(one, "400 Hz", "g")).cut_off for one in (wave, np.clip(wave, -0.9, 0.9))]
    [0, 1156]
    """
    total = squares = 0.0
    least, most = math.inf, -math.inf
    for part in _parts(found):
        total += float(part.sum())
        squares += float(np.square(part).sum())
        least, most = min(least, float(part.min())), max(most, float(part.max()))
    mean = total / len(found)
    rms = math.sqrt(max(0.0, squares / len(found) - mean**2))
    at, two = [0, 0], True
    inner = [math.inf, -math.inf]  # the numbers next to the least and to the largest
    for part in _parts(found):
        at[0] += int((part == least).sum())
        at[1] += int((part == most).sum())
        between = part[(part > least) & (part < most)]
        if len(between):
            two = False
            inner = [min(inner[0], float(between.min())), max(inner[1], float(between.max()))]
    beside = [0, 0]
    for part in _parts(found) if not two else ():
        beside = [beside[0] + int((part == inner[0]).sum()), beside[1] + int((part == inner[1]).sum())]
    cut = sum(
        count for count, other in zip(at, beside, strict=True) if count >= CUT_OFF and count > TIMES_AS_MANY * other
    )
    return LookedOver(mean, rms, least, most, 0 if two else cut, two and most > least)


def _parts(found: Recording) -> Iterator[np.ndarray]:
    for first in range(0, len(found), AT_ONCE):
        yield found.part(first, min(len(found), first + AT_ONCE))
