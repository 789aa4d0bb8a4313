"""The blade-element hover in bare SI arrays: any number of conditions at once, worked off in blocks.

Nothing here checks units or kinds: `rotorkit.rotor.blade_element.hover` does, at the edge. Conditions may have any
shape that broadcasts; the stations along the blade are an inner axis that is summed before the next block begins, so
that memory stays bounded however many conditions there are.

Stations lie at r = m - h cos((i + 1/2) pi / n), m and h the middle and half of the blade (the zeros of a Chebyshev
polynomial), close together where Prandtl's factor falls off, with the weights of Fejer's first rule: a sum over them is
exact for polynomials up to the degree n - 1.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any, NamedTuple

import numpy as np

from rotorkit.edges.recent import Recent
from rotorkit.rotor.blade_element.blades import Blades
from rotorkit.rotor.blade_element.sections import LinearSectionAt
from rotorkit.rotor.blade_element.solve import attached, prandtl_factor
from rotorkit.rotor.roots import bracketed

BLOCK = 16000
"""Elements worked at once (conditions times stations): small enough to stay in the processor's cache."""
MOST_COMPARED = 256
"""Up to so many conditions are compared, so that what is the same is worked once: more are a map or a sweep."""
STEEPEST_INFLOW = 0.5
"""Sine of the inflow angle (30 degrees) above which an element is told as outside the theory: the annuli of a root that
draws so hard no longer leave each other alone. Common practice (no source)."""
_RECENT = Recent[Any](32)
"""Coefficients at given collectives: where the weight or the pressure of the air is another they stay."""


@dataclass(frozen=True)
class Model:
    """What the theory takes in. stations: along the blade; tip_loss, root_loss: Prandtl's; swirl: of the wake."""

    stations: int = 60
    tip_loss: bool = True
    root_loss: bool = True
    swirl: bool = True


PLAIN = Model()
"""The theory as it is used where nothing else is said."""


@dataclass(frozen=True)
class Air:
    """The air, as arrays of any shape that broadcasts: density, kg/m^3; speed_of_sound, m/s; viscosity, Pa s."""

    density: Any
    speed_of_sound: Any
    viscosity: Any


@dataclass(frozen=True)
class HoverNumbers:
    """What a hovering rotor does, in SI units; every field has the shape of the conditions.

    thrust, N; power, induced_power, profile_power, W; torque, N m; collective, rad, at 0.75 of the radius.
    figure_of_merit: ideal over actual power. induced_factor: induced over ideal power. blade_loading: CT / solidity.
    tip_mach. stalled, outside_theory, stretched: the part of the blade's length (0 to 1) that is stalled, that draws
    the air the other way than the rotor or too steeply for the theory, whose section figures lie outside their data.
    reached: False where no collective gives the thrust asked for: the other fields are then not numbers.
    """

    thrust: Any
    power: Any
    induced_power: Any
    profile_power: Any
    torque: Any
    collective: Any
    thrust_coefficient: Any
    power_coefficient: Any
    figure_of_merit: Any
    induced_factor: Any
    blade_loading: Any
    tip_mach: Any
    stalled: Any
    outside_theory: Any
    stretched: Any
    reached: Any


@dataclass(frozen=True)
class StationNumbers:
    """Along the blade, the last axis being the stations. station: fraction of the radius. weight: of each station
    in a sum over the blade (parts of the radius). inflow_angle, blade_angle, angle_of_attack, rad. inflow_velocity:
    axial, down positive, m/s. lift_coefficient, drag_coefficient, mach, tip_loss (Prandtl's factor).
    thrust_per_length, N/m and torque_per_length, N m/m: of all blades. stalled, outside_theory, stretched:
    booleans."""

    station: Any
    weight: Any
    blade_angle: Any
    inflow_angle: Any
    angle_of_attack: Any
    inflow_velocity: Any
    lift_coefficient: Any
    drag_coefficient: Any
    mach: Any
    tip_loss: Any
    thrust_per_length: Any
    torque_per_length: Any
    stalled: Any
    outside_theory: Any
    stretched: Any


