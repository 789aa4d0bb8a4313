"""The weight-and-balance report: what the record holds of weighing, ledger and loadings, and nothing else."""

from __future__ import annotations

from pathlib import Path

import pytest
from typer.testing import CliRunner

from rotorkit.cli import app
from rotorkit.dossier import DossierError, WeightReport, write_weight_and_balance
from rotorkit.quantities import say
from rotorkit.record import Record
from tests.dossier.conftest import NOW
from tests.dossier.test_dossier import part, said
from tests.record.bench import Bench
from tests.record.test_verify import tamper

CHECKS = ("weighed", "equipment_since", "loaded_today")


@pytest.fixture
def ready(bench: Bench) -> Bench:
    bench.read(*CHECKS)
    return bench


def report(bench: Bench) -> tuple[WeightReport, str]:
    made = write_weight_and_balance(bench.folder, pdf=False, now=NOW)
    return made, made.page.read_text("utf-8")


def test_the_whole_report(ready: Bench) -> None:
    entries = ready.save_all()
    made, html = report(ready)
    assert made.shown == (1, 2, 3)
    assert made.lacking == ()
    empty = part(html, "Empty aircraft")
    # the demo's weighing, and by hand the ledger: 801.8 + 3.6 - 3.4 lb; (801.8 · 106.94 + 3.6 · 84 - 3.4 · 62
    # + 12.6 · (116 - 128)) / 802 = 106.84 in
    for told in ("801.8 ± 2.8 lb", "802.0 ± 2.8 lb", "106.84 ± 0.16 in", "The aircraft file says the same"):
        assert told in empty
    moment = 801.8 * 106.94 + 3.6 * 84 - 3.4 * 62 + 12.6 * (116 - 128)
    assert f"{round(moment, -1):,.0f} ±" in empty  # to the tens, as its ± of some hundreds has it
    # what was typed: of the weighing, of what came off, of each change
    weighing = part(html, "Weighing and changes since")
    for typed in (
        "330.5; 331.0; 330.5 lb",
        "fuel that would not drain",
        "test intercom",
        "2026-05-09",
        "116.0 ± 0.5 in",
    ):
        assert typed in weighing
    assert "fuel as listed above" in weighing
    assert "106.84 in ± 0.16 in" in empty  # as the aircraft file has it
    limits = part(html, "Limits")
    assert "Maximum weight: 1,310 lb" in limits
    assert "101.5 in at 1,310 lb" in limits
    assert "90 lb to 230 lb, or empty" in limits
    flight = part(html, "Two aboard, afternoon")
    assert "1,255.0 ± 4.3 lb at most 1,310 lb" in flight
    assert "at least 0 in" in flight
    assert "Furthest forward up to the maximum weight" in flight
    assert html.count("<figure>") == 4  # two envelopes with the path, from the side, from above
    for title in ("Lengthwise", "To the side", "Loads seen from the side", "Loads seen from above"):
        assert title in html
    signed = part(html, "Signed")
    assert "Name Licence no. Date Signature Builder Inspector" in signed
    for entry in entries:
        assert entry.hash in signed
    assert "not whole" not in said(html)


def test_what_is_lacking_or_no_longer_stands_leads(ready: Bench) -> None:
    made, html = report(ready)
    assert made.lacking == ("no weighing", "no loading")
    assert "This report is incomplete" in html

    ready.save("weighed")
    made, html = report(ready)
    assert made.lacking == ("no loading",)
    assert "No ledger of equipment is saved" in html
    assert "is not that of entry 1: empty_weight, empty_arm, empty_lateral_arm" in said(
        html
    )  # the ledger is in the file

    ready.save("equipment_since", {"weighed_weight": "795.0 ± 2.8 lb"})
    ready.save("loaded_today")
    ready.change('empty_arm = "106.84 ± 0.16 in"', 'empty_arm = "106.4 ± 0.16 in"')
    made, html = report(ready)
    words = said(html)
    assert "starts from a different weighing from the one shown here: weight 795.0 ± 2.8 lb" in words
    assert "No longer stands as saved" in words
    assert "[loading] empty_arm was 106.84 ± 0.16 in, now 106.4 ± 0.16 in" in words


def test_an_altered_entry_is_not_shown(ready: Bench) -> None:
    ready.save_all()
    tamper(ready.record.path, "UPDATE entry SET work = replace(work, '330.5; 331.0', '300.5; 301.0') WHERE number = 1")
    made, html = report(ready)
    assert made.shown == (2, 3)
    assert made.faults
    assert "The record is not as it was saved" in html
    assert "300.5; 301.0" not in html


