"""Entries: what a field of the aircraft file or of a sheet holds, and how text becomes it.

An `Entry` is put beside a type (``Annotated[Reading, Entry(Force, ...)]``) and makes Pydantic read the text by kind,
hold it within the physical range, and write it back as it was typed. What the field means and how it is measured stands
in the field's title and description, once, for the form, the terminal and the record.
"""

from __future__ import annotations

import functools
import math
import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date
from functools import cache, cached_property
from typing import Annotated, Any, ClassVar, Self, get_args, get_origin

from pydantic import AfterValidator, BaseModel, ConfigDict, Field, GetCoreSchemaHandler, PrivateAttr, model_validator
from pydantic_core import CoreSchema, core_schema

from rotorkit.formula.contract import bounds_text
from rotorkit.judging.limits import Limit
from rotorkit.quantities import Kind, QuantityError, Reading, kind_of, read, read_repeats, required_kind, unit_label
from rotorkit.quantities.errors import shortened
from rotorkit.quantities.taken_from import parted

NOT_FILLED_IN = "is not filled in yet"
"""How the message on a place begins that is still blank; by it a blank form is told from a wrong one."""


class Section(BaseModel):
    """A table of the aircraft file or a row of a sheet: unknown keys are refused, nothing is guessed."""

    model_config = ConfigDict(extra="forbid", arbitrary_types_allowed=True, validate_default=True)


def twin(given: Any) -> Any:
    """A copy whose tables, rows and lists are its own, with the very same readings in them, which nobody changes.

    What is changed in the one is not changed in the other; and to compare the two takes no reading that is in both to
    pieces, so that it costs a twentieth of comparing two that were read apart.
    """
    if isinstance(given, BaseModel):
        copied = given.model_copy()
        for name, value in copied.__dict__.items():
            copied.__dict__[name] = twin(value)
        return copied
    if isinstance(given, dict):
        return {key: twin(value) for key, value in given.items()}
    if type(given) in (list, tuple):
        return type(given)(twin(value) for value in given)
    return given


class _NotGiven:
    """Stands for a figure that a file does not give, from the reading of the file until it is left out."""


_NOT_GIVEN = _NotGiven()


def needed() -> Any:
    """The default of a figure that has none: the file may leave it out, and what needs it asks for it.

    Where it is left out, or blank, looking at it raises `MissingFigures`.
    """
    return Field(default=_NOT_GIVEN, validate_default=False)


def asked(title: str, how: str = "", default: Any = None) -> Any:
    """A field of a sheet or of its rows that may stay as it is. how: what is to be entered, and how it is measured."""
    return Field(default, title=title, description=how)


def required(title: str, how: str = "") -> Any:
    """A field that must be filled in: without it there is no outcome."""
    return Field(title=title, description=how)


def rows(title: str, how: str = "") -> Any:
    """A table of rows, empty at first."""
    return Field(default_factory=list, title=title, description=how)


class MissingFigures(QuantityError):
    """Figures that are needed and that the aircraft file does not give yet. places: dotted, ``"main_rotor.radius"``."""

    def __init__(self, places: Sequence[str]) -> None:
        self.places = list(dict.fromkeys(places))
        one = len(self.places) == 1
        named = "; ".join(f"{place.rpartition('.')[2]} in [{place.rpartition('.')[0]}]" for place in self.places)
        super().__init__(
            f"the aircraft file does not give {'a figure that is' if one else f'{len(self.places)} figures that are'} "
            f"needed here: {named}"
        )


