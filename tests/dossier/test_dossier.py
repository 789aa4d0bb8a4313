"""What the dossier shows: everything that was saved, and nothing that was not."""

from __future__ import annotations

import math
import os
import re
import sqlite3
import tomllib
from collections.abc import Iterator
from html import unescape
from pathlib import Path
from typing import Any

import pytest

from rotorkit.aircraft import AircraftFileError, demo_folder
from rotorkit.dossier import Dossier, DossierError, check_pages, write_dossier
from rotorkit.dossier.alike import alike
from rotorkit.dossier.blocks import Paragraph, Table, Verdict
from rotorkit.judging.limits import OUT_OF_LIMITS, TOO_CLOSE
from rotorkit.pictures.data import BarRow, Bars
from rotorkit.sheets.catalogue import sheet_type
from rotorkit.sheets.programme import programme
from tests.dossier.conftest import NEVER_SAVED, NOW, WHY, Written
from tests.record.bench import Bench


def said(html: str) -> str:
    """The page's words, run together."""
    html = re.sub(r"<style>.*?</style>|<svg.*?</svg>", "", html, flags=re.DOTALL)
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", html)).split())


def part(html: str, title: str) -> str:
    """The words of the section with this heading."""
    for section in re.split(r"<section|<nav", html):
        if (found := re.search(r"<h[12][^>]*>(.*?)</h[12]>", section)) and unescape(found[1]) == title:
            return said("<section" + section)
    raise AssertionError(f"no part {title!r}")


def limits_of(table: Any) -> Iterator[str]:
    """The source of each limit that stands in the aircraft file's own text."""
    if isinstance(table, dict) and "source" in table and {"low", "high"} & set(table):
        yield table["source"]
    elif isinstance(table, (dict, list)):
        for one in table.values() if isinstance(table, dict) else table:
            yield from limits_of(one)


def short(bench: Bench, **kwargs: object) -> tuple[Dossier, str]:
    dossier = write_dossier(bench.folder, pdf=False, now=NOW, **kwargs)  # type: ignore[arg-type]
    return dossier, dossier.page.read_text("utf-8")


def test_every_finding_with_its_figure_limit_source_and_verdict(written: Written) -> None:
    for check in written.bench.record.checks():
        entry = written.bench.record.last(check)
        assert entry is not None
        words = part(written.html, entry.title)
        for finding in entry.findings:
            title, figure, _, word = finding.row()
            limit = finding.verdict.limit
            given = limit is not None and not limit.open
            if limit is None or not given:
                assert f"{title}: {figure}" in words.partition("With no limit given")[2]
                continue
            assert f"{title} {figure} {limit.text}" in words
            assert limit.source in words
            assert f"{title} {figure} {limit.text} {limit.source} {word}" in words or len(limit.source) > 30
            if finding.verdict.settle:
                assert finding.verdict.settle in words
        if entry.outcome.told_to_do and entry.word in (OUT_OF_LIMITS, TOO_CLOSE):
            assert entry.outcome.told_to_do in words
        assert f"Verdict as saved: {entry.word}" in words


def test_readings_as_typed_and_as_understood(written: Written) -> None:
    for check in written.bench.record.checks():
        entry = written.bench.record.last(check)
        assert entry is not None
        words = part(written.html, entry.title)
        for one in entry.understood:
            assert " ".join(one.typed.split()) in words or one.path in {p for i in entry.instruments for p in i.fields}
            assert " ".join(one.understood.split()) in part(written.worked, entry.title)
        for instrument in entry.instruments:
            assert instrument.title in words


def test_a_reading_of_a_row_that_was_understood_as_more_says_so(bench: Bench) -> None:
    """As a single reading does: an angle typed as a fraction, beside what it was taken for."""
    stations = [{"blade": "A", "position": "low stop", "reading": "-1 3/8 deg"}]
    entry = bench.save("tail_rotor_angles", {"stations": stations})
    words = part(write_dossier(bench.folder, now=NOW, pdf=False).page.read_text("utf-8"), entry.title)
    assert "low stop: -1 3/8 deg (understood: -1.375°)" in words


def test_every_step_with_its_source_and_every_origin_of_uncertainty(written: Written) -> None:
    for check in written.bench.record.checks():
        entry = written.bench.record.last(check)
        assert entry is not None
        words = part(written.worked, entry.title)
        for number, step in enumerate(entry.outcome.steps, 1):
            assert f"{number}. {step.title}" in words
            assert step.citation.sentence in words
        for finding in entry.findings:
            for row in finding.measured.budget()[:6]:
                assert row.label in words


