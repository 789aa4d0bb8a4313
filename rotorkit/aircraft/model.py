"""What the aircraft file holds. An unknown key, a wrong unit or a low above a high is refused with its place."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from contextlib import suppress
from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Field, ValidationInfo, field_validator, model_validator

from rotorkit.aircraft.controls import ControlLimits, Hub, PitchLinks, PushPullTube, Rod, Swashplate, Turnbuckle
from rotorkit.aircraft.drive_parts import (
    SPEEDS_AGREE_WITHIN,
    Belt,
    Coupling,
    DriveBearing,
    DriveLink,
    DriveShaft,
    LagHinge,
)
from rotorkit.aircraft.entries import (
    NOT_FILLED_IN,
    Entry,
    Figures,
    LimitEntry,
    MissingFigures,
    NeededText,
    Section,
    needed,
)
from rotorkit.aircraft.instruments import CABLE_DIAMETERS, Instrument
from rotorkit.aircraft.loading import LoadingFigures
from rotorkit.aircraft.milestones import Milestone
from rotorkit.aircraft.performance_figures import (
    BLOCKAGE,
    DERATED_TO,
    INTAKE_RISE,
    LOWEST_SPEED,
    METHOD,
    POSITION_ERROR,
    Airframe,
    BladeShape,
    MeasuredHover,
    PowerRows,
)
from rotorkit.aircraft.recorders import Recorder
from rotorkit.engine import METHODS
from rotorkit.judging.limits import Limit
from rotorkit.quantities import (
    Angle,
    Force,
    ForcePerTemperature,
    Length,
    Mass,
    MassDifference,
    Power,
    QuantityError,
    Ratio,
    Reading,
    RotationRate,
    Speed,
    Stiffness,
    Temperature,
    Time,
    say,
)
from rotorkit.rigging.control_corners import corner_combinations, corner_words
from rotorkit.rigging.materials import cable_construction, material
from rotorkit.rigging.sign_convention import ChordTurn, SignConvention
from rotorkit.rotor.geometry import tip_speed

_RADIUS = Entry(Length, ("ft", "m"), physical=("3 in", "60 ft"))
_CHORD = Entry(Length, ("in", "mm"), physical=("0.5 in", "4 ft"))
_SPEED = Entry(RotationRate, physical=("50 rpm", "6000 rpm"))
_EFFICIENCY = Entry(Ratio, physical=("50 %", "100 %"))
"""Of a transmission; one that loses half of its power would not last a minute (common practice, no source)."""
ROTORS = ("main rotor", "tail rotor")


def _one_of(*turns: ChordTurn) -> BeforeValidator:
    """Only the turns that make sense for a rotor: up and down for the main one, by the tail boom for the tail rotor."""

    def check(given: Any) -> Any:
        if given in list(turns):
            return given
        problem = NOT_FILLED_IN if given == "" else f'does not know "{given}" here'
        raise ValueError(f"{problem}: write " + " or ".join(f'"{turn}"' for turn in turns))

    return BeforeValidator(check)


_UP_OR_DOWN = _one_of(ChordTurn.LEADING_EDGE_UP, ChordTurn.LEADING_EDGE_DOWN)
_BY_THE_BOOM = _one_of(ChordTurn.LEADING_EDGE_AWAY_FROM_BOOM, ChordTurn.LEADING_EDGE_TOWARD_BOOM)


def _none_if_blank(given: Any) -> Any:
    return None if isinstance(given, str) and not given.strip() else given


class PitchLimits(Section):
    """Limits of a rotor's blade angles."""

    low_stop: Annotated[Limit | None, LimitEntry(Angle, "blade angle at the low stop", "deg")] = None
    neutral: Annotated[Limit | None, LimitEntry(Angle, "blade angle at neutral", "deg")] = None
    high_stop: Annotated[Limit | None, LimitEntry(Angle, "blade angle at the high stop", "deg")] = None
    travel: Annotated[Limit | None, LimitEntry(Angle, "travel between the stops", "deg")] = None
    blade_to_blade: Annotated[Limit | None, LimitEntry(Angle, "blade-to-blade spread", "deg")] = None


