"""Two windows write the aircraft file at once: what each wrote is there, and the later of two is told."""

import os
from pathlib import Path

import pytest

from rotorkit.aircraft import AircraftFileError, load_aircraft, set_values
from rotorkit.aircraft.file import put_back, text_of

WRITERS, EACH = 3, 4
pytestmark = pytest.mark.skipif(not hasattr(os, "fork"), reason="writers are forked")


@pytest.fixture
def file(tmp_path: Path) -> Path:
    found = tmp_path / "aircraft.toml"
    found.write_text('# my own\n[aircraft]\nname = "Mine"  # as painted\n', encoding="utf-8")
    load_aircraft(found)
    return found


def all_at_once(write: object) -> list[int]:
    """What each of some writers, in a process of its own, ended with; all begin when the last is ready."""
    begin, go = os.pipe()
    children = []
    for writer in range(WRITERS):
        child = os.fork()
        if child == 0:
            code = 9
            try:
                os.close(go)
                os.read(begin, 1)  # until the other end is closed
                code = write(writer)  # type: ignore[operator]
            finally:
                os._exit(code)
        children.append(child)
    os.close(begin)
    os.close(go)
    return [os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]) for child in children]


def test_nothing_of_several_is_lost(file: Path) -> None:
    def write(writer: int) -> int:
        for number in range(EACH):
            set_values(file, {f"instruments.of_{writer}_{number}.title": f"Instrument {number} of {writer}"})
        return 0

    assert all_at_once(write) == [0] * WRITERS
    there = load_aircraft(file).instruments
    assert sorted(there) == [f"of_{writer}_{number}" for writer in range(WRITERS) for number in range(EACH)]
    assert file.read_text("utf-8").startswith('# my own\n[aircraft]\nname = "Mine"  # as painted\n')


def test_of_those_who_saw_the_same_the_first_writes_and_the_others_are_told(file: Path) -> None:
    seen = text_of(file)

    def write(writer: int) -> int:
        try:
            set_values(file, {"aircraft.serial": f"no. {writer}"}, seen)
        except AircraftFileError as problem:
            return 1 if "changed meanwhile" in str(problem) else 2
        return 0

    assert sorted(all_at_once(write)) == [0, *[1] * (WRITERS - 1)]


def test_what_was_taken_out_is_put_back_only_where_nothing_was_changed_since(file: Path) -> None:
    before = text_of(file)
    set_values(file, {"aircraft.serial": "001"})
    after = text_of(file)
    set_values(file, {"aircraft.serial": "002"})
    assert not put_back(file, before, after)
    assert load_aircraft(file).aircraft.serial == "002"
    assert put_back(file, before, text_of(file))
    assert text_of(file) == before
