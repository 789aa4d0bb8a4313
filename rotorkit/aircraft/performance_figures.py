"""What the aircraft file says for performance: blades and their section, airframe, engine, hovers that were measured.

All of it is optional: a sheet that needs a section says so by its name (`blades_of`, `power_model_of`). Where it is
given it is complete.
"""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field, field_validator, model_validator

from rotorkit.aircraft.entries import Choice, Entry, Figures, NeededText, Section, needed
from rotorkit.edges.recent import Recent, TheVerySame
from rotorkit.engine import METHODS, PowerTable
from rotorkit.quantities import (
    Angle,
    Area,
    Length,
    Mass,
    MomentOfInertia,
    Power,
    QuantityError,
    Ratio,
    Reading,
    RotationRate,
    Speed,
    Temperature,
    TemperatureDifference,
    from_si,
)
from rotorkit.rotor.blade_element import Blades, LinearSection, rotor_blades

_PLAIN = Entry(Ratio)


def _exact(given: Reading | None) -> Reading | None:
    """A figure that is used as it stands: an uncertainty would be lost, so none is taken."""
    if given is not None and given.uncertainty is not None:
        raise ValueError(
            "takes no uncertainty: how well the blade-element estimate is known is taken from the spread of the "
            "estimates. Write the figure alone"
        )
    return given


class BladeShape(Figures):
    """The blades of a rotor for the blade-element estimates, and what one of them weighs.

    Angles have the sign of the rotor's blade angles, whichever way the manual calls positive. root_cutout: from the
    shaft's axis to where the blade's section begins. twist: blade angle at the tip less that at the axis; where a
    positive angle lifts, negative for blades that flatten toward the tip. taper: tip chord over root chord; the rotor's
    chord is that at three quarters of the radius. drag: drag_constant + drag_linear x + drag_square x², x the angle
    from zero lift in radians. greatest_lift: lift coefficient at the stall. inertia: of one blade about the shaft.
    measured_at: from the shaft's axis to where the blade angles are measured; matters for twisted blades.
    """

    together = True
    root_cutout: Annotated[Reading, Entry(Length, ("in", "mm"), physical=("1 in", "10 ft"))] = needed()
    twist: Annotated[Reading, Entry(Angle, ("deg", "deg"), physical=("-45 deg", "45 deg"))] = needed()
    taper: Annotated[Reading, Entry(Ratio, physical=("0.1", "2"))] = Field("1", validate_default=True)
    lift_slope: Annotated[Reading, Entry(Ratio, physical=("3", "8"))] = needed()
    zero_lift_angle: Annotated[Reading, Entry(Angle, ("deg", "deg"), physical=("-8 deg", "8 deg"))] = Field(
        "0 deg", validate_default=True
    )
    drag_constant: Annotated[Reading, Entry(Ratio, physical=("0.003", "0.1"))] = needed()
    drag_linear: Annotated[Reading, _PLAIN] = Field("0", validate_default=True)
    drag_square: Annotated[Reading, _PLAIN] = needed()
    greatest_lift: Annotated[Reading, Entry(Ratio, physical=("0.3", "2.5"))] = needed()
    thickness_ratio: Annotated[Reading | None, Entry(Ratio, physical=("0.04", "0.3"))] = None
    measured_at: Annotated[Reading | None, Entry(Length, ("in", "mm"), physical=("1 in", "60 ft"))] = None
    mass: Annotated[Reading | None, Entry(Mass, ("lb", "kg"), physical=("0.2 lb", "400 lb"))] = None
    inertia: Annotated[Reading | None, Entry(MomentOfInertia, physical=("0.001 slug*ft^2", "10000 slug*ft^2"))] = None
    source: NeededText = needed()

    @field_validator("twist", "taper", "lift_slope", "zero_lift_angle", "drag_constant", "drag_linear", "drag_square",
                     "greatest_lift", "thickness_ratio", "root_cutout")  # fmt: skip
    @classmethod
    def _as_they_stand(cls, given: Reading | None) -> Reading | None:
        return _exact(given)

    def section(self, lifts: float = 1.0) -> LinearSection:
        """The section with angles positive where they lift. lifts: 1 where an angle that is positive in the file lifts,
        -1 where it pushes the other way: everything with the sign of an angle then turns."""
        return LinearSection(
            self.lift_slope.si,
            (self.drag_constant.si, lifts * self.drag_linear.si, self.drag_square.si),
            self.greatest_lift.si,
            from_si(lifts * self.zero_lift_angle.si, Angle),
            self.thickness_ratio.si if self.thickness_ratio is not None else None,
            source=self.source,
        )

    def blades(self, count: int, radius: Reading, chord: Reading, lifts: float = 1.0) -> Blades:
        """The blades of the rotor, angles positive where they lift. chord: at three quarters of the radius. lifts: as
        in `section`."""
        key = count, lifts, TheVerySame(radius, chord, *(getattr(self, name) for name in type(self).model_fields))
        return _BLADES.get(key, lambda: self._blades(count, radius, chord, lifts))

    def _blades(self, count: int, radius: Reading, chord: Reading, lifts: float) -> Blades:
        cut, taper = self.root_cutout.si / radius.si, self.taper.si
        along = (0.75 - cut) / (1 - cut)
        root = chord.value / (1 + along * (taper - 1))
        twist = from_si(lifts * self.twist.si, Angle)
        return rotor_blades(count, radius.value, root, self.root_cutout.value, self.section(lifts), twist, taper)


