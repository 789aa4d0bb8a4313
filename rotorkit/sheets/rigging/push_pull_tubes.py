"""Push-pull tubes: margin against buckling, thread engagement of both rod ends, witness holes."""

from __future__ import annotations

from typing import Annotated, Any, ClassVar

from rotorkit.aircraft import Aircraft, PushPullTube
from rotorkit.aircraft.entries import Choice, Entry, asked, required, rows
from rotorkit.judging.limits import Limit
from rotorkit.judging.measured import Measured, measured
from rotorkit.pictures.data import Look, Looks
from rotorkit.quantities import Force, Length, Ratio, Reading, Stress, say
from rotorkit.rigging import (
    euler_load,
    johnson_load,
    radius_of_gyration,
    slenderness_ratio,
    strength_margin,
    transition_slenderness,
    tube_area,
    tube_column,
    tube_second_moment,
)
from rotorkit.sheets.base import About, Needed, Outcome, Part, Row, Sheet
from rotorkit.sheets.exercises import Exercise, Range
from rotorkit.sheets.rigging.rod_ends import (
    ENGAGEMENT,
    HOLDS,
    NO_HOLE,
    NOT_LOOKED_AT,
    WITNESS_CHOICE,
    WITNESS_HOW,
    Witness,
    witness_verdict,
)
from rotorkit.sheets.working import Working, key_of
from rotorkit.sources import cautions

_INCHES = ("in", "mm")
BEARS = Limit("margin against buckling", Ratio, low="0", source="physics: the tube carries the load")
MEASURED_ON_TUBE = ("outer_diameter", "wall", "length")
DIFFERS = 0.02
"""A dimension measured on the tube that lies this far from the aircraft file's is asked about."""


class RodEndRow(Row):
    """One rod end of the tube."""

    end: str = asked("End", 'Which one, in words: "at the lever", "at the mixer".', "")
    engagement: Annotated[Reading | None, ENGAGEMENT] = asked(
        "Engagement", "Thread of the rod end inside the tube's end fitting: thread length minus what you see outside."
    )
    hole: Annotated[Witness, WITNESS_CHOICE] = asked("Witness hole", WITNESS_HOW, NOT_LOOKED_AT)


