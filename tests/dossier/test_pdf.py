"""The PDF: tagged, with bookmarks and metadata, and saying the same as the page."""

from __future__ import annotations

import io
import json
import re
import subprocess
import sys
from dataclasses import replace
from datetime import datetime
from pathlib import Path
from typing import Any

import pypdf
import pytest
import typst

from rotorkit.dossier import pdf as pdf_module
from rotorkit.dossier import typeset_alone, write_dossier
from rotorkit.dossier.blocks import (
    Box,
    Bullets,
    Code,
    Contents,
    Document,
    Formula,
    Heading,
    Link,
    OnePage,
    Paragraph,
    Strong,
    Table,
    Together,
)
from rotorkit.dossier.pdf import pdf_of
from rotorkit.dossier.room import ACROSS, high
from rotorkit.dossier.writing import document_of
from tests.dossier.conftest import NOTE, NOW, WHY, Written
from tests.record.bench import Bench


@pytest.fixture(scope="module")
def pdf(written: Written) -> pypdf.PdfReader:
    assert written.dossier.pdf is not None, written.dossier.why_no_pdf
    return pypdf.PdfReader(written.dossier.pdf)


def run_together(text: str) -> str:
    """A text without blanks and line ends, which a page breaks where it likes."""
    return re.sub(r"[\s\u200b\u00ad]+", "", text)


@pytest.fixture(scope="module")
def text(pdf: pypdf.PdfReader) -> str:
    return run_together("\n".join(page.extract_text() for page in pdf.pages))


@pytest.fixture(scope="module")
def worked(written: Written) -> pypdf.PdfReader:
    """The second volume."""
    (file,) = written.dossier.more_pdfs
    return pypdf.PdfReader(file)


def test_tags_language_bookmarks_and_metadata(pdf: pypdf.PdfReader, written: Written) -> None:
    root: Any = pdf.trailer["/Root"]
    assert root["/MarkInfo"]["/Marked"]
    assert "/StructTreeRoot" in root
    assert root["/Lang"] == "en"
    assert root["/ViewerPreferences"]["/DisplayDocTitle"]
    assert pdf.metadata is not None
    assert pdf.metadata.title == "Dossier of Demo two-seater, serial demo 1"
    assert pdf.metadata.author == "Demo Flying Club, at Demo Field"
    assert written.dossier.head in str(pdf.metadata.get("/Keywords"))

    def titles(outline: Any) -> list[str]:
        return [t for one in outline for t in (titles(one) if isinstance(one, list) else [one.title])]

    marked = titles(pdf.outline)
    for check in written.bench.record.checks():
        entry = written.bench.record.last(check)
        assert entry is not None
        assert entry.title in marked


def test_pages(pdf: pypdf.PdfReader, worked: pypdf.PdfReader, written: Written) -> None:
    for volume in (pdf, worked):
        last = len(volume.pages)
        for number, page in enumerate(volume.pages, 1):
            said = " ".join(page.extract_text().split())
            assert f"page {number} of {last}" in said
            assert written.dossier.head[:16] in said
            assert len(said) > 150, f"page {number} is all but empty"
            assert page.mediabox.width == 612, "letter paper for an aircraft in US units"


def test_a_check_is_one_page_with_verdict_readings_and_sign_off(pdf: pypdf.PdfReader, written: Written) -> None:
    pages = [run_together(page.extract_text()) for page in pdf.pages]
    assert len(pages) <= written.dossier.checks + 12, "front, contents, board, aircraft"
    for check in written.bench.record.checks():
        entry = written.bench.record.last(check)
        assert entry is not None
        (page,) = [page for page in pages if run_together(f"Hash {entry.hash}") in page]
        assert run_together(entry.title) in page
        assert run_together(f"Sign-off. Verdict: {entry.word}. A signature here releases nothing") in page
        assert run_together("Name Licence no. Date Signature") in page
        for finding in entry.findings:
            assert run_together(finding.row()[1]) in page
        assert all(run_together(one.title) in page for one in entry.instruments)


def test_figures_verdicts_and_hashes(text: str, written: Written) -> None:
    for check in written.bench.record.checks():
        entry = written.bench.record.last(check)
        assert entry is not None
        assert entry.hash in text
        for finding in entry.findings:
            title, figure, limit, word = finding.row()
            for said in (title, figure, word):
                assert run_together(said) in text
            assert run_together(finding.verdict.limit.text if finding.verdict.limit else limit) in text
    assert written.dossier.head in text


def test_a_typed_note_stands_as_it_was_typed(text: str) -> None:
    assert run_together(NOTE) in text
    assert run_together(WHY) in text


