"""Bearing life by plain arithmetic apart from the library; one working after Jindal's example (known: quoted)."""

import math
from typing import Any

import pytest

from rotorkit.aircraft import Aircraft
from rotorkit.judging.limits import IN_LIMITS, NO_LIMIT, OUT_OF_LIMITS, TOO_CLOSE, UNDONE
from rotorkit.sheets.base import AN_ESTIMATE, Outcome, SheetError
from rotorkit.sheets.catalogue import sheet_type
from tests.sheets.small import small_aircraft

BEARING: dict[str, Any] = {
    "title": "bearing", "capacity": "30 kN", "kind": "ball", "radial_factor": "0.56", "axial_factor": "1.8",
    "shock": "1.2",
    "limits": {
        "life": {"low": "500 h", "source": "test"},
        "used": {"high": "50 %", "source": "test"},
        "greased": {"high": "25 h", "source": "test"},
    },
}  # fmt: skip
DUTY = ((0.4, 4000.0, 0.0, 1800.0), (0.6, 2500.0, 1500.0, 1500.0))
"""Share, radial and axial load (N), speed (rpm)."""


def aircraft(**changes: Any) -> Aircraft:
    return small_aircraft(bearings={"one": {**BEARING, **changes}})


def readings(duty: Any = DUTY, spread: float = 0.0, **more: Any) -> dict[str, Any]:
    rows = [
        {
            "condition": f"condition {k}", "share": f"{100 * q} ± 0 %", "radial": f"{fr} ± {fr * spread} N",
            "axial": f"{fa} ± 0 N", "speed": f"{n} ± 0 rpm",
        }
        for k, (q, fr, fa, n) in enumerate(duty)
    ]  # fmt: skip
    return {"bearing": "one", "hours": "100 ± 1 h", "greased": "10 ± 0.5 h", "conditions": rows, **more}


def worked(given: dict[str, Any], craft: Aircraft | None = None) -> Outcome:
    return sheet_type("bearing_life").from_readings(given).work(craft or aircraft())


def life_by_hand(duty: Any = DUTY, p: float = 3.0, capacity: float = 30000.0, shock: float = 1.2) -> float:
    """Damage added up, condition by condition: each takes its turns over the turns that it alone would allow."""
    damage = sum(
        60 * n * q / (1e6 * (capacity / (shock * max(fr, 0.56 * fr + 1.8 * fa))) ** p) for q, fr, fa, n in duty
    )
    return 1 / damage


def hours(outcome: Outcome, key: str) -> float:
    return float(outcome.finding(key).measured.si) / 3600


@pytest.mark.parametrize(("kind", "p"), [("ball", 3.0), ("roller", 10 / 3)])
def test_life_by_adding_up_damage(kind: str, p: float) -> None:
    outcome = worked(readings(), aircraft(kind=kind))
    assert hours(outcome, "life") == pytest.approx(life_by_hand(p=p), rel=1e-9)
    assert float(outcome.finding("used").measured.si) == pytest.approx(100 / life_by_hand(p=p), rel=1e-9)
    sure = life_by_hand(p=p) * (math.log(1 / 0.99) / math.log(1 / 0.9)) ** (1 / 1.17)
    assert hours(outcome, "life_99") == pytest.approx(sure, rel=1e-9)
    assert outcome.lead[0].startswith(AN_ESTIMATE)
    assert "condition 1" in outcome.remarks[0]


def test_a_duty_of_one_condition_is_the_plain_formula() -> None:
    duty = ((1.0, 4000.0, 0.0, 1800.0),)
    assert hours(worked(readings(duty)), "life") == pytest.approx(1e6 / (60 * 1800) * (30000 / 4800) ** 3, rel=1e-9)


def test_a_small_axial_load_takes_nothing_off() -> None:
    small = ((1.0, 4000.0, 500.0, 1800.0),)
    assert 0.56 * 4000 + 1.8 * 500 < 4000
    assert hours(worked(readings(small)), "life") == pytest.approx(life_by_hand(small), rel=1e-9)


def test_uncertainty_of_one_load_common_to_all() -> None:
    duty = ((1.0, 4000.0, 0.0, 1800.0),)
    found = worked(readings(duty, spread=0.05)).finding("life").measured
    # by differences over one standard uncertainty, 2.5 % either way (JCGM 100:2008, 5.1.3 note 2)
    assert float(found.expanded_si / found.si) == pytest.approx(0.975**-3 - 1.025**-3, rel=1e-6)


@pytest.mark.parametrize(
    ("low", "word", "to_do"),
    [(0.9, IN_LIMITS, ""), (1.1, OUT_OF_LIMITS, "Lessen its load"), (1.0, TOO_CLOSE, "Find its loads to a smaller ±")],
)
def test_both_sides_of_the_life(low: float, word: str, to_do: str) -> None:
    limits = {**BEARING["limits"], "life": {"low": f"{low * life_by_hand()} h", "source": "test"}}
    outcome = worked(readings(spread=0.01), aircraft(limits=limits))
    assert outcome.word == word
    assert outcome.to_do.startswith(to_do)
    assert "adjust" not in outcome.to_do


def test_used_up_and_dry() -> None:
    half = 0.5 * life_by_hand()
    assert worked(readings(hours=f"{0.98 * half} ± 1 h")).word == IN_LIMITS
    worn = worked(readings(hours=f"{1.02 * half} ± 1 h"))
    assert worn.word == OUT_OF_LIMITS
    assert worn.to_do.startswith("Replace the bearing")
    dry = worked(readings(greased="26 ± 0.5 h"))
    assert dry.word == OUT_OF_LIMITS
    assert dry.to_do.startswith("Grease it now")
    assert worked(readings(greased="24 ± 0.5 h")).word == IN_LIMITS
    assert worked(readings(), aircraft(limits={})).word == NO_LIMIT
    assert worked({k: v for k, v in readings().items() if k != "greased"}).word == UNDONE


@pytest.mark.parametrize(
    ("change", "field", "said"),
    [
        ({"bearing": "two"}, "bearing", "is no bearing"),
        (
            {"conditions": [{"share": "90 %", "radial": "4 kN", "speed": "1800 rpm"}]},
            "conditions.0.share",
            "add up to 90 %",
        ),
        ({"conditions": [{"share": "100 %", "radial": "4 kN"}]}, "conditions.0.speed", "is needed"),
        ({"conditions": [{"share": "100 %", "radial": "0 N", "speed": "9 rpm"}]}, "conditions.0.radial", "above zero"),
        ({"conditions": []}, "conditions", "needs a reading"),
    ],
)
def test_what_is_refused(change: dict[str, Any], field: str, said: str) -> None:
    with pytest.raises(SheetError) as caught:
        worked({**readings(), **change})
    assert any(path == field and said in words for path, words in caught.value.problems), caught.value.problems


def test_along_the_shaft_it_needs_the_makers_factors() -> None:
    bare = {k: v for k, v in BEARING.items() if k not in ("radial_factor", "axial_factor")}
    with pytest.raises(SheetError, match="radial_factor and axial_factor"):
        worked(readings(), small_aircraft(bearings={"one": bare}))
    one = ((1.0, 4000.0, 0.0, 1800.0),)
    assert worked(readings(one), small_aircraft(bearings={"one": bare})).word == IN_LIMITS
