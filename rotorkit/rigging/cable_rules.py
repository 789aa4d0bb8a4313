"""Rules for control cables: smallest size, fairleads, pulleys, turnbuckle threads and their safety wire.

Each rule is a published one, with its place; the kit maker's manual goes before it wherever it is stricter. Editions of
the regulations differ: the current text governs, and an amateur-built aircraft is bound by its own authority's rules.

Not covered, for lack of a source here: the least pulley diameter for a cable (14 CFR 27.685(d)(4) sends to a handbook),
guards and their clearance, and the misalignment that a pulley bears, beyond that the cable must not rub its flange.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from rotorkit import sources
from rotorkit.formula import absolute, atan, formula
from rotorkit.formula.contract import si_of
from rotorkit.judging.limits import IN_LIMITS, OUT_OF_LIMITS, UNDONE, Limit, Verdict
from rotorkit.judging.measured import measured
from rotorkit.quantities import Angle, Length, QuantityError, Ratio, from_si


def smallest_primary_cable_limit() -> Limit:
    """No cable smaller than 3/32 in in a primary control system: 14 CFR 27.685(d)(3), 2014 edition (known: read).

    For transport-category rotorcraft (29.685(d)(3)) and for aeroplanes (23.689, 25.689) it is 1/8 in.

    Examples
    --------
    >>> smallest_primary_cable_limit().judge(measured("1/16 in", Length, "cable")).word
    'out of limits'
    """
    source = sources.CFR_14.at("27.685(d)(3)")
    return Limit("diameter of a primary control cable", Length, low="3/32 in", source=str(source), unit="in")


def fairlead_limit() -> Limit:
    """No fairlead may turn a cable by more than 3 deg.

    Source: 14 CFR 27.685(d)(7), 29.685(d)(7), 23.689(c), 25.689(c); AC 43.13-1B 7-149 n (known: read).

    Examples
    --------
    >>> fairlead_limit().judge(measured("2.4 ± 0.3 deg", Angle, "protractor")).word
    'in limits'
    """
    source = f"{sources.CFR_14.at('27.685(d)(7)')}; AC 43.13-1B, 7-149 n"
    return Limit("change of cable direction at a fairlead", Angle, high="3 deg", source=source, unit="deg")


def threads_exposed_limit() -> Limit:
    """Not more than three threads outside the barrel at each end: AC 43.13-1B 7-166, 7-179, 7-182 (known: read).

    Examples
    --------
    >>> threads_exposed_limit().judge(measured("3", Ratio, "left end")).word
    'in limits'
    """
    source = str(sources.AC_43_13_1B.at("7-166, 7-179, 7-182"))
    return Limit("threads exposed at a turnbuckle end", Ratio, high="3", source=source)


def threads_inside_at_first_limit() -> Limit:
    """On first installation a terminal is screwed in by not more than four threads: AC 43.13-1B 7-166 (known: read).

    So that there is travel to spare; both terminals by equal amounts. It is a rule for a new cable only.
    """
    source = str(sources.AC_43_13_1B.at("7-166"))
    return Limit("threads inside the barrel on first installation", Ratio, high="4", source=source)


def pulley_verdict(cable_rubs_flange: bool | None, where: str = "pulley") -> Verdict:
    """The cable lies near enough to the pulley's plane not to rub its flange: 14 CFR 27.685(d)(6), 29.685(d)(6) (read).

    Parameters
    ----------
    cable_rubs_flange : bool | None
        seen anywhere in the control's travel; None where nobody looked.
    where : str
        which pulley, in words.

    Examples
    --------
    >>> pulley_verdict(False, "aft boom pulley").sentence
    'cable at the aft boom pulley: does not rub the flange: in limits'
    """
    limit = Limit(f"cable at the {where}", Ratio, high="0", source=str(sources.CFR_14.at("27.685(d)(6)")))
    figure = measured(from_si(float(cable_rubs_flange is True), Ratio), Ratio, limit.name)
    if cable_rubs_flange is None:
        return Verdict(UNDONE, figure, None, f"{limit.name}: not looked at", "look along the cable at both ends")
    if cable_rubs_flange:
        return Verdict(
            OUT_OF_LIMITS,
            figure,
            limit,
            f"{limit.name}: rubs the flange: {OUT_OF_LIMITS}",
            "shim or re-align the pulley",
        )
    return Verdict(IN_LIMITS, figure, limit, f"{limit.name}: does not rub the flange: {IN_LIMITS}")


@formula(
    source=sources.ARITHMETIC.at("two directions in one plane"),
    letters={"before": r"\alpha_1", "after": r"\alpha_2"},
    result=r"\delta",
    shown={"result": ("deg", "deg")},
)
def change_of_direction(before: Angle, after: Angle) -> Angle:
    """Change of a cable's direction at a fairlead, from its slope on either side, read in the plane of the bend.

    Examples
    --------
    12.4 deg before and 14.6 deg after: 2.2 deg.

    >>> from rotorkit.quantities import say
    >>> say(change_of_direction("12.4 deg", "14.6 deg"), "deg", digits=2)
    '2.2°'
    """
    return absolute(after - before)


@formula(
    source=sources.ARITHMETIC.at("offset over distance"),
    letters={"offset": "d", "distance": "L"},
    result=r"\delta",
    valid={"offset": ("0 m", None), "distance": ("1e-3 m", None)},
    shown={"offset": ("in", "mm"), "distance": ("in", "mm"), "result": ("deg", "deg")},
)
def angle_from_offset(offset: Length, distance: Length) -> Angle:
    """Change of direction from a straightedge laid along the cable on one side of the fairlead.

    Parameters
    ----------
    offset : Length
        [length] of the cable from the straightedge
    distance : Length
        [length] from the fairlead, along the straightedge, at which it is measured

    Examples
    --------
    0.5 in at 12 in: 2.39 deg. Three degrees are 0.63 in at 12 in.

    >>> from rotorkit.quantities import say
    >>> say(angle_from_offset("0.5 in", "12 in"), "deg", digits=3)
    '2.39°'
    """
    return atan(offset / distance)


@dataclass(frozen=True)
class SafetyWire:
    """One row of AC 43.13-1B, Table 7-8. cable: as printed. wrap: "single" or "double". at_least: whether the diameter
    is a least one. also: whether galvanised or tinned steel, or soft iron wire, will do as well."""

    cable: str
    wrap: str
    diameter: str
    at_least: bool
    material: str
    also: bool


_COPPER, _STAINLESS = "copper, brass", "stainless, nickel-copper alloy"
SAFETY_WIRES: tuple[SafetyWire, ...] = (
    SafetyWire("1/16 in", "single", "0.040 in", False, _COPPER, True),
    SafetyWire("3/32 in", "single", "0.040 in", False, _COPPER, True),
    SafetyWire("1/8 in", "single", "0.040 in", False, _STAINLESS, False),
    SafetyWire("1/8 in", "double", "0.040 in", False, _COPPER, True),
    SafetyWire("1/8 in", "single", "0.057 in", True, _COPPER, True),
    SafetyWire("5/32 in", "double", "0.040 in", False, _STAINLESS, True),
    SafetyWire("5/32 in", "single", "0.057 in", True, _STAINLESS, True),
    SafetyWire("5/32 in", "double", "0.0512 in", False, _COPPER, False),
)
"""FAA AC 43.13-1B, Table 7-8 (known: read in a flattened copy, rows paired in order). The rows for 5/32 in stand for
that size and greater. ``references/ac_43_13_turnbuckle_wire.csv`` holds the same."""


def safety_wire_for(diameter: Any) -> list[SafetyWire]:
    """The rows of AC 43.13-1B, Table 7-8 that fit a cable: any of them will do.

    Parameters
    ----------
    diameter : Any
        [length] of the cable.

    Raises
    ------
    QuantityError
        the table holds no such size.

    Examples
    --------
    >>> [(wire.wrap, wire.diameter) for wire in safety_wire_for("1/8 in")]
    [('single', '0.040 in'), ('double', '0.040 in'), ('single', '0.057 in')]
    """
    si = float(si_of(diameter, Length, "diameter")[0])
    sizes = {cable: float(si_of(cable, Length, "cable")[0]) for cable in {wire.cable for wire in SAFETY_WIRES}}
    greatest = max(sizes, key=lambda cable: sizes[cable])
    for cable, size in sizes.items():
        if abs(si / size - 1) < 0.02 or (cable == greatest and si > size):
            return [wire for wire in SAFETY_WIRES if wire.cable == cable]
    raise QuantityError(
        f"diameter: the safety-wire table holds 1/16, 3/32, 1/8, and 5/32 in and greater; got {diameter}"
    )
