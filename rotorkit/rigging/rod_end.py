"""Rod ends: how far a thread is in, what the witness hole shows, and how many flats there are to spare.

A rod end screwed out too far holds on a few threads and shows nothing of it from outside. The witness hole is there to
be used, after every change of length, at both ends.
"""

from __future__ import annotations

import math
from typing import Any

from rotorkit import sources
from rotorkit.formula import formula
from rotorkit.formula.contract import si_of
from rotorkit.judging.limits import IN_LIMITS, OUT_OF_LIMITS, UNDONE, Limit, Verdict
from rotorkit.judging.measured import Measured, measured
from rotorkit.quantities import Length, QuantityError, Ratio, from_si, say
from rotorkit.rigging.pitch_link import PitchLink

_INCHES = ("in", "mm")

WITNESS_WIRE = "0.020 in"
"""The wire that must not pass through a witness hole (US Army TM 1-1500-204-23-1; known: read)."""


@formula(
    source=sources.ARITHMETIC.at("thread screwed out of a body"),
    letters={"engagement": "e", "pitch": "p", "turns": "n"},
    result="e'",
    valid={"pitch": ("1e-5 m", "0.25 in"), "engagement": ("0 in", None)},
    shown={"engagement": _INCHES, "pitch": _INCHES, "result": _INCHES},
)
def engagement_after_turns(engagement: Length, pitch: Length, turns: Ratio) -> Length:
    """Thread engagement of one end after the body was turned.

    Parameters
    ----------
    engagement : Length
        [length] of thread in the body now: the threaded length less what is seen outside, or to the shank's
        end from the body's end
    pitch : Length
        [length] of this end's thread
    turns : Ratio
        [-] positive longer, which takes engagement away

    Returns
    -------
    Length
        The engagement; a negative figure means that the end is out of the body.

    Examples
    --------
    0.5 in of 28 thread, two turns longer: 0.5 - 2/28 = 0.4286 in.

    >>> from rotorkit.quantities import say
    >>> say(engagement_after_turns("0.5 in", "1/28 in", 2), "in", digits=4)
    '0.4286 in'
    """
    return engagement - pitch * turns


def engagement_verdict(engagement: Any, least: Any, source: str, name: str = "thread engagement") -> Verdict:
    """Whether a thread is far enough in, judged with the uncertainty of its measurement.

    Parameters
    ----------
    engagement : Any
        [length] text, quantity or Measured.
    least : Any
        [length] that the manual asks for; no rule of thumb takes its place here.
    source : str
        the manual page.
    """
    figure = engagement if isinstance(engagement, Measured) else measured(engagement, Length, name)
    return Limit(name, Length, low=least, source=source, unit="in").judge(figure)


def witness_hole_verdict(
    wire_passes: bool | None, threads_visible: bool | None = True, where: str = "rod end"
) -> Verdict:
    """The witness-hole rule of one rod end: threads are seen in the hole and a 0.020 in wire does not pass.

    Source: US Army TM 1-1500-204-23-1 (known: read). A wire that passes shows that the shank ends short of the hole:
    the end is too far out. The rule says nothing of how far in is too far (a shank that bottoms), nor of the jam nut.

    Parameters
    ----------
    wire_passes : bool | None
        whether the wire goes through the hole past the shank; None where it was not tried.
    threads_visible : bool | None
        whether threads are seen in the hole; None where nobody looked.
    where : str
        which end, in words.

    Returns
    -------
    Verdict
        The verdict; its figure is the number of the two demands that fail (0 to 2), its limit none.

    Examples
    --------
    >>> witness_hole_verdict(False, True, "white link, upper end").word
    'in limits'
    >>> witness_hole_verdict(True, True, "white link, upper end").settle
    'screw the end in until the wire stops; if the link or tube is then too short, it takes a longer one'
    """
    citation = sources.TM_1_1500_204_23_1.at("witness hole")
    limit = Limit(f"witness hole of the {where}", Ratio, high="0", source=str(citation))
    failed = int(wire_passes is True) + int(threads_visible is False)
    figure = measured(from_si(float(failed), Ratio), Ratio, limit.name)
    found = []
    if wire_passes is not None:
        found.append(f"a {WITNESS_WIRE} wire {'passes' if wire_passes else 'does not pass'}")
    if threads_visible is not None:
        found.append(f"threads are {'' if threads_visible else 'not '}visible")
    said = f"{limit.name}: {' and '.join(found) or 'not looked at'}"
    if failed:
        settle = "screw the end in until the wire stops; if the link or tube is then too short, it takes a longer one"
        return Verdict(OUT_OF_LIMITS, figure, limit, f"{said}: {OUT_OF_LIMITS}", settle)
    if wire_passes is None or threads_visible is None:
        return Verdict(UNDONE, figure, None, f"{said}: no verdict", f"try a {WITNESS_WIRE} wire and look for threads")
    return Verdict(IN_LIMITS, figure, limit, f"{said}: {IN_LIMITS}")


def flats_within_engagement(
    link: PitchLink,
    engagement: tuple[Any, Any],
    least_engagement: Any,
    greatest_engagement: Any = None,
) -> tuple[int, int]:
    """How many whole flats a link may be turned shorter and longer before a thread runs out or a shank bottoms.

    Parameters
    ----------
    link : PitchLink
        its threads and flats.
    engagement : tuple[Any, Any]
        [length] now, of both ends (of the one that turns, twice the same, if only one does).
    least_engagement : Any
        [length] that the manual asks for at each end.
    greatest_engagement : Any
        [length] at which a shank bottoms, or the body meets the jam nut; None where the manual
        gives none: then two turns shorter are allowed, and that is a guess on the careful side.

    Returns
    -------
    tuple[int, int]
        (most flats shorter as a number of zero or less, most flats longer of zero or more).

    Raises
    ------
    QuantityError
        an end is already less engaged than it must be; it names the end and what it lacks.

    Examples
    --------
    Both ends 1/4-28 with 0.50 and 0.45 in engaged, at least 0.375 in: the second end has 0.075 in = 2.1 turns =
    12.6 flats to spare: 12 flats longer.

    >>> from rotorkit.rigging import PitchLink
    >>> link = PitchLink("6.5 in", "1/4-28", "1/4-28 left hand", 6, "raises the blade angle")
    >>> flats_within_engagement(link, ("0.50 in", "0.45 in"), "0.375 in", "0.6 in")
    (-16, 12)
    """
    least = float(si_of(least_engagement, Length, "least_engagement")[0])
    most = None if greatest_engagement is None else float(si_of(greatest_engagement, Length, "greatest_engagement")[0])
    longer, shorter = math.inf, -math.inf
    for end, now_text, out_per_turn in zip(("upper", "lower"), engagement, link.out_per_turn, strict=False):
        now = float(si_of(now_text, Length, f"engagement, {end} end")[0])
        if now < least - 1e-9:
            raise QuantityError(
                f"engagement: the {end} end has {say(from_si(now, Length), 'in')}, less than the "
                f"{say(from_si(least, Length), 'in')} it must have. Make that good before anything is turned."
            )
        per_flat = out_per_turn / link.flats_per_turn
        out, into = (now - least) / abs(per_flat), math.inf if most is None else (most - now) / abs(per_flat)
        into = max(into, 0.0) if math.isfinite(into) else 2.0 * link.flats_per_turn
        longer, shorter = (
            (min(longer, out), max(shorter, -into)) if per_flat > 0 else (min(longer, into), max(shorter, -out))
        )
    return math.ceil(shorter - 1e-9) + 0, math.floor(longer + 1e-9)
