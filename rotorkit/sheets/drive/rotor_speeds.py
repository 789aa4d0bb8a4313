"""Rotor speed limits and needles: the placard against what was shown, and how rotor and engine needles go together."""

from __future__ import annotations

import math
from typing import Annotated, ClassVar

from rotorkit.aircraft import Aircraft
from rotorkit.aircraft.entries import Entry, asked
from rotorkit.drive import (
    highest_power_off_rotor_speed,
    least_power_on_rotor_speed,
    lowest_power_off_rotor_speed,
    needle_split,
)
from rotorkit.judging.limits import Limit
from rotorkit.judging.measured import Measured, measured, propagate
from rotorkit.quantities import Ratio, Reading, RotationRate, say
from rotorkit.sheets.base import About, Needed, Outcome, Part, Sheet, SheetLimit
from rotorkit.sheets.exercises import Exercise, Range
from rotorkit.sheets.working import Working
from rotorkit.sources import CFR_14, cautions

ROTOR = Entry(RotationRate, None, ("20 rpm", "3000 rpm"), ("200 rpm", "800 rpm"))
ENGINE = Entry(RotationRate, None, ("50 rpm", "12000 rpm"), ("300 rpm", "6000 rpm"))
JOINED_BY = Limit(
    "split", RotationRate, low="0 rpm", source="physics: a rotor that runs on turns faster than its drive"
)
RULES = (
    ("off_high", ("design_most", "shown_most"), highest_power_off_rotor_speed, -1.0, "27.1509(a)",
     "Room of the power-off maximum", "95 % of the lesser of design and shown maximum"),
    ("off_low", ("shown_least_off", "proved_least_off"), lowest_power_off_rotor_speed, 1.0, "27.1509(b)",
     "Room of the power-off minimum", "105 % of the greater of both minima"),
    ("on_low", ("shown_least_on", "proved_least_on"), least_power_on_rotor_speed, 1.0, "27.1509(c)",
     "Room of the power-on minimum", "the greater of both minima"),
)  # fmt: skip
"""Placard, what it rests on, its rule, which side it lies on, where it stands, what it is called."""
HELD = ("Power-on minimum below what the high-pitch stop holds", "27.1509(c)(2)")
"""What a placard's upper bound is called, and where it stands."""


