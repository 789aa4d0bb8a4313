"""Cable rigging: tension against the day's band, what to turn at the turnbuckle, and the rules along the run."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import replace
from typing import Annotated, Any, ClassVar, Literal, get_args

from rotorkit import sources
from rotorkit.aircraft import Aircraft, Turnbuckle
from rotorkit.aircraft.entries import Choice, Entry, asked, rows
from rotorkit.judging.limits import IN_LIMITS, Limit
from rotorkit.judging.measured import Measured, measured
from rotorkit.pictures.data import Bars, Look, Looks, Turn, TurnRow, Turns
from rotorkit.quantities import Angle, Force, Length, QuantityError, Ratio, Reading, from_si, read, required_kind, say
from rotorkit.rigging import (
    TurnbucklePlan,
    angle_from_offset,
    axial_stiffness_from_stretch_factor,
    breaking_strength,
    cable_construction,
    change_of_direction,
    fairlead_limit,
    friction_coefficient_from_tensions,
    judged_tension,
    length_change_both_ends,
    may_be_slack,
    pulley_verdict,
    safety_wire_for,
    smallest_primary_cable_limit,
    stiffness_felt_by_one_run,
    stiffness_felt_by_pinned_run,
    strength_margin,
    tension_at_temperature,
    tension_band_at,
    tension_change_of_other_run,
    tension_change_of_turns,
    thread,
    threads_exposed_after,
    threads_exposed_limit,
    turnbuckle_plan,
    turnbuckle_turns,
)
from rotorkit.sheets.base import About, Finding, Needed, Outcome, Part, Row, bars, forecast, judge
from rotorkit.sheets.exercises import Exercise, Range
from rotorkit.sheets.rigging.cable_tension import CableTension, CableTensionWork
from rotorkit.sheets.rigging.gauge_reading import cable_used, share_not_known
from rotorkit.sheets.working import capital, key_of
from rotorkit.sources import cautions

SLIDES = 0.1
"""An apparent friction coefficient from which on the cable slides over its pulley instead of turning it (common
practice, no source)."""
BEARS = Limit("margin against breaking", Ratio, low="0", source="physics: the cable carries the load")
FREE = Limit("apparent friction", Ratio, high=f"{SLIDES}", source="a pulley that turns: common practice (no source)")
UNEQUAL = 0.75
"""Threads by which the two ends may differ, counted in halves, and still be in by equal amounts (our own choice)."""
AS_GOOD_AS_RIGID = "1e15 N/m"
"""Stands for an airframe that does not give, where the aircraft file does not say how much it gives."""


Loop = Literal["free: both runs come to one tension", "pinned at both ends: this run alone"]
LOOPS: tuple[str, ...] = get_args(Loop)
Flange = Literal["not looked at", "clear of the flange", "rubs the flange"]
FLANGES: tuple[str, ...] = get_args(Flange)
NOT_LOOKED_AT: Flange = FLANGES[0]  # type: ignore[assignment]

_COUNT = Entry(Ratio, ("", ""), ("0", "60"), ("0", "8"))
_SLOPE = Entry(Angle, ("deg", "deg"), ("-180 deg", "180 deg"), by="protractor")
_LENGTH = Entry(Length, ("in", "mm"), ("0 in", "10 ft"), by="rule")


class FairleadRow(Row):
    """One fairlead: by the cable's slope on both sides, or by a straightedge."""

    place: str = asked("Fairlead", "Where it is, in words.", "")
    before: Annotated[Reading | None, _SLOPE] = asked(
        "Slope before", "Slope of the cable ahead of the fairlead, read in the plane of the bend."
    )
    after: Annotated[Reading | None, _SLOPE] = asked(
        "Slope after", "Slope of the cable behind it, with the protractor the same way round."
    )
    offset: Annotated[Reading | None, _LENGTH] = asked(
        "Or: gap", "Between the cable and a straightedge laid along it on the other side of the fairlead."
    )
    distance: Annotated[Reading | None, _LENGTH] = asked(
        "At distance", "From the fairlead, along the straightedge, where the gap was measured."
    )


