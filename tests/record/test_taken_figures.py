"""A figure that one check takes from another: offered with its source, kept with it, and held against it again."""

from __future__ import annotations

import math

import pytest
import tomlkit

from rotorkit.aircraft import Instrument
from rotorkit.folder.offers import Offer, figures_offered
from rotorkit.notebook.typed import taken, understood
from rotorkit.quantities import Length, Mass, QuantityError, read
from rotorkit.quantities.taken_from import TakenFrom, parted
from rotorkit.record import recheck
from rotorkit.record.rework import TAKEN
from rotorkit.record.stands import standings
from rotorkit.sheets.performance.cyclic_in_hover import CyclicInHover
from rotorkit.sheets.performance.hover_margin import HoverMargin
from rotorkit.sheets.weighing.weigh_in import WeighInSheet
from tests.record.bench import TODAY, Bench

EMPTY, EMPTY_SPREAD = 802.0, 2.8
"""The demo's empty weight; people and fuel below are its own check's."""
ENTRY = next(one.entry for one in HoverMargin.fields() if one.name == "gross_weight")


def offered(bench: Bench, system: str = "us") -> list[Offer]:
    return figures_offered(bench.folder, HoverMargin, standings(bench.folder, bench.record), system)


def stale(bench: Bench) -> tuple[list[str], list[str]]:
    """Of the hover check: why it no longer stands, and what else is told."""
    again = next(one for one in recheck(bench.folder, bench.record, today=TODAY).reworks
                 if one.entry.check == "hover_today")  # fmt: skip
    return [cause.sentence for cause in again.causes if cause.word == TAKEN], again.notes


def test_the_weight_of_a_loading_with_its_uncertainty_and_its_source(bench: Bench) -> None:
    bench.read("loaded_today", "hover_today")
    unsaved = {one.text for one in offered(bench)}
    assert any(text.endswith("[check loaded_today: gross_weight]") for text in unsaved)

    loading = bench.save("loaded_today")
    weights = [one for one in offered(bench) if one.path == "gross_weight"]  # beside them its centre of gravity
    start, end = weights
    assert (start.entry, end.entry, start.path) == (loading.number, loading.number, "gross_weight")
    assert start.text.endswith(f"[entry {loading.number}: gross_weight]")
    assert "1 June 2026" in start.sentence

    # by hand: 802.0 + 180 + 165 + 108 lb
    figure = ENTRY.read(start.text)
    assert figure.m_as("lb") == pytest.approx(EMPTY + 180 + 165 + 108, abs=0.06)
    assert ENTRY.read(end.text).m_as("lb") == pytest.approx(EMPTY + 180 + 165, abs=0.06)
    spread = float(figure.uncertainty.m_as("lb"))
    assert spread > math.hypot(EMPTY_SPREAD, 3.0) - 0.05  # at least what is known of empty weight and fuel
    assert figure.taken_from == TakenFrom(loading.number, "", "gross_weight")

    metric = ENTRY.read(offered(bench, "metric")[0].text)
    assert metric.m_as("lb") == pytest.approx(figure.m_as("lb"), abs=0.05 * 2.2046 + 0.05)  # half of each last digit
    assert str(metric.value.units) == "kilogram"

    # worked: its ± is that of the loading, and not the scales' once more, and the budget names the source
    hover = bench.save("hover_today", {"gross_weight": start.text})
    assert hover.readings["gross_weight"] == start.text
    origins = {origin.label: part for origin, part in hover.outcome.finding("power_needed").measured.components.items()}
    assert f"gross weight (from entry {loading.number})" in origins
    assert not any("Three floor scales" in label for label in origins)
    assert stale(bench) == ([], [])


def test_a_correction_moves_what_was_taken_from_it_and_a_new_flight_only_tells(bench: Bench) -> None:
    bench.read("loaded_today", "hover_today")
    loading = bench.save("loaded_today")
    bench.save("hover_today", {"gross_weight": offered(bench)[0].text})

    rows = [dict(row) for row in bench.folder.check("loaded_today").readings["items"]]
    rows[0]["mass"] = "200 lb"
    bench.save("loaded_today", {"items": rows})  # another flight
    causes, notes = stale(bench)
    assert not causes
    assert len(notes) == 1
    assert "done again since, as entry 3" in notes[0]
    assert "1,275.0" in notes[0]

    bench.save("loaded_today", {"items": rows}, replaces=loading.number, why="the pilot weighed himself dressed")
    (cause,), _ = stale(bench)
    assert f"entry {loading.number}, corrected since by entry 4" in cause


