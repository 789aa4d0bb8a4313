"""Shaft speeds: drive ratios by turns counted by hand, the rotor's tachometer, and slip under power."""

from __future__ import annotations

from typing import Annotated, ClassVar

from rotorkit.aircraft import Aircraft
from rotorkit.aircraft.derived import shaft_turns
from rotorkit.aircraft.drive_parts import ENGINE, MAIN_ROTOR, TAIL_ROTOR
from rotorkit.aircraft.entries import Choice, Entry, asked
from rotorkit.aircraft.links import from_the_engine, link_words
from rotorkit.drive import belt_slip, ratio_by_turns, speed_ratio, tachometer_error
from rotorkit.drive.speeds import pulley_driven_speed
from rotorkit.judging.limits import Limit
from rotorkit.judging.measured import Measured, measured
from rotorkit.pictures.data import Branch, Branches
from rotorkit.quantities import Angle, Ratio, Reading, RotationRate, say
from rotorkit.sheets.base import About, Needed, Outcome, Part, Sheet, SheetLimit
from rotorkit.sheets.exercises import Exercise, Range
from rotorkit.sheets.working import Working, key_of
from rotorkit.sources import ARITHMETIC, cautions

TURNS = Entry(Angle, ("turn", "turn"), ("0.5 turn", "2000 turns"), ("2 turns", "500 turns"))
ROTOR = Entry(RotationRate, None, ("20 rpm", "3000 rpm"), ("200 rpm", "800 rpm"))
ROTOR_OPTICAL = Entry(RotationRate, None, ("20 rpm", "3000 rpm"), ("200 rpm", "800 rpm"), by="optical")
ENGINE_OPTICAL = Entry(RotationRate, None, ("100 rpm", "12000 rpm"), ("1000 rpm", "6000 rpm"), by="optical")
DIFFERS = 0.005
"""A counted ratio that lies this far from the aircraft file's is pointed out: half a per cent."""
NO_FASTER = Limit("slip", Ratio, low="0", source="physics: under power the rotor turns no faster than its drive")
PAIRS = (
    ("engine_turns", "rotor_turns_engine"),
    ("tail_turns", "rotor_turns_tail"),
)


