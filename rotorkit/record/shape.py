"""Whether what an entry holds is a check as rotorkit saves it: every part that is read later is there, and is what it
should be.

A seal shows that nothing was changed since it was set; whoever knows how can set one on anything. So the contents are
looked at too, before any of them is shown, compared or imported. A part that a later version adds is left alone.

There are two readers of one description. The careful one says in words what is wrong. The quick one, made from the same
classes (`_quick`), only ever answers "nothing is wrong", and only of an entry without a part that it does not know:
whatever it doubts goes to the careful one. So ten thousand entries are looked at in a second or two.
"""

from __future__ import annotations

import functools
import json
import math
import types
from collections.abc import Iterable, Iterator
from datetime import date, datetime
from typing import Annotated, Any, Literal, Self, Union, get_args, get_origin, get_type_hints

import msgspec
from pydantic import AfterValidator, BaseModel, ConfigDict, Field, ValidationError, model_validator

from rotorkit.edges.received import MOST_TABLES, too_much
from rotorkit.folder.checks import name_fault
from rotorkit.judging.agreement import AGREES, DIFFERS, DIFFERS_LITTLE, WITHIN_READINGS
from rotorkit.judging.limits import OUT_OF_LIMITS, TOO_CLOSE, WORDS
from rotorkit.quantities import KINDS, QuantityError, unit_factor, unit_label
from rotorkit.record.attached import SUFFIXES
from rotorkit.record.chain import Sealed, is_hash
from rotorkit.record.dumps import kind_named

LARGEST_WORK = 32_000_000
"""Letters of one entry: a note of a million, and thirty times as much beside it."""
MOST_VALUES, DEEPEST = 1_000_000, 24
LARGEST_SIZE = 1e200
"""Figures beyond this are of nothing that can be measured."""


def _finite(value: float) -> float:
    if not math.isfinite(value) or abs(value) > LARGEST_SIZE:
        raise ValueError("is not a figure with a kind")
    return float(value)


def _iso_day(text: str) -> str:
    date.fromisoformat(text)
    return text


def _known(kind: str) -> str:
    if kind not in KINDS:
        raise ValueError("is not a kind that this version knows")
    return kind


Number = Annotated[float, AfterValidator(_finite), msgspec.Meta(ge=-LARGEST_SIZE, le=LARGEST_SIZE)]
Uncertainty = Annotated[float, AfterValidator(_finite), Field(ge=0), msgspec.Meta(ge=0, le=LARGEST_SIZE)]
Day = Annotated[str, AfterValidator(_iso_day)]
KindName = Annotated[str, AfterValidator(_known)]
Scales = Annotated[list[str], Field(min_length=2, max_length=2), msgspec.Meta(min_length=2, max_length=2)]
Word = Literal[WORDS]  # type: ignore[valid-type]  # those of today


@functools.lru_cache(maxsize=4096)
def _unit_fits(unit: str, kind: str) -> bool:
    try:
        factor = unit_factor(unit, kind_named(kind))
        unit_label(unit, kind_named(kind))
    except (QuantityError, ValueError, TypeError, KeyError, AttributeError):
        return False
    return bool(math.isfinite(factor) and factor > 0)


class _Part(BaseModel):
    """A part of an entry: what its fields hold, and in `fault` what they must be together."""

    model_config = ConfigDict(extra="allow", strict=True)

    @model_validator(mode="after")
    def _together(self) -> Self:
        if found := type(self).fault(self):
            raise ValueError(found)
        return self

    @staticmethod
    def fault(part: Any) -> str:
        """What is wrong about the fields together, in words. part: this, or the same from the quick reader."""
        return ""


class _Component(_Part):
    label: str
    shared: bool
    part: Number


class _Figure(_Part):
    kind: KindName
    value: Number
    standard_uncertainty: Uncertainty
    components: list[_Component]
    shown_unit: str | Scales | None
    si_unit: str

    @staticmethod
    def fault(part: Any) -> str:
        units = part.shown_unit if isinstance(part.shown_unit, list) else [part.shown_unit] if part.shown_unit else []
        return "" if all(_unit_fits(unit, part.kind) for unit in units) else "its unit does not fit its kind"


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

    @staticmethod
    def fault(part: Any) -> str:
        if part.low_si is None and part.high_si is None:
            return "has no side"
        if part.low_si is not None and part.high_si is not None and part.low_si > part.high_si:
            return "its lower side is above its upper side"
        return "its unit does not fit its kind" if part.unit and not _unit_fits(part.unit, part.kind) else ""


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

    @staticmethod
    def fault(part: Any) -> str:
        return "its limit is of another kind" if part.limit is not None and part.limit.kind != part.figure.kind else ""


class _Line(_Part):
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
    to_do: str = ""
    it_covers: list[str] = []

    @staticmethod
    def fault(part: Any) -> str:
        """The worst of the figures leads: no entry says that all is well over a figure that is not."""
        words = {finding.word for finding in part.findings if not finding.aside}
        for worse in (OUT_OF_LIMITS, TOO_CLOSE):
            if worse in words:
                if part.word != worse:
                    return f"says {part.word} although a figure is {worse}"
                break
        keys = [finding.key for finding in part.findings]
        return "holds a figure twice" if len(set(keys)) != len(keys) else ""


class _Understood(_Part):
    path: str
    title: str
    typed: str
    understood: str
    kind: str = ""
    values: list[float] = []
    si_unit: str = ""


class _Instrument(_Part):
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


