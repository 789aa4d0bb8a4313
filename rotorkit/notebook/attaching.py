"""Photographs of a form's saved check: those there are, and the place to attach more."""

from __future__ import annotations

import base64
from collections.abc import Iterator
from typing import Any

from rotorkit.notebook import pages, widgets, words
from rotorkit.notebook.keeping import DEMO_IS_READ_ONLY, NOT_SAVED_YET
from rotorkit.notebook.layout import boxed
from rotorkit.notebook.parts import Followed, Part, put
from rotorkit.record import NOTHING_SAVED, SAVED, Attached, RecordError, SavedEntry
from rotorkit.record.attached import LARGEST, MOST, SUFFIXES, fault_of, smaller

SHOWN_SIDE = 260
"""Pixels of a photograph's longer side, as the form shows it."""
CHOOSE = "Choose photographs to attach"
ACCEPTED = ",".join((*SUFFIXES, ".jpeg", "image/jpeg", "image/png", "image/webp"))
PHOTOGRAPHS = (
    "<p>Photographs of the work: a witness hole, a protractor in place, a safety wire. The files are kept beside "
    "the record, byte for byte, and the record keeps their hashes: if one is changed or missing later, that is "
    "reported. The dossier shows them after the check's page.</p>"
)
HOW = (
    f"JPEG, PNG or WebP, up to {LARGEST // 1_000_000} MB each and {MOST} for a check. Anything the camera wrote into "
    "a file (time, place) stays in the kept file but is not in the dossier."
)


class PhotographsPart(Part):
    """Who attaches them, the button that picks and attaches files, and the photographs that the check has."""

    def __init__(self, form: Followed) -> None:
        self.stands = widgets.HTML()
        self.who = widgets.Text(description="Attached by")
        self.who.add_class("rotorkit-keep")
        self.pick = widgets.FileUpload(description=CHOOSE, accept=ACCEPTED, multiple=True, icon="")
        self.pick.add_class("rotorkit-choose")  # which shows the words without the count behind them
        self.pick.observe(form._guard(self._chosen), names="value")
        self.message = widgets.HTML()
        self.there = widgets.HTML()
        self._seen: tuple[Any, ...] = ()
        self._told_of: str | None = None
        line = boxed([self.who, self.pick], "rotorkit-bar")
        super().__init__(
            form,
            [widgets.HTML(pages.framed(PHOTOGRAPHS)), self.stands, line, self.message, self.there],
        )

    def update(self) -> Iterator[None]:
        """Follow the form: to which entry they would belong, and those that it has."""
        form = self.form
        entry = self._entry()
        if self._told_of != form.check:
            self._told_of = form.check
            put(self.message, "")
        if entry is not None and not self.who.value:
            self.who.value = entry.who  # a beginning
        for one in (self.who, self.pick):
            one.disabled = entry is None
        put(self.stands, pages.framed(self._stands(entry)))
        self.box.remove_class("rotorkit-typing")
        yield
        now = (form.keeping.stamp, form.check)
        if now != self._seen:
            self._seen = now
            yield from self._show_them(entry)

    def _entry(self) -> SavedEntry | None:
        """The entry that photographs would be attached to."""
        keeping = self.form.keeping
        entry = None if keeping.folder.is_demo or keeping.problem else keeping.last(self.form.check)
        return entry if entry is not None and entry.sheet == keeping.sheet.name else None

    def _stands(self, entry: SavedEntry | None) -> str:
        keeping = self.form.keeping
        if keeping.folder.is_demo:
            return words.note(DEMO_IS_READ_ONLY)
        if keeping.problem:
            return words.wrong(keeping.problem)
        if entry is None:
            return words.note(NOT_SAVED_YET)
        said = f"They are attached to entry {entry.number}, saved {entry.local:%Y-%m-%d %H:%M} by {entry.who}."
        if self.form.saved != SAVED:
            said += " Anything you have changed in the form since then is not part of it."
        return f"<p>{words.escape(said)}</p>{words.hint(HOW)}"

    def _show_them(self, entry: SavedEntry | None) -> Iterator[None]:
        photographs = entry.photographs if entry is not None else []
        if not photographs:
            put(self.there, "")
            return
        shown: list[str] = []
        for one in photographs:
            shown.append(self._one(one))
            yield
        many = "1 photograph" if len(photographs) == 1 else f"{len(photographs)} photographs"
        put(self.there, pages.framed(f'<p><b>{many}</b></p><div class="rotorkit-photographs">{"".join(shown)}</div>'))

    def _one(self, photograph: Attached) -> str:
        folder = self.form.keeping.record.folder
        name = words.escape(photograph.name)
        if fault := fault_of(folder, photograph):
            return words.wrong(f"{photograph.name} {fault}.")
        try:
            data, (wide, high) = smaller(folder, photograph, SHOWN_SIDE)
        except Exception as problem:  # whatever the picture library makes of it
            return words.wrong(f"{photograph.name} cannot be shown here ({type(problem).__name__}).")
        inside = base64.b64encode(data).decode("ascii")
        return (
            f'<figure><img width="{wide}" height="{high}" alt="Photograph {name}" '
            f'src="data:image/jpeg;base64,{inside}"><figcaption>{name}</figcaption></figure>'
        )

    def _chosen(self, _change: object) -> None:
        chosen = self.pick.value
        if not chosen:
            return
        given = [(str(one["name"]), bytes(one["content"])) for one in chosen]
        self.pick.value = ()  # the bytes are not kept twice, and the same file can be chosen again
        try:
            entry = self.form.attach(given, self.who.value)
        except RecordError as problem:
            put(self.message, pages.framed(words.refused(str(problem).replace(NOTHING_SAVED, "Nothing was attached."))))
            return
        many = "1 photograph" if len(given) == 1 else f"{len(given)} photographs"
        put(
            self.message,
            pages.framed(
                words.done(
                    f"{many} attached: saved as entry {entry.number}, which replaces entry {entry.replaces} and holds "
                    f"all of it. Its hash, to note elsewhere, begins with {entry.hash[:16]}."
                )
            ),
        )
        for _ in self.update():
            pass
