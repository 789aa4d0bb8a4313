"""Torsional vibration of a drive train: discs on torsion springs, through gears, free or held, and its modes.

`torsional_modes` takes any train that branches; Holzer's method (`holzer_frequencies`) works a chain again: a second
opinion. Every inertia and stiffness is given at its own shaft's speed; gears bring them together.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from rotorkit import sources
from rotorkit.formula import formula, pi, sqrt
from rotorkit.formula.contract import si_of
from rotorkit.quantities import (
    Force,
    Frequency,
    Length,
    Mass,
    MomentOfInertia,
    QuantityError,
    Ratio,
    RotationRate,
    TorsionalStiffness,
    from_si,
    required_kind,
)

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


@formula(source=sources.ARITHMETIC.at("two stretched runs at a radius"),
         letters={"axial_rigidity": "c", "span": "L", "radius": "r", "belts": "n"}, result="k",
         valid={"axial_rigidity": ("1 N", None), "span": ("1 mm", "10 m"), "radius": ("1 mm", "2 m"),
                "belts": ("1", "20")}, shown={"span": ("in", "mm"), "radius": ("in", "mm")})  # fmt: skip
def belt_torsional_stiffness(
    axial_rigidity: Force, span: Length, radius: Length, belts: Ratio = "1"
) -> TorsionalStiffness:
    """Torsional stiffness of a belt drive at one of its pulleys. Formula: k = 2 n c r^2 / L.

    Parameters
    ----------
    axial_rigidity : Force
        of one belt: pull over the part of its length by which it stretches (modulus times section), from its maker, or
        by hanging a weight on a length of it.
    span : Length
        of a free run, from pulley to pulley.
    radius : Length
        pitch radius of the pulley at whose shaft the stiffness is to count.
    belts : Ratio
        beside each other.

    Returns
    -------
    TorsionalStiffness
        At that pulley's shaft. Both runs count: the tight one stretches as much as the slack one gives back.

    Notes
    -----
    It holds as long as the slack run stays taut; on the pulleys the belt gives a little more. A belt is stiffer for
    quick changes than under a weight that hangs still, by a quarter or more (common practice, no source).

    Examples
    --------
    2 x 4 x 20,000 lbf x 4.5 in x 4.5 in / 23.9 in = 135,565 lbf in = 11,297 lbf ft.

    >>> from rotorkit.quantities import say
    >>> say(belt_torsional_stiffness("20000 lbf", "23.9 in", "4.5 in", 4), "lbf*ft/rad", digits=5)
    '11,297 lbf·ft/rad'
    """
    return 2 * belts * axial_rigidity * radius**2 / span


_LAG = {
    "blades": "N", "mass": "m", "centre_of_gravity": "c", "offset": "e", "inertia": "I", "spring": "k",
    "hub_inertia": "I_h", "rotor_speed": r"\Omega",
}  # fmt: skip
_LAG_VALID = {
    "blades": ("1", "8"), "mass": ("1 g", "1000 kg"), "centre_of_gravity": ("1 mm", "20 m"), "offset": ("0 m", "5 m"),
    "inertia": ("1e-6 kg*m^2", None), "spring": ("0 N*m/rad", None), "hub_inertia": ("0 kg*m^2", None),
    "rotor_speed": ("0 rpm", "20000 rpm"),
}  # fmt: skip


def _lag(*names: str) -> Any:
    shown = {name: ("in", "mm") for name in ("centre_of_gravity", "offset") if name in names}
    return {"letters": {name: _LAG[name] for name in names}, "valid": {name: _LAG_VALID[name] for name in names},
            "shown": shown}  # fmt: skip


@formula(source=sources.ARITHMETIC.at("Lagrange's equations of hub and lagging blades"), result="I_1",
         **_lag("hub_inertia", "blades", "mass", "centre_of_gravity", "offset", "inertia"))  # fmt: skip
def hub_inertia_beside_lagging_blades(
    hub_inertia: MomentOfInertia, blades: Ratio, mass: Mass, centre_of_gravity: Length, offset: Length,
    inertia: MomentOfInertia,
) -> MomentOfInertia:  # fmt: skip
    """Inertia of the hub as a disc of a torsional train whose blades, all alike, lag on hinges.

    Formula: I1 = Ih + N e^2 (m - (m c)^2 / I).

    Hub and blades together are exactly two discs on a spring: this one, `lagging_blades_inertia` on the other, and
    `lagging_blades_stiffness` between. Both add up to hub and blades as one rigid body.

    Parameters
    ----------
    hub_inertia : MomentOfInertia
        of hub and grips inside the hinges.
    blades : Ratio
        their number.
    mass, centre_of_gravity, inertia : Mass, Length, MomentOfInertia
        of one blade beyond its hinge: its mass, how far out of the hinge its centre of gravity lies, about the hinge.
    offset : Length
        of the hinge from the shaft's axis.

    Returns
    -------
    MomentOfInertia
        At the rotor's speed.

    Notes
    -----
    Small angles, blades rigid beyond the hinge. Derived: the kinetic energy of hub angle p and lag z is
    Ih p'^2/2 + N (m e^2 p'^2 + 2 e m c p'(p' + z') + I (p' + z')^2)/2; with q = (I (p + z) + e m c p)/(I + e m c) for
    the other disc's angle the mixed term is gone.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(hub_inertia_beside_lagging_blades("1 kg*m^2", 2, "10 kg", "2 m", "0.1 m", "60 kg*m^2"), "kg*m^2", digits=4)
    '1.067 kg·m²'
    """
    return hub_inertia + blades * offset**2 * (mass - (mass * centre_of_gravity) ** 2 / inertia)


@formula(source=sources.ARITHMETIC.at("Lagrange's equations of hub and lagging blades"), result="I_2",
         **_lag("blades", "mass", "centre_of_gravity", "offset", "inertia"))  # fmt: skip
def lagging_blades_inertia(
    blades: Ratio, mass: Mass, centre_of_gravity: Length, offset: Length, inertia: MomentOfInertia
) -> MomentOfInertia:
    """Inertia of blades that lag together, as a disc of a torsional train. Formula: I2 = N (I + e m c)^2 / I.

    Parameters
    ----------
    blades, mass, centre_of_gravity, offset, inertia : Ratio, Mass, Length, Length, MomentOfInertia
        as in `hub_inertia_beside_lagging_blades`.

    Returns
    -------
    MomentOfInertia
        At the rotor's speed.

    Examples
    --------
    2 x (60 + 0.1 x 10 x 2)^2 / 60 = 128.1.

    >>> from rotorkit.quantities import say
    >>> say(lagging_blades_inertia(2, "10 kg", "2 m", "0.1 m", "60 kg*m^2"), "kg*m^2", digits=4)
    '128.1 kg·m²'
    """
    return blades * (inertia + offset * mass * centre_of_gravity) ** 2 / inertia


@formula(source=sources.ARITHMETIC.at("Lagrange's equations of hub and lagging blades"), result="k_2",
         **_lag("blades", "spring", "mass", "centre_of_gravity", "offset", "inertia", "rotor_speed"))  # fmt: skip
def lagging_blades_stiffness(
    blades: Ratio, spring: TorsionalStiffness, mass: Mass, centre_of_gravity: Length, offset: Length,
    inertia: MomentOfInertia, rotor_speed: RotationRate,
) -> TorsionalStiffness:  # fmt: skip
    """Stiffness between hub and blades that lag together. Formula: k2 = N (k + m c e W^2) (1 + e m c / I)^2.

    Parameters
    ----------
    blades, mass, centre_of_gravity, offset, inertia : Ratio, Mass, Length, Length, MomentOfInertia
        as in `hub_inertia_beside_lagging_blades`.
    spring : TorsionalStiffness
        of one blade's hinge; of a blade without a hinge what its root gives.
    rotor_speed : RotationRate
        W: the pull outwards swings a blade back about a hinge that lies off the axis.

    Returns
    -------
    TorsionalStiffness
        At the rotor's speed.

    Examples
    --------
    With the hub held and no spring an even blade of 1 m on a hinge at 0.1 m swings at sqrt(1.5 x 0.1) = 0.387 of the
    speed: (k2 / I2) is 0.15 of its square.

    >>> blade = (1, "0 N*m/rad", "3 kg", "0.5 m", "0.1 m", "1 kg*m^2", "10 rad/s")
    >>> stiffness = float(lagging_blades_stiffness(*blade).magnitude)
    >>> inertia = float(lagging_blades_inertia(1, "3 kg", "0.5 m", "0.1 m", "1 kg*m^2").magnitude)
    >>> round(stiffness / inertia, 6)
    15.0
    """
    leverage = 1 + offset * mass * centre_of_gravity / inertia
    return blades * (spring + mass * centre_of_gravity * offset * rotor_speed**2) * leverage**2


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
    is zero for a train that is free to turn. names: the rotors. shapes: for each mode, the twist of each rotor at its
    own shaft's speed, the largest being 1; an array of (modes, rotors).
    """

    frequencies: Any
    names: tuple[str, ...]
    shapes: Any

    @property
    def hertz(self) -> Any:
        """The frequencies as a quantity in Hz."""
        return from_si(self.frequencies.magnitude / (2 * np.pi), Frequency)

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
    values = np.where(values < 1e-13 * max(abs(values).max(), 1e-30), 0.0, values)
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
    """Torque left over at the far end of a free chain that is shaken at `frequency`: zero at a natural frequency.

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


@dataclass(frozen=True)
class TorsionalTrain:
    """A train that is free to turn, all of it referred to one shaft's speed; made by `torsional_train`. Bare SI arrays.

    names: the discs. inertias: of each. ends: the two discs of each spring, by their places. stiffnesses: of each
    spring at rest; turning: what each gains for a rotor speed of 1 rad/s, by its square. Many trains of the same discs
    and springs stand in a first axis of all three; `at` and `crossings` take them.
    """

    names: tuple[str, ...]
    inertias: Any
    ends: tuple[tuple[int, int], ...]
    stiffnesses: Any
    turning: Any

    def _springs(self, speeds: Any) -> Any:
        """The stiffness matrix at each rotor speed."""
        each = self.stiffnesses + self.turning * np.asarray(speeds, dtype=float)[..., None] ** 2
        twists = np.zeros((len(self.ends), len(self.names)))  # of each spring, by the discs
        at = np.arange(len(self.ends))
        twists[at, [i for i, _ in self.ends]], twists[at, [j for _, j in self.ends]] = 1.0, -1.0
        return np.asarray((twists.T * each[..., None, :]) @ twists)

    def frequencies(self, rotor_speed: Any = "0 rpm") -> Any:
        """Natural frequencies at one rotor speed, or at many in one call.

        Parameters
        ----------
        rotor_speed : RotationRate
            one, or an array: it stiffens what the blades' pull stiffens.

        Returns
        -------
        RotationRate
            rad/s, ascending, the turning as a whole (zero) left out: shape (discs - 1,) or (speeds, discs - 1).
        """
        return from_si(self.at(np.asarray(si_of(rotor_speed, _RATE, "rotor_speed")[0], dtype=float)), _RATE)

    def at(self, speed: Any) -> Any:
        """`frequencies` of bare rad/s; of many trains each at a speed of its own."""
        root = np.sqrt(self.inertias)
        values = np.linalg.eigvalsh(self._springs(speed) / (root[..., :, None] * root[..., None, :]))
        return np.sqrt(np.maximum(values[..., 1:], 0.0))

    def modes(self, rotor_speed: Any = "0 rpm") -> TorsionalModes:
        """Modes with their shapes at one rotor speed, the turning as a whole first."""
        speed = float(si_of(rotor_speed, _RATE, "rotor_speed")[0])
        values, vectors = _modes(np.diag(self.inertias), self._springs(speed))
        shapes = vectors.T
        largest = np.abs(shapes).argmax(axis=1)
        shapes = shapes / shapes[np.arange(len(shapes)), largest][:, None]
        return TorsionalModes(from_si(np.sqrt(values), _RATE), self.names, shapes)

    def crossing(self, mode: int, order: float) -> float:
        """The rotor speed, bare rad/s, at which a mode is shaken by what comes `order` times in a turn of the rotor.

        mode: 1 for the slowest but the turning as a whole. Not a number where they never meet.
        """

        return float(self.crossings([mode], [order])[0])

    def crossings(self, modes: Any, orders: Any) -> Any:
        """`crossing` of several modes, each with an order of its own, all at once: shape (crossings,), or (crossings,
        trains) of many trains."""
        many = np.ndim(self.inertias) > 1
        trains = len(self.inertias) if many else 1
        each = [np.atleast_2d(one) for one in (self.inertias, self.stiffnesses, self.turning)]
        each = [np.broadcast_to(one, (trains, one.shape[-1])) for one in each]
        of = np.tile(np.arange(trains), len(modes))
        mode = np.repeat(np.asarray(modes, dtype=int) - 1, trains)
        order = np.repeat(np.asarray(orders, dtype=float), trains)

        def apart(which: Any, speeds: Any) -> Any:
            inertias, stiffnesses, turning = (one[of[which]] for one in each)
            found = replace(self, inertias=inertias, stiffnesses=stiffnesses, turning=turning).at(speeds)
            return found[np.arange(len(which)), mode[which]] - order[which] * speeds

        every = np.arange(len(of))
        at_rest = apart(every, np.zeros(len(of))) / order
        found = _secants(apart, at_rest)

        def alone(k: int) -> Callable[[float], float]:
            return lambda speed: float(apart(np.array([k]), np.array([speed]))[0])

        for k in np.flatnonzero(np.isnan(found)):
            found[k] = _bracketed(alone(int(k)), float(at_rest[k]))
        return found.reshape(len(modes), trains) if many else found

    def shaken(self, place: str, torque: float, frequency: float, speed: float) -> dict[tuple[str, str], float]:
        """Swing of the torque in each spring, bare SI at the common speed, where one disc is shaken.

        place: the disc shaken. torque: swing of the torque on it, N m; frequency: of it, rad/s; speed: of the rotor,
        rad/s. Without damping: near a resonance it is far too much, and at one there is no answer (infinite).
        """
        force = np.zeros(len(self.names))
        force[self.names.index(place)] = torque
        matrix = self._springs(speed) - frequency**2 * np.diag(self.inertias)
        try:
            twist = np.linalg.solve(matrix, force)
        except np.linalg.LinAlgError:
            twist = np.full(len(self.names), np.inf)
        each = self.stiffnesses + self.turning * speed**2
        with np.errstate(invalid="ignore"):
            return {
                (self.names[i], self.names[j]): abs(float(np.nan_to_num(k * (twist[i] - twist[j]), nan=np.inf)))
                for k, (i, j) in zip(each, self.ends, strict=True)
            }


def _secants(apart: Callable[[Any, Any], Any], starts: Any) -> Any:
    """The roots near starts from which they lie not far, all at once by secants; not a number where they do not settle.

    apart: of the places of some of them, and of where these stand.
    """
    found = np.full(len(starts), np.nan)
    which = np.flatnonzero(starts)
    before = starts[which]
    off_before, now = apart(which, before), before * (1 + 1e-3)
    for _ in range(12):
        if not len(which):
            break
        off = apart(which, now)
        met = np.where(off_before == 0, before, np.where(off == 0, now, np.nan))
        with np.errstate(divide="ignore", invalid="ignore"):
            slope = (off - off_before) / (now - before)
            then = now - off / slope
        start = starts[which]
        near = (slope < 0) & (start / 2 < then) & (then < 8 * start)
        met = np.where(np.isnan(met) & near & (np.abs(then - now) <= 1e-13 * then), then, met)
        found[which] = met
        on = np.isnan(met) & near
        which, before, off_before, now = which[on], now[on], off[on], then[on]
    return found


def _bracketed(apart: Callable[[float], float], at_rest: float) -> float:
    """The root above zero, bracketed by doubling; not a number where there is none."""
    from scipy.optimize import brentq

    low, high = 1e-6, max(float(at_rest), 1.0)
    for _ in range(12):
        if apart(high) < 0 < apart(low):
            return float(brentq(apart, low, high, rtol=1e-13))
        high *= 2
    return float("nan")


def torsional_train(
    inertias: Mapping[str, Any],
    springs: Sequence[tuple[str, str, Any]],
    turning: Mapping[tuple[str, str], Any] | None = None,
) -> TorsionalTrain:
    """A train of discs on springs that is free to turn, all of it referred to one shaft's speed.

    Parameters
    ----------
    inertias : mapping of str to MomentOfInertia
        each disc by name, above zero; what turns at another speed by `referred_inertia`.
    springs : sequence of (str, str, TorsionalStiffness)
        between two discs; of another shaft's speed by `referred_stiffness`.
    turning : mapping of (str, str) to MomentOfInertia or None
        what a spring gains in N m for a rotor speed of 1 rad/s, by the square of the speed (lagging blades:
        `lagging_blades_stiffness` of 1 rad/s less that of zero).

    Returns
    -------
    TorsionalTrain
        whose `frequencies`, `modes`, `crossing` and `shaken` give the figures.

    Raises
    ------
    QuantityError
        a name is unknown, an inertia is zero, or the discs do not hang together.

    Notes
    -----
    Linear, without damping, teeth and clutches without play.

    Examples
    --------
    Two equal discs: sqrt(2 k / I). Order 2 of the same shaft shakes them at half of that.

    >>> found = torsional_train({"a": "1 kg*m^2", "b": "1 kg*m^2"}, [("a", "b", "1000 N*m/rad")])
    >>> round(float(found.frequencies().magnitude[0]), 4), round(found.crossing(1, 2.0), 4)
    (44.7214, 22.3607)
    """
    names = tuple(inertias)
    for name in [n for link in springs for n in link[:2]]:
        if name not in inertias:
            raise QuantityError(f"torsional_train: there is no disc {name!r}: they are {', '.join(names)}")
    if len(names) < 2:
        raise QuantityError("torsional_train: needs two discs or more")
    masses = _figures([inertias[name] for name in names], _INERTIA, "inertias")
    ends = tuple((names.index(one), names.index(other)) for one, other, _ in springs)
    stiffnesses = _figures([k for *_, k in springs], _STIFFNESS, "springs")
    gained = turning or {}
    gains = np.array(
        [float(si_of(gained[one, other], _INERTIA, "turning")[0]) if (one, other) in gained else 0.0
         for one, other, _ in springs]
    )  # fmt: skip
    joined = {0}
    while more := {b for pair in ends for a, b in (pair, pair[::-1]) if a in joined} - joined:
        joined |= more
    if lost := [name for i, name in enumerate(names) if i not in joined]:
        raise QuantityError(f"torsional_train: no spring leads from {names[0]} to {', '.join(lost)}")
    return TorsionalTrain(names, masses, ends, stiffnesses, gains)