class _Photograph(_Part):
    model_config = ConfigDict(extra="forbid", strict=True)
    name: str
    file: str
    sha256: str
    size: int

    @staticmethod
    def fault(part: Any) -> str:
        """Its file is named by its hash alone, so that no record names a file elsewhere."""
        named = is_hash(part.sha256) and part.file in {part.sha256[:24] + suffix for suffix in SUFFIXES}
        return "" if named and part.size >= 0 else "the name of its file does not follow from its hash"


class _WorkedByHand(_Part):
    model_config = ConfigDict(extra="forbid", strict=True)
    key: str
    title: str
    typed: str
    understood: str
    word: Literal[AGREES, WITHIN_READINGS, DIFFERS_LITTLE, DIFFERS]  # type: ignore[valid-type]
    sentence: str
    day: Day


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
    photographs: list[_Photograph] = []
    by_hand: list[_WorkedByHand] = []

    @staticmethod
    def fault(part: Any) -> str:
        """Each hand figure is of a figure that is there, and no figure has two."""
        keys = [one.key for one in part.by_hand]
        if not keys:
            return ""
        if len(set(keys)) != len(keys):
            return "holds two hand figures of one figure"
        known = {finding.key for finding in part.outcome.findings}
        return "" if known.issuperset(keys) else "holds a hand figure of a figure that is not there"


def fault_of(sealed: Sealed, bytes_of_work: bytes | None = None) -> str:
    """What in an entry's sealed parts is not as rotorkit saves them, in words; empty where nothing is (`fault_in` of
    `rotorkit.record.looked_at` looks at each entry once)."""
    return _fault_beside_work(sealed) or _fault_in_work(sealed.work, bytes_of_work)


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


Anything: Any = str | float | bool | None
for _ in range(6):  # what may hold anything: as deep as pictures are, and far less than the careful reader bears
    Anything = Union[str, float, bool, None, list[Anything], dict[str, Anything]]  # noqa: UP007  # grows as it runs


def _quick(annotation: Any) -> Any:
    """The annotation as the quick reader takes it: each part's class as one with the same fields, and none beside."""
    if annotation is Any:
        return Anything
    if annotation == KindName:
        return Literal[tuple(KINDS)]
    if annotation == Day:
        return str  # `_plainly_right` looks at the days
    if isinstance(annotation, type) and issubclass(annotation, _Part):
        return _quick_part(annotation)
    inside = tuple(_quick(one) for one in get_args(annotation))
    if get_origin(annotation) is types.UnionType:
        return Union[inside]  # noqa: UP007  # of classes that are known only now
    if get_origin(annotation) in (list, dict):
        return get_origin(annotation)[inside]
    if any(isinstance(one, AfterValidator) and one.func is not _finite for one in get_args(annotation)):
        raise TypeError(f"the quick reader knows nothing of {annotation}")
    return annotation  # texts and numbers


@functools.cache
def _quick_part(part: type[_Part]) -> type[Any]:
    hints = get_type_hints(part, include_extras=True)
    fields: list[tuple[str, Any] | tuple[str, Any, Any]] = []
    for name, one in part.model_fields.items():
        asked = _quick(hints[name])
        fields.append((name, asked) if one.is_required() else (name, asked, one.default))
    return msgspec.defstruct(part.__name__, fields, forbid_unknown_fields=True, gc=False)


@functools.cache
def _quick_reader() -> msgspec.json.Decoder[Any]:
    return msgspec.json.Decoder(_quick_part(_Work))


def _figures(outcome: Any) -> Iterator[Any]:
    for finding in outcome.findings:
        yield finding.figure
    for step in outcome.steps:
        if step.result is not None:
            yield step.result


def _of_each_unit(figures: Iterable[Any]) -> Iterator[Any]:
    """One figure of each kind and shown unit: nothing else of it decides `_Figure.fault`, and most are alike."""
    seen = set()
    for one in figures:
        alike = one.kind, one.shown_unit if one.shown_unit.__class__ is not list else tuple(one.shown_unit)
        if alike not in seen:
            seen.add(alike)
            yield one


def _plainly_right(text: str, data: bytes | None = None) -> bool:
    """Whether the quick reader finds nothing to doubt in an entry's work, given as text and perhaps as its bytes. False
    says nothing yet."""
    try:
        data = text.encode() if data is None else data
        if len(data) > MOST_VALUES or data.count(b"{") > MOST_TABLES:  # so no count is above its bound
            return False
        work = _quick_reader().decode(data)
        for instrument in work.instruments:
            for day in (instrument.calibrated, instrument.due):
                if day is not None:
                    _iso_day(day)
        for one in work.by_hand:
            _iso_day(one.day)
    except (ValueError, RecursionError):  # msgspec's own faults are ValueErrors
        return False
    outcome = work.outcome
    limits = [finding.limit for finding in outcome.findings if finding.limit is not None]
    return not (
        any(_Figure.fault(one) for one in _of_each_unit(_figures(outcome)))
        or any(_Limit.fault(one) for one in limits)
        or any(_Finding.fault(one) for one in outcome.findings)
        or _Outcome.fault(outcome)
        or any(_Photograph.fault(one) for one in work.photographs)
        or _Work.fault(work)
    )


def _no_number(text: str) -> Any:
    raise ValueError(f"{text} is no number")


def _fault_in_work(text: str, data: bytes | None) -> str:
    if not isinstance(text, str) or len(text) > LARGEST_WORK:
        return f"it holds more than {LARGEST_WORK:,} letters"
    return "" if _plainly_right(text, data) else _careful(text)


def _careful(text: str) -> str:
    """What is wrong with an entry's work, in words."""
    try:
        work = json.loads(text, parse_constant=_no_number)
    except RecursionError:
        return "brackets nested too deeply"
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
