"""The working folder: found from within, its readings file read strictly, its checks in order."""

from pathlib import Path

import pytest

from rotorkit.aircraft import AircraftFileError, demo_folder
from rotorkit.folder.checks import Folder
from rotorkit.sheets.base import SheetError

DEMO = Folder(demo_folder())


@pytest.fixture
def folder(tmp_path: Path) -> Folder:
    (tmp_path / "aircraft.toml").write_bytes((demo_folder() / "aircraft.toml").read_bytes())
    return Folder(tmp_path)


def written(folder: Folder, text: str) -> Folder:
    (folder.path / "readings.toml").write_text(text, encoding="utf-8")
    return Folder(folder.path)


class TestFinding:
    def test_the_nearest_folder_upwards(self, folder: Folder) -> None:
        deep = folder.path / "photos" / "june"
        deep.mkdir(parents=True)
        assert Folder.here(deep).path == folder.path
        assert not Folder.here(deep).is_demo

    def test_the_demo_where_there_is_none(self, tmp_path: Path) -> None:
        assert Folder.here(tmp_path).is_demo

    def test_a_folder_named_like_the_file_is_none(self, tmp_path: Path) -> None:
        (tmp_path / "aircraft.toml").mkdir()
        assert Folder.here(tmp_path).is_demo


class TestChecks:
    def test_in_the_order_of_the_file(self) -> None:
        text = (demo_folder() / "readings.toml").read_text(encoding="utf-8")
        places = [text.index(f"\n[{check.name}]") for check in DEMO.checks]
        assert places == sorted(places)
        assert len(places) == text.count("\nsheet = ")

    def test_by_name_and_by_sheet(self) -> None:
        assert DEMO.check("hover_today").sheet == "hover_margin"
        first = DEMO.first("cable_tension")
        assert first is not None
        assert first.name == "pedal_left_tension"
        assert DEMO.first("nothing") is None
        with pytest.raises(SheetError, match="has no check 'nothing': it has tail_rotor_angles, main_rotor_angles"):
            DEMO.check("nothing")

    def test_no_file_no_checks(self, folder: Folder) -> None:
        assert folder.checks == []

    def test_a_title_is_made_of_the_name_where_none_is_given(self, folder: Folder) -> None:
        (check,) = written(folder, '[my_first_check]\nsheet = "hover_margin"\ntitle = " "\n').checks
        assert check.title == "My first check"
        assert check.blank

    def test_rows_come_as_they_are(self, folder: Folder) -> None:
        (check,) = written(folder, '[x]\nsheet = "s"\n[[x.stations]]\na = "1"\n[[x.stations]]\na = "2"\n').checks
        assert check.readings == {"stations": [{"a": "1"}, {"a": "2"}]}

    def test_an_unknown_sheet_is_told_when_it_is_worked(self, folder: Folder) -> None:
        (check,) = written(folder, '[x]\nsheet = "s"\n').checks
        with pytest.raises(SheetError, match="no sheet is called 's'"):
            check.outcome(folder.aircraft)

    @pytest.mark.parametrize(
        ("text", "told"),
        [
            ('# x\nweight = "3 lb"\n', "readings.toml line 2: weight belongs to no check: put it below"),
            ("[x]\n", 'readings.toml line 1: [x] needs the name of its sheet, for example sheet = "cable_tension"'),
            ('[x]\nsheet = " "\n', "needs the name of its sheet"),
            ("[x]\nsheet = 3\n", "needs the name of its sheet"),
            ('\n[[x]]\nsheet = "s"\n', "readings.toml line 2: [[x]] needs single brackets"),
            (
                '[x]\nsheet = "s"\ndial = 20 lb\n',
                'line 3: text and quantities go in quotes: write dial = "20 lb"',
            ),
            ('[x]\nsheet = "s"\n[x]\n', "readings.toml line 3: [x] is there twice, first in line 1"),
        ],
    )
    def test_what_is_no_check_is_told_with_its_line(self, folder: Folder, text: str, told: str) -> None:
        with pytest.raises(AircraftFileError) as refusal:
            _ = written(folder, text).checks
        assert told in str(refusal.value)

    def test_every_fault_is_told(self, folder: Folder) -> None:
        with pytest.raises(AircraftFileError) as refusal:
            _ = written(folder, "a = 1\nb = 2\n[c]\n").checks
        assert len(str(refusal.value).splitlines()) == 3

    def test_a_file_of_another_system(self, folder: Folder) -> None:
        raw = (demo_folder() / "readings.toml").read_text(encoding="utf-8").replace("\n", "\r\n")
        (folder.path / "readings.toml").write_bytes(b"\xef\xbb\xbf" + raw.encode())
        assert [check.name for check in folder.checks] == [check.name for check in DEMO.checks]
        assert [check.readings for check in folder.checks] == [check.readings for check in DEMO.checks]
