"""Cooling and cabin: what a run's temperatures would be on the hottest day, the drop across the cylinders, and the air
in the cabin."""

from __future__ import annotations

from typing import Annotated, Any, ClassVar, Literal

from rotorkit import sources
from rotorkit.aircraft import Aircraft
from rotorkit.aircraft.entries import Choice, Entry, Reading, asked, rows
from rotorkit.atmosphere import AIR_GAS_CONSTANT, dry_air_density, standard_pressure
from rotorkit.engine import (
    air_heat_flow,
    cooling_corrected_temperature,
    fan_pressure,
    hottest_ambient,
)
from rotorkit.judging.limits import IN_LIMITS, Limit
from rotorkit.judging.measured import measured, propagate
from rotorkit.quantities import (
    Density,
    GaugePressure,
    Length,
    Ratio,
    RotationRate,
    Temperature,
    TemperatureDifference,
    VolumeFlow,
    say,
)
from rotorkit.sheets.base import About, Needed, Outcome, Part, Row, Sheet, SheetLimit
from rotorkit.sheets.engine.recorded import (
    fingerprint_field,
    recording_field,
    say_recorded,
    stretch_field,
    was_wrong_field,
)
from rotorkit.sheets.exercises import Exercise, Range
from rotorkit.sheets.working import Working, capital, key_of, value_of
from rotorkit.sources import cautions

_F = ("°F", "°C")
_PSI = ("psi", "kPa")
HEAD: Literal["cylinder head"] = "cylinder head"
BARREL: Literal["cylinder barrel"] = "cylinder barrel"
OIL: Literal["oil"] = "oil"
LIMIT_OF = {HEAD: "head", BARREL: "barrel", OIL: "oil"}
FACTOR = {HEAD: "1", BARREL: "0.7", OIL: "1"}
"""What of the day's shortfall is put on: 14 CFR 27.1043(c), 25.1043(d)."""
AS_READ = sources.COMMON_PRACTICE.at("what was read is not lessened")
NO_MORE = Limit("carbon monoxide in the cabin", Ratio, high="50 ppm", source="14 CFR 27.831(b): one part in 20,000")


class Hot(Row):
    """One temperature at its greatest."""

    where: str = asked("Where", 'In words: "cylinder 3", "oil at the cooler".', "")
    part: Annotated[Literal["cylinder head", "cylinder barrel", "oil"], Choice(options=(HEAD, BARREL, OIL))] = asked(
        "Of", "It says which limit, and how the hottest day counts.", HEAD
    )
    reading: Annotated[Reading | None, Entry(Temperature, _F, ("-40 °F", "900 °F"), ("60 °F", "500 °F"))] = asked(
        "At its greatest", "Settled within 2 °F (1 °C) in a minute, with the gauge's ±."
    )


class Place(Row):
    """Carbon monoxide at one place, in one state of the cabin."""

    place: str = asked("Where, and how", '"pilot\'s head, heat on, doors shut".', "")
    reading: Annotated[Reading | None, Entry(Ratio, ("ppm", "ppm"), ("0 ppm", "5000 ppm"), ("0 ppm", "200 ppm"))] = (
        asked("Carbon monoxide", "At its greatest over some minutes, with the detector's ±.")
    )


