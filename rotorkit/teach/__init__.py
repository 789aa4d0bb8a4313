"""Teaching: which slip explains a hand figure, exercises with numbers of their own, practice with a planted fault.

- diagnose, diagnose_figure: a hand figure that does not agree, of a formula or of a sheet, and which slip explains it
- exercises, posed: every exercise, and one with the numbers of a seed, marked step by step
- lessons_in_order, lesson_named: the course
- make_class, mark_class: numbers of their own for a room of learners, marked without running anything of theirs

What stands here is loaded when it is first asked for.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from rotorkit.teach.classes import ClassError, ClassSet, Marked, MarkedAnswer, make_class, mark_class, read_class
    from rotorkit.teach.exercise import Attempt, Exercise, Mark, Posed, Range, exercises, of_sheet, posed
    from rotorkit.teach.lesson import Example, Lesson, Step, lesson_named, lessons_in_order, posed_in_course
    from rotorkit.teach.slips import Diagnosis, Explanation, Other, diagnose, diagnose_figure

__all__ = [
    "Attempt",
    "ClassError",
    "ClassSet",
    "Diagnosis",
    "Example",
    "Exercise",
    "Explanation",
    "Lesson",
    "Mark",
    "Marked",
    "MarkedAnswer",
    "Other",
    "Posed",
    "Range",
    "Step",
    "diagnose",
    "diagnose_figure",
    "exercises",
    "lesson_named",
    "lessons_in_order",
    "make_class",
    "mark_class",
    "of_sheet",
    "posed",
    "posed_in_course",
    "read_class",
]

_PARTS = ("slips", "exercise", "lesson", "classes")


def __getattr__(name: str) -> Any:
    if name in __all__:
        for part in _PARTS:
            found = vars(import_module(f"rotorkit.teach.{part}"))
            if name in found:
                return found[name]
    raise AttributeError(f"module 'rotorkit.teach' has no attribute {name!r}")
