"""Turnbuckles: how many turns bring a cable to its target tension, and what they leave of the threads.

One turn of the barrel draws both ends in by their pitches. The cable (``L / EA``) and the airframe (``1 / k_s``) give
way, and the rest is tension. ``n`` runs, each a spring of ``k_c = EA / L``, lie between two quadrants whose supports
the airframe holds apart with ``k_s``: where the runs gain ``dT_1 .. dT_n``, the supports come together by
``x = (dT_1 + .. + dT_n) / k_s``. Run 1 is shortened by ``s`` at its turnbuckle.

Free loop (two runs, the far quadrant free to turn, by ``z`` at its rim): ``dT_1 = k_c (s - z - x)``,
``dT_2 = k_c (z - x)``, and the free quadrant makes them equal. Added up: ``2 dT / k_c = s - 2 x`` with
``x = 2 dT / k_s``, so

    s = 2 dT (1 / k_c + 2 / k_s)

that is ``runs_in_loop`` 2, and an airframe of ``k_s / 2`` as each run meets it (`stiffness_felt_by_one_run`).

Pinned at both ends (no quadrant can turn): ``dT_1 = k_c (s - x)`` and for each other run ``dT_2 = -k_c x``: as the
supports come together under the tightened run, the others slacken, and by that prop the airframe beside it. From
``k_s x = dT_1 + (n - 1) dT_2`` follows ``x = k_c s / (k_s + n k_c)`` and

    dT_1 = s / (1 / k_c + 1 / (k_s + (n - 1) k_c))        dT_2 = -dT_1 k_c / (k_s + (n - 1) k_c)

that is ``runs_in_loop`` 1, and an airframe of ``k_s + (n - 1) k_c`` (`stiffness_felt_by_pinned_run`). A single cable
against a spring is the same with ``n`` 1.

Two cautions the relation knows nothing of: friction at the pulleys holds the tension back until the controls have been
worked through their range, and a new cable gives. Turn by halves, work the controls, measure.

Sign: turns are positive tighter. (A link's flats are positive longer: a turnbuckle is made to pull.)
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

from rotorkit import sources
from rotorkit.formula import nomenclature
from rotorkit.formula.contract import si_of
from rotorkit.judging.limits import Limit, Verdict
from rotorkit.judging.measured import Measured, combine, measured
from rotorkit.quantities import (
    Force,
    Length,
    QuantityError,
    Ratio,
    Stiffness,
)
from rotorkit.rigging.cable_rules import threads_exposed_limit

_INCHES = ("in", "mm")

_formula = nomenclature(
    letters={
        "tension_change": r"\Delta T", "length": "L", "axial_stiffness": "EA", "structure_stiffness": "k_s",
        "runs_in_loop": "N", "pitch_one": "p_1", "pitch_other": "p_2", "turns": "n", "runs": "n",
        "threads_exposed": "m", "turns_tighter": "n",
    },
    valid={
        "length": ("1e-6 m", None), "axial_stiffness": ("1e-6 N", None), "structure_stiffness": ("1e-6 N/m", None),
        "runs_in_loop": ("1", "4"), "pitch_one": ("1e-5 m", "0.25 in"), "pitch_other": ("0 m", "0.25 in"),
        "runs": ("1", "4"), "threads_exposed": ("0", "60"),
    },
    shown={"length": _INCHES, "pitch_one": _INCHES, "pitch_other": _INCHES},
)  # fmt: skip


@_formula(
    source=sources.ARITHMETIC.at("cable and airframe as springs in series"), result="s", shown={"result": _INCHES}
)
def shortening_for_tension(
    tension_change: Force, length: Length, axial_stiffness: Force, structure_stiffness: Stiffness, runs_in_loop: Ratio
) -> Length:
    """How much a turnbuckle must take up for a change of tension.

    Parameters
    ----------
    tension_change : Force
        [force] wanted, positive tighter
    length : Length
        [length] of one run between its ends
    axial_stiffness : Force
        [force] EA of the cable (`axial_stiffness_from_stretch_factor`)
    structure_stiffness : Stiffness
        [stiffness] of the airframe as each run meets it (`stiffness_felt_by_one_run` in a free
        loop, `stiffness_felt_by_pinned_run` in a pinned one); without limit for a rigid one
    runs_in_loop : Ratio
        [-] runs that share what the one turnbuckle takes up: 2 for a free loop, 1 for one run held

    Returns
    -------
    Length
        The shortening, positive shorter.

    Notes
    -----
    Range of validity: elastic; no run slack before or after; friction worked out.

    Examples
    --------
    10 lbf more in a loop of two 200 in runs of 96450 lbf, airframe 1000 lbf/in as each meets it:
    2 x 10 x (200/96450 + 1/1000) = 0.06147 in.

    >>> from rotorkit.quantities import say
    >>> say(shortening_for_tension("10 lbf", "200 in", "96450 lbf", "1000 lbf/in", 2), "in", digits=4)
    '0.06147 in'
    """
    return runs_in_loop * tension_change * (length / axial_stiffness + 1 / structure_stiffness)


@_formula(source=sources.ARITHMETIC.at("cable and airframe as springs in series"), result="n")
def turnbuckle_turns(
    tension_change: Force,
    length: Length,
    axial_stiffness: Force,
    structure_stiffness: Stiffness,
    runs_in_loop: Ratio,
    pitch_one: Length,
    pitch_other: Length,
) -> Ratio:
    """Turns of the barrel for a change of tension.

    Parameters
    ----------
    pitch_one, pitch_other : Length
        [length] of the two threads; the other zero where one end alone is threaded
        the others as in `shortening_for_tension`

    Returns
    -------
    Ratio
        The turns, positive tighter.

    Examples
    --------
    0.06147 in with two 28 threads: 0.06147 / (2/28) = 0.861 turns.

    >>> from rotorkit.quantities import say
    >>> turns = turnbuckle_turns("10 lbf", "200 in", "96450 lbf", "1000 lbf/in", 2, "1/28 in", "1/28 in")
    >>> say(turns, digits=3)
    '0.861'
    """
    return shortening_for_tension(tension_change, length, axial_stiffness, structure_stiffness, runs_in_loop) / (
        pitch_one + pitch_other
    )


@_formula(source=sources.BHAVIKATTI.at("example 2.2.26, p. 37"), result=r"\Delta T")
def tension_change_of_turns(
    turns: Ratio,
    length: Length,
    axial_stiffness: Force,
    structure_stiffness: Stiffness,
    runs_in_loop: Ratio,
    pitch_one: Length,
    pitch_other: Length,
) -> Force:
    """Change of tension from turns of the barrel.

    The inverse of `turnbuckle_turns`: see there for the arguments. A bolt in a tube, drawn up by its nut, is the same.

    Returns
    -------
    Force
        The change of tension, positive tighter.

    Examples
    --------
    One turn of two 28 threads in that loop: 11.6 lbf.

    >>> from rotorkit.quantities import say
    >>> change = tension_change_of_turns(1, "200 in", "96450 lbf", "1000 lbf/in", 2, "1/28 in", "1/28 in")
    >>> say(change, "lbf", digits=3)
    '11.6 lbf'
    """
    return turns * (pitch_one + pitch_other) / (runs_in_loop * (length / axial_stiffness + 1 / structure_stiffness))


@_formula(
    source=sources.ARITHMETIC.at("runs and airframe as springs, both ends pinned"),
    result="k_1",
    title="Airframe stiffness that a run pinned at both ends meets",
)
def stiffness_felt_by_pinned_run(
    structure_stiffness: Stiffness, runs: Ratio, length: Length, axial_stiffness: Force
) -> Stiffness:
    """Airframe stiffness that one run meets when it alone is tightened and both ends of the loop are pinned.

    The other runs are stretched already: as the airframe comes together they slacken, and so prop it beside the run
    that is tightened. Derived at the head of the module.

    Parameters
    ----------
    structure_stiffness : Stiffness
        [stiffness] of the airframe between the runs' ends under one force
    runs : Ratio
        [-] of the loop, the tightened one counted, all alike
    length : Length
        [length] of one run between its ends
    axial_stiffness : Force
        [force] EA of the cable

    Returns
    -------
    Stiffness
        The stiffness, for `turnbuckle_turns` and `tension_change_of_turns` with runs_in_loop 1.

    Notes
    -----
    Range of validity: elastic; no run slack before or after; friction worked out.

    Examples
    --------
    1000 lbf/in and two runs of 200 in, 96450 lbf: 1000 + 96450/200 = 1482 lbf/in.

    >>> from rotorkit.quantities import say
    >>> say(stiffness_felt_by_pinned_run("1000 lbf/in", 2, "200 in", "96450 lbf"), "lbf/in", digits=4)
    '1,482 lbf/in'
    """
    return structure_stiffness + (runs - 1) * axial_stiffness / length


@_formula(
    source=sources.ARITHMETIC.at("runs and airframe as springs, both ends pinned"),
    letters={"tension_change": r"\Delta T_1"},
    result=r"\Delta T_2",
    title="Change of tension of the other run, both ends pinned",
)
def tension_change_of_other_run(
    tension_change: Force, structure_stiffness: Stiffness, runs: Ratio, length: Length, axial_stiffness: Force
) -> Force:
    """What each other run loses when one run is tightened and both ends of the loop are pinned.

    Parameters
    ----------
    tension_change : Force
        [force] of the run that is tightened, positive tighter
        the others as in `stiffness_felt_by_pinned_run`

    Returns
    -------
    Force
        The change of each other run, of the other sign; nothing for a rigid airframe.

    Notes
    -----
    Range of validity: as `stiffness_felt_by_pinned_run`.

    Examples
    --------
    One turn of two 28 threads makes 26.0 lbf in that run: the other loses 26.0 x 482/1482 = 8.46 lbf.

    >>> from rotorkit.quantities import say
    >>> say(tension_change_of_other_run("26.0 lbf", "1000 lbf/in", 2, "200 in", "96450 lbf"), "lbf", digits=3)
    '-8.46 lbf'
    """
    return -tension_change * (axial_stiffness / length) / (structure_stiffness + (runs - 1) * axial_stiffness / length)


@_formula(source=sources.DEFINITION.at("threads outside a turnbuckle barrel"), result="m'")
def threads_exposed_after(threads_exposed: Ratio, turns_tighter: Ratio) -> Ratio:
    """Threads outside the barrel at one end after turning: one fewer for each turn tighter.

    Parameters
    ----------
    threads_exposed : Ratio
        [-] counted now at this end, in halves
    turns_tighter : Ratio
        [-] of the barrel

    Returns
    -------
    Ratio
        The threads outside; below zero the terminal has been drawn in past its thread or meets the barrel's middle.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(threads_exposed_after(4, 1.5), digits=2)
    '2.5'
    """
    return threads_exposed - turns_tighter


@dataclass(frozen=True)
class TurnbucklePlan:
    """What to turn.

    exact: turns to the middle of the target, Measured ratio, positive tighter. wanted: rounded to whole steps. turns:
    as many of these as the threads allow. change:
    of the tension by those, Measured. after: the tension expected then, Measured. verdict: on that, against the target.
    threads: verdicts on the threads exposed at each end, after turning.
    """

    exact: Measured
    wanted: float
    turns: float
    change: Measured
    after: Measured
    verdict: Verdict
    threads: tuple[Verdict, ...]

    @property
    def sentence(self) -> str:
        """What to do, in words."""
        if not self.turns and self.wanted:
            return "leave the turnbuckle as it is: its threads do not allow a turn that way"
        if not self.turns:
            return "leave the turnbuckle as it is"
        way = "tighter" if self.turns > 0 else "looser"
        size = abs(self.turns)
        whole, half = int(size), size - int(size)
        text = f"{whole or ''}{' ' if whole and half else ''}{_fraction(half)}"
        return f"turn the barrel {text} turn{'s' if size > 1 else ''} {way}, work the controls, and measure again"


def _fraction(part: float) -> str:
    return {0.0: "", 0.25: "1/4", 0.5: "1/2", 0.75: "3/4"}.get(part, f"{part:g}")


def turnbuckle_plan(
    tension: Any,
    target: Limit,
    length: Any,
    axial_stiffness: Any,
    structure_stiffness: Any,
    runs_in_loop: int,
    pitch_one: Any,
    pitch_other: Any,
    threads_exposed: tuple[Any, ...] = (),
    step: float = 0.5,
    share: Measured | None = None,
) -> TurnbucklePlan:
    """Turns that bring a cable to the middle of its target, in whole steps, and what becomes of the threads.

    Parameters
    ----------
    tension : Any
        [force] now, text, quantity or Measured, at the temperature that the target is for: carried there with
        all its uncertainty (`tension_at_temperature`), so that the forecast is known no better than its verdict.
    target : Limit
        limit of the tension, both sides given.
    length, axial_stiffness, structure_stiffness, runs_in_loop, pitch_one, pitch_other : Any, int
        as `turnbuckle_turns`; any
        of them may be a Measured.
    threads_exposed : tuple[Any, ...]
        [-] counted now at each end; none if they were not counted. No turns are planned past them: tighter until the
        first end is in by its last thread, looser until one end has as many outside as the rule allows.
    step : float
        turns between two positions that can be safetied: half a turn brings the hole or the clip's groove round
        again (common practice, no source).
    share : Measured | None
        [-] part of the change of tension that arrives, where the stiffness above is only its bound (that of a
        rigid airframe); the turns are then the fewest.

    Returns
    -------
    TurnbucklePlan
        The `TurnbucklePlan`.

    Raises
    ------
    QuantityError
        the target has one side only, or step is not above zero.

    Examples
    --------
    24 lbf, target 30 to 40 lbf: 11 lbf to the middle, 0.95 turns; one turn gives 35.6 lbf.

    >>> target = Limit("cable tension", Force, "30 lbf", "40 lbf", "manual 7-12", "lbf")
    >>> plan = turnbuckle_plan(measured("24 lbf", Force, "gauge", "1 lbf"), target, "200 in", "96450 lbf",
    ...                        "1000 lbf/in", 2, "1/28 in", "1/28 in", threads_exposed=(3.5, 4))
    >>> plan.sentence
    'turn the barrel 1 turn tighter, work the controls, and measure again'
    >>> plan.verdict.word, [verdict.word for verdict in plan.threads]
    ('in limits', ['in limits', 'in limits'])
    """
    low, high = target.low_si, target.high_si
    if low is None or high is None:
        raise QuantityError("target: needs both sides of the tension, to aim for the middle")
    if not step > 0:
        raise QuantityError(f"step: needs a part of a turn above zero, such as 0.5; got {step}")
    si, carried = si_of(tension, Force, "tension")
    now = carried or Measured(float(si), Force)
    middle = Measured((low + high) / 2, Force)
    run = (length, axial_stiffness, structure_stiffness, runs_in_loop, pitch_one, pitch_other)
    exact = turnbuckle_turns(middle - now, *run)
    if not isinstance(exact, Measured):
        exact = measured(exact, Ratio, "turns")
    wanted = math.floor(float(exact.si) / step + 0.5) * step
    turns = _as_the_threads_allow(wanted, threads_exposed, step)
    made = tension_change_of_turns(turns, *run)
    change = made if isinstance(made, Measured) else measured(made, Force, "change")
    if share is not None:
        change = combine(
            float(change.si) * float(share.si), Force, [change, share], [float(share.si), float(change.si)]
        )
    after = now + change
    rule = threads_exposed_limit()
    threads = tuple(rule.judge(measured(threads_exposed_after(m, turns), Ratio, "threads")) for m in threads_exposed)
    return TurnbucklePlan(exact, wanted, turns, change, after, target.judge(after), threads)


def _as_the_threads_allow(wanted: float, threads_exposed: tuple[Any, ...], step: float) -> float:
    """Turns in whole steps, no more than the threads counted outside at the ends allow (`threads_exposed_after`)."""
    if not threads_exposed or not wanted:
        return wanted
    counted = [float(si_of(one, Ratio, "threads_exposed")[0]) for one in threads_exposed]
    if wanted > 0:
        room = min(counted)
    else:
        room = float(threads_exposed_limit().high_si or 0.0) - max(counted)
    most = math.floor(max(room, 0.0) / step + 1e-9) * step
    return math.copysign(min(abs(wanted), most), wanted) if most else 0.0
