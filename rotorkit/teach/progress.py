"""How far each learner has come: ``learning.sqlite`` beside the record, which it is no part of.

Every answer is kept as typed, with what it came to. An instructor sees from it who has done what, and which slips were
made most.
"""

from __future__ import annotations

import contextlib
import sqlite3
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from pathlib import Path

from rotorkit.edges import clock
from rotorkit.edges.received import is_there
from rotorkit.edges.visible import in_a_line
from rotorkit.teach.exercise import Mark

LEARNING_FILE = "learning.sqlite"
WAIT = 5.0
"""Seconds that a writing waits for another one."""
LONGEST_NAME = 60
LAYOUT = """CREATE TABLE IF NOT EXISTS answer (
  learner TEXT NOT NULL, lesson TEXT NOT NULL, question TEXT NOT NULL, seed TEXT NOT NULL,
  typed TEXT NOT NULL, stage TEXT NOT NULL, families TEXT NOT NULL, hints INTEGER NOT NULL, at TEXT NOT NULL)"""
COLUMNS = "learner, lesson, question, seed, typed, stage, families, hints, at"


class ProgressError(ValueError):
    """Answers that cannot be kept or read: why, in plain words."""


@dataclass(frozen=True)
class Answer:
    """One answer. lesson and question: their names; seed: of its numbers; typed: as it was typed; stage and families:
    as in `Mark`; hints: so many were told before it; at: when."""

    learner: str
    lesson: str
    question: str
    seed: str
    typed: str
    stage: str
    families: tuple[str, ...] = ()
    hints: int = 0
    at: datetime = field(default_factory=clock.now)

    @property
    def right(self) -> bool:
        return self.stage == "right"


def _name(learner: str) -> str:
    """A learner's name as it is kept, and looked for."""
    return in_a_line(learner).strip()[:LONGEST_NAME].strip()


def _answer(
    learner: str, lesson: str, question: str, seed: str, typed: str, stage: str, families: str, hints: int, at: str
) -> Answer:
    """A line of the file."""
    slips = tuple(one for one in families.split("; ") if one)
    return Answer(learner, lesson, question, seed, typed, stage, slips, int(hints), datetime.fromisoformat(at))


class Progress:
    """The learners of a working folder. folder: None where nothing may be written (the demo): then answers are kept as
    long as this object."""

    def __init__(self, folder: Path | None) -> None:
        self.path = None if folder is None else folder / LEARNING_FILE
        self._here: list[Answer] = []

    def keep(self, learner: str, lesson: str, question: str, seed: str, typed: str, mark: Mark, hints: int = 0) -> None:
        """Keep one answer. A learner without a name keeps nothing. Raises `ProgressError`."""
        learner, typed = _name(learner), in_a_line(typed)
        if not learner:
            return
        answer = Answer(learner, lesson, question, seed, typed, mark.stage, mark.families, hints)
        if self.path is None:
            self._here.append(answer)
            return
        try:
            with contextlib.closing(sqlite3.connect(self.path, timeout=WAIT)) as connection, connection:
                connection.execute(LAYOUT)
                connection.execute(
                    f"INSERT INTO answer ({COLUMNS}) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?)",
                    (learner, lesson, question, seed, typed, mark.stage, "; ".join(mark.families), hints,
                     answer.at.isoformat()),
                )  # fmt: skip
        except sqlite3.Error as problem:
            raise ProgressError(
                f"{LEARNING_FILE} cannot be written ({problem}): the answer is marked, but not kept"
            ) from None

    def answers(self, learner: str = "") -> list[Answer]:
        """Every answer in order, or those of one learner. Raises `ProgressError`."""
        wanted = _name(learner)
        return [one for one in self._all() if wanted in ("", one.learner)]

    def _all(self) -> Iterator[Answer]:
        if self.path is None:
            yield from self._here
        elif is_there(self.path):
            try:
                with contextlib.closing(sqlite3.connect(f"{self.path.resolve().as_uri()}?mode=ro", uri=True)) as opened:
                    lines = opened.execute(f"SELECT {COLUMNS} FROM answer ORDER BY rowid").fetchall()
                found = [_answer(*line) for line in lines]
            except (sqlite3.Error, ValueError, TypeError, AttributeError) as problem:
                raise ProgressError(
                    f"{LEARNING_FILE} cannot be read ({problem}): if it is damaged, move it away and start a new one"
                ) from None
            yield from found

    @property
    def learners(self) -> list[str]:
        """Who has answered anything, the latest first."""
        return list(dict.fromkeys(one.learner for one in reversed(list(self._all()))))

    def done(self, learner: str, lesson: str) -> set[str]:
        """The questions of a lesson that a learner has got right."""
        return {one.question for one in self.answers(learner) if one.lesson == lesson and one.right}

    def slips(self, learners: Sequence[str] = ()) -> list[tuple[str, int]]:
        """The families of slips that were made, the most frequent first; a family counts once an answer."""
        counted = Counter(
            family for one in self._all() if not learners or one.learner in learners for family in set(one.families)
        )
        return sorted(counted.items(), key=lambda one: (-one[1], one[0]))
