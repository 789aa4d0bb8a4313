"""What holds of every sheet: the same readings written down otherwise come to the same.

Every check of the demo is worked as it stands and as somebody else would have written it down: its rows in another
order, a reading written twice, every reading in other units and spellings, the whole aircraft file in metric units, an
instrument not named. Words and figures stay, and where less is known than before that is said. A new sheet joins by
being a sheet with a check in the demo, a field by being a field, a unit by being read. Parts left out are held by
`test_completeness`, signs turned round by `test_turned_conventions`.
"""

import copy
import itertools
import random
import re
import tomllib
from collections.abc import Callable, Iterator
from functools import cache
from typing import Any, get_args, get_origin

import pytest

from rotorkit.aircraft import Aircraft, demo_folder
from rotorkit.aircraft.entries import Entry, LimitEntry, Readings, Section
from rotorkit.aircraft.instruments import MEASURES, GaugeTable, Instrument
from rotorkit.aircraft.performance_figures import PowerRows
from rotorkit.aircraft.recorders import Recorder
from rotorkit.dossier.worksheet import page_data
from rotorkit.engine import CHANNELS
from rotorkit.folder.checks import Check
from rotorkit.judging.limits import TOO_CLOSE, UNDONE
from rotorkit.judging.measured import Measured
from rotorkit.pictures import draw
from rotorkit.pictures.data import Turns
from rotorkit.quantities import (
    Force,
    Kind,
    Length,
    Power,
    QuantityError,
    difference_kind,
    display,
    in_unit,
    read,
    required_kind,
    unit_factor,
    unit_label,
    written_share,
)
from rotorkit.quantities.units import (
    CELSIUS_SPELLINGS,
    FAHRENHEIT_SPELLINGS,
    OUNCE_SPELLINGS,
    POUND_SPELLINGS,
    SPELLINGS,
)
from rotorkit.sheets.base import Field, Outcome, SheetError
from rotorkit.sheets.catalogue import sheet_names, sheet_type
from tests.sheets.as_it_stands import AIRCRAFT, CHECKS, as_it_stands

every_check = pytest.mark.parametrize("check", CHECKS, ids=lambda check: check.name)

FIGURE = 1e-9
"""How near a figure stays to itself: only the order of a sum, and the last bits of a conversion, have changed."""
WIDTH = 1e-6
"""How near its uncertainty stays: its slopes are differences of two figures."""

LOOKED_AT = {
    "belt_line",
    "cable_rigging",
    "compression",
    "control_corners",
    "equipment_ledger",
    "fuel_flow",
    "gearbox_oil",
    "one_way_clutch",
    "pitch_rigging",
    "push_pull_tubes",
    "run_up",
    "shaft_connections",
    "universal_joints",
    "weigh_in",
}
"""Sheets whose choices are readings too: what a witness hole shows, that a corner was reached and nothing touched."""
FLAT = ("speed_best_climb", "speed_least_power", "best_glide_speed", "promised")
"""What the key of a figure begins with that is the place of an extreme: where the curve is flat it is known to the root
of the last bit, 1.5e-8, and no better; or that is what is left of arrows that nearly cancel."""

WEIGHED = ("learned.", "planned.", "expected.")
"""What the key of a figure begins with that weighs what was thought against what was read: read more often, it counts
for more, and the figure moves."""


def worked(check: Check, readings: dict[str, Any], aircraft: Aircraft = AIRCRAFT) -> Outcome:
    return sheet_type(check.sheet).from_readings(readings).work(aircraft)


def test_every_sheet_has_a_check_in_the_demo() -> None:
    assert set(sheet_names()) == {check.sheet for check in CHECKS}


# --- comparing ---


