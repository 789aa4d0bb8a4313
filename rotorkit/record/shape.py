"""Whether what an entry holds is a check as rotorkit saves it: every part that is read later is there, and is what it
should be.

A seal shows that nothing was changed since it was set; whoever knows how can set one on anything. So the contents are
looked at too, before any of them is shown, compared or imported. A part that a later version adds is left alone.
"""

from __future__ import annotations

import functools
import json
import math
from datetime import date, datetime
from typing import Annotated, Any, Literal

from pydantic import AfterValidator, BaseModel, ConfigDict, Field, ValidationError, model_validator

from rotorkit.edges.received import too_much
from rotorkit.folder.checks import name_fault
from rotorkit.judging.limits import OUT_OF_LIMITS, TOO_CLOSE, WORDS
from rotorkit.quantities import KINDS, QuantityError, unit_factor, unit_label
from rotorkit.record.chain import Sealed
from rotorkit.record.dumps import kind_named

__all__ = ["LARGEST_WORK", "fault_in", "is_hash"]

LARGEST_WORK = 32_000_000
"""Letters of one entry: a note of a million, and thirty times as much beside it."""
MOST_VALUES, DEEPEST = 1_000_000, 24
LARGEST_SIZE = 1e200
"""Figures beyond this are of nothing that can be measured."""


def _finite(value: float) -> float:
    if not math.isfinite(value) or abs(value) > LARGEST_SIZE:
        raise ValueError("is no figure of anything")
    return float(value)


def _iso_day(text: str) -> str:
    date.fromisoformat(text)
    return text


def _known(kind: str) -> str:
    if kind not in KINDS:
        raise ValueError("is no kind that this version knows")
    return kind


Number = Annotated[float, AfterValidator(_finite)]
Day = Annotated[str, AfterValidator(_iso_day)]
KindName = Annotated[str, AfterValidator(_known)]
Word = Literal[WORDS]  # type: ignore[valid-type]  # the four of today


@functools.lru_cache(maxsize=4096)
def _unit_fits(unit: str, kind: str) -> bool:
    try:
        factor = unit_factor(unit, kind_named(kind))
        unit_label(unit, kind_named(kind))
    except (QuantityError, ValueError, TypeError, KeyError, AttributeError):
        return False
    return bool(math.isfinite(factor) and factor > 0)


class _Part(BaseModel):
    model_config = ConfigDict(extra="allow", strict=True)


class _Component(_Part):
    label: str
    shared: bool
    part: Number


class _Figure(_Part):
    kind: KindName
    value: Number
    standard_uncertainty: Annotated[Number, Field(ge=0)]
    components: list[_Component]
    shown_unit: str | Annotated[list[str], Field(min_length=2, max_length=2)] | None
    si_unit: str

    @model_validator(mode="after")
    def _units(self) -> _Figure:
        units = self.shown_unit if isinstance(self.shown_unit, list) else [self.shown_unit] if self.shown_unit else []
        if not all(_unit_fits(unit, self.kind) for unit in units):
            raise ValueError("its unit does not fit its kind")
        return self


class _Limit(_Part):
    name: str
    kind: KindName
    low: str | None
    high: str | None
    low_si: Number | None
    high_si: Number | None
    unit: str | None
    source: str
    text: str

    @model_validator(mode="after")
    def _sides(self) -> _Limit:
        if self.low_si is None and self.high_si is None:
            raise ValueError("has no side")
        if self.low_si is not None and self.high_si is not None and self.low_si > self.high_si:
            raise ValueError("its low side is above its high one")
        if self.unit and not _unit_fits(self.unit, self.kind):
            raise ValueError("its unit does not fit its kind")
        return self


class _Finding(_Part):
    key: str
    title: str
    figure: _Figure
    text: str
    limit: _Limit | None
    limit_name: str
    word: Word
    sentence: str
    settle: str
    aside: bool
    probability: Number | None

    @model_validator(mode="after")
    def _judged(self) -> _Finding:
        if self.limit is not None and self.limit.kind != self.figure.kind:
            raise ValueError("its limit is of another kind")
        return self


