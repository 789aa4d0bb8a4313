"""Figures, limits, worked steps and pictures as plain JSON values, and back.

What comes back is made of the same types that a sheet gives, so that a form and a document show an old entry by the
code that shows a fresh one. Nothing is worked again on the way.
"""

from __future__ import annotations

import dataclasses
import functools
import itertools
import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from rotorkit.formula import Line, Worked
from rotorkit.judging.limits import NO_LIMIT, UNDONE, Limit, Verdict
from rotorkit.judging.measured import Measured, Origin
from rotorkit.pictures import data as pictures
from rotorkit.quantities import KINDS, Kind, QuantityError, Reading, from_si, kind_of, required_kind, say
from rotorkit.sheets.base import Finding, Outcome

_numbers = itertools.count(-1, -1)  # origins of restored figures, apart from those of fresh readings


@dataclass(frozen=True)
class SavedCitation:
    """A citation as it stood, in words."""

    sentence: str

    def __str__(self) -> str:
        return self.sentence


@functools.cache
def _names() -> dict[Kind, str]:
    return {kind: name for name, annotation in reversed(KINDS.items()) if (kind := kind_of(annotation)) is not None}


def kind_name(kind: Kind) -> str:
    """The kind's name in the library ("Force")."""
    return _names()[kind]


def kind_named(name: str) -> Kind:
    """The kind of a name."""
    return required_kind(KINDS[name])


def real(value: Any) -> float:
    """A number read back: JSON may have dropped the point of a whole one."""
    return float(value)


def measured_dump(figure: Measured, budget: bool = True) -> dict[str, Any]:
    """A figure: SI value, standard uncertainty, and with `budget` the signed part of each origin."""
    unit = figure.unit
    return {
        "kind": kind_name(figure.kind),
        "value": float(figure.si),
        "standard_uncertainty": float(figure.standard_si),
        "components": [
            {"label": origin.label, "shared": origin.number == 0, "part": float(part)}
            for origin, part in figure.components.items()
        ]
        if budget
        else [],
        "shown_unit": list(unit) if isinstance(unit, tuple) else unit,
        "si_unit": figure.kind.si,
    }


def measured_restored(saved: Mapping[str, Any]) -> Measured:
    unit = saved["shown_unit"]
    components = {
        Origin(part["label"], 0 if part["shared"] else next(_numbers)): real(part["part"])
        for part in saved["components"]
    }
    if not components and saved["standard_uncertainty"]:
        components[Origin("in all", next(_numbers))] = real(saved["standard_uncertainty"])
    return Measured(
        real(saved["value"]), kind_named(saved["kind"]), components, tuple(unit) if isinstance(unit, list) else unit
    )


def _side(side: Any) -> str | None:
    """A side of a limit as it was written."""
    if side is None or isinstance(side, str):
        return side
    return side.typed if isinstance(side, Reading) else say(side, digits=6)


def limit_dump(limit: Limit | None) -> dict[str, Any] | None:
    """A limit as it stood: both sides as written and in SI, unit and source. None where none was given."""
    if limit is None or limit.open:
        return None
    return {
        "name": limit.name,
        "kind": kind_name(kind_of(limit.kind) or limit.kind),
        "low": _side(limit.low),
        "high": _side(limit.high),
        "low_si": limit.low_si,
        "high_si": limit.high_si,
        "unit": limit.unit,
        "source": limit.source,
        "text": limit.text,
    }


def limit_restored(saved: Mapping[str, Any] | None) -> Limit | None:
    if saved is None:
        return None
    kind = kind_named(saved["kind"])
    low, high = (None if saved[side] is None else from_si(real(saved[side]), kind) for side in ("low_si", "high_si"))
    unit = saved["unit"]
    if unit is None:
        unit = _unit_written(saved, kind)
    if unit is None and not kind.si and any(str(saved[side]).endswith("%") for side in ("low", "high")):
        unit = "%"  # as it was written: in SI units a share is a bare number
    return Limit(saved["name"], kind, low, high, saved["source"], unit)


def _unit_written(saved: Mapping[str, Any], kind: Kind) -> str | None:
    """The unit that a limit's sides were written in: what comes back in SI units has lost it."""
    try:
        return Limit(saved["name"], kind, saved["low"], saved["high"]).own_unit
    except QuantityError:  # written as this version does not read it
        return None


