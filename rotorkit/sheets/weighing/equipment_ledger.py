"""Equipment ledger: what was fitted, taken out or moved since the last weighing, and the empty weight that it makes."""

from __future__ import annotations

from datetime import date
from typing import Annotated, Any, ClassVar, Literal

from rotorkit import sources
from rotorkit.aircraft import Aircraft
from rotorkit.aircraft.entries import Choice, Entry, Reading, as_date, asked, required, rows
from rotorkit.aircraft.loading import LoadingFigures
from rotorkit.judging.agreement import says_the_same
from rotorkit.judging.measured import Measured, measured
from rotorkit.mass import Item, Loading, centre_of_gravity, centre_of_gravity_after_change, item, negligible_change
from rotorkit.pictures.data import Chart, Curve, Point
from rotorkit.quantities import Length, Mass, MassDifference, in_unit, required_kind, say, unit_factor
from rotorkit.quantities.errors import shortened
from rotorkit.sheets.base import NOT_LOOKED_AT, About, Needed, Outcome, Part, Row, Sheet
from rotorkit.sheets.exercises import Exercise, Range
from rotorkit.sheets.weighing.weigh_in import ARM, LATERAL, WeighInSheet
from rotorkit.sheets.working import Working
from rotorkit.sources import cautions

_INCHES = ("in", "mm")
_POUNDS = ("lb", "kg")
FITTED: Literal["fitted"] = "fitted"
TAKEN_OUT: Literal["taken out"] = "taken out"
MOVED: Literal["moved"] = "moved"
WALKED: Literal["all that is fitted is in the list"] = "all that is fitted is in the list"


class Change(Row):
    """One piece of equipment that was fitted, taken out or moved."""

    day: str = asked("Day", "Year, month, day: 2026-05-31.", "")
    what: str = asked("What", '"fire extinguisher with bracket", "battery".', "")
    does: Annotated[Literal["fitted", "taken out", "moved"], Choice(options=(FITTED, TAKEN_OUT, MOVED))] = asked(
        "Was", "Moved: the same piece, in another place.", FITTED
    )
    mass: Annotated[Reading | None, Entry(Mass, _POUNDS, ("0 lb", "2000 lb"), ("0 lb", "120 lb"), by="scale")] = asked(
        "Mass", "On the scale, with its bracket and screws."
    )
    arm: Annotated[Reading | None, ARM] = asked(
        "Its arm", "Where it is, or was before it was taken out or moved; aft positive, with ±."
    )
    lateral_arm: Annotated[Reading | None, LATERAL] = asked(
        "Its lateral arm", "The same, lateral, right positive, with ±."
    )
    new_arm: Annotated[Reading | None, ARM] = asked("New arm", "Only for something moved: where it is now, with ±.")
    new_lateral_arm: Annotated[Reading | None, LATERAL] = asked("New lateral arm", "Only for something moved, with ±.")


