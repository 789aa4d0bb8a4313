"""Lessons: a goal, a picture to turn at, an example worked in steps, exercises, what was learned, where it comes from.

A lesson says everything in one file of `rotorkit.teach.lessons`, as `LESSON`; it is found by its file. Its steps are
exercises with fixed numbers, marked like any other; the published figures that they end in stand beside them, and a
test holds the two together. A notebook holds a lesson's name, and no answer.

>>> lesson_named("signs").title
'Blade angles and their signs'
"""

from __future__ import annotations

import functools
import importlib
import pkgutil
from collections.abc import Mapping
from dataclasses import dataclass

from rotorkit.quantities import QuantityError
from rotorkit.sheets.exercises import Exercise
from rotorkit.sheets.exploring.knobs import Exploration
from rotorkit.sources import Citation
from rotorkit.teach.exercise import Posed, exercises, posed_of
from rotorkit.teach.in_units import stays_in_us


@dataclass(frozen=True)
class Step:
    """One step of an example. exercise: what is asked, with fixed numbers; so: what it tells, said once it is right;
    printed: the figure that the source prints for it, empty where it prints none."""

    exercise: Exercise
    so: str = ""
    printed: str = ""

    @property
    def posed(self) -> Posed:
        """The step as a question, in the units in which its source prints it."""
        return posed_of(f"step.{self.exercise.name}", self.exercise, "", "us")


@dataclass(frozen=True)
class Example:
    """An example that somebody published, in steps that the learner fills in. title; story; source: where it stands;
    steps: each goes on from the one before."""

    title: str
    story: str
    source: Citation
    steps: tuple[Step, ...]

    @property
    def stays_in_us(self) -> bool:
        """Whether it gives or asks for something in US units: a published figure is asked for as it is printed."""
        return any(stays_in_us(step.exercise) for step in self.steps)


@dataclass(frozen=True)
class Lesson:
    """A lesson of about twenty minutes.

    name: its key, and its notebook's name; order: its place in the course; goal: what the learner can do after it;
    words: the few paragraphs to read; picture: what to turn at, and look_for: what to see in it; example; asked: names
    of the exercises to do alone (``SHEET.NAME``); own: exercises that belong to no sheet; learned; sources: what to
    read on in.
    """

    name: str
    order: int
    title: str
    goal: str
    words: tuple[str, ...]
    picture: Exploration
    look_for: tuple[str, ...]
    example: Example
    learned: tuple[str, ...]
    sources: tuple[Citation, ...]
    asked: tuple[str, ...] = ()
    own: tuple[Exercise, ...] = ()
    minutes: int = 20

    @property
    def exercises(self) -> Mapping[str, Exercise]:
        """The exercises to do alone, by their names; those of its own are called ``LESSON.NAME``."""
        known = exercises()
        own = {f"{self.name}.{one.name}": one for one in self.own}
        return {name: known[name] for name in self.asked} | own

    def posed(self, name: str, seed: int | str, system: str | None = None) -> Posed:
        """One of its exercises with the numbers of a seed, in the units of a display system (default: the one in
        force). Raises `QuantityError` for a name that is none of them."""
        if name not in self.exercises:
            raise QuantityError(f"the lesson {self.name!r} has no exercise {name!r:.60}: {', '.join(self.exercises)}")
        return posed_of(name, self.exercises[name], seed, system)


@functools.cache
def lessons_in_order() -> tuple[Lesson, ...]:
    """Every lesson, in the order of the course."""
    from rotorkit.teach import lessons

    found = [
        importlib.import_module(f"{lessons.__name__}.{module.name}").LESSON
        for module in pkgutil.iter_modules(lessons.__path__)
    ]
    return tuple(sorted(found, key=lambda lesson: (lesson.order, lesson.name)))


def lesson_named(name: str) -> Lesson:
    """A lesson by its name. Raises `QuantityError` for an unknown one."""
    for lesson in lessons_in_order():
        if lesson.name == name:
            return lesson
    raise QuantityError(
        f"no lesson is called {name!r:.60}: there are {', '.join(one.name for one in lessons_in_order())}"
    )


def posed_in_course(name: str, seed: int | str, system: str | None = None) -> Posed:
    """An exercise of a sheet or of a lesson, by its name, with the numbers of a seed, in the units of a display system
    (default: the one in force).

    Raises `QuantityError` for an unknown name.
    """
    return posed_of(name, exercise_in_course(name), seed, system)


def exercise_in_course(name: str) -> Exercise:
    """An exercise of a sheet or of a lesson, by its name. Raises `QuantityError` for an unknown one."""
    for lesson in lessons_in_order():
        if name in lesson.exercises:
            return lesson.exercises[name]
    known = exercises()
    if name not in known:
        raise QuantityError(f"no exercise is called {name!r:.60}: there are {', '.join(known)}")
    return known[name]
