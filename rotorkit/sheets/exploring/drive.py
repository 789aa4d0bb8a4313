"""Explorations of the drive: the fan plot of a shaft on its hangers, turned at hanger place, wall and speed."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np

from rotorkit.aircraft import Aircraft
from rotorkit.aircraft.drive_parts import DriveShaft
from rotorkit.drive import Bearing, ShaftPiece, order_crossings, shaft_line, tube_whirl
from rotorkit.pictures.data import Chart, Curve, Dots
from rotorkit.quantities import Length, QuantityError, RotationRate, Stiffness, from_si, in_unit, required_kind, say
from rotorkit.sheets.exploring.knobs import Exploration, Knob, Seen, knob, without_spread

__all__ = ["SHAFT_FAN"]

_RATE, _LENGTH, _STIFFNESS = required_kind(RotationRate), required_kind(Length), required_kind(Stiffness)
_INCHES = ("in", "mm")
POINTS, MODES = 61, 4
"""Speeds of the plot, and how many of the lowest frequencies it shows."""


def _shaft(aircraft: Aircraft) -> DriveShaft:
    """The first shaft of the aircraft file that has hangers."""
    for shaft in aircraft.shafts.values():
        if len(shaft.hangers) > 1 and not shaft.lacking():
            return shaft
    raise QuantityError(
        "the aircraft file has no complete shaft with two hangers or more: add [shafts.name], hangers = […]"
    )


def _even(shaft: DriveShaft) -> Any:
    """The hangers spread evenly over the shaft, from end to end, in metres."""
    return np.linspace(0, shaft.length.si, len(shaft.hangers))


def _moved(shaft: DriveShaft) -> int:
    """Which hanger is moved: one in the middle, or the last of two."""
    return max(1, (len(shaft.hangers) - 1) // 2)


def _inches(si: float) -> str:
    return f"{float(in_unit(si, 'in', _LENGTH)):.1f} in"


def _knobs(aircraft: Aircraft) -> Sequence[Knob]:
    try:
        shaft = _shaft(aircraft)
    except QuantityError:  # told where the picture would be
        return [knob("shaft_speed", "Speed of the shaft", RotationRate, ("rpm", "rpm"), "100 rpm", "6000 rpm", (10, 10),
                     "3000 rpm")]  # fmt: skip
    even, k = _even(shaft), _moved(shaft)
    before = even[k - 1]
    after = even[k + 1] if k + 1 < len(even) else even[k]
    outer, wall = shaft.outer_diameter.si, shaft.wall.si
    thin, thick = min(0.4 * wall, 0.01 * outer), 0.5 * outer
    most = float(in_unit(shaft.greatest_speed.si, "rpm", _RATE))
    soft = float(in_unit(shaft.hanger_stiffness.si, "lbf/in", _STIFFNESS))
    return [
        knob("hanger_place", f"Position of hanger {shaft.hangers[k]}", Length, _INCHES,
             _inches(before + 0.3 * (even[k] - before)), _inches(after - 0.3 * (after - even[k])), (0.5, 10),
             _inches(even[k])),
        knob("wall", "Wall of the tube", Length, _INCHES, f"{thin / 0.0254:.3f} in", f"{thick / 0.0254:.3f} in",
             (0.005, 0.1), without_spread(shaft.wall.typed)),
        knob("shaft_speed", "Speed of the shaft", RotationRate, ("rpm", "rpm"), f"{0.1 * most:.0f} rpm",
             f"{2 * most:.0f} rpm", (10, 10), without_spread(shaft.greatest_speed.typed)),
        knob("hanger_stiffness", "Stiffness of each hanger", Stiffness, ("lbf/in", "N/mm"), f"{soft / 40:.0f} lbf/in",
             f"{4 * soft:.0f} lbf/in", (50, 10), without_spread(shaft.hanger_stiffness.typed)),
    ]  # fmt: skip


def _places(shaft: DriveShaft, at: Mapping[str, float]) -> list[float]:
    places = [float(one) for one in _even(shaft)]
    places[_moved(shaft)] = at["hanger_place"]
    return places


def _fan(aircraft: Aircraft, at: Mapping[str, float], _estimate: str) -> Seen:
    shaft = _shaft(aircraft)
    outer, wall, length = shaft.outer_diameter.si, at["wall"], shaft.length.si
    if 2 * wall > outer:
        raise QuantityError("wall: must be no more than half of the outer diameter")
    places = _places(shaft, at)
    piece = ShaftPiece(
        f"{length!r} m", f"{outer!r} m", f"{outer - 2 * wall!r} m", f"{shaft.elastic_modulus.si!r} Pa",
        f"{shaft.density.si!r} kg/m^3", None, "0.3", 24,
    )  # fmt: skip
    stiffness = f"{at['hanger_stiffness']!r} N/m"
    line = shaft_line([piece], bearings=[Bearing(f"{place!r} m", stiffness) for place in places])
    material = shaft.elastic_modulus.si, shaft.density.si
    first = tube_whirl(outer, wall, length, *material, at["hanger_stiffness"], places)[0]
    # each frequency of a round tube stands there twice, a little apart: forward and backward
    top = 1.25 * max(first, at["shaft_speed"])
    speeds = from_si(np.linspace(0.02 * top, top, POINTS), _RATE)
    found = np.asarray(line.frequencies(speeds, modes=2 * MODES).magnitude)
    curves = {f"mode {k + 1}": from_si(found[:, 2 * k + 1], _RATE) for k in range(MODES)}
    rpm = [float(in_unit(one, "rpm", _RATE)) for one in speeds.magnitude]
    crossings = [one for one in order_crossings(speeds, curves, [1, 2]) if float(one.speed.magnitude) <= top]
    high = float(in_unit(max(found[0, 1], top), "rpm", _RATE)) * 1.5
    drawn = [
        Curve("whirling frequencies" if not k else "", rpm, [float(in_unit(w, "rpm", _RATE)) for w in one.magnitude])
        for k, one in enumerate(curves.values())
        if float(in_unit(float(one.magnitude[0]), "rpm", _RATE)) < high
    ]
    drawn += [
        Curve("once a turn", rpm, rpm, "second"),
        Curve("twice a turn", rpm, [2 * one for one in rpm], "third"),
    ]
    now = float(in_unit(at["shaft_speed"], "rpm", _RATE))
    drawn.append(Curve("operating speed", [now, now], [0.0, high], "bound"))
    met = [(float(one.speed.magnitude), float(one.frequency.magnitude)) for one in crossings]
    x, y = ([float(in_unit(pair[k], "rpm", _RATE)) for pair in met] for k in (0, 1))
    chart = Chart(
        "Fan plot of the shaft",
        "Speed of the shaft (rpm)",
        "Frequency (cycles a minute)",
        drawn,
        (),
        (),
        (Dots("crossings", x, y),) if met else (),
    )
    margin = first / at["shaft_speed"] - 1
    lines = [
        f"{shaft.named}, its hangers evenly spaced from end to end except {shaft.hangers[_moved(shaft)]}.",
        f"First critical speed {say(from_si(first, _RATE), 'rpm', digits=4)}: "
        + (
            f"{100 * margin:.0f} % above operating speed."
            if margin >= 0
            else f"{-100 * margin:.0f} % BELOW operating speed. It would have to run through its critical speed."
        ),
    ]
    twice = [one for one in crossings if one.order == 2]
    if twice:
        lowest = min(twice, key=lambda one: float(one.speed.magnitude))
        lines.append(
            "A universal joint shakes it twice a turn: that reaches one of its frequencies at "
            f"{say(lowest.speed, 'rpm', digits=4)}."
        )
    return Seen([chart], lines)


SHAFT_FAN = Exploration(
    "shaft_fan",
    "shaft",
    "Where a shaft whirls",
    "Move a hanger, thicken the wall, turn it faster: see where its frequencies meet once and twice a turn.",
    _knobs,
    _fan,
    closing=(
        "No uncertainty and no verdict here: the check itself judges the shaft as mounted. No figure here releases a "
        "shaft that shakes."
    ),
)
