"""Control corners: every combination of the controls' ends, which were tried, and what touched or came near."""

from __future__ import annotations

from typing import Annotated, Any, ClassVar, Literal, get_args

from rotorkit import sources
from rotorkit.aircraft import Aircraft
from rotorkit.aircraft.entries import Choice, Entry, asked, rows
from rotorkit.judging.limits import IN_LIMITS, OUT_OF_LIMITS, UNDONE, Limit, Verdict
from rotorkit.judging.measured import Measured, measured
from rotorkit.pictures.data import Look, Looks
from rotorkit.quantities import Length, Ratio, Reading, from_si, say
from rotorkit.quantities.errors import shortened
from rotorkit.rigging import CornerMap, CornerReading, angle_from_offset, corner_map
from rotorkit.rigging.control_corners import CornerFinding, corner_words
from rotorkit.sheets.base import NOT_LOOKED_AT, About, Needed, Outcome, Part, Row, Sheet
from rotorkit.sheets.exercises import Exercise, Range
from rotorkit.sheets.working import Working, capital, key_of
from rotorkit.sources import cautions

Contact = Literal["not looked at", "free", "touches or binds"]
CONTACTS: tuple[str, ...] = get_args(Contact)
Reached = Literal["not looked at", "every control", "one falls short"]
REACHED: tuple[str, ...] = get_args(Reached)
APART = Limit("clearance", Length, low="0 in", source="physics: what may touch is not known to be clear", unit="in")


class CornerRow(Row):
    """What was found at one corner."""

    all_well: ClassVar = (
        "I looked at all the others: every end reached, free",
        {"reached": "every control", "contact": "free"},
    )

    corner: Annotated[str, Choice("corners")] = asked(
        "Corner", "The end that each control is held at, one for every control.", ""
    )
    reached: Annotated[Reached, Choice(options=REACHED)] = asked(
        "Ends reached", "Does every control still reach its own end with the others at theirs?", NOT_LOOKED_AT
    )
    contact: Annotated[Contact, Choice(options=CONTACTS)] = asked(
        "Contact",
        "Links, horns, rods, cables: look and feel along the whole run while the rotor is turned through one turn.",
        NOT_LOOKED_AT,
    )
    what: str = asked("What, where", "What touches what, or where the clearance was measured.", "")
    clearance: Annotated[Reading | None, Entry(Length, ("in", "mm"), ("0 in", "12 in"), by="rule")] = asked(
        "Least clearance", "With a feeler gauge or a drill of known size; leave it empty if there is ample room."
    )

    @property
    def corner_words(self) -> str:
        """The corner, with its spaces put right."""
        return " ".join(self.corner.split())


