"""A class: numbers of their own for each learner, answers that are read and never run, a table of what went wrong.

A class lives in a folder: ``class.json`` says who and what, and each learner's numbers; ``notebooks/`` holds a notebook
for each learner to send out and to put back, ``answers.csv`` the answers of who wrote on paper. No file of it holds an
answer but those that are made for the instructor.

``class.json`` is the instructor's alone. A notebook holds its questions with their numbers, the learner's name, and a
mark that only who has the class's secret can set: neither the seed, nor the exercises' names, nor anything from which
another learner's numbers would follow.
"""

from __future__ import annotations

import ast
import csv
import hmac
import io
import json
import re
import secrets
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from rotorkit.edges.visible import in_a_line
from rotorkit.quantities import QuantityError
from rotorkit.sources import cautions
from rotorkit.teach.exercise import Mark, Posed, exercises
from rotorkit.teach.in_units import in_units_of
from rotorkit.teach.lesson import exercise_in_course, lessons_in_order, posed_in_course

CLASS_FILE, ANSWERS_FILE, MARKS_FILE, NOTEBOOKS = "class.json", "answers.csv", "marks.csv", "notebooks"
MOST_STUDENTS = 200
USUAL = (
    "blade_angles.less_the_reference",
    "pitch_rigging.turns_of_the_link",
    "cable_tension.carried",
    "shaft_speeds.behind_a_pulley",
    "hover_margin.tip_speed",
    "near_a_limit.highest",
)
"""What is asked where nobody chooses: one from each of the first lessons."""
IN_THE_METADATA = "rotorkit_class"
MOST_SLIPS = 5
"""So many kinds of slips are told of a class."""
NAMED_SLIP = 2
"""A class is marked as on the second try: with the slip named."""
HOW = (
    "Work each on paper. Type the answer between the quotation marks of the cell below it, with its unit, such as "
    '`"9.5 deg"`. Save, and give this file back. Nothing has to be run.'
)


class ClassError(ValueError):
    """What keeps a class from being made or marked, in plain words."""


@dataclass(frozen=True)
class ClassSet:
    """A class. students: their names; questions: names of exercises; seed: of all its numbers; secret: what the
    notebooks' marks are made with, empty in a class of before there were any; numbers: of each student, question by
    question, the given numbers as they were asked, so that a later version marks what an earlier one asked; units: the
    display system, "us" or "metric", that the numbers are in."""

    students: tuple[str, ...]
    questions: tuple[str, ...]
    seed: str
    secret: str = field(default="", compare=False, repr=False)
    numbers: Mapping[str, Sequence[Mapping[str, str]]] = field(default_factory=dict, compare=False, repr=False)
    units: str = "us"

    def posed(self, student: str, question: str) -> Posed:
        """A student's question, with the student's own numbers. Raises `QuantityError` for an unknown question."""
        kept = self.numbers.get(student)
        if kept is None:
            return posed_in_course(question, f"{self.seed} {student}", self.units)
        asked = in_units_of(exercise_in_course(question), self.units)
        return Posed(question, "", asked, kept[self.questions.index(question)])

    def mark_of(self, student: str) -> str:
        """What a student's notebook bears: that it is of this class and of this student."""
        return hmac.digest(self.secret.encode(), student.encode(), "sha256").hex()[:24]


@dataclass(frozen=True)
class MarkedAnswer:
    """One answer marked. number: of the question, from 1; typed: as it was typed, empty where nothing was; right: the
    right answer; mark: None where nothing was typed; source: the file it stands in."""

    student: str
    number: int
    posed: Posed
    typed: str
    mark: Mark | None
    source: str = ""

    @property
    def points(self) -> int:
        return 0 if self.mark is None else self.mark.points


