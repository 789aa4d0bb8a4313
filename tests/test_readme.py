"""The README keeps its word: its examples run, its commands exist, its reference is that of the code."""

import doctest
import math
import re
from pathlib import Path

import pytest

from rotorkit.aircraft import Aircraft, AircraftFileError, demo_folder, load_aircraft
from rotorkit.judging.limits import WORDS
from tests import reference_section

CHECKOUT = Path(__file__).resolve().parent.parent
README = CHECKOUT / "README.md"
TEXT = README.read_text(encoding="utf-8")
BLOCKS = re.findall(r"^```(\w*)\n(.*?)^```$", TEXT, re.MULTILINE | re.DOTALL)
EXAMPLES = [text for language, text in BLOCKS if language == "python"]


def test_the_examples_run_to_the_letter(monkeypatch: pytest.MonkeyPatch) -> None:
    """Every line of output, the error included, is compared as it stands."""
    monkeypatch.chdir(CHECKOUT)
    examples = doctest.DocTestParser().get_doctest("\n".join(EXAMPLES), {}, "README.md", str(README), 0)
    runner = doctest.DocTestRunner(optionflags=0)
    said: list[str] = []
    runner.run(examples, out=said.append)
    assert runner.summarize(verbose=False).failed == 0, "".join(said)
    assert runner.tries == len(re.findall(r"^>>> ", TEXT, re.MULTILINE))


def test_the_first_example_is_six_lines() -> None:
    assert EXAMPLES[0].count(">>> ") == 6


def test_its_striking_figure_by_plain_arithmetic() -> None:
    """6,378 ft, without the library: the standard atmosphere, and the saturation pressure of Buck (1981)."""
    gas, lapse, gravity = 287.05287, 0.0065, 9.80665
    n = gas * lapse / gravity
    pressure = 101325 * ((29.92 * 3386.388640341 / 101325) ** n - lapse * 3000 * 0.3048 / 288.15) ** (1 / n)
    celsius = (95 - 32) / 1.8
    vapour = 0.60 * 611.21 * math.exp(17.502 * celsius / (240.97 + celsius))
    density = ((pressure - vapour) / gas + vapour / 461.523) / (celsius + 273.15)
    feet = 288.15 / lapse * (1 - (density / 1.225) ** (1 / (1 / n - 1))) / 0.3048
    assert "'6,378 ft'" in EXAMPLES[0]
    assert feet == pytest.approx(6378, abs=0.6)


def test_the_faults_shown_are_the_faults_told(tmp_path: Path) -> None:
    shown = next(text for _, text in BLOCKS if "did you mean" in text)
    text = (demo_folder() / "aircraft.toml").read_text(encoding="utf-8")
    text = text.replace('radius = "11 ft 8 in"', 'raduis = "11 ft 8 in"', 1).replace('"10 in"', '"10 lb"', 1)
    (tmp_path / "aircraft.toml").write_text(text, encoding="utf-8")
    with pytest.raises(AircraftFileError) as refusal:
        load_aircraft(tmp_path)
    for line in shown.splitlines():
        assert line in str(refusal.value).splitlines()


def test_the_reference_is_that_of_the_code() -> None:
    assert reference_section.written(TEXT) == TEXT, "the code has moved on: run make reference"


def test_every_public_thing_says_what_it_is() -> None:
    for room in reference_section.rooms():
        for name, thing in reference_section.public(room).items():
            assert reference_section.first_sentence(thing.__doc__), f"rotorkit.{room}.{name} has no docstring"


def test_every_command_and_option_is_told() -> None:
    import typer

    from rotorkit.cli import app

    group = typer.main.get_command(app)
    named = [("rotorkit", group)]
    for name, command in named:  # grows by the commands of each group
        named += [(f"{name} {inner.name}", inner) for inner in getattr(command, "commands", {}).values()]
        if command is not group:
            assert f"`{name} " in TEXT, name
        for parameter in command.params:
            for option in parameter.opts:
                assert not option.startswith("--") or option in TEXT, option


def test_every_make_target_named_exists() -> None:
    targets = set(re.findall(r"^([a-z-]+):", (CHECKOUT / "Makefile").read_text(encoding="utf-8"), re.MULTILINE))
    assert set(re.findall(r"^make ([a-z-]+)|`make ([a-z-]+)`", TEXT, re.MULTILINE)) <= {
        pair for target in targets for pair in ((target, ""), ("", target))
    }


def test_every_section_of_the_aircraft_file_is_told() -> None:
    for name in Aircraft.model_fields:
        assert re.search(rf"`\[+{name}[\].]", TEXT), name


def test_every_verdict_is_explained() -> None:
    for word in WORDS:
        assert f"| {word} |" in TEXT


@pytest.mark.parametrize("name", ["README.md", "DEVELOPERS.md", "CHANGELOG.md"])
def test_links_and_pictures_lead_somewhere(name: str) -> None:
    text = (CHECKOUT / name).read_text(encoding="utf-8")
    for target in re.findall(r"\]\(([^)]+)\)", text):
        if not target.startswith(("http", "#")):
            assert (CHECKOUT / target.split("#")[0]).exists(), target


def test_every_picture_says_in_words_what_is_to_be_seen() -> None:
    pictures = re.findall(r"!\[(.*?)\]", TEXT, re.DOTALL)
    assert pictures
    assert all(len(words) > 60 for words in pictures)


def test_it_begins_with_the_job_and_two_commands() -> None:
    head = TEXT[: TEXT.index("make lab")]
    assert len(head.split()) < 260
    assert "img.shields" not in TEXT


def test_the_developers_page_gives_every_room_its_floor() -> None:
    from tests.test_layers import FLOOR, PACKAGE

    rows = re.findall(r"^\| ([−\d.]+) \| (`[^|]*`) \|", (CHECKOUT / "DEVELOPERS.md").read_text("utf-8"), re.MULTILINE)
    told = {room: float(floor.replace("−", "-")) for floor, named in rows for room in re.findall(r"`(\w+)`", named)}
    rooms = {path.stem for path in PACKAGE.iterdir() if (path.suffix == ".py" or (path / "__init__.py").exists())}
    assert told == {room: FLOOR[room] for room in rooms if not room.startswith("__")}
