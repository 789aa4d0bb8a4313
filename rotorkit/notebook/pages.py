"""Pages to read, as HTML: what a sheet says of itself, a folder's verdicts, the four verdicts explained."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from rotorkit.aircraft import Aircraft, AircraftFileError
from rotorkit.folder.checks import Folder
from rotorkit.folder.standing import Standing
from rotorkit.folder.workings import Workings
from rotorkit.formula import Worked
from rotorkit.judging.limits import UNDONE, Limit, Verdict
from rotorkit.judging.measured import measured
from rotorkit.notebook import words
from rotorkit.notebook.style import STYLE
from rotorkit.pictures import draw
from rotorkit.pictures.figures import measuring
from rotorkit.quantities import Force, use_display
from rotorkit.record import NOT_THE_WHOLE_LIST, USUAL, RecordError, board, standings
from rotorkit.record.board import BESIDES
from rotorkit.sheets.base import Finding, Outcome, Sheet, SheetError, bars

MOST_TOLD = 20
"""So many faults of a record are told on the board's page."""


@dataclass(frozen=True)
class Page:
    """Something to read in a notebook."""

    html: str

    def _repr_html_(self) -> str:
        return STYLE + framed(self.html)

    def __repr__(self) -> str:
        return "<a page, shown in a notebook>"


def framed(html: str) -> str:
    """HTML within our own style."""
    return f'<div class="rotorkit">{html}</div>'


def pictures(drawn: Sequence[str]) -> str:
    """Drawn pictures side by side where there is room."""
    return f'<div class="rotorkit-pictures">{"".join(drawn)}</div>'


def old_picture(drawn: str) -> str:
    """A picture of the readings before, as long as its new one is being worked out."""
    return f'<div class="rotorkit-old" aria-hidden="true">{drawn}<p>Of the readings before: being worked.</p></div>'


def settles(sheet: type[Sheet]) -> Page:
    """What a sheet settles, and when it is done."""
    about = sheet.about
    return Page(f"<p>{words.escape(about.settles)}</p><p><b>When:</b> {words.escape(about.when)}</p>")


def cautions(sheet: type[Sheet]) -> Page:
    """A sheet's cautions."""
    return Page(words.listed(sheet.about.cautions))


def listed_page(*sentences: str) -> Page:
    """Sentences as a list to read."""
    return Page(words.listed(sentences))


def how(sheet: type[Sheet]) -> Page:
    """Tools, procedure and sign convention, with the drawn figure of how the readings are taken."""
    about = sheet.about
    return Page(
        f'<div class="rotorkit-figure">{measuring(sheet.name)}</div>'
        f"<p><b>Tools</b></p>{words.listed(map(words.capital, about.tools))}"
        f"<p><b>Procedure</b></p>{words.listed(about.procedure, ordered=True)}"
        f"<p><b>Sign convention</b></p><p>{words.escape(about.sign_convention)}</p>"
    )


def not_covered(sheet: type[Sheet]) -> Page:
    """What a sheet does not cover."""
    return Page(f"<p><b>Not covered</b></p>{words.listed(map(words.capital, sheet.about.not_covered))}")


def show(worked: Worked | Sequence[Worked]) -> object:
    """A worked calculation, or several, typeset."""
    from IPython.display import Markdown

    steps = [worked] if isinstance(worked, Worked) else list(worked)
    return Markdown("\n\n".join(step._repr_markdown_() for step in steps))


def aircraft_page(aircraft: Aircraft) -> Page:
    """Which aircraft this is, what it is measured with, and what in its file does not fit together."""
    who = aircraft.aircraft
    serial = f", serial {words.escape(who.serial)}" if who.serial else ""
    rows = [(one.named, one.what, one.serial, one.spread, str(one.due or "")) for one in aircraft.instruments.values()]
    table = words.table("Its instruments", ("Instrument", "measures", "serial", "uncertainty", "calibration due"), rows)
    faults = aircraft.inconsistencies()
    fits = "<p>The file's dimensions, ratios and speeds fit together.</p>"
    if faults:
        fits = "<p><b>These do not fit together</b></p>" + words.listed(faults)
    return Page(f"<p><b>{words.escape(who.name)}</b>{serial}</p>{fits}{table}")


