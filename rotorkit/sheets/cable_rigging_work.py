"""The working of the cable-rigging sheet: what the cable-tension sheet works, the turnbuckle's turns, and the rules."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any

from rotorkit import sources
from rotorkit.aircraft import Aircraft, Turnbuckle
from rotorkit.limits import IN_LIMITS, Limit
from rotorkit.measured import Measured, measured
from rotorkit.quantities import Force, Length, QuantityError, Ratio, from_si, required_kind, say
from rotorkit.rigging import (
    TurnbucklePlan,
    angle_from_offset,
    axial_stiffness_from_stretch_factor,
    breaking_strength,
    cable_construction,
    change_of_direction,
    fairlead_limit,
    friction_coefficient_from_tensions,
    pulley_verdict,
    safety_wire_for,
    smallest_primary_cable_limit,
    stiffness_felt_by_one_run,
    strength_margin,
    tension_band_at,
    tension_change_of_turns,
    thread,
    threads_exposed_after,
    threads_exposed_limit,
    turnbuckle_plan,
    turnbuckle_turns,
)
from rotorkit.sheets.base import Finding, Outcome, SheetError, bars, judge, plain_step
from rotorkit.sheets.blade_stations import key_of
from rotorkit.sheets.cable_tension_work import CableTensionWork
from rotorkit.sheets.picture import Look, Looks, Picture, Turn, TurnRow, Turns

if TYPE_CHECKING:
    from rotorkit.sheets.cable_rigging import CableRigging, FairleadRow, PulleyRow

__all__ = ["CableRiggingWork"]

SLIDES = 0.1
"""An apparent friction coefficient from which on the cable slides over its pulley instead of turning it (common
practice, no source)."""
UNEQUAL = 0.75
"""Threads by which the two ends may differ, counted in halves, and still be in by equal amounts (our own choice)."""
AS_GOOD_AS_RIGID = "1e15 N/m"
"""Stands for an airframe that does not give, where the aircraft file does not say how much it gives."""


class CableRiggingWork(CableTensionWork):
    """One working of the sheet."""

    sheet: CableRigging

    def __init__(self, sheet: CableRigging, aircraft: Aircraft) -> None:
        super().__init__(sheet, aircraft)
        self.aircraft = aircraft
        self.notes: list[str] = []
        problems = [p for i, row in enumerate(sheet.fairleads) for p in _fairlead_faults(i, row)]
        problems += [p for i, row in enumerate(sheet.pulleys) for p in _pulley_faults(i, row)]
        for rows, name in ((sheet.fairleads, "fairleads"), (sheet.pulleys, "pulleys")):
            problems += _alike(rows, name)
        if problems:
            raise SheetError(problems)

    def outcome(self) -> Outcome:
        base = super().outcome()
        findings, pictures = list(base.findings), list(base.pictures)
        made = self._turnbuckle(findings, pictures)
        findings += self._threads(made)
        findings += self._strength()
        looks = self._along_the_run(findings)
        rules = [f for f in findings if f.key.startswith(("fairlead.", "strength_margin", "cable_size"))]
        pictures.append(bars("Rules along the run", rules, self.system))
        if looks:
            pictures.append(Looks("Pulleys", looks))
        return Outcome(base.title, findings, self.steps, pictures, [*self._to_do(made), *self.notes, *base.remarks])

    # the turnbuckle

    def _turnbuckle(self, findings: list[Finding], pictures: list[Picture]) -> TurnbucklePlan | None:
        cable, limit = self.cable, self.cable.limits.tension
        where = f"[cables.{self.sheet.cable}"
        if cable.turnbuckle is None:
            self.notes.append(f"No turns are worked out: write {where}.turnbuckle] with thread_one and thread_other.")
            return None
        if limit is None or limit.low_si is None or limit.high_si is None:
            self.notes.append(f"No turns are worked out: write both sides of the tension into {where}.limits].")
            return None
        target = tension_band_at(limit, self.slope.value.value, cable.limits_at, self.temperature.value)
        shown = self._rounded(target)
        run = self._run(cable.turnbuckle)
        length, axial, felt, runs, one, other = run
        step = float(cable.turnbuckle.step.si)
        made = turnbuckle_plan(self.tension, target, length, axial, felt, runs, one, other, step=step)
        assert target.low_si is not None
        assert target.high_si is not None
        middle = from_si((target.low_si + target.high_si) / 2, required_kind(Force))
        wanted = Measured((target.low_si + target.high_si) / 2, Force) - self.tension
        line = f"middle of today's band {say(middle)} less {say(self.tension)} = {say(wanted)}"
        cited = sources.DEFINITION.at("change wanted")
        self.steps.append(plain_step("Change of tension wanted today", [line], wanted, cited))
        self._worked("Turns to mid-band of the day", turnbuckle_turns, wanted, *run)
        if made.turns:
            self._worked("Change of tension that whole steps make", tension_change_of_turns, made.turns, *run)
        title = "Turns to mid-band of the day"
        findings.append(Finding("turns", title, judge(None, made.exact, title), aside=True))
        pictures.insert(1, self._turns_picture(made))
        now = Finding("", "Tension now, against the band of the day", shown.judge(self.tension))
        after = Finding("", "Expected after turning", shown.judge(made.after))
        pictures.insert(2, bars("Tension today", [now, after] if made.turns else [now], self.system))
        self.notes.append(f"Today's band at {self.sheet.temperature.understood}: {shown.text}.")
        return made

    @staticmethod
    def _rounded(band: Limit) -> Limit:
        """The band of the day to a tenth of a pound or so, as it is told."""
        low, high = (
            say(from_si(float(side or 0.0), required_kind(Force)), digits=3) for side in (band.low_si, band.high_si)
        )
        return Limit("tension today", Force, low, high, band.source)

    def _run(self, turnbuckle: Turnbuckle) -> tuple[Any, ...]:
        """Length, stiffnesses, runs and pitches, as the turnbuckle's relations take them."""
        cable = self.cable
        factor = cable_construction(cable.construction, cable.steel)
        axial = axial_stiffness_from_stretch_factor(cable.diameter, factor.stretch_factor)
        runs = cable.runs_tightened_together if self.sheet.loop.startswith("free") else 1
        if cable.airframe_stiffness is None:
            felt: Any = AS_GOOD_AS_RIGID
            self.notes.append(
                "The aircraft file gives no airframe_stiffness for this cable: the turns are those of a rigid "
                "airframe, the fewest that it can take. Turn by halves and read again."
            )
        else:
            felt = stiffness_felt_by_one_run(cable.airframe_stiffness, str(runs))
        return (cable.length, axial, felt, runs, *turnbuckle.pitches)

    def _turns_picture(self, made: TurnbucklePlan) -> Turns:
        way = -1 if made.turns > 0 else 1 if made.turns < 0 else 0
        amount = _turns_words(made.turns)
        return Turns(
            "What to turn",
            ("Middle of the day's band",),
            [TurnRow(f"Turnbuckle, {self.cable.title}", [Turn(amount, way)], self._how(made))],
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
        sentence = f"{made.sentence[:1].upper()}{made.sentence[1:]}."
        if not made.turns:
            return [
                f"{sentence} The tension lies nearer to the middle of today's band than half a step would bring it."
            ]
        return [
            f"{sentence} {self._how(made)}",
            f"Expected then: {say(made.after)} at today's temperature, {made.verdict.word}. Friction and a new cable's "
            f"stretch are not in it: nothing is right until it has been read again.",
            "Of a loop the other run's tension changes too: read both, and see that neutral is still neutral.",
        ]

    def _threads(self, made: TurnbucklePlan | None) -> list[Finding]:
        rule, found = threads_exposed_limit(), []
        for name, end in (("one", "one end"), ("other", "other end")):
            reading = getattr(self.sheet, f"exposed_{name}")
            if reading is None:
                continue
            counted = measured(reading, Ratio, f"threads outside, {end}")
            title = f"Threads outside the barrel, {end}"
            found.append(Finding(f"threads.{name}", title, replace(rule, name=title).judge(counted)))
            if made is None or not made.turns:
                continue
            left = self._worked(f"Threads outside after turning, {end}", threads_exposed_after, reading, made.turns)
            if float(left.si) < 0:
                self.notes.append(
                    f"After turning the {end} would be in the barrel past its last thread: the terminals may meet in "
                    f"its middle. Make the cable shorter, or shift the take-up to another turnbuckle."
                )
            elif rule.judge(left).word != IN_LIMITS:
                self.notes.append(
                    f"After turning {say(left, digits=2)} threads stand outside at the {end}, more than the rule "
                    "allows."
                )
        one, other = self.sheet.exposed_one, self.sheet.exposed_other
        if one is not None and other is not None and abs(one.si - other.si) > UNEQUAL:
            self.notes.append(
                f"The terminals are not in by equal amounts: {one.understood} of the threads outside at the one "
                f"end, {other.understood} at the other. Screw them in evenly ({sources.AC_43_13_1B.at('7-166')})."
            )
        return found

    # the rules

    def _strength(self) -> list[Finding]:
        cable = self.cable
        size = smallest_primary_cable_limit()
        diameter = measured(cable.diameter, Length, "cable diameter").shown_in(("in", "mm"))
        found = [Finding("cable_size", "Cable diameter", size.judge(diameter))]
        if cable.greatest_load is None:
            self.notes.append("greatest_load is the hardest pull, with the factor that the manual asks for.")
            return found
        try:
            strength, citation = breaking_strength(cable.diameter, cable.construction, cable.steel)
        except QuantityError as problem:
            self.notes.append(str(problem))
            return found
        line = f"{cable.diameter.understood}, {cable.construction}, {cable.steel}: {say(strength, digits=4)}"
        self.steps.append(
            plain_step("Least breaking strength of the cable", [line], measured(strength, Force, "table"), citation)
        )
        load = measured(cable.greatest_load, Force, "greatest load")
        margin = self._worked("Margin against breaking", strength_margin, strength, load)
        limit = cable.limits.strength_margin
        title = "Margin against breaking"
        found.append(Finding("strength_margin", title, judge(_named(limit, title), margin, title)))
        return found

    def _along_the_run(self, findings: list[Finding]) -> list[Look]:
        for i, row in enumerate(self.sheet.fairleads):
            if row.place.strip():
                findings.append(self._fairlead(i, row))
        looks = []
        for pulley in self.sheet.pulleys:
            place = pulley.place.strip()
            if not place:
                continue
            seen = {"not looked at": None, "clear of the flange": False, "rubs the flange": True}[pulley.flange]
            verdict = pulley_verdict(seen, place)
            looks.append(Look(f"Pulley, {place}", pulley.flange, verdict.word))
            if seen is not None:
                findings.append(Finding(f"pulley.{key_of(place)}", f"Pulley, {place}: cable rubs the flange", verdict))
            findings += self._friction(pulley, place)
        self._safety_wire()
        return looks

    def _fairlead(self, i: int, row: FairleadRow) -> Finding:
        place = row.place.strip()
        title = f"Fairlead, {place}: change of direction"

        def reading(name: str) -> Measured:
            return self.sheet.measured(f"fairleads.{i}.{name}", f"{name}, fairlead {place}", self.aircraft)

        if row.offset is not None:
            angle = self._worked(title, angle_from_offset, reading("offset"), reading("distance"))
        else:
            angle = self._worked(title, change_of_direction, reading("before"), reading("after"))
        return Finding(f"fairlead.{key_of(place)}", title, replace(fairlead_limit(), name=title).judge(angle))

    def _friction(self, row: PulleyRow, place: str) -> list[Finding]:
        if row.wrap is None or row.pulling is None or row.slack is None:
            return []
        pulling, slack = (
            measured(side, Force, f"{name} side, pulley {place}")
            for name, side in (("pulling", row.pulling), ("slack", row.slack))
        )
        loss = pulling - slack
        title = f"Pulley, {place}: tension lost"
        line = f"{say(pulling)} less {say(slack)} = {say(loss)}"
        self.steps.append(plain_step(title, [line], loss, sources.DEFINITION.at("loss across a pulley")))
        apparent = f"Pulley, {place}: apparent friction"
        friction = self._worked(apparent, friction_coefficient_from_tensions, pulling, slack, row.wrap)
        if float(friction.si) < -float(friction.expanded_si):
            self.notes.append(
                f"Pulley, {place}: the slack side pulls harder than the pulling side. Were they exchanged?"
            )
        elif float(friction.si) - float(friction.expanded_si) > SLIDES:
            self.notes.append(
                f"Pulley, {place}: an apparent friction of {say(friction)} means that the cable slides over it: the "
                f"pulley does not turn. Free or replace it before the tension is set."
            )
        return [
            Finding(f"loss.{key_of(place)}", title, judge(None, loss, title), aside=True),
            Finding(f"friction.{key_of(place)}", apparent, judge(None, friction, apparent), aside=True),
        ]

    def _safety_wire(self) -> None:
        try:
            wires = safety_wire_for(self.cable.diameter)
        except QuantityError:
            return
        ways = "; ".join(
            f"{wire.wrap} wrap, {wire.diameter}{' or thicker' if wire.at_least else ''}, {wire.material}"
            for wire in wires
        )
        cited = sources.AC_43_13_1B.at("Table 7-8")
        self.notes.append(f"Safety wire for this size of cable, any one of: {ways} ({cited}).")


def _named(limit: Limit | None, name: str) -> Limit | None:
    return None if limit is None else replace(limit, name=name)


def _turns_words(turns: float) -> str:
    if not turns:
        return "as it is"
    size = abs(turns)
    return f"{size:g} turn{'s' if size > 1 else ''} {'tighter' if turns > 0 else 'looser'}"


def _fairlead_faults(i: int, row: FairleadRow) -> list[tuple[str, str]]:
    given = {name for name in ("before", "after", "offset", "distance") if getattr(row, name) is not None}
    at = f"fairleads.{i}"
    if not given:
        return [(f"{at}.before", "needs two slopes, or a gap and its distance")] if row.place.strip() else []
    if not row.place.strip():
        return [(f"{at}.place", "is missing: which fairlead is it")]
    if given & {"offset", "distance"} and given & {"before", "after"}:
        return [(f"{at}.offset", "must be empty where slopes are given: one way or the other")]
    pair = ("offset", "distance") if given & {"offset", "distance"} else ("before", "after")
    return [(f"{at}.{name}", "is missing: both of the pair are needed") for name in pair if name not in given]


def _pulley_faults(i: int, row: PulleyRow) -> list[tuple[str, str]]:
    given = {name for name in ("wrap", "pulling", "slack") if getattr(row, name) is not None}
    at = f"pulleys.{i}"
    if not row.place.strip():
        looked = given or row.flange != "not looked at"
        return [(f"{at}.place", "is missing: which pulley is it")] if looked else []
    if not given:
        return []
    return [
        (f"{at}.{name}", "is missing: the loss needs wrap and both tensions")
        for name in ("wrap", "pulling", "slack")
        if name not in given
    ]


def _alike(rows: Any, name: str) -> list[tuple[str, str]]:
    """A place that stands twice: its findings would bear one key."""
    seen: set[str] = set()
    found = []
    for i, row in enumerate(rows):
        key = key_of(row.place).casefold()
        if key and key in seen:
            found.append((f"{name}.{i}.place", "stands in a row above already: give each a name of its own"))
        seen.add(key)
    return found