_BLADES = Recent[Blades](32)


class Airframe(Figures):
    """What drags. flat_plate_area: of everything but the blades, for level flight. download: the part of the thrust
    that the downwash on the airframe takes in the hover; none where the rotor's figures come from hovers of this
    aircraft."""

    flat_plate_area: Annotated[Reading, Entry(Area, physical=("0.1 ft^2", "100 ft^2"))] = needed()
    download: Annotated[Reading, Entry(Ratio, physical=("0", "0.3"))] = Field("0 %", validate_default=True)


class PowerRows(Section):
    """The builder's own power table: full-throttle power at the rated engine speed, by height. by: what kind of height.
    rows: height and power, rising: [["0 ft", "138 hp"], ["5000 ft", "116 hp"]]."""

    by: Literal["density altitude", "pressure altitude"]
    rows: list[list[str]] = Field(min_length=2, max_length=60)
    source: NeededText

    @model_validator(mode="after")
    def _readable(self) -> PowerRows:
        if any(len(row) != 2 for row in self.rows):
            raise ValueError('rows: each needs a height and a power, such as ["5000 ft", "116 hp"]')
        try:
            _ = self.table
        except QuantityError as problem:
            raise ValueError(str(problem).removeprefix("PowerTable: ")) from None
        return self

    @property
    def table(self) -> PowerTable:
        """The table as the engine functions take it."""
        heights, powers = ([row[i] for row in self.rows] for i in (0, 1))
        return PowerTable(heights, powers, by=self.by, source=self.source)


class MeasuredHover(Section):
    """A hover out of ground effect that was flown and measured: the weight that just hovered at full throttle, or the
    power that it took (from manifold pressure and engine speed by the engine maker's chart). power: blank for full
    throttle, which is then what the engine's figures of this file give in that air."""

    title: NeededText
    gross_weight: Annotated[Reading, Entry(Mass, ("lb", "kg"), physical=("200 lb", "12000 lb"))]
    pressure_altitude: Annotated[Reading, Entry(Length, ("ft", "m"), physical=("-1400 ft", "20000 ft"))]
    temperature: Annotated[Reading, Entry(Temperature, ("°F", "°C"), physical=("-40 °F", "122 °F"))]
    humidity: Annotated[Reading, Entry(Ratio, ("%", "%"), physical=("0 %", "100 %"))] = Field(
        "0 %", validate_default=True
    )
    rotor_speed: Annotated[Reading, Entry(RotationRate, physical=("50 rpm", "6000 rpm"))]
    power: Annotated[Reading | None, Entry(Power, physical=("5 hp", "1000 hp"))] = None


WHICH_AIRSPEED = ("indicated", "calibrated", "true")
"""What an airspeed in a manual may be: as the indicator shows it, with its position error put right, or through the
air."""
KNOTS = ("kt", "kt")
"""The unit of every airspeed, in both display systems, as manuals and indicators have it; km/h are read where typed."""
POSITION_ERROR = Entry(Speed, KNOTS, physical=("-30 kt", "30 kt"))
DERATED_TO = Entry(Ratio, physical=("30 %", "100 %"))
INTAKE_RISE = Entry(TemperatureDifference, ("°F", "°C"), physical=("0 K", "60 K"))
METHOD = Choice(options=METHODS)
LOWEST_SPEED = Entry(RotationRate, physical=("50 rpm", "6000 rpm"))
BLOCKAGE = Entry(Ratio, physical=("0", "0.5"))
