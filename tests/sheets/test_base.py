"""What every sheet shares: fields, choices, errors at the field, and the way back from what was typed."""

import json
import re
from collections.abc import Iterator
from datetime import date
from typing import Annotated, Any, ClassVar

import pytest
from pydantic import Field

from rotorkit.aircraft import Aircraft, demo_folder
from rotorkit.aircraft.entries import Choice, Entry
from rotorkit.folder.checks import Folder
from rotorkit.judging.limits import IN_LIMITS, NO_LIMIT, OUT_OF_LIMITS, Limit
from rotorkit.judging.measured import measured
from rotorkit.pictures import draw
from rotorkit.quantities import (
    Angle,
    Force,
    Length,
    Mass,
    Power,
    Ratio,
    Reading,
    Stress,
    Temperature,
    display,
    read,
    say,
    use_display,
)  # fmt: skip
from rotorkit.record.by_hand import bare_unit_of
from rotorkit.record.dumps import picture_dump, picture_restored
from rotorkit.sheets.base import About, Finding, Outcome, Row, Sheet, SheetError, bars, judge, plain_step
from rotorkit.sheets.catalogue import sheet_names, sheet_type
from rotorkit.sources import COMMON_PRACTICE
from tests.sheets.as_it_stands import AIRCRAFT, CHECKS, as_it_stands

METRIC = AIRCRAFT.model_copy(update={"aircraft": AIRCRAFT.aircraft.model_copy(update={"display": "metric"})})
EXACT = (
    *("witness.", "threads.", "pulley.", "corners_", "cable_size", "strength_margin"),
    "switch",  # a count: the ignitions that fire on
    *(
        "overruns",
        "locks",
        "needles",
        "metal",
        "seats",
        "feel",
        "yokes",
    ),  # counts of what was seen: a clutch, the oil, seats and joints
    "looks",  # likewise, at the belts
    "shaft.",  # a speed by the aircraft file's own figures
    "condition",  # the condition number tells how far uncertainties grow; it has none, and no limit (checked below)
    *("airspeed_limit_", "glide_speed_"),  # an airspeed to be flown, as set: the manual's limit, the glide's
)
INSIDE = ".inside"
_RULES, _TITLE_14 = "FAA AC 43.13-1B", "US Code of Federal Regulations, title 14"
_FUEL_RULE = "14 CFR 23.955 (older text): {} of the need, {}"
BY_RULE = {
    "witness": ("US Army TM 1-1500-204-23-1",),
    "threads": (_RULES,),
    **dict.fromkeys(["pulley", "fairlead", "cable_size", "corners_tried", "corners_faulty"], (_TITLE_14,)),
    "share": (_FUEL_RULE.format("150 %", "gravity"), _FUEL_RULE.format("125 %", "pump")),
    "switch": ("physics: a live engine may start by hand",),
    **dict.fromkeys(["overruns", "needles"], ("physics: a clutch that drags",)),
    "locks": ("physics: a clutch that slips",),
    "seats": ("physics: what moves under load",),
    "feel": ("physics: a joint with play",),
    "yokes": ("physics: a quarter turn apart",),
    "looks": ("common practice (no source): a torn belt fails",),
    "metal": ("common practice (no source): a flake means a part is breaking up",),
    **dict.fromkeys(["off_high", "off_low", "on_high", "on_low", "held_on"], ("14 CFR 27.1509",)),
    "monoxide": ("14 CFR 27.831(b): one part in 20,000",),
}
"""Findings that are judged by a published rule, whatever the aircraft."""
BY_FIGURE = {"aircraft file, [weights]": lambda: AIRCRAFT.weights.maximum}
"""Limits that are a figure of the aircraft file itself, by the place that their source names: the high side, alone."""
SHEETS = [sheet_type(name) for name in sheet_names()]
WORKED: set[tuple[str, str]] = set()
"""Readings, by their sheet, that were worked with nonsense among them."""


class Line(Row):
    blade: str = ""
    reading: Annotated[Reading | None, Entry(Angle, physical=("-45 deg", "45 deg"))] = None


