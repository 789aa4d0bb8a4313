"""Entries: what a field of the aircraft file or of a sheet holds, and how text becomes it.

An `Entry` is put beside a type (``Annotated[Reading, Entry(Force, ...)]``) and makes Pydantic read the text by kind,
hold it within the physical range, and write it back as it was typed. What the field means and how it is measured stands in the
field's title and description, once, for the form, the terminal and the record.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from pydantic import BaseModel, ConfigDict, GetCoreSchemaHandler
from pydantic_core import CoreSchema, core_schema

from rotorkit.limits import Limit
from rotorkit.quantities import Kind, QuantityError, Reading, kind_of, read, read_repeats

__all__ = ["Choice", "Entry", "LimitEntry", "Readings", "Section", "message_of"]


class Section(BaseModel):
    """A table of the aircraft file or a row of a sheet: unknown keys are refused, nothing is guessed."""

    model_config = ConfigDict(extra="forbid", arbitrary_types_allowed=True, validate_default=True)


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
    several readings, parted by semicolons, may stand in it.
    """

    kind: Any
    unit: tuple[str, str] | None = None
    physical: tuple[str | None, str | None] = (None, None)
    credible: tuple[str | None, str | None] = (None, None)
    by: str = ""
    repeats: bool = False

    @property
    def wanted(self) -> Kind:
        found = kind_of(self.kind)
        assert found is not None, self.kind
        return found

    def shown_unit(self, system: str) -> str:
        """The unit beside the field in a display system."""
        if self.unit is None:
            return self.wanted.shown(system)
        return self.unit[1] if system == "metric" else self.unit[0]

    def read(self, given: Any, bare_unit: str | None = None) -> Any:
        """A `Reading` (or `Readings`) from text; `QuantityError` where it cannot be."""
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
            raise QuantityError(f'needs {kind.name} as text, for example "{kind.example}", got {type(given).__name__}')
        if self.repeats:
            many = Readings.of(read_repeats(given, kind, bare_unit), given)
            self._check(list(many))
            return many
        reading = read(given, kind, bare_unit)
        self._check([reading])
        return reading

    def _check(self, readings: list[Reading]) -> None:
        low, high = self.physical
        for reading in readings:
            if (low is not None and reading.si < read(low, self.wanted).si * _slack(read(low, self.wanted).si, -1)) or (
                high is not None and reading.si > read(high, self.wanted).si * _slack(read(high, self.wanted).si, 1)
            ):
                raise QuantityError(f"must be {_between(low, high)}, got {reading.understood}")

    def doubt(self, given: Any) -> str:
        """A plain sentence where a reading is outside the credible range; empty where it is not, or none is given."""
        low, high = self.credible
        for reading in given if isinstance(given, Readings) else [given] if isinstance(given, Reading) else []:
            if (low is not None and reading.si < read(low, self.wanted).si) or (
                high is not None and reading.si > read(high, self.wanted).si
            ):
                usual = _between(low, high)
                return f"{reading.understood} is outside what is usual here ({usual}): check unit and reading"
        return ""

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        optional = type(None) in getattr(source, "__args__", ())

        def validate(given: Any) -> Any:
            if optional and (given is None or given == ""):
                return None
            return self.read(given)

        return core_schema.no_info_plain_validator_function(
            validate,
            serialization=core_schema.plain_serializer_function_ser_schema(
                lambda value: None if value is None else value.typed
            ),
        )


def _slack(bound: float, side: int) -> float:
    """A bound met exactly in another unit may differ in the last bit."""
    return 1 + side * 1e-12 * (1 if bound >= 0 else -1)


def _between(low: str | None, high: str | None) -> str:
    if low is not None and high is not None:
        return f"from {low} to {high}"
    return f"{low} or more" if low is not None else f"{high} or less"


@dataclass(frozen=True)
class Choice:
    """A field that picks one of a list. of: "rotors", "cables", "instruments" (resolved from the aircraft file), or
    options: a fixed list. measures: for instruments, what they must measure."""

    of: str = ""
    options: tuple[str, ...] = ()
    measures: str = ""


@dataclass(frozen=True)
class LimitEntry:
    """A limit in the aircraft file: ``{ low = "45 lb", high = "50 lb", source = "manual 7-12" }``."""

    kind: Any
    name: str
    unit: str | None = None

    def read(self, given: Any) -> Limit:
        """A `Limit` from the file's inline table."""
        if isinstance(given, Limit):
            return given
        if not isinstance(given, dict):
            raise QuantityError('needs a table such as { low = "…", high = "…", source = "manual page" }')
        unknown = set(given) - {"low", "high", "source"}
        if unknown:
            raise QuantityError(f"does not know {', '.join(sorted(unknown))}: a limit has low, high and source")
        kind = kind_of(self.kind)
        assert kind is not None
        if given.get("low") is None and given.get("high") is None:
            raise QuantityError(f'needs low or high, for example low = "{kind.example}"')
        if not str(given.get("source", "")).strip():
            raise QuantityError('needs its source, the manual page that gives it: source = "manual page"')
        for side in ("low", "high"):
            if given.get(side) is not None and not isinstance(given[side], str):
                raise QuantityError(f'{side} needs text with a unit, for example {side} = "{kind.example}"')
            if given.get(side) is not None:
                try:
                    read(given[side], kind)
                except QuantityError as problem:
                    raise QuantityError(f"{side} {problem}") from None
        return Limit(self.name, kind, given.get("low"), given.get("high"), str(given["source"]), self.unit)

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        optional = type(None) in getattr(source, "__args__", ())
        return core_schema.no_info_plain_validator_function(
            lambda given: None if optional and given is None else self.read(given),
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


def message_of(error: Any) -> str:
    """A Pydantic error's message in our own words."""
    context = error.get("ctx", {}).get("error")
    if context is not None:
        return str(context)
    kind = error["type"]
    if kind == "missing":
        return "is missing"
    if kind == "extra_forbidden":
        return "is not known here: check the spelling"
    if kind == "literal_error":
        return f"must be {error['ctx']['expected']}, got {error['input']!r}"
    if kind.startswith(("string", "int", "date", "list", "dict", "bool", "model")):
        wanted = {
            "str": "text",
            "int": "a whole",
            "dat": "a date (2026-05-31)",
            "lis": "a list",
            "boo": "true or false",
        }
        need = wanted.get(kind[:3], "a table") + (" number" if kind.startswith("int") else "")
        return f"needs {need}, got {error['input']!r}"
    return str(error["msg"])
