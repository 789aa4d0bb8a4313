"""The document as a PDF, typeset by Typst: tagged, with bookmarks, running heads, page numbers and metadata.

Typst is a library of its own in Python's environment: it needs no browser, no fonts and nothing else of the computer.
"""

from __future__ import annotations

import importlib
import json
import re
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
    Link,
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
from rotorkit.dossier.page import SIGNATURE_COLUMNS
from rotorkit.edges.visible import named, visible

__all__ = ["PdfError", "pdf_of"]

SURELY_FITS = 0.8
"""A formula that may take more than this share of a line is measured by the typesetter: widths here are estimates."""
MOST_MISSING = 300
"""So many letters without a font are found one by one; a text with more of them has all its unusual letters named."""
LONG = 1500
"""Pieces with more letters than this may break over pages; shorter ones stay together."""
POINTS_ACROSS = 470.0
POINTS_DOWN = 660.0
"""A picture is no wider than the one and no higher than the other: a page of the smaller paper holds it whole."""
SIZE = re.compile(r'viewBox="0 0 ([\d.]+) ([\d.]+)"')


class PdfError(Exception):
    """Why there is no PDF, in plain words."""


def pdf_of(document: Document, when: datetime) -> bytes:
    """The PDF's bytes. when: the moment that stands in it as its date. Raises `PdfError`."""
    try:
        typst: Any = importlib.import_module("typst")
    except ImportError as problem:
        raise PdfError(
            f"the typesetting library typst is not installed for this Python, or does not load on this computer "
            f"({problem}): install it with 'pip install typst', or print the HTML page to PDF from a browser"
        ) from None
    template = (Path(__file__).parent / "dossier.typ").read_bytes()
    data = json.dumps(_visible(_data(document, when)), ensure_ascii=False)
    for character in _without_a_font(typst, data):
        data = data.replace(character, named(character))
    try:
        made = typst.compile(
            {"main.typ": template, "data.json": data.encode("utf-8")},
            format="pdf",
            pdf_standards=["ua-1"],
            timestamp=when.astimezone(UTC).replace(microsecond=0),
        )
    except Exception as problem:  # the library's own errors come in several types
        said = " ".join(str(problem).split())
        raise PdfError(
            f"the typesetting library did not take the document ({said:.300}): print the HTML page to PDF from a "
            f"browser"
        ) from problem
    if not isinstance(made, bytes):
        raise PdfError("the typesetting library gave no document: print the HTML page to PDF from a browser")
    return made


TRY_LETTERS = b"""#set text(lang: "en", font: ("Libertinus Serif", "DejaVu Sans"), fallback: true)
#set document(title: "letters")
#for letter in json("letters.json") { par(letter); par(raw(letter)) }
"""


UNBROKEN = re.compile(r"(?![0-9a-f]{64}(?!\S))\S{27,}")
"""A word too long for some column: it is given spaces without a width, which leave no trace on paper. A hash has room,
and must come out whole where it is copied."""
AS_IT_IS = ("svg", "key", "title", "author", "subject")
CODE = re.compile(r"\\u\{([0-9a-f]+)\}")
"""How the typesetter writes a letter that it cannot show."""


def _without_a_font(typst: Any, text: str) -> list[str]:
    """The letters of a text that no font of this computer has: an accessible PDF must not hold an empty box for one.

    The typesetter names the first that it misses, so it is asked again without that one, with nothing but the letters.
    """
    letters = sorted({c for c in text if ord(c) > 0x24F and not c.isspace() and not 0xD800 <= ord(c) <= 0xDFFF})
    missing: list[str] = []
    while letters and len(missing) < MOST_MISSING:
        try:
            typst.compile(
                {"main.typ": TRY_LETTERS, "letters.json": json.dumps(letters).encode()},
                format="pdf",
                pdf_standards=["ua-1"],
            )
            return missing
        except Exception as problem:
            found = re.search(r'the text `"(.+?)"`', str(problem))
            told = CODE.sub(lambda code: chr(int(code[1], 16)), found[1]) if found else ""
            named_there = [c for c in letters if c in told]
            if not named_there:
                return missing
            missing += named_there
            letters = [c for c in letters if c not in named_there]
    return missing + letters


def _data(document: Document, when: datetime) -> dict[str, Any]:
    headings = [one for one in document.blocks if isinstance(one, Heading) and one.key]
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
        if isinstance(block, Heading) and block.fresh_page:
            parts.append({"name": block.text, "first": False, "blocks": []})
        parts[-1]["blocks"].append(_block(block))
    return parts


def _across(svg: str) -> float:
    """How wide a picture is set, so that it fits on a page."""
    size = SIZE.search(svg)
    if size is None or not float(size[2]):
        return POINTS_ACROSS
    return min(POINTS_ACROSS, POINTS_DOWN * float(size[1]) / float(size[2]))


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
                "width": _across(block.svg),
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
        case Bullets():
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