class Figures(Section):
    """A table of the aircraft file of which any part may still be to come: no job is kept from working by what it does
    not use. A figure declared with ``= needed()`` that the file leaves out or blank is not there, and looking at it
    raises `MissingFigures`."""

    together: ClassVar[bool] = False
    """Whether the table's figures are of use only together: then all that are not there are told at once."""
    _place: str = PrivateAttr(default="")

    @model_validator(mode="before")
    @classmethod
    def _blank_is_none(cls, given: Any) -> Any:
        if not isinstance(given, dict):
            return given
        blank = {name for name in cls.needed_figures() if _is_blank_text(given.get(name)) or given.get(name) == []}
        return {name: value for name, value in given.items() if name not in blank} if blank else given

    @model_validator(mode="after")
    def _left_out(self) -> Self:
        for name in [name for name, value in self.__dict__.items() if value is _NOT_GIVEN]:
            del self.__dict__[name]
        return self

    def __getattr__(self, name: str) -> Any:
        if name in type(self).model_fields:
            lacking = self.lacking() if self.together else [name]
            raise MissingFigures([f"{self._place}.{one}".lstrip(".") for one in lacking])
        return super().__getattr__(name)  # type: ignore[misc]

    @classmethod
    def needed_figures(cls) -> list[str]:
        """The names of the figures that have no default."""
        return [name for name, info in cls.model_fields.items() if info.default is _NOT_GIVEN]

    def has(self, *names: str) -> bool:
        """Whether the file gives all these figures."""
        return all(self.__dict__.get(name, _NOT_GIVEN) is not _NOT_GIVEN for name in names)

    def lacking(self) -> list[str]:
        """The names of the needed figures that the file does not give."""
        return [name for name in self.needed_figures() if not self.has(name)]

    @property
    def place(self) -> str:
        """Where it stands in the file, dotted."""
        return self._place

    @property
    def named(self) -> str:
        """Its title, or its name in the file where it has none yet."""
        return str(self.title) if self.has("title") else self._place.rpartition(".")[2].replace("_", " ")

    def placed(self, place: str) -> None:
        """Tell this table, and those in it, where they stand in the file."""
        self._place = place
        for name, value in self.__dict__.items():
            _place_in(value, f"{place}.{name}".lstrip("."))


def _place_in(value: Any, place: str) -> None:
    if isinstance(value, Figures):
        value.placed(place)
    elif isinstance(value, dict):
        for key, one in value.items():
            _place_in(one, f"{place}.{key}")
    elif isinstance(value, list):
        for number, one in enumerate(value):
            _place_in(one, f"{place}.{number}")


def _needed(text: str) -> str:
    if not text.strip():
        raise ValueError(NOT_FILLED_IN)
    return text


MOST_KEPT = 1024
"""Of so many texts a field keeps what it understood."""

LONGEST_ECHO = 60
"""Of what stands in a file in place of what is wanted, no more than so many letters are said back."""

NeededText = Annotated[str, AfterValidator(_needed)]
"""Text that must not be blank."""


def as_date(given: Any) -> Any:
    """A date from text such as 2026-05-31, None from a blank; anything else as it is, for Pydantic to judge."""
    if not isinstance(given, str):
        return given
    try:
        return date.fromisoformat(given.strip()) if given.strip() else None
    except ValueError:
        raise ValueError(f'needs a date, for example 2026-05-31, got "{given}"') from None


class Readings(tuple[Reading, ...]):
    """Repeated readings of one thing, as typed between semicolons."""

    typed: str = ""

    @classmethod
    def of(cls, readings: list[Reading], typed: str) -> Readings:
        made = cls(readings)
        made.typed = typed
        return made

    @property
    def understood(self) -> str:
        """What was understood, said back."""
        return "; ".join(reading.understood for reading in self)


