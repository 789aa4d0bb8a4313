"""What the aircraft file says of the drive: belt drives, shafts on hangers, couplings, bearings, blades in lag."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field, field_validator, model_validator

from rotorkit.aircraft.entries import Entry, Figures, LimitEntry, NeededText, Section, needed
from rotorkit.judging.limits import Limit
from rotorkit.quantities import (
    Angle,
    Density,
    Force,
    Length,
    LinearDensity,
    Mass,
    MomentOfInertia,
    Power,
    Ratio,
    Reading,
    RotationRate,
    Stiffness,
    Stress,
    Time,
    TorsionalDamping,
    TorsionalStiffness,
)

_INCHES = ("in", "mm")
_TURNS = Entry(Ratio, physical=("0.01", "100"))
_PULLEY = Entry(Length, _INCHES, physical=("1 in", "6 ft"))

SPEEDS_AGREE_WITHIN = 0.005
"""How far a rotor speed may be from engine speed over drive ratio before it is pointed out: half a per cent."""


class BeltLimits(Section):
    """Limits of a belt drive. tension: of one run of one belt, standing."""

    tension: Annotated[Limit | None, LimitEntry(Force, "belt tension", "lbf")] = None
    slip_margin: Annotated[Limit | None, LimitEntry(Ratio, "margin against slip")] = None


class Belt(Figures):
    """A belt drive with an open belt, or several alike beside each other.

    driver_speed: greatest speed of the driving pulley. greatest_power: of all belts together, with what the manual adds
    for shocks. groove_angle: whole, from side to side; 180 degrees for a flat belt. linear_density: of one belt. turns:
    of the driving pulley for one turn of the main rotor: with it the belt's coming round is known in a vibration.
    """

    together = True
    title: NeededText = needed()
    driver_diameter: Annotated[Reading, _PULLEY] = needed()
    driven_diameter: Annotated[Reading, _PULLEY] = needed()
    centre_distance: Annotated[Reading, Entry(Length, _INCHES, physical=("2 in", "10 ft"))] = needed()
    linear_density: Annotated[Reading, Entry(LinearDensity, ("lb/ft", "kg/m"), physical=("0.001 lb/ft", "5 lb/ft"))] = (
        needed()
    )
    groove_angle: Annotated[Reading, Entry(Angle, physical=("20 deg", "180 deg"))] = needed()
    friction_coefficient: Annotated[Reading, Entry(Ratio, physical=("0.05", "1.5"))] = needed()
    driver_speed: Annotated[Reading, Entry(RotationRate, physical=("50 rpm", "12000 rpm"))] = needed()
    greatest_power: Annotated[Reading, Entry(Power, physical=("0.1 hp", "1000 hp"))] = needed()
    belts: int = Field(default=1, ge=1, le=20)
    turns: Annotated[Reading | None, _TURNS] = None
    limits: BeltLimits = BeltLimits()
    source: str = ""

    @model_validator(mode="after")
    def _apart(self) -> Belt:
        given = self.has("driver_diameter", "driven_diameter", "centre_distance")
        if given and 2 * self.centre_distance.si <= self.driver_diameter.si + self.driven_diameter.si:
            raise ValueError(f"centre_distance {self.centre_distance.typed} is too short: the pulleys overlap")
        return self


class ShaftLimits(Section):
    """Limits of a shaft. critical_margin: first critical speed over greatest speed, less one."""

    critical_margin: Annotated[Limit | None, LimitEntry(Ratio, "margin to the critical speed")] = None


class DriveShaft(Figures):
    """A tubular shaft on bearings or hangers, by name. hanger_stiffness: of each, across the shaft."""

    together = True
    title: NeededText = needed()
    outer_diameter: Annotated[Reading, Entry(Length, _INCHES, physical=("1/4 in", "10 in"))] = needed()
    wall: Annotated[Reading, Entry(Length, _INCHES, physical=("0.01 in", "2 in"))] = needed()
    length: Annotated[Reading, Entry(Length, _INCHES, physical=("4 in", "40 ft"))] = needed()
    elastic_modulus: Annotated[Reading, Entry(Stress, ("psi", "GPa"), physical=("1000000 psi", "60000000 psi"))] = (
        needed()
    )
    density: Annotated[Reading, Entry(Density, ("lb/in^3", "kg/m^3"), physical=("0.02 lb/in^3", "0.4 lb/in^3"))] = (
        needed()
    )
    hanger_stiffness: Annotated[Reading, Entry(Stiffness, physical=("10 lb/in", None))] = needed()
    greatest_speed: Annotated[Reading, Entry(RotationRate, physical=("50 rpm", "30000 rpm"))] = needed()
    hangers: list[NeededText] = Field(default_factory=list, description="its bearings and hangers, from the front")
    limits: ShaftLimits = ShaftLimits()
    source: str = ""

    @model_validator(mode="after")
    def _hollow(self) -> DriveShaft:
        if self.has("wall", "outer_diameter") and 2 * self.wall.si > self.outer_diameter.si:
            raise ValueError(f"wall {self.wall.typed} is more than half of outer_diameter {self.outer_diameter.typed}")
        if len(set(self.hangers)) != len(self.hangers):
            raise ValueError("hangers must have different names")
        return self


class CouplingLimits(Section):
    """Limits of a coupling's alignment: offset and angle as their whole size, whatever the direction; run_out is the
    whole reading of the dial over a turn, of either hub."""

    offset: Annotated[Limit | None, LimitEntry(Length, "offset of the shafts", "in")] = None
    angle: Annotated[Limit | None, LimitEntry(Angle, "angle between the shafts")] = None
    run_out: Annotated[Limit | None, LimitEntry(Length, "run-out of a hub", "in")] = None


class Coupling(Figures):
    """A coupling between a shaft that stays and one whose machine is moved on its feet.

    shim: thickness of the thinnest shim that there is. stands_high: how far the moved shaft's axis is to stand above
    the fixed one's when cold, as a manual asks where warmth lifts it into line; negative where it is to stand low.
    """

    together = True
    title: NeededText = needed()
    shim: Annotated[Reading, Entry(Length, _INCHES, physical=("0.0005 in", "0.2 in"))] = needed()
    stands_high: Annotated[Reading | None, Entry(Length, _INCHES, physical=("-0.2 in", "0.2 in"))] = None
    limits: CouplingLimits = CouplingLimits()
    source: str = ""


ENGINE, MAIN_ROTOR, TAIL_ROTOR = "engine", "main rotor", "tail rotor"
"""How these three shafts are called in the drive's links, which are checked against what else the file says of them."""


