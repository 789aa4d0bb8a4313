"""Whatever is typed into any field of any check, the answer is in a hangar's words, never in a programmer's."""

import re

import pytest

from rotorkit.aircraft import demo_folder
from rotorkit.folder.checks import Check, Folder
from rotorkit.sheets.base import SheetError
from rotorkit.sheets.catalogue import sheet_names, sheet_type

DEMO = Folder(demo_folder())
PROGRAMMERS = re.compile(
    r"\brad\b|radian|\bfloat\b|NoneType|\barray|\bargument|\bdict\b|\bNone\b|needs a ratio|\(\)|Error|Missing|\bself\b"
)
TYPED = ("banana", "5 lb", "-1", "1e9", "400 deg")


@pytest.mark.parametrize("name", sheet_names())
def test_what_cannot_be_taken_is_refused_in_plain_words(name: str) -> None:
    check = DEMO.first(name)
    assert check is not None
    sheet, told = sheet_type(name), []
    for field in sheet.fields():
        for column in field.row.fields() if field.row is not None else [field]:
            for text in TYPED:
                readings = {
                    k: [dict(row) for row in v] if isinstance(v, list) else v for k, v in check.readings.items()
                }
                if field.row is None:
                    readings[field.name] = text
                elif readings.get(field.name):
                    readings[field.name][0][column.name] = text
                try:
                    made = sheet.from_readings(readings)
                    if text == "banana" and column.choice is not None:
                        made.work(DEMO.aircraft)  # a name of nothing
                except SheetError as problem:
                    told += [said for _, said in problem.problems]
    assert told
    for said in dict.fromkeys(told):
        assert not PROGRAMMERS.search(said), said


@pytest.mark.parametrize(
    ("sheet", "field", "text", "said"),
    [
        ("cable_tension", "dial", "5 lb", "needs a plain number, got '5 lb', which is a mass: type for example '27.5'"),
        ("hover_margin", "humidity", "5 lb", "needs per cent, got '5 lb', which is a mass: type for example '55 %'"),
    ],
)
def test_a_dial_and_a_humidity_are_no_ratios(sheet: str, field: str, text: str, said: str) -> None:
    check: Check | None = DEMO.first(sheet)
    assert check is not None
    with pytest.raises(SheetError) as refusal:
        sheet_type(sheet).from_readings({**check.readings, field: text})
    assert (field, said) in refusal.value.problems
