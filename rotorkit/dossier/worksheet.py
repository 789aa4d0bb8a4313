"""Worksheets: a page for each job, to be filled in with a pencil at the aircraft and typed into the form in order."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import datetime
from pathlib import Path
from typing import Any

from rotorkit.aircraft import Aircraft
from rotorkit.aircraft.entries import Section
from rotorkit.dossier.pdf import INSTEAD, PdfError, typeset
from rotorkit.dossier.writing import DossierError, place_for, write_whole
from rotorkit.edges import clock
from rotorkit.edges.visible import in_a_line
from rotorkit.folder.checks import Check, Folder
from rotorkit.judging.limits import Limit
from rotorkit.pictures.figures import measuring
from rotorkit.quantities import QuantityError, display, unit_label
from rotorkit.record import Record, RecordError, standings
from rotorkit.record.by_hand import WorkedByHand, bare_unit_of
from rotorkit.sheets.base import NOT_LOOKED_AT, Field, Sheet, SheetError
from rotorkit.sheets.catalogue import sheet_type, sheets_in_order

PAPERS = ("letter", "a5")
NAME = "worksheets"
REPEATS = 3
"""So many boxes for a reading that may be repeated."""
MOST_LIMITS = 24
MOST_BY_HAND = 2
"""So many figures have a box for the builder's own hand figure."""
TYPST_PAPER = {"letter": "us-letter", "a5": "a5"}


def write_worksheets(
    folder: Folder | Path | str,
    checks: Sequence[str | Check] = (),
    out: Path | str | None = None,
    paper: str = "",
    now: datetime | None = None,
    system: str = "",
) -> Path:
    """Write the worksheets of a working folder as one PDF, a page or more for each job.

    Parameters
    ----------
    folder
        The working folder.
    checks
        Names of checks of the readings file or the record, or of sheets, or a check as it stands in a form; without
        any, every check there is and every sheet that has none yet.
    out
        Where to: a folder, or a file's name; by default ``worksheets.pdf`` in the working folder.
    paper
        ``"letter"`` or ``"a5"``; by default letter for an aircraft in US units, A5 for a metric one.
    now
        The moment that stands in it; by default the computer's.
    system
        ``"us"`` or ``"metric"``, the units of boxes and limits; by default the aircraft file's.

    Returns
    -------
    Path
        The file that was written.

    Raises
    ------
    DossierError
        Where it could not be written, and what to do.
    SheetError
        Where no check and no sheet has such a name.
    AircraftFileError
        Where a file of the folder cannot be read.
    """
    folder = folder if isinstance(folder, Folder) else Folder(folder)
    aircraft = folder.aircraft
    system = system or aircraft.aircraft.display
    paper = paper or paper_of(system)
    if paper not in PAPERS:
        raise DossierError(f"there is no paper {in_a_line(paper)!r}: choose {' or '.join(PAPERS)}")
    when = now or clock.now()
    place = place_for(folder, out, NAME)
    data = worksheet_data(folder, jobs_of(folder, checks), paper, when, system)
    file = place.with_name(f"{place.name}.pdf")
    try:
        write_whole(file, [typeset(Path(__file__).parent / "worksheet.typ", data, when)])
    except PdfError as problem:
        told = str(problem).removesuffix(INSTEAD).rstrip(" :,").removesuffix(", or")
        raise DossierError(f"no worksheet was written: {told}") from None
    return file


def paper_of(system: str) -> str:
    """The paper that goes with units: A5 with metric ones, letter with US ones."""
    return "a5" if system == "metric" else "letter"


def jobs_of(folder: Folder, names: Sequence[str | Check] = ()) -> list[Check]:
    """The checks that are named, by their own name or by their sheet's; without names, every check of the readings file
    and the record, and a new one for every sheet that has none. Raises `SheetError`."""
    checks = _checks(folder)
    if names:
        found = []
        for name in names:
            if isinstance(name, Check):
                found.append(name)
                continue
            known = [one for one in checks if one.name == name]
            found += known or [_new(sheet_type(name), folder.aircraft)]
        return found
    used = {one.sheet for one in checks}
    known = []
    for one in checks:
        try:
            sheet_type(one.sheet)
        except SheetError:  # of a sheet that this version does not have there is no page
            continue
        known.append(one)
    return [*known, *(_new(kind, folder.aircraft) for kind in sheets_in_order() if kind.name not in used)]


def _checks(folder: Folder) -> list[Check]:
    """Every check with the readings that stand for it, which say of what it is and which rows it has; those of the
    readings file alone where the record cannot be read: a damaged record keeps nobody from measuring."""
    try:
        stands = standings(folder)
    except RecordError:
        return folder.checks
    return [Check(one.check, one.title, one.sheet, one.readings) for one in stands.values()]