def test_in_metric_units_the_aircraft_file_s_figures_too(ready: Bench) -> None:
    """802 lb and 106.84 in are 363.78 kg and 2713.7 mm; what was typed stays."""
    ready.change('display = "us"', 'display = "metric"')
    ready.save_all()
    _, html = report(ready)
    empty = part(html, "Empty aircraft")
    assert empty.count("363.8 ± 1.3 kg") == empty.count("2,713.7 ± 4.1 mm") == 2
    assert "330.5; 331.0; 330.5 lb" in part(html, "Weighing and changes since")
    limits = part(html, "Limits")
    assert "Maximum weight: 594.21 kg" in limits
    assert "2,578.1 mm at 594.21 kg" in limits  # 101.5 in at 1,310 lb


def test_the_command(ready: Bench, tmp_path: Path) -> None:
    ready.save_all()
    out = tmp_path / "papers"
    out.mkdir()
    told = CliRunner().invoke(app, ["weight-and-balance", str(ready.path), "--out", str(out), "--no-pdf"])
    assert told.exit_code == 0, told.output
    assert "It shows entries 1, 2, 3." in told.output
    assert (out / "weight-and-balance.html").is_file()
    assert Record(ready.path).head()[0] == 3  # nothing was written to the record
    with pytest.raises(DossierError, match="no folder"):
        write_weight_and_balance(ready.folder, tmp_path / "nowhere" / "x", pdf=False)


def test_other_weighings_that_were_combined_stand_in_it(ready: Bench) -> None:
    other = {"weighing": "the club's scales", "scales": "others", "weight": "803.0 ± 2.0 lb", "arm": "106.9 ± 0.2 in",
             "lateral_arm": "-0.1 ± 0.2 in"}  # fmt: skip
    saved = ready.save("weighed", {"others": [other]})  # type: ignore[dict-item]
    _, html = report(ready)
    empty = part(html, "Weighing and changes since")
    alone = saved.outcome.finding("alone.weight").measured
    both = saved.outcome.finding("empty_weight").measured
    for told in ("Combined, each weighted by its ±", "the club's scales", "803.0 ± 2.0 lb", say(alone)):
        assert told in empty
    assert say(both) in part(html, "Empty aircraft")
    assert float(both.expanded_si) < float(alone.expanded_si)


def test_an_empty_weight_whose_limit_was_lowered_is_not_in_limits_alone(ready: Bench) -> None:
    """By hand: 801.8 ± 2.8 lb is inside 825 lb, and 800 lb lies within the ±."""
    ready.save("weighed")
    _, html = report(ready)
    assert "801.8 ± 2.8 lb , in limits" in part(html, "Empty aircraft")
    assert "as saved" not in part(html, "Empty aircraft")
    ready.change('empty_weight = { low = "780 lb", high = "825 lb"', 'empty_weight = { low = "780 lb", high = "800 lb"')
    _, html = report(ready)
    assert "801.8 ± 2.8 lb , in limits as saved, today too close to call" in part(html, "Empty aircraft")


def test_a_loading_outside_the_envelope_leads_the_first_page(ready: Bench) -> None:
    """Both sides: in limits nothing leads. By hand, the demo's 99.11 in at 1,255 lb moves by 5.84 · 802 / 1,255 = 3.73
    in where the empty aircraft's lies 5.84 in further forward: 95.38 in, and the limit is 96."""
    ready.save("loaded_today")
    _, html = report(ready)
    assert "Outside the manual's limits" not in html
    assert "in limits" in part(html, "Loadings")
    ready.change('empty_arm = "106.84 ± 0.16 in"', 'empty_arm = "101.0 ± 0.16 in"')
    _, html = report(ready)
    front = said(html).split("Empty aircraft")[0]
    assert "Outside the manual's limits, or not surely inside: do not fly it like this" in front
    assert "Entry 1, Two aboard, afternoon: out of limits. Lengthwise: the loading is outside the envelope" in front
    for where in ("Loadings", "Two aboard, afternoon"):  # as saved it was in limits: neither says so alone
        words = part(html, where)
        assert "in limits as saved" in words
        assert "no longer stands" in words.lower()
        assert "out of limits" in words
    ready.save("loaded_today")
    _, html = report(ready)
    assert "out of limits" in part(html, "Loadings")
    assert "Outside the manual's limits" in said(html).split("Empty aircraft")[0]


def test_what_the_papers_hold_stands_before_each_loading(ready: Bench) -> None:
    ready.save_all()
    html = report(ready)[1]
    places = [html.index(f">{title}<") for title in ("Empty aircraft", "Loadings", "Limits", "Signed")]
    assert places == sorted(places)
    assert places[-1] < html.rindex("Aboard, as typed")