def test_what_is_not_in_the_entry_is_told(bench: Bench) -> None:
    bench.read("loaded_today", "hover_today")
    bench.save("loaded_today")
    right = offered(bench)[0].text
    for text, told in (
        (right.replace("1,255.0", "1,205.0"), "which gives 1,255.0"),
        (right.replace("entry 1", "entry 77"), "which the record does not have"),
        (right.replace("gross_weight", "arm_start"), "no such figure"),
        (right.replace("± 4", "± 1"), "which gives"),
    ):
        assert text != right
        bench.save("hover_today", {"gross_weight": text})
        (cause,), _ = stale(bench)
        assert told in cause, text


@pytest.mark.parametrize("text", ["12 lb [entry]", "12 lb [entry x: key]", "12 lb [note]", "[entry 3: key]", "12 lb ]"])
def test_other_brackets_are_no_source(text: str) -> None:
    body, source = parted(text)
    assert source is None or not body.strip()
    with pytest.raises(QuantityError):
        ENTRY.read(text)


def test_the_form_keeps_it_letter_for_letter_and_says_where_it_is_from() -> None:
    text = "1,255.0 ± 4.2 lb [entry 12: gross_weight]"
    found = taken(text, ENTRY, "us")
    assert found.given == text
    assert found.reading is not None
    assert understood(found.reading, ENTRY, "us").endswith("from entry 12")
    bare = taken("1255.0 ± 4.2 [entry 12: gross_weight]", ENTRY, "us")
    assert ENTRY.read(bare.given).taken_from == TakenFrom(12, "", "gross_weight")
    assert ENTRY.read(bare.given).m_as("lb") == 1255.0
    with pytest.raises(QuantityError):
        read(text, Mass)  # a formula's argument has no source


def test_a_reading_with_its_own_spread_keeps_what_the_instrument_has_in_common(bench: Bench) -> None:
    aircraft = bench.folder.aircraft.model_copy(deep=True)
    thermometer = Instrument(title="thermometer", measures="temperature", uncertainty="2 °F", shared="1.5 °F")
    aircraft.instruments["thermometer"] = thermometer
    readings = {**bench.folder.check("hover_today").readings, "thermometer": "thermometer"}
    for source in ("", " [entry 3: temperature]"):
        sheet = HoverMargin.from_readings({**readings, "temperature": f"61 ± 1 °F{source}"})
        found = sheet.measured("temperature", "temperature", aircraft)
        assert float(found.expanded_si) * 1.8 == pytest.approx(math.hypot(1, 1.5)), source


def test_a_loading_and_its_worst_ones_are_rows_of_the_cyclic_left(bench: Bench) -> None:
    """Each with weight and both arms and their ±, by its entry; held against that entry again."""
    bench.read("loaded_today", "cyclic_rigged", "hover_cyclic")
    loading, rigged = bench.save("loaded_today"), bench.save("cyclic_rigged")
    offers = figures_offered(bench.folder, CyclicInHover, standings(bench.folder, bench.record))
    (rows,) = [one for one in offers if one.path == "loadings"]
    assert rows.entry == loading.number
    assert [dict(row)["loading"] for row in rows.rows] == [
        "At start", "At the end", "Furthest forward", "Furthest aft", "Furthest left", "Furthest right"
    ]  # fmt: skip
    forward = dict(rows.rows[2])
    # by hand, both seats full and no fuel: (802 · 106.84 + 460 · 79) / 1262
    assert read(parted(forward["arm"])[0], Length).m_as("in") == pytest.approx(
        (802 * 106.84 + 460 * 79) / 1262, abs=0.006
    )
    assert forward["weight"] == f"1,262.0 ± 2.8 lb [entry {loading.number}: worst.forward.weight]"
    assert forward["lateral_arm"].endswith("worst.forward.lateral_arm]")
    assert {one.path: one.entry for one in offers if one.path in ("forward", "aft", "left", "right")} == dict.fromkeys(
        ("forward", "aft", "left", "right"), rigged.number
    )
    taken_over = {one.path: one.text for one in offers if one.path in ("forward", "aft", "left", "right")}
    saved = bench.save("hover_cyclic", {**taken_over, "loadings": [dict(row) for row in rows.rows]})  # type: ignore[dict-item]
    assert saved.outcome.word == "too close to call"

    def causes() -> list[str]:
        again = next(one for one in recheck(bench.folder, bench.record, today=TODAY).reworks
                     if one.entry.check == "hover_cyclic")  # fmt: skip
        return [cause.sentence for cause in again.causes if cause.word == TAKEN]

    assert causes() == []
    items = [dict(row) for row in bench.folder.check("loaded_today").readings["items"]]
    items[0]["mass"] = "220 lb"
    bench.save("loaded_today", {"items": items}, replaces=loading.number, why="read wrongly")  # type: ignore[dict-item]
    assert any("At start" in said or "Gross weight was taken" in said for said in causes())


