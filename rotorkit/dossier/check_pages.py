"""The pages of one check: its latest entry in full, the earlier ones as history.

What is shown is what was saved: the texts of figures, limits and verdicts as they stood, not what they
would come to today.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from rotorkit.dossier.blocks import (
    Block,
    Box,
    Bullets,
    Code,
    Figure,
    Heading,
    Inline,
    Paragraph,
    Piece,
    Signatures,
    Strong,
    Table,
    Together,
    Verdict,
)
from rotorkit.dossier.check_work import step_blocks, uncertainty_blocks
from rotorkit.judging.limits import IN_LIMITS, NO_LIMIT, OUT_OF_LIMITS, TOO_CLOSE, UNDONE
from rotorkit.pictures import draw
from rotorkit.pictures.data import Chart, Picture
from rotorkit.record.entry import SavedEntry, Understood
from rotorkit.sheets.base import About, SheetError, missing_words
from rotorkit.sheets.catalogue import sheet_type
from rotorkit.sources import cautions

__all__ = ["NOT_SAVED", "ROLES", "CheckPages", "check_blocks", "when_text"]

ROLES = ("Builder", "Inspector")
MOST_COLUMNS = 7
PICTURE_WIDTH = 620
NOT_SAVED = "not as it was saved"


@dataclass(frozen=True)
class CheckPages:
    """A check to be shown. entry: what stands today; others: every other entry, oldest first; replaced: number of each
    corrected entry and of the one that replaces it; key: of its heading; stale: why it no longer stands as saved, one
    sentence each; missing: parts of the whole job that are not there, as it is known today; unsaved: where other
    readings than the entry's are kept, as the start of a sentence; trend: pictures of figures over time; untrue: why an
    entry is not what was saved, by its number."""

    entry: SavedEntry
    others: Sequence[SavedEntry]
    replaced: dict[int, int]
    key: str
    stale: Sequence[str] = field(default_factory=tuple)
    missing: Sequence[str] = field(default_factory=tuple)
    unsaved: tuple[str, ...] = ()
    trend: Sequence[Chart] = field(default_factory=tuple)
    untrue: Mapping[int, str] = field(default_factory=dict)

    @property
    def word(self) -> str:
        """The verdict as saved; none yet where a part is missing; none where the entry is not what was saved."""
        if self.why_untrue(self.entry):
            return NOT_SAVED
        return UNDONE if self.missing and self.entry.word in (NO_LIMIT, IN_LIMITS) else self.entry.word

    def why_untrue(self, entry: SavedEntry) -> str:
        """Why nothing of an entry is shown; empty where it is what was saved."""
        return self.untrue.get(entry.number, "") or (f"entry {entry.number} {entry.fault}" if entry.fault else "")


def check_blocks(check: CheckPages) -> Iterator[Block]:
    """The pieces of a check's pages."""
    entry = check.entry
    if check.why_untrue(entry):
        yield from _altered(check)
        return
    about = _about(entry)
    aside = f"{check.word} as saved, no longer stands" if check.stale else check.word
    yield Heading(2, entry.title, check.key, fresh_page=True, aside=aside)
    yield Paragraph(_who(entry))
    yield from _verdict(check)
    yield _findings(entry)
    for picture in entry.outcome.pictures:
        yield _saved_figure(picture)
    yield Heading(3, "Readings")
    yield from _readings(entry)
    if entry.instruments:
        yield _instruments(entry)
    if entry.outcome.remarks:
        yield Heading(3, "Remarks")
        yield Bullets(entry.outcome.remarks)
    yield from _note(entry)
    yield Heading(3, "Worked calculation")
    for number, step in enumerate(entry.outcome.steps, 1):
        yield from step_blocks(number, step)
    yield from uncertainty_blocks(entry)
    yield Heading(3, "Cautions and bounds")
    yield from _bounds(about, entry)
    yield Heading(3, "History")
    yield from _history(check)
    verdict: list[Piece] = ["Verdict: ", Verdict(check.word), f". {cautions.SIGNATURE}"]
    yield Together([Heading(3, "Sign-off"), Paragraph(verdict), *_identity(entry), Signatures(ROLES)])


def _altered(check: CheckPages) -> Iterator[Block]:
    """An entry that is not what was saved: said, and nothing of it shown."""
    entry = check.entry
    yield Heading(2, entry.check, check.key, fresh_page=True, aside=NOT_SAVED)
    yield Box(
        "warning",
        f"Entry {entry.number} is not as it was saved",
        [
            Paragraph(
                f"{_sentence(check.why_untrue(entry))} Nothing of it is shown, and nothing is shown to be right. Put "
                "back the record from a backup, or do the check again."
            )
        ],
    )
    yield Heading(3, "History")
    yield from _history(check)


def _about(entry: SavedEntry) -> About | None:
    """What the sheet says of itself, where this program still has the sheet."""
    try:
        return sheet_type(entry.sheet).about
    except SheetError:
        return None


