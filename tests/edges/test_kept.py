"""What is kept between programs: sealed, thrown away where it is not whole, and never needed."""

import errno
import os
from pathlib import Path

import pytest

from rotorkit.edges import kept


@pytest.fixture
def cache(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setattr(kept.sys, "platform", "linux")
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path))
    return tmp_path / "rotorkit"


def work(folder: Path | None) -> str:
    """Kept in a file; as another program would, it believes what it finds."""
    if folder is None:
        return "worked"
    file = folder / "found.txt"
    if not file.exists():
        file.write_text("worked", "utf-8")
        return "worked"
    return f"kept: {file.read_text('utf-8')}"


@pytest.mark.skipif(os.name == "nt", reason="another folder there")
class TestKept:
    def test_it_is_worked_once(self, cache: Path) -> None:
        assert [kept.with_kept("units-1", work) for _ in range(3)] == ["worked", "kept: worked", "kept: worked"]
        assert [one.name for one in cache.iterdir()] == ["units-1"]  # nothing half made is left

    def test_what_is_damaged_or_foreign_is_worked_anew(self, cache: Path) -> None:
        for spoil in (
            lambda at: (at / "found.txt").write_text("anything", "utf-8"),
            lambda at: (at / "more.txt").write_text("", "utf-8"),
            lambda at: (at / kept.SEAL).write_text("{", "utf-8"),
            lambda at: (at / kept.SEAL).unlink(),
        ):
            kept.with_kept("units-1", work)
            spoil(cache / "units-1")
            assert kept.with_kept("units-1", work) == "worked"
            assert kept.with_kept("units-1", work) == "kept: worked"

    def test_what_cannot_be_read_is_worked_anew(self, cache: Path) -> None:
        kept.with_kept("units-1", work)

        def choosy(folder: Path | None) -> str:
            if folder is not None and (folder / "found.txt").exists():
                raise ValueError("of another version")
            return work(folder)

        assert kept.with_kept("units-1", choosy) == "worked"

    def test_nothing_is_kept_where_others_may_write(self, cache: Path) -> None:
        cache.mkdir()
        cache.chmod(0o777)
        assert kept.cache_folder() is None
        assert [kept.with_kept("units-1", work) for _ in range(2)] == ["worked", "worked"]
        kept.note("read", "a text")
        assert not kept.known("read", "a text")
        assert list(cache.iterdir()) == []

    def test_nothing_is_kept_where_there_is_no_such_folder(self, cache: Path) -> None:
        cache.write_text("a file in its place", "utf-8")
        assert kept.with_kept("units-1", work) == "worked"

    def test_where_the_drive_is_full_nothing_half_written_is_left(
        self, cache: Path, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        def full(*_: object) -> None:
            raise OSError(errno.ENOSPC, "no space left on device")

        kept.remember("outcomes", "a", "text")
        with monkeypatch.context() as drive:
            drive.setattr(kept.os, "replace", full)
            kept.remember("outcomes", "a", "another")
            kept.remember("outcomes", "b", "text")
        assert [kept.remembered("outcomes", of) for of in "ab"] == ["text", None]
        assert len(list((cache / "outcomes").iterdir())) == 1

    def test_the_oldest_goes_where_there_is_too_much(self, cache: Path, monkeypatch: pytest.MonkeyPatch) -> None:
        monkeypatch.setattr(kept, "MOST_REMEMBERED", 3)
        for i in range(5):
            kept.remember("outcomes", str(i), "text")
            for one in (cache / "outcomes").iterdir():
                os.utime(one, ns=(one.stat().st_mtime_ns - 10**9,) * 2)
        assert [kept.remembered("outcomes", str(i)) for i in range(5)] == [None, None, "text", "text", "text"]

    def test_what_is_noted_holds_of_that_text_alone(self, cache: Path, monkeypatch: pytest.MonkeyPatch) -> None:
        monkeypatch.setattr(kept, "MOST_NOTED", 20)
        kept.note("read", "a text")
        assert kept.known("read", "a text")
        assert not kept.known("read", "another")
        for i in range(kept.MOST_NOTED + 5):
            kept.note("read", f"text {i}")
        assert len(list((cache / "read").iterdir())) == kept.MOST_NOTED


def test_the_registry_from_what_was_kept_knows_the_same_units(cache: Path) -> None:
    from rotorkit.quantities import pint_inside

    fresh, again = pint_inside._new_registry(), pint_inside._new_registry()
    # both find the rest, such as a decimetre, when they are asked
    assert len(set(again._units) & set(fresh._units)) > 900
    for unit in ("ft", "lbf*in", "degF", "inHg", "slug", "rpm", "hp", "delta_degC"):
        assert (
            again.Quantity(1.0, unit).to_base_units().magnitude == fresh.Quantity(1.0, unit).to_base_units().magnitude
        )
        assert str(again.Quantity(1.0, unit).to_base_units().units) == str(
            fresh.Quantity(1.0, unit).to_base_units().units
        )
