"""The aircraft file, read as an adversary writes it: every fault told with its line, nothing guessed, nothing lost."""

import os
import re
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from rotorkit.aircraft import AircraftFileError, demo_folder, load_aircraft, set_value, set_values
from rotorkit.aircraft.entries import MissingFigures
from rotorkit.aircraft.merging import harmed
from rotorkit.quantities import assert_quantity

DEMO = (demo_folder() / "aircraft.toml").read_text(encoding="utf-8")
LOW_STOP = 'low_stop = { low = "1.5 deg", high = "2.5 deg", source = "demo manual 7-3" }'


def changed(*pairs: tuple[str, str]) -> str:
    text = DEMO
    for old, new in pairs:
        assert old in text, old
        text = text.replace(old, new, 1)
    return text


def line_of(text: str, part: str) -> int:
    return text[: text.index(part)].count("\n") + 1


@pytest.fixture
def file(tmp_path: Path) -> Path:
    return tmp_path / "aircraft.toml"


def refused(file: Path, text: str | bytes) -> str:
    file.write_bytes(text if isinstance(text, bytes) else text.encode("utf-8"))
    with pytest.raises(AircraftFileError) as refusal:
        load_aircraft(file)
    return str(refusal.value)


class TestTheDemo:
    def test_is_whole_and_fits_together(self) -> None:
        aircraft = load_aircraft(demo_folder())
        assert aircraft.inconsistencies() == []
        assert aircraft.instruments["protractor"].due == date(2027, 4, 12)

    def test_bears_a_name_that_nobody_takes_for_a_real_one(self) -> None:
        assert load_aircraft(demo_folder()).aircraft.name.lower().startswith("demo")

    def test_the_file_itself_may_be_named(self) -> None:
        assert load_aircraft(demo_folder() / "aircraft.toml").aircraft == load_aircraft(demo_folder()).aircraft

    def test_values_are_read_with_their_units(self) -> None:
        main = load_aircraft(demo_folder()).main_rotor
        assert_quantity(main.radius.value, "11 ft 8 in")
        assert_quantity(main.figure_of_merit.value, "0.62")


