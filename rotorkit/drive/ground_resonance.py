"""Ground resonance: the hub on its landing gear and the blades in lag, and whether they drive each other to
destruction.

**A screening, never a clearance.** Linear, rigid blades on lag hinges, a hub that moves in its plane on springs and
dampers; landing gear, tyres, and dampers are none of them linear, and their state on the day decides.

Derivation. The hub is at (x, y); blade k at the azimuth psi_k = Omega t + 2 pi k / N lags by zeta_k. A piece of the
blade at r beyond the hinge at e stands at e (cos psi, sin psi) + r (cos(psi + zeta), sin(psi + zeta)) from the hub,
zeta counted in the direction of turning. With S = integral r dm and I = integral r^2 dm, Lagrange's equations of the
kinetic energy give, linear in all that moves:

    I zeta'' + c zeta' + (k + e S Omega^2) zeta = S (x'' sin psi - y'' cos psi)
    (M_x + N m) x'' + c_x x' + k_x x =  S sum[(zeta'' - Omega^2 zeta) sin psi + 2 Omega zeta' cos psi]
    (M_y + N m) y'' + c_y y' + k_y y = -S sum[(zeta'' - Omega^2 zeta) cos psi - 2 Omega zeta' sin psi]

With like blades, three or more, zeta_c = 2/N sum zeta cos psi and zeta_s = 2/N sum zeta sin psi make the coefficients
constant: eigenvalues tell. Where blades differ, as with one damper out of work, the coefficients repeat every turn, and
Floquet's multipliers tell: the state is carried through one turn from each unit state.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from rotorkit import sources
from rotorkit.formula import formula, log, pi, sqrt
from rotorkit.formula.contract import contract, si_of
from rotorkit.quantities import (
    Damping,
    Force,
    Frequency,
    Length,
    Mass,
    MassMoment,
    MomentOfInertia,
    QuantityError,
    Ratio,
    RotationRate,
    Stiffness,
    TorsionalDamping,
    TorsionalStiffness,
    from_si,
    required_kind,
)

_RATE = required_kind(RotationRate)
STEPS_PER_TURN = 120
MOST_STEPS = 6000
FASTEST_STEP = 0.25
"""The fastest motion goes on by so many radians in a step at most: more steps a turn where the rotor is slow. Of an
undamped motion a step of x radians keeps 1 - x^6/72 + x^8/576 of the square of its size: too little for long steps, and
too much beyond 2 sqrt(2) radians, where every motion grows."""
STEPS_AT_ONCE = 16
"""Of so many steps the coefficients are worked out together: few calls, and little memory however many steps."""


@dataclass(frozen=True)
class UnstableRange:
    """Rotor speeds between which the motion grows, as quantities, with the fastest growth in 1/s between them."""

    low: Any
    high: Any
    growth: float


@dataclass(frozen=True)
class GroundResonance:
    """A rotor on its landing gear, bare SI figures; made by `ground_resonance`. Dampers and springs are one for each
    blade; hub figures are (x, y)."""

    blades: int
    blade_mass: float
    static_moment: float
    inertia: float
    offset: float
    lag_springs: tuple[float, ...]
    lag_dampers: tuple[float, ...]
    hub_mass: tuple[float, float]
    hub_stiffness: tuple[float, float]
    hub_damping: tuple[float, float]

    @property
    def alike(self) -> bool:
        """Whether all blades are alike, so that eigenvalues in the fixed frame tell."""
        return len(set(self.lag_springs)) == 1 and len(set(self.lag_dampers)) == 1

    def without_damper(self, blade: int) -> GroundResonance:
        """The same rotor with the lag damper of one blade (1, 2, ...) failed."""
        if not 1 <= blade <= self.blades:
            raise QuantityError(f"without_damper: blade must be from 1 to {self.blades}, got {blade}")
        dampers = tuple(0.0 if k == blade - 1 else c for k, c in enumerate(self.lag_dampers))
        return _copy(self, lag_dampers=dampers)

    def scaled(self, lag_dampers: float = 1.0, hub_dampers: float = 1.0, hub_springs: float = 1.0) -> GroundResonance:
        """The same rotor with its lag dampers, or the damping or stiffness of its landing gear, times a factor: worn
        dampers, a flat tyre, a low oleo."""
        return _copy(
            self,
            lag_dampers=tuple(lag_dampers * c for c in self.lag_dampers),
            hub_damping=tuple(hub_dampers * c for c in self.hub_damping),
            hub_stiffness=tuple(hub_springs * k for k in self.hub_stiffness),
        )

    def eigenvalues(self, rotor_speed: Any) -> Any:
        """Eigenvalues of like blades in the fixed frame: real part the growth (1/s), imaginary part the frequency
        (rad/s); a plain complex array (speeds, 8)."""
        if not self.alike:
            raise QuantityError("eigenvalues: the blades differ; growth goes by Floquet's multipliers then")
        if self.blades < 3:
            raise QuantityError("eigenvalues: two blades have no fixed-frame equations; growth goes by Floquet then")
        speeds = np.atleast_1d(np.asarray(si_of(rotor_speed, _RATE, "rotor_speed")[0], dtype=float))
        count, s, i, w = self.blades, self.static_moment, self.inertia, speeds
        half = count * s / 2
        mass = np.array(
            [
                [i, 0, 0, s],
                [0, i, -s, 0],
                [0, -half, self.hub_mass[0] + count * self.blade_mass, 0],
                [half, 0, 0, self.hub_mass[1] + count * self.blade_mass],
            ]
        )
        c, k = self.lag_dampers[0], self.lag_springs[0]
        stiff = k + self.offset * s * w**2
        damping, spring = np.zeros((2, len(w), 4, 4))
        damping[:, 0, 0] = damping[:, 1, 1] = c
        damping[:, 0, 1], damping[:, 1, 0] = 2 * i * w, -2 * i * w
        damping[:, 2, 2], damping[:, 3, 3] = self.hub_damping
        spring[:, 0, 0] = spring[:, 1, 1] = stiff - i * w**2
        spring[:, 0, 1], spring[:, 1, 0] = c * w, -c * w
        spring[:, 2, 2], spring[:, 3, 3] = self.hub_stiffness
        inverse = np.linalg.inv(mass)
        state = np.zeros((len(w), 8, 8))
        state[:, :4, 4:] = np.eye(4)
        state[:, 4:, :4], state[:, 4:, 4:] = -inverse @ spring, -inverse @ damping
        return np.linalg.eigvals(state)

    def multipliers(self, rotor_speed: Any) -> Any:
        """Floquet's multipliers over one turn of the rotor, whatever the blades: complex array (speeds, 2 N + 4).
        The motion grows where one is larger than 1. Raises `QuantityError` where the rotor turns so slowly, beside how
        fast its hub or blades swing, that a turn would take more than `MOST_STEPS` steps."""
        speeds = np.atleast_1d(np.asarray(si_of(rotor_speed, _RATE, "rotor_speed")[0], dtype=float))
        if (speeds <= 0).any():
            raise QuantityError("multipliers: rotor_speed must be above zero")
        n, size = self.blades, self.blades + 2
        here = self._slopes(speeds, np.zeros(1))[0]
        whole = np.zeros((len(speeds), 2 * size, 2 * size))
        whole[:, :size, size:], whole[:, size:] = np.eye(size), here
        fastest = float(np.abs(np.linalg.eigvals(whole)).max())
        steps = max(STEPS_PER_TURN, int(np.ceil(2 * np.pi * fastest / FASTEST_STEP)))
        if steps > MOST_STEPS:
            raise QuantityError(
                "multipliers: rotor_speed is too slow for the fastest motion of this rotor and landing gear; "
                f"take {float(speeds.min() * steps / MOST_STEPS) * 30 / np.pi:.3g} rpm or more"
            )
        # like blades: after a part of the turn each stands where the next one stood, and that part tells all
        like = all((np.asarray(one) == one[0]).all() for one in (self.lag_springs, self.lag_dampers))
        parts = n if like else 1
        count = -(-steps // parts)
        step = 2 * np.pi / (parts * count)
        state = np.broadcast_to(np.eye(2 * size), (len(speeds), 2 * size, 2 * size))
        for first in range(0, count, STEPS_AT_ONCE):
            last = min(first + STEPS_AT_ONCE, count)
            slopes = self._slopes(speeds, np.arange(2 * first + 1, 2 * last + 1) / 2 * step)
            for middle, end in zip(slopes[::2], slopes[1::2], strict=True):
                state = _one_step(state, here, middle, end, step)
                here = end
        if parts > 1:
            before = np.array([*np.roll(range(n), 1), n, n + 1])
            state = state[:, [*before, *(size + before)]]
        return np.linalg.eigvals(state) ** parts

    def _slopes(self, speeds: Any, azimuths: Any) -> Any:
        """Second derivatives of blades and hub by the azimuth, from where they stand and from their first derivatives:
        array (azimuths, speeds, N + 2, 2 N + 4)."""
        n = self.blades
        # figures of several rotors of as many blades, a speed for each, stand in the last axis of every field
        s, inertia = (np.asarray(one)[..., None] for one in (self.static_moment, self.inertia))
        dampers, springs = (np.moveaxis(np.asarray(one), 0, -1) for one in (self.lag_dampers, self.lag_springs))
        psi = azimuths[:, None] + 2 * np.pi * np.arange(n) / n
        sine, cosine = np.sin(psi)[:, None], np.cos(psi)[:, None]
        w, blade, rate = speeds[:, None], np.arange(n), n + 2
        force = np.zeros((len(azimuths), len(speeds), n + 2, 2 * n + 4))
        force[..., blade, blade] = -(springs + np.asarray(self.offset)[..., None] * s * w**2)
        force[..., blade, rate + blade] = -dampers * w
        for i, (along, across) in enumerate(((sine, cosine), (-cosine, sine))):
            at = n + i
            force[..., at, :n], force[..., at, rate : rate + n] = -s * w**2 * along, 2 * s * w**2 * across
            force[..., at, at] = -np.asarray(self.hub_stiffness[i])
            force[..., at, rate + at] = -np.asarray(self.hub_damping[i]) * speeds
        # inertia: each blade pulls at the hub by S times these; the hub's share is found first, then each blade's
        pull = np.stack(np.broadcast_arrays(-s * sine, s * cosine), axis=-1)
        swing = inertia[..., None]
        hub = force[..., n:, :] - np.swapaxes(pull, -1, -2) @ force[..., :n, :] / swing
        square, shared = (pull**2).sum(axis=-2), (pull[..., 0] * pull[..., 1]).sum(axis=-1)
        own = [np.asarray(one) + n * np.asarray(self.blade_mass) for one in self.hub_mass]
        x, y = (own[i] - square[..., i] / inertia[..., 0] for i in (0, 1))
        xy = -shared / inertia[..., 0]
        x, y, xy = (one[..., None] / (x * y - xy**2)[..., None] for one in (x, y, xy))
        hub = np.stack((y * hub[..., 0, :] - xy * hub[..., 1, :], x * hub[..., 1, :] - xy * hub[..., 0, :]), axis=-2)
        blades = (force[..., :n, :] - pull @ hub) / swing
        return np.concatenate((blades, hub), axis=-2) / (w**2)[..., None]

    def growth(self, rotor_speed: Any) -> Any:
        """Fastest growth of any motion at each rotor speed, 1/s: negative where all of them die away. Eigenvalues for
        three or more like blades, Floquet's multipliers otherwise."""
        if self.alike and self.blades >= 3:
            found = self.eigenvalues(rotor_speed).real.max(axis=-1)
            speeds = np.atleast_1d(np.asarray(si_of(rotor_speed, _RATE, "rotor_speed")[0], dtype=float))
            # all blades together, and blades against each other, move no hub: each is a damped blade by itself
            c, spring = self.lag_dampers[0], self.lag_springs[0] + self.offset * self.static_moment * speeds**2
            alone = (-c + np.sqrt((c**2 - 4 * self.inertia * spring).astype(complex)).real) / (2 * self.inertia)
            return np.maximum(found, alone)
        speeds = np.atleast_1d(np.asarray(si_of(rotor_speed, _RATE, "rotor_speed")[0], dtype=float))
        largest = np.abs(self.multipliers(rotor_speed)).max(axis=-1)
        return np.log(largest) * speeds / (2 * np.pi)

    def loss_per_turn(self, rotor_speed: Any) -> Any:
        """What part of the motion that lasts longest is gone after one turn of the rotor, at each speed: a plain array,
        below zero where that motion grows."""
        speeds = np.atleast_1d(np.asarray(si_of(rotor_speed, _RATE, "rotor_speed")[0], dtype=float))
        return 1 - np.exp(self.growth(rotor_speed) * 2 * np.pi / speeds)

    def unstable_ranges(self, low: Any, high: Any, points: int = 400, threshold: float = 1e-3) -> list[UnstableRange]:
        """Rotor speeds between `low` and `high` where the motion grows by more than `threshold` (1/s).

        Ranges narrower than a step, (high - low) / points, may be missed.
        """
        first, last = (float(si_of(end, _RATE, name)[0]) for end, name in ((low, "low"), (high, "high")))
        if not 0 < first < last:
            raise QuantityError("unstable_ranges: low must be above zero and below high")
        speeds = np.linspace(first, last, points)
        growth = self.growth(from_si(speeds, _RATE))
        grows = growth > threshold
        found, edges, k = [], [], 0
        while k < points:
            if not grows[k]:
                k += 1
                continue
            start = k
            while k < points and grows[k]:
                k += 1
            edges.append((speeds[max(start - 1, 0)], speeds[start]))
            edges.append((speeds[min(k, points - 1)], speeds[k - 1]))
            found.append(float(growth[start:k].max()))
        if not found:
            return []
        calm, growing = np.array(edges).T  # narrowed all at once
        for _ in range(14):
            middle = (calm + growing) / 2
            grows = self.growth(from_si(middle, _RATE)) > threshold
            calm, growing = np.where(grows, calm, middle), np.where(grows, middle, growing)
        ends = (calm + growing) / 2
        return [
            UnstableRange(from_si(float(a), _RATE), from_si(float(b), _RATE), most)
            for a, b, most in zip(ends[::2], ends[1::2], found, strict=True)
        ]


