"""What the aircraft file says of an engine monitor's recordings: which column is what, in which unit."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Annotated, Any, Literal

from pydantic import Field, field_validator

from rotorkit.aircraft.entries import NeededText, Section
from rotorkit.engine.recorded import CHANNELS, Column, RecordedRun, has_columns, read_run, scale_of
from rotorkit.judging.measured import difference_si
from rotorkit.quantities import QuantityError, required_kind


class RecordedColumn(Section):
    """One column of a recording. unit: that its numbers stand in; of the time also "clock". uncertainty: what its
    sensor may be off by (expanded, k = 2), with its unit or in per cent."""

    column: NeededText
    unit: str = ""
    uncertainty: str = ""

    @property
    def as_column(self) -> Column:
        """As the reader takes it."""
        return Column(self.column.strip(), self.unit.strip())


class Recorder(Section):
    """An engine monitor: how its table is written, and what each column is."""

    title: NeededText
    separator: Literal[",", ";", "tab"] = ","
    decimal: Literal[".", ","] = "."
    absent: list[str] = Field(default_factory=list, description="what it writes where it has no reading")
    time: RecordedColumn | None = None
    columns: Annotated[dict[str, RecordedColumn], Field(min_length=1)]

    @field_validator("time", mode="before")
    @classmethod
    def _given(cls, given: Any) -> Any:
        blank = isinstance(given, Mapping) and not any(str(one).strip() for one in given.values())
        return None if blank else given

    @field_validator("columns")
    @classmethod
    def _known(cls, given: dict[str, RecordedColumn]) -> dict[str, RecordedColumn]:
        for name in given:
            if name not in CHANNELS:
                raise ValueError(f"{name} is no channel: there are {', '.join(CHANNELS)}")
            try:
                scale_of(name, given[name].as_column)
            except QuantityError as problem:
                raise ValueError(str(problem)) from None
            if given[name].uncertainty.strip():
                try:
                    size = difference_si(given[name].uncertainty, required_kind(CHANNELS[name]), 1.0)
                except QuantityError as problem:
                    raise ValueError(f"{name}: uncertainty {problem}") from None
                if not size > 0:
                    raise ValueError(f"{name}: uncertainty must be above zero, got {given[name].uncertainty}")
        return given

    def fits(self, path: str | Path) -> bool:
        """Whether a file has every column that is named here."""
        named = [
            one.column.strip() for one in ([self.time] if self.time is not None else []) + [*self.columns.values()]
        ]
        return has_columns(path, named, self._parted)

    @property
    def _parted(self) -> str:
        return "\t" if self.separator == "tab" else self.separator

    def read(self, path: str | Path, progress: Callable[[int, int], None] | None = None) -> RecordedRun:
        """A run that it recorded (`rotorkit.engine.read_run`)."""
        run = read_run(
            path,
            {name: one.as_column for name, one in self.columns.items()},
            self.time.as_column if self.time is not None else None,
            self._parted,
            self.decimal,
            self.absent,
            progress,
        )
        known = {name: one.uncertainty.strip() for name, one in self.columns.items()}
        run.sensors = {name: size for name, size in known.items() if size}
        return run
