"""A wrong row of a table: the row beside the right one, of every table that a figure is looked up in.

Tables of the aircraft file (a gauge's, the engine's power by height, the places for a load, an envelope's corners) and
of handbooks (the steel and the size of a cable) are put into the sheet with rows in each other's places, and it is
worked again. What a formula gives as a function and a person looks up in a printed table (the standard atmosphere, the
grades of balance, the compression tester's orifices) is given here by its printed rows.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Sequence
from typing import Any

from rotorkit.aircraft import Aircraft
from rotorkit.quantities import Force, Length, read
from rotorkit.rigging import CABLE_CONSTRUCTIONS, CABLE_STRENGTHS, MATERIALS
from rotorkit.sheets.base import Sheet

GRADES = (0.4e-3, 1e-3, 2.5e-3, 6.3e-3, 16e-3, 40e-3)
"""Balance quality grades, m/s (ISO 21940-11, table 1, from memory)."""
ORIFICES = (0.040 * 0.0254, 0.060 * 0.0254)
"""Of a compression tester, m (AC 43.13-1B, 8-14, read)."""
STANDARD_AIR = frozenset({"standard_temperature", "standard_pressure", "standard_density"})
"""Formulas that a person looks up in a table of the standard atmosphere, by pressure altitude."""
TABLE_STEP = (304.8, 500.0)
"""Its rows, m: 1,000 ft in handbooks in feet, 500 m in others."""
Changed = tuple[str, str, Aircraft]
"""(words, place in the aircraft file, the aircraft with that) of each row taken for another."""


# as printed in handbooks


def printed_rows(name: str, si: float) -> list[float]:
    """The rows beside an argument's, of a table that has only some values. name: the argument's."""
    rows = GRADES if name == "grade" else ORIFICES if name == "orifice" else ()
    at = [i for i, row in enumerate(rows) if abs(row - si) <= 1e-6 * row]
    if not at:
        return []
    return [row for i, row in enumerate(rows) if abs(i - at[0]) == 1]


def looked_up(formula: str, altitude: float, feet: bool) -> list[float]:
    """Pressure altitudes, m, of the rows of the standard atmosphere's table about one, but that which is it; none for
    what is looked up in no such table. Between two rows both, as they stand, and the row beyond each."""
    if formula not in STANDARD_AIR:
        return []
    step = TABLE_STEP[0] if feet else TABLE_STEP[1]
    place = altitude / step
    if abs(place - round(place)) < 1e-6:
        return [(round(place) - 1) * step, (round(place) + 1) * step]
    below = math.floor(place)
    return [(below + more) * step for more in (0, 1, -1, 2)]


# of the aircraft file


def with_a_wrong_row(sheet: Sheet, aircraft: Aircraft) -> Iterator[Changed]:
    """The aircraft with a row of a table that the sheet looks something up in taken for the one beside it."""
    gauge, cable = str(getattr(sheet, "gauge", "")), str(getattr(sheet, "cable", ""))
    if gauge in aircraft.instruments:
        yield from _gauge(aircraft, gauge)
    if cable in aircraft.cables:
        yield from _cable(aircraft, cable)
    used = " ".join(type(sheet).uses)
    if "engine" in used and aircraft.engine is not None and aircraft.engine.power_table is not None:
        yield from _power(aircraft)
    if "loading" in used and aircraft.loading is not None:
        yield from _loading(aircraft)


def _off(values: Sequence[Any], at: int, by: int) -> list[Any] | None:
    """Values by row with those of the rows at and at + 1 taken one stretch further; None beyond the table's end."""
    if at + by < 0 or at + 1 + by >= len(values):
        return None
    found = list(values)
    found[at], found[at + 1] = values[at + by], values[at + 1 + by]
    return found


def _gauge(aircraft: Aircraft, name: str) -> Iterator[Changed]:
    """Each stretch between two rows by itself, so that only a reading that lies in it is read off wrongly; the row put
    half way is for the table, which wants three."""
    gauge = aircraft.instruments[name]
    for number, table in enumerate(gauge.tables):
        dials, tensions = [row[0] for row in table.rows], [row[1] for row in table.rows]
        for at, by in itertools.product(range(len(dials) - 1), (-1, 1)):
            off = _off(tensions, at, by)
            if off is None:
                continue
            half = (dials[at] + dials[at + 1]) / 2, (read(off[at], Force).si + read(off[at + 1], Force).si) / 2
            rows = [(dials[at], off[at]), (half[0], f"{half[1]!r} N"), (dials[at + 1], off[at + 1])]
            tables = list(gauge.tables)
            tables[number] = table.model_copy(update={"rows": rows})
            changed = gauge.model_copy(update={"tables": tables})
            words = (
                f"in the table of {gauge.named} (riser {table.riser}) the rows of {dials[at + by]:g} and "
                f"{dials[at + 1 + by]:g} divisions were taken in place of {dials[at]:g} and {dials[at + 1]:g}"
            )
            place = f"instruments.{name}.tables.{number}.rows.{at}"
            yield words, place, _put(aircraft, "instruments", name, changed)


