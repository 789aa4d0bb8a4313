"""Keys, splines and bolted flanges: the stress in each from the shaft's greatest torque, and whether they move."""

from __future__ import annotations

from typing import Annotated, ClassVar, Literal

from rotorkit.aircraft import Aircraft
from rotorkit.aircraft.entries import Choice, Entry, asked
from rotorkit.drive import (
    bolt_shear_stress,
    flange_friction_torque,
    key_bearing_stress,
    key_shear_stress,
    peak_torque,
    spline_bearing_stress,
    torque_from_power,
)
from rotorkit.judging.limits import Limit
from rotorkit.judging.measured import Measured, measured, propagate
from rotorkit.pictures.data import Look, Looks
from rotorkit.quantities import Force, Length, Power, Ratio, Reading, Stress, say
from rotorkit.sheets.base import NOT_LOOKED_AT, About, Needed, Outcome, Part, Sheet, SheetLimit
from rotorkit.sheets.drive.on_shaft import ITS_SHAFT, ON_SHAFT, check_turns, speed_of, turns_of
from rotorkit.sheets.exercises import Exercise, Range
from rotorkit.sheets.working import Working
from rotorkit.sources import ARITHMETIC, cautions

_INCHES, _STRESS = ("in", "mm"), ("psi", "MPa")
_SMALL = Entry(Length, _INCHES, ("0.01 in", "20 in"), ("0.05 in", "6 in"))
_DIAMETER = Entry(Length, _INCHES, ("0.05 in", "60 in"), ("0.3 in", "20 in"))
_COUNT = Entry(Ratio, ("", ""), ("1", "200"), ("2", "80"), exact=True)
KEY = ("shaft_diameter", "key_width", "key_height", "key_length")
SPLINE = ("spline_diameter", "tooth_height", "spline_length", "teeth", "share")
FLANGE = ("circle_diameter", "bolts", "bolt_diameter")
GRIP = ("preload", "friction")
CLEAN, DUST, MOVED = "clean and tight", "red or black dust", "moved, or loose"
CLEARANCE, FITTED = "with clearance", "fitted, reamed together"
HOLDS = Limit("grip of the flange", Ratio, low="0", source="physics: bolts with clearance hold by friction alone")
TIGHT = Limit(
    "faults at the connections", Ratio, high="0", source="physics: what moves under load wears until it fails"
)
Seen = Literal["not looked at", "clean and tight", "red or black dust", "moved, or loose"]
Holes = Literal["not said", "with clearance", "fitted, reamed together"]
STRESSES = ("key_shear", "key_pressure", "spline_pressure", "bolt_shear")


def _limit(what: str) -> SheetLimit:
    return SheetLimit(Stress, what, "psi", "with its maker's own margin in it: only the high side")


