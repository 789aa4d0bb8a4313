"""The weight-and-balance report, for the aircraft's papers: weighing, ledger and loadings of the record on pages of
their own."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Any

from rotorkit.aircraft import Aircraft
from rotorkit.dossier.blocks import (
    Block,
    Box,
    Bullets,
    Code,
    Document,
    Heading,
    Inline,
    Link,
    Paragraph,
    Piece,
    Signatures,
    Strong,
    Table,
    Together,
    Verdict,
)
from rotorkit.dossier.check_pages import NOT_SAVED, ROLES, figure_blocks, saved_figure, when_text
from rotorkit.dossier.writing import Progress, place_for, write_volume
from rotorkit.edges import clock
from rotorkit.folder.checks import Folder
from rotorkit.judging.agreement import says_the_same
from rotorkit.judging.limits import OUT_OF_LIMITS, TOO_CLOSE
from rotorkit.judging.measured import Measured, measured
from rotorkit.mass import Loading
from rotorkit.mass.loading import ARM_UNIT
from rotorkit.pictures.data import Chart
from rotorkit.quantities import Length, QuantityError, Reading, display, required_kind, say
from rotorkit.quantities.saying import belongs_to_display
from rotorkit.record.chain import hash_of_bytes
from rotorkit.record.entry import SavedEntry
from rotorkit.record.listing import last_of_each, listed
from rotorkit.record.rework import Rework, rework
from rotorkit.record.store import Record
from rotorkit.record.verify import Verification, verify
from rotorkit.sheets.base import Finding
from rotorkit.sheets.weighing.weigh_in import LISTED, SAME
from rotorkit.sources import cautions

NAME = "weight-and-balance"
WEIGHING, LEDGER, LOADING = "weigh_in", "equipment_ledger", "loading"
EMPTY = ("empty_weight", "empty_arm", "empty_lateral_arm")
TWO_TO_A_PAGE = 300.0
"""Points that a picture may be high for two of them to stand on a page, of either paper."""
WEIGHED = ("weighed_weight", "weighed_arm", "weighed_lateral_arm")
"""The ledger's fields that begin from the weighing's figures, in the same order."""


@dataclass(frozen=True)
class WeightReport:
    """What was written. page: the HTML file; pdf: the PDF, or None, and then why not. shown: the numbers of the entries
    that it shows; lacking: what is not in the record, in words; faults: what is wrong with the record."""

    page: Path
    pdf: Path | None
    why_no_pdf: str
    shown: tuple[int, ...]
    lacking: tuple[str, ...]
    faults: tuple[str, ...]


@dataclass(frozen=True)
class Kept:
    """What the record holds of weighing and loading. Each is worked again, so that what no longer stands is said."""

    weighing: Rework | None
    ledger: Rework | None
    loadings: Sequence[Rework]
    untrue: Sequence[str]

    @property
    def entries(self) -> list[SavedEntry]:
        """All that is shown."""
        return [one.entry for one in (self.weighing, self.ledger, *self.loadings) if one is not None]

    @property
    def lacking(self) -> list[str]:
        """What is not there, as parts of a sentence."""
        found = [] if self.weighing is not None else ["no weighing"]
        return found + ([] if self.loadings else ["no loading"])


def write_weight_and_balance(
    folder: Folder | Path | str,
    out: Path | str | None = None,
    pdf: bool = True,
    progress: Progress | None = None,
    now: datetime | None = None,
) -> WeightReport:
    """Write the weight-and-balance report of a working folder: ``weight-and-balance.html`` and ``.pdf``.

    Parameters
    ----------
    folder
        The working folder. What is shown is what its record holds: the last weighing, the last ledger, and what stands
        of each loading. Readings that are not saved are not shown.
    out
        Where to: a folder, or a file's name whose ending is left to us; by default the working folder.
    pdf
        Whether a PDF is wanted too.
    progress
        Called as things get done.
    now
        The moment that stands in it; by default the computer's.

    Returns
    -------
    WeightReport
        The files, what they show, and what is lacking.

    Raises
    ------
    DossierError
        Where nothing could be written, and what to do.
    RecordError, AircraftFileError
        Where the record or a file of the folder cannot be read.
    """
    folder = folder if isinstance(folder, Folder) else Folder(folder)
    when, tell = now or clock.now(), progress or (lambda what, done, of: None)
    place = place_for(folder, out, NAME)
    with display(folder.aircraft.aircraft.display):
        document, kept, verification = weight_document(folder, when, tell)
    page, made, why = write_volume(document, place, pdf, when, tell, "")
    shown = tuple(entry.number for entry in kept.entries)
    return WeightReport(page, made, why, shown, tuple(kept.lacking), tuple(verification.faults))


def weight_document(
    folder: Folder, when: datetime, tell: Progress = lambda what, done, of: None
) -> tuple[Document, Kept, Verification]:
    """The report's pieces, what it rests on, and what is known of the record. Raises as `write_weight_and_balance`."""
    aircraft = folder.aircraft
    record = Record(folder)
    verification = verify(record, progress=lambda done, of: tell("verifying the record", done, of))
    kept = _kept(record, verification, when)
    identity, head = aircraft.aircraft, verification.head
    title = f"Weight and balance of {identity.name}" + (f", serial {identity.serial}" if identity.serial else "")
    document = Document(
        title,
        identity.builder or "the builder",
        f"weighing, ledger and loadings from a record whose last entry's hash is {head or 'none'}",
        title,
        f"written {when:%Y-%m-%d %H:%M}, {verification.entries} entries, hash {head[:16] or 'none'}",
        "a4" if identity.display == "metric" else "us-letter",
        [f"record {head}"] if head else [],
    )
    document.add(*_front(aircraft, kept, verification, when))
    document.add(*_empty(aircraft, kept))
    document.add(*_in_short(kept))
    document.add(*_weighed(kept))
    document.add(*_limits(aircraft))
    document.add(*_end(record, kept, verification))
    for one in kept.loadings:
        document.add(*_loading(one))
    return document, kept, verification


