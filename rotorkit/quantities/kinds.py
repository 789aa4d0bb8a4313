"""The kinds of quantity: what a length, a torque or a rotor speed is, beyond its dimensions.

Dimensions alone let 5 Hz pass for 5 rad/s, joules for a torque and a temperature difference for a temperature. A kind
adds what the trade means: which units say it, which never do, what is shown, and whether it can be negative.
A kind is used as an annotation (``thrust: Force``); the annotation is the contract that
`rotorkit.formula.contract` enforces.
"""

from __future__ import annotations

import types
from dataclasses import dataclass, field
from typing import Annotated, Any, Union, get_args, get_origin

from rotorkit.quantities.pint_inside import Quantity

__all__ = ["Kind", "difference_kind", "kind_of", "required_kind"]


@dataclass(frozen=True)
class Kind:
    """What makes a quantity this and no other.

    name: in words, with its article ("a force"). si: the coherent SI unit, as typed. us, metric: the unit shown in each
    system of display, as typed. example: what a person would type. minimum: the least SI value that exists (None: any).
    pound: whether ``lb`` means a force or a mass here. angle: the power of plane angle (1 for an angle or a rotation
    rate). flavour: a further rule on units, see `rotorkit.quantities.registry`. adds: whether the trade adds readings
    of it up (what stands on three scales; a tape that was moved on), so that a sum may be typed.
    """

    name: str
    si: str
    us: str
    metric: str
    example: str
    minimum: float | None = None
    pound: str = "mass"
    angle: int = 0
    flavour: str = ""
    adds: bool = False
    scales: dict[Any, tuple[float, float, str | None]] = field(
        default_factory=dict, init=False, repr=False, compare=False
    )
    """What has been worked out of units so far, see `rotorkit.quantities.registry.scales_of`."""

    def shown(self, system: str) -> str:
        """The unit that this kind is shown in, for the display system "us" or "metric"."""
        return self.metric if system == "metric" else self.us

    @property
    def bare_name(self) -> str:
        """The name without its article."""
        return self.name.split(" ", 1)[1]

    def alike(self, other: Kind) -> bool:
        """Whether a value of the other kind may stand for this one: the same SI unit under the same rules. A
        temperature difference is no temperature, a gauge pressure no absolute one, though their SI units are the same.
        """
        return self == other or (self.si == other.si and self.flavour == other.flavour)

    def __str__(self) -> str:
        return self.name

    def __hash__(self) -> int:  # kinds are keys wherever something is worked out once and kept
        return hash(self.name)


def kind_of(annotation: Any) -> Kind | None:
    """The `Kind` in an annotation such as ``Force`` or ``Force | None``, or a `Kind` itself; None where none is."""
    if isinstance(annotation, Kind):
        return annotation
    for extra in getattr(annotation, "__metadata__", ()):  # the usual one, Annotated: asked for with every figure
        if isinstance(extra, Kind):
            return extra
    if get_origin(annotation) in (Union, types.UnionType):  # Force | None
        found = [kind for kind in map(kind_of, get_args(annotation)) if kind is not None]
        return found[0] if len(found) == 1 else None
    for extra in get_args(annotation)[1:]:
        if isinstance(extra, Kind):
            return extra
    return None


def required_kind(annotation: Any) -> Kind:
    """The `Kind` in an annotation, or a `Kind` itself. Raises `TypeError` where there is none: a slip in a program, not
    in a reading."""
    found = kind_of(annotation)
    if found is None:
        raise TypeError(f"needs a kind such as Angle or Force, got {annotation!r}")
    return found


def difference_kind(kind: Kind) -> Kind:
    """The kind of a difference of two, and so of an uncertainty: for temperatures a temperature difference."""
    return required_kind(TemperatureDifference) if kind.flavour == "temperature" else kind