def folder_page(folder: Folder, workings: Workings | None = None) -> Page:
    """The folder's checks with the verdicts of the readings that stand for them, and which these are; then each with
    its figures. A check that cannot be worked says why. workings: what was worked of them a moment ago."""
    use_display(folder.aircraft.aircraft.display)
    rows, parts = [], []
    found, unread = standings_of(folder)
    for stands in found:
        check, kept = stands.as_check, unread or stands.sentence
        try:
            if check.blank:
                rows.append((check.title, "no readings yet", "", kept))
                continue
            outcome = check.outcome(folder.aircraft, workings)
        except SheetError as problem:
            said = "; ".join(f"{path}: {message}" if path else message for path, message in problem.problems)
            rows.append((check.title, words.wrong(said, "Could not be worked:"), "", kept))
            continue
        counted = [found for found in outcome.findings if not found.aside]
        bearing = [found for found in counted if found.verdict.word == outcome.word]
        names = ", ".join(found.title for found in bearing) if len(bearing) < max(len(counted), 2) else "every figure"
        rows.append((check.title, words.verdict_word(outcome.word), words.escape(names), kept))
        parts.append(
            f"<details><summary>{words.escape(check.title)}: every figure</summary>"
            f"{words.headline(outcome)}{words.findings_table(outcome, told=words.told(outcome))}</details>"
        )
    if not rows:
        return Page("<p>There is no check yet.</p>")
    heads = ("Check", "Worst verdict", "Of", "Which readings")
    table = words.table(folder.aircraft.aircraft.name, heads, rows, raw=(1, 2))
    return Page(table + "".join(parts))


def standings_of(folder: Folder) -> tuple[list[Standing], str]:
    """What stands for each check of a folder, and that the record cannot be read, or an empty text."""
    try:
        return list(standings(folder).values()), ""
    except RecordError:
        return list(standings(folder, entries={}).values()), "unknown: the record cannot be read"


def board_page(folder: Folder) -> Page:
    """The status board: what comes next, and each milestone's jobs with how they stand, what to do, and why."""
    use_display(folder.aircraft.aircraft.display)
    try:
        found = board(folder)
    except RecordError as problem:
        return Page(words.wrong(str(problem), "The status board cannot be shown."))
    usual = words.hint(f"{USUAL} {NOT_THE_WHOLE_LIST}" if found.usual else NOT_THE_WHOLE_LIST)
    named = [(milestone.sentence, milestone.rows) for milestone in found.milestones]
    tables = [
        words.table(
            said,
            ("Job", "Status", "Why it is needed"),
            [(row.job, words.job(row), row.why) for row in rows],
            raw=(1,),
        )
        for said, rows in [*named, *([(BESIDES, found.besides)] if found.besides else [])]
    ]
    wrong = "".join(words.wrong(f"{words.capital(fault)}.") for fault in found.faults[:MOST_TOLD])
    return Page(f"<p><b>{words.escape(found.sentence)}</b></p>{wrong}{''.join(tables)}{usual}")


EXAMPLES = {  # a cable's limit, and a reading inside it, outside it, and across it
    "us": ("lbf", ("30 lb", "40 lb"), ("35 ± 2 lb", "44 ± 2 lb", "39 ± 2 lb")),
    "metric": ("N", ("130 N", "180 N"), ("155 ± 9 N", "196 ± 9 N", "174 ± 9 N")),
}


def verdicts_page(folder: Folder | None = None) -> Page:
    """The verdicts by example: one gauge, one limit, four readings, and one not taken yet.

    Arguments: folder, whose display units they are in (default: the nearest working folder).
    """
    try:
        system = (folder or Folder.here()).aircraft.aircraft.display
    except AircraftFileError:  # what is wrong with the file is told elsewhere on the page
        system = "us"
    use_display(system)
    unit, (low, high), (inside, outside, across) = EXAMPLES[system]
    limit = Limit("cable tension", Force, low, high, "demo manual 7-12", unit)
    examples = [
        ("The whole uncertainty inside", limit, inside),
        ("The whole uncertainty outside", limit, outside),
        ("The uncertainty lies across the limit", limit, across),
        ("No limit in the aircraft file", Limit("cable tension", Force), inside),
    ]
    findings = [
        Finding(str(i), title, against.judge(measured(text, Force, "gauge")))
        for i, (title, against, text) in enumerate(examples)
    ]
    untaken = measured(inside, Force, "gauge")
    settle = "read the other cable too"
    findings.append(Finding("undone", "A part is missing", Verdict(UNDONE, untaken, limit, "not read yet", settle)))
    outcome = Outcome("A cable's tension and its verdict", findings, [])
    picture = draw(bars("Three readings against one limit", findings[:-1], system))
    return Page(words.findings_table(outcome) + pictures([picture]))