class Rotor(Figures):
    """A rotor: what both have. blades: each blade's name, as marked. measured_at: where on the blade the manual has the
    angle measured."""

    blades: Annotated[list[NeededText], Field(min_length=1, max_length=8)] = needed()
    radius: Annotated[Reading, _RADIUS] = needed()
    chord: Annotated[Reading, _CHORD] = needed()
    speed: Annotated[Reading, _SPEED] = needed()
    positive_blade_angle: ChordTurn = needed()
    protractor_reads_positive: ChordTurn = needed()
    measured_at: NeededText = needed()
    limits: PitchLimits = PitchLimits()
    pitch_links: PitchLinks | None = None
    rods: dict[str, Rod] = Field(default_factory=dict, description="rods and stops that move every blade")
    blade: BladeShape | None = None

    @model_validator(mode="after")
    def _fits(self) -> Rotor:
        if self.blade is not None and self.has("blades", "radius", "chord") and not self.blade.lacking():
            try:
                self.blade.blades(len(self.blades), self.radius, self.chord)
            except QuantityError as problem:
                raise ValueError(f"the section blade does not fit the rotor: {problem}") from None
            at = self.blade.measured_at
            if at is not None and not self.blade.root_cutout.si <= at.si <= self.radius.si:
                raise ValueError(f"blade: measured_at {at.typed} does not lie between root_cutout and the tip")
        return self

    @model_validator(mode="after")
    def _signs(self) -> Rotor:
        if self.has("protractor_reads_positive", "positive_blade_angle"):
            SignConvention(self.protractor_reads_positive, self.positive_blade_angle)
        if self.has("blades") and len(set(self.blades)) != len(self.blades):
            raise ValueError("blades must have different names")
        if self.has("blades") and len(self.blades) == 1 and len(parts := self.blades[0].split()) > 1:
            raise ValueError(f"blades: {self.blades[0]!r} is the name of one blade: separate them, {', '.join(parts)}")
        return self

    @property
    def convention(self) -> SignConvention:
        """Which way is positive, for the blade and for the protractor."""
        return SignConvention(self.protractor_reads_positive, self.positive_blade_angle)


class MainRotor(Rotor):
    """The main rotor, with the estimates that the hover margin rests on."""

    positive_blade_angle: Annotated[ChordTurn, _UP_OR_DOWN] = needed()
    protractor_reads_positive: Annotated[ChordTurn, _UP_OR_DOWN] = needed()
    figure_of_merit: Annotated[Reading, Entry(Ratio, physical=("0.2", "0.95"))] = needed()
    induced_factor: Annotated[Reading, Entry(Ratio, physical=("1", "2"))] = needed()
    profile_drag_coefficient: Annotated[Reading, Entry(Ratio, physical=("0.004", "0.05"))] = needed()
    lowest_speed: Annotated[Reading | None, LOWEST_SPEED] = None
    swashplate: Swashplate | None = None
    lag: LagHinge | None = None
    hub: Hub | None = None


class TailRotor(Rotor):
    """The tail rotor. arm: from the main rotor's axis to the tail rotor's, square to its thrust. induced_factor and
    profile_drag_coefficient: for level flight. blockage: the part of its thrust that is lost on the fin."""

    positive_blade_angle: Annotated[ChordTurn, _BY_THE_BOOM] = needed()
    protractor_reads_positive: Annotated[ChordTurn, _BY_THE_BOOM] = needed()
    arm: Annotated[Reading, Entry(Length, ("ft", "m"), physical=("2 ft", "60 ft"))] = needed()
    figure_of_merit: Annotated[Reading, Entry(Ratio, physical=("0.2", "0.95"))] = needed()
    induced_factor: Annotated[Reading, Entry(Ratio, physical=("1", "2"))] = Field("1.25", validate_default=True)
    profile_drag_coefficient: Annotated[Reading, Entry(Ratio, physical=("0.004", "0.05"))] = Field(
        "0.012", validate_default=True
    )
    blockage: Annotated[Reading, BLOCKAGE] = Field("5 %", validate_default=True)


