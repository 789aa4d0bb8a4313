"""What the aircraft file holds in rows (an engine's power table, hovers that were measured, the places for a load), for
whoever asks a person for them: the columns, what stands in each row, and how rows that were typed are written.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any, Literal

from rotorkit.aircraft.asked import Asked, asked_of, key_for
from rotorkit.aircraft.entries import Entry, Section
from rotorkit.aircraft.file import AircraftFileError
from rotorkit.aircraft.instruments import GaugeTable
from rotorkit.aircraft.loading import Corner, EnvelopeLines, LoadingFigures, Station
from rotorkit.aircraft.merging import Rows
from rotorkit.aircraft.milestones import Milestone, Need
from rotorkit.aircraft.model import Aircraft
from rotorkit.aircraft.ordering import InOrder
from rotorkit.aircraft.performance_figures import MeasuredHover, PowerRows
from rotorkit.aircraft.recorders import RecordedColumn, Recorder
from rotorkit.engine.recorded import CHANNELS
from rotorkit.quantities import Length, Power

Element = tuple[str, Mapping[str, Any]]
"""A row: the name under which it stands in the file (empty where rows have none), and its values by column."""


@dataclass(frozen=True)
class AskedRows:
    """A table of rows as it is asked for. place: dotted. holds: how the file has them, as a list of tables, as a list
    of lists, as tables by name, or as lists by name. key: the column that is the name; where there is none, the name of
    a new row is made from its title. ordered: whether the order of the rows says something, so that a row can be moved
    among the others."""

    place: str
    title: str
    words: str
    columns: tuple[Asked, ...]
    holds: Literal["tables", "lists", "tables by name", "lists by name"]
    key: str = ""
    ordered: bool = False

    @property
    def names(self) -> list[str]:
        """The columns by name."""
        return [_name(one) for one in self.columns]


def _name(column: Asked) -> str:
    return column.place.rpartition(".")[2]


def _columns(model: type[Section], at: str, **otherwise: Asked) -> tuple[Asked, ...]:
    """The columns that a table's fields make. at: where the blank file explains them."""
    found = ((name, asked_of(f"{at}.{name}", model, name)) for name in model.model_fields)
    return tuple(otherwise.get(name, one) for name, one in found if one is not None)


def _plain(name: str, title: str, words: str = "", **more: Any) -> Asked:
    return Asked(name, title, words, False, **more)


def rows_in(place: str, model: type[Section], aircraft: Aircraft) -> Iterator[AskedRows]:
    """The tables of rows that a section holds."""
    if model is PowerRows:
        height = _plain("height", "Height", "rising from row to row", entry=Entry(Length, ("ft", "m")))
        power = _plain("power", "Power", "at full throttle and the rated speed", entry=Entry(Power))
        words = "as the engine maker's chart gives it; between two heights the power is taken along a straight line"
        yield AskedRows(f"{place}.rows", "Power table", words, (height, power), "lists")
    elif place == "measured_hovers":
        words = "out of ground effect and in calm air, one row each: they correct the estimates of the hover margin"
        yield AskedRows(place, "Measured hovers", words, _columns(MeasuredHover, place), "tables")
    elif model is LoadingFigures:
        words = "seats, tanks and lockers, one row each; arms are positive aft of the datum, lateral arms to the right"
        columns = _columns(Station, "loading.stations.right_seat")
        yield AskedRows(f"{place}.stations", "Places for a load", words, columns, "tables by name", ordered=True)
    elif model is EnvelopeLines:
        words = "in order round the envelope, two columns of each: those that it is drawn between"
        yield AskedRows(f"{place}.corners", "Corners", words, _columns(Corner, "loading"), "tables", ordered=True)
    elif model is Milestone:
        yield _needs(place, aircraft)
    elif place == "controls":
        name = _plain("control", "Control", 'such as "pedals"')
        ends = _plain("ends", "Ends of its travel", "separated by commas, such as: full left, full right", many=True)
        words = "each of the pilot's, with the ends of its travel: corners and travel are looked at by these names"
        yield AskedRows(place, "Controls", words, (name, ends), "lists by name", "control", ordered=True)
    elif model is GaugeTable:
        dial = _plain("dial", "Dial reading", "in divisions", number=True)
        tension = _plain("tension", "Tension", "with its unit, such as 20 lb")
        words = "copied from the calibration sheet of this very gauge, three rows or more"
        yield AskedRows(f"{place}.rows", "Rows of the sheet", words, (dial, tension), "lists")
    elif model is Recorder:
        channel = _plain("channel", "What it is", options=tuple(CHANNELS))
        words = "what each column of the file is, by its name in the file's first row"
        columns = (channel, *_columns(RecordedColumn, f"{place}.columns"))
        yield AskedRows(f"{place}.columns", "Columns", words, columns, "tables by name", "channel")


def _needs(place: str, aircraft: Aircraft) -> AskedRows:
    """The jobs that a milestone needs. The sheets that there are, whoever asks fills in."""
    groups = ("rotors", "cables", "push-pull tubes", "belts", "shafts", "couplings", "bearings", "controls")
    of = {key: said for group in groups for key, said in aircraft.choices(group).items()}
    columns = _columns(
        Need,
        f"{place}.needs",
        sheet=_plain("sheet", "Job"),
        of=_plain("of", "Of", "for which rotor, cable or the like", options=tuple(of), said=tuple(of.values())),
        check=_plain("check", "Or your check", "by its name, in place of a job"),
        why=_plain("why", "Why", "for the one who reads the board"),
    )
    order = {name: i for i, name in enumerate(("sheet", "of", "check", "why"))}
    columns = tuple(sorted(columns, key=lambda one: order[_name(one)]))
    words = "the jobs that must be done before it, each with its reason"
    return AskedRows(f"{place}.needs", "Jobs that it needs", words, columns, "tables", ordered=True)


