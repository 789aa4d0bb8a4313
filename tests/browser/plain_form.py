"""A notebook of one field, for the proof of the browser tests' own tools."""

from pathlib import Path

import nbformat

__all__ = ["FORM", "FORM_NOTEBOOK", "write", "write_form"]

FORM_NOTEBOOK = "form.ipynb"
FORM = """
import threading
import ipywidgets as widgets
from IPython.display import display
box = widgets.Text(description="Length", value="1 in", continuous_update=False)
echo = widgets.HTML()
def show(change):
    where = "main" if threading.current_thread() is threading.main_thread() else "second"
    picture = f'<svg role="img" aria-label="{box.value}" width="20" height="20"><circle r="{len(box.value)}"/></svg>'
    echo.value = f"<p>read as [{box.value}] on the {where} thread</p>{picture}"
box.observe(show, names="value")
show(None)
display(widgets.VBox([box, echo]))
"""


def write(folder: Path, *cells: str) -> str:
    notebook = nbformat.v4.new_notebook(cells=[nbformat.v4.new_code_cell(cell.strip()) for cell in cells])
    notebook.metadata.kernelspec = {"name": "python3", "display_name": "Python 3", "language": "python"}
    nbformat.write(notebook, folder / FORM_NOTEBOOK)
    return FORM_NOTEBOOK


def write_form(folder: Path) -> str:
    return write(folder, FORM)
