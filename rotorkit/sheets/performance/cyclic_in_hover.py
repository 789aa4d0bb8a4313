"""Cyclic remaining in the hover: how it hangs with each loading, and what is left of the stick's rigged range."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated, Any, ClassVar, NamedTuple

from rotorkit import sources
from rotorkit.aircraft import Aircraft
from rotorkit.aircraft.controls import Hub
from rotorkit.aircraft.derived import download_of
from rotorkit.aircraft.entries import Entry, GivenRows, Reading, asked, rows
from rotorkit.atmosphere import standard_density
from rotorkit.judging.limits import IN_LIMITS, NO_LIMIT, OUT_OF_LIMITS, WORDS, Limit
from rotorkit.judging.measured import Measured, measured
from rotorkit.mass import hang_angle, weight_force
from rotorkit.pictures.data import Chart, Curve, Point
from rotorkit.quantities import (
    Angle,
    Length,
    Mass,
    MassMoment,
    Ratio,
    RotationRate,
    TorsionalStiffness,
    in_unit,
    required_kind,
    say,
    unit_factor,
)
from rotorkit.rigging.cyclic import RotorTurn
from rotorkit.rotor import (
    cyclic_for_disk_tilt,
    cyclic_remaining,
    disk_area,
    disk_tilt_with_side_force,
    height_along_mast,
    height_with_hub_stiffness,
    hover_power_from_figure_of_merit,
    hub_stiffness,
    main_rotor_torque,
    mast_lean_with_side_force,
    offset_from_mast,
    tail_rotor_thrust_needed,
    thrust_with_download,
)
from rotorkit.sheets.base import AN_ESTIMATE, About, Needed, Outcome, Part, Row, Sheet, SheetLimit, judged_word
from rotorkit.sheets.exercises import Exercise, Range
from rotorkit.sheets.working import Working, capital
from rotorkit.sources import cautions

_INCHES = ("in", "mm")
_DEG = ("deg", "deg")
_POUNDS = ("lb", "kg")
WAYS = ("forward", "aft", "left", "right")
OTHER = {"forward": "aft", "aft": "forward", "left": "right", "right": "left"}
AXES = {"forward": "fore_and_aft", "aft": "fore_and_aft", "left": "left_and_right", "right": "left_and_right"}
LIGHTEN = {"forward": "less weight aft", "aft": "less weight in front", "left": "less weight on the right",
           "right": "less weight on the left"}  # fmt: skip
"""What brings the stick back from a way: the disk is held over the side that hangs low."""
TOWARDS = {"forward": "forward", "aft": "aft", "left": "to the left", "right": "to the right"}
STICK_LEFT = Limit(
    "cyclic remaining", Ratio, low="0", source="physics: the disk follows the stick no further than its stop"
)
WORST = tuple(
    (
        ("loading", f"=Furthest {way}"),
        ("weight", f"worst.{way}.weight"),
        ("arm", f"worst.{way}" if way in ("forward", "aft") else f"worst.{way}.arm"),
        ("lateral_arm", f"worst.{way}" if way in ("left", "right") else f"worst.{way}.lateral_arm"),
    )
    for way in WAYS
)
FLOWN = (
    (("loading", "=At start"), ("weight", "gross_weight"), ("arm", "arm_start"), ("lateral_arm", "lateral_arm_start")),
    (("loading", "=At the end"), ("weight", "weight_end"), ("arm", "arm_end"), ("lateral_arm", "lateral_arm_end")),
)  # fmt: skip
TAIL_ROTOR_BELOW = "the tail rotor's height: tail_rotor_below, in [main_rotor.hub] of the aircraft file"


def _range(way: str) -> Any:
    return Entry(Angle, _DEG, ("-30 deg", "30 deg"), ("0 deg", "15 deg"), given_by=(f"cyclic_range.range.{way}",))


class LoadingRow(Row):
    """One loading: its weight and where its centre of gravity lies."""

    loading: str = asked("Loading", 'In words: "two aboard, full tank", "furthest forward".', "")
    weight: Annotated[Reading | None, Entry(Mass, _POUNDS, ("100 lb", "12000 lb"))] = asked(
        "Gross weight", "From the loading check, with its ±."
    )
    arm: Annotated[Reading | None, Entry(Length, _INCHES, ("-60 ft", "60 ft"))] = asked(
        "Centre of gravity", "Aft of the datum, from the loading check."
    )
    lateral_arm: Annotated[Reading | None, Entry(Length, _INCHES, ("-15 ft", "15 ft"))] = asked(
        "Lateral centre of gravity", "Right positive."
    )


class Held(NamedTuple):
    """What one loading takes. name, inside: whether it lies in the envelopes; pitch, roll: how the airframe hangs, nose
    and left side down positive; aft, right: the stick."""

    name: str
    inside: bool
    pitch: Measured
    roll: Measured | None
    aft: Measured
    right: Measured | None


class CyclicInHover(Sheet):
    """Cyclic remaining in a steady hover, for today's loading and the worst ones."""

    order: ClassVar[int] = 15
    workings: ClassVar[int] = 60
    needed: ClassVar[tuple[Needed, ...]] = (
        Needed("First hover", "a loading that holds the stick near its stop leaves nothing to stop the nose with"),
    )
    limits: ClassVar[Mapping[str, SheetLimit]] = {
        "remaining": SheetLimit(
            Ratio,
            "cyclic remaining",
            None,
            "of the whole travel along its line; a tenth was asked of designs (MIL-H-8501A, 3.2.1: from memory); your "
            "manual's figure goes before",
        ),
    }
    uses: ClassVar[tuple[str, ...]] = (
        "main_rotor.radius",
        "main_rotor.speed",
        "main_rotor.figure_of_merit",
        "main_rotor.swashplate.rotor_turns",
        "main_rotor.hub.arm",
        "main_rotor.hub.height",
        "tail_rotor.arm",
    )
    about: ClassVar[About] = About(
        title="Cyclic remaining in the hover",
        settles=(
            "How the aircraft hangs in a calm hover with each loading, how much cyclic holds it there, and how much of "
            "the stick's rigged range is left."
        ),
        when="Before the first hover and before a loading near the edge of the envelope; after the cyclic was rigged.",
        tools=(
            "the check of the cyclic range, as it is rigged now",
            "the loading check, with its worst loadings",
            "tape and plumb line: the hub above the datum's level line and the tail rotor's axis below the hub",
        ),
        procedure=(
            "Take the four ranges from the cyclic check as it stands now, read after the last turn of any rod.",
            "Take the loadings from the loading check: as flown, and the furthest forward, aft, left and right.",
            "Enter the density altitude of the day: thin air takes more torque, so more push at the tail.",
            "Look at the picture: each loading is where the stick is held, inside what is rigged.",
            "In the first hover, lift slowly and compare: where the stick stands, and how the skids leave the ground. "
            "If that differs from what stands here, set down and find out why.",
        ),
        sign_convention=(
            "Nose down and left side down are positive for how it hangs. Cyclic remaining is the range rigged minus "
            "what is held, as a share of the whole travel along that line. Negative: the stop comes first."
        ),
        cautions=(cautions.CYCLIC_AT_THE_EDGE, cautions.ESTIMATE, *cautions.ALWAYS),
        not_covered=(
            "wind, a sloping ground, moving off, turning: each takes more cyclic, out of what is left here",
            "the air on the body, and a tail rotor whose axis is canted",
            "the stick both ways at once where its stops cut the corner: the sheet on control corners",
            "level flight and autorotation, where the disk blows back and the body is carried by the air",
        ),
    )  # fmt: skip
    exercises: ClassVar[tuple[Exercise, ...]] = (
        Exercise(
            name="nose_down",
            title="How it hangs",
            story=(
                "A helicopter with a teetering rotor is loaded {offset} ahead of its hub, which stands {height} above "
                "the centre of gravity."
            ),
            find="how far the nose hangs down in the hover, which is also how far aft the disk is tilted by the stick",
            unit="deg",
            of=hang_angle,
            given={
                "offset": Range("1.5 in", "4.5 in", "0.1 in"),
                "height": Range("42.0 in", "58.0 in", "0.5 in"),
            },
            hints=(
                "It hangs like a plumb bob: the centre of gravity comes to rest straight below the hub.",
                "The tangent of the angle is the distance ahead over the height.",
            ),
        ),
        Exercise(
            name="left",
            title="What is left of the stick",
            story=(
                "The cyclic is rigged for {range_this_way} aft and {range_other_way} forward. In the hover it is held "
                "{needed} aft."
            ),
            find="what is left aft, as a part of the whole travel",
            unit="%",
            of=cyclic_remaining,
            given={
                "range_this_way": Range("4.5 deg", "5.4 deg", "0.1 deg"),
                "needed": Range("2.1 deg", "3.9 deg", "0.1 deg"),
                "range_other_way": Range("5.6 deg", "6.5 deg", "0.1 deg"),
            },
            hints=(
                "What is left aft is what is rigged aft less what is held.",
                "The whole travel is aft and forward together.",
            ),
        ),
    )

    forward: Annotated[Reading | None, _range("forward")] = asked(
        "Cyclic range forward", "Cyclic pitch at full stick, from the cyclic check that stands."
    )
    aft: Annotated[Reading | None, _range("aft")] = asked(
        "Cyclic range aft", "The same, stick full aft; positive where the disk follows it."
    )
    left: Annotated[Reading | None, _range("left")] = asked("Cyclic range left", "The same, stick full left.")
    right: Annotated[Reading | None, _range("right")] = asked("Cyclic range right", "The same, stick full right.")
    density_altitude: Annotated[
        Reading | None,
        Entry(
            Length, ("ft", "m"), ("-5000 ft", "20000 ft"), ("-3000 ft", "12000 ft"),
            given_by=("hover_margin.density_altitude",),
        ),
    ] = asked("Density altitude", "Of the day, from the hover margin; a wide ± will do: ± 1,000 ft.")  # fmt: skip
    loadings: Annotated[list[LoadingRow], GivenRows(figures=(("loading", FLOWN + WORST),))] = rows(
        "Loadings", "As flown, and the worst that may be flown: each with its weight and centre of gravity."
    )

    @classmethod
    def start(cls, aircraft: Aircraft) -> dict[str, Any]:
        """A row for the loading as flown, and one for each of the worst."""
        names = ("At start", "At the end", *(f"Furthest {way}" for way in WAYS))
        return {**super().start(aircraft), "loadings": [{"loading": name} for name in names]}

    def parts(self, aircraft: Aircraft) -> list[Part]:
        """All four ranges, the air, the tail rotor's height, and a loading that is whole."""
        hub = aircraft.main_rotor.hub
        found = [Part(f"cyclic range {way}", getattr(self, way) is not None) for way in WAYS]
        found.append(Part("density altitude", self.density_altitude is not None))
        found.append(Part(TAIL_ROTOR_BELOW, hub is not None and hub.tail_rotor_below is not None))
        whole = [row for row in self.loadings if None not in (row.weight, row.arm, row.lateral_arm)]
        found.append(Part("a loading with its weight and both arms", bool(whole)))
        return found

    def _work(self, aircraft: Aircraft) -> Outcome:
        return _Working(self, aircraft).whole()


