"""Gearbox oil: its temperature above the air's over the hours, and the metal that is found in it."""

from __future__ import annotations

from typing import Annotated, Any, ClassVar, Literal

import numpy as np

from rotorkit.aircraft import Aircraft
from rotorkit.aircraft.entries import Choice, Entry, asked, rows
from rotorkit.engine import cooling_corrected_temperature
from rotorkit.judging.limits import OUT_OF_LIMITS, UNDONE, Limit, Verdict
from rotorkit.judging.measured import Measured, combine
from rotorkit.pictures.data import Chart, Curve, Dots, Look, Looks
from rotorkit.quantities import (
    Length,
    Ratio,
    Reading,
    Temperature,
    TemperatureDifference,
    Time,
    in_unit,
    required_kind,
    say,
)
from rotorkit.rigging.line_fit import least_squares
from rotorkit.sheets.base import NOT_LOOKED_AT, About, Needed, Outcome, Part, Row, Sheet, SheetLimit
from rotorkit.sheets.exercises import Exercise, Range
from rotorkit.sheets.working import Working
from rotorkit.sources import DEFINITION, JCGM_100, cautions

_F = ("degF", "degC")
_RISE, _TIME = required_kind(TemperatureDifference), required_kind(Time)
TEN_HOURS = 36000.0
LEAST = 3
"""Looks of which a trend is made: two make a line, which shows no scatter."""
CLEAN, FUZZ, FLAKE, PIECE = "clean", "fine fuzz", "flake or splinter", "larger piece"
Metal = Literal["not looked at", "clean", "fine fuzz", "flake or splinter", "larger piece"]
METAL = Limit(
    "metal beyond fine fuzz", Ratio, high="0", source="common practice (no source): a flake means a part is breaking up"
)


class OilRow(Row):
    """The oil at one look."""

    hours: Annotated[Reading | None, Entry(Time, ("h", "h"), ("0 h", "100000 h"), ("0 h", "10000 h"), exact=True)] = (
        asked("Hours", "Of the gearbox, from the log.")
    )
    oil: Annotated[Reading | None, Entry(Temperature, _F, ("-60 °F", "500 °F"), ("60 °F", "280 °F"))] = asked(
        "Oil", "Warmed through, at steady power, with the gauge's ±."
    )
    air: Annotated[Reading | None, Entry(Temperature, _F, ("-60 °F", "140 °F"), ("-20 °F", "115 °F"))] = asked(
        "Air outside", "At the same moment, with ±."
    )
    metal: Annotated[Metal, Choice(options=("not looked at", CLEAN, FUZZ, FLAKE, PIECE))] = asked(
        "Metal", "On the magnet or in the filter.", NOT_LOOKED_AT
    )
    size: Annotated[Reading | None, Entry(Length, ("in", "mm"), ("0 in", "4 in"), ("0 in", "0.5 in"))] = asked(
        "Largest piece", "Its length, with ±; empty where there is fuzz or nothing."
    )


