"""How a working folder stands, on one screen: a line for each check, worst first, and what comes next. Where the checks
are more than that, those in limits with nothing to read first are named together; no other is ever left without a line.

One check whole is `verdict_table.check_text`, everything `verdict_table.table_text` with `record_text.board_text`.
"""

from __future__ import annotations

from rotorkit.cli.verdict_table import (
    EVERY,
    NARROWEST,
    NOT_AS_SAVED,
    NOT_STANDING,
    UNREAD,
    WIDEST,
    CheckTable,
    Table,
    counted,
    filled,
    item,
)
from rotorkit.edges.program import typed
from rotorkit.edges.visible import in_a_line
from rotorkit.folder.checks import READINGS_FILE
from rotorkit.folder.standing import DRAFT, NOTHING, RECORD
from rotorkit.judging.limits import IN_LIMITS, NO_LIMIT, OUT_OF_LIMITS, TOO_CLOSE, UNDONE
from rotorkit.record import Board
from rotorkit.sources import cautions

__all__ = ["short_text"]

NOT_WORKED = "could not be worked"
NO_READINGS = "no readings yet"
GROUPS = (OUT_OF_LIMITS, NOT_WORKED, TOO_CLOSE, UNDONE, NO_LIMIT, IN_LIMITS, NO_READINGS)
"""How a check stands, worst first."""
WARNED, UNSURE = "!", "est."
LONGEST_KEY = 26
"""So many letters of a check's name are shown."""
SCREEN = 37
"""So many lines, of 40: `rotorkit lab` prints three more, with its address."""
NAMED_ALONE = "with nothing to read first: "
MARKS = f"{WARNED} read its first lines before the figures; {UNSURE} an estimate, or readings taken as exact"


def short_text(table: Table, board: Board | None, width: int = 80, here: str = "") -> str:
    """A line for each check, worst first: the check's name, the figure that its verdict hangs on, the limit. Then what
    is to be looked at first, the next milestone, and how to see more. Where this is longer than `SCREEN`, the checks in
    limits that have nothing to be read first are named without their figures.

    board: None where the record cannot be read. here: the working folder as it is typed after a command, with a blank
    before it; empty for the one that one stands in.
    """
    width = max(NARROWEST, min(width, WIDEST))
    many = "1 check" if len(table.checks) == 1 else f"{len(table.checks)} checks"
    head = filled(f"{table.aircraft}: {many}, worst first", width)
    after = _after(table, board, width, here)
    whole = "\n".join([head, *_grouped(table, width, together=False), *after])
    if whole.count("\n") < SCREEN:
        return whole
    return "\n".join([head, *_grouped(table, width, together=True), *after])


def _grouped(table: Table, width: int, together: bool) -> list[str]:
    """Each group's heading and lines. together: the calm checks are named after the others of their group."""
    column = min(LONGEST_KEY, max([0, *(len(check.name) for check in table.checks)]))
    lines = []
    for group in GROUPS:
        found = [check for check in table.checks if _group(check) == group]
        if found:
            lines.append(group.upper())
            calm = [check for check in found if together and _calm(check)]
            lines += [_line(check, column, width) for check in found if check not in calm]
            if calm:
                lines.append(
                    item(f"{NAMED_ALONE}{', '.join(_key(check, LONGEST_KEY) for check in calm)}", width, "    ")
                )
    return lines


def _calm(check: CheckTable) -> bool:
    """Whether it is in limits, as it stands, and nothing is to be read before its figures."""
    stands = check.state not in (NOT_STANDING, NOT_AS_SAVED, UNREAD)
    return _group(check) == IN_LIMITS and stands and not check.first and not check.problem


def _after(table: Table, board: Board | None, width: int, here: str) -> list[str]:
    """What stands after the checks."""
    lines = []
    if not table.checks:
        lines.append(f"No checks: {READINGS_FILE} is missing or empty.")
    if any(check.warned or check.unsure for check in table.checks):
        lines.append(filled(MARKS, width))
    if table.look_at:
        lines += ["To look at first:", *(item(sentence, width) for sentence in table.look_at)]
    lines.append(filled(counted(table, short=True), width))
    lines += [filled(said, width) for said in _in_the_record(table)]
    if board is not None:
        lines += _next(board, width)
    lines.append(f"One check whole: {typed('status CHECK')}{here}. All of it: {EVERY}.")
    return [*lines, filled(cautions.NO_APPROVAL, width)]


def _group(check: CheckTable) -> str:
    return NOT_WORKED if check.problem else NO_READINGS if check.blank else check.word


def _line(check: CheckTable, column: int, width: int) -> str:
    key = _key(check, column)
    marks = "".join(f"{mark} " for mark, said in ((WARNED, check.warned), (UNSURE, check.unsure)) if said)
    line = f"  {key:<{column}}  {in_a_line(marks + _decides(check))}".rstrip()
    return _cut(line, width)


def _key(check: CheckTable, most: int) -> str:
    key = in_a_line(check.name)
    return key if len(key) <= most else key[: most - 1] + "…"


def _decides(check: CheckTable) -> str:
    if check.state == NOT_STANDING:
        return f"(not what stands: {READINGS_FILE} has others)"  # what matters first: the line may be cut
    if check.problem:
        return " ".join(check.problem.split())
    if check.blank and check.notes:
        return check.notes[0]
    one = check.deciding
    if one is None:
        return check.title
    return f"{one.value}{f', {one.against}' if one.against else ''}: {one.title}"


def _in_the_record(table: Table) -> list[str]:
    states = [check.state for check in table.checks if check.state not in ("", NOTHING, NOT_STANDING)]
    if not states:
        return []
    said = [f"{states.count(RECORD)} of {len(states)} saved as they stand"]
    for state, words in ((DRAFT, "in a draft only"), (NOT_AS_SAVED, NOT_AS_SAVED)):
        if names := [check.name for check in table.checks if check.state == state]:
            said.append(f"{words}: {', '.join(names)}")
    return [f"Record: {'; '.join(said)}."]


def _next(board: Board, width: int) -> list[str]:
    """What comes next; the jobs that it still needs in a line."""
    if board.next is None or not board.next.open:
        return [filled(board.sentence, width)]
    jobs = in_a_line(", ".join(row.check or row.job for row in board.next.open))
    return [filled(f"{board.damaged} Next: {board.next.sentence}:".strip(), width), _cut(f"  {jobs}", width)]


def _cut(line: str, width: int) -> str:
    return line if len(line) <= width else line[: width - 1].rstrip() + "…"
