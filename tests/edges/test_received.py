"""A folder that came from somebody else: a byte order mark, pipes, dangling links, files without end, modules that lie
in wait. Whatever is in it, a command answers soon, in words, and runs nothing of it."""

import os
import re
import subprocess
import sys
from importlib import metadata
from pathlib import Path

import pytest

from rotorkit.aircraft import AircraftFileError, load_aircraft
from rotorkit.aircraft.file import tables_of, text_of, whole_text_of
from rotorkit.aircraft.places import line_numbers
from rotorkit.edges.received import DEEPEST, LARGEST_TEXT, bytes_of, is_there, too_much
from rotorkit.folder.checks import Folder
from rotorkit.record import Record, RecordError, recheck, verify
from rotorkit.record.chain import hash_of_bytes
from tests.cli.test_cli import CHECKOUT, new, rotorkit
from tests.fixed_clock import IMPORT_PATH
from tests.record.bench import TODAY, Bench

MARK = b"\xef\xbb\xbf"
links = pytest.mark.skipif(os.name != "posix", reason="links and pipes are made with POSIX means")


@pytest.fixture
def bench(tmp_path: Path) -> Bench:
    return Bench(tmp_path)


class TestByteOrderMark:
    """Some editors put it first; one function reads the file for all, so it troubles none."""

    def test_all_that_reads_the_file(self, bench: Bench) -> None:
        file = bench.path / "aircraft.toml"
        bench.save("pedal_left_tension")
        without = file.read_bytes()
        file.write_bytes(MARK + without)
        entry = bench.save("pedal_left_tension")
        assert entry.aircraft_file == hash_of_bytes(MARK + without), "the file is kept byte for byte"
        assert bench.record.file_text(entry.aircraft_file).encode("utf-8") == MARK + without
        assert load_aircraft(file).aircraft.name == load_aircraft(bench.path).aircraft.name
        found = recheck(bench.folder, bench.record, everything=True, today=TODAY)
        assert [again.causes for again in found.reworks] == [[], []], "a mark is no change"
        assert (text_of(file), whole_text_of(file)) == (without.decode(), "\ufeff" + without.decode())
        (bench.path / "readings.toml").write_bytes(MARK + (bench.path / "readings.toml").read_bytes())
        for arguments in (["status"], ["recheck"], ["record", "list"], ["record", "csv", str(bench.path / "a.csv")],
                          ["record", "save", "pedal_left_tension", "--who", "A"], ["dossier", "--no-pdf"]):  # fmt: skip
            answer = rotorkit(*arguments, bench.path, at=bench.path)
            assert (answer.code, answer.err) == (0, ""), arguments
        assert verify(bench.record).whole

    def test_a_file_that_cannot_be_read_is_named(self, bench: Bench) -> None:
        (bench.path / "aircraft.toml").write_bytes(b"[aircraft]\nname = \xff\n")
        for read in (bench.record.aircraft_text, lambda: load_aircraft(bench.path)):
            with pytest.raises((RecordError, AircraftFileError), match=r"aircraft\.toml line 2.*UTF-8"):
                read()


DEEP, LONG_KEY, SECTIONS = (
    "tables and lists stand in one another",
    "far more parts between points",
    "sections of one sort",
)
BYTES, VALUES = "more than 1,000,000 bytes", "more than 50,000 values"
TOO_MUCH = {
    "20,000 unknown sections": ("".join(f"[unknown_{i}]\nx = 1\n" for i in range(20_000)), SECTIONS),
    "100,000 milestones": ('[[milestones]]\ntitle = "x"\nneeds = []\n' * 100_000, BYTES),
    "20,000 milestones": ('[[milestones]]\ntitle = "x"\nneeds = []\n' * 20_000, SECTIONS),
    "deep brackets": ("x = " + "[" * 100_000 + "]" * 100_000, "brackets nested too deeply"),
    "not so deep brackets": ("x = " + "[" * 60 + "]" * 60, DEEP),
    "deep tables": ("[" + ".".join("a" * 3 for _ in range(200)) + "]\n", LONG_KEY),
    "a key of a million parts": (".".join("a" for _ in range(1_000_000)) + " = 1\n", BYTES),
    "a key of quoted parts": (" . ".join('"a b"' for _ in range(100_000)) + " = 1\n", LONG_KEY),
    "a key that is deep in each of many": ("".join(f"{'.'.join('a' * 39)}.b{i} = 1\n" for i in range(2000)), DEEP),
    "a list without end": ("x = [" + "1," * 300_000 + "]\n", VALUES),
    "more bytes than any": ("# " + "x" * LARGEST_TEXT + "\n", BYTES),
    "many faults": ("".join(f'[instruments.i{i}]\nmeasures = "nothing"\n' for i in range(900)), ""),
}
"""What such a file holds, and the bound that stops it; nothing where it is read, and its faults are told."""


