"""Loading: the flight's weight and centre of gravity, from the first start to the last drop, against the envelopes."""

from __future__ import annotations

import itertools
import math
from typing import Annotated, Any, ClassVar

from rotorkit import sources
from rotorkit.aircraft import Aircraft
from rotorkit.aircraft.entries import Choice, Entry, Reading, asked, rows
from rotorkit.aircraft.loading import SIDES, EnvelopeLines, LoadingFigures, Station
from rotorkit.judging.limits import IN_LIMITS, OUT_OF_LIMITS, TOO_CLOSE, WORDS, Limit, Verdict
from rotorkit.judging.measured import COVERAGE, Measured, measured
from rotorkit.mass import (
    Envelope,
    Item,
    Loading,
    ballast_that_brings_inside,
    centre_of_gravity,
    centre_of_gravity_after_change,
    item,
    load,
    most_that_may_be_added,
    worst_loading,
)
from rotorkit.pictures.data import Chart, Curve, Point
from rotorkit.quantities import Length, Mass, Ratio, in_unit, required_kind, say, unit_factor, unit_label
from rotorkit.sheets.base import About, Needed, Outcome, Part, Row, Sheet
from rotorkit.sheets.exercises import Exercise, Range
from rotorkit.sheets.working import Working, key_of
from rotorkit.sources import cautions

_INCHES = ("in", "mm")
_POUNDS = ("lb", "kg")
BURNED = ", burned"
MOST_TANKS = 4
"""Of so many tanks every order is looked at: there are 24 of four."""
NO_FILE = "write [loading] into the aircraft file: the empty aircraft, stations and envelopes"

NO_STATIONS = "the aircraft file names no station yet: add yours in the notebook Your aircraft, section loading"


class Load(Row):
    """What is at one station."""

    station: str = asked("Station", "As named in the aircraft file.", "")
    mass: Annotated[Reading | None, Entry(Mass, _POUNDS, ("0 lb", "5000 lb"), ("0 lb", "600 lb"), by="scale")] = asked(
        "Mass", "Dressed, with full pockets; fuel by volume and density. 0 if empty."
    )
    left: Annotated[Reading | None, Entry(Mass, _POUNDS, ("0 lb", "5000 lb"), ("0 lb", "600 lb"), by="scale")] = asked(
        "Left at the end", "For a tank: the least that may be left at the end of the flight; 0 to be safe."
    )