@dataclass(frozen=True)
class Marked:
    """A class as marked. remarks: what was found of the files, for the instructor to look at."""

    of: ClassSet
    answers: tuple[MarkedAnswer, ...]
    remarks: tuple[str, ...] = ()

    @property
    def slips(self) -> list[tuple[str, int, str]]:
        """What was done wrong most: the family of the slip, in how many answers, and the commonest of it in words."""
        counted: Counter[str] = Counter()
        such: dict[str, Counter[str]] = {}
        for one in self.answers:
            if one.mark is None or one.mark.right:
                continue
            for family in dict.fromkeys(one.mark.families[:1]):
                counted[family] += 1
                such.setdefault(family, Counter())[one.mark.slip] += 1
        order = sorted(counted.items(), key=lambda one: (-one[1], one[0]))
        return [(name, times, such[name].most_common(1)[0][0]) for name, times in order]

    @property
    def hardest(self) -> list[tuple[Posed, int, int]]:
        """Each question with how many got it right, of how many who answered; the worst first."""
        found = []
        for number, _ in enumerate(self.of.questions, 1):
            given = [one for one in self.answers if one.number == number and one.mark is not None]
            if given:
                right = sum(one.mark is not None and one.mark.right for one in given)
                found.append((given[0].posed, right, len(given)))
        return sorted(found, key=lambda one: one[1] / one[2])

    def table(self) -> str:
        """For the terminal: a line for each student, then what to teach again."""
        most = 5 * len(self.of.questions)
        widest = max(map(len, (*self.of.students, "student")))
        heads = "  ".join(f"{number:>2}" for number in range(1, len(self.of.questions) + 1))
        lines = [f"{'student':<{widest}}  {heads}  points of {most}"]
        for student in self.of.students:
            own = [one for one in self.answers if one.student == student]
            shown = "  ".join(f"{'-' if one.mark is None else one.points:>2}" for one in own)
            lines.append(f"{student:<{widest}}  {shown}  {sum(one.points for one in own)}")
        lines += [
            "",
            "5 right; 4 wrong digits; 3 wrong size; 2 wrong sign; 1 no unit; 0 not a figure of this kind; - no answer.",
        ]
        hardest = "Questions, the hardest first:" if self.hardest else "No answers yet: nothing to teach again."
        lines += ["", hardest]
        lines += [f"  {posed.title}: {right} of {given} right" for posed, right, given in self.hardest]
        if slips := self.slips[:MOST_SLIPS]:
            lines += ["", "To teach again, the commonest slips first:"]
            lines += [f"  {times} x {family}, such as: {such}" for family, times, such in slips]
        return "\n".join([*lines, *([""] if self.remarks else []), *self.remarks])

    def rows(self) -> Iterator[list[str]]:
        """The table for a spreadsheet, its heads first."""
        yield [
            "student",
            "number",
            "question",
            "answer",
            "right answer",
            "stage",
            "points",
            "slips",
            "in words",
            "file",
        ]
        for one in self.answers:
            stage = "" if one.mark is None else one.mark.stage
            said = "" if one.mark is None else f"{one.mark.words} {one.mark.slip}".strip()
            slips = "" if one.mark is None or one.mark.right else ", ".join(one.mark.families)
            yield [one.student, str(one.number), one.posed.name, one.typed, one.posed.answer_text, stage,
                   str(one.points), slips, said, one.source]  # fmt: skip