class Drive(Figures):
    """The drive from engine to rotors. Ratios are engine speed over rotor speed for the main rotor, and tail-rotor
    speed over main-rotor speed."""

    engine_to_main_rotor: Annotated[Reading, Entry(Ratio, physical=("1", "30"))] = needed()
    tail_to_main_rotor: Annotated[Reading, Entry(Ratio, physical=("0.5", "20"))] = needed()
    efficiency: Annotated[Reading, _EFFICIENCY] = needed()
    accessory_power: Annotated[Reading, Entry(Power, physical=("0 hp", "50 hp"))] = needed()


class Engine(Figures):
    """The engine, normally aspirated. derated_to: what the manual allows of the rated power. intake_rise: how much
    warmer than the air outside the intake is. method: how power falls with height. power_table: in its place.
    cylinders: of a four-stroke engine, each firing once in two turns: so their firing is known in a vibration."""

    rated_power: Annotated[Reading, Entry(Power, physical=("10 hp", "1000 hp"))] = needed()
    rated_speed: Annotated[Reading, Entry(RotationRate, physical=("500 rpm", "12000 rpm"))] = needed()
    derated_to: Annotated[Reading, DERATED_TO] = Field("100 %", validate_default=True)
    intake_rise: Annotated[Reading, INTAKE_RISE] = Field("0 K", validate_default=True)
    method: Annotated[str, METHOD] = METHODS[0]
    cylinders: int | None = Field(None, ge=1, le=24)
    power_table: PowerRows | None = None

    @property
    def plain(self) -> bool:
        """Whether its power is just the rated power by the first method: no table, no derating, no warm intake."""
        untouched = self.derated_to.si == 1 and self.intake_rise.si == 0
        return self.power_table is None and untouched and self.method == METHODS[0]


class CableLimits(Section):
    """Limits of a cable run."""

    tension: Annotated[Limit | None, LimitEntry(Force, "cable tension", "lbf")] = None
    strength_margin: Annotated[Limit | None, LimitEntry(Ratio, "margin against breaking")] = None


class Cable(Figures):
    """A run of control cable and the airframe that it runs along.

    limits_at: the temperature that the manual's tension is given for. slope: change of tension per degree, from
    the manual's chart or measured; where none is given it is worked out from the materials and stiffnesses below.
    greatest_load: tension in use, with the factor that the manual or the rules ask for. fairleads, pulleys: where the
    run passes one, in words; an empty list where it has none, None where the file does not say.
    """

    title: NeededText = needed()
    diameter: Annotated[Reading, Entry(Length, ("in", "mm"), physical=CABLE_DIAMETERS)] = needed()
    construction: Literal["7x7", "7x19", "1x19"] = needed()
    steel: Literal["carbon steel", "corrosion-resistant steel"] = needed()
    length: Annotated[Reading, Entry(Length, ("in", "mm"), physical=("6 in", "60 ft"))] = needed()
    airframe_material: NeededText = needed()
    airframe_stiffness: Annotated[Reading | None, Entry(Stiffness, physical=("1 lb/in", None))] = None
    runs_tightened_together: int = Field(default=2, ge=1, le=4)
    limits_at: Annotated[Reading, Entry(Temperature, physical=("-60 °F", "160 °F"))] = needed()
    slope: Annotated[Reading | None, Entry(ForcePerTemperature)] = None
    greatest_load: Annotated[Reading | None, Entry(Force, physical=("0.1 lbf", "50000 lbf"))] = None
    fairleads: list[NeededText] | None = None
    pulleys: list[NeededText] | None = None
    turnbuckle: Turnbuckle | None = None
    limits: CableLimits = CableLimits()

    @model_validator(mode="after")
    def _known(self) -> Cable:
        if self.has("airframe_material"):
            material(self.airframe_material)
        if self.has("construction", "steel"):
            cable_construction(self.construction, self.steel)
        return self


