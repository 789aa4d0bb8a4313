"""A tail rotor or fan on a mandrel: its unbalance from the weights that just start it, and what the stand shows."""

from __future__ import annotations

import math
from typing import Annotated, Any, ClassVar

from rotorkit import sources
from rotorkit.aircraft import Aircraft
from rotorkit.aircraft.entries import Choice, Entry, Readings, asked, required, rows
from rotorkit.balance import (
    Hole,
    OnMandrel,
    balance_grade,
    grade_of,
    on_mandrel,
    permissible_unbalance,
    phasor,
    split_between_holes,
    still_hold,
    unbalance_along,
)
from rotorkit.balance.holes import washers_in_words
from rotorkit.balance.phasors import WEIGHTS
from rotorkit.balance.static import product
from rotorkit.judging.limits import Limit
from rotorkit.judging.measured import Measured
from rotorkit.pictures.data import Chart, Curve, Dots
from rotorkit.quantities import Length, Mass, QuantityError, Reading, RotationRate, Speed, Unbalance, required_kind, say
from rotorkit.sheets.balance.arrows import PLACE, WASHER, WEIGHT
from rotorkit.sheets.balance.washers import ENOUGH, out_still
from rotorkit.sheets.base import About, Needed, Outcome, Part, Row, Sheet, SheetLimit
from rotorkit.sheets.exercises import Exercise, Range
from rotorkit.sheets.working import Working, capital, value_of
from rotorkit.sources import cautions

STARTS = Entry(Mass, ("g", "g"), ("0 g", "1 kg"), ("0 g", "200 g"), by="scale", repeats=True)
KNOWN = Entry(Mass, ("g", "g"), ("0.01 g", "1 kg"), ("0.1 g", "100 g"), by="scale")
STAYS, TURNS = "stays", "turns by itself"
AMOUNT = ("oz*in", "g*mm")
GRADE = ("mm/s", "mm/s")
YARDSTICKS = ("G16", "G6.3", "G2.5")
"""Grades to compare with: fans are usually asked for G6.3 (ISO 21940-11, table 1, from memory)."""
_UNBALANCE, _MASS = required_kind(Unbalance), required_kind(Mass)


class Start(Row):
    """One place level with the axle, and the weight that just starts it turning down."""

    name: str = asked("Hole", "What it is called: bolt 3, blade A.", "")
    place: Annotated[Reading | None, PLACE] = asked(
        "Place", "Its angle from a mark of the part, all counted the same way round."
    )
    weight: Annotated[Readings | None, STARTS] = asked(
        "Starts it", "The weight there that just starts it; separate repeats with semicolons."
    )
    by_itself: Annotated[str, Choice(options=(STAYS, TURNS))] = asked(
        "With nothing on it", "Where it turns down by itself, this side is the heavy one.", STAYS
    )
    with_known: Annotated[Readings | None, STARTS] = asked(
        "Starts it, known weight on", "The same once more, with the known weight fixed."
    )
    largest: Annotated[Reading | None, WEIGHT] = asked(
        "Greatest mass", "What the manual allows there, less what is in it already."
    )


