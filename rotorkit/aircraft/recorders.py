"""What the aircraft file says of an engine monitor's recordings: which column is what, in which unit."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Annotated, Literal

from pydantic import Field, field_validator

from rotorkit.aircraft.entries import NeededText, Section
from rotorkit.engine.recorded import CHANNELS, Column, RecordedRun, read_run

__all__ = ["RecordedColumn", "Recorder"]


class RecordedColumn(Section):
    """One column of a recording. unit: that its numbers stand in; of the time also "clock"."""

    column: NeededText
    unit: str = ""

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

    @field_validator("columns")
    @classmethod
    def _known(cls, given: dict[str, RecordedColumn]) -> dict[str, RecordedColumn]:
        for name in given:
            if name not in CHANNELS:
                raise ValueError(f"{name} is no channel: there are {', '.join(CHANNELS)}")
        return given

    def read(self, path: str | Path, progress: Callable[[int, int], None] | None = None) -> RecordedRun:
        """A run that it recorded (`rotorkit.engine.read_run`)."""
        return read_run(
            path,
            {name: one.as_column for name, one in self.columns.items()},
            self.time.as_column if self.time is not None else None,
            "\t" if self.separator == "tab" else self.separator,
            self.decimal,
            self.absent,
            progress,
        )