@dataclass(frozen=True)
class Entry:
    """How a field's text is read.

    kind: what it is. unit: the (us, metric) unit shown beside the field, which a bare number takes in a form; "" for a
    ratio. physical: (low, high) text bounds outside which the text is refused. credible: bounds outside which the
    reading is taken but questioned. by: the sheet's field that names the instrument it is read with. repeats: whether
    several readings, separated by semicolons, may stand in it. given_by: what other checks have that may stand here,
    each as sheet and key of a finding ("loading.gross_weight"), or as sheet and field, or column of its rows, of a
    reading ("cable_tension.dial", "tension_trend.days.dial"). for_a_day: whether that holds only on the day it was
    read. exact: a figure with no error of its own to be told, such as what a manual allows, or one whose doubt is
    asked for elsewhere.
    """

    kind: Any
    unit: tuple[str, str] | None = None
    physical: tuple[str | None, str | None] = (None, None)
    credible: tuple[str | None, str | None] = (None, None)
    by: str = ""
    repeats: bool = False
    given_by: tuple[str, ...] = ()
    for_a_day: bool = False
    exact: bool = False

    @cached_property
    def wanted(self) -> Kind:
        return required_kind(self.kind)

    @cached_property
    def _possible(self) -> tuple[float, float]:
        """The physical bounds in SI units; one that is met exactly in another unit may differ in the last bit."""
        low, high = self.physical
        least, most = _bound_si(low, self.wanted, -1), _bound_si(high, self.wanted, 1)
        return least * _slack(least, -1), most * _slack(most, 1)

    @cached_property
    def _usual(self) -> tuple[float, float]:
        """The credible bounds in SI units."""
        low, high = self.credible
        return _bound_si(low, self.wanted, -1), _bound_si(high, self.wanted, 1)

    def shown_unit(self, system: str) -> str:
        """The unit beside the field in a display system."""
        if self.unit is None:
            return self.wanted.shown(system)
        return self.unit[1] if system == "metric" else self.unit[0]

    def read(self, given: Any, bare_unit: str | None = None) -> Any:
        """A `Reading` (or `Readings`) from text; `QuantityError` where it cannot be."""
        if not isinstance(given, str):
            return self._read(given, bare_unit)
        found = self._understood.get((given, bare_unit))
        if found is None:
            if len(self._understood) >= MOST_KEPT:
                self._understood.clear()
            found = self._understood[given, bare_unit] = self._read(given, bare_unit)
        return found

    @functools.cached_property
    def _understood(self) -> dict[tuple[str, str | None], Any]:
        """What was understood of texts: with every edit a form reads all its fields, of which one was changed."""
        return {}

    def _read(self, given: Any, bare_unit: str | None) -> Any:
        kind = self.wanted
        if isinstance(given, (Reading, Readings)):
            self._check(list(given) if isinstance(given, Readings) else [given])
            return given
        if isinstance(given, bool) or given is None:
            raise QuantityError(f'needs {kind.name} as text, for example "{kind.example}"')
        if isinstance(given, (int, float)):
            if kind.si != "":
                raise QuantityError(
                    f"needs {kind.name} with its unit as text, got the bare number {given}: "
                    f'write for example "{kind.example}"'
                )
            given = f"{given!r}"
        if not isinstance(given, str):
            raise QuantityError(f'needs {kind.name} as text, for example "{kind.example}", got {_what(given)}')
        if not given.strip():
            raise QuantityError(f"{NOT_FILLED_IN}: {self._wanted_in_words()}")
        try:
            taken = read_repeats if self.repeats else _read_one
            text, source = parted(given)
            read_as = taken(text, kind, bare_unit, self.can_be)
        except QuantityError as problem:
            raise QuantityError(self._in_own_words(str(problem))) from None
        if source is not None:
            read_as = [
                replace(one, typed=given, complete=f"{one.complete or one.typed} {source.written}", taken_from=source)
                for one in read_as
            ]
        if self.repeats:
            many = Readings.of(read_as, given)
            self._check(list(many))
            return many
        (reading,) = read_as
        self._check([reading])
        return reading

    def _in_own_words(self, problem: str) -> str:
        """What is wrong, with an example in this field's own unit: hours run are not typed in seconds, nor turns in
        degrees; and a count, a dial's divisions or a humidity, nobody calls a ratio."""
        if self.unit is None:
            return problem
        if self.wanted.si:
            typical = self.wanted.example
            number = re.match(r"[\d.,]*", typical)
            own = f"{number[0]} {self.unit[0]}" if number and number[0] else typical
            return problem.replace(f"type for example '{typical}'", f"type for example '{own}'")
        names = {"": ("a plain number", "27.5"), "%": ("per cent", "55 %"), "ppm": ("parts in a million", "12 ppm")}
        if self.unit[0] not in names:
            return problem
        name, example = names[self.unit[0]]
        kind = self.wanted
        said = problem.replace(f"needs {kind.name}", f"needs {name}").replace(f"{kind.name}: type", f"{name}: type")
        return said.replace(f"type for example '{kind.example}'", f"type for example '{example}'")

    def _wanted_in_words(self) -> str:
        units = dict.fromkeys(unit_label(self.shown_unit(system), self.wanted) for system in ("us", "metric"))
        named = " or ".join(unit for unit in units if unit)
        if named in ("", "%"):
            return f'write {self.wanted.name}, such as "0.75", "75 %" or "6:1"'
        return f"write {self.wanted.name} with its unit ({named})"

    def can_be(self, reading: Reading, other: bool) -> bool:
        """Whether a reading is within the physical bounds; as another meaning than ours, in the credible ones too."""
        try:
            self._check([reading])
        except QuantityError:
            return False
        return not (other and self.doubt(reading))

    def _check(self, readings: list[Reading]) -> None:
        least, most = self._possible
        for reading in readings:
            if not least <= reading.si <= most:
                raise QuantityError(f"must be {bounds_text(*self.physical)}, got {reading.understood}")

    def doubt(self, given: Any) -> str:
        """A plain sentence where a reading is outside the credible range; empty where it is not, or none is given."""
        least, most = self._usual
        for reading in given if isinstance(given, Readings) else [given] if isinstance(given, Reading) else []:
            if not least <= reading.si <= most:
                usual = bounds_text(*self.credible)
                return f"{reading.understood} is outside what is usual here ({usual}): check unit and reading"
        return ""

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        optional = type(None) in getattr(source, "__args__", ())

        def validate(given: Any) -> Any:
            if optional and (given is None or _is_blank_text(given)):
                return None
            return self.read(given)

        return core_schema.no_info_plain_validator_function(
            validate,
            serialization=core_schema.plain_serializer_function_ser_schema(
                lambda value: None if value is None else value.typed
            ),
        )


