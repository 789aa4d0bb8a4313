"""US Code of Federal Regulations, title 14, on control systems. Known: read; editions differ, the current text governs.

Not covered as a figure: 27.683, which asks for operation free from jamming, excessive friction and excessive deflection
under the design loads: no figure is given for any of the three. What can be listed, every combination of the controls'
ends, is.
"""

from rotorkit.judging.measured import measured
from rotorkit.quantities import Length
from rotorkit.rigging import corner_combinations, pulley_verdict, smallest_primary_cable_limit
from tests.reference_table import row


def test_smallest_primary_cable() -> None:
    # 14 CFR 27.685(d)(3), 2014 edition.
    rule = row("control_rules.csv", "source", "14 CFR 27.685(d)(3)")
    assert (rule["figure"], rule["unit"], rule["known"]) == ("3/32", "in", "read")
    judge = smallest_primary_cable_limit().judge
    words = {size: judge(measured(size, Length, "cable")).word for size in ("1/16 in", "3/32 in", "1/8 in", "2.4 mm")}
    assert words == {"1/16 in": "out of limits", "3/32 in": "in limits", "1/8 in": "in limits", "2.4 mm": "in limits"}
    assert "27.685(d)(3)" in smallest_primary_cable_limit().source


def test_pulley_flange() -> None:
    assert row("control_rules.csv", "rule", "pulley")["source"].startswith("14 CFR 27.685(d)(6)")
    assert pulley_verdict(True).word == "out of limits"
    assert pulley_verdict(False).word == "in limits"
    assert pulley_verdict(None).word == "no verdict yet"


def test_operation_over_all_combinations() -> None:
    assert row("control_rules.csv", "rule", "operation")["source"] == "14 CFR 27.683"
    controls = {
        "collective": ("low", "high"),
        "fore and aft": ("f", "a"),
        "left and right": ("l", "r"),
        "pedals": ("l", "r"),
    }
    assert len(set(corner_combinations(controls))) == 2**4