def _new(kind: type[Sheet], aircraft: Aircraft) -> Check:
    return Check(kind.name, kind.about.title, kind.name, kind.start(aircraft))


def worksheet_data(
    folder: Folder, jobs: Sequence[Check], paper: str, when: datetime, system: str = ""
) -> dict[str, Any]:
    """What the pages show, as plain values for the typesetter. system: the units, the aircraft file's where empty."""
    aircraft = folder.aircraft
    identity = aircraft.aircraft
    if system and system != identity.display:
        identity = identity.model_copy(update={"display": system})
        aircraft = aircraft.model_copy(update={"aircraft": identity})
    with display(identity.display):
        pages = [page_data(job, aircraft, _last_by_hand(folder, job)) for job in jobs]
    name = identity.name + (f", serial {identity.serial}" if identity.serial else "")
    return {
        "title": f"Worksheets for {name}",
        "aircraft": name,
        "author": identity.builder or "the builder",
        "paper": TYPST_PAPER[paper],
        "small": paper == "a5",
        "printed": f"{when:%Y-%m-%d}",
        "date": [when.year, when.month, when.day, when.hour, when.minute],
        "pages": pages,
    }


def _last_by_hand(folder: Folder, job: Check) -> dict[str, WorkedByHand]:
    """The hand figures that the last entry of a check holds, by their keys; none where nothing can be told."""
    try:
        entry = Record(folder).last(job.name)
    except RecordError:
        return {}
    return {} if entry is None or entry.fault else {one.key: one for one in entry.by_hand}


def page_data(job: Check, aircraft: Aircraft, last: Mapping[str, WorkedByHand] | None = None) -> dict[str, Any]:
    """What a job's page shows, in the display system in force. last: hand figures of its last entry."""
    last = last or {}
    kind = sheet_type(job.sheet)
    start = kind.start(aircraft)
    fields = [one for one in kind.fields_as_typed() if one.name not in kind.by_file]
    groups: list[dict[str, Any]] = []
    counter = [0]
    for one in fields:
        given = job.readings.get(one.name, start.get(one.name)) if one.name not in kind.of_file else ""
        if one.row is None:
            if not groups or groups[-1]["rows_of"]:
                groups.append({"caption": "", "rows_of": False, "rows": [{"label": "", "items": []}]})
            groups[-1]["rows"][0]["items"].append(_item(one, given, aircraft, counter, chosen=True))
        else:
            groups.append(_rows(one, given, start.get(one.name), aircraft, counter))
    return {
        "title": job.title,
        "name": job.name,
        "sheet": kind.about.title,
        "settles": kind.about.settles,
        "svg": measuring(kind.name),
        "limits": _as_many_as_fit(list(_limits(job, kind, aircraft))),
        "groups": groups,
        "by_hand": list(_by_hand(job, aircraft, last)),
        "signs": " ".join([kind.about.sign_convention, *_words_of_file(job, kind, aircraft)]),
        "cautions": [_first_sentence(caution) for caution in kind.about.cautions],
    }


def _by_hand(job: Check, aircraft: Aircraft, last: Mapping[str, WorkedByHand]) -> Iterator[dict[str, str]]:
    """What may be worked by hand beside the readings: the figures that were so the last time, else the first ones that
    have a limit; a line without a title where none is known yet."""
    found = []
    try:
        if not job.blank:
            found = [one for one in job.outcome(aircraft).findings if not one.counted]
    except (SheetError, QuantityError, ArithmeticError):
        pass
    picked = [one for one in found if one.key in last] or [
        one for one in found if one.verdict.limit is not None and not one.aside
    ]
    for one in picked[:MOST_BY_HAND]:
        unit = bare_unit_of(one, aircraft.aircraft.display)
        before = last.get(one.key)
        told = "" if before is None else f"last time {before.typed}, {before.word}, {before.day}"
        yield {"title": one.title, "unit": unit_label(unit, one.measured.kind) if unit else "", "last": told}
    if not picked:
        yield {"title": "", "unit": "", "last": ""}


def _words_of_file(job: Check, kind: type[Sheet], aircraft: Aircraft) -> Iterator[str]:
    """What the aircraft file says of signs and of the place to measure, in one sentence for each rotor."""
    told: dict[str, list[str]] = {}
    for place, said in kind.words_of_file(kind.picked_in(job.readings, aircraft), aircraft):
        rotor, key = place.replace("_", " ").split(".", 1)
        told.setdefault(rotor, []).append(f"{key.replace('.', ', ')}: {in_a_line(said) or 'not given yet'}")
    for rotor, words in told.items():
        yield f"In the aircraft file, {rotor}: {'; '.join(words)}."


