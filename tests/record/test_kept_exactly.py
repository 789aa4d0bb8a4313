"""The record keeps each reading as it was typed, to the letter, and its value to the last bit; both come back so."""

from pathlib import Path

import pytest

from rotorkit.judging.limits import Limit
from rotorkit.quantities import Length, Mass, Ratio, RotationRate, Temperature, display, read
from rotorkit.record import Record, export_lines, import_lines, recheck
from rotorkit.record.dumps import limit_dump, limit_restored
from tests.record.bench import TODAY, Bench

# what an echo rounds or respells, by the field of the hover margin
TYPED = {
    "gross_weight": ["1,380 lb 5 oz", "1 380.123456789012 lb ± 1/3 lb", "625.7 kg"],
    "elevation": ["1' 1\"", "1'-1 1/3\"", "12 ft, 6 1/64 in", "1234.56789012345 ft"],
    "temperature": ["61.123456789012 °F ± 1/3 °F", "16.1 degrees Celsius", "289.15 K"],
    "humidity": ["0.551234567890123", "55 % ± 3 %", "55 ± 3 %", "1:3"],
    "rotor_speed": ["499 2/3 rpm", "8.3333333333 rev/s"],
}
KINDS_OF = {
    "gross_weight": Mass, "elevation": Length, "temperature": Temperature, "humidity": Ratio,
    "rotor_speed": RotationRate,
}  # fmt: skip
BY_HAND = {"55 ± 3 %": "55 % ± 3 %"}
"""What only the field's bounds settle, written so that it needs no field."""


@pytest.mark.parametrize(("field", "text"), [(field, text) for field, texts in TYPED.items() for text in texts])
def test_what_is_typed_is_kept_to_the_letter_and_its_value_to_the_last_bit(
    bench: Bench, tmp_path: Path, field: str, text: str
) -> None:
    bench.save("hover_today", {field: text})
    export_lines(bench.record, tmp_path / "out.jsonl")
    (tmp_path / "there").mkdir()
    there = Record(tmp_path / "there")
    import_lines(there, tmp_path / "out.jsonl")
    exact = read(BY_HAND.get(text, text), KINDS_OF[field]).si
    for record in (Record(bench.path), there):
        entry = record.entry(1)
        assert entry.readings[field] == text
        (kept,) = [one for one in entry.work["understood"] if one["path"] == field]
        assert kept["typed"] == text
        assert kept["values"] == [exact]
        # the echo is for the eye, and promises five parts in 10^10
        assert read(kept["understood"], KINDS_OF[field]).si == pytest.approx(exact, rel=5e-10)
    assert not recheck(bench.folder, bench.record, today=TODAY).rows


@pytest.mark.parametrize("written", ["5 %", "0.05"])
def test_a_limit_that_is_a_share_is_said_as_it_was_written(written: str) -> None:
    limit = Limit("margin", Ratio, low=written)
    again = limit_restored(limit_dump(limit))
    assert again is not None
    assert again.text == limit.text == f"at least {written}"


@pytest.mark.parametrize(
    ("low", "high", "us", "metric"),
    [
        ("0 in", None, "at least 0 in", "at least 0 mm"),
        (None, "2 in", "at most 2 in", "at most 50.8 mm"),
        ("0 mm", "0 mm", "0 in to 0 in", "0 mm to 0 mm"),
    ],
)
def test_a_limit_without_a_unit_of_its_own_comes_back_in_the_one_that_it_was_written_in(
    low: str | None, high: str | None, us: str, metric: str
) -> None:
    limit = Limit("clearance", Length, low, high)
    again = limit_restored(limit_dump(limit))
    assert again is not None
    for system, said in (("us", us), ("metric", metric)):
        with display(system):
            assert again.text == limit.text == said


def test_limits_are_said_in_the_aircraft_s_units_whoever_saves(bench: Bench) -> None:
    """From a program that never chose a display system too: figure and limit stand beside each other."""
    file = bench.path / "aircraft.toml"
    file.write_text(file.read_text("utf-8").replace('display = "us"', 'display = "metric"'), "utf-8")
    (tension,) = [one for one in bench.save().work["outcome"]["findings"] if one["limit"]]
    assert tension["text"].endswith(" N")
    assert tension["limit"]["text"] == "133.4 N to 177.9 N"
