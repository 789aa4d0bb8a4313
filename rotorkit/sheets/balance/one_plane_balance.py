"""Balance in one plane: a run as found and one with a trial weight, to whole washers in the holes that there are."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Annotated, Any, ClassVar

from rotorkit import sources
from rotorkit.aircraft import Aircraft
from rotorkit.aircraft.entries import Choice, Readings, asked, required, rows
from rotorkit.balance import (
    Agreement,
    Hole,
    OnePlane,
    Phasor,
    Split,
    chance_within,
    one_plane_balance,
    phasor,
    predicted,
    split_between_holes,
)
from rotorkit.balance.grades import permissible_unbalance
from rotorkit.balance.phasors import WEIGHTS
from rotorkit.judging.limits import Limit
from rotorkit.judging.measured import Measured
from rotorkit.pictures.data import Chart
from rotorkit.quantities import Reading, Speed, say
from rotorkit.sheets.balance import arrows  # fmt: skip
from rotorkit.sheets.base import About, Again, Needed, Outcome, Part, Row, Sheet, SheetLimit
from rotorkit.sheets.exercises import Exercise, Range
from rotorkit.sheets.working import Working
from rotorkit.sources import cautions

TRIAL_RUN = ("original", "original_phase", "trial", "trial_place", "tried", "tried_phase")
READ_WITH = ("analyser", "phase_meter", "scale", "counted")


class WeightHole(Row):
    """One place where the manual allows weight."""

    name: str = asked("Hole", "What it is called: bolt 3, white tip.", "")
    place: Annotated[Reading | None, arrows.PLACE] = asked(
        "Place", "Its angle, from the same mark and counted the same way as the trial weight's."
    )
    largest: Annotated[Reading | None, arrows.WEIGHT] = asked(
        "Greatest mass", "What the manual allows there, less what is in it already; at the trial weight's radius."
    )


class OnePlaneBalance(Sheet):
    """Balance of a rotor in one plane, with one trial weight."""

    order: ClassVar[int] = 30
    puts_right: ClassVar[dict[str, str]] = {
        "vibration.after": (
            "Enter the check run as the later run and balance from it, with the same trial weight's effect."
        ),
    }
    needed: ClassVar[tuple[Needed, ...]] = (
        Needed("First flight out of ground effect", "once a turn shakes bolts loose, and hides what else may shake"),
    )
    limits: ClassVar[dict[str, SheetLimit]] = {
        "vibration": SheetLimit(
            Speed, "vibration once a turn", "in/s", "how much it may shake once a turn: only the high side"
        )
    }
    about: ClassVar[About] = About(
        title="Balance in one plane",
        settles=(
            "Which weight goes where so that the rotor stops shaking once per turn, how much should be left, and how "
            "well that is known."
        ),
        when="When the track is right and it still shakes once a turn; after blades or hub were apart.",
        tools=(
            "accelerometer or velocity pick-up with a filter at once a turn",
            "pulse or strobe for the phase",
            "scale that reads to a tenth of a gram",
            "the manual's washers",
        ),
        procedure=(
            "Track first. Mount the pick-up where the manual says, and leave it there for all runs.",
            "Run at the manual's speed, in calm air; read amplitude and phase once a turn, three times.",
            "Put the trial weight on, at one of the manual's places, and run again at the same speed.",
            "Take the trial weight off, put on what this sheet says, and run again: enter it as the check run.",
            "You need not repeat the trial run later: enter a later run, and the weight is worked out from there. The "
            "check run after it tells whether the trial weight's effect still holds. A new check takes the trial run "
            "of an earlier one with a click, and asks for a later run of its own.",
        ),
        sign_convention="Phase as the instrument shows it, from its mark. Weights are counted from one mark of the "
        "rotor; say which way round, with the phase or against it. A phase that lags, with weights counted as the "
        "rotor turns, is the other way round.",
        cautions=(cautions.BALANCE_WEIGHTS, cautions.TURNING_AT_SPEED, *cautions.ALWAYS),
        not_covered=(
            "vibration at other orders, up and down, or in forward flight",
            "worn bearings, rod ends and dampers: if weights change little, look for those",
            "the balance at any other speed",
            "a trial weight's effect on another aircraft, at another speed or with the pick-up mounted differently",
        ),
    )
    exercises: ClassVar[tuple[Exercise, ...]] = (
        Exercise(
            name="permissible",
            title="How much unbalance is allowed",
            story=(
                "A fan of {mass} turns at {speed}. Its balance grade allows {grade} (eccentricity times "
                "radians per second)."
            ),
            find="the unbalance that is allowed",
            unit="oz*in",
            of=permissible_unbalance,
            given={
                "grade": "6.3 mm/s",
                "mass": Range("8.0 lb", "16.0 lb", "0.1 lb"),
                "speed": Range("2,500 rpm", "3,200 rpm", "10 rpm"),
            },
            hints=(
                "Grade divided by radians per second is how far the centre of mass may lie off the axis.",
                "That distance times the mass.",
            ),
        ),
    )

    analyser: Annotated[str, Choice("instruments", measures="vibration")] = asked("Vibration meter", default="")
    phase_meter: Annotated[str, Choice("instruments", measures="angle")] = asked("Phase read with", default="")
    scale: Annotated[str, Choice("instruments", measures="mass")] = asked("Scale", default="")
    counted: Annotated[str, Choice(options=(arrows.WITH, arrows.AGAINST))] = asked(
        "Weights' angles are counted", "The wrong choice puts the weight on the wrong side.", arrows.WITH
    )
    original: Annotated[Readings, arrows.AMPLITUDE] = required(
        "As found", "Peak, once a turn; separate repeats with semicolons."
    )
    original_phase: Annotated[Readings, arrows.PHASE] = required("Phase as found", "In the same runs.")
    trial: Annotated[Reading, arrows.TRIAL] = required("Trial weight", "With its bolt and nut, if those are added too.")
    trial_place: Annotated[Reading, arrows.PLACE] = required(
        "Place of the trial weight", "Angle of its hole from the rotor's mark."
    )
    tried: Annotated[Readings, arrows.AMPLITUDE] = required(
        "With the trial weight", "The same speed, mounting and wind."
    )
    tried_phase: Annotated[Readings, arrows.PHASE] = required("Phase with the trial weight", "In the same runs.")
    later: Annotated[Readings | None, arrows.AMPLITUDE] = asked(
        "Later run", "To balance from, by the same trial weight's effect; no new trial run."
    )
    later_phase: Annotated[Readings | None, arrows.PHASE] = asked("Phase of the later run", "In the same runs.")
    washer: Annotated[Reading, arrows.WASHER] = required("One washer", "Weigh ten and divide.")
    holes: list[WeightHole] = rows("Holes", "Every place where the manual allows weight, at one radius.")
    after: Annotated[Readings | None, arrows.AMPLITUDE] = asked(
        "Check run", "With the washers on, the trial weight off."
    )
    after_phase: Annotated[Readings | None, arrows.PHASE] = asked("Phase of the check run", "If read.")

    goes_on: ClassVar[bool] = True

    @classmethod
    def again(cls, readings: Mapping[str, Any]) -> Again | None:
        """The trial weight and what it changed."""
        if any(not str(readings.get(name, "") or "").strip() for name in TRIAL_RUN):
            return None
        return Again("The trial weight, with its run and the one before it", "trial", (*READ_WITH, *TRIAL_RUN))

    def parts(self, aircraft: Aircraft) -> list[Part]:
        """The holes, without which no washer can be placed; an own run, where the trial run is another check's."""
        there = any(row.place is not None and row.largest is not None for row in self.holes)
        own = [Part(arrows.A_RUN_OF_ITS_OWN, self._has_own_run)] if arrows.of_another_check(self.original) else []
        return [*own, Part("the holes that the manual allows weight in", there)]

    @property
    def _has_own_run(self) -> bool:
        """Whether there is a run of this check to balance from: that of another check was made before its washers."""
        return self.later is not None or not arrows.of_another_check(self.original)

    def _work(self, aircraft: Aircraft) -> Outcome:
        to = Working(self, aircraft)
        holes = self._holes(to)
        original = self._run(to, "original", "the run as found")
        tried = self._run(to, "tried", "the run with the trial weight")
        after = None if self.after is None else arrows.size_of(to, "after", self.after, "the check run")
        if self.after_phase is not None and self.after is None:
            to.problem("after", "is needed with its phase: the check run's amplitude is what is judged")
        if _alike(self.after, self.later) and _alike(self.after_phase, self.later_phase):
            to.problem("after", "is the later run itself: leave both its fields empty until the next washers are on")
        to.together(("later", "later_phase"), "is needed: a later run is balanced from by amplitude and phase")
        there = None not in (self.later, self.later_phase)
        later = self._run(to, "later", "the later run") if there else None
        to.settle()
        place = to.reading("trial_place", "place of the trial weight", "deg")
        trial = phasor(to.reading("trial", "trial weight", "g"), place, WEIGHTS, "trial weight")
        found = first = one_plane_balance(original, trial, tried, arrows.SENSE[self.counted])
        if later is not None:
            found = one_plane_balance(later, trial, later + first.effect, first.sense)
        limit = self.limit("vibration", aircraft)
        self._steps(to, first, found)
        self._judge(to, first, found, limit, after)
        if not self._has_own_run:
            to.lead.append(arrows.NO_RUN_OF_ITS_OWN)
            to.pictures.append(self._picture(first, found, None, limit, to.system))
            to.compare("Vibration")
            return to.outcome()
        washer = to.reading("washer", "one washer", "g")
        split = agreement = None
        unclear = float(found.effect.amplitude.si) < float(found.effect.amplitude.expanded_si)
        if holes and not unclear:
            split = split_between_holes(found.correction.exact, holes, washer)
            agreement = self._told(to, found, split, limit, after)
        if unclear:
            to.lead.append(found.in_words)
        else:
            to.notes.append(found.in_words)
        strange = agreement is not None and not agreement.holds
        if to.bad("vibration.") and (unclear or strange):
            to.say_to_do(found.in_words if unclear else arrows.STRANGE, "vibration.")
        elif to.bad("vibration.after"):
            to.notes.append(
                "Not there yet: move the check run, with its phase, to the later run, and it is balanced from "
                "there by the same trial weight's effect, as long as that holds. These washers stay in then, so "
                "take their mass off each hole's greatest mass."
            )
        to.pictures.append(self._picture(first, found, split, limit, to.system))
        to.compare("Vibration")
        return to.outcome()

    def _run(self, to: Working, name: str, what: str, size: Measured | None = None) -> Phasor:
        """A run as an arrow; size: its amplitude, where it is worked already."""
        phases = getattr(self, f"{name}_phase")
        return arrows.arrow_of(to, size or (name, getattr(self, name)), f"{name}_phase", phases, what)

    def _holes(self, to: Working) -> list[Hole]:
        made = []
        for i, row in enumerate(self.holes):
            if row.place is None and row.largest is None:
                continue
            to.together(("place", "largest"), "is needed: a hole has a place and a greatest mass", row, f"holes.{i}.")
            if row.place is not None and row.largest is not None:
                made.append(Hole(row.place, row.largest, name=row.name.strip() or say(row.place.value, "deg")))
        return sorted(made, key=lambda hole: (hole.angle.si % math.tau, hole.name))

    def _steps(self, to: Working, first: OnePlane, found: OnePlane) -> None:
        cited = sources.VAUGHAN_BALANCING.at("influence coefficient")
        lines = [f"({first.with_trial}) less ({first.original}), as arrows = {first.effect}"]
        to.step("What the trial weight changed", lines, first.effect.amplitude, cited)
        if not self._has_own_run:
            return
        run = "the run as found" if found is first else "the later run"
        lines = [f"trial weight {found.trial}, times {run} over that change, turned by 180°", f"= {found.correction}"]
        to.step(f"Weight that cancels {run}", lines, found.weight, cited)

    def _judge(
        self, to: Working, first: OnePlane, found: OnePlane, limit: Limit | None, after: Measured | None
    ) -> None:
        """The last run is judged; the ones before it are then told beside."""
        if after is None and found is first and self._has_own_run:
            to.judge("vibration.found", "Vibration as found", limit, first.original.amplitude)
        else:
            to.tell("vibration.found", "Vibration as found", first.original.amplitude)
        if found is not first:
            title = "Vibration in the later run"
            if after is None:
                to.judge("vibration.later", title, limit, found.original.amplitude)
            else:
                to.tell("vibration.later", title, found.original.amplitude)
        if after is not None:
            to.judge("vibration.after", "Vibration in the check run", limit, after)
        to.tell("effect", "Change by the trial weight", found.effect.amplitude)
        if not self._has_own_run:
            return
        to.tell("weight", "Weight that cancels it", found.weight)
        to.tell("angle", "Place of the weight that cancels it", found.angle)

    def _told(
        self, to: Working, found: OnePlane, split: Split, limit: Limit | None, after: Measured | None
    ) -> Agreement | None:
        """The washers, and whether a check run is what they promised."""
        promised = found.with_weight(split.achieved)
        lines = [f"wanted {found.correction}", f"best of {split.compared:,} combinations: {split.in_words}"]
        cited = sources.ARITHMETIC.at("every combination compared")
        to.step("Whole washers in the holes there are", [*lines, f"they leave {promised}"], promised.amplitude, cited)
        to.tell("promised", "Left with these washers, promised", promised.amplitude)
        if after is None and limit is not None and limit.high is not None:
            shown = arrows.chance_in_words(chance_within(promised, limit.high))
            to.notes.append(f"The chance that these washers bring it in limits: {shown}, by the readings' uncertainty.")
        if after is None:
            said = f"Take the trial weight off. {split.in_words}"
            to.notes.append(said)
            if to.bad("vibration."):
                to.say_to_do(said, "vibration.")
        elif self.after_phase is not None:
            checked = self._run(to, "after", "the check run", after)
            to.settle()
            turned = predicted(
                found.original,
                found.with_trial,
                found.trial,
                split.achieved,
                arrows.OTHER_SENSE[arrows.SENSE[self.counted]],
            )
            return arrows.agreement_of(to, [promised], [turned], [checked])
        return None

    def _picture(
        self, first: OnePlane, found: OnePlane, split: Split | None, limit: Limit | None, system: str
    ) -> Chart:
        runs = [("as found", first.original, "main"), ("with the trial weight", first.with_trial, "second")]
        if found is not first:
            runs.append(("later run", found.original, "third"))
        if split is not None:
            runs.append(("promised", found.with_weight(split.achieved), ""))
        return arrows.arrows_picture("Arrows of the runs", runs, limit, system)


def _alike(one: Readings | None, other: Readings | None) -> bool:
    """Whether both are given and show the same."""
    return one is not None and other is not None and [each.si for each in one] == [each.si for each in other]
