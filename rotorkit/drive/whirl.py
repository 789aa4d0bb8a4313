"""Whirl of a shaft line: natural frequencies and critical speeds of a shaft of many spans, by finite elements.

A line of shaft pieces (solid or hollow, stepped), discs on it and bearings under it. Beam elements by Timoshenko (with
shear and rotary inertia) or by Bernoulli and Euler (without shear; rotary inertia kept), each with its gyroscopic
effect. Bearings are springs, the same both ways or not, with cross terms and dampers if wanted; or rigid.

Axes: z along the shaft from its first end, x and y across it; the shaft turns from x towards y. Forward whirl goes the
same way round as the shaft turns.

How it is solved. K q - w^2 M q with the shaft at rest gives modes, and the lowest of them carry the rest: in them the
undamped problem at a speed is that of a Hermitian matrix, whose eigenvalues are real, for all speeds in one call.
Critical speeds come without any search: at w = speed the gyroscopic terms join the mass, (M - iG) q = K q / w^2.

>>> line = shaft_line(
...     [ShaftPiece("1.5 m", "50 mm", elastic_modulus="211 GPa", density="7810 kg/m^3", shear_modulus="81.2 GPa")],
...     discs=[solid_disc("0.5 m", "0.28 m", "0.07 m", "7810 kg/m^3", "50 mm"),
...            solid_disc("1 m", "0.35 m", "0.07 m", "7810 kg/m^3", "50 mm")],
...     bearings=[Bearing("0 m", "1e6 N/m"), Bearing("1.5 m", "1e6 N/m")],
... )
>>> [round(float(one), 2) for one in line.frequencies("4000 rpm", modes=5).magnitude]
[85.39, 87.8, 251.78, 294.71, 600.08]
>>> from rotorkit.quantities import say
>>> [(say(one.speed, "rpm", digits=4), one.direction) for one in line.critical_speeds(2)]
[('825.1 rpm', 'backward'), ('829.9 rpm', 'forward')]
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from itertools import pairwise
from typing import Any

import numpy as np

from rotorkit.drive.chains import Chains, values_near
from rotorkit.formula.contract import contract, si_of
from rotorkit.quantities import (
    Damping,
    Density,
    Kind,
    Length,
    Mass,
    MomentOfInertia,
    QuantityError,
    Ratio,
    RotationRate,
    Stiffness,
    Stress,
    from_si,
    required_kind,
)

KEPT_MODES = 40
"""Modes at rest in which a turning shaft is described; the frequencies wanted must be far fewer."""


def _si(value: Any, kind: Any, label: str, least: float | None = None) -> float:
    """One bare SI value, an error naming it."""
    wanted: Kind = required_kind(kind)
    try:
        found = float(si_of(value, wanted, label)[0])
    except QuantityError as problem:
        raise QuantityError(f"{label}: {problem}") from None
    if least is not None and found < least:
        raise QuantityError(f"{label}: must not be below {least:g} in SI units, got {value}")
    return found


@dataclass(frozen=True)
class ShaftPiece:
    """A piece of shaft of one section.

    length, outer_diameter, inner_diameter (0 for solid). elastic_modulus, density, and either shear_modulus or
    poisson_ratio of its material (steel 29e6 psi, 0.283 lb/in3, 0.3; aluminium 10e6 psi, 0.098 lb/in3, 0.33: handbook
    figures, from memory). elements: into how many it is divided; 0 lets the line choose by its length.
    """

    length: Any
    outer_diameter: Any
    inner_diameter: Any = "0 mm"
    elastic_modulus: Any = "200 GPa"
    density: Any = "7850 kg/m^3"
    shear_modulus: Any = None
    poisson_ratio: Any = "0.3"
    elements: int = 0


@dataclass(frozen=True)
class Disc:
    """A disc, pulley, gear, coupling or yoke: a mass with inertia, at a place from the shaft's first end.

    diametral_inertia about a diameter, polar_inertia about the shaft; both may be left out (zero).
    """

    place: Any
    mass: Any
    diametral_inertia: Any = "0 kg*m^2"
    polar_inertia: Any = "0 kg*m^2"


@dataclass(frozen=True)
class Bearing:
    """A bearing or hanger at a place from the shaft's first end.

    stiffness: along x; None for a rigid one. stiffness_y: along y, where it differs. cross_stiffness: symmetric, force
    along x by a displacement along y. damping, damping_y: along x and y. built_in: whether it holds the shaft's slope
    too (rigid ones only).
    """

    place: Any
    stiffness: Any = None
    stiffness_y: Any = None
    cross_stiffness: Any = "0 N/m"
    damping: Any = "0 N*s/m"
    damping_y: Any = None
    built_in: bool = False


@contract
def solid_disc(place: Length, outer_diameter: Length, width: Length, density: Density, bore: Length = "0 mm") -> Disc:
    """A plain disc as a `Disc`: its mass and inertias from its measures.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(solid_disc("0.5 m", "0.28 m", "0.07 m", "7810 kg/m^3", "50 mm").mass, "kg", digits=4)
    '32.59 kg'
    """
    if not 0 <= bore < outer_diameter:
        raise QuantityError("solid_disc: bore must be less than outer_diameter")
    mass = np.pi / 4 * (outer_diameter**2 - bore**2) * width * density
    polar = mass * (outer_diameter**2 + bore**2) / 8
    inertia = required_kind(MomentOfInertia)
    return Disc(
        from_si(place, Length),
        from_si(mass, Mass),
        from_si(polar / 2 + mass * width**2 / 12, inertia),
        from_si(polar, inertia),
    )


@contract
def cowper_shear_coefficient(poisson_ratio: Ratio, bore_ratio: Ratio = "0") -> Ratio:
    """Shear coefficient of a round section in Timoshenko's beam, by Cowper (1966, from memory).

    Formula: 6 (1 + nu)(1 + m^2)^2 / ((7 + 6 nu)(1 + m^2)^2 + (20 + 12 nu) m^2), m inner over outer diameter.

    >>> from rotorkit.quantities import say
    >>> say(cowper_shear_coefficient(0.3), digits=4)
    '0.8864'
    """
    m = (1 + bore_ratio**2) ** 2
    return 6 * (1 + poisson_ratio) * m / ((7 + 6 * poisson_ratio) * m + (20 + 12 * poisson_ratio) * bore_ratio**2)


def _four(rows: list[list[Any]], size: Any) -> Any:
    """A 4 x 4 matrix times its size, or one for each of many elements: those in the first axes."""
    entries = np.empty((*np.shape(size), 4, 4))
    for i, row in enumerate(rows):
        for j, one in enumerate(row):
            entries[..., i, j] = one
    return entries * np.asarray(size)[..., None, None]


def _element(length: Any, e: Any, g: Any, rho: Any, d: Any, di: Any, shear: bool) -> tuple[Any, Any, Any]:
    """(mass of translation, mass of rotation, stiffness) of one beam element in one plane: w1, w1', w2, w2'. Of arrays:
    one for each, in the first axes."""
    area, second = np.pi / 4 * (d**2 - di**2), np.pi / 64 * (d**4 - di**4)
    phi = 0.0
    if shear:
        kappa = cowper_shear_coefficient.si(e / (2 * g) - 1, di / d)
        phi = 12 * e * second / (kappa * g * area * length**2)
    h, p = length, phi
    stiffness = _four(
        [
            [12, 6 * h, -12, 6 * h],
            [6 * h, (4 + p) * h**2, -6 * h, (2 - p) * h**2],
            [-12, -6 * h, 12, -6 * h],
            [6 * h, (2 - p) * h**2, -6 * h, (4 + p) * h**2],
        ],
        e * second / ((1 + p) * h**3),
    )
    m1, m2 = 312 + 588 * p + 280 * p**2, (44 + 77 * p + 35 * p**2) * h
    m3, m4 = 108 + 252 * p + 140 * p**2, -(26 + 63 * p + 35 * p**2) * h
    m5, m6 = (8 + 14 * p + 7 * p**2) * h**2, -(6 + 14 * p + 7 * p**2) * h**2
    translation = _four(
        [[m1, m2, m3, m4], [m2, m5, -m4, m6], [m3, -m4, m1, -m2], [m4, m6, -m2, m5]],
        rho * area * h / (840 * (1 + p) ** 2),
    )
    r1, r2 = 36, (3 - 15 * p) * h
    r3, r4 = (4 + 5 * p + 10 * p**2) * h**2, (-1 - 5 * p + 5 * p**2) * h**2
    rotation = _four(
        [[r1, r2, -r1, r2], [r2, r3, -r2, r4], [-r1, -r2, r1, -r2], [r2, r4, -r2, r3]],
        rho * second / (30 * h * (1 + p) ** 2),
    )
    return translation, rotation, stiffness


@dataclass(frozen=True)
class CriticalSpeed:
    """A speed at which the shaft whirls in step with its own turning: a quantity; "forward" or "backward"."""

    speed: Any
    direction: str
    shape: Any = field(default=None, repr=False, compare=False)


@dataclass(frozen=True)
class WhirlModes:
    """Modes of a shaft that turns at one speed, slowest first.

    frequencies: rotation rates as one quantity that is an array (rad/s). directions: "forward", "backward" or "plane"
    for each. places: of the nodes along the shaft, a quantity. shapes: complex array (modes, nodes, 2), displacement
    along x and y at those places, the largest of size 1.
    """

    frequencies: Any
    directions: tuple[str, ...]
    places: Any
    shapes: Any


@dataclass(frozen=True)
class ShaftLine:
    """A shaft with its discs and bearings, in matrices; made by `shaft_line`. Bare SI arrays: nodes' places, and over
    the free coordinates mass, gyroscopic (for 1 rad/s), stiffness and damping matrices."""

    places: Any
    mass: Any
    gyroscopic: Any
    stiffness: Any
    damping: Any
    free: Any
    _reduced: dict[str, Any] = field(default_factory=dict, repr=False, compare=False)

    def _basis(self, kept: int = KEPT_MODES) -> tuple[Any, Any, Any]:
        """(modes at rest, their squared frequencies, gyroscopic matrix in them), worked out once."""
        if not self._reduced:
            from scipy.linalg import eigh

            # M q = (K + s M) q / (w^2 + s): a shaft of next to no mass is solved as well as a heavy one. s only where
            # the shaft is not held, a billionth of what its stiffness and mass make
            shift = 0.0
            try:
                np.linalg.cholesky(self.stiffness)
            except np.linalg.LinAlgError:
                shift = 1e-9 * float(np.trace(self.stiffness) / np.trace(self.mass))
            share, modes = eigh(self.mass, self.stiffness + shift * self.mass)
            order = [i for i in np.argsort(-share) if share[i] > 1e-13 * share.max()][:KEPT_MODES]
            share, modes = share[order], modes[:, order] / np.sqrt(share[order])
            squared = np.maximum(1 / share - shift, 0.0)
            squared[squared < 1e-6 * shift] = 0.0
            self._reduced.update(modes=modes, squared=squared, gyroscopic=modes.T @ self.gyroscopic @ modes)
        n = min(kept, len(self._reduced["squared"]))
        return self._reduced["modes"][:, :n], self._reduced["squared"][:n], self._reduced["gyroscopic"][:n, :n]

    def _hermitian(self, speeds: Any, kept: int) -> Any:
        """i times the skew matrix of the undamped problem at each speed: its eigenvalues are the frequencies, ±."""
        _, squared, gyroscopic = self._basis(kept)
        n = len(squared)
        rate = np.diag(np.sqrt(squared))
        skew = np.zeros((*speeds.shape, 2 * n, 2 * n), dtype=complex)
        skew[..., :n, n:], skew[..., n:, :n] = rate, -rate
        skew[..., n:, n:] = -speeds[..., None, None] * gyroscopic
        return 1j * skew

    def frequencies(self, speed: Any, modes: int = 6) -> Any:
        """Natural frequencies of lateral vibration at one speed, or at many in one call, without damping.

        Parameters
        ----------
        speed : RotationRate
            of the shaft; an array gives a row of frequencies for each.
        modes : int
            how many of the slowest.

        Returns
        -------
        RotationRate
            rad/s, ascending; shape (modes,) or (speeds, modes).
        """
        speeds = np.asarray(si_of(speed, RotationRate, "speed")[0], dtype=float)
        kept = self._kept(modes)
        values = np.linalg.eigvalsh(self._hermitian(speeds, kept))
        return from_si(np.abs(values[..., kept : kept + modes]), RotationRate)

    def _kept(self, modes: int) -> int:
        """In how many modes at rest to work, for so many wanted."""
        there = len(self._basis()[1])
        if not 1 <= modes <= there:
            raise QuantityError(f"modes: must be from 1 to {there}, got {modes}")
        return min(there, max(24, 3 * modes))

    def modes(self, speed: Any, modes: int = 6) -> WhirlModes:
        """Modes with their shapes and directions at one speed, without damping (see `WhirlModes`)."""
        at = np.asarray(si_of(speed, RotationRate, "speed")[0], dtype=float)
        if at.ndim:
            raise QuantityError("modes: takes one speed; frequencies takes many")
        n = self._kept(modes)
        basis, _, _ = self._basis(n)
        values, vectors = np.linalg.eigh(self._hermitian(at, n))
        chosen = slice(n, n + modes)
        # Hermitian e-values w of i S: z = exp(-i w t); its conjugate turns as exp(+i w t)
        shapes = np.conj((basis @ vectors[n:, chosen]).T)
        full, directions = self._shapes(shapes)
        if not at:
            directions = tuple("plane" for _ in directions)
        return WhirlModes(from_si(np.abs(values[chosen]), RotationRate), directions, from_si(self.places, Length), full)

    def _shapes(self, vectors: Any) -> tuple[Any, tuple[str, ...]]:
        """Displacements (modes, nodes, 2) of vectors over the free coordinates, and each one's way round."""
        whole = np.zeros((len(vectors), 4 * len(self.places)), dtype=complex)
        whole[:, self.free] = vectors
        moves = whole.reshape(len(vectors), -1, 4)
        shape = moves[:, :, [0, 2]]
        peak = shape.reshape(len(shape), -1)
        largest = peak[np.arange(len(peak)), np.abs(peak).argmax(axis=1)]
        shape = shape / largest[:, None, None]
        circled = -np.imag(np.conj(shape[..., 0]) * shape[..., 1]).sum(axis=1)
        size = (np.abs(shape) ** 2).sum(axis=(1, 2))
        words = tuple(
            "plane" if abs(c) < 1e-3 * s else "forward" if c > 0 else "backward"
            for c, s in zip(circled, size, strict=True)
        )
        return shape, words

    def critical_speeds(self, count: int = 4) -> tuple[CriticalSpeed, ...]:
        """Speeds at which the shaft whirls in step with its turning, slowest first, forward and backward ones.

        A forward critical speed is excited by every imbalance; a backward one only where bearings or shaft are not the
        same both ways. Every bearing must hold the shaft (a free shaft has none at zero).
        """
        from scipy.linalg import eigh

        try:
            values, vectors = eigh(self.mass - 1j * self.gyroscopic, self.stiffness)
        except np.linalg.LinAlgError:
            raise QuantityError(
                "critical_speeds: the bearings do not hold the shaft; give two, or one built in"
            ) from None
        order = [i for i in np.argsort(-values) if values[i] > 1e-14 * values[-1]][:count]
        shapes, words = self._shapes(vectors[:, order].T)
        return tuple(
            CriticalSpeed(from_si(float(values[i] ** -0.5), RotationRate), word, shape)
            for i, word, shape in zip(order, words, shapes, strict=True)
        )

    def eigenvalues(self, speed: Any, modes: int = 6) -> Any:
        """Complex eigenvalues with the bearings' damping, at one speed or many: decay (real part, 1/s; positive grows)
        and frequency (imaginary part, rad/s), slowest first; a plain complex array."""
        speeds = np.asarray(si_of(speed, RotationRate, "speed")[0], dtype=float)
        n = self._kept(modes)
        basis, squared, gyroscopic = self._basis(n)
        damping = basis.T @ self.damping @ basis
        state = np.zeros((*speeds.shape, 2 * n, 2 * n))
        state[..., :n, n:] = np.eye(n)
        state[..., n:, :n] = -np.diag(squared)
        state[..., n:, n:] = -(damping + speeds[..., None, None] * gyroscopic)
        values = np.linalg.eigvals(state)
        key = np.where(values.imag > 1e-9 * np.sqrt(squared[-1]), values.imag, np.inf)
        order = np.argsort(key, axis=-1)[..., :modes]
        return np.take_along_axis(values, order, axis=-1)


