"""Control corners: every combination of the controls' ends, which were tried, and what touched or came near."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Annotated, Any, ClassVar, Literal, get_args

from pydantic import Field

from rotorkit import sources
from rotorkit.aircraft import Aircraft
from rotorkit.aircraft.entries import Choice, Entry
from rotorkit.judging.limits import IN_LIMITS, OUT_OF_LIMITS, UNDONE, Limit, Verdict
from rotorkit.judging.measured import Measured, measured
from rotorkit.pictures.data import Look, Looks, Picture
from rotorkit.quantities import Length, Ratio, Reading, from_si, kind_of, say
from rotorkit.quantities.errors import shortened
from rotorkit.rigging import CornerMap, CornerReading, corner_map
from rotorkit.rigging.control_corners import CornerFinding, corner_words
from rotorkit.sheets.base import About, Finding, Needed, Outcome, Part, Row, Sheet, SheetError, bars, judge, plain_step
from rotorkit.sheets.rigging.blade_stations import key_of
from rotorkit.sources import cautions

__all__ = ["ControlCorners", "CornerRow"]

Contact = Literal["not looked at", "free", "touches or binds"]
CONTACTS: tuple[str, ...] = get_args(Contact)
Reached = Literal["not looked at", "every control", "one falls short"]
REACHED: tuple[str, ...] = get_args(Reached)
NOT_LOOKED_AT: Literal["not looked at"] = "not looked at"
APART = Limit("clearance", Length, low="0 in", source="physics: what may touch is not known to be clear", unit="in")


class CornerRow(Row):
    """What was found at one corner."""

    corner: Annotated[str, Choice("corners")] = Field(
        "", title="Corner", description="The end that each control is held at, one for every control."
    )
    reached: Annotated[Reached, Choice(options=REACHED)] = Field(
        NOT_LOOKED_AT,
        title="Ends reached",
        description="Does every control still come to its own end with the others at theirs?",
    )
    contact: Annotated[Contact, Choice(options=CONTACTS)] = Field(
        NOT_LOOKED_AT,
        title="Contact",
        description="Links, horns, rods, cables: look and feel along the whole run, the rotor turned through a turn.",
    )
    what: str = Field("", title="What, where", description="What touches what, or where the clearance was measured.")
    clearance: Annotated[Reading | None, Entry(Length, ("in", "mm"), ("0 in", "12 in"), by="rule")] = Field(
        None, title="Least clearance", description="By feeler gauge or a drill of known size; leave it empty if ample."
    )


class ControlCorners(Sheet):
    """All corners of the controls' travel."""

    name: ClassVar[str] = "control_corners"
    order: ClassVar[int] = 50
    needed: ClassVar[tuple[Needed, ...]] = (
        Needed("First engine run", "a link that touches at one corner bends or jams when the control first goes there"),
        Needed("First rotor turn", "a link that touches at one corner bends or jams when the stick first goes there"),
    )
    about: ClassVar[About] = About(
        title="Control corners",
        settles=(
            "Whether all controls reach their ends together, in every combination, and nothing touches, binds or comes "
            "too near anywhere."
        ),
        when=(
            "After any rigging of collective, cyclic or pedals; after a link, rod, stop or part near the controls was "
            "changed; before the first run and before the first flight."
        ),
        tools=(
            "two helpers: one holds the controls, one turns the rotor, you look and feel",
            "lamp and mirror; feeler gauges or drills of known size for the clearance",
            "the list of corners, to tick one after the other",
        ),
        procedure=(
            "Make the aircraft safe. Free the controls of pins and locks, set the frictions as for flight.",
            "Take the first corner of the list: every control held against its end, all together.",
            "See that each control is really at its end: a link that touches stops the stick short of it, and that "
            "feels like an end.",
            "Turn the rotor slowly through a whole turn and look at every link, horn, scissor and bolt head; then "
            "along every tube and cable to the pilot's end. Listen.",
            "Measure the least clearance where it is small, and write where.",
            "Go on to the next corner, changing one control at a time. Watch on the way too: what is clear at both "
            "ends may touch between them.",
            "Leave no corner out. A corner that was not tried is not known to be good.",
        ),
        sign_convention="A clearance is positive; nought is contact. Faults are counted.",
        cautions=(
            cautions.ENGINE_OFF,
            cautions.TURNING_ROTORS,
            cautions.HANDS_IN_LINKAGE,
            cautions.MANUAL_GOVERNS,
            cautions.LOCKING,
            cautions.INSPECTION,
            cautions.AN_AID,
        ),
        not_covered=(
            "places between the corners: look on the way from one to the next",
            "what bends under flight loads, coning and flapping: the manual's clearances allow for them, these do not",
            "blade angles at the corners: mixing and coupling",
            "clothing, kneeboards, seat cushions, a second person's knees",
        ),
    )

    rule: Annotated[str, Choice("instruments", measures="length")] = Field(
        "", title="Clearance gauge", description="With which the clearances are measured."
    )
    corners: list[CornerRow] = Field(default_factory=list, title="Corners", description="A row for every combination.")

    @classmethod
    def start(cls, aircraft: Aircraft) -> dict[str, Any]:
        """A row for every corner."""
        start = super().start(aircraft)
        start["corners"] = [{"corner": corner_words(corner)} for corner in aircraft.corners]
        return start

    @classmethod
    def is_blank(cls, readings: Mapping[str, Any]) -> bool:
        """Whether nothing was looked at yet: here what was seen counts, not only what was measured."""
        rows = readings.get("corners", [])
        seen = any(
            isinstance(row, Mapping)
            and any(row.get(name) not in (None, "", NOT_LOOKED_AT) for name in ("reached", "contact"))
            for row in (rows if isinstance(rows, list) else [])
        )
        return not seen and super().is_blank(readings)

    def parts(self, aircraft: Aircraft) -> list[Part]:
        """Every corner: contact and ends looked at, or a fault found there."""
        rows = {" ".join(row.corner.split()): row for row in self.corners}
        found = []
        for corner in aircraft.corners:
            row = rows.get(corner_words(corner), CornerRow())
            faulty = row.contact == "touches or binds" or row.reached == "one falls short"
            looked = NOT_LOOKED_AT not in (row.contact, row.reached)
            found.append(Part(corner_words(corner), faulty or looked))
        return found

    def _work(self, aircraft: Aircraft) -> Outcome:
        return _Work(self, aircraft).outcome()


