"""Explorations of the drive: the fan plot of shaft and blades, turned at bearings' places, wall and rotor speed.

It begins with the form's own shaft and places, and with the blades as the folder's check of blade modes has them. Over
the rotor's speed where the drive's links say how fast the shaft turns, else over the shaft's own.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from itertools import pairwise
from typing import Any

import numpy as np

from rotorkit.aircraft import Aircraft
from rotorkit.aircraft.derived import shaft_of_hangers, shaft_turns
from rotorkit.aircraft.drive_parts import DriveShaft
from rotorkit.aircraft.entries import MissingFigures
from rotorkit.drive import Bearing, Disc, ShaftPiece, order_crossings, shaft_line, tube_whirl
from rotorkit.drive.trust import BLADE_FREQUENCY
from rotorkit.judging.measured import difference_si
from rotorkit.pictures.data import Band, Chart, Curve, Dots
from rotorkit.quantities import (
    Length,
    Mass,
    QuantityError,
    Reading,
    RotationRate,
    Stiffness,
    from_si,
    in_unit,
    read,
    say,
    unit_factor,
)
from rotorkit.quantities.taken_from import parted
from rotorkit.sheets.base import Outcome, SheetError
from rotorkit.sheets.drive.blade_modes import BladeModes, blade_crossings, fan_chart, margin_words, order_count
from rotorkit.sheets.drive.shaft_whirl import ShaftWhirl
from rotorkit.sheets.exploring.knobs import Exploration, Knob, Readings, Seen, knob, without_spread

_INCHES = ("in", "mm")
POINTS, MODES = 61, 4
"""Speeds of the plot, and how many of the lowest frequencies of the shaft it shows."""
TOLD = 3
"""So many crossings of shaft and of blades are named, the nearest to the speeds in use first."""
SHAFT_ORDERS = {1: "once a turn", 2: "twice a turn"}
"""What shakes a shaft: its own imbalance, and a universal joint."""


class _Fan:
    """A shaft on its hangers, and the rotor's blades where they are known.

    aircraft; readings, of the form that it begins with; others, those of the folder's other checks, by
    sheet.
    """

    def __init__(self, aircraft: Aircraft, readings: Readings, others: Mapping[str, Readings]) -> None:
        self.of_form = "hangers" in readings
        """Whether it began with a form of the shaft; else with what stands for the folder's check of one."""
        self.readings = readings if self.of_form else others.get("shaft_whirl", {})
        self.aircraft, self.others = aircraft, others
        self.key, self.shaft = self._picked()
        name = shaft_of_hangers(aircraft, self.key)
        self.turns = shaft_turns(aircraft)[name] if name and aircraft.gives("main_rotor.speed") else None
        """Turns of the shaft for one of the main rotor; None where the links do not say it."""
        self.speed = "shaft_speed" if self.turns is None else "rotor_speed"
        self.places = self._read_places()
        self.evenly = self.places is None
        if self.places is None:
            self.places = dict(
                zip(self.shaft.hangers, np.linspace(0, self.shaft.length.si, len(self.shaft.hangers)), strict=True)
            )
        self.diameter = self._diameter()
        self.blades = self._blades()
        self.use = self._use()

    def _picked(self) -> tuple[str, DriveShaft]:
        """The shaft of the form; else the first of the aircraft file that has hangers."""
        picked = str(self.readings.get("shaft", ""))
        whole = {key: one for key, one in self.aircraft.shafts.items() if len(one.hangers) > 1 and not one.lacking()}
        if not whole:
            raise QuantityError(
                "the aircraft file has no complete shaft with two hangers or more: add [shafts.name], hangers = […]"
            )
        key = picked if picked in whole else next(iter(whole))
        return key, whole[key]

    def _read_places(self) -> dict[str, float] | None:
        """Every hanger's place by the form, from the front; None where one is not read there."""
        if self.readings.get("shaft") != self.key:
            return None
        found = {}
        for row in self.readings.get("hangers", []):
            try:
                found[str(row.get("hanger", "")).strip()] = float(read(parted(row.get("place", ""))[0], Length).si)
            except QuantityError:
                return None
        if set(found) != set(self.shaft.hangers) or len(set(found.values())) < len(found):
            return None
        if min(found.values()) < 0 or max(found.values()) > self.shaft.length.si * (1 + 1e-9):
            return None
        return dict(sorted(found.items(), key=lambda one: one[1]))

    def _diameter(self) -> float:
        """As the form has it measured, else the aircraft file's."""
        text = str(self.readings.get("outer_diameter", "")) if self.readings.get("shaft") == self.key else ""
        try:
            return float(read(parted(text)[0], Length).si) if text.strip() else float(self.shaft.outer_diameter.si)
        except QuantityError:
            return float(self.shaft.outer_diameter.si)

    def _masses(self) -> list[tuple[float, float]]:
        """Mass and place of what the form has on the tube; a row that is not whole is passed over."""
        found = []
        for row in self.readings.get("masses", []) if self.readings.get("shaft") == self.key else []:
            try:
                mass, place = (
                    float(read(parted(str(row.get(name, "")))[0], kind).si)
                    for name, kind in (("mass", Mass), ("place", Length))
                )
            except QuantityError:
                continue
            if mass > 0 and 0 <= place <= self.shaft.length.si * (1 + 1e-9):
                found.append((mass, min(place, float(self.shaft.length.si))))
        return found

    def _sheet(self, name: str, kind: type[Any]) -> Any:
        try:
            return kind.from_readings(self.others[name]) if name in self.others else None
        except SheetError:
            return None

    def _blades(self) -> BladeModes | None:
        """The main rotor's blades as the folder's check of them has them, where that is whole."""
        made: BladeModes | None = self._sheet("blade_modes", BladeModes)
        if made is None or made.rotor != "main rotor":
            return None
        try:
            return made if all(part.done for part in made.parts(self.aircraft)) else None
        except MissingFigures:
            return None

    def _use(self) -> tuple[float, float] | None:
        """Rotor speeds in use, slowest and fastest, by the check of blade modes or the torsional one."""
        for name in ("blade_modes", "torsional_modes"):
            given = self.others.get(name, {})
            if name == "blade_modes" and given.get("rotor") != "main rotor":
                continue
            try:
                ends = [float(read(parted(str(given[one]))[0], RotationRate).si) for one in ("slowest", "fastest")]
            except (KeyError, QuantityError):
                continue
            if 0 < ends[0] < ends[1]:
                return ends[0], ends[1]
        return None

    # knobs

    def knobs(self) -> list[Knob]:
        shaft, length = self.shaft, float(self.shaft.length.si)
        assert self.places is not None  # made with it
        places = list(self.places.values())
        halves = [(a + b) / 2 for a, b in pairwise(places)]
        found = []
        for k, (name, place) in enumerate(self.places.items()):
            # each up to near the middle between two, so that they stay in order however they are turned
            low = halves[k - 1] + 0.04 * (place - halves[k - 1]) if k else 0.0
            high = halves[k] - 0.04 * (halves[k] - place) if k < len(halves) else length
            found.append(
                knob(f"place_{k + 1}", f"Position of hanger {name}", Length, _INCHES, _inches(low, 2), _inches(high, 2),
                     (0.5, 10), _inches(place, 2))
            )  # fmt: skip
        outer, wall = self.diameter, float(shaft.wall.si)
        thin, thick = min(0.4 * wall, 0.01 * outer), 0.5 * outer
        most = float(in_unit(shaft.greatest_speed.si, "rpm", RotationRate)) / (self.turns or 1.0)
        soft = float(in_unit(shaft.hanger_stiffness.si, "lbf/in", Stiffness))
        titles = {"shaft_speed": "Speed of the shaft", "rotor_speed": "Main-rotor speed"}
        step = 10.0 if most > 1000 else 1.0
        return [
            *found,
            knob("wall", "Wall of the tube", Length, _INCHES, _inches(thin, 4), _inches(thick, 4), (0.005, 0.1),
                 without_spread(shaft.wall.typed)),
            knob(self.speed, titles[self.speed], RotationRate, ("rpm", "rpm"), f"{0.1 * most:.0f} rpm",
                 f"{2 * most:.0f} rpm", (step, step), f"{most:.4f} rpm"),
            knob("hanger_stiffness", "Stiffness of each hanger", Stiffness, ("lbf/in", "N/mm"),
                 f"{soft / 40:.0f} lbf/in", f"{4 * soft:.0f} lbf/in", (50, 10),
                 without_spread(shaft.hanger_stiffness.typed)),
        ]  # fmt: skip

    # what the form's sheet makes of it

    def conditions(self, at: Mapping[str, float], began: Mapping[str, float]) -> Outcome | None:
        """The check of the shaft with what was turned in place of its own, each with the ± that its reading or figure
        has; the speed turned at stands for the greatest. None where the form has not every place."""
        if self.evenly:
            return None
        rows = []
        for k, name in enumerate(self.places or {}):
            row = next(row for row in self.readings["hangers"] if str(row.get("hanger", "")).strip() == name)
            here = f"place_{k + 1}"
            typed = parted(row["place"])[0]
            rows.append({**row, "place": _turned(read(typed, Length), at[here], began.get(here), typed, "in")})
        speed = at[self.speed] * (self.turns or 1.0)
        shaft = self.shaft.model_copy(
            update={
                name: read(_turned(one, si, begins, one.typed, unit), one.kind)
                for name, one, si, begins, unit in (
                    ("wall", self.shaft.wall, at["wall"], began.get("wall"), "in"),
                    ("hanger_stiffness", self.shaft.hanger_stiffness, at["hanger_stiffness"],
                     began.get("hanger_stiffness"), "lbf/in"),
                    ("greatest_speed", self.shaft.greatest_speed, speed,
                     speed if at[self.speed] == began.get(self.speed) else None, "rpm"),
                )
            }
        )  # fmt: skip
        # the speed turned at is held against nothing: what would be at it is the question
        links = {key: one.model_copy(update={"shaft": ""}) for key, one in self.aircraft.links.items()}
        craft = self.aircraft.model_copy(update={"shafts": {**self.aircraft.shafts, self.key: shaft}, "links": links})
        try:
            return ShaftWhirl.from_readings({**self.readings, "hangers": rows}).work(craft)
        except (SheetError, QuantityError):
            return None

    # pictures

    def see(self, at: Mapping[str, float], began: Mapping[str, float] | None = None) -> Seen:
        if 2 * at["wall"] > self.diameter:
            raise QuantityError("wall: must be no more than half of the outer diameter")
        names = list(self.places or {})
        if f"place_{len(names)}" not in at or f"place_{len(names) + 1}" in at or self.speed not in at:
            raise QuantityError("the aircraft file has another shaft now: start again with the form's readings")
        places = [at[f"place_{k + 1}"] for k in range(len(names))]
        chart, lines = self._shaft(at, places, self.conditions(at, began or {}))
        pictures: list[Chart] = [chart]
        if self.turns is None:
            lines.append(
                f'How fast the shaft turns the file does not say: give the link that it is shaft = "{self.key}", and '
                "the plot is over the rotor's speed, with the blades' frequencies beside it."
            )
        elif self.blades is None:
            lines.append(
                "The blades' frequencies stand beside it once the check of blade modes has the main rotor's blades."
            )
        else:
            charted, said = self._of_blades(self.blades, at)
            pictures.append(charted)
            lines += said
        return Seen(pictures, lines)

    def _shaft(
        self, at: Mapping[str, float], places: Sequence[float], judged: Outcome | None
    ) -> tuple[Chart, list[str]]:
        shaft, turns = self.shaft, self.turns or 1.0
        outer, wall, length = self.diameter, at["wall"], shaft.length.si
        piece = ShaftPiece(
            f"{length!r} m", f"{outer!r} m", f"{outer - 2 * wall!r} m", f"{shaft.elastic_modulus.si!r} Pa",
            f"{shaft.density.si!r} kg/m^3", None, "0.3", 24,
        )  # fmt: skip
        stiffness = f"{at['hanger_stiffness']!r} N/m"
        masses = self._masses()
        discs = [Disc(f"{place!r} m", f"{mass!r} kg") for mass, place in masses]
        line = shaft_line([piece], discs, [Bearing(f"{place!r} m", stiffness) for place in places])
        material = shaft.elastic_modulus.si, shaft.density.si
        first = tube_whirl(outer, wall, length, *material, at["hanger_stiffness"], places, masses=masses)[0]
        # each frequency of a round tube stands there twice, a little apart: forward and backward
        here = at[self.speed] * turns
        use = None if self.use is None or self.turns is None else (self.use[0] * turns, self.use[1] * turns)
        top = 1.25 * max(first, here, use[1] if use else 0.0)
        speeds = from_si(np.linspace(0.02 * top, top, POINTS), RotationRate)
        found = np.asarray(line.frequencies(speeds, modes=2 * MODES).magnitude)
        curves = {f"whirling frequency {k + 1}": from_si(found[:, 2 * k + 1], RotationRate) for k in range(MODES)}
        rpm = [float(in_unit(one, "rpm", RotationRate)) / turns for one in speeds.magnitude]
        ends = (None, None) if use is None else (from_si(use[0], RotationRate), from_si(use[1], RotationRate))
        met = [
            one
            for one in order_crossings(speeds, curves, list(SHAFT_ORDERS), *ends)
            if float(one.speed.magnitude) <= top
        ]
        high = max(found[0, 1], top) * 1.5 / (2 * np.pi)
        drawn = [
            Curve("whirling frequencies" if not k else "", rpm, [float(w) / (2 * np.pi) for w in one.magnitude])
            for k, one in enumerate(curves.values())
            if float(one.magnitude[0]) / (2 * np.pi) < high
        ]
        of_shaft = "" if self.turns is None else " of the shaft"
        for (order, words), style in zip(SHAFT_ORDERS.items(), ("second", "third"), strict=True):
            drawn.append(Curve(f"{words}{of_shaft}", rpm, [order * one * turns / 60 for one in rpm], style))
        now = float(in_unit(at[self.speed], "rpm", RotationRate))
        drawn.append(Curve("operating speed", [now, now], [0.0, high], "bound"))
        bands = []
        if use is not None:
            within = [float(in_unit(one, "rpm", RotationRate)) / turns for one in use]
            bands.append(Band("speeds in use", within, [0.0, 0.0], [high, high]))
        critical = None
        if judged is not None:
            critical = next((one.measured for one in judged.findings if one.key == "critical_speed"), None)
        if critical is not None:
            share = float(critical.expanded_si) / float(critical.si)
            lowest = [float(w) / (2 * np.pi) for w in curves["whirling frequency 1"].magnitude]
            off = [(1 - share) * one for one in lowest], [(1 + share) * one for one in lowest]
            bands.append(Band("the first with its ±", rpm, *off))
        dots: tuple[Dots, ...] = ()
        if met:
            x = [float(in_unit(float(one.speed.magnitude), "rpm", RotationRate)) / turns for one in met]
            dots = (Dots("crossings", x, [float(one.frequency.magnitude) / (2 * np.pi) for one in met]),)
        along = "Speed of the shaft (rpm)" if self.turns is None else "Rotor speed (rpm)"
        chart = Chart("Fan plot of the shaft", along, "Frequency (Hz)", drawn, bands, (), dots)
        return chart, self._shaft_lines(first, here, critical, met)

    def _shaft_lines(self, first: float, here: float, critical: Any, met: Sequence[Any]) -> list[str]:
        turns, margin = self.turns or 1.0, first / here - 1
        said = say(from_si(first, RotationRate), "rpm", digits=4) if critical is None else say(critical.shown_in("rpm"))
        at = say(from_si(here, RotationRate), "rpm", digits=4)
        by_rotor = (
            "" if self.turns is None else f", the rotor's {say(from_si(here / turns, RotationRate), 'rpm', digits=4)}"
        )
        how = "its hangers evenly spaced from end to end" if self.evenly else "mounted as it was measured"
        lines = [
            f"{self.shaft.named}, {how}"
            + ("." if self.turns is None else f"; it makes {turns:.4g} turns for one of the rotor."),
            f"First critical speed {said}: "
            + (
                f"{100 * margin:.0f} % above operating speed, {at}{by_rotor}."
                if margin >= 0
                else f"{-100 * margin:.0f} % BELOW operating speed, {at}{by_rotor}. It would have to run through "
                "its critical speed."
            ),
        ]
        told = []
        for one in list(met)[:TOLD]:
            where = say(from_si(float(one.speed.magnitude) / turns, RotationRate), "rpm", digits=4)
            beside = "" if one.margin is None else f", {margin_words(one.margin)}"
            of = "the shaft" if self.turns is None else "the rotor"
            told.append(f"{one.curve} meets {SHAFT_ORDERS[int(one.order)]} at {where} of {of}{beside}")
        if told:
            lines.append(f"Crossings of the shaft, nearest first: {'; '.join(told)}.")
        return lines

    def _of_blades(self, blades: BladeModes, at: Mapping[str, float]) -> tuple[Chart, list[str]]:
        here = at["rotor_speed"]
        assert blades.slowest is not None  # it is whole
        assert blades.fastest is not None
        low, high = blades.slowest.si, blades.fastest.si
        top = 1.25 * max(high, here)
        over = blades.over_speeds(top)
        orders = range(1, order_count(len(self.aircraft.main_rotor.blades)) + 1)
        spreads = blades.spreads(self.aircraft, here)
        chart = fan_chart("Fan plot of the blades", over, orders, (low, high), top, here, spreads)
        met = blade_crossings(over, orders, low, high, top)
        told = [
            f"{one.curve} meets order {one.order:g} at {say(one.speed, 'rpm', digits=4)}, "
            f"{margin_words(one.margin or 0.0)}"
            for one in met[:TOLD]
        ]
        there = [
            f"{direction} {', '.join(_with(w / here, by) for w, by in both)}"
            for direction, of in over.items()
            for both in [zip(of(np.array([here]))[0], spreads[direction], strict=True)]
        ]
        lines = [
            f"The blades at this rotor speed, times a turn: {'; '.join(there)} (the ± of the readings, and "
            f"{200 * BLADE_FREQUENCY:.0f} % that the theory may be off, k = 2)."
        ]
        if told:
            lines.append(f"Crossings of the blades by the best figures, nearest first: {'; '.join(told)}.")
        return chart, lines


