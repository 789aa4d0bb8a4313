"""Weigh-in: the empty weight and its centre of gravity, both ways, from scales under the points of support."""

from __future__ import annotations

import itertools
import math
from typing import Annotated, Any, ClassVar, Literal

from rotorkit import sources
from rotorkit.aircraft import Aircraft
from rotorkit.aircraft.entries import Choice, Entry, GivenRows, Reading, Readings, asked, rows
from rotorkit.judging.measured import Measured, combined_by_uncertainty, measured
from rotorkit.mass import Item, Loading, centre_of_gravity, centre_of_gravity_levelled, item, net_mass
from rotorkit.quantities import Angle, Length, Mass, say
from rotorkit.sheets.base import NOT_LOOKED_AT, About, Needed, Outcome, Part, Row, Sheet, SheetLimit
from rotorkit.sheets.exercises import Exercise, Range
from rotorkit.sheets.working import Working
from rotorkit.sources import cautions

_INCHES = ("in", "mm")
_POUNDS = ("lb", "kg")
_DEG = ("deg", "deg")
SAME: Literal["the same"] = "the same"
OTHERS: Literal["others"] = "others"
TOGETHER: Literal["others, one set for these rows"] = "others, one set for these rows"
COMES_OFF: Literal["comes off"] = "comes off"
GOES_ON: Literal["goes on"] = "goes on"
AS_ASKED, LISTED = "as the manual's empty weight asks", "otherwise, and listed below"
State = Literal["not looked at", "as the manual's empty weight asks", "otherwise, and listed below"]
STATES = Choice(options=(NOT_LOOKED_AT, AS_ASKED, LISTED))
ARM = Entry(Length, _INCHES, ("-60 ft", "60 ft"), ("-30 ft", "30 ft"))
LATERAL = Entry(Length, _INCHES, ("-15 ft", "15 ft"), ("-8 ft", "8 ft"))
TILT = Entry(Angle, _DEG, ("-10 deg", "10 deg"), ("-2 deg", "2 deg"), by="level")
LEVEL_WITHIN = 2.0
"""Degrees off level beyond which the aircraft is to be levelled and weighed again (common practice, no source)."""


class Point(Row):
    """One point of support on its scale."""

    point: str = asked("Point", 'In words: "front jack point", "left skid, aft".', "")
    reading: Annotated[Readings | None, Entry(Mass, _POUNDS, ("0 lb", "12000 lb"), by="scale", repeats=True)] = asked(
        "Scale reads",
        "Brakes off, nobody leaning on it. For repeats lift off and weigh again; separate them with semicolons.",
    )
    tare: Annotated[Reading | None, Entry(Mass, _POUNDS, ("0 lb", "500 lb"), by="scale")] = asked(
        "Tare", "Blocks, chocks and stands on this scale. Empty: it was zeroed with them on."
    )
    arm: Annotated[Reading | None, ARM] = asked(
        "Arm", "From the datum to the point of support, aft positive, with its ±; the aircraft level."
    )
    lateral_arm: Annotated[Reading | None, LATERAL] = asked(
        "Lateral arm", "From the plane of symmetry, right positive, with its ±."
    )


class Aboard(Row):
    """Something that was aboard and does not count, or counts and was not aboard."""

    what: str = asked("What", '"fuel that would not drain", "tools", "doors".', "")
    does: Annotated[Literal["comes off", "goes on"], Choice(options=(COMES_OFF, GOES_ON))] = asked(
        "Does", "Comes off: not part of the empty weight. Goes on: part of it, but missing.", COMES_OFF
    )
    mass: Annotated[Reading | None, Entry(Mass, _POUNDS, ("0 lb", "2000 lb"), by="scale")] = asked(
        "Mass", "On the scale; fuel by volume and density, with its ±."
    )
    arm: Annotated[Reading | None, ARM] = asked("Its arm", "Aft positive, with its ±.")
    lateral_arm: Annotated[Reading | None, LATERAL] = asked("Its lateral arm", "Right positive, with its ±.")