def losses_together(rotors: Sequence[GroundResonance], rotor_speeds: Any) -> Any:
    """`GroundResonance.loss_per_turn` of several rotors of as many blades, each at a speed of its own, all at once by
    Floquet's multipliers: a plain array, one for each.

    Examples
    --------
    >>> rotor = ground_resonance(4, "94.9 kg", "289.1 kg*m", "1084.7 kg*m^2", "0.3048 m", "0 N*m/rad", "4067 N*m*s/rad",
    ...     "8026.6 kg", "3283.6 kg", "1240481.8 N/m", "1240481.8 N/m", "51078 N*s/m", "25539 N*s/m")
    >>> both = [rotor, rotor.scaled(lag_dampers=0.1)]
    >>> losses_together(both, from_si(np.array([25.0, 25.0]), _RATE)).round(2).tolist()
    [0.09, -0.23]
    """
    if len({one.blades for one in rotors}) != 1:
        raise QuantityError("losses_together: rotors must be given, all of as many blades")
    first = rotors[0]
    pairs = ("hub_mass", "hub_stiffness", "hub_damping", "lag_springs", "lag_dampers")
    single = ("blade_mass", "static_moment", "inertia", "offset")
    stacked = {name: np.array([getattr(one, name) for one in rotors]) for name in single}
    stacked |= {name: np.array([getattr(one, name) for one in rotors]).T for name in pairs}
    return 1 - np.abs(_copy(first, **stacked).multipliers(rotor_speeds)).max(axis=-1)