def _read_one(given: str, kind: Kind, bare_unit: str | None, possible: Any) -> list[Reading]:
    return [read(given, kind, bare_unit, possible)]


@cache
def _bound_si(bound: str | None, kind: Kind, side: int) -> float:
    """A bound in SI units; where there is none, without end on its side (-1 below, 1 above)."""
    return side * math.inf if bound is None else read(bound, kind).si


def _slack(bound: float, side: int) -> float:
    """A bound met exactly in another unit may differ in the last bit."""
    return 1 + side * 1e-12 * (1 if bound >= 0 else -1)


@dataclass(frozen=True)
class Choice:
    """A field that picks one of a list. of: "rotors", "cables", "instruments" (resolved from the aircraft file), or
    options: a fixed list. measures: for instruments, what they must measure. said: the options in words, where these
    differ."""

    of: str = ""
    options: tuple[str, ...] = ()
    measures: str = ""
    said: tuple[str, ...] = ()

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        schema = handler(source)
        if not self.options:
            return schema

        def check(given: Any) -> Any:
            if given in self.options:
                return given
            problem = NOT_FILLED_IN if _is_blank_text(given) else f"does not know {_what(given)}"
            raise ValueError(f"{problem}: write " + " or ".join(f'"{option}"' for option in self.options))

        return core_schema.no_info_before_validator_function(check, schema)


@dataclass(frozen=True)
class GivenRows:
    """Beside a list of rows: what other checks have that may stand in it.

    rows: sheets whose rows of the same name, with all other fields that both have, are the same readings. checks: the
    sheets of which each saved check makes one row, of the fields that are called as its columns, and its day. figures:
    sheets whose figures make rows: to each sheet its rows, by column the key of a finding (of several separated by "|"
    the first that is there), or after "=" a text, in which {check} and {when} stand for the check's title and its day;
    a row of which a figure is not there is left out. adds: whether each saved check makes rows, which come to those
    that are there; else a check has all of them.
    """

    rows: tuple[str, ...] = ()
    checks: tuple[str, ...] = ()
    figures: tuple[tuple[str, tuple[tuple[tuple[str, str], ...], ...]], ...] = ()
    adds: bool = False


@dataclass(frozen=True)
class LimitEntry:
    """A limit in the aircraft file: ``{ low = "30 lb", high = "40 lb", source = "manual 7-12" }``."""

    kind: Any
    name: str
    unit: str | None = None

    def read_or_none(self, given: Any) -> Limit | None:
        """A `Limit` from the file's inline table; None where all its places are blank."""
        return None if _blank(given) else self.read(given)

    def read(self, given: Any) -> Limit:
        """A `Limit` from the file's inline table."""
        if isinstance(given, Limit):
            return given
        if not isinstance(given, dict):
            raise QuantityError(
                f'needs a table such as {{ low = "…", high = "…", source = "manual page" }}, got {_what(given)}'
            )
        unknown = set(given) - {"low", "high", "source"}
        if unknown:
            raise QuantityError(f"does not know {', '.join(sorted(unknown))}: a limit has low, high and source")
        kind = kind_of(self.kind)
        assert kind is not None
        given = {key: side for key, side in given.items() if not (isinstance(side, str) and not side.strip())}
        for side in ("low", "high"):
            if side in given and not isinstance(given[side], str):
                raise QuantityError(f"{side} needs {need_of(kind)} as text, got {_what(given[side])}")
        if "low" not in given and "high" not in given:
            raise QuantityError(f'needs low or high, for example low = "{kind.example}"')
        if not isinstance(given.get("source"), str):
            raise QuantityError('needs its source, the manual page that gives it, for example "page 4-12"')
        for side in ("low", "high"):
            if side in given:
                try:
                    read(given[side], kind)
                except QuantityError as problem:
                    raise QuantityError(f"{side} {problem}") from None
        return Limit(self.name, kind, given.get("low"), given.get("high"), str(given["source"]), self.unit)

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        optional = type(None) in getattr(source, "__args__", ())
        return core_schema.no_info_plain_validator_function(
            lambda given: None if optional and _blank(given) else self.read(given),
            serialization=core_schema.plain_serializer_function_ser_schema(
                lambda limit: (
                    None
                    if limit is None
                    else {
                        k: v
                        for k, v in (("low", limit.low), ("high", limit.high), ("source", limit.source))
                        if v is not None
                    }
                )
            ),
        )