def compare(one: Outcome, other: Outcome, surer: bool = False) -> None:
    """The same findings with the same figures, words and parts missing.

    surer: whether the writing may say more of how well a reading is known. Then what could not be told may be told, or
    the other way where it says less; but never does "out of limits" become "in limits", nor the reverse.
    """
    assert sorted(found.key for found in other.findings) == sorted(found.key for found in one.findings)
    for found in one.findings:
        same = other.finding(found.key)
        value, spread = float(found.measured.si), float(found.measured.expanded_si)
        if surer and found.key.startswith(WEIGHED):
            continue
        near = 1e-7 if found.key.startswith(FLAT) else FIGURE
        assert float(same.measured.si) == pytest.approx(value, rel=near, abs=near * (spread or 1)), found.key
        assert same.aside == found.aside, found.key
        its = float(same.measured.expanded_si)
        if not surer:
            assert its == pytest.approx(spread, rel=WIDTH, abs=1e-12), found.key
        if same.verdict.word != found.verdict.word:
            assert surer, f"{found.key}: {found.verdict.word} became {same.verdict.word}"
            words = [found.verdict.word, same.verdict.word]
            assert TOO_CLOSE in words, f"{found.key}: {words}"
            assert (its < spread) == (words[0] == TOO_CLOSE), f"{found.key}: {words} with {spread} then {its}"
    assert sorted(other.missing) == sorted(one.missing)
    if not surer:
        assert other.word == one.word
        assert len(other.lead) == len(one.lead)
        assert turned(other) == turned(one)


def turned(outcome: Outcome) -> dict[str, list[str]]:
    """What to turn, by what is turned."""
    pictures = [picture for picture in outcome.pictures if isinstance(picture, Turns)]
    return {row.label: [turn.amount for turn in row.turns] for picture in pictures for row in picture.rows}


# --- order of rows ---


def words_of(outcome: Outcome) -> list[str]:
    """The words of all that is said, in no order: a sentence may name the blades as the rows do."""
    return sorted(re.findall(r"[\w.±°'-]*\w", " ".join([*outcome.lead, *outcome.remarks])))


def orders(rows: list[Any]) -> list[list[Any]]:
    """Other orders of rows: turned about, begun elsewhere, and shuffled."""
    shuffled = list(rows)
    random.Random(len(rows)).shuffle(shuffled)
    found = [rows[::-1], rows[1:] + rows[:1], shuffled]
    return [order for i, order in enumerate(found) if order != rows and order not in found[:i]]


@every_check
def test_the_order_of_the_rows_does_not_matter(check: Check) -> None:
    tables = {name: orders(rows) for name, rows in check.readings.items() if isinstance(rows, list)}
    for number in range(max(map(len, tables.values()), default=0)):
        otherwise = {name: found[number % len(found)] for name, found in tables.items() if found}
        other = worked(check, {**check.readings, **otherwise})
        compare(as_it_stands(check.name), other)
        assert words_of(other) == words_of(as_it_stands(check.name))


# --- walking the readings ---

Place = tuple[Any, ...]


def places(check: Check) -> Iterator[tuple[Place, Field, str]]:
    """(path, field, text) of each reading of a check."""
    for one in sheet_type(check.sheet).fields():
        given = check.readings.get(one.name)
        if one.row is not None:
            columns = one.row.fields()
            for i, column in itertools.product(range(len(given or [])), columns):
                text = given[i].get(column.name) if given else None
                if column.entry is not None and isinstance(text, str) and text.strip():
                    yield (one.name, i, column.name), column, text
        elif one.entry is not None and isinstance(given, str) and given.strip():
            yield (one.name,), one, given


def changed(check: Check, texts: dict[Place, str]) -> dict[str, Any]:
    made: dict[str, Any] = copy.deepcopy(dict(check.readings))
    for path, text in texts.items():
        at: Any = made
        for part in path[:-1]:
            at = at[part]
        at[path[-1]] = text
    return made


# --- a reading repeated ---