def _kept(record: Record, verification: Verification, when: datetime) -> Kept:
    of: dict[str, list[tuple[int, Rework]]] = {WEIGHING: [], LEDGER: [], LOADING: []}
    untrue = []
    now = record.aircraft_text()
    for name, (row, first) in last_of_each(listed(record)).items():
        if row.sheet not in of:
            continue
        entry = record.entry(row.number)
        then = record.file_text_or_none(entry.aircraft_file)
        again = rework(entry, then, now, when.date(), verification.untrue_of(entry.number), record)
        if again.untrue:
            untrue.append(f"Entry {entry.number} of {name} is {NOT_SAVED}: nothing of it is shown")
        else:
            of[row.sheet].append((first.number, again))
    newest = {sheet: [again for _, again in sorted(some, key=lambda one: -one[0])] for sheet, some in of.items()}
    return Kept(next(iter(newest[WEIGHING]), None), next(iter(newest[LEDGER]), None), newest[LOADING], untrue)


def _front(aircraft: Aircraft, kept: Kept, verification: Verification, when: datetime) -> Iterator[Block]:
    identity = aircraft.aircraft
    yield Heading(1, f"Weight and balance: {identity.name}", "top")
    serial, registration = identity.serial or "not given", identity.registration or "not given"
    yield Paragraph(
        f"Serial number {serial}, registration {registration}. Builder: {identity.builder or 'not given'}. Written "
        f"{when:%Y-%m-%d %H:%M %z} from the build record. Arms are positive aft of the datum, lateral arms positive "
        "to the right, facing forward; ± is the expanded uncertainty (k = 2).",
        "lead",
    )
    faults = [f"{fault[:1].upper()}{fault[1:]}." for fault in verification.faults]
    faults += [f"{one}." for one in kept.untrue]
    if faults:
        yield Box("warning", "The record is not as it was saved: do not rely on this report", [Bullets(faults)])
    yield from _not_allowed(kept)
    stale = [
        f"Entry {one.entry.number}, {one.entry.title}: {cause.word}: {cause.sentence}."
        for one in (kept.weighing, kept.ledger, *kept.loadings)
        if one is not None
        for cause in one.causes
    ]
    if stale:
        yield Box("warning", "No longer stands as saved: work it again, and save it", [Bullets(stale)])
    missing = [
        f"Entry {one.entry.number}, {one.entry.title}: {'; '.join(one.outcome.missing)}."
        for one in (kept.weighing, kept.ledger, *kept.loadings)
        if one is not None and one.outcome is not None and one.outcome.missing
    ]
    if missing:
        yield Box("warning", "Not done yet", [Bullets(missing)])
    if kept.lacking:
        yield Box(
            "warning",
            "This report is incomplete",
            [Paragraph(f"The record holds {', '.join(kept.lacking)}. What is not saved to the record is not shown.")],
        )


