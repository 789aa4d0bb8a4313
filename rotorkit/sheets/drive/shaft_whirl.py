"""Shaft whirl: the first critical speed of a tubular shaft on its hangers, against its greatest speed."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from typing import Annotated, Any, ClassVar

import numpy as np

from rotorkit.aircraft import Aircraft
from rotorkit.aircraft.derived import speed_contradicted
from rotorkit.aircraft.drive_parts import DriveShaft
from rotorkit.aircraft.entries import Choice, Entry, asked, required, rows
from rotorkit.drive import critical_margin, tube_critical_speeds, tube_whirl
from rotorkit.drive.trust import NOT_COMPARED
from rotorkit.judging.limits import Limit
from rotorkit.judging.measured import Measured, measured, propagate
from rotorkit.pictures.data import Chart, Curve, Dots
from rotorkit.quantities import (
    Density,
    Length,
    Mass,
    Ratio,
    Reading,
    RotationRate,
    Stiffness,
    Stress,
    in_unit,
    say,
)
from rotorkit.quantities.errors import shortened
from rotorkit.sheets.base import AN_ESTIMATE, About, Needed, Outcome, Part, Row, Sheet
from rotorkit.sheets.exercises import Exercise, Range
from rotorkit.sheets.working import Working
from rotorkit.sources import NELSON_MCVAUGH_1976, VIBRATION, cautions

_INCHES = ("in", "mm")
BELOW = Limit(
    "margin to the critical speed", Ratio, low="0", source="physics: the shaft does not whirl within its speeds"
)
ESTIMATED = (
    f"{AN_ESTIMATE}: a straight and even tube, with couplings as stiff as the tube itself and what sits on it as a "
    f"mass at a point. {NOT_COMPARED.format('shaft')}"
)
BARE_TUBE = (
    f"{AN_ESTIMATE} on the unsafe side where anything sits on the tube: no coupling, sleeve or other mass is given, so "
    "it is taken as bare. Each lowers the critical speed, most in the middle of a span: write a row for each."
)
"""What the check says first where nothing sits on the tube."""
PUSHES = 2
"""A turn, by a universal joint at an angle (common practice, no source)."""
DIFFERS = 0.02
"""A dimension measured that lies this far from the aircraft file's is asked about."""


class HangerRow(Row):
    """One hanger or bearing."""

    hanger: str = asked("Hanger", "Its name in the aircraft file.", "")
    place: Annotated[Reading | None, Entry(Length, _INCHES, ("0 in", "40 ft"))] = asked(
        "Place", "From the shaft's front end to the middle of the bearing, with ±."
    )


class MassRow(Row):
    """One thing that turns with the tube."""

    what: str = asked("What", "Coupling, sleeve, flange or disc.", "")
    mass: Annotated[Reading | None, Entry(Mass, ("lb", "kg"), ("0.001 lb", "200 lb"), ("0.01 lb", "20 lb"))] = asked(
        "Mass", "Weighed, or by its drawing, with ±."
    )
    place: Annotated[Reading | None, Entry(Length, _INCHES, ("0 in", "40 ft"))] = asked(
        "Place", "From the shaft's front end to its middle, with ±."
    )