def shaft_line(
    pieces: Sequence[ShaftPiece],
    discs: Sequence[Disc] = (),
    bearings: Sequence[Bearing] = (),
    theory: str = "Timoshenko",
    elements: int = 24,
) -> ShaftLine:
    """A shaft line from its pieces in order, its discs and its bearings.

    Parameters
    ----------
    pieces : sequence of ShaftPiece
        from the first end on.
    discs : sequence of Disc
        anywhere along it.
    bearings : sequence of Bearing
        anywhere along it.
    theory : str
        "Timoshenko" or "Euler-Bernoulli" (rotary inertia kept).
    elements : int
        about how many to divide the whole shaft into, where a piece does not say its own number; nodes are put at
        every step, disc and bearing besides.

    Returns
    -------
    ShaftLine
        The line, whose methods give frequencies, modes and critical speeds.

    Raises
    ------
    QuantityError
        a figure is not of its kind, or lies off the shaft.

    Notes
    -----
    Source: finite elements of rotating shafts after Nelson and McVaugh (1976) with Przemieniecki's shear terms (from
    memory); checked against Friswell and others (2010), closed forms and a transfer matrix.
    """
    if theory not in ("Timoshenko", "Euler-Bernoulli"):
        raise QuantityError(f"shaft_line: theory must be Timoshenko or Euler-Bernoulli, got {theory!r}")
    if not pieces:
        raise QuantityError("shaft_line: needs one piece of shaft at least")
    read = []
    for i, piece in enumerate(pieces, start=1):
        name = f"piece {i}"
        length = _si(piece.length, Length, f"{name} length", 1e-6)
        d = _si(piece.outer_diameter, Length, f"{name} outer_diameter", 1e-6)
        di = _si(piece.inner_diameter, Length, f"{name} inner_diameter", 0)
        if di >= d:
            raise QuantityError(f"{name}: inner_diameter must be less than outer_diameter")
        e = _si(piece.elastic_modulus, Stress, f"{name} elastic_modulus", 1e6)
        rho = _si(piece.density, Density, f"{name} density", 0)
        if piece.shear_modulus is not None:
            g = _si(piece.shear_modulus, Stress, f"{name} shear_modulus", 1e6)
        else:
            g = e / (2 * (1 + _si(piece.poisson_ratio, Ratio, f"{name} poisson_ratio", 0)))
        read.append((length, d, di, e, g, rho, piece.elements))
    ends = np.concatenate([[0.0], np.cumsum([one[0] for one in read])])
    whole = ends[-1]
    slack = 1e-9 * whole

    def on_shaft(value: Any, what: str) -> float:
        place = _si(value, Length, f"{what} place")
        if not -slack <= place <= whole + slack:
            raise QuantityError(f"{what}: its place must lie on the shaft, from 0 to {whole:g} m, got {value}")
        return min(max(place, 0.0), float(whole))

    disc_at = [on_shaft(one.place, f"disc {i}") for i, one in enumerate(discs, start=1)]
    bearing_at = [on_shaft(one.place, f"bearing {i}") for i, one in enumerate(bearings, start=1)]
    wanted: list[float] = [*map(float, ends), *disc_at, *bearing_at]
    for (length, *_, own), start in zip(read, ends[:-1], strict=True):
        number = own or max(1, round(elements * length / whole))
        wanted += [float(start + length * k / number) for k in range(1, number)]
    places: list[float] = []
    for place in sorted(wanted):
        if not places or place - places[-1] > slack:
            places.append(place)
    nodes = np.array(places)
    count = 4 * len(nodes)
    mass, spring, gyro, damper = (np.zeros((count, count)) for _ in range(4))
    for k, (start, end) in enumerate(pairwise(nodes)):
        piece_index = min(int(np.searchsorted(ends, (start + end) / 2) - 1), len(read) - 1)
        _, d, di, e, g, rho, _ = read[piece_index]
        translation, rotation, stiffness = _element(end - start, e, g, rho, d, di, theory == "Timoshenko")
        x = np.array([4 * k, 4 * k + 1, 4 * k + 4, 4 * k + 5])
        y = x + 2
        for plane in (x, y):
            mass[np.ix_(plane, plane)] += translation + rotation
            spring[np.ix_(plane, plane)] += stiffness
        # r = x + iy: Id r'' - i Ip w r' with Ip = 2 Id for a shaft
        gyro[np.ix_(x, y)] += 2 * rotation
        gyro[np.ix_(y, x)] -= 2 * rotation

    def node(place: float) -> int:
        return int(np.abs(nodes - place).argmin())

    for i, (disc, place) in enumerate(zip(discs, disc_at, strict=True), start=1):
        k = 4 * node(place)
        weight = _si(disc.mass, Mass, f"disc {i} mass", 0)
        across = _si(disc.diametral_inertia, MomentOfInertia, f"disc {i} diametral_inertia", 0)
        polar = _si(disc.polar_inertia, MomentOfInertia, f"disc {i} polar_inertia", 0)
        for offset, value in ((0, weight), (1, across), (2, weight), (3, across)):
            mass[k + offset, k + offset] += value
        gyro[k + 1, k + 3] += polar
        gyro[k + 3, k + 1] -= polar
    fixed: set[int] = set()
    for i, (bearing, place) in enumerate(zip(bearings, bearing_at, strict=True), start=1):
        k = 4 * node(place)
        if bearing.stiffness is None:
            fixed |= {k, k + 2} | ({k + 1, k + 3} if bearing.built_in else set())
            continue
        if bearing.built_in:
            raise QuantityError(f"bearing {i}: only a rigid bearing (no stiffness) can be built in")
        along_x = _si(bearing.stiffness, Stiffness, f"bearing {i} stiffness", 0)
        given_y = bearing.stiffness if bearing.stiffness_y is None else bearing.stiffness_y
        along_y = _si(given_y, Stiffness, f"bearing {i} stiffness_y", 0)
        cross = _si(bearing.cross_stiffness, Stiffness, f"bearing {i} cross_stiffness")
        spring[k, k] += along_x
        spring[k + 2, k + 2] += along_y
        spring[k, k + 2] += cross
        spring[k + 2, k] += cross
        damper[k, k] += _si(bearing.damping, Damping, f"bearing {i} damping", 0)
        given = bearing.damping if bearing.damping_y is None else bearing.damping_y
        damper[k + 2, k + 2] += _si(given, Damping, f"bearing {i} damping_y", 0)
    free = np.array([i for i in range(count) if i not in fixed])
    pick = np.ix_(free, free)
    return ShaftLine(nodes, mass[pick], gyro[pick], spring[pick], damper[pick], free)