def test_a_weighing_is_combined_with_those_of_the_record(bench: Bench) -> None:
    """Another check of the sheet takes each saved weighing, alone, by its entry; a wrong ± is seen at a recheck."""
    bench.read("weighed")
    first = bench.save("weighed")
    readings = bench.folder.check("weighed").readings
    file = bench.path / "readings.toml"
    doubled = tomlkit.parse(file.read_text(encoding="utf-8"))
    doubled["weighed_again"] = {**readings, "title": "Second weighing", "sheet": "weigh_in"}
    file.write_text(tomlkit.dumps(doubled), encoding="utf-8")
    every = standings(bench.folder, bench.record)
    offers = [one for one in figures_offered(bench.folder, WeighInSheet, {"weighed": every["weighed"]})
              if one.path == "others"]  # fmt: skip
    (offer,) = offers
    row = dict(offer.rows[0])
    assert offer.adds
    assert row["weighing"] == "First weighing, three scales of 1 June 2026"
    assert row["weight"].endswith(f"[entry {first.number}: empty_weight]")
    second = bench.save("weighed_again", {"others": [row]})  # type: ignore[dict-item]
    by_first, both = (one.outcome.finding("empty_weight").measured for one in (first, second))
    assert float(both.si) == pytest.approx(float(by_first.si), abs=0.05)
    assert float(both.expanded_si) == pytest.approx(float(by_first.expanded_si), rel=0.02), "the same scales again"
    assert not [one for one in recheck(bench.folder, bench.record, today=TODAY).reworks if one.stale]
    # and who takes this one gets what it came to alone, so that none counts twice
    again = figures_offered(
        bench.folder, WeighInSheet, {"weighed_again": standings(bench.folder, bench.record)["weighed_again"]}
    )
    (alone,) = [dict(one.rows[0])["weight"] for one in again if one.path == "others"]
    assert alone.endswith(f"[entry {second.number}: alone.weight]")


def test_a_loading_no_longer_stands_where_the_aircraft_was_weighed_again_and_the_file_was_not_written(
    bench: Bench,
) -> None:
    """The file's 802.0 ± 2.8 lb: the first weighing's 801.8 ± 2.8 is no other, 24 lb more on one scale are. The file,
    once it says so, puts it right."""
    bench.read("weighed", "equipment_since", "loaded_today", "hover_today")

    def causes(check: str = "loaded_today") -> list[str]:
        again = next(one for one in recheck(bench.folder, bench.record, today=TODAY).reworks
                     if one.entry.check == check)  # fmt: skip
        return [cause.sentence for cause in again.causes]

    bench.save("loaded_today")
    bench.save("weighed")
    weight = next(one.text for one in offered(bench) if one.path == "gross_weight")
    bench.save("hover_today", {"gross_weight": weight})
    assert causes() == causes("hover_today") == []
    points = [dict(row) for row in bench.folder.check("weighed").readings["points"]]
    points[0]["reading"] = "189.5; 190.0; 190.0 lb"
    again = bench.save("weighed", {"points": points})  # type: ignore[dict-item]
    assert again.outcome.finding("empty_weight").measured.value.m_as("lb") == pytest.approx(825.8, abs=0.1)
    told = causes()
    assert any(one.startswith("[loading] empty_weight is 802 lb ± 2.8 lb, and entry 4,") for one in told), told
    assert all("write that into the aircraft file" in one for one in told)
    assert causes("hover_today") == told  # its weight was taken from that loading
    assert "empty_weight 802 lb ± 2.8 lb" in again.outcome.to_do  # the weighing itself says so too
    weight, arm, side = (again.outcome.finding(f"empty_{name}").said for name in ("weight", "arm", "lateral_arm"))
    for old, new in (("802.0 ± 2.8 lb", weight), ("106.84 ± 0.16 in", arm), ("-0.11 ± 0.16 in", side)):
        bench.change(f'= "{old}"', f'= "{new}"')
    bench.save("loaded_today")
    assert causes() == []
