"""Practice: a fault planted in invented readings, found by what it moves; nothing of it can reach a record."""

import copy
import hashlib
import re
import shutil
from pathlib import Path

import pytest

from rotorkit.aircraft import demo_folder, load_aircraft
from rotorkit.folder.checks import Folder
from rotorkit.notebook import open_form
from rotorkit.notebook.practising import practice as page_of
from rotorkit.quantities import QuantityError
from rotorkit.record import Record, RecordError
from rotorkit.sheets.base import SheetError
from rotorkit.sheets.catalogue import sheet_names, sheet_type
from rotorkit.teach.practice import INVENTED, Practice, _faults, practice

AIRCRAFT = load_aircraft(demo_folder())
FIGURE = re.compile(r"-?\d+(?:\.\d+)?")


@pytest.mark.parametrize("sheet", ["cable_tension", "compression", "rotor_track"])
def test_each_fault_moves_what_it_says_and_can_be_told_from_the_others(sheet: str) -> None:
    seen = set()
    for seed in range(8):
        tried = practice(sheet, seed)
        assert tried.fault in tried.choices
        assert len(set(tried.choices)) == len(tried.choices) >= 2
        well = {one.key: one for check in Folder(demo_folder()).checks if check.title == tried.title
                for one in check.outcome(AIRCRAFT).findings}  # fmt: skip
        moved = [
            one.title for one in tried.outcome.findings
            if one.key in well and one.measured.si != well[one.key].measured.si
        ]  # fmt: skip
        assert moved, "a fault that moves nothing cannot be found"
        assert tried.try_(tried.choices.index(tried.fault)).right
        wrong = next(i for i, said in enumerate(tried.choices) if said != tried.fault)
        assert not tried.try_(wrong).right
        assert tried.fault not in " ".join(tried.hint() for _ in range(3))
        seen.add(tried.fault)
    assert len(seen) > 1, "another seed is another fault"


def test_the_same_seed_is_the_same_fault() -> None:
    one, same = practice("blade_angles", 5), practice("blade_angles", "5")
    assert (one.fault, one.choices, one.readings) == (same.fault, same.choices, same.readings)


def test_an_instrument_not_set_to_zero_reads_all_of_it_off_by_the_same() -> None:
    found = next(
        one for one in (practice("cable_tension", seed) for seed in range(40)) if "dial reading" in one.fault
        and "zero" in one.fault
    )  # fmt: skip
    written = str(found.readings["dial"])
    right = next(str(c.readings["dial"]) for c in Folder(demo_folder()).checks if c.title == found.title)
    off = [float(a) - float(b) for a, b in zip(FIGURE.findall(written), FIGURE.findall(right), strict=True)]
    assert max(off) - min(off) <= 0.1 + 1e-9
    assert min(off) > 1


def test_what_is_no_sheet_and_no_choice_is_refused() -> None:
    with pytest.raises(SheetError):
        practice("no_such_sheet", 1)
    with pytest.raises(QuantityError, match="choices, counted from 0"):
        practice("cable_tension", 1).try_(99)


def everything_in(folder: Path) -> dict[str, str]:
    return {
        str(path.relative_to(folder)): hashlib.sha256(path.read_bytes()).hexdigest()
        for path in sorted(folder.rglob("*"))
        if path.is_file()
    }


