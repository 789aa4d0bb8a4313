"""Balance in one plane from amplitude and phase, by the effect of one trial weight (influence coefficient)."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from rotorkit.balance.phasors import AMPLITUDES, WEIGHTS, Phasor, as_phasor, phasors_from, same_kind
from rotorkit.judging.measured import Measured
from rotorkit.quantities import QuantityError

SENSES = ("with phase", "against phase")
"""Which way the angles of the weights are counted: as the instrument's phase rises, or the other way."""


@dataclass(frozen=True)
class OnePlane:
    """What one trial weight teaches, and the weight that it asks for.

    correction: the weight to leave in place of the trial weight (take that off first; where it stays on, see
    `beside_trial`), its angle from the same datum and in the same sense as the trial weight's. original, trial,
    with_trial: as read. effect: what the trial weight changed. promised: what is left with the correction, nothing but
    for its uncertainty, which is what the readings let promise. sense: a word of `SENSES`.
    """

    correction: Phasor
    original: Phasor
    trial: Phasor
    with_trial: Phasor
    effect: Phasor
    promised: Phasor
    sense: str = SENSES[0]

    @property
    def weight(self) -> Measured:
        """The correction's weight."""
        return self.correction.amplitude

    @property
    def angle(self) -> Measured:
        """The correction's angle, above -180 and up to 180 degrees."""
        return self.correction.angle

    @property
    def beside_trial(self) -> Phasor:
        """The weight to add where the trial weight stays on: the correction less the trial weight, as arrows."""
        return self.correction - self.trial

    def with_weight(self, weight: Any) -> Phasor:
        """What is promised with another weight than the exact one, such as whole washers. weight: a `Phasor` or a
        pair (weight, angle), counted as the trial weight is."""
        return predicted(self.original, self.with_trial, self.trial, weight, self.sense)

    @property
    def in_words(self) -> str:
        """Whether the trial weight changed enough to be trusted: thrice its uncertainty (common practice)."""
        sure = float(self.effect.amplitude.si) / max(float(self.effect.amplitude.expanded_si), 1e-300)
        if sure < 1:
            return "The trial weight changed no more than the readings are uncertain: nothing follows. Use more."
        if sure < 3:
            return "The trial weight changed little against the uncertainty of the readings: use more weight."
        return "The trial weight changed the reading clearly."


def one_plane_balance(original: Any, trial: Any, with_trial: Any, sense: str = "with phase") -> OnePlane:
    """The weight that cancels a vibration in one plane, from one run without and one with a trial weight.

    Effect of a unit weight A = (V1 - V0) / T; correction C = -V0 / A, all arrows. It replaces the trial weight.

    Parameters
    ----------
    original : pair (amplitude, angle), list of pairs, or Phasor
        V0, the reading as found. The amplitude is a speed, an acceleration, a length, or a bare number of a dial. The
        angle is from the instrument's mark, positive in the sense in which its phase rises. A list is of repeats: their
        scatter becomes the uncertainty.
    trial : pair (weight, angle)
        T, a mass (at the radius where the correction goes), an unbalance, or a bare number. Its angle is counted from
        any one mark of the rotor; the correction's is from the same.
    with_trial : as original
        V1, at the same speed and in the same condition.
    sense : "with phase" or "against phase"
        Which way the weights' angles are counted: as the phase rises, or the other way round, as on an instrument whose
        phase is a lag while the rotor is marked in its own sense of turning. Taken wrongly the weight goes to the wrong
        place and the vibration grows.

    Returns
    -------
    OnePlane

    Raises
    ------
    QuantityError
        A reading of no kind, kinds that differ, no trial weight, or a trial weight that changed nothing.

    Notes
    -----
    Source: influence coefficient method; J. Vaughan's application note, example 2 (quoted). Range: vibration once a
    turn, proportional to the unbalance; the same speed, mounting and instrument throughout. First-order uncertainty.

    Examples
    --------
    3.4 mm/s at 116 deg; with 2 g at the mark 1.8 mm/s at 42 deg: 2.01 g at -30.8 deg.

    >>> from rotorkit.quantities import say
    >>> found = one_plane_balance(("3.4 mm/s", "116 deg"), ("2 g", "0 deg"), ("1.8 mm/s", "42 deg"))
    >>> say(found.weight, "g", digits=3), say(found.angle, "deg", digits=3)
    ('2.01 g', '-30.8°')
    """
    before = as_phasor(original, AMPLITUDES, "original reading")
    weight = as_phasor(trial, WEIGHTS, "trial weight")
    after = as_phasor(with_trial, AMPLITUDES, "reading with trial weight")
    same_kind([before, after], "original and with trial weight")
    checked_sense(sense)
    if not abs(weight.si):
        raise QuantityError("trial weight: needs a weight above nothing")
    if after.si == before.si:
        raise QuantityError(
            "reading with trial weight: is the same as without it, so the weight's effect is not known. Use a heavier "
            "one, or look whether the instrument reads at all."
        )

    def work(v0: Any, t: Any, v1: Any) -> list[Any]:
        return [sensed(-v0 * sensed(t, sense) / (v1 - v0), sense)]

    [correction] = phasors_from(work, [weight.kind], [before, weight, after], [weight.unit])
    promised = predicted(before, after, weight, correction.exact, sense)
    return OnePlane(correction, before, weight, after, after - before, promised, sense)


def predicted(original: Any, with_trial: Any, trial: Any, weight: Any, sense: str = "with phase") -> Phasor:
    """What a weight in place of the trial weight should leave: V0 + (V1 - V0) C / T.

    Parameters
    ----------
    original, with_trial, trial, sense
        As for `one_plane_balance`.
    weight : pair (weight, angle) or Phasor
        C, of the trial weight's kind, counted as the trial weight is. Its own uncertainty is carried too.

    Returns
    -------
    Phasor
        The vibration to expect, with the uncertainty of the three readings.

    Raises
    ------
    QuantityError
        As `one_plane_balance`.

    Notes
    -----
    Source: influence coefficient method (derived). Range: as `one_plane_balance`.

    Examples
    --------
    Half the correction leaves half the vibration.

    >>> from rotorkit.quantities import say
    >>> left = predicted(("2 in/s", "0 deg"), ("1 in/s", "0 deg"), ("10 g", "0 deg"), ("10 g", "0 deg"))
    >>> say(left.amplitude, "in/s", digits=4)
    '1.000 in/s'
    """
    before, after = (as_phasor(one, AMPLITUDES, name) for one, name in ((original, "original"), (with_trial, "with")))
    tried, put = (as_phasor(one, WEIGHTS, name) for one, name in ((trial, "trial weight"), (weight, "weight")))
    same_kind([before, after], "original and with trial weight")
    same_kind([tried, put], "trial weight and weight")
    checked_sense(sense)

    def work(v0: Any, v1: Any, t: Any, c: Any) -> list[Any]:
        return [v0 + (v1 - v0) * sensed(c, sense) / sensed(t, sense)]

    return phasors_from(work, [before.kind], [before, after, tried, put], [before.unit])[0]


def checked_sense(sense: str) -> None:
    """Refuse a word that says no sense."""
    if sense not in SENSES:
        raise QuantityError(f"sense: needs {' or '.join(map(repr, SENSES))}, got {sense!r}")


def sensed(weight: Any, sense: str) -> Any:
    return weight if sense == SENSES[0] else np.conj(weight)