@pytest.mark.parametrize("file", ["aircraft.toml", "readings.toml"])
@pytest.mark.parametrize("what", TOO_MUCH)
def test_more_than_any_file_holds(tmp_path: Path, what: str, file: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """The bound is what stops it, not a fault that was found after long work: no line is looked for."""
    text, bound = TOO_MUCH[what]
    place = new(tmp_path / "d")
    (place / file).write_text(text, encoding="utf-8")
    looked_for: list[str] = []
    monkeypatch.setattr("rotorkit.aircraft.file.line_numbers", lambda t: looked_for.append(t) or line_numbers(t))
    answer = rotorkit("status", place, at=tmp_path)
    assert answer.code == 1
    assert file in answer.err
    assert bound in " ".join(answer.err.split())
    assert not bound or text not in looked_for
    assert "fault in rotorkit itself" not in answer.err
    assert len(answer.err) < 20_000, "not a line for each of thousands"


def test_what_is_bounded_still_takes_a_large_file() -> None:
    rows = ",".join('["1 ft", "2 ft"]' for _ in range(5000))
    assert len(tables_of(Path("aircraft.toml"), f"[a.b.c]\nrows = [{rows}]\n")["a"]["b"]["c"]["rows"]) == 5000
    assert too_much({"a": [{}] * 1000}) == ""
    assert "1,001 sections" in too_much({"a": [{}] * 1001})
    deep: object = 1
    for _ in range(DEEPEST):
        deep = [deep]
    assert too_much(deep) == ""
    assert "in one another" in too_much([[deep]])


class Counted(str):
    """A text that counts the letters which are looked through for line ends."""

    __slots__ = ("seen",)
    seen: int

    def replace(self, *_: object) -> "Counted":
        return self

    def count(self, sign: str, start: int, end: int) -> int:  # type: ignore[override]
        self.seen += end - start
        return super().count(sign, start, end)


def test_lines_are_found_in_a_large_file_as_in_a_small_one() -> None:
    """Each letter is looked through once, not again for each line: 20,000 tables cost twice what 10,000 do."""
    text = Counted("".join(f"[t{i}]\nx = [1,\n 2]\n" for i in range(20_000)))
    text.seen = 0
    places = line_numbers(text)
    assert (places["t19999",], places["t19999", "x", "1"]) == (19_999 * 3 + 1, 20_000 * 3)
    assert 0 < text.seen <= len(text)


@links
class TestPipesAndLinks:
    @pytest.mark.parametrize("file", ["aircraft.toml", "readings.toml", "record.sqlite"])
    def test_a_pipe_is_not_waited_for(self, tmp_path: Path, file: str) -> None:
        place = new(tmp_path / "d")
        (place / file).unlink(missing_ok=True)
        os.mkfifo(place / file)
        answer = rotorkit("status", place, at=tmp_path)
        assert answer.code == 1
        assert f"{file} cannot be read: it is a pipe, not a file" in " ".join(answer.err.split())

    @pytest.mark.parametrize("file", ["aircraft.toml", "readings.toml", "record.sqlite"])
    def test_a_link_that_leads_nowhere_is_no_not_yet(self, tmp_path: Path, file: str) -> None:
        place = new(tmp_path / "d")
        (place / file).unlink(missing_ok=True)
        (place / file).symlink_to(tmp_path / "gone")
        for arguments in (["status"], ["recheck"], ["record", "list"], ["record", "verify"]):
            if file == "record.sqlite" or arguments == ["status"]:
                answer = rotorkit(*arguments, place, at=tmp_path)
                words = " ".join(answer.err.split())
                assert answer.code == 1, arguments
                assert f"it is a link to {tmp_path / 'gone'}, which is not there" in words
                assert "no entry yet" not in answer.out
        assert not (tmp_path / "gone").exists()
        reads = {
            "record.sqlite": lambda: Record(place).head(),
            "aircraft.toml": lambda: Folder(place).aircraft,
            "readings.toml": lambda: Folder(place).checks,
        }
        with pytest.raises((RecordError, AircraftFileError), match="it is a link"):
            reads[file]()

    def test_a_dangling_aircraft_file_is_not_the_demo(self, tmp_path: Path) -> None:
        (tmp_path / "aircraft.toml").symlink_to(tmp_path / "gone")
        assert not Folder.here(tmp_path).is_demo
        answer = rotorkit("status", at=tmp_path)
        assert answer.code == 1
        assert "it is a link" in " ".join(answer.err.split())

    def test_saving_over_a_dangling_link(self, bench: Bench) -> None:
        bench.record.path.symlink_to(bench.path / "gone")
        with pytest.raises(RecordError, match=r"it is a link .* Nothing was saved"):
            bench.save()
        assert not (bench.path / "gone").exists()

    def test_a_link_to_a_file_is_followed(self, bench: Bench, tmp_path: Path) -> None:
        (tmp_path / "real").mkdir()
        (bench.path / "aircraft.toml").rename(tmp_path / "real" / "aircraft.toml")
        (bench.path / "aircraft.toml").symlink_to(tmp_path / "real" / "aircraft.toml")
        assert bench.save().number == 1

    def test_devices_and_folders(self, tmp_path: Path) -> None:
        with pytest.raises(OSError, match="a device"):
            bytes_of(Path("/dev/zero"))
        with pytest.raises(OSError, match="a folder"):
            bytes_of(tmp_path)
        (tmp_path / "round").symlink_to(tmp_path / "round")
        with pytest.raises(OSError, match="oo many"):
            bytes_of(tmp_path / "round")
        assert is_there(tmp_path / "round")


class TestChecksWithoutAName:
    @pytest.mark.parametrize("name", ['""', '"  "', '"a\\nb"', '"\\u202e"', f'"{"x" * 201}"'])
    def test_in_the_readings_file(self, bench: Bench, name: str) -> None:
        with open(bench.path / "readings.toml", "a", encoding="utf-8") as file:
            file.write(f'\n[{name}]\nsheet = "cable_tension"\n')
        with pytest.raises(AircraftFileError, match=r"readings\.toml line \d+: .*name"):
            _ = bench.folder.checks
        answer = rotorkit("record", "save", "", "--who", "A", bench.path, at=bench.path)
        assert answer.code == 1
        assert not bench.record.path.exists()

    def test_in_the_record(self, bench: Bench) -> None:
        sheet = bench.folder.check("pedal_left_tension").made()
        outcome = sheet.work(bench.folder.aircraft)
        for name in ("", " ", "a\nb", "\u202e", "\u3164", "x" * 201):
            with pytest.raises(RecordError, match="name"):
                bench.record.save(name, sheet, outcome, bench.record.aircraft_text(), "A")


TRAP = 'open("{mark}", "w").close()\nraise SystemExit("taken over")\n'


class TestNothingOfTheFolderIsRun:
    """`python -m` puts the present folder first on the import path."""

    def test_modules_that_lie_in_wait(self, tmp_path: Path) -> None:
        place = new(tmp_path / "d")
        marks = {name: tmp_path / name for name in ("typer", "click", "numpy", "pydantic", "pint", "tomlkit")}
        for name, mark in marks.items():
            (place / f"{name}.py").write_text(TRAP.format(mark=mark.as_posix()))
        environment = {**os.environ, "PYTHONPATH": IMPORT_PATH, "COLUMNS": "80"}
        for arguments in (["--version"], ["status"]):
            done = subprocess.run(
                [sys.executable, "-m", "rotorkit", *arguments],
                cwd=place,
                env=environment,
                capture_output=True,
                text=True,
            )
            assert done.returncode == 0, done.stderr
            assert "taken over" not in done.stderr
            assert not [name for name, mark in marks.items() if mark.exists()]

    def test_settings_of_jupyterlab_in_the_folder(self) -> None:
        """JupyterLab runs ``jupyter_server_config.py`` of the folder that it is started in: it is started elsewhere."""
        text = (CHECKOUT / "rotorkit" / "cli" / "__init__.py").read_text("utf-8")
        assert text.index("os.chdir(sys.prefix)") < text.index("LabApp.initialize_server(argv")


INACTIVE = {"bleach": "nbconvert"}
"""Libraries that declare themselves inactive, and which of ours brings each."""


def test_no_library_of_ours_is_inactive_unknown_to_us() -> None:
    """What rotorkit itself needs is looked after; what those bring in turn is known by name where it is not."""
    needed, found = {"rotorkit"}, {}
    queue = [("rotorkit", "rotorkit")]
    while queue:
        name, by = queue.pop()
        try:
            about = metadata.metadata(name)
            needs = metadata.requires(name) or []
        except metadata.PackageNotFoundError:
            continue
        if any("7 - Inactive" in line for line in about.get_all("Classifier") or []):
            found[name] = by
        for line in needs:
            other = re.split(r"[^A-Za-z0-9._-]", line, maxsplit=1)[0].lower().replace("_", "-")
            if "extra ==" not in line and other not in needed:
                needed.add(other)
                queue.append((other, name))
    assert found == INACTIVE
    ours = "".join(path.read_text("utf-8") for path in (CHECKOUT / "rotorkit").rglob("*.py"))
    assert not re.search(rf"import ({'|'.join(INACTIVE)})\b", ours)
