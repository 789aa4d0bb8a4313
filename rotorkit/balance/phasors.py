"""A vibration or a weight with the angle at which it stands, and its uncertainty: what all balancing is worked with."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence
from functools import lru_cache
from typing import Any

import numpy as np

from rotorkit.judging.measured import COVERAGE, Measured, combine, coverage_factor, measured
from rotorkit.quantities import (
    Acceleration,
    Angle,
    Kind,
    Length,
    Mass,
    QuantityError,
    Ratio,
    Speed,
    Unbalance,
    from_si,
    required_kind,
    say,
)

AMPLITUDES: tuple[Any, ...] = (Speed, Acceleration, Length, Ratio)
"""What a vibration's amplitude may be: a speed, an acceleration, a length, or a bare number of a dial without unit."""
WEIGHTS: tuple[Any, ...] = (Mass, Unbalance, Ratio)
"""What a weight may be: a mass where all sit at one radius, an unbalance (mass times radius), or a bare number."""


class Phasor:
    """An amplitude at an angle, kept as its parts along 0 and along 90 degrees so that a small one stays well behaved.

    Parameters
    ----------
    along, across : Measured
        The part along angle 0 and the part along angle 90 degrees, of one kind, each of either sign. They share
        origins, so that what the one has in common with the other is kept.

    Notes
    -----
    Datum and sense of the angle are the instrument's: 0 at its mark, positive in the sense in which its phase rises.
    Source: arithmetic of complex numbers.

    Examples
    --------
    >>> reading = phasor("3.4 mm/s", "116 deg")
    >>> say(reading.amplitude, "mm/s"), say(reading.angle, "deg")
    ('3.400 mm/s', '116.0°')
    """

    __slots__ = ("across", "along")

    def __init__(self, along: Measured, across: Measured) -> None:
        self.along, self.across = along, across

    @property
    def kind(self) -> Kind:
        """The kind of the amplitude."""
        return self.along.kind

    @property
    def unit(self) -> Any:
        """The unit in which it is said."""
        return self.along.unit

    @property
    def si(self) -> complex:
        """The bare complex value in coherent SI units."""
        return complex(float(self.along.si), float(self.across.si))

    @property
    def amplitude(self) -> Measured:
        """The amplitude with its uncertainty; at an amplitude of nothing, the larger of the parts' uncertainties."""
        size = abs(self.si)
        if size == 0:
            larger = max((self.along, self.across), key=lambda part: float(part.standard_si))
            return Measured(0.0, self.kind, larger.components, self.unit)
        slopes = [self.si.real / size, self.si.imag / size]
        return combine(size, self.kind, [self.along, self.across], slopes, self.unit)

    @property
    def angle(self) -> Measured:
        """The angle, above -180 and up to 180 degrees. Below its own uncertainty an amplitude has none."""
        size = abs(self.si) or math.inf
        slopes = [-self.si.imag / size**2, self.si.real / size**2]
        return combine(math.atan2(self.si.imag, self.si.real), Angle, [self.along, self.across], slopes, "deg")

    @property
    def angle_around(self) -> Measured:
        """The same angle from 0 up to 360 degrees."""
        angle = self.angle
        return Measured(float(angle.si) % math.tau, angle.kind, angle.components, angle.unit)

    @property
    def covariance(self) -> np.ndarray:
        """The covariance of the two parts, 2 x 2, in SI units squared."""
        origins = list({**self.along.components, **self.across.components})
        parts = [[float(part.components.get(origin, 0.0)) for origin in origins] for part in (self.along, self.across)]
        rows = np.array(parts, dtype=float).reshape(2, -1)
        return rows @ rows.T

    @property
    def exact(self) -> Phasor:
        """The same value without uncertainty."""
        return Phasor(*(Measured(float(part.si), self.kind, unit=self.unit) for part in (self.along, self.across)))

    def __add__(self, other: Phasor) -> Phasor:
        return Phasor(self.along + other.along, self.across + other.across)

    def __sub__(self, other: Phasor) -> Phasor:
        return Phasor(self.along - other.along, self.across - other.across)

    def __neg__(self) -> Phasor:
        return Phasor(-self.along, -self.across)

    def times(self, factor: complex) -> Phasor:
        """Turned and stretched by an exact complex number."""
        factor = complex(factor)
        return Phasor(
            self.along * factor.real - self.across * factor.imag, self.along * factor.imag + self.across * factor.real
        )

    def __str__(self) -> str:
        return f"{say(self.amplitude)} at {say(self.angle)}"

    def __repr__(self) -> str:
        return f"Phasor({self})"


