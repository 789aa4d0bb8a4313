"""A cable that is slack, or may be: what can be said of its tension, and what not.

A slack cable has no known tension. How far it is from being taut does not show, so that nothing can be carried to
another temperature from it but a bound: had it just been taut, it would have so much there, and it has no more. And a
tension that would be negative where it is carried to is none: there the cable is slack, for it cannot push.
"""

from __future__ import annotations

from dataclasses import replace

from rotorkit.judging.limits import OUT_OF_LIMITS, UNDONE, Limit, Verdict
from rotorkit.judging.measured import Measured
from rotorkit.quantities import Force, from_si, say

TIGHTEN = "Tighten it until the gauge shows a tension, and read it again, before the controls are used."


def may_be_slack(tension: Measured) -> str | None:
    """ "is slack" or "may be slack" for a tension that cannot be told from zero (k = 2); None for a taut cable."""
    value, spread = float(tension.si), float(tension.expanded_si)
    if value > 0 and value - spread >= -1e-12 * value:  # as a limit is judged: to the last bit of the conversion
        return None
    return "is slack" if value + spread <= 0 else "may be slack"


def unknown_tension(limit: Limit | None, tension: Measured, most: Measured, there: str) -> Verdict:
    """The verdict on a cable that may be slack: it has no known tension.

    Out of limits where even the most that it can have at the limit's temperature is too little: had it just been taut,
    it would have `most` there. Otherwise there is no verdict yet. It is never in limits.

    Parameters
    ----------
    limit : Limit | None
        of the tension, at its own temperature; None where none is given.
    tension : Measured
        [force] today, as read; it cannot be told from zero.
    most : Measured
        [force] the same carried to the limit's temperature.
    there : str
        that temperature, in words.

    Examples
    --------
    >>> from rotorkit.judging.measured import measured
    >>> limit = Limit("tension", Force, "12 lbf", "22 lbf", "manual")
    >>> read_today, most = (measured(text, Force, "gauge") for text in ("0 ± 1 lbf", "17.5 ± 1 lbf"))
    >>> unknown_tension(limit, read_today, most, "70 °F").word
    'no verdict yet'
    """
    said = f"tension today, as read: {say(tension)}: the cable {may_be_slack(tension)}"
    highest = float(most.si) + float(most.expanded_si)
    if limit is not None and limit.low_si is not None and highest < limit.low_si:
        at_most = say(from_si(max(highest, 0.0), Force), limit.said_in)
        said += f", and at {there} it has at most {at_most}; limit {limit.text}: {OUT_OF_LIMITS}"
        return Verdict(OUT_OF_LIMITS, tension, limit, said, TIGHTEN)
    return Verdict(UNDONE, tension, None, f"{said}: its tension at {there} is not known", TIGHTEN)


def judged_tension(limit: Limit | None, carried: Measured, name: str) -> Verdict:
    """The verdict on a tension corrected to the limit's temperature, if the cable may have gone slack.

    A cable cannot push: a limit without a low side has zero for one, and a cable that is surely slack is out of
    limits whether a limit is given or not. Its tension is zero then, however far the line runs below.

    Parameters
    ----------
    limit : Limit | None
        of the tension at that temperature; None where none is given.
    carried : Measured
        [force] the line through the reading, there; negative where the cable is slack.
    name : str
        what is judged, where no limit names it.

    Examples
    --------
    >>> from rotorkit.judging.measured import measured
    >>> slack = measured("-5.4 ± 1 lbf", Force, "carried")
    >>> judged_tension(Limit("tension", Force, high="22 lbf", source="manual"), slack, "tension").sentence
    'tension: slack; limit 0 lbf to 22 lbf: out of limits'
    """
    doubt = may_be_slack(carried)
    none = limit is None or limit.open
    if doubt is None or (none and doubt != "is slack"):
        return (limit or Limit(name, Force)).judge(carried)
    floor = Limit(name, Force, "0 lbf", None, "a cable cannot push") if limit is None or limit.open else limit
    if floor.low_si is None or floor.low_si < 0:
        floor = replace(floor, low="0 lbf")
    verdict = floor.judge(carried)
    if doubt != "is slack":
        return verdict
    nought = Measured(0.0, Force, carried.components, carried.unit)
    said = f"{name}: slack; limit {floor.text}: {OUT_OF_LIMITS}"
    return replace(verdict, word=OUT_OF_LIMITS, measured=nought, sentence=said)
