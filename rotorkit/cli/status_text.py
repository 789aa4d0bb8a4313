"""How a working folder stands, on one screen: a line for each check, worst first, and what comes next. Where the checks
are more than that, checks are named without their figures under their own heading, and no more of them than must be:
first those in limits with nothing to read first, then the estimates in limits. Before any other would lose its line,
those with nothing to read first are told by their number. Then the others are named, from the last one up, of those
that are neither out of limits nor too close to call the ones marked "!" after all others. So the worst keep their lines
longest, and no check goes unnamed of which anything is to be read.

One check whole is `verdict_table.check_text`, everything `verdict_table.table_text` with `record_text.board_text`.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Container, Sequence

from rotorkit.cli.lines import filled, item, within
from rotorkit.cli.verdict_table import (
    EVERY,
    NOT_AS_SAVED,
    NOT_STANDING,
    CheckTable,
    Table,
    counted,
)
from rotorkit.edges.program import typed
from rotorkit.edges.visible import in_a_line
from rotorkit.folder.checks import READINGS_FILE
from rotorkit.folder.standing import DRAFT, NOTHING, RECORD
from rotorkit.judging.limits import IN_LIMITS, NO_LIMIT, OUT_OF_LIMITS, TOO_CLOSE, UNDONE
from rotorkit.record import Board
from rotorkit.sources import cautions

NOT_WORKED = "could not be worked"
NO_READINGS = "no readings yet"
GROUPS = (OUT_OF_LIMITS, NOT_WORKED, TOO_CLOSE, UNDONE, NO_LIMIT, IN_LIMITS, NO_READINGS)
"""How a check stands, worst first."""
WARNED, UNSURE = "!", "est."
LONGEST_KEY = 26
"""So many letters of a check's name are shown."""
SCREEN = 37
"""So many lines, of 40: `rotorkit lab` prints three more, with its address."""
NAMED_ALONE = "with nothing to read first"
ESTIMATES = f"marked {UNSURE}"
NUMBERED = 2
"""The step, of those in which checks lose their lines, that gives up the names of the calm ones."""
MARKS = f"{WARNED} read its first lines first; {UNSURE} an estimate, or readings taken as exact"

RECORD_UNREAD = "The record cannot be read (why is said below): what is saved was not looked at."


def short_text(table: Table, board: Board | None, width: int = 80, here: str = "", lines: int = SCREEN) -> str:
    """A line for each check, worst first: the check's name, the figure that its verdict hangs on, the limit. Then what
    is to be looked at first, the next milestone, and how to see more. Where this is longer than `lines`, checks are
    named without their figures until it is not, those first that are the least to be acted on; one whose readings are
    not those that stand, or not as they were saved, keeps its line.

    board: None where the record cannot be read. here: the working folder as it is typed after a command, with a blank
    before it; empty for the one that one stands in.
    """
    width = within(width)
    many = "1 check" if len(table.checks) == 1 else f"{len(table.checks)} checks"
    head = [filled(f"{table.aircraft}: {many}, worst first", width)]
    if board is None:
        head.append(filled(RECORD_UNREAD, width))
    after = _after(table, board, width, here)
    steps = _named_first(table)

    def text(step: int) -> str:
        named = {id(check) for checks in steps[:step] for check in checks}
        return "\n".join([*head, *_grouped(table, width, named, step > NUMBERED), *after])

    # a check more that is named never makes the text longer
    fits = bisect_left(range(len(steps)), True, key=lambda step: text(step).count("\n") < lines)
    return text(fits)


def _named_first(table: Table) -> list[list[CheckTable]]:
    """The checks that may go without their lines, in the order in which they do; the first two steps many at once, so
    that of checks which stand alike none looks more than another; at the step `NUMBERED` the calm ones go without their
    names."""
    calm = [check for check in table.checks if _kind(check) == NAMED_ALONE]
    estimates = [check for check in table.checks if _kind(check) == ESTIMATES]
    calmer = GROUPS[GROUPS.index(TOO_CLOSE) + 1 :]
    others = [
        check
        for groups in (calmer, *((group,) for group in reversed(GROUPS[: -len(calmer)])))
        for warned in (False, True)  # what physics does not allow keeps its line longer, however calm its verdict
        for group in reversed(groups)
        for check in reversed(table.checks)
        if _group(check) == group and bool(check.warned) == warned and _stands(check) and not _kind(check)
    ]
    return [calm, estimates, [], *([check] for check in others)]