class LoadingSheet(Sheet):
    """Loading of one flight."""

    order: ClassVar[int] = 20
    puts_right: ClassVar[dict[str, str]] = {
        "gross_weight": "Load it lighter: people, baggage or fuel.",
    }
    workings: ClassVar[int] = 60
    has_slow_part: ClassVar[bool] = True
    needed: ClassVar[tuple[Needed, ...]] = (
        Needed("First hover", "the cyclic only has enough travel inside the envelope"),
        Needed("First flight out of ground effect", "as fuel burns off, the centre of gravity moves"),
    )
    uses: ClassVar[tuple[str, ...]] = (
        "weights.maximum",
        *(f"loading.{name}" for name in ("empty_weight", "empty_arm", "source")),
    )
    file_holds: ClassVar[dict[str, tuple[str, ...]]] = {
        f"loading.{name}": (f"weigh_in.{name}", f"equipment_ledger.{name}")
        for name in ("empty_weight", "empty_arm", "empty_lateral_arm")
    }
    about: ClassVar[About] = About(
        title="Loading",
        settles="Whether weight and centre of gravity stay within the manual's envelopes from start to landing.",
        when="Before every flight with a loading not checked before; after a weighing.",
        tools=("scales for people and bags", "dipstick or gauge for the fuel", "the aircraft file's [loading]"),
        procedure=(
            "Weigh people and bags: people guess low. Fill in each station; 0 for an empty one.",
            "Enter the fuel at the start and the least that may be left at the end.",
            "Look at the path in the picture: fuel behind the mast moves the centre of gravity forward as it burns.",
        ),
        sign_convention=(
            "Arms are positive aft of the datum, lateral arms positive to the right, facing forward. A margin "
            "is positive inside the envelope."
        ),
        cautions=(cautions.MANUAL_GOVERNS, cautions.CYCLIC_AT_THE_EDGE, cautions.AN_AID),
        not_covered=(
            "slung and moving loads, and people getting out with the rotor turning",
            "the order in which your tanks empty: one that leaves the envelope is reported, not judged",
        ),
    )
    exercises: ClassVar[tuple[Exercise, ...]] = (
        Exercise(
            name="somebody_aboard",
            title="Somebody climbs in",
            story=(
                "The helicopter weighs {mass} with its centre of gravity {arm} aft of the datum. A bag of "
                "{change} goes onto the floor in front, {change_arm} aft of the datum."
            ),
            find="the centre of gravity with the bag aboard",
            unit="in",
            of=centre_of_gravity_after_change,
            given={
                "mass": Range("1,150 lb", "1,250 lb", "5 lb"),
                "arm": Range("101.0 in", "104.0 in", "0.1 in"),
                "change": Range("40 lb", "90 lb", "1 lb"),
                "change_arm": Range("60.0 in", "80.0 in", "0.5 in"),
            },
            digits=4,
            hints=(
                "Work with moments: mass times arm, for the helicopter and for the bag.",
                "Add the moments and divide by the sum of the masses.",
            ),
        ),
    )

    scale: Annotated[str, Choice("instruments", measures="mass")] = asked("Scales", default="")
    items: list[Load] = rows("Aboard", "A row for each station.")

    @classmethod
    def start(cls, aircraft: Aircraft) -> dict[str, Any]:
        """A row for each station of the aircraft file."""
        stations = aircraft.loading.stations.values() if aircraft.loading else []
        return {**super().start(aircraft), "items": [{"station": one.title} for one in stations]}

    def parts(self, aircraft: Aircraft) -> list[Part]:
        """Every station with its mass, every tank with what is left, and an envelope of each direction."""
        figures = aircraft.loading
        if figures is None:
            return [Part(NO_FILE, False)]
        rows = {key: row for row in self.items if row.mass is not None and (key := station_key(row.station, figures))}
        found = []
        for key, station in figures.stations.items():
            found.append(Part(f"{station.title}: mass (0 if empty)", key in rows))
            if station.burns:
                left = key in rows and rows[key].left is not None
                found.append(Part(f"{station.title}: amount left at the end", left))
        across = {axis for one in figures.envelopes for axis in one.between.split(" and ")}
        for axis, words in (("arm", "lengthwise"), ("lateral arm", "to the side")):
            found.append(Part(f"an envelope {words} in [loading] of the aircraft file", axis in across))
        return found

    def _work(self, aircraft: Aircraft) -> Outcome:
        to = Working(self, aircraft)
        figures = aircraft.loading
        assert figures is not None  # asked for by `uses`
        empty = Loading.at(
            measured(figures.empty_weight, Mass, "empty weight"),
            measured(figures.empty_arm, Length, "empty centre of gravity"),
            measured(figures.empty_lateral_arm, Length, "lateral centre of gravity, empty"),
        )
        aboard, burned = self._aboard(to, figures)
        full = empty.added(*aboard)
        end = full.removed(*burned) if burned else full
        self._sums(to, empty, aboard, full)
        maximum = measured(aircraft.weights.maximum, Mass, "maximum weight")
        limit = Limit("gross weight", Mass, high=aircraft.weights.maximum, source="aircraft file, [weights]", unit="lb")
        to.judge("gross_weight", "Gross weight at start", limit, full.mass.shown_in(_POUNDS))
        if burned:
            to.tell("weight_end", "Gross weight at the end", end.mass.shown_in(_POUNDS))
        for key, load_then, when in (("start", full, "at start"), ("end", end, "at the end")):
            if key == "end" and not burned:
                break
            given = load_then.moment, load_then.mass
            arm = to.work(f"Centre of gravity {when}", centre_of_gravity, *given).shown_in(_INCHES)
            given = load_then.lateral_moment, load_then.mass
            side = to.work(f"Lateral centre of gravity {when}", centre_of_gravity, *given).shown_in(_INCHES)
            to.tell(f"arm_{key}", f"Centre of gravity {when}", arm)
            to.tell(f"lateral_arm_{key}", f"Lateral centre of gravity {when}", side)
        for lines in figures.envelopes:
            self._envelope(to, lines, full, end)
        to.notes.append(f"The empty aircraft comes from: {figures.source}.")
        if len(burned) > 1:
            to.notes.append("The tanks are taken to empty in proportion throughout the flight.")
            self._other_orders(to, figures, full, burned)
        if self._can_be_light_enough(to, figures, empty, maximum):
            to.slowly("the worst loadings", lambda: self._worst(to, figures, empty, maximum))
        self._ballast(to, figures, full, end, maximum, aboard)
        if all(part.done for part in self.parts(aircraft)):
            to.slowly("what may still be added", lambda: self._more(to, figures, full, end, maximum, aboard))
        to.compare("Margins inside the envelopes", [one for one in to.findings if one.key != "gross_weight"])
        to.pictures += load_points(empty, aboard, full, end, to.system)
        return to.outcome()

    def _aboard(self, to: Working, figures: LoadingFigures) -> tuple[list[Item], list[Item]]:
        rows = to.filled("items", "mass", "left")
        for i, row in rows:
            key = station_key(row.station, figures)
            if key is None:
                there = ", ".join(one.title for one in figures.stations.values())
                said = f"is not a station in the aircraft file; defined: {there}" if there else NO_STATIONS
                to.problem(f"items.{i}.station", said)
            elif row.mass is None:
                to.problem(f"items.{i}.mass", "is missing: it cannot all be left at the end")
            elif row.left is not None and not figures.stations[key].burns:
                to.problem(f"items.{i}.left", "is for a tank: nothing burns off at this station")
            elif row.left is not None and row.left.si > row.mass.si:
                to.problem(f"items.{i}.left", "is more than there was at the start")
        named = to.by_key(
            "items", rows, lambda row: station_key(row.station, figures), "station", "put both in one row"
        )
        to.settle()
        aboard, burned = [], []
        for key, station in figures.stations.items():
            if key not in named:
                continue
            i, row = named[key]
            mass = to.reading(f"items.{i}.mass", station.title, _POUNDS)
            arm, lateral = station_places(station)
            aboard.append(item(station.title, mass, arm, lateral))
            if float(mass.si) > station.most.si * (1 + 1e-12):
                to.asked.append(f"{station.title}: {say(mass)} is more than it may hold, {station.most.said}.")
            if float(mass.si) < station.least.si * (1 - 1e-12) and (float(mass.si) or not station.or_none):
                least = station.least.said
                to.asked.append(f"{station.title}: {say(mass)} is less than the least it is to hold, {least}.")
            if row.left is not None:
                left = to.reading(f"items.{i}.left", f"{station.title}, left", _POUNDS)
                burned.append(Item(f"{station.title}{BURNED}", mass - left, arm, lateral))
        return aboard, burned

    def _sums(self, to: Working, empty: Loading, aboard: list[Item], full: Loading) -> None:
        cited = sources.ARITHMETIC.at("sum of the items")
        items = [item("empty", empty.mass.shown_in(_POUNDS), empty.arm, empty.lateral_arm), *aboard]
        lines = [f"{one.name}: {say(one.mass)} × {say(one.arm)}" for one in items]
        to.step("Moment at start", [*lines, f"together {say(full.moment)}"], full.moment, cited)
        lines = [f"{one.name}: {say(one.mass)} × {say(one.lateral_arm)}" for one in items]
        to.step("Lateral moment at start", [*lines, f"together {say(full.lateral_moment)}"], full.lateral_moment, cited)
        sums = " + ".join(say(one.mass) for one in items)
        to.step("Gross weight at start", [f"{sums} = {say(full.mass.shown_in(_POUNDS))}"], full.mass, cited)

    def _envelope(self, to: Working, lines: EnvelopeLines, full: Loading, end: Loading) -> None:
        hull, key = lines.envelope, key_of(lines.title)
        stops = sorted({0.0, 1.0, *(t for t in hull.tightest(full, end) if 0 <= t <= 1)})
        states = [full.on_the_way(end, t) for t in stops]
        margins = [hull.margins(state) for state in states]
        for side, words in zip(("low", "high", "under", "over"), SIDES[hull.across, hull.up], strict=True):
            there = [found for one in margins if (found := getattr(one, side)) is not None]
            if not there:
                continue
            kind, title = there[0].kind, f"{lines.title}: from the {words}"
            unit = _POUNDS if kind.pound == "mass" and kind.si == "kg" else _INCHES
            zero = Limit(title, kind, low="0 lb" if unit == _POUNDS else "0 in", source=lines.source)
            # a margin that is surely none goes before one that may be less
            least = min(there, key=lambda one: (WORDS.index(zero.word(one)), float(one.si) - float(one.expanded_si)))
            to.judge(f"{key}.{side}", title, zero, least.shown_in(unit))
        stands = hull.standing(full, end)
        word, share = stands.word, 1.0 if stands.inside else float(stands.leaves_at or 0.0)
        title = f"{lines.title}: part of the flight inside"
        limit = Limit(title, Ratio, low="1", source=lines.source)
        figure = Measured(share, Ratio)
        settle = ""
        if word == TOO_CLOSE:
            settle = stands.too_close
        told = f"{title}: {share:.2g}; limit {limit.text}: {word}"
        to.found(f"{key}.inside", title, Verdict(word, figure, limit, told, settle))
        if not stands.inside:
            when = "at start" if not share else "as fuel burns off"
            to.lead.append(f"{lines.title}: the loading is outside the envelope {when}. Do not fly it like this.")
        to.pictures.append(envelope_chart(lines, hull, full, end, word, to.system))

    def _other_orders(self, to: Working, figures: LoadingFigures, full: Loading, burned: list[Item]) -> None:
        """Whether the flight stays inside also where the tanks do not empty in proportion: what any order may come to
        lies between these, one tank after the other; an envelope that is left leads."""
        tanks = [one for one in burned if float(one.mass.si)][:MOST_TANKS]
        for lines in figures.envelopes:
            if next(one for one in to.findings if one.key == f"{key_of(lines.title)}.inside").verdict.word != IN_LIMITS:
                continue  # is said already
            worst: tuple[float, str, list[str]] | None = None
            for count in range(len(tanks)):
                for gone in itertools.combinations(tanks, count):
                    begins = full.removed(*gone) if gone else full
                    for next_one in tanks:
                        if next_one in gone:
                            continue
                        stands = lines.envelope.standing(begins, begins.removed(next_one))
                        if stands.word != IN_LIMITS and (worst is None or stands.certainty < worst[0]):
                            names = [one.name.removesuffix(BURNED) for one in (*gone, next_one)]
                            worst = stands.certainty, stands.word, names
            if worst is not None:
                would, first = "lies" if worst[1] == OUT_OF_LIMITS else "may lie", " and then ".join(worst[2])
                to.lead.append(
                    f"{lines.title}: inside only where the tanks empty in proportion. With {first} emptied first it "
                    f"{would} outside the envelope: do not fly it until you know how they empty."
                )

    def _can_be_light_enough(self, to: Working, figures: LoadingFigures, empty: Loading, maximum: Measured) -> bool:
        """Whether the stations allow any loading up to the maximum weight; said before any figure where not."""
        least = sum(load_at(station).pieces[0].least for station in figures.stations.values())
        light = Measured(float(empty.mass.si) + least, Mass)
        if figures.stations and float(light.si) > float(maximum.si):
            to.lead.append(f"Even the lightest loading, {say(light.shown_in(_POUNDS))}, is above the maximum weight.")
            return False
        return bool(figures.stations)

    def _worst(self, to: Working, figures: LoadingFigures, empty: Loading, maximum: Measured) -> None:
        """The worst loadings that the stations allow, for information."""
        loads = [load_at(station) for station in figures.stations.values()]
        for towards in ("forward", "aft", "left", "right"):
            found = worst_loading(empty, loads, towards, maximum)
            lengthwise = towards in ("forward", "aft")
            arm = found.loading.arm if lengthwise else found.loading.lateral_arm
            to.tell(f"worst.{towards}", f"Furthest {towards} that the stations allow", arm.shown_in(_INCHES))
            to.tell(
                f"worst.{towards}.weight", f"Gross weight, furthest {towards}", found.loading.mass.shown_in(_POUNDS)
            )
            other, name = (found.loading.lateral_arm, "lateral_arm") if lengthwise else (found.loading.arm, "arm")
            title = "Lateral centre of gravity" if lengthwise else "Centre of gravity"
            to.tell(f"worst.{towards}.{name}", f"{title}, furthest {towards}", other.shown_in(_INCHES))
            what = ", ".join(f"{one.name} {say(one.mass.shown_in(_POUNDS))}" for one in found.aboard) or "nobody aboard"
            sure = {one.title: one.envelope.certainty(found.loading) for one in figures.envelopes}
            outside = [title for title, by in sure.items() if by < 0]
            close = [title for title, by in sure.items() if 0 <= by < COVERAGE]
            axis = "arm" if lengthwise else "lateral arm"
            if outside:
                after = f" Outside ({', '.join(outside)}): never load it like this."
            elif close:
                after = (
                    f" Inside by the best figures, but too near the edge ({', '.join(close)}): do not load it "
                    "like this."
                )
            elif any(axis in (one.envelope.across, one.envelope.up) for one in figures.envelopes):
                after = " This one is inside."
            else:
                after = " No envelope in the aircraft file says whether it is allowed."
            weight = say(found.loading.mass.shown_in(_POUNDS))
            to.notes.append(f"Furthest {towards} up to the maximum weight: {what}; {weight}.{after}")

    def _ballast(
        self, to: Working, figures: LoadingFigures, full: Loading, end: Loading, most: Measured, aboard: list[Item]
    ) -> None:
        """Where the loading is not surely inside: the ballast that brings it there, station by station."""
        bad = [one for one in figures.envelopes if to.bad(f"{key_of(one.title)}.")]
        if not bad or float(full.mass.si) >= float(most.si):
            return
        there = {one.name: one for one in aboard}
        hulls, said, unit = [one.envelope for one in figures.envelopes], [], _POUNDS[to.system == "metric"]
        spare = float(most.si) - float(full.mass.si) - float(full.mass.expanded_si)
        for station in figures.stations.values():
            held = there.get(station.title)
            room = min(station.most.si - (float(held.mass.si) if held else 0.0), spare)
            if room <= 0 or station.burns:
                continue
            at_most = Measured(room, Mass)
            # what is aboard there already lies at the same place, off by the same
            places = (held.arm, held.lateral_arm) if held else station_places(station)
            needed = ballast_that_brings_inside(full, end, hulls, *places, at_most)
            if needed is not None and float(needed.si) > 0:
                # rounded down it were too little
                up = math.ceil(10 * float(in_unit(needed.si, unit, needed.kind))) / 10
                if up > float(in_unit(room, unit, needed.kind)):
                    continue
                said.append(f"{station.title} {up:,.1f} {unit}")
        begins = [f"{key_of(one.title)}." for one in bad]
        if said:
            to.say_to_do(
                "Ballast, tied down for the whole flight, that brings it inside with the whole ±; one of these, and "
                f"no less: {'; '.join(said)}.",
                *begins,
            )
        else:
            to.say_to_do(
                "No ballast at a single place brings it inside within what the places and the maximum weight allow: "
                "load it differently.",
                *begins,
            )

    def _more(
        self, to: Working, figures: LoadingFigures, full: Loading, end: Loading, most: Measured, aboard: list[Item]
    ) -> None:
        """What may still be added, station by station, and stay till the end: both ends of the flight must bear it."""
        hulls = [one.envelope for one in figures.envelopes]
        inside = all(hull.path(full, end).inside for hull in hulls)
        if not hulls or not inside or float(full.mass.si) >= float(most.si):
            return
        there = {one.name: float(one.mass.si) for one in aboard}
        said, unit = [], _POUNDS[to.system == "metric"]
        for station in figures.stations.values():
            room = min(station.most.si - there.get(station.title, 0.0), float(most.si) - float(full.mass.si))
            if room <= 0:
                continue
            at_most = Measured(room, Mass)
            may = min(
                (
                    most_that_may_be_added(then, hulls, station.arm, station.lateral_arm, at_most)
                    for then in (full, end)
                ),
                key=lambda one: float(one.si),
            )
            may = self._all_the_way(may, station, hulls, full, end)
            # rounded up it were too much
            down = math.floor(10 * float(in_unit(may.si, unit, may.kind)) + 1e-9) / 10
            if down > 0:
                said.append(f"{station.title} {down:,.1f} {unit}")
        if said:
            to.notes.append(
                "From start to end there is room for one of these, by the best figures without their ±: "
                f"{'; '.join(said)}."
            )

    @staticmethod
    def _all_the_way(may: Measured, station: Station, hulls: list[Envelope], full: Loading, end: Loading) -> Measured:
        """What may be added where both ends of the flight bear that much, less where the way between them does not."""

        def stays(mass: float) -> bool:
            more = item("added", Measured(mass, Mass), station.arm, station.lateral_arm)
            return all(hull.path(full.added(more), end.added(more)).inside for hull in hulls)

        low, high = 0.0, float(may.si)
        if high <= 0 or stays(high * (1 - 1e-9)):
            return may
        for _ in range(30):
            middle = (low + high) / 2
            low, high = (middle, high) if stays(middle) else (low, middle)
        return Measured(low, Mass)


