"""The hovering rotor by combined blade-element and momentum theory, with units at its edge."""

from __future__ import annotations

from dataclasses import dataclass, fields, replace
from functools import partial
from typing import Any

import numpy as np

from rotorkit.atmosphere.standard import dynamic_viscosity, speed_of_sound
from rotorkit.formula.contract import Contract, contract
from rotorkit.formula.labelled import apply_labelled, is_labelled, si_labelled
from rotorkit.judging.measured import Measured, propagate
from rotorkit.quantities import (
    Angle,
    Density,
    Force,
    Power,
    QuantityError,
    Ratio,
    RotationRate,
    Temperature,
    Torque,
    from_si,
    kind_of,
    number_text,
)
from rotorkit.rotor.blade_element.annuli import (
    PLAIN,
    Air,
    HoverNumbers,
    Model,
    StationNumbers,
    along_blade,
    at_collective,
    parts,
)
from rotorkit.rotor.blade_element.blades import Blades
from rotorkit.rotor.blade_element.by_thrust import at_thrust

_KINDS: dict[str, Any] = {
    "thrust": Force, "power": Power, "induced_power": Power, "profile_power": Power, "torque": Torque,
    "collective": Angle,
}  # fmt: skip
FAST_TIP = 0.65
"""Tip Mach number above which a section that knows no shock drag is pointed out: common practice (no source)."""


@dataclass(frozen=True)
class BladeElementHover:
    """What `blade_element_hover` found. Every property is a quantity with the shape of the conditions; `.numbers` holds
    the same in bare SI figures (`HoverNumbers`), and `.along_blade()` the figures at every station."""

    blades: Blades
    numbers: HoverNumbers
    rotor_speed: Any
    air: Air
    model: Model

    def _said(self, name: str) -> Any:
        return from_si(getattr(self.numbers, name), kind_of(_KINDS.get(name, Ratio)))

    @property
    def thrust(self) -> Any:
        """Thrust along the shaft (force)."""
        return self._said("thrust")

    @property
    def power(self) -> Any:
        """Power at the rotor's shaft."""
        return self._said("power")

    @property
    def induced_power(self) -> Any:
        """The part of the power that makes the downwash and its swirl."""
        return self._said("induced_power")

    @property
    def profile_power(self) -> Any:
        """The part of the power that the sections' drag takes."""
        return self._said("profile_power")

    @property
    def torque(self) -> Any:
        """Torque in the rotor's shaft."""
        return self._said("torque")

    @property
    def collective(self) -> Any:
        """Blade angle at 0.75 of the radius (angle)."""
        return self._said("collective")

    @property
    def thrust_coefficient(self) -> Any:
        """CT = T / (rho A Vt^2)."""
        return self._said("thrust_coefficient")

    @property
    def power_coefficient(self) -> Any:
        """CP = P / (rho A Vt^3), the same number as CQ."""
        return self._said("power_coefficient")

    @property
    def torque_coefficient(self) -> Any:
        """CQ = Q / (rho A Vt^2 R), the same number as CP."""
        return self._said("power_coefficient")

    @property
    def figure_of_merit(self) -> Any:
        """Ideal over actual power."""
        return self._said("figure_of_merit")

    @property
    def induced_factor(self) -> Any:
        """Induced over ideal power."""
        return self._said("induced_factor")

    @property
    def blade_loading(self) -> Any:
        """CT over solidity (the chord at 0.75 of the radius)."""
        return self._said("blade_loading")

    @property
    def tip_mach(self) -> Any:
        """Mach number of the tips."""
        return self._said("tip_mach")

    def along_blade(self) -> StationNumbers:
        """Inflow, angle of attack, loads and flags at every station, in SI units; the last axis is the station."""
        return along_blade(self.blades, self.rotor_speed, self.air, self.numbers.collective, self.model)

    @property
    def remarks(self) -> list[str]:
        """Remarks on how far the result can be trusted, in sentences; empty if there are none."""
        n, said = self.numbers, []
        missed = np.count_nonzero(~np.asarray(n.reached))
        of = "" if np.ndim(n.reached) == 0 else f" (at {missed} of {np.size(n.reached)} conditions)"
        if missed:
            said.append(f"No blade angle gives the thrust asked for: the blades stall before that{of}.")
        for name, words in (
            ("stalled", "of the blade's length is stalled: power is far higher, and far less certain, than it seems"),
            (
                "outside_theory",
                "of the blade's length works outside the theory (air drawn the other way, or too steeply)",
            ),
            ("stretched", "of the blade's length meets angles, Mach or Reynolds numbers outside the section's figures"),
        ):
            share = np.asarray(getattr(n, name))
            worst = float(np.nanmax(share, initial=0.0)) if share.any() else 0.0
            if worst > 0:
                where = "" if share.ndim == 0 else f", at {np.count_nonzero(share > 0)} of {share.size} conditions"
                said.append(f"{'Up to ' if where else ''}{number_text(100 * worst, 2)} % {words}{where}.")
        fastest = float(np.max(n.tip_mach))
        if fastest > FAST_TIP and getattr(self.blades.section, "thickness_ratio", 0) is None:
            said.append(
                f"The tips reach Mach {fastest:.2f} and the section knows no shock drag: give its thickness_ratio."
            )
        return said