@pytest.mark.parametrize(
    ("old", "new", "place", "told"),
    [
        # a unit, a kind, a bare number
        (
            'chord = "10 in"',
            'chord = "10 lb"',
            "[main_rotor] chord",
            "needs a length, got '10 lb', which is a mass",
        ),
        ('speed = "455 rpm"', 'speed = "455 Hz"', "[main_rotor] speed", "which is a frequency"),
        ('radius = "11 ft 8 in"', "radius = 12.5", "[main_rotor] radius", "got the bare number 12.5"),
        ('radius = "11 ft 8 in"', 'radius = "12.5"', "[main_rotor] radius", "12.5"),
        ('radius = "11 ft 8 in"', 'radius = "5 ft"', None, None),  # small, and not the file's to refuse
        (
            'radius = "11 ft 8 in"',
            'radius = "12.5 in"',
            "[main_rotor]",
            "the section blade does not fit the rotor: blades: root_cutout (where the section begins) must lie between",
        ),
        ('radius = "11 ft 8 in"', 'radius = "125 ft"', "[main_rotor] radius", "must be from 3 in to 60 ft, got 125 ft"),
        ('radius = "11 ft 8 in"', 'radius = "-12 ft"', "[main_rotor] radius", "must be from 3 in to 60 ft"),
        ('radius = "11 ft 8 in"', 'radius = "nan ft"', "[main_rotor] radius", "not a number"),
        ('radius = "11 ft 8 in"', 'radius = ["12 ft"]', "[main_rotor] radius", "got a list"),
        ('figure_of_merit = "0.62 ± 0.03"', "figure_of_merit = nan", "[main_rotor] figure_of_merit", "not a number"),
        (
            'figure_of_merit = "0.62 ± 0.03"',
            "figure_of_merit = true",
            "[main_rotor] figure_of_merit",
            "needs a ratio as text",
        ),
        (
            'figure_of_merit = "0.62 ± 0.03"',
            "figure_of_merit = 60",
            "[main_rotor] figure_of_merit",
            "from 0.2 to 0.95, got 60",
        ),
        ('rated_power = "138 ± 3 hp"', 'rated_power = "138 ft-lb"', "[engine] rated_power", "needs a power"),
        ('maximum = "1,310 lb"', 'maximum = "1,310 lbf"', "[weights] maximum", "needs a mass"),
        (
            'efficiency = "94 ± 2 %"',
            'efficiency = "94"',
            "[drive] efficiency",
            "must be from 50 % to 100 %, got 94",
        ),
        (
            'efficiency = "94 ± 2 %"',
            'efficiency = "0 ± 2 %"',
            "[drive] efficiency",
            "in two ways: type '0 % ± 2 %' or '0 ± 0.02'",
        ),
        (
            'efficiency = "94 ± 2 %"',
            'efficiency = "0 % ± 2 %"',
            "[drive] efficiency",
            "must be from 50 % to 100 %, got 0 %",
        ),
        (
            'blockage = "5 %"',
            'blockage = "0.15 ± 2 %"',
            "[tail_rotor] blockage",
            "in three ways: type '0.15 % ± 2 %' or '0.15 ± 0.003' or '0.15 ± 0.02'",
        ),
        # text, choices, lists
        ('name = "Demo two-seater"', "name = 5", "[aircraft] name", "needs text in quotes, got 5"),
        (
            'display = "us"',
            'display = "imperial"',
            "[aircraft] display",
            "does not know \"imperial\": write 'us' or 'metric'",
        ),
        ('construction = "7x19"', 'construction = "7x20"', "[cables.pedal_left] construction", "'7x19'"),
        (
            "runs_tightened_together = 2",
            "runs_tightened_together = 7",
            "[cables.pedal_left] runs_tightened_together",
            "4 or less",
        ),
        (
            "runs_tightened_together = 2",
            'runs_tightened_together = "two"',
            "[cables.pedal_left] runs_tightened_together",
            "a whole number",
        ),
        ('blades = ["white", "yellow"]', "blades = 2", "[main_rotor] blades", "needs a list, got 2"),
        (
            'blades = ["white", "yellow"]',
            'blades = ["white yellow"]',
            "[main_rotor]",
            "'white yellow' is the name of one blade: separate them, white, yellow",
        ),
        (
            'blades = ["white", "yellow"]',
            'blades = ["white", ""]',
            "[main_rotor] blades, number 2",
            "is not filled in yet",
        ),
        ('measures = "angle"', 'measures = "angles"', "[instruments.protractor] measures", "'cable tension'"),
        # signs: never guessed, and of the right rotor
        (
            'positive_blade_angle = "leading edge up"',
            'positive_blade_angle = "up"',
            "[main_rotor] positive_blade_angle",
            '"leading edge up" or "leading edge down"',
        ),
        (
            'positive_blade_angle = "leading edge up"',
            'positive_blade_angle = "leading edge toward the tail boom"',
            "[main_rotor] positive_blade_angle",
            "does not know",
        ),
        (
            'positive_blade_angle = "leading edge away from the tail boom"',
            'positive_blade_angle = "leading edge up"',
            "[tail_rotor] positive_blade_angle",
            "tail boom",
        ),
        # limits, as inline tables
        (
            LOW_STOP,
            LOW_STOP.replace("1.5 deg", "3.5 deg"),
            "[main_rotor.limits.low_stop]",
            "upside down: low 3.5° is above high 2.5°",
        ),
        (LOW_STOP, LOW_STOP.replace("1.5 deg", "1.5 in"), "[main_rotor.limits.low_stop]", "low needs an angle"),
        (
            LOW_STOP,
            LOW_STOP.replace("low =", "lo ="),
            "[main_rotor.limits.low_stop]",
            "does not know lo: a limit has low, high and source",
        ),
        (LOW_STOP, LOW_STOP.replace('"demo manual 7-3"', '""'), "[main_rotor.limits.low_stop]", "needs its source"),
        (LOW_STOP, LOW_STOP.replace('"1.5 deg"', "1.5"), "[main_rotor.limits.low_stop]", "low needs an angle"),
        (LOW_STOP, 'low_stop = { source = "7-3" }', "[main_rotor.limits.low_stop]", "needs low or high"),
        (LOW_STOP, 'low_stop = "2 deg"', "[main_rotor.limits] low_stop", "needs a table such as"),
        (
            LOW_STOP,
            'lowstop = { high = "2 deg", source = "7-3" }',
            "[main_rotor.limits.lowstop]",
            "did you mean low_stop?",
        ),
        # instruments: dates, uncertainties, a gauge's table
        (
            "due = 2027-04-12",
            "due = 2025-04-12",
            "[instruments.protractor]",
            "due 2025-04-12 is before calibrated 2026-04-12",
        ),
        (
            "due = 2027-04-12",
            'due = "12.4.2027"',
            "[instruments.protractor] due",
            'needs a date, for example 2026-05-31, got "12.4.2027"',
        ),
        ("due = 2027-04-12", "due = 2027-04-12T10:30:00", "[instruments.protractor] due", "needs a date"),
        ("due = 2027-04-12", "due = 2027", "[instruments.protractor] due", "needs a date"),
        ('uncertainty = "0.2 deg"', 'uncertainty = "0.2 in"', "[instruments.protractor]", "uncertainty needs an angle"),
        (
            'uncertainty = "0.2 deg"',
            'uncertainty = "-0.2 deg"',
            "[instruments.protractor]",
            "uncertainty must be zero or more",
        ),
        ('uncertainty = "2 °F"', 'uncertainty = "2 %"', "[instruments.thermometer]", "needs degrees"),
        (
            '[12, "8 lb"]',
            '["x", "8 lb"]',
            "[instruments.tension_gauge.tables.0] rows, number 1, number 1",
            'needs a number, got "x"',
        ),
        (
            '[12, "8 lb"]',
            "[12, 20]",
            "[instruments.tension_gauge.tables.0] rows, number 1, number 2",
            "needs text in quotes",
        ),
        (
            '[36, "48 lb"]',
            '[36, "48 lb", 1]',
            "[instruments.tension_gauge.tables.0] rows, number 5",
            "needs 2 at most, got 3",
        ),
        ('[12, "8 lb"]', '[12, "8 in"]', "[instruments.tension_gauge]", "needs a force"),
        ('[12, "8 lb"]', '[12, "95 lb"]', "[instruments.tension_gauge]", "the tension does not go one way"),
    ],
)
def test_a_fault_is_told_with_its_place_and_what_to_write(
    file: Path, old: str, new: str, place: str | None, told: str | None
) -> None:
    text = changed((old, new))
    if place is None or told is None:
        file.write_text(text, encoding="utf-8")
        load_aircraft(file)
        return
    message = refused(file, text)
    assert "\n" not in message, "one fault, one line"
    said = re.match(r"aircraft\.toml line (\d+): (.*)", message)
    assert said is not None, message
    assert said[2].startswith((place, f"section {place}")), message
    assert told in message
    # the line is that of the fault itself, or the head of the section that does not fit together
    lines = text.splitlines()
    named = lines[int(said[1]) - 1]
    assert new in named or named == place, f"{message}\npoints to: {named}"


