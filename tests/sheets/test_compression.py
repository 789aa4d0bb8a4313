"""The compression sheet, by plain arithmetic apart from the library."""

import math
from typing import Any

import pytest

from rotorkit.judging.limits import IN_LIMITS, NO_LIMIT, OUT_OF_LIMITS, TOO_CLOSE, UNDONE
from rotorkit.sheets.base import Outcome, SheetError
from rotorkit.sheets.engine.compression import Compression
from tests.sheets.small import small_aircraft

LIMITS = {"loss": {"high": "25 %", "source": "test"}, "spread": {"high": "15 psi", "source": "test"}}


def readings(*pressures: float, **more: Any) -> dict[str, Any]:
    rows = [{"cylinder": str(i), "reading": f"{p} ± 1 psi"} for i, p in enumerate(pressures, 1)]
    base = {"bore": "4.375 ± 0.005 in", "orifice": "0.040 in", "supply": "80 ± 0.5 psi", "cylinders": str(len(rows))}
    return {**base, "rows": rows, **more}


def worked(given: dict[str, Any], **limits: Any) -> Outcome:
    return Compression.from_readings(given).work(small_aircraft(limits={"compression": limits or LIMITS}))


@pytest.mark.parametrize(
    ("pressure", "word"),
    # a loss of 25 % at 60 psi, known to hypot(1/80, 60 · 0.5/80²) = 1.33 %
    [(61.2, IN_LIMITS), (60.8, TOO_CLOSE), (59.2, TOO_CLOSE), (58.8, OUT_OF_LIMITS)],
)
def test_the_loss_from_both_sides(pressure: float, word: str) -> None:
    outcome = worked(readings(pressure, 70, 70, 70))
    found = outcome.finding("loss.1")
    assert float(found.measured.si) == pytest.approx(1 - pressure / 80)
    spread = math.hypot(1 / 80, pressure * 0.5 / 80**2)
    assert float(found.measured.expanded_si) == pytest.approx(spread, rel=1e-6)
    assert found.verdict.word == word
    assert outcome.word == word


def test_the_leak_and_the_spread() -> None:
    outcome = worked(readings(75, 70, 60, 72))
    leaks = [float(outcome.finding(f"leak.{i}").measured.value.m_as("in")) for i in (1, 2, 3)]
    assert leaks == pytest.approx([0.0279, 0.0336, 0.0412], abs=5e-5)  # choked-orifice derivation: computed
    assert float(outcome.finding("spread").measured.value.m_as("psi")) == pytest.approx(15)
    assert outcome.finding("spread").verdict.word == TOO_CLOSE
    assert worked(readings(75, 74, 72, 73)).finding("spread").verdict.word == IN_LIMITS
    assert worked(readings(77, 74, 59, 73)).finding("spread").verdict.word == OUT_OF_LIMITS


def test_a_count_of_cylinders_that_the_aircraft_file_contradicts_is_refused() -> None:
    """Three read of four would otherwise be the whole of it."""
    four = small_aircraft(engine__cylinders=4, limits={"compression": LIMITS})
    assert Compression.from_readings(readings(75, 75, 74, 75)).work(four).word == IN_LIMITS
    with pytest.raises(SheetError, match="must be 4, as the aircraft file"):
        Compression.from_readings(readings(75, 75, 74)).work(four)
    with pytest.raises(SheetError, match="whole number"):
        worked(readings(75, 75, 74, cylinders="3.5"))


def test_the_wrong_orifice_is_refused_and_none_is_no_verdict() -> None:
    with pytest.raises(SheetError, match="wrong orifice"):
        worked(readings(75, 75, orifice="0.060 in"))
    with pytest.raises(SheetError, match="wrong orifice"):
        worked(readings(75, 75, bore="5.125 ± 0.005 in"))
    assert worked(readings(75, 75, bore="5.125 ± 0.005 in", orifice="0.060 in")).word == IN_LIMITS
    blind = worked(readings(75, 75, orifice="not looked at"))
    assert blind.word == UNDONE
    assert blind.missing == ["which orifice the tester has"]
    assert any("so close to 5.00 in" in said for said in worked(readings(75, 75, bore="4.998 ± 0.005 in")).remarks)


def test_every_cylinder_counts() -> None:
    outcome = worked(readings(75, 75, 75, cylinders="4"))
    assert outcome.word == UNDONE
    assert outcome.missing == ["1 more of the engine's cylinders"]
    given = readings(75, 75)
    given["rows"][1]["reading"] = ""
    assert worked(given).missing == ["cylinder 2"]
    assert (
        worked(readings(75, 75), spread={"high": "1 psi", "source": "test"}).finding("loss.1").verdict.word == NO_LIMIT
    )


@pytest.mark.parametrize(
    ("row", "path", "said"),
    [
        ({"cylinder": "1", "reading": "81 psi"}, "rows.0.reading", "above the regulated"),
        ({"reading": "75 psi"}, "rows.0.cylinder", "is missing"),
        ({"cylinder": "2", "reading": "75 psi"}, "rows.1.cylinder", "already"),
    ],
)
def test_faults_at_their_fields(row: dict[str, str], path: str, said: str) -> None:
    given = readings(75, 70)
    given["rows"][0] = row
    with pytest.raises(SheetError) as refusal:
        worked(given)
    assert said in dict(refusal.value.problems)[path]


def test_a_cylinder_that_holds_nothing_is_out() -> None:
    """A burned valve or a holed piston: the gauge stays at nothing, all of the supply is lost, no hole is told."""
    outcome = worked(readings(0, 70, 70, 70))
    assert float(outcome.finding("loss.1").measured.si) == 1.0
    assert outcome.finding("loss.1").verdict.word == outcome.word == OUT_OF_LIMITS
    assert outcome.to_do.startswith("Cylinder 1: rock the piston")
    assert worked(readings(75, 74, 72, 73)).to_do == "Nothing to change."
    assert {one.key for one in outcome.findings if one.key.startswith("leak")} == {"leak.2", "leak.3", "leak.4"}