def _of_collective(
    blades: Blades, rotor_speed: RotationRate, density: Density, collective: Angle, temperature: Temperature
) -> None: ...


def _of_thrust(
    blades: Blades, rotor_speed: RotationRate, density: Density, thrust: Force, temperature: Temperature
) -> None: ...


_of_collective.__name__ = _of_thrust.__name__ = "blade_element_hover"
_VALID = {"rotor_speed": ("50 rpm", "12000 rpm"), "density": ("0.3 kg/m^3", "2 kg/m^3"),
          "temperature": ("-75 degC", "60 degC")}  # fmt: skip
_AGREED = {
    "collective": Contract(_of_collective, {**_VALID, "collective": ("-45 deg", "60 deg")}),
    "thrust": Contract(_of_thrust, _VALID),
}


def blade_element_hover(
    blades: Blades,
    rotor_speed: Any,
    density: Any,
    *,
    collective: Any = None,
    thrust: Any = None,
    temperature: Any = "15 degC",
    stations: int = 60,
    tip_loss: bool = True,
    root_loss: bool = True,
    swirl: bool = True,
) -> Any:
    """A hovering rotor by combined blade-element and momentum theory, at a blade angle or at a thrust.

    Every ring of the disk makes, by momentum, the downwash that its piece of blade, by its section's lift, needs; rings
    do not act on each other. Prandtl's factor takes off what the finite number of blades loses at the tip and the root.

    Source: combined theory as in `sources.LEISHMAN_2006` (chapter 3), angles not taken as small
    (`rotorkit.rotor.blade_element.solve` derives the balance); `sources.PRANDTL_TIP_LOSS`.

    Parameters
    ----------
    blades : Blades
        from `rotor_blades`, with their section.
    rotor_speed : Any
        of this rotor (rotation rate).
    density : Any
        of the air.
    collective : Any
        blade angle at 0.75 of the radius, leading edge up positive (angle), from the chord, not from the
        angle without lift. Give this or `thrust`.
    thrust : Any
        along the shaft (force), positive where positive blade angles push. Give this or `collective`.
    temperature : Any
        of the air, for Mach and Reynolds numbers (absolute).
    stations : int
        along the blade. 20 are good to 3e-4 of thrust, 60 to 1e-5.
    tip_loss, root_loss : bool
        Prandtl's factors.
    swirl : bool
        count the turning of the wake (0.3 % of power for a light main rotor). False is the plain theory of the
        textbooks.

        rotor_speed, density, collective, thrust and temperature may be arrays of any shapes that broadcast (quantities
        of arrays), or xarray DataArrays with ``attrs["units"]``.

    Returns
    -------
    Any
        A `BladeElementHover`; for DataArrays an xarray Dataset with the same figures in SI units, worked out block by
        block, and only when asked, where they hold Dask arrays.

    Raises
    ------
    QuantityError
        an argument is not of its kind or not credible; every bad one is named. A thrust that the blades
        cannot give is no error: that condition's figures are not numbers, and `remarks` says so.

    Notes
    -----
    Range of validity: steady hover or static test, still air, out of ground effect, rigid blades. How far it may be off
    (k = 2), by four published measurements that it was not adjusted to: the blade angle for a thrust 30 %, the thrust
    at a blade angle 33 %, the power at a thrust 25 % (`rotorkit.rotor.blade_element.trust`, held to
    `rotorkit.rotor.blade_element.comparison`). Slender blades do better in thrust, within 15 %; two short broad ones
    (NASA TM-81232) give 19 to 38 % less thrust than it says, probably because the theory leaves out the tip vortex that
    passes close under the next blade. With a smooth section's drag the power is nearly always too small: real blades
    have more drag.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> from rotorkit.rotor.blade_element import LinearSection, rotor_blades
    >>> section = LinearSection(5.73, (0.0087, -0.0216, 0.4), 1.2, thickness_ratio=0.12)
    >>> blades = rotor_blades(2, "11 ft 8 in", "10 in", "19 in", section, twist="-6 deg")
    >>> hover = blade_element_hover(blades, "455 rpm", "1.225 kg/m^3", thrust="1250 lbf")
    >>> say(hover.power, "hp", digits=4), say(hover.collective, "deg", digits=3)
    ('80.76 hp', '8.97°')
    >>> say(hover.figure_of_merit, digits=3)
    '0.698'
    """
    if (collective is None) == (thrust is None):
        raise QuantityError("blade_element_hover: give either collective or thrust, and not both")
    if not isinstance(blades, Blades):
        raise QuantityError(f"blade_element_hover: blades must come from rotor_blades, got {type(blades).__name__}")
    if not isinstance(stations, int) or not 4 <= stations <= 2000:
        raise QuantityError(f"blade_element_hover: stations must be a whole number from 4 to 2000, got {stations!r}")
    by, aim = ("thrust", thrust) if collective is None else ("collective", collective)
    model = Model(stations, tip_loss, root_loss, swirl)
    given = (rotor_speed, density, aim, temperature)
    if any(is_labelled(value) for value in given):
        return _over_labels(blades, by, given, model)
    (_, *bare), _ = _AGREED[by].convert([blades, *given])
    return _solved(blades, by, model, *bare)


