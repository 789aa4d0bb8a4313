"""Balance in two planes: influence coefficients from trial runs, kept and used again, to whole washers in both."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Annotated, Any, ClassVar

from rotorkit import sources
from rotorkit.aircraft import Aircraft
from rotorkit.aircraft.entries import Choice, Entry, Readings, asked, required, rows
from rotorkit.balance import (
    Agreement,
    Hole,
    Influence,
    Phasor,
    PlanesBalance,
    PlanesSplit,
    balance_planes,
    chance_within,
    condition_in_words,
    influence_coefficients,
    phasor,
    split_between_planes,
)
from rotorkit.balance.grades import unbalance_of_plane
from rotorkit.balance.holes import washers_as_arrows
from rotorkit.balance.phasors import WEIGHTS
from rotorkit.balance.planes import BADLY_TOLD, NOT_TOLD
from rotorkit.judging.limits import Limit
from rotorkit.judging.measured import Measured
from rotorkit.quantities import Mass, QuantityError, Ratio, Reading, Speed, say
from rotorkit.sheets.balance import arrows
from rotorkit.sheets.base import About, Again, Needed, Outcome, Part, Row, Sheet, SheetLimit, unset
from rotorkit.sheets.exercises import Exercise, Range
from rotorkit.sheets.working import Working, key_of
from rotorkit.sources import cautions

FOUND, IN_A, IN_B = "as found", "trial weight in plane A", "trial weight in plane B"
LATER, CHECK = "later run, to balance from", "check run, washers on"
RUNS = (FOUND, IN_A, IN_B, LATER, CHECK)
PLANES = ("A", "B")
TRIALS = ("trial_a", "trial_a_place", "trial_b", "trial_b_place")
READ_WITH = ("analyser", "phase_meter", "scale", "counted")
HELD = 0.1
"""How strongly weights that do little are held back where that is asked for: common practice (no source)."""
COUNT = Entry(Ratio, ("", ""), ("0", "1000"), ("0", "50"))


class RunReading(Row):
    """What was read at one place in one run."""

    run: Annotated[str, Choice(options=RUNS)] = asked("Run", default=FOUND)
    place: str = asked("Place", "Where the pick-up sits, and at which speed if at several.", "")
    amplitude: Annotated[Readings | None, arrows.AMPLITUDE] = asked(
        "Amplitude", "Peak, once a turn; separate repeats with semicolons."
    )
    phase: Annotated[Readings | None, arrows.PHASE] = asked("Phase", "In the same run.")


class PlaneHole(Row):
    """One place where the manual allows weight."""

    plane: Annotated[str, Choice(options=PLANES)] = asked("Plane", default="A")
    name: str = asked("Hole", "What it is called: bolt 3, white tip.", "")
    place: Annotated[Reading | None, arrows.PLACE] = asked(
        "Angle", "From the same mark and counted the same way as its plane's trial weight."
    )
    largest: Annotated[Reading | None, arrows.WEIGHT] = asked(
        "Greatest mass", "What the manual allows there, less what is in it already; at the trial weight's radius."
    )
    put: Annotated[Reading | None, COUNT] = asked(
        "Washers put in", "For the check run, where others than this sheet says."
    )


class PlaceCounts(Row):
    """A place that counts more or less than the others."""

    place: str = asked("Place", "As it is called above.", "")
    counts: Annotated[Reading | None, Entry(Ratio, ("", ""), ("0.01", "100"), ("0.1", "10"))] = asked(
        "Counts", "2: what shakes there counts twice."
    )


class TwoPlaneBalance(Sheet):
    """Balance of a rotor in two planes, with a trial weight in each."""

    order: ClassVar[int] = 40
    workings: ClassVar[int] = 80
    has_slow_part: ClassVar[bool] = True
    needed: ClassVar[tuple[Needed, ...]] = (
        Needed(
            "First flight out of ground effect",
            "a long rotor that is balanced at one end still rocks on its bearings",
            where_limited=True,
        ),
    )
    limits: ClassVar[dict[str, SheetLimit]] = {
        "vibration": SheetLimit(
            Speed,
            "vibration once a turn",
            "in/s",
            "how much it may shake once a turn, at any place: only the high side",
        )
    }
    about: ClassVar[About] = About(
        title="Balance in two planes",
        settles="Which weight goes where in each of two planes, so that it stops shaking wherever it was read.",
        when="A long rotor, shaft or fan, where balancing in one plane smooths one end and shakes the other.",
        tools=(
            "vibration meter with a filter at once a turn, two pick-ups or one that is moved",
            "pulse or strobe for the phase",
            "scale that reads to a tenth of a gram",
            "the manual's washers",
        ),
        procedure=(
            "Mount the pick-ups where the manual says, one near each plane; leave them there for all runs.",
            "Run as found at the manual's speed; read amplitude and phase at every place, three times.",
            "Trial weight in plane A, and run again. Take it off; trial weight in plane B, and run again. Take it off.",
            "Put in the washers that this sheet says, and make a check run.",
            "Later the trial runs need not be made again: add a later run, and balance from it. The check run after it "
            "tells whether the coefficients still hold. A new check takes the trial runs of an earlier one with a "
            "click, and asks for a later run of its own.",
        ),
        sign_convention="Phase as the instrument shows it, from its mark. Weights are counted from one mark of the "
        "rotor in both planes; say which way round, with the phase or against it. A phase that lags, with weights "
        "counted as the rotor turns, is the other way round.",
        cautions=(cautions.BALANCE_WEIGHTS, cautions.TURNING_AT_SPEED, *cautions.ALWAYS),
        not_covered=(
            "a shaft that bends near a critical speed: other speeds then want other weights",
            "vibration at other orders, and what weight does not change: worn bearings, looseness, a bent shaft",
            "coefficients of another aircraft, mounting or instrument",
        ),
    )
    exercises: ClassVar[tuple[Exercise, ...]] = (
        Exercise(
            name="share_of_a_plane",
            title="What each end takes",
            story=(
                "A fan may have {total} of unbalance. Its centre of mass is {own_distance} from the near "
                "plane and {other_distance} from the far one."
            ),
            find="the unbalance that the near plane may have",
            unit="oz*in",
            of=unbalance_of_plane,
            given={
                "total": Range("2.0 oz*in", "4.0 oz*in", "0.1 oz*in"),
                "own_distance": Range("3.0 in", "5.0 in", "0.1 in"),
                "other_distance": Range("6.0 in", "9.0 in", "0.1 in"),
            },
            hints=(
                "As with a beam on two supports, the nearer one carries more.",
                "The other plane's distance, divided by both distances together, times the whole.",
            ),
        ),
    )

    analyser: Annotated[str, Choice("instruments", measures="vibration")] = asked("Vibration meter", default="")
    phase_meter: Annotated[str, Choice("instruments", measures="angle")] = asked("Phase read with", default="")
    scale: Annotated[str, Choice("instruments", measures="mass")] = asked("Scale", default="")
    counted: Annotated[str, Choice(options=(arrows.WITH, arrows.AGAINST))] = asked(
        "Weights' angles are counted", "The wrong choice puts the weight on the wrong side.", arrows.WITH
    )
    trial_a: Annotated[Reading, arrows.TRIAL] = required("Trial weight, plane A", "With its bolt and nut.")
    trial_a_place: Annotated[Reading, arrows.PLACE] = required(
        "Angle of the trial weight, plane A", "Of its hole, from the rotor's mark."
    )
    trial_b: Annotated[Reading, arrows.TRIAL] = required("Trial weight, plane B", "That of plane A is off.")
    trial_b_place: Annotated[Reading, arrows.PLACE] = required(
        "Angle of the trial weight, plane B", "From the same mark, counted the same way."
    )
    runs: list[RunReading] = rows("Runs", "A row for each place in each run, the same places throughout.")
    washer: Annotated[Reading | None, arrows.WASHER] = asked(
        "One washer", "Weigh ten and divide. To be told how many go where."
    )
    holes: list[PlaneHole] = rows("Holes", "Where the manual allows weight, at the trial weight's radius.")
    hold_back: Annotated[str, Choice(options=("no", "yes"))] = asked(
        "Hold weights back", "Where the planes are hardly told apart: smaller weights, that leave a little more.", "no"
    )
    weighing: list[PlaceCounts] = rows("What counts more", "Only where places are not to count alike.")

    @classmethod
    def start(cls, aircraft: Aircraft) -> dict[str, Any]:
        """Two places in three runs."""
        rows = [{"run": run, "place": place} for run in (FOUND, IN_A, IN_B) for place in ("front", "rear")]
        return {**super().start(aircraft), "runs": rows}

    goes_on: ClassVar[bool] = True

    @classmethod
    def again(cls, readings: Mapping[str, Any]) -> Again | None:
        """The trial weights and what they changed at every place, with a row for each place of a later run."""
        rows = [
            (i, row) for i, row in enumerate(readings.get("runs", ())) if row.get("run", FOUND) in (FOUND, IN_A, IN_B)
        ]
        read: dict[str, set[str]] = {}
        for _, row in rows:
            if str(row.get("amplitude", "") or "").strip() and str(row.get("phase", "") or "").strip():
                read.setdefault(str(row.get("place", "")).strip(), set()).add(str(row.get("run", FOUND)))
        places = [place for place, runs in read.items() if len(runs) == 3]
        if len(places) < 2 or any(not str(readings.get(name, "") or "").strip() for name in TRIALS):
            return None
        kept = [(i, row) for i, row in rows if str(row.get("place", "")).strip() in places]
        later = [(None, {"run": LATER, "place": place}) for place in places]
        return Again("The trial runs and their weights", "runs", (*READ_WITH, *TRIALS), {"runs": [*kept, *later]})

    @property
    def has_own_run(self) -> bool:
        """Whether there is a run of this check to balance from: that of another check was made before its washers."""
        found = [row.amplitude for row in self.runs if row.run == FOUND]
        later = any(row.run == LATER and _is_read(row) for row in self.runs)
        return later or not any(map(arrows.of_another_check, found))

    def parts(self, aircraft: Aircraft) -> list[Part]:
        """Every place in every run that was begun, the three first of all; holes of both planes, and the washer."""
        there = {(row.run, row.place.strip()) for row in self.runs if _is_read(row)}
        places = list(dict.fromkeys(place for _, place in there))
        runs = [run for run in RUNS if run in (FOUND, IN_A, IN_B) or any(one == run for one, _ in there)]
        found = [Part(f"{place}, {run}", (run, place) in there) for run in runs for place in sorted(places)]
        if not self.has_own_run:
            found.append(Part(arrows.A_RUN_OF_ITS_OWN, done=False))
        if len(places) < 2:
            found.append(Part("a second place: one cannot tell two planes apart", done=False))
        for plane in PLANES:
            there_are = any(
                row.plane == plane and row.place is not None and row.largest is not None for row in self.holes
            )
            found.append(Part(f"the holes of plane {plane}", there_are))
        return [*found, Part("the mass of one washer", self.washer is not None)]

    def _work(self, aircraft: Aircraft) -> Outcome:
        return _Work(self, aircraft).whole()


def _is_read(row: RunReading) -> bool:
    return row.amplitude is not None


class _Work(Working):
    """One working of the sheet."""

    sheet: TwoPlaneBalance

    def whole(self) -> Outcome:
        self.limit = self.sheet.limit("vibration", self.aircraft)
        runs = self._runs()
        holes, put = self._holes()
        counts = self._counts(runs)
        self.settle()
        self._judge(runs)
        self._overfull(holes, put)
        self.places = [place for place in runs[FOUND] if all(place in runs[run] for run in (IN_A, IN_B))]
        if len(self.places) > 1:
            self._balance(runs, holes, put, [counts.get(place, 1.0) for place in self.places])
        self.compare("Vibration", [one for one in self.findings if not one.key.startswith("put.")])
        return self.outcome()

    # readings

    def _runs(self) -> dict[str, dict[str, Phasor | Measured]]:
        """For each run its places with what was read there: an arrow; of a check run without phase the amplitude."""
        rows = self.filled("runs", "amplitude", "phase")
        for i, row in rows:
            if not row.place.strip():
                self.problem(f"runs.{i}.place", "is needed: say where it was read")
            if row.amplitude is None:
                self.problem(f"runs.{i}.amplitude", "is needed with its phase")
            elif row.phase is None and row.run != CHECK:
                self.problem(f"runs.{i}.phase", "is needed: without phase nothing says where weight goes")
        by_place = self.by_key("runs", rows, lambda row: (row.run, row.place.strip()), "place")
        self.settle()
        found: dict[str, dict[str, Any]] = {run: {} for run in RUNS}
        for (run, place), (i, row) in by_place.items():
            what = f"{place}, {run}"
            size = arrows.size_of(self, f"runs.{i}.amplitude", row.amplitude, what)
            if row.phase is None:
                found[run][place] = size
            else:
                found[run][place] = arrows.arrow_of(self, size, f"runs.{i}.phase", row.phase, what)
        if not found[FOUND]:
            self.problem("runs", "need the run as found: nothing can be told without it")
        return found

    def _holes(self) -> tuple[dict[str, list[Hole]], dict[str, list[int | None]]]:
        holes: dict[str, list[Hole]] = {plane: [] for plane in PLANES}
        put: dict[str, list[int | None]] = {plane: [] for plane in PLANES}
        rows: list[tuple[int, Any]] = []
        for i, row in enumerate(self.sheet.holes):
            if row.place is None and row.largest is None and row.put is None:
                continue
            for column in ("place", "largest"):
                if getattr(row, column) is None:
                    self.problem(f"holes.{i}.{column}", "is needed: a hole has an angle and a greatest mass")
            if row.put is not None and row.put.si % 1:
                self.problem(f"holes.{i}.put", f"is a whole number of washers, got {row.put.understood}")
            rows.append((i, row))
        self.by_key("holes", rows, lambda row: (row.plane, row.name.strip()) if row.name.strip() else None, "name",
                    "each hole stands once in its plane")  # fmt: skip
        self.settle()
        for _, row in sorted(rows, key=lambda one: (one[1].place.si, one[1].name)):
            holes[row.plane].append(Hole(row.place, row.largest, name=row.name.strip() or say(row.place.value, "deg")))
            put[row.plane].append(None if row.put is None else int(row.put.si))
        return holes, put

    def _counts(self, runs: Mapping[str, Mapping[str, Any]]) -> dict[str, float]:
        rows: list[tuple[int, Any]]
        rows = [(i, row) for i, row in enumerate(self.sheet.weighing) if row.place.strip() or row.counts is not None]
        there = list(dict.fromkeys(place for read in runs.values() for place in read))
        for i, row in rows:
            if row.place.strip() not in there:
                self.problem(f"weighing.{i}.place", f"is no place that was read: there are {', '.join(there)}")
            if row.counts is None:
                self.problem(f"weighing.{i}.counts", "is needed: how much this place counts, such as 2")
        by_place = self.by_key("weighing", rows, lambda row: row.place.strip(), "place", "each place stands once")
        self.settle()
        return {place: float(row.counts.si) for place, (_, row) in by_place.items()}

    # figures

    def _overfull(self, holes: Mapping[str, list[Hole]], put: Mapping[str, list[int | None]]) -> None:
        """Washers that were put in beyond what the manual allows in their hole."""
        if self.sheet.washer is None:
            return
        for plane in PLANES:
            for hole, count in zip(holes[plane], put[plane], strict=True):
                mass, most = (count or 0) * float(self.sheet.washer.si), float(hole.largest.si)
                if mass <= most * (1 + 1e-9):
                    continue
                name = f"Mass in hole {hole.name}, plane {plane}"
                limit = Limit(name, Mass, high=hole.largest.value, source="as entered for this hole")
                over = Measured(mass, Mass, unit="g")
                self.judge(f"put.{plane}.{key_of(hole.name)}", name, limit, over)
                self.lead.append(
                    f"Hole {hole.name}, plane {plane}, holds {count} washers, {say(over, 'g')}, and may hold "
                    f"{say(hole.largest.value, 'g')}: take out what is too much before it turns again."
                )

    def _judge(self, runs: Mapping[str, Mapping[str, Any]]) -> None:
        """At each place the last run that was read there is judged, the ones before it told beside."""
        words = {FOUND: "as found", LATER: "in the later run", CHECK: "in the check run"}
        keys = {FOUND: "found", LATER: "later", CHECK: "check"}
        for run in (FOUND, LATER, CHECK):
            for place, read in runs[run].items():
                last = next(one for one in (CHECK, LATER, FOUND) if place in runs[one])
                size = read.amplitude if isinstance(read, Phasor) else read
                key, title = f"{keys[run]}.{key_of(place)}", f"Vibration {words[run]}, {place}"
                if run == last and (run != FOUND or self.sheet.has_own_run):
                    self.judge(key, title, self.limit, size)
                else:
                    self.tell(key, title, size)

    def _balance(
        self,
        runs: Mapping[str, Mapping[str, Any]],
        holes: Mapping[str, list[Hole]],
        put: Mapping[str, list[int | None]],
        counts: Sequence[float],
    ) -> None:
        trials = [
            phasor(self.reading(f"trial_{plane}", f"trial weight, plane {plane.upper()}", "g"),
                   self.reading(f"trial_{plane}_place", f"angle of the trial weight, plane {plane.upper()}", "deg"),
                   WEIGHTS, f"trial weight, plane {plane.upper()}")
            for plane in ("a", "b")
        ]  # fmt: skip
        base = LATER if runs[LATER] else FOUND
        found_runs = [[runs[run][place] for place in self.places] for run in (FOUND, IN_A, IN_B)]
        influence = influence_coefficients(found_runs[0], trials, found_runs[1:], arrows.SENSE[self.sheet.counted])
        clear = self._effects(influence, found_runs, trials)
        if not self.sheet.has_own_run:
            self.lead.append(arrows.NO_RUN_OF_ITS_OWN)
            return
        unread = [place for place in self.places if place not in runs[base]]
        if unread:
            self.lead.append(
                f"The later run was not read at {', '.join(unread)}: no weight is told until it is. From the run as "
                "found the washers that are in by now would be told once more."
            )
            return
        start = [runs[base][place] for place in self.places]
        held = HELD if self.sheet.hold_back == "yes" else 0.0
        try:
            found = balance_planes(start, influence, counts, held)
        except QuantityError:
            found = None
        if found is None or (not held and found.condition >= NOT_TOLD):
            self.lead.append(f"{condition_in_words(math.inf)} Read at another place, or choose to hold weights back.")
            return
        self._weights(found, base)
        self._condition(found, held)
        split = None
        ready = self.sheet.washer is not None and all(holes.values())
        if clear and ready:
            washer = self.reading("washer", "one washer", "g")
            told = [holes[plane] for plane in PLANES]
            split = self.slowly("where washers go", lambda: split_between_planes(found, told, washer, counts, PLANES))
            if split is None:
                self.say_to_do("", *(() if unset(self.limit) else ("found.", "later.", "check.")))
            else:
                self._washers(found, split, bool(runs[CHECK]))
                turned = influence_coefficients(
                    found_runs[0], trials, found_runs[1:], arrows.OTHER_SENSE[influence.sense]
                )
                self._checked(found, turned, split, holes, put, washer, runs[CHECK])
        for place, read in zip(self.places, start, strict=True):
            shown = [("as found" if base == FOUND else "later run", read, "main")]
            if base == FOUND:
                shown += [
                    (f"trial in {plane}", runs[run][place], style)
                    for plane, run, style in (("A", IN_A, "second"), ("B", IN_B, "third"))
                ]
            if split is not None:
                shown.append(("promised", split.residuals[self.places.index(place)], ""))
            if isinstance(runs[CHECK].get(place), Phasor):
                shown.append(("check run", runs[CHECK][place], ""))
            self.pictures.append(arrows.arrows_picture(f"Arrows, {place}", shown, self.limit, self.system))

    def _effects(self, influence: Influence, runs: Sequence[Sequence[Phasor]], trials: Sequence[Phasor]) -> bool:
        """The influence coefficients told, each for its own trial weight; whether both trial weights changed enough."""
        cited = sources.GOODMAN_1964.at("influence coefficients")
        clear = True
        for k, (plane, trial) in enumerate(zip(PLANES, trials, strict=True)):
            changes = [after - before for before, after in zip(runs[0], runs[k + 1], strict=True)]
            for place, change in zip(self.places, changes, strict=True):
                title = f"Change by the trial weight in plane {plane}, {place}"
                lines = [f"with it, less as found, as arrows = {change}", f"by {trial}"]
                self.step(title, lines, change.amplitude, cited)
                self.tell(f"effect.{plane}.{key_of(place)}", title, change.amplitude)
                self.tell(
                    f"effect_angle.{plane}.{key_of(place)}",
                    f"Angle of the change, plane {plane}, {place}",
                    change.angle,
                )
            sure = max(float(one.amplitude.si) / max(float(one.amplitude.expanded_si), 1e-300) for one in changes)
            if sure < 1:
                clear = False
                self.lead.append(
                    f"The trial weight in plane {plane} changed no more than the readings are uncertain, at any place: "
                    "nothing follows. Use more, within the manual's greatest mass; if that changes nothing either, it "
                    "is not balance: look for a worn bearing, looseness, a bent shaft."
                )
            elif sure < 3:
                self.notes.append(
                    f"The trial weight in plane {plane} changed little against the readings' uncertainty."
                )
        return clear

    def _weights(self, found: PlanesBalance, base: str) -> None:
        cited = sources.GOODMAN_1964.at("weighted least squares")
        for plane, one in zip(PLANES, found.corrections, strict=True):
            lines = [f"the weights in A and B that leave least over all places, from the run {base}"]
            if self.sheet.hold_back == "yes":
                lines.append(f"weights that do little held back ({HELD:g} of the strongest effect)")
            self.step(f"Weight in plane {plane}", [*lines, f"= {one}"], one.amplitude, cited)
            self.tell(f"weight.{plane}", f"Weight that cancels, plane {plane}", one.amplitude)
            self.tell(f"angle.{plane}", f"Angle of the weight that cancels, plane {plane}", one.angle)

    def _condition(self, found: PlanesBalance, held: float) -> None:
        self.tell("condition", "Condition number, how far errors may grow", Measured(found.condition, Ratio))
        if found.condition > BADLY_TOLD and not held:
            self.lead.append(found.in_words)
        else:
            self.notes.append(found.in_words)

    def _washers(self, found: PlanesBalance, split: PlanesSplit, checked: bool) -> None:
        cited = sources.ARITHMETIC.at("nearest in each plane, then exchanges of one or two washers")
        for place, left in zip(self.places, split.residuals, strict=True):
            self.step(
                f"Left with whole washers, {place}", [split.in_words, f"they leave {left}"], left.amplitude, cited
            )
            self.tell(f"promised.{key_of(place)}", f"Left with these washers, promised, {place}", left.amplitude)
        if checked:
            return
        said = f"Trial weights off. {split.in_words}"
        if self.limit is not None and self.limit.high is not None:
            shown = arrows.chance_in_words(min(chance_within(one, self.limit.high) for one in split.residuals))
            said += f" At the worst place the chance that they bring it in limits is {shown}."
        self.notes.append(said)
        self.say_to_do(said, *(() if unset(self.limit) else ("found.", "later.")))

    def _checked(
        self,
        found: PlanesBalance,
        turned: Influence,
        split: PlanesSplit,
        holes: Mapping[str, list[Hole]],
        put: Mapping[str, list[int | None]],
        washer: Measured,
        check: Mapping[str, Any],
    ) -> None:
        """The check run against what the washers that were put in promised."""
        if not check:
            return
        agreement = self._agreement(found, turned, split, holes, put, washer, check)
        if self.bad("check."):
            if agreement is not None and not agreement.holds:
                self.say_to_do(arrows.STRANGE)
            else:
                self.say_to_do(
                    "Enter the check run as the later run and balance from it, with the same trial runs. These washers "
                    "stay in then: take their mass off each hole's greatest mass.", "check.",
                )  # fmt: skip

    def _agreement(
        self,
        found: PlanesBalance,
        turned: Influence,
        split: PlanesSplit,
        holes: Mapping[str, list[Hole]],
        put: Mapping[str, list[int | None]],
        washer: Measured,
        check: Mapping[str, Any],
    ) -> Agreement | None:
        read = {i: check[place] for i, place in enumerate(self.places) if isinstance(check.get(place), Phasor)}
        if not read:
            return None
        weights: Sequence[Phasor] = split.achieved
        if any(count is not None for plane in PLANES for count in put[plane]):
            sums = []
            for plane, wanted in zip(PLANES, found.corrections, strict=True):
                one_by_one = washers_as_arrows(wanted, holes[plane], washer)[0]
                total = wanted.exact.times(0)
                for arrow, count in zip(one_by_one, put[plane], strict=True):
                    total = total + arrow.times(count or 0)
                sums.append(total)
            weights = sums
        promised, other = (one.with_weights(weights) for one in (found, replace(found, influence=turned)))
        return arrows.agreement_of(self, [promised[i] for i in read], [other[i] for i in read], list(read.values()))