class GearboxOil(Sheet):
    """Oil temperature and metal of one gearbox over its hours."""

    order: ClassVar[int] = 48
    needed: ClassVar[tuple[Needed, ...]] = (
        Needed("End of the test phase", "a gearbox warns by heat and by metal before it seizes"),
    )
    limits: ClassVar[dict[str, SheetLimit]] = {
        "temperature": SheetLimit(Temperature, "oil temperature", "degF", "as read: only the high side"),
        "rise": SheetLimit(
            TemperatureDifference, "oil above the air", "degF", "at the latest look: only the high side"
        ),
        "drift": SheetLimit(
            TemperatureDifference,
            "drift of the oil above the air in ten hours",
            "degF",
            "of the line through the looks: only the high side",
        ),
        "chip": SheetLimit(Length, "largest piece of metal", "in", "only the high side"),
    }
    about: ClassVar[About] = About(
        title="Gearbox oil and metal",
        settles=(
            "Whether a gearbox's oil runs warmer than it used to, how fast that is going on, and whether the metal in "
            "it is normal wear or a part breaking up."
        ),
        when="After the first run, after the first ten hours, at each change of oil, whenever a chip light came on.",
        tools=("the oil gauge", "thermometer for the air", "a clean white cloth, a magnet, a glass", "the log"),
        procedure=(
            "Read the oil temperature once it is steady, always at the same power and airspeed; read the air "
            "temperature as well.",
            "Engine off and cooled: pull the magnet or open the filter, wipe it on the cloth, look with the glass.",
            "Fine grey fuzz that smears is wear. What has an edge, shines or can be felt is a flake or a splinter: "
            "measure it, keep it in a bag with date and hours, do not fly, and have it looked at.",
            "A row for each look, oldest or newest first. Start a new check after an overhaul, once a flake or "
            "splinter has been cleared by someone licensed to, or when you change to another kind of oil.",
        ),
        sign_convention=(
            "The rise is oil minus outside air. A drift above zero means the oil runs warmer above the air than it "
            "used to."
        ),
        cautions=(cautions.ENGINE_OFF, cautions.GROUND_RUN, *cautions.ALWAYS),
        not_covered=(
            "where the metal comes from: steel, bronze, aluminium; a laboratory can tell",
            "metal that no magnet takes, where there is no filter",
            "oil level, leaks, foam, water, the wrong oil",
            "a rise caused by more power, less airspeed or a dirty cooler: read it under the same conditions",
            "the gearbox's own limit of time: the manual's hours govern",
        ),
    )
    exercises: ClassVar[tuple[Exercise, ...]] = (
        Exercise(
            name="on_a_hot_day",
            title="The gearbox on a hot day",
            story="In air of {ambient} the gearbox oil settles at {reading}. The rise above the air depends on the "
            "gearbox and the power alone. The next flight is on a day of {hottest}.",
            find="the oil's temperature to expect",
            unit="degF",
            of=cooling_corrected_temperature,
            given={
                "reading": Range("150 °F", "180 °F", "1 °F"),
                "ambient": Range("40 °F", "65 °F", "1 °F"),
                "hottest": Range("88 °F", "100 °F", "1 °F"),
                "factor": "1",
            },
            hints=("How far above the air is the oil?", "Add that rise to the air temperature of the hot day."),
        ),
    )

    looks: list[OilRow] = rows("Looks", "A row for each, in any order.")

    @classmethod
    def start(cls, aircraft: Aircraft) -> dict[str, Any]:
        """Three empty rows: fewer make no trend."""
        return {**super().start(aircraft), "looks": [{} for _ in range(LEAST)]}

    def parts(self, aircraft: Aircraft) -> list[Part]:
        """Three looks at the oil, and metal looked for at every one."""
        rows = [row for row in self.looks if row.hours is not None]
        warm = sum(None not in (row.oil, row.air) for row in rows)
        return [
            Part("oil and air at three looks or more", warm >= LEAST and warm == len(rows)),
            Part("metal looked for at every look", bool(rows) and all(row.metal != NOT_LOOKED_AT for row in rows)),
        ]

    def _work(self, aircraft: Aircraft) -> Outcome:
        to = Working(self, aircraft)
        rows = self._rows(to)
        rises = self._temperatures(to, rows)
        if rises:
            self._trend(to, rises)
        self._metal(to, rows)
        if to.bad("metal", "chip"):
            to.say_to_do(
                "Do not fly. Keep what you found, and have it and the gearbox inspected by someone licensed to "
                "say that it may turn again.",
                "metal", "chip",
            )  # fmt: skip
        elif to.bad("oil", "rise", "drift"):
            to.say_to_do(
                "Find out why it runs warm before you fly it again: oil level and kind, cooler, a bearing running hot, "
                "belts too tight.",
                "oil", "rise", "drift",
            )  # fmt: skip
        to.compare("Against the limits", [one for one in to.findings if one.key not in ("metal", "earlier")])
        return to.outcome()

    def _rows(self, to: Working) -> list[tuple[int, OilRow]]:
        rows = []
        for i, row in enumerate(self.looks):
            readings = (row.hours, row.oil, row.air, row.size)
            if all(one is None for one in readings) and row.metal == NOT_LOOKED_AT:
                continue
            if row.hours is None:
                to.problem(f"looks.{i}.hours", "is needed: at how many hours of the gearbox was it")
            to.together(("oil", "air"), "is needed: oil and air belong together", row, f"looks.{i}.")
            if row.size is not None and row.size.si > 0 and row.metal in (NOT_LOOKED_AT, CLEAN):
                to.problem(f"looks.{i}.metal", "does not fit: a piece was measured")
            if row.metal in (FLAKE, PIECE) and row.size is None:
                to.problem(f"looks.{i}.size", "is needed: measure the largest piece")
            rows.append((i, row))
        if not rows:
            to.problem("looks.0.hours" if self.looks else "looks", "needs a reading")
        dated = [(i, row) for i, row in rows if row.hours is not None]
        to.by_key(
            "looks", dated, lambda row: row.hours.si if row.hours is not None else None, "hours", "one row for each"
        )
        to.settle()
        return sorted(rows, key=lambda one: one[1].hours.si if one[1].hours is not None else 0.0)

    def _temperatures(self, to: Working, rows: list[tuple[int, OilRow]]) -> list[tuple[float, Measured]]:
        """Hours and how much warmer than the air the oil was; the latest against its limits."""
        found = []
        read = [(i, row) for i, row in rows if row.oil is not None and row.air is not None and row.hours is not None]
        for i, row in read:
            assert row.hours is not None
            at = f"at {say(row.hours.value, 'h', digits=4)}"
            oil = to.reading(f"looks.{i}.oil", f"oil {at}", _F)
            air = to.reading(f"looks.{i}.air", f"air {at}", _F)
            rise = combine(float(oil.si) - float(air.si), _RISE, [oil, air], [1.0, -1.0]).shown_in(_F)
            to.step(f"Oil above the air {at}", [f"{say(oil)} less {say(air)}"], rise, DEFINITION.at("difference"))
            found.append((float(row.hours.si), rise))
        if read:
            i = read[-1][0]
            latest = to.reading(f"looks.{i}.oil", "oil, latest look", _F)
            to.judge("oil", "Oil at the latest look", self.limit("temperature", to.aircraft), latest)
            to.judge("rise", "Oil above the air at the latest look", self.limit("rise", to.aircraft), found[-1][1])
        return found

    def _trend(self, to: Working, rises: list[tuple[float, Measured]]) -> None:
        if len(rises) < 2:
            return
        tens = [hours / TEN_HOURS for hours, _ in rises]
        fit = least_squares([[1.0] * len(tens), tens], [rise for _, rise in rises], [_RISE, _RISE], "line of the rise")
        drift = fit.estimates[1].shown_in(_F)
        title = "Drift of the oil above the air in ten hours"
        line = f"line through {len(rises)} looks"
        to.step(title, [line], drift, JCGM_100.at("4.2, 5.2: least squares"))
        limit = self.limit("drift", to.aircraft)
        if len(rises) < LEAST:
            to.notes.append(f"Two looks make a line, not yet a trend: {say(drift)} in ten hours.")
        else:
            to.judge("drift", title, limit, drift)
            if float(drift.si) > float(drift.expanded_si):
                to.notes.append(f"The oil runs warmer than it used to: by {say(drift)} in ten hours.")
        if len(rises) > LEAST:
            self._jump(to, tens, rises)
        self._draw(to, rises, fit.estimates[0], fit.estimates[1])

    def _jump(self, to: Working, tens: list[float], rises: list[tuple[float, Measured]]) -> None:
        """The latest look against the line through those before it."""
        before = least_squares(
            [[1.0] * (len(tens) - 1), tens[:-1]], [rise for _, rise in rises[:-1]], [_RISE, _RISE], "earlier looks"
        )
        latest = rises[-1][1]
        value = float(latest.si) - float(before.estimates[0].si) - tens[-1] * float(before.estimates[1].si)
        jump = combine(value, _RISE, [latest, *before.estimates], [1.0, -1.0, -tens[-1]]).shown_in(_F)
        title = "Latest look above the line of the earlier ones"
        to.step(title, [f"{say(latest)} less the line there"], jump, JCGM_100.at("5.2: least squares"))
        to.tell("jump", title, jump)
        if float(jump.si) > float(jump.expanded_si):
            to.lead.append(
                f"At the latest look the oil ran {say(jump)} warmer above the air than its own history: something has "
                "changed since. Find out what before it is flown."
            )

    def _metal(self, to: Working, rows: list[tuple[int, OilRow]]) -> None:
        looked = [(i, row) for i, row in rows if row.metal != NOT_LOOKED_AT and row.hours is not None]
        if not looked:
            return
        i, latest = looked[-1]
        bad = latest.metal in (FLAKE, PIECE)
        earlier = [row for _, row in looked[:-1] if row.metal in (FLAKE, PIECE)]
        if earlier and not bad:
            self._not_cleared(to, earlier[-1])
        found = to.seen(
            "metal", "Metal at the latest look", bad, METAL, latest.metal, "have it looked at, and do not fly"
        )
        if bad:
            to.lead.append(
                "There is metal in the oil that is more than wear: a part of the gearbox may be breaking up. Do not "
                "fly it until that is cleared up."
            )
        if latest.size is not None:
            size = to.reading(f"looks.{i}.size", "largest piece", ("in", "mm"))
            to.judge("chip", "Largest piece at the latest look", self.limit("chip", to.aircraft), size, aside=True)
        if latest.metal == FUZZ and len(looked) > 1 and looked[-2][1].metal == FUZZ:
            to.notes.append("Fuzz again: wear is going on after running in. Look more often.")
        to.pictures.append(
            Looks(
                "Metal at each look",
                [
                    Look(
                        say(row.hours.value, "h", digits=4) if row.hours is not None else "",
                        row.metal if row.size is None else f"{row.metal}, {row.size.understood}",
                        found.verdict.word if one == i else OUT_OF_LIMITS if row.metal in (FLAKE, PIECE) else "",
                    )
                    for one, row in looked
                ],
            )
        )

    def _not_cleared(self, to: Working, row: OilRow) -> None:
        """A clean magnet after a flake tells that nothing more came off, not where the flake is from."""
        at = say(row.hours.value, "h", digits=4) if row.hours is not None else ""
        title = "Metal at an earlier look"
        verdict = Verdict(
            UNDONE, Measured(1.0, Ratio), METAL, f"{title}: {row.metal} at {at}; {UNDONE}",
            "find in the log who cleared it, then start a new table",
        )  # fmt: skip
        to.found("earlier", title, verdict)
        to.lead.append(
            f"At {at} of the gearbox there was metal in its oil that is more than wear ({row.metal}), and a later look "
            "that shows none does not clear it. Do not fly it until that is cleared up."
        )

    def _draw(self, to: Working, rises: list[tuple[float, Measured]], start: Measured, slope: Measured) -> None:
        unit = "degC" if to.system == "metric" else "degF"
        degrees = "°C" if to.system == "metric" else "°F"

        def shown(si: float) -> float:
            return float(in_unit(si, unit, _RISE))

        hours = [float(in_unit(at, "h", _TIME)) for at, _ in rises]
        ends = np.array([rises[0][0], rises[-1][0]])
        line = [shown(float(start.si) + float(at) / TEN_HOURS * float(slope.si)) for at in ends]
        curves = [Curve("line through them", [float(in_unit(float(at), "h", _TIME)) for at in ends], line)]
        limit = self.limit("rise", to.aircraft)
        if limit is not None and limit.high_si is not None:
            high = shown(float(limit.high_si))
            curves.append(Curve("limit", [hours[0], hours[-1]], [high, high], "bound"))
        to.pictures.append(
            Chart(
                "Oil above the air over the gearbox's hours",
                "Hours of the gearbox (h)",
                f"Oil less air ({degrees})",
                curves,
                (),
                (),
                (Dots("as read", hours, [shown(float(rise.si)) for _, rise in rises]),),
            )
        )