@every_check
def test_a_reading_written_twice_changes_no_figure(check: Check) -> None:
    """All of them twice: no figure moves, nothing is known less well. One of them: no figure moves."""
    repeats = {path: f"{text}; {text}" for path, one, text in places(check) if one.entry and one.entry.repeats}
    if not repeats:
        return
    whole = as_it_stands(check.name)
    everything = worked(check, changed(check, repeats))
    compare(whole, everything, surer=True)
    for found in (one for one in whole.findings if not one.key.startswith(WEIGHED)):
        its = float(everything.finding(found.key).measured.expanded_si)
        assert its <= float(found.measured.expanded_si) * (1 + WIDTH), found.key
    for path in list(repeats)[:: max(1, len(repeats) // 3)]:
        compare(whole, worked(check, changed(check, {path: repeats[path]})), surer=True)


@every_check
def test_the_order_of_repeats_does_not_matter(check: Check) -> None:
    """What bears the unit of all stands last, so each is given its own first."""
    texts = {}
    for path, one, text in places(check):
        if one.entry and one.entry.repeats and ";" in text:
            parts = [reading.complete for reading in one.entry.read(text)]
            texts[path] = "; ".join(parts[::-1])
    if texts:
        compare(as_it_stands(check.name), worked(check, changed(check, texts)))


# --- units and writings ---


@cache
def units_of(kind: Kind) -> list[str]:
    """Every spelling of every unit that a kind may be typed in, and its own units."""
    others = (*POUND_SPELLINGS, *OUNCE_SPELLINGS, *FAHRENHEIT_SPELLINGS, *CELSIUS_SPELLINGS, "arcmin")
    spelled = [one for written, more in SPELLINGS.values() for one in (written, *more.split())]
    found = []
    for unit in dict.fromkeys([kind.us, kind.metric, kind.si, *spelled, *others]):
        try:
            read(f"1.0 {unit}", kind)
            unit_factor(unit, kind)
        except QuantityError:
            continue
        found.append(unit)
    return found


def number(value: float) -> str:
    """A number to the last bit, never with just three decimals, which some write for thousands."""
    text = format(value, ".15f").rstrip("0") if 1e-4 < abs(value) < 1e9 else repr(value)
    whole, point, decimals = text.partition(".")
    return f"{whole}.{decimals:0<4}" if point and "e" not in decimals else text


def in_other_unit(given: Any, kind: Kind, unit: str) -> str:
    """A quantity, as typed or as read, in another unit of its kind."""
    reading = read(given, kind) if isinstance(given, str) else given
    typed = number(float(in_unit(reading.si, unit, kind)))
    if reading.uncertainty is not None:
        size = difference_kind(kind)
        width = reading.uncertainty.m_as(str(from_units(size)))
        typed += f" {unit} ± {number(width / unit_factor(unit, size))}"
    return f"{typed} {unit}".strip()


@cache
def from_units(kind: Kind) -> str:
    from rotorkit.quantities import from_si

    return str(from_si(1.0, kind).units)


def is_count(entry: Entry) -> bool:
    """Threads, flats, a dial's divisions: nobody writes them in a unit."""
    return entry.unit == ("", "")


def compound(text: str, kind: Kind) -> str:
    """A reading in two units, as an angle in degrees and minutes or a length in feet and inches; else as it was."""
    reading = read(text, kind)
    unit, small, many = {"an angle": ("deg", "'", 60), "a length": ("ft", "in", 12), "a mass": ("lb", "oz", 16)}.get(
        kind.name, ("", "", 0)
    )
    if not unit or reading.uncertainty is not None:
        return text
    value = float(in_unit(reading.si, unit, kind))
    whole, rest = divmod(round(abs(value) * many, 9), many)
    return f"{'-' if value < 0 else ''}{whole:.0f} {unit} {number(rest) if rest % 1 else f'{rest:.0f}'} {small}"


def fraction(text: str) -> str:
    """Halves and quarters written as a builder writes them: 27.5 as 27 1/2."""
    return re.sub(r"(?<![\d.])(\d+)\.5(?!\d)", r"\1 1/2", text)


def counts_digits(check: Check) -> bool:
    """Whether a reading's last digit is taken for the step of the display, so that another writing may say more."""
    return any(one.entry is not None and one.entry.repeats and one.entry.wanted.angle for _, one, _ in places(check))


def respelled(check: Check, write: Callable[[int, Entry, Any], str | None]) -> dict[Place, str]:
    """Every reading as `write` puts each of its repeats (None: as it was)."""
    texts = {}
    for i, (path, one, text) in enumerate(places(check)):
        assert one.entry is not None
        given = one.entry.read(text)
        parts = [write(i + j, one.entry, r) for j, r in enumerate(given if isinstance(given, Readings) else [given])]
        if all(part is not None for part in parts):
            texts[path] = "; ".join(str(part) for part in parts)
    return texts


@every_check
@pytest.mark.parametrize("turn", [1, 2, 3])
def test_every_reading_in_another_unit(check: Check, turn: int) -> None:
    """Each reading, and each repeat of one, in the next unit of its kind; so every unit is met by some field."""

    def write(i: int, entry: Entry, reading: Any) -> str | None:
        units = units_of(entry.wanted)
        return None if is_count(entry) else in_other_unit(reading, entry.wanted, units[(7 * i + turn) % len(units)])

    other = worked(check, changed(check, respelled(check, write)))
    compare(as_it_stands(check.name), other, surer=counts_digits(check))


@every_check
def test_every_reading_in_other_words(check: Check) -> None:
    """In degrees and minutes, feet and inches, halves as fractions."""

    def write(_: int, entry: Entry, reading: Any) -> str | None:
        return fraction(reading.typed) if is_count(entry) else compound(reading.complete, entry.wanted)

    compare(as_it_stands(check.name), worked(check, changed(check, respelled(check, write))), counts_digits(check))


# --- the whole aircraft file in metric units ---


def in_metric(model: type[Section], table: dict[str, Any], entry: Callable[[Entry], str]) -> dict[str, Any]:
    """A table of the aircraft file with every quantity in another unit, which `entry` names for its entry."""
    made = dict(table)
    for name, info in model.model_fields.items():
        given = table.get(name)
        for note in info.metadata:
            if isinstance(note, Entry) and isinstance(given, str) and given.strip() and not is_count(note):
                made[name] = in_other_unit(note.read(given), note.wanted, entry(note))
            elif isinstance(note, LimitEntry) and isinstance(given, dict):
                kind = required_kind(note.kind)
                unit = entry(Entry(kind))
                sides = {side: in_other_unit(given[side], kind, unit) for side in ("low", "high") if side in given}
                made[name] = {**given, **sides}
        inner = section_in(info.annotation)
        if inner is None or not given:
            continue
        if isinstance(given, list):
            made[name] = [in_metric(inner, one, entry) for one in given]
        elif get_origin(info.annotation) is dict:
            made[name] = {key: in_metric(inner, one, entry) for key, one in given.items()}
        else:
            made[name] = in_metric(inner, given, entry)
    if model is Instrument:
        kind = difference_kind(required_kind(MEASURES[table["measures"]]))
        for name in ("uncertainty", "shared"):
            if name in table and "tables" not in table and written_share(table[name]) is None:
                made[name] = in_other_unit(table[name], kind, entry(Entry(kind)))
    if model is Recorder:
        for name, column in table["columns"].items():
            if "uncertainty" in column:
                kind = required_kind(CHANNELS[name])
                off = in_other_unit(column["uncertainty"], difference_kind(kind), entry(Entry(kind)))
                made["columns"] = {**made["columns"], name: {**column, "uncertainty": off}}
    if model is Aircraft:
        for sheet, limits in table.get("limits", {}).items():  # a sheet's own limits: the sheet says their kinds
            own = sheet_type(sheet).limits
            for name, given in limits.items():
                kind = required_kind(own[name].kind)
                sides = {s: in_other_unit(given[s], kind, entry(Entry(kind))) for s in ("low", "high") if s in given}
                made["limits"] = {
                    **made["limits"],
                    sheet: {**made["limits"][sheet], name: {**given, **sides}},
                }
    if model is GaugeTable:
        kind = required_kind(Force)
        made["rows"] = [[dial, in_other_unit(force, kind, entry(Entry(kind)))] for dial, force in table["rows"]]
    if model is PowerRows:
        kinds = required_kind(Length), required_kind(Power)
        made["rows"] = [
            [in_other_unit(text, kind, entry(Entry(kind))) for text, kind in zip(row, kinds, strict=True)]
            for row in table["rows"]
        ]
    return made


def section_in(annotation: Any) -> type[Section] | None:
    """The section that a field holds, or holds several of."""
    if isinstance(annotation, type) and get_origin(annotation) is None:
        return annotation if issubclass(annotation, Section) else None
    return next((found for one in get_args(annotation) if (found := section_in(one))), None)


AMERICAN = r"\d\s*(in(?! all)|ft|lbf?|slug|hp|psi|inHg|°F)\b"
"""A figure in a US unit; not "18 flats in all", nor "(6 in all)". Knots are flown by everywhere."""
BY_THE_INCH = r"^Safety wire for|\b1/\d+ in = |^B = 2,000 lbf|\b0\.0[46]0 in$|the 0\.020 in$|has fallen to 100 ft/min"
"""What is bought, threaded, published or defined in US units wherever it is flown: wire, a thread's pitch, a cable's
minimum breaking strength, a tester's orifice, the climb that is left at the service ceiling."""
TABLES = tomllib.loads((demo_folder() / "aircraft.toml").read_text("utf-8"))


def leaves(table: Any) -> Iterator[str]:
    if isinstance(table, dict):
        for one in table.values():
            yield from leaves(one)
    elif isinstance(table, list):
        for one in table:
            yield from leaves(one)
    elif isinstance(table, str):
        yield table


@cache
def metric_aircraft() -> Aircraft:
    made = in_metric(Aircraft, TABLES, lambda entry: entry.shown_unit("metric"))
    assert [leaf for leaf in leaves(TABLES) if re.search(AMERICAN, leaf)]
    assert [leaf for leaf in leaves(made) if re.search(AMERICAN, leaf)] == []
    made["aircraft"] = {**made["aircraft"], "display": "metric"}
    return Aircraft.model_validate(made)


@cache
def shown_in_metric() -> Aircraft:
    """The file as it stands, but for what it says of the display."""
    return Aircraft.model_validate({**TABLES, "aircraft": {**TABLES["aircraft"], "display": "metric"}})


@cache
def aircraft_in_si() -> Aircraft:
    return Aircraft.model_validate(in_metric(Aircraft, TABLES, lambda entry: entry.wanted.si))


@every_check
def test_the_aircraft_file_in_metric_units(check: Check) -> None:
    """Every quantity of the file, and every reading, in metric units; said in them too: figures, what to do, steps,
    pictures, the page for pencil and paper."""

    def write(_: int, entry: Entry, reading: Any) -> str | None:
        return None if is_count(entry) else in_other_unit(reading, entry.wanted, entry.shown_unit("metric"))

    readings = changed(check, respelled(check, write))
    with display("metric"):
        other = worked(check, readings, metric_aircraft())
        compare(as_it_stands(check.name), other, surer=counts_digits(check))
        said = [*other.lead, *other.remarks, other.told_to_do, other.to_do, *other.missing]
        said += [cell for found in other.findings for cell in (*found.row(), found.verdict.settle)]
        said += [f"1 {unit_label(found.unit('metric'), found.measured.kind)}" for found in other.findings]
        said += [text for step in other.steps for text in (step.title, *(line.text for line in step.lines))]
        for picture in other.pictures:
            said += re.findall(r">([^<>]+)<", draw(picture, 405))
        metric = Check(check.name, check.title, check.sheet, readings)
        page = page_data(metric, metric_aircraft())
        said += [*page["limits"], *re.findall(r">([^<>]+)<", page["svg"])]
        items = [item for group in page["groups"] for row in group["rows"] for item in row["items"]]
        said += [text for item in items for text in (f"1 {item['unit']}", item["given"], *item["options"])]
    american = [one for one in said if re.search(AMERICAN, one) and not re.search(BY_THE_INCH, one)]
    assert american == [], "\n".join(american)


@every_check
def test_the_aircraft_file_in_si_units(check: Check) -> None:
    """The readings as they stand, the file in coherent SI units: radians, kelvins, radians a second."""
    compare(as_it_stands(check.name), worked(check, dict(check.readings), aircraft_in_si()))


# --- one figure, one uncertainty ---


@every_check
@pytest.mark.parametrize("system", ["us", "metric"])
def test_a_figure_and_the_step_that_it_comes_from_say_the_same(check: Check, system: str) -> None:
    """Where a step comes to a finding's very figure it bears the same ±, and what has a step's title is its figure."""
    outcome = as_it_stands(check.name) if system == "us" else worked(check, dict(check.readings), shown_in_metric())
    results = [step for step in outcome.steps if isinstance(step.value, Measured)]
    for found in outcome.findings:
        figure, its = float(found.measured.si), float(found.measured.expanded_si)
        for step in results:
            same = step.value.kind.alike(found.measured.kind) and float(step.value.si) == pytest.approx(
                figure, rel=FIGURE
            )
            assert same or step.title != found.title, f"{found.key}: its step comes to another figure"
            if same and figure:
                assert float(step.value.expanded_si) == pytest.approx(its, rel=WIDTH), f"{found.key}: {step.title}"


# --- an instrument not named ---


@every_check
def test_a_reading_without_its_instrument_is_said_to_be_exact(check: Check) -> None:
    """What nobody says the error of is named first of all, or nothing is surer for it; what cannot be read without an
    instrument asks for it."""
    asked = [one for one in sheet_type(check.sheet).fields() if one.choice and one.choice.of == "instruments"]
    for one in asked:
        if one.required:
            with pytest.raises(SheetError, match=one.name):
                worked(check, {**check.readings, one.name: ""})
    free = {one.name: "" for one in asked if not one.required and check.readings.get(one.name)}
    if not free:
        return
    whole, other = as_it_stands(check.name), worked(check, {**check.readings, **free})
    exact = [one for _, one, text in places(check) if one.entry and one.entry.by in free and "±" not in text]
    for one in exact:
        assert any(f'"{one.title}"' in said and "taken as exact" in said for said in other.first), one.title
    for found in whole.findings if not exact else []:
        its, spread = (float(outcome.finding(found.key).measured.expanded_si) for outcome in (other, whole))
        assert its >= spread * (1 - WIDTH), f"{found.key} is surer without an instrument, and nothing says so"


@every_check
def test_nothing_is_said_to_be_exact_where_all_is_named(check: Check) -> None:
    assert not [said for said in as_it_stands(check.name).first if "No instrument is named" in said]


# --- readings there and back ---


@every_check
def test_the_readings_come_back_as_typed(check: Check) -> None:
    """What the record keeps makes the same sheet."""
    made = check.made()
    kept = made.readings()
    again = sheet_type(check.sheet).from_readings(kept)
    assert again.readings() == kept
    assert {name: kept[name] for name in check.readings if not isinstance(check.readings[name], list)} == {
        name: text for name, text in check.readings.items() if not isinstance(text, list)
    }
    compare(as_it_stands(check.name), again.work(AIRCRAFT))


@every_check
def test_blank_is_what_holds_no_reading(check: Check) -> None:
    sheet = sheet_type(check.sheet)
    assert not sheet.is_blank(check.readings)
    texts = {path: "" for path, _, _ in places(check)}
    emptied = changed(check, texts)
    assert sheet.is_blank(emptied) == (check.sheet not in LOOKED_AT)
    for path, _, text in itertools.islice(places(check), 6):  # one alone is enough
        assert not sheet.is_blank(changed(check, {**texts, path: text})), path


@pytest.mark.parametrize("name", sheet_names())
def test_an_empty_form_is_blank_and_says_what_it_needs(name: str) -> None:
    """It is blank, it has the sheet's own fields, and worked as it stands it is refused or has no verdict."""
    sheet = sheet_type(name)
    start = sheet.start(AIRCRAFT)
    assert sheet.is_blank(start)
    assert set(start) <= {one.name for one in sheet.fields()}
    try:
        made = sheet.from_readings(start)
        word = made.work(AIRCRAFT).word
    except SheetError:
        return
    assert word == UNDONE
    assert sheet.from_readings(made.readings()).readings() == made.readings()