def elements(asked: AskedRows, given: Any) -> list[Element]:
    """The rows that stand in the file. given: what stands there at the place, or None."""
    if asked.holds == "tables":
        return [("", one) for one in _list(given) if isinstance(one, Mapping)]
    if asked.holds == "lists":
        return [("", dict(zip(asked.names, _list(one), strict=False))) for one in _list(given)]
    there = given.items() if isinstance(given, Mapping) else ()
    if asked.holds == "lists by name":
        _, holds = asked.names
        return [(str(name), {asked.key: name, holds: value}) for name, value in there]
    named = [(str(name), one) for name, one in there if isinstance(one, Mapping)]
    return [(name, {**one, asked.key: name} if asked.key else one) for name, one in named]


def _list(given: Any) -> list[Any]:
    return given if isinstance(given, list) else []


def to_write(
    asked: AskedRows, rows: Sequence[Element], given: Any, came_from: Sequence[int | None]
) -> tuple[dict[str, Any], list[str]]:
    """What is to be written so that the file holds these rows, by place; and each row's own place in the file then.

    Arguments: rows, with the name of those that stand in the file already; given, what stands there now; came_from, the
    number of each row in the file, from 0, None of a new one: comments stay with their rows.
    Raises `AircraftFileError`, with the fault at its row, where two rows bear one name or one bears none.
    """
    full = [{name: value for name, value in row.items() if value is not None} for _, row in rows]
    if asked.holds in ("tables", "lists"):
        places = [f"{asked.place}.{i}" for i in range(len(rows))]
        wanted: list[Any] = full
        if asked.holds == "lists":
            wanted = [[row.get(name, "") for name in asked.names] for row in full]
        if _as_stands(_list(given)) == _as_stands(wanted):
            return {}, places
        return {asked.place: Rows(wanted, came_from) if wanted else None}, places
    keys = _keys(asked, [key for key, _ in rows], full, given)
    there = given if isinstance(given, Mapping) else {}
    found: dict[str, Any] = {f"{asked.place}.{key}": None for key in there if key not in keys}
    if said := next((_pointed(key) for key in there if key not in keys and "." in key), ""):
        raise AircraftFileError(f"a row {said}", [(asked.place, f"a row {said}")])
    for number, (key, row) in enumerate(zip(keys, full, strict=True)):
        if asked.holds == "lists by name":
            value = row.get(asked.names[1], [])
            changed = {} if value == there.get(key) else {f"{asked.place}.{key}": value}
        else:
            before = there.get(key, {})
            changed = {
                f"{asked.place}.{key}.{name}": row.get(name)
                for name in asked.names
                if name != asked.key and _as_stands(row.get(name)) != _as_stands(before.get(name))
            }
        if changed and "." in key:
            raise _at(asked, number, asked.names[0], _pointed(key))
        found |= changed
    stay = [key for key in there if key in keys]
    if asked.ordered and keys != [*stay, *(key for key in keys if key not in there)]:
        found[asked.place] = InOrder(keys)
    return found, [f"{asked.place}.{key}" for key in keys]


def _pointed(name: str) -> str:
    """What is said of a row that cannot be written from here: places are separated by points."""
    return f'has a point in its name in the file ("{name}"): change it there, in an editor'


def _keys(asked: AskedRows, keys: list[str], rows: list[dict[str, Any]], given: Any) -> list[str]:
    """The name of each row: as it stands in the file, as its own column says, or made from its title."""
    found: list[str] = []
    there = set(given) if isinstance(given, Mapping) else set()
    for i, (key, row) in enumerate(zip(keys, rows, strict=True)):
        if asked.key:
            name = str(row.get(asked.key, ""))
            key = name if name == key else name.replace(".", " ").strip()
            if not key:
                raise _at(asked, i, asked.key, "is not filled in yet: what is this row of?")
            if key in found:
                raise _at(asked, i, asked.key, f"row {found.index(key) + 1} is {key} already")
        elif not key:
            if not str(row.get("title", "")).strip():
                raise _at(asked, i, "title", "is not filled in yet: write what it is called")
            key = key_for(str(row["title"]), {*there, *found})
        found.append(key)
    return found


def _at(asked: AskedRows, row: int, column: str, said: str) -> AircraftFileError:
    return AircraftFileError(f"row {row + 1}: {column} {said}", [(f"{asked.place}.{row}.{column}", said)])


def _as_stands(value: Any) -> Any:
    """A value with what is blank left out, so that two can be compared that say the same."""
    if isinstance(value, Mapping):
        return {name: _as_stands(one) for name, one in value.items() if one not in (None, "", [])}
    if isinstance(value, list):
        return [_as_stands(one) for one in value]
    return None if value in ("", []) else value


def with_options(asked: AskedRows, column: str, options: Mapping[str, str]) -> AskedRows:
    """The same with what a column may hold, by key with its words."""
    columns = tuple(
        replace(one, options=tuple(options), said=tuple(options.values())) if _name(one) == column else one
        for one in asked.columns
    )
    return replace(asked, columns=columns)