def phasor(
    amplitude: Any,
    angle: Any = "0 deg",
    kinds: Sequence[Any] = AMPLITUDES,
    label: str = "reading",
    uncertainty: Any = None,
    angle_uncertainty: Any = None,
) -> Phasor:
    """An amplitude at an angle, from text or quantities.

    Parameters
    ----------
    amplitude : text, quantity or Measured
        ``"0.45 in/s"``, ``"10 thou"``, ``"0.3 g"``, ``"0.45 ± 0.02 in/s"``, or a bare number of a dial without unit.
        Not negative.
    angle : text, quantity or Measured
        ``"116 deg"``, ``"116 ± 4 deg"``: from the instrument's mark, positive in the sense in which its phase rises.
    kinds : sequence of kinds
        What the amplitude may be; the first that fits is taken.
    label : str
        What it is, for the budget and for messages.
    uncertainty, angle_uncertainty : text or quantity, optional
        Expanded (k = 2), used where none was typed after ``±``; ``"3 %"`` is of the amplitude.

    Returns
    -------
    Phasor

    Raises
    ------
    QuantityError
        A negative amplitude, or not of these kinds, or an angle that is none.

    Examples
    --------
    >>> phasor("2 g", "90 deg", kinds=WEIGHTS).si
    0.002j
    >>> phasor("2 g", "90 deg", kinds=WEIGHTS).kind.name
    'a mass'
    """
    size = of_kinds(amplitude, kinds, label, uncertainty)
    if float(size.si) < 0:
        raise QuantityError(
            f"{label}: an amplitude or weight is not negative (turn its angle by 180 deg), got {say(size)}"
        )
    turned = of_kinds(angle, (Angle,), f"angle of {label}", angle_uncertainty)
    cosine, sine = math.cos(float(turned.si)), math.sin(float(turned.si))
    cosine, sine = (0.0 if abs(part) < 1e-16 else part for part in (cosine, sine))
    value = float(size.si)
    unit = size.unit if size.unit is not None else unit_typed(size)
    along = combine(value * cosine, size.kind, [size, turned], [cosine, -value * sine], unit)
    across = combine(value * sine, size.kind, [size, turned], [sine, value * cosine], unit)
    return Phasor(along, across)


def unit_typed(figure: Measured) -> Any:
    """The unit that a reading was typed in, to say results in; None where it is not known."""
    if figure.reading is None or not figure.kind.si:
        return None
    return f"{figure.reading.value.units:~}"


EXAMPLES = {required_kind(Speed).name: "0.30 in/s"}
"""How an amplitude is typed: a kind's own example may be a rotor's tip speed."""


def of_kinds(given: Any, kinds: Sequence[Any], label: str, uncertainty: Any = None) -> Measured:
    """A single reading of the first of these kinds that it can be; else one message that names them all."""
    for kind in kinds:
        try:
            found = measured(given, kind, label, uncertainty)
        except (QuantityError, TypeError):
            continue
        if getattr(found.si, "shape", ()):
            raise QuantityError(f"{label}: needs a single value, got an array; pass one value for each reading")
        return found
    names = " or ".join(required_kind(kind).name for kind in kinds)
    example = EXAMPLES.get(required_kind(kinds[0]).name) or required_kind(kinds[0]).example
    raise QuantityError(f"{label}: needs {names} with its unit, such as '{example}', got {given!s:.60}")