def when_text(entry: SavedEntry) -> str:
    """When an entry was saved: on the clock of the place, and in UTC."""
    return f"{entry.local:%Y-%m-%d %H:%M} local time ({entry.saved:%Y-%m-%d %H:%M} UTC)"


def _who(entry: SavedEntry) -> Inline:
    title = _sheet_title(entry)
    words: list[Piece] = [f"{title}. Entry {entry.number}, saved by ", Strong(entry.who), f", {when_text(entry)}."]
    if entry.replaces is not None:
        words.append(f" It corrects entry {entry.replaces}: {entry.why}")
    return words


def _sheet_title(entry: SavedEntry) -> str:
    return str(entry.work["sheet"].get("title") or entry.sheet)


def _saved_findings(entry: SavedEntry) -> list[dict[str, Any]]:
    found: list[dict[str, Any]] = entry.work["outcome"]["findings"]
    return found


def _verdict(check: CheckPages) -> Iterator[Block]:
    """The verdict in words, with what would settle it and what has changed since."""
    found = _saved_findings(check.entry)
    outcome = check.entry.outcome
    first = [*outcome.lead, *([missing_words(check.missing)] if check.missing else [])]
    inside: list[Block] = [Paragraph([Strong(said)]) for said in first]
    for word in (OUT_OF_LIMITS, TOO_CLOSE):
        for one in found:
            if one["word"] == word:
                settle = f": {one['settle']}" if one["settle"] else ""
                inside.append(Paragraph([Strong(str(one["title"])), " is ", Verdict(word), f"{settle}."]))
    for one in found:
        if one["word"] in (UNDONE, NO_LIMIT) and one["settle"]:
            inside.append(Paragraph([Strong(str(one["title"])), f" has no verdict yet: {one['settle']}."]))
    judged = [one for one in found if one["limit"] is not None]
    free = [str(one["title"]) for one in found if one["limit"] is None]
    if judged and not inside:
        inside.append(Paragraph(["Every figure that has a limit is ", Verdict(check.entry.word), "."]))
    if free:
        inside.append(
            Paragraph(
                f"No limit is given for: {'; '.join(free)}. Nothing is shown about whether these are right.", "small"
            )
        )
    yield Box("verdict", f"Verdict as saved: {check.word}", inside)
    if check.stale:
        yield Box(
            "warning",
            "No longer stands as saved: measure or work this check again",
            [Bullets([_sentence(cause) for cause in check.stale])],
        )
    if check.unsaved:
        yield Box(
            "warning",
            "Readings changed since saved",
            [
                Paragraph(
                    f"{where} holds other readings for this check. They are not saved to the record, and are not shown."
                )
                for where in check.unsaved
            ],
        )


def _sentence(text: str) -> str:
    text = text.strip()
    return text[:1].upper() + text[1:] + ("" if text.endswith((".", "!", "?")) else ".")


def _findings(entry: SavedEntry) -> Block:
    rows: list[list[Inline]] = []
    for one in _saved_findings(entry):
        limit = one["limit"]
        text = str(limit["text"]) if limit else NO_LIMIT
        source = (str(limit["source"]) or "no source given") if limit else "none"
        rows.append([str(one["title"]), Strong(str(one["text"])), text, source, Verdict(str(one["word"]))])
    return Table(
        "Figures and limits as saved (± is the expanded uncertainty, k = 2)",
        ["Figure", "Value ± U", "Limit", "Source of the limit", "Verdict"],
        rows,
        [25, 16, 14, 26, 19],
    )


def _readings(entry: SavedEntry) -> Iterator[Block]:
    """Every reading as typed and as understood: single ones in one table, rows of readings in another."""
    single = [one for one in entry.understood if "." not in one.path]
    yield Table(
        "Readings as typed and as understood",
        ["Reading", "As typed", "Understood as"],
        [[one.title, Code(one.typed), one.understood] for one in single],
        [34, 33, 33],
    )
    tables: dict[str, dict[str, list[Understood]]] = {}
    for one in entry.understood:
        if "." in one.path:
            table, row, *_ = one.path.split(".")
            tables.setdefault(table, {}).setdefault(row, []).append(one)
    for name, rows in tables.items():
        yield _row_table(entry, name, rows)


def _row_table(entry: SavedEntry, name: str, rows: dict[str, list[Understood]]) -> Block:
    title = _field_title(entry, name)
    columns: list[str] = []
    twofold: set[str] = set()  # columns in which what was understood differs from what was typed
    for row in rows.values():
        for one in row:
            if one.title not in columns:
                columns.append(one.title)
            if one.understood != one.typed:
                twofold.add(one.title)
    if len(columns) + len(twofold) + 1 > MOST_COLUMNS:
        listed: list[list[Inline]] = [
            [f"{int(number) + 1}. {one.title}", Code(one.typed), one.understood]
            for number, row in rows.items()
            for one in row
        ]
        return Table(
            f"{title}, as typed and as understood", ["Reading", "As typed", "Understood as"], listed, [34, 33, 33]
        )
    head, widths = ["No."], [6.0]
    for column in columns:
        head += [f"{column}, as typed", f"{column}, understood as"] if column in twofold else [column]
        longest = max(len(one.typed) for row in rows.values() for one in row if one.title == column)
        widths += [20.0, 20.0] if column in twofold else [max(14.0, min(0.6 * longest, 50.0))]
    cells: list[list[Inline]] = []
    for number, row in rows.items():
        given = {one.title: one for one in row}
        cell: list[Inline] = [str(int(number) + 1)]
        for column in columns:
            read = given.get(column)
            cell.append(Code(read.typed) if read else "")
            if column in twofold:
                cell.append(read.understood if read else "")
        cells.append(cell)
    return Table(f"{title}, as typed and as understood", head, cells, widths)