class TestKeysAndSections:
    def test_a_misspelt_key_is_told_with_the_nearest(self, file: Path) -> None:
        text = changed(('radius = "11 ft 8 in"', 'raduis = "11 ft 8 in"'))
        message = refused(file, text)
        assert f"line {line_of(text, 'raduis')}: [main_rotor] raduis is not known here: did you mean radius?" in message

    def test_a_key_like_no_other_is_told_with_all(self, file: Path) -> None:
        message = refused(file, changed(("[weights]", '[weights]\ncolour = "red"')))
        assert "[weights] colour is not known here: here stand maximum" in message

    def test_a_misspelt_key_deep_down_is_told_with_the_nearest(self, file: Path) -> None:
        message = refused(file, changed(('cable_diameter = "1/8 in"', 'cable_diametre = "1/8 in"')))
        assert "cable_diametre is not known here: did you mean cable_diameter?" in message

    def test_a_key_above_the_first_section(self, file: Path) -> None:
        assert "line 1: colour is not known here" in refused(file, 'colour = "red"\n' + DEMO)

    def test_a_list_of_tables_for_a_table(self, file: Path) -> None:
        assert "weights needs a table, got a list" in refused(file, changed(("[weights]", "[[weights]]")))

    def test_every_fault_is_told_at_once_in_the_order_of_the_file(self, file: Path) -> None:
        message = refused(
            file, changed(('chord = "10 in"', "chord = 7"), ('display = "us"', "display = 1"), ("[12, ", '["a", '))
        )
        lines = [int(number) for number in re.findall(r"aircraft\.toml line (\d+)", message)]
        assert len(lines) == 3
        assert lines == sorted(lines)

    def test_blank_limits_are_no_limits(self, file: Path) -> None:
        file.write_text(changed((LOW_STOP, 'low_stop = { low = "", high = " ", source = "" }')), encoding="utf-8")
        assert load_aircraft(file).main_rotor.limits.low_stop is None

    def test_a_limit_of_one_side_with_the_other_blank(self, file: Path) -> None:
        file.write_text(
            changed((LOW_STOP, 'low_stop = { low = "", high = "3 deg", source = "7-3" }')), encoding="utf-8"
        )
        limit = load_aircraft(file).main_rotor.limits.low_stop
        assert limit is not None
        assert (limit.low, limit.text) == (None, "at most 3°")