def _one_step(state: Any, here: Any, middle: Any, end: Any, step: float) -> Any:
    """One of Runge and Kutta's fourth-order steps in azimuth, all speeds at once, for y'' = a y + b y': state, y over
    y'; here, middle, end, (a, b) at the beginning, in the middle and at the end of the step."""
    size = here.shape[-2]
    place, rate, half = state[:, :size], state[:, size:], step / 2
    first = here @ state
    trial = np.empty_like(state)
    np.add(place, half * rate, out=trial[:, :size])
    np.add(rate, half * first, out=trial[:, size:])
    second = middle @ trial
    trial[:, :size] += half**2 * first
    np.add(rate, half * second, out=trial[:, size:])
    third = middle @ trial
    np.add(place, step * rate + 2 * half**2 * second, out=trial[:, :size])
    np.add(rate, step * third, out=trial[:, size:])
    fourth = end @ trial
    second += third
    np.add(place, step * rate + step**2 / 6 * (first + second), out=trial[:, :size])
    np.add(rate, step / 6 * (first + 2 * second + fourth), out=trial[:, size:])
    return trial


def _copy(one: GroundResonance, **changes: Any) -> GroundResonance:
    from dataclasses import replace

    return replace(one, **changes)


@formula(source=sources.DEFINITION.at("stiffness"), letters={"force": "F", "deflection": "x"}, result="k",
         valid={"force": ("0 N", None), "deflection": ("0.001 mm", None)},
         shown={"deflection": ("in", "mm")})  # fmt: skip
