"""The worksheets: what is to be measured, in the order of the form, with this aircraft's stations and limits."""

from __future__ import annotations

import re
from datetime import datetime
from pathlib import Path
from typing import Any

import pypdf
import pytest

from rotorkit.aircraft import demo_folder
from rotorkit.dossier import DossierError, worksheet, write_worksheets
from rotorkit.dossier.worksheet import PAPERS, jobs_of, worksheet_data
from rotorkit.folder.checks import Folder
from rotorkit.sheets.base import SheetError
from rotorkit.sheets.catalogue import sheet_names, sheet_type

NOON = datetime(2026, 6, 1, 12, 0)


@pytest.fixture(scope="module")
def demo() -> Folder:
    return Folder(demo_folder())


@pytest.fixture(scope="module")
def pages(demo: Folder) -> dict[str, Any]:
    return {page["name"]: page for page in worksheet_data(demo, jobs_of(demo), "letter", NOON)["pages"]}


def items(page: dict[str, Any]) -> list[dict[str, Any]]:
    return [item for group in page["groups"] for row in group["rows"] for item in row["items"]]


def test_every_job_has_a_page_and_no_reading_is_filled_in(demo: Folder, pages: dict[str, Any]) -> None:
    assert {jobs.sheet for jobs in jobs_of(demo)} == set(sheet_names())
    for name, page in pages.items():
        numbers = [item["number"] for item in items(page)]
        assert numbers == list(range(1, len(numbers) + 1)), name
        assert page["cautions"]
        assert page["svg"].startswith("<svg") or not page["svg"]
        assert any(item["boxes"] or item["options"] for item in items(page))


def test_a_caution_says_what_to_do_and_words_have_room(pages: dict[str, Any]) -> None:
    """What is printed of each caution is its first sentence: it holds the action, not only the danger."""
    for name in ("track_first_run", "balance_once_a_turn", "two_speeds", "hover_recorded"):
        assert any("tied down" in one and "nobody near" in one for one in pages[name]["cautions"]), name
    assert any("plugs out" in one for one in pages["timing_first"]["cautions"])
    assert [row["label"] for row in pages["main_belts"]["groups"][1]["rows"]][:2] == ["1. belt 1", "2. belt 2"]
    (where, *_) = [item for item in items(pages["corners"]) if item["title"] == "What, where"]
    assert where["words"]
    assert not any(item["words"] for item in items(pages["corners"]) if item["unit"])


def test_boxes_stand_in_the_order_of_the_form_with_repeats(pages: dict[str, Any]) -> None:
    page = pages["main_rotor_angles"]
    assert page["limits"][0] == "Blade white, low stop: 1.5° to 2.5° (demo manual 7-3)"
    (stations,) = [group for group in page["groups"] if group["rows_of"]]
    assert [row["label"] for row in stations["rows"]] == [
        "1. white, low stop",
        "2. yellow, low stop",
        "3. white, high stop",
        "4. yellow, high stop",
    ]
    reading = stations["rows"][0]["items"][0]
    assert (reading["title"], reading["unit"], reading["boxes"]) == ("Reading", "°", 3)
    titles = [one.title for one in sheet_type("blade_angles").fields() if one.row is None]
    assert [item["title"] for item in page["groups"][0]["rows"][0]["items"]] == titles
    assert "Digital protractor" in next(item["given"] for item in items(page) if item["title"] == "Protractor")


def test_a_new_page_has_the_limits_that_its_sheet_judges_by_and_no_others(demo: Folder) -> None:
    """As the demo's aircraft file has them: of the whole section on performance, or of the rotor that is picked, none
    that another sheet judges by."""
    names = ("cyclic_in_hover", "anti_torque_margin", "equipment_ledger", "control_corners")
    made = worksheet_data(demo, jobs_of(demo, names), "letter", NOON)["pages"]
    assert [page["limits"] for page in made] == [
        ["cyclic remaining: at least 5 % (demo manual 6-6)"],
        [
            "blade angle remaining to the stop that pushes hardest: at least 5° (demo test programme, card 3)",
            "tail-rotor thrust remaining at the stop that pushes hardest: at least 80 lbf "
            "(demo test programme, card 3)",
        ],
        [
            "empty weight: 780 lb to 825 lb (demo manual 6-2)",
            "empty centre of gravity: 105.5 in to 108 in (demo manual 6-2)",
            "lateral centre of gravity, empty: -0.6 in to 0.6 in (demo manual 6-2)",
        ],
        ["clearance at a corner: at least 0.125 in (demo manual 7-1)"],
    ]


