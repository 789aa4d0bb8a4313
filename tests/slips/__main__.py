"""``make slips``: makes each deliberate slip in turn, runs the tests in reach, and tells which were caught.

A slip is made in the memory of one process that dies with it; the files of the package are not touched. That the tests
which caught a slip pass without it is checked at the end.
"""

from __future__ import annotations

import argparse
import contextlib
import importlib
import multiprocessing
import os
import sys
import tempfile
import time
from collections.abc import Iterator
from dataclasses import dataclass, field
from importlib.abc import MetaPathFinder
from importlib.machinery import SourceFileLoader
from importlib.util import spec_from_file_location
from pathlib import Path
from typing import Any

import pytest
from _pytest.config import default_plugins

try:
    import resource
except ImportError:  # Windows
    resource = None  # type: ignore[assignment]

from tests.test_layers import FLOOR, room_of

from .slips import PACKAGE, Slip, SlipError, read_slips, tests_known, write_tests_known

SECONDS = 300
"""After so much of the processor's time a slip counts as caught: the tests run for ever."""
NO_MODULE = 99
LONGEST = 3600
"""After so many seconds in all a run is given up, and nothing is known of the slip."""
LIGHT = ["--assert=plain", *(f"-pno:{name}" for name in ("anyio", "threadexception", "unraisableexception"))]
"""Only pass or fail is wanted, so that rewriting asserts and looking for what nobody waited for is left out."""
FORKED = multiprocessing.get_context("fork")


class _Slipped(SourceFileLoader):
    source = ""

    def get_code(self, fullname: str) -> Any:
        return compile(self.source, self.path, "exec", dont_inherit=True)


class _Finder(MetaPathFinder):
    """Finds one module with its slip made."""

    def __init__(self, path: Path, source: str) -> None:
        parts = path.relative_to(PACKAGE.parent).with_suffix("").parts
        self.name = ".".join(parts[:-1] if parts[-1] == "__init__" else parts)
        self.path, self.source = path, source

    def find_spec(self, fullname: str, path: Any, target: Any = None) -> Any:
        if fullname != self.name:
            return None
        loader = _Slipped(fullname, str(self.path))
        loader.source = self.source
        return spec_from_file_location(fullname, self.path, loader=loader)


@dataclass(eq=False)
class _Watch:
    """Notes the first test that failed."""

    failed: list[str] = field(default_factory=list)

    def pytest_runtest_logreport(self, report: Any) -> None:
        if report.failed:
            self.failed.append(report.nodeid)

    def pytest_collectreport(self, report: Any) -> None:
        if report.failed:
            self.failed.append(report.nodeid)


def _run(tests: list[str], known: str, finder: _Finder | None, log: str, answer: Any) -> None:
    """In a process of its own, with the slip made: the test that caught it last, and if that does not, all in reach."""
    with open(log, "wb") as out:
        for stream in (1, 2):
            os.dup2(out.fileno(), stream)
    if resource is not None:
        resource.setrlimit(resource.RLIMIT_CPU, (SECONDS, SECONDS + 5))
    watch = _Watch()
    if finder is not None and finder.name in sys.modules:
        answer.send((NO_MODULE, ["the module was loaded before the slip was made: a room below imports it"]))
        os._exit(0)
    if finder is not None:
        sys.meta_path.insert(0, finder)
        try:
            importlib.import_module(finder.name)
        except Exception as problem:
            answer.send((NO_MODULE, [f"the module does not load: {problem}"]))
            os._exit(0)
    first = ["-x"] if finder is not None else []
    options = [
        "-q",
        "-p",
        "no:nbval",
        "-p",
        "no:cacheprovider",
        "-p",
        "no:xdist",
        *LIGHT,
        "--tb=short",
        "--hypothesis-seed=0",
    ]
    code = pytest.main([known, *first, *options], plugins=[watch]) if known else 0
    if code != 1:
        watch.failed.clear()
        code = pytest.main([*tests, *first, *options], plugins=[watch])
    answer.send((int(code), watch.failed))
    answer.close()
    sys.stdout.flush()
    os._exit(0)


@dataclass
class _Job:
    slip: Slip
    process: Any
    answer: Any
    log: str
    began: float


@dataclass
class Result:
    """What became of one slip."""

    slip: Slip
    caught: bool
    by: str
    seconds: float
    log: str = ""


def _start(slip: Slip, known: str, folder: Path, number: int) -> _Job:
    path, source = slip.place()
    finder = _Finder(path, source)
    tests = [str(path), *(str(one) for one in slip.test_files())]
    ours, theirs = FORKED.Pipe(duplex=False)
    log = str(folder / f"{number}.log")
    process = FORKED.Process(target=_run, args=(tests, known, finder, log, theirs), daemon=True)
    process.start()
    theirs.close()
    return _Job(slip, process, ours, log, time.monotonic())


def _ended(job: _Job) -> Result | None:
    seconds = time.monotonic() - job.began
    if job.answer.poll():
        with contextlib.suppress(EOFError):
            code, failed = job.answer.recv()
            job.process.join()
            if code in (0, 1, 2):
                return Result(job.slip, bool(code), failed[0] if failed else "", seconds, job.log)
            return Result(
                job.slip, False, failed[0] if code == NO_MODULE else f"pytest ended with {code}", seconds, job.log
            )
        job.process.join()
        return Result(job.slip, True, "the tests run for ever, or the process died", seconds, job.log)
    if seconds > LONGEST:
        job.process.kill()
        return Result(job.slip, False, f"given up after {LONGEST} s", seconds, job.log)
    return None