def test_every_font_is_in_the_file(pdf: pypdf.PdfReader) -> None:
    for page in pdf.pages[:12]:
        fonts: Any = page["/Resources"].get("/Font", {})
        for font in fonts.values():
            inner = font.get_object()
            inner = inner["/DescendantFonts"][0].get_object() if "/DescendantFonts" in inner else inner
            descriptor = inner["/FontDescriptor"].get_object()
            assert {"/FontFile", "/FontFile2", "/FontFile3"} & set(descriptor.keys())


@pytest.mark.parametrize(
    "typed",
    [
        "#panic() $x$ \\alpha `raw` <label> @ref *b* _e_ // c /* d */ [x] {y} = head",
        "half \ud83d pair, bell\x07, right\u202eleft",
        "no font has \U00013000 or \ue123 or \U000f1234",
        "日本語 🚁 السلام e\u0301",
        "w" * 3000,
        "\n".join(["line"] * 400),
        "",
    ],
)
def test_whatever_is_typed_is_set(typed: str) -> None:
    document = Document(typed or "x", typed, typed, typed, typed, "a4", [typed])
    document.add(Heading(1, typed or "x", "top"), Heading(2, typed or "x", "part", True, typed))
    document.add(Paragraph([typed, Strong(typed), Code(typed)]), Bullets([typed]), Formula("\\odd{", typed or "x"))
    document.add(Table(typed, ["a", "b"], [[typed, Code(typed)]], [1, 2]), Box("note", typed, [Paragraph(typed)]))
    document.add(Together([Paragraph(typed)]))
    made = pdf_of(document, datetime(2026, 6, 1, 12, 0))
    assert len(pypdf.PdfReader(io.BytesIO(made)).pages) >= 2


def test_pieces_typeset_apart_are_joined_to_one_document() -> None:
    """Page numbers, contents, links, bookmarks and tags are those of the whole; what looks like a reference in a text
    stays text. The tags are walked as ISO 32000-1, 14.7.4, lays them down."""
    odd = "see 5 0 R and (6 0 R) \\ /StructParents 3"
    document = Document("t", "a", "s", "r", "i", "a4")
    document.add(
        Heading(1, "t", "top"), Contents("Contents"), Heading(2, "Before", "before"), Paragraph(Link("to b", "b"))
    )
    for key in ("a", "b"):
        document.add(
            OnePage(
                [Heading(2, f"Part {key}", key, True, "in limits")],
                None,
                [Table(odd, ["x", "y"], [["1", odd]], [1, 2])],
                [],
                "",
                [Paragraph(odd)],
            )
        )
    document.add(Heading(2, "After", "after"), Paragraph(Link("back to a", "a")))
    when = datetime(2026, 6, 1, 12, 0)
    read = pypdf.PdfReader(io.BytesIO(pdf_of(document, when, together=1)), strict=True)
    whole = pypdf.PdfReader(io.BytesIO(pdf_of(document, when)))
    texts = [" ".join(page.extract_text().split()) for page in read.pages]
    last = len(texts)
    assert last == len(whole.pages)
    assert all(f"page {number} of {last}" in text for number, text in enumerate(texts, 1))
    where = {key: next(n for n, text in enumerate(texts, 1) if f"Part {key}" in text and odd in text) for key in "ab"}
    contents = next(text for text in texts if "Contents" in text)
    assert all(
        f"Part {key} in limits {number}" in contents.replace("●", "").replace("  ", " ")
        for key, number in where.items()
    )
    links = [one.get_object() for page in read.pages for one in page.get("/Annots", [])]
    assert len(links) == 6
    for link in links:
        assert link["/Dest"] in read.named_destinations
    assert {k: read.get_destination_page_number(read.named_destinations[k]) + 1 for k in "ab"} == where
    root: Any = read.trailer["/Root"]["/StructTreeRoot"]
    numbers = root["/ParentTree"]["/Nums"]
    by_key = dict(zip(numbers[::2], numbers[1::2], strict=True))
    for page in read.pages:
        assert all(one.get_object()["/Pg"].get_object() == page for one in by_key[page["/StructParents"]].get_object())
    assert len({page["/StructParents"] for page in read.pages}) == last
    names = root["/IDTree"]["/Names"][::2]
    assert len(set(names)) == len(names) == 4
    assert names == sorted(names)


