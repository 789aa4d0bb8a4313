"""Track and balance over speeds: one plan of whole steps from flight to flight, which learns what they do."""

from __future__ import annotations

import cmath
import itertools
import math
from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Annotated, Any, ClassVar

import numpy as np

from rotorkit import sources
from rotorkit.aircraft import Aircraft
from rotorkit.aircraft.entries import Choice, Entry, Readings, asked, rows
from rotorkit.balance import EffectModel, Move, MovesPlan, Phasor, chance_within, effect_model, plan_moves, track_spread
from rotorkit.balance.plan import NO_ANSWER, unanswered
from rotorkit.judging.limits import IN_LIMITS, Limit
from rotorkit.judging.measured import Measured, measured
from rotorkit.pictures.data import Chart, Curve
from rotorkit.quantities import Angle, Length, Ratio, Reading, Speed, from_si, in_unit, required_kind, say
from rotorkit.quantities.errors import shortened
from rotorkit.quantities.parts import whole_number
from rotorkit.sheets.balance.arrows import AMPLITUDE, PHASE, PLACE, VIBRATION, arrow_of, chance_in_words
from rotorkit.sheets.base import About, Again, Needed, Outcome, Part, Row, Sheet, SheetLimit
from rotorkit.sheets.exercises import Exercise, Range
from rotorkit.sheets.working import Working, blade_named, capital, key_of
from rotorkit.sources import cautions
from rotorkit.vibration import displacement_from_velocity

LATERAL, VERTICAL = "lateral", "vertical"
PLACES = (LATERAL, VERTICAL)
RISES, FALLS = "the phase rises", "the phase falls"
READ_WITH = ("analyser", "phase_meter", "rule", "passing")
STEPS = Entry(Ratio, ("", ""), ("-1000", "1000"), ("-60", "60"))
EFFECT = Entry(Speed, ("in/s", "mm/s"), ("0 in/s", "5 in/s"), ("0 in/s", "0.5 in/s"), exact=True)
RISE = Entry(Length, ("in", "mm"), ("-5 in", "5 in"), ("-1 in", "1 in"), exact=True)
POINTS = replace(PLACE, exact=True)
HEIGHT = Entry(Length, ("in", "mm"), ("-48 in", "48 in"), ("-12 in", "12 in"), by="rule", repeats=True)
BRANCHES = 200
"""So many branches of plans are tried, and no more: the same plan on every machine, and no long wait."""
NEAR = 0.1
"""How near to the best of all plans is near enough, as a share of it."""
STEP_COST = 0.01
"""A step is made only where it brings the worst down by a hundredth of its limit: common practice (no source)."""
MANY_ROUNDS = 4
"""So many rounds of moves without coming in limits are a sign of something else: common practice (no source)."""


class RunReading(Row):
    """What the aircraft shakes once a turn in one run, in one condition."""

    run: str = asked("Run", "1, 2, 3: the order of the flights.", "")
    condition: str = asked("Condition", "hover, 40 kt, 60 kt: the same words in every run.", "")
    place: Annotated[str, Choice(options=PLACES)] = asked("Pick-up", default=LATERAL)
    amplitude: Annotated[Readings | None, AMPLITUDE] = asked(
        "Amplitude", "Peak, once a turn; separate repeats with semicolons."
    )
    phase: Annotated[Readings | None, PHASE] = asked("Phase", "In the same run.")


class TipHeight(Row):
    """The height of one blade's tip in one run, in one condition."""

    run: str = asked("Run", "As above.", "")
    condition: str = asked("Condition", "As above.", "")
    blade: str = asked("Blade", "Its name in the aircraft file.", "")
    height: Annotated[Readings | None, HEIGHT] = asked(
        "Height", "By flag, strobe or camera, above any one line; up is positive."
    )


class MoveAllowed(Row):
    """What may be moved, and how far."""

    move: str = asked("Move", "tip washer, link flat, tab degree: the same words below.", "")
    blade: str = asked("Blade", "Left empty: on every blade alike.", "")
    fewest: Annotated[Reading | None, STEPS] = asked(
        "Fewest steps", "Counted from run 1: 0 where nothing can be taken away."
    )
    most: Annotated[Reading | None, STEPS] = asked("Most steps", "What the manual allows.")


class StepEffect(Row):
    """What one step of a move does: the manual's chart, or an earlier job on this aircraft."""

    move: str = asked("Move", "As above.", "")
    condition: str = asked("Condition", "Left empty: in every condition that has no row.", "")
    lateral: Annotated[Reading | None, EFFECT] = asked("Lateral", "The change by one step on the first blade.")
    lateral_angle: Annotated[Reading | None, POINTS] = asked("Its angle", "Where it points.")
    vertical: Annotated[Reading | None, EFFECT] = asked("Vertical", "The same for the vertical pick-up.")
    vertical_angle: Annotated[Reading | None, POINTS] = asked("Vertical's angle", "Where that points.")
    rise: Annotated[Reading | None, RISE] = asked(
        "Tip rises", "That blade's tip, by one step; negative where it sinks."
    )