def _results(slips: list[Slip], known: dict[tuple[str, str], str], folder: Path, at_once: int) -> Iterator[Result]:
    waiting, running = sorted(enumerate(slips), key=lambda one: _floor(one[1].place()[0])), list[_Job]()
    while waiting or running:
        while waiting and len(running) < at_once:
            number, slip = waiting.pop(0)
            _warm_below(_floor(slip.place()[0]))
            running.append(_start(slip, known.get((slip.file, slip.name), ""), folder, number))
        time.sleep(0.05)
        for job in list(running):
            result = _ended(job)
            if result is not None:
                running.remove(job)
                yield result


def _pass_without(results: list[Result], folder: Path) -> list[str]:
    """The tests that caught something and fail without any slip too."""
    names = sorted({result.by for result in results if result.caught and ".py" in result.by})
    if not names:
        return []
    ours, theirs = FORKED.Pipe(duplex=False)
    process = FORKED.Process(target=_run, args=(names, "", None, str(folder / "without.log"), theirs))
    process.start()
    theirs.close()
    code, failed = ours.recv()
    process.join()
    return failed or ([f"pytest ended with {code}"] if code else [])


def table(results: list[Result]) -> str:
    """Layer, slips, caught, survivors by name: as DEVELOPERS.md shows it."""
    lines = ["| layer | slips | caught | | survivors |", "| --- | --- | --- | --- | --- |"]
    told = [result for result in results if not result.slip.equivalent]
    layers = list(dict.fromkeys(result.slip.layer for result in results))
    for layer in [*layers, "all"]:
        here = [result for result in told if layer in (result.slip.layer, "all")]
        lost = [f"{result.slip.file}: {result.slip.name}" for result in here if not result.caught]
        caught = len(here) - len(lost)
        share = f"{100 * caught / len(here):.0f} %" if here else ""
        lines.append(f"| {layer} | {len(here)} | {caught} | {share} | {'; '.join(lost) if layer != 'all' else ''} |")
    return "\n".join(lines)


def _warm() -> None:
    """What every process needs and no slip touches is loaded once."""
    beside = (
        "_hypothesis_pytestplugin",
        "hypothesis",
        "numpy",
        "pint",
        "pydantic",
        "scipy.optimize",
        "sympy",
        "tomlkit",
    )
    for name in (*beside, *(f"_pytest.{one}" for one in default_plugins)):
        importlib.import_module(name)


def _floor(path: Path) -> float:
    return FLOOR[room_of(path)]


def _warm_below(floor: float) -> None:
    """Loads the rooms below a floor. They know nothing of the rooms above, as the test of the layers sees to, so that
    what is loaded here holds no slip that is made later: slips are made from the lowest floor upwards.
    """
    for path in sorted(PACKAGE.rglob("*.py")):
        if path.parent != PACKAGE and _floor(path) < floor:
            name = _Finder(path, "").name
            if name not in sys.modules:
                importlib.import_module(name)


def main() -> int:
    """The command."""
    words = argparse.ArgumentParser(prog="make slips", description=__doc__.splitlines()[0])
    words.add_argument(
        "only", nargs="*", help="a layer, a part of a module's file name or of a slip's name; all without"
    )
    words.add_argument("-j", "--at-once", type=int, default=os.cpu_count() or 1)
    given = words.parse_args()
    started = time.monotonic()
    slips = read_slips()
    faults = []
    for slip in list(slips):
        try:
            slip.place()
            slip.test_files()
        except SlipError as fault:
            faults.append(str(fault))
            slips.remove(slip)
    if faults:
        print("Slips that do not fit the package as it is, and are left out:", *faults, sep="\n  ")
    if given.only:
        slips = [s for s in slips if any(w == s.layer or w in s.file or w in s.name for w in given.only)]
    _warm()
    folder = Path(tempfile.mkdtemp(prefix="slips-"))
    os.environ["HYPOTHESIS_STORAGE_DIRECTORY"] = str(folder / "examples")
    order = {id(slip): i for i, slip in enumerate(slips)}
    results = []
    known = tests_known()
    for result in _results([slip for slip in slips if not slip.equivalent], known, folder, given.at_once):
        results.append(result)
        mark = "caught  " if result.caught else "SURVIVED"
        slip = result.slip
        print(f"{mark} {result.seconds:5.1f} s  {slip.layer}: {slip.file}: {slip.name}  [{result.by}]", flush=True)
        if result.caught and "::" in result.by:
            known[slip.file, slip.name] = result.by
            write_tests_known(known)
    results.sort(key=lambda result: order[id(result.slip)])
    print()
    print(table(results))
    for slip in slips:
        if slip.equivalent:
            print(f"Not told apart by any test, and why: {slip.file}: {slip.name}: {slip.equivalent}")
    bad = _pass_without(results, folder)
    if bad:
        print("These tests fail without any slip too, so that what they caught does not count:", *bad, sep="\n  ")
    lost = [result for result in results if not result.caught]
    print(f"{len(results)} slips in {(time.monotonic() - started) / 60:.1f} minutes.")
    for result in lost:
        print(f"log of {result.slip.name}: {result.log}")
    return 2 if faults else 1 if bad or lost else 0


if __name__ == "__main__":
    sys.exit(main())
