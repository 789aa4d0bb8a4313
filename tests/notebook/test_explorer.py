"""The explorer: fields count, sliders follow and turn them, and what cannot be shown is said."""

import math
from collections.abc import Callable
from pathlib import Path

import pytest

from rotorkit.aircraft import Instrument, demo_folder
from rotorkit.folder.checks import Folder
from rotorkit.notebook import Explorer, Form
from rotorkit.quantities import Mass, read
from rotorkit.sheets.base import Outcome
from rotorkit.sheets.exploring.explorations import EXPLORATIONS, readings_at

Make = Callable[..., Form]
DRIVE = "shaft_fan"
"""One that knows no weight, no day and no height."""
NAMES = pytest.mark.parametrize("name", [name for name in EXPLORATIONS if name != DRIVE])


@NAMES
def test_it_begins_with_the_forms_readings(form: Make, name: str) -> None:
    made = Explorer(name, form("hover_margin"))
    assert made.problems == {}
    assert made.fault is None
    assert made.seen is not None
    assert made.get("gross_weight") == "1,255 lb"
    assert made.get("temperature") == "84 °F"
    assert made.get("height") == "687 ft"
    assert 'role="img"' in made.picture.value
    first = made.seen.lines[0]
    assert first.split(":")[0] in made.said.value
    assert made.sliders["gross_weight"].value == 1255


@NAMES
def test_without_a_form_it_begins_at_usual_values(name: str) -> None:
    made = Explorer(name, Folder(demo_folder()))
    assert made.seen is not None
    assert made.get("gross_weight") == "1,310 lb"


@NAMES
def test_a_slider_turns_its_field_and_the_picture(form: Make, name: str) -> None:
    made = Explorer(name, form("hover_margin"))
    before = made.picture.value
    made.turn("gross_weight", 1205)
    assert made.get("gross_weight") == "1,205 lb"
    assert made.picture.value != before


