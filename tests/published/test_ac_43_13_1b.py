"""FAA AC 43.13-1B on control cables and turnbuckles. Known: read.

Not covered: Table 7-9 and what belongs to locking clips, splices and swaging, which rotorkit does not compute; the wear
limits of 7-149, which are judged by eye.
"""

import pytest

from rotorkit.judging.measured import measured
from rotorkit.quantities import Angle, Length, QuantityError, Ratio, assert_quantity
from rotorkit.rigging import (
    CABLE_STRENGTHS,
    SAFETY_WIRES,
    breaking_strength,
    fairlead_limit,
    safety_wire_for,
    threads_exposed_limit,
    threads_inside_at_first_limit,
)
from tests.reference_table import row, rows

STEELS = {"carbon_steel_lbf": "carbon steel", "corrosion_resistant_lbf": "corrosion-resistant steel"}
STRENGTHS = rows("ac_43_13_cable_strength.csv")


@pytest.mark.parametrize("printed", STRENGTHS, ids=lambda r: f"{r['diameter_in']} {r['construction']}")
def test_table_7_3_breaking_strength(printed: dict[str, str]) -> None:
    for column, steel in STEELS.items():
        size = f"{printed['diameter_in'].replace('-', ' ')} in"
        if not printed[column]:
            with pytest.raises(QuantityError, match="Table 7-3 has no"):
                breaking_strength(size, printed["construction"], steel)
            continue
        strength, citation = breaking_strength(size, printed["construction"], steel)
        assert_quantity(strength, f"{printed[column]} lbf", within="1e-6 lbf")
        assert "AC 43.13-1B" in str(citation)
        # A row whose figures were paired by inference says so wherever it is used.
        assert ("inference" in str(citation)) == (printed["pairing"] == "inferred")


def test_table_7_3_is_held_whole_and_nothing_else() -> None:
    assert len(CABLE_STRENGTHS) == len(STRENGTHS) == 26
    assert sum(row.sure for row in CABLE_STRENGTHS) == sum(r["pairing"] == "sure" for r in STRENGTHS) == 9


def test_table_7_8_safety_wire() -> None:
    printed = rows("ac_43_13_turnbuckle_wire.csv")
    assert len(printed) == len(SAFETY_WIRES)
    for line, held in zip(printed, SAFETY_WIRES, strict=True):
        assert line["cable_in"].removesuffix(" and greater") + " in" == held.cable
        assert line["wrap"] == held.wrap
        assert (line["wire_diameter_in"].removesuffix(" min"), line["wire_diameter_in"].endswith("min")) == (
            held.diameter.removesuffix(" in"),
            held.at_least,
        )
        assert (line["material"].removesuffix(" (1)"), line["material"].endswith("(1)")) == (held.material, held.also)
    assert {wire.cable for wire in safety_wire_for("1/4 in")} == {"5/32 in"}
    assert len(safety_wire_for("3.2 mm")) == 3
    with pytest.raises(QuantityError, match="safety-wire table"):
        safety_wire_for("1/32 in")


def test_threads_exposed_and_inside() -> None:
    assert row("control_rules.csv", "rule", "threads exposed")["figure"] == "3"
    limit = threads_exposed_limit()
    assert [limit.judge(measured(n, Ratio, "end")).word for n in ("2.5", "3", "3.5")] == [
        "in limits",
        "in limits",
        "out of limits",
    ]
    assert row("control_rules.csv", "rule", "threads inside")["figure"] == "4"
    assert threads_inside_at_first_limit().judge(measured("5", Ratio, "end")).word == "out of limits"


def test_fairlead_of_7_149() -> None:
    assert row("control_rules.csv", "rule", "fairlead")["figure"] == "3"
    judge = fairlead_limit().judge
    words = [
        judge(measured(text, Angle, "fairlead")).word for text in ("2.7 ± 0.2 deg", "3.0 ± 0.2 deg", "3.3 ± 0.2 deg")
    ]
    assert words == ["in limits", "too close to call", "out of limits"]


def test_the_smallest_primary_cable_is_in_the_table() -> None:
    strength, _ = breaking_strength("3/32 in", "7x7", "corrosion-resistant steel")
    assert_quantity(strength, "920 lbf")
    assert measured("3/32 in", Length, "cable").si == pytest.approx(0.00238125)
