"""What the physics needs, made of the aircraft file: blades, engine and power model as its functions take them."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from rotorkit.aircraft.drive_parts import ENGINE, MAIN_ROTOR, SPEEDS_AGREE_WITHIN, TAIL_ROTOR
from rotorkit.aircraft.links import bearing_turns, ratios_over, speeds_against, turns_of
from rotorkit.aircraft.model import Aircraft, Engine, Rotor
from rotorkit.engine import EngineModel, engine_model, power_at_engine_speed
from rotorkit.engine.power_of_the_day import scaled_to
from rotorkit.judging.measured import Measured, measured
from rotorkit.quantities import QuantityError, Ratio
from rotorkit.rigging.sign_convention import ChordTurn
from rotorkit.rotor.blade_element import Blades
from rotorkit.rotor.power_model import PowerModel, power_model

if TYPE_CHECKING:
    from rotorkit.drive.train import Train


FIRINGS = (0.5, 1.0)
"""Cycles for a turn of any four-stroke engine: half of it as of one weak cylinder, and once a turn."""
FIRE_AS = 4
"""The cylinders whose firing is looked for where the file does not say how many there are: most light engines have four
(common practice, no source)."""
BELT_CREEPS, BEARING_ROLLS = 0.01, 0.02
"""By these shares a belt's and a bearing's lines may lie off what is reckoned: belts creep, elements slip (common
practice, no source)."""
TOLD_BELOW = 0.995
"""Part of the rated speed below which it is said first that the engine gives less."""


def blades_of(rotor: Rotor, name: str, lifts: float | None = None) -> Blades:
    """The blades of a rotor, angles positive where they lift. name: "main rotor" or "tail rotor". lifts: 1 where an
    angle that is positive in the file lifts (at the tail rotor: pushes against the main rotor's torque), -1 where it
    pushes the other way; by default as the rotor's positive_blade_angle says, which tells it for the main rotor alone.

    Raises `QuantityError` where the file has no such section, or its figures do not fit the rotor.
    """
    if lifts is None:
        lifts = -1.0 if rotor.positive_blade_angle is ChordTurn.LEADING_EDGE_DOWN else 1.0
    section = f"[{name.replace(' ', '_')}.blade]"
    if rotor.blade is None:
        raise QuantityError(
            f"the aircraft file has no section {section}, which says what the blade-element estimate needs: "
            "root_cutout, twist, lift_slope, drag_constant, drag_square, greatest_lift and source. Write it as in the "
            "blank aircraft file (rotorkit new DIR)"
        )
    try:
        return rotor.blade.blades(len(rotor.blades), rotor.radius, rotor.chord, lifts)
    except QuantityError as problem:
        raise QuantityError(f"{section} {problem}") from None


def stops_measured_at(rotor: Rotor) -> float:
    """Where on the blade its angles are measured, as a fraction of the radius: 0.75 where the file says nothing."""
    at = rotor.blade.measured_at if rotor.blade is not None else None
    return 0.75 if at is None else at.si / rotor.radius.si


def engine_model_of(engine: Engine) -> EngineModel:
    """The engine as the performance functions take it."""
    return engine_model(
        engine.rated_power.value,
        engine.derated_to.value,
        engine.intake_rise.value,
        engine.method,
        engine.power_table.table if engine.power_table is not None else None,
    )


def full_power_rotor_speed(aircraft: Aircraft) -> float:
    """The main rotor's speed from which on the engine's rated power may be counted on, rad/s: the 100 % of the file, or
    that of the engine's rated speed where the two do not agree and it is higher."""
    turned = aircraft.main_rotor.speed.si
    by_engine = aircraft.engine.rated_speed.si / aircraft.drive.engine_to_main_rotor.si
    agree = abs(turned / by_engine - 1) <= SPEEDS_AGREE_WITHIN
    return float(turned if agree else max(turned, by_engine))


def engine_at(aircraft: Aircraft, rotor_speed: float) -> EngineModel:
    """The engine at a speed of the main rotor, rad/s: slower than rated it gives less (`power_at_engine_speed`)."""
    engine = engine_model_of(aircraft.engine)
    power = power_at_engine_speed.si(engine.sea_level_power, rotor_speed, full_power_rotor_speed(aircraft))
    return scaled_to(engine, float(power))


def slower_words(aircraft: Aircraft, rotor_speed: float) -> str:
    """What the engine's power is taken to be at a speed of the main rotor, rad/s, in a sentence; empty where the engine
    turns as rated or faster."""
    share = rotor_speed / full_power_rotor_speed(aircraft)
    if share >= TOLD_BELOW:
        return ""
    return (
        f"At this rotor speed the engine turns at {100 * share:.3g} % of its rated speed: its power is taken to fall "
        "in the same measure, the torque held at best (an estimate, common practice; the engine may give less)."
    )


def engine_words(engine: Engine) -> str:
    """What the power available rests on, in words."""
    if engine.power_table is not None:
        said = f"the builder's power table by {engine.power_table.by} ({engine.power_table.source})"
    else:
        said = engine.method
        if engine.intake_rise.si:
            said += f", intake {engine.intake_rise.understood} warmer than the air"
    if engine.derated_to.si < 1:
        said += f", derated to {engine.derated_to.understood} of its rated power"
    return said


def download_of(aircraft: Aircraft) -> Measured:
    """The part of the thrust that the downwash on the airframe takes in the hover; none where the file gives none."""
    airframe = aircraft.airframe
    return Measured(0.0, Ratio) if airframe is None else measured(airframe.download, Ratio, "download on the airframe")


def power_model_of(aircraft: Aircraft, **instead: Any) -> PowerModel:
    """The whole helicopter's power model from the aircraft file. instead: other values for its arguments.

    Raises `QuantityError` where the file has no [airframe], or its figures are not credible.
    """
    main, tail, drive = aircraft.main_rotor, aircraft.tail_rotor, aircraft.drive
    if aircraft.airframe is None:
        raise QuantityError(
            "the aircraft file has no section [airframe], which says what level flight needs: flat_plate_area. Write "
            "it as in the blank aircraft file (rotorkit new DIR)"
        )
    given = {
        "rotor_radius": main.radius.value,
        "rotor_speed": main.speed.value,
        "solidity": _solidity(main),
        "induced_factor": main.induced_factor.value,
        "profile_drag_coefficient": main.profile_drag_coefficient.value,
        "flat_plate_area": aircraft.airframe.flat_plate_area.value,
        "tail_arm": tail.arm.value,
        "tail_rotor_radius": tail.radius.value,
        "tail_rotor_speed": tail.speed.value,
        "tail_rotor_solidity": _solidity(tail),
        "transmission_efficiency": drive.efficiency.value,
        "accessory_power": drive.accessory_power.value,
        "tail_rotor_induced_factor": tail.induced_factor.value,
        "tail_rotor_profile_drag_coefficient": tail.profile_drag_coefficient.value,
        "download_ratio": aircraft.airframe.download.value,
    }
    made: PowerModel = power_model(**{**given, **instead})
    return made


def _solidity(rotor: Rotor) -> float:
    """Blade area over disk area, by the rotor's chord."""
    from rotorkit.rotor.geometry import solidity

    return float(solidity.si(len(rotor.blades), rotor.chord.si, rotor.radius.si))


def train_of(aircraft: Aircraft) -> Train | None:
    """The aircraft's drive as a `Train`; None where the file gives no links."""
    return ratios_over(aircraft.links, aircraft.belts) if aircraft.links else None


def shaft_turns(aircraft: Aircraft) -> dict[str, float]:
    """Turns of every shaft of the links for one turn of the main rotor; empty where the links do not have it."""
    return turns_of(aircraft.links, aircraft.belts)


def speed_contradicted(aircraft: Aircraft, place: str) -> str:
    """Why the greatest speed of a belt's driving pulley ("belts.main") or of a shaft on hangers ("shafts.tail_drive")
    contradicts the links; empty where it does not, no link names it, or the main rotor's speed is not known."""
    named = {f"belts.{one.belt}" for one in aircraft.links.values()}
    named |= {f"shafts.{one.shaft}" for one in aircraft.links.values()}
    if place not in named or not aircraft.gives("main_rotor.speed"):
        return ""
    against = speeds_against(aircraft.links, aircraft.belts, aircraft.shafts, aircraft.main_rotor.speed)
    return against.get(place, "")


def shaft_of_hangers(aircraft: Aircraft, key: str) -> str:
    """What the links call a shaft on hangers of the file, by its name there; empty where no link names it."""
    turns = shaft_turns(aircraft)
    return next((one.driver for one in aircraft.links.values() if one.shaft == key and one.driver in turns), "")


def drive_cycles(aircraft: Aircraft) -> dict[str, tuple[float, float]]:
    """What shakes of the drive, by name: cycles for each turn of the main rotor, and by which share of it the line may
    lie off. Both rotors and the engine; every shaft of the file's links, and the teeth of every pair of gears; each
    belt whose turns are known, coming round; each bearing that says its turns and its balls or rollers, the lines of
    its faults."""
    from rotorkit.drive import bearing_frequencies, open_belt_length

    blades, tail_blades = len(aircraft.main_rotor.blades), len(aircraft.tail_rotor.blades)
    tail, engine = (float(one.si) for one in (aircraft.drive.tail_to_main_rotor, aircraft.drive.engine_to_main_rotor))
    found = {f"main rotor, {order} a turn": (float(order), 0.0) for order in sorted({1, 2, blades, 2 * blades})}
    found |= {f"tail rotor, {order} a turn": (tail * order, 0.0) for order in sorted({1, tail_blades})}
    firing = (aircraft.engine.cylinders or FIRE_AS) / 2
    found |= {f"engine, {one:g} a turn": (engine * one, 0.0) for one in sorted({*FIRINGS, firing})}
    turns = shaft_turns(aircraft)
    alike: dict[float, list[str]] = {}
    for name, ratio in turns.items():
        alike.setdefault(round(ratio, 9), []).append(name)
    for ratio, names in alike.items():  # shafts that turn alike cannot be told apart, whatever the recording
        if not {ENGINE, MAIN_ROTOR, TAIL_ROTOR} & {*names}:
            found[f"{', '.join(names)}: 1 a turn"] = (ratio, 0.0)
    for link in aircraft.links.values():
        if link.driver_teeth is not None and link.driver in turns:
            found[f"teeth of {link.driver} and {link.driven}"] = (turns[link.driver] * link.driver_teeth, 0.0)
    driven_by = {
        link.belt: turns[link.driver] for link in aircraft.links.values() if link.belt and link.driver in turns
    }
    for (name, belt), key in zip(_told_apart(aircraft.belts), aircraft.belts, strict=True):
        turning = belt.turns.si if belt.turns is not None else driven_by.get(key)
        if turning is not None and belt.has("driver_diameter", "driven_diameter", "centre_distance"):
            large, small = sorted((belt.driver_diameter.si, belt.driven_diameter.si), reverse=True)
            length = float(open_belt_length.si(large, small, belt.centre_distance.si))
            cycles = math.pi * belt.driver_diameter.si * turning / length
            found[f"{name}, coming round"] = (cycles, BELT_CREEPS)
    for name, bearing in _told_apart(aircraft.bearings):
        sizes = bearing.element_diameter, bearing.pitch_diameter
        turning, _ = bearing_turns(bearing, aircraft.links, aircraft.belts)
        if turning is None or bearing.elements is None or sizes[0] is None or sizes[1] is None:
            continue
        lines = bearing_frequencies.si(
            math.tau * turning, float(bearing.elements), sizes[0].si, sizes[1].si, bearing.contact_angle.si
        )
        for words, line, times in (
            ("cage", lines.cage, 1), ("outer race", lines.outer_race, 1), ("inner race", lines.inner_race, 1),
            ("ball or roller", lines.element, 2),
        ):  # fmt: skip
            found[f"{name}: {words}"] = (times * float(line.magnitude), BEARING_ROLLS)
    return found


def _told_apart(parts: Mapping[str, Any]) -> list[tuple[str, Any]]:
    """Each part with its name in words; of those that are titled alike also with the name that it has in the file."""
    titles = [one.named for one in parts.values()]
    return [(one.named if titles.count(one.named) == 1 else f"{one.named} ({key})", one) for key, one in parts.items()]
