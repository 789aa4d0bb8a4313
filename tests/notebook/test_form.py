"""The form without a browser: what is typed, what is said, and that a verdict never outlives its readings."""

import asyncio
import re
import time
from collections.abc import Callable
from html import unescape
from pathlib import Path
from typing import Any

import pytest

from rotorkit.aircraft import AircraftFileError, demo_folder
from rotorkit.dossier.worksheet import page_data
from rotorkit.edges import clock
from rotorkit.edges.visible import escaped
from rotorkit.folder import Check, Folder
from rotorkit.judging.limits import IN_LIMITS, NO_LIMIT, UNDONE
from rotorkit.notebook import Form, open_folder, open_form
from rotorkit.notebook.style import STEPS
from rotorkit.notebook.typed import field_unit
from rotorkit.quantities import Mass, display
from rotorkit.record import Record, RecordError
from rotorkit.sheets.base import SheetError
from rotorkit.sheets.catalogue import sheet_names, sheet_type

Make = Callable[..., Form]
RISER = 'riser = "1"\ncable_diameter = "1/8 in"\nuncertainty = "0.1 lb"'
NONSENSE = [
    "about a banana",
    "12 kg",
    "1e400 °F",
    "__import__('os')",
    "<script>alert(1)</script>",
    "−" * 200,
    "12 in in",
]


def shown(form: Form) -> str:
    """All that the form shows, as HTML text."""
    return str(form.state.value + form.headline.value + form.figures.value + form.picture.value)


def ends_of_tables(boxes: list[Any]) -> list[Any]:
    """Without the boxes of a table's column between its first and its last: the rows of a table are read alike."""
    columns: dict[tuple[str, str], list[Any]] = {}
    for box in boxes:
        name, _, place = box.path.partition(".")
        columns.setdefault((name, place.partition(".")[2]), []).append(box)
    return [box for column in columns.values() for box in (column[:1] + column[1:][-1:])]


def in_the_order_of_the_page(form: Form) -> list[Any]:
    """The boxes as they stand on the page, from its top to its foot."""
    of = {box.control: box for box in form._all_boxes}
    return [of[widget] for widget in walk(form.box) if widget in of]


