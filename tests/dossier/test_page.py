"""The page: valid, self-contained, accessible, and every typed text as it was typed."""

from __future__ import annotations

import re
from itertools import pairwise
from typing import Any

import html5lib
import pytest

from rotorkit.dossier.blocks import Document, Heading, Paragraph, Strong
from rotorkit.dossier.page import page_of
from rotorkit.edges.visible import visible
from tests.dossier.conftest import NOTE, WHY, Written

NAMES = "{http://www.w3.org/1999/xhtml}"


@pytest.fixture(scope="module")
def tree(written: Written) -> Any:
    """The page, read by the rules of HTML; a fault in it fails the test."""
    return html5lib.HTMLParser(strict=True).parse(written.html)


@pytest.fixture(scope="module")
def worked(written: Written) -> Any:
    """The page of the second volume, likewise."""
    return html5lib.HTMLParser(strict=True).parse(written.worked)


def tags(tree: Any, *names: str) -> list[Any]:
    wanted = {NAMES + name for name in names}
    return [one for one in tree.iter() if one.tag in wanted]


def text_of(node: Any) -> str:
    return "".join(node.itertext())


def test_nothing_is_run_and_nothing_is_fetched(tree: Any, written: Written) -> None:
    assert tags(tree, "script", "iframe", "object", "embed", "link", "img", "form", "input", "base") == []
    for node in tree.iter():
        for name, value in node.attrib.items():
            assert not name.lower().startswith("on"), (node.tag, name)
            if name.rsplit("}", 1)[-1] in ("href", "src", "action", "data", "srcset"):
                assert value.startswith("#"), (node.tag, name, value)
    style = "".join(text_of(node) for node in tags(tree, "style"))
    assert "url(" not in style
    assert "@import" not in style
    assert "default-src 'none'" in written.html


def test_a_typed_note_stands_as_it_was_typed(tree: Any, written: Written) -> None:
    paragraphs = ["\n".join(part for part in one.itertext()) for one in tags(tree, "p")]
    assert NOTE in paragraphs
    assert "<script" not in written.html
    assert any(WHY in text_of(one) for one in tags(tree, "p"))


@pytest.mark.parametrize("volume", ["tree", "worked"])
def test_language_title_and_headings_in_order(volume: str, request: pytest.FixtureRequest) -> None:
    tree = request.getfixturevalue(volume)
    (root,) = [tree] if tree.tag == f"{NAMES}html" else tags(tree, "html")
    assert root.get("lang") == "en"
    assert "Demo two-seater" in text_of(tags(tree, "title")[0])
    levels = [int(one.tag[-1]) for one in tags(tree, "h1", "h2", "h3", "h4")]
    assert levels[0] == 1
    assert levels.count(1) == 1
    assert all(after <= before + 1 for before, after in pairwise(levels))


@pytest.mark.parametrize("volume", ["tree", "worked"])
def test_links_lead_somewhere_and_no_name_is_given_twice(volume: str, request: pytest.FixtureRequest) -> None:
    tree = request.getfixturevalue(volume)
    names = [one.get("id") for one in tree.iter() if one.get("id")]
    assert len(set(names)) == len(names)
    links = tags(tree, "a")
    assert len(links) > 3
    assert {one.get("href")[1:] for one in links} <= set(names)


def test_tables_have_a_caption_and_headings_with_scope(tree: Any, worked: Any) -> None:
    tables = [*tags(tree, "table"), *tags(worked, "table")]
    assert len(tables) > 30
    for table in tables:
        assert tags(table, "caption") or table.get("class") == "quiet"
        heads = tags(table, "th")
        assert heads
        assert all(head.get("scope") in ("col", "row") for head in heads)
        assert all(text_of(head).strip() for head in heads)
        widths = {len(tags(row, "th", "td")) for row in tags(table, "tr")}
        assert len(widths) == 1, text_of(table)[:80]


def test_pictures_and_formulas_have_words(tree: Any, worked: Any, written: Written) -> None:
    pictures = [one for one in tree.iter() if one.tag.endswith("}svg")]
    assert len(pictures) == written.dossier.checks, "one picture a check"
    pictures += [one for one in worked.iter() if one.tag.endswith("}svg")]
    assert all(one.get("role") == "img" and len(one.get("aria-label")) > 40 for one in pictures)
    formulas = [one for one in worked.iter() if one.tag.endswith("}math")]
    assert formulas
    assert all(one.get("alttext") for one in formulas)
    assert "\\frac" not in "".join(text_of(one) for one in formulas)


@pytest.mark.parametrize(
    "typed",
    [
        "</p></main><script>x</script>",
        "&lt;b&gt; &amp;",
        "\"quotes\" 'single'",
        "right\u202eleft",
        "bell\x07 nul\x00",
        "half \ud83d pair",
        "</style><style>",
        "日本語 🚁 السلام",
    ],
)
def test_whatever_is_typed_anywhere_appears_as_typed(typed: str) -> None:
    document = Document(typed, typed, typed, typed, typed, "a4")
    document.add(Heading(1, typed, "top"), Heading(2, typed, "part", aside=typed), Paragraph([typed, Strong(typed)]))
    page = "".join(page_of(document)).encode("utf-8").decode("utf-8")
    tree = html5lib.HTMLParser(strict=True).parse(page)
    assert tags(tree, "script") == []
    assert len(tags(tree, "style")) == 1
    assert text_of(tags(tree, "p")[0]) == visible(typed) * 2
    assert text_of(tags(tree, "title")[0]) == visible(typed)
    assert text_of(tags(tree, "h1")[0]) == visible(typed)


def test_characters_that_are_not_seen_are_named() -> None:
    assert visible("a\u202eb\x00\r\nc") == "a[U+202E]b[U+0000]\nc"


def test_the_page_is_small(written: Written) -> None:
    assert len(written.html) < 100_000 * written.dossier.checks
    assert not re.search(r"\bNone\b|\bnan\b|object at 0x", text_of(html5lib.parse(written.html)))