class TestWhatIsStillToCome:
    """A file need not be whole: what it lacks is told to whoever looks for it, and to nobody else."""

    @pytest.mark.parametrize("section", ["main_rotor", "tail_rotor", "drive", "engine", "weights"])
    def test_without_a_section(self, file: Path, section: str) -> None:
        without, count = re.subn(rf"^\[{section}[\].](?:.|\n)*?(?=^\[(?!{section}))", "", DEMO, flags=re.MULTILINE)
        assert count == 1
        file.write_text(without, encoding="utf-8")
        aircraft = load_aircraft(file)
        needed = getattr(aircraft, section).needed_figures()
        assert [place for place in aircraft.all_lacking() if place.startswith(f"{section}.")] == [
            f"{section}.{name}" for name in needed
        ]
        assert set(needed) <= set(getattr(load_aircraft(demo_folder()), section).__dict__)
        with pytest.raises(MissingFigures) as missing:
            getattr(getattr(aircraft, section), needed[0])
        assert missing.value.places == [f"{section}.{needed[0]}"]
        assert f"{needed[0]} in [{section}]" in str(missing.value)
        aircraft.inconsistencies()  # what is not there contradicts nothing

    @pytest.mark.parametrize("blank", ['""', '" \\t"', "[]"])
    def test_blank_is_not_there(self, file: Path, blank: str) -> None:
        file.write_text(changed(('radius = "11 ft 8 in"', f"radius = {blank}")), encoding="utf-8")
        aircraft = load_aircraft(file)
        assert aircraft.all_lacking() == ["main_rotor.radius"]
        assert (aircraft.gives("main_rotor.radius"), aircraft.gives("main_rotor.chord")) == (False, True)

    def test_an_empty_file(self, file: Path) -> None:
        file.write_text("", encoding="utf-8")
        aircraft = load_aircraft(file)
        assert (aircraft.aircraft.name, aircraft.aircraft.display) == ("Aircraft without a name yet", "us")
        assert not aircraft.gives("airframe.flat_plate_area")
        assert aircraft.inconsistencies() == []

    def test_what_is_of_use_only_together_is_told_together(self, file: Path) -> None:
        arm = re.search(r"\[main_rotor\.pitch_links\]\narm = .*\n", DEMO)
        assert arm is not None
        file.write_text(changed((arm[0], "[main_rotor.pitch_links]\n")), encoding="utf-8")
        links = load_aircraft(file).main_rotor.pitch_links
        assert links is not None
        with pytest.raises(MissingFigures, match=r"arm in \[main_rotor.pitch_links\]"):
            _ = links.link

    def test_what_was_made_of_a_wrong_figure_is_refused_all_the_same(self, file: Path) -> None:
        assert "must be from 3 in to 60 ft" in refused(file, '[main_rotor]\nradius = "125 ft"\n')