def _power(aircraft: Aircraft) -> Iterator[Changed]:
    engine = aircraft.engine
    table = engine.power_table
    assert table is not None
    heights, powers = [row[0] for row in table.rows], [row[1] for row in table.rows]
    for at, by in itertools.product(range(len(heights) - 1), (-1, 1)):
        off = _off(powers, at, by)
        if off is None:
            continue
        rows = [[height, power] for height, power in zip(heights[at : at + 2], off[at : at + 2], strict=True)]
        changed = engine.model_copy(update={"power_table": table.model_copy(update={"rows": rows})})
        words = (
            f"in the power table the rows of {heights[at + by]} and {heights[at + 1 + by]} were taken in place of "
            f"{heights[at]} and {heights[at + 1]}"
        )
        yield words, f"engine.power_table.rows.{at}", aircraft.model_copy(update={"engine": changed})


def _cable(aircraft: Aircraft, name: str) -> Iterator[Changed]:
    cable = aircraft.cables[name]
    whats = {
        "steel": [one.material for one in CABLE_CONSTRUCTIONS],
        "construction": [one.name for one in CABLE_CONSTRUCTIONS],
        "airframe_material": list(MATERIALS),
    }
    for what, options in whats.items():
        if not cable.has(what):
            continue
        now = getattr(cable, what)
        for other in dict.fromkeys(options):
            if other != now:
                words = f"the row of {other} was taken in place of {now} ({what.replace('_', ' ')})"
                yield (
                    words,
                    f"cables.{name}.{what}",
                    _put(aircraft, "cables", name, cable.model_copy(update={what: other})),
                )
    if cable.has("diameter", "construction"):
        sizes = [row for row in CABLE_STRENGTHS if row.construction == cable.construction]
        at = [i for i, row in enumerate(sizes) if abs(read(row.diameter, Length).si / cable.diameter.si - 1) < 0.02]
        for i in (at[0] - 1, at[0] + 1) if at else ():
            if 0 <= i < len(sizes):
                changed = cable.model_copy(update={"diameter": read(sizes[i].diameter, Length)})
                words = f"the row of a {sizes[i].diameter} cable was taken in place of {cable.diameter.typed}"
                yield words, f"cables.{name}.diameter", _put(aircraft, "cables", name, changed)


def _loading(aircraft: Aircraft) -> Iterator[Changed]:
    figures = aircraft.loading
    assert figures is not None
    stations_in_order = list(figures.stations.items())
    beside_each_other = list(itertools.pairwise(stations_in_order))
    for (name, one), (_, other) in (*beside_each_other, *((b, a) for a, b in beside_each_other)):
        for what in ("arm", "lateral_arm"):
            if getattr(one, what).si == getattr(other, what).si:
                continue
            stations = {**figures.stations, name: one.model_copy(update={what: getattr(other, what)})}
            changed = figures.model_copy(update={"stations": stations})
            said = what.replace("_", " ")
            words = f"the {said} of {other.title} was taken for {one.title}"
            yield words, f"loading.stations.{name}.{what}", aircraft.model_copy(update={"loading": changed})
    for number, lines in enumerate(figures.envelopes):
        for at, by in itertools.product(range(len(lines.corners)), (-1, 1)):
            corner, beside = lines.corners[at], lines.corners[(at + by) % len(lines.corners)]
            for what in ("arm", "lateral_arm", "mass"):
                was, now = getattr(corner, what), getattr(beside, what)
                if was is None or now is None or was.si == now.si:
                    continue
                corners = list(lines.corners)
                corners[at] = corner.model_copy(update={what: now})
                envelopes = list(figures.envelopes)
                envelopes[number] = lines.model_copy(update={"corners": corners})
                changed = figures.model_copy(update={"envelopes": envelopes})
                words = (
                    f"in the envelope {lines.title} the {what.replace('_', ' ')} of the corner beside it was taken, "
                    f"{now.typed} for {was.typed}"
                )
                place = f"loading.envelopes.{number}.corners.{at}"
                yield words, place, aircraft.model_copy(update={"loading": changed})


def _put(aircraft: Aircraft, table: str, name: str, changed: Any) -> Aircraft:
    return aircraft.model_copy(update={table: {**getattr(aircraft, table), name: changed}})
