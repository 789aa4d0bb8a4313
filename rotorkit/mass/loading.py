"""Loadings and weighings: items at their arms, what they come to together, with everything that is uncertain carried.

Arms are positive aft of the datum, lateral arms positive to the right, facing forward. Masses are what a
scale shows. What two figures share (one scale under two supports, one ruler for all arms) cancels or adds as in truth.
"""

from __future__ import annotations

import functools
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any

from rotorkit.judging.measured import Measured, mean_of, measured
from rotorkit.mass.moments import centre_of_gravity, centre_of_gravity_levelled, mass_moment
from rotorkit.quantities import (
    Angle,
    Length,
    Mass,
    MassDifference,
    MassMoment,
    QuantityError,
    in_unit,
    say,
)

ARM_UNIT = ("in", "mm")


def _worked(formula: Any, *given: Measured) -> Measured:
    """The formula's value as a Measured also where nothing is uncertain."""
    return measured(formula(*given), formula.kind, formula.title)


def _read(given: Any, kind: Any, name: str) -> Measured:
    """`measured`, whose error says which of the many figures of a row it is."""
    try:
        return measured(given, kind, name)
    except QuantityError as wrong:
        said = str(wrong)
        raise QuantityError(said if said.startswith(name) else f"{name}: {said}") from None


@dataclass(frozen=True)
class Item:
    """One thing aboard. mass: negative where it comes off; arm: aft positive; lateral_arm: right positive."""

    name: str
    mass: Measured
    arm: Measured
    lateral_arm: Measured

    @functools.cached_property
    def moment(self) -> Measured:
        """Mass times arm."""
        return _worked(mass_moment, self.mass, self.arm)

    @functools.cached_property
    def lateral_moment(self) -> Measured:
        """Mass times lateral arm."""
        return _worked(mass_moment, self.mass, self.lateral_arm)

    def __neg__(self) -> Item:
        return Item(self.name, -self.mass, self.arm, self.lateral_arm)


def item(name: str, mass: Any, arm: Any, lateral_arm: Any = "0 in") -> Item:
    """One thing aboard, from text with units, quantities, readings or `Measured`.

    Parameters
    ----------
    name : str
        what it is, for budgets and pictures.
    mass : MassDifference
        its mass, negative where it comes off.
    arm : Length
        from the datum, aft positive.
    lateral_arm : Length
        from the plane of symmetry, right positive.

    Returns
    -------
    Item
        The item.

    Raises
    ------
    QuantityError
        An argument is not of its kind, or not finite.

    Examples
    --------
    >>> pilot = item("pilot", "170 lb", "64 in", "13.5 in")
    >>> say(pilot.lateral_moment, "lb*in")
    '2,295 lb·in'
    """
    return Item(
        name,
        _read(mass, MassDifference, name),
        _read(arm, Length, f"arm of {name}"),
        _read(lateral_arm, Length, f"lateral arm of {name}"),
    )


def _as_item(given: Any) -> Item:
    if isinstance(given, Item):
        return given
    if isinstance(given, Sequence) and not isinstance(given, str) and 3 <= len(given) <= 4:
        return item(*given)
    raise QuantityError(f"an item is a name, a mass, an arm and where it matters a lateral arm; got {given!r:.60}")


