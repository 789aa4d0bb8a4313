"""A trial weight worked by hand, with the lengths of three arrows and the angle between two: what a pencil and a
protractor do on polar paper. `one_plane_balance` does it with the uncertainties, and says where the weight goes.
"""

from __future__ import annotations

from rotorkit import sources
from rotorkit.formula import acos, cos, nomenclature, sqrt
from rotorkit.quantities import Angle, Mass, Speed

_ARROWS = sources.VAUGHAN_BALANCING.at("one plane, the arrows drawn")

_formula = nomenclature(
    letters={"as_found": "O", "with_trial": "R", "between": r"\varphi", "trial": "m_t", "change": "T"},
    valid={
        "as_found": ("0 in/s", "20 in/s"), "with_trial": ("0 in/s", "20 in/s"), "between": ("0 deg", "180 deg"),
        "trial": ("0 g", None), "change": ("1e-6 in/s", None),
    },
)  # fmt: skip


@_formula(source=_ARROWS, result="T", title="What the trial weight did")
def what_the_trial_did(as_found: Speed, with_trial: Speed, between: Angle) -> Speed:
    """Length of the arrow from the run as found to the run with the trial weight: what that weight alone does.

    Formula: T = sqrt(O^2 + R^2 - 2 O R cos(between)), the law of cosines.

    Parameters
    ----------
    as_found, with_trial : Speed
        Amplitudes once a turn, both peak or both rms: 0 to 20 in/s.
    between : Angle
        From the one phase to the other, the short way round: 0 to 180 degrees.

    Returns
    -------
    Speed
        The amplitude that the trial weight alone makes, stated as the two are.

    Raises
    ------
    QuantityError
        an argument is not of its kind, an amplitude is negative, the angle is not 0 to 180 degrees.

    Notes
    -----
    Range of validity: the shake follows the weight in proportion (common practice (no source)), both runs at the same
    speed. A trial weight that changes neither length nor angle tells you nothing.

    Examples
    --------
    The published example: 3.4 mm/s at 116 degrees as found, 1.8 mm/s at 42 degrees with the trial weight.

    >>> from rotorkit.quantities import say
    >>> say(what_the_trial_did("3.4 mm/s", "1.8 mm/s", "74 deg"), "mm/s", digits=3)
    '3.38 mm/s'
    """
    return sqrt(as_found**2 + with_trial**2 - 2 * as_found * with_trial * cos(between))


@_formula(source=_ARROWS, result="m", valid={"as_found": ("0 in/s", None)}, title="Weight that takes the shake away")
def weight_from_trial(trial: Mass, as_found: Speed, change: Speed) -> Mass:
    """The weight that takes all of the vibration away, from the effect of the trial weight.

    Formula: m = m_t O / T.

    Parameters
    ----------
    trial : Mass
        The trial weight, with its bolt and nut.
    as_found : Speed
        Amplitude before it, once a turn.
    change : Speed
        What it did (`what_the_trial_did`), above nothing.

    Returns
    -------
    Mass
        The weight, at the trial weight's radius, with the trial weight off.

    Raises
    ------
    QuantityError
        an argument is not of its kind or negative, or the trial did nothing.

    Notes
    -----
    Range of validity: as for `what_the_trial_did`. Where it goes is `move_from_trial`.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(weight_from_trial("2 g", "3.4 mm/s", "3.380 mm/s"), "g", digits=3)
    '2.01 g'
    """
    return trial * as_found / change


@_formula(
    source=_ARROWS,
    result=r"\alpha",
    valid={
        "as_found": ("0.001 in/s", "10 in/s"),
        "with_trial": ("0.001 in/s", "10 in/s"),
        "between": ("0.1 deg", "179.9 deg"),
    },
    title="How far round from the trial weight's place",
)
def move_from_trial(as_found: Speed, with_trial: Speed, between: Angle) -> Angle:
    """How far round the rotor the weight goes from the place of the trial weight.

    Formula: a = acos((O - R cos(between)) / sqrt(O^2 + R^2 - 2 O R cos(between))).

    Parameters
    ----------
    as_found, with_trial : Speed
        Amplitudes once a turn, both peak or both rms: 0.001 to 10 in/s.
    between : Angle
        From the one phase to the other, the short way round, and not along one line.

    Returns
    -------
    Angle
        0 to 180 degrees, without a sign. The way round: as the arrow turned from the run as found to the run with the
        trial weight, where weights are counted the way the phase rises; else the other way round.

    Raises
    ------
    QuantityError
        an argument is not of its kind or out of range.

    Notes
    -----
    Range of validity: as for `what_the_trial_did`. Arrows along one line (0 or 180 degrees) need no formula: the
    weight goes to the trial weight's place, or opposite to it where the arrow only grew longer.

    Examples
    --------
    The published example's 30.8 degrees, against the phase: the phase fell from 116 to 42 degrees.

    >>> from rotorkit.quantities import say
    >>> say(move_from_trial("3.4 mm/s", "1.8 mm/s", "74 deg"), "deg", digits=3)
    '30.8°'
    """
    return acos(
        (as_found - with_trial * cos(between))
        / sqrt(as_found**2 + with_trial**2 - 2 * as_found * with_trial * cos(between))
    )
