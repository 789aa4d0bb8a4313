"""The picture of a cable's tension over temperature: its line, the limit that moves along, today's point."""

from __future__ import annotations

from typing import Any

from rotorkit.aircraft import Cable
from rotorkit.measured import Measured
from rotorkit.quantities import Force, Temperature, in_unit, required_kind, unit_factor, unit_label
from rotorkit.rigging import tension_at_temperature
from rotorkit.sheets.picture import Band, Chart, Curve, Point

__all__ = ["tension_chart"]

MARGIN = 15.0
"""Kelvins beside the temperatures shown."""
SAME_TEMPERATURE = 0.5
"""Kelvins within which today's temperature is the limit's, so that one point stands for both."""


def tension_chart(
    cable: Cable,
    system: str,
    temperature: Measured,
    tension: Measured,
    slope: Measured,
    steepest: Measured | None,
    carried: Measured,
    slack: Measured | None,
    word: str,
) -> Chart:
    """The chart.

    Arguments: cable, of the aircraft file; system, "us" or "metric"; temperature and tension, as read today; slope,
    with steepest where only bounds of it are known; carried, the tension at the limit's temperature; slack, the
    temperature at which the cable is slack, or None; word, the verdict on the carried tension.
    """
    degrees, pounds = required_kind(Temperature).shown(system), required_kind(Force).shown(system)
    day, there, force, c = (float(v) for v in (temperature.si, cable.limits_at.si, tension.si, slope.si))
    ends = [day, there] + ([float(slack.si)] if slack is not None else [])
    low, high = min(ends) - MARGIN, max(ends) + MARGIN

    def x(si: float) -> float:
        return float(in_unit(si, degrees, required_kind(Temperature)))

    def y(si: float) -> float:
        return float(in_unit(max(si, 0.0), pounds, required_kind(Force)))

    def spread(figure: Measured, unit: str, kind: Any) -> float:
        return float(figure.expanded_si) / unit_factor(unit, required_kind(kind))

    def line(through: float, at: float, steepness: float) -> tuple[list[float], list[float]]:
        """A straight line from end to end, lying on zero where a cable is slack."""
        points = [low, high]
        if steepness and low < (zero := at - through / steepness) < high:
            points.insert(1, zero)
        return [x(p) for p in points], [y(tension_at_temperature.si(through, steepness, at, p)) for p in points]

    curves = [Curve("this cable", *line(force, day, c), "main")]
    if steepest is not None:
        curves.append(Curve("if the airframe were rigid", *line(force, day, float(steepest.si)), "second"))
        curves.append(Curve("if the temperature changed nothing", *line(force, day, 0.0), "second"))
    points = [
        Point(
            "today",
            x(day),
            y(force),
            spread(temperature, degrees, Temperature),
            spread(tension, pounds, Force),
            word,
        )
    ]
    if abs(day - there) > SAME_TEMPERATURE:
        label = f"carried to {cable.limits_at.understood}"
        points.append(Point(label, x(there), y(float(carried.si)), 0.0, spread(carried, pounds, Force), word))
    if slack is not None:
        points.append(Point("slack", x(float(slack.si)), 0.0, spread(slack, degrees, Temperature)))
    limit = cable.limits.tension
    bands = []
    if limit is not None:
        # the band bends where its low side meets zero, so it is given there; an open side goes to the picture's edge
        sides = [side for side in (limit.low_si, limit.high_si) if side is not None]
        kinks = [there - side / c for side in sides] if c else []
        at = sorted({low, high, *(k for k in kinks if low < k < high)})
        top = 1.25 * max(
            [force, float(carried.si), *(tension_at_temperature.si(s, c, there, p) for s in sides for p in at)]
        )

        def side_line(side: float | None, edge: float) -> list[float]:
            return [y(edge) if side is None else y(tension_at_temperature.si(side, c, there, p)) for p in at]

        bands.append(
            Band(
                f"limit {limit.text} at {cable.limits_at.understood}, moved with temperature",
                [x(p) for p in at],
                side_line(limit.low_si, 0.0),
                side_line(limit.high_si, top),
            )
        )
    return Chart(
        f"Tension over temperature, {cable.title}",
        f"temperature, {unit_label(degrees, required_kind(Temperature))}",
        f"tension, {unit_label(pounds, required_kind(Force))}",
        curves,
        bands,
        points,
    )