def as_it_is_known(name: str) -> str:
    """A shaft's name in the links: without needless spaces, and the three known otherwise too in small letters."""
    plain = " ".join(name.split())
    return plain.casefold() if plain.casefold() in (ENGINE, MAIN_ROTOR, TAIL_ROTOR) else plain


class DriveLink(Figures):
    """What joins two shafts of the drive, by name. driver, driven: the shafts' names; "engine", "main rotor" and "tail
    rotor" are those. belt: the belt drive of this file that it is; shaft: the shaft on hangers of this file that it is.
    driver_teeth, driven_teeth: of gears or sprockets. turns: of the driven shaft for one turn of the driver, where
    neither teeth nor a belt say it. slip: part of its speed that a belt loses.
    """

    kind: Literal["belt", "gears", "bevel gears", "internal gears", "chain", "shaft", "one-way clutch"]
    driver: NeededText
    driven: NeededText
    belt: str = ""
    shaft: str = ""
    driver_teeth: int | None = Field(None, ge=6, le=500)
    driven_teeth: int | None = Field(None, ge=6, le=500)
    turns: Annotated[Reading | None, _TURNS] = None
    slip: Annotated[Reading, Entry(Ratio, physical=("0 %", "10 %"))] = Field("0 %", validate_default=True)
    source: str = ""

    @field_validator("driver", "driven")
    @classmethod
    def _known(cls, name: str) -> str:
        """The three shafts that the file knows otherwise too, however they are written ("Main rotor")."""
        return as_it_is_known(name)

    @model_validator(mode="after")
    def _says_its_ratio(self) -> DriveLink:
        if self.driver == self.driven:
            raise ValueError(f"driver and driven are both {self.driver}: a link joins two shafts")
        teeth = [self.driver_teeth, self.driven_teeth]
        if (teeth[0] is None) != (teeth[1] is None):
            raise ValueError("driver_teeth and driven_teeth are needed both, or neither")
        given = sum((teeth[0] is not None, bool(self.belt), self.turns is not None))
        if self.kind in ("shaft", "one-way clutch") and given:
            raise ValueError(f"a {self.kind} turns both its shafts alike: leave belt, teeth and turns out")
        if self.kind not in ("shaft", "one-way clutch") and given != 1:
            raise ValueError(
                "needs one of three that says how fast the driven shaft turns: belt (the name of a belt drive of this "
                "file), driver_teeth with driven_teeth, or turns"
            )
        if self.belt and self.kind != "belt":
            raise ValueError(f'belt names a belt drive, and kind is "{self.kind}"')
        if self.shaft and self.kind != "shaft":
            raise ValueError(f'shaft names a shaft on hangers, and kind is "{self.kind}"')
        if self.kind == "belt" and teeth[0] is not None:
            raise ValueError("of a belt teeth are not asked: name the belt drive, or give turns")
        if self.kind != "belt" and self.slip.si:
            raise ValueError(f'slip is a belt\'s, and kind is "{self.kind}": leave it out')
        return self