@pytest.mark.parametrize("sheet", sheet_names())
class TestEverySheet:
    def test_shows_verdict_picture_and_figures_of_the_demo(self, shared: Make, sheet: str) -> None:
        made = shared(sheet)
        assert made.problems == {}
        assert made.fault is None
        assert made.outcome is not None
        undone = any(finding.verdict.undone for finding in made.outcome.findings)
        assert (UNDONE if undone else made.outcome.word) in made.headline.value
        assert 'role="img"' in made.picture.value
        for finding in made.outcome.findings:
            assert escaped(finding.title) in made.figures.value

    def test_begins_empty_with_what_is_to_be_filled_in(self, shared: Make, sheet: str) -> None:
        made = shared(sheet)
        made.load(made.sheet.start(made.aircraft))
        assert made.outcome is None
        assert made.headline.value == made.picture.value == made.figures.value == ""
        assert made.problems
        assert "No verdict yet" in made.state.value

    def test_its_readings_make_the_same_sheet_again(self, shared: Make, sheet: str) -> None:
        made = shared(sheet)
        word = made.outcome.word
        kept = made.readings
        assert made.sheet.from_readings(kept).work(made.aircraft).word == word
        made.load({})
        made.load(kept)
        assert made.readings == kept
        assert made.outcome.word == word

    def test_every_field_has_its_own_label_and_says_how_it_is_read(self, shared: Make, sheet: str) -> None:
        made = shared(sheet)
        labels = [box.control.description for box in made._all_boxes]
        assert all(labels)
        assert len(set(labels)) == len(labels)

    def test_its_worksheet_is_typed_from_line_by_line(self, shared: Make, sheet: str) -> None:
        """Each box on paper stands where the form asks for it, with its unit; what is not on paper names its row."""
        made = shared(sheet)
        with display(made.system):
            page = page_data(Check(sheet, sheet, sheet, made.readings), made.aircraft)
        form = in_the_order_of_the_page(made)
        begun_by_a_button = {rows.spec.title for rows in made._rows.values() if not rows.rows}
        for group in page["groups"]:
            if group["rows_of"] and group["caption"] in begun_by_a_button:
                continue
            for row in group["rows"]:
                for item in row["items"]:
                    unit = "degrees" if item["unit"] == "°" else item["unit"]
                    while (box := form.pop(0)).spec.title != item["title"]:
                        name, _, column = box.path.partition(".")
                        printed = box.text in row["label"] or (column and not box.text)
                        assert name in made.sheet.by_file or (column and printed), f"{box.path} before {item}"
                    assert unit == (field_unit(box.spec.entry, made.system) if box.spec.entry else ""), item
                    if item["boxes"] and box.spec.entry is not None:
                        assert (item["boxes"] > 1) == box.spec.entry.repeats
        assert {box.path.partition(".")[0] for box in form} <= {*made.sheet.by_file, *made._rows}

    @pytest.mark.parametrize("typed", NONSENSE)
    def test_nonsense_in_any_reading_is_said_there_and_takes_the_verdict_away(
        self, shared: Make, sheet: str, typed: str
    ) -> None:
        made = shared(sheet)
        said = made.headline.value
        for box in ends_of_tables([box for box in made._all_boxes if box.spec.entry is not None and box.text]):
            before = box.text
            of_mass = box.spec.entry.kind is Mass
            made.set(box.path, "12 m" if typed == "12 kg" and of_mass else typed)  # kg is a mass's own unit
            assert made.fault is None
            assert made.outcome is None
            assert box.path in made.problems
            assert "rotorkit-wrong" in made.message(box.path)
            assert "<script>alert" not in made.message(box.path) + shown(made)
            assert made.headline.value == made.picture.value == ""
            box.put(before)  # worked with the nonsense in the next field: by itself each would take a whole working
        made.work()
        assert made.problems == {}
        assert made.headline.value == said

    def test_every_part_opens_by_its_button_and_follows(self, shared: Make, sheet: str) -> None:
        made = shared(sheet)
        about, said = made.sheet.about, {}
        for button in made.opened.buttons.children:
            button.click()
            said[made.opened.shown] = "".join(
                child.value for child in walk(made.opened.panel) if isinstance(getattr(child, "value", 0), str)
            )
        assert made.fault is None
        words = {
            "How to measure": (about.settles, about.procedure[0], about.sign_convention),
            "Cautions": about.cautions,
            "Calculation": (made.outcome.steps[0].title,),
            "By hand": ("Work a figure on paper",),
            "Note, history": ("nothing in it is ever changed",),
            "Not covered": about.not_covered[:1],
            "Photos": ("keeps no record: nothing can be saved here",),
            "Worksheet": ("a box for each reading",),
        }
        for word, sentences in words.items():
            for sentence in sentences:
                assert sentence.casefold() in unescape(said[word]).casefold(), word
        judged = {"Limits"} if made.sheet.name != "loading" else set()  # by envelopes and the greatest weight
        assert set(said) - {"Recorded run", "Recording"} == {*words, *judged, "Uncertainty", "Practice"}
        made.opened.buttons.children[-1].click()
        assert made.opened.panel.children == (), "pressed again, it closes"
        parts = [made.calculation, made.budget, made.by_hand, made.what_if([])]
        text = said["Uncertainty"]
        # a count is exact
        exact = ("no reading in it has an uncertainty", "a count, which is exact")
        assert "where the uncertainty comes from" in text or any(words in text for words in exact)
        first = next(box for box in made._all_boxes if box.spec.entry is not None and box.text)
        made.set(first.path, "nonsense")
        assert "no verdict at the moment" in parts[0].part.table.value
        assert parts[0].part.math.value == ""


def walk(widget: Any) -> list[Any]:
    return [widget, *(inner for child in getattr(widget, "children", ()) for inner in walk(child))]


