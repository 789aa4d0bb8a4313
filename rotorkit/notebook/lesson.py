"""A lesson in a notebook: what to read, a picture with sliders, an example to fill in, exercises that are marked.

Every answer is kept for the learner who is named (`rotorkit.teach.progress`), beside the record and no part of it.
"""

from __future__ import annotations

import threading
from collections.abc import Callable, Iterable
from pathlib import Path
from typing import Any

from rotorkit.edges.visible import in_a_line
from rotorkit.folder.checks import Folder
from rotorkit.notebook import pages, widgets, words
from rotorkit.notebook.explorer import Explorer
from rotorkit.notebook.guarded import Guarded
from rotorkit.notebook.layout import boxed
from rotorkit.notebook.pages import Page
from rotorkit.notebook.parts import put
from rotorkit.notebook.style import STYLE
from rotorkit.quantities import use_display
from rotorkit.sources import HOW_KNOWN, Citation
from rotorkit.teach.exercise import Attempt, Mark, Posed
from rotorkit.teach.in_units import worded
from rotorkit.teach.lesson import Lesson, lesson_named, lessons_in_order
from rotorkit.teach.progress import Progress, ProgressError

IN_US_UNITS = (
    "This example stays in the US units in which it was published, so that you can compare it with its source. You may "
    "answer in any unit. The exercises further down are in your own units."
)
"""Said of a published example in a metric folder."""
NAMELESS = "No name yet: your answers are marked but not kept."


class Question:
    """One question with a field for its answer. answered: called with each mark; again: what poses it with new
    numbers, None where the numbers are fixed; so: what is said once it is right."""

    def __init__(
        self,
        posed: Posed,
        guard: Callable[[Callable[..., Any]], Callable[..., None]],
        answered: Callable[[Question, str, Mark], None],
        again: Callable[[], Posed] | None = None,
        so: str = "",
    ) -> None:
        self.answered, self.again, self.so = answered, again, so
        self.asked, self.said = widgets.HTML(), widgets.HTML()
        self.said.add_class("rotorkit-outcome")
        self.field = widgets.Text(continuous_update=True)  # else Enter comes before what was typed
        self.field.on_msg(guard(lambda _widget, content, _buffers: self._message(content)))
        mark, hint = (
            self._button("Mark it", guard(lambda _b: self.mark())),
            self._button("Hint", guard(lambda _b: self.hint())),
        )
        buttons = [mark, hint]
        if again is not None:
            buttons.append(self._button("New numbers", guard(lambda _b: self.renew())))
        line = boxed([self.field, *buttons], "rotorkit-answer")
        self.box = boxed([self.asked, line, self.said], "rotorkit-question", upright=True)
        self.pose(posed)

    def _button(self, said: str, pressed: Callable[..., None]) -> Any:
        button = widgets.Button(description=said)
        button.on_click(pressed)
        return button

    def _message(self, content: Any) -> None:
        if content.get("event") == "submit":
            self.mark()

    def pose(self, posed: Posed) -> None:
        """Ask again."""
        self.posed, self.attempt = posed, Attempt(posed)
        put(self.asked, pages.framed(f"<h3>{words.escape(posed.title)}</h3><p>{words.escape(posed.question)}</p>"))
        self.field.description = in_a_line(f"Your answer: {posed.title}")
        self.field.value = ""
        put(self.said, "")

    def renew(self) -> None:
        """The same question with new numbers."""
        assert self.again is not None
        self.pose(self.again())

    def answer(self, text: str) -> Mark | None:
        """Type an answer, and have it marked."""
        self.field.value = text
        return self.mark()

    def mark(self) -> Mark | None:
        """Mark what stands in the field; None where nothing does."""
        text = self.field.value.strip()
        if not text:
            put(self.said, pages.framed(words.hint("Type your answer, with its unit, then press Enter.")))
            return None
        mark = self.attempt.answer(text)
        put(self.said, pages.framed(self._told(mark)))
        self.answered(self, text, mark)
        return mark

    def _told(self, mark: Mark) -> str:
        if mark.right:
            return (
                f'<p role="status" class="rotorkit-right"><b>{words.escape(mark.words)}</b> {words.escape(self.so)}</p>'
            )
        lines = "".join(f"<p>{words.escape(line)}</p>" for line in mark.lines)
        which = "line as it" if len(mark.lines) == 1 else "lines as they"
        work = f"<p>The {which} should be, worked in SI units (metres, newtons, kelvin, radians):</p>{lines}"
        work = work if mark.lines else ""
        return words.wrong(mark.words) + (words.note(mark.slip) if mark.slip else "") + work

    def hint(self) -> str:
        """Tell the next hint."""
        said = self.attempt.hint() or "There is no hint for this one: read the question again."
        left = len(self.posed.hints) - self.attempt.hints_told
        more = f" ({left} more)" if left else ""
        put(self.said, pages.framed(words.note(f"{said}{more}")))
        return said

    @property
    def done(self) -> bool:
        return any(mark.right for mark in self.attempt.marks)


