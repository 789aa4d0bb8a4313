"""Control travel against blade angle: slope, friction band, dead band, departures from a straight line.

Move the control through its travel one way, stopping at several places, and back again, always without overshooting.
The blade angle follows two lines, one for each way, apart by what friction, stretch and play in the run take up.

    friction band   how far the blade angle differs between the two ways at one place of the control
    dead band       how far the control moves after it is turned round before the blade follows: friction band / slope
    linearity       the greatest departure of a reading from its line

Sign: the slope is positive where the blade angle rises with the control position, whichever way that position is
counted; name both in words. The friction band is positive where the blade lags, as friction and play make it: the
angle (times the sign of the slope) is smaller on the way up than on the way down. A band that comes out negative beyond
its uncertainty means that the two ways were confused, or that the control or the protractor slipped.

Fixed slope: the two lines are taken to be parallel. Source: least squares, JCGM 100:2008 4.2, 5.2.
"""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Literal

from rotorkit import sources
from rotorkit.formula import formula
from rotorkit.formula.contract import si_of
from rotorkit.judging.measured import Measured, combine, propagate
from rotorkit.quantities import (
    Angle,
    AnglePerLength,
    Kind,
    Length,
    QuantityError,
    Ratio,
    from_si,
    kind_of,
    required_kind,
)
from rotorkit.rigging.line_fit import least_squares

_ANGLE = required_kind(Angle)
CONTROL_KINDS = {"length": Length, "angle": Angle, "share of travel": Ratio}
"""What a control position is counted in: inches at the grip or pedal, degrees of a lever, or parts of its travel."""

_SLOPE = {required_kind(Length): AnglePerLength, _ANGLE: Ratio, required_kind(Ratio): Angle}


@dataclass(frozen=True)
class TravelReading:
    """A blade angle at one place of the control.

    Parameters
    ----------
    position : Any
        of the control, a length, an angle or a ratio (text with unit, quantity); its own uncertainty is taken
        as small beside that of the angle.
    angle : Measured
        blade angle, a Measured.
    way : Literal['up', 'down', '']
        "up" (the position was rising on the way there), "down", or "" if that was not watched.
    """

    position: Any
    angle: Measured
    way: Literal["up", "down", ""] = ""


@dataclass(frozen=True)
class TravelFit:
    """What the readings say.

    slope: blade angle for each unit of control, Measured (angle per length, ratio, or angle, by what the control is
    counted in). friction_band: Measured angle, None unless both ways were read. dead_band: Measured, of the control's
    kind; None likewise. residuals_si: reading less its own line, radians, in the order of the readings. local_slopes:
    (from, to, slope) between neighbouring places, positions and slopes in SI units. freedom: readings less unknowns.
    departures: the residuals as Measured, as well known as the readings are.
    """

    slope: Measured
    friction_band: Measured | None
    dead_band: Measured | None
    positions_si: tuple[float, ...]
    residuals_si: tuple[float, ...]
    local_slopes: tuple[tuple[float, float, float], ...]
    freedom: int
    lines: tuple[Measured, ...]
    control: Kind
    departures: tuple[Measured, ...]

    @property
    def greatest_residual(self) -> Any:
        """The greatest departure of a reading from its line, with its sign (an angle)."""
        return from_si(max(self.residuals_si, key=abs), _ANGLE)

    @property
    def greatest_residual_at(self) -> Any:
        """The control position of that reading."""
        worst = max(range(len(self.residuals_si)), key=lambda i: abs(self.residuals_si[i]))
        return from_si(self.positions_si[worst], self.control)

    def angle_at(self, position: Any, way: str = "") -> Measured:
        """The blade angle that the line gives: on the way up or down, or midway between the two."""
        x = float(si_of(position, self.control, "position")[0])
        weights = {"up": [1.0, 0.0], "down": [0.0, 1.0]}.get(way, [0.5, 0.5]) if len(self.lines) == 2 else [1.0]
        value = sum(float(line.si) * w for line, w in zip(self.lines, weights, strict=True)) + x * float(self.slope.si)
        return combine(value, Angle, [*self.lines, self.slope], [*weights, x])


@formula(
    source=sources.DEFINITION.at("dead band of a control"),
    letters={"turned_round_at": "x_1", "blade_moved_at": "x_2"},
    result="b",
    shown=dict.fromkeys(("turned_round_at", "blade_moved_at", "result"), ("in", "mm")),
    title="Dead band from a reversal",
)
def dead_band_from_reversal(turned_round_at: Length, blade_moved_at: Length) -> Length:
    """Dead band as felt: how far the control was moved back before the blade was seen to follow.

    Parameters
    ----------
    turned_round_at : Length
        [length] control position where the movement was reversed
    blade_moved_at : Length
        [length] position where the protractor first changed

    Returns
    -------
    Length
        The movement without effect; its sign is the direction of the movement.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(dead_band_from_reversal("5.00 in", "4.85 in"), "in", digits=2)
    '-0.15 in'
    """
    return blade_moved_at - turned_round_at