@pytest.fixture
def sample() -> Iterator[type[Sheet]]:
    """A small sheet, taken out of the table of sheets afterwards."""

    class Sample(Sheet):
        name: ClassVar[str] = "sample"
        about: ClassVar[About] = About("Sample", "", "", (), (), "", (), ())
        weight: Annotated[Reading, Entry(Mass, credible=("1 lb", "10 lb"), by="scale")]
        share: Annotated[Reading, Entry(Ratio)] = Field("50 %")  # type: ignore[assignment]
        scale: Annotated[str, Choice("instruments", measures="mass")] = ""
        lines: list[Line] = Field(default_factory=list)

        def _work(self, aircraft: Aircraft) -> Outcome:
            return Outcome("Sample", [], [])

    yield Sample
    del Sheet.kinds["sample"]


def test_a_sheet_made_from_another_one_is_found_by_its_own_name(sample: type[Sheet]) -> None:
    class Another(sample):  # type: ignore[misc, valid-type]
        name: ClassVar[str] = "another"

    assert Sheet.kinds.pop("another") is Another
    assert Sheet.kinds["sample"] is sample


@pytest.mark.parametrize("sheet", SHEETS, ids=lambda sheet: sheet.name)
class TestEverySheet:
    def test_says_what_it_is_for(self, sheet: type[Sheet]) -> None:
        about = sheet.about
        for part in (about.title, about.settles, about.when, about.sign_convention):
            assert part.strip()
        for parts in (about.tools, about.procedure, about.cautions, about.not_covered):
            assert parts
            assert all(isinstance(part, str) and part.strip() for part in parts)

    def test_every_field_has_a_title_and_every_reading_says_how_it_is_taken(self, sheet: type[Sheet]) -> None:
        rows = [column for one in sheet.fields() if one.row for column in one.row.fields()]
        for one in [*sheet.fields(), *rows]:
            assert one.title[0].isupper()
            assert one.entry is None or one.how.endswith("."), one.name
            assert (one.entry is not None) + (one.choice is not None) + (one.row is not None) <= 1

    def test_titles_tell_the_fields_apart(self, sheet: type[Sheet]) -> None:
        titles = [one.title for one in sheet.fields()]
        assert len(set(titles)) == len(titles)

    def test_an_instrument_field_asks_for_what_it_measures(self, sheet: type[Sheet]) -> None:
        for one in sheet.fields():
            if one.choice and one.choice.of == "instruments":
                assert AIRCRAFT.choices("instruments", one.choice.measures), f"the demo has none for {one.name}"

    def test_a_reading_names_an_instrument_field_that_is_there(self, sheet: type[Sheet]) -> None:
        names = {one.name for one in sheet.fields() if one.choice and one.choice.of == "instruments"}
        rows = [column for one in sheet.fields() if one.row for column in one.row.fields()]
        assert {one.entry.by for one in [*sheet.fields(), *rows] if one.entry and one.entry.by} <= names

    def test_only_an_instrument_that_alone_fits_is_chosen(self, sheet: type[Sheet]) -> None:
        start = sheet.start(AIRCRAFT)
        for one in sheet.fields():
            if one.choice and one.choice.of == "instruments":
                fitting = [k for k, has in AIRCRAFT.instruments.items() if has.measures == one.choice.measures]
                assert start[one.name] == (fitting[0] if len(fitting) == 1 else ""), one.name

    def test_starts_without_a_reading(self, sheet: type[Sheet]) -> None:
        start = sheet.start(AIRCRAFT)
        assert sheet.is_blank(start)
        assert set(start) <= set(sheet.model_fields)

    def test_an_empty_form_is_answered_at_the_field(self, sheet: type[Sheet]) -> None:
        with pytest.raises(SheetError) as refusal:
            sheet.from_readings(sheet.start(AIRCRAFT)).work(AIRCRAFT)
        assert refusal.value.problems
        for path, message in refusal.value.problems:
            assert path.split(".")[0] in sheet.model_fields, f"{path}: {message}"

    @pytest.mark.parametrize(
        "junk",
        [
            "",
            " ",
            "x",
            "9" * 5000,
            "1e999 lb",
            "nan",
            "-inf ft",
            "\x00",
            "\u202e9.5 deg",
            "__import__('os')",
            "9**9**9",
        ],
    )
    def test_nonsense_in_any_field_is_answered_in_words(self, sheet: type[Sheet], junk: str) -> None:
        good = next(check for check in CHECKS if check.sheet == sheet.name).readings
        for one in sheet.fields():
            if one.row is None:
                readings = {**good, one.name: junk}
            else:
                first, *rest = good.get(one.name) or [{}]
                if junk.strip():  # what cannot be read is refused before the rows beside it count
                    rest = []
                for column in one.row.fields():
                    self.answered(sheet, {**good, one.name: [{**first, column.name: junk}, *rest]})
                continue
            self.answered(sheet, readings)

    def answered(self, sheet: type[Sheet], readings: dict[str, Any]) -> None:
        """What reads as something that was worked already, such as a space as nothing at all, is not worked again."""
        try:
            made = sheet.from_readings(readings)
            read = sheet.name, repr(made.readings())
            if read not in WORKED:
                WORKED.add(read)
                made.work(AIRCRAFT)
        except SheetError as refusal:
            for _, message in refusal.problems:
                assert message.strip()
                assert len(message) < 400, message
                assert not re.search(r"Traceback|validation error|NoneType|object at 0x", message)


