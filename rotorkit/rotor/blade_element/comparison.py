"""The blade-element hover against four published measurements: every point, the errors as found.

`compare` takes each section's drag from a test of the section alone: nothing is adjusted to any rotor. With
`adjusted=True` the drag is the one that a report matched to rotors, and `Comparison.adjusted_to` says to which.
`rotorkit.rotor.blade_element.held_out` puts together how far the reports lie from a theory that was not adjusted to
them. Where theory and measurement part, `Comparison.notes` says
by how much and what was looked for behind it. Tests and notebooks take these figures from here.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from functools import lru_cache
from typing import Any

import numpy as np

from rotorkit import sources
from rotorkit.rotor.blade_element.annuli import Air, Model, along_blade, at_collective
from rotorkit.rotor.blade_element.blades import COLLECTIVE_AT, Blades
from rotorkit.rotor.blade_element.by_thrust import at_thrust
from rotorkit.rotor.blade_element.sections import LinearSection
from rotorkit.rotor.blade_element.trust import LEAST_LOADING
from rotorkit.sources import Source
from rotorkit.sources.published import rows

_DENSITY, _SOUND, _VISCOSITY = 1.225, 340.294, 1.789e-5
_AIR = Air(_DENSITY, _SOUND, _VISCOSITY)
_INCH, _FOOT = 0.0254, 0.3048
ASKED_FROM, ASKED_TO = 6.0, 10.0
"""Blade angles that are looked at by themselves, degrees: where rotors work."""
NOTHING = "nothing"
"""What a comparison with the sections' own drag was adjusted to."""


@dataclass(frozen=True)
class Taken:
    """How the theory is taken, to look for the cause of a difference. model: as in the engine; lift_slope: a factor on
    the section's; tapered: NACA TN 2318's blades as they are, or rectangular."""

    model: Model = field(default_factory=Model)
    lift_slope: float = 1.0
    tapered: bool = True

    def of(self, section: LinearSection) -> LinearSection:
        """The section with the lift slope changed."""
        return replace(section, lift_slope=section.lift_slope * self.lift_slope)


AS_IT_STANDS = Taken()
LOOKED_FOR = {
    "as it stands": AS_IT_STANDS,
    "no loss at the root": Taken(Model(root_loss=False)),
    "no loss at the tip": Taken(Model(tip_loss=False)),
    "no turning of the wake": Taken(Model(swirl=False)),
    "lift curve 5 % steeper": Taken(lift_slope=1.05),
    "lift curve 5 % flatter": Taken(lift_slope=0.95),
    "blades rectangular instead of tapered": Taken(tapered=False),
}
"""What was changed in turn to look for the cause of the differences, and how it is said."""


