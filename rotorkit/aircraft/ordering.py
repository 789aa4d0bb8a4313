"""The order in which parts of a TOML text stand: each is moved with the comments above it, and nothing else changes."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from rotorkit.aircraft.places import statements


class InOrder(list[str]):
    """The names under a table, or the numbers from 0 of a list's parts, in the order in which they are to stand."""


def reordered(text: str, place: str, order: InOrder) -> str:
    """A TOML text with the parts of a table, or of a list of sections, in another order. place: dotted.

    Raises `ValueError` where the parts do not stand on lines of their own.
    """
    table, lines = tuple(place.split(".")), text.split("\n")
    found: dict[str, list[tuple[int, int]]] = {}
    before, last = 0, ""
    for path, first, end in statements(text):
        start = first - 1
        while start > before and lines[start - 1].lstrip().startswith("#"):
            start -= 1
        part = path[len(table)] if path[: len(table)] == table and len(path) > len(table) else ""
        if last and not (part == last and found[last][-1][1] == before):
            found[last][-1] = (found[last][-1][0], _with_what_follows(lines, before, start))
        if part and part == last:
            found[part][-1] = (found[part][-1][0], end)
        elif part:
            found.setdefault(part, []).append((start, end))
        before, last = end, part
    if sorted(found) != sorted(order):
        raise ValueError(f"the parts of {place} do not stand by themselves: {', '.join(found)}")
    if last:
        found[last][-1] = (found[last][-1][0], _with_what_follows(lines, before, len(lines)))
    parts = {name: _joined([lines[start:end] for start, end in spans]) for name, spans in found.items()}
    there = {spans[0]: name for spans, name in zip(found.values(), order, strict=True)}
    gone = {span for spans in found.values() for span in spans[1:]}
    after: list[str] = []
    at = 0
    for start, end in sorted([*there, *gone]):
        moved = parts[there[start, end]] if (start, end) in there else []
        after += lines[at:start] + moved
        if moved and moved[-1].lstrip().startswith("#") and "".join(lines[end : end + 1]).strip():
            after.append("\r" if moved[-1].endswith("\r") else "")  # else its comment were the next one's
        at = end
    return "\n".join(after + lines[at:])


def _with_what_follows(lines: list[str], end: int, until: int) -> int:
    """The end of a part with the comments right below it, which belong to nothing else."""
    while end < until and lines[end].lstrip().startswith("#"):
        end += 1
    return end


def _joined(pieces: list[list[str]]) -> list[str]:
    """The pieces of a part, which stood apart, with an empty line between them."""
    found = pieces[0]
    for piece in pieces[1:]:
        found = [*found, "\r" if found[-1].endswith("\r") else "", *piece]
    return found


def stands_so(before: object, after: object, order: Iterable[str]) -> bool:
    """Whether what stood at a place, a table or a list, now stands there in an order and is otherwise the same."""
    if isinstance(before, Mapping) and isinstance(after, Mapping):
        return list(after) == list(order) and dict(after) == dict(before)
    if isinstance(before, list) and isinstance(after, list):
        return after == [before[int(number)] for number in order] and len(after) == len(before)
    return False