class TestSetValues:
    def test_sections_are_made_and_comments_kept(self, file: Path) -> None:
        file.write_text("# mine\n[main_rotor]\nradius = '' # from page 3\n", encoding="utf-8")
        values = {"main_rotor.radius": "12 ft", "main_rotor.blades": ["a", "b"], "cables.left.title": "Left"}
        aircraft = set_values(file, {**values, "cables.left.limits.tension": {"low": "30 lb", "source": "7-12"}})
        assert aircraft.main_rotor.radius.typed == "12 ft"
        assert aircraft.cables["left"].limits.tension is not None
        text = file.read_text(encoding="utf-8")
        assert "# mine\n" in text
        assert "# from page 3" in text
        set_values(file, {"cables.left.limits.tension": None, "drive.efficiency": None})
        assert load_aircraft(file).cables["left"].limits.tension is None

    def test_the_comments_within_a_limit_and_a_list_stay(self, file: Path) -> None:
        text = (
            '[main_rotor]\nblades = [\n  "white", # new\n  "yellow", # old\n]\n\n[main_rotor.limits.travel] # page 7\n'
            'low = "10 deg" # hot day\nhigh = "12 deg"\n# asked the maker\nsource = "7-1"\n'
        )
        file.write_text(text, encoding="utf-8")
        limit = {"low": "11 deg", "high": "12 deg", "source": "7-1"}
        set_values(file, {"main_rotor.limits.travel": limit, "main_rotor.blades": ["white", "red"]})
        assert file.read_text(encoding="utf-8") == text.replace("10 deg", "11 deg").replace("yellow", "red")

    def test_what_is_called_by_a_number_is_no_list(self, file: Path) -> None:
        file.write_text("", encoding="utf-8")
        assert set_values(file, {"cables.1.title": "1"}).cables["1"].title == "1"
        needs = [{"sheet": "weigh_in", "why": "its arm"}]
        written = set_values(file, {"milestones.0.title": "First run", "milestones.0.needs": needs})
        assert written.milestones[0].title == "First run"

    def test_what_would_be_harmed_beside_it_is_left_alone(self, file: Path) -> None:
        text = 'engine.rated_power = "100 hp"\nengine.rated_speed = "2700 rpm"\n'
        file.write_text(text, encoding="utf-8")
        with pytest.raises(AircraftFileError, match="cannot be changed from here"):
            set_values(file, {"engine.power_table.by": "density altitude"})
        assert file.read_text(encoding="utf-8") == text
        one, two = {"title": "A", "needs": [1]}, {"title": "B"}
        for after, places, harm in (
            ([two], ["m.0"], False), ([one], ["m.0"], True), ([], ["m.0"], True),
            ([one, two, one], ["m.2.title"], False), ([one, two, one], ["m.1.title"], True),
            ([one, {"title": "C"}], ["m.1.title"], False), ([one, {"title": "C"}], ["m.0.title"], True),
            ([{"title": "A"}, two], ["m.0.title"], True), ([{"title": "A"}, two], ["m.0.needs"], False),
        ):  # fmt: skip
            assert harmed({"m": [one, two], "k": 1}, {"m": after, "k": 1}, places) is harm, (after, places)
        assert not harmed({"m": [one]}, {}, ["m.0"])
        assert not harmed({}, {"m": [one]}, ["m[]"])

    def test_all_or_none_with_each_fault_at_its_place(self, file: Path) -> None:
        file.write_text("", encoding="utf-8")
        with pytest.raises(AircraftFileError) as refusal:
            set_values(file, {"main_rotor.radius": "12 ft", "main_rotor.chord": "8 lb", "tail_rotor.arm": "400 ft"})
        assert [place for place, _ in refusal.value.faults] == ["main_rotor.chord", "tail_rotor.arm"]
        assert file.read_text(encoding="utf-8") == ""

    def test_a_file_that_was_changed_meanwhile_is_told(self, file: Path) -> None:
        file.write_text("# another hand\n", encoding="utf-8")
        with pytest.raises(AircraftFileError, match="has been changed meanwhile"):
            set_values(file, {"main_rotor.radius": "12 ft"}, expected="")
        assert file.read_text(encoding="utf-8") == "# another hand\n"

    def test_adds_to_a_list_of_tables(self, file: Path) -> None:
        file.write_text(DEMO, encoding="utf-8")
        table = {"riser": "9", "cable_diameter": "1/8 in", "rows": [[10.0, "20 lb"], [20.0, "40 lb"], [30.0, "60 lb"]]}
        before = len(load_aircraft(file).instruments["tension_gauge"].tables)
        assert len(
            set_values(file, {"instruments.tension_gauge.tables[]": table}).instruments["tension_gauge"].tables
        ) == (before + 1)

    def test_an_eighth_of_an_inch_in_millimetres(self, file: Path) -> None:
        """3.175 mm can be nothing else for a cable; of a rotor's radius it is asked whether 3,175 mm are meant."""
        file.write_text(DEMO.replace('diameter = "1/8 in"', 'diameter = "3.175 mm"'), encoding="utf-8")
        (table, *_) = load_aircraft(file).instruments["tension_gauge"].tables
        assert table.cable_diameter.to("inch").magnitude == pytest.approx(0.125)
        file.write_text(DEMO.replace('radius = "11 ft 8 in"', 'radius = "3.175 mm"'), encoding="utf-8")
        with pytest.raises(AircraftFileError, match="can be meant in two ways"):
            load_aircraft(file)