def test_a_bare_number_takes_the_unit_beside_the_field(form: Make) -> None:
    made = form("hover_margin")
    made.set("temperature", "95")
    assert made.readings["temperature"] == "95 °F"
    assert "understood: 95 °F = 35.00 °C" in made.message("temperature")
    made.set("humidity", "60")
    assert made.readings["humidity"] == "60 %"
    made.set("temperature", "35 °C")
    assert "35 °C = 95.00 °F" in made.message("temperature")
    assert "± 2 °F (Hangar thermometer)" in made.message("temperature")
    made.set("temperature", "35 ± 1 °C")
    assert "thermometer" not in made.message("temperature").split("<p class")[0]


def test_a_ratio_kept_without_per_cent_means_the_same_in_a_field_of_per_cent(form: Make) -> None:
    made = form("hover_margin")
    made.load({**made.readings, "humidity": "0.55"})
    assert made.get("humidity") == "55 %"
    assert made.readings["humidity"] == "55 %"


def test_several_problems_stand_each_at_its_field(form: Make) -> None:
    made = form("hover_margin")
    made.set("temperature", "warm")
    made.set("gross_weight", "")
    made.set("humidity", "140 %")
    assert set(made.problems) == {"temperature", "gross_weight", "humidity"}
    assert "Still to be filled in" in made.message("gross_weight")
    assert "from 0 % to 100 %" in made.message("humidity")
    assert "Air temperature; Relative humidity" in made.state.value
    assert "Still to be filled in: Gross weight" in made.state.value


def test_a_reading_outside_the_credible_range_is_taken_and_questioned(form: Make) -> None:
    made = form("hover_margin")
    made.set("temperature", "118 °F")
    assert made.outcome is not None
    assert "Check this" in made.message("temperature")
    assert "outside what is usual" not in made.figures.value, "said twice"


def test_rows_are_added_and_removed(form: Make) -> None:
    made = form("blade_angles", "tail_rotor_angles")
    made.add_row("stations", blade="C", position="low stop", reading="1 deg")
    assert made.outcome is None
    assert "stations.6.blade" in made.problems
    assert "not a blade of the tail rotor" in made.message("stations.6.blade")
    made.remove_row("stations", 6)
    assert made.outcome is not None
    made.remove_row("stations", 0)
    assert [row["blade"] for row in made.readings["stations"]] == ["B", "A", "B", "A", "B"]
    assert made._box("stations.0.reading").control.description == "Reading, row 1"
    made.set("stations.0.reading", "nonsense")
    assert list(made.problems) == ["stations.0.reading"]


def test_rows_without_a_reading_follow_the_choice_they_depend_on(form: Make) -> None:
    made = form("blade_angles")
    made.load(made.sheet.start(made.aircraft))
    assert {row["blade"] for row in made.readings["stations"]} == {"white", "yellow"}
    made.set("rotor", "tail rotor")
    assert {row["blade"] for row in made.readings["stations"]} == {"A", "B"}
    made.set("stations.0.reading", "1 deg")
    made.set("rotor", "main rotor")
    assert {row["blade"] for row in made.readings["stations"]} == {"A", "B"}, "readings are never thrown away"


def test_another_checks_readings_come_and_go_with_what_was_typed(form: Make) -> None:
    made = form("cable_tension")
    made.set("temperature", "40 °F")
    made.checks.value = "pedal_right_tension"
    assert made.outcome.word == "out of limits"
    made.checks.value = ""
    assert made.outcome is None
    made.checks.value = "pedal_left_tension"
    assert made.get("temperature") == "40 °F"


def test_a_choice_that_nothing_knows_is_said_there(form: Make) -> None:
    made = form("cable_tension")
    made.load({**made.readings, "cable": "mooring"})
    assert made.get("cable") == "mooring"
    assert "mooring" in made.message("cable")
    assert made.outcome is None


def test_a_key_that_nothing_knows_is_told(form: Make) -> None:
    made = form("hover_margin")
    made.load({**made.readings, "wind": "12 kt"})
    assert made.outcome is None
    assert "wind" in made.state.value