def test_nothing_of_it_reaches_a_record(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Neither by working through the page nor by handing its sheet to the record; the folder stays as it is."""
    for name in ("aircraft.toml", "readings.toml"):
        shutil.copy(demo_folder() / name, tmp_path / name)
    folder = Folder(tmp_path)
    monkeypatch.chdir(folder.path)
    before = everything_in(folder.path)
    page = page_of("blade_angles", 3)
    for number in range(len(page.practice.choices)):
        page.choose(number)
    page.practice.hint()
    record = Record(folder)
    with pytest.raises(RecordError, match="invented"):
        record.save(
            "tail_rotor_angles", page.practice.sheet, page.practice.outcome, record.aircraft_text(), "A. Learner"
        )
    assert everything_in(folder.path) == before
    assert not record.entries()


def test_of_no_sheet_does_practice_reach_a_record(tmp_path: Path) -> None:
    """A fault of each sheet's checks, not worked: the sheet of it is refused, so is a copy, and nothing is written."""
    for name in ("aircraft.toml", "readings.toml"):
        shutil.copy(demo_folder() / name, tmp_path / name)
    folder, demo = Folder(tmp_path), Folder(demo_folder())
    record, before = Record(folder), everything_in(tmp_path)
    outcome = practice("blade_angles", 3).outcome
    for sheet in sheet_names():
        check = next(one for one in demo.checks if one.sheet == sheet)
        fault = next(_faults(check))
        tried = Practice(
            sheet, "1", check.title, fault.readings, outcome, [], (fault.words,), fault.words, (), fault.family
        )
        for made in (tried.sheet, tried.sheet.model_copy(), copy.deepcopy(tried.sheet)):
            with pytest.raises(RecordError, match="invented"):
                record.save(check.name, made, outcome, record.aircraft_text(), "A. Learner")
    assert everything_in(tmp_path) == before
    assert not record.entries()


def test_behind_a_forms_button_it_leaves_form_drafts_and_record_alone(tmp_path: Path) -> None:
    for name in ("aircraft.toml", "readings.toml"):
        shutil.copy(demo_folder() / name, tmp_path / name)
    form = open_form("cable_tension", "pedal_left_tension", Folder(tmp_path))
    form.set("temperature", "41 °F")  # a draft of the builder's own
    before, readings, outcome = everything_in(tmp_path), form.readings, form.outcome
    form.opened.toggle("Practice")
    room = form.opened.panel.children[0].part
    assert room.page is None
    assert "left alone" in room.message.value
    room.button.click()
    first = room.page
    assert first is not None
    assert "Nothing here is kept" in first.shown.value
    assert "Found." in first.choose(first.practice.choices.index(first.practice.fault))
    room.begin(seed=4)
    assert room.page.practice.seed == "4"
    assert [room.place.children[0], room.button.description] == [room.page.box, "Another fault"]
    assert (form.readings, form.outcome) == (readings, outcome)
    assert everything_in(tmp_path) == before
    assert form.save("A. Builder").readings["temperature"] == "41 °F"


def test_every_sheet_can_be_practised() -> None:
    """By what its checks hold; the slow ones are asked for their faults alone, and none is worked."""
    for sheet in sheet_names():
        checks = [one for one in Folder(demo_folder()).checks if one.sheet == sheet]
        assert any(True for check in checks for _ in _faults(check)), sheet


def test_in_a_metric_folder_readings_and_figures_are_metric() -> None:
    """80 ± 0.5 psi are 5.516 ± 0.034 bar (1 psi is 6,894.757 Pa), and 1 °F is read as 0.6 °C."""
    shown = page_of("compression", 4, "metric").shown.value
    assert "5.52 ± 0.034 bar" in shown
    assert not re.search(r"\d (psi|in|lb)\b|°F", re.sub(r"<[^>]+>", " ", shown.replace("0.040 in", "")))
    us, metric = practice("compression", 4), practice("compression", 4, "metric")
    assert (us.choices, us.fault, dict(us.readings)) == (metric.choices, metric.fault, dict(metric.readings))
    for one, other in zip(us.outcome.findings, metric.outcome.findings, strict=True):
        assert one.measured.si == pytest.approx(other.measured.si)


def test_in_a_metric_folder_instruments_and_swapped_readings_are_metric() -> None:
    """2 °F are 1.11 °C; 168 and 177 °F are 75.6 and 80.6 °C."""
    page = page_of("cable_tension", 1, "metric")
    assert "Hangar thermometer (± 1.1 °C)" in page.shown.value
    assert "°F" not in page.shown.value
    assert "Hangar thermometer (± 2 °F)" in page_of("cable_tension", 1).shown.value
    us, metric = ("; ".join(practice("gearbox_oil", 2, system).choices) for system in ("us", "metric"))
    assert "°F" in us
    assert "°F" not in metric
    assert practice("gearbox_oil", 2, "metric").readings == practice("gearbox_oil", 2).readings
    assert "of the its" not in "".join(page_of("equipment_ledger", 3).practice.choices)


def test_the_mark_is_on_the_sheet_alone_and_does_not_spread() -> None:
    made: Practice = practice("blade_angles", 3)
    assert made.sheet.invented == INVENTED
    assert not sheet_type("blade_angles").from_readings(made.readings).invented
    assert made.sheet.work(AIRCRAFT).findings[0].key == made.outcome.findings[0].key


def test_the_page_shows_readings_and_both_figures_and_never_the_fault() -> None:
    page = page_of("cable_tension", 4)
    shown = page.shown.value
    assert "Nothing here is kept" in shown
    assert "At the last check" in shown
    assert page.practice.fault not in shown
    assert "Choose what you think" in (page._checked(), page.message.value)[1]
    right = page.practice.choices.index(page.practice.fault)
    assert "Found." in page.choose(right)
    assert "Not that." in page.choose((right + 1) % len(page.practice.choices))
