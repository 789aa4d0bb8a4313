"""README and the site's written pages keep their word: examples run, commands exist, links lead somewhere."""

import doctest
import math
import re
from pathlib import Path

import pytest
from traitlets.config import Config

from docs import generate
from rotorkit.aircraft import Aircraft, AircraftFileError, demo_folder, load_aircraft
from rotorkit.folder import Folder
from rotorkit.folder.making import make_folder
from rotorkit.judging.limits import WORDS
from rotorkit.sheets.catalogue import sheet_type

CHECKOUT = Path(__file__).resolve().parent.parent
README = CHECKOUT / "README.md"
TEXT = README.read_text(encoding="utf-8")
PAGES = CHECKOUT / "docs" / "pages"
WRITTEN = [README, *sorted(PAGES.rglob("*.md"))]


def blocks(path: Path) -> list[tuple[str, str]]:
    """The fenced blocks of a page: language and text."""
    return re.findall(r"^```(\w*)\n(.*?)^```$", path.read_text("utf-8"), re.MULTILINE | re.DOTALL)


def page(name: str) -> str:
    return (PAGES / name).read_text("utf-8")


@pytest.mark.parametrize("path", [one for one in WRITTEN if ">>> " in one.read_text("utf-8")], ids=lambda one: one.name)
def test_the_examples_run_to_the_letter(path: Path, monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """Every line of output, the error included, is compared as it stands, in a folder that holds nothing of ours."""
    monkeypatch.chdir(tmp_path)
    text = "\n".join(text for language, text in blocks(path) if language in ("python", "pycon"))
    examples = doctest.DocTestParser().get_doctest(text, {}, path.name, str(path), 0)
    runner = doctest.DocTestRunner(optionflags=0)
    said: list[str] = []
    runner.run(examples, out=said.append)
    assert runner.summarize(verbose=False).failed == 0, "".join(said)
    assert runner.tries == len(re.findall(r"^>>> ", path.read_text("utf-8"), re.MULTILINE))


@pytest.mark.parametrize("path", WRITTEN, ids=lambda one: one.name)
def test_python_without_output_runs_as_it_stands(path: Path, monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """In a working folder, from the page's first block on; a settings file finds what its server puts there."""
    make_folder(tmp_path / "hangar", demo=True)
    monkeypatch.chdir(tmp_path / "hangar")
    known: dict[str, object] = {"get_config": Config}
    for language, text in blocks(path):
        if language == "python" and ">>> " not in text:
            exec(compile(text, path.name, "exec"), known)


def test_it_is_a_screen_and_a_half() -> None:
    assert len(TEXT.splitlines()) <= 75
    assert sum(text.count(">>> ") for _, text in blocks(README)) == 6


def test_its_striking_figure_by_plain_arithmetic() -> None:
    """6,378 ft, without the library: the standard atmosphere, and the saturation pressure of Buck (1981)."""
    gas, lapse, gravity = 287.05287, 0.0065, 9.80665
    n = gas * lapse / gravity
    pressure = 101325 * ((29.92 * 3386.388640341 / 101325) ** n - lapse * 3000 * 0.3048 / 288.15) ** (1 / n)
    celsius = (95 - 32) / 1.8
    vapour = 0.60 * 611.21 * math.exp(17.502 * celsius / (240.97 + celsius))
    density = ((pressure - vapour) / gas + vapour / 461.523) / (celsius + 273.15)
    feet = 288.15 / lapse * (1 - (density / 1.225) ** (1 / (1 / n - 1))) / 0.3048
    assert "'6,378 ft'" in TEXT
    assert feet == pytest.approx(6378, abs=0.6)


def test_the_faults_shown_are_the_faults_told(tmp_path: Path) -> None:
    shown = next(text for _, text in blocks(PAGES / "start" / "your_aircraft.md") if "did you mean" in text)
    text = (demo_folder() / "aircraft.toml").read_text(encoding="utf-8")
    text = text.replace('radius = "11 ft 8 in"', 'raduis = "11 ft 8 in"', 1).replace('"10 in"', '"10 lb"', 1)
    (tmp_path / "aircraft.toml").write_text(text, encoding="utf-8")
    with pytest.raises(AircraftFileError) as refusal:
        load_aircraft(tmp_path)
    for line in shown.splitlines():
        assert line in str(refusal.value).splitlines()


def test_every_public_thing_says_what_it_is_and_has_its_page() -> None:
    pages = generate.page_of_names()
    for room in generate.rooms():
        for name, thing in generate.public(room).items():
            assert generate.first_sentence(thing.__doc__), f"rotorkit.{room}.{name} has no docstring"
            assert (room, name) in pages


def test_what_a_stranger_looks_for_stands_in_the_site() -> None:
    """A formula with source, range and worked example; a sheet in its own words; the written pages by their anchors."""
    lines = "\n".join(generate.pages_of_rooms()["rotor.hover"])
    of = lines[lines.index(".. py:function:: ideal_hover_power") :]
    of = of[: of.index(".. py:function::", 10)]
    assert "Leishman, Principles of Helicopter Aerodynamics, 2nd edition, Cambridge, 2006, eq. 2.22" in of
    assert of.count("<math") > 4
    assert "disk\\_area" in of
    assert re.search(r"46,49\d", of), "the worked result, 62.35 hp in W"
    sheet = sheet_type("cable_tension")
    text = " ".join(generate.sheet_page(sheet, Folder(demo_folder())))
    for said in (sheet.about.settles, *sheet.about.cautions, *sheet.about.procedure, *sheet.about.not_covered):
        assert generate.plain(said) in text
    assert "30 lbf to 40 lbf (demo manual 7-12)" in text
    assert "# How to add a cable" in page("start/your_aircraft.md")
    assert "# What *too close to call* means" in page("glossary.md")
    assert page("record.md").startswith("(record)=\n# What is promised about the record")


def test_a_lost_link_is_found(tmp_path: Path) -> None:
    from docs.build import lost_links

    (tmp_path / "one.html").write_text(
        '<a href="two.html#here">1</a><a href="two.html#there">2</a><a href="three.html">3</a><img src="https://x.y/z.png">'
    )
    (tmp_path / "two.html").write_text('<p id="here"><a href="#here">4</a><a href="https://x.y">5</a>')
    assert lost_links(tmp_path) == [
        "one.html: https://x.y/z.png (fetched from elsewhere)", "one.html: three.html", "one.html: two.html#there",
    ]  # fmt: skip


def test_the_tree_at_the_side_shows_where_one_stands() -> None:
    """In the tree as the theme writes it for a page that is not in it."""
    from docs import conf

    link = '<a class="reference internal" href="{}">{}</a>'
    drive = '<li class="toctree-l1 has-children">' + link.format("drive.html", "Drive")
    drive += '<input aria-label="Toggle navigation of Drive" class="toctree-checkbox" type="checkbox"/><ul>'
    tree = f'{drive}<li class="toctree-l2">{link.format("drive.belts.html", "Belts")}</li></ul></li>'
    within = conf.marked(conf.marked(tree, "drive.belts.html", own=True), "drive.html", own=False)
    assert (
        '<li class="toctree-l2 current current-page"><a class="current reference internal" href="#">Belts</a>' in within
    )
    assert '<li class="toctree-l1 current has-children"><a class="reference internal" href="drive.html">' in within
    assert '<input aria-label="Toggle navigation of Drive" checked="" class="toctree-checkbox"' in within
    with pytest.raises(ValueError, match=r"no shafts\.html"):
        conf.marked(tree, "shafts.html", own=True)


def test_an_argument_whose_class_shares_its_name_leads_to_the_right_one() -> None:
    from rotorkit.balance import still_hold
    from rotorkit.teach import Diagnosis

    assert "agreement: rotorkit.judging.Agreement" in generate.signature_of(Diagnosis)
    assert generate.signature_of(still_hold).endswith("-> rotorkit.balance.Agreement")


def test_every_command_and_option_is_told() -> None:
    import typer

    from rotorkit.cli import app

    group = typer.main.get_command(app)
    named = [("rotorkit", group)]
    for name, command in named:  # grows by the commands of each group
        named += [(f"{name} {inner.name}", inner) for inner in getattr(command, "commands", {}).values()]
        if command is not group:
            assert f"`{name} " in page("commands.md"), name
        for parameter in command.params:
            for option in parameter.opts:
                assert not option.startswith("--") or option in page("commands.md"), option


def test_every_make_target_named_exists() -> None:
    targets = set(re.findall(r"^([a-z-]+):", (CHECKOUT / "Makefile").read_text(encoding="utf-8"), re.MULTILINE))
    assert set(re.findall(r"^make ([a-z-]+)|`make ([a-z-]+)`", TEXT, re.MULTILINE)) <= {
        pair for target in targets for pair in ((target, ""), ("", target))
    }


def test_every_section_of_the_aircraft_file_is_told() -> None:
    for name in Aircraft.model_fields:
        assert re.search(rf"`\[+{name}[\].]", page("aircraft_file.md")), name


def test_every_verdict_is_explained() -> None:
    for word in WORDS:
        assert f"| {word} |" in page("glossary.md")


@pytest.mark.parametrize(
    "path", [*WRITTEN, CHECKOUT / "DEVELOPERS.md", CHECKOUT / "CHANGELOG.md"], ids=lambda one: one.name
)
def test_links_and_pictures_lead_somewhere(path: Path) -> None:
    """Those to pages that the code writes (.rst) are looked at when the site is built."""
    for target in re.findall(r"\]\(([^)]+)\)", path.read_text("utf-8")):
        file, _, place = target.partition("#")
        if target.startswith(("http", "#")) or file.endswith(".rst"):
            continue
        assert (path.parent / file).exists(), target
        if place:
            assert f"({place})=" in (path.parent / file).read_text("utf-8"), target


def test_the_citation_is_of_this_version() -> None:
    import rotorkit

    text = (CHECKOUT / "CITATION.cff").read_text("utf-8")
    assert f"version: {rotorkit.__version__}\n" in text
    assert text.startswith("cff-version: 1.2.0\n")


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


def test_the_first_check_is_saved_where_make_lab_leads() -> None:
    from rotorkit.cli import DEMO_FOLDER
    from rotorkit.sheets.catalogue import sheet_names

    first = page("start/first_check.md")
    assert f"working folder `{DEMO_FOLDER}`" in first
    assert f"`.venv/bin/rotorkit dossier {DEMO_FOLDER}`" in first
    assert "more than forty sheets" in page("glossary.md")
    assert 40 < len(sheet_names()) < 50
