"""Belt alignment and take-up: whether both pulleys are in one plane, how much take-up is left, how the belts look."""

from __future__ import annotations

from typing import Annotated, ClassVar, Literal

from rotorkit.aircraft import Aircraft
from rotorkit.aircraft.entries import Choice, Entry, asked, required
from rotorkit.drive import pulley_lean, pulleys_out_of_line
from rotorkit.judging.limits import Limit
from rotorkit.judging.measured import Measured, measured, propagate
from rotorkit.quantities import Angle, Length, Ratio, Reading, say
from rotorkit.sheets.base import NOT_LOOKED_AT, About, Needed, Outcome, Part, Sheet, SheetLimit
from rotorkit.sheets.exercises import Exercise, Range
from rotorkit.sheets.working import Working
from rotorkit.sources import ARITHMETIC, cautions

_INCHES = ("in", "mm")
GAP = Entry(Length, _INCHES, ("-4 in", "4 in"), ("-1/2 in", "1/2 in"), by="rule")
PLACE = Entry(Length, _INCHES, ("-40 in", "40 in"), ("-12 in", "12 in"))
SOUND = Limit("faults seen at the belts", Ratio, high="0", source="common practice (no source): a torn belt fails")
REACHES = Limit("take-up left", Length, low="0 in", source="physics: a tensioner at its stop tightens nothing")
GOOD = "sound, all alike"
Belts = Literal["not looked at", "sound, all alike", "glazed, cracked or frayed", "turned over, or one rides low"]
PAIRS = (("near", "far", "in the plane of both axes"), ("upper", "lower", "across it"))


