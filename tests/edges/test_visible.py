"""No face obeys a control character, or lets a direction mark turn what it says: each shows it by its number.

What counts as unseen is held against Unicode's own general categories, as Python's ``unicodedata`` has them, and
against the list of default ignorable code points in the Unicode Character Database (DerivedCoreProperties, quoted).
"""

import contextlib
import io
import re
import unicodedata
from pathlib import Path

import html5lib
import pytest

from rotorkit.aircraft import AircraftFileError, load_aircraft
from rotorkit.cli import console
from rotorkit.cli.entries_text import entries_text
from rotorkit.cli.record_text import entry_text
from rotorkit.edges.visible import UNSEEN, escaped, in_a_line, named_in, visible
from rotorkit.folder.checks import Check
from rotorkit.notebook import words
from rotorkit.notebook.chooser import CheckChooser
from rotorkit.notebook.parts import options_kept
from rotorkit.pictures import draw, paper
from rotorkit.pictures.data import Chart, Curve, Point
from rotorkit.record import RecordError
from rotorkit.sheets.base import SheetError
from tests.cli.test_cli import new, rotorkit
from tests.record.bench import Bench

FORGED = "Tail rotor: out of limits\x1b[2K\rTail rotor: in limits\x9b8m\u202e stimil ni\u2066\n  All in limits"
"""What a terminal would show as another verdict than the one that stands there."""
DANGEROUS = re.compile(r"[\x00-\x08\x0b-\x1f\x7f-\x9f\u200b-\u200f\u2028-\u202e\u2060-\u206f\ufeff]")


@pytest.fixture
def bench(tmp_path: Path) -> Bench:
    return Bench(tmp_path)


def test_every_control_format_and_direction_character_of_unicode_is_named() -> None:
    for number in range(0x110000):
        character = chr(number)
        category = unicodedata.category(character)
        if category in ("Cc", "Cf", "Cs", "Co", "Zl", "Zp") and character not in "\n\t\r":
            if 0x600 <= number <= 0x605 or number in (0x6DD, 0x70F, 0x890, 0x891, 0x8E2, 0x110BD, 0x110CD):
                continue  # Arabic, Syriac and Kaithi number signs: format characters that are seen
            if 0x13430 <= number <= 0x1343F:
                continue  # Egyptian hieroglyph joiners: they stand between hieroglyphs alone
            assert visible(character) == f"[U+{number:04X}]", hex(number)
        elif category[0] in "LNPS" and character not in "\u115f\u1160\u2800\u3164\uffa0":
            assert visible(character) == character, hex(number)


def test_letters_that_show_as_nothing_are_named() -> None:
    for character in "\u034f\u115f\u1160\u17b4\u17b5\u180b\u2800\u3164\uffa0\ufff0\U000e0100\U000e0fff":
        assert visible(character).startswith("[U+"), hex(ord(character))


@pytest.mark.parametrize("text", ["Jürgen, 直升机, مروحية, 🚁 ±°′″½", "a\nb", "", "e\u0301"])
def test_what_is_seen_stays_as_it_is(text: str) -> None:
    assert visible(text) == text
    assert visible(visible(FORGED)) == visible(FORGED)


def test_line_ends() -> None:
    assert visible("a\r\nb\rc\td") == "a\nb\nc    d"
    assert in_a_line("a\r\nb") == "a[U+000A]b"
    assert named_in("\ta\r\nb\x1b") == "\ta\r\nb[U+001B]"
    assert escaped("<\x1b>") == "&lt;[U+001B]&gt;"


def assert_safe(shown: str) -> None:
    assert not DANGEROUS.search(shown), DANGEROUS.search(shown)


def test_a_record_with_forged_texts_in_a_terminal(bench: Bench) -> None:
    bench.save("tail_rotor_angles", title=FORGED[:150], who=FORGED[:150], note=FORGED)
    bench.save("tail_rotor_angles", title="t", who="w", replaces=1, why=FORGED)
    assert_safe(entries_text(bench.record))
    assert_safe(entry_text(bench.record, 1))
    assert_safe(repr(bench.record.entry(1)))
    for arguments in (["list"], ["show", "1"], ["list", "--check", "none\x1b[2J\u202e"]):
        answer = rotorkit("record", *arguments, bench.path, at=bench.path)
        assert_safe(answer.out + answer.err)
        assert not re.search(r"^ *All in limits", answer.out + answer.err, re.MULTILINE)
    assert "[U+001B]" in rotorkit("record", "list", bench.path, at=bench.path).out


def test_a_received_folder_s_texts_in_a_terminal(tmp_path: Path) -> None:
    place = new(tmp_path / "d")
    toml = '"Main\\u001b[2K\\u202e\\nAll in limits"'
    text = (place / "aircraft.toml").read_text("utf-8")
    text, count = re.subn(r'(?m)^name = ".*"$', lambda _: f"name = {toml}", text, count=1)
    assert count == 1
    (place / "aircraft.toml").write_text(text, encoding="utf-8")
    readings = (place / "readings.toml").read_text("utf-8")
    readings = re.sub(r'(?m)^title = ".*"$', lambda _: f"title = {toml}", readings)
    (place / "readings.toml").write_text(readings, encoding="utf-8")
    first = next(line[1:-1] for line in readings.splitlines() if line.startswith("["))
    commands = (["status"], ["status", "--every-figure"], ["record", "save", first, "--who", "A\x1b[31m"],
                ["record", "list"], ["record", "show", "1"], ["recheck"], ["dossier", "--no-pdf"])  # fmt: skip
    for arguments in commands:
        answer = rotorkit(*arguments[:3], *arguments[3:], place, at=tmp_path)
        assert_safe(answer.out + answer.err)
        assert not re.search(r"^ *All in limits", answer.out + answer.err, re.MULTILINE), answer.out
    assert "[U+001B]" in answer.out