class MoveMade(Row):
    """A move that was made between two runs."""

    after: str = asked("After run", "Its number.", "")
    move: str = asked("Move", "As above.", "")
    blade: str = asked("Blade", default="")
    steps: Annotated[Reading | None, STEPS] = asked("Steps made", "Taken away: negative.")


class TrackAndBalance(Sheet):
    """Track and balance of the main rotor over several speeds."""

    order: ClassVar[int] = 50
    workings: ClassVar[int] = 90
    has_slow_part: ClassVar[bool] = True
    needed: ClassVar[tuple[Needed, ...]] = (
        Needed(
            "End of the test phase",
            "what is smooth in the hover may shake at speed, and wear out bearings and rod ends",
            where_limited=True,
        ),
    )
    limits: ClassVar[dict[str, SheetLimit]] = {
        LATERAL: SheetLimit(Speed, "lateral vibration once a turn", "in/s", "in every condition: only the high side"),
        VERTICAL: SheetLimit(Speed, "vertical vibration once a turn", "in/s", "in every condition: only the high side"),
        "track": SheetLimit(Length, "track over speeds", "in", "how far apart the tips may fly: only the high side"),
    }
    uses: ClassVar[tuple[str, ...]] = ("main_rotor.blades",)
    about: ClassVar[About] = About(
        title="Track and balance over speeds",
        settles="Which washers, link flats and tab bends together smooth the rotor in every condition flown.",
        when="After track and balance on the ground, step by step to higher speeds; after blades or links were off.",
        tools=(
            "vibration meter with a lateral and a vertical pick-up and a pulse once a turn",
            "strobe or camera for the tips, or a flag on the ground",
            "tab gauge, the manual's washers, a wrench for the links",
        ),
        procedure=(
            "Write down what may be moved and how far, and what one step does, from the manual's chart.",
            "Fly run 1: the same conditions that you will fly each time, in calm air, at one weight and rotor speed.",
            "Make the plan's moves, all of them, and write them down as made; then fly run 2 the same.",
            "From the result the sheet learns what a step does on this aircraft, and plans again.",
            "At a later job a new check takes an earlier one's runs with a click, and begins with what they taught.",
            "Stop when everything is in limits. Also stop, and look for wear, if something does not respond.",
        ),
        sign_convention="Phase as the instrument shows it. Heights and rises are positive upwards. A step is positive "
        "as its chart counts it: a washer added, a flat or a tab degree that the manual calls up.",
        cautions=(cautions.BALANCE_WEIGHTS, cautions.TURNING_AT_SPEED, *cautions.ALWAYS),
        not_covered=(
            "other orders than once a turn, and what comes from tail rotor, engine or fan",
            "blades that differ in shape or stiffness: no move makes them fly alike at every speed",
            "moves that act on each other: a large tab bend moves what a flat does",
        ),
    )

    exercises: ClassVar[tuple[Exercise, ...]] = (
        Exercise(
            name="how_far_it_moves",
            title="From how fast to how far",
            story=(
                "Once a turn the cabin shakes sideways: its greatest speed is {velocity}, at the {frequency} of one "
                "turn of the rotor."
            ),
            find="how far the cabin moves to each side",
            unit="in",
            of=displacement_from_velocity,
            given={
                "velocity": Range("0.15 in/s", "0.45 in/s", "0.01 in/s"),
                "frequency": Range("7.2 Hz", "8.8 Hz", "0.1 Hz"),
            },
            hints=(
                "At the same speed, the more often it shakes, the less far it moves.",
                "Divide by two pi times the cycles per second.",
            ),
        ),
    )

    analyser: Annotated[str, Choice("instruments", measures="vibration")] = asked("Vibration meter", default="")
    phase_meter: Annotated[str, Choice("instruments", measures="angle")] = asked("Phase read with", default="")
    rule: Annotated[str, Choice("instruments", measures="length")] = asked("Heights read with", default="")
    passing: Annotated[str, Choice(options=(RISES, FALLS))] = asked(
        "From each blade to the next",
        "Blades in the order of the aircraft file; of two blades it makes no difference.",
        RISES,
    )
    doubt: Annotated[Reading, Entry(Ratio, ("%", "%"), ("1 %", "200 %"), ("5 %", "100 %"))] = asked(
        "Doubt of a step's size",
        "How far this aircraft may be from the chart, before it was tried (standard uncertainty).",
        "30 %",
    )
    doubt_angle: Annotated[Reading, Entry(Angle, None, ("1 deg", "90 deg"), exact=True)] = asked(
        "Doubt of its angle", "The same for where the change points.", "20 deg"
    )
    runs: list[RunReading] = rows("Vibration", "A row for each pick-up in each condition of each run.")
    heights: list[TipHeight] = rows("Track", "A row for each blade in each condition of each run.")
    moves: list[MoveAllowed] = rows("What may be moved", "Within the manual's stations and bounds.")
    effects: list[StepEffect] = rows("What a step does", "On the first blade of the aircraft file.")
    made: list[MoveMade] = rows("What was moved", "All that was moved between one run and the next.")
    earlier: Annotated[
        Readings | None, Entry(Ratio, ("", ""), ("1", "1000"), ("1", "60"), repeats=True, exact=True)
    ] = asked(
        "Last run of an earlier job",
        "The sheet learns from the runs up to it, and judges none of them. Several: with semicolons.",
    )
    goes_on: ClassVar[bool] = True

    @classmethod
    def again(cls, readings: Mapping[str, Any]) -> Again | None:
        """All runs with what was moved between them; the moves without their bounds, which count from another run now;
        rows for a first run of the new job."""
        tables = {name: [*enumerate(readings.get(name) or ())] for name in ("runs", "heights", "effects", "made")}
        read = [row for _, row in tables["runs"] if _typed(row, "amplitude") and _typed(row, "phase")]
        numbers = sorted({_number_in(str(row.get("run", ""))) for row in read} - {0})
        if len(numbers) < 2 or not any(_typed(row, "steps") for _, row in tables["made"]):
            return None
        last = numbers[-1]
        before = str(readings.get("earlier", "") or "").strip()
        next_run = {"run": str(last + 1)}
        more: dict[str, list[tuple[int | None, Mapping[str, Any]]]] = {name: [*rows] for name, rows in tables.items()}
        for name, column in (("runs", "place"), ("heights", "blade")):
            there = dict.fromkeys((str(row.get("condition", "")), str(row.get(column, ""))) for _, row in tables[name])
            more[name] += [(None, {**next_run, "condition": condition, column: at}) for condition, at in there]
        moves = [(None, {name: row[name] for name in ("move", "blade") if _typed(row, name)})
                 for row in readings.get("moves") or () if _typed(row, "move")]  # fmt: skip
        return Again(
            f"Its {len(numbers)} runs with what was moved between them", "runs",
            (*READ_WITH, "doubt", "doubt_angle"), {**more, "moves": moves},
            {"earlier": f"{before}; {last}" if before else str(last)},
        )  # fmt: skip

    @property
    def breaks(self) -> list[int]:
        """The last run of each earlier job: what changed after it is not known."""
        return sorted(int(one.si) for one in self.earlier or ())

    @classmethod
    def start(cls, aircraft: Aircraft) -> dict[str, Any]:
        """A hover and one speed; a row for each blade's tip; the usual moves."""
        conditions = ("hover", "60 kt")
        runs = [{"run": "1", "condition": one, "place": place} for one in conditions for place in PLACES]
        blades = aircraft.main_rotor.blades
        heights = [{"run": "1", "condition": one, "blade": blade} for one in conditions for blade in blades]
        usual = [{"move": one} for one in ("tip washer", "link flat", "tab degree")]
        return {**super().start(aircraft), "runs": runs, "heights": heights, "moves": usual, "effects": usual}

    def parts(self, aircraft: Aircraft) -> list[Part]:
        """In the last run every condition that was ever flown, with both pick-ups and, where tips were ever seen, every
        blade; that is the run after what was moved last. Something that may be moved, and what it does."""
        shaken = {
            (_run(row), row.condition.strip(), row.place)
            for row in self.runs
            if row.amplitude is not None and row.phase is not None
        }
        seen = {
            (_run(row), row.condition.strip(), blade_named(row.blade, aircraft.main_rotor))
            for row in self.heights
            if row.height is not None
        }
        moved = (_number_in(row.after) + 1 for row in self.made if row.steps is not None and row.steps.si)
        last = max([1 + max(self.breaks, default=0), *(run for run, *_ in shaken), *moved])
        conditions = sorted({condition for _, condition, _ in shaken} | {condition for _, condition, _ in seen})
        tracked = {condition for _, condition, _ in seen}
        found = []
        for condition in conditions:
            found += [Part(f"run {last}, {condition}, {place}", (last, condition, place) in shaken) for place in PLACES]
            if condition in tracked:
                found += [
                    Part(f"run {last}, {condition}, tip of blade {blade}", (last, condition, blade) in seen)
                    for blade in aircraft.main_rotor.blades
                ]
        found.append(Part("the tips' heights, in one condition at least", bool(tracked)))
        return [
            *found,
            Part("what may be moved, and what a step does", bool(_filled(self.moves) and _filled(self.effects))),
        ]

    def _work(self, aircraft: Aircraft) -> Outcome:
        return _Work(self, aircraft).whole()


