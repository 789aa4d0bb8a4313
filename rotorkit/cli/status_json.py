"""How a working folder stands, for another program: `rotorkit status --json`. The keys are described in `KEYS`; they
keep their names and meanings, and new ones may come beside them.
"""

from __future__ import annotations

import json
from typing import Any

from rotorkit import __version__
from rotorkit.cli.verdict_table import CheckTable, Figure, Table
from rotorkit.record import Board, BoardRow

FORMAT = 1
"""Goes up by one where a key is taken away or changes its meaning."""
KEYS = {
    "format": "1: what is said here about the keys",
    "rotorkit": "the version of the program",
    "aircraft": "name and serial number of the aircraft",
    "look_at": "list of sentences: what in the aircraft file does not fit together, calibrations past due",
    "checks": "list, in the order of the readings file, then what only the record knows",
    "checks[].name": "the check's name in the readings file",
    "checks[].title": "its title",
    "checks[].sheet": "the sheet's name; empty where it is not known",
    "checks[].word": "the verdict as it comes out today; empty where the check was not worked",
    "checks[].blank": "true where no reading is filled in",
    "checks[].problem": "why it could not be worked; empty where it was",
    "checks[].warned": "list of sentences: what physics does not allow, what to look at before anything turns",
    "checks[].unsure": "list of sentences: that figures are an estimate, or rest on readings taken as exact",
    "checks[].first": "list of all sentences to be read before any figure, missing parts of the job too",
    "checks[].to_do": "what to do, or what can be done today, beside what is to be read first",
    "checks[].deciding": "the key of the figure that the verdict hangs on; null where there is none",
    "checks[].figures": "list",
    "checks[].figures[].key": "the figure's name, which never changes its meaning",
    "checks[].figures[].title": "the figure in words",
    "checks[].figures[].value": "value ± expanded uncertainty (k = 2), unit; in the file's own display",
    "checks[].figures[].limit": "the limit; empty where none is given",
    "checks[].figures[].source": "where the limit stands",
    "checks[].figures[].word": "the verdict",
    "checks[].figures[].aside": "true for a figure told beside the judged ones",
    "checks[].figures[].settle": "what would settle it, or by how much it is out",
    "checks[].notes": "list of sentences",
    "checks[].readings": "where the readings stand: record, draft, readings file, nothing; readings file, not what "
    "stands; not as it was saved; cannot be read; empty for the demo inside the program",
    "checks[].entry": "number of the entry that stands for it; null where there is none",
    "milestones": "list, in order; null where the record cannot be read",
    "milestones[].title": "the milestone",
    "milestones[].next": "true for the first that is not behind",
    "milestones[].reached": "the day, as YYYY-MM-DD; null where it is ahead",
    "milestones[].jobs": "list",
    "milestones[].jobs[].job": "the job in words",
    "milestones[].jobs[].check": "the check's name; empty where none is known yet",
    "milestones[].jobs[].sheet": "the sheet's name",
    "milestones[].jobs[].word": "how the job stands: a verdict, stale, or never done",
    "milestones[].jobs[].why": "why it is needed",
    "milestones[].jobs[].causes": "list of sentences: why it is stale",
    "milestones[].jobs[].notes": "list of sentences",
    "milestones[].jobs[].todo": "what to do next; empty where it is done",
    "besides": "list of jobs, keys as in a milestone: saved checks that no milestone waits for, and that are out "
    "of limits or stale; null where the record cannot be read",
    "faults": "list of sentences: what is wrong with the record; empty where it is as it was saved",
}
"""Every key, with what it holds. Texts are as the terminal shows them; nothing is rounded or judged again here."""


def status_json(table: Table, board: Board | None, fault: str = "") -> str:
    """The text. board: None where the record cannot be read; fault: why not."""
    found: dict[str, Any] = {
        "format": FORMAT,
        "rotorkit": __version__,
        "aircraft": table.aircraft,
        "look_at": table.look_at,
        "checks": [_check(check) for check in table.checks],
        "milestones": None if board is None else [_milestone(board, at) for at in range(len(board.milestones))],
        "besides": None if board is None else [_job(row) for row in board.besides],
        "faults": [*(board.faults if board else ()), *([fault] if fault else [])],
    }
    return json.dumps(found, ensure_ascii=True, indent=1)


def _check(check: CheckTable) -> dict[str, Any]:
    return {
        "name": check.name,
        "title": check.title,
        "sheet": check.sheet,
        "word": check.word,
        "blank": check.blank,
        "problem": check.problem,
        "warned": check.warned,
        "unsure": check.unsure,
        "first": check.first,
        "to_do": check.to_do,
        "deciding": check.deciding.key if check.deciding else None,
        "figures": [_figure(figure) for figure in check.figures],
        "notes": check.notes,
        "readings": check.state,
        "entry": check.number,
    }


def _figure(figure: Figure) -> dict[str, Any]:
    return {
        "key": figure.key,
        "title": figure.title,
        "value": figure.value,
        "limit": figure.against,
        "source": figure.source,
        "word": figure.verdict,
        "aside": figure.aside,
        "settle": figure.settle,
    }


def _milestone(board: Board, at: int) -> dict[str, Any]:
    milestone = board.milestones[at]
    return {
        "title": milestone.title,
        "next": milestone is board.next,
        "reached": None if milestone.reached is None else milestone.reached.isoformat(),
        "jobs": [_job(row) for row in milestone.rows],
    }


def _job(row: BoardRow) -> dict[str, Any]:
    return {
        "job": row.job,
        "check": row.check,
        "sheet": row.sheet,
        "word": row.word,
        "why": row.why,
        "causes": list(row.causes),
        "notes": list(row.notes),
        "todo": row.todo,
    }
