"""Entries: what a field takes, how it is held within its bounds, and what is said of what it does not take."""

from typing import Annotated, Any

import pytest
from pydantic import Field, ValidationError

from rotorkit.aircraft.entries import Choice, Entry, LimitEntry, NeededText, Readings, Section, as_date, message_of
from rotorkit.judging.limits import Limit
from rotorkit.quantities import Angle, Force, Length, QuantityError, Ratio, Reading, Temperature, Time, assert_quantity


class Inner(Section):
    tension: Annotated[Limit | None, LimitEntry(Force, "cable tension", "lbf")] = None


class Sample(Section):
    length: Annotated[Reading, Entry(Length, ("in", "mm"), ("0 in", "10 ft"), ("1 in", "1 ft"))]
    share: Annotated[Reading, Entry(Ratio, physical=("0", "1"))] = Field("50 %")  # type: ignore[assignment]
    angles: Annotated[Readings | None, Entry(Angle, ("deg", "deg"), ("-45 deg", "45 deg"), repeats=True)] = None
    colour: Annotated[str, Choice(options=("red", "blue"))] = "red"
    name: NeededText = "x"
    inner: Inner = Inner()


def told(**given: Any) -> list[tuple[str, str]]:
    with pytest.raises(ValidationError) as refusal:
        Sample.model_validate({"length": "3 in"} | given)
    return [(".".join(map(str, e["loc"])), message_of(e, Sample)) for e in refusal.value.errors()]


class TestEntry:
    def test_reads_text_in_the_light_of_its_kind(self) -> None:
        sample = Sample.model_validate({"length": "2 5/16 in", "share": "94 %"})
        assert_quantity(sample.length.value, "2.3125 in")
        assert_quantity(sample.share.value, "0.94")

    def test_a_ratio_may_be_a_number(self) -> None:
        assert_quantity(Sample.model_validate({"length": "3 in", "share": 0.25}).share.value, "0.25")

    def test_repeats_stand_between_semicolons(self) -> None:
        sample = Sample.model_validate({"length": "3 in", "angles": "9.8; 9.9; -9.7 deg"})
        assert sample.angles is not None
        assert [round(float(r.value.m_as("deg")), 9) for r in sample.angles] == [9.8, 9.9, -9.7]
        assert sample.model_dump()["angles"] == "9.8; 9.9; -9.7 deg"

    @pytest.mark.parametrize("blank", [None, "", "  ", "\n"])
    def test_an_optional_one_may_be_blank(self, blank: Any) -> None:
        assert Sample.model_validate({"length": "3 in", "angles": blank}).angles is None

    def test_what_was_typed_is_kept_and_gives_the_same_again(self) -> None:
        sample = Sample.model_validate({"length": "2 5/16 in", "angles": "1; 2 deg"})
        dumped = sample.model_dump()
        assert dumped["length"] == "2 5/16 in"
        assert Sample.model_validate(dumped).model_dump() == dumped

    @pytest.mark.parametrize(
        ("given", "message"),
        [
            ("3 lb", "needs a length, got '3 lb', which is a mass"),
            ("-1 in", "must be from 0 in to 10 ft, got -1 in"),
            ("11 ft", "must be from 0 in to 10 ft, got 11 ft"),
            ("3", "3"),
            (3, "needs a length with its unit as text, got the bare number 3"),
            (float("nan"), "needs a length with its unit as text"),
            (True, "needs a length as text"),
            (["3 in"], 'needs a length as text, for example "11 ft 8 in", got a list'),
            ({"in": 3}, "got a table"),
            ("", "is not filled in yet: write a length with its unit (in or mm)"),
        ],
    )
    def test_says_what_it_needs(self, given: Any, message: str) -> None:
        ((place, said),) = told(length=given)
        assert place == "length"
        assert message in said

    def test_an_interval_is_no_ratio(self) -> None:
        assert told(share="") == [("share", 'is not filled in yet: write a ratio, such as "0.75", "75 %" or "6:1"')]
        assert "must be from 0 to 1, got 94" in told(share=94)[0][1]

    def test_each_repeat_is_held_within_the_bounds(self) -> None:
        assert "must be from -45 deg to 45 deg" in told(angles="9; 91 deg")[0][1]

    def test_a_bound_met_exactly_in_another_unit_is_met(self) -> None:
        for text in ("10 ft", "120 in", "3.048 m", "304.8 cm", "3048 mm", "0 mm"):
            Sample.model_validate({"length": text})

    def test_a_bound_in_degrees_of_another_scale(self) -> None:
        entry = Entry(Temperature, ("°F", "°C"), ("-40 °F", "122 °F"))
        for text in ("-40 °C", "50 °C", "323.15 K"):
            entry.read(text)
        with pytest.raises(QuantityError):
            entry.read("50.01 °C")

    def test_outside_the_credible_range_is_questioned_and_not_refused(self) -> None:
        entry = Entry(Length, ("in", "mm"), ("0 in", "10 ft"), ("1 in", "1 ft"))
        assert entry.doubt(entry.read("6 in")) == ""
        assert "5 ft is outside what is usual here (from 1 in to 1 ft)" in entry.doubt(entry.read("5 ft"))
        assert entry.doubt(None) == ""

    def test_the_unit_beside_the_field_follows_the_display(self) -> None:
        entry = Entry(Length, ("in", "mm"))
        assert (entry.shown_unit("us"), entry.shown_unit("metric")) == ("in", "mm")
        assert Entry(Force).shown_unit("us") == "lbf"

    def test_a_bare_number_takes_the_unit_only_where_the_form_shows_one(self) -> None:
        assert_quantity(Entry(Length, ("in", "mm")).read("3", "in").value, "3.00 in")
        with pytest.raises(QuantityError):
            Entry(Length, ("in", "mm")).read("3")


