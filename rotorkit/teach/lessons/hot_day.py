"""Lesson: density altitude and the hot day."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from rotorkit import sources
from rotorkit.aircraft import Aircraft
from rotorkit.atmosphere import density_altitude, isa_deviation, pressure_altitude_from_altimeter, standard_temperature
from rotorkit.pictures.data import Chart, Curve, Point
from rotorkit.quantities import Length, Ratio, Temperature, in_unit, read
from rotorkit.sheets.exercises import Exercise, Range
from rotorkit.sheets.exploring.knobs import Exploration, Knob, Seen, air_at, knob
from rotorkit.teach.lesson import Example, Lesson, Step

COLDEST, HOTTEST = "0 °F", "110 °F"


def _knobs(_aircraft: Aircraft) -> list[Knob]:
    return [
        knob("height", "Pressure altitude", Length, ("ft", "m"), "0 ft", "8000 ft", (100, 25), "1000 ft"),
        knob("temperature", "Air temperature", Temperature, ("°F", "°C"), COLDEST, HOTTEST, (1, 0.5), "90 °F"),
        knob("humidity", "Relative humidity", Ratio, ("%", "%"), "0 %", "100 %", (5, 5), "50 %"),
    ]


def _see(aircraft: Aircraft, at: Mapping[str, float], _estimate: str) -> Seen:
    metric = aircraft.aircraft.display == "metric"
    feet, degree = ("m", "degC") if metric else ("ft", "degF")
    warmth = np.linspace(read(COLDEST, Temperature).si, read(HOTTEST, Temperature).si, 23)

    def altitude(temperature: object, humidity: float) -> np.ndarray:
        air = air_at(at["height"], np.asarray(temperature, dtype=float), humidity)
        return np.asarray(in_unit(density_altitude.si(air.density), feet, Length))

    shown = [float(one) for one in in_unit(warmth, degree, Temperature)]
    here = float(altitude(at["temperature"], at["humidity"]))
    chart = Chart(
        "How high the air feels",
        f"air temperature, {'°C' if metric else '°F'}",
        f"density altitude, {feet}",
        (
            Curve("as moist as set", shown, [float(one) for one in altitude(warmth, at["humidity"])]),
            Curve("dry", shown, [float(one) for one in altitude(warmth, 0.0)], "second"),
        ),
        (),
        (Point("here", float(in_unit(at["temperature"], degree, Temperature)), here),),
    )
    return Seen(
        [chart],
        [f"Density altitude {here:,.0f} {feet}: rotor and engine behave as if they were that high on a standard day."],
    )


LESSON = Lesson(
    name="hot_day",
    order=7,
    title="Density altitude and the hot day",
    goal="You can tell how high the air feels to rotor and engine today, and why a hot day takes away the margin.",
    words=(
        "Rotor and engine do not know how high they are. They feel how thick the air is. Density altitude is the "
        "height at which standard air is as thin as the air here and now.",
        "First the pressure: field elevation, corrected by the altimeter setting. A setting below 29.92 inHg (inches "
        "of mercury; 1,013.25 hPa) means thin air, so the pressure altitude is higher than the field: about 1,000 ft "
        "per inch of mercury (30 ft per hPa) at low heights.",
        "Then the temperature: standard air is at 59 °F (15 °C) at sea level and gets about 3.6 °F (2 °C) colder per "
        "1,000 ft. "
        "Warmer air than that is thinner. Moist air is thinner too, because water vapour is lighter than air.",
        "Always work it out from pressure, temperature and humidity; never guess it. A pleasant evening at {5,000 "
        "ft|1,500 m} can be worse than a hot noon at sea level.",
    ),
    picture=Exploration(
        "hot_day",
        "air",
        "How high does it feel?",
        "Change the height, the temperature and the moisture.",
        _knobs,
        _see,
        closing="A picture to learn from. What your aircraft can lift today is worked out in its own check.",
    ),
    look_for=(
        "A field at {1,000 ft: at what temperature does it feel like 4,000 ft|300 m: at what temperature does it "
        "feel like 1,200 m}?",
        "At {100 °F|38 °C} go from dry air to 100 % humidity. Do the same at {30 °F|0 °C}: why does it hardly "
        "matter there?",
    ),
    example=Example(
        "From an altimeter setting to pressure altitude",
        "The pilot's handbook prints what to add for each altimeter setting. Here are two of its lines, worked "
        "through.",
        sources.FAA_H_8083_25.at("fig. 11-3"),
        (
            Step(
                Exercise(
                    "a_little_low",
                    "A little low",
                    "At sea level the altimeter setting is {altimeter_setting}. Standard is 29.92 inHg; near sea "
                    "level each hundredth of an inch is worth 9.33 ft.",
                    "the pressure altitude",
                    "ft",
                    of=pressure_altitude_from_altimeter,
                    given={"altimeter_setting": "29.70 inHg", "elevation": "0 ft"},
                    hints=("29.92 less 29.70 is 0.22 in: 22 hundredths.", "22 × 9.33."),
                ),
                "Lower pressure, higher pressure altitude: the sign people most often get wrong.",
                "205 ft",
            ),
            Step(
                Exercise(
                    "a_storm",
                    "A storm",
                    "At sea level the altimeter setting is {altimeter_setting}. Over so large a step each hundredth "
                    "of an inch of mercury is about 9.5 ft.",
                    "the pressure altitude",
                    "ft",
                    digits=2,
                    of=pressure_altitude_from_altimeter,
                    given={"altimeter_setting": "28.20 inHg", "elevation": "0 ft"},
                    hints=("It is 1.72 inHg below standard: 172 hundredths.",),
                ),
                "The handbook prints 1,630 ft.",
                "1630 ft",
            ),
            Step(
                Exercise(
                    "standard",
                    "What is standard here",
                    "Standard air at {pressure_altitude}: 59 °F less 3.566 °F per 1,000 ft.",
                    "the standard temperature",
                    "degF",
                    of=standard_temperature,
                    given={"pressure_altitude": "1630 ft"},
                    hints=("1.63 × 3.566 is 5.8.", "59 less 5.8."),
                ),
                "If it is warmer than this, the air is thinner than the pressure altitude alone tells you.",
            ),
        ),
    ),
    own=(
        Exercise(
            name="pressure_altitude",
            title="Pressure altitude of a field",
            story="The field elevation is {elevation}. The tower gives an altimeter setting of {altimeter_setting}.",
            find="the pressure altitude",
            unit="ft",
            of=pressure_altitude_from_altimeter,
            digits=2,
            given={
                "altimeter_setting": Range("29.00 inHg", "29.70 inHg", "0.01 inHg"),
                "elevation": Range("800 ft", "3,000 ft", "50 ft"),
            },
            hints=(
                "How far is the setting below {29.92 inHg|1,013.25 hPa}?",
                "{Each hundredth of an inch is worth about 9.4 ft|Each hectopascal is worth about 8.5 m}: add it "
                "to the field elevation.",
            ),
        ),
        Exercise(
            name="warmer",
            title="Warmer than standard",
            story="At a pressure altitude of {pressure_altitude} the thermometer in the shade shows {temperature}.",
            find="how much warmer than standard it is",
            unit="degF",
            of=isa_deviation,
            given={
                "temperature": Range("80 °F", "105 °F", "1 °F"),
                "pressure_altitude": Range("1,000 ft", "6,000 ft", "100 ft"),
            },
            hints=(
                "Standard: {59 °F|15 °C} at sea level, {3.566 °F less per 1,000 ft|6.5 °C less per 1,000 m}.",
                "Subtract that from what the thermometer shows.",
            ),
        ),
        Exercise(
            name="density",
            title="From density to height",
            story="The air has a density of {density}. Standard air has, from sea level in steps of "
            "{1,000 ft: 0.0023769, 0.0023081, 0.0022409, 0.0021752, 0.0021110 and, at 5,000 ft, 0.0020482 slug/ft³|"
            "300 m: 1.2250, 1.1901, 1.1560, 1.1226, 1.0900 and, at 1,500 m, 1.0581 kg/m³}.",
            find="the density altitude, interpolated",
            unit="ft",
            of=density_altitude,
            digits=2,
            given={"density": Range("0.00207 slug/ft³", "0.00231 slug/ft³", "0.00001 slug/ft³")},
            hints=(
                "Between which two of the densities does it lie? How far is it from the denser one to the thinner one?",
                "Take that fraction of {1,000 ft|300 m} and add it to the height of the denser air.",
            ),
        ),
    ),
    learned=(
        "Density altitude: the height at which standard air is as thin as this.",
        "Low setting: higher. Warmer: higher. More humid: a little higher.",
        "Work it out before each day's tests, and write it beside every hover you measure.",
    ),
    sources=(sources.FAA_H_8083_25.at("chapter 11"), sources.US_STANDARD_ATMOSPHERE_1976.at("table I")),
)