def as_phasor(given: Any, kinds: Sequence[Any], label: str) -> Phasor:
    """What a caller may pass for one reading: a `Phasor`, a pair (amplitude, angle), or a list of pairs (repeats)."""
    if isinstance(given, Phasor):
        if not any(required_kind(kind).alike(given.kind) for kind in kinds):
            names = " or ".join(required_kind(kind).name for kind in kinds)
            raise QuantityError(f"{label}: needs {names}, got {given.kind.name}")
        return given
    if isinstance(given, (tuple, list)) and given:
        if all(isinstance(one, (tuple, list, Phasor)) for one in given):
            repeats = [as_phasor(one, kinds, f"{label}, repeat {i}") for i, one in enumerate(given, start=1)]
            return mean_phasor(repeats, label)
        if len(given) == 2:
            return phasor(given[0], given[1], kinds, label)
    raise QuantityError(
        f"{label}: needs a pair (amplitude, angle) such as ('0.45 in/s', '116 deg'), or a list of such pairs where it "
        f"was read several times; got {given!r:.60}"
    )


def same_kind(given: Iterable[Phasor], what: str) -> None:
    """Refuse phasors of different kinds among each other."""
    kinds = [one.kind for one in given]
    for other in kinds[1:]:
        if not other.alike(kinds[0]):
            raise QuantityError(f"{what}: all must be of one kind, got {kinds[0].name} and {other.name}")


def mean_phasor(repeats: Sequence[Phasor], label: str = "reading") -> Phasor:
    """The mean of repeated readings of one vibration, with the uncertainty that their scatter shows.

    Amplitude and phase are averaged together, as arrows: the mean of 350 and 10 degrees is 0 degrees. The scatter
    counts as equal in every direction, s^2 = sum |z - mean|^2 / (2 (n - 1)), with 2 (n - 1) degrees of freedom and
    Student's t; it stands in place of the readings' own uncertainty where it is the larger. What the repeats share
    stays.

    Parameters
    ----------
    repeats : sequence of Phasor
        One or more, of one kind.
    label : str
        For the budget.

    Returns
    -------
    Phasor

    Raises
    ------
    QuantityError
        None given, or of different kinds.

    Notes
    -----
    Source: JCGM 100:2008, 4.2.3 and G.3, for each of the two parts. Range: any.

    Examples
    --------
    >>> mean = mean_phasor([phasor("1 in/s", "350 deg"), phasor("1 in/s", "10 deg")])
    >>> say(mean.amplitude.value, "in/s", digits=4), round(abs(mean.angle.si), 9)
    ('0.9848 in/s', 0.0)
    """
    if not repeats:
        raise QuantityError(f"{label}: needs at least one reading")
    same_kind(repeats, label)
    count = len(repeats)
    total = repeats[0]
    for other in repeats[1:]:
        total = total + other
    mean = total.times(1 / count)
    if count < 2:
        return mean
    spread = sum(abs(one.si - mean.si) ** 2 for one in repeats) / (2 * (count - 1))
    scatter = math.sqrt(spread / count) * coverage_factor(2 * (count - 1)) / COVERAGE
    shared = {
        origin
        for one in repeats
        for origin in (*one.along.components, *one.across.components)
        if not origin.number or sum(origin in r.along.components or origin in r.across.components for r in repeats) > 1
    }
    parts = []
    for name, part in (("along", mean.along), ("across", mean.across)):
        own = {origin: size for origin, size in part.components.items() if origin not in shared}
        if scatter > math.sqrt(sum(float(size) ** 2 for size in own.values())):
            kept = {origin: size for origin, size in part.components.items() if origin in shared}
            nothing, size = (from_si(value, part.kind) for value in (0.0, scatter))
            spread_out = measured(nothing, part.kind, f"scatter of {label}, {name}", size, stated_as="standard")
            part = Measured(part.si, part.kind, {**kept, **spread_out.components}, part.unit)
        parts.append(part)
    return Phasor(*parts)


@lru_cache(maxsize=1)
def _nodes() -> tuple[np.ndarray, np.ndarray]:
    """Points and weights of the quadrature, which take long to make."""
    return np.polynomial.legendre.leggauss(200)


