"""Which figures of the aircraft file each job asks for: those that it looks at, all of them and no others."""

from typing import Any

import pytest

from rotorkit.aircraft import Aircraft, demo_folder
from rotorkit.aircraft.controls import ControlLimits, CyclicLimits, PushPullLimits, TravelLimits
from rotorkit.aircraft.drive_parts import BearingLimits, BeltLimits, CouplingLimits, ShaftLimits
from rotorkit.aircraft.entries import Figures, MissingFigures
from rotorkit.aircraft.file import aircraft_of
from rotorkit.aircraft.model import CableLimits, Performance, PitchLimits
from rotorkit.aircraft.said import figure_words, missing_figures
from rotorkit.folder.checks import Folder
from rotorkit.notebook.sections import limits_of
from rotorkit.sheets.base import SheetError
from rotorkit.sheets.catalogue import sheet_names, sheet_type
from tests.sheets.as_it_stands import as_it_stands

DEMO = Folder(demo_folder())
ONLY_WHERE_GIVEN = (
    "main_rotor.blade.",
    "main_rotor.swashplate.",
    "main_rotor.lag.",
    ".hub.",
    ".pitch_links.",
    ".rods.",
    ".turnbuckle.",
    "instruments.",
    "loading.empty_",  # the ledger holds it against its own, where it is there
    "push_pull_tubes.",
    "belts.",
    "shafts.",
    "couplings.",
    "bearings.",
)
"""Blocks that a job takes into account where the file has them and, but for those that it declares, does without."""


HELD_AGAINST_THE_LINKS = ("bearing_life", "shaft_whirl", "belt_tension")
"""Their speeds are held against the rotor's over the drive's links, where the file has both."""


@pytest.fixture
def looked_at(monkeypatch: pytest.MonkeyPatch) -> set[str]:
    """The places of the needed figures that are looked at, from here on."""
    seen: set[str] = set()
    needed: dict[type, set[str]] = {}

    def look(self: Any, name: str) -> Any:
        if not name.startswith("_") and name in needed.setdefault(type(self), set(type(self).needed_figures())):
            seen.add(f"{self._place}.{name}")
        return object.__getattribute__(self, name)

    monkeypatch.setattr(Figures, "__getattribute__", look)
    return seen


@pytest.mark.parametrize("check", DEMO.checks, ids=lambda check: check.name)
def test_what_a_job_declares_is_what_it_looks_at(check: Any, looked_at: set[str]) -> None:
    aircraft = DEMO.aircraft
    sheet = check.made()
    used = set(sheet.figures_used(sheet.picked(), aircraft))
    looked_at.clear()
    sheet.work(aircraft)
    further = {place for place in looked_at - used if not any(part in place for part in ONLY_WHERE_GIVEN)}
    further -= {"main_rotor.positive_blade_angle"} if "main_rotor.blade.twist" in looked_at else set()
    further -= {place for place in further if place.endswith(".title")}
    if sheet.name in HELD_AGAINST_THE_LINKS:
        further -= {"main_rotor.speed"}
    of_cable = {place for place in further if place.startswith("cables.") and aircraft.cables}
    assert further - of_cable == set(), "looked at, and not asked for"
    assert {place.rpartition(".")[2] for place in of_cable} <= {"length"}, (
        "only where the airframe's stiffness is given"
    )
    assert used <= looked_at, "asked for, and not looked at"


@pytest.mark.parametrize("name", sheet_names())
def test_a_job_works_with_its_own_figures_alone(name: str) -> None:
    """The demo's file, every needed figure taken out of it that the job does not declare: the figures are the same."""
    check = DEMO.first(name)
    assert check is not None
    sheet = check.made()
    aircraft = DEMO.aircraft.model_copy(deep=True)
    used = set(sheet.figures_used(sheet.picked(), aircraft))
    for section in ("main_rotor", "tail_rotor", "drive", "engine", "weights"):
        figures = getattr(aircraft, section)
        for key in figures.needed_figures():
            if f"{section}.{key}" not in used:
                figures.__dict__.pop(key, None)
    if "main_rotor.blade.twist" not in used:
        aircraft.main_rotor.__dict__["blade"] = None  # one that is given asks for the sign of its angles
    whole = as_it_stands(check.name)
    alone = sheet.work(aircraft)
    told = {found.key: found.row() for found in whole.findings}
    assert alone.findings
    assert all(found.row() == told[found.key] for found in alone.findings)
    assert alone.word == whole.word


