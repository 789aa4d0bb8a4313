"""Milestones: the steps towards a flying aircraft, and the jobs that each needs first, with the reason.

The builder's own stand in the aircraft file::

    [[milestones]]
    title = "First rotor turn"
    needs = [
        { sheet = "blade_angles", of = "tail rotor", why = "the pedals must give thrust both ways" },
        { check = "pedal_left_tension", why = "a slack cable lets the pitch wander" },
    ]

Where the file gives none, the usual ones hold (`rotorkit.sheets.programme`), with the jobs that the sheets say belong
to them.
"""

from __future__ import annotations

from datetime import date

from pydantic import field_validator, model_validator

from rotorkit.aircraft.entries import Section, as_date

USUAL_MILESTONES = (
    "First engine run",
    "First rotor turn",
    "First hover",
    "First flight out of ground effect",
    "End of the test phase",
)
"""The usual milestones, in order (common practice, no source)."""


class Need(Section):
    """A job that a milestone needs.

    Named by its check ("pedal_left_tension"), or by its sheet ("cable_tension") and, where the sheet is for one rotor
    or one cable, of which ("tail rotor", "pedal_left"): then any check of that sheet will do, and the latest counts.
    """

    check: str = ""
    sheet: str = ""
    of: str = ""
    why: str

    @model_validator(mode="after")
    def _one_name(self) -> Need:
        if bool(self.check) == bool(self.sheet):
            raise ValueError('needs either check = "its name" or sheet = "its sheet", and not both')
        if self.of and not self.sheet:
            raise ValueError('of = "…" goes with sheet = "…": a check already is of one thing')
        if not self.why.strip():
            raise ValueError('needs its reason, for the one who reads the board: why = "…"')
        return self

    @property
    def name(self) -> str:
        """The job's name: the check, or the sheet and what it is of."""
        return self.check or (f"{self.sheet}: {self.of}" if self.of else self.sheet)


class Milestone(Section):
    """A milestone. reached: the day, once it is behind; then the next one counts."""

    title: str
    needs: list[Need]
    reached: date | None = None

    @field_validator("reached", mode="before")
    @classmethod
    def _day(cls, given: object) -> object:
        return as_date(given)

    @model_validator(mode="after")
    def _some(self) -> Milestone:
        if not self.title.strip():
            raise ValueError("needs a title")
        if not self.needs:
            raise ValueError(f'{self.title} needs at least one job: needs = [ {{ sheet = "…", why = "…" }} ]')
        names = [need.name for need in self.needs]
        if len(set(names)) != len(names):
            raise ValueError(f"{self.title} names a job twice")
        return self