def tube_whirl(
    outer_diameter: float,
    wall: float,
    length: float,
    elastic_modulus: float,
    density: float,
    stiffness: float,
    places: Sequence[float],
    elements: int = 24,
    masses: Sequence[tuple[float, float]] = (),
) -> tuple[float, Any, Any]:
    """First forward critical speed of an even tube on springs alike both ways: bare SI figures, quick.

    Parameters
    ----------
    outer_diameter, wall, length : float
        of the tube, m.
    elastic_modulus, density : float
        of its material, Pa and kg/m^3; shear modulus E / 2.6.
    stiffness : float
        of each bearing or hanger, across the shaft, N/m.
    places : sequence of float
        of the hangers from the tube's first end, m; two or more.
    elements : int
        about how many pieces.
    masses : sequence of (float, float)
        of couplings and whatever else sits on the tube: mass in kg, place from the first end in m. Taken as points:
        their own inertias and what they stiffen or soften are left out.

    Returns
    -------
    (float, ndarray, ndarray)
        critical speed, rad/s; places of the nodes, m; deflection there, the largest being 1.

    Raises
    ------
    QuantityError
        fewer than two hangers hold it.

    Notes
    -----
    The same elements as `shaft_line`, in one plane: where both planes are alike K q = w^2 (M - G) q is real.

    Examples
    --------
    1.5 x 0.065 in of steel, 60 in between stiff pins: by the closed form 2,645 rpm at 29e6 psi (199.9 GPa).

    >>> speed, _, _ = tube_whirl(0.0381, 0.00165, 1.524, 200e9, 7833, 1e9, [0, 1.524])
    >>> round(speed * 30 / np.pi)
    2641
    """
    if len(set(places)) < 2:
        raise QuantityError(_TWO_HANGERS)
    from scipy.linalg import eigh

    row = [outer_diameter, wall, length, elastic_modulus, density, stiffness, *places]
    figures = np.array([[*row, *(one for pair in masses for one in pair)]], dtype=float)
    ((_, nodes, tube),) = _tubes(figures, elements, len(masses))
    mass, spring = tube.laid()
    count = mass.shape[-1]
    share, shapes = eigh(mass[0], spring[0], subset_by_index=(count - 1, count - 1))
    shape = shapes[::2, 0]
    return float(share[0] ** -0.5), nodes[0], shape / shape[np.abs(shape).argmax()]