class _Line(BaseModel):
    model_config = ConfigDict(extra="forbid", strict=True)
    part: str
    latex: str
    text: str
    words: str


class _Step(_Part):
    name: str
    title: str
    lines: list[_Line]
    result: _Figure | None
    source: str


class _Outcome(_Part):
    findings: list[_Finding]
    word: Word
    steps: list[_Step]
    pictures: list[dict[str, Any]]
    remarks: list[str]
    lead: list[str] = []
    missing: list[str] = []

    @model_validator(mode="after")
    def _worst(self) -> _Outcome:
        """The worst of the figures leads: no entry says that all is well over a figure that is not."""
        words = {finding.word for finding in self.findings if not finding.aside}
        for worse in (OUT_OF_LIMITS, TOO_CLOSE):
            if worse in words:
                if self.word != worse:
                    raise ValueError(f"says {self.word} where a figure is {worse}")
                break
        keys = [finding.key for finding in self.findings]
        if len(set(keys)) != len(keys):
            raise ValueError("holds a figure twice")
        return self


class _Understood(_Part):
    path: str
    title: str
    typed: str
    understood: str


class _Instrument(BaseModel):
    model_config = ConfigDict(extra="forbid", strict=True)
    key: str
    fields: list[str]
    title: str
    serial: str
    measures: str
    uncertainty: str
    shared: str | None
    stated_as: str
    calibrated: Day | None
    due: Day | None


class _Sheet(_Part):
    name: str
    version: int
    title: str


class _Work(_Part):
    title: str
    sheet: _Sheet
    aircraft: dict[str, str]
    readings: dict[str, Any]
    understood: list[_Understood]
    instruments: list[_Instrument]
    outcome: _Outcome
    who: str
    note: str
    why: str
    display: Literal["us", "metric"]
    rotorkit: str


def is_hash(text: object) -> bool:
    """Whether a text has the form of a hash: 64 lower-case hexadecimal digits."""
    return isinstance(text, str) and len(text) == 64 and not set(text) - set("0123456789abcdef")


def fault_in(sealed: Sealed) -> str:
    """What in an entry's sealed parts is not as rotorkit saves them, in words; empty where nothing is."""
    return _fault_beside_work(sealed) or _fault_in_work(sealed.work)


def _fault_beside_work(sealed: Sealed) -> str:
    if type(sealed.number) is not int or sealed.number < 1:
        return "its number is none"
    if sealed.replaces is not None and (type(sealed.replaces) is not int or not 0 < sealed.replaces < sealed.number):
        return f"it corrects entry {str(sealed.replaces)[:20]}, which is not before it"
    if fault := name_fault(sealed.check):
        return fault
    if not is_hash(sealed.aircraft_file) or not is_hash(sealed.previous):
        return "a hash in it is none"
    try:
        times = [datetime.fromisoformat(text) for text in (sealed.saved, sealed.local)]
        if any(time.utcoffset() is None or not 1900 < time.year < 9000 for time in times):
            return "its time is none"
        if abs((times[0] - times[1]).total_seconds()) >= 60:
            return "its two times are not the same moment"
    except (TypeError, ValueError, OverflowError):
        return "its time is none"
    return ""


def _no_number(text: str) -> Any:
    raise ValueError(f"{text} is no number")


def _fault_in_work(text: str) -> str:
    if not isinstance(text, str) or len(text) > LARGEST_WORK:
        return f"it holds more than {LARGEST_WORK:,} letters"
    try:
        work = json.loads(text, parse_constant=_no_number)
    except RecursionError:
        return "brackets stand too deep in one another"
    except ValueError as problem:
        return f"it cannot be read: {problem}"
    if found := too_much(work, MOST_VALUES, DEEPEST):
        return found
    try:
        _Work.model_validate(work)
    except ValidationError as problem:
        first = problem.errors(include_url=False, include_input=False)[0]
        where = " ".join(str(part) for part in first["loc"])[:100]
        return f"{where or 'it'}: {first['msg'].removeprefix('Value error, ')}"
    return ""