def station_key(name: str, figures: LoadingFigures) -> str | None:
    """The station that a row names, by its key or its title, capitals aside."""
    name = name.strip().casefold()
    return next(
        (
            key
            for key, one in figures.stations.items()
            if name and name in (key.casefold(), one.title.strip().casefold())
        ),
        None,
    )


def load_at(station: Station) -> Any:
    """A station's load for the search of the worst loading."""
    places = station_places(station)
    return load(station.title, station.least, station.most, *places, station.or_none)


def station_places(station: Station) -> tuple[Measured, Measured]:
    """A station's arm and lateral arm, each one origin of its own."""
    return (
        measured(station.arm, Length, f"arm of {station.title}").shown_in(_INCHES),
        measured(station.lateral_arm, Length, f"lateral arm of {station.title}").shown_in(_INCHES),
    )


def load_points(empty: Loading, aboard: list[Item], full: Loading, end: Loading, system: str) -> list[Chart]:
    """Where the loads lie, seen from the side (each as high as it is heavy) and from above (nose to the left), and how
    the whole's centre of gravity moves from start to end."""
    inch, pound = (units[system == "metric"] for units in (_INCHES, _POUNDS))
    length, mass = required_kind(Length), required_kind(Mass)
    items = [item("empty", empty.mass, empty.arm, empty.lateral_arm), *(one for one in aboard if float(one.mass.si))]

    def at(figure: Measured) -> tuple[float, float]:
        return float(in_unit(figure.si, inch, length)), float(figure.expanded_si) / unit_factor(inch, length)

    heavy = [float(in_unit(one.mass.si, pound, mass)) for one in items]
    places = [at(one.arm) for one in items]
    along = sorted(zip([x for x, _ in places], heavy, strict=True))
    wide = 0.06 * (along[-1][0] - along[0][0])
    up = [(x, y) for x, high in along for y in (0.0, high, 0.0)]
    up = [(along[0][0] - wide, 0.0), *up, (along[-1][0] + wide, 0.0)]
    stems = Curve("each load, drawn as high as it is heavy", [x for x, _ in up], [y for _, y in up], "bound")
    side = [Point(one.name, *place[:1], high, place[1]) for one, place, high in zip(items, places, heavy, strict=True)]
    centre = at(full.arm)
    whole = float(in_unit(full.mass.si, pound, mass))
    there = Curve("where the total weight acts, at the start", [centre[0]] * 2, [0.0, whole / 3])
    sideways = [at(one.lateral_arm) for one in items]
    above = [
        Point(one.name, x, y, x_spread, y_spread)
        for one, (x, x_spread), (y, y_spread) in zip(items, places, sideways, strict=True)
    ]
    least, most = along[0][0], along[-1][0]
    room = 0.06 * (most - least)
    middle = Curve("plane of symmetry", [least - room, most + room], [0.0, 0.0], "bound")
    path = [at(one) for state in (full, end) for one in (state.arm, state.lateral_arm)]
    burns = float(full.mass.si) > float(end.mass.si)
    moves = Curve("total, from start to end", [path[0][0], path[2][0]], [path[1][0], path[3][0]])
    all_of_it = [Point("total at the start", path[0][0], path[1][0], path[0][1], path[1][1])]
    if burns:
        all_of_it.append(Point("total at the end", path[2][0], path[3][0], path[2][1], path[3][1]))
    return [
        Chart("Loads seen from the side: nose to the left", f"arm, {inch}", f"mass, {pound}", (there, stems), (), side),
        Chart(
            "Loads seen from above: nose to the left, right-hand side up",
            f"arm, {inch}",
            f"lateral arm, {inch}",
            (middle, *((moves,) if burns else ())),
            (),
            (*above, *all_of_it),
        ),
    ]