_TWO_HANGERS = "tube_whirl: two hangers at least must hold the shaft, at two places"


def tube_critical_speeds(figures: Any, elements: int = 24, masses: int = 0, near: float | None = None) -> Any:
    """The critical speed of `tube_whirl` for many tubes in one call: one stack of matrices.

    Parameters
    ----------
    figures : array of shape (tubes, 6 + hangers + 2 masses)
        a row for each: outer_diameter, wall, length, elastic_modulus, density, stiffness, the hangers' places, and of
        each mass its mass and its place, in the order and the units of `tube_whirl`.
    elements : int
        about how many pieces.
    masses : int
        how many masses each row ends with.
    near : float, optional
        a speed, rad/s, near which those of most rows are known to lie: the quicker, and as exact.

    Returns
    -------
    ndarray
        rad/s, one for each row.

    Raises
    ------
    QuantityError
        fewer than two hangers hold one of them.

    Notes
    -----
    K = L L' (Cholesky), and the largest eigenvalue of the symmetric L^-1 (M - G) L'^-1 is 1 / w^2, as `tube_whirl` has
    it from the pair. Near a speed that is given det(K - w^2 (M - G)) is followed to nothing instead.

    Examples
    --------
    >>> row = [0.0381, 0.00165, 1.524, 200e9, 7833, 1e9, 0, 1.524]
    >>> [round(float(one) * 30 / np.pi) for one in tube_critical_speeds([row, [0.05, *row[1:]]])]
    [2641, 3498]
    """
    given = np.asarray(figures, dtype=float)
    if any(len(set(row[6 : len(row) - 2 * masses])) < 2 for row in given.tolist()):
        raise QuantityError(_TWO_HANGERS)
    alike = [(rows, tubes) for rows, _, tubes in _tubes(given, elements, masses)]
    found = np.full(len(given), np.nan)
    if near is not None:
        found = np.sqrt(values_near(alike, np.full((len(given), 1), near**2), np.array([0]))[:, 0])
    for rows, tubes in alike:
        if len(left := np.flatnonzero(np.isnan(found[rows]))):
            mass, spring = (one[left] for one in tubes.laid())
            factor = np.linalg.inv(np.linalg.cholesky(spring))
            found[rows[left]] = np.linalg.eigvalsh(factor @ mass @ factor.swapaxes(-1, -2))[..., -1] ** -0.5
    return found