class ShaftSpeeds(Sheet):
    """Speeds of engine, main rotor and tail rotor against each other."""

    order: ClassVar[int] = 10
    puts_right: ClassVar[dict[str, str]] = {
        "engine_ratio": "Count again; if it stays out, hold pulleys and gears against the manual before it is run.",
        "tail_ratio": "Count again; if it stays out, hold pulleys and gears against the manual before it is run.",
        "tachometer_error": "Have the tachometer set or replaced before anybody flies by its needle.",
        "slip": "Do not run it on: look at belts, tension and clutch as the manual says, and read again.",
    }
    uses: ClassVar[tuple[str, ...]] = ("drive.engine_to_main_rotor", "drive.tail_to_main_rotor", "main_rotor.speed")
    needed: ClassVar[tuple[Needed, ...]] = (
        Needed("First rotor turn", "a rotor tachometer that errs hides a rotor speed that is too low or too high"),
    )
    limits: ClassVar[dict[str, SheetLimit]] = {
        "engine_ratio": SheetLimit(
            Ratio, "engine turns for a turn of the main rotor", None, "engine turns for a turn of the main rotor"
        ),
        "tail_ratio": SheetLimit(
            Ratio,
            "tail-rotor turns for a turn of the main rotor",
            None,
            "tail-rotor turns for a turn of the main rotor",
        ),
        "tachometer_error": SheetLimit(
            RotationRate,
            "tachometer error",
            "rpm",
            "how much the rotor's tachometer may read high (positive) or low: both sides",
        ),
        "slip": SheetLimit(Ratio, "slip", None, "of the drive under power: both sides"),
    }
    about: ClassVar[About] = About(
        title="Shaft speeds",
        settles=(
            "Whether the drive's ratios are the manual's, whether the rotor tachometer reads true, and "
            "whether the drive slips under power."
        ),
        when=(
            "Before the rotor turns by the engine for the first time; after belts, pulleys, gears or a tachometer were "
            "changed; the slip again after the first ten hours."
        ),
        tools=(
            "chalk, and a fixed pointer at each end",
            "optical tachometer, with its reflecting tape on one blade or pulley only",
        ),
        procedure=(
            "Engine off and safe, plugs out. Chalk a mark on the crankshaft's end or its pulley, on one main-rotor "
            "blade and on one tail-rotor blade, each against a fixed pointer.",
            "Turn the main rotor by hand, in its own direction, ten whole turns; count the other end's whole turns and "
            "estimate its last part turn. Where a one-way clutch lets the rotor overrun, turn from the engine's side.",
            "Give the last part turn its ±: judged by eye to a tenth of a turn, that is ± 0.05 turn.",
            "On the first run, blades on or off as the manual says: read the rotor's tachometer and the optical one at "
            "the same moment, then the engine's speed by the optical one.",
        ),
        sign_convention=(
            "Ratios are speeds of the engine, or of the tail rotor, over that of the main rotor. The tachometer's "
            "error is what it shows minus the true speed: if positive, the rotor turns slower than it says. Slip is "
            "the part of its speed that the rotor has lost: positive where belts or clutch slip."
        ),
        cautions=(cautions.ENGINE_OFF, cautions.TURNING_ROTORS, cautions.BELTS_AND_FINGERS, *cautions.ALWAYS),
        not_covered=(
            "which way each shaft turns: see it with your own eyes",
            "the manual's placarded rotor speeds (for type-certificated machines 14 CFR 27.1509): rotor speeds and "
            "needles have a check of their own",
            "slip at other powers than the one it was read at",
        ),
    )
    exercises: ClassVar[tuple[Exercise, ...]] = (
        Exercise(
            name="by_turns",
            title="Counting turns",
            story=("The engine is turned through by hand: {turns} of it make {turns_of_other} of the main rotor."),
            find="engine turns for one turn of the rotor",
            unit="",
            of=ratio_by_turns,
            given={
                "turns": Range("52.0 turns", "60.0 turns", "0.1 turns"),
                "turns_of_other": Range("9.5 turns", "10.4 turns", "0.1 turns"),
            },
            hints=(
                "More engine turns than rotor turns: the ratio is above one.",
                "Divide the engine's turns by the rotor's.",
            ),
        ),
        Exercise(
            name="behind_a_pulley",
            title="A pulley drives another",
            story=(
                "The driving pulley turns at {driver_speed} and measures {driver_diameter}; the driven one "
                "measures {driven_diameter}, both on the line of the belt. The belt slips by {slip}."
            ),
            find="the speed of the driven pulley",
            unit="rpm",
            of=pulley_driven_speed,
            given={
                "driver_speed": Range("2,500 rpm", "2,750 rpm", "10 rpm"),
                "driver_diameter": Range("6.00 in", "8.00 in", "0.05 in"),
                "driven_diameter": Range("10.00 in", "12.00 in", "0.05 in"),
                "belt_thickness": "0 in",
                "slip": "1 %",
            },
            hints=(
                "Both rims run at the speed of the belt: the larger pulley turns more slowly.",
                "Speed times driving diameter, divided by driven diameter; then take off one per cent.",
            ),
        ),
    )

    engine_turns: Annotated[Reading | None, TURNS] = asked(
        "Engine turns", "Turns of the crankshaft, whole and part, with ±."
    )
    rotor_turns_engine: Annotated[Reading | None, TURNS] = asked(
        "Main-rotor turns, with the engine", "Turns of the main rotor over the same while."
    )
    tail_turns: Annotated[Reading | None, TURNS] = asked(
        "Tail-rotor turns", "Turns of the tail rotor, whole and part, with ±."
    )
    rotor_turns_tail: Annotated[Reading | None, TURNS] = asked(
        "Main-rotor turns, with the tail rotor", "Turns of the main rotor over the same while."
    )
    rotor_indicated: Annotated[Reading | None, ROTOR] = asked(
        "Rotor's tachometer", "What the panel shows, with ± half a division."
    )
    rotor_optical: Annotated[Reading | None, ROTOR_OPTICAL] = asked(
        "Rotor speed, optical", "At the same moment, by the optical tachometer."
    )
    engine_optical: Annotated[Reading | None, ENGINE_OPTICAL] = asked(
        "Engine speed, optical", "Under power, at the same rotor speed."
    )
    optical: Annotated[str, Choice("instruments", measures="rotor speed")] = asked("Optical tachometer", default="")

    def parts(self, aircraft: Aircraft) -> list[Part]:
        """Both ratios counted, the tachometer and the slip."""
        return [
            Part("engine and main rotor turned by hand", self.engine_turns is not None),
            Part("tail rotor and main rotor turned by hand", self.tail_turns is not None),
            Part("the rotor's tachometer against an optical one", self.rotor_indicated is not None),
            Part("engine speed under power, for the slip", self.engine_optical is not None),
        ]

    def _work(self, aircraft: Aircraft) -> Outcome:
        to = Working(self, aircraft)
        self._check(to)
        drive = aircraft.drive
        engine = self._ratio(to, "engine", "Engine turns for a turn of the main rotor", drive.engine_to_main_rotor.si)
        self._ratio(to, "tail", "Tail-rotor turns for a turn of the main rotor", drive.tail_to_main_rotor.si)
        rotor = None if self.rotor_optical is None else to.reading("rotor_optical", "rotor speed, optical")
        if rotor is not None and self.rotor_indicated is not None:
            shown = to.reading("rotor_indicated", "rotor's tachometer")
            error = to.work("Error of the rotor's tachometer", tachometer_error, shown, rotor)
            to.judge(
                "tachometer_error",
                "Error of the rotor's tachometer",
                self.limit("tachometer_error", aircraft),
                error.shown_in("rpm"),
            )
            if abs(error.si) > error.expanded_si:
                which = "too much: the rotor turns slower than it says" if error.si > 0 else "too little"
                to.notes.append(f"The rotor's tachometer shows {which}.")
        if rotor is not None and self.engine_optical is not None:
            if engine is None:
                to.notes.append("The slip needs the engine's and the rotor's turns counted by hand.")
            else:
                running = to.work(
                    "Rotor over engine speed, running", speed_ratio, rotor, to.reading("engine_optical", "engine speed")
                )
                still = to.work("Rotor over engine speed, by hand", ratio_by_turns, engine[1], engine[0])
                slip = to.work("Slip under power", belt_slip, running, still)
                # nought is what a drive without belts has: only a rotor that is surely faster is a no
                faster = slip.si < -slip.expanded_si
                limit = self.limit("slip", aircraft)
                to.judge("slip", "Slip under power", limit, slip, physical=NO_FASTER if faster else None)
                if faster:
                    to.lead.append("The rotor cannot turn faster than its drive: a count or a reading is wrong.")
        self._shafts(to)
        to.compare("Against the limits")
        return to.outcome()

    def _shafts(self, to: Working) -> None:
        """Every shaft's speed at the rotor's, by the aircraft file's links; their ratios against those counted."""
        rotor = measured(to.aircraft.main_rotor.speed, RotationRate, "main-rotor speed")
        counted = {ENGINE: "engine_ratio", TAIL_ROTOR: "tail_ratio"}
        turning = shaft_turns(to.aircraft)
        if turning:
            to.pictures += the_train(to.aircraft)
        for name, turns in turning.items():
            if name == MAIN_ROTOR:
                continue
            speed = (rotor * turns).shown_in("rpm")
            to.step(f"Speed of {name}", [f"{say(rotor)} times {turns:.5g}"], speed, ARITHMETIC.at("ratio"))
            to.tell(f"shaft.{key_of(name)}", f"Speed of {name}, rotor at its speed", speed)
            found = [one for one in to.findings if one.key == counted.get(name)]
            if found and abs(float(found[0].measured.si) - turns) > float(found[0].measured.expanded_si):
                to.notes.append(
                    f"The aircraft file's links make {turns:.4g} turns of the {name} for one of the main rotor, "
                    f"counted by hand were {say(found[0].measured)}: find out which is right."
                )

    def _check(self, to: Working) -> None:
        pairs = [*PAIRS, ("rotor_indicated", "rotor_optical"), ("engine_optical", "rotor_optical")]
        for one, other in pairs:
            both = [getattr(self, one) is not None, getattr(self, other) is not None]
            if both == [True, False]:
                to.problem(other, f"is needed with {_titled(self, one)}")
            if both == [False, True] and (one, other) in PAIRS:
                to.problem(one, f"is needed with {_titled(self, other)}")
        if all(getattr(self, one) is None for pair in pairs for one in pair):
            to.problem("engine_turns", "needs a reading")
        to.settle()

    def _ratio(self, to: Working, of: str, title: str, filed: float) -> tuple[Measured, Measured] | None:
        if getattr(self, f"{of}_turns") is None:
            return None
        turns = to.reading(f"{of}_turns", f"turns of the {'engine' if of == 'engine' else 'tail rotor'}", "turn")
        of_rotor = to.reading(f"rotor_turns_{of}", "turns of the main rotor", "turn")
        ratio = to.work(title, ratio_by_turns, turns, of_rotor)
        to.judge(f"{of}_ratio", title, self.limit(f"{of}_ratio", to.aircraft), ratio)
        if abs(float(ratio.si) / filed - 1) > DIFFERS + float(ratio.expanded_si) / filed:
            to.notes.append(
                f"{title}: {say(ratio)} by hand, {filed:g} in the aircraft file. Every other check uses the "
                "file's: find out which is right."
            )
        return turns, of_rotor


