"""The limits that a form's check is judged by, typed in within the form and written into the aircraft file."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from rotorkit.aircraft import Aircraft
from rotorkit.notebook import pages, widgets, words
from rotorkit.notebook.asking import FiguresBox
from rotorkit.notebook.closing import close_all
from rotorkit.notebook.parts import Followed, Part
from rotorkit.notebook.sections import limits_of
from rotorkit.notebook.unwritten import FOR_A_JOB, left_typed

FROM_THE_MANUAL = (
    "<p>What this check is judged by. Take each limit from your kit manual, with the page, never from another "
    "aircraft; leave a side empty if the manual gives none. They are written into the aircraft file and apply to "
    "every check of this kind.</p>"
)
NONE_HERE = "This check is not judged by any limit that can be typed in here."
OF = " limits "
"""How a draft of them is named, behind the job's name and before the tables that they stand in."""


def _kept_as(form: Followed) -> str:
    return f"{FOR_A_JOB}{form.sheet.name}{OF}"


class LimitsPart(Part):
    """The fields, with the button that writes them. `figures`: the fields, or None where nothing is asked for."""

    def __init__(self, form: Followed) -> None:
        self.figures: FiguresBox | None = None
        self._for: tuple[Any, ...] = ()
        self.inside = widgets.VBox([])
        super().__init__(form, [widgets.HTML(pages.framed(FROM_THE_MANUAL)), self.inside])

    @staticmethod
    def was_typed_into(form: Followed) -> bool:
        """Whether limits of this job were typed and not written, be it in a window that is closed now."""
        return left_typed(form.folder, _kept_as(form))

    def update(self) -> Iterator[None]:
        """Follow the form: its choices say of which rotor or cable the limits are."""
        form = self.form
        picked = {name: form._box(name).text for name in self._choices()}
        asked = limits_of(form.sheet, picked, form.folder.aircraft)
        now = (form.folder.path, *((one.place, one.title) for one in asked))
        if now != self._for:
            self._fill(asked)
            self._for = now
        elif self.figures is not None:
            self.figures.look(form.folder)
        yield

    def stale(self) -> None:
        """Nothing of it is of the readings."""

    def _choices(self) -> list[str]:
        return [one.name for one in self.form.sheet.fields() if one.choice is not None]

    def _fill(self, asked: list[Any]) -> None:
        if self.figures is not None:
            self.figures.close()
        close_all(*self.inside.children)
        self.figures = None
        if not asked:
            self.inside.children = [widgets.HTML(pages.framed(words.hint(NONE_HERE)))]
            return
        form, tables = self.form, dict.fromkeys(one.place.rpartition(".")[0] for one in asked)
        kept_as = f"{_kept_as(form)}{', '.join(tables)}"  # of each rotor and each cable by itself
        self.figures = FiguresBox(form.folder, asked, self._written, form._guard, kept_as=kept_as, kept=self._kept)
        self.inside.children = [self.figures.box]
        self._kept()

    def _kept(self) -> None:
        if self.form.outcome is not None:
            self.form._tell_saved()

    def _written(self, _aircraft: Aircraft) -> None:
        self.form.figures_written()