def test_each_uncertainty_is_twice_the_root_of_its_origins_squares(written: Written) -> None:
    """JCGM 100, 5.1.2 and 6.2.1, by what is printed alone: U = 2 sqrt(u1^2 + u2^2 + ...), each figure to two digits."""
    several = 0
    for row in re.findall(r"<tr.*?</tr>", written.worked, flags=re.DOTALL):
        cells = [said(cell) for cell in re.findall(r"<t[dh].*?</t[dh]>", row, flags=re.DOTALL)]
        origins = (
            re.findall(r"([\d.]+) %, ([\d.]+)", cells[-1].replace(",", "").replace("%", "%,"))
            if len(cells) == 3
            else []
        )
        if origins and (printed := re.match(r"[\d.]+", cells[1].replace(",", ""))):
            expanded = float(printed[0])
            sizes = [float(size) for _, size in origins]
            assert expanded == pytest.approx(2 * math.hypot(*sizes), rel=0.1), cells
            for share, size in origins:
                if float(share) > 5:
                    assert float(share) / 100 == pytest.approx((2 * float(size) / expanded) ** 2, rel=0.25), cells
                    several += float(share) < 60
    assert several


def test_cautions_sign_off_and_identity(written: Written) -> None:
    for check in written.bench.record.checks():
        entry = written.bench.record.last(check)
        assert entry is not None
        words = part(written.html, entry.title)
        for caution in sheet_type(entry.sheet).about.cautions:
            assert caution in words
        assert "Name Licence no. Date Signature Builder Inspector" in words
        assert entry.hash in words
        assert entry.sealed.previous in words
        assert entry.aircraft_file in words


def test_the_front_page_names_what_is_wrong_unsure_and_not_done(written: Written) -> None:
    words = part(written.html, "Demo two-seater")
    assert re.search(r"Next: First engine run: \d+ of \d+ jobs need work", words)
    out, _, rest = words.partition("Out of limits: 1 ")[2].partition("Too close to call: 2 ")
    assert out.startswith("Main rotor, collective stops : Blade to blade, high stop 0.467 ± 0.068°, limit at most 0.3°")
    close, _, rest = rest.partition("Rests on an estimate, or on readings taken as exact: 1 ")
    assert "Tail rotor, after fitting the pitch links" in close
    unsure, _, rest = rest.partition("No longer stands as saved: none of the checks shown.")
    assert unsure.split("Hover")[1:] == [", with two aboard "]
    assert "Nobody has looked at these yet Anti-torque cable, right pedal: its readings are not saved" in rest
    assert "Corners of all controls: never done" in rest or "Control corners: never done" in rest


def test_the_contents_mark_what_is_unsure(written: Written) -> None:
    contents = said(written.html[written.html.index('id="contents"') :].partition("</nav>")[0])
    assert "Hover, with two aboard est. too close to call" in contents
    assert contents.count(" est.") == sum(
        bool(entry.outcome.unsure)
        for check in written.bench.record.checks()
        if (entry := written.bench.record.last(check))
    )


@pytest.mark.parametrize(
    ("typed", "understood", "same"),
    [
        ("35.9 ± 0.1 in", "35.9 in ± 0.1 in", True),
        ("7.6; 7.7; 7.6 deg", "7.6°; 7.7°; 7.6°", True),
        ("0.00040 ± 0.00005 slug*ft^2", "0.0004 slug·ft² ± 5e-05 slug·ft²", True),
        ("1,250 +/- 0 lbf*ft", "1,250 lbf·ft ± 0 lbf·ft", True),
        ("35 lb", "35 lbf", False),
        ("100 lb ± 5 %", "100 lb ± 5 lb", False),
        ("11 ft 8 in", "140 in", False),
        ("5.8:1", "5.8", False),
        ("21; 22", "21 lb; 22 lb", False),
        ("5 in", "50 in", False),
    ],
)
def test_what_was_understood_is_told_where_it_says_more(typed: str, understood: str, same: bool) -> None:
    assert alike(typed, understood) is same


def test_title_page_names_the_record(written: Written) -> None:
    words = part(written.html, "Demo two-seater")
    count, head = written.bench.record.head()
    assert f"Entries in the record: {count}" in words
    assert head in words
    assert "2026-06-01 12:30 +0200" in words
    assert "all are as saved, none is missing" in words