class TestFilesAsEditorsLeaveThem:
    def test_no_file(self, tmp_path: Path) -> None:
        with pytest.raises(
            AircraftFileError, match=r"there is no aircraft\.toml in .*: make one with 'rotorkit new DIR'"
        ):
            load_aircraft(tmp_path)

    def test_a_byte_order_mark(self, file: Path) -> None:
        file.write_bytes(b"\xef\xbb\xbf" + DEMO.encode())
        assert load_aircraft(file).aircraft.name == "Demo two-seater"

    def test_line_ends_of_another_system(self, file: Path) -> None:
        file.write_bytes(DEMO.replace("\n", "\r\n").encode())
        assert load_aircraft(file).aircraft.name == "Demo two-seater"
        text = changed(('maximum = "1,310 lb"', "maximum = 1310"))
        message = refused(file, text.replace("\n", "\r\n"))
        assert f"line {line_of(text, 'maximum = 1310')}:" in message

    def test_an_old_eight_bit_encoding_is_told_with_its_line(self, file: Path) -> None:
        line = line_of(DEMO, "°")
        raw = DEMO.replace("±", "+/-").encode("cp1252")
        assert refused(file, raw) == (
            f"aircraft.toml line {line}: the file is not saved as UTF-8 text: save it again with the encoding UTF-8"
        )

    @pytest.mark.parametrize("encoding", ["utf-16", "utf-32"])
    def test_two_bytes_a_letter(self, file: Path, encoding: str) -> None:
        assert "not saved as UTF-8" in refused(file, DEMO.encode(encoding))

    def test_a_folder_of_that_name(self, tmp_path: Path) -> None:
        (tmp_path / "aircraft.toml").mkdir()
        with pytest.raises(AircraftFileError, match="cannot be read"):
            load_aircraft(tmp_path)

    def test_a_file_that_is_closed(self, file: Path, monkeypatch: pytest.MonkeyPatch) -> None:
        def closed(path: Path, *_: object) -> bytes:
            raise PermissionError(13, "Permission denied")

        monkeypatch.setattr("rotorkit.aircraft.file.bytes_of", closed)
        with pytest.raises(AircraftFileError, match="cannot be read: Permission denied"):
            load_aircraft(file)

    @pytest.mark.parametrize(
        ("text", "told"),
        [
            ("speed = 455 rpm\n", 'aircraft.toml line 1: text and quantities go in quotes: write speed = "455 rpm"'),
            ("[a]\nx = 3,56\n", 'line 2: text and quantities go in quotes: write x = "3,56"'),
            ("[a]\nx = 1\nx = 2\n", "line 3: x is there twice, first in line 2"),
            ("[b]\nx = 1\n[a]\n[c]\n[a]\n", "line 5: [a] is there twice, first in line 3"),
            ("[a\n", "line 1: a section's name goes in brackets"),
            ('y = 1\nx = "never closed\nz = "3"\n', "line 2: a quotation mark is missing"),
            ("x = “12 ft”\n", "line 1: a word processor's curly quotation marks do not work here"),
            ('x "12 ft"\n', "line 1: there is no = between the key and what it is"),
            ('x: "12 ft"\n', "line 1: there is no = between the key and what it is"),
            ('rated power = "3 hp"\n', "line 1: a key is one word, with _ in place of blanks"),
            ('x = "12 ft" 3 in\n', "line 1: there is something after the closing quotation mark"),
            ("x =\n", "line 1: there is nothing after ="),
            ('x = [\n"a",\n"b"\n\ny = "3"\n', "line 5: the closing ] is missing (it begins in line 1)"),
            ('x = ["a" "b"]\n', "line 1: a comma is missing between two parts of a list"),
            ('x = { low = "1",\nhigh = "2" }\n', 'line 1: a table such as { low = "30 lb"'),
            ("x = " + "[" * 10_000, "brackets nested too deep"),
            ("\x00", "line 1: there is an invisible character here"),
        ],
    )
    def test_what_is_no_toml(self, file: Path, text: str, told: str) -> None:
        assert told in refused(file, text)