def test_how_high_a_page_is_worked_out_as_the_typesetter_measures_it(written: Written) -> None:
    """Against the typesetter's own `measure`, text alone, at two sizes: what is off, the picture has to take up."""
    document, _ = document_of(written.bench.folder, NOW, lambda *_: None)
    pages = [block for block in document.blocks if isinstance(block, OnePage)]
    before, here, _ = (
        (Path(pdf_module.__file__).parent / "dossier.typ").read_text("utf-8").partition("#let one-page(b)")
    )
    assert here
    ask = """#for part in data.parts { for b in part.blocks { context for size in (9.2pt, 7.5pt) {
      let parts = (above(b, size, 1), below(b, size, 1), at-foot(b, size))
      [#metadata(parts.map(one => measure(width: 521.3pt, one).height.pt()).sum())<high>] } } }"""
    data = json.dumps(pdf_module._data(replace(document, blocks=pages), NOW) | {"parted": True}).encode()
    told = json.loads(typst.query({"main.typ": (before + ask).encode(), "data.json": data}, "<high>", field="value"))
    found = [
        high([*page.top, *page.spare, *page.rest, Paragraph(page.instead), *page.end], size, ACROSS["us-letter"])
        for page in pages
        for size in (9.2, 7.5)
    ]
    assert len(told) == len(found) == 8
    assert all(-pdf_module.OFF < worked_out - measured < 60 for worked_out, measured in zip(found, told, strict=True))


def test_a_page_that_runs_over_is_set_again_and_measured(monkeypatch: pytest.MonkeyPatch) -> None:
    """As if every page were taken for empty: the piece is typeset again, and nothing stands on a second page."""
    document = Document("t", "a", "s", "r", "i", "a4")
    document.add(Heading(1, "t", "top"))
    words = [Paragraph(f"{number}: {'as it was read on the day ' * 6}") for number in range(30)]
    for key in ("a", "b"):
        document.add(OnePage([Heading(2, key, key, True)], None, words, words, "", [Paragraph(f"Signed {key}")]))
    monkeypatch.setattr("rotorkit.dossier.pdf.high", lambda *_: 0.0)
    pages = pypdf.PdfReader(io.BytesIO(pdf_of(document, datetime(2026, 6, 1)))).pages
    assert len(pages) == 3
    assert all(f"Signed {key}" in page.extract_text() for key, page in zip("ab", pages[1:], strict=True))


def test_letters_that_are_not_asked_for_are_in_the_typesetters_own_fonts() -> None:
    letters = json.dumps(sorted(typeset_alone.WITH_A_FONT)).encode()
    files = {"main.typ": typeset_alone.TRY_LETTERS, "letters.json": letters}
    assert typst.compile(files, format="pdf", pdf_standards=["ua-1"], ignore_system_fonts=True)


def test_a_letter_without_a_font_is_named() -> None:
    document = Document("t", "a", "s", "r", "i", "a4")
    document.add(Heading(1, "t", "top"), Paragraph("see \U000f1234 there"))
    pages = pypdf.PdfReader(io.BytesIO(pdf_of(document, datetime(2026, 6, 1)))).pages
    assert "see [U+F1234] there" in " ".join(pages[0].extract_text().split())


def test_memory_that_runs_out_is_said_in_words(bench: Bench, monkeypatch: pytest.MonkeyPatch) -> None:
    """The typesetter's process ends as the system ends one for want of memory; the page is there and is named."""
    bench.save("pedal_left_tension")
    ended = subprocess.CompletedProcess([], -9, b"", b"")
    monkeypatch.setattr("rotorkit.dossier.pdf.subprocess.run", lambda *_, **__: ended)
    dossier = write_dossier(bench.folder, now=NOW)
    assert dossier.pdf is None
    assert dossier.page.exists()
    assert "memory ran out" in dossier.why_no_pdf
    assert "The page dossier.html was written" in dossier.why_no_pdf


@pytest.mark.parametrize(
    "fault",
    [MemoryError(), OSError(12, "Cannot allocate memory"), RuntimeError("can't start new thread")],
    ids=["no memory for the data", "no process can be begun", "no thread can be begun"],
)
def test_memory_that_runs_out_in_our_own_part_is_said_in_words(
    fault: Exception, bench: Bench, monkeypatch: pytest.MonkeyPatch
) -> None:
    bench.save("pedal_left_tension")

    def out_of_it(*_: object, **__: object) -> None:
        raise fault

    monkeypatch.setattr("rotorkit.dossier.pdf.typeset", out_of_it)
    dossier = write_dossier(bench.folder, now=NOW)
    assert dossier.pdf is None
    assert dossier.page.exists()
    assert "memory ran out" in dossier.why_no_pdf
    assert "The page dossier.html was written" in dossier.why_no_pdf


def test_without_the_typesetter_the_page_is_written_and_the_reason_said(
    bench: Bench, monkeypatch: pytest.MonkeyPatch
) -> None:
    bench.save("pedal_left_tension")
    monkeypatch.setitem(sys.modules, "typst", None)
    dossier = write_dossier(bench.folder, now=NOW)
    assert dossier.page.exists()
    assert dossier.pdf is None
    assert "pip install typst" in dossier.why_no_pdf
    assert not (bench.path / "dossier.pdf").exists()
