"""One PDF of several that the typesetter made, part after part: never more than one of them in memory.

It knows the files of this typesetter alone: plain objects, a plain table of them, strings without tricks. Tags (with
the names that the headings of tables bear), bookmarks, named places and links go over into the whole. A link to
``rotorkit:NAME`` becomes one to the place NAME, in whatever part that lies.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import BinaryIO

REFERENCE = re.compile(rb"(\d+) 0 R\b")
NUMBERS = re.compile(rb"/(StructParents?) (\d+)|(\d+) 0 R\b")
"""What is numbered otherwise in the whole: keys into the tree of the tags, and objects."""
PAIR = re.compile(rb"\(([^()\\]*)\)\s*(\d+) 0 R")
NUMBERED = re.compile(rb"(\d+)\s+(\d+) 0 R")
CELL = re.compile(rb"^U\d+x\d+y\d+$")
OUTSIDE = re.compile(rb"/A\s*<<[^<>]*?/URI\s*\(rotorkit:([\w-]+)\)[^<>]*>>")


class JoinError(Exception):
    """The parts are not what the typesetter is known to make."""


@dataclass
class Part:
    """What must be known of a part before any is written. places: number of the object in which each object's bytes
    begin and end; dests: object of each named place; pages: the pages' objects in order."""

    path: Path
    size: int
    root: int
    info: int
    head: bytes
    places: dict[int, tuple[int, int]]
    pages_root: int
    pages: list[int]
    struct: int
    outlines: int
    first: int
    last: int
    catalog: bytes
    tree: bytes
    dests: dict[bytes, int] = field(default_factory=dict)
    page_of: dict[bytes, int] = field(default_factory=dict)


def part_of(path: Path) -> Part:
    """Read what must be known of a part. Raises `JoinError`."""
    data = path.read_bytes()
    start = _one(rb"startxref\s+(\d+)\s+%%EOF\s*$", data[-100:])
    table = data[int(start) :]
    count = int(_one(rb"xref\s+0 (\d+)", table[:60]))
    trailer = table[table.rindex(b"trailer") :]
    rows = re.findall(rb"(\d{10}) \d{5} ([nf])", table)
    begins = sorted((int(at), number) for number, (at, kind) in enumerate(rows) if kind == b"n")
    if len(rows) != count or not begins:
        raise JoinError("its table of objects is not as expected")
    ends = [at for at, _ in begins[1:]] + [int(start)]
    places = {number: (at, end) for (at, number), end in zip(begins, ends, strict=True)}

    def body(number: int) -> bytes:
        at, end = places[number]
        return data[at:end]

    root, info = int(_one(rb"/Root (\d+) 0 R", trailer)), int(_one(rb"/Info (\d+) 0 R", trailer))
    catalog = body(root)
    pages_root, struct, outlines = (
        int(_one(rb"/%b (\d+) 0 R" % name, catalog)) for name in (b"Pages", b"StructTreeRoot", b"Outlines")
    )
    kids = _one(rb"/Kids\s*\[([^\]]*)\]", body(pages_root))
    marks = body(outlines)
    found = Part(
        path,
        count,
        root,
        info,
        data[:15],
        places,
        pages_root,
        [int(one) for one in REFERENCE.findall(kids)],
        struct,
        outlines,
        int(_one(rb"/First (\d+) 0 R", marks)),
        int(_one(rb"/Last (\d+) 0 R", marks)),
        catalog,
        body(struct),
    )
    at = {page: number for number, page in enumerate(found.pages)}
    names = re.search(rb"/Dests\s*<<\s*/Names\s*\[(.*?)\]\s*>>", catalog, re.DOTALL)
    for name, number in PAIR.findall(names[1] if names else b""):
        found.dests[name] = int(number)
        target = REFERENCE.search(body(int(number)).partition(b"obj")[2])
        if target is not None and int(target[1]) in at:
            found.page_of[name] = at[int(target[1])]
    return found


def _one(pattern: bytes, data: bytes) -> bytes:
    found = re.search(pattern, data, re.DOTALL)
    if found is None:
        raise JoinError(f"it lacks {pattern!r}")
    return found[1]