class LessonPage(Guarded):
    """A lesson as it is worked through: shown whole where a cell ends with it, or part by part.

    Arguments: lesson; folder, the working folder: its display units are taken, and the answers kept beside its record.
    """

    def __init__(self, lesson: Lesson, folder: Folder) -> None:
        self.lesson, self.folder = lesson, folder
        self.system = folder.aircraft.aircraft.display
        self._lock = threading.RLock()
        self.progress = Progress(None if folder.is_demo else folder.path)
        self.trouble = widgets.HTML()
        self.name = widgets.Text(description="Your name", continuous_update=False)
        self.how_far = widgets.HTML()
        with self._lock:
            use_display(self.system)
            self.name.value = next(iter(self._learners()), "")
            self.name.observe(self._guard(lambda _change: self._named()), names="value")
            self.steps = [
                Question(step.posed, self._guard, self._answered, so=step.so) for step in lesson.example.steps
            ]
            self.questions = [self._question(name) for name in lesson.exercises]
            self._tell()

    # its parts

    @property
    def start(self) -> Any:
        """The goal, whose lesson this is, and what to read."""
        lesson = self.lesson
        head = (
            f"<p><b>When you have finished:</b> {words.escape(lesson.goal)}</p><p>About {lesson.minutes} minutes.</p>"
        )
        text = "".join(f"<p>{words.escape(one)}</p>" for one in self._worded(lesson.words))
        who = boxed([self.name, self.how_far], "rotorkit-answer")
        return self._shown([widgets.HTML(pages.framed(head)), who, self.trouble, widgets.HTML(pages.framed(text))])

    @property
    def picture(self) -> Any:
        """The picture with its sliders, and what to look for."""
        self.explorer = Explorer(self.lesson.picture, self.folder)
        return self._shown(
            [
                self.explorer.box,
                widgets.HTML(pages.framed(words.listed(self._worded(self.lesson.look_for), ordered=True))),
            ]
        )

    @property
    def example(self) -> Any:
        """The example, step by step."""
        example = self.lesson.example
        head = (
            f"<h3>{words.escape(example.title)}</h3><p>{words.escape(example.story)}</p>"
            f"<p>From: {words.escape(said(example.source))}</p>"
        )
        if self.system == "metric" and example.stays_in_us:
            head += f"<p>{words.escape(IN_US_UNITS)}</p>"
        return self._shown([widgets.HTML(pages.framed(head)), *(one.box for one in self.steps)])

    @property
    def exercises(self) -> Any:
        """The exercises to do alone."""
        head = (
            "<p>Work each one on paper, type the answer with its unit, press Enter. Ask for a hint when you are "
            "stuck. Significant digits count from the first that is not a zero: 0.0195 has three, and so has 20.0.</p>"
        )
        return self._shown([widgets.HTML(pages.framed(head)), *(one.box for one in self.questions)])

    @property
    def learned(self) -> Page:
        """What we have learned, and where it comes from."""
        return Page(
            words.listed(self._worded(self.lesson.learned))
            + f"<p><b>Sources</b></p>{words.listed(said(one) for one in self.lesson.sources)}"
        )

    def _worded(self, sentences: Iterable[str]) -> list[str]:
        return [worded(one, self.system) for one in sentences]

    def _shown(self, children: list[Any]) -> Any:
        return boxed([widgets.HTML(STYLE), *children], "rotorkit-form", "rotorkit-lesson", upright=True)

    # what happens

    def _question(self, name: str) -> Question:
        rounds = {"next": 0}

        def posed() -> Posed:
            rounds["next"] += 1
            return self.lesson.posed(name, f"{self.name.value.strip()} {rounds['next']}")

        return Question(posed(), self._guard, self._answered, again=posed)

    def _learners(self) -> list[str]:
        try:
            return self.progress.learners
        except ProgressError as problem:
            put(self.trouble, pages.framed(words.wrong(str(problem))))
            return []

    def _named(self) -> None:
        for question in self.questions:
            if not question.attempt.marks and question.again is not None:
                question.renew()
        self._tell()

    def _answered(self, question: Question, typed: str, mark: Mark) -> None:
        posed = question.posed
        try:
            self.progress.keep(
                self.name.value, self.lesson.name, posed.name, posed.seed, typed, mark, question.attempt.hints_told
            )
            put(self.trouble, "")
        except ProgressError as problem:
            put(self.trouble, pages.framed(words.wrong(str(problem))))
        self._tell()

    def _tell(self) -> None:
        name = self.name.value.strip()
        done = {one.posed.name for one in (*self.steps, *self.questions) if one.done}
        if name:
            try:
                done |= self.progress.done(in_a_line(name), self.lesson.name)
            except ProgressError as problem:
                put(self.trouble, pages.framed(words.wrong(str(problem))))
        every = [one.posed.name for one in (*self.steps, *self.questions)]
        count = sum(one in done for one in every)
        put(self.how_far, pages.framed(f"<p>{count} of {len(every)} done.{'' if name else ' ' + NAMELESS}</p>"))

    def try_out(self) -> list[str]:
        """Answer every question rightly on a copy of it, and give those that were not marked right: none."""
        copies = [one.posed for one in (*self.steps, *self.questions)]
        return [one.name for one in copies if not one.mark(one.answer_text).right]

    def _ipython_display_(self) -> None:
        from IPython.display import display

        display(self.start)