@dataclass(frozen=True)
class Loading:
    """What is aboard, together: mass, moment and lateral moment, from which the centre of gravity follows."""

    mass: Measured
    moment: Measured
    lateral_moment: Measured

    @classmethod
    def at(cls, mass: Any, arm: Any, lateral_arm: Any = "0 in") -> Loading:
        """An aircraft whose mass and centre of gravity are known, such as the empty one of the last weighing."""
        return loading([("aircraft", mass, arm, lateral_arm)])

    @functools.cached_property
    def arm(self) -> Measured:
        """The longitudinal centre of gravity from the datum, aft positive."""
        return self._centre(self.moment)

    @functools.cached_property
    def lateral_arm(self) -> Measured:
        """The lateral centre of gravity, right positive."""
        return self._centre(self.lateral_moment)

    def _centre(self, moment: Measured) -> Measured:
        """Moment over mass. What is left in the last bit of an uncertainty that cancels, as of the mass of an item that
        is there alone, is nothing."""
        found = _worked(centre_of_gravity, moment, self.mass)
        least = 1e-14 * abs(float(found.si))
        left = {origin: part for origin, part in found.components.items() if abs(float(part)) > least}
        return Measured(found.si, found.kind, left, ARM_UNIT)

    def added(self, *items: Any) -> Loading:
        """With these aboard too: `Item`s, or (name, mass, arm, lateral arm). A negative mass comes off."""
        found = [_as_item(one) for one in items]
        mass, moment, lateral = self.mass, self.moment, self.lateral_moment
        for one in found:
            mass, moment, lateral = mass + one.mass, moment + one.moment, lateral + one.lateral_moment
        if mass.si <= 0:
            raise QuantityError(f"a loading needs a mass above zero, got {say(mass)}")
        return Loading(Measured(mass.si, Mass, mass.components, mass.unit), moment, lateral)

    def removed(self, *items: Any) -> Loading:
        """Without these."""
        return self.added(*(-_as_item(one) for one in items))

    def shifted(self, mass: Any, from_arm: Any, to_arm: Any, from_lateral: Any = "0 in", to_lateral: Any = "0 in"
                ) -> Loading:  # fmt: skip
        """With a mass moved from one place to another; the whole stays the same."""
        moved = measured(mass, Mass, "mass shifted")
        return self.removed(("shifted", moved, from_arm, from_lateral)).added(("shifted", moved, to_arm, to_lateral))

    def on_the_way(self, end: Loading, part: float) -> Loading:
        """When a part (0 to 1) of what differs from another loading is gone, bit by bit, as fuel is burned."""
        mass, moment, lateral = (
            getattr(self, name) + (getattr(end, name) - getattr(self, name)) * part
            for name in ("mass", "moment", "lateral_moment")
        )
        return Loading(mass, moment, lateral)

    def __repr__(self) -> str:
        return f"Loading({say(self.mass)} at {say(self.arm)}, lateral {say(self.lateral_arm)})"


_NOTHING = Loading(Measured(0.0, MassDifference), Measured(0.0, MassMoment), Measured(0.0, MassMoment))


def loading(items: Iterable[Any]) -> Loading:
    """What several items come to together.

    Parameters
    ----------
    items : iterable
        `Item`s, or (name, mass, arm) or (name, mass, arm, lateral arm) as text with units, quantities, readings or
        `Measured`.

    Returns
    -------
    Loading
        Total mass, moments, and the centre of gravity in both directions.

    Raises
    ------
    QuantityError
        An item is not understood, or all together have no mass.

    Notes
    -----
    Source: statics. A helicopter with two aboard of the weight and balance handbook (FAA-H-8083-1, from memory), arms
    in inches; its sums close: 211 191 lb in over 2253 lb, -3190 lb in across.

    Examples
    --------
    >>> whole = loading([
    ...     ("empty", "1545 lb", "101.4 in", "0.2 in"),
    ...     ("pilot", "170 lb", "64 in", "13.5 in"),
    ...     ("passenger", "250 lb", "64 in", "-13.5 in"),
    ...     ("fuel", "288 lb", "96 in", "-8.4 in"),
    ... ])
    >>> say(whole.arm, "in", digits=3), say(whole.lateral_arm, "in", digits=2)
    ('93.7 in', '-1.4 in')
    """
    return _NOTHING.added(*items)