class Weighing(Row):
    """Another weighing of the aircraft in the same state, whole: what it came to."""

    weighing: str = asked("Weighing", 'Which one: "12 May, the club\'s scales".', "")
    scales: Annotated[
        Literal["the same", "others", "others, one set for these rows"], Choice(options=(SAME, OTHERS, TOGETHER))
    ] = asked(
        "Scales and arms",
        "The same scales or arms as this weighing's are off alike each time: the ± then stays. Take that "
        "where you do not know. Others, and arms measured again: each weighing helps. Others that several rows share: "
        "they help as one.",
        SAME,
    )
    weight: Annotated[Reading | None, Entry(Mass, _POUNDS, ("100 lb", "12000 lb"))] = asked(
        "Empty weight", "What that weighing came to, fuel, oil and tare seen to, with its ±."
    )
    arm: Annotated[Reading | None, ARM] = asked("Its centre of gravity", "Aft of the same datum, with its ±.")
    lateral_arm: Annotated[Reading | None, LATERAL] = asked("Lateral centre of gravity", "Right positive, with its ±.")


class WeighInSheet(Sheet):
    """Weighing of the empty aircraft on three scales or four."""

    order: ClassVar[int] = 10
    puts_right: ClassVar[dict[str, str]] = {
        "empty_weight": (
            "Weigh it again; if it stays out, find what is aboard that the manual's empty weight leaves out, and ask "
            "the kit maker."
        ),
        "empty_": (
            "Measure the arms and weigh again; if it stays out, fixed ballast or moved equipment, as the manual says, "
            "brings it in."
        ),
    }
    needed: ClassVar[tuple[Needed, ...]] = (
        Needed("First hover", "a centre of gravity nobody knows may need more cyclic than there is"),
    )
    limits: ClassVar[dict[str, SheetLimit]] = {
        "empty_weight": SheetLimit(Mass, "empty weight", "lb", "the kit maker's range of empty weights"),
        "empty_arm": SheetLimit(Length, "empty centre of gravity", "in", "range for the empty aircraft, aft positive"),
        "empty_lateral_arm": SheetLimit(
            Length, "lateral centre of gravity, empty", "in", "the same, lateral, right positive"
        ),
    }
    uses: ClassVar[tuple[str, ...]] = ("weights.maximum",)
    about: ClassVar[About] = About(
        title="Weigh-in",
        settles=("The empty weight, its centre of gravity fore and aft and sideways, and how well they are known."),
        when="When the build is finished; after a repair or a repaint; when the ledger of changes has grown long.",
        tools=(
            "three or four scales, checked with a known weight that day",
            "plumb bob, chalk line and steel tape for the arms",
            "level or protractor at the manual's levelling points",
        ),
        procedure=(
            "Indoors, doors shut: wind creates lift. Clean, dry, complete; loose things out; the equipment list "
            "ticked off.",
            "Drain fuel and fill oil as the manual's empty weight asks. List below whatever is different.",
            "Blades tied as the manual says, in the same place each time. Scales level, on a hard floor, zeroed.",
            "Jack or lift slowly, two people, tail held. Level the aircraft at the levelling points, both ways.",
            "Read all scales. Lift off, set down, read again: three times. Blocks that stay on a scale are its tare.",
            "Weigh it another day, or on other scales with arms measured again: save each weighing as a check of its "
            "own, and take the others in here.",
            "Drop plumb lines from the datum mark and from each point of support; measure along the floor. The "
            "aircraft has to be level for this: if it is tilted, a high datum mark leans with it and the tilt counts "
            "twice.",
        ),
        sign_convention=(
            "Arms are positive aft of the datum, lateral arms positive to the right, facing forward. Pitch is "
            "positive with the nose down, roll with the left side down."
        ),
        cautions=(cautions.ENGINE_OFF, cautions.ON_JACKS, *cautions.ALWAYS),
        not_covered=(
            "the moments of inertia; the vertical centre of gravity, which you give",
            "whether the equipment list is right: an item missing from the aircraft is missing on the scales too",
        ),
    )
    exercises: ClassVar[tuple[Exercise, ...]] = (
        Exercise(
            name="net",
            title="A scale with blocks on it",
            story=(
                "The scale under the left jack point shows {reading}. The blocks and the jack on it weigh {tare} by "
                "themselves."
            ),
            find="the mass on the jack point",
            unit="lb",
            of=net_mass,
            given={
                "reading": Range("320.0 lb", "335.0 lb", "0.5 lb"),
                "tare": Range("2.5 lb", "9.0 lb", "0.5 lb"),
            },
            digits=4,
            hints=(
                "The scale weighs the blocks too.",
                "Subtract the blocks.",
            ),
        ),
        Exercise(
            name="centre",
            title="Where the centre of gravity is",
            story=("The moments of all scales about the datum add up to {moment}, their masses to {mass}."),
            find="the centre of gravity aft of the datum",
            unit="in",
            of=centre_of_gravity,
            given={
                "moment": Range("86,000 lb*in", "98,000 lb*in", "100 lb*in"),
                "mass": Range("810 lb", "890 lb", "1 lb"),
            },
            digits=4,
            hints=(
                "A moment is a mass times its arm.",
                "Divide the moment by the mass.",
            ),
        ),
    )

    scale: Annotated[str, Choice("instruments", measures="mass")] = asked("Scales", default="")
    level: Annotated[str, Choice("instruments", measures="angle")] = asked("Level or protractor", default="")
    points: list[Point] = rows("Points of support", "A row for each scale: three or more.")
    pitch: Annotated[Reading | None, Entry(Angle, _DEG, ("-10 deg", "10 deg"), ("-2 deg", "2 deg"), by="level")] = (
        asked("Pitch", "At the levelling points, nose down positive.")
    )
    roll: Annotated[Reading | None, TILT] = asked("Roll", "At the levelling points, left side down positive.")
    height: Annotated[Reading | None, Entry(Length, _INCHES, ("0 in", "12 ft"), ("6 in", "6 ft"))] = asked(
        "Height of the centre of gravity",
        "Above the points on the scales, from the manual or by eye with a wide ±: it decides how much a tilt matters.",
    )
    fuel: Annotated[State, STATES] = asked(
        "Fuel", "As the manual's empty weight requires (drained, unusable fuel in).", NOT_LOOKED_AT
    )
    oil: Annotated[State, STATES] = asked(
        "Oil", "As the manual's empty weight requires (full, or drained).", NOT_LOOKED_AT
    )
    aboard: list[Aboard] = rows(
        "Comes off, goes on",
        "What was aboard but is not part of the empty weight, and what is part of it but was missing.",
    )
    others: Annotated[
        list[Weighing],
        GivenRows(
            figures=(
                (
                    "weigh_in",
                    (
                        (
                            ("weighing", "={check}{when}"),
                            ("weight", "alone.weight|empty_weight"),
                            ("arm", "alone.arm|empty_arm"),
                            ("lateral_arm", "alone.lateral_arm|empty_lateral_arm"),
                        ),
                    ),
                ),
            ),
            adds=True,
        ),
    ] = rows(
        "Other weighings to combine with",
        "Complete weighings of the aircraft in the same state, combined with this one into one empty "
        "weight. Leave out a weighing if anything was changed since.",
    )

    @classmethod
    def start(cls, aircraft: Aircraft) -> dict[str, Any]:
        """Three points of support."""
        names = ("front point", "left point, aft", "right point, aft")
        return {**super().start(aircraft), "points": [{"point": name} for name in names], "aboard": [{"what": ""}],
                "others": [{"weighing": ""}]}  # fmt: skip

    def parts(self, aircraft: Aircraft) -> list[Part]:
        """Three points with both arms, the attitude, the height, fuel and oil."""
        rows = [row for row in self.points if row.point.strip() or row.reading is not None]
        whole = [row for row in rows if None not in (row.reading, row.arm, row.lateral_arm)]
        listed = [row for row in self.aboard if row.mass is not None]
        found = [Part("three points of support, each with reading, arm and lateral arm", len(whole) >= 3)]
        for i, row in enumerate(rows):
            named = row.point.strip() or f"point {i + 1}"
            found.append(Part(f"{named}: reading, arm and lateral arm", row in whole))
        found += [
            Part("pitch on the scales", self.pitch is not None),
            Part("roll on the scales", self.roll is not None),
        ]
        found.append(Part("height of the centre of gravity above the scales", self.height is not None))
        for title, state in (("fuel", self.fuel), ("oil", self.oil)):
            found.append(Part(f"state of the {title}", state == AS_ASKED or (state == LISTED and bool(listed))))
        return found

    def _work(self, aircraft: Aircraft) -> Outcome:
        to = Working(self, aircraft)
        points = self._points(to)
        listed = self._listed(to)
        if self.height is None and any(tilt is not None and tilt.si for tilt in (self.pitch, self.roll)):
            to.problem("height", "is needed: the aircraft was not level on the scales")
        to.settle()
        weighed = Loading(*self._sums(to, points, "on the scales"))
        arm, side = (
            to.work(f"{title} by the scales", centre_of_gravity, moment, weighed.mass, unit=_INCHES)
            for title, moment in (
                ("Centre of gravity", weighed.moment), ("Lateral centre of gravity", weighed.lateral_moment)
            )
        )  # fmt: skip
        arm, side = arm.shown_in(_INCHES), side.shown_in(_INCHES)
        arm, side = self._levelled(to, "pitch", arm), self._levelled(to, "roll", side)
        tilts = [abs(math.degrees(tilt.si)) for tilt in (self.pitch, self.roll) if tilt is not None]
        if max(tilts, default=0.0) > LEVEL_WITHIN:
            to.asked.append("The aircraft was far from level. Level it and weigh again.")
        empty = Loading.at(weighed.mass, arm, side)
        if listed:
            empty = empty.added(*listed)
            parts = [
                f"{'less' if one.mass.si < 0 else 'and'} {one.name} {say(abs_of(one.mass))} at {say(one.arm)}"
                for one in listed
            ]
            to.step(
                "Empty weight",
                [f"{say(weighed.mass)} {' '.join(parts)} = {say(empty.mass)}"],
                empty.mass,
                sources.DEFINITION.at("empty weight: as the manual counts it"),
            )
            arm = to.work("Empty centre of gravity", centre_of_gravity, empty.moment, empty.mass)
            side = to.work("Lateral centre of gravity, empty", centre_of_gravity, empty.lateral_moment, empty.mass)
        weight = empty.mass.shown_in(_POUNDS)
        weight, arm, side = self._combined(to, weight, arm.shown_in(_INCHES), side.shown_in(_INCHES))
        to.judge("empty_weight", "Empty weight", self.limit("empty_weight", aircraft), weight)
        to.judge("empty_arm", "Empty centre of gravity", self.limit("empty_arm", aircraft), arm)
        title = "Lateral centre of gravity, empty"
        to.judge("empty_lateral_arm", title, self.limit("empty_lateral_arm", aircraft), side)
        useful = measured(aircraft.weights.maximum, Mass, "maximum weight") - weight
        to.tell("useful_load", "Useful load, up to the maximum weight", useful.shown_in(_POUNDS))
        way = "to the right" if float(side.si) > 0 else "to the left"
        if all(part.done for part in self.parts(aircraft)):
            to.notes.append(
                f"Write into the aircraft's papers: {say(weight)}, centre of gravity {say(arm)} aft of the datum, "
                f"{say(abs_of(side))} {way}; with the equipment list of that day."
            )
        self._aircraft_file(to, aircraft, {"empty_weight": weight, "empty_arm": arm, "empty_lateral_arm": side})
        to.compare("Against the limits")
        return to.outcome()

    @staticmethod
    def _aircraft_file(to: Working, aircraft: Aircraft, given: dict[str, Measured]) -> None:
        """What [loading] of the aircraft file says of the empty aircraft and this weighing does not, by more than both
        ±: loadings are worked with what it says."""
        figures = aircraft.loading
        if figures is None:
            return
        apart = []
        for name, figure in given.items():
            if not figures.has(name):
                continue
            there = measured(getattr(figures, name), figure.kind, name)
            if abs(float(there.si) - float(figure.si)) > math.hypot(
                float(there.expanded_si), float(figure.expanded_si)
            ):
                apart.append(f"{name} {getattr(figures, name).said}")
        if apart:
            to.say_to_do(
                f"The aircraft file's [loading] says something else: {', '.join(apart)}. Loadings are worked with "
                "that: carry this weighing forward in the ledger of equipment, and write what that comes to there."
            )

    def _combined(self, to: Working, *alone: Measured) -> tuple[Measured, Measured, Measured]:
        """Weight, arm and lateral arm with other weighings taken in, each weighted by its ±."""
        rows = [
            (i, row)
            for i, row in enumerate(self.others)
            if (row.weight, row.arm, row.lateral_arm) != (None, None, None)
        ]
        for i, row in rows:
            if not row.weighing.strip():
                to.problem(f"others.{i}.weighing", "is missing: which weighing is it")
            for name, words in (
                ("weight", "empty weight"),
                ("arm", "centre of gravity"),
                ("lateral_arm", "lateral one"),
            ):
                one = getattr(row, name)
                if one is None:
                    to.problem(f"others.{i}.{name}", f"is missing: a weighing counts whole, with its {words}")
                elif one.uncertainty is None or not float(one.uncertainty.magnitude):
                    to.problem(f"others.{i}.{name}", "needs its ±: it is weighted by it")
        to.by_key("others", rows, lambda row: row.weighing.strip().casefold(), "weighing", "count no weighing twice")
        to.settle()
        if not rows:
            return alone  # type: ignore[return-value]
        titles = (
            ("weight", "Empty weight", "empty weight", _POUNDS),
            ("arm", "Empty centre of gravity", "empty centre of gravity", _INCHES),
            ("lateral_arm", "Lateral centre of gravity, empty", "lateral centre of gravity", _INCHES),
        )
        names = ["this one", *(row.weighing.strip() for _, row in rows)]
        alike: list[bool | str] = [
            False, *(TOGETHER if row.scales == TOGETHER else row.scales == SAME for _, row in rows)
        ]  # fmt: skip
        shared = SAME in (scales := [row.scales for _, row in rows]) or scales.count(TOGETHER) > 1
        found, apart = [], []
        for (name, title, words, unit), one in zip(titles, alone, strict=True):
            others = [to.reading(f"others.{i}.{name}", f"{words} by {row.weighing.strip()}", unit) for i, row in rows]
            to.tell(f"alone.{name}", f"{title}, by this weighing alone", one)
            whole = combined_by_uncertainty([one, *others], alike).shown_in(unit)
            lines = [f"{of}: {say(each)}" for of, each in zip(names, [one, *others], strict=True)]
            cited = sources.JCGM_100.at("5.1.2; each weighted by one over its ± squared")
            found.append(to.step(f"{title}, all weighings", [*lines, f"together {say(whole)}"], whole, cited))
            for (a, first), (b, second) in itertools.combinations(zip(names, [one, *others], strict=True), 2):
                most = math.hypot(float(first.expanded_si), float(second.expanded_si))
                if abs(float(first.si) - float(second.si)) > most:
                    apart.append(f"{words}: {a} {say(first)}, {b} {say(second)}")
        if apart:
            to.lead.append(
                f"The weighings disagree by more than their ± ({'; '.join(apart)}): something was changed, or one is "
                "wrong. Find out before either is used; the larger ± is taken."
            )
        same = "the ± that they share stays whole, and how they scatter comes to it" if shared else (
            "each by its own ±, or by how they scatter where that is more"
        )  # fmt: skip
        to.notes.append(f"{len(names)} weighings are taken together: {same}.")
        weight, arm, side = found
        return weight, arm, side

    def _levelled(self, to: Working, tilt: str, apparent: Measured) -> Measured:
        """The centre of gravity one way with the tilt of that way allowed for, where it was read; else as it seemed."""
        if getattr(self, tilt) is None or self.height is None:
            return apparent
        height, angle = to.reading("height", "height of the centre of gravity", _INCHES), to.reading(tilt, tilt, _DEG)
        levelled = to.work(f"Levelled in {tilt}", centre_of_gravity_levelled, apparent, height, angle, unit=_INCHES)
        return levelled.shown_in(_INCHES)

    def _points(self, to: Working) -> list[Item]:
        rows = to.filled("points", "reading", "arm", "lateral_arm")
        for i, row in rows:
            if not row.point.strip():
                to.problem(f"points.{i}.point", "is missing: which point is it")
            for name, words in (("reading", "scale's reading"), ("arm", "arm"), ("lateral_arm", "lateral arm")):
                if getattr(row, name) is None:
                    to.problem(f"points.{i}.{name}", f"is missing: a point needs its {words}")
        by_name = "points", rows, lambda row: row.point.strip().casefold(), "point"
        to.by_key(*by_name, advice="put repeats in one row")
        if len(rows) < 3:
            to.problem(f"points.{rows[-1][0]}.reading", "needs three points or more: two do not give both directions")
        to.settle()
        pooled = to.pool([row.reading for _, row in rows], Mass)
        found = []
        for i, row in rows:
            point = row.point.strip()
            net = to.mean(row.reading, f"scale under {point}", Mass, to.instrument("scale"), "", pooled, _POUNDS)
            if row.tare is not None:
                tare = to.reading(f"points.{i}.tare", f"tare under {point}", _POUNDS)
                if float(tare.si) > float(net.si):
                    to.problem(f"points.{i}.tare", "is more than the scale reads: check both")
                    to.settle()
                net = to.work(f"Net mass on {point}", net_mass, net, tare).shown_in(_POUNDS)
            arm, lateral = (
                to.reading(f"points.{i}.{name}", f"{words} of {point}", _INCHES)
                for name, words in (("arm", "arm"), ("lateral_arm", "lateral arm"))
            )
            found.append(item(point, net, arm, lateral))
        return found

    def _listed(self, to: Working) -> list[Item]:
        found = []
        for i, row in enumerate(self.aboard):
            if row.mass is None and row.arm is None and row.lateral_arm is None:
                continue
            for name in ("mass", "arm", "lateral_arm"):
                if getattr(row, name) is None:
                    words = name.replace("_", " ")
                    to.problem(f"aboard.{i}.{name}", f"is missing: whatever comes off or goes on needs its {words}")
            if not row.what.strip():
                to.problem(f"aboard.{i}.what", "is missing: what is it")
            to.settle()
            what = row.what.strip()
            mass, arm, lateral = (
                to.reading(f"aboard.{i}.{name}", f"{words}{what}", unit)
                for name, words, unit in (
                    ("mass", "", _POUNDS), ("arm", "arm of ", _INCHES), ("lateral_arm", "lateral arm of ", _INCHES)
                )
            )  # fmt: skip
            one = item(what, mass, arm, lateral)
            found.append(-one if row.does == COMES_OFF else one)
        return found

    def _sums(self, to: Working, items: list[Item], where: str) -> tuple[Measured, Measured, Measured]:
        whole = Loading.at(items[0].mass, items[0].arm, items[0].lateral_arm).added(*items[1:])
        cited = sources.ARITHMETIC.at("sum of the points")
        lines = " + ".join(say(one.mass) for one in items)
        to.step(f"Mass {where}", [f"{lines} = {say(whole.mass)}"], whole.mass, cited)
        for title, sums, name in (
            ("Moment", whole.moment, "arm"),
            ("Lateral moment", whole.lateral_moment, "lateral_arm"),
        ):
            lines = " + ".join(f"{say(one.mass)} × {said(getattr(one, name))}" for one in items)
            to.step(f"{title} {where}", [f"{lines} = {say(sums)}"], sums, cited)
        return whole.mass, whole.moment, whole.lateral_moment


def said(figure: Measured) -> str:
    """A figure in a product: in brackets where it is negative."""
    return f"({say(figure)})" if float(figure.si) < 0 else say(figure)


def abs_of(figure: Measured) -> Measured:
    """The figure's size, for a sentence that says the direction in words."""
    return -figure if float(figure.si) < 0 else figure
