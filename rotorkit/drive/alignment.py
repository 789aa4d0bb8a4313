"""Alignment of two shafts at a coupling, by the rim and face method: offset and angle from dial readings, what to shim.

Sign convention, all through. x runs along the fixed shaft's axis from the fixed shaft to the one that is to be moved,
from the plane in which the rim dial's stem touches. Vertical figures are positive upwards, horizontal ones positive to
the right, seen from the fixed shaft towards the moved one. A dial's reading is positive when its stem is pushed in. The
offset is where the moved shaft's axis lies against the fixed one's there; the slope how fast it rises away from the
fixed shaft. Both shafts are turned together, so that the dials stay on one spot of the hub, whose run-out drops out.

With the bracket on the fixed shaft and the dials on the hub of the moved one, a rim that lies high by d pushes the stem
in by d at the top and lets it out by d at the bottom: top less bottom is 2 d. A hub whose axis rises by the slope s
leans its front face, at the top, towards the fixed shaft by s times the radius: top less bottom is s times the diameter
of the circle that the stem draws. With the bracket on the moved shaft all is seen from there: the fixed shaft lies low
where the moved one lies high, so the rim's sign turns; along the axis both see each other alike: the face's stays.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from rotorkit import sources
from rotorkit.formula import formula
from rotorkit.formula.contract import contract
from rotorkit.quantities import Angle, Length, QuantityError, Ratio, from_si

_DIAL = ("-100 mm", "100 mm")
_PLACE = ("-10 m", "10 m")
_WAYS = frozenset({"-1", "1"})
_RIM_AND_FACE = sources.ARITHMETIC.at("rim and face method")
_MILS = ("in", "mm")


@formula(source=_RIM_AND_FACE,
         letters={"first": "a_1", "opposite": "a_2", "sag": "a_s", "way": "w"}, result="d",
         valid={"first": _DIAL, "opposite": _DIAL, "sag": _DIAL, "way": _WAYS},
         shown={"first": _MILS, "opposite": _MILS, "sag": _MILS, "result": _MILS})  # fmt: skip
def coupling_offset(first: Length, opposite: Length, sag: Length = "0 mm", way: Ratio = "1") -> Length:
    """Offset of the moved shaft's axis in the rim dial's plane. Formula: d = w (a1 - (a2 - as)) / 2.

    Parameters
    ----------
    first, opposite : Length
        rim readings at the top and at the bottom, or at the right and at the left; positive where the stem is pushed
        in.
    sag : Length
        what the dial shows at the bottom by the bracket's own sag: on a stiff pipe, set to zero at the top. None
        between right and left, where the bracket sags alike.
    way : Ratio
        1 with the bracket on the fixed shaft, -1 with the bracket on the one to be moved.

    Returns
    -------
    Length
        Positive where the moved shaft's axis lies high, or to the right.

    Notes
    -----
    Sign, by a chiller maker's manual (read): where a dial set to zero at the top and turned to the bottom reads plus,
    the shaft on which its button rests is low.

    Examples
    --------
    Zero at the top, -0.020 in at the bottom, of which the bracket's sag makes -0.004 in: high by 0.008 in.

    >>> from rotorkit.quantities import say
    >>> say(coupling_offset("0 in", "-0.020 in", "-0.004 in"), "in", digits=3)
    '0.00800 in'
    """
    return way * (first - (opposite - sag)) / 2


@formula(source=_RIM_AND_FACE,
         letters={"first": "b_1", "opposite": "b_2", "sag": "b_s", "circle": "D", "way": "w"}, result="s",
         valid={"first": _DIAL, "opposite": _DIAL, "sag": _DIAL, "circle": ("1 mm", "5 m"), "way": _WAYS},
         shown={"first": _MILS, "opposite": _MILS, "sag": _MILS, "circle": _MILS})  # fmt: skip
def coupling_slope(first: Length, opposite: Length, circle: Length, sag: Length = "0 mm", way: Ratio = "1") -> Angle:
    """Slope of the moved shaft's axis against the fixed one's. Formula: s = w (b1 - (b2 - bs)) / D, in radians.

    Parameters
    ----------
    first, opposite : Length
        face readings at the top and at the bottom, or at the right and at the left; positive where the stem is pushed
        in.
    circle : Length
        diameter of the circle that the stem draws on the face.
    sag : Length
        what the face dial shows at the bottom by the bracket's own sag, as in `coupling_offset`.
    way : Ratio
        1 with the stem on the front face of a hub, the one towards the other shaft; -1 with it on the back face. It
        does not matter on which shaft the bracket is clamped.

    Returns
    -------
    Angle
        Positive where the moved shaft rises, or runs to the right, away from the fixed one.

    Notes
    -----
    Range: small angles, and no axial play: a shaft that floats while it is turned makes a false angle.

    Examples
    --------
    +0.006 in at the bottom of a circle of 4 in: it falls by 1.5 thousandths.

    >>> from rotorkit.quantities import say
    >>> say(coupling_slope("0 in", "0.006 in", "4 in"), "rad", digits=3)
    '-0.00150 rad'
    """
    return way * (first - (opposite - sag)) / circle


@formula(source=_RIM_AND_FACE, letters={"offset": "d", "slope": "s", "place": "x"}, result="y",
         valid={"place": _PLACE}, shown={"offset": _MILS, "place": _MILS, "result": _MILS})  # fmt: skip
def offset_along(offset: Length, slope: Angle, place: Length) -> Length:
    """Offset of the moved shaft's axis at a place along it. Formula: y = d + s x, x from the rim dial's plane.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(offset_along("0.008 in", "-0.0015 rad", "18 in"), "in", digits=3)
    '-0.0190 in'
    """
    return offset + slope * place


@formula(source=_RIM_AND_FACE,
         letters={"offset": "d", "slope": "s", "place": "x", "wanted": "y_w"}, result="c",
         valid={"place": _PLACE},
         shown={"offset": _MILS, "place": _MILS, "wanted": _MILS, "result": _MILS})  # fmt: skip
def foot_change(offset: Length, slope: Angle, place: Length, wanted: Length = "0 mm") -> Length:
    """How far feet must go up, or to the right, for the axes to be in line. Formula: c = yw - (d + s x).

    Parameters
    ----------
    offset : Length
        in the rim dial's plane (`coupling_offset`).
    slope : Angle
        of the moved shaft (`coupling_slope`).
    place : Length
        of the feet, from the rim dial's plane along the moved shaft.
    wanted : Length
        where the moved shaft's axis is to lie, as a manual asks that lets warmth lift it into line.

    Returns
    -------
    Length
        Positive: shims are added, or the feet go right; negative: shims come out, or the feet go left.

    Examples
    --------
    High by 0.008 in, falling by 1.5 thousandths, feet 6 and 18 in behind the dial: 1 and 19 thousandths more.

    >>> from rotorkit.quantities import say
    >>> [say(foot_change("0.008 in", "-0.0015 rad", place), "in", digits=3) for place in ("6 in", "18 in")]
    ['0.00100 in', '0.0190 in']
    """
    return wanted - offset - slope * place


@formula(source=sources.ARITHMETIC.at("circle: opposite readings have one sum"),
         letters={"top": "a_t", "bottom": "a_b", "left": "a_l", "right": "a_r"}, result="e",
         valid={"top": _DIAL, "bottom": _DIAL, "left": _DIAL, "right": _DIAL},
         shown={"top": _MILS, "bottom": _MILS, "left": _MILS, "right": _MILS, "result": _MILS})  # fmt: skip
def closing_error(top: Length, bottom: Length, left: Length, right: Length) -> Length:
    """By how much four readings of one dial disagree. Formula: e = (at + ab) - (al + ar), zero if they do.

    The bracket's sag drops out: at the sides it is half of what it is at the bottom.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(closing_error("0 in", "-0.020 in", "-0.014 in", "-0.008 in"), "in", digits=2)
    '0.0020 in'
    """
    return top + bottom - left - right


@dataclass(frozen=True)
class ShimPlan:
    """Whole shims under each front foot and each rear foot (negative: taken out), with what then is left, as
    quantities: how far the moved shaft's axis lies from where it is wanted at the coupling's middle, and its slope."""

    front: int
    rear: int
    offset: Any
    slope: Any


@contract(valid={"shim": ("0.001 mm", "10 mm"), "front": ("0 mm", "< rear"), "rear": ("1 mm", "10 m")})
def whole_shims(
    offset: Length,
    slope: Angle,
    front: Length,
    rear: Length,
    shim: Length,
    middle: Length = "0 mm",
    wanted: Length = "0 mm",
    offset_limit: Length | None = None,
    slope_limit: Angle | None = None,
) -> ShimPlan:
    """The whole number of shims under the front and the rear feet that leaves the least misalignment.

    Parameters
    ----------
    offset, slope : Length, Angle
        vertical ones, as measured.
    front, rear : Length
        places of the feet behind the rim dial's plane.
    shim : Length
        thickness of the thinnest shim: every change is a multiple of it.
    middle : Length
        place of the coupling's middle.
    wanted : Length
        where the moved shaft's axis is to lie (`foot_change`).
    offset_limit, slope_limit : Length, Angle
        what the manual allows: the larger share of either decides. Where one is not given, offset and what the slope
        makes over the distance of the feet decide together.

    Returns
    -------
    ShimPlan
        Of several that are as good the one with the fewest shims.

    Examples
    --------
    >>> plan = whole_shims("0.008 in", "-0.0015 rad", "6 in", "18 in", "0.002 in")
    >>> plan.front, plan.rear
    (0, 9)
    """
    if (offset_limit is not None and offset_limit <= 0) or (slope_limit is not None and slope_limit <= 0):
        raise QuantityError("whole_shims: offset_limit and slope_limit must be above zero")
    between = rear - front

    def left(at_front: int, at_rear: int) -> tuple[float, float]:
        turned = (at_rear - at_front) * shim / between
        moved = at_front * shim + turned * (middle - front)
        return offset + slope * middle + moved - wanted, slope + turned

    def badness(pair: tuple[int, int]) -> tuple[float, int]:
        off, angle = (abs(one) for one in left(*pair))
        if offset_limit is None or slope_limit is None:
            size = off + angle * between
        else:
            size = max(off / offset_limit, angle / slope_limit)
        return round(size, 12), abs(pair[0]) + abs(pair[1])

    start = [round((wanted - offset - slope * place) / shim) for place in (front, rear)]
    near = range(-2, 3)
    best = min(((start[0] + i, start[1] + j) for i in near for j in near), key=badness)
    off, angle = (round(one, 12) + 0.0 for one in left(*best))  # nought is to be said as nought
    return ShimPlan(*best, from_si(off, Length), from_si(angle, Angle))