class ShaftConnections(Sheet):
    """What carries a shaft's torque on: a key, a spline, a bolted flange."""

    order: ClassVar[int] = 36
    uses: ClassVar[tuple[str, ...]] = ("main_rotor.speed",)
    needed: ClassVar[tuple[Needed, ...]] = (
        Needed("First rotor turn", "a key that shears or a flange that slips takes the drive away in one stroke"),
    )
    limits: ClassVar[dict[str, SheetLimit]] = {
        "key_shear": _limit("shear stress in the key"),
        "key_pressure": _limit("pressure on the key's sides"),
        "spline_pressure": _limit("pressure on the spline's teeth"),
        "bolt_shear": _limit("shear stress in the bolts"),
        "grip": SheetLimit(
            Ratio, "grip of the flange", None, "torque held by friction over greatest torque, less one: low side"
        ),
    }
    about: ClassVar[About] = About(
        title="Keys, splines and flanges",
        settles=(
            "How hard a shaft's key, spline and flange bolts are loaded by its greatest torque, whether a flange holds "
            "by friction, and whether any of them has begun to move."
        ),
        when="When the drive is put together, after any of its parts was changed, and at the manual's hours.",
        tools=("caliper", "torque wrench", "the maker's drawings", "lamp and mirror"),
        procedure=(
            "Take the power and the turns of this very shaft: a tail shaft carries the tail rotor's share, with the "
            "pedals at their most.",
            "Measure each part that is there; leave the others empty. Of a key its length is what really bears, "
            "without round ends. Of a spline the height over which its teeth touch, and the length in engagement.",
            "The preload of a bolt follows from the manual's tightening torque and is known to some 30 per cent "
            "(common practice, no source): type it with its ±.",
            "Look at every seat with a lamp: red dust at steel, black at aluminium, a shiny edge or a mark out of line "
            "means that it moves.",
        ),
        sign_convention=(
            "Torques and stresses are sizes. The grip of a flange is what friction holds over the greatest torque, "
            "less one: below zero it slips."
        ),
        cautions=(cautions.ENGINE_OFF, cautions.BELTS_AND_FINGERS, *cautions.ALWAYS),
        not_covered=(
            "fatigue: how often a stress comes and goes; keyways and holes make it several times worse",
            "tapers, clamped hubs, pins and glued joints",
            "what stress a material bears: only the maker's own figure counts",
            "bending and thrust of the shaft",
        ),
    )
    exercises: ClassVar[tuple[Exercise, ...]] = (
        Exercise(
            name="key",
            title="What shears a key",
            story=(
                "A pulley sits on a shaft of {shaft_diameter} with a key {width} wide that bears over {length}. The "
                "greatest torque is {torque}. The force at the shaft's surface shears the key along its length."
            ),
            find="the shear stress in the key",
            unit="psi",
            of=key_shear_stress,
            given={
                "torque": Range("150 lbf*ft", "240 lbf*ft", "5 lbf*ft"),
                "shaft_diameter": Range("1.25 in", "1.75 in", "0.05 in"),
                "width": "0.25 in|6 mm",
                "length": Range("1.3 in", "1.9 in", "0.1 in"),
            },
            hints=(
                "{Turn the torque into pound-inches|Turn the torque into newton millimetres} first{.|: N/mm² is MPa.}",
                "The force acts at the radius, half the diameter. It is shared over width times length.",
            ),
        ),
    )

    power: Annotated[Reading | None, Entry(Power, ("hp", "kW"), ("0.1 hp", "2000 hp"), ("1 hp", "400 hp"))] = asked(
        "Power it carries", "This shaft's greatest, with ±."
    )
    on_shaft: Annotated[str, ON_SHAFT] = asked("On which shaft", ITS_SHAFT, "")
    turns: Annotated[Reading | None, Entry(Ratio, ("", ""), ("0.1", "30"), ("0.5", "12"), exact=True)] = asked(
        "Turns of the shaft", "For one turn of the main rotor, where no shaft is chosen."
    )
    shock: Annotated[Reading | None, Entry(Ratio, ("", ""), ("1", "10"), ("1", "6"))] = asked(
        "Shock factor",
        "Greatest over mean torque, by the manual, with ±; 1.5 to 3 for piston engines (common practice).",
    )
    seats: Annotated[Seen, Choice(options=("not looked at", CLEAN, DUST, MOVED))] = asked(
        "Seats by lamp and mirror", "Every key, spline and flange; the worst counts.", NOT_LOOKED_AT
    )
    shaft_diameter: Annotated[Reading | None, _DIAMETER] = asked(
        "Shaft at the key", "Its diameter, with ±. These four together, or none."
    )
    key_width: Annotated[Reading | None, _SMALL] = asked("Key: width", "With ±.")
    key_height: Annotated[Reading | None, _SMALL] = asked("Key: height", "The whole of it.")
    key_length: Annotated[Reading | None, _SMALL] = asked("Key: length", "What bears, without round ends, with ±.")
    spline_diameter: Annotated[Reading | None, _DIAMETER] = asked(
        "Spline: mean diameter", "Between tip and root, with ±. These five, or none."
    )
    tooth_height: Annotated[Reading | None, Entry(Length, _INCHES, ("0.005 in", "2 in"), ("0.02 in", "0.5 in"))] = (
        asked("Spline: height", "Over which the teeth touch, with ±.")
    )
    spline_length: Annotated[Reading | None, _SMALL] = asked("Spline: length", "In engagement, with ±.")
    teeth: Annotated[Reading | None, _COUNT] = asked("Spline: teeth", "Counted.")
    share: Annotated[Reading | None, Entry(Ratio, ("", ""), ("0.1", "1"), ("0.4", "1"))] = asked(
        "Share that carries", "Of the teeth, with ±; 0.75 by common practice (no source)."
    )
    circle_diameter: Annotated[Reading | None, _DIAMETER] = asked(
        "Flange: bolt circle", "Its diameter, with ±. These three, or none."
    )
    bolts: Annotated[Reading | None, _COUNT] = asked("Flange: bolts", "Counted.")
    bolt_diameter: Annotated[Reading | None, _SMALL] = asked(
        "Flange: bolt", "Its diameter where the flanges part, with ±."
    )
    holes: Annotated[Holes, Choice(options=("not said", CLEARANCE, FITTED))] = asked(
        "Bolts in their holes", "By the drawing.", "not said"
    )
    preload: Annotated[Reading | None, Entry(Force, ("lbf", "N"), ("1 lbf", "60000 lbf"), ("50 lbf", "20000 lbf"))] = (
        asked("Preload of a bolt", "As tightened, with its ± of some 30 per cent.")
    )
    friction: Annotated[Reading | None, Entry(Ratio, ("", ""), ("0.01", "1"), ("0.05", "0.5"))] = asked(
        "Friction of the faces", "With ±; 0.12 to 0.2 dry steel (common practice, no source)."
    )

    def parts(self, aircraft: Aircraft) -> list[Part]:
        """The torque, one connection at least, a look at the seats, and of a flange whether it holds."""
        there = any(getattr(self, group[0]) is not None for group in (KEY, SPLINE, FLANGE))
        flange = self.circle_diameter is not None
        return [
            Part("power, turns of the shaft and shock factor",
                 None not in (self.power, turns_of(self, aircraft), self.shock)),
            Part("sizes of a key, a spline or a flange", there),
            Part("a look at the seats", self.seats != NOT_LOOKED_AT),
            *([Part("how the flange's bolts sit in their holes", self.holes != "not said"),
               Part("preload and friction, for what the flange holds", self.preload is not None)] if flange else []),
        ]  # fmt: skip

    def _work(self, aircraft: Aircraft) -> Outcome:
        to = Working(self, aircraft)
        self._check(to)
        peak = self._peak(to)
        if peak is not None:
            if self.shaft_diameter is not None:
                self._key(to, peak)
            if self.spline_diameter is not None:
                self._spline(to, peak)
            if self.circle_diameter is not None:
                self._flange(to, peak)
        self._seats(to)
        if to.bad("seats"):
            to.say_to_do(
                "Do not run it: take the connection apart, look for wear and cracks, and put it together as the manual "
                "says.",
                "seats",
            )  # fmt: skip
        elif to.bad(*STRESSES, "grip"):
            to.say_to_do(
                "Do not run it on this figure: hold sizes, preload and shock factor against the maker's drawing, and "
                "ask the maker.",
                *STRESSES, "grip",
            )  # fmt: skip
        to.compare("Against the limits", [one for one in to.findings if one.key != "seats"])
        return to.outcome()

    def _check(self, to: Working) -> None:
        groups = (
            (KEY, "a key needs all four"),
            (SPLINE, "a spline needs all five"),
            (FLANGE, "a flange needs all three"),
            (GRIP, "what a flange holds needs both"),
        )
        some = any(getattr(self, name) is not None for group, _ in groups for name in group)
        for group, why in groups:
            to.together(group, f"is needed: {why}")
        if self.preload is not None and self.circle_diameter is None:
            to.problem("circle_diameter", "is needed: the friction acts on the bolt circle")
        for name in ("teeth", "bolts"):
            count = getattr(self, name)
            if count is not None and count.si % 1:
                to.problem(name, "must be a whole number")
        check_turns(to, self)
        there = {"power": self.power, "turns": turns_of(self, to.aircraft), "shock": self.shock}
        if some:
            for name in (name for name, one in there.items() if one is None):
                if name != "turns" or not to.problems:
                    to.problem(name, "is needed: the torque follows from power, turns and shock factor")
        if not some and self.seats == NOT_LOOKED_AT and self.power is None:
            to.problem("power", "needs a reading: none is taken yet")
        circle, bolt = self.circle_diameter, self.bolt_diameter
        if circle is not None and bolt is not None and bolt.si >= circle.si:
            to.problem("bolt_diameter", "must be smaller than the bolt circle")
        to.settle()

    def _peak(self, to: Working) -> Measured | None:
        """The greatest torque of the shaft."""
        if self.power is None or turns_of(self, to.aircraft) is None or self.shock is None:
            return None
        speed = speed_of(to, self, "Speed of the shaft")
        mean = to.work("Mean torque", torque_from_power, to.reading("power", "power it carries"), speed)
        peak = to.work("Greatest torque", peak_torque, mean, to.reading("shock", "shock factor"))
        to.tell("peak", "Greatest torque of the shaft", peak)
        return peak

    def _stress(self, to: Working, key: str, title: str, value: Measured) -> None:
        to.judge(key, title, self.limit(key, to.aircraft), value.shown_in(_STRESS))

    def _key(self, to: Working, peak: Measured) -> None:
        shaft, width, height, length = (to.reading(name, name.replace("_", " "), _INCHES) for name in KEY)
        sheared = to.work("Shear stress in the key", key_shear_stress, peak, shaft, width, length)
        pressed = to.work("Pressure on the key's sides", key_bearing_stress, peak, shaft, height, length)
        self._stress(to, "key_shear", "Shear stress in the key", sheared)
        self._stress(to, "key_pressure", "Pressure on the key's sides", pressed)

    def _spline(self, to: Working, peak: Measured) -> None:
        assert self.teeth is not None  # asked before
        mean, height, length = (to.reading(name, name.replace("_", " "), _INCHES) for name in SPLINE[:3])
        teeth = measured(f"{self.teeth.si:g}", Ratio, "teeth")
        share = to.reading("share", "share of the teeth that carries")
        pressed = to.work(
            "Pressure on the spline's teeth", spline_bearing_stress, peak, mean, height, length, teeth, share
        )
        self._stress(to, "spline_pressure", "Pressure on the spline's teeth", pressed)

    def _flange(self, to: Working, peak: Measured) -> None:
        assert self.bolts is not None  # asked before
        circle, bolt = (
            to.reading(name, name.replace("_", " "), _INCHES) for name in ("circle_diameter", "bolt_diameter")
        )
        bolts = measured(f"{self.bolts.si:g}", Ratio, "bolts")
        sheared = to.work("Shear stress in the bolts, no friction", bolt_shear_stress, peak, circle, bolts, bolt)
        self._stress(to, "bolt_shear", "Shear stress in the bolts, no friction", sheared)
        if self.preload is None:
            return
        friction, preload = to.reading("friction", "friction of the faces"), to.reading("preload", "preload of a bolt")
        held = to.work("Torque held by friction", flange_friction_torque, friction, preload, bolts, circle)
        grip = propagate(lambda there, asked: there / asked - 1, Ratio, [held, peak])
        to.step("Grip of the flange", [f"{say(held)} / {say(peak)} − 1"], grip, ARITHMETIC.at("share"))
        alone = self.holes == CLEARANCE
        limit = self.limit("grip", to.aircraft)
        to.judge("grip", "Grip of the flange", limit, grip, physical=HOLDS if alone else None, aside=True)
        if alone and grip.si + grip.expanded_si < 0:
            to.lead.append("The flange slips under the engine's shocks: its bolts have clearance and are hammered.")

    def _seats(self, to: Working) -> None:
        if self.seats == NOT_LOOKED_AT:
            return
        bad = self.seats != CLEAN
        found = to.seen("seats", "Seats", bad, TIGHT, self.seats, "find what moves, and why" if bad else "")
        to.pictures.append(Looks("Seats by lamp and mirror", [Look("Seats", self.seats, found.verdict.word)]))
        if bad:
            to.lead.append("A connection of the drive moves under load: it wears on, and fails without another sign.")