@pytest.mark.parametrize("check", CHECKS, ids=lambda check: check.name)
class TestEveryDemoCheck:
    def test_its_readings_give_the_same_sheet_again(self, check: Any) -> None:
        made = check.made()
        again = type(made).from_readings(made.readings())
        assert again.readings() == made.readings()
        first, second = as_it_stands(check.name), again.work(AIRCRAFT)
        assert [found.row() for found in first.findings] == [found.row() for found in second.findings]

    def test_is_read_as_the_record_writes_it(self, check: Any) -> None:
        import json

        made = check.made()
        assert type(made).from_readings(json.loads(json.dumps(made.readings()))).readings() == made.readings()

    def test_its_keys_are_those_of_no_other_finding(self, check: Any) -> None:
        outcome = as_it_stands(check.name)
        keys = [found.key for found in outcome.findings]
        assert len(set(keys)) == len(keys)
        assert outcome.finding(keys[0]).key == keys[0]
        with pytest.raises(KeyError, match="no finding 'nothing': there are"):
            outcome.finding("nothing")

    def test_every_figure_has_an_uncertainty_and_every_step_a_source(self, check: Any) -> None:
        """But for counts of what was seen, and figures from drawing and table alone."""
        outcome = as_it_stands(check.name)
        for found in outcome.findings:
            if found.key.endswith(INSIDE):  # a share of the flight: judged by what its envelope's margins are sure of
                margins = [one for one in outcome.findings if one.key.startswith(found.key.removesuffix("inside"))]
                margins = [one for one in margins if one is not found]
                assert margins, found.title
                assert all(one.measured.standard_si > 0 for one in margins), found.title
                continue
            assert found.measured.standard_si > 0 or found.key.startswith(EXACT), found.title
            if found.key == "condition":
                assert found.aside
                assert found.verdict.word == NO_LIMIT
        for step in outcome.steps:
            assert str(step.citation).strip(), step.title

    def test_every_step_says_what_it_comes_to_under_a_title_of_its_own(self, check: Any) -> None:
        """In figures, and where it gives a finding in the unit in which the table says it."""
        outcome = as_it_stands(check.name)
        titles = [step.title for step in outcome.steps]
        assert len(set(titles)) == len(titles)
        units = {(float(one.measured.si), one.measured.kind.name): one.unit("us") for one in outcome.findings}
        for step in outcome.steps:
            assert not re.search(r"\\text\{[^}]*(?<!\\)&", step.latex), "a column mark within words is not set"
            said, value = " ".join(line.text for line in step.lines), step.value
            unit = units.get((float(value.si), value.kind.name))
            if step.title.startswith(("Scatter of", "Plan", "Orifice for")):  # to fewer digits, in words
                continue
            worked = any(line.part == "result" for line in step.lines)
            number, _, label = say(value, unit).replace("°", " °").partition(" ")
            # an exact result of a formula is said to as many digits as it has
            assert number in said or (worked and not value.standard_si), (step.title, said)
            assert not (unit and worked) or label.split(" ")[-1] in said, (step.title, said)

    def test_what_limits_stand_in_the_aircraft_file_are_those_judged_by(self, check: Any) -> None:
        for found in as_it_stands(check.name).findings:
            if found.verdict.word != NO_LIMIT:
                assert found.verdict.limit is not None
                if figure := BY_FIGURE.get(found.verdict.limit.source):
                    assert found.verdict.limit.low is None
                    assert found.verdict.limit.high == figure()
                    continue
                assert found.verdict.limit.source.startswith(("demo ", *BY_RULE.get(found.key.split(".")[0], ())))

    def test_says_the_same_in_metric_units(self, check: Any) -> None:
        """Whatever the display in force, the units are those of the aircraft, from the working to the last row said."""
        us, metric = as_it_stands(check.name), check.outcome(METRIC)
        said = " ".join(part for found in metric.findings for part in (*found.row()[1:], found.verdict.settle))
        assert [found.verdict.word for found in us.findings] == [found.verdict.word for found in metric.findings]
        assert not re.search(r"\d (lb|lbf|ft|hp|in|°F)\b", said), said


