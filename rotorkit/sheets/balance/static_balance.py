"""Static balance of the blades on the bench: span moments from scales, and washers that make the blades alike."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Annotated, Any, ClassVar

from rotorkit import sources
from rotorkit.aircraft import Aircraft
from rotorkit.aircraft.entries import Choice, Entry, Readings, asked, required, rows
from rotorkit.balance import Station, match_blades, span_moment_from_knife_edge, span_moment_from_scales
from rotorkit.balance.static import product
from rotorkit.judging.limits import OUT_OF_LIMITS, TOO_CLOSE
from rotorkit.judging.measured import Measured, largest_less_smallest, measured
from rotorkit.quantities import Length, Mass, Ratio, Reading, Unbalance, required_kind, say
from rotorkit.sheets.balance.washers import ask_for_what_lacks, out_still
from rotorkit.sheets.base import About, Needed, Outcome, Part, Row, Sheet, SheetLimit, bars
from rotorkit.sheets.exercises import Exercise, Range
from rotorkit.sheets.working import Working, blade_named, capital, key_of
from rotorkit.sources import DEFINITION, cautions

SHOWN = Entry(Mass, ("lb", "kg"), ("0 lb", "500 lb"), ("0.5 lb", "150 lb"), by="scale", repeats=True)
PLACE = Entry(Length, ("in", "mm"), ("-10 in", "50 ft"), ("0 in", "25 ft"), by="rule")
MOMENT = ("lb*in", "kg*m")
SCALE, EDGE = "a scale", "a knife edge"
_UNBALANCE = required_kind(Unbalance)
LAID = ("0.05 in", "1 mm")
"""How far blades may well lie from alike on their supports, to say what it is worth: common practice (no source)."""


class BladeOnScales(Row):
    """One blade, level on two scales."""

    blade: str = asked("Blade", "Its name in the aircraft file.", "")
    inner: Annotated[Readings | None, SHOWN] = asked(
        "Inner scale", "Less the support; separate repeats with semicolons."
    )
    outer: Annotated[Readings | None, SHOWN] = asked(
        "Outer scale", "Read with the inner one, the blade level and free."
    )
    mass: Annotated[Readings | None, SHOWN] = asked(
        "Whole blade", "Only where the inner support is a knife edge: weighed alone, before."
    )


class Pocket(Row):
    """One more place where the manual allows weight."""

    name: str = asked("Place", "What it is called: root pocket, inner bolt.", "")
    blade: str = asked("Blade", "Empty: every blade has it.", "")
    station: Annotated[Reading | None, PLACE] = asked("From the axis", "Of the place, from the axis of rotation.")
    largest: Annotated[Reading | None, Entry(Mass, ("g", "g"), ("0 g", "5 kg"), ("1 g", "1 kg"), exact=True)] = asked(
        "Greatest mass", "What the manual allows there, with what is in it already."
    )
    there: Annotated[Reading | None, Entry(Ratio, ("", ""), ("0", "1000"), ("0", "50"), exact=True)] = asked(
        "Washers in it", "That may be taken out again; empty: none."
    )


class StaticBalance(Sheet):
    """Static balance of the main rotor's blades, each on two scales."""

    order: ClassVar[int] = 5
    needed: ClassVar[tuple[Needed, ...]] = (
        Needed("First rotor turn", "blades of unlike span moment shake the hub from the first turn"),
    )
    uses: ClassVar[tuple[str, ...]] = ("main_rotor.blades",)
    limits: ClassVar[dict[str, SheetLimit]] = {
        "spread": SheetLimit(
            Unbalance,
            "difference of span moments",
            "lb*in",
            "how far apart the blades' span moments may be: only the high side",
        )
    }
    about: ClassVar[About] = About(
        title="Static balance of the blades",
        settles="Whether the blades pull equally at the hub, and which washers at the tip make them equal.",
        when="Before the blades are first fitted; after painting, repair, or new tape on one of them.",
        tools=("two scales", "level", "supports that weigh little", "tape measure", "the manual's washers"),
        procedure=(
            "No draught. Lay the blade level on two narrow supports, one on each scale; take the supports' mass off.",
            "The same two places for every blade, measured from the axis of rotation as if the blade were bolted on.",
            "Read both scales at once, three times, lifting the blade off and laying it back in between.",
            "Swap the scales and read again: any difference is the scales, not the blade.",
            "With one scale: a knife edge as the inner support, and the whole blade weighed alone before.",
        ),
        sign_convention="Places are positive outward from the axis of rotation.",
        cautions=(cautions.BALANCE_WEIGHTS, *cautions.ALWAYS),
        not_covered=(
            "balance along the chord, which the manual sets with the span's",
            "blades that are not alike in twist, stiffness or shape: they fly apart although they weigh alike",
        ),
    )
    exercises: ClassVar[tuple[Exercise, ...]] = (
        Exercise(
            name="span_moment",
            title="A blade on two scales",
            story=(
                "A blade lies on two scales: {inner} at the support {inner_station} from the mast's axis, "
                "{outer} at the one {outer_station} from it."
            ),
            find="the blade's span moment",
            unit="lb*in",
            of=span_moment_from_scales,
            given={
                "inner": Range("19.50 lb", "20.50 lb", "0.01 lb"),
                "inner_station": "30.0 in",
                "outer": Range("16.50 lb", "17.50 lb", "0.01 lb"),
                "outer_station": "120.0 in",
            },
            digits=4,
            hints=(
                "Each scale's mass times its distance from the axis.",
                "Add the two products.",
            ),
        ),
    )

    scale: Annotated[str, Choice("instruments", measures="mass")] = asked("Scales", default="")
    rule: Annotated[str, Choice("instruments", measures="length")] = asked("Tape or rule", default="")
    inner_support: Annotated[str, Choice(options=(SCALE, EDGE))] = asked(
        "Inner support is", "With one scale alone: a knife edge, and the whole blade weighed.", SCALE
    )
    inner_place: Annotated[Reading, PLACE] = required(
        "Inner support", "From the axis of rotation, the same for every blade."
    )
    outer_place: Annotated[Reading, PLACE] = required("Outer support", "From the axis of rotation.")
    blades: list[BladeOnScales] = rows("Blades", "A row for each blade.")
    washer: Annotated[Reading | None, Entry(Mass, ("g", "g"), ("0.01 g", "1 kg"), ("0.1 g", "100 g"))] = asked(
        "One washer", "To be told how many; weigh ten and divide, and write ± with it."
    )
    station: Annotated[Reading | None, PLACE] = asked(
        "Place of the washers", "Of the manual's tip pocket, from the axis of rotation."
    )
    largest: Annotated[Reading | None, Entry(Mass, ("g", "g"), ("0 g", "5 kg"), ("1 g", "1 kg"))] = asked(
        "Greatest mass there", "What the manual allows to be added in each blade, with ± 0 g."
    )
    pockets: list[Pocket] = rows("Other places for washers", "Where the manual allows weight besides.")

    @classmethod
    def start(cls, aircraft: Aircraft) -> dict[str, Any]:
        """A row for each blade."""
        return {**super().start(aircraft), "blades": [{"blade": blade} for blade in aircraft.main_rotor.blades]}

    def parts(self, aircraft: Aircraft) -> list[Part]:
        """Every blade on both scales."""
        read = {
            blade_named(row.blade, aircraft.main_rotor)
            for row in self.blades
            if row.outer is not None and (row.mass if self.inner_support == EDGE else row.inner) is not None
        }
        on = "its scale and weighed whole" if self.inner_support == EDGE else "both scales"
        return [Part(f"blade {blade} on {on}", blade in read) for blade in aircraft.main_rotor.blades]

    def _work(self, aircraft: Aircraft) -> Outcome:
        to = Working(self, aircraft)
        rows = to.by_blade("blades", to.filled("blades", "inner", "outer", "mass"), aircraft.main_rotor, "main rotor")
        if self.outer_place.si <= self.inner_place.si:
            to.problem("outer_place", f"lies outside the inner support, at {self.inner_place.said}")
        with_edge = self.inner_support == EDGE
        needed = ("mass", "outer") if with_edge else ("inner", "outer")
        for i, row in rows.values():
            for column in needed:
                if getattr(row, column) is None:
                    to.problem(f"blades.{i}.{column}", "is needed with the other scale's reading")
            other = "inner" if with_edge else "mass"
            if getattr(row, other) is not None:
                to.problem(
                    f"blades.{i}.{other}", f"is not used where the inner support is {self.inner_support}: clear it"
                )
        pockets = self._pockets(to, aircraft)
        to.settle()
        inner = to.reading("inner_place", "inner support", ("in", "mm"))
        outer = to.reading("outer_place", "outer support", ("in", "mm"))
        pooled = to.pool([one for _, row in rows.values() for one in (row.inner, row.outer, row.mass)], Mass)
        moments, masses = {}, {}
        for blade in (name for name in aircraft.main_rotor.blades if name in rows):
            row = rows[blade][1]
            called = {"inner": "inner scale", "outer": "outer scale", "mass": "whole"}
            shown = [
                to.mean(
                    getattr(row, column), f"{called[column]}, blade {blade}", Mass, to.instrument("scale"), "scales",
                    pooled, ("lb", "kg"),
                )
                for column in needed
            ]  # fmt: skip
            works = span_moment_from_knife_edge if with_edge else span_moment_from_scales
            moment = to.work(f"Span moment of blade {blade}", works, shown[0], inner, shown[1], outer)
            moments[blade], masses[blade] = moment.shown_in(MOMENT), [shown[0]] if with_edge else shown
            to.tell(f"moment.{key_of(blade)}", f"Span moment, blade {blade}", moments[blade])
        if len(moments) > 1:
            self._compare(to, moments, aircraft, pockets)
            heaviest = max(sum(float(one.si) for one in all_of_it) for all_of_it in masses.values())
            laid = LAID[to.system == "metric"]
            worth = product(Measured(heaviest, Mass), measured(laid, Length, "laid further out"), _UNBALANCE).value
            said = say(worth, MOMENT[to.system == "metric"], digits=2)
            to.notes.append(
                f"A blade that lies {laid} further out on its supports than the others shows {said} more. The "
                "supports' ± is common to all blades and does not hold that: lay each blade down again for each repeat."
            )
        to.pictures.append(bars("Static balance", to.findings, to.system))
        return to.outcome()

    def _pockets(self, to: Working, aircraft: Aircraft) -> list[tuple[str | None, Station]]:
        """The other places for weight, each with its blade; None where every blade has it."""
        found: list[tuple[str | None, Station]] = []
        for i, row in enumerate(self.pockets):
            if row.station is None and row.largest is None and row.there is None and not row.name.strip():
                continue
            for column in ("station", "largest"):
                if getattr(row, column) is None:
                    to.problem(f"pockets.{i}.{column}", "is needed: a place has a distance and a greatest mass")
            if row.there is not None and row.there.si % 1:
                to.problem(f"pockets.{i}.there", f"is a whole number of washers, got {row.there.understood}")
            of = None
            if row.blade.strip():
                of = to.blade(f"pockets.{i}.blade", row.blade, aircraft.main_rotor, "main rotor")
            if row.station is not None and row.largest is not None:
                there = 0 if row.there is None else int(row.there.si)
                name = row.name.strip() or say(row.station.value)
                found.append((of, Station(row.station.value, row.largest.value, there, name)))
        if found and self.washer is None:
            to.problem("washer", "is needed to say how many go where")
        return found

    def _compare(
        self,
        to: Working,
        moments: dict[str, Measured],
        aircraft: Aircraft,
        pockets: Sequence[tuple[str | None, Station]],
    ) -> None:
        heavy, light = (pick(moments, key=lambda blade: moments[blade].si) for pick in (max, min))
        line = f"blade {heavy} {say(moments[heavy])} less blade {light} {say(moments[light])}"
        spread = largest_less_smallest(list(moments.values())).shown_in(MOMENT)
        to.step("Difference of span moments", [line], spread, DEFINITION.at("largest less smallest"))
        judged = to.judge("spread", "Difference of span moments", self.limit("spread", aircraft), spread)
        if spread.si:
            to.notes.append(f"Blade {heavy} pulls most, blade {light} least.")
        if not (pockets and self.station is None and self.largest is None):
            ask_for_what_lacks(to, "washer", "station", "largest")
        places: dict[str, list[Station]] = {blade: [] for blade in moments}
        for blade, there in places.items():
            if self.station is not None and self.largest is not None:
                there.append(Station(self.station.value, self.largest.value, name=say(self.station.value)))
            there += [one for of, one in pockets if of in (None, blade)]
        if self.washer is None or not any(places.values()):
            return
        washer = to.reading("washer", "one washer", "g")
        found = match_blades(list(moments.values()), list(places.values()), washer)
        adds: list[str] = []
        takes: list[str] = []
        for (blade, there), counts in zip(places.items(), found.changes, strict=True):
            for place, count in zip(there, counts, strict=True):
                at = f" at {place.name}" if len(there) > 1 else ""
                said = f"{abs(count)} washer{'s' if abs(count) > 1 else ''}{{}}{at} in blade {blade}"
                if count:
                    (adds if count > 0 else takes).append(said.format("" if count > 0 else " out"))
        done = [f"{verb} {', '.join(one)}" for verb, one in (("add", adds), ("take", takes)) if one]
        what = capital("; ".join(done)) or "No washer makes it better"
        left = found.spread.shown_in(MOMENT)
        lines = [f"{what}: the moments are then {say(left)} apart, the least that whole washers allow"]
        to.step("Whole washers", lines, left, sources.ARITHMETIC.at("every combination compared"))
        to.tell("matched", "Difference with these washers, expected", left)
        if out := out_still(judged, float(left.si)):
            to.lead.append(out)
        said = f"{what}, and weigh again: expected {say(left)}." if done else f"{what}."
        if done and judged.verdict.word in (OUT_OF_LIMITS, TOO_CLOSE):
            to.say_to_do(said, "spread")
        else:
            to.notes.append(said)