def _tubes(figures: Any, elements: int, masses: int) -> Iterator[tuple[Any, Any, Chains]]:
    """Even tubes on hangers, a row of `tube_critical_speeds` each: (which rows, their nodes, the tubes: mass less
    gyroscopic part, and stiffness), those of as many nodes together."""
    outer, wall, length, modulus, density, stiffness = figures[:, :6].T
    hung = figures.shape[1] - 2 * masses
    places, weights, sitting = figures[:, 6:hung], figures[:, hung::2], figures[:, hung + 1 :: 2]
    even = np.linspace(0, length, elements + 1, axis=-1)
    wanted = np.sort(np.concatenate([even, places, sitting], axis=-1), axis=-1)
    apart = np.diff(wanted, axis=-1, prepend=-np.inf) > 1e-9 * length[:, None]
    counts = apart.sum(axis=-1)
    for number in np.unique(counts):
        rows = np.flatnonzero(counts == number)
        nodes = wanted[rows][apart[rows]].reshape(len(rows), number)
        e, rho, d, di = (one[rows, None] for one in (modulus, density, outer, outer - 2 * wall))
        translation, rotation, bending = _element(np.diff(nodes, axis=-1), e, e / 2.6, rho, d, di, True)
        held, on_it = np.zeros_like(nodes), np.zeros_like(nodes)
        here = np.arange(len(rows))
        for place in places[rows].T:
            held[here, np.abs(nodes - place[:, None]).argmin(axis=-1)] += stiffness[rows]
        for place, weight in zip(sitting[rows].T, weights[rows].T, strict=True):
            on_it[here, np.abs(nodes - place[:, None]).argmin(axis=-1)] += weight
        yield rows, nodes, Chains(translation - rotation, bending, on_it, held)
