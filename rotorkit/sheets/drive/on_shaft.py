"""Which shaft of the drive's links a job is done on: its turns follow from the aircraft file, or are typed."""

from __future__ import annotations

from typing import Protocol

from rotorkit.aircraft import Aircraft
from rotorkit.aircraft.derived import shaft_turns
from rotorkit.aircraft.drive_parts import SPEEDS_AGREE_WITHIN, as_it_is_known
from rotorkit.aircraft.entries import Choice
from rotorkit.aircraft.links import at_clutches, shafts_that_brake
from rotorkit.judging.measured import Measured, measured
from rotorkit.quantities import Reading, RotationRate, say
from rotorkit.quantities.errors import shortened
from rotorkit.sheets.working import Working
from rotorkit.sources import ARITHMETIC

ON_SHAFT = Choice("drive shafts")
ITS_SHAFT = "Its turns follow from the aircraft file's links. If none is chosen, type the turns."
NEAR = 0.05
"""Turns typed that lie this near those of a shaft of the links, and are not them, are asked about (our own choice)."""


class _OnShaft(Protocol):
    """A sheet that asks for a shaft and its turns."""

    on_shaft: str
    turns: Reading | None


def turns_of(sheet: _OnShaft, aircraft: Aircraft) -> float | None:
    """Turns of the shaft for one of the main rotor: as typed, else by the links; None where neither says it."""
    if sheet.turns is not None:
        return float(sheet.turns.si)
    return shaft_turns(aircraft).get(as_it_is_known(sheet.on_shaft)) if sheet.on_shaft.strip() else None


def check_turns(to: Working, sheet: _OnShaft) -> None:
    """Refuse a shaft that the links do not have, and typed turns that contradict them."""
    turns, name = shaft_turns(to.aircraft), as_it_is_known(sheet.on_shaft)
    typed = None if sheet.turns is None else float(sheet.turns.si)
    if name and name not in turns:
        there = ", ".join(turns) or "none that lead to the main rotor: write [links.name]"
        to.problem("on_shaft", f"is no shaft of the aircraft file's links: they have {there}; got {shortened(name)}")
    elif name and typed is not None and abs(typed / turns[name] - 1) > SPEEDS_AGREE_WITHIN:
        to.problem(
            "turns",
            f"must be {turns[name]:.5g}, as the aircraft file's links make it of {name}, or empty; got {typed:g}",
        )
    elif typed is not None and turns and not name:
        nearest = min(turns, key=lambda one: abs(typed / turns[one] - 1))
        off = abs(typed / turns[nearest] - 1)
        if SPEEDS_AGREE_WITHIN < off <= NEAR:
            to.asked.append(
                f"The turns typed, {typed:g}, are near those of {nearest} by the aircraft file's links, "
                f"{turns[nearest]:.5g}, and are not them: if it is that shaft, pick it and leave the turns empty."
            )
        elif off > NEAR:
            to.notes.append(f"No shaft of the aircraft file's links makes {typed:g} turns for one of the main rotor.")


def check_brakes(to: Working, sheet: _OnShaft) -> None:
    """Refuse a brake on a shaft that a one-way clutch parts from the main rotor; lead with it where only such shafts
    make the turns typed."""
    turns, brakes = shaft_turns(to.aircraft), shafts_that_brake(to.aircraft.links)
    name = as_it_is_known(sheet.on_shaft)
    if name in turns and name not in brakes:
        to.problem(
            "on_shaft",
            "is parted from the main rotor by a one-way clutch, which lets the rotor run on: a brake there does not "
            f"slow it; pick the shaft that the disc is on; got {shortened(name)}",
        )
    elif not name and sheet.turns is not None:
        typed = float(sheet.turns.si)
        makes = [one for one, each in turns.items() if abs(typed / each - 1) <= SPEEDS_AGREE_WITHIN]
        if makes and not brakes & set(makes):
            to.lead.append(
                f"By the aircraft file's links only {' and '.join(makes)} makes {typed:g} turns, and a one-way clutch "
                "lets the rotor run on from there: a brake on it does not slow the rotor. Look where the disc is."
            )


def check_at_clutch(to: Working, sheet: _OnShaft) -> None:
    """Refuse a shaft that is at neither side of a one-way clutch, where the links have one."""
    clutches, name = at_clutches(to.aircraft.links), as_it_is_known(sheet.on_shaft)
    if clutches and name in shaft_turns(to.aircraft) and name not in {end for pair in clutches for end in pair}:
        there = ", or ".join(f"from {driver} to {driven}" for driver, driven in clutches)
        to.problem(
            "on_shaft",
            f"must be a shaft at the one-way clutch, which by the links leads {there}; got {shortened(name)}",
        )


def speed_of(to: Working, sheet: _OnShaft, title: str) -> Measured:
    """Its speed with the main rotor at 100 %, as a step. Only where `turns_of` has something to say."""
    turns = turns_of(sheet, to.aircraft)
    assert turns is not None  # asked before
    turning = measured(to.aircraft.main_rotor.speed, RotationRate, "main-rotor speed")
    speed = (turning * turns).shown_in("rpm")
    by = f", the turns of {as_it_is_known(sheet.on_shaft)} by the links" if sheet.turns is None else ""
    return to.step(title, [f"{say(turning)} times {turns:.5g}{by}"], speed, ARITHMETIC.at("ratio"))