class Grid:
    """What depends on the blades and the model only, worked out once for all conditions."""

    def __init__(self, blades: Blades, model: Model) -> None:
        n, cut = model.stations, blades.root_cutout
        turned = (np.arange(n) + 0.5) * np.pi / n
        half = (1 - cut) / 2
        self.r = (1 + cut) / 2 - half * np.cos(turned)
        order = np.arange(1, n // 2 + 1)[:, np.newaxis]
        self.weight = half * 2 / n * (1 - 2 * (np.cos(2 * order * turned) / (4 * order**2 - 1)).sum(axis=0))
        self.chord = blades.chord_at(self.r)
        self.sigma = blades.count * self.chord / (np.pi * blades.radius)
        self.steepness = 8 * self.r / self.sigma
        self.twist = blades.twist_at(self.r)
        self.tip = blades.count / 2 * (1 - self.r) / self.r if model.tip_loss else None
        self.root = blades.count / 2 * (self.r - cut) / self.r if model.root_loss else None
        self.share = self.weight / (1 - cut)
        half_sigma = self.sigma / 2 * self.r**2 * self.weight
        self.thrust_weight, self.power_weight = half_sigma, half_sigma * self.r


_GRIDS = Recent[Grid](16)


def grid_of(blades: Blades, model: Model) -> Grid:
    """The grid of these blades."""
    key = blades.figures
    return Grid(blades, model) if key is None else _GRIDS.get((key, model), lambda: Grid(blades, model))


class Meeting:
    """The blades at the Mach and Reynolds numbers that they meet: `mach` and `reynolds` end in the stations."""

    def __init__(self, blades: Blades, grid: Grid, model: Model, mach: Any, reynolds: Any) -> None:
        self.blades, self.grid, self.model, self.mach, self.reynolds = blades, grid, model, mach, reynolds
        self.section = blades.section.at(mach, reynolds)

    def part(self, chosen: Any) -> Meeting:
        """The same for some of the conditions."""
        mach = self.mach if self.mach.ndim == 1 else self.mach[chosen]
        reynolds = None if self.reynolds is None else self.reynolds[chosen]
        return Meeting(self.blades, self.grid, self.model, mach, reynolds)

    def _bracketed(self, blade_angle: Any, index: Any, shape: Any) -> tuple[Any, Any]:
        def of(values: Any) -> Any:
            return None if values is None else np.broadcast_to(values, shape)[index]

        grid, angle = self.grid, of(blade_angle)
        steepness, tip, root = of(grid.steepness), of(grid.tip), of(grid.root)
        section = self.blades.section.at(of(self.mach), of(self.reynolds))
        from_zero = angle - section.zero_lift
        sense = np.where(from_zero < 0, -1.0, 1.0)
        end = np.sin(np.minimum(np.abs(from_zero), np.pi / 2))

        def residual(size: Any) -> Any:
            lift, _ = section.coefficients(angle - sense * np.arcsin(size))
            momentum = steepness * prandtl_factor(size, tip, root) * size * size
            return momentum - sense * lift * np.sqrt(np.maximum(1 - size * size, 0.0))

        found, good = bracketed(residual, np.zeros_like(end), end)
        return sense * found, good

    def forces(self, collective: Any) -> Forces:
        """Sections' figures at every station; `collective` ends in a unit axis."""
        grid, section = self.grid, self.section
        blade_angle = collective + grid.twist
        if isinstance(section, LinearSectionAt):
            from_zero = blade_angle - section.zero_lift if section.zero_lift else blade_angle
            slope = np.broadcast_to(section.slope, np.shape(self.mach))
            sine, settled = attached(grid.steepness, from_zero, slope, grid.tip, grid.root)
            angle = from_zero - np.arcsin(sine)
            lift = slope * angle
            most = section.section.greatest_lift
            if settled.all() and max(lift.max(), -lift.min()) <= most:
                drag = section.attached_drag(angle, lift)
                if section.zero_lift:
                    angle += section.zero_lift
                return self._made(blade_angle, sine, angle, lift, drag, np.True_, True)
            again = ~settled | (np.abs(lift) > most)
        else:
            sine = np.zeros(np.broadcast_shapes(blade_angle.shape, np.shape(self.mach)))
            settled = np.zeros(sine.shape, dtype=bool)
            again = ~settled
        index = np.nonzero(again)
        sine[index], settled[index] = self._bracketed(blade_angle, index, sine.shape)
        angle = blade_angle - np.arcsin(sine)
        return self._made(blade_angle, sine, angle, *section.coefficients(angle), settled, False)

    def _made(
        self, blade_angle: Any, sine: Any, angle: Any, lift: Any, drag: Any, settled: Any, attached_all: bool
    ) -> Forces:
        square = sine * sine
        np.subtract(1, square, out=square)
        speed = square if self.model.swirl else 1 / square
        return Forces(blade_angle, sine, np.sqrt(square), angle, lift, drag, speed, settled, attached_all)

    def thrust(self, collective: Any) -> Any:
        """CT alone; `collective` without the unit axis."""
        return self.thrust_of(self.forces(collective[:, np.newaxis]))

    def thrust_of(self, f: Forces) -> Any:
        """CT of these forces."""
        return (f.speed * (f.lift * f.cosine - f.drag * f.sine)) @ self.grid.thrust_weight

    def outside_theory(self, f: Forces, thrust: Any) -> Any:
        """Where the air goes the other way than through the rotor as a whole, or too steeply, or nothing was found."""
        least, most = f.sine.min(), f.sine.max()
        if np.all(f.settled) and max(most, -least) <= STEEPEST_INFLOW and least * most >= 0:
            return np.broadcast_to(np.False_, f.sine.shape)
        against = f.sine * np.sign(thrust)[..., np.newaxis] < -1e-6
        return against | (np.abs(f.sine) > STEEPEST_INFLOW) | ~f.settled

    def coefficients(self, f: Forces) -> tuple[Any, Any, Any, Any, Any, Any]:
        """CT, induced CP, profile CP, and the parts of the blade stalled, outside the theory, and stretched."""
        grid = self.grid
        lift, drag = f.speed * f.lift, f.speed * f.drag
        thrust = (lift * f.cosine - drag * f.sine) @ grid.thrust_weight
        flags = self.stalled(f), self.outside_theory(f, thrust), self.section.stretched(f.angle)
        lift *= f.sine
        drag *= f.cosine
        return (
            thrust,
            lift @ grid.power_weight,
            drag @ grid.power_weight,
            *(flag @ grid.share if flag.any() else np.zeros(flag.shape[:-1]) for flag in flags),
        )

    def stalled(self, f: Forces) -> Any:
        """Where sections are stalled."""
        return np.broadcast_to(np.False_, f.sine.shape) if f.attached else self.section.stalled(f.angle)


class Forces(NamedTuple):
    """At every station: angles in rad, `speed` the square of the speed met over that of turning."""

    blade_angle: Any
    sine: Any
    cosine: Any
    angle: Any
    lift: Any
    drag: Any
    speed: Any
    settled: Any
    attached: bool
    """Known to be attached and settled everywhere."""


def at_collective(
    blades: Blades, rotor_speed: Any, air: Air, collective: Any, model: Model = PLAIN, reached: Any = True
) -> HoverNumbers:
    """The hover at given collectives. rotor_speed, rad/s; collective, rad; any shapes that broadcast."""
    shape = np.broadcast_shapes(*(np.shape(x) for x in (rotor_speed, collective, *parts(air))))
    speed, density, sound, viscosity, angle = (
        np.broadcast_to(np.asarray(x, dtype=float), shape).reshape(-1)
        for x in (rotor_speed, *parts(air), collective)
    )  # fmt: skip
    tips = speed * blades.radius
    one, of = once(blades, tips, density, sound, viscosity, angle)
    of_one = [given[one] for given in (tips, density, sound, viscosity)]
    turned = angle[one, np.newaxis]

    def coefficients() -> Any:
        grid = grid_of(blades, model)
        found = np.empty((6, len(turned)))
        for block in blocks(len(turned), model.stations):
            mach, reynolds = numbers_met(blades, grid, *(given[block] for given in of_one))
            meeting = Meeting(blades, grid, model, mach, reynolds)
            found[:, block] = meeting.coefficients(meeting.forces(turned[block]))
        found.flags.writeable = False
        return found

    # without Reynolds numbers (`Blades.figures`) neither density nor viscosity tells in them
    found = recent(_RECENT, blades, model, (*of_one[::2], turned), coefficients)[:, of]
    return numbers_of(blades, found, angle, tips, speed, density, sound, np.broadcast_to(reached, shape), shape)


def along_blade(blades: Blades, rotor_speed: Any, air: Air, collective: Any, model: Model = PLAIN) -> StationNumbers:
    """The figures at every station, the last axis; all conditions at once."""
    shape = np.broadcast_shapes(*(np.shape(x) for x in (rotor_speed, collective, *parts(air))))
    speed, density, sound, viscosity, angle = (
        np.broadcast_to(np.asarray(x, dtype=float), shape)[..., np.newaxis]
        for x in (rotor_speed, *parts(air), collective)
    )  # fmt: skip
    grid = grid_of(blades, model)
    tips = speed * blades.radius
    mach, reynolds = numbers_met(blades, grid, tips[..., 0], density[..., 0], sound[..., 0], viscosity[..., 0])
    meeting = Meeting(blades, grid, model, mach, reynolds)
    f = meeting.forces(angle)
    pressure = 0.5 * density * f.speed * (tips * grid.r) ** 2 * blades.count * grid.chord
    thrust = pressure * (f.lift * f.cosine - f.drag * f.sine)
    whole = f.sine.shape
    return StationNumbers(
        station=grid.r,
        weight=grid.weight,
        blade_angle=np.broadcast_to(f.blade_angle, whole),
        inflow_angle=np.arcsin(f.sine),
        angle_of_attack=f.angle,
        inflow_velocity=tips * grid.r * np.sqrt(f.speed) * f.sine,
        lift_coefficient=f.lift,
        drag_coefficient=f.drag,
        mach=np.broadcast_to(mach, whole),
        tip_loss=prandtl_factor(np.abs(f.sine), grid.tip, grid.root) + np.zeros(whole),
        thrust_per_length=thrust,
        torque_per_length=pressure * (f.lift * f.sine + f.drag * f.cosine) * grid.r * blades.radius,
        stalled=meeting.stalled(f),
        outside_theory=meeting.outside_theory(f, thrust @ grid.weight),
        stretched=meeting.section.stretched(f.angle),
    )


def recent(kept: Recent[Any], blades: Blades, model: Model, met: Sequence[Any], work: Callable[[], Any]) -> Any:
    """What few conditions came to, kept by the blades and by all figures that they met."""
    key = blades.figures if met[0].size <= MOST_COMPARED else None
    return work() if key is None else kept.get((key, model, *(given.tobytes() for given in met)), work)


def blocks(conditions: int, stations: int) -> list[slice]:
    """Slices of conditions that keep each block's elements within `BLOCK`."""
    size = max(1, BLOCK // stations)
    return [slice(start, min(start + size, conditions)) for start in range(0, conditions, size)]


def parts(air: Air) -> tuple[Any, Any, Any]:
    return air.density, air.speed_of_sound, air.viscosity


def once(blades: Blades, tips: Any, density: Any, sound: Any, viscosity: Any, asked: Any) -> tuple[Any, Any]:
    """Which of the conditions to work, and of these the one that each condition is.

    Coefficients depend on the Mach number, where the section uses it on the Reynolds number, and on what is asked for
    (a collective, a thrust coefficient). Where an uncertainty is found by moving one figure after another, half the
    conditions are the same in all of them: they are worked once, and bear the very same figures.
    """
    everything = slice(None)
    if not 1 < tips.size <= MOST_COMPARED:
        return everything, everything
    met = [tips / sound, asked, *([density * tips / viscosity] if blades.section.uses_reynolds else [])]
    places: dict[tuple[float, ...], int] = {}
    of = [places.setdefault(key, len(places)) for key in zip(*(given.tolist() for given in met), strict=True)]
    if len(places) == len(of):
        return everything, everything
    return np.unique(of, return_index=True)[1], np.array(of)


def numbers_met(blades: Blades, grid: Grid, tips: Any, density: Any, sound: Any, viscosity: Any) -> tuple[Any, Any]:
    """Mach and Reynolds number at every station, by the speed of turning (the inflow adds under 1 % where it matters).
    Conditions that are all alike get one row."""
    if tips.size > 1 and (tips == tips.flat[0]).all() and (sound == sound.flat[0]).all():
        mach = (tips.flat[0] / sound.flat[0]) * grid.r
    else:
        mach = (tips / sound)[..., np.newaxis] * grid.r
    if not blades.section.uses_reynolds:
        return mach, None
    return mach, (density * tips / viscosity)[..., np.newaxis] * (grid.r * grid.chord)


def numbers_of(
    blades: Blades, found: Any, angle: Any, tips: Any, speed: Any, density: Any, sound: Any, reached: Any, shape: Any
) -> HoverNumbers:
    """What the coefficients found (rows, as `Meeting.coefficients` gives them) make of each condition."""
    thrust, induced, profile, stalled, outside, stretched = found
    power = induced + profile
    force = density * blades.disk_area * tips**2
    ideal = np.abs(thrust) ** 1.5 / np.sqrt(2)
    with np.errstate(divide="ignore", invalid="ignore"):
        merit, factor = ideal / power, induced / ideal
    values = {
        "thrust": thrust * force,
        "power": power * force * tips,
        "induced_power": induced * force * tips,
        "profile_power": profile * force * tips,
        "torque": power * force * tips / speed,
        "collective": angle,
        "thrust_coefficient": thrust,
        "power_coefficient": power,
        "figure_of_merit": merit,
        "induced_factor": factor,
        "blade_loading": thrust / blades.solidity,
        "tip_mach": tips / sound,
        "stalled": stalled,
        "outside_theory": outside,
        "stretched": stretched,
    }
    missing = np.flatnonzero(~reached.reshape(-1))
    shaped: dict[str, Any] = {}
    for name, each in values.items():
        value = np.array(each)
        if missing.size and name != "tip_mach":
            value[missing] = np.nan
        shaped[name] = value.reshape(shape) if shape else float(value[0])
    return HoverNumbers(**shaped, reached=reached if shape else bool(reached))
