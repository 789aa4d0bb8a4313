"""Limits that single sheets read: asked for in the blank file, refused with what to write where they do not fit."""

from pathlib import Path

import pytest

from rotorkit.aircraft import AircraftFileError, demo_folder
from rotorkit.edges import kept
from rotorkit.folder import Folder, checks
from rotorkit.folder.making import blank_aircraft
from rotorkit.sheets.catalogue import sheets_in_order

DEMO = (demo_folder() / "aircraft.toml").read_text(encoding="utf-8")
GIVEN = '[limits.rotor_track]\nspread = { high = "1/2 in", source = "demo manual 8-2" }\n'


def folder_with(tmp_path: Path, text: str) -> Folder:
    assert GIVEN in DEMO
    (tmp_path / "aircraft.toml").write_text(DEMO.replace(GIVEN, text), encoding="utf-8")
    return Folder(tmp_path)


def test_the_blank_file_has_every_one_with_what_it_is() -> None:
    text = blank_aircraft()
    for sheet in sheets_in_order():
        for key, limit in sheet.limits.items():
            assert f"# [limits.{sheet.name}]" in text
            assert f'# {key} = {{ low = "", high = "", source = "" }}   # {limit.comment}' in text


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ('[limits.rotor_trak]\nspread = { high = "1/2 in", source = "x" }\n', "no sheet is called 'rotor_trak'"),
        ('[limits.rotor_track]\nspred = { high = "1/2 in", source = "x" }\n', "the limits of this check are spread"),
        (
            '[limits.rotor_track]\nspread = { high = "1/2 lb", source = "x" }\n',
            "[limits.rotor_track] spread high",
        ),
        ('[limits.rotor_track]\nspread = { high = "1/2 in" }\n', "needs its source, the manual page"),
    ],
)
def test_what_does_not_fit_is_told(tmp_path: Path, text: str, said: str) -> None:
    with pytest.raises(AircraftFileError) as refusal:
        _ = folder_with(tmp_path, text).aircraft
    assert said in str(refusal.value)
    assert str(refusal.value).startswith("aircraft.toml")


@pytest.mark.parametrize("text", ["", '[limits.rotor_track]\nspread = { low = "", high = "", source = "" }\n'])
def test_one_that_is_not_given_is_no_fault(tmp_path: Path, text: str) -> None:
    folder = folder_with(tmp_path, text)
    check = next(one for one in folder.checks or Folder(demo_folder()).checks if one.sheet == "rotor_track")
    assert check.outcome(folder.aircraft).word == "no limit given"


def test_limits_that_read_well_are_not_read_with_every_program(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(kept, "cache_folder", lambda: tmp_path)
    read: list[object] = []
    monkeypatch.setattr(
        checks, "limit_faults", lambda aircraft, names: read.extend(aircraft.limits[name] for name in names) or []
    )
    tables = len(folder_with(tmp_path, GIVEN).aircraft.limits)
    assert len(read) == tables
    for text in (GIVEN, GIVEN.replace("1/2 in", "3/4 in"), GIVEN):
        _ = folder_with(tmp_path, text).aircraft
    assert len(read) == tables + 1, "the table that is another, and no other"
    monkeypatch.setattr(checks, "our_code", lambda: "our own files are others now")
    _ = folder_with(tmp_path, GIVEN).aircraft
    assert len(read) == 2 * tables + 1
    monkeypatch.setattr(checks, "limit_faults", lambda *_: ["a fault"])
    for _ in range(2):  # and a fault is never noted as read well
        with pytest.raises(AircraftFileError, match="a fault"):
            _ = folder_with(tmp_path, GIVEN.replace("1/2 in", "5/8 in")).aircraft
