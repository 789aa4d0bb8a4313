"""Universal joints: how unevenly the driven shaft turns, whether a second joint takes that out, and how they sit."""

from __future__ import annotations

import math
from typing import Annotated, ClassVar, Literal

from rotorkit.aircraft import Aircraft
from rotorkit.aircraft.entries import Choice, Entry, asked
from rotorkit.drive import (
    universal_joint_fluctuation,
    universal_joint_greatest_acceleration,
    universal_joint_pair_crossed_fluctuation,
    universal_joint_pair_fluctuation,
)
from rotorkit.judging.limits import Limit
from rotorkit.judging.measured import Measured, measured, propagate
from rotorkit.pictures.data import Look, Looks
from rotorkit.quantities import Angle, MomentOfInertia, Ratio, Reading, Torque, say
from rotorkit.sheets.base import NOT_LOOKED_AT, About, Needed, Outcome, Part, Sheet, SheetLimit
from rotorkit.sheets.drive.on_shaft import ITS_SHAFT, ON_SHAFT, check_turns, speed_of, turns_of
from rotorkit.sheets.exercises import Exercise, Range
from rotorkit.sheets.working import Working
from rotorkit.sources import JCGM_100, UNIVERSAL_JOINT, cautions

_JOINT = Entry(Angle, None, ("0 deg", "60 deg"), ("0 deg", "25 deg"), by="protractor")
ONE, IN_PLANE, QUARTER = "one joint alone", "in one plane", "a quarter turn apart"
FREE, STIFF, PLAY = "free, no play", "stiff or rough", "play to be felt"
TIGHT = Limit(
    "faults at the joints", Ratio, high="0", source="physics: a joint with play or rust hammers until it fails"
)
IN_LINE = Limit(
    "faults of the yokes", Ratio, high="0",
    source="physics: a quarter turn apart, all shafts in one plane, the second joint adds to what the first one does",
)  # fmt: skip
Yokes = Literal["not looked at", "one joint alone", "in one plane", "a quarter turn apart"]
Feel = Literal["not looked at", "free, no play", "stiff or rough", "play to be felt"]
PAIRS = (IN_PLANE, QUARTER)


