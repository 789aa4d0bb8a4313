"""What a check looks at of the aircraft is noted whole: it would come to the same without all the rest."""

import copy
from typing import Any

import pytest

from rotorkit.aircraft import Aircraft, demo_folder
from rotorkit.aircraft.looked_at import ALL, BY_NAME, LOOKING, LookedAt
from rotorkit.folder.checks import Folder

DEMO = Folder(demo_folder())
EVERY = {(part, ALL) for part in Aircraft.model_fields}


def told(outcome: Any) -> Any:
    """All of an outcome, in words."""
    rows = [(one.key, one.row(), one.verdict.sentence, one.verdict.settle, one.aside) for one in outcome.findings]
    words = outcome.word, outcome.lead, outcome.remarks, outcome.missing, outcome.to_do
    return rows, words, [step.text for step in outcome.steps], outcome.pictures


@pytest.mark.parametrize("check", DEMO.checks, ids=lambda check: check.name)
def test_a_check_comes_to_the_same_without_what_it_did_not_look_at(check: Any) -> None:
    sheet, looked_at = check.made(), LookedAt(DEMO.aircraft)
    whole = told(sheet.work(DEMO.aircraft))
    assert told(sheet.work(looked_at.given)) == whole
    assert ("aircraft", ALL) in looked_at.parts, "in which units it is told"
    assert looked_at.parts < EVERY | {(part, name) for part in BY_NAME for name in getattr(DEMO.aircraft, part)}
    nothing = Aircraft()
    kept: dict[str, Any] = {}
    for part in Aircraft.model_fields:
        if (part, ALL) in looked_at.parts:
            kept[part] = getattr(DEMO.aircraft, part)
        elif part in BY_NAME:
            tables = getattr(DEMO.aircraft, part)
            kept[part] = {name: tables[name] for name in tables if (part, name) in looked_at.parts}
        else:
            kept[part] = getattr(nothing, part)
    assert told(sheet.work(DEMO.aircraft.model_copy(update=kept))) == whole


def test_each_part_is_noted_before_it_is_had() -> None:
    for part in set(Aircraft.model_fields) - set(BY_NAME):
        looked_at = LookedAt(DEMO.aircraft)
        assert getattr(looked_at.given, part) is getattr(DEMO.aircraft, part)
        assert looked_at.parts == {(part, ALL)}
    for part in BY_NAME:
        tables = getattr(DEMO.aircraft, part)
        name = next(iter(tables))
        for look, noted in (
            (lambda given, name=name: given[name], name),
            (lambda given, name=name: given.get(name), name),
            (lambda given, name=name: name in given, name),
            (lambda given: given.get("no such"), "no such"),
            (lambda given: "no such" in given, "no such"),
            (len, ALL),
            (bool, ALL),
            (list, ALL),
            (dict, ALL),
            (lambda given: {**given}, ALL),
            (lambda given: given.items(), None),
            (lambda given: list(given.values()), ALL),
            (lambda given: given == {}, ALL),
        ):
            looked_at = LookedAt(DEMO.aircraft)
            assert look(getattr(looked_at.given, part)) == look(tables)
            assert noted is None or (part, noted) in looked_at.parts
    looked_at = LookedAt(DEMO.aircraft)
    assert looked_at.given.choices("cables") == DEMO.aircraft.choices("cables")
    assert looked_at.parts == {("cables", ALL)}
    assert looked_at.given.gives("main_rotor.radius")
    assert looked_at.given.rotors == DEMO.aircraft.rotors
    assert looked_at.parts == {("cables", ALL), ("main_rotor", ALL), ("tail_rotor", ALL)}


@pytest.mark.parametrize(
    "look",
    [
        lambda given: given.model_dump(),
        lambda given: given.model_dump_json(),
        lambda given: given.model_copy().main_rotor,
        lambda given: given.__dict__,
        vars,
        lambda given: given.all_lacking(),
        lambda given: given.inconsistencies(),
        lambda given: given.has("main_rotor"),
        lambda given: copy.deepcopy(given).main_rotor,
    ],
)
def test_what_cannot_be_told_apart_is_every_part(look: Any) -> None:
    looked_at = LookedAt(DEMO.aircraft)
    look(looked_at.given)
    assert looked_at.parts == EVERY


def test_what_looks_at_parts_by_name_is_there() -> None:
    assert set(LOOKING) <= vars(Aircraft).keys()
