"""A class on paper: question sheets for each student, and the instructor's key, as HTML and PDF."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime
from pathlib import Path

from rotorkit.dossier.blocks import Block, Bullets, Document, Heading, Paragraph, Strong, Table, Together
from rotorkit.dossier.writing import write_volume
from rotorkit.edges import clock
from rotorkit.sources import cautions
from rotorkit.teach.classes import ClassSet

QUESTIONS, KEY = "questions", "key"
WORK, ROOM = "\N{NO-BREAK SPACE}", 4
"""What stands in an empty line, and so many lines for the work."""


def write_class_papers(
    made: ClassSet, folder: Path, pdf: bool = True, now: datetime | None = None
) -> tuple[list[Path], str]:
    """Write ``questions`` and ``key`` of a class into its folder, as HTML and, where it can be made, PDF.

    Returns the files, and why there is no PDF, empty where there is. Raises `DossierError` where nothing could be
    written.
    """
    when = now or clock.now()
    files: list[Path] = []
    why = ""
    for name, document in zip((QUESTIONS, KEY), class_documents(made, when), strict=True):
        page, paper, why_not = write_volume(document, folder / name, pdf, when, lambda what, done, of: None, "")
        files += [page, *([paper] if paper is not None else [])]
        why = why or (why_not if pdf else "")
    return files, why


def class_documents(made: ClassSet, when: datetime) -> tuple[Document, Document]:
    """The question sheets, a page or more for each student, and the key."""
    count = f"{len(made.students)} students"
    papers = []
    for title, subject, about in (
        ("Exercises", "questions, no answers", count),
        ("Answers to the exercises", "for the instructor alone", f"{count}, seed {made.seed}"),
    ):
        papers.append(
            Document(title, "the instructor", subject, title, f"{about}; made {when:%Y-%m-%d %H:%M}", "us-letter")
        )
    questions, key = papers
    key.add(Heading(1, f"Key of {count}", key="key", fresh_page=True))
    for student in made.students:
        questions.add(*_sheet(made, student))
        key.add(*_key(made, student))
    return questions, key


def _sheet(made: ClassSet, student: str) -> Iterator[Block]:
    yield Heading(1, f"Exercises of {student}", key=student, fresh_page=True)
    yield Paragraph(f"Work each one in the space below it. Write the answer with its unit. {cautions.SHORT}", "small")
    for number, name in enumerate(made.questions, 1):
        posed = made.posed(student, name)
        yield Together(
            [
                Heading(2, f"{number}. {posed.title}"),
                Paragraph(posed.question),
                Table("", ("Your work", "Answer, with unit"), [(WORK, WORK)] * ROOM, (3, 1)),
            ]
        )


def _key(made: ClassSet, student: str) -> Iterator[Block]:
    yield Heading(2, student, key=student)
    for number, name in enumerate(made.questions, 1):
        posed = made.posed(student, name)
        yield Together(
            [
                Paragraph([Strong(f"{number}. {posed.title}: {posed.answer_text}")]),
                Paragraph(posed.question, "small"),
                Bullets(posed.in_short),
            ]
        )