def support(name: str, reading: Any, arm: Any, lateral_arm: Any = "0 in", tare: Any = "0 lb") -> Item:
    """One point of support on its scale, as an item: the reading less the tare, at the point's arms.

    Parameters
    ----------
    name : str
        of the support, such as "left skid, forward".
    reading : Mass
        what the scale shows.
    arm, lateral_arm : Length
        of the point that stands on the scale, in the level aircraft: aft and right positive.
    tare : Mass
        of what lay on the scale and is no part of the aircraft.

    Returns
    -------
    Item
        The support's net mass at its place.

    Raises
    ------
    QuantityError
        An argument is not of its kind, or the tare is more than the reading.

    Examples
    --------
    >>> nose = support("nose wheel", "343 lb", "50 in", tare="3 lb")
    >>> say(nose.mass, "lb")
    '340.0 lb'
    """
    net = _read(reading, Mass, f"scale under {name}") - _read(tare, Mass, f"tare under {name}")
    if net.si < 0:
        raise QuantityError(f"the tare under {name} is more than its scale shows: check both")
    return item(name, net, arm, lateral_arm)


def _as_support(given: Any) -> Item:
    """A support as an item; a row with a fifth entry has a tare."""
    if isinstance(given, Sequence) and not isinstance(given, str) and len(given) == 5:
        return support(*given)
    if isinstance(given, Sequence) and not isinstance(given, str) and 3 <= len(given) <= 4:
        name, mass, *arms = given
        return item(name, _read(mass, Mass, f"scale under {name}"), *arms)
    return _as_item(given)


@dataclass(frozen=True)
class WeighIn:
    """One weighing. weighed: by the scales alone, as it stood. levelled: with the attitude allowed for. empty: with
    what was aboard and does not count taken off, and what counts and was not aboard put on."""

    weighed: Loading
    levelled: Loading
    empty: Loading


def weigh_in(
    supports: Sequence[Any],
    pitch: Any = "0 deg",
    roll: Any = "0 deg",
    height: Any = "0 in",
    removed: Sequence[Any] = (),
    added: Sequence[Any] = (),
) -> WeighIn:
    """Mass and centre of gravity of the empty aircraft, from scales under three points or more.

    Parameters
    ----------
    supports : sequence
        Each a `support`, or (name, net mass, arm, lateral arm), or (name, reading, arm, lateral arm, tare).
    pitch : Angle
        attitude on the scales, nose down positive: nose up is a negative angle.
    roll : Angle
        attitude on the scales, left side down positive.
    height : Length
        of the centre of gravity above the points on the scales (`height_of_centre_of_gravity`); needed where the
        aircraft was not level.
    removed, added : sequence
        `Item`s or (name, mass, arm, lateral arm): what was aboard and is no part of the empty weight (drained
        fuel that was left, tools, jack pads), and what belongs to it and was missing.

    Returns
    -------
    WeighIn
        As weighed, levelled, and empty.

    Raises
    ------
    QuantityError
        No support, a reading that is not of its kind, or nothing on the scales.

    Notes
    -----
    Source: statics; see `centre_of_gravity_levelled` for an attitude that is not level. Hand check, a nosewheel
    aeroplane: 340 lb on the nose wheel, 2006 lb in all, wheels 78 in apart, main wheels 128 in from the datum:
    128 - 340 · 78 / 2006 = 114.78 in.

    Examples
    --------
    >>> done = weigh_in([("nose", "340 lb", "50 in"), ("mains", "1666 lb", "128 in")])
    >>> say(done.empty.arm, "in", digits=6)
    '114.780 in'
    >>> done = weigh_in([("nose", "340 lb", "50 in"), ("mains", "1666 lb", "128 in")], pitch="1 deg", height="36 in")
    >>> say(done.levelled.arm, "in", digits=6)
    '115.408 in'
    """
    if not supports:
        raise QuantityError("a weighing needs the supports with their scale readings: none was given")
    weighed = loading(_as_support(one) for one in supports)
    high = measured(height, Length, "height of the centre of gravity")
    pitched, rolled = measured(pitch, Angle, "pitch attitude"), measured(roll, Angle, "roll attitude")
    if (pitched.si or rolled.si) and not high.si:
        raise QuantityError(
            "height: the aircraft was not level, so the height of its centre of gravity above the scales is needed"
        )
    levelled = loading(
        [
            (
                "aircraft",
                weighed.mass,
                _worked(centre_of_gravity_levelled, weighed.arm, high, pitched),
                _worked(centre_of_gravity_levelled, weighed.lateral_arm, high, rolled),
            )
        ]
    )
    return WeighIn(weighed, levelled, levelled.removed(*removed).added(*added))


