"""Commands of the build record: `rotorkit record ...`, `rotorkit recheck`, `rotorkit dossier`.

What exit codes mean stands in ``docs/pages/commands.md``, for every command.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from rotorkit.cli.console import (
    MOST_TOLD,
    Progress,
    fail,
    here_or,
    no_such,
    not_as_saved,
    quoted,
    say,
    split_names,
    width,
    working_folder,
    wrapped,
)
from rotorkit.edges.program import typed
from rotorkit.edges.received import is_there
from rotorkit.edges.visible import in_a_line

if TYPE_CHECKING:
    from rotorkit.aircraft import Aircraft
    from rotorkit.record import Record, Verification
    from rotorkit.record.by_hand import WorkedByHand
    from rotorkit.sheets.base import Outcome, Sheet


app = typer.Typer(
    name="record",
    help="Keep checks in the build record, look at it, verify it, carry it elsewhere.",
    no_args_is_help=True,
    rich_markup_mode=None,
    context_settings={"help_option_names": ["-h", "--help"]},
)


def _entry_number(text: str) -> int:
    if not (text.isascii() and text.isdigit()):
        raise typer.BadParameter(
            f"needs an entry's number such as 12, got '{in_a_line(text)}'; {typed('record list')} shows them"
        )
    return int(text)


Number = Annotated[int, typer.Argument(metavar="N", help="The entry's number.", parser=_entry_number)]
Dir = Annotated[
    Path | None,
    typer.Argument(metavar="[DIR]", help="The working folder; without it, the one you are in.", show_default=False),
]
Out = Annotated[
    Path | None,
    typer.Option("--out", metavar="PATH", help="Where to: a folder, or a file's name; else the working folder."),
]
NoPdf = Annotated[bool, typer.Option("--no-pdf", help="Only the HTML page.")]
Overwrite = Annotated[bool, typer.Option("--overwrite", help="Replace a file that is already there.")]


@contextmanager
def _plainly() -> Iterator[None]:
    """What can go wrong with record and files, as a plain message and exit code 1."""
    try:
        yield
    except typer.Exit:
        raise
    except Exception as problem:
        from rotorkit.record import NOTHING_SAVED

        if not isinstance(problem, _told_plainly()):
            raise
        fail(str(problem).replace(NOTHING_SAVED, "Nothing was saved."))


def _told_plainly() -> tuple[type[Exception], ...]:
    """The faults whose message is for the person: asked for when there is one, as they come from rooms that a command
    may not have needed."""
    from rotorkit.aircraft.file import AircraftFileError
    from rotorkit.dossier import DossierError
    from rotorkit.quantities import QuantityError
    from rotorkit.record import RecordError
    from rotorkit.sheets.base import SheetError

    return AircraftFileError, DossierError, QuantityError, RecordError, SheetError


def _record(folder: Path | None) -> Record:
    """The record of a folder, for reading: a folder that holds a record need not hold an aircraft file."""
    from rotorkit.aircraft.place import nearest_folder
    from rotorkit.record import Record

    if folder is None:
        return Record(nearest_folder())
    return Record(folder if is_there(folder / "record.sqlite") else working_folder(folder))


def _own_record(folder: Path | None) -> Record:
    """The record of a folder, for writing: not that of the demo inside the program."""
    from rotorkit.record import Record

    found = here_or(folder)
    if found.is_demo:
        fail(
            "there is no aircraft.toml here, and the demo inside the program keeps no record: name your working "
            f"folder, or make one with: {typed('new DIR')}"
        )
    return Record(found)


@app.command()
def save(
    check: Annotated[str, typer.Argument(metavar="CHECK", help="The check's name in readings.toml.")],
    who: Annotated[str, typer.Option("--who", help="Who did the work: a name or initials.", show_default=False)],
    folder: Dir = None,
    note: Annotated[str, typer.Option("--note", help="Anything worth knowing later.")] = "",
    corrects: Annotated[
        int | None,
        typer.Option("--corrects", metavar="N", help="The entry that this one replaces.", parser=_entry_number),
    ] = None,
    why: Annotated[str, typer.Option("--why", help="Why it replaces that entry.")] = "",
    by_hand: Annotated[
        list[str] | None,
        typer.Option(
            "--by-hand",
            metavar="FIGURE=VALUE",
            help="A figure you worked by hand, to be judged and kept: drop.left='77 rpm'. Once for each.",
        ),
    ] = None,
) -> None:
    """Work a check of readings.toml and save it to the record. When this says "saved", it is on the drive."""
    from rotorkit.cli.known import known_entries
    from rotorkit.folder.checks import Folder
    from rotorkit.quantities import use_display

    record = _own_record(folder)
    figures = {}
    for one in by_hand or []:
        key, equals, value = one.partition("=")
        if not equals or not value.strip():
            fail(
                f"write a hand figure as FIGURE=VALUE, such as drop.left='77 rpm', not {in_a_line(one)!r:.60}. "
                "Nothing was saved.",
                code=2,
            )
        figures[key.strip()] = value.strip()
    with _plainly():
        here = Folder(record.folder)
        found = here.check(check)
        if found.blank:
            fail(f"{check} holds no readings yet: write them into readings.toml. Nothing was saved.")
        use_display(here.aircraft.aircraft.display)
        sheet = found.made()
        text = record.aircraft_text()
        outcome = _worked_now(sheet, here.aircraft)
        entry = record.save(check, sheet, outcome, text, who, note, corrects, why, found.title, by_hand=figures)
    with known_entries():
        entry.fault  # noqa: B018  # looked at here, where all that it takes is loaded, and not by the next list
    say(in_a_line(f"Saved as entry {entry.number}: {entry.title}: {entry.word}."))
    for hand in entry.by_hand:
        say(wrapped(in_a_line(f"By hand, {hand.title}: {hand.word}: {hand.sentence}.")))
    say(f"Its hash, to note elsewhere: {entry.hash}")
    for hand in entry.by_hand:
        if not hand.good and hand.key in figures:
            with _plainly():
                say(wrapped(in_a_line(_explained(sheet, here.aircraft, outcome, hand))))


def _worked_now(sheet: Sheet, aircraft: Aircraft) -> Outcome:
    """The sheet worked, never taken from before, and kept for the next look at how the folder stands."""
    from rotorkit.aircraft.looked_at import LookedAt
    from rotorkit.edges import clock
    from rotorkit.edges.program import is_the_command
    from rotorkit.record.remembered import Remembered

    looked_at = LookedAt(aircraft)
    with clock.watched() as watch:
        outcome = sheet.work(looked_at.given)
    if is_the_command():
        Remembered().keep(sheet, looked_at, outcome, watch)
    return outcome


def _explained(sheet: Sheet, aircraft: Aircraft, outcome: Outcome, hand: WorkedByHand) -> str:
    """Which slip explains a hand figure that does not agree, in words."""
    from rotorkit.quantities import display_system
    from rotorkit.record.by_hand import bare_unit_of
    from rotorkit.teach.otherwise import otherwise
    from rotorkit.teach.slips import diagnose_figure

    found = outcome.finding(hand.key)
    bare = bare_unit_of(found, display_system()) or None
    others = otherwise(sheet, aircraft, hand.key)
    diagnosis = diagnose_figure(outcome.steps, found.measured, hand.typed, bare, others)
    lines = "; ".join(diagnosis.shown)
    as_it_should = f" As it should be: {lines}." if lines else ""
    return f"{hand.title}, look at: {diagnosis.hint}.{as_it_should}"


@app.command()
def attach(
    number: Number,
    photographs: Annotated[
        list[Path], typer.Argument(metavar="FILE...", help="Photographs: JPEG, PNG or WebP.", show_default=False)
    ],
    who: Annotated[str, typer.Option("--who", help="Who attaches them: a name or initials.", show_default=False)],
    folder: Annotated[
        Path | None,
        typer.Option("--in", metavar="DIR", help="The working folder; without it, the one you are in."),
    ] = None,
) -> None:
    """Attach photographs to a saved check, by an entry of its own; the files are kept in the folder photographs."""
    record = _own_record(folder)
    with _plainly():
        entry = record.attach(number, photographs, who)
    said = f"Saved as entry {entry.number}, which replaces entry {number} and holds all of it: {entry.why}."
    say(in_a_line(said))
    say(f"Its hash, to note elsewhere: {entry.hash}")


@app.command(name="list")
def list_entries(
    folder: Dir = None,
    check: Annotated[
        str | None, typer.Option("--check", metavar="NAME", help="Only the entries of this check.")
    ] = None,
) -> None:
    """List every entry: number, check, verdict, when, who, and what corrects what."""
    from rotorkit.cli.entries_text import entries_text
    from rotorkit.cli.known import known_entries
    from rotorkit.record import verify

    with _plainly(), known_entries():
        record = _record(folder)
        found = verify(record)
        text = entries_text(record, check, width(), found)
        if not text and check is not None and record.checks():
            fail(f"the record holds no entry of {check}: it has {in_a_line(', '.join(record.checks()))}")
    if text:
        as_saved = f"Each with its verdict as it was saved. Whether these still stand: {typed('recheck')}"
        say(f"{text}\n{wrapped(as_saved)}")
    elif found.whole:
        say(found.sentence)
    _tell(found)


@app.command()
def show(
    number: Number,
    folder: Dir = None,
) -> None:
    """Print one entry as it was saved: readings, instruments, figures, verdicts, hash."""
    from rotorkit.cli.known import known_entries
    from rotorkit.cli.record_text import entry_text
    from rotorkit.record import verify

    with _plainly(), known_entries():
        record = _record(folder)
        found = verify(record)
        say(entry_text(record, number, width(), found))
    _tell(found)


@app.command()
def verify(
    folder: Dir = None,
    noted: Annotated[
        str | None,
        typer.Option(
            "--noted", metavar="HASH", help="A hash noted elsewhere, whole or its first digits.", show_default=False
        ),
    ] = None,
) -> None:
    """Tell whether the record is as it was saved: every entry, none missing, in order. Exit code 1 when it is not."""
    from rotorkit import record as records

    with _plainly(), Progress() as progress:
        found = records.verify(_record(folder), noted, progress.of("verifying the record"))
    if not found.whole:
        fail(found.sentence)
    say(wrapped(found.sentence))
    for doubt in found.doubts:
        say(wrapped(f"Needs attention: {doubt}."))


@app.command()
def export(
    file: Annotated[Path, typer.Argument(metavar="FILE", help="The file to write.")],
    folder: Dir = None,
    overwrite: Overwrite = False,
) -> None:
    """Write the whole record to a file as JSON Lines, without loss: a backup, or to carry it elsewhere.

    Of a damaged record every entry that is as it was saved is written; those that are not are named, and the exit code
    is 1.
    """
    from rotorkit.record import export_lines

    with _plainly():
        found = export_lines(_record(folder), file, overwrite)
    say(f"Wrote {_entries(found.entries)} to {file}.")
    if not found.whole:
        fail(found.sentence)


@app.command(name="import")
def import_record(
    file: Annotated[Path, typer.Argument(metavar="FILE", help="A file that 'rotorkit record export' wrote.")],
    folder: Dir = None,
) -> None:
    """Bring an export into a folder: the whole record, or what its record lacks at the end. All or nothing.

    The exit code is 1 where nothing was brought, and where the export itself says that entries are lost.
    """
    from rotorkit.record import Record, import_lines

    if folder is not None and folder.is_dir():
        record = Record(folder)
    else:
        record = _own_record(folder)
    with _plainly():
        found = import_lines(record, file)
    say(f"Added {_entries(found.added)} to the record in {record.folder}.")
    if not (record.folder / "aircraft.toml").is_file():
        say(wrapped("There is no aircraft.toml in it yet: put yours there, to work the checks again and to save."))
    if found.sentence:
        fail(found.sentence)


@app.command()
def csv(
    file: Annotated[Path, typer.Argument(metavar="FILE", help="The file to write.")],
    folder: Dir = None,
    overwrite: Overwrite = False,
) -> None:
    """Write every figure of the record as one row for a spreadsheet. It cannot be imported again."""
    from rotorkit.aircraft import load_aircraft
    from rotorkit.record import export_csv, verify

    with _plainly():
        record = _record(folder)
        found = verify(record)
        if found.whole and not found.entries:
            fail(f"{found.sentence} No file was written.")
        there = (record.folder / "aircraft.toml").is_file()
        system = load_aircraft(record.folder).aircraft.display if there else None
        export_csv(record, file, system, overwrite, found)
    say(f"Wrote {file}.")
    _tell(found)


def recheck(
    folder: Dir = None,
    everything: Annotated[
        bool, typer.Option("--all", help="Every entry, corrected and earlier ones too; else the last of each check.")
    ] = False,
) -> None:
    """Work saved entries again with today's program, limits and instruments, and list what moved, with its cause.

    The exit code is 0 also when something moved, and 1 when record or aircraft file cannot be read, or the record is
    not as it was saved.
    """
    from rotorkit import record as records
    from rotorkit.cli.record_text import recheck_text
    from rotorkit.quantities import use_display

    with _plainly():
        here = here_or(folder)
        use_display(here.aircraft.aircraft.display)
        with Progress() as progress:
            found = records.recheck(here, everything=everything, progress=progress.of("working the checks out again"))
        say(recheck_text(found, width()))
        if found.faults:
            fail(not_as_saved(found.faults))


def dossier(
    folder: Dir = None,
    out: Out = None,
    no_pdf: NoPdf = False,
    worked: Annotated[
        bool, typer.Option("--worked", help="The calculations too, as a second volume: dossier-worked.")
    ] = False,
) -> None:
    """Write the whole record for an inspector, a page for each check: dossier.html and dossier.pdf.

    The exit code is 0 when all that was asked for was written and the record is whole, else 1; what is there is said.
    """
    from rotorkit.dossier import write_dossier

    here = here_or(folder)
    if here.is_demo:
        say("There is no aircraft.toml here: this is the invented demo aircraft, which keeps no record.\n")
    with _plainly(), Progress() as progress:
        made = write_dossier(here, out, not no_pdf, progress, worked=worked)
    for file in filter(None, (made.page, made.pdf, *made.more_pages, *made.more_pdfs)):
        say(f"Wrote {quoted(file)}, {file.stat().st_size / 1e6:.1f} MB")
    checks = "1 check" if made.checks == 1 else f"{made.checks} checks"
    say(f"It shows {checks} of a record of {_entries(made.entries)}.")
    if made.not_saved:
        say(wrapped(f"Not saved to the record, and so not shown: {'; '.join(made.not_saved)}."))
    if made.faults:
        fail(f"the record is not as it was saved, and the dossier says so: {'; '.join(made.faults[:MOST_TOLD])}")
    if made.why_no_pdf and not no_pdf:
        which = "no PDF was written" if made.pdf is None else "the second volume has no PDF"
        fail(f"{which}: {made.why_no_pdf}")


def weight_and_balance(
    folder: Dir = None,
    out: Out = None,
    no_pdf: NoPdf = False,
) -> None:
    """Write the weight-and-balance report for the aircraft's papers: the record's last weighing, ledger and loadings.

    The exit code is 0 when all that was asked for was written, the record is whole, and nothing is lacking; else 1.
    """
    from rotorkit.dossier import write_weight_and_balance

    here = here_or(folder)
    if here.is_demo:
        say("There is no aircraft.toml here: this is the invented demo aircraft, which keeps no record.\n")
    with _plainly(), Progress() as progress:
        made = write_weight_and_balance(here, out, not no_pdf, progress)
    for file in filter(None, (made.page, made.pdf)):
        say(f"Wrote {quoted(file)}, {file.stat().st_size / 1e6:.1f} MB")
    if made.shown:
        say(f"It shows {'entry' if len(made.shown) == 1 else 'entries'} {', '.join(map(str, made.shown))}.")
    if made.faults:
        fail(f"the record is not as it was saved, and the report says so: {'; '.join(made.faults[:MOST_TOLD])}")
    if made.lacking:
        fail(f"the report is not complete, and says so: the record holds {', '.join(made.lacking)}")
    if made.pdf is None and not no_pdf:
        fail(f"no PDF was written: {made.why_no_pdf}")


def worksheet(
    named: Annotated[
        list[str] | None,
        typer.Argument(
            metavar="[CHECK...] [DIR]",
            help="Names of checks or of sheets, else every job; the working folder, if not the one you are in.",
            show_default=False,
        ),
    ] = None,
    out: Out = None,
    paper: Annotated[
        str, typer.Option("--paper", help="letter or a5; else letter for US units, a5 for metric ones.")
    ] = "",
) -> None:
    """Write pages to take to the aircraft: what to measure, this aircraft's limits, boxes in the order of the form."""
    from rotorkit.dossier import write_worksheets
    from rotorkit.dossier.worksheet import PAPERS
    from rotorkit.sheets import sheet_names

    if paper not in ("", *PAPERS):
        fail(f"there is no paper {in_a_line(paper)!r}: choose {' or '.join(PAPERS)}", code=2)
    checks, folder = split_names(named or [])
    here = here_or(folder)
    with _plainly():
        there = [check.name for check in here.checks]
        for name in checks:
            if name not in there and name not in sheet_names():
                fail(no_such(name, [*there, *sheet_names()]))
        made = write_worksheets(here, checks, out, paper)
    say(f"Wrote {quoted(made)}, {made.stat().st_size / 1e6:.1f} MB")


def _tell(found: Verification) -> None:
    """End with 1 where the record is not as it was saved."""
    if not found.whole:
        fail(found.sentence)


def _entries(count: int) -> str:
    return "1 entry" if count == 1 else f"{count:,} entries"
