"""Writing into a TOML document that a person wrote: only what is another changes, so that comments, order and spacing
stay as they were.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from difflib import SequenceMatcher
from typing import Any

IN_A_LIST = ("milestones", "loading.envelopes")
"""Places of lists of tables of which each part is written into by its number."""
_HEADER = re.compile(r"""\[\[?[\w."' -]+\]\]?[ \t]*(#.*)?""")


class Rows(list[Any]):
    """Rows that are to stand in a list, with where each stood in the file: `came_from` holds its number there, from 0,
    or None of one that is new, which takes over no comment of a row that is gone."""

    def __init__(self, rows: Iterable[Any], came_from: Iterable[int | None]) -> None:
        super().__init__(rows)
        self.came_from = list(came_from)


def put_at(document: Any, place: str, value: Any) -> None:
    """Write a value into a document of tomlkit, or take it out where it is None. Sections and parts of lists that are
    not there yet are made.

    Arguments: place, dotted, a part of a list by its number from 0; where it ends in "[]", the value is added to a list
    of tables.
    """
    import tomlkit

    *tables, key = place.removesuffix("[]").split(".")
    at = document
    for number, name in enumerate(tables):
        if isinstance(at, list):
            if int(name) >= len(at):
                if value is None:
                    return
                at.append(_table_for(at))
            at = at[min(int(name), len(at) - 1)]
            continue
        if name not in at:
            if value is None:
                return
            of_list = ".".join(tables[: number + 1]) in IN_A_LIST
            at[name] = tomlkit.aot() if of_list else tomlkit.table(is_super_table=name != tables[-1])
        at = at[name]
    if place.endswith("[]"):
        if key not in at:
            at[key] = tomlkit.aot()
        at[key].append(_made(value, at[key]))
    elif isinstance(at, list):
        _put_part(at, int(key), value)
    elif value is None:
        at.pop(key, None)
    else:
        _put(at, key, value)


def spaced(after: str, before: str) -> str:
    """A text with an empty line before each section that was not there before, or did not stand where it does now."""
    lines = after.split("\n")
    were = set(zip(["", *before.split("\n")], before.split("\n"), strict=False))
    found: list[str] = []
    for above, line in zip(["", *lines], lines, strict=False):
        header = _HEADER.fullmatch(line.rstrip("\r"))
        if header and above.strip() and not above.startswith("#") and (above, line) not in were:
            found.append("\r" if above.endswith("\r") else "")
        found.append(line)
    return "\n".join(found)


def _put(table: Any, key: str, value: Any) -> None:
    """A value under a key: what stands there is changed as little as can be."""
    import tomlkit

    there = table.get(key)
    if isinstance(value, list) and value and isinstance(there, list):
        _follow(there, value)
    elif isinstance(value, Mapping) and isinstance(there, dict):
        _change_keys(there, value)
    elif isinstance(value, list) and value and all(isinstance(one, Mapping) for one in value) and _top(table):
        table[key] = tomlkit.aot()
        for one in value:
            table[key].append(_made(one, table[key]))
    else:
        table[key] = _inline(value)


def _rows(value: Any) -> bool:
    return isinstance(value, list) and any(isinstance(one, (Mapping, list)) for one in value)


def _top(table: Any) -> bool:
    """Whether a list of tables in this table is written in blocks of its own."""
    from tomlkit import TOMLDocument

    return isinstance(table, TOMLDocument)


def _put_part(there: Any, number: int, value: Any) -> None:
    if value is None:
        if number < len(there):
            del there[number]
    elif number < len(there):
        _change(there, number, value)
    else:
        there.append(_made(value, there))


def _follow(there: Any, wanted: Sequence[Any]) -> None:
    """Make a list what is wanted: rows that stay are not touched, those that changed are changed in their place."""
    if isinstance(wanted, Rows):
        _follow_rows(there, wanted)
        return
    before = [_text(one) for one in there]
    after = [_text(one) for one in wanted]
    matcher = SequenceMatcher(None, before, after, autojunk=False)
    for what, i, j, k, m in reversed(matcher.get_opcodes()):
        if what == "equal":
            continue
        both = min(j - i, m - k)
        for extra in range(j - 1, i + both - 1, -1):
            del there[extra]
        for offset in range(both):
            _change(there, i + offset, wanted[k + offset])
        for offset in range(both, m - k):
            _insert(there, i + offset, wanted[k + offset])


def _follow_rows(there: Any, wanted: Rows) -> None:
    """The same where it is known which row is which: those that are gone go with what is said beside them, and one that
    comes to stand elsewhere among the others is moved there with its comments."""
    came_from = _in_order(there, wanted.came_from)
    blocks = SequenceMatcher(None, range(len(there)), came_from, autojunk=False).get_matching_blocks()
    stays = {at + i: number + i for number, at, size in blocks for i in range(size)}
    for number in reversed(range(len(there))):
        if number not in stays.values():
            _take_out(there, number)
    for at, value in enumerate(wanted):
        if at not in stays:
            _insert(there, at, value)
        elif _text(there[at]) != _text(value):
            _change(there, at, value)


def _in_order(there: Any, came_from: Sequence[int | None]) -> list[int | None]:
    """Put the rows of a list that stay into the order that they are to have, each with the comments above it and at its
    line's end, those that are gone after them; and where each row that is to stand there comes from then. Lists of
    sections, whose comments stand elsewhere, are left as they are."""
    groups, stay = getattr(there, "_value", None), [number for number in came_from if number is not None]
    if not isinstance(groups, list) or stay == sorted(stay):
        return list(came_from)
    mine: list[list[Any]] = [[] for _ in range(len(there))]
    at_row = {at: number for number, at in there._index_map.items()}
    before: list[Any] = []
    last: list[Any] | None = None
    for at, group in enumerate(groups):
        if at in at_row:
            last = mine[at_row[at]]
            last += [*before, group]
            before = []
        elif last is not None and not before and _only_a_comment(group):
            last.append(group)
        else:
            before.append(group)
    order = [*stay, *(number for number in range(len(there)) if number not in stay)]
    rows = [groups[there._index_map[number]] for number in range(len(there))]
    places = [(row.indent, row.comma) for row in rows]  # these are of the place, and the comment is of the row
    values = [there[number] for number in order]
    for number, place in zip(order, places, strict=True):
        rows[number].indent, rows[number].comma = place
    there._value = [group for number in order for group in mine[number]] + before
    list.__setitem__(there, slice(None), values)
    there._reindex()
    return [None if number is None else stay.index(number) for number in came_from]


def _take_out(there: Any, number: int) -> None:
    """Take a row out of a list, with the comment that ends its line."""
    groups = getattr(there, "_value", None)
    if isinstance(groups, list):
        at = there._index_map[number]
        last = groups[at]
        if last.comment is None and at + 1 < len(groups) and _only_a_comment(groups[at + 1]):
            del groups[at + 1]
            there._reindex()
    del there[number]


def _only_a_comment(group: Any) -> bool:
    """Whether what stands between two rows is a comment at the end of the line of the first."""
    from tomlkit.items import Null

    indent = group.indent.s if group.indent is not None else ""
    return group.comment is not None and "\n" not in indent and (group.value is None or isinstance(group.value, Null))


def _text(value: Any) -> str:
    return repr(_bare(value))


def _bare(value: Any) -> Any:
    """A value as plain Python, blanks left out, to be compared."""
    if isinstance(value, Mapping):
        return {str(name): _bare(one) for name, one in sorted(value.items()) if one not in (None, "", [])}
    if isinstance(value, list):
        return [_bare(one) for one in value]
    if isinstance(value, bool) or value is None:
        return value
    if isinstance(value, (int, float)):
        return float(value)
    return str(value)


def _change(there: Any, number: int, value: Any) -> None:
    """Change a part of a list, key by key where it is a table."""
    one: Any = there[number]
    if isinstance(value, Mapping) and isinstance(one, dict):
        _change_keys(one, value)
    elif isinstance(value, list) and isinstance(one, list) and len(one) == len(value):
        for i, (was, wanted) in enumerate(zip(list(one), value, strict=True)):
            if _bare(was) != _bare(wanted):
                one[i] = wanted
    else:
        there[number] = _inline(value)


def _change_keys(table: Any, value: Mapping[str, Any]) -> None:
    """Make a table what is wanted, key by key; what stands there empty may stay."""
    for key in [key for key in table if key not in value and table[key] not in ("", [])]:
        table.pop(key)
    for key, wanted in value.items():
        if key not in table or _bare(table[key]) != _bare(wanted):
            _put(table, key, wanted)


def _insert(there: Any, number: int, value: Any) -> None:
    made = _made(value, there)
    if number >= len(there):
        there.append(made)
    else:
        there.insert(number, made)


def _table_for(there: Any) -> Any:
    """An empty table as the parts of a list are written: in a block of its own, or within braces."""
    import tomlkit
    from tomlkit.items import AoT

    return tomlkit.table() if isinstance(there, AoT) else tomlkit.inline_table()


def _made(value: Any, there: Any) -> Any:
    """A part for a list."""
    if not isinstance(value, Mapping):
        return _inline(value)
    one = _table_for(there)
    for key, held in value.items():
        one[key] = _inline(held)
    return one


def _inline(value: Any) -> Any:
    """A value as it is written on a line; rows on a line each."""
    import tomlkit

    if isinstance(value, Mapping):
        made = tomlkit.inline_table()
        for key, held in value.items():
            made[key] = _inline(held)
        return made
    if _rows(value):
        rows = tomlkit.array()
        for one in value:
            rows.append(_inline(one))
        return rows.multiline(True)
    return list(value) if isinstance(value, list) else value


def at_place(tables: Any, place: str) -> Any:
    """What stands at a dotted place of the tables of a file, or None; at "" all of it."""
    at = tables
    for name in place.split(".") if place else ():
        at = _inside(at, name)
    return at


def holds(tables: Any, place: str, value: Any) -> bool:
    """Whether the tables of a file hold a value at its place, as it was to be written there."""
    table, _, key = place.removesuffix("[]").rpartition(".")
    at = at_place(tables, table)
    found = _inside(at, key)
    if place.endswith("[]"):
        found = found[-1] if isinstance(found, list) and found else None
    if value is None and isinstance(at, list):
        return True  # what came after it stands there now
    return _bare(found) == _bare(value) or (value in (None, "") and found is None)


def harmed(before: Any, after: Any, places: Iterable[str]) -> bool:
    """Whether tables differ in anything beside what was written at these places."""
    return _differs(before, after, [place.removesuffix("[]").split(".") for place in places])


def _differs(before: Any, after: Any, places: Sequence[Sequence[str]]) -> bool:
    if [] in places:
        return False  # what was written itself
    if not places:
        return bool(_bare(before) != _bare(after)) and not (before in (None, {}) and after in (None, {}))
    if isinstance(before, list) or isinstance(after, list):
        return _parts_differ(before or [], after or [], places)
    before, after = before or {}, after or {}
    if not isinstance(before, Mapping) or not isinstance(after, Mapping):
        return True
    return any(
        _differs(before.get(key), after.get(key), [rest for name, *rest in places if name == key])
        for key in {*before, *after}
    )


def _parts_differ(before: Any, after: Any, places: Sequence[Sequence[str]]) -> bool:
    """The same of lists: a part that was taken out is a place of its own, one that was added has something written."""
    taken_out = {name for name, *rest in places if not rest} if len(after) < len(before) else set()
    stays = [one for i, one in enumerate(before) if str(i) not in taken_out]
    added = {str(i) for i in range(len(stays), len(after))}
    return (
        len(after) < len(stays)
        or not added <= {name for name, *_ in places}
        or any(
            _differs(one, other, [rest for name, *rest in places if name == str(i) and str(i) not in taken_out])
            for i, (one, other) in enumerate(zip(stays, after, strict=False))
        )
    )


def _inside(at: Any, name: str) -> Any:
    if isinstance(at, Mapping):
        return at.get(name)
    if isinstance(at, list):
        return at[int(name)] if name.isdigit() and int(name) < len(at) else None
    return None