def _words(again: Rework) -> list[str]:
    """The verdict as saved, and today's where that is another one."""
    today = again.outcome.word if again.outcome is not None else again.word
    return [again.word] if today == again.word else [again.word, today]


def _not_allowed(kept: Kept) -> Iterator[Block]:
    """What lies outside the manual's limits, or may, before anything else, by the entry or by today's working."""
    told = []
    for one in (*kept.loadings, kept.ledger, kept.weighing):
        if one is None or not (bad := [word for word in _words(one) if word in (OUT_OF_LIMITS, TOO_CLOSE)]):
            continue
        lead = one.entry.outcome.lead if bad[0] == one.entry.word else one.outcome.lead if one.outcome else []
        said = [sentence for sentence in lead if "envelope" in sentence or "maximum weight" in sentence]
        told.append(f"Entry {one.entry.number}, {one.entry.title}: {bad[0]}. {' '.join(said)}".rstrip())
    if told:
        yield Box(
            "warning", "Outside the manual's limits, or not surely inside: do not fly it like this", [Bullets(told)]
        )


def _in_short(kept: Kept) -> Iterator[Block]:
    """Each loading in a line, on the first page."""
    if not kept.loadings:
        return
    rows: list[list[Inline]] = []
    for one in kept.loadings:
        found = _findings(one)
        cells: list[Inline] = [
            " to ".join(found[key].said for key in keys if key in found)
            for keys in (
                ("gross_weight", "weight_end"),
                ("arm_start", "arm_end"),
                ("lateral_arm_start", "lateral_arm_end"),
            )
        ]
        words = _words(one)
        verdict: list[Piece] = [Verdict(words[0])]
        if one.causes:
            verdict += [" as saved: no longer stands", *((", today ", Verdict(words[1])) if len(words) > 1 else ())]
        rows.append(
            [[Link(one.entry.title, f"loading-{one.entry.number}"), f" (entry {one.entry.number})"], *cells, verdict]
        )
    head = ["Loading, start to end", "Gross weight", "Centre of gravity", "Lateral", "Verdict"]
    yield Heading(2, "Loadings", "loadings")
    yield Table("", head, rows, [24, 22, 20, 20, 18])


def _empty(aircraft: Aircraft, kept: Kept) -> Iterator[Block]:
    """The empty aircraft: as weighed, as the ledger carries it forward, and as the aircraft file has it."""
    yield Heading(2, "Empty aircraft", "empty")
    columns: list[tuple[str, dict[str, Finding]]] = []
    worked = [one for one in (kept.weighing, kept.ledger) if one is not None]
    if kept.weighing is not None:
        columns.append((f"As weighed (entry {kept.weighing.entry.number})", _findings(kept.weighing)))
    if kept.ledger is not None:
        columns.append((f"Now, by the ledger (entry {kept.ledger.entry.number})", _findings(kept.ledger)))
    if not columns:
        return
    titles = ("Empty weight", "Centre of gravity", "Lateral centre of gravity")
    rows: list[list[Inline]] = []
    for key, title in zip(EMPTY, titles, strict=True):
        cells: list[Inline] = [title]
        for again, (_, found) in zip(worked, columns, strict=True):
            cells.append([Strong(found[key].said), ", ", *_judged(again, found[key])] if key in found else "")
        rows.append([*cells, _of_file(aircraft, key)])
    for title, of in (("Moment", "moment"), ("Lateral moment", "lateral_moment")):
        rows.append([title, *(_moment(found, of) for _, found in columns), ""])
    useful: list[Inline] = [found["useful_load"].said if "useful_load" in found else "" for _, found in columns]
    rows.append(["Useful load, up to the maximum weight", *useful, ""])
    head = ["", *(title for title, _ in columns), "Aircraft file, [loading]"]
    yield Table("", head, rows, [30, *[26 for _ in columns], 22])
    yield from _agreement(aircraft, kept)