class TestInconsistencies:
    def test_each_is_a_plain_sentence(self, file: Path) -> None:
        text = changed(('"5.8:1"', '"5.7:1"'), ('"6.4:1"', '"6.3:1"'), ('arm = "14 ft 1 in"', 'arm = "13 ft 9 in"'))
        file.write_text(text, encoding="utf-8")
        found = load_aircraft(file).inconsistencies()
        found = [one for one in found if not one.startswith("[links]")]  # the demo's links fit the ratios that were
        assert len(found) == 3
        assert "455 rpm does not fit [engine] rated_speed 2,640 rpm over [drive] engine_to_main_rotor 5.7" in found[0]
        assert "which gives 463.2 rpm" in found[0]
        assert "which gives 2,866 rpm" in found[1]
        assert "disks overlap" in found[2]

    def test_half_a_per_cent_is_a_rounded_ratio(self, file: Path) -> None:
        file.write_text(changed(('"5.8:1"', '"5.78:1"')), encoding="utf-8")
        assert load_aircraft(file).inconsistencies() == []

    @pytest.mark.parametrize("radius", ["6 ft", "25 ft"])
    def test_a_tip_speed_that_no_rotor_has(self, file: Path, radius: str) -> None:
        file.write_text(
            changed(('radius = "11 ft 8 in"', f'radius = "{radius}"'), ('"14 ft 1 in"', '"30 ft"')), encoding="utf-8"
        )
        found = load_aircraft(file).inconsistencies()
        assert len(found) == 1
        assert "main rotor's tip speed is" in found[0]


