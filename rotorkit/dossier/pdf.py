"""The document as a PDF, typeset by Typst: tagged, with bookmarks, running heads, page numbers and metadata.

Typst is a library of its own in Python's environment: it needs no browser, no fonts and nothing else of the computer.
"""

from __future__ import annotations

import errno
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

from rotorkit.dossier import blocks
from rotorkit.dossier.formulas import LINE, FormulaError, fitted, tree_of, width_of
from rotorkit.dossier.joining import JoinError, Part, join, part_of
from rotorkit.dossier.page import SIGNATURE_COLUMNS
from rotorkit.dossier.room import ACROSS, DOWN, columns_of, high, letters_in
from rotorkit.edges.visible import visible
from rotorkit.pictures.paper import SMALL

TOGETHER = 14
"""So many pages that begin again are typeset at once: fourteen checks take some 90 MB.
Of parts that may run on half as many are."""
AT_ONCE = 2
"""So many pieces are typeset side by side, each in a process of its own: no more, as the memory for them adds up."""
MOST_ROUNDS = 4
"""So often the pieces are typeset again until their page numbers agree; two is usual."""
SURELY_FITS = 0.8
"""A formula that may take more than this share of a line is measured by the typesetter: widths here are estimates."""
INSTEAD = "print the HTML page to PDF from a browser"
NO_MEMORY = f"the computer's memory ran out while the PDF was typeset: close other programs and try again, or {INSTEAD}"
OUT_OF_MEMORY = 71
"""What `typeset_alone.py` ends with where Python itself found no memory."""
KILLED = (-9, -6)
"""How a process ends that the system stops for want of memory, and one whose library found none."""
LONG = 1500
"""Pieces with more letters than this may break over pages; shorter ones stay together."""
LONGEST = 4500
"""The same for what is set together: a step of a calculation, the cautions."""
LONG_ROW = 1800
"""A table in which a row has more letters may break its rows over pages."""
TRIES = (
    (9.2, 2, 190.0), (8.6, 2, 150.0), (8.6, 1, 150.0), (8.0, 1, 140.0), (7.5, 1, 120.0),
    (7.0, 1, 100.0), (7.5, 0, 100.0), (7.0, 0, 100.0), (8.0, 1, 0.0), (7.5, 1, 0.0), (7.0, 1, 0.0), (7.0, 0, 0.0),
)  # fmt: skip
"""How a page that holds all of one thing may be set, best first: the size of its letters, how much of what may be left
out is there (2: all; 1: all but `OnePage.more`; 0: not `OnePage.spare` either), and how high its picture is at least,
in points."""
LEGIBLE = 7.0
"""So many points a picture's letters have at least; where there is no room for that, it is drawn anew for what room
there is."""
LEAST = 0.92
"""A picture that was drawn for its page is set no smaller than this share of what it was drawn for."""
SURELY_FIT = 5
"""Of so many tries the picture is high enough to take up what was worked out wrongly: they need not be measured."""
SPARE = 14.0
"""So much lower than there is room for, by what is worked out, such a picture is drawn: what is worked out is off."""
BESIDE = 22.0
"""What stands around a page's picture, in points."""
OFF = 45.0
"""By so many points a page may turn out higher than it was worked out."""
POINTS_ACROSS = 470.0
POINTS_DOWN = 660.0
"""A picture is no wider than the one and no higher than the other: a page of the smaller paper holds it whole."""


class PdfError(Exception):
    """Why there is no PDF, in plain words."""


def pdf_of(document: blocks.Document, when: datetime, together: int = TOGETHER) -> bytes:
    """The PDF's bytes. when: the moment that stands in it as its date. together: so many parts that begin a page are
    typeset at once; a document that has such parts is typeset in pieces and joined, so that the memory it takes stays
    bounded. Raises `PdfError`."""
    try:
        return _pdf_of(document, when, together)
    except MemoryError:
        raise PdfError(NO_MEMORY) from None
    except OSError as problem:  # a process that could not be begun, a file that found no room
        if problem.errno in (errno.ENOMEM, errno.EAGAIN):
            raise PdfError(NO_MEMORY) from None
        raise PdfError(f"it could not be typeset ({problem.strerror or problem}): {INSTEAD}") from None
    except RuntimeError as problem:
        if "new thread" in str(problem):
            raise PdfError(NO_MEMORY) from None
        raise