def the_train(aircraft: Aircraft) -> list[Branches]:
    """The train from the engine as the aircraft file's links have it, each shaft by which link it is driven, with its
    speed, or its turns for one of the main rotor where the file does not say how fast that turns; none where no link
    has the rotor."""
    turning = shaft_turns(aircraft)
    if not turning:
        return []
    if aircraft.gives("main_rotor.speed"):
        rotor = measured(aircraft.main_rotor.speed, RotationRate, "main-rotor speed")
        title = f"The drive, the main rotor at {say(rotor)}"
        said = {name: say((rotor * turns).shown_in("rpm")) for name, turns in turning.items()}
    else:
        title = "The drive, turns for one of the main rotor"
        said = {name: f"{turns:.4g} turns" for name, turns in turning.items()}
    rows = [
        Branch(
            one.shaft,
            said[one.shaft],
            one.under,
            link_words(aircraft.links[one.link], aircraft.belts, aircraft.shafts) if one.link else "",
            one.depth,
            one.shaft in (ENGINE, MAIN_ROTOR, TAIL_ROTOR),
        )
        for one in from_the_engine(aircraft.links)
    ]
    return [Branches(title, rows)]


def _titled(sheet: Sheet, name: str) -> str:
    return next(one.title for one in sheet.fields() if one.name == name)