@dataclass(frozen=True)
class ComparedPoint:
    """One measured point and the model there: coefficients; errors in per cent of the measured figure (None where there
    is nothing to compare). torque is CQ, or CQ less that without thrust where the source gives only that; idle is then
    the torque without thrust by the section's drag, otherwise 0. at_thrust: error of the model's torque at the MEASURED
    thrust, so that an error in thrust does not hide in it. pitch_model: the model's blade angle for the measured
    thrust, degrees. loading: measured CT / solidity; None for a section's lift."""

    case: str
    pitch_deg: float | None
    thrust: float
    thrust_model: float | None = None
    torque: float | None = None
    torque_model: float | None = None
    torque_at_thrust: float | None = None
    idle: float = 0.0
    pitch_model: float | None = None
    loading: float | None = None

    @property
    def thrust_error(self) -> float | None:
        """Model over measured thrust less one, per cent."""
        return _error(self.thrust_model, self.thrust)

    @property
    def torque_error(self) -> float | None:
        """Model over measured torque less one, per cent, at the same blade angle."""
        return _error(self.torque_model, self.torque)

    @property
    def whole_torque_error(self) -> float | None:
        """The same of the whole torque: where the source gives it less that without thrust, the torque without thrust
        by the section's drag is added on both sides."""
        return _error(*self._whole(self.torque_model))

    @property
    def at_thrust_error(self) -> float | None:
        """The same as `torque_error` at the same thrust."""
        return _error(self.torque_at_thrust, self.torque)

    @property
    def whole_at_thrust_error(self) -> float | None:
        """The same as `whole_torque_error` at the same thrust."""
        return _error(*self._whole(self.torque_at_thrust))

    @property
    def angle_error(self) -> float | None:
        """Model's less measured blade angle for the measured thrust, degrees: negative where the rotor needs more."""
        return None if self.pitch_deg is None or self.pitch_model is None else self.pitch_model - self.pitch_deg

    @property
    def asked(self) -> bool:
        """Whether this is a rotor's figure at a blade angle where rotors work, from 6 to 10 degrees."""
        return self.loading is not None and self.pitch_deg is not None and ASKED_FROM <= self.pitch_deg <= ASKED_TO

    @property
    def counted(self) -> bool:
        """Whether the blade carries enough for its errors to count as parts of the figure."""
        return self.loading is not None and round(self.loading, 6) >= LEAST_LOADING

    def deviation(self, of: str) -> float | None:
        """By what part of the MODEL's figure the measured one lies above it: what an uncertainty of the model has to
        cover. of: "angle for a thrust", "thrust at an angle", "power at a thrust" or "torque at an angle"; None where
        the source does not give it."""
        model, measured = {
            "angle for a thrust": (self.pitch_model, self.pitch_deg),
            "thrust at an angle": (self.thrust_model, self.thrust),
            "power at a thrust": self._whole(self.torque_at_thrust),
            "torque at an angle": self._whole(self.torque_model),
        }[of]
        return None if not model or measured is None else measured / model - 1

    def _whole(self, model: float | None) -> tuple[float | None, float | None]:
        """The model's whole torque and the measured one."""
        if model is None or self.torque is None:
            return None, None
        return model + self.idle, self.torque + self.idle


@dataclass(frozen=True)
class Comparison:
    """One source's points, the section figures used, and what was found. adjusted_to: the rotors that the section's
    figures were adjusted to, `NOTHING` where to none."""

    source: Source
    section: LinearSection
    table: str
    points: tuple[ComparedPoint, ...]
    assumed: str
    notes: tuple[str, ...] = field(default=())
    adjusted_to: str = NOTHING

    def worst(self, of: str, asked: bool = False, counted: bool = False) -> tuple[float, float]:
        """Least and greatest of one of the errors of `ComparedPoint` ("thrust_error", "angle_error" and so on); of all
        points of the whole rotor, or only those from 6 to 10 degrees, or only those that count."""
        rotor = [p for p in self.points if p.loading is not None]
        points = [p for p in rotor if (p.asked or not asked) and (p.counted or not counted)]
        given = [error for error in (getattr(p, of) for p in points) if error is not None]
        return (min(given), max(given)) if given else (np.nan, np.nan)

    def lines(self) -> list[str]:
        """The table as plain text, a line for each point: case, blade angle, measured thrust coefficient, the errors
        in per cent of thrust and whole torque at that angle and of whole torque at that thrust, and of the blade angle
        for that thrust in degrees. A star: from 6 to 10 degrees. A circle: not counted, too little load."""
        heads = f"{'angle':>6s} {'measured':>9s} {'thrust':>8s} {'torque':>8s} {'torque at thrust':>17s}"
        made = [f"{'':26s} {heads} {'angle for it':>13s}"]
        for p in self.points:
            angle = "" if p.pitch_deg is None else f"{p.pitch_deg:.2f}"
            errors = [
                "" if e is None else f"{e:+.1f} %".replace("-", "−")
                for e in (p.thrust_error, p.whole_torque_error, p.whole_at_thrust_error)
            ]
            off = "" if p.angle_error is None else f"{p.angle_error:+.2f}°".replace("-", "−")
            mark = "  *" if p.asked else "" if p.counted or p.loading is None else "  o"
            made.append(
                f"{p.case:26s} {angle:>6s} {p.thrust:9.5f} {errors[0]:>8s} {errors[1]:>8s} {errors[2]:>17s} "
                f"{off:>13s}{mark}"
            )
        return made


def naca_0015() -> LinearSection:
    """NACA 0015 by NACA TN 626's own section test at a Reynolds number of 242 000: lift slope 5.75 per radian, drag
    0.0113 + 0.75 alpha^2, greatest lift 0.93 (mean of the four stalls in its tables V and VI). Known: quoted."""
    return LinearSection(
        5.75, (0.0113, 0.0, 0.75), 0.93, thickness_ratio=0.15, source="NACA TN 626, section test at Re 242 000"
    )


