"""Cable rigging: tension against the day's band, what to turn at the turnbuckle, and the rules along the run."""

from __future__ import annotations

from typing import Annotated, Any, ClassVar, Literal, get_args

from pydantic import Field

from rotorkit import cautions
from rotorkit.aircraft import Aircraft
from rotorkit.entries import Choice, Entry
from rotorkit.quantities import Angle, Force, Length, Ratio, Reading
from rotorkit.sheets.base import About, Outcome, Part, Row
from rotorkit.sheets.blade_stations import key_of
from rotorkit.sheets.cable_rigging_work import CableRiggingWork
from rotorkit.sheets.cable_tension import CableTension

__all__ = ["CableRigging", "FairleadRow", "PulleyRow"]

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

    place: str = Field("", title="Fairlead", description="Where it is, in words.")
    before: Annotated[Reading | None, _SLOPE] = Field(
        None,
        title="Slope before",
        description="Of the cable ahead of the fairlead, read in the plane of the bend.",
    )
    after: Annotated[Reading | None, _SLOPE] = Field(
        None, title="Slope after", description="Of the cable behind it, the protractor the same way round."
    )
    offset: Annotated[Reading | None, _LENGTH] = Field(
        None,
        title="Or: gap",
        description="Between the cable and a straightedge that is laid along it on the other side of the fairlead.",
    )
    distance: Annotated[Reading | None, _LENGTH] = Field(
        None, title="At distance", description="From the fairlead, along the straightedge, where the gap was measured."
    )


class PulleyRow(Row):
    """One pulley: does the cable rub, does the pulley turn."""

    place: str = Field("", title="Pulley", description="Where it is, in words.")
    flange: Annotated[Flange, Choice(options=FLANGES)] = Field(
        "not looked at",
        title="Cable and flange",
        description="Look along the cable with the control at both ends of its travel.",
    )
    wrap: Annotated[Reading | None, Entry(Angle, ("deg", "deg"), ("1 deg", "720 deg"))] = Field(
        None, title="Wrap", description="Angle by which the cable changes its direction there."
    )
    pulling: Annotated[Reading | None, Entry(Force, ("lbf", "N"), ("1 lb", "2000 lb"))] = Field(
        None,
        title="Pulling side",
        description="Tension on the side that was pulled last, through the gauge's table; ± what it is known to.",
    )
    slack: Annotated[Reading | None, Entry(Force, ("lbf", "N"), ("1 lb", "2000 lb"))] = Field(
        None, title="Slack side", description="Tension beyond the pulley, read at once after, the control not moved."
    )


class CableRigging(CableTension):
    """One run of control cable rigged: tension, turnbuckle, strength, fairleads, pulleys."""

    name: ClassVar[str] = "cable_rigging"
    about: ClassVar[About] = About(
        title="Cable rigging",
        settles=(
            "What a control cable's tension should be today, how many turns of the turnbuckle bring it there, what "
            "that leaves of the threads, and whether the run keeps the rules: size, strength, fairleads, pulleys."
        ),
        when=(
            "When a cable is rigged for the first time, replaced or re-tensioned; at each inspection that asks for "
            "cable tension; when the controls drag, wander, or the tension of the two runs differs."
        ),
        tools=(
            "cable tension gauge with its own calibration table, and the riser that the table names for this cable",
            "thermometer laid on the airframe beside the cable",
            "two rods for the turnbuckle: one holds the terminal, one turns the barrel; cable clamps and rigging pins",
            "protractor, or straightedge and rule, for the fairleads; a lamp and a mirror for the pulleys",
            "safety wire or clips of the kind that the manual names",
        ),
        procedure=(
            "Let airframe and cable come to one temperature, out of the sun, the engine cold: an hour or more.",
            "Before anything is turned look along the whole run: broken wires (a cloth drawn along it catches on "
            "them), wear at pulleys, every pulley turning freely, no fairlead bending the cable.",
            "Work the controls through their range ten times, set them to neutral, rigging pin in. Say below whether "
            "the loop is free to come to one tension, or pinned at both ends.",
            "Read the gauge three times in the middle of a free length, lifted off and set on afresh; read the "
            "thermometer at the same time.",
            "Count the threads outside the barrel at both ends, in halves.",
            "The sheet gives today's band, the turns to its middle and the tension expected then. Hold both terminals "
            "so that the cable does not twist, and turn by half turns.",
            "Of a loop tighten both runs by turns, so that neutral stays neutral; after each half turn look at the "
            "pedals or the stick.",
            "Work the controls again, wait, read again. A new cable gives: read it the next day and after some hours.",
            "Read the tension on both sides of a pulley at once after the control was moved one way: what is lost "
            "there shows whether the pulley turns or the cable slides.",
            "When the tension stands in today's band: threads within the rule, safety wire or clips in, a second "
            "person looks, and the blade angles are read again.",
        ),
        sign_convention=(
            "Tension is positive. Turns of the barrel are positive tighter. The pulling side of a pulley is the side "
            "toward which the cable moved last; it bears the greater tension."
        ),
        cautions=(
            cautions.ENGINE_OFF,
            cautions.HANDS_IN_LINKAGE,
            cautions.CABLES_UNDER_LOAD,
            cautions.THREADS_OF_TURNBUCKLES,
            cautions.MANUAL_GOVERNS,
            cautions.LOCKING,
            cautions.INSPECTION,
            cautions.AN_AID,
        ),
        not_covered=(
            "wear, broken wires, corrosion and the strength of terminals, swages and thimbles",
            "the permanent stretch of a new cable; temperature that differs along the run",
            "the least pulley diameter for a cable, guards and their clearance: the manual's drawing governs",
            "tension regulators and springs in the run",
            "travel and blade angles after the tension was changed: read them again",
        ),
    )

    loop: Annotated[Loop, Choice(options=LOOPS)] = Field(
        "free: both runs come to one tension",
        title="The loop",
        description="How the controls stand while the barrel is turned: it decides how many runs share the turn.",
    )
    exposed_one: Annotated[Reading | None, _COUNT] = Field(
        None, title="Threads outside, one end", description="Counted at the barrel's first end, in halves: 2.5."
    )
    exposed_other: Annotated[Reading | None, _COUNT] = Field(
        None, title="Threads outside, other end", description="Counted at the barrel's other end, in halves."
    )
    protractor: Annotated[str, Choice("instruments", measures="angle")] = Field(
        "", title="Protractor", description="With which the fairleads' slopes are read."
    )
    rule: Annotated[str, Choice("instruments", measures="length")] = Field(
        "", title="Rule or caliper", description="With which gaps at fairleads are measured."
    )
    fairleads: list[FairleadRow] = Field(
        default_factory=list, title="Fairleads", description="A row for each: two slopes, or a gap and its distance."
    )
    pulleys: list[PulleyRow] = Field(
        default_factory=list,
        title="Pulleys",
        description="A row for each; wrap and both tensions only where the loss is wanted.",
    )

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
        return CableRiggingWork(self, aircraft).outcome()
