"""An import by an earlier path still works, with a word of where the module is now."""

import importlib
import sys

import pytest

from rotorkit.moved import MOVED


@pytest.mark.parametrize("earlier", MOVED)
def test_an_earlier_path_gives_the_same_things(earlier: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delitem(sys.modules, earlier, raising=False)
    with pytest.warns(DeprecationWarning, match=f"{earlier} is now {MOVED[earlier]}"):
        module = importlib.import_module(earlier)
    now = importlib.import_module(MOVED[earlier])
    for name in getattr(now, "__all__", [one for one in vars(now) if not one.startswith("_")]):
        assert getattr(module, name) is getattr(now, name)


def test_names_that_a_reader_took_from_there() -> None:
    sys.modules.pop("rotorkit.measured", None)
    with pytest.warns(DeprecationWarning, match="rotorkit.measured is now"):
        from rotorkit.measured import Measured
    from rotorkit.judging import Measured as Now

    assert Measured is Now


def test_names_that_stood_beside_a_sheet_are_found_by_its_earlier_path(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delitem(sys.modules, "rotorkit.sheets.hover_margin", raising=False)
    with pytest.warns(DeprecationWarning, match="is now"):
        module = importlib.import_module("rotorkit.sheets.hover_margin")
    assert (module.BY_MERIT, module.BY_HOVERS) == ("figure of merit", "by the measured hovers")


def test_things_that_were_renamed(monkeypatch: pytest.MonkeyPatch) -> None:
    from rotorkit import record
    from rotorkit.sheets.rigging.blade_angles import StationRow

    monkeypatch.delitem(sys.modules, "rotorkit.sheets.blade_stations", raising=False)
    with pytest.warns(DeprecationWarning, match="is now"):
        assert importlib.import_module("rotorkit.sheets.blade_stations").Station is StationRow
    with pytest.warns(DeprecationWarning, match="SavedEntry"):
        assert record.Entry is record.SavedEntry


def test_what_never_was_is_still_not_found() -> None:
    with pytest.raises(ModuleNotFoundError):
        importlib.import_module("rotorkit.no_such_room")


def test_sheets_are_taken_by_their_class_names() -> None:
    from rotorkit.sheets import BladeAngles, HoverMargin, RotorTrack, sheet_type

    assert [sheet.name for sheet in (BladeAngles, HoverMargin, RotorTrack)] == [
        "blade_angles",
        "hover_margin",
        "rotor_track",
    ]
    assert sheet_type("blade_angles") is BladeAngles