def envelope_chart(lines: EnvelopeLines, hull: Envelope, full: Loading, end: Loading, word: str, system: str) -> Chart:
    """The envelope with the burn path, start and end with their uncertainties."""
    kinds = [required_kind(Mass if axis == "mass" else Length) for axis in (hull.across, hull.up)]
    units = [(_POUNDS if axis == "mass" else _INCHES)[system == "metric"] for axis in (hull.across, hull.up)]

    def shown(values: Any, i: int) -> list[float]:
        return [float(in_unit(value, units[i], kinds[i])) for value in values]

    outline = [*hull.corners, hull.corners[0]]
    path = [hull.along(full, end, t / 24) for t in range(25)]
    names = {"arm": "Arm", "lateral arm": "Lateral arm", "mass": "Mass"}
    curves = [
        Curve("envelope", shown([x for x, _ in outline], 0), shown([y for _, y in outline], 1), "bound"),
        Curve("burn path", shown([x for x, _ in path], 0), shown([y for _, y in path], 1)),
    ]
    points = []
    for label, state in (("start", full), ("end", end)):
        x, y = hull.place(state)
        spreads = [
            float(one.expanded_si) / unit_factor(unit, kind)
            for one, unit, kind in zip((x, y), units, kinds, strict=True)
        ]
        place = shown([float(x.si)], 0)[0], shown([float(y.si)], 1)[0]
        if label == "start" or not math.isclose(float(full.mass.si), float(end.mass.si)):
            points.append(Point(label, *place, spreads[0], spreads[1], word if label == "start" else ""))
    x_name, y_name = (
        f"{names[a]}, {unit_label(u, k)}" for a, u, k in zip((hull.across, hull.up), units, kinds, strict=True)
    )
    return Chart(lines.title, x_name, y_name, curves, (), points)