class TestFields:
    def test_a_row_and_a_default(self, sample: type[Sheet]) -> None:
        weight, share, scale, lines = sample.fields()
        assert weight.required
        assert weight.entry is not None
        assert not share.required
        assert scale.choice is not None
        assert lines.row is Line
        assert [column.name for column in Line.fields()] == ["blade", "reading"]

    def test_blank_or_not(self, sample: type[Sheet]) -> None:
        for blank in (
            {},
            {"weight": ""},
            {"weight": " ", "share": "50 %", "scale": "scales"},
            {"lines": []},
            {"lines": [{"blade": "A", "reading": ""}]},
        ):
            assert sample.is_blank(blank), blank
        for filled in (
            {"weight": "3 lb"},
            {"weight": 0},
            {"share": "40 %"},
            {"lines": [{"reading": "1 deg"}]},
            {"weihgt": ""},
            {"lines": ["x"]},
        ):
            assert not sample.is_blank(filled), filled

    def test_problems_come_with_their_path_and_all_at_once(self, sample: type[Sheet]) -> None:
        with pytest.raises(SheetError) as refusal:
            sample.from_readings({"weight": "3 ft", "lines": [{}, {"reading": "50 deg"}], "scael": "x"})
        assert [path for path, _ in refusal.value.problems] == ["weight", "lines.1.reading", "scael"]
        assert "did you mean scale?" in str(refusal.value)

    def test_doubts(self, sample: type[Sheet]) -> None:
        ((path, sentence),) = sample.from_readings({"weight": "30 lb"}).doubts()
        assert path == "weight"
        assert "outside what is usual" in sentence


class TestInstruments:
    def test_the_reading_takes_the_uncertainty_of_the_instrument_named(self, sample: type[Sheet]) -> None:
        made = sample.from_readings({"weight": "10 lb", "scale": "scales"})
        assert made.measured("weight", "weight", AIRCRAFT).expanded.m_as("lb") == pytest.approx(0.05)

    def test_one_typed_with_the_reading_stands_in_its_place(self, sample: type[Sheet]) -> None:
        made = sample.from_readings({"weight": "10 ± 1 lb", "scale": "scales"})
        assert made.measured("weight", "weight", AIRCRAFT).expanded.m_as("lb") == pytest.approx(1)

    def test_none_named_is_none_known(self, sample: type[Sheet]) -> None:
        assert sample.from_readings({"weight": "10 lb"}).measured("weight", "weight", AIRCRAFT).standard_si == 0

    def test_none_named_is_said_first(self, sample: type[Sheet]) -> None:
        """Unless ± was typed, which then stands for the instrument's."""
        (said,) = sample.from_readings({"weight": "10 lb"}).work(AIRCRAFT).first
        assert said.startswith('No instrument is named for "Weight": taken as exact')
        for readings in ({"weight": "10 lb", "scale": "scales"}, {"weight": "10 ± 1 lb"}):
            assert sample.from_readings(readings).work(AIRCRAFT).first == []

    def test_a_rotor_speed_without_its_tachometer_calms_nobody(self) -> None:
        """Without its ± a time to the lowest rotor speed that was too close to call is in limits: that is said."""
        check = Folder(demo_folder()).first("autorotation")
        assert check is not None
        sheet = sheet_type("autorotation").from_readings({**check.readings, "tachometer": "", "scale": ""})
        (said,) = [one for one in sheet.work(AIRCRAFT).first if "taken as exact" in one]
        assert '"Gross weight" and "Rotor speed"' in said
        assert "less certain than it says" in said

    @pytest.mark.parametrize(
        ("key", "told"),
        [
            ("scale", "for mass in the aircraft file; defined: scales"),
            ("altimeter", "needs an instrument for mass"),
        ],
    )
    def test_a_wrong_one_is_told_at_its_field(self, sample: type[Sheet], key: str, told: str) -> None:
        made = sample.from_readings({"weight": "10 lb", "scale": key})
        with pytest.raises(SheetError) as refusal:
            made.measured("weight", "weight", AIRCRAFT)
        ((path, message),) = refusal.value.problems
        assert path == "scale"
        assert told in message

    def test_a_calibration_past_its_day_is_told(self, sample: type[Sheet]) -> None:
        made = sample.from_readings({"weight": "10 lb", "scale": "scales"})
        assert made.calibrations_overdue(AIRCRAFT, date(2027, 5, 30)) == []
        assert "Three floor scales" in made.calibrations_overdue(AIRCRAFT, date(2027, 5, 31))[0]