def pull_stiffness(force: Force, deflection: Length) -> Stiffness:
    """Stiffness of the aircraft on its gear, as felt at the hub: a pull over how far the hub moves.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(pull_stiffness("60 lbf", "0.50 in"), "lbf/in", digits=4)
    '120.0 lbf/in'
    """
    return force / deflection


@formula(source=sources.VIBRATION.at("logarithmic decrement"),
         letters={"first": "x_0", "last": "x_n", "swings": "n"}, result=r"\zeta",
         valid={"first": ("last", None), "last": ("0.001 mm", None), "swings": ("0.5", "200")},
         shown={"first": ("in", "mm"), "last": ("in", "mm")})  # fmt: skip
def decay_damping_ratio(first: Length, last: Length, swings: Ratio) -> Ratio:
    """Damping ratio from how a free swing dies away. Formula: d = ln(x0 / xn) / n, zeta = d / sqrt(4 pi^2 + d^2).

    Parameters
    ----------
    first, last : Length
        how far it swings out, to one side, at first and after the counted swings; `first` the larger.
    swings : Ratio
        whole swings, there and back, between the two.

    Returns
    -------
    Ratio
        1 is critical damping.

    Examples
    --------
    Half gone after one swing: d = 0.6931, zeta = 0.1097.

    >>> from rotorkit.quantities import say
    >>> say(decay_damping_ratio("2 in", "1 in", 1), digits=4)
    '0.1097'
    """
    return (log(first / last) / swings) / sqrt(4 * pi**2 + (log(first / last) / swings) ** 2)


