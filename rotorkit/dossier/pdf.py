"""The document as a PDF, typeset by Typst: tagged, with bookmarks, running heads, page numbers and metadata.

Typst is a library of its own in Python's environment: it needs no browser, no fonts and nothing else of the computer.
"""

from __future__ import annotations

import importlib.util
import json
import os
import re
import shutil
import subprocess
import sys
import tempfile
import threading
from collections.abc import Callable, Iterable
from concurrent.futures import ThreadPoolExecutor
from contextvars import copy_context
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from rotorkit.dossier.blocks import (
    Block,
    Box,
    Bullets,
    Code,
    Contents,
    Document,
    Figure,
    Formula,
    Heading,
    Inline,
    Letter,
    Lines,
    Link,
    OnePage,
    Paragraph,
    Signatures,
    Strong,
    Table,
    Together,
    Values,
    Verdict,
    pieces,
)
from rotorkit.dossier.formulas import LINE, FormulaError, fitted, tree_of, width_of
from rotorkit.dossier.joining import JoinError, Part, join, part_of
from rotorkit.dossier.page import SIGNATURE_COLUMNS
from rotorkit.edges.visible import visible

__all__ = ["INSTEAD", "PdfError", "pdf_of", "typeset"]

TOGETHER = 6
"""So many pages that begin anew are typeset at once: six checks take some 110 MB."""
AT_ONCE = 2
"""So many pieces are typeset side by side, each in a process of its own: no more, as the memory for them adds up."""
MOST_ROUNDS = 4
"""So often the pieces are typeset again until their page numbers agree; two is usual."""
SURELY_FITS = 0.8
"""A formula that may take more than this share of a line is measured by the typesetter: widths here are estimates."""
INSTEAD = "print the HTML page to PDF from a browser"
OUT_OF_MEMORY = 71
"""What `typeset_alone.py` ends with where Python itself found no memory."""
KILLED = (-9, -6)
"""How a process ends that the system stops for want of memory, and one whose library found none."""
LONG = 1500
"""Pieces with more letters than this may break over pages; shorter ones stay together."""
SURELY_SHORT = 5500
"""A page with fewer letters than this, its picture counted in, may hold the cautions too."""
POINTS_ACROSS = 470.0
POINTS_DOWN = 660.0
"""A picture is no wider than the one and no higher than the other: a page of the smaller paper holds it whole."""


class PdfError(Exception):
    """Why there is no PDF, in plain words."""


def pdf_of(document: Document, when: datetime, together: int = TOGETHER) -> bytes:
    """The PDF's bytes. when: the moment that stands in it as its date. together: so many parts that begin a page are
    typeset at once; a document of more is typeset in pieces and joined, so that the memory it takes stays bounded.
    Raises `PdfError`."""
    template = Path(__file__).parent / "dossier.typ"
    pieces_of = _cut(document, together)
    if len(pieces_of) > 1:
        try:
            return _joined(template, document, pieces_of, when)
        except JoinError:
            pass  # another version of the typesetter: the whole at once
    return typeset(template, _data(document, when), when)


def _cut(document: Document, together: int) -> list[list[Block]]:
    """The pieces by what is typeset at once: each begins where a page begins."""
    found: list[list[Block]] = [[]]
    count = 0
    for block in document.blocks:
        first = block.top[0] if isinstance(block, OnePage) else block
        fresh = isinstance(first, Heading) and first.fresh_page
        ended = isinstance(first, Heading) and first.level == 2 and not fresh and count > 0
        if (fresh and count % together == 0) or ended:
            found.append([])
        count = count + 1 if fresh else 0 if ended else count
        found[-1].append(block)
    return found


def _joined(template: Path, document: Document, cut: list[list[Block]], when: datetime) -> bytes:
    """The document typeset piece by piece. The page numbers depend on what comes before: a piece is typeset again where
    they turn out otherwise than was taken."""
    with tempfile.TemporaryDirectory(prefix="rotorkit-") as place:
        counts = [
            1 if at == 0 else max(1, sum(isinstance(one, OnePage) for one in blocks)) for at, blocks in enumerate(cut)
        ]
        set_as: list[str] = [""] * len(cut)
        listed = [
            {"key": one.key, "text": one.text, "aside": one.aside, "page": 0}
            for one in document.headings()
            if one.key and one.level == 2
        ]
        made: dict[int, Part] = {}
        last = len(cut) - 1
        ends, between = [0, last], range(1, last)
        at_work = threading.Lock()

        def set_piece(at: int) -> None:
            """One piece typeset, where it is not yet, with what is known by then of those before it."""
            with at_work:
                before, total = sum(counts[:at]), sum(counts)
                knows = str((before, total, [one["page"] for one in listed] if at == 0 else None))
                if set_as[at] == knows:
                    return
                data = _data(replace(document, blocks=cut[at]), when) | {
                    "before": before, "total": total, "parted": True, "listed": listed,
                }  # fmt: skip
            file = Path(place) / f"{at}.pdf"
            file.write_bytes(typeset(template, data, when, "" if at else "ua-1"))
            with at_work:
                set_as[at], made[at] = knows, part_of(file)
                counts[at] = len(made[at].pages)

        for _ in range(MOST_ROUNDS):
            for some in (ends, between):  # how long the two ends are is known least: those between are set with it
                _side_by_side(set_piece, some)
            pages = {
                name.decode(): sum(counts[:at]) + page + 1
                for at, part in sorted(made.items())
                for name, page in part.page_of.items()
            }
            known = [{**one, "page": pages.get(str(one["key"]), 0)} for one in listed]
            settled = known == listed and all(
                set_as[at] == str((sum(counts[:at]), sum(counts), [one["page"] for one in listed] if at == 0 else None))
                for at in range(len(cut))
            )
            if settled:
                break
            listed = known
        whole = Path(place) / "whole.pdf"
        with whole.open("wb") as out:
            join([made[at] for at in range(len(cut))], out)
        return whole.read_bytes()