class UniversalJoints(Sheet):
    """A shaft's universal joints: angles, yokes, and what they do to its speed."""

    order: ClassVar[int] = 38
    uses: ClassVar[tuple[str, ...]] = ("main_rotor.speed",)
    needed: ClassVar[tuple[Needed, ...]] = (
        Needed("First rotor turn", "a shaft with yokes a quarter out shakes the drive twice a turn, at every power"),
    )
    limits: ClassVar[dict[str, SheetLimit]] = {
        "angle": SheetLimit(Angle, "angle of a joint", "deg", "the maker's: only the high side"),
        "unevenness": SheetLimit(
            Ratio, "unevenness of the driven shaft", None, "whole swing of its speed over the mean: high side"
        ),
        "between": SheetLimit(
            Ratio, "unevenness of the shaft between", None, "whole swing of its speed over the mean: high side"
        ),
    }
    about: ClassVar[About] = About(
        title="Universal joints",
        settles=(
            "How unevenly a shaft behind one or two universal joints turns, what torque that asks for, whether the "
            "yokes lie as they must, and whether the joints are free and without play."
        ),
        when="When the shaft is fitted, after anything it joins was moved, and at the manual's hours.",
        tools=("protractor", "straightedge", "the maker's sheet"),
        procedure=(
            "Measure the angle between the two shafts at each joint, in the plane in which it is greatest: 0 where "
            "they are in line. Weight on the wheels or skids as in flight where the engine moves on its mounts.",
            "Sight along the shaft between the joints: its own two yokes must lie in one plane.",
            "All three shafts must lie in one plane for that to hold; where they do not, the maker says how.",
            "Engine off: turn each joint through its whole way, and rock it, for roughness and play.",
        ),
        sign_convention="Angles are sizes, between the shafts. Unevenness is greatest less least speed over the mean.",
        cautions=(cautions.ENGINE_OFF, cautions.BELTS_AND_FINGERS, *cautions.ALWAYS),
        not_covered=(
            "joints of constant speed, and flexible couplings",
            "shafts that do not lie in one plane",
            "wear and life of the bearings: the maker's sheet",
            "the shaft's own twist, which can swell what the joints excite: see the torsional modes, twice a turn",
        ),
    )
    exercises: ClassVar[tuple[Exercise, ...]] = (
        Exercise(
            name="uneven",
            title="One joint alone",
            story=(
                "A shaft drives another through one universal joint; the angle between them is {joint_angle}. The "
                "driven speed swings between speed over cosine and speed times cosine, twice a turn."
            ),
            find="the whole swing, as a share of the mean speed",
            unit="%",
            of=universal_joint_fluctuation,
            given={"joint_angle": Range("8.0 deg", "19.0 deg", "0.5 deg")},
            hints=(
                "Work out the cosine, and one divided by the cosine.",
                "Subtract one from the other; write it in per cent.",
            ),
        ),
    )

    protractor: Annotated[str, Choice("instruments", measures="angle")] = asked("Protractor", default="")
    first: Annotated[Reading | None, _JOINT] = asked("Angle, first joint", "Between its shafts.")
    second: Annotated[Reading | None, _JOINT] = asked("Angle, second joint", "Empty where there is one joint alone.")
    yokes: Annotated[Yokes, Choice(options=("not looked at", ONE, IN_PLANE, QUARTER))] = asked(
        "Yokes of the middle shaft", "Sighted along it.", NOT_LOOKED_AT
    )
    feel: Annotated[Feel, Choice(options=("not looked at", FREE, STIFF, PLAY))] = asked(
        "Joints turned and rocked", "By hand, engine off; the worst counts.", NOT_LOOKED_AT
    )
    on_shaft: Annotated[str, ON_SHAFT] = asked("On which shaft", ITS_SHAFT, "")
    turns: Annotated[Reading | None, Entry(Ratio, ("", ""), ("0.1", "30"), ("0.5", "12"), exact=True)] = asked(
        "Turns of the shaft", "For one turn of the main rotor, where no shaft is chosen."
    )
    inertia: Annotated[
        Reading | None,
        Entry(MomentOfInertia, None, ("0.00001 slug*ft^2", "500 slug*ft^2"), ("0.0001 slug*ft^2", "20 slug*ft^2")),
    ] = asked(
        "Inertia that swings",
        "Of all that turns behind one joint, or of the shaft between two, with ±: for its torque.",
    )

    def parts(self, aircraft: Aircraft) -> list[Part]:
        """Angle of each joint, the yokes, and a feel of the joints."""
        pair = self.yokes in PAIRS or self.second is not None
        return [
            Part("angle of the first joint", self.first is not None),
            *([Part("angle of the second joint", self.second is not None)] if pair else []),
            Part("how the yokes lie", self.yokes != NOT_LOOKED_AT),
            Part("the joints turned and rocked by hand", self.feel != NOT_LOOKED_AT),
        ]

    def _work(self, aircraft: Aircraft) -> Outcome:
        to = Working(self, aircraft)
        self._check(to)
        if self.first is not None:
            self._joints(to)
        self._sighted(to)
        self._felt(to)
        if to.bad("feel"):
            to.say_to_do("Do not run it: the joint is replaced, or greased, as the maker says.", "feel")
        elif self.yokes == QUARTER:
            to.say_to_do(
                "Do not run it: take the shaft apart at its slip or flange, and turn one yoke by a quarter so that "
                "both lie in one plane.",
                "unevenness", "yokes",
            )  # fmt: skip
        elif to.bad():
            to.say_to_do(
                "Set the shafts so that the angles are smaller and alike, as the manual says, and measure again.",
                "angle", "unevenness", "between",
            )  # fmt: skip
        to.compare("Against the limits", [one for one in to.findings if one.key not in ("feel", "yokes")])
        return to.outcome()

    def _check(self, to: Working) -> None:
        if self.first is None and self.second is None and self.feel == NOT_LOOKED_AT and self.yokes == NOT_LOOKED_AT:
            to.problem("first", "needs a reading: none is taken yet")
        if self.first is None and self.second is not None:
            to.problem("first", "is needed: the second joint is worked out from it")
        if self.second is not None and self.yokes == ONE:
            to.problem("yokes", "says that there is one joint alone, and an angle of a second one is typed")
        check_turns(to, self)
        if self.inertia is not None and turns_of(self, to.aircraft) is None:
            to.problem("turns", "is needed with the inertia: the torque grows with the square of the speed")
        to.settle()

    def _joints(self, to: Working) -> None:
        first = to.reading("first", "angle of the first joint")
        limit = self.limit("angle", to.aircraft)
        if self.inertia is not None:
            self._torque(to, first)
        to.judge("angle_first", "Angle of the first joint", limit, first)
        between = self._whole(
            to, to.work("Unevenness behind the first joint", universal_joint_fluctuation, first), first
        )
        if self.second is not None:
            second = to.reading("second", "angle of the second joint")
            to.judge("angle_second", "Angle of the second joint", limit, second)
            side = self.limit("between", to.aircraft)
            to.judge("between", "Unevenness of the shaft between", side, between, aside=True)
            if self.yokes not in PAIRS:
                return
            driven = self._pair(to, first, second)
        elif self.yokes == ONE:
            driven = between
        else:
            return
        to.judge("unevenness", "Unevenness of the driven shaft", self.limit("unevenness", to.aircraft), driven)
        if self.yokes == QUARTER and driven.si > between.si:
            to.lead.append(
                "The yokes lie a quarter turn apart: the second joint adds to what the first one does, instead of "
                "taking it out."
            )

    def _pair(self, to: Working, first: Measured, second: Measured) -> Measured:
        """The unevenness behind two joints, all shafts in one plane; its size, with the uncertainty that it has with
        its sign: alike angles do not make it known exactly."""
        title = "Unevenness behind both joints"
        if self.yokes == QUARTER:
            return self._whole(
                to, to.work(title, universal_joint_pair_crossed_fluctuation, first, second), first, second
            )
        signed = self._whole(to, to.work(title, universal_joint_pair_fluctuation, first, second), first, second)
        return signed if signed.si >= 0 else -1 * signed

    def _whole(self, to: Working, unevenness: Measured, *angles: Measured) -> Measured:
        """The unevenness with what its slopes leave out: it goes with the square of each angle, so that shafts in line,
        where every slope is zero, are not known to turn evenly for sure. A twentieth of the rest, which would add a
        thousandth to it, is passed over."""
        # JCGM 100:2008, 5.1.2, note: half of (second slope times u^2) squared; that slope is 2 at small angles
        left_out = math.hypot(*(math.sqrt(2) * float(angle.standard_si) ** 2 for angle in angles))
        if left_out <= float(unevenness.standard_si) / 20:
            return unevenness
        whole = unevenness + measured(0.0, Ratio, "square of the angles", left_out, stated_as="standard")
        line = f"the ± of {say(unevenness)}, and that from the squares of the angles: root of 2 times u² each"
        return to.step("With the squares of the angles", [line], whole, JCGM_100.at("5.1.2, note"))

    def _torque(self, to: Working, first: Measured) -> None:
        speed = speed_of(to, self, "Speed of the shaft")
        inertia = to.reading("inertia", "inertia that swings")

        def swung(mass: float, rate: float, angle: float) -> float:
            return mass * float(universal_joint_greatest_acceleration.si(rate, angle))

        torque = propagate(swung, Torque, [inertia, speed, first]).shown_in(("lbf*ft", "N*m"))
        line = f"{say(inertia)} times the greatest acceleration in a turn"
        to.step(
            "Torque of the inertia behind the first joint", [line], torque, UNIVERSAL_JOINT.at("greatest acceleration")
        )
        to.tell("torque", "Torque that it swings, to either side, twice a turn", torque)

    def _sighted(self, to: Working) -> None:
        if self.yokes in PAIRS:
            settle = "turn one yoke by a quarter" if self.yokes == QUARTER else ""
            to.seen("yokes", "Yokes of the middle shaft", self.yokes == QUARTER, IN_LINE, self.yokes, settle)

    def _felt(self, to: Working) -> None:
        if self.feel == NOT_LOOKED_AT:
            return
        bad = self.feel != FREE
        found = to.seen(
            "feel", "Joints turned and rocked", bad, TIGHT, self.feel, "find the worn bearing" if bad else ""
        )
        to.pictures.append(Looks("Joints turned and rocked", [Look("Joints", self.feel, found.verdict.word)]))
        if bad:
            to.lead.append("A joint is stiff or has play: it hammers twice a turn, and fails without another sign.")