def _with(turns: float, share: float) -> str:
    return f"{turns:.2f} ± {share * turns:.2f}"


def _inches(si: float, decimals: int) -> str:
    return f"{float(in_unit(si, 'in', Length)):.{decimals}f} in"


def _turned(reading: Reading, si: float, began: float | None, typed: str, unit: str) -> str:
    """What was turned in a reading's place, with its ±; as typed where it was not turned."""
    if began is not None and np.isclose(si, began, rtol=1e-9):
        return typed
    found = f"{float(in_unit(si, unit, reading.kind)):.6f} {unit}"
    if reading.uncertainty is not None:
        found += f" ± {difference_si(reading.uncertainty, reading.kind) / unit_factor(unit, reading.kind):.6f} {unit}"
    return found


def _knobs(aircraft: Aircraft) -> Sequence[Knob]:
    try:
        return _Fan(aircraft, {}, {}).knobs()
    except QuantityError:  # told where the picture would be
        return [knob("shaft_speed", "Speed of the shaft", RotationRate, ("rpm", "rpm"), "100 rpm", "6000 rpm", (10, 10),
                     "3000 rpm")]  # fmt: skip


def _conditions(fan: _Fan, at: Mapping[str, float], began: Mapping[str, float]) -> Outcome | None:
    """The form's sheet at what was turned to; None where the form is of something else."""
    return fan.conditions(at, began) if fan.of_form else None


def _begun(aircraft: Aircraft, readings: Readings, others: Mapping[str, Readings]) -> Exploration:
    def knobs(aircraft: Aircraft) -> Sequence[Knob]:
        try:
            return _Fan(aircraft, readings, others).knobs()
        except QuantityError:
            return _knobs(aircraft)

    return replace(
        SHAFT_FAN,
        knobs=knobs,
        see=lambda aircraft, at, _estimate: _Fan(aircraft, readings, others).see(at),
        conditions=lambda aircraft, at, began: _conditions(_Fan(aircraft, readings, others), at, began),
    )


SHAFT_FAN = Exploration(
    "shaft_fan",
    "shaft",
    "The fan plot: where shaft and blades meet what shakes them",
    "Move a hanger, thicken the wall, turn the rotor faster: where frequencies meet what comes once, twice and more "
    "often in a turn.",
    _knobs,
    lambda aircraft, at, _estimate: _Fan(aircraft, {}, {}).see(at),
    closing=(
        "No verdict here: the check itself judges the shaft as mounted. No figure here releases a shaft that shakes."
    ),
    begun=_begun,
    also=("shaft_whirl", "blade_modes", "torsional_modes"),
)