def make_class(
    folder: Path | str, students: int, seed: str, questions: Sequence[str] = (), units: str = "us"
) -> ClassSet:
    """Make a class's folder: who and what, a notebook for each student, a file for answers on paper.

    Parameters
    ----------
    folder
        Where; it may exist if it is empty.
    students
        How many, from 1 to 200.
    seed
        Of all numbers: the same seed makes the same numbers again; empty for one by chance, which nobody can guess.
    questions
        Names of exercises (``SHEET.NAME``), or of lessons for all of a lesson's; by default one of each first lesson.
    units
        The display system, "us" or "metric", that the numbers are given in; an answer may be typed in any unit.

    Returns
    -------
    ClassSet
        The class, with a secret of its own: whoever has ``class.json`` or knows the seed has every number.

    Raises
    ------
    ClassError
        Where the folder holds something, a number is out of range, or a question is unknown.
    """
    folder = Path(folder)
    if not 1 <= students <= MOST_STUDENTS:
        raise ClassError(f"a class has 1 to {MOST_STUDENTS} students, got {students}")
    if folder.exists() and (not folder.is_dir() or any(folder.iterdir())):
        raise ClassError(f"{folder} exists already and is not empty: name a new folder")
    names = tuple(f"student-{number:0{max(2, len(str(students)))}}" for number in range(1, students + 1))
    drawn = ClassSet(names, questions_of(questions), seed if seed.strip() else secrets.token_hex(16), units=units)
    numbers = {student: [dict(drawn.posed(student, name).given) for name in drawn.questions] for student in names}
    made = ClassSet(drawn.students, drawn.questions, drawn.seed, secrets.token_hex(16), numbers, units)
    try:
        (folder / NOTEBOOKS).mkdir(parents=True)
        for student in names:
            text = json.dumps(notebook_of(made, student), indent=1, ensure_ascii=False) + "\n"
            (folder / NOTEBOOKS / f"{student}.ipynb").write_text(text, encoding="utf-8")
        rows: list[list[str]] = [["student", *(str(n) for n in range(1, len(made.questions) + 1))]]
        rows += [[student, *[""] * len(made.questions)] for student in names]
        _write_csv(folder / ANSWERS_FILE, rows)
        said = {
            "for": "for the instructor only: every number, and so every answer, follows from this file",
            "students": made.students, "questions": made.questions, "seed": made.seed, "secret": made.secret,
            "numbers": made.numbers, "units": made.units,
        }  # fmt: skip
        (folder / CLASS_FILE).write_text(json.dumps(said, indent=1) + "\n", encoding="utf-8")
    except OSError as problem:
        raise ClassError(f"{folder} cannot be written: {problem.strerror or problem}") from None
    return made


def questions_of(names: Sequence[str]) -> tuple[str, ...]:
    """Exercises by their names, a lesson standing for all of its own. Raises `ClassError` for an unknown name."""
    lessons = {lesson.name: lesson for lesson in lessons_in_order()}
    known = {*exercises(), *(name for lesson in lessons.values() for name in lesson.exercises)}
    found: list[str] = []
    for name in names or USUAL:
        if name in lessons:
            found += lessons[name].exercises
        elif name in known:
            found.append(name)
        else:
            raise ClassError(
                f"no exercise and no lesson is called {name!r:.60}; lessons: {', '.join(lessons)}; exercises: "
                f"{', '.join(sorted(known))}"
            )
    return tuple(dict.fromkeys(found))


def notebook_of(made: ClassSet, student: str) -> dict[str, Any]:
    """A student's notebook: the questions with their numbers, a cell for each answer; no answer, and nothing from which
    the class's numbers follow."""
    cells = [_cell("markdown", f"# Exercises of {student}\n\n{HOW}\n\n{cautions.SHORT}", "head")]
    for number, question in enumerate(made.questions, 1):
        posed = made.posed(student, question)
        cells.append(_cell("markdown", f"## {number}. {posed.title}\n\n{posed.question}", f"q{number}"))
        cells.append(_cell("code", f'answer_{number} = ""', f"a{number}"))
    metadata = {
        "kernelspec": {"display_name": "Python 3", "language": "python", "name": "python3"},
        "language_info": {"name": "python"},
        IN_THE_METADATA: {"student": student, "mark": made.mark_of(student)},
    }
    return {"cells": cells, "metadata": metadata, "nbformat": 4, "nbformat_minor": 5}


def _cell(kind: str, source: str, name: str) -> dict[str, Any]:
    made: dict[str, Any] = {"cell_type": kind, "id": name, "metadata": {}, "source": source.splitlines(keepends=True)}
    return made | ({"execution_count": None, "outputs": []} if kind == "code" else {})