class PulleyRow(Row):
    """One pulley: does the cable rub, does the pulley turn."""

    place: str = asked("Pulley", "Where it is, in words.", "")
    flange: Annotated[Flange, Choice(options=FLANGES)] = asked(
        "Cable and flange", "Look along the cable with the control at both ends of its travel.", "not looked at"
    )
    wrap: Annotated[Reading | None, Entry(Angle, ("deg", "deg"), ("1 deg", "720 deg"))] = asked(
        "Wrap", "The angle through which the cable bends around the pulley."
    )
    pulling: Annotated[Reading | None, Entry(Force, ("lbf", "N"), ("1 lb", "2000 lb"))] = asked(
        "Pulling side", "Tension on the side that was pulled last, from the gauge's table, with its ±."
    )
    slack: Annotated[Reading | None, Entry(Force, ("lbf", "N"), ("1 lb", "2000 lb"))] = asked(
        "Slack side", "Tension beyond the pulley, read straight afterwards without moving the control."
    )


class CableRigging(CableTension):
    """One run of control cable rigged: tension, turnbuckle, strength, fairleads, pulleys."""

    order: ClassVar[int] = 70
    puts_right: ClassVar[dict[str, str]] = {
        "threads": (
            "Screw the turnbuckle in until no more threads stand outside than the rule allows; where the cable is then "
            "too tight, have a longer one made."
        ),
        "strength_margin": "Do not fly it on this cable: ask the kit maker which cable takes this load.",
        "cable_size": "Do not fly it on this cable: ask the kit maker for one of the size that the rule asks for.",
        "fairlead": (
            "Set the fairlead so that it guides the cable and does not bend it, as the manual says, and measure again."
        ),
    }
    needed: ClassVar[tuple[Needed, ...]] = (
        Needed(
            "First engine run",
            "its turnbuckle must have enough threads in, and be locked, before anything turns",
            each="cables",
        ),
        Needed(
            "First rotor turn",
            "its turnbuckle must have enough threads in, and be locked, before the cable is used in earnest",
            each="cables",
        ),
    )
    uses: ClassVar[tuple[str, ...]] = ("cables.{cable}.limits_at",)
    judged_by: ClassVar[tuple[str, ...]] = ("cables.{cable}.limits",)
    about: ClassVar[About] = About(
        title="Cable rigging",
        settles=(
            "What a control cable's tension should be today, how many turns of the turnbuckle get it there, how many "
            "threads that leaves, and whether the run follows the rules for size, strength, fairleads and pulleys."
        ),
        when=(
            "When a cable is rigged for the first time, replaced or re-tensioned; at each inspection that calls for "
            "cable tension; when the controls drag or wander, or the two runs differ in tension."
        ),
        tools=(
            "cable tension gauge with its own calibration table, and the riser that the table names for this cable",
            "thermometer, laid on the airframe beside the cable",
            "two rods for the turnbuckle: one holds the terminal, one turns the barrel; cable clamps and rigging pins",
            "protractor, or straightedge and rule, for the fairleads; a lamp and a mirror for the pulleys",
            "safety wire or clips of the kind the manual names",
        ),
        procedure=(
            "Let airframe and cable reach the same temperature, out of the sun, with the engine cold: an hour or more.",
            "Before you turn anything, look along the whole run: broken wires (a cloth drawn along the cable catches "
            "on them), wear at pulleys, every pulley turning freely, no fairlead bending the cable.",
            "Work the controls through their range ten times, then set them to neutral with the rigging pin in. Say "
            "below whether the loop is free to even out its tension, or pinned at both ends.",
            "Read the gauge three times in the middle of a free length, lifting it off and placing it again each time; "
            "read the thermometer at the same time.",
            "Count the threads outside the barrel at both ends, in halves.",
            "The sheet gives today's band, the turns to reach its middle, and the tension to expect there. Hold both "
            "terminals so that the cable does not twist, and go by half turns.",
            "On a loop, tighten both runs alternately so that neutral stays neutral; after each half turn look at the "
            "pedals or the stick.",
            "Work the controls again, wait, read again. A new cable stretches: read it the next day, and again "
            "after some hours of use.",
            "Move the control one way and read the tension on both sides of a pulley straight away: the loss "
            "shows whether the pulley turns or the cable slides over it.",
            "Once the tension is in today's band: check that the threads are within the rule, fit safety wire or "
            "clips, have a second person look, and read the blade angles again.",
        ),
        sign_convention=(
            "Tension is positive. Barrel turns are positive when they tighten. The pulling side of a pulley is the "
            "side toward which the cable last moved; it carries the greater tension."
        ),
        cautions=(
            cautions.ENGINE_OFF,
            cautions.HANDS_IN_LINKAGE,
            cautions.CABLES_UNDER_LOAD,
            cautions.THREADS_OF_TURNBUCKLES,
            *cautions.AFTER_ADJUSTING,
        ),
        not_covered=(
            "wear, broken wires, corrosion and the strength of terminals, swages and thimbles",
            "the permanent stretch of a new cable; temperature differences along the run",
            "the least pulley diameter for a cable, guards and their clearance: the manual's drawing governs",
            "tension regulators and springs in the run",
            "travel and blade angles after a change of tension: read them again",
        ),
    )
    exercises: ClassVar[tuple[Exercise, ...]] = (
        Exercise(
            name="turns_of_a_barrel",
            title="Turns of a turnbuckle",
            story=(
                "A cable must be shortened by {result}. The turnbuckle's barrel has a right and a left "
                "thread, each of {pitch_one} pitch, and both ends go in together."
            ),
            find="how many turns of the barrel",
            unit="",
            of=length_change_both_ends,
            given={
                "result": Range("0.110 in", "0.180 in", "0.001 in"),
                "pitch_one": "0.0312 in|0.8 mm",
                "pitch_other": "0.0312 in|0.8 mm",
            },
            unknown="turns",
            hints=(
                "One turn draws both ends in.",
                "Divide by twice the pitch.",
            ),
        ),
    )

    loop: Annotated[Loop, Choice(options=LOOPS)] = asked(
        "The loop",
        "How the controls are held while the barrel is turned: it decides how many runs share the turn.",
        "free: both runs come to one tension",
    )
    exposed_one: Annotated[Reading | None, _COUNT] = asked(
        "Threads outside, one end", "Counted at the barrel's first end, in halves: 2.5."
    )
    exposed_other: Annotated[Reading | None, _COUNT] = asked(
        "Threads outside, other end", "Counted at the barrel's other end, in halves."
    )
    protractor: Annotated[str, Choice("instruments", measures="angle")] = asked(
        "Protractor", "The instrument that reads the fairleads' slopes.", ""
    )
    rule: Annotated[str, Choice("instruments", measures="length")] = asked(
        "Rule or caliper", "The instrument that measures gaps at fairleads.", ""
    )
    fairleads: list[FairleadRow] = rows("Fairleads", "A row for each: two slopes, or a gap and its distance.")
    pulleys: list[PulleyRow] = rows(
        "Pulleys", "A row for each; give wrap and both tensions only where you want the loss."
    )

    @classmethod
    def figures_used(cls, picked: Mapping[str, Any], aircraft: Aircraft) -> list[str]:
        """The sheet's own, and those of the cable that is picked."""
        return [*super().figures_used(picked, aircraft), *cable_used(picked, aircraft, strength=True)]

    @classmethod
    def start(cls, aircraft: Aircraft, cable: str = "") -> dict[str, Any]:
        """The choices made, and a row for each pulley and fairlead that the file names on the cable (the first)."""
        start = super().start(aircraft)
        start["cable"] = cable or start["cable"]
        run = aircraft.cables.get(start["cable"])
        if run is not None:
            start["fairleads"] = [{"place": place} for place in run.fairleads or ()]
            start["pulleys"] = [{"place": place} for place in run.pulleys or ()]
        return start

    def parts(self, aircraft: Aircraft) -> list[Part]:
        """Both ends' threads, every fairlead and pulley of the run, and the load that the strength is judged by."""
        cable = aircraft.cables.get(self.cable)
        if cable is None:
            return []
        where = f"[cables.{self.cable}]"
        found = []
        if cable.turnbuckle is not None:
            ends = [("one end", self.exposed_one)]
            if cable.turnbuckle.thread_other:
                ends.append(("other end", self.exposed_other))
            found += [Part(f"threads outside the turnbuckle, {end}", count is not None) for end, count in ends]
        load = f"margin against breaking: write greatest_load into {where}"
        found.append(Part(load, cable.greatest_load is not None))
        slopes = {key_of(row.place).casefold() for row in self.fairleads if row.offset or row.before}
        seen = {key_of(row.place).casefold() for row in self.pulleys if row.flange != NOT_LOOKED_AT}
        rows = {"fairlead": [row.place for row in self.fairleads], "pulley": [row.place for row in self.pulleys]}
        for kind, named, looked in (("fairlead", cable.fairleads, slopes), ("pulley", cable.pulleys, seen)):
            if named is None:
                whole = f"{kind}s of this run: name them in {where}, {kind}s = […], or [] for none"
                found.append(Part(whole, done=False))
            places = {
                key_of(place).casefold(): place.strip() for place in [*(named or ()), *rows[kind]] if place.strip()
            }
            found += [Part(f"{kind}, {place}", key in looked) for key, place in places.items()]
        return found

    def _work(self, aircraft: Aircraft) -> Outcome:
        return CableRiggingWork(self, aircraft).whole()