def test_aircraft_instruments_and_board(written: Written) -> None:
    aircraft = written.bench.folder.aircraft
    words = part(written.html, "Aircraft")
    assert "11 ft 8 in (140 in)" in words
    assert "Main rotor, lag Offset: 6 in Mass: 35 lb " in words
    assert "Main rotor, blade Root cutout: 19 in " in words
    words = part(written.html, "Aircraft").partition("Limits as they are now")[2]
    assert (
        "Blade to blade: at most 0.3° (demo manual 7-4)" in words.partition("Main rotor")[2].partition("Tail rotor")[0]
    )
    assert "Run-up Drop on one ignition: at most 125 rpm (demo engine manual 3-6)" in words
    listed = written.html.partition("Limits as they are now")[2].partition("<h2")[0]
    given = tomllib.loads((written.bench.path / "aircraft.toml").read_text("utf-8"))
    assert listed.count("<li") == len(list(limits_of(given)))
    words = part(written.html, "Instruments")
    for instrument in aircraft.instruments.values():
        assert instrument.title in words
        assert instrument.calibration_words(NOW.date()) in words
    words = part(written.html, "Status board")
    for milestone in programme(aircraft):
        assert milestone.title in words
        for need in milestone.needs:
            assert need.why in words
    assert "never done" in words


def test_what_was_not_saved_is_named_and_not_shown(written: Written) -> None:
    assert written.dossier.not_saved == ("Anti-torque cable, right pedal",)
    words = part(written.html, "Not saved to the record")
    assert f"{NEVER_SAVED} cable tension not saved to the record" in words
    check = written.bench.folder.check(NEVER_SAVED)
    # its readings stand in no section of its own (those of its rigging have one)
    with pytest.raises(AssertionError, match="no part"):
        part(written.html, check.title)


def test_history_with_corrections(written: Written) -> None:
    words = part(written.html, "Anti-torque cable, left pedal")
    wrong, right = written.entries[-2:]
    assert f"Entry {right.number}, saved by A. Builder" in words
    assert f"It corrects entry {wrong.number}: {WHY}" in words
    assert f"Replaced by entry {right.number} ." in words or f"Replaced by entry {right.number}." in words
    assert words.count("in limits") > 3
    assert "This is the only entry of this check." in part(written.html, "Hover, with two aboard")


def test_a_figure_over_time_is_drawn(bench: Bench) -> None:
    for month, dial in enumerate(("28; 28; 28", "27; 27; 27.5", "26; 26; 26")):
        bench.clock.now = bench.clock.now.replace(month=3 + month)
        bench.save("pedal_left_tension", {"dial": dial})
    dossier, _ = short(bench, worked=True)
    html = dossier.more_pages[0].read_text("utf-8")
    assert 'aria-label="Tension at 70 °F over time' in html
    assert "Anti-torque cable, left pedal" in html


def test_each_long_source_has_letters_of_its_own(bench: Bench, monkeypatch: pytest.MonkeyPatch) -> None:
    """Figures of thirty sources: a letter that stood for two of them would send the reader to the wrong page."""
    entry = bench.save("tail_rotor_angles")
    one = next(found for found in entry.work["outcome"]["findings"] if found["limit"] is not None)
    sources = [f"the manual of the kit, volume of rigging, page {number}" for number in range(30)]
    many = [{**one, "limit": {**one["limit"], "source": source}} for source in sources]
    monkeypatch.setattr(check_pages, "_saved_findings", lambda _entry: many)
    table, below = list(check_pages.figure_blocks(entry))[:2]
    assert isinstance(table, Table)
    assert isinstance(below, Paragraph)
    told = dict(said.split(": ") for said in str(below.words).rstrip(".").split("; "))
    assert [told[str(row[3]).removeprefix("see ").removesuffix(" below")] for row in table.rows] == sources


def test_a_picture_of_many_rows_shows_the_worst_of_them_on_the_page() -> None:
    words = ["in limits"] * 7 + ["too close to call", "in limits", "out of limits"]
    rows = [BarRow(f"row {at}", float(at), 0.1, 0.0, 9.0, "deg", word) for at, word in enumerate(words)]
    shown = check_pages._worst_rows(Bars("Against the limits", rows))
    assert isinstance(shown, Bars)
    assert [row.label for row in shown.rows] == ["row 0", "row 1", "row 2", "row 3", "row 7", "row 9"]
    assert shown.title.startswith("Against the limits: 6 of 10, ")
    few = Bars("Against the limits", rows[:6])
    assert check_pages._worst_rows(few) is few


def test_a_verdict_never_breaks_however_long_the_cells_beside_it() -> None:
    row = [
        "a name of fifty-six letters " * 2,
        "1,234.5 ± 0.0023 m/s",
        "at least 2.54 m/s",
        "demo test programme, card 7",
    ]
    shares = check_pages._shares([["Figure", "Value", "Limit", "Source", "Verdict"], [*row, Verdict(TOO_CLOSE)]])
    assert shares[-1] / sum(shares) >= 0.17
    assert shares[0] == max(shares)


def test_progress_is_told(written: Written) -> None:
    stages = list(dict.fromkeys(what for what, _, _ in written.told))
    first = ["setting the checks", "writing the page", "typesetting the PDF"]
    assert stages[-6:] == [*first, "setting the calculations", *(f"{one} of the second volume" for one in first[1:])]
    assert all(0 <= done <= of for _, done, of in written.told)


