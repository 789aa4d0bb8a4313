"""Pictures on paper: on every check's page of the demo the words of its picture can be read."""

from __future__ import annotations

import io
import json
import re
from datetime import datetime
from pathlib import Path
from typing import Any

import pypdf
import pytest

from rotorkit.dossier.blocks import Document, Heading, OnePage, Table
from rotorkit.dossier.check_pages import _lower, _one_of, _worst_rows
from rotorkit.dossier.pdf import _data, pdf_of
from rotorkit.dossier.room import ACROSS
from rotorkit.dossier.writing import document_of
from rotorkit.pictures import draw
from rotorkit.pictures.data import Angles, Bars
from tests.dossier.conftest import NOW
from tests.record.bench import Bench
from tests.sheets.as_it_stands import CHECKS, as_it_stands

FULLEST = ("main_rotor_first_rigging", "mixture_ground", "two_speeds")
"""Checks whose pages leave the least room."""


@pytest.mark.parametrize("name", [check.name for check in CHECKS])
def test_every_picture_can_be_drawn_low_with_words_to_be_read(name: str) -> None:
    """In 200 points on either paper, rows in 110: letters of 12 pixels come out at 7.2 points or more, by plain
    arithmetic from the size that stands in the picture itself."""
    pictures = as_it_stands(name).pictures
    at = _one_of(pictures)
    if at is None:
        return
    for across in ACROSS.values():
        down = 110.0 if isinstance(pictures[at], (Angles, Bars)) else 200.0
        made = _lower(pictures[at], across, down)
        assert made is not None
        found = re.search(r'viewBox="0 0 ([\d.]+) ([\d.]+)"', made.svg)
        assert found is not None
        wide, high = map(float, found.groups())
        assert 12 * across / wide >= 7.2 - 1e-9
        assert high * across / wide <= down + 0.5


def test_a_low_picture_says_what_the_high_one_says() -> None:
    """Row by row and line by line: only their places differ."""
    for name in ("tail_rotor_angles", "main_belts", "hover_today"):
        picture = _worst_rows(as_it_stands(name).pictures[_one_of(as_it_stands(name).pictures) or 0])
        high, low = draw(picture, 620), draw(picture, 869, 300)
        words = [sorted("".join(re.findall(r"<text[^>]*>([^<]*)<", one)).replace(" ", "")) for one in (high, low)]
        if name != "hover_today":  # a chart that is lower has fewer figures at its axis
            assert words[0] == words[1]
        described = [re.search(r"<desc>(.*?)</desc>", one) for one in (high, low)]
        assert all(described)
        assert described[0][1] == described[1][1]  # type: ignore[index]


@pytest.mark.parametrize("display", ["us", "metric"])
def test_on_the_fullest_pages_it_is_read_too(display: str, tmp_path: Path) -> None:
    """As the PDF itself has it: one page each, and no letter of the pictures' own typeface below 6.5 points."""
    bench = Bench(tmp_path)
    bench.read(*FULLEST)
    if display == "metric":
        bench.change('display = "us"', 'display = "metric"')
    bench.save_all()
    document, _ = document_of(bench.folder, NOW, lambda *_: None)
    document.blocks = [Heading(1, "t", "top"), *(one for one in document.blocks if isinstance(one, OnePage))]
    pages = pypdf.PdfReader(io.BytesIO(pdf_of(document, NOW))).pages
    assert len(pages) == 1 + len(FULLEST)
    for page in list(pages)[1:]:
        letters: list[float] = []

        def look(text: str, outer: Any, inner: Any, font: Any, size: float, letters: list[float] = letters) -> None:
            if text.strip() and font and re.search(r"DejaVuSans(-Bold)?$", str(font.get("/BaseFont", ""))):
                letters.append(abs(size * inner[3] * outer[3]))

        page.extract_text(visitor_text=look)
        assert len(letters) > 10
        assert min(letters) >= 6.5


def test_rows_of_a_table_are_not_broken_over_pages_unless_one_is_very_long() -> None:
    document = Document("t", "a", "s", "r", "i", "a4")
    document.add(
        Heading(1, "t", "top"),
        Table("short", ["x"], [["word " * 100]], [1]),
        Table("long", ["x"], [["word " * 900]], [1]),
    )
    tables = [one for one in _data(document, datetime(2026, 6, 1))["parts"][0]["blocks"] if one["kind"] == "table"]
    assert [json.dumps(one["long"]) for one in tables] == ["false", "true"]