def _weighed(kept: Kept) -> Iterator[Block]:
    """what was typed of the weighing and of the changes since."""
    if kept.weighing is None and kept.ledger is None:
        return
    yield Heading(2, "Weighing and changes since", "weighing")
    if kept.weighing is not None:
        yield from _weighing(kept.weighing.entry)
    if kept.ledger is not None:
        yield from _changes(kept.ledger.entry)
    else:
        yield Paragraph(
            "No ledger of equipment is saved: nothing says whether anything was fitted, taken out or moved since."
        )


def _findings(again: Rework) -> dict[str, Finding]:
    return {one.key: one for one in again.entry.findings}


def _judged(again: Rework, saved: Finding) -> list[Piece]:
    """The verdict of a figure as saved, and today's where that is another one."""
    words = {one.key: one.verdict.word for one in again.outcome.findings} if again.outcome is not None else {}
    today = words.get(saved.key, saved.verdict.word)
    told: list[Piece] = [Verdict(saved.verdict.word)]
    return told if today == saved.verdict.word else [*told, " as saved, today ", Verdict(today)]


def _of_file(aircraft: Aircraft, key: str) -> str:
    figures = aircraft.loading
    return _said(getattr(figures, key)) if figures is not None and figures.has(key) else "not given"


def _said(reading: Reading) -> str:
    """A figure of the aircraft file in the units of the report, with its ±."""
    if belongs_to_display(reading.value, reading.kind):
        return reading.understood
    figure = measured(reading, reading.kind, "aircraft file")
    if reading.kind == required_kind(Length):
        figure = figure.shown_in(ARM_UNIT)
    return say(figure) if figure.components else say(figure, digits=5)


def _moment(found: dict[str, Finding], of: str) -> str:
    try:
        load = Loading.at(*(found[key].measured for key in EMPTY))
        moment: Measured = getattr(load, of)
        return say(moment)
    except (KeyError, QuantityError):
        return ""


def _agreement(aircraft: Aircraft, kept: Kept) -> Iterator[Block]:
    """Where the ledger begins from another weighing, or the aircraft file says something else."""
    told: list[Inline] = []
    if kept.weighing is not None and kept.ledger is not None:
        readings = {one.path: one.typed for one in kept.ledger.entry.understood}
        weighed = _findings(kept.weighing)
        begins = [
            (title, readings.get(field, ""), weighed[key].measured)
            for field, key, title in zip(WEIGHED, EMPTY, ("weight", "centre of gravity", "lateral one"), strict=True)
            if key in weighed
        ]
        others = [f"{title} {typed}" for title, typed, figure in begins if not _is(typed, figure, kept.ledger.entry)]
        if others:
            told.append(f"The ledger starts from a different weighing from the one shown here: {', '.join(others)}.")
    last = kept.ledger or kept.weighing
    figures = aircraft.loading
    if last is not None and figures is not None:
        found = _findings(last)
        differs = [
            key for key in EMPTY
            if key in found and not (figures.has(key) and says_the_same(getattr(figures, key), found[key].measured))
        ]  # fmt: skip
        if differs:
            told.append(
                f"The aircraft file's [loading] is not that of entry {last.entry.number}: {', '.join(differs)}. "
                "Loadings are worked with what the aircraft file says."
            )
        elif figures.has("source"):
            yield Paragraph(f"The aircraft file says the same, and names as its source: {figures.source}.")
    if told:
        yield Box("warning", "The loadings do not rest on what is shown here", [Bullets(told)])