class BeltLine(Sheet):
    """One belt drive's pulleys in line, and its take-up."""

    order: ClassVar[int] = 22
    puts_right: ClassVar[dict[str, str]] = dict.fromkeys(
        ["lean", "out_of_line"], "Move or shim the driven pulley until it is in line, then reset the tension."
    )
    uses: ClassVar[tuple[str, ...]] = ("belts.{belt}.centre_distance",)
    needed: ClassVar[tuple[Needed, ...]] = (
        Needed("First rotor turn", "belts that run out of line roll over, and a tensioner at its stop lets them slip",
               each="belts"),
    )  # fmt: skip
    limits: ClassVar[dict[str, SheetLimit]] = {
        "out_of_line": SheetLimit(
            Angle, "belts out of line", "deg", "size of the angle off the groove's plane: the high side"
        ),
        "lean": SheetLimit(Angle, "lean of a pulley", "deg", "size, either way: only the high side"),
        "left": SheetLimit(Length, "take-up left", "in", "of the tensioner's travel: only the low side"),
    }
    about: ClassVar[About] = About(
        title="Belt alignment and take-up",
        settles=(
            "Whether both pulleys are in one plane and square to it, how much tensioner travel is "
            "left, and whether the belts look sound."
        ),
        when="When belts or pulleys are fitted, after the first hours of new belts, and at each inspection.",
        tools=("straightedge as long as the drive", "rule or feeler gauges", "lamp"),
        procedure=(
            "Engine off and safe, belts at their tension. Lay the straightedge on the driving pulley's face, across "
            "its middle, so that it touches at two places, and let it reach over the driven pulley.",
            "Measure the gap to the driven pulley's face at its edge next to the driver and at its far edge.",
            "Turn the straightedge's place: hold it on the driving face with a square, and measure the gaps at the "
            "driven pulley's upper and lower edge, or on the two sides square to the first.",
            "Where the faces do not lie equally far from their grooves, write by how much.",
            "Read the tensioner's place now and at the end of its travel. Look along every belt with the lamp.",
        ),
        sign_convention=(
            "A gap is positive where the driven pulley's face is behind the straightedge, negative where it stands "
            "proud. Angles are judged by size alone."
        ),
        cautions=(
            cautions.ENGINE_OFF,
            cautions.BELTS_AND_FINGERS,
            cautions.TURNING_ROTORS,
            cautions.LOCKING,
            *cautions.ALWAYS,
        ),
        not_covered=(
            "the tension: the check of belt tension",
            "pulleys that wobble, worn grooves, a bearing that gives under load",
            "lines that change when the drive is loaded and warm",
            "crossed or quarter-turn belts",
        ),
    )
    exercises: ClassVar[tuple[Exercise, ...]] = (
        Exercise(
            name="lean",
            title="A pulley that leans",
            story=(
                "A straightedge on the driving pulley leaves a gap of {gap} at one edge of the driven pulley and of "
                "{opposite_gap} at the other, {across} apart."
            ),
            find="the angle at which the driven pulley leans",
            unit="deg",
            of=pulley_lean,
            given={
                "gap": Range("0.010 in", "0.030 in", "0.002 in"),
                "opposite_gap": Range("0.080 in", "0.120 in", "0.002 in"),
                "across": Range("12.0 in", "14.0 in", "0.1 in"),
            },
            hints=(
                "The tangent is the difference of the gaps divided by the distance.",
                "So small an angle is its tangent times 57.3.",
            ),
        ),
    )

    belt: Annotated[str, Choice("belts")] = required("Belt drive", "As named in the aircraft file.")
    rule: Annotated[str, Choice("instruments", measures="length")] = asked("Rule or gauge", default="")
    near: Annotated[Reading | None, GAP] = asked("Gap, near edge", "Next to the driver.")
    far: Annotated[Reading | None, GAP] = asked("Gap, far edge", "Opposite to that.")
    upper: Annotated[Reading | None, GAP] = asked("Gap, upper edge", "Square to those.")
    lower: Annotated[Reading | None, GAP] = asked("Gap, lower edge", "Opposite to that.")
    across: Annotated[Reading | None, Entry(Length, _INCHES, ("0.5 in", "6 ft"))] = asked(
        "Between the edges", "Across the driven pulley's face where the gaps are read, with ±."
    )
    faces_differ: Annotated[Reading | None, PLACE] = asked(
        "Faces differ", "Face to groove of the driver less that of the driven pulley, with ±; 0 where they are alike."
    )
    now: Annotated[Reading | None, PLACE] = asked("Tensioner, now", "Its place on its own scale or by rule, with ±.")
    stop: Annotated[Reading | None, PLACE] = asked(
        "Tensioner, tightest", "The end of its travel that tightens, on the same scale, with ±."
    )
    start_at: Annotated[Reading | None, PLACE] = asked("Tensioner, slackest", "The other end of its travel, with ±.")
    looks: Annotated[
        Belts, Choice(options=("not looked at", GOOD, "glazed, cracked or frayed", "turned over, or one rides low"))
    ] = asked("Belts look", "All of them, all the way round.", NOT_LOOKED_AT)

    def parts(self, aircraft: Aircraft) -> list[Part]:
        """Both pairs of gaps, the take-up, and a look."""
        gaps = (self.near, self.far, self.across, self.faces_differ)
        return [
            Part("gaps at the near and far edge, and where the faces lie", None not in gaps),
            Part("gaps at the upper and lower edge", None not in (self.upper, self.lower, self.across)),
            Part("the tensioner's place, now and at both ends", None not in (self.now, self.stop, self.start_at)),
            Part("a look at every belt", self.looks != NOT_LOOKED_AT),
        ]

    def _work(self, aircraft: Aircraft) -> Outcome:
        to = Working(self, aircraft)
        belt = to.thing("belt", aircraft.belts, "belt drive", "none: write [belts.name] for each")
        self._check(to)
        for one, other, words in PAIRS:
            if getattr(self, one) is not None and self.across is not None:
                gaps = [to.reading(name, f"gap, {name} edge", _INCHES) for name in (one, other)]
                lean = to.work(f"Lean {words}", pulley_lean, *gaps, to.reading("across", "between the edges", _INCHES))
                size = self._size(to, f"Lean of the driven pulley {words}", lean)
                to.judge(f"lean.{one}", f"Lean of the driven pulley {words}", self.limit("lean", aircraft), size)
        if None not in (self.near, self.far, self.faces_differ):
            distance = measured(belt.centre_distance, Length, "centre distance").shown_in(_INCHES)
            near, far = (to.reading(name, f"gap, {name} edge", _INCHES) for name in ("near", "far"))
            differ = to.reading("faces_differ", "faces differ", _INCHES)
            off = to.work("Belts off the groove's plane", pulleys_out_of_line, near, far, differ, distance)
            size = self._size(to, "Belts out of line", off)
            to.judge("out_of_line", "Belts out of line", self.limit("out_of_line", aircraft), size)
            move = propagate(lambda g, h, w: w - (g + h) / 2, Length, [near, far, differ]).shown_in(_INCHES)
            if abs(float(move.si)) > float(move.expanded_si):
                way = "towards the straightedge's side" if float(move.si) < 0 else "away from the straightedge's side"
                to.notes.append(f"In line: the driven pulley {say(abs_of(move).shown_in(_INCHES))} {way}.")
        self._take_up(to)
        self._look(to)
        if to.bad("looks", "left"):
            to.say_to_do(
                "Have the belts replaced as a set, as the manual says, before it is run; then reset the tension.",
                "looks", "left",
            )  # fmt: skip
        to.compare("Against the limits", [one for one in to.findings if one.key != "looks"])
        return to.outcome(f"{self.about.title}, {belt.named}")

    def _check(self, to: Working) -> None:
        for group in (("near", "far", "faces_differ"), ("upper", "lower"), ("now", "stop", "start_at")):
            to.together(group)
        if (self.near is not None or self.upper is not None) and self.across is None:
            to.problem("across", "is needed: how far apart the gaps are read")
        names = ("near", "far", "upper", "lower", "across", "faces_differ", "now", "stop", "start_at")
        if self.looks == NOT_LOOKED_AT and all(getattr(self, name) is None for name in names):
            to.problem("near", "needs a reading")
        if self.stop is not None and self.start_at is not None and self.stop.si == self.start_at.si:
            to.problem("start_at", "must not be the tightest place: which travel has the tensioner")
        to.settle()

    def _size(self, to: Working, title: str, angle: Measured) -> Measured:
        size = abs_of(angle).shown_in("deg")
        to.step(title, [f"{say(angle)}, without its sign"], size, ARITHMETIC.at("size"))
        return size

    def _take_up(self, to: Working) -> None:
        if self.now is None or self.stop is None or self.start_at is None:
            return
        now, stop, start = (
            to.reading(name, words, _INCHES)
            for name, words in (("now", "tensioner, now"), ("stop", "tightest"), ("start_at", "slackest"))
        )
        way = 1.0 if float(stop.si) > float(start.si) else -1.0
        left = propagate(lambda a, b: way * (b - a), Length, [now, stop]).shown_in(_INCHES)
        to.step("Take-up left", [f"between {say(now)} and {say(stop)}"], left, ARITHMETIC.at("difference"))
        to.judge("left", "Take-up left", self.limit("left", to.aircraft), left, physical=REACHES)
        used = propagate(lambda a, b, c: (a - c) / (b - c), Ratio, [now, stop, start], ("%", "%"))
        to.step(
            "Part of the take-up used",
            [f"({say(now)} less {say(start)}) / ({say(stop)} less {say(start)})"],
            used,
            ARITHMETIC.at("share"),
        )
        to.tell("used", "Part of the take-up used", used)
        if float(used.si) < -float(used.expanded_si):
            to.asked.append("The tensioner is slacker than the slack end of its travel: read all three again.")
        if float(left.si) <= float(left.expanded_si):
            to.lead.append("The tensioner is at its stop, or may be: it cannot tighten the belts any further.")

    def _look(self, to: Working) -> None:
        if self.looks == NOT_LOOKED_AT:
            return
        bad = self.looks != GOOD
        to.seen("looks", "Belts, all the way round", bad, SOUND, self.looks, "replace them as a set" if bad else "")
        if bad:
            to.lead.append(f"The belts are {self.looks}: one that fails takes the drive with it.")


def abs_of(figure: Measured) -> Measured:
    """The size of a figure, with its uncertainty."""
    return propagate(abs, figure.kind, [figure]) if float(figure.si) < 0 else figure