class _Work:
    """One working of the sheet."""

    def __init__(self, sheet: ControlCorners, aircraft: Aircraft) -> None:
        self.sheet, self.aircraft, self.system = sheet, aircraft, aircraft.aircraft.display
        if not aircraft.controls:
            raise SheetError(
                [
                    (
                        "corners",
                        "the aircraft file names no controls: write [controls] with each control and its ends, such as "
                        'collective = ["low stop", "high stop"]',
                    )
                ]
            )
        self.by_words = {corner_words(corner): dict(corner) for corner in aircraft.corners}
        self.limit: Limit | None = aircraft.control_limits.clearance
        self.steps: list[Any] = []

    def _readings(self) -> list[tuple[str, CornerReading]]:
        problems: list[tuple[str, str]] = []
        found: dict[str, CornerReading] = {}
        for i, row in enumerate(self.sheet.corners):
            looked = row.reached != NOT_LOOKED_AT or row.contact != NOT_LOOKED_AT or row.clearance is not None
            if not looked:
                if row.what.strip():
                    problems.append((f"corners.{i}.contact", "is missing: something is written, but nothing looked at"))
                continue
            corner = " ".join(row.corner.split())
            if corner not in self.by_words:
                example = next(iter(self.by_words))
                problems.append(
                    (
                        f"corners.{i}.corner",
                        f'is no combination of the controls\' ends, such as "{example}"; got {shortened(row.corner)}',
                    )
                )
            elif corner in found:
                problems.append((f"corners.{i}.corner", "stands in a row above already"))
            elif row.contact == "touches or binds" and not row.what.strip():
                problems.append((f"corners.{i}.what", "is missing: what touches what, and where"))
            elif row.clearance is not None and row.clearance.si <= 0 and row.contact != "touches or binds":
                said = 'is nought, and that is contact: choose "touches or binds", and write what touches what'
                problems.append((f"corners.{i}.contact", said))
            else:
                clearance = None
                if row.clearance is not None:
                    clearance = self.sheet.measured(
                        f"corners.{i}.clearance", f"clearance, {corner}", self.aircraft
                    ).shown_in(("in", "mm"))
                touches = {NOT_LOOKED_AT: None, "free": ""}.get(row.contact, row.what.strip())
                reached = {NOT_LOOKED_AT: None, "every control": True}.get(row.reached, False)
                found[corner] = CornerReading(self.by_words[corner], reached, touches, clearance)
        if not found and not problems:
            path = "corners.0.contact" if self.sheet.corners else "corners"
            problems.append((path, "needs a look: no corner was tried yet"))
        if problems:
            raise SheetError(problems)
        return list(found.items())

    def outcome(self) -> Outcome:
        readings = self._readings()
        found = corner_map(self.aircraft.controls, [reading for _, reading in readings], self.limit or APART)
        findings = [self._tried(found), self._faults(found)]
        for finding in found.findings:
            clearance = finding.reading.clearance if finding.reading is not None else None
            if clearance is not None:
                words = corner_words(finding.corner)
                title = f"Clearance: {words}"
                limit = replace(self.limit, name=title) if self.limit is not None else None
                findings.append(
                    Finding(f"clearance.{_key(finding.corner)}", title, judge(limit, clearance, title, APART))
                )
                cited = sources.DEFINITION.at("clearance as measured")
                self.steps.append(plain_step(title, [say(clearance)], clearance, cited))
        rows = [Look(_capital(corner_words(f.corner)), self._seen(f), f.word) for f in found.findings]
        pictures: list[Picture] = [Looks("Every corner of the controls", rows)]
        compared = bars("Clearances", [f for f in findings if f.measured.kind.si], self.system)
        if compared.rows:
            pictures.append(compared)
        remarks = [f"{_capital(found.sentence)}.", *self.sheet.calibrations_overdue(self.aircraft)]
        remarks += [f"{sentence}." for _, sentence in self.sheet.doubts()]
        return Outcome(self.sheet.about.title, findings, self.steps, pictures, remarks)

    @staticmethod
    def _seen(finding: CornerFinding) -> str:
        _, _, said = finding.sentence.partition(f"{corner_words(finding.corner)}: ")
        return said or finding.sentence

    def _tried(self, found: CornerMap) -> Finding:
        """How many corners were tried; in limits only when all were, and no verdict before."""
        count, of = len(found.findings) - len(found.missing), len(found.findings)
        title = "Corners tried"
        figure = _count(count, title)
        limit = Limit(title, Ratio, low=str(of), source=str(sources.CFR_14.at("27.683")))
        said = f"{title}: {count} of {of}"
        if found.missing:
            verdict = Verdict(
                UNDONE, figure, limit, f"{said}: no verdict before all are", f"try the other {of - count}"
            )
        else:
            verdict = Verdict(IN_LIMITS, figure, limit, f"{said}: {IN_LIMITS}")
        return Finding("corners_tried", title, verdict)

    def _faults(self, found: CornerMap) -> Finding:
        """At how many corners something touches, or a control falls short."""
        bad = [f for f in found.findings if f.reading is not None and (f.reading.touches or f.reading.reached is False)]
        title = "Corners with contact, or a control short of its end"
        figure = _count(len(bad), title)
        limit = Limit(title, Ratio, high="0", source=str(sources.CFR_14.at("27.683")))
        said = f"{title}: {len(bad)}"
        if bad:
            where = "; ".join(f.sentence for f in bad)
            return Finding(
                "corners_faulty", title, Verdict(OUT_OF_LIMITS, figure, limit, f"{said}: {OUT_OF_LIMITS}", where)
            )
        undone = found.missing
        if undone:
            settle = f"look at the {len(undone)} that were not tried, or not wholly looked at"
            verdict = Verdict(UNDONE, figure, limit, f"{said}: no verdict before all are tried", settle)
            return Finding("corners_faulty", title, verdict)
        return Finding("corners_faulty", title, Verdict(IN_LIMITS, figure, limit, f"{said}: {IN_LIMITS}"))


def _key(corner: Sequence[tuple[str, str]]) -> str:
    """A corner in a finding's key: its ends, in the order of the controls."""
    return ".".join(key_of(end) for _, end in corner)


def _count(number: int, label: str) -> Measured:
    kind = kind_of(Ratio)
    assert kind is not None
    return measured(from_si(float(number), kind), Ratio, label)


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]