class PushPullTubes(Sheet):
    """One push-pull tube of the controls, as a column and by its rod ends."""

    order: ClassVar[int] = 90
    puts_right: ClassVar[dict[str, str]] = {
        "buckling_margin": "Do not fly it on this tube: ask the kit maker for one that takes this load.",
        "engagement": (
            "Set the rod end's engagement as the manual says; ask the kit maker where the rod then comes out too "
            "short or too long."
        ),
    }
    needed: ClassVar[tuple[Needed, ...]] = (
        Needed(
            "First rotor turn",
            "a tube that buckles, or a rod end that lets go, takes the control away",
            each="push-pull tubes",
        ),
    )
    judged_by: ClassVar[tuple[str, ...]] = ("push_pull_tubes.{tube}.limits",)
    about: ClassVar[About] = About(
        title="Push-pull tubes",
        settles=(
            "Whether a push-pull tube of the controls takes the hardest push without buckling, with what margin, and "
            "whether both its rod ends are screwed in far enough."
        ),
        when=(
            "When a tube is fitted or its length is changed; when the kit's tube is replaced by one of another size, "
            "wall or alloy; at each inspection that calls for the rod ends."
        ),
        tools=(
            "caliper for diameter and thread, tape or long rule for the length between the bearings",
            "the tube's certificate, or the kit maker's word, for its alloy and temper",
            "0.020 in (0.5 mm) wire and a lamp for the witness holes",
            "flat plate or straightedge, to see whether the tube is straight",
        ),
        procedure=(
            "Take the tube out, or sight along it where it is: a tube that is bowed, dented or scored is not judged "
            "here: replace it.",
            "Roll it on a flat plate and watch the light beneath it; tap along it for a change of tone at the ends.",
            "Measure the outer diameter at three places and the length between the bearings' centres; leave the fields "
            "empty to take the aircraft file's. The wall is measured at an open end, or taken from the certificate.",
            "Measure the engagement of each rod end: mark the thread flush with the tube's fitting, screw it out, "
            "measure; or take thread length minus what you see outside.",
            "Look for threads in each witness hole, then try the wire: it must not pass.",
            "Fit the tube. With the jam nuts tight, both rod ends must still rock both ways at both ends of the "
            "travel.",
            "Move the control through its whole range: the tube must not touch anything, including fairleads and "
            "the edges of holes.",
        ),
        sign_convention=(
            "A push is compression, positive. The margin of safety is strength / load − 1; below zero the tube buckles."
        ),
        cautions=(
            cautions.ENGINE_OFF,
            cautions.HANDS_IN_LINKAGE,
            cautions.THREAD_ENGAGEMENT,
            *cautions.AFTER_ADJUSTING,
        ),
        not_covered=(
            "a tube that is bent, dented, scored or corroded: it is weaker, and nobody can say by how much",
            "loads off the axis, rivets and holes at the ends, local crippling of a wall thinner than a fiftieth of "
            "the diameter",
            "the shank of the rod end in bending, the fitting, the bearing; vibration and fatigue",
            "tubes that are tapered, stepped or guided by rollers along their length",
            "pull: a tube that takes the push also takes the pull, but its rivets and threads may not",
        ),
    )
    exercises: ClassVar[tuple[Exercise, ...]] = (
        Exercise(
            name="area_of_a_tube",
            title="The metal of a tube",
            story=("A control tube is {outer_diameter} across on the outside, with a wall of {wall}."),
            find="the area of metal in its section",
            unit="in^2",
            of=tube_area,
            given={
                "outer_diameter": Range("0.620 in", "0.990 in", "0.010 in"),
                "wall": Range("0.035 in", "0.065 in", "0.001 in"),
            },
            hints=(
                "Roll the wall out flat: how long is the strip, how thick?",
                "The strip is as long as the circle halfway through the wall: pi times (outer diameter minus wall).",
            ),
        ),
        Exercise(
            name="margin",
            title="How much stronger than needed",
            story=("The tube buckles at {strength}. The greatest push on it is {load}."),
            find="the margin against buckling, as a ratio",
            unit="",
            of=strength_margin,
            given={
                "strength": Range("420 lb", "640 lb", "5 lb"),
                "load": Range("180 lb", "200 lb", "1 lb"),
            },
            hints=(
                "A margin of zero means: just strong enough.",
                "Strength divided by load, minus one.",
            ),
        ),
    )

    tube: Annotated[str, Choice("push-pull tubes")] = required("Tube", "As named in the aircraft file.")
    outer_diameter: Annotated[Reading | None, Entry(Length, _INCHES, ("1/8 in", "6 in"), by="caliper")] = asked(
        "Outer diameter", "The least of three places. Empty: the aircraft file's."
    )
    wall: Annotated[Reading | None, Entry(Length, _INCHES, ("0.01 in", "1 in"), by="caliper")] = asked(
        "Wall", "At an open end. Empty: the aircraft file's."
    )
    length: Annotated[Reading | None, Entry(Length, _INCHES, ("1 in", "20 ft"))] = asked(
        "Length", "Between the bearings' centres as adjusted, with the tape's ±. Empty: the aircraft file's."
    )
    caliper: Annotated[str, Choice("instruments", measures="length")] = asked("Caliper", default="")
    ends: list[RodEndRow] = rows("Rod ends", "A row for each of the tube's two ends.")

    @classmethod
    def start(cls, aircraft: Aircraft) -> dict[str, Any]:
        """The first tube, and a row for each of its ends."""
        start = super().start(aircraft)
        start["ends"] = [{"end": "one end"}, {"end": "other end"}]
        return start

    def parts(self, aircraft: Aircraft) -> list[Part]:
        """Both rod ends, how far in and the witness hole, and the load that the column is judged by."""
        tube = aircraft.push_pull_tubes.get(self.tube)
        if tube is None:
            return []
        load = f"margin against buckling: write greatest_load into [push_pull_tubes.{self.tube}]"
        found = [Part(load, tube.greatest_load is not None)]
        named = [row for row in self.ends if row.end.strip()]
        for i in range(max(2, len(named))):
            row = named[i] if i < len(named) else RodEndRow()
            end = f"rod end, {row.end.strip() or ('one end', 'other end')[i]}"
            found.append(Part(f"{end}: engagement", row.engagement is not None))
            found.append(Part(f"{end}: witness hole", row.hole != NOT_LOOKED_AT))
        return found

    def _work(self, aircraft: Aircraft) -> Outcome:
        to = Working(self, aircraft)
        none = "none: write [push_pull_tubes.name] for each"
        tube = to.thing("tube", aircraft.push_pull_tubes, "push-pull tube", none)
        self._check_ends(to)
        self._column(to, tube)
        looks = []
        for i, row in enumerate(self.ends):
            title, key = f"Rod end, {row.end.strip()}", key_of(row.end)
            if row.engagement is not None:
                name = f"{title}: engagement"
                figure = to.reading(f"ends.{i}.engagement", name, _INCHES)
                to.judge(f"engagement.{key}", name, tube.limits.engagement, figure, physical=HOLDS)
            verdict = witness_verdict(row.hole, title)
            if verdict is not None:
                to.found(f"witness.{key}", f"{title}: faults in the witness hole", verdict)
                looks.append(Look(title, row.hole, verdict.word))
            elif row.hole == NO_HOLE:
                to.notes.append(f"{title}: it has no witness hole; only the engagement shows how far it is in.")
        to.compare("Against the limits", [f for f in to.findings if f.measured.kind.si or f.key == "buckling_margin"])
        if looks:
            to.pictures.append(Looks("Witness holes", looks))
        return to.outcome(f"{self.about.title}, {tube.named}")

    def _check_ends(self, to: Working) -> None:
        seen = [(i, row) for i, row in enumerate(self.ends) if row.engagement is not None or row.hole != NOT_LOOKED_AT]
        for i, row in seen:
            if not key_of(row.end):
                to.problem(f"ends.{i}.end", "is missing: which end is it")
        advice = "give each end a name of its own"
        to.by_key("ends", enumerate(self.ends), lambda row: key_of(row.end).casefold(), "end", advice)
        if not seen and all(getattr(self, name) is None for name in MEASURED_ON_TUBE):
            where = "ends.0.engagement" if self.ends else "ends"
            to.problem(where, "needs a reading: nothing has been measured on this tube yet")
        to.settle()

    def _dimension(self, to: Working, tube: PushPullTube, name: str) -> Measured:
        """A dimension: as measured on the tube, else the aircraft file's."""
        words = name.replace("_", " ")
        filed: Reading = getattr(tube, name)
        if getattr(self, name) is None:
            return measured(filed, Length, f"{words}, aircraft file").shown_in(_INCHES)
        figure = to.reading(name, words, _INCHES)
        if abs(float(figure.si) / filed.si - 1) > DIFFERS:
            to.notes.append(
                f"The {words} measured, {say(figure)}, differs from the aircraft file's {filed.said}. Is this the "
                "right tube?"
            )
        return figure

    def _column(self, to: Working, tube: PushPullTube) -> None:
        diameter, wall, length = (self._dimension(to, tube, name) for name in MEASURED_ON_TUBE)
        if float(wall.si) > float(diameter.si) / 2:
            said = f"the wall, {say(wall)}, is more than half of the outer diameter, {say(diameter)}"
            to.problem("wall" if self.wall is not None else "outer_diameter", f"cannot be: {said}")
            to.settle()
        modulus = measured(tube.elastic_modulus, Stress, "elastic modulus")
        strength = measured(tube.yield_strength, Stress, "yield strength")
        column = tube_column(diameter, wall, length, modulus, strength)
        area = to.work("Area of the section", tube_area, diameter, wall)
        second = to.work("Second moment of area", tube_second_moment, diameter, wall)
        radius = to.work("Radius of gyration", radius_of_gyration, second, area)
        slender = to.work("Slenderness, pinned at both ends", slenderness_ratio, length, radius, 1)
        to.work("Slenderness where Johnson's curve meets Euler's", transition_slenderness, modulus, strength)
        if column.regime.startswith("slender"):
            load = to.work("Euler buckling load", euler_load, modulus, second, length, 1)
            which = "slender, so that it buckles elastically (Euler's load); its yield strength does not matter"
        else:
            given = modulus, strength, area, length, radius, 1
            load = to.work("Load at which it buckles, by Johnson", johnson_load, *given)
            which = "stocky, so that it yields as it buckles (Johnson's parabola)"
        to.notes.append(
            f"The tube's slenderness is {column.slenderness:.0f}, the two curves meet at {column.transition:.0f}: it "
            f"is {which}."
        )
        to.notes += column.remarks
        if tube.greatest_load is None:
            to.notes.append("greatest_load is the hardest push, with the factor the manual calls for.")
        else:
            title = "Margin against buckling"
            push = measured(tube.greatest_load, Force, "greatest load")
            margin = to.work(title, strength_margin, load, push)
            to.judge("buckling_margin", title, tube.limits.buckling_margin, margin, physical=BEARS)
            if float(margin.si) < 0:
                to.lead.append("The tube buckles under this load: do not fly it.")
        to.tell("buckling_load", "Load at which it buckles", load, "buckling load")
        to.tell("slenderness", "Slenderness", slender, "slenderness")