def _is(typed: str, figure: Measured, entry: SavedEntry) -> bool:
    """Whether a reading of an entry is this figure."""
    from rotorkit.sheets.catalogue import sheet_type

    field = next(one for one in sheet_type(entry.sheet).fields() if one.name in WEIGHED and one.entry is not None
                 and one.entry.wanted == figure.kind)  # fmt: skip
    assert field.entry is not None
    try:
        reading = field.entry.read(typed)
    except QuantityError:
        return False
    return isinstance(reading, Reading) and says_the_same(reading, figure)


def _weighing(entry: SavedEntry) -> Iterator[Block]:
    rows: list[list[Inline]] = [
        [_text(row, "point"), *(Code(_text(row, name)) for name in ("reading", "tare", "arm", "lateral_arm"))]
        for row in _rows(entry, "points")
        if _text(row, "reading")
    ]
    head = ["Point", "Scale read", "Tare", "Arm", "Lateral arm"]
    yield Table(f"The weighing, as typed: {entry.title}, {_who(entry)}", head, rows, [26, 26, 14, 17, 17])
    rows = [
        [_text(row, "what"), _text(row, "does") or "comes off",
         *(Code(_text(row, name)) for name in ("mass", "arm", "lateral_arm"))]
        for row in _rows(entry, "aboard")
        if _text(row, "mass")
    ]  # fmt: skip
    if rows:
        yield Table("Taken off or put on", ["What", "Does", "Mass", "Arm", "Lateral arm"], rows, [32, 17, 17, 17, 17])
    rows = [
        [_text(row, "weighing"), _text(row, "scales") or SAME,
         *(Code(_text(row, name)) for name in ("weight", "arm", "lateral_arm"))]
        for row in _rows(entry, "others")
        if _text(row, "weight")
    ]  # fmt: skip
    if rows:
        alone = {one.key: one for one in entry.findings}
        if all(f"alone.{name}" in alone for name in ("weight", "arm", "lateral_arm")):
            figures = (Code(say(alone[f"alone.{name}"].measured)) for name in ("weight", "arm", "lateral_arm"))
            rows.insert(0, ["this weighing alone", "", *figures])
        head = ["Weighing", "Scales and arms", "Empty weight", "Arm", "Lateral arm"]
        yield Table("Combined, each weighted by its ±", head, rows, [28, 15, 19, 19, 19])
    readings = entry.readings
    state = [f"pitch {readings['pitch']}" if readings.get("pitch") else "", f"roll {readings['roll']}"
             if readings.get("roll") else ""]  # fmt: skip
    state += [
        f"{name} {'as listed above' if readings[name] == LISTED else readings[name]}"
        for name in ("fuel", "oil")
        if readings.get(name)
    ]
    used = ", ".join(f"{one.title}{f', no. {one.serial}' if one.serial else ''}" for one in entry.instruments)
    yield Paragraph(
        f"State: {'; '.join(filter(None, state)) or 'not given'}. Read with: {used or 'not given'}.", "small"
    )


def _changes(entry: SavedEntry) -> Iterator[Block]:
    rows: list[list[Inline]] = []
    for row in _rows(entry, "changes"):
        if not _text(row, "what"):
            continue
        moved = _text(row, "does") == "moved"
        place = [Code(_text(row, name)) for name in ("arm", "lateral_arm")]
        after = [Code(_text(row, name)) if moved else "" for name in ("new_arm", "new_lateral_arm")]
        rows.append([_text(row, "what"), _text(row, "day"), _text(row, "does") or "fitted", Code(_text(row, "mass")),
                     *place, *after])  # fmt: skip
    if not rows:
        yield Paragraph("The ledger lists no change since the weighing.")
        return
    head = ["What", "Day", "Was", "Mass", "Arm", "Lateral", "New arm", "New lateral"]
    yield Table(
        f"Equipment since the weighing, as typed: {entry.title}, {_who(entry)}",
        head,
        rows,
        [20, 12, 9, 12, 12, 11, 12, 12],
    )
    if entry.readings.get("listed", "not looked at") == "not looked at":
        yield Paragraph("Nothing says that the equipment list was checked against the aircraft.")