class ControlCorners(Sheet):
    """All corners of the controls' travel."""

    order: ClassVar[int] = 50
    puts_right: ClassVar[dict[str, str]] = {
        "clearance": "Make room there, as the manual says, before anything turns, and try every corner again.",
        "corners_faulty": (
            "Find what touches or stops short there, see to it as the manual says before anything turns, and try "
            "every corner again."
        ),
    }
    needed: ClassVar[tuple[Needed, ...]] = (
        Needed("First engine run", "a link that touches at one corner bends or jams when the control first goes there"),
        Needed("First rotor turn", "a link that touches at one corner bends or jams when the stick first goes there"),
    )
    judged_by: ClassVar[tuple[str, ...]] = ("control_limits.clearance",)
    about: ClassVar[About] = About(
        title="Control corners",
        settles=(
            "Whether all controls reach their ends together in every combination, and nothing touches, binds or comes "
            "too close."
        ),
        when=(
            "After any rigging of collective, cyclic or pedals; after a link, rod, stop or part near the controls was "
            "changed; before the first run and before the first flight."
        ),
        tools=(
            "two helpers: one holds the controls, one turns the rotor, and you look and feel",
            "lamp and mirror; feeler gauges or drills of known size for the clearance",
            "the list of corners, to tick off one by one",
        ),
        procedure=(
            "Make the aircraft safe. Free the controls of pins and locks, set the frictions as for flight.",
            "Take the first corner of the list: every control held against its end, all together.",
            "Make sure each control is really at its end: a link that touches stops the stick short, and that "
            "feels just like the end.",
            "Turn the rotor slowly through a whole turn and look at every link, horn, scissor and bolt head; then "
            "along every tube and cable to the pilot's end. Listen.",
            "Measure the least clearance where it is small, and write where.",
            "Go on to the next corner, changing one control at a time. Watch on the way too: what is clear at both "
            "ends may touch between them.",
            "Do not leave a corner out. A corner you did not try is not known to be good.",
        ),
        sign_convention="A clearance is positive; zero is contact. Faults are counted.",
        cautions=(
            cautions.ENGINE_OFF,
            cautions.TURNING_ROTORS,
            cautions.HANDS_IN_LINKAGE,
            *cautions.AFTER_ADJUSTING,
        ),
        not_covered=(
            "places between the corners: look on the way from one to the next",
            "bending under flight loads, coning and flapping: the manual's clearances allow for them, these do not",
            "blade angles at the corners: mixing and coupling",
            "clothing, kneeboards, seat cushions, a second person's knees",
        ),
    )

    exercises: ClassVar[tuple[Exercise, ...]] = (
        Exercise(
            name="lean_of_a_link",
            title="How far a link leans",
            story=(
                "At one corner the upper end of a pitch link stands {offset} to the side of its lower end, measured "
                "square to a plumb line; along the plumb line the two ends are {distance} apart. The rod ends' maker "
                "says how much angle they allow."
            ),
            find="the angle by which the link leans",
            unit="deg",
            of=angle_from_offset,
            given={"offset": Range("1.10 in", "2.40 in", "0.01 in"), "distance": Range("9.0 in", "12.0 in", "0.1 in")},
            hints=(
                "Sketch the link, the plumb line and the offset: a triangle with a square corner.",
                "The tangent of the angle is offset divided by distance.",
            ),
        ),
    )

    rule: Annotated[str, Choice("instruments", measures="length")] = asked(
        "Clearance gauge", "The instrument that measures the clearances.", ""
    )
    corners: list[CornerRow] = rows("Corners", "A row for every combination.")

    @classmethod
    def start(cls, aircraft: Aircraft) -> dict[str, Any]:
        """A row for every corner."""
        start = super().start(aircraft)
        start["corners"] = [{"corner": corner_words(corner)} for corner in aircraft.corners]
        return start

    def parts(self, aircraft: Aircraft) -> list[Part]:
        """Every corner: contact and ends looked at, or a fault found there."""
        rows = {row.corner_words: row for row in self.corners}
        found = []
        for corner in aircraft.corners:
            row = rows.get(corner_words(corner), CornerRow())
            faulty = row.contact == "touches or binds" or row.reached == "one falls short"
            looked = NOT_LOOKED_AT not in (row.contact, row.reached)
            found.append(Part(corner_words(corner), faulty or looked))
        return found

    def _work(self, aircraft: Aircraft) -> Outcome:
        to = Working(self, aircraft)
        limit = aircraft.control_limits.clearance
        found = corner_map(aircraft.controls, self._readings(to), limit or APART)
        self._tried(to, found)
        self._faults(to, found)
        for one in found.findings:
            clearance = one.reading.clearance if one.reading is not None else None
            if clearance is not None:
                title = f"Clearance: {corner_words(one.corner)}"
                to.step(title, [say(clearance)], clearance, sources.DEFINITION.at("clearance as measured"))
                key = ".".join(key_of(end) for _, end in one.corner)
                to.judge(f"clearance.{key}", title, limit, clearance, physical=APART)
        rows = [
            Look(capital(corner_words(one.corner)), _seen(one), one.word, of=tuple(map(" ".join, one.corner)))
            for one in found.findings
        ]
        to.pictures.append(Looks("Every corner of the controls", rows))
        to.compare("Clearances", [finding for finding in to.findings if finding.measured.kind.si])
        to.notes.append(f"{capital(found.sentence)}.")
        return to.outcome()

    def _readings(self, to: Working) -> list[CornerReading]:
        """The corners that were looked at. Raises `SheetError` with every row that does not say enough."""
        if not to.aircraft.controls:
            to.problem(
                "corners",
                "the aircraft file names no controls: write [controls] with each control and its ends, such as "
                'collective = ["low stop", "high stop"]',
            )
            to.settle()
        by_words = {corner_words(corner): dict(corner) for corner in to.aircraft.corners}
        looked = []
        for i, row in enumerate(self.corners):
            if row.reached != NOT_LOOKED_AT or row.contact != NOT_LOOKED_AT or row.clearance is not None:
                looked.append((i, row))
                if row.corner_words not in by_words:
                    said = f'is no combination of the controls\' ends, such as "{next(iter(by_words))}"; got '
                    to.problem(f"corners.{i}.corner", said + shortened(row.corner))
                if row.contact == "touches or binds" and not row.what.strip():
                    to.problem(f"corners.{i}.what", "is missing: what touches what, and where")
                elif row.clearance is not None and row.clearance.si <= 0 and row.contact != "touches or binds":
                    said = 'is zero, and that is contact: choose "touches or binds", and write what touches what'
                    to.problem(f"corners.{i}.contact", said)
            elif row.what.strip():
                to.problem(
                    f"corners.{i}.contact", "is missing: something is written, but nothing is marked as looked at"
                )
        rows = to.by_key("corners", looked, lambda row: row.corner_words, "corner")
        if not looked and not to.problems:
            to.problem("corners.0.contact" if self.corners else "corners", "needs a look: no corner was tried yet")
        to.settle()
        found = []
        for corner, (i, row) in rows.items():
            path, words = f"corners.{i}.clearance", f"clearance, {corner}"
            clearance = None if row.clearance is None else to.reading(path, words, ("in", "mm"))
            touches = {NOT_LOOKED_AT: None, "free": ""}.get(row.contact, row.what.strip())
            reached = {NOT_LOOKED_AT: None, "every control": True}.get(row.reached, False)
            found.append(CornerReading(by_words[corner], reached, touches, clearance))
        return found

    @staticmethod
    def _tried(to: Working, found: CornerMap) -> None:
        """How many corners were tried; in limits only when all were, and no verdict before."""
        count, of = len(found.findings) - len(found.missing), len(found.findings)
        title = "Corners tried"
        limit = Limit(title, Ratio, low=str(of), source=str(sources.CFR_14.at("27.683")))
        word, said, settle = IN_LIMITS, IN_LIMITS, ""
        if found.missing:
            word, said, settle = UNDONE, "no overall verdict until every corner is tried", f"try the other {of - count}"
        verdict = Verdict(word, _count(count, title), limit, f"{title}: {count} of {of}: {said}", settle)
        to.found("corners_tried", title, verdict)

    @staticmethod
    def _faults(to: Working, found: CornerMap) -> None:
        """At how many corners something touches, or a control falls short."""
        bad = [f for f in found.findings if f.reading is not None and (f.reading.touches or f.reading.reached is False)]
        title = "Corners with contact, or a control short of its end"
        limit = Limit(title, Ratio, high="0", source=str(sources.CFR_14.at("27.683")))
        word, said, settle = IN_LIMITS, IN_LIMITS, ""
        if bad:
            word, said, settle = OUT_OF_LIMITS, OUT_OF_LIMITS, "; ".join(f.sentence for f in bad)
        elif found.missing:
            word, said = UNDONE, "no overall verdict until every corner is tried"
            settle = f"look at the {len(found.missing)} that were not tried, or only partly checked"
        verdict = Verdict(word, _count(len(bad), title), limit, f"{title}: {len(bad)}: {said}", settle)
        to.found("corners_faulty", title, verdict)


def _seen(finding: CornerFinding) -> str:
    _, _, said = finding.sentence.partition(f"{corner_words(finding.corner)}: ")
    return said or finding.sentence


def _count(number: int, label: str) -> Measured:
    return measured(from_si(float(number), Ratio), Ratio, label)