class TestOthers:
    def test_a_choice(self) -> None:
        assert told(colour="green") == [("colour", 'does not know "green": write "red" or "blue"')]
        assert told(colour="") == [("colour", 'is not filled in yet: write "red" or "blue"')]
        assert "does not know 3" in told(colour=3)[0][1]

    def test_needed_text(self) -> None:
        assert told(name=" ") == [("name", "is not filled in yet")]
        assert told(name=3) == [("name", "needs text in quotes, got 3")]

    def test_an_unknown_key(self) -> None:
        assert told(lenght="1 in") == [("lenght", "is not known here: did you mean length?")]
        assert told(zzz=1) == [("zzz", "is not known here: here stand length, share, angles, colour, name, inner")]
        assert told(inner={"tensoin": {}}) == [("inner.tensoin", "is not known here: did you mean tension?")]

    def test_a_missing_key(self) -> None:
        with pytest.raises(ValidationError) as refusal:
            Sample.model_validate({})
        assert [message_of(e, Sample) for e in refusal.value.errors()] == ["is missing"]

    @pytest.mark.parametrize("blank", [None, {}, {"low": ""}, {"low": " ", "high": "", "source": ""}])
    def test_a_blank_limit_is_none(self, blank: Any) -> None:
        assert Sample.model_validate({"length": "3 in", "inner": {"tension": blank}}).inner.tension is None

    @pytest.mark.parametrize(
        ("given", "message"),
        [
            ({"low": "42 lb", "source": "7-12", "hi": "52 lb"}, "does not know hi"),
            ({"low": "52 lb", "high": "42 lb", "source": "7-12"}, "upside down"),
            ({"low": "42 ft", "source": "7-12"}, "low needs a force"),
            ({"low": 42, "source": "7-12"}, 'low needs a force, for example "35 lb" as text, got 42'),
            ({"low": "42 lb"}, "needs its source"),
            ({"low": "42 lb", "source": 7}, "needs its source"),
            ({"source": "7-12"}, "needs low or high"),
            ({"low": None, "high": None, "source": "x"}, "low needs a force"),
            ("42 lb", "needs a table"),
            ([], "got a list"),
            ({"lo": ""}, "does not know lo"),
        ],
    )
    def test_a_limit(self, given: Any, message: str) -> None:
        ((place, said),) = told(inner={"tension": given})
        assert place == "inner.tension"
        assert message in said

    def test_a_limit_gives_itself_again(self) -> None:
        given = {"low": "42 lb", "high": "52 lb", "source": "7-12"}
        sample = Sample.model_validate({"length": "3 in", "inner": {"tension": given}})
        assert sample.model_dump()["inner"]["tension"] == given

    @pytest.mark.parametrize(
        ("kind", "unit", "typical"),
        [(Angle, ("turn", "turn"), "9.5 turn"), (Time, ("h", "h"), "12 h"), (Length, ("in", "mm"), "11 in"),
         (Length, None, "11 ft 8 in")],
    )  # fmt: skip
    def test_the_example_is_in_the_fields_own_unit(self, kind: Any, unit: Any, typical: str) -> None:
        entry = Entry(kind, unit)
        with pytest.raises(QuantityError, match=f"type for example '{typical}'$"):
            entry.read("about a banana")
        assert entry.read(typical)

    def test_a_date(self) -> None:
        assert str(as_date(" 2026-05-31 ")) == "2026-05-31"
        assert as_date("") is None
        with pytest.raises(ValueError, match=r'needs a date, for example 2026-05-31, got "31\.5\.2026"'):
            as_date("31.5.2026")
