"""Fuel flow: what the fuel system passes by the can, checked against what the engine takes at full power."""

from __future__ import annotations

from typing import Annotated, Any, ClassVar, Literal

from rotorkit import sources
from rotorkit.aircraft import Aircraft
from rotorkit.aircraft.entries import Choice, Entry, Reading, Readings, asked, required, rows
from rotorkit.engine import (
    FUEL_FLOW_FACTORS,
    avgas_density,
    fuel_flow_at_head,
    fuel_flow_factor,
    fuel_flow_from_test,
    fuel_flow_share,
    fuel_head,
    fuel_mass,
    fuel_needed_at_power,
    fuel_volume_flow,
    jar_shares,
    jar_spread,
    jet_diameter_for_flow,
    required_fuel_flow,
    share_to_the_mean,
)
from rotorkit.judging.limits import IN_LIMITS, OUT_OF_LIMITS, Limit
from rotorkit.judging.measured import Measured, measured
from rotorkit.quantities import (
    Angle,
    Density,
    Length,
    Power,
    Ratio,
    SpecificFuelConsumption,
    Temperature,
    Time,
    Volume,
    VolumeFlow,
    say,
)
from rotorkit.sheets.base import AN_ESTIMATE, NOT_LOOKED_AT, About, Needed, Outcome, Part, Row, Sheet, SheetLimit
from rotorkit.sheets.exercises import Exercise, Range
from rotorkit.sheets.working import Working, capital, key_of, value_of
from rotorkit.sources import cautions

_INCHES = ("in", "mm")
_DEG = ("deg", "deg")
_GALLONS = ("gal", "L")
_FLOW = ("gal/h", "L/h")
_SMALL = ("mL", "mL")
_BORE = ("in", "mm")
CAUGHT = Entry(Volume, _GALLONS, ("0.01 L", "100 L"), ("0.2 L", "25 L"))
TILT = Entry(Angle, _DEG, ("-45 deg", "45 deg"), ("-25 deg", "25 deg"), by="level")
IN_THE_WORST: Literal["in the worst attitude of flight"] = "in the worst attitude of flight"
RECKONED: Literal["otherwise: reckoned from heights"] = "otherwise: reckoned from heights"
HEADS = ("height", "aft", "pitch", "worst_pitch")
"""What the reckoning from heights needs."""
DOWNHILL = Limit("head in the worst attitude", Length, low="0 in", source="physics: fuel runs downhill")
ENOUGH = Limit("flow over the need", Ratio, low="1", source="physics: an engine that gets less at full power falters")


class Run(Row):
    """One tank's flow into the can, one way of selecting it."""

    tank: str = asked("Tank", 'Which one, or which setting of the valve: "main", "left", "both".', "")
    volume: Annotated[Reading | None, CAUGHT] = asked(
        "Caught", "In a measuring can, with its ±; the same for each repeat."
    )
    time: Annotated[Readings | None, Entry(Time, ("s", "s"), ("1 s", "2 h"), ("20 s", "20 min"), repeats=True)] = asked(
        "Time", "With a watch, from mark to mark. Separate repeats with semicolons."
    )


class Jar(Row):
    """One nozzle's jar."""

    nozzle: str = asked("Nozzle", 'Which cylinder: "1".', "")
    volume: Annotated[Reading | None, Entry(Volume, _SMALL, ("1 mL", "5 L"), ("20 mL", "1 L"))] = asked(
        "In the jar", "All jars at once, for the same time, with ±."
    )
    jet: Annotated[Reading | None, Entry(Length, _BORE, ("0.1 mm", "5 mm"), ("0.3 mm", "2 mm"))] = asked(
        "Jet fitted", "Its bore, where the jets can be changed."
    )