def _pdf_of(document: blocks.Document, when: datetime, together: int) -> bytes:
    template = Path(__file__).parent / "dossier.typ"
    pieces_of = _cut(document, together)
    if len(pieces_of) > 1:
        try:
            return _joined(template, document, pieces_of, when)
        except JoinError:
            pass  # another version of the typesetter: the whole at once
    return typeset(template, _data(document, when, measured=True), when)


def _cut(document: blocks.Document, together: int) -> list[list[blocks.Block]]:
    """The pieces by what is typeset at once: each begins where a page begins."""
    found: list[list[blocks.Block]] = [[]]
    count = 0
    for block in document.blocks:
        first = block.top[0] if isinstance(block, blocks.OnePage) else block
        fresh = isinstance(first, blocks.Heading) and first.fresh_page
        ended = isinstance(first, blocks.Heading) and first.level == 2 and not fresh and count > 0
        weight = 1 if isinstance(block, blocks.OnePage) else 2  # what runs on takes more memory
        if ended or (fresh and (count == 0 or count + weight > together)):
            found.append([])
            count = 0
        count += weight if fresh else 0
        found[-1].append(block)
    return found


def _set_piece(template: Path, data: dict[str, Any], when: datetime, standards: str, file: Path) -> Part:
    """One piece typeset into a file. Where a page that holds all of one thing turned out longer than was worked out,
    the piece is typeset again, and its pages are measured. Raises `JoinError` and `PdfError`."""
    file.write_bytes(typeset(template, data, when, standards))
    made = part_of(file)
    if _runs_over(data["parts"], made):
        file.write_bytes(typeset(template, data | {"parts": _to_be_measured(data["parts"])}, when, standards))
        made = part_of(file)
    return made


def _runs_over(parts: list[dict[str, Any]], made: Part) -> bool:
    """Whether a page that was not measured takes more than a page."""
    starts = [made.page_of.get(str(part["key"]).encode()) for part in parts]
    ends = [*starts[1:], len(made.pages)] if parts else []
    for part, start, after in zip(parts, starts, ends, strict=True):
        if any(block.get("fits") for block in part["blocks"]) and (start is None or after != start + 1):
            return True
    return False


def _to_be_measured(parts: list[dict[str, Any]]) -> list[dict[str, Any]]:
    return [{**part, "blocks": [{**one, "fits": None} for one in part["blocks"]]} for part in parts]


def _joined(template: Path, document: blocks.Document, cut: list[list[blocks.Block]], when: datetime) -> bytes:
    """The document typeset piece by piece. The page numbers depend on what comes before: a piece is typeset again where
    they turn out otherwise than was taken."""
    with tempfile.TemporaryDirectory(prefix="rotorkit-") as place:
        counts = [
            1 if at == 0 else max(1, sum(isinstance(one, blocks.OnePage) for one in piece))
            for at, piece in enumerate(cut)
        ]
        set_as: list[str] = [""] * len(cut)
        listed = [
            {"key": one.key, "text": one.text, "mark": one.mark, "aside": one.aside, "page": 0}
            for one in document.headings()
            if one.key and one.level == 2
        ]
        made: dict[int, Part] = {}
        last = len(cut) - 1
        ends, between = [0, last], range(1, last)
        at_work = threading.Lock()

        def set_one(at: int) -> None:
            """One piece typeset, where it is not yet, with what is known by then of those before it."""
            with at_work:
                before, total = sum(counts[:at]), sum(counts)
                knows = str((before, total, [one["page"] for one in listed] if at == 0 else None))
                if set_as[at] == knows:
                    return
                data = _data(replace(document, blocks=cut[at]), when) | {
                    "before": before, "total": total, "parted": True, "listed": [] if at else listed,
                }  # fmt: skip
            file = Path(place) / f"{at}.pdf"
            piece = _set_piece(template, data, when, "" if at else "ua-1", file)
            with at_work:
                set_as[at], made[at] = knows, piece
                counts[at] = len(piece.pages)

        for _ in range(MOST_ROUNDS):
            for some in (ends, between):  # how long the two ends are is known least: those between are set with it
                _side_by_side(set_one, some)
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
        return NO_MEMORY
    if code < 0:
        return f"the typesetting library was stopped by signal {-code}: {INSTEAD}"
    return f"the typesetting library refused the document ({said:.300}): {INSTEAD}"