def finding_dump(finding: Finding) -> dict[str, Any]:
    """A finding: key, figure, the limit it was judged against, and the verdict in words."""
    verdict = finding.verdict
    probability = verdict.probability
    return {
        "key": finding.key,
        "title": finding.title,
        "figure": measured_dump(verdict.measured),
        "text": finding.row()[1],
        "limit": limit_dump(verdict.limit),
        "limit_name": verdict.limit.name if verdict.limit is not None else finding.title,
        "word": verdict.word,
        "sentence": verdict.sentence,
        "settle": verdict.settle,
        "aside": finding.aside,
        "probability": None if probability is None else float(probability),
    }


def finding_restored(saved: Mapping[str, Any]) -> Finding:
    figure = measured_restored(saved["figure"])
    limit = limit_restored(saved["limit"]) or Limit(saved["limit_name"], figure.kind)
    probability = saved["probability"]
    word = saved["word"]
    if word == NO_LIMIT and saved["settle"]:  # so it was kept before there was a word of its own for it
        word = UNDONE
    return Finding(
        saved["key"],
        saved["title"],
        Verdict(
            word,
            figure,
            limit,
            saved["sentence"],
            saved["settle"],
            None if probability is None else real(probability),
        ),
        saved["aside"],
    )


def step_dump(step: Worked) -> dict[str, Any]:
    """A worked step: its lines as LaTeX and as text, its result and its source."""
    return {
        "name": step.name,
        "title": step.title,
        "lines": [dataclasses.asdict(line) for line in step.lines],
        "result": measured_dump(step.value, budget=False) if isinstance(step.value, Measured) else None,
        "source": step.citation.sentence,
    }


def step_restored(saved: Mapping[str, Any]) -> Worked:
    value = None if saved["result"] is None else measured_restored(saved["result"])
    return Worked(
        saved["name"], saved["title"], [Line(**line) for line in saved["lines"]], value, SavedCitation(saved["source"])
    )


def picture_dump(picture: Any) -> Any:
    """The data of a picture: each dataclass as a table that names itself; a number without a value as None."""
    if dataclasses.is_dataclass(picture) and not isinstance(picture, type):
        named = {one.name: picture_dump(getattr(picture, one.name)) for one in dataclasses.fields(picture)}
        return {"picture": type(picture).__name__, **named}
    if isinstance(picture, str) or picture is None or isinstance(picture, bool):
        return picture
    if hasattr(picture, "__iter__"):
        return [picture_dump(one) for one in picture]
    return float(picture) if math.isfinite(picture) else None


def picture_restored(saved: Any) -> Any:
    """A picture's data read back; None for one that this version does not know."""
    if isinstance(saved, list):
        return [picture_restored(one) for one in saved]
    if not isinstance(saved, dict):
        return saved
    maker = getattr(pictures, str(saved["picture"]), None)
    if maker is None:
        return None
    try:
        return maker(**{key: picture_restored(one) for key, one in saved.items() if key != "picture"})
    except TypeError:  # a picture of another version, with other parts
        return None


def outcome_dump(outcome: Outcome) -> dict[str, Any]:
    """All of an outcome."""
    return {
        "findings": [finding_dump(finding) for finding in outcome.findings],
        "word": outcome.word,
        "steps": [step_dump(step) for step in outcome.steps],
        "pictures": [picture_dump(picture) for picture in outcome.pictures],
        "remarks": list(outcome.remarks),
        "lead": list(outcome.lead),
        "missing": list(outcome.missing),
        "to_do": outcome.told_to_do,
        "it_covers": list(outcome.it_covers),
    }


def outcome_restored(title: str, saved: Mapping[str, Any]) -> Outcome:
    """The outcome as it stood."""
    drawn = [picture_restored(picture) for picture in saved["pictures"]]
    return Outcome(
        title,
        [finding_restored(finding) for finding in saved["findings"]],
        [step_restored(step) for step in saved["steps"]],
        [picture for picture in drawn if picture is not None],
        list(saved["remarks"]),
        list(saved.get("lead", ())),
        list(saved.get("missing", ())),
        saved.get("to_do", ""),  # entries of earlier versions have none
        tuple(saved.get("it_covers", ())),
    )