class EquipmentLedger(Sheet):
    """Changes of equipment since the last weighing, carried forward with weight and moment."""

    order: ClassVar[int] = 15
    puts_right: ClassVar[dict[str, str]] = {
        "empty_weight": (
            "Look every line over; if it stays out, take something out, or ask the kit maker, before it is flown."
        ),
        "empty_": (
            "Look every line over; if it stays out, fixed ballast or moved equipment, as the manual says, brings it in."
        ),
    }
    needed: ClassVar[tuple[Needed, ...]] = (
        Needed(
            "End of the test phase", "whatever was fitted, moved or taken out along the way changed the empty weight"
        ),
    )
    uses: ClassVar[tuple[str, ...]] = ("weights.maximum",)
    judged_by: ClassVar[tuple[str, ...]] = ("limits.weigh_in",)
    about: ClassVar[About] = About(
        title="Equipment ledger",
        settles="The empty weight and its centre of gravity as they are now, from the last weighing and every change "
        "of equipment since.",
        when="Whenever something is fitted, taken out or moved, before the next flight. Start again at each weighing.",
        tools=("small scales", "steel tape", "the equipment list", "the last weighing"),
        procedure=(
            "Take weight and centre of gravity from the last weighing.",
            "Weigh each piece with its bracket, cable and screws; measure where its middle is, from the datum and "
            "sideways.",
            "One row for each change. A piece that was replaced is two rows: taken out, and fitted.",
            "Check the equipment list against the aircraft: walk round, piece by piece.",
            "Write the result into the aircraft's papers, and into [loading] of the aircraft file.",
        ),
        sign_convention=(
            "Arms are positive aft of the datum, lateral arms positive to the right, facing forward. What is taken "
            "out is counted as negative for you: type its mass as it is."
        ),
        cautions=cautions.ALWAYS,
        not_covered=(
            "whether the change itself is allowed: that is for the manual, the rules and the people who release it",
            "paint, repairs and dirt: these cannot be weighed piece by piece, so weigh the aircraft again",
        ),
    )
    exercises: ClassVar[tuple[Exercise, ...]] = (
        Exercise(
            name="taken_out",
            title="Something taken out",
            story=(
                "Empty, it weighs {mass} with its centre of gravity at {arm}. Equipment in the tail boom, "
                "{change_arm} aft of the datum, is taken out: a change of {change}."
            ),
            find="the new empty centre of gravity",
            unit="in",
            of=centre_of_gravity_after_change,
            given={
                "mass": Range("805 lb", "845 lb", "1 lb"),
                "arm": Range("105.0 in", "108.0 in", "0.1 in"),
                "change": Range("-24.0 lb", "-8.0 lb", "0.5 lb"),
                "change_arm": Range("120.0 in", "150.0 in", "0.5 in"),
            },
            digits=4,
            hints=(
                "What is taken out has a negative mass, and so a negative moment.",
                "Add the moments and divide by the sum of the masses; less weight in the tail moves the centre of "
                "gravity forward.",
            ),
        ),
    )

    scale: Annotated[str, Choice("instruments", measures="mass")] = asked("Small scales", default="")
    weighed_weight: Annotated[
        Reading, Entry(Mass, _POUNDS, ("100 lb", "12000 lb"), given_by=("weigh_in.empty_weight",))
    ] = required("Empty weight as weighed", "From the last weighing, with its ±.")
    weighed_arm: Annotated[Reading, Entry(Length, _INCHES, ("-60 ft", "60 ft"), given_by=("weigh_in.empty_arm",))] = (
        required("Empty centre of gravity", "From the same weighing, aft of the datum, with its ±.")
    )
    weighed_lateral_arm: Annotated[
        Reading, Entry(Length, _INCHES, ("-15 ft", "15 ft"), given_by=("weigh_in.empty_lateral_arm",))
    ] = required("Lateral centre of gravity", "From the same weighing, right positive, with its ±.")
    listed: Annotated[
        Literal["not looked at", "all that is fitted is in the list"], Choice(options=(NOT_LOOKED_AT, WALKED))
    ] = asked("Equipment list", "Checked against the aircraft, piece by piece.", NOT_LOOKED_AT)
    changes: list[Change] = rows("Changes", "A row for each, in any order.")

    @classmethod
    def start(cls, aircraft: Aircraft) -> dict[str, Any]:
        """One change."""
        return {**super().start(aircraft), "changes": [{}]}

    def parts(self, aircraft: Aircraft) -> list[Part]:
        """The walk round, and mass and place of every change that is named."""
        found = [Part("equipment list checked against the aircraft", self.listed == WALKED)]
        for row in self.changes:
            if row.what.strip():
                found.append(Part(f"{row.what.strip()}: mass and arms", not _lacking(row)))
        return found

    def _work(self, aircraft: Aircraft) -> Outcome:
        to = Working(self, aircraft)
        weighed = Loading.at(
            to.reading("weighed_weight", "empty weight as weighed", _POUNDS),
            to.reading("weighed_arm", "centre of gravity as weighed", _INCHES),
            to.reading("weighed_lateral_arm", "lateral centre of gravity as weighed", _INCHES),
        )
        changes = self._changes(to)
        states = [("as weighed", weighed)]
        for what, items in changes:
            states.append((what, states[-1][1].added(*items)))
        now = states[-1][1]
        self._sums(to, weighed, changes, now)
        if changes:
            arm = to.work("Empty centre of gravity now", centre_of_gravity, now.moment, now.mass).shown_in(_INCHES)
            side = to.work(
                "Lateral centre of gravity now, empty", centre_of_gravity, now.lateral_moment, now.mass
            ).shown_in(_INCHES)
        else:
            arm, side = weighed.arm, weighed.lateral_arm
            to.notes.append("No change is listed: empty weight and centre of gravity are those of the weighing.")
        mass = now.mass.shown_in(_POUNDS)
        for key, title, figure in (
            ("empty_weight", "Empty weight now", mass),
            ("empty_arm", "Empty centre of gravity now", arm),
            ("empty_lateral_arm", "Lateral centre of gravity now, empty", side),
        ):
            to.judge(key, title, WeighInSheet.limit(key, aircraft), figure)
        useful = measured(aircraft.weights.maximum, Mass, "maximum weight") - now.mass
        to.tell("useful_load", "Useful load, up to the maximum weight", useful.shown_in(_POUNDS))
        if changes:
            added = (now.mass - weighed.mass).shown_in(_POUNDS)
            moved = (arm - weighed.arm).shown_in(_INCHES)
            to.tell("weight_changed", "Empty weight, now less as weighed", added)
            to.tell("arm_changed", "Empty centre of gravity: change since weighing", moved)
            to.tell(
                "side_changed",
                "Lateral centre of gravity: change since weighing",
                (side - weighed.lateral_arm).shown_in(_INCHES),
            )
            self._negligible(to, weighed, added, moved)
        self._aircraft_file(to, mass, arm, side)
        to.compare("Against the limits")
        to.pictures.append(_walk(states, to.system))
        return to.outcome()

    def _changes(self, to: Working) -> list[tuple[str, list[Item]]]:
        """Each change, with the items that it puts on and takes off."""
        rows = [(i, row) for i, row in enumerate(self.changes) if row.what.strip() or not _empty(row)]
        days: dict[int, date] = {}
        for i, row in rows:
            if not row.what.strip():
                to.problem(f"changes.{i}.what", "is missing: what was changed")
            for name in _lacking(row):
                words = Change.model_fields[name].title
                to.problem(f"changes.{i}.{name}", f"is missing: a change needs its {str(words).lower()}")
            if row.does != MOVED:
                for name in ("new_arm", "new_lateral_arm"):
                    if getattr(row, name) is not None:
                        to.problem(f"changes.{i}.{name}", "is only for something moved: this piece was " + row.does)
            days[i] = self._day(to, i, row)
        to.settle()
        found = []
        for i, row in sorted(rows, key=lambda one: days[one[0]]):
            what = row.what.strip()
            mass, arm, side = (
                to.reading(f"changes.{i}.{name}", f"{words}{what}", unit)
                for name, words, unit in (
                    ("mass", "", _POUNDS), ("arm", "arm of ", _INCHES), ("lateral_arm", "lateral arm of ", _INCHES)
                )
            )  # fmt: skip
            one = item(what, mass, arm, side)
            if row.does == MOVED:
                there = (
                    to.reading(f"changes.{i}.{name}", f"{words} of {what}", _INCHES)
                    for name, words in (("new_arm", "new arm"), ("new_lateral_arm", "new lateral arm"))
                )
                found.append((f"{what} moved", [-one, item(what, mass, *there)]))
            else:
                found.append((f"{what} {row.does}", [one if row.does == FITTED else -one]))
        return found

    @staticmethod
    def _day(to: Working, i: int, row: Change) -> date:
        """The day of a row; one that is none is noted."""
        try:
            day = as_date(row.day)
        except ValueError:
            to.problem(f"changes.{i}.day", f"needs a date, for example 2026-05-31, got {shortened(row.day)}")
            return date.min
        if day is None:
            to.problem(f"changes.{i}.day", "is missing: when was it changed")
        return day or date.min

    def _sums(self, to: Working, weighed: Loading, changes: list[tuple[str, list[Item]]], now: Loading) -> None:
        cited = sources.ARITHMETIC.at("sum of the ledger")
        items = [one for _, some in changes for one in some]
        lines = [f"as weighed {say(weighed.mass)}"]
        lines += [f"{what}: {' and '.join(say(one.mass) for one in some)}" for what, some in changes]
        to.step("Empty weight now", [*lines, f"together {say(now.mass)}"], now.mass.shown_in(_POUNDS), cited)
        for title, name, total in (
            ("Moment now", "arm", now.moment),
            ("Lateral moment now", "lateral_arm", now.lateral_moment),
        ):
            lines = [f"as weighed {say(weighed.mass)} × {say(getattr(weighed, name))}"]
            lines += [f"{one.name}: {say(one.mass)} × {say(getattr(one, name))}" for one in items]
            to.step(title, [*lines, f"together {say(total)}"], total, cited)

    @staticmethod
    def _negligible(to: Working, weighed: Loading, added: Measured, moved: Measured) -> None:
        """Whether all changes together are negligible, where an envelope says how far the centre of gravity may go."""
        figures = to.aircraft.loading
        arms = [
            corner.arm.si
            for one in (figures.envelopes if figures is not None else [])
            for corner in one.corners
            if corner.arm is not None
        ]
        if not arms:
            return
        more, way, reach = Measured(float(added.si), MassDifference), float(moved.si), max(arms) - min(arms)
        small = negligible_change(weighed.mass, more, Measured(way, Length), Measured(reach, Length))
        said = "negligible" if small else "not negligible"
        to.notes.append(f"All changes together are {said} by {sources.AC_43_13_1B.at('10-2 c')}: they are counted.")

    def _aircraft_file(self, to: Working, mass: Measured, arm: Measured, side: Measured) -> None:
        """What [loading] of the aircraft file says of the empty aircraft, checked against the ledger."""
        figures = to.aircraft.loading
        given = {"empty_weight": mass, "empty_arm": arm, "empty_lateral_arm": side}
        whole = all(part.done for part in self.parts(to.aircraft))
        if not whole:
            return
        if figures is not None and not figures.lacking() and all(
            says_the_same(getattr(figures, name), figure) for name, figure in given.items()
        ):  # fmt: skip
            to.notes.append("The aircraft file's [loading] says the same.")
            return
        lines = "; ".join(f'{name} = "{say(figure)}"' for name, figure in given.items())
        there = _said_there(figures)
        to.say_to_do(f"Write into [loading] of the aircraft file: {lines}.{there}")