def naca_0015_by_rotors() -> LinearSection:
    """The same with the drag that NACA TN 626 gives to match the torque of its own rotors, 0.0113 + 1.25 alpha^2: on
    those it is no independent test, on any other rotor of this section it is. Known: quoted."""
    return LinearSection(
        5.75, (0.0113, 0.0, 1.25), 0.93, thickness_ratio=0.15, source="NACA TN 626, matched to its rotors' torque"
    )


def naca_0012(drag_without_lift: float = 0.0087) -> LinearSection:
    """NACA 0012 of full-scale blades: lift slope 5.73 per radian, drag 0.0087 - 0.0216 alpha + 0.400 alpha^2 (Bailey
    1941, from memory, high), greatest lift 1.2 (common practice, no source). With another drag without lift the linear
    term is left out, which belongs to the smooth section's."""
    smooth = drag_without_lift == 0.0087
    polar = (0.0087, -0.0216, 0.4) if smooth else (drag_without_lift, 0.0, 0.4)
    return LinearSection(5.73, polar, 1.2, thickness_ratio=0.12, source="Bailey 1941 (from memory)")


def _tn_626(adjusted: bool, taken: Taken = AS_IT_STANDS) -> Comparison:
    name = "naca_tn_626_hover.csv"
    section = taken.of(naca_0015_by_rotors() if adjusted else naca_0015())
    speed = 960 * np.pi / 30
    points = []
    for row in rows(name):
        blades = _plain(int(row["blades"]), 30 * _INCH, 2 * _INCH, 5 / 30, section)
        points.append(
            _point(
                f"{row['blades']} blades", blades, speed, row["pitch_deg"], row["CT"], taken.model,
                torque=float(row["CQ"]),
            )
        )  # fmt: skip
    return Comparison(
        sources.NACA_TN_626, section, name, tuple(points), "air at 15 °C (for the Mach number only)",
        ("With the section test's own drag the four blades took 8 to 11 % more torque at a thrust than the theory says "
         "between 6 and 10 degrees, the two blades 1 to 3 % more.",
         "Without thrust the report's torque stands for a section drag of 0.0102 with two blades and 0.0126 with "
         "four, the section test's for 0.0113: the rotors themselves differ by more than 10 % from the one section.",
         "Up to 5 degrees the theory gives the four-bladed rotor 13 to 47 % more thrust than was measured: at these "
         "small loads 0.2 to 0.4 degrees of blade angle are as much."),
        "NACA TN 626, these rotors" if adjusted else NOTHING,
    )  # fmt: skip


def _tn_2474(adjusted: bool, taken: Taken = AS_IT_STANDS) -> Comparison:
    name = "naca_tn_2474_hover.csv"
    section = taken.of(naca_0015_by_rotors() if adjusted else naca_0015())
    radius, count, solidity = 3 * _FOOT, 3, 0.05
    blades = _plain(count, radius, solidity * np.pi * radius / count, 0.15, section)
    points = []
    for row in rows(name):
        run, rpm = row["run_rpm"].split("@")
        dcq = float(row["dCQ"]) if row["dCQ"] else None
        points.append(
            _point(
                f"run {run}, {rpm} rpm", blades, float(rpm) * np.pi / 30, row["pitch_075_deg"], row["CT"], taken.model,
                torque=dcq, less_idle=True,
            )
        )  # fmt: skip
    return Comparison(
        sources.NACA_TN_2474, section, name, tuple(points),
        "root cut-out 0.15 of the radius (not in the table); section figures of TN 626, at half the Reynolds number; "
        "the torque without thrust, which the table does not give, by the section's drag on both sides",
        ("The report gives torque less that without thrust. Of the whole torque, as in the table here, every "
         "difference is a smaller part; of what the report gives it is up to half as much again.",
         "The report's two runs of the same rotor contradict each other in that torque at the same thrust: at CT 0.002 "
         "run 16 takes 13 % less than run 15, at CT 0.0040 20 % more. No one drag polar can be within 10 % of both; "
         "with the section test's the theory is near run 15 and 13 to 15 % below the last two points of run 16.",
         "At 4.91 degrees run 15 gives less thrust than run 16 at 3.96 degrees: that point stands alone.",
         "Run 16 gives 7 to 11 % more thrust than the theory from 2 to 7 degrees, run 15 does not. A lift curve 5 % "
         "steeper at its larger Reynolds number would explain a third of it, and take run 15 farther off."),
        "NACA TN 626, other rotors of this section" if adjusted else NOTHING,
    )  # fmt: skip


