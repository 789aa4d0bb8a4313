"""Mixture: richness at full power against what the engine needs, and where each cylinder peaks, on the ground."""

from __future__ import annotations

from typing import Annotated, Any, ClassVar, Literal

from rotorkit import sources
from rotorkit.aircraft import Aircraft
from rotorkit.aircraft.entries import Choice, Entry, Reading, asked, rows
from rotorkit.engine import (
    Peak,
    avgas_density,
    exhaust_peak,
    fuel_mass_flow,
    jet_diameter_for_flow,
    specific_fuel_consumption,
)
from rotorkit.judging.limits import OUT_OF_LIMITS, TOO_CLOSE, Limit
from rotorkit.judging.measured import Measured, largest_less_smallest, measured
from rotorkit.pictures.data import Chart, Curve, Point
from rotorkit.quantities import (
    Density,
    Length,
    Power,
    QuantityError,
    Ratio,
    SpecificFuelConsumption,
    Temperature,
    TemperatureDifference,
    VolumeFlow,
    from_si,
    in_unit,
    required_kind,
    say,
    unit_factor,
)
from rotorkit.sheets.base import AN_ESTIMATE, About, Needed, Outcome, Part, Row, Sheet, SheetLimit
from rotorkit.sheets.engine.recorded import (
    fingerprint_field,
    recording_field,
    say_recorded,
    stretch_field,
    was_wrong_field,
)
from rotorkit.sheets.exercises import Exercise, Range
from rotorkit.sheets.working import Working
from rotorkit.sources import cautions

_FLOW = ("gal/h", "L/h")
_F = ("°F", "°C")
_BORE = ("in", "mm")
_USE = ("lb/(hp*h)", "g/(kW*h)")
CYLINDERS = tuple(f"exhaust_{i}" for i in range(1, 7))
FLOW = Entry(VolumeFlow, _FLOW, ("0.2 gal/h", "80 gal/h"), ("2 gal/h", "40 gal/h"))
EXHAUST = Entry(Temperature, _F, ("0 °F", "2000 °F"), ("900 °F", "1700 °F"))
LEVER: Literal["a mixture control"] = "a mixture control"
FIXED: Literal["fixed jets"] = "fixed jets"


class Step(Row):
    """One step of drawing the mixture back."""

    fuel_flow: Annotated[Reading | None, FLOW] = asked(
        "Fuel flow", "Settled, throttle and load untouched, with ±. The first step full rich."
    )
    exhaust_1: Annotated[Reading | None, EXHAUST] = asked("Exhaust 1", "Settled, with its ±.")
    exhaust_2: Annotated[Reading | None, EXHAUST] = asked("Exhaust 2", "Of cylinder 2.")
    exhaust_3: Annotated[Reading | None, EXHAUST] = asked("Exhaust 3", "Of cylinder 3.")
    exhaust_4: Annotated[Reading | None, EXHAUST] = asked("Exhaust 4", "Of cylinder 4.")
    exhaust_5: Annotated[Reading | None, EXHAUST] = asked("Exhaust 5", "Where there is one.")
    exhaust_6: Annotated[Reading | None, EXHAUST] = asked("Exhaust 6", "Where there is one.")