def _typed(row: Mapping[str, Any], name: str) -> bool:
    """Whether something stands in a column of a row as typed."""
    return bool(str(row.get(name, "") or "").strip())


def _run(row: Any) -> int:
    """The number of a row's run; 0 where it is none."""
    return _number_in(row.run)


def _number_in(text: str) -> int:
    return whole_number(text) or 0


def _filled(rows: list[Any]) -> bool:
    """Whether a row of moves or effects holds a figure."""
    return any(any(getattr(row, one.name) is not None for one in row.fields() if one.entry is not None) for row in rows)


@dataclass(frozen=True)
class _Moving:
    """One move on one blade."""

    sort: str
    blade: str
    fewest: int
    most: int

    @property
    def name(self) -> str:
        return f"{self.sort}, blade {self.blade}"


class _Work(Working):
    """One working of the sheet."""

    sheet: TrackAndBalance

    def whole(self) -> Outcome:
        self.blades = list(self.aircraft.main_rotor.blades)
        self.bounds = {key: self.sheet.limit(key, self.aircraft) for key in (*PLACES, "track")}
        for one in self.sheet.earlier or ():
            if one.si % 1:
                self.problem("earlier", f"needs whole numbers, of runs; got {one.understood}")
        self.begun = max(self.sheet.breaks, default=0)
        """The last run of an earlier job: of this one are the runs after it."""
        arrows, heights = self._arrows(), self._heights()
        moving = self._moving()
        made = self._made(moving)
        conditions = {condition for _, condition, _ in (*arrows, *heights)}
        effects = self._effects(moving, conditions)
        self.settle()
        last = max(run for run, *_ in arrows)
        if last <= self.begun:
            self.lead.append(
                f"Run {last} is the last of an earlier job, and what was changed since is not known: nothing is judged "
                f"by it and no move follows from it. Fly run {self.begun + 1} as it is now."
            )
            return self.outcome()
        self._judge(arrows, heights, last)
        too_far = self._moved_too_far(moving, made)
        # the readings of the model: arrows of the last run, then its conditions in which every tip was seen
        self.shaken = sorted((condition, place) for run, condition, place in arrows if run == last)
        self.tracked = sorted(
            {condition for run, condition, _ in heights if run == last
             and all((last, condition, blade) in heights for blade in self.blades)}
        )  # fmt: skip
        wanted = [
            self.bounds[key] for key in (*(place for _, place in self.shaken), *(["track"] if self.tracked else []))
        ]
        limited = all(bound is not None and (bound.high_si or 0.0) > 0 for bound in wanted)
        if moving and effects and limited:
            model = self._model(arrows, heights, last, moving, effects)
            model, first_of_all = self._learned(model, arrows, heights, last, moving, made)
            self._plan(model, arrows, heights, last, moving, made, f"{too_far} {first_of_all}".strip())
        self._pictures({key: arrow for key, arrow in arrows.items() if key[0] > self.begun})
        self.compare("Run " + str(last), [one for one in self.findings if not one.key.startswith("moved.")])
        return self.outcome()

    # readings

    def _number(self, table: str, i: int, row: Any, column: str = "run") -> int:
        given = getattr(row, column)
        if not _number_in(given):
            self.problem(
                f"{table}.{i}.{column}", f"is needed as a whole number, 1 for the first run; got {shortened(given)}"
            )
        return _number_in(given)

    def _arrows(self) -> dict[tuple[int, str, str], Phasor]:
        rows = self.filled("runs", "amplitude", "phase")
        keyed = []
        for i, row in rows:
            self._number("runs", i, row)
            if not row.condition.strip():
                self.problem(f"runs.{i}.condition", "is needed: hover, 40 kt, as you call it in every run")
            for column in ("amplitude", "phase"):
                if getattr(row, column) is None:
                    self.problem(f"runs.{i}.{column}", "is needed: amplitude and phase go together")
            keyed.append((i, row))
        found = self.by_key("runs", keyed, lambda row: (_run(row), row.condition.strip(), row.place), "place")
        self.settle()
        return {
            key: arrow_of(self, (f"runs.{i}.amplitude", row.amplitude), f"runs.{i}.phase", row.phase,
                          f"run {key[0]}, {key[1]}, {key[2]}")
            for key, (i, row) in found.items()
        }  # fmt: skip

    def _heights(self) -> dict[tuple[int, str, str], Measured]:
        rows: list[tuple[int, Any]] = [(i, row) for i, row in enumerate(self.sheet.heights) if row.height is not None]
        for i, row in rows:
            self._number("heights", i, row)
            self.mixed(f"heights.{i}.height", row.height)
            self.blade(f"heights.{i}.blade", row.blade, self.aircraft.main_rotor, "main rotor")
            if not row.condition.strip():
                self.problem(f"heights.{i}.condition", "is needed: hover, 40 kt, as you call it in every run")

        def key(row: Any) -> tuple[int, str, str]:
            return _run(row), row.condition.strip(), str(blade_named(row.blade, self.aircraft.main_rotor))

        found = self.by_key("heights", rows, key, "blade")
        self.settle()
        pooled = self.pool([row.height for _, row in found.values()], Length, HEIGHT.unit) if found else None
        return {
            key: self.mean(row.height, f"run {key[0]}, {key[1]}, tip of blade {key[2]}", Length,
                           self.instrument("rule"), "", pooled, ("in", "mm"))
            for key, (_, row) in found.items()
        }  # fmt: skip

    def _moving(self) -> list[_Moving]:
        found: dict[tuple[str, str], _Moving] = {}
        for i, row in enumerate(self.sheet.moves):
            if row.fewest is None and row.most is None:
                continue
            at = f"moves.{i}"
            if not row.move.strip():
                self.problem(f"{at}.move", "is needed: tip washer, link flat, as you call it")
            for column, way in (("fewest", 1), ("most", -1)):
                given = getattr(row, column)
                if given is None or given.si % 1 or way * given.si > 0:
                    bound = "0 or less" if way > 0 else "0 or more"
                    self.problem(f"{at}.{column}", f"is needed as a whole number of steps from run 1, {bound}")
            named = (
                self.blade(f"{at}.blade", row.blade, self.aircraft.main_rotor, "main rotor")
                if row.blade.strip()
                else None
            )
            if row.fewest is None or row.most is None:
                continue
            for blade in [named] if named else [] if row.blade.strip() else self.blades:
                key = row.move.strip(), blade
                if key in found:
                    self.problem(f"{at}.move", f"stands twice for blade {blade}")
                found[key] = _Moving(*key, int(row.fewest.si), int(row.most.si))
        for made in self.sheet.made:  # what an earlier job moved teaches, whether it may be moved now or not
            key = made.move.strip(), str(blade_named(made.blade, self.aircraft.main_rotor))
            if made.steps is not None and _number_in(made.after) <= self.begun and key[1] in self.blades:
                found.setdefault(key, _Moving(*key, 0, 0))
        return sorted(found.values(), key=lambda one: (one.sort, self.blades.index(one.blade)))

    def _made(self, moving: list[_Moving]) -> list[tuple[int, str, str, int]]:
        found = []
        there = [row.move.strip() for row in self.sheet.moves]
        allowed = {(one.sort, one.blade) for one in moving}
        for i, row in enumerate(self.sheet.made):
            if row.steps is None:
                continue
            after = self._number("made", i, row, "after")
            if row.move.strip() not in there:
                known = ", ".join(one if len(one) <= 40 else shortened(one) for one in there if one) or "nothing"
                self.problem(f"made.{i}.move", f"is not one of the things that may be moved: {known}")
            blade = self.blade(f"made.{i}.blade", row.blade, self.aircraft.main_rotor, "main rotor")
            if row.steps.si % 1:
                self.problem(f"made.{i}.steps", f"is a whole number of steps, got {row.steps.understood}")
            if blade and row.move.strip() in there and (row.move.strip(), blade) not in allowed:
                self.problem(
                    f"made.{i}.blade",
                    f"{shortened(row.move.strip())} is not among what may be moved on blade {blade}: give its bounds",
                )
            found.append((after, row.move.strip(), str(blade), int(row.steps.si)))
        return found

    def _effects(
        self, moving: list[_Moving], conditions: set[str]
    ) -> dict[tuple[str, str], tuple[complex, complex, float]]:
        """By move and condition: lateral and vertical change by a step on the first blade, and its tip's rise, SI."""
        found: dict[tuple[str, str], tuple[complex, complex, float]] = {}
        for i, row in enumerate(self.sheet.effects):
            if not _filled([row]):
                continue
            if not row.move.strip():
                self.problem(f"effects.{i}.move", "is needed: which move does this")
            parts = []
            for name in PLACES:
                size, angle = getattr(row, name), getattr(row, f"{name}_angle")
                if size is not None and angle is None and size.si:
                    self.problem(f"effects.{i}.{name}_angle", "is needed with the change: where it points")
                parts.append(0j if size is None or angle is None else cmath.rect(size.si, angle.si))
            key = row.move.strip(), row.condition.strip()
            if key in found:
                self.problem(f"effects.{i}.condition", "stands twice for this move")
            found[key] = parts[0], parts[1], 0.0 if row.rise is None else row.rise.si
        for i, one in enumerate(self.sheet.moves):
            if one.most is None or not one.move.strip():
                continue
            known = {condition for move, condition in found if move == one.move.strip()}
            unknown = set() if "" in known else {condition for condition in conditions - known if condition}
            if not known:
                self.problem(f"moves.{i}.move", "has no row in what a step does: how much it changes is needed")
            elif unknown:
                named = ", ".join(map(shortened, sorted(unknown)))
                self.problem(
                    f"moves.{i}.move", f"has no row in what a step does for {named}, nor one for every condition"
                )
        return found if moving else {}

    # figures

    def _judge(self, arrows: Mapping[Any, Phasor], heights: Mapping[Any, Measured], last: int) -> None:
        arrows = {key: arrow for key, arrow in arrows.items() if key[0] > self.begun}
        heights = {key: height for key, height in heights.items() if key[0] > self.begun}
        for run, condition, place in sorted(arrows):
            size, title = arrows[run, condition, place].amplitude, f"{capital(condition)}, {place}, run {run}"
            key = f"vibration.{key_of(condition)}.{place}"
            # what was not read again stands as it was read last
            if run == max(one for one, *rest in arrows if tuple(rest) == (condition, place)):
                self.judge(key, title, self.bounds[place], size)
            elif run == self.begun + 1:
                self.tell(f"first.{key}", title, size)
        for condition in sorted({condition for _, condition, _ in heights}):
            run = max(one for one, there, _ in heights if there == condition)
            seen = {
                blade: heights[run, condition, blade] for blade in self.blades if (run, condition, blade) in heights
            }
            if len(seen) > 1:
                high, low = (pick(seen, key=lambda blade: seen[blade].si) for pick in (max, min))
                line = f"blade {high} {say(seen[high])} less blade {low} {say(seen[low])}"
                spread = track_spread([*seen.values()])
                title = f"Track, {condition}, run {run}"
                self.step(title, [line], spread, sources.DEFINITION.at("spread"))
                self.judge(f"track.{key_of(condition)}", title, self.bounds["track"], spread)

    def _stand(self, made: list[tuple[int, str, str, int]], one: _Moving) -> int:
        """Steps that a move stands from where it stood in this job's first run."""
        return sum(n for run, *of, n in made if run > self.begun and of == [one.sort, one.blade])

    def _moved_too_far(self, moving: list[_Moving], made: list[tuple[int, str, str, int]]) -> str:
        """What was moved beyond the manual's bounds: out of limits, however calm it is; and what to do first."""
        back = []
        for one in moving:
            stand = self._stand(made, one)
            if not one.fewest <= stand <= one.most:
                name = f"Steps of {one.name}"
                limit = Limit(name, Ratio, str(one.fewest), str(one.most), "as entered for this move")
                self.judge(f"moved.{key_of(one.sort)}.{key_of(one.blade)}", name, limit, Measured(float(stand), Ratio))
                to = min(max(stand, one.fewest), one.most)
                back.append(f"{one.name}: {to - stand:+d}, to stand at {to}")
        return f"Beyond what may be moved. First {'; '.join(back)}." if back else ""

    def _vector(self, arrows: Mapping[Any, Phasor], heights: Mapping[Any, Measured], run: int) -> np.ndarray:
        nothing = complex(math.nan, math.nan)
        found = [arrows[run, *key].si if (run, *key) in arrows else nothing for key in self.shaken]
        for condition in self.tracked:
            there = [heights.get((run, condition, blade)) for blade in self.blades]
            found += [nothing if one is None else complex(float(one.si)) for one in there]
        return np.array(found, dtype=complex)

    def _model(
        self,
        arrows: Mapping[Any, Phasor],
        heights: Mapping[Any, Measured],
        last: int,
        moving: list[_Moving],
        effects: Mapping[tuple[str, str], tuple[complex, complex, float]],
    ) -> EffectModel:
        turn = math.tau / len(self.blades) * (1 if self.sheet.passing == RISES else -1)

        def of(move: _Moving, condition: str) -> tuple[complex, complex, float]:
            return effects.get((move.sort, condition)) or effects.get((move.sort, "")) or (0j, 0j, 0.0)

        at = [cmath.exp(1j * turn * self.blades.index(move.blade)) for move in moving]
        rows = [
            [of(move, condition)[PLACES.index(place)] * turned for move, turned in zip(moving, at, strict=True)]
            for condition, place in self.shaken
        ]
        rises = [
            [
                [Measured(of(move, condition)[2] * (move.blade == blade), Length) for move in moving]
                for blade in self.blades
            ]
            for condition in self.tracked
        ]
        model = effect_model(
            [[Phasor(Measured(one.real, Speed), Measured(one.imag, Speed)) for one in row] for row in rows],
            rises,
            doubt=float(self.sheet.doubt.si),
            doubt_angle=float(self.sheet.doubt_angle.si),
            sorts=[move.sort for move in moving],
        )
        # the noise of each reading is its own, but never nothing: a five-hundredth of its limit
        noise = []
        for condition, place in self.shaken:
            read, bound = arrows[last, condition, place], self.bounds[place]
            assert bound is not None
            spread = math.sqrt(float(np.trace(read.covariance)) / 2)
            noise.append(max(spread, 0.002 * float(bound.high_si or 0)))
        for condition in self.tracked:
            bound = self.bounds["track"]
            assert bound is not None
            noise += [
                max(float(heights[last, condition, blade].standard_si), 0.002 * float(bound.high_si or 0))
                for blade in self.blades
            ]
        said = f"{self.sheet.doubt.understood} in size and {self.sheet.doubt_angle.understood} in angle"
        self.notes.append(
            f"Before anything was moved a step is thought to do what the chart says, within {said} (standard "
            "uncertainty, one factor for all blades, each effect besides within 10 %)."
        )
        return EffectModel(model.mean, model.covariance, np.array(noise), model.vibrations, model.blades)

    def _learned(
        self,
        model: EffectModel,
        arrows: Mapping[Any, Phasor],
        heights: Mapping[Any, Measured],
        last: int,
        moving: list[_Moving],
        made: list[tuple[int, str, str, int]],
    ) -> tuple[EffectModel, str]:
        """The model after all runs; and what to do before more is moved, where the last change does not fit."""
        runs = sorted({run for run, *_ in arrows})
        thought, first_of_all = model, ""
        cited = sources.DEFINITION.at("change from run to run")
        for before, after in itertools.pairwise(runs):
            if any(before <= end < after for end in self.sheet.breaks):
                continue
            between = [(sort, blade, n) for run, sort, blade, n in made if before <= run < after]
            steps = np.array([sum(n for *of, n in between if of == [one.sort, one.blade]) for one in moving])
            first, second = (self._vector(arrows, heights, run) for run in (before, after))
            change, expected = second - first, model.mean @ steps
            sure = np.sqrt(np.maximum(model.promised(first, steps.astype(float))[1] ** 2 - model.noise**2, 0.0))
            for i, (condition, place) in enumerate(self.shaken):
                if not np.isfinite(change[i]):
                    continue
                came, awaited = _arrow(change[i], math.sqrt(2) * model.noise[i]), _arrow(expected[i], sure[i])
                what = f"{condition}, {place}, run {before} to {after}"
                self.step(f"Change of {what}", [f"expected {awaited}", f"measured {came}"], came.amplitude, cited)
                if after == last:
                    self.tell(f"expected.{key_of(condition)}.{place}", f"Change expected, {what}", awaited.amplitude)
                    self.tell(f"change.{key_of(condition)}.{place}", f"Change measured, {what}", came.amplitude)
            silent = [self.shaken[i] for i in unanswered(model, steps, first, second)]
            chance = model.surprise(steps, first, second)
            if after == last and silent:
                first_of_all = "Move nothing more: find what does not answer."
                named = "; ".join(f"{condition}, {place}" for condition, place in silent)
                self.lead.append(
                    f"{named}: what was moved after run {before} changed next to nothing there. {NO_ANSWER}"
                )
            elif after == last and chance < 0.001:
                first_of_all = "Find out what was moved, and look for looseness, before more is moved."
                self.lead.append(
                    f"What came in run {after} is far from what was expected (chance {100 * chance:.2g} %): a move "
                    "written down or made wrongly, a blade taken for another, or something loose. Look before more is "
                    "moved."
                )
            elif chance < 0.05 and after > self.begun:
                self.notes.append(
                    f"What came in run {after} was hardly to be expected (chance {100 * chance:.2g} %): look whether "
                    "all moves are written down as they were made. The sheet has learned from it."
                )
            model = model.learned([int(n) for n in steps], first, second)
        if len(runs) > 1:
            self._told_learned(thought, model, moving)
        return model, first_of_all

    def _told_learned(self, thought: EffectModel, model: EffectModel, moving: list[_Moving]) -> None:
        for sort in dict.fromkeys(one.sort for one in moving):
            j = next(k for k, one in enumerate(moving) if one.sort == sort)
            lines, largest = [], None
            for i, (condition, place) in enumerate(self.shaken):
                was, now = (_arrow(one.mean[i, j], math.sqrt(abs(one.covariance[i, j, j]))) for one in (thought, model))
                lines.append(f"{condition}, {place}: {was} thought, {now} learned")
                if largest is None or abs(now.si) > abs(largest.si):
                    largest = now
            if largest is not None:
                title = f"One step of {sort} on blade {moving[j].blade}, its largest effect"
                cited = sources.JCGM_100.at("Bayes' rule for a linear model with normal errors (computed)")
                self.step(title, lines, largest.amplitude, cited)
                self.tell(f"learned.{key_of(sort)}", title, largest.amplitude)

    def _plan(
        self,
        model: EffectModel,
        arrows: Mapping[Any, Phasor],
        heights: Mapping[Any, Measured],
        last: int,
        moving: list[_Moving],
        made: list[tuple[int, str, str, int]],
        first_of_all: str,
    ) -> None:
        room = []
        for one in moving:
            stand = self._stand(made, one)
            room.append(Move(one.name, min(0, one.fewest - stand), max(0, one.most - stand), STEP_COST))
        rounds = len({run for run, *_ in arrows if run > self.begun}) - 1
        if not first_of_all and any(n for run, *_, n in made if run >= last):
            # these readings are of the rotor as it was before
            first_of_all = f"What was moved after run {last} was not flown yet: fly and read before more is moved."
        if first_of_all:
            self.say_to_do(first_of_all, "vibration.", "track.", "moved.")
            return
        enough = Outcome("", self.findings, []).word == IN_LIMITS
        if enough and not all(part.done for part in self.sheet.parts(self.aircraft)):
            return
        if rounds >= MANY_ROUNDS and not enough:
            self.lead.append(
                f"After {rounds} rounds it is not in limits yet. More of the same seldom helps: look for wear, for "
                "blades that are not alike, and ask the maker."
            )
        sorts = [[k for k, one in enumerate(moving) if one.sort == sort] for sort in {one.sort: 0 for one in moving}]
        alike = [one for one in sorts if len(one) == len(self.blades)]
        found = self.slowly("what to move", lambda: plan_moves(
            model, room, [arrows[last, *key] for key in self.shaken],
            [self._bound(place) for _, place in self.shaken],
            [[heights[last, condition, blade] for blade in self.blades] for condition in self.tracked],
            [self._bound("track") for _ in self.tracked], near=NEAR, seconds=60, nodes=BRANCHES, alike=alike,
        ))  # fmt: skip
        if found is None:
            if not enough:
                self.say_to_do("", "vibration.", "track.")
            return
        if enough:
            self.notes.append(self._enough(found))
            return
        chances = [self._chance(found, i) for i in range(len(self.shaken))]
        said = f"{found.in_words[0].upper()}{found.in_words[1:]}"
        if any(found.steps):
            for i, (condition, place) in enumerate(self.shaken):
                shaken = _arrow(found.promised[i], found.sure[i])
                self.tell(f"planned.{key_of(condition)}.{place}", f"Promised, {condition}, {place}", shaken.amplitude)
            for k, condition in enumerate(self.tracked):
                first = len(self.shaken) + k * len(self.blades)
                tips, length = found.promised.real, required_kind(Length)
                high, low = (pick(range(first, first + len(self.blades)), key=lambda j: tips[j]) for pick in (max, min))
                gap = from_si(float(tips[high] - tips[low]), length)
                sure = from_si(math.hypot(found.sure[high], found.sure[low]), length)
                left = measured(gap, length, "promised track", sure, stated_as="standard").shown_in(("in", "mm"))
                self.tell(f"planned.{key_of(condition)}.track", f"Promised track, {condition}", left)
            lines = [f"{one.name}: {n:+d}" for one, n in zip(moving, found.steps, strict=True) if n]
            lines.append(f"worst over its limit now {found.worst_now:.2f}, then {found.worst:.2f}")
            if not found.proved:
                lines.append("a plan that is better still was not ruled out")
            worst = Measured(found.worst, Ratio)
            self.step("Plan", lines, worst, sources.ARITHMETIC.at("integer programme"), told=True)
            told = chance_in_words(min(chances))
            said += f" At the worst pick-up the chance to come in limits is {told}. Write down what you move, and fly."
        unread = sorted({(condition, place) for _, condition, place in arrows} - set(self.shaken))
        if unread:
            named = "; ".join(f"{condition}, {place}" for condition, place in unread)
            said += f" Run {last} was not read at {named}: the plan does not look there."
        self.say_to_do(said, "vibration.", "track.")

    def _bound(self, key: str) -> Any:
        bound = self.bounds[key]
        assert bound is not None
        return bound.high

    def _chance(self, found: MovesPlan, i: int) -> float:
        place = self.shaken[i][1]
        return chance_within(_arrow(found.promised[i], found.sure[i]), self._bound(place))

    def _enough(self, found: MovesPlan) -> str:
        """Why to stop, where all is in limits."""
        if not any(found.steps):
            return "In limits, and no move would make it worth the work: stop here."
        return (
            f"In limits: stop here. More moves would bring the worst from {found.worst_now:.2f} to {found.worst:.2f} "
            "of its limit, if they did what is promised."
        )

    def _pictures(self, arrows: Mapping[Any, Phasor]) -> None:
        """How the vibration went from run to run, against its limit."""
        runs = sorted({run for run, *_ in arrows})
        if len(runs) < 2:
            return
        unit, kind = VIBRATION[self.system == "metric"], required_kind(Speed)
        for place in PLACES:
            lines = []
            there = sorted({condition for _, condition, at in arrows if at == place})
            for condition, style in zip(there, itertools.cycle(("main", "second", "third"))):
                at = [run for run in runs if (run, condition, place) in arrows]
                sizes = [float(in_unit(arrows[run, condition, place].amplitude.si, unit, kind)) for run in at]
                lines.append(Curve(condition, [float(run) for run in at], sizes, style))
            bound = self.bounds[place]
            if bound is not None and bound.high_si is not None:
                high = float(in_unit(bound.high_si, unit, kind))
                lines.append(Curve("limit", [float(runs[0]), float(runs[-1])], [high, high], "bound"))
            title = f"{capital(place)} from run to run"
            self.pictures.append(Chart(title, "run", f"{place}, {unit}", lines))


def _arrow(value: complex, standard: float) -> Phasor:
    """A bare arrow with one standard uncertainty in either part."""
    speed = required_kind(Speed)
    parts = [
        measured(from_si(part, speed), speed, name, from_si(float(standard), speed), stated_as="standard")
        for part, name in ((complex(value).real, "along"), (complex(value).imag, "across"))
    ]
    return Phasor(*(part.shown_in(VIBRATION) for part in parts))