class LagHinge(Figures):
    """The main rotor's blades in lag, for ground resonance. mass, centre_of_gravity, inertia: of one blade beyond its
    lag hinge, about it; offset: of the hinge from the shaft's axis. spring: at the hinge; of a blade without a hinge
    what its root gives, about where it bends. damper: of each blade about its hinge. greatest_speed: power off
    included.
    """

    together = True
    offset: Annotated[Reading, Entry(Length, _INCHES, physical=("0 in", "5 ft"))] = needed()
    mass: Annotated[Reading, Entry(Mass, ("lb", "kg"), physical=("0.2 lb", "400 lb"))] = needed()
    centre_of_gravity: Annotated[Reading, Entry(Length, _INCHES, physical=("1 in", "40 ft"))] = needed()
    inertia: Annotated[Reading, Entry(MomentOfInertia, physical=("0.001 slug*ft^2", "10000 slug*ft^2"))] = needed()
    spring: Annotated[Reading, Entry(TorsionalStiffness, physical=("0 lbf*ft/rad", None))] = needed()
    damper: Annotated[Reading, Entry(TorsionalDamping, physical=("0 lbf*ft*s/rad", None))] = needed()
    greatest_speed: Annotated[Reading, Entry(RotationRate, physical=("50 rpm", "3000 rpm"))] = needed()
    source: str = ""

    @model_validator(mode="after")
    def _a_body(self) -> LagHinge:
        if self.has("mass", "centre_of_gravity", "inertia"):
            least = self.mass.si * self.centre_of_gravity.si**2
            if self.inertia.si < least * (1 - 1e-9):
                raise ValueError(
                    "inertia is too small: no body has less about its hinge than its mass times the square of the "
                    "distance of its centre of gravity"
                )
        return self


class BearingLimits(Section):
    """Limits of a bearing. life: rating life with the aircraft's own duty; used: hours run over it; greased: hours
    since it was greased last."""

    life: Annotated[Limit | None, LimitEntry(Time, "rating life", "h")] = None
    used: Annotated[Limit | None, LimitEntry(Ratio, "part of the rating life used")] = None
    greased: Annotated[Limit | None, LimitEntry(Time, "hours since greased", "h")] = None


class DriveBearing(Figures):
    """A rolling bearing of the drive, by name. capacity: its basic dynamic load rating C, from its maker's table.
    radial_factor, axial_factor: X and Y of that table, for the equivalent load X Fr + Y Fa; needed where it carries
    along the shaft. shock: what the loads are multiplied with for shocks. on_shaft: the shaft of the drive's links that
    turns its inner ring; turns: of its inner ring for one turn of the main rotor, where no link says it; elements,
    element_diameter, pitch_diameter, contact_angle: its balls or rollers, from its maker: with them the lines of its
    faults are known in a vibration.
    """

    together = True
    title: NeededText = needed()
    capacity: Annotated[Reading, Entry(Force, ("lbf", "N"), physical=("10 lbf", "200000 lbf"))] = needed()
    kind: Literal["ball", "roller"] = needed()
    radial_factor: Annotated[Reading | None, Entry(Ratio, physical=("0.1", "1"))] = None
    axial_factor: Annotated[Reading | None, Entry(Ratio, physical=("0", "5"))] = None
    shock: Annotated[Reading, Entry(Ratio, physical=("1", "4"))] = Field("1", validate_default=True)
    on_shaft: str = ""
    turns: Annotated[Reading | None, _TURNS] = None
    elements: int | None = Field(default=None, ge=3, le=200)
    element_diameter: Annotated[Reading | None, Entry(Length, _INCHES, physical=("0.02 in", "4 in"))] = None
    pitch_diameter: Annotated[Reading | None, Entry(Length, _INCHES, physical=("0.1 in", "40 in"))] = None
    contact_angle: Annotated[Reading, Entry(Angle, physical=("0 deg", "60 deg"))] = Field(
        "0 deg", validate_default=True
    )
    limits: BearingLimits = BearingLimits()
    source: str = ""

    @model_validator(mode="after")
    def _rolls(self) -> DriveBearing:
        one, circle = self.element_diameter, self.pitch_diameter
        if one is not None and circle is not None and one.si >= circle.si:
            raise ValueError("element_diameter must be less than pitch_diameter, the circle of their middles")
        return self