def combined_weighings(weighings: Sequence[Loading | WeighIn]) -> Loading:
    """Repeated weighings of one aircraft in one state, as one.

    Mass and centre of gravity are the means; what the weighings share (scales that are all off alike, one set of arms)
    stays whole, each one's own error shrinks, and where they scatter by more than their own errors explain, the
    scatter takes their place (`rotorkit.judging.measured.mean_of`).

    Parameters
    ----------
    weighings : sequence of Loading or WeighIn
        Of a `WeighIn` the empty aircraft is meant.

    Returns
    -------
    Loading
        The combined weighing.

    Raises
    ------
    QuantityError
        None was given.

    Examples
    --------
    >>> first, second = (Loading.at(mass, "100 in") for mass in ("800 ± 2 lb", "801 ± 2 lb"))
    >>> say(combined_weighings([first, second]).mass, "lb")
    '800.5 ± 1.4 lb'
    """
    if not weighings:
        raise QuantityError("combined_weighings: weighings: needs one or more, got none")
    all_of = [one.empty if isinstance(one, WeighIn) else one for one in weighings]
    mass, arm, lateral = (mean_of([getattr(one, name) for one in all_of]) for name in ("mass", "arm", "lateral_arm"))
    return Loading.at(mass, arm, lateral)


NEGLIGIBLE_MASS = ((5000.0, 1.0), (50000.0, 2.0), (float("inf"), 5.0))
"""Up to which empty weight, lb, how large a change of weight is negligible, lb: AC 43.13-1B, 10-2 c."""
NEGLIGIBLE_PART_OF_RANGE = 0.002


def negligible_change(empty_mass: Any, mass_change: Any, arm_change: Any, arm_range: Any) -> bool:
    """Whether a change of equipment is negligible for a rotorcraft, by weight and by centre of gravity.

    Parameters
    ----------
    empty_mass : Mass
        of the aircraft before.
    mass_change : MassDifference
        of the empty weight, either sign.
    arm_change : Length
        of the empty centre of gravity, either sign.
    arm_range : Length
        between the manual's most forward and most aft centre of gravity.

    Returns
    -------
    bool
        True where both are: the weight by 1 lb or less (empty weight below 5,000 lb; 2 lb to 50,000 lb; else 5 lb),
        the centre of gravity by less than 0.2 % of its range.

    Raises
    ------
    QuantityError
        An argument is not of its kind.

    Notes
    -----
    Source: AC 43.13-1B change 1, 10-2 c (read in a copy). Many small changes are not negligible together: the
    ledger counts them all. The manual and the inspector take precedence.

    Examples
    --------
    >>> negligible_change("802 lb", "-0.8 lb", "0.01 in", "6 in"), negligible_change("802 lb", "1.2 lb", "0 in", "6 in")
    (True, False)
    """
    empty, change, moved, room = (
        measured(given, kind, name)
        for given, kind, name in (
            (empty_mass, Mass, "empty_mass"),
            (mass_change, MassDifference, "mass_change"),
            (arm_change, Length, "arm_change"),
            (arm_range, Length, "arm_range"),
        )
    )
    pounds = float(in_unit(empty.si, "lb", empty.kind))
    allowed = next(allowed for below, allowed in NEGLIGIBLE_MASS if pounds < below)
    light = abs(float(in_unit(change.si, "lb", change.kind))) <= allowed * (1 + 1e-12)
    return light and abs(moved.si) < NEGLIGIBLE_PART_OF_RANGE * abs(room.si)
