"""The tension limit of a cable at other temperatures than the one that the manual gives it for."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from rotorkit.formula.contract import si_of
from rotorkit.judging.limits import Limit
from rotorkit.quantities import Force, ForcePerTemperature, QuantityError, Temperature, from_si
from rotorkit.rigging.cable_tension import tension_at_temperature


def tension_band_at(limit: Limit, slope: Any, limits_at: Any, day: Any) -> Limit:
    """The tension limit at another temperature: both sides moved along the chart or the slope.

    Source: `tension_at_temperature`. A slope that is badly known makes the band of the day badly known: then carry the
    measured tension to the manual's temperature instead and judge it there, with its uncertainty.

    Parameters
    ----------
    limit : Limit
        of the tension, for the temperature `limits_at`.
    slope : Any
        [force per temperature] of the manual's chart, of two measured tensions, or `tension_slope`.
    limits_at, day : Any
        [temperature] of the manual's figure and of today.

    Returns
    -------
    Limit
        The `Limit` for today; a side that would be below zero is zero (a cable can only pull).

    Examples
    --------
    30 to 40 lbf at 70 degF, 0.43 lbf per degF, today 40 degF: 17.1 to 27.1 lbf.

    >>> limit = Limit("cable tension", Force, "30 lbf", "40 lbf", "manual 7-12", "lbf")
    >>> tension_band_at(limit, "0.43 lbf/degF", "70 °F", "40 °F").text
    '17.1 lbf to 27.1 lbf'
    """
    c = float(si_of(slope, ForcePerTemperature, "slope")[0])
    there = float(si_of(limits_at, Temperature, "limits_at")[0])
    here = float(si_of(day, Temperature, "day")[0])
    sides = [
        None if side is None else from_si(max(float(tension_at_temperature.si(side, c, there, here)), 0.0), Force)
        for side in (limit.low_si, limit.high_si)
    ]
    low, high = sides
    return Limit(limit.name, limit.kind, low, high, f"{limit.source}, carried to the day's temperature", limit.unit)


@dataclass(frozen=True)
class BandPoint:
    """The tension limit at one temperature, in SI units; a side that is open is None."""

    temperature_si: float
    low_si: float | None
    high_si: float | None


def tension_chart(
    limit: Limit, slope: Any, limits_at: Any, coldest: Any, hottest: Any, points: int = 9
) -> list[BandPoint]:
    """The tension limit over a range of temperatures, for a table or a picture.

    Parameters
    ----------
    limit, slope, limits_at : Limit, Any
        as for `tension_band_at`.
    coldest, hottest : Any
        [temperature] the ends of the range.
    points : int
        how many, both ends included.
    """
    first = float(si_of(coldest, Temperature, "coldest")[0])
    last = float(si_of(hottest, Temperature, "hottest")[0])
    if not first < last or points < 2:
        raise QuantityError("coldest and hottest: need two temperatures, the colder first, and two points or more")
    found = []
    for i in range(points):
        at = first + (last - first) * i / (points - 1)
        band = tension_band_at(limit, slope, limits_at, from_si(at, Temperature))
        found.append(BandPoint(at, band.low_si, band.high_si))
    return found