def _side_by_side(work: Callable[[int], None], some: Iterable[int]) -> None:
    """Do a thing for each of some, a few at a time and in order; after a fault no more is begun, and it is raised."""
    with ThreadPoolExecutor(min(AT_ONCE, os.cpu_count() or 1)) as pool:
        waiting = [pool.submit(copy_context().run, work, one) for one in some]
        try:
            for one in waiting:
                one.result()
        except BaseException:
            pool.shutdown(cancel_futures=True)
            raise


def typeset(template: Path, data: dict[str, Any], when: datetime, standards: str = "ua-1") -> bytes:
    """The PDF that a template makes of plain values, which it reads as data.json. Raises `PdfError`.

    It is typeset in a process of its own: one that runs out of memory ends there, and this one can say so.
    """
    if not _is_installed("typst"):
        raise PdfError(
            f"the typesetting library typst is not installed for this Python: install it with 'pip install typst', "
            f"or {INSTEAD}"
        )
    with tempfile.TemporaryDirectory(prefix="rotorkit-") as place:
        folder = Path(place)
        shutil.copyfile(template, folder / "main.typ")
        text = json.dumps(_visible(data), ensure_ascii=False)
        (folder / "data.json").write_text(text, encoding="utf-8", errors="surrogatepass")
        del text
        moment = when.astimezone(UTC).replace(microsecond=0)
        alone = str(Path(__file__).parent / "typeset_alone.py")
        done = subprocess.run(
            [sys.executable, "-I", alone, place, str(int(moment.timestamp())), standards],
            capture_output=True,
            stdin=subprocess.DEVNULL,
            check=False,
        )
        made = folder / "made.pdf"
        if done.returncode == 0 and made.is_file():
            return made.read_bytes()
        raise PdfError(_why_not(done.returncode, done.stderr.decode("utf-8", "replace")))


def _is_installed(name: str) -> bool:
    try:
        return importlib.util.find_spec(name) is not None
    except ValueError:
        return False


def _why_not(code: int, said: str) -> str:
    """Why the typesetter gave nothing, in words."""
    said = " ".join(said.split())
    if code == OUT_OF_MEMORY or "memory allocation" in said or code in KILLED:
        return (
            f"the computer's memory ran out while the PDF was typeset: close other programs and try again, or {INSTEAD}"
        )
    if code < 0:
        return f"the typesetting library was stopped by signal {-code}: {INSTEAD}"
    return f"the typesetting library refused the document ({said:.300}): {INSTEAD}"


UNBROKEN = re.compile(r"(?![0-9a-f]{64}(?!\S))\S{27,}")
"""A word too long for some column: it is given spaces without a width, which leave no trace on paper. A hash has room,
and must come out whole where it is copied."""
AS_IT_IS = ("svg", "key", "title", "author", "subject")


def _data(document: Document, when: datetime) -> dict[str, Any]:
    headings = [one for one in document.headings() if one.key]
    return {
        "title": document.title,
        "author": document.author,
        "subject": document.subject,
        "keywords": [{"key": word} for word in document.keywords],
        "running": document.running,
        "identity": document.identity,
        "paper": document.paper,
        "date": [when.year, when.month, when.day, when.hour, when.minute],
        "asides": {one.key: one.aside for one in headings if one.level == 2},
        "parts": _parts(document),
        "before": 0,
        "total": 0,
        "parted": False,
        "listed": [],
    }


def _visible(value: Any) -> Any:
    """A value with `visible` done to every text in it, and places to break at put into every long word."""
    if isinstance(value, str):
        return UNBROKEN.sub(_with_breaks, visible(value))
    if isinstance(value, dict):
        return {key: visible(one) if key in AS_IT_IS else _visible(one) for key, one in value.items()}
    return [_visible(one) for one in value] if isinstance(value, (list, tuple)) else value


def _with_breaks(word: re.Match[str]) -> str:
    return "\u200b".join(re.findall(".{1,16}", word[0], re.DOTALL))