class _Working(Working):
    """One working of the sheet."""

    sheet: CyclicInHover

    def __init__(self, sheet: CyclicInHover, aircraft: Aircraft) -> None:
        super().__init__(sheet, aircraft)
        rotor = aircraft.main_rotor
        assert rotor.hub is not None  # both are asked for by `uses`
        assert rotor.swashplate is not None
        self.hub: Hub = rotor.hub
        self.plate = rotor.swashplate
        # each figure once, for all loadings: what they have in common is one origin
        self.lag = measured(self.plate.response_lag, Angle, "response lag").shown_in(_DEG)
        self.speed = measured(rotor.speed, RotationRate, "rotor speed")
        self.height = measured(self.hub.height, Length, "height of the hub").shown_in(_INCHES)
        self.hub_at = {
            place: measured(getattr(self.hub, place), Length, f"hub's {place.replace('_', ' ')}").shown_in(_INCHES)
            for place in ("arm", "lateral_arm")
        }
        self.leans = {
            way: measured(getattr(self.hub, f"mast_{way}"), Angle, f"mast's lean {words}").shown_in(_DEG)
            for way, words in (("forward", "forward"), ("left", "to the left"))
        }
        self.rows = self._rows()
        self.stiffness = self._stiffness()
        self.sideways = sheet.density_altitude is not None and self.hub.tail_rotor_below is not None
        if self.sideways:
            here = self.reading("density_altitude", "density altitude")
            self.density = self.work("Density of the air", standard_density, here)
            self.area = self.work("", disk_area, measured(rotor.radius, Length, "main rotor's radius"))
            self.merit = measured(rotor.figure_of_merit, Ratio, "figure of merit")
            self.download = download_of(aircraft)
            self.tail_arm = measured(aircraft.tail_rotor.arm, Length, "tail rotor's arm")
            self.below = measured(self.hub.tail_rotor_below, Length, "tail rotor below the hub").shown_in(_INCHES)

    def _rows(self) -> list[tuple[int, LoadingRow]]:
        rows = self.filled("loadings", "weight", "arm", "lateral_arm")
        for i, row in rows:
            for name in ("weight", "arm"):
                if getattr(row, name) is None:
                    words = "gross weight" if name == "weight" else "centre of gravity"
                    self.problem(f"loadings.{i}.{name}", f"is missing: a loading counts with its {words} or not at all")
            if not row.loading.strip():
                self.problem(f"loadings.{i}.loading", "is missing: say which loading this is")
        self.by_key("loadings", rows, lambda row: row.loading.strip().casefold(), "loading", "give each its own name")
        for one, other in (("forward", "aft"), ("left", "right")):
            ranges = getattr(self.sheet, one), getattr(self.sheet, other)
            if None not in ranges and ranges[0].si + ranges[1].si <= 0:
                self.problem(one, f"and {other} together give no travel: each is positive where the disk follows")
        self.settle()
        return rows

    def _stiffness(self) -> Measured:
        """Of the hub; nothing where it has neither offset nor spring."""
        hub, rotor = self.hub, self.aircraft.main_rotor
        spring = measured(hub.hinge_spring, TorsionalStiffness, "spring at the flapping hinge")
        if not hub.hinge_offset.si and none_of(spring):
            self.notes.append(
                "This assumes a hub without any moment, like a teetering rotor's. With hinges off the axis, with "
                "springs, or with blades that bend, less cyclic is needed than this says."
            )
            return Measured(0.0, TorsionalStiffness)
        blade = Measured(0.0, MassMoment)
        if hub.blade_moment is not None:
            blade = measured(hub.blade_moment, MassMoment, "blade's moment about its hinge")
        return self.work(
            "",
            hub_stiffness,
            str(len(rotor.blades)),
            measured(hub.hinge_offset, Length, "offset of the flapping hinge"),
            blade,
            self.speed,
            spring,
        )  # fmt: skip

    def whole(self) -> Outcome:
        self.lead.append(
            f"{AN_ESTIMATE}, by statics, of a steady hover in calm air out of ground effect: the maker's envelope "
            "decides, and the first hover shows."
        )
        held = [self._held(i, row) for i, row in self.rows]
        for one in held:
            hangs = f"nose {'down' if float(one.pitch.si) >= 0 else 'up'} {say(size(one.pitch))}"
            if one.roll is not None:
                hangs += f", {'left' if float(one.roll.si) >= 0 else 'right'} side down {say(size(one.roll))}"
            outside = "" if one.inside else " It lies outside an envelope and is not judged here: never load it so."
            self.notes.append(f"{one.name}: hangs with the {hangs}.{outside}")
        judged = [one for one in held if one.inside]
        if not judged:
            self.lead.append("Every loading entered lies outside the envelopes of the aircraft file.")
            self.missing.append("a loading inside the envelopes")
        close = {way: names for way in WAYS if (names := self._judge(way, judged))}
        if close:
            which = "; ".join(f"{', '.join(names)} ({way})" for way, names in close.items())
            helps = " and ".join(f"{LIGHTEN[way]} leaves more {TOWARDS[way]}" for way in close)
            self.say_to_do(
                f"Not to be flown until that is settled: {which}. {capital(helps)}; or set the cyclic's range as the "
                "manual says, and read it again.",
                "remaining.",
            )
        self._attitudes(judged)
        self.compare("Cyclic remaining")
        self.pictures += self._picture(held)
        return self.outcome()

    # one loading

    def _held(self, i: int, row: LoadingRow) -> Held:
        name = row.loading.strip()
        mass = self.reading(f"loadings.{i}.weight", f"gross weight, {name}", _POUNDS)
        arm = self.reading(f"loadings.{i}.arm", f"centre of gravity, {name}", _INCHES)
        weight = self.work(f"{name}: weight", weight_force, mass)
        ahead = self._off(name, "arm", arm)
        lean = self.leans["forward"]
        offset, height = self._along_mast(name, "ahead of", ahead, lean)
        high = self._high(name, height, weight)
        aft = self.work(f"{name}: tilt of the disk against the mast, aft", hang_angle, offset, high).shown_in(_DEG)
        pitch = aft - lean
        if not none_of(lean):
            cited = sources.ARITHMETIC.at("mast and airframe lean together")
            self.step(f"{name}: nose down", [f"{say(aft)} less {say(lean)} = {say(pitch)}"], pitch, cited)
        stick = self.work(f"{name}: stick aft", cyclic_for_disk_tilt, aft, self.lag).shown_in(_DEG)
        roll = right = None
        lateral = None
        if row.lateral_arm is not None:
            lateral = self.reading(f"loadings.{i}.lateral_arm", f"lateral centre of gravity, {name}", _INCHES)
            if self.sideways:
                roll, right = self._sideways(name, lateral, weight)
        figures = self.aircraft.loading
        inside = figures is None or figures.holds(mass, arm, lateral)
        return Held(name, inside, pitch, roll, stick, right)

    def _off(self, name: str, place: str, here: Measured) -> Measured:
        there = self.hub_at[place]
        off = (there - here).shown_in(_INCHES)
        side = "ahead of" if place == "arm" else "to the left of"
        cited = sources.ARITHMETIC.at("difference of two arms")
        taken = f"({say(here)})" if float(here.si) < 0 else say(here)
        line = f"{say(there)} less {taken} = {say(off)}"
        self.step(f"{name}: centre of gravity {side} the hub", [line], off, cited)
        return off

    def _along_mast(self, name: str, side: str, off: Measured, lean: Measured) -> tuple[Measured, Measured]:
        if none_of(lean):
            return off, self.height
        offset = self.work(
            f"{name}: centre of gravity {side} the mast's line", offset_from_mast, off, self.height, lean, unit=_INCHES
        )
        height = self.work(
            f"{name}: height of the hub along the mast", height_along_mast, off, self.height, lean,
            unit=_INCHES,
        )  # fmt: skip
        return offset.shown_in(_INCHES), height.shown_in(_INCHES)

    def _high(self, name: str, height: Measured, weight: Measured) -> Measured:
        if none_of(self.stiffness):
            return height
        title = f"{name}: height that the hub's stiffness comes to"
        return self.work(title, height_with_hub_stiffness, height, self.stiffness, weight).shown_in(_INCHES)

    def _sideways(self, name: str, lateral: Measured, weight: Measured) -> tuple[Measured, Measured]:
        """How far the left side hangs down, and the stick to the right."""
        air = self.density, self.area, self.merit
        carried = weight
        if not none_of(self.download):
            carried = self.work(f"{name}: thrust of the main rotor", thrust_with_download, weight, self.download)
        power = self.work(f"{name}: power of the main rotor", hover_power_from_figure_of_merit, carried, *air)
        torque = self.work(f"{name}: torque", main_rotor_torque, power, self.speed)
        push = self.work(f"{name}: tail rotor thrust", tail_rotor_thrust_needed, torque, self.tail_arm)
        if self.plate.rotor_turns is RotorTurn.CLOCKWISE:
            push = -push
        lean = self.leans["left"]
        off = self._off(name, "lateral_arm", lateral)
        offset, height = self._along_mast(name, "left of", off, lean)
        leans = self.work(
            f"{name}: lean of the mast to the left",
            mast_lean_with_side_force, offset, height, weight, push, self.below, self.stiffness,
        ).shown_in(_DEG)  # fmt: skip
        right = self.work(
            f"{name}: tilt of the disk against the mast, right", disk_tilt_with_side_force, leans, push, weight
        ).shown_in(_DEG)
        roll = leans - lean
        if not none_of(lean):
            cited = sources.ARITHMETIC.at("mast and airframe lean together")
            self.step(f"{name}: left side down", [f"{say(leans)} less {say(lean)} = {say(roll)}"], roll, cited)
        return roll, self.work(f"{name}: stick right", cyclic_for_disk_tilt, right, self.lag).shown_in(_DEG)

    # all together

    def _judge(self, way: str, held: list[Held]) -> list[str]:
        """What is left one way with the loading that leaves least there; the loadings that leave too little, or may."""
        other = OTHER[way]
        if None in (getattr(self.sheet, way), getattr(self.sheet, other)):
            return []
        here, there = (self.reading(one, f"cyclic range {one}", _DEG) for one in (way, other))
        found = []
        for one in held:
            towards = one.aft if AXES[way] == "fore_and_aft" else one.right
            if towards is None:
                continue
            needed = towards if way in ("aft", "right") else -towards
            left = cyclic_remaining.worked(here, needed, there)
            found.append((one.name, needed, left))
        if not found:
            return []
        title = f"Cyclic remaining {way}"
        limit = self.sheet.limit("remaining", self.aircraft)
        words = {one: judged_word(limit, each.value, title, STICK_LEFT) for one, _, each in found}
        # one that is surely out goes before one that may be further out
        name, _, step = min(found, key=lambda one: (WORDS.index(words[one[0]]), _at_least(one)))
        self.steps.append(step.titled(f"Cyclic remaining {way}, judged with: {name}"))
        self.judge(f"remaining.{way}", title, limit, step.value.shown_in("%"), physical=STICK_LEFT)
        name, needed, _ = min(found, key=_at_least)
        rest = say((here - needed).shown_in(_DEG))
        self.notes.append(f"{capital(way)}: {rest} of the {say(here)} rigged is left, the least of all, with: {name}.")
        held_by = {one: STICK_LEFT.word(each.value) for one, _, each in found}
        name, _, _ = min(found, key=lambda one: (WORDS.index(held_by[one[0]]), _at_least(one)))
        if held_by[name] != IN_LIMITS:
            does = "cannot hold" if held_by[name] == OUT_OF_LIMITS else "may not hold"
            self.lead.insert(0, f"{name}: the stick full {way} {does} it in the hover. Do not lift it so.")
        return [one for one, word in words.items() if word not in (IN_LIMITS, NO_LIMIT)]

    def _attitudes(self, held: list[Held]) -> None:
        for key, words, figures in (
            ("nose_down", "Nose down", [one.pitch for one in held]),
            ("left_down", "Left side down", [one.roll for one in held if one.roll is not None]),
        ):
            if not figures:
                continue
            ordered = sorted(figures, key=lambda one: float(one.si))
            self.tell(f"{key}.most", f"{words} in the hover" + (", at most" if len(ordered) > 1 else ""), ordered[-1])
            if len(ordered) > 1:
                self.tell(f"{key}.least", f"{words} in the hover, at least", ordered[0])

    def _picture(self, held: list[Held]) -> list[Chart]:
        """Where the stick is held with each loading, inside what is rigged: seen from above, forward up."""
        ranges = {way: getattr(self.sheet, way) for way in WAYS}
        here = [one for one in held if one.right is not None]
        if None in ranges.values() or not here:
            return []
        kind, factor = required_kind(Angle), unit_factor("deg", Angle)
        edge = {way: float(in_unit(one.si, "deg", kind)) for way, one in ranges.items()}
        across = [-edge["left"], edge["right"], edge["right"], -edge["left"], -edge["left"]]
        along = [edge["forward"], edge["forward"], -edge["aft"], -edge["aft"], edge["forward"]]
        points = []
        for one in here:
            assert one.right is not None
            place = float(in_unit(one.right.si, "deg", kind)), -float(in_unit(one.aft.si, "deg", kind))
            spread = float(one.right.expanded_si) / factor, float(one.aft.expanded_si) / factor
            points.append(Point(one.name, *place, *spread))
        return [
            Chart(
                "Where the stick is held: forward up, right-hand side right",
                "cyclic to the right, °",
                "cyclic forward, °",
                (Curve("full stick", across, along, "bound"),),
                (),
                points,
            )
        ]


def _at_least(found: tuple[str, Measured, Any]) -> float:
    """What a loading leaves at least, with the whole ± taken off."""
    return float(found[2].value.si) - float(found[2].value.expanded_si)


def none_of(figure: Measured) -> bool:
    """Whether it is nothing, and known to be."""
    return not float(figure.si) and not float(figure.expanded_si)


def size(figure: Measured) -> Measured:
    """The figure's size, for a sentence that says its direction in words."""
    return -figure if float(figure.si) < 0 else figure