def _grouped(table: Table, width: int, named: Container[int], numbered: bool) -> list[str]:
    """Each group's heading and lines, then the names of those of its checks that are named alone (by their `id`).

    numbered: whether those with nothing to read first are told by their number alone."""
    column = min(LONGEST_KEY, max([0, *(len(check.name) for check in table.checks)]))
    lines = []
    for group in GROUPS:
        found = [check for check in table.checks if _group(check) == group]
        if not found:
            continue
        alone = [check for check in found if id(check) in named]
        more = [check for check in alone if not _kind(check)]
        kept = [more.pop()] if len(more) == 1 else []  # its name would take the line as well
        lines.append(group.upper())
        lines += [_line(check, column, width) for check in found if id(check) not in named or check in kept]
        if more:
            lines.append(
                _names(f"and {len(more)} more", [_marks(check) + _key(check, LONGEST_KEY) for check in more], width)
            )
        for kind in (ESTIMATES, NAMED_ALONE):
            if names := [_key(check, LONGEST_KEY) for check in alone if _kind(check) == kind]:
                every = _names(kind, names, width)
                few = numbered and kind == NAMED_ALONE and "\n" in every
                lines.append(f"    {len(names)} more {kind}" if few else every)
    return lines


def _names(said: str, names: list[str], width: int) -> str:
    return item(f"{said}: {', '.join(names)}", width, "    ")


def _stands(check: CheckTable) -> bool:
    """Whether its readings are those that stand for it, as they were saved. (Of a record that cannot be read this is
    told once, before all checks.)"""
    return check.state not in (NOT_STANDING, NOT_AS_SAVED)


def _kind(check: CheckTable) -> str:
    """Of a check in limits, as it stands, why it may be named without its figures before others are: there is nothing
    to be read before them, or only that they are estimates. Empty for every other."""
    if _group(check) != IN_LIMITS or not _stands(check) or check.warned:
        return ""
    if not check.first:
        return NAMED_ALONE
    return ESTIMATES if all(said in check.unsure for said in check.first) else ""


def _after(table: Table, board: Board | None, width: int, here: str) -> list[str]:
    """What stands after the checks."""
    lines = []
    if not table.checks:
        lines.append(f"No checks: {READINGS_FILE} is missing or empty.")
    if any(check.warned or check.unsure for check in table.checks):
        lines.append(filled(MARKS, width))
    if table.look_at:
        lines += ["To look at first:", *(item(sentence, width) for sentence in table.look_at)]
    lines.append(filled(f"{counted(table, short=True)} {_in_the_record(table) if board is not None else ''}", width))
    if board is not None:
        if board.stale:
            lines.append(filled(stale_told(board.stale, here), width))
        lines += _next(board, width)
    lines.append(f"One check whole: {typed('status CHECK')}{here}. All of it: {EVERY}.")
    return [*lines, filled(cautions.NO_APPROVAL, width)]


def stale_told(names: Sequence[str], here: str = "") -> str:
    """That saved checks no longer stand, and what tells why."""
    return f"No longer stands as saved: {', '.join(names)}. Why: {typed('recheck')}{here}."


def _group(check: CheckTable) -> str:
    return NOT_WORKED if check.problem else NO_READINGS if check.blank else check.word


def _line(check: CheckTable, column: int, width: int) -> str:
    key = _key(check, column)
    line = f"  {key:<{column}}  {in_a_line(_marks(check) + _decides(check))}".rstrip()
    return _cut(line, width)


def _marks(check: CheckTable) -> str:
    return "".join(f"{mark} " for mark, said in ((WARNED, check.warned), (UNSURE, check.unsure)) if said)


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


def _in_the_record(table: Table) -> str:
    states = [check.state for check in table.checks if check.state not in ("", NOTHING, NOT_STANDING)]
    if not states:
        return ""
    said = [f"the readings of {states.count(RECORD)} of {len(states)} are saved"]
    for state, words in ((DRAFT, "in a draft only"), (NOT_AS_SAVED, NOT_AS_SAVED)):
        if names := [check.name for check in table.checks if check.state == state]:
            said.append(f"{words}: {', '.join(names)}")
    return f"Record: {'; '.join(said)}."


def _next(board: Board, width: int) -> list[str]:
    """What comes next; the jobs that it still needs in a line."""
    if board.next is None or not board.next.open:
        return [filled(board.sentence, width)]
    jobs = in_a_line(", ".join(row.check or row.job for row in board.next.open))
    return [filled(f"{board.damaged} Next: {board.next.sentence}:".strip(), width), _cut(f"  {jobs}", width)]


def _cut(line: str, width: int) -> str:
    return line if len(line) <= width else line[: width - 1].rstrip() + "…"