@pytest.mark.parametrize(
    ("file", "text"),
    [
        ("aircraft.toml", '[aircraft]\nname = "x"\n"k\\u001b[2J\\u202e\\nAll in limits" = 1\n'),
        ("aircraft.toml", '["k\\u001b[2J\\u202e\\nAll in limits"]\n'),
        ("aircraft.toml", '[main_rotor]\nradius = "\\u001b[2J\\u202e\\nAll in limits"\n'),
        ("aircraft.toml", '[instruments.x]\ncalibrated = "\\u001b[2J\\nAll in limits"\n'),
        ("readings.toml", '["k\\u001b[2J\\u202e\\nAll in limits"]\nx = 1\n'),
        ("readings.toml", '[x]\nsheet = "k\\u001b[2J\\u202e\\nAll in limits"\n'),
        ("readings.toml", '[x]\nsheet = "cable_tension"\n"k\\u001b[2J\\nAll in limits" = "1"\ndial = "2"\n'),
    ],
)  # fmt: skip
def test_error_messages_about_a_file(tmp_path: Path, file: str, text: str) -> None:
    place = new(tmp_path / "d")
    (place / file).write_text(text, encoding="utf-8")
    answer = rotorkit("status", place, at=tmp_path)
    shown = answer.out + answer.err
    assert "[U+001B]" in shown
    assert_safe(shown)
    assert not re.search(r"^ *All in limits", shown, re.MULTILINE)
    if file == "aircraft.toml":
        with pytest.raises(AircraftFileError) as caught:
            load_aircraft(place)
        assert_safe(str(caught.value))


def test_errors_carry_nothing_unseen_wherever_they_are_shown() -> None:
    for error in (RecordError(FORGED), AircraftFileError(FORGED), SheetError([("x", FORGED)])):
        assert_safe(str(error))
    assert "\n" not in str(SheetError([("x", FORGED)]))


def test_say_and_fail(capsys: pytest.CaptureFixture[str]) -> None:
    console.say(FORGED)
    with contextlib.suppress(Exception):
        console.fail(FORGED)
    told = capsys.readouterr()
    assert_safe(told.out)
    assert_safe(told.err)


def test_pictures() -> None:
    chart = Chart(FORGED, FORGED, FORGED, (Curve(FORGED, [0.0, 1.0], [0.0, 1.0], "main"),), (),
                  (Point(FORGED, 0.5, 0.5, 0.1, 0.1, FORGED),))  # fmt: skip
    for drawn in (draw(chart, 400), paper.picture(9, 9, FORGED, FORGED, [paper.text(0, 0, FORGED)])):
        assert_safe(drawn)
        assert "[U+001B]" in drawn
        html5lib.HTMLParser(strict=False).parseFragment(drawn)
    assert paper.text_width("\u202e") == paper.text_width("[U+202E]")
    assert all(paper.text_width(line) <= 120 or len(line) <= 4 for line in paper.wrapped(FORGED, 120))


def test_forms_and_pages() -> None:
    row = words.table(FORGED, [FORGED], [[FORGED]])
    for made in (words.wrong(FORGED, FORGED), words.note(FORGED), words.refused(FORGED), row):
        assert_safe(made)
        assert "[U+202E]" in made
    chooser = CheckChooser([Check("a\x1b", FORGED, "cable_tension", {})], "a\x1b", lambda _name: None)
    labels = [label for label, _ in chooser.control.options]
    assert_safe("".join(labels))
    assert "\n" not in "".join(labels)
    options_kept(chooser.control, [(FORGED, "x")], "x")
    assert_safe(chooser.control.options[0][0])


def test_a_spreadsheet(bench: Bench) -> None:
    from rotorkit.record import csv_text

    bench.save("tail_rotor_angles", title=FORGED[:150], who="w", note=FORGED)
    assert not re.search(r"[\x1b\x9b\u202e\u2066]", csv_text(bench.record))


def test_nothing_else_makes_html_or_prints_by_itself() -> None:
    """Every face goes through the one place: no other module escapes or prints."""
    package = Path(console.__file__).parent.parent
    for path in package.rglob("*.py"):
        text = path.read_text("utf-8")
        name = str(path.relative_to(package))
        if name != "edges/visible.py":
            assert not re.search(r"from html import [^\n]*\bescape\b|import html$|html\.escape", text, re.MULTILINE), (
                name
            )
        if name != "cli/console.py":
            assert not re.search(r"^ +print\(|typer\.echo|sys\.std(out|err)\.write", text, re.MULTILINE), name


def test_what_counts_as_unseen_is_compiled_once() -> None:
    assert UNSEEN.flags & re.UNICODE
    assert io.StringIO(visible("\x00")).read() == "[U+0000]"