def _said_there(figures: LoadingFigures | None) -> str:
    if figures is None or figures.lacking():
        return ""
    return f" It says {figures.empty_weight.said} at {figures.empty_arm.said}: {figures.source}."


def _lacking(row: Change) -> list[str]:
    """What a row needs and does not have."""
    needs = ["mass", "arm", "lateral_arm", *(("new_arm", "new_lateral_arm") if row.does == MOVED else ())]
    return [name for name in needs if getattr(row, name) is None]


def _empty(row: Change) -> bool:
    readings = (row.mass, row.arm, row.lateral_arm, row.new_arm, row.new_lateral_arm)
    return not row.day.strip() and all(one is None for one in readings)


def _walk(states: list[tuple[str, Loading]], system: str) -> Chart:
    """How empty weight and centre of gravity went, change by change."""
    inch, pound = (units[system == "metric"] for units in (_INCHES, _POUNDS))
    length, mass = required_kind(Length), required_kind(Mass)

    def shown(load: Loading) -> tuple[float, float, float, float]:
        return (
            float(in_unit(load.arm.si, inch, length)),
            float(in_unit(load.mass.si, pound, mass)),
            float(load.arm.expanded_si) / unit_factor(inch, length),
            float(load.mass.expanded_si) / unit_factor(pound, mass),
        )

    places = [(what, *shown(load)) for what, load in states]
    way = Curve("change by change", [x for _, x, *_ in places], [y for _, _, y, *_ in places])
    points = [Point("as weighed", *places[0][1:])]
    if len(places) > 1:
        points.append(Point("now", *places[-1][1:]))
    return Chart("Empty weight and centre of gravity since the weighing", f"arm, {inch}", f"mass, {pound}", (way,), (),
                 points)  # fmt: skip
