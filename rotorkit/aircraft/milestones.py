"""Milestones: the steps towards a flying aircraft, and the jobs that each needs first, with the reason.

The builder's own stand in the aircraft file::

    [[milestones]]
    title = "First rotor turn"
    needs = [
        { sheet = "blade_angles", of = "tail rotor", why = "the pedals must give thrust both ways" },
        { check = "pedal_left_tension", why = "a slack cable lets the pitch wander" },
    ]

Where the file gives none, `usual_milestones` holds.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from pydantic import field_validator, model_validator

from rotorkit.aircraft.entries import Section, as_date

__all__ = ["Milestone", "Need", "usual_milestones"]


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


def usual_milestones(cables: Iterable[str], tubes: Iterable[str] = ()) -> list[Milestone]:
    """The milestones where the aircraft file gives none, by common practice (no source). cables, tubes: the keys of its
    cables and push-pull tubes.

    They hold the jobs that the sheets cover. A manual's list, and the inspector's, is longer.
    """
    runs = list(cables)

    def blades(rotor: str, why: str) -> Need:
        return Need(sheet="blade_angles", of=rotor, why=why)

    def cable_runs(why: str) -> list[Need]:
        return [Need(sheet="cable_tension", of=run, why=why) for run in runs]

    def links(rotor: str, why: str) -> Need:
        return Need(sheet="pitch_rigging", of=rotor, why=why)

    hover, corners = "hover_margin", "control_corners"
    return [
        Milestone(
            title="First engine run",
            needs=[
                blades(
                    "main rotor",
                    "a clutch or belt that drags turns the rotor with the engine: at the low stop it must not lift",
                ),
                blades(
                    "tail rotor",
                    "it turns with the main rotor: its pitch must be within its stops before anything turns",
                ),
                Need(
                    sheet=corners,
                    why="a link that touches at one corner bends or jams when the control first goes there",
                ),
                Need(
                    sheet="cyclic_range",
                    why="a turning rotor follows its cyclic: one that acts the wrong way tilts the disk into the boom",
                ),
                *cable_runs("a slack cable lets the tail rotor's pitch wander as soon as it turns"),
                *[
                    Need(
                        sheet="cable_rigging",
                        of=run,
                        why="its turnbuckle must be in by its threads, and locked, before anything turns",
                    )
                    for run in runs
                ],
            ],
        ),
        Milestone(
            title="First rotor turn",
            needs=[
                blades(
                    "main rotor",
                    "unequal blades shake the aircraft, and a wrong range leaves no way to stay on the ground",
                ),
                blades("tail rotor", "the first torque turns the fuselage: the pedals must hold it, both ways"),
                *cable_runs("a slack cable lets the tail rotor's pitch wander, a tight one makes the pedals drag"),
                links("main rotor", "the first turn loads every rod end: each must be far enough in, and locked"),
                Need(
                    sheet=corners, why="a link that touches at one corner bends or jams when the stick first goes there"
                ),
                Need(sheet="cyclic_range", why="the stick must tilt the disk the way it is moved, and far enough"),
                *[
                    Need(
                        sheet="push_pull_tubes",
                        of=tube,
                        why="a tube that bows out, or a rod end that lets go, takes the control away",
                    )
                    for tube in tubes
                ],
                *[
                    Need(
                        sheet="cable_rigging",
                        of=run,
                        why="its turnbuckle must be in by its threads, and locked, before it works in earnest",
                    )
                    for run in runs
                ],
            ],
        ),
        Milestone(
            title="First hover",
            needs=[
                Need(sheet=hover, why="weight and air of the day decide whether there is power to stop a descent"),
                Need(
                    sheet="anti_torque_margin", why="the pedals must hold the nose at the day's weight, and stop a turn"
                ),
                blades("tail rotor", "the hover asks for the most anti-torque pitch: the high stop must give it"),
                *cable_runs("tension moves with temperature: it must be right on the day"),
                Need(
                    sheet="cyclic_range", why="a cyclic that acts the wrong way, or too little, cannot be flown out of"
                ),
                Need(sheet="control_travel", why="a pedal with a wide dead band over-controls the first hover"),
            ],
        ),
        Milestone(
            title="First flight out of ground effect",
            needs=[
                Need(
                    sheet=hover,
                    why="away from the ground more power is needed, and the margin of the day is all there is",
                ),
                Need(sheet="level_flight", why="the speeds, the climb and what the blades allow are known beforehand"),
                Need(
                    sheet="autorotation",
                    why="the rate of descent, and how soon the collective has to be down, are known before they count",
                ),
                blades(
                    "main rotor",
                    "the high stop must give the pitch that the flight needs, and no more than the engine can drive",
                ),
            ],
        ),
        Milestone(
            title="End of the test phase",
            needs=[
                blades("main rotor", "bearings and links bed in over the first hours: the angles are measured again"),
                blades("tail rotor", "bearings and links bed in over the first hours: the angles are measured again"),
                *cable_runs("new cables stretch: the tension is measured again"),
                *[
                    Need(sheet="tension_trend", of=run, why="a cable that goes on giving is coming apart somewhere")
                    for run in runs
                ],
                Need(sheet=hover, why="the estimate is held against what the tests have shown"),
            ],
        ),
    ]
