"""The pages of one check: its latest entry in full, the earlier ones as history.

What is shown is what was saved: the texts of figures, limits and verdicts as they stood, not what they
would come to today.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import partial
from typing import Any

from rotorkit.dossier.alike import alike
from rotorkit.dossier.blocks import (
    Block,
    Box,
    Bullets,
    Code,
    Figure,
    Heading,
    Inline,
    Lines,
    OnePage,
    Paragraph,
    Piece,
    Signatures,
    Strong,
    Table,
    Together,
    Verdict,
)
from rotorkit.dossier.check_work import step_blocks, uncertainty_blocks
from rotorkit.dossier.room import letters_in
from rotorkit.judging.limits import IN_LIMITS, NO_LIMIT, OUT_OF_LIMITS, TOO_CLOSE, UNDONE
from rotorkit.pictures import draw
from rotorkit.pictures.data import Angles, Bars, Chart, Picture
from rotorkit.record.entry import SavedEntry, Understood
from rotorkit.sheets.base import About, Field, SheetError
from rotorkit.sheets.catalogue import sheet_type
from rotorkit.sheets.parts_words import missing_words
from rotorkit.sources import cautions

ROLES = ("Builder", "Inspector")
MOST_COLUMNS = 7
LONG_SOURCE = 30
LONGEST_TEXT = 300
"""So many letters of a text that is no reading stand on a check's page, which has the room of one: such as the numbers
that a recording leaves for its pictures. The second volume holds all of them."""
"""A source with more letters than this is told under the table, and in it by a letter."""
MANY_WITHOUT = 6
"""So many figures without a limit are left out of a page, and counted, where it has no room for them and a picture."""
LETTERS = "abcdefghijklmnopqrstuvwxyz"
PICTURE_WIDTH = 620
SCALE, SMALLER = 0.75, 0.6
"""Points on paper for a pixel of a picture that is drawn for its page: its letters of 12 pixels are then 9 or 7.2."""
LOW_WIDTH, LOW = 750.0, 320.0
"""Of pictures of which several stand on a page."""
HIGH_ENOUGH = 270
"""With so many pixels a low chart still shows what it has to show."""
NOT_SAVED = "not as it was saved"
EST = "est."
"""The mark in the contents of what rests on an estimate, or on readings taken as exact."""
WIDEST_CELL = 56
"""So many letters of a cell count when the columns' widths are worked out."""
INSTEAD = "or: "
"""How the title of a field begins that is filled in instead of the one before it: on paper only one of them stands."""


@dataclass(frozen=True)
class CheckPages:
    """A check to be shown. entry: what stands today; others: every other entry, oldest first; replaced: number of each
    corrected entry and of the one that replaces it; key: of its heading; stale: why it no longer stands as saved, one
    sentence each; missing: parts of the whole job that are not there, as it is known today; unsaved: where other
    readings than the entry's are kept, as the start of a sentence; trend: pictures of figures over time; untrue: why an
    entry is not what was saved, by its number; photographs: those attached to it, after its page;
    ahead: what is told of figures that change from entry to entry, of when they may meet their limits; today: the
    verdict of the same readings worked again, where it is another than the one saved."""

    entry: SavedEntry
    others: Sequence[SavedEntry]
    replaced: dict[int, int]
    key: str
    stale: Sequence[str] = field(default_factory=tuple)
    missing: Sequence[str] = field(default_factory=tuple)
    unsaved: tuple[str, ...] = ()
    trend: Sequence[Chart] = field(default_factory=tuple)
    untrue: Mapping[int, str] = field(default_factory=dict)
    photographs: Sequence[Block] = field(default_factory=tuple)
    ahead: Sequence[str] = field(default_factory=tuple)
    today: str = ""

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
    """A check on one page: verdict, figures with their limits, one picture, readings as typed, sign-off."""
    entry = check.entry
    if check.why_untrue(entry):
        yield from _altered(check)
        return
    aside = f"{check.word} as saved, no longer stands" if check.stale else check.word
    if check.today:
        aside += f", today {check.today}"
    at = _one_of(entry.outcome.pictures)
    shown = None if at is None else entry.outcome.pictures[at]
    picture = None if shown is None else saved_figure(_worst_rows(shown))
    drawn = picture if isinstance(picture, Figure) else None
    verdict: list[Piece] = ["Verdict as saved: " if check.stale else "Verdict: ", Verdict(check.word)]
    if check.stale:
        verdict += ["; it no longer stands", *((", today ", Verdict(check.today)) if check.today else ())]
    verdict.append(f". {cautions.SIGNATURE}")
    more: list[Block] = []
    if entry.outcome.remarks:
        more += [Paragraph([Strong("Remarks")]), Bullets(entry.outcome.remarks)]
    more += _bounds(_about(entry), entry)
    left_out = (
        f"{_counted(entry.outcome.remarks)}cautions, sign convention and what this check does not cover: see the HTML "
        "page of this dossier."
    )
    figures = list(figure_blocks(entry))
    spare = [one for one in figures if isinstance(one, Lines) and len(one.items) >= MANY_WITHOUT]
    yield OnePage(
        [
            Heading(2, entry.title, check.key, fresh_page=True, aside=aside, mark=EST if entry.outcome.unsure else ""),
            Paragraph(_who(entry), "small"),
            *_verdict(check),
            *(one for one in figures if one not in spare),
            *_by_hand(entry),
        ],
        drawn,
        [
            *([picture] if picture is not None and drawn is None else []),
            *_readings(entry),
            *_note(entry),
            *_history_lines(check),
        ],
        more,
        left_out[:1].upper() + left_out[1:],
        [Paragraph([Strong("Sign-off. "), *verdict]), Signatures(ROLES), _identity(entry)],
        spare,
        f"{len(spare[0].items) if spare else 0} figures with {NO_LIMIT}, {left_out}",
        None if shown is None or drawn is None else partial(_lower, shown),
    )
    yield from check.photographs


