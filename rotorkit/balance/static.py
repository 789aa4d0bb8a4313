"""Balance of known masses: in one plane, and in two planes where they also make a couple."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from rotorkit.balance.phasors import Phasor, of_kinds, phasor
from rotorkit.judging.measured import Measured, combine
from rotorkit.quantities import Angle, Length, Mass, QuantityError, Ratio, Unbalance, required_kind

_UNBALANCE, _MASS = required_kind(Unbalance), required_kind(Mass)


@dataclass(frozen=True)
class BalanceMass:
    """The mass that balances.

    mass: what to add, at `radius`. angle: where, from 0 up to 360 degrees, from the datum and in the sense of the
    angles given. unbalance: its moment (mass times radius) as an arrow.
    """

    mass: Measured
    angle: Measured
    radius: Measured
    unbalance: Phasor


def static_balance(masses: Sequence[Any], radii: Sequence[Any], angles: Sequence[Any], radius: Any) -> BalanceMass:
    """The one mass that balances masses turning in one plane.

    Their moments m r, as arrows, and that of the balance mass add up to nothing: B R = -sum(m r at its angle).

    Parameters
    ----------
    masses : sequence of Mass
        Text, quantities or readings with uncertainty; one or more, none negative.
    radii : sequence of Length
        From the axis, in the same order.
    angles : sequence of Angle
        From any one datum, all counted the same way round.
    radius : Length
        Where the balance mass is to sit, above nothing.

    Returns
    -------
    BalanceMass
        Its angle is from the same datum, in the same sense.

    Raises
    ------
    QuantityError
        Not as many radii or angles as masses, or a radius of nothing.

    Notes
    -----
    Source: statics; B. K. Sarkar, Theory of Machines, illustration 8.1 (quoted). Range: any; one plane only: masses in
    other planes leave a couple, see `two_plane_balance`.

    Examples
    --------
    Four masses at 40, 50, 60 and 30 mm; the balance mass at 100 mm.

    >>> from rotorkit.quantities import say
    >>> found = static_balance(["12 kg", "10 kg", "18 kg", "15 kg"], ["40 mm", "50 mm", "60 mm", "30 mm"],
    ...                        ["0 deg", "60 deg", "130 deg", "270 deg"], "100 mm")
    >>> say(found.mass, "kg", digits=2), say(found.angle, "deg", digits=4)
    ('8.1 kg', '267.5°')
    """
    arrows = _moments(masses, radii, angles)
    at = _radius(radius, "radius")
    total = arrows[0]
    for arrow in arrows[1:]:
        total = total + arrow
    return _balance(-total, at)


def two_plane_balance(
    masses: Sequence[Any],
    radii: Sequence[Any],
    angles: Sequence[Any],
    positions: Sequence[Any],
    planes: tuple[Any, Any],
    plane_radii: tuple[Any, Any],
) -> tuple[BalanceMass, BalanceMass]:
    """The two masses, in two planes, that balance masses turning in any planes: force and couple.

    Each mass's moment m r is shared out between the planes by the law of the lever along the shaft; in each plane the
    balance mass cancels what falls to it.

    Parameters
    ----------
    masses, radii, angles : sequences of Mass, Length, Angle
        As for `static_balance`.
    positions : sequence of Length
        Of each mass along the shaft, from any one datum; a mass may lie outside the planes.
    planes : two of Length
        Positions of the two balance planes, from the same datum, not at one place.
    plane_radii : two of Length
        Radius of the balance mass in each.

    Returns
    -------
    tuple of two BalanceMass
        In the order of the planes.

    Raises
    ------
    QuantityError
        Numbers of figures differ, or both planes at one place.

    Notes
    -----
    Source: statics; T. Bevan, The Theory of Machines, chapter 14, example 1 (quoted). Range: rigid shaft.

    Examples
    --------
    200 lb at 9 in, 10 in outside the first of two planes 50 in apart; balance masses at 15 in: 144 lb opposite to it in
    the first, 24 lb on its side in the second.

    >>> from rotorkit.quantities import say
    >>> where = {"planes": ("0 in", "50 in"), "plane_radii": ("15 in", "15 in")}
    >>> near, far = two_plane_balance(["200 lb"], ["9 in"], ["0 deg"], ["-10 in"], **where)
    >>> [(say(one.mass, "lb", digits=3), say(one.angle, "deg", digits=3)) for one in (near, far)]
    [('144 lb', '180°'), ('24.0 lb', '0°')]
    """
    arrows = _moments(masses, radii, angles)
    _as_many(positions, masses, "positions")
    places = [of_kinds(at, (Length,), f"position {i}") for i, at in enumerate(positions, start=1)]
    first, second = (of_kinds(at, (Length,), f"plane {i}") for i, at in enumerate(planes, start=1))
    if float(first.si) == float(second.si):
        raise QuantityError(f"planes: two places along the shaft are needed, got {planes[0]} and {planes[1]}")
    at_radii = [_radius(at, f"radius in plane {i}") for i, at in enumerate(plane_radii, start=1)]
    shares: list[Phasor | None] = [None, None]
    for arrow, place in zip(arrows, places, strict=True):
        lever = (place - first, second - first)
        share = _ratio(*lever)
        for i, part in enumerate((arrow - _times(arrow, share), _times(arrow, share))):
            before = shares[i]
            shares[i] = part if before is None else before + part
    near, far = shares
    assert near is not None
    assert far is not None
    return _balance(-near, at_radii[0]), _balance(-far, at_radii[1])


def _as_many(given: Sequence[Any], masses: Sequence[Any], what: str) -> None:
    if isinstance(given, str) or len(given) != len(masses):
        count = 1 if isinstance(given, str) else len(given)
        raise QuantityError(f"{what}: needs one for each mass, {len(masses)} in all, got {count}")


def _moments(masses: Sequence[Any], radii: Sequence[Any], angles: Sequence[Any]) -> list[Phasor]:
    if isinstance(masses, str) or not len(masses):
        raise QuantityError("masses: needs a list of one mass or more, such as ['12 kg', '10 kg']")
    _as_many(radii, masses, "radii")
    _as_many(angles, masses, "angles")
    arrows = []
    for i, (mass, radius, angle) in enumerate(zip(masses, radii, angles, strict=True), start=1):
        heavy = of_kinds(mass, (Mass,), f"mass {i}")
        arm = of_kinds(radius, (Length,), f"radius {i}")
        arrows.append(_turned(product(heavy, arm, _UNBALANCE), of_kinds(angle, (Angle,), f"angle {i}")))
    return arrows


def _radius(given: Any, label: str) -> Measured:
    radius = of_kinds(given, (Length,), label)
    if float(radius.si) <= 0:
        raise QuantityError(f"{label}: needs a radius above nothing, got {given}")
    return radius


def _balance(moment: Phasor, radius: Measured) -> BalanceMass:
    return BalanceMass(_ratio(moment.amplitude, radius, _MASS), moment.angle_around, radius, moment)


def product(first: Measured, second: Measured, kind: Any) -> Measured:
    """The product of two measured figures, of that kind."""
    return combine(float(first.si) * float(second.si), kind, [first, second], [float(second.si), float(first.si)])


def _ratio(over: Measured, under: Measured, kind: Any = None) -> Measured:
    top, bottom = float(over.si), float(under.si)
    return combine(top / bottom, kind or Ratio, [over, under], [1 / bottom, -top / bottom**2])


def _turned(size: Measured, angle: Measured) -> Phasor:
    return phasor(size, angle, (Unbalance,), "moment")


def _times(arrow: Phasor, share: Measured) -> Phasor:
    return Phasor(product(arrow.along, share, arrow.kind), product(arrow.across, share, arrow.kind))
