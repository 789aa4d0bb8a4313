"""The document as one page of HTML: no scripts, nothing fetched, every text escaped."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

from rotorkit.dossier import blocks
from rotorkit.dossier.formulas import FormulaError, fitted, mathml, tree_of
from rotorkit.edges.visible import escaped as escape
from rotorkit.judging.limits import IN_LIMITS, NO_LIMIT, OUT_OF_LIMITS, TOO_CLOSE, UNDONE

SIGNATURE_COLUMNS = ("", "Name", "Licence no.", "Date", "Signature")
VERDICT_CLASSES = {
    IN_LIMITS: "in",
    OUT_OF_LIMITS: "out",
    TOO_CLOSE: "close",
    UNDONE: "none",
    NO_LIMIT: "none",
}


def page_of(document: blocks.Document) -> Iterator[str]:
    """The page, in parts to be written one after the other."""
    style = (Path(__file__).parent / "page.css").read_text("utf-8")
    running = _css_text(document.running)
    yield (
        '<!doctype html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n'
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        # even a fault of ours could not make the page run anything or ask anybody for anything
        "<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; style-src 'unsafe-inline'; "
        'img-src data:">\n'
        f'<title>{escape(document.title)}</title>\n<meta name="author" content="{escape(document.author)}">\n'
        f'<meta name="description" content="{escape(document.subject)}">\n'
        f"<style>\n{style}\n@page {{ @top-left {{ content: {running}; }} }}\n</style>\n</head>\n<body>\n<main>\n"
    )
    open_section = False
    for block in document.each_block():
        if isinstance(block, blocks.Heading) and block.level <= 2:
            if open_section:
                yield "</section>\n"
            fresh = ' class="fresh"' if block.fresh_page else ""
            yield f"<section{fresh}>\n"
            open_section = True
        yield _contents(block, document) if isinstance(block, blocks.Contents) else _block(block)
    yield ("</section>\n" if open_section else "") + "</main>\n</body>\n</html>\n"


def _css_text(text: str) -> str:
    """Text as a string of a style sheet, whatever is in it."""
    return '"' + "".join(c if c.isalnum() or c in " ,.:;()-" else f"\\{ord(c):x} " for c in text) + '"'


def _contents(block: blocks.Contents, document: blocks.Document) -> str:
    listed = [one for one in document.headings() if one.key and one.level == 2]
    lines = [
        f'<li class="level-{one.level}"><a href="#{escape(one.key)}">{escape(one.text)}</a>'
        + escape(f" {one.mark}".rstrip())
        + (
            f" {_verdict(one.aside)}"
            if one.aside in VERDICT_CLASSES
            else f" <span>{escape(one.aside)}</span>"
            if one.aside
            else ""
        )
        + "</li>"
        for one in listed
    ]
    return (
        f'<nav aria-labelledby="contents"><h2 id="contents">{escape(block.title)}</h2><ul>{"".join(lines)}</ul></nav>\n'
    )


def _block(block: blocks.Block) -> str:
    match block:
        case blocks.Heading():
            key = f' id="{escape(block.key)}"' if block.key else ""
            return f"<h{block.level}{key}>{_broken(block.text)}</h{block.level}>\n"
        case blocks.Paragraph():
            style = f' class="{block.style}"' if block.style else ""
            return f"<p{style}>{_inline(block.words)}</p>\n"
        case blocks.Bullets():
            return f"<ul>{''.join(f'<li>{_inline(item)}</li>' for item in block.items)}</ul>\n"
        case blocks.Table():
            return _table(block)
        case blocks.Values():
            return _values(block)
        case blocks.Formula():
            return _formula(block.latex, block.text)
        case blocks.Figure():
            return f"<figure>{_own_heading_off(block.svg)}</figure>\n"
        case blocks.Box():
            inside = "".join(map(_block, block.blocks))
            return f'<div class="box {block.kind}"><p class="box-title">{escape(block.title)}</p>{inside}</div>\n'
        case blocks.Signatures():
            return _signatures(block)
        case blocks.Lines():
            return _lines(block)
        case blocks.Together():
            return f'<div class="together">{"".join(map(_block, block.blocks))}</div>\n'
    raise TypeError(f"no such piece of a document: {type(block).__name__}")


def _inline(words: blocks.Inline) -> str:
    return "".join(map(_piece, blocks.pieces(words)))


def _piece(piece: blocks.Piece) -> str:
    match piece:
        case str():
            return _broken(piece)
        case blocks.Strong():
            return f"<strong>{_broken(piece.text)}</strong>"
        case blocks.Code():
            return f"<code>{escape(piece.text)}</code>"
        case blocks.Verdict():
            return _verdict(piece.word)
        case blocks.Letter():
            try:
                return mathml(tree_of(piece.latex), piece.text)
            except FormulaError:
                return f"<i>{escape(piece.text)}</i>"
        case blocks.Link():
            return f'<a href="#{escape(piece.key)}">{escape(piece.text)}</a>'


def _verdict(word: str) -> str:
    return f'<strong class="word {VERDICT_CLASSES.get(word, "none")}">{escape(word)}</strong>'


def _broken(text: str) -> str:
    """Text with its own line ends."""
    return escape(text).replace("\n", "<br>")


def _table(table: blocks.Table) -> str:
    columns = "".join(f'<col style="width:{100 * share / sum(table.widths):.1f}%">' for share in table.widths)
    head = "".join(f'<th scope="col">{escape(name)}</th>' for name in table.head)
    rows = []
    for row in table.rows:
        cells = [f'<th scope="row">{_inline(row[0])}</th>', *(f"<td>{_inline(words)}</td>" for words in row[1:])]
        rows.append(f"<tr>{''.join(cells)}</tr>")
    caption = f"<caption>{escape(table.title)}</caption>" if table.title else ""
    return (
        f"<table>{caption}<colgroup>{columns}</colgroup><thead><tr>{head}</tr></thead>"
        f"<tbody>{''.join(rows)}</tbody></table>\n"
    )


def _lines(block: blocks.Lines) -> str:
    items = "".join(f"<li>{_inline(item)}</li>" for item in block.items)
    return f'<p class="box-title">{escape(block.title)}</p><ul class="lines">{items}</ul>\n'


def _values(block: blocks.Values) -> str:
    rows = "".join(
        f'<tr><td>{_piece(letter)}</td><th scope="row">{escape(words)}</th><td>{escape(value)}</td></tr>'
        for letter, words, value in block.rows
    )
    head = '<th scope="col">Letter</th><th scope="col">What it is</th><th scope="col">Value</th>'
    columns = '<colgroup><col style="width:8%"><col style="width:22%"><col style="width:70%"></colgroup>'
    return f'<table class="quiet">{columns}<thead><tr>{head}</tr></thead><tbody>{rows}</tbody></table>\n'


def _formula(latex: str, text: str) -> str:
    """A formula on lines of its own; as plain text where it cannot be set."""
    found = fitted(latex)
    if found is None:
        return f'<p class="formula plain">{escape(text)}</p>\n'
    set_lines = [
        f"<div>{mathml(line, text if i == 0 else 'continued', found.scale)}</div>" for i, line in enumerate(found.lines)
    ]
    return f'<div class="formula">{"".join(set_lines)}</div>\n'


def _signatures(block: blocks.Signatures) -> str:
    head = "".join(f'<th scope="col">{name}</th>' if name else "<td></td>" for name in SIGNATURE_COLUMNS)
    rows = "".join(
        f'<tr><th scope="row">{escape(role)}</th><td></td><td></td><td></td><td></td></tr>' for role in block.roles
    )
    return (
        f'<table class="sign"><caption>To be signed by hand</caption><thead><tr>{head}</tr></thead>'
        f"<tbody>{rows}</tbody></table>\n"
    )


def _own_heading_off(svg: str) -> str:
    """A picture without its title element, which browsers show as a tip over the whole picture; the label stays."""
    return re.sub(r"<title>.*?</title>", "", svg, count=1, flags=re.DOTALL)