def test_an_unforeseen_error_reaches_the_page_and_is_kept(form: Make, monkeypatch: pytest.MonkeyPatch) -> None:
    made = form("hover_margin")

    def fails(*_: object) -> None:
        raise ZeroDivisionError("division by zero")

    monkeypatch.setattr(made.sheet, "work", fails)
    made.set("temperature", "70 °F")
    assert isinstance(made.fault, ZeroDivisionError)
    assert made.outcome is None
    assert "A fault in rotorkit itself" in made.state.value
    assert "Traceback" not in shown(made)
    assert made.headline.value == made.picture.value == ""
    monkeypatch.undo()
    made.set("temperature", "71 °F")
    assert made.fault is None
    assert made.outcome is not None


def test_a_hand_figure_is_judged_by_its_digits(form: Make) -> None:
    made = form("cable_tension")
    key = made.outcome.findings[0].key
    figure = float(re.findall(r"[\d.]+", made.outcome.findings[0].row()[1])[0])
    assert made.by_hand_figure(key, f"{figure} lb") == "agrees"
    assert made.by_hand_figure(key, f"{figure + 1}") == "differs by less than the readings' ±"
    assert made.by_hand_figure(key, f"{2 * figure:.1f} lb") == "does not agree"
    answer = made._parts["by_hand"].inputs[key][1]
    assert "twice the figure" in answer.value
    assert made.by_hand_figure(key, f"{figure * 4.448222:.0f} lb") == "does not agree"
    assert "The figure is in N, and lbf was written behind it. As it should be:<br>T_2 = " in answer.value
    assert "needs a force" in made.by_hand_figure(key, "12 in")


def test_a_reading_that_is_longer_in_other_units_has_the_room_of_its_line(form: Make) -> None:
    made = form("rotor_brake")

    def long() -> set[str]:
        lines = [line for line in made.fields.children if "long" in line._dom_classes]
        return {line.children[0].value for line in lines}

    before = long()
    assert not any("slug" in text for text in before)
    made.show_in("metric")
    assert long() == {"114 slug*ft^2 ± 4 slug*ft^2", "0.120 slug*ft^2 ± 0.005 slug*ft^2"} | before
    made.show_in("us")
    assert long() == before


def test_a_hand_figure_keeps_the_unit_beside_which_it_was_typed(form: Make) -> None:
    """37.6 was written beside lbf: in metric units, seen at once or when it is saved, it is 37.6 lbf and no 37.6 N."""
    made = form("cable_tension")
    key, *_ = (one.key for one in made.outcome.findings)
    made.by_hand_figure(key, "37.6")
    part = made._parts["by_hand"]
    box, answer = part.inputs[key]
    assert "37.6 lbf is 0.97 lbf from 36.6" in answer.value
    made.show_in("metric")
    assert made._by_hand_figures() == {key: "37.6 lbf"}, "asked for before the part has followed"
    made.by_hand.part._update()
    assert box.value == "37.6 lbf"
    assert "37.6 lbf is 4.3 N from 162.9" in answer.value
    unit = part.lines.children[0].children[1]
    assert ">N<" in unit.value
    box.value = "163"
    assert "163 N agrees" in answer.value
    made.show_in("us")
    made.by_hand.part._update()
    assert (box.value, ">lbf<" in unit.value) == ("163 N", True)