def _one_of(pictures: Sequence[Picture]) -> int | None:
    """Which picture a check's page shows: a drawing of what was measured before bars, bars before what to turn and what
    was looked at, which stand on the page in words."""
    ranks = [0 if isinstance(one, (Angles, Chart)) else 1 if isinstance(one, Bars) else 2 for one in pictures]
    return ranks.index(min(ranks)) if ranks else None


MOST_ROWS = 6
"""So many rows of a picture stand on a check's page: of more the words would be too small to read."""


def _worst_rows(picture: Picture, most: int = MOST_ROWS) -> Picture:
    """A picture with no more rows than can be read, those with the worst verdicts, in their order."""
    if not isinstance(picture, (Angles, Bars)) or len(picture.rows) <= most:
        return picture
    rows: Sequence[Any] = picture.rows
    worst = (OUT_OF_LIMITS, TOO_CLOSE, UNDONE)
    rank = [worst.index(row.word) if row.word in worst else len(worst) for row in rows]
    kept = sorted(sorted(range(len(rows)), key=rank.__getitem__)[:most])
    title = f"{picture.title}: {most} of {len(rows)}, the worst chosen; all are in the calculations"
    few: Any = [rows[at] for at in kept]
    return replace(picture, title=title, rows=few)


def _lower(picture: Picture, across: float, down: float) -> Figure | None:
    """A picture for so many points across and down in which its letters can be read: wide and low, of rows as many as
    there is room for, two at least."""
    if isinstance(picture, (Angles, Bars)):
        tries = [(SCALE, MOST_ROWS), *((SMALLER, rows) for rows in range(MOST_ROWS, 1, -1))]
    else:
        tries = [(SCALE if down >= SCALE * HIGH_ENOUGH else SMALLER, MOST_ROWS)]
    for scale, rows in tries:
        try:
            found = _figure(_worst_rows(picture, rows), across / scale, down / scale)
        except Exception:
            return None
        if found.ratio * across <= down:
            break
    return found


def _counted(remarks: Sequence[str]) -> str:
    count = len(remarks)
    return "" if not count else "1 remark, " if count == 1 else f"{count} remarks, "


