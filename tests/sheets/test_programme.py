"""The usual milestones: made of what the sheets say of themselves."""

from rotorkit.aircraft import demo_folder, load_aircraft
from rotorkit.aircraft.milestones import USUAL_MILESTONES
from rotorkit.sheets.catalogue import sheets_in_order, subject_of
from rotorkit.sheets.programme import programme, usual_milestones

AIRCRAFT = load_aircraft(demo_folder())


def test_the_usual_ones_hold_where_the_file_gives_none() -> None:
    assert AIRCRAFT.milestones == []
    assert programme(AIRCRAFT) == usual_milestones(AIRCRAFT)
    assert [milestone.title for milestone in programme(AIRCRAFT)] == list(USUAL_MILESTONES)
    turn = programme(AIRCRAFT)[1]
    assert {need.name for need in turn.needs} >= {
        "blade_angles: main rotor",
        "blade_angles: tail rotor",
        "cable_tension: pedal_left",
        "cable_tension: pedal_right",
        "pitch_rigging: main rotor",
        "control_corners",
        "cyclic_range",
        "push_pull_tubes: collective",
        "cable_rigging: pedal_left",
        "cable_rigging: pedal_right",
    }


def test_nothing_turns_before_corners_cyclic_and_cables_are_known() -> None:
    first = programme(AIRCRAFT)[0]
    assert first.title == "First engine run"
    needs = {need.sheet for need in first.needs}
    assert {"blade_angles", "control_corners", "cyclic_range", "cable_tension", "cable_rigging"} <= needs


def test_the_file_s_own_go_first() -> None:
    own = usual_milestones(AIRCRAFT)[2:]
    assert programme(AIRCRAFT.model_copy(update={"milestones": own})) == own


def test_without_cables_no_cable_is_asked_for() -> None:
    bare = AIRCRAFT.model_copy(update={"cables": {}, "push_pull_tubes": {}})
    every = [need for milestone in usual_milestones(bare) for need in milestone.needs]
    assert not {"cable_tension", "cable_rigging", "tension_trend", "push_pull_tubes"} & {need.sheet for need in every}
    assert all(need.why for need in every)


def test_every_sheet_says_which_milestone_needs_it() -> None:
    for sheet in sheets_in_order():
        assert sheet.needed, f"{sheet.name} belongs to no milestone"
        assert {needed.before for needed in sheet.needed} <= set(USUAL_MILESTONES)
        assert subject_of(sheet), f"{sheet.name} stands in no subject's room"


def test_the_order_is_the_builder_s() -> None:
    """Rigging before performance; within a room by the sheet's own place, no two alike."""
    subjects = [subject_of(sheet) for sheet in sheets_in_order()]
    assert subjects.index("rigging") < subjects.index("performance")
    places = [(subject_of(sheet), sheet.order) for sheet in sheets_in_order()]
    assert len(set(places)) == len(places)
