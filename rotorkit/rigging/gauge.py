"""Cable tension from a gauge (tensiometer) through that gauge's own calibration table.

A gauge bends the cable over a riser between two anvils and reads a number that is no tension. The table that turns it
into one was made for this very gauge, by its serial number, and for one riser and one cable size. US Army TM
1-1500-204-23-9 and NAVEDTRA 14018 print tables in which the same riser, cable and reading stand for 70 lbf and for 100
lbf: another gauge's table is not an approximation, it is wrong. So nothing here is assumed: serial number, riser and
cable are all matched, and a reading outside the calibrated rows is refused.

Between two calibrated rows the tension is taken on the straight line that joins them. Nothing is known there but that
the gauge reads more as the cable gets tighter; the straight line keeps to that, never leaves the two calibrated
tensions, can be checked by hand and turned back exactly. A smooth curve through all rows can overshoot between two of
them. How far the true curve may bow away from the line is taken from the bend between neighbouring rows, and told as
an uncertainty.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any

from rotorkit import sources
from rotorkit.formula import formula
from rotorkit.formula.contract import si_of
from rotorkit.judging.measured import Measured, combine, measured
from rotorkit.quantities import Force, Length, QuantityError, Ratio, from_si, say
from rotorkit.quantities.errors import shortened

_SAME_CABLE_SIZE = 0.02
"""Cable sizes come in steps of a fifth or more; 1/8 in, 3.175 mm and 3.2 mm are one size."""


@formula(
    source=sources.ARITHMETIC.at("straight line between two calibrated rows"),
    letters={
        "reading": "r",
        "reading_below": "r_1",
        "reading_above": "r_2",
        "tension_below": "T_1",
        "tension_above": "T_2",
    },
    result="T",
)
def interpolated_tension(
    reading: Ratio, reading_below: Ratio, reading_above: Ratio, tension_below: Force, tension_above: Force
) -> Force:
    """Tension on the straight line between the two calibrated rows on either side of the reading.

    Parameters
    ----------
    reading : Ratio
        [-] of the dial, in its own divisions
    reading_below, reading_above : Ratio
        [-] of the two rows; they differ
    tension_below, tension_above : Force
        [force] of the two rows

    Returns
    -------
    Force
        The tension (force).

    Notes
    -----
    Range of validity: between the two rows; `tension_from_gauge` makes sure of that.

    Examples
    --------
    Rows 24 (30 lbf) and 30 (40 lbf), reading 28.5: 30 + 10 x 4.5 / 6 = 37.5 lbf.

    >>> from rotorkit.quantities import say
    >>> say(interpolated_tension("28.5", "24", "30", "30 lbf", "40 lbf"), "lbf", digits=3)
    '37.5 lbf'
    """
    return tension_below + (tension_above - tension_below) * (reading - reading_below) / (reading_above - reading_below)


@dataclass(frozen=True)
class CalibrationTable:
    """One column of a gauge's calibration: one gauge, one riser, one cable size.

    Parameters
    ----------
    gauge_serial : str
        the serial number on the gauge and on its table.
    riser : str
        the riser's mark, as the table writes it.
    cable_diameter : Any
        nominal, text with unit or a quantity (length).
    rows : Sequence[tuple[Any, Any]]
        (dial reading, tension) pairs, three or more: the reading a plain number, the tension text with unit or a
        quantity. In any order.
    uncertainty : Any
        of the calibration, expanded (k = 2), from its certificate; None if it states none.
    calibrated_on : str
        the date on the table, for the record.

    Raises
    ------
    QuantityError
        fewer than three rows, a reading twice, or a tension that does not rise (or fall) all the way:
        the
        message names the rows.
    """

    gauge_serial: str
    riser: str
    cable_diameter: Any
    rows: Sequence[tuple[Any, Any]]
    uncertainty: Any = None
    calibrated_on: str = ""
    readings: tuple[float, ...] = field(init=False, default=())
    tensions_si: tuple[float, ...] = field(init=False, default=())
    diameter_si: float = field(init=False, default=0.0)

    def __post_init__(self) -> None:
        if not str(self.gauge_serial).strip() or not str(self.riser).strip():
            raise QuantityError(
                "gauge_serial and riser: a calibration table belongs to one gauge and one riser; "
                "copy both from the table."
            )
        try:
            pairs = sorted(
                (float(si_of(reading, Ratio, "reading")[0]), float(si_of(tension, Force, "tension")[0]))
                for reading, tension in self.rows
            )
        except QuantityError as problem:
            raise QuantityError(f"rows of the calibration table of {self.named}: {problem}") from None
        if len(pairs) < 3:
            raise QuantityError(
                f"rows: the calibration table of {self.named} needs three rows or more, got {len(pairs)}. "
                f"Two rows cannot show how far the gauge's curve bends between them."
            )
        rising = pairs[-1][1] > pairs[0][1]
        for (reading, tension), (next_reading, next_tension) in itertools.pairwise(pairs):
            if reading == next_reading:
                raise QuantityError(
                    f"rows: dial reading {reading:g} stands twice in the calibration table of {self.named}. "
                    f"Copy the rows again."
                )
            if tension == next_tension or (next_tension > tension) is not rising:
                raise QuantityError(
                    f"rows: the tension does not go one way in the calibration table of {self.named}: reading "
                    f"{reading:g} gives {say(from_si(tension, Force))}, reading {next_reading:g} gives "
                    f"{say(from_si(next_tension, Force))}. Check the two rows against the table."
                )
        object.__setattr__(self, "readings", tuple(reading for reading, _ in pairs))
        object.__setattr__(self, "tensions_si", tuple(tension for _, tension in pairs))
        object.__setattr__(self, "diameter_si", float(si_of(self.cable_diameter, Length, "cable_diameter")[0]))

    @property
    def named(self) -> str:
        """The table in words."""
        size = self.cable_diameter if isinstance(self.cable_diameter, str) else say(self.cable_diameter)
        return f"gauge {self.gauge_serial}, riser {self.riser}, cable {size}"

    def bracket(self, reading: float) -> int:
        """Index of the row below `reading`; the row above is the next one.

        Raises
        ------
        QuantityError
            the reading lies outside the calibrated rows.
        """
        first, last = self.readings[0], self.readings[-1]
        if not first <= reading <= last:
            low, high = (say(from_si(self.tensions_si[i], Force)) for i in (0, -1))
            raise QuantityError(
                f"dial reading: needs {first:g} to {last:g} ({low} to {high}), the calibrated rows of {self.named}; "
                f"got {reading:g}. Nothing is known beyond them: check riser and cable size, "
                f"or have the gauge calibrated there."
            )
        above = next(i for i, row in enumerate(self.readings) if row >= reading)
        return max(above - 1, 0)


def _same(one: str, other: str) -> bool:
    return " ".join(str(one).split()).casefold() == " ".join(str(other).split()).casefold()


def _mismatches(table: CalibrationTable, gauge_serial: str, riser: str, cable_diameter: Any) -> list[str]:
    """In words, what of gauge, riser and cable is not that of the table."""
    diameter = float(si_of(cable_diameter, Length, "cable_diameter")[0])
    said = cable_diameter if isinstance(cable_diameter, str) else say(cable_diameter)
    found = []
    if not _same(table.gauge_serial, gauge_serial):
        found.append(f"gauge_serial is {gauge_serial!r}")
    if not _same(table.riser, riser):
        found.append(f"riser is {riser!r}")
    if not math.isclose(table.diameter_si, diameter, rel_tol=_SAME_CABLE_SIZE):
        found.append(f"cable_diameter is {said}")
    return found


def calibration_table_for(
    tables: Sequence[CalibrationTable], gauge_serial: str, riser: str, cable_diameter: Any
) -> CalibrationTable:
    """The one table among `tables` made for this gauge, riser and cable size.

    Parameters
    ----------
    tables : Sequence[CalibrationTable]
        those of the aircraft file.
    gauge_serial, riser : str
        as marked on the gauge and the riser in hand.
    cable_diameter : Any
        [length] nominal diameter of the cable on the aircraft.

    Returns
    -------
    CalibrationTable
        The table.

    Raises
    ------
    QuantityError
        none fits, or two do; the message lists those there are.
    """
    fitting = [t for t in tables if not _mismatches(t, gauge_serial, riser, cable_diameter)]
    if len(fitting) == 1:
        return fitting[0]
    held = "; ".join(t.named for t in tables) or "none"
    said = cable_diameter if isinstance(cable_diameter, str) else say(cable_diameter)
    wanted = f"gauge {gauge_serial}, riser {shortened(riser)[1:-1]}, cable {said}"
    if fitting:
        raise QuantityError(f"calibration table: {len(fitting)} tables are held for {wanted}; keep the one in force.")
    raise QuantityError(
        f"calibration table: none is held for {wanted}. Held: {held}. Copy the column from that gauge's own table; "
        f"another gauge's, riser's or cable's column does not serve."
    )


def tension_from_gauge(
    table: CalibrationTable,
    reading: Any,
    gauge_serial: str,
    riser: str,
    cable_diameter: Any,
    reading_uncertainty: Any = None,
) -> Measured:
    """Cable tension from a dial reading through the gauge's own table.

    Source: the calibration table; between its rows `interpolated_tension`. The uncertainty has three parts: the
    reading's own through the local slope of the table (at a row, the steeper side), the calibration's, shared by all
    readings with this table, and the bend of the gauge's curve between rows: at most |d| (r - r1)(r2 - r), with d the
    second divided difference of the neighbouring rows, any value between as likely.

    Parameters
    ----------
    table : CalibrationTable
        of this gauge, riser and cable.
    reading : Any
        [-] of the dial, plain number, text, or a Measured (a mean of repeats).
    gauge_serial, riser, cable_diameter : str, Any
        those in hand; all three must be the table's.
    reading_uncertainty : Any
        [-] expanded (k = 2), in divisions, where the reading carries none of its own.

    Returns
    -------
    Measured
        The tension, a Measured force.

    Raises
    ------
    QuantityError
        gauge, riser or cable is not the table's, or the reading lies outside the calibrated rows.

    Notes
    -----
    Range of validity: the calibrated rows; gauge put on away from pulleys, fairleads and turnbuckles, as its maker
    says.

    Examples
    --------
    Rows 18 (20 lbf), 24 (30 lbf), 30 (40 lbf): reading 28.5 +- 0.5: 37.5 lbf; the slope 10/6 lbf for each division
    makes 0.83 lbf of it.

    >>> from rotorkit.quantities import say
    >>> rows = [(18, "20 lbf"), (24, "30 lbf"), (30, "40 lbf")]
    >>> table = CalibrationTable("A17", "1", "1/8 in", rows)
    >>> say(tension_from_gauge(table, 28.5, "A17", "1", "1/8 in", reading_uncertainty="0.5"), "lbf")
    '37.50 ± 0.83 lbf'
    """
    wrong = _mismatches(table, gauge_serial, riser, cable_diameter)
    if wrong:
        raise QuantityError(
            f"calibration table of {table.named} does not serve here: {' and '.join(wrong)}. "
            f"Use the column of that gauge, riser and cable."
        )
    si, carried = si_of(reading, Ratio, "dial reading")
    dial = carried or measured(from_si(si, Ratio), Ratio, "dial reading", reading_uncertainty)
    point = float(dial.si)
    below = table.bracket(point)
    x, t = table.readings, table.tensions_si
    value = float(interpolated_tension.si(point, x[below], x[below + 1], t[below], t[below + 1]))
    bend = _greatest_bend(x, t, below) * (point - x[below]) * (x[below + 1] - point)
    return combine(
        value,
        Force,
        [
            dial,
            measured(
                from_si(0.0, Force),
                Force,
                "bend of the gauge's curve between calibrated rows",
                from_si(bend, Force) if bend > 0 else None,
                stated_as="bounds",
            ),
            measured(
                from_si(0.0, Force),
                Force,
                "",
                shared={f"calibration of gauge {table.gauge_serial}": table.uncertainty} if table.uncertainty else None,
            ),
        ],
        [_steepest_slope(x, t, below, point), 1.0, 1.0],
    )


def _steepest_slope(x: Sequence[float], t: Sequence[float], below: int, point: float) -> float:
    """Slope of the segment; exactly on a row the steeper of the two that meet there."""
    segments = [below]
    if point == x[below] and below > 0:
        segments.append(below - 1)
    if point == x[below + 1] and below + 2 < len(x):
        segments.append(below + 1)
    return max(((t[i + 1] - t[i]) / (x[i + 1] - x[i]) for i in segments), key=abs)


def _greatest_bend(x: Sequence[float], t: Sequence[float], below: int) -> float:
    """The larger second divided difference, without sign, of the triples of rows that hold this segment."""
    bends = []
    for first in (below - 1, below):
        if first >= 0 and first + 2 < len(x):
            one = (t[first + 1] - t[first]) / (x[first + 1] - x[first])
            two = (t[first + 2] - t[first + 1]) / (x[first + 2] - x[first + 1])
            bends.append(abs((two - one) / (x[first + 2] - x[first])))
    return max(bends)