class Performance(Section):
    """What performance is judged by: limits that the builder, or the manual, sets.

    airspeed: the never-exceed speed. airspeed_is: which airspeed the manual gives it as. position_error: calibrated
    less indicated airspeed at that speed, from the manual's table; blank where it gives none.
    """

    power_margin: Annotated[Limit | None, LimitEntry(Power, "power margin in the hover", "hp")] = None
    weight_margin: Annotated[Limit | None, LimitEntry(MassDifference, "weight margin in the hover", "lb")] = None
    density_altitude: Annotated[Limit | None, LimitEntry(Length, "density altitude", "ft")] = None
    tip_mach: Annotated[Limit | None, LimitEntry(Ratio, "tip Mach number in the hover")] = None
    blade_loading: Annotated[Limit | None, LimitEntry(Ratio, "blade loading")] = None
    pedal_margin: Annotated[
        Limit | None, LimitEntry(Angle, "blade angle remaining to the stop that pushes hardest", "deg")
    ] = None
    thrust_margin: Annotated[
        Limit | None, LimitEntry(Force, "tail-rotor thrust remaining at the stop that pushes hardest", "lbf")
    ] = None
    climb: Annotated[Limit | None, LimitEntry(Speed, "best rate of climb", "ft/min")] = None
    airspeed: Annotated[Limit | None, LimitEntry(Speed, "airspeed", "kt")] = None
    airspeed_is: Annotated[Literal["indicated", "calibrated", "true"] | None, BeforeValidator(_none_if_blank)] = None
    position_error: Annotated[Reading | None, POSITION_ERROR] = None
    advancing_tip_mach: Annotated[Limit | None, LimitEntry(Ratio, "Mach number of the advancing tip")] = None
    retreating_lift: Annotated[Limit | None, LimitEntry(Ratio, "lift coefficient of the retreating blade")] = None
    descent: Annotated[Limit | None, LimitEntry(Speed, "rate of descent in autorotation", "ft/min")] = None
    energy_per_power: Annotated[Limit | None, LimitEntry(Time, "rotor energy over hover power", "s")] = None
    time_to_lowest_speed: Annotated[Limit | None, LimitEntry(Time, "time to the lowest rotor speed", "s")] = None
    coning: Annotated[Limit | None, LimitEntry(Angle, "coning angle", "deg")] = None


class Weights(Figures):
    """Weights of the aircraft, as a scale shows them."""

    maximum: Annotated[Reading, Entry(Mass, ("lb", "kg"), physical=("200 lb", "12000 lb"))] = needed()


NAMELESS = "Aircraft without a name yet"


def _or_nameless(given: Any) -> Any:
    return NAMELESS if isinstance(given, str) and not given.strip() else given


class Identity(Section):
    """Which aircraft this is, and how figures are shown."""

    name: Annotated[NeededText, BeforeValidator(_or_nameless)] = NAMELESS
    serial: str = ""
    registration: str = ""
    builder: str = ""
    display: Literal["us", "metric"] = "us"


