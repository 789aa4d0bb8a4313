"""The site, built without the internet: ``python -m docs.build [INTO]``, or ``make docs``.

A warning is a failure, and so is a link that leads nowhere.
"""

from __future__ import annotations

import re
import shutil
import sys
from functools import cache
from pathlib import Path
from urllib.parse import unquote

from sphinx.cmd.build import build_main

from docs import generate

HERE = Path(__file__).resolve().parent
INTO = HERE.parent / "build" / "docs"


def build(into: Path = INTO) -> Path:
    """Write the pages and build the site; where it lies comes back. Raises SystemExit with what is wrong."""
    pages, site = into / "pages", into / "site"
    shutil.rmtree(into, ignore_errors=True)
    shutil.copytree(HERE / "pages", pages)
    generate.write(pages)
    arguments = [
        "-q",
        "-W",
        "--keep-going",
        "-j",
        "auto",
        "-b",
        "html",
        "-c",
        str(HERE),
        "-d",
        str(into / "doctrees"),
        str(pages),
        str(site),
    ]
    if build_main(arguments):
        raise SystemExit("the site has faults: see above")
    if lost := lost_links(site):
        raise SystemExit("links that lead nowhere:\n" + "\n".join(lost))
    return site


def lost_links(site: Path) -> list[str]:
    """Links and pictures within the site that lead nowhere, and whatever a page would fetch from elsewhere."""
    texts = {path.resolve(): path.read_text("utf-8") for path in site.rglob("*.html")}
    places = {path: set(re.findall(r'\bid="([^"]+)"', text)) for path, text in texts.items()}

    @cache
    def place_of(folder: Path, file: str) -> tuple[Path, bool]:
        """Where a link from a folder leads, and whether anything is there: each page has the same tree at its side."""
        at = (folder / unquote(file).split("?")[0]).resolve()
        return at, at.exists()

    lost = []
    for path, text in texts.items():
        for kind, target in set(re.findall(r'\b(href|src)="([^"]*)"', text)):
            name = f"{path.relative_to(site.resolve())}: {target}"
            if re.match(r"[a-z]+:", target):
                if kind == "src" and not target.startswith("data:"):
                    lost.append(f"{name} (fetched from elsewhere)")
                continue
            file, _, place = target.partition("#")
            at, there = place_of(path.parent, file) if file else (path, True)
            place = unquote(place)
            if not there or (place and at in places and place not in places[at]):
                lost.append(name)
    return sorted(lost)


if __name__ == "__main__":
    print(f"the site: {build(Path(sys.argv[1]) if len(sys.argv) > 1 else INTO) / 'index.html'}")