class TestFindings:
    LIMIT = Limit("tension", Force, "42 lb", "52 lb", "manual 7-12", "lbf")

    def test_a_row_of_the_table(self) -> None:
        found = Finding("t", "Tension", judge(self.LIMIT, measured("48 ± 2 lb", Force, "gauge"), "tension"))
        assert found.row() == ("Tension", "48.0 ± 2.0 lbf", "42 lbf to 52 lbf (manual 7-12)", IN_LIMITS)
        try:
            use_display("metric")
            assert found.row() == ("Tension", "213.5 ± 8.9 N", "186.8 N to 231.3 N (manual 7-12)", IN_LIMITS)
        finally:
            use_display("us")

    def test_without_a_limit_it_is_a_figure_and_says_so(self) -> None:
        found = Finding("t", "Tension", judge(None, measured("48 ± 2 lb", Force, "gauge"), "tension"))
        assert found.row()[2:] == ("none given", NO_LIMIT)

    def test_the_worst_word_leaves_out_what_is_told_aside(self) -> None:
        inside = Finding("a", "A", judge(self.LIMIT, measured("48 ± 2 lb", Force, "g"), "t"))
        outside = Finding("b", "B", judge(self.LIMIT, measured("60 ± 2 lb", Force, "g"), "t"))
        aside = Finding("c", "C", judge(None, measured("60 ± 2 lb", Force, "g"), "t"), aside=True)
        assert Outcome("", [inside, aside], []).word == IN_LIMITS
        assert Outcome("", [inside, outside, aside], []).word == OUT_OF_LIMITS
        assert Outcome("", [], []).word == NO_LIMIT

    def test_bars_hold_only_what_has_a_limit_in_the_units_of_the_display(self) -> None:
        with_limit = Finding("a", "A", judge(self.LIMIT, measured("48 ± 2 lb", Force, "g"), "t"))
        without = Finding("c", "C", judge(None, measured("60 ± 2 lb", Force, "g"), "t"))
        (row,) = bars("Title", [with_limit, without], "us").rows
        assert (row.label, row.unit, row.word) == ("A", "lbf", IN_LIMITS)
        assert (row.value, row.spread, row.low, row.high) == pytest.approx((48, 2, 42, 52))
        (row,) = bars("Title", [with_limit], "metric").rows
        assert row.unit == "N"
        assert row.low == pytest.approx(42 * 4.4482216152605)

    def test_bars_of_a_temperature_keep_the_size_of_the_uncertainty(self) -> None:
        limit = Limit("t", Temperature, "60 °F", "80 °F", "x", "degF")
        (row,) = bars(
            "", [Finding("a", "A", judge(limit, measured("70 ± 2 °F", Temperature, "t"), "t"))], "metric"
        ).rows
        assert (row.value, row.spread) == pytest.approx((21.111, 1.1111), abs=1e-3)
        assert row.low == pytest.approx(15.5556, abs=1e-3)

    def test_bars_of_one_side(self) -> None:
        limit = Limit("t", Length, None, "0.3 in", "x", "in")
        (row,) = bars("", [Finding("a", "A", judge(limit, measured("0.2 ± 0.05 in", Length, "t"), "t"))], "us").rows
        assert (row.low, row.high) == (None, pytest.approx(0.3))

    def test_a_plain_step_keeps_its_text_and_source(self) -> None:
        step = plain_step(
            "Mean of repeats", ["5 % of {a}_b & #1"], measured("1 ± 0.1", Ratio, "x"), COMMON_PRACTICE.at("mean")
        )
        assert "5 % of {a}_b & #1" in step.text
        assert "common practice" in str(step.citation)