def read_class(folder: Path | str) -> ClassSet:
    """The class of a folder. Raises `ClassError` where there is none, or its file is damaged."""
    file = Path(folder) / CLASS_FILE
    try:
        said = json.loads(file.read_text(encoding="utf-8"))
        made = ClassSet(
            tuple(map(str, said["students"])), tuple(map(str, said["questions"])), str(said["seed"]),
            str(said.get("secret", "")), _numbers_in(said), "metric" if said.get("units") == "metric" else "us",
        )  # fmt: skip
    except FileNotFoundError:
        raise ClassError(f"there is no {CLASS_FILE} in {folder}: name the folder that  rotorkit class  made") from None
    except (OSError, ValueError, KeyError, TypeError) as problem:
        raise ClassError(f"{file} cannot be read ({problem}): make the class again with the same seed") from None
    questions_of(made.questions)
    for student in made.numbers:
        for name, given in zip(made.questions, made.numbers[student], strict=True):
            if set(given) != set(exercise_in_course(name).given):
                raise ClassError(
                    f"{name} asks for other numbers in this version than {CLASS_FILE} holds: mark this class with the "
                    "version that made it"
                )
    return made


def _numbers_in(said: Mapping[str, Any]) -> dict[str, list[dict[str, str]]]:
    """The numbers that were asked, of a class whose file holds them. Raises `ValueError` where they do not fit it."""
    held = said.get("numbers")
    if held is None:
        return {}
    found = {str(who): [{str(k): str(v) for k, v in one.items()} for one in each] for who, each in held.items()}
    if set(found) != set(map(str, said["students"])) or any(
        len(one) != len(said["questions"]) for one in found.values()
    ):
        raise ValueError("its number of students does not match its list")
    return found


def mark_class(folder: Path | str) -> Marked:
    """Mark what came back: every notebook of the class in the folder, and ``answers.csv``; write ``marks.csv``.

    Nothing that stands in a notebook is run. Where a student's answer is in more than one file the one that is filled
    in counts; where several are, the one changed last, and that is remarked.

    Raises `ClassError` where there is no class, or the table cannot be written.
    """
    folder = Path(folder)
    made = read_class(folder)
    typed, remarks = _collected(folder, made)
    answers = []
    for student in made.students:
        for number, question in enumerate(made.questions, 1):
            posed = made.posed(student, question)
            text, source = typed.get((student, number), ("", ""))
            answers.append(
                MarkedAnswer(student, number, posed, text, posed.mark(text, NAMED_SLIP) if text else None, source)
            )
    marked = Marked(made, tuple(answers), tuple(remarks))
    try:
        _write_csv(folder / MARKS_FILE, marked.rows())
    except OSError as problem:
        raise ClassError(f"{folder / MARKS_FILE} cannot be written: {problem.strerror or problem}") from None
    return marked


Typed = dict[tuple[str, int], tuple[str, str]]


def _collected(folder: Path, made: ClassSet) -> tuple[Typed, list[str]]:
    """The answers that were typed, by student and number, each with its file; and what is to be remarked."""
    found: Typed = {}
    remarks: list[str] = []
    files = [path for path in folder.rglob("*.ipynb") if ".ipynb_checkpoints" not in path.parts]
    for path in sorted(files, key=lambda path: (path.stat().st_mtime, path.name)):
        name = path.relative_to(folder).as_posix()
        try:
            notebook = json.loads(path.read_text(encoding="utf-8"))
            student = str(notebook["metadata"][IN_THE_METADATA]["student"])
            same = _is_of(made, student, notebook)
            given = answers_in(notebook)
        except (OSError, ValueError, KeyError, TypeError, AttributeError, RecursionError):
            remarks.append(f"{name}: not a notebook of this class, left out.")
            continue
        if not same or student not in made.students:
            remarks.append(f"{name}: of another class or student ({in_a_line(student)}), left out.")
            continue
        others = [
            one for one in made.students if one != student and re.search(rf"(?<!\w){re.escape(one)}(?!\w)", path.stem)
        ]
        if others and any(given.values()):
            remarks.append(
                f"{name}: the numbers in it are those of {student}, its name says {others[0]}: counted for {student}; "
                "ask whose work it is."
            )
        for number, text in given.items():
            if 1 <= number <= len(made.questions) and text:
                before = found.get((student, number))
                if before is not None and before[0] != text:
                    remarks.append(f"{student}, question {number}: {name} counts, changed after {before[1]}.")
                found[student, number] = (text, name)
    _from_csv(folder / ANSWERS_FILE, made, found, remarks)
    return found, remarks