def _field_title(entry: SavedEntry, name: str) -> str:
    try:
        fields = sheet_type(entry.sheet).fields()
    except SheetError:
        fields = []
    return next((one.title for one in fields if one.name == name), name.replace("_", " ").capitalize())


def _instruments(entry: SavedEntry) -> Block:
    items: list[Inline] = []
    for one in entry.instruments:
        number = f", no. {one.serial}" if one.serial else ", number not given"
        shared = f", in common ± {one.shared}" if one.shared else ""
        calibrated = f"calibrated {one.calibrated}" if one.calibrated else "calibration not given"
        due = f"due {one.due}" if one.due else "no due date given"
        items.append(
            [Strong(one.title), f"{number}: ± {one.uncertainty}{shared} ({one.stated_as}); {calibrated}, {due}"]
        )
    return Together([Paragraph([Strong("Instruments as they stood when saved")]), Bullets(items)])


def _note(entry: SavedEntry) -> Iterator[Block]:
    if entry.note.strip():
        yield Heading(3, "Note")
        yield Paragraph(entry.note)


def _bounds(about: About | None, entry: SavedEntry) -> Iterator[Block]:
    if about is None:
        missing = f"This program has no sheet {entry.sheet}, so its cautions are not shown here."
        yield Box("caution", "Cautions", [Paragraph(missing)])
        return
    yield Box("caution", "Cautions", [Bullets(about.cautions)])
    yield Paragraph([Strong("Sign convention: "), about.sign_convention])
    if about.not_covered:
        yield Together([Paragraph([Strong("Not covered by this check:")]), Bullets(about.not_covered)])


def _history(check: CheckPages) -> Iterator[Block]:
    entries = sorted([*check.others, check.entry], key=lambda one: one.number)
    if len(entries) == 1:
        yield Paragraph("This is the only entry of this check.")
        return
    rows: list[list[Inline]] = []
    for one in entries:
        if check.why_untrue(one):
            rows.append([str(one.number), f"{one.local:%Y-%m-%d %H:%M}", "", Strong(NOT_SAVED), "not shown", ""])
            continue
        figures = "\n".join(
            f"{found['title']}: {found['text']}" for found in _saved_findings(one) if found["limit"] is not None
        )
        words: list[Piece] = []
        if one.number == check.entry.number:
            words.append(Strong("Shown on these pages."))
        if one.number in check.replaced:
            words.append(Strong(f"Replaced by entry {check.replaced[one.number]}."))
        if one.replaces is not None:
            words.append(f" Corrects entry {one.replaces}: {one.why}")
        if one.note.strip() and one.number != check.entry.number:
            words.append(f"{' ' if words else ''}Note: {one.note.strip()}")
        rows.append(
            [
                str(one.number),
                f"{one.local:%Y-%m-%d %H:%M}",
                one.who,
                Verdict(one.word),
                figures or "no figure has a limit",
                words,
            ]
        )
    yield Table(
        "Every entry of this check, oldest first; none is ever taken out",
        ["Entry", "Saved", "By", "Verdict", "Figures with a limit", "Correction, note"],
        rows,
        [8, 13, 13, 16, 28, 22],
    )
    for chart in check.trend:
        yield _figure(chart)


def _identity(entry: SavedEntry) -> list[Block]:
    lines: list[tuple[str, Piece]] = [
        ("Entry", f"{entry.number} of the record, check {entry.check}"),
        ("Hash", Code(entry.hash)),
        ("The entry before", Code(entry.sealed.previous)),
        ("Aircraft file", Code(entry.aircraft_file)),
        ("Worked with", f"rotorkit {entry.rotorkit}, sheet {entry.sheet} version {entry.sheet_version}"),
    ]
    return [Paragraph([f"{name}: ", value], "small") for name, value in lines]


def _saved_figure(picture: Picture) -> Block:
    """A picture from an entry: its data may be another version's, or nobody's."""
    try:
        return _figure(picture)
    except Exception:
        return Paragraph("A picture that was saved with this entry cannot be drawn by this version.", "small")


def _figure(picture: Picture) -> Figure:
    svg = draw(picture, PICTURE_WIDTH)
    return Figure(svg, picture.title, _described(svg))


def _described(svg: str) -> str:
    """What a picture says of itself to those who do not see it."""
    from html import unescape

    _, _, rest = svg.partition("<desc>")
    words, closed, _ = rest.partition("</desc>")
    return unescape(words) if closed else ""