def _solved(
    blades: Blades, by: str, model: Model, speed: Any, density: Any, aim: Any, warmth: Any
) -> BladeElementHover:
    air = Air(density, speed_of_sound.si(warmth), dynamic_viscosity.si(warmth))
    solve = at_thrust if by == "thrust" else at_collective
    return BladeElementHover(blades, solve(blades, speed, air, aim, model), speed, air, model)


def _over_labels(blades: Blades, by: str, given: tuple[Any, ...], model: Model) -> Any:
    agreed = _AGREED[by]
    values, problems = [], []
    for argument, value in zip(agreed.arguments[1:], given, strict=True):
        try:
            values.append(si_labelled(value, argument.kind, argument.name))  # type: ignore[arg-type]
        except QuantityError as problem:
            problems.append((argument.name, str(problem).removeprefix(f"{argument.name} ")))
    agreed.report(problems)
    names = [field.name for field in fields(HoverNumbers)]
    results = []
    for name in names:
        kind = kind_of(_KINDS.get(name, Ratio))
        results.append((name, kind.si if kind else "", name.replace("_", " ")))

    def solved(*bare: Any) -> tuple[Any, ...]:
        numbers = _solved(blades, by, model, *bare).numbers
        return tuple(np.asarray(getattr(numbers, name), dtype=float) for name in names)

    return apply_labelled(solved, values, results)


@contract(arrays=True)
def blade_element_power(
    blades: Blades,
    thrust: Force,
    rotor_speed: RotationRate,
    density: Density,
    temperature: Temperature = "15 degC",
    model: Model | None = None,
) -> Power:
    """Rotor power in the hover at a thrust, by `blade_element_hover`: one figure, with its uncertainty where the
    arguments carry one.

    Args: as `blade_element_hover`; model, how the theory is taken (None: as there).
    Returns: power at the rotor's shaft.
    Raises: QuantityError where the blades cannot give the thrust, or an argument is not of its kind. The bare twin
    `.si` leaves "not a number" at such places of an array.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> from rotorkit.rotor.blade_element import LinearSection, rotor_blades
    >>> section = LinearSection(5.73, (0.0087, -0.0216, 0.4), 1.2, thickness_ratio=0.12)
    >>> blades = rotor_blades(2, "11 ft 8 in", "10 in", "19 in", section, twist="-6 deg")
    >>> say(blade_element_power(blades, "1250 lbf", "455 rpm", "1.225 kg/m^3"), "hp", digits=4)
    '80.76 hp'
    """
    solved = _solved(blades, "thrust", model or Model(), rotor_speed, density, thrust, temperature).numbers
    if np.ndim(solved.reached) == 0 and not solved.reached:
        raise QuantityError(
            "blade_element_power: thrust is more than the blades can give at any angle: they stall first"
        )
    return solved.power


def hover_and_power(
    blades: Blades, thrust: Measured, rotor_speed: Measured, density: Measured, temperature: Measured
) -> tuple[BladeElementHover, Measured]:
    """`blade_element_hover` at a thrust, and its `blade_element_power` with the uncertainty, worked together.

    Raises QuantityError as these do.
    """
    _AGREED["thrust"].convert([blades, rotor_speed, density, thrust, temperature])
    given, found = (thrust, rotor_speed, density, temperature), list[BladeElementHover]()

    def powers(aim: Any, speed: Any, air: Any, warmth: Any) -> Any:
        found.append(_solved(blades, "thrust", PLAIN, speed, air, aim, warmth))
        return found[-1].numbers.power

    power = propagate(partial(blade_element_power.si, blades), Power, given, many=powers)
    hover = found[0]
    numbers = {one.name: getattr(hover.numbers, one.name)[0].item() for one in fields(HoverNumbers)}
    air = Air(*(one[0].item() for one in parts(hover.air)))
    return replace(hover, numbers=HoverNumbers(**numbers), rotor_speed=float(rotor_speed.si), air=air), power