def join(parts: Sequence[Part], out: BinaryIO) -> None:
    """Write the parts as one document. Raises `JoinError`."""
    first, at, written = parts[0], 0, {}
    places: dict[int, int] = {}
    bases, base = [], 0
    for part in parts:
        bases.append(base)
        base += part.size
    catalog, pages, struct, outlines = base + 1, base + 2, base + 3, base + 4

    def put(data: bytes) -> None:
        nonlocal at
        out.write(data)
        at += len(data)

    put(first.head.partition(b"\n")[0] + b"\n%\x80\x80\x80\x80\n")
    kept: list[bytes] = []
    numbers: list[bytes] = []
    ids: list[bytes] = []
    dests: list[tuple[bytes, int]] = []
    keys = 0
    for index, (part, base) in enumerate(zip(parts, bases, strict=True)):
        fixed = {part.struct: struct, part.outlines: outlines, part.root: catalog}

        def moved(match: re.Match[bytes], base: int = base, fixed: dict[int, int] = fixed, keys: int = keys) -> bytes:
            kind, key, number = match.groups()
            if number is None:
                return b"/%b %d" % (kind, int(key) + keys)
            return b"%d 0 R" % fixed.get(int(number), int(number) + base)

        def plain(text: bytes, moved: Callable[..., bytes] = moved) -> bytes:
            return NUMBERS.sub(moved, text)

        mark = b"P%03d" % index
        data = part.path.read_bytes()
        for number, (start, end) in sorted(part.places.items()):
            if number in fixed or (index and number == part.info):
                continue
            body = data[start:end]
            head, stream, rest = body.partition(b"stream\n")
            if b"endobj" in head:
                head, stream, rest = body, b"", b""
            head = head.partition(b"obj")[2]
            if b"(" not in head:  # most have no string, and there are many of them
                head = NUMBERS.sub(moved, head)
            else:
                head = _outside_strings(OUTSIDE.sub(rb"/Dest(\1)", head), plain, mark)
            if number == part.pages_root:
                head = head.replace(b"<<", b"<</Parent %d 0 R" % pages, 1)
            if number == part.first and index:
                head = head.replace(b"<<", b"<</Prev %d 0 R" % (parts[index - 1].last + bases[index - 1]), 1)
            if number == part.last and index + 1 < len(parts):
                head = head.replace(b"<<", b"<</Next %d 0 R" % (parts[index + 1].first + bases[index + 1]), 1)
            places[number + base] = at
            put(b"%d 0 obj" % (number + base) + head + stream + rest)
        kept += [b"%d 0 R" % (int(one) + base) for one in REFERENCE.findall(_one(rb"/K\s*\[?([^\]/>]*)\]?", part.tree))]
        nums = NUMBERED.findall(_one(rb"/ParentTree\s*<<\s*/Nums\s*\[(.*?)\]\s*>>", part.tree))
        numbers += [b"%d %d 0 R" % (int(key) + keys, int(one) + base) for key, one in nums]
        keys += max((int(key) for key, _ in nums), default=-1) + 1
        tree = re.search(rb"/IDTree\s*<<\s*/Names\s*\[(.*?)\]\s*>>", part.tree, re.DOTALL)
        ids += [
            b"(%b%b) %d 0 R" % (mark, name, int(one) + base) for name, one in PAIR.findall(tree[1] if tree else b"")
        ]
        dests += [(name, number + base) for name, number in part.dests.items()]
        del data
    roles = re.search(rb"/RoleMap\s*<<.*?>>", first.tree, re.DOTALL)
    namespaces = re.search(rb"/Namespaces\s*\[[^\]]*\]", first.tree)
    written[pages] = b"<</Type/Pages/Count %d/Kids[%b]>>" % (
        sum(len(part.pages) for part in parts),
        b" ".join(b"%d 0 R" % (part.pages_root + base) for part, base in zip(parts, bases, strict=True)),
    )
    written[struct] = (
        b"<</Type/StructTreeRoot%b%b/K[%b]/ParentTree<</Nums[%b]>>/ParentTreeNextKey %d/IDTree<</Names[%b]>>>>"
        % (
            roles[0] if roles else b"",
            REFERENCE.sub(lambda m: b"%d 0 R" % (int(m[1]) + bases[0]), namespaces[0]) if namespaces else b"",
            b" ".join(kept),
            b" ".join(numbers),
            keys,
            b" ".join(ids),
        )
    )
    written[outlines] = b"<</Type/Outlines/First %d 0 R/Last %d 0 R/Count %d>>" % (
        parts[0].first + bases[0],
        parts[-1].last + bases[-1],
        len(parts),
    )
    own = re.sub(rb"/Names\s*<<\s*/Dests\s*<<.*?>>\s*>>", b"", first.catalog.partition(b"obj")[2], flags=re.DOTALL)
    fixed = {first.pages_root: pages, first.struct: struct, first.outlines: outlines}
    own = _outside_strings(
        own, lambda text: REFERENCE.sub(lambda m: b"%d 0 R" % fixed.get(int(m[1]), int(m[1]) + bases[0]), text), b""
    )
    named = b" ".join(b"(%b) %d 0 R" % one for one in sorted(dests))
    written[catalog] = (
        own.replace(b"<<", b"<</Names<</Dests<</Names[%b]>>>>" % named, 1).partition(b"endobj")[0].strip()
    )
    for number, text in written.items():
        places[number] = at
        put(b"%d 0 obj\n" % number + text + b"\nendobj\n")
    start, size = at, outlines + 1
    put(b"xref\n0 %d\n0000000000 65535 f\r\n" % size)
    for number in range(1, size):
        put(b"%010d 00000 n\r\n" % places[number] if number in places else b"0000000000 00000 f\r\n")
    put(b"trailer\n<</Size %d/Root %d 0 R/Info %d 0 R>>\nstartxref\n%d\n%%%%EOF" % (size, catalog, first.info, start))


def _outside_strings(text: bytes, change: Callable[[bytes], bytes], mark: bytes) -> bytes:
    """The text with what stands outside strings changed; names of a table's headings get a mark, so that those of
    two parts are not one."""
    found, at = [], 0
    while (begin := text.find(b"(", at)) >= 0:
        end, depth = begin + 1, 1
        while depth and end < len(text):
            sign = text[end : end + 1]
            if sign == b"\\":
                end += 1
            elif sign in (b"(", b")"):
                depth += 1 if sign == b"(" else -1
            end += 1
        inside = text[begin + 1 : end - 1]
        found.append(change(text[at:begin]))
        found.append(b"(" + (mark if mark and CELL.match(inside) else b"") + inside + b")")
        at = end
    return b"".join([*found, change(text[at:])])