def worked_blocks(check: CheckPages) -> Iterator[Block]:
    """What the second volume holds of a check: readings as understood, every step, every origin of an uncertainty, the
    other pictures, and how its figures moved."""
    entry = check.entry
    if check.why_untrue(entry):
        yield from _altered(check)
        return
    yield Heading(2, entry.title, check.key, fresh_page=True, aside=check.word)
    yield Paragraph([f"Entry {entry.number}, hash ", Code(entry.hash), "."], "small")
    yield from _as_understood(entry)
    yield Heading(3, "Worked calculation")
    for number, step in enumerate(entry.outcome.steps, 1):
        yield from step_blocks(number, step)
    yield from uncertainty_blocks(entry)
    shown = _one_of(entry.outcome.pictures)
    for at, picture in enumerate(entry.outcome.pictures):
        if at != shown or _worst_rows(picture) is not picture:
            yield saved_figure(picture, low=True)
    yield Heading(3, "History")
    yield from _history(check)
    yield Together([Heading(3, "Cautions and bounds"), *_bounds(_about(entry), entry)])


def _altered(check: CheckPages) -> Iterator[Block]:
    """An entry that is not what was saved: said, and nothing of it shown."""
    entry = check.entry
    yield Heading(2, entry.check, check.key, fresh_page=True, aside=NOT_SAVED)
    yield Box(
        "warning",
        f"Entry {entry.number} is not as it was saved",
        [
            Paragraph(
                f"{_sentence(check.why_untrue(entry))} Nothing of it is shown, and nothing is known to be right. "
                "Restore the record from a backup, or do the check again."
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
    if outcome.told_to_do and check.entry.word in (OUT_OF_LIMITS, TOO_CLOSE) and outcome.told_to_do not in first:
        inside.append(Paragraph([Strong("What to do: "), outcome.told_to_do]))
    for word in (OUT_OF_LIMITS, TOO_CLOSE):
        for one in found:
            if one["word"] == word:
                settle = f": {one['settle']}" if one["settle"] else ""
                inside.append(Paragraph([Strong(str(one["title"])), " is ", Verdict(word), f"{settle}."]))
    for one in found:
        if one["word"] in (UNDONE, NO_LIMIT) and one["settle"]:
            inside.append(Paragraph([Strong(str(one["title"])), f" has no verdict yet: {one['settle']}."]))
    judged = [one for one in found if one["limit"] is not None]
    if judged and not inside:
        inside.append(Paragraph(["Every figure that has a limit is ", Verdict(check.entry.word), "."]))
    yield Box("verdict", f"Verdict as saved: {check.word}", inside or [Paragraph("No figure has a limit.")])
    if check.stale:
        yield Box(
            "warning",
            "No longer stands as saved: measure again, or work this check out again",
            [
                *(
                    [Paragraph(["Today's verdict of the same readings: ", Verdict(check.today), "."])]
                    if check.today
                    else []
                ),
                Bullets([_sentence(cause) for cause in check.stale]),
            ],
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


def figure_blocks(entry: SavedEntry) -> Iterator[Block]:
    """The figures that have a limit in a table, the others in short lines."""
    rows: list[list[Inline]] = []
    free: list[Inline] = []
    below: dict[str, str] = {}
    for one in _saved_findings(entry):
        limit = one["limit"]
        if limit is None:
            free.append([f"{one['title']}: ", Strong(str(one["text"]))])
            continue
        source = str(limit["source"]) or "no source given"
        if len(source) > LONG_SOURCE:  # told once, under the table
            letters = LETTERS[len(below) % len(LETTERS)] * (1 + len(below) // len(LETTERS))  # a to z, aa to zz
            source = f"see {below.setdefault(source, letters)} below"
        word = Verdict(str(one["word"]))
        rows.append([str(one["title"]), Strong(str(one["text"])), str(limit["text"]), source, word])
    if rows:
        yield Table(
            "Figures and limits as saved (± is the expanded uncertainty, k = 2)",
            ["Figure", "Value ± U", "Limit", "Source of the limit", "Verdict"],
            rows,
            _shares([["Figure", "Value ± U", "Limit", "Source of the limit", "Verdict"], *rows]),
        )
    if below:
        yield Paragraph("; ".join(f"{letter}: {source}" for source, letter in below.items()) + ".", "small")
    if free:
        yield Lines(f"With {NO_LIMIT}: this does not say whether these are right", free)


def _shares(rows: Sequence[Sequence[Inline]]) -> list[int]:
    """The columns' shares of a table's width, in hundredths: a verdict's word never breaks, and the rest is shared by
    the longest cells. The first two are bold."""
    said = max(len(row[-1].word) for row in rows if isinstance(row[-1], Verdict))
    verdict = 4 + round(0.82 * said)  # its mark and its letters at 9.2 pt, of 521 pt
    letters = [max(min(WIDEST_CELL, letters_in(row[at])) for row in rows) for at in range(4)]
    wide = [1.1 * letters[0] + 2, 1.1 * letters[1] + 2, letters[2] + 2.0, letters[3] + 2.0]
    return [*(round((100 - verdict) * one / sum(wide)) for one in wide), verdict]


def _by_hand(entry: SavedEntry) -> Iterator[Block]:
    """The figures that were worked by hand, as typed, each with whether it agreed and when that was judged."""
    lines: list[Inline] = []
    for one in entry.by_hand:
        told: Piece = one.word if one.good else Strong(one.word)
        lines.append([f"{one.title}: ", Code(one.typed), ", ", told, f" ({one.sentence}; judged {one.day})"])
    if lines:
        yield Lines("Worked by hand, as typed, judged by the digits written", lines)


def _readings(entry: SavedEntry) -> Iterator[Block]:
    """Every reading as typed, with the instrument that it was read with, in lines: single ones, then row by row."""
    fields = _fields(entry)
    instruments = {one.key: one.title for one in entry.instruments}
    chosen = {one.path: one.typed for one in entry.understood}
    named = {path for one in entry.instruments for path in one.fields}

    def read_with(by: str) -> str:
        title = instruments.get(chosen.get(by, ""), "")
        return f", {title}" if title else ""

    single: list[Inline] = []
    rows: dict[str, dict[str, list[Understood]]] = {}
    for one in entry.understood:
        if "." in one.path:
            of, row, *_ = one.path.split(".")
            rows.setdefault(of, {}).setdefault(row, []).append(one)
        elif one.path not in named and one.typed.strip():
            found = fields[one.path].entry if one.path in fields else None
            said = _said(one)
            if found is None and len(one.typed) > LONGEST_TEXT:
                single.append([f"{one.title}: {len(one.typed.split()):,} words or numbers, kept in the record"])
            else:
                single.append([f"{one.title}: ", Code(one.typed), said + (read_with(found.by) if found else "")])
    if single:
        yield Lines("Readings as typed, and the instrument", single)
    for name, table_rows in rows.items():
        table = fields.get(name)
        inner = {one.name: one for one in table.row.fields()} if table is not None and table.row is not None else {}
        used = dict.fromkeys(
            read_with(one.entry.by).removeprefix(", ")
            for one in inner.values()
            if one.entry is not None and one.entry.by
        )
        told = ", ".join(title for title in used if title)
        title = table.title if table is not None else name.replace("_", " ").capitalize()
        yield Lines(
            f"{title}, as typed{f': read with {told}' if told else ''}",
            [_row_line(number, row, inner) for number, row in table_rows.items()],
        )
    if entry.instruments:
        yield Paragraph([Strong("Instruments at the time: "), *_instrument_words(entry)], "small")


def _row_line(number: str, row: Sequence[Understood], fields: Mapping[str, Field]) -> Inline:
    """One row: what it is of in words, then what was typed, each with its title where there are several, and what was
    understood where it is another."""
    of = [one for one in row if one.typed.strip() and not _is_reading(one, fields)]
    read = [one for one in row if one.typed.strip() and _is_reading(one, fields)]
    names = [f"{one.title.lower()} {one.typed}" if one.typed.strip().isdecimal() else one.typed for one in of]
    words: list[Piece] = [f"{int(number) + 1}. {', '.join(names)}"]
    for at, one in enumerate(read):
        words.append(": " if at == 0 and of else "" if at == 0 else "; ")
        words.append(f"{one.title.lower().removeprefix(INSTEAD)} " if len(read) > 1 else "")
        words += [Code(one.typed), _said(one)]
    return words


def _said(one: Understood) -> str:
    """What was understood, where it says more than what was typed."""
    return "" if alike(one.typed, one.understood) else f" (understood: {one.understood})"


def _is_reading(one: Understood, fields: Mapping[str, Field]) -> bool:
    found = fields.get(one.path.rpartition(".")[2])
    return found is not None and found.entry is not None


def _fields(entry: SavedEntry) -> dict[str, Field]:
    try:
        return {one.name: one for one in sheet_type(entry.sheet).fields()}
    except SheetError:
        return {}


def _as_understood(entry: SavedEntry) -> Iterator[Block]:
    """Every reading as typed and as understood: single ones in one table, rows of readings in another."""
    yield Heading(3, "Readings")
    single = [one for one in entry.understood if "." not in one.path]
    if single:
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


def _instrument_words(entry: SavedEntry) -> Iterator[Piece]:
    for at, one in enumerate(entry.instruments):
        number = f", no. {one.serial}" if one.serial else ", number not given"
        shared = f", shared ± {one.shared}" if one.shared else ""
        calibrated = f"calibrated {one.calibrated}" if one.calibrated else "calibration not given"
        due = f"due {one.due}" if one.due else "no due date given"
        stated = f"± {one.uncertainty}{shared} ({one.stated_as})"
        yield f"{'; ' if at else ''}{one.title}{number}: {stated}, {calibrated}, {due}"
    yield "."


def _note(entry: SavedEntry) -> Iterator[Block]:
    if entry.note.strip():
        yield Paragraph([Strong("Note")])
        yield Paragraph(entry.note)


def _bounds(about: About | None, entry: SavedEntry) -> Iterator[Block]:
    if about is None:
        missing = f"This version has no sheet {entry.sheet}, so its cautions are not shown here."
        yield Box("caution", "Cautions", [Paragraph(missing)])
        return
    yield Paragraph([Strong("Cautions")])
    yield Bullets(about.cautions)
    yield Paragraph([Strong("Sign convention: "), about.sign_convention])
    if about.not_covered:
        yield Together([Paragraph([Strong("Not covered by this check:")]), Bullets(about.not_covered)])


def _history_lines(check: CheckPages) -> Iterator[Block]:
    """The other entries of the check, in short lines."""
    if not check.others:
        yield Paragraph("This is the only entry of this check.", "small")
        return
    lines: list[Inline] = []
    for one in sorted(check.others, key=lambda one: one.number):
        if check.why_untrue(one):
            lines.append([f"Entry {one.number}: ", Strong(NOT_SAVED), ", not shown"])
            continue
        words: list[Piece] = [f"Entry {one.number}, {one.local:%Y-%m-%d}, {one.who}: ", Verdict(one.word)]
        if one.number in check.replaced:
            words.append(f". Replaced by entry {check.replaced[one.number]}.")
        lines.append(words)
    yield Lines("Other entries of this check; none is ever removed", lines)
    if check.ahead:
        yield Lines("Looking ahead", [[one] for one in check.ahead])


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
        "Every entry of this check, oldest first; none is ever removed",
        ["Entry", "Saved", "By", "Verdict", "Figures with a limit", "Correction, note"],
        rows,
        [8, 13, 13, 16, 28, 22],
    )
    for chart in check.trend:
        yield _low(chart)
    if check.ahead:
        yield Together([Paragraph([Strong("Looking ahead:")]), Bullets(check.ahead)])


def _identity(entry: SavedEntry) -> Block:
    words: list[Piece] = [
        f"Entry {entry.number} of the record, check {entry.check}. Hash ",
        Code(entry.hash),
        "; the entry before ",
        Code(entry.sealed.previous),
        "; aircraft file ",
        Code(entry.aircraft_file),
        f"; rotorkit {entry.rotorkit}, sheet {entry.sheet} version {entry.sheet_version}.",
    ]
    return Paragraph(words, "small")


def saved_figure(picture: Picture, down: float = 0.0, low: bool = False) -> Block:
    """A picture from an entry: its data may be another version's, or nobody's. down: as `Figure` has it; low: drawn
    wide and low, so that several stand on a page."""
    try:
        return replace(_low(picture) if low else _figure(picture), down=down)
    except Exception:
        return Paragraph("A picture that was saved with this entry cannot be drawn by this version.", "small")


def _low(picture: Picture) -> Figure:
    return _figure(picture, LOW_WIDTH, LOW) if isinstance(picture, (Angles, Bars, Chart)) else _figure(picture)


def _figure(picture: Picture, width: float = PICTURE_WIDTH, low: float = 0.0) -> Figure:
    svg = draw(picture, width, low)
    return Figure(svg, picture.title, _described(svg))


def _described(svg: str) -> str:
    """What a picture says of itself to those who do not see it."""
    from html import unescape

    _, _, rest = svg.partition("<desc>")
    words, closed, _ = rest.partition("</desc>")
    return unescape(words) if closed else ""
