"""Milestones in the aircraft file: read strictly, with what to write instead."""

import pytest

from rotorkit.aircraft import AircraftFileError, demo_folder, load_aircraft

DEMO = (demo_folder() / "aircraft.toml").read_text(encoding="utf-8")


PLAIN = 'title = "x"\nneeds = [{ check = "a", why = "b" }]'


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ('title = "x"\nneeds = []', "x needs at least one job"),
        ('title = ""\nneeds = [{ check = "a", why = "b" }]', "needs a title"),
        ('title = "x"', "needs is missing"),
        ('title = "x"\nneeds = [{ check = "a" }]', "why is missing"),
        ('title = "x"\nneeds = [{ check = "a", why = " " }]', "needs its reason"),
        ('title = "x"\nneeds = [{ why = "b" }]', "needs either check"),
        ('title = "x"\nneeds = [{ check = "a", sheet = "b", why = "c" }]', "needs either check"),
        ('title = "x"\nneeds = [{ check = "a", of = "tail rotor", why = "c" }]', "goes with sheet"),
        ('title = "x"\nneeds = [{ sheet = "a", of = "tail", why = "c" }]', 'of = "tail" names no rotor, cable'),
        ('title = "x"\nneeds = [{ check = "a", why = "b" }, { check = "a", why = "c" }]', "names a job twice"),
        ('title = "x"\nneeds = [{ check = "a", why = "b" }]\nreached = "May"', "reached"),
        ('title = "x"\nneeds = [{ check = "a", why = "b" }]\ndone = true', "done is not known here"),
        (f"{PLAIN}\n[[milestones]]\n{PLAIN}", "must have different titles"),
    ],
)  # fmt: skip
def test_what_is_wrong_is_said_with_its_line(tmp_path: object, text: str, said: str) -> None:
    file = tmp_path / "aircraft.toml"  # type: ignore[operator]
    file.write_text(f"{DEMO}\n[[milestones]]\n{text}\n", encoding="utf-8")
    with pytest.raises(AircraftFileError, match=said) as caught:
        load_aircraft(file)
    assert "aircraft.toml line" in str(caught.value)