def said(citation: Citation) -> str:
    """A source with how its figures are known."""
    known = HOW_KNOWN[citation.known]
    return str(citation) if known in str(citation) else f"{citation} ({known})"


def open_lesson(name: str, folder: Path | str | Folder | None = None) -> LessonPage:
    """A lesson of the course, by its name. Raises `QuantityError` for an unknown one.

    >>> open_lesson("signs").lesson.minutes
    20
    """
    return LessonPage(lesson_named(name), _found(folder))


def course_page(folder: Path | str | Folder | None = None, path: str = "learn/") -> Page:
    """The course: its lessons in order, each with its link, and how far each learner has come. path: where the lessons
    lie, seen from the page."""
    found = _found(folder)
    progress = Progress(None if found.is_demo else found.path)
    trouble = ""
    try:
        learners = progress.learners
        done = {(who, one.name): len(progress.done(who, one.name)) for who in learners for one in lessons_in_order()}
    except ProgressError as problem:
        learners, done, trouble = [], {}, words.wrong(str(problem))
    rows = []
    for lesson in lessons_in_order():
        link = f'<a href="{path}{lesson.name}.ipynb">{words.escape(lesson.title)}</a>'
        every = len(lesson.example.steps) + len(lesson.exercises)
        rows.append((link, lesson.goal, *(f"{done[who, lesson.name]} of {every}" for who in learners)))
    return Page(trouble + words.table("The course", ("Lesson", "What it is for", *learners), rows, raw=(0,)))


def _found(folder: Path | str | Folder | None) -> Folder:
    if folder is None:
        return Folder.here()
    return folder if isinstance(folder, Folder) else Folder(folder)