@formula(source=sources.VIBRATION.at("one mass on a spring, damped"),
         letters={"stiffness": "k", "frequency": "f", "damping_ratio": r"\zeta"}, result="m",
         valid={"stiffness": ("1 N/m", None), "frequency": ("0.01 Hz", None),
                "damping_ratio": ("0", "0.9")})  # fmt: skip
def swinging_mass(stiffness: Stiffness, frequency: Frequency, damping_ratio: Ratio = "0") -> Mass:
    """Mass at the hub that swings as the aircraft does on its gear. Formula: m = k (1 - zeta^2) / (2 pi f)^2.

    Whatever is on the hub in the test counts, blades included. `frequency`: of the free, damped swing.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(swinging_mass("120 lbf/in", "2 Hz"), "lb", digits=4)
    '293.4 lb'
    """
    return stiffness * (1 - damping_ratio**2) / (2 * pi * frequency) ** 2


@formula(source=sources.VIBRATION.at("one mass on a spring, damped"),
         letters={"damping_ratio": r"\zeta", "stiffness": "k", "mass": "m"}, result="c",
         valid={"damping_ratio": ("0", "0.9"), "stiffness": ("1 N/m", None), "mass": ("0.01 kg", None)})  # fmt: skip
def hub_damping(damping_ratio: Ratio, stiffness: Stiffness, mass: Mass) -> Damping:
    """Damping of the aircraft on its gear, as felt at the hub. Formula: c = 2 zeta sqrt(k m), m all that swung.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(hub_damping("0.1", "120 lbf/in", "293.4 lb"), "lbf*s/in", digits=4)
    '1.910 lbf·s/in'
    """
    return 2 * damping_ratio * sqrt(stiffness * mass)


