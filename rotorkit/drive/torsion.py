"""Torsional vibration of a drive train: discs on torsion springs, through gears, free or held, and its modes.

`torsional_modes` takes any train that branches; Holzer's method (`holzer_frequencies`) works a chain again: a second
opinion. Every inertia and stiffness is given at its own shaft's speed; gears bring them together.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from rotorkit import sources
from rotorkit.formula import formula, pi, sqrt
from rotorkit.formula.contract import si_of
from rotorkit.quantities import (
    Frequency,
    Length,
    MomentOfInertia,
    QuantityError,
    Ratio,
    RotationRate,
    TorsionalStiffness,
    from_si,
    required_kind,
)

__all__ = [
    "TorsionalModes",
    "damped_frequency",
    "firing_frequency",
    "holzer_frequencies",
    "holzer_residual",
    "node_distance",
    "referred_inertia",
    "referred_stiffness",
    "stiffness_of_shafts_in_series",
    "torsional_chain",
    "torsional_frequency_one_rotor",
    "torsional_frequency_two_rotors",
    "torsional_modes",
]

_INERTIA, _STIFFNESS, _RATE, _RATIO = map(required_kind, (MomentOfInertia, TorsionalStiffness, RotationRate, Ratio))
_SOME_INERTIA = ("1e-9 kg*m^2", None)
_SOME_STIFFNESS = ("1e-6 N*m/rad", None)


@formula(source=sources.VIBRATION.at("disc on a torsion spring"), letters={"stiffness": "k", "inertia": "I"},
         result="f", valid={"stiffness": _SOME_STIFFNESS, "inertia": _SOME_INERTIA})  # fmt: skip
def torsional_frequency_one_rotor(stiffness: TorsionalStiffness, inertia: MomentOfInertia) -> Frequency:
    """Frequency of a rotor at the end of a shaft whose other end is held. Formula: f = sqrt(k / I) / (2 pi).

    Examples
    --------
    Bevan, chapter 15 example 5 (quoted): 32,725 lbf in/rad and 500 lb ft2: 2.11 Hz.

    >>> from rotorkit.quantities import say
    >>> say(torsional_frequency_one_rotor("32725 lbf*in/rad", "500 lb*ft^2"), "Hz", digits=4)
    '2.108 Hz'
    """
    return sqrt(stiffness / inertia) / (2 * pi)


@formula(source=sources.VIBRATION.at("two discs on a free torsion spring"),
         letters={"stiffness": "k", "inertia": "I_1", "other_inertia": "I_2"}, result="f",
         valid={"stiffness": _SOME_STIFFNESS, "inertia": _SOME_INERTIA, "other_inertia": _SOME_INERTIA})  # fmt: skip
def torsional_frequency_two_rotors(
    stiffness: TorsionalStiffness, inertia: MomentOfInertia, other_inertia: MomentOfInertia
) -> Frequency:
    """Frequency of two rotors joined by a free shaft. Formula: f = sqrt(k (I1 + I2) / (I1 I2)) / (2 pi).

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(torsional_frequency_two_rotors("1000 N*m/rad", "1 kg*m^2", "1 kg*m^2"), "Hz", digits=4)
    '7.118 Hz'
    """
    return sqrt(stiffness * (inertia + other_inertia) / (inertia * other_inertia)) / (2 * pi)


@formula(source=sources.VIBRATION.at("node between two rotors"),
         letters={"length": "L", "inertia": "I_1", "other_inertia": "I_2"}, result="x",
         valid={"length": ("0.1 mm", "100 m"), "inertia": _SOME_INERTIA, "other_inertia": _SOME_INERTIA},
         shown={"length": ("in", "mm"), "result": ("in", "mm")})  # fmt: skip
def node_distance(length: Length, inertia: MomentOfInertia, other_inertia: MomentOfInertia) -> Length:
    """Where the shaft between two rotors stands still, from the first one. Formula: L I2 / (I1 + I2), even shaft.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(node_distance("1 m", "1 kg*m^2", "3 kg*m^2"), "m", digits=3)
    '0.750 m'
    """
    return length * other_inertia / (inertia + other_inertia)


@formula(source=sources.VIBRATION.at("damped free vibration"), letters={"frequency": "f", "damping_ratio": r"\zeta"},
         result="f_d", valid={"damping_ratio": ("0", "1")})  # fmt: skip
def damped_frequency(frequency: Frequency, damping_ratio: Ratio) -> Frequency:
    """Frequency of a free vibration with damping. Formula: fd = f sqrt(1 - zeta^2).

    `damping_ratio` is damping over critical damping; of x'' + a x' + b x = 0 it is a / (2 sqrt(b)).

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(damped_frequency("2.10917 Hz", 0.15694), "Hz", digits=4)
    '2.083 Hz'
    """
    return frequency * sqrt(1 - damping_ratio**2)


@formula(source=sources.ARITHMETIC.at("equal energy at another speed"), letters={"inertia": "I", "ratio": "n"},
         result="I'", valid={"ratio": ("0.001", "1000")})  # fmt: skip
def referred_inertia(inertia: MomentOfInertia, ratio: Ratio) -> MomentOfInertia:
    """Inertia of a shaft as it counts at another shaft's speed. Formula: I n^2, n = its speed over the other's.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(referred_inertia("50000 lb*in^2", 0.6), "lb*in^2", digits=5)
    '18,000 lb·in²'
    """
    return inertia * ratio**2


@formula(source=sources.ARITHMETIC.at("equal energy at another speed"), letters={"stiffness": "k", "ratio": "n"},
         result="k'", valid={"ratio": ("0.001", "1000"), "stiffness": _SOME_STIFFNESS})  # fmt: skip
def referred_stiffness(stiffness: TorsionalStiffness, ratio: Ratio) -> TorsionalStiffness:
    """Torsional stiffness of a shaft as it counts at another shaft's speed. Formula: k n^2.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(referred_stiffness("1000 N*m/rad", 2), "N*m/rad", digits=4)
    '4,000 N·m/rad'
    """
    return stiffness * ratio**2


@formula(source=sources.DEFINITION.at("firings of a piston engine"),
         letters={"speed": "n", "cylinders": "z", "strokes": "s"}, result="f",
         valid={"speed": ("0 rpm", "20000 rpm"), "cylinders": ("1", "24"),
                "strokes": frozenset({"2", "4"})})  # fmt: skip
def firing_frequency(speed: RotationRate, cylinders: Ratio, strokes: Ratio = "4") -> Frequency:
    """How often a piston engine fires: 2 z / s times a turn of the crank.

    Examples
    --------
    Four cylinders, four strokes: twice a turn.

    >>> from rotorkit.quantities import say
    >>> say(firing_frequency("2700 rpm", 4), "Hz", digits=3)
    '90.0 Hz'
    """
    return speed / (2 * pi) * 2 * cylinders / strokes


def stiffness_of_shafts_in_series(stiffnesses: Sequence[Any]) -> Any:
    """Torsional stiffness of pieces one after the other, all at one speed. Formula: 1/k = sum 1/ki.

    >>> from rotorkit.quantities import say
    >>> say(stiffness_of_shafts_in_series(["300 N*m/rad", "600 N*m/rad"]), "N*m/rad", digits=3)
    '200 N·m/rad'
    """
    found = _figures(stiffnesses, _STIFFNESS, "stiffnesses")
    return from_si(float(1 / np.sum(1 / found)), _STIFFNESS)


def _figures(values: Sequence[Any], kind: Any, name: str) -> Any:
    found = np.array([float(si_of(value, kind, name)[0]) for value in values])
    if (found <= 0).any():
        raise QuantityError(f"{name}: all must be above zero; got {list(values)}")
    return found


@dataclass(frozen=True)
class TorsionalModes:
    """Modes of a torsional train, slowest first.

    frequencies: rotation rates (rad/s) as one quantity that is an array; times 60/(2 pi) vibrations a minute. The first
    is nought for a train that is free to turn. names: the rotors. shapes: for each mode, the twist of each rotor at its
    own shaft's speed, the largest being 1; an array of (modes, rotors).
    """

    frequencies: Any
    names: tuple[str, ...]
    shapes: Any

    @property
    def hertz(self) -> Any:
        """The frequencies as a quantity in Hz."""
        return from_si(self.frequencies.magnitude / (2 * np.pi), required_kind(Frequency))

    def shape(self, mode: int) -> dict[str, float]:
        """Twist of each rotor in a mode; 0 is the slowest (turning as a whole, where the train is free)."""
        return {name: float(value) for name, value in zip(self.names, self.shapes[mode], strict=True)}


def torsional_modes(
    inertias: Mapping[str, Any],
    shafts: Sequence[tuple[str, str, Any]],
    gears: Sequence[tuple[str, str, Any]] = (),
    held: Sequence[tuple[str, Any]] = (),
) -> TorsionalModes:
    """Frequencies and shapes of torsional vibration of a train of any form.

    Parameters
    ----------
    inertias : mapping of str to MomentOfInertia
        each rotor by name, at its own speed. A gear without noteworthy inertia has 0.
    shafts : sequence of (str, str, TorsionalStiffness)
        springs between two rotors that turn equally fast; a belt is one too, at the speed of one of its pulleys.
    gears : sequence of (str, str, Ratio)
        two gears that mesh: speed of the second over that of the first, a size.
    held : sequence of (str, TorsionalStiffness)
        rotors joined by a spring with what does not turn.

    Returns
    -------
    TorsionalModes
        as many modes as there are free rotors.

    Raises
    ------
    QuantityError
        a name is unknown, gears go round in a circle, or a part can move without inertia.

    Notes
    -----
    Linear, undamped, teeth without play; gears' twists follow each other exactly. Source: linear vibration theory.

    Examples
    --------
    Thomson's Holzer example (from memory): 5, 11 and 22 kg m2; 0.10e6 and 0.20e6 N m/rad: 0, 123.67, 202.66 rad/s.

    >>> found = torsional_modes(
    ...     {"a": "5 kg*m^2", "b": "11 kg*m^2", "c": "22 kg*m^2"},
    ...     [("a", "b", "0.10e6 N*m/rad"), ("b", "c", "0.20e6 N*m/rad")],
    ... )
    >>> [round(float(one), 2) for one in found.frequencies.magnitude]
    [0.0, 123.67, 202.66]
    """
    names = tuple(inertias)
    place = {name: i for i, name in enumerate(names)}
    for name in [n for link in [*shafts, *gears] for n in link[:2]] + [link[0] for link in held]:
        if name not in place:
            raise QuantityError(f"torsional_modes: there is no rotor {name!r}: they are {', '.join(names)}")
    mass = np.zeros((len(names), len(names)))
    for name, inertia in inertias.items():
        mass[place[name], place[name]] = float(si_of(inertia, _INERTIA, name)[0])
    spring = np.zeros_like(mass)
    for one, other, stiffness in shafts:
        k = _figures([stiffness], _STIFFNESS, f"the shaft from {one} to {other}")[0]
        i, j = place[one], place[other]
        spring[[i, j], [i, j]] += k
        spring[[i, j], [j, i]] -= k
    for one, stiffness in held:
        spring[place[one], place[one]] += _figures([stiffness], _STIFFNESS, f"what holds {one}")[0]
    turn = np.eye(len(names))  # every rotor's twist by those of its own group's leader
    leader = list(range(len(names)))
    for one, other, ratio in gears:
        n = _figures([ratio], _RATIO, f"the gears {one} and {other}")[0]
        i, j = place[one], place[other]
        if leader[i] == leader[j]:
            raise QuantityError(f"torsional_modes: the gears {one} and {other} are joined already")
        lead, follow = leader[i], leader[j]
        scale = n * turn[i, lead] / turn[j, follow]
        for k in range(len(names)):
            if leader[k] == follow:
                turn[k, lead], turn[k, follow], leader[k] = turn[k, follow] * scale, 0.0, lead
    free = sorted(set(leader))
    change = turn[:, free]
    values, vectors = _modes(change.T @ mass @ change, change.T @ spring @ change)
    shapes = (change @ vectors).T
    largest = np.abs(shapes).argmax(axis=1)
    shapes = shapes / shapes[np.arange(len(shapes)), largest][:, None]
    return TorsionalModes(from_si(np.sqrt(values), _RATE), names, shapes)


def _modes(mass: Any, spring: Any) -> tuple[Any, Any]:
    """Eigenvalues and vectors, what has no inertia following the rest without delay."""
    heavy = np.diag(mass) > 0
    if not heavy.any():
        raise QuantityError("torsional_modes: one rotor at least must have an inertia above zero")
    light = ~heavy
    full = np.eye(len(mass))[:, heavy]
    if light.any():
        inner = spring[np.ix_(light, light)]
        if np.linalg.matrix_rank(inner) < len(inner):
            raise QuantityError("torsional_modes: a part without inertia hangs on nothing")
        full[light] = -np.linalg.solve(inner, spring[np.ix_(light, heavy)])
    small = full.T @ spring @ full
    root = np.sqrt(np.diag(mass)[heavy])
    values, vectors = np.linalg.eigh(small / np.outer(root, root))
    values = np.where(values < 1e-10 * max(abs(values).max(), 1e-30), 0.0, values)
    return values, full @ (vectors / root[:, None])


def torsional_chain(
    inertias: Sequence[Any], stiffnesses: Sequence[Any], hold_first: Any = None, hold_last: Any = None
) -> TorsionalModes:
    """Modes of rotors in a row: `torsional_modes` for the commonest case.

    Parameters
    ----------
    inertias : sequence of MomentOfInertia
        of the rotors in order.
    stiffnesses : sequence of TorsionalStiffness
        of the shafts between them, one fewer.
    hold_first, hold_last : TorsionalStiffness or None
        springs that join the first and the last rotor with what does not turn; None where that end is free.

    Examples
    --------
    >>> found = torsional_chain(["1 kg*m^2", "1 kg*m^2"], ["1000 N*m/rad"])
    >>> [round(float(one), 2) for one in found.frequencies.magnitude]
    [0.0, 44.72]
    """
    if len(stiffnesses) != len(inertias) - 1:
        raise QuantityError(
            f"torsional_chain: {len(inertias)} rotors need {len(inertias) - 1} stiffnesses, got {len(stiffnesses)}"
        )
    names = [str(i + 1) for i in range(len(inertias))]
    shafts = [(names[i], names[i + 1], k) for i, k in enumerate(stiffnesses)]
    held = [(name, k) for name, k in ((names[0], hold_first), (names[-1], hold_last)) if k is not None]
    return torsional_modes(dict(zip(names, inertias, strict=True)), shafts, held=held)


def holzer_residual(inertias: Sequence[Any], stiffnesses: Sequence[Any], frequency: Any) -> Any:
    """Torque left over at the far end of a free chain that is shaken at `frequency`: nought at a natural frequency.

    Parameters
    ----------
    inertias, stiffnesses : sequences
        as in `torsional_chain`, both ends free.
    frequency : RotationRate
        one, or an array.

    Returns
    -------
    float or ndarray
        The torque in N m for a twist of 1 rad of the first rotor.

    Examples
    --------
    >>> residual = holzer_residual(["1 kg*m^2", "1 kg*m^2"], ["1000 N*m/rad"], "44.72136 rad/s")
    >>> abs(float(residual)) < 0.01
    True
    """
    masses = _figures(inertias, _INERTIA, "inertias")
    springs = _figures(stiffnesses, _STIFFNESS, "stiffnesses")
    return _residual(masses, springs, np.asarray(si_of(frequency, _RATE, "frequency")[0], dtype=float))


def _residual(masses: Any, springs: Any, omega: Any) -> Any:
    twist, torque = np.ones_like(omega), np.zeros_like(omega)
    for i, mass in enumerate(masses):
        torque = torque + mass * omega**2 * twist
        if i < len(springs):
            twist = twist - torque / springs[i]
    return torque


def holzer_frequencies(inertias: Sequence[Any], stiffnesses: Sequence[Any]) -> Any:
    """Natural frequencies of a free chain by Holzer's method: by trial, without any matrix.

    Returns
    -------
    RotationRate
        an array, rad/s, the rigid turning left out.

    Notes
    -----
    The residual changes its sign at each frequency. Brackets are refined until all are found. Source: Holzer's method
    as in Thomson's text (from memory).

    Examples
    --------
    >>> found = holzer_frequencies(["5 kg*m^2", "11 kg*m^2", "22 kg*m^2"], ["0.10e6 N*m/rad", "0.20e6 N*m/rad"])
    >>> [round(float(one), 3) for one in found.magnitude]
    [123.666, 202.658]
    """
    from scipy.optimize import brentq

    masses = _figures(inertias, _INERTIA, "inertias")
    springs = _figures(stiffnesses, _STIFFNESS, "stiffnesses")
    top = 2 * np.sqrt(max(springs) * 2 / min(masses))  # no frequency lies above (Gershgorin)
    wanted = len(masses) - 1
    for points in (2000, 20000, 200000, 2000000):
        grid = np.linspace(top * 1e-6, top, points)
        values = _residual(masses, springs, grid)
        where = np.flatnonzero(np.sign(values[:-1]) != np.sign(values[1:]))
        if len(where) >= wanted:
            break
    else:
        raise QuantityError("holzer_frequencies: two frequencies lie too close together to be told apart")
    roots = [brentq(lambda w: float(_residual(masses, springs, w)), grid[i], grid[i + 1], xtol=1e-12) for i in where]
    return from_si(np.array(roots), _RATE)
