"""Lesson: fuel, what flows and what burns."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from rotorkit import sources
from rotorkit.aircraft import Aircraft
from rotorkit.drive.shafts import power_from_torque
from rotorkit.engine import fuel_flow_from_test, fuel_mass_flow, specific_fuel_consumption
from rotorkit.pictures.data import Chart, Curve, Point
from rotorkit.quantities import (
    Density,
    Power,
    SpecificFuelConsumption,
    Time,
    Volume,
    VolumeFlow,
    in_unit,
    read,
    required_kind,
)
from rotorkit.sheets.exercises import Exercise
from rotorkit.sheets.exploring.knobs import Exploration, Knob, Seen, knob
from rotorkit.teach.lesson import Example, Lesson, Step

SHORTEST, LONGEST, DENSITY = "2 min", "15 min", "6 lb/gal"


def _knobs(_aircraft: Aircraft) -> list[Knob]:
    return [
        knob("volume", "Fuel burnt from the can", Volume, ("gal", "L"), "0.5 gal", "3 gal", (0.1, 0.5), "1 gal"),
        knob("time", "How long it took", Time, ("min", "min"), SHORTEST, LONGEST, (0.25, 0.25), "5.5 min"),
        knob("power", "Power that it made", Power, ("hp", "kW"), "60 hp", "180 hp", (5, 5), "130 hp"),
    ]


def _see(aircraft: Aircraft, at: Mapping[str, float], _estimate: str) -> Seen:
    metric = aircraft.aircraft.display == "metric"
    unit, use = ("L/h", "g/(kW*h)") if metric else ("gal/h", "lb/(hp*h)")
    flow_kind, times = required_kind(VolumeFlow), np.linspace(read(SHORTEST, Time).si, read(LONGEST, Time).si, 40)
    flows = in_unit(fuel_flow_from_test.si(at["volume"], times), unit, flow_kind)
    flow = float(fuel_flow_from_test.si(at["volume"], at["time"]))
    here = float(in_unit(flow, unit, flow_kind))
    minutes = [float(one) for one in in_unit(times, "min", Time)]
    chart = Chart(
        "A can and a watch",
        "minutes that the can lasted",
        f"fuel flow, {unit}",
        (Curve("flow", minutes, [float(one) for one in flows]),),
        (),
        (Point("here", float(in_unit(at["time"], "min", Time)), here),),
    )
    mass = float(fuel_mass_flow.si(flow, read(DENSITY, Density).si))
    burnt = specific_fuel_consumption.si(mass, at["power"])
    each = float(in_unit(burnt, use, SpecificFuelConsumption))
    said = f"{each:.0f} g for each kilowatt-hour" if metric else f"{each:.2f} lb for each horsepower and hour"
    return Seen([chart], [f"{here:.1f} {unit}. At six pounds a gallon that is {said}."])


LESSON = Lesson(
    name="fuel",
    order=12,
    title="Fuel: what flows and what burns",
    goal="You can turn a can and a watch into a fuel flow, and say how much the engine burns for its power.",
    words=(
        "A flow is how much in how long. Catch fuel in a measuring can, time it, divide. Mixing minutes and hours is "
        "the usual slip, and makes you wrong by 60 times.",
        "{Gallons say how much room the fuel takes, pounds how much of it there is. The engine burns pounds. Warm "
        "fuel takes more room for the same pounds: some 1 % for each 15 °F.|Litres say how much room the fuel takes, "
        "kilograms how much of it there is. The engine burns kilograms. Warm fuel takes more room for the same "
        "kilograms: some 1 % for each 8 °C.}",
        "{Pounds an hour divided by horsepower is|Grams an hour divided by kilowatts is} the specific consumption. A "
        "petrol engine at full power with a rich mixture burns about {half a pound an hour for each horsepower|300 g "
        "an hour for each kilowatt}. Much less than its maker says is no bargain: the mixture is lean, and lean at "
        "full power burns pistons.",
        "What a tank can deliver must be well above what the engine burns: half as much again where the fuel runs "
        "down by itself. Test it in the worst case: nose up, and nearly empty.",
    ),
    picture=Exploration(
        "fuel",
        "can",
        "A can and a watch",
        "Run the engine on a can of fuel, and time it.",
        _knobs,
        _see,
        closing="A picture to learn by: fuel flow and mixture are your engine maker's to give. Fuel in an open can: no "
        "flame, no spark, out of doors.",
    ),
    look_for=(
        "Be five seconds late with the watch at 2 minutes, then at 10: which matters more?",
        "Leave the can as it is and raise the power. What does the line under the picture say then?",
    ),
    example=Example(
        "An engine on the test stand",
        "A six-cylinder engine at full load pulls 262.6 N·m at 2,400 rpm. It empties a glass of 100 mL in 19.3 s; the "
        "fuel weighs 0.831 kg for each litre.",
        sources.MATHUR_SHARMA.at("example 18.8, p. 388"),
        (
            Step(
                Exercise(
                    "brake",
                    "The power",
                    "Torque {torque} times the speed of {speed}, the speed in radians a second.",
                    "the power",
                    "kW",
                    of=power_from_torque,
                    given={"torque": "262.6 N*m", "speed": "2,400 rpm"},
                    hints=(
                        "2,400 × 2π / 60 is 251.3 radians a second.",
                        "262.6 × 251.3 are watts; a thousand make a kilowatt.",
                    ),
                ),
                "The brake that holds the engine shows torque; the watch and the counter give the rest.",
                "66 kW",
            ),
            Step(
                Exercise(
                    "glass",
                    "What flows",
                    "{volume} in {time}.",
                    "the fuel flow",
                    "L/h",
                    of=fuel_flow_from_test,
                    given={"volume": "100 mL", "time": "19.3 s"},
                    hints=(
                        "100 divided by 19.3 is 5.18 mL in each second.",
                        "× 3,600 for the hour, / 1,000 to litres.",
                    ),
                ),
                "A small glass and a stop watch: the shorter the time, the more the thumb on the watch counts.",
            ),
            Step(
                Exercise(
                    "weighed",
                    "What that weighs",
                    "{flow}, each litre {density}.",
                    "the fuel flow by mass",
                    "kg/h",
                    of=fuel_mass_flow,
                    given={"flow": "18.65 L/h", "density": "0.831 kg/L"},
                    hints=("18.65 × 0.831.",),
                ),
                "Litres change with the weather, kilograms do not.",
            ),
            Step(
                Exercise(
                    "each_kilowatt",
                    "For each kilowatt",
                    "{mass_flow} makes {power}.",
                    "the specific consumption",
                    "kg/(kW*h)",
                    of=specific_fuel_consumption,
                    given={"mass_flow": "15.50 kg/h", "power": "66 kW"},
                    hints=("15.50 divided by 66.",),
                ),
                "That is a thrifty engine: a carburettor on a rich mixture burns some 0.30.",
                "0.235 kg/(kW*h)",
            ),
        ),
    ),
    asked=("fuel_flow.by_the_can", "mixture.consumption", "mixture.another_jet"),
    learned=(
        "Flow is how much in how long. Watch the minutes, seconds and hours.",
        "The engine burns {pounds, the tank holds gallons: six pounds to the gallon|kilograms, the tank holds litres: "
        "0.72 kg to the litre}, a little less when warm.",
        "Lean at full power burns pistons. Much less fuel than the maker says is a warning.",
    ),
    sources=(
        sources.MATHUR_SHARMA.at("chapter 18"),
        sources.ASTM_D1250.at("how petrol grows with warmth"),
        sources.CFR_14.at("23.955 (older text), fuel flow"),
    ),
)
