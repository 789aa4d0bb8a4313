"""Modes of a rotating blade: a beam that its own centrifugal pull stiffens, in flap and in lag.

The blade lies along its span from the root (hinge or hub attachment) at `hub_radius` from the shaft's axis. Flap is out
of the plane of rotation, lag within it; there the pull acts towards the axis and not along the blade's rest line, so
that the square of the rotor speed comes off again. No twist, no coupling of flap and lag, no air.

>>> blade = rotating_blade([BladeSection("4 m", "5 kg/m", "9000 N*m^2")], hub_radius="0.1 m")
>>> [round(float(one), 2) for one in blade.frequencies("400 rpm", 2).magnitude]
[45.63, 122.63]
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Any

import numpy as np

from rotorkit import sources
from rotorkit.drive.chains import laid
from rotorkit.edges.recent import Recent
from rotorkit.formula import formula, sqrt
from rotorkit.formula.contract import si_of
from rotorkit.quantities import (
    BendingStiffness,
    Kind,
    Length,
    LinearDensity,
    Mass,
    QuantityError,
    Ratio,
    RotationRate,
    TorsionalStiffness,
    from_si,
    required_kind,
)

POINTS = 21
"""Speeds of which a smooth line over all speeds is made."""
AS_GOOD = 1e-8
"""Share of a frequency's square within which that line must lie; the eigenvalues themselves are sure to some 1e-9."""


@dataclass(frozen=True)
class BladeSection:
    """A piece of blade, from the root outwards: its length, mass per length and bending stiffness E I (in the direction
    that is looked at: flap or lag)."""

    length: Any
    linear_density: Any
    bending_stiffness: Any


@dataclass(frozen=True)
class Southwell:
    """How rotation raises one mode's frequency: w^2 = rest^2 + (K0 + K1 e / L) speed^2, in flap.

    rest: frequency at rest, a rotation rate. K0, K1: plain numbers; e the root's offset, L the blade's length from it.
    """

    rest: Any
    K0: float
    K1: float