def test_a_hand_figure_is_judged_by_the_uncertainty_as_it_is_now(form: Make, tmp_path: Path) -> None:
    """1.7 lbf off is less than the ± of 2 lbf that a poor gauge gives, and more than that of a better one."""
    for name in ("aircraft.toml", "readings.toml"):
        (tmp_path / name).write_bytes((demo_folder() / name).read_bytes())
    made = open_form("cable_tension", "pedal_left_tension", Folder(tmp_path))
    finding = made.outcome.findings[0]
    figure, _, spread = finding.row()[1].split()[:3]
    assert float(spread) > 1.8
    typed = f"{float(figure) + 1.7:.1f} lbf"
    assert made.by_hand_figure(finding.key, typed) == "differs by less than the readings' ±"
    file = tmp_path / "aircraft.toml"
    poor = file.read_text("utf-8")
    better = poor.replace('riser = "1"\ncable_diameter = "1/8 in"\nuncertainty = "1 lb"', RISER)
    file.write_text(better.replace('uncertainty = "0.5"', 'uncertainty = "0.05"'), "utf-8")
    made.read_again()
    made.by_hand.part._update()
    now = made.outcome.findings[0].row()[1].split()
    assert now[0].startswith(figure), "the same figure"
    assert float(now[2]) < 1.6
    assert "Does not agree." in made._parts["by_hand"].inputs[finding.key][1].value


def test_a_hand_figures_field_says_where_its_figure_was_found(form: Make) -> None:
    made = form("control_travel")
    part = made.by_hand.part
    for path, typed in (("", ""), ("places.4.position", "7 in"), ("places.4.position", "4 in")):
        if path:
            made.set(path, typed)
        part._update()
        titles = [f"By hand: {one.title}" for one in made.outcome.findings if not one.counted]
        assert [box.description for box, _ in part.inputs.values()] == titles


def test_typing_hides_the_verdict_until_a_pause_or_enter(form: Make, monkeypatch: pytest.MonkeyPatch) -> None:
    """In a running kernel: the first key takes the verdict away, Enter or a pause brings the new one."""
    monkeypatch.setattr(clock, "elapsed", time.monotonic)  # here time has to pass

    async def typed() -> None:
        made = form("hover_margin")
        _ = made.calculation
        box = made._box("temperature")
        box.control.value = "9"
        assert made.typing
        assert made.outcome is None
        assert "rotorkit-typing" in made.box._dom_classes
        assert "You are typing: the verdict follows" in made.state.value
        box.control.value = "99 °F"
        await asyncio.sleep(0.05)
        box._message({"event": "submit"})
        assert not made.typing
        assert made.outcome is not None
        assert "rotorkit-typing" not in made.box._dom_classes
        assert made.readings["temperature"] == "99 °F"
        await asyncio.sleep(0.6)
        assert "rotorkit-typing" not in made.calculation._dom_classes
        box.control.value = "98 °F"
        await asyncio.sleep(0.8)
        assert made.outcome is not None
        box._message({"event": "submit"})
        box.control.value = "97 °F"  # a last key press that Enter has overtaken
        assert made.outcome is not None
        assert made.readings["temperature"] == "97 °F"

    asyncio.run(typed())


def test_a_last_key_that_waited_for_a_long_working_belongs_to_it(form: Make, monkeypatch: pytest.MonkeyPatch) -> None:
    """On a slow machine the working that Enter asked for takes longer than a key may be late, and the key waits. What
    is typed into the next field in that time is typing."""
    now = [100.0]
    monkeypatch.setattr(clock, "elapsed", lambda: now[0])

    async def typed() -> None:
        made = form("cable_tension")
        box, work = made._fields["temperature"], made._by_the_files

        def takes_long() -> None:
            work()
            now[0] += 2.0

        made._by_the_files = takes_long  # type: ignore[method-assign]
        box.control.value = "9"
        assert made.typing
        now[0] += 0.1
        box._message({"event": "submit"})
        box.control.value = "97 °F"
        assert not made.typing
        assert made.readings["temperature"] == "97 °F"
        made._box("riser").control.value = "2"
        assert made.typing

    asyncio.run(typed())