class ShaftWhirl(Sheet):
    """Critical speed of one shaft on hangers."""

    order: ClassVar[int] = 30
    puts_right: ClassVar[dict[str, str]] = {
        "": (
            "Do not run it at these speeds on this figure: hold tube, spans and bearings against the drawing, and "
            "ask the kit maker."
        ),
    }
    workings: ClassVar[int] = 60
    needed: ClassVar[tuple[Needed, ...]] = (
        Needed("First rotor turn", "a shaft that whirls tears its hangers out", each="shafts"),
    )
    judged_by: ClassVar[tuple[str, ...]] = ("shafts.{shaft}.limits",)
    about: ClassVar[About] = About(
        title="Shaft whirl",
        settles="How far the first critical speed of a shaft on its hangers is above its greatest speed.",
        when=(
            "When hanging a shaft, and again after moving a hanger, replacing a tube or renewing the rubber in a "
            "hanger; and before any change the manual does not foresee."
        ),
        tools=(
            "tape or long rule",
            "caliper for the tube",
            "scales for couplings",
            "straightedge and dial gauge for run-out",
        ),
        procedure=(
            "Measure from the shaft's front end to the middle of each bearing, all from the same end.",
            "Measure the tube's diameter at three places; take the least. Leave it empty to take the aircraft file's.",
            "A row for each coupling, sleeve, flange or disc on the tube: its mass, and where its middle is. Each "
            "lowers the critical speed; what sits on a hanger hardly does.",
            "Turn the shaft by hand: it must be straight (run-out by the manual) and touch nothing.",
            "Look at every hanger: its bolts tight, its rubber sound, its bearing free.",
        ),
        sign_convention=(
            "Places are positive from the front end rearwards. The margin is critical speed divided by greatest speed, "
            "minus one: below zero the shaft has to run through its critical speed."
        ),
        cautions=(
            cautions.SHAFT_WHIRL,
            cautions.ESTIMATE,
            cautions.ENGINE_OFF,
            cautions.TURNING_ROTORS,
            *cautions.ALWAYS,
        ),
        not_covered=(
            "how much a coupling bends: the tube is taken as one piece, and what sits on it as a mass at a point",
            "shafts meant to run above their first critical speed: only their maker's word counts",
            "the airframe's own flexibility behind a hanger, unless the hangers' stiffness includes it",
            "universal joints, which push the shaft twice a turn: the margin is for once a turn, and the other is told",
            "run-out and imbalance, which decide how hard it shakes below the critical speed",
            "a limber shaft's twist: torsional modes have a check of their own",
        ),
    )
    exercises: ClassVar[tuple[Exercise, ...]] = (
        Exercise(
            name="margin",
            title="Away from whirling",
            story=("The shaft whirls at {critical_speed}. The fastest that it ever turns is {greatest_speed}."),
            find="the margin to the critical speed, as a ratio",
            unit="",
            of=critical_margin,
            given={
                "critical_speed": Range("6,600 rpm", "7,600 rpm", "10 rpm"),
                "greatest_speed": Range("2,900 rpm", "3,200 rpm", "10 rpm"),
            },
            hints=(
                "A margin of zero means that it turns at its critical speed.",
                "Critical speed divided by greatest speed, less one.",
            ),
        ),
    )

    shaft: Annotated[str, Choice("shafts")] = required("Shaft", "As named in the aircraft file.")
    outer_diameter: Annotated[Reading | None, Entry(Length, _INCHES, ("1/4 in", "10 in"), by="caliper")] = asked(
        "Outer diameter", "The least of three places. Empty: the aircraft file's."
    )
    caliper: Annotated[str, Choice("instruments", measures="length")] = asked("Caliper", default="")
    hangers: list[HangerRow] = rows("Hangers", "A row for each bearing or hanger.")
    masses: list[MassRow] = rows(
        "On the tube", "A row for each coupling, sleeve, flange or disc. None: the tube is bare."
    )

    @classmethod
    def start(cls, aircraft: Aircraft, shaft: str = "") -> dict[str, Any]:
        """A row for each hanger of the first shaft, or of the one picked."""
        start = super().start(aircraft)
        if shaft:
            start["shaft"] = shaft
        of = aircraft.shafts.get(start.get("shaft", ""))
        return {**start, "hangers": [{"hanger": name} for name in (of.hangers if of else [])] or [{"hanger": ""}]}

    def parts(self, aircraft: Aircraft) -> list[Part]:
        """Every hanger of the shaft."""
        shaft = aircraft.shafts.get(self.shaft)
        if shaft is None:
            return []
        read = {row.hanger.strip() for row in self.hangers if row.place is not None}
        named = Part(f"hangers: name two or more in [shafts.{self.shaft}], hangers = […]", len(shaft.hangers) > 1)
        return [named, *(Part(f"place of hanger {name}", name in read) for name in shaft.hangers)]

    def _work(self, aircraft: Aircraft) -> Outcome:
        to = Working(self, aircraft)
        shaft = to.thing("shaft", aircraft.shafts, "shaft", "none: write [shafts.name] for each")
        if why := speed_contradicted(aircraft, f"shafts.{self.shaft}"):
            to.problem("shaft", f"has a greatest speed that the drive's links contradict: {why}")
            to.settle()
        rows = self._rows(to, shaft)
        if len(rows) < max(2, len(shaft.hangers)):
            to.notes.append("The critical speed is worked out once the place of every hanger is known.")
            return to.outcome(f"{self.about.title}, {shaft.named}")
        places = {name: to.reading(f"hangers.{i}.place", f"place of {name}", _INCHES) for name, (i, _) in rows.items()}
        tube = self._tube(to, shaft)
        order = sorted(places, key=lambda name: float(places[name].si))
        masses = self._masses(to, shaft)
        inputs = [*tube, *(places[name] for name in order), *(one for pair in masses.values() for one in pair)]

        figures = [float(one.si) for one in inputs]
        speed, nodes, shape = whirled(figures, len(masses))

        def critical(*figures: float) -> float:
            return whirled(figures, len(masses))[0]

        def together(*figures: Any) -> Any:
            return tube_critical_speeds(np.stack(figures, axis=-1), masses=len(masses), near=speed)

        found = propagate(critical, RotationRate, inputs, many=together).shown_in("rpm")
        lines = [f"{name} at {say(places[name])}" for name in order]
        lines += [f"{what}, {say(mass)}, at {say(place)}" for what, (mass, place) in masses.items()]
        title = "First critical speed"
        to.step(title, lines, found, NELSON_MCVAUGH_1976.at("finite elements of a turning shaft"))
        to.tell("critical_speed", title, found)
        self._longest_span(to, tube, [places[name] for name in order])
        greatest = measured(shaft.greatest_speed, RotationRate, "greatest speed")
        margin = to.work("Margin to the critical speed", critical_margin, found, greatest)
        to.judge(
            "critical_margin",
            "Margin to the critical speed",
            shaft.limits.critical_margin,
            margin,
            physical=BELOW,
        )
        if margin.si + margin.expanded_si < 0:
            to.lead.append("The shaft whirls within its own speed range: do not turn it by the engine.")
        joint = found / PUSHES
        if joint.si - joint.expanded_si <= greatest.si + greatest.expanded_si:
            to.notes.append(
                f"A universal joint at an angle pushes the shaft twice a turn: at {say(joint)} of the shaft, within "
                "its speeds, that meets the critical speed. Where it has such joints, keep their angles small and do "
                "not stay at that speed."
            )
        if not masses:
            to.lead.append(BARE_TUBE)
        to.lead.append(ESTIMATED)
        to.compare("Against the limit")
        to.pictures.append(self._shape(to, figures[6:], order, nodes, shape))
        return to.outcome(f"{self.about.title}, {shaft.named}")

    def _rows(self, to: Working, shaft: DriveShaft) -> dict[str, tuple[int, HangerRow]]:
        rows = to.filled("hangers", "place")
        for i, row in rows:
            if row.hanger.strip() not in shaft.hangers:
                there = ", ".join(shaft.hangers) or "none"
                to.problem(f"hangers.{i}.hanger", f"is no hanger of this shaft: it has {there}")
            if row.place is not None and row.place.si > shaft.length.si * (1 + 1e-9):
                to.problem(f"hangers.{i}.place", f"lies beyond the shaft's end, {shaft.length.said}")
        found = to.by_key("hangers", rows, lambda row: row.hanger.strip(), "hanger")
        at: dict[float, str] = {}
        for name, (i, row) in found.items():
            if row.place.si in at:
                to.problem(f"hangers.{i}.place", f"is that of hanger {at[row.place.si]}: two cannot be at one place")
            at[row.place.si] = name
        to.settle()
        return found

    def _masses(self, to: Working, shaft: DriveShaft) -> dict[str, tuple[Measured, Measured]]:
        """Mass and place of each thing on the tube, by its name or its row."""
        found = {}
        for i, row in enumerate(self.masses):
            if row.mass is None and row.place is None and not row.what.strip():
                continue
            name = shortened(row.what.strip())[1:-1] or f"mass {i + 1}"
            for one in ("mass", "place"):
                if getattr(row, one) is None:
                    to.problem(f"masses.{i}.{one}", f"of {name} is missing: write it, or clear the row")
            if row.place is not None and row.place.si > shaft.length.si * (1 + 1e-9):
                to.problem(f"masses.{i}.place", f"lies beyond the shaft's end, {shaft.length.said}")
            if row.mass is not None and row.place is not None:
                here = f"masses.{i}"
                mass = to.reading(f"{here}.mass", f"mass of {name}", ("lb", "kg"))
                # two of a name are two
                found[name if name not in found else f"{name} (row {i + 1})"] = (
                    mass,
                    to.reading(f"{here}.place", f"place of {name}", _INCHES),
                )
        to.settle()
        return found

    def _tube(self, to: Working, shaft: DriveShaft) -> list[Measured]:
        if self.outer_diameter is None:
            diameter = measured(shaft.outer_diameter, Length, "outer diameter, aircraft file").shown_in(_INCHES)
        else:
            diameter = to.reading("outer_diameter", "outer diameter", _INCHES)
            if abs(float(diameter.si) / shaft.outer_diameter.si - 1) > DIFFERS:
                to.notes.append(
                    f"The outer diameter measured, {say(diameter)}, differs from the aircraft file's "
                    f"{shaft.outer_diameter.said}. Is this the right shaft?"
                )
        if 2 * shaft.wall.si > float(diameter.si):
            to.problem("outer_diameter", f"cannot be: the wall is {shaft.wall.said}")
            to.settle()
        return [
            diameter,
            measured(shaft.wall, Length, "wall").shown_in(_INCHES),
            measured(shaft.length, Length, "length").shown_in(_INCHES),
            measured(shaft.elastic_modulus, Stress, "elastic modulus"),
            measured(shaft.density, Density, "density"),
            measured(shaft.hanger_stiffness, Stiffness, "stiffness of a hanger"),
        ]

    def _longest_span(self, to: Working, tube: list[Measured], places: list[Measured]) -> None:
        """A hand check: the longest span by itself, on rigid pins."""
        widths = [float(b.si) - float(a.si) for a, b in pairwise(places)]
        k = int(np.argmax(widths))

        def alone(outer: float, wall: float, modulus: float, density: float, start: float, end: float) -> float:
            inner = outer - 2 * wall
            rigidity = modulus * np.pi / 64 * (outer**4 - inner**4)
            mass = density * np.pi / 4 * (outer**2 - inner**2)
            return float((np.pi / (end - start)) ** 2 * np.sqrt(rigidity / mass))

        inputs = [tube[0], tube[1], tube[3], tube[4], places[k], places[k + 1]]
        found = propagate(alone, RotationRate, inputs).shown_in("rpm")
        title = "Longest span by itself, on rigid pins"
        line = f"(π / span)² √(E I / m), span {say(places[k + 1])} less {say(places[k])}"
        to.step(title, [line], found, VIBRATION.at("uniform beam on two pins"))
        to.tell("longest_span", title, found)
        to.notes.append(
            "The first critical speed of the whole shaft lies near that of its longest span: soft hangers and open "
            "ends lower it, neighbouring spans stiffen it."
        )

    def _shape(self, to: Working, figures: list[float], order: list[str], nodes: Any, shape: Any) -> Chart:
        from scipy.interpolate import CubicSpline

        unit = "mm" if to.system == "metric" else "in"
        bow = CubicSpline(nodes, shape)  # between nodes a beam's shape is a cubic, near enough for the eye
        fine = np.unique(np.linspace(nodes[:-1], nodes[1:], 7))
        hung = figures[: len(order)]
        sitting = figures[len(order) + 1 :: 2]
        shown = [float(in_unit(at, unit, Length)) for at in hung]
        return Chart(
            "Its shape at the first critical speed",
            f"Place from the front end ({unit})",
            "Deflection, the largest being 1",
            (Curve("shaft", in_unit(fine, unit, Length).tolist(), bow(fine).tolist()),),
            (),
            (),
            (
                Dots("hangers", shown, [float(one) for one in bow(hung)]),
                *(
                    [
                        Dots(
                            "couplings and other masses",
                            [float(in_unit(at, unit, Length)) for at in sitting],
                            [float(one) for one in bow(sitting)],
                            "second",
                        )
                    ]
                    if sitting
                    else []
                ),
            ),
        )


def whirled(figures: Sequence[float], masses: int = 0) -> tuple[float, Any, Any]:
    """`tube_whirl` of the tube's six figures, the hangers' places and of each mass its mass and place, in one row."""
    diameter, wall, length, modulus, density, stiffness, *rest = figures
    hung = len(rest) - 2 * masses
    sitting = list(zip(rest[hung::2], rest[hung + 1 :: 2], strict=True))
    return tube_whirl(diameter, wall, length, modulus, density, stiffness, rest[:hung], masses=sitting)
