"""Gearbox oil and metal by plain arithmetic apart from the library; the line by NumPy's polynomial fit."""

from typing import Any

import numpy as np
import pytest

from rotorkit.aircraft import Aircraft
from rotorkit.judging.limits import IN_LIMITS, NO_LIMIT, OUT_OF_LIMITS, TOO_CLOSE, UNDONE
from rotorkit.sheets.base import Outcome, SheetError
from rotorkit.sheets.catalogue import sheet_type
from tests.sheets.small import small_aircraft

LIMITS = {
    "temperature": {"high": "110 °C", "source": "test"},
    "rise": {"high": "80 K", "source": "test"},
    "drift": {"high": "2 K", "source": "test"},
    "chip": {"high": "0.5 mm", "source": "test"},
}
HOURS, OIL, AIR = (1.0, 12.0, 24.0, 50.0), (70.0, 78.0, 71.0, 84.0), (15.0, 22.5, 14.0, 25.0)


def looks(oil: Any = OIL, air: Any = AIR, spread: float = 0.5, hours: Any = HOURS, **last: Any) -> dict[str, Any]:
    rows: list[dict[str, str]] = [
        {"hours": f"{h} h", "oil": f"{o} ± {spread} °C", "air": f"{a} ± 0 °C", "metal": "clean"}
        for h, o, a in zip(hours, oil, air, strict=True)
    ]
    rows[-1] = {k: v for k, v in {**rows[-1], **last}.items() if v is not None}
    return {"looks": rows}


def worked(given: dict[str, Any], limits: Any = LIMITS) -> Outcome:
    craft: Aircraft = small_aircraft(limits={"gearbox_oil": limits} if limits else {})
    return sheet_type("gearbox_oil").from_readings(given).work(craft)


def si(outcome: Outcome, key: str) -> float:
    return float(outcome.finding(key).measured.si)


def test_figures_by_hand() -> None:
    found = worked(looks())
    rises = np.subtract(OIL, AIR)
    assert si(found, "oil") == pytest.approx(84 + 273.15)
    assert si(found, "rise") == pytest.approx(59)
    assert si(found, "drift") == pytest.approx(10 * np.polyfit(HOURS, rises, 1)[0], rel=1e-9)
    line = np.polyfit(HOURS[:-1], rises[:-1], 1)
    assert si(found, "jump") == pytest.approx(59 - np.polyval(line, 50.0), rel=1e-9)
    assert found.word == IN_LIMITS
    assert worked({"looks": looks()["looks"][::-1]}).word == IN_LIMITS


@pytest.mark.parametrize(
    ("oil", "air", "key", "word"),
    [
        (109.0, 40.0, "oil", IN_LIMITS), (111.0, 40.0, "oil", OUT_OF_LIMITS), (110.2, 40.0, "oil", TOO_CLOSE),
        (84.0, 5.0, "rise", IN_LIMITS), (86.0, 5.0, "rise", OUT_OF_LIMITS),
    ],
)  # fmt: skip
def test_both_sides_of_temperature_and_rise(oil: float, air: float, key: str, word: str) -> None:
    found = worked(looks((*OIL[:-1], oil), (*AIR[:-1], air)))
    assert found.finding(key).verdict.word == word


@pytest.mark.parametrize(("each", "word"), [(1.8, IN_LIMITS), (2.2, OUT_OF_LIMITS), (-3.0, IN_LIMITS)])
def test_both_sides_of_the_drift(each: float, word: str) -> None:
    """So many kelvins in ten hours, on a straight line."""
    hours = (0.0, 10.0, 20.0, 30.0)
    found = worked(looks([60 + each * h / 10 for h in hours], [10.0] * 4, 0.05, hours))
    assert si(found, "drift") == pytest.approx(each, abs=1e-9)
    assert found.finding("drift").verdict.word == word
    assert any("warmer than it used to" in said for said in found.remarks) == (each > 0)


def test_a_jump_leads_and_cooler_does_not() -> None:
    hours, oil = (0.0, 10.0, 20.0, 30.0, 40.0), (60.0, 60.3, 59.8, 60.1)
    hotter, cooler = (worked(looks((*oil, 60.0 + more), [10.0] * 5, 0.2, hours), None) for more in (6.0, -6.0))
    assert "than its own history" in hotter.lead[0]
    assert cooler.lead == []


@pytest.mark.parametrize(
    ("metal", "size", "word"),
    [("clean", None, IN_LIMITS), ("fine fuzz", None, IN_LIMITS), ("flake or splinter", "0.2 ± 0.1 mm", OUT_OF_LIMITS),
     ("larger piece", "2 ± 0.1 mm", OUT_OF_LIMITS), ("fine fuzz", "0.6 ± 0.05 mm", OUT_OF_LIMITS)],
)  # fmt: skip
def test_metal(metal: str, size: str | None, word: str) -> None:
    found = worked(looks(metal=metal, size=size))
    assert found.word == word
    if word == OUT_OF_LIMITS:
        assert found.to_do.startswith("Do not fly")
    flake = metal in ("flake or splinter", "larger piece")
    assert bool(found.lead) == flake
    # whatever the manual says, or leaves out
    assert worked(looks(metal=metal, size=size), None).word == (OUT_OF_LIMITS if flake else NO_LIMIT)


@pytest.mark.parametrize("metal", ["flake or splinter", "larger piece"])
def test_a_clean_look_does_not_clear_an_earlier_flake(metal: str) -> None:
    given = looks()
    given["looks"][1] |= {"metal": metal, "size": "0.3 ± 0.1 mm"}
    found = worked(given)
    assert found.word == UNDONE
    assert "does not clear it" in found.lead[0]
    assert "12" in found.lead[0]
    assert "start a new table" in found.to_do
    given["looks"][1]["metal"] = "fine fuzz"
    assert worked(given).word == IN_LIMITS


def test_what_is_missing() -> None:
    assert worked(looks(metal=None)).word == UNDONE
    assert worked(looks(oil=OIL[:2], air=AIR[:2], hours=HOURS[:2])).word == UNDONE
    assert worked(looks(oil=OIL[:3], air=AIR[:3], hours=HOURS[:3])).word == IN_LIMITS


@pytest.mark.parametrize(
    ("last", "path"),
    [
        ({"air": None}, "looks.3.air"),
        ({"hours": None}, "looks.3.hours"),
        ({"hours": "24 h"}, "looks.3.hours"),
        ({"metal": "flake or splinter"}, "looks.3.size"),
        ({"size": "1 mm"}, "looks.3.metal"),
    ],
)
def test_faults_at_their_fields(last: dict[str, Any], path: str) -> None:
    changed = looks()["looks"]
    changed[-1] = {k: v for k, v in {**changed[-1], **last}.items() if v is not None}
    with pytest.raises(SheetError) as refusal:
        worked({"looks": changed})
    assert path in dict(refusal.value.problems), refusal.value.problems