UNBROKEN = re.compile(r"(?![0-9a-f]{64}(?!\S))\S{27,}")
"""A word too long for some column: it is given spaces without a width, which leave no trace on paper. A hash has room,
and must come out whole where it is copied."""
AS_IT_IS = ("svg", "key", "title", "author", "subject")


def _data(document: blocks.Document, when: datetime, measured: bool = False) -> dict[str, Any]:
    """What the template reads. measured: every page that holds all of one thing is measured."""
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
        "marks": {one.key: one.mark for one in headings if one.mark},
        "tries": TRIES,
        "parts": _to_be_measured(_parts(document)) if measured else _parts(document),
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


def _parts(document: blocks.Document) -> list[dict[str, Any]]:
    """The pieces by parts: each begins with a heading on a fresh page, which stands at the head of its pages."""
    parts: list[dict[str, Any]] = [{"name": "", "key": "", "first": True, "blocks": []}]
    for block in document.blocks:
        first = block.top[0] if isinstance(block, blocks.OnePage) else block
        if isinstance(first, blocks.Heading) and first.fresh_page:
            parts.append({"name": first.text, "key": first.key, "first": False, "blocks": []})
        elif parts[-1]["blocks"] and parts[-1]["blocks"][-1]["kind"] == "one-page":
            parts.append({"name": "", "key": "", "first": False, "blocks": []})
        parts[-1]["blocks"].append(_block(block, document.paper))
    parts = [part for part in parts if part["blocks"]]  # an empty one would be an empty page
    following = [*parts[1:], {"key": "end"}] if parts else []  # a first piece may be nothing but the title
    for part, after in zip(parts, following, strict=True):
        if not (part["key"] and after["key"]):  # where it ends could not be seen
            part["blocks"] = _to_be_measured([part])[0]["blocks"]
    return parts


def _across(figure: blocks.Figure) -> float:
    """How wide a picture is set, so that it fits on a page."""
    return min(POINTS_ACROSS, (figure.down or POINTS_DOWN) / figure.ratio)


def _block(block: blocks.Block, paper: str = "us-letter") -> dict[str, Any]:
    match block:
        case blocks.Heading():
            return {
                "kind": "heading", "level": block.level, "text": block.text, "key": block.key,
            }  # fmt: skip
        case blocks.Paragraph():
            return {"kind": "paragraph", "words": _inline(block.words), "style": block.style}
        case blocks.Bullets():
            return {"kind": "bullets", "items": [_inline(item) for item in block.items]}
        case blocks.Table():
            return {
                "kind": "table",
                "caption": block.title,
                "head": list(block.head),
                "rows": [[_inline(words) for words in row] for row in block.rows],
                "widths": list(block.widths),
                "long": any(letters_in(row) > LONG_ROW for row in block.rows),
            }
        case blocks.Values():
            rows = [[_inline(letter), words, value] for letter, words, value in block.rows]
            return {"kind": "values", "rows": rows}
        case blocks.Formula():
            return {"kind": "formula", "text": block.text, **_formula(block)}
        case blocks.Figure():
            return {
                "kind": "figure",
                "svg": block.svg,
                "alt": f"{block.title}. {block.words}".strip(),
                "width": _across(block),
            }
        case blocks.Box():
            inside = [_block(one) for one in block.blocks]
            return {
                "kind": "box",
                "box": block.kind,
                "caption": block.title,
                "blocks": inside,
                "long": _long(block.blocks),
            }
        case blocks.Signatures():
            return {"kind": "signatures", "head": list(SIGNATURE_COLUMNS), "roles": list(block.roles)}
        case blocks.Together():
            return {
                "kind": "together",
                "blocks": [_block(one) for one in block.blocks],
                "long": _long(block.blocks, LONGEST),
            }
        case blocks.Lines():
            columns = columns_of(block)
            return {
                "kind": "lines",
                "caption": block.title,
                "items": [_inline(item) for item in block.items],
                "columns": columns,
                "long": letters_in(block) > 2 * LONG,
            }
        case blocks.OnePage():
            return _one_page(block, paper)
        case blocks.Contents():
            return {"kind": "contents", "caption": block.title}
    raise TypeError(f"no such piece of a document: {type(block).__name__}")


