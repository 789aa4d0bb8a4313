"""Pages to read: every word that a sheet says of itself, every verdict, nothing that breaks out of its place."""

from html import unescape
from pathlib import Path

import pytest

from rotorkit.aircraft import demo_folder
from rotorkit.folder.checks import Folder
from rotorkit.judging.limits import WORDS
from rotorkit.notebook import aircraft_page, folder_page, pages, show, verdicts_page, words
from rotorkit.quantities import use_display
from rotorkit.rotor import disk_area
from rotorkit.sheets.catalogue import sheet_names, sheet_type

DEMO = Folder(demo_folder())


@pytest.mark.parametrize("name", sheet_names())
def test_a_sheets_own_words_are_all_there(name: str) -> None:
    sheet = sheet_type(name)
    about = sheet.about
    text = unescape("".join(page(sheet).html for page in (pages.settles, pages.cautions, pages.how, pages.not_covered)))
    said = [about.settles, about.when, *about.procedure, about.sign_convention, *about.cautions]
    said += map(words.capital, (*about.tools, *about.not_covered))
    assert [sentence for sentence in said if sentence not in text] == []
    assert 'role="img"' in text


def test_a_folders_page_has_every_check_and_figure() -> None:
    text = unescape(folder_page(DEMO).html)
    for check in DEMO.checks:
        assert check.title in text
        for finding in check.outcome(DEMO.aircraft).findings:
            assert finding.row()[1] in text


def test_the_four_verdicts_are_shown_by_example() -> None:
    text = verdicts_page().html
    assert all(word in text for word in WORDS)
    assert "35.0 ± 2.0 lbf" in text


def test_the_verdicts_are_shown_in_the_folders_units(tmp_path: Path) -> None:
    text = (DEMO.path / "aircraft.toml").read_text("utf-8").replace('display = "us"', 'display = "metric"')
    (tmp_path / "aircraft.toml").write_text(text, "utf-8")
    try:
        said = verdicts_page(Folder(tmp_path)).html
        assert all(word in said for word in WORDS)
        assert "155.0 ± 9.0 N" in said
        assert "lbf" not in said
    finally:
        use_display("us")


def test_the_aircraft_page_names_its_instruments() -> None:
    text = unescape(aircraft_page(DEMO.aircraft).html)
    assert all(instrument.title in text for instrument in DEMO.aircraft.instruments.values())


def test_a_worked_calculation_is_shown_as_latex() -> None:
    shown = show([disk_area.worked("11 ft 8 in"), disk_area.worked("2 ft 2 in")])
    assert shown.data.count("$$") == 4  # type: ignore[attr-defined]


def test_what_was_typed_stays_text() -> None:
    hostile = '<img src=x onerror=alert(1)> & "it\'s"'
    for html in (words.wrong(hostile), words.doubt(hostile), words.understood(hostile), words.note(hostile)):
        assert "<img" not in html
    assert "<img" not in words.table(hostile, [hostile], [[hostile, hostile]])
    assert "<img" not in words.listed([hostile])