def test_sheets_are_found_by_their_files() -> None:
    assert {"blade_angles", "cable_tension", "hover_margin", "pitch_rigging", "push_pull_tubes"} <= set(sheet_names())
    with pytest.raises(
        SheetError, match=r"no sheet is called 'x': there are .*blade_angles, blade_modes, cable_rigging"
    ):
        sheet_type("x")


def test_nothing_is_calm_while_something_is_worked() -> None:
    assert "is being worked" not in Outcome("A job", [], []).to_do
    assert Outcome("A job", [], [], unfinished=("what to move",)).to_do.endswith("What to move is being worked.")


def test_a_picture_and_a_hand_figure_speak_the_unit_of_the_table() -> None:
    """A share whose limit was typed in per cent is per cent everywhere; a limit in pounds is newtons on a metric face.

    By plain arithmetic: 0.0106 is 1.06 %; 40 lbf are 40 * 4.4482216 = 177.9 N.
    """
    share = Finding(
        "share", "Share", Limit("share", Ratio, high="2 %").judge(measured("1.06 % ± 0.10 %", Ratio, "share"))
    )
    assert share.row()[1:3] == ("1.06 ± 0.10 %", "at most 2 % ()")
    assert share.unit("us") == share.unit("metric") == "%"
    (row,) = bars("", [share], "us").rows
    assert (row.value, row.high, row.unit) == (pytest.approx(1.06), pytest.approx(2.0), "%")
    pull = Finding(
        "pull", "Pull", Limit("pull", Force, high="40 lb", unit="lb").judge(measured("35 ± 1 lb", Force, "pull"))
    )
    assert bare_unit_of(pull, "us") == "lb"
    assert bare_unit_of(pull, "metric") == "N"
    with display("metric"):
        assert pull.verdict.limit is not None
        assert pull.verdict.limit.text == "at most 177.9 N"


def test_one_sheet_is_found_without_the_others() -> None:
    """In a program that has loaded none: by its file; a name that is none's is told as ever."""
    from rotorkit.sheets.base import SUBJECTS, Sheet, kind_named

    for name in sheet_names():  # each sheet's file bears its name
        assert Sheet.kinds[name].__module__ in [f"rotorkit.sheets.{subject}.{name}" for subject in SUBJECTS]
        assert kind_named(name) is Sheet.kinds[name]
    for name in ("margins", "no_such", "", "../x", "a.b", "__init__"):  # files that hold no sheet, and no files
        assert kind_named(name) is None


@pytest.mark.parametrize(
    ("kind", "high"),
    [(Stress, "12000 psi"), (Stress, "12,345 psi"), (Force, "40 lb"), (Length, "0.008 in"), (Power, "10 hp"),
     (Force, "271828 lb"), (Length, "3.1416 ft"), (Stress, "82.7371 MPa"), (Ratio, "0"), (Temperature, "-40.55 °F")],
)  # fmt: skip
@pytest.mark.parametrize("system", ["us", "metric"])
def test_a_picture_says_a_limit_as_the_text_beside_it(kind: object, high: str, system: str) -> None:
    limit = Limit("it", kind, high=high)
    with display(system):
        finding = Finding("it", "It", limit.judge(measured(high, kind, "read")), system=system)
        drawn = bars("", [finding], system)
        text = finding.row()[2].partition(" (")[0]
    assert text in draw(drawn), text
    (row,) = drawn.rows
    assert row.high is not None
    assert limit.high_si == pytest.approx(read(f"{row.high!r} {row.unit}", limit.kind).si, rel=1e-14), "exact"
    again = picture_restored(json.loads(json.dumps(picture_dump(drawn))))
    assert draw(again) == draw(drawn), "the record says it alike"