Length = Annotated[Quantity, Kind("a length", "m", "ft", "m", "11 ft 8 in", adds=True)]
Area = Annotated[Quantity, Kind("an area", "m^2", "ft^2", "m^2", "428 ft^2", minimum=0)]
Volume = Annotated[Quantity, Kind("a volume", "m^3", "gal", "L", "17 gal", minimum=0, adds=True)]
Mass = Annotated[Quantity, Kind("a mass", "kg", "lb", "kg", "1,310 lb", minimum=0, adds=True)]
MassDifference = Annotated[Quantity, Kind("a difference of masses", "kg", "lb", "kg", "-50 lb")]
MassMoment = Annotated[Quantity, Kind("a moment of mass", "kg*m", "lb*in", "kg*m", "16,104 lb*in")]
Force = Annotated[Quantity, Kind("a force", "N", "lbf", "N", "35 lb", pound="force")]
Torque = Annotated[Quantity, Kind("a torque", "N*m", "lbf*ft", "N*m", "35 ft-lb", pound="force", flavour="torque")]
Energy = Annotated[Quantity, Kind("an energy", "J", "BTU", "kJ", "20 kJ", pound="force", flavour="energy")]
Power = Annotated[Quantity, Kind("a power", "W", "hp", "kW", "138 hp", pound="force")]
Pressure = Annotated[Quantity, Kind("an absolute pressure", "Pa", "inHg", "hPa", "29.92 inHg", 0, "force")]
GaugePressure = Annotated[
    Quantity, Kind("a gauge pressure", "Pa", "psi", "bar", "75 psi", pound="force", flavour="gauge pressure")
]
Stress = Annotated[Quantity, Kind("a stress", "Pa", "psi", "MPa", "12,000 psi", pound="force")]
Density = Annotated[Quantity, Kind("a density", "kg/m^3", "slug/ft^3", "kg/m^3", "1.225 kg/m^3", minimum=0)]
Temperature = Annotated[Quantity, Kind("a temperature", "K", "degF", "degC", "85 °F", minimum=0, flavour="temperature")]
TemperatureDifference = Annotated[
    Quantity, Kind("a temperature difference", "K", "degF", "degC", "20 °F", flavour="difference")
]
Angle = Annotated[Quantity, Kind("an angle", "rad", "deg", "deg", "9.5°", angle=1)]
Ratio = Annotated[Quantity, Kind("a ratio", "", "", "", "0.75 or 75 %")]
RotationRate = Annotated[Quantity, Kind("a rotation rate", "rad/s", "rpm", "rpm", "455 rpm", angle=1)]
Frequency = Annotated[Quantity, Kind("a frequency", "Hz", "Hz", "Hz", "8.5 Hz")]
Speed = Annotated[Quantity, Kind("a speed", "m/s", "ft/s", "m/s", "556 ft/s")]
Acceleration = Annotated[Quantity, Kind("an acceleration", "m/s^2", "ft/s^2", "m/s^2", "32.17 ft/s^2")]
Time = Annotated[Quantity, Kind("a time", "s", "s", "s", "12 s")]
DiskLoading = Annotated[
    Quantity, Kind("a disk loading", "N/m^2", "lbf/ft^2", "N/m^2", "3.1 lb/ft^2", pound="force", flavour="loading")
]
PowerLoading = Annotated[Quantity, Kind("a power loading", "N/W", "lbf/hp", "N/kW", "10.5 lb/hp", pound="force")]
Stiffness = Annotated[Quantity, Kind("a stiffness", "N/m", "lbf/in", "N/mm", "900 lb/in", pound="force")]
ForcePerTemperature = Annotated[
    Quantity,
    Kind("a force per temperature", "N/K", "lbf/degF", "N/degC", "0.6 lb/°F", pound="force", flavour="per degree"),
]
ThermalExpansion = Annotated[
    Quantity, Kind("a thermal expansion", "1/K", "1/degF", "1/degC", "13e-6 /°F", flavour="per degree")
]
LinearDensity = Annotated[Quantity, Kind("a mass per length", "kg/m", "lb/ft", "kg/m", "0.03 lb/ft", minimum=0)]
VolumeFlow = Annotated[Quantity, Kind("a volume flow", "m^3/s", "gal/h", "L/h", "9.5 gal/h")]
MassFlow = Annotated[Quantity, Kind("a mass flow", "kg/s", "lb/h", "kg/h", "60 lb/h")]
SpecificFuelConsumption = Annotated[
    Quantity, Kind("a specific fuel consumption", "kg/J", "lb/(hp*h)", "g/(kW*h)", "0.45 lb/(hp*h)", minimum=0)
]
DynamicViscosity = Annotated[
    Quantity, Kind("a dynamic viscosity", "Pa*s", "slug/(ft*s)", "Pa*s", "1.8e-5 Pa*s", 0, "force")
]
SpecificGasConstant = Annotated[
    Quantity, Kind("a specific gas constant", "J/(kg*K)", "J/(kg*K)", "J/(kg*K)", "287.05 J/(kg*K)", 0)
]
SpecificHeat = Annotated[Quantity, Kind("a specific heat", "J/(kg*K)", "J/(kg*K)", "J/(kg*K)", "1006 J/(kg*K)", 0)]
LapseRate = Annotated[Quantity, Kind("a lapse rate", "K/m", "K/m", "K/m", "0.0065 K/m", flavour="per degree")]
MomentOfInertia = Annotated[
    Quantity, Kind("a moment of inertia", "kg*m^2", "slug*ft^2", "kg*m^2", "150 slug*ft^2", minimum=0)
]
SecondMomentOfArea = Annotated[Quantity, Kind("a second moment of area", "m^4", "in^4", "mm^4", "0.02 in^4", minimum=0)]
Compliance = Annotated[
    Quantity, Kind("a compliance", "m/N", "in/lbf", "mm/N", "0.001 in/lbf", minimum=0, pound="force")
]
StretchFactor = Annotated[
    Quantity, Kind("a cable stretch factor", "m^2/N", "in^2/lbf", "mm^2/N", "0.0000162 in^2/lbf", 0, "force")
]
AnglePerLength = Annotated[Quantity, Kind("an angle per length", "rad/m", "deg/in", "deg/mm", "8.8 deg/in", angle=1)]
ForcePerTime = Annotated[Quantity, Kind("a force per time", "N/s", "lbf/day", "N/day", "-0.02 lb/day", pound="force")]
AutorotativeIndex = Annotated[
    Quantity, Kind("an autorotative index", "m^3/N", "ft^3/lbf", "m^3/N", "20 ft^3/lb", minimum=0, pound="force")
]
TorsionalStiffness = Annotated[
    Quantity,
    Kind("a torsional stiffness", "N*m/rad", "lbf*ft/rad", "N*m/rad", "90 lbf*ft/deg", 0, "force", -1),
]
TorsionalDamping = Annotated[
    Quantity,
    Kind("a torsional damping", "N*m*s/rad", "lbf*ft*s/rad", "N*m*s/rad", "3,000 lbf*ft*s/rad", 0, "force", -1),
]
Damping = Annotated[Quantity, Kind("a damping", "N*s/m", "lbf*s/in", "N*s/m", "300 lbf*s/in", 0, "force")]
AngularAcceleration = Annotated[
    Quantity, Kind("an angular acceleration", "rad/s^2", "rad/s^2", "rad/s^2", "40 rad/s^2", angle=1)
]
BendingStiffness = Annotated[
    Quantity, Kind("a bending stiffness", "N*m^2", "lbf*in^2", "N*m^2", "100,000 lbf*in^2", 0, "force")
]
Unbalance = Annotated[Quantity, Kind("an unbalance", "kg*m", "oz*in", "g*mm", "1.5 oz*in", pound="mass")]

KINDS: dict[str, Any] = {
    name: value for name, value in list(globals().items()) if kind_of(value) is not None and not name.startswith("_")
}
"""Every kind by name, in the order in which `say` tries them for a quantity whose kind is not given."""

__all__ += list(KINDS)