def control_travel(readings: Sequence[TravelReading]) -> TravelFit:
    """Slope, friction band, dead band and linearity from blade angles at several places of a control.

    Parameters
    ----------
    readings : Sequence[TravelReading]
        three or more, at two places or more, or four or more if both ways were read. All positions of one
        kind. Several sweeps may be given together.

    Returns
    -------
    TravelFit
        The `TravelFit`.

    Raises
    ------
    QuantityError
        too few readings, positions of different kinds, all at one place, or ways given for some only.

    Notes
    -----
    Range of validity: a linkage that is straight over the travel to within what is to be found; the residuals show it.

    Examples
    --------
    0, 2, 4 in up: 2.0, 5.0, 8.0 deg; down 4, 2, 0 in: 8.2, 5.2, 2.2 deg: 1.5 deg for each inch, a band of 0.2 deg,
    0.133 in of pedal.

    >>> from rotorkit.judging.measured import measured
    >>> from rotorkit.quantities import say
    >>> sweep = [(0, "2.0"), (2, "5.0"), (4, "8.0")], [(4, "8.2"), (2, "5.2"), (0, "2.2")]
    >>> found = control_travel([
    ...     TravelReading(f"{x} in", measured(f"{angle} deg", Angle, "blade", "0.1 deg"), way)
    ...     for way, part in zip(("up", "down"), sweep) for x, angle in part])
    >>> say(found.slope.value, "deg/in", digits=3), say(found.dead_band.value, "in", digits=3)
    ('1.50 deg/in', '0.133 in')
    """
    if len(readings) < 3:
        raise QuantityError(f"readings: a travel map needs three places or more, got {len(readings)}")
    control = _control_kind(readings)
    positions = [float(si_of(r.position, control, "position")[0]) for r in readings]
    ways = {r.way for r in readings}
    if not ways <= {"up", "down", ""}:
        raise QuantityError(f"way: needs up, down or nothing, got {', '.join(map(repr, sorted(ways)))}")
    if "" in ways and len(ways) > 1:
        raise QuantityError("way: is given for some readings only; give it for all of them, or for none")
    both = ways == {"up", "down"}
    starts = [[1.0 if r.way == way else 0.0 for r in readings] for way in ("up", "down")] if both else []
    columns = [*(starts or [[1.0] * len(readings)]), positions]
    slope_kind = required_kind(_SLOPE[control])
    kinds = [*([_ANGLE] * (len(columns) - 1)), slope_kind]
    fit = least_squares(columns, [r.angle for r in readings], kinds, "line of control travel")
    *lines, slope = fit.estimates
    band = dead = None
    if both:
        lag = lines[1] - lines[0]
        band = -lag if float(slope.si) < 0 else lag
        if abs(float(slope.si)) > 0:
            dead = propagate(lambda width, rise: width / abs(rise), control, [band, slope])
    return TravelFit(
        slope,
        band,
        dead,
        tuple(positions),
        fit.residuals_si,
        _local(positions, readings),
        fit.freedom,
        tuple(lines),
        control,
        fit.departures,
    )


def _control_kind(readings: Sequence[TravelReading]) -> Kind:
    """The kind that all positions are of."""
    for candidate in CONTROL_KINDS.values():
        kind = kind_of(candidate)
        assert kind is not None
        try:
            for reading in readings:
                si_of(reading.position, kind, "position")
        except QuantityError:
            continue
        return kind
    raise QuantityError(
        f"position: needs a length, an angle or a part of the travel, all of one kind, such as 2.5 in, 12 deg or 40 %; "
        f"got {', '.join(str(r.position) for r in readings)}"
    )


def _local(positions: Sequence[float], readings: Sequence[TravelReading]) -> tuple[tuple[float, float, float], ...]:
    """Slopes between neighbouring places, from the mean of all readings at each."""
    at: dict[float, list[float]] = {}
    for x, reading in zip(positions, readings, strict=True):
        at.setdefault(round(x, 9), []).append(float(reading.angle.si))
    means = sorted((x, sum(angles) / len(angles)) for x, angles in at.items())
    return tuple((x0, x1, (y1 - y0) / (x1 - x0)) for (x0, y0), (x1, y1) in itertools.pairwise(means))