def phasors_from(
    function: Callable[..., Sequence[Any]], kinds: Sequence[Kind], given: Sequence[Phasor], units: Sequence[Any]
) -> list[Phasor]:
    """Several phasors from a function of bare complex numbers, with the uncertainty of what is given.

    function: gets an array of complex numbers for each of `given`, gives back one for each kind. Slopes by central
    differences over a standard uncertainty of each part (JCGM 100:2008, 5.1.3 note 2), all of them in one call.
    """
    parts = [part for one in given for part in (one.along, one.across)]
    used = [i for i, part in enumerate(parts) if float(part.standard_si)]
    steps = np.array([float(parts[i].standard_si) for i in used])
    points = np.tile(np.array([one.si for one in given]), (2 * len(used) + 1, 1))
    for row, (i, step) in enumerate(zip(used, steps, strict=True)):
        shift = step * (1j if i % 2 else 1.0)
        points[2 * row + 1, i // 2] += shift
        points[2 * row + 2, i // 2] -= shift
    uncertain, found = [parts[i] for i in used], []
    for result, kind, unit in zip(function(*points.T), kinds, units, strict=True):
        values = np.broadcast_to(np.asarray(result, dtype=complex), len(points))
        slopes = (values[1::2] - values[2::2]) / (2 * steps)
        found.append(
            Phasor(
                combine(float(values[0].real), kind, uncertain, slopes.real.tolist(), unit),
                combine(float(values[0].imag), kind, uncertain, slopes.imag.tolist(), unit),
            )
        )
    return found


def chance_within(residual: Phasor, limit: Any) -> float:
    """The chance that what is left is no more than the limit, given what is promised and how sure that is.

    The arrow's two parts are taken as normal with the covariance that they have; the chance is the probability inside a
    circle of the limit's radius about nothing.

    Parameters
    ----------
    residual : Phasor
        The promised residual with its uncertainty.
    limit : text or quantity
        Of the residual's kind, above nothing.

    Returns
    -------
    float
        From 0 to 1. Without any uncertainty 1 where the residual is at the limit or below, else 0.

    Raises
    ------
    QuantityError
        A limit of another kind, or none above nothing.

    Notes
    -----
    Source: normal distribution in two dimensions, summed over the circle in rings (computed). Checked against the
    closed form 1 - exp(-L^2 / 2 s^2) for a residual of zero.

    Examples
    --------
    >>> left = phasor("0 in/s", "0 deg") + Phasor(
    ...     *(measured("0 in/s", Speed, part, "0.1 in/s", stated_as="standard") for part in "xy"))
    >>> round(chance_within(left, "0.2 in/s"), 4)
    0.8647
    """
    radius = float(measured(limit, residual.kind, "limit").si)
    if radius <= 0:
        raise QuantityError(f"limit: needs one above nothing, got {limit}")
    sizes, axes = np.linalg.eigh(residual.covariance)
    small, large = (math.sqrt(max(float(size), 0.0)) for size in sizes)
    centre = axes.T @ np.array([residual.si.real, residual.si.imag])
    if large < 1e-9 * radius:
        return 1.0 if abs(residual.si) <= radius * (1 + 1e-12) else 0.0
    from scipy.special import ndtr

    # across the larger spread by points; within each strip the other direction in closed form
    low, high = max(-radius, centre[1] - 9 * large), min(radius, centre[1] + 9 * large)
    if low >= high:
        return 0.0
    points, weights = _nodes()
    # angles rather than heights, so that the circle's ends are met smoothly
    first, last = math.asin(low / radius), math.asin(high / radius)
    turned = (last - first) / 2 * points + (last + first) / 2
    height, half = radius * np.sin(turned), radius * np.cos(turned)
    density = np.exp(-0.5 * ((height - centre[1]) / large) ** 2) / (large * math.sqrt(math.tau))
    if small > 1e-6 * radius:
        within = ndtr((half - centre[0]) / small) - ndtr((-half - centre[0]) / small)
    else:
        within = (np.abs(centre[0]) <= half).astype(float)
    return float(min(1.0, max(0.0, (last - first) / 2 * np.sum(weights * density * within * radius * np.cos(turned)))))