def test_a_check_that_no_longer_stands_says_why(bench: Bench) -> None:
    bench.save("pedal_left_tension")
    bench.change('low = "30 lb", high = "40 lb"', 'low = "37 lb", high = "40 lb"')
    _, html = short(bench)
    words = part(html, "Anti-torque cable, left pedal")
    assert "No longer stands as saved" in words
    assert (
        "Limits changed: [cables.pedal_left.limits] tension was low 30 lb, high 40 lb (demo manual 7-12), now low 37"
        in words
    )
    assert "Verdict as saved: in limits" in words
    assert "30 lbf to 40 lbf" in words, "the limit as it stood"
    assert "in limits as saved, no longer stands" in part(html, "Contents")
    assert "in limits as saved, no longer stands, today too close to call" in part(html, "Contents")
    assert "of all these, no longer standing as saved 1" in part(html, "Demo two-seater")
    assert "Anti-torque cable, left pedal : today too close to call" in part(html, "Demo two-seater")
    sentences = re.sub(r" ([.;])", r"\1", words)
    assert "Today's verdict of the same readings: too close to call." in sentences
    assert "Sign-off. Verdict as saved: in limits; it no longer stands, today too close to call." in sentences


def test_readings_changed_since_saved_are_told_and_not_shown(bench: Bench) -> None:
    bench.save("pedal_left_tension")
    bench.change("27.5; 28; 27.5", "31.25; 31.5; 31", "readings.toml")
    _, html = short(bench)
    assert "Readings changed since saved" in part(html, "Anti-torque cable, left pedal")
    assert "31.25" not in html


def test_an_empty_record_shows_nothing_as_proved(bench: Bench) -> None:
    dossier, html = short(bench)
    assert dossier.checks == 0
    assert dossier.head == ""
    assert len(dossier.not_saved) == len(bench.folder.checks)
    words = said(html)
    assert "none: the record is empty" in words
    assert "in limits 0" in words
    assert "Worked calculation" not in words


def test_an_altered_entry_is_not_shown(bench: Bench) -> None:
    bench.save("hover_today")
    bench.save("pedal_left_tension")
    with sqlite3.connect(bench.record.path) as connection:
        for (name,) in connection.execute("SELECT name FROM sqlite_master WHERE type = 'trigger'").fetchall():
            connection.execute(f"DROP TRIGGER {name}")
        connection.execute("UPDATE entry SET work = replace(work, '27.5; 28; 27.5', '29.5; 28; 27.5') WHERE number = 2")
    connection.close()
    dossier, html = short(bench)
    assert any("entry 2 was altered" in fault for fault in dossier.faults)
    assert "The record is not as it was saved" in part(html, "Demo two-seater")
    words = part(html, "pedal_left_tension")
    assert "Entry 2 was altered after it was saved" in words
    assert "29.5" not in words
    assert "Verdict as saved" in part(html, "Hover, with two aboard")


def test_where_it_goes(bench: Bench, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    bench.save("pedal_left_tension")
    assert short(bench)[0].page == bench.path / "dossier.html"
    other = tmp_path / "other"
    other.mkdir()
    assert short(bench, out=other)[0].page == other / "dossier.html"
    assert short(bench, out=other / "for inspector.pdf")[0].page == other / "for inspector.html"
    with pytest.raises(DossierError, match="there is no folder"):
        short(bench, out=tmp_path / "nowhere" / "x")
    monkeypatch.chdir(other)
    assert write_dossier(demo_folder(), pdf=False).page == other / "dossier.html"
    assert not (demo_folder() / "dossier.html").exists()


def test_a_place_that_cannot_be_written_is_told_and_the_old_one_stays(bench: Bench, tmp_path: Path) -> None:
    out = tmp_path / "out"
    out.mkdir()
    (out / "dossier.html").mkdir()
    with pytest.raises(DossierError, match="cannot be written"):
        short(bench, out=out)
    assert os.listdir(out) == ["dossier.html"]


def test_faults_of_the_aircraft_file_are_told_with_their_line(bench: Bench) -> None:
    bench.change('radius = "11 ft 8 in"', 'radius = "12 lb"')
    with pytest.raises(AircraftFileError, match=r"aircraft.toml line \d+"):
        short(bench)


def test_metric_display_takes_a4(bench: Bench) -> None:
    bench.change('display = "us"', 'display = "metric"')
    bench.save("pedal_left_tension")
    dossier = write_dossier(bench.folder, now=NOW)
    assert dossier.pdf is not None
    import pypdf

    assert round(float(pypdf.PdfReader(dossier.pdf).pages[0].mediabox.width)) == 595