class Mixture(Sheet):
    """Mixture of an engine on the ground."""

    order: ClassVar[int] = 50
    puts_right: ClassVar[dict[str, str]] = {
        "rich_of_peak": "Set the jets as the engine's manual says before it flies, and measure again.",
        "spread": (
            "Find out why the cylinders differ before it flies: a leak of air, a jet, carburettors out of step."
        ),
        "head": "Let it cool, and look at jets, timing and baffles before it is leaned again.",
    }
    workings: ClassVar[int] = 90
    reads_runs: ClassVar[bool] = True
    by_file: ClassVar[tuple[str, ...]] = ("fingerprint", "was_wrong")
    of_file: ClassVar[tuple[str, ...]] = ("recording", "full_stretch", "lean_stretch")
    needed: ClassVar[tuple[Needed, ...]] = (
        Needed("First flight out of ground effect", "an engine that runs lean at full power burns its pistons"),
    )
    limits: ClassVar[dict[str, SheetLimit]] = {
        "consumption": SheetLimit(
            SpecificFuelConsumption,
            "consumption at full power",
            "lb/(hp*h)",
            "full rich, from the engine's manual, both sides: less is lean",
        ),
        "rich_of_peak": SheetLimit(
            TemperatureDifference, "exhaust below its peak, full rich", "°F", "of each cylinder: the low side"
        ),
        "spread": SheetLimit(VolumeFlow, "fuel flows at the cylinders' peaks, spread", "gal/h", "the high side"),
        "head": SheetLimit(Temperature, "hottest cylinder head while leaning", "°F", "at its greatest: the high side"),
    }
    uses: ClassVar[tuple[str, ...]] = ("engine.rated_power",)
    about: ClassVar[About] = About(
        title="Mixture",
        settles=(
            "Whether the jetting is rich enough at full power, or too rich, and by how much; at which fuel flow each "
            "cylinder peaks, how well that is known, and how far the cylinders differ. On the ground only."
        ),
        when="After the first hours; after work on jets, carburettor or induction; when a cylinder runs hot.",
        tools=("fuel flow gauge, or a marked can and a watch", "exhaust gauge for each cylinder, or the engine monitor",
               "a pilot at the controls who may run it"),
        procedure=(
            "Tied down, extinguisher manned, engine warm. Full rich, at the manual's full power: read the fuel flow, "
            "for no longer than the manual allows on the ground.",
            "If there is a mixture control and the manual allows it: at the manual's low power, draw it back in "
            "small steps, throttle untouched; let each settle; read fuel flow and every exhaust.",
            "Go on until each cylinder has passed its hottest and cools again, or runs rough: then full rich at once.",
            "Push it to full rich before anything else is done, and leave it there.",
        ),
        sign_convention="Rich of peak is positive: the peak temperature minus the temperature at full rich.",
        cautions=(cautions.NOT_LEANED_IN_FLIGHT, cautions.GROUND_RUN, *cautions.ALWAYS),
        not_covered=(
            "leaning in flight: a helicopter is not leaned in flight",
            "detonation, plugs of the wrong heat range, timing: a hot cylinder has more causes than its mixture",
            "the power itself: it is taken as the aircraft file's rated power, unless you type what was measured",
        ),
    )  # fmt: skip

    exercises: ClassVar[tuple[Exercise, ...]] = (
        Exercise(
            name="consumption",
            title="Fuel for each {horsepower|kilowatt}",
            story="Full rich at {power} the engine burns {mass_flow} of fuel.",
            find="the specific consumption",
            unit="lb/(hp*h)",
            of=specific_fuel_consumption,
            given={
                "mass_flow": Range("66.0 lb/h", "78.0 lb/h", "0.1 lb/h"),
                "power": Range("130 hp", "152 hp", "1 hp"),
            },
            hints=(
                "So many {pounds|grams} an hour, shared among so many {horsepower|kilowatts}.",
                "Fuel flow divided by power.",
            ),
        ),
        Exercise(
            name="another_jet",
            title="The next jet",
            story=(
                "The main jet's bore is {diameter}, and the engine is to get {flow_ratio} times the fuel at the same "
                "suction. The flow is in proportion to the area of the hole."
            ),
            find="the bore of the jet to fit",
            unit="in",
            of=jet_diameter_for_flow,
            given={
                "diameter": Range("0.0580 in", "0.0660 in", "0.0005 in"),
                "flow_ratio": Range("1.06", "1.16", "0.01"),
                "drop_ratio": "1",
            },
            hints=(
                "Twice the area is not twice the bore.",
                "The bore is in proportion to the square root of the flow.",
            ),
        ),
    )

    control: Annotated[Literal["a mixture control", "fixed jets"], Choice(options=(LEVER, FIXED))] = asked(
        "The engine has", "Fixed jets: only full power can be judged.", LEVER
    )
    full_flow: Annotated[Reading | None, FLOW] = asked("Fuel flow at full power", "Full rich, settled, with its ±.")
    full_power: Annotated[Reading | None, Entry(Power, ("hp", "kW"), ("5 hp", "1000 hp"), ("40 hp", "400 hp"))] = asked(
        "Power then", "If it was measured, with its ±; else the rated power is taken."
    )
    temperature: Annotated[
        Reading | None, Entry(Temperature, _F, ("-40 °F", "140 °F"), ("10 °F", "120 °F"), by="thermometer")
    ] = asked("Fuel temperature", "Of the fuel in the tank.")
    thermometer: Annotated[str, Choice("instruments", measures="temperature")] = asked("Thermometer", default="")
    density: Annotated[Reading, Entry(Density, ("lb/gal", "kg/m^3"), ("653 kg/m^3", "770 kg/m^3"))] = asked(
        "Density at 15 °C", "From the supplier; 720 ± 15 kg/m³ is common for gasoline (from memory).", "720 ± 15 kg/m^3"
    )
    jet: Annotated[Reading | None, Entry(Length, _BORE, ("0.1 mm", "6 mm"), ("0.4 mm", "3 mm"))] = asked(
        "Main jet fitted", "Its bore, so the sheet can say which size would bring it to the middle."
    )
    head_temperature: Annotated[Reading | None, Entry(Temperature, _F, ("-40 °F", "700 °F"), ("150 °F", "500 °F"))] = (
        asked("Hottest head", "At its highest while leaning, with the gauge's ±.")
    )
    recording: str = recording_field()
    full_stretch: str = stretch_field("At full power", "From when until when.")
    lean_stretch: str = stretch_field("When leaned", "From full rich to the leanest.")
    fingerprint: str = fingerprint_field()
    was_wrong: str = was_wrong_field()
    steps: list[Step] = rows("Drawn back", "A row for each step, rich first.")

    @classmethod
    def start(cls, aircraft: Aircraft) -> dict[str, Any]:
        """Seven steps."""
        return {**super().start(aircraft), "steps": [{} for _ in range(7)]}

    def parts(self, aircraft: Aircraft) -> list[Part]:
        """Full power, and a peak that was passed for every cylinder that is read, and that the engine has."""
        found = [
            Part("fuel flow at full power", self.full_flow is not None),
            Part("fuel temperature", self.temperature is not None),
        ]
        if self.control == LEVER:
            read = [name for name in CYLINDERS if any(getattr(row, name) is not None for row in self.steps)]
            found.append(Part("the mixture leaned, step by step", bool(read)))
            has = CYLINDERS[: aircraft.engine.cylinders or 0]
            read = [name for name in CYLINDERS if name in read or name in has] if read else []
            if (aircraft.engine.cylinders or 0) > len(CYLINDERS):
                found.append(Part(f"the cylinders after {len(CYLINDERS)}, for which there is no room here", False))
            if self.limit("head", aircraft) is not None:
                found.append(Part("hottest head while leaning", self.head_temperature is not None))
            rich = self._richest
            for name in read:
                found.append(Part(f"cylinder {name[-1]}: its peak, passed", self._passed(name)))
                at_rich = rich is not None and getattr(rich, name) is not None
                found.append(Part(f"cylinder {name[-1]}: its exhaust at full rich", at_rich))
        return found

    @property
    def _richest(self) -> Step | None:
        """The step with the most fuel, which is full rich."""
        rows = [row for row in self.steps if row.fuel_flow is not None]
        return max(rows, key=lambda row: row.fuel_flow.si, default=None)  # type: ignore[union-attr]

    def _points(self, name: str) -> list[tuple[int, Step]]:
        return [(i, row) for i, row in enumerate(self.steps) if None not in (row.fuel_flow, getattr(row, name))]

    def _passed(self, name: str) -> bool:
        rows = sorted((row.fuel_flow.si, getattr(row, name).si) for _, row in self._points(name))  # type: ignore[union-attr]
        hottest = max(range(len(rows)), key=lambda i: rows[i][1]) if len(rows) > 2 else 0
        return 0 < hottest < len(rows) - 1

    def _work(self, aircraft: Aircraft) -> Outcome:
        to = Working(self, aircraft)
        filled = [
            (i, row) for i, row in enumerate(self.steps) if any(getattr(row, one) is not None for one in CYLINDERS)
        ]
        for i, row in filled:
            if row.fuel_flow is None:
                to.problem(f"steps.{i}.fuel_flow", "is missing: an exhaust temperature counts with its fuel flow")
        if self.full_flow is None and not filled:
            to.problem("full_flow", "needs a reading")
        if self.full_flow is not None and self.temperature is None:
            to.problem("temperature", "is needed: warm fuel is lighter")
        if self.full_power is not None and self.full_flow is None:
            to.problem("full_flow", "is needed with the power")
        to.settle()
        to.lead.append("Do not lean a helicopter in flight: what you find here is for the jets, on the ground.")
        if self.full_flow is not None:
            self._full_power(to)
        if filled and self.control == LEVER:
            self._peaks(to)
        if self.head_temperature is not None:
            head = to.reading("head_temperature", "hottest head", _F)
            limit = self.limit("head", aircraft)
            to.judge("head", "Hottest head while leaning", limit, head, aside=True)
        say_recorded(to, self)
        to.compare("Against the limits")
        return to.outcome()

    def _full_power(self, to: Working) -> None:
        density = to.work(
            "", avgas_density, to.reading("temperature", "fuel temperature"), to.reading("density", "density at 15 °C")
        )
        flow = to.reading("full_flow", "fuel flow at full power", _FLOW)
        mass = to.work("", fuel_mass_flow, flow, density)
        if self.full_power is not None:
            power = to.reading("full_power", "power")
        else:
            power = measured(to.aircraft.engine.rated_power, Power, "rated power")
            to.lead.append(
                f"{AN_ESTIMATE} of the consumption: the power is the aircraft file's {say(power)}, not measured."
            )
        use = to.work("Consumption at full power", specific_fuel_consumption, mass, power).shown_in(_USE)
        limit = self.limit("consumption", to.aircraft)
        found = to.judge("consumption", "Consumption at full power", limit, use)
        if limit is None or limit.low_si is None or limit.high_si is None:
            return
        middle = (limit.low_si + limit.high_si) / 2
        ratio = to.step(
            "Fuel flow at the middle of the limit, over the one read",
            [f"{say(from_si(middle, limit.kind), _USE[to.system == 'metric'])} / {say(use)}"],
            _over(middle, use), sources.ARITHMETIC.at("in proportion, power untouched"),
        )  # fmt: skip
        to.tell("flow_ratio", "Fuel flow at the middle of the limit, over the one read", ratio)
        way = "lean" if float(use.si) < limit.low_si else "rich" if float(use.si) > limit.high_si else ""
        much = abs(100 * (float(ratio.si) - 1))
        if found.verdict.word == OUT_OF_LIMITS:
            if way == "lean":
                to.lead.append("It runs lean at full power: no full power and no flight until it is richer.")
            to.say_to_do(f"The jetting is too {way}: the middle of the limit asks for {much:.0f} % "
                         f"{'more' if way == 'lean' else 'less'} fuel.", "consumption")  # fmt: skip
        elif found.verdict.word == TOO_CLOSE:
            to.say_to_do("Whether the jetting is right is too close to call: measure the power, and the flow by can.")
        if self.jet is not None:
            jet = to.reading("jet", "main jet fitted", _BORE)
            fit = to.work("Main jet for the middle of the limit", jet_diameter_for_flow, jet, ratio, "1").shown_in(
                _BORE
            )
            to.tell("jet", "Main jet for the middle of the limit", fit)

    def _peaks(self, to: Working) -> None:
        flows: list[Measured] = []
        rich = self._richest
        steps = {  # each made once: what a flow is off by is the same for every cylinder
            i: to.reading(f"steps.{i}.fuel_flow", f"fuel flow, step {i + 1}", _FLOW)
            for i, row in enumerate(self.steps)
            if row.fuel_flow is not None
        }
        curves, points = [], []
        for name in CYLINDERS:
            rows = self._points(name)
            if not rows:
                continue
            cylinder = f"cylinder {name[-1]}"
            read = {
                i: (steps[i], to.reading(f"steps.{i}.{name}", f"exhaust of {cylinder}, step {i + 1}", _F))
                for i, _ in rows
            }
            curves.append((cylinder, list(read.values())))
            if not self._passed(name):
                to.notes.append(f"The peak of {cylinder} was not passed: draw back further, or start richer.")
                continue
            try:
                drawn = [flow for flow, _ in read.values()], [hot for _, hot in read.values()]
                peak = exhaust_peak(*drawn, name=cylinder)
            except QuantityError as problem:
                to.problem(f"steps.{rows[0][0]}.{name}", str(problem).removeprefix("exhaust_peak: "))
                to.settle()
            assert isinstance(peak, Peak)
            flow, hot = peak.flow.shown_in(_FLOW), peak.temperature.shown_in(_F)
            flows.append(flow)
            title = f"Cylinder {name[-1]}: fuel flow at its peak"
            cited = sources.ARITHMETIC.at("top of a parabola by least squares")
            to.step(title, [f"parabola through {peak.used} steps about the hottest: {say(flow)}"], flow, cited)
            to.tell(f"peak_flow.{name[-1]}", title, flow)
            title = f"Cylinder {name[-1]}: exhaust at its peak"
            to.step(title, [f"the same parabola's top: {say(hot)}"], hot, cited)
            to.tell(f"peak.{name[-1]}", title, hot)
            points.append(Point(f"peak {name[-1]}", *_at(flow, hot, to.system)))
            at_rich = next((pair for i, pair in read.items() if self.steps[i] is rich), None)
            if at_rich is not None:
                below = (hot - at_rich[1]).shown_in(_F)
                title = f"Cylinder {name[-1]}: below its peak, full rich"
                line = f"{say(hot)} less {say(at_rich[1])}"
                to.step(title, [line], below, sources.DEFINITION.at("rich of peak"))
                to.judge(f"rich_of_peak.{name[-1]}", title, self.limit("rich_of_peak", to.aircraft), below,
                         physical=RICH)  # fmt: skip
        if len(flows) > 1:
            spread = largest_less_smallest(flows).shown_in(_FLOW)
            line = f"largest less smallest: {say(spread)}"
            to.step("Fuel flows at the peaks, spread", [line], spread, sources.DEFINITION.at("spread"))
            to.judge("spread", "Fuel flows at the peaks, spread", self.limit("spread", to.aircraft), spread)
        if curves:
            to.pictures.append(_chart(curves, points, to.system))


