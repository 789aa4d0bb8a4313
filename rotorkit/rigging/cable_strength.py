"""Breaking strength of control cable, and the margin over the greatest load.

The figures are those of ``references/ac_43_13_cable_strength.csv``: FAA AC 43.13-1B, Table 7-3, least breaking strength
of flexible cable to MIL-W-83420, composition A (carbon steel) and B (corrosion-resistant steel). They were read in a
copy in which the table's columns had run together: the rows from 1/16 to 1/4 in were paired without doubt, the others
by inference, and a result says so. They hold for new, undamaged cable of that specification, not for its end fittings
nor for hardware-store cable of the same size.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from rotorkit import sources
from rotorkit.formula import formula
from rotorkit.formula.contract import si_of
from rotorkit.quantities import Force, Length, QuantityError, Ratio, read
from rotorkit.sources import Citation

_SAME_SIZE = 0.02
_STEELS = {"carbon steel": "carbon_steel", "corrosion-resistant steel": "corrosion_resistant"}


@dataclass(frozen=True)
class CableStrength:
    """One row of the table.

    diameter: as printed, with its unit. construction: strands by wires. carbon_steel, corrosion_resistant: least
    breaking strength, text with unit; None where the table has none. sure: whether the row's figures were paired
    without doubt.
    """

    diameter: str
    construction: str
    carbon_steel: str | None
    corrosion_resistant: str | None
    sure: bool

    @property
    def citation(self) -> Citation:
        """Where it is printed, with the doubt about the pairing where there is one."""
        doubt = "" if self.sure else ", row paired by inference: look it up before relying on it"
        return sources.AC_43_13_1B.at(f"Table 7-3, p. 7-28, {self.diameter} {self.construction}{doubt}")


def _row(diameter: str, construction: str, carbon: int, stainless: int | None, sure: bool = False) -> CableStrength:
    return CableStrength(
        f"{diameter} in", construction, f"{carbon} lbf", None if stainless is None else f"{stainless} lbf", sure
    )


CABLE_STRENGTHS: tuple[CableStrength, ...] = (
    _row("1/32", "3x7", 110, 110),
    _row("3/64", "7x7", 270, 270),
    _row("1/16", "7x7", 480, 480, True),
    _row("1/16", "7x19", 480, 480, True),
    _row("3/32", "7x7", 920, 920, True),
    _row("3/32", "7x19", 1000, 920, True),
    _row("1/8", "7x19", 2000, 1760, True),
    _row("5/32", "7x19", 2800, 2400, True),
    _row("3/16", "7x19", 4200, 3700, True),
    _row("7/32", "7x19", 5600, 5000, True),
    _row("1/4", "7x19", 7000, 6400, True),
    _row("9/32", "7x19", 8000, 7800),
    _row("5/16", "7x19", 9800, 9000),
    _row("11/32", "7x19", 12500, None),
    _row("3/8", "7x19", 14400, 12000),
    _row("7/16", "6x19 IWRC", 17600, 16300),
    _row("1/2", "6x19 IWRC", 22800, 22800),
    _row("9/16", "6x19 IWRC", 28500, 28500),
    _row("5/8", "6x19 IWRC", 35000, 35000),
    _row("3/4", "6x19 IWRC", 49600, 49600),
    _row("7/8", "6x19 IWRC", 66500, 66500),
    _row("1", "6x19 IWRC", 85400, 85400),
    _row("1 1/8", "6x19 IWRC", 106400, 106400),
    _row("1 1/4", "6x19 IWRC", 129400, 129400),
    _row("1 3/8", "6x19 IWRC", 153600, 153600),
    _row("1 1/2", "6x19 IWRC", 180500, 180500),
)


def breaking_strength(diameter: Any, construction: str, steel: str) -> tuple[Any, Citation]:
    """Least breaking strength of a cable (a force), with where it is printed.

    Parameters
    ----------
    diameter : Any
        [length] nominal.
    construction : str
        strands by wires, as "7x19".
    steel : str
        "carbon steel" or "corrosion-resistant steel".

    Raises
    ------
    QuantityError
        the table has no such cable; the message lists what it has of that size. A 7x7 of 1/8 in and a
        1x19 are not in it: ask the cable's maker.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> strength, citation = breaking_strength("1/8 in", "7x19", "corrosion-resistant steel")
    >>> say(strength, "lbf", digits=4)
    '1,760 lbf'
    """
    si = float(si_of(diameter, Length, "diameter")[0])
    wanted = construction.replace("×", "x").replace(" x ", "x").strip().lower()
    column = _STEELS.get(steel.strip().lower())
    if column is None:
        raise QuantityError(f'steel: needs "carbon steel" or "corrosion-resistant steel", got {steel!r}')
    same_size = [row for row in CABLE_STRENGTHS if abs(si / read(row.diameter, Length).si - 1) < _SAME_SIZE]
    for row in same_size:
        text = getattr(row, column)
        if row.construction.lower() == wanted and text is not None:
            return read(text, Force).value, row.citation
    held = "; ".join(
        f"{row.construction} in {name}"
        for row in same_size
        for name, key in _STEELS.items()
        if getattr(row, key) is not None
    )
    raise QuantityError(
        f"breaking strength: AC 43.13-1B, Table 7-3 has no {diameter} {construction} cable of {steel}. "
        f"Of that size it has: {held or 'none'}. Ask the cable's maker."
    )


@formula(
    source=sources.DEFINITION.at("margin of safety"),
    letters={"strength": "B", "load": "P"},
    result="M",
    valid={"strength": ("1e-3 N", None), "load": ("1e-3 N", None)},
)
def strength_margin(strength: Force, load: Force) -> Ratio:
    """Margin of safety: strength over load, less one. Zero is just enough, 1 is twice the load.

    Parameters
    ----------
    strength : Force
        [force] breaking strength of the cable, or the buckling load of a tube
    load : Force
        [force] the greatest that comes on it, with whatever factor the manual or the rules ask for

    Returns
    -------
    Ratio
        The margin, [-].

    Examples
    --------
    2000 lbf over 450 lbf: 3.44.

    >>> from rotorkit.quantities import say
    >>> say(strength_margin("2000 lbf", "450 lbf"), digits=3)
    '3.44'
    """
    return strength / load - 1
