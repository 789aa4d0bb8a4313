"""How the site is built (Sphinx). `docs/build.py` calls it, after it has written the pages of the code."""

from __future__ import annotations

import re
from functools import cache
from typing import Any

from furo.navigation import get_navigation_tree
from sphinx.application import Sphinx
from sphinx.environment import BuildEnvironment
from sphinx.search.en import SearchEnglish

import rotorkit

project = "rotorkit"
author = "the rotorkit authors"
copyright = "the rotorkit authors"
version = release = rotorkit.__version__
language = "en"
smartquotes = False

extensions = ["myst_parser"]
myst_heading_anchors = 3
exclude_patterns = ["generated/*"]
myst_enable_extensions = ["deflist"]
python_use_unqualified_type_names = True
add_module_names = False
toc_object_entries_show_parents = "hide"
maximum_signature_line_length = 88

html_theme = "furo"
html_title = f"rotorkit {version}"
html_static_path = ["static"]
html_css_files = ["site.css"]
html_copy_source = html_show_sourcelink = False
html_last_updated_fmt = None


# The tree at the side is the same on each page but for where one stands. Made anew for each page it takes most of the
# time, and that grows with the square of their number: so it is made once for each folder, and the place is marked in
# its text.

PARENT: dict[str, str] = {}
"""Of each page the one whose list it stands in."""


class KeptStems(SearchEnglish):
    """Words for the search, each brought to its stem once and not for each page."""

    def __init__(self, options: dict[str, str]) -> None:
        super().__init__(options)
        self.kept: dict[str, str] = {}

    def stem(self, word: str) -> str:
        if word not in self.kept:
            self.kept[word] = super().stem(word)
        return self.kept[word]


def setup(app: Sphinx) -> None:
    app.add_search_language(KeptStems)
    app.connect("env-updated", parents)
    app.connect("html-page-context", no_tree_of_its_own, priority=400)  # before the theme, which comes at 500
    app.connect("html-page-context", where_one_stands, priority=600)


def parents(app: Sphinx, env: BuildEnvironment) -> None:
    PARENT.update({page: parent for parent, held in env.toctree_includes.items() for page in held})


@cache
def trees(builder: Any) -> dict[str, str]:
    """The tree for each folder's pages, nothing marked: all at the first page, before the work is shared out."""
    folders = {page[: page.rfind("/") + 1] for page in builder.env.all_docs}
    wanted = {"collapse": False, "titles_only": True, "maxdepth": -1, "includehidden": True}
    return {one: get_navigation_tree(builder._get_local_toctree(f"{one}_", **wanted)) for one in folders}


def no_tree_of_its_own(app: Sphinx, page: str, template: str, context: dict[str, Any], doctree: Any) -> None:
    context.pop("toctree", None)


def where_one_stands(app: Sphinx, page: str, template: str, context: dict[str, Any], doctree: Any) -> None:
    """The tree with the page marked, and what it stands in open."""
    folder = page[: page.rfind("/") + 1]
    text = trees(app.builder)[folder]
    at = page
    while at in PARENT:
        text = marked(text, app.builder.get_relative_uri(f"{folder}_", at), own=at == page)
        at = PARENT[at]
    context["furo_navigation_tree"] = text


def marked(text: str, link: str, own: bool) -> str:
    """The tree with what leads to `link` marked: as the page itself, or as what it stands in."""
    item = re.compile(
        rf'<li class="(toctree-l\d+)([^"]*)"><a class="reference internal" href="{re.escape(link)}">(.*?)</a>'
        r'(?:<input aria-label="([^"]*)")?'
    )
    found = item.search(text)
    if found is None:
        raise ValueError(f"the tree at the side has no {link}: has the theme changed how it writes it?")
    level, more, title, label = found.groups()
    here = f'<li class="{level} current{more}{" current-page" if own else ""}">'
    here += f'<a class="{"current " if own else ""}reference internal" href="{"#" if own else link}">{title}</a>'
    if label is not None:
        here += f'<input aria-label="{label}" checked=""'
    return text[: found.start()] + here + text[found.end() :]