class RotorSpeeds(Sheet):
    """Rotor speed limits, and both needles."""

    order: ClassVar[int] = 15
    puts_right: ClassVar[dict[str, str]] = {
        "parted": "Do not fly it: have the one-way clutch inspected before running it again.",
        **dict.fromkeys(
            ["off_", "on_", "held_on"],
            "Rewrite the placard within what was shown, or show more by test, as the rules ask.",
        ),
        "split": (
            "Hold both needles against an optical tachometer; if they do split, find what slips before it is flown."
        ),
    }
    uses: ClassVar[tuple[str, ...]] = ("drive.engine_to_main_rotor",)
    needed: ClassVar[tuple[Needed, ...]] = (
        Needed("End of the test phase", "rotor speeds on the placard are flown to: they rest on what was shown"),
    )
    limits: ClassVar[dict[str, SheetLimit]] = {
        "split": SheetLimit(RotationRate, "split of joined needles", "rpm", "at the rotor's scale: both sides"),
        "parted": SheetLimit(
            RotationRate, "split after the throttle is closed", "rpm", "at the rotor's scale: the low side"
        ),
    }
    about: ClassVar[About] = About(
        title="Rotor speeds and needles",
        settles=(
            "Whether the placard's rotor speeds keep the distance the rules ask for from what was shown, whether"
            " both needles stay together under power, and whether they split in autorotation."
        ),
        when="When the placard is written or changed, at the end of the test phase; the needles on every first run.",
        tools=("the manual and the test cards", "both tachometers, checked (shaft speeds)"),
        procedure=(
            "From the design papers: the greatest and the least rotor speed for which strength and control were shown"
            " by calculation. From the test cards: the greatest and the least that were flown.",
            "Where the tests showed it: the rotor speed that stays, power on, with the blades at their high-pitch stop "
            "and the engine within its limits (27.33(a)(1) and (b)(1)). The placard's power-on minimum lies no higher.",
            "Write what the placard says, power on and power off.",
            "Under power, steady: read rotor and engine at the same moment.",
            "At the end of a run, rotor unloaded, throttle closed at once: read both again a second or two later. A "
            "pilot does that, from where the manual allows.",
        ),
        sign_convention=(
            "Room is positive where the placard is on the safe side of the rule. The split is the rotor's needle minus "
            "the engine's, on the rotor's scale: positive when the rotor runs on."
        ),
        cautions=(cautions.GROUND_RUN, cautions.AUTOROTATION, *cautions.ALWAYS),
        not_covered=(
            "whether an amateur-built aircraft must meet 14 CFR 27.1509 at all: it need not; local rules govern",
            "how the speeds were shown; the low stop that holds them in autorotation: blade angles, autorotation",
            "warnings and horns of low rotor speed; the greatest speed power on, which the engine's maker sets",
            "the tachometers' own errors: the check of shaft speeds",
        ),
    )
    exercises: ClassVar[tuple[Exercise, ...]] = (
        Exercise(
            name="split",
            title="Needles apart",
            story=(
                "After the throttle was closed the rotor turns at {rotor_speed} and the engine at {engine_speed}; the "
                "engine makes {engine_per_rotor} turns for one of the rotor when they are joined."
            ),
            find="how far the rotor's needle stands above the engine's, at the rotor's scale",
            unit="rpm",
            of=needle_split,
            given={
                "rotor_speed": Range("440 rpm", "460 rpm", "1 rpm"),
                "engine_speed": Range("1,500 rpm", "1,900 rpm", "10 rpm"),
                "engine_per_rotor": Range("5.6", "6.0", "0.1"),
            },
            hints=(
                "How fast would the rotor turn if the engine still drove it?",
                "Subtract that from its real speed.",
            ),
        ),
    )

    off_high: Annotated[Reading | None, ROTOR] = asked(
        "Placard: power off, most", "Main-rotor speed, with ± (0 of a placard)."
    )
    off_low: Annotated[Reading | None, ROTOR] = asked("Placard: power off, least", "With ±.")
    on_low: Annotated[Reading | None, ROTOR] = asked("Placard: power on, least", "With ±.")
    design_most: Annotated[Reading | None, ROTOR] = asked(
        "Design maximum", "Greatest rotor speed of the design, with ±."
    )
    shown_most: Annotated[Reading | None, ROTOR] = asked(
        "Shown maximum", "Greatest that was flown in the tests, with ±."
    )
    shown_least_off: Annotated[Reading | None, ROTOR] = asked(
        "Shown minimum, power off", "Least that was flown, with ±."
    )
    proved_least_off: Annotated[Reading | None, ROTOR] = asked(
        "Calculated minimum, power off", "Least by design, with ±."
    )
    shown_least_on: Annotated[Reading | None, ROTOR] = asked("Shown minimum, power on", "Least that was flown, with ±.")
    proved_least_on: Annotated[Reading | None, ROTOR] = asked(
        "Calculated minimum, power on", "Least by design, with ±."
    )
    held_on: Annotated[Reading | None, ROTOR] = asked(
        "Held at the high-pitch stop, power on", "Rotor speed that stays there, with ±; empty where it was not shown."
    )
    rotor_joined: Annotated[Reading | None, ROTOR] = asked("Rotor, under power", "By its tachometer, with ±.")
    engine_joined: Annotated[Reading | None, ENGINE] = asked("Engine, under power", "At the same moment, with ±.")
    rotor_parted: Annotated[Reading | None, ROTOR] = asked("Rotor, throttle closed", "A second or two after, with ±.")
    engine_parted: Annotated[Reading | None, ENGINE] = asked("Engine, throttle closed", "At the same moment, with ±.")

    def parts(self, aircraft: Aircraft) -> list[Part]:
        """All three placards with what they rest on, and both looks at the needles."""
        found = []
        for placard, rests, *_ in RULES:
            title = str(type(self).model_fields[placard].title)
            names = (placard, *rests)
            found.append(Part(f"{title[:1].lower()}{title[1:]}, with what it rests on", self._all(*names)))
        found.append(Part("both needles under power", self._all("rotor_joined", "engine_joined")))
        return [*found, Part("both needles, throttle closed", self._all("rotor_parted", "engine_parted"))]

    def _all(self, *names: str) -> bool:
        return all(getattr(self, name) is not None for name in names)

    def _work(self, aircraft: Aircraft) -> Outcome:
        to = Working(self, aircraft)
        self._check(to)
        for placard, rests, rule, side, place, title, words in RULES:
            if self._all(placard, *rests):
                self._room(to, placard, rests, rule, side, place, title, words)
        if self._all("held_on", "on_low"):
            self._held(to)
        elif self.on_low is not None:
            to.notes.append(
                "Whether the power-on minimum lies no higher than the speed that the high-pitch stop holds "
                "(14 CFR 27.1509(c)(2)) was not looked at: that speed is not given."
            )
        ratio = measured(aircraft.drive.engine_to_main_rotor, Ratio, "engine turns for a rotor turn")
        if self._all("rotor_joined", "engine_joined"):
            split = self._split(to, "joined", "Split under power", ratio)
            to.judge("split", "Split under power", self.limit("split", aircraft), split)
            if float(split.si) < -float(split.expanded_si):
                to.notes.append(
                    "Under power the rotor's needle stands below the engine's: belts or clutch slip, or a tachometer "
                    "errs."
                )
            elif float(split.si) > float(split.expanded_si):
                to.notes.append(
                    "Under power the rotor's needle stands above the engine's, and a drive that turns it cannot do "
                    "that: it ran free as they were read, or a tachometer errs."
                )
        if self._all("rotor_parted", "engine_parted"):
            split = self._split(to, "parted", "Split after the throttle is closed", ratio)
            limit = self.limit("parted", aircraft)
            to.judge("parted", "Split after the throttle is closed", limit, split, physical=JOINED_BY)
            if float(split.si) <= float(split.expanded_si):
                to.lead.append(
                    "The needles did not clearly split: a stopped engine may stop the rotor too, and nobody "
                    "could land by autorotation."
                )
        to.compare("Against the limits")
        return to.outcome()

    def _check(self, to: Working) -> None:
        groups = [*((placard, *rests) for placard, rests, *_ in RULES),
                  ("rotor_joined", "engine_joined"), ("rotor_parted", "engine_parted")]  # fmt: skip
        given = [name for names in groups for name in names if getattr(self, name) is not None]
        for names in groups:
            to.together(names)
        if self.held_on is not None and self.on_low is None:
            to.problem("on_low", f"is needed with {type(self).model_fields['held_on'].title}")
        elif not given:
            to.problem("off_high", "needs a reading")
        if self.off_high is not None and self.off_low is not None and self.off_low.si >= self.off_high.si:
            to.problem("off_low", "must lie below the greatest, power off")
        if self.off_high is not None and self.on_low is not None and self.on_low.si >= self.off_high.si:
            to.problem("on_low", "must lie below the greatest, power off")
        to.settle()

    def _room(
        self, to: Working, placard: str, rests: tuple[str, str], rule: object, side: float, place: str, title: str,
        words: str,
    ) -> None:  # fmt: skip
        fields = type(self).model_fields
        bounds = [to.reading(name, str(fields[name].title)) for name in rests]
        allowed = propagate(rule.si, RotationRate, bounds).shown_in("rpm")  # type: ignore[attr-defined]
        to.step(words.capitalize(), [f"from {say(bounds[0])} and {say(bounds[1])}"], allowed, CFR_14.at(place))
        said = to.reading(placard, str(fields[placard].title))

        def left(on_it: float, may: float) -> float:
            # a placard written at the very speed may differ from 95 or 105 % of another in the last bit
            return 0.0 if math.isclose(on_it, may, rel_tol=1e-12) else side * (on_it - may)

        room = propagate(left, RotationRate, [said, allowed]).shown_in("rpm")
        line = f"{say(said)} less {say(allowed)}" if side > 0 else f"{say(allowed)} less {say(said)}"
        to.step(title, [line], room, CFR_14.at(place))
        asked = Limit(
            title, RotationRate, low="0 rpm", source=f"14 CFR {place}, for type-certificated rotorcraft", unit="rpm"
        )
        to.judge(placard, title, asked, room)

    def _held(self, to: Working) -> None:
        """The power-on minimum no higher than the speed that the high-pitch stop holds."""
        title, place = HELD
        fields = type(self).model_fields
        held, said = (to.reading(name, str(fields[name].title)) for name in ("held_on", "on_low"))
        room = propagate(lambda stays, on_it: stays - on_it, RotationRate, [held, said]).shown_in("rpm")
        to.step(title, [f"{say(held)} less {say(said)}"], room, CFR_14.at(place))
        asked = Limit(
            title, RotationRate, low="0 rpm", source=f"14 CFR {place}, for type-certificated rotorcraft", unit="rpm"
        )
        to.judge("held_on", title, asked, room)

    def _split(self, to: Working, when: str, title: str, ratio: Measured) -> Measured:
        words = "under power" if when == "joined" else "throttle closed"
        rotor = to.reading(f"rotor_{when}", f"rotor, {words}")
        engine = to.reading(f"engine_{when}", f"engine, {words}")
        return to.work(title, needle_split, rotor, engine, ratio).shown_in("rpm")
