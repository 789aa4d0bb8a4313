"""The button that writes a form's check as a page for pencil and paper, and the link that opens it."""

from __future__ import annotations

from rotorkit.dossier import DossierError, write_worksheets
from rotorkit.dossier.worksheet import paper_of
from rotorkit.edges.visible import in_a_line
from rotorkit.folder.checks import Check
from rotorkit.notebook import pages, widgets, words
from rotorkit.notebook.keeping import check_name
from rotorkit.notebook.layout import boxed
from rotorkit.notebook.parts import Followed, Part, put

WORKSHEET = (
    "<p>A page to print and take to the aircraft: the picture of where to measure, the limits, and a box for each "
    "reading, in the order of this form and in its units. Rows and choices are those in the form now; no "
    "reading is filled in. Afterwards type the readings here, in the same order.</p>"
)
PAPERS = [("Letter", "letter"), ("A5", "a5")]


class WorksheetPart(Part):
    """The paper to choose, the button, and what was written."""

    def __init__(self, form: Followed) -> None:
        self.paper = widgets.Dropdown(description="Paper", options=PAPERS, value=paper_of(form.system))
        self.button = widgets.Button(description="Write the worksheet (PDF)")
        self.message = widgets.HTML()
        self.button.on_click(form._guard(self._write))
        self._for = ""
        line = boxed([self._picker(self.paper), self.button], "rotorkit-bar")
        super().__init__(form, [widgets.HTML(pages.framed(WORKSHEET)), line, self.message])

    def _update(self) -> None:
        if self._for != self.form.check:  # what was written is of another check
            self._for = self.form.check
            put(self.message, "")

    def _write(self, _button: object) -> None:
        form = self.form
        name = form.check or form.sheet.name
        title = form.keeping.title(form.check) or form.sheet.about.title
        check = Check(name, title, form.sheet.name, form.readings)
        # a file for each check; the name of a check may hold what no file's name may
        place = form.folder.path if not form.folder.is_demo else None
        called = f"worksheet_{check_name(name)}.pdf"
        out = place / called if place is not None else called
        put(self.message, '<p role="status">Writing it…</p>')
        try:
            file = write_worksheets(form.folder, [check], out, self.paper.value, system=form.system)
        except DossierError as problem:
            put(self.message, pages.framed(words.refused(words.capital(str(problem)) + ".")))
            return
        said = f"Written: {words.opens_file(file, in_a_line(file.name))}, for {words.escape(title)}."
        put(self.message, pages.framed(f'<p class="rotorkit-done" role="status">{said} Print it from there.</p>'))