RICH = Limit(
    "below its peak, full rich", TemperatureDifference, low="0 °F", source="full rich has to be richer than peak"
)


def _over(middle: float, use: Measured) -> Measured:
    from rotorkit.judging.measured import propagate

    return propagate(lambda found: middle / found, Ratio, [use])


def _at(flow: Measured, hot: Measured, system: str) -> tuple[float, float, float, float]:
    across, up = _FLOW[system == "metric"], ("degF", "degC")[system == "metric"]
    kinds = required_kind(VolumeFlow), required_kind(Temperature)
    high, low = (float(in_unit(si, up, kinds[1])) for si in (301.0, 300.0))
    return (
        float(in_unit(flow.si, across, kinds[0])),
        float(in_unit(hot.si, up, kinds[1])),
        float(flow.expanded_si) / unit_factor(across, kinds[0]),
        float(hot.expanded_si) * (high - low),
    )


def _chart(curves: list[tuple[str, list[tuple[Measured, Measured]]]], points: list[Point], system: str) -> Chart:
    """Every cylinder's exhaust over fuel flow, and its peak."""
    lines = []
    styles = ("main", "second", "third", "fourth", "fifth", "sixth")  # a line of its own for each cylinder
    for number, (name, pairs) in enumerate(curves):
        places = sorted(_at(flow, hot, system)[:2] for flow, hot in pairs)
        x, y = [x for x, _ in places], [y for _, y in places]
        lines.append(Curve(name, x, y, styles[number % len(styles)]))
    across, up = (units[system == "metric"] for units in (_FLOW, _F))
    return Chart("Exhaust temperature while leaning", f"fuel flow, {across}", f"exhaust, {up}", lines, (), points)