class CableRiggingWork(CableTensionWork):
    """One working of the sheet."""

    sheet: CableRigging

    def __init__(self, sheet: CableRigging, aircraft: Aircraft) -> None:
        super().__init__(sheet, aircraft)
        for name, row_faults in (("fairleads", self._fairlead_faults), ("pulleys", self._pulley_faults)):
            rows = list(enumerate(getattr(sheet, name)))
            for i, row in rows:
                row_faults(f"{name}.{i}", row)
            # its findings would bear one key
            advice = "give each a name of its own"
            self.by_key(name, rows, lambda row: key_of(row.place).casefold(), "place", advice)
        self.settle()

    def _fairlead_faults(self, at: str, row: FairleadRow) -> None:
        given = {name for name in ("before", "after", "offset", "distance") if getattr(row, name) is not None}
        if not given:
            if row.place.strip():
                self.problem(f"{at}.before", "needs two slopes, or a gap and its distance")
        elif not row.place.strip():
            self.problem(f"{at}.place", "is missing: which fairlead is it")
        elif given & {"offset", "distance"} and given & {"before", "after"}:
            self.problem(f"{at}.offset", "must be empty when slopes are given: use one way or the other")
        else:
            pair = ("offset", "distance") if given & {"offset", "distance"} else ("before", "after")
            for name in pair:
                if name not in given:
                    self.problem(f"{at}.{name}", "is missing: both of the pair are needed")

    def _pulley_faults(self, at: str, row: PulleyRow) -> None:
        given = {name for name in ("wrap", "pulling", "slack") if getattr(row, name) is not None}
        if not row.place.strip():
            if given or row.flange != NOT_LOOKED_AT:
                self.problem(f"{at}.place", "is missing: which pulley is it")
        elif given:
            for name in ("wrap", "pulling", "slack"):
                if name not in given:
                    self.problem(f"{at}.{name}", "is missing: the loss needs wrap and both tensions")

    def whole(self) -> Outcome:
        """All of it: tension, what to turn, threads, strength, and the rules along the run."""
        self.work_tension()
        told, self.notes = self.notes, []
        made = self._turnbuckle()
        self._threads(made)
        self._strength()
        looks = self._along_the_run()
        rules = ("fairlead.", "strength_margin", "cable_size")
        self.compare("Rules along the run", [f for f in self.findings if f.key.startswith(rules)])
        if looks:
            self.pictures.append(Looks("Pulleys", looks))
        mine = [*self._to_do(made), *self.notes]
        self.notes = [*told, *mine] if may_be_slack(self.tension) else [*mine, *told]
        return self.outcome(f"{self.sheet.about.title}, {self.cable.named}")

    # the turnbuckle

    def _turnbuckle(self) -> TurnbucklePlan | None:
        cable, limit = self.cable, self.cable.limits.tension
        where = f"[cables.{self.sheet.cable}"
        if cable.turnbuckle is None:
            self.notes.append(f"No turns are worked out: write {where}.turnbuckle] with thread_one and thread_other.")
            return None
        if limit is None or limit.low_si is None or limit.high_si is None:
            self.notes.append(f"No turns are worked out: write both sides of the tension into {where}.limits].")
            return None
        doubt = may_be_slack(self.tension)
        if doubt:
            self.notes.append(
                f"No turns are worked out: the cable {doubt}, and the gauge cannot show how much slack there is to "
                "take up. Tighten by half turns until the gauge shows a tension, then read again."
            )
            return None
        there, day = cable.limits_at.said, self.sheet.temperature.said
        band = tension_band_at(limit, self.slope.value.value, cable.limits_at, self.temperature.value)
        if not band.high_si:
            self.notes.append(
                f"No turns are worked out: at today's {day} a cable rigged to the limit would be slack. Rig it at a "
                f"temperature at which it is taut."
            )
            return None
        shown = self._rounded(band)
        run = self._run(cable.turnbuckle)
        length, axial, felt, runs, one, other = run
        step = float(cable.turnbuckle.step.si)
        # aimed for and judged at the limit's temperature, as the verdict is, with all that is not known on the way
        counted = tuple(end for end in (self.sheet.exposed_one, self.sheet.exposed_other) if end is not None)
        plan = turnbuckle_plan(
            self.carried, limit, length, axial, felt, runs, one, other,
            tuple(end.si for end in counted), step, self._share(runs),
        )  # fmt: skip
        made = self._as_it_will_be_read(plan, limit)
        wanted = Measured((limit.low_si + limit.high_si) / 2, Force) - self.carried
        middle = from_si((limit.low_si + limit.high_si) / 2, Force)
        line = f"middle of the limit at {there}, {say(middle)}, less {say(self.carried)} = {say(wanted)}"
        cited = sources.DEFINITION.at("change wanted")
        self.step("Change of tension wanted", [line], wanted, cited)
        fewest = ", at least" if cable.airframe_stiffness is None else ""
        title = f"Turns to mid-band of the day{fewest}"
        self.work(title, turnbuckle_turns, wanted, *run)
        if made.turns:
            rigid = ", if the airframe were rigid" if fewest else ""
            self.work(f"Change of tension made by whole steps{rigid}", tension_change_of_turns, made.turns, *run)
            self._other_run(plan)
        judged = self.findings[0].verdict.word
        self.tell("turns", title, made.exact)
        self.pictures.insert(1, self._turns_picture(made))
        now = self._in_the_band("Tension now, against the band of the day", self.tension, self.carried, judged, shown)
        after = self.tension + made.change
        then = self._in_the_band("Expected after turning", after, made.after, made.verdict.word, shown)
        drawn = bars("Tension today", [now, then] if made.turns else [now], self.system)
        rows = [*drawn.rows[:1], *(forecast(row) for row in drawn.rows[1:])]
        self.pictures.insert(2, Bars(drawn.title, rows))
        known = max((side.expanded for side in self.today if side is not None), key=lambda size: float(size.m_as("N")))
        around = f", each side known to {say(known, digits=2)}" if float(known.m_as("N")) else ""
        self.notes.append(f"Today's band at {day}: {shown.text}{around}.")
        return made

    def _share(self, runs: int) -> Measured | None:
        """The part of a rigid airframe's change of tension that arrives, where nobody knows how far it gives way.

        It is the slope's own part where that is not known either: an airframe that gives way more, gives way to both.
        Pinned at both ends the other runs prop it, and 1 - 1/n of the change arrives at the least.
        """
        if self.cable.airframe_stiffness is not None:
            return None
        share = self.slope.share or share_not_known()
        together = self.cable.runs_tightened_together
        if runs == together:
            return share
        return share / together + Measured(1 - 1 / together, Ratio)

    def _as_it_will_be_read(self, made: TurnbucklePlan, limit: Limit) -> TurnbucklePlan:
        """The forecast, known no better than the reading after turning and the verdict on it will be.

        The gauge may know the tension expected less well than the one in hand; and what is not known of the airframe
        may cancel between the turns and the way to the limit's temperature, but will not in that verdict.
        """
        if not made.turns:
            return made
        then = self.tension + made.change
        spread = max(self.known_at(float(then.si), self.readings), float(self.tension.standard_si))
        given = from_si(max(float(then.si), 0.0), Force), from_si(spread, Force)
        read_then = measured(given[0], Force, "tension as it will be read", given[1], stated_as="standard")
        later = tension_at_temperature(read_then, self.slope.value, self.temperature, self.cable.limits_at)
        after = _no_better(made.after, later)
        change = _no_better(then, read_then) - self.tension
        return replace(made, after=after, change=change, verdict=judged_tension(limit, after, limit.name))

    @staticmethod
    def _in_the_band(title: str, today: Measured, carried: Measured, word: str, band: Limit) -> Finding:
        """A tension of today beside the day's band, with the doubt and the verdict of the same carried to the limit's
        temperature, which is what is judged."""
        figure = Measured(today.si, Force, carried.components, today.unit)
        return Finding("", title, replace(band.judge(figure), word=word))

    def _other_run(self, made: TurnbucklePlan) -> None:
        """What the other runs lose in a loop that is pinned at both ends."""
        cable, runs = self.cable, self.cable.runs_tightened_together
        if self.sheet.loop.startswith("free") or runs == 1:
            return
        if cable.airframe_stiffness is None:
            self.notes.append(
                "The other run slackens as the airframe gives, and nobody knows by how much: read it too."
            )
            return
        lost = self.work(
            "Change of tension of the other run",
            tension_change_of_other_run,
            made.change,
            cable.airframe_stiffness,
            str(runs),
            cable.length,
            self._axial(),
        )
        self.notes.append(
            f"The other run changes by {say(lost, digits=3)}, depending on how much the airframe gives. Read it too."
        )

    def _axial(self) -> Any:
        factor = cable_construction(self.cable.construction, self.cable.steel)
        return axial_stiffness_from_stretch_factor(self.cable.diameter, factor.stretch_factor)

    @staticmethod
    def _rounded(band: Limit) -> Limit:
        """The band of the day to a tenth of a pound or so, as it is told."""
        low, high = (say(from_si(float(side or 0.0), Force), digits=3) for side in (band.low_si, band.high_si))
        return Limit("tension today", Force, low, high, band.source)

    def _run(self, turnbuckle: Turnbuckle) -> tuple[Any, ...]:
        """Length, stiffnesses, runs and pitches, as the turnbuckle's relations take them."""
        cable = self.cable
        axial = self._axial()
        together = cable.runs_tightened_together
        free = self.sheet.loop.startswith("free")
        runs = together if free else 1
        if cable.airframe_stiffness is None:
            felt: Any = AS_GOOD_AS_RIGID
            self.notes.append(
                "The aircraft file gives no airframe_stiffness for this cable: the turns are for a rigid "
                "airframe, which is the fewest it can take. Go by half turns and read again."
            )
        elif free:
            felt = stiffness_felt_by_one_run(cable.airframe_stiffness, str(runs))
        else:
            felt = stiffness_felt_by_pinned_run(cable.airframe_stiffness, str(together), cable.length, axial)
        return (cable.length, axial, felt, runs, *turnbuckle.pitches)

    def _turns_picture(self, made: TurnbucklePlan) -> Turns:
        way = -1 if made.turns > 0 else 1 if made.turns < 0 else 0
        amount = _turns_words(made.turns)
        return Turns(
            "What to turn",
            ("Middle of the day's band",),
            [TurnRow(f"Turnbuckle, {self.cable.named}", [Turn(amount, way)], self._how(made))],
        )

    def _how(self, made: TurnbucklePlan) -> str:
        assert self.cable.turnbuckle is not None
        if not made.turns:
            return ""
        one, other = self.cable.turnbuckle.thread_one, self.cable.turnbuckle.thread_other
        if not other:
            return "Hold the cable's terminal still, turn the threaded end, and count."
        right = other if thread(one).left_hand else one
        round_ = "counter-clockwise" if made.turns > 0 else "clockwise"
        seen = f"as seen from its right-hand end ({right})"
        return f"Hold both terminals still; turn the barrel {round_} {seen}, by half turns."

    def _to_do(self, made: TurnbucklePlan | None) -> list[str]:
        if made is None:
            return []
        sentence = f"{capital(made.sentence)}."
        if made.turns != made.wanted:
            self.lead.append(self._held_by_threads(made))
        how = self._how(made)
        self.say_to_do(f"{sentence} {how}".strip(), *(("tension_at_limit_temperature",) if made.turns else ()))
        if not made.turns and made.wanted:
            return [sentence]
        if not made.turns:
            return [
                f"{sentence} The tension is already closer to the middle of today's band than another half step "
                "would bring it."
            ]
        return [
            f"{sentence} {how}",
            *self._expected(made),
            "On a loop the other run's tension changes too: read both, and check that neutral is still neutral.",
        ]

    @staticmethod
    def _held_by_threads(made: TurnbucklePlan) -> str:
        """That the turns which the tension asks for are more than the threads allow, and what to do then."""
        if made.wanted > 0:
            why = "one end would be in the barrel past its last thread, where the terminals may meet"
            do = "Have the cable shortened, or take up at another turnbuckle."
        else:
            why = f"more threads would stand outside than the rule allows ({threads_exposed_limit().text})"
            do = "Have a longer cable made, or slacken at another turnbuckle."
        allowed = f"only {_turns_words(made.turns)}" if made.turns else "no turn that way"
        return (
            f"The turnbuckle's threads do not allow the {_turns_words(made.wanted)} that the tension calls for, "
            f"{allowed}: {why}. {do}"
        )

    def _expected(self, made: TurnbucklePlan) -> list[str]:
        """The forecast in words: today's tension, and the verdict at the limit's temperature that it would come to."""
        then, there = self.tension + made.change, self.cable.limits_at.said
        if may_be_slack(then):
            return [
                f"Expected then: {say(then)} at today's temperature, and the cable {may_be_slack(then)}: it could not "
                f"be read today."
            ]
        return [
            f"Expected then: {say(then)} at today's temperature; corrected to {there} {say(made.after)}, "
            f"{made.verdict.word}. This leaves out friction and a new cable's stretch: do not count on it until you "
            "have read the tension again."
        ]

    def _threads(self, made: TurnbucklePlan | None) -> None:
        rule = threads_exposed_limit()
        for name, end in (("one", "one end"), ("other", "other end")):
            reading = getattr(self.sheet, f"exposed_{name}")
            if reading is None:
                continue
            counted = measured(reading, Ratio, f"threads outside, {end}")
            title = f"Threads outside the barrel, {end}"
            self.judge(f"threads.{name}", title, rule, counted)
            if made is None or not made.turns:
                continue
            left = self.work(f"Threads outside after turning, {end}", threads_exposed_after, reading, made.turns)
            if rule.word(left) != IN_LIMITS:
                self.notes.append(
                    f"After turning {say(left, digits=2)} threads stand outside at the {end}, more than the rule "
                    "allows."
                )
        one, other = self.sheet.exposed_one, self.sheet.exposed_other
        if one is not None and other is not None and abs(one.si - other.si) > UNEQUAL:
            self.notes.append(
                f"The terminals are not screwed in equally: {one.understood} of the threads outside at the one "
                f"end, {other.understood} at the other. Screw them in evenly ({sources.AC_43_13_1B.at('7-166')})."
            )

    # the rules

    def _strength(self) -> None:
        cable, title = self.cable, "Margin against breaking"
        diameter = measured(cable.diameter, Length, "cable diameter").shown_in(("in", "mm"))
        self.found("cable_size", "Cable diameter", smallest_primary_cable_limit().judge(diameter))
        if cable.greatest_load is None:
            self.notes.append("greatest_load is the hardest pull, with the factor the manual calls for.")
            return
        try:
            strength, citation = breaking_strength(cable.diameter, cable.construction, cable.steel)
        except QuantityError as problem:
            self.notes.append(str(problem))
            return
        line = f"{cable.diameter.understood}, {cable.construction}, {cable.steel}: {say(strength, digits=4)}"
        self.step("Least breaking strength of the cable", [line], measured(strength, Force, "table"), citation)
        load = measured(cable.greatest_load, Force, "greatest load")
        margin = self.work(title, strength_margin, strength, load)
        self.judge("strength_margin", title, cable.limits.strength_margin, margin, physical=BEARS)

    def _along_the_run(self) -> list[Look]:
        for i, row in enumerate(self.sheet.fairleads):
            if row.place.strip():
                self._fairlead(i, row)
        looks = []
        for pulley in self.sheet.pulleys:
            place = pulley.place.strip()
            if not place:
                continue
            seen = {"not looked at": None, "clear of the flange": False, "rubs the flange": True}[pulley.flange]
            verdict = pulley_verdict(seen, place)
            looks.append(Look(f"Pulley, {place}", pulley.flange, verdict.word))
            if seen is not None:
                self.found(f"pulley.{key_of(place)}", f"Pulley, {place}: cable rubs the flange", verdict)
            self._friction(pulley, place)
        self._safety_wire()
        return looks

    def _fairlead(self, i: int, row: FairleadRow) -> None:
        place = row.place.strip()
        title = f"Fairlead, {place}: change of direction"
        pair = ("before", "after") if row.offset is None else ("offset", "distance")
        formula = change_of_direction if row.offset is None else angle_from_offset
        given = [self.reading(f"fairleads.{i}.{name}", f"{name}, fairlead {place}") for name in pair]
        self.judge(f"fairlead.{key_of(place)}", title, fairlead_limit(), self.work(title, formula, *given))

    def _friction(self, row: PulleyRow, place: str) -> None:
        if row.wrap is None or row.pulling is None or row.slack is None:
            return
        pulling, slack = (
            measured(side, Force, f"{name} side, pulley {place}")
            for name, side in (("pulling", row.pulling), ("slack", row.slack))
        )
        loss = pulling - slack
        title = f"Pulley, {place}: tension lost"
        line = f"{say(pulling)} less {say(slack)} = {say(loss)}"
        self.step(title, [line], loss, sources.DEFINITION.at("loss across a pulley"))
        self.tell(f"loss.{key_of(place)}", title, loss)
        apparent = f"Pulley, {place}: apparent friction"
        friction = self.work(apparent, friction_coefficient_from_tensions, pulling, slack, row.wrap)
        slides = float(friction.si) - float(friction.expanded_si) > SLIDES
        verdict = judge(FREE if slides else None, friction, apparent)
        self.found(f"friction.{key_of(place)}", apparent, verdict, aside=not slides)
        if float(friction.si) < -float(friction.expanded_si):
            self.notes.append(
                f"Pulley, {place}: the slack side pulls harder than the pulling side. Were the two readings swapped?"
            )
        elif slides:
            self.notes.append(
                f"Pulley, {place}: an apparent friction of {say(friction)} means the cable is sliding over it: the "
                f"pulley does not turn. Free or replace it before setting the tension."
            )

    def _safety_wire(self) -> None:
        try:
            wires = safety_wire_for(self.cable.diameter)
        except QuantityError:
            return
        ways = "; ".join(
            f"{wire.wrap} wrap, {self._wire(wire.diameter)}{' or thicker' if wire.at_least else ''}, {wire.material}"
            for wire in wires
        )
        cited = sources.AC_43_13_1B.at("Table 7-8")
        self.notes.append(f"Safety wire for this size of cable, any one of: {ways} ({cited}).")

    def _wire(self, printed: str) -> str:
        """A wire's diameter as it is printed and sold, in inches; before it in the metric system what that is in mm."""
        if self.system == "us":
            return printed
        return f"{say(read(printed, Length).value, 'mm', digits=3)} ({printed})"


def _no_better(forecast: Measured, later: Measured) -> Measured:
    """The forecast, with what the later figure is known less well than it."""
    more = float(later.standard_si) ** 2 - float(forecast.standard_si) ** 2
    if more <= 0:
        return forecast
    kind = required_kind(Force)
    label = "what the reading after turning will be known to"
    given = from_si(0.0, kind), from_si(math.sqrt(more), kind)
    return forecast + measured(given[0], Force, label, given[1], stated_as="standard")


def _turns_words(turns: float) -> str:
    if not turns:
        return "as it is"
    size = abs(turns)
    return f"{size:g} turn{'s' if size > 1 else ''} {'tighter' if turns > 0 else 'looser'}"