def _parts(document: Document) -> list[dict[str, Any]]:
    """The pieces by parts: each begins with a heading on a fresh page, which stands at the head of its pages."""
    parts: list[dict[str, Any]] = [{"name": "", "first": True, "blocks": []}]
    for block in document.blocks:
        first = block.top[0] if isinstance(block, OnePage) else block
        if isinstance(first, Heading) and first.fresh_page:
            parts.append({"name": first.text, "first": False, "blocks": []})
        elif parts[-1]["blocks"] and parts[-1]["blocks"][-1]["kind"] == "one-page":
            parts.append({"name": "", "first": False, "blocks": []})
        parts[-1]["blocks"].append(_block(block))
    return [part for part in parts if part["blocks"]]  # an empty one would be an empty page


def _across(figure: Figure) -> float:
    """How wide a picture is set, so that it fits on a page."""
    return min(POINTS_ACROSS, (figure.down or POINTS_DOWN) / figure.ratio)


def _block(block: Block) -> dict[str, Any]:
    match block:
        case Heading():
            return {
                "kind": "heading", "level": block.level, "text": block.text, "key": block.key,
            }  # fmt: skip
        case Paragraph():
            return {"kind": "paragraph", "words": _inline(block.words), "style": block.style}
        case Bullets():
            return {"kind": "bullets", "items": [_inline(item) for item in block.items]}
        case Table():
            return {
                "kind": "table",
                "caption": block.title,
                "head": list(block.head),
                "rows": [[_inline(words) for words in row] for row in block.rows],
                "widths": list(block.widths),
            }
        case Values():
            rows = [[_inline(letter), words, value] for letter, words, value in block.rows]
            return {"kind": "values", "rows": rows}
        case Formula():
            return {"kind": "formula", "text": block.text, **_formula(block)}
        case Figure():
            return {
                "kind": "figure",
                "svg": block.svg,
                "alt": f"{block.title}. {block.words}".strip(),
                "width": _across(block),
            }
        case Box():
            inside = [_block(one) for one in block.blocks]
            return {
                "kind": "box",
                "box": block.kind,
                "caption": block.title,
                "blocks": inside,
                "long": _long(block.blocks),
            }
        case Signatures():
            return {"kind": "signatures", "head": list(SIGNATURE_COLUMNS), "roles": list(block.roles)}
        case Together():
            return {"kind": "together", "blocks": [_block(one) for one in block.blocks], "long": _long(block.blocks)}
        case Lines():
            longest = max((_letters(item) for item in block.items), default=0)
            columns = 1 if len(block.items) < 3 else 3 if longest < 40 else 2
            return {
                "kind": "lines",
                "caption": block.title,
                "items": [_inline(item) for item in block.items],
                "columns": columns,
            }
        case OnePage():
            figure = None if block.picture is None else _block(block.picture)
            if figure is not None and block.picture is not None:
                figure["ratio"] = block.picture.ratio
            return {
                "kind": "one-page",
                "top": list(map(_block, block.top)),
                "picture": figure,
                "rest": list(map(_block, block.rest)),
                "more": list(map(_block, block.more)),
                "instead": block.instead,
                # each size that is tried is laid out whole: of a page that surely holds too much the largest are not
                "first": 0 if _letters(block.blocks) < SURELY_SHORT else 2,
                "end": list(map(_block, block.end)),
            }
        case Contents():
            return {"kind": "contents", "caption": block.title}
    raise TypeError(f"no such piece of a document: {type(block).__name__}")


def _formula(block: Formula) -> dict[str, Any]:
    found = fitted(block.latex)
    if found is None:
        return {"lines": None, "wide": False}
    return {"lines": found.lines, "wide": max(map(width_of, found.lines)) > SURELY_FITS * LINE}


def _inline(words: Inline) -> list[Any]:
    found: list[Any] = []
    for piece in pieces(words):
        match piece:
            case str():
                found.append(piece)
            case Strong():
                found.append({"kind": "strong", "text": piece.text})
            case Code():
                found.append({"kind": "code", "text": piece.text})
            case Verdict():
                found.append({"kind": "verdict", "word": piece.word})
            case Letter():
                try:
                    tree = tree_of(piece.latex)
                except FormulaError:
                    tree = None
                found.append({"kind": "letter", "text": piece.text, "tree": tree})
            case Link():
                found.append({"kind": "link", "text": piece.text, "key": piece.key})
    return found


def _long(blocks: Any) -> bool:
    return _letters(blocks) > LONG


def _letters(part: Any) -> int:
    """About how many letters a piece holds; a row of a table or a formula counts as a line."""
    match part:
        case str():
            return len(part) + 60 * part.count("\n")
        case Heading() | Code() | Strong() | Link():
            return len(part.text)
        case Paragraph():
            return 80 + _letters(part.words)
        case Bullets() | Lines():
            return sum(80 + _letters(item) for item in part.items)
        case Table():
            return sum(max(80, sum(map(_letters, row))) for row in part.rows)
        case Values():
            return 100 * len(part.rows)
        case Formula():
            return 200
        case Figure():
            return 1000
        case Signatures():
            return 200 * len(part.roles)
        case Box() | Together():
            return _letters(part.blocks)
        case list() | tuple():
            return sum(map(_letters, part))
    return 10