_TAPER = 1 / 2.92
"""Tip chord over root chord of NACA TN 2318's rotor 1; known: quoted (`references/naca_tn_2318_hover.csv`)."""


def _tn_2318(adjusted: bool, taken: Taken = AS_IT_STANDS) -> Comparison:
    name = "naca_tn_2318_hover.csv"
    radius, idle = 12.5 * _FOOT, 0.0000389
    taper = _TAPER if taken.tapered else 1.0
    section = naca_0012()
    if adjusted:
        smooth = _tapered(radius, 0.027, 0.15, taper, section)
        found = at_collective(smooth, 500 * _FOOT / radius, _AIR, 0.0, taken.model).power_coefficient
        section = naca_0012(section.drag[0] * idle / float(found))
    section = taken.of(section)
    blades = _tapered(radius, 0.027, 0.15, taper, section)
    points = []
    for row in rows(name):
        speed = float(row["tip_speed_fps"]) * _FOOT / radius
        points.append(
            _point(row["configuration"], blades, speed, None, row["CT"], taken.model, torque=float(row["CQ"]))
        )
    return Comparison(
        sources.NACA_TN_2318, section, name, tuple(points),
        "straight taper, 2.92 to 1, with the chord at 0.75 of the radius by the rotor's solidity; section NACA 0012, "
        "where the blades are up to 28 % thick at the root; root cut-out 0.15 of the radius (not in the table)",
        ("The table gives no blade angles: torque is compared at the measured thrust.",
         "With the smooth section's drag (0.0087) the theory's torque is 11 to 24 % low wherever the blades carry "
         "something. The report's own torque without thrust stands for a drag of 0.0124, two fifths more: these blades "
         "were neither smooth nor thin.",
         "With that drag the errors are a few per cent, but then one figure is this rotor's own: it shows that drag "
         "without lift is what is missing, and is no test.",
         "Taken as rectangular the rotor's torque would seem to be 5 points nearer: the taper has to be in."),
        "NACA TN 2318, this rotor's torque without thrust" if adjusted else NOTHING,
    )  # fmt: skip


def _tm_81232(adjusted: bool, taken: Taken = AS_IT_STANDS) -> Comparison:
    name = "nasa_tm_81232_hover.csv"
    section = taken.of(naca_0012())
    blades = _plain(2, 1.143, 0.1905, 0.2, section)
    points = []
    for row in (r for r in rows(name) if r["kind"] == "CT"):
        speed = float(row["rpm"]) * np.pi / 30
        sound = speed * 1.143 / float(row["tip_mach"])
        case = f"tip Mach {row['tip_mach']}"
        points.append(_point(case, blades, speed, row["pitch_deg"], row["CT"], taken.model, sound=sound))
    for row in (r for r in rows(name) if r["kind"] == "CL"):
        speed = float(row["rpm"]) * np.pi / 30
        air = Air(_DENSITY, speed * 1.143 / float(row["tip_mach"]), _VISCOSITY)
        stations = along_blade(blades, speed, air, np.radians(float(row["pitch_deg"])), taken.model)
        for column in (c for c in row if c.startswith("CL_")):
            place = float(column[3:].removesuffix("R"))
            model = float(np.interp(place, stations.station, stations.lift_coefficient))
            points.append(
                ComparedPoint(f"section lift at {place:g} R", float(row["pitch_deg"]), float(row[column]), model)
            )
    return Comparison(
        sources.NASA_TM_81232, section, name, tuple(points), "root cut-out 0.2 of the radius (not in the table)",
        ("Thrust is 23 to 61 % high at a given blade angle; for a thrust the rotor took 17 to 37 % more blade angle "
         "than the theory says, never less. The measured section lift, summed along the blade, gives the measured "
         "thrust within 1 %: the data agree with themselves.",
         "At the same blade angle the measured lift stands for an inflow 10 to 15 % larger all along the blade, 0.5 "
         "to 1 degree of angle. These two blades are broad and close to their wake: the tip vortex of one passes "
         "under the other before it has sunk away. Rings that know nothing of each other cannot show that. Blade "
         "angles set 0.5 to 1 degree below the stated ones would look the same. A larger loss at the tips would give "
         "the thrust but not the lift, which is too small at half the radius already.",
         "The measured thrust hardly changes with tip Mach number; the theory's lift slope grows with it by Prandtl "
         "and Glauert's rule, which is why the error grows from 23 to 37 % between Mach 0.43 and 0.79 at 12 degrees.",
         "For thrust at a given blade angle of short broad blades do not trust the theory: a tail rotor's margin may "
         "be smaller than it says."),
    )  # fmt: skip