class FuelFlow(Sheet):
    """Flow test of a fuel system, with heads, jars and what stays in the tank."""

    order: ClassVar[int] = 30
    puts_right: ClassVar[dict[str, str]] = {
        "head": "Do not fly it with so little head: ask the kit maker for a higher tank or a pump.",
        "unusable": "Do not count on that fuel: weigh and placard it as unusable, or ask the kit maker.",
    }
    needed: ClassVar[tuple[Needed, ...]] = (
        Needed("First engine run", "a line that passes too little shows it first at full power"),
    )
    limits: ClassVar[dict[str, SheetLimit]] = {
        "flow": SheetLimit(VolumeFlow, "fuel flow by test", "gal/h", "the manual's own, at least"),
        "unusable": SheetLimit(Volume, "unusable fuel", "gal", "what may stay in the tank: the high side"),
        "spread": SheetLimit(
            Ratio, "difference between the jars", "%", "fullest less emptiest, over the mean: the high side"
        ),
    }
    uses: ClassVar[tuple[str, ...]] = ("engine.rated_power",)
    about: ClassVar[About] = About(
        title="Fuel flow",
        settles="Whether the fuel system delivers what the engine takes at full power, with the margin the rules "
        "ask for, in the worst attitude; how evenly the nozzles deliver; how much fuel is unusable.",
        when="Before the first run; after any change of tank, line, vent, valve, filter or carburettor.",
        tools=("measuring can, earthed", "watch", "level or protractor", "for nozzles: a jar each"),
        procedure=(
            "Tank nearly empty: the unusable fuel, and no more than the test needs. Vents as in flight.",
            "Set the aircraft to the worst attitude of flight, or level it and give the heights.",
            "Take the line off at the carburettor, hold its end at the inlet's height, let it run into the can. With a "
            "pump: its own pressure held, bypass as in flight.",
            "Time a marked volume, three times, for each tank and each setting of the valve.",
            "Let it run until the flow first falters, in the worst attitude: what you can still drain is unusable.",
            "Nozzles: each into its own jar, all at once. If one jar differs, swap nozzle and line to find which "
            "is at fault.",
        ),
        sign_convention="Nose up is positive; a tank aft of the carburettor has a positive distance. A margin of 1 is "
        "exactly what is required.",
        cautions=(cautions.FUEL_IN_THE_OPEN, cautions.LIVE_IGNITION, *cautions.ALWAYS),
        not_covered=(
            "vapour lock in a hot line, ice in a vent, water: the flow of a cool day says nothing about them",
            "which rule is yours: 150 % for gravity and 125 % for a pump are of the older rule for aeroplanes; that "
            "for rotorcraft (27.955) asks for 100 % in the worst condition of the system",
        ),
    )
    exercises: ClassVar[tuple[Exercise, ...]] = (
        Exercise(
            name="by_the_can",
            title="Fuel into a can",
            story="With the line open, {volume} of fuel runs into a can in {time}.",
            find="the flow",
            unit="gal/h",
            of=fuel_flow_from_test,
            given={
                "volume": Range("2.00 gal", "3.00 gal", "0.05 gal"),
                "time": Range("400 s", "600 s", "5 s"),
            },
            hints=(
                "The answer is in {gallons|litres} per hour.",
                "{Gallons|Litres} divided by seconds, times the 3,600 seconds of an hour.",
            ),
        ),
    )

    system: Annotated[Literal["gravity", "pump"], Choice(options=tuple(FUEL_FLOW_FACTORS))] = asked(
        "Fed by", "What brings the fuel to the carburettor.", "gravity"
    )
    consumption: Annotated[
        Reading,
        Entry(
            SpecificFuelConsumption, ("lb/(hp*h)", "g/(kW*h)"), ("0.2 lb/(hp*h)", "1.2 lb/(hp*h)"),
            ("0.45 lb/(hp*h)", "0.75 lb/(hp*h)"),
        ),
    ] = required("Consumption at full power", "Full rich, from the engine's manual, with its ±.")  # fmt: skip
    temperature: Annotated[
        Reading, Entry(Temperature, ("°F", "°C"), ("-40 °F", "140 °F"), ("10 °F", "110 °F"), by="thermometer")
    ] = required("Fuel temperature", "Of the fuel in the can.")
    density: Annotated[Reading, Entry(Density, ("lb/gal", "kg/m^3"), ("653 kg/m^3", "770 kg/m^3"))] = asked(
        "Density at 15 °C", "From the supplier; 720 ± 15 kg/m³ is common for gasoline (from memory).", "720 ± 15 kg/m^3"
    )
    thermometer: Annotated[str, Choice("instruments", measures="temperature")] = asked("Thermometer", default="")
    level: Annotated[str, Choice("instruments", measures="angle")] = asked("Level or protractor", default="")
    runs: list[Run] = rows("Into the can", "A row for each tank or setting.")
    attitude: Annotated[
        Literal["not looked at", "in the worst attitude of flight", "otherwise: reckoned from heights"],
        Choice(options=(NOT_LOOKED_AT, IN_THE_WORST, RECKONED)),
    ] = asked("Aircraft stood", "While the can was filled.", NOT_LOOKED_AT)
    pitch: Annotated[Reading | None, TILT] = asked("Pitch in the test", "Nose up positive.")
    worst_pitch: Annotated[Reading | None, TILT] = asked(
        "Worst pitch in flight", "That takes most head away, nose up positive."
    )
    height: Annotated[Reading | None, Entry(Length, _INCHES, ("-2 ft", "12 ft"), ("0 in", "6 ft"))] = asked(
        "Height of the fuel", "Its surface above the carburettor, aircraft level, with ±."
    )
    aft: Annotated[Reading | None, Entry(Length, _INCHES, ("-12 ft", "12 ft"), ("-6 ft", "6 ft"))] = asked(
        "Tank aft of it", "From the carburettor to the tank's outlet; forward negative, with ±."
    )
    unusable: Annotated[Reading | None, Entry(Volume, _GALLONS, ("0 L", "60 L"), ("0 L", "8 L"))] = asked(
        "Unusable fuel", "Drained after the flow first faltered in the worst attitude, with ±."
    )
    jars: list[Jar] = rows("Jars", "Only of an engine with a nozzle for each cylinder.")

    @classmethod
    def start(cls, aircraft: Aircraft) -> dict[str, Any]:
        """One tank."""
        return {**super().start(aircraft), "runs": [{"tank": "main"}], "jars": [{"nozzle": ""}]}

    def parts(self, aircraft: Aircraft) -> list[Part]:
        """Every tank, the attitude, what is unusable, every jar that is named."""
        named = [row for row in self.runs if row.tank.strip()]
        found = [Part(f"flow of {row.tank.strip()}", None not in (row.volume, row.time)) for row in named]
        found.append(Part("in which attitude the can was filled", self.attitude != NOT_LOOKED_AT))
        if self.system == "pump" and self.attitude == RECKONED:
            found.append(Part("a pump's flow in the worst attitude, which no heights tell", False))
        found.append(Part("unusable fuel", self.unusable is not None))
        found += [Part(f"jar {row.nozzle.strip()}", row.volume is not None) for row in self.jars if row.nozzle.strip()]
        return found

    def _work(self, aircraft: Aircraft) -> Outcome:
        to = Working(self, aircraft)
        runs = self._checked(to)
        rated = measured(aircraft.engine.rated_power, Power, "rated power")
        mass = to.work("", fuel_needed_at_power, rated, to.reading("consumption", "consumption at full power"))
        density = to.work(
            "", avgas_density, to.reading("temperature", "fuel temperature"), to.reading("density", "density at 15 °C")
        )
        need = to.work("Fuel needed, by volume", fuel_volume_flow, mass, density).shown_in(_FLOW)
        factor = measured(str(fuel_flow_factor(self.system)), Ratio, "factor of the rules")
        required = to.work("", required_fuel_flow, need, factor).shown_in(_FLOW)
        to.tell("need", "Fuel needed at full power", need)
        to.tell("required", "Flow asked for by the rules", required)
        heads = self._heads(to)
        for i, row in runs:
            self._flow(to, i, row, need, required, heads)
        if self.unusable is not None:
            left = to.reading("unusable", "unusable fuel", _GALLONS)
            to.judge("unusable", "Unusable fuel", self.limit("unusable", aircraft), left)
            to.tell("unusable_mass", "Unusable fuel weighs", to.work("Unusable fuel weighs", fuel_mass, left, density))
        self._nozzles(to)
        to.compare("Against the limits")
        return to.outcome()

    def _checked(self, to: Working) -> list[tuple[int, Run]]:
        """The rows with a flow; what is wrong in any field is refused at once."""
        runs = to.filled("runs", "volume", "time")
        for i, row in runs:
            if not row.tank.strip():
                to.problem(f"runs.{i}.tank", "is missing: which tank, or which setting of the valve")
            for name in ("volume", "time"):
                if getattr(row, name) is None:
                    to.problem(f"runs.{i}.{name}", "is missing: a flow is a volume in a time")
        to.by_key("runs", runs, lambda row: key_of(row.tank).casefold(), "tank")
        if self.attitude == RECKONED and self.system == "gravity":
            for name in HEADS:
                if getattr(self, name) is None:
                    to.problem(name, "is needed to go from the test's attitude to the worst one")
        jars = [(i, row) for i, row in enumerate(self.jars) if row.volume is not None or row.jet is not None]
        for i, row in jars:
            if not row.nozzle.strip():
                to.problem(f"jars.{i}.nozzle", "is missing: which nozzle is it")
            if row.volume is None:
                to.problem(f"jars.{i}.volume", "is missing: what was in its jar")
        if len(jars) == 1:
            to.problem(f"jars.{jars[0][0]}.volume", "is the only one: jars are compared with each other")
        to.by_key("jars", jars, lambda row: key_of(row.nozzle).casefold(), "nozzle")
        to.settle()
        return runs

    def _heads(self, to: Working) -> tuple[Measured, Measured] | None:
        """The head in the test and in the worst attitude, where the one is worked out from the other."""
        if self.height is None or self.aft is None or self.worst_pitch is None:
            return None
        height = to.reading("height", "height of the fuel", _INCHES)
        aft = to.reading("aft", "tank aft of the carburettor", _INCHES)
        worst = to.reading("worst_pitch", "worst pitch in flight", _DEG)
        least = to.work("Head in the worst attitude", fuel_head, height, aft, worst).shown_in(_INCHES)
        title = "Head in the worst attitude"
        if self.system == "gravity":
            if least.si > max(float(height.si), 0.0) * (1 + 1e-9):
                to.problem(
                    "worst_pitch",
                    f"is not the worst: it makes a head of {say(least)}, level flight one of {say(height)}; check its "
                    "sign, nose up positive, and the tank's, aft positive",
                )
                to.settle()
            to.judge("head", title, None, least, physical=DOWNHILL, aside=True)
            if least.si <= 0:
                to.lead.append("In the worst attitude the fuel would have to run uphill: the engine would stop.")
        else:
            to.tell("head", title, least)
        if self.attitude != RECKONED or self.pitch is None or self.system != "gravity":
            return None
        there = to.work("Head in the test", fuel_head, height, aft, to.reading("pitch", "pitch in the test", _DEG))
        if there.si <= 0:
            to.problem("height", "gives no head in the test, and yet fuel ran: check height, distance and pitch")
            to.settle()
        to.lead.append(
            f"{AN_ESTIMATE} of the flow in the worst attitude, from the test by the root of the heads. Test it there."
        )
        return there.shown_in(_INCHES), least

    def _flow(
        self, to: Working, i: int, row: Run, need: Measured, required: Measured, heads: tuple[Measured, Measured] | None
    ) -> None:
        tank = row.tank.strip()
        assert row.time is not None
        time = to.mean(row.time, f"time, {tank}", Time, unit=("s", "s"))
        caught = to.reading(f"runs.{i}.volume", f"caught, {tank}", _GALLONS)
        flow = to.work(f"Flow, {tank}", fuel_flow_from_test, caught, time).shown_in(_FLOW)
        key, title = key_of(tank), f"Flow, {tank}"
        if heads is not None:
            there, least = heads
            if least.si <= 0:
                to.tell(f"flow.{key}", title, flow)
                return
            flow = to.work(f"{title}, in the worst attitude", fuel_flow_at_head, flow, there, least).shown_in(_FLOW)
        to.judge(f"flow.{key}", title, self.limit("flow", to.aircraft), flow, aside=True)
        share = to.work(f"{capital(tank)}: over what the rules ask for", fuel_flow_share, flow, required)
        percent = f"{100 * fuel_flow_factor(self.system):.0f} %"
        limit = Limit(
            "flow", Ratio, low="1", source=f"14 CFR 23.955 (older text): {percent} of the need, {self.system}"
        )
        bare = value_of(fuel_flow_share, flow, need)
        verdict = to.judge(f"share.{key}", f"{capital(tank)}: flow over what the rules ask for", limit, share).verdict
        enough = ENOUGH.word(bare)
        if enough != IN_LIMITS:
            less = "is" if enough == OUT_OF_LIMITS else "may be"
            to.lead.append(
                f"{capital(tank)}: the flow {less} less than the engine takes at full power. Do not run it like this."
            )
        if verdict.word != IN_LIMITS:
            to.say_to_do(
                f"{capital(tank)}: {say(flow)} where {say(required)} is required. Check vent, filter and line.",
                "share.",
            )

    def _nozzles(self, to: Working) -> None:
        rows = [(i, row) for i, row in enumerate(self.jars) if row.volume is not None]
        if not rows:
            return
        caught = [to.reading(f"jars.{i}.volume", f"jar {row.nozzle.strip()}", _SMALL) for i, row in rows]
        shares, spread = jar_shares(caught), jar_spread(caught)
        mean = caught[0]
        for one in caught[1:]:
            mean = mean + one
        mean = mean / len(caught)
        line = " + ".join(say(one) for one in caught)
        to.step("Mean of the jars", [f"({line}) / {len(caught)} = {say(mean)}"], mean, sources.JCGM_100.at("4.2.1"))
        for (i, row), share, one in zip(rows, shares, caught, strict=True):
            name = row.nozzle.strip()
            to.step(f"Nozzle {name}: share of the mean", [f"{say(one)} / {say(mean)} = {say(share)}"], share,
                    sources.DEFINITION.at("share"))  # fmt: skip
            to.tell(f"share_of_jar.{key_of(name)}", f"Nozzle {name}: share of the mean", share)
            if row.jet is not None:
                jet = to.reading(f"jars.{i}.jet", f"jet of nozzle {name}", _BORE)
                wanted = to.work(f"Nozzle {name}: flow to be had over what it gives", share_to_the_mean, share)
                fit = to.work(f"Nozzle {name}: jet to fit", jet_diameter_for_flow, jet, wanted, "1").shown_in(_BORE)
                to.tell(f"jet.{key_of(name)}", f"Nozzle {name}: jet that would give the mean", fit)
        line = f"fullest less emptiest, over the mean: {say(spread, '%')}"
        to.step("Between the jars", [line], spread, sources.DEFINITION.at("spread"))
        limit = self.limit("spread", to.aircraft)
        to.judge("spread", "Between the jars", limit, spread.shown_in(("%", "%")))
        far = max(range(len(shares)), key=lambda i: abs(float(shares[i].si) - 1))
        way = "more" if float(shares[far].si) > 1 else "less"
        name = rows[far][1].nozzle.strip()
        to.notes.append(
            f"Nozzle {name} lies furthest from the mean, with {way}: swap it with another and catch again, to see "
            "whether the nozzle or the line is the cause."
        )
