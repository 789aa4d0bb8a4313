"""What stands for every check of a folder: the one rule of `rotorkit.folder.standing`, with record and drafts."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable

from rotorkit.folder.checks import Folder
from rotorkit.folder.drafts import Draft, DraftError, Drafts
from rotorkit.folder.standing import Standing, which_stands
from rotorkit.record.entry import SavedEntry
from rotorkit.record.errors import RecordError
from rotorkit.record.listing import last_of_each, listed
from rotorkit.record.store import Record


def standings(
    folder: Folder,
    record: Record | None = None,
    *,
    entries: dict[str, SavedEntry] | None = None,
    sound: Callable[[SavedEntry], bool] = lambda entry: not entry.fault,
) -> dict[str, Standing]:
    """What stands for each check, by its name: those of the readings file, then those that only the record knows, then
    those of a draft alone.

    Arguments: folder; record, the folder's own where None; entries, what stands in the record by check, where it has
    been read already; sound, whether an entry is what was saved: of one that is not, nothing is taken. Drafts that
    cannot be read are none. Raises `RecordError` where the record cannot be read, `AircraftFileError` where the
    readings file cannot.
    """
    if entries is None:
        record = record or Record(folder)
        entries = {name: entry for name in record.checks() if (entry := record.last(name)) is not None}
    drafts = _drafts(folder)
    in_file = {check.name: check for check in folder.checks}
    found = {}
    for name in dict.fromkeys([*in_file, *entries, *(draft.check for draft in drafts if draft.check)]):
        entry = entries.get(name)
        try:
            saved = entry if entry is not None and sound(entry) else None
        except RecordError:
            saved = None
        of = [draft for draft in drafts if draft.check == name]
        found[name] = which_stands(name, saved=saved, drafts=of, in_file=in_file.get(name))
    return found


def standings_in_part(folder: Folder, most: int) -> tuple[dict[str, Standing], Counter[str]]:
    """What stands for so many checks of each sheet at most, the first of them, and how many others there are by sheet.
    Of those others no entry is read. Raises as `standings`."""
    record = Record(folder)
    last = {name: row for name, (row, _) in last_of_each(listed(record)).items()}
    sheets = {check.name: check.sheet for check in folder.checks}
    for name, row in last.items():
        sheets[name] = row.sheet or sheets.get(name, "")
    for draft in _drafts(folder):
        if draft.check:
            sheets.setdefault(draft.check, draft.sheet)
    shown: set[str] = set()
    counted: Counter[str] = Counter()
    for name, sheet in sheets.items():
        counted[sheet] += 1
        if counted[sheet] <= most:
            shown.add(name)
    entries = {name: record.entry(row.number) for name, row in last.items() if name in shown}
    found = {name: one for name, one in standings(folder, record, entries=entries).items() if name in shown}
    return found, Counter({sheet: count - most for sheet, count in counted.items() if count > most})


def _drafts(folder: Folder) -> list[Draft]:
    try:
        return Drafts(None if folder.is_demo else folder.path).all()
    except DraftError:
        return []
