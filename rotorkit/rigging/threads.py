"""Threads: what a turn does to the length of a link, a rod or a turnbuckle, and to a bolt under its nut.

A body with a right-hand thread in one end and a left-hand thread in the other moves both ends at once: one turn of the
body changes the length by the sum of the two pitches. With right-hand threads in both ends it screws onto the one as it
leaves the other, and the difference is left (nothing, where the pitches are equal). Where a rod end is taken off and
screwed in or out, one pitch counts, in steps of half a turn or a whole one as the eye allows.

Sign: turns and flats are positive where the link gets longer. Which way round that is depends on the hand of the
threads: turn a little, measure, and mark it.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from rotorkit import sources
from rotorkit.formula import nomenclature, pi
from rotorkit.quantities import Angle, Force, Length, QuantityError, Ratio, Stiffness, Torque

_PITCH = ("1e-5 m", "0.25 in")
_INCHES = ("in", "mm")


@dataclass(frozen=True)
class Thread:
    """A thread as a drawing names it.

    Attributes
    ----------
    written : str
        as given, "1/4-28 left hand".
    diameter, pitch : str
        nominal diameter and pitch, each as text with its unit, to be given to any formula.
    left_hand : bool
        whether it is a left-hand thread.
    """

    written: str
    diameter: str
    pitch: str
    left_hand: bool


_INCH = re.compile(r"(?P<size>#?\d+|\d+/\d+|\d+ \d+/\d+|\d*\.\d+)\s*-\s*(?P<threads>\d+(?:\.\d+)?)")
_METRIC = re.compile(r"M(?P<size>\d+(?:\.\d+)?)\s*[x×]\s*(?P<pitch>\d+(?:\.\d+)?)", re.IGNORECASE)
_HAND = re.compile(r"[\s,]*(?P<hand>left[ -]hand|right[ -]hand|LH|RH)\s*$", re.IGNORECASE)
_GREATEST_NUMBER_SIZE = 12
_GREATEST_INCHES = 6
"""No thread of a light helicopter is thicker (common practice, no source)."""
_COARSEST_SCREW, _COARSEST_OF_SIZE_ONE = 24, 64
"""Threads per inch of the coarsest machine screws: 10-24 among all, 1-64 of size 1 (ASME B1.1, from memory)."""


def thread(written: str) -> Thread:
    """The `Thread` of a designation: "1/4-28", "10-32 LH", "3/8-24 left hand", "M6x1", "M8x1.25 LH".

    The first figure is the nominal diameter in inches (a whole number up to 12 with 24 threads or more is a
    machine-screw size, "0-80" the smallest: 0.060 in plus 0.013 in for each, ASME B1.1, from memory, high), the second
    the threads per inch; metric threads give diameter and pitch in millimetres. Right hand where nothing is said.

    Raises
    ------
    QuantityError
        the text is no such designation.

    Examples
    --------
    >>> thread("3/8-24 LH")
    Thread(written='3/8-24 LH', diameter='3/8 in', pitch='1/24 in', left_hand=True)
    >>> thread("10-32").diameter
    '0.190 in'
    """
    text = str(written).strip().replace("½", "1/2").replace("¼", "1/4").replace("⅜", "3/8")
    hand = _HAND.search(text)
    left = hand is not None and hand["hand"].lower()[0] == "l"
    bare = re.sub(r"\s+(UNJ?[FC]|UNS)[\w-]*$", "", text[: hand.start()] if hand else text).strip()
    found = _METRIC.fullmatch(bare)
    if found and float(found["size"]) and float(found["pitch"]):
        return Thread(str(written), f"{found['size']} mm", f"{found['pitch']} mm", left)
    found = _INCH.fullmatch(bare)
    if found and float(found["threads"]):
        size = _inch_size(found["size"], float(found["threads"]))
        if size:
            return Thread(str(written), f"{size} in", f"1/{found['threads']} in", left)
    raise QuantityError(
        f'thread: needs diameter and threads per inch, such as "1/4-28" or "1/4-28 left hand", or a metric thread '
        f'such as "M6x1"; got {written!r}. Copy it from the drawing or try it with a thread gauge.'
    )


def _inch_size(size: str, threads: float) -> str:
    """The diameter in inches, as text, of a designation's first figure; empty where it is none.

    A whole number is a machine-screw size where its thread is as fine as theirs are, else a diameter: 2-56 is a screw
    of 0.086 in, 2-12 a mast nut's thread of 2 in.
    """
    number = size.removeprefix("#")
    if number.isdigit() and (number == "0" or not number.startswith("0")):
        finest = _COARSEST_OF_SIZE_ONE if number == "1" else _COARSEST_SCREW
        if int(number) <= _GREATEST_NUMBER_SIZE and (size.startswith("#") or threads >= finest):
            return f"{0.060 + 0.013 * int(number):.3f}"
        return number if 0 < int(number) <= _GREATEST_INCHES and not size.startswith("#") else ""
    whole, _, fraction = number.rpartition(" ")
    top, _, bottom = fraction.partition("/")
    if bottom:
        inches = int(top) / int(bottom) + int(whole or 0) if int(bottom) and 0 < int(top) < int(bottom) else 0.0
    else:
        inches = float(number) if "." in number else 0.0
    return size if 0 < inches <= _GREATEST_INCHES else ""


_formula = nomenclature(
    letters={
        "pitch_one": "p_1", "pitch_other": "p_2", "turns": "n", "pitch": "p", "pitch_leaving": "p_1",
        "pitch_entering": "p_2", "length_change": r"\Delta L", "length_per_turn": "p", "flats_per_turn": "f",
        "force": "F", "stiffness": "k", "nut_factor": "K", "preload": "F", "diameter": "d",
    },
    valid={
        "pitch_one": _PITCH, "pitch_other": _PITCH, "pitch": _PITCH, "pitch_leaving": _PITCH, "pitch_entering": _PITCH,
        "length_per_turn": ("1e-6 m", None), "flats_per_turn": ("1", "12"), "stiffness": ("1e-6 N/m", None),
        "nut_factor": ("0.05", "0.5"), "diameter": ("1e-4 m", None),
    },
    shown={
        "pitch_one": _INCHES, "pitch_other": _INCHES, "pitch": _INCHES, "pitch_leaving": _INCHES,
        "pitch_entering": _INCHES, "length_change": _INCHES, "length_per_turn": _INCHES, "diameter": _INCHES,
    },
)  # fmt: skip


@_formula(
    source=sources.ARITHMETIC.at("a body turned between a right-hand and a left-hand thread"),
    result=r"\Delta L",
    shown={"result": _INCHES},
    title="Length change, threads of both hands",
)
def length_change_both_ends(pitch_one: Length, pitch_other: Length, turns: Ratio) -> Length:
    """Change of length of a link or turnbuckle whose body is turned, with a right-hand and a left-hand end.

    Parameters
    ----------
    pitch_one, pitch_other : Length
        [length] of the two threads
    turns : Ratio
        [-] of the body, positive longer; n flats of a six-sided body are n/6 turns

    Returns
    -------
    Length
        The change of length, positive longer.

    Examples
    --------
    1/4-28 in both ends, 2 flats of 6: (1/28 + 1/28) x 2/6 = 0.02381 in.

    >>> from rotorkit.quantities import say
    >>> say(length_change_both_ends("1/28 in", "1/28 in", 2 / 6), "in", digits=4)
    '0.02381 in'
    """
    return (pitch_one + pitch_other) * turns


@_formula(
    source=sources.DEFINITION.at("pitch of a single-start thread"),
    result=r"\Delta L",
    shown={"result": _INCHES},
    title="Length change, thread at one end",
)
def length_change_one_end(pitch: Length, turns: Ratio) -> Length:
    """Change of length where one end alone is screwed in or out: a rod end taken off and turned.

    Examples
    --------
    3/8-24, one turn out: 0.04167 in.

    >>> from rotorkit.quantities import say
    >>> say(length_change_one_end("1/24 in", 1), "in", digits=4)
    '0.04167 in'
    """
    return pitch * turns


@_formula(
    source=sources.ARITHMETIC.at("a body turned between two threads of the same hand"),
    result=r"\Delta L",
    shown={"result": _INCHES},
    title="Length change, two threads of the same hand",
)
def length_change_same_hand(pitch_leaving: Length, pitch_entering: Length, turns: Ratio) -> Length:
    """Change of length of a body turned between two threads of the same hand: it leaves the one and enters the other.

    With different pitches this is a fine adjustment (a differential thread); with equal pitches nothing changes but
    the engagement, which is lost at one end: a common mistake of assembly.

    Examples
    --------
    Leaving a 24 thread, entering a 28 thread: 1/24 - 1/28 = 0.005952 in for each turn.

    >>> from rotorkit.quantities import say
    >>> say(length_change_same_hand("1/24 in", "1/28 in", 1), "in", digits=4)
    '0.005952 in'
    """
    return (pitch_leaving - pitch_entering) * turns


@_formula(source=sources.ARITHMETIC.at("turns of a thread"), result="n", title="Turns for a length change")
def turns_for_length_change(length_change: Length, length_per_turn: Length) -> Ratio:
    """Turns that make a change of length.

    Parameters
    ----------
    length_change : Length
        [length] wanted, positive longer
    length_per_turn : Length
        [length] that one turn makes: the sum of both pitches, or one pitch

    Returns
    -------
    Ratio
        The turns, positive longer.

    Examples
    --------
    0.78125 in with 1/16 in for each turn: 12.5 turns.

    >>> from rotorkit.quantities import say
    >>> say(turns_for_length_change("0.78125 in", "1/16 in"), digits=3)
    '12.5'
    """
    return length_change / length_per_turn


@_formula(source=sources.DEFINITION.at("flats of a body"), result="m", title="Flats for a number of turns")
def flats_for_turns(turns: Ratio, flats_per_turn: Ratio) -> Ratio:
    """Flats for a number of turns: six to the turn for a hexagon, two for a rod with two flats filed on it.

    Examples
    --------
    A third of a turn of a hexagon: 2 flats.

    >>> from rotorkit.quantities import say
    >>> say(flats_for_turns(1 / 3, 6), digits=3)
    '2.00'
    """
    return turns * flats_per_turn


@_formula(
    source=sources.ARITHMETIC.at("Hooke's law"), result="e", shown={"result": _INCHES}, title="Stretch under a force"
)
def stretch_under_force(force: Force, stiffness: Stiffness) -> Length:
    """Stretch of a bolt, rod or cable under a force; its stiffness from `end_stiffness`.

    Examples
    --------
    24131.5 lbf on a bolt of 0.334 in2 and 5 in, 30e6 psi: 2,004,000 lbf/in; 0.012042 in.

    >>> from rotorkit.quantities import say
    >>> say(stretch_under_force("24131.5 lbf", "2004000 lbf/in"), "in", digits=5)
    '0.012042 in'
    """
    return force / stiffness


@_formula(source=sources.WENTZELL.at("example 6.2, p. 121"), result=r"\phi")
def turn_of_nut(length_change: Length, pitch: Length) -> Angle:
    """Angle through which a nut (or a barrel on one thread) turns for a change of length, past the snug point.

    Examples
    --------
    0.012042 in with a pitch of 0.1 in: 360 x 0.12042 = 43.35 deg.

    >>> from rotorkit.quantities import say
    >>> say(turn_of_nut("0.012042 in", "0.1 in"), "deg", digits=4)
    '43.35°'
    """
    return 2 * pi * length_change / pitch


@_formula(source=sources.WENTZELL.at("example 6.1, p. 120"), result="T", shown={"result": ("lbf*in", "N*m")})
def tightening_torque(nut_factor: Ratio, preload: Force, diameter: Length) -> Torque:
    """Torque at the wrench for a preload. The nut factor covers all the friction, and scatters by a third either way.

    For a jam nut take the torque of the kit maker's table: this relation serves to see what a torque does, not to set
    one.

    Parameters
    ----------
    nut_factor : Ratio
        [-] K, about 0.2 dry, less when oiled or plated (common textbook figures)
    preload : Force
        [force] in the bolt
    diameter : Length
        [length] nominal

    Returns
    -------
    Torque
        The torque.

    Examples
    --------
    0.2 x 24131.5 lbf x 0.75 in = 3619.7 lbf in.

    >>> from rotorkit.quantities import say
    >>> say(tightening_torque("0.2", "24131.5 lbf", "0.75 in"), "lbf*in", digits=5)
    '3,619.7 lbf·in'
    """
    return nut_factor * preload * diameter