@contract
def ground_resonance(
    blades: Ratio,
    blade_mass: Mass,
    static_moment: MassMoment,
    blade_inertia: MomentOfInertia,
    hinge_offset: Length,
    lag_spring: TorsionalStiffness,
    lag_damper: TorsionalDamping,
    hub_mass_x: Mass,
    hub_mass_y: Mass,
    hub_stiffness_x: Stiffness,
    hub_stiffness_y: Stiffness,
    hub_damping_x: Damping,
    hub_damping_y: Damping,
) -> GroundResonance:
    """A rotor on its landing gear, to be screened for ground resonance.

    Parameters
    ----------
    blades : Ratio
        their number, two or more.
    blade_mass : Mass
        of one blade beyond its lag hinge.
    static_moment : MassMoment
        of one blade about its lag hinge: mass times the distance of its centre of gravity.
    blade_inertia : MomentOfInertia
        of one blade about its lag hinge.
    hinge_offset : Length
        of the lag hinge from the shaft's axis.
    lag_spring, lag_damper : TorsionalStiffness, TorsionalDamping
        of each blade at its hinge.
    hub_mass_x, hub_mass_y : Mass
        what moves with the hub sideways and lengthwise, the blades NOT counted in: they are added.
    hub_stiffness_x, hub_stiffness_y, hub_damping_x, hub_damping_y : Stiffness, Damping
        of the aircraft on its gear, as felt at the hub.

    Returns
    -------
    GroundResonance
        whose `growth`, `eigenvalues`, `multipliers` and `unstable_ranges` answer.

    Notes
    -----
    Derived in the module's text; checked against the data of Hammond (1974). A screening, never a clearance.

    Examples
    --------
    Hammond's rotor without any damping: two ranges, about 135 to 184 and 201 to 306 rpm.

    >>> rotor = ground_resonance(4, "94.9 kg", "289.1 kg*m", "1084.7 kg*m^2", "0.3048 m", "0 N*m/rad", "0 N*m*s/rad",
    ...     "8026.6 kg", "3283.6 kg", "1240481.8 N/m", "1240481.8 N/m", "0 N*s/m", "0 N*s/m")
    >>> [tuple(round(float(end.to("rpm").magnitude)) for end in (one.low, one.high))
    ...     for one in rotor.unstable_ranges("100 rpm", "350 rpm", 100)]
    [(135, 184), (201, 306)]
    """
    number = round(blades)
    if number < 2 or abs(number - blades) > 1e-9:
        raise QuantityError(f"ground_resonance: blades must be a whole number, 2 or more, got {blades:g}")
    if blade_inertia <= 0 or static_moment <= 0 or min(hub_mass_x, hub_mass_y) <= 0:
        raise QuantityError("ground_resonance: inertia, static moment and hub masses must be above zero")
    if static_moment**2 > blade_mass * blade_inertia * (1 + 1e-9):
        raise QuantityError(
            "ground_resonance: static_moment is too large for blade_mass and blade_inertia: S^2 <= m I for every body"
        )
    return GroundResonance(
        number,
        blade_mass,
        static_moment,
        blade_inertia,
        hinge_offset,
        (lag_spring,) * number,
        (lag_damper,) * number,
        (hub_mass_x, hub_mass_y),
        (hub_stiffness_x, hub_stiffness_y),
        (hub_damping_x, hub_damping_y),
    )