def test_a_shafts_begins_with_the_files_shaft_evenly_hung_where_nothing_was_read(
    form: Make, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(Explorer, "_others", lambda _self: {})
    made = Explorer(DRIVE, form("hover_margin"))
    assert made.seen is not None
    at = [made.get(name) for name in ("place_3", "wall", "rotor_speed")]
    assert at == ["78.0 in", "0.065 in", "455 rpm"], "the rotor speed is the form's"
    before = made.picture.value
    made.turn("place_3", 84)
    assert made.picture.value != before
    made.set("wall", "0.09 in")
    assert made.seen is not None
    assert made.at_these_conditions() is None, "no form of a shaft: nothing to judge"
    made.aircraft = made.aircraft.model_copy(update={"shafts": {}})
    made.set("wall", "0.08 in")
    assert made.seen is None
    assert any("has no complete shaft" in said for said in made.problems.values())


def test_a_shafts_begins_with_the_folders_shaft_in_the_form_of_the_blades(form: Make) -> None:
    start = form("blade_modes")
    made = Explorer(DRIVE, start)
    assert made.seen is not None
    assert (made.get("place_2"), made.get("rotor_speed")) == ("40.1 in", "500 rpm")
    assert len(made.seen.pictures) == 2
    assert made.at_these_conditions() is None
    before = made.seen.lines[3]
    start.set("tip_mass", "3.0 ± 0.1 lb")
    made.load(start.readings)
    assert made.seen.lines[3] != before, "the blades are the form's"


def test_a_shafts_begins_with_its_forms_readings_and_their_uncertainty(form: Make) -> None:
    start = form("shaft_whirl")
    made = Explorer(DRIVE, start)
    assert made.seen is not None
    assert [made.get(f"place_{k}") for k in range(1, 6)] == ["2.0 in", "40.1 in", "78.0 in", "116.2 in", "154.0 in"]
    assert len(made.seen.pictures) == 2, "shaft and blades"
    assert start.outcome is not None
    critical = start.outcome.finding("critical_speed").said
    assert critical in made.seen.lines[1], "with its ±"
    as_it_began = made.at_these_conditions()
    assert as_it_began is not None
    assert [one.said for one in as_it_began.findings] == [one.said for one in start.outcome.findings]
    # a span of 48 in the middle: the form's own sheet says the same of it
    made.turn("place_3", 70)
    made.set("place_4", "118 in")
    turned = made.at_these_conditions()
    assert turned is not None
    start.set("hangers.2.place", "70 ± 0.1 in")
    start.set("hangers.3.place", "118 ± 0.1 in")
    assert start.outcome is not None
    assert turned.finding("critical_speed").said == start.outcome.finding("critical_speed").said != critical
    assert turned.finding("critical_speed").said in made.seen.lines[1]
    assert "The check Shaft whirl at these conditions, with the ± of the form" in made.judged.value
    # turned to where it whirls: by the rotor's speed the same verdict as by a greatest speed
    made.set("rotor_speed", "1000 rpm")
    whirls = made.at_these_conditions()
    assert whirls is not None
    assert "BELOW" in made.seen.lines[1]
    assert whirls.word == "out of limits"
    made.load(start.readings)
    assert (made.get("place_3"), made.get("place_4")) == ("70.0 in", "118.0 in")


def test_a_temperature_slider_knows_its_zero(form: Make) -> None:
    made = Explorer("margin_map", form("hover_margin"))
    made.turn("temperature", 32)
    assert made.get("temperature") == "32 °F"
    assert made.fields["temperature"].spec.entry is not None
    assert made.fields["temperature"].spec.entry.read(made.get("temperature")).si == pytest.approx(273.15)


def test_a_field_moves_its_slider_in_any_unit(form: Make) -> None:
    made = Explorer("margin_map", form("hover_margin"))
    made.set("gross_weight", "600 kg")
    lowest = made.sliders["gross_weight"].min
    assert (made.sliders["gross_weight"].value - lowest) % 5 == 0, "600 kg is 1322.77 lb: the step next to it"
    assert abs(made.sliders["gross_weight"].value - 1322.77) <= 2.5
    assert made.get("gross_weight") == "600 kg", "what was typed stays as typed"
    made.set("gross_weight", "1205")
    assert made.sliders["gross_weight"].value == 1205


def test_a_page_that_moves_a_slider_to_its_step_turns_nothing(form: Make) -> None:
    """687 ft lie between two steps: the page puts the handle on one and says so."""
    made = Explorer("margin_map", form("hover_margin"))
    assert made.sliders["height"].value == 700
    made._on_moved("height", {"new": 700.0000000001})
    assert made.get("height") == "687 ft"
    made._on_moved("height", {"new": 800.0})
    assert made.get("height") == "800 ft"


@pytest.mark.parametrize(
    ("text", "told"),
    [("a banana", "cannot read"), ("50 lb", "must be from"), ("1255 ft", "which is a length"), ("", "not filled in")],
)
def test_what_cannot_be_read_takes_the_picture_away(form: Make, text: str, told: str) -> None:
    made = Explorer("margin_map", form("hover_margin"))
    made.set("gross_weight", text)
    assert made.seen is None
    assert made.picture.value == made.said.value == ""
    assert told in made.problems["gross_weight"].casefold()
    assert "No picture yet" in made.state.value
    made.set("gross_weight", "1,255 lb")
    assert made.seen is not None
    assert made.state.value == ""


def test_it_begins_again_with_what_the_form_holds_then(form: Make) -> None:
    start = form("hover_margin")
    made = Explorer("margin_map", start)
    made.set("gross_weight", "1,200 lb")
    start.set("gross_weight", "1,300 lb")
    assert made.get("gross_weight") == "1,200 lb", "what is being explored is left alone"
    made.load(start.readings)
    assert made.get("gross_weight") == "1,300 lb"
    start.set("gross_weight", "8,000 lb")
    made.load(start.readings)
    assert made.get("gross_weight") == "1,310 lb", "outside what can be turned to: the usual value"


def test_estimates_can_be_picked(form: Make) -> None:
    made = Explorer("margin_map", form("hover_margin"))
    assert "by figure of merit" in made.said.value
    made.estimate.value = "blade element"
    assert "by blade element" in made.said.value
    assert Explorer("ceilings", form("hover_margin")).estimate is None


def test_a_fault_reaches_the_page(form: Make, monkeypatch: pytest.MonkeyPatch) -> None:
    made = Explorer("margin_map", form("hover_margin"))

    def broken(*_given: object) -> None:
        raise ZeroDivisionError("<b>odd</b>")

    monkeypatch.setattr(made, "exploration", type("Broken", (), {"see": staticmethod(broken)})())
    made.set("gross_weight", "1,300 lb")
    assert isinstance(made.fault, ZeroDivisionError)
    assert made.picture.value == ""
    assert "A fault in rotorkit itself" in made.state.value
    assert "<b>odd" not in made.state.value


def test_an_unknown_exploration_is_named() -> None:
    with pytest.raises(ValueError, match="there are margin_map, ceilings"):
        Explorer("moon", Folder(demo_folder()))


def test_metric_fields_and_sliders() -> None:
    folder = Folder(demo_folder())
    aircraft = folder.aircraft.model_copy(
        update={"aircraft": folder.aircraft.aircraft.model_copy(update={"display": "metric"})}
    )
    folder.__dict__["aircraft"] = aircraft
    made = Explorer("margin_map", folder)
    assert made.get("gross_weight").endswith(" kg")
    made.turn("temperature", 20.5)
    assert made.get("temperature") == "20.5 °C"
    assert "kW" in made.picture.value


class TestTheCheckAtTheConditionsTurnedTo:
    """The uncertainty of the form goes with what is turned: held against the form itself, typed to the same."""

    def figure(self, outcome: Outcome) -> tuple[float, float]:
        found = outcome.finding("power_margin").measured
        return float(found.si), float(found.expanded_si)

    def test_at_first_it_is_the_forms_own(self, form: Make) -> None:
        made = form("hover_margin")
        explorer = Explorer("margin_map", made)
        assert self.figure(explorer.at_these_conditions()) == self.figure(made.outcome)
        assert explorer.at_these_conditions().word == made.outcome.word
        assert made.outcome.finding("power_margin").said in explorer.judged.value
        assert "with the ± of the form" in explorer.judged.value

    def test_a_turned_condition_keeps_the_error_of_its_instrument(self, form: Make) -> None:
        made = form("hover_margin")
        explorer = Explorer("margin_map", made)
        for name, text in (("temperature", "95 °F"), ("gross_weight", "1,205 lb")):
            explorer.set(name, text)
            made.set(name, text)
            assert self.figure(explorer.at_these_conditions()) == pytest.approx(self.figure(made.outcome), rel=1e-9)
        explorer.set("height", "1687 ft")  # 1,000 ft up, where the field lies 640 ft high
        made.set("elevation", "1640 ft")
        assert self.figure(explorer.at_these_conditions()) == pytest.approx(self.figure(made.outcome), rel=1e-6)

    def test_what_is_typed_with_its_own_error_keeps_it(self, form: Make) -> None:
        made = form("hover_margin")
        made.set("gross_weight", "900 ± 3 + 180 ± 4 + 170 ± 12 lb")  # 13 lb by the root of the sum of squares
        explorer = Explorer("margin_map", made)
        assert explorer.get("gross_weight") == "1,250 lb"
        explorer.set("gross_weight", "1205 lb")
        made.set("gross_weight", "1205 ± 13 lb")
        assert self.figure(explorer.at_these_conditions()) == pytest.approx(self.figure(made.outcome), rel=1e-6)
        made.set("gross_weight", "1,254.8 ± 4.2 lb [entry 12: gross_weight]")
        assert Explorer("margin_map", made).get("gross_weight") == "1,255 lb"

    def test_what_the_form_does_not_read_has_no_answer(self, form: Make) -> None:
        explorer = Explorer("pedals", form("anti_torque_margin"))
        assert explorer.at_these_conditions() is not None
        explorer.set("pedal_stop", "20 deg")
        assert explorer.at_these_conditions() is None
        assert explorer.judged.value == ""
        assert Explorer("pedals", Folder(demo_folder())).at_these_conditions() is None

    @pytest.mark.parametrize(
        ("beyond", "shown"), [(("temperature", "-20 °F"), "59 °F"), (("gross_weight", "700 lb"), "1,310 lb")]
    )
    def test_a_reading_beyond_what_can_be_turned_to_is_not_judged_in_place_of_what_is_shown(
        self, form: Make, beyond: tuple[str, str], shown: str
    ) -> None:
        made = form("hover_margin")
        made.set(*beyond)
        assert made.outcome is not None
        explorer = Explorer("margin_map", made)
        assert explorer.get(beyond[0]) == shown
        judged = self.figure(explorer.at_these_conditions())
        made.set(beyond[0], shown)
        assert judged == pytest.approx(self.figure(made.outcome), rel=1e-9)

    def test_a_height_beyond_has_no_answer(self, form: Make) -> None:
        made = form("hover_margin")
        made.set("elevation", "12,000 ft")
        explorer = Explorer("margin_map", made)
        assert explorer.get("height") == "0 ft"
        assert explorer.at_these_conditions() is None
        assert explorer.judged.value == ""

    def test_a_sum_that_is_turned_stays_as_unsure_as_its_parts(self, form: Make) -> None:
        """A scale that is good to 2 lb, read three times: 2 lb by the root of three, whatever they come to."""
        made = form("hover_margin")
        made.set("gross_weight", "900 + 180 + 170 lb")
        explorer = Explorer("margin_map", made)
        explorer.set("gross_weight", "1,200 lb")
        turned = readings_at(made.readings, explorer._began or {}, explorer._values, explorer.knobs)
        summed = read((turned or {})["gross_weight"], Mass)
        assert summed.si == pytest.approx(1200 * 0.45359237)
        scale = Instrument(title="Scale", measures="mass", uncertainty="2 lb", stated_as="bounds")
        three, one = (float(scale.measure(each, "weight").expanded_si) for each in (summed, "1200 lb"))
        assert three == pytest.approx(math.sqrt(3) * one)

    def test_the_worst_of_all_figures_leads_and_a_physical_no_before_it(self, form: Make) -> None:
        """Slow rotor, light and cold: power to spare, and blades that would have to carry more than they can."""
        made = form("level_flight")
        explorer = Explorer("power_curve", made)
        outcome = explorer.at_these_conditions()
        assert outcome.warned
        assert outcome.findings[0].verdict.word != outcome.word
        told = explorer.judged.value
        assert outcome.word in told
        assert (
            told.index(outcome.warned[0].split(":")[0][:40])
            < told.index("The check Level flight")
            < told.index(outcome.word)
        )
        worst = next(one for one in outcome.findings if one.verdict.word == outcome.word)
        assert told.index(worst.said) < told.index(outcome.findings[0].said)

    def test_a_shaft_has_no_conditions_of_a_form(self, form: Make) -> None:
        assert Explorer(DRIVE, form("blade_angles")).at_these_conditions() is None


def test_without_figures_of_the_aircraft_it_waits_and_begins_once_they_are_written(tmp_path: Path) -> None:
    (tmp_path / "aircraft.toml").write_text("[aircraft]\nname = 'Mine'\n", encoding="utf-8")
    form = Form("hover_margin", Folder(tmp_path))
    waiting = [Explorer(name, form) for name in EXPLORATIONS]
    for explorer in waiting:
        assert explorer.fault is None
        assert explorer.seen is None
        assert explorer.problems
    margins = next(one for one in waiting if one.exploration is EXPLORATIONS["margin_map"])
    assert "missing here: weights: maximum" in margins.state.value
    assert margins.knobs == {}
    (tmp_path / "aircraft.toml").write_text(
        (demo_folder() / "aircraft.toml").read_text(encoding="utf-8"), encoding="utf-8"
    )
    form.figures_written()
    assert margins.fault is None
    assert margins.knobs
    assert margins.seen is not None
    assert "Nothing to explore" not in margins.state.value