COMPARISONS: dict[str, Callable[..., Comparison]] = {
    "NACA TN 626": _tn_626,
    "NACA TN 2474": _tn_2474,
    "NACA TN 2318": _tn_2318,
    "NASA TM-81232": _tm_81232,
}
_WITH_ANOTHER_DRAG = ("NACA TN 626", "NACA TN 2474", "NACA TN 2318")


@lru_cache(maxsize=128)
def compare(name: str, adjusted: bool = False, taken: Taken = AS_IT_STANDS) -> Comparison:
    """The blade-element hover against one published measurement, one of `COMPARISONS`.

    adjusted: with a drag that a report matched to rotors instead of the section's own: for the two reports on the NACA
    0015 the other drag that NACA TN 626 states (`naca_0015_by_rotors`), for NACA TN 2318 that of its own torque without
    thrust. `Comparison.adjusted_to` says to which rotors. taken: how the theory is taken. Raises `ValueError` where no
    such drag is known.

    Examples
    --------
    >>> least, most = compare("NACA TN 626").worst("thrust_error", asked=True)
    >>> print(f"{least:.1f} to {most:.1f} %")
    -3.0 to 7.4 %
    """
    if adjusted and name not in _WITH_ANOTHER_DRAG:
        raise ValueError(f"a drag matched to rotors is known for {', '.join(_WITH_ANOTHER_DRAG)}, not for {name}")
    return COMPARISONS[name](adjusted, taken)


def _plain(count: int, radius: float, chord: float, cut: float, section: LinearSection) -> Blades:
    return Blades(count, radius, cut, section, (cut,), (chord,), (0.0,))


def _tapered(radius: float, solidity: float, cut: float, taper: float, section: LinearSection) -> Blades:
    """Two blades with a straight taper from the cut-out to the tip, whose chord at 0.75 of the radius has the solidity:
    within 1 % that of thrust, three times the integral of chord times r^2."""
    chord = solidity * np.pi * radius / 2
    root = chord / (1 + (COLLECTIVE_AT - cut) / (1 - cut) * (taper - 1))
    return Blades(2, radius, cut, section, (cut, 1.0), (root, root * taper), (0.0, 0.0))


def _point(
    case: str, blades: Blades, speed: float, pitch: str | None, thrust: str, model: Model, *,
    torque: float | None = None, less_idle: bool = False, sound: float = _SOUND,
) -> ComparedPoint:  # fmt: skip
    air = Air(_DENSITY, sound, _VISCOSITY)
    idle = at_collective(blades, speed, air, 0.0, model).power_coefficient if less_idle else 0.0
    measured = float(thrust)
    at_angle: Any = None if pitch is None else at_collective(blades, speed, air, np.radians(float(pitch)), model)
    force = measured * _DENSITY * blades.disk_area * (speed * blades.radius) ** 2
    same = at_thrust(blades, speed, air, force, model)
    return ComparedPoint(
        case,
        None if pitch is None else float(pitch),
        measured,
        None if at_angle is None else at_angle.thrust_coefficient,
        torque,
        None if at_angle is None or torque is None else at_angle.power_coefficient - idle,
        None if torque is None else same.power_coefficient - idle,
        float(idle),
        None if pitch is None or not measured else float(np.degrees(same.collective)),
        measured / blades.solidity,
    )


def _error(model: float | None, measured: float | None) -> float | None:
    if model is None or not measured:
        return None
    return 100 * (model / measured - 1)