def test_figures_and_verdicts_are_shown_before_what_takes_long(form: Make, monkeypatch: pytest.MonkeyPatch) -> None:
    """In a running kernel: the answer comes at once and says what is being worked; no verdict is handed out and nothing
    can be saved before all is there; a key that comes first calls it off."""
    monkeypatch.setattr(clock, "elapsed", time.monotonic)  # here time has to pass

    async def typed() -> None:
        made = form("track_and_balance")
        part, box = made.calculation, made._box("runs.0.amplitude")
        told: list[bool] = []
        made.on_change(lambda one: told.append(one.outcome is None))
        box.control.value = "0.31 in/s"
        box._message({"event": "submit"})
        while not made.unfinished:  # Enter waits a moment for a last key
            await asyncio.sleep(0.002)
        assert made.outcome is None
        assert "What to move is being worked." in made.headline.value
        assert "rotorkit-typing" in part._dom_classes
        assert "rotorkit-typing" not in made.box._dom_classes
        quick = made.picture.value, made.figures.value
        made._entered_at = -1.0  # no last key that Enter has overtaken: one that comes before the rest is worked
        box.control.value = "0.3"
        assert made.typing
        await asyncio.sleep(0.1)
        assert made.outcome is None
        box.control.value = "0.31 in/s"
        for _ in range(2000):  # a busy machine takes its time
            if made.outcome is not None:
                break
            await asyncio.sleep(0.01)
        assert made.outcome is not None
        assert not made.unfinished
        assert "being worked" not in shown(made)
        assert made.picture.value == quick[0]
        assert "Plan" in [step.title for step in made.outcome.steps]
        assert told == [True, True, False]
        # asked to save while it is unfinished, it is finished first
        box.control.value = "0.3 in/s"
        box._message({"event": "submit"})
        while not made.unfinished:
            await asyncio.sleep(0.002)
        assert made.try_saving().state == "saved"
        assert made.outcome is not None

    asyncio.run(typed())


def test_what_is_shown_first_is_what_the_whole_working_gives() -> None:
    folder = Folder(demo_folder())
    slow = [one for one in folder.checks if sheet_type(one.sheet).has_slow_part]
    left_something = set()
    for check in slow:
        sheet = check.made()
        quick, whole = sheet.quickly(folder.aircraft), sheet.work(folder.aircraft)
        assert not whole.unfinished
        if not quick.unfinished:  # such as a hover margin by a quick estimate
            assert [one.row() for one in quick.findings] == [one.row() for one in whole.findings]
            continue
        left_something.add(check.sheet)
        rows = [one.row() for one in whole.findings]
        assert [row for row in rows if row in [one.row() for one in quick.findings]] == [
            one.row() for one in quick.findings
        ]
        assert quick.missing == whole.missing
        assert set(quick.lead) <= set(whole.lead)
        assert {one.title for one in quick.pictures} <= {one.title for one in whole.pictures}
        if quick.unjudged:  # a verdict is among what is worked: nothing is in limits before it is there
            assert quick.word not in (IN_LIMITS, NO_LIMIT)
        else:
            assert (quick.word, quick.lead) == (whole.word, whole.lead)
            assert sum(not one.aside for one in quick.findings) == sum(not one.aside for one in whole.findings)
        with pytest.raises(RecordError, match=f"Still being worked out: {quick.unfinished[0]}"):
            Record(folder).save(check.name, sheet, quick, "", "A. Builder")
    assert left_something == {one.sheet for one in slow}