class MandrelBalance(Sheet):
    """Static balance of a tail rotor or a fan on a mandrel."""

    order: ClassVar[int] = 8
    workings: ClassVar[int] = 120
    needed: ClassVar[tuple[Needed, ...]] = (
        Needed("First rotor turn", "a tail rotor or fan out of balance shakes its bearings apart", where_limited=True),
    )
    limits: ClassVar[dict[str, SheetLimit]] = {
        "unbalance": SheetLimit(
            Unbalance, "unbalance of the part", "oz*in", "how much may be left: only the high side"
        ),
        "grade": SheetLimit(
            Speed,
            "balance grade of the part",
            "mm/s",
            'where the manual names a grade instead, such as G6.3: high = "6.3 mm/s"',
        ),
    }
    about: ClassVar[About] = About(
        title="Balance on a mandrel",
        settles="How far a tail rotor or fan is out of balance before it runs, how little the stand can detect, "
        "and which "
        "washers go where.",
        when="Before a tail rotor or fan is first mounted; after paint, repair, new blades or a lost weight.",
        tools=(
            "mandrel that fits the bore, true and clean",
            "two level knife edges or rails, or a balancing stand with free bearings",
            "level",
            "scale that reads to a tenth of a gram",
            "wax or tape, and the manual's washers",
        ),
        procedure=(
            "No draught. Level the rails along and across. Blades, bolts and grips as in flight.",
            "Bring one place level with the axle, always on the same side; add weight there, a little at a time, until "
            "it just begins to turn down. Weigh what it took. The same at every place all round.",
            "Where it turns down with no weight on, say so: that side is the heavy one.",
            "Fix a known weight at one place, some twice what friction holds, and do it all again: the stand must find "
            "that weight. If it does not, none of its figures is worth anything.",
            "Put in the washers this sheet gives, then measure again.",
        ),
        sign_convention="Angles from one mark of the part, all counted the same way round, seen from one side. The "
        "heavy side is where too much mass sits; washers go opposite.",
        cautions=(cautions.BALANCE_WEIGHTS, *cautions.ALWAYS),
        not_covered=(
            "two planes: a part that is long along its axle may be in balance here and still rock when it turns",
            "blades of a tail rotor that are not alike along the chord or in angle",
            "balance of the whole aircraft's tail rotor at speed: that is read with it turning",
        ),
    )
    exercises: ClassVar[tuple[Exercise, ...]] = (
        Exercise(
            name="along_a_place",
            title="Heavy side by two weights",
            story=(
                "A tail rotor lies on its mandrel. With blade A level, {here} at {radius} just starts it turning down; "
                "with the opposite blade level, {opposite} at the same radius does."
            ),
            find="how much unbalance points at blade A (positive: blade A is heavy)",
            unit="g*mm",
            of=unbalance_along,
            given={
                "here": Range("1.2 g", "2.6 g", "0.1 g"),
                "opposite": Range("5.4 g", "7.8 g", "0.1 g"),
                "radius": "80 mm",
            },
            hints=(
                "Friction is the same in both; the unbalance helps one and hinders the other.",
                "Take half of what the opposite place needs more, and multiply by the radius.",
            ),
        ),
    )

    part: str = asked("Part", "What lies on the mandrel: tail rotor, cooling fan.", "")
    scale: Annotated[str, Choice("instruments", measures="mass")] = asked("Scale", default="")
    rule: Annotated[str, Choice("instruments", measures="length")] = asked("Tape or rule", default="")
    radius: Annotated[Reading, Entry(Length, ("in", "mm"), ("0.2 in", "6 ft"), ("1 in", "3 ft"), by="rule")] = required(
        "Radius of the places", "From the axle to where the weights sit, the same for all."
    )
    mass: Annotated[Reading | None, Entry(Mass, ("lb", "kg"), ("0.05 lb", "500 lb"), ("0.5 lb", "60 lb"))] = asked(
        "Mass of the part", "With all that turns with it; to say which grade it reaches."
    )
    speed: Annotated[Reading | None, Entry(RotationRate, None, ("50 rpm", "50000 rpm"), ("1000 rpm", "8000 rpm"))] = (
        asked("Highest speed of the part", "To say which grade it reaches.")
    )
    known: Annotated[Reading | None, KNOWN] = asked("Known weight", "To try the stand with; fixed at the same radius.")
    known_place: Annotated[Reading | None, PLACE] = asked(
        "Place of the known weight", "Its angle, counted like the others."
    )
    starts: list[Start] = rows("Places", "A row for each place, all round; six to eight do well.")
    washer: Annotated[Reading | None, WASHER] = asked(
        "One washer", "Weigh ten and divide. To be told how many go where."
    )

    @classmethod
    def start(cls, aircraft: Aircraft) -> dict[str, Any]:
        """Six places, to be named."""
        return {**super().start(aircraft), "starts": [{} for _ in range(6)]}

    def parts(self, aircraft: Aircraft) -> list[Part]:
        """Places all round, and the stand tried with a known weight."""
        told = sum(row.weight is not None or row.by_itself == TURNS for row in self.starts)
        read = sum(row.weight is not None for row in self.starts)
        again = sum(row.with_known is not None for row in self.starts)
        tried = self.known is not None and self.known_place is not None and again >= 3
        return [
            Part("six places or more tried, four of them with a weight that starts it", told >= 6 and read >= 4),
            Part("the stand tried with a known weight, at three places or more", tried),
        ]

    def _work(self, aircraft: Aircraft) -> Outcome:
        to = Working(self, aircraft)
        rows = self._rows(to)
        to.settle()
        radius = to.reading("radius", "radius of the places", ("in", "mm"))
        plain = [(i, row) for i, row in rows if row.weight is not None]
        again = [(i, row) for i, row in rows if row.with_known is not None] if self.known is not None else []
        if len(plain) < 3:
            to.notes.append("Three places with a weight that starts it are the least: nothing is worked before.")
            return to.outcome()
        if len(again) < 3:
            again = []
        pooled = to.pool([one for _, row in rows for one in (row.weight, row.with_known)], Mass, "g")
        weights = [self._weight(to, row.weight, f"starting weight, {_named(row)}", pooled) for _, row in plain]
        later = [
            self._weight(to, row.with_known, f"starting weight with the known one on, {_named(row)}", pooled)
            for _, row in again
        ]
        try:
            at = {i: to.reading(f"starts.{i}.place", f"place of {_named(row)}", "deg") for i, row in [*plain, *again]}
            found = on_mandrel([at[i] for i, _ in plain], weights, [at[i] for i, _ in again], later)
        except QuantityError as problem:
            to.problem("starts", str(problem).partition(": ")[2])
            to.settle()
            raise
        self._told(to, found, radius, aircraft)
        self._doubted(to, found, rows)
        if found.known is not None:
            self._tried(to, found)
        self._washers(to, found, rows, radius, self.limit("unbalance", aircraft))
        to.compare("Balance on the mandrel")
        to.pictures.append(self._picture(found, [row for _, row in plain], weights))
        return to.outcome()

    def _rows(self, to: Working) -> list[tuple[int, Any]]:
        rows: list[tuple[int, Any]] = []
        for i, row in enumerate(self.starts):
            told = row.weight is not None or row.by_itself == TURNS or row.with_known is not None
            if not told and row.largest is None:
                continue
            if row.place is None:
                to.problem(f"starts.{i}.place", "is needed: say where, as an angle from the mark")
            if row.weight is not None and row.by_itself == TURNS and max(one.si for one in row.weight) > 0:
                to.problem(f"starts.{i}.by_itself", f"is {TURNS!r} although a weight starts it: one of them cannot be")
            for column in ("weight", "with_known"):
                to.mixed(f"starts.{i}.{column}", getattr(row, column))
                # nothing is no reading: what would have held it back is not known, and may be much
                if any(one.si <= 0 for one in getattr(row, column) or ()):
                    besides = f", and choose {TURNS!r}" if column == "weight" else ""
                    to.problem(
                        f"starts.{i}.{column}",
                        f"is no reading at 0: leave it empty where it turns with no weight added{besides}",
                    )
            rows.append((i, row))
        if not any(row.weight is not None for _, row in rows):
            to.problem("starts.0.weight" if self.starts else "starts", "needs a reading")
        if self.known is None and any(row.with_known is not None for _, row in rows):
            to.problem("known", "is needed: weights with a known one on are entered")
        if self.known is not None and self.known_place is None:
            to.problem("known_place", "is needed with the known weight")
        to.by_key("starts", [one for one in rows if one[1].place is not None],
                  lambda row: f"{row.place.si % math.tau:.6f}", "place")  # fmt: skip
        return rows

    def _weight(self, to: Working, readings: Readings, what: str, pooled: Any) -> Measured:
        scale = to.instrument("scale")
        return to.mean(readings, what, Mass, scale, "scale", pooled, ("g", "g"), own_step=scale is None)

    def _told(self, to: Working, found: OnMandrel, radius: Measured, aircraft: Aircraft) -> None:
        cited = sources.ARITHMETIC.at("least squares")
        lines = [
            "weight that starts it = what friction holds - heavy side x cos(place - heavy side), over all places",
            f"heavy side {found.heavy}",
        ]
        to.step("Heavy by, at the places' radius", lines, found.heavy.amplitude, cited)
        to.step("Weight that friction holds", ["the part that is the same at every place"], found.friction, cited)
        unbalance = product(found.heavy.amplitude, radius, _UNBALANCE).shown_in(AMOUNT)
        lines = [f"{say(found.heavy.amplitude)} at {say(radius)}"]
        to.step("Unbalance as found", lines, unbalance, sources.DEFINITION.at("mass times radius"))
        limit = self.limit("grade", aircraft)
        to.judge(
            "unbalance", "Unbalance as found", self.limit("unbalance", aircraft), unbalance, aside=limit is not None
        )
        to.tell("heavy", "Heavy by, at the places' radius", found.heavy.amplitude)
        to.tell("heavy_at", "Heavy side", found.heavy.angle_around)
        friction = product(found.friction, radius, _UNBALANCE).shown_in(AMOUNT)
        to.tell("friction", "What friction of the stand holds", friction)
        if self.mass is not None and self.speed is not None:
            mass = to.reading("mass", "mass of the part", ("lb", "kg"))
            speed = to.reading("speed", "highest speed", "rpm")
            grade = to.work("Balance grade as found", grade_of, unbalance, mass, speed).shown_in(GRADE)
            to.judge("grade", "Balance grade as found", limit, grade, aside=True)
            unit, allowed = AMOUNT[to.system == "metric"], []
            for name in YARDSTICKS:
                most = value_of(permissible_unbalance, balance_grade(name), mass, speed).value
                allowed.append(f"{name} {say(most, unit, digits=2)}")
            to.notes.append(
                f"As a yardstick, what ISO 21940-11 leaves a rigid rotor of this mass and speed: {', '.join(allowed)}. "
                "The manual's own limit governs."
            )
        elif limit is not None:
            for name in ("mass", "speed"):
                if getattr(self, name) is None:
                    to.missing.append(f"the part's {'mass' if name == 'mass' else 'highest speed'}, for its grade")
        if not found.degrees:
            to.lead.append(
                "There are no more readings than unknowns: how far they scatter is not known. Try more places."
            )

    def _doubted(self, to: Working, found: OnMandrel, rows: list[tuple[int, Any]]) -> None:
        """What cannot be: friction that drives, and a place said to turn by itself that the others say takes weight."""
        friction = float(found.friction.si)
        if friction < 0:
            to.lead.append(
                "The readings say that friction drives the part. The rails are not level, there is a draught, or it "
                "was not turned the same way each time: do it again."
            )
            to.missing.append("readings that fit together: friction comes out below nothing")
        for _, row in rows:
            if row.by_itself != TURNS:
                continue
            # with nothing on it turns down where the heavy side's part along the place is more than friction holds
            turn = row.place.si
            heavy = found.heavy.along * math.cos(turn) + found.heavy.across * math.sin(turn)
            wanted = found.friction - heavy
            if float(wanted.si) > float(wanted.expanded_si):
                to.lead.append(
                    f"{_named(row)} is said to turn down by itself, and by all the others it should take "
                    f"{say(wanted)}: try both again."
                )
                to.missing.append(f"readings that fit together, {_named(row)}")

    def _tried(self, to: Working, found: OnMandrel) -> None:
        """The known weight, found again or not."""
        assert found.known is not None
        known = phasor(
            to.reading("known", "known weight", "g"), to.reading("known_place", "place of the known weight", "deg"),
            WEIGHTS, "known weight",
        )  # fmt: skip
        cited = sources.ARITHMETIC.at("least squares")
        assert self.known is not None
        assert self.known_place is not None
        was = f"{self.known.understood} at {self.known_place.understood}"
        seen = f"{say(found.known.amplitude)} at {say(found.known.angle_around)}"
        lines = ["what the second round changed, with the known weight on", f"= {seen}; it was {was}"]
        to.step("Known weight, as the stand finds it", lines, found.known.amplitude, cited)
        to.tell("known", "Known weight, as the stand finds it", found.known.amplitude)
        to.tell("known_at", "Place of the known weight, as the stand finds it", found.known.angle_around)
        try:
            told = still_hold([known], [found.known])
        except QuantityError:
            to.problem("known", "needs its ±: if every reading is exact, nothing says how close is close enough")
            to.settle()
            raise
        if float(found.known.amplitude.si) < float(found.known.amplitude.expanded_si):
            to.lead.append(
                "The stand does not show the known weight at all: it is too coarse, and no figure of it counts."
            )
            to.missing.append("a stand that shows the known weight")
        elif told.holds:
            to.notes.append(f"The stand found the known weight again: {seen}, it was {was}.")
        else:
            to.lead.append(
                f"The stand does not find the known weight: {seen}, and it was {was}. Look for a bent "
                "mandrel, rails not level, angles counted two ways, a draught; no figure here counts before."
            )
            to.missing.append("the known weight found where and as large as it is")

    def _washers(
        self, to: Working, found: OnMandrel, rows: list[tuple[int, Any]], radius: Measured, limit: Limit | None
    ) -> None:
        size = found.heavy.amplitude
        smallest = product(Measured(float(size.expanded_si), _MASS, unit="g"), radius, _UNBALANCE)
        shown = say(smallest.value, AMOUNT[to.system == "metric"], digits=2)
        to.notes.append(f"Below {shown} this stand, as it was used, cannot tell an unbalance from none.")
        if float(size.si) < float(size.expanded_si):
            to.notes.append("What was found is less than that: no washer follows from it.")
            return
        holes = [
            Hole(row.place, row.largest, name=row.name.strip() or say(row.place.value, "deg"))
            for _, row in sorted(rows, key=lambda one: one[1].place.si % math.tau)
            if row.largest is not None
        ]
        if self.washer is None or not holes or to.missing:
            return
        washer = to.reading("washer", "one washer", "g")
        near = float(size.expanded_si)
        if limit is not None and limit.high_si is not None:
            near = max(near, ENOUGH * float(limit.high_si) / float(radius.si))
        split = split_between_holes((-found.heavy).exact, holes, washer, close_enough=Measured(near, _MASS, unit="g"))
        left = found.heavy + split.achieved
        lines = [f"wanted {-found.heavy}", f"best of {split.compared:,} combinations: {split.in_words}"]
        promised = product(left.amplitude, radius, _UNBALANCE).shown_in(AMOUNT)
        to.step("Left with these washers, expected", [*lines, f"they leave {left}"], promised,
                sources.ARITHMETIC.at("every combination compared"))  # fmt: skip
        to.tell("promised", "Left with these washers, expected", promised)
        for finding in to.findings:
            if finding.key in ("unbalance", "grade") and float(left.amplitude.si) > near:
                # either figure goes with the weight that is too much
                share = float(left.amplitude.si) / float(size.si)
                if out := out_still(finding, share * float(finding.measured.si)):
                    to.lead.append(out)
        if not split.washers:
            to.notes.append("No washer in these places makes it better than it needs to be.")
            return
        added = capital(washers_in_words(split.changes, split.names))
        to.say_to_do(f"{added}: {say(promised)} should be left. Then measure again.", "unbalance", "grade")

    def _picture(self, found: OnMandrel, rows: list[Any], weights: list[Measured]) -> Chart:
        """The starting weights around the part, and what was worked from them."""
        turns = list(range(0, 361, 5))
        friction, heavy = float(found.friction.si), found.heavy.si
        fitted = [
            1000 * (friction - (heavy.real * math.cos(math.radians(t)) + heavy.imag * math.sin(math.radians(t))))
            for t in turns
        ]
        places = [math.degrees(row.place.si) % 360 for row in rows]
        return Chart(
            "Weights that start it", "place, degrees from the mark", "weight that starts it, g",
            [Curve("by the heavy side and friction", turns, fitted)], (), (),
            [Dots("read", places, [1000 * float(one.si) for one in weights])],
        )  # fmt: skip


def _named(row: Any) -> str:
    """A place as it is called."""
    return row.name.strip() or say(row.place.value, "deg")
