"""One-way clutch: what it carries against what its maker allows, its contacts' pressure, and whether it frees."""

from __future__ import annotations

import math
from typing import Annotated, ClassVar, Literal

from rotorkit.aircraft import Aircraft
from rotorkit.aircraft.entries import Choice, Entry, asked
from rotorkit.drive import line_contact, peak_torque, roller_clutch_normal_force, torque_from_power
from rotorkit.judging.limits import Limit
from rotorkit.judging.measured import Measured, measured, propagate
from rotorkit.pictures.data import Look, Looks
from rotorkit.quantities import (
    Angle,
    Force,
    Length,
    Power,
    Ratio,
    Reading,
    Stress,
    Torque,
    say,
)
from rotorkit.sheets.base import NOT_LOOKED_AT, About, Needed, Outcome, Part, Sheet, SheetLimit, unset
from rotorkit.sheets.drive.on_shaft import ITS_SHAFT, ON_SHAFT, check_at_clutch, check_turns, speed_of, turns_of
from rotorkit.sheets.exercises import Exercise, Range
from rotorkit.sheets.working import Working
from rotorkit.sources import ARITHMETIC, HERTZ, cautions

_INCHES = ("in", "mm")
STEEL, POISSON = 207e9, 0.29
"""Both of bearing steel (handbook figures, from memory)."""
HOLDS = Limit("margin of the clutch", Ratio, low="0", source="physics: it carries what the engine gives")
GRIPS = Limit("friction left at the contacts", Ratio, low="0", source="physics: half the wedge angle within friction")
FREES = Limit(
    "faults in running free", Ratio, high="0", source="physics: a clutch that drags stops the rotor with the engine"
)
TAKES = Limit("faults in taking hold", Ratio, high="0", source="physics: a clutch that slips lets the engine run away")
RUNS_FREE, DRAGS, STAYS = "runs free, engine stands", "drags: something turns with it", "does not run free"
HOLDS_AT_ONCE, SLIPS, SLIPS_ON = "takes hold at once", "slips before it takes hold", "does not take hold"
Overruns = Literal["not looked at", "runs free, engine stands", "drags: something turns with it", "does not run free"]
Locks = Literal["not looked at", "takes hold at once", "slips before it takes hold", "does not take hold"]
Needles = Literal["not looked at", "part at once", "part late", "stay together"]
CONTACT = ("elements", "race_radius", "element_radius", "contact_length", "wedge_angle", "friction")