@pytest.mark.parametrize("name", sheet_names())
def test_without_any_figure_every_one_is_asked_for_by_name(name: str) -> None:
    nothing = aircraft_of("")
    check = DEMO.first(name)
    assert check is not None
    sheet = check.made()
    asked = sheet.figures_lacking(sheet.picked(), nothing)
    try:
        sheet.work(nothing)
    except SheetError as problem:
        refusal = problem
    else:
        assert asked == []  # one that needs none, and names no instrument, works without a file
        return
    assert refusal.figures == asked
    sheet_type(name).begin(nothing)  # an empty form starts all the same
    for place in asked:
        assert figure_words(place), f"the blank file does not say what {place} is"
        assert f"written as {place.rpartition('.')[2]} in [{place.rpartition('.')[0]}]" in str(refusal)
    assert not any(word in str(refusal) for word in ("()", "None", "Missing", "figures_used"))


def test_one_that_is_missing_is_told_in_the_words_of_the_manual() -> None:
    assert missing_figures(["weights.maximum"]) == (
        "the aircraft file does not give one figure that this job needs: weights: maximum (the greatest gross weight "
        "that the manual allows), written as maximum in [weights]. Take it from your kit manual"
    )


def test_a_cable_is_asked_for_its_slope_or_for_what_it_is_worked_out_from() -> None:
    text = '[cables.left]\ntitle = "Left"\nlimits_at = "70 °F"\n'
    sheet = sheet_type("cable_tension")
    names = ["diameter", "construction", "steel", "airframe_material"]
    assert sheet.figures_lacking({"cable": "left"}, aircraft_of(text)) == [f"cables.left.{name}" for name in names]
    assert sheet.figures_lacking({"cable": "left"}, aircraft_of(text + 'slope = "0.6 lb/°F"\n')) == []
    stiff = aircraft_of(text + 'airframe_stiffness = "1000 lb/in"\n')
    assert "cables.left.length" in sheet.figures_lacking({"cable": "left"}, stiff)


def test_an_instrument_without_its_uncertainty_is_asked_for_it() -> None:
    aircraft = aircraft_of('[instruments.level]\ntitle = "Level"\nmeasures = "angle"\nuncertainty = ""\n')
    picked = {"rotor": "main rotor", "protractor": "level"}
    assert "instruments.level.uncertainty" in sheet_type("blade_angles").figures_lacking(picked, aircraft)
    assert "still to be filled in" in aircraft.choices("instruments", "angle")["level"]
    with pytest.raises(MissingFigures):
        _ = aircraft.instruments["level"].uncertainty


def test_the_whole_demo_lacks_nothing() -> None:
    aircraft: Aircraft = DEMO.aircraft
    assert aircraft.all_lacking() == []


@pytest.mark.parametrize("check", DEMO.checks, ids=lambda check: check.name)
def test_the_limits_that_a_job_declares_are_those_that_it_looks_at(check: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    """What its form asks for: all that the aircraft file's limits are looked at for, and nothing else."""
    sheet, aircraft = check.made(), DEMO.aircraft
    declared = {one.place.rpartition(".")[2] for one in limits_of(type(sheet), sheet.picked(), aircraft)}
    seen: set[str] = set()
    limits = (PitchLimits, CableLimits, Performance, CyclicLimits, PushPullLimits, TravelLimits, ControlLimits,
              BeltLimits, ShaftLimits, CouplingLimits, BearingLimits)  # fmt: skip

    def look(self: Any, name: str) -> Any:
        if (name in type(self).model_fields and name != "travel") or (name == "travel" and type(self) is PitchLimits):
            seen.add(name)
        return object.__getattribute__(self, name)

    for one in limits:
        monkeypatch.setattr(one, "__getattribute__", look)
    sheet.work(aircraft)
    monkeypatch.undo()
    assert seen - declared == set(), "judged by, and not asked for"