def test_pictures_that_are_being_worked_stay_pale_and_are_said_to_be_old(
    form: Make, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(clock, "elapsed", time.monotonic)

    async def typed() -> None:
        made = form("pitch_rigging")
        before = made.picture.value
        made._box("stations.0.reading").control.value = "3.1 deg"
        made._box("stations.0.reading")._message({"event": "submit"})
        while not made.unfinished:
            await asyncio.sleep(0.002)
        assert "What to turn is being worked." in made.headline.value
        between = made.picture.value
        assert between.count("<svg") == before.count("<svg")
        # what to turn, and where it is expected to stand by either plan
        assert between.count("Of the readings before: being worked.") == 3
        while made.unfinished:
            await asyncio.sleep(0.002)
        assert made.outcome is not None
        assert "Of the readings before" not in made.picture.value

    asyncio.run(typed())


def test_a_table_that_nearly_fits_beside_the_picture_fits_there(form: Make) -> None:
    """30 pixels of number and of button, 8 between any two; 474 are there beside 430 of picture in a form of 920."""
    for name, fits in (("blade_modes", True), ("coupling_alignment", True), ("chord_balance", False)):
        made = form(name)
        made.turn_to("")
        [table] = made._rows.values()
        columns = [int(one) for one in re.findall(r"minmax\((\d+)px", table._grid)]
        assert (60 + sum(columns) + 8 * (len(columns) + 1) <= 920 - 16 - 430) == fits
        assert ("wide" in made.first._dom_classes) != fits
        assert min(columns) >= (90 if fits else 60)


def test_rows_have_the_room_of_what_stands_in_them(form: Make) -> None:
    """As wide as its letters, at 4.4 pixels a narrow one and 8.1 any other, 20 about them; long ones are told apart."""
    long = 20 + 9 * 13 * 0.34 + 22 * 13 * 0.62
    made = form("blade_modes")
    [table] = made._rows.values()
    assert table.rows[0]["flap"].text == "20,000,000 ± 1,000,000 lbf*in^2"
    columns = [int(one) for one in re.findall(r"minmax\((\d+)px", table._grid)]
    assert columns[2:] == [pytest.approx(long, abs=1)] * 2
    assert table.need == 60 + sum(columns) + 8 * 5
    assert f"folds-{min(step for step in STEPS if step >= table.need)}" in table.box._dom_classes
    for line in (table.head, *table.body.children):
        assert ["rotorkit-broad" in cell._dom_classes for cell in line.children] == [False] * 3 + [True] * 2 + [False]
        assert line.layout.grid_template_columns == table._grid
    made.turn_to("")
    assert table.need < 500
    assert [name for name in table.box._dom_classes if name.startswith("folds-")] == ["folds-480"]
    assert not any("rotorkit-broad" in cell._dom_classes for cell in table.head.children)
    made.load({"sections": [{"ends": "9" * 5000}]})
    assert table.need < 1000, "what is no reading does not take the page"


@pytest.mark.parametrize(
    ("name", "empty", "filled"),
    [
        ("equipment_ledger", {"wide", "tall", "broad"}, {"wide", "tall", "broad"}),  # five lines, eight columns
        ("blade_modes", set(), {"wide", "tall", "broad"}),
        ("ground_resonance", {"wide"}, {"wide"}),  # no line to stand beside the picture
        ("compression", set(), set()),
    ],
)
def test_rows_stand_where_there_is_room_for_them(form: Make, name: str, empty: set[str], filled: set[str]) -> None:
    made = form(name)
    assert set(made.first._dom_classes) - {"rotorkit-first"} == filled
    made.turn_to("")
    assert set(made.first._dom_classes) - {"rotorkit-first"} == empty


def test_listeners_are_told(form: Make) -> None:
    made = form("hover_margin")
    told: list[bool] = []
    made.on_change(lambda it: told.append(it.outcome is not None))
    made.set("temperature", "70 °F")
    made.set("temperature", "warm")
    assert told == [True, False]


def test_a_path_that_is_no_field_is_refused(form: Make) -> None:
    made = form("blade_angles")
    with pytest.raises(KeyError, match=r"no field 'stations\.99\.reading'"):
        made.set("stations.99.reading", "1 deg")
    with pytest.raises(KeyError, match="no field 'weight'"):
        made.get("weight")


def test_an_unknown_sheet_or_check_is_one_plain_message() -> None:
    with pytest.raises(SheetError, match="no sheet is called 'wings'") as raised:
        open_form("wings")
    assert raised.value._render_traceback_() == [f"SheetError: {raised.value}"]  # type: ignore[attr-defined]
    with pytest.raises(SheetError, match="no check 'yesterday'"):
        open_form("hover_margin", "yesterday")


def test_a_faulty_aircraft_file_is_one_plain_message(tmp_path: Path) -> None:
    (tmp_path / "aircraft.toml").write_text("[aircraft]\nname = 3\n", encoding="utf-8")
    with pytest.raises(AircraftFileError) as raised:
        open_folder(tmp_path)
    assert len(raised.value._render_traceback_()) == 1  # type: ignore[attr-defined]


def test_a_recorded_run_is_read_into_the_form_and_taken_back(shared: Callable[[str], Form]) -> None:
    """The demo's run gives the very steps that stand there; wrong stretches are told beside the button."""
    form = shared("mixture")
    assert form._fields["fingerprint"].control.disabled, "nobody types what reading the file writes"
    before = form.readings
    form.opened.toggle("Recorded run")
    panel = form.opened.panel.children[0]
    _, button, bar, told = panel.children
    form.load({**before, "steps": [], "full_flow": "1 gal/h"})
    button.click()
    assert form.readings == before
    assert "<b>Read.</b> ground_run.csv: 1,041 rows. 2 rows hold what cannot be read" in told.value
    assert (bar.value, bar.layout.display) == (100, "none")
    form.undo()
    assert form.readings["full_flow"] == "1 gal/h"
    form.load({**before, "lean_stretch": "<b>noon</b> to 1"})
    changed = form.readings
    button.click()
    assert "<b>Not read.</b> lean_stretch:" in told.value
    assert "<b>noon" not in told.value
    assert form.readings == changed


def test_a_recorded_run_is_read_by_the_aircraft_file_as_it_is_now(
    form: Make, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A panel that was opened before the monitor's columns were said to be in litres, not gallons."""
    for name in ("aircraft.toml", "readings.toml"):
        (tmp_path / name).write_bytes((demo_folder() / name).read_bytes())
    made = open_form("mixture", folder=Folder(tmp_path))
    units: list[str] = []

    def read(_folder: Path, aircraft: Any, _sheet: str, *_more: Any) -> dict[str, str]:
        units.append(aircraft.recorders["panel"].columns["fuel_flow"].unit)
        return {"was_wrong": ""}

    monkeypatch.setattr("rotorkit.notebook.recorded.read_run_into", read)
    made.opened.toggle("Recorded run")
    _, button, _, _ = made.opened.panel.children[0].children
    button.click()
    file = tmp_path / "aircraft.toml"
    file.write_text(file.read_text("utf-8").replace('unit = "gal/h"', 'unit = "L/h"'), "utf-8")
    made.read_again()
    button.click()
    assert units == ["gal/h", "L/h"]


def test_a_recording_of_vibration_is_read_into_the_form_and_taken_back(shared: Callable[[str], Form]) -> None:
    """Behind a button of the form: the demo's recording gives the very orders that stand there."""
    form = shared("vibration_orders")
    before = form.readings
    form.opened.toggle("Recording")
    _, button, bar, told = form.opened.panel.children[0].children
    form.load({**before, "orders": [], "fingerprint": ""})
    button.click()
    assert form.readings["fingerprint"] == before["fingerprint"]
    assert form.readings["orders"][0] == before["orders"][0]
    assert "<b>Read.</b>" in told.value
    assert "1 lost pulse" in told.value
    assert bar.layout.display == "none"
    shown = form.by_file.value
    assert "<summary><b>Read from hover_cabin.csv</b>, fingerprint " in shown
    assert before["fingerprint"] in shown, "whole, where it is opened"
    assert form.by_file_box.layout.display is None
    assert all(box.control not in line.children for line in form.fields.children for box in form._by_file)
    form.forget_button.click()
    kept = {name for name, given in form.readings.items() if given}
    assert not kept & {*form.sheet.by_file, "recording"}
    assert kept == {name for name, given in before.items() if given} - {*form.sheet.by_file, "recording"}
    assert form.by_file_box.layout.display == "none"
    form.undo()
    assert form.readings["fingerprint"] == before["fingerprint"], "never lost"
    assert form.readings["recording"] == before["recording"]
    form.undo()
    assert "fingerprint" not in form.readings, "as it stood before it was read"
    form.load({**before, "recording": "<b>other.csv"})
    button.click()
    assert "<b>Not read.</b> recording:" in told.value
    assert "<b>other" not in told.value