class OneWayClutch(Sheet):
    """The clutch that lets the rotor run on when the engine stops."""

    order: ClassVar[int] = 42
    puts_right: ClassVar[dict[str, str]] = {
        "drag": (
            "Find what drags, a bearing, a seal or the clutch, and have it put right as the manual says before it "
            "is run."
        ),
    }
    uses: ClassVar[tuple[str, ...]] = ("main_rotor.speed", "engine.rated_power")
    needed: ClassVar[tuple[Needed, ...]] = (
        Needed(
            "First rotor turn",
            "a clutch that does not release takes away autorotation; one that slips takes away the engine",
        ),
    )
    limits: ClassVar[dict[str, SheetLimit]] = {
        "margin": SheetLimit(
            Ratio, "margin of the clutch", None, "rated torque divided by greatest torque, minus one: only the low side"
        ),
        "pressure": SheetLimit(
            Stress, "pressure at the contacts", "psi", "the clutch maker's own figure: only the high side"
        ),
        "drag": SheetLimit(Torque, "drag of the clutch running free", "lbf*ft", "at the clutch: only the high side"),
    }
    about: ClassVar[About] = About(
        title="One-way clutch",
        settles=(
            "Whether the one-way clutch carries the engine's torque with its shocks, how high the contact pressure is, "
            "and whether it releases the rotor and takes hold again."
        ),
        when=(
            "Before the first run, after every change of its oil or grease and after anything upstream of it was "
            "changed; check that it runs free and takes hold before every flight, as the manual says."
        ),
        tools=("the clutch maker's sheet", "spring scale and rule", "chalk"),
        procedure=(
            "Engine off, ignition safe. Turn the main rotor by hand in its own direction: engine and belts must "
            "not move.",
            "Pull on the blade with a spring scale, level and square: note the pull that keeps it turning slowly, and "
            "how far from the axis you pull. Bearings, gears and tail rotor add drag: the clutch alone has less.",
            "Turn the engine side by hand the way it runs, plugs out: the rotor must follow at once. Try it at ten "
            "places around, not just one.",
            "At the end of the first run, rotor unloaded, throttle closed: the needles of rotor and engine must part "
            "at once. A pilot does that, from where the manual allows.",
        ),
        sign_convention=(
            "Torques and forces have no sign. The margin is rated torque divided by the greatest torque, minus one: "
            "below zero the clutch is overloaded."
        ),
        cautions=(
            cautions.ENGINE_OFF,
            cautions.TURNING_ROTORS,
            cautions.BELTS_AND_FINGERS,
            cautions.AUTOROTATION,
            *cautions.ALWAYS,
        ),
        not_covered=(
            "wear, which shows only opened: at the hours that the manual gives",
            "the wrong oil: some greases and additives let a clutch slip; use only the maker's",
            "how long it may overrun, and how fast: the maker's sheet",
            "taking hold while it overruns fast, or engine torque that swings through zero",
            "how much pressure a contact can take: two makers' figures differ by a factor of 2.4, so only this "
            "clutch's counts",
        ),
    )
    exercises: ClassVar[tuple[Exercise, ...]] = (
        Exercise(
            name="press",
            title="What presses a roller",
            story=(
                "A one-way clutch carries {torque} on {rollers} rollers; its inner race has a radius of {race_radius} "
                "and the wedge angle is {wedge_angle}. Each force is the torque, divided by the number of rollers, the "
                "radius and the tangent of half the wedge angle."
            ),
            find="the force that presses each roller against its race",
            unit="lb",
            of=roller_clutch_normal_force,
            given={
                "torque": Range("300 lbf*ft", "420 lbf*ft", "5 lbf*ft"),
                "rollers": "14",
                "race_radius": Range("1.20 in", "1.60 in", "0.05 in"),
                "wedge_angle": "7 deg",
            },
            hints=(
                "Turn the torque into {pound-inches|newton millimetres} first.",
                "The tangent of 3.5 degrees is 0.0612.",
            ),
        ),
    )

    rated: Annotated[
        Reading | None, Entry(Torque, None, ("0.1 lbf*ft", "50000 lbf*ft"), ("20 lbf*ft", "5000 lbf*ft"))
    ] = asked("Rated torque", "By the clutch maker's sheet, with ± (0 where it gives none).")
    shock: Annotated[Reading | None, Entry(Ratio, ("", ""), ("1", "10"), ("1", "6"))] = asked(
        "Shock factor",
        "Greatest over mean torque, by the manual, with ±; 1.5 to 3 for piston engines (common practice).",
    )
    on_shaft: Annotated[str, ON_SHAFT] = asked("On which shaft", ITS_SHAFT, "")
    turns: Annotated[Reading | None, Entry(Ratio, ("", ""), ("0.1", "30"), ("0.5", "12"), exact=True)] = asked(
        "Turns of the clutch", "For one turn of the main rotor, where no shaft is chosen."
    )
    overruns: Annotated[Overruns, Choice(options=("not looked at", RUNS_FREE, DRAGS, STAYS))] = asked(
        "Rotor turned on by hand", "In its own direction, engine off.", NOT_LOOKED_AT
    )
    locks: Annotated[Locks, Choice(options=("not looked at", HOLDS_AT_ONCE, SLIPS, SLIPS_ON))] = asked(
        "Engine's side turned", "As it runs, plugs out; the worst of ten places.", NOT_LOOKED_AT
    )
    needles: Annotated[Needles, Choice(options=("not looked at", "part at once", "part late", "stay together"))] = (
        asked("Needles, throttle closed", "At the end of a run: rotor and engine.", NOT_LOOKED_AT)
    )
    pull: Annotated[Reading | None, Entry(Force, ("lbf", "N"), ("0 lbf", "500 lbf"), ("0.05 lbf", "40 lbf"))] = asked(
        "Pull that keeps it turning", "At a blade, running free, with ±."
    )
    arm: Annotated[Reading | None, Entry(Length, _INCHES, ("1 in", "40 ft"), ("6 in", "20 ft"))] = asked(
        "Pulled at", "From the main rotor's axis, with ±."
    )
    elements: Annotated[Reading | None, Entry(Ratio, ("", ""), ("1", "200"), ("3", "60"), exact=True)] = asked(
        "Rollers or sprags", "How many carry the load. Fill in all six of these, or none: they give the pressure."
    )
    race_radius: Annotated[Reading | None, Entry(Length, _INCHES, ("0.1 in", "20 in"), ("0.3 in", "6 in"))] = asked(
        "Radius of the inner race", "With ±."
    )
    element_radius: Annotated[Reading | None, Entry(Length, _INCHES, ("0.01 in", "5 in"), ("0.05 in", "1 in"))] = asked(
        "Radius of an element", "Of a roller; of a sprag its cam's at the inner race, with ±."
    )
    contact_length: Annotated[Reading | None, Entry(Length, _INCHES, ("0.01 in", "20 in"), ("0.1 in", "4 in"))] = asked(
        "Length of contact", "Along the axis, with ±."
    )
    wedge_angle: Annotated[Reading | None, Entry(Angle, None, ("0.5 deg", "40 deg"), ("3 deg", "16 deg"))] = asked(
        "Wedge angle", "Between both contact tangents of an element, with ±."
    )
    friction: Annotated[Reading | None, Entry(Ratio, ("", ""), ("0.001", "1"), ("0.04", "0.2"))] = asked(
        "Friction, oiled", "With ±; 0.06 to 0.10 for steel in oil (common practice, no source)."
    )

    def parts(self, aircraft: Aircraft) -> list[Part]:
        """Torque, all three looks at it, its drag, and its contacts where their pressure is limited."""
        return [
            Part(
                "rated torque, shock factor and turns of the clutch",
                None not in (self.rated, self.shock, turns_of(self, aircraft)),
            ),
            Part("rotor turned on by hand: whether it runs free", self.overruns != NOT_LOOKED_AT),
            Part("engine's side turned: whether it takes hold", self.locks != NOT_LOOKED_AT),
            Part("needles of rotor and engine when the throttle is closed", self.needles != NOT_LOOKED_AT),
            Part("pull that keeps it turning, for the drag", None not in (self.pull, self.arm)),
            *([] if unset(self.limit("pressure", aircraft))
              else [Part("its contacts' sizes, for the pressure that is limited", self.elements is not None)]),
        ]  # fmt: skip

    def _work(self, aircraft: Aircraft) -> Outcome:
        to = Working(self, aircraft)
        self._check(to)
        peak = self._torque(to)
        if peak is not None and self.elements is not None:
            self._contact(to, peak)
        self._drag(to)
        self._looks(to)
        if to.bad("overruns", "locks", "needles"):
            to.say_to_do(
                "Do not run or fly it: have the clutch opened or replaced, as the manual says, by someone "
                "licensed to do so.",
                "overruns", "locks", "needles",
            )  # fmt: skip
        elif to.bad("margin", "pressure", "grip"):
            to.say_to_do(
                "Do not run it on this figure: check rating and shock factor against the manual, and ask the clutch's "
                "maker.",
                "margin", "pressure", "grip",
            )  # fmt: skip
        to.compare(
            "Against the limits", [one for one in to.findings if one.key in ("margin", "pressure", "drag", "grip")]
        )
        return to.outcome()

    def _check(self, to: Working) -> None:
        rating = ("rated", "shock", "turns")
        check_turns(to, self)
        check_at_clutch(to, self)
        turns = turns_of(self, to.aircraft)
        for group, why in ((CONTACT, "the pressure needs all six"), (("pull", "arm"), "a pull acts at a distance")):
            to.together(group, f"is needed: {why}")
        if self.elements is not None and turns is None:
            to.problem("turns", "is needed for the pressure: it says how fast the clutch turns")
        if self.pull is not None and turns is None:
            to.problem("turns", "is needed for the drag: it says how fast the clutch turns")
        seen = any(one != NOT_LOOKED_AT for one in (self.overruns, self.locks, self.needles))
        if not seen and all(getattr(self, name) is None for name in (*rating, *CONTACT, "pull", "arm")):
            to.problem("rated", "needs a reading")
        if self.elements is not None and self.elements.si % 1:
            to.problem("elements", "must be a whole number")
        to.settle()

    def _torque(self, to: Working) -> Measured | None:
        """The greatest torque at the clutch, against its rating."""
        if self.shock is None or turns_of(self, to.aircraft) is None:
            return None
        power = measured(to.aircraft.engine.rated_power, Power, "rated power")
        speed = speed_of(to, self, "Speed of the clutch")
        mean = to.work("Mean torque at full power, losses before it left out", torque_from_power, power, speed)
        peak = to.work("Greatest torque", peak_torque, mean, to.reading("shock", "shock factor"))
        to.tell("peak", "Greatest torque at the clutch", peak)
        if self.rated is not None:
            rated = to.reading("rated", "rated torque")
            margin = propagate(lambda allowed, there: allowed / there - 1, Ratio, [rated, peak])
            to.step("Margin of the clutch", [f"{say(rated)} / {say(peak)} − 1"], margin, ARITHMETIC.at("share"))
            limit = self.limit("margin", to.aircraft)
            to.judge("margin", "Margin of the clutch", limit, margin, physical=HOLDS)
            if margin.si + margin.expanded_si < 0:
                to.lead.append("The engine's shocks are more than the clutch is rated for: do not run it.")
        return peak

    def _contact(self, to: Working, peak: Measured) -> None:
        assert self.elements is not None  # asked before
        count = measured(f"{self.elements.si:g}", Ratio, "elements")
        race, wedge = (
            to.reading("race_radius", "inner race's radius", _INCHES),
            to.reading("wedge_angle", "wedge angle"),
        )
        force = to.work("Force that presses each element", roller_clutch_normal_force, peak, count, race, wedge)
        given = [force, to.reading("contact_length", "length of contact", _INCHES),
                 to.reading("element_radius", "element's radius", _INCHES), race]  # fmt: skip

        def pressed(normal: float, length: float, element: float, inner: float) -> float:
            found = line_contact.si(normal, length, element, inner, STEEL, POISSON, STEEL, POISSON)
            return float(found.pressure.magnitude)

        pressure = propagate(pressed, Stress, given).shown_in(("psi", "MPa"))
        title = "Pressure at the inner contacts"
        said = f"{say(force)} over {say(given[1])}, radii {say(given[2])} and {say(race)}, steel on steel"
        to.step(title, [said, "p = 2 F / (π b L)"], pressure, HERTZ.at("line contact"))
        to.judge("pressure", title, self.limit("pressure", to.aircraft), pressure)
        friction = to.reading("friction", "friction, oiled")
        left = propagate(lambda mu, angle: mu - math.tan(angle / 2), Ratio, [friction, wedge])
        line = f"{say(friction)} less tan({say(wedge)} / 2)"
        to.step("Friction left at the contacts", [line], left, ARITHMETIC.at("friction on a wedged roller"))
        to.judge("grip", "Friction left at the contacts", None, left, physical=GRIPS, aside=True)
        if left.si + left.expanded_si < 0:
            to.lead.append("With this wedge angle the elements slip instead of taking hold.")

    def _drag(self, to: Working) -> None:
        ratio = turns_of(self, to.aircraft)
        if self.pull is None or ratio is None:
            return
        pull, arm = to.reading("pull", "pull", ("lbf", "N")), to.reading("arm", "pulled at", _INCHES)
        drag = propagate(lambda force, reach: force * reach / ratio, Torque, [pull, arm])
        to.step(
            "Drag running free, at the clutch's speed", [f"{say(pull)} × {say(arm)} / {ratio:.5g}"], drag,
            ARITHMETIC.at("torque over a ratio"),
        )  # fmt: skip
        to.judge("drag", "Drag running free, with all that turns", self.limit("drag", to.aircraft), drag)

    def _looks(self, to: Working) -> None:
        rows = []
        for key, title, limit, good, seen, settle in (
            ("overruns", "Rotor turned on by hand", FREES, RUNS_FREE, self.overruns, "find what holds the clutch"),
            ("locks", "Engine's side turned", TAKES, HOLDS_AT_ONCE, self.locks, "find why it slips: oil, wear, dirt"),
            ("needles", "Needles, throttle closed", FREES, "part at once", self.needles, "find what holds the clutch"),
        ):  # fmt: skip
            if seen == NOT_LOOKED_AT:
                continue
            bad = seen != good
            found = to.seen(key, title, bad, limit, seen, settle if bad else "")
            rows.append(Look(title, seen, found.verdict.word))
            if bad:
                to.lead.append(
                    "The rotor is not free of the engine: a stopped engine would stop the rotor too, and nobody "
                    "could land by autorotation."
                    if limit is FREES
                    else "The clutch does not take hold at once: under power it can slip, jam and break what it drives."
                )
        to.lead[:] = list(dict.fromkeys(to.lead))
        if rows:
            to.pictures.append(Looks("Running free and taking hold", rows))