def _blank(given: Any) -> bool:
    """Whether a limit is not given: none at all, or a table whose places are all blank."""
    if isinstance(given, dict):
        known = set(given) <= {"low", "high", "source"}
        return known and all(isinstance(side, str) and not side.strip() for side in given.values())
    return given is None


def need_of(kind: Kind) -> str:
    """A kind with an example to type: ``a length, for example "11 ft 8 in"``."""
    return f'{kind.name}, for example "{kind.example}"'


def _what(given: Any) -> str:
    """What stands in a file in place of what is wanted, briefly."""
    if isinstance(given, dict):
        return "a table"
    if isinstance(given, (list, tuple)):
        return "a list"
    if isinstance(given, bool):
        return str(given).lower()
    text = shortened(str(given), LONGEST_ECHO)[1:-1]
    return f'"{text}"' if isinstance(given, str) else text


_WANTED = {
    "string": "text in quotes",
    "int": "a whole number",
    "float": "a number",
    "date": "a date, for example 2026-05-31",
    "list": "a list",
    "tuple": "a list",
    "bool": "true or false",
    "dict": "a table",
    "model": "a table",
}
"""What a plain type is called in a file, by the beginning of Pydantic's name for the error."""


def message_of(error: Any, model: type[BaseModel] | None = None) -> str:
    """A Pydantic error's message in our own words. model: what was checked, to find what a misspelt key may be."""
    context = error.get("ctx", {})
    kind, given = error["type"], error["input"]
    if context.get("error") is not None:
        return str(context["error"])
    if kind == "missing":
        return "is missing"
    if kind == "extra_forbidden":
        return f"is not known here: {_instead(error['loc'], model)}"
    if kind in ("literal_error", "enum"):
        problem = NOT_FILLED_IN if _is_blank_text(given) else f"does not know {_what(given)}"
        return f"{problem}: write {context['expected']}"
    if kind in ("too_short", "too_long"):
        least, most = context.get("min_length"), context.get("max_length")
        if least is not None and not given:
            return NOT_FILLED_IN
        return f"needs {f'{least} or more' if least is not None else f'{most} at most'}, got {context['actual_length']}"
    if kind in ("missing_argument", "unexpected_positional_argument"):
        return "has too few or too many values"
    if kind.startswith(("greater_than", "less_than")):
        bound = next(context[name] for name in ("ge", "gt", "le", "lt") if name in context)
        return f"must be {bound} or {'more' if kind.startswith('greater') else 'less'}, got {given}"
    for start, wanted in _WANTED.items():
        if kind.startswith(start):
            return (
                f"{NOT_FILLED_IN}: write {wanted}" if _is_blank_text(given) else f"needs {wanted}, got {_what(given)}"
            )
    return str(error["msg"])


def _is_blank_text(given: Any) -> bool:
    return isinstance(given, str) and not given.strip()


def _instead(where: tuple[Any, ...], model: type[BaseModel] | None) -> str:
    """What could have been meant by an unknown key: the nearest known one, or all of them."""
    from difflib import get_close_matches

    for part in where[:-1]:
        model = _inside(model, str(part))
    if model is None:
        return "check the spelling"
    names = list(model.model_fields)
    near = get_close_matches(str(where[-1]).lower(), names, n=1, cutoff=0.7)
    return f"did you mean {near[0]}?" if near else f"here stand {', '.join(names)}"


def _inside(model: Any, part: str) -> Any:
    """The model of a field of a model; where the part is an element's number or name, the model stays."""
    if model is None or part not in model.model_fields:
        return model
    queue = [model.model_fields[part].annotation]
    while queue:
        one = queue.pop(0)
        if isinstance(one, type) and get_origin(one) is None and issubclass(one, BaseModel):
            return one
        queue += get_args(one)
    return None