class TestSetValue:
    @pytest.mark.parametrize("ends", ["\n", "\r\n"])
    @pytest.mark.parametrize("mark", [b"", b"\xef\xbb\xbf"])
    def test_changes_that_value_and_no_other_byte(self, file: Path, ends: str, mark: bytes) -> None:
        before = mark + DEMO.replace("\n", ends).encode()
        file.write_bytes(before)
        aircraft = set_value(file, "main_rotor.chord", "8 in")
        assert_quantity(aircraft.main_rotor.chord.value, "8.000 in")
        assert file.read_bytes() == before.replace(b'chord = "10 in"', b'chord = "8 in"', 1)
        assert load_aircraft(file) == aircraft

    @pytest.mark.parametrize("ends", ["\n", "\r\n"])
    def test_keeps_a_comment_behind_the_value(self, file: Path, ends: str) -> None:
        file.write_bytes(DEMO.replace("\n", ends).encode())
        set_value(file, "drive.engine_to_main_rotor", "5.81:1")
        line = next(line for line in file.read_bytes().split(ends.encode()) if line.startswith(b"engine_to_main"))
        assert line.startswith(b'engine_to_main_rotor = "5.81:1"')
        assert line.endswith(b"# engine speed over main-rotor speed")

    @pytest.mark.parametrize("ends", ["\n", "\r\n"])
    def test_adds_an_optional_key_with_the_same_line_ends(self, file: Path, ends: str) -> None:
        file.write_bytes(DEMO.replace("\n", ends).encode())
        set_value(file, "aircraft.registration", "none yet")
        raw = file.read_bytes()
        assert b'registration = "none yet"' in raw
        assert raw.count(b"\n") == raw.count(ends.encode())
        assert raw.count(b"#") == DEMO.encode().count(b"#")

    def test_reaches_into_a_list_of_tables(self, file: Path) -> None:
        file.write_text(DEMO, encoding="utf-8")
        aircraft = set_value(file, "instruments.tension_gauge.tables.0.uncertainty", "2 lb")
        assert aircraft.instruments["tension_gauge"].tables[0].uncertainty is not None
        assert 'uncertainty = "2 lb"' in file.read_text(encoding="utf-8")

    @pytest.mark.parametrize("value", ['say "8 in"', "8\nin", "8 in # no comment", "\\", "\x00", "'''", "漢"])
    def test_text_of_any_sort_stays_text(self, file: Path, value: str) -> None:
        file.write_text(DEMO, encoding="utf-8")
        assert set_value(file, "aircraft.builder", value).aircraft.builder == value
        assert load_aircraft(file).aircraft.builder == value

    @pytest.mark.parametrize(
        ("place", "value", "told"),
        [
            ("main_rotor.chord", "8 lb", "[main_rotor] chord needs a length"),
            ("main_rotor.cord", "8 in", "did you mean chord?"),
            ("rotor.chord", "8 in", "has no section [rotor]"),
            ("main_rotor.chord.root", "8 in", "has no section [main_rotor.chord]"),
            ("instruments.tension_gauge.tables", "x", "needs a list"),
            ("instruments.tension_gauge.tables.9.riser", "x", "has no section"),
            ("instruments.tension_gauge.tables.0", "x", "is a list"),
            ("main_rotor", "x", "needs a table"),
        ],
    )
    def test_a_bad_value_leaves_the_file_as_it_was(self, file: Path, place: str, value: str, told: str) -> None:
        file.write_text(DEMO, encoding="utf-8")
        with pytest.raises(AircraftFileError, match=re.escape(told)):
            set_value(file, place, value)
        assert file.read_text(encoding="utf-8") == DEMO
        assert [path.name for path in file.parent.iterdir()] == ["aircraft.toml"]

    def test_a_full_disk_leaves_the_file_as_it_was(self, file: Path, monkeypatch: pytest.MonkeyPatch) -> None:
        file.write_text(DEMO, encoding="utf-8")

        def full(number: int) -> None:
            raise OSError(28, "No space left on device")

        monkeypatch.setattr(os, "fsync", full)
        with pytest.raises(AircraftFileError, match="cannot be written: No space left"):
            set_value(file, "main_rotor.chord", "8 in")
        assert file.read_text(encoding="utf-8") == DEMO
        assert [path.name for path in file.parent.iterdir()] == ["aircraft.toml"]

    @pytest.mark.skipif(os.name == "nt", reason="links and modes of POSIX")
    def test_keeps_mode_and_link(self, tmp_path: Path) -> None:
        kept = tmp_path / "kept.toml"
        kept.write_text(DEMO, encoding="utf-8")
        kept.chmod(0o640)
        link = tmp_path / "aircraft.toml"
        link.symlink_to(kept)
        set_value(tmp_path, "main_rotor.chord", "8 in")
        assert link.is_symlink()
        assert 'chord = "8 in"' in kept.read_text(encoding="utf-8")
        assert kept.stat().st_mode & 0o777 == 0o640

    def test_no_file_is_told(self, tmp_path: Path) -> None:
        with pytest.raises(AircraftFileError, match=r"there is no aircraft\.toml"):
            set_value(tmp_path, "main_rotor.chord", "8 in")


def test_a_reading_is_kept_as_it_was_typed() -> None:
    aircraft = load_aircraft(demo_folder())
    assert aircraft.main_rotor.radius.typed == "11 ft 8 in"
    dumped: dict[str, Any] = aircraft.model_dump(exclude_none=True)
    assert dumped["main_rotor"]["radius"] == "11 ft 8 in"
    assert type(aircraft).model_validate(dumped).model_dump(exclude_none=True) == dumped