def _limits(aircraft: Aircraft) -> Iterator[Block]:
    """The manual's envelopes, corner by corner, and the maximum weight."""
    figures = aircraft.loading
    yield Heading(2, "Limits", "limits")
    if aircraft.weights.has("maximum"):
        yield Paragraph(["Maximum weight: ", Strong(_said(aircraft.weights.maximum)), "."])
    if figures is None or not figures.envelopes:
        yield Paragraph("The aircraft file holds no envelope of the manual.")
        return
    rows: list[list[Inline]] = []
    for one in figures.envelopes:
        corners = "; ".join(
            " at ".join(
                _said(given) for name in (*one.between.split(" and "),)
                if (given := getattr(corner, name.replace(" ", "_"))) is not None
            )
            for corner in one.corners
        )  # fmt: skip
        rows.append([one.title, one.between, corners, one.source])
    head = ["Envelope", "Between", "Corners, in order around it", "Source"]
    yield Table("The manual's envelopes", head, rows, [15, 17, 50, 18])
    stations: list[list[Inline]] = [
        [one.title, _said(one.arm), _said(one.lateral_arm),
         f"{one.least.said} to {one.most.said}{', or empty' if one.or_none else ''}"]
        for one in figures.stations.values()
    ]  # fmt: skip
    if stations:
        yield Table(
            "Places for loads, as the aircraft file has them",
            ["Place", "Arm", "Lateral arm", "May hold"],
            stations,
            [28, 22, 22, 28],
        )


def _loading(again: Rework) -> Iterator[Block]:
    entry = again.entry
    yield Heading(2, entry.title, f"loading-{entry.number}", fresh_page=True, aside=again.word)
    words = _words(again)
    yield Paragraph([f"Loading, {_who(entry)}: ", Verdict(words[0]), " as saved." if again.causes else "."])
    if again.causes:
        today: list[Inline] = [f"{cause.word}: {cause.sentence}." for cause in again.causes]
        if len(words) > 1:
            today.append(["With what holds today it is ", Verdict(words[1]), "."])
        yield Box("warning", "No longer stands as saved: work it again, and save it", [Bullets(today)])
    for said in entry.outcome.lead:
        yield Paragraph([Strong(said)])
    rows: list[list[Inline]] = [
        [_text(row, "station"), Code(_text(row, "mass")), Code(_text(row, "left")) if _text(row, "left") else ""]
        for row in _rows(entry, "items")
        if _text(row, "mass")
    ]
    yield Table("Aboard, as typed", ["Station", "Mass at start", "Left at the end"], rows, [40, 30, 30])
    yield from figure_blocks(entry)
    for said in entry.outcome.remarks:
        if said.startswith("Furthest"):
            yield Paragraph(said, "small")
    for picture in entry.outcome.pictures:
        if isinstance(picture, Chart):
            yield Together([saved_figure(picture, TWO_TO_A_PAGE)])


def _end(record: Record, kept: Kept, verification: Verification) -> Iterator[Block]:
    """Who looked at it, and what is signed for."""
    yield Heading(2, "Signed", "signed")
    told = Paragraph(
        f"{cautions.MANUAL_GOVERNS} {cautions.AN_AID} {cautions.SIGNATURE} This report is only as recent as its "
        "entries: after any change of equipment, paint or repair the empty weight is different.",
        "small",
    )
    yield Together([told, Signatures(ROLES)])
    words: list[Any] = []
    for entry in kept.entries:
        words += [f"{'; ' if words else ''}entry {entry.number} ", Code(entry.hash)]
    file = hash_of_bytes(record.aircraft_text().encode("utf-8"))
    head = verification.head
    yield Paragraph(
        ["Entries shown: ", *(words or ["none"]), ". Last entry of the record: ", Code(head) if head else "none",
         "; aircraft file as it is now: ", Code(file), "."],
        "small",
    )  # fmt: skip


def _who(entry: SavedEntry) -> str:
    return f"entry {entry.number}, saved by {entry.who}, {when_text(entry)}"


def _rows(entry: SavedEntry, name: str) -> list[dict[str, Any]]:
    found = entry.readings.get(name)
    return [row for row in found if isinstance(row, dict)] if isinstance(found, list) else []


def _text(row: dict[str, Any], name: str) -> str:
    return str(row.get(name, "") or "").strip()