class Cooling(Sheet):
    """Cooling of the engine and the air of the cabin, from a run."""

    order: ClassVar[int] = 60
    puts_right: ClassVar[dict[str, str]] = {
        "drop": "Look at fan, its belt, baffles and seals as the manual says, and measure again.",
        "monoxide": (
            "Do not fly it: find the leak of exhaust or heater, seal the cabin against it, and measure again."
        ),
        "": (
            "Do not fly on so hot a day: look at fan, baffles, seals and cooler as the manual says, and measure again."
        ),
    }
    reads_runs: ClassVar[bool] = True
    by_file: ClassVar[tuple[str, ...]] = ("fingerprint", "was_wrong")
    of_file: ClassVar[tuple[str, ...]] = ("recording", "run_stretch")
    needed: ClassVar[tuple[Needed, ...]] = (
        Needed(
            "First flight out of ground effect",
            "what is warm today boils in August; and nobody can smell carbon monoxide",
        ),
    )
    limits: ClassVar[dict[str, SheetLimit]] = {
        "head": SheetLimit(Temperature, "cylinder head, hottest day", "°F", "from the engine's manual"),
        "barrel": SheetLimit(Temperature, "cylinder barrel, hottest day", "°F", "the same"),
        "oil": SheetLimit(Temperature, "oil, hottest day", "°F", "the same"),
        "drop": SheetLimit(
            GaugePressure, "pressure drop across the cylinders", "psi", "at the rated speed: the low side"
        ),
    }
    uses: ClassVar[tuple[str, ...]] = ("engine.rated_speed",)
    about: ClassVar[About] = About(
        title="Cooling and cabin",
        settles="Whether the engine stays cool enough on the hottest day to be flown, what pressure the fan gives "
        "across the "
        "cylinders at full speed, and whether the cabin air is fit to breathe.",
        when="In the first hovers and climbs; after work on cowl, fan, baffles, exhaust or heater.",
        tools=("the panel's gauges, checked", "thermometer in the shade", "water gauge or pressure gauge", "detector"),
        procedure=(
            "Hold the power to be shown until every temperature has settled; read each at its highest.",
            "Read the air's temperature and the pressure altitude at that moment.",
            "Two taps, above and below the cylinders: read the drop, and the engine's speed with it.",
            "Detector at the pilot's head: heat off and on, doors shut, in forward flight and in a hover.",
        ),
        sign_convention="A drop is positive from above the cylinders to below them. Warmer is positive.",
        cautions=(cautions.CARBON_MONOXIDE, cautions.GROUND_RUN, *cautions.ALWAYS),
        not_covered=(
            "cooling after a long hover downwind, and after it is shut down hot",
            "whether the exhaust leaks: it is pressure-tested and looked at, whatever a detector says",
        ),
    )
    exercises: ClassVar[tuple[Exercise, ...]] = (
        Exercise(
            name="hottest_day",
            title="Oil on the hottest day",
            story="In air of {ambient} the oil settles at {reading}. On the hottest day to be flown the air is at "
            "{hottest} at this height; the oil gets warmer by as much as the air does.",
            find="the oil's temperature on that day",
            unit="degF",
            of=cooling_corrected_temperature,
            given={
                "reading": Range("170 °F", "200 °F", "1 °F"),
                "ambient": Range("50 °F", "80 °F", "1 °F"),
                "hottest": Range("92 °F", "100 °F", "1 °F"),
                "factor": "1",
            },
            hints=("How much warmer is the air on the hottest day?", "Add that to what the gauge shows."),
        ),
    )

    ambient: Annotated[
        Reading | None, Entry(Temperature, _F, ("-60 °F", "130 °F"), ("-20 °F", "115 °F"), by="thermometer")
    ] = asked("Air temperature", "Outside, in the shade, at that moment.")
    thermometer: Annotated[str, Choice("instruments", measures="temperature")] = asked("Thermometer", default="")
    height: Annotated[
        Reading | None, Entry(Length, ("ft", "m"), ("-2000 ft", "25000 ft"), ("-1000 ft", "12000 ft"))
    ] = asked("Pressure altitude", "At that moment, from the altimeter set to 29.92 inHg (1,013.25 hPa), with its ±.")
    hottest: Annotated[Reading, Entry(Temperature, _F, ("60 °F", "130 °F"), ("95 °F", "120 °F"))] = asked(
        "Hottest day", "At sea level, the hottest you will fly in: the rule's is 100 °F (37.8 °C).", "100 ± 0 °F"
    )
    temperatures: list[Hot] = rows("Temperatures", "A row for each gauge.")
    drop: Annotated[Reading | None, Entry(GaugePressure, _PSI, ("0 psi", "3 psi"), ("0.02 psi", "1 psi"))] = asked(
        "Drop across the cylinders", "On a water gauge 1 in is 0.036 psi, 10 mm are 0.098 kPa. With its ±."
    )
    drop_speed: Annotated[
        Reading | None, Entry(RotationRate, ("rpm", "rpm"), ("200 rpm", "12000 rpm"), ("800 rpm", "4000 rpm"))
    ] = asked("Engine speed then", "With the drop; the fan turns with the engine.")
    heat_flow: Annotated[
        Reading | None, Entry(VolumeFlow, ("ft^3/min", "L/s"), ("0 L/s", "500 L/s"), ("5 L/s", "200 L/s"))
    ] = asked("Heated air", "If it was measured: what blows from the heater, warm as it is, with its ±.")
    heat_rise: Annotated[Reading | None, Entry(TemperatureDifference, _F, ("0 °F", "300 °F"), ("5 °F", "180 °F"))] = (
        asked("Rise of the heated air", "Over the air outside, with its ±.")
    )
    recording: str = recording_field()
    run_stretch: str = stretch_field("Settled", "Until every temperature stood still.")
    fingerprint: str = fingerprint_field()
    was_wrong: str = was_wrong_field()
    cabin: list[Place] = rows("Air in the cabin", "A row for each place.")

    @classmethod
    def start(cls, aircraft: Aircraft) -> dict[str, Any]:
        """The hottest head and oil; the pilot's head with heat on and off."""
        hot = [{"where": "hottest cylinder", "part": HEAD}, {"where": "oil", "part": OIL}]
        cabin = [{"place": "pilot's head, heat off"}, {"place": "pilot's head, heat on"}]
        return {**super().start(aircraft), "temperatures": hot, "cabin": cabin}

    def parts(self, aircraft: Aircraft) -> list[Part]:
        """Heads and oil, the day, the drop, and the cabin's air."""
        wanted = [HEAD, *([BARREL] if self.limit("barrel", aircraft) is not None else []), OIL]
        read = {row.part for row in self.temperatures if row.reading is not None}
        found = [Part(f"temperature of the {part}", part in read) for part in wanted]
        found += [Part(row.where.strip(), row.reading is not None) for row in self.temperatures if row.where.strip()]
        found.append(Part("drop across the cylinders", None not in (self.drop, self.drop_speed)))
        places = [row for row in self.cabin if row.place.strip()]
        found += [Part(f"carbon monoxide: {row.place.strip()}", row.reading is not None) for row in places]
        taken = sum(row.reading is not None for row in self.cabin)
        if len(places) < 2 and taken < 2:
            found.append(Part("carbon monoxide with heat off, and with heat on", False))
        return found

    def _work(self, aircraft: Aircraft) -> Outcome:
        to = Working(self, aircraft)
        rows = [(i, row) for i, row in enumerate(self.temperatures) if row.reading is not None]
        air = [(i, row) for i, row in enumerate(self.cabin) if row.reading is not None]
        for i, row in rows:
            if not row.where.strip():
                to.problem(f"temperatures.{i}.where", "is missing: where was it read")
        for i, spot in air:
            if not spot.place.strip():
                to.problem(f"cabin.{i}.place", "is missing: where, and with the heat on or off")
        to.by_key("temperatures", rows, lambda row: (row.part, key_of(row.where).casefold()), "where")
        to.by_key("cabin", air, lambda row: key_of(row.place).casefold(), "place")
        for name in ("ambient", "height"):
            if rows and getattr(self, name) is None:
                to.problem(name, "is needed: a temperature counts only with the day's conditions it was read in")
        to.together(("drop", "drop_speed"), "is needed: the drop goes with the engine's speed")
        to.together(("heat_flow", "heat_rise"), "is needed: heat is air and its rise")
        if not rows and not air and self.drop is None:
            to.problem("temperatures.0.reading" if self.temperatures else "temperatures", "needs a reading")
        to.settle()
        if rows:
            self._hottest_day(to, rows)
        if self.drop is not None:
            self._drop(to)
        for i, spot in air:
            place = spot.place.strip()
            figure = to.reading(f"cabin.{i}.reading", f"carbon monoxide, {place}", ("ppm", "ppm"))
            found = to.judge(f"monoxide.{key_of(place)}", f"Carbon monoxide: {place}", NO_MORE, figure)
            if found.verdict.word != IN_LIMITS:
                to.lead.append(
                    f"{capital(place)}: the air may not be fit to breathe. Do not fly it like this; find the leak."
                )
        if self.heat_flow is not None:
            self._heat(to)
        say_recorded(to, self)
        to.compare("Against the limits")
        return to.outcome()

    def _hottest_day(self, to: Working, rows: list[tuple[int, Hot]]) -> None:
        ambient, height = to.reading("ambient", "air temperature", _F), to.reading("height", "pressure altitude")
        day = value_of(hottest_ambient, height, measured(self.hottest, Temperature, "hottest day")).shown_in(_F)
        lapse = "6.56 °C less each 1,000 m" if to.system == "metric" else "3.6 °F less each 1,000 ft"
        line = f"{self.hottest.said} at sea level, {lapse}: {say(day)}"
        to.step("Hottest day's air at this height", [line], day, sources.CFR_14.at("27.1043(b)"))
        to.tell("hottest", "Hottest day's air at this height", day)
        for i, row in rows:
            where = row.where.strip()
            title = f"{capital(where)}: on the hottest day"
            reading = to.reading(f"temperatures.{i}.reading", where, _F)
            if float(ambient.si) > float(day.si):  # nothing is taken off what was read
                to.asked.append("It was warmer than the hottest day that was typed: is that day the right one?")
                hot = to.step(title, [f"as read, on a day no cooler than that: {say(reading)}"], reading, AS_READ)
            else:
                hot = to.work(title, cooling_corrected_temperature, reading, ambient, day, FACTOR[row.part])
            limit = self.limit(LIMIT_OF[row.part], to.aircraft)
            to.judge(f"{LIMIT_OF[row.part]}.{key_of(where)}", title, limit, hot.shown_in(_F))

    def _heat(self, to: Working) -> None:
        """The heat that blows into the cabin, by the density of the air as it blows: warm, and at its height."""
        flow, rise = to.reading("heat_flow", "heated air"), to.reading("heat_rise", "its rise")
        if self.ambient is None or self.height is None:
            density = measured("1.05 ± 0.15 kg/m^3", Density, "density of the heated air")
            to.notes.append(
                f"The heated air's density is taken as {say(density)}: give air temperature and pressure altitude, and "
                "it is worked out."
            )
        else:
            ambient, height = to.reading("ambient", "air temperature", _F), to.reading("height", "pressure altitude")
            density = propagate(
                lambda up, outside, warmer: standard_pressure.si(up) / (float(AIR_GAS_CONSTANT) * (outside + warmer)),
                Density, [height, ambient, rise],
            )  # fmt: skip
            warm = (ambient + rise).shown_in(_F)
            line = f"pressure at {say(height)} over the gas constant times {say(warm)}, absolute: {say(density)}"
            to.step("Density of the heated air", [line], density, dry_air_density.citation)
        heat = to.work("Cabin heat", air_heat_flow, flow, density, rise, "1006 J/(kg*K)").shown_in(("BTU/h", "W"))
        to.tell("heat", "Heat to the cabin", heat)

    def _drop(self, to: Working) -> None:
        drop, speed = to.reading("drop", "drop across the cylinders", _PSI), to.reading("drop_speed", "engine speed")
        rated = measured(to.aircraft.engine.rated_speed, RotationRate, "rated speed")
        full = to.work("Drop at the rated speed", fan_pressure, drop, speed, rated, "1").shown_in(_PSI)
        to.judge("drop", "Drop across the cylinders at the rated speed", self.limit("drop", to.aircraft), full)