def _one_page(page: blocks.OnePage, paper: str) -> dict[str, Any]:
    """A page with the try that surely fits ("fits": the letters' size, whether all is there, whether the picture takes
    up what is left), or with none, and then the first that is worth measuring."""
    across, down = ACROSS[paper], DOWN[paper]
    figure, natural, legible = page.picture, 0.0, 0.0
    if figure is not None:
        natural = min(across * figure.ratio, 0.62 * down)
        legible = min(natural, LEGIBLE / SMALL * figure.size[1])
    fits, first = None, len(TRIES) - 1
    for at, (letters, full, least) in enumerate(TRIES):
        if full == 0 and not page.spare:
            continue
        instead = page.instead if full else page.without
        rest = [*page.rest, *(page.more if full == 2 else [blocks.Paragraph(instead)] if instead else [])]
        free = down - high([*page.top, *(page.spare if full else []), *rest, *page.end], letters, across) - BESIDE
        if page.picture is not None and least > 0 and free >= least and free < legible and page.lower is not None:
            lower = page.lower(across, free - SPARE)
            if lower is not None and across * lower.ratio <= free:
                figure, natural = lower, across * lower.ratio
                legible = LEAST * natural
        if free >= min(max(least, legible), natural) * (least > 0):
            surely = at < SURELY_FIT and free >= min(least, OFF)
            fits = (letters, full, free < natural + OFF) if surely else None
            first = max(0, at - 1)
            break
    return {
        "kind": "one-page",
        "top": list(map(_block, page.top)),
        "picture": None
        if figure is None
        else {**_block(figure), "ratio": figure.ratio, "natural": natural, "legible": legible},
        "rest": list(map(_block, page.rest)),
        "more": list(map(_block, page.more)),
        "instead": page.instead,
        "spare": list(map(_block, page.spare)),
        "without": page.without,
        "fits": fits,
        "first": first,
        "end": list(map(_block, page.end)),
    }


def _formula(block: blocks.Formula) -> dict[str, Any]:
    found = fitted(block.latex)
    if found is None:
        return {"lines": None, "wide": False}
    return {"lines": found.lines, "wide": max(map(width_of, found.lines)) > SURELY_FITS * LINE}


def _inline(words: blocks.Inline) -> list[Any]:
    found: list[Any] = []
    for piece in blocks.pieces(words):
        match piece:
            case str():
                found.append(piece)
            case blocks.Strong():
                found.append({"kind": "strong", "text": piece.text})
            case blocks.Code():
                found.append({"kind": "code", "text": piece.text})
            case blocks.Verdict():
                found.append({"kind": "verdict", "word": piece.word})
            case blocks.Letter():
                try:
                    tree = tree_of(piece.latex)
                except FormulaError:
                    tree = None
                found.append({"kind": "letter", "text": piece.text, "tree": tree})
            case blocks.Link():
                found.append({"kind": "link", "text": piece.text, "key": piece.key})
    return found


def _long(held: Any, most: int = LONG) -> bool:
    return letters_in(held) > most