@dataclass(frozen=True)
class RotatingBlade:
    """A blade in matrices, bare SI arrays over the free coordinates; made by `rotating_blade`. The centrifugal matrices
    are for 1 rad/s: one with no offset of the root, one for a metre of it. Of many blades (`ManyBlades.laid`) each
    stands in a first axis of all fields, and `at` takes them."""

    mass: Any
    bending: Any
    centrifugal: Any
    per_offset: Any
    offset: Any
    length: Any

    def frequencies(self, rotor_speed: Any, modes: int = 3, direction: str = "flap") -> Any:
        """Natural frequencies at one rotor speed, or at many in one call.

        Parameters
        ----------
        rotor_speed : RotationRate
            one, or an array.
        modes : int
            how many of the slowest.
        direction : str
            "flap" or "lag".

        Returns
        -------
        RotationRate
            rad/s, ascending; shape (modes,) or (speeds, modes).
        """
        if direction not in ("flap", "lag"):
            raise QuantityError(f"frequencies: direction must be flap or lag, got {direction!r}")
        if not 1 <= modes <= len(self.mass):
            raise QuantityError(f"frequencies: modes must be from 1 to {len(self.mass)}, got {modes}")
        speeds = np.asarray(si_of(rotor_speed, RotationRate, "rotor_speed")[0], dtype=float)
        return from_si(self.at(speeds, modes, direction), RotationRate)

    def at(self, speeds: Any, modes: int, direction: str) -> Any:
        """`frequencies` of bare rad/s; of many blades a row of speeds for each: shape (blades, speeds, modes)."""
        squared = np.linalg.eigvalsh(self._at(speeds, direction)[0])[..., :modes]
        return np.sqrt(np.maximum(squared, 0.0))

    def with_shapes(self, speeds: Any, modes: int, direction: str) -> tuple[Any, Any]:
        """The same, and the modes' shapes over the free coordinates in one axis more."""
        matrix, back = self._at(speeds, direction)
        squared, vectors = np.linalg.eigh(matrix)
        shapes = np.swapaxes((back if back.ndim == 2 else back[:, None]) @ vectors[..., :modes], -1, -2)
        return np.sqrt(np.maximum(squared[..., :modes], 0.0)), shapes

    def _at(self, speeds: Any, direction: str) -> tuple[Any, Any]:
        """The symmetric matrix whose eigenvalues are the squares of the frequencies, and what makes shapes of its
        eigenvectors."""
        offset = np.asarray(self.offset)[..., None, None]
        pull = self.centrifugal + offset * self.per_offset - (self.mass if direction == "lag" else 0)
        factor = np.linalg.inv(np.linalg.cholesky(self.mass))
        other_way = np.swapaxes(factor, -1, -2)
        bending, turning = factor @ self.bending @ other_way, factor @ pull @ other_way
        if bending.ndim > 2:
            bending, turning = bending[:, None], turning[:, None]
        return bending + np.asarray(speeds)[..., None, None] ** 2 * turning, other_way

    def over_speeds(self, top: float, modes: int, direction: str) -> Callable[[Any], Any]:
        """`at` for any speeds up to `top`, from the frequencies at a few of them.

        The square of a frequency is a smooth function of the square of the speed: its polynomial through Chebyshev's
        points is checked against the frequencies themselves between these, and where it is not within `AS_GOOD` of them
        each speed is worked by itself.
        """
        ends = top**2 * (1 - np.cos(np.pi * np.arange(POINTS) / (POINTS - 1))) / 2
        between = (ends[1:] + ends[:-1])[:: POINTS // 5] / 2
        squared = self.at(np.sqrt(np.append(ends, between)), modes, direction) ** 2
        weights = np.where(np.arange(POINTS) % 2, -1.0, 1.0)
        weights[[0, -1]] /= 2

        def through(squares: Any) -> Any:
            apart = squares[:, None] - ends
            on = np.abs(apart) <= 1e-14 * top**2
            shares = np.where(on.any(axis=1)[:, None], on, weights / np.where(on, 1.0, apart))
            return shares @ squared[:POINTS] / shares.sum(axis=1)[:, None]

        if (np.abs(through(between) - squared[POINTS:]) > AS_GOOD * squared[POINTS:]).any():
            return lambda speeds: self.at(speeds, modes, direction)
        return lambda speeds: np.sqrt(np.maximum(through(np.asarray(speeds) ** 2), 0.0))

    def southwell(self, modes: int = 3) -> tuple[Southwell, ...]:
        """Southwell's coefficients of the slowest modes in flap, by their shapes at rest (Rayleigh): close for small
        rotor speeds, and above the true frequency of the first mode for all."""
        from scipy.linalg import eigh

        squared, shapes = eigh(self.bending, self.mass, subset_by_index=(0, modes - 1))
        found = []
        for value, shape in zip(squared, shapes.T, strict=True):
            found.append(
                Southwell(
                    from_si(float(np.sqrt(max(value, 0.0))), RotationRate),
                    float(shape @ self.centrifugal @ shape),
                    float(shape @ self.per_offset @ shape) * self.length,
                )
            )
        return tuple(found)


@lru_cache(maxsize=1)
def _gauss() -> tuple[Any, Any]:
    """Points and weights that integrate the pull over an element exactly."""
    return np.polynomial.legendre.leggauss(5)


def _si(value: Any, kind: Any, label: str, least: float) -> float:
    wanted: Kind = required_kind(kind)
    found = float(si_of(value, wanted, label)[0])
    if not found >= least:
        raise QuantityError(f"rotating_blade: {label} must be at least {least:g} in SI units, got {value}")
    return found


def rotating_blade(
    sections: Sequence[BladeSection],
    hub_radius: Any = "0 m",
    root: str = "fixed",
    root_spring: Any = None,
    tip_mass: Any = "0 kg",
    elements: int = 60,
) -> RotatingBlade:
    """A blade from its sections.

    Parameters
    ----------
    sections : sequence of BladeSection
        from the root outwards.
    hub_radius : Length
        of the root (hinge or clamp) from the shaft's axis.
    root : str
        "fixed" (built in) or "hinged".
    root_spring : TorsionalStiffness or None
        at the hinge.
    tip_mass : Mass
        at the tip.
    elements : int
        into how many pieces to divide the blade; steps between sections are kept.

    Returns
    -------
    RotatingBlade
        whose `frequencies` and `southwell` give the figures.

    Notes
    -----
    Bernoulli-Euler beam elements with the pull integrated exactly (derived from first principles); checked against a
    Ritz solution, Southwell's coefficients and the hanging chain.
    """
    if root not in ("fixed", "hinged"):
        raise QuantityError(f"rotating_blade: root must be fixed or hinged, got {root!r}")
    if root_spring is not None and root != "hinged":
        raise QuantityError("rotating_blade: root_spring belongs to a hinged root")
    if not sections:
        raise QuantityError("rotating_blade: needs one section at least")
    offset = _si(hub_radius, Length, "hub_radius", 0)
    tip = _si(tip_mass, Mass, "tip_mass", 0)
    lengths = [_si(one.length, Length, "length", 1e-4) for one in sections]
    masses = [_si(one.linear_density, LinearDensity, "linear_density", 1e-9) for one in sections]
    rigidities = [_si(one.bending_stiffness, BendingStiffness, "bending_stiffness", 0) for one in sections]
    spring = None if root_spring is None else _si(root_spring, TorsionalStiffness, "root_spring", 0)
    many = _assembled(
        np.array([lengths]), np.array([masses]), np.array([rigidities]), np.array([offset]), root, np.array([tip]),
        _divided(lengths, elements),
    ).laid()  # fmt: skip
    if spring is not None:
        many.bending[:, 0, 0] += spring
    return RotatingBlade(
        many.mass[0], many.bending[0], many.centrifugal[0], many.per_offset[0], offset, float(many.length[0])
    )


def many_blades(
    lengths: Any, masses: Any, rigidities: Any, hub_radii: Any, root: str, tip_masses: Any, elements: int = 60
) -> list[tuple[Any, ManyBlades]]:
    """Many blades that differ in their figures alone, bare SI: (their places, the blades) for those that are divided
    alike. What `rotating_blade` refuses is left out.

    Arguments: lengths, masses per length, rigidities, each of shape (blades, sections), from the root outwards;
    hub_radii and tip_masses, one for each blade; root and elements as in `rotating_blade`.
    """
    lengths, masses, rigidities = (np.asarray(one, dtype=float) for one in (lengths, masses, rigidities))
    offsets, tips = np.asarray(hub_radii, dtype=float), np.asarray(tip_masses, dtype=float)
    well = (lengths >= 1e-4).all(axis=1) & (masses >= 1e-9).all(axis=1) & (rigidities >= 0).all(axis=1)
    well &= (offsets >= 0) & (tips >= 0)
    divided: dict[tuple[int, ...], list[int]] = {}
    for k in np.flatnonzero(well):
        divided.setdefault(_divided([float(one) for one in lengths[k]], elements), []).append(int(k))
    return [
        (np.array(of), _assembled(lengths[of], masses[of], rigidities[of], offsets[of], root, tips[of], numbers))
        for numbers, of in divided.items()
    ]


def _divided(lengths: Sequence[float], elements: int) -> tuple[int, ...]:
    """Into how many elements each section is divided."""
    whole = sum(lengths)
    return tuple(max(1, round(elements * length / whole)) for length in lengths)


@dataclass(frozen=True)
class ManyBlades:
    """Blades divided into as many elements each, in matrices of these: bare SI arrays (blades, elements, 4, 4), as
    `RotatingBlade` has them whole. tips: masses at the tips; root: "fixed" or "hinged"."""

    mass: Any
    bending: Any
    centrifugal: Any
    per_offset: Any
    offset: Any
    length: Any
    tips: Any
    root: str

    def only(self, some: Any) -> ManyBlades:
        """Some of the blades."""
        return replace(self, **{name: one[some] for name, one in vars(self).items() if name != "root"})

    def laid(self) -> RotatingBlade:
        """The blades whole."""
        free = slice(1 if self.root == "hinged" else 2, None)
        mass, bending, plain, per_offset = (
            laid(one) for one in (self.mass, self.bending, self.centrifugal, self.per_offset)
        )
        mass[:, -2, -2] += self.tips
        mass, bending, plain, per_offset = (one[:, free, free] for one in (mass, bending, plain, per_offset))
        return RotatingBlade(mass, bending, plain, per_offset, self.offset, self.length)

    def at(self, speeds: Any, modes: int, direction: str) -> Any:
        """Frequencies (rad/s) of each blade at its row of speeds: shape (blades, speeds, modes)."""
        return self.laid().at(speeds, modes, direction)

    def beside(self, speeds: Any, shapes: Any, direction: str) -> Any:
        """The same of blades that differ little from the one whose shapes these are (speeds, modes, coordinates), by
        Rayleigh's quotient: the slope of a frequency by a figure, which a difference either way gives, is its own."""
        whole = np.zeros((*shapes.shape[:-1], 2 * self.mass.shape[1] + 2))
        whole[..., whole.shape[-1] - shapes.shape[-1] :] = shapes
        nodes = whole.reshape(*whole.shape[:-1], -1, 2)
        ends = np.concatenate([nodes[..., :-1, :], nodes[..., 1:, :]], axis=-1)
        both = (ends[..., :, None] * ends[..., None, :]).reshape(-1, 4 * ends[0, 0].size)

        def of(elements: Any) -> Any:
            return (elements.reshape(len(elements), -1) @ both.T).reshape(len(elements), *shapes.shape[:-1])

        mass = of(self.mass) + self.tips[:, None, None] * whole[..., -2] ** 2
        pull = of(self.centrifugal) + self.offset[:, None, None] * of(self.per_offset)
        pull = pull - mass if direction == "lag" else pull
        return np.sqrt(np.maximum((of(self.bending) + speeds[..., None] ** 2 * pull) / mass, 0.0))


def _assembled(
    lengths: Any, masses: Any, rigidities: Any, offsets: Any, root: str, tips: Any, numbers: Sequence[int]
) -> ManyBlades:
    """Blades whose sections are divided into as many elements each."""
    key = (lengths.shape, lengths.tobytes(), masses.tobytes(), tips.tobytes(), numbers)
    h, whole, inertia, plain, per_offset = _HEAVY.get(key, lambda: _by_mass(lengths, masses, tips, numbers))
    one = np.ones_like(h)
    stiff = (np.repeat(rigidities, numbers, axis=1) / h**3) * np.array(
        [[12 * one, 6 * h, -12 * one, 6 * h], [6 * h, 4 * h**2, -6 * h, 2 * h**2],
         [-12 * one, -6 * h, 12 * one, -6 * h], [6 * h, 2 * h**2, -6 * h, 4 * h**2]]
    )  # fmt: skip
    return ManyBlades(inertia, stiff.transpose(2, 3, 0, 1), plain, per_offset, offsets, whole, tips, root)


_HEAVY = Recent[tuple[Any, ...]](8)
"""What blades' masses make, which is the same in flap and in lag."""


def _by_mass(lengths: Any, masses: Any, tips: Any, numbers: Sequence[int]) -> tuple[Any, ...]:
    """(elements' lengths, blades' lengths, elements' matrices of mass and of both pulls)."""
    whole, tip = lengths.cumsum(axis=1)[:, -1], tips[:, None]
    root_end, ends = np.zeros(len(lengths)), [np.zeros(len(lengths))]
    for i, number in enumerate(numbers):
        ends += [root_end + lengths[:, i] * (k + 1) / number for k in range(number)]
        root_end = ends[-1]
    places = np.stack(ends, axis=1)
    start, end = places[:, :-1], places[:, 1:]
    h, m = end - start, np.repeat(masses, numbers, axis=1)
    # what lies outside each element: its mass, and mass times place
    outer_mass, outer_moment = (
        at_tip + np.pad(np.cumsum(one[:, :0:-1], axis=1)[:, ::-1], ((0, 0), (0, 1)))
        for at_tip, one in ((tip, m * h), (tip * whole[:, None], m * (end**2 - start**2) / 2))
    )
    one = np.ones_like(h)
    inertia = (m * h / 420) * np.array(
        [[156 * one, 22 * h, 54 * one, -13 * h], [22 * h, 4 * h**2, 13 * h, -3 * h**2],
         [54 * one, 13 * h, 156 * one, -22 * h], [-13 * h, -3 * h**2, -22 * h, 4 * h**2]]
    )  # fmt: skip
    points, weights = _gauss()
    s = ((points + 1) / 2)[:, None, None]
    slopes = np.stack(
        [(-6 * s + 6 * s**2) / h, (1 - 4 * s + 3 * s**2) * one, (6 * s - 6 * s**2) / h, (-2 * s + 3 * s**2) * one]
    )
    x = start + s * h
    share = weights[:, None, None] * h / 2
    pulls = share * (outer_moment + m * (end**2 - x**2) / 2), share * (outer_mass + m * (end - x))
    plain_of, offset_of = (np.einsum("ipbe,jpbe,pbe->ijbe", slopes, slopes, one_pull) for one_pull in pulls)
    return h, whole, *(of_elements.transpose(2, 3, 0, 1) for of_elements in (inertia, plain_of, offset_of))


_OFFSET = {"offset_ratio": "e"}


@formula(source=sources.VIBRATION.at("rigid blade on a flapping hinge"), letters=_OFFSET, result=r"\nu",
         valid={"offset_ratio": ("0", "0.5")})  # fmt: skip
def hinged_flap_frequency_ratio(offset_ratio: Ratio) -> Ratio:
    """Flapping frequency of a rigid even blade on its hinge, over rotor speed. Formula: sqrt(1 + 1.5 e / (1 - e)).

    Parameters
    ----------
    offset_ratio : Ratio
        hinge offset over rotor radius.

    Returns
    -------
    Ratio
        Flaps per turn.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(hinged_flap_frequency_ratio(0.05), digits=6)
    '1.03872'
    """
    return sqrt(1 + 1.5 * offset_ratio / (1 - offset_ratio))


@formula(source=sources.VIBRATION.at("rigid blade on a lag hinge"), letters=_OFFSET, result=r"\nu_\zeta",
         valid={"offset_ratio": ("0", "0.5")})  # fmt: skip
def hinged_lag_frequency_ratio(offset_ratio: Ratio) -> Ratio:
    """Lag frequency of a rigid even blade on a hinge without spring, over rotor speed. Formula: sqrt(1.5 e / (1 - e)).

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(hinged_lag_frequency_ratio(0.05), digits=4)
    '0.2810'
    """
    return sqrt(1.5 * offset_ratio / (1 - offset_ratio))


@formula(source=sources.VIBRATION.at("Southwell's estimate of a rotating blade"),
         letters={"rest_frequency": r"\omega_0", "rotor_speed": r"\Omega", "plain_coefficient": "K_0",
                  "offset_coefficient": "K_1", "offset_ratio": "e"}, result=r"\omega",
         valid={"rest_frequency": ("0 rpm", None), "rotor_speed": ("0 rpm", "20000 rpm"),
                "plain_coefficient": ("-1", "1000"), "offset_coefficient": ("0", "1000"),
                "offset_ratio": ("0", "1")})  # fmt: skip
def southwell_frequency(
    rest_frequency: RotationRate,
    rotor_speed: RotationRate,
    plain_coefficient: Ratio = "1.193",
    offset_coefficient: Ratio = "1.571",
    offset_ratio: Ratio = "0",
) -> RotationRate:
    """Frequency of a blade's flap mode at a rotor speed. Formula: sqrt(w0^2 + (K0 + K1 e/L) Omega^2).

    Parameters
    ----------
    rest_frequency : RotationRate
        at rest.
    rotor_speed : RotationRate
        of the rotor.
    plain_coefficient, offset_coefficient : Ratio
        Southwell's; 1.193 and 1.571 for the first mode of an even blade built in at its root, 6.478 and 8.647 for the
        second. In lag take 1 off the first.
    offset_ratio : Ratio
        root's distance from the axis over the blade's length.

    Returns
    -------
    RotationRate
        The frequency as rad/s: an estimate from above for the first mode.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(southwell_frequency("3.51602 rad/s", "5 rad/s", 1.19334), "rad/s", digits=5)
    '6.4958 rad/s'
    """
    return sqrt(rest_frequency**2 + (plain_coefficient + offset_coefficient * offset_ratio) * rotor_speed**2)