def _as_many_as_fit(limits: list[str]) -> list[str]:
    """The limits, and in the last one's place how many others there are, where they are too many."""
    if len(limits) <= MOST_LIMITS:
        return limits
    return [*limits[: MOST_LIMITS - 1], f"and {len(limits) - MOST_LIMITS + 1} more limits: see the aircraft file"]


def _first_sentence(text: str) -> str:
    head, dot, _ = text.partition(". ")
    return head + ("." if dot else "")


def _rows(one: Field, given: Any, start: Any, aircraft: Aircraft, counter: list[int]) -> dict[str, Any]:
    """A table of the form: each row named as the form names it, its readings empty."""
    assert one.row is not None
    inner = one.row.fields()
    begun = start if isinstance(start, list) else []
    rows = [row for row in given if isinstance(row, Mapping)] if isinstance(given, list) else []
    rows = rows or begun or [{}]
    names = {key for row in begun for key in row}
    texts = {field.name for field in inner if field.entry is None and field.choice is None}
    made = []
    for number, row in enumerate(rows, 1):
        known = [f for f in inner if f.name in (names or texts) and f.entry is None and row.get(f.name)]
        # a bare number is said with what it counts: "belt 1"
        told = [(f.title.lower(), in_a_line(str(row[f.name]))) for f in known]
        label = ", ".join(f"{title} {value}" if value.isdecimal() else value for title, value in told)
        rest = [f for f in inner if f not in known]
        made.append(
            {
                "label": f"{number}. {label}".strip(),
                "items": [_item(f, None, aircraft, counter, chosen=False) for f in rest],
            }
        )
    return {"caption": one.title, "rows_of": True, "rows": made}


def _item(one: Field, given: Any, aircraft: Aircraft, counter: list[int], chosen: bool) -> dict[str, Any]:
    """A field: its title, and boxes to write in, or what there is to pick from."""
    counter[0] += 1
    item: dict[str, Any] = {
        "number": counter[0],
        "title": one.title,
        "unit": "",
        "boxes": 0,
        "options": [],
        "given": "",
        "words": False,
    }
    if one.entry is not None:
        unit = one.entry.shown_unit(aircraft.aircraft.display)
        item["unit"] = unit_label(unit, one.entry.wanted) if unit else ""
        item["boxes"] = REPEATS if one.entry.repeats else 1
    elif one.choice is not None and one.choice.of:
        there = aircraft.choices(one.choice.of, one.choice.measures)
        item["given"] = str(there.get(given, given) if isinstance(there, Mapping) else given) if given else ""
        item["boxes"] = 0 if item["given"] else 1
    elif one.choice is not None:
        item["options"] = [option for option in one.choice.options if option != NOT_LOOKED_AT]
    else:
        item["given"] = in_a_line(str(given)) if given and chosen else ""
        item["boxes"] = 0 if item["given"] else 1
        item["words"] = True
    return item


def _limits(job: Check, kind: type[Sheet], aircraft: Aircraft) -> Iterator[str]:
    """The limits that the job will be judged by: those of the readings that are there, else those that the aircraft
    file gives for what the job is of."""
    told: dict[str, None] = {}
    try:
        if not job.blank:
            for finding in job.outcome(aircraft).findings:
                limit = finding.verdict.limit
                if limit is not None and not limit.open:
                    told[f"{finding.title}: {limit.text}{_source(limit)}"] = None
    except (SheetError, QuantityError, ArithmeticError):
        told.clear()
    if not told:
        for limit in _limits_of_file(job, kind, aircraft):
            told[f"{limit.name}: {limit.text}{_source(limit)}"] = None
    yield from told


def _source(limit: Limit) -> str:
    return f" ({limit.source})" if limit.source and len(limit.source) < 40 else ""


def _limits_of_file(job: Check, kind: type[Sheet], aircraft: Aircraft) -> Iterator[Limit]:
    """The limits that the sheet says it judges by, and no others."""
    for place in kind.limits_used(kind.picked_in(job.readings, aircraft)):
        first, *names = place.split(".")
        if first == "limits":
            of = sheet_type(names[0])
            yield from (limit for key in of.limits if (limit := of.limit(key, aircraft)) is not None)
            continue
        there: Any = getattr(aircraft, first)
        for name in names:
            there = there.get(name) if isinstance(there, Mapping) else getattr(there, name, None)
        if isinstance(there, Limit):
            yield from [] if there.open else [there]
        else:
            yield from _within(there)


def _within(section: Any) -> Iterator[Limit]:
    if not isinstance(section, Section):
        return
    for name in type(section).model_fields:
        value = getattr(section, name)
        if isinstance(value, Limit):
            if not value.open:
                yield value
        else:
            yield from _within(value)