def test_what_the_signs_leave_to_the_aircraft_file_is_on_the_page(pages: dict[str, Any], tmp_path: Path) -> None:
    """The file is not at hand at the rotor: a sheet that sends the reader to it prints what it says."""
    assert pages["tail_rotor_angles"]["signs"].endswith(
        "In the aircraft file, tail rotor: positive blade angle: leading edge away from the tail boom; protractor "
        "reads positive: leading edge away from the tail boom; measured at: flat of the blade root, blade level."
    )
    assert "pitch links, lengthening: raises the blade angle." in pages["main_rotor_rigged"]["signs"]
    assert "rotor turns: counter-clockwise seen from above." in pages["cyclic_first"]["signs"]
    for page in pages.values():
        assert ("the aircraft file" in page["signs"]) <= ("In the aircraft file, " in page["signs"]), page["name"]
    text = (demo_folder() / "aircraft.toml").read_text("utf-8")
    said = 'measured_at = "flat of the blade grip"\n'
    assert said in text
    (tmp_path / "aircraft.toml").write_text(text.replace(said, ""), encoding="utf-8")
    lacking = Folder(tmp_path)
    (page,) = worksheet_data(lacking, jobs_of(lacking, ("cyclic_range",)), "letter", NOON)["pages"]
    assert "measured at: not given yet; " in page["signs"]


def test_more_limits_than_there_is_room_for_are_counted(demo: Folder, monkeypatch: pytest.MonkeyPatch) -> None:
    jobs = [job for job in jobs_of(demo) if job.name == "main_rotor_first_rigging"]

    def limits() -> list[str]:
        (page,) = worksheet_data(demo, jobs, "letter", NOON)["pages"]
        return list(page["limits"])

    whole = limits()  # of two blades; of four they are more than the page has room for
    monkeypatch.setattr("rotorkit.dossier.worksheet.MOST_LIMITS", len(whole) - 3)
    assert limits() == [*whole[:-4], "and 4 more limits: see the aircraft file"]


def test_what_is_seen_is_ticked_and_not_looked_at_is_no_tick(pages: dict[str, Any]) -> None:
    options = [item["options"] for item in items(pages["corners"]) if item["options"]]
    assert options
    assert all("not looked at" not in one for one in options)
    told = str(pages["corners"]["groups"])
    assert "beside the mast support" not in told, "what was seen the last time is no part of the next"


def test_names_of_checks_and_of_sheets(demo: Folder) -> None:
    assert [job.name for job in jobs_of(demo, ["corners", "cable_tension"])] == ["corners", "cable_tension"]
    with pytest.raises(SheetError, match="no sheet is called"):
        jobs_of(demo, ["cornes"])


@pytest.mark.parametrize("paper", PAPERS)
def test_a_further_page_begins_with_a_heading_and_holds_more_than_a_few_lines(
    demo: Folder, pages: dict[str, Any], tmp_path: Path, paper: str
) -> None:
    file = write_worksheets(demo, (), tmp_path / "all.pdf", paper, NOON)
    texts = [page.extract_text().split("\n") for page in pypdf.PdfReader(file).pages]
    captions = {
        name: {"Limits", *(group["caption"] or "Readings" for group in page["groups"])} for name, page in pages.items()
    }
    left = list(pages.values())
    for lines in texts:
        if left and left[0]["title"].startswith(lines[0]):
            of = left.pop(0)
            continue
        assert lines[0] in captions[of["name"]], (of["name"], lines[0])
        assert sum(map(len, lines)) > 150, (of["name"], lines)
    assert not left


def test_the_words_of_a_picture_can_be_read_in_bad_light(pages: dict[str, Any]) -> None:
    """Six points: no picture is set narrower, and none has smaller words."""
    text = (Path(worksheet.__file__).parent / "worksheet.typ").read_text("utf-8")
    least = float(re.search(r"#let least = ([\d.]+)mm", text)[1])  # type: ignore[index]
    for name, page in pages.items():
        wide = float(re.search(r'viewBox="0 0 ([\d.]+) ', page["svg"])[1])  # type: ignore[index]
        words = min(float(size) for size in re.findall(r'font-size[=:]"?\s*([\d.]+)', page["svg"]))
        assert words / wide * least / 25.4 * 72 >= 6.0 - 0.005, name


def test_both_papers_and_what_is_typed_is_no_markup(tmp_path: Path) -> None:
    """A tagged PDF of the right size; a title with the typesetter's own signs stands as it was typed."""
    for name in ("aircraft.toml", "readings.toml"):
        text = (demo_folder() / name).read_text("utf-8")
        text = text.replace("Rotor track, first ground run", "Track #panic() $x$ *run*")
        (tmp_path / name).write_text(text, encoding="utf-8")
    for paper, width in (("letter", 612), ("a5", 420)):
        file = write_worksheets(tmp_path, ["track_first_run"], tmp_path / f"{paper}.pdf", paper, NOON)
        read = pypdf.PdfReader(file)
        root: Any = read.trailer["/Root"]
        assert root["/MarkInfo"]["/Marked"]
        assert round(float(read.pages[0].mediabox.width)) == width
        words = " ".join(" ".join(page.extract_text() for page in read.pages).split())
        assert "Track #panic() $x$ *run*" in words
        assert "at most 0.5 in" in words
        assert "no verdict stands here" in words
    with pytest.raises(DossierError, match="choose letter or a5"):
        write_worksheets(tmp_path, paper="b5")