class Aircraft(Figures):
    """The whole aircraft file. A section that the file leaves out is there without its figures."""

    aircraft: Identity = Field(default_factory=Identity)
    main_rotor: MainRotor = Field(default_factory=MainRotor)
    tail_rotor: TailRotor = Field(default_factory=TailRotor)
    drive: Drive = Field(default_factory=Drive)
    engine: Engine = Field(default_factory=Engine)
    weights: Weights = Field(default_factory=Weights)
    loading: LoadingFigures | None = None
    cables: dict[str, Cable] = Field(default_factory=dict)
    push_pull_tubes: dict[str, PushPullTube] = Field(default_factory=dict)
    belts: dict[str, Belt] = Field(default_factory=dict)
    shafts: dict[str, DriveShaft] = Field(default_factory=dict)
    couplings: dict[str, Coupling] = Field(default_factory=dict)
    bearings: dict[str, DriveBearing] = Field(default_factory=dict)
    links: dict[str, DriveLink] = Field(default_factory=dict)
    controls: dict[NeededText, list[NeededText]] = Field(
        default_factory=dict, description="each control of the pilot's, with the ends of its travel"
    )
    control_limits: ControlLimits = ControlLimits()
    airframe: Airframe | None = None
    performance: Performance = Performance()
    measured_hovers: list[MeasuredHover] = Field(default_factory=list, description="hovers that were measured")
    limits: dict[str, dict[str, Any]] = Field(
        default_factory=dict, description="limits of single sheets: [limits.NAME], each read by its sheet"
    )
    instruments: dict[str, Instrument] = Field(default_factory=dict)
    recorders: dict[str, Recorder] = Field(
        default_factory=dict, description="engine monitors whose recordings are read"
    )
    milestones: list[Milestone] = Field(default_factory=list)

    @model_validator(mode="after")
    def _placed(self) -> Aircraft:
        self.placed("")
        return self

    @field_validator("links")
    @classmethod
    def _hang_together(cls, given: dict[str, DriveLink], info: ValidationInfo) -> dict[str, DriveLink]:
        """The links make one train, and the belts and shafts that they name are there."""
        from rotorkit.aircraft.links import ratios_over

        belts = info.data.get("belts", {})
        for name, link in given.items():
            if link.belt and link.belt not in belts:
                there = ", ".join(belts) or "none"
                raise ValueError(f'{name}: belt = "{link.belt}" names no belt drive of this file: there are {there}')
            if link.shaft and link.shaft not in info.data.get("shafts", {}):
                there = ", ".join(info.data.get("shafts", {})) or "none"
                raise ValueError(f'{name}: shaft = "{link.shaft}" names no [shafts] of this file: there are {there}')
        if given:
            try:
                ratios_over(given, belts)
            except QuantityError as problem:
                raise ValueError(str(problem).removeprefix("train: ")) from None
        return given

    @field_validator("controls")
    @classmethod
    def _have_ends(cls, given: dict[str, list[str]]) -> dict[str, list[str]]:
        for control, ends in given.items():
            if len(set(ends)) < 2 or len(set(ends)) < len(ends):
                raise ValueError(f'{control} needs two different ends, such as ["full forward", "full aft"]')
        return given

    @field_validator("control_limits")
    @classmethod
    def _of_its_controls(cls, given: ControlLimits, info: ValidationInfo) -> ControlLimits:
        there = info.data.get("controls", {})
        for name in given.travel:
            if name not in there:
                raise ValueError(f'travel "{name}" is no control: [controls] has {", ".join(there) or "none"}')
        return given

    @field_validator("milestones")
    @classmethod
    def _of_this_aircraft(cls, given: list[Milestone], info: ValidationInfo) -> list[Milestone]:
        titles = [milestone.title for milestone in given]
        if len(set(titles)) != len(titles):
            raise ValueError("must have different titles")
        if "cables" in info.data:
            there = [
                *ROTORS,
                *info.data["cables"],
                *info.data.get("push_pull_tubes", {}),
                *info.data.get("belts", {}),
                *info.data.get("shafts", {}),
                *info.data.get("couplings", {}),
                *info.data.get("bearings", {}),
                *info.data.get("controls", {}),
            ]
            for milestone in given:
                for need in milestone.needs:
                    if need.of and need.of not in there:
                        raise ValueError(
                            f'{milestone.title}: of = "{need.of}" names no rotor, cable, tube, belt, shaft, '
                            f"coupling, bearing or control: there are {', '.join(there)}"
                        )
        return given

    def gives(self, place: str) -> bool:
        """Whether the file gives a needed figure, by its dotted place. Of a cable or the like that is not there at all
        the answer is yes: what names it says so."""
        *tables, key = place.split(".")
        at: Any = self
        for name in tables:
            if isinstance(at, Mapping):
                if name not in at:
                    return True
                at = at[name]
            elif name in type(at).model_fields:
                at = getattr(at, name)
            else:
                return True
            if at is None:
                return False
        return bool(at.has(key))

    def all_lacking(self) -> list[str]:
        """The place of every needed figure that the file does not give, of the sections that it has."""
        found: list[str] = []
        queue: list[Any] = [self]
        while queue:
            one = queue.pop(0)
            if isinstance(one, Figures):
                found += [f"{one.place}.{name}" for name in one.lacking()]
                queue += list(one.__dict__.values())
            elif isinstance(one, dict):
                queue += list(one.values())
        return found

    @property
    def rotors(self) -> dict[str, Rotor]:
        """Both rotors by name."""
        return dict(zip(ROTORS, (self.main_rotor, self.tail_rotor), strict=True))

    @property
    def corners(self) -> list[tuple[tuple[str, str], ...]]:
        """Every combination of the ends of all controls; none where the file names no control."""
        return corner_combinations(self.controls) if self.controls else []

    def choices(self, of: str, measures: str = "") -> dict[str, str]:
        """Key and words of what a field may pick: "rotors", "cables", "push-pull tubes", "belts", "shafts",
        "couplings", "bearings", "controls", "corners" (every combination of the controls' ends), "drive shafts" (of the
        links, each with its turns) or "instruments"."""
        if of == "rotors":
            return {name: name for name in self.rotors}
        if of == "cables":
            return {key: cable.named for key, cable in self.cables.items()}
        if of == "push-pull tubes":
            return {key: tube.named for key, tube in self.push_pull_tubes.items()}
        if of == "belts":
            return {key: belt.named for key, belt in self.belts.items()}
        if of == "shafts":
            return {key: shaft.named for key, shaft in self.shafts.items()}
        if of == "couplings":
            return {key: coupling.named for key, coupling in self.couplings.items()}
        if of == "bearings":
            return {key: bearing.named for key, bearing in self.bearings.items()}
        if of == "controls":
            return {name: name for name in self.controls}
        if of == "corners":
            return {words: words for words in map(corner_words, self.corners)}
        if of == "drive shafts":
            from rotorkit.aircraft.links import turns_of

            turns = turns_of(self.links, self.belts)
            return {name: f"{name}, {each:.5g} × the main rotor" for name, each in turns.items()}
        return {
            key: instrument.serves
            for key, instrument in self.instruments.items()
            if not measures or not instrument.has("measures") or instrument.measures == measures
        }

    def inconsistencies(self) -> list[str]:
        """What in the file does not fit together, in plain sentences; empty where all fits."""
        found = []
        for look in (
            self._engine_fits,
            self._tail_fits,
            self._links_fit,
            self._shafts_fast_enough,
            *map(_tip_speed_fits, self.rotors.items()),
            self._arm_fits,
        ):
            with suppress(MissingFigures):  # what is not there yet does not contradict anything
                found.append(look())
        return [problem for problem in found if problem]

    def _engine_fits(self) -> str:
        expected = self.engine.rated_speed.si / self.drive.engine_to_main_rotor.si
        if abs(self.main_rotor.speed.si / expected - 1) <= SPEEDS_AGREE_WITHIN:
            return ""
        return (
            f"[main_rotor] speed {self.main_rotor.speed.understood} does not fit [engine] rated_speed "
            f"{self.engine.rated_speed.understood} over [drive] engine_to_main_rotor "
            f"{self.drive.engine_to_main_rotor.understood}, which gives {say(_rate(expected))}"
        )

    def _tail_fits(self) -> str:
        expected = self.main_rotor.speed.si * self.drive.tail_to_main_rotor.si
        if abs(self.tail_rotor.speed.si / expected - 1) <= SPEEDS_AGREE_WITHIN:
            return ""
        return (
            f"[tail_rotor] speed {self.tail_rotor.speed.understood} does not fit [main_rotor] speed times [drive] "
            f"tail_to_main_rotor {self.drive.tail_to_main_rotor.understood}, which gives {say(_rate(expected))}"
        )

    def _links_fit(self) -> str:
        from rotorkit.aircraft.links import links_against

        return links_against(self.links, self.belts, self.drive, self.bearings)

    def _shafts_fast_enough(self) -> str:
        from rotorkit.aircraft.links import speeds_against

        if not self.links:
            return ""
        return "; ".join(speeds_against(self.links, self.belts, self.shafts, self.main_rotor.speed).values())

    def _arm_fits(self) -> str:
        reach = self.main_rotor.radius.si + self.tail_rotor.radius.si
        if self.tail_rotor.arm.si > reach:
            return ""
        return f"[tail_rotor] arm {self.tail_rotor.arm.understood} lets the disks overlap: check arm and radii"


def _tip_speed_fits(named: tuple[str, Rotor]) -> Callable[[], str]:
    """Looks at a rotor's tip speed."""
    name, rotor = named

    def look() -> str:
        speed = tip_speed(rotor.speed, rotor.radius)
        if 100 < speed.m_as("m/s") < 260:
            return ""
        return f"the {name}'s tip speed is {say(speed)}: check its radius and speed"

    return look


def _rate(si: float) -> object:
    from rotorkit.quantities import from_si, kind_of

    kind = kind_of(RotationRate)
    assert kind is not None
    return from_si(si, kind)