def _is_of(made: ClassSet, student: str, notebook: Mapping[str, Any]) -> bool:
    """Whether a notebook was made for this student of this class.

    By its mark; where that is another, as of a class that was made again by the same seed, by its questions word for
    word; an earlier version's notebook by the seed and the names that it holds.
    """
    of = notebook["metadata"][IN_THE_METADATA]
    if student not in made.students:
        return False
    if "seed" in of:
        return (str(of["seed"]), list(of["questions"])) == (made.seed, list(made.questions))
    if made.secret and hmac.compare_digest(str(of.get("mark", "")).encode(), made.mark_of(student).encode()):
        return True
    asked = {str(cell.get("id")): "".join(cell.get("source", [])) for cell in notebook["cells"]}
    try:
        return all(
            made.posed(student, name).question in asked.get(f"q{number}", "")
            for number, name in enumerate(made.questions, 1)
        )
    except QuantityError:
        return False


def answers_in(notebook: Mapping[str, Any]) -> dict[int, str]:
    """What was typed into a notebook's answer cells, by number. The cells are read, never run: what is no plain text
    behind the equals sign is taken as it stands."""
    found: dict[int, str] = {}
    for cell in notebook["cells"]:
        if cell.get("cell_type") != "code":
            continue
        source = "".join(cell.get("source", []))
        for start in re.finditer(r"^\s*answer_(\d{1,3})\s*=[ \t]*(.*)$", source, re.MULTILINE):
            text = start[2].strip()
            try:
                value = ast.literal_eval(text) if text else ""
                text = value if isinstance(value, str) else str(value)
            except (ValueError, SyntaxError, MemoryError, RecursionError):
                text = text.rstrip("; ").strip("\"'“”„‘’")
            found[int(start[1])] = in_a_line(text).strip()
    return found


def _from_csv(file: Path, made: ClassSet, found: Typed, remarks: list[str]) -> None:
    """Answers on paper, as the instructor typed them."""
    if not file.is_file():
        return
    try:
        rows = list(csv.reader(io.StringIO(file.read_text(encoding="utf-8-sig"))))
    except (OSError, ValueError, csv.Error) as problem:
        remarks.append(f"{file.name}: cannot be read ({problem}), left out.")
        return
    for row in rows[1:]:
        if not row or not row[0].strip():
            continue
        student = row[0].strip()
        if student not in made.students:
            remarks.append(f"{file.name}: there is no student {in_a_line(student)!r}, left out.")
            continue
        for number, text in enumerate(row[1 : len(made.questions) + 1], 1):
            if text.strip():
                before = found.get((student, number))
                if before is not None and before[0] != text.strip():
                    remarks.append(f"{student}, question {number}: {file.name} counts, not {before[1]}.")
                found[student, number] = (in_a_line(text).strip(), file.name)


def _write_csv(file: Path, rows: Sequence[list[str]] | Iterator[list[str]]) -> None:
    """For a spreadsheet, which must take nothing that a student typed for a formula of its own."""
    with file.open("w", encoding="utf-8", newline="") as out:
        csv.writer(out).writerows([_plain(cell) for cell in row] for row in rows)


def _plain(cell: str) -> str:
    return f"'{cell}" if re.match(r"\s*([=@\t]|[+-](?![\d.])|[+-].*[|!(=])", cell) else cell
